"""The hand on a drawing in JupyterLab and Chromium: numbers typed in place, ways, grips by mouse, finger and key, undo.

Where a finger has to go for a value is worked out here from the house's own lines at the scale of the picture.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from rooflab.live.topics.section import Section
from tests.tools.browser import NOTEBOOK, Browser, faults, settle, write_notebook

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

CELL = ["from rooflab.live import one_plane\none_plane()"]
SIZE = (1366, 900)
TARGETS = {  # a value for each grip of the section and of the detail beside it, and how its box says it
    "ridge": (9.0, "9 in 12"), "ceiling at its apex": (3.0, "3 in 12"), "right wall": (300.0, "25'-0\""),
    "top of the truss's heel": (12.0, "1'-0\""), "end of the tail": (24.0, "2'-0\""),
    "inside end of the seat": (2.5, '2 1/2"'), "inside face of the wall": (7.25, '7 1/4"'),
}  # fmt: skip


@pytest.fixture(scope="module")
def page(shared: Browser) -> Page:
    page = shared.open(write_notebook(shared.folder / "touch.ipynb", CELL), SIZE)
    page.locator(".rl-panel").wait_for()
    return page


@pytest.fixture
def panel(page: Page) -> Locator:
    """The panel as it opened."""
    page.keyboard.press("Escape")
    panel = page.locator(".rl-panel")
    panel.get_by_role("button", name="Reset").click()
    settle(panel)
    panel.locator(".rl-frame").scroll_into_view_if_needed()
    return panel


def text(panel: Locator, label: str) -> str:
    settle(panel)
    return panel.get_by_label(f"{label}, typed").input_value()


def on(panel: Locator, name: str, slot: str = "picture") -> Locator:
    return panel.locator(f'[data-slot="{slot}"] [data-touch="{name}"]')


def middle(node: Locator) -> tuple[float, float]:
    box = node.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def way_to(panel: Locator, grip_name: str, slot: str, control: str, value: float) -> tuple[float, float]:
    """How far, px, a grip has to be pulled for a value: from the house's lines and the scale that came with them."""
    topic = Section()
    boxes = topic.boxes(topic.start({}) | {"heel": None})
    grip = next(one for one in topic.grips("section" if slot == "picture" else "detail") if one.name == grip_name)
    here, there = (grip.at(topic.hangs({**boxes, **change})) for change in ({}, {control: value}))
    assert here is not None and there is not None
    layer = panel.locator(f'[data-slot="{slot}"]')
    scale = float(layer.get_attribute("data-scale") or 0)
    wide, tall = (there[0] - here[0]) * scale, (here[1] - there[1]) * scale
    return (wide, 0.0) if grip.axis == "x" else (0.0, tall)


GRIPS = [(slot, one) for slot, view in (("picture", "section"), ("detail", "detail")) for one in Section().grips(view)]
LABELS = {"pitch": "Roof pitch", "ceiling_pitch": "Ceiling pitch", "span": "Span", "heel": "Truss heel",
          "overhang": "Overhang", "seat": "Seat", "bearing": "Bearing"}  # fmt: skip


@pytest.mark.parametrize("by", ("mouse", "finger"))
@pytest.mark.parametrize(("slot", "grip"), GRIPS, ids=lambda one: getattr(one, "name", one))
def test_each_grip_lands_under_the_finger(page: Page, panel: Locator, slot: str, grip: Any, by: str) -> None:
    node = on(panel, f"grip {grip.name}", slot)
    node.scroll_into_view_if_needed()
    value, said = TARGETS[grip.name]
    (x, y), (dx, dy) = middle(node), way_to(panel, grip.name, slot, grip.control, value)
    places = [(x + dx * part / 8, y + dy * part / 8) for part in range(9)]
    if by == "mouse":
        page.mouse.move(x, y)
        page.mouse.down()
        for place in places:
            page.mouse.move(*place)
        page.mouse.up()
    else:
        session = page.context.new_cdp_session(page)
        kinds = ["touchStart", *["touchMove"] * (len(places) - 1), "touchEnd"]
        for kind, place in zip(kinds, [*places, places[-1]], strict=True):
            points = [] if kind == "touchEnd" else [{"x": place[0], "y": place[1]}]
            session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
            page.wait_for_timeout(20)  # as a finger moves
        session.detach()
    got = text(panel, LABELS[grip.control])
    control = next(one for one in Section.controls if one.name == grip.control)
    reached = control.value(got, [])
    if got != said:  # a browser reports places in whole pixels
        (x0, y0), (x1, y1) = (way_to(panel, grip.name, slot, grip.control, one) for one in (value, reached))
        assert max(abs(x1 - x0), abs(y1 - y0)) <= 2.5, (got, said)
    page.keyboard.press("Control+z")
    assert text(panel, LABELS[grip.control]) != got


def test_a_number_is_typed_in_place_by_mouse_and_by_keyboard(page: Page, panel: Locator) -> None:
    on(panel, "span").click()
    box = panel.locator(".rl-pop .rl-box")
    assert box.evaluate("box => box.value.slice(box.selectionStart, box.selectionEnd)") == "26'-0\""
    page.keyboard.type("28'")
    page.keyboard.press("Enter")
    assert text(panel, "Span") == "28'-0\"" and not panel.locator(".rl-pop").count()
    on(panel, "roof pitch").focus()
    page.keyboard.press("Enter")
    page.keyboard.type("9")
    page.keyboard.press("Enter")
    assert text(panel, "Roof pitch") == "9 in 12"
    assert page.evaluate("document.activeElement.dataset.touch") == "roof pitch"


