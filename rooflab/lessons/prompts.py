"""The words of practice: how a reading is asked for, what to look for, what the symbols mean, and what is given."""

from __future__ import annotations

from collections.abc import Callable

from rooflab.base.inputs import pair
from rooflab.base.measure import feet_inches, pitch_text
from rooflab.base.rows import Symbols
from rooflab.house.bays import RafterBay
from rooflab.house.planes import Bay
from rooflab.house.readings import reading_of

# Reading: how it is asked for, and what to look for on the section.
PROMPTS: dict[str, tuple[str, str]] = {
    "rafter.heel": (
        "How high is the heel?",
        "The heel goes from the top of the plate to the rafter's top edge, plumb, at the outside face of the framing.",
    ),
    "rafter.plumb_depth": (
        "How deep is the rafter, measured plumb?",
        "A tape held straight up and down crosses the rafter at a slant, so it reads more than square.",
    ),
    "rafter.birdsmouth_plumb": (
        "How long is the heel cut?",
        "Seat and heel cut are the level and the upright side of one small triangle under the rafter's slope.",
    ),
    "rafter.notch_depth": (
        "How deep is the notch, square to the rafter's edge?",
        "The corner of the birdsmouth, measured at right angles to the rafter's lower edge.",
    ),
    "rafter.notch_ratio": (
        "What part of the rafter's depth does the notch take, in percent?",
        "The notch, square to the edge, over the dressed depth; the usual limit is a quarter.",
    ),
    "rafter.line_length": (
        "How long is the rafter's line, from the outside face of the framing to the ridge line?",
        "The run is level; the line goes up the slope over that run. Tail and ridge board come later.",
    ),
    "rafter.ridge_shortening": (
        "How much does the ridge board take off the rafter, along the slope?",
        "Each rafter gives way to half the board, measured level; along the slope that is longer.",
    ),
    "rafter.cut_length": (
        "How long is the rafter along its top edge, from the plumb cut at the ridge board to the plumb cut of the "
        "tail?",
        "All level lengths first: run, less half the ridge board, and the overhang; then along the slope.",
    ),
    "rafter.stock_length": (
        "How long a stick does the rafter need, both plumb cuts included?",
        "The cut length, and what a plumb cut across the depth adds at one end.",
    ),
    "rafter.peak_height": (
        "How high above the plate do the two roof lines meet?",
        "The roof line starts a heel above the plate, and climbs over the run.",
    ),
    "rafter.ridge_top": (
        "The ridge board's top is flush with the rafters at its faces. How high above the plate is it?",
        "Follow the roof line from the heel as far as the board's face, not to the middle.",
    ),
    "rafter.tail_top": (
        "Where is the top of the rafter's tail, above the plate? Below it counts as minus.",
        "Outward of the wall the roof line falls from the heel.",
    ),
    "rafter.tail_underside": (
        "Where is the underside of the rafter's tail, above the plate? Below it counts as minus.",
        "From the top of the tail go down by the plumb depth.",
    ),
    "rafter.run": (
        "How long is the rafter's run?",
        "Level, from the outside face of the framing to the ridge line in the middle.",
    ),
    "rafter.angle": ("How steep is the roof, in degrees from level?", "Rise and run are two sides of a triangle."),
    "scissor.heel": (
        "How high is the truss's heel?",
        "From the top of this truss's own plate to the roof line, plumb, at the outside face of the framing.",
    ),
    "scissor.height": (
        "What is the truss's overall height above its plate?",
        "The roof line starts a heel above the plate, and climbs over the run.",
    ),
    "scissor.ceiling_rise": (
        "How high above the plate is the ceiling's apex? The ceiling line starts at the inside face of the wall.",
        "The ceiling climbs from where it leaves the plate, so not over the whole run.",
    ),
    "scissor.depth_at_peak": (
        "How deep is the truss at the peak, from the ceiling line to the roof line?",
        "The overall height, and what the ceiling's rise leaves of it.",
    ),
    "scissor.tail_top": (
        "Where is the top of the truss's tail, above the plate? Below it counts as minus.",
        "Outward of the wall the roof line falls from the heel.",
    ),
    "scissor.tail_underside": (
        "Where is the underside of the truss's tail, above the plate? Below it counts as minus.",
        "From the top of the tail go down by the top chord's plumb depth.",
    ),
    "scissor.run": (
        "How long is the truss's run?",
        "Level, from the outside face of the framing to the ridge line in the middle.",
    ),
    "scissor.angle": ("How steep is the truss's top chord, in degrees?", "Rise and run are two sides of a triangle."),
    "scissor.minimum_heel": (
        "What is the minimum heel for this top chord?",
        "The chord measured plumb, and the butt cut under it, 1/4 in (common shop practice, from memory).",
    ),
    "scissor.space_outside": (
        "How much space is between the two chords at the outside face? The ceiling line starts at the inside face.",
        "From the heel take both chords' plumb depths; the ceiling line starts further in, so it is lower here.",
    ),
    "scissor.space_inside": (
        "How much space is between the two chords at the inside face, where the ceiling line starts?",
        "The space at the outside face, and what the roof gains on the ceiling over the bearing.",
    ),
    "scissor.heel_state": (
        "In what state is the heel? The ceiling line starts at the inside face of the wall.",
        "Can the top chord bear at all? If so, do both chords together fit under the heel?",
    ),
    "jog.rise": (
        "How much higher is the plate of the moved wall? The ceiling line starts at each wall's inside face.",
        "The plate goes with the ceiling line, from one wall's inside face to the other's.",
    ),
    "jog.heel": (
        "How high is the short truss's heel? The ceiling line starts at each wall's inside face.",
        "The roof climbs over the set-in; the plate climbs with the ceiling and takes some of it back.",
    ),
    "jog.stud": (
        "How long are the moved wall's studs? The ceiling line starts at each wall's inside face.",
        "They grow by as much as the plate rises.",
    ),
    "jog.run": (
        "How long is the short truss's run, from the moved wall to the ridge line?",
        "The planes stay, and so does the ridge line; only the wall moves.",
    ),
    "jog.ceiling_break": (
        "The short truss is ordered with the long one's heel, and its plate raised to fit the roof. By how much does "
        "its ceiling begin too high? The ceiling line starts at each wall's inside face.",
        "How far the roof climbs over the set-in, and how far the ceiling plane does.",
    ),
    "jog.fascia_step": (
        "The eave steps in with the wall and keeps its overhang. How much higher is its fascia?",
        "The fascia hangs from the roof plane; where the tail ends further in, the roof is higher.",
    ),
}
LOOK = {name: look for name, (_, look) in PROMPTS.items()}

