"""Which one usual mistake would explain all that differs between the truss asked for and the drawing that came back.

A truss is two ends' symbols; ``items_of`` computes every item of a drawing from them.  A mistake acts on the inputs, so
that the truss is drawn with it, or on one item alone.  A cause *equals* what is drawn, it need not *be* what happened:
mistakes that give the same numbers are one cause, and where none does there is no cause to name.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.formulas import value_of
from rooflab.base.inputs import pair
from rooflab.base.measure import sixteenth
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.readings import READINGS, reading_of
from rooflab.house.seam import SUBFASCIA
from rooflab.lessons.mistakes import BAY_MISTAKES, Mistake, Symbols, Words, rewritten

from .items import ENDS, ITEMS, LENGTH_ROUNDING, item_and_end

Truss = tuple[Symbols, Symbols]
Numbers = dict[str, float]

TOLERANCE = 1 / 16  # rounding: a drawing's length and the one asked for may differ by this, in
NEAR = 3  # what follows from rounded numbers may be off by as many roundings
EQUAL = 1e-6  # numbers nearer than this are the same by algebra, in

SYMBOLS = {"pitch": "m", "ceiling_pitch": "c", "overhang": "o", "bearing": "bearing", "heel": "heel", "plate": "plate"}
END_SYMBOLS = ("m", "c", "o", "bearing", "start", "heel", "plate")


# --- the truss as a drawing shows it -------------------------------------------------------------------------------


def symbols_of_truss(bay: ScissorBay, rafters: RafterBay | None = None) -> Truss:
    """Symbols of both ends; with the rafters that the heel was handed over by, their depth and seat too."""
    ends = []
    for one, end in enumerate(ENDS):
        s = {**bay.symbols(end), "span": bay.right.wall.x - bay.left.wall.x, "face": 0.0}
        s["main"] = pair(bay.heel_input)[one]
        if rafters is not None:
            own = rafters.symbols(end)
            s["given"] = float(geo.heel(own["D"], own["m"], own["seat"]))
            if abs(s["given"] - s["main"]) <= TOLERANCE:  # else the heel came from elsewhere
                s |= {"D": own["D"], "seat": own["seat"]}
        ends.append(s)
    return ends[0], ends[1]


def items_of(truss: Truss) -> Numbers:
    """Every item that both ends' lines give, by key (``heel_left``); lengths in, pitches in 12.

    height and rise count from the lower plate; the depth at the peak is taken plumb under the ridge.
    """
    left, right = truss
    span = left["span"] - left["face"] - right["face"]
    m = left["m"] + right["m"]
    x = (span * right["m"] + right["plate"] + right["heel"] - left["plate"] - left["heel"]) / m if m else span / 2
    low = min(left["plate"], right["plate"])
    height = left["plate"] + left["heel"] + left["m"] * x - low
    c = left["c"] + right["c"]
    far = span - right["start"]
    apex = (right["plate"] - left["plate"] + right["c"] * far + left["c"] * left["start"]) / c if c else x
    rise = left["plate"] + left["c"] * (apex - left["start"]) - low
    under = min(
        left["plate"] + left["c"] * (x - left["start"]), right["plate"] + right["c"] * (span - x - right["start"])
    )
    found = {"span": span, "height": height, "ceiling_rise": rise, "depth_at_peak": height - (under - low)}
    for end, s in zip(ENDS, truss, strict=True):
        found |= {
            f"pitch_{end}": 12 * s["m"],
            f"ceiling_pitch_{end}": 12 * s["c"],
            f"overhang_{end}": s["o"],
            f"bearing_{end}": s["bearing"],
            f"heel_{end}": s["heel"],
            f"plate_{end}": s["plate"],
            f"tail_top_{end}": s["heel"] - s["m"] * s["o"],
        }
    return found


def truss_of_drawing(truss: Truss, shown: Mapping[str, float]) -> Truss:
    """The truss with the inputs that a drawing shows in the place of those asked for."""
    ends = []
    for end, s in zip(ENDS, truss, strict=True):
        new = {**s, "span": shown.get("span", s["span"])}
        for name, symbol in SYMBOLS.items():
            if (value := shown.get(f"{name}_{end}")) is not None:
                new[symbol] = value / 12 if name.endswith("pitch") else value
        if s["start"]:
            new["start"] = new["bearing"]
        ends.append(new)
    return ends[0], ends[1]


# --- mistakes that show on a drawing ---------------------------------------------------------------------------------

SHEATHING = {'7/16"': 7 / 16, '5/8"': 5 / 8, '3/4"': 3 / 4}  # beside the 1/2" of the lessons, in
WALLS = {"2x4": 3.5, "2x6": 5.5, "2x8": 7.25}  # widths of plates, in (PS 20)
WORDS = {
    "pitch as an angle": "a pitch drawn as {plain} degrees; {pitch} is meant",
    "clear span": "what the clear span between the walls gives; the span is out to out of framing",
    "slope not stretched": "the depth measured square to the edge, not plumb ({stretch} times as much at {pitch})",
    "divided by the stretch": "the depth divided by {stretch}; the plumb depth is {stretch} times the depth",
    "nominal depth": "lumber of full nominal size; a {nominal} is dressed to {depth}",
    "seat forgotten": "the rafter's full plumb depth, with no birdsmouth (the seat of {seat} takes {plumb_cut} off)",
    "top of sheathing": 'a height to the top of 1/2" roof sheathing, not to the top edge of the wood',
    "inside face": "the heel at the inside face of the wall, not at the outside face of framing",
    "face of the wall sheathing": 'the heel at the face of 1/2" wall sheathing, not at the outside face of framing',
    "heel forgotten": "the rise of the slope alone, without the heel of {heel}",
    "ceiling from the other face": "what a ceiling begun at the other face of the wall gives; it is to leave the plate "
    "{start} in from the outside face",
    "heel square": "the heel measured square to the top edge; it is plumb, {stretch} times as much",
    **{
        f"top of {text} sheathing": f"the heel to the top of {text} roof sheathing, not to the top edge of the wood"
        for text in SHEATHING
    },
    "pitch as rise over span": "a pitch taken as rise over span, twice as steep; {pitch} is rise over run",
    **{f"bearing of a {wall} wall": f"the plate of a {wall} wall; this bearing is {{bearing}}" for wall in WALLS},
    "overhang along the slope": "an overhang of {overhang} laid out along the slope; it is level",
    "overhang printed along the slope": "the overhang measured along the slope; {overhang} is level (the tail itself "
    "may be right)",
    "overhang to the fascia's face": 'an overhang of {overhang} to the face of a 1 1/2" subfascia; it ends at the back '
    "of it",
    "fascia counted in": 'the overhang with a 1 1/2" subfascia counted in; {overhang} ends at the back of it (the tail '
    "itself may be right)",
    "tail cut square": "a square tail cut with its lower corner at the overhang of {overhang}; the top corner is meant",
    "left and right swapped": "left and right changed over; they are as seen from the gable end",
    "sixteenths read as decimals": "feet-inches-sixteenths read as a decimal: 00-07-07 is 7 7/16, not 7.07",
}
"""What a drawing's numbers equal, by mistake, in the words of a shop; each follows "equals"."""


