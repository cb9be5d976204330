"""Rafters to cut: the house of the workbooks with some numbers changed, and any in the range of every input."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import rooflab as rl
from rooflab import InputError
from rooflab.house.cutting import Cut

LUMBER = ("2x4", "2x6", "2x8", "2x10", "2x12")


def cut(hook: str = "ridge", end: str = "left", **given: Any) -> Cut:
    """Our rafter with some numbers changed; gable and bay inputs by name."""
    walls: dict[str, Any] = {"span": 312.0, "pitch": 8.0, "bearing": 5.5, "overhang": 16.0}
    wood: dict[str, Any] = {"lumber": "2x10", "seat": 3.5, "ridge": "2x12"}
    walls = {name: given.pop(name, value) for name, value in walls.items()}
    return Cut(rl.RafterBay(rl.Gable(**walls), **{**wood, **given}), end, hook)


def random_cuts(count: int, seed: int) -> Iterator[tuple[str, Cut]]:
    """Rafters anywhere in the range of every input, on its control's steps."""
    rng, found = random.Random(seed), 0
    while found < count:
        given: dict[str, Any] = {name: _step(rng, name) for name in ("span", "pitch", "bearing", "overhang", "seat")}
        given["seat"] = min(given["seat"], given["bearing"])
        given |= {"lumber": rng.choice(LUMBER), "ridge": rng.choice((None, "1x8", "2x12"))}
        hook, end = rng.choice(("ridge", "tail")), rng.choice(("left", "right"))
        try:
            made = cut(hook, end, **given)
        except InputError:
            continue
        found += 1
        yield f"{given} {hook}", made


def _step(rng: random.Random, name: str) -> float:
    row = rl.INPUTS[name]
    if rng.random() < 0.15:
        return rng.choice((row.low, row.high))
    return row.low + row.step * rng.randint(0, int((row.high - row.low) / row.step))
