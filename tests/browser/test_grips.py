"""Every grip of every view of every panel, pulled in JupyterLab by mouse and by finger: it lands under the pointer.

Of the values that a grip can take none lies nearer to where the pointer let go; where they lie is worked out from the
lines of the house at the scale of the picture.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from rooflab import live
from tests.tools.browser import Browser, settle, write_notebook

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

PANELS = ("one_plane()", "jog()", "shape_panel()", "cut_panel(size='')", "load_panel()", "warm_panel()",
          "options_panel()", "force_panel('pair')", "force_panel('truss')", "house()")  # fmt: skip
SIZE = (1366, 900)
NEAR = 2.5  # that a pointer, which a browser reports in whole pixels, may be off, px


@pytest.fixture(scope="module")
def page(shared: Browser) -> Page:
    cells = ["from rooflab import live", *(f"live.{one}" for one in PANELS)]
    page = shared.open(write_notebook(shared.folder / "grips.ipynb", cells), SIZE)
    page.locator(".rl-panel").last.wait_for()
    return page


def middle(node: Locator) -> tuple[float, float]:
    box = node.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def pull(page: Page, start: tuple[float, float], end: tuple[float, float], by: str) -> None:
    places = [tuple(a + (b - a) * part / 6 for a, b in zip(start, end, strict=True)) for part in range(7)]
    if by == "mouse":
        page.mouse.move(*places[0])
        page.mouse.down()
        for x, y in places:
            page.mouse.move(x, y)
        page.mouse.up()
        return
    session = page.context.new_cdp_session(page)
    kinds = ["touchStart", *["touchMove"] * (len(places) - 1), "touchEnd"]
    for kind, (x, y) in zip(kinds, [*places, places[-1]], strict=True):
        session.send(
            "Input.dispatchTouchEvent", {"type": kind, "touchPoints": [] if kind == "touchEnd" else [{"x": x, "y": y}]}
        )
        page.wait_for_timeout(20)  # as a finger moves
    session.detach()


def lands(responder: Any, view: str, name: str, scale: float, pulled: float, value: float) -> str:
    """What is wrong with the value that a grip came to, pulled so many px along its axis; nothing if nothing is."""
    topic = responder.topic
    boxes = topic.boxes(responder._control_texts({}))
    grip = next(one for one in topic.grips(view) if one.name == name)
    control = next(one for one in topic.controls if one.name == grip.control)
    side = "xy".index(grip.axis)

    def at(number: float | None) -> float | None:
        """Where it stands, px along its axis from where it stood."""
        try:
            place = grip.at(topic.hangs(boxes if number is None else {**boxes, grip.control: number}))
        except ValueError:
            return None
        return None if place is None else place[side] * scale * (1, -1)[side]

    here, there = at(None), at(value)
    if here is None or there is None:
        return f"{value} cannot be drawn"
    grid = grip.grid(control, responder._highest().get(control.name, control.high))
    others = [at(one) for one in grid]
    best = min(abs(one - here - pulled) for one in others if one is not None)
    off = abs(there - here - pulled)
    return "" if off <= best + NEAR else f"{value} is {off:.1f} px off, the nearest {best:.1f}"


@pytest.mark.parametrize("code", PANELS)
def test_every_grip_lands_under_the_pointer(page: Page, code: str) -> None:
    responder = eval(f"live.{code}", {"live": live}).responder
    panel = page.locator(".rl-panel").nth(PANELS.index(code))
    panel.scroll_into_view_if_needed()
    settle(panel)
    wrong, count = [], 0
    for view in responder.views:
        grips = {"picture": responder.topic.grips(view), "detail": responder.topic.grips("detail")}
        for slot, grip in [(slot, one) for slot, every in grips.items() for one in every]:
            if slot == "detail" and view != responder.views[0]:
                continue
            for by, far in (("mouse", 34.0), ("finger", -26.0)):
                panel.get_by_role("button", name="Reset", exact=True).click()
                if len(responder.views) > 1:
                    panel.locator(f'[data-view="{view}"]').click()
                settle(panel)
                node = panel.locator(f'[data-slot="{slot}"] [data-touch="grip {grip.name}"]')
                if not node.count():  # it would lie over another one
                    continue
                node.scroll_into_view_if_needed()
                layer = panel.locator(f'[data-slot="{slot}"]')
                scale, (x, y) = float(layer.get_attribute("data-scale") or 0), middle(node)
                pull(page, (x, y), (x + far, y) if grip.axis == "x" else (x, y + far), by)
                settle(panel)
                if panel.get_by_text("Not drawn").count():
                    continue  # the last value that can be drawn is tried in Python
                value = float(node.get_attribute("aria-valuenow") or "nan")
                said = lands(responder, view if slot == "picture" else "detail", grip.name, scale, far, value)
                wrong += [f"{view}, {slot}, {grip.name} by {by}: {said}"] * bool(said)
                count += 1
    assert count and not wrong, "\n".join(wrong)


@pytest.mark.parametrize("by", ["mouse", "finger"])
def test_a_pull_beside_all_grips_turns_the_house(page: Page, by: str) -> None:
    """As the knob of its turntable goes with the pointer; a press without a way turns nothing, and lights a part."""
    panel = page.locator(".rl-panel").nth(PANELS.index("house()"))
    panel.get_by_role("button", name="Reset", exact=True).click()
    settle(panel)
    layer, track = panel.locator('[data-slot="picture"]'), "svg path[stroke-dasharray='1 3']"
    layer.scroll_into_view_if_needed()
    box = layer.bounding_box()
    assert box is not None and panel.locator(track).count()
    knob = panel.locator('[data-touch="grip turntable"]')
    before, at = middle(knob), (box["x"] + 0.9 * box["width"], box["y"] + 0.2 * box["height"])
    pull(page, at, (at[0] - 60, at[1]), by)
    settle(panel)
    assert middle(knob)[0] == pytest.approx(before[0] - 60, abs=2 * NEAR)
    assert float(panel.get_by_label("Turn, typed").input_value()) < 0
    turned = panel.get_by_label("Turn, typed").input_value()
    page.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"])
    settle(panel)
    assert panel.get_by_label("Turn, typed").input_value() == turned
