"""Questions of sense, answered before anything is worked out: may that number be, which way does it go?

Each is a choice made from the same formulas as the readings, on a house drawn from a seed.  A maker returns None where
the house drawn does not settle the question clearly.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from rooflab.base import geometry as geo
from rooflab.base.lumber import dressed_size
from rooflab.base.measure import feet_inches, pitch_text
from rooflab.checks.limits import end_notch_limit
from rooflab.house.bays import RafterBay, ScissorBay

from .questions import Answer, Choice
from .random_houses import RANGES, Chance, jog_of_chance, rafters, truss

LEAST = 1 / 8  # what changes by less is not asked about, in
UP, DOWN, STAYS = "it gets higher", "it gets lower", "it stays as it is"


def _choice(
    prompt: str, options: Sequence[Answer], right: str, why: str, hint: str, bay: Any, working: Sequence[str] = ()
) -> Choice:
    texts = [option.text for option in options]
    return Choice(prompt, tuple(options), texts.index(right), why, (hint,), bay, tuple(working))


def _two_rafters(bay: RafterBay) -> str:
    seat = feet_inches(bay.symbols()["seat"])
    return f"{bay.lumber} rafters, roof {pitch_text(12 * bay.left.roof.slope)}, a seat of {seat}"


def _pitches(bay: ScissorBay) -> str:
    return f"roof {pitch_text(12 * bay.left.roof.slope)}, ceiling {pitch_text(float(str(bay.ceiling_pitch)))}"


def _way_words(before: float, after: float) -> str | None:
    """Which way a height goes; None where that is not clear."""
    if abs(after - before) < 1e-9:
        return STAYS
    return None if abs(after - before) < LEAST else UP if after > before else DOWN


def below_plumb_depth(chance: Chance) -> Choice:
    """Question whether a heel may be this high: it is always less than the plumb depth, by m seat."""
    bay = rafters(chance)
    s, plumb = bay.symbols(), bay.plumb_depth
    fits = chance.pick((True, False))
    said = bay.heel if fits else plumb + chance.pick((1, 1.5, 2)) * s["m"] * s["seat"] / 2
    may = "it may be: it is less than the plumb depth"
    may_not = "it cannot be: it is more than the plumb depth"
    depth = "it cannot be: a heel is never more than the rafter's depth square to its edge"
    return _choice(
        f"{_two_rafters(bay)}. Somebody reads a heel of {feet_inches(said)}. Before you work it out: may that be?",
        (
            Answer(may, f"That fits a plumb depth above {feet_inches(said)}: multiply the depth by the stretch first."),
            Answer(may_not, f"That fits a plumb depth below {feet_inches(said)}: multiply the depth by the stretch "
                            "first."),
            Answer(depth, "That fits the depth left square: the slope stretches it, so plumb there is more."),
        ),
        may if fits else may_not,
        f"The plumb depth is {feet_inches(plumb)}, and the seat takes {feet_inches(s['m'] * s['seat'])} off it.",
        "A heel is what the seat leaves of the plumb depth, D·k(m).", bay,
    )  # fmt: skip


def seat_zero(chance: Chance) -> Choice | None:
    """Question on the heel of a rafter with no seat: it is the plumb depth."""
    bay = rafters(chance).with_(seat=0)
    plumb, deep, plate = bay.plumb_depth, bay.depth, bay.left.bearing
    less = plumb - bay.left.roof.slope * plate
    numbers = {
        feet_inches(plumb): "",
        feet_inches(deep): "That fits the depth square to the edge: a heel is plumb, so the slope stretches it.",
        feet_inches(less): f"That fits a seat on the whole plate of {feet_inches(plate)}: here none is cut.",
        "0\"": "That fits a heel that goes with the seat: without a cut all of the rafter stands above the plate.",
    }
    if len(numbers) < 4:
        return None
    options = [Answer(text, said) for text, said in sorted(numbers.items(), key=lambda row: row[0])]
    said = f"{bay.lumber} rafters, roof {pitch_text(12 * bay.left.roof.slope)}, on a plate of {feet_inches(plate)}"
    return _choice(
        f"{said}. No seat is cut at all: the rafter touches the plate's outer corner only. How high is the heel?",
        options, feet_inches(plumb), "With a seat of 0 nothing comes off: the heel is the plumb depth, D·k(m).",
        "Put seat = 0 into D·k(m) − m·seat.", bay,
    )  # fmt: skip


def steeper_question(chance: Chance) -> Choice | None:
    """Question on the same rafter and seat on a steeper roof: the heel is lowest where sin(angle) = seat/D."""
    bay, more = rafters(chance), chance.pick((1, 1.5, 2, 3))
    s = bay.symbols()
    m, deep, seat = s["m"], s["D"], s["seat"]
    before, after = (float(geo.heel(deep, slope, seat)) for slope in (m, m + more / 12))
    way = _way_words(before, after)
    if way in (None, STAYS):
        return None
    lowest = 12 * seat / (deep * deep - seat * seat) ** 0.5
    turn = f"The heel is lowest at about {pitch_text(round(lowest, 1))}, where the roof's sine is seat ÷ depth"
    return _choice(
        f"{_two_rafters(bay)}. The roof gets steeper, {pitch_text(12 * m + more)}; rafter and seat stay. The heel?",
        (
            Answer(UP, "That fits the plumb depth alone, which grows: the heel cut grows too. Work out both heels."),
            Answer(DOWN, "That fits the heel cut alone, which grows: the plumb depth grows too. Work out both heels."),
            Answer(STAYS, "That fits a heel made of wood and seat alone: the pitch is in both its parts."),
        ),
        str(way), f"{feet_inches(before)} becomes {feet_inches(after)}. {turn}.",
        "Both parts of D·k(m) − m·seat grow. Which grows by more?", bay,
    )  # fmt: skip


def longer_seat(chance: Chance) -> Choice | None:
    """Question on a longer seat: it lowers the heel by m for each inch."""
    bay = rafters(chance)
    s = bay.symbols()
    more, way = chance.pick((0.5, 0.75, 1.0, 1.25)), chance.pick((1, -1))
    seat = s["seat"] + way * more
    if not 1 <= seat <= s["bearing"] or geo.notch(s["m"], seat) > end_notch_limit(s["D"]):
        return None
    before, after = s["D"] * geo.stretch(s["m"]) - s["m"] * s["seat"], s["D"] * geo.stretch(s["m"]) - s["m"] * seat
    right = _way_words(before, after)
    if right is None:
        return None
    step = feet_inches(s["m"] * more)
    cut = "deeper into the wood: the rafter comes down" if way > 0 else "less far into the wood: the rafter comes up"
    return _choice(
        f"{_two_rafters(bay)}. The seat becomes {feet_inches(seat)}. The heel?",
        (
            Answer(UP, "That fits a rafter lifted by its seat: the longer the seat, the further it comes down."),
            Answer(DOWN, "That fits a rafter let down by a shorter seat: the shorter it is, the less it comes down."),
            Answer(STAYS, "That fits the wood alone: what is left above the seat changes with the cut."),
        ),
        right, f"The birdsmouth cuts {cut} by {step}, {s['m'] * 12:g}/12 of {feet_inches(more)}.",
        "The heel cut is m·seat, and comes off the plumb depth.", bay,
    )  # fmt: skip


def deeper(chance: Chance) -> Choice | None:
    """Question on a deeper rafter on the same seat: the heel rises by the difference times the stretch."""
    bay = rafters(chance)
    wider = {"2x8": "2x10", "2x10": "2x12"}.get(str(bay.lumber))
    if wider is None:
        return None
    by = dressed_size(wider)[1] - bay.depth
    grows = by * float(geo.stretch(bay.left.roof.slope))
    if grows - by < LEAST:
        return None
    texts = (f"by {feet_inches(grows)}", f"by {feet_inches(by)}", "not at all: the seat stays")
    return _choice(
        f"{_two_rafters(bay)}. They become {wider}, on the same seat. By how much does the heel grow?",
        chance.shuffle((
            Answer(texts[0]),
            Answer(texts[1], "That fits the difference square to the edge: a heel is plumb, so stretch it."),
            Answer(texts[2], "That fits the heel cut, which stays: the wood above it has grown."),
        )),
        texts[0], f"The depth grows by {feet_inches(by)}, plumb that is {feet_inches(grows)}; the heel cut stays.",
        "Only the part D·k(m) changes.", bay,
    )  # fmt: skip


def wider_house(chance: Chance) -> Choice:
    """Question on a wider house: the heel stays, the peak climbs by m times half of what is added."""
    bay, more = truss(chance), chance.pick((12, 24, 36, 48))
    m = bay.left.roof.slope
    right, whole, level = (feet_inches(x) for x in (m * more / 2, m * more, more / 2))
    rows = {
        f"by {right}": "",
        f"by {whole}": "That fits the whole span: the ridge stands half way, so the run grows by half.",
        "not at all: the heel stays": "That fits the heel, which stays: the roof climbs on over a longer run.",
    }
    if level != right:
        rows[f"by {level}"] = "That fits the run's growth, which is level: the roof climbs by the slope of it."
    return _choice(
        f"Trusses {feet_inches(bay.gable.span)} wide, roof {pitch_text(12 * m)}, heel {feet_inches(bay.left.heel)}. "
        f"The house gets {feet_inches(more)} wider, the rest stays. By how much does the overall height grow?",
        [Answer(text, said) for text, said in sorted(rows.items())], f"by {right}",
        f"The run grows by {feet_inches(more / 2)}, and the roof climbs {12 * m:g}/12 of that.",
        "Height = heel + m·run. What of it changes?", bay,
    )  # fmt: skip


def steeper_ceiling(chance: Chance) -> Choice:
    """Question on a steeper ceiling under the same roof: one reading stays, one grows, one shrinks."""
    bay = truss(chance)
    asked = chance.pick(("heel", "overall height", "depth at the peak", "ceiling rise"))
    after = bay.with_(ceiling_pitch=float(str(bay.ceiling_pitch)) + 0.5)
    name = {"overall height": "height", "depth at the peak": "depth_at_peak", "ceiling rise": "ceiling_rise"}
    was, is_ = (getattr(one, name.get(asked, "heel")) for one in (bay, after))
    way = _way_words(was, is_) or STAYS
    said = f"{feet_inches(was)} becomes {feet_inches(is_)}." if way != STAYS else f"It stays {feet_inches(was)}."
    steep, ends = "the roof plane stays", "the ceiling climbs more"
    return _choice(
        f"A scissor truss, {_pitches(bay)}. "
        f"The ceiling gets steeper by 1/2 in 12; roof, walls and heel stay. The {asked}?",
        (
            Answer(UP, f"That fits a {asked} that climbs with the ceiling: {steep}."),
            Answer(DOWN, f"That fits a {asked} that the ceiling takes away from: {steep}."),
            Answer(STAYS, f"That fits a {asked} of the roof plane alone: {ends}, and it is in this reading."),
        ),
        way, f"{said} The roof plane stays; only the ceiling line moves.",
        "Which lines does it lie between: plate, ceiling line, roof line?", bay,
    )  # fmt: skip


def within_a_quarter(chance: Chance) -> Choice | None:
    """Question whether a notch is within D/4; beyond it officials differ: ask."""
    bay = rafters(chance)
    seat = chance.pick(RANGES["seat"])
    if not 2 <= seat <= bay.left.bearing:
        return None
    bay = bay.with_(seat=seat)
    notch, most = bay.notch_depth, float(end_notch_limit(bay.depth))
    if abs(notch - most) < LEAST:
        return None
    plumb = bay.birdsmouth_plumb
    texts = ("it is within a quarter of the depth", "it is more: ask the building official",
             "it is more, so a deeper seat is needed")  # fmt: skip
    numbers = f"the notch is {feet_inches(notch)}, a quarter of the depth {feet_inches(most)}"
    tempted = " The heel cut is not the notch." if plumb > most > notch else ""
    return _choice(
        f"{_two_rafters(bay)}. Is the notch, square to the edge, within a quarter of the rafter's depth?",
        (
            Answer(texts[0], "That fits a notch measured too short, or a quarter of more than the dressed depth."),
            Answer(texts[1], f"That fits the heel cut, {feet_inches(plumb)}: a notch is measured square."),
            Answer(texts[2], "That fits a seat that carries more the longer it is: a longer seat cuts deeper."),
        ),
        texts[notch > most],
        f"{numbers[0].upper()}{numbers[1:]} (IRC R802.7.1).{tempted} Officials differ on whether a "
        "birdsmouth counts as an end notch: beyond it, ask.",
        "Notch = m·seat ÷ k(m); the limit is D ÷ 4.", bay,
    )  # fmt: skip


def wedge(chance: Chance) -> Choice | None:
    """Question on the space between the chords: more at the inside face by (m - c) bearing."""
    bay, asked = truss(chance), chance.pick(("larger", "smaller"))
    if bay.space_outside < LEAST or bay.space_inside - bay.space_outside < LEAST:
        return None
    texts = ("at the inside face", "at the outside face", "nowhere: the chords run side by side")
    turned = "That fits chords that come nearer going in: the roof climbs faster than the ceiling."
    return _choice(
        f"Over the wall there is room between the chords: {_pitches(bay)}, a plate of {feet_inches(bay.left.bearing)}. "
        f"Where is it {asked}?",
        (
            Answer(texts[0], turned),
            Answer(texts[1], turned),
            Answer(texts[2], "That fits equal pitches: here the roof climbs faster than the ceiling."),
        ),
        texts[asked == "smaller"],
        f"{feet_inches(bay.space_outside)} outside, {feet_inches(bay.space_inside)} inside: m − c more for each inch "
        "going in.", "Which of the two planes climbs faster?", bay,
    )  # fmt: skip


def _up_or_down(by: float) -> str:
    return f"{'down' if by < 0 else 'up'} {feet_inches(abs(by))}"


def short_heel(chance: Chance) -> Choice | None:
    """Question on a wall set in or out: the short truss's heel changes by what the roof climbs more than the plate."""
    made = jog_of_chance(chance, by=chance.pick((None, None, -4.0, -6.0, -8.0)))
    way = _way_words(made.old.heel, made.heel)
    if way in (None, STAYS):
        return None
    s = made.symbols()
    roof, plate = s["m"] * s["j"], made.rise
    return _choice(
        f"Roof {pitch_text(12 * s['m'])}, ceiling {pitch_text(12 * s['c'])}, walls {feet_inches(s['bearing'])}. One "
        f"wall is {made.move_words}, {feet_inches(s['bearing_new'])} thick there, and its plate goes with the ceiling. "
        "Its heel, against the long truss's?",
        (
            Answer(UP, "That fits a heel that grows wherever the wall goes: look how roof and plate move there."),
            Answer(DOWN, "That fits a plate that climbs more than the roof, or both the other way round."),
            Answer(STAYS, "That fits one heel for every truss: roof and ceiling climb at different rates."),
        ),
        str(way), f"The roof goes {_up_or_down(roof)}, the plate {_up_or_down(plate)}: "
        f"{feet_inches(made.old.heel)} becomes {feet_inches(made.heel)}.",
        "How far does the roof climb or fall over the move, and how far the plate?", made,
    )  # fmt: skip


