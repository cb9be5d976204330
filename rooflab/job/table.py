"""Options side by side: one table of their numbers, best and worst of a row by word, and what a change does, in words.

What an option is, solves to and how it is kept stands in ``option``; it is used from here.  Whoever adds a row to the
table adds one line to ``KINDS``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import inf
from typing import NamedTuple

from rooflab.base.inputs import must_be, pair
from rooflab.base.measure import LEVEL, InputError, feet_inches, sixteenth
from rooflab.checks.assumptions import ALWAYS, GOVERNS, ORDER
from rooflab.checks.frame import king_post_scissor, spread_and_thrust
from rooflab.house.readings import reading_of

from .jobfile import Job
from .option import (
    FEWEST,
    MOST,
    Option,
    OptionResult,
    adopt,
    option_names,
    option_of,
    options_in,
    read_option,
    solve_option,
    with_options,
)
from .values import LABELS, NAMES, value_text

__all__ = [
    "Change",
    "ComparisonRow",
    "FEWEST",
    "KINDS",
    "Kind",
    "LABELS",
    "MOST",
    "NAMES",
    "Option",
    "OptionResult",
    "Proposals",
    "adopt",
    "before_after",
    "differs",
    "finding_names",
    "option_names",
    "option_of",
    "options_in",
    "proposals",
    "read_option",
    "solve_option",
    "solve_options",
    "table",
    "table_of",
    "value_text",
    "votes_of",
    "with_options",
]


# --- words for the numbers -------------------------------------------------------------------------------------------


def _by_end(values: Sequence[float], text: Callable[[float], str] = feet_inches) -> str:
    """Texts of both ends, one where they read alike."""
    return " and ".join(dict.fromkeys(text(value) for value in values))


def cubic(value: float) -> str:
    """A volume in cu ft, as printed."""
    return f"{value + 0.0:,.0f} cu ft"


def _stock(length: float) -> str:
    return feet_inches(length) if length else "longer than 24'-0\", not common stock"


def _off(gap: float) -> str:
    return f"{feet_inches(abs(gap))} {'high' if gap > 0 else 'low'}"


def seam_words(s: OptionResult) -> str:
    """By how much the truss's roof plane stands high or low, or that both run through, as printed."""
    places = (("tail", s.seam.tail_gap), ("eave", s.seam.heel_gap), ("ridge", s.seam.ridge_gap))
    off = [f"{name} {_off(gap)}" for name, gap in places if abs(gap) >= LEVEL]
    if len({_off(gap) for _, gap in places}) == 1 and off:
        off = [f"{_off(s.seam.heel_gap)} all along"]
    if not off and not s.seam.coplanar:
        off = [f"right end {_off(s.seam.plane_offset)}"]
    return f"truss {', '.join(off)}" if off else "planes run through"


def _soffit(s: OptionResult) -> str:
    if s.tail is None:
        return "no overhang"
    board = f"subfascia {s.tail.subfascia}" if s.tail.subfascia else "subfascia deeper than stock"
    cut = f", level cut {feet_inches(s.tail.level_cut)}" if abs(s.tail.step) >= LEVEL else ""
    return f"soffit at {feet_inches(s.tail.soffit_height)}, {board}{cut}"


def _head(s: OptionResult) -> str:
    head = s.room.all["window_head"]
    return feet_inches(head) if head > 0 else "none fits"


def least_r(s: OptionResult) -> float:
    """Lowest R over a plate, at the outside face, of both bays."""
    return min(plate.values["r_outside"] for plate in s.plates)


NOTCH = reading_of("rafter", "notch_ratio")


def notches(s: OptionResult) -> list[float]:
    """Notch over rafter depth at the left and the right end."""
    return [NOTCH.of(s.rafters.symbols(side)) for side in ("left", "right")]


def per_cent(value: float) -> str:
    """A ratio as whole percent, as printed."""
    return f"{100 * value:.0f} %"


def governing_check(s: OptionResult) -> tuple[float, str] | None:
    """Ratio and name of the rafter check nearest to or furthest beyond its capacity; None where it is not known."""
    rows = [one for one in s.carries.findings if isinstance(one.value, float)]
    if not rows:
        return None
    worst = min(rows, key=lambda one: (ORDER.index(one.verdict), -one.value))
    word = worst.name.removeprefix("rafter_").removesuffix("_right")
    return worst.value, {"tie_bending": GOVERNS["tie_bending"]}.get(word, word)


