"""Three hundred damaged job files through all that reads one: a sentence with the place, and the file as it was."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

import pytest

from rooflab import InputError, live
from rooflab.job.jobfile import Job, example
from rooflab.job.option import Option, with_options
from rooflab.job.writing import change
from tests.tools.depth import QUICK

WHOLE = with_options(replace(example(), notes=("a note",), grade="HF No.2"), [Option("A", seat="3"), Option("B")])
TEXT = json.dumps(WHOLE.document(), indent=2).encode()
WRONG: tuple[Any, ...] = (
    None, [], {}, [[]], {"a": {"b": []}}, True, -1, 1e300, "", "x" * 3000, "\u202e", "\x00", "nowhere",
)  # fmt: skip
NUMBERS = ("NaN", "Infinity", "-Infinity", "1e999", "9" * 400, "9" * 5000, "-0.0e", "0x10", "1_0")


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every value in plain values."""
    if path:
        yield path
    if isinstance(value, (dict, list)):
        for key, one in value.items() if isinstance(value, dict) else enumerate(value):
            yield from places(one, (*path, key))


def with_value(path: tuple[Any, ...], new: Any) -> bytes:
    document = json.loads(TEXT)
    inner = document
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = new
    return json.dumps(document).encode()


def damaged(chance: random.Random) -> bytes:
    """One more damaged file: cut, bytes changed, another kind of value, nested deep, named twice, no number."""
    way, path = chance.randrange(6), chance.choice(list(places(json.loads(TEXT))))
    if way == 0:
        return TEXT[: chance.randrange(len(TEXT))]
    if way == 1:
        data = bytearray(TEXT)
        for _ in range(chance.randint(1, 8)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        return bytes(data)
    if way == 2:
        return with_value(path, chance.choice(WRONG))
    if way == 3:
        deep = chance.choice((50, 5_000, 100_000))
        return with_value(path, "HERE").replace(b'"HERE"', b"[" * deep + b"]" * chance.choice((0, deep)))
    if way == 4:
        names = re.findall(rb'"[a-z_]+": ', TEXT)
        name = chance.choice(names)
        return TEXT.replace(name, name + b'"twice", ' + name, 1)
    return with_value(path, "HERE").replace(b'"HERE"', chance.choice(NUMBERS).encode())


def problems_of(path: Path) -> tuple[str, ...]:
    try:
        Job.load(path)
    except InputError as error:
        return error.problems
    return ()


def test_three_hundred_damaged_files_through_every_reader(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Load, change, a cell's house, both forms, the table before and after it is opened, the room's own house."""
    monkeypatch.chdir(tmp_path)
    path, chance, shown = tmp_path / "house.json", random.Random(13), list[Any]()
    monkeypatch.setattr("rooflab.live.widgets.job_desk.display", shown.append)
    WHOLE.save(path)
    panel = live.one_plane(**live.start(WHOLE))
    panel.set(seat="3")
    words, numbers = live.words(WHOLE), live.save(panel)
    table, room = live.together(WHOLE), live.room("01", tmp_path)
    for what, name, value in (("go", "", "5"), ("set", "date", "1 May"), ("go", "", "next"), ("go", "", "next")):
        table.do(what, name, value)
    room.press("go", "1")
    count = 0
    while count < (60 if QUICK else 300):
        data = damaged(chance)
        path.write_bytes(data)
        told = problems_of(path)
        if not told:  # a letter of the title, an option more: no damage
            continue
        count += 1
        assert all(one.endswith(".") and "\n" not in one and len(one) < 900 for one in told), told
        assert all("house.json" in one or re.match(r"[a-z_]+[\[:.]|and [0-9]", one) for one in told), told
        with pytest.raises(InputError) as found:
            change(path, WHOLE, replace(WHOLE, title="x"))
        assert found.value.problems == told
        assert live.job() == example() and repr(shown.pop()).startswith(told[0])
        for desk in (words, numbers):
            assert desk.press("save").startswith("<b>Not done.</b> "), data[:200]
        assert told[0] in table.do("press", "write")
        if count % 10 == 0:
            assert told[0] in live.together(live.job()).page["sentence"]
        assert f"house.json cannot be used here: {escape(told[0])}" in room.press("house")["hint"]
        room.press("house")  # back to the lesson's
        assert path.read_bytes() == data and [one.name for one in tmp_path.iterdir()] == ["house.json"]
    WHOLE.save(path)
    assert words.press("save", title="Mine").startswith("<b>Written to") and Job.load(path).title == "Mine"
