"""DXF and CSV: reopened, audited, measured; texts are those of the sheets."""

from __future__ import annotations

import csv
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from ezdxf import bbox, units
from ezdxf.tools.text_size import mtext_size

import rooflab as rl
from rooflab import InputError, live
from rooflab.draw.sheets.exports import APART, readings_text, safe
from rooflab.draw.views.profile import scenes
from rooflab.house.bays import Jog
from rooflab.job.jobfile import Job, blank_job, example, rounded_heels
from rooflab.job.schedule import TrussType
from tests.tools.depth import cases
from tests.tools.jobs import WORDS, corners, varied_jobs
from tests.tools.pages import figure

LAYERS = {f"RL-{name}" for name in ("TRUSS", "WALL", "REFERENCE", "CEILING-FINISH", "DIMENSIONS", "TEXT", "NOTES")}


@pytest.fixture(params=[0, 1, 8, 9, 10], ids=lambda i: f"job {i}")
def job(request: pytest.FixtureRequest) -> Job:
    return corners()[request.param]


# --- DXF -------------------------------------------------------------------------------------------------------------


def shown(dimension: Any) -> str:
    """The text that a dimension's own block shows."""
    found = [one for one in dimension.virtual_entities() if one.dxftype() in ("MTEXT", "TEXT")]
    assert len(found) == 1
    return str(found[0].plain_text())


def dxf_is_clean(job: Job, path: Path) -> Any:
    """A job's DXF, reopened: no text is overridden, each dimension shows what it measures and what the sheet prints.

    The dimension style prints as drawings do (DXF reference, DIMLUNIT 4: architectural; DIMDEC 4: sixteenths; DIMZIN 3:
    zero inches shown, zero feet not), so that a program which makes the texts anew makes the same ones.
    """
    document = ezdxf.readfile(rl.profile_dxf(job, path))
    assert not document.audit().has_issues
    assert document.header["$INSUNITS"] == units.IN == 1 and document.header["$MEASUREMENT"] == 0
    space = document.modelspace()
    found: Any = space.query("DIMENSION")
    expected = [dim.text for scene in scenes(job) for dim in scene.dims]
    assert [shown(one) for one in found] == expected
    for one, text in zip(found, expected, strict=True):
        assert one.dxf.text.count("<>") == 1 and one.dxf.text.replace("<>", rl.feet_inches(figure(text))) == text
        assert one.get_measurement() == pytest.approx(figure(text), abs=1e-6), text
        assert one.dxf.layer == "RL-DIMENSIONS" and one.dxf.dimstyle == "RL-DIMENSIONS"
    style = document.dimstyles.get("RL-DIMENSIONS").dxf
    assert (style.dimlunit, style.dimdec, style.dimzin, style.dimlfac, style.dimtxsty) == (4, 4, 3, 1.0, "RL-TEXT")
    assert {entity.dxf.layer for entity in space} <= LAYERS
    assert {one.dxf.style for one in space.query("TEXT")} == {"RL-TEXT"}
    assert {style.dxf.name for style in document.styles} == {"Standard", "RL-TEXT"}  # the format wants the first
    assert {style.dxf.name for style in document.dimstyles} == {"Standard", "RL-DIMENSIONS"}
    return document


def touching(document: Any) -> list[str]:
    """Texts of a drawing that lie on each other, measured by ezdxf; those of dimensions stand around their point."""
    space, boxes = document.modelspace(), []
    for one in space.query("TEXT"):
        box = bbox.extents([one])
        boxes.append((one.plain_text(), *box.extmin.xyz[:2], *box.extmax.xyz[:2]))
    for one in (e for d in space.query("DIMENSION") for e in d.virtual_entities() if e.dxftype() == "MTEXT"):
        size, (x, y, _) = mtext_size(one), one.dxf.insert
        wide, tall = size.total_width / 2, size.total_height / 2
        wide, tall = (tall, wide) if round(one.get_rotation()) == 90 else (wide, tall)
        assert one.dxf.attachment_point == 5 and round(one.get_rotation()) in (0, 90)
        boxes.append((one.plain_text(), x - wide, y - tall, x + wide, y + tall))
    return [
        f"{a} on {b}"
        for (a, ax0, ay0, ax1, ay1), (b, bx0, by0, bx1, by1) in combinations(boxes, 2)
        if ax0 < bx1 and bx0 < ax1 and ay0 < by1 and by0 < ay1
    ]


