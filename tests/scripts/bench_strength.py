"""How fast 100,000 rafters go through the same strength functions that serve one.

Run it as ``python tests/scripts/bench_strength.py``; it prints the best of five and fails above half a second.
"""

from __future__ import annotations

import sys
from time import perf_counter
from typing import Any

import numpy as np

from rooflab.base import geometry as geo
from rooflab.checks.grades import bending_value, grade_by_name, repetitive, size_factor
from rooflab.checks.loads import Loads
from rooflab.checks.strength import RATIOS, span_limits, work_out

COUNT, ALLOWED = 100_000, 0.5


def many(count: int = COUNT, seed: int = 7) -> dict[str, Any]:
    """Symbols of ``count`` random rafters of one grade."""
    dice, grade = np.random.default_rng(seed), grade_by_name("DFL No.2")
    depth = dice.choice([5.5, 7.25, 9.25, 11.25], count)
    slope, spacing = dice.uniform(3, 16, count) / 12, dice.choice([12.0, 16.0, 19.2, 24.0], count)
    seat = dice.uniform(1.5, 3.5, count)
    loads = Loads(ground_snow=40)
    return {
        "dead": dice.uniform(7, 25, count), "live": loads.snow_at(slope), "m": slope, "s": spacing,
        "L": dice.uniform(72, 240, count), "o": dice.uniform(0, 24, count), "b": np.full(count, 1.5), "D": depth,
        "n": geo.notch(slope, seat), "seat": seat, "F_b": bending_value(grade, depth), "F_v": grade.Fv, "F_p": grade.Fp,
        "E": grade.E, "C_F": size_factor(grade, depth), "C_r": repetitive(spacing), "C_D": 1.15, "limit": 240.0,
    }  # fmt: skip


def seconds(tries: int = 5) -> float:
    """Best time for the loads, factors, readings and longest spans of all rafters."""
    times = []
    for _ in range(tries):
        start = perf_counter()
        symbols = many()
        values, reach = work_out(symbols), span_limits(symbols)
        assert all(np.shape(one) == (COUNT,) for one in (*(values[name] for name in RATIOS), *reach.values()))
        times.append(perf_counter() - start)
    return min(times)


if __name__ == "__main__":
    best = seconds()
    print(f"{COUNT} rafters: {best:.3f} s (allowed {ALLOWED} s)")
    sys.exit(best > ALLOWED)
