"""The panel, the questions and the files on cutting the rafter: cut drawing, birdsmouth, framing square, steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from rooflab.base.findings import Finding
from rooflab.base.lumber import RAFTERS, RIDGES
from rooflab.base.measure import InputError, feet_inches, pitch_text
from rooflab.base.rows import Rows
from rooflab.checks.limits import findings
from rooflab.draw.scene import Scene
from rooflab.draw.sheets.cut_words import buy
from rooflab.draw.sheets.cutting import cut_sheet
from rooflab.draw.sheets.site_card import site_card
from rooflab.draw.sheets.template import birdsmouth_template
from rooflab.draw.views.cutting import birdsmouth, cut_drawing, framing_square, stepping
from rooflab.draw.views.key import EAVES
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import Cut, whole_steps
from rooflab.job.jobfile import Job, example
from rooflab.job.values import rafters_of
from rooflab.lessons.exercises import cut_case
from rooflab.lessons.questions import Question, cut_rows
from rooflab.live.widgets.controls import Boxes, Control, choice_control, house_control
from rooflab.live.widgets.files import folder_words, write_and_link
from rooflab.live.widgets.form import Desk
from rooflab.live.widgets.handles import SIXTEENTH
from rooflab.live.widgets.house_topic import HouseTopic
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic import Entry
from rooflab.live.widgets.topic_panel import panel_of
from rooflab.live.widgets.touch import Grip, edits, follows, says

FOLDER = "to the carpenter"
CUT_LIMITS = ("end_notch", "stock_above_seat", "tail_left", "tail_length", "bearing", "ridge_board")
PLATE = 5.5  # the plate where nothing else is said; a longer seat takes a wider one, in


MOUTH_GRIPS = (
    Grip("inside end of the seat", "seat", "x", lambda cut: (cut.values["seat_end"], -cut.depth), SIXTEENTH),
)
"""On the birdsmouth of a rafter that lies level."""


class CutTopic(HouseTopic[Cut]):
    """A common rafter as it is cut."""

    name = "cut"
    label = "Cutting the rafter"
    controls: tuple[Control, ...] = (
        house_control("span", "Span", 96, 480),
        house_control("overhang", "Overhang", 0, 36),
        house_control("pitch", "Roof pitch", 2, 18),
        house_control("seat", "Seat", 0, PLATE),
        choice_control("lumber", "Rafter", RAFTERS, "2x10", ordered=True),
        choice_control("ridge", "Ridge board", ("none", *RIDGES), "2x12"),
        choice_control("hook", "Tape hooked at", ("ridge", "tail"), "ridge"),
    )
    beside_questions = dict.fromkeys(
        ("shortening", "plumb_angle", "steps", "seat_angle", "seat_cut", "plumb_cut"), "cut"
    )
    views = {
        "cut": "Cut drawing",
        "birdsmouth": "Birdsmouth",
        "square": "Framing square",
        "steps": "Stepping off",
    }
    cuts = dict.fromkeys(("cut", "birdsmouth", "steps"), EAVES[:1])
    dims = {
        "building line": says("From the ridge cut to the wall, along the slope: change the span, pitch or board."),
        "seat end": says("Half of the span less the seat, along the slope: change the span, the pitch or the seat."),
        "corner": says("Where the birdsmouth is squared up to the edge: change the span, the pitch or the seat."),
        "tail": follows("rafter.cut_length"),
        "ridge": follows("rafter.cut_length"),
        "stock": follows("rafter.stock_length"),
        "over the corner": says("What the notch leaves of the rafter's depth: change the seat, the pitch or the size."),
        "notch": follows("rafter.notch_depth"),
        "mouth": says("The mouth of the birdsmouth along the edge: change the seat or the pitch."),
        "heel": follows("rafter.heel"),
        "heel cut": follows("rafter.birdsmouth_plumb"),
        "seat": edits("seat"),
        "step": says("The slope's length over 12 in of run: the roof pitch alone makes it."),
        "odd step": says("What is left of the run after whole feet: change the span or the overhang."),
        "line length": follows("rafter.line_length"),
    }
    groups = {
        "lengths": ("Along the top edge", (
            Entry("cut.line_length", "Line length"),
            Entry("cut.building_line", "Building line"),
            Entry("cut.cut_length", "Cut length"),
            Entry("cut.stock_length", "Stock needed"),
        )),
        "birdsmouth": ("Birdsmouth", (
            Entry("cut.heel", "Heel"),
            Entry("cut.birdsmouth_plumb", "Heel cut"),
            Entry("cut.notch_depth", "Notch", "end_notch"),
            Entry("cut.corner", "Corner, squared"),
        )),
        "square": ("Square and saw", (
            Entry("cut.step", "One step"),
            Entry("cut.steps", "Steps"),
            Entry("cut.shortening", "Shortening"),
            Entry("cut.plumb_angle", "Plumb cuts"),
        )),
    }  # fmt: skip

    def grips(self, view: str) -> tuple[Grip, ...]:
        return MOUTH_GRIPS if view in ("birdsmouth", "detail") else ()

    def hangs(self, boxes: Boxes) -> Cut:
        return self.build(boxes)

    def build(self, boxes: Boxes) -> Cut:
        return Cut(rafters_of(self.house_with(boxes), rounded=False), hook=boxes["hook"])

    def numbers(self, state: Cut) -> dict[str, Rows]:
        return {"cut": replace(state.numbers, tape=True)}

    def question(self, prompt: str, state: Cut, key: str) -> Question:
        return Question(prompt, cut_rows(state, key), key)

    def case_of(self, prompt: str, key: str, number: int) -> tuple[Question, Cut]:
        return cut_case(prompt, key, number)

    def findings(self, state: Cut) -> tuple[Finding, ...]:
        return tuple(finding for finding in findings(state.bay) if finding.name in CUT_LIMITS)

    def picture(self, view: str, state: Cut) -> Scene:
        views = {"cut": cut_drawing, "birdsmouth": birdsmouth, "square": framing_square, "steps": stepping}
        return views[view](state)

    def key_bays(self, state: Cut) -> tuple[RafterBay, RafterBay]:
        return state.bay, state.bay

    def sentence(self, state: Cut, view: str) -> str:
        v = state.values
        if view == "birdsmouth":
            if not state.has_mouth:
                return "Seat 0: no birdsmouth, the rafter only touches the outer edge of the plate."
            return (
                f"Down the building line a heel of {feet_inches(v['heel'])}, then level {feet_inches(v['seat_cut'])}: "
                f"that leaves a heel cut of {feet_inches(v['birdsmouth_plumb'])}."
            )
        if view == "square":
            return (
                f"{pitch_text(12 * state.slope)}: {state.square.words}, and pencil along the {state.square.rise_arm}."
            )
        if view == "steps":
            inside = f", then the ridge cut {feet_inches(v['shortening'])} inside, level" if v["shortening"] else ""
            whole, odd = whole_steps(v["run"])
            rest = f" and {feet_inches(odd)} of run" if odd else ""
            return f"{whole} steps of {feet_inches(v['step'])}{rest}: {feet_inches(v['line_length'])}{inside}."
        plumb = [mark for mark in state.marks[1:] if mark.how == "plumb"]
        marks = ", ".join(f"{mark.label.partition(':')[0].lower()} {mark.text}" for mark in plumb)
        return f"Tape hooked at the top of the {state.hook} cut: {marks}."

    def detail(self, state: Cut) -> Scene:
        return birdsmouth(state, brief=True)

    def word(self, key: str, state: Cut) -> str:
        if key == "cut.stock_length":
            return buy(state.values["stock_length"])
        if key == "cut.heel":
            return "down the line"
        if key == "cut.shortening":
            return "level"
        if key == "cut.plumb_angle":
            return "off square"
        return ""

    def highest(self, state: Cut) -> dict[str, float]:
        return {"seat": state.bay.gable.walls(0.0)[0].bearing}


def cut_panel(
    controls: Sequence[str] = (), views: Sequence[str] = (), groups: Sequence[str] = (), size: str = "small",
    locked: bool = False, job: Job | None = None, **start: object,
) -> Panel:  # fmt: skip
    """A panel on a rafter as it is cut: cut drawing, birdsmouth, framing square, stepping off.

    ``job`` is the house whose rafter is cut; ``lumber`` may be a measured size or a depth too, and ``ridge`` another
    board.
    """
    topic = CutTopic(job).with_size(**{name: str(start[name]) for name in ("lumber", "ridge") if name in start})
    return panel_of(topic, controls, views, groups, size, locked, start)





TYPED = (("date", "Date", ""), ("quantity", "Quantity", ""), ("option", "Option of the job file", ""))
CARDS = {  # the site card's buttons: its words, ending and size
    "letter": ("Site card to fold, PDF", "-site-card.pdf", "letter"),
    "phone": ("Site card for a phone, PNG", "-site-card.png", "phone"),
}


def cut_files(source: Panel | RafterBay, folder: str = FOLDER) -> Desk:
    """Buttons that write template, cut sheet and site card of a panel's present rafter, or of a bay's, as new files."""

    def act(do: str, values: dict[str, str]) -> str:
        if isinstance(source, Panel) and source.content["stale"]:
            raise InputError("The panel shows what cannot be drawn; put that right first.")
        state = source.responder.state if isinstance(source, Panel) else Cut(source)
        job = source.responder.topic.job if isinstance(source, Panel) else None
        name = f"{state.bay.lumber or 'rafter'} {pitch_text(12 * state.slope)}"
        words: dict[str, Any] = {key: values.get(key, "") for key, _, _ in TYPED}
        if do == "template":
            write = partial(birdsmouth_template, state.bay, job=job, **words)
            link = write_and_link(folder, name, "-birdsmouth.pdf", write)
            after = "Print at 100 %, measure the 6 in line, and do not cut if it is not 6 in."
        elif do == "sheet":
            write = partial(cut_sheet, state.bay, hook=state.hook, job=job, **words)
            link = write_and_link(folder, name, "-cut-sheet.pdf", write)
            after = "Cut one, try it in place, then cut the rest."
        else:
            words.pop("quantity")
            _, ending, size = CARDS[do]
            write = partial(site_card, job or example(), size=size, rafters=state.bay, **words)
            link = write_and_link(folder, name, ending, write)
            after = "For pocket or phone; the drawings govern."
        return f"{link}{folder_words(folder)} {after}"

    prompt = "Write the rafter of the picture above as new files? An older file is never written over."
    buttons = {"template": "Birdsmouth template, PDF", "sheet": "Cut sheet, PDF"}
    return Desk(prompt, buttons | {do: row[0] for do, row in CARDS.items()}, act, TYPED)
