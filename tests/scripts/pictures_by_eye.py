"""A page with the corner cases of the pictures: ``python tests/scripts/pictures_by_eye.py out.html section``."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from rooflab.draw.layout import Layout, fit
from rooflab.draw.scene import svg
from tests.tools.pictures import corners, plans, unequal, views_of


def page(pictures: list[tuple[str, Layout, tuple[float, float]]]) -> str:
    """All pictures on one page, each with its name, scale and what was dropped."""
    figures = [
        f"<figure><figcaption>{name}, {placed.scale:g} an inch {' '.join(placed.dropped)}</figcaption>"
        f"{svg(placed, *frame)}</figure>"
        for name, placed, frame in pictures
    ]
    look = "<style>figure{display:inline-block;margin:4px;font:11px sans-serif}svg{border:1px solid #999}</style>"
    return f'<!doctype html><meta charset="utf-8">{look}{"".join(figures)}'


def main() -> None:
    """Write the page; further words choose views and cases by what is in their names."""
    path, words = Path(sys.argv[1]), sys.argv[2:]
    drawn = [
        (f"{case.name}: {name}", scene, frame)
        for case in corners() + unequal()
        for name, scene, frame in views_of(case)
    ]
    chosen = [row for row in [*drawn, *plans()] if all(word in f"{row[0]} {row[2][0]:g}" for word in words)]
    path.write_text(
        page([(name, fit(scene, *frame), frame) for name, scene, frame in chosen]), encoding="utf-8", newline="\n"
    )


if __name__ == "__main__":
    main()
