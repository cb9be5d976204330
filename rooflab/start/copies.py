"""The user's own copy of the workbooks: kept up to date, and never written over once it is edited.

Only the standard library is imported here: this is used before anything is installed.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import shutil
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import IO, Any

PACKAGE = Path(__file__).resolve().parent.parent
DEFAULT_FOLDER = "rooflab-workbooks"
STATE = ".rooflab"  # JupyterLab's settings, the trust store and the manifest, inside the opened folder
MANIFEST = "manifest.json"
CELLS = "#cells"  # ends the manifest's second entry of a file
LOCK = "lock"
# JupyterLab writes these by itself when a workbook is run, scrolled, folded or saved: no edit of a person's.
RUN = {"id", "execution_count", "outputs"}
RUN_METADATA = {"collapsed", "scrolled", "trusted", "execution", "ExecuteTime", "jupyter"}  # jupyter: what is folded
RUN_BOOK = {"kernelspec", "language_info", "widgets", "signature", "orig_nbformat"}
DEFAULTS: dict[str, Any] = {"editable": True, "deletable": True, "slideshow": {"slide_type": ""}, "name": None}
OWN = {"house.json", "to the manufacturer", "handouts"}  # what an author's own work leaves beside the workbooks


class CannotStart(Exception):
    """A start that cannot go on; its text is the one sentence that the user reads."""


def read_json(path: Path) -> dict[str, str]:
    """A JSON object of texts; empty when the file is missing or damaged."""
    try:
        fields = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(key): str(value) for key, value in fields.items()} if isinstance(fields, dict) else {}


def lock_now(file: IO[bytes]) -> bool:
    """Whether the system's lock on an open file is ours now; a file system without locks has it always."""
    try:
        if os.name == "nt":
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        return error.errno not in (errno.EAGAIN, errno.EACCES, errno.EDEADLK)
    return True


@contextlib.contextmanager
def alone(place: Path, waits: Callable[[], object] = lambda: None) -> Iterator[None]:
    """Hold the lock on a file, which ends with this process however it ends; ``waits`` tells that another holds it."""
    with open(place, "ab") as file:
        if not lock_now(file):
            waits()
            while not lock_now(file):
                time.sleep(0.2)
        yield


def original_folder(package: Path = PACKAGE) -> Path:
    """The workbooks as they came: inside the wheel, or in the checkout."""
    for folder in (package / "workbooks", package.parent / "workbooks"):
        if any(folder.glob("*.ipynb")):
            return folder
    raise CannotStart("there are no workbooks here; get the whole project's folder, or install rooflab again.")


def workbook_name(name_or_number: str, folder: Path) -> str:
    """The file name of the workbook called "01", "1" or by its whole name; "" where there is none."""
    stem = Path(name_or_number.strip()).name.removesuffix(".ipynb")
    names = sorted(path.name for path in folder.glob("*.ipynb"))
    known = {key: name for name in names for key in (name.removesuffix(".ipynb"), name.partition("-")[0])}
    return known.get(stem.zfill(2) if stem.isdigit() else stem, "")


def original_files(folder: Path) -> list[Path]:
    """Every file that belongs to the workbooks, relative to their folder; hidden ones and caches are left out."""
    files = [path.relative_to(folder) for path in folder.rglob("*") if path.is_file()]
    return sorted(p for p in files if not any(part in OWN or part.startswith((".", "__")) for part in p.parts))


def default_folder(home: Path | None = None) -> Path:
    """The folder of the copy when none is named: in the user's documents, else in the home folder."""
    try:
        home = home or Path.home()
    except RuntimeError as error:
        raise CannotStart("there is no home folder for your copy; name a folder: python3 -m rooflab FOLDER") from error
    documents = home / "Documents"
    return (documents if documents.is_dir() else home) / DEFAULT_FOLDER


