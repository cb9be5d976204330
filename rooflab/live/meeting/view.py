"""The view for the table: two people and one house, from the client's numbers to a page that says what was agreed.

``Sitting`` is the logic without a widget: acts in (a text typed, a slider moved, a button or a number on the drawing
pressed, another step), the page out.  A *page* of it has at most four controls, one drawing, and what stands beside it;
pages stand in steps.  An act names the page, the thing and the state it was meant for; one that comes too late is
refused with a sentence.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Any

import traitlets

from rooflab.base.measure import InputError
from rooflab.base.rows import Reasoning
from rooflab.draw.scene import Layout, Point
from rooflab.house.room import ROOM_INPUTS
from rooflab.job.jobfile import Job
from rooflab.job.option import (
    MOST,
    Option,
    OptionResult,
    full_option,
    option_of,
    options_in,
    solve_option,
    with_options,
)
from rooflab.job.table import solve_options
from rooflab.live.topics.section import Section
from rooflab.live.widgets.base import HERE, Content, Widget, comes_next, guarded, script
from rooflab.live.widgets.touch import Hold

from .acts import MOST_STATES, OTHER_PAGE, OTHER_STATE, Act, State, read_act
from .controls import SHORT, Spec
from .drawing import BODY, DIMS, LARGE, PageDrawing, Part, house_drawing, parts_html
from .share import FILES, Fitting, Shared, file_to_share, on_paper, page_layout

STEPS = ("1 Builder's numbers", "2 Change", "3 Side by side", "4 What fits", "5 Target", "6 Agree")
LABEL = "At the table: from the builder's numbers to what was agreed"
MOST_CONTROLS = 4
HOUSE, TRIAL = "Builder's house", "Trial, not saved"  # which house a picture shows, beside the names of options
CLIENT, SINCE = "As the builder has it", "As the house stands now"  # names of the client's option, and of a changed one
CLIENTS = (CLIENT, "As he builds it")  # the second in older job files


class MeetingPage:
    """One page of a step: its controls, what they do, the drawing, and what stands beside it."""

    step = 0
    name = ""
    next = "Next"
    buttons: tuple[str, ...] = ()  # beside its drawing and on it, besides those among its controls
    frame = (LARGE, BODY[1])  # of its drawing, px
    sheet = False  # whether its drawing is a sheet of paper, on which controls lie

    def controls(self, sitting: Sitting) -> list[Spec]:
        """The specs of its controls, at most ``MOST_CONTROLS`` besides those that lie on the drawing."""
        raise NotImplementedError

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        """A sentence on a text that was typed, once it is used.  InputError where it cannot be."""
        return ""

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        """A sentence on a button that was pressed, once its work is done."""
        return ""

    def sentence(self, sitting: Sitting) -> str:
        raise NotImplementedError

    def now_and_before(self, sitting: Sitting) -> tuple[OptionResult, OptionResult | None]:
        """The house that is drawn, and the one that lies under it, if any."""
        return sitting.result_of(), None

    def takes(self, sitting: Sitting, key: str) -> bool:
        """Whether an input or a reading of this name, pressed on a drawing, is asked for on this page."""
        return False

    def take(self, sitting: Sitting, key: str) -> str:
        """Ask for it; the control that it is typed into."""
        return key

    def house(self, sitting: Sitting) -> str:
        """Which house the drawing shows, in a few words."""
        return sitting.label_of(sitting.now)

    def drawing(self, sitting: Sitting) -> PageDrawing:
        return house_drawing(*self.now_and_before(sitting), self.frame, sitting.held)

    def parts(self, sitting: Sitting) -> Sequence[Part]:
        """Numbers and words beside the drawing, which go on paper too."""
        return ()

    def beside(self, sitting: Sitting) -> str:
        """What stands beside the drawing, as HTML."""
        return parts_html(self.parts(sitting))

    def paper(self, sitting: Sitting) -> tuple[Layout, ...]:
        """The page as sheets of paper."""
        return page_layout(sitting.house, self.heading(sitting), self.parts(sitting), self.drawing_on_paper(sitting))

    def heading(self, sitting: Sitting) -> str:
        """What a sheet of paper with this page is called."""
        return f"{STEPS[self.step].partition(' ')[2]}. {self.house(sitting)}"

    def drawing_on_paper(self, sitting: Sitting) -> Fitting:
        """What lays out its drawing in so many points, with letters of that size."""
        return on_paper(*self.now_and_before(sitting))


class Sitting:
    """A meeting about a house without its widget: the client's option, the present one, those kept, what is typed."""

    topic = Section(None)  # what its readings are called

    def __init__(
        self, house: Job, path: str | os.PathLike[str], pages: Sequence[MeetingPage], fill: bool = False
    ) -> None:  # fmt: skip
        self.house, self.path, self.pages, self.fill = house, path, tuple(pages), fill
        self.memory: dict[str, Any] = {}  # what the pages remember: texts by name
        self.worked: dict[str, Any] = {}  # what they worked out last, with what it was worked from
        kept = [full_option(one, house) for one in options_in(house)]
        client = self._first_option(kept)
        self.known = {client.name, *(one.name for one in kept)}  # all options that were ever at this table
        self.options: list[Option] = [client, *(one for one in kept if one.name != client.name)]
        self.now = client  # what is drawn: the client's numbers, or with one thing changed
        self.held: dict[Point, Hold] = {}  # where the drawing stood last, by its frame
        if stands := self._as_it_stands():  # not the first one, which is chosen anyway
            self.choose(stands)
        self.at, self.last_act, self.serial = 0, 0, 0
        self.pressed = 0  # the serial of the page that the last press led to
        self.past: list[State] = []  # what can be undone, the last at the end
        self._last_content: Content = {}
        self.bad: dict[str, tuple[str, tuple[str, ...]]] = {}  # what was typed and cannot be used, and why
        self.problems: tuple[str, ...] = ()
        self.answer = ""
        self.focus: dict[str, Any] = {"n": 0, "name": ""}
        self.sent: Shared | None = None  # what is to be sent to the page as a file
        self._last: Content = {"frame": list(BODY), "touch": []}  # the last good drawing and what stands beside it

    @property
    def client(self) -> Option:
        """The client's option: it stands first among those kept, and is never removed."""
        return self.options[0]

    def _as_it_stands(self, options: Sequence[Option] | None = None) -> int | None:
        """Which option kept the house is built to, as the last agreement left it; None for none of them."""
        for i, one in enumerate(self.options if options is None else options):
            room = {name: value for name, value in one.value_pairs if name in ROOM_INPUTS}  # no house holds these
            if option_of(CLIENT, self.house, **room).value_pairs == one.value_pairs:
                return i
        return None

    def _first_option(self, kept: Sequence[Option]) -> Option:
        """The client's option: as it was kept, else the one that the house is, else the house under an own name."""
        options, stands = {one.name: one for one in kept}, self._as_it_stands(kept)
        client = next((name for name in CLIENTS if name in options), "")
        if stands is not None:
            return options[client] if client else kept[stands]
        return option_of(SINCE if client else CLIENT, self.house)

    # --- what pages ask and change

    @property
    def state(self) -> OptionResult:
        """The present option with everything worked from it."""
        return self.result_of()

    def label_of(self, option: Option) -> str:
        """Which house an option is: the builder's, one that is kept, by its name, or a trial."""
        if option.value_pairs == self.client.value_pairs:
            return HOUSE if self.client.name in CLIENTS else self.client.name
        return next((one.name for one in self.options if one.value_pairs == option.value_pairs), TRIAL)

    def reading(self, key: str) -> Reasoning:
        """A reading of the present state with its reasoning, such as "rafter.heel"."""
        return self.topic.reading(self.state, key)

    @property
    def page(self) -> MeetingPage:
        return self.pages[self.at]

    def result_of(self, option: Option | None = None) -> OptionResult:
        """An option with everything worked from it; the present one without one."""
        return solve_option(option or self.now, self.house)

    def results_of(self, options: Sequence[Option]) -> tuple[OptionResult, ...]:
        """Options with everything worked from them.  InputError with every problem of every one."""
        return solve_options(options, self.house)

    @property
    def choice(self) -> int:
        """The place of the chosen option among those kept, from 0."""
        return min(int(self.memory.get("option", 0)), len(self.options) - 1)

    def choose(self, number: int) -> None:
        """Choose an option: changes, maps and answers start from it."""
        self.memory["option"] = number
        self.memory["from"] = self.now = self.options[self.choice]

    def keep(self, option: Option) -> str:
        """A sentence on an option that was kept; one of the same name is written over."""
        names = [one.name for one in self.options]
        if option.name == self.client.name:
            if option.value_pairs == self.client.value_pairs:
                return f"{option.name}: that is kept anyway. Change one thing, and save it under a name of its own."
            raise InputError(f"{option.name}: that is the name of the builder's house; give this one another.")
        if option.name in names:
            self.options[names.index(option.name)] = option
            return f"{option.name}: saved again, in place of the old one."
        if len(self.options) >= MOST:
            raise InputError(f"Options: {MOST} are saved already; remove one in step 3 first.")
        self.options.append(option)
        self.known.add(option.name)
        return f"{option.name}: saved as option {len(self.options)}."

    def point(self, name: str) -> None:
        """Put the focus on a control."""
        self.focus = {"n": self.focus["n"] + 1, "name": name}

    # --- the answer

    def respond(self, acts: Sequence[object]) -> Content:
        """The page after these acts; those that were done before are passed over.  It never raises."""
        fresh = sorted(act for act in map(read_act, acts) if act and comes_next(act.n, self.last_act))
        if fresh:
            self.last_act = fresh[-1].n
        self.serial += 1

        def work() -> Content:
            for act in fresh:
                self._do(act)
            return self.content()

        self._last_content = guarded(work, self._refuse, self)
        return self._last_content

    def _refuse(self, sentence: str) -> Content:
        """The page as it was, under a sentence, after what could not be worked out."""
        last = self._last_content or self.content()  # an error here: the start itself cannot be shown
        count = {"done": self.last_act, "serial": self.serial}
        return {**last, "page": {**last["page"], **count, "sentence": sentence, "stale": True}}

    def do(self, what: str, name: str = "", value: str = "") -> Content:
        """One act from code: ``do("set", "span", "28'")``, ``do("press", "keep")``, ``do("go", "", "next")``."""
        return self.respond([{"n": self.last_act + 1, "what": what, "name": name, "value": value}])

    def _do(self, act: Act) -> None:
        self.problems = ()
        what, name, value = act.what, act.name, act.value
        before = self._state()
        try:
            spec = self._spec_of(act)
            if what == "go":
                self._go(value)
            elif what == "touch":
                self._touch(name, before)
            elif what == "share":
                self.sent = self.share(value)
                self.answer = f"{FILES[value]}: {self.sent.name}, from this page."
            elif what == "undo":
                self._undo()
            elif what == "set" and spec is not None:
                self.answer = self.page.set(self, name, value)
                self.bad.pop(name, None)
                self._remember(before, f"{spec['label']}: {value}", f"{name} {spec.get('of', '')}")
            elif what == "press" and spec is not None:
                house = self.house
                self.answer = self.page.press(self, name, value)
                if house is self.house:  # what is written stays written
                    self._remember(before, spec["label"])
            if what in ("press", "undo"):
                self.pressed = self.serial
        except InputError as error:
            self.problems = error.problems
            if what == "set" and name in [one["name"] for one in self.page.controls(self)]:
                self.bad[name] = value, error.problems
                self.point(name)

    def _spec_of(self, act: Act) -> Spec | None:
        """The control that an act uses, None for none.  InputError for an act that was meant for something else."""
        relative = act.what == "go" and act.value in ("next", "back")
        if act.page not in ("", self.page.name) and (relative or act.what in ("set", "press")):
            raise InputError(OTHER_PAGE)
        if act.what in ("press", "undo") and 0 <= act.serial < self.pressed:
            raise InputError(OTHER_STATE)
        if act.what not in ("set", "press"):
            return None
        spec = next((one for one in self.page.controls(self) if one["name"] == act.name), None)
        if spec is None and act.what == "press" and act.name in self.page.buttons:
            return {"name": act.name, "label": f"{act.name} {act.value}"}
        if spec is None:
            if act.page or act.what == "press":
                raise InputError(OTHER_PAGE if act.page else f"There is no {act.name[:SHORT]} on this page.")
        elif (spec["kind"] == "button") != (act.what == "press") or (act.of and act.of != spec.get("of", "")):
            raise InputError(OTHER_STATE)
        elif spec.get("off"):
            raise InputError(f"{spec['label']}: it cannot be used now.")
        return spec

    def share(self, kind: str) -> Shared:
        """The present page as a file: "png", "svg", "pdf", or "job" for the house with its options."""
        page = self.page
        house = with_options(self.house, self.options)
        return file_to_share(kind, house, page.name, page.drawing(self), lambda: page.paper(self))

    def _touch(self, name: str, before: State) -> None:
        """A number on the drawing was pressed: it is typed anew where it is a control, else it becomes a target."""
        what = DIMS.get(name)
        if what is None or name not in [one["name"] for one in self._last.get("touch", ())]:
            raise InputError(OTHER_STATE)
        if what.why:
            self.answer = what.why
            return
        pages = [i for i, page in enumerate(self.pages) if page.takes(self, what.control or what.reading)]
        if not pages:
            raise InputError(f"{name.capitalize()}: it cannot be changed on this page.")
        at = min(pages, key=lambda i: (self.pages[i].step != self.page.step, i))
        self.bad.clear()
        self.at, self.answer = at, ""
        self.point(self.page.take(self, what.control or what.reading))
        self._remember(before, f"a press on {name}")

    # --- undoing

    def _state(self) -> State:
        return State(tuple(self.options), self.now, dict(self.memory))

    def _remember(self, before: State, words: str, control: str = "") -> None:
        """Let a state be brought back, where what is there now differs; the moves of one slider are one change."""
        if self._state() == before:
            return
        words = " ".join((f"{words[:SHORT]} ..." if len(words) > SHORT else words).split())
        if control and self.past and (self.past[-1].at, self.past[-1].control) == (self.at, control):
            before = self.past.pop()
        state = before._replace(at=self.at, words=words, control=control)
        self.past = [*self.past[1 - MOST_STATES :], state]

    def _undo(self) -> None:
        """Bring back what was there before the last change, on its page; what was written stays written."""
        if not self.past:
            raise InputError("There is nothing to undo.")
        last, file = self.past.pop(), self.memory.get("written")
        self.options, self.now, self.memory = [*last.options], last.now, dict(last.memory)
        if file is not None:
            self.memory["written"] = file
        self.bad.clear()
        self.at = last.at
        self.answer = f"Undone: {last.words}."
        self.point("")

    def _go(self, where: str) -> None:
        starts = {str(page.step): i for i, page in reversed([*enumerate(self.pages)])}
        to = {"next": self.at + 1, "back": self.at - 1, **starts}.get(where, self.at)
        if where == "next" and self.bad:
            name, (_, problems) = next(iter(self.bad.items()))
            self.point(name)
            raise InputError(problems)
        self.answer = ""
        self.bad.clear()
        self.at = min(max(to, 0), len(self.pages) - 1)
        self.point("")

    def content(self) -> Content:
        """All that is seen: ``page`` without the drawing, ``picture``, and what stands ``beside`` it."""
        page = self.page
        controls = page.controls(self)
        for one in controls:
            if one["name"] in self.bad:
                one |= {"text": self.bad[one["name"]][0], "bad": True, "number": None}
        problems = self.problems
        if not problems:
            try:
                drawn = page.drawing(self)
                self._last = {"picture": drawn.svg, "beside": page.beside(self), "house": page.house(self),
                              "touch": list(drawn.items), "frame": list(drawn.frame)}  # fmt: skip
            except InputError as error:
                problems = error.problems
        sentence = " ".join(problems) if problems else self.answer or page.sentence(self)
        form = "|".join([page.name, *(f"{one['kind']} {one['name']}" for one in controls)])
        last = {name: self._last.get(name, "") for name in ("house", "touch", "frame")}
        page_content = {
            "label": LABEL, "steps": STEPS, "step": page.step, "form": form, "controls": controls, "sentence": sentence,
            "next": page.next, "stale": bool(problems), "look": page.name, "focus": self.focus,
            "done": self.last_act, "serial": self.serial, "fill": self.fill,
            "undo": self.past[-1].words if self.past else "", "room": list(BODY), "sheet": page.sheet, **last,
        }  # fmt: skip
        return {"page": page_content, "picture": self._last.get("picture", ""), "beside": self._last.get("beside", "")}


