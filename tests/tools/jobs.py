"""Jobs of every kind for the sheets and files: the example, and corners of what a job may hold."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import rooflab as rl
from rooflab.house.bays import Jog, ScissorBay
from rooflab.job.jobfile import Job, example, rounded_heels
from rooflab.job.schedule import TrussType

FIVE = (
    TrussType("A", 240, gable_ends=1, remark="main bay"),
    TrussType("B", 96, jog=Jog("left", 24, 3.5), remark="where the wall is set in"),
    TrussType("C", 60, 19.2, jog=Jog("right", 36)),
    TrussType("D", 30, jog=Jog("left", 12, None, "stepped")),
    TrussType("E", 480, gable_ends=1, doubled=2),
)
WORDS = {
    "project": "A house with a rather long name on the slope above the valley", "address": "12 Hill Road, Someplace",
    "architect": "An office of architects", "contact": "A. Person, 555 0100", "revision": "C",
    "date": "24 November 2026",
    "issued_for": "the truss manufacturer's review", "dimensions_verified_by": "the general contractor",
}  # fmt: skip


def house(span: float, pitch: Any, over: Any, lumber: str, ceiling: Any, types: Any = FIVE[:1], **more: Any) -> Job:
    plates = more.pop("plates", 97.125)
    gable = rl.Gable(span, pitch, more.pop("bearing", 5.5), over, plates)
    rafters = rl.RafterBay(gable, lumber, more.pop("seat", 3.5))
    truss = ScissorBay(gable, ceiling, rounded_heels(rafters), **more.pop("truss", {}))
    return Job("House on the slope", rafters, truss, tuple(types), **more)


@cache
def corners() -> tuple[Job, ...]:
    notes = tuple(f"Note {i}: deliveries come by the lower road, and the crane stands in the yard." for i in range(14))
    return (
        example(),
        house(312, 8, 16, "2x10", 4, FIVE, finish=(0.5, 0.75), sheet=WORDS),
        house(720, 4, 24, "2x12", 2, FIVE, notes=notes, sheet={**WORDS, "contact": "W" * 120}),
        house(720, 18, 48, "2x12", 9, FIVE, finish=(0.625, 0)),
        house(720, 24, 48, "2x12", 12),
        house(720, 1, 0, "2x12", 0.25),
        house(96, 2, 0, "2x6", 0.5, bearing=3.5),
        house(96, 24, 12, "2x6", 12, FIVE[:1], outlooker=("2x6", "on edge")),
        house(312, (8, 6), (16, 24), "2x10", 3, FIVE[:3], plates=(97.125, 121.125), finish=(0.5, 0)),
        house(
            312, 8, 16, "2x10", 4, FIVE[:2], plates=(97.125, 73.125), truss={"apex": "ridge", "ceiling_from": "outside"}
        ),
        house(312, 8, 16, "2x10", 4, FIVE[:2], truss={"plate": 24}),
        house(
            312, 8, 16, "2x10", 4, [replace(FIVE[1], mark=m, remark="r" * 300) for m in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"]
        ),
        house(312, 8, 16, "2x10", 4, [TrussType("WWWWWW", 2400, 12, remark="x")] * 1 + [FIVE[3]]),
    )