def test_dxf_is_clean_in_inches_and_measures_what_it_says(job: Job, tmp_path: Path) -> None:
    """A corner of what a job holds: no text on another, and no dimension 1/8 in or more off its drawing."""
    document = dxf_is_clean(job, tmp_path / "a.dxf")
    assert touching(document) == []
    drawn = [dim for scene in scenes(job) for dim in scene.dims]
    for one, dim in zip(document.modelspace().query("DIMENSION"), drawn, strict=True):
        level = dim.side == "bottom"
        length = abs(dim.b[0] - dim.a[0]) if level else abs(dim.b[1] - dim.a[1])
        assert abs(one.get_measurement() - length) < 1 / 8


def test_broken_lines_and_whose_drawing_it_is(tmp_path: Path) -> None:
    """The finished ceiling is dashed and the reference line dotted (DXF reference, LTYPE), as the texts say."""
    job = replace(corners()[1], title="Lot 4")
    document = ezdxf.readfile(rl.profile_dxf(job, tmp_path / "a.dxf"))
    assert document.layers.get("RL-CEILING-FINISH").dxf.linetype == "DASHED"
    assert document.layers.get("RL-REFERENCE").dxf.linetype == "DOT"
    assert document.layers.get("RL-TRUSS").dxf.linetype == "Continuous"
    for name, dashes in (("DASHED", [0.5, -0.25]), ("DOT", [0.0, -0.25])):
        pattern = [tag.value for tag in document.linetypes.get(name).pattern_tags.tags if tag.code == 49]
        assert pattern == dashes
    assert document.header["$LTSCALE"] > 1
    texts: Any = document.modelspace().query("TEXT")
    said = " ".join(one.plain_text() for one in texts)
    for words in (f"Lot 4 · {WORDS['project']}", "12 Hill Road", "An office of architects", 'Type A: 10 at 24" o.c.',
                  "Gable end truss, type E: 1", 'Type E: 22 at 24" o.c.'):  # fmt: skip
        assert words in said
    blank = ezdxf.readfile(rl.profile_dxf(blank_job(), tmp_path / "b.dxf"))
    texts = blank.modelspace().query("TEXT")
    said = " ".join(one.plain_text() for one in texts)
    assert "NOT ISSUED: dimensions not confirmed" in said and 'Type A: to be given at 24" o.c.' in said


def test_no_line_runs_through_a_text(tmp_path: Path) -> None:
    """Reference lines and extension lines of dimensions keep off the texts, whose boxes are measured by ezdxf."""
    gable = rl.Gable(288, (9, 6), (5.5, 3.5), 16, (97.125, 109.125))
    rafters = rl.RafterBay(gable, "2x6", (5.5, 3.5))
    types = (TrussType("A", 240), TrussType("C", 60, jog=Jog("right", -8)))
    job = Job("Unequal", rafters, rl.ScissorBay(gable, 3, rounded_heels(rafters)), types)
    space: Any = ezdxf.readfile(rl.profile_dxf(job, tmp_path / "a.dxf")).modelspace()
    levels = [line.get_points("xy") for line in space.query('LWPOLYLINE[layer=="RL-REFERENCE"]')]
    dims: Any = space.query("DIMENSION")
    parts = [one for dim in dims for one in dim.virtual_entities()]
    levels += [[tuple(p.xyz[:2]) for p in (one.dxf.start, one.dxf.end)] for one in parts if one.dxftype() == "LINE"]
    boxes = {}
    for one in [*space.query("TEXT"), *(one for one in parts if one.dxftype() == "MTEXT")]:
        if one.dxftype() == "TEXT":
            box = bbox.extents([one])
            boxes[one] = (*box.extmin.xyz[:2], *box.extmax.xyz[:2])
        elif round(one.get_rotation()) == 0:
            size, (x, y, _) = mtext_size(one), one.dxf.insert
            boxes[one] = (x - size.total_width / 2, y - 1.5, x + size.total_width / 2, y + 1.5)  # 3 in capitals
    assert len(boxes) > 20
    for one, (x0, y0, x1, y1) in boxes.items():
        for (xa, ya), (xb, yb) in levels:
            if abs(ya - yb) < 1e-6:
                low, high = sorted((xa, xb))
                assert not (y0 + 0.1 < ya < y1 - 0.1 and low < x1 and high > x0), one.plain_text()


def test_texts_that_touch_are_found(tmp_path: Path) -> None:
    document = ezdxf.readfile(rl.profile_dxf(example(), tmp_path / "a.dxf"))
    dims: Any = document.modelspace().query("DIMENSION")
    shown_texts = [e for one in dims for e in one.virtual_entities() if e.dxftype() == "MTEXT"]
    span = next(one for one in shown_texts if "span" in one.plain_text())
    document.modelspace().add_text("word", height=3.0).set_placement(span.dxf.insert)
    assert [said for said in touching(document) if "word" in said] == ["word on 26'-0\" span, out to out of framing"]


