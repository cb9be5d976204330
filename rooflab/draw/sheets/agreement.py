"""The page that says what was agreed and why: the chosen section, all options in a table, reasons, open points.

Over each column of the table stands its option's section, small, with the first option's lines dotted; what reads
otherwise than in the first option is marked.  One page, or one sentence that says why it does not fit; no word is left
out or cut to make it fit, only the small sections give way.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from rooflab.base.files import new_file
from rooflab.base.inputs import must_be, pair
from rooflab.base.measure import InputError, feet_inches, on_center, pitch_text
from rooflab.checks.loads import CAUTION, on_plan
from rooflab.draw.placing import Box, wrap
from rooflab.draw.scene import Layout
from rooflab.draw.views.options import option_sections, small_sections
from rooflab.draw.views.section import section, section_key
from rooflab.job.agreement import Agreement, agreements_in, changes_since, options_of
from rooflab.job.jobfile import SHEET, Job
from rooflab.job.option import FEWEST, Option, OptionResult, option_of, options_in
from rooflab.job.table import ComparisonRow as TableRow
from rooflab.job.table import finding_names, governing_check, solve_options, table_of
from rooflab.job.values import LABELS, value_text

from .page import (
    AFTER,
    FILES,
    LEAST,
    LINE,
    MARGIN,
    POINTS,
    SCALES,
    SIZES,
    Block,
    Row,
    columns,
    largest,
    paper_size,
    scale_text,
    text_block,
    write_each,
)  # fmt: skip
from .title_block import JobPage
from .wording import checked, job_name

GAP = 14.0  # between columns, points
STRIPS = ((84.0, 0.1875), (60.0, 0.125), (44.0, 0.125), (60.0, 0.09375), (44.0, 0.09375), (44.0, 0.0625), (0.0, 0.0))
"""Heights that the small sections may have (points), with the least scale of the large one beside them."""
VOTES, DATE, TITLE = "Pros (+) and cons (-)", "Date: ", "title"
"""Places on the page beside those of its headings: the chosen option's row of words, the date, the title."""
OTHERWISE = "*"  # before what reads otherwise than in the first option
ON_PAPER = (
    "Do not scale; written dimensions govern. Dimensions are to framing, not sheathing. Trusses are not cut, notched, "
    "drilled or repaired without the truss designer's written direction. The engineer, the truss designer and the "
    "building official decide."
)
FOOT = (
    "A record of what was agreed on the day named and of the design intent as drawn then; no drawing to build from. "
    f"{ON_PAPER}"
)
SMALL = 0.125  # a section drawn smaller than 1/8 in to the foot keeps only its main dimensions
LONG_TITLE = 50  # characters
FIGURES = (
    "span", "pitch", "overhang", "bearing", "plate_height", "lumber", "depth", "seat", "ridge", "ceiling_pitch", "heel",
    "chord", "bottom_chord", "gypsum", "furring", "room_length", "window_width",
)  # fmt: skip
WINDOW = (
    "Window head: centered under the apex, top corners below the ceiling line by raked plate ({rake} square to it, "
    "measured plumb), header ({header}) and casing ({casing})."
)


# --- words -----------------------------------------------------------------------------------------------------------


def figures_in_words(option: Option, house: Job) -> str:
    """The inputs of an option in words, one after the other.

    >>> from rooflab.job.jobfile import example
    >>> figures_in_words(Option("Long seat", seat="5 1/2"), example()).split("; ")[1:5:3]
    ['Roof pitch 8 in 12', 'Plate above floor 8\\'-1 1/8"']
    """
    values = option_of(option.name, house).with_(**option.values).values
    if values["chord"] == values["bottom_chord"]:
        del values["bottom_chord"]
    if not values["furring"]:
        del values["furring"]
    given = {name for name, value in option.value_pairs if value is not None}
    assumed = {"room_length", "window_width", *(() if house.finish else ("gypsum", "furring"))} - given
    texts = {name: f"{LABELS[name]} {value_text(name, values[name])}" for name in FIGURES if name in values}
    said = "; ".join(text for name, text in texts.items() if name not in assumed) + "."
    beside = "; ".join(text for name, text in texts.items() if name in assumed)
    return f"{said} Assumed: {beside}." if beside else said


