"""What a room is shown of a workbook, gathered from the workbook itself: goals, stops, summary, formulas, cautions.

Its cells are run as they stand, so nothing is written twice: each prediction with a picture is a *stop*.
"""

from __future__ import annotations

import ast
import json
import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import comm

from rooflab.base.measure import InputError
from rooflab.draw.scene import Scene
from rooflab.draw.sheets.handout import Handout, write_handout
from rooflab.draw.sheets.running_order import Slide, write_running_order
from rooflab.job.jobfile import Job
from rooflab.live.widgets.ask import Ask, Stop
from rooflab.live.widgets.frames import STAGE
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic import follow_key
from rooflab.live.widgets.topic_panel import TopicPanel
from rooflab.live.widgets.workings import Lines, Working
from rooflab.start.copies import original_folder, workbook_name

CONTROLS, READINGS, FEW = 4, 6, 4  # at most, on one screen of a room; readings, where fewer matter
MOST_WORDS = 20  # of the first slide's sentence
FORMULAS = 6  # on a handout
FIRST, BEFORE, LAST = 1, 1, 2  # minutes for the slides around the stops
AHEAD = "Before anything else"  # what stands in a frame begins so
KEYS = "Arrows or page keys turn the slides; 1 to 4 choose, R reveals, A starts a stop again."
DESK_KEYS = "N shows notes on the slide, W in a second window, H the house of your file; Esc leaves, F8 comes back."


class RoomStop(NamedTuple):
    """A stop: the question, and the panel it unlocks in the workbook."""

    stop: Stop
    panel: Panel

    @property
    def moves(self) -> dict[str, str]:
        """The controls that show the outcome, by name, with their texts; one that is typed follows nothing."""
        topic, move = self.panel.responder.topic, self.stop.move
        boxes = {follow_key(one): "no" for one in topic.followers if one.name in move}
        return {**topic.beside(move), **move, **boxes}


class Lesson(NamedTuple):
    """A workbook as a room sees it."""

    file: str
    title: str
    parts: Mapping[str, str]  # the text of its sections
    stops: tuple[RoomStop, ...]
    pictures: tuple[TopicPanel, ...]  # of its panels, the one with everything first
    workings: Mapping[str, tuple[Lines, ...]]  # of its sections
    left_out: int  # cells that could not be run

    def points(self, section: str) -> list[str]:
        """The numbered points of a section, or else its points."""
        text = self.parts.get(section, "")
        return re.findall(r"^\d+\. (.+)$", text, re.M) or re.findall(r"^- (.+)$", text, re.M)

    @property
    def sentence(self) -> str:
        """What it is about in one sentence: the bold words of its goals, as many as a room reads at a glance."""
        aims: list[str] = []
        for goal in self.points("Goal"):
            bold = re.match(r"\*\*(.+?)\*\*", goal)
            if bold and len(" ".join([*aims, bold[1]]).split()) + bool(aims) <= MOST_WORDS:
                aims.append(bold[1])
        said = ", ".join([*aims[:-2], ", and ".join(aims[-2:])]) or self.title
        return said[0].upper() + said[1:] + "."

    @property
    def case(self) -> str:
        """The case that it begins with; "" where it has none."""
        lines = self.parts.get("", "").splitlines()
        return next((without_marks(line) for line in lines if re.match(r"[A-Z]", line)), "")

    @property
    def cautions(self) -> list[str]:
        """What stands in a frame because it comes before anything else, without these words."""
        lines = self.parts.get("", "").splitlines()
        framed = [without_marks(line.removeprefix("> ")) for line in lines if line.startswith("> ")]
        return [re.sub(rf"^{AHEAD}[.:]? *", "", words) for words in framed]

    @property
    def minutes(self) -> int:
        """The time a room takes, in minutes, about."""
        return sum(one.minutes for one in slides_of(self))


# --- the workbook ----------------------------------------------------------------------------------------------------


def workbook_file(workbook: str, folder: str | os.PathLike[str] = ".") -> Path:
    """The file of a workbook named "01" or by its whole name: the copy in ``folder``, else as it was shipped.

    InputError for one that is not there.
    """
    originals = original_folder()
    name = workbook_name(str(workbook), originals)
    if not name:
        known = ", ".join(path.name.partition("-")[0] for path in sorted(originals.glob("*.ipynb")))
        raise InputError(f"Workbook {str(workbook)[:40]!r}: there is none of that name; give one of {known}.")
    copy = Path(folder) / name
    return copy if copy.is_file() else originals / name


