"""Presenting: the small notebook that opens a room view, or the view for the table, by itself; handouts as files.

Only the standard library is imported here; the handouts are drawn where everything is installed.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

from .copies import PACKAGE, CannotStart, original_folder, workbook_name

EXTENSIONS = PACKAGE / "start" / "plugins" / "present"  # the plugin that runs the notebook
MEETING, JOB = "08", "house.json"  # the workbook for two people at a table, and the job file it works on
KERNEL = {"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}}


def find_workbook(workbook: str) -> str:
    """The file name of a workbook named "01", "1" or by its whole name."""
    originals = original_folder()
    if name := workbook_name(workbook, originals):
        return name
    numbers = ", ".join(path.name.partition("-")[0] for path in sorted(originals.glob("*.ipynb")))
    raise CannotStart(f"there is no workbook {workbook!r} to present; there are {numbers}.")


def job_file(named: str, folder: Path) -> Path:
    """The job file for the table: the one that is named, else that of the copy in ``folder``, which need not be there.

    CannotStart, with what is wrong, for a file that cannot be used.
    """
    from rooflab.base.measure import InputError
    from rooflab.job.writing import job_in

    try:
        path = Path(os.path.abspath(Path(named).expanduser())) if named else folder / JOB
        if path.is_dir():
            raise CannotStart(f"{path} is a folder; name a job file, such as {path / JOB}.")
        if named and not os.path.lexists(path):
            raise CannotStart(f"there is no file {path}; name a job file, or none to use that of your copy.")
        job_in(path)
    except InputError as error:
        more = f" And {len(error.problems) - 1} more." if len(error.problems) > 1 else ""
        raise CannotStart(f"{error.problems[0]}{more} Mend {path} in a text editor, or name another file.") from error
    except (OSError, RuntimeError) as error:  # no access to its folder; nobody's home
        why = getattr(error, "strerror", None) or error
        raise CannotStart(f"{named} cannot be used as a job file ({why}).") from error
    return path


def cell(name: str, folder: str, job: str = "") -> str:
    """The one cell that shows a workbook's room view, from the copies in ``folder``, or with a ``job`` the table's.

    >>> print(cell("01-one-roof-plane.ipynb", "../.."))
    # The view: it fills the window by itself
    from rooflab import live
    live.room('01-one-roof-plane', '../..', fill=True)
    """
    what = f"live.room({name.removesuffix('.ipynb')!r}, {folder!r}, fill=True)"
    if job:
        what = f"live.together(live.job({job!r}), {job!r}, fill=True)"
    return f"# The view: it fills the window by itself\nfrom rooflab import live\n{what}"


def write_notebook(place: Path, name: str, folder: Path, job: Path | None = None) -> str:
    """Write the notebook of a room view, or with a ``job`` of the view for the table, into ``place``; its name."""
    try:
        seen = Path(os.path.relpath(folder, place)).as_posix()
    except ValueError:  # on another drive
        seen = folder.as_posix()
    folding = {"jupyter": {"source_hidden": True}}
    code: dict[str, object] = {
        "cell_type": "code", "id": "room", "metadata": folding, "execution_count": None, "outputs": [],
        "source": cell(name, seen, job.as_posix() if job else ""),
    }  # fmt: skip
    book = {"nbformat": 4, "nbformat_minor": 5, "metadata": {**KERNEL, "rooflab_view": True}, "cells": [code]}
    file = f"room-{name}"
    try:
        place.mkdir(parents=True, exist_ok=True)
        (place / file).write_text(json.dumps(book, indent=1) + "\n", encoding="utf-8", newline="\n")
    except OSError as error:
        raise CannotStart(f"cannot write to {error.filename or place} ({error.strerror}).") from error
    return file


def handouts(folder: Path, copies: Path) -> Iterator[str]:
    """The names of the sheets written into ``folder``, from the copies in ``copies``, or what there is to tell.

    Of each workbook a handout for everyone and the running order for whoever presents it.  Nothing is written over:
    where another file of that name stands, the new one gets a number.
    """
    from rooflab.base.measure import InputError
    from rooflab.live import handout, running_order

    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name in sorted(path.name for path in original_folder().glob("*.ipynb")):
            stem = name.removesuffix(".ipynb")
            for write, sheet in ((handout, stem), (running_order, f"{stem} running order")):
                target, number = folder / f"{sheet}.pdf", 1
                while target.exists():
                    number += 1
                    target = folder / f"{sheet} ({number}).pdf"
                try:
                    write(stem, target, copies)
                except InputError as error:
                    raise CannotStart(str(error)) from error
                yield target.name
    except OSError as error:
        raise CannotStart(f"cannot write to {error.filename or folder} ({error.strerror}).") from error
