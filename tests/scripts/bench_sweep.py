"""How fast formulas, whole houses and maps are over many cells, and how light ``import rooflab`` is: not a test.

Run ``python tests/scripts/bench_sweep.py`` in the project's folder.  Each figure is the best of several runs.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import numpy as np
from contourpy import contour_generator

from rooflab.base import geometry as geo
from rooflab.job import maps
from rooflab.job import sweep as sweeps
from rooflab.job.jobfile import example

RUNS = 7
CLOCK = "from time import perf_counter; t = perf_counter(); import rooflab; print(perf_counter() - t)"


def best(work: Callable[[], object], runs: int = RUNS) -> float:
    """Seconds of the fastest of several runs."""
    times = []
    for _ in range(runs):
        begun = perf_counter()
        work()
        times.append(perf_counter() - begun)
    return min(times)


def sweep(count: int) -> Callable[[], object]:
    """Every reading of ``count`` common rafters: depth, pitch, seat, run and overhang all differ."""
    rng = np.random.default_rng(8)
    depth, slope = rng.choice([5.5, 7.25, 9.25, 11.25], count), rng.uniform(3, 12, count) / 12
    seat, run, out = rng.uniform(1.5, 5.5, count), rng.uniform(60, 240, count), rng.uniform(0, 24, count)

    def work() -> object:
        heel = geo.heel(depth, slope, seat)
        cut = geo.cut_length(run, 1.5, out, slope)
        tail = geo.drop(heel, slope, out)
        return (
            heel, geo.plumb_depth(depth, slope), geo.birdsmouth_plumb(slope, seat),
            geo.ratio(geo.notch(slope, seat), depth),
            geo.line_length(run, slope), geo.ridge_shortening(1.5, slope), cut, geo.stock_length(cut, depth, slope),
            geo.height(heel, slope, run), tail, geo.underside(tail, depth, slope),
        )  # fmt: skip

    return work


def whole_map(side: int) -> Callable[[], object]:
    """``side`` x ``side`` whole houses over seat and pitch: both bays, every finding, two readings with their lines."""
    seats, pitches = np.linspace(1.5, 5.5, side), np.linspace(3, 12, side)

    def work() -> object:
        made = sweeps.sweep(example(), seat=seats, pitch=pitches)
        wanted = ((made.state, (1.5, 2.5)), (made.reading("rafter.notch_ratio"), np.arange(0.1, 0.5, 0.05)),
                  (made.reading("scissor.height"), np.arange(60.0, 200.0, 12.0)))  # fmt: skip
        lines = []
        for values, levels in wanted:
            drawn = contour_generator(x=seats, y=pitches, z=np.ma.masked_invalid(values.T.astype(float)))
            lines += [drawn.lines(level) for level in levels]
        return lines

    return work


def import_time() -> float:
    """Seconds of ``import rooflab`` in a fresh interpreter."""
    root = Path(__file__).resolve().parents[2]
    fresh = [sys.executable, "-c", CLOCK]
    runs = [subprocess.run(fresh, cwd=root, capture_output=True, text=True, check=True).stdout for _ in range(RUNS)]
    return min(map(float, runs))


def main() -> None:
    sizes = (10**5, 10**6)
    seconds = [best(sweep(size)) for size in sizes]
    for size, taken in zip(sizes, seconds, strict=True):
        print(f"{size:>9,} rafters, 11 readings each: {taken:.4f} s, {1e9 * taken / size:.0f} ns a rafter")
    growth = seconds[1] / seconds[0]
    print(f"10 times the rafters take {growth:.1f} times as long (10 is linear); target for a million: 0.5 s or less")
    sides = (316, 1000)
    seconds = [best(whole_map(side), 3) for side in sides]
    for side, taken in zip(sides, seconds, strict=True):
        each = 1e9 * taken / side**2
        print(f"{side * side:>9,} whole houses, findings and contours: {taken:.3f} s, {each:.0f} ns a cell")
    growth = seconds[1] / seconds[0]
    print(f"10 times the cells take {growth:.1f} times as long (10 is linear); target for a million: 2 s or less")
    begun = perf_counter()
    maps.map_of(example(), "seat", "pitch")
    print(f"one map of {maps.CELLS[0]} x {maps.CELLS[1]} with true lines: {perf_counter() - begun:.2f} s")
    print(f"import rooflab: {import_time():.4f} s; target 0.05 s or less")


if __name__ == "__main__":
    main()
