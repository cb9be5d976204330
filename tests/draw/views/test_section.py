"""The pictures: everything that has to be there is there, and no text lies on anything.

Measured with shapely and by reading the SVG text and the matplotlib figure back, over the corner cases and 200 random
settings.  The planes are checked against the house's own roof and ceiling lines, slope by slope.
"""

from __future__ import annotations

import re
import statistics
import time
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import matplotlib
import pypdf
import pytest
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon

from rooflab import InputError
from rooflab.draw import paper
from rooflab.draw.layout import fit, layout
from rooflab.draw.members import chord_outlines, rafter_outline
from rooflab.draw.scene import Dim, Label, Layout, Scene, Shape, Slope, svg, width
from rooflab.draw.sheets.page import Page
from rooflab.draw.views.details import REACH, eave, heel_detail
from rooflab.draw.views.section import meets_every, overlay, seam_plan, section
from rooflab.house.bays import End
from rooflab.house.seam import compare
from tests.tools.pictures import (
    DETAIL,
    LARGE,
    Case,
    corners,
    faults,
    made,
    pictures,
    plans,
    settings,
    unequal,
    views_of,
)

SVG = "{http://www.w3.org/2000/svg}"


def all_faults(cases: list[Case]) -> dict[str, list[str]]:
    found = {name: faults(scene, frame, placed) for name, scene, frame, placed in pictures(cases)}
    return {name: wrong for name, wrong in found.items() if wrong}


def test_corner_cases() -> None:
    assert all_faults(corners()) == {}


def test_unequal_ends() -> None:
    assert all_faults(unequal()) == {}


@pytest.mark.parametrize("seed", range(4))
def test_random_settings(seed: int) -> None:
    """Fifty a seed, every input anywhere on its control's steps."""
    assert all_faults(list(settings(50, seed))) == {}


def test_random_settings_with_unequal_ends() -> None:
    assert all_faults(list(settings(40, 11, two=True))) == {}


def test_the_seam_in_plan() -> None:
    found = {f"{name} {frame}": faults(scene, frame, fit(scene, *frame)) for name, scene, frame in plans()}
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


def test_faults_are_found() -> None:
    """The search itself is tried on a text on an edge, two texts on each other, one outside and one that is missing."""
    scene = Scene("t", "d", (Shape("member", ((0, 0), (90, 0), (90, 60), (0, 60)), "rafter"),), must=("gone",))
    labels = (
        Label("a", "12", 0, 30, "middle", 11),
        Label("b", "12", 3, 33, "start", 11),
        Label("c", "8", 99, 9, "end", 11),
    )
    placed = Layout("t", "d", 95.0, 70.0, 1.0, (0, 0), scene.shapes, (), labels)
    words = " ".join(faults(scene, LARGE, placed))
    for said in ("gone is missing", "12 touches 12", "12 lies on member", "8 leaves the frame"):
        assert said in words


# --- members and planes ----------------------------------------------------------------------------------------------


def on(points: Any, line: Any) -> int:
    """How many points lie on a line, to 1e-9 in."""
    return sum(abs(y - line.at(x)) < 1e-9 for x, y in points)


@pytest.mark.parametrize("case", [*corners(), *unequal(), *settings(30, 5, two=True)], ids=lambda case: case.name)
def test_outlines_lie_on_the_planes(case: Case) -> None:
    """Top edges on the roof lines, the bottom chord's underside on the ceiling line, birdsmouth on the plate."""
    for side in ("left", "right"):
        rafter: End = getattr(case.rafters, side)
        truss: End = getattr(case.scissor, side)
        outline = rafter_outline(case.rafters, side)
        assert on(outline, rafter.roof) >= 2
        assert (rafter.wall.x, rafter.plate) in [(x, pytest.approx(y, abs=1e-9)) for x, y in outline]
        top, bottom, _ = chord_outlines(case.scissor, side)
        assert on(top, truss.roof) >= 2
        assert bottom == () or on(bottom, truss.ceiling) >= 1
    left, right = (getattr(case.scissor, side) for side in ("left", "right"))
    apex = left.wall.inside(left.apex)
    ends = [p for side in ("left", "right") for p in chord_outlines(case.scissor, side)[1]]
    assert left.ceiling.at(apex) == pytest.approx(right.ceiling.at(apex), abs=1e-9)
    assert any(abs(x - apex) < 1e-9 and abs(y - left.ceiling.at(apex)) < 1e-9 for x, y in ends)