def what_is_open(option: Option, house: Job) -> tuple[str, ...]:
    """What a rafter's strength hangs on and neither job nor option gives: ground snow, grade.

    >>> from rooflab.job.jobfile import blank_job
    >>> what_is_open(Option("As drawn"), blank_job())
    ('ground snow', 'grade')
    """
    grade = house.grade or dict(option.value_pairs).get("grade")
    snow = {"ground_snow", "snow"} & set(house.loads)
    return tuple(what for what, there in (("ground snow", snow), ("grade", grade)) if not there)


def _not_checked(rows: Sequence[TableRow], results: Sequence[OptionResult], house: Job) -> list[TableRow]:
    """Rows that a rafter's strength goes into, with what its check waits for in the place of a good word."""
    waits = [", ".join(what_is_open(one.option, house)) for one in results]
    if not any(waits):
        return list(rows)
    made = []
    for row in rows:
        if row.key in ("rafter", "misses", "ask"):
            texts = []
            for text, wait, one in zip(row.texts, waits, results, strict=True):
                fine = text == "none" if row.key != "rafter" else (governing_check(one) or (0.0,))[0] <= 1
                said = f"not checked: {wait} to be given"
                texts.append(text if not wait else said if fine else f"{text}; {wait} assumed")
            row = row._replace(texts=tuple(texts), words=("",) * len(texts), best=(), worst=())
        made.append(row)
    return made


def early_in_words(result: OptionResult, house: Job) -> str:
    """What the early checks took, and what of it nobody gave; each roof pitch's loads by its end where they differ."""
    assumed, waits = result.assumptions, what_is_open(result.option, house)
    loads, gable = assumed.loads, result.rafters.gable
    grade = f"{assumed.grade}{' (assumed)' if 'grade' in waits else ''}"
    required = f"R-{assumed.r:g}" + ("" if assumed.r_required is not None else " (assumed)")
    edition = f"edition {assumed.edition}" if "edition" in house.insulation else "edition to be given"
    source = "given" if loads.snow is not None else f"{loads.edition}, ground {loads.ground_snow:g} psf"

    def at(slope: float) -> str:
        snow = "to be given" if "ground snow" in waits else f"{float(loads.snow_at(slope)):.1f} psf ({source})"
        dead, live = float(on_plan(loads.dead, slope)), float(loads.live_at(slope))
        return f"dead {dead:.1f}, roof live {live:.1f} psf, roof snow {snow}"

    pitches = pair(gable.pitch)
    if pitches[0] == pitches[1]:
        roof = f"{at(gable.slopes[0])}."
    else:
        ends = zip(("Left", "Right"), pitches, gable.slopes, strict=True)
        roof = " ".join(f"{end} ({pitch_text(pitch)}): {at(slope)}." for end, pitch, slope in ends)
    return (
        f"{grade} rafters {on_center(assumed.spacing)}, {assumed.tied}, {assumed.below}. Dead {loads.dead:g} psf on "
        f"the slope; on the projection: {roof} {required} at {assumed.per_inch:g} an inch, energy code {edition}."
    )


BY_STRENGTH = ("rafter ", "bearing", "tie ")


def misses_in_words(result: OptionResult) -> str:
    """Every limit that the chosen option misses, and who decides on it; "" where it misses none.

    >>> from rooflab.job.jobfile import example
    >>> from rooflab.job.table import solve_options
    >>> misses_in_words(solve_options([Option("As drawn")], example())[0])
    ''
    """
    found = finding_names(result, "misses")
    engineer = [name for name in found if name.startswith(BY_STRENGTH)]
    maker = [name for name in found if name == "minimum heel"]
    rest = [name for name in found if name not in (*engineer, *maker)]
    sides = (("architect and building official", rest), ("engineer", engineer), ("truss designer", maker))
    each = [f"{', '.join(names)} ({who} {'decide' if ' and ' in who else 'decides'})" for who, names in sides if names]
    return f"The chosen option misses: {'; '.join(each)}." if each else ""


TextBlocks = list[tuple[str, Sequence[str], str]]  # blocks of text: heading, texts, and the mark before each


