"""The live review of returned drawings: numbers typed or pasted, verdicts, causes, profiles laid over each other."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from math import inf
from typing import TypeVar

import traitlets

from rooflab.base.inputs import Input, read_word, stop_on
from rooflab.base.measure import InputError
from rooflab.base.rows import Reading, Reasoning, Rows
from rooflab.draw.scene import Scene
from rooflab.draw.views.key import both_halves
from rooflab.draw.views.review import TIMES, review_overlay
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job, example
from rooflab.live.widgets.base import Form, script, style
from rooflab.live.widgets.controls import Boxes, Control, choice_control, range_control
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic import Entry, Topic
from rooflab.live.widgets.topic_panel import panel_of
from rooflab.live.widgets.touch import says
from rooflab.shop.items import ITEMS, DrawingValue, drawing_length, item_and_end, label, read_items
from rooflab.shop.review import AGREES, DEFER, RESOLVE, Review, ReviewLine, review

NOT_SHOWN = "not shown"
# Drawings of our own making for the house of the workbooks (26 ft, 8 in 12, heel 8 13/16, ceiling 4 in 12); the last
# one is of its short type, on a wall set in by 24 in.
SETS: dict[str, dict[str, str]] = {
    "honest": {
        "span": "26-00-00", "pitch": "8.00", "ceiling_pitch": "4.00", "overhang": "01-04-00", "bearing": "00-05-08",
        "heel": "00-08-13", "height": "09-04-13", "ceiling_rise": "04-02-03", "depth_at_peak": "05-02-10",
        "tail_top": "-00-01-14",
    },
    "one mistake": {
        "span": "26-00-00", "pitch": "8.00", "ceiling_pitch": "4.00", "overhang": "01-04-00", "bearing": "00-05-08",
        "heel": "00-11-02", "height": "09-07-02", "ceiling_rise": "04-02-03", "depth_at_peak": "05-04-15",
        "tail_top": "00-00-07",
    },
    "contradiction": {
        "span": "26-00-00", "pitch": "8.00", "ceiling_pitch": "4.00", "overhang": "01-04-00", "bearing": "00-05-08",
        "heel": "00-08-13", "height": "09-04-13", "ceiling_rise": "04-04-00", "depth_at_peak": "05-02-10",
        "tail_top": "-00-01-14",
    },
    "short truss": {
        "span": "24-00-00", "pitch": "8.00", "ceiling_pitch": "4.00", "overhang_left": "03-04-00",
        "overhang_right": "01-04-00", "bearing_left": "00-03-08", "bearing_right": "00-05-08",
        "heel_left": "01-04-13", "heel_right": "00-08-13", "plate_left": "00-07-05", "height": "09-04-13",
        "ceiling_rise": "04-02-03", "depth_at_peak": "05-02-10",
    },
}  # fmt: skip
OF_TYPE = {"short truss": "B"}  # the others are drawings of the first type
RANGES = {
    "span": (240, 420, 0.5), "pitch": (3, 14, 0.25), "ceiling_pitch": (0, 8, 0.25), "overhang": (4, 30, 0.0625),
    "bearing": (2, 9, 0.25), "heel": (3, 18, 0.0625), "height": (72, 168, 0.0625), "ceiling_rise": (12, 96, 0.0625),
    "depth_at_peak": (24, 120, 0.0625), "tail_top": (-12, 12, 0.0625),
}  # fmt: skip
SHORT = {"height": "Height", "depth_at_peak": "Peak depth", "ceiling_pitch": "Ceiling pitch", "tail_top": "Top of tail"}


def _control(name: str) -> Control:
    """A box for a number of a drawing, any number; "not shown" leaves it out."""
    item = ITEMS[name]
    row, how = Input(name, item.label, item.kind, -inf, inf), None if item.kind == "pitch" else drawing_length
    control = range_control(row, *RANGES[name], SETS["honest"][name], how)
    return control._replace(label=SHORT.get(name, item.label), word=NOT_SHOWN)


TIMES_CONTROL = choice_control("times", "Drawn", tuple(f"{n} x" for n in TIMES), "5 x", ordered=True)
# Pasted items that have no box, one end's or the chord; no row of the panel.
PASTE_CONTROL = Control("pasted", "Pasted", 0, 0, 1, "{}", lambda text, problems: json.loads(text), str)


@dataclass(frozen=True)
class ReviewState:
    """Type and truss asked for, the rafters its heel came from, the review of what came back, how large to draw it."""

    mark: str
    scissor: ScissorBay
    rafters: RafterBay
    review: Review
    times: int


ASKED = says("What was asked for is the job file's; what came back is typed in the boxes beside the picture.")
WHOLE = {
    "resolve": "To resolve",
    "against itself": "Contradictions",
    "fits": "Causes that fit",
    "missing": "Not shown",
}


def _texts(rows: Mapping[str, tuple[str, str]]) -> Rows:
    """Readings that are texts already, by name: label and text."""
    return Rows(
        tuple(Reading(name, label, "", "", "", lambda text=text: text, "") for name, (label, text) in rows.items()), {}
    )


def lines_of(one: Review) -> dict[str, ReviewLine]:
    """A review's lines by the item's name; of an item with two ends, the first."""
    return {item_and_end(line.item)[0].name: line for line in reversed(one.lines)}


READ = ("heel", "height", "ceiling_rise", "depth_at_peak")
WORDS = {"heel": "Heel", "height": "Overall height", "ceiling_rise": "Ceiling rise", "depth_at_peak": "Depth at peak"}


Held = TypeVar("Held", bound=ReviewState)


class HeldTopic(Topic[Held]):
    """A returned drawing held against what was asked for: its readings, and the views of one review."""

    cuts = {"overlay": both_halves("A")}
    groups = {
        "asked": ("Asked for", tuple(Entry(f"asked.{name}", WORDS[name]) for name in READ)),
        "returned": ("Returned", tuple(Entry(f"returned.{name}", WORDS[name]) for name in READ)),
        "whole": ("Whole drawing", tuple(Entry(f"whole.{name}", text) for name, text in WHOLE.items())),
    }

    def numbers(self, state: Held) -> dict[str, Rows]:
        bay, one = state.scissor, state.review
        counts = {
            "resolve": len(one.of(RESOLVE)), "against itself": len(one.contradictions), "fits": len(one.causes),
            "missing": len(one.of(NOT_SHOWN)),
        }  # fmt: skip
        return {
            "asked": Rows(bay.rows(), bay.symbols(), tape=True),
            "returned": _texts({name: (line.texts[0], line.texts[2]) for name, line in lines_of(one).items()}),
            "whole": _texts({name: (label, str(counts[name])) for name, label in WHOLE.items()}),
        }

    def reading(self, state: Held, key: str) -> Reasoning:
        """A reading with its reasoning; of one that came back, by how much it is off."""
        family, _, name = key.partition(".")
        line = lines_of(state.review).get(name) if family == "returned" else None
        if line is None or line.returned is None or line.difference is None:
            return super().reading(state, key)
        off: float | str = line.difference
        if line.verdict == AGREES:
            off = "0, within rounding" if abs(line.difference) > 1e-9 else "0"
        formula = f"{line.returned:.10g} − {line.intended:.10g}"
        return Reasoning(name, f"{line.texts[0]}, difference", off, "in", "returned − asked for", formula)

    def word(self, key: str, state: Held) -> str:
        family, _, name = key.partition(".")
        return lines_of(state.review)[name].verdict if family == "returned" else ""

    def key_bays(self, state: Held) -> tuple[RafterBay, ScissorBay]:
        return state.rafters, state.scissor


class Checking(HeldTopic[ReviewState]):
    """A returned drawing of one of the job's truss types."""

    name = "checking"
    label = "Returned drawing"
    controls = (
        *(_control(name) for name in RANGES),
        TIMES_CONTROL,
        PASTE_CONTROL,
    )
    views = {"lines": "Line by line", "causes": "Conflicts and likely causes", "overlay": "Overlay"}
    dims = dict.fromkeys(("span", "heel", "height", "ceiling rise"), ASKED)

    def __init__(self, job: Job, mark: str = "") -> None:
        self.job = job
        self.bays = {kind.mark: kind.bay(job.scissor) for kind in job.types} or {"": job.scissor}
        problems: list[str] = []
        if mark:
            read_word("Type", mark, tuple(self.bays), problems)
        stop_on(problems)
        kind = choice_control("type", "Type", tuple(self.bays), mark or next(iter(self.bays)))
        self.controls = (*self.controls, kind)

    def build(self, boxes: Boxes) -> ReviewState:
        figures = {name: boxes[name] for name in RANGES if boxes[name] is not None}
        clash = {item_and_end(key)[0].name for key in boxes["pasted"]}
        drawing = {**{name: value for name, value in figures.items() if name not in clash}, **boxes["pasted"]}
        times = int(str(boxes["times"]).split()[0])
        bay = self.bays[boxes["type"]]
        return ReviewState(boxes["type"], bay, self.job.rafters, review(bay, drawing, self.job.rafters), times)

    def beside(self, move: Mapping[str, str]) -> dict[str, str]:
        drawing = next((name for name, mark in OF_TYPE.items() if mark == move.get("type")), "")
        return drawing_texts(read_items(set_csv(drawing))) if drawing else {}

    def sentence(self, state: ReviewState, view: str) -> str:
        return f"Type {state.mark}: {state.review.sentence}" if len(self.bays) > 1 else state.review.sentence

    def picture(self, view: str, state: ReviewState) -> Scene | str:
        if view == "overlay":
            return review_overlay(state.review, state.times)
        return lines_html(state.review) if view == "lines" else causes_html(state.review)