def test_the_carried_plane_is_the_rafters_roof_line() -> None:
    case = made("truss high", heel=20)
    scene = section(case.rafters, case.scissor, compare(case.rafters, case.scissor))
    stroke = next(s for s in scene.strokes if s.name == "rafter plane carried across")
    assert on(stroke.points, case.rafters.right.roof) == 2
    assert on(stroke.points, case.scissor.right.roof) == 0


@pytest.mark.parametrize("case", [*corners(), *settings(20, 6)], ids=lambda case: case.name)
def test_dimensions_measure_what_they_say(case: Case) -> None:
    """Each dimension's anchors are as far apart as the bay's reading, and the placed picture keeps the scale."""
    scene = section(case.rafters, case.scissor, compare(case.rafters, case.scissor))
    dims = {dim.name: dim for dim in scene.dims}
    rafters, scissor = case.rafters, case.scissor
    for name, value in (
        ("rafter heel", rafters.left.heel), ("truss heel", scissor.right.heel), ("rafter height", rafters.peak_height),
        ("overall height", scissor.height), ("ceiling rise", scissor.ceiling_rise),
    ):  # fmt: skip
        assert abs(dims[name].b[1] - dims[name].a[1]) == pytest.approx(value, abs=1e-9), name
    assert dims["span"].b[0] - dims["span"].a[0] == rafters.gable.span
    placed = fit(scene, *LARGE)
    drawn = next(s for s in placed.shapes if s.name == "rafter")
    whole = next(s for s in scene.shapes if s.name == "rafter")
    for (px, py), (x, y) in zip(drawn.points, whole.points, strict=True):
        assert px == pytest.approx(placed.origin[0] + x * placed.scale, abs=1e-6)
        assert py == pytest.approx(placed.origin[1] - y * placed.scale, abs=1e-6)


def test_unequal_ends_are_laid_over_each_other() -> None:
    """Half sections would hide an end; every case here shows both heels or one that stands for both bays."""
    for case in unequal():
        scene = section(case.rafters, case.scissor, compare(case.rafters, case.scissor))
        assert scene == overlay(case.rafters, case.scissor, compare(case.rafters, case.scissor))
        names = {dim.name for dim in scene.dims}
        for side in ("left", "right"):
            assert {f"{side} heel"} <= names or {f"{side} rafter heel", f"{side} truss heel"} <= names
            assert {f"{side} roof pitch", f"{side} ceiling pitch"} <= {mark.name for mark in scene.slopes}
        assert {s.style for s in scene.shapes} & {"truss"} == set()
        assert {"truss line"} <= {s.style for s in scene.strokes}
    even = made("even")
    assert section(even.rafters, even.scissor, compare(even.rafters, even.scissor)).title.startswith(
        "One roof plane: rafter bay on"
    )


def test_an_eighth_is_four_pixels_in_the_lens() -> None:
    """In every corner case and in random settings, at the size of the live panel."""
    for case in [*corners(), *unequal(), *settings(100, 21)]:
        placed = fit(heel_detail(case.rafters, case.scissor), *DETAIL)
        bar = next(s for s in placed.strokes if s.name == "an eighth")
        assert bar.points[1][0] - bar.points[0][0] >= 4.0, case.name
        lens = next(s for s in placed.shapes if s.name == "lens")
        wide = max(x for x, _ in lens.points) - min(x for x, _ in lens.points)
        assert (bar.points[1][0] - bar.points[0][0]) * 16 * REACH == pytest.approx(wide, rel=0.01)