def _text_blocks(agreement: Agreement, result: OptionResult, house: Job, same: str) -> TextBlocks:
    """What stands in the columns of text: who, why, what is open, numbers, cautions."""
    points = [
        f"{i}. {point}{'' if point[-1] in '.?!' else '.'} Answers: {who}."
        for i, (point, who) in enumerate(agreement.open_points, 1)
    ]
    others = f"Not chosen: {', '.join(agreement.alternatives)}." if agreement.alternatives else ""
    title = f"House: {house.title}." if len(house.title) > LONG_TITLE else ""  # too long for the heading
    early = early_in_words(result, house)
    if said := misses_in_words(result):
        points.append(f"{len(points) + 1}. {said}")
    window = WINDOW.format(**{key: feet_inches(result.room.all[key]) for key in ("rake", "header", "casing")})
    changes = [one.sentence for one in changes_since(agreement, house)]
    chosen = title, f"Chosen and drawn: {agreement.option}.", others, f"{DATE}{agreement.date}."
    return [
        ("Agreed", chosen, ""),
        ("Who was there", agreement.present, "-"),
        ("Reasons", agreement.reasons, "-"),
        ("Open points", points, ""),
        ("Changed since this was agreed", changes, "-"),
        ("The chosen option", (figures_in_words(result.option, house), window), ""),
        ("The same in all options", (same,), ""),
        ("Cautions", (CAUTION, checked(early)), ""),
    ]


def _texts(parts: TextBlocks, wide: float, size: float) -> list[Block]:
    """The columns of text, for a column of that width; headings without texts left away."""
    blocks = [text_block(heading, texts, wide, size, mark) for heading, texts, mark in parts]
    return [one for one in blocks if one.rows]


def _differences(results: Sequence[OptionResult], house: Job) -> tuple[list[TableRow], str]:
    """The rows of the table in which the options differ, and a sentence of those that read alike in all."""
    rows = _not_checked(table_of(results), results, house)
    if len(results) < FEWEST:
        return list(rows), ""
    alike = "; ".join(f"{row.label} {row.texts[0]}" for row in rows if len(set(row.texts)) == 1)
    return [row for row in rows if len(set(row.texts)) > 1], f"{alike}." if alike else ""


class OptionsTable(NamedTuple):
    """The options side by side: their names, room for small sections of a height, and the rows under them."""

    names: Block
    strip: float
    rows: Block
    starts: tuple[float, ...]  # of the columns, in from the left edge of the table, points
    column: float
    votes: tuple[int, int]  # at which row what people say for and against begins, and how many rows it takes

    def height(self, size: float) -> float:
        """The height of it all, points."""
        return self.names.height(size) - AFTER * size + self.strip + self.rows.height(size)


def _columns_of(count: int, wide: float, size: float) -> tuple[float, tuple[float, ...], float]:
    """The width of the labels, where each option's column begins, and how wide its texts may be."""
    label = 12.5 * size
    cell = (wide - label) / count
    return label, tuple(label + i * cell for i in range(count)), cell - size


def _table(
    results: Sequence[OptionResult], differing: Sequence[TableRow], chosen: int, wide: float, size: float, strip: float
) -> OptionsTable:
    """All options, the one that others are marked against first: rows with the words for best and worst, what people
    say for and against.  ``chosen`` is the place of the chosen one.
    """
    label, starts, inner = _columns_of(len(results), wide, size)
    rows: list[Row] = []

    def lines(texts: Sequence[str]) -> list[str]:
        return [line for words in texts for line in wrap(words, inner, size)]

    def add(what: str, cells: Sequence[list[str]]) -> None:
        columns = list(zip((0.0, *starts), (wrap(what, label - size, size), *cells), strict=True))
        for i in range(max(len(column) for _, column in columns)):
            rows.append(tuple((x, column[i]) for x, column in columns if i < len(column)))

    add("Option", [lines([f"{'Chosen: ' if i == chosen else ''}{one.option.name}"]) for i, one in enumerate(results)])
    heading = "The options side by side"
    if len(results) >= FEWEST:
        heading += f'; {OTHERWISE} = differs from "{results[0].option.name}"{" (dotted)" if strip else ""}'
    names, rows = Block(heading.upper(), tuple(rows)), []
    for row in differing:
        marks = [OTHERWISE if text != row.texts[0] else "" for text in row.texts]
        cells_text = [f"{mark}{text} ({word})" if word else f"{mark}{text}"
                      for mark, text, word in zip(marks, row.texts, row.words, strict=True)]  # fmt: skip
        add(row.label, [lines([words]) for words in cells_text])
    said = len(rows), 0
    if any(one.option.pros or one.option.cons for one in results):
        votes = [[*(f"+ {words}" for words in one.option.pros), *(f"- {words}" for words in one.option.cons)]
                  for one in results]  # fmt: skip
        begin = len(rows)
        add(VOTES, [lines(texts) for texts in votes])
        said = begin, len(rows) - begin
    if any(one.option.remark for one in results):
        add("Remark", [lines([one.option.remark]) for one in results])
    return OptionsTable(names, strip, Block("", tuple(rows)), starts, inner, said)


