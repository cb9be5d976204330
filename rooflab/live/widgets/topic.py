"""Live panels: controls for any number, readings with their reasoning, pictures and lists.

A *topic* says what can be moved, seen and read, and builds a state from it; ``TopicPanel`` answers for it what was
moved or typed: it keeps the last good state, the one before the last change and the kept one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from html import escape
from random import Random
from typing import Any, Generic, NamedTuple, Protocol, Self, TypeVar

from rooflab.base.findings import Finding
from rooflab.base.measure import InputError
from rooflab.base.rows import Reasoning, reading_text
from rooflab.checks.loads import CAUTION, EARLY_CHECK
from rooflab.draw.layout import STEPS, fit, fit_large
from rooflab.draw.scene import Layout, Scene, svg
from rooflab.job.jobfile import Job
from rooflab.job.values import House
from rooflab.lessons.questions import Question

from .ask import Ask, question_box
from .base import Content, guarded
from .controls import Boxes, Control, Field
from .frames import PAGE, Frames, frames, height_of, sentence_lines
from .job_desk import job_texts
from .panel import Panel
from .rows import Group, Row, readings_html
from .touch import Grip, Meaning, standing
from .touched import DETAIL_VIEW, Touched

DECIDE = "An early check: engineer, building official and manufacturer decide."
ROOM, ROOM_BELOW = (782, 392), 36  # of the pictures in a room, and of words below one, px
MOST_NAMES = 3  # of limits that a bar names for a verdict
ROOM_TEXT = 21.4  # of the texts in a room's pictures, px; 16 pt is 21.33 px


# --- topics ----------------------------------------------------------------------------------------------------------


class Entry(NamedTuple):
    """A line of the readings: key ("rows.reading"), short label, and the finding whose verdict stands beside it."""

    key: str
    label: str
    finding: str = ""


class TapeReadings:
    """Readings with their lengths as on a tape, short ones too."""

    tape = False  # the lengths are texts already

    def __init__(self, read: Callable[[str], Reasoning]) -> None:
        self._read = read

    def reading(self, name: str) -> Reasoning:
        """A reading with its reasoning."""
        w = self._read(name)
        return w._replace(value=w.text) if w.unit == "in" else w

    def text(self, name: str) -> str:
        """A reading's value as it is printed."""
        return reading_text(self.reading(name))


State = TypeVar("State")


