"""A workbook's room view: goal, stops with a question for the room, summary; it fills the window.

``Talk`` is the logic without a widget; ``Room`` shows it and reports what was pressed, and on which slide.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator
from functools import partial
from html import escape
from pathlib import Path

import ipywidgets
import traitlets

from rooflab.base.measure import InputError
from rooflab.job.jobfile import Job
from rooflab.live.widgets.base import HERE, Content, Widget, guarded, script
from rooflab.live.widgets.job_desk import FILE
from rooflab.live.widgets.panel import Panel

from .stops import GOAL, SUMMARY, Lesson, RoomStop, read_lesson, room_panel

CAUTION = "Local code, engineer and truss designer decide."
HOW = "Each stop asks you first, by a show of hands. Then one control moves, and you see."
HINT = "Show of hands: the boxes hold the count. Keys 1 to {count} choose; R moves the control and shows what happens."
WAIT = "First the hands; what a room tends to say stands here after a choice."
KEYS = "Keys: arrows or page keys for the stops, 1 to 4, R, N, Esc."
OTHER_SLIDE = "That was meant for the slide before; nothing was done."
IS_SHOWN = "What happens is shown already; A starts this stop again."
PRINT = "For everyone, on paper: python3 -m rooflab present --handouts"


class Talk:
    """Where a talk stands: which slide, what the room chose, what is shown.  ``do`` is what was pressed."""

    def __init__(self, lesson: Lesson, job: Callable[[], Job] | None = None) -> None:
        self.lesson, self.job = lesson, job  # job: reads the file beside the workbooks, where there is one
        self.at, self.own_house, self.trouble, self.refusal = 0, False, "", ""
        self.watch: Callable[[], None] = lambda: None  # called when something changes that was not pressed
        self._panels: dict[int, Panel] = {}
        self._choices: dict[int, int] = {}
        self._counts: dict[int, dict[str, str]] = {}
        self._seen: set[int] = set()

    @property
    def stop(self) -> RoomStop | None:
        """The stop of this slide; None for the first and the last slide."""
        return self.lesson.stops[self.at - 1] if 0 < self.at <= len(self.lesson.stops) else None

    @property
    def panel(self) -> Panel | None:
        """The picture of this slide, made when it is first shown."""
        room_stop = self.stop
        if room_stop is not None and self.at not in self._panels:
            self._panels[self.at] = self._make_panel(room_stop)
        return self._panels.get(self.at)

    def _make_panel(self, room_stop: RoomStop) -> Panel:
        place, panel, self.trouble = self.at, None, ""
        if self.own_house and self.job:
            try:
                panel = room_panel(room_stop, self.job())
            except InputError as error:
                self.trouble = f"{FILE} cannot be used here: {error.problems[0]}"
        panel = panel or room_panel(room_stop)

        def seen(content: Content) -> None:
            if not panel.locked and _there(room_stop, content) and place not in self._seen:
                self._seen.add(place)
                self.watch()

        panel.watch(seen)
        return panel

    # --- what was pressed

    def do(self, what: str, value: str = "", at: int | None = None) -> None:
        """Press something: go, choose, count, show, again, house.  Anything else changes nothing.

        ``at`` is the slide it was meant for (None: this one); on another one nothing is done, and the slide says so.
        """
        self.refusal = ""
        if what == "go" and re.fullmatch(r"[0-9]{1,9}", value):
            self.at = min(int(value), len(self.lesson.stops) + 1)
        elif what == "house" and self.job:
            wanted = {"yes": True, "no": False}.get(value, not self.own_house)
            if wanted != self.own_house:
                self.own_house = wanted
                self._forget(*self._panels)
        elif at is not None and at != self.at:
            self.refusal = OTHER_SLIDE
        elif (room_stop := self.stop) is not None:
            self._stop(room_stop, what, value)

    def _stop(self, room_stop: RoomStop, what: str, value: str) -> None:
        panel = self.panel
        assert panel is not None
        count = len(room_stop.stop.choices)
        if what == "choose" and self.at in self._seen:
            self.refusal = IS_SHOWN
        elif what == "choose" and value in map(str, range(count)):
            self._choices[self.at] = int(value)
            panel.locked = False
        elif what == "count":
            which, _, text = value.partition(":")
            if which in map(str, range(count)):
                self._counts.setdefault(self.at, {})[which] = text[:4]
        elif what == "show":
            panel.locked = False
            panel.set(**room_stop.moves)
            self._seen.add(self.at)
        elif what == "again":
            self._forget(self.at)

    def _forget(self, *places: int) -> None:
        for place in places:
            if old := self._panels.pop(place, None):
                old.close()
            self._choices.pop(place, None)
            self._counts.pop(place, None)
            self._seen.discard(place)

    # --- what is shown

    def slide(self) -> Content:
        """All that the slide shows beside its picture: texts, and HTML in ``body`` and ``outcome``."""
        count, room_stop = len(self.lesson.stops), self.stop
        at = {"at": self.at, "last": count + 1, "title": self.lesson.title, "refusal": self.refusal}
        at |= {"house": self.job is not None, "own_house": self.own_house}
        if room_stop is None:
            return {**at, **self._words()}
        stop, seen = room_stop.stop, self.at in self._seen
        choice, counts = self._choices.get(self.at), self._counts.get(self.at, {})
        outcome = self._outcome(room_stop, choice) if seen else ""
        return {
            **at,
            "kind": "stop",
            "progress": f"Stop {self.at} of {count}, about {_minutes(stop.minutes)}, {self.lesson.minutes} in all",
            "prompt": stop.prompt,
            "choices": list(stop.choices),
            "counts": [counts.get(str(i), "") for i in range(len(stop.choices))],
            "chosen": -1 if choice is None else choice,
            "right": stop.choices.index(stop.right) if seen else -1,
            "outcome": outcome,
            "hint": self._hint(len(stop.choices)),
            "notes": f"Expect: {stop.surprise}" if seen or choice is not None else WAIT,
            "planned": GOAL + sum(one.stop.minutes for one in self.lesson.stops[: self.at]),
        }

    def _hint(self, count: int) -> str:
        """What stands there before the outcome: the picture's caution, or why the file's numbers are not used."""
        titles = self.panel.responder.scene_now().titles if self.panel else ()
        second = self.trouble or next((title.text for title in titles if title.name == "caution"), "")
        return "<br>".join(escape(line) for line in (HINT.format(count=count), second) if line)

    def _outcome(self, room_stop: RoomStop, choice: int | None) -> str:
        stop = room_stop.stop
        answer = ""
        if choice is not None:
            answer = " (as you said)" if stop.choices[choice] == stop.right else f" (you said {choice + 1})"
        whose = "In the lesson's house it is" if self.own_house else "It is"
        return f"<b>{whose}: {fractions_html(stop.right)}</b>{escape(answer)}. {fractions_html(stop.why)}"

    def _words(self) -> Content:
        """The first and the last slide."""
        first, lesson = self.at == 0, self.lesson
        points = lesson.points("Goal" if first else "Summary")
        items = "".join(f"<li>{marks_html(point)}</li>" for point in points)
        body = f"<ol>{items}</ol>"
        if first:
            body = "".join(f"<p>{marks_html(line)}</p>" for line in lesson.story) + body
        if first and lesson.stops:
            body += f"<p>{HOW}</p>"
        if first and lesson.left_out:
            body += f"<p>{lesson.left_out} cells of this copy could not be run and are left out.</p>"
        name, minutes = ("Goal", GOAL) if first else ("Summary", SUMMARY)
        return {
            "kind": "words",
            "progress": f"{name}, about {_minutes(minutes)}, {lesson.minutes} in all",
            "prompt": "Goal: afterwards you can" if first else "Takeaways",
            "body": body,
            "notes": KEYS if first else PRINT,
            "planned": GOAL if first else lesson.minutes,
        }


def _there(room_stop: RoomStop, content: Content) -> bool:
    """Whether the controls stand where the outcome shows."""
    fields = content["fields"]
    return all(fields.get(name, {}).get("text") == text for name, text in room_stop.stop.move.items())


def _minutes(number: int) -> str:
    return f"{number} minute{'s' * (number != 1)}"


def fractions_html(text: str) -> str:
    """A line as HTML in which a number and its fraction stay together.

    >>> fractions_html("a step of 7 1/16 in")
    'a step of <span class="rl-whole">7 1/16</span> in'
    """
    cut = re.split(r"(\S*\d \d+/\d+\S*)", text)
    parts = [f'<span class="rl-whole">{escape(part)}</span>' if i % 2 else escape(part) for i, part in enumerate(cut)]
    return "".join(parts)


def marks_html(text: str) -> str:
    """A line of a workbook's text as HTML: bold and slanted words, nothing else.

    >>> marks_html("**heel** & *plumb*")
    '<b>heel</b> &amp; <i>plumb</i>'
    """
    text = re.sub(r"\*\*(.+?)\*\*", r"<b>\1</b>", escape(text, quote=False))
    return re.sub(r"\*(.+?)\*", r"<i>\1</i>", text).replace("`", "")


def _acts(message: object) -> Iterator[tuple[int, str, str, int | None]]:
    """What was pressed, from a message: number, what, value, and the slide it was meant for (None: any)."""
    for one in message if isinstance(message, list) else ():
        number, what, value, at = [*one, None][:4] if isinstance(one, list) and len(one) > 2 else (None,) * 4
        if type(number) is int:
            yield number, str(what), str(value), at if type(at) is int else None


# --- the widget ------------------------------------------------------------------------------------------------------


class Room(Widget):
    """The room view of a talk; ``message`` holds the last things pressed, each with its number."""

    _esm = script("talk.js")
    _css = HERE / "talk.css"
    setup = traitlets.Dict().tag(sync=True)
    message = traitlets.Dict().tag(sync=True, echo_update=False)
    slide = traitlets.Dict().tag(sync=True)
    panel = traitlets.Instance(Panel, allow_none=True).tag(sync=True, **ipywidgets.widget_serialization)

    def __init__(self, talk: Talk, fill: bool = False) -> None:
        self.talk, self._last_act = talk, 0
        lesson = talk.lesson
        stops = f"{len(lesson.stops)} stop{'s' * (len(lesson.stops) != 1)}"
        summary = f"{stops}, about {_minutes(lesson.minutes)}" if lesson.stops else "goal and summary"
        setup = {"title": lesson.title, "summary": summary, "fill": fill, "caution": CAUTION}
        super().__init__("message", setup=setup, slide=talk.slide(), panel=talk.panel)
        talk.watch = self._turn

    def _answer(self) -> None:
        for number, what, value, at in _acts(self.message.get("acts")):
            if number > self._last_act:
                self._last_act = number
                guarded(partial(self.talk.do, what, value, at), self._say, self.talk)
        self._turn()

    def _say(self, sentence: str) -> None:
        self.talk.refusal = sentence

    def _refuse(self, sentence: str) -> None:
        self.slide = {**self.slide, "refusal": sentence}

    def _turn(self) -> None:
        panel = self.talk.panel  # first: what it cannot use stands in the slide
        with self.hold_sync():
            self.panel, self.slide = panel, self.talk.slide()

    def press(self, what: str, value: str = "") -> Content:
        """The slide after one press from code."""
        self.message = {"acts": [[self._last_act + 1, what, value]]}
        return dict(self.slide)

    def still(self) -> dict[str, str]:
        lesson = self.talk.lesson
        lines = [f"Room view of {lesson.title}: {self.setup['summary']}"]
        lines += [f"  {number}. {one.stop.prompt}" for number, one in enumerate(lesson.stops, 1)]
        return {"text/plain": "\n".join(lines)}


def room(workbook: str = "01", folder: str | os.PathLike[str] = ".", fill: bool = False) -> Room:
    """The room view of a workbook, named "01" or by its whole name, behind a button that fills the window.

    Workbook and ``house.json`` are those in ``folder``, else as shipped; ``fill`` fills the window at once.
    InputError for a workbook that is not there.
    """
    file = Path(folder) / FILE
    return Room(Talk(read_lesson(workbook, folder), (lambda: Job.load(file)) if file.is_file() else None), fill)
