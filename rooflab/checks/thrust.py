"""What a rafter pair does to its walls, what ties it, and how rafters and trusses sag side by side at the seam.

Statics of a pin-jointed rafter pair, and the usual rules for ties.  Left out: uplift, wind on the gable, slip of nailed
joints unless it is given, and the stiffness that sheathing lends.  An early check: the engineer decides.

Units: line loads plf of horizontal run (or of ridge), lengths in, forces lb; slopes are rise over run.  Functions
take numbers or arrays.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rooflab.base import geometry as geo
from rooflab.base.findings import ASK, MEETS, MISSES, VERDICTS, Finding
from rooflab.base.geometry import Number, Truth
from rooflab.base.inputs import Length, must_be, pair, stop_on
from rooflab.base.measure import feet_inches, inches, on_center, pitch_text
from rooflab.base.rows import Reading, Reasoning, Rows, Symbols
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Bay, pick

from .frame import TrussSolution, rafter_pair, webbed_scissor
from .grades import CREEP, FROM_MEMORY, Amount, Grade, grade_by_name, is_graded, read_quantities
from .limits import LEAST_PITCH
from .loads import Case, Loads, on_plan
from .strength import RafterCheck, check_rafter, deflection, design_span, line_load

# --- thrust and ties -------------------------------------------------------------------------------------------------


def thrust(load: Number, left: Number, right: Number, rise: Number) -> Number:
    """Push of a rafter pair at the plates, w a b / (2 h), lb, for w in plf, runs a and b and rise h in inches.

    With equal runs that is w L² / (8 h).  ``rise`` is plumb from the line between the two seats to where the rafters
    meet.  A ridge beam or bearing wall that carries the ridge takes it away (statics of a three-hinged frame).

    >>> thrust(40, 144, 144, 96)
    360.0
    """
    return load * left * right / (24 * rise)


def tie_factor(height: Number, rise: Number) -> Number:
    """By how much the tie's force grows when it stands ``height`` above the plates: 1 / (1 - Hc/Hr) (statics).

    >>> tie_factor(48, 96)
    2.0
    """
    return 1 / (1 - height / rise)


def tie_force(load: Number, left: Number, right: Number, rise: Number, height: Number) -> Number:
    """Pull in a tie ``height`` above the plates, lb."""
    return thrust(load, left, right, rise) * tie_factor(height, rise)


class TieBending(NamedTuple):
    """Moments in one rafter of a pair whose tie stands above the plates, as multiples of w a² / 8 (numbers or arrays).

    ``at_tie`` is that at the tie; ``most`` the largest anywhere, which for a low tie stands between tie and ridge.
    """

    at_tie: Number
    most: Number

    @property
    def span_factor(self) -> Number:
        """What is left of the allowed span where the moment at the tie governs, 1 / √ of it, up to 1."""
        return 1 / np.sqrt(np.maximum(self.at_tie, 1.0))


def tie_bending(run: Number, other: Number, rise: Number, height: Number, across: Number = 1.0) -> TieBending:
    """How a raised tie bends the rafter of ``run``, against the simple span's moment w a² / 8.

    No plate is pushed: each foot carries plumb load alone, and the rafter reaches up past the tie to the ridge.
    ``rise`` and ``height`` are plumb above the line between the feet, which the tie runs along; ``other`` is the other
    rafter's run and ``across`` its load over this one's.  With equal runs and loads the moment at the tie is
    w x L - w x² / 2 with x = Hc/Hr of the run, so 8 (r - r²/2) of w L² / 8 (statics; IRC R802.4.1 has the same in its
    span factors: 0.67 at a third).  Between tie and ridge it is up to 1 / (1 - r)², which those factors leave out.

    >>> made = tie_bending(144, 144, 96, 32)
    >>> round(float(made.span_factor), 2), round(float(made.most), 2)
    (0.67, 2.22)
    """
    slope, whole = rise / run, run + other
    foot = (run * (other + run / 2) + across * other * other / 2) / whole  # plumb load on the foot over w, in
    x = height / slope  # level from the foot to the tie
    pull = (foot * run - run * run / 2) / (rise - height)  # in the tie, over w
    at_tie = foot * x - x * x / 2
    top = run - foot + pull * slope  # level from the ridge to the largest moment above the tie
    above = np.where((top > 0) & (top < run - x), top * top / 2, 0.0)
    below = np.where(foot < x, foot * foot / 2, 0.0)
    most, unit = np.maximum(np.maximum(at_tie, above), below), run * run / 8
    return TieBending(at_tie / unit, most / unit)


NAIL = 120.0
"""Load one 16d common nail carries in spruce-pine-fir, lb (from memory: verify)."""

CEILING_DEAD = 10.0
"""Dead load that the table of heel-joint nails goes with, psf (from memory: verify in IRC table R802.5.2)."""


def heel_nails(
    load: Number,
    duration: Number,
    spacing: Number,
    span: Number,
    slope: Number,
    nail: Number = NAIL,
    dead: Number = CEILING_DEAD,
) -> Number:
    """Nails at each heel joint, ceil((S + dead) s L / (4 m) / (nail CD)), with s and L in feet from inches given.

    ``load`` S is roof live 20 (CD 1.25) or snow 0.77 pg (CD 1.15), psf on the projection; without a ridge beam and
    with the tie on the plates.  Statics; the values of ``nail`` and ``dead`` are from memory.

    >>> int(heel_nails(20, 1.25, 24, 288, 4 / 12))
    8
    """
    half = span / 2
    return nail_count(thrust((load + dead) * spacing / 12, half, half, slope * half), duration, nail)


def nail_count(force: Number, duration: Number, nail: Number = NAIL) -> Number:
    """Nails that pass on a force (lb), ceil(force / (nail CD)).

    >>> int(nail_count(301, 1.25))
    3
    """
    return np.ceil(force / (nail * duration) - 1e-9)


def ridge_line_load(load: Number, left: Number, right: Number) -> Number:
    """Load on a ridge beam, plf of ridge: the area load on the projection times half of each run (in).

    >>> ridge_line_load(30, 144, 144)
    360.0
    """
    return load * (left + right) / 24


def post_load(line: Number, before: Number, after: Number = 0.0) -> Number:
    """Load on a post under a ridge beam, lb: half the length (in) to the next support on either side (simple spans).

    >>> post_load(360, 192)
    2880.0
    """
    return line * (before + after) / 24


def needs_ridge_beam(slope: Number, tied: Truth) -> NDArray[np.bool_]:
    """Whether a ridge board will not do: under 3 in 12, or without a continuous tie (IRC R802.3, R802.4.2).

    >>> bool(needs_ridge_beam(8 / 12, True)), bool(needs_ridge_beam(2.5 / 12, True))
    (False, True)
    """
    return np.logical_or(12 * np.asarray(slope) < LEAST_PITCH - 1e-9, np.logical_not(tied))


LOWEST_TIE, COLLAR = 1 / 3, 2 / 3
"""Rafter ties stand in the lower third of the rise, collar ties in the upper third (IRC R802.4.6, R802.5.2)."""

TIE_SPACING, COLLAR_SPACING = 24.0, 48.0
"""Widest spacing of 2x4 rafter ties and of 1x4 collar ties, in (IRC R802.5.2, R802.4.6)."""

NOT_TIED = "no continuous tie crosses the bay"

COLLAR_NOTE = (
    "Collar ties, 1x4 in the upper third of the rise and at most 4 ft apart, or ridge straps, keep the rafters from "
    "parting at the ridge in wind; they do not take the thrust at the plates."
)
NO_SHARED_LOAD = (
    "Do not nail a rafter to a truss to share load: the truss was not designed for it, and each must sag on its own."
)

THRUST: tuple[Reading, ...] = tuple(
    Reading(name, label, unit, "thrust", formula, function, args)
    for name, label, unit, formula, function, args in (
        ("line_load", "Load on the pair", "plf", "(dead·k(m) + live)·s ÷ 12", line_load, "dead live m s"),
        ("thrust", "Thrust at the plates", "lb", "line_load·l·r ÷ (24·h)", thrust, "line_load l r h"),
        ("tie_factor", "Growth by the tie's height", "times", "1 ÷ (1 − tie ÷ h)", tie_factor, "tie h"),
        ("tie_force", "Pull in the tie", "lb", "thrust·tie_factor", lambda push, by: push * by, "thrust tie_factor"),
        (
            "tie_bending", "Bending at the tie, of a simple span's", "times",
            "4·(l·tie ÷ h)·(l + r − l·tie ÷ h) ÷ l²",
            lambda tie, h, left, right: tie_bending(left, right, h, tie).at_tie, "tie h l r",
        ),
        (
            "ridge_load", "Load on a ridge beam", "plf", "(dead·k(m) + live)·(l + r) ÷ 24",
            lambda dead, live, m, left, right: ridge_line_load(on_plan(dead, m) + live, left, right), "dead live m l r",
        ),
    )
)  # fmt: skip
"""Readings of a rafter pair, each from those above it; the tie's bending is that of the left rafter."""


