"""The corner cases of the pictures, every picture of a case, and what may be wrong with one.

A case is the set of inputs of both bays; ``views_of`` makes every picture of it at the sizes of the live panel.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from random import Random
from typing import Any, NamedTuple

from shapely import STRtree
from shapely.geometry import LineString, box

from rooflab import Gable, InputError, RafterBay, ScissorBay
from rooflab.base.lumber import CHORDS, RAFTERS, dressed_size
from rooflab.base.measure import sixteenth
from rooflab.draw.layout import fit
from rooflab.draw.scene import Label, Layout, Scene, Shape
from rooflab.draw.views.details import eave, heel_detail, rafter_heel, truss_heel
from rooflab.draw.views.section import seam_plan, section
from rooflab.house.bays import INPUTS
from rooflab.house.seam import compare, tail_and_soffit
from rooflab.live.widgets.frames import frames

Frame = tuple[float, float]
LARGE = frames({}, ("Section", "Seam")).picture  # of a panel on a usual page, px; below on a narrow, low one
SMALL = frames({"_width": "552", "_height": "480"}).picture
DETAIL = frames({"_width": "1144", "_height": "641"}, ("Section", "Seam"), True).detail  # the smallest
Picture = tuple[str, Scene, Frame, Layout]


class Case(NamedTuple):
    """A named pair of bays."""

    name: str
    rafters: RafterBay
    scissor: ScissorBay


def made(name: str, heel: Any = None, jog: dict[str, Any] | None = None, **given: Any) -> Case:
    """Both bays from a few inputs; the truss takes the rafter's heel unless ``heel`` is given."""
    value = {"span": 312.0, "pitch": 8.0, "bearing": 5.5, "overhang": 16.0, "sheathing": 0.5} | given
    gable = Gable(**{key: value[key] for key in ("span", "pitch", "bearing", "overhang", "sheathing")})
    if "plate_height" in value:
        gable = Gable(**{key: value[key] for key in ("span", "pitch", "bearing", "overhang", "plate_height")})
    stock = {"depth": value["depth"]} if "depth" in value else {"lumber": value.get("lumber", "2x10")}
    seat = value.get("seat", 3.5)
    rafters = RafterBay(gable, seat=seat, ridge=value.get("ridge", "2x12"), rounded=True, **stock)
    ends = tuple(sixteenth(end.heel) for end in rafters.ends)
    chord = value.get("chord", "2x4")
    own = {key: value[key] for key in ("apex", "plate") if key in value}
    scissor = ScissorBay(gable, value.get("ceiling_pitch", 4.0), ends if heel is None else heel, chord, chord, **own)
    return Case(name, rafters, scissor.jogged(**jog) if jog else scissor)


def corners() -> list[Case]:
    """Every input at its bounds, and the settings that were once drawn badly."""
    return [
        made("default"),
        made("D/4 seat, truss heel a sixteenth high", heel=8.875),
        made("span 8 ft", span=96, ceiling_pitch=2),
        made("span 60 ft", span=720),
        made("pitch 1", pitch=1, ceiling_pitch=0, seat=3.5, span=360),
        made("pitch 24", pitch=24, ceiling_pitch=12, seat=2, lumber="2x12"),
        made("ceiling level", ceiling_pitch=0),
        made("ceiling close to the roof", ceiling_pitch=7.5, span=480),
        made("no overhang", overhang=0),
        made("overhang 48", overhang=48),
        made("overhang 48, 2x12, steep", overhang=48, lumber="2x12", pitch=12),
        made("bearing 1", bearing=1, seat=1),
        made("bearing 16", bearing=16, seat=8),
        made("seat 0", seat=0),
        made("full seat", seat=5.5),
        made("2x4 rafter, 2x4 chords", lumber="2x4", seat=1, ceiling_pitch=3),
        made("2x12 rafter, 2x8 chords", lumber="2x12", chord="2x8"),
        made("depth 24", depth=24),
        made("measured lumber", lumber="1 3/4 x 11 7/8"),
        made("no ridge board", ridge="none"),
        made("sheathing 2", sheathing=2),
        made("no sheathing", sheathing=0),
        made("tiny truss heel", heel=0.0625, ceiling_pitch=2),
        made("truss 1 ft high", heel=20.8125),
        made("huge truss heel", heel=60),
        made("huge heel, bearing 16", heel=60, bearing=16, seat=8),
        made("8 ft, 24 in 12, overhang 48", span=96, pitch=24, overhang=48, ceiling_pitch=10, seat=2, lumber="2x12"),
        made("8 ft, 24 in 12, bearing 16", span=96, pitch=24, bearing=16, ceiling_pitch=10, seat=4, lumber="2x12"),
        made("8 ft, 1 in 12, bearing 16", span=96, pitch=1, bearing=16, ceiling_pitch=0, seat=16, overhang=48),
        made("60 ft, 24 in 12", span=720, pitch=24, ceiling_pitch=20, seat=2, lumber="2x12", overhang=48),
        made(
            "60 ft, 1 in 12, all large", span=720, pitch=1, ceiling_pitch=0.5, overhang=48, lumber="2x12", chord="2x8"
        ),
        made("half inch fractions everywhere", span=313.4375, pitch=8.5, overhang=17.3125, seat=3.3125, bearing=5.4375),
    ]


