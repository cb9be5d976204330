"""What a touch on a drawing means, and what was there before it.

Each number on a drawing edits a control, asks for the nearest ways to another number, or says why it cannot be changed
here; a grip carries a control along.  The page reports what was touched and where, in model inches; what that comes to
is decided here, in the texts of controls.  A drawing keeps its scale and place while it fits; the last state lies under
it; every change can be undone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any, NamedTuple

from rooflab.base.measure import InputError
from rooflab.draw.layout import STEPS
from rooflab.draw.placing import Box, union
from rooflab.draw.scene import Layout, Point, Scene
from rooflab.job.backwards import ask_backwards
from rooflab.job.values import ROWS, House, box_text
from rooflab.job.wishes import MOVES, reading_label, wish, wish_value_text

from .controls import Control, Field

LEAST = 24.0  # side of what can be touched, px
MOST_WAYS, FIRST_CHANGES, ALL_CHANGES = 4, 2, 3  # ways that are offered, inputs that change at once: first, at most
EMPTY = "empty"  # what is said of a number that is a blank
ENOUGH = 0.6  # of the scale that would fit: smaller than that, a picture is drawn anew
MOST_STEPS = 100  # that can be undone
PARTS = (1.0, 0.94, 0.88, 0.8, 0.7)  # of a frame, for each of several drawings that stand in it at one scale
OTHER_END = "This end is the job file's own: change it there. A box holds the left end, or both where they are equal."

# --- what a name on a drawing means ----------------------------------------------------------------------------------


class Meaning(NamedTuple):
    """What a number on a drawing stands for: a control, a reading that can be wished for, or why neither."""

    control: str = ""
    reading: str = ""
    why: str = ""


def edits(control: str) -> Meaning:
    """A number that is typed in: the control of that name."""
    return Meaning(control=control)


def follows(reading: str) -> Meaning:
    """A number that follows from others: a key of ``READABLE`` that ``job/backwards.py`` finds the ways to."""
    return Meaning(reading=reading)


def says(why: str) -> Meaning:
    """A number that cannot be changed here, and why."""
    return Meaning(why=why)


def at_both(names: Mapping[str, Meaning]) -> dict[str, Meaning]:
    """The same meanings at the left end, and at the right one, which has no box of its own."""
    right = {f"right {name}": one if one.why else says(OTHER_END) for name, one in names.items()}
    return {f"left {name}": one for name, one in names.items()} | right


class Grip(NamedTuple):
    """A handle on a drawing that carries a control along.

    ``at`` is where it stands for what the topic's grips hang on (``hangs``), None where there is none; ``axis`` is the
    way it moves, "x" or "y".  It is snapped to ``values``, else to steps of ``step``, else to the control's own.
    """

    name: str
    control: str
    axis: str
    at: Callable[[Any], Point | None]
    step: float = 0.0
    values: tuple[float, ...] = ()

    def grid(self, control: Control, highest: float) -> Sequence[float]:
        """The numbers it snaps to, rising."""
        high = min(control.high, highest)
        if self.values:
            return [one for one in self.values if control.low <= one <= high]
        step = self.step or control.step
        return [control.low + i * step for i in range(int((high - control.low) / step + 1e-9) + 1)]


def nearest_number(grid: Sequence[float], now: float, off: Callable[[float], float | None]) -> float:
    """The number of a rising grid where ``off``, which rises or falls with it, is nearest to 0, from ``now`` on.

    ``off`` is None where nothing can be drawn; such numbers are passed over.  So is ``now`` on the way: where ends are
    unlike, it alone leaves them so.

    >>> nearest_number(range(20), 3, lambda x: 2 * x - 25.2 if x < 18 else None)
    13
    """
    known: dict[int, float] = {}
    here, grid = off(now) if now in grid else None, [one for one in grid if one != now] or grid

    def far(i: int) -> float:
        if i not in known:
            found = off(grid[i])
            known[i] = float("inf") if found is None else found
        return abs(known[i])

    i = min(range(len(grid)), key=lambda i: abs(grid[i] - now))
    step = 1
    for _ in range(8):  # along the chord through two of them: most grips move evenly with their number
        j = i + step if i + step < len(grid) else i - step
        if far(i) == float("inf") or j < 0 or far(j) in (float("inf"), far(i)):
            break
        slope = (known[j] - known[i]) / (j - i)
        to = min(max(round(i - known[i] / slope), 0), len(grid) - 1)
        while far(to) == float("inf") and abs(to - i) > 1:
            to = (to + i) // 2
        if far(to) >= far(i):
            break
        i = to
    while True:  # to where no neighbor is nearer
        near = min((k for k in (i - 1, i, i + 1) if 0 <= k < len(grid)), key=lambda k: (far(k), k != i))
        if near == i:
            return now if here is not None and abs(here) <= far(i) else grid[i]
        i = near


# --- where a picture stands ------------------------------------------------------------------------------------------


class Hold(NamedTuple):
    """The scale of a picture (px an inch), where model (0, 0) stands in it, its share of what has room bare, how many
    texts it has no room for, how high its letters are, px, in which box of the frame its key stands, and for which part
    of the frame it is laid out, px, where that is not all of it."""

    scale: float
    x: float
    y: float
    share: float
    lost: int = 0
    letters: float = 0.0
    key: Box | None = None
    within: Point | None = None


Fitting = Callable[[Scene, float, float, Sequence[float]], Layout]


def placed(
    fitting: Fitting, scene: Scene, wide: float, tall: float, held: Hold | None, fixed: bool, over: float = 1e9
) -> tuple[Layout, Hold]:
    """A scene laid out in a frame, px, at the scale and place it was ``held`` at while it fits there with its texts.

    A new one stands in the middle, or at most ``over`` px below the frame's upper edge.

    It is not held where that is less than ``ENOUGH`` of its first share of the frame; ``fixed`` (a grip is dragged) it
    is held in any case.
    """
    x0, y0, x1, y1 = scene.bounds()
    bare = min(wide / max(x1 - x0, 1e-9), tall / max(y1 - y0, 1e-9))
    if held and (fixed or held.scale >= ENOUGH * held.share * bare):
        layout = fitting(scene, *(held.within or (wide, tall)), (held.scale,))
        x, y = held.x - layout.origin[0], held.y - layout.origin[1]
        if fixed:
            return layout, held
        room = layout.width <= wide and layout.height <= tall and layout.size == held.letters
        if room and len(layout.dropped) <= held.lost:
            x, y = min(max(x, 0.0), wide - layout.width), min(max(y, 0.0), tall - layout.height)
            return layout, held._replace(x=x + layout.origin[0], y=y + layout.origin[1])
    layout = fitting(scene, wide, tall, STEPS)
    x, y = (wide - layout.width) / 2 + layout.origin[0], min((tall - layout.height) / 2, over) + layout.origin[1]
    return layout, Hold(layout.scale, x, y, layout.scale / bare, len(layout.dropped), layout.size)


def hold_for(fitting: Fitting, scenes: Sequence[Scene], wide: float, tall: float) -> tuple[Hold, Layout] | None:
    """The largest scale, and the place, at which all of these scenes stand in a frame: from one to the next only what
    changes moves.  With it a layout of all their lines and texts, one on the other; None where they have no room.
    """
    sides = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in (scene.bounds() for scene in scenes)]
    bare = max(min(wide / max(x, 1e-9), tall / max(y, 1e-9)) for x, y in sides)
    most = min(fitting(scene, wide, tall, STEPS).scale for scene in scenes)
    for scale in (step for step in STEPS if step <= most):
        tries = [_together(fitting, scenes, (part * wide, part * tall), scale) for part in PARTS]
        fits = [one for one in tries if one[1].width <= wide and one[1].height <= tall and one[1].size == one[2]]
        if fits:
            within, every, letters, lost = min(fits, key=lambda one: one[3])
            x, y = (wide - every.width) / 2 + every.origin[0], (tall - every.height) / 2 + every.origin[1]
            return Hold(scale, x, y, scale / bare, lost, letters, None, within), every
    return None


def _together(
    fitting: Fitting, scenes: Sequence[Scene], within: Point, scale: float
) -> tuple[Point, Layout, float, int]:
    """Scenes laid out at one scale for a frame, one on the other; the least height of their letters, the most lost."""
    layouts = [fitting(scene, *within, (scale,)) for scene in scenes]
    left, top = (max(one.origin[side] for one in layouts) for side in (0, 1))
    over = [one.shift(left - one.origin[0], top - one.origin[1]) for one in layouts]
    every = replace(
        over[0],
        width=left + max(one.width - one.origin[0] for one in layouts),
        height=top + max(one.height - one.origin[1] for one in layouts),
        size=max(one.size for one in layouts),
        shapes=tuple([one for layout in over for one in layout.shapes]),
        strokes=tuple([one for layout in over for one in layout.strokes]),
        labels=tuple([one for layout in over for one in layout.labels]),
    )
    return within, every, min(one.size for one in layouts), max(len(one.dropped) for one in layouts)


def motion(before: Hold, now: Hold, wide: float, tall: float) -> str:
    """The CSS transform that makes a picture look as it stood before, from which it is moved to where it stands."""
    k = before.scale / now.scale
    x, y = 100 * (before.x - k * now.x) / wide, 100 * (before.y - k * now.y) / tall
    return f"translate({x:.2f}%, {y:.2f}%) scale({k:.4f})"


# --- what can be touched ---------------------------------------------------------------------------------------------


class Touchable(NamedTuple):
    """A control as it stands, for what is touched: itself, its field, what else is sent with it, its highest number."""

    control: Control
    field: Field
    also: dict[str, str]
    highest: float

    @property
    def text(self) -> str:
        """Its number as it is written, even where it is left to the program."""
        number = self.field["number"]
        left = number is not None and not self.control.choices and not _number_in(self.field["text"])
        return self.control.show(number) if left and number is not None else self.field["text"]

    def spec(self) -> dict[str, Any]:
        """What the page needs to type into it and to step it."""
        spec = self.control.spec()
        own = {name: value for name, value in spec.items() if name in ("low", "step", "choices")}
        high = spec["high"] if self.control.choices else min(spec["high"], self.highest)
        made: dict[str, Any] = {**own, "control": self.control.name, "high": high, "number": self.field["number"]}
        return made | {"text": self.text, "bad": self.field["bad"]} | ({"also": self.also} if self.also else {})


def _number_in(text: str) -> bool:
    return re.search(r"\d", text) is not None


def number_text(text: str) -> str:
    """The length or number in the text of a dimension; what is below a plate is less than nothing.

    >>> number_text("rise 4'-2 3/16\\""), number_text("8"), number_text('tail 1 7/8" below')
    ('4\\'-2 3/16"', '8', '-1 7/8"')
    """
    found = re.search(r"-?\d[\d'\-./ ]*(?:\"|(?<=\d)|')", text)
    return f"{'-' * text.endswith(' below')}{found[0]}" if found else text


def items(
    layout: Layout, corner: Point, wide: float, tall: float,
    meaning: Callable[[str], Meaning | None], touchable: Callable[[str], Touchable | None],
) -> Iterator[dict[str, Any]]:  # fmt: skip
    """What can be touched of a placed drawing, for the page: its dimensions, slope marks and the notes that mean one.

    ``corner`` is where its upper left corner stands in the frame, px; ``touchable`` gives a control by its name.
    """
    boxes: dict[str, tuple[str, list[tuple[float, float, float, float]]]] = {}
    for label in layout.labels:
        if meaning(label.name):
            boxes.setdefault(label.name, (label.text, []))[1].append(label.box)
    for name, (text, own) in boxes.items():
        what = meaning(name)
        assert what is not None
        left, top, right, low = union(own)
        middle = (left + right) / 2 + corner[0], (top + low) / 2 + corner[1]
        size = max(right - left + 4, LEAST), max(low - top + 4, LEAST)
        item = {"name": name, "style": _style(middle, size, wide, tall), "side": _side(middle, wide)}
        one = touchable(what.control) if what.control else None
        if one:
            whose = "" if name.lower() in (one.control.label.lower(), "heel") else f" ({name})"
            said = f"{one.control.label}{whose} {one.text or EMPTY}, edit"
            yield item | one.spec() | {"kind": "edit", "label": said}
        elif what.reading:
            called, own_text = reading_label(what.reading), number_text(text)
            said = f"{called[0].upper()}{called[1:]} {own_text}: type the one you want"
            yield item | {"kind": "ask", "label": said, "text": own_text}
        else:
            said = f"{name[0].upper()}{name[1:]} {number_text(text)}: why it is fixed"
            yield item | {"kind": "why", "label": said, "why": what.why or "Hold fixed here."}


def grip_items(
    grips: Iterable[Grip], hung: Any, held: Hold, wide: float, tall: float,
    touchable: Callable[[str], Touchable | None],
) -> Iterator[dict[str, Any]]:  # fmt: skip
    """The grips of a drawing for the page; one that would lie over another is left out."""
    taken: list[Point] = []
    for grip in grips:
        at, one = grip.at(hung), touchable(grip.control)
        if at is None or one is None or one.field["number"] is None:
            continue
        x, y = held.x + at[0] * held.scale, held.y - at[1] * held.scale
        clear = all(max(abs(x - px), abs(y - py)) >= LEAST for px, py in taken)
        if clear and 0 <= x <= wide and 0 <= y <= tall:
            taken.append((x, y))
            style = _style((x, y), (LEAST, LEAST), wide, tall)
            item = {"name": f"grip {grip.name}", "kind": "grip", "style": style, "grip": grip.name}
            yield item | one.spec() | {"label": f"{one.control.label}: {grip.name}"}


def _style(middle: Point, size: Point, wide: float, tall: float) -> str:
    """Where something stands, as CSS in percent of the picture."""
    x, y = 100 * (middle[0] - size[0] / 2) / wide, 100 * (middle[1] - size[1] / 2) / tall
    return f"left:{x:.2f}%;top:{y:.2f}%;width:{100 * size[0] / wide:.2f}%;height:{100 * size[1] / tall:.2f}%"


def _side(middle: Point, wide: float) -> str:
    """On which side of what is touched there is more room."""
    return "right" if middle[0] < wide / 2 else "left"


# --- ways to a number ------------------------------------------------------------------------------------------------


class WayTo(NamedTuple):
    """One of the nearest ways to a number: in words, what it costs, and the texts of controls that make it so."""

    words: str
    costs: tuple[str, ...]
    texts: dict[str, str]


def ways_to(
    house: House, key: str, text: str, controls: Mapping[str, Control], changes: int = FIRST_CHANGES
) -> tuple[str, tuple[WayTo, ...]]:
    """A sentence, and the nearest ways to a reading of a house, moving what there are controls for.

    At most ``changes`` inputs move at once.  InputError for a text that is no such number.
    """
    asked = wish(key, "is", text)
    found = ask_backwards(house, [asked], [name for name in MOVES if name in controls], MOST_WAYS, 2, changes)
    if not found.options:
        return found.sentence, ()
    if not found.options[0].changes:
        return f"It is {wish_value_text(key, asked.value)} already.", ()
    ways = [
        WayTo(_words(house, one.house, one.changes), one.also, _texts(one.changes, controls)) for one in found.options
    ]
    return f"{asked.text[0].upper()}{asked.text[1:]}:", tuple(ways)


def _words(house: House, new: House, changes: Iterable[str]) -> str:
    said = [f"{ROWS[name].label} {box_text(name, new[name])}" for name in changes]
    return "; ".join(said)


def _texts(changes: Mapping[str, Any], controls: Mapping[str, Control]) -> dict[str, str]:
    return {name: value if isinstance(value, str) else controls[name].show(value) for name, value in changes.items()}


# --- what was there before -------------------------------------------------------------------------------------------


class Moved(NamedTuple):
    """A text that stands in place of what the page sends: since which answer, what is not new, the text (None: none).

    ``sent`` holds what the page sent then and every text that has stood in its place since: the page may take one of
    those, and send it with its next message, before it has heard of the last.
    """

    since: int
    sent: tuple[str | None, ...]
    text: str | None

    def then(self, since: int, text: str | None) -> Moved:
        """The same control with another text that stands."""
        return Moved(since, (*self.sent, self.text), text)


def standing(raw: Mapping[str, str], moved: Mapping[str, Moved]) -> tuple[dict[str, str], dict[str, Moved]]:
    """The texts that stand, and what is still in the place of what was sent, for a message of the page.

    ``_seen`` in it is the last answer that the page has taken.

    >>> standing({"seat": "3", "_seen": "6"}, {"seat": Moved(7, ("3",), "4")})[0]["seat"]
    '4'
    >>> standing({"seat": "3", "_seen": "7"}, {"seat": Moved(7, ("3",), "4")})[0]["seat"]
    '3'
    """
    seen = count(raw, "_seen")
    left = {name: one for name, one in moved.items() if raw.get(name) in one.sent and seen < one.since}
    texts = dict(raw)
    for name, one in left.items():
        if one.text is None:
            texts.pop(name, None)
        else:
            texts[name] = one.text
    return texts, left


def count(raw: Mapping[str, str], name: str) -> int:
    """A counter of the page; 0 where it sends none."""
    return int(raw[name]) if re.fullmatch(r"\d{1,9}", raw.get(name, "")) else 0


class Steps(NamedTuple):
    """What can be undone and done again: whole states, the last one last; ``key`` says what the last change was of."""

    past: tuple[Any, ...] = ()
    future: tuple[Any, ...] = ()
    key: object = None

    def change(self, before: Any, key: object) -> Steps:
        """After a change; one of the same key as the last is undone with it."""
        same = key is not None and key == self.key and self.past
        return Steps(self.past if same else (*self.past[1 - MOST_STEPS :], before), (), key)

    def undo(self, now: Any) -> tuple[Any, Steps] | None:
        """The state before the last change, and what is left; None where there is none."""
        return (self.past[-1], Steps(self.past[:-1], (*self.future, now))) if self.past else None

    def redo(self, now: Any) -> tuple[Any, Steps] | None:
        """The state that was undone last."""
        return (self.future[-1], Steps((*self.past, now), self.future[:-1])) if self.future else None


@lru_cache(256)
def read_point(text: str) -> Point | None:
    """A place that the page reports as "x,y" in model inches; None for anything else.

    >>> read_point("156,112.8"), read_point("here")
    ((156.0, 112.8), None)
    """
    found = re.fullmatch(r"(-?\d{1,6}(?:\.\d{1,9})?),(-?\d{1,6}(?:\.\d{1,9})?)", text)
    return (float(found[1]), float(found[2])) if found else None


def refused(work: Callable[[], Any]) -> Any:
    """What ``work`` returns; None where it refuses."""
    try:
        return work()
    except InputError:
        return None
