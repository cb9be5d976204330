"""What a returned drawing shows: its items, and how they are read from a mapping or a CSV of our own simple form.

The form has a row an item: item, value, remark.  Values stand as printed: trade text, feet-inches-sixteenths
(``00-07-07`` is 7 7/16), a pitch as a decimal.  What cannot be read without guessing is refused in a sentence.
"""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from math import inf
from pathlib import Path
from typing import Any, NamedTuple

from rooflab.base.inputs import Input, read_size, stop_on
from rooflab.base.measure import InputError, feet_inches, inches, pitch, pitch_text

LENGTH_ROUNDING = 1 / 32  # a length printed to the nearest 1/16 is off by at most this, in
PITCH_ROUNDING = 0.005  # a pitch printed to two decimals, in 12
LARGEST = 20_000_000  # characters of a CSV that are read
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


ITEMS: dict[str, DrawingItem] = {
    row.name: row
    for row in (
        DrawingItem("span", "Span", "length", False, True, 48, 2400, "A bare number is inches."),
        DrawingItem("pitch", "Roof pitch", "pitch", True, True, 0.25, 48),
        DrawingItem("ceiling_pitch", "Ceiling pitch", "pitch", True, True, 0, 48),
        DrawingItem("overhang", "Overhang", "length", True, True),
        DrawingItem("bearing", "Bearing", "length", True, True),
        DrawingItem("heel", "Heel", "length", True, True),
        DrawingItem("height", "Overall height", "length", False, False),
        DrawingItem("ceiling_rise", "Ceiling rise", "length", False, False),
        DrawingItem("depth_at_peak", "Depth at the peak", "length", False, False),
        DrawingItem("tail_top", "Top of tail", "length", True, False, -inf),
        DrawingItem("plate", "Plate", "length", True, True, -inf),
        DrawingItem("chord", "Top chord", "size", False, True),
    )
}
NAMES = {
    key: (item.name, end)
    for item in ITEMS.values()
    for end in (("", *ENDS) if item.ends else ("",))
    for base in (item.name, re.sub("[^a-z]+", "_", item.label.lower()))
    for key in ({f"{base}_{end}", f"{end}_{base}"} if end else {base})
}


class DrawingValue(NamedTuple):
    """A value on a drawing: the number, the text it was read from, and the remark beside it."""

    value: float
    text: str
    remark: str = ""


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


def read_items(source: object) -> dict[str, DrawingValue]:
    """The items of a returned drawing by key; InputError with a sentence for all that cannot be read.

    ``source`` is a mapping of item to value, the text of a CSV, or the path of one.  An item with an empty value counts
    as not shown.

    >>> {key: shown.value for key, shown in read_items("item,value,remark\\nheel,00-07-07,\\npitch,8.00,").items()}
    {'heel': 7.4375, 'pitch': 8.0}
    """
    found: dict[str, DrawingValue] = {}
    problems: list[str] = []
    if isinstance(source, Mapping):
        rows: Iterable[tuple[str, Any, Any, str]] = (("", name, value, "") for name, value in source.items())
    else:
        rows = _csv_rows(csv_source_text(source), problems)
    for place, name, value, remark in rows:
        key = re.sub("[^a-z]+", "_", str(name).lower()).strip("_")
        if key not in NAMES:
            allowed = ", ".join(ITEMS)
            problems.append(
                f"{place}{_short(name)}: no such item; items are {allowed}, with _left or _right for one end."
            )
            continue
        item, end = item_and_end(key)
        key = f"{item.name}_{end}" if end else item.name
        if value is None or (isinstance(value, str) and value.strip().lower() in ("", "-", "not shown")):
            continue
        clash = next((k for k in (key, item.name, *(f"{item.name}_{e}" for e in ENDS if not end)) if k in found), None)
        if clash:
            problems.append(f"{place}{label(key)}: it stands more than once; keep one row of {clash}.")
            continue
        try:
            found[key] = DrawingValue(_item_value(item, value, f"{place}{label(key)}"), str(value).strip(), remark)
        except InputError as error:
            problems += error.problems
    if not found and not problems:
        problems.append("Returned drawing: it shows nothing; give at least one item and its value.")
    more = len(problems) - MOST_SENTENCES
    stop_on(problems if more <= 0 else [*problems[:MOST_SENTENCES], f"and {more} more rows that cannot be used."])
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


def _short(value: object) -> str:
    text = " ".join(ascii(value)[1:-1].split() if isinstance(value, str) else ascii(value).split())
    return (text[:40] + "..." if len(text) > 40 else text) or "nothing"


# --- CSV -------------------------------------------------------------------------------------------------------------


def csv_source_text(source: object) -> str:
    """The text of a CSV: given itself (it has more than one line, or a separator), or read from its path."""
    if isinstance(source, str) and (re.search(r"[\n\r;,\t]", source) or not source.strip()):
        text = source
    elif isinstance(source, (str, os.PathLike)):
        path = Path(source)
        try:
            if path.stat().st_size > LARGEST:
                raise InputError(f"File {path.name}: larger than {LARGEST // 1_000_000} MB, so it is no such table.")
            text = path.read_text(encoding="utf-8-sig")
        except (OSError, ValueError) as error:
            if isinstance(error, InputError):
                raise
            why = (
                "it is no text in UTF-8"
                if isinstance(error, UnicodeDecodeError)
                else getattr(error, "strerror", "") or error
            )
            raise InputError(f"File {_short(path.name)}: cannot be read ({why}).") from None
    else:
        raise InputError(f"Returned drawing: a value of type {type(source).__name__} is no mapping, CSV text or path.")
    if len(text) > LARGEST:
        raise InputError(f"Returned drawing: longer than {LARGEST // 1_000_000} million characters.")
    return text.removeprefix("\ufeff")


def _csv_rows(text: str, problems: list[str]) -> Iterator[tuple[str, str, str, str]]:
    """Place, item, value and remark of every row that is not blank."""
    lines = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip(" \t,;\0")]
    first = lines[0][1] if lines else ""
    mark = max(";\t,", key=first.count) if re.search("[;\t,]", first) else ","
    columns = {"item": 0, "value": 1, "remark": 2}
    for n, (number, line) in enumerate(lines):
        try:
            cells = [cell.strip() for cell in next(csv.reader([line.replace("\0", "")], delimiter=mark))]
        except csv.Error:
            problems.append(f"Line {number}: cannot be read as a row of a table.")
            continue
        low = [cell.lower() for cell in cells]
        if n == 0 and {"item", "value"} <= set(low):
            columns = {name: low.index(name) for name in columns if name in low}
            continue
        item, value, remark = (
            cells[columns[k]] if k in columns and columns[k] < len(cells) else "" for k in ("item", "value", "remark")
        )
        if mark == "," and re.fullmatch("[0-9]+", remark) and re.fullmatch(r"[-0-9 ']+", value):
            problems.append(
                f"Line {number}: {value},{remark} looks like a decimal comma; write {value}.{remark}, or put "
                f"the remark in words."
            )
            continue
        yield f"Line {number}, ", item, value, remark