def unequal() -> list[Case]:
    """Cases whose two ends differ: whole sections are laid over each other."""
    return [
        made("plates 18 in apart", plate_height=(97.125, 115.125), pitch=7),
        made("plates apart, apex under the ridge", plate_height=(97.125, 115.125), pitch=7, apex="ridge"),
        made("pitches 6 and 10", pitch=(6, 10)),
        made("pitches 3 and 24", pitch=(3, 24), ceiling_pitch=2, seat=2, lumber="2x12"),
        made("bearings and seats", bearing=(3.5, 11.25), seat=(3.5, 7), ceiling_pitch=3),
        made("overhangs 0 and 48", overhang=(0, 48)),
        made("jog 24", jog={"by": 24}),
        made("jog 48 right, stepped, wide wall", jog={"by": 48, "bearing": 11.25, "end": "right", "eave": "stepped"}),
        made("jog out", jog={"by": -12}),
        made("jog 90 of 8 in 12", jog={"by": 90}, ceiling_pitch=3),
        made("heels apart", heel=(20, 9)),
        made("everything differs", pitch=(5, 9), bearing=(3.5, 5.5), overhang=(8, 24), plate_height=(97.125, 109.125),
             heel=(9, 14), jog={"by": 18, "end": "right"}, ceiling_pitch=2),
    ]  # fmt: skip


def settings(count: int, seed: int, two: bool = False) -> Iterator[Case]:
    """Random legal settings on the steps of the controls; with ``two`` both ends are drawn on their own."""
    rng = Random(seed)

    def step(name: str, low: float | None = None, high: float | None = None) -> float:
        row = INPUTS[name]
        least, most = row.low if low is None else low, row.high if high is None else high
        if rng.random() < 0.15:
            return rng.choice((least, most))
        return min(most, least + row.step * rng.randint(0, int((most - least) / row.step)))

    def ends(name: str, high: float | None = None) -> Any:
        return (step(name, high=high), step(name, high=high)) if two and rng.random() < 0.5 else step(name, high=high)

    found = 0
    while found < count:
        pitch, bearing = ends("pitch"), ends("bearing")
        least = min(bearing) if isinstance(bearing, tuple) else bearing
        lumber = rng.choice(RAFTERS)
        steepest = max(pitch) if isinstance(pitch, tuple) else pitch
        longest = 0.98 * dressed_size(lumber)[1] * (1 + (steepest / 12) ** 2) ** 0.5 / (steepest / 12)
        given = {
            "span": step("span"), "pitch": pitch, "bearing": bearing, "overhang": ends("overhang"), "lumber": lumber,
            "seat": step("seat", high=min(least, longest)), "ridge": rng.choice(("none", "2x6", "2x12")),
            "ceiling_pitch": step("ceiling_pitch", high=max(0.5, min(pitch) if isinstance(pitch, tuple) else pitch)),
            "sheathing": rng.choice((0.4375, 0.75)), "chord": rng.choice(CHORDS),
        }  # fmt: skip
        if two and rng.random() < 0.5:
            given["plate_height"] = (97.125, 97.125 + rng.randint(-36, 36))
        jog = {"by": rng.randint(1, 60), "end": rng.choice(("left", "right"))} if two and rng.random() < 0.4 else None
        try:
            case = made(f"setting {found}", step("heel") if rng.random() < 0.3 else None, jog, **given)
        except InputError:
            continue
        found += 1
        yield case


