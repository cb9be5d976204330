"""His numbers through the whole job: the job file in the workbooks' folder, the sheet on the page, and the files made.

``Desk`` is a small form with buttons; what a button does stands first and without widgets.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from html import escape
from pathlib import Path
from typing import Any, NamedTuple

from rooflab.base.inputs import pair
from rooflab.base.measure import InputError
from rooflab.draw.layout import fit
from rooflab.draw.scene import Scene, Title, svg
from rooflab.draw.sheets.exports import profile_dxf, readings_csv
from rooflab.draw.sheets.profile import profile_sheet, sheets
from rooflab.draw.views.profile import profile_scene
from rooflab.job.jobfile import FOLLOWS, Job, example, untitled
from rooflab.job.values import at_ends, house_of, job_with, rafter_text, same, texts_of, value_text, values_of

from .ask import Ask
from .base import HERE, Form, script
from .files import beside, write_and_link
from .panel import Panel

FILE = "house.json"
FOLDER = "to the manufacturer"
FILES = {  # what can be written: its button and its ending
    "letter": ("PDF, letter", "-letter.pdf"),
    "tabloid": ("PDF, tabloid", "-tabloid.pdf"),
    "dxf": ("DXF", ".dxf"),
    "csv": ("CSV of the readings", ".csv"),
}


# --- the job ---------------------------------------------------------------------------------------------------------


def job(path: str | os.PathLike[str] = FILE) -> Job:
    """The job in a file beside the workbooks; ours where there is none.  InputError where the file cannot be used."""
    return Job.load(path) if Path(path).exists() else example()


def ours() -> Job:
    """The house the lessons speak of, whatever stands beside the workbooks."""
    return example()


def kept(path: str | os.PathLike[str], house: Job) -> Job:
    """What saving starts from: the job in the file; else ``house``, but never the words and loads of our example."""
    if Path(path).exists():
        return job(path)
    return untitled() if house == example() else house


def start(house: Job) -> dict[str, Any]:
    """A job's numbers as starting values of ``one_plane``; where its ends differ, those of the left one.

    Its loads, grade, spacing and insulation go along as ``assumptions``; saving the panel's numbers leaves them.

    >>> start(example())["seat"]
    '3 1/2"'
    """
    texts = texts_of(house)
    names = ("span", "overhang", "bearing", "sheathing", "pitch", "ceiling_pitch", "seat", "ridge", "lumber")
    made = {"assumptions": house.assumptions, **{name: texts[name] for name in names}, "chord": texts["chords"]}
    return made if house.follows else made | {"heel": texts["heel"]}


def job_texts(house: Job) -> dict[str, str]:
    """A job's numbers, by name, as starting texts of any panel."""
    texts = texts_of(house)
    return {name: text for name, text in texts.items() if name != "chords"} | {"chord": texts["chords"]}


def share(house: Job, *names: str) -> dict[str, str]:
    """Some of a job's numbers, by name, as starting texts of another panel: ``share(job, "span", "dead")``."""
    found = job_texts(house)
    return {name: found[name] for name in names}


def taken_over(house: Job, state: Any) -> tuple[Job, list[str]]:
    """A job with a panel's numbers, and what changed, in words; the rest is kept.

    InputError where a number stands for two different ends of the job.
    """
    old, now = house_of(house), values_of(state.rafters, state.scissor, state.follows)
    said, problems, moved = list[str](), list[str](), dict[str, Any]()
    for name, label in SAVED.items():
        size = name == "lumber"
        here, there = (rafter_text(one) if size else at_ends(one, name)[0] for one in (old, now))
        if name == "heel" and FOLLOWS in (here, there) and here != there:
            no_longer = "follows" if there == FOLLOWS else "no longer follows"
            said.append(f"the truss heel {no_longer} the rafters'")
            moved[name], here = there, pair(house.scissor.heel_given)[0]
            if there == FOLLOWS:
                continue
        if same(here, there):
            continue
        ends = () if size or old[name] == FOLLOWS else dict.fromkeys(at_ends(old, name))
        if len(ends) > 1:
            both = " and ".join(value_text(name, one) for one in ends)
            problems.append(f"{label}: the file has {both}; change unequal ends in the file.")
        was, becomes = (one if size else value_text(name, one) for one in (here, there))
        said.append(f"{label} {was} becomes {becomes}")
        moved |= {key: now[key] for key in ("lumber", "depth") if key in now} if size else {name: there}
    if problems:
        raise InputError(problems)
    return job_with(house, moved), said


