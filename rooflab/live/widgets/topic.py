"""Panels on loads, forces and insulation: controls for any number, readings with their reasoning, pictures and lists.

A *topic* says what can be moved, seen and read, and builds a state from it; ``Figures`` answers for a panel.  Each
panel carries the caution: an early check for discussion; engineer, code official and manufacturer decide.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from random import Random
from typing import Any, NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.inputs import read_word
from rooflab.base.measure import InputError
from rooflab.base.rows import Rows, Worked, printed
from rooflab.checks.loads import CAUTION, EARLY_CHECK
from rooflab.draw.layout import fit
from rooflab.draw.scene import Scene, svg
from rooflab.job.jobfile import Job
from rooflab.lessons.numbers import NumberQuestion

from .answers import DETAIL, Answers
from .ask import Ask, judged
from .controls import Control
from .job_desk import job_texts
from .panel import Panel
from .rows import Group, Row
from .rows import findings_html as findings_html

DECIDE = "An early check: engineer, code official and manufacturer decide."


# --- topics ----------------------------------------------------------------------------------------------------------


class Entry(NamedTuple):
    """A line of the readings: key ("rows.reading"), short label, and the finding whose verdict stands beside it."""

    key: str
    label: str
    finding: str = ""


class Topic:
    """What a family of panels can move, see and read.  The state of ``build`` is the topic's own."""

    name = ""
    label = ""
    controls: tuple[Control, ...] = ()
    views: dict[str, str] = {}
    groups: dict[str, tuple[str, tuple[Entry, ...]]] = {}

    def build(self, given: dict[str, Any]) -> Any:
        """The state for these values; InputError with every sentence."""
        raise NotImplementedError

    def numbers(self, state: Any) -> dict[str, Rows]:
        """The readings by family: what "strength" in "strength.moment" stands for."""
        raise NotImplementedError

    def findings(self, state: Any) -> tuple[Finding, ...]:
        return ()

    def picture(self, view: str, state: Any) -> Scene | str:
        """A scene, or the HTML of a list."""
        raise NotImplementedError

    def sentence(self, state: Any, view: str) -> str:
        raise NotImplementedError

    def detail(self, state: Any) -> Scene | None:
        return None

    def word(self, key: str, state: Any) -> str:
        """A word beside a reading."""
        return ""

    def highest(self, state: Any) -> dict[str, float]:
        """Sliders that end where another control lets them."""
        return {}

    def left_to_us(self, state: Any) -> dict[str, float]:
        """Where a slider stands whose control is left to the program ("by slope")."""
        return {}

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        """Controls of a practice case for a question of one family of readings."""
        raise NotImplementedError

    def told(self, state: Any, key: str) -> str:
        """What has to be known for a question."""
        raise NotImplementedError

    # --- for all topics

    def start(self, given: dict[str, Any]) -> dict[str, str]:
        """Every control's text at the start.  InputError for a control that is not there."""
        names = [control.name for control in self.controls]
        for name in given:
            problems: list[str] = []
            read_word("Control", name, tuple(names), problems)
            if problems:
                raise InputError(problems)
        return {control.name: str(given.get(control.name, control.start)) for control in self.controls}

    def read(self, texts: dict[str, str]) -> Any:
        """The state for what is typed; InputError with every sentence."""
        problems: list[str] = []
        values = {control.name: control.value(texts[control.name], problems) for control in self.controls}
        if problems:
            raise InputError(tuple(dict.fromkeys(problems)))
        return self.build(values)

    def beside(self, until: Mapping[str, str]) -> dict[str, str]:
        """What else the controls say where they stand at ``until``: the drawing that belongs to a type, say."""
        return {}

    def worked(self, state: Any, key: str) -> Worked:
        family, _, name = key.partition(".")
        return self.numbers(state)[family].worked(name)


def reasoning(worked: Worked) -> str:
    """Label = formula = formula with the numbers in = value."""
    return " = ".join(filter(None, (worked.label, worked.formula, worked.worked, printed(worked))))


# --- the answer ------------------------------------------------------------------------------------------------------


