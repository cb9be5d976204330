"""The panel of the workbook on options: a house beside the house as it stands, its room, what fits."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from html import escape
from random import Random
from typing import Any, NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.inputs import pair
from rooflab.base.lumber import RAFTERS
from rooflab.base.measure import feet_inches
from rooflab.base.rows import Rows
from rooflab.checks.assumptions import ALWAYS
from rooflab.draw.scene import Scene, svg
from rooflab.draw.views.key import both_halves
from rooflab.draw.views.options import option_sections
from rooflab.draw.views.room import gable_wall
from rooflab.draw.views.section import section, section_key
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.room import ROOM_INPUTS, STOCK
from rooflab.job.jobfile import Job, example
from rooflab.job.option import OptionResult, option_of, solve_option
from rooflab.job.table import before_after, solve_options, table_of, votes_of
from rooflab.job.values import House, bays_of, house_of, over, stock
from rooflab.live.meeting.fits import nearest_ways
from rooflab.live.meeting.view import HOUSE, TRIAL
from rooflab.live.widgets.controls import Boxes, choice_control, house_control, range_control
from rooflab.live.widgets.form import Source, job_of
from rooflab.live.widgets.handles import SECTION_DIMS, SECTION_GRIPS, apex
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import grid_table, options_html
from rooflab.live.widgets.sheet import Picture
from rooflab.live.widgets.topic import Entry, Topic, verdict_first
from rooflab.live.widgets.topic_panel import panel_of
from rooflab.live.widgets.touch import Grip, edits, follows, says

WINDOW = ROOM_INPUTS["window_width"]


def _finished_apex(bays: Any) -> tuple[float, float] | None:
    """The ceiling's apex over the gable wall, whose floor is drawn at 0."""
    at = apex(bays[1].left)
    return at and (at[0], at[1] + pair(bays[1].gable.plate_height)[0])


GABLE_GRIPS = (Grip("ceiling at its apex", "ceiling_pitch", "y", _finished_apex),)


class OptionState(NamedTuple):
    """A house with some numbers changed, the house as it stands, and the readings by family."""

    now: OptionResult
    before: OptionResult
    house: Job
    numbers: dict[str, Rows]


class OptionsTopic(Topic[OptionState]):
    """What one change does to roof, truss and room."""

    name = "options"
    label = "Options"
    controls = (
        house_control("span", "Span", 192, 480),
        house_control("pitch", "Roof pitch", 3, 14),
        house_control("ceiling_pitch", "Ceiling pitch", 0, 12),
        house_control("overhang", "Overhang", 0, 36),
        house_control("plate_height", "Plate height", 84, 132),
        house_control("seat", "Seat", 1.5, 5.5),
        choice_control("lumber", "Rafter", RAFTERS[1:], "2x10", ordered=True),
        range_control(WINDOW.with_label("Window width"), 24, 144, 6, feet_inches(WINDOW.default)),
    )
    beside_questions = {"rafter": "section", "truss": "section", "room": "gable"}
    views = {"section": "Section", "gable": "Gable wall", "grid": "Seat and rafter"}
    cuts = {"gable": both_halves("A")}
    dims = {
        **SECTION_DIMS,
        "truss heel": follows("scissor.heel"),
        "width": says("The span less both bearings: change the span."),
        "mid-room": follows("room.mid_height"),
        "wall": follows("room.low_r"),
        "window width": edits("window_width"),
        "window head": follows("room.window_head"),
    }
    groups = {
        "roof": ("Roof", (
            Entry("rafter.heel", "Heel", "heel_blocking"),
            Entry("rafter.notch_ratio", "Notch, of depth", "end_notch"),
            Entry("rafter.stock_to_buy", "Stock to buy"),
            Entry("truss.height", "Overall height"),
        )),
        "room": ("Room", (
            Entry("room.window_head", "Window head"),
            Entry("room.mid_height", "Mid-room"),
            Entry("room.gain", "Gain over flat"),
            Entry("room.stud_l", "Stud"),
        )),
    }  # fmt: skip

    def __init__(self, job: Job | None = None) -> None:
        self.job, self.mine = job or example(), job

    def own(self) -> dict[str, str]:
        """The job's numbers as texts; one whose ends differ stays as the job has it until its box is used."""
        if self.mine is None:
            return {}
        option = option_of("now", self.mine)
        values = {control.name: option.values.get(control.name) for control in self.controls}
        return {name: option.text(name) for name, value in values.items() if value and not isinstance(value, tuple)}

    def wish_house(self, boxes: Boxes) -> House:
        return solve_option(option_of("now", self.job).with_(**boxes), self.job).house

    def grips(self, view: str) -> tuple[Grip, ...]:
        return {"section": SECTION_GRIPS, "gable": GABLE_GRIPS}.get(view, ())

    def hangs(self, boxes: Boxes) -> Any:
        return bays_of(over(house_of(self.job), {**boxes, **stock(boxes["lumber"])}))

    def build(self, boxes: Boxes) -> OptionState:
        base = option_of("as it stands", self.job)
        now = solve_option(base.with_(name="now", **boxes), self.job)
        ends = {"rafter": (now.rafters, (STOCK,)), "truss": (now.scissor, ())}
        numbers = {"room": now.room}
        for family, (bay, more) in ends.items():
            rows = bay.rows()
            numbers[family] = Rows((*rows, *more), bay.symbols())
        return OptionState(now, solve_option(base, self.job), self.job, numbers)

    def numbers(self, state: OptionState) -> dict[str, Rows]:
        return state.numbers

    def findings(self, state: OptionState) -> tuple[Finding, ...]:
        """What the numbers decide; what is asked whatever they are is left away."""
        return tuple(one for one in state.now.findings if one.name.removesuffix("_right") not in ALWAYS)

    def sentence(self, state: OptionState, view: str) -> str:
        changes = before_after(state.before, state.now)
        if not changes:
            return f"{HOUSE}, as it stands: nothing is changed."
        words = "; ".join(f"{one.label.lower()} {one.before} becomes {one.after}" for one in changes[:2])
        count = f"{len(changes)} reading{'s change' if len(changes) > 1 else ' changes'}"
        return f"{TRIAL}. {count}: {words}{f'; and {len(changes) - 2} more' if len(changes) > 2 else ''}."

    def headline(self, state: OptionState, view: str) -> tuple[str, str]:
        """Which house it is, then what it asks or misses, then what changes."""
        house, stop, rest = self.sentence(state, view).partition(". ")
        verdict, words = verdict_first(self.unmet(state), rest)
        return verdict, f"{house}{stop or ' '}{words}".strip()

    def highest(self, state: OptionState) -> dict[str, float]:
        bay = state.now.rafters
        return {"ceiling_pitch": max(12 * bay.gable.slopes[0] - 0.5, 0.5), "seat": bay.left.bearing}

    def picture(self, view: str, state: OptionState) -> Scene | str:
        if view == "gable":
            return gable_wall(state.now)
        if view == "grid":
            return grid_table(state.now, '<table class="rl-list">', 6, True)
        return section(state.now.rafters, state.now.scissor, state.now.seam)

    def key(self, view: str, state: OptionState) -> Scene | None:
        return section_key(*self.key_bays(state)) if view == "section" else super().key(view, state)

    def key_bays(self, state: OptionState) -> tuple[RafterBay, ScissorBay]:
        return state.now.rafters, state.now.scissor

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        def pick(*row: str) -> str:
            return row[int(chance.random() * len(row))]

        return {
            "span": pick("24'", "26'", "28'", "30'"), "pitch": pick("7", "8", "9", "10"),
            "ceiling_pitch": pick("3", "4", "5", "6"), "plate_height": pick("8'-1 1/8\"", "9'-1 1/8\"", "8'-0\""),
            "window_width": pick("4'", "5'", "6'", "8'"),
        }  # fmt: skip

    def givens(self, state: OptionState, key: str) -> str:
        v = state.numbers["room"].all
        base = (
            f"{feet_inches(v['wide'])} wide out to out on {feet_inches(v['bearing_l'])} walls, plate "
            f"{feet_inches(v['plate_l'])} above the floor, ceiling {12 * v['c_l']:g} in 12 from the inside face"
        )
        if key == "room.window_head":
            return (
                f"{base}; window {feet_inches(v['window'])} wide, raked plate {feet_inches(v['rake'])}, header "
                f"{feet_inches(v['header'])}, casing {feet_inches(v['casing'])}"
            )
        finish = f", {feet_inches(v['finish'])} of finish"
        long = f", room {feet_inches(v['length'])} long" if key in ("room.volume", "room.gain") else ""
        return base + finish + long