def _decimal(value: float) -> float:
    """Feet-inches-sixteenths read as decimals: 7 inches and 7 sixteenths as 7.07.

    >>> _decimal(7.4375)
    7.07
    """
    whole, parts = divmod(round(16 * sixteenth(value)), 16)
    return whole + parts / 100


def _another_bearing(s: Symbols, wide: float) -> Symbols:
    return {"bearing": wide} | ({"start": wide} if s["start"] else {})


def _drawing_mistake(name: str, acts: str, **how: Any) -> Mistake:
    return Mistake(name, f"Equals {WORDS[name]}.", acts=acts, **how)


ON_DRAWINGS: tuple[Mistake, ...] = (
    _drawing_mistake(
        "heel square", "either", only=("heel",), result=lambda value, s: value / geo.stretch(s["m"])
    ),
    *(
        _drawing_mistake(
            f"top of {text} sheathing", "either", only=("heel",),
            result=lambda value, s, thick=thick: value + geo.plumb_depth(thick, s["m"]),
        )
        for text, thick in SHEATHING.items()
    ),
    _drawing_mistake("pitch as rise over span", "inputs", change=lambda s: {"m": 2 * s["m"], "c": 2 * s["c"]}),
    *(
        _drawing_mistake(
            f"bearing of a {wall} wall", "inputs", change=lambda s, wide=wide: _another_bearing(s, wide)
        )
        for wall, wide in WALLS.items()
    ),
    _drawing_mistake(
        "overhang along the slope", "inputs", change=lambda s: {"o": s["o"] / float(geo.stretch(s["m"]))}
    ),
    _drawing_mistake(
        "overhang printed along the slope", "item", only=("overhang",),
        result=lambda value, s: value * float(geo.stretch(s["m"])),
    ),
    _drawing_mistake(
        "overhang to the fascia's face", "inputs",
        change=lambda s: {"o": s["o"] - SUBFASCIA} if s["o"] > SUBFASCIA else {},
    ),
    _drawing_mistake("fascia counted in", "item", only=("overhang",), result=lambda value, s: value + SUBFASCIA),
    _drawing_mistake(
        "tail cut square", "inputs",
        change=lambda s: {"o": s["o"] + s["d_t"] * s["m"] / float(geo.stretch(s["m"]))} if s["o"] else {},
    ),
    _drawing_mistake(
        "left and right swapped", "inputs", change=lambda s: {key: s["other"][key] for key in END_SYMBOLS}
    ),
    _drawing_mistake(
        "sixteenths read as decimals", "either",
        only=("heel", "height", "ceiling_rise", "depth_at_peak", "overhang"), result=lambda value, s: _decimal(value),
    ),
)  # fmt: skip
DRAWING_MISTAKES: tuple[Mistake, ...] = (
    *(one._replace(sentence=f"Equals {WORDS[one.name]}.") for one in BAY_MISTAKES if one.acts),
    *ON_DRAWINGS,
)


