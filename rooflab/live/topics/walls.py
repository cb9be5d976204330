"""The field sheet: any number of set trusses on both walls of a job, empty until measured; its files."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from html import escape
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.findings import Finding
from rooflab.base.measure import InputError, feet_inches
from rooflab.base.rows import Reading, Rows
from rooflab.draw.scene import Scene
from rooflab.draw.sheets.site_card import site_card
from rooflab.draw.sheets.walls import shim_list
from rooflab.draw.views.walls import along_the_walls, shim_word, where_to_measure
from rooflab.job.jobfile import Job, example
from rooflab.live.widgets.controls import Boxes, choice_control, list_control
from rooflab.live.widgets.files import folder_words, write_and_link
from rooflab.live.widgets.form import Desk
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import Row, findings_html
from rooflab.live.widgets.topic import Entry, Topic
from rooflab.live.widgets.topic_panel import panel_of
from rooflab.live.widgets.touch import says
from rooflab.shop.field import STEP, Shim, set_trusses
from rooflab.shop.items import ENDS
from rooflab.shop.walls import AIMS, MOST, MeasuredWall, MeasuredWalls, measured_walls, read_heels, ridge_words, signed

from .cutting import CARDS
from .field import cautions_html, length_control

NOT_YET = "not measured"
LISTS = {"left": "Left wall", "right": "Right wall"}
EARLIER = {"left_before": "Left, last time", "right_before": "Right, last time"}
STANDING = ("plumb", "bow", "spacing")
HOW = (
    "Measure each heel plumb at the outside face of framing, from the top of plate to the top edge of the truss.",
    "Type or paste the heels of a wall into its box in their order: 8 13/16, 8 3/4, 8 7/8. Commas, semicolons, lines "
    "and a column of a spreadsheet will do.",
    "A dash or an empty place is a truss not measured yet. 2': 8 3/4 says where one stands.",
    "A list that is pasted is read at once, one that is typed when you leave its box.",
)


class WallsState(NamedTuple):
    """What was measured on both walls, and the set trusses' own limits, as far as they are measured."""

    walls: MeasuredWalls
    standing: tuple[Finding, ...]


def _wall_rows(wall: MeasuredWall) -> tuple[Reading, ...]:
    """The readings of a wall; those of the plane say so where it is not measured."""
    own = (Reading("asked", f"{wall.label}, heel asked for", "in", "field", "asked", lambda asked: asked, "asked"),)
    if wall.schedule is None:
        words = (("aim", "plane to aim for"), ("seat", "seat for it"))
        return (*own, *(Reading(name, f"{wall.label}, {said}", "", "field", "", lambda: NOT_YET, "")
                        for name, said in words))  # fmt: skip
    return (
        *own,
        Reading("aim", f"{wall.label}, plane to aim for", "in", "field", "asked + up", lambda asked, up: asked + up,
                "asked up"),
        Reading("seat", f"{wall.label}, seat for it", "in", "field", "(D·k(m) − heel) ÷ m", geo.seat_from, "heel D m"),
        Reading("notch", f"{wall.label}, notch, square to the edge", "in", "field", "m·seat ÷ k(m)", geo.notch,
                "m seat"),
        Reading("many", f"{wall.label}, trusses to shim", "", "field", "", lambda many: many, "many"),
        Reading("spread", f"{wall.label}, lowest to highest", "in", "field", "highest − lowest",
                lambda highest, lowest: highest - lowest, "highest lowest"),
    )  # fmt: skip


