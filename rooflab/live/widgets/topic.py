"""Topics: what can be moved, seen and read, and the state that is built from it.

``TopicPanel`` in ``topic_panel`` answers for a topic what was moved or typed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from random import Random
from typing import Any, Generic, NamedTuple, Protocol, Self, TypeVar

from rooflab.base.findings import Finding
from rooflab.base.measure import InputError
from rooflab.base.rows import Reasoning, reading_text
from rooflab.checks.loads import CAUTION, EARLY_CHECK
from rooflab.draw.scene import Point, Scene
from rooflab.draw.views.key import Half, key_scene
from rooflab.draw.views.question import quiet_scene
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job
from rooflab.job.values import House
from rooflab.lessons.questions import Question

from .ask import Ask, question_box
from .controls import Boxes, Control
from .rows import Group, Row
from .touch import Grip, Meaning

NOTHING = Meaning()
FAMILIES = {"cut": "rafter", "": "rafter", "truss": "scissor"}  # of readings, as what can be wished for calls them

DECIDE = "An early check: engineer, building official and manufacturer decide."
MOST_NAMES = 3  # of limits that a bar names for a verdict


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
    bar_tells = True  # in words that a limit is missed; False where the sentence says what is wanted and what is there
    dims: Mapping[str, Meaning] = {}  # what each number on the drawings means, by the name of its text
    beside_questions: Mapping[str, str] = {}  # the view beside a question on a reading, or on a family
    press_views: tuple[str, ...] = ()  # views whose every point can be taken by a press
    pulled_anywhere = ""  # the grip that a pull moves which begins beside all that can be touched
    cuts: Mapping[str, tuple[Half, ...]] = {}  # which halves of which bays the views that are sections show
    dims_in: Mapping[str, Mapping[str, Meaning]] = {}  # the same by view, where that is not what it means elsewhere

    def comparable(self, before: State, now: State) -> bool:
        """Whether what was there before says something beside what is there now: not where it is another thing."""
        return True

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

    def picture_for(self, view: str, state: State, frame: tuple[float, float], letters: float) -> Scene | str:
        """The picture for a frame and a height of letters, px: where a drawing is a field of the frame's size."""
        return self.picture(view, state)

    def key(self, view: str, state: State) -> Scene | None:
        """The key beside a view that shows halves of bays; None beside another one."""
        return key_scene(self.cuts[view], *self.key_bays(state)) if view in self.cuts else None

    def key_bays(self, state: State) -> tuple[RafterBay | ScissorBay, ...]:
        """The rafters, and the types of trusses behind them, as a key shows them."""
        raise NotImplementedError

    def texts_at(
        self, view: str, state: State, at: Point, frame: tuple[float, float], letters: float
    ) -> dict[str, str]:
        """The texts of controls for a point of such a field, in units of its drawing; none where there is nothing."""
        return {}

    def grips(self, view: str) -> tuple[Grip, ...]:
        """The handles on a drawing ("detail" is the one beside the picture), the most useful first."""
        return ()

    def hangs(self, boxes: Boxes) -> Any:
        """What the grips hang on for these values, the geometry alone; InputError where it cannot be drawn."""
        return None

    def hung(self, state: State, texts: Mapping[str, str | None]) -> Any:
        """The same for a state and the texts that made it."""
        return self.hangs(self.boxes(texts))

    def wish_house(self, boxes: Boxes) -> House:
        """The house in which a number is wished for.  InputError where there is none."""
        raise InputError("No house stands behind this drawing: it cannot be worked backward here.")

    def sentence(self, state: State, view: str) -> str:
        raise NotImplementedError

    def headline(self, state: State, view: str) -> tuple[str, str]:
        """A verdict that the bar over the picture shows by shape and word ("" where it judges nothing), its words."""
        unmet, sentence = self.unmet(state), self.sentence(state, view)
        if not self.findings(state) or unmet.keys() == {"ask"}:
            return "", sentence
        if not self.bar_tells:
            return "misses" if "misses" in unmet else "", sentence
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

    def case_of(self, prompt: str, key: str, number: int) -> tuple[Question, State]:
        """The question for a reading of practice case ``number``, with what has to be known, and the case's state."""
        state = self.read(self.start(self.practice(Random(number), key.partition(".")[0])))
        return self.question(f"{prompt} Case {number}: {self.givens(state, key)}.", state, key), state

    def case(self, prompt: str, key: str, number: int) -> Question:
        """The question alone; the same everywhere."""
        return self.case_of(prompt, key, number)[0]

    def case_scene(self, question: Question, state: State, key: str) -> Scene | None:
        """The drawing beside a question on a reading, what is asked for marked where it is seen; None where none fits.

        It is the view that ``beside_questions`` names for it or its family, else the first one that shows the reading.
        """
        family, _, reading = key.rpartition(".")
        meant, found = f"{FAMILIES.get(family, family)}.{reading}", {}
        for view in self.views:
            scene = self.picture(view, state)
            if not isinstance(scene, Scene) or view in self.press_views:
                continue
            means = {**self.dims, **self.dims_in.get(view, {})}
            names = {one.name for one in scene.dims} | {one.name for one in scene.notes}
            asked = {
                name for name in names
                if name.replace(" ", "_") == reading or means.get(name, NOTHING).reading == meant
            }  # fmt: skip
            found[view] = asked, scene
        beside = self.beside_questions.get(key, self.beside_questions.get(family, ""))
        chosen = beside or next((view for view, (asked, _) in found.items() if asked), "")
        if chosen not in found:
            return None
        asked, scene = found[chosen]
        return quiet_scene(scene, question.row.label, asked, question.prompt, question.text)

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
        state = topic.read(topic.start(start))
        one = topic.question(prompt, state, reading)
        return question_box(one, scene=lambda _: topic.case_scene(one, state, reading))

    def drill(prompt: str, reading: str, case: int = 1) -> Ask:
        topic = topic_of(reading)

        def scene(number: int) -> Scene | None:
            one, state = topic.case_of(prompt, reading, number)
            return topic.case_scene(one, state, reading)

        first = topic.case(prompt, reading, case)
        return question_box(first, lambda number: topic.case(prompt, reading, number), case, scene)

    question.__doc__ = f"A typed question for a reading such as {example}, with the controls at ``start``."
    drill.__doc__ = f"The same as for practice case ``case`` of a reading such as {example}, and for the next ones."
    for function, what in ((question, "question"), (drill, "drill")):
        function.__name__ = function.__qualname__ = f"{name}_{what}"
    return question, drill
