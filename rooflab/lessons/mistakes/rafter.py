"""Mistakes with a roof and its rafters: pitch and run, depth and stretch, seat and notch, lengths and tails.

Sentences name the numbers at hand by the words of ``mistakes.Words``, and never the answer itself.
"""

from __future__ import annotations

from math import radians, tan

from rooflab.base.rows import Symbols

from .common import (
    NO_RIDGE_BOARD,
    NOT_DIVIDED,
    SLOPES,
    SPAN_FOR_RUN,
    UPSIDE_DOWN,
    WHOLE_RIDGE_BOARD,
    Mistake,
    each,
    fixed,
    nominal,
    scale,
)

HEIGHTS = ("height", "peak_height", "ridge_top", "depth_at_peak")
TAILS = ("tail_top", "tail_underside")
CUTS = ("cut_length", "stock_length")
WITH_RIDGE_BOARD = (*CUTS, "ridge_top")


def _level(formula: str) -> str:
    """The formula without its stretch."""
    return formula.replace("·k(m)", "").replace("·k(c)", "") if "·k(" in formula else ""


def _stretch_divides(formula: str) -> str:
    return formula.replace("·k(", " ÷ k(") if "·k(" in formula else ""


def _rootless(formula: str) -> str:
    return formula.replace("·k(m)", "·(1 + m·m)").replace("·k(c)", "·(1 + c·c)") if "·k(" in formula else ""


def steep(s: Symbols, value: float) -> bool:
    """Whether the roof slope is other than 12 in 12, where rise and run could not be told apart."""
    return abs(s["m"] - 1) > 1e-9


