"""A returned drawing as a form over its profile: each number stands where the paper has it, a blank where none came.

It lies on the overlay of ``draw/views/review.py``: solid what was asked for, dashed what the numbers give so far.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from rooflab.base.measure import LEVEL
from rooflab.draw.scene import Dim, Note, Scene, Slope, Stroke, Title
from rooflab.house.bays import ScissorBay
from rooflab.house.planes import End
from rooflab.shop.items import HEAD, item_and_end
from rooflab.shop.review import RESOLVE, Review

from .profile import lower_bay, pitch_marks
from .review import review_overlay

BLANK = "____"
WORDS = {
    "overhang": "overhang {}", "bearing": "bearing {}", "heel": "heel {}", "height": "height {}", "span": "span {}",
    "ceiling_rise": "rise {}", "depth_at_peak": "depth {}", "tail_top": "tail {}", "plate": "plate {}",
}  # fmt: skip
"""What stands by each number; a pitch stands in its mark."""
DEEP = 14.0  # how far walls are shown below their plates, in


def blank_texts(one: Review, printed: Mapping[str, str]) -> dict[str, str]:
    """The text at each end's number, by key: as printed, a blank where it is not; where it is to resolve, what was
    asked for beside it.
    """
    texts = {f"plate_{end.wall.side}": BLANK for end in one.bay.ends if abs(end.plate) > LEVEL}
    for line in one.lines:
        item, end = item_and_end(line.item)
        for key in [line.item] if end or not item.ends else [f"{item.name}_left", f"{item.name}_right"]:
            own = printed.get(key) or printed.get(item.name, "")
            asked = f" (asked {line.texts[1]})" if line.verdict == RESOLVE else ""
            short = (line.texts[2] if own else BLANK) + asked
            texts[key] = short.replace(" in 12", "") if item.kind == "pitch" else short
    return texts


def drawing_form(
    one: Review, printed: Mapping[str, str], head: Mapping[str, str], times: int, name: Callable[[str], str]
) -> Scene:
    """The overlay of a review as a form: ``printed`` the values that came back, by key, and lines of the head.

    ``name`` gives each number's name on the drawing by its key.
    """
    under, bay = review_overlay(one, times), one.bay
    texts = blank_texts(one, printed)
    dims = [*_under(bay, texts, name), *_beside(bay, texts, name)]
    notes, guides = _inside(bay, texts, name)
    slopes = [slope for end in bay.ends for slope in _pitches(end, texts, name)]
    words = [f"{label.lower()} {head.get(key) or BLANK}" for key, label in HEAD.items() if key != "job"]
    titles = [Title(name(key), text, "left") for key, text in zip(("drawing", "drawing_date"), words, strict=True)]
    lines = [line for line in under.strokes if printed or not line.name.endswith("returned")]
    legend = under.titles if printed else under.titles[:1]
    return replace(
        under,
        strokes=(*lines, *guides),
        notes=notes,
        dims=tuple(dims),
        slopes=tuple(slopes),
        titles=(*legend, *titles),
        must=(*[dim.name for dim in dims], *[slope.name for slope in slopes], *[note.name for note in notes]),
    )


Texts = Mapping[str, str]
Name = Callable[[str], str]


def _dim(key: str, texts: Texts, name: Name, a: tuple[float, float], b: tuple[float, float], side: str,
         level: int = 1) -> list[Dim]:  # fmt: skip
    if key not in texts:
        return []
    return [Dim(name(key), WORDS[item_and_end(key)[0].name].format(texts[key]), a, b, side, level)]


def _under(bay: ScissorBay, texts: Texts, name: Name) -> list[Dim]:
    """The chains under the work: overhangs, bearings, and the span."""
    floor = min(bay.left.plate, bay.right.plate, 0.0) - DEEP
    dims: list[Dim] = []
    for end in bay.ends:
        x, side = end.wall.x, end.wall.side
        out, seat = sorted((x, end.wall.inside(-end.overhang))), sorted((x, end.wall.inside(end.bearing)))
        dims += _dim(f"overhang_{side}", texts, name, (out[0], floor), (out[1], floor), "bottom", 1)
        dims += _dim(f"bearing_{side}", texts, name, (seat[0], floor), (seat[1], floor), "bottom", 2)
    return dims + _dim("span", texts, name, (bay.left.wall.x, floor), (bay.right.wall.x, floor), "bottom", 3)


def _beside(bay: ScissorBay, texts: Texts, name: Name) -> list[Dim]:
    """Heels, tops of tails and plates at their own side, the overall height outside them at the lower plate's."""
    dims: list[Dim] = []
    low = lower_bay(bay)
    for end in bay.ends:
        side, x, plate = end.wall.side, end.wall.x, end.plate
        tail = end.wall.inside(-end.overhang)
        top = end.roof.at(tail)
        dims += _dim(f"heel_{side}", texts, name, (x, plate), (x, plate + end.heel), side, 1)
        if abs(plate) > LEVEL:
            dims += _dim(f"plate_{side}", texts, name, (x, min(0.0, plate)), (x, max(0.0, plate)), side, 2)
        dims += _dim(f"tail_top_{side}", texts, name, (tail, min(plate, top)), (tail, max(plate, top)), side, 2)
    at = low.wall.inside(-low.overhang), low.plate
    return dims + _dim("height", texts, name, at, bay.peak, low.wall.side, 3)


def _inside(bay: ScissorBay, texts: Texts, name: Name) -> tuple[tuple[Note, ...], tuple[Stroke, ...]]:
    """Ceiling rise and depth at the peak: notes in the open room on the plumb lines that they measure."""
    (x, peak), low = bay.peak, lower_bay(bay).plate
    apex, under = bay.left.wall.inside(bay.left.apex), bay.ceiling_at(x)
    rows = (
        ("ceiling_rise", apex, low, low + bay.ceiling_rise, 0.2),
        ("depth_at_peak", x, under, peak, 0.2),
    )
    notes = tuple(
        Note(name(key), WORDS[key].format(texts[key]), (at, a + part * (b - a)), "middle", 0)
        for key, at, a, b, part in rows
    )
    plumb = [Stroke(f"line of {key}", ((at, a), (at, b)), "guide") for key, at, a, b, _ in rows]
    ends = [end.wall.inside(end.bearing) for end in bay.ends]
    return notes, (*plumb, Stroke("own plate line", ((ends[0], low), (ends[1], low)), "guide"))


def _pitches(end: End, texts: Texts, name: Name) -> list[Slope]:
    """The pitch marks of one end, roof and ceiling, with what came back in them."""
    keys = f"pitch_{end.wall.side}", f"ceiling_pitch_{end.wall.side}"
    marks = zip(keys, pitch_marks(end), strict=True)
    return [mark._replace(name=name(key), rise=texts[key]) for key, mark in marks]
