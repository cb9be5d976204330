"""Files: a path that can be written, and a file that is written whole or not at all."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from .measure import InputError, InputValue


def place_of(path: object, what: str) -> Path:
    """Path of a file, as typed.  InputError where it is no text or path."""
    if not isinstance(path, (str, os.PathLike)) or "\0" in str(path) or not str(path).strip():
        raise InputValue(path, what, "file name", "the name of a file").refusal()
    return Path(path)


def path_for(path: object, what: str, suffixes: Sequence[str]) -> Path:
    """Path of a file with this suffix, as typed.  InputError for no path or another suffix.

    >>> path_for("rafter.png", "Cut sheet", (".pdf",))
    Traceback (most recent call last):
    rooflab.base.measure.InputError: File 'rafter.png': a cut sheet is written as .pdf.
    """
    target = place_of(path, what)
    if target.suffix.lower() not in suffixes:
        article, verb = ("", "are") if what.endswith("s") else ("an " if what[0] in "AEIO" else "a ", "is")
        listed = (" or " if len(suffixes) == 2 else ", ").join(suffixes)
        raise InputError(f"File {target.name!r}: {article}{what.lower()} {verb} written as {listed}.")
    return target


def new_file(path: object, what: str, suffixes: Sequence[str]) -> Path:
    """The path of a file that is not there yet and can be written: asked before anything is drawn for it.

    InputError for no path, another suffix, a file of that name, a folder that is missing or cannot be written in.
    """
    return check_new(path_for(path, what, suffixes))


def check_new(target: Path) -> Path:
    """The same path, where no file is there yet and one can be written; else InputError."""
    folder = target.parent
    with _in_words(f"File {target.name!r}"):
        try:
            target.lstat()
        except FileNotFoundError:
            if not folder.is_dir():
                raise FileNotFoundError(f"there is no folder {folder.name}") from None
            if not os.access(folder, os.W_OK):
                raise PermissionError(f"nothing may be written in the folder {folder.name}") from None
            return target
    raise InputError(_exists(target))


def write_new(target: Path, data: bytes) -> Path:
    """A new file with these bytes, whole or not at all.  InputError where one is there, or it cannot be written."""
    with _in_words(f"File {target.name!r}"), _beside(target, data) as half:
        try:
            os.link(half, target)  # refuses where a file has come meanwhile
        except OSError:  # one has, or the disk knows no links
            if os.path.lexists(target):
                raise InputError(_exists(target)) from None
            os.replace(half, target)
    return target


def write_over(target: Path, data: bytes, what: str) -> Path:
    """A file with these bytes; an old one stays whole until the new one is.  InputError where it cannot be written."""
    real = Path(os.path.realpath(target))  # a link stays a link
    with _in_words(f"{what} {target.name}"), _beside(real, data) as half:
        if real.exists():
            shutil.copymode(real, half)
        os.replace(half, real)
    return target


def _exists(target: Path) -> str:
    return f"File {target.name!r}: it exists already; give another name, nothing is overwritten."


@contextmanager
def _in_words(said: str) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise InputError(f"{said}: cannot be written ({error.strerror or error}).") from None


@contextmanager
def _beside(target: Path, data: bytes) -> Iterator[Path]:
    """The bytes on the disk under a name of their own, which is gone afterwards."""
    half = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        with half.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        yield half
    finally:
        half.unlink(missing_ok=True)
