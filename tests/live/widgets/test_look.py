"""The colors of widgets and pictures on a light and a dark page: contrast as in WCAG 2.2 (1.4.3: 4.5; 1.4.11: 3)."""

from __future__ import annotations

import re

import pytest

from rooflab.draw.scene import INK, PAPER, STYLES
from rooflab.live.widgets.base import HERE

CSS = (HERE / "look.css").read_text(encoding="utf-8")
DARK = r'^body\[data-jp-theme-light="false"\] '
COLOR = r"--rl-([a-z-]+): (#[0-9a-fA-F]{3,6})"


def colors(dark: bool) -> dict[str, str]:
    """The named colors of a light or a dark page."""
    light = dict(re.findall(COLOR, next(line for line in CSS.splitlines() if line.startswith(":is("))))
    return light | dict(re.findall(COLOR, "".join(re.findall(DARK + r"\S.*--rl-.*$", CSS, re.M)))) if dark else light


def shown(kind: str, color: str) -> str:
    """What a picture's color is on a dark page."""
    name = re.search(DARK + rf'.*\[{kind}="{color}"\] {{ {kind}: var\(--rl-([a-z]+)\)', CSS, re.M)
    assert name, f"{kind} {color} is not shown otherwise"
    return colors(True)[name[1]]


def light(color: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    digits = color[1:] if len(color) == 7 else "".join(2 * one for one in color[1:])
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    high, low = sorted((light(one), light(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_itself() -> None:
    """White on black is 21 to 1, #767676 on white 4.54 (WCAG's own examples, from memory)."""
    assert contrast("#fff", "#000000") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("dark", [False, True])
def test_texts_and_outlines_of_widgets(dark: bool) -> None:
    named = colors(dark)
    for back in ("paper", "tint", "warm-tint", "key", "pick"):
        assert contrast(named["ink"], named[back]) >= 4.5, back
    for front in ("soft", "blue"):  # words beside readings, links and what is written on blue
        assert contrast(named[front], named["paper"]) >= 4.5, front
    for text, back in (("soft", "key"), ("paper", "ink"), ("paper", "warm")):
        assert contrast(named[text], named[back]) >= 4.5, (text, back)
    for edge in ("edge", "blue", "warm"):
        assert contrast(named[edge], named["paper"]) >= 3, edge


def test_every_color_of_a_picture_has_a_dark_one() -> None:
    paper = shown("fill", PAPER)
    assert contrast(shown("fill", INK), paper) >= 4.5
    for name, style in STYLES.items():
        own = name.endswith(" face")  # without an outline
        assert own or contrast(shown("stroke", style.line), paper) >= 3, style
        if style.fill != "none":
            fill = shown("fill", style.fill)
            assert contrast(shown("stroke", style.line), fill) >= 3 or style.fill == style.line, style
            assert contrast(shown("fill", INK), fill) >= 4.5 or light(style.fill) < 0.4, style  # a text may lie on it
