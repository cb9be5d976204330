"""The form for what a sheet says beside the drawing: title, title block, loads, and the stretches the types serve."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

from rooflab.base.inputs import attempt, stop_on
from rooflab.base.measure import InputError, exact, inches
from rooflab.draw.sheets.wording import missing
from rooflab.job.jobfile import LOADS, SHEET, Job, example
from rooflab.job.schedule import TO_GIVE, TrussType

from .job_desk import FILE, Desk, Source, boxes, job_of, kept


def words(house: Source, path: str | os.PathLike[str] = FILE) -> Desk:
    """A form for title, title block, loads and truss types; an empty box is "not given".

    Its job takes what was typed.  Once written, it is the job in the file; of our example only what was changed is
    written, into a job of his own.
    """
    first = job_of(house)
    typed: dict[str, str] = {}

    def act(do: str, values: dict[str, str]) -> str:
        given = {**typed, **values}
        made = _worded(job_of(desk), given)
        if do != "save":
            typed.update(values)
            desk.job = made
            return _open(made)
        new, base = not Path(path).exists(), kept(path, first)
        if new and first == example():
            shown = {name: value for name, _, value in _rows(first)}
            given = {name: text for name, text in given.items() if text.strip() != shown.get(name)}
        desk.job = _worded(base, given)
        desk.job.save(path)
        typed.clear()
        desk.setup = {**desk.setup, "prompt": _prompt(desk.job), "fields": boxes(_rows(desk.job))}
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
    for name, (label, unit, _, _) in LOADS.items():
        value = house.loads.get(name, "")
        text = f"{value:g}" if unit and value != "" else str(value)
        rows.append((f"loads.{name}", f"{label}, {unit}" if unit else label, text))
    return [*rows, *(row for kind in house.types for row in _type_rows(kind))]


def _type_rows(kind: TrussType) -> list[tuple[str, str, str]]:
    length = "" if kind.remark == TO_GIVE else exact(kind.length)
    return [
        (f"types.{kind.mark}.length", f"Type {kind.mark}: length of its stretch", length),
        (f"types.{kind.mark}.spacing", f"Type {kind.mark}: spacing", exact(kind.spacing)),
    ]


def _worded(house: Job, values: Mapping[str, str]) -> Job:
    """A job with what stands in the boxes; InputError with every problem."""
    problems: list[str] = []
    parts: dict[str, Any] = {"sheet": dict(house.sheet), "loads": dict(house.loads)}
    for key, typed in values.items():
        (table, _, name), text = key.partition("."), typed.strip()
        if table in parts:
            parts[table].pop(name, None)
            if text:
                has_unit = table == "loads" and LOADS.get(name, ("", ""))[1]
                parts[table][name] = attempt(problems, _number, name, text) if has_unit else text
    types = [attempt(problems, _measured, kind, values) or kind for kind in house.types]
    stop_on(problems)
    title = values.get("title", "").strip() or house.title
    return replace(house, title=title, types=tuple(types), **parts)


def _measured(kind: TrussType, values: Mapping[str, str]) -> TrussType:
    """A type with the length and the spacing of the boxes; one as it stands in its box is left exactly as it is."""
    now = {name: text for name, _, text in _type_rows(kind)}
    made = kind
    for name in ("length", "spacing"):
        key = f"types.{kind.mark}.{name}"
        text = values.get(key, now[key]).strip()
        if text == now[key]:
            continue
        if not text:
            raise InputError(f"Type {kind.mark}, {name}: the box is empty; a length such as 20'-0\" is needed.")
        remark = "" if name == "length" and made.remark == TO_GIVE else made.remark
        changed: dict[str, Any] = {name: inches(text, f"Type {kind.mark}, {name}"), "remark": remark}
        made = replace(made, **changed)
    return made


def _number(name: str, text: str) -> float:
    """A load as a number; InputError where it is none."""
    try:
        return float(text)
    except ValueError:
        raise InputError(f"{LOADS[name][0]} {text}: a number in {LOADS[name][1]} is needed.") from None


def _open(house: Job) -> str:
    left = missing(house)
    said = f"Still open: {escape(', '.join(left))}." if left else "<b>Nothing is left open.</b>"
    counts = ", ".join(f"{kind.count} of type {kind.mark}" for kind in house.types)
    return f"{said} Trusses: {escape(counts)}." if counts else said