class Topic(Generic[State]):
    """What a family of panels can move, see and read.  The state of ``build`` is the topic's own."""

    name = ""
    label = ""
    controls: tuple[Control, ...] = ()
    views: dict[str, str] = {}
    groups: dict[str, tuple[str, tuple[Entry, ...]]] = {}
    caution = CAUTION  # below every list
    bar_tells = True  # that a limit is missed; False where the sentence itself says what is wanted and what is there
    dims: Mapping[str, Meaning] = {}  # what each number on the drawings means, by the name of its text
    dims_in: Mapping[str, Mapping[str, Meaning]] = {}  # the same by view, where that is not what it means elsewhere

    def own(self) -> dict[str, str]:
        """Texts of boxes, by name, as the topic's own house has them; where it has none the controls' are the start."""
        return {}

    def build(self, boxes: Boxes) -> State:
        """The state for these values; InputError with every sentence."""
        raise NotImplementedError

    def numbers(self, state: State) -> dict[str, Any]:
        """The readings by family: what "strength" in "strength.moment" stands for."""
        raise NotImplementedError

    def findings(self, state: State) -> tuple[Finding, ...]:
        return ()

    def picture(self, view: str, state: State) -> Scene | str:
        """A scene, or the HTML of a list."""
        raise NotImplementedError

    def grips(self, view: str) -> tuple[Grip, ...]:
        """The handles on a drawing ("detail" is the one beside the picture), the most useful first."""
        return ()

    def hangs(self, boxes: Boxes) -> Any:
        """What the grips hang on for these values, the geometry alone; InputError where it cannot be drawn."""
        return None

    def wish_house(self, boxes: Boxes) -> House:
        """The house in which a number is wished for.  InputError where there is none."""
        raise InputError("No house stands behind this drawing: it cannot be worked backward here.")

    def sentence(self, state: State, view: str) -> str:
        raise NotImplementedError

    def headline(self, state: State, view: str) -> tuple[str, str]:
        """A verdict that the bar over the picture shows by shape and word ("" where it judges nothing), its words."""
        unmet, sentence = self.unmet(state), self.sentence(state, view)
        if not self.bar_tells or not self.findings(state) or unmet.keys() == {"ask"}:
            return "", sentence
        return verdict_first({word: names for word, names in unmet.items() if word == "misses"}, sentence)

    def unmet(self, state: State) -> dict[str, list[str]]:
        """The limits that are not met, names by verdict, the worse first."""
        names: dict[str, dict[str, None]] = {"misses": {}, "ask": {}}
        for finding in self.findings(state):
            if finding.verdict in names:
                names[finding.verdict][self.spoken(finding)] = None
        return {verdict: list(row) for verdict, row in names.items() if row}

    def detail(self, state: State) -> Scene | None:
        return None

    def below(self, view: str, state: State, size: str) -> str:
        """Words below a picture."""
        return ""

    def word(self, key: str, state: State) -> str:
        """A word beside a reading."""
        return ""

    def highest(self, state: State) -> dict[str, float]:
        """The highest numbers, by control, of sliders that end where another control lets them."""
        return {}

    def program_values(self, state: State) -> dict[str, float]:
        """The numbers, by control, where a slider stands that is left to the program ("by slope")."""
        return {}

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        """Controls of a practice case for a question of one family of readings."""
        raise NotImplementedError

    def givens(self, state: State, key: str) -> str:
        """What has to be known for a question."""
        raise NotImplementedError

    def question(self, prompt: str, state: State, key: str) -> Question:
        """The question for a reading such as "strength.moment"."""
        family, _, name = key.partition(".")
        return Question(prompt, self.numbers(state)[family], name)

    def case(self, prompt: str, key: str, number: int) -> Question:
        """The question for a reading of practice case ``number``, with what has to be known; the same everywhere."""
        state = self.read(self.start(self.practice(Random(number), key.partition(".")[0])))
        return self.question(f"{prompt} Case {number}: {self.givens(state, key)}.", state, key)

    def with_only(self, views: Sequence[str], groups: Sequence[str]) -> Self:
        """The topic where only these views and groups of readings are shown."""
        return self

    def on(self, job: Job) -> Self:
        """The topic of a job: one that holds a job is made of it."""
        return type(self)(job) if isinstance(getattr(self, "job", None), Job) else self  # type: ignore[call-arg]

    def beside(self, move: Mapping[str, str]) -> dict[str, str]:
        """What else the controls say where they stand as ``move`` says: the drawing that belongs to a type, say."""
        return {}

    # --- readings in words

    def row(self, entry: Entry, state: State, numbers: Mapping[str, Any], verdict: str) -> Row | None:
        """A line of the readings; None where the state has none."""
        family, _, name = entry.key.partition(".")
        return Row(entry.key, entry.label, numbers[family].text(name), self.word(entry.key, state), verdict)

    def reading(self, state: State, key: str) -> Reasoning:
        """A reading with its reasoning; a length as on a tape where the topic reads so."""
        family, _, name = key.partition(".")
        rows = self.numbers(state)[family]
        reading: Reasoning = rows.reading(name)
        return reading._replace(value=rows.text(name)) if rows.tape else reading

    def value_text(self, reading: Reasoning) -> str:
        """A reading's value as it is printed."""
        return reading_text(reading)

    def full_label(self, key: str, reading: Reasoning) -> str:
        """A reading's label where readings of several families stand together."""
        return reading.label

    def reasoning(self, state: State, key: str) -> str:
        """The reasoning of a reading: label = formula = formula with the numbers in = value."""
        w = self.reading(state, key)
        return " = ".join(filter(None, (w.label, w.formula, w.worked, self.value_text(w))))

    def spoken(self, finding: Finding) -> str:
        """What a finding is called in a note."""
        return finding.name.replace("_", " ")

    def closing(self, state: State, limits: str, keys: Sequence[str], crowded: bool) -> str:
        """What a note ends with: ``limits`` that are not met (HTML), and who decides.

        ``keys`` are the readings shown; ``crowded`` says that some sizes had no room in the picture.
        """
        return f"{limits} {DECIDE}"

    def plain(self, state: State, view: str, controls: Iterable[tuple[str, str]], groups: Sequence[Group]) -> list[str]:
        """Lines of plain text for a page without a kernel: the sentence, controls with their texts, readings."""
        lines = [self.headline(state, view)[1], *(f"  {label:<18} {text:>14}" for label, text in controls)]
        for title, rows in groups:
            lines += [title, *(f"  {row.label:<18} {row.text:>14}  {row.words}".rstrip() for row in rows)]
        return [*lines, EARLY_CHECK]

    # --- controls

    @property
    def followers(self) -> tuple[Control, ...]:
        """Controls that follow a number of the program's until a text is typed."""
        return tuple(control for control in self.controls if control.follow)

    def start(self, texts_at_start: Mapping[str, object]) -> dict[str, str]:
        """Every control's text at the start.  InputError for a control that is not there."""
        check_names("Control", texts_at_start, [control.name for control in self.controls])
        texts = {control.name: str(texts_at_start.get(control.name, control.start)) for control in self.controls}
        return texts | {follow_key(one): "no" if one.name in texts_at_start else "yes" for one in self.followers}

    def boxes(self, texts: Mapping[str, str | None]) -> Boxes:
        """The values for what is typed; InputError with every sentence."""
        problems: list[str] = []
        values = {control.name: control.value(texts[control.name], problems) for control in self.controls}
        if problems:
            raise InputError(tuple(dict.fromkeys(problems)))
        return values

    def read(self, texts: Mapping[str, str | None]) -> State:
        """The state for what is typed; InputError with every sentence."""
        return self.build(self.boxes(texts))


