"""How fast the formulas are over many rafters, and how light ``import rooflab`` is: a script, not a test.

Run ``python tests/bench_sweep.py`` in the project's folder.  Each figure is the best of several runs.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import numpy as np

from rooflab import geometry as geo

RUNS = 7
CLOCK = "from time import perf_counter; t = perf_counter(); import rooflab; print(perf_counter() - t)"


def best(work: Callable[[], object]) -> float:
    """Seconds of the fastest of several runs."""
    times = []
    for _ in range(RUNS):
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


def import_time() -> float:
    """Seconds of ``import rooflab`` in a fresh interpreter."""
    root = Path(__file__).resolve().parent.parent
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
    print(f"import rooflab: {import_time():.4f} s; target 0.05 s or less")


if __name__ == "__main__":
    main()