# --- what a mistake would make of the drawing ------------------------------------------------------------------------


class Candidate(NamedTuple):
    """A mistake in a truss: the item it stands on alone ("": drawn with it), and the numbers it gives."""

    mistake: Mistake
    item: str
    numbers: Numbers


def wrong_item(mistake: Mistake, name: str, value: float, s: Symbols) -> float | None:
    """What a mistake makes of an item: of its number, or by the formula of the reading that has the symbols."""
    if mistake.result:
        return mistake.result(value, s)
    if isinstance(mistake.how, str):
        return value_of(rewritten(mistake.how, "f"), {**s, "f": value})
    rows = (row for row in READINGS if row.name == name and set(row.args.split()) <= set(s))
    texts = (rewritten(mistake.how, row.formula_for(s)) for row in rows)
    return next((value_of(text, s) for text in texts if text), None)


def _heel_with_mistake(mistake: Mistake, s: Symbols) -> float | None:
    """The heel that a mistake makes: from the rafter's depth and seat, or from the heel as it was handed over."""
    if mistake.change:
        changes = mistake.change(s)
        if not {"D", "seat"} & set(changes) or "D" not in s:
            return None
        new = {**s, **changes}
        return float(s["heel"] + geo.heel(new["D"], s["m"], new["seat"]) - s["main"])
    wrong, blank = wrong_item(mistake, "heel", s["heel"], s), wrong_item(mistake, "heel", 0.0, s)
    if wrong is None or blank is None:
        return None
    return float(s["heel"] + wrong - s["main"]) if wrong == blank else float(wrong)


def with_mistake(mistake: Mistake, truss: Truss) -> Truss | None:
    """The truss as it would be with a mistake in its inputs; None where the mistake cannot happen."""
    ends: list[Symbols] = []
    with suppress(KeyError, ZeroDivisionError, OverflowError):
        for s, other in (truss, truss[::-1]):
            s = {**s, "other": other}
            heel = (
                _heel_with_mistake(mistake, s)
                if not mistake.change or mistake.only == ("heel",) or mistake.name == "nominal depth"
                else None
            )
            changes = (
                {"heel": heel}
                if heel is not None
                else mistake.change(s)
                if mistake.change and mistake.only != ("heel",)
                else {}
            )
            ends.append({**truss[len(ends)], **changes})
        return ends[0], ends[1]
    return None


