"""The view for the table without a browser: pages, acts, what is refused, what is kept, and reopening it.

By hand: a 2x12 (11 1/4 in, PS 20) at 9 in 12, k = 1.25, on a seat of 4 in has a heel of 11.25 x 1.25 - 3 = 11 1/16 in,
and a truss 28 ft wide is 11.0625 + 0.75 x 168 = 137 1/16 in high, 11'-5 1/16".  A 2x10 at 8 in 12 has a heel of
9.25 x 1.20185 - 2/3 seat, 8 13/16 on 3 1/2; a heel of 9 1/4 wants (11.1171 - 9.25) x 3/2 = 2.80, a seat of 2 13/16.
"""

from __future__ import annotations

import io
import json
import os
import re
from dataclasses import replace
from html import unescape
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from pypdf import PdfReader

from rooflab import InputError, Job
from rooflab.base.measure import feet_inches
from rooflab.job.agreement import agreements_in
from rooflab.job.jobfile import blank_job, example, read_job
from rooflab.job.option import MOST, Option, adopt, option_of, options_in, solve_option, with_options
from rooflab.job.table import table_of
from rooflab.live import Meeting, backwards, options_panel, side_by_side, together, what_fits
from rooflab.live.meeting.controls import typed_values
from rooflab.live.meeting.drawing import LINE
from rooflab.live.meeting.fits import MapPage
from rooflab.live.meeting.options import STRIP, TALL, parts_of, table_rows
from rooflab.live.meeting.record import pairs
from rooflab.live.meeting.share import FILES as WAYS
from rooflab.live.meeting.view import MOST_CONTROLS, STEPS
from tests.tools.depth import QUICK

CHANGES = (
    ("Seat", "5 1/2"), ("Rafter", "2x12"), ("Ceiling pitch", "5"), ("Plate above floor", "8'-3"), ("Overhang", "2'"),
)  # fmt: skip


@pytest.fixture
def table(tmp_path: Path) -> Meeting:
    return together(example(), tmp_path / "house.json")


def typed(table: Meeting, **values: str) -> None:
    for name, text in values.items():
        table.do("set", name, text)


def keep(table: Meeting, changes: Any = CHANGES) -> None:
    """Some changes of the builder's numbers, which are kept anyway, each kept under the proposed name."""
    table.do("go", "", "1")
    for what, value in changes:
        table.do("set", "change", what)
        table.do("set", "to", value)
        table.do("press", "keep")


def control(table: Meeting, name: str) -> dict[str, Any]:
    return next(one for one in table.page["controls"] if one["name"] == name)


def agree(table: Meeting, date: str = "1 May 2026") -> str:
    table.do("go", "", "5")
    table.do("set", "date", date)
    return table.do("press", "write")


# --- pages -----------------------------------------------------------------------------------------------------------


def test_every_page_has_few_controls_and_one_picture(table: Meeting) -> None:
    """At most four beside the drawing, each with a name and a label of its own; with and without options, targets."""
    for _ in range(2):
        table.do("go", "", "0")
        seen: list[str] = []
        while table.page["look"] not in seen:
            page = table.page
            seen.append(page["look"])
            names, labels = ([one[key] for one in page["controls"]] for key in ("name", "label"))
            assert sum("on" not in one for one in page["controls"]) <= MOST_CONTROLS
            assert len(set(names)) == len(names) and all(labels), page["look"]
            assert page["sentence"] and page["house"] and not page["stale"], (page["look"], page["sentence"])
            assert table.picture.startswith("<svg") and "<polygon" in table.picture, page["look"]  # members, always
            table.do("go", "", "next")
        assert len(seen) == len(table.sitting.pages) <= 10 and table.page["step"] == len(STEPS) - 1
        keep(table)
        table.do("go", "", "4")
        typed(table, heel="9 1/4")


