"""How fast the view for the table answers with six options in it, beside the live section, in JupyterLab.

Run it as ``python tests/scripts/bench_meeting.py`` on a quiet machine.  A time counts from the key press until the
page's last change is painted, as in ``bench_live``; both are measured in turn, in one run.  Each press moves the slider
of one option by one step while all six stand side by side: as small sections, and in the table.
"""

from __future__ import annotations

import statistics
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.scripts.bench_live import PANEL, line, press
from tests.tools.browser import Browser, Lab, find_chromium, no_browser, settle, write_notebook

PRESSES = 30
SIX = """from rooflab import live
table = live.together(live.ours(), 'other.json')
table.do('go', '', '1'), table.do('press', 'keep')
for what, value in (('Seat', '3'), ('Rafter', '2x12'), ('Ceiling pitch', '5'), ('Overhang', "2'"), ('Roof pitch', '7')):
    table.do('set', 'change', what), table.do('set', 'to', value), table.do('press', 'keep')
table.do('go', '', '2'), table.do('set', 'option', '2 Seat 3"')
table"""


def measure(chromium: str) -> str:
    """The table of one run."""
    with Lab() as lab, Browser(lab, chromium) as browser:
        page = browser.open(write_notebook(lab.folder / "bench.ipynb", (PANEL, SIX)), (1366, 1500))
        panel, view = page.locator(".rl-panel"), page.locator(".rl-meeting")
        view.wait_for()
        rows, medians = [], {}
        for show in ("sections", "table, 1 of"):
            choice = view.locator("select").first
            label = choice.locator("option").all_inner_texts()
            choice.select_option(next(one for one in label if one.startswith(show)))
            settle(view)
            places = {"live section": (panel.get_by_label("Seat, slider"), panel)}
            places[f"six, {show.partition(',')[0]}"] = (view.get_by_role("slider"), view)
            times: dict[str, list[float]] = {name: [] for name in places}
            for turn in range(PRESSES + 3):
                for name, (slider, root) in places.items():
                    taken = press(page, slider, root, False, "ArrowRight" if turn % 16 < 8 else "ArrowLeft")
                    times[name] += [taken[0]] * (turn >= 3)  # the first ones warm up
            rows += [line(f"{name}, key to paint", row) for name, row in times.items()]
            medians[show] = [statistics.median(row) for row in times.values()]
        assert not browser.errors, browser.errors
    said = [f"{show.partition(',')[0]} take {b / a:.2f} times as long" for show, (a, b) in medians.items()]
    return "\n".join([f"{'milliseconds':<34}{'median':>8}{'p95':>8}{'worst':>8}", *rows, *said])


if __name__ == "__main__":
    if reason := no_browser():
        sys.exit(f"cannot measure here: {reason}")
    print(measure(find_chromium()))