def longer_tail(chance: Chance) -> Choice:
    """Question on a longer overhang: the tail falls by m for each inch, the heel stays."""
    bay, more = rafters(chance), chance.pick((2, 3, 4, 6))
    s = bay.symbols()
    fall, plain = feet_inches(s["m"] * more), feet_inches(more)
    asked = chance.pick(("heel", "top of the tail"))
    texts = (f"it falls by {fall}", STAYS, f"it rises by {fall}")
    right = texts[1] if asked == "heel" else texts[0]
    return _choice(
        f"{_two_rafters(bay)}, an overhang of {feet_inches(s['o'])}. The overhang grows by {plain}. The {asked}?",
        (
            Answer(texts[0], "That fits the tail: the heel is read at the wall, where nothing moves."),
            Answer(texts[1], "That fits the heel: the tail's end moves out, and the roof falls on the way."),
            Answer(texts[2], "That fits a roof that climbs outward: beyond the wall it falls."),
        ),
        right, "The roof line stays; its end moves out and down." if right == texts[0] else
        "The heel is read at the outside face of the framing; the roof line there stays.",
        "The roof line is the same. Where on it is the reading?", bay,
    )  # fmt: skip


SENSE: dict[str, tuple[str, Callable[[Chance], Choice | None]]] = {
    "below_plumb_depth": ("May this heel be?", below_plumb_depth),
    "seat_zero": ("No seat at all", seat_zero),
    "steeper": ("Steeper, the same seat", steeper_question),
    "longer_seat": ("Another seat", longer_seat),
    "deeper": ("Deeper rafters", deeper),
    "longer_tail": ("A longer overhang", longer_tail),
    "within_a_quarter": ("Notch and limit", within_a_quarter),
    "wider_house": ("A wider house", wider_house),
    "steeper_ceiling": ("A steeper ceiling", steeper_ceiling),
    "wedge": ("The space between chords", wedge),
    "short_heel": ("A wall set in", short_heel),
}