def test_his_numbers_are_drawn_as_he_says_them(table: Meeting) -> None:
    typed(table, span="28'", pitch="9", lumber="2x12", bearing="5-1/2")
    table.do("go", "", "next")
    typed(table, seat="4", ceiling_pitch="4 1/2", overhang="18")
    made = table.sitting.result_of()
    assert feet_inches(made.scissor.left.heel) == '11 1/16"'
    assert feet_inches(made.scissor.height) == "11'-5 1/16\"" and "11'-5 1/16\"" in unescape(table.picture)
    assert control(table, "overhang")["text"] == "1'-6\""


@pytest.mark.parametrize(
    ("name", "text", "shown"),
    [("lumber", "2 by 8", "2x8"), ("lumber", "2 X 12", "2x12"), ("bearing", "2x4", '3 1/2"'),
     ("bearing", "2 by 6", '5 1/2"'), ("pitch", "9 on 12", "9 in 12"), ("span", "30'6", "30'-6\"")],
)  # fmt: skip
def test_sizes_are_taken_as_they_are_said(table: Meeting, name: str, text: str, shown: str) -> None:
    """A stud wall by its studs: dressed widths of a 2x4 and a 2x6 are 3 1/2 and 5 1/2 in (PS 20, from memory)."""
    table.do("set", name, text)
    assert control(table, name)["text"] == shown and not table.page["stale"]


def test_what_is_missed_is_said_with_its_why(table: Meeting) -> None:
    """9 in 12: k = 5/4, the plumb cut of a 2x10 is 9.25 x 5/4 = 11.5625, 11 9/16, deeper than a 2x12's 11 1/4."""
    table.do("set", "pitch", "9")
    note = table.beside.replace("\u00a0", " ")
    assert "<b>Limits:</b> Misses: ridge board." in note
    assert "11 9/16&quot;" in note and "11 1/4&quot;" in note
    table.do("go", "", "1")
    table.do("set", "change", "Ridge board")
    table.do("set", "to", "1 3/4 x 14")
    assert "no longer misses: ridge board" in table.beside


def test_the_house_gets_its_title_at_the_table(table: Meeting, tmp_path: Path) -> None:
    keep(table)
    table.do("go", "", "5")
    assert "title" in table.do("set", "title", "x" * 200) and table.page["stale"]
    table.do("set", "title", "Miller house")
    assert agree(table).startswith("Written: miller-house-agreed.pdf")
    assert Job.load(tmp_path / "house.json").title == "Miller house"


def test_the_maps_heel_runs_through_the_house_as_it_stands(table: Meeting) -> None:
    """Nobody asked for another heel: the curve is that of the rafters' own, before it is rounded."""
    page = next(one for one in table.sitting.pages if one.name == "map")
    assert isinstance(page, MapPage)
    made = page.map_now(table.sitting)
    assert made.heel is not None
    (spot,) = made.spots
    points = np.concatenate(made.heel.lines)
    assert np.min(np.hypot((points[:, 0] - spot.x) / 4, (points[:, 1] - spot.y) / 8)) < 0.02  # of the map


def test_what_cannot_be_read_is_said_and_the_picture_stays(table: Meeting) -> None:
    good = table.picture
    said = table.do("set", "span", "26 apples <b>")
    assert "26 apples <b>" in said and table.picture == good and table.page["stale"]
    assert control(table, "span")["bad"] and control(table, "span")["text"] == "26 apples <b>"
    assert table.page["focus"]["name"] == "span"
    form = table.page["form"]
    assert table.do("go", "", "next") == said and table.page["form"] == form
    table.do("set", "span", "26'")
    assert not table.page["stale"] and not control(table, "span")["bad"]
    assert "did you mean 26'?" in table.do("set", "span", "26") and table.page["stale"]  # inches: too short
    table.do("go", "", "1")
    assert not table.page["stale"] and table.page["step"] == 1


def test_a_number_that_forbids_another_makes_it_give_way(table: Meeting) -> None:
    """A seat of 3 1/2 in on a plate of 2 1/2 in; a ceiling of 4 in 12 under a roof of 3 in 12."""
    said = table.do("set", "bearing", "2 1/2")
    assert "The seat was longer than the plate" in said and table.sitting.client.values["seat"] == 2.5
    said = table.do("set", "pitch", "3")
    assert "The ceiling was too steep" in said and table.sitting.client.values["ceiling_pitch"] == 1.0


