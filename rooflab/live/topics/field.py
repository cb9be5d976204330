"""The live seam: heels measured on the set trusses, the shims under the low ones, the rafters' seat, tapers, checks."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from random import Random
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.findings import Finding
from rooflab.base.inputs import Input
from rooflab.base.measure import feet_inches
from rooflab.base.rows import Reading, Reasoning, Rows
from rooflab.draw.scene import Scene
from rooflab.draw.views.field import along_the_seam, seam_in_the_round, step_in_light
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job, example
from rooflab.live.widgets.controls import Boxes, Control, range_control
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import findings_html
from rooflab.live.widgets.topic import Entry, Topic
from rooflab.live.widgets.topic_panel import panel_of
from rooflab.live.widgets.touch import edits, says
from rooflab.shop.field import (
    BOW,
    CAUTIONS,
    STEP,
    STRAIGHT,
    Schedule,
    Seat,
    measured_seat,
    set_trusses,
    shim_schedule,
    taper,
)
from rooflab.shop.items import drawing_length

STATIONS = {"h_a": "0", "h_b": "2 ft", "h_c": "4 ft", "h_d": "6 ft"}
STARTS = {"h_a": "8 3/4", "h_b": "8 13/16", "h_c": "8 1/2", "h_d": "8 13/16"}


def length_control(name: str, label: str, low: float, high: float, start: str, least: float | None = None) -> Control:
    """A measured length; ``least`` is what can be typed where the slider's end is not."""
    row = Input(name, label, "length", low if least is None else least, 4 * high)
    return range_control(row, low, high, 0.0625, start, drawing_length)


class FieldState(NamedTuple):
    """The schedule of the stations, the seat for its plane, the bays, and the set trusses held against limits."""

    inputs: dict[str, float]
    schedule: Schedule
    seat: Seat
    rafters: RafterBay
    scissor: ScissorBay
    findings: tuple[Finding, ...]


def _shim(name: str, where: str) -> Reading:
    def thick(aim: float, heel: float, tolerance: float) -> float:
        return shim_schedule([("highest", aim), (where, heel)], tolerance).rows[1].shim

    return Reading(
        f"shim{name[1:]}", f"Shim at {where}", "in", "field", f"aim − {name}", thick, f"aim {name} tolerance"
    )


ROWS = (
    Reading(
        "aim",
        "Plane to aim for",
        "in",
        "field",
        "max(h_a, h_b, h_c, h_d)",
        lambda *heels: max(heels),
        "h_a h_b h_c h_d",
    ),
    *(_shim(name, where) for name, where in STATIONS.items()),
    Reading("seat", "Seat for that plane", "in", "field", "(D·k(m) − aim) ÷ m", geo.seat_from, "aim D m"),
    Reading("notch", "Notch, square to the edge", "in", "field", "m·seat ÷ k(m)", geo.notch, "m seat"),
    Reading("share", "Notch of the depth", "", "field", "notch ÷ D", geo.ratio, "notch D"),
    Reading("taper", "Length of the taper", "in", "field", "24·step ÷ 0.5", lambda step: step * STRAIGHT / BOW, "step"),
)


