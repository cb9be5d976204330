"""Slips: the mistakes people make with these numbers, each with a sentence of its own.

A slip acts on the symbols a reading is computed from and recomputes it, or on the finished number.  Practice answers
with the slip that fits what was typed.  A slip is said to *fit*, never to *be* what happened.  Sentences name the
numbers at hand: ``{pitch}``, ``{stretch}``, ``{seat}`` and the other words of ``words``.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from math import radians, tan
from typing import Any, NamedTuple

from . import geometry as geo
from .lumber import WIDTHS
from .measure import feet_inches, pitch_text
from .planes import Bay
from .readings import READINGS, Reading

Symbols = dict[str, Any]
SAME = 1 / 16  # numbers nearer than this cannot be told apart on a tape, in
SHEATHING = 0.5  # the sheathing of the slips at a wrong face, in

HEIGHTS = ("height", "peak_height", "ridge_top", "depth_at_peak")
TAILS = ("tail_top", "tail_underside")
SPACES = ("space_outside", "space_inside")
CUTS = ("cut_length", "stock_length")
JOGGED = ("rise", "heel", "stud")
PLATE = 1.5  # thickness of one plate, in


class Slip(NamedTuple):
    """A mistake: its name, what to say, and what it does: ``change`` to the symbols or ``result`` to the number.

    ``acts`` is how it may show on a returned drawing: on the "inputs", so that all is drawn with it; on one
    "item" alone; "either"; or "" never.
    """

    name: str
    sentence: str
    change: Callable[[Symbols], Symbols] | None = None
    result: Callable[[str, float, Symbols], float | None] | None = None
    only: tuple[str, ...] = ()  # readings it can happen to; empty: any that it changes
    acts: str = ""


def _nominal(symbols: Symbols) -> Symbols:
    names = {dressed: float(nominal) for nominal, dressed in WIDTHS.items()}
    return {key: names[symbols[key]] for key in ("D", "d_t", "d_b") if symbols.get(key) in names}


def _slopes(symbols: Symbols, to: Callable[[float], float]) -> Symbols:
    return {key: to(symbols[key]) for key in ("m", "c") if symbols.get(key)}


def _scaled(name: str, s: Symbols, k: Callable[[float], float]) -> float | None:
    """The reading with ``k`` in the place of the stretch."""
    m, c, deep = s["m"], s.get("c", 0.0), s["D"] if "D" in s else s["d_t"]

    def outside() -> float:
        return s["heel"] - s["d_t"] * k(m) - s["d_b"] * k(c) + c * s["start"]

    rows: dict[str, Callable[[], float | None]] = {
        "heel": lambda: deep * k(m) - m * s["seat"],
        "plumb_depth": lambda: deep * k(m),
        "line_length": lambda: s["run"] * k(m),
        "cut_length": lambda: (s["run"] - s["t"] / 2 + s["o"]) * k(m),
        "tail_underside": lambda: geo.drop(s["heel"], m, s["o"]) - deep * k(m),
        "least_heel": lambda: deep * k(m) + geo.BUTT_CUT,
        "space_outside": outside,
        "space_inside": lambda: geo.space_further_in(outside(), m, c, s["bearing"]),
    }
    return rows.get(name, lambda: None)()


SLIPS: tuple[Slip, ...] = (
    # --- pitch and run
    Slip(
        "pitch as an angle",
        "That fits the pitch taken as an angle: {pitch} is {slope} = {ratio}, about {degrees} degrees from level.",
        change=lambda s: _slopes(s, lambda slope: tan(radians(12 * slope))), acts="inputs",
    ),
    Slip(
        "pitch upside down",
        "That fits the slope upside down: {pitch} is rise over run, {slope} = {ratio}.",
        change=lambda s: _slopes(s, lambda slope: 1 / slope),
    ),
    Slip(
        "pitch not divided by 12",
        "That fits the pitch used as it stands: {pitch} rises {slope} = {ratio} for each inch of run.",
        change=lambda s: _slopes(s, lambda slope: 12 * slope),
    ),
    Slip(
        "roof pitch for ceiling pitch",
        "That fits the roof's pitch used for the ceiling: the ceiling has its own, {ceiling_pitch}.",
        change=lambda s: {"c": s["m"]}, only=("ceiling_rise", "space_outside"),
    ),
    Slip(
        "span for run",
        "That fits the whole span used for the run: the ridge stands half way, so the run is {run}.",
        change=lambda s: {key: 2 * s[key] for key in ("run", "apex") if key in s},
    ),
    Slip(
        "clear span",
        "That fits a run begun at the inside face of the wall: the span is out to out of framing, so the run is {run}.",
        change=lambda s: {"face": s["bearing"]} | {key: s[key] - s["bearing"] for key in ("run", "apex") if key in s},
        acts="inputs",
    ),
    Slip(
        "run from the tail",
        "That fits a run begun at the tail: heights count from the outside face of framing, a run of {run}.",
        change=lambda s: {"run": s["run"] + s["o"]}, only=(*HEIGHTS, "run", "line_length"),
    ),
    # --- depth and stretch
    Slip(
        "slope not stretched",
        "That fits a depth left square or a length left level: the slope of {pitch} stretches it, {stretch} times.",
        result=lambda name, value, s: _scaled(name, s, lambda slope: 1.0), acts="either",
    ),
    Slip(
        "divided by the stretch",
        "That fits dividing by the stretch: plumb is more than square, so multiply by {stretch}.",
        result=lambda name, value, s: _scaled(name, s, lambda slope: 1 / float(geo.stretch(slope))), acts="either",
    ),
    Slip(
        "nominal depth",
        "That fits the nominal size: a {nominal} is dressed to {depth}, and that is the depth to use.",
        change=_nominal, acts="either",
    ),
    # --- seat and notch
    Slip(
        "seat forgotten",
        "That fits the plumb depth alone: the seat of {seat} lets the rafter down by {plumb_cut}.",
        change=lambda s: {"seat": 0.0}, only=("heel",), acts="either",
    ),
    Slip(
        "seat added",
        "That fits the birdsmouth added: the seat lets the rafter down, so take {plumb_cut} off the plumb depth.",
        change=lambda s: {"seat": -s["seat"]}, only=("heel",),
    ),
    Slip(
        "whole seat taken off",
        "That fits the seat taken as it is: it is level; the rafter comes down by {slope} of it, {plumb_cut}.",
        change=lambda s: {"seat": s["seat"] / s["m"]}, only=("heel",),
    ),
    Slip(
        "bearing for seat",
        "That fits a seat on the whole plate of {bearing}: this seat is {seat} long.",
        change=lambda s: {"seat": s["bearing"]},
    ),
    Slip(
        "notch square for plumb",
        "That fits the notch measured square to the edge: a heel is plumb, so take off the plumb cut, {plumb_cut}.",
        result=lambda name, value, s: value + s["m"] * s["seat"] - geo.notch(s["m"], s["seat"]), only=("heel",),
    ),
    Slip(
        "notch plumb for square",
        "That fits the birdsmouth's plumb cut, {plumb_cut}: the notch is measured square to the edge, so divide by "
        "the stretch, {stretch}.",
        result=lambda name, value, s: s["m"] * s["seat"], only=("notch_depth",),
    ),
    Slip(
        "limit for notch",
        "That fits a quarter of the depth: that is the limit; the notch is what the seat of {seat} cuts.",
        result=lambda name, value, s: s["D"] / 4, only=("notch_depth",),
    ),
    # --- where the heel is read
    Slip(
        "top of sheathing",
        'That fits a reading to the top of 1/2" sheathing: heels and heights go to the top edge of the wood.',
        result=lambda name, value, s: value + geo.plumb_depth(SHEATHING, s["m"]),
        only=("heel", "height", "peak_height"),
        acts="either",
    ),
    Slip(
        "inside face",
        "That fits the heel read at the inside face of the wall: read it at the outside face of the framing.",
        result=lambda name, value, s: value + s["m"] * s["bearing"], only=("heel",), acts="either",
    ),
    Slip(
        "face of the wall sheathing",
        'That fits the heel read at the face of 1/2" wall sheathing: read it at the outside face of the framing.',
        result=lambda name, value, s: value - s["m"] * SHEATHING, only=("heel",), acts="either",
    ),
    Slip(
        "heel forgotten",
        "That fits the slope alone: the roof line starts a heel of {heel} above the plate.",
        change=lambda s: {"heel": 0.0}, only=(*HEIGHTS, *TAILS), acts="item",
    ),
    # --- rafter lengths
    Slip(
        "overhang left out",
        "That fits no overhang: the rafter runs on {overhang} past the wall.",
        change=lambda s: {"o": 0.0},
    ),
    Slip(
        "overhang not stretched",
        "That fits the overhang added after stretching: it is level too, so add it to the run first.",
        result=lambda name, value, s: value - s["o"] * (geo.stretch(s["m"]) - 1), only=CUTS,
    ),
    Slip(
        "ridge board left out",
        "That fits the full run: half the ridge board comes off it, measured level.",
        change=lambda s: {"t": 0.0}, only=CUTS,
    ),
    Slip(
        "whole ridge board",
        "That fits the whole ridge board taken off: each rafter gives way to half of it.",
        change=lambda s: {"t": 2 * s["t"]}, only=CUTS,
    ),
    Slip(
        "stock for cut length",
        "That fits the stick to buy, two plumb cuts included: the cut length runs along the top edge only.",
        result=lambda name, value, s: value + s["D"] * s["m"], only=("cut_length",),
    ),
    # --- tails
    Slip(
        "sign lost",
        "That fits without its sign: it is below the plate, so write a minus.",
        result=lambda name, value, s: -value if value < 0 else None, only=TAILS,
    ),
    Slip(
        "tail going up",
        "That fits a line that rises outward: beyond the wall the roof falls, by {slope} of the overhang.",
        change=lambda s: {"o": -s["o"]}, only=TAILS,
    ),
    Slip(
        "top of tail",
        "That fits the top of the tail: its underside is a plumb depth lower.",
        change=lambda s: {"D": 0.0, "d_t": 0.0}, only=("tail_underside",),
    ),
    # --- ceiling and chords
    Slip(
        "ceiling from the other face",
        "That fits a ceiling line begun at the other face of the wall: here it leaves the plate {start} in from the "
        "outside face.",
        change=lambda s: {"start": 0.0} if s.get("start") else {"start": s["bearing"]},
        only=("ceiling_rise", *SPACES),
        acts="either",
    ),
    Slip(
        "top of the bottom chord",
        "That fits the top edge of the bottom chord: the ceiling line is its underside.",
        result=lambda name, value, s: value + geo.plumb_depth(s["d_b"], s["c"]), only=("ceiling_rise",),
    ),
    Slip(
        "heel added to the ceiling",
        "That fits the heel counted in: the ceiling line starts on the plate; only the roof line starts a heel above.",
        result=lambda name, value, s: value + s["heel"], only=("ceiling_rise",),
    ),
    Slip(
        "ceiling left out",
        "That fits the overall height: the depth at the peak is what the ceiling's rise leaves of it.",
        change=lambda s: {"ceiling": 0.0}, only=("depth_at_peak",),
    ),
    Slip(
        "one chord only",
        "That fits the top chord alone: the bottom chord takes its plumb depth too.",
        change=lambda s: {"d_b": 0.0}, only=SPACES,
    ),
    Slip(
        "space at the other face",
        "That fits the space at the other face of the wall: it is a wedge, taller at the inside.",
        result=lambda name, value, s: value + (s["m"] - s["c"]) * s["bearing"] * (1 if name == "space_outside" else -1),
        only=SPACES,
    ),
    Slip(
        "butt cut left out",
        "That fits the chord's plumb depth alone: the butt cut adds 1/4\".",
        result=lambda name, value, s: value - geo.BUTT_CUT, only=("least_heel",),
    ),
    # --- a wall set in under the planes
    Slip(
        "plate along the roof",
        "That fits a plate raised along the roof: it follows the ceiling line, {ceiling_pitch}.",
        change=lambda s: {"c": s["m"]}, only=("rise", "stud"),
    ),
    Slip(
        "bearings taken as equal",
        "That fits two walls of one thickness: the ceiling line leaves each plate at that wall's own inside face, so "
        "count the new bearing and take off the old one, {start}.",
        change=lambda s: {"start": 0.0, "start_new": 0.0}, only=JOGGED,
    ),
    Slip(
        "bearings the wrong way round",
        "That fits the bearings the wrong way round: add the new wall's, take off the main wall's, {start}.",
        change=lambda s: {"start": s["start_new"], "start_new": s["start"]}, only=JOGGED,
    ),
    Slip(
        "set out for set in",
        "That fits a wall set out: in counts plus, {jog}.",
        change=lambda s: {"j": -s["j"]}, only=(*JOGGED, "run"),
    ),
    Slip(
        "jog left out",
        "That fits the long truss: its wall is set in {jog}, and all that shifts with it.",
        change=lambda s: {"j": 0.0, "start_new": s["start"]}, only=("heel", "stud", "run"),
    ),
    Slip(
        "plate left as it was",
        "That fits the plate left as it was: it goes up with the ceiling line, and that comes off the heel.",
        change=lambda s: {"c": 0.0} if "j" in s else {}, only=("heel",),
    ),
    Slip(
        "plate's rise added",
        "That fits the plate's rise added: a higher plate stands nearer to the roof, so take it off.",
        change=lambda s: {"c": -s["c"]} if "j" in s else {}, only=("heel",),
    ),
    Slip(
        "roof left level",
        "That fits a roof that does not climb: over {jog} it goes up by {slope} of that, and the heel with it.",
        change=lambda s: {"m": 0.0} if "j" in s else {}, only=("heel",),
    ),
    Slip(
        "plates counted as stud",
        "That fits the whole wall: three plates of 1 1/2\" are not stud.",
        result=lambda name, value, s: value + 3 * PLATE, only=("stud",),
    ),
    # --- writing it down
    Slip(
        "feet read as inches",
        "That fits the answer in feet: a bare number is read as inches, so write the foot mark.",
        result=lambda name, value, s: value / 12 if abs(value) >= 36 else None,
    ),
)


def words(row: Reading, symbols: Symbols) -> dict[str, str]:
    """The numbers of a bay in words, for the sentences; of the ceiling's slope where only that acts."""
    slope = symbols["m" if "m" in row.args.split() or "c" not in symbols else "c"]
    depth = symbols.get("D", symbols.get("d_t", 0.0))
    nominal = next((name for name, dressed in WIDTHS.items() if dressed == depth), "")
    seat = symbols.get("seat", 0.0)
    said = {
        "pitch": pitch_text(round(12 * slope, 4)),
        "ceiling_pitch": pitch_text(round(12 * symbols.get("c", 0.0), 4)),
        "slope": f"{round(12 * slope, 4):g}/12",
        "ratio": f"{slope:.3f}",
        "degrees": f"{geo.angle(slope):.1f}",
        "stretch": f"{float(geo.stretch(slope)):.3f}",
        "nominal": f"2x{nominal}",
    }
    lengths = {"depth": depth, "seat": seat, "plumb_cut": slope * seat, "overhang": symbols["o"]}
    lengths["jog"] = symbols.get("j", 0.0)
    lengths |= {name: symbols.get(name, 0.0) for name in ("run", "bearing", "heel", "start")}
    return said | {name: feet_inches(float(value)) for name, value in lengths.items()}