def rafter_use(s: OptionResult) -> str:
    """The governing rafter check in percent of its capacity and its name, as printed."""
    made = governing_check(s)
    if made is None:
        return "not known"
    return f"{per_cent(made[0])}, {made[1]}" if made[0] < 10 else f"far beyond, {made[1]}"


def bought_length(s: OptionResult) -> float:
    """Longest board to buy for an option's rafters, in; infinite where it is longer than common stock."""
    return max(buy or inf for _, buy in s.stock)


def finding_names(s: OptionResult, verdict: str) -> tuple[str, ...]:
    """Names of what an option misses or asks, each once; what is asked whatever the numbers is left away."""
    names = (one.name.removesuffix("_right") for one in s.findings if one.verdict == verdict)
    return tuple(dict.fromkeys(name.replace("_", " ") for name in names if name not in ALWAYS))


def _name_list(names: Sequence[str]) -> str:
    return f"{len(names)}: {', '.join(names)}" if names else "none"


# --- the rows --------------------------------------------------------------------------------------------------------


class Kind(NamedTuple):
    """A row of the table: key, label, text and number of an option, and the words for the best and the worst.

    ``better`` is 1 where more is better, -1 where less is, 0 where neither is.
    """

    key: str
    label: str
    text: Callable[[OptionResult], str]
    number: Callable[[OptionResult], float | None] = lambda s: None
    better: int = 0
    words: tuple[str, str] = ("", "")


def _room(name: str) -> Callable[[OptionResult], float]:
    return lambda s: s.room.all[name]


def _length(number: Callable[[OptionResult], float]) -> Callable[[OptionResult], str]:
    return lambda s: feet_inches(number(s))


HIGH, MUCH, LITTLE = ("highest", "lowest"), ("most", "least"), ("least", "most")

KINDS: tuple[Kind, ...] = (
    Kind("heel", "Truss heel", lambda s: _by_end([end.heel for end in s.scissor.ends]), lambda s: s.scissor.left.heel),
    Kind("gap", "At the seam", seam_words, lambda s: abs(s.seam.plane_offset), -1, ("closest", "furthest off")),
    Kind("height", "Overall height", lambda s: feet_inches(s.scissor.height), lambda s: s.scissor.height),
    Kind("tail", "Tail and soffit", _soffit),
    Kind("rise", "Ceiling rise", lambda s: feet_inches(s.scissor.ceiling_rise), lambda s: s.scissor.ceiling_rise),
    Kind("mid_height", "Mid-room, to the finish", _length(_room("mid_height")), _room("mid_height"), 1, HIGH),
    Kind("volume", "Room volume", lambda s: cubic(s.room.all["volume"]), _room("volume"), 1, MUCH),
    Kind("gain", "Gain over flat ceiling", lambda s: cubic(s.room.all["gain"]), _room("gain"), 1, MUCH),
    Kind("window", "Gable window head", _head, _room("window_head"), 1, HIGH),
    Kind("plate", "Insulation at the plate", lambda s: f"R-{least_r(s):.0f}", least_r, 1, MUCH),
    Kind("notch", "Notch of the rafter", lambda s: _by_end(notches(s), per_cent), lambda s: max(notches(s)), -1,
         ("shallowest", "deepest")),
    Kind("rafter", "Rafter use", rafter_use, lambda s: (governing_check(s) or (None,))[0], -1, LITTLE),
    Kind("stock", "Rafter stock to buy", lambda s: _by_end([buy for _, buy in s.stock], _stock), bought_length, -1,
         ("shortest", "longest")),
    Kind("stud", "Stud length", lambda s: _by_end([s.room.all["stud_l"], s.room.all["stud_r"]]), _room("stud_l")),
    Kind("misses", "Misses", lambda s: _name_list(finding_names(s, "misses")),
         lambda s: len(finding_names(s, "misses")), -1, ("fewest", "most")),
    Kind("ask", "To ask", lambda s: _name_list(finding_names(s, "ask")),
         lambda s: len(finding_names(s, "ask")), -1, ("fewest", "most")),
)  # fmt: skip
"""The rows of the table, in the order in which they are shown."""


