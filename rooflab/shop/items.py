"""What a returned drawing shows: its items, and how they are read from a mapping or a CSV of our own simple form.

The form has a row an item: item, value, remark.  Values stand as printed: trade text, feet-inches-sixteenths
(``00-07-07`` is 7 7/16), a pitch as a decimal.  What cannot be read without guessing is refused in a sentence.
"""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import inf
from pathlib import Path
from typing import Any, NamedTuple

from rooflab.base.files import read_text
from rooflab.base.inputs import INPUTS, Input, read_size, stop_on
from rooflab.base.jsonfile import text_problem
from rooflab.base.measure import InputError, feet_inches, inches, pitch, pitch_text

LENGTH_ROUNDING = 1 / 32  # a length printed to the nearest 1/16 is off by at most this, in
STEPS = (1 / 2, 1 / 4, 1 / 8, 1 / 16)  # what a drawing's lengths are rounded to, in
FEW = 5  # a drawing with fewer fractions, on walls and eave apart, is not taken to be rounded coarser than to 1/8
PITCH_ROUNDING = 0.005  # a pitch printed to two decimals, in 12
LARGEST = 20_000_000  # characters of a CSV that are read
LONGEST_REMARK = 2000  # characters
MOST_SENTENCES = 12  # sentences about one CSV that are worth reading
ENDS = ("left", "right")


class DrawingItem(NamedTuple):
    """One item: name, label, kind (length, pitch, size), whether each end has its own, if it is an input, range."""

    name: str
    label: str
    kind: str
    ends: bool
    is_input: bool
    low: float = 0.0
    high: float = inf
    hint: str = ""

    def text(self, value: float) -> str:
        """A value as drawings print it."""
        return pitch_text(round(value, 2)) if self.kind == "pitch" else feet_inches(value)


_OUT = INPUTS["overhang"].high + INPUTS["jog"].high  # a straight eave under the deepest jog, in
_HIGH = 960.0  # above the peak of the widest and steepest roof on its tallest heel (720/2 at 24 in 12, 60), in
ITEMS: dict[str, DrawingItem] = {
    row.name: row
    for row in (
        DrawingItem("span", "Span", "length", False, True, 48, 2400, "A bare number is inches."),
        DrawingItem("pitch", "Roof pitch", "pitch", True, True, 0.25, 48),
        DrawingItem("ceiling_pitch", "Ceiling pitch", "pitch", True, True, 0, 48),
        DrawingItem("overhang", "Overhang", "length", True, True, 0, _OUT),
        DrawingItem("bearing", "Bearing", "length", True, True, 0, INPUTS["bearing"].high),
        DrawingItem("heel", "Heel", "length", True, True, 0, _HIGH),
        DrawingItem("height", "Overall height", "length", False, False, 0, _HIGH),
        DrawingItem("ceiling_rise", "Ceiling rise", "length", False, False, 0, _HIGH),
        DrawingItem("depth_at_peak", "Depth at the peak", "length", False, False, 0, _HIGH),
        DrawingItem("tail_top", "Top of tail", "length", True, False, -_HIGH, _HIGH),
        DrawingItem("plate", "Plate", "length", True, True, -INPUTS["span"].high, INPUTS["span"].high),
        DrawingItem("chord", "Top chord", "size", False, True),
    )
}
KEYS = tuple(key for one in ITEMS.values() for key in (one.name, *(f"{one.name}_{e}" for e in ENDS if one.ends)))
"""The keys of all items, of both ends and of each: ``heel``, ``heel_left``, ``heel_right``."""
NAMES = {
    key: (item.name, end)
    for item in ITEMS.values()
    for end in (("", *ENDS) if item.ends else ("",))
    for base in (item.name, re.sub("[^a-z]+", "_", item.label.lower()))
    for key in ({f"{base}_{end}", f"{end}_{base}"} if end else {base})
}


class DrawingValue(NamedTuple):
    """A value on a drawing: the number, the text it was read from, the remark beside it, and its last decimal place.

    ``last`` is 0.0 where no decimals are written; a number does not tell how many were.
    """

    value: float
    text: str
    remark: str = ""
    last: float = 0.0


HEAD = {"job": "Job", "drawing": "Drawing number", "drawing_date": "Drawing date"}
"""What a drawing says of itself beside its mark and its numbers."""


class ItemRow(NamedTuple):
    """A row of a table of returned drawings: where it stands, item, value, remark, and the mark it belongs to."""

    place: str  # "Line 3, "
    item: str
    value: Any
    remark: str = ""
    mark: str = ""


def item_and_end(key: str) -> tuple[DrawingItem, str]:
    """The item of a key such as ``heel`` or ``heel_left``, and its end ("" for both)."""
    name, end = NAMES[key]
    return ITEMS[name], end


def label(key: str) -> str:
    """An item's name in words: ``Heel, left``."""
    item, end = item_and_end(key)
    return f"{item.label}, {end}" if end else item.label


