"""Live panels: controls for any number, readings with their reasoning, pictures and lists.

A *topic* says what can be moved, seen and read, and builds a state from it; ``TopicPanel`` answers for it what was
moved or typed: it keeps the last good state, the one before the last change and the kept one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from html import escape
from random import Random
from typing import Any, NamedTuple, Protocol

from rooflab.base.findings import Finding
from rooflab.base.measure import InputError
from rooflab.base.rows import Reasoning, reading_text
from rooflab.checks.loads import CAUTION, EARLY_CHECK
from rooflab.draw.layout import fit, fit_large
from rooflab.draw.scene import Layout, Scene, svg
from rooflab.job.jobfile import Job
from rooflab.lessons.questions import Question

from .ask import Ask, typed
from .controls import Control
from .job_desk import job_texts
from .panel import Panel
from .rows import Group, Row, readings_html

DECIDE = "An early check: engineer, code official and manufacturer decide."
FRAME, SMALL, ROOM, DETAIL = (796, 314), (576, 284), (782, 392), (284, 176)  # of the pictures, px
BELOW = 36  # room for words below a picture, px
ROOM_TEXT = 21.4  # of the texts in a room's pictures, px; 16 pt is 21.33 px


# --- topics ----------------------------------------------------------------------------------------------------------


class Entry(NamedTuple):
    """A line of the readings: key ("rows.reading"), short label, and the finding whose verdict stands beside it."""

    key: str
    label: str
    finding: str = ""


class Taped:
    """Readings with their lengths as on a tape, short ones too."""

    tape = False  # the lengths are texts already

    def __init__(self, reading: Callable[[str], Reasoning]) -> None:
        self.reading = reading

    def worked(self, name: str) -> Reasoning:
        """A reading with its reasoning."""
        w = self.reading(name)
        return w._replace(value=w.text) if w.unit == "in" else w

    def text(self, name: str) -> str:
        """A reading's value as it is printed."""
        return reading_text(self.worked(name))


class Topic:
    """What a family of panels can move, see and read.  The state of ``build`` is the topic's own."""

    name = ""
    label = ""
    controls: tuple[Control, ...] = ()
    views: dict[str, str] = {}
    groups: dict[str, tuple[str, tuple[Entry, ...]]] = {}
    caution = CAUTION  # below every list
    detail_type = 10.0  # of the texts in the detail, px

    def own(self) -> dict[str, str]:
        """Texts of boxes, by name, as the topic's own house has them; where it has none the controls' are the start."""
        return {}

    def build(self, given: dict[str, Any]) -> Any:
        """The state for these values; InputError with every sentence."""
        raise NotImplementedError

    def numbers(self, state: Any) -> dict[str, Any]:
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

    def below(self, view: str, state: Any, size: str) -> str:
        """Words below a picture."""
        return ""

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

    def givens(self, state: Any, key: str) -> str:
        """What has to be known for a question."""
        raise NotImplementedError

    def question(self, prompt: str, state: Any, key: str) -> Question:
        """The question for a reading such as "strength.moment"."""
        family, _, name = key.partition(".")
        return Question(prompt, self.numbers(state)[family], name)

    def case(self, prompt: str, key: str, number: int) -> Question:
        """The question for a reading of practice case ``number``, with what has to be known; the same everywhere."""
        state = self.read(self.start(self.practice(Random(number), key.partition(".")[0])))
        return self.question(f"{prompt} Case {number}: {self.givens(state, key)}.", state, key)

    def shown_in(self, views: Sequence[str], groups: Sequence[str]) -> Topic:
        """The topic where only these views and groups of readings are shown."""
        return self

    def on(self, job: Job) -> Topic:
        """The topic of a job: one that holds a job is made of it."""
        return type(self)(job) if isinstance(getattr(self, "job", None), Job) else self  # type: ignore[call-arg]

    def beside(self, move: Mapping[str, str]) -> dict[str, str]:
        """What else the controls say where they stand as ``move`` says: the drawing that belongs to a type, say."""
        return {}

    # --- readings in words

    def row(self, entry: Entry, state: Any, numbers: Mapping[str, Any], verdict: str) -> Row | None:
        """A line of the readings; None where the state has none."""
        family, _, name = entry.key.partition(".")
        return Row(entry.key, entry.label, numbers[family].text(name), self.word(entry.key, state), verdict)

    def worked(self, state: Any, key: str) -> Reasoning:
        """A reading with its reasoning; a length as on a tape where the topic reads so."""
        family, _, name = key.partition(".")
        rows = self.numbers(state)[family]
        worked: Reasoning = rows.worked(name)
        return worked._replace(value=rows.text(name)) if rows.tape else worked

    def value_text(self, worked: Reasoning) -> str:
        """A reading's value as it is printed."""
        return reading_text(worked)

    def full_label(self, key: str, worked: Reasoning) -> str:
        """A reading's label where readings of several families stand together."""
        return worked.label

    def reasoning(self, state: Any, key: str) -> str:
        """Label = formula = formula with the numbers in = value."""
        w = self.worked(state, key)
        return " = ".join(filter(None, (w.label, w.formula, w.worked, self.value_text(w))))

    def spoken(self, finding: Finding) -> str:
        """What a finding is called in a note."""
        return finding.name.replace("_", " ")

    def closing(self, state: Any, limits: str, keys: Sequence[str], crowded: bool) -> str:
        """What a note ends with: ``limits`` that are not met (HTML), and who decides.

        ``keys`` are the readings shown; ``crowded`` says that some sizes had no room in the picture.
        """
        return f"{limits} {DECIDE}"

    def plain(self, state: Any, view: str, controls: Iterable[tuple[str, str]], groups: Sequence[Group]) -> list[str]:
        """Lines of plain text for a page without a kernel: the sentence, controls with their texts, readings."""
        lines = [self.sentence(state, view), *(f"  {label:<18} {text:>14}" for label, text in controls)]
        for title, rows in groups:
            lines += [title, *(f"  {row.label:<18} {row.text:>14}  {row.words}".rstrip() for row in rows)]
        return [*lines, EARLY_CHECK]

    # --- controls

    @property
    def followers(self) -> tuple[Control, ...]:
        """Controls that follow a number of the program's until a text is typed."""
        return tuple(control for control in self.controls if control.follow)

    def start(self, given: dict[str, Any]) -> dict[str, str]:
        """Every control's text at the start.  InputError for a control that is not there."""
        known("Control", given, [control.name for control in self.controls])
        texts = {control.name: str(given.get(control.name, control.start)) for control in self.controls}
        return texts | {following(one): "no" if one.name in given else "yes" for one in self.followers}

    def read(self, texts: Mapping[str, str | None]) -> Any:
        """The state for what is typed; InputError with every sentence."""
        problems: list[str] = []
        values = {control.name: control.value(texts[control.name], problems) for control in self.controls}
        if problems:
            raise InputError(tuple(dict.fromkeys(problems)))
        return self.build(values)