class PairThrust(NamedTuple):
    """A rafter pair under the combination with the largest total."""

    case: Case
    values: Symbols

    @property
    def readings(self) -> tuple[Reasoning, ...]:
        """Every reading of ``THRUST`` with its reasoning."""
        return tuple(row.work(self.values) for row in THRUST)


def pair_thrust(bay: RafterBay, loads: Loads, spacing: Amount = 16, tie_height: Length = 0) -> PairThrust:
    """Thrust of a bay's rafter pair, the pull in its tie and the load a ridge beam would carry.

    ``tie_height`` in inches above the plates, or trade text.  The steeper side's dead load stands for both.

    >>> from rooflab import Gable
    >>> made = pair_thrust(RafterBay(Gable("24'", 8, "3 1/2")), Loads(0, live=30), 16)
    >>> round(made.values["thrust"])
    360
    """
    must_be(bay, RafterBay, "Rafter bay")
    must_be(loads, Loads, "Loads")
    (apart,) = read_quantities(spacing=spacing)
    up, h = inches(tie_height, "Tie height"), float(rise_to_peak(bay))
    stop_on(tie_problems(bay, up))
    slopes = bay.gable.slopes
    case = max(loads.both_sides(min(slopes)), key=lambda one: float(on_plan(one.dead, max(slopes))) + one.live)
    values = {
        "dead": case.dead, "live": case.live, "m": max(slopes), "s": apart, "h": h, "tie": up,
        "l": bay.left.run, "r": bay.right.run,
    }  # fmt: skip
    values = Rows(THRUST, values).all
    return PairThrust(case, values)


