"""The bench: all drawings that came back for a job, on one page; each of them as a form over its profile, line by line.

Every number is a control of its own, named after mark and item: so it is typed where it stands on the drawing, and
undone like all that is typed.  What stands on the bench is kept in a file beside the job file.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

from rooflab.base.inputs import must_be
from rooflab.base.jsonfile import text_problem
from rooflab.base.measure import InputError
from rooflab.draw.scene import Scene
from rooflab.draw.views.returns import drawing_form
from rooflab.job.jobfile import Job, example
from rooflab.live.widgets.base import Content
from rooflab.live.widgets.controls import Boxes, Control, choice_control
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import NO_BREAK, list_html, try_it
from rooflab.live.widgets.topic_panel import TopicPanel
from rooflab.live.widgets.touch import edits
from rooflab.shop.items import ENDS, HEAD, KEYS, ItemRow, is_blank, item_and_end, items_in_rows, label
from rooflab.shop.returns import (
    LONGEST_WORD,
    MOST_RETURNS,
    SAMPLE,
    Drawing,
    MarkReview,
    Record,
    Return,
    ReturnsReview,
    own_bays,
    own_mark,
    read_folder,
    read_return,
    read_returns_document,
    return_table,
    returns_document,
    review_drawing,
    review_returns,
    sample_return,
    verdict_counts,
)
from rooflab.shop.review import AGREES, DEFER, NOT_SHOWN, RESOLVE

from .review import TIMES_CONTROL, HeldTopic, Paste, ReviewState, TableForm, causes_html, lines_html

FILE, FOLDER = "house.returned.json", "from the manufacturer"
WORDS_OF = ("drawing", "drawing_date")  # lines of a drawing's head that are typed on it
MARKS = {RESOLVE: "\u25b2", NOT_SHOWN: "\u25cb", AGREES: "\u2713"}  # shapes beside the words


@dataclass(frozen=True)
class BenchState(ReviewState):
    """Beside the drawing that is open (of nothing yet, perhaps) all returns, the last one still open, held together."""

    drawing: Drawing
    returns: tuple[Return, ...]
    whole: ReturnsReview

    @property
    def open(self) -> MarkReview:
        """The type of the job that is open."""
        return next(one for one in self.whole.marks if one.mark == self.mark)


def _number_control(mark: str, key: str) -> Control:
    """The box of a number on a drawing: it holds the text as it is printed; empty, it is not shown."""
    what = f"Type {mark} {label(key).lower()}"

    def read(text: str, problems: list[str]) -> str | None:
        if is_blank(text):
            return None
        said: list[str] = []
        items_in_rows([ItemRow("", key, text)], said)
        problems += [f"Type {mark}, {one}" for one in said]
        return text.strip()

    return Control(f"{mark}.{key}", what, 0, 0, 1, "", read, str)


def _word_control(mark: str, name: str) -> Control:
    def read(text: str, problems: list[str]) -> str:
        tidy = " ".join(text.split())
        if said := text_problem(tidy, LONGEST_WORD):
            problems.append(f"Type {mark}, {HEAD[name].lower()}: {said}")
        return tidy

    return Control(f"{mark}.{name}", f"Type {mark} {HEAD[name].lower()}", 0, 0, 1, "", read, str)


def _returns_control(name: str, what: str) -> Control:
    """Returns as a text, which no box shows."""

    def read(text: str, problems: list[str]) -> list[Return]:
        try:
            return read_returns_document(json.loads(text)) if text else []
        except (ValueError, RecursionError) as error:
            problems.append(f"{what}: they cannot be read ({type(error).__name__}).")
        return []

    return Control(name, what, 0, 0, 1, "", read, str)


def returns_text(returns: Sequence[Return]) -> str:
    """Returns as the text of their control."""
    return json.dumps(returns_document("", returns), ensure_ascii=False) if returns else ""


class Bench(HeldTopic[BenchState]):
    """All drawings that came back for a job, held against its types."""

    name = "bench"
    label = "Returned drawings"
    views = {"job": "Whole job", "overlay": "Overlay", "lines": "Line by line",
             "causes": "Conflicts and likely causes"}  # fmt: skip
    caution = ""  # the lists say it themselves

    def __init__(self, job: Job) -> None:
        self.job, self.bays = job, own_bays(job)
        marks = tuple(self.bays)
        numbers = [_number_control(mark, key) for mark in marks for key in KEYS]
        words = [_word_control(mark, name) for mark in marks for name in WORDS_OF]
        self.controls = (
            choice_control("type", "Mark", marks, marks[0]),
            TIMES_CONTROL,
            *numbers,
            *words,
            _returns_control("earlier", "Earlier returns"),
            _returns_control("beside", "Remarks and drawings of others"),
        )
        self.dims = {one.label: edits(one.name) for one in (*numbers, *words)}

    def build(self, boxes: Boxes) -> BenchState:
        beside = boxes["beside"][0] if boxes["beside"] else Return()
        typed = {mark: _typed_drawing(mark, boxes, beside.get(mark)) for mark in self.bays}
        now = {mark: one for mark, one in typed.items() if one.values}
        returns = (*boxes["earlier"], now | {mark: one for mark, one in beside.items() if mark not in self.bays})
        mark, times = str(boxes["type"]), int(str(boxes["times"]).split()[0])
        bay, rafters = self.bays[mark], self.job.rafters
        one, whole = review_drawing(bay, rafters, typed[mark]), review_returns(self.job, returns)
        return BenchState(mark, bay, rafters, one, times, typed[mark], returns, whole)

    def comparable(self, before: BenchState, now: BenchState) -> bool:
        return before.mark == now.mark and bool(before.drawing.values)

    def sentence(self, state: BenchState, view: str) -> str:
        if view == "job":
            return state.whole.sentence
        one, here = state.open, bool(state.drawing.values)
        sample = f"{SAMPLE}. " * (state.drawing.head.get("job") == SAMPLE)
        if here:
            return f"{sample}Type {state.mark}: {state.review.sentence}"
        said = f"Type {state.mark}: nothing came back in return {state.whole.number}."
        return f"{said} In return {one.number}: {one.review.sentence}" if one.review else said

    def picture(self, view: str, state: BenchState) -> Scene | str:
        if view == "job":
            return whole_html(state.whole)
        if view == "overlay":
            return drawing_form(
                state.review, state.drawing.values, state.drawing.head, state.times,
                lambda key: self._text_name(state, key),
            )  # fmt: skip
        if view == "causes":
            return causes_html(state.review)
        since = state.open.since if state.drawing.values and state.open.before else None
        return lines_html(state.review, since) + f"<p>{escape(DEFER)}</p>"

    def _text_name(self, state: BenchState, key: str) -> str:
        """The name of the text at a number: of both ends' one where the left end speaks for both."""
        if key in HEAD:
            return f"Type {state.mark} {HEAD[key].lower()}"
        item, end = item_and_end(key)
        alike = end == "left" and all(f"{item.name}_{one}" not in state.drawing.values for one in ENDS)
        if alike and abs(_number_wanted(state, item.name, "left") - _number_wanted(state, item.name, "right")) < 1e-6:
            key = item.name
        return f"Type {state.mark} {label(key).lower()}"