def verdict_first(unmet: Mapping[str, Sequence[str]], sentence: str) -> tuple[str, str]:
    """The worst verdict of limits that are not met, "fits" where all are, and a sentence with their names before it.

    >>> verdict_first({"ask": ["end notch"]}, "The planes run through.")
    ('ask', 'Ask: end notch. The planes run through.')
    """
    words = []
    for verdict, names in unmet.items():
        more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
        words.append(f"{verdict.capitalize()}: {', '.join(names[:MOST_NAMES])}{more}.")
    return next(iter(unmet), "fits"), " ".join([*words, sentence])


def check_names(what: str, names: Iterable[str], allowed: Sequence[str]) -> None:
    """InputError where one of the names is not among those allowed."""
    if unknown := [name for name in names if name not in allowed]:
        raise InputError(f"{what}: {', '.join(unknown)} is not one; give {', '.join(allowed)}.")


def follow_key(control: Control) -> str:
    """The name of the box that lets a control follow, as the page sends it."""
    return f"{control.name}_follows"


# --- the answer ------------------------------------------------------------------------------------------------------


class TopicPanel(Touched):
    """Answers for a topic: what was moved or typed in (``raw``, texts by name), all that is shown out; no widget."""

    only: Sequence[str] = ()  # the readings shown, by key; none: all
    _last_detail: tuple[object, str]

    def __init__(
        self, topic: Topic[Any], controls: Sequence[str], views: Sequence[str], groups: Sequence[str], size: str,
        start: Mapping[str, object],
    ) -> None:  # fmt: skip
        """``size`` is "" for everything, "small" for one idea at a time, "room" for a projector."""
        check_names("Control", controls, [control.name for control in topic.controls])
        check_names("View", views, list(topic.views))
        check_names("Group of readings", groups, list(topic.groups))
        self.topic, self.size = topic.with_only(views, groups), size
        self.controls = [control for control in topic.controls if control.name in controls]
        self.views, self.groups = tuple(views), tuple(groups)
        self.start = topic.start(start)
        self._raw: dict[str, str] = {}
        self._rows: tuple[Any, list[Group]] = (None, [])
        self._serial = 0
        self._last_content: Content = {}
        self._crowded = self._listed = False  # whether texts had no room in the picture; whether it is a list
        self._labels = [topic.views[name] for name in views]
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
        self._past: Any = None
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
        self._last_content = guarded(lambda: self._answer(raw), lambda sentence: self._refuse(raw, sentence), self)
        return self._last_content

    def _refuse(self, raw: dict[str, str], sentence: str) -> Content:
        """The last good picture under a sentence, for texts that could not be worked out."""
        if any(raw.get(name) != self._raw.get(name) for name in (*self.start, "_reset")):
            self._problems = (sentence,)
        content = self._last_content or self._answer({})  # an error here: the start itself cannot be shown
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
        self._change(now, raw.get("_run", ""))
        if keep:
            self.reference, self._kept = self._texts(), self.state
        if keep or reset and (before["_now"] or before["reference"]):
            self._steps = self._steps.change(before, None)
        elif now != before["_now"]:
            self._steps = self._steps.change(before, self._last_change)
        self._go_back(raw, old_raw)
        view = raw.get("_view", "") if raw.get("_view") in self.views else self.views[0]
        groups = self.rows()
        keys = [row.key for _, rows in groups for row in rows]
        why = raw.get("_why", "") if raw.get("_why") in keys else keys[0]
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
            "note": self._note(why, keys),
            "fields": self._fields(),
            "touch": self._touch(),
            "steps": self._steps_now(raw, old_raw),
            "stale": bool(self._problems),
            "verdict": verdict,
            "view": view,
            "why": why,
            "frames": self.frames.sizes | {"lines": self._lines[1], "page": [raw.get(one, "") for one in PAGE]},
        }

    def _change(self, now: dict[str, str], run: str) -> None:
        """Let these texts stand; where they cannot be drawn the last good picture stays, with what is wrong."""
        changes = frozenset(name for name in self.start if now.get(name) != self._now.get(name))
        if not changes:  # another view or reasoning changes nothing
            return
        old, old_state, self._now = self._texts(), self.state, now
        try:
            self.state, self._problems = self._build(now), ()
        except InputError as error:
            self._problems = error.problems
        else:
            if (changes, run) != self._last_change:
                self.before, self._past, self._last_change = old, old_state, (changes, run)

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
        detail = not self.size and type(self.topic).detail is not Topic.detail
        return frames(raw, self._labels, detail, self._lines[1])

    @property
    def frame(self) -> tuple[int, int]:
        """Width and height of the picture, px."""
        return ROOM if self.size == "room" else self.frames.picture

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
        pictures = (self.topic.picture(view, self.state) for view in (*self.views, *self.topic.views))
        return next(one for one in pictures if isinstance(one, Scene))

    def _picture(self, view: str) -> str:
        picture = self.topic.picture(view, self.state)
        self._crowded, self._listed = False, not isinstance(picture, Scene)
        if not isinstance(picture, Scene):
            self._sheets.pop("picture", None)
            return picture + f"<p>{escape(self.topic.caution)}</p>" * bool(self.topic.caution)
        (wide, tall), below = self.frame, ""
        if words := self.topic.below(view, self.state, self.size):
            tall -= ROOM_BELOW if self.size == "room" else height_of(words, wide)
            below = f'<div class="rl-below">{escape(words)}</div>'
        drawn = self._draw("picture", view, picture, (wide, tall), self.layout_of)
        self._crowded = bool(self._sheets["picture"].layout.dropped)
        return drawn + below

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
        groups = []
        for title, entries in (self.topic.groups[name] for name in self.groups):
            every = [self.topic.row(one, self.state, numbers, verdicts.get(one.finding, "")) for one in entries]
            lines = [row for row in every if row and (not self.only or row.key in self.only)]
            groups.append((title, lines))
        return [group for group in groups if group[1]]

    def _texts(self) -> dict[str, str]:
        return {row.key: row.text for _, rows in self.rows() for row in rows}

    def reading(self, key: str) -> Reasoning:
        """A reading of the present state with its reasoning."""
        return self.topic.reading(self.state, key)

    def _note(self, why: str, keys: Sequence[str]) -> str:
        """The reasoning of one reading, which limits are not met, and who decides; asked for after the picture."""
        parts = [(verdict.capitalize(), ", ".join(names)) for verdict, names in self.topic.unmet(self.state).items()]
        limits = " ".join(f"<b>{verdict}:</b> {escape(names)}." for verdict, names in parts)
        second = self.topic.closing(self.state, limits, keys, self._crowded)
        return f"<div>{escape(self.topic.reasoning(self.state, why))}</div><div>{second}</div>"

    def still(self) -> tuple[str, str]:
        """Plain text and the picture of the present state, for a page without a kernel."""
        fields = self._fields()
        controls = [(control.label, fields[control.name]["text"]) for control in self.controls]
        lines = self.topic.plain(self.state, self.views[0], controls, self.rows())
        frame = frames({}, self._labels).picture
        return "\n".join(lines), svg(fit(self.scene_now(), *frame), *frame)


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


