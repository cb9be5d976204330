"""The live panels in JupyterLab and Chromium: keyboard, typed values, sizes on the screen, names, colours.

Expected lengths come from heel = depth x k - slope x seat with k = sqrt(1 + slope^2), written out here; a 2x10 is
9 1/4 in deep (PS 20).
"""

from __future__ import annotations

import json
from math import sqrt
from typing import TYPE_CHECKING, Any

import pytest

from rooflab.base.measure import feet_inches
from rooflab.live.topics.section import CONTROLS, section_panel
from tests.tools.browser import (
    AREA,
    LAPTOP,
    NOTEBOOK,
    Browser,
    cell_errors,
    faults,
    luminance,
    names,
    settle,
    typed,
    write_notebook,
)

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

WHOLE = ["from rooflab import Gable, RafterBay\nfrom rooflab.live import ask, one_plane, predict\none_plane()"]
QUESTIONS = [
    *WHOLE[:1],
    "panel = one_plane(('seat', 'heel'), ('section',), ('rafter', 'seam'), 'small')\n"
    "display(predict('A longer seat. The heel?', ['higher', 'lower'], 2, 'It lets the rafter down.', panel,\n"
    "                'move the seat.', {'seat': '4\"'}), panel)",
    "ask('How high is the heel?', RafterBay(Gable(\"24'\", 9, '7 1/4'), '2x12'), 'heel')",
]
MUST = ("span", "roof pitch", "truss roof pitch", "ceiling pitch", "rafter heel", "truss heel", "rafter height",
        "overall height", "rafter run", "truss run", "overhang", "truss overhang")  # fmt: skip
K8 = sqrt(1 + (8 / 12) ** 2)


@pytest.fixture(scope="module")
def page(shared: Browser) -> Page:
    """The whole panel in a notebook of its own, on a laptop's screen."""
    page = shared.open(write_notebook(shared.folder / "whole.ipynb", WHOLE), LAPTOP)
    page.locator(".rl-panel").wait_for()
    return page


@pytest.fixture
def panel(page: Page) -> Locator:
    """The panel as it opened."""
    panel = page.locator(".rl-panel")
    panel.get_by_role("button", name="Section").click()
    panel.get_by_role("button", name="Heel height").click()
    panel.get_by_role("button", name="Reset").click()
    settle(panel)
    return panel


def shown(panel: Locator) -> dict[str, str]:
    settle(panel)
    return panel.evaluate(
        """panel => { const part = name => panel.querySelector('.rl-' + name);
        return { picture: part('picture').innerHTML, readings: part('readings').innerText,
                 sentence: part('sentence').innerText, note: part('note').innerText }; }"""
    )


def reading(panel: Locator, name: str) -> str:
    row = panel.get_by_role("row").filter(has=panel.page.get_by_role("button", name=name, exact=True))
    return row.locator("td").nth(1).inner_text()


def is_buttons(spec: Any) -> bool:
    """Whether a control is a row of buttons."""
    return bool(spec.get("choices")) and not spec["ordered"]


def heel(seat: float) -> str:
    return feet_inches(9.25 * K8 - 8 / 12 * seat)


# --- keyboard and typed values ----------------------------------------------------------------------------------


def test_tab_goes_through_the_controls_in_their_order(page: Page, panel: Locator) -> None:
    """While the heel follows, its own slider and box are off; of buttons the chosen one is in the order."""
    answers = section_panel()
    wanted = []
    for spec in answers.setup()["controls"]:
        if spec["name"] == "heel":
            wanted.append("Truss heel follows the rafter")
        elif is_buttons(spec):
            wanted.append(answers.respond({})["fields"][spec["name"]]["text"])
        else:
            wanted += [f"{spec['label']}, slider", f"{spec['label']}, typed"]
    panel.get_by_label("Span, slider").focus()
    seen = []
    for _ in wanted:
        seen.append(page.evaluate("document.activeElement.ariaLabel || document.activeElement.value"))
        page.keyboard.press("Tab")
    assert seen == wanted
    assert page.evaluate("document.activeElement.textContent") == "Reset"


