"""What every panel's answer has in common: the last good state, what it was before, what was kept, one message back."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

from rooflab.base.measure import InputError
from rooflab.draw.large import fit_large
from rooflab.draw.layout import fit
from rooflab.draw.scene import Layout, Scene
from rooflab.job.jobfile import Job

from .rows import Group, readings_html

FRAME, SMALL, ROOM, DETAIL = (796, 314), (576, 284), (782, 392), (284, 176)  # of the pictures, px
ROOM_TEXT = 21.4  # of the texts in a room's pictures, px; 16 pt is 21.33 px


class Answers:
    """Answers what was moved or typed; keeps the last good state, the one before the last change and the kept one.

    Whoever builds on it sets ``start`` (every control's text), ``views``, ``size`` and ``state``, and fills in the
    methods that raise NotImplementedError.
    """

    start: dict[str, str]
    views: Sequence[str]
    size: str  # "" for everything, "small" for one idea at a time, "room" for a projector
    state: Any
    only: Sequence[str] = ()  # the readings shown, by key; none: all

    def __init__(self) -> None:
        self._raw: dict[str, str] = {}
        self._rows: tuple[Any, list[Group]] = (None, [])
        self.before: dict[str, str] = {}
        self.kept: dict[str, str] = {}
        self._changed: set[str] = set()
        self._problems: tuple[str, ...] = ()
        self._serial = 0

    @property
    def frame(self) -> tuple[int, int]:
        return {"small": SMALL, "room": ROOM}.get(self.size, FRAME)

    def placed(self, scene: Scene, wide: float, tall: float) -> Layout:
        """A scene with its texts, in large letters for a room."""
        return fit_large(scene, wide, tall, ROOM_TEXT) if self.size == "room" else fit(scene, wide, tall)

    # --- what differs

    def _build(self, raw: dict[str, str]) -> Any:
        """The state for these texts; InputError with every sentence."""
        raise NotImplementedError

    def _made(self) -> list[Group]:
        """The readings of the state."""
        raise NotImplementedError

    def drawn(self) -> tuple[str, ...]:
        """The views that are pictures; the others are lists."""
        raise NotImplementedError

    def scene_now(self) -> Scene:
        """The first picture of the present state."""
        raise NotImplementedError

    def enlarged(self, controls: Sequence[str], view: str, only: Sequence[str], job: Job | None = None) -> Answers:
        """The same for a room: these controls, one picture and these readings; on a job's numbers where there is one.

        InputError where the job cannot be drawn.
        """
        raise NotImplementedError

    def _sentence(self, view: str) -> str:
        raise NotImplementedError

    def _picture(self, view: str) -> str:
        raise NotImplementedError

    def _detail(self) -> str:
        raise NotImplementedError

    def _note(self, why: str) -> str:
        """The reasoning of a reading, and the limits; asked for after the picture."""
        raise NotImplementedError

    def _fields(self, raw: dict[str, str]) -> dict[str, dict[str, Any]]:
        """Every control's slider position and text; a text that cannot be read stays as it was typed."""
        raise NotImplementedError

    def _forget(self) -> None:
        """What a reset puts aside besides the state."""

    # --- the answer

    def respond(self, raw: dict[str, str]) -> dict[str, Any]:
        """Everything that is shown for these texts.  Bad input keeps the last good picture and says why."""
        raw = {str(name): str(text) for name, text in raw.items()}
        self._serial += 1
        old_raw, self._raw = self._raw, raw
        changed = {name for name in self.start if raw.get(name) != old_raw.get(name)}
        reset = raw.get("_reset") != old_raw.get("_reset")
        old = self._texts()
        if reset:
            self._forget()
        try:
            if changed or reset:  # another view or reasoning changes nothing
                self.state, self._problems = self._build(raw), ()
        except InputError as error:
            self._problems = error.problems
        else:
            if reset:
                self.before, self.kept, self._changed = {}, {}, set()
            elif changed and changed != self._changed:
                self.before, self._changed = old, changed
        if "_keep" in raw and raw["_keep"] != old_raw.get("_keep"):
            self.kept = self._texts()
        view = raw.get("_view", "") if raw.get("_view") in self.views else self.views[0]
        groups = self.rows()
        keys = [row.key for _, rows in groups for row in rows]
        why = raw.get("_why", "") if raw.get("_why") in keys else keys[0]
        past, word = (self.kept, "kept") if self.kept else (self.before, "was")
        said = "Not drawn, the last good picture stays. " + " ".join(self._problems)
        return {
            "serial": self._serial,
            "turn": raw.get("_turn", ""),
            "sentence": escape(said if self._problems else self._sentence(view)),
            "picture": self._picture(view),
            "detail": self._detail(),
            "readings": readings_html(groups, past, word, self.size != "room"),
            "note": self._note(why),
            "fields": self._fields(raw),
            "stale": bool(self._problems),
            "view": view,
            "why": why,
        }

    def rows(self) -> list[Group]:
        """The readings under the picture, in groups."""
        if self._rows[0] is not self.state:
            made = self._made()
            if self.only:
                made = [(title, [row for row in rows if row.key in self.only]) for title, rows in made]
            self._rows = self.state, [group for group in made if group[1]]
        return self._rows[1]

    def _texts(self) -> dict[str, str]:
        return {row.key: row.text for _, rows in self.rows() for row in rows}
