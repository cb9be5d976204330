"""The panels on loads and the rafter: dead by parts, live by slope, snow, ratios beside the heel, reach."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from html import escape
from random import Random
from typing import Any

from rooflab.base.findings import Finding
from rooflab.base.measure import InputError, feet_inches, on_center, pitch_text
from rooflab.base.rows import Reading, Rows
from rooflab.checks.assumptions import CEILINGS
from rooflab.checks.grades import FROM_MEMORY, GRADES, PLATES, SIZE_FACTORS, SOFTEST_PLATE
from rooflab.checks.limits import findings as geometry_findings
from rooflab.checks.loads import (
    PARTS,
    ROOF_TOTALS,
    SNOW_REMARK,
    Loads,
    Part,
    flat_roof_snow,
    framing_weight,
    on_plan,
    slope_factor,
)
from rooflab.checks.strength import (
    RATIOS,
    STRENGTH,
    LongestSpan,
    check_rafter,
    design_span,
    longest_spans,
    sag_over,
    slope_reach,
    strength_findings,
)
from rooflab.draw.scene import Scene
from rooflab.draw.views.details import rafter_heel
from rooflab.draw.views.key import RAFTERS, both_halves
from rooflab.draw.views.loads import Bar, demand_bars, loads_on_rafter, part_bars, reach_bars
from rooflab.house.bays import RafterBay
from rooflab.house.readings import READINGS
from rooflab.live.widgets.controls import Boxes, choice_control, house_control, quantity_control
from rooflab.live.widgets.handles import HALF_SPAN, RAFTER_HEEL_DIMS, rafter_grips
from rooflab.live.widgets.house_topic import HouseTopic
from rooflab.live.widgets.rows import findings_html
from rooflab.live.widgets.topic import DECIDE, Entry
from rooflab.live.widgets.touch import Grip, edits

ROOFING = {"shingles": "asphalt shingles", "metal": "metal roofing", "tile": "clay or concrete tile"}
BELOW = ("wood sheathing, 1/2 in", "insulation, 12 in light fill", "gypsum board, 1/2 in")

SEAT_GRIP = (Grip("inside end of the seat", "seat", "x", lambda bay: (float(bay.symbols()["seat"]), 0.0), 1 / 16),)

LOAD_ROWS: tuple[Reading, ...] = tuple(
    Reading(name, label, unit, "loads", formula, function, args)
    for name, label, unit, formula, function, args in (
        ("span", "Span, out to out", "in", "2·run", lambda run: 2 * run, "run"),
        ("dead_plan", "Dead on the projection", "psf", "dead·k(m)", on_plan, "dead m"),
        ("live_slope", "Roof live load", "psf", "by slope, or the official figure", lambda live: live, "roof_live"),
        ("flat_snow", "Flat roof snow", "psf", "0.7·C_e·C_t·I_s·p_g", lambda p, e, t, i: flat_roof_snow(p, e, t, i),
         "p_g C_e C_t I_s"),
        ("slope_factor", "Slope factor Cs", "", "(70° − arctan(m)) ÷ (70° − start), 0 to 1", slope_factor, "m C_t"),
        ("roof_snow", "Roof snow", "psf", "slope_factor·flat_snow", lambda cs, flat: cs * flat,
         "slope_factor flat_snow"),
        ("total", "Most, on the projection", "psf", "dead·k(m) + live",
         lambda dead, m, live: on_plan(dead, m) + live, "dead m live"),
    )
)  # fmt: skip
"""Readings of the loads, in psf; "live" is the largest of roof live load, roof snow and snow on one side."""

OFFICIAL_SNOW = Reading("roof_snow", "Roof snow", "psf", "loads", "the official figure", lambda snow: snow, "snow")

HEEL_ROWS = tuple(row for row in READINGS if row.bay == "rafter" and row.name in ("heel", "notch_depth", "notch_ratio"))


@dataclass(frozen=True)
class LoadState:
    """A rafter bay under its loads: what stands, and everything worked from it."""

    bay: RafterBay
    loads: Loads
    grade: str
    spacing: float
    plate: str
    ceiling: str
    parts: tuple[Part, ...]
    numbers: dict[str, Rows]
    worst: str  # the load combination with the largest ratio of all
    findings: tuple[Finding, ...]
    official_snow: bool

    @property
    def snow_note(self) -> str:
        """Snow on one side and minimum snow, taken or left out, in words."""
        return self.loads.snow_note(self.bay.gable.slopes[0], float(slope_reach(self.bay)))


class LoadsTopic(HouseTopic[LoadState]):
    """Loads on a rafter, its demand over capacity, and the heel beside it."""

    name = "loads"
    label = "Loads and the rafter"
    controls = (
        house_control("span", "Span", 144, 480),
        house_control("pitch", "Roof pitch", 2, 18),
        house_control("seat", "Seat", 1.5, 5.5),
        choice_control("lumber", "Rafter", tuple(SIZE_FACTORS), "2x10", ordered=True),
        choice_control("grade", "Grade", tuple(GRADES), "DFL No.2"),
        quantity_control("spacing", "Spacing", 12, 24, 4, "16", "in"),
        choice_control("plate_species", "Plate lumber", tuple(PLATES), SOFTEST_PLATE),
        choice_control("rafter_ceiling", "Ceiling", CEILINGS, "attached"),
        choice_control("roofing", "Roofing", tuple(ROOFING), "shingles"),
        quantity_control("dead", "Dead load", 5, 30, 1, "15", "psf", "by parts"),
        quantity_control("live", "Roof live", 0, 40, 1, "by slope", "psf", "by slope"),
        quantity_control("ground_snow", "Ground snow", 0, 100, 5, "30", "psf"),
        quantity_control("thermal", "Ct (cold 1.1)", 1.0, 1.2, 0.1, "1.1"),
        quantity_control("snow", "Roof snow", 0, 100, 1, "worked out", "psf", "worked out"),
    )
    beside_questions = dict.fromkeys(
        ("heel", "loads", "strength", "bending", "shear", "bearing", "deflection"), "loads"
    )
    views = {
        "ratios": "Demand and capacity",
        "loads": "Loads",
        "parts": "Dead by parts",
        "reach": "Longest spans",
        "sizes": "All sizes, worked",
        "limits": "Limits and sources",
    }
    cuts = {"loads": both_halves(RAFTERS)}
    dims = {"span": edits("span"), "run": HALF_SPAN, "roof pitch": edits("pitch")}
    dims_in = {"detail": RAFTER_HEEL_DIMS}
    groups = {
        "heel": ("Heel and notch", (
            Entry("heel.heel", "Heel height", "heel_blocking"),
            Entry("heel.notch_depth", "Notch", "end_notch"),
            Entry("strength.L", "Beam, level"),
            Entry("strength.line_load", "Load"),
        )),
        "house": ("House", (
            Entry("loads.span", "Span"),
            Entry("heel.heel", "Heel height"),
        )),
        "loads": ("Loads, psf", (
            Entry("loads.dead_plan", "Dead, level"),
            Entry("loads.live_slope", "Roof live"),
            Entry("loads.roof_snow", "Roof snow"),
            Entry("loads.total", "Most, level"),
        )),
        "snow": ("Snow, psf", (
            Entry("loads.flat_snow", "Flat roof"),
            Entry("loads.slope_factor", "Cs"),
            Entry("loads.roof_snow", "Roof snow"),
        )),
        "strength": ("Demand over capacity", (
            Entry("bending.bending_ratio", "Bending", "rafter_bending"),
            Entry("shear.shear_ratio", "Shear", "rafter_shear"),
            Entry("bearing.bearing_ratio", "Bearing", "rafter_bearing"),
            Entry("deflection.deflection_ratio", "Sag", "rafter_deflection"),
        )),
        "working": ("Behind the ratios", (
            Entry("strength.moment", "Moment"),
            Entry("strength.bending_stress", "Bending stress"),
            Entry("strength.bending_allowed", "Bending allowed"),
            Entry("strength.deflection", "Sag, live/snow"),
        )),
    }  # fmt: skip

    def grips(self, view: str) -> tuple[Grip, ...]:
        return {"loads": rafter_grips(9.0), "detail": SEAT_GRIP}.get(view, ())

    def hangs(self, boxes: Boxes) -> RafterBay:
        return self.rafter_bay(boxes)[1]

    def build(self, boxes: Boxes) -> LoadState:
        gable, bay = self.rafter_bay(boxes)
        m = gable.slopes[0]
        own = framing_weight(bay.thickness, bay.depth, boxes["spacing"])
        parts = (*(PARTS[name] for name in (ROOFING[boxes["roofing"]], *BELOW)),
                 Part("rafters themselves", float(own), f"35 pcf, common practice, {FROM_MEMORY}"))  # fmt: skip
        by_parts = boxes["dead"] is None
        dead = sum(part.weight for part in parts) if by_parts else boxes["dead"]
        snow = boxes["snow"]
        code_loads = {name: boxes[name] for name in ("live", "ground_snow", "thermal")}
        loads = replace(self.assumptions.loads, dead=dead, snow=snow, **code_loads)
        named = self.assumptions.plate  # "" where the job names none: then the softest, said so
        plate = named if boxes["plate_species"] == (named or SOFTEST_PLATE) else boxes["plate_species"]
        of: dict[str, Any] = {"grade": boxes["grade"], "spacing": boxes["spacing"], "plate": plate,
              "ceiling": boxes["rafter_ceiling"]}  # fmt: skip
        checks = check_rafter(bay, loads, **of)
        worst = {name: max(checks, key=lambda one, n=name: float(one.values[n])) for name in RATIOS}  # type: ignore[misc]
        top = max(checks, key=lambda one: one.ratio)
        live, roof_snow = float(loads.live_at(m)), float(loads.snow_at(m))
        symbols = {
            "run": bay.left.run, "dead": dead, "m": m, "roof_live": live,
            "live": max(check.case.live for check in checks),
            "p_g": boxes["ground_snow"], "C_e": loads.exposure, "C_t": loads.thermal, "I_s": loads.importance,
            "snow": roof_snow,
        }  # fmt: skip
        rows = LOAD_ROWS
        if snow is not None:
            rows = tuple(OFFICIAL_SNOW if row.name == OFFICIAL_SNOW.name else row for row in LOAD_ROWS)
        keep = ("dead", "live", "m", "s", "L", "o", "b", "D", "n", "seat", "F_b", "F_v", "F_p", "E", "C_F", "C_r",
                "C_D", "limit")  # fmt: skip
        span = Reading("L", "Span of the beam, seat to ridge", "in", "strength", "L", lambda x: x, "L")
        numbers = {
            "loads": Rows(rows, symbols, "loads"),
            "heel": Rows(HEEL_ROWS, bay.symbols()),
            "strength": Rows((span, *STRENGTH), {name: float(top.values[name]) for name in keep}, "loads"),
        } | {
            name.removesuffix("_ratio"): Rows(STRENGTH, {one: float(check.values[one]) for one in keep}, "loads")
            for name, check in worst.items()
        }
        limits = (*strength_findings(bay, loads, **of),
                 *(f for f in geometry_findings(bay) if f.name in ("end_notch", "heel_blocking")))  # fmt: skip
        return LoadState(
            bay, loads, boxes["grade"], boxes["spacing"], of["plate"], of["ceiling"], parts, numbers, top.case.name,
            limits, snow is not None,
        )

    def numbers(self, state: LoadState) -> dict[str, Rows]:
        return state.numbers

    def findings(self, state: LoadState) -> tuple[Finding, ...]:
        return state.findings

    def key_bays(self, state: LoadState) -> tuple[RafterBay, RafterBay]:
        return state.bay, state.bay

    def sentence(self, state: LoadState, view: str) -> str:
        v = state.numbers["loads"].all
        if view == "parts":
            whole = next(iter(ROOF_TOTALS.values()))
            return (
                f"The parts weigh {sum(p.weight for p in state.parts):.1f} psf on the slope; a published whole for "
                f"{whole.name} is {whole.weight:g} ({whole.source}), with a reserve."
            )
        if view == "loads":
            return f"{state.loads.sentence(v['m'])} {state.snow_note}".rstrip()
        strength = state.numbers["strength"].all  # under the combination with the largest ratio of all
        name = max(RATIOS, key=lambda one: float(strength[one]))
        word = {"bending_ratio": "bending", "shear_ratio": "shear", "bearing_ratio": "bearing on the seat"}
        ratio = float(strength[name])
        return (
            f"{state.bay.lumber} {state.grade} at {state.spacing:g} in, heel {feet_inches(state.bay.left.heel)}: "
            f"{'uses' if ratio <= 1 else 'is over: it needs'} {ratio:.2f} of what it can carry, in "
            f"{word.get(name, 'sag')}, under {state.worst}."
        )

    def word(self, key: str, state: LoadState) -> str:
        if key == "loads.roof_snow":
            return "given" if state.official_snow else state.loads.edition
        if key == "loads.live_slope":
            return "by slope" if state.loads.live is None else "given"
        if key == "loads.slope_factor":
            return f"Ct {state.loads.thermal:g}"
        return state.worst if key == "strength.line_load" else ""

    def detail(self, state: LoadState) -> Scene:
        return rafter_heel(state.bay)

    def program_values(self, state: LoadState) -> dict[str, float]:
        v = state.numbers["loads"].all
        return {"dead": v["dead"], "live": v["roof_live"], "snow": v["roof_snow"]}

    def picture(self, view: str, state: LoadState) -> Scene | str:
        views: dict[str, Callable[[LoadState], Scene | str]] = {
            "ratios": _ratios, "loads": _loads, "parts": _parts, "reach": _reach, "sizes": _sizes, "limits": _limits,
        }  # fmt: skip
        return views[view](state)

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        def pick(*row: str) -> str:
            return row[int(chance.random() * len(row))]

        return {
            "span": pick("20'", "22'", "24'", "26'", "28'"), "pitch": pick("5", "6", "7", "8", "9", "10"),
            "seat": "3", "lumber": pick("2x8", "2x10", "2x12"), "grade": pick("DFL No.2", "HF No.2", "DFL No.1"),
            "spacing": pick("12", "16", "24"), "dead": pick("10", "12", "15", "20"),
            "ground_snow": pick("25", "30", "40", "50"), "snow": pick("20", "25", "30", "35"),
        }  # fmt: skip

    def givens(self, state: LoadState, key: str) -> str:
        v = state.numbers["strength"].all
        family, _, name = key.partition(".")
        load = f"dead {v['dead']:g} psf on the slope, {pitch_text(12 * v['m'])}"
        if key == "loads.dead_plan":
            return load
        load += f", {'snow' if 'snow' in state.worst else 'live'} {v['live']:g} psf, {on_center(v['s'])}"
        if name == "line_load":
            return load
        return f"{load}, {feet_inches(v['L'])} level from seat to ridge"


# --- pictures and lists ----------------------------------------------------------------------------------------------


def _ratios(state: LoadState) -> Scene:
    rows = []
    for finding, name in zip(state.findings, RATIOS, strict=False):
        rows.append(Bar(name, float(finding.value), f"{finding.sentence.split(' (')[0]}."))
    v = state.numbers["strength"].all
    heading = f"{state.bay.lumber} {state.grade}, {on_center(v['s'])}, {feet_inches(v['L'])} from seat to ridge, level"
    return demand_bars("Demand over capacity of the rafter", rows, heading)


def _loads(state: LoadState) -> Scene:
    v = state.numbers["loads"].all
    words = "snow" if v["roof_snow"] > v["roof_live"] or state.official_snow else "roof live"
    return loads_on_rafter(state.bay, v, words)


def _parts(state: LoadState) -> Scene:
    total = sum(part.weight for part in state.parts)
    return part_bars(state.parts, total, f"Weight of each layer, on the slope; {state.bay.lumber} rafters")


def reach(state: LoadState) -> tuple[LongestSpan, ...]:
    """The longest span of each size under the loads, in."""
    m, beyond = state.bay.gable.slopes[0], float(slope_reach(state.bay)) - design_span(state.bay)
    over = float(sag_over(state.ceiling, m))
    return longest_spans(state.loads, state.grade, state.spacing, 12 * m, over, beyond)


def _reach(state: LoadState) -> Scene:
    heading = (
        f"{state.grade}, {on_center(state.spacing)}, {pitch_text(12 * state.bay.gable.slopes[0])}, without a notch"
    )
    return reach_bars(reach(state), float(state.numbers["strength"].all["L"]), heading)


def _sizes(state: LoadState) -> str:
    """Each size in the place of the rafter: what every check says, and why it reaches as far as it does."""
    lines = []
    for one in reach(state):
        try:
            bay = RafterBay(state.bay.gable, one.size, seat=state.bay.seat, ridge="2x12", rounded=True)
            checks = check_rafter(
                bay, state.loads, state.grade, state.spacing, plate=state.plate, ceiling=state.ceiling
            )
            ratios = [max(float(check.values[name]) for check in checks) for name in RATIOS]
            cells = "".join(f"<td>{ratio:.2f}{' <b>over</b>' if ratio > 1 else ''}</td>" for ratio in ratios)
            heel = feet_inches(bay.left.heel)
        except InputError:
            cells, heel = "<td>the seat cuts through</td><td></td><td></td><td></td>", "none"
        lines.append(
            f"<tr><td><b>{one.size}</b></td><td>{escape(heel)}</td>{cells}<td><b>{escape(feet_inches(one.span))}</b>"
            f"</td><td>{one.governs} is full there, under {one.case}</td></tr>"
        )
    v = state.numbers["strength"].all
    return (
        '<table class="rl-list"><tr><th>Size</th><th>Heel</th><th>Bending</th><th>Shear</th><th>Bearing</th>'
        f"<th>Sag</th><th>Reaches</th><th>What stops it</th></tr>{''.join(lines)}</table>"
        f"<p>Bending, shear, bearing and sag: demand over capacity of each size in this rafter's place, "
        f"{escape(feet_inches(float(v['L'])))} level from seat to ridge, with its own notch on the same seat. The "
        "reach is worked backward, without a notch: bending grows with the span squared, shear with it, sag with "
        f"its third power. {escape(state.grade)} values: {escape(GRADES[state.grade].source)}; CF, Cr NDS 2018; "
        f"CD {FROM_MEMORY}.</p>"
    )


def _limits(state: LoadState) -> str:
    m = state.bay.gable.slopes[0]
    return (
        f"{findings_html(state.findings)}<p>{escape(state.loads.sentence(m))} {escape(state.snow_note)} "
        f"{escape(SNOW_REMARK)} Left out: wind and uplift, drifts at steps and walls, sliding snow, "
        f"the push of the rafters, the tail's own strength, fastenings. {DECIDE}</p>"
    )
