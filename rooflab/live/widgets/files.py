"""A new file in a folder beside the workbook, and the link to it on the page."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from html import escape
from pathlib import Path

from rooflab.base.files import is_reserved
from rooflab.base.measure import InputError


def write_and_link(folder: str | os.PathLike[str], title: str, ending: str, write: Callable[[Path], object]) -> str:
    """The words "Written:" and a link, as HTML, after ``write`` has made a new file named after ``title``.

    The folder is made where it is missing; InputError where it cannot be.
    """
    place = Path(folder)
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(f"Folder {place.name}: cannot be made ({error.strerror or error}).") from None
    target = free_name(place, title, ending)
    write(target)
    address = escape(target.as_posix())
    link = f'<a class="rl-file" data-file="{address}" target="_blank" rel="noopener">{escape(target.name)}</a>'
    return f"<b>Written:</b> {link}"


def folder_words(folder: str | os.PathLike[str]) -> str:
    """The words that say in which folder a file stands, as HTML."""
    return f", in the folder <b>{escape(Path(folder).as_posix())}</b> beside this workbook."


def free_name(folder: Path, title: str, ending: str) -> Path:
    """A path in the folder that no file has yet: the title in plain letters, numbered from the second on."""
    stem = file_stem(title)
    number = 2 if is_reserved(f"{stem}{ending}") else 1
    while True:
        target = folder / f"{stem}{'' if number == 1 else f'-{number}'}{ending}"
        if not os.path.lexists(target):
            return target
        number += 1


def file_stem(title: str) -> str:
    """A title in plain letters, as the beginning of a file's name.

    >>> file_stem("The Miller house, north"), file_stem("\u2026")
    ('the-miller-house-north', 'job')
    """
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40] or "job"
