"""The full-size birdsmouth template and the cut sheet, measured on the PDF that is written.

Path coordinates are read back from the pages' content with pypdf, in points (1/72 in).  What they must be is worked
here from depth, pitch and seat alone: plumb depth D k, heel D k - m seat, plumb cut m seat (NAVEDTRA 14044, ch. 2: the
rafter's triangle), 6 in = 432 points, 100 mm = 283.465 points.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations
from math import dist, sqrt
from pathlib import Path
from typing import Any, NamedTuple

import pypdf
import pytest
from pypdf.generic import ContentStream

import rooflab as rl
from rooflab import InputError
from rooflab.draw.scene import Layout
from rooflab.draw.sheets.cutting import sheet_pages
from rooflab.draw.sheets.page import write_pdf
from rooflab.draw.sheets.template import MOST, template, template_page, tiling, words_page
from rooflab.house.cutting import Cut
from tests.tools.cuts import cut, random_cuts
from tests.tools.pictures import crossed

INCH, NEAR = 72.0, 0.1  # points an inch, and how near everything must be, points
Point = tuple[float, float]


# --- reading a PDF back ----------------------------------------------------------------------------------------------


class Drawn(NamedTuple):
    """A straight line of a page: its ends (y up), width and whether it is dashed."""

    a: Point
    b: Point
    width: float
    dashed: bool

    @property
    def length(self) -> float:
        return dist(self.a, self.b)


def read(page: Any, reader: Any) -> list[Drawn]:
    """The stroked straight lines of a page, from its content."""
    state, stack, at, found, path = (1.0, False), list[tuple[float, bool]](), (0.0, 0.0), list[Drawn](), list[Any]()
    for operands, operator in ContentStream(page["/Contents"].get_object(), reader).operations:
        numbers = [float(one) for one in operands if isinstance(one, (int, float))]
        if operator == b"q":
            stack.append(state)
        elif operator == b"Q":
            state = stack.pop()
        elif operator == b"cm":
            assert numbers == [1, 0, 0, 1, 0, 0] or not path, "a scaled page"
        elif operator == b"w":
            state = numbers[0], state[1]
        elif operator == b"d":
            state = state[0], len(operands[0]) > 0
        elif operator == b"m":
            at = numbers[0], numbers[1]
        elif operator == b"l":
            path.append((at, (numbers[0], numbers[1])))
            at = numbers[0], numbers[1]
        elif operator in (b"S", b"s"):
            found += [Drawn(a, b, *state) for a, b in path]
            path = []
        elif operator in (b"n", b"f", b"B", b"b", b"f*", b"B*", b"b*"):
            path = []
    return found


def lines_of(pages: list[Layout], path: Path) -> list[list[Drawn]]:
    """The lines of pages as they are written; without their texts, which take most of the time."""
    bare = [replace(page, labels=()) for page in pages]
    reader = pypdf.PdfReader(write_pdf(bare, path, "Birdsmouth template"))
    for page, layout in zip(reader.pages, pages, strict=True):
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((layout.width, layout.height))
    return [read(page, reader) for page in reader.pages]


# --- rafters ---------------------------------------------------------------------------------------------------------


def some(count: int, seed: int, pages: bool) -> Iterator[Cut]:
    """Random rafters whose template fits one page of letter paper (or, with ``pages``, takes several)."""
    rng = random.Random(seed)
    while count:
        pitch, overhang = rng.choice((2, 3, 4.5, 6, 7, 8, 9.5, 12)), rng.choice((0, 1, 12, 16, 24))
        given: dict[str, Any] = {"pitch": pitch, "overhang": overhang, "span": rng.randrange(144, 480)}
        given |= {
            "lumber": rng.choice(("2x6", "2x8", "2x10", "2x12", "1 3/4 x 11 7/8")),
            "seat": rng.randrange(8, 88) / 16,
        }
        try:
            made = cut(**given)
            fits = len(tiling(made).tiles) == 1
        except InputError:
            continue
        if fits != pages:
            count -= 1
            yield made


@cache
def one_page() -> tuple[Cut, ...]:
    return tuple(some(30, 1, False))


def known(one: Cut) -> tuple[float, float, float, float]:
    """Depth, slope, stretch and seat, from the bay's inputs."""
    m = one.bay.gable.slopes[0]
    seat = one.bay.seat
    assert isinstance(seat, float)
    return one.bay.depth, m, sqrt(1 + m * m), seat