# --- the page --------------------------------------------------------------------------------------------------------


class RecordPage(JobPage):
    """A page whose title block holds what a record of an agreement has, and nothing that was not asked for."""

    def _columns(self) -> tuple[tuple[str, ...], ...]:
        sheet = {name: words.strip() for name, words in self.job.sheet.items()}
        name = job_name(self.job)
        people = [f"{SHEET[name]}: {sheet[name]}" for name in ("architect", "contact") if sheet.get(name)]
        return (
            tuple(filter(None, (name, sheet.get("address")))),
            ("Record of what was agreed", *people),
            (f"Agreed: {sheet['date']}",),
        )


def agreement_page(house: Job, agreement: Agreement | None = None, paper: str = "letter") -> Layout:
    """The agreement as one page: the last one kept in the job, unless another is given.

    InputError where there is none, where an option is missing, and where the page cannot hold it all.
    """
    return record_page(house, agreement, paper).as_sheet(1, 1)


def record_page(house: Job, agreement: Agreement | None = None, paper: str = "letter") -> RecordPage:
    """The page of ``agreement_page`` before its title block is drawn, with the places of what people say on it."""
    must_be(house, Job, "Job")
    paper_size(paper)
    if agreement is None:
        past = agreements_in(house)
        if not past:
            raise InputError("Agreement: none is kept in this job; agree on an option first.")
        agreement = past[-1]
    option, others = options_of(agreement, house)
    results = solve_options((option, *others), house)
    words = {**house.sheet, "date": agreement.date}
    for size in (SIZES[paper], LEAST):
        sheet = RecordPage(replace(house, sheet=words), paper, f"{house.title}: what was agreed", responsible=FOOT)
        sheet.size = size
        kept = [one.name for one in options_in(house) if one.name in (option.name, *agreement.alternatives)]
        first = [one.option.name for one in results].index(kept[0])
        if any(_fill(sheet, agreement, results, house, first, *strip) for strip in STRIPS):
            return sheet
    if any(_fill(sheet, agreement, results, house, first, strip, 0.0, True) for strip, _ in STRIPS if strip):
        return sheet
    larger = "" if paper == "tabloid" else ", or use tabloid paper"
    raise InputError(
        f"Agreement of {agreement.date}: its texts and {len(results)} options leave no room for the section on one "
        f"page of {paper} paper; shorten reasons, open points or remarks, compare fewer options{larger}."
    )


class Arrangement(NamedTuple):
    """A way to share the page: the section at its scale in its room, columns of text, and the table at its place."""

    scale: float
    section: Layout | None  # None where small ones alone have room
    whole: bool  # with all its dimensions
    room: Box
    texts: list[list[Block]]
    starts: list[float]
    top: float
    column: float
    table: OptionsTable
    place: tuple[float, float, float]  # x, y and width of the table


def _fill(
    sheet: JobPage, agreement: Agreement, results: Sequence[OptionResult], house: Job, first: int, strip: float,
    least: float, alone: bool = False,
) -> bool:  # fmt: skip
    """Section, texts and table on a sheet, the section as large as any arrangement lets it be; False without room.

    With small sections ``strip`` high there is no room where the large one would not be drawn with all its dimensions
    at ``least`` inches to the foot; ``alone`` they take its place.
    """
    if strip and len(results) < FEWEST:
        return False
    plans = [*_plans(sheet, agreement, results, house, first, strip, alone)]
    full = [plan for plan in plans if plan.whole and plan.scale >= SMALL]
    if strip and not alone:
        plans = full = [plan for plan in plans if plan.whole and plan.scale >= least]
    if not plans:
        return False
    best = max(full or plans, key=lambda plan: plan.scale)
    if best.section:
        sheet.centre(best.section, best.room, section_key(results[0].rafters, results[0].scissor))
    sheet.scale = f"{scale_text(best.scale) if best.section else 'not to scale'}, written dimensions govern"
    for x, blocks in zip(best.starts, best.texts, strict=False):
        sheet.write(blocks, x, best.top, best.column)
    x, y, wide = best.place
    y = sheet.write([best.table.names], x, y, wide) - AFTER * sheet.size
    if strip:
        small = small_sections(_reference_first(results, first), best.table.column, strip, LEAST)
        low = max(one.height - one.origin[1] for one in small)  # below the plates, which stand on one line
        for start, one in zip(best.table.starts, small, strict=True):
            sheet.draw(one, x + start, y + strip - 4 - low - one.origin[1])
    sheet.write([best.table.rows], x, y + strip, wide)
    chosen = best.table.starts[_reference_first(results, first).index(results[0])]
    begin, count = best.table.votes
    top = y + strip + LINE * begin * sheet.size
    sheet.places[VOTES] = x + chosen, top, x + chosen + best.table.column, top + LINE * count * sheet.size
    for date in (label.box for label in sheet.labels if label.text.startswith(DATE)):
        column = sheet.places["AGREED"]
        sheet.places[DATE] = column[0], date[1] - 1, column[2], date[3] + 1
    sheet.places[TITLE] = MARGIN, MARGIN - 1, sheet.wide / 2, MARGIN + 1.7 * sheet.size
    return True


