"""The panels on insulation and air: height and R over the plate, heel for a wanted R, along the slope, attic wall."""

from __future__ import annotations

from dataclasses import dataclass, replace
from html import escape
from random import Random

from rooflab.base.findings import Finding
from rooflab.base.measure import feet_inches, pitch_text
from rooflab.base.rows import Reading, Rows
from rooflab.checks.assumptions import LEFT_OPEN, Assumptions, warm_findings
from rooflab.checks.warmth import (
    ATTIC_WALL,
    FULL_HEIGHT,
    HEIGHTS,
    MATERIALS,
    SEAM_AIR,
    USUAL_R,
    VENT_PATHS,
    WIND_WASH,
    attic_wall_area,
    even_gable,
    full_from,
    heel_for,
    height_for,
    material_now,
    over_plate,
    r_value,
    reduced_r,
)
from rooflab.draw.scene import Scene
from rooflab.draw.views.key import EAVES, both_halves
from rooflab.draw.views.warmth import along, attic_wall, eaves, eaves_reach
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.values import House, bays_of
from rooflab.live.widgets.controls import Boxes, choice_control, house_control, quantity_control
from rooflab.live.widgets.handles import SIXTEENTH, apex, face, seat_end
from rooflab.live.widgets.house_topic import HouseTopic
from rooflab.live.widgets.rows import findings_html
from rooflab.live.widgets.topic import Entry
from rooflab.live.widgets.touch import Grip, follows, says

BARE = {
    "cellulose": "cellulose, loose", "blown fiberglass": "blown fiberglass", "fiberglass batt": "fiberglass batt",
    "fiberglass, dense": "fiberglass, dense", "mineral wool": "blown mineral wool", "EPS": "EPS", "XPS": "XPS",
    "polyiso": "polyiso", "closed-cell foam": "closed-cell spray foam",
}  # fmt: skip

WALL_ROWS: tuple[Reading, ...] = (
    Reading("span", "Span, out to out", "in", "wall", "2·run", lambda run: 2 * run, "run"),
    Reading("area", "Attic wall", "sq ft", "wall", "c·(apex − start)² ÷ 144", even_gable, "c apex start"),
    Reading("height", "Height the R wants", "in", "wall", "r_wanted ÷ per_inch", height_for, "r_wanted per_inch"),
    Reading("rafter_from", "Rafter bay has it from", "in", "wall", "where the lines are that far apart",
            lambda x: x, "rafter_x"),
    Reading("truss_from", "Truss bay has it from", "in", "wall", "where the lines are that far apart",
            lambda x: x, "truss_x"),
)  # fmt: skip


FROM_THERE = says("Where the planes stand that far apart: change the wanted R, a pitch, the seat or the heel.")
WALL_GRIPS = (
    Grip("top of the attic wall", "ceiling_pitch", "y", lambda bays: apex(bays[1].left)),
    Grip("ridge", "pitch", "y", lambda bays: bays[1].peak),
    Grip("right wall", "span", "x", lambda bays: face(bays[1].right, 9.0)),
)
EAVES_GRIPS = (
    Grip("top of the truss's heel", "heel", "y", lambda bays: (eaves_reach(*bays)[1], bays[1].left.heel), SIXTEENTH),
    Grip("inside end of the seat", "seat", "x", lambda bays: (seat_end(bays)[0], 0.0), SIXTEENTH),
)


@dataclass(frozen=True)
class Warm:
    """Both bays with insulation over their plates."""

    rafters: RafterBay
    scissor: ScissorBay
    material: str
    edition: str
    required: float | None
    enough: float
    air: float
    per_inch: float
    reach: dict[str, float | None]
    numbers: dict[str, Rows]
    findings: tuple[Finding, ...]


