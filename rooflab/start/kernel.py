"""What a kernel of our start does beside running cells: it is warm before the page asks, says what a cell run too early
lacks, and makes a fresh copy of its workbook.  Only the standard library is imported at the top.
"""

from __future__ import annotations

import ast
import contextlib
import gc
import json
import os
import sys
from importlib import import_module
from pathlib import Path
from types import TracebackType
from typing import Any

from .copies import CannotStart, fresh

NOTEBOOK = "JPY_SESSION_NAME"  # of the environment, by Jupyter: the notebook that a kernel runs
STARTUP = "with __import__('contextlib').suppress(ImportError):\n    from rooflab.start import kernel as _kernel\n" \
          "    _kernel.prepare(get_ipython())\n    del _kernel\n"  # fmt: skip
WARM = ("rooflab", "rooflab.live", "rooflab.live.topics.section")  # what every workbook needs first
AT_ONCE = 0.02  # s: an answer is worked out in one go, other threads of the kernel wait for it
TOO_EARLY = "Not run yet: {name} comes from a cell further up. Choose Run > Run All Cells first."


def write_startup(ipython: Path) -> None:
    """Write what IPython runs when a kernel of this copy starts."""
    place = ipython / "profile_default" / "startup" / "10-first.py"  # modules are searched beside it
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(STARTUP, encoding="utf-8")


def notebook() -> Path:
    """The notebook that this kernel runs."""
    return Path(os.environ.get(NOTEBOOK, ""))


def read_sources(path: Path) -> list[str]:
    """The code cells of a workbook of ours; none of another notebook, or where it cannot be read."""
    try:
        book = json.loads(path.read_text(encoding="utf-8"))
        ours = "rooflab" in book["metadata"]
        return ["".join(cell["source"]) for cell in book["cells"] if ours and cell["cell_type"] == "code"]
    except (OSError, ValueError, KeyError, TypeError):
        return []


def names_of(sources: list[str]) -> set[str]:
    """The names that cells bring: imported or assigned.

    >>> sorted(names_of(["import rooflab as rl", "from rooflab import live", "tape = live.one_plane()", "no Python"]))
    ['live', 'rl', 'tape']
    """
    names: set[str] = set()
    for source in sources:
        with contextlib.suppress(SyntaxError):
            for node in ast.walk(ast.parse(source)):
                if isinstance(node, ast.alias):
                    names.add(node.asname or node.name.partition(".")[0])
                elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
                    names.add(node.id)
    return names


def explain_name(
    shell: Any, kind: type, error: NameError, trace: TracebackType | None, tb_offset: int | None = None
) -> None:
    """One sentence where a name is missing that another cell of the workbook brings; else what Python says."""
    if error.name in names_of(read_sources(notebook())):
        print(TOO_EARLY.format(name=error.name))
    else:
        shell.showtraceback((kind, error, trace), tb_offset=tb_offset)


def prepare(shell: Any) -> None:
    """Make a kernel ready for a workbook of ours; nothing is done to another notebook's."""
    if read_sources(notebook()):
        shell.set_custom_exc((NameError,), explain_name)
        for module in WARM:
            import_module(module)
        gc.freeze()  # what is loaded by now stays: no search for what can be thrown away goes through it
        sys.setswitchinterval(AT_ONCE)


def fresh_copy() -> str:
    """Put the workbook back as it was shipped, the old one kept under a dated name; what there is to tell."""
    try:
        return fresh(notebook(), Path(os.environ["JUPYTER_DATA_DIR"]))
    except CannotStart as stop:
        return str(stop)


def begin_anew() -> str:
    """Put the kept answers of the workbook away under a dated name; what there is to tell."""
    from rooflab.live.widgets.kept import own

    aside = own().begin_anew()
    return f"Begun anew; what you did before is in {aside}." if aside else "Begun anew; nothing had been kept."