def test_both_ends_can_be_typed() -> None:
    assert typed_values("pitch", "8 in 12 and 6 in 12") == {"pitch": ("8 in 12", "6 in 12")}
    assert typed_values("lumber", "11 7/8") == {"depth": "11 7/8"}
    assert typed_values("heel", "as rafter") == {"heel": "as rafters"}
    with pytest.raises(InputError, match="nothing is typed"):
        typed_values("span", "  ")


def test_no_act_is_done_twice_or_lost(table: Meeting) -> None:
    """Messages carry every act that is not answered yet: those that were done are passed over."""
    first = {"n": 1, "what": "set", "name": "span", "value": "28'"}
    table.acts = [first]
    table.do("set", "span", "30'")
    table.acts = [first, {"n": 3, "what": "set", "name": "pitch", "value": "9"}]
    assert table.page["done"] == 3
    assert [table.sitting.client.text(name) for name in ("span", "pitch")] == ["30'-0\"", "9 in 12"]
    table.acts = [{**first, "n": 10**30}]  # no page counts so far: were it done, nothing after it would be heard
    assert table.page["done"] == 3 and table.sitting.client.text("span") == "30'-0\""


# --- options ---------------------------------------------------------------------------------------------------------


def test_one_thing_is_changed_at_a_time(table: Meeting) -> None:
    keep(table)
    names = [one.name for one in table.sitting.options]
    assert names[:2] == ["As the builder has it", 'Seat 5 1/2"'] and len(names) == 6
    for option in table.sitting.options[1:]:
        other = [key for key, value in option.value_pairs if value != table.sitting.client.values[key]]
        assert len(other) == 1, option.name
    table.do("set", "to", "4")
    assert f"{MOST} are saved already" in table.do("press", "keep")
    assert "saved again" in table.do("set", "name", names[1]) or "saved again" in table.do("press", "keep")
    assert table.sitting.options[1].values["seat"] != 5.5 and len(table.sitting.options) == MOST


def test_before_and_after_stand_in_words(table: Meeting) -> None:
    """The whole plate: the heel falls by 2 x 8/12 in, to 7 7/16; for and against it are proposed."""
    table.do("go", "", "1")
    table.do("set", "to", "5 1/2")
    row = re.search(r"Truss heel</th><td[^>]*>(.*?)</td><td[^>]*><b>(.*?)</b>", table.beside)
    assert row and row.groups() == ("8\u00a013/16&quot;", "7\u00a07/16&quot;")  # no line ends before a fraction
    assert "<b>For:</b>" in table.beside and "<b>Against:</b> notch grows to 33 %" in table.beside
    (ghost,) = re.findall(r'class="rl-ghost"[^>]* d="([^"]*)"', table.picture)
    assert ghost.startswith("M")  # what was lies under what is
    changed = re.findall(r'<text[^>]*class="rl-changed"[^>]*>([^<]*)', table.picture)
    assert {unescape(one) for one in changed} >= {'7 7/16"'} and "8 13/16" not in unescape(table.picture)


def test_the_table_shows_every_row_once_on_pages_that_fit(table: Meeting) -> None:
    keep(table)
    for count in range(1, 7):
        made = table.sitting.results_of(table.sitting.options[:count])
        rows = table_rows(made)
        parts = [part for _, part in parts_of([one.option.name for one in made], rows) if part]
        assert [row for part in parts for row in part] == rows
        assert all(len(part) * LINE < TALL - STRIP for part in parts)
    table.do("go", "", "2")
    shown = []
    for name in control(table, "show")["choices"]:
        table.do("set", "show", name)
        shown += re.findall(r'<th scope="row">(.*?)</th>', table.beside)
    assert len(shown) == len(rows) == len(set(shown)) and shown[-2:] == ["For it", "Against it"]