def _number_wanted(state: BenchState, name: str, end: str) -> float:
    lines = {line.item: line.intended for line in state.review.lines}
    return lines.get(f"{name}_{end}", lines.get(name, 0.0))


def _typed_drawing(mark: str, boxes: Boxes, beside: Drawing | None) -> Drawing:
    """What stands in the boxes of a mark, with the remarks and the job that a table brought along.

    Where one end is typed beside a number for both, that one stands for the other end.
    """
    values = {key: boxes[f"{mark}.{key}"] for key in KEYS if boxes[f"{mark}.{key}"]}
    for name in [key for key in values if item_and_end(key)[0].ends and not item_and_end(key)[1]]:
        ends = [f"{name}_{end}" for end in ENDS]
        if any(end in values for end in ends):
            both = values.pop(name)
            values |= {end: values.get(end, both) for end in ends}
    head = {name: boxes[f"{mark}.{name}"] for name in WORDS_OF if boxes[f"{mark}.{name}"]}
    if beside:
        head |= {name: text for name, text in beside.head.items() if name not in WORDS_OF}
    remarks = {key: text for key, text in beside.remarks.items() if key in values} if beside else {}
    return Drawing({key: values[key] for key in KEYS if key in values}, remarks, head)


# --- on the page -----------------------------------------------------------------------------------------------------