class SeamOnSite(Topic[FieldState]):
    """Four trusses beside the seam, measured after they are set and braced."""

    name = "seam"
    label = "Seam on the site"
    controls = (
        *(length_control(name, f"Heel at {where}", 7, 11, STARTS[name], 1) for name, where in STATIONS.items()),
        length_control("tolerance", "Tolerance", 0.0625, 0.5, "1/8"),
        length_control("step", "Step left", 0, 1.5, "1/4"),
        length_control("plumb", "Out of plumb", 0, 3, "1/2"),
        length_control("bow", "Bow", 0, 3, "1/2"),
        length_control("spacing", "Spacing off", 0, 1, "1/8"),
    )
    beside_questions = {"seam": "seam", "seam.taper": "step"}
    views = {
        "seam": "Along the seam", "round": "In the round", "step": "A step in raking light",
        "schedule": "Shim schedule", "set": "Set trusses",
        "cautions": "Cautions",
    }  # fmt: skip
    dims = {
        **{f"heel {where}": edits(name) for name, where in STATIONS.items()},
        **{f"apart {where}": says("Trusses of this picture stand 2 ft apart.") for where in STATIONS.values()},
        "step": edits("step"),
        "taper": says("The step faired out as slowly as boards may bow: change the step left."),
    }
    groups = {
        "shims": ("Shims", tuple(Entry(f"seam.shim{name[1:]}", f"At {where}") for name, where in STATIONS.items())),
        "rafter": ("Rafter to match", (
            Entry("seam.aim", "Plane, as a heel"), Entry("seam.seat", "Seat"), Entry("seam.notch", "Notch", "seat"),
            Entry("seam.share", "Of the depth"),
        )),
        "taper": ("Where a step stays", (Entry("seam.taper", "Taper over"),)),
    }  # fmt: skip

    def __init__(self, job: Job | None = None) -> None:
        self.job = job or example()

    def build(self, boxes: Boxes) -> FieldState:
        rows = [(where, boxes[name]) for name, where in STATIONS.items()]
        schedule = shim_schedule(rows, boxes["tolerance"], pitch=12 * abs(self.job.rafters.left.roof.slope))
        scissor = self.job.scissor
        taper(boxes["step"])
        limits = set_trusses(scissor.gable.span, scissor.depth_at_peak, boxes["plumb"], boxes["bow"], boxes["spacing"])
        seat = measured_seat(schedule.aim, self.job.rafters)
        return FieldState(boxes, schedule, seat, self.job.rafters, scissor, limits)

    def numbers(self, state: FieldState) -> dict[str, Rows]:
        own = state.rafters.symbols()
        sheet = {"drawn_heel": own["heel"], "drawn_seat": own["seat"]}
        return {"seam": Rows(ROWS, {**state.inputs, "D": own["D"], "m": own["m"], **sheet}, "field", STEP / 2, True)}

    def reading(self, state: FieldState, key: str) -> Reasoning:
        reading = super().reading(state, key)
        row = next((row for row in state.schedule.rows if reading.label == f"Shim at {row.where}"), None)
        if row is not None and row.left > 1e-9:  # what the tolerance or a whole sixteenth leaves
            return reading._replace(value=f"{feet_inches(row.below)}, so {feet_inches(row.shim)} with the tolerance")
        return reading

    def findings(self, state: FieldState) -> tuple[Finding, ...]:
        seat = state.seat
        source = "IRC R802.7.1 (D/4)"
        return (*state.findings, Finding("seat", seat.seat, None, seat.verdict, source, seat.sentence, ""))

    def sentence(self, state: FieldState, view: str) -> str:
        if view == "set":
            bad = [f.name for f in state.findings if f.verdict == "misses"]
            first = (
                f"Not within its limit: {', '.join(bad)}." if bad else "Plumb, bow and spacing are within usual limits."
            )
            return f"{first} Brace as the drawings say; nobody stands on or under unbraced trusses."
        if view == "cautions":
            return (
                "Before anything is measured or shimmed: bracing per the drawings, nobody on or under unbraced trusses."
            )
        if view == "step":
            return taper(state.inputs["step"]).sentence
        seat = state.seat
        first = (
            f"Rafter seat to match: {feet_inches(seat.seat)}." if seat.verdict != "misses" else "No seat can match it."
        )
        return f"{state.schedule.sentence} {first}"

    def picture(self, view: str, state: FieldState) -> Scene | str:
        if view == "seam":
            return along_the_seam(state.schedule, list(STATIONS.values()), state.inputs["tolerance"])
        if view == "round":
            scissor, names = state.scissor, list(STATIONS.values())
            return seam_in_the_round(state.schedule, names, scissor, state.inputs["tolerance"])
        if view == "step":
            return step_in_light(taper(state.inputs["step"]))
        if view == "set":
            return findings_html(state.findings)
        if view == "cautions":
            return cautions_html()
        return schedule_html(state)

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        """Four heels within half an inch of each other, one of them the highest."""
        top = 8.25 + int(chance.random() * 16) / 16
        low = [int(chance.random() * 8) / 16 for _ in STATIONS]
        low[int(chance.random() * 4)] = 0.0
        low[0] = max(low[0], 5 / 16) if low.count(0.0) > 1 or low[0] else low[0]
        return {name: feet_inches(top - off) for name, off in zip(STATIONS, low, strict=True)}

    def givens(self, state: FieldState, key: str) -> str:
        heels = ", ".join(f"{feet_inches(state.inputs[name])} at {where}" for name, where in STATIONS.items())
        if key in ("seam.seat", "seam.notch", "seam.share"):
            rafters = state.rafters
            return f"heels {heels}; 2x10 rafters at {12 * abs(rafters.left.roof.slope):g} in 12"
        return f"heels {heels}; tolerance {feet_inches(state.inputs['tolerance'])}"


def cautions_html(first: int = len(CAUTIONS)) -> str:
    """The first of the cautions as an HTML list."""
    return f'<ul class="rl-list">{"".join(f"<li>{escape(text)}</li>" for text in CAUTIONS[:first])}</ul>'


def schedule_html(state: FieldState) -> str:
    """The shim schedule as HTML: the stations with what is done at each, cautions beneath."""
    rows = "".join(
        f'<tr><td>{escape(row.where)}</td><td style="white-space: nowrap">{feet_inches(row.heel)}</td>'
        f"<td>{feet_inches(row.below)}</td>"
        f"<td><b>{feet_inches(row.shim) if row.shim else 'none'}</b></td><td>{escape(row.sentence)}</td></tr>"
        for row in state.schedule.rows
    )
    heads = ("Station", "Heel", "Below the plane", "Shim", "What is done")
    return (
        f'<p>{escape(CAUTIONS[0])} {escape(CAUTIONS[1])}</p><table class="rl-list"><tr>'
        f"{''.join(f'<th>{name}</th>' for name in heads)}</tr>{rows}</table><p>{escape(state.seat.sentence)}</p>"
        f"<p>{escape(taper(state.inputs['step']).sentence)}</p>"
    )


def seam(
    controls: Sequence[str] = (), views: Sequence[str] = (), groups: Sequence[str] = (), size: str = "",
    locked: bool = False, **start: object,
) -> Panel:  # fmt: skip
    """Four trusses beside the seam of the workbooks' house as a panel; ``field_sheet`` takes a job's own."""
    return panel_of(SeamOnSite(), controls, views, groups, size, locked, start)
