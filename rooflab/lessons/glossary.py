"""The trade words of the series, each told once: what it means here, where manuals differ, where it stands.

``TERMS`` drives the section with words of the first workbook, its live list and its table.  A word of the roof has a
place in ``spots``, under ``place`` or its own name; a word of the office has none.  A measured word names its reading.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from rooflab.base.measure import InputError


class Term(NamedTuple):
    """A word, its group, what it means, other names and forms of it, where manuals differ, its place and reading."""

    name: str
    group: str
    meaning: str
    also: tuple[str, ...] = ()
    differs: str = ""
    place: str = ""  # in ``spots``, where that is not the word itself; "-" for a word of the office
    reading: str = ""  # bay and reading, of a word that is measured

    @property
    def spot(self) -> str:
        """The name of its place on the section; "" without one."""
        return "" if self.place == "-" else self.place or self.name


def word(name: str, meaning: str, also: str = "", differs: str = "", place: str = "", reading: str = "") -> Term:
    """A row of ``TERMS``; ``also`` is a list of words with commas between them."""
    return Term(name, "", meaning, tuple(filter(None, also.split(", "))), differs, place, reading)


def _group(group: str, *terms: Term) -> tuple[Term, ...]:
    return tuple(term._replace(group=group) for term in terms)


TERMS: tuple[Term, ...] = (
    *_group(
        "Directions and slopes",
        word("plumb", "Straight up and down, as a string with a weight hangs. Heights are plumb."),
        word("level", "Flat, as water lies. Runs, seats and overhangs are level."),
        word("square to the edge", "At a right angle (90 degrees) to the edge of the wood, whatever its slope; a "
             "carpenter's square finds it.", also="square", place="depth"),
        word("run", "The level distance under a slope: for a rafter, from the outside face of the framing to the "
             "ridge line, half the span when the ridge stands in the middle.", reading="rafter.run"),
        word("rise", "How much a line climbs over its run, plumb: pitch × run.", also="total rise",
             differs="Total rise clashes between manuals: from the plate to the top of the ridge, or from where the "
                     "rafter's top edge crosses the building line, or with the heel added. They differ by the heel. "
                     "Here rise leaves the heel out, and a height from the plate is called height."),
        word("pitch", "Inches of rise in 12 inches of run: 8 in 12. Roof pitch and ceiling pitch are two.",
             also="roof pitch, in 12",
             differs="Some books call rise over span the pitch: 8 in 12 is 1/3 there. Never here."),
        word("slope", "The pitch as one number, rise over run: 8/12 = 0.667. Written m for the roof, c for the "
             "ceiling.", also="m, c, angle"),
        word("stretch", "How long the slope is for one inch of run, k(m) = √(1 + m²): 1.202 at 8 in 12. The same "
             "factor turns a depth measured square into one measured plumb.", also="k, length per foot",
             place="line length"),
    ),
    *_group(
        "The whole roof",
        word("span", "The level width of the house, from outside face to outside face of the framing.",
             also="out to out",
             differs="Framing tables count the span out to out, as here; span tables of a code mean the clear span, "
                     "level between supports. Never put one into the other's table.", reading="scissor.span"),
        word("roof plane", "The plane in which the top edges of all rafters and top chords lie, under the "
             "sheathing. It starts a heel above the plate and climbs with the pitch. Seen in section it is a line.",
             also="outer plane, roof lines, plane"),
        word("peak", "The point where the two roof lines meet.", also="ridge line, ridge, peak of the roof lines"),
        word("overall height", "Of a truss: plumb from the plate to the peak of its top chords, the heel counted "
             "in.", also="height", reading="scissor.height"),
        word("ceiling line", "The underside of the bottom chords; the finish hangs below it. It leaves the plate at "
             "the inside face of the wall.", also="ceiling plane",
             differs="Some shops begin it at the outside face: the ceiling is then higher by ceiling pitch × "
                     "bearing. Write on the drawing which face you mean."),
        word("starting face", "The face of the wall at which the ceiling line leaves the plate; here the inside "
             "one.", place="inside face"),
        word("ceiling pitch", "The pitch of the ceiling line, always less than that of the roof."),
        word("ceiling rise", "Plumb, from the plate up to the ceiling line's highest point.", also="apex",
             reading="scissor.ceiling_rise"),
        word("depth at the peak", "What is left between peak and ceiling apex: height less ceiling rise.",
             also="depth at peak", reading="scissor.depth_at_peak"),
        word("seam", "Where the last rafter stands beside the first truss. Both planes have to run through it.",
             also="gap"),
    ),
    *_group(
        "Rafter",
        word("rafter", "A sloped member cut on site, from the wall to the ridge; it carries one strip of roof.",
             also="rafter bay, common rafter"),
        word("depth", "Of a piece of lumber: its dressed width, square to the edge, written D. A 2x10 has 9 1/4 in.",
             also="rafter depth, D"),
        word("plumb depth", "The depth measured plumb: D × stretch. Always more than the depth itself.",
             reading="rafter.plumb_depth"),
        word("birdsmouth", "The notch with which a rafter sits on the plate: a level seat and a plumb heel cut."),
        word("seat", "The birdsmouth's level cut: how much plate the rafter sits on.", also="seat cut, seat on plate"),
        word("plumb cut", "Any cut that stands plumb: at the ridge, at the tail, and the heel cut of the birdsmouth.",
             place="heel cut"),
        word("heel cut", "The birdsmouth's plumb cut, along the wall: m × seat high.",
             also="plumb cut of the birdsmouth", reading="rafter.birdsmouth_plumb"),
        word("notch", "How deep the birdsmouth goes into the wood, square to the edge. A quarter of the depth (D/4) "
             "is the usual limit, and whether it holds for a birdsmouth is asked of the building official.",
             also="d/4, notch ratio", reading="rafter.notch_depth"),
        word("heel", "Plumb, from the top of the plate to the top edge of the rafter or top chord, at the outside "
             "face of the framing: plumb depth less heel cut. One number for both bays.",
             also="heel height, long heel, HAP, height above plate",
             differs="Some call it height above plate, some measure it over the sheathing or at the inside face. "
                     "Here it is wood only, at the outside face.", reading="rafter.heel"),
        word("ridge board", "The board that the rafters lean on from both sides. It carries nothing."),
        word("line length", "Along the slope, from the outside face to the ridge line: run × stretch. A line, not "
             "yet a rafter.", also="theoretical length", reading="rafter.line_length"),
        word("ridge shortening", "What half the ridge board takes off the line length: half its thickness is level, "
             "so × stretch along the slope.", also="shortening",
             differs="One manual takes half the thickness along the slope; it is measured level.",
             reading="rafter.ridge_shortening"),
        word("cut length", "Along the top edge, from the plumb cut at the tail to the plumb cut at the ridge.",
             reading="rafter.cut_length"),
        word("stock length", "The piece of lumber that the rafter is cut from: cut length + depth × slope, for its "
             "two plumb cuts lean the same way.", also="stock, stock needed", reading="rafter.stock_length"),
        word("building line", "Plumb over the outside face of the framing. On a rafter it is the first mark: heel and "
             "seat depend on it."),
        word("corner", "Where the two cuts of a birdsmouth meet: on the building line, a heel below the top edge."),
        word("framing square", "A steel square: the long arm is the blade, the short one the tongue. Held at 12 and "
             "the rise it draws level and plumb cuts; slid along, it steps off a rafter.",
             also="blade, tongue, stepping off, step off"),
        word("hook", "The end of a rafter from which the tape runs. All its marks are counted from one.", place="-"),
        word("cut sheet", "The page for the saw: the rafter, and every mark of it counted from the hook.", place="-"),
        word("stop", "On cut sheet and template: notch, stock or tail past a limit. Nothing is cut before engineer and "
             "building official have answered.", place="-"),
        word("template", "A paper pattern in full size, here of the birdsmouth. Measure the line on it first.",
             place="birdsmouth"),
    ),
    *_group(
        "Scissor truss",
        word("scissor truss", "A truss whose bottom chords slope too, so that the room below gets volume. A shop "
             "makes it, and the truss designer answers for it.", also="scissor, scissor bay, truss, long truss"),
        word("chords", "The outer members of a truss.", also="chord"),
        word("top chord", "The chord under the roof. Its top edge lies in the roof plane."),
        word("bottom chord", "The chord over the room. Its underside is the ceiling line."),
        word("web", "A member between the chords. Webs and plates are the truss designer's; those drawn here only "
             "stand for them.", also="webs"),
        word("king post", "An upright web in the middle, from the ceiling apex to the peak."),
        word("raised heel", "A truss heel higher than its chords need, to meet the rafters' heel.",
             also="truss heel, raised", reading="scissor.heel"),
        word("minimum heel", "About the lowest heel a shop builds: the plumb depth of the top chord and a 1/4 in butt "
             "cut (common practice). A heel below minimum has no end for the chord to bear on.", also="below minimum",
             reading="scissor.minimum_heel"),
        word("butt cut", "The small upright end that stays on the bottom chord at a low heel, so that it does not "
             "split: often 1/4 in."),
        word("end vertical", "An upright between the chords at the outside face of a raised heel."),
        word("space between chords", "Plumb, over the bearing of a raised heel: more at the inside face than at the "
             "outside one. What fills it, a slider or wedge of wood or an end vertical, is the manufacturer's choice.",
             also="between the chords, between chords, wedge, slider, heel filler", reading="scissor.space_inside"),
        word("standard heel", "A low heel: the bottom chord is cut to a taper under the top chord, and no space is "
             "left between them.", also="standard"),
        word("tail corner", "The top corner of the tail's plumb end, in the roof plane. Fascia and gutter line up "
             "to it.", also="top of tail"),
        word("dropped gable end", "The last truss of a roof, its top chord lowered so that outlookers can pass over "
             "it."),
    ),
    *_group(
        "Eave and wall",
        word("tail", "The part of a rafter or top chord outside the wall.", also="underside of tail, tail underside"),
        word("overhang", "Level, from the outside face of the framing to the plumb end of the tail, the back of the "
             "subfascia.", reading="rafter.overhang"),
        word("tail cut", "The cut at the end of the tail: plumb here, square to the edge on some roofs. Say which "
             "on the order."),
        word("level cut", "A level cut along the underside of the deeper tail, so that both tails meet one soffit."),
        word("soffit", "The level underside of the eave.", also="soffit line, soffit step"),
        word("subfascia", "The board nailed to the ends of the tails; the finished fascia covers it."),
        word("fascia", "The finished board over the subfascia; the gutter hangs on it.", place="-"),
        word("sheathing", "The panels nailed over rafters and top chords. No dimension here includes it.",
             also="roof sheathing"),
        word("plate", "The lumber that lies on top of the studs; members stand on it.",
             also="top plate, plate height, plate offset"),
        word("stud", "An upright of the wall.", also="studs"),
        word("bearing", "The width of plate that is sat on; also the place where a truss hands its load to the "
             "wall.", also="bearing (plate)",
             differs="In strength it is the pressure across the grain there.", reading="scissor.bearing"),
        word("bearing line", "Where a truss bears, as the sheet says it: outside face of framing, and the width sat "
             "on."),
        word("braced wall", "A wall whose panels keep the house from leaning in wind and earthquake.", place="-"),
        word("blocking", "Solid pieces between the members over a braced wall: wind and earthquake go through them "
             "from the roof into the wall. A baffle does not do that.", place="-"),
        word("prescriptive panels", "Panels between the heels that the code itself describes, so that nobody designs "
             "them: over a braced wall where a heel is higher than 15 1/4 in (IRC R602.10.8.2, from memory).",
             also="heel block panel", place="-"),
        word("lateral support", "What keeps a rafter from rolling over where it bears: blocking, a rim board or "
             "bridging. Wanted where nominal depth over thickness is more than 5 to 1, so for a 2x12 (IRC R802.8).",
             also="held upright", place="-"),
        word("outside face", "The outer side of the studs and plates, without sheathing: where heel, run, span and "
             "overhang begin.", also="face, framing"),
        word("inside face", "The room side of the studs, without drywall: where the ceiling line begins."),
    ),
    *_group(
        "Wall jog",
        word("wall jog", "A place where a wall steps in or out of line under the same roof.", also="jog, moved wall"),
        word("set in", "How far the moved wall stands inside the others, between their outside faces; set out is "
             "minus.", also="set out, set-in"),
        word("short truss", "The truss on the moved wall: same ridge, same planes, one end further in."),
        word("stand-off", "Plumb: what is left between a plate that was not raised and the ceiling plane above it."),
        word("break", "A step in a plane that should run through; of the ceiling, where the short truss kept the "
             "long heel.", place="ceiling break"),
        word("straight eave", "An eave that runs on past the moved wall, so the overhang there is longer."),
        word("stepped eave", "An eave that steps in with the wall and keeps the overhang."),
        word("return wall", "The short wall that joins a moved wall to its neighbors; also called a return."),
        word("raked plate", "The plate on top of a gable wall that follows a sloped ceiling."),
        word("window head", "The top of a window above the floor. In a gable wall its corners touch the raked plate "
             "first.", also="eave window head"),
        word("header", "The beam over an opening."),
        word("girder", "A truss or beam that carries the ends of other trusses.", place="-"),
    ),
    *_group(
        "Loads and forces",
        word("dead load", "What is always there: roofing, boards, framing, drywall. It lies along the slope.",
             also="dead"),
        word("roof live load", "People and material on the roof for a while.", also="live load, roof live"),
        word("snow", "Ground snow is the code map's value; roof snow is what a roof keeps of it, given on the "
             "projection.", also="ground snow, ground snow load, roof snow load, roof snow"),
        word("unbalanced snow", "Snow on one side of the ridge, none on the other: on simple rafters of 1/2 to 7 in "
             "12, 20 ft or less from eave to ridge, ground snow × importance (ASCE 7-10 and 7-16, 7.6.1; the amount "
             "from memory).", also="snow on one side", place="-"),
        word("minimum snow", "What a gable below 15 degrees carries at least: ground snow, but no more than 20 psf "
             "of it, × importance (ASCE 7-05 to 7-16, 7.3.4, from memory).", also="least snow", place="-"),
        word("projection", "The level plan below a slope. A load on the slope, × stretch, is one on the projection."),
        word("slope factor", "Cs: the part of a flat roof's snow that a slope keeps.", place="-"),
        word("moment", "How hard a load bends a beam: force × arm. Largest at mid-span for an even load.",
             also="bending"),
        word("shear", "How hard the load tries to slide one part of a beam past the next; largest beside the "
             "support."),
        word("capacity", "What a member may carry. What it has to carry is the demand.", also="demand", place="-"),
        word("ratio", "Demand over capacity: 1 is full use.", also="early check", place="-"),
        word("reach", "The level span at which a size is full in its first check."),
        word("thrust", "The level push of a roof on its walls.", also="push"),
        word("horizontal movement", "How far the sliding bearing of a scissor truss moves out under load.",
             also="spread"),
        word("rafter tie", "A level member that takes the thrust, in the lower third of the rise.", also="tie"),
        word("raised tie", "A rafter tie above the plates. It pulls harder, and it bends its rafters, for nothing "
             "holds the plates any more.", also="tie bending, raised rafter tie", place="-"),
        word("slip", "How far a nailed joint gives under its load.", place="-"),
        word("span factor", "What a raised tie leaves of its rafter's span: 0.67 with the tie at a third of the rise "
             "(statics; the IRC's table has the same, R802.4.1).", place="-"),
        word("collar tie", "A level member in the upper third of the rise, against wind at the ridge. It takes no "
             "thrust."),
        word("ridge beam", "A beam that carries the rafters' upper ends, so that they do not push. A ridge board "
             "cannot."),
        word("teaching model", "The simplest scissor truss, its joints all pins: it shows which shape carries harder. "
             "Its forces are never those of the manufacturer's truss.", also="teaching truss", place="-"),
        word("post", "What holds up the end of a ridge beam, all the way down to a footing."),
        word("tension", "A pull that makes a member longer. Compression presses it shorter.", also="compression",
             place="-"),
        word("fairs out", "A ridge does when it sags no more than 1 in over 8 ft: nobody sees it.", place="-"),
    ),
    *_group(
        "Warmth",
        word("air space", "The open inch under the sheathing in which air moves up, square to the roof."),
        word("clear height", "What is left for insulation over the plate: heel less the air space, plumb."),
        word("R", "Resistance to heat: so many R for each inch of insulation, times the inches.",
             also="R per inch, R-value", place="-"),
        word("full height", "Insulation that keeps its whole height over the plate, plumb, not pressed thin.",
             place="clear height"),
        word("heel wanted", "The height that a wanted R needs, and the air space over it.", place="raised heel"),
        word("baffle", "A rigid, sealed piece from the plate up to the air space; it keeps wind out of the "
             "insulation and the air space open.", also="eave baffle, wind-wash block, wind block", place="block"),
        word("attic wall", "The triangle at the seam between the sloped ceiling and the flat one: an outside wall, "
             "indoors."),
    ),
    *_group(
        "On paper and on site",
        word("option", "The house with one thing changed, under a name of its own, its readings before and after.",
             also="before and after, side by side", place="-"),
        word("trial", "A house with a change that nobody has saved: pictures name it as one. Under a name it is an "
             "option.", also="trial not saved", place="-"),
        word("grid", "Every stock size on every seat, each with its heel and notch.", place="-"),
        word("map", "All houses over two numbers: each point is one. A contour joins those with one reading alike.",
             also="contour", place="-"),
        word("nearest", "Of what would do: the fewest things changed, then the smallest step.", place="-"),
        word("profile", "The outline that a truss has to fit: planes, bearings, tails. Not the truss itself.",
             also="profile sheet", place="-"),
        word("free", "On a profile sheet: what the truss designer chooses.", place="-"),
        word("tell us", "On a profile sheet: what the truss designer is asked to answer.", place="-"),
        word("heights above two plates", "Where two plates differ in height, each height names the plate it counts "
             "from.", also="plate L, plate R", place="-"),
        word("verdict", "What is said of a line of a returned drawing: agrees, rounding, or resolve.", place="-"),
        word("rounding", "A difference no larger than the last mark on the tape, 1/16 in.", place="-"),
        word("mistake", "A usual error that gives the numbers as they came back. It fits; it need not be what "
             "happened.", place="-"),
        word("contradiction", "Printed numbers that cannot all be true.", place="-"),
        word("reviewed together", "All truss types of a job held against each other, for there is one roof plane.",
             place="-"),
        word("reply", "What goes back to the manufacturer: verdicts, profiles, questions. It approves nothing.",
             place="-"),
        word("shim", "A hard, flat piece under the full bearing of a truss that stands low."),
        word("plane to aim for", "The roof plane that set trusses and rafters are brought to: at or above the "
             "highest truss.", place="aim"),
        word("step", "At the seam: what one plane stands above the other, square to the roof.",
             differs="With a framing square it is what 12 in of run measure along the slope."),
        word("taper", "A strip that draws a step out to nothing over some feet."),
        word("bow", "How far a truss bends sideways out of its plane, over its length.", place="-"),
    ),
)  # fmt: skip


GROUPS = tuple(dict.fromkeys(term.group for term in TERMS))


def find(word: str) -> Term:
    """The term of a word, by its name or another name of it.

    >>> find("Total rise").name, find("soffit line").name
    ('rise', 'soffit')
    """
    wanted = word.strip().lower()
    for term in TERMS:
        if wanted in (name.lower() for name in (term.name, *term.also)):
            return term
    raise InputError((f"Word {word.strip()!r}: it is not in the list of words; nearest are those in workbook 00.",))


def search(text: str) -> list[str]:
    """The words that a text may mean, the nearest first: names, other names, then what is said of them; all for "".

    >>> search("birds")[0], search("total rise")
    ('birdsmouth', ['rise'])
    """
    wanted = " ".join(text.lower().split())

    def far(term: Term) -> int:
        names = [name.lower() for name in (term.name, *term.also)]
        tests = (
            wanted in names, any(name.startswith(wanted) for name in names), any(wanted in name for name in names),
            len(wanted) > 2 and wanted in f"{term.meaning} {term.differs}".lower(),
        )  # fmt: skip
        return tests.index(True) if any(tests) else len(tests)

    ranks = {term.name: far(term) if wanted else 0 for term in TERMS}
    named = any(rank < 3 for rank in ranks.values())
    return sorted((name for name, rank in ranks.items() if rank < (3 if named else 4)), key=lambda name: ranks[name])


def unknown(text: str, plain: Iterable[str] = ()) -> list[str]:
    """The words of a label that neither the glossary nor the list of ``plain`` words has.

    >>> unknown("Heel cut", []), unknown("Frieze of the wall", ["of", "the"])
    ([], ['frieze', 'wall'])
    """
    left = text.lower()
    names = {name.lower() for term in TERMS for name in (term.name, *term.also)}
    for name in sorted(names, key=len, reverse=True):
        left = re.sub(rf"(?<![\w-]){re.escape(name)}(?![\w-])", " ", left)
    known = {word.lower() for word in plain}
    return [word for word in re.findall(r"[^\W\d_]+(?:-\w+)*", left) if word not in known]
