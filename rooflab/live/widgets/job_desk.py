"""The job file beside the workbooks: read for the page, and a panel's numbers and a form's words written into it.

The form of words asks for what a sheet says beside the drawing: title, title block, loads, and the stretches that the
types serve.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from IPython.display import display

from rooflab.base.inputs import Input, attempt, pair, stop_on
from rooflab.base.measure import InputError, exact, inches
from rooflab.draw.sheets.wording import still_open
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.criteria import GROUPS
from rooflab.job.jobfile import FOLLOWS, LOADS, SHEET, Job, blank_job, example
from rooflab.job.schedule import TO_GIVE, TrussType
from rooflab.job.values import at_ends, house_of, job_with, rafter_text, same, texts_of, value_text, values_of
from rooflab.job.writing import Conflict, change, job_in, merged

from .form import Desk, Source, field_specs, job_of
from .panel import Panel

FILE = "house.json"
BECOMES = "{} {} becomes {}"  # label, old and new of a number
SHOWN = 5  # sentences on a job file that cannot be used
MEND = (
    "Here the example's house stands instead, and nothing is written into the file: mend it in a text editor or give "
    "it another name, then run this cell again."
)
NO_JOB = (
    "No job file yet, so the example's house stands here. Yours begins with its numbers: type them in {}, or at the "
    "table in {}."
)
BEGIN = {  # where a job begins, and what leads there
    "workbook 01, part 9": "01-one-roof-plane.ipynb#9-·-Your-own-house",
    "workbook 08": "08-options-with-the-builder.ipynb#At-the-table,-on-your-own-job",
}
NEW_JOB = (
    "Title and loads are not given yet, and type A, 20'-0\" long at 2'-0\", only stands in until you give its length: "
    "fill them in in workbook 9."
)


# --- the job ---------------------------------------------------------------------------------------------------------


def job(path: str | os.PathLike[str] = FILE) -> Job:
    """The job in a file beside the workbooks; the example without one, and where it cannot be used, which is said."""
    try:
        found = job_in(path)
    except InputError as error:
        found, more = None, len(error.problems) - SHOWN
        lines = [*error.problems[:SHOWN], *[f"and {more} more."] * (more > 0)]
        display(_Notice(f"{' '.join(lines)} {MEND}", "".join(f"<p>{escape(one)}</p>" for one in [*lines, MEND])))
    else:
        if found is None:
            display(_Notice(NO_JOB.format(*BEGIN), f"<p>{NO_JOB.format(*map(_link, BEGIN, BEGIN.values()))}</p>"))
    return found or example()


class _Notice(NamedTuple):
    """What is said where there is no job to take: in plain text, and as HTML."""

    text: str
    html: str

    def __repr__(self) -> str:
        return self.text

    def _repr_html_(self) -> str:
        return self.html


def _link(words: str, address: str) -> str:
    return f'<a href="{escape(address)}">{escape(words)}</a>'


def ours() -> Job:
    """The job of the example house that the lessons speak of, whatever stands beside the workbooks."""
    return example()


def start_of_change(path: str | os.PathLike[str], house: Job) -> tuple[Job, Job]:
    """(what a change of the job file starts from, what was shown): ``house`` twice, or of our example its planes.

    Words and loads of the example never go into a new file.
    """
    return blank_job() if house == example() and not os.path.lexists(path) else house, house


class Changes(Desk):
    """A form that changes the job file; where that changed in the same place, or it was agreed on, one is to choose."""

    def __init__(self, path: str | os.PathLike[str], *rest: Any) -> None:
        self.path, self.choices = path, dict[Conflict, bool]()
        self.asked: tuple[Conflict, ...] = ()
        super().__init__(*rest)
        self._own_buttons = self.setup["buttons"]

    def settle(self, do: str) -> None:
        """Take a press: of one of the two values that were asked about, or of the form's own buttons."""
        which, _, place = do.partition(" ")
        if place and self.asked:
            self.choices[self.asked[0]] = which == "mine"
        else:
            self.choices.clear()

    def write(self, base: Job, wanted: Job, seen: Job) -> Job | None:
        """The job as it stands in the file with what was changed; None where there is something to choose first."""
        done = change(self.path, base, wanted, self.choices, seen)
        self.asked = done.conflicts
        ask = [(f"{which} {self.asked[0].place}", label) for which, label in CHOOSE.items()] if self.asked else []
        self.setup = {**self.setup, "buttons": [*ask, *self._own_buttons]}
        return done.job

    def question(self) -> str:
        """What is to be chosen, as HTML."""
        first, left = self.asked[0], len(self.asked) - 1
        more = f" {left} more to choose after it." if left else ""
        why = "" if first.agreed else "Changed in the file meanwhile: "
        return f"<b>Not written yet.</b> {why}{escape(str(first))} Which holds?{more}"


