"""The live review of a returned drawing: numbers typed or pasted, verdicts, causes, profiles laid over each other."""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import Any, NamedTuple

import anywidget
import traitlets

from ..house import RafterBay, ScissorBay
from ..inputs import read_word, stop_on
from ..items import ITEMS, label, printed_length, read_items, split
from ..jobfile import Job, example
from ..measure import InputError, feet_inches, pitch, pitch_text, sixteenth
from ..overlays import TIMES, laid_over
from ..readings import Worked
from ..reply import write_reply
from ..returned import DEFER, RESOLVE, Review, review
from ..scene import Scene
from .controls import Control, choice
from .job import FOLDER, Desk, free
from .panel import HERE, Panel
from .topic import Entry, Topic, panel_of

NOT_SHOWN = "not shown"
# Three drawings of our own making for the house of the workbooks (26 ft, 8 in 12, heel 8 13/16, ceiling 4 in 12).
SETS: dict[str, dict[str, str]] = {
    "honest": {
        "span": "26-00-00", "pitch": "8.00", "ceiling_pitch": "4.00", "overhang": "01-04-00", "bearing": "00-05-08",
        "heel": "00-08-13", "height": "09-04-13", "ceiling_rise": "04-02-03", "depth_at_peak": "05-02-10",
        "tail_top": "-00-01-14",
    },
    "one slip": {
        "span": "26-00-00", "pitch": "8.00", "ceiling_pitch": "4.00", "overhang": "01-04-00", "bearing": "00-05-08",
        "heel": "00-11-02", "height": "09-07-02", "ceiling_rise": "04-02-03", "depth_at_peak": "05-04-15",
        "tail_top": "00-00-07",
    },
    "contradiction": {
        "span": "26-00-00", "pitch": "8.00", "ceiling_pitch": "4.00", "overhang": "01-04-00", "bearing": "00-05-08",
        "heel": "00-08-13", "height": "09-04-13", "ceiling_rise": "04-04-00", "depth_at_peak": "05-02-10",
        "tail_top": "-00-01-14",
    },
}  # fmt: skip
RANGES = {
    "span": (240, 420, 0.5), "pitch": (3, 14, 0.25), "ceiling_pitch": (0, 8, 0.25), "overhang": (4, 30, 0.0625),
    "bearing": (2, 9, 0.25), "heel": (3, 18, 0.0625), "height": (72, 168, 0.0625), "ceiling_rise": (12, 96, 0.0625),
    "depth_at_peak": (24, 120, 0.0625), "tail_top": (-12, 12, 0.0625),
}  # fmt: skip
SHORT = {"height": "Height", "depth_at_peak": "Peak depth", "ceiling_pitch": "Ceiling pitch", "tail_top": "Top of tail"}


def _control(name: str) -> Control:
    """A box for a number of a drawing; "not shown" leaves it out."""
    item = ITEMS[name]

    def read(text: str, problems: list[str]) -> float:
        try:
            return pitch(text, item.label) if item.kind == "pitch" else printed_length(text, item.label)
        except InputError as error:
            problems.extend(error.problems)
            return float("nan")

    def show(value: float) -> str:
        if item.kind == "pitch":
            return pitch_text(value)
        return feet_inches(value) if sixteenth(value) == value else f'{value:.10g}"'

    text = SETS["honest"][name]
    return Control(name, SHORT.get(name, item.label), *RANGES[name], text, read, show, (), NOT_SHOWN)


# Pasted items that have no box, one end's or the chord; no row of the panel.
PASTED = Control("pasted", "Pasted", 0, 0, 1, "{}", lambda text, problems: json.loads(text), str)


class State(NamedTuple):
    """The truss asked for, the rafters its heel came from, the review of what came back, and how large to draw it."""

    scissor: ScissorBay
    rafters: RafterBay
    review: Review
    times: int


class _Asked:
    """Readings of the truss asked for, with their formulas."""

    def __init__(self, state: State) -> None:
        self.bay = state.scissor

    def worked(self, name: str) -> Worked:
        return self.bay.reading(name)

    def text(self, name: str) -> str:
        return self.worked(name).text


class _Back:
    """The same readings as they came back, held against those asked for."""

    def __init__(self, state: State) -> None:
        self.lines = {split(line.item)[0].name: line for line in reversed(state.review.lines)}

    def worked(self, name: str) -> Worked:
        line = self.lines[name]
        said = f"{line.texts[0]}, difference"
        if line.returned is None or line.difference is None:
            return Worked(name, line.texts[0], NOT_SHOWN, "in", "", "")
        return Worked(
            name, said, line.difference, "in", "returned − asked for", f"{line.returned:.10g} − {line.intended:.10g}"
        )

    def text(self, name: str) -> str:
        return self.lines[name].texts[2]


