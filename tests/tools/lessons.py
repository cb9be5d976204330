"""The workbooks as tests read them: cells, headings, and what they show when they are run here, without a kernel."""

from __future__ import annotations

import ast
import functools
from pathlib import Path
from typing import Any

import nbformat

from rooflab.live import Ask

ROOT = Path(__file__).resolve().parents[2]
WORKBOOKS = ROOT / "workbooks"


def workbooks(start: str = "") -> list[Path]:
    """The workbooks of the checkout, in order."""
    return sorted(WORKBOOKS.glob(f"{start}*.ipynb"))


BOOKS = workbooks()


def name(path: Path) -> str:
    return path.stem


@functools.cache
def cells(path: Path) -> tuple[Any, ...]:
    """The cells of a workbook as it is stored."""
    return tuple(nbformat.read(path, as_version=4).cells)


def code(path: Path) -> list[Any]:
    return [cell for cell in cells(path) if cell.cell_type == "code"]


def is_setup(cell: Any) -> bool:
    """A cell that is marked as showing nothing: imports and assignments."""
    return "setup" in cell.metadata.get("tags", [])


def prose(path: Path) -> str:
    return "\n\n".join(cell.source for cell in cells(path) if cell.cell_type == "markdown")


def sections(text: str, mark: str) -> dict[str, str]:
    """Heading and text of the sections that begin with ``mark``, such as "## "."""
    parts = ("\n" + text).split(f"\n{mark}")[1:]
    return {part.partition("\n")[0].strip(): part.partition("\n")[2] for part in parts}


def play(path: Path) -> list[Any]:
    """Run a workbook's cells here, in order; everything they show."""
    shown: list[Any] = []
    space: dict[str, Any] = {"display": lambda *things: shown.extend(things)}
    for cell in code(path):
        tree = ast.parse(cell.source)
        last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
        exec(compile(tree, name(path), "exec"), space)
        if isinstance(last, ast.Expr):
            shown.append(eval(compile(ast.Expression(last.value), name(path), "eval"), space))
    return [thing for thing in shown if thing is not None]


def asked(path: Path) -> list[Ask]:
    """The questions of a workbook, each once."""
    return list({id(thing): thing for thing in play(path) if isinstance(thing, Ask)}.values())


def right_choice(ask: Ask) -> str:
    """The right one of a question's choices: what its prediction says, else what its own answer agrees with."""
    if ask.stop is not None:
        return ask.stop.right
    return next(one for one in ask.setup["choices"] if "(as you said)" in ask.give(one))


def plain(thing: Any) -> str:
    """What a notebook stores as plain text of a thing."""
    if not hasattr(thing, "_repr_mimebundle_"):
        return repr(thing)
    bundle = thing._repr_mimebundle_()
    return str((bundle[0] if isinstance(bundle, tuple) else bundle)["text/plain"])


def stored(cell: Any) -> list[str]:
    return [output.data["text/plain"] for output in cell.outputs if "data" in output]


def backwards_and_twice(count: int, setup: list[int]) -> list[int]:
    """Set-up cells, then all from the last to the first, then each twice from the first on."""
    return [*setup, *reversed(range(count)), *(index for one in range(count) for index in (one, one))]
