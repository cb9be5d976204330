"""A workbook's room view: one sentence, stops with a question for the room, summary; it fills the window.

``Talk`` is the logic without a widget; ``Room`` shows it and reports what was pressed, and on which slide.
"""

from __future__ import annotations

import asyncio
import os
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from html import escape, unescape
from pathlib import Path

import ipywidgets
import traitlets

from rooflab.base.measure import InputError
from rooflab.draw.inset import with_inset
from rooflab.draw.layout import fit_large
from rooflab.draw.scene import svg
from rooflab.job.jobfile import Job
from rooflab.live.widgets import hands
from rooflab.live.widgets.base import HERE, Content, Widget, comes_next, guarded, script
from rooflab.live.widgets.frames import EDGE, PROMPT, ROOM_TEXT, STAGE, answers_height, room_frames
from rooflab.live.widgets.job_desk import FILE
from rooflab.live.widgets.panel import Panel

from .stops import AHEAD, DESK_KEYS, KEYS, Lesson, RoomStop, read_lesson, room_panel, slides_of

CAUTION = "Local code, engineer and truss designer decide."
HINT = "Hands first. Keys 1 to {count} choose, R shows what happens."
WAIT = "First the hands; what a room tends to say stands here after a choice."
OTHER_SLIDE = "That was meant for the slide before; nothing was done."
IS_SHOWN = "What happens is shown already; A starts this stop again."
PRINT = "For everyone, on paper, and the running order for you: python3 -m rooflab present --handouts"
MOST_HANDS = 999
SENTENCE = 156  # height of the first slide's sentence, px
LEAST, MOST = (640, 480), (2600, 2600)  # width and height of a window that is laid out for, px


