"""Machines with few fonts: a browser that sees one family only (by fontconfig, Linux), and perhaps no web font."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from pathlib import Path
from typing import NamedTuple

PLACE = Path("/usr/share/fonts")
FAMILIES = {"DejaVu": "DejaVuSans.ttf", "Liberation": "LiberationSans-Regular.ttf"}  # a wide and a narrow one
CONF = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>{fonts}</dir><cachedir>{cache}</cachedir></fontconfig>
"""


class Fonts(NamedTuple):
    """Fonts that a browser may show: a file for FONTCONFIG_FILE ("": all of this machine), and whether web ones too."""

    file: str = ""
    web: bool = True


def fonts_files() -> list[str]:
    """For FONTCONFIG_FILE: a file for each of ``FAMILIES`` on this machine, or "" for its own fonts where none is."""
    found = [path for file in FAMILIES.values() for path in sorted(PLACE.rglob(file))[:1]]
    if not found:
        return [""]
    folder = Path(tempfile.mkdtemp(prefix="rooflab-fonts-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    files = []
    for path in found:
        files.append(folder / f"{path.stem}.conf")
        files[-1].write_text(CONF.format(fonts=path.parent, cache=folder / path.stem), encoding="utf-8")
    return [str(path) for path in files]


FILES = fonts_files()
SETTINGS = [*(Fonts(path) for path in FILES), Fonts(FILES[-1], web=False)]  # the last: narrow letters, ours refused
NAMES = [(Path(one.file).stem or "own fonts") + ("" if one.web else ", no web fonts") for one in SETTINGS]
