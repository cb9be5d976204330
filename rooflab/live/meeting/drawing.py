"""What every page of the view for the table shows: the house over what it was, and the numbers and words beside it."""

from __future__ import annotations

import re
from collections.abc import Iterable, MutableMapping, Sequence
from dataclasses import replace
from html import escape
from typing import Any, NamedTuple

from rooflab.base.findings import Finding
from rooflab.draw.inset import free_box, inset
from rooflab.draw.layout import fit
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout, Point, Scene, Stroke, outlines_path, svg, width
from rooflab.draw.sheets.page import Block, text_block
from rooflab.draw.views.options import option_scene
from rooflab.draw.views.section import section, section_key
from rooflab.job.option import OptionResult
from rooflab.job.table import finding_names, proposals, table_of
from rooflab.live.widgets.handles import SECTION_DIMS
from rooflab.live.widgets.touch import Hold, Meaning, Touchable, edits, follows, items, placed
from rooflab.live.widgets.touched import changed_texts

from .controls import CONTROLS, number_spec

TYPE = 22.0  # text height in every picture, px at 1280 x 720: 16 pt is 21.3
BODY = (1262.0, 508.0)  # of drawing and what stands beside it, px at 1280 x 720
GAP, BESIDE = 12.0, 450.0  # px: between the two, and what is left beside a section with all its dimensions
LARGE = BODY[0] - GAP - BESIDE
LINE, CELL = 26.4, 5.0  # a line's height and the room around a cell's text, px
NUMBERS = 4  # that stand beside a drawing
SHORT_CELL = 12  # letters that stay on one line
FIRST = 0.35  # of a table's width: its labels
MATTER = (
    "gap", "heel", "height", "notch", "rise", "window", "mid_height", "plate", "rafter", "volume", "stock", "stud",
    "gain",
)  # fmt: skip
"""The rows of the table of options in the order in which they matter at the table; where it is not off, no seam."""
USUAL = ("heel", "height", "rise", "notch")
NOTHING_SAID = "nothing that the numbers tell"

DIMS: dict[str, Meaning] = {
    **SECTION_DIMS,
    "truss heel": follows("scissor.heel"),
    "left truss heel": follows("scissor.heel"),
    "left heel": follows("scissor.heel"),
    "height": follows("scissor.height"),
    "ceiling": follows("scissor.ceiling_rise"),
    "window width": edits("window_width"),
}
"""What the numbers on the drawings mean: at the table a heel is something to be met."""


# --- drawings --------------------------------------------------------------------------------------------------------


class PageDrawing(NamedTuple):
    """A drawing in its frame, px, and what can be touched on it."""

    layout: Layout
    frame: Point
    corner: Point | None = None
    under: str = ""
    changed: frozenset[str] = frozenset()
    items: tuple[dict[str, Any], ...] = ()

    @property
    def svg(self) -> str:
        """The drawing as SVG."""
        return svg(self.layout, *self.frame, self.corner, self.under, self.changed)

    @property
    def whole(self) -> Layout:
        """The drawing in its frame as one layout, with the outlines that lie under it."""
        wide, tall = self.frame
        x, y = self.corner or ((wide - self.layout.width) / 2, (tall - self.layout.height) / 2)
        ghost = tuple(Stroke("before", _run(text), "guide") for text in self.under.split("M")[1:])
        there = self.layout.shift(x, y)
        return replace(there, width=wide, height=tall, strokes=(*ghost, *there.strokes))


def _run(text: str) -> tuple[Point, ...]:
    """The points of one run of a path as ``outlines_path`` writes it, "x,y x,y" with "Z" where it closes."""
    points = [(float(x), float(y)) for x, _, y in (one.partition(",") for one in text.rstrip("Z ").split())]
    return tuple([*points, points[0]] if "Z" in text else points)


def scene_of(result: OptionResult, wide: float) -> Scene:
    """The section of an option, both bays in one picture; in a narrow frame with its main dimensions only."""
    if wide < LARGE:
        return option_scene(result)
    return section(result.rafters, result.scissor, result.seam)


def _fitting(scene: Scene, wide: float, tall: float, scales: Sequence[float]) -> Layout:
    return fit(scene, wide, tall, TYPE, scales)