# --- the table ------------------------------------------------------------------------------------------------------


class ComparisonRow(NamedTuple):
    """A row of the table: a text and a word ("most", "lowest", "" none) for each option; which are best and worst."""

    key: str
    label: str
    texts: tuple[str, ...]
    words: tuple[str, ...]
    best: tuple[int, ...]
    worst: tuple[int, ...]


def table(options: Sequence[Option], house: Job) -> tuple[ComparisonRow, ...]:
    """Two to six options side by side, a row a reading.  InputError with every problem of every option.

    >>> from rooflab.job.jobfile import example
    >>> rows = table([Option("Short seat"), Option("Long seat", seat="5 1/2")], example())
    >>> next((row.texts, row.words) for row in rows if row.key == "notch")
    (('21 %', '33 %'), ('shallowest', 'deepest'))
    """
    must_be(house, Job, "House")
    option_names(options, FEWEST)
    return table_of(solve_options(options, house))


def solve_options(options: Sequence[Option], house: Job) -> tuple[OptionResult, ...]:
    """Every option solved.  InputError with every problem of every option."""
    problems, made = list[str](), []
    for option in options:
        try:
            made.append(solve_option(option, house))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return tuple(made)


def table_of(made: Sequence[OptionResult]) -> tuple[ComparisonRow, ...]:
    """The table of options that are solved already.

    Heads of windows of different widths are not compared, nor volumes of rooms of different lengths.
    """
    rows = (_comparison_row(kind, made) for kind in KINDS)
    return tuple(_with(row, made, *SIZE_WORDS[row.key]) if row.key in SIZE_WORDS else row for row in rows)


SIZE_WORDS = {"window": ("window", "wide"), "volume": ("length", "long"), "gain": ("length", "long")}
"""What a row holds for: a symbol of the room, and its word."""


def _with(row: ComparisonRow, made: Sequence[OptionResult], name: str, word: str) -> ComparisonRow:
    """A row that holds for a size: one size stands in the label, several beside the texts."""
    sizes = [f"{feet_inches(one.room.all[name])} {word}" for one in made]
    if len(set(sizes)) == 1:
        return row._replace(label=f"{row.label}, {sizes[0]}")
    texts = tuple(f"{text}, {size}" for text, size in zip(row.texts, sizes, strict=True))
    return row._replace(texts=texts, words=("",) * len(texts), best=(), worst=())


def _comparison_row(kind: Kind, made: Sequence[OptionResult]) -> ComparisonRow:
    texts, numbers = tuple(kind.text(one) for one in made), [kind.number(one) for one in made]
    known = [i for i, number in enumerate(numbers) if number is not None]
    words, best, worst = [""] * len(made), list[int](), list[int]()
    if kind.better and len({texts[i] for i in known}) > 1:
        ranked = sorted(known, key=lambda i: -kind.better * (numbers[i] or 0.0))
        first, last = numbers[ranked[0]], numbers[ranked[-1]]
        if first != last:  # what reads like the best is as good
            best = [i for i in known if numbers[i] == first or texts[i] == texts[ranked[0]]]
            worst = [i for i in known if i not in best and (numbers[i] == last or texts[i] == texts[ranked[-1]])]
            for i in known:
                words[i] = kind.words[0] if i in best else kind.words[1] if i in worst else ""
    return ComparisonRow(kind.key, kind.label, texts, tuple(words), tuple(best), tuple(worst))


# --- what a change did -----------------------------------------------------------------------------------------------


class Change(NamedTuple):
    """A row that reads otherwise: key, label, the text before and after, and both in a sentence."""

    key: str
    label: str
    before: str
    after: str
    sentence: str


def before_after(old: OptionResult, new: OptionResult) -> tuple[Change, ...]:
    """What a change did to every row of the table that reads otherwise.

    >>> from rooflab.job.jobfile import example
    >>> old, new = solve_options([Option("Short seat"), Option("Long seat", seat="5 1/2")], example())
    >>> before_after(old, new)[0].sentence
    'Truss heel 8 13/16" becomes 7 7/16".'
    """
    made = []
    for row in table_of((old, new)):
        before, after = row.texts
        if before != after:
            made.append(Change(row.key, row.label, before, after, f"{row.label} {before} becomes {after}."))
    return tuple(made)