SAVED = {
    "span": "span", "bearing": "bearing", "overhang": "overhang", "sheathing": "sheathing", "pitch": "roof pitch",
    "seat": "seat", "ridge": "ridge board", "lumber": "rafter", "ceiling_pitch": "ceiling pitch", "chord": "top chord",
    "bottom_chord": "bottom chord", "heel": "truss heel",
}  # fmt: skip
"""What a panel's numbers change in a job, and what each is called when it does."""


# --- a small form ----------------------------------------------------------------------------------------------------


class Desk(Form):
    """Boxes and buttons; what a button does comes back as HTML.  ``job`` is the job it works on.

    A field is name, label and value: a text, or True or False for a box to tick ("yes" or "" when it comes back).
    One without a name is a heading over those that follow.
    """

    _esm = script("form.js")
    _css = HERE / "ask.css"

    job: Job | None = None

    def __init__(
        self,
        prompt: str,
        buttons: Mapping[str, str],
        act: Callable[[str, dict[str, str]], str],
        fields: Sequence[tuple[str, str, str | bool]] = (),
        answer: str = "",
    ) -> None:
        self._act = act
        setup = {"prompt": prompt, "fields": boxes(fields), "buttons": list(buttons.items())}
        super().__init__(setup=setup, answer=answer)

    def _answer(self) -> None:
        values = {str(name): str(value) for name, value in dict(self.given.get("values", {})).items()}
        try:
            self.answer = self._act(str(self.given.get("do", "")), values)
        except InputError as error:
            self.answer = "<b>Not done.</b> " + " ".join(escape(problem) for problem in error.problems)

    def press(self, do: str, **values: str) -> str:
        """Press a button from code, with what stands in the boxes; the answer."""
        return self._press(do=do, values=values)

    def still(self) -> dict[str, str]:
        lines = [self.setup["prompt"], *map(_line, self.setup["fields"])]
        lines.append("  " + "  ".join(f"[ {label} ]" for _, label in self.setup["buttons"]))
        return {"text/plain": "\n".join(lines)}


def boxes(fields: Sequence[tuple[str, str, str | bool]]) -> list[dict[str, Any]]:
    """Fields as the page takes them."""
    return [{"name": name, "label": label, "value": value} for name, label, value in fields]


def _line(row: Mapping[str, Any]) -> str:
    """A field of a form in plain text."""
    if not row["name"]:
        return str(row["label"])
    if isinstance(row["value"], bool):
        return f"  [{'x' if row['value'] else ' '}] {row['label']}"
    return f"  {row['label']}: {row['value'] or '________'}"


Source = Job | Desk
BEGUN = (
    "Title and loads are not given yet, and type A, 20'-0\" long at 2'-0\", only stands in until you give its length: "
    "fill them in in workbook 9."
)


def job_of(source: Source) -> Job:
    """The job itself, or the one a form works on."""
    found = source if isinstance(source, Job) else source.job
    assert found is not None
    return found