def rise_to_peak(bay: RafterBay) -> Number:
    """Plumb from the line between the heels' tops to the peak, in; one bay or arrays."""
    one, other = (end.heel + end.plate for end in bay.ends)
    return bay.peak[1] - one - (other - one) * bay.left.run / (bay.left.run + bay.right.run)


def tie_problems(bay: RafterBay, height: float) -> list[str]:
    """Sentences on what is wrong with a tie's height above the plates, in: none, or that it is not below the ridge."""
    h = float(rise_to_peak(bay))
    said = f"Tie height {feet_inches(height)}: allowed is 0 to below the ridge, {feet_inches(h)} above the plates."
    return [] if 0 <= height < h else [said]


def low_enough(height: Number, rise: Number) -> Truth:
    """Whether a tie stands in the lower third of the rise (IRC R802.5.2); numbers or arrays."""
    return height / rise <= LOWEST_TIE + 1e-9


class TieUse(NamedTuple):
    """Bending of one rafter under a raised tie over what it carries, ``at_tie`` and at ``most`` (numbers or arrays)."""

    at_tie: Number
    most: Number
    bends: TieBending

    @property
    def verdict(self) -> Number:
        """Misses where the moment at the tie is too much, asks where only that above it is, as a number."""
        return np.where(self.at_tie > 1 + 1e-9, MISSES, np.where(self.most > 1 + 1e-9, ASK, MEETS))


def tie_use(bay: RafterBay, end: str, case: Case, beyond: Number, ratio: Number, height: float) -> TieUse:
    """Bending of one end's rafter under a tie ``height`` (in) above the plates, over what it carries.

    ``ratio`` is that of the simple span under the combination; ``beyond`` what live load or snow the combination has on
    the other side of the ridge, psf.  One bay or arrays.
    """
    one, other = (bay.left, bay.right) if end == "left" else (bay.right, bay.left)
    here = on_plan(case.dead, np.abs(one.roof.slope)) + case.live
    there = on_plan(case.dead, np.abs(other.roof.slope)) + (0.0 if case.one_side else beyond)
    across = there / pick(here > 0, here, 1.0)  # without load nothing bends
    bends = tie_bending(one.run, other.run, rise_to_peak(bay), height, across)
    return TieUse(ratio * np.maximum(bends.at_tie, 1.0), ratio * bends.most, bends)


