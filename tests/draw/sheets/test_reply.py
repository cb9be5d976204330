"""The reply as PDF and CSV: what it says, that it approves nothing, overwrites nothing and holds no spreadsheet
formula.

House of the examples; the heel is returned 1 in high, so height, depth and tail are too (worked by hand: 8 13/16 + 1,
8.8125 + 104 + 1 = 113.8125, and 8.8125 - 32/3 + 1 = -0.8542).
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest
from pypdf import PdfReader

import rooflab as rl
from rooflab import InputError
from rooflab.draw.layout import fit
from rooflab.draw.paper import file_bytes
from rooflab.draw.sheets.reply import (
    ACTIONS,
    FOOT,
    TO_DO,
    Reply,
    action_of,
    movement_words,
    questions_of,
    reply_csv,
    reply_pages,
)
from rooflab.draw.views.review import overlay_note, review_overlay
from rooflab.house.bays import Jog
from rooflab.job.jobfile import example
from rooflab.job.schedule import TrussType
from rooflab.shop.causes import items_of, symbols_of_truss
from rooflab.shop.items import item_and_end, label
from rooflab.shop.review import RESOLVE, Review
from tests.tools.depth import cases
from tests.tools.houses import RAFTERS, TRUSS
from tests.tools.jobs import house
from tests.tools.pages import faults

HIGH = "item,value,remark\nspan,26'\npitch,8\nheel,9 13/16,=SUM(A1)\nheight,113.8125\ntail_top,-0.8542\noverhang,16\n"


def high() -> Review:
    one = rl.review(TRUSS, HIGH, RAFTERS)
    assert isinstance(one, Review)
    return one


def reply_pdf(review: Review, *args: Any, **more: Any) -> bytes:
    return file_bytes(reply_pages(Reply(review, *args, **more)), ".pdf")


def words(data: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())


def test_the_pdf_says_it_all() -> None:
    text = words(reply_pdf(high(), "House on the slope, type A", "Call before cutting.", ticked=[*range(1, 16)]))
    for part in (
        "House on the slope, type A", "8 13/16", "9 13/16", "[X] CORRECT AND RESUBMIT",
        '13/16" too high, square to the plane',
        "Call before cutting.", "16. Camber", "design intent only", "no approval", "page 1 of",
    ):  # fmt: skip
        assert part in text, part
    assert "15. Ceiling pitch" not in text and "RESOLVE" not in text


def test_it_never_approves() -> None:
    """An honest drawing gets no approval either."""
    honest = rl.review(TRUSS, {"heel": "8 13/16", "span": "26'"})
    for text in (words(reply_pdf(honest)), reply_csv(Reply(honest))):
        assert "This is no approval" in text.replace("\n", " ")
        assert text.lower().count("approv") == text.lower().count("no approval")


def test_questions_follow_from_the_review() -> None:
    """The heel alone is 1" off of itself: height and tail follow from it, and go with it in one question."""
    (asked,) = questions_of(high())
    assert asked.startswith('Heel: drawing shows 9 13/16". Required 8 13/16". Correct, or tell us why.')
    assert 'Top of tail: drawing shows 7/8" below plate. Required 1 7/8" below plate.' in asked
    assert "Overall height: drawing shows 9'-5 13/16\". Required 9'-4 13/16\"." in asked
    text = words(reply_pdf(high(), questions=["Who measured?"]))
    assert "1. Who measured?" in text and "or tell us why" not in text
    assert 'Not shown: ceiling pitch (required 4 in 12), bearing (required 5 1/2")' in text


