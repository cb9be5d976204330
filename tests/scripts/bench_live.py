"""How fast the live panel answers in JupyterLab, beside ``interact`` with an inline drawing of the same section.

Run it as ``python tests/scripts/bench_live.py`` on a quiet machine.  A time counts from the key press (the browser's
own stamp of the event) until the page's last change is painted: until the first task after the frame that holds it.
"Two frames" waits for one frame more.  Both ways are measured in turn, in one run.
"""

from __future__ import annotations

import json
import random
import statistics
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from rooflab.base.measure import feet_inches
from tests.tools.browser import Browser, Lab, find_chromium, no_browser, settle, write_notebook

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

PRESSES, DRAGS, SPAN = 60, 5, 2.0

PANEL = "from rooflab.live import one_plane\npanel = one_plane(seat='2 in')\npanel"
HOUSE = "from rooflab.live import house\nhouse()"
INLINE = """import matplotlib.pyplot as plt
from matplotlib.patches import Polygon
from ipywidgets import FloatSlider, interact
from rooflab import Gable, RafterBay, ScissorBay, compare
from rooflab.draw.layout import fit
from rooflab.draw.scene import STYLES
from rooflab.draw.views.section import section

%matplotlib inline

@interact(seat=FloatSlider(min=0, max=5.5, step=0.125, value=2))
def draw(seat):
    gable = Gable("26'", 8, 5.5, 16)
    rafters = RafterBay(gable, "2x10", seat=seat, ridge="2x12")
    scissor = ScissorBay(gable, 4, rafters.heel)
    placed = fit(section(rafters, scissor, compare(rafters, scissor)), WIDE, TALL)
    figure, axes = plt.subplots(figsize=(WIDE / 100, TALL / 100), dpi=100)
    for shape in placed.shapes:
        style = STYLES[shape.style]
        axes.add_patch(Polygon(shape.points, facecolor=style.fill, edgecolor=style.line, linewidth=0.7 * style.width))
    for stroke in placed.strokes:
        style = STYLES[stroke.style]
        axes.plot(*zip(*stroke.points), color=style.line, linewidth=0.7 * style.width)
    for label in placed.labels:
        side = {"start": "left", "middle": "center", "end": "right"}[label.anchor]
        axes.text(label.x, label.y, label.text, fontsize=8, ha=side, va="center", rotation=90 if label.turned else 0)
    axes.set(xlim=(0, WIDE), ylim=(TALL, 0))
    axes.set_axis_off()
    figure.subplots_adjust(0, 0, 1, 1)
    plt.show()
"""
SIZE = 1366, 1250  # of the window, px
PICTURE = 840, 487  # of the panel's picture there, px: both draw the same

WATCH = """(node, inline) => { window.rlNext = new Promise(done => {
    let start = null, ended = false;
    addEventListener('keydown', event => { start = event.timeStamp; }, { capture: true, once: true });
    const since = () => performance.now() - start;
    const painted = () => requestAnimationFrame(() => {
        const task = new MessageChannel();
        const drawn = new Promise(go => { task.port1.onmessage = () => go(since()); task.port2.postMessage(0); });
        requestAnimationFrame(() => { const two = since(); drawn.then(one => done([one, two])); });
    });
    const end = () => { if (ended || start === null) return; ended = true; watcher.disconnect(); painted(); };
    const watcher = new MutationObserver(() => {
        if (!inline) return end();
        const picture = node.querySelector('img');
        if (!picture || picture === before) return;
        if (picture.complete) end(); else picture.addEventListener('load', end);
    });
    const before = node.querySelector('img');
    const drawn = { childList: true, subtree: true }, answered = { attributes: true, attributeFilter: ['data-serial'] };
    watcher.observe(node, inline ? drawn : answered);
}); }"""

DRAG = """async (slider, panel) => {
    const span = 2000, step = 1000 / 60, low = 0.5, high = 5.5;
    const events = Math.round(span / step);
    let last = 0, there = '';
    const sent = new Map(), lags = [];
    const answered = new MutationObserver(() => {  // how long ago the finger stood where the picture is now
        const shown = text(), at = sent.get(shown);
        sent.delete(shown);
        if (at) requestAnimationFrame(() => lags.push(performance.now() - at));
    });
    answered.observe(panel, { attributes: true, attributeFilter: ['data-serial'] });
    for (let i = 1; i <= events; i++) {
        const to = i === events ? FINAL : low + (high - low) * Math.abs(Math.sin(i / 19));
        slider.value = to; slider.dispatchEvent(new Event('input', { bubbles: true }));
        last = performance.now();
        if (WORDS[slider.value] !== there) sent.set(there = WORDS[slider.value], last);
        if (i < events) await new Promise(go => setTimeout(go, step));
    }
    function text() { return slider.parentNode.querySelector('.rl-box').value; }
    while (panel.dataset.waiting !== 'no') await new Promise(go => setTimeout(go, 1));
    await new Promise(go => requestAnimationFrame(() => requestAnimationFrame(go)));
    answered.disconnect();
    return [performance.now() - last, text(), lags];
}"""