def test_an_option_is_moved_among_the_others(table: Meeting) -> None:
    """Its own number on a slider beside the table; a proposed name follows it; changes start from it."""
    keep(table)
    table.do("go", "", "2")
    table.do("set", "option", control(table, "option")["choices"][1])
    table.do("set", "own", "4")
    assert table.sitting.options[1].name == 'Seat 4"' and table.sitting.options[1].values["seat"] == 4
    for text in ("3 1/2", "3"):  # through his own number, and on
        table.do("set", "own", text)
        assert control(table, "own")["label"] == "Its seat" and not control(table, "own")["off"]
    assert table.sitting.options[1].name == 'Seat 3"'
    table.do("go", "", "1")
    assert table.sitting.now.values["seat"] == 3
    table.do("go", "", "2")
    table.do("press", "away")
    assert len(table.sitting.options) == 5 and table.sitting.now == table.sitting.client


def test_what_is_asked_for_holds_when_worked_out_afresh(table: Meeting) -> None:
    table.do("go", "", "4")
    assert "Nothing is asked yet" in table.do("press", "keep", "0")
    typed(table, heel="9 1/4")  # it answers as soon as it is typed
    assert 'data-press="keep" data-value="0"' in table.beside and 'class="rl-ghost"' in table.picture
    assert table.page["house"] == "Before: Builder's house. After: Trial, not saved"
    table.do("press", "keep", "0")
    option = table.sitting.options[1]
    assert option.values["seat"] == 2.8125 and option.name == 'Seat 2 13/16"'
    assert feet_inches(solve_option(option, table.sitting.house).scissor.left.heel) == '9 1/4"'
    assert "not a length" in table.do("set", "heel", "high")


def test_every_page_says_which_house_it_shows(table: Meeting) -> None:
    """The builder's, an option by its name, or a trial; by hand a seat of 4 is neither his 3 1/2 nor the 5 1/2 kept."""
    keep(table, CHANGES[:1])
    seat = 'Seat 5 1/2"'
    table.do("go", "", "0")
    assert table.page["house"] == "Builder's house"
    table.do("go", "", "1")
    assert table.page["house"] == "Builder's house"
    table.do("set", "to", "4")
    assert table.page["house"] == "Before: Builder's house. After: Trial, not saved"
    pages, expected = [], {
        "grid": "Before: Builder's house. After: Trial, not saved",
        "map": "Before: Builder's house. After: Trial, not saved",
        "target": "Before: Builder's house; the trial is left out. After: Trial, not saved", "agree": "Builder's house",
        "side by side": "Kept options, each by its name",
    }  # fmt: skip
    for step in ("2", "3", "4", "5"):
        table.do("go", "", step)
        while True:
            name = table.page["look"]
            pages.append(name)
            if name == "target":
                assert table.page["house"] == "Builder's house; the trial is left out"
                table.do("set", "heel", "9 1/4")
                heel = feet_inches(table.sitting.result_of(table.sitting.client).scissor.left.heel)
                assert f"<b>{heel}</b>" in unescape(table.beside).replace("\u00a0", " ")  # what the answers start from
            if name in ("grid", "map"):
                assert table.page["sentence"].find("As the builder has it") < 0
            if name == "agree":
                assert table.page["house"] == expected[name]
                table.do("set", "option", control(table, "option")["choices"][1])
                assert table.page["house"] == seat and seat in unescape(table.picture)
            else:
                assert table.page["house"] == expected[name], name
            table.do("go", "", "next")
            if table.page["look"] == name or str(table.page["step"]) != step:
                break
    assert {*pages} == {*expected}


def test_the_ring_on_the_map_says_which_house_it_is(table: Meeting) -> None:
    """Builder's house, then a trial at a seat of 4, then the same seat once it is kept under its name."""
    steps: list[tuple[tuple[str, str, str], ...]] = [
        (), (("go", "", "1"), ("set", "to", "4")), (("go", "", "1"), ("set", "name", "Four"), ("press", "keep", "")),
    ]  # fmt: skip
    for acts, label in zip(steps, ("Builder's house", "Trial, not saved", "Four"), strict=True):
        for act in acts:
            table.do(*act)
        if label == "Four":
            table.do("go", "", "2")
            table.do("set", "option", "Four")
        table.do("go", "", "3")
        table.do("go", "", "next")
        assert table.page["house"].rpartition("After: ")[2] == label
        words = re.findall(r"<text[^>]*>([^<]*)</text>", table.beside)
        assert label in [unescape(one) for one in words] and "now" not in words
        assert f" {label}: seat" in unescape(table.beside)  # and for those who listen


