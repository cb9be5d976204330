"""The part of a panel's answers that a hand on the drawing needs: drags, ways, what lies under a picture, undoing.

``TopicPanel`` is one; it says what a message changes and shows what comes of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from rooflab.base.measure import InputError
from rooflab.draw.inset import free_box, inset
from rooflab.draw.scene import Layout, Point, Scene, outlines_path, svg

from .base import Content
from .controls import Control, Field
from .touch import (
    ALL_CHANGES,
    FIRST_CHANGES,
    Fitting,
    Grip,
    Hold,
    Moved,
    Steps,
    Touchable,
    count,
    grip_items,
    items,
    motion,
    nearest_number,
    placed,
    read_point,
    refused,
    ways_to,
)

UNDONE = ("state", "before", "reference", "_now", "_problems", "_positions", "_past_followers", "_aside", "_past",
          "_kept", "_held")  # fmt: skip
"""What a change may change, and undoing brings back."""
DETAIL_VIEW = "detail"  # the view of the drawing beside the picture


class Sheet(NamedTuple):
    """A drawing as it is shown: its view, the placed layout in its frame, px, and from where it moved there."""

    view: str
    layout: Layout
    held: Hold
    wide: float
    tall: float
    motion: str

    @property
    def corner(self) -> Point:
        """Where the layout's upper left corner stands in the frame."""
        return corner_of(self.layout, self.held)


def corner_of(layout: Layout, held: Hold) -> Point:
    """Where the upper left corner of a layout stands in its frame, px."""
    return held.x - layout.origin[0], held.y - layout.origin[1]


def copied(value: Any) -> Any:
    """A copy of a dictionary or set; all else is the same thing."""
    return value.copy() if isinstance(value, (dict, set)) else value