class WarmTopic(HouseTopic[Warm]):
    """Insulation over the plate of both bays."""

    name = "warm"
    label = "Warm at the eave"
    controls = (
        house_control("span", "Span", 144, 480),
        house_control("pitch", "Roof pitch", 2, 18),
        house_control("ceiling_pitch", "Ceiling pitch", 0, 12),
        house_control("seat", "Seat", 1.5, 5.5),
        house_control("heel", "Truss heel", 4, 24)._replace(word="as rafter", start="as rafter"),
        choice_control("lumber", "Rafter", ("2x6", "2x8", "2x10", "2x12"), "2x10", ordered=True),
        choice_control("material", "Insulation", tuple(BARE), "cellulose"),
        quantity_control("per_inch", "R per inch", 2, 7, 0.1, "careful", "", "careful"),
        quantity_control("r_value", "R required", 13, 60, 1, "38", "", LEFT_OPEN["r_value"]),
        quantity_control("air", "Air space", 0, 3, 0.25, "1", "in"),
        choice_control("edition", "IRC edition", tuple(FULL_HEIGHT), "2018"),
    )
    bar_tells = False
    beside_questions = {"rafter": "eaves", "truss": "eaves", "wall": "along", "wall.area": "wall"}
    views = {
        "eaves": "Both eaves",
        "along": "Along the slope",
        "wall": "Attic wall",
        "materials": "R by material",
        "paths": "Air and limits",
    }
    cuts = {"eaves": EAVES, "wall": both_halves("A")}
    dims = {
        "rafter outside": follows("rafter.clear_outside"),
        "truss outside": follows("scissor.clear_outside"),
        "wanted height": says("What the wanted R takes at this R per inch: change either."),
        "rafter from": FROM_THERE,
        "truss from": FROM_THERE,
        "base": says("The span less both bearings: change the span."),
        "rise": follows("scissor.ceiling_rise"),
    }
    groups = {
        "rafter": ("Rafter bay", (
            Entry("rafter.clear_outside", "Outside face", "rafter over_plate"),
            Entry("rafter.clear_inside", "Inside face"),
            Entry("rafter.r_outside", "R outside"),
            Entry("rafter.heel_wanted", "Heel wanted"),
        )),
        "truss": ("Scissor bay", (
            Entry("truss.clear_outside", "Outside face", "truss over_plate"),
            Entry("truss.clear_inside", "Inside face"),
            Entry("truss.r_outside", "R outside"),
            Entry("truss.heel_wanted", "Heel wanted"),
        )),
        "wall": ("Along the slope, and the wall", (
            Entry("wall.height", "Height wanted"),
            Entry("wall.rafter_from", "Rafters, from"),
            Entry("wall.truss_from", "Truss, from"),
            Entry("wall.area", "Attic wall"),
        )),
    }  # fmt: skip

    def own(self) -> dict[str, str]:
        """The job's numbers; an insulation that it names stands as such, with its careful R per inch."""
        material = material_now(str(self.job.insulation.get("material", ""))) if self.job else ""
        words = [{"material": short, "per_inch": "careful"} for short, name in BARE.items() if name == material]
        return super().own() | (words[0] if words else {})

    def wish_house(self, boxes: Boxes) -> House:
        per = MATERIALS[BARE[boxes["material"]]].low if boxes["per_inch"] is None else boxes["per_inch"]
        assumptions = replace(
            self.assumptions, r_required=boxes["r_value"], per_inch=per, edition=boxes["edition"], air=boxes["air"]
        )
        return self.house_with(boxes) | {"assumptions": assumptions}

    def grips(self, view: str) -> tuple[Grip, ...]:
        return {"wall": WALL_GRIPS, "eaves": EAVES_GRIPS}.get(view, ())

    def build(self, boxes: Boxes) -> Warm:
        house = self.wish_house(boxes)
        rafters, scissor = bays_of(house)
        assumptions: Assumptions = house["assumptions"]
        per = float(assumptions.per_inch or 0.0)
        enough = reduced_r(assumptions.r, boxes["edition"])
        bays = {"rafter": rafters, "truss": scissor}
        over = {name: over_plate(bay, enough, per, boxes["air"]).values for name, bay in bays.items()}
        keep = ("heel", "m", "bearing", "c", "past", "air", "per_inch", "r_wanted")
        tall = float(height_for(enough, per))
        reach = {name: full_from(bay, tall, boxes["air"]) for name, bay in bays.items()}
        v = scissor.symbols()
        wall = {name: v[name] for name in ("run", "c", "apex", "start")} | {"r_wanted": enough, "per_inch": per}
        wall |= {f"{name}_x": "nowhere" if x is None else x for name, x in reach.items()}
        wanted = {"r_asked": assumptions.r}
        numbers = {
            name: Rows(HEIGHTS, {one: values[one] for one in keep} | wanted, "warmth")
            for name, values in over.items()
        }
        limits = [
            f._replace(name=f"{'rafter' if kind == 'rafter' else 'truss'} over_plate") if f.name in OVER_PLATE else f
            for kind, f in warm_findings(rafters, scissor, assumptions)
        ]
        return Warm(
            rafters, scissor, boxes["material"], boxes["edition"], boxes["r_value"], enough, boxes["air"], per, reach,
            numbers | {"wall": Rows(WALL_ROWS, wall, "warmth")}, tuple(limits),
        )  # fmt: skip

    def numbers(self, state: Warm) -> dict[str, Rows]:
        return state.numbers

    def findings(self, state: Warm) -> tuple[Finding, ...]:
        return state.findings

    def key_bays(self, state: Warm) -> tuple[RafterBay, ScissorBay]:
        return state.rafters, state.scissor

    def sentence(self, state: Warm, view: str) -> str:
        r, t = (state.numbers[name].all for name in ("rafter", "truss"))
        v = state.numbers["wall"].all
        wants = f"R-{state.enough:.0f} at {state.per_inch:.1f} an inch wants {feet_inches(v['height'])}"
        if view == "along":
            where = ["nowhere" if x is None else f"from {feet_inches(x)} in" for x in state.reach.values()]
            return f"{wants}: over the rafter bay {where[0]}, over the scissor bay {where[1]}."
        if view == "wall":
            return f"{v['area']:.1f} sq ft of attic wall stand at the seam: an outside wall, insulated and sealed."
        need = f"R-{USUAL_R if state.required is None else state.required:.0f}"
        need += " to agree" if state.required is None else " required"
        rule = f"{need}, R-{state.enough:.0f} will do at full height (IRC {state.edition})"
        have = [feet_inches(one["clear_outside"]) for one in (r, t)]
        both = have[0] if have[0] == have[1] else f"{have[0]} (rafters) and {have[1]} (truss)"
        if state.enough == (state.required or USUAL_R):
            rule = f"{need} (IRC {state.edition})"
        return f"{rule}; it wants {feet_inches(v['height'])}, and {both} stand at the outside face."

    def word(self, key: str, state: Warm) -> str:
        if key.endswith("heel_wanted"):
            family = key.partition(".")[0]
            return f"is {feet_inches(state.numbers[family].all['heel'])}"
        return f"R-{state.enough:.0f}" if key == "wall.height" else ""

    def highest(self, state: Warm) -> dict[str, float]:
        return {"ceiling_pitch": max(12 * state.rafters.gable.slopes[0] - 1, 0.5)}

    def program_values(self, state: Warm) -> dict[str, float]:
        return {"heel": state.rafters.left.heel, "per_inch": state.per_inch, "r_value": USUAL_R}

    def picture(self, view: str, state: Warm) -> Scene | str:
        if view == "eaves":
            return eaves(state.rafters, state.scissor, {one: state.numbers[one].all for one in ("rafter", "truss")})
        if view == "along":
            return along(state.rafters, state.scissor, state.air, state.numbers["wall"].all["height"], state.reach)
        if view == "wall":
            return attic_wall(state.scissor, attic_wall_area(state.scissor))
        return _materials(state) if view == "materials" else _paths(state)

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        def pick(*row: str) -> str:
            return row[int(chance.random() * len(row))]

        return {
            "pitch": pick("5", "6", "8", "9", "10"), "seat": pick("2 1/2", "3", "3 1/2"),
            "lumber": pick("2x10", "2x12"),
            "per_inch": pick("3.1", "3.4", "3.7"), "r_value": pick("38", "49"), "edition": pick("2018", "2021"),
            "air": pick("1", "1.5", "2"),
        }  # fmt: skip

    def givens(self, state: Warm, key: str) -> str:
        family, _, name = key.partition(".")
        v = state.numbers[family].all
        air = f"an air space of {feet_inches(v['air'])} square to a roof of {pitch_text(12 * v['m'])}"
        if name == "heel_wanted":
            return f"R-{state.enough:.0f} at {state.per_inch:.1f} an inch, {air}"
        plate = f", a plate {feet_inches(v['bearing'])} wide" if name == "clear_inside" else ""
        return f"heel {feet_inches(v['heel'])}, {air}{plate}"