def test_every_control_moves_by_arrow_key_and_picture_and_readings_follow(page: Page, panel: Locator) -> None:
    panel.get_by_label("Truss heel follows the rafter").focus()
    page.keyboard.press("Space")
    settle(panel)
    for spec in section_panel().setup()["controls"]:
        before = shown(panel)
        if is_buttons(spec):
            group = panel.get_by_role("radiogroup", name=spec["label"])
            chosen = group.get_by_role("radio", checked=True)
            text = chosen.input_value()
            chosen.focus()
            page.keyboard.press("ArrowLeft" if text == spec["choices"][-1] else "ArrowRight")
            after = shown(panel)
            assert chosen.count() == 1 and chosen.input_value() != text and after["picture"] != before["picture"]
        else:
            slider, box = panel.get_by_label(f"{spec['label']}, slider"), panel.get_by_label(f"{spec['label']}, typed")
            text, at_its_end = box.input_value(), slider.input_value() == slider.get_attribute("max")
            slider.focus()
            page.keyboard.press("ArrowLeft" if at_its_end else "ArrowRight")
            after = shown(panel)
            assert box.input_value() != text and after["picture"] != before["picture"], spec["label"]
            assert slider.get_attribute("aria-valuetext") == box.input_value()
        only_drawn = spec["name"] in ("sheathing", "ridge")  # a 2x10 is as thick as a 2x12
        assert only_drawn or after["readings"] != before["readings"], spec["label"]


def test_every_press_counts_however_quick(page: Page, panel: Locator) -> None:
    """Eight presses of 1/8 in on a 3 1/2 in seat make 4 1/2 in: a late answer never moves the slider back."""
    panel.get_by_label("Seat, slider").focus()
    for _ in range(8):
        page.keyboard.press("ArrowRight")
    settle(panel)
    assert panel.get_by_label("Seat, typed").input_value() == '4 1/2"'
    assert reading(panel, "Heel height") == heel(4.5)


def test_a_typed_value_and_enter(panel: Locator) -> None:
    typed(panel, "Seat", "5-1/2")
    assert panel.get_by_label("Seat, typed").input_value() == '5 1/2"'
    assert panel.get_by_label("Seat, slider").input_value() == "5.5"
    assert reading(panel, "Heel height") == heel(5.5)
    assert panel.get_by_label("Truss heel, typed").input_value() == heel(5.5)


def test_nonsense_keeps_the_last_good_picture(panel: Locator) -> None:
    good = shown(panel)
    typed(panel, "Span", "26 apples <b>")
    bad = shown(panel)
    assert (bad["picture"], bad["readings"]) == (good["picture"], good["readings"])
    assert "26 apples <b>" in bad["sentence"] and panel.locator(".rl-stale").is_visible()
    box = panel.get_by_label("Span, typed")
    assert box.input_value() == "26 apples <b>" and box.get_attribute("aria-invalid") == "true"
    typed(panel, "Span", "26'")
    assert shown(panel)["sentence"] == good["sentence"] and not panel.locator(".rl-stale").is_visible()


def test_a_silent_kernel_is_said_until_it_answers(page: Page, panel: Locator) -> None:
    """The kernel may not answer for five seconds; then it does."""
    good = shown(panel)["sentence"]
    code = "import time\nwith Out[1]._lock: time.sleep(5)"
    page.evaluate(f"{NOTEBOOK}.sessionContext.session.kernel.requestExecute({{code: {json.dumps(code)}}}), null")
    page.wait_for_timeout(500)
    panel.get_by_label("Span, slider").focus()
    page.keyboard.press("ArrowRight")
    panel.get_by_text("No answer from the kernel: what is shown is old.").wait_for()
    assert panel.locator(".rl-stale").is_visible()
    settle(panel)
    assert shown(panel)["sentence"] == good and not panel.locator(".rl-stale").is_visible()