@pytest.fixture(scope="module")
def measured(tmp_path_factory: pytest.TempPathFactory) -> list[list[Drawn]]:
    pages = [template_page(one, tiling(one), 0) for one in one_page()]
    return lines_of(pages, tmp_path_factory.mktemp("paper") / "thirty.pdf")


# --- true scale ------------------------------------------------------------------------------------------------------


def test_the_ruler_is_six_inches_and_a_hundred_millimetres(measured: list[list[Drawn]]) -> None:
    for page in measured:
        ruler = [one for one in page if one.a[0] == one.b[0] and abs(one.length - 432) < NEAR]
        assert len(ruler) == 1
        x, low = ruler[0].a[0], min(ruler[0].a[1], ruler[0].b[1])
        ticks = [one for one in page if one.a[1] == one.b[1] and x in (one.a[0], one.b[0]) and one.length < 12]
        inches = sorted({round(one.a[1] - low, 6) for one in ticks if min(one.a[0], one.b[0]) < x})
        metric = sorted({round(one.a[1] - low, 6) for one in ticks if max(one.a[0], one.b[0]) > x})
        assert inches == pytest.approx([9.0 * i for i in range(49)], abs=NEAR)  # every eighth
        assert metric == pytest.approx([5 * i * 72 / 25.4 for i in range(21)], abs=NEAR)
        assert metric[-1] == pytest.approx(283.465, abs=NEAR)


def test_seat_plumb_cut_and_angle_are_true(measured: list[list[Drawn]]) -> None:
    """30 random rafters: lengths within 0.1 point, angles so that no end is off by more than that."""
    for one, page in zip(one_page(), measured, strict=True):
        depth, m, k, seat = known(one)
        bold = {round(line.length, 1): line for line in page if line.width > 1.9}
        heel = depth * k - m * seat
        plumb = m * seat if one.has_tail else heel
        assert len(bold) == 2 or abs(plumb - seat) < 0.01
        edge_top, edge_bottom = edges(page)
        corner = shared([line for line in page if line.width > 1.9])
        for line in (line for line in page if line.width > 1.9):
            far = line.b if dist(line.a, corner) < NEAR else line.a
            across, along = corner[1] - far[1], far[0] - corner[0]  # down the page, to the tail
            if along < 0 and across > 0:  # the seat: level, toward the ridge and the bottom edge
                assert line.length == pytest.approx(seat * INCH, abs=NEAR)
                assert (-along / across) == pytest.approx(1 / m, abs=NEAR / across)
                assert far[1] == pytest.approx(edge_bottom, abs=NEAR)
            else:  # the plumb cut, or without a tail the plumb line up to the top edge
                assert line.length == pytest.approx(plumb * INCH, abs=NEAR)
                assert along / across == pytest.approx(m, abs=NEAR / abs(across))
                assert far[1] == pytest.approx(edge_bottom if one.has_tail else edge_top, abs=NEAR)
        if one.has_tail:  # the building line: plumb, a heel long, dashed, from the top edge to the corner
            line = next(line for line in page if line.dashed and dist(line.b, corner) < NEAR)
            assert line.length == pytest.approx(heel * INCH, abs=NEAR)
            assert line.a[1] == pytest.approx(edge_top, abs=NEAR)
            assert (line.b[0] - line.a[0]) / (line.a[1] - line.b[1]) == pytest.approx(m, abs=NEAR / heel / INCH)


