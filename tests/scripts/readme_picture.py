"""For authors: write the README's picture, which tests/project/test_readme.py compares."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

import rooflab as rl
from rooflab.draw.layout import fit
from rooflab.draw.scene import svg
from rooflab.draw.views.section import section

PICTURE = ROOT / "workbooks" / "one-roof-plane.svg"


def picture() -> str:
    """The section of the house that the README computes, as SVG text."""
    gable = rl.Gable("26'", pitch=8, bearing="5 1/2", overhang=16)
    rafters = rl.RafterBay(gable, lumber="2x10", seat="3 1/2").handed_over()
    scissor = rl.ScissorBay(gable, ceiling_pitch=4, heel=rl.sixteenth(rafters.heel))
    scene = section(rafters, scissor, rl.compare(rafters, scissor))
    return svg(fit(scene, 860, 340), 860, 340) + "\n"


if __name__ == "__main__":
    PICTURE.write_text(picture(), encoding="utf-8", newline="\n")