def check_folder(folder: Path, root: Path | None) -> Path:
    """The folder for the copy, refused when it is a file or a part of the project."""
    try:
        folder = Path(os.path.abspath(folder.expanduser()))
    except RuntimeError as error:
        raise CannotStart(f"{folder} begins with the home folder of nobody known here; name another folder.") from error
    if folder.exists() and not folder.is_dir():
        raise CannotStart(f"{folder} is a file; name a folder for your copy of the workbooks.")
    parts = [PACKAGE] if root is None else [root / name for name in ("rooflab", "tests", "workbooks", ".venv", ".git")]
    real = Path(os.path.realpath(folder))  # also of a link that leads to itself
    if os.path.lexists(folder) and not os.path.exists(folder):
        raise CannotStart(f"{folder} is a link that leads nowhere; name a folder for your copy of the workbooks.")
    if any(real.is_relative_to(part.resolve()) for part in parts):
        raise CannotStart(
            f"{folder} is part of the project; name another folder (authors: --here edits the originals)."
        )
    return folder


def metadata(fields: dict[str, Any], passing: set[str]) -> dict[str, Any]:
    """The metadata that a person put there: without what JupyterLab writes, and without its empty or usual values."""
    said = {key: value for key, value in fields.items() if key not in passing and value not in ({}, [], "")}
    return {key: value for key, value in said.items() if key not in DEFAULTS or value != DEFAULTS[key]}


