"""Returned drawings of a whole job: read from tables and folders, held together, against the return before, and kept.

House of the examples, 26'-0" at 8 in 12 with heels of 8 13/16, and its short types on walls that are set in; numbers by
hand: the heel on a wall set in by 24 in stands 8 13/16 + 24 x 8/12 = 24.8125 above the main plate, less a plate of
7 5/16 (4/12 x (24 + 3 1/2 - 5 1/2) = 7.3333) it is 1'-5 1/2".
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rooflab import InputError
from rooflab.job.jobfile import Job
from rooflab.shop.items import KEYS
from rooflab.shop.returns import (
    SAMPLE,
    Drawing,
    Record,
    read_folder,
    read_return,
    return_table,
    review_returns,
    sample_return,
)
from rooflab.shop.review import AGREES, NOT_SHOWN, RESOLVE
from tests.tools.jobs import corners
from tests.tools.returned import FIVE_JOB, FIVE_RETURNED

# --- read ------------------------------------------------------------------------------------------------------------


def test_one_paste_holds_a_whole_return() -> None:
    found = read_return(FIVE_RETURNED, FIVE_JOB)
    assert list(found) == ["A", "B", "C", "D", "T7 of Birch House"]
    assert found["B"].values["heel_left"] == "01-04-13" and found["A"].head["drawing"] == "S-101"
    assert read_return(return_table({mark: found[mark] for mark in "ABCD"}), FIVE_JOB) == {m: found[m] for m in "ABCD"}


@pytest.mark.parametrize(
    "table",
    [
        "mark,heel,span\nA,00-08-13,26-00-00\ntype b,01-05-08,",
        "item,value,remark,mark\nheel,00-08-13,,A\nheel,01-05-08,,B\nspan,26-00-00,,A",
        "mark,A\nheel,00-08-13\nspan,26-00-00\nmark,B\nheel,01-05-08",
        "item\tvalue\nType\ta\nHeel\t00-08-13\nSpan\t26-00-00\nTruss mark\tB\nheel\t01-05-08",
    ],
)
def test_the_same_return_in_each_form(table: str) -> None:
    found = read_return(table, FIVE_JOB)
    assert {mark: one.values for mark, one in found.items()} == {
        "A": {"heel": "00-08-13", "span": "26-00-00"}, "B": {"heel": "01-05-08"},
    }  # fmt: skip


def test_a_table_without_marks_is_the_drawing_that_it_is_said_to_be() -> None:
    assert list(read_return("heel,8 13/16\nspan,26'", FIVE_JOB, "C")) == ["C"]
    with pytest.raises(InputError, match="no mark says whose drawing"):
        read_return("heel,8 13/16\nspan,26'", FIVE_JOB)


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("mark,A\nheel,8\nmark,A\nheel,9", "Mark A: it came back twice"),
        ("mark,A\nheal,8", "heal: no such item"),
        ("mark,A\nheel,8 feet and more", "Line 2, Heel"),
        ("mark,A\nheel,8\nheel_left,9", "more than once"),
        ("mark,\nheel,8", "mark: it is empty"),
        ("mark,A\n", "Mark A: its drawing shows no number"),
        ("", "shows nothing"),
        ("mark,heel,span\nA,8,26',9", "4 cells"),
    ],
)
def test_what_cannot_be_read_is_said_and_nothing_taken(table: str, said: str) -> None:
    with pytest.raises(InputError, match=said) as error:
        read_return(table, FIVE_JOB)
    assert all(one.endswith((".", "?")) for one in error.value.problems)


def test_many_mistakes_are_few_sentences() -> None:
    with pytest.raises(InputError) as error:
        read_return("mark,A\n" + "".join(f"foo{n},1\n" for n in range(500)), FIVE_JOB)
    assert len(error.value.problems) <= 13 and "more rows" in error.value.problems[-1]


def test_a_folder_of_files_is_a_return(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="not there"):
        read_folder(tmp_path / "none", FIVE_JOB)
    with pytest.raises(InputError, match="no table"):
        read_folder(tmp_path, FIVE_JOB)
    (tmp_path / "type a.csv").write_text("heel,8 13/16\n", encoding="utf-8")
    (tmp_path / "the others.TXT").write_text("\ufeffmark;heel\r\nB;1'-5 1/2\"\r\nX9;8\r\n", encoding="utf-8")
    (tmp_path / "drawing.pdf").write_bytes(b"%PDF")
    assert {mark: one.values["heel"] for mark, one in read_folder(tmp_path, FIVE_JOB).items()} == {
        "A": "8 13/16", "B": "1'-5 1/2\"", "X9": "8",
    }  # fmt: skip
    (tmp_path / "C.csv").write_text("heel,high\n", encoding="utf-8")
    (tmp_path / "D.csv").write_bytes(b"\xff\xfe")
    with pytest.raises(InputError, match="File C.csv, Line 1, Heel") as error:
        read_folder(tmp_path, FIVE_JOB)
    assert any(one.startswith("File D.csv: cannot be read") for one in error.value.problems)


# --- held ------------------------------------------------------------------------------------------------------------


def test_five_marks_with_one_missing_and_one_of_another_job() -> None:
    """B's left heel is 11/16 short of 1'-5 1/2", C's ceiling 4 1/2 in 12, D's right heel 2 5/16 high."""
    whole = review_returns(FIVE_JOB, [read_return(FIVE_RETURNED, FIVE_JOB)])
    verdicts = {one.mark: one.verdict for one in whole.marks}
    assert verdicts == {"A": AGREES, "B": RESOLVE, "C": RESOLVE, "D": RESOLVE, "E": NOT_SHOWN}
    off = {mark: [line.item for line in one.of(RESOLVE)] for mark, one in whole.reviews.items()}
    assert off == {"A": [], "B": ["heel_left"], "C": ["ceiling_pitch"], "D": ["heel_right"]}
    assert whole.missing == ("E",) and whole.others == ("T7 of Birch House",)
    assert "4 of 5 types" in whole.sentence and "Nothing came back for E." in whole.sentence
    assert whole.planes == 'Type A would stand 11/16" above type B, plumb: one roof plane is wanted.'


