"""How fast the house in the round is drawn while it is turned, for houses of more and more members: not a test.

Run ``python tests/scripts/bench_round.py`` in the project's folder.  Each figure is the best of several runs, all sizes
in turn, in time of the processor: scene, layout and SVG text of one picture, and the same for a house that was not
drawn before.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from rooflab.draw.layout import fit
from rooflab.draw.prisms import View
from rooflab.draw.scene import svg
from rooflab.draw.views.house import COVERS, PAIRS, RoundHouse, house_of_bays, house_scene, stretches
from rooflab.job.jobfile import example
from rooflab.job.schedule import THICK, TrussType

RUNS = 15
MEMBERS, SPACING = (20, 40, 80), 24.0  # rafter pairs and trusses together; in
TURNS = (-150, -52, 0, 38, 90)  # degrees
UP, FRAME = 24.0, (840.0, 480.0)  # degrees; px


def house_with(members: int) -> RoundHouse:
    """The example's bays with so many rafter pairs and trusses."""
    job, trusses = example(), members - PAIRS
    kind = TrussType("A", (trusses - 1) * SPACING + THICK, SPACING)
    return house_of_bays(job.rafters.handed_over(), job.scissor, (kind,))


def picture(found: RoundHouse, turn: float, on: str, fresh: bool = False) -> Callable[[], str]:
    """Draws one picture; ``fresh`` works out what stands in the house, too."""

    def work() -> str:
        if fresh:
            stretches.cache_clear()
        return svg(fit(house_scene(found, View(turn, UP), on), *FRAME), *FRAME)

    return work


def milliseconds(work: Callable[[], object]) -> float:
    begun = process_time()
    work()
    return 1e3 * (process_time() - begun)


def line(name: str, turn: float, on: str, fresh: bool = False) -> str:
    """Milliseconds a picture of each size, and how much longer each takes than the one half as large."""
    works = [picture(found, turn, on, fresh) for found in map(house_with, MEMBERS)]
    rounds = [[*map(milliseconds, works)] for _ in range(RUNS)]
    times = [min(column) for column in zip(*rounds, strict=True)]
    growth = ", ".join(f"{b / a:.2f}" for a, b in zip(times, times[1:], strict=False))
    return f"{name:<22}" + "".join(f"{one:>14.1f}" for one in times) + f"{growth:>16}"


def main() -> None:
    print(f"{'ms a picture':<22}" + "".join(f"{f'{members} members':>14}" for members in MEMBERS) + f"{'growth':>16}")
    for on in COVERS:
        for turn in TURNS:
            print(line(f"{on}, turned {turn}", turn, on))
    print(line("frame, a new house", TURNS[1], "frame", True))
    sizes = [len(picture(house_with(members), TURNS[1], "frame")().encode()) / 1e3 for members in MEMBERS]
    print(f"{'kB of SVG':<22}" + "".join(f"{one:>14.1f}" for one in sizes))
    print("members twice as many take twice as long where time is linear, less where walls and names count")


if __name__ == "__main__":
    main()
