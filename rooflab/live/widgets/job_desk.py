"""The job file beside the workbooks: read for the page, and a panel's numbers and a form's words written into it.

The form of words asks for what a sheet says beside the drawing: title, title block, loads, and the stretches that the
types serve.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any, Protocol

from rooflab.base.inputs import attempt, pair, stop_on
from rooflab.base.measure import InputError, exact, inches
from rooflab.draw.sheets.wording import missing
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import FOLLOWS, LOADS, SHEET, Job, blank_job, example
from rooflab.job.schedule import TO_GIVE, TrussType
from rooflab.job.values import at_ends, house_of, job_with, rafter_text, same, texts_of, value_text, values_of

from .form import Desk, Source, field_specs, job_of
from .panel import Panel

FILE = "house.json"
NEW_JOB = (
    "Title and loads are not given yet, and type A, 20'-0\" long at 2'-0\", only stands in until you give its length: "
    "fill them in in workbook 9."
)


# --- the job ---------------------------------------------------------------------------------------------------------


def job(path: str | os.PathLike[str] = FILE) -> Job:
    """The job in a file beside the workbooks; the example without one.  InputError where the file cannot be used."""
    return Job.load(path) if Path(path).exists() else example()


def ours() -> Job:
    """The job of the example house that the lessons speak of, whatever stands beside the workbooks."""
    return example()


def job_to_save_in(path: str | os.PathLike[str], house: Job) -> Job:
    """The job that saving starts from: the file's; else ``house``, but never the words and loads of the example."""
    if Path(path).exists():
        return job(path)
    return blank_job() if house == example() else house


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


def job_with_panel(house: Job, state: PanelNumbers) -> tuple[Job, list[str]]:
    """A job with a panel's numbers, and what changed, in words; the rest stays.

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
        changes.append(f"{label} {was} becomes {becomes}")
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

    Without a file it begins a new job: no title, no loads, one type whose length is to be given.
    """
    name = Path(path).name

    def act(do: str, values: dict[str, str]) -> str:
        if panel.content["stale"]:
            raise InputError("The panel shows what cannot be drawn; put that right first.")
        new, old = not Path(path).exists(), job_to_save_in(path, example())
        new_job, sentences = job_with_panel(old, panel.responder.state)
        if not sentences and not new:
            return f"{escape(name)} ({escape(old.title)}) holds these numbers already; nothing was written."
        new_job.save(path)
        if new:
            return f"<b>Written to {escape(name)}</b>, a new job with the numbers of the picture. {NEW_JOB}"
        changes = escape("; ".join(sentences))
        return f"<b>Written to {escape(name)}</b> ({escape(old.title)}): {changes}. The rest is as it was."

    return Desk(f"Write the numbers of the picture above into {name}?", {"save": "Write them"}, act)


# --- the words of the sheet ------------------------------------------------------------------------------------------


def words(house: Source, path: str | os.PathLike[str] = FILE) -> Desk:
    """A form for title, title block, loads and truss types; an empty box is "not given".

    Its job takes what was typed.  Once written, it is the job in the file; of our example only what was changed is
    written, into a new job.
    """
    first = job_of(house)
    words_so_far: dict[str, str] = {}

    def act(do: str, values: dict[str, str]) -> str:
        texts = {**words_so_far, **values}
        new_job = _job_with_words(job_of(desk), texts)
        if do != "save":
            words_so_far.update(values)
            desk.job = new_job
            return _open(new_job)
        new, base = not Path(path).exists(), job_to_save_in(path, first)
        if new and first == example():
            standing = {name: value for name, _, value in _rows(first)}
            texts = {name: text for name, text in texts.items() if text.strip() != standing.get(name)}
        desk.job = _job_with_words(base, texts)
        desk.job.save(path)
        words_so_far.clear()
        desk.setup = {**desk.setup, "prompt": _prompt(desk.job), "fields": field_specs(_rows(desk.job))}
        what = "title, title block, loads and types only"
        if new and first == example():
            what = "a new job with what you changed here; nothing else of the example but its planes"
        return f"<b>Written to {escape(Path(path).name)}</b>, {what}. {_open(desk.job)}"

    buttons = {"take": "Take these words", "save": f"and write them into {Path(path).name}"}
    desk = Desk(_prompt(first), buttons, act, _rows(first), _open(first))
    desk.job = first
    return desk


def _prompt(house: Job) -> str:
    return f"{house.title}: the words of the sheet"


def _rows(house: Job) -> list[tuple[str, str, str]]:
    """The boxes of the words of a job; a length that only stands in is an empty one."""
    rows = [("title", "Title of the house", house.title)]
    rows += [(f"sheet.{name}", label, str(house.sheet.get(name, ""))) for name, label in SHEET.items()]
    for name, row in LOADS.items():
        value = house.loads.get(name, "")
        text = f"{value:g}" if row.unit and value != "" else str(value)
        rows.append((f"loads.{name}", f"{row.label}, {row.unit}" if row.unit else row.label, text))
    return [*rows, *(row for kind in house.types for row in _type_rows(kind))]


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
                has_unit = table == "loads" and name in LOADS and LOADS[name].unit
                parts[table][name] = attempt(problems, _number, name, text) if has_unit else text
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


def _number(name: str, text: str) -> float:
    """A load as a number; InputError where it is none."""
    try:
        return float(text)
    except ValueError:
        raise InputError(f"{LOADS[name].label} {text}: a number in {LOADS[name].unit} is needed.") from None


def _open(house: Job) -> str:
    left = missing(house)
    sentence = f"Still open: {escape(', '.join(left))}." if left else "<b>Nothing is left open.</b>"
    counts = ", ".join(f"{kind.count} of type {kind.mark}" for kind in house.types)
    return f"{sentence} Trusses: {escape(counts)}." if counts else sentence