def test_one_question_a_cause() -> None:
    """A heel of 9.25 x 1.20185 = 11.117, 11 1/8: the 2x10's plumb depth with no birdsmouth.  All that follows from it
    is in that question; a bearing 2 in narrower stands on its own and has another.
    """
    drawn = {"heel": 11.125, "height": "9'-7 1/8\"", "tail_top": '7/16"', "pitch": 8, "span": "26'", "overhang": 16}
    (one,) = questions_of(rl.review(TRUSS, drawn, RAFTERS))
    assert one.startswith('Heel: drawing shows 11 1/8". Required 8 13/16". Correct, or tell us why.')
    assert "11 1/8\" equals the rafter's full plumb depth, with no birdsmouth" in one
    two = questions_of(
        rl.review(TRUSS, {**drawn, "heel": 9.3125, "overhang": 19.6875, "height": "9'-5 5/16\""}, RAFTERS)
    )
    assert [text.partition(":")[0] for text in two][:2] == ["Overhang", "Heel"]
    assert "unknown" not in " ".join(two)


def test_both_ends_alike_are_one_question() -> None:
    asked = questions_of(rl.review(TRUSS, {"pitch": 8.25, "heel_left": 9, "heel_right": 9.5}))
    assert asked[0].startswith("Roof pitch: drawing shows 8 1/4 in 12. Required 8 in 12.")
    assert [text.partition(":")[0] for text in asked] == ["Roof pitch", "Heel, left", "Heel, right"]


def test_the_chord_is_the_shops() -> None:
    """Its size is free on the profile sheet: only the depth of the tail is asked for."""
    review = rl.review(TRUSS, {**items_of(symbols_of_truss(TRUSS)), "chord": "2x6"})
    (asked,) = questions_of(review)
    assert asked.startswith("Top chord: drawing shows 2x6, ours 2x4. Its size is yours to choose: tell us")
    assert "tell us why" not in asked and action_of(review) == "correct as noted"


def test_what_to_do_follows_from_the_review() -> None:
    """Nothing off: no exceptions; a reading not shown: as noted; a number off, or an input not shown: send again."""
    every = {"span": "26'", "pitch": 8, "ceiling_pitch": 4, "overhang": 16, "bearing": 5.5, "heel": "8 13/16",
             "height": "9'-4 13/16", "ceiling_rise": "4'-2 3/16", "depth_at_peak": "5'-2 5/8",
             "tail_top": "-1 7/8"}  # fmt: skip
    less = {name: value for name, value in every.items() if name != "height"}
    for drawn, ticked, moved, wanted in (
        (every, (), (), "no exceptions"),
        (every, range(1, 17), rl.movement(312, 1, 1, 1, 0.5), "no exceptions"),
        (less, (), (), "correct as noted"),
        (every, range(1, 16), (), "correct as noted"),
        (every, (), rl.movement(312, 1, 1), "correct as noted"),
        (every, range(2, 17), (), "correct and resubmit"),
        (every, (), rl.movement(312, 1, 1.5, 1, 0.5), "correct and resubmit"),  # more than 312/240 = 1.3
        ({**every, "heel": 9}, (), (), "correct and resubmit"),
        ({"span": "26'", "pitch": 8}, (), (), "correct and resubmit"),
    ):
        review = rl.review(TRUSS, drawn)
        assert action_of(review, tuple(ticked), moved) == wanted, (drawn, ticked)
        text = words(reply_pdf(review, ticked=tuple(ticked), moved=moved))
        assert text.count("[X]") == 1 and f"[X] {wanted.upper()}" in text and TO_DO[wanted] in text


def test_the_architect_decides() -> None:
    text = words(reply_pdf(high(), action="correct as noted"))
    assert "[X] CORRECT AS NOTED" in text and "Make nothing yet" not in text
    with pytest.raises(InputError, match="say in the note why they may"):
        Reply(high(), action="no exceptions")
    stands = words(reply_pdf(high(), note="The rafters are raised to it.", action="no exceptions"))
    assert "Stands, see the architect's note." in stands and "or tell us why" not in stands
    with pytest.raises(InputError, match="no exceptions or correct as noted or correct and resubmit"):
        Reply(high(), action="approved")
    with pytest.raises(InputError, match="Letter: 'fax' is not one of to, sender, date"):
        Reply(high(), letter={"fax": "1"})