def test_two_changes_at_once_are_both_drawn(page: Page, panel: Locator) -> None:
    """A value typed, and a slider moved before the answer comes: span 28 ft, pitch 8 1/2 in 12."""
    panel.get_by_label("Span, typed").fill("28'")
    panel.get_by_label("Roof pitch, slider").focus()
    page.keyboard.press("ArrowRight")
    settle(panel)
    assert "28'-0\" out to out" in panel.locator(".rl-picture").inner_text()
    assert panel.get_by_label("Span, typed").input_value() == "28'-0\""
    assert panel.get_by_label("Roof pitch, typed").input_value() == "8 1/2 in 12"
    rise = 9.25 * sqrt(1 + (8.5 / 12) ** 2) - 8.5 / 12 * 3.5
    assert reading(panel, "Overall height") == feet_inches(round(16 * rise) / 16 + 8.5 / 12 * 168)


def test_reset_and_keep(panel: Locator) -> None:
    start = shown(panel)
    panel.get_by_role("button", name="Keep").click()
    typed(panel, "Seat", "5 1/2")
    assert f"kept {heel(3.5)}" in shown(panel)["readings"]
    panel.get_by_role("button", name="Reset").click()
    assert shown(panel) == start
    assert panel.get_by_label("Seat, slider").input_value() == "3.5"


def test_unchecking_leaves_the_matched_heel_and_it_can_be_typed(panel: Locator) -> None:
    typed(panel, "Seat", "5 1/2")
    panel.get_by_label("Truss heel follows the rafter").uncheck()
    settle(panel)
    box = panel.get_by_label("Truss heel, typed")
    assert box.is_enabled() and box.input_value() == heel(5.5)
    typed(panel, "Truss heel", "8")
    assert "do not run through" in shown(panel)["sentence"]
    panel.get_by_label("Truss heel follows the rafter").check()
    settle(panel)
    assert box.is_disabled() and box.input_value() == heel(5.5)


def test_letters_on_a_control_are_no_commands_of_the_notebook(page: Page, panel: Locator) -> None:
    cells = page.locator(".jp-Notebook .jp-Cell").count()
    places = [
        panel.get_by_label("Seat, slider"),
        panel.get_by_label("Truss heel follows the rafter"),
        panel.get_by_role("button", name="Keep"),
        panel.get_by_role("button", name="Cut length"),
    ]
    for place in places:
        place.focus()
        for key in "abxm":
            page.keyboard.press(key)
    settle(panel)
    assert page.locator(".jp-Notebook .jp-Cell").count() == cells


def test_a_reading_opens_its_reasoning_and_keeps_the_focus(page: Page, panel: Locator) -> None:
    button = panel.get_by_role("button", name="Cut length")
    button.focus()
    page.keyboard.press("Enter")
    note = shown(panel)["note"]
    assert note.startswith("Cut length = ") and feet_inches((156 - 0.75 + 16) * K8) in note
    assert page.evaluate("document.activeElement.textContent") == "Cut length"
    assert panel.get_by_role("button", name="Cut length").get_attribute("aria-pressed") == "true"


def test_views_switch(panel: Locator) -> None:
    pictures = set()
    for view in panel.locator("[data-view]").all():
        view.click()
        pictures.add(shown(panel)["picture"])
        assert view.get_attribute("aria-pressed") == "true"
    assert len(pictures) == 5