def test_dxf_of_random_jobs(tmp_path: Path) -> None:
    for i, one in enumerate(varied_jobs(cases(30))):
        assert touching(dxf_is_clean(one, tmp_path / f"{i}.dxf")) == [], repr(one)


def test_dxf_names_job_date_unit_and_caution(tmp_path: Path) -> None:
    job = corners()[1]
    document = ezdxf.readfile(rl.profile_dxf(job, tmp_path / "a.dxf"))
    said = " ".join(one.dxf.text for one in document.modelspace().query("TEXT") if one.dxf.layer == "RL-NOTES")
    for words in ("House on the slope", "Date: 24 November 2026", "Unit: inch", "Design intent only",
                  "Do not scale; written dimensions govern", "the general contractor"):  # fmt: skip
        assert words in said
    assert "Date: not given" in " ".join(
        one.dxf.text for one in ezdxf.readfile(rl.profile_dxf(example(), tmp_path / "b.dxf")).modelspace().query("TEXT")
    )


def test_dxf_is_drawn_by_another_program(tmp_path: Path) -> None:
    """Reopened and drawn by ezdxf's own drawing add-on: a picture with ink in it, with each text as a path."""
    from ezdxf.addons.drawing.matplotlib import qsave

    document = ezdxf.readfile(rl.profile_dxf(corners()[8], tmp_path / "a.dxf"))
    qsave(document.modelspace(), str(tmp_path / "a.svg"), bg="#FFFFFF", fg="#000000")
    assert (tmp_path / "a.svg").read_text(encoding="utf-8").count("<path") > len(
        document.modelspace().query("TEXT DIMENSION")
    )


def test_dxf_is_full_size(tmp_path: Path) -> None:
    """26'-0" with two overhangs of 16 in, square at the tails: 344 in over all; 112.8125 in from plate to peak."""
    document = ezdxf.readfile(rl.profile_dxf(example(), tmp_path / "a.dxf"))
    chords: list[Any] = [line for line in document.modelspace().query("LWPOLYLINE") if line.dxf.layer == "RL-TRUSS"]
    assert all(line.closed for line in chords)
    first = [point for line in chords[:4] for point in line.get_points("xy")]
    xs, ys = [x for x, _ in first], [y for _, y in first]
    assert max(xs) - min(xs) == pytest.approx(344) and max(ys) == pytest.approx(112.8125)
    second = [x for line in chords[4:] for x, _ in line.get_points("xy")]
    assert min(second) - max(xs) == pytest.approx(APART)


def test_dxf_carries_titles_plates_and_pitches(tmp_path: Path) -> None:
    job = replace(corners()[1], types=corners()[1].types[:2])
    document = ezdxf.readfile(rl.profile_dxf(job, tmp_path / "a.dxf"))
    texts = [one.dxf.text for one in document.modelspace().query("TEXT")]
    for words in ("TYPE A", "TYPE A, GABLE END", "TYPE B", "12", "8", "4", "plate L", "plate R"):  # pitches 8, 4 in 12
        assert words in texts
    assert any(text.startswith("dashed: finished ceiling") for text in texts)


# --- CSV -------------------------------------------------------------------------------------------------------------


def test_csv_reopened_holds_the_readings(job: Job, tmp_path: Path) -> None:
    """Each row's text is the reading's as the screen shows it, and its value reads back."""
    path = rl.readings_csv(job, tmp_path / "a.csv")
    assert path.read_bytes().startswith(b"\xef\xbb\xbf") and b"\r" not in path.read_bytes()
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["bay"] for row in rows} == {"rafters", "caution", *(f"type {kind.mark}" for kind in job.types)}
    assert rows[-1]["bay"] == "caution" and "Design intent only" in rows[-1]["reading"]
    assert "written dimensions govern" in rows[-1]["reading"] and rows[-1]["value"] == ""
    for kind in job.types:
        bay = kind.bay(job.scissor)
        mine = [row for row in rows if row["bay"] == f"type {kind.mark}"]
        assert {row["end"] for row in mine} == ({"both"} if bay.equal_ends else {"left", "right"})
        for row, end in ((row, end) for row in mine for end in ("left", "right") if row["end"] in (end, "both")):
            worked = next(w for w in (bay.reading(r.name, end) for r in bay.rows()) if w.label == row["reading"])
            assert row["text"] == worked.text
            if isinstance(worked.value, float):
                assert float(row["value"]) == pytest.approx(worked.value, rel=1e-9, abs=1e-9)