def test_a_trial_beside_too_few_options_is_called_one(table: Meeting) -> None:
    table.do("go", "", "1")
    table.do("set", "to", "4")
    table.do("go", "", "2")
    assert "Trial, not saved" in unescape(table.picture)
    assert table.page["house"] == "Kept options, each by its name and Trial, not saved"
    assert "Trial, not saved" in table.still()["text/plain"]
    table.do("go", "", "5")
    assert table.page["house"] == "Builder's house"  # a trial is nothing to agree on


def test_options_side_by_side_say_what_speaks_against_them() -> None:
    """By hand: 1 / (m - c) at 8 in 12 is 3 under a ceiling of 4 in 12 and 4 under 5, so 1.3 times; 5 1/2 sits deep."""
    options: dict[str, dict[str, object]] = {"His": {}, "Whole": {"seat": "5 1/2"}, "Steep": {"ceiling_pitch": 5}}
    rows = {line.partition(":")[0].strip(): line.partition(": ")[2] for line in
            side_by_side(example(), options).text.splitlines()}  # fmt: skip
    assert "notch grows to 33 %" in rows["Against it"]
    assert "teaching model: top chord force 1.3 times, horizontal movement" in rows["Against it"]
    assert "window head up" in rows["For it"] and "chord" not in rows["For it"]


def test_workbook_pictures_say_which_house_they_show() -> None:
    panel = options_panel(("seat",), ("gable",), ("roof",), "small")
    assert unescape(panel.content["sentence"]).startswith("Builder's house")
    panel.set(seat="5 1/2")
    assert panel.content["sentence"].startswith("Trial, not saved. ")
    tried: list[dict[str, Any]] = [{}, {"span": "28'"}]
    made = [what_fits(example(), "seat", "pitch", "rafter.notch_ratio", **more).still()["text/plain"] for more in tried]
    assert [one.partition(".")[0] for one in made] == ["Builder's house", "Trial, not saved"]
    assert ". Builder's house: seat" in made[0] and ". Trial, not saved: seat" in made[1]  # the ring
    assert backwards(example(), heel="9 1/4").text.startswith("Builder's house. ")


@pytest.mark.parametrize("pitch", ["8", "9 in 12 and 7 in 12"])
def test_every_page_is_shared_with_what_lies_under_it(pitch: str, table: Meeting, tmp_path: Path) -> None:
    """Picture, drawing, paper and job file of each page, in the middle of a trial; nothing is written by that."""
    keep(table, CHANGES[:1])
    table.do("go", "", "0")
    typed(table, pitch=pitch)
    table.do("go", "", "1")
    typed(table, to="4 1/2")
    table.do("go", "", "4")
    typed(table, heel="9 1/4")
    table.do("go", "", "0")
    for page in table.sitting.pages:
        made = {kind: table.sitting.share(kind) for kind in WAYS}
        assert made["png"].content.startswith(b"\x89PNG") and made["svg"].content.startswith(b"<svg"), page.name
        text = " ".join(one.extract_text() for one in PdfReader(io.BytesIO(made["pdf"].content)).pages)
        assert "House without a title" in text and page.heading(table.sitting).partition(".")[0] in text
        job = read_job(json.loads(made["job"].content))
        assert options_in(job) == tuple(table.sitting.options)
        drawn = page.drawing(table.sitting)
        ghosts = [one for one in drawn.whole.strokes if one.name == "before"]
        assert bool(ghosts) == bool(drawn.under)
        table.do("go", "", "next")
    assert "nothing that can be sent" in table.do("share", "", "fax") and list(tmp_path.iterdir()) == []