class _Whole:
    """How much of the drawing differs."""

    LABELS = {
        "resolve": "To resolve",
        "against itself": "Contradictions",
        "fits": "Causes that fit",
        "missing": "Not shown",
    }

    def __init__(self, state: State) -> None:
        one = state.review
        self.counts = {
            "resolve": len(one.of(RESOLVE)), "against itself": len(one.contradictions), "fits": len(one.causes),
            "missing": len(one.of(NOT_SHOWN)),
        }  # fmt: skip

    def worked(self, name: str) -> Worked:
        return Worked(name, self.LABELS[name], str(self.counts[name]), "", "", "")

    def text(self, name: str) -> str:
        return str(self.counts[name])


READ = ("heel", "height", "ceiling_rise", "depth_at_peak")
WORDS = {"heel": "Heel", "height": "Overall height", "ceiling_rise": "Ceiling rise", "depth_at_peak": "Depth at peak"}


class Checking(Topic):
    """A returned drawing of one truss type, held against the job's."""

    name = "checking"
    label = "Returned drawing"
    controls = (
        *(_control(name) for name in RANGES),
        choice("times", "Drawn", tuple(f"{n} x" for n in TIMES), "5 x"),
        PASTED,
    )
    views = {"lines": "Line by line", "causes": "Contradictions and causes", "overlay": "Laid over each other"}
    groups = {
        "asked": ("Asked for", tuple(Entry(f"asked.{name}", WORDS[name]) for name in READ)),
        "returned": ("Returned", tuple(Entry(f"returned.{name}", WORDS[name]) for name in READ)),
        "whole": ("Whole drawing", tuple(Entry(f"whole.{name}", text) for name, text in _Whole.LABELS.items())),
    }

    def __init__(self, job: Job, mark: str = "") -> None:
        marks = {kind.mark: kind for kind in job.types}
        problems: list[str] = []
        if mark:
            read_word("Type", mark, tuple(marks), problems)
        stop_on(problems)
        self.job, self.mark = job, mark or next(iter(marks), "")
        self.bay = marks[self.mark].bay(job.scissor) if self.mark else job.scissor

    def build(self, given: dict[str, Any]) -> State:
        shown = {name: value for name, value in given.items() if name != "times" and value is not None}
        extra = shown.pop("pasted")
        clash = {split(key)[0].name for key in extra}
        found = {**{name: value for name, value in shown.items() if name not in clash}, **extra}
        times = int(str(given["times"]).split()[0])
        return State(self.bay, self.job.rafters, review(self.bay, found, self.job.rafters), times)

    def numbers(self, state: State) -> dict[str, Any]:
        return {"asked": _Asked(state), "returned": _Back(state), "whole": _Whole(state)}

    def word(self, key: str, state: State) -> str:
        family, _, name = key.partition(".")
        return _Back(state).lines[name].verdict if family == "returned" else ""

    def sentence(self, state: State, view: str) -> str:
        return state.review.sentence

    def picture(self, view: str, state: State) -> Scene | str:
        if view == "overlay":
            return laid_over(state.review, state.times)
        return lines_html(state.review) if view == "lines" else causes_html(state.review)


def lines_html(one: Review) -> str:
    """Every item with its verdict and what its difference would do."""
    rows = "".join(
        "<tr>" + "".join(f'<td style="white-space: nowrap">{escape(cell)}</td>' for cell in line.texts)
        + f"<td>{f'<b>{line.verdict}</b>' if line.verdict == RESOLVE else line.verdict}</td>"
        f"<td>{escape(line.consequence)}</td></tr>"
        for line in one.lines
    )  # fmt: skip
    heads = ("Item", "Asked for", "Returned", "Difference", "Verdict", "What it would do on the roof")
    return f'<table class="rl-list"><tr>{"".join(f"<th>{name}</th>" for name in heads)}</tr>{rows}</table>'


def causes_html(one: Review) -> str:
    """Contradictions, the numbers that would repair them, and the slips that fit."""
    rows = [("Contradiction", found.sentence) for found in one.contradictions]
    rows += (
        [("Repair", one.repair_sentence)] if one.contradictions else [("Contradictions", "None: its numbers agree.")]
    )
    rows += [(f"Fits: {cause.slip}", f"{cause.sentence} Explains: {_names(cause.explains)}.") for cause in one.causes]
    rows.append(("Cause", one.cause_sentence))
    body = "".join(f"<tr><td><b>{escape(head)}</b></td><td>{escape(text)}</td></tr>" for head, text in rows)
    return f'<table class="rl-list">{body}</table><p>{escape(DEFER)}</p>'


def _names(items: Sequence[str]) -> str:
    return ", ".join(label(item).lower() for item in items)


def checking(
    drawing: str = "honest",
    controls: Sequence[str] = (),
    views: Sequence[str] = (),
    groups: Sequence[str] = (),
    size: str = "",
    locked: bool = False,
    job: Job | None = None,
    mark: str = "",
    **start: Any,
) -> Panel:
    """A returned drawing as a panel: one of "honest", "one slip", "contradiction", or "" for an empty one.

    ``job`` and ``mark`` say what was asked for (none: the house of the workbooks); other arguments are numbers on the
    drawing at the start.  InputError for a drawing, type or control that is not there.
    """  # fmt: skip
    problems: list[str] = []
    read_word("Drawing", drawing, (*SETS, ""), problems)
    stop_on(problems)
    first = SETS[drawing] if drawing else {**dict.fromkeys(RANGES, NOT_SHOWN), "span": "26'"}
    shown = controls or (*RANGES, "times")
    return panel_of(Checking(job or example(), mark), shown, views, groups, size, locked, {**first, **start})