def test_no_verdict_beside_an_engineering_figure() -> None:
    """312/240 = 1.30 in (ANSI/TPI 1, sec. 7.6); a limit from memory is asked for, not printed."""
    moved = rl.movement(312, live=0.5, total=2, sideways_live=0.5)
    said = [movement_words(one) for one in moved]
    assert said[1] == "Deflection, live (L/240): stated 0.50 in; usual limit 1.30 in (ANSI/TPI 1, sec. 7.6)."
    assert "More than is usual: tell us why it may be." in said[0]
    assert said[3] == "Horizontal movement at the bearing, live: stated 0.50 in. State the limit that it is held to."
    for text in (*said, words(reply_pdf(high(), moved=moved)), reply_csv(Reply(high(), moved=moved))):
        assert not {"meets", "misses", "verify)", "memory"} & set(text.lower().replace(",", " ").split())


def test_the_csv_holds_no_formula_and_keeps_negative_lengths() -> None:
    rows = list(csv.reader(io.StringIO(reply_csv(Reply(high(), note="=1+1", questions=["+1", "@x", "-cmd"])))))
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
    data = reply_pdf(high(), "A" * 300, questions=["A long note. " * 150] * 6)
    assert len(PdfReader(io.BytesIO(data)).pages) > 2
    assert words(data).count("long") == 900


def test_a_wrong_pitch_at_both_ends_is_one_number() -> None:
    """7 1/2 in 12 at each end of the example, all else as required: pitch 8 alone repairs it.  By hand, height
    8 13/16 + 156 x 7.5/12 = 106.3125 = 8'-10 5/16"; tail 8 13/16 - 16 x 7.5/12 = -1.1875, 1 3/16" below the plate.
    """
    review = rl.review(TRUSS, WRONG_PITCH)
    assert [(one.item, one.by_design) for one in review.repairs] == [("pitch", True)]
    assert [one.items[-1] for one in review.contradictions] == ["height", "tail_top"]  # not a tail for each end
    (asked,) = questions_of(review)
    lines = (
        "Overall height: shown 9'-4 13/16\"; your span, roof pitch and heel give 8'-10 5/16\".",
        'Top of tail: shown 1 7/8" below plate; your roof pitch, overhang and heel give 1 3/16" below plate.',
        "One number, changed alone, would repair all: roof pitch 8 in 12 (as required).",
    )
    assert asked.splitlines()[-3:] == list(lines)
    text = words(reply_pdf(review))
    assert all(line in text and line in reply_csv(Reply(review)).replace('""', '"') for line in lines)
    assert "cannot all be true" not in text and "at least two" not in text


WRONG_PITCH = {
    "span": "26'", "pitch_left": "7 1/2", "pitch_right": "7 1/2", "ceiling_pitch": 4, "overhang": 16, "bearing": 5.5,
    "heel": "8 13/16", "height": "9'-4 13/16", "ceiling_rise": "4'-2 3/16", "depth_at_peak": "5'-2 5/8",
    "tail_top": "-1 7/8",
}  # fmt: skip


def test_each_row_tells_its_own_effect_and_the_letter_the_sum_once() -> None:
    """Span 24 in and heel 1 1/2 in more, 8 in 12: the span alone raises ridge 24/2 x 2/3 = 8 in; the heel alone 1 1/2
    plumb, 1.5 / 1.20185 = 1.248 square; together 9 1/2 at the ridge and at both walls.
    """
    review = rl.review(TRUSS, {"span": "28'", "heel": "10 5/16"})
    effects = {line.item: line.consequence for line in review.of(RESOLVE)}
    assert 'the ridge is 8" high' in effects["span"]
    assert '1 1/4" high, square to the plane; eave and ridge 1 1/2" plumb' in effects["heel"]
    assert review.together == 'Together, by the span and heel shown: the ridge is 9 1/2" high, both eaves 9 1/2" high.'
    assert words(reply_pdf(review)).count("9 1/2") == 2 and rl.review(TRUSS, {"heel": 9.5}).together == ""