def test_the_edges_are_a_depth_apart(measured: list[list[Drawn]]) -> None:
    for one, page in zip(one_page(), measured, strict=True):
        top, bottom = edges(page)
        assert top - bottom == pytest.approx(one.bay.depth * INCH, abs=NEAR)


def edges(page: list[Drawn]) -> tuple[float, float]:
    """Heights of the rafter's two edges: the longest level lines."""
    level = sorted((one for one in page if one.a[1] == one.b[1] and not one.dashed), key=lambda one: -one.length)[:2]
    return max(one.a[1] for one in level), min(one.a[1] for one in level)


def shared(two: list[Drawn]) -> Point:
    """The point that two lines share."""
    return next(p for p in (two[0].a, two[0].b) for q in (two[1].a, two[1].b) if dist(p, q) < NEAR)


def test_our_own_template_by_hand() -> None:
    """8 in 12, 2x10, seat 3 1/2: one page; heel 9.25 x 1.20185 - 2.3333 = 8.7838, plumb cut 2.3333; k = 1.2018504."""
    made = tiling(cut())
    assert len(made.tiles) == 1 and (made.wide, made.tall) == (8.5, 11.0)
    found = {one.name: dist(one.points[0], one.points[-1]) / 72 for one in template_page(cut(), made, 0).strokes}
    assert found["seat cut"] == pytest.approx(3.5) and found["plumb cut"] == pytest.approx(7 / 3)
    assert found["building line"] == pytest.approx(8.78378, abs=1e-4) and found["six inches"] == 6


# --- several pages ---------------------------------------------------------------------------------------------------


def crosses(page: list[Drawn]) -> list[Point]:
    """Middles of the register marks: two lines of 24 points that halve each other."""
    short = [one for one in page if abs(one.length - 24) < NEAR]
    level = [one for one in short if one.a[1] == one.b[1]]
    upright = [one for one in short if one.a[0] == one.b[0]]
    middles = [((a.a[0] + a.b[0]) / 2, a.a[1]) for a in level]
    return [
        p
        for p in middles
        if any(abs(u.a[0] - p[0]) < NEAR and abs((u.a[1] + u.b[1]) / 2 - p[1]) < NEAR for u in upright)
    ]


@pytest.mark.parametrize("number", range(2))
def test_pages_laid_on_each_other_by_their_crosses_are_true(number: int, tmp_path: Path) -> None:
    """Each page is moved until its crosses lie on those of the pages before; seat and plumb cut are then as long as
    they must be, and run through without a step."""
    one = list(some(2, 5, True))[number]
    made = tiling(one)
    assert len(made.tiles) > 1
    pages = lines_of([template_page(one, made, i) for i in range(len(made.tiles))], tmp_path / "pages.pdf")
    placed, left, where = [pages[0]], pages[1:], {p: p for p in crosses(pages[0])}
    fixed = list(where)
    while left:
        for page in left:
            own = crosses(page)
            shift = _fitting(fixed, own)
            if shift:
                moved = [line._replace(a=add(line.a, shift), b=add(line.b, shift)) for line in page]
                fixed += crosses(moved)
                placed.append(moved)
                left.remove(page)
                break
        else:
            raise AssertionError("a page shares no two crosses with the others")
    depth, m, k, seat = known(one)
    bold = [line for page in placed for line in page if line.width > 1.9]
    plumb = m * seat if one.has_tail else depth * k - m * seat
    # along plumb and along level directions of the page: (m, -1)/k down to the tail, (-1, -m)/k down to the ridge
    for direction, length in (((m / k, -1 / k), plumb), ((-1 / k, -m / k), seat)):
        along = [line for line in bold if abs(cross_of(direction, line)) < 0.01 * line.length + NEAR]
        ends = [p[0] * direction[0] + p[1] * direction[1] for line in along for p in (line.a, line.b)]
        sides = [p[0] * direction[1] - p[1] * direction[0] for line in along for p in (line.a, line.b)]
        assert max(ends) - min(ends) == pytest.approx(length * INCH, abs=NEAR)
        assert max(sides) - min(sides) < NEAR
    heights = [height for page in placed for height in _levels(page)]
    assert max(heights) - min(heights) == pytest.approx(depth * INCH, abs=NEAR)