CHOOSE = {"file": "Keep the file's", "mine": "Write mine"}


def start(house: Job) -> dict[str, Any]:
    """A job and its numbers as starting values of ``one_plane``; where its ends differ, those of the left one.

    What has no box there, such as the right end, plates and loads, is the job's; saving the panel's numbers leaves it.

    >>> start(example())["seat"]
    '3 1/2"'
    """
    texts = texts_of(house)
    names = ("span", "overhang", "bearing", "sheathing", "pitch", "ceiling_pitch", "seat", "ridge", "lumber")
    texts_of_panel: dict[str, Any] = {"job": house, **{name: texts[name] for name in names}, "chord": texts["chords"]}
    return texts_of_panel if house.follows else texts_of_panel | {"heel": texts["heel"]}


def job_texts(house: Job) -> dict[str, str]:
    """A job's numbers, by name, as starting texts of any panel."""
    texts = texts_of(house)
    texts["chord"] = texts.pop("chords")
    return {name: text for name, text in texts.items() if (name, text) != ("heel", FOLLOWS)}


def share(house: Job, *names: str) -> dict[str, str]:
    """Some of a job's numbers, by name, as starting texts of another panel: ``share(job, "span", "dead")``."""
    texts = job_texts(house)
    return {name: texts[name] for name in names}


class PanelNumbers(Protocol):
    """The state of a panel whose numbers can be saved: both bays, and whether the truss heel follows the rafters'."""

    @property
    def rafters(self) -> RafterBay: ...
    @property
    def scissor(self) -> ScissorBay: ...
    @property
    def follows(self) -> bool: ...


def job_with_panel(house: Job, state: PanelNumbers, words: str = BECOMES) -> tuple[Job, list[str]]:
    """A job with a panel's numbers, and what changed, in ``words`` (label, old, new); the rest stays.

    InputError where a number stands for two different ends of the job.
    """
    old, now = house_of(house), values_of(state.rafters, state.scissor, state.follows)
    changes, problems, moves = list[str](), list[str](), dict[str, Any]()
    for name, label in SAVE_LABELS.items():
        size = name == "lumber"
        here, there = (rafter_text(one) if size else at_ends(one, name)[0] for one in (old, now))
        if name == "heel" and FOLLOWS in (here, there) and here != there:
            no_longer = "follows" if there == FOLLOWS else "no longer follows"
            changes.append(f"the truss heel {no_longer} the rafters'")
            moves[name], here = there, pair(house.scissor.heel_input)[0]
            if there == FOLLOWS:
                continue
        if same(here, there):
            continue
        ends = () if size or old[name] == FOLLOWS else dict.fromkeys(at_ends(old, name))
        if len(ends) > 1:
            both = " and ".join(value_text(name, one) for one in ends)
            problems.append(f"{label}: the file has {both}; change unequal ends in the file.")
        was, becomes = (one if size else value_text(name, one) for one in (here, there))
        changes.append(words.format(label, was, becomes))
        moves |= {key: now[key] for key in ("lumber", "depth") if key in now} if size else {name: there}
    if problems:
        raise InputError(problems)
    return job_with(house, moves), changes


SAVE_LABELS = {
    "span": "span", "bearing": "bearing", "overhang": "overhang", "sheathing": "sheathing", "pitch": "roof pitch",
    "seat": "seat", "ridge": "ridge board", "lumber": "rafter", "ceiling_pitch": "ceiling pitch", "chord": "top chord",
    "bottom_chord": "bottom chord", "heel": "truss heel",
}  # fmt: skip
"""What a panel's numbers change in a job, and what each is called when it does."""


