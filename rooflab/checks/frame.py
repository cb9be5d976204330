"""A pin-jointed plane truss by direct stiffness: a teaching model, never a truss's design.

Real trusses have continuous chords, stiff plates, eccentric heels and loads between joints; none of that is here.
Units: joints in inches (x right, y up), loads and forces lb, + is tension, areas in², modulus psi, moves in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rooflab.base.geometry import Number
from rooflab.base.inputs import INPUTS, Length, stop_on
from rooflab.base.measure import InputError, pitch_text

from .grades import QUANTITIES, Amount

TEACHING_MODEL = "A teaching model with pin joints, not the truss's design: the truss designer's drawing governs."
LOAD_PATH = (
    "The load path: sheathing to top chord, through plates and webs to the heel, from the heel to the top plate, by "
    "the studs to the foundation; wind takes the same path upwards, so each joint of it needs its tie, truss to plate "
    "above all."
)
AREA, MODULUS = 5.25, 1.6e6  # a 2x4, in², and a common E, psi
Stiffness = Amount | Sequence[Amount]  # areas or moduli: one value, or one a bar
LEAST_BETWEEN = 0.25  # of roof pitch less ceiling pitch, in 12
LOOSE = 1e-6  # least singular value, over the largest, of a truss that stands


@dataclass(frozen=True)
class TrussSolution:
    """A solved truss: force of each bar (lb, + tension), reaction of each support and move of each joint as (x, y).

    Bars are named by their two joints, as in "AB".
    """

    forces: dict[str, float]
    reactions: dict[str, tuple[float, float]]
    moves: dict[str, tuple[float, float]]


def force_word(force: float, small: float = 1e-6) -> str:
    """What a bar does: "tension", "compression" or "idle" (within ``small`` lb of 0)."""
    return "tension" if force > small else "compression" if force < -small else "idle"


def solve(
    joints: Mapping[str, tuple[float, float]],
    bars: Iterable[str | tuple[str, str]],
    supports: Mapping[str, str],
    loads: Mapping[str, tuple[float, float]],
    area: Stiffness = AREA,
    modulus: Stiffness = MODULUS,
) -> TrussSolution:
    """Forces, reactions and moves of a truss of ``joints`` {name: (x, y) in} and ``bars`` ("AB" or two names).

    ``supports`` hold a joint in "x", "y" or "xy"; ``loads`` are {name: (x, y) lb}; ``area`` in² and ``modulus`` psi are
    one value or one a bar.  InputError for what is not a truss, and for a mechanism.  Method: u = K⁻¹ p with K the sum
    of EA/L times each bar's direction (statics; any text on matrix structural analysis).

    >>> one = solve({"A": (0, 0), "B": (0, 12)}, ["AB"], {"A": "xy", "B": "x"}, {"B": (0, -100)})
    >>> round(one.forces["AB"], 6), round(one.moves["B"][1], 6)  # the move is P L / (E A)
    (-100.0, -0.000143)
    """
    pairs = [tuple(bar) for bar in bars]
    stop_on(_problems(joints, pairs, supports, loads))
    names = {name: i for i, name in enumerate(joints)}
    size = 2 * len(names)
    along = np.zeros((len(pairs), size))  # how much each bar stretches for a unit move of each joint
    length = np.zeros(len(pairs))
    for i, (a, b) in enumerate(pairs):
        reach = np.subtract(joints[b], joints[a]).astype(float)
        length[i] = np.sqrt(reach @ reach)
        along[i, 2 * names[a] : 2 * names[a] + 2] = -reach / length[i]
        along[i, 2 * names[b] : 2 * names[b] + 2] += reach / length[i]
    stiff = _one_a_bar(area, "area", len(pairs)) * _one_a_bar(modulus, "E", len(pairs)) / length
    held = np.zeros(size, dtype=bool)
    for name, ways in supports.items():
        held[2 * names[name]], held[2 * names[name] + 1] = "x" in ways, "y" in ways
    free = ~held
    _refuse_mechanism(along[:, free], [*names], np.flatnonzero(free))
    force = np.zeros(size)
    for name, (x, y) in loads.items():
        force[2 * names[name] : 2 * names[name] + 2] = x, y
    move = np.zeros(size)
    move[free] = np.linalg.solve((along[:, free].T * stiff) @ along[:, free], force[free])
    bar = stiff * (along @ move)
    reaction = np.where(held, along.T @ bar - force, 0.0)

    def both(values: NDArray[np.float64], name: str) -> tuple[float, float]:
        return float(values[2 * names[name]]) + 0.0, float(values[2 * names[name] + 1]) + 0.0

    return TrussSolution(
        {f"{a}{b}": float(bar[i]) + 0.0 for i, (a, b) in enumerate(pairs)},
        {name: both(reaction, name) for name in supports},
        {name: both(move, name) for name in names},
    )


def _problems(
    joints: Mapping[str, tuple[float, float]],
    pairs: list[tuple[str, ...]],
    supports: Mapping[str, str],
    loads: Mapping[str, object],
) -> list[str]:
    wanted = "two finite numbers, x and y in {}, are wanted"
    found = [f"Joint {n}: {wanted.format('inches')}." for n, at in joints.items() if not _pair(at)]
    found += [f"Load at {n}: {wanted.format('lb')}." for n, at in loads.items() if not _pair(at)]
    wrong = [bar for bar in pairs if len(bar) != 2 or bar[0] == bar[1]]
    found += [f"Bar {'-'.join(map(str, bar))}: a bar joins two joints." for bar in wrong]
    asked = [name for bar in pairs for name in bar] + [*supports, *loads]
    found += [f"Joint {name}: no such joint; known are {', '.join(joints)}." for name in asked if name not in joints]
    odd = {name: ways for name, ways in supports.items() if ways not in ("x", "y", "xy")}
    found += [f"Support at {name}: {ways} is not x, y or xy." for name, ways in odd.items()]
    doubled = len({frozenset(bar) for bar in pairs}) < len(pairs)
    found += ["Bars: the same two joints are joined twice."] if doubled else []
    if not found:
        short = [(a, b) for a, b in pairs if tuple(joints[a]) == tuple(joints[b])]
        found = [f"Bar {a}-{b}: its two joints are at one place." for a, b in short]
    return found


def _pair(at: object) -> bool:
    try:
        two = np.asarray(at, dtype=float)
        return two.shape == (2,) and bool(np.all(np.isfinite(two)))
    except (TypeError, ValueError):
        return False


def _one_a_bar(value: Stiffness, name: str, count: int) -> NDArray[np.float64]:
    problems: list[str] = []
    each = [value] * count if isinstance(value, (float, int, str)) else value
    read = np.array([QUANTITIES[name].read(one, problems) for one in each])
    if len(read) != count:
        problems.append(f"{QUANTITIES[name].label}: {len(read)} values for {count} bars; one or one a bar is allowed.")
    stop_on(problems)
    return read


def _refuse_mechanism(along: NDArray[np.float64], names: list[str], free: NDArray[np.int_]) -> None:
    """InputError where joints can move without stretching a bar; the one that moves most is named."""
    if not free.size:
        return
    if along.shape[0]:
        _, values, ways = np.linalg.svd(along)
        if len(values) == free.size and values[-1] > LOOSE * values[0]:
            return
        most = free[int(np.argmax(np.abs(ways[-1])))]
    else:
        most = free[0]
    raise InputError(
        f"Truss: joint {names[most // 2]} can move without stretching any bar, so it is a mechanism; a truss that "
        "stands is wanted: add a bar or a support."
    )


# --- ready-made ------------------------------------------------------------------------------------------------------


class PinTruss(NamedTuple):
    """A truss to solve: joints (in), bars, supports and loads (lb)."""

    joints: dict[str, tuple[float, float]]
    bars: tuple[str, ...]
    supports: dict[str, str]
    loads: dict[str, tuple[float, float]]

    def solve(self, area: Stiffness = AREA, modulus: Stiffness = MODULUS) -> TrussSolution:
        """Forces (lb), reactions (lb) and moves (in) under its loads; ``area`` in², ``modulus`` psi."""
        return solve(*self, area, modulus)


FREE, FIXED = {"A": "xy", "E": "y"}, {"A": "xy", "E": "xy"}


def _outline(span: Length, pitch: Length, ceiling: Length) -> tuple[dict[str, tuple[float, float]], float, float]:
    problems: list[str] = []
    wide = INPUTS["span"].read(span, problems)
    roof, low = INPUTS["pitch"].read(pitch, problems), INPUTS["ceiling_pitch"].read(ceiling, problems)
    m, c = roof / 12, low / 12
    if roof - low < LEAST_BETWEEN - 1e-9:
        problems.append(
            f"Ceiling pitch {pitch_text(12 * c)}: at least 1/4 in 12 under the roof pitch, {pitch_text(12 * m)}; the "
            "forces grow as 1/(m - c)."
        )
    stop_on(problems)
    half = wide / 2
    return {"A": (0.0, 0.0), "C": (half, m * half), "D": (half, c * half), "E": (wide, 0.0)}, m, half


def king_post_scissor(
    span: Length, pitch: Length, ceiling_pitch: Length, load: float = 1000.0, fixed: bool = False
) -> PinTruss:
    """Scissor with one post: A and E bearings, C the peak, D the ceiling's apex; ``load`` lb down at C.

    Span in inches, pitches in 12.  With P at C, R = P/2: AC -R k(m)/(m - c), AD +R k(c)/(m - c), CD +2 R c/(m - c).

    >>> round(king_post_scissor("24'", 6, 3).solve().forces["AC"], 2)
    -2236.07
    """
    joints, *_ = _outline(span, pitch, ceiling_pitch)
    return PinTruss(joints, ("AC", "EC", "AD", "ED", "CD"), FIXED if fixed else FREE, {"C": (0.0, -float(load))})


def webbed_scissor(
    span: Length, pitch: Length, ceiling_pitch: Length, load: float = 1000.0, fixed: bool = False
) -> PinTruss:
    """The same outline with joints B and F half-way up the top chords and webs to D; ``load`` lb down at B, C and F.

    >>> round(webbed_scissor("24'", 6, 3).solve().forces["CD"], 2)
    3000.0
    """
    joints, m, half = _outline(span, pitch, ceiling_pitch)
    joints |= {"B": (half / 2, m * half / 2), "F": (1.5 * half, m * half / 2)}
    bars = ("AB", "BC", "EF", "FC", "AD", "ED", "CD", "BD", "FD")
    return PinTruss(joints, bars, FIXED if fixed else FREE, dict.fromkeys("BCF", (0.0, -float(load))))


def rafter_pair(span: Length, pitch: Length, load: float = 1000.0) -> PinTruss:
    """Two rafters tied at the plates, ``load`` lb down at the ridge C; the tie is AE."""
    joints, *_ = _outline(span, pitch, 0)
    del joints["D"]
    return PinTruss(joints, ("AC", "EC", "AE"), FREE, {"C": (0.0, -float(load))})


SAG_PARTS = (180, 240)
"""Sag of a truss over a gypsum ceiling as parts of its span, total and live (ANSI/TPI 1 sec. 7.6)."""


def sag_limits(span: Number) -> tuple[Number, Number]:
    """Sag of a truss over a gypsum ceiling, total L/180 and live L/240, in (ANSI/TPI 1 sec. 7.6).

    >>> sag_limits(360)
    (2.0, 1.5)
    """
    total, live = SAG_PARTS
    return span / total, span / live


SPREAD_LIMITS = (1.25, 0.75)
"""Level movement of a bearing, total and live, in (ANSI/TPI 1 sec. 7.6, from memory: verify)."""


class Bearings(NamedTuple):
    """Spread of a bearing free to slide (in), thrust of fixed ones (lb), and the peak's drop in either case (in)."""

    spread: float
    thrust: float
    drop_free: float
    drop_fixed: float


def spread_and_thrust(
    span: Length,
    pitch: Length,
    ceiling_pitch: Length,
    load: float = 1000.0,
    area: Stiffness = AREA,
    modulus: Stiffness = MODULUS,
    form: Callable[..., PinTruss] = king_post_scissor,
) -> Bearings:
    """Spread of a bearing free to slide against the thrust of fixed ones, under ``load`` lb at each loaded joint.

    >>> round(spread_and_thrust("24'", 6, 3).spread, 3)
    0.25
    """
    free, fixed = (form(span, pitch, ceiling_pitch, load, held).solve(area, modulus) for held in (False, True))
    return Bearings(free.moves["E"][0], -fixed.reactions["E"][0], -free.moves["C"][1], -fixed.moves["C"][1])