def known(what: str, names: Iterable[str], allowed: Sequence[str]) -> None:
    """InputError where one of the names is not among those allowed."""
    if unknown := [name for name in names if name not in allowed]:
        raise InputError(f"{what}: {', '.join(unknown)} is not one; give {', '.join(allowed)}.")


def following(control: Control) -> str:
    """The key of the box that lets a control follow."""
    return f"{control.name}_follows"


# --- the answer ------------------------------------------------------------------------------------------------------


class TopicPanel:
    """Answers for a topic: what was moved or typed in (``raw``, texts by name), all that is shown out; no widget."""

    only: Sequence[str] = ()  # the readings shown, by key; none: all

    def __init__(
        self, topic: Topic, controls: Sequence[str], views: Sequence[str], groups: Sequence[str], size: str,
        start: dict[str, Any],
    ) -> None:  # fmt: skip
        """``size`` is "" for everything, "small" for one idea at a time, "room" for a projector."""
        known("Control", controls, [control.name for control in topic.controls])
        known("View", views, list(topic.views))
        known("Group of readings", groups, list(topic.groups))
        self.topic, self.size = topic.shown_in(views, groups), size
        self.controls = [control for control in topic.controls if control.name in controls]
        self.views, self.groups = tuple(views), tuple(groups)
        self.start = topic.start(start)
        self._raw: dict[str, str] = {}
        self._rows: tuple[Any, list[Group]] = (None, [])
        self.before: dict[str, str] = {}
        self.kept: dict[str, str] = {}
        self._changed: set[str] = set()
        self._problems: tuple[str, ...] = ()
        self._serial = 0
        self._detailed: tuple[Scene | None, str] = (None, "")
        self._crowded = False  # whether texts had no room in the picture
        self._matched = {one.name: one.value(one.start, []) for one in topic.followers}  # where they stand
        self._forget()
        self.state = self._build({})

    def setup(self) -> dict[str, Any]:
        """The panel as the page builds it."""
        return {
            "label": f"{self.topic.label}: controls, picture and readings",
            "size": self.size,
            "controls": [control.spec() for control in self.controls],
            "views": [(name, self.topic.views[name]) for name in self.views],
        }

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
            "sentence": escape(said if self._problems else self.topic.sentence(self.state, view)),
            "picture": self._picture(view),
            "detail": self._detail(),
            "readings": readings_html(groups, past, word, self.size != "room"),
            "note": self._note(why, keys),
            "fields": self._fields(raw),
            "stale": bool(self._problems),
            "view": view,
            "why": why,
        }

    # --- from texts to a state

    def _forget(self) -> None:
        """What a reset puts aside besides the state: which controls have followed, and their texts put aside."""
        self._followed = {one.name for one in self.topic.followers if self._follows(one, {})}
        self._aside: dict[str, str | None] = {}

    def _follows(self, control: Control, raw: Mapping[str, str]) -> bool:
        return raw.get(following(control), self.start[following(control)]) != "no"

    def _given(self, raw: Mapping[str, str]) -> dict[str, str | None]:
        """Every control's text; None for one that follows, and where it stood then until another text is typed."""
        given: dict[str, str | None] = {**self.start, **{name: raw[name] for name in self.start if name in raw}}
        for one in self.topic.followers:
            name = one.name
            typed = raw[name] != self._aside.get(name) if name in raw else name not in self._followed
            if self._follows(one, raw):
                given[name] = None
            elif not typed:
                given[name] = one.show(self._matched[name])
        return given

    def _build(self, raw: Mapping[str, str]) -> Any:
        """The state for these texts; InputError with every sentence."""
        follow = [one.name for one in self.topic.followers if self._follows(one, raw)]
        self._followed.update(follow)
        self._aside.update({name: raw.get(name) for name in follow})
        state = self.topic.read(self._given(raw))
        stand = self.topic.left_to_us(state)
        self._matched.update({name: stand[name] for name in follow})
        return state

    def _fields(self, raw: Mapping[str, str]) -> dict[str, dict[str, Any]]:
        """Every control's slider position and text; a text that cannot be read stays as it was typed."""
        given = self._given(raw)
        highest, ours, fields = self.topic.highest(self.state), self.topic.left_to_us(self.state), {}
        for control in self.controls:
            text = given[control.name]
            field = control.field(control.show(self._matched[control.name]) if text is None else text)
            if field["number"] is None and not field["bad"]:
                field["number"] = ours.get(control.name)
            field["given"] = raw.get(control.name, self.start[control.name])
            if control.follow:
                field["follows"] = field["off"] = text is None
            if control.name in highest:
                field["high"] = highest[control.name]
            fields[control.name] = field
        return fields

    # --- pictures

    @property
    def frame(self) -> tuple[int, int]:
        """Width and height of the picture, px."""
        return {"small": SMALL, "room": ROOM}.get(self.size, FRAME)

    def placed(self, scene: Scene, wide: float, tall: float) -> Layout:
        """A scene with its texts, in large letters for a room."""
        return fit_large(scene, wide, tall, ROOM_TEXT) if self.size == "room" else fit(scene, wide, tall)

    def drawn(self) -> tuple[str, ...]:
        """The views that are pictures; the others are lists."""
        return tuple(view for view in self.views if isinstance(self.topic.picture(view, self.state), Scene))

    def scene_now(self) -> Scene:
        """The first picture of the present state."""
        made = (self.topic.picture(view, self.state) for view in (*self.views, *self.topic.views))
        return next(one for one in made if isinstance(one, Scene))

    def _picture(self, view: str) -> str:
        made = self.topic.picture(view, self.state)
        self._crowded = False
        if not isinstance(made, Scene):
            return made + f"<p>{escape(self.topic.caution)}</p>" * bool(self.topic.caution)
        (wide, tall), below = self.frame, ""
        if said := self.topic.below(view, self.state, self.size):
            tall, below = tall - BELOW, f'<div class="rl-below">{escape(said)}</div>'
        placed = self.placed(made, wide, tall)
        self._crowded = bool(getattr(placed, "dropped", ()))
        return svg(placed, wide, tall) + below

    def _detail(self) -> str:
        made = None if self.size else self.topic.detail(self.state)
        if made != self._detailed[0]:  # most moves leave it as it was
            self._detailed = made, svg(fit(made, *DETAIL, self.topic.detail_type), *DETAIL) if made else ""
        return self._detailed[1]

    def enlarged(self, controls: Sequence[str], view: str, only: Sequence[str], job: Job | None = None) -> TopicPanel:
        """The same for a room: these controls, one picture and these readings; on a job's numbers where there is one.

        InputError where the job cannot be drawn.
        """
        topic, start = self.topic.on(job) if job else self.topic, dict(self.start)
        texts = job_texts(job) if job else {}
        for one in topic.followers:
            follows = one.name not in texts if job else self._follows(one, {})
            del start[following(one)]
            if follows:
                del start[one.name]
        readable = [one for one in topic.controls if one.name in texts and not one.field(texts[one.name])["bad"]]
        start |= {one.name: texts[one.name] for one in readable}  # what stands in its file and this topic can read
        made = TopicPanel(topic, controls, (view,), self.groups, "room", start)
        made.only = only
        return made

    # --- readings

    def rows(self) -> list[Group]:
        """The readings under the picture, in groups."""
        if self._rows[0] is not self.state:
            self._rows = self.state, self._grouped()
        return self._rows[1]

    def _grouped(self) -> list[Group]:
        verdicts = {finding.name: finding.verdict for finding in reversed(self.topic.findings(self.state))}
        numbers = self.topic.numbers(self.state)
        groups = []
        for title, entries in (self.topic.groups[name] for name in self.groups):
            found = [self.topic.row(one, self.state, numbers, verdicts.get(one.finding, "")) for one in entries]
            lines = [row for row in found if row and (not self.only or row.key in self.only)]
            groups.append((title, lines))
        return [group for group in groups if group[1]]

    def _texts(self) -> dict[str, str]:
        return {row.key: row.text for _, rows in self.rows() for row in rows}

    def worked(self, key: str) -> Reasoning:
        """A reading of the present state with its reasoning."""
        return self.topic.worked(self.state, key)

    def _note(self, why: str, keys: Sequence[str]) -> str:
        """The reasoning of one reading, which limits are not met, and who decides; asked for after the picture."""
        found: dict[str, dict[str, None]] = {"misses": {}, "ask": {}}
        for finding in self.topic.findings(self.state):
            if finding.verdict in found:
                found[finding.verdict][self.topic.spoken(finding)] = None
        named = [(verdict.capitalize(), ", ".join(names)) for verdict, names in found.items() if names]
        limits = " ".join(f"<b>{verdict}:</b> {escape(names)}." for verdict, names in named)
        second = self.topic.closing(self.state, limits, keys, self._crowded)
        return f"<div>{escape(self.topic.reasoning(self.state, why))}</div><div>{second}</div>"

    def still(self) -> tuple[str, str]:
        """Plain text and the picture of the present state, for a page without a kernel."""
        fields = self._fields({})
        controls = [(control.label, fields[control.name]["text"]) for control in self.controls]
        lines = self.topic.plain(self.state, self.views[0], controls, self.rows())
        return "\n".join(lines), svg(fit(self.scene_now(), *self.frame), *self.frame)


