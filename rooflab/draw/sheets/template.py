"""A full-size birdsmouth template on paper, true to scale, with a ruler that shows whether the printer kept it.

The rafter lies level as in the cut drawing, ridge to the left.  Page units are points, 1/72 in, and an inch of wood is
72 of them.  Where the depth does not fit one page the template goes over several, which are laid on each other by
their crosses; where it would take too many it is refused.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from rooflab.base.files import new_file
from rooflab.base.measure import InputError, feet_inches, pitch_text
from rooflab.draw.placing import Box, edges, overlap, short, touches, wrap
from rooflab.draw.scene import Label, Layout, Point, Shape, Stroke, clip_line, width
from rooflab.draw.views import cutting as cutviews
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import Cut
from rooflab.job.jobfile import Job

from .cut_words import CAUTIONS, CROWN, TRY, CutOrder, cut_for, cut_order, numbers_of, saw_words, stops
from .cutting import stop_box
from .page import PAPERS, Page, paper_size, write_pdf

INCH, MILLIMETRE = 72.0, 72.0 / 25.4
MARGIN, STRIP = 0.35, 0.9  # that printers leave white, and for the ruler at the right, in
SIDE, EDGE, LAP = 0.35, 0.3, 0.75  # paper beside the cuts, beyond the rafter's edges, and under the next page, in
MOST = 6  # pages of a template; beyond, the square is quicker
SIZE, SMALL = 10.0, 7.5  # of the texts and of the ruler's numbers, points
BLOCKS = 190.0, 250.0, 150.0, 330.0  # widths of a block of text on the wood, points
COLUMNS = 130.0, 170.0, 210.0, 260.0  # and of one beside the ruler, where the wood has no room for it
RULER = 44.0  # from the drawing to what stands beside the ruler, points
STOP_SIZE, ROW, PAD = 13.0, 1.35, 6.0  # of what stops the saw; a row, text heights; inside its frame, points

PRINT = "Print at 100 % (actual size). Measure this line: do not cut if it is not 6 in, and 100 mm on its other side."


class Tile(NamedTuple):
    """What one page shows: a stretch along the rafter (from the building line's mark) and across it, in."""

    a0: float
    v0: float
    a1: float
    v1: float

    def holds(self, point: Point) -> bool:
        return self.a0 <= point[0] <= self.a1 and self.v0 <= point[1] <= self.v1


class Tiling(NamedTuple):
    """Page size and the strip at the right (in), wider where the words stand in it, tiles in reading order, the crosses
    that lay them on each other."""

    wide: float
    tall: float
    strip: float
    tiles: tuple[Tile, ...]
    crosses: tuple[tuple[str, Point], ...]


def template_lines(cut: Cut) -> dict[str, tuple[Point, Point]]:
    """Lines of the template from the building line's mark on the top edge: along the edge and square to it, in."""
    v, line = cut.values, cut.values["building_line"]
    corner = cut.corner[0] - line, cut.corner[1]
    ends = {"building line": ((0.0, 0.0), corner), "seat cut": (corner, (v["seat_end"] - line, cut.depth))}
    return ends | ({"plumb cut": (corner, (cut.shift, cut.depth))} if cut.has_tail else {})


def _ranges(low: float, high: float, room: float) -> list[tuple[float, float]]:
    """One range, or several of ``room`` that lap."""
    count = 1 if high - low <= room else math.ceil((high - low - LAP) / (room - LAP))
    step = room - LAP
    return [(low + i * step, high if count == 1 else low + i * step + room) for i in range(count)]


def _words(cut: Cut, order: CutOrder, number: int, total: int) -> tuple[str, ...]:
    """What every page of the template says: how it is printed, for what rafter of what job it is, the cautions."""
    rows = order.words(cut.end).split("  \u00b7  ")
    which = f"BIRDSMOUTH TEMPLATE, page {number} of {total}"
    return (which, PRINT, f"Job: {order.job}", *rows, f"{numbers_of(cut)}.", f"{TRY} {CROWN}")


def _rows(texts: Sequence[str], wide: float, size: float) -> list[str]:
    return [row for words in texts for row in wrap(words, wide, size)]


def _column(cut: Cut, order: CutOrder, tall: float) -> float:
    """The least width of a column of that height, in, that holds all the words, points."""
    for wide in COLUMNS:
        rows = len(_rows(_words(cut, order, MOST, MOST), wide, SIZE)) * SIZE
        rows += len(_rows(stops(cut, order), wide - 2 * PAD, STOP_SIZE)) * STOP_SIZE
        if ROW * rows + 4 * PAD <= (tall - 2 * MARGIN) * INCH:
            break
    return wide


def tiling(cut: Cut, paper: str = "letter", order: CutOrder | None = None) -> Tiling:
    """The pages of a template, upright or on their side, whichever takes fewer; words stand on the wood, or beside it.

    InputError without a birdsmouth, and where it would take more than six pages.

    >>> from rooflab import Gable
    >>> [len(tiling(Cut(RafterBay(Gable("26'", pitch, "5 1/2"), "2x10", 3))).tiles) for pitch in (4, 8, 12)]
    [1, 1, 2]
    """
    if not cut.has_mouth:
        raise InputError('Seat 0": there is no birdsmouth to make a template of; give a seat of more than 0.')
    words = order or CutOrder()
    best = _tiling(cut, paper, words, False)
    many = len(best.tiles)
    if many > MOST or not all(_draw_page(cut, best, i, words)[1] for i in range(many)):
        best = _tiling(cut, paper, words, True)
    if len(best.tiles) > MOST:
        raise InputError(
            f"Birdsmouth template: a rafter {feet_inches(cut.depth)} deep at {pitch_text(round(12 * cut.slope, 4))} "
            f"takes {len(best.tiles)} pages of {paper} paper, at most {MOST} are made; lay it out with the square."
        )
    return best


def _tiling(cut: Cut, paper: str, order: CutOrder, beside: bool) -> Tiling:
    """The fewest pages, the words on the wood or beside the ruler."""
    parts = template_lines(cut)
    points = [p for pair in parts.values() for p in pair]
    a0, a1 = min(a for a, _ in points) - SIDE, max(a for a, _ in points) + SIDE
    found: list[Tiling] = []
    for wide, tall in (PAPERS[paper][::-1], PAPERS[paper]):
        strip = (RULER + _column(cut, order, tall)) / INCH if beside else STRIP
        across, down = wide - 2 * MARGIN - strip, tall - 2 * MARGIN
        columns, rows = _ranges(a0, a1, across), _ranges(-EDGE, cut.depth + EDGE, down)
        every = [Tile(x0, y0, x1, y1) for y0, y1 in rows for x0, x1 in columns]
        tiles = tuple(tile for tile in every if any(_part_on(pair, tile) for pair in parts.values()))
        found.append(Tiling(wide, tall, strip, tiles, _crosses(columns, rows, tiles)))
    return min(found, key=lambda one: len(one.tiles))


def _crosses(
    columns: Sequence[tuple[float, float]], rows: Sequence[tuple[float, float]], tiles: Sequence[Tile]
) -> tuple[tuple[str, Point], ...]:
    """Two points in every lap, named A, B, C ...; only those that lie on two pages at least."""
    points: list[Point] = []
    for (low, high), others, across in [
        *(((b[0], a[1]), rows, False) for a, b in zip(columns, columns[1:], strict=False)),
        *(((b[0], a[1]), columns, True) for a, b in zip(rows, rows[1:], strict=False)),
    ]:
        for start, end in others:
            for part in (0.25, 0.8):
                point = (low + high) / 2, start + part * (end - start)
                points.append(point[::-1] if across else point)
    common = [point for point in points if sum(tile.holds(point) for tile in tiles) > 1]
    return tuple((chr(65 + i), point) for i, point in enumerate(common))


# --- one page --------------------------------------------------------------------------------------------------------


def _upright(wide: float, tall: float, strip: float = STRIP) -> Page:
    """A page of that size, in; margins and the strip at the right are left free."""
    page = Page(wide * INCH, tall * INCH, MARGIN * INCH)
    x0, y0, x1, y1 = page.inside
    page.inside = x0, y0, x1 - strip * INCH, y1
    return page


def _free(page: Page, box: Box, keep: float = 3.0) -> bool:
    """Whether a box lies inside, off every line and text."""
    x0, y0, x1, y1 = box[0] - keep, box[1] - keep, box[2] + keep, box[3] + keep
    inside = page.inside
    if x0 < inside[0] or y0 < inside[1] or x1 > inside[2] or y1 > inside[3]:
        return False
    if any(overlap((x0, y0, x1, y1), (*one.points[0], *one.points[2])) for one in page.shapes):  # frames
        return False
    if any(overlap((x0, y0, x1, y1), label.box) for label in page.labels):
        return False
    return not any(touches((x0, y0, x1, y1), p, q) for part in page.strokes for p, q in edges(part))


def _near(page: Page, at: Point, *texts: str, size: float = SIZE) -> None:
    """Lines of text, one under the other, as near to a point as there is room for all; left out where none is."""
    wide, tall = max(width(text, size) for text in texts), 1.35 * size * len(texts)
    for x, y in _around(at, max(page.wide, page.tall)):
        if _free(page, (x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)):
            for i, text in enumerate(texts):
                page.text(x - wide / 2, y - tall / 2 + 1.35 * size * (i + 0.5), text, size=size)
            return


def _ruler(page: Page) -> None:
    """The 6 in line at the right, inches on its left and 100 mm on its right."""
    x, y1 = page.inside[2] + 14, page.tall - MARGIN * INCH - 16
    page.line("six inches", ((x, y1), (x, y1 - 6 * INCH)), "mark")
    inches = [(i * INCH / 8, -{0: 11.0, 4: 7.0}.get(i % 8, 5.0 if i % 2 == 0 else 3.0)) for i in range(49)]
    metric = [(i * MILLIMETRE, 9.0 if i % 50 == 0 else 5.0) for i in range(0, 101, 5)]
    for name, ticks in (("inch ticks", inches), ("millimetre ticks", metric)):
        comb = tuple(p for up, out in ticks for p in ((x, y1 - up), (x + out, y1 - up), (x, y1 - up)))
        page.line(name, comb, "mark")  # one line out and back: far quicker to draw than seventy
    for number in (0, 6):
        text = f"{number} in" if number else "0"
        page.labels.append(
            Label("inches", text, x - 6, y1 - number * INCH + (9 if number == 0 else -9), "middle", SMALL)
        )
    page.labels.append(Label("millimetres", "100 mm", x + 16, y1 - 100 * MILLIMETRE, "middle", SMALL, True))


def _block(page: Page, at: Point, texts: Sequence[str], size: float, frame: bool = False) -> bool:
    """A block of text as near to a point as there is room for it, framed or not; whether there is."""
    pad = PAD if frame else 0.0
    for most in BLOCKS:
        rows = _rows(texts, most, size)
        wide, tall = max(width(row, size) for row in rows) + 2 * pad, ROW * size * len(rows) + 2 * pad
        for x, y in _around(at, max(page.wide, page.tall)):
            x0, y0 = x - wide / 2, y - tall / 2
            if _free(page, (x0, y0, x0 + wide, y0 + tall)):
                _write(page, rows, x0, y0, wide, size, pad)
                return True
    return False


def _write(page: Page, rows: Sequence[str], x0: float, y0: float, wide: float, size: float, pad: float) -> float:
    """Rows of text, framed where there is a pad; the y below them."""
    y1 = y0 + ROW * size * len(rows) + 2 * pad
    for i, text in enumerate(rows):
        page.text(x0 + pad, y0 + pad + ROW * size * (i + 0.5), text, size=size)
    if pad:
        page.shapes.append(Shape("stop", ((x0, y0), (x0 + wide, y0), (x0 + wide, y1), (x0, y1)), "lens"))
    return y1


def _around(at: Point, reach: float) -> Iterator[Point]:
    """Points round a point, the nearest first."""
    yield at
    radius = 8.0
    while radius < reach:
        for i in range(16):
            yield at[0] + radius * math.cos(math.pi * i / 8), at[1] + radius * math.sin(math.pi * i / 8)
        radius += 6.0


def template_page(cut: Cut, sheets: Tiling, number: int, order: CutOrder | None = None) -> Layout:
    """One page of the template: edges, building line, seat and heel cut, what is waste, and what to hold on what."""
    words = order or CutOrder()
    page, _ = _draw_page(cut, sheets, number, words)
    told = " ".join((f"{numbers_of(cut)}.", PRINT, TRY, *stops(cut, words)))
    return page.layout(f"Birdsmouth template, page {number + 1} of {len(sheets.tiles)}", told)


def _draw_page(cut: Cut, sheets: Tiling, number: int, order: CutOrder) -> tuple[Page, bool]:
    """One page of the template, and whether all its words had room."""
    tile, page, total = sheets.tiles[number], _upright(sheets.wide, sheets.tall, sheets.strip), len(sheets.tiles)
    _ruler(page)
    x0, y0, x1, y1 = page.inside
    x0 += max(0.0, (x1 - x0 - (tile.a1 - tile.a0) * INCH) / 2)
    y0 += max(0.0, (y1 - y0 - (tile.v1 - tile.v0) * INCH) / 2)

    def at(point: Point) -> Point:
        return x0 + (point[0] - tile.a0) * INCH, y0 + (point[1] - tile.v0) * INCH

    captions: list[tuple[str, Point]] = []
    for name, pair, style, text in _lines_with_words(cut, tile):
        if part := _part_on(pair, tile):
            page.line(name, (at(part[0]), at(part[1])), style)
            captions.append((text, at(((part[0][0] + part[1][0]) / 2, (part[0][1] + part[1][1]) / 2))))
    for letter, point in sheets.crosses:
        if tile.holds(point):
            (x, y), arm = at(point), 12.0
            page.line("cross", ((x - arm, y), (x + arm, y)), "mark")
            page.line("cross", ((x, y - arm), (x, y + arm)), "mark")
            _near(page, (x + 10, y - 10), letter)
    for text, spot in captions:
        _near(page, spot, text)
    if tile.holds((0.0, 0.0)):
        _near(page, at((0.0, -EDGE / 2)), f"tape mark {cut.mark('building line').text} from the {cut.hook} cut")
    _waste(cut, tile, page, at)
    middle = (page.inside[0] + page.inside[2]) / 2, (page.inside[1] + page.inside[3]) / 2
    _near(page, (page.inside[0] + 40, middle[1]), "< to the ridge")
    _near(page, (page.inside[2] - 40, middle[1]), "to the tail >" if cut.has_tail else "no tail")
    if total > 1:
        _near(page, middle, "Lay crosses of one letter on each other, then tape.")
    said, words = stops(cut, order), _words(cut, order, number + 1, total)
    if sheets.strip == STRIP:
        stop = not said or _block(page, middle, said, STOP_SIZE, True)
        return page, stop and _block(page, middle, words, SIZE)
    x0, y0, x1 = page.inside[2] + RULER, page.inside[1], page.wide - MARGIN * INCH
    if said:
        y0 = _write(page, _rows(said, x1 - x0 - 2 * PAD, STOP_SIZE), x0, y0, x1 - x0, STOP_SIZE, PAD) + PAD
    _write(page, _rows(words, x1 - x0, SIZE), x0, y0, x1 - x0, SIZE, 0.0)
    return page, True


def _lines_with_words(cut: Cut, tile: Tile) -> Iterator[tuple[str, tuple[Point, Point], str, str]]:
    """Lines of the template with their style and what is written on them."""
    v, tail = cut.values, cut.has_tail
    yield "top edge", ((tile.a0, 0.0), (tile.a1, 0.0)), "mark", "ALIGN: top edge of the rafter, fold back here"
    yield "bottom edge", ((tile.a0, cut.depth), (tile.a1, cut.depth)), "mark", "bottom edge of the rafter"
    texts = {
        "building line": "BUILDING LINE, plumb, not cut" if tail else "CUT: building line, end of the rafter",
        "seat cut": f"CUT: seat {feet_inches(v['seat_cut'])}",
        "plumb cut": f"CUT: heel cut {feet_inches(v['birdsmouth_plumb'])}",
    }
    for name, pair in template_lines(cut).items():
        yield name, pair, "seam" if name == "building line" and tail else "full", texts[name]


def _part_on(pair: Sequence[Point], tile: Tile) -> tuple[Point, ...]:
    """The part of a line that runs over a tile; nothing where none does."""
    part = tuple(pair)
    for plane in ((-1, 0, -tile.a0), (1, 0, tile.a1), (0, -1, -tile.v0), (0, 1, tile.v1)):
        part = clip_line(part, *plane) if part else part
    return part if part and math.dist(*part) > 1e-9 else ()


def _waste(cut: Cut, tile: Tile, page: Page, at: Callable[[Point], Point]) -> None:
    """The word in the middle of what is sawn off, and a hatch around it and around other texts."""
    line = cut.values["building_line"]
    off = [(u - line, v) for u, v in cut.waste["birdsmouth" if cut.has_tail else "tail"]]
    inner = sum(a for a, _ in off) / len(off), sum(v for _, v in off) / len(off)
    if tile.holds(inner):
        _near(page, at(inner), "waste")
    boxes = [(x0 - 3, y0 - 3, x1 + 3, y1 + 3) for x0, y0, x1, y1 in (label.box for label in page.labels)]
    for stroke in cutviews.hatch("hatch", off, 0.25):
        if part := _part_on(stroke.points, tile):
            page.strokes += short(Stroke("hatch", (at(part[0]), at(part[1])), "dim"), boxes)


def _instructions(cut: Cut, total: int, order: CutOrder) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Headings and sentences of the last page."""
    v, mark = cut.values, cut.mark("building line").text
    yield "Before anything else", (PRINT, "Printers shrink pages to fit: turn that off, and measure every print.")
    yield "This template", (
        f"Job: {order.job}.",
        f"{order.words(cut.end)}.",
        f"{numbers_of(cut)}. {total} page{'s' * (total > 1)}.",
        f"Stock needed {feet_inches(v['stock_length'])}; cut length {feet_inches(v['cut_length'])}.",
    )
    both = " and heel cut" if cut.has_tail else ""
    yield "How to use it", (
        *(("Lay the pages together by their crosses and tape them.",) * (total > 1)),
        "Look along the stick: the crown goes up, and up is the top edge here.",
        f"Hook the tape at the top of the {cut.hook} plumb cut and mark {mark} on the top edge.",
        "Fold the paper back along the top edge line and hang it over the rafter's top edge, its building line on the "
        "mark.",
        "The bottom edge line should lie on the wood's edge. Where the wood is shallower or deeper, keep the top edge: "
        "the heel counts from there.",
        f"Mark seat{both}. The building line gives the angle of the ridge and tail cuts too.",
        " ".join(saw_words(cut)),
        "Saw beside the line, on the hatched side.",
    )
    yield "Cautions", (
        *CAUTIONS,
        "A notch deeper than a quarter of the depth, or a seat that is not fully on the plate: ask the engineer and "
        "the building official before the saw is out.",
    )


def words_page(cut: Cut, sheets: Tiling, order: CutOrder | None = None) -> Layout:
    """The last page: how the template is used, the numbers once more, and the cautions."""
    page = _upright(*PAPERS["letter"][::-1])
    x0, y, x1, _ = page.inside
    y += 14
    page.text(x0, y, "Birdsmouth template: how to use it", size=14.0)
    y = stop_box(page, stops(cut, order), (x0, y + 14, x1, y + 14), STOP_SIZE, STOP_SIZE) + 10
    for title, texts in _instructions(cut, len(sheets.tiles), order or CutOrder()):
        page.text(x0, y, title, size=11.0)
        y += 18
        for text in texts:
            for row in wrap(text, x1 - x0 - 14, SIZE + 1):
                page.text(x0 + 14, y, row, size=SIZE + 1)
                y += 14
            y += 4
        y += 8
    _ruler(page)
    told = " ".join((f"{numbers_of(cut)}.", PRINT, TRY, *stops(cut, order)))
    return page.layout("Birdsmouth template: how to use it", told)


def template(cut: Cut, paper: str = "letter", order: CutOrder | None = None) -> tuple[Layout, ...]:
    """The pages of a template: the full-size drawing, and how to use it."""
    paper_size(paper)
    sheets = tiling(cut, paper, order)
    pages = (template_page(cut, sheets, i, order) for i in range(len(sheets.tiles)))
    return (*pages, words_page(cut, sheets, order))


def birdsmouth_template(
    bay: RafterBay, path: str | os.PathLike[str], paper: str = "letter", end: str = "left", *,
    job: Job | None = None, option: str = "", date: str = "", quantity: int | str = "",
) -> Path:  # fmt: skip
    """Write the full-size birdsmouth template of a bay's rafter as PDF: print at 100 %, measure the ruler, then use it.

    ``job``, ``option``, ``date`` and ``quantity`` as for the cut sheet.  Nothing is overwritten.  InputError for a
    seat of 0, other paper, a template of more than six pages, words that cannot be printed, an option with another
    rafter, and a file that is there already or is not named .pdf.  The last page says how it is used.
    """
    target = new_file(path, "Birdsmouth template", (".pdf",))
    Cut(bay, end)
    order = cut_order(bay, end, job, option, date, quantity)
    cut = cut_for(bay, end, "ridge", order)
    return write_pdf(template(cut, paper, order), target, "Birdsmouth template")