def lines_html(one: Review, since: Mapping[str, str] | None = None) -> str:
    """An HTML table of every item of a review, with its verdict and what its difference would do.

    ``since`` says by item what became of it since the drawing before; without, there was none.
    """
    rows = "".join(
        "<tr>" + "".join(f'<td style="white-space: nowrap">{escape(cell)}</td>' for cell in line.texts)
        + f"<td>{f'<b>{line.verdict}</b>' if line.verdict == RESOLVE else line.verdict}</td>"
        + ("" if since is None else f"<td>{since.get(line.item, '')}</td>")
        + f"<td>{escape(line.consequence)}</td></tr>"
        for line in one.lines
    )  # fmt: skip
    heads = ["Item", "Asked for", "Returned", "Difference", "Verdict", "What it would do on the roof"]
    if since is not None:
        heads.insert(5, "Since then")
    return f'<table class="rl-list"><tr>{"".join(f"<th>{name}</th>" for name in heads)}</tr>{rows}</table>'


def causes_html(one: Review) -> str:
    """An HTML table of contradictions, the numbers that would repair them, and the mistakes that fit."""
    rows = [("Contradiction", clash.sentence) for clash in one.contradictions]
    rows += (
        [("Repair", one.repair_sentence)] if one.contradictions else [("Contradictions", "None: its numbers agree.")]
    )
    rows += [(f"Fits: {fit.mistake}", f"{fit.sentence} Explains: {_names(fit.explains)}.") for fit in one.causes]
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
    **start: object,
) -> Panel:
    """A returned drawing as a panel: "honest", "one mistake", "contradiction", "short truss", or "" for an empty one.

    ``job`` and ``mark`` say what was asked for (none: the house of the workbooks and the drawing's type); other
    arguments are numbers on the drawing at the start.  InputError for a drawing, type or control that is not there.
    """  # fmt: skip
    problems: list[str] = []
    read_word("Drawing", drawing, (*SETS, ""), problems)
    stop_on(problems)
    blank = {**dict.fromkeys(RANGES, NOT_SHOWN), "span": "26'"}
    first = drawing_texts(read_items(set_csv(drawing))) if drawing else blank
    boxes = controls or (*RANGES, "times")
    topic = Checking(job or example(), mark or OF_TYPE.get(drawing, ""))
    return panel_of(topic, boxes, views, groups, size, locked, {**first, **start})


