"""The face of panels, pictures and paper, Rooflab Sans, and how wide its letters are.

It is a part of DejaVu Sans, regular and bold (``fonts/LICENSE.txt``), without kerning: a text is as wide as its
letters.  A page that may not load it shows one of ``FAMILIES``: of 360 texts of the pictures
seven short ones in capitals are wider in Liberation Sans (as wide as Arial), by 6 % at most; the others narrower.
"""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path
from struct import unpack_from

FAMILY = "Rooflab Sans"
FAMILIES = f"{FAMILY}, DejaVu Sans, Arial, Helvetica, Liberation Sans, sans-serif"  # the first of these that is there
FONTS = Path(__file__).parent / "fonts"
FILES = {False: "RooflabSans", True: "RooflabSans-Bold"}  # by whether bold
WIDEST = 1.0


def width(text: str, size: float, bold: bool = False) -> float:
    """Width of a text in the units of its height ``size``.

    >>> round(width("11 13/16", 1000))  # DejaVu Sans: six digits of 636, a space of 318, a slash of 337
    4472
    """
    return size * (_bold(text) if bold else _regular(text))


@lru_cache(8192)
def _regular(text: str) -> float:
    return sum(map(advances(False).__getitem__, text))


@lru_cache(1024)
def _bold(text: str) -> float:
    return sum(map(advances(True).__getitem__, text))


class Advances(dict[str, float]):
    """Widths of letters in text heights; ``WIDEST`` for a letter that the face has not and another will show."""

    def __missing__(self, letter: str) -> float:
        return WIDEST


@cache
def advances(bold: bool) -> Advances:
    """The width of every letter of the face in text heights, from the tables cmap and hmtx of its TrueType file."""
    data = (FONTS / f"{FILES[bold]}.ttf").read_bytes()
    count = unpack_from(">H", data, 4)[0]
    tables = {tag: at for tag, _, at, _ in (unpack_from(">4sLLL", data, 12 + 16 * i) for i in range(count))}
    units = unpack_from(">H", data, tables[b"head"] + 18)[0]
    wide = unpack_from(">" + "Hh" * unpack_from(">H", data, tables[b"hhea"] + 34)[0], data, tables[b"hmtx"])[::2]
    glyphs = _glyphs(data, tables[b"cmap"])
    return Advances({chr(code): wide[min(glyph, len(wide) - 1)] / units for code, glyph in glyphs.items()})


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """The glyph of every letter, from the segments of the Unicode table (format 4)."""
    count = unpack_from(">H", data, cmap + 2)[0]
    places = {
        (kind, code): at for kind, code, at in (unpack_from(">HHL", data, cmap + 4 + 8 * i) for i in range(count))
    }
    at = cmap + places[3, 1]
    segments = unpack_from(">H", data, at + 6)[0] // 2
    ends, starts, shifts, offsets = (
        unpack_from(f">{segments}H", data, at + 14 + 2 * segments * i + (2 if i else 0)) for i in range(4)
    )
    found = {}
    for i, (end, start, shift, offset) in enumerate(zip(ends, starts, shifts, offsets, strict=True)):
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if offset:  # counts from its own place in the table
                place = at + 16 + 2 * (3 * segments + i) + offset + 2 * (code - start)
                glyph = unpack_from(">H", data, place)[0]
            found[code] = (glyph + shift) & 0xFFFF
    return found