def differs(option: Option, house: Job) -> tuple[Change, ...]:
    """What an option changes of the house's numbers, input by input.

    >>> from rooflab.job.jobfile import example
    >>> [one.sentence for one in differs(Option("Other", seat="4", pitch=8), example())]
    ['Seat 3 1/2" becomes 4".']
    """
    was, found = option_of("The house", house).values, []
    for name, value in option.value_pairs:
        before, after = (value_text(name, one) if one is not None else "" for one in (was.get(name), value))
        if before != after:
            said = f"{LABELS[name]} {before} becomes {after}." if before else f"{LABELS[name]} {after}."
            found.append(Change(name, LABELS[name], before, after, said))
    return tuple(found)


# --- for and against -------------------------------------------------------------------------------------------------

COUNT_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
LEAST_LENGTH, LEAST_PART = 0.5, 0.01  # in, and of a volume: less is not worth a word


class Proposals(NamedTuple):
    """What speaks for an option and against it, in words to be edited by people."""

    pros: tuple[str, ...]
    cons: tuple[str, ...]


def amount(length: float) -> str:
    """A difference of lengths as people say it.

    >>> amount(2.0), amount(1.0), amount(11.0), amount(1.5), amount(15.5)
    ('two inches', 'one inch', '11 in', '1 1/2 in', '1\\'-3 1/2"')
    """
    size = sixteenth(abs(length))
    if size.is_integer() and 0 < size < len(COUNT_WORDS):
        return f"{COUNT_WORDS[int(size)]} {'inch' if size == 1 else 'inches'}"
    return f"{feet_inches(size)[:-1]} in" if size < 12 else feet_inches(size)


def proposals(base: OptionResult, other: OptionResult) -> Proposals:
    """Pros and cons of an option against another, from the numbers alone; only what reads clearly otherwise.

    >>> from rooflab.job.jobfile import example
    >>> old, new = solve_options([Option("Long seat", seat="5 1/2"), Option("Higher", seat=4, plate_height=99.125)],
    ...                       example())
    >>> made = proposals(old, new)
    >>> "notch falls to 24 %" in made.pros, "wall two inches taller" in made.cons
    (True, True)
    """
    made = [one for rule in RULES for one in rule(base, other)]
    return Proposals(tuple(said for good, said in made if good), tuple(said for good, said in made if not good))


Sentences = Iterator[tuple[bool, str]]  # whether it speaks for the option, and the words


def _length_change(what: str, old: float, new: float, up: str, down: str, better: int = 1) -> Sentences:
    """A length that grew or shrank."""
    by = sixteenth(new) - sixteenth(old)
    if abs(by) >= LEAST_LENGTH:
        yield by * better > 0, f"{what} {up if by > 0 else down}".format(amount(by))


def _row_changes(base: OptionResult, other: OptionResult) -> Sentences:
    old, new = max(notches(base)), max(notches(other))
    if per_cent(old) != per_cent(new):
        yield new < old, f"notch {'falls' if new < old else 'grows'} to {per_cent(new)}"
    v, w = base.room.all, other.room.all
    if v["window"] == w["window"]:
        yield from _length_change("window head", v["window_head"], w["window_head"], "up {}", "down {}")
    yield from _length_change("ceiling at mid-room", v["mid_height"], w["mid_height"], "up {}", "down {}")
    more = w["volume"] - v["volume"]
    if abs(more) >= LEAST_PART * v["volume"]:
        yield more > 0, f"room {'gains' if more > 0 else 'loses'} {abs(more):,.0f} cubic ft"
    here, there = f"R-{least_r(base):.0f}", f"R-{least_r(other):.0f}"
    if here != there:
        up = least_r(other) > least_r(base)
        yield up, f"insulation at the plate {'rises' if up else 'falls'} to {there}"


def _wall(base: OptionResult, other: OptionResult) -> Sentences:
    v, w = base.room.all, other.room.all
    sides = [("left wall", "plate_l"), ("right wall", "plate_r")]
    if sixteenth(w["plate_l"]) - sixteenth(v["plate_l"]) == sixteenth(w["plate_r"]) - sixteenth(v["plate_r"]):
        sides = [("wall", "plate_l")]
    for what, name in sides:
        yield from _length_change(what, v[name], w[name], "{} taller", "{} lower", -1)