def press(page: Page, slider: Locator, watched: Locator, inline: bool, key: str) -> tuple[float, float]:
    """Milliseconds from one press of a key on a slider to the picture's paint, and to two frames after its change."""
    slider.focus()
    watched.evaluate(WATCH, inline)
    page.keyboard.press(key)
    taken = page.evaluate("window.rlNext")
    page.wait_for_timeout(120 + random.random() * 60)
    return taken[0], taken[1]


def drag(slider: Locator, panel: Locator, final: float, text: str) -> tuple[float, list[float]]:
    """Milliseconds from the end of a 2 s drag to the right value on screen, and by how much the picture lags in it."""
    words = {f"{i / 16:g}": feet_inches(i / 16) for i in range(97)}
    code = DRAG.replace("FINAL", str(final)).replace("WORDS", json.dumps(words))
    taken, shown, lags = slider.evaluate(f"async slider => ({code})(slider, slider.closest('.rl-panel'))")
    assert shown == text, (shown, text)
    return taken, lags


def line(name: str, times: Sequence[float]) -> str:
    ordered = sorted(times)
    p95 = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    return f"{name:<34}{statistics.median(times):>8.1f}{p95:>8.1f}{ordered[-1]:>8.1f}"


def measure(chromium: str) -> str:
    """The table of one run."""
    inline = INLINE.replace("WIDE", str(PICTURE[0])).replace("TALL", str(PICTURE[1]))
    with Lab() as lab, Browser(lab, chromium) as browser:
        page = browser.open(write_notebook(lab.folder / "bench.ipynb", (PANEL, inline, HOUSE)), SIZE)
        panel, house = page.locator(".rl-panel").first, page.locator(".rl-panel").nth(1)
        house.wait_for()
        settle(panel)
        shown = panel.locator(".rl-picture svg").get_attribute("viewBox")
        assert shown == f"0 0 {PICTURE[0]} {PICTURE[1]}", shown
        live, slow = panel.get_by_label("Seat, slider"), page.locator(".noUi-handle")
        output = page.locator(".widget-interact .jp-OutputArea")
        page.locator(".widget-interact img").wait_for()
        times: dict[bool, list[tuple[float, float]]] = {False: [], True: []}
        for turn in range(PRESSES + 3):
            key = "ArrowRight" if turn % 40 < 20 else "ArrowLeft"
            for plain in (False, True):
                taken = press(page, slow if plain else live, output if plain else panel, plain, key)
                if turn >= 3:  # the first ones warm up
                    times[plain].append(taken)
        settle(house)
        knob, turned = house.get_by_label("Turn, slider"), list[tuple[float, float]]()
        for i in range(PRESSES + 3):
            turned.append(press(page, knob, house, False, "ArrowRight" if i % 40 < 20 else "ArrowLeft"))
        finals = [(1.5 + 0.5 * i, text) for i, text in enumerate(('1 1/2"', '2"', '2 1/2"', '3"', '3 1/2"'))][:DRAGS]
        drags = [drag(live, panel, final, text) for final, text in finals]
        assert not browser.errors, browser.errors
    (live_paint, live_two), (slow_paint, slow_two) = (
        list(zip(*times[inline], strict=True)) for inline in (False, True)
    )
    ratio = statistics.median(slow_paint) / statistics.median(live_paint)
    return "\n".join(
        (
            f"{'milliseconds':<34}{'median':>8}{'p95':>8}{'worst':>8}",
            line("panel, key press to paint", live_paint),
            line("panel, to two frames", live_two),
            line("house in the round, key to paint", [one for one, _ in turned[3:]]),
            line("interact + inline, to paint", slow_paint),
            line("interact + inline, to two frames", slow_two),
            line(f"panel, after a {SPAN:g} s drag at 60/s", [end for end, _ in drags]),
            line("picture behind the finger in it", [lag for _, lags in drags for lag in lags]),
            f"the panel is {ratio:.1f} times as fast",
        )
    )


if __name__ == "__main__":
    if reason := no_browser():
        sys.exit(f"cannot measure here: {reason}")
    print(measure(find_chromium()))