@pytest.mark.parametrize("off", [1 / 8, -1 / 8, 0.5])
def test_the_lens_shows_the_gap(off: float) -> None:
    """Both edges in the lens are as far apart, plumb, as the lens's own eighth says."""
    case = made("off", heel=8.8125 + off)
    scene = heel_detail(case.rafters, case.scissor)
    edges = {s.name: s.points for s in scene.strokes}
    bar = edges["an eighth"][1][0] - edges["an eighth"][0][0]
    (xa, ya), (xb, yb) = edges["rafter edge magnified"]
    x, y = edges["truss edge magnified"][0]
    assert (y - (ya + (x - xa) * (yb - ya) / (xb - xa))) / bar == pytest.approx(8 * off, abs=1e-6)


@pytest.mark.parametrize(("rafters", "trusses", "every"), [(16, 24, 48), (12, 24, 24), (24, 24, 24), (19.2, 24, 96)])
def test_where_both_spacings_meet(rafters: float, trusses: float, every: float) -> None:
    """Least common multiples, by hand; 19.2 in divides an 8 ft panel by five, 24 in by four (common practice)."""
    assert meets_every(rafters, trusses) == every


def test_panels_end_on_framing_and_run_across_the_seam() -> None:
    for name, scene, _ in plans():
        places = {round((shape.points[0][0] + shape.points[1][0]) / 2, 6) for shape in scene.shapes}
        across = [s for s in scene.strokes if s.name == "panel across the seam"]
        assert len(across) == 3, name
        joints = {round((s.points[0][0] - 0.6), 6) for s in across} | {round((s.points[1][0] + 0.6), 6) for s in across}
        assert joints <= places, name
        assert len({s.points[0][0] for s in across}) == 2, name  # staggered
    assert "2'-0\" on center" in seam_plan().description


# --- renderers -------------------------------------------------------------------------------------------------------


def from_svg(text: str) -> tuple[list[Any], list[Any], list[Any]]:
    """Outlines, lines and texts of an SVG picture, moved back to the layout's corner."""
    root = ET.fromstring(text)
    group = root.find(f"{SVG}g")
    assert group is not None
    dx, dy = (float(n) for n in re.findall(r"-?[\d.]+", group.get("transform") or ""))
    assert (dx, dy) >= (0.0, 0.0)

    def points(words: str) -> list[tuple[float, float]]:
        return [(float(x), float(y)) for x, y in (pair.split(",") for pair in words.split())]

    outlines = [points(p.get("points") or "") for p in group.iter(f"{SVG}polygon")]
    lines = [points(part) for p in group.iter(f"{SVG}path") for part in (p.get("d") or "").split("M") if part]
    texts = [
        (float(t.get("x", 0)), float(t.get("y", 0)), t.text, t.get("transform") is not None)
        for t in root.iter(f"{SVG}text")
    ]
    return outlines, lines, texts


def from_figure(placed: Layout) -> tuple[list[Any], list[Any], list[Any]]:
    axes = paper.figure(placed).axes[0]
    patches = [p for p in axes.patches if isinstance(p, Polygon)]
    outlines = [[tuple(point) for point in patch.get_xy()[:-1]] for patch in patches]
    data: list[Any] = [line.get_data() for line in axes.lines if isinstance(line, Line2D)]
    lines = [list(zip(*both, strict=True)) for both in data]
    texts = [(*t.get_position(), t.get_text(), t.get_rotation() == 90.0) for t in axes.texts]
    return outlines, lines, texts