def worst_tie_use(
    bay: RafterBay, loads: Loads, height: float, end: str, grade: str | Grade = "DFL No.2", spacing: Amount = 16
) -> tuple[TieUse, RafterCheck]:
    """Bending of one end's rafter under a raised tie, of the combination that is worst, and that combination."""
    beyond = {case.name: case.live for case in loads.every_case(abs(getattr(bay, _FAR[end]).roof.slope))}
    uses = (
        (tie_use(bay, end, check.case, beyond[check.case.name], check.values["bending_ratio"], height), check)
        for check in check_rafter(bay, loads, grade, spacing, end=end)
    )
    return max(uses, key=lambda made: (int(made[0].verdict), float(made[0].most)))


_FAR = {"left": "right", "right": "left"}


def thrust_findings(
    bay: Bay,
    loads: Loads,
    spacing: Amount = 16,
    tie_height: Length | None = 0,
    nail: Amount = NAIL,
    ridge_beam: bool = False,
    grade: str | Grade = "DFL No.2",
    untied: str = NOT_TIED,
) -> tuple[Finding, ...]:
    """Ridge, ties and heel joints of a rafter bay as findings that join those of ``limits.findings``.

    ``tie_height`` in inches above the plates; None where no continuous tie crosses the bay.  With ``ridge_beam`` a beam
    or bearing wall carries the ridge, and nothing pushes.  A tie above the plates bends the rafters of this grade, and
    where they do not carry that it does not meet.  ``untied`` says why there is no tie.  A truss gets none.
    """
    must_be(bay, Bay, "Bay")
    must_be(ridge_beam, bool, "Ridge beam")
    if not isinstance(bay, RafterBay):
        return ()
    return tuple(_thrust_rows(bay, loads, spacing, tie_height, nail, ridge_beam, grade, untied))


def _thrust_rows(
    bay: RafterBay, loads: Loads, spacing: Amount, tie_height: Length | None, nail: Amount, there: bool,
    grade: str | Grade, untied: str,
) -> Iterator[Finding]:  # fmt: skip
    (each,) = read_quantities(nail=nail)
    made = pair_thrust(bay, loads, spacing, 0 if tie_height is None else tie_height)
    v, flat, tied = made.values, min(bay.gable.slopes), tie_height is not None
    beam = bool(needs_ridge_beam(flat, tied))
    source = "IRC R802.3, R802.4.2"
    size = "Have the engineer size a ridge beam or bearing wall, its posts at gable and seam, and what is below."
    if there:
        yield Finding(
            "ridge_beam",
            "ridge beam",
            f"tied, and at least {LEAST_PITCH:g} in 12; or a ridge beam",
            "ask",
            source,
            f"A ridge beam carries {v['ridge_load']:.0f} plf of ridge, and each post half of its spans' load; the "
            "plates are not pushed.",
            size,
        )
        return
    why = untied if not tied else f"the roof rises only {pitch_text(12 * flat)}"
    yield Finding(
        "ridge_beam",
        "tied" if tied else "not tied",
        f"tied, and at least {LEAST_PITCH:g} in 12",
        "misses" if beam else "meets",
        source,
        (f"A ridge board will not do: {why}." if beam else "The rafters are tied, so a ridge board will do.")
        + f" A ridge beam would carry {v['ridge_load']:.0f} plf of ridge, and each post half of its spans' load.",
        size,
    )
    if not tied:
        return
    share = v["tie"] / v["h"]
    bends = [tie_bending_finding(bay, loads, v["tie"], grade, spacing)] if v["tie"] else []
    yield Finding(
        "tie_height",
        share,
        LOWEST_TIE,
        (bends[0].verdict if bends else "meets") if low_enough(v["tie"], v["h"]) else "misses",
        "IRC R802.5.2",
        f"The tie stands {feet_inches(v['tie'])} above the plates, {100 * share:.0f} % of the rise (lower third "
        f"wanted, 24\" o.c. at most); it pulls {v['tie_force']:.0f} lb, {v['tie_factor']:.2f} times the "
        f"thrust of {v['thrust']:.0f} lb.",
        "Lower the tie to the lower third, or have the engineer size a ridge beam.",
    )
    yield from bends
    per = v["tie_force"] / (float(on_plan(v["dead"], v["m"])) + v["live"])  # lb for each psf
    force, case = max(
        ((per * (float(on_plan(one.dead, v["m"])) + one.live), one) for one in loads.both_sides(flat)),
        key=lambda pair: pair[0] / pair[1].duration,
    )
    nails = float(nail_count(force, case.duration, each))
    yield Finding(
        "heel_nails",
        nails,
        "",
        "ask",
        f"statics; {each:g} lb a nail, {FROM_MEMORY}",
        f"Each heel joint passes on {force:.0f} lb under {case.name}: about {nails:.0f} 16d common nails at "
        f"{each:g} lb and CD {case.duration:g}.",
        "Take the count from the code's own table (IRC R802.5.2); ask the engineer where there is no room for it.",
    )
    yield Finding("collar_ties", "", "", "ask", "IRC R802.4.6", COLLAR_NOTE, "Show collar ties or ridge straps.")