# --- a table pasted, a reply sent ------------------------------------------------------------------------------------


class Paste(anywidget.AnyWidget):
    """A box for a pasted CSV and buttons; what came of it stands below, and the panel shows the drawing."""

    _esm = HERE / "review.js"
    _css = HERE / "ask.css"
    setup = traitlets.Dict().tag(sync=True)
    given = traitlets.Dict().tag(sync=True)
    text = traitlets.Unicode("").tag(sync=True)
    answer = traitlets.Unicode("").tag(sync=True)
    turn = traitlets.Int(0).tag(sync=True)

    def __init__(self, panel: Panel) -> None:
        self._panel = panel
        buttons = [["review", "Review it"], *([name, f"Our drawing: {name}"] for name in SETS)]
        prompt = "Paste a table here (item, value, remark), one row an item; it replaces the numbers below."
        super().__init__(setup={"prompt": prompt, "buttons": buttons}, text=table_of("honest"))
        self.observe(self._press, "given")

    def _press(self, change: Any) -> None:
        what, text = str(self.given.get("do", "review")), str(self.given.get("text", ""))
        if what in SETS:
            text = table_of(what)
        self.text = text
        try:
            self.answer = put_in(self._panel, text)
        except InputError as error:
            self.answer = "<b>Not taken.</b> " + " ".join(escape(problem) for problem in error.problems)
        self.turn += 1

    def press(self, do: str = "review", text: str = "") -> str:
        """Press a button from code, with what stands in the box; the answer."""
        self.given = {"do": do, "text": text, "turn": self.turn + 1}
        return self.answer

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        bundle = super()._repr_mimebundle_(**kwargs)
        data, meta = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        buttons = "  ".join(f"[ {name} ]" for _, name in self.setup["buttons"])
        return {
            **data,
            "text/plain": "\n".join([self.setup["prompt"], *table_of("honest").splitlines(), buttons]),
        }, meta


def table_of(name: str) -> str:
    """One of our drawings as a CSV."""
    return "item,value,remark\n" + "".join(f"{item},{value},\n" for item, value in SETS[name].items())


def put_in(panel: Panel, text: str) -> str:
    """Show a pasted drawing in a panel; what could be read, in words.  InputError with every sentence."""
    if panel.locked:
        raise InputError("The picture is still locked: choose a prediction first.")
    found = read_items(text)
    boxes = {control.name for control in panel.responder.controls}
    extra = {key: shown.text for key, shown in found.items() if key not in boxes}
    texts = {name: found[name].text if name in found else NOT_SHOWN for name in boxes if name != "times"}
    panel.set(**texts, pasted=json.dumps(extra))
    state: State = panel.responder.state
    return f"<b>{len(found)} numbers read.</b> {escape(state.review.sentence)}"


def paste(panel: Panel) -> Paste:
    """A box to paste a returned drawing's table into a panel of ``checking``."""
    return Paste(panel)


KINDS = {"pdf": ("Write the reply as PDF", ".pdf"), "csv": ("as CSV", ".csv")}


def reply(panel: Panel, folder: str | os.PathLike[str] = FOLDER) -> Desk:
    """A form that writes the reply to the drawing in a panel as a new file in a folder beside the workbook."""
    fields = [
        ("note", "Your note", ""), ("questions", "Your questions, with / between them (empty: ours)", ""),
        ("ticked", "Points found, such as 1 2 5 13 (empty: not looked at)", ""),
    ]  # fmt: skip

    def act(do: str, values: dict[str, str]) -> str:
        if panel.shown["stale"]:
            raise InputError("The panel shows what cannot be read; put that right first.")
        state: State = panel.responder.state
        topic: Checking = panel.responder.topic
        place, ticks = Path(folder), _ticks(values.get("ticked", ""))
        questions = [text.strip() for text in values.get("questions", "").split("/") if text.strip()] or None
        try:
            place.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise InputError(f"Folder {place.name}: cannot be made ({error.strerror or error}).") from None
        target = free(place, f"reply {topic.job.title} {topic.mark}", KINDS[do][1])
        title = f"{topic.job.title}, type {topic.mark}"
        write_reply(state.review, target, title, values.get("note", ""), questions, state.times, ticks)
        shown = escape(target.as_posix())
        link = f'<a class="rl-file" data-file="{shown}" target="_blank" rel="noopener">{escape(target.name)}</a>'
        return f"<b>Written:</b> {link}. It states conformance with the design intent only and approves nothing."

    return Desk(
        "The reply; an older file is never written over.", {do: row[0] for do, row in KINDS.items()}, act, fields
    )


def _ticks(text: str) -> list[int]:
    words = text.replace(",", " ").split()
    bad = [word for word in words if not word.isascii() or not word.isdigit()]
    stop_on(f"Points found: {word[:20]} is no number from 1 to 16." for word in bad[:1])
    return [int(word) for word in words]
