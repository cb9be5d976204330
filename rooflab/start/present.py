"""Presenting: the small notebook that opens a workbook's room view by itself, and the handouts as files.

Only the standard library is imported here; the handouts are drawn where everything is installed.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

from .copies import PACKAGE, CannotStart, original_folder, workbook_name

EXTENSIONS = PACKAGE / "start" / "plugins" / "present"  # the plugin that runs the notebook
MEETING, JOB = "08-", "house.json"  # the workbook for two people at a table, and the job file it works on
KERNEL = {"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}}


def find_workbook(workbook: str) -> str:
    """The file name of a workbook named "01", "1" or by its whole name."""
    originals = original_folder()
    if name := workbook_name(workbook, originals):
        return name
    numbers = ", ".join(path.name.partition("-")[0] for path in sorted(originals.glob("*.ipynb")))
    raise CannotStart(f"there is no workbook {workbook!r} to present; there are {numbers}.")


def cell(name: str, folder: str) -> str:
    """The one cell that shows a workbook's room view, with copies and job file in ``folder`` as seen from it.

    The workbook for the table has a view of its own.

    >>> print(cell("01-one-roof-plane.ipynb", "../.."))
    # The room view: it fills the window by itself
    from rooflab import live
    live.room('01-one-roof-plane', '../..', fill=True)
    """
    stem, file = name.removesuffix(".ipynb"), f"{folder}/{JOB}"
    what = f"live.room({stem!r}, {folder!r}, fill=True)"
    if stem.startswith(MEETING):
        what = f"live.together(live.job({file!r}), {file!r}, fill=True)"
    return f"# The room view: it fills the window by itself\nfrom rooflab import live\n{what}"


def write_notebook(place: Path, name: str, folder: Path) -> str:
    """Write the notebook of a room view into ``place``; its name."""
    try:
        seen = Path(os.path.relpath(folder, place)).as_posix()
    except ValueError:  # on another drive
        seen = folder.as_posix()
    folding = {"jupyter": {"source_hidden": True}}
    code: dict[str, object] = {
        "cell_type": "code", "id": "room", "metadata": folding, "execution_count": None, "outputs": [],
        "source": cell(name, seen),
    }  # fmt: skip
    book = {"nbformat": 4, "nbformat_minor": 5, "metadata": KERNEL, "cells": [code]}
    file = f"room-{name}"
    try:
        place.mkdir(parents=True, exist_ok=True)
        (place / file).write_text(json.dumps(book, indent=1) + "\n", encoding="utf-8", newline="\n")
    except OSError as error:
        raise CannotStart(f"cannot write to {error.filename or place} ({error.strerror}).") from error
    return file


def handouts(folder: Path, copies: Path) -> Iterator[str]:
    """The names of the handouts written into ``folder``, from the copies in ``copies``, or what there is to tell.

    Nothing is written over: where another file of that name stands, the new one gets a number.
    """
    from rooflab.base.measure import InputError
    from rooflab.live import handout

    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name in sorted(path.name for path in original_folder().glob("*.ipynb")):
            stem, number = name.removesuffix(".ipynb"), 1
            target = folder / f"{stem}.pdf"
            while target.exists():
                number += 1
                target = folder / f"{stem} ({number}).pdf"
            try:
                handout(stem, target, copies)
            except InputError as error:
                raise CannotStart(str(error)) from error
            yield target.name
    except OSError as error:
        raise CannotStart(f"cannot write to {error.filename or folder} ({error.strerror}).") from error