class Talk:
    """Where a talk stands: which slide, what the room chose, what is shown.  ``do`` is what was pressed.

    Slides are the first one, what comes before anything else where a workbook has that, the stops and the last one.
    """

    def __init__(self, lesson: Lesson, job: Callable[[], Job] | None = None) -> None:
        self.lesson, self.job = lesson, job  # job: reads the file beside the workbooks, where there is one
        self.at, self.own_house, self.trouble, self.refusal = 0, False, "", ""
        self.slides = slides_of(lesson)
        self.first_stop = 1 + bool(lesson.cautions)  # the number of its slide
        self.last = self.first_stop + len(lesson.stops)
        self.stage = STAGE  # width and height of the window, px
        self.watch: Callable[[], None] = lambda: None  # called when something changes that was not pressed
        self._panels: dict[int, Panel] = {}
        self._choices: dict[int, int] = {}
        self._counts: dict[int, dict[int, int]] = {}  # hands for each answer
        self._screens: dict[int, list[int]] = {}  # who chose each answer on a screen, where that is counted
        self._not_read: dict[int, dict[int, str]] = {}  # what was typed for hands and is no number of them
        self._seen: set[int] = set()

    @property
    def stop(self) -> RoomStop | None:
        """The stop of this slide; None for another slide."""
        return self.lesson.stops[self.at - self.first_stop] if self.first_stop <= self.at < self.last else None

    @property
    def panel(self) -> Panel | None:
        """The picture of this slide, made when it is first shown."""
        room_stop = self.stop
        if room_stop is not None and self.at not in self._panels:
            self._panels[self.at] = self._make_panel(room_stop)
        panel = self._panels.get(self.at)
        if panel is not None and panel.responder.stage != self.stage:
            panel.responder.stand_on(self.stage)
            panel.set(_width=self.stage[0], _height=self.stage[1])
        return panel

    def _make_panel(self, room_stop: RoomStop) -> Panel:
        place, panel, self.trouble = self.at, None, ""
        wrong = next(i for i, text in enumerate(room_stop.stop.choices) if text != room_stop.stop.right)
        words = [" ".join(self._hints(room_stop)), _plain(self._outcome(room_stop, wrong))]
        if self.own_house and self.job:
            try:
                panel = room_panel(room_stop, self.job(), self.stage, words)
            except InputError as error:
                self.trouble = f"{FILE} cannot be used here: {error.problems[0]}"
        panel = panel or room_panel(room_stop, None, self.stage, words)

        def seen(content: Content) -> None:
            if not panel.locked and _there(room_stop, content) and place not in self._seen:
                self._seen.add(place)
                self.watch()

        panel.watch(seen)
        return panel

    # --- what was pressed

    def take_screens(self, counts: list[int]) -> bool:
        """Take how many chose each answer of this slide's stop on their screens; whether that is news."""
        news = bool(counts) and self.stop is not None and counts != self._screens.get(self.at)
        if news:
            self._screens[self.at] = counts
        return news

    def do(self, what: str, value: str = "", at: int | None = None) -> None:
        """Press something: go, choose, count, show, again, house, size.  Anything else changes nothing.

        ``at`` is the slide it was meant for (None: this one); on another one nothing is done, and the slide says so.
        """
        self.refusal = ""
        if what == "go" and re.fullmatch(r"[0-9]{1,9}", value):
            self.at = min(int(value), self.last)
        elif what == "size" and re.fullmatch(r"[0-9]{1,5}x[0-9]{1,5}", value):
            self._stand_on(value)
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
                self._count(int(which), text.strip())
        elif what == "show":
            panel.locked = False
            panel.set(**room_stop.moves)
            self._seen.add(self.at)
        elif what == "again":
            self._forget(self.at)

    def _count(self, which: int, text: str) -> None:
        """Take the hands for an answer, "" for none; what is no number of hands changes nothing and is said."""
        counts, not_read = self._counts.setdefault(self.at, {}), self._not_read.setdefault(self.at, {})
        not_read.pop(which, None)
        if not text:
            counts.pop(which, None)
        elif re.fullmatch(r"[0-9]+", text) and int(text[:9]) <= MOST_HANDS:
            counts[which] = int(text)
        else:
            not_read[which] = text[:20]
            self.refusal = f"Hands for {which + 1}: {text[:20]!r}; a whole number from 0 to {MOST_HANDS} is allowed."

    def _stand_on(self, size: str) -> None:
        """Lay out for a window of this width and height; a panel follows when it is shown."""
        wide, high = (
            min(max(int(one), low), most) for one, low, most in zip(size.split("x"), LEAST, MOST, strict=True)
        )
        self.stage = wide, high

    def _forget(self, *places: int) -> None:
        for place in places:
            if old := self._panels.pop(place, None):
                old.close()
            self._choices.pop(place, None)
            self._counts.pop(place, None)
            self._not_read.pop(place, None)
            self._seen.discard(place)

    # --- what is shown

    def slide(self) -> Content:
        """All that the slide shows beside its picture: texts, HTML in ``body`` and ``outcome``, sizes in px."""
        room_stop = self.stop
        at = {"at": self.at, "last": self.last, "title": self.lesson.title, "refusal": self.refusal}
        at |= {"house": self.job is not None, "own_house": self.own_house, "takes": self.slides[self.at].minutes}
        at |= {"stage": "x".join(map(str, self.stage))}
        at |= {"planned": sum(one.minutes for one in self.slides[: self.at + 1]), "script": self._script()}
        if room_stop is None:
            return {**at, **self._words()}
        stop, seen = room_stop.stop, self.at in self._seen
        place, count = self.at - self.first_stop, len(self.lesson.stops)
        screens = self._screens.get(self.at, [])  # what is typed for an answer stands in its place
        choice, counts = self._choices.get(self.at), {**dict(enumerate(screens)), **self._counts.get(self.at, {})}
        not_read, hands = self._not_read.get(self.at, {}), sum(counts.values())
        outcome = self._outcome(room_stop, choice) if seen else ""
        answers = range(len(stop.choices))
        return {
            **at,
            "kind": "stop",
            "progress": f"Stop {place + 1} of {count}" + _answers(sum(screens)) * bool(screens),
            "prompt": stop.prompt,
            "choices": list(stop.choices),
            "counts": [not_read.get(i, str(counts.get(i, ""))) for i in answers],
            "bad": [i in not_read for i in answers],
            "shares": [f"{counts[i]} of {hands} hands" if i in counts else "" for i in answers],
            "bars": [round(100 * counts.get(i, 0) / hands, 1) if hands else 0 for i in answers],
            "chosen": -1 if choice is None else choice,
            "right": stop.choices.index(stop.right) if seen else -1,
            "outcome": outcome,
            "hint": "<br>".join(map(escape, self._hints(room_stop))),
            "notes": f"Expect: {stop.surprise}" if seen or choice is not None else WAIT,
            "sizes": room_frames(self.stage).sizes | {"answers": answers_height(self.stage)},
        }

    def _script(self) -> list[tuple[str, str]]:
        """What the presenter's own window says, line by line, each with what it is for."""
        lines = list(self.slides[self.at].lines)
        if self.at == 0 and self.lesson.left_out:
            lines.append(("Left out", f"{self.lesson.left_out} cells of this copy could not be run."))
        if self.at == self.last:
            return [*lines, ("Paper", PRINT)]
        return [*lines, ("Next", self.slides[self.at + 1].lines[0][1]), ("Keys", KEYS)]

    def _hints(self, room_stop: RoomStop) -> list[str]:
        """What stands there before the outcome: also the picture's caution, or why the file's numbers are not used."""
        titles = room_stop.panel.responder.scene_now().titles
        second = self.trouble or next((title.text for title in titles if title.name == "caution"), "")
        return [HINT.format(count=len(room_stop.stop.choices)), *([second] if second else [])]

    def _outcome(self, room_stop: RoomStop, choice: int | None) -> str:
        stop = room_stop.stop
        answer = ""
        if choice is not None:
            answer = " (as you said)" if stop.choices[choice] == stop.right else f" (you said {choice + 1})"
        whose = "In the lesson's house it is" if self.own_house else "It is"
        return f"<b>{whose}: {fractions_html(stop.right)}</b>{escape(answer)}. {fractions_html(stop.why)}"

    def _words(self) -> Content:
        """The slides without a question: a sentence or a few, and a picture."""
        lesson, first = self.lesson, self.at == 0
        if first:
            prompt, body, above = "", f"<p>{escape(lesson.sentence)}</p>", SENTENCE
        elif self.at < self.last:
            prompt, above = AHEAD, PROMPT
            body = "".join(f"<p>{fractions_html(words)}</p>" for words in lesson.cautions)
        else:
            prompt, above = "Takeaways", PROMPT
            points = "".join(f"<li>{marks_html(point)}</li>" for point in lesson.points("Summary"))
            body = f"<ol>{points}</ol>"
        sizes = room_frames(self.stage, above)
        frame = (self.stage[0] - EDGE, sizes.picture[1]) if first else sizes.picture
        return {
            "kind": "first" if first else "words",
            "progress": "",
            "prompt": prompt,
            "body": body,
            "picture": self._lead(first, frame),
            "notes": PRINT if self.at == self.last else f"{KEYS} {DESK_KEYS}",
            "sizes": sizes.sizes | {"answers": 0},
        }

    def _lead(self, bare: bool, frame: tuple[int, int]) -> str:
        """The workbook's main picture in a frame, px, with its texts or ``bare``; "" where it has none."""
        if not self.lesson.pictures:
            return ""
        scene, key = self.lesson.pictures[0].picture_now()
        if not bare:
            return svg(with_inset(fit_large(scene, *frame, ROOM_TEXT), key, frame), *frame)
        scene = replace(scene, dims=(), slopes=(), notes=(), titles=(), must=())
        x0, y0, x1, y1 = scene.bounds()
        scale = 0.94 * min(frame[0] / (x1 - x0), frame[1] / (y1 - y0))
        return svg(with_inset(fit_large(scene, *frame, ROOM_TEXT, (scale,)), key, frame), *frame)