class FieldSheet(Topic[WallsState]):
    """The set trusses of a job, both walls."""

    name = "walls"
    label = "Field sheet"
    controls = (
        *(list_control(name, label, 5, read_heels) for name, label in LISTS.items()),
        choice_control("aim", "Aim for", AIMS, AIMS[0]),
        length_control("tolerance", "Tolerance", 0.0625, 0.5, "1/8"),
        *(list_control(name, label, 2, read_heels) for name, label in EARLIER.items()),
        length_control("plumb", "Out of plumb", 0, 3, NOT_YET)._replace(word=NOT_YET),
        length_control("bow", "Bow", 0, 3, NOT_YET)._replace(word=NOT_YET),
        length_control("spacing", "Spacing off", 0, 1, NOT_YET)._replace(word=NOT_YET),
    )
    views = {
        "walls": "Along the walls", "list": "Shim list", "rafters": "Rafters to match", "moved": "What moved",
        "where": "Where to measure", "set": "Set trusses", "cautions": "Cautions",
    }  # fmt: skip
    groups = {
        end: (LISTS[end], (
            Entry(f"{end}.asked", "Heel asked for"), Entry(f"{end}.aim", "Aim for"),
            Entry(f"{end}.seat", "Rafter seat", f"{end}_seat"), Entry(f"{end}.notch", "Notch"),
            Entry(f"{end}.many", "To shim", f"{end}_stack"), Entry(f"{end}.spread", "Low to high", f"{end}_variance"),
        ))
        for end in ENDS
    }  # fmt: skip
    dims = {
        **{
            f"{what} {end} {number}": says(why)
            for what, why in (
                ("shim", "It follows from the heels in the list beside the picture, the aim and the tolerance."),
                ("number", "Trusses are numbered in the order of the list, from the first one of the job on."),
            )
            for end in ENDS
            for number in range(1, 2 * MOST)
        },
        **dict.fromkeys((f"{end} wall" for end in ENDS), says("What was asked for is the job file's.")),
        **dict.fromkeys((f"{end} heel" for end in ENDS), says("What was asked for is the job file's.")),
    }

    def __init__(self, job: Job | None = None) -> None:
        self.job = job or example()

    def build(self, boxes: Boxes) -> WallsState:
        earlier = boxes["left_before"], boxes["right_before"]
        walls = measured_walls(self.job, boxes["left"], boxes["right"], boxes["tolerance"], boxes["aim"], earlier)
        scissor = self.job.scissor
        off = [boxes[name] for name in STANDING]
        found = set_trusses(scissor.gable.span, scissor.depth_at_peak, *(one or 0.0 for one in off))
        return WallsState(walls, tuple(one for one, value in zip(found, off, strict=True) if value is not None))

    def numbers(self, state: WallsState) -> dict[str, Rows]:
        made, rows = state.walls, {}
        for wall, seat in zip(made.walls, made.match.seats, strict=True):
            symbols: dict[str, Any] = {"asked": wall.asked}
            if wall.schedule is not None and seat is not None:
                own = self.job.rafters.symbols(wall.end)
                tops = [row.top for row in wall.schedule.rows]
                heel = float(geo.heel(own["D"], own["m"], seat.seat))
                symbols |= {"up": wall.schedule.aim - wall.asked, "heel": heel, "D": own["D"], "m": own["m"]}
                symbols |= {"highest": max(tops), "lowest": min(tops), "many": f"{len(wall.shimmed)} of {len(tops)}"}
            rows[wall.end] = Rows(_wall_rows(wall), symbols, "field", STEP / 2, True)
        return rows

    def row(self, entry: Entry, state: WallsState, numbers: Any, verdict: str) -> Row | None:
        end, _, name = entry.key.partition(".")
        missing = state.walls.wall(end).schedule is None and name != "asked"
        return None if missing else super().row(entry, state, numbers, verdict)

    def word(self, key: str, state: WallsState) -> str:
        end, _, name = key.partition(".")
        wall = state.walls.wall(end)
        if name == "many" and wall.stopped:
            return f"{len(wall.stopped)} to the engineer"
        return f"drawn {feet_inches(wall.drawn_seat)}" if name == "seat" else ""

    def findings(self, state: WallsState) -> tuple[Finding, ...]:
        return (*state.walls.findings, *state.standing)

    def sentence(self, state: WallsState, view: str) -> str:
        if view == "cautions":
            return "Before anything is measured: bracing per the drawings, nobody on or under unbraced trusses."
        if view == "moved" and not state.walls.empty:
            return state.walls.moved_sentence or "No truss is measured twice yet."
        return state.walls.sentence

    def picture(self, view: str, state: WallsState) -> Scene | str:
        made = state.walls
        if view == "walls":
            return along_the_walls(made)
        if view == "where":
            return where_to_measure(self.job.scissor)
        lists: dict[str, Callable[[], str]] = {
            "list": partial(shims_html, made), "rafters": partial(rafters_html, made),
            "moved": partial(moved_html, made), "set": partial(_standing_html, state), "cautions": cautions_html,
        }  # fmt: skip
        return lists[view]()


def _standing_html(state: WallsState) -> str:
    return findings_html(state.standing) if state.standing else "<p>Plumb, bow and spacing are not measured yet.</p>"


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]], bold: Sequence[int] = ()) -> str:
    """A table of texts, those of some columns bold."""

    def cell(column: int, text: str) -> str:
        return f"<td><b>{escape(text)}</b></td>" if column in bold and text else f"<td>{escape(text)}</td>"

    top = "".join(f"<th>{escape(head)}</th>" for head in heads)
    body = "".join(f"<tr>{''.join(cell(column, text) for column, text in enumerate(row))}</tr>" for row in rows)
    return f'<table class="rl-list"><tr>{top}</tr>{body}</table>'


def shims_html(made: MeasuredWalls) -> str:
    """The shim list of both walls as HTML: what to do first where nothing is measured, then a truss a row."""
    heads = ["No.", "Place", "Type"]
    for wall in made.walls:
        heads += [f"{wall.label}, heel", "below the plane", "shim"]

    def cells(row: Shim | None) -> list[str]:
        return [feet_inches(row.heel), feet_inches(row.below), shim_word(row)] if row else ["-", "", ""]

    rows = [
        [f"{place.number}", feet_inches(place.at), place.mark, *(cell for wall in made.walls
                                                               for cell in cells(wall.rows[place.number - 1]))]
        for place in made.places
    ]  # fmt: skip
    first = f"<ol>{''.join(f'<li>{escape(one)}</li>' for one in HOW)}</ol>" if made.empty else ""
    said = "".join(f"<p>{escape(one)}</p>" for one in made.remarks)
    return cautions_html(2) + first + said + _table(heads, rows, (0, 5, 8))