def views_of(case: Case) -> Iterator[tuple[str, Scene, tuple[float, float]]]:
    """Every picture of a case with its frame."""
    rafters, scissor = case.rafters, case.scissor
    seam, tail = compare(rafters, scissor), tail_and_soffit(rafters, scissor)
    yield "heel detail", heel_detail(rafters, scissor), DETAIL
    for frame in (LARGE, SMALL):
        yield "section", section(rafters, scissor, seam), frame
        yield "eave", eave(rafters, scissor, tail), frame
        yield "rafter heel", rafter_heel(rafters), frame
        yield "truss heel", truss_heel(scissor), frame


def pictures(cases: list[Case]) -> Iterator[Picture]:
    """Every picture of several cases, placed."""
    for case in cases:
        for name, scene, frame in views_of(case):
            yield f"{case.name}: {name} {frame[0]:g}", scene, frame, fit(scene, *frame)


def plans() -> Iterator[tuple[str, Scene, tuple[float, float]]]:
    """The seam in plan for the usual spacings."""
    for rafters in (12.0, 16.0, 19.2, 24.0):
        for trusses in (12.0, 16.0, 19.2, 24.0):
            for frame in (LARGE, SMALL):
                yield f"seam {rafters:g} and {trusses:g}", seam_plan(rafters, trusses), frame


def area(label: Label, less: float = 0.0) -> Any:
    x0, y0, x1, y1 = label.box
    return box(x0 + less, y0 + less, x1 - less, y1 - less)


def faults(scene: Scene, frame: Frame, placed: Layout) -> list[str]:
    """Everything wrong with one picture, in words."""
    wrong = []
    names = {label.name for label in placed.labels}
    wrong += [f"{name} is missing" for name in scene.must if name not in names]
    wrong += [f"{name} is dropped and has to be there" for name in placed.dropped if name in scene.must]
    wrong += [f"{part.name} is lost" for part in wanted(scene) if part.name not in {*names, *placed.dropped}]
    if placed.width > frame[0] or placed.height > frame[1]:
        wrong.append(f"{placed.width:.0f} x {placed.height:.0f} is larger than the frame")
    for label in placed.labels:
        x0, y0, x1, y1 = label.box
        if min(x0, y0) < 0 or x1 > placed.width or y1 > placed.height:
            wrong.append(f"{label.text} leaves the frame")
    points = [p for part in placed.parts for p in part.points]
    if any(not (-1e-6 <= x <= placed.width + 1e-6 and -1e-6 <= y <= placed.height + 1e-6) for x, y in points):
        wrong.append("a line leaves the frame")
    for one, other in combinations(placed.labels, 2):
        (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = one.box, other.box
        if ax0 < bx1 and bx0 < ax1 and ay0 < by1 and by0 < ay1:
            wrong.append(f"{one.text} touches {other.text}")
    return wrong + crossed(placed)


def wanted(scene: Scene) -> list[Any]:
    return [*scene.dims, *scene.slopes, *scene.titles, *scene.notes]


def crossed(placed: Layout) -> list[str]:
    """Texts on a member's edge or a line."""
    parts = placed.parts
    rings = [(*p.points, p.points[0]) if isinstance(p, Shape) else p.points for p in parts]
    tree, wrong = STRtree([LineString(ring) for ring in rings]), []
    for label in placed.labels:
        for index in tree.query(area(label, 0.01), predicate="intersects"):
            wrong.append(f"{label.text} lies on {parts[index].name} ({parts[index].style})")
    return wrong