def _there(room_stop: RoomStop, content: Content) -> bool:
    """Whether the controls stand where the outcome shows."""
    fields = content["fields"]
    return all(fields.get(name, {}).get("text") == text for name, text in room_stop.stop.move.items())


def _plain(html: str) -> str:
    return unescape(re.sub("<.*?>", "", html))


def _answers(number: int) -> str:
    return f" \u00b7 {number} answer{'s' * (number != 1)} on screens"


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
        setup = {"title": lesson.title, "summary": summary, "fill": fill, "caution": CAUTION, "minutes": lesson.minutes}
        super().__init__("message", setup=setup, slide=talk.slide(), panel=talk.panel)
        talk.watch = self._turn
        if hands.presents_here():
            with suppress(RuntimeError):  # no loop to look in, as in a test
                self._looks = asyncio.get_running_loop().create_task(hands.watch_counts(self._question, self._count))

    def _question(self) -> tuple[str, Sequence[str]] | None:
        """Question and answers of the stop that is shown."""
        one = self.talk.stop
        return (one.stop.prompt, one.stop.choices) if one else None

    def _count(self, counts: list[int]) -> bool:
        """Show what was counted on screens; False once this view has closed."""
        if self.talk.take_screens(counts):
            self._turn()
        return self.comm is not None

    def _answer(self) -> None:
        for number, what, value, at in _acts(self.message.get("acts")):
            if comes_next(number, self._last_act):
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
