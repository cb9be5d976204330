"""The panel on a scissor truss's shape: its outline, the ceiling line's two faces, the states of its heel."""

from __future__ import annotations

from collections.abc import Sequence

from rooflab.base import geometry as geo
from rooflab.base.findings import Finding
from rooflab.base.lumber import CHORDS
from rooflab.base.measure import feet_inches
from rooflab.base.rows import Reading, Rows
from rooflab.checks.limits import findings
from rooflab.draw.scene import Scene
from rooflab.draw.views.details import truss_heel
from rooflab.draw.views.key import EAVES
from rooflab.draw.views.shape import OTHER, WALL, bounds_of, face_shift, outline, states, text_chain
from rooflab.house.bays import ScissorBay
from rooflab.job.jobfile import Job
from rooflab.job.values import House, one_end, truss_of
from rooflab.live.widgets.controls import Boxes, Control, choice_control, house_control
from rooflab.live.widgets.handles import HALF_SPAN, TRUSS_HEEL_DIMS, TRUSS_HEEL_GRIPS, truss_grips
from rooflab.live.widgets.house_topic import HouseTopic
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic import Entry
from rooflab.live.widgets.topic_panel import panel_of
from rooflab.live.widgets.touch import Grip, edits, follows, says

OPENS = Reading(
    "space_inside", "Space between chords, inside face", "in", "scissor", "space_outside + (m − c)·bearing",
    geo.space_further_in, "space_outside m c bearing",
)  # fmt: skip
"""The space at the inside face from that at the outside: how it opens."""
OTHER_FACE = says("This is the other way to count: choose it under Ceiling from, then it can be changed.")


class ShapeTopic(HouseTopic[ScissorBay]):
    """The shape of a scissor truss from two pitches, a heel and the face its ceiling starts from."""

    name = "shape"
    label = "Shape of a scissor truss"
    controls: tuple[Control, ...] = (
        house_control("span", "Span", 144, 480),
        house_control("overhang", "Overhang", 0, 36),
        house_control("pitch", "Roof pitch", 2, 18),
        house_control("ceiling_pitch", "Ceiling pitch", 0, 12),
        house_control("bearing", "Bearing", 1.5, 12),
        choice_control("ceiling_from", "Ceiling from", tuple(OTHER), "inside"),
        house_control("heel", "Truss heel", 1, 24),
        choice_control("chord", "Top chord", CHORDS, "2x4"),
        choice_control("bottom_chord", "Bottom chord", CHORDS, "2x4"),
    )
    views = {
        "shape": "Shape",
        "faces": "Ceiling from either face",
        "heel": "Truss's heel",
        "states": "States of the heel",
    }
    cuts = dict.fromkeys(("shape", "faces", "heel"), EAVES[1:])
    dims = {
        **TRUSS_HEEL_DIMS,
        "ceiling rise": follows("scissor.ceiling_rise"),
        "depth at the peak": follows("scissor.depth_at_peak"),
        "overall height": follows("scissor.height"),
        "run": HALF_SPAN,
        "top of tail": follows("scissor.tail_top"),
        "overhang": edits("overhang"),
        "roof pitch": edits("pitch"),
        "ceiling pitch": edits("ceiling_pitch"),
        **dict.fromkeys(("other ceiling rise", "other depth at the peak"), OTHER_FACE),
    }
    groups = {
        "heights": ("Heights", (
            Entry("truss.height", "Overall height"),
            Entry("truss.ceiling_rise", "Ceiling rise"),
            Entry("truss.depth_at_peak", "Depth at peak"),
            Entry("truss.tail_top", "Top of tail"),
        )),
        "heel": ("Heel", (
            Entry("truss.minimum_heel", "Minimum heel", "minimum_heel"),
            Entry("truss.heel", "Heel height"),
            Entry("truss.space_outside", "Between, outside"),
            Entry("truss.space_inside", "Between, inside"),
        )),
    }  # fmt: skip

    def values(self, job: Job | None) -> House:
        return one_end(job, "left") if job else super().values(job)

    def grips(self, view: str) -> tuple[Grip, ...]:
        return {"shape": truss_grips(WALL), "faces": truss_grips(WALL), "heel": TRUSS_HEEL_GRIPS}.get(view, ())

    def hangs(self, boxes: Boxes) -> ScissorBay:
        return self.build(boxes)

    def build(self, boxes: Boxes) -> ScissorBay:
        return truss_of(self.house_with(boxes), boxes["heel"])

    def numbers(self, state: ScissorBay) -> dict[str, Rows]:
        rows = tuple(OPENS if row.name == OPENS.name else row for row in state.rows())
        return {"truss": Rows(rows, state.symbols(), tape=True)}

    def findings(self, state: ScissorBay) -> tuple[Finding, ...]:
        return findings(state)

    def picture(self, view: str, state: ScissorBay) -> Scene | str:
        return {
            "shape": lambda: outline(state),
            "faces": lambda: outline(state, both_faces=True),
            "heel": lambda: truss_heel(state),
            "states": lambda: states(state),
        }[view]()

    def key_bays(self, state: ScissorBay) -> tuple[ScissorBay, ScissorBay]:
        return state, state

    def sentence(self, state: ScissorBay, view: str) -> str:
        if view in ("heel", "states"):
            least, raised = bounds_of(state)
            return (
                f"Heel {feet_inches(state.left.heel)}: {state.heel_state}. The minimum heel is {feet_inches(least)}; "
                f"raised from {feet_inches(max(least, raised))}."
            )
        height, rise, depth = text_chain(state.height, state.ceiling_rise)
        if view == "faces":
            face, by = state.ceiling_from, feet_inches(face_shift(state))
            other = f"From the {OTHER[face]} face the line is {by} {'lower' if face == 'outside' else 'higher'}."
            return f"From the {face} face: rise {rise}, depth {depth}. {other}"
        return f"Ceiling rise {rise} + depth at the peak {depth} = overall height {height}."

    def word(self, key: str, state: ScissorBay) -> str:
        return {
            "truss.space_outside": str(state.heel_state),
            "truss.ceiling_rise": f"from the {state.ceiling_from}",
            "truss.tail_top": "above the plate" if state.tail_top >= 0 else "below the plate",
        }.get(key, "")

    def highest(self, state: ScissorBay) -> dict[str, float]:
        return {"ceiling_pitch": max(12 * abs(state.left.roof.slope) - 0.5, 0.5)}


def shape_panel(
    controls: Sequence[str] = (),
    views: Sequence[str] = (),
    groups: Sequence[str] = (),
    size: str = "",
    locked: bool = False,
    job: Job | None = None,
    **start: object,
) -> Panel:
    """A scissor truss's shape as a panel; ``job`` gives the controls' starting values, keyword arguments change them.

    ``controls``, ``views`` and ``groups`` choose what can be moved, seen and read; ``size`` "small" is for one idea at
    a time.  InputError where the start cannot be drawn.
    """
    topic = ShapeTopic(job)
    if job:
        topic = topic.with_size(**{name: str(start[name]) for name in ("chord", "bottom_chord") if name in start})
    return panel_of(topic, controls, views, groups, size, locked, start)
