"""The profile sheets: chains that add up, true scale on paper, texts that stay apart, words that have to be there.

Pages are read back with pypdf; text widths are measured with the face that is printed.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf.generic import ContentStream

import rooflab as rl
from rooflab import InputError
from rooflab.base.inputs import pair
from rooflab.base.measure import pitch_text
from rooflab.draw.scene import Label, Layout, Stroke, width
from rooflab.draw.sheets import wording
from rooflab.draw.sheets.page import PAPERS, largest, one_line, scale_text, wrap
from rooflab.draw.sheets.profile import sheets
from rooflab.draw.views.plan import framing, notes
from rooflab.draw.views.profile import (
    apex_off,
    finish_lines,
    gable_end_truss,
    gable_scene,
    height_chain,
    profile,
    profile_scene,
    scenes,
)
from rooflab.draw.views.section import section
from rooflab.house.bays import Jog, ScissorBay
from rooflab.house.seam import compare
from rooflab.job.jobfile import Job, blank_job, example, rounded_heels
from rooflab.job.schedule import TO_GIVE, TrussType
from tests.tools.depth import cases
from tests.tools.jobs import FIVE, corners, house, varied_jobs
from tests.tools.keys import key_box, key_parts, lit_halves, met_by
from tests.tools.pages import faults, figure
from tests.tools.strategies import bounded, jogs, legal, scissors

# --- jobs of every kind ----------------------------------------------------------------------------------------------

# --- chains ----------------------------------------------------------------------------------------------------------


def adds_up(bay: ScissorBay) -> None:
    """Every printed chain of a profile adds up to the sixteenth, whatever was rounded."""
    texts = {dim.name: figure(dim.text) for dim in profile(bay).dims}
    assert texts["left run"] + texts["right run"] == texts["span"]
    assert (
        sum(texts.get(f"{name}", 0) for name in ("left bearing", "between bearings", "right bearing")) == texts["span"]
    )
    low = "right" if bay.right.plate < bay.left.plate - 1 / 32 else "left"
    tops = {low: texts["overall height"]} | {
        s: texts[f"{s} height"] for s in ("left", "right") if f"{s} height" in texts
    }
    plates = {side: texts.get(f"{side} plate", 0.0) for side in tops}
    for side in tops:
        plates[side] *= 1 if getattr(bay, side).plate > 0 else -1
    above_main = texts.get("main height", next((tops[side] for side in tops if not plates[side]), None))
    assert {top + plates[side] for side, top in tops.items()} == {above_main}
    if abs(apex_off(bay)) < 1 / 32 and "ceiling rise" in texts:
        assert texts["ceiling rise"] + texts["depth at peak"] == texts["overall height"]


@bounded(200)
@given(bay=scissors())
def test_printed_chains_add_up(bay: ScissorBay) -> None:
    adds_up(bay)


@st.composite
def moved(draw: Any) -> ScissorBay:
    bay = draw(scissors())
    return legal(bay.jogged, **draw(jogs(bay)))


@bounded(60)
@given(bay=moved())
def test_printed_chains_of_short_trusses_add_up(bay: ScissorBay) -> None:
    adds_up(bay)


def test_the_rest_of_a_chain() -> None:
    """Three thirds of an inch: 0.3125 twice, and what is left of 1 in."""
    assert height_chain((0, 1 / 3, 2 / 3, 1)) == (0.3125, 0.3125, 0.375)
    assert height_chain((0, 1 / 3, 2 / 3, 1), 1) == (0.3125, 0.375, 0.3125)


def test_figures_of_a_short_truss() -> None:
    """26 ft, 8 in 12, ceiling 4 in 12, heel 8 13/16; the left wall set in 24 in, its bearing 3 1/2 for 5 1/2.

    Plate c (j + b' - b) = 4/12 (24 - 2) = 7 1/3, printed 7 5/16; heel 8.8125 + 16 - 7.3333 = 17.479, 1'-5 1/2"; peak
    8.8125 + 104 = 112.8125, 9'-4 13/16" above R, less 7 5/16 is 8'-9 1/2" above L; runs 156 - 24 = 11 ft and 13 ft.
    """
    dims = {dim.name: dim.text for dim in profile_scene(example(), example().types[1]).dims}
    assert dims["left plate"] == 'L above M 7 5/16"' and dims["left heel"] == "heel L 1'-5 1/2\""
    assert dims["left height"] == "overall L 8'-9 1/2\"" and dims["overall height"] == "overall R 9'-4 13/16\""
    assert (
        dims["left run"] == "run 11'-0\""
        and dims["right run"] == "run 13'-0\""
        and dims["left overhang"] == "overhang 3'-4\""
    )
    assert dims["span"] == "24'-0\" span, out to out of framing"


def test_texts_are_those_of_the_screen() -> None:
    """The live section shows the same heel, heights, runs, rise and span."""
    job = corners()[1]
    screen = {
        d.name: d.text for d in section(job.rafters.handed_over(), job.scissor, compare(job.rafters, job.scissor)).dims
    }
    sheet = {d.name: d.text for d in profile_scene(job, job.types[0]).dims}
    for name, mine in (("truss heel", "right heel"), ("overall height",) * 2, ("ceiling rise",) * 2,
                       ("truss run", "right run"),
                       ("span",) * 2, ("truss overhang", "right overhang")):  # fmt: skip
        assert figure(screen[name]) == figure(sheet[mine]), name


# --- pages -----------------------------------------------------------------------------------------------------------


@cache
def pages() -> dict[str, tuple[Layout, ...]]:
    return {f"{i} {paper}": sheets(job, paper) for i, job in enumerate(corners()) for paper in PAPERS}


def test_nothing_overlaps_clips_or_shrinks() -> None:
    found = {f"{name}, {page.title}": faults(page) for name, made in pages().items() for page in made}
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


def random_jobs(count: int) -> Iterator[Job]:
    rng = random.Random(8)
    while count:
        span, pitch = rng.randrange(96, 721, 6), rng.randrange(2, 37) / 2
        lumber, over = rng.choice(("2x6", "2x8", "2x10", "2x12")), rng.randrange(0, 49, 4)
        two = rng.random() < 0.3
        try:
            yield house(span, (pitch, pitch + 1) if two else pitch, over, lumber, rng.randrange(0, 9) / 2,
                        FIVE[: rng.randrange(1, 6)], seat=2, plates=(97, 97 + 12 * two))  # fmt: skip
        except InputError:
            continue
        count -= 1


def test_random_houses_make_good_pages() -> None:
    found = {
        f"{job!r} {paper} {page.title}": faults(page)
        for i, job in enumerate(random_jobs(20))
        for paper in [sorted(PAPERS)[i % 2]]
        for page in sheets(job, paper)
    }
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


def test_faults_are_found() -> None:
    """The search itself is tried: a small text, two on each other, one outside, one on a line."""
    labels = (Label("a", "small", 100, 100, "start", 6), Label("b", "one", 100, 100, "start", 8),
              Label("c", "outside", 5, 300, "start", 8), Label("d", "across", 300, 300, "middle", 8))  # fmt: skip
    page = Layout("t", "d", 792, 612, 1, (0, 0), (), (Stroke("rule", ((200, 300), (400, 300)), "dim"),), labels)
    words = " ".join(faults(page))
    for said in ("small is small", "small touches one", "outside leaves the page", "across lies on rule"):
        assert said in words


def test_wrapping() -> None:
    assert wrap("W" * 40, 100, 10) == ["W" * 10] * 4
    assert all(width(line, 9) <= 120 for line in wrap("heel and tail " * 20, 120, 9))
    assert one_line("W" * 40, 100, 10).endswith("...") and width(one_line("W" * 40, 100, 10), 10) <= 100


def words(job: Job) -> str:
    """All texts of a job's pages in their order, lines joined."""
    return " ".join(label.text for page in sheets(job) for label in page.labels)


def test_every_page_says_what_it_is_and_what_it_is_not() -> None:
    job = corners()[1]
    made = sheets(job)
    assert len(made) == 3 + 5 + 2  # schedule, criteria, five types, two gable ends, what comes back
    for i, page in enumerate(made, 1):
        said = " ".join(label.text for label in page.labels)
        for words in (f"Sheet {i} of {len(made)}", "Revision: C", "Date: 24 November 2026", "the general contractor",
                      "A. Person, 555 0100", "Design intent only", "not sheathing",
                      "the building official govern"):  # fmt: skip
            assert words in said, (page.title, words)
    for page, kind in zip([p for p in made if "profile, type" in p.title], job.types, strict=True):
        said = " ".join(label.text for label in page.labels)
        for words in ("HOLD", "FREE", "TELL US", "LOADS", "ROUNDED", "IN FIGURES", "written dimensions govern",
                      f"TYPE {kind.mark}",
                      "inside face of the bearing", "finished ceiling", "8 in 12", "4 in 12"):  # fmt: skip
            assert words in said, (page.title, words)


def test_loads_of_the_rafters_are_printed_where_they_are_given() -> None:
    """Dead on the slope and on the projection (x 1.2019 at 8 in 12), the edition and what is assumed, in words."""
    assert "Rafter bay, early check" not in words(example())
    given = {**example().loads, "dead": 15, "snow_edition": "ASCE 7-16", "code": "IRC 2021"}
    said = words(replace(example(), loads=given))
    assert said.count("Code and edition: IRC 2021") == 1 + len(example().types)  # criteria, and every type's page
    for text in ("Dead 15 psf on the slope, 18.0 on the projection", "ASCE 7-16, ground", "DFL No.2, 16\" o.c.",
                 "Assumed by the architect, to be agreed: grade"):  # fmt: skip
        assert said.count(text) == 1, text
    assert "to be agreed: grade" not in words(replace(example(), loads=given, grade="DFL No.2"))


def test_gable_ends_have_a_page_with_the_caution() -> None:
    """8 in 12, flat 2x4 outlookers: 1 1/2 x 1.20185 = 1.803 lower; heel 8.8125 - 1.803 = 7.010, printed 7"."""
    page = next(page for page in sheets(corners()[1]) if "Gable end truss, type A" in page.title)
    said = " ".join(label.text for label in page.labels)
    assert "balloon-framed" in said and '1 13/16"' in said and 'heel L 7"' in said and "TYPE A, GABLE END" in said
    job = house(312, 8, 16, "2x6", 4, FIVE[:1], outlooker=("2x12", "on edge"))
    said = " ".join(label.text for page in sheets(job) for label in page.labels)
    assert "CANNOT BE DROPPED" in said and "Truss heel" in said
    assert len(scenes(job)) == 1 and len(scenes(corners()[1])) == 7


def test_the_dropped_gable_end_keeps_plates_and_ceiling() -> None:
    for kind in FIVE[:3]:
        bay = kind.bay(corners()[1].scissor)
        low = gable_end_truss(bay, "2x4", "flat")
        for one, other in zip(bay.ends, low.ends, strict=True):
            assert one.wall == other.wall and one.ceiling == other.ceiling
            square = (one.roof.at0 - other.roof.at0) / (1 + one.roof.slope**2) ** 0.5
            assert square == pytest.approx(1.5, abs=1e-9)


def test_the_finished_ceiling() -> None:
    """9 in 12 (k = 1.25) with 1/2 gypsum on 3/4 furring: 1.5625 in plumb below the chord line."""
    bay = ScissorBay(rl.Gable("24'", 12, "5 1/2"), 9, 12)
    for line, end in zip(finish_lines(bay, (0.5, 0.75)), bay.ends, strict=True):
        assert end.ceiling is not None
        assert [end.ceiling.at(x) - y for x, y in line] == pytest.approx([1.5625, 1.5625])
    assert finish_lines(bay, None) == [] and "finish line" in {s.name for s in profile(bay, layers=(0.5, 0.75)).strokes}


def test_the_framing_sketch_says_seam_ridge_and_types() -> None:
    job = corners()[1]
    scene, found = framing(job), largest(framing(job), 500, 300, 8)
    assert found is not None
    texts = [label.text for label in found[0].labels]
    assert {"A", "B", "C", "D", "E", "seam", "ridge board", '24" o.c.', "26'-0\""} <= set(texts)
    bars = [shape for shape in scene.shapes if " at " in shape.name]
    assert len(bars) == sum(kind.positions for kind in job.types)
    assert sum(bar.style == "truss" for bar in bars) == 2  # the gable ends
    said = " ".join(notes(job))
    assert "post of its own" in said and "flush with the start" in said and "set in 2'-0\"" in said


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_the_first_sheet_has_a_key_that_lights_the_trusses(paper: str) -> None:
    """Both types of the example, whole; nothing of the page lies in it, and no other page has one."""
    first, *others = sheets(example(), paper)
    sides = [f"{mark} {side}" for mark in "AB" for side in ("left", "right")]
    assert lit_halves(first) == dict.fromkeys(sides, "slim truss")
    assert met_by(first, key_box(first)) == [] and not any(map(key_parts, others))


@pytest.mark.parametrize("number", range(len(corners())))
def test_the_house_stands_on_the_first_sheet_and_on_nothing_else(number: int) -> None:
    """Its names touch no other text; it gives no number of rafters, which no job holds."""
    for paper in PAPERS:
        first = sheets(corners()[number], paper)[0]
        names = [label for label in first.labels if label.name.startswith("room ") or label.name == "rooms"]
        assert not any("pairs" in label.text for label in names)
        for one in names:
            (x0, y0, x1, y1) = one.box
            for other in first.labels:
                (u0, v0, u1, v1) = other.box
                assert one is other or x1 <= u0 or u1 <= x0 or y1 <= v0 or v1 <= y0, (one.text, other.text)
    if number == 0:
        assert any(label.name == "room rafters" for label in sheets(example(), "letter")[0].labels)


def test_a_key_tells_few_types_apart_and_lies_on_nothing() -> None:
    there = 0
    for job in corners():
        for paper in PAPERS:
            pages = [page for page in sheets(job, paper) if key_parts(page)]
            assert len(pages) <= 1
            for page in pages:
                there += 1
                assert met_by(page, key_box(page)) == []
                types = {name.partition(" ")[0] for name in lit_halves(page)}
                assert len(types) == (len(job.types) if len(job.types) <= 4 else 1)
    assert there > len(corners())


@pytest.mark.parametrize(("by", "words"), [(24.0, "set in 2'-0\""), (-8.0, 'set out 8"')])
def test_a_wall_set_out_is_said_so(by: float, words: str) -> None:
    """A length is never below zero in words, on the sheet, in the sketch and in the schedule; one is singular."""
    kind = replace(example().types[0], mark="B", jog=Jog("left", by), doubled=1)
    job = replace(example(), types=(kind,))
    pages = [label.text for page in sheets(job) for label in page.labels]
    said = " ".join([*notes(job), *pages])
    assert f"The left wall is {words};" in said and f"Its left wall is {words} on" in said
    assert "set in -" not in said and '-8"' not in pages
    assert ("left 2'-0\"" if by > 0 else 'left 8" out') in pages
    assert "An extra truss stands beside 1 position of them." in said and "not a 2-ply girder" in said


def test_what_comes_back_is_listed() -> None:
    """The twelve items of IRC R802.10.1 by a word each (checklist in our own words), and the four it leaves out."""
    words = ("slope", "joint", "bearing", "loads", "lumber and connector", "reaction", "plates", "grade", "girders",
             "deflection", "compression", "bracing")  # fmt: skip
    assert len(wording.DRAWING_ITEMS) == 12
    for line, word in zip(wording.DRAWING_ITEMS, words, strict=True):
        assert word in line.lower()
    for line, word in zip(wording.ALSO, ("heel", "overhang", "ceiling pitch", "camber"), strict=True):
        assert word in line.lower()
    said = " ".join(label.text for label in sheets(example())[-1].labels)
    assert all(line.split()[-1] in said for line in (*wording.DRAWING_ITEMS, *wording.ALSO))


def test_no_sheet_designs_the_truss() -> None:
    """No webs are drawn, and no member size of the chords is dictated."""
    for page in sheets(corners()[1]):
        assert {part.style for part in page.parts}.isdisjoint({"web", "wedge"})
        assert not any("2x4 chord" in label.text or "slider" in label.text for label in page.labels)


# --- what the reader needs -------------------------------------------------------------------------------------------


def reader_facts(job: Job) -> dict[str, list[str]]:
    """What the manufacturer needs of a job's set, by the page's heading: worked from the walls, not from the sheet."""
    first, criteria = [], []
    for kind in job.types:
        left, right = kind.set_in()
        bay = kind.bay(job.scissor)
        first += [kind.mark, str(kind.count), rl.feet_inches(job.gable.span - left - right), f'{kind.spacing:g}" o.c.',
                  rl.feet_inches(kind.length)]  # fmt: skip
        first += [f"{end} {rl.feet_inches(abs(by))}" for end, by in (("left", left), ("right", right)) if by]
        first += [f"{rl.feet_inches(abs(by))} out" for by in (left, right) if by < 0]
        for end in bay.ends:
            first += [rl.feet_inches(end.heel), rl.feet_inches(end.overhang)]
        first += [pitch_text(pitch) for pitch in pair(job.gable.pitch)]
    first += ["not a 2-ply girder", "Bay length", "along the wall", "Wall in / out", "Qty"]
    gable = any(kind.gable_ends for kind in job.types)
    ladder = ("Gable ladder", "Studs in the gable end", "Gable end sheathing", "Outlookers, on center")
    criteria += [
        *("Code and edition", "Jurisdiction", "Vult", "Wind exposure", "Risk category", "Mean roof height",
          "Enclosure", "pg", "Ce", "Ct", "Unbalanced", "Seismic design category", "TCLL", "TCDL", "BCLL", "BCDL",
          "First truss at the seam", "Horizontal movement allowed at a bearing", "Left bearing", "Right bearing",
          "Species of the wall plates", "Roof sheathing as bracing", "Ceiling as bracing", "Heel blocking by",
          "Sealed truss drawings", "Truss placement diagram", "Tail cut", "Subfascia", "Fascia", "Soffit"),
        *(ladder if gable else ()),
    ]  # fmt: skip
    for key, value in job.loads.items():
        if gable or key not in ("ladder", "ladder_spacing", "gable_studs", "gable_sheathing"):
            words = {"ladder_spacing": '24" o.c.'} if value == "24 in" else {}
            criteria.append(words.get(key) or (f"{value:g}" if isinstance(value, float) else str(value)))
    if job.loads:  # on the long truss's span, by hand: span over 360, 240 and 480
        criteria += [f"{job.gable.span / over:.2f} in" for over in (360, 240, 480)]
    else:
        criteria += ["not given: ask the building official", "not given, to be agreed"]
    return {"truss schedule": first, "Design criteria": criteria}


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_the_manufacturer_finds_every_fact(paper: str, tmp_path: Path) -> None:
    """Fifteen random jobs, read back from the PDF: all facts, nothing overlaps, is small or is cut with dots."""
    for i, job in enumerate(varied_jobs(cases(15), seed=len(paper))):
        made = sheets(job, paper)
        assert [wrong for page in made for wrong in faults(page)] == [], repr(job)
        pdf = pypdf.PdfReader(rl.profile_sheet(job, tmp_path / f"{i}.pdf", paper)[0])
        texts = {page.title: "".join(read.extract_text().split()) for page, read in zip(made, pdf.pages, strict=True)}
        for heading, facts in reader_facts(job).items():
            said = "".join(text for title, text in texts.items() if heading in title)
            assert [fact for fact in facts if "".join(fact.split()) not in said] == [], (heading, repr(job))
        for title, text in texts.items():
            assert "frommemory" not in text and "..." not in text, title
            assert "Donotscale;writtendimensionsgovern" in text and "buildingofficial" in text, title
            for word in ("centre", "roofpanels", "lb/ft²", "inapart", "codeofficial", "c.toc."):
                assert word not in text or (word == "lb/ft²" and title.endswith("Design criteria")), (word, title)


def test_a_tail_is_held_and_its_depth_comes_back() -> None:
    """The cut and the top of it are held; what comes back is its depth.  A square cut is drawn square."""
    for word in ("square", "plumb"):
        cut, job = f"A {word} cut", replace(example(), loads={"tail_cut": word})
        said = " ".join(label.text for label in sheets(job)[2].labels)
        assert f"{cut} and where the top of that cut stands are ours to hold" in " ".join(said.split())
        assert "Depth of the tail as made" in said and "Depth and cut" not in said
        tail = next(shape for shape in profile_scene(job, job.types[0]).shapes if shape.name == "left top chord").points
        (xa, ya), (xb, yb) = tail[0], tail[-1]
        along = (xb - xa) * 12 + (yb - ya) * 8  # along the roof's 8 in 12: nothing, where the cut is square
        assert (along == pytest.approx(0)) == (cut == "A square cut") and (xa == xb) == (cut == "A plumb cut")
        assert (xa, ya) == (-16.0, pytest.approx(8.8125 - 16 * 8 / 12))


def test_a_dropped_gable_end_holds_no_roof_plane_and_no_tail() -> None:
    job = corners()[1]
    scene = gable_scene(job, job.types[0])
    assert not any("overhang" in dim.text for dim in scene.dims) and scene.bounds()[0] == 0.0
    page = next(page for page in sheets(job) if "Gable end truss, type A" in page.title)
    said = " ".join(label.text for label in page.labels)
    for words in ("this truss holds no roof plane", "No tail: none is drawn or held", "Gable ladder (outlookers) by:"):
        assert words in said
    assert "Outer plane" not in said and "tail cut" not in said


def test_what_both_bearings_do_is_asked() -> None:
    job = replace(example(), loads=dict.fromkeys(("left_bearing", "right_bearing"), "held"))
    held = " ".join(label.text for label in sheets(job)[1].labels)
    assert "Both bearings are held: tell us the thrust" in held
    assert "Both bearings" not in " ".join(label.text for label in sheets(example())[1].labels)


# --- files -----------------------------------------------------------------------------------------------------------


def points_of(page: pypdf.PageObject) -> set[tuple[float, float]]:
    """Corners of all paths of a page, points from its lower left corner."""
    stream = ContentStream(page.get_contents(), page.pdf)
    return {
        (round(float(operands[0]), 3), round(float(operands[1]), 3))
        for operands, operator in stream.operations
        if operator in (b"m", b"l")
    }


@pytest.mark.parametrize(("paper", "scale"), [("letter", "1/4"), ("tabloid", "3/8")])
def test_pdf_is_true_to_scale(paper: str, scale: str, tmp_path: Path) -> None:
    """26 ft at 1/4 in to the foot is 6 1/2 in = 468 pt, 112.8125 in of height 169.22 pt; 3/8 in: half as much again."""
    path = tmp_path / "sheets.pdf"
    assert rl.profile_sheet(example(), path, paper) == (path,)
    pdf = pypdf.PdfReader(path)
    assert len(pdf.pages) == 5 and pdf.metadata is not None and pdf.metadata.title == "House on the slope (example)"
    for page, made in zip(pdf.pages, sheets(example(), paper), strict=True):
        assert [float(side) / 72 for side in page.mediabox[2:]] == list(PAPERS[paper])
        text = "".join(page.extract_text().split())
        assert [label.text for label in made.labels if "".join(label.text.split()) not in text] == []
    page = pdf.pages[2]
    assert f'{scale}" = 1\'-0"' in page.extract_text()
    unit = {"1/4": 1.5, "3/8": 2.25}[scale]
    corners_of = points_of(page)

    def there(x: float, y: float) -> bool:
        return any(abs(px - x) < 0.1 and abs(py - y) < 0.1 for px, py in corners_of)

    found = [(x, y) for x, y in corners_of if there(x + 312 * unit, y) and there(x + 156 * unit, y + 112.8125 * unit)]
    assert len(found) >= 1
    first = sheets(example(), paper)[2].shapes[0].points[0]  # the left wall's plate, outside, top
    assert any(abs(x - first[0]) < 0.1 and abs(PAPERS[paper][1] * 72 - y - first[1]) < 0.1 for x, y in found)


def test_every_dimension_is_in_the_pdf(tmp_path: Path) -> None:
    job = corners()[1]
    pdf = pypdf.PdfReader(rl.profile_sheet(job, tmp_path / "a.pdf")[0])
    made = [page.extract_text().replace("\n", " ") for page in pdf.pages]
    for kind in job.types:
        text = next(t for t in made if f"Truss profile, type {kind.mark}:" in t)
        texts = [dim.text for dim in profile_scene(job, kind).dims if dim.side != "inside"]
        assert [said for said in texts if "".join(said.split()) not in "".join(text.split())] == []


def test_svg_and_png(tmp_path: Path) -> None:
    drawn = rl.profile_sheet(example(), tmp_path / "a.svg")
    assert [path.name for path in drawn] == [f"a-{i}.svg" for i in range(1, 6)]
    assert "overall L 9'-4 13/16" in drawn[2].read_text(encoding="utf-8")
    assert rl.profile_sheet(example(), tmp_path / "a.PNG", "tabloid")[0].read_bytes()[:4] == b"\x89PNG"


def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    one, two = (rl.profile_sheet(example(), tmp_path / f"{i}.pdf")[0].read_bytes() for i in "ab")
    assert one == two


def test_nothing_is_written_over(tmp_path: Path) -> None:
    for name, there in (("a.pdf", "a.pdf"), ("a.svg", "a-3.svg")):
        (tmp_path / there).write_text("mine")
        with pytest.raises(InputError, match="nothing is overwritten"):
            rl.profile_sheet(example(), tmp_path / name)
        assert (tmp_path / there).read_text() == "mine"
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize(
    ("change", "path", "paper", "words"),
    [
        ({}, "a.doc", "letter", ".pdf, .svg, .png"),
        ({}, "a.pdf", "A4", "letter or tabloid"),
        ({}, "nowhere/a.pdf", "letter", "cannot be written"),
        ({}, "nowhere/a.png", "letter", "cannot be written"),
        ({}, None, "letter", "name of a file"),
        ({"types": ()}, "a.pdf", "letter", "at least one type"),
    ],
)
def test_what_is_refused(
    change: Any, path: Any, paper: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(InputError, match=words):
        rl.profile_sheet(replace(example(), **change), path, paper)
    assert not list(tmp_path.iterdir())


def test_scales_are_written_as_on_drawings() -> None:
    assert [scale_text(s) for s in (3.0, 1.5, 0.375, 0.09375, 0.03125)] == [
        "3\" = 1'-0\"", "1 1/2\" = 1'-0\"", "3/8\" = 1'-0\"", "3/32\" = 1'-0\"", "1/32\" = 1'-0\""
    ]  # fmt: skip


def unequal() -> Job:
    """24 ft, 9 and 6 in 12, bearings 5 1/2 and 3 1/2, the right plate 12 in higher, 2x6 with a full bearing."""
    gable = rl.Gable(288, (9, 6), (5.5, 3.5), 16, (97.125, 109.125))
    rafters = rl.RafterBay(gable, "2x6", (5.5, 3.5))
    types = (TrussType("A", 240, gable_ends=2), TrussType("B", 96, jog=Jog("left", 24)),
             TrussType("C", 60, 19.2, gable_ends=2, jog=Jog("right", -8)))  # fmt: skip
    loads = {**example().loads, "dead": 15, "snow_edition": "ASCE 7-16"}
    return Job("Unequal", rafters, ScissorBay(gable, 3, rounded_heels(rafters)), types, loads=loads)


def test_a_heel_under_the_minimum_is_asked_about() -> None:
    """9 in 12: 2x6 5.5 x 1.25 - 5.5 x 0.75 = 2.75 of heel; a 2x4 wants 3.5 x 1.25 + 0.25 = 4.625.

    6 in 12: 5.5 x 1.11803 - 3.5 x 0.5 = 4.399; a 2x4 wants 3.5 x 1.11803 + 0.25 = 4.163, which it has.
    """
    page = next(page for page in sheets(unequal()) if "Truss profile, type A" in page.title)
    said = " ".join(label.text for label in page.labels)
    assert "ASK" in [label.text for label in page.labels]
    assert 'Left heel 2 3/4" is under the minimum 4 5/8" for a 2x4: can you build it? Answer before design.' in said
    assert "Right heel" not in said
    assert "Answer before design" not in words(example())


def test_loads_of_unequal_ends_are_labeled() -> None:
    said = words(unequal())
    left, right = said.index("Left (9 in 12): Dead 15 psf"), said.index("Right (6 in 12): Dead 15 psf")
    assert left < said.index("Snow on one side of the ridge is not asked for") < right < said.index("Snow on one side:")


def test_gable_ends_in_mid_roof_are_asked_about() -> None:
    """A's two stand at the seam and against B, C's first against B and its last at the roof's end."""
    said = " ".join(notes(unequal()))
    for at in ("of type A at the seam", "of type A at the start of type B", "of type C at the end of type B"):
        assert f"The gable end {at} is not at an end of the roof: ladder here? Confirm." in said
    assert said.count("ladder here?") == 3


def test_a_remedy_already_in_use_is_not_given() -> None:
    assert "lay the outlookers flat" not in words(unequal()) and "balloon-framed" in words(unequal())


def test_issued_figures_and_words() -> None:
    job = house(312, 8, 16, "2x10", 4, FIVE[:2], loads={"snow_exposure": 1, "ladder_spacing": "24 in"})
    said = words(job)
    assert "Ce: 1.0" in said and 'Outlookers, on center: 24" o.c.' in said
    assert "stricter limit at the seam: not given, to be agreed" in said
    assert 'Moved wall, read off the same planes: plate 7 5/16" above M, heel 1\'-5 1/2".' in said


# --- a job of nobody's yet -------------------------------------------------------------------------------------------


def test_no_sheet_of_stand_in_dimensions_is_issued() -> None:
    """Every sheet says so until the title and each length are the job's own; none of an own job says it."""
    own = replace(example(), title="Lot 4")
    stands_in = replace(own.types[0], remark=TO_GIVE)
    for job in (blank_job(), replace(blank_job(), title=""), replace(own, types=(stands_in,))):
        for page in sheets(job):
            assert "NOT ISSUED: dimensions not confirmed for this job" in [label.text for label in page.labels]
            assert not faults(page)
    assert "NOT ISSUED" not in words(own)
    said = words(blank_job())
    assert "Dimensions: Span, pitches, heels" in said
    assert 'to be given at 24" o.c.' in said and "11 at" not in said and "20'-0\"" not in said


def test_title_and_project_stand_on_every_sheet() -> None:
    job = replace(example(), title="Lot 4", sheet={"project": "Hill Road houses"})
    assert all("Lot 4 · Hill Road houses" in [label.text for label in page.labels] for page in sheets(job))