# --- a table pasted --------------------------------------------------------------------------------------------------


class TableForm(Form):
    """A box for a pasted table and buttons; what came of it stands below."""

    _esm = script("paste.js")
    _css = style("ask.css")
    text = traitlets.Unicode("").tag(sync=True)
    kind = traitlets.Unicode("").tag(sync=True)

    def press(self, do: str = "review", text: str = "", mark: str = "") -> str:
        """Press a button from code, with what stands in the box and the type chosen; the answer."""
        return self._press(do=do, text=text, type=mark)

    def still(self) -> dict[str, str]:
        buttons = "  ".join(f"[ {name} ]" for _, name in self.setup["buttons"])
        types = [f"Drawing of type: {' / '.join(self.setup['types'])}"] if self.setup["types"] else []
        return {"text/plain": "\n".join([self.setup["prompt"], *self.text.splitlines(), *types, buttons])}


class Paste(TableForm):
    """A box for the table of one drawing, which the panel shows then.

    Drawings are kept by type, and all types of the job are reviewed together each time.
    """

    def __init__(self, panel: Panel) -> None:
        topic: Checking = panel.responder.topic
        self._panel, self._marks = panel, [mark for mark in topic.bays if mark]
        self._drawings: dict[str, str] = {}
        examples = [name for name in SETS if OF_TYPE.get(name, "") in ("", *self._marks)]
        buttons = [["review", "Review it"], *([name, f"Our drawing: {name}"] for name in examples)]
        prompt = "Paste a table here (item, value, remark), one row an item; it replaces the numbers below."
        types = self._marks if len(self._marks) > 1 else []
        first = set_csv("honest")
        super().__init__(
            setup={"prompt": prompt, "buttons": buttons, "types": types}, text=first, kind=panel.responder.state.mark
        )

    def _answer(self) -> None:
        what, text = str(self.message.get("do", "review")), str(self.message.get("text", ""))
        mark = str(self.message.get("type", "")) or self.kind
        if what in SETS:
            text, mark = set_csv(what), OF_TYPE.get(what, next(iter(self._marks), ""))
        self.text, self.kind = text, mark
        try:
            self.answer = show_drawing(self._panel, text, mark) + self._together(mark, text)
        except InputError as error:
            self.answer = "<b>Not taken.</b> " + " ".join(escape(problem) for problem in error.problems)

    def _together(self, mark: str, text: str) -> str:
        """The types reviewed together, as a list; nothing for a job of one type."""
        if len(self._marks) < 2:
            return ""
        self._drawings[mark] = f"{text}\n"  # a line, never a path
        rows = review(self._panel.responder.topic.job, self._drawings).sentences
        return f"<div><b>All types together:</b><ul>{''.join(f'<li>{escape(one)}</li>' for one in rows)}</ul></div>"