def test_a_job_named_on_a_drawing_is_this_one_whatever_its_letters_are() -> None:
    for name, mark in (("house ON the slope", "A"), ("Birch House", "A of Birch House")):
        assert list(read_return(f"mark,A\njob,{name}\nheel,8", FIVE_JOB)) == [mark]


def test_the_second_drawing_is_held_against_the_first() -> None:
    """Heel wrong, then right; span right, then wrong; height wrong twice; tail never shown, then shown right."""
    wrong = {"heel": "9 13/16", "span": "26'", "height": "9'-6", "pitch": "8", "ceiling_rise": "4'-2 3/16"}
    right = {**wrong, "heel": "8 13/16", "span": "25'", "height": "9'-7", "tail_top": "-1 7/8"}
    del right["ceiling_rise"]
    one = review_returns(FIVE_JOB, [{"A": Drawing(wrong)}, {"A": Drawing(right)}]).marks[0]
    became = {key: word for key, word in one.since.items() if key not in ("ceiling_pitch", "overhang", "bearing")}
    assert became == {"span": "new", "heel": "resolved", "height": "still", "ceiling_rise": "new",
                      "depth_at_peak": "still", "tail_top": "resolved"}  # fmt: skip
    assert {one.since[key] for key in ("ceiling_pitch", "overhang", "bearing")} == {"still"}


def test_a_mark_that_is_not_sent_again_counts_by_its_last_drawing() -> None:
    first = read_return(FIVE_RETURNED, FIVE_JOB)
    whole = review_returns(FIVE_JOB, [first, {"B": first["B"]}])
    rows = {one.mark: (one.number, one.verdict) for one in whole.marks}
    assert rows["A"] == (1, AGREES) and rows["B"] == (2, RESOLVE) and rows["E"] == (0, NOT_SHOWN)
    assert whole.number == 2 and whole.others == () and "1 of 5 types" in whole.sentence
    assert next(one for one in whole.marks if one.mark == "A").since == {}