def panel_of(
    topic: Topic, controls: Sequence[str], views: Sequence[str], groups: Sequence[str], size: str, locked: bool,
    start: dict[str, Any],
) -> Panel:  # fmt: skip
    """A topic as a panel on its own house, but for ``start``; everything of it where nothing is chosen."""
    every = tuple(control.name for control in topic.controls)
    chosen = controls or every, views or tuple(topic.views), groups or tuple(topic.groups)
    return Panel(TopicPanel(topic, *chosen, size, {**topic.own(), **start}), locked)


# --- questions -------------------------------------------------------------------------------------------------------


class Asks(Protocol):
    """A typed question for a reading of a topic, with its controls at ``start``."""

    def __call__(self, prompt: str, reading: str, **start: Any) -> Ask: ...


class Drill(Protocol):
    """The same for practice case ``case``, and for the next ones; the same number is the same case."""

    def __call__(self, prompt: str, reading: str, case: int = 1) -> Ask: ...


def questions_on(name: str, *kinds: type[Topic], example: str) -> tuple[Asks, Drill]:
    """The functions that ask about these topics and drill them, called after ``name``; ``example`` names readings."""

    def topic_of(reading: str) -> Topic:
        family = reading.partition(".")[0]
        if len(kinds) > 1:
            known("Topic", [family], [kind.name for kind in kinds])
        return next(kind for kind in kinds if kind.name == family or len(kinds) == 1)()

    def question(prompt: str, reading: str, **start: Any) -> Ask:
        topic = topic_of(reading)
        return typed(topic.question(prompt, topic.read(topic.start(start)), reading))

    def drill(prompt: str, reading: str, case: int = 1) -> Ask:
        topic = topic_of(reading)
        return typed(topic.case(prompt, reading, case), lambda number: topic.case(prompt, reading, number), case)

    question.__doc__ = f"A typed question for a reading such as {example}, with the controls at ``start``."
    drill.__doc__ = f"The same as for practice case ``case`` of a reading such as {example}, and for the next ones."
    for function, what in ((question, "question"), (drill, "drill")):
        function.__name__ = function.__qualname__ = f"{name}_{what}"
    return question, drill