class Touched:
    """What a hand on a panel's drawings does.  The topic, its state and the texts are the panel's."""

    topic: Any
    views: tuple[str, ...]
    state: Any
    start: dict[str, str]
    reference: dict[str, str]
    _now: dict[str, str]  # the texts that stand, of controls that were used
    _past: Any  # the state before the last change
    _kept: Any
    _held: dict[tuple[str, float, float], Hold]
    _serial: int
    over: float  # the most room over a drawing, px
    strip = 0.0  # height of what is kept free below a drawing, px

    def _no_steps(self) -> None:
        """Nothing to undo, nothing shown yet."""
        self._steps, self._moved = Steps(), dict[str, Moved]()
        self._sheets: dict[str, Sheet] = {}
        self._under: dict[str, tuple[Any, Scene | None]] = {}
        self._pulled = self._grabbed = ""  # the grip that is dragged, and the one that was last

    # --- the panel's own

    def _picture(self, view: str) -> str:
        raise NotImplementedError

    def _detail(self) -> str:
        raise NotImplementedError

    def _control_texts(self, raw: Mapping[str, str]) -> dict[str, str | None]:
        raise NotImplementedError

    def _field(self, control: Control, texts: Mapping[str, str | None]) -> Field:
        raise NotImplementedError

    def _highest(self) -> dict[str, float]:
        raise NotImplementedError

    # --- undoing

    def _snapshot(self) -> dict[str, Any]:
        return {name: copied(getattr(self, name)) for name in UNDONE}

    def _go_back(self, raw: Mapping[str, str], old_raw: Mapping[str, str]) -> None:
        """Undo, then do again, as often as was pressed since the last message."""
        for name in ("undo", "redo"):
            for _ in range(max(count(raw, f"_{name}") - count(old_raw, f"_{name}"), 0)):
                found = getattr(self._steps, name)(self._snapshot())
                if found:
                    (state, self._steps), self._grabbed = found, ""
                    for attribute, value in state.items():
                        setattr(self, attribute, copied(value))
                    self._stand(raw, {one: self._now.get(one) for one in self.start})

    def _opening(self) -> None:
        """Lay out the drawings of the start, which later ones are held against."""
        if not self._held:
            self._picture(self.views[0])
            self._detail()

    def _stand(self, raw: Mapping[str, str], texts: Mapping[str, str | None]) -> None:
        """Let these texts stand (None: none) in place of what the page sent."""
        for name, text in texts.items():
            stood = self._moved.pop(name, None)
            if stood and (raw.get(name) in stood.sent or raw.get(name) == stood.text):
                self._moved[name] = stood.then(self._serial, text)
            elif raw.get(name) != text:
                self._moved[name] = Moved(self._serial, (raw.get(name),), text)

    # --- drags

    def _drag(self, raw: Mapping[str, str], old_raw: Mapping[str, str], now: dict[str, str]) -> dict[str, str]:
        """The texts with what a dragged grip comes to; a message without a new place changes nothing."""
        self._pulled = raw.get("_grip", "") if "_up" not in raw else ""
        place = [raw.get(name, "") for name in ("_slot", "_grip", "_at")]
        pressed = count(raw, "_take") > count(old_raw, "_take")  # a press is no pull, whatever was pulled before
        if "_grip" not in raw or pressed or place == [old_raw.get(name, "") for name in ("_slot", "_grip", "_at")]:
            return now
        self._grabbed = raw["_grip"]
        sheet, point = self._sheets.get(place[0]), read_point(place[2])
        grips: tuple[Grip, ...] = self.topic.grips(sheet.view) if sheet else ()
        grip = next((one for one in grips if one.name == place[1]), None)
        control = next((one for one in self.topic.controls if grip and one.name == grip.control), None)
        if grip is None or point is None or control is None:
            return now
        texts = self._control_texts(now)
        boxes = self.topic.boxes(texts)
        side = "xy".index(grip.axis)

        def off(number: float) -> float | None:
            at = refused(lambda: grip.at(self.topic.hangs({**boxes, grip.control: number})))
            return None if at is None else at[side] - point[side]

        number = self._field(control, texts)["number"]
        grid = grip.grid(control, self._highest().get(control.name, control.high))
        found = control.show(nearest_number(grid, control.low if number is None else number, off))
        said = {control.name: found} | also_sent(control)
        self._stand(raw, said)
        return now | said

    def _take(self, raw: Mapping[str, str], old_raw: Mapping[str, str], now: dict[str, str]) -> dict[str, str]:
        """The texts with the point of a field that was pressed."""
        sheet, point = self._sheets.get(raw.get("_slot", "")), read_point(raw.get("_at", ""))
        new = count(raw, "_take") > count(old_raw, "_take")
        if not new or sheet is None or point is None or sheet.view not in self.topic.press_views:
            return now
        frame = sheet.wide, sheet.tall
        texts: dict[str, str] = self.topic.texts_at(sheet.view, self.state, point, frame, sheet.layout.size)
        self._stand(raw, texts)
        return now | texts

    # --- pictures

    def _draw(self, slot: str, view: str, scene: Scene, frame: tuple[float, float], fitting: Fitting) -> str:
        """A drawing of the present state over the one before, where the page shows ``slot``."""
        wide, tall = frame
        key, old = (view, wide, tall), self._sheets.get(slot)
        before = self._held.get(key) or self._first_hold(view, frame, fitting)
        layout, held = placed(fitting, scene, wide, tall - self.strip, before, bool(self._pulled), self.over)
        shown, held = self._with_key(view, layout, frame, held)
        self._held[key] = held
        there = old is not None and old.view == view and (old.wide, old.tall) == (wide, tall)
        moved = motion(old.held, held, wide, tall) if old and there and old.held.scale != held.scale else ""
        sheet = self._sheets[slot] = Sheet(view, layout, held, wide, tall, moved)
        past = self._past_scene(view)
        shown = self._under_glass(shown, scene, past, sheet)
        if past is None:
            return svg(shown, wide, tall, sheet.corner)
        under = outlines_path(past.parts, held.scale, (held.x, held.y)) if past.parts != scene.parts else ""
        return svg(shown, wide, tall, sheet.corner, under, changed_texts(past, scene))

    def _first_hold(self, view: str, frame: Point, fitting: Fitting) -> Hold | None:
        """The scale and place of a drawing that was not shown yet; None: where it fits best."""
        return None

    def _under_glass(self, layout: Layout, scene: Scene, past: Scene | None, sheet: Sheet) -> Layout:
        """What is shown of a layout, with what a glass shows of it."""
        return layout

    def _with_key(self, view: str, layout: Layout, frame: Point, held: Hold) -> tuple[Layout, Hold]:
        """What is shown of a layout: with the key of its view where there is room, which it keeps while it is free."""
        key, corner = self.topic.key(view, self.state), corner_of(layout, held)
        gone = held.within and not held.key  # it had no room before what is moved, or will have none after
        box = None if gone or key is None else free_box(layout, frame, corner, held.key)
        return inset(layout, key, box, corner) if key and box else layout, held._replace(key=box)

    def _past_scene(self, view: str) -> Scene | None:
        """The same drawing of what was kept, else of the state before the last change."""
        state = self._kept if self.reference else self._past
        if state is None or state is self.state or view in self.topic.press_views:
            return None
        if view not in self._under or self._under[view][0] is not state:
            self._under[view] = state, refused(lambda: self._scene(view, state))
        return self._under[view][1]

    def _scene(self, view: str, state: Any) -> Scene | None:
        scene = self.topic.detail(state) if view == DETAIL_VIEW else self.topic.picture(view, state)
        return scene if isinstance(scene, Scene) else None

    # --- for the page

    def _touchable(self, texts: Mapping[str, str | None]) -> Any:
        controls = {one.name: one for one in self.topic.controls}
        highest = self._highest()

        def touchable(name: str) -> Touchable | None:
            if name not in controls:
                return None
            one = controls[name]
            return Touchable(one, self._field(one, texts), also_sent(one), highest.get(name, one.high))

        return touchable

    def _touch(self) -> Content:
        """What can be touched on each drawing, by where it is shown."""
        texts = self._control_texts(self._now)
        touchable, hung, sheets = self._touchable(texts), refused(lambda: self.topic.hung(self.state, texts)), {}
        for slot, one in self._sheets.items():
            meaning = {**self.topic.dims, **self.topic.dims_in.get(one.view, {})}.get
            made = [*items(one.layout, one.corner, one.wide, one.tall, meaning, touchable)]
            if hung is not None:
                grips = sorted(self.topic.grips(one.view), key=lambda grip: grip.name != self._grabbed)
                made += grip_items(grips, hung, one.held, one.wide, one.tall, touchable)
            for item in made if slot == DETAIL_VIEW else ():
                item["label"] += ", in the detail"
            sheets[slot] = {"wide": one.wide, "tall": one.tall, "map": list(one.held[:3]), "items": made}
            sheets[slot] |= {"field": True} if one.view in self.topic.press_views else {}
            if slot == "picture" and self.topic.pulled_anywhere:
                sheets[slot]["anywhere"] = f"grip {self.topic.pulled_anywhere}"
        return sheets

    def _steps_now(self, raw: Mapping[str, str], old_raw: Mapping[str, str]) -> Content:
        """What this one answer brings: texts in place of what was sent, ways, undoing, how pictures moved."""
        return {
            "moved": {name: [list(one.sent), one.text] for name, one in self._moved.items()},
            "ways": self._ways(raw, old_raw, self._control_texts(self._now)),
            "undo": bool(self._steps.past),
            "redo": bool(self._steps.future),
            "from": {slot: one.motion for slot, one in self._sheets.items()},
        }

    def _ways(self, raw: Mapping[str, str], old_raw: Mapping[str, str], texts: Mapping[str, str | None]) -> Content:
        """The nearest ways to the number that was typed into a dimension; nothing where none was."""
        sheet = self._sheets.get(raw.get("_slot", ""))
        if "_wish" not in raw or count(raw, "_asked") == count(old_raw, "_asked") or sheet is None:
            return {}
        what = {**self.topic.dims, **self.topic.dims_in.get(sheet.view, {})}.get(raw["_wish"])
        if what is None or not what.reading:
            return {}
        controls = {one.name: one for one in self.topic.controls}
        far = raw.get("_far") == "yes"
        told = {"of": raw["_wish"], "asked": raw["_asked"], "bad": False, "ways": [], "more": False}
        try:
            house = self.topic.wish_house(self.topic.boxes(texts))
            changes = ALL_CHANGES if far else FIRST_CHANGES
            sentence, ways = ways_to(house, what.reading, raw.get("_want", ""), controls, changes)
        except InputError as error:
            return told | {"sentence": " ".join(error.problems), "bad": True}
        made = []
        for way in ways:
            state = refused(lambda way=way: self.topic.read({**texts, **way.texts}))  # type: ignore[misc]
            scene = None if state is None else refused(lambda state=state: self._scene(sheet.view, state))  # type: ignore[misc]
            if scene is None:
                continue
            path = outlines_path(scene.parts, sheet.held.scale, (sheet.held.x, sheet.held.y))
            ghost = (
                f'<svg viewBox="0 0 {sheet.wide:g} {sheet.tall:g}" aria-hidden="true">'
                f'<path class="rl-way-ghost" d="{path}"/></svg>'
            )
            texts_sent = {name: text for name, text in way.texts.items()}
            made.append({"words": way.words, "costs": list(way.costs), "set": texts_sent, "ghost": ghost})
        return told | {"sentence": sentence, "ways": made, "more": not made and not far}


def also_sent(control: Control) -> dict[str, str]:
    """What is sent with a text of a control: one that follows stops to."""
    return {f"{control.name}_follows": "no"} if control.follow else {}


def changed_texts(before: Scene, now: Scene) -> set[str]:
    """The names of dimensions, slope marks and notes that say something else than before."""
    old, new = _texts_of(before), _texts_of(now)
    return {name for name, text in new.items() if old.get(name, text) != text}


def _texts_of(scene: Scene) -> dict[str, str]:
    said = {dim.name: dim.text for dim in scene.dims} | {note.name: note.text for note in scene.notes}
    return said | {slope.name: slope.rise for slope in scene.slopes}
