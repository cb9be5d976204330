"""The panels on trusses: a teaching truss with its thrust or movement, and the sag of truss and rafters at a seam."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from html import escape
from random import Random
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.inputs import Input
from rooflab.base.measure import pitch_text
from rooflab.base.rows import Reading, Rows
from rooflab.checks.frame import (
    AREA,
    LOAD_PATH,
    MODULUS,
    SPREAD_LIMITS,
    TEACHING_MODEL,
    Bearings,
    PinTruss,
    TrussSolution,
    king_post_scissor,
    sag_limits,
    spread_and_thrust,
    webbed_scissor,
)
from rooflab.checks.grades import QUANTITIES
from rooflab.checks.loads import Loads
from rooflab.checks.thrust import FAIR, SeamSag, sag_at_seam
from rooflab.draw.scene import Scene
from rooflab.draw.views.frame import growth_bars, seam_sag, seam_values, truss_forces
from rooflab.draw.views.key import both_halves
from rooflab.draw.views.parts import TIMES, times_larger
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Gable
from rooflab.live.widgets.controls import Boxes, Control, choice_control, house_control, quantity_control, range_control
from rooflab.live.widgets.topic import Entry, Topic
from rooflab.live.widgets.touch import Grip, edits, says

from .thrust import SIZES

# --- the teaching truss ----------------------------------------------------------------------------------------------

FORMS: dict[str, Callable[..., PinTruss]] = {"king post": king_post_scissor, "webbed": webbed_scissor}
BEARINGS = ("slides", "fixed")
MODEL = "found together with all moves, from the stiffness of every member: the model's own result"

SPREAD = "P·span·(c·k(m)³ + m·k(c)³ + 2·m·c²·(m − c)) ÷ (2·E·A·(m − c)²)"
PUSH = "P·(c·k(m)³ + m·k(c)³ + 2·m·c²·(m − c)) ÷ (2·(c²·k(m)³ + m²·k(c)³ + 2·m²·c²·(m − c)))"
DROP = "P·span·(k(m)³ + k(c)³ + 2·c²·(m − c)) ÷ (4·E·A·(m − c)²)"
"""A king post's moves by virtual work, the sum of F·f·L/(E·A) over its five members: a check beside the model."""


def truss_rows(form: str, fixed: bool) -> tuple[Reading, ...]:
    """Readings of the teaching truss; H is the thrust at its bearings, 0 where one slides; joint A in equilibrium."""
    exact = form == "king post"
    drop = f"{DROP} − H·spread ÷ P" if fixed else DROP
    return tuple(
        Reading(name, label, unit, "truss", formula, function, args)
        for name, label, unit, formula, function, args in (
            ("span", "Span", "in", "span", lambda span: span, "span"),
            ("reaction", "Each bearing holds up", "lb", "n·P ÷ 2", lambda n, load: n * load / 2, "n P"),
            ("growth", "Growth, 1/(m − c)", "times", "1 ÷ (m − c)", lambda m, c: 1 / (m - c), "m c"),
            ("top_chord", "Top chord at the heel, pressed", "lb", "(reaction − c·H)·k(m) ÷ (m − c)",
             lambda r, c, push, m: (r - c * push) * geo.stretch(m) / (m - c), "reaction c H m"),
            ("bottom_chord", "Bottom chord, pulled", "lb", "(reaction − m·H)·k(c) ÷ (m − c)",
             lambda r, m, push, c: (r - m * push) * geo.stretch(c) / (m - c), "reaction m H c"),
            ("spread", "Horizontal movement, one bearing sliding", "in", SPREAD if exact else MODEL, lambda x: x,
             "free"),
            ("thrust", "Thrust, if both are fixed", "lb", PUSH if exact else MODEL, lambda push: push, "push"),
            ("drop", "Peak comes down", "in", drop if exact else MODEL, lambda sinks: sinks, "sinks"),
        )
    )  # fmt: skip