OVER_PLATE = ("over_plate", "r_to_agree", "sloped_attic")



def _materials(state: Warm) -> str:
    """Each insulation: R an inch, R over both plates at the outside face, and the heel that the wanted R needs."""
    r, t = (state.numbers[name].all for name in ("rafter", "truss"))
    lines = []
    for row in MATERIALS.values():
        have = [f"R-{float(r_value(one['clear_outside'], row.low)):.0f}" for one in (r, t)]
        heel = feet_inches(float(heel_for(height_for(state.enough, row.low), r["m"], state.air)))
        per = f"{row.low:g}" if row.low == row.high else f"{row.low:g} to {row.high:g}"
        lines.append(
            f"<tr><td>{escape(row.name)}</td><td>{per}</td><td>{have[0]}</td><td>{have[1]}</td>"
            f"<td><b>{escape(heel)}</b></td></tr>"
        )
    source = next(iter(MATERIALS.values())).source
    return (
        f'<table class="rl-list"><tr><th>Insulation</th><th>R per inch</th><th>Rafter bay, outside face</th>'
        f"<th>Scissor bay, outside face</th><th>Heel for R-{state.enough:.0f}</th></tr>{''.join(lines)}</table>"
        f"<p>R per inch: {escape(source)}; the careful end of each range is used. Boards and foam have rules of their "
        "own (fire, moisture, fumes): ask the manufacturer.</p>"
    )


def _paths(state: Warm) -> str:
    """Where the air goes in each bay, what stops the wind, and every limit."""
    findings = dict.fromkeys(f for f in state.findings if f.name.endswith(("over_plate", "air_space")))
    bay_findings = [
        f._replace(sentence=f"{f.name.split()[0].capitalize()} bay. {f.sentence}") if " " in f.name else f
        for f in findings
    ]
    ways = "".join(f"<li>{escape(path)}</li>" for path in (*VENT_PATHS.values(), SEAM_AIR, WIND_WASH, ATTIC_WALL))
    return f"{findings_html(bay_findings)}<ul>{ways}</ul>"