def read_lesson(workbook: str, folder: str | os.PathLike[str] = ".") -> Lesson:
    """A workbook's lesson.  A cell that cannot be run (an edited copy) is left out.  InputError as in ``find``."""
    path = workbook_file(workbook, folder)
    try:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        sources = [(cell["cell_type"], "".join(cell["source"])) for cell in cells]
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise InputError(f"Workbook {path.name}: cannot be read ({type(error).__name__}).") from None
    prose = "\n\n".join(text for kind, text in sources if kind == "markdown")
    title = next(re.finditer(r"^# (.+)$", prose, re.M), None)
    with _unseen():
        things, left_out = _play(sources)
    asks = [thing for _, thing in things if isinstance(thing, Ask)]
    stops = [RoomStop(one.stop, one.panel) for one in asks if one.stop and one.panel]
    panels = [thing.responder for _, thing in things if isinstance(thing, Panel)]
    pictures = sorted((one for one in panels if isinstance(one, TopicPanel)), key=lambda one: bool(one.size))
    workings: dict[str, tuple[Lines, ...]] = {}
    for section, thing in things:
        if isinstance(thing, Working):
            workings[section] = (*workings.get(section, ()), thing.lines)
    name = title[1] if title else path.stem
    return Lesson(path.stem, name, dict(_parts(prose)), tuple(stops), tuple(pictures), workings, left_out)


@contextmanager
def _unseen() -> Iterator[None]:
    """Widgets made here are never sent to a page."""
    real = comm.create_comm
    comm.create_comm = comm.DummyComm
    try:
        yield
    finally:
        comm.create_comm = real


def _parts(prose: str) -> Iterator[tuple[str, str]]:
    first, *others = ("\n" + prose).split("\n## ")
    yield "", re.sub(r"^# .*$", "", first, count=1, flags=re.M)
    for part in others:
        heading, _, text = part.partition("\n")
        yield heading.strip(), text


def _play(sources: Iterable[tuple[str, str]]) -> tuple[list[tuple[str, object]], int]:
    """Run the cells here, in order: what they show, each once and with its section, and how many could not be run."""
    results: list[tuple[str, object]] = []
    section, left_out = "", 0

    def show(*things: object) -> None:
        known = {id(thing) for _, thing in results}
        results.extend((section, thing) for thing in things if thing is not None and id(thing) not in known)

    space: dict[str, object] = {"display": show, "__name__": "workbook"}
    for kind, source in sources:
        if kind == "markdown":
            headings = re.findall(r"^## (.+)$", source, re.M)
            section = headings[-1].strip() if headings else section
        elif kind == "code":
            try:
                tree = ast.parse(source)
                last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
                exec(compile(tree, "workbook", "exec"), space)
                if isinstance(last, ast.Expr):
                    show(eval(compile(ast.Expression(last.value), "workbook", "eval"), space))
            except Exception:  # whatever stands in an edited copy
                left_out += 1
    return results, left_out


# --- a stop's picture ------------------------------------------------------------------------------------------------


def room_panel(
    room_stop: RoomStop, job: Job | None = None, stage: tuple[int, int] = STAGE, words: Sequence[str] = ()
) -> Panel:
    """A stop's panel for a room: few controls, the one to move first; the readings that matter; one large picture.

    With a ``job`` it starts from its numbers.  It is laid out for a window of the width and height of ``stage``, px,
    with room for ``words`` beside the picture.  InputError where a job cannot be drawn.
    """
    base = room_stop.panel.responder
    spoken = " ".join((room_stop.stop.prompt, *room_stop.stop.choices, room_stop.stop.why, room_stop.stop.look)).lower()
    specs = base.setup()["controls"]
    few = len(specs) <= CONTROLS
    names = [spec["name"] for spec in specs if few or _mentions(spec["label"], spoken)]
    controls = list(dict.fromkeys([*room_stop.stop.move, *names]))[:CONTROLS]
    telling, view = _readings_for(room_stop, spoken), (*base.picture_views(), *base.views)[0]
    responder, moved = (base.for_room(controls, view, telling, job) for _ in range(2))
    moved.respond(room_stop.moves)
    ends = [one.topic.picture(view, one.state) for one in (responder, moved)]
    responder.ends = [one for one in ends if isinstance(one, Scene)]
    responder.words = words
    responder.stand_on(stage)
    panel = Panel(responder, locked=True)
    order = {name: place for place, name in enumerate(controls)}
    panel.setup = {**panel.setup, "controls": sorted(panel.setup["controls"], key=lambda spec: order[spec["name"]])}
    return panel