@pytest.mark.parametrize("job", corners())
def test_a_sample_can_be_made_for_every_job_and_says_that_it_is_one(job: Job) -> None:
    """All but the first type agree; its heel is the rafters' full plumb depth, as the seat forgotten makes it."""
    made = sample_return(job)
    assert read_return(return_table(made), job) == made and all(one.head["job"] == SAMPLE for one in made.values())
    whole = review_returns(job, [made])
    assert whole.sample and whole.sentence.startswith(SAMPLE)
    first, *others = whole.reviews.values()
    assert {line.item.partition("_")[0] for line in first.of(RESOLVE)} >= {"heel"}
    assert [one.of(RESOLVE) for one in others] == [()] * len(others)


def test_nothing_is_filled_in_from_what_was_asked() -> None:
    whole = review_returns(FIVE_JOB, [])
    assert {one.verdict for one in whole.marks} == {NOT_SHOWN} and whole.reviews == {}
    assert whole.sentence.startswith("Nothing came back yet")


# --- kept ------------------------------------------------------------------------------------------------------------


def test_returns_are_kept_and_read_again(tmp_path: Path) -> None:
    path, first = tmp_path / "house.returned.json", read_return(FIVE_RETURNED, FIVE_JOB)
    record = Record(path, FIVE_JOB.title)
    assert record.returns == [] and not path.exists()
    record.keep([{}])
    assert not path.exists()
    record.keep([first, {"B": first["A"]}])
    assert Record(path, FIVE_JOB.title).returns == [first, {"B": first["A"]}]
    record.keep([first, {}])
    assert Record(path, FIVE_JOB.title).returns == [first, {}]  # a return that has begun
    record.keep([first])
    assert Record(path, FIVE_JOB.title).returns == [first]


def test_what_another_wrote_of_other_drawings_stays(tmp_path: Path) -> None:
    path = tmp_path / "house.returned.json"
    mine, other = Record(path, "House"), Record(path, "House")
    mine.keep([{"A": Drawing({"heel": "8"})}])
    other.keep([{"B": Drawing({"heel": "9"})}])
    mine.keep([{"A": Drawing({"heel": "8 1/2"})}])
    assert Record(path, "House").returns == [{"A": Drawing({"heel": "8 1/2"}), "B": Drawing({"heel": "9"})}]
    mine.keep([{}])
    assert Record(path, "House").returns == [{"B": Drawing({"heel": "9"})}]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "it is empty"),
        ("[]", "named values in braces"),
        ('{"rooflab returned drawings": 2, "returns": []}', "version 2"),
        ('{"rooflab returned drawings": 1, "returns": [{"A": {"values": {"heel": "high"}}}]}', "mark A, Heel"),
        ('{"rooflab returned drawings": 1, "returns": [{"A": {"values": {"heal": "8"}}}]}', "'heal' is not known"),
        ('{"rooflab returned drawings": 1, "returns": [3]}', "drawings by mark"),
    ],
)
def test_a_damaged_file_is_told_and_left(text: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "house.returned.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=said):
        Record(path, "House")
    assert path.read_text(encoding="utf-8") == text


def test_the_file_says_what_it_is(tmp_path: Path) -> None:
    path = tmp_path / "house.returned.json"
    Record(path, "House").keep([{"A": Drawing({"heel": "8"}, {"heel": "at the face"}, {"drawing": "S-1"})}])
    document = json.loads(path.read_text(encoding="utf-8"))
    assert document["title"] == "House"
    assert document["returns"][0]["A"] == {
        "head": {"drawing": "S-1"}, "values": {"heel": "8"}, "remarks": {"heel": "at the face"},
    }  # fmt: skip
    assert set(document["returns"][0]["A"]["values"]) <= set(KEYS)