JOINT_GRIPS = (
    Grip("ridge", "pitch", "y", lambda model: model.joints["C"]),
    Grip("joint over the ceiling's apex", "ceiling_pitch", "y", lambda model: model.joints["D"]),
    Grip("right bearing", "span", "x", lambda model: model.joints["E"]),
)


class Truss(NamedTuple):
    """A teaching truss as it stands."""

    model: PinTruss
    forces: TrussSolution
    both: Bearings
    form: str
    fixed: bool
    pitches: tuple[float, float]
    load: float
    numbers: dict[str, Rows]


@lru_cache(256)
def _both(form: str, span: float, pitch: float, ceiling: float, load: float) -> Bearings:
    return spread_and_thrust(span, pitch, ceiling, load, form=FORMS[form])


@lru_cache(64)
def _roof_over(span: float, pitch: float) -> ScissorBay:
    """A bay with the roof of a teaching truss, for its key."""
    return ScissorBay(Gable(span, pitch, 3.5, 12), 0, 6)


def _load(text: str, problems: list[str]) -> float:
    return QUANTITIES["joint_load"].read(text.replace("lb", "").replace(",", ""), problems)


class TrussTopic(Topic[Truss]):
    """What the scissor does: forces by line style and word, movement of a sliding bearing or thrust of fixed ones."""

    name = "truss"
    label = "What a scissor truss does: a teaching model"
    controls = (
        house_control("span", "Span", 144, 480, 288),
        house_control("pitch", "Roof pitch", 2, 18, 6),
        house_control("ceiling_pitch", "Ceiling pitch", 0, 12, 3),
        choice_control("bearing", "Bearing", BEARINGS, "slides"),
        choice_control("form", "Form", tuple(FORMS), "king post"),
        Control("load", "Load, each", 100, 2000, 100, "1000 lb", _load, lambda number: f"{number:,.0f} lb"),
    )
    beside_questions = {"truss": "forces"}
    views = {"forces": "Forces", "moved": "How it moves", "growth": "1/(m − c)", "path": "Load path and uplift"}
    cuts = dict.fromkeys(("forces", "moved"), both_halves("A"))
    dims = {"span": edits("span")}
    groups = {
        "forces": ("Teaching model: forces", (
            Entry("truss.reaction", "Bearing"),
            Entry("truss.top_chord", "Top chord"),
            Entry("truss.bottom_chord", "Bottom chord"),
            Entry("truss.growth", "1/(m − c)"),
        )),
        "moves": ("Spread or thrust", (
            Entry("truss.spread", "Slides out"),
            Entry("truss.thrust", "Or pushes"),
            Entry("truss.drop", "Peak down"),
            Entry("truss.span", "Span"),
        )),
    }  # fmt: skip

    def grips(self, view: str) -> tuple[Grip, ...]:
        return JOINT_GRIPS if view in ("forces", "moved") else ()

    def hangs(self, boxes: Boxes) -> PinTruss:
        size = boxes["span"], boxes["pitch"], boxes["ceiling_pitch"]
        return FORMS[boxes["form"]](*size, boxes["load"], boxes["bearing"] == "fixed")

    def build(self, boxes: Boxes) -> Truss:
        fixed, form = boxes["bearing"] == "fixed", boxes["form"]
        size = boxes["span"], boxes["pitch"], boxes["ceiling_pitch"]
        model = self.hangs(boxes)
        both, forces = _both(form, *size, boxes["load"]), model.solve()
        symbols = {
            "span": boxes["span"], "P": boxes["load"], "n": float(len(model.loads)), "m": boxes["pitch"] / 12,
            "c": boxes["ceiling_pitch"] / 12, "H": both.thrust if fixed else 0.0, "free": both.spread,
            "push": both.thrust, "E": MODULUS, "A": AREA, "sinks": both.drop_fixed if fixed else both.drop_free,
        }  # fmt: skip
        return Truss(model, forces, both, form, fixed, size[1:], boxes["load"],
                     {"truss": Rows(truss_rows(form, fixed), symbols, "frame")})  # fmt: skip

    def numbers(self, state: Truss) -> dict[str, Rows]:
        return state.numbers

    def key_bays(self, state: Truss) -> tuple[ScissorBay, ScissorBay]:
        bay = _roof_over(state.model.joints["E"][0], state.pitches[0])
        return bay, bay

    def sentence(self, state: Truss, view: str) -> str:
        v = state.numbers["truss"].all
        does = (
            f"fixed bearings are pushed out by {state.both.thrust:,.0f} lb"
            if state.fixed
            else f"the bearing that slides moves out {state.both.spread:.2f} in"
        )
        return (
            f"Roof {pitch_text(state.pitches[0])}, ceiling {pitch_text(state.pitches[1])}, 1/(m − c) = "
            f"{v['growth']:.1f}: {does}. A teaching model, not the truss's design."
        )

    def word(self, key: str, state: Truss) -> str:
        tpi = "TPI 1: 1.25 total" if state.both.spread > SPREAD_LIMITS[0] else ""
        return {
            "truss.top_chord": "compression", "truss.spread": tpi,
            "truss.bottom_chord": "tension" if state.numbers["truss"].all["bottom_chord"] > 0 else "compression",
            "truss.thrust": "if both are fixed",
        }.get(key, "")  # fmt: skip

    def highest(self, state: Truss) -> dict[str, float]:
        return {"ceiling_pitch": max(state.pitches[0] - 1, 0.5)}

    def picture(self, view: str, state: Truss) -> Scene | str:
        if view in ("forces", "moved"):
            blow = 0.0
            if view == "moved":
                most = max(abs(part) for move in state.forces.moves.values() for part in move)
                blow = max(1, times_larger(most, state.model.joints["E"][0] / 12, (*TIMES, 100, 200, 400)))
            return truss_forces(state.model, state.forces, state.fixed, state.both.spread, state.both.thrust, blow)
        if view == "growth":
            return self._growth(state)
        total, live = sag_limits(state.model.joints["E"][0])
        return (
            f"<p>{escape(LOAD_PATH)}</p><p>Uplift: wind can lift the roof off its walls. Each truss needs a tie to "
            "the plate for the uplift on its design drawing, and the wall its own path; a slanted nail does not do.</p>"
            f"<p>Limits to ask the truss designer about: sag under a gypsum ceiling, total L/180 = {total:.2f} in, "
            f"live L/240 = {live:.2f} in (ANSI/TPI 1 sec. 7.6); level movement of a bearing "
            f"{SPREAD_LIMITS[0]:g} in total, {SPREAD_LIMITS[1]:g} in live (same section, from memory: "
            "verify), unless you are stricter.</p>"
            f"<p><b>{escape(TEACHING_MODEL)}</b></p>"
        )

    @staticmethod
    def _growth(state: Truss) -> Scene:
        pitch, now = state.pitches
        far = max(pitch - 1, 0.5)
        points = sorted({0.0, *(round(2 * far * part / 3) / 2 for part in (1, 2, 3)), min(now, far)})
        rows = []
        for ceiling in points:
            size = (state.form, state.model.joints["E"][0], pitch, ceiling, state.load)
            both, m, c = _both(*size), pitch / 12, ceiling / 12
            top = state.numbers["truss"].all["reaction"] * float(geo.stretch(m)) / (m - c)
            rows.append((ceiling, top, both.spread, both.thrust))
        return growth_bars(pitch, rows, now)

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        def pick(*row: str) -> str:
            return row[int(chance.random() * len(row))]

        pitch = pick("5", "6", "7", "8", "9", "10")
        return {"pitch": pitch, "ceiling_pitch": str(int(pitch) // 2), "load": pick("600", "800", "1200", "1500")}

    def givens(self, state: Truss, key: str) -> str:
        return (
            f"a king-post scissor, {pitch_text(state.pitches[0])} over {pitch_text(state.pitches[1])}, "
            f"{state.load:,.0f} lb at the peak, one bearing free to slide"
        )


# --- sag at the seam -------------------------------------------------------------------------------------------------

SEAM_ROWS: tuple[Reading, ...] = tuple(
    Reading(name, label, unit, "seam", formula, function, args)
    for name, label, unit, formula, function, args in (
        ("span", "Span", "in", "span", lambda span: span, "span"),
        ("rafters_years", "Rafters after years", "in", "r_live + K·r_dead", lambda a, k, b: a + k * b,
         "r_live K r_dead"),
        ("truss_years", "Truss after years", "in", "t_live + K·t_dead", lambda a, k, b: a + k * b, "t_live K t_dead"),
        ("step_live", "Step, live load", "in", "r_live − t_live", lambda a, b: a - b, "r_live t_live"),
        ("step_years", "Step after years", "in", "rafters_years − truss_years", lambda a, b: a - b,
         "rafters_years truss_years"),
        ("feet", "Fairs out over", "ft", "larger of both steps ÷ (1 ÷ 8)", lambda a, b: max(abs(a), abs(b)) / FAIR,
         "step_live step_years"),
    )
)  # fmt: skip


class Side(NamedTuple):
    """Rafters and truss side by side."""

    seam: SeamSag
    numbers: dict[str, Rows]


class SeamTopic(Topic[Side]):
    """How rafter pair and truss sag differently where they meet."""

    name = "seam"
    label = "Sag at the seam: a teaching model"
    controls = (
        house_control("span", "Span", 192, 384),
        house_control("pitch", "Roof pitch", 4, 12),
        house_control("ceiling_pitch", "Ceiling pitch", 0, 8),
        choice_control("place", "Seen at", ("ridge", "mid-slope"), "ridge"),
        choice_control("lumber", "Rafter", SIZES, "2x10", ordered=True),
        range_control(Input("slip", "Joint slip", "length", 0, 0.5, 0.0625, '1/16"')),
        quantity_control("dead", "Dead load", 5, 30, 1, "15", "psf"),
        quantity_control("snow", "Roof snow", 0, 60, 1, "23", "psf"),
    )
    beside_questions = {"seam": "seam"}
    views = {"seam": "Along the roof"}
    dims = {"fair": says("The larger step, at 1 in over 8 ft: change loads, slip or sizes.")}
    groups = {
        "seam": ("Sag, down", (
            Entry("seam.rafters_years", "Rafters, years"),
            Entry("seam.truss_years", "Truss, years"),
            Entry("seam.step_live", "Step, live"),
            Entry("seam.step_years", "Step, years"),
            Entry("seam.feet", "Fairs out"),
            Entry("seam.span", "Span"),
        )),
    }  # fmt: skip

    def build(self, boxes: Boxes) -> Side:
        gable = Gable(boxes["span"], boxes["pitch"], 5.5, 16)
        rafters = RafterBay(gable, boxes["lumber"], seat=3, ridge="2x12", rounded=True)
        scissor = ScissorBay(gable, boxes["ceiling_pitch"], rafters.left.heel)
        loads = Loads(boxes["dead"], snow=boxes["snow"])
        both = sag_at_seam(rafters, scissor, loads, slip=boxes["slip"])
        seam = next(one for one in both if one.place == boxes["place"])
        return Side(seam, {"seam": Rows(SEAM_ROWS, seam_values(seam) | {"span": boxes["span"]}, "thrust")})

    def numbers(self, state: Side) -> dict[str, Rows]:
        return state.numbers

    def sentence(self, state: Side, view: str) -> str:
        return state.seam.sentence

    def picture(self, view: str, state: Side) -> Scene | str:
        return seam_sag(state.seam)