def house_drawing(
    now: OptionResult, before: OptionResult | None, frame: Point, held: MutableMapping[Point, Hold]
) -> PageDrawing:  # fmt: skip
    """The section of an option over the outlines of another one, at the scale and place of the last in that frame."""
    wide, tall = frame
    scene = scene_of(now, wide)
    layout, hold = placed(_fitting, scene, wide, tall, held.get(frame), False)
    corner = hold.x - layout.origin[0], hold.y - layout.origin[1]
    under, changed = "", frozenset[str]()
    if before is not None and (old := scene_of(before, wide)).parts != scene.parts:
        under = outlines_path(old.parts, hold.scale, (hold.x, hold.y))
        changed = frozenset(changed_texts(old, scene))
    key = section_key(now.rafters, now.scissor)
    box = free_box(layout, frame, corner, hold.key)
    held[frame] = hold._replace(key=box)
    shown = inset(layout, key, box, corner) if box else layout
    return PageDrawing(shown, frame, corner, under, changed, tuple(_touched(layout, corner, frame, now)))


def _touched(layout: Layout, corner: Point, frame: Point, result: OptionResult) -> Iterable[dict[str, Any]]:
    """The numbers of a drawing that can be pressed: name, place and what they are called."""

    def touchable(name: str) -> Touchable | None:
        if name not in CONTROLS:
            return None
        spec = number_spec(name, result.option)
        field: Any = {"text": spec["text"], "number": spec["number"], "bad": False}
        return Touchable(CONTROLS[name], field, {}, CONTROLS[name].high)

    for one in items(layout, corner, *frame, DIMS.get, touchable):
        yield {key: one[key] for key in ("name", "style", "label")}


# --- numbers and words beside a drawing ------------------------------------------------------------------------------


class Numbers(NamedTuple):
    """A small table: its head, and rows of a label and texts."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Remarks(NamedTuple):
    """A heading and texts under it."""

    heading: str
    texts: tuple[str, ...]


Part = Numbers | Remarks


def numbers_that_matter(
    now: OptionResult, before: OptionResult | None = None, names: Sequence[str] = ("before", "now")
) -> Numbers:  # fmt: skip
    """Up to four rows: what a change moved, in the order in which it matters, then what is usual.

    The seam comes first wherever the planes do not run through.
    """
    texts = {row.key: (row.label, *row.texts) for row in table_of([now] if before is None else [before, now])}
    changed = [key for key in MATTER if len(set(texts[key][1:])) > 1]
    if not now.seam.coplanar:
        changed = [*dict.fromkeys(("gap", *changed))]
    keys = dict.fromkeys((*changed, *USUAL))
    rows = tuple(texts[key] for key in list(keys)[:NUMBERS])
    return Numbers(("", "as it stands") if before is None else ("", *names), rows)


def for_and_against(base: OptionResult, other: OptionResult) -> tuple[Remarks, Remarks]:
    """What the numbers say for an option and against it, beside another; seam, limits and statics among them."""
    said = proposals(base, other)
    none = (NOTHING_SAID,)
    return Remarks("For", said.pros or none), Remarks("Against", said.cons or none)


def limits_in_words(result: OptionResult) -> Remarks:
    """What an option misses and asks, and why."""
    parts = [(verdict, finding_names(result, verdict)) for verdict in ("misses", "ask")]
    said = [f"{verdict.capitalize()}: {', '.join(names)}." for verdict, names in parts if names]
    whys = [one.sentence for verdict, names in parts for one in result.findings
            if one.verdict == verdict and spoken(one) in names]  # fmt: skip
    if not said:
        whys = ["All usual limits looked at are met. Engineer, building official and manufacturer decide."]
    return Remarks("Limits", (*said, *dict.fromkeys(whys)))


def spoken(finding: Finding) -> str:
    """A finding's name as it is listed."""
    return finding.name.removesuffix("_right").replace("_", " ")


def unbroken(text: str) -> str:
    """A text in which no line ends between inches and their fraction: 7 7/16 never reads 7."""
    return re.sub(r"(\d) (?=\d+/\d)", "\\1\u00a0", text)