def work(path: Path) -> tuple[list[list[str]], list[Any]]:
    """What a person may have changed in a notebook: type and source of every cell, and all else that is no run.

    ValueError when it is no notebook.
    """
    try:
        book = json.loads(path.read_text(encoding="utf-8"))
        sources = [[cell["cell_type"], "".join(cell["source"])] for cell in book["cells"]]
        rest: list[Any] = []
        for cell in book["cells"]:
            fields = {key: value for key, value in cell.items() if key not in {"cell_type", "source", "metadata", *RUN}}
            own = metadata(cell.get("metadata", {}), RUN_METADATA)
            rest.append([cell["cell_type"], metadata(fields, set()), own])
        return sources, [*rest, metadata(book.get("metadata", {}), RUN_BOOK)]
    except (OSError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise ValueError(f"{path.name} is not a notebook") from error


def checksum(content: object) -> str:
    """The SHA-256 of values as JSON."""
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()


def cells(path: Path) -> str:
    """The checksum of a notebook's cells and metadata, whatever a run shows; of any other file the whole of it."""
    try:
        return "2:" + checksum(work(path))
    except ValueError:
        return digest(path)


def only_run(copy: Path, original: Path, record: str | None) -> bool:
    """Whether a copy's cells and metadata are those of the record in the manifest: run, perhaps, but not edited.

    A record of an earlier version knows types and sources alone: there each cell's metadata has to be those of a cell
    of its type in the original.
    """
    if record is None or not copy.is_file():
        return False
    if record == cells(copy):
        return True
    try:
        (sources, rest), (_, usual) = work(copy), work(original)
    except ValueError:
        return False
    known = [checksum(one) for one in usual]
    return record == checksum(sources) and all(checksum(one) in known for one in rest)


def digest(path: Path) -> str:
    """The SHA-256 of a file, or "" when there is none."""
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""


def copy_whole(source: Path, target: Path) -> None:
    """Copy a file whole or not at all."""
    target.parent.mkdir(parents=True, exist_ok=True)
    half = target.with_name(f".{target.name}.half")
    shutil.copyfile(source, half)
    os.replace(half, target)


def dated_name(file: Path, word: str, ending: str = ".ipynb") -> Path:
    """A path beside a file that is not there yet: its name with a word and today's date, then with a number."""
    stem, day, number = file.name.removesuffix(ending), time.strftime("%Y-%m-%d"), 1
    while True:
        target = file.with_name(f"{stem} ({word} {day}{'' if number == 1 else f', {number}'}){ending}")
        if not os.path.lexists(target):
            return target
        number += 1


def new_version_name(name: str, number: int) -> str:
    """The name of a new version that is put beside an edited copy.

    >>> new_version_name("01-one-roof-plane.ipynb", 1), new_version_name("data/sizes.csv", 2)
    ('01-one-roof-plane (new).ipynb', 'data/sizes (new 2).csv')
    """
    stem, dot, ending = name.rpartition(".")
    return f"{stem} (new{'' if number == 1 else f' {number}'}){dot}{ending}"


def lay_out(originals: Path, folder: Path) -> list[str]:
    """The lines to tell after the copy is brought up to date; an edited file is never touched.

    The manifest holds, for every file put here, the hash of the version it was put with, and that of its cells and
    metadata: a copy that still has one of them is unedited (run, perhaps) and may be refreshed. Any other is the
    user's. When the shipped file has changed since, the new one goes beside it, once. Two starts at once take turns.
    """
    try:
        (folder / STATE).mkdir(parents=True, exist_ok=True)
        with alone(folder / STATE / LOCK):
            return bring_up_to_date(originals, folder)
    except OSError as error:
        raise CannotStart(f"cannot write the workbooks to {folder} ({error.strerror}).") from error


def bring_up_to_date(originals: Path, folder: Path) -> list[str]:
    """The lines to tell, as ``lay_out``, which has made the folder and sees that no other start does the same."""
    notes = []
    manifest = read_json(folder / STATE / MANIFEST)
    for file in original_files(originals):
        name, new = file.as_posix(), digest(originals / file)
        number = 0
        while True:
            place = new_version_name(name, number) if number else name
            have, base = digest(folder / place), manifest.get(place)
            if number and not have and base == new:  # it was offered once, and taken away
                break
            run = only_run(folder / place, originals / file, manifest.get(place + CELLS))
            if have in ("", new) or have == base or run:  # absent, the same already, or unedited
                if have != new and not (run and base == new):
                    copy_whole(originals / file, folder / place)
                    if number:
                        notes.append(f"your edited {name} is kept; its new version is beside it: {place}")
                    elif have:
                        notes.append(f"{name} is replaced by its new version (you had not edited it)")
                manifest[place], manifest[place + CELLS] = new, cells(originals / file)
                break
            if base == new:  # edited, and nothing newer to offer
                break
            number += 1
    write_manifest(folder / STATE, manifest)
    return notes


def write_manifest(state: Path, manifest: dict[str, str]) -> None:
    """Write the manifest whole or not at all."""
    half = state / (MANIFEST + ".half")
    half.write_text(json.dumps(manifest, indent=1, sort_keys=True) + "\n", encoding="utf-8", newline="\n")
    os.replace(half, state / MANIFEST)


def fresh(file: Path, data_dir: Path) -> str:
    """Put a workbook of the copy back as it was shipped; what there is to tell.  The old one stays, under a dated name.

    CannotStart for a file that is none of the workbooks, or where nothing can be written.
    """
    originals = original_folder()
    if file.name not in {path.name for path in originals.glob("*.ipynb")}:
        raise CannotStart(f"{file.name} is not one of the workbooks as they are named; nothing was done.")
    state = file.parent / STATE
    try:
        with alone(state / LOCK):
            old = dated_name(file, "until")
            shutil.copyfile(file, old)
            copy_whole(originals / file.name, file)
            new = {file.name: digest(file), file.name + CELLS: cells(file)}
            write_manifest(state, read_json(state / MANIFEST) | new)
            sign([file], data_dir)
    except OSError as error:
        raise CannotStart(f"cannot write {error.filename or file} ({error.strerror}); nothing was done.") from error
    return f"A fresh copy; the old one is kept as {old.name}."


def files_without_edits(folder: Path) -> list[Path]:
    """The files of the copy that are still as they were put there."""
    manifest = read_json(folder / STATE / MANIFEST)
    return [folder / place for place, base in manifest.items() if digest(folder / place) == base]


def sign(files: Iterable[Path], data_dir: Path) -> None:
    """Mark workbooks as trusted, so that JupyterLab shows their stored pictures before anything is run."""
    import nbformat
    from nbformat.sign import NotebookNotary

    notary = NotebookNotary(data_dir=str(data_dir))
    for path in files:
        if path.suffix == ".ipynb":
            notary.sign(nbformat.read(path, as_version=4))
