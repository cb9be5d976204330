"""The panel on the push of a rafter pair: what it does to its walls, the tie or ridge beam that takes it, the post."""

from __future__ import annotations

from dataclasses import replace
from html import escape
from random import Random
from typing import NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.inputs import Input
from rooflab.base.measure import feet_inches, on_center, pitch_text
from rooflab.base.rows import Reading, Rows
from rooflab.checks.assumptions import ALWAYS, TIE
from rooflab.checks.grades import grade_by_name
from rooflab.checks.loads import Loads
from rooflab.checks.thrust import COLLAR_NOTE, THRUST, pair_thrust, post_load, thrust_findings
from rooflab.draw.scene import Scene
from rooflab.draw.views.key import RAFTERS, both_halves
from rooflab.draw.views.thrust import HOLDS, pair_forces
from rooflab.house.bays import RafterBay
from rooflab.live.widgets.controls import Boxes, choice_control, house_control, quantity_control, range_control
from rooflab.live.widgets.handles import face
from rooflab.live.widgets.house_topic import HouseTopic
from rooflab.live.widgets.rows import findings_html
from rooflab.live.widgets.topic import Entry, verdict_first
from rooflab.live.widgets.touch import Grip, edits, says

SIZES = ("2x6", "2x8", "2x10", "2x12")

POST = Reading("post", "Load on the post", "lb", "thrust", "ridge_load·beam ÷ 24", post_load, "ridge_load beam")
SPAN = Reading("span", "Span, out to out", "in", "thrust", "l + r", lambda left, right: left + right, "l r")
PAIR_ROWS = (SPAN, *THRUST, POST)
REMINDERS = {name.replace("_", " ") for name in ALWAYS}  # what is asked whatever the numbers


def _tie_at(hung: tuple[RafterBay, float | None]) -> tuple[float, float] | None:
    bay, up = hung
    return None if up is None else (bay.peak[0] / 2 + bay.peak[0], bay.left.plate + up)


PAIR_GRIPS = (
    Grip("ridge", "pitch", "y", lambda hung: hung[0].peak),
    Grip("right wall", "span", "x", lambda hung: face(hung[0].right, 9.0)),
    Grip("tie", "tie", "y", _tie_at),
)


class Pair(NamedTuple):
    """A rafter pair, what it carries and what holds it."""

    bay: RafterBay
    loads: Loads
    numbers: dict[str, Rows]
    findings: tuple[Finding, ...]
    hold: str
    case: str


