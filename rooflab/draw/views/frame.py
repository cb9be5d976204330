"""Scenes of the teaching truss and of the sag at the seam: a teaching model, never a truss's design.

A member's force shows by line style (tension solid, compression dashed, idle dotted), by its width and by its word.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rooflab.base.measure import feet_inches, pitch_text
from rooflab.base.rows import Symbols
from rooflab.checks.frame import TEACHING_MODEL, PinTruss, TrussSolution, force_word
from rooflab.checks.thrust import SeamSag
from rooflab.draw.members import Part, parts_drawing
from rooflab.draw.scene import FORCE_WIDTHS, Dim, Note, Scene, Shape, Stroke, Title

from .loads import Bar, arrow, bars
from .parts import TIMES, times_larger
from .thrust import lb

TEACHING = Title("caution", TEACHING_MODEL, "left")
IDLE = 0.005  # a force below this part of the largest is idle


def style_of(force: float, largest: float) -> str:
    """How a bar is drawn: what it does, and how thick by the size of its force.

    >>> style_of(-100.0, 100.0), style_of(20.0, 100.0), style_of(0.0, 100.0)
    ('compression 4', 'tension 1', 'idle')
    """
    kind = force_word(force, IDLE * largest)
    if kind == "idle":
        return kind
    return f"{kind} {min(int(abs(force) / largest * len(FORCE_WIDTHS)) + 1, len(FORCE_WIDTHS))}"


def truss_forces(
    made: PinTruss, solved: TrussSolution, fixed: bool, spread: float, thrust: float, blow: float = 0.0
) -> Scene:
    """The truss with each bar's force, its reactions, and the movement of a sliding bearing or the fixed ones' thrust.

    ``spread`` in inches, ``thrust`` in lb; with ``blow`` the moved truss is dashed over it, moves drawn that many
    times their size.
    """
    joints, wide = made.joints, made.joints["E"][0]
    largest = max(abs(force) for force in solved.forces.values())
    head, long = wide / 55, wide / 13
    parts: list[Part] = [
        Stroke(f"bar {bar}", (joints[bar[0]], joints[bar[1]]), style_of(force, largest))
        for bar, force in solved.forces.items()
    ]
    for name in ("A", "E"):
        parts += _bearing_mark(joints[name], wide / 60, name == "E" and not fixed)
        x, y = joints[name][0], joints[name][1] - wide / 25
        parts += arrow(f"reaction {name}", (x, y - long), (x, y), "push", head)
    for name in made.loads:
        x, y = joints[name]
        parts += arrow("load", (x, y + 4 + long), (x, y + 4), "dead", head)
    if fixed:
        for name, sign in (("A", -1), ("E", 1)):
            x, y = joints[name]
            parts += arrow("thrust", (x + sign * 6, y), (x + sign * (6 + long), y), "push", head)
    moved = {
        name: (at[0] + blow * solved.moves[name][0], at[1] + blow * solved.moves[name][1])
        for name, at in joints.items()
    }
    parts += [Stroke(f"moved {bar}", (moved[bar[0]], moved[bar[1]]), "moved") for bar in solved.forces if blow]
    notes = [*_joint_letters(joints), *(_force_column(made, solved, largest) if not blow else ())]
    reaction, load = solved.reactions["A"][1], -next(iter(made.loads.values()))[1]
    notes.append(Note("reaction", f"each bearing holds up {lb(reaction)}", (4, -wide / 25 - long), "start"))
    held = f"fixed: pushed out by {lb(thrust)}" if fixed else f"right bearing slides out {spread:.2f} in"
    shapes, strokes = parts_drawing(parts)
    what = f"movement drawn {blow:g} times as large" if blow else "solid: tension; dashed: compression; dotted: idle"
    said = ", ".join(f"{bar} {lb(abs(f))} {force_word(f, IDLE * largest)}" for bar, f in solved.forces.items())
    return Scene(
        "Forces in a scissor truss: a teaching model",
        f"{said}. {held.capitalize()}. {TEACHING_MODEL}",
        shapes,
        strokes,
        (
            Dim(
                "span",
                f"{feet_inches(wide)}; {lb(load)} at each arrow down",
                (0.0, -wide / 25 - long),
                (wide, -wide / 25 - long),
                "bottom",
            ),
        ),
        (),
        (Title("what", what, "left"), Title("held", held, "right"), TEACHING),
        ("what", "held", "span", *(note.name for note in notes)),
        notes=tuple(notes),
    )


def _bearing_mark(at: tuple[float, float], size: float, slides: bool) -> list[Part]:
    """A support under a joint: a triangle on its line, with rollers where it slides."""
    x, y = at
    parts: list[Part] = [Shape("bearing", ((x, y), (x + size, y - 1.4 * size), (x - size, y - 1.4 * size)), "wall")]
    if slides:
        for shift in (-0.6, 0.6):
            middle = x + shift * size
            ring = tuple((middle + 0.4 * size * dx, y - 1.85 * size + 0.4 * size * dy) for dx, dy in RING)
            parts.append(Shape("roller", ring, "wall"))
    return parts


RING = ((1, 0), (0.7, 0.7), (0, 1), (-0.7, 0.7), (-1, 0), (-0.7, -0.7), (0, -1), (0.7, -0.7))


SPOTS = {"A": (-4, 3, "end", 1), "B": (-3, 1, "end", 1), "C": (-4, 1, "end", 1), "D": (0, -2, "middle", -1),
         "E": (4, 3, "start", 1), "F": (3, 1, "start", 1)}  # fmt: skip


def _joint_letters(joints: Mapping[str, tuple[float, float]]) -> list[Note]:
    """The letters of the joints, beside them."""
    found = []
    for name, (x, y) in joints.items():
        right, up, anchor, side = SPOTS[name]
        found.append(Note(f"joint {name}", name, (x + right, y + up), anchor, side))
    return found


def _force_column(made: PinTruss, solved: TrussSolution, largest: float) -> list[Note]:
    """Names, words and forces of the left half's bars, one under the other at the right."""
    wide, top = made.joints["E"][0], made.joints["C"][1]
    own = [bar for bar in solved.forces if not {"E", "F"} & set(bar)]
    texts = [f"{bar}: {force_word(solved.forces[bar], IDLE * largest)} {lb(abs(solved.forces[bar]))}" for bar in own]
    return [
        Note(f"force {bar}", text, (1.12 * wide, top - i * wide / 17), "start", -1)
        for i, (bar, text) in enumerate(zip((*own, "all"), (*texts, "the right half is alike"), strict=True))
    ]