def _levels(page: list[Drawn]) -> list[float]:
    """Heights of the edge lines on a page: level, longer than any tick and cross."""
    return [one.a[1] for one in page if one.a[1] == one.b[1] and one.length > 100 and not one.dashed]


def add(p: Point, q: Point) -> Point:
    return p[0] + q[0], p[1] + q[1]


def cross_of(direction: Point, line: Drawn) -> float:
    return direction[0] * (line.b[1] - line.a[1]) - direction[1] * (line.b[0] - line.a[0])


def _fitting(fixed: list[Point], own: list[Point]) -> Point | None:
    """The shift that lays two crosses of a page on two of those that lie already."""
    for p, q in combinations(own, 2):
        for a in fixed:
            for b in fixed:
                if a != b and dist((b[0] - a[0], b[1] - a[1]), (q[0] - p[0], q[1] - p[1])) < NEAR:
                    return a[0] - p[0], a[1] - p[1]
    return None


def test_what_takes_too_many_pages_is_refused_in_one_sentence() -> None:
    big = cut(pitch=24, depth=24, seat=2)
    with pytest.raises(InputError, match="Birdsmouth template: .* takes .* pages of letter paper, at most 6") as caught:
        tiling(big)
    assert len(caught.value.problems) == 1
    for one in some(10, 9, True):
        assert 1 < len(tiling(one).tiles) <= MOST
    deep = cut(lumber="2x12", pitch=12)
    assert len(tiling(deep, "tabloid").tiles) < len(tiling(deep).tiles)


def test_bad_input_is_refused(tmp_path: Path) -> None:
    bay = cut().bay
    for call, said in (
        (lambda: rl.birdsmouth_template(cut(seat=0).bay, tmp_path / "a.pdf"), "Seat 0"),
        (lambda: rl.birdsmouth_template(bay, tmp_path / "a.pdf", "A4"), "Paper 'A4': letter or tabloid"),
        (lambda: rl.birdsmouth_template(bay, tmp_path / "a.svg"), "written as .pdf"),
        (lambda: rl.birdsmouth_template(bay, ""), "file name"),
        (lambda: rl.birdsmouth_template("bay", tmp_path / "a.pdf"), "RafterBay"),  # type: ignore[arg-type]
        (lambda: rl.cut_sheet(bay, tmp_path / "a.pdf", hook="wall"), "Tape hooked at"),
        (lambda: rl.cut_sheet(bay, tmp_path / "none" / "a.pdf"), "cannot be written"),
    ):
        with pytest.raises(InputError, match=said):
            call()
    assert list(tmp_path.iterdir()) == []


# --- words, and room for them ----------------------------------------------------------------------------------------


def every_page() -> Iterator[tuple[str, Layout]]:
    for i, one in enumerate(
        [*one_page()[:4], *some(3, 5, True), cut(overhang=0), cut(seat=0.0625), cut(pitch=1), cut(depth=24)]
    ):
        made = tiling(one)
        for number in range(len(made.tiles)):
            yield f"rafter {i}, page {number + 1}", template_page(one, made, number)
        yield f"rafter {i}, words", words_page(one, made)
        yield from ((f"rafter {i}, cut sheet {n}", page) for n, page in enumerate(sheet_pages(one), 1))
    for name, one in random_cuts(30, 3):
        yield from ((f"{name}, cut sheet {n}", page) for n, page in enumerate(sheet_pages(one), 1))
    for i, one in enumerate([cut(span=720, pitch=24, seat=2, overhang=48), cut(span=96, bearing=3.5), cut(ridge=None)]):
        yield from ((f"long {i}, cut sheet {n}", page) for n, page in enumerate(sheet_pages(one), 1))