def options_panel(
    controls: Sequence[str] = (), views: Sequence[str] = (), groups: Sequence[str] = (), size: str = "",
    locked: bool = False, job: Job | None = None, **start: object,
) -> Panel:  # fmt: skip
    """A panel on one change: roof, room, the gable's window, heel and notch for every seat and rafter.

    ``job`` is the house that is changed, the example without one; its numbers start the controls.
    """
    return panel_of(OptionsTopic(job), controls, views, groups, size, locked, start)


def side_by_side(source: Source, options: Mapping[str, Mapping[str, object]]) -> Picture:
    """Options of a house, by name and what each changes, as small sections at one scale over one table.

    What speaks for an option and against it, beside the first one, ends the table.
    """
    house = job_of(source)
    results = solve_options([option_of(name, house, **changes) for name, changes in options.items()], house)
    rows, size = [*table_of(results), *votes_of(results)], (876.0, 190.0)
    lines = ["Options side by side: " + ", ".join(options)]
    for row in rows:
        texts = (f"{text} ({word})" if word else text for text, word in zip(row.texts, row.words, strict=True))
        lines.append(f"  {row.label}: {'; '.join(texts)}")
    picture = svg(option_sections(results, *size), *size)
    table = re.sub("<t[hd]", r'\g<0> style="text-align: left"', options_html(list(options), rows))  # pages set it right
    return Picture(f"{picture}<table>{table}</table>", "\n".join(lines))


def backwards(source: Source, **asked: str) -> Picture:
    """What must hold (``heel``, ``height``, ``window``, ``r``), and the nearest ways to it, ranked, each with why.

    >>> print(backwards(example(), heel="9 1/4").text)
    Builder's house. Must hold: truss heel is 9 1/4".
    1. Seat 3 1/2" becomes 2 13/16": truss heel 9 1/4".
    """
    house = job_of(source)
    result = solve_option(option_of("as it stands", house), house)
    answer = nearest_ways(result, asked)
    lines = [f"{i}. {one.why}" for i, one in enumerate(answer.options, 1)] or [answer.sentence]
    head = f"{HOUSE}. Must hold: {', '.join(one.text for one in answer.wishes)}."
    items = "".join(f"<li>{escape(one.why)} {escape(' '.join(one.also))}</li>" for one in answer.options)
    return Picture(f"<p><b>{escape(head)}</b> {escape(answer.sentence)}</p><ol>{items}</ol>", "\n".join([head, *lines]))
