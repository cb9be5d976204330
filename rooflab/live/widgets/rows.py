"""Readings and findings as HTML: rows under the picture, and lists."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.inputs import pair
from rooflab.base.measure import feet_inches
from rooflab.job import table
from rooflab.job.option import OptionResult
from rooflab.job.seat_grid import GridCell, SeatGrid, seat_grid, seats_up_to

NO_BREAK = "\u00a0"  # a space that holds a line together
ROWS = 4  # of readings in a group; more are set closer


class Row(NamedTuple):
    """A line of the readings: key, label, text, and words beside it (a state and the limits' verdict)."""

    key: str
    label: str
    text: str
    word: str
    verdict: str

    @property
    def words(self) -> str:
        """The words beside the reading: state and verdict."""
        return ", ".join(filter(None, (self.word, self.verdict)))


Group = tuple[str, list[Row]]


def readings_html(groups: Sequence[Group], past: Mapping[str, str], past_word: str, working: bool = True) -> str:
    """HTML tables of readings side by side; one that changed says what it was ("was", or "kept": ``past_word``).

    With ``working`` each label is a button that opens it.
    """
    tables, kind = [], ' class="rl-dense"' * (max((len(lines) for _, lines in groups), default=0) > ROWS)
    for title, lines in groups:
        cells = []
        for row in lines:
            words = _words(row, past.get(row.key, row.text), past_word)
            shorter = escape("|".join(words[1:]))
            less = f' data-less="{shorter}"' if shorter else ""
            label = escape(row.label)
            if working:
                label = f'<button type="button" class="rl-why" data-why="{row.key}">{label}</button>'
            cells.append(
                f"<tr><td>{label}</td>"
                f'<td>{escape(row.text)}</td><td title="{escape(words[0])}"{less}>'
                f"{escape(words[0])}</td></tr>"
            )
        tables.append(f"<table{kind}><caption>{escape(title)}</caption>{''.join(cells)}</table>")
    return "".join(tables)


def _words(row: Row, was: str, past_word: str) -> list[str]:
    """What stands beside a reading, and shorter texts for where it has no room: without what it was, the verdict."""
    if was == row.text:
        return list(dict.fromkeys([row.words, row.verdict or row.words]))
    full = ", ".join(filter(None, (row.word, f"{past_word} {was}", row.verdict)))
    texts = [full, full.removeprefix("truss "), row.words, row.verdict]
    return list(dict.fromkeys(filter(None, texts)))


def list_html(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """An HTML table from heads that are text and rows of cells that are HTML."""
    lines = "".join(f"<tr>{''.join(f'<td>{cell}</td>' for cell in row)}</tr>" for row in rows)
    return f'<table class="rl-list"><tr>{"".join(f"<th>{escape(head)}</th>" for head in heads)}</tr>{lines}</table>'


def options_html(
    names: Sequence[str], rows: Iterable[table.ComparisonRow], corner: str = "<th></th>",
    heads: tuple[str, str] = ("<th>", "<th>"), word: str = " <i>{}</i>",
) -> str:  # fmt: skip
    """The lines of an HTML table of options side by side, a line a reading; what is best in a line is bold.

    ``heads`` open the cells of names and labels; ``word`` is how a word such as "worst" stands by a text.
    """
    lines = [corner + "".join(f"{heads[0]}{escape(name)}</th>" for name in names)]
    for row in rows:
        cells = [
            (f"<b>{escape(text)}</b>" if i in row.best else escape(text)) + (word.format(escape(note)) if note else "")
            for i, (text, note) in enumerate(zip(row.texts, row.words, strict=True))
        ]
        lines.append(f"{heads[1]}{escape(row.label)}</th>{''.join(f'<td>{cell}</td>' for cell in cells)}")
    return "".join(f"<tr>{line}</tr>" for line in lines)


def try_it(texts: Mapping[str, str], html: str = "Try it", name: str = "") -> str:
    """A button in a panel's list that sets these texts of controls when it is pressed, as HTML; ``name`` is said of it.

    >>> try_it({"seat": '3"'}, name="Try a seat of 3 in")
    '<button type="button" class="rl-try" data-set="seat=3&quot;" aria-label="Try a seat of 3 in">Try it</button>'
    """
    pairs = escape("|".join(f"{name}={text}" for name, text in texts.items()))
    label = f' aria-label="{escape(name)}"' if name else ""
    return f'<button type="button" class="rl-try" data-set="{pairs}"{label}>{html}</button>'


def grid_table(
    result: OptionResult, opening: str = "<table>", columns: int = 8, can_try: bool = False
) -> str:  # fmt: skip
    """Heel and notch by rafter and seat for an option (``grid_of``) as a table.

    With ``can_try`` each cell is a button that sets seat and rafter.
    """
    return grid_html(grid_of(result, columns), opening, can_try)


def grid_of(result: OptionResult, columns: int) -> SeatGrid:
    """The grid of so many seats nearest to an option's own, every rafter size on each."""
    seat, bearing = (min(pair(result.option.values[name])) for name in ("seat", "bearing"))
    seats = sorted({one for one in seats_up_to(bearing) if one < bearing} - {seat}, key=lambda one: abs(one - seat))
    return seat_grid(result.house, seats=(seat, bearing, *seats[: columns - 2]))


def grid_html(grid: SeatGrid, opening: str = "<table>", can_try: bool = False) -> str:
    """Heel and notch as a table, a row a rafter, a column a seat; the present one in brackets."""
    head = "".join(f'<th scope="col">{escape(feet_inches(one))}</th>' for one in grid.seats)
    lines = [
        f'<tr><th scope="row">{escape(name)}</th>{"".join(_cell(cell, can_try) for cell in row)}</tr>'
        for name, row in zip(grid.sizes, grid.rows, strict=True)
    ]
    first = '<th style="width: 15%">Rafter / seat</th>'
    return f"{opening}<tr>{first}{head}</tr>{''.join(lines)}</table>"


def _cell(cell: GridCell, can_try: bool) -> str:
    if not cell.heel:
        return f'<td title="{escape(cell.why)}">no heel</td>'
    heel = f"<b>[{escape(cell.heel)}]</b>" if cell.present else escape(cell.heel)
    words = ["same heel" * (cell.same and not cell.present), "no truss" * bool(cell.why)]
    lines = [text.replace(" ", NO_BREAK) for text in (heel, escape(cell.notch), *filter(None, words))]
    if cell.names:
        lines[1] += f" {escape(cell.word)}"  # here a line may end: no word is cut in a narrow column
    why = f' title="{escape(", ".join(cell.names))}"' if cell.names else ""
    inside = "<br>".join(lines)
    if can_try and not cell.present:
        size = f"Try {cell.lumber} on a seat of {feet_inches(cell.seat)}: heel {cell.heel}, notch {cell.notch}"
        inside = try_it({"seat": feet_inches(cell.seat), "lumber": cell.lumber}, inside, size)
    return f"<td{why}>{inside}</td>"


def findings_html(findings: Sequence[Finding]) -> str:
    """An HTML table of limits with their verdicts, what is missed first."""
    order = {"misses": 0, "ask": 1, "meets": 2}
    rows = (
        (f"<b>{f.verdict}</b>", escape(f.sentence if f.verdict == "meets" else f"{f.sentence} {f.remedy}"),
         escape(f.source))
        for f in sorted(findings, key=lambda f: order[f.verdict])
    )  # fmt: skip
    return list_html(("Verdict", "Limit", "Source"), rows)