def _lumber_changes(base: OptionResult, other: OptionResult) -> Sentences:
    sizes = [s.rafters.lumber or f"{feet_inches(s.rafters.depth)} deep" for s in (base, other)]
    if base.rafters.depth != other.rafters.depth:
        yield other.rafters.depth < base.rafters.depth, f"{sizes[1]} rafters instead of {sizes[0]}"
    apart = [feet_inches(s.assumptions.spacing) for s in (base, other)]
    if apart[0] != apart[1]:
        yield other.assumptions.spacing > base.assumptions.spacing, f"rafters {apart[1]} apart instead of {apart[0]}"
    old, new = bought_length(base), bought_length(other)
    if old != new and new == inf:
        yield False, "rafters longer than common stock, 24'-0\""
    elif old != new:
        was = "" if old == inf else f", was {feet_inches(old)}"
        yield new < old, f"rafter stock {feet_inches(new)}{was}"


def _strength(base: OptionResult, other: OptionResult) -> Sentences:
    old, new = governing_check(base), governing_check(other)
    if new is None and old is not None:
        yield False, "what the rafter carries is not known: ask the engineer"
    if new is None or old is None or rafter_use(base).split(",")[0] == rafter_use(other).split(",")[0]:
        return
    fell = new[0] < old[0]
    if new[0] > 1:
        yield False, f"rafter {'still ' * (old[0] > 1)}beyond what it carries: {rafter_use(other)}"
    else:
        yield fell, f"rafter use {'falls' if fell else 'rises'} to {per_cent(new[0])}"


def _findings(base: OptionResult, other: OptionResult) -> Sentences:
    if base.seam.coplanar != other.seam.coplanar:
        through = other.seam.coplanar
        yield through, "planes run through" if through else f"planes do not run through: {seam_words(other)}"
    old, new = finding_names(base, "misses"), finding_names(other, "misses")
    yield from ((True, f"no longer misses: {name}") for name in old if name not in new)
    yield from ((False, f"misses: {name}") for name in new if name not in old)
    before, after = finding_names(base, "ask"), finding_names(other, "ask")
    yield from ((True, f"no longer to ask: {name}") for name in before if name not in (*after, *new))
    yield from ((False, f"to ask: {name}") for name in after if name not in (*before, *old))


def _chord_forces(s: OptionResult) -> tuple[float, float] | None:
    """Force in the top chord (lb) and spread (in) of the teaching model under a unit load; None where it is unequal."""
    if not s.scissor.equal_ends:
        return None
    span, pitch, ceiling = s.rafters.gable.span, 12 * s.rafters.gable.slopes[0], pair(s.scissor.ceiling_pitch)[0]
    try:
        top = abs(king_post_scissor(span, pitch, ceiling).solve().forces["AC"])
        return top, spread_and_thrust(span, pitch, ceiling).spread
    except InputError:
        return None


def _truss(base: OptionResult, other: OptionResult) -> Sentences:
    """What another ceiling or roof pitch does to the chords of the teaching model."""
    old, new = _chord_forces(base), _chord_forces(other)
    if old and new and abs(new[0] / old[0] - 1) >= LEAST_PART:
        force, spread = new[0] / old[0], f", horizontal movement {new[1] / old[1]:.1f} times" if old[1] > 1e-9 else ""
        yield force < 1, f"teaching model: top chord force {force:.1f} times{spread}"


RULES: tuple[Callable[[OptionResult, OptionResult], Sentences], ...] = (
    _row_changes,
    _wall,
    _lumber_changes,
    _strength,
    _truss,
    _findings,
)


def votes_of(made: Sequence[OptionResult]) -> tuple[ComparisonRow, ComparisonRow]:
    """Two more rows for a table of options: what speaks for each and what against it, beside the first one."""
    first, *rest = made
    said = [proposals(first, one) for one in rest]
    rows = []
    for word, texts in (("For", [one.pros for one in said]), ("Against", [one.cons for one in said])):
        cells = ("what the others are held against", *("; ".join(one) or "nothing" for one in texts))
        rows.append(ComparisonRow(word.lower(), f"{word} it", cells, ("",) * len(cells), (), ()))
    return rows[0], rows[1]