def verdict_words(verdict: str) -> str:
    """A verdict by shape and word, in one line."""
    return f"{MARKS[verdict]} {verdict}".replace(" ", NO_BREAK)


OTHER = (
    "Not reviewed: send it back. If it is a type of this job under another mark, write our mark in its place and read "
    "the table again."
)


def whole_html(whole: ReturnsReview) -> str:
    """The whole job as an HTML table, a row a mark: pressed, its overlay opens.  Below, what is not of this job."""
    rows = [_mark_row(one, whole.number) for one in whole.marks]
    rows += [(f"<b>{escape(mark)}</b>", "", "<b>not of this job</b>", OTHER, "") for mark in whole.others]
    heads = ("Mark", "Drawing", "Verdict", "What is to be said", f"Since return {whole.number - 1}")
    shown = [n for n in range(len(heads)) if n not in (1, 4) or any(row[n] for row in rows)]  # no empty columns
    table = list_html([heads[n] for n in shown], [[row[n] for n in shown] for row in rows])
    return table + (f"<p><b>{escape(whole.planes)}</b></p>" if whole.planes else "") + f"<p>{escape(DEFER)}</p>"


def _mark_row(one: MarkReview, number: int) -> tuple[str, ...]:
    press = escape(one.mark)
    if "|" not in one.mark:  # which parts what a button sets
        press = try_it({"type": one.mark, "_view": "overlay"}, f"<b>{press}</b>, open", f"Open type {one.mark}")
    paper = " \u00b7 ".join(escape(one.drawing.head[name]) for name in WORDS_OF if name in one.drawing.head)
    if one.review is None:
        return press, paper, f"<b>{verdict_words(NOT_SHOWN)}</b>", "Nothing came back for this type: ask for it.", ""
    words = verdict_words(one.verdict)
    words = words if one.verdict == AGREES else f"<b>{words}</b>"
    late = f"Not in return {number}; in return {one.number}: " if one.number < number else ""
    since = verdict_counts(one.since) if one.number == number else ""
    return press, paper, words, escape(late + one.review.sentence), since


class BenchPanel(Panel):
    """The bench as a panel; what stands on it is kept in the record after each answer, but no sample."""

    def __init__(self, responder: TopicPanel, record: Record | None) -> None:
        self._record, self.trouble = record, ""
        super().__init__(responder)

    def doings(self) -> Content:
        return {} if self._record else super().doings()  # the record keeps it

    def _answer(self) -> Content:
        content = super()._answer()
        state: BenchState = self.responder.state
        if self._record and not content["stale"] and not state.whole.sample:
            try:
                self._record.keep(state.returns)
            except InputError as error:
                said = escape(f"Not kept: {' '.join(error.problems)}")
                self.sentence = f"<b>{said}</b> {self.sentence}"
        return content


def bench(job: Job | None = None, path: str | os.PathLike[str] = FILE) -> BenchPanel:
    """The bench for a job: what came back for it, kept in a file beside the job file.

    For the example, which is nobody's job, no file is written.  A file that cannot be read is left as it is, and
    nothing is kept until it is mended.
    """
    job = job or example()
    must_be(job, Job, "Job")
    topic, record, trouble = Bench(job), None, ""
    if job != example():
        try:
            record = Record(path, job.title)
        except InputError as error:
            trouble = (
                f"{' '.join(error.problems[:3])} It is left as it is, and nothing here is kept until it is mended."
            )
    start = bench_texts(topic, record.returns) if record else {}
    panel = BenchPanel(TopicPanel(topic, ("type", "times"), tuple(topic.views), tuple(topic.groups), "", start), record)
    panel.trouble = trouble
    return panel


def bench_texts(topic: Bench, returns: Sequence[Return]) -> dict[str, str]:
    """The texts of a bench's controls for returns, the last one open."""
    now = returns[-1] if returns else Return()
    texts = {one.name: "" for one in topic.controls if one.name not in ("type", "times")}
    for mark, drawing in now.items():
        own = {**drawing.values, **{name: drawing.head.get(name, "") for name in WORDS_OF}}
        texts |= {f"{mark}.{key}": text for key, text in own.items() if f"{mark}.{key}" in texts}
    return texts | {"earlier": returns_text(returns[:-1]), "beside": returns_text([now] if now else [])}


