"""A topic answering what was moved or typed: the last good state, the one before the last change and the kept one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from types import MappingProxyType
from typing import Any

from rooflab.base.measure import InputError
from rooflab.base.rows import Reasoning
from rooflab.draw.close_up import STRIP, Glass, change_of, glass_for, with_glass
from rooflab.draw.inset import free_box, with_inset
from rooflab.draw.layout import SCREEN, STEPS, fit, fit_large
from rooflab.draw.scene import Layout, Point, Scene, svg
from rooflab.job.jobfile import Job

from .base import Content, guarded
from .controls import Control, Field
from .frames import (
    GAP,
    PAGE,
    ROOM_TEXT,
    STAGE,
    Frames,
    frames,
    height_of,
    readings_with_room,
    room_frames,
    sentence_lines,
)
from .job_desk import job_texts
from .panel import Panel
from .rows import Group, readings_html
from .topic import Topic, check_names, follow_key
from .touch import Fitting, Hold, hold_for, refused, standing
from .touched import DETAIL_VIEW, Sheet, Touched

OVER = 12  # the most room over a drawing on a page, px
FEW = 3  # controls of a panel whose first one leads


class TopicPanel(Touched):
    """Answers for a topic: what was moved or typed in (``raw``, texts by name), all that is shown out; no widget."""

    only: Sequence[str] = ()  # the readings shown, by key, those that matter first; none: all
    stage = STAGE  # width and height of a room's window, px
    words: Sequence[str] = ()  # what will be said beside a room's drawing
    ends: Sequence[Scene] = ()  # a room's drawing before and after what is to be moved
    _last_detail: tuple[object, str]
    _glass: Glass | None = None

    def __init__(
        self, topic: Topic[Any], controls: Sequence[str], views: Sequence[str], groups: Sequence[str], size: str,
        start: Mapping[str, object],
    ) -> None:  # fmt: skip
        """``size`` is "" for everything, "small" for one idea at a time, "room" for a projector."""
        check_names("Control", controls, [control.name for control in topic.controls])
        check_names("View", views, list(topic.views))
        check_names("Group of readings", groups, list(topic.groups))
        self.topic, self.size = topic.with_only(views, groups), size
        self.over = 1e9 if size == "room" else OVER  # a page shows its upper part first, a room all of it
        self.controls = [control for control in topic.controls if control.name in controls]
        self.views, self.groups = tuple(views), tuple(groups)
        self.start = topic.start(start)
        self._raw: dict[str, str] = {}
        self._rows: tuple[Any, list[Group]] = (None, [])
        self._serial = 0
        self._last_content: Mapping[str, Any] = MappingProxyType({})  # never changed, so nobody has to copy it
        self._crowded = self._listed = False  # whether texts had no room in the picture; whether it is a list
        self._labels = [topic.views[name] for name in views]
        self._moves: tuple[str, ...] = ()  # readings that the first control moves, of a panel of few
        self._no_steps()
        self._begin()
        self.frames = self._frames({})

    def setup(self) -> Content:
        """The panel as the page builds it."""
        return {
            "label": f"{self.topic.label}: controls, picture and readings",
            "size": self.size,
            "controls": [control.spec() for control in self.controls],
            "views": [(name, self.topic.views[name]) for name in self.views],
        }

    def _begin(self) -> None:
        """Everything that answers depend on, as it is at the start."""
        self.before: dict[str, str] = {}
        self.reference: dict[str, str] = {}
        self._now, self._held, self._last_detail = {}, {}, (None, "")
        self._past, self._grabbed = None, ""
        self._kept: Any = None
        self._last_change: object = None
        self._problems: tuple[str, ...] = ()
        self._lines: tuple[str, int] = ("", 1)  # the most that the sentence took, at this width
        self._positions = {one.name: one.value(one.start, []) for one in self.topic.followers}  # where they stand
        self._past_followers = {one.name for one in self.topic.followers if self._follows(one, {})}
        self._aside: dict[str, str | None] = {}  # texts put aside while a control follows
        self.state = self._build({})

    def respond(self, raw: dict[str, str]) -> Content:
        """Everything that is shown for these texts.  Bad input keeps the last good picture and says why.

        So does what cannot be worked out; it never raises.  After a reset the panel is as a new one.
        """
        raw = {str(name): str(text) for name, text in raw.items()}
        self._serial += 1
        content = guarded(lambda: self._answer(raw), lambda sentence: self._refuse(raw, sentence), self)
        self._last_content = MappingProxyType(content)
        return content

    def _refuse(self, raw: dict[str, str], sentence: str) -> Content:
        """The last good picture under a sentence, for texts that could not be worked out."""
        if any(raw.get(name) != self._raw.get(name) for name in (*self.start, "_reset")):
            self._problems = (sentence,)
        content = dict(self._last_content) or self._answer({})  # an error here: the start itself cannot be shown
        self._raw = raw
        serial = {"serial": self._serial, "turn": raw.get("_turn", "")}
        return content | serial | {"sentence": escape(_trouble([sentence])), "stale": True}

    def _answer(self, raw: dict[str, str]) -> Content:
        old_raw, self._raw = self._raw, raw
        keep = "_keep" in raw and raw["_keep"] != old_raw.get("_keep")
        before = self._snapshot()
        if reset := raw.get("_reset") != old_raw.get("_reset"):
            self._begin()
            old_raw, self._moved = {}, {}
        if any(name in raw for name in self.start):
            self._opening()
        texts, self._moved = standing(raw, self._moved)
        now = self._drag(raw, old_raw, {name: texts[name] for name in self.start if name in texts})
        now = self._take(raw, old_raw, now)
        changed = self._change(now, raw.get("_run", ""))
        if keep:
            self.reference, self._kept = self._texts(), self.state
        if keep or reset and (before["_now"] or before["reference"]):
            self._steps = self._steps.change(before, None)
        elif now != before["_now"]:
            self._steps = self._steps.change(before, changed)
        self._go_back(raw, old_raw)
        view = raw.get("_view", "") if raw.get("_view") in self.views else self.views[0]
        groups = self.rows()
        keys = [row.key for _, rows in groups for row in rows]
        why = raw.get("_why", "") if raw.get("_why") in keys else self._first_key(keys)
        past, word = (self.reference, "kept") if self.reference else (self.before, "was")
        verdict, headline = self.topic.headline(self.state, view)
        self.frames = self._frames(raw, headline)
        return {
            "serial": self._serial,
            "turn": raw.get("_turn", ""),
            "sentence": escape(_trouble(self._problems) if self._problems else headline),
            "picture": self._picture(view),
            "detail": self._detail(),
            "readings": readings_html(groups, past, word, self.size != "room"),
            "note": self._note(why, keys, verdict),
            "fields": self._fields(),
            "touch": self._touch(),
            "steps": self._steps_now(raw, old_raw),
            "stale": bool(self._problems),
            "verdict": verdict,
            "view": view,
            "why": why,
            "frames": self.frames.sizes | {"lines": self._lines[1], "page": [raw.get(one, "") for one in PAGE]},
        }

    def _first_key(self, keys: Sequence[str]) -> str:
        """The reading whose working stands there at first: on a panel of few controls one that the first one moves."""
        if not self._moves and 0 < len(self.controls) <= FEW:
            first, state, shown = self.controls[0], self.state, self._texts()
            for text in first.choices[:2] + first.choices[-1:] or [first.show(first.low), first.show(first.high)]:
                other = refused(lambda text=text: self.topic.read({**self._control_texts({}), first.name: text}))  # type: ignore[misc]
                if other is not None:
                    self.state, self._moves = other, ()
                    try:
                        self._moves = tuple(key for key, text in self._texts().items() if shown.get(key) != text)
                    finally:
                        self.state = state
                if self._moves:
                    break
            self._moves = self._moves or tuple(keys[:1])
        return next((key for key in self._moves if key in keys), next(iter(keys), ""))

    def _change(self, now: dict[str, str], run: str) -> object:
        """Let these texts stand; where they cannot be drawn the last good picture stays, with what is wrong.

        What changed: moves of the same controls in one run are undone together.
        """
        changes = frozenset(name for name in self.start if now.get(name) != self._now.get(name))
        if not changes:  # another view or reasoning changes nothing
            return None
        old, old_state, self._now = self._texts(), self.state, now
        try:
            self.state, self._problems = self._build(now), ()
        except InputError as error:
            self._problems = error.problems
        else:
            if not self.topic.comparable(old_state, self.state):
                self.before, self._past = {}, None
            elif (changes, run) != self._last_change:
                self.before, self._past = old, old_state
            self._last_change = changes, run
        return changes, run

    @property
    def stand(self) -> dict[str, str]:
        """The texts that stand, of controls that were used: what the page sent, or what was undone or dragged since."""
        return dict(self._now)

    # --- from texts to a state

    def _follows(self, control: Control, raw: Mapping[str, str]) -> bool:
        return raw.get(follow_key(control), self.start[follow_key(control)]) != "no"

    def _control_texts(self, raw: Mapping[str, str]) -> dict[str, str | None]:
        """Every control's text; None for one that follows, and where it stood then until another text is typed."""
        texts: dict[str, str | None] = {**self.start, **{name: raw[name] for name in self.start if name in raw}}
        for one in self.topic.followers:
            name = one.name
            is_typed = raw[name] != self._aside.get(name) if name in raw else name not in self._past_followers
            if self._follows(one, raw):
                texts[name] = None
            elif not is_typed:
                texts[name] = one.show(self._positions[name])
        return texts

    def _build(self, raw: Mapping[str, str]) -> Any:
        """The state for these texts; InputError with every sentence."""
        follow = [one.name for one in self.topic.followers if self._follows(one, raw)]
        self._past_followers.update(follow)
        self._aside.update({name: raw.get(name) for name in follow})
        state = self.topic.read(self._control_texts(raw))
        stand = self.topic.program_values(state)
        self._positions.update({name: stand[name] for name in follow})
        return state

    def _fields(self) -> dict[str, Field]:
        """Every control's slider position and text; a text that cannot be read stays as it was typed."""
        texts, highest, fields = self._control_texts(self._now), self._highest(), {}
        for control in self.controls:
            field = self._field(control, texts)
            field["raw"] = self._now.get(control.name, self.start[control.name])
            if control.follow:
                field["follows"] = field["off"] = texts[control.name] is None
            if control.name in highest:
                field["high"] = highest[control.name]
            fields[control.name] = field
        return fields

    def _field(self, control: Control, texts: Mapping[str, str | None]) -> Field:
        """One control's slider position and text."""
        text = texts[control.name]
        field = control.field(control.show(self._positions[control.name]) if text is None else text)
        if field["number"] is None and not field["bad"]:
            field["number"] = self.topic.program_values(self.state).get(control.name)
        return field

    def _highest(self) -> dict[str, float]:
        return self.topic.highest(self.state)

    # --- pictures

    def _frames(self, raw: Mapping[str, str], sentence: str = "") -> Frames:
        """The sizes of the parts; the bar keeps the room of its longest sentence, so that the picture holds still."""
        known, page = self._lines, raw.get("_width", "")
        self._lines = page, max(sentence_lines(sentence, raw), known[1] if known[0] == page else 1)
        if self.size == "room":
            return room_frames(self.stage)
        detail = not self.size and type(self.topic).detail is not Topic.detail
        return frames(raw, self._labels, detail, self._lines[1])

    @property
    def frame(self) -> tuple[int, int]:
        """Width and height of the picture, px."""
        return self.frames.picture

    def layout_of(self, scene: Scene, wide: float, tall: float, scales: Sequence[float] = STEPS) -> Layout:
        """The layout of a scene in a frame, px; in large letters for a room."""
        if self.size == "room":
            return fit_large(scene, wide, tall, ROOM_TEXT, scales)
        return fit(scene, wide, tall, scales=scales)

    def picture_views(self) -> tuple[str, ...]:
        """The names of the views that are pictures; the others are lists."""
        return tuple(view for view in self.views if isinstance(self.topic.picture(view, self.state), Scene))

    def scene_now(self) -> Scene:
        """The first picture of the present state."""
        return self.picture_now()[0]

    def picture_now(self) -> tuple[Scene, Scene | None]:
        """The first picture of the present state, and its key."""
        pictures = ((view, self.topic.picture(view, self.state)) for view in (*self.views, *self.topic.views))
        view, scene = next((view, one) for view, one in pictures if isinstance(one, Scene))
        return scene, self.topic.key(view, self.state)

    def _picture(self, view: str) -> str:
        (wide, tall), below = self.frame, ""
        if words := self.topic.below(view, self.state, self.size):
            tall -= height_of(words, wide)
            below = f'<div class="rl-below">{escape(words)}</div>'
        picture = self.topic.picture_for(view, self.state, (wide, tall), ROOM_TEXT if self.size == "room" else SCREEN)
        self._crowded, self._listed = False, not isinstance(picture, Scene)
        if not isinstance(picture, Scene):
            self._sheets.pop("picture", None)
            return picture + f"<p>{escape(self.topic.caution)}</p>" * bool(self.topic.caution)
        drawn = self._draw("picture", view, picture, (wide, tall), self.layout_of)
        self._crowded = bool(self._sheets["picture"].layout.dropped)
        return drawn + below

    def _first_hold(self, view: str, frame: Point, fitting: Fitting) -> Hold | None:
        """In a room the drawing stands as it can before and after what is moved; with a glass where that hides it."""
        self.strip, self._glass = 0.0, None
        if not self.ends or view in self.topic.press_views:
            return None
        change = change_of(*self.ends)
        for strip in (0.0, STRIP * ROOM_TEXT):
            found = hold_for(fitting, self.ends, frame[0], frame[1] - strip)
            glass = glass_for(change, found[0].scale, ROOM_TEXT) if found else None
            if glass is None or strip:
                break
        if found is None:
            return None
        held, every = found
        self._glass, self.strip = glass, strip
        corner = held.x - every.origin[0], held.y - every.origin[1]
        key = self.topic.key(view, self.state)
        return held._replace(key=free_box(every, frame, corner) if key else None)

    def _under_glass(self, layout: Layout, scene: Scene, past: Scene | None, sheet: Sheet) -> Layout:
        if self._glass is None:
            return layout
        x, y = sheet.corner
        key = sheet.held.key
        right = key[0] if key and key[0] > sheet.wide / 2 else sheet.wide
        middle = sheet.tall - STRIP / 2 * ROOM_TEXT - y
        return with_glass(layout, scene, past, self._glass, middle, (GAP - x, right - GAP - x))

    def stand_on(self, stage: tuple[int, int]) -> None:
        """Lay out for a room's window of this width and height, px, from the next answer on."""
        self.stage, self._rows = stage, (None, [])

    def _detail(self) -> str:
        """The detail; none where a list takes its place."""
        hidden = self.size or not self.frames.detail[0] or (self.frames.stacked and self._listed)
        scene = None if hidden else self.topic.detail(self.state)
        if scene is None:
            self._sheets.pop("detail", None)
            self._last_detail = None, ""
            return ""
        frame = self.frames.detail
        key = scene, self._past_scene(DETAIL_VIEW), bool(self._pulled), frame, self._held.get((DETAIL_VIEW, *frame))
        if key != self._last_detail[0]:  # most moves leave it as it was
            self._last_detail = key, self._draw("detail", DETAIL_VIEW, scene, frame, self.layout_of)
        return self._last_detail[1]

    def for_room(self, controls: Sequence[str], view: str, only: Sequence[str], job: Job | None = None) -> TopicPanel:
        """The panel for a room: these controls, one picture and these readings; on a job's numbers where there is one.

        InputError where the job cannot be drawn.
        """
        topic, start = self.topic.on(job) if job else self.topic, dict(self.start)
        texts = job_texts(job) if job else {}
        for one in topic.followers:
            follows = one.name not in texts if job else self._follows(one, {})
            del start[follow_key(one)]
            if follows:
                del start[one.name]
        readable = [one for one in topic.controls if one.name in texts and not one.field(texts[one.name])["bad"]]
        start |= {one.name: texts[one.name] for one in readable}  # what stands in its file and this topic can read
        panel = TopicPanel(topic, controls, (view,), self.groups, "room", start)
        panel.only = only
        return panel

    # --- readings

    def rows(self) -> list[Group]:
        """The readings under the picture, in groups."""
        if self._rows[0] is not self.state:
            self._rows = self.state, self._read_rows()
        return self._rows[1]

    def _read_rows(self) -> list[Group]:
        verdicts = {finding.name: finding.verdict for finding in reversed(self.topic.findings(self.state))}
        numbers = self.topic.numbers(self.state)
        groups, only = [], self._only_with_room()
        for title, entries in (self.topic.groups[name] for name in self.groups):
            every = [self.topic.row(one, self.state, numbers, verdicts.get(one.finding, "")) for one in entries]
            lines = [row for row in every if row and (not self.only or row.key in only)]
            groups.append((title, lines))
        return [group for group in groups if group[1]]

    def _only_with_room(self) -> Sequence[str]:
        """The keys of those readings of ``only`` that have room in a room."""
        entries = {entry.key: (entry.label, name) for name in self.groups for entry in self.topic.groups[name][1]}
        labels, groups = zip(*(entries[key] for key in self.only), strict=True) if self.only else ((), ())
        frames = room_frames(self.stage)
        return self.only[: readings_with_room(frames, len(self.controls), self.words, labels, groups)]

    def _texts(self) -> dict[str, str]:
        return {row.key: row.text for _, rows in self.rows() for row in rows}

    def reading(self, key: str) -> Reasoning:
        """A reading of the present state with its reasoning."""
        return self.topic.reading(self.state, key)

    def _note(self, why: str, keys: Sequence[str], verdict: str = "") -> str:
        """The reasoning of one reading, which limits are not met, and who decides; asked for after the picture."""
        words = {"ask": "To ask in any case"} if verdict == "fits" else {}
        unmet = self.topic.unmet(self.state).items()
        parts = [(words.get(one, one.capitalize()), ", ".join(names)) for one, names in unmet]
        limits = " ".join(f"<b>{verdict}:</b> {escape(names)}." for verdict, names in parts)
        second = self.topic.closing(self.state, limits, keys, self._crowded)
        return f"<div>{escape(self.topic.reasoning(self.state, why)) if why else ''}</div><div>{second}</div>"

    def still(self) -> tuple[str, str]:
        """Plain text and the picture of the present state, for a page without a kernel."""
        fields = self._fields()
        controls = [(control.label, fields[control.name]["text"]) for control in self.controls]
        lines = self.topic.plain(self.state, self.views[0], controls, self.rows())
        frame = frames({}, self._labels).picture
        scene, key = self.picture_now()
        return "\n".join(lines), svg(with_inset(fit(scene, *frame), key, frame), *frame)


def _trouble(problems: Iterable[str]) -> str:
    return " ".join(("Not drawn, the last good picture stays.", *problems))


def panel_of(
    topic: Topic[Any], controls: Sequence[str], views: Sequence[str], groups: Sequence[str], size: str, locked: bool,
    start: Mapping[str, object],
) -> Panel:  # fmt: skip
    """A topic as a panel on its own house, but for ``start``; all controls, views and groups where none are named."""
    every = tuple(control.name for control in topic.controls)
    choices = controls or every, views or tuple(topic.views), groups or tuple(topic.groups)
    return Panel(TopicPanel(topic, *choices, size, {**topic.own(), **start}), locked)