def test_both_renderers_draw_the_same() -> None:
    """As many outlines, lines and texts, at the same places, to the tenth of a pixel that SVG text keeps."""
    for name, _, frame, placed in pictures([*corners()[:3], *corners()[-6:], *unequal()[6:8]]):
        screen, sheet = from_svg(svg(placed, *frame)), from_figure(placed)
        for mine, theirs in zip(screen[:2], sheet[:2], strict=True):
            assert [len(part) for part in mine] == [len(part) for part in theirs], name
            for one, other in zip(mine, theirs, strict=True):
                assert all(
                    abs(a - b) <= 0.051 for p, q in zip(one, other, strict=True) for a, b in zip(p, q, strict=True)
                )
        for one, other in zip(screen[2], sheet[2], strict=True):
            assert abs(one[0] - other[0]) <= 0.051 and abs(one[1] - other[1]) <= 0.051 and one[2:] == other[2:], name


def test_text_alternative() -> None:
    """Title and description say the sentence on top, the heel and the span."""
    case = made("spoken", heel=9)
    seam = compare(case.rafters, case.scissor)
    for scene in (
        section(case.rafters, case.scissor, seam),
        heel_detail(case.rafters, case.scissor),
        eave(case.rafters, case.scissor, None),
    ):
        root = ET.fromstring(svg(fit(scene, *LARGE), *LARGE))
        title, said = root.findtext(f"{SVG}title") or "", root.findtext(f"{SVG}desc") or ""
        assert root.get("role") == "img" and title
        assert '8 13/16"' in said and "26'-0\"" in said
    assert seam.sentence in section(case.rafters, case.scissor, seam).description


def test_words_are_escaped() -> None:
    """What somebody typed stays text, in titles, descriptions, dimensions and names."""
    bad = "<script>&\"'</script>"
    dim = Dim(bad, bad, (0.0, 0.0), (50.0, 0.0), "bottom")
    scene = Scene(bad, bad, (Shape("a", ((0, 0), (50, 0), (50, 9)), "rafter"),), (), (dim,))
    text = svg(fit(scene, *LARGE), *LARGE)
    assert "<script" not in text
    root = ET.fromstring(text)
    assert [t.text for t in root.iter(f"{SVG}text")] == [bad] and root.findtext(f"{SVG}title") == bad
    case = made("typed", lumber=' 1 3/4"  x  11 7/8" ')
    scene = section(case.rafters, case.scissor, compare(case.rafters, case.scissor))
    assert any(
        '1 3/4" x 11 7/8"' in (t.text or "") for t in ET.fromstring(svg(fit(scene, *LARGE), *LARGE)).iter(f"{SVG}text")
    )


def test_the_same_again() -> None:
    first, again = ([svg(placed, *frame) for _, _, frame, placed in pictures(corners()[:4])] for _ in range(2))
    assert first == again


def test_the_scale_holds_still() -> None:
    """A sixteenth more heel does not change the scale of the picture."""
    scales = []
    for heel in (8.8125, 8.875, 8.9375):
        case = made("moved", heel=heel)
        scales.append(fit(section(case.rafters, case.scissor, compare(case.rafters, case.scissor)), *LARGE).scale)
    assert len(set(scales)) == 1


def test_a_mark_without_room_becomes_a_line_above_and_an_optional_text_is_named() -> None:
    wall = Shape("wall", ((0, 0), (90, 0), (90, 20), (0, 20)), "wall")
    mark = Slope("ceiling pitch", "4", (0, 10), 1 / 3, False, (90, 10))
    rise = Dim("ceiling rise", "rise 3", (45, 2), (45, 18), "inside")
    placed = layout(Scene("t", "d", (wall,), (), (rise,), (mark,), must=("ceiling pitch",)), 1.0)
    assert [label.text for label in placed.labels] == ["ceiling pitch 4 in 12"]
    assert placed.dropped == ("ceiling rise",)
    assert layout(Scene("t", "d", (wall,), (), (), (mark,)), 1.0).dropped == ("ceiling pitch",)


