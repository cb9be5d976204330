"""Whatever is typed or pasted is read in time that grows with its length and no faster, or refused."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from time import process_time

import pytest

from rooflab import InputError, inches, pitch
from rooflab.base.inputs import plain_number
from rooflab.base.lumber import dressed_size
from rooflab.checks.grades import QUANTITIES
from rooflab.job.values import chords, stock
from rooflab.lessons.questions import read_answer
from rooflab.live.meeting.controls import typed_values
from rooflab.live.meeting.record import pairs, split
from rooflab.live.topics.reply import movements_of
from rooflab.live.topics.review import checking
from rooflab.live.widgets.controls import quantity_control
from rooflab.shop.field import measurement_rows
from rooflab.shop.items import read_items

REVIEW = checking("honest").responder.state.review
SNOW = quantity_control(next(iter(QUANTITIES)), "Snow", 0, 100, 1, "20")
READERS: dict[str, Callable[[str], object]] = {
    "length": inches,
    "pitch": pitch,
    "number": lambda text: plain_number(text, "Number"),
    "size": dressed_size,
    "load box": lambda text: SNOW.value(text, []),
    "answer in degrees": lambda text: read_answer(text, "degrees"),
    "answer in percent": lambda text: read_answer(text, ""),
    "answer in pounds": lambda text: read_answer(text, "lb", False),
    "item of a drawing": lambda text: read_items({"pitch": text, text: "8"}),
    "drawing pasted": lambda text: read_items(f"item,value\nheel,{text}\n{text},8\n"),
    "rows measured": lambda text: measurement_rows(f"{text},8\n", ("heel",), 1),
    "rafter": stock,
    "chords": chords,
    "option's rafter": lambda text: typed_values("lumber", text),
    "option's bearing": lambda text: typed_values("bearing", text),
    "option's pitch": lambda text: typed_values("pitch", text),
    "movement": lambda text: movements_of(REVIEW, {"deflection_total": text}),
    "open points": pairs,
    "list": split,
}
PARTS = (
    " ", "\t", "\n", "\u00a0", "0", "9", "1 ", "1.", "1-", "1/", ".", "-", "'", "/", "x", "R", "R-",
    "a", "in", ";", ",", "\u00bd", "\u202e",
)  # fmt: skip


@pytest.mark.parametrize("reader", READERS)
def test_no_text_takes_longer_than_its_length_says(reader: str) -> None:
    """Four times the text takes some four times as long; a search that turns back at each letter takes sixteen."""

    def seconds(text: str) -> float:
        begin = process_time()
        with suppress(InputError):
            READERS[reader](text)
        return process_time() - begin

    for part in PARTS:
        for first, last in (("", ""), ("1", "1"), ("1", "q"), ("", "1")):
            short, long = (f"{first}{part * (n // len(part))}{last}" for n in (1500, 6000))
            if seconds(long) > 0.02:  # else it is soon done
                grown = min(seconds(long) for _ in range(3))
                assert grown < 9 * min(seconds(short) for _ in range(3)), (part, first, last)
