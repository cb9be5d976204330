"""For authors: cut the face of panels, pictures and paper from an installed DejaVu Sans; needs fonttools and brotli.

    python tests/scripts/make_face.py FOLDER      the folder with DejaVuSans.ttf and DejaVuSans-Bold.ttf
    python tests/scripts/make_face.py             the one that matplotlib carries

Writes the letters below to rooflab/draw/fonts: TTF for paper and for widths, WOFF2 for the browser.  Kerning and
ligatures are left out, so that a text is as wide as its letters; hints too, which no drawing at any scale wants.
The license asks that a changed face has another name.
"""

from __future__ import annotations

import sys
from pathlib import Path

import matplotlib
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FONTS = Path(__file__).resolve().parents[2] / "rooflab" / "draw" / "fonts"
NAME = "Rooflab Sans"
FACES = {"DejaVuSans.ttf": ("Regular", "RooflabSans"), "DejaVuSans-Bold.ttf": ("Bold", "RooflabSans-Bold")}
LETTERS = [
    *range(0x20, 0x7F),  # Latin
    *range(0xA0, 0x180),  # Western and Central European names; degrees, squares, 1/4 1/2 3/4 as one letter
    *range(0x218, 0x21C),  # Romanian
    *range(0x391, 0x3CA),  # Greek
    0x2009, 0x2010, 0x2011, 0x2012, 0x2013, 0x2014, 0x2018, 0x2019, 0x201A, 0x201C, 0x201D, 0x201E,  # spaces, quotes
    0x2020, 0x2022, 0x2026, 0x202F, 0x2030, 0x2032, 0x2033, 0x2044, 0x20AC,  # primes, fraction bar, euro
    0x2070, *range(0x2074, 0x208A), *range(0x2153, 0x215F),  # raised and lowered figures, fractions
    0x2190, 0x2191, 0x2192, 0x2193, 0x2194, 0x2195,  # arrows
    0x2202, 0x2205, 0x2206, 0x2211, 0x2212, 0x2215, 0x221A, 0x221D, 0x221E, 0x2220, 0x222B,  # minus, root, sums
    0x2248, 0x2260, 0x2264, 0x2265, 0x22A5, 0x2300, 0x25A0, 0x25A1, 0x25B2, 0x25B3, 0x25B6, 0x25BC, 0x25C0, 0x25CB,
    0x25CF, 0x2610, 0x2611, 0x2612, 0x2713, 0x2717,  # what lists and marks are ticked with
]  # fmt: skip


def cut(source: Path, style: str, stem: str) -> None:
    """Write one weight as TTF and WOFF2 under the face's own name."""
    font = TTFont(source, recalcTimestamp=False)
    options = Options(layout_features=[], hinting=False, name_IDs=[0, 1, 2, 3, 4, 5, 6, 13, 14], glyph_names=False)
    options.drop_tables += ["kern", "GPOS", "GSUB", "GDEF", "FFTM"]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=LETTERS)
    subsetter.subset(font)
    full = NAME if style == "Regular" else f"{NAME} {style}"
    texts = {1: NAME, 2: style, 3: f"{full}, cut from DejaVu Sans", 4: full, 6: full.replace(" ", "")}
    for record in font["name"].names:
        if record.nameID in texts:
            record.string = texts[record.nameID]
    font.save(FONTS / f"{stem}.ttf")
    font.flavor = "woff2"
    font.save(FONTS / f"{stem}.woff2")


if __name__ == "__main__":
    carried = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else carried
    for file, (style, stem) in FACES.items():
        cut(folder / file, style, stem)
    license_text = (carried / "LICENSE_DEJAVU").read_text(encoding="utf-8")
    (FONTS / "LICENSE.txt").write_text(
        "Rooflab Sans is a part of DejaVu Sans under another name, without hints and kerning.\n\n" + license_text,
        encoding="utf-8", newline="\n",
    )  # fmt: skip
    for path in sorted(FONTS.iterdir()):
        print(f"{path.name}: {path.stat().st_size / 1024:.1f} KB")