def _mentions(label: str, words: str) -> bool:
    return re.search(rf"\b{re.escape(label.lower())}\b", words) is not None


def _readings_for(room_stop: RoomStop, words: str) -> Sequence[str]:
    """Keys of the readings for a stop: those it names, then those that change, then the others.

    Where a number is asked for, those that show it already are left out.
    """
    base = room_stop.panel.responder
    before = [row for _, rows in base.rows() for row in rows]
    trial = base.for_room([spec["name"] for spec in base.setup()["controls"]], base.views[0], ())
    trial.respond(room_stop.moves)
    after = {row.key: (row.text, row.word) for _, rows in trial.rows() for row in rows}
    changes = [row.key for row in before if after.get(row.key) != (row.text, row.word)]
    if any(letter.isdigit() for letter in room_stop.stop.right):
        before = [row for row in before if row.key in changes or not _gives_away(row.text, room_stop.stop.why)]
    mentions = [row.key for row in before if _mentions(row.label, words)]
    first = list(dict.fromkeys([*mentions, *changes]))[:READINGS]
    return list(dict.fromkeys([*first, *(row.key for row in before)]))[: max(len(first), FEW)]


def _gives_away(number: str, words: str) -> bool:
    return re.search(rf"(?<![\w/,.-]){re.escape(number)}(?![\w/])", words) is not None


# --- on paper -----------------------------------------------------------------------------------------------------


def without_marks(text: str) -> str:
    """A line of a workbook's text without its marks.

    >>> without_marks("**Ask the engineer** about *loads*, `rl.review`")
    'Ask the engineer about loads, rl.review'
    """
    return re.sub(r"\*\*(.+?)\*\*|\*(.+?)\*|`(.+?)`", lambda found: next(filter(None, found.groups())), text)


def slides_of(lesson: Lesson) -> list[Slide]:
    """The slides of a lesson as whoever presents needs them: minutes, and what is asked, expected, moved and said."""
    slides = [Slide("First", FIRST, [("Shows", lesson.sentence), *([("Say", lesson.case)] if lesson.case else [])])]
    if lesson.cautions:
        slides.append(Slide("Before", BEFORE, [("Say", " ".join(lesson.cautions))]))
    for number, one in enumerate(lesson.stops, 1):
        stop = one.stop
        answers = "; ".join(f"{i} {text}" for i, text in enumerate(stop.choices, 1))
        told = f"{answers}. It is {stop.choices.index(stop.right) + 1}."
        lines = [("Ask", stop.prompt), ("Answers", told), ("Expect", stop.surprise)]
        slides.append(Slide(f"Stop {number}", stop.minutes, [*lines, ("Move", stop.look), ("Say", stop.why)]))
    points = " ".join(f"{i}. {without_marks(point)}" for i, point in enumerate(lesson.points("Summary"), 1))
    return [*slides, Slide("Last", LAST, [("Say", points)])]


def running_order(workbook: str, path: str | os.PathLike[str], folder: str | os.PathLike[str] = ".") -> Path:
    """Write a workbook's running order for whoever presents it, one page of letter paper, as a PDF.

    ``workbook`` and ``folder`` are as for ``room``.  Nothing is overwritten.  InputError for a workbook that is not
    there or a file that is.
    """
    lesson = read_lesson(workbook, folder)
    return write_running_order(lesson.title, slides_of(lesson), f"{KEYS} {DESK_KEYS}", path)


def handout_of(lesson: Lesson) -> Handout:
    """The handout of a lesson."""
    left_out = re.findall(r"^- (.+)$", lesson.parts.get("What this leaves out", ""), re.M)
    scene, key = lesson.pictures[0].picture_now() if lesson.pictures else (None, None)
    workings = lesson.workings.get("Explain") or lesson.workings.get("Explore", ())
    lines = list(dict.fromkeys(line for lines in workings for line in lines))[:FORMULAS]
    return Handout(
        lesson.title,
        [without_marks(goal) for goal in lesson.points("Goal")],
        scene,
        [(name, formula, put, value) for name, value, formula, put in lines],
        [(one.stop.prompt, one.stop.choices) for one in lesson.stops],
        [without_marks(words) for words in left_out],
        key,
    )


def handout(workbook: str, path: str | os.PathLike[str], folder: str | os.PathLike[str] = ".") -> Path:
    """Write a workbook's handout, one page of letter paper, as a PDF; ``workbook`` and ``folder`` as for ``room``.

    Nothing is overwritten.  InputError for a workbook that is not there or a file that is.
    """
    return write_handout(handout_of(read_lesson(workbook, folder)), path)