def test_arrows_step_in_the_box_and_escape_leaves_it_as_it_was(page: Page, panel: Locator) -> None:
    """The roof pitch goes in halves."""
    on(panel, "roof pitch").click()
    for _ in range(3):
        page.keyboard.press("ArrowUp")
    assert text(panel, "Roof pitch") == "9 1/2 in 12"
    page.keyboard.press("Escape")
    assert text(panel, "Roof pitch") == "8 in 12" and not panel.locator(".rl-pop").count()


def test_a_text_that_cannot_be_read_is_one_sentence_and_the_picture_stays(page: Page, panel: Locator) -> None:
    on(panel, "span").click()
    page.keyboard.type("wide")
    page.keyboard.press("Enter")
    settle(panel)
    assert "wide" in panel.locator(".rl-sentence").inner_text() and panel.locator(".rl-picture svg").count()
    assert panel.locator(".rl-pop .rl-box").get_attribute("aria-invalid") == "true"
    page.keyboard.press("Escape")
    assert text(panel, "Span") == "26'-0\"" and "wide" not in panel.locator(".rl-sentence").inner_text()


def test_a_number_that_follows_offers_ways_with_ghosts_and_one_is_taken(page: Page, panel: Locator) -> None:
    """A seat of 2 13/16 brings the heel of a 2x10 at 8 in 12 to 9 1/4: 9.25 x 1.20185 - 2/3 x 2.8125 = 9.2421 in."""
    on(panel, "rafter heel").click()
    page.keyboard.type("9 1/4")
    page.keyboard.press("Enter")
    ways = panel.locator(".rl-choose")
    ways.first.wait_for()
    assert 1 <= ways.count() <= 4
    seat = ways.filter(has_text='Seat 2 13/16"')
    seat.hover()
    assert panel.locator(".rl-way svg path").count() == 1
    seat.focus()
    page.keyboard.press("Enter")
    assert text(panel, "Seat") == '2 13/16"' and not panel.locator(".rl-way").count()
    on(panel, "overall height").click()
    page.keyboard.press("Escape")
    assert text(panel, "Seat") == '2 13/16"'


def test_a_number_that_is_fixed_says_why(page: Page, panel: Locator) -> None:
    on(panel, "rafter run").click()
    assert "span" in panel.locator(".rl-pop [role=status]").inner_text()
    page.keyboard.press("Escape")
    assert not panel.locator(".rl-pop").count()


def test_grips_step_by_arrow_keys_and_say_their_value(page: Page, panel: Locator) -> None:
    ridge = on(panel, "grip ridge")
    ridge.focus()
    for _ in range(2):
        page.keyboard.press("ArrowUp")
    assert text(panel, "Roof pitch") == "9 in 12"
    assert ridge.get_attribute("aria-valuetext") == "9 in 12" and ridge.get_attribute("role") == "slider"
    assert page.evaluate("document.activeElement.dataset.touch") == "grip ridge"


def test_undo_and_redo_by_key_and_button_reach_the_panel_alone(page: Page, panel: Locator) -> None:
    cells = page.evaluate(f"{NOTEBOOK}.content.widgets.length")
    for name, typed in (("span", "28'"), ("roof pitch", "9")):
        on(panel, name).click()
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
        settle(panel)
    page.keyboard.press("Control+z")
    assert (text(panel, "Roof pitch"), text(panel, "Span")) == ("8 in 12", "28'-0\"")
    page.keyboard.press("Control+z")
    assert text(panel, "Span") == "26'-0\""
    page.keyboard.press("Control+y")
    assert text(panel, "Span") == "28'-0\""
    panel.get_by_role("button", name="Redo").click()
    assert text(panel, "Roof pitch") == "9 in 12"
    for key in ("a", "b", "d", "d", "z", "j", "k"):
        on(panel, "grip ridge").press(key)
    assert page.evaluate(f"{NOTEBOOK}.content.widgets.length") == cells
    panel.get_by_role("button", name="Reset").click()
    settle(panel)
    panel.get_by_role("button", name="Undo").click()
    assert text(panel, "Roof pitch") == "9 in 12"


def test_before_is_switched_by_its_button(page: Page, panel: Locator) -> None:
    on(panel, "grip ridge").press("ArrowUp")
    settle(panel)
    ghost = panel.locator(".rl-picture .rl-ghost")
    assert ghost.is_visible()
    panel.get_by_role("button", name="Before").click()
    assert not ghost.is_visible()
    panel.get_by_role("button", name="Before").click()
    assert ghost.is_visible() and panel.locator(".rl-changed").count()


def test_what_can_be_touched_lies_over_its_text_and_is_24_px(page: Page, panel: Locator) -> None:
    for name in ("span", "overall height", "truss heel", "overhang"):
        hit, said = on(panel, name).bounding_box(), panel.locator(f'.rl-picture [data-name="{name}"]').bounding_box()
        assert hit is not None and said is not None and hit["width"] >= 24 and hit["height"] >= 24
        assert hit["x"] - 3 <= said["x"] and said["x"] + said["width"] <= hit["x"] + hit["width"] + 3
        assert hit["y"] - 1 <= said["y"] + said["height"] / 2 <= hit["y"] + hit["height"] + 1
    assert faults(page) == []