def from_option(sitting: Sitting) -> Option:
    """The option that a change starts from: the client's, or the one that is chosen."""
    option: Option = sitting.memory.get("from") or sitting.client
    return option


class Meeting(Widget):
    """The widget of the view for the table: one message each way."""

    _esm = script("meeting.js")
    _css = HERE / "meeting.css"
    page = traitlets.Dict().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)
    beside = traitlets.Unicode().tag(sync=True)
    acts: Any = traitlets.List().tag(sync=True, echo_update=False)

    def __init__(self, sitting: Sitting) -> None:
        self.sitting = sitting
        super().__init__("acts", **sitting.respond([]))

    def _refuse(self, sentence: str) -> None:
        self.page = {**self.page, "sentence": sentence, "stale": True, "serial": self.page["serial"] + 1}

    def _answer(self) -> Content:
        self.show(self.sitting.respond(list(self.acts)))
        if (sent := self.sitting.sent) is not None:
            self.sitting.sent = None
            self.send({"share": sent.kind, "name": sent.name, "type": sent.type}, buffers=[sent.content])
        return dict(self.page)

    @property
    def responder(self) -> Sitting:
        return self.sitting

    def do(self, what: str, name: str = "", value: str = "") -> str:
        """The sentence after one act from code."""
        self.acts = [{"n": self.sitting.last_act + 1, "what": what, "name": name, "value": value}]
        return str(self.page["sentence"])

    def still(self) -> dict[str, str]:
        lines = [LABEL, *(f"  {step}" for step in STEPS), *(f"  {one['label']:<18} {one['text']:>14}"
                 for one in self.page["controls"]), f"{self.page['house']}. {self.page['sentence']}"]  # fmt: skip
        return {"text/plain": "\n".join(lines), "image/svg+xml": self.picture}