def save(panel: Panel, path: str | os.PathLike[str] = FILE) -> Desk:
    """A button that writes a panel's present numbers into the job file; all else in the file is kept.

    Without a file it begins a job of his own: no title, no loads, one type whose length is to be given.
    """
    name = Path(path).name

    def act(do: str, values: dict[str, str]) -> str:
        if panel.shown["stale"]:
            raise InputError("The panel shows what cannot be drawn; put that right first.")
        new, old = not Path(path).exists(), kept(path, example())
        made, said = taken_over(old, panel.responder.state)
        if not said and not new:
            return f"{escape(name)} ({escape(old.title)}) holds these numbers already; nothing was written."
        made.save(path)
        if new:
            return f"<b>Written to {escape(name)}</b>, a new job with the numbers of the picture. {BEGUN}"
        changes = escape("; ".join(said))
        return f"<b>Written to {escape(name)}</b> ({escape(old.title)}): {changes}. The rest is as it was."

    return Desk(f"Write the numbers of the picture above into {name}?", {"save": "Write them"}, act)


def export(source: Source, folder: str | os.PathLike[str] = FOLDER) -> Desk:
    """Buttons that write a job's sheets, drawing and readings as new files in a folder beside the workbook."""

    def act(do: str, values: dict[str, str]) -> str:
        house = job_of(source)
        write: Callable[[Path], object]
        if do in ("letter", "tabloid"):
            write = partial(profile_sheet, house, paper=do)
        else:
            write = partial(profile_dxf if do == "dxf" else readings_csv, house)
        return write_and_link(folder, house.title, FILES[do][1], write) + beside(folder)

    return Desk("Write new files; an older file is never written over.", {do: row[0] for do, row in FILES.items()}, act)


# --- the sheet on the page -------------------------------------------------------------------------------------------


class Picture(NamedTuple):
    """A drawing on the page, and what it says in plain text."""

    drawn: str
    said: str

    def __repr__(self) -> str:
        return self.said

    def _repr_html_(self) -> str:
        return f'<div style="background: #fff; overflow-x: auto">{self.drawn}</div>'


def sheet(source: Source, mark: str = "", paper: str = "letter") -> Picture:
    """The page of a truss type as it is printed; the first type without a mark.  InputError for an unknown mark."""
    house = job_of(source)
    marks = [kind.mark for kind in house.types]
    if mark and mark not in marks:
        raise InputError(f"Type {mark!r}: this job has {', '.join(marks) or 'none'}.")
    pages = sheets(house, paper)
    wanted = f"{house.title}: Truss profile, type {mark or marks[0]}: "
    page = next(page for page in pages if page.title.startswith(wanted))
    lines = [label.text for label in page.labels]
    frame = r'(<svg[^>]*?) width="[^"]*" height="[^"]*"'
    drawn = re.sub(frame, r'\1 style="width: 100%; max-width: 1056px"', svg(page, page.width, page.height), count=1)
    return Picture(drawn, "\n".join([page.title, *lines]))


def poor_sheet() -> Picture:
    """A made profile with faults, to be found: no type, no plate, no face, no bearing, no tail, a figure rounded."""
    house = example()
    scene = profile_scene(house, house.types[0])
    kept = {"span": "26'-0\"", "overall height": "9'-5\"", "left heel": '8 13/16"', "left run": "", "right run": ""}
    dims = tuple(d._replace(text=kept[d.name]) for d in scene.dims if kept.get(d.name))
    bare: Scene = replace(
        scene, title="TRUSSES, 16 pcs", dims=dims, notes=(), must=(),
        titles=(Title("title", "TRUSSES, 16 pcs", "left"),),
        slopes=scene.slopes[:2], description="A profile with much left out.",
    )  # fmt: skip
    placed = fit(bare, 640, 300)
    texts = [label.text for label in placed.labels]
    return Picture(svg(placed, 640, 300), "A poor profile. All that it says: " + ", ".join(texts))


def choose(prompt: str, answers: Mapping[str, str], right: str) -> Ask:
    """A question with choices, each with an answer of its own; one of them is right."""
    if right not in answers:
        raise ValueError(f"{right!r} is not one of the choices")

    def judge(choice: str, do: str) -> str:
        head = "<b>Right</b> (as you said)." if choice == right else "<b>Not that one.</b>"
        return f"{head} {escape(answers.get(choice, ''))}"

    return Ask(prompt, judge, tuple(answers))