def test_the_peak_in_the_file_stands_on_the_heel_in_the_file(tmp_path: Path) -> None:
    """2x10, 8 in 12, seat 5 1/2, span 26 ft, by hand: 9.25 x 1.201850 - 5.5 x 2/3 = 7.4504 is handed over as 7 7/16 =
    7.4375; the peak is that and 2/3 x 156 = 104 more, the top of the tail 2/3 x 16 = 10.6667 less.
    """
    one = example()
    rafters = one.rafters.with_(seat=5.5)
    job = replace(one, rafters=rafters, scissor=one.scissor.with_(heel=7.4375), types=())
    with rl.readings_csv(job, tmp_path / "a.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["reading"]: row for row in csv.DictReader(file) if row["bay"] == "rafters"}
    assert float(rows["Heel height"]["value"]) == 7.4375 and "as it is handed over" in rows["Heel height"]["formula"]
    assert float(rows["Peak of the roof lines"]["value"]) == 111.4375
    assert float(rows["Top of tail"]["value"]) == pytest.approx(7.4375 - 32 / 3, abs=1e-6)


def test_negative_lengths_stay() -> None:
    """16 in of overhang at 8 in 12 on a heel of 8 13/16: the tail's corner is 8.8125 - 10.6667 = -1.854 in, -1 7/8"."""
    rows = list(csv.reader(readings_text([("A", example().scissor)]).splitlines()))
    tail = next(row for row in rows if row[1] == "Top of tail")
    assert tail[5] == '-1 7/8"' and tail[3].startswith("-1.854")


@pytest.mark.parametrize(
    "cell", ["=1+1", "+1", "@SUM(A1)", "\t=1", " =1", "-1+1", "-1+cmd|' /C calc'!A0", "-A1", "-(1)", "\r=2"]
)
def test_formulas_are_neutralised(cell: str) -> None:
    assert safe(cell) == f"'{cell}"


@pytest.mark.parametrize(
    "cell", ["-3", "-3.25", "-1e-05", "-9'-8 5/8\"", '-3/4"', '-1 7/8"', '-0"', "-4 in 12", "", "8", "heel − m·o"]
)
def test_numbers_and_words_are_not(cell: str) -> None:
    assert safe(cell) == cell


def test_a_formula_in_a_mark_stays_a_text(tmp_path: Path) -> None:
    job = replace(example(), types=(replace(example().types[0], mark="=A1"),))
    text = rl.readings_csv(job, tmp_path / "a.csv").read_text(encoding="utf-8-sig")
    assert all(not cell.startswith("=") for row in csv.reader(text.splitlines()) for cell in row)


# --- both ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("write", [rl.profile_dxf, rl.readings_csv])
def test_what_is_refused(write: Any, tmp_path: Path) -> None:
    ending = ".dxf" if write is rl.profile_dxf else ".csv"
    (tmp_path / f"there{ending}").write_text("mine")
    for job, path in (
        (example(), tmp_path / f"there{ending}"), (example(), tmp_path / "a.txt"), (example(), None), (example(), ""),
        (example(), tmp_path / "nowhere" / f"a{ending}"), (None, tmp_path / f"a{ending}"),
    ):  # fmt: skip
        with pytest.raises(InputError):
            write(job, path)
    with pytest.raises(InputError, match="at least one type"):
        rl.profile_dxf(replace(example(), types=()), tmp_path / "a.dxf")
    assert [one.read_text() for one in tmp_path.iterdir()] == ["mine"]


def test_the_page_writes_new_files_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The buttons write into a folder beside the workbook, number what is there already, and link to it."""
    monkeypatch.chdir(tmp_path)
    desk = live.export(replace(example(), title="../Ruth & Sam's <house>"))
    for do in ("csv", "csv", "dxf", "letter"):
        said = desk.press(do)
        assert said.startswith("<b>Written:</b> <a ") and "to the manufacturer" in said
    assert "Printed as not given" in said and "Risk category" in said and "Contact" in said
    names = sorted(path.name for path in (tmp_path / "to the manufacturer").iterdir())
    stem = "ruth-sam-s-house"
    assert names == sorted([f"{stem}.csv", f"{stem}-2.csv", f"{stem}.dxf", f"{stem}-letter.pdf"])
    assert [path.name for path in tmp_path.iterdir()] == ["to the manufacturer"]
    monkeypatch.chdir(tmp_path / "to the manufacturer")
    Path("to the manufacturer").write_text("a file")
    assert desk.press("csv").startswith("<b>Not done.</b>")


def test_the_sheet_on_the_page_is_the_printed_one(tmp_path: Path) -> None:
    shown = live.sheet(example(), "B")
    assert (
        "overall L 8'-9 1/2\"" in repr(shown)
        and "Sheet 4 of 5" in repr(shown)
        and shown._repr_html_().count("<svg") == 1
    )
    with pytest.raises(InputError, match="this job has A, B"):
        live.sheet(example(), "Z")
    poor = repr(live.poor_sheet())
    assert "26'-0\"" in poor and "heel" not in poor and "overhang" not in poor