def tie_bending_finding(
    bay: RafterBay, loads: Loads, height: float, grade: str | Grade = "DFL No.2", spacing: Amount = 16
) -> Finding:
    """Bending of the rafters with their tie ``height`` (in) above the plates, over what they carry: the worst end and
    combination."""
    source = "statics; IRC R802.4.1 span factors"
    remedy = "Lower the tie, use a deeper rafter or a closer spacing, or ask the engineer."
    if not is_graded(bay.thickness, bay.depth):
        said = "A tie above the plates bends the rafters; for this stock there are no published values here."
        return Finding("tie_bending", "not computed", "", "ask", source, said, remedy)
    ends = ("left",) if bay.equal_ends else ("left", "right")
    uses = (worst_tie_use(bay, loads, height, end, grade, spacing) for end in ends)
    use, check = max(uses, key=lambda made: (int(made[0].verdict), float(made[0].most)))
    most, bends = float(use.most), use.bends
    said = (
        f"With no push at the plate this tie bends the rafter {float(bends.at_tie):.2f} times as much as a simple span "
        f"does, so its span is {float(bends.span_factor):.2f} of that allowed"
    )
    if bends.most > np.maximum(bends.at_tie, 1.0) + 1e-9:
        said += f", and {float(bends.most):.2f} times between tie and ridge, which the code's factors leave out"
    said += (
        f": bending uses {100 * most:.0f} % under {check.case.name} ({check.grade.name}, "
        f"{on_center(check.values['s'])})."
    )
    return Finding("tie_bending", most, 1.0, VERDICTS[int(use.verdict)], source, said, remedy)


# --- sag at the seam -------------------------------------------------------------------------------------------------

FAIR = 1 / 8
"""Ridge sag that is no defect yet, in per ft: 1 in over 8 ft (NAHB performance guidelines)."""


class Sag(NamedTuple):
    """A sag, in: what live load or snow makes, and what dead load makes on the first day."""

    live: float
    dead: float

    def long_term(self, creep: float = CREEP) -> float:
        """Sag after years, live + Kcr dead, in.

        >>> Sag(0.25, 0.5).long_term()
        1.0
        """
        return self.live + creep * self.dead


def drop_from_spread(spread: Number, slope: Number) -> Number:
    """How far the ridge of a rafter pair drops when each plate moves out by ``spread``, spread / m, in (small moves).

    >>> drop_from_spread(0.25, 0.5)
    0.5
    """
    return spread / slope


def fair_over(step: Number) -> Number:
    """Length, in feet, over which a step (in) fairs out at no more than 1 in over 8 ft.

    >>> float(fair_over(0.5))
    4.0
    """
    return np.abs(step) / FAIR