RAFTER_MISTAKES: tuple[Mistake, ...] = (
    # --- pitch and run
    Mistake(
        "pitch as an angle",
        "That fits the pitch taken as an angle: {pitch} is a slope of {slope} = {ratio}, not {plain} degrees.",
        each(lambda slope: tan(radians(12 * slope)), *SLOPES), acts="inputs",
        but=("plumb_depth", "ridge_shortening", "minimum_heel"),  # a tape cannot tell it from a slope not stretched
    ),
    UPSIDE_DOWN._replace(
        sentence="That fits the slope upside down: {pitch} is rise over run, {slope} = {ratio}.",
    ),
    NOT_DIVIDED._replace(
        sentence="That fits the pitch used as it stands: {pitch} rises {slope} = {ratio} for each inch of run.",
    ),
    Mistake(
        "roof pitch for ceiling pitch",
        "That fits the roof's pitch used for the ceiling: the ceiling has its own, {ceiling_pitch}.",
        lambda s: {"c": s["m"]}, only=("ceiling_rise", "space_outside"),
    ),
    SPAN_FOR_RUN._replace(
        sentence="That fits the whole span used for the run: the ridge stands half way, so the run is half of the "
        "span.",
        change=scale(2.0, "run", "apex"),
    ),
    Mistake(
        "clear span",
        "That fits a run begun at the inside face of the wall: the span is out to out of framing, and the run is half "
        "of that.",
        lambda s: {"face": s["bearing"]} | {key: s[key] - s["bearing"] for key in ("run", "apex") if key in s},
        acts="inputs",
    ),
    Mistake(
        "run from the tail",
        "That fits a run begun at the tail: it counts from the outside face of framing, without the {overhang}.",
        lambda s: {"run": s["run"] + s["o"]}, only=(*HEIGHTS, "rafter.run", "scissor.run", "line_length"),
    ),
    Mistake(
        "ridge board off the run",
        "That fits half the ridge board taken off already: this runs to the ridge line; the board comes off later.",
        only=("run", "line_length"), how=lambda f: f.replace("run", "(run − t ÷ 2)"), when=lambda s, value: s["t"] > 0,
    ),
    Mistake(
        "length along the slope",
        "That fits the length along the slope: a run is measured level.",
        only=("run",), how="({f})·k(m)",
    ),
    # --- the roof as an angle
    Mistake(
        "slope in percent", "That fits the slope in percent, {slope} of a hundred: an angle is its arctangent.",
        only=("angle",), how="100·m",
    ),
    Mistake(
        "share of 45 degrees",
        "That fits {slope} of 45 degrees: only 12 in 12 is 45; between, angles do not grow in step with the pitch.",
        only=("angle",), how="45·m", when=steep,
    ),
    Mistake(
        "angle from plumb", "That fits the angle from plumb: from level it is what that leaves of 90 degrees.",
        only=("angle",), how="90 − arctan(m)", when=steep,
    ),
    Mistake(
        "rise over the span", "That fits the rise over the whole span: a pitch is rise over run.",
        only=("angle",), how="arctan(m ÷ 2)",
    ),
    Mistake(
        "angle in radians", "That fits an angle in radians: set the calculator to degrees.",
        only=("angle",), how="arctan(m) ÷ 57.29578",
    ),
    # --- depth and stretch
    Mistake(
        "slope not stretched",
        "That fits a depth left square or a length left level: the slope of {pitch} stretches it, {stretch} times.",
        acts="either", how=_level,
    ),
    Mistake(
        "divided by the stretch",
        "That fits dividing by the stretch: plumb is more than square, so multiply by {stretch}.",
        acts="either", how=_stretch_divides,
    ),
    Mistake(
        "root forgotten",
        "That fits a stretch without its square root, or taken twice: at {pitch} it is √(1 + m²) = {stretch}.",
        how=_rootless, but=("ridge_shortening",),
    ),
    Mistake(
        "slope added",
        "That fits the slope added, 1 + {slope}: the long side of the triangle is {stretch}, by its square root.",
        only=("plumb_depth", "line_length", "minimum_heel"),
        how=lambda f: f.replace("·k(m)", "·(1 + m)"),
    ),
    Mistake(
        "nominal depth",
        "That fits the nominal size: a {nominal} is dressed to {depth}, and that is the depth to use.",
        nominal("D", "d_t", "d_b"), acts="either",
    ),
    Mistake(
        "square to the edge",
        "That fits the heel measured square to the edge: a heel is measured plumb, straight up and down.",
        only=("heel",), how="({f}) ÷ k(m)",
    ),
    # --- seat and notch
    Mistake(
        "seat forgotten",
        "That fits the plumb depth alone: the seat of {seat} lets the rafter down by {plumb_cut}.",
        fixed(0.0, "seat"), only=("heel",), acts="either",
    ),
    Mistake(
        "seat added",
        "That fits the birdsmouth added: the seat lets the rafter down, so take {plumb_cut} off the plumb depth.",
        lambda s: {"seat": -s["seat"]}, only=("heel",),
    ),
    Mistake(
        "whole seat taken off",
        "That fits the seat taken as it is: it is level; the rafter comes down by {slope} of it, {plumb_cut}.",
        lambda s: {"seat": s["seat"] / s["m"]}, only=("heel",),
    ),
    Mistake(
        "bearing for seat",
        "That fits a seat on the whole plate of {bearing}: this seat is {seat} long.",
        lambda s: {"seat": s["bearing"]},
    ),
    Mistake(
        "notch square for plumb",
        "That fits the notch measured square to the edge: a heel is plumb, so take off the heel cut, {plumb_cut}.",
        only=("rafter.heel", "cutting.heel"), how="D·k(m) − m·seat ÷ k(m)", when=lambda s, value: s["seat"] > 0,
    ),
    Mistake(
        "cut measured square",
        "That fits the notch, square to the edge: the heel cut is measured straight up and down.",
        only=("birdsmouth_plumb",), how="m·seat ÷ k(m)",
    ),
    Mistake(
        "seat for heel cut",
        "That fits the seat as it is, or measured twice: the heel cut is what the slope, {slope}, rises over it.",
        only=("birdsmouth_plumb",), how="seat", when=steep,
    ),
    Mistake(
        "heel for the cut", "That fits the heel: asked for is what the seat takes off the plumb depth.",
        only=("birdsmouth_plumb",), how="D·k(m) − m·seat",
    ),
    Mistake(
        "cut stretched",
        "That fits a cut stretched along the slope: seat is level, cut is plumb, so {slope} of the seat is all.",
        only=("birdsmouth_plumb",), how="m·seat·k(m)",
    ),
    Mistake(
        "seat for notch",
        "That fits the seat itself, {seat}, which is level: the notch goes square into the edge.",
        only=("notch_depth",), how="seat", when=steep,
    ),
    Mistake(
        "notch plumb for square",
        "That fits the heel cut, {plumb_cut}: the notch is measured square to the edge, so divide by "
        "the stretch, {stretch}.",
        only=("notch_depth", "notch_ratio"), how=lambda f: f.replace(" ÷ k(m)", ""),
    ),
    Mistake(
        "multiplied by the stretch",
        "That fits multiplying by the stretch: square is less than plumb, so divide the heel cut by {stretch}.",
        only=("notch_depth", "notch_ratio"), how=lambda f: f.replace(" ÷ k(m)", "·k(m)"),
    ),
    Mistake(
        "limit for notch",
        "That fits a quarter of the depth: that is the limit; the notch is what the seat of {seat} cuts.",
        only=("notch_depth", "notch_ratio"), how=lambda f: "1 ÷ 4" if f.endswith("D") else "D ÷ 4",
    ),
    Mistake(
        "what is left", "That fits the wood that is left beside the notch: asked for is the part that is cut.",
        only=("notch_ratio",), how="1 − {f}",
    ),
    Mistake(
        "depth over notch", "That fits the depth over the notch: a part of the depth is the notch over the depth.",
        only=("notch_ratio",), how="D ÷ (m·seat ÷ k(m))",
    ),
    # --- where the heel is read
    Mistake(
        "top of sheathing",
        'That fits a reading to the top of 1/2" sheathing: heels and heights go to the top edge of the wood.',
        only=("heel", "height", "peak_height"), acts="either", how="{f} + 0.5·k(m)",
    ),
    Mistake(
        "inside face",
        "That fits the heel read at the inside face of the wall: read it at the outside face of the framing.",
        only=("heel",), acts="either",
        how="{f} + m·bearing", when=lambda s, value: "j" not in s,
    ),
    Mistake(
        "inside face of the moved wall",
        "That fits the heel read at the inside face of the moved wall: read it at the outside face of its framing.",
        only=("jog.heel",), how="{f} + m·bearing_new",
    ),
    Mistake(
        "face of the wall sheathing",
        'That fits the heel read at the face of 1/2" wall sheathing: read it at the outside face of the framing.',
        only=("heel",), acts="either", how="{f} − m·0.5",
    ),
    Mistake(
        "heel forgotten",
        "That fits the slope alone: the roof line starts a heel of {heel} above the plate.",
        fixed(0.0, "heel"), only=(*HEIGHTS, *TAILS), acts="item",
    ),
    Mistake(
        "plate left out",
        "That fits a height above the main plate: a heel counts from this truss's own plate, so take off where it is.",
        only=("scissor.heel",), how="roof", when=lambda s, value: s["plate"] != 0,
    ),
    Mistake(
        "plate the wrong way",
        "That fits the plate counted the wrong way: a higher plate leaves less heel, a lower one more.",
        only=("scissor.heel",), how="roof + plate", when=lambda s, value: s["plate"] != 0,
    ),
    # --- rafter lengths
    Mistake(
        "overhang left out",
        "That fits no overhang: the roof runs on {overhang} past the wall.",
        fixed(0.0, "o"), only=(*CUTS, *TAILS),
    ),
    Mistake(
        "overhang not stretched",
        "That fits the overhang added after stretching: it is level too, so add it to the run first.",
        only=CUTS, how="{f} − o·k(m) + o", when=lambda s, value: s["o"] > 0,
    ),
    NO_RIDGE_BOARD._replace(only=WITH_RIDGE_BOARD),
    WHOLE_RIDGE_BOARD._replace(only=(*WITH_RIDGE_BOARD, "ridge_shortening")),
    Mistake(
        "half of the half", "That fits half of the half: each rafter gives way to half of the board's thickness.",
        only=("ridge_shortening",), how="t ÷ 4·k(m)",
    ),
    Mistake(
        "nominal thickness",
        "That fits the nominal thickness: a ridge board is planed too, to {ridge}.",
        lambda s: {"t": {1.5: 2.0, 0.75: 1.0}[s["t"]]}, only=(*CUTS, "ridge_shortening"),
    ),
    Mistake(
        "stock for cut length",
        "That fits the stick to buy, two plumb cuts included: the cut length runs along the top edge only.",
        only=("cut_length",), how="{f} + D·m",
    ),
    Mistake(
        "cut length for stock",
        "That fits the cut length along the top edge: two parallel plumb cuts need a longer stick.",
        only=("stock_length",), how="(run − t ÷ 2 + o)·k(m)",
    ),
    # --- tails
    Mistake(
        "sign lost",
        "That fits without its sign: it is below the plate, so write a minus.",
        only=TAILS, how="0 − ({f})", when=lambda s, value: value < 0,
    ),
    Mistake(
        "tail going up",
        "That fits a line that rises outward: beyond the wall the roof falls, by {slope} of the overhang.",
        lambda s: {"o": -s["o"]}, only=TAILS,
    ),
    Mistake(
        "top of tail",
        "That fits the top of the tail: its underside is a plumb depth lower.",
        lambda s: {"D": 0.0, "d_t": 0.0}, only=("tail_underside",),
    ),
    Mistake(
        "overhang along the slope",
        "That fits the overhang stretched: it is level, and the roof falls by {slope} of it.",
        only=("tail_top",), how="heel − m·o·k(m)", when=lambda s, value: s["o"] > 0,
    ),
    # --- writing it down
    Mistake(
        "feet read as inches",
        "That fits the answer in feet: a bare number is read as inches, so write the foot mark.",
        how="({f}) ÷ 12", when=lambda s, value: abs(value) >= 36, but=("angle", "plumb_angle", "seat_angle"),
    ),
)