def test_a_number_on_the_drawing_leads_to_where_it_is_typed(table: Meeting) -> None:
    """A control to its own box, a heel or a height to the targets, what is fixed to its reason; undo leads back."""
    spots = [one["name"] for one in table.page["touch"]]
    assert {"span", "overall height", "truss heel", "roof pitch", "ceiling pitch", "truss run"} <= {*spots}
    table.do("touch", "span")
    assert (table.page["look"], table.page["focus"]["name"]) == ("builder's numbers", "span")
    table.do("touch", "ceiling pitch")
    assert (table.page["look"], table.page["focus"]["name"]) == ("more of the builder's numbers", "ceiling_pitch")
    assert "change the span" in table.do("touch", "truss run")
    table.do("touch", "overall height")
    assert (table.page["look"], table.page["focus"]["name"]) == ("target", "height")
    table.do("touch", "ceiling")  # its rise, which is none of the usual four
    assert table.page["focus"]["name"] == "own" and control(table, "own")["label"] == "Ceiling rise is"
    table.do("set", "own", "5'-2 11/16\"")  # 5 in 12 over 13'-0" less the bearing of 5 1/2": 62.71 in
    assert "Ceiling pitch 4 in 12 becomes 5 in 12" in unescape(table.beside)
    table.do("go", "", "1")
    table.do("touch", "span")
    assert control(table, "change")["text"] == "Span, out to out" and table.page["focus"]["name"] == "to"
    assert "nothing was done" in table.do("touch", "nowhere")


def test_a_cell_and_a_point_are_trials_until_they_are_kept(table: Meeting) -> None:
    table.do("go", "", "3")
    assert "Taken: seat 3\", rafter 2x12" in table.do("press", "cell", "seat=3|lumber=2x12")
    assert table.page["house"] == "Before: Builder's house. After: Trial, not saved"
    assert "none of its cells" in table.do("press", "cell", "span=3") and table.page["stale"]
    table.do("press", "keep")
    assert [one.name for one in table.sitting.options][1:] == ['2x12, seat 3"']
    assert table.page["house"] == "Builder's house"
    table.do("go", "", "next")
    page = table.sitting.page
    assert isinstance(page, MapPage)
    spot = page.map_now(table.sitting).spots[0]
    assert (spot.x, spot.y) == (3.5, 8.0)
    assert "beside the field" in table.do("press", "point", "1,1") and table.sitting.now == table.sitting.client
    assert "Taken: seat" in table.do("press", "point", "345,250")
    taken = table.sitting.now.values
    assert taken["seat"] % 0.0625 == 0 and (taken["seat"], taken["pitch"]) != (3.5, 8.0)
    table.do("undo")
    assert table.sitting.now == table.sitting.client


# --- agreement -------------------------------------------------------------------------------------------------------


def test_what_was_agreed_is_kept_and_reopens_the_same(table: Meeting, tmp_path: Path) -> None:
    typed(table, span="28'-7 5/16\"", pitch="12.5")
    keep(table)
    table.do("go", "", "5")
    table.do("set", "option", control(table, "option")["choices"][3])
    said = agree(table)
    assert said.startswith("Written: house-without-a-title-agreed.pdf"), said
    again = Job.load(tmp_path / "house.json")
    assert options_in(again) == tuple(table.sitting.options)
    before = table_of(table.sitting.results_of(table.sitting.options))
    other = together(again, tmp_path / "house.json")
    assert table_of(other.sitting.results_of(other.sitting.options)) == before
    assert other.sitting.client == table.sitting.client and other.sitting.client.text("span") == "28'-7 5/16\""
    assert other.sitting.now == other.sitting.options[3] == table.sitting.options[3]  # what was chosen stands now
    assert again.scissor.ceiling_pitch == 5  # and other workbooks take it from the file
    other.do("set", "span", "30'")
    other.do("go", "", "1")
    assert other.sitting.now == other.sitting.client and "before" not in other.beside  # changes start from his again
    (one,) = agreements_in(again)
    assert (one.date, one.option, one.present) == ("1 May 2026", "Ceiling pitch 5 in 12", ("builder", "architect"))
    assert dict(one.figures) == {row.key: row.texts[3] for row in table_of(before_of(table))}
    text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "house-without-a-title-agreed.pdf").pages)
    for words in ("Ceiling pitch 5 in 12", "1 May 2026", "builder", "truss designer", "28'-7 5/16\""):
        assert words in text, words


