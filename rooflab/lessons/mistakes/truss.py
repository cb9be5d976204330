"""Mistakes with trusses, and with a wall set in under their planes."""

from __future__ import annotations

from .common import Mistake, fixed
from .rafter import steep

SPACES = ("space_outside", "space_inside")
JOG_HEIGHTS = ("rise", "jog.heel", "stud")
JOG_LINES = (*JOG_HEIGHTS, "ceiling_break")

TRUSS_MISTAKES: tuple[Mistake, ...] = (
    # --- ceiling and chords
    Mistake(
        "ceiling from the other face",
        "That fits a ceiling line begun at the other face of the wall: here it leaves the plate {start} in from the "
        "outside face.",
        lambda s: {"start": 0.0} if s.get("start") else {"start": s["bearing"]},
        only=("ceiling_rise", *SPACES), acts="either",
    ),
    Mistake(
        "top of the bottom chord",
        "That fits the top edge of the bottom chord: the ceiling line is its underside.",
        only=("ceiling_rise",), how="{f} + d_b·k(c)",
    ),
    Mistake(
        "heel added to the ceiling",
        "That fits the heel counted in: the ceiling line starts on the plate; only the roof line starts a heel above.",
        only=("ceiling_rise",), how="{f} + heel",
    ),
    Mistake(
        "ceiling left out",
        "That fits the overall height: the depth at the peak is what the ceiling's rise leaves of it.",
        fixed(0.0, "ceiling"), only=("depth_at_peak",),
    ),
    Mistake(
        "chords taken off",
        "That fits the space between the chords: the depth at the peak goes from the ceiling line to the roof line.",
        only=("depth_at_peak",), how="{f} − d_t·k(m) − d_b·k(c)",
    ),
    Mistake(
        "one chord only",
        "That fits the top chord alone: the bottom chord takes its plumb depth too.",
        fixed(0.0, "d_b"), only=SPACES,
    ),
    Mistake(
        "space at the inside face",
        "That fits the space at the inside face of the wall: it opens toward the room, and is less at the outside.",
        only=("space_outside",), how="{f} + (m − c)·bearing", when=lambda s, value: s["c"] != s["m"],
    ),
    Mistake(
        "space at the outside face",
        "That fits the space at the outside face of the wall: it opens toward the room, and is more at the inside.",
        only=("space_inside",), how="{f} − (m − c)·bearing", when=lambda s, value: s["c"] != s["m"],
    ),
    Mistake(
        "butt cut left out",
        "That fits the chord's plumb depth alone: the butt cut adds 1/4\".",
        only=("minimum_heel",), how="d_t·k(m)",
    ),
    # --- a wall set in under the planes
    Mistake(
        "plate along the roof",
        "That fits a plate raised along the roof: it follows the ceiling line, {ceiling_pitch}.",
        lambda s: {"c": s["m"]}, only=("rise", "stud"),
    ),
    Mistake(
        "plate with the roof",
        "That fits a plate that goes up with the roof over {jog}: it follows the ceiling line, {ceiling_pitch}, from "
        "inside face to inside face.",
        only=("rise",), how="m·j", when=lambda s, value: s["start"] != s["start_new"],
    ),
    Mistake(
        "stud with the roof",
        "That fits a stud that grows with the roof over {jog}: the plate follows the ceiling line, {ceiling_pitch}, "
        "from inside face to inside face.",
        only=("stud",), how="stud + m·j", when=lambda s, value: s["start"] != s["start_new"],
    ),
    Mistake(
        "plate's rise for the fascia",
        "That fits the plate's rise, with the ceiling: fascia and soffit hang from the roof, {pitch}.",
        only=("fascia_step",), how="c·(j + start_new − start)", when=lambda s, value: s["start"] != s["start_new"],
    ),
    Mistake(
        "bearings taken as equal",
        "That fits two walls of one thickness: the ceiling line leaves each plate at that wall's own inside face, so "
        "count the new bearing and take off the old one, {start}.",
        lambda s: {"start": 0.0, "start_new": 0.0}, only=JOG_LINES,
    ),
    Mistake(
        "bearings the wrong way round",
        "That fits the bearings the wrong way round: add the new wall's, take off the main wall's, {start}.",
        lambda s: {"start": s["start_new"], "start_new": s["start"]}, only=JOG_LINES,
    ),
    Mistake(
        "set out for set in",
        "That fits a wall set out: in counts plus, {jog}.",
        lambda s: {"j": -s["j"]}, only=(*JOG_HEIGHTS, "jog.run"),
    ),
    Mistake(
        "jog left out",
        "That fits the long truss: its wall is set in {jog}, and all that shifts with it.",
        lambda s: {"j": 0.0, "start_new": s["start"]}, only=("jog.heel", "stud", "jog.run"),
    ),
    Mistake(
        "plate left as it was",
        "That fits the plate left as it was: it goes up with the ceiling line, and that is taken off.",
        fixed(0.0, "c"), only=("jog.heel", "ceiling_break"),
    ),
    Mistake(
        "plate's rise added",
        "That fits the plate's rise added: a higher plate stands nearer to the roof, so take it off.",
        lambda s: {"c": -s["c"]}, only=("jog.heel", "ceiling_break"),
    ),
    Mistake(
        "roof left level",
        "That fits a roof that does not climb: over {jog} it goes up by {slope} of that, and the heel with it.",
        fixed(0.0, "m"), only=("jog.heel",),
    ),
    Mistake(
        "rise for the break",
        "That fits the plate's rise: with the long heel the plate goes up with the roof; the break is the difference.",
        only=("ceiling_break",), how="c·(j + start_new − start)",
    ),
    Mistake(
        "plates counted as stud",
        "That fits the whole wall: three plates of 1 1/2\" are not stud.",
        only=("stud",), how="{f} + 4.5",
    ),
    Mistake(
        "ridge in the middle of the short truss",
        "That fits a ridge in the middle of the short truss: the planes stay, and so does the ridge line.",
        only=("jog.run",), how="(2·run − j) ÷ 2",
    ),
    Mistake(
        "ceiling pitch for the fascia",
        "That fits the ceiling's pitch: fascia and soffit hang from the roof, {pitch}.",
        only=("fascia_step",), how="c·(j + o − o_new)", when=lambda s, value: s["c"] != s["m"],
    ),
    Mistake(
        "overhang counted in",
        "That fits the overhang counted in: it is the same before and after, so only the {jog} of the wall lifts it.",
        only=("fascia_step",), how="m·(j + o)", when=lambda s, value: s["o"] > 0 and s["o"] == s["o_new"],
    ),
    Mistake(
        "step along the slope", "That fits the step measured along the slope: a fascia's height is plumb.",
        only=("fascia_step",), how="({f})·k(m)",
    ),
    Mistake(
        "set-in for the step", "That fits the wall's set-in, which is level: the step is {slope} of it.",
        only=("fascia_step",), how="j", when=steep,
    ),
)

# Mistakes that give one number by algebra, by reading: nobody can tell them apart, so they share a message.
ALIKE: dict[str, tuple[tuple[str, ...], ...]] = {
    "rafter.angle": (("pitch upside down", "angle from plumb"),),  # arctan(1/m) = 90 degrees less arctan(m)
    "scissor.angle": (("pitch upside down", "angle from plumb"),),
    "rafter.notch_depth": (("pitch not divided by 12", "seat for notch"),),  # the sine of 84 in 12 is 0.99
}