def growth_bars(pitch: float, rows: Sequence[tuple[float, float, float, float]], now: float) -> Scene:
    """How 1/(m − c) makes a scissor's forces, horizontal movement and thrust grow as the ceiling comes up to the roof.

    ``rows`` are (ceiling pitch, top chord lb, spread in, thrust lb); pitches in inches in 12.
    """
    grown = [12 / (pitch - ceiling) for ceiling, *_ in rows]
    made = [
        Bar(
            f"{ceiling:g}",
            by / max(grown),
            f"{'> ' if abs(ceiling - now) < 1e-9 else ''}{pitch_text(ceiling)}: {by:.1f}; "
            f"top chord {lb(top)}; moves out {spread:.2f} in, or thrust {lb(push)}",
        )
        for (ceiling, top, spread, push), by in zip(rows, grown, strict=True)
    ]
    scene = bars("How a scissor's forces grow", ". ".join(row.text for row in made) + ".", made,
                 f"Roof {pitch_text(pitch)}; bars: 1/(m − c) by ceiling pitch")  # fmt: skip
    titles = scene.titles[0], TEACHING._replace(side="right")
    return replace(scene, description=f"{scene.description} {TEACHING_MODEL}", titles=titles)


# --- sag at the seam -------------------------------------------------------------------------------------------------

ALONG, DEEP = 240.0, 70.0  # how far the ridge is shown on either side of the seam, and how deep its sag is drawn, in


def seam_sag(seam: SeamSag) -> Scene:
    """The ridge (or mid-slope) along the building: rafters on the left, truss on the right, and where they meet."""
    rafters, truss = ((one.live, one.long_term(seam.creep)) for one in (seam.rafters, seam.truss))
    most = max(0.02, *rafters, *truss)
    blow, low = times_larger(most, DEEP, (*TIMES, 100, 200, 400, 1000, 2000)), -DEEP - 14
    ramp = min(seam.feet * 6, ALONG - 20)
    parts: list[Part] = [
        Stroke("level", ((-ALONG, 0.0), (ALONG, 0.0)), "guide"),
        Stroke("seam", ((0.0, 20.0), (0.0, low)), "seam"),
    ]
    for name, style, left, right in zip(("live", "years"), ("moved", "rafter line"), rafters, truss, strict=True):
        line = ((-ALONG, -blow * left), (-ramp, -blow * left), (ramp, -blow * right), (ALONG, -blow * right))
        parts.append(Stroke(name, line, style))
    shapes, strokes = parts_drawing(parts)
    return Scene(
        f"Sag of the {seam.place} at the seam, drawn {blow} times as large",
        f"{seam.sentence} {TEACHING_MODEL}",
        shapes,
        strokes,
        (Dim("fair", f"fairs out over {seam.feet:.1f} ft, 1 in over 8 ft", (-ramp, low), (ramp, low), "bottom"),),
        (),
        (
            Title("what", f"Along the {seam.place}, sag drawn {blow} times as large", "left"),
            Title("styles", "dashed: live load or snow; solid: after years", "right"),
            TEACHING,
        ),
        ("what", "fair", "rafters", "truss"),
        notes=(
            Note("rafters", f"rafters {rafters[0]:.2f} in, {rafters[1]:.2f} in", (-12.0, 3.0), "end"),
            Note("truss", f"truss {truss[0]:.2f} in, {truss[1]:.2f} in", (12.0, 3.0), "start"),
        ),
    )


def seam_values(seam: SeamSag) -> Symbols:
    """The four sags of a place at the seam and the creep factor, for readings."""
    return {
        "r_live": seam.rafters.live, "r_dead": seam.rafters.dead, "t_live": seam.truss.live, "t_dead": seam.truss.dead,
        "K": seam.creep,
    }  # fmt: skip