def drawing_length(value: object, what: str) -> float:
    """A length as drawings print it: all that ``inches`` reads, and feet-inches-sixteenths.

    >>> drawing_length("00-07-07", "heel"), drawing_length("9-08-10", "height")
    (7.4375, 116.625)
    """
    return inches(value, what)


def half_steps(shown: Mapping[str, DrawingValue]) -> dict[str, float]:
    """How far each number may stand off the true one by rounding, by key: half the step it is written in (in; in 12).

    A drawing's lengths share the step of the finest fraction on it: one written in eighths is rounded to 1/8.  Decimals
    off the tape's marks have the step of their last place; none is finer than 1/16, no pitch finer than a hundredth.

    >>> half_steps(read_items({"heel": "8 7/8", "height": "9'-4 3/4", "pitch": "8.00"}))
    {'heel': 0.0625, 'height': 0.0625, 'pitch': 0.005}
    """
    tape = {(item_and_end(key)[0].name, one.value) for key, one in shown.items() if _on_tape(one.value)}
    tape = {(name, value) for name, value in tape if ITEMS[name].kind == "length"}
    broken = {value for name, value in tape if value % 1 and name not in ("bearing", "overhang")}
    coarse = STEPS if len(broken) >= FEW else STEPS[STEPS.index(1 / 8) :]
    step = next((s for s in coarse if all(not value % s for _, value in tape)), STEPS[-1]) if tape else STEPS[-1]
    return {key: _half_step(item_and_end(key)[0], one, step) for key, one in shown.items()}


def _on_tape(value: float) -> bool:
    return not value % STEPS[-1]


def _last_place(value: object) -> float:
    places = re.fullmatch(r"[^./]*\.([0-9]+)[^0-9/]*", value) if isinstance(value, str) else None
    return 10.0 ** -len(places[1]) if places else 0.0


def _half_step(item: DrawingItem, one: DrawingValue, step: float) -> float:
    if item.kind == "pitch":
        return PITCH_ROUNDING if not 4 * one.value % 1 else max(PITCH_ROUNDING, one.last / 2)
    return step / 2 if _on_tape(one.value) else max(LENGTH_ROUNDING, one.last / 2)


def read_items(source: object) -> dict[str, DrawingValue]:
    """The items of a returned drawing by key; InputError with a sentence for all that cannot be read.

    ``source`` is a mapping of item to value, the text of a CSV, or the path of one.  An item with an empty value counts
    as not shown.

    >>> {key: shown.value for key, shown in read_items("item,value,remark\\nheel,00-07-07,\\npitch,8.00,").items()}
    {'heel': 7.4375, 'pitch': 8.0}
    """
    problems: list[str] = []
    if isinstance(source, Mapping):
        rows: Iterable[ItemRow] = (ItemRow("", name, value) for name, value in source.items())
    else:
        rows = csv_rows(csv_source_text(source), problems)
    found = items_in_rows(rows, problems)
    if not found and not problems:
        problems.append("Returned drawing: it shows nothing; give at least one item and its value.")
    stop_on_few(problems)
    return found


def stop_on_few(problems: Sequence[str]) -> None:
    """InputError with the first ``MOST_SENTENCES`` of the problems, and how many more there are; none, and it is
    nothing.
    """
    more = len(problems) - MOST_SENTENCES
    stop_on(problems if more <= 0 else [*problems[:MOST_SENTENCES], f"and {more} more rows that cannot be used."])


def item_word(name: object) -> str:
    """An item's name as tables write it, in plain letters.

    >>> item_word("Roof pitch"), item_word(" HEEL (left) ")
    ('roof_pitch', 'heel_left')
    """
    return re.sub("[^a-z]+", "_", str(name).lower()).strip("_")


def is_blank(value: object) -> bool:
    """Whether a value says that an item is not shown."""
    return value is None or (isinstance(value, str) and value.strip().lower() in ("", "-", "not shown"))


def items_in_rows(rows: Iterable[ItemRow], problems: list[str]) -> dict[str, DrawingValue]:
    """The items of one drawing's rows by key; what cannot be read is added to the problems."""
    found: dict[str, DrawingValue] = {}
    for place, name, value, remark, _ in rows:
        key = item_word(name)
        if key not in NAMES:
            allowed = ", ".join(ITEMS)
            problems.append(
                f"{place}{short_text(name)}: no such item; items are {allowed}, with _left or _right for one end."
            )
            continue
        item, end = item_and_end(key)
        key = f"{item.name}_{end}" if end else item.name
        if is_blank(value):
            continue
        clash = next((k for k in (key, item.name, *(f"{item.name}_{e}" for e in ENDS if not end)) if k in found), None)
        if clash:
            problems.append(f"{place}{label(key)}: it stands more than once; keep one row of {clash}.")
            continue
        if said := text_problem(remark, LONGEST_REMARK, True):
            problems.append(f"{place}remark: {said}")
            continue
        try:
            number = _item_value(item, value, f"{place}{label(key)}")
            found[key] = DrawingValue(number, str(value).strip(), remark, _last_place(value))
        except InputError as error:
            problems += error.problems
    return found


