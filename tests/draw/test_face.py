"""The face: its widths against DejaVu Sans as matplotlib carries it, its letters, its name, its place on paper."""

from __future__ import annotations

import re
from pathlib import Path

import matplotlib
import pytest
from matplotlib.ft2font import FT2Font

import rooflab
from rooflab.draw import face, paper

ROOT = Path(__file__).resolve().parents[2]
CARRIED = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
NAMES = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}


def letters_in_use() -> set[str]:
    """Every letter of the sources, the workbooks and the guides."""
    package = Path(rooflab.__file__).parent
    paths = [path for folder in (package, ROOT / "workbooks") for path in folder.rglob("*") if path.is_file()]
    texts = [p.read_text(encoding="utf-8") for p in [*paths, *ROOT.glob("*.md")] if p.suffix in TEXTS]
    return {letter for text in texts for letter in text if letter >= " "}


TEXTS = {".py", ".js", ".css", ".ipynb", ".json", ".md", ".txt"}


@pytest.mark.parametrize("bold", [False, True])
def test_widths_are_those_of_dejavu_sans(bold: bool) -> None:
    """Every letter, by FreeType from the file that matplotlib carries."""
    font = FT2Font(str(CARRIED / NAMES[bold]))
    font.set_size(100, 72)
    widths = face.advances(bold)
    assert len(widths) > 400
    for letter, wide in widths.items():
        assert wide == pytest.approx(font.load_char(ord(letter)).linearHoriAdvance / 65536 / 100, abs=1e-4), letter


@pytest.mark.parametrize("bold", [False, True])
def test_every_letter_in_use_is_in_the_face(bold: bool) -> None:
    """Those of sources and workbooks, and what Western and Central European names are written with."""
    used = letters_in_use()
    assert {"×", "√", "−", "÷", "²", "·"} <= used
    latin = {chr(code) for code in (*range(0x20, 0x7F), *range(0xA0, 0x180))}
    signs = set("–—“”‘’′″…½¼¾⅛⅜⅝⅞≤≥≈≠→°²³×√−÷·•")
    assert (used | latin | signs) - set(face.advances(bold)) == set()


def test_its_name_is_its_own_and_the_license_stands_beside_it() -> None:
    """The license of Bitstream Vera: a changed face has a name without "Bitstream" and "Vera"; its text goes along."""
    for bold, stem in face.FILES.items():
        font = FT2Font(str(face.FONTS / f"{stem}.ttf"))
        assert (font.family_name, font.style_name) == (face.FAMILY, "Bold" if bold else "Regular")
        assert not re.search("bitstream|vera|arev|tavmjong", font.family_name + font.postscript_name, re.I)
        assert (face.FONTS / f"{stem}.woff2").read_bytes()[:4] == b"wOF2"
        assert (face.FONTS / f"{stem}.woff2").stat().st_size < 20_000  # a page asks for it
    text = (face.FONTS / "LICENSE.txt").read_text(encoding="utf-8")
    assert "Bitstream Vera Fonts Copyright" in text and "Permission is hereby granted" in text


def test_paper_is_printed_in_it() -> None:
    from matplotlib.font_manager import FontProperties, findfont

    assert Path(findfont(FontProperties(family=paper.FACES))).name == "RooflabSans.ttf"
    assert Path(findfont(FontProperties(family=paper.FACES, weight="bold"))).name == "RooflabSans-Bold.ttf"


def test_a_letter_that_it_has_not_takes_a_whole_text_height() -> None:
    assert face.width("梁", 20) == 20
    assert face.width("", 20) == 0