def _reference_first(results: Sequence[OptionResult], first: int) -> list[OptionResult]:
    """The options in the order of the table's columns: the one that the others are marked against stands first."""
    return [results[first], *results[:first], *results[first + 1 :]]


def _section(result: OptionResult, wide: float, tall: float, size: float) -> Iterator[tuple[Layout, float, bool]]:
    """The section with all its dimensions and with the main ones alone, each as large as there is room for."""
    if best := largest(section(result.rafters, result.scissor, result.seam), wide, tall, size):
        yield *best, True
    with suppress(InputError):
        small = option_sections([result], wide, tall, size, [scale * POINTS / 12 for scale in SCALES])
        yield small, small.scale * 12 / POINTS, False


def _plans(
    sheet: JobPage, agreement: Agreement, results: Sequence[OptionResult], house: Job, first: int, strip: float,
    alone: bool = False,
) -> Iterator[Arrangement]:  # fmt: skip
    """Every arrangement that has room for all: texts beside section and table, beside the section, or under it."""
    x0, y0, x1, y1 = sheet.inside
    size, wide = sheet.size, x1 - x0
    side_by_side = _reference_first(results, first)
    differing, same = _differences(side_by_side, house)
    chosen = side_by_side.index(results[0])
    parts = _text_blocks(agreement, results[0], house, same)
    for where, count, share in (
        ("beside both", 1, 0.25), ("beside both", 1, 0.3), ("beside both", 1, 0.36), ("beside both", 2, 0.27),
        ("beside", 1, 0.4), ("beside", 2, 0.3), ("beside", 2, 0.34), ("under", 3, 0.0), ("under", 4, 0.0),
    ):  # fmt: skip
        column = share * wide if share else (wide - (count - 1) * GAP) / count
        texts, tall = columns(_texts(parts, column, size), count, size)
        extent = count * (column + GAP)
        across = x1 - extent if where == "beside both" else x1
        table = _table(side_by_side, differing, chosen, across - x0, size, strip)
        low = y1 - table.height(size)
        room: Box = (x0, y0, x1, low - tall) if where == "under" else (x0, y0, x1 - extent, low)
        if tall > (y1 if where == "beside both" else low) - y0 or min(room[2] - x0, room[3] - y0) <= 0:
            continue
        begin, top = (x0, low - tall) if where == "under" else (room[2] + GAP, y0)
        starts = [begin + i * (column + GAP) for i in range(count)]
        if alone:
            yield Arrangement(0.0, None, False, room, texts, starts, top, column, table, (x0, low, across - x0))
            continue
        for drawing, scale, whole in _section(results[0], room[2] - x0, room[3] - y0, size):
            yield Arrangement(scale, drawing, whole, room, texts, starts, top, column, table, (x0, low, across - x0))


def agreement_sheet(
    job: Job, path: str | os.PathLike[str], paper: str = "letter", agreement: Agreement | None = None
) -> tuple[Path, ...]:
    """Write the page of the last agreement kept in a job (or another one); the suffix (.pdf, .svg, .png) says how.

    Nothing is overwritten: an existing file raises InputError.  Returns the file written, as ``profile_sheet`` does.
    """
    target = new_file(path, "Agreement", FILES)
    return write_each((agreement_page(job, agreement, paper),), (target,))
