"""Jobs of every kind for the sheets and files: the example, and corners of what a job may hold."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import rooflab as rl
from rooflab import InputError
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


LOADS: dict[str, Any] = {
    "code": "IRC 2021", "jurisdiction": "Someplace County", "risk_category": "II", "seismic_category": "B",
    "ground_snow": 30, "snow_exposure": 1.0, "thermal": 1.1, "unbalanced": "as ASCE 7, by the truss designer",
    "wind_speed": 115, "exposure": "C", "enclosure": "enclosed", "roof_height": 17, "top_live": 30, "top_dead": 10,
    "bottom_live": 10, "bottom_dead": 10, "carried": "one fan at mid-room", "deflection_live": 360,
    "deflection_total": 240, "deflection_seam": 480, "movement": 0.5, "left_bearing": "held",
    "right_bearing": "may slide", "plate_species": "SPF", "top_bracing": "7/16 sheathing, by the framer",
    "bottom_bracing": "gypsum on strapping", "heel_blocking": "the framer", "tail_cut": "square",
    "subfascia": "2x6, by the framer", "fascia": "1x8", "soffit": "vented, level", "ladder": "the framer",
    "ladder_spacing": "24 in", "gable_studs": "2x4 at 16 in, by the manufacturer", "gable_sheathing": "the framer",
    "sealed": "yes", "placement": "yes",
}  # fmt: skip


def house(span: float, pitch: Any, over: Any, lumber: str, ceiling: Any, types: Any = FIVE[:1], **more: Any) -> Job:
    plates = more.pop("plates", 97.125)
    gable = rl.Gable(span, pitch, more.pop("bearing", 5.5), over, plates)
    rafters = rl.RafterBay(gable, lumber, more.pop("seat", 3.5))
    truss = ScissorBay(gable, ceiling, rounded_heels(rafters), **more.pop("truss", {}))
    return Job("House on the slope", rafters, truss, tuple(types), **more)


def varied_jobs(count: int, seed: int = 14) -> Iterator[Job]:
    """Random jobs with walls set in and out at either end, gable ends, and often unequal pitches and plates."""
    rng = random.Random(seed)
    while count:
        span, pitch = rng.randrange(180, 601, 6), rng.randrange(6, 25) / 2
        uneven = rng.random() < 1 / 3
        jogs = [None, *(Jog(rng.choice(("left", "right")), rng.choice((-1, 1)) * rng.randrange(6, 37),
                            None, rng.choice(("straight", "stepped"))) for _ in range(3))]  # fmt: skip
        try:
            types = [
                TrussType(mark, rng.randrange(48, 480), rng.choice((12, 16, 19.2, 24)), rng.randrange(2),
                          rng.randrange(3), jog)
                for mark, jog in zip("ABCD", jogs[: rng.randrange(2, 5)], strict=False)
            ]  # fmt: skip
            over = (rng.randrange(0, 31, 2), rng.randrange(0, 31, 2)) if uneven else rng.randrange(0, 31, 2)
            yield house(span, (pitch, pitch + 1) if uneven else pitch, over, rng.choice(("2x8", "2x10", "2x12")),
                        rng.randrange(0, 9) / 2, types, seat=2, plates=(97, 97 + rng.choice((0, 12)) * uneven),
                        sheet=rng.choice((WORDS, {})), loads=rng.choice((LOADS, {})))  # fmt: skip
        except InputError:
            continue
        count -= 1


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


def uneven_jobs(count: int, seed: int) -> Iterator[Job]:
    """Jobs whose ends differ: pitches, seats, overhangs, plates; long titles and words of the title block too."""
    rng = random.Random(seed)
    while count:
        try:
            two = rng.random() < 0.6
            pitch = (rng.choice((4, 6, 8, 9.5)), rng.choice((5, 8, 12))) if two else rng.choice((3, 8, 12, 18))
            over = (rng.choice((0, 12, 16)), rng.choice((8, 24, 30))) if two else rng.choice((0, 16, 24))
            plates = (97.125, 97.125 + rng.choice((0, 12, 24))) if two else 97.125
            gable = rl.Gable(rng.randrange(160, 480), pitch, 5.5, over, plates)
            seat = (rng.randrange(24, 88) / 16, rng.randrange(24, 88) / 16) if two else rng.randrange(24, 88) / 16
            rafters = rl.RafterBay(gable, rng.choice(("2x6", "2x8", "2x10", "2x12")), seat)
            scissor = rl.ScissorBay(gable, rng.choice((2, 3)), rounded_heels(rafters))
            made = Job(
                rng.choice(("House on the slope", "A house with a long name " * 6)), rafters, scissor,
                grade=rng.choice(("", "DFL No.2")), rafter_spacing=rng.choice((12, 16, 19.2, 24)),
                sheet=rng.choice(({}, {"architect": "An office of architects"})),
            )  # fmt: skip
        except InputError:
            continue
        count -= 1
        yield made