def test_a_house_that_changed_since_overwrites_no_option(table: Meeting, tmp_path: Path) -> None:
    """Its numbers get another name than his, which stay as they were kept."""
    keep(table, CHANGES[:1])
    agree(table)
    house = Job.load(tmp_path / "house.json")
    adopt(Option("wider", span="30'"), house).save(tmp_path / "house.json")
    other = together(Job.load(tmp_path / "house.json"), tmp_path / "house.json")
    assert other.sitting.client.name == "As the house stands now" and other.sitting.client.text("span") == "30'-0\""
    names = [one.name for one in other.sitting.options]
    assert names == ["As the house stands now", "As the builder has it", 'Seat 5 1/2"']


def before_of(table: Meeting) -> Any:
    return table.sitting.results_of(table.sitting.options)


def test_a_second_page_goes_beside_the_first(table: Meeting, tmp_path: Path) -> None:
    keep(table, CHANGES[:1])
    agree(table)
    first = (tmp_path / "house-without-a-title-agreed.pdf").read_bytes()
    said = table.do("press", "write")
    assert "agreed-2.pdf" in said and (tmp_path / "house-without-a-title-agreed.pdf").read_bytes() == first
    assert len(agreements_in(Job.load(tmp_path / "house.json"))) == 2


def test_what_changed_in_the_file_meanwhile_stays(table: Meeting, tmp_path: Path) -> None:
    """Title, a load and an option of another hand stay beside what was agreed, however often it is written down."""
    file = tmp_path / "house.json"
    keep(table, CHANGES[:1])
    agree(table)
    house = Job.load(file)
    options = [*options_in(house), Option("By phone", seat="2 1/2")]
    replace(with_options(house, options), title="Another title", loads={"ground_snow": 40}).save(file)
    assert table.do("press", "write").startswith("Written: another-title-agreed.pdf")
    table.do("press", "write")
    now = Job.load(file)
    assert (now.title, now.loads) == ("Another title", {"ground_snow": 40}) and len(agreements_in(now)) == 3
    assert [one.name for one in options_in(now)] == ["As the builder has it", 'Seat 5 1/2"', "By phone"]
    assert "By phone" not in agreements_in(now)[-1].alternatives  # it was not on the table


@pytest.mark.parametrize(("button", "title"), [("file", "Another title"), ("mine", "Our title")])
def test_what_both_changed_is_asked_about_before_anything_is_written(
    button: str, title: str, table: Meeting, tmp_path: Path
) -> None:
    file = tmp_path / "house.json"
    keep(table, CHANGES[:1])
    agree(table)
    Job.load(file).with_(title="Another title").save(file)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    table.do("go", "", "5")
    table.do("set", "title", "Our title")
    said = table.do("press", "write")
    assert "Not written yet" in said and "Another title" in said and "Our title" in said
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert "Not written yet" in table.do("press", "write")  # pressed again it is no answer
    labels = [one["label"] for one in table.page["controls"] if "on" not in one]
    assert labels == ["Chosen option", "Write it down", "Keep the file's", "Write mine"]
    assert table.do("press", button).startswith("Written: ")
    assert Job.load(file).title == title
    assert [one["label"] for one in table.page["controls"] if "on" not in one] == labels[:2]


def test_a_record_that_cannot_be_kept_leaves_no_page(table: Meeting, tmp_path: Path) -> None:
    (tmp_path / "house.json").write_bytes(b"{")
    keep(table, CHANGES[:1])
    assert "not JSON at line 1" in agree(table)
    assert [path.name for path in tmp_path.iterdir()] == ["house.json"]
    assert (tmp_path / "house.json").read_bytes() == b"{"


