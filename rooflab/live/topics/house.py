"""The panel of the house in the round: turned, peeled, cut across, with the bay lit that is spoken of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random
from typing import NamedTuple

from rooflab.base.inputs import Input
from rooflab.base.measure import feet_inches
from rooflab.draw.prisms import View
from rooflab.draw.scene import Point, Scene
from rooflab.draw.views.house import (
    COVERS,
    FRAME,
    VIEWS,
    RoundHouse,
    cut_scene,
    house_of_bays,
    house_scene,
    part_at,
    turned_to,
)
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job, example
from rooflab.job.schedule import TrussType
from rooflab.job.values import bays_of
from rooflab.live.widgets.controls import Boxes, Control, choice_control, house_control, range_control
from rooflab.live.widgets.form import Source, job_of
from rooflab.live.widgets.house_topic import HouseTopic
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic import Entry, TapeReadings
from rooflab.live.widgets.topic_panel import panel_of
from rooflab.live.widgets.touch import Grip, edits, follows, says

WHOLE = "whole house"
FIRST_CUT = "4'-0\""  # where the cut stands at first, where it can be moved
ON = {label: name for name, label in COVERS.items()}


class RoundState(NamedTuple):
    """The house, and how it is looked at: degrees on from the named view, what is on and lit, where it is cut, in."""

    house: RoundHouse
    rafters: RafterBay
    scissor: ScissorBay
    turn: float
    tilt: float
    on: str
    lit: str
    cut: float

    def view(self, name: str) -> View:
        return self.house.view(name, self.turn, self.tilt)


class RoundTopic(HouseTopic[RoundState]):
    """A job's house in the round; its bays and its first set-in wall can be moved."""

    name = "house"
    label = "The house in the round"
    controls: tuple[Control, ...] = (
        range_control(Input("turn", "Turn", "number", -180, 180, 2, 0)),
        range_control(Input("tilt", "Tilt", "number", -60, 60, 2, 0)),
        range_control(Input("cut", "Cut at", "length", 0, 9600, 2, 0), high=480),
        choice_control("on", "On it", tuple(ON), "Frame"),
        choice_control("lit", "Lit", (WHOLE, "rafters"), WHOLE),
        house_control("span", "Span", 144, 480),
        house_control("pitch", "Roof pitch", 2, 18),
        house_control("ceiling_pitch", "Ceiling pitch", 0, 12),
        house_control("overhang", "Overhang", 0, 36),
        house_control("jog", "Set in by", -24, 96),
    )
    views = {name: label for name, (label, _, _) in VIEWS.items()}
    press_views = tuple(VIEWS)
    pulled_anywhere = "turntable"
    dims = {
        "span": edits("span"),
        "roof pitch": edits("pitch"),
        "ceiling pitch": edits("ceiling_pitch"),
        "heel": follows("rafter.heel"),
        "overhang": edits("overhang"),
        "wall": says("The bearing of the main walls: change it in workbook 01 or in the job file."),
        "left set-in": edits("jog"),
        "right set-in": edits("jog"),
    }
    groups = {
        "rafter": ("Rafter bay", (
            Entry("rafter.heel", "Heel height"),
            Entry("rafter.peak_height", "Peak of lines"),
        )),
        "scissor": ("Scissor bay", (
            Entry("scissor.height", "Overall height"),
            Entry("scissor.ceiling_rise", "Ceiling rise"),
            Entry("scissor.depth_at_peak", "Depth at peak"),
        )),
    }  # fmt: skip

    def __init__(self, job: Job | None = None) -> None:
        self.types = (job or example()).types
        super().__init__(job or example())
        marks = (WHOLE, "rafters", *(kind.mark for kind in self.types or (TrussType("A", 240.0),)))
        self.controls = tuple(
            one._replace(choices=marks) if one.name == "lit" else one
            for one in self.controls
            if one.name != "jog" or self.set_in is not None
        )

    @property
    def set_in(self) -> TrussType | None:
        """The first type whose wall is set in."""
        return next((kind for kind in self.types if kind.jog), None)

    def own(self) -> dict[str, str]:
        jog = self.set_in.jog if self.set_in else None
        return super().own() | ({"jog": feet_inches(jog.by)} if jog else {})

    def build(self, boxes: Boxes) -> RoundState:
        rafters, scissor = bays_of(self.wish_house({name: one for name, one in boxes.items() if name != "jog"}))
        types = [
            replace(kind, jog=replace(kind.jog, by=boxes["jog"])) if kind is self.set_in and kind.jog else kind
            for kind in self.types
        ]
        house = house_of_bays(rafters, scissor, types, self.house["spacing"])
        lit = "" if boxes["lit"] == WHOLE else boxes["lit"]
        cut = min(boxes["cut"], house.length - 1 / 16)
        return RoundState(house, rafters, scissor, boxes["turn"], boxes["tilt"], ON[boxes["on"]], lit, cut)

    def numbers(self, state: RoundState) -> dict[str, TapeReadings]:
        bays = {"rafter": state.rafters, "scissor": state.scissor}
        return {name: TapeReadings(bay.reading) for name, bay in bays.items()}

    def highest(self, state: RoundState) -> dict[str, float]:
        return {"cut": float(int(state.house.length))}

    def hangs(self, boxes: Boxes) -> RoundState:
        return self.build(boxes)

    def hung(self, state: RoundState, texts: object) -> RoundState:
        return state

    def grips(self, view: str) -> tuple[Grip, ...]:
        if view not in VIEWS:
            return ()
        return (Grip("turntable", "turn", "x", lambda state: turned_to(state.house, state.view(view), state.turn)),)

    def picture(self, view: str, state: RoundState) -> Scene:
        return self.picture_for(view, state, FRAME, 0.0)

    def picture_for(self, view: str, state: RoundState, frame: tuple[float, float], letters: float) -> Scene:
        at = state.cut or None
        return house_scene(state.house, state.view(view), state.on, state.lit, at, True, state.turn, frame)

    def texts_at(
        self, view: str, state: RoundState, at: Point, frame: tuple[float, float], letters: float
    ) -> dict[str, str]:
        return {"lit": part_at(state.house, state.view(view), state.on, at) or WHOLE}

    def detail(self, state: RoundState) -> Scene:
        return cut_scene(state.house, state.cut, state.on)

    def sentence(self, state: RoundState, view: str) -> str:
        lit = [one for one in state.house.rooms if one.name == state.lit]
        if not lit:
            return "One roof plane over rafters and trusses; press a part of the house, or drag it around."
        (room,) = lit
        if room.name == "rafters":
            return "Rafters, cut on site: six pairs are drawn here; how far their bay reaches is no number of the job."
        return f"{room.words[0].upper()}{room.words[1:]}: {feet_inches(room.end - room.start)} along the ridge."

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        return {"pitch": chance.choice("6 7 9 10".split())}

    def givens(self, state: RoundState, key: str) -> str:
        return f"roof {12 * abs(state.rafters.left.roof.slope):g} in 12"


def house(
    source: Source | None = None, controls: Sequence[str] = ("turn", "tilt", "cut", "on", "lit"),
    views: Sequence[str] = (), groups: Sequence[str] = ("rafter", "scissor"), size: str = "", locked: bool = False,
    **start: object,
) -> Panel:  # fmt: skip
    """A job's house in the round as a panel; without one the house of the lessons.

    ``cut`` is how far from the rafter bay's gable end a plane across the ridge stands, 0 for none; ``lit`` is "rafters"
    or a truss type's mark.
    """
    cut = {"cut": FIRST_CUT} if "cut" in controls else {}
    topic = RoundTopic(job_of(source) if source else None)
    return panel_of(topic, controls, views, groups, size, locked, {**cut, **start})