def test_texts_stay_apart_and_on_the_page() -> None:
    """Every page of templates and cut sheets: no text on a line, on another text or over the margin."""
    wrong: dict[str, list[str]] = {}
    for name, page in every_page():
        found = crossed(page)
        for label in page.labels:
            x0, y0, x1, y1 = label.box
            if min(x0, y0) < 18 or x1 > page.width - 18 or y1 > page.height - 18:
                found.append(f"{label.text} leaves the page")
            if label.size < 7:
                found.append(f"{label.text} is too small")
        for one, other in combinations(page.labels, 2):
            (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = one.box, other.box
            if ax0 < bx1 and bx0 < ax1 and ay0 < by1 and by0 < ay1:
                found.append(f"{one.text} touches {other.text}")
        if found:
            wrong[name] = found
    assert wrong == {}


def test_the_template_says_what_it_has_to(tmp_path: Path) -> None:
    """On the page itself: how to print, what to hold on what, the cautions, pitch, depth, seat and heel.

    The same template again is the same file: no dates are written, and nothing random stands in the placing of texts.
    """
    path = rl.birdsmouth_template(cut().bay, tmp_path / "template.pdf")
    again = rl.birdsmouth_template(cut().bay, tmp_path / "again.pdf")
    assert path.read_bytes() == again.read_bytes() and b"CreationDate" not in path.read_bytes()
    reader = pypdf.PdfReader(path)
    assert read(reader.pages[0], reader) == lines_of([template(cut())[0]], tmp_path / "bare.pdf")[0]
    pages = [" ".join(page.extract_text().split()) for page in reader.pages]
    assert len(pages) == 2
    for words in (
        "Print at 100 %", "do not cut if it is not 6 in", "8 in 12", 'depth 9 1/4"', 'seat 3 1/2"', 'heel 8 13/16"',
        "ALIGN: top edge", "BUILDING LINE", 'CUT: seat 3 1/2"', 'CUT: heel cut 2 5/16"', "Cut one, try it in place",
        "engineer decide on the notch", "bottom edge", "to the ridge", "to the tail", "waste", "100 mm",
        "tape mark 15'-6 9/16\"", "crown up",
    ):  # fmt: skip
        assert words in pages[0], words
    for words in (
        "Fold the paper back",
        "33.7 degrees",
        "56.3 degrees",
        "guard",
        "fall protection",
        "building official",
    ):
        assert words in pages[1], words


def test_every_page_of_a_template_says_what_it_has_to() -> None:
    """Pages that are laid together each carry the ruler, the numbers and the caution, whatever room there is."""
    for one in some(5, 7, True):
        for page in template(one):
            texts = " ".join(label.text for label in page.labels)
            assert "do not cut if it is not 6 in" in texts
            assert f"depth {rl.feet_inches(one.bay.depth)}" in texts and "Cut one, try it in place" in texts


def test_the_cut_sheet_says_what_it_has_to(tmp_path: Path) -> None:
    """Marks of both edges on the first page, steps, square and angles on the second; ours by hand (k = 1.2018504)."""
    path = rl.cut_sheet(cut().bay, tmp_path / "sheet.pdf")
    reader = pypdf.PdfReader(path)
    assert len(reader.pages) == 2
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for words in (
        "15'-6 9/16\"", "17'-1 13/16\"", "15'-11 7/16\"", "15'-8 9/16\"", "15'-2 3/8\"", "13: 15'-7 1/2\"",
        '8" on the tongue, 12" on the blade', "33.7 degrees", "56.3 degrees", "17'-8\"", "Cut one, try it in place",
        "unplugged", 'Ridge cut: 3/4" inside that line, measured level',
    ):  # fmt: skip
        assert words in text, words
    with pytest.raises(InputError, match="exists already"):
        rl.cut_sheet(cut().bay, path)