def save(panel: Panel, path: str | os.PathLike[str] = FILE) -> Desk:
    """A button that writes a panel's present numbers into the job file; all else in the file is kept.

    So are numbers that were changed in the file since the panel began, and not in the panel.  Without a file it begins
    a new job: no title, no loads, one type whose length is to be given.
    """
    name = Path(path).name
    standing = None
    with suppress(InputError):
        standing = job_in(path)
    first = getattr(getattr(panel.responder, "topic", None), "job", None) or standing or example()

    def act(do: str, values: dict[str, str]) -> str:
        nonlocal first
        if panel.content["stale"]:
            raise InputError("The panel shows what cannot be drawn; put that right first.")
        state, old = panel.responder.state, job_in(path)
        desk.settle(do)
        base, seen = start_of_change(path, first) if old else (blank_job(), first)
        wanted, _ = job_with_panel(base, state)
        new_job = desk.write(base, wanted, seen)
        if new_job is None:
            return desk.question()
        first, left = _panel_over(new_job, state, "{} {} in the file, {} in the picture")
        if old is None:
            return f"<b>Written to {escape(name)}</b>, a new job with the numbers of the picture. {NEW_JOB}"
        kept = f" Left as the file has it: {escape('; '.join(left))}." if left else ""
        if new_job == old:
            these = "was written" if left else "was written: it holds these numbers already"
            return f"{escape(name)} ({escape(old.title)}): nothing {these}.{kept}"
        changes = escape("; ".join(_panel_over(old, new_job)[1]))
        return f"<b>Written to {escape(name)}</b> ({escape(old.title)}): {changes}. The rest is as it was.{kept}"

    desk = Changes(path, f"Write the numbers of the picture above into {name}?", {"save": "Write them"}, act)
    return desk


def _panel_over(house: Job, state: PanelNumbers, words: str = BECOMES) -> tuple[Job, list[str]]:
    """``job_with_panel``, or where a number stands for two different ends the job as it is and which these are."""
    try:
        return job_with_panel(house, state, words)
    except InputError as error:
        return house, list(error.problems)


# --- the words of the sheet ------------------------------------------------------------------------------------------


def words(house: Source, path: str | os.PathLike[str] = FILE) -> Desk:
    """A form for title, title block, loads and truss types; an empty box is "not given".

    Its job takes what was typed.  Only boxes that were changed are written, into a new job where there is no file; once
    written, the form's job and its boxes are those of the file.
    """
    return SheetWords(job_of(house), path)


class SheetWords(Changes):
    """The form of the words of a sheet; ``job`` is what it shows, ``job_now`` the same over what the file became."""

    def __init__(self, first: Job, path: str | os.PathLike[str]) -> None:
        self.first, self.typed = first, dict[str, str]()
        self.base, self.seen = start_of_change(path, first)
        buttons = {"take": "Take these words", "save": f"and write them into {Path(path).name}"}
        super().__init__(path, _prompt(first), buttons, self._do, _rows(first), _open(first))
        self.job = first
        with suppress(InputError):
            self.of_file = first == (job_in(path) or example())

    of_file = False  # whether its job is the file's, or stands in until there is one

    def _do(self, do: str, values: dict[str, str]) -> str:
        texts = {**self.typed, **values}
        if do == "take":
            assert self.job is not None
            self.job = _job_with_words(self.job, texts)
            self.typed.update(values)
            return _open(job_of(self))
        self.settle(do)
        new = not os.path.lexists(self.path)
        if new and self.base == example():
            self.base = blank_job()
        touched = self._touched(texts)
        if new:
            self.base = _with_touched_types(self.base, self.seen, touched)
        new_job = self.write(self.base, _job_with_words(self.base, touched), self.seen)
        if new_job is None:
            self.typed.update(values)
            return self.question()
        self.typed.clear()
        self.base = self.seen = self.job = new_job
        self.of_file = True
        self.setup = {**self.setup, "prompt": _prompt(new_job), "fields": field_specs(_rows(new_job))}
        what = "title, title block, loads and types only"
        if new and self.first == example():
            what = "a new job with what you changed here; nothing else of the example but its planes"
        return f"<b>Written to {escape(Path(self.path).name)}</b>, {what}. {_open(new_job)}"

    def _touched(self, texts: Mapping[str, str]) -> dict[str, str]:
        """The texts that are not as the job has them that was shown."""
        standing = {name: value for name, _, value in _rows(self.seen)}
        return {name: text for name, text in texts.items() if text.strip() != standing.get(name, "").strip()}

    def job_now(self) -> Job:
        now = job_in(self.path) if self.of_file else None
        if now is None or now == self.base:
            return super().job_now()
        wanted = _job_with_words(self.base, self._touched(self.typed))
        job, conflicts = merged(self.base, wanted, now, {}, self.seen)
        stop_on(f"{one} Write the words into the file first, and say which holds." for one in conflicts)
        return job