# --- tables in -------------------------------------------------------------------------------------------------------

FOLDER_DO, NEXT, TRY = "folder", "next", "sample"
BUTTONS = {
    "review": "Read the table", FOLDER_DO: "Read the folder", NEXT: "Begin the next return", TRY: "Show a sample",
}  # fmt: skip
PROMPT = (
    "Paste what came back: a row an item (item, value, remark) with a row mark before each drawing, or a row a mark "
    f"with a column an item. Files of such tables are read from the folder '{FOLDER}'. A drawing on paper is typed on "
    "the overlay below, each number where it stands."
)


class BenchPaste(TableForm):
    """A box for the table of a whole return, and buttons; what was read stands on the bench."""

    def __init__(self, panel: BenchPanel, folder: str | os.PathLike[str] = FOLDER) -> None:
        self._panel, self._folder = panel, Path(folder)
        marks = list(panel.responder.topic.bays)
        setup = {"prompt": PROMPT, "buttons": list(BUTTONS.items()), "types": marks if len(marks) > 1 else []}
        super().__init__(setup=setup, kind=marks[0], answer=escape(panel.trouble))

    def _answer(self) -> None:
        what, self.text = str(self.message.get("do", "")), str(self.message.get("text", ""))
        topic: Bench = self._panel.responder.topic
        self.kind = own_mark(str(self.message.get("type", "")) or self.kind, tuple(topic.bays))
        try:
            self.answer = self._done(what, topic)
        except InputError as error:
            self.answer = "<b>Not taken.</b> " + " ".join(escape(problem) for problem in error.problems)

    def _done(self, what: str, topic: Bench) -> str:
        if self._panel.content["stale"]:
            raise InputError("The panel below shows what cannot be read; put that right first.")
        state: BenchState = self._panel.responder.state
        earlier, now = state.returns[:-1], state.returns[-1]
        if what == NEXT:
            return self._next(topic, state)
        if what == TRY:
            if any(state.returns) and not state.whole.sample:
                raise InputError("The bench holds your own drawings; a sample is shown on an empty one only.")
            found, earlier, now = sample_return(topic.job), (), Return()
            self.text = return_table(found)
        elif what == FOLDER_DO:
            found = read_folder(self._folder, topic.job)
        elif what == "review":
            found = read_return(f"{self.text}\n", topic.job, self.kind)  # a line, never a path
        else:
            raise InputError(f"Button: {what[:20]} is not {' or '.join(BUTTONS)}.")
        if what != TRY and state.whole.sample:
            earlier, now = (), Return()
        self._show(topic, [*earlier, {**now, **found}])
        numbers = sum(len(one.values) for one in found.values())
        again = [mark for mark in found if mark in now and now[mark] != found[mark]]
        said = f" Read anew: {escape(', '.join(again))}." if again else ""
        sample = f" <b>{SAMPLE}</b>: made from what you asked for, with a mistake in it." if what == TRY else ""
        return f"<b>{len(found)} drawings, {numbers} numbers read.</b>{said}{sample}"

    def _next(self, topic: Bench, state: BenchState) -> str:
        if not state.returns[-1]:
            raise InputError(f"Return {state.whole.number} is still empty: read its drawings first.")
        if len(state.returns) == MOST_RETURNS:
            raise InputError(f"{MOST_RETURNS} returns are the most that one file keeps.")
        self._show(topic, [*state.returns, {}])
        self.text = ""
        return (
            f"<b>Return {len(state.returns) + 1} begins.</b> What came before is kept, and held beside what comes now."
        )

    def _show(self, topic: Bench, returns: Sequence[Return]) -> None:
        self._panel.set(**bench_texts(topic, returns), _view="job")


def paste(panel: Panel) -> TableForm:
    """A box to paste a returned drawing's table into a panel of ``checking``, or those of a job into a ``bench``."""
    return BenchPaste(panel) if isinstance(panel, BenchPanel) else Paste(panel)