def rafters_html(made: MeasuredWalls) -> str:
    """The rafters' seats for the planes aimed for, the ridge, and the variance of the trusses, as HTML."""
    if made.empty:
        return f"<p>{escape(made.sentence)}</p>"
    rows = []
    for wall, seat in zip(made.walls, made.match.seats, strict=True):
        rows.append([f"{wall.label}: every rafter's seat", seat.sentence if seat else "Not measured yet: as drawn."])
    rows.append(["Ridge", ridge_words(made.rafters, made.match, ENDS[made.match.seats[0] is None])])
    rows += [[f"{one.name.replace('_', ' ').capitalize()}: {one.verdict}", f"{one.sentence} {one.remedy}"]
             for one in made.findings if not one.name.endswith("seat")]  # fmt: skip
    return _table(("What", "What is done"), rows, (0,))


def moved_html(made: MeasuredWalls) -> str:
    """The trusses measured twice as HTML: how far each moved, its shim then and now."""
    if not made.moves:
        return (
            "<p>Nothing is measured twice yet. Put the first lists into the boxes of the last time (the button below "
            "the panel does it), and type what is measured now.</p>"
        )
    rows = [
        [f"{one.where}, {one.end}", signed(one.moved), feet_inches(one.before) if one.before else "none",
         feet_inches(one.now) if one.now else "none", "changed" if one.before != one.now else ""]
        for one in sorted(made.moves, key=lambda one: -abs(one.moved))
    ]  # fmt: skip
    return _table(("Truss", "Moved (+ is up)", "Shim then", "Shim now", ""), rows, (3, 4))


def field_sheet(
    job: Job | None = None, controls: Sequence[str] = (), views: Sequence[str] = (), groups: Sequence[str] = (),
    size: str = "", **start: object,
) -> Panel:  # fmt: skip
    """The field sheet of a job as a panel: heels of both walls as they are measured; without a job the lessons' house.

    ``left`` and ``right`` are lists of heels such as ``8 13/16, 8 3/4``; nothing is measured at the start without them.
    """
    return panel_of(FieldSheet(job), controls, views, groups, size, False, start)


# --- files -----------------------------------------------------------------------------------------------------------

FOLDER = "to the site"
AGAIN = "again"
WRITES = {"list": "Shim list, PDF", "card": "Card to write on, PDF"} | {
    f"{size} {end}": f"{words}: {end}" for size, (words, *_) in CARDS.items() for end in ENDS
}
TYPED = (("date", "Date", ""), ("reset", "Bearings reset on (typed by whoever saw it)", ""))


def field_files(panel: Panel, folder: str = FOLDER) -> Desk:
    """Buttons that write the shim list, a card to write on and both ends' site cards of a field sheet as new files.

    One more makes what is measured the last time's, to measure again.
    """

    def act(do: str, values: dict[str, str]) -> str:
        if panel.content["stale"]:
            raise InputError("The panel shows what cannot be read; put that right first.")
        state: WallsState = panel.responder.state
        job = panel.responder.topic.job
        if do == AGAIN:
            return _measure_again(panel)
        name = f"seam {job.title}"
        words: dict[str, Any] = {key: values.get(key, "") for key, _, _ in TYPED}
        what, _, end = do.partition(" ")
        if end:
            made = None if state.walls.wall(end).schedule is None else state.walls
            write: Callable[..., object] = partial(site_card, job, size=what, end=end, measured=made, **words)
            link = write_and_link(folder, f"{name} {end}", CARDS[what][1], write)
        else:
            walls = state.walls if do == "list" else measured_walls(job)
            write = partial(shim_list, job, walls=walls, date=words["date"])
            link = write_and_link(folder, name, "-shim-list.pdf" if do == "list" else "-to-measure.pdf", write)
        return f"{link}{folder_words(folder)} The truss drawings and the engineer govern."

    prompt = "Write the field sheet above on paper? An older file is never written over."
    return Desk(prompt, WRITES | {AGAIN: "Measure again: this becomes the last time"}, act, TYPED)


def _measure_again(panel: Panel) -> str:
    """The lists put into the boxes of the last time, and their own emptied."""
    texts = {name: str(field["text"]) for name, field in panel.content["fields"].items()}
    if not any(texts[name].strip() for name in LISTS):
        raise InputError("Nothing is measured yet.")
    panel.set(**{f"{name}_before": texts[name] for name in LISTS}, **dict.fromkeys(LISTS, ""))
    return "<b>Done.</b> Type what is measured now; Undo brings the lists back."