MEANS: dict[str, str] = {
    "D": "the rafter's dressed depth",
    "m": "the roof's slope, rise over run (pitch ÷ 12)",
    "c": "the ceiling's slope, rise over run (pitch ÷ 12)",
    "seat": "the level cut on the plate",
    "span": "the width out to out of framing",
    "run": "the level length to the ridge line",
    "apex": "the level length to the ceiling's apex",
    "start": "where the ceiling line leaves the plate, in from the outside face",
    "start_new": "the same at the moved wall",
    "t": "the ridge board's thickness",
    "o": "the overhang, level",
    "heel": "the heel that is given",
    "d_t": "the top chord's dressed depth",
    "d_b": "the bottom chord's dressed depth",
    "bearing": "the width of the plate",
    "ceiling": "the ceiling's rise",
    "up": "how much higher this plate is than the other",
    "roof": "the roof line's height over the outside face",
    "plate": "this truss's plate above the main plate",
    "j": "how far the wall is set in",
    "o_new": "the overhang at the moved wall",
    "stud": "the stud of the main wall",
}

PARTS: dict[str, str] = {
    "k(m)": "stretch of the roof",
    "k(c)": "stretch of the ceiling",
    "D·k(m)": "plumb depth",
    "d_t·k(m)": "top chord, plumb",
    "d_b·k(c)": "bottom chord, plumb",
    "m·seat": "heel cut",
    "span ÷ 2": "run",
    "t ÷ 2": "half the ridge board",
    "m·(span ÷ 2)": "rise of the roof",
    "m·o": "fall of the tail",
    "m·j": "climb of the roof",
    "c·(j + start_new − start)": "rise of the plate",
    "c·start": "ceiling line below the plate's top",
    "(m − c)·bearing": "gain over the bearing",
    "(span ÷ 2 − t ÷ 2 + o)·k(m)": "cut length",
    "D·m": "plumb cut across the depth",
    "d_t·k(m) + 1 ÷ 4": "minimum heel",
}