def test_widths_are_enough_for_the_paper_face() -> None:
    """No text of the pictures is wider in DejaVu Sans, the widest of the faces named, than the layout allowed for."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    face = FontProperties(family=paper.FACES)
    texts = {label.text for _, _, _, placed in pictures([*corners()[:8], *unequal()[:4]]) for label in placed.labels}
    for text in texts | {"0123456789", "1'-11 15/16\""}:
        assert TextPath((0, 0), text, size=11, prop=face).get_extents().width <= width(text, 11) * 1.02, text


# --- paper -----------------------------------------------------------------------------------------------------------


@pytest.fixture
def placed() -> Layout:
    case = made("sheet")
    return fit(section(case.rafters, case.scissor, compare(case.rafters, case.scissor)), *LARGE)


def test_pdf_holds_true_scale_and_text(placed: Layout, tmp_path: Path) -> None:
    """Page size in points, every text readable, fonts embedded; the same bytes again."""
    path = tmp_path / "sheet.pdf"
    paper.save(placed, path)
    page = pypdf.PdfReader(path).pages[0]
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
        (placed.width, placed.height), abs=0.01
    )
    read = page.extract_text().replace("\n", " ")
    assert all(label.text.split("  ")[-1] in read for label in placed.labels)
    fonts = page["/Resources"]["/Font"]  # type: ignore[index]
    kinds = {
        fonts[name]["/DescendantFonts"][0]["/Subtype"] if "/DescendantFonts" in fonts[name] else fonts[name]["/Subtype"]
        for name in fonts
    }
    assert kinds == {"/CIDFontType2"} or kinds == {"/TrueType"} or kinds <= {"/CIDFontType2", "/TrueType"}
    first = path.read_bytes()
    assert paper.save(placed, tmp_path / "again.pdf").read_bytes() == first and b"CreationDate" not in first


def test_svg_and_png(placed: Layout, tmp_path: Path) -> None:
    for suffix in ("svg", "png"):
        paper.save(placed, tmp_path / f"a.{suffix}")
        paper.save(placed, tmp_path / f"b.{suffix}")
        assert (tmp_path / f"a.{suffix}").read_bytes() == (tmp_path / f"b.{suffix}").read_bytes()
    text = (tmp_path / "a.svg").read_text(encoding="utf-8")
    assert "out to out of framing" in text and "<dc:date>" not in text
    with pytest.raises(InputError, match="sheet.doc"):
        paper.save(placed, tmp_path / "sheet.doc")


def test_a_page_of_layouts(placed: Layout, tmp_path: Path) -> None:
    """Two layouts and a line of text where they were put; matplotlib's settings stay as they were."""
    before = dict(matplotlib.rcParams)
    page = Page(792, 1224)
    page.draw(placed, 36, 72)
    page.draw(placed, 36, 500)
    page.text(36, 40, "not a $dollar$ formula", size=12)
    sheet = page.layout("Sheet", "Two sections")
    paper.save(sheet, tmp_path / "page.pdf")
    assert dict(matplotlib.rcParams) == before
    firsts = [p for p in paper.figure(sheet).axes[0].patches if p.get_gid() == placed.shapes[0].name]
    assert firsts[1].get_xy()[0][1] - firsts[0].get_xy()[0][1] == pytest.approx(428)  # type: ignore[attr-defined]
    assert "not a $dollar$ formula" in pypdf.PdfReader(tmp_path / "page.pdf").pages[0].extract_text()


# --- cost ------------------------------------------------------------------------------------------------------------


def test_a_picture_is_small_and_quick() -> None:
    """At most 12 KB; 3 ms on an idle core, with room here for a busy machine."""
    for case in [*corners(), *unequal()]:
        for name, scene, frame in views_of(case):
            assert len(svg(fit(scene, *frame), *frame).encode()) <= 12_000, (case.name, name)
    case = made("timed")
    scene = section(case.rafters, case.scissor, compare(case.rafters, case.scissor))
    times = []
    for _ in range(25):
        start = time.perf_counter()
        svg(fit(scene, *LARGE), *LARGE)
        times.append(time.perf_counter() - start)
    assert statistics.median(times) < 0.015
