"""Practice on the page: any reading or a mix, new numbers from a seed, three levels, hints one by one."""

from __future__ import annotations

from html import escape
from typing import Any

import traitlets

from rooflab.base.inputs import read_word, stop_on
from rooflab.base.measure import InputError
from rooflab.lessons.exercises import KINDS, LABELS, draw, order
from rooflab.lessons.questions import Blank, Choice, Question
from rooflab.lessons.random_houses import seed_text

from .ask import question_picture, verdict_html
from .base import OTHER_QUESTION, Content, Form, script, style

MIX = "mix"
MOST_ACTS = 30  # on one question, that are kept
RUNGS = {"worked": "Worked: every step is shown", "half": "Half-worked: fill the blanks", "own": "Your own"}
FAMILIES = {"rafter": "Rafters", "scissor": "Trusses", "jog": "A wall set in", "sense": "Which way, and may that be?"}
CAUTION = (
    "For learning. Local code and licensed people decide: the engineer, the truss designer, the building official."
)


def kinds_of(names: tuple[str, ...]) -> tuple[str, ...]:
    """The kinds of questions from names of kinds ("rafter.heel") and of families ("jog"); all without a name."""
    problems: list[str] = []
    for name in names:
        if name not in KINDS and name not in FAMILIES:
            read_word("Practice", name, (*FAMILIES, "the name of a kind such as rafter.heel"), problems)
    stop_on(problems)
    choice = names or tuple(FAMILIES)
    return tuple(kind for kind in KINDS if kind in choice or kind.partition(".")[0] in choice)


class Session:
    """What is practiced: the kinds offered, the seed, the level and the question in hand; no widget yet."""

    def __init__(self, kinds: tuple[str, ...], seed: object, rung: str) -> None:
        problems: list[str] = []
        read_word("Level", rung, tuple(RUNGS), problems)
        stop_on(problems)
        self.kinds, self.kind, self.rung, self.seed = kinds, MIX if len(kinds) > 1 else kinds[0], rung, seed_text(seed)
        self.question: Question | Choice
        self.go(1)

    def go(self, number: int) -> None:
        """Question ``number`` of the seed."""
        self.number, self.hint_count, self.has_tried = number, 0, False
        if self.kind == MIX:
            kind, turn = order(self.seed, number, self.kinds)[-1]
        else:
            kind, turn = self.kind, number
        self.question = draw(kind, self.seed, turn).question
        self.answer = f"Question {number}, seed {escape(self.seed)}."
        self.marks = [""] * len(self.blanks)

    @property
    def blanks(self) -> tuple[Blank, ...]:
        return tuple(self.question.blanks) if self.rung == "half" else ()

    @property
    def of(self) -> str:
        """The question in hand, by name."""
        return " ".join((self.kind, self.rung, self.seed, str(self.number)))

    @property
    def page(self) -> Content:
        """All that is seen but the feedback."""
        question, lines = self.question, []
        if self.rung == "worked":
            lines = question.lines()
        elif self.rung == "half" and isinstance(question, Question):
            lines = question.slopes
        elif self.rung == "half":
            lines = list(question.hints[:1])
        return {
            "kind": self.kind, "rung": self.rung, "seed": self.seed, "number": self.number,
            "picture": question_picture(question), "prompt": question.prompt, "lines": lines,
            "blanks": [blank.label for blank in self.blanks],
            "choices": [] if self.rung == "worked" else list(question.choices),
            "unit": question.unit, "asks": self.rung == "own" or (self.rung == "half" and bool(question.choices)),
            "of": self.of, "hints": len(question.hints) - self.hint_count,
            "show": self.has_tried or self.hint_count > 0,
        }  # fmt: skip

    def do(self, what: str, value: str = "", at: int = 0) -> None:
        """Act on what was pressed: check, hint, show, next, kind, rung or seed.

        ``value`` of a hint is how many were left (empty: any).  InputError for what is not there (any more).
        """
        if what == "check" and self.blanks:
            if at not in range(len(self.blanks)):
                raise InputError(OTHER_QUESTION)
            self.has_tried = True
            self.marks[at] = verdict_html(self.blanks[at].judge(value))
        elif what == "check":
            self.has_tried = True
            self.answer = verdict_html(self.question.judge(value))
        elif what == "hint" and value not in ("", str(len(self.question.hints) - self.hint_count)):
            raise InputError(OTHER_QUESTION)
        elif what == "hint" and self.hint_count < len(self.question.hints):
            self.hint_count += 1
            hints, number = self.question.hints, self.hint_count
            self.answer = f"<b>Hint {number} of {len(hints)}.</b> {escape(hints[number - 1])}"
        elif what == "show" and (self.has_tried or self.hint_count):
            self.answer = escape(self.question.show())
        elif what == "next":
            self.go(self.number + 1)
        elif what == "kind" and value in (MIX, *self.kinds):
            self.kind = value
            self.go(1)
        elif what == "rung" and value in RUNGS:
            self.rung = value
            self.go(self.number)
        elif what == "seed":
            try:
                self.seed = seed_text(value)
            except InputError as error:
                self.answer = escape(" ".join(error.problems))
            else:
                self.go(1)