def _with_touched_types(house: Job, seen: Job, touched: Mapping[str, str]) -> Job:
    """A job with those types of the one ``seen`` that a touched box belongs to, beside its own."""
    own = [kind.mark for kind in house.types]
    more = [kind for kind in seen.types if kind.mark not in own
            and any(f"types.{row}" in touched for row in (f"{kind.mark}.length", f"{kind.mark}.spacing"))]  # fmt: skip
    return replace(house, types=(*house.types, *more)) if more else house


def _prompt(house: Job) -> str:
    return f"{house.title}: the words of the sheet"


def _rows(house: Job) -> list[tuple[str, str, str]]:
    """The boxes of the words of a job; a length that only stands in is an empty one."""
    rows = [("", "Title block", ""), ("title", "Title of the house", house.title)]
    rows += [(f"sheet.{name}", label, str(house.sheet.get(name, ""))) for name, label in SHEET.items()]
    rows += [("", "Truss types", ""), *(row for kind in house.types for row in _type_rows(kind))]
    for heading, group in GROUPS.items():
        rows.append(("", heading, ""))
        rows += [(f"loads.{row.name}", _box_label(row), _box_text(row, house)) for row in group]
    return rows


def _box_label(row: Input) -> str:
    """What a box of the design criteria is called, with its unit or its choices."""
    if row.choices:
        return f"{row.label} ({', '.join(row.choices)})"
    return f"{row.label}, {row.unit}" if row.unit else row.label


def _box_text(row: Input, house: Job) -> str:
    value = house.loads.get(row.name, "")
    return f"{value:g}" if row.kind == "number" and value != "" else str(value)


def _type_rows(kind: TrussType) -> list[tuple[str, str, str]]:
    length = "" if kind.remark == TO_GIVE else exact(kind.length)
    return [
        (f"types.{kind.mark}.length", f"Type {kind.mark}: length of its stretch", length),
        (f"types.{kind.mark}.spacing", f"Type {kind.mark}: spacing", exact(kind.spacing)),
    ]


def _job_with_words(house: Job, values: Mapping[str, str]) -> Job:
    """A job with what stands in the boxes; InputError with every problem."""
    problems: list[str] = []
    parts: dict[str, Any] = {"sheet": dict(house.sheet), "loads": dict(house.loads)}
    for key, box in values.items():
        (table, _, name), text = key.partition("."), box.strip()
        if table in parts:
            parts[table].pop(name, None)
            if text:
                number = table == "loads" and name in LOADS and LOADS[name].kind == "number"
                parts[table][name] = attempt(problems, _number, LOADS[name], text) if number else text
    types = [attempt(problems, _type_with_lengths, kind, values) or kind for kind in house.types]
    stop_on(problems)
    title = values.get("title", "").strip() or house.title
    return replace(house, title=title, types=tuple(types), **parts)


def _type_with_lengths(kind: TrussType, values: Mapping[str, str]) -> TrussType:
    """A type with the length and the spacing of the boxes; one as it stands in its box is left exactly as it is."""
    now = {name: text for name, _, text in _type_rows(kind)}
    new = kind
    for name in ("length", "spacing"):
        key = f"types.{kind.mark}.{name}"
        text = values.get(key, now[key]).strip()
        if text == now[key]:
            continue
        if not text:
            raise InputError(f"Type {kind.mark}, {name}: the box is empty; a length such as 20'-0\" is needed.")
        remark = "" if name == "length" and new.remark == TO_GIVE else new.remark
        changes: dict[str, Any] = {name: inches(text, f"Type {kind.mark}, {name}"), "remark": remark}
        new = replace(new, **changes)
    return new


def _number(row: Input, text: str) -> float:
    """A number of the design criteria; InputError where it is none.  Of inches, trade text is read too."""
    try:
        return inches(text, row.label) if row.unit == "in" else float(text)
    except ValueError:
        raise InputError(f"{row.label} {text}: a number{f' in {row.unit}' * bool(row.unit)} is needed.") from None


def _open(house: Job) -> str:
    left = still_open(house)
    sentence = f"Still open: {escape(left)}." if left else "<b>Nothing is left open.</b>"
    counts = ", ".join(f"{kind.count} of type {kind.mark}" for kind in house.types if not kind.stands_in)
    return f"{sentence} Trusses: {escape(counts)}." if counts else sentence