# --- questions -------------------------------------------------------------------------------------------------------


class Asks(Protocol):
    """A typed question for a reading of a topic, with its controls at ``start``."""

    def __call__(self, prompt: str, reading: str, **start: object) -> Ask: ...


class Drill(Protocol):
    """The same for practice case ``case``, and for the next ones; the same number is the same case."""

    def __call__(self, prompt: str, reading: str, case: int = 1) -> Ask: ...


def questions_on(name: str, *kinds: type[Topic[Any]], example: str) -> tuple[Asks, Drill]:
    """The functions that ask about these topics and drill them, called after ``name``; ``example`` names readings."""

    def topic_of(reading: str) -> Topic[Any]:
        family = reading.partition(".")[0]
        if len(kinds) > 1:
            check_names("Topic", [family], [kind.name for kind in kinds])
        return next(kind for kind in kinds if kind.name == family or len(kinds) == 1)()

    def question(prompt: str, reading: str, **start: object) -> Ask:
        topic = topic_of(reading)
        return question_box(topic.question(prompt, topic.read(topic.start(start)), reading))

    def drill(prompt: str, reading: str, case: int = 1) -> Ask:
        topic = topic_of(reading)
        return question_box(topic.case(prompt, reading, case), lambda number: topic.case(prompt, reading, number), case)

    question.__doc__ = f"A typed question for a reading such as {example}, with the controls at ``start``."
    drill.__doc__ = f"The same as for practice case ``case`` of a reading such as {example}, and for the next ones."
    for function, what in ((question, "question"), (drill, "drill")):
        function.__name__ = function.__qualname__ = f"{name}_{what}"
    return question, drill