def test_the_csv_begins_with_the_head() -> None:
    rows = list(csv.reader(io.StringIO(reply_csv(Reply(high(), "House", letter=LETTER)))))
    head = "job,to,from,date,drawing number,drawing date,truss mark,reviewed by"
    assert [row[0] for row in rows[1:9]] == head.split(",")
    assert rows[1][5] == "House" and [row[0] for row in rows].index("Span") > 8


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


def test_a_wrong_pitch_is_not_drawn_on_the_required_roof() -> None:
    """The height shown is the required one; from the heel at 7 1/2 in 12 the peak is at 106.3125, the tail -1.1875."""
    scene = review_overlay(rl.review(TRUSS, WRONG_PITCH))
    tail, _, peak = {line.name: line.points for line in scene.strokes}["roof returned"][:3]
    assert peak == pytest.approx((156, 106.3125)) and tail == pytest.approx((-16, -1.1875))
    note = "Drawn dashed as span, heels and pitches shown give it, not as printed: overall height, top of tail."
    review = rl.review(TRUSS, WRONG_PITCH)
    assert overlay_note(review) == note and note in words(reply_pdf(review))
    assert overlay_note(high()) == ""


def test_an_honest_letter_names_no_differences_enlarged() -> None:
    review = rl.review(TRUSS, {**WRONG_PITCH, "pitch_left": 8, "pitch_right": 8})
    letter = words(file_bytes(reply_pages(Reply(review), 5), ".pdf"))
    assert "times as large" not in letter and "DASHED" not in letter and "Agrees with design intent:" in letter


def test_the_overlay_stands_on_its_walls() -> None:
    """A left wall set in 24": the roof's eave point is over that wall's outside face, 24" in from the planes' zero."""
    bay = TrussType("B", 96.0, jog=Jog("left", 24.0, 3.5)).bay(TRUSS)
    scene = review_overlay(rl.review(bay, {"span": "24'"}))
    eave = {line.name: line.points for line in scene.strokes}["roof asked for"][1]
    assert eave[0] == pytest.approx(24.0)
    plates = [x for shape in scene.shapes if shape.name == "left wall plate" for x, _ in shape.points]
    assert min(plates) == pytest.approx(eave[0])
    dims = {dim.name: dim for dim in scene.dims}
    assert dims["heel"].a[0] == pytest.approx(24.0) and dims["span"].b[0] == pytest.approx(312.0)


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
    assert "'\uff1d1+1" in reply_csv(Reply(high(), note="\uff1d1+1"))  # a wide sign is read as a plain one


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


# --- the letter as the shop reads it ---------------------------------------------------------------------------------

LETTER = {
    "to": "Valley Truss Shop, attention of S. Miller", "sender": "Office of A. Person, architect",
    "date": "24 November 2026", "drawing": "T-1043, sheet 2", "drawing_date": "20 November 2026", "mark": "B2",
    "reviewed_by": "A. Person",
}  # fmt: skip


