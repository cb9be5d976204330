"""The page that says what was agreed and why: the chosen section, all options in a table, reasons, open points.

One page, or one sentence that says why it does not fit; nothing is left out or cut to make it fit.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from rooflab.base.files import new_file
from rooflab.base.inputs import must_be
from rooflab.base.measure import InputError, feet_inches
from rooflab.checks.loads import CAUTION
from rooflab.draw.placing import Box, wrap
from rooflab.draw.scene import Layout
from rooflab.draw.views.options import option_sections
from rooflab.draw.views.section import section
from rooflab.job.agreement import Agreement, agreements_in, changes_since, options_of
from rooflab.job.jobfile import Job
from rooflab.job.option import FEWEST, Option, OptionResult, option_of
from rooflab.job.table import ComparisonRow as TableRow
from rooflab.job.table import solve_options, table_of
from rooflab.job.values import LABELS, value_text

from .page import (
    FILES,
    LEAST,
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

GAP = 14.0  # between columns, points
SMALL = 0.125  # a section drawn smaller than 1/8 in to the foot keeps only its main dimensions
LONG_TITLE = 50  # characters
FIGURES = (
    "span", "pitch", "overhang", "bearing", "plate_height", "lumber", "depth", "seat", "ridge", "ceiling_pitch", "heel",
    "chord", "bottom_chord", "gypsum", "furring", "room_length", "window_width",
)  # fmt: skip
WINDOW = (
    "Window head: centered under the apex, top corners below the ceiling line by raked plate ({rake} square to it, "
    "taken plumb), header ({header}) and casing ({casing})."
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
    return "; ".join(f"{LABELS[name]} {value_text(name, values[name])}" for name in FIGURES if name in values) + "."


TextBlocks = list[tuple[str, Sequence[str], str]]  # blocks of text: heading, texts, and the mark before each


def _text_blocks(agreement: Agreement, result: OptionResult, house: Job, same: str) -> TextBlocks:
    """What stands in the columns of text: who, why, what is open, numbers, cautions."""
    points = [
        f"{i}. {point}{'' if point[-1] in '.?!' else '.'} Answers: {who}."
        for i, (point, who) in enumerate(agreement.open_points, 1)
    ]
    others = ", ".join(agreement.alternatives) or "none"
    title = f"House: {house.title}." if len(house.title) > LONG_TITLE else ""  # too long for the heading
    early = dict.fromkeys(result.assumptions.sentence(slope) for slope in result.rafters.gable.slopes)
    window = WINDOW.format(**{key: feet_inches(result.room.all[key]) for key in ("rake", "header", "casing")})
    changes = [one.sentence for one in changes_since(agreement, house)]
    chosen = title, f"Chosen and drawn: {agreement.option}.", f"Not chosen: {others}.", f"Date: {agreement.date}."
    return [
        ("Agreed", chosen, ""),
        ("Who was there", agreement.present, "-"),
        ("Reasons", agreement.reasons or ("None were noted.",), "-"),
        ("Open points", points or ("None.",), ""),
        ("Changed since this was agreed", changes, "-"),
        ("The chosen option", (figures_in_words(result.option, house), window), ""),
        ("The same in all options", (same,), ""),
        ("Cautions", (CAUTION, *early), ""),
    ]


def _texts(parts: TextBlocks, wide: float, size: float) -> list[Block]:
    """The columns of text, for a column of that width; headings without texts left away."""
    blocks = [text_block(heading, texts, wide, size, mark) for heading, texts, mark in parts]
    return [one for one in blocks if one.rows]


def _differences(results: Sequence[OptionResult]) -> tuple[list[TableRow], str]:
    """The rows of the table in which the options differ, and a sentence of those that read alike in all."""
    rows = table_of(results)
    if len(results) < FEWEST:
        return list(rows), ""
    alike = "; ".join(f"{row.label} {row.texts[0]}" for row in rows if len(set(row.texts)) == 1)
    return [row for row in rows if len(set(row.texts)) > 1], f"{alike}." if alike else ""


def _table(results: Sequence[OptionResult], differing: Sequence[TableRow], wide: float, size: float) -> Block:
    """All options, the chosen one first: rows with the words for best and worst, what people say for and against."""
    label = 12.5 * size
    cell = (wide - label) / len(results)
    inner, starts = cell - size, [label + i * cell for i in range(len(results))]
    rows: list[Row] = []

    def lines(texts: Sequence[str]) -> list[str]:
        return [line for words in texts for line in wrap(words, inner, size)]

    def add(what: str, cells: Sequence[list[str]]) -> None:
        columns = list(zip((0.0, *starts), (wrap(what, label - size, size), *cells), strict=True))
        for i in range(max(len(column) for _, column in columns)):
            rows.append(tuple((x, column[i]) for x, column in columns if i < len(column)))

    add("Option", [lines([f"{'Chosen: ' if i == 0 else ''}{one.option.name}"]) for i, one in enumerate(results)])
    for row in differing:
        cells_text = [f"{text} ({word})" if word else text for text, word in zip(row.texts, row.words, strict=True)]
        add(row.label, [lines([words]) for words in cells_text])
    if any(one.option.pros or one.option.cons for one in results):
        votes = [[*(f"+ {words}" for words in one.option.pros), *(f"- {words}" for words in one.option.cons)]
                  for one in results]  # fmt: skip
        add("For (+) and against (-)", [lines(texts) for texts in votes])
    if any(one.option.remark for one in results):
        add("Remark", [lines([one.option.remark]) for one in results])
    return Block("THE OPTIONS SIDE BY SIDE", tuple(rows))


# --- the page --------------------------------------------------------------------------------------------------------


def agreement_page(house: Job, agreement: Agreement | None = None, paper: str = "letter") -> Layout:
    """The agreement as one page: the last one kept in the job, unless another is given.

    InputError where there is none, where an option is missing, and where the page cannot hold it all.
    """
    must_be(house, Job, "Job")
    paper_size(paper)
    if agreement is None:
        past = agreements_in(house)
        if not past:
            raise InputError("Agreement: none is kept in this job; agree on an option first.")
        agreement = past[-1]
    option, others = options_of(agreement, house)
    results = solve_options((option, *others), house)
    words = {**house.sheet, "date": agreement.date, "issued_for": "record of what was agreed"}
    for size in (SIZES[paper], LEAST):
        sheet = JobPage(replace(house, sheet=words), paper, f"{house.title}: what was agreed")
        sheet.size = size
        if _fill(sheet, agreement, results, house):
            return sheet.as_sheet(1, 1)
    larger = "" if paper == "tabloid" else ", or use tabloid paper"
    raise InputError(
        f"Agreement of {agreement.date}: its texts and {len(results)} options leave no room for the section on one "
        f"page of {paper} paper; shorten reasons, open points or remarks, compare fewer options{larger}."
    )


class Arrangement(NamedTuple):
    """A way to share the page: the section at its scale in its room, columns of text, and the table at its place."""

    scale: float
    section: Layout
    whole: bool  # with all its dimensions
    room: Box
    texts: list[list[Block]]
    starts: list[float]
    top: float
    column: float
    table: Block
    place: tuple[float, float, float]  # x, y and width of the table


def _fill(sheet: JobPage, agreement: Agreement, results: Sequence[OptionResult], house: Job) -> bool:
    """Section, texts and table on a sheet, the section as large as any arrangement lets it be; False without room."""
    plans = [*_plans(sheet, agreement, results, house)]
    full = [plan for plan in plans if plan.whole and plan.scale >= SMALL]
    if not plans:
        return False
    best = max(full or plans, key=lambda plan: plan.scale)
    sheet.centre(best.section, best.room)
    sheet.scale = f"{scale_text(best.scale)}, work to figures"
    for x, blocks in zip(best.starts, best.texts, strict=False):
        sheet.write(blocks, x, best.top, best.column)
    sheet.write([best.table], *best.place)
    return True


def _section(result: OptionResult, wide: float, tall: float, size: float) -> Iterator[tuple[Layout, float, bool]]:
    """The section with all its dimensions and with the main ones alone, each as large as there is room for."""
    if best := largest(section(result.rafters, result.scissor, result.seam), wide, tall, size):
        yield *best, True
    with suppress(InputError):
        small = option_sections([result], wide, tall, size, [scale * POINTS / 12 for scale in SCALES])
        yield small, small.scale * 12 / POINTS, False


def _plans(sheet: JobPage, agreement: Agreement, results: Sequence[OptionResult], house: Job) -> Iterator[Arrangement]:
    """Every arrangement that has room for all: texts beside section and table, beside the section, or under it."""
    x0, y0, x1, y1 = sheet.inside
    size, wide = sheet.size, x1 - x0
    differing, same = _differences(results)
    parts = _text_blocks(agreement, results[0], house, same)
    for where, count, share in (
        ("beside both", 1, 0.25), ("beside both", 1, 0.3), ("beside both", 1, 0.36), ("beside both", 2, 0.27),
        ("beside", 1, 0.4), ("beside", 2, 0.3), ("beside", 2, 0.34), ("under", 3, 0.0), ("under", 4, 0.0),
    ):  # fmt: skip
        column = share * wide if share else (wide - (count - 1) * GAP) / count
        texts, tall = columns(_texts(parts, column, size), count, size)
        extent = count * (column + GAP)
        across = x1 - extent if where == "beside both" else x1
        table = _table(results, differing, across - x0, size)
        low = y1 - table.height(size)
        room: Box = (x0, y0, x1, low - tall) if where == "under" else (x0, y0, x1 - extent, low)
        if tall > (y1 if where == "beside both" else low) - y0 or min(room[2] - x0, room[3] - y0) <= 0:
            continue
        first, top = (x0, low - tall) if where == "under" else (room[2] + GAP, y0)
        starts = [first + i * (column + GAP) for i in range(count)]
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