def _item_value(item: DrawingItem, value: object, what: str) -> float:
    if isinstance(value, str) and re.match(r"'[-=+@]", value):
        value = value[1:]  # as our own exports keep a cell from being taken for a formula
    problems: list[str] = []
    if item.kind == "size":
        number = read_size("chord", value, problems)[1]
    else:
        row = Input(item.name, what, item.kind, item.low, item.high, hint=item.hint)
        number = row.read(value, problems, pitch if item.kind == "pitch" else drawing_length)
    stop_on(problems)
    return number


def short_text(value: object) -> str:
    """A text for a sentence, cut short."""
    text = " ".join(ascii(value)[1:-1].split() if isinstance(value, str) else ascii(value).split())
    return (text[:40] + "..." if len(text) > 40 else text) or "nothing"


# --- CSV -------------------------------------------------------------------------------------------------------------


def csv_source_text(source: object) -> str:
    """The text of a CSV: given itself (it has more than one line, or a separator), or read from its path."""
    if isinstance(source, str) and (re.search(r"[\n\r;,\t]", source) or not source.strip()):
        text = source
    elif isinstance(source, (str, os.PathLike)):
        path = Path(source)
        text = read_text(path, f"File {short_text(path.name)}", LARGEST)
    else:
        raise InputError(f"Returned drawing: a value of type {type(source).__name__} is no mapping, CSV text or path.")
    if len(text) > LARGEST:
        raise InputError(f"Returned drawing: longer than {LARGEST // 1_000_000} million characters.")
    return text.removeprefix("\ufeff")


def cells_too_many(cells: Sequence[str], width: int, value: int, mark: str, instead: str = "") -> str:
    """What is wrong with a row of more cells than the table has columns, and what it may mean, in words; else "".

    ``value`` is the column of its number; ``instead`` says what else to write where a whole number in the one after it
    is in doubt too.

    >>> print(cells_too_many(["heel", "8", "8125"], 2, 1, ","))
    heel,8,8125 looks like a decimal comma: 8.8125? Write it with a point.
    """
    whole, part = (cells[place].strip() if place < len(cells) else "" for place in (value, value + 1))
    more, row = any(cell.strip() for cell in cells[width:]), short_text(mark.join(cells))
    digits = re.fullmatch("[0-9]+", part)
    if mark == "," and (more or instead) and digits and re.fullmatch(r"-?(?:[0-9]+'[- ]*)?[0-9]+", whole):
        return f"{row} looks like a decimal comma: {whole}.{part}? Write it with a point{instead}."
    return f"{row} has {len(cells)} cells, the table {width} columns; put text with a {mark} in quotes." if more else ""


def csv_rows(text: str, problems: list[str]) -> Iterator[ItemRow]:
    """Every row that is not blank: item, value and remark, and the mark where the table has a column of marks.

    A table with a row a mark and a column an item gives a row for each of its cells.
    """
    lines = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip(" \t,;\0")]
    first = lines[0][1] if lines else ""
    mark = max(";\t,", key=first.count) if re.search("[;\t,]", first) else ","
    columns, width, wide = {"item": 0, "value": 1, "remark": 2}, 3, list[str]()
    for n, (number, line) in enumerate(lines):
        try:
            cells = [cell.strip() for cell in next(csv.reader([line.replace("\0", "")], delimiter=mark))]
        except csv.Error:
            problems.append(f"Line {number}: cannot be read as a row of a table.")
            continue
        low = [cell.lower() for cell in cells]
        if n == 0 and {"item", "value"} <= set(low):
            columns, width = {name: low.index(name) for name in (*columns, "mark") if name in low}, len(cells)
            continue
        if n == 0 and low[0] == "mark" and item_word("".join(low[1:2])) in (*NAMES, *HEAD):
            wide, width = cells[1:], len(cells)
            continue
        item, value, remark, own = (
            cells[columns[k]] if k in columns and columns[k] < len(cells) else ""
            for k in ("item", "value", "remark", "mark")
        )
        instead = ", and a remark in words" if columns.get("remark") == columns.get("value", 0) + 1 else ""
        place = (len(cells), "") if wide else (columns["value"], instead)
        if said := cells_too_many(cells, width, place[0], mark, place[1]):
            problems.append(f"Line {number}: {said}")
            continue
        if not wide:
            yield ItemRow(f"Line {number}, ", item, value, remark, own)
        for name, cell in zip(wide, cells[1:], strict=False):
            yield ItemRow(f"Line {number}, ", name, cell, "", cells[0])
