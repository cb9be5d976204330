"""Pictures with large texts: for a room, and for small places on paper.

A picture for a desk shows every size it can; one that is read from the back row, or is only a few inches wide, stands
beside its readings and shows less, so that the work itself stays large.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from .layout import MARGIN, fit, sparse
from .placing import wrapped
from .scene import Layout, Scene, width


def fit_large(scene: Scene, wide: float, tall: float, size: float) -> Layout:
    """As ``fit``, for large texts: long titles are broken, what stands in brackets goes where a line is too long.

    Texts are dropped, the outer ones first, until the work has about half the scale it could have without any: for a
    picture that stands beside its readings.  A title named "caution" is left out, to be shown beside it too.
    """
    room = wide - 2 * MARGIN - size
    titles = tuple(
        title._replace(text=line)
        for title in scene.titles
        if title.name != "caution"
        for line in wrapped(_shorter(title.text, room, size), room, size)
    )
    notes = tuple(note._replace(text=_shorter(note.text, room, size)) for note in scene.notes)
    scene = replace(scene, titles=titles, notes=notes)
    x0, y0, x1, y1 = scene.bounds()
    bare = min(wide / (x1 - x0), tall / (y1 - y0))
    best: Layout | None = None
    noted = {note.name for note in scene.notes} & set(scene.must)
    for one, enough in _fewer(scene):
        placed = fit(one, wide, tall, size)
        if placed.width > wide or placed.height > tall:
            continue
        if best is None or placed.scale > best.scale:
            names = {dim.name for dim in one.dims}
            gone = tuple(dim.name for dim in scene.dims if dim.name not in names)
            best = replace(placed, dropped=(*placed.dropped, *gone))
        if best.scale >= enough * bare and not noted & set(best.dropped):
            break
    return best or fit(scene, wide, tall, size)


def _fewer(scene: Scene) -> Iterator[tuple[Scene, float]]:
    """A scene with fewer and fewer texts, and which part of the scale without any is enough for each."""
    must, near = sparse(scene).dims, tuple(dim for dim in sparse(scene).dims if dim.level == 1)
    keys = {title.name for title in scene.titles if re.match(r"[A-Z]+:", title.text)}  # DASHED: what that means
    first = tuple(title for title in scene.titles if title.name in {scene.titles[0].name, *keys})
    few = replace(scene, titles=first, dims=near, must=tuple(dim.name for dim in near))
    yield from ((scene, 0.6), (sparse(scene), 0.55))
    yield replace(scene, dims=must, must=tuple(dim.name for dim in must)), 0.5  # slope marks without room go
    yield from ((replace(few, titles=scene.titles), 0.5), (few, 0.45), (replace(few, slopes=()), 0.4))
    yield from ((replace(few, dims=()), 0.4), (replace(few, slopes=(), dims=(), notes=()), 0.0))


def _shorter(text: str, wide: float, size: float) -> str:
    """A line without what stands in brackets, where it is too long with it."""
    return text if width(text, size) <= wide else re.sub(r"\s*\([^()]*\)", "", text)