def givens(bay: Bay, reading: str) -> str:
    """What has to be known for a reading, in words.

    >>> from rooflab.house.bays import Gable
    >>> givens(RafterBay(Gable("24'", 5, 3.5), "2x12"), "plumb_depth")
    '2x12 rafters, roof 5 in 12'
    """
    row, s = reading_of(bay.kind, reading), bay.symbols()
    stock = bay.lumber or f"{feet_inches(bay.depth)} deep" if isinstance(bay, RafterBay) else ""

    def size(name: str) -> str:
        return feet_inches(s.get(name, 0.0))

    phrases: tuple[tuple[set[str], Callable[[], str]], ...] = (
        ({"run", "apex"}, lambda: f"{feet_inches(bay.gable.span)} wide, out to out"),
        ({"D"}, lambda: f"{stock} rafters"),
        ({"d_t"}, lambda: f"a {getattr(bay, 'chord', '')} top chord"),
        ({"d_b"}, lambda: f"a {getattr(bay, 'bottom_chord', '')} bottom chord"),
        ({"m"}, lambda: f"roof {pitch_text(12 * s['m'])}"),
        ({"c"}, lambda: f"ceiling {pitch_text(12 * s.get('c', 0.0))}"),
        ({"start", "bearing"}, lambda: f"{size('bearing')} walls"),
        ({"seat"}, lambda: f"a seat of {size('seat')}"),
        ({"t"}, lambda: f"a ridge board {size('t')} thick"),
        ({"roof"}, lambda: f"over the outside face the roof line is {size('roof')} above the main plate"),
        ({"plate"}, lambda: f"this truss's plate is {feet_inches(abs(s.get('plate', 0.0)))} {_below(s)} it"),
        ({"heel"}, lambda: f"a heel of {size('heel')}"),
        ({"ceiling"}, lambda: f"a ceiling that rises {size('ceiling')}"),
        ({"o"}, lambda: f"an overhang of {size('o')}"),
        ({"stud"}, lambda: f"studs of {size('stud')} in the main wall"),
        ({"j"}, lambda: f"one wall {getattr(bay, 'move_words', '')}"),
        ({"start_new"}, lambda: f"{size('bearing_new')} thick there"),
    )
    return ", ".join(phrase() for names, phrase in phrases if not names.isdisjoint(row.args.split()))


def cut_givens(bay: RafterBay, args: str) -> str:
    """What has to be known for a reading of a rafter as it is cut, by the reading's symbols, in words."""
    s, needed = bay.symbols(), set(args.split())
    needed |= {"D", "seat"} if "heel" in needed else set()
    phrases = (
        ("run", f"{feet_inches(bay.gable.span)} wide, out to out"),
        ("D", f"{bay.lumber or feet_inches(bay.depth) + ' deep'} rafters"),
        ("m", f"roof {pitch_text(round(12 * s['m'], 4))}"),
        ("seat", f"a seat of {feet_inches(pair(bay.seat)[0])}"),
        ("t", f"a ridge board {feet_inches(s['t'])} thick"),
        ("o", f"an overhang of {feet_inches(s['o'])}"),
    )
    return ", ".join(phrase for name, phrase in phrases if name in needed)


def _below(s: Symbols) -> str:
    return "below" if s.get("plate", 0.0) < 0 else "above"


def prompt(bay: Bay, reading: str) -> str:
    """The question for a reading, and what is given."""
    asked = PROMPTS.get(f"{bay.kind}.{reading}")
    row = reading_of(bay.kind, reading)
    given = givens(bay, reading)
    return f"{asked[0] if asked else f'{row.label}: how much is it?'} Given: {given}."