def set_csv(name: str) -> str:
    """An example of a returned drawing, by its name in ``SETS``, as CSV."""
    return "item,value,remark\n" + "".join(f"{item},{value},\n" for item, value in SETS[name].items())


def drawing_texts(drawing: Mapping[str, DrawingValue]) -> dict[str, str]:
    """The texts of the controls for a drawing; items of one end and the chord stand in a control of their own."""
    texts = {name: drawing[name].text if name in drawing else NOT_SHOWN for name in RANGES}
    return {**texts, "pasted": json.dumps({key: one.text for key, one in drawing.items() if key not in RANGES})}


def show_drawing(panel: Panel, text: str, mark: str = "") -> str:
    """A sentence on a pasted drawing that a panel shows now.  InputError with every sentence."""
    if panel.locked:
        raise InputError("The picture is still locked: choose a prediction first.")
    drawing = read_items(f"{text}\n")  # a line, never a path
    texts = {**drawing_texts(drawing), "type": mark or panel.responder.state.mark}
    panel.responder.topic.read({**panel.responder.start, **panel.raw, **texts})  # or its sentences, and nothing changes
    panel.set(**texts)
    state: ReviewState = panel.responder.state
    sentence = "" if len(panel.responder.topic.bays) > 1 else f" {escape(state.review.sentence)}"
    ends = (
        " What stands for one end only is in the lines, not in the boxes."
        if any(item_and_end(k)[1] for k in drawing)
        else ""
    )
    return f"<b>{len(drawing)} numbers read.</b>{ends}{sentence}"
