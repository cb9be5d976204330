"""What the workbooks need, looked up from inside one of them: found, missing or too old, in one plain table.

Only the standard library is imported at the top: this has to run where something is missing.
"""

from __future__ import annotations

import importlib.metadata
import sys
import tempfile
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any, NamedTuple

from .environment import find_root, is_allowed, requirements, split_requirement, version_key

PYTHON = (3, 11)
REMEDY = "close everything and start again with  python3 -m rooflab : it installs what is lacking"
LIVE = "Live pictures: the page reaches Python and back"
NOT_RUN = "not tried yet: run this cell (Shift+Enter)"
NO_PAGE = "this page cannot show them: open the workbook in JupyterLab, by  python3 -m rooflab"


class InstallationRow(NamedTuple):
    """A line of the table: what is needed, whether it is there, and what to say."""

    what: str
    there: bool
    sentence: str


def packages(version: Callable[[str], str] = importlib.metadata.version) -> list[InstallationRow]:
    """The rows on Python and every package that pyproject.toml asks for, held against its lowest version."""
    have = sys.version_info[:2]
    need = ".".join(map(str, PYTHON))
    rows = [_row(f"Python {need} or newer", ".".join(map(str, have)), have >= PYTHON, need)]
    for line in requirements(find_root(), test=False):
        name, floor, bound = split_requirement(line)
        try:
            has = version(name)
        except importlib.metadata.PackageNotFoundError:
            has = ""
        what = f"{name} {floor} or newer" + (f", below {bound}" if bound else "")
        rows.append(_row(what, has, is_allowed(has, floor, bound), floor))
    return rows


def _row(what: str, version: str, enough: bool, floor: str) -> InstallationRow:
    if version and enough:
        return InstallationRow(what, True, "found")
    side = "old" if version_key(version) < version_key(floor) else "new"
    return InstallationRow(what, False, f"too {side}: it is {version}; {REMEDY}" if version else f"missing; {REMEDY}")


def pdf_beside(folder: Path | None = None) -> InstallationRow:
    """Whether a PDF can be written into the workbook's folder; the trial is taken away again."""
    from rooflab.base.measure import InputError

    what, place = "A PDF beside this workbook", folder or Path.cwd()
    try:
        from rooflab.draw.paper import save
        from rooflab.draw.sheets.page import Page

        with tempfile.TemporaryDirectory(dir=place, prefix=".trial-") as scratch:
            target = Path(scratch) / "trial.pdf"
            save(Page(72, 72).layout("Trial", ""), target)
            is_pdf = target.read_bytes().startswith(b"%PDF")
    except ImportError as error:
        return InstallationRow(what, False, f"cannot be drawn: {error.name} is missing; {REMEDY}")
    except (OSError, InputError) as error:
        why = f"cannot be written in {place} ({getattr(error, 'strerror', '') or error})"
        return InstallationRow(what, False, f"{why}: move the workbooks to a folder of yours")
    return InstallationRow(
        what, is_pdf, "can be written" if is_pdf else "came out empty: tell whoever looks after rooflab"
    )


class Installation:
    """The table.  Where live pictures can be shown it is one itself, and its last line says when the page answered."""

    def __init__(self, rows: list[InstallationRow]) -> None:
        self.rows = rows

    @property
    def sentence(self) -> str:
        """All of the table in one sentence."""
        lacking = [row.what for row in self.rows if not row.there]
        return f"Not all is there: {'; '.join(lacking)}." if lacking else "Everything that is needed is installed."

    def table(self, live: str = NOT_RUN) -> list[tuple[str, str]]:
        """Every line as two texts, the one about live pictures last."""
        return [*((row.what, row.sentence) for row in self.rows), (LIVE, live)]

    def html(self, live: str = NOT_RUN) -> str:
        """The sentence as a page shows it, which unfolds to the table, by itself where something is missing.

        The last cell can be found by its class.
        """
        left = 'style="text-align: left; padding-right: 16px"'
        *lines, (what, answer) = [(escape(what), escape(answer)) for what, answer in self.table(live)]
        body = "".join(f"<tr><td {left}>{one}</td><td {left}>{text}</td></tr>" for one, text in lines)
        last = f'<tr><td {left}>{what}</td><td {left} class="rl-live" role="status">{answer}</td></tr>'
        head = f"<tr><th {left}>Needed</th><th {left}>Here</th></tr>"
        unfolded = "" if all(row.there for row in self.rows) else " open"
        table = f"<table><thead>{head}</thead><tbody>{body}{last}</tbody></table>"
        return f"<details{unfolded}><summary>{escape(self.sentence)}</summary>{table}</details>"

    def __repr__(self) -> str:
        wide = max(len(what) for what, _ in self.table())
        return "\n".join([*(f"{what:<{wide}}  {text}" for what, text in self.table()), self.sentence])

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        table = {"text/plain": repr(self), "text/html": self.html()}
        try:
            from rooflab.live.widgets.round_trip import RoundTrip
        except ImportError:  # nothing live can be shown: the table says what is missing
            return {"text/plain": repr(self), "text/html": self.html(NO_PAGE)}
        bundle = RoundTrip(self)._repr_mimebundle_(**kwargs)
        data, meta = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        return {**data, **table}, meta


def what_is_missing() -> Installation:
    """Look up all that the workbooks need; what is missing or too old is named, and what to do about it."""
    return Installation([*packages(), pdf_beside()])
