"""The view for the table: two people and one house, from the client's numbers to a page that says what was agreed.

``Sitting`` is the logic without a widget: acts in (a text typed, a slider moved, a button pressed, another step), the
page out.  A *page* of it has at most four controls and one picture or table; pages stand in steps.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from typing import Any

import traitlets

from rooflab.base.measure import InputError
from rooflab.base.rows import Reasoning
from rooflab.house.room import ROOM_INPUTS
from rooflab.job.jobfile import Job
from rooflab.job.option import MOST, Option, OptionResult, option_of, options_in, solve_option
from rooflab.job.table import solve_options
from rooflab.live.topics.section import Section
from rooflab.live.widgets.base import HERE, Content, Widget, script

from .controls import Spec

STEPS = ("1 His numbers", "2 Change", "3 Side by side", "4 What fits", "5 Ask backwards", "6 Agree")
LABEL = "At the table: from his numbers to what was agreed"
MOST_CONTROLS = 4
HOUSE, TRIAL = "Builder's house", "Trial, not kept"  # which house a picture shows, beside the names of options
CLIENT, SINCE = "As he builds it", "As the house stands now"  # names of the client's option, and of a changed one


class MeetingPage:
    """One page of a step: its controls, what they do, and what is shown."""

    step = 0
    name = ""
    next = "Next"

    def controls(self, sitting: Sitting) -> list[Spec]:
        """The specs of its controls, at most ``MOST_CONTROLS``."""
        raise NotImplementedError

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        """A sentence on a text that was typed, once it is used.  InputError where it cannot be."""
        return ""

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        """A sentence on a button that was pressed, once its work is done."""
        return ""

    def sentence(self, sitting: Sitting) -> str:
        raise NotImplementedError

    def house(self, sitting: Sitting) -> str:
        """Which house the picture or table shows, in a few words."""
        return sitting.label_of(sitting.now)

    def picture(self, sitting: Sitting) -> str:
        """The picture as SVG, or a table as HTML."""
        raise NotImplementedError

    def note(self, sitting: Sitting) -> str:
        return ""

    def there(self, sitting: Sitting) -> bool:
        """Whether there is anything to show yet."""
        return True

    def leave(self, sitting: Sitting) -> str:
        """A sentence when one goes on from here.  InputError where something is missing."""
        return ""


class Sitting:
    """A meeting about a house without its widget: the client's option, the present one, those kept, what is typed."""

    topic = Section(None)  # what its readings are called

    def __init__(
        self, house: Job, path: str | os.PathLike[str], pages: Sequence[MeetingPage], fill: bool = False
    ) -> None:  # fmt: skip
        self.house, self.path, self.pages, self.fill = house, path, tuple(pages), fill
        self.memory: dict[str, Any] = {}  # what the pages remember: texts by name
        self.options: list[Option] = list(options_in(house))
        self.now = self.client = self._first_option()  # what is drawn: the client's numbers, or with one thing changed
        if (stands := self._as_it_stands()) is not None:
            self.choose(stands)
        self.at, self.last_act, self.serial = 0, 0, 0
        self.bad: dict[str, tuple[str, tuple[str, ...]]] = {}  # what was typed and cannot be used, and why
        self.problems: tuple[str, ...] = ()
        self.answer = ""
        self.focus: dict[str, Any] = {"n": 0, "name": ""}
        self._last = ("", "", "")  # the last good picture, its note, and which house it shows

    def _as_it_stands(self) -> int | None:
        """Which option kept the house is built to, as the last agreement left it; None for none of them."""
        for i, one in enumerate(self.options):
            room = {name: value for name, value in one.value_pairs if name in ROOM_INPUTS}  # no house holds these
            if option_of(CLIENT, self.house, **room).value_pairs == one.value_pairs:
                return i
        return None

    def _first_option(self) -> Option:
        """The client's option: as it was kept, else the numbers of the house under a name that no other option has."""
        options = {one.name: one for one in self.options}
        if CLIENT in options and self._as_it_stands() is not None:
            return options[CLIENT]
        return option_of(SINCE if CLIENT in options else CLIENT, self.house)

    # --- what pages ask and change

    @property
    def state(self) -> OptionResult:
        """The present option with everything worked from it."""
        return self.result_of()

    def label_of(self, option: Option) -> str:
        """Which house an option is: the builder's, one that is kept, by its name, or a trial."""
        if option.value_pairs == self.client.value_pairs:
            return HOUSE if self.client.name == CLIENT else self.client.name
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
        return min(int(self.memory.get("option", 0)), max(len(self.options) - 1, 0))

    def choose(self, number: int) -> None:
        """Choose an option: changes, maps and answers start from it."""
        self.memory["option"] = number
        if self.options:
            self.memory["from"] = self.now = self.options[self.choice]

    def keep(self, option: Option) -> str:
        """A sentence on an option that was kept; one of the same name is written over."""
        names = [one.name for one in self.options]
        if option.name in names:
            self.options[names.index(option.name)] = option
            return f"{option.name}: kept again, in place of the old one."
        if len(self.options) >= MOST:
            raise InputError(f"Options: {MOST} are kept already; take one away in step 3 first.")
        self.options.append(option)
        return f"{option.name}: kept as option {len(self.options)}."

    def point(self, name: str) -> None:
        """Put the focus on a control."""
        self.focus = {"n": self.focus["n"] + 1, "name": name}

    # --- the answer

    def respond(self, acts: Sequence[Mapping[str, Any]]) -> Content:
        """The page after these acts; those that were done before are passed over."""
        for act in sorted(acts, key=lambda one: one["n"]):
            if act["n"] > self.last_act:
                self.last_act = act["n"]
                self._do(str(act.get("what", "")), str(act.get("name", "")), str(act.get("value", "")))
        return self.content()

    def do(self, what: str, name: str = "", value: str = "") -> Content:
        """One act from code: ``do("set", "span", "28'")``, ``do("press", "keep")``, ``do("go", "", "next")``."""
        return self.respond([{"n": self.last_act + 1, "what": what, "name": name, "value": value}])

    def _do(self, what: str, name: str, value: str) -> None:
        self.problems = ()
        try:
            if what == "go":
                self._go(value)
            elif what == "set" and name in [one["name"] for one in self.page.controls(self)]:
                self.answer = self.page.set(self, name, value)
                self.bad.pop(name, None)
            elif what == "press":
                self.answer = self.page.press(self, name, value)
        except InputError as error:
            self.problems = error.problems
            if what == "set":
                self.bad[name] = value, error.problems
                self.point(name)

    def _go(self, where: str) -> None:
        starts = {str(page.step): i for i, page in reversed([*enumerate(self.pages)])}
        to = {"next": self.at + 1, "back": self.at - 1, **starts}.get(where, self.at)
        while 0 <= to < len(self.pages) and not self.pages[to].there(self):
            to += 1 if to > self.at else -1
        to = min(max(to, 0), len(self.pages) - 1)
        if where == "next" and self.bad:
            name, (_, problems) = next(iter(self.bad.items()))
            self.point(name)
            raise InputError(problems)
        self.answer = self.page.leave(self) if to > self.at else ""
        self.bad.clear()
        self.at = to
        self.point("")

    def content(self) -> Content:
        """All that is seen: ``page`` without the picture, and ``picture``."""
        page = self.page
        controls = page.controls(self)
        for one in controls:
            if one["name"] in self.bad:
                one |= {"text": self.bad[one["name"]][0], "bad": True, "number": None}
        problems = self.problems
        if not problems:
            try:
                self._last = page.picture(self), page.note(self), page.house(self)
            except InputError as error:
                problems = error.problems
        sentence = " ".join(problems) if problems else self.answer or page.sentence(self)
        self.serial += 1
        form = "|".join([page.name, *(f"{one['kind']} {one['name']}" for one in controls)])
        page_content = {
            "label": LABEL, "steps": STEPS, "step": page.step, "form": form, "controls": controls, "sentence": sentence,
            "note": self._last[1], "house": self._last[2], "next": page.next,
            "stale": bool(problems), "look": page.name, "focus": self.focus,
            "done": self.last_act, "serial": self.serial, "fill": self.fill,
        }  # fmt: skip
        return {"page": page_content, "picture": self._last[0]}


class Meeting(Widget):
    """The widget of the view for the table: one message each way."""

    _esm = script("meeting.js")
    _css = HERE / "meeting.css"
    page = traitlets.Dict().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)
    acts: Any = traitlets.List().tag(sync=True, echo_update=False)

    def __init__(self, sitting: Sitting) -> None:
        self.sitting = sitting
        super().__init__("acts", **sitting.content())

    def _answer(self) -> Content:
        self.show(self.sitting.respond(list(self.acts)))
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