def text_lines(text: str, wide: float, bold: bool = False) -> int:
    """How many lines a text takes in a cell ``wide`` px, its room around it included."""
    count, filled = 1, 0.0
    for word in text.split(" "):
        wants = width(word, TYPE, bold)
        if filled and filled + wants > wide - 12:
            count, filled = count + 1, 0.0
        filled += wants + width(" ", TYPE, bold)
    return count


def parts_html(parts: Sequence[Part], wide: float = BESIDE, tall: float = BODY[1]) -> str:
    """Tables and texts one under the other in ``tall`` px; texts without room are counted."""
    made, left = [], tall
    for part in parts:
        if isinstance(part, Numbers):
            html, height = _table_html(part, wide)
            made.append(html)
            left -= height
        else:
            html, height = _words_html(part, wide, left)
            made.append(html)
            left -= height
    return "".join(made)


def _table_html(part: Numbers, wide: float) -> tuple[str, float]:
    """The table and its height, px."""
    count = len(part.head) - 1
    shares = (FIRST, *((1 - FIRST) / count for _ in range(count)))
    high = 0.0
    lines = []
    for row in (part.head, *part.rows):
        texts = [unbroken(text) for text in row]
        high += CELL + LINE * max(text_lines(one, share * wide, True) for one, share in zip(texts, shares, strict=True))
        tag = "th" if row is part.head else "td"
        first = f'<th scope="row">{escape(texts[0])}</th>' if tag == "td" else f"<td>{escape(texts[0])}</td>"
        inside = [escape(text) for text in texts[1:-1]] + [f"<b>{escape(texts[-1])}</b>"]
        short = [' class="rl-short"' if len(text) <= SHORT_CELL else "" for text in texts[1:]]
        cells = (f"<{tag}{look}>{one}</{tag}>" for look, one in zip(short, inside, strict=True))
        lines.append(f"<tr>{first}{''.join(cells)}</tr>")
    return f'<table class="rl-numbers">{"".join(lines)}</table>', high


def _words_html(part: Remarks, wide: float, room: float) -> tuple[str, float]:
    """Heading and texts as one run, as many of them as there is room for, and their height, px."""
    texts, said = [unbroken(one) for one in part.texts], ""
    run = f"{part.heading}: "
    for i, text in enumerate(texts):
        more = len(texts) - i - 1
        tail = f" And {more} more." if more else ""
        if i and text_lines(f"{run}{text}{tail}", wide - 20) * LINE > room - CELL:
            said += f" And {len(texts) - i} more."
            break
        end = "" if text.endswith((".", "!", "?")) else ";" if more else "."
        run += f"{text}{end} "
        said += f"{escape(text)}{end} "
    return f"<p><b>{escape(part.heading)}:</b> {said.strip()}</p>", text_lines(f"{run} And 9 more.", wide - 20) * LINE


def part_blocks(parts: Sequence[Part], wide: float, size: float) -> list[Block]:
    """The same for paper, all of it: blocks ``wide`` points, texts of that size."""
    made = []
    for part in parts:
        if isinstance(part, Remarks):
            made.append(text_block(part.heading, part.texts, wide, size, "-"))
            continue
        count = len(part.head) - 1
        cell = (1 - FIRST) * wide / count
        starts = (0.0, *(FIRST * wide + i * cell for i in range(count)))
        room = (FIRST * wide - size, *(cell - size for _ in range(count)))
        rows = []
        for row in (part.head, *part.rows):
            cells = [wrap(text, w, size) for text, w in zip(row, room, strict=True)]
            for i in range(max(map(len, cells))):
                rows.append(tuple((x, cell[i]) for x, cell in zip(starts, cells, strict=True) if i < len(cell)))
        made.append(Block("Numbers", tuple(rows)))
    return made


def numbers_and_limits(now: OptionResult, before: OptionResult | None) -> list[Part]:
    """What stands beside the house: its numbers, before and now where it was changed, and its limits."""
    return [numbers_that_matter(now, before), limits_in_words(now)]


def what_a_change_does(
    now: OptionResult, before: OptionResult, names: Sequence[str] = ("before", "now")
) -> list[Part]:  # fmt: skip
    """What stands beside a changed house: before and now, what speaks for it and against it."""
    return [numbers_that_matter(now, before, names), *for_and_against(before, now)]