def random_reviews(count: int) -> Iterator[tuple[Review, Random]]:
    """Returned drawings of random jobs: unequal ends, walls set in and out, some numbers off, some not shown."""
    chance = Random(14)
    while count:
        pitch = chance.choice((4, 6, 8, 12, (8, 6), (10, 12)))
        lumber, span = chance.choice(("2x8", "2x10", "2x12")), chance.randrange(200, 480, 4)
        more = {"plates": (97.125, 97.125 + chance.choice((0, 0, 24, -18)))}
        jog = Jog(chance.choice(("left", "right")), chance.choice((24, 12, -12)), chance.choice((3.5, 5.5)))
        try:
            job = house(span, pitch, chance.choice((0, 12, 16, (16, 24))), lumber, chance.choice((2, 3, (3, 2))),
                        [TrussType("A", 240, gable_ends=1), TrussType("B", 96, jog=jog)], **more)  # fmt: skip
            kind = chance.choice(job.types)
            bay = kind.bay(job.scissor)
        except InputError:
            continue
        asked = items_of(symbols_of_truss(bay, job.rafters))
        honest = count % 3 == 0  # and then now and then a reading is not shown
        unseen = ("height" if count % 2 else "") if honest else chance.choice(sorted(asked))
        shown = {key: value for key, value in asked.items() if key != unseen}
        for key in chance.sample(sorted(shown), 0 if honest else chance.randrange(4)):
            shown[key] = max(0.25, shown[key] + chance.choice((-2.25, 1, 0.5, 3.1875)))
        try:
            yield rl.review(bay, shown, job.rafters), chance
        except InputError:
            continue
        count -= 1


def test_the_shop_finds_every_fact() -> None:
    """30 random jobs: head, what to do, each figure required and shown, each question, scope and foot are in the text
    of the PDF; no text is on another, none is small, none is cut with dots.
    """
    seen: Counter[str] = Counter()
    for review, chance in random_reviews(cases(30)):
        off = review.of(RESOLVE)
        ticked = chance.sample(range(1, 17), chance.choice((0, 9, 16) if off else (0, 16)))
        moved = rl.movement(review.truss[0]["span"], total=1, live=1.5) if off and chance.random() < 0.5 else ()
        reply = Reply(review, "House on the slope", "Call first.", None, ticked, moved, LETTER)
        pages = reply_pages(reply)
        text = words(file_bytes(pages, ".pdf"))
        facts = [*LETTER.values(), "House on the slope", "Call first.", "no approval", FOOT, TO_DO[reply.action],
                 "relieves nobody of their responsibility", "Trusses are not cut", f"page {len(pages)} of"]  # fmt: skip
        facts += [f"{n}. {one}" for n, one in enumerate(reply.questions, 1)]
        for line in review.lines:
            kind = item_and_end(line.item)[0]
            values = [line.intended, *([] if line.returned is None else [line.returned])]
            facts += [kind.text(abs(value)) if value else label(line.item)[1:] for value in values]
            if line.verdict == RESOLVE:
                facts += line.consequence.split()
                seen["resolve"] += 1
        for fact in facts:
            assert " ".join(fact.split()) in text or all(word in text for word in fact.split()), fact
        assert text.count("[X]") == 1 and all(one.upper() in text for one in ACTIONS)
        assert "..." not in text and "unknown" not in text and "None" not in text and "slip" not in text.lower()
        for page in pages:
            assert not [said for said in faults(page) if "wider than thought" not in said]
            assert min(label.size for label in page.labels) >= 8
        seen[reply.action] += 1
    assert seen["resolve"] > 6 and all(seen[one] for one in ACTIONS), seen


def test_what_is_not_given_is_a_line_for_a_pen() -> None:
    (first, *_) = reply_pages(Reply(high()))
    names = {label.text: label for label in first.labels}
    pens = [line.points for line in first.strokes if line.name == "rule" and line.points[0][0] > names["To:"].x + 60]
    for name in ("To:", "From:", "Job:", "Reviewed by:", "Date:", "Drawing number:", "Drawing date:", "Truss mark:"):
        y = names[name].y
        assert any(abs(points[0][1] - y) < 8 and points[1][0] - points[0][0] > 120 for points in pens), name


def test_long_words_in_the_head_are_wrapped() -> None:
    long = {name: f"{name} " + "of a long name " * 7 for name in LETTER}
    pages = reply_pages(Reply(high(), "J" * 120, letter=long))
    text = words(file_bytes(pages, ".pdf"))
    assert text.count("of a long name") == 7 * len(LETTER) and "..." not in text
    assert [said for page in pages for said in faults(page)] == []
    with pytest.raises(InputError, match="To: "):
        Reply(high(), letter={"to": "T" * 121})