class Practice(Form):
    """The widget of a practice session: read, act, show."""

    _esm = script("practice.js")
    _css = style("ask.css")
    page = traitlets.Dict().tag(sync=True)
    marks: Any = traitlets.List().tag(sync=True)

    def __init__(self, session: Session) -> None:
        self.session = session
        kinds: list[tuple[str, str, str]] = [(MIX, "A mix of all", "")] if len(session.kinds) > 1 else []
        kinds += [(kind, LABELS[kind], FAMILIES[kind.partition(".")[0]]) for kind in session.kinds]
        self._acts: list[tuple[str, str, int]] = []  # on the question in hand
        super().__init__(setup={"kinds": kinds, "rungs": list(RUNGS.items()), "caution": CAUTION}, **self._seen())
        self.resume(f"practice: {session.of} of {len(session.kinds)} kinds")

    def _seen(self) -> Content:
        return {"page": self.session.page, "answer": self.session.answer, "marks": list(self.session.marks)}

    def _answer(self) -> None:
        message, at = self.message, self.message.get("at", 0)
        if message.get("do") in ("check", "hint", "show", "next"):
            self._meant_for(self.session.of)
        self._do(str(message.get("do", "")), str(message.get("value", "")), at if type(at) is int else -1)
        self.show(self._seen())

    def _do(self, what: str, value: str, at: int) -> None:
        before = self.session.of
        self.session.do(what, value, at)
        self._acts = [*self._acts, (what, value, at)][-MOST_ACTS:] if self.session.of == before else []

    def doings(self) -> Content:
        now = self.session
        return {"kind": now.kind, "rung": now.rung, "seed": now.seed, "number": now.number,
                "acts": [list(act) for act in self._acts]}  # fmt: skip

    def do_again(self, doings: Content) -> None:
        for what in ("seed", "kind", "rung"):
            self.session.do(what, str(doings[what]))
        self.session.go(int(doings["number"]))
        for what, value, at in doings["acts"]:
            self._do(str(what), str(value), int(at))
        self.show(self._seen())

    def give(self, do: str, value: str = "", at: int = 0) -> str:
        """The feedback's text after an act from code."""
        answer = self._press(do=do, value=value, at=at)
        return str(self.marks[at]) if self.marks and do == "check" else answer

    def still(self) -> dict[str, str]:
        page = self.session.page
        blanks = [f"  {label} = ________" for label in page["blanks"]]
        choices = [f"  ( ) {choice}" for choice in page["choices"]]
        answer = [f"  ________ ({page['unit']})"] if page["asks"] and not choices else []
        lines = [f"Practice, seed {page['seed']}, question {page['number']}: {page['prompt']}", *page["lines"]]
        return {"text/plain": "\n".join([*lines, *blanks, *choices, *answer])}


def practice(*kinds: str, seed: object = 1, rung: str = "own") -> Practice:
    """Questions with new numbers, for as long as one likes: any reading or a mix, on one of three levels.

    ``kinds`` are names such as "rafter.heel", or families: "rafter", "scissor", "jog", "sense"; all where none is
    given.  The same ``seed``, a word or a whole number, gives a class the same questions.  ``rung`` is "worked", "half"
    or "own".  InputError for anything else.
    """
    return Practice(Session(kinds_of(kinds), seed, rung))