# --- on the screen ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [(1366, 641), (1280, 720)], ids=["laptop", "projector"])
def test_the_whole_panel_fits_the_visible_notebook(page: Page, panel: Locator, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    try:
        for view in ("section", "seam", "table"):
            panel.locator(f"[data-view='{view}']").click()
            settle(panel)
            found = page.evaluate(
                f"""() => {{ const area = {AREA}, panel = document.querySelector('.rl-panel');
                const box = panel.getBoundingClientRect();
                return {{ room: area.clientHeight, height: box.height, over: panel.scrollWidth - panel.clientWidth,
                         sideways: area.scrollWidth - area.clientWidth }}; }}"""
            )
            assert found["height"] <= found["room"], found
            assert found["over"] <= 0 and found["sideways"] <= 0, found
    finally:
        page.set_viewport_size({"width": LAPTOP[0], "height": LAPTOP[1]})


def cut_off(panel: Locator) -> list[str]:
    """Texts that have less room than they need."""
    return panel.evaluate(
        """panel => ['.rl-label', '.rl-box', 'td', 'caption', '.rl-note', '.rl-keys', '.rl-sentence', '.rl-button']
        .flatMap(name => [...panel.querySelectorAll(name)])
        .filter(node => node.scrollWidth > node.clientWidth || node.scrollHeight > node.clientHeight + 1)
        .map(node => node.value || node.innerText)"""
    )


def test_nothing_in_the_panel_is_cut_off(panel: Locator) -> None:
    """Labels, boxes, readings and notes have the room their text needs, after changes that add "was ..."."""
    for pitch in ("24", "8", "11"):
        typed(panel, "Roof pitch", pitch)
        assert cut_off(panel) == [], pitch
    typed(panel, "Roof pitch", "8")
    typed(panel, "Seat", "5 1/2")
    panel.get_by_label("Truss heel follows the rafter").uncheck()
    typed(panel, "Truss heel", "9 3/8")
    for why in ("Between chords", "Soffit step", "Early check"):  # the longest reasonings
        panel.get_by_role("button", name=why).click()
        settle(panel)
        assert cut_off(panel) == []


def test_dimension_texts_stand_inside_the_frame_and_apart(panel: Locator) -> None:
    """Twelve texts of the section, measured by the browser's own getBBox, over several houses."""
    for raw in ({}, {"Span": "16'"}, {"Roof pitch": "14"}, {"Span": "48'", "Roof pitch": "3"}, {"Overhang": "4"}):
        for label, text in raw.items():
            typed(panel, label, text)
        found = panel.evaluate(
            """panel => { const svg = panel.querySelector('.rl-picture svg'), frame = svg.getBoundingClientRect();
            return [...svg.querySelectorAll('text')].map(text => { const own = text.getBBox(), m = text.getCTM();
                const xs = [], ys = [];
                for (const [x, y] of [[own.x, own.y], [own.x + own.width, own.y + own.height]])
                    { xs.push(m.a * x + m.c * y + m.e); ys.push(m.b * x + m.d * y + m.f); }
                const trim = 1.5;  // a text's box has empty room above and below its figures
                const low = [Math.min(...xs) + trim, Math.min(...ys) + trim];
                const high = [Math.max(...xs) - trim, Math.max(...ys) - trim];
                return { name: text.dataset.name, text: text.textContent, wide: frame.width, tall: frame.height,
                         box: [...low, ...high] };
            }); }"""
        )
        names = {one["name"] for one in found}
        assert len(names & set(MUST)) >= 10, names
        for one in found:
            x0, y0, x1, y1 = one["box"]
            assert x0 >= 0 and y0 >= 0 and x1 <= one["wide"] and y1 <= one["tall"], (raw, one)
        for i, one in enumerate(found):
            for other in found[i + 1 :]:
                (a0, b0, a1, b1), (c0, d0, c1, d1) = one["box"], other["box"]
                assert a1 <= c0 or c1 <= a0 or b1 <= d0 or d1 <= b0, (raw, one, other)
        panel.get_by_role("button", name="Reset").click()
        settle(panel)


def theme(page: Page, name: str) -> None:
    """Change JupyterLab's theme, and wait for its splash screen to go: two at once end in an error there."""
    page.evaluate(f"window.jupyterapp.commands.execute('apputils:change-theme', {{theme: 'JupyterLab {name}'}})")
    page.wait_for_function(f"document.body.dataset.jpThemeLight === '{'true' if name == 'Light' else 'false'}'")
    page.wait_for_function("!document.getElementById('jupyterlab-splash')")


def test_a_dark_theme_leaves_the_panel_readable(page: Page, panel: Locator) -> None:
    theme(page, "Dark")
    try:
        colours = panel.evaluate(
            """panel => ['.rl-label', '.rl-box', '.rl-button', 'td', 'caption', '.rl-note', '.rl-why', '.rl-follow']
            .flatMap(name => [...panel.querySelectorAll(name)]).map(node => {
            let under = node, back;
            while ((back = getComputedStyle(under).backgroundColor) === 'rgba(0, 0, 0, 0)') under = under.parentElement;
            return [node.className || node.tagName, getComputedStyle(node).color, back]; })"""
        )
        for name, front, back in colours:
            light, dark = sorted((luminance(front), luminance(back)), reverse=True)
            assert (light + 0.05) / (dark + 0.05) >= 4.5, (name, front, back)
        drawn = panel.evaluate(
            """panel => { const svg = panel.querySelector('.rl-picture svg'), look = node => getComputedStyle(node);
            const back = look(svg.querySelector('rect')).fill;
            return [...svg.querySelectorAll('text, path, g[stroke]')].map(node => node.matches('text')
                ? ['text', look(node).fill, back, 4.5] : ['line', look(node).stroke, back, 3]); }"""
        )
        assert len({what for what, *_ in drawn}) == 2 and luminance(drawn[0][2]) < 0.05
        for name, front, back, least in drawn:
            light, dark = sorted((luminance(front), luminance(back)), reverse=True)
            assert (light + 0.05) / (dark + 0.05) >= least or front == back, (name, front, back)  # halos of texts
    finally:
        theme(page, "Light")


def test_every_control_has_an_accessible_name(page: Page, panel: Locator) -> None:
    found = names(page, panel)
    assert len(found) >= 2 * len(CONTROLS) + 1 + 2 + 5 + 12
    buttons = sum(is_buttons(spec) for spec in section_panel().setup()["controls"])
    assert [one for one in found if not one[1]] == []
    inputs = [name for role, name in found if role in ("slider", "textbox", "checkbox")]
    assert len(set(inputs)) == len(inputs) >= 2 * (len(CONTROLS) - buttons) + 1


def test_axe_finds_nothing_serious(page: Page, panel: Locator) -> None:
    for view in ("section", "limits", "table"):
        panel.locator(f"[data-view='{view}']").click()
        settle(panel)
        assert faults(page) == [], view
    typed(panel, "Span", "wide")
    assert faults(page) == []


# --- questions --------------------------------------------------------------------------------------------------


def test_a_prediction_unlocks_its_panel(browser: Browser) -> None:
    page = browser.open(write_notebook(browser.folder / "questions.ipynb", QUESTIONS), (1366, 1600))
    small = page.locator(".rl-panel.rl-few")
    small.wait_for()
    asked, question = page.locator(".rl-ask").nth(0), page.locator(".rl-ask").nth(1)
    question.wait_for()
    locked = ["Seat, slider", "Seat, typed", "Truss heel follows the rafter"]
    assert all(small.get_by_label(label).is_disabled() for label in locked)
    assert not small.get_by_role("button", name="Reset").is_visible()
    assert faults(page) == []
    cells = page.locator(".jp-Notebook .jp-Cell").count()
    asked.get_by_role("radio").first.focus()
    page.keyboard.press("b")
    page.keyboard.press("Space")
    page.wait_for_function("panel => !panel.classList.contains('rl-locked')", arg=small.element_handle())
    asked.locator(".rl-answer").get_by_text("You said: higher").wait_for()
    assert all(small.get_by_label(label).is_enabled() for label in locked)
    small.get_by_label("Seat, slider").focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    settle(small)
    asked.get_by_text("It is: lower").wait_for()
    box = question.get_by_role("textbox")
    box.fill("8 5/8")  # 11.25 x 1.25 - 0.75 x 7.25
    box.press("Enter")
    question.get_by_text("Right.").first.wait_for()
    assert page.locator(".jp-Notebook .jp-Cell").count() == cells
    assert [one for one in names(page, page.locator(".jp-Notebook .rl-ask").nth(1)) if not one[1]] == []
    assert cell_errors(page) == []


def test_a_wall_jog_is_driven(browser: Browser) -> None:
    """By hand: set in 25, 8 and 4 in 12, walls 5 1/2 and 3 1/2: plate (25 + 3.5 - 5.5)/3 = 7.6667, 7 11/16; on the
    roof's slope with the long heel 25 x 8/12 = 16.6667, 1'-4 11/16.
    """
    cell = "from rooflab.live import jog\njog()"
    page = browser.open(write_notebook(browser.folder / "jog.ipynb", [cell]), LAPTOP)
    panel = page.locator(".rl-panel")
    panel.wait_for()
    panel.get_by_label("Set in by, slider").focus()
    page.keyboard.press("ArrowRight")
    settle(panel)
    assert reading(panel, "Plate up") == '7 11/16"'
    panel.get_by_role("radio", name="same heel").check()
    settle(panel)
    assert reading(panel, "Plate up") == "1'-4 11/16\""
    assert "and breaks" in shown(panel)["sentence"]
    for view in ("Plan", "The approaches side by side", "Gable end and finish", "Limits", "Sections"):
        panel.get_by_role("button", name=view, exact=True).click()
        settle(panel)
        cut = "[...panel.querySelectorAll('td, .rl-note, .rl-sentence, .rl-label, .rl-keys')]"
        assert panel.evaluate(f"panel => {cut}.filter(one => one.scrollWidth > one.clientWidth + 1).length") == 0, view
    assert [one for one in names(page, panel) if not one[1]] == []
    assert faults(page) == [] and cell_errors(page) == []


HELD = "from threading import Timer; panel._lock.acquire(); Timer(2, panel._lock.release).start()"
HOLD = f"() => {NOTEBOOK}.sessionContext.session.kernel.requestExecute({{ code: {HELD!r} }}).done.then(() => 0)"
SEEN = """panel => ['.rl-picture', '.rl-readings', '.rl-sentence', '.rl-note', '.rl-touch'].map(part =>
    panel.querySelector(part).innerHTML).concat([...panel.querySelectorAll('input')].map(box => box.value))"""


def test_a_step_of_a_slider_shows_while_its_answer_waits(shared: Browser) -> None:
    """What a step brings is there beforehand, and is what Python says in the end: heel = 9 1/4 k - 8/12 seat."""
    cell = "from rooflab.live import one_plane\npanel = one_plane(seat='2 in')\npanel"
    page = shared.open(write_notebook(shared.folder / "busy.ipynb", [cell]), LAPTOP)
    panel = page.locator(".rl-panel")
    panel.wait_for()
    settle(panel)
    slider = panel.get_by_label("Seat, slider")
    slider.focus()
    seat = 2.0
    for key, way in (("ArrowRight", 1), ("ArrowRight", 1), ("ArrowLeft", -1)):
        page.wait_for_timeout(600)  # what is next is asked for, and has come
        page.evaluate(HOLD)
        page.keyboard.press(key)
        page.wait_for_timeout(100)
        seat += way * float(slider.get_attribute("step") or 0)
        assert panel.get_attribute("data-waiting") == "yes"
        early = panel.evaluate(SEEN)
        assert reading(panel, "Heel height") == heel(seat)
        settle(panel)
        assert panel.evaluate(SEEN) == early