class PairTopic(HouseTopic[Pair]):
    """Thrust of a rafter pair, ties, ridge beam and post."""

    name = "pair"
    label = "Push of a rafter pair"
    LESSON = {"overhang": 12, "seat": 3}
    controls = (
        house_control("span", "Span", 144, 480),
        house_control("pitch", "Roof pitch", 2, 18),
        choice_control("hold", "Held by", HOLDS, "tie"),
        range_control(TIE._replace(name="tie", label="Tie above"), high=96, start="0"),
        range_control(Input("beam", "Beam, length", "length", 48, 288, 12, "16'")),
        choice_control("lumber", "Rafter", SIZES, "2x10", ordered=True),
        quantity_control("spacing", "Spacing", 12, 24, 4, "16", "in"),
        quantity_control("dead", "Dead load", 5, 30, 1, "15", "psf"),
        quantity_control("snow", "Roof snow", 0, 60, 1, "23", "psf", "worked out"),
    )
    beside_questions = {"pair": "forces"}
    views = {"forces": "Forces", "limits": "Limits and ties"}
    cuts = {"forces": both_halves(RAFTERS)}
    dims = {
        "span": edits("span"),
        "rise": says("Half of the span times the roof pitch: change either."),
        "roof pitch": edits("pitch"),
    }
    groups = {
        "push": ("Push and tie", (
            Entry("pair.line_load", "Load"),
            Entry("pair.thrust", "Push"),
            Entry("pair.tie_factor", "Tie: growth"),
            Entry("pair.tie_force", "Tie pulls", "tie_height"),
            Entry("pair.tie_bending", "Tie bends", "tie_bending"),
        )),
        "beam": ("Ridge beam", (
            Entry("pair.ridge_load", "Beam carries", "ridge_beam"),
            Entry("pair.post", "Post"),
            Entry("pair.span", "Span"),
        )),
    }  # fmt: skip

    def grips(self, view: str) -> tuple[Grip, ...]:
        return PAIR_GRIPS if view == "forces" else ()

    def hangs(self, boxes: Boxes) -> tuple[RafterBay, float | None]:
        """The rafters, and how high their tie is above the plates, in; None where no tie holds them."""
        return self.rafter_bay(boxes)[1], boxes["tie"] if boxes["hold"] == "tie" else None

    def build(self, boxes: Boxes) -> Pair:
        gable, bay = self.rafter_bay(boxes)
        loads = replace(self.assumptions.loads, dead=boxes["dead"], snow=boxes["snow"])
        pair = pair_thrust(bay, loads, boxes["spacing"], boxes["tie"])
        base = {name: pair.values[name] for name in ("dead", "live", "m", "s", "l", "r", "h", "tie")}
        numbers = {"pair": Rows(PAIR_ROWS, base | {"beam": boxes["beam"]}, "thrust")}
        tie = boxes["tie"] if boxes["hold"] == "tie" else None
        limits = thrust_findings(bay, loads, boxes["spacing"], tie, ridge_beam=boxes["hold"] == "ridge beam",
                                 grade=self.assumptions.grade)  # fmt: skip
        return Pair(bay, loads, numbers, limits, boxes["hold"], pair.case.name)

    def numbers(self, state: Pair) -> dict[str, Rows]:
        return state.numbers

    def findings(self, state: Pair) -> tuple[Finding, ...]:
        return state.findings

    def key_bays(self, state: Pair) -> tuple[RafterBay, RafterBay]:
        return state.bay, state.bay

    def sentence(self, state: Pair, view: str) -> str:
        v = state.numbers["pair"].all
        up = f"{feet_inches(v['tie'])} above" if v["tie"] else "on the plates"
        return {
            "tie": f"Each rafter pushes {v['thrust']:,.0f} lb at its plate; the tie, {up}, pulls "
            f"{v['tie_force']:,.0f} lb and takes it, under {state.case}.{self.bends(state)}",
            "ridge beam": f"The beam carries {v['ridge_load']:,.0f} plf of ridge, and the plates are not pushed. "
            f"Its post at the seam carries {v['post']:,.0f} lb down to the ground.",
            "nothing": f"Nothing ties the rafters: each plate is pushed out by {v['thrust']:,.0f} lb every "
            f"{v['s']:g} in. Walls lean out and the ridge sinks.",
        }[state.hold]

    def bends(self, state: Pair) -> str:
        """What a raised tie does to its rafters, as its limit says it, without load and grade."""
        found = next((one for one in state.findings if one.name == "tie_bending"), None)
        return f" {found.sentence.partition(' under ')[0]}." if found else ""

    def headline(self, state: Pair, view: str) -> tuple[str, str]:
        unmet = self.unmet(state)
        limits = {word: names for word in unmet if (names := [name for name in unmet[word] if name not in REMINDERS])}
        return verdict_first(limits, self.sentence(state, view))

    def word(self, key: str, state: Pair) -> str:
        if key == "pair.line_load":
            return state.case
        if key == "pair.tie_bending" and state.hold == "tie":
            return "simple span's" if state.numbers["pair"].all["tie"] else "tie on the plates"
        return "all taken away" if key == "pair.thrust" and state.hold == "ridge beam" else ""

    def picture(self, view: str, state: Pair) -> Scene | str:
        if view == "forces":
            return pair_forces(state.bay, state.numbers["pair"].all, state.hold, self._modulus)
        return f"{findings_html(state.findings)}<p>{escape(COLLAR_NOTE)}</p>"

    @property
    def _modulus(self) -> float:
        """E of the rafters' grade, psi."""
        return grade_by_name(self.assumptions.grade).E

    def program_values(self, state: Pair) -> dict[str, float]:
        return {"snow": float(state.loads.snow_at(state.bay.gable.slopes[0]))}

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        def pick(*row: str) -> str:
            return row[int(chance.random() * len(row))]

        return {
            "span": pick("20'", "22'", "24'", "28'"), "pitch": pick("4", "5", "6", "9"), "spacing": pick("16", "24"),
            "dead": pick("10", "12", "15"), "snow": pick("20", "25", "30", "40"), "tie": pick("12", "18", "24"),
            "beam": pick("10'", "12'", "16'"),
        }  # fmt: skip

    def givens(self, state: Pair, key: str) -> str:
        v = state.numbers["pair"].all
        load = f"dead {v['dead']:g} psf on the slope, snow {v['live']:g} psf, {pitch_text(12 * v['m'])}"
        wide = f"{feet_inches(v['l'] + v['r'])} wide, rise {feet_inches(v['h'])}"
        if key.endswith(("ridge_load", "post")):
            return f"{load}, {wide}" + (f", a beam {feet_inches(v['beam'])} long" if key.endswith("post") else "")
        tie = f", the tie {feet_inches(v['tie'])} up" if key.endswith(("tie_force", "tie_bending")) else ""
        return f"{load}, {on_center(v['s'])}, {wide}{tie}"