def _alone(mistake: Mistake, truss: Truss, right: Numbers) -> Iterator[Candidate]:
    """A mistake on one item, the rest of the drawing as it was asked for."""
    made = with_mistake(mistake, truss)
    for name in mistake.only or ("heel",):
        if name not in ITEMS:
            continue
        keys = [f"{name}_{end}" for end in ENDS] if ITEMS[name].ends else [name]
        new: Numbers = {}
        for key, s in zip(keys, truss, strict=False):
            if made is not None and (mistake.change or name == "heel"):
                new[key] = items_of(made)[key]
            elif not mistake.change and (wrong := wrong_item(mistake, name, right[key], s)) is not None:
                new[key] = float(wrong)
        if any(abs(value - right[key]) > EQUAL for key, value in new.items()):
            yield Candidate(mistake, name, {**right, **new})


def candidates(truss: Truss) -> tuple[Candidate, ...]:
    """Every mistake that changes a number of this truss, as it would show on a drawing."""
    return _candidates(*(tuple(s.items()) for s in truss))


@lru_cache(64)
def _candidates(*ends: tuple[tuple[str, Any], ...]) -> tuple[Candidate, ...]:
    truss = dict(ends[0]), dict(ends[1])
    right = items_of(truss)
    found = []
    for mistake in DRAWING_MISTAKES:
        if mistake.acts != "item" and (made := with_mistake(mistake, truss)) is not None:
            wrong = items_of(made)
            if any(abs(wrong[key] - right[key]) > EQUAL for key in right):
                found.append(Candidate(mistake, "", wrong))
        if mistake.acts != "inputs":
            with suppress(KeyError, ZeroDivisionError):
                found += _alone(mistake, truss, right)
    return tuple(found)


# --- which of them fit --------------------------------------------------------------------------------------------


class Cause(NamedTuple):
    """A mistake that fits: its name (or names that are equal by algebra), the items it explains, a sentence, and how
    many mistakes it takes.
    """

    mistake: str
    explains: tuple[str, ...]
    sentence: str
    mistakes: int = 1


def rounding_of(half: float, key: str) -> float:
    """How far a drawing's number may stand off the one asked for and still be rounding: half the step it is written
    in, and a length never less than 1/16."""
    return half if item_and_end(key)[0].kind == "pitch" else max(half, TOLERANCE)


def _fits(made: Numbers, shown: Mapping[str, float], keys: Iterable[str], half: Mapping[str, float]) -> bool:
    for key in keys:
        slack = half[key] if item_and_end(key)[0].is_input else rounding_of(half[key], key)
        if abs(made[key] - shown[key]) > slack + EQUAL:
            return False
    return True


def independent(truss: Truss, shown: Mapping[str, float], off: tuple[str, ...], half: Mapping[str, float]) -> int:
    """How many differing numbers stand on their own: inputs, and readings that do not follow from the inputs shown."""
    follows = items_of(truss_of_drawing(truss, shown))
    given = {item_and_end(key)[0].name for key in off if item_and_end(key)[0].is_input}
    return len(given) + sum(
        not item_and_end(k)[0].is_input and abs(follows[k] - shown[k]) > NEAR * half[k] for k in off
    )


def causes(truss: Truss, shown: Mapping[str, float], half: Mapping[str, float]) -> tuple[Cause, ...]:
    """The mistakes that explain everything that differs; pairs only where no single one does and two numbers are off.

    ``shown`` are the numbers on the drawing by key, ``half`` the rounding of each; sizes of lumber are left out.
    """
    right = items_of(truss)
    off = tuple(key for key in shown if abs(shown[key] - right[key]) > rounding_of(half[key], key) + EQUAL)
    if not off:
        return ()
    every = candidates(truss)
    fine = {key: min(step, LENGTH_ROUNDING) for key, step in half.items()}
    closely = [one for one in every if _fits(one.numbers, shown, shown, fine)]
    if fits := closely or [one for one in every if _fits(one.numbers, shown, shown, half)]:
        return tuple(_cause_of(group, truss, off) for group in _equal(fits, truss, tuple(shown)))
    if independent(truss, shown, off, half) < 2:
        return ()
    return tuple(_pairs(truss, shown, off, every, half))