def test_a_damaged_file_is_told_at_the_table(tmp_path: Path) -> None:
    """The view fills the window, so what the cell says is not seen."""
    (tmp_path / "house.json").write_bytes(b"{")
    said = together(example(), tmp_path / "house.json").page["sentence"]
    assert "not JSON at line 1" in said and "Nothing can be written down here" in said


PARTIAL = {name: value for name, value in option_of("all", example()).record().items() if name != "option"}


FIELDS = ["seat", "", "depth", "pitch and pitch_right", *(name for name in PARTIAL if name != "seat")]


@pytest.mark.parametrize("name", FIELDS[:8] if QUICK else FIELDS)
def test_an_option_of_one_field_goes_through_every_page(name: str, tmp_path: Path) -> None:
    """What it leaves out follows the house: its table is the house's own with that field."""
    parts = name.split(" and ") if name else []
    own: dict[str, Any] = {part: PARTIAL.get(part, "8 in 12" if "pitch" in part else 9.25) for part in parts}
    house = replace(example(), options=({"option": "One field", **own}, {"option": "Other", "seat": 3}))
    file = tmp_path / "house.json"
    house.save(file)
    table = together(Job.load(file), file)
    kept = next(one for one in table.sitting.options if one.name == "One field")
    assert table_of([solve_option(kept, house)]) == table_of([solve_option(options_in(house)[0], house)])
    for number in range(2):
        table.sitting.choose(number)
        table.do("go", "", "0")
        for _ in range(len(table.sitting.pages)):
            assert not table.page["stale"] and table.picture, (table.sitting.page.name, table.page["sentence"])
            if table.sitting.page.name == "target":
                table.do("set", "height", "20'")
            table.do("go", "", "next")
    table.do("go", "", "5")
    table.do("set", "option", next(one for one in control(table, "option")["choices"] if "One field" in one))
    assert agree(table).startswith("Written: "), table.page["sentence"]
    (one,) = agreements_in(Job.load(file))
    assert dict(one.figures) == {row.key: row.texts[0] for row in table_of([solve_option(kept, house)])}


def test_nothing_is_written_without_a_date(table: Meeting, tmp_path: Path) -> None:
    table.do("go", "", "5")
    assert "Date: it is missing" in table.do("press", "write") and table.page["focus"]["name"] == "date"
    assert list(tmp_path.iterdir()) == []


def test_open_points_need_someone_who_answers() -> None:
    assert pairs("Beam over the door: engineer\n\nRidge: how high?: building official") == [
        ("Beam over the door", "engineer"), ("Ridge: how high?", "building official")]  # fmt: skip
    with pytest.raises(InputError, match="say who answers it"):
        pairs("Beam over the door")


def test_a_house_of_ones_own_begins_without_our_loads(table: Meeting, tmp_path: Path) -> None:
    assert table.sitting.house == blank_job()
    example().with_(title="His").save(tmp_path / "house.json")
    assert together(Job.load(tmp_path / "house.json"), tmp_path / "house.json").sitting.house.loads == example().loads


def test_without_a_kernel_numbers_and_a_picture_stand_there(table: Meeting) -> None:
    bundle = table._repr_mimebundle_()
    data = bundle[0] if isinstance(bundle, tuple) else bundle
    assert data["image/svg+xml"].startswith("<svg") and "26'-0\"" in data["text/plain"]


@pytest.mark.parametrize("there", [True, False])
def test_an_agreement_and_its_page_are_both_there_or_neither(
    there: bool, table: Meeting, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The record cannot be kept, or its page cannot be written: the folder is as it was."""
    keep(table, CHANGES[:1])
    if there:
        table.sitting.house.save(tmp_path / "house.json")
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}

    def full(*names: object) -> None:
        raise OSError(28, "No space left on device")

    for call in ("replace", "fsync"):
        with monkeypatch.context() as patch:
            patch.setattr(os, call, full)
            assert "No space left on device" in agree(table)
        assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert "Written: house-without-a-title-agreed.pdf" in table.do("press", "write")