class SeamSag(NamedTuple):
    """Rafters and truss side by side at one place ("ridge", plumb, or "mid-slope", square to the roof).

    ``step_live`` and ``step_long`` are the rafters' sag less the truss's, in; ``feet`` is how far the larger fairs out.
    """

    place: str
    rafters: Sag
    truss: Sag
    creep: float = CREEP

    @property
    def step_live(self) -> float:
        """The rafters' sag less the truss's under live load or snow, in."""
        return self.rafters.live - self.truss.live

    @property
    def step_long(self) -> float:
        """The rafters' sag less the truss's after years, in."""
        return self.rafters.long_term(self.creep) - self.truss.long_term(self.creep)

    @property
    def feet(self) -> float:
        """Feet over which the larger step fairs out."""
        return float(fair_over(max(self.step_live, self.step_long, key=abs)))

    @property
    def sentence(self) -> str:
        """Both sags after years and which bay hangs lower, in words."""
        low = "rafter bay" if self.step_long > 0 else "truss"
        return (
            f"At the {self.place} the rafters sag {self.rafters.long_term(self.creep):.2f} in and the truss "
            f"{self.truss.long_term(self.creep):.2f} in after years: the {low} hangs {abs(self.step_long):.2f} in "
            f"lower, which fairs out over {self.feet:.1f} ft. {NO_SHARED_LOAD}"
        )


def sag_at_seam(
    rafters: RafterBay, scissor: ScissorBay, loads: Loads, grade: str | Grade = "DFL No.2", spacing: Amount = 16,
    truss_spacing: Amount = 24, slip: Length = 0, creep: float = CREEP,
) -> tuple[SeamSag, SeamSag]:  # fmt: skip
    """Ridge and mid-slope at the seam, live (the larger of roof live and snow) and long-term.

    A teaching model: the pair is pinned and tied at its plates by a member like the rafter, ``slip`` (in) is what each
    nailed heel joint gives under dead load; the truss is ``frame.webbed_scissor`` on its own chords.  Both bays want
    equal ends, or InputError.
    """
    must_be(rafters, RafterBay, "Rafter bay")
    must_be(scissor, ScissorBay, "Scissor bay")
    stop_on(
        f"{what} bay: its two ends differ; this picture of sag wants equal ends."
        for what, bay in (("Rafter", rafters), ("Scissor", scissor))
        if not bay.equal_ends
    )
    apart, give = read_quantities(spacing=truss_spacing, slip=slip)
    row = grade_by_name(grade)
    m = rafters.gable.slopes[0]
    checks = check_rafter(rafters, loads, row, spacing)
    live, s = max(float(check.case.live) for check in checks if not check.case.one_side), checks[0].values["s"]
    ridge, middle = [], []
    for dead, top in ((0.0, live), (loads.dead, 0.0)):
        w = float(line_load(dead, top, m, s))
        span, area = rafters.gable.span, rafters.thickness * rafters.depth
        tied = rafter_pair(span, 12 * m, w * span / 24).solve(area, row.E)
        ridge.append(-tied.moves["C"][1] + (drop_from_spread(give, m) if dead else 0.0))
        middle.append(deflection(w, design_span(rafters), m, rafters.thickness, rafters.depth, row.E))
    lines = (float(line_load(dead, top, m, apart)) for dead, top in ((0.0, live), (loads.dead, 0.0)))
    truss = [_truss_under(scissor, line, row.E) for line in lines]
    return (
        SeamSag("ridge", Sag(*map(float, ridge)), Sag(*(-one.moves["C"][1] for one in truss)), creep),
        SeamSag("mid-slope", Sag(*map(float, middle)), Sag(*(_square_sag(one, scissor) for one in truss)), creep),
    )


def _truss_under(scissor: ScissorBay, load: float, modulus: float) -> TrussSolution:
    """The webbed scissor under a line load, plf, a quarter of it at each upper joint."""
    span, top, bottom = scissor.gable.span, 1.5 * scissor.chord_depth, 1.5 * scissor.bottom_depth
    made = webbed_scissor(span, scissor.gable.slopes[0] * 12, pair(scissor.ceiling_pitch)[0], load * span / 48)
    areas = [top if set(bar) <= set("ABCEF") else bottom for bar in made.bars]
    return made.solve(areas, modulus)


def _square_sag(one: TrussSolution, scissor: ScissorBay) -> float:
    """How far the joint half-way up sinks square to the roof, in, from the line between heel and peak."""
    m = scissor.gable.slopes[0]
    x, y = (one.moves["B"][i] - (one.moves["A"][i] + one.moves["C"][i]) / 2 for i in (0, 1))
    return float((m * x - y) / geo.stretch(m))