def slipped(row: Reading, symbols: Symbols, slip: Slip) -> float | None:
    """What a slip makes of a reading, or None where it cannot happen or does not show (by a sixteenth)."""
    if slip.only and row.name not in slip.only or row.unit != "in":
        return None
    right, wrong = row.of(symbols), None
    with suppress(KeyError):  # a slip with something that this bay does not have
        if slip.change:
            changes = {key: value for key, value in slip.change(symbols).items() if key in row.args.split()}
            wrong = row.of({**symbols, **changes}) if changes else None
        elif slip.result:
            wrong = slip.result(row.name, right, symbols)
    if wrong is None or abs(wrong - right) <= SAME:
        return None
    return float(wrong)


def slips_of(bay: Bay, name: str) -> tuple[tuple[Slip, float], ...]:
    """Every slip that shows in a reading of this bay, with its sentence filled in and the number it gives.

    >>> from rooflab import Gable, RafterBay
    >>> [slip.name for slip, _ in slips_of(RafterBay(Gable("24'", 9, "7 1/4")), "run")]
    ['span for run', 'clear span', 'feet read as inches']
    """
    row = next(r for r in READINGS if r.bay == bay.kind and r.name == name)
    symbols = bay.symbols()
    pairs = ((slip, slipped(row, symbols, slip)) for slip in SLIPS)
    said = words(row, symbols)
    return tuple(
        (slip._replace(sentence=slip.sentence.format_map(said)), wrong) for slip, wrong in pairs if wrong is not None
    )
