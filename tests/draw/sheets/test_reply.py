"""The reply as PDF and CSV: what it says, that it approves nothing, overwrites nothing and holds no spreadsheet
formula.

House of the examples; the heel is returned 1 in high, so height, depth and tail are too (worked by hand: 8 13/16 + 1,
8.8125 + 104 + 1 = 113.8125, and 8.8125 - 32/3 + 1 = -0.8542).
"""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

import rooflab as rl
from rooflab import InputError
from rooflab.draw.layout import fit
from rooflab.draw.paper import file_bytes
from rooflab.draw.sheets.reply import questions_of, reply_csv, reply_pages
from rooflab.draw.views.review import review_overlay
from rooflab.job.jobfile import example
from rooflab.shop.review import Review
from tests.tools.houses import RAFTERS, TRUSS

HIGH = "item,value,remark\nspan,26'\npitch,8\nheel,9 13/16,=SUM(A1)\nheight,113.8125\ntail_top,-0.8542\noverhang,16\n"


def high() -> Review:
    one = rl.review(TRUSS, HIGH, RAFTERS)
    assert isinstance(one, Review)
    return one


def reply_pdf(review: Review, *args: Any, **more: Any) -> bytes:
    return file_bytes(reply_pages(review, *args, **more), ".pdf")


def words(data: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())


def test_the_pdf_says_it_all() -> None:
    text = words(reply_pdf(high(), "House on the slope, type A", "Call before cutting.", ticked=[*range(1, 16)]))
    for part in (
        "House on the slope, type A", "8 13/16", "9 13/16", "RESOLVE", '13/16" high, square to the plane',
        "Call before cutting.", "16. Camber", "design intent only", "no approval", "page 1 of",
    ):  # fmt: skip
        assert part in text, part
    assert "15. Ceiling pitch" not in text


def test_it_never_approves() -> None:
    """An honest drawing gets no approval either."""
    honest = rl.review(TRUSS, {"heel": "8 13/16", "span": "26'"})
    for text in (words(reply_pdf(honest)), reply_csv(honest)):
        assert "This is no approval" in text.replace("\n", " ")
        assert text.lower().count("approv") == text.lower().count("no approval")


def test_questions_follow_from_the_review() -> None:
    asked = questions_of(high())
    assert asked[0].startswith('Heel: 9 13/16" returned, 8 13/16" asked for.')
    assert asked[-1].startswith("Not shown: ceiling pitch, bearing")
    text = words(reply_pdf(high(), questions=["Who measured?"]))
    assert "1. Who measured?" in text and "Which is meant" not in text


def test_the_csv_holds_no_formula_and_keeps_negative_lengths() -> None:
    rows = list(csv.reader(io.StringIO(reply_csv(high(), note="=1+1", questions=["+1", "@x", "-cmd"]))))
    cells = [cell for row in rows for cell in row]
    assert '-1 7/8"' in cells and '-7/8"' in cells  # top of tail: 8.8125 - 10.6667 = -1.854; returned -0.854
    assert {"'=1+1", "'=SUM(A1)", "'+1", "'@x", "'-cmd"} <= set(cells)
    assert not [cell for cell in cells if cell[:1] in "=+@\t\r" and cell]


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    for name in ("reply.pdf", "reply.csv"):
        path = rl.write_reply(high(), tmp_path / name, "A")
        before = path.read_bytes()
        with pytest.raises(rl.InputError, match="nothing is overwritten"):
            rl.write_reply(high(), path, "B")
        assert path.read_bytes() == before
    with pytest.raises(rl.InputError, match=r"\.pdf or \.csv"):
        rl.write_reply(high(), tmp_path / "reply.txt")
    with pytest.raises(rl.InputError, match="cannot be written"):
        rl.write_reply(high(), tmp_path / "none" / "reply.csv")


def test_the_same_record_gives_the_same_bytes() -> None:
    assert reply_pdf(high(), "A") == reply_pdf(high(), "A")


def test_long_texts_run_on_over_pages() -> None:
    data = reply_pdf(high(), "A" * 300, "A long note. " * 900)
    assert len(PdfReader(io.BytesIO(data)).pages) > 2
    assert words(data).count("long") == 900


# --- profiles laid over each other -----------------------------------------------------------------------------------


@pytest.mark.parametrize("times", [1, 5, 10])
def test_differences_are_drawn_larger(times: int) -> None:
    """A heel, peak and tail 1 in high stand `times` inches above those asked for; the plate and the spans stay."""
    strokes = {stroke.name: stroke.points for stroke in review_overlay(high(), times).strokes}
    for (x, y), (u, v) in zip(strokes["roof asked for"], strokes["roof returned"], strict=True):
        assert u == pytest.approx(x) and v - y == pytest.approx(times * 1.0, abs=1e-3 * times)
    assert sum(strokes["ceiling asked for"], ()) == pytest.approx(sum(strokes["ceiling returned"], ()))


def test_the_overlay_is_the_profile() -> None:
    """Corners by hand: tail (-16, -1.854), eave (0, 8.8125), peak (156, 112.8125); apex (156, 150.5/3)."""
    strokes = {stroke.name: stroke.points for stroke in review_overlay(high()).strokes}
    tail, eave, peak = strokes["roof asked for"][:3]
    assert (
        tail == pytest.approx((-16, 8.8125 - 32 / 3)) and eave == (0, 8.8125) and peak == pytest.approx((156, 112.8125))
    )
    assert strokes["ceiling asked for"][1] == pytest.approx((156, 150.5 / 3))


@pytest.mark.parametrize("size", [(532, 210), (796, 314)])
def test_the_overlay_has_room_for_its_sizes(size: tuple[int, int]) -> None:
    placed = fit(review_overlay(high(), 10), *size)
    assert {"span", "heel", "height"} <= {label.name for label in placed.labels}


def test_only_some_enlargements_are_drawn() -> None:
    for wrong in (0, 3, True, 1000, "5"):
        with pytest.raises(rl.InputError, match="1, 2, 5, 10, 20"):
            review_overlay(high(), wrong)  # type: ignore[arg-type]


def test_a_bare_carriage_return_begins_no_row(tmp_path: Path) -> None:
    """Read as RFC 4180 and as a program that ends a row at every return: no cell begins with a sign of a formula."""
    data = rl.write_reply(high(), tmp_path / "a.csv", note="ok\r=1+1", questions=["why\r\n@SUM(A1)"]).read_bytes()
    text = data.decode("utf-8-sig")
    cells = [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]
    assert "\r" not in text and "ok\n=1+1" in cells
    assert not any(cell.lstrip().startswith(tuple("=+@")) for cell in cells)
    assert "'\uff1d1+1" in reply_csv(high(), "\uff1d1+1")  # a wide sign is read as a plain one


@pytest.mark.parametrize("suffix", [".csv", ".pdf"])
@pytest.mark.parametrize("text", ["half \ud83d", "turned \u202e", "a" * 2001])
def test_words_that_no_file_can_carry_get_a_sentence(suffix: str, text: str, tmp_path: Path) -> None:
    for more in ({"note": text}, {"questions": [text]}, {"title": text}):
        with pytest.raises(InputError, match="cannot be used in it|up to 2000 characters") as caught:
            rl.write_reply(high(), tmp_path / f"a{suffix}", **more)
        assert len(caught.value.problems) == 1
    with pytest.raises(InputError, match="Line 2, remark: "):
        rl.review(example().scissor, f"item,value,remark\nheel,8,{text}")
    assert list(tmp_path.iterdir()) == []