class Figures(Answers):
    """Answers for a topic."""

    def __init__(
        self, topic: Topic, controls: Sequence[str], views: Sequence[str], groups: Sequence[str], size: str,
        start: dict[str, Any],
    ) -> None:  # fmt: skip
        super().__init__()
        self.topic, self.size = topic, size
        for what, names, known in (
            ("Control", controls, [control.name for control in topic.controls]),
            ("View", views, list(topic.views)),
            ("Group of readings", groups, list(topic.groups)),
        ):
            if unknown := [name for name in names if name not in known]:
                raise InputError(f"{what}: {', '.join(unknown)} is not one; give {', '.join(known)}.")
        self.controls = [control for control in topic.controls if control.name in controls]
        self.views, self.groups = tuple(views), tuple(groups)
        self.start = topic.start(start)
        self.state = topic.read(self.start)
        self._detailed: tuple[Scene | None, str] = (None, "")

    def setup(self) -> dict[str, Any]:
        return {
            "label": f"{self.topic.label}: controls, picture and readings",
            "size": self.size,
            "controls": [control.spec() for control in self.controls],
            "views": [(name, self.topic.views[name]) for name in self.views],
        }

    def _given(self, raw: dict[str, str]) -> dict[str, str]:
        return {**self.start, **{name: raw[name] for name in self.start if name in raw}}

    def _build(self, raw: dict[str, str]) -> Any:
        return self.topic.read(self._given(raw))

    def _sentence(self, view: str) -> str:
        return self.topic.sentence(self.state, view)

    def _fields(self, raw: dict[str, str]) -> dict[str, dict[str, Any]]:
        given = self._given(raw)
        highest, ours, fields = self.topic.highest(self.state), self.topic.left_to_us(self.state), {}
        for control in self.controls:
            field = control.field(given[control.name])
            if field["number"] is None and not field["bad"]:
                field["number"] = ours.get(control.name)
            field["given"] = raw.get(control.name, self.start[control.name])
            if control.name in highest:
                field["high"] = highest[control.name]
            fields[control.name] = field
        return fields

    def _picture(self, view: str) -> str:
        made = self.topic.picture(view, self.state)
        if isinstance(made, Scene):
            return svg(self.placed(made, *self.frame), *self.frame)
        return f"{made}<p>{escape(CAUTION)}</p>"

    def _detail(self) -> str:
        made = None if self.size else self.topic.detail(self.state)
        if made != self._detailed[0]:  # most moves leave it as it was
            self._detailed = made, svg(fit(made, *DETAIL, 10.0), *DETAIL) if made else ""
        return self._detailed[1]

    def _note(self, why: str) -> str:
        """The reasoning of one reading, which limits are not met, and who decides."""
        found = {
            verdict: dict.fromkeys(f.name.replace("_", " ") for f in self.topic.findings(self.state)
                                   if f.verdict == verdict)
            for verdict in ("misses", "ask")
        }  # fmt: skip
        limits = " ".join(
            f"<b>{v.capitalize()}:</b> {escape(', '.join(names))}." for v, names in found.items() if names
        )
        return f"<div>{escape(reasoning(self.worked(why)))}</div><div>{limits} {DECIDE}</div>"

    # --- readings

    def worked(self, key: str) -> Worked:
        """A reading of the present state with its reasoning."""
        return self.topic.worked(self.state, key)

    def drawn(self) -> tuple[str, ...]:
        return tuple(view for view in self.views if isinstance(self.topic.picture(view, self.state), Scene))

    def scene_now(self) -> Scene:
        drawn = self.topic.picture(self.drawn()[0], self.state)
        assert isinstance(drawn, Scene)
        return drawn

    def enlarged(self, controls: Sequence[str], view: str, only: Sequence[str], job: Job | None = None) -> Figures:
        topic, start = self.topic, dict(self.start)
        if job:  # what stands in its file and this topic can read
            if isinstance(getattr(topic, "job", None), Job):
                topic = type(topic)(job)  # type: ignore[call-arg]  # a topic that holds a job is made of one
            texts = job_texts(job)
            read = [control for control in topic.controls if control.name in texts]
            start |= {c.name: texts[c.name] for c in read if not c.field(texts[c.name])["bad"]}
        made = Figures(topic, controls, (view,), self.groups, "room", start)
        made.only = only
        return made

    def _made(self) -> list[Group]:
        verdicts = {finding.name: finding.verdict for finding in reversed(self.topic.findings(self.state))}
        numbers = self.topic.numbers(self.state)
        made: list[Group] = []
        for title, entries in (self.topic.groups[name] for name in self.groups):
            lines = []
            for entry in entries:
                family, _, name = entry.key.partition(".")
                text, word = numbers[family].text(name), self.topic.word(entry.key, self.state)
                lines.append(Row(entry.key, entry.label, text, word, verdicts.get(entry.finding, ""), ""))
            made.append((title, lines))
        return made

    def still(self) -> tuple[str, str]:
        """Plain text and the picture of the present state, for a page without a kernel."""
        lines = [self.topic.sentence(self.state, self.views[0])]
        for control in self.controls:
            lines.append(f"  {control.label:<18} {control.field(self.start[control.name])['text']:>14}")
        for title, rows in self.rows():
            lines += [title, *(f"  {row.label:<18} {row.text:>14}  {row.words}".rstrip() for row in rows)]
        return "\n".join([*lines, EARLY_CHECK]), svg(fit(self.scene_now(), *self.frame), *self.frame)


def panel_of(
    topic: Topic, controls: Sequence[str], views: Sequence[str], groups: Sequence[str], size: str, locked: bool,
    start: dict[str, Any],
) -> Panel:  # fmt: skip
    """A topic as a panel; everything of it where nothing is chosen."""
    every = tuple(control.name for control in topic.controls)
    chosen = controls or every, views or tuple(topic.views), groups or tuple(topic.groups)
    return Panel(Figures(topic, *chosen, size, start), locked)


# --- questions -------------------------------------------------------------------------------------------------------


def number(prompt: str, topic: Topic, reading: str, **start: Any) -> Ask:
    """A typed question for a reading of a topic, such as "strength.moment", with its controls at ``start``."""
    question = _question(prompt, topic, reading, topic.read(topic.start(start)))
    asked = Ask(prompt, lambda text, do: judged(question, text, do), unit=question.unit)
    asked.question = question
    return asked


def number_drill(prompt: str, topic: Topic, reading: str, case: int = 1) -> Ask:
    """The same for practice case ``case`` of a topic, and for the next ones; the same number is the same case."""

    def new() -> NumberQuestion:
        family = reading.partition(".")[0]
        state = topic.read(topic.start(topic.practice(Random(case), family)))
        return _question(f"{prompt} Case {case}: {topic.told(state, reading)}.", topic, reading, state)

    def judge(text: str, do: str) -> str:
        nonlocal case
        if do != "next":
            return judged(asked.question, text, do)
        case += 1
        asked.question = new()
        asked.setup = {**asked.setup, "prompt": asked.question.prompt}
        return ""

    first = new()
    asked = Ask(first.prompt, judge, more=True, unit=first.unit)
    asked.question = first
    return asked


def _question(prompt: str, topic: Topic, reading: str, state: Any) -> NumberQuestion:
    family, _, name = reading.partition(".")
    return NumberQuestion(prompt, topic.numbers(state)[family], name)