def _before_rounding(truss: Truss) -> Truss:
    """The truss before its heel was rounded to be handed over."""
    left, right = (
        {**s, "heel": s["heel"] + s["given"] - s["main"], "main": s["given"]} if "D" in s else s for s in truss
    )
    return left, right


def _equal(fits: list[Candidate], truss: Truss, keys: tuple[str, ...]) -> list[list[Candidate]]:
    """The mistakes that fit, in groups that are the same by algebra; a hair of rounding parts nobody from a group."""
    groups: list[list[Candidate]] = []
    held: set[tuple[str, str]] = set()
    exact = {(one.mistake.name, one.item): one for one in candidates(_before_rounding(truss))}
    for fit in fits:
        name = fit.mistake.name, fit.item
        if name in held:
            continue
        mine = exact.get(name, fit).numbers
        alike = [n for n, one in exact.items() if all(abs(one.numbers[k] - mine[k]) <= EQUAL for k in keys)]
        held |= {name, *alike}
        groups.append([fit, *(exact[n] for n in alike if n != name)])
    return groups


def sentence_of(one: Candidate, truss: Truss) -> str:
    """What a mistake's numbers equal, with the numbers at hand, and whether one item alone shows it."""
    args = reading_of("scissor", "ceiling_rise").args if one.item == "ceiling_rise" else "m"
    sentence = one.mistake.sentence.format_map(Words(args, truss[0]))
    return f"{sentence} Only this number shows it." if one.item else sentence


def _cause_of(group: list[Candidate], truss: Truss, off: tuple[str, ...]) -> Cause:
    once = {one.mistake.name: one for one in reversed(group)}  # the same on the whole truss and on one item is one
    names = tuple(dict.fromkeys(one.mistake.name for one in group))
    first, *rest = dict.fromkeys(sentence_of(once[name], truss) for name in names)
    explains = tuple(dict.fromkeys(item_and_end(key)[0].name for key in off))
    return Cause(
        ", or ".join(names), explains, " ".join([first, *(f"Or {text[0].lower()}{text[1:]}" for text in rest)])
    )


def _pairs(
    truss: Truss,
    shown: Mapping[str, float],
    off: tuple[str, ...],
    every: Sequence[Candidate],
    half: Mapping[str, float],
) -> Iterator[Cause]:
    """Two mistakes that together explain all, each a number of its own."""
    useful, right = [], items_of(truss)
    for one in every:
        touched = tuple(k for k in shown if abs(one.numbers[k] - right[k]) > rounding_of(half[k], k))
        own = tuple(k for k in touched if one.item or item_and_end(k)[0].is_input)
        if own and _fits(one.numbers, shown, own, half) and set(own) & set(off):
            useful.append((one, set(own)))
    for i, (first, mine) in enumerate(useful):
        for second, theirs in useful[i + 1 :]:
            if mine & theirs:
                continue
            if _fits(_with_both(first, second, truss, right), shown, shown, half):
                both = [sentence_of(one, truss).removeprefix("Equals ") for one in (first, second)]
                explains = tuple(dict.fromkeys(item_and_end(key)[0].name for key in off))
                said = f"Equals two things at once: {both[0]} And {both[1]}"
                yield Cause(f"{first.mistake.name} and {second.mistake.name}", explains, said, 2)


def _with_both(first: Candidate, second: Candidate, truss: Truss, right: Numbers) -> Numbers:
    """The numbers of a drawing with two mistakes."""
    made: Truss = truss
    for one in (first, second):
        if not one.item:
            made = with_mistake(one.mistake, made) or made
    found: dict[str, Any] = items_of(made)
    for one in (first, second):
        if one.item:
            found |= {key: value for key, value in one.numbers.items() if value != right[key]}
    return found
