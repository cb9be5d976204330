"""The live panel of a wall jog: both sections, the plan, the five ways side by side, gable end and finish."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from random import Random

from rooflab.base.findings import HEEL_WITH_BLOCKING, HEEL_WITHOUT_BLOCKING, Finding
from rooflab.base.lumber import CHORDS
from rooflab.base.measure import LEVEL, InputError, feet_inches, pitch_text
from rooflab.base.rows import Reading, Reasoning
from rooflab.checks.limits import findings
from rooflab.draw.scene import Scene
from rooflab.draw.views.jog import STRETCH, gable_and_finish, heels, jog_sections, plan
from rooflab.draw.views.key import both_halves
from rooflab.house.bays import Jog, ScissorBay
from rooflab.house.jog import PLATES, WAYS, WallJog, Way, finish, gable_end, header_load
from rooflab.house.jog import jog as set_in
from rooflab.house.planes import End
from rooflab.job.jobfile import Job
from rooflab.job.values import House, one_end, truss_of
from rooflab.job.wishes import PLATES as WIDTHS
from rooflab.live.widgets.controls import Boxes, choice_control, house_control
from rooflab.live.widgets.handles import HALF_SPAN, apex, face, heel_top, tail_end
from rooflab.live.widgets.house_topic import HouseTopic
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import findings_html
from rooflab.live.widgets.topic import Entry, TapeReadings, verdict_first
from rooflab.live.widgets.topic_panel import panel_of
from rooflab.live.widgets.touch import Grip, edits, follows, says

APEX = {"equal pitches": "free", "under ridge": "ridge"}
FIRST_CONTROLS = (
    "span", "overhang", "pitch", "ceiling_pitch", "bearing", "plate", "heel", "jog", "new_bearing", "eave", "way",
)  # fmt: skip


SHARE = 10.0  # psf of roof on plan, for the header's load


@dataclass(frozen=True)
class JogState:
    """A jog as it stands: long and short truss, the way chosen and the truss so framed, and its limits."""

    jog: WallJog
    way: Way
    bay: ScissorBay
    findings: tuple[Finding, ...]

    @property
    def near(self) -> End:
        """The end of that truss at the jog."""
        return self.bay.left if self.jog.end == "left" else self.bay.right


# --- readings --------------------------------------------------------------------------------------------------------


def _from(s: JogState, label: str, formula: str, value: float, unit: str = "in") -> Reasoning:
    """A reading whose value is known, with the numbers of the jog in its formula."""
    span = abs(s.bay.right.wall.x - s.bay.left.wall.x)
    symbols = {**s.jog.symbols(), "L": span, "w": SHARE, "apex": s.near.apex}
    return Reading("", label, unit, "jog", formula, lambda: value, "").work(symbols)


def _plate(s: JogState) -> Reasoning:
    label, way = "Plate above the main plate", s.way
    if way.name == "move plate":
        return s.jog.reading("rise")._replace(label=label)
    if way.name == "same heel":
        return _from(s, label, "m·j", way.plate)
    return Reasoning("", label, 0.0, "in", "left as it was", "")


def _this_heel(s: JogState) -> Reasoning:
    if s.way.name == "move plate":
        return s.jog.reading("heel")
    formula = "heel + m·j" if s.way.name in ("block up", "new ceiling") else "heel"
    return _from(s, "Heel at this wall", formula, s.way.heel)


def _this_stud(s: JogState) -> Reasoning:
    label, way = "Stud of the moved wall", s.way
    if way.name == "move plate":
        return s.jog.reading("stud")
    if way.name == "beam":
        return Reasoning("", label, "partition", "", "stops clear of the chords, and carries nothing", "")
    formula = "stud + m·j" if way.name == "same heel" else "stud"
    return _from(s, label, formula, s.jog.floor - PLATES + way.plate)


def _overhang(s: JogState) -> Reasoning:
    grows = s.jog.eave == "straight" and s.way.name != "beam"
    return _from(s, "Overhang", "o + j" if grows else "o", s.near.overhang)


def _fascia(s: JogState) -> Reasoning:
    if s.way.name == "beam":
        return Reasoning("", "Fascia of the moved wall", 0.0, "in", "the long trusses' tails", "")
    return s.jog.reading("fascia_step")


def _header(s: JogState) -> Reasoning:
    span = abs(s.bay.right.wall.x - s.bay.left.wall.x)
    label = f"Load on a header or girder, for each {SHARE:g} psf of roof"
    return _from(s, label, "w·L ÷ 12 ÷ 2", header_load(SHARE, span), "plf")


def _peak(s: JogState) -> Reasoning:
    row = Reading("peak", "Peak above this plate", "in", "jog", "heel + m·run", lambda heel, m, run: heel + m * run,
                  "heel m run")  # fmt: skip
    return row.work({"heel": s.near.heel, "m": abs(s.near.roof.slope), "run": s.near.run})


def _ceiling(s: JogState) -> Reasoning:
    label, way = "Step in the ceiling plane", s.way
    if way.name == "same heel":
        return s.jog.reading("ceiling_break")._replace(label=label)
    if way.name == "new ceiling":
        return _from(s, label, "−c·(j + start_new − start)", way.ceiling_break)
    return Reasoning("", label, 0.0, "in", "one ceiling plane", "")


def _stand_off(s: JogState) -> Reasoning:
    label = "Ceiling plane above this plate"
    if s.way.name == "block up":
        return s.jog.reading("rise")._replace(label=label)
    return Reasoning("", label, 0.0, "in", "the chord sits on its plate", "")


def _blocking(s: JogState) -> Reasoning:
    label, v = "Blocking once set in more than", s.jog.symbols()
    if v["m"] - v["c"] < 1e-9:
        return Reasoning("", label, "never", "", "the heel does not grow: m = c", "")
    heel = v["heel"] + v["c"] * (v["start"] - v["start_new"])  # with the new bearing, before the wall is moved
    formula = f"({HEEL_WITHOUT_BLOCKING:g} − heel − c·(start − start_new)) ÷ (m − c)"
    reading = _from(s, label, formula, (HEEL_WITHOUT_BLOCKING - heel) / (v["m"] - v["c"]))
    return reading if reading.value > 0 else reading._replace(value="at once", unit="")


def _apex(s: JogState) -> Reasoning:
    return _from(s, "Ceiling apex from the ridge", "apex − run", s.near.apex - s.near.run)


def _right_pitch(s: JogState) -> Reasoning:
    line = s.bay.right.ceiling
    assert line is not None
    formula = "(ceiling at the apex − right plate) ÷ level distance"
    return Reasoning("", "Right ceiling pitch", pitch_text(round(12 * abs(line.slope), 2)), "", formula, "")


ROWS: dict[str, Callable[[JogState], Reasoning]] = {
    "plate": _plate, "this_heel": _this_heel, "this_stud": _this_stud, "overhang": _overhang, "fascia": _fascia,
    "header": _header, "peak": _peak, "ceiling": _ceiling, "stand_off": _stand_off, "blocking": _blocking,
    "apex": _apex, "right_pitch": _right_pitch,
}  # fmt: skip
"""Readings of the moved wall whose formula depends on the approach that was chosen."""


JOG_GRIPS = (
    Grip("ridge", "pitch", "y", lambda made: made.long.peak),
    Grip("moved wall", "jog", "x", lambda made: face(made.new, 10.0)),
    Grip("ceiling at its apex", "ceiling_pitch", "y", lambda made: apex(made.old)),
    Grip("right wall", "span", "x", lambda made: face(made.long.right, 8.0)),
    Grip("top of the right heel", "heel", "y", lambda made: heel_top(made.long.right), 1 / 16),
    Grip("end of the right tail", "overhang", "x", lambda made: tail_end(made.long.right)),
)
PLAN_GRIPS = (
    Grip("moved wall", "jog", "y", lambda made: (STRETCH / 2, made.by)),
    Grip("inside of the moved wall", "new_bearing", "y",
         lambda made: (STRETCH / 4, made.by + made.new.bearing), 0.0, WIDTHS),
)  # fmt: skip

# --- the topic -------------------------------------------------------------------------------------------------------


class JogTopic(HouseTopic[JogState]):
    """A wall moved under the planes of a scissor bay, at its left end."""

    name = "jog"
    label = "Wall jog"
    controls = (
        house_control("span", "Span", 144, 480),
        house_control("overhang", "Overhang", 0, 36),
        house_control("pitch", "Roof pitch", 2, 18),
        house_control("ceiling_pitch", "Ceiling pitch", 0, 12),
        house_control("bearing", "Bearing", 1.5, 12),
        house_control("plate", "Right plate", -36, 36)._replace(step=1),
        choice_control("ceiling_from", "Ceiling from", ("inside", "outside"), "inside"),
        choice_control("apex", "Ceiling apex", tuple(APEX), "equal pitches"),
        house_control("heel", "Long heel", 0.0625, 24),
        house_control("jog", "Set in by", -24, 96),
        house_control("bearing", "New bearing", 1.5, 12, 3.5)._replace(name="new_bearing"),
        choice_control("eave", "Eave", ("straight", "stepped"), "straight"),
        choice_control("way", "Approach", tuple(WAYS), "move plate"),
        house_control("plate_height", "Main plate", 84, 144),
        choice_control("chord", "Chords", CHORDS, "2x4"),
    )
    views = {
        "sections": "Sections",
        "plan": "Plan",
        "ways": "The approaches side by side",
        "gable": "Gable end and finish",
        "limits": "Limits",
    }
    cuts = {"sections": both_halves("A", "B")}
    dims = {
        "heel": edits("heel"),
        "long heel": edits("heel"),
        "far heel": edits("heel"),
        "short heel": says("The planes over the moved wall make it: change the set-in or the approach."),
        "plate": says("The approach makes it, from how far the wall is set in: change either."),
        "stand off": says("The approach leaves it: change how far the wall is set in, or the approach."),
        "height": follows("scissor.height"),
        "jog": edits("jog"),
        "run": HALF_SPAN,
        "far run": HALF_SPAN,
        "short run": says("What the set-in leaves of the run: change the span or the set-in."),
        "overhang": edits("overhang"),
        "far overhang": edits("overhang"),
        "short overhang": says("A straight eave lets it grow by the set-in, a stepped one keeps it: see Eave."),
        "span": edits("span"),
        "ceiling rise": follows("scissor.ceiling_rise"),
        "moved wall": says("A length of wall taken as an example."),
        "gable heel": says("The other trusses' heel less the outlooker's depth, plumb."),
        "drop": says("The outlooker's depth, plumb: its size and the roof pitch make it."),
        "finish": says("Gypsum and furring are the job file's: change them there."),
        "left roof pitch": edits("pitch"),
        "right roof pitch": edits("pitch"),
        "left ceiling pitch": edits("ceiling_pitch"),
        "right ceiling pitch": says("As at the left, or what brings the apex under the ridge: see Ceiling apex."),
    }
    groups = {
        "wall": ("Moved wall", (
            Entry("jog.plate", "Plate up"),
            Entry("jog.this_stud", "Stud"),
            Entry("jog.overhang", "Overhang"),
            Entry("jog.header", "Header load"),
        )),
        "truss": ("Truss there", (
            Entry("jog.this_heel", "Heel", "heel_blocking"),
            Entry("truss.run", "Run"),
            Entry("jog.peak", "Peak, own plate"),
            Entry("truss.space_outside", "Between chords", "minimum_heel"),
        )),
        "breaks": ("What breaks", (
            Entry("jog.ceiling", "Ceiling step"),
            Entry("jog.stand_off", "Off the plate"),
            Entry("jog.fascia", "Fascia step"),
            Entry("jog.blocking", "Blocking past"),
        )),
        "ends": ("Both ends", (
            Entry("truss.run", "Run, left"),
            Entry("jog.apex", "Ceiling apex"),
            Entry("jog.right_pitch", "Ceiling, right"),
            Entry("truss.height", "Overall height"),
        )),
    }  # fmt: skip

    def values(self, job: Job | None) -> House:
        if job is None:
            return super().values(job)
        jog = first_jog(job)
        return one_end(job, jog.end if jog else "left")

    def own(self) -> dict[str, str]:
        """The job's numbers at the end where its first jogged type has the jog; ``plate`` is the far wall's over it."""
        if self.job is None:
            return {}
        jog, ends = first_jog(self.job), self.job.scissor.ends
        near, far = ends[::-1] if jog and jog.end == "right" else ends
        values: House = {"plate": far.plate - near.plate}
        if jog:
            wide = near.bearing if jog.bearing is None else jog.bearing
            values |= {"jog": jog.by, "new_bearing": wide, "eave": jog.eave}
        apex = {word: name for name, word in APEX.items()}[self.house["apex"]]
        return super().own() | {"apex": apex} | {name: str(value) for name, value in values.items()}

    def wish_house(self, boxes: Boxes) -> House:
        of_house = {name: value for name, value in boxes.items() if name != "plate"}
        house = self.house_with(of_house | {"apex": APEX[boxes["apex"]]})
        house["plate_height"] = boxes["plate_height"], boxes["plate_height"] + boxes["plate"]
        if house["chord"] != self.house["chord"]:
            house["bottom_chord"] = house["chord"]
        return house

    def grips(self, view: str) -> tuple[Grip, ...]:
        return {"sections": JOG_GRIPS, "plan": PLAN_GRIPS}.get(view, ())

    def hangs(self, boxes: Boxes) -> WallJog:
        long = truss_of(self.wish_house(boxes), boxes["heel"])
        return set_in(long, boxes["jog"], boxes["new_bearing"], "left", boxes["eave"])

    def build(self, boxes: Boxes) -> JogState:
        wall_jog = self.hangs(boxes)
        long = wall_jog.long
        way = next(way for way in wall_jog.ways if way.name == boxes["way"])
        if way.bay is None:
            raise InputError(f"{way.title}: no such truss fits here. {way.sentence}")
        limits = (*findings(way.bay), gable_end(long).finding, *([] if way.bay is long else [_tail(wall_jog)]))
        return JogState(wall_jog, way, way.bay, limits)

    def numbers(self, state: JogState) -> dict[str, TapeReadings]:
        def wall(name: str) -> Reasoning:
            return ROWS[name](state)._replace(name=name) if name in ROWS else state.jog.reading(name)

        return {"jog": TapeReadings(wall), "truss": TapeReadings(lambda name: state.bay.reading(name, state.jog.end))}

    def findings(self, state: JogState) -> tuple[Finding, ...]:
        return state.findings

    def picture(self, view: str, state: JogState) -> Scene | str:
        wall_jog = state.jog
        if view == "ways":
            return ways_html(wall_jog, state.way)
        if view == "limits":
            return jog_limits_html(state)
        return {
            "sections": lambda: jog_sections(wall_jog, state.way),
            "plan": lambda: plan(wall_jog),
            "gable": lambda: gable_and_finish(wall_jog.long),
        }[view]()

    def key_bays(self, state: JogState) -> tuple[ScissorBay, ...]:
        return state.jog.long, state.jog.long, state.bay

    def sentence(self, state: JogState, view: str) -> str:
        if view == "plan":
            return state.jog.eave_sentence
        if view == "gable":
            return gable_end(state.jog.long).finding.sentence
        return state.way.sentence if state.jog.by else ends_sentence(state)

    def headline(self, state: JogState, view: str) -> tuple[str, str]:
        return verdict_first(self.unmet(state), self.sentence(state, view))

    def detail(self, state: JogState) -> Scene:
        return heels(state.jog, state.way)

    def word(self, key: str, state: JogState) -> str:
        wall_jog, way = state.jog, state.way
        name = key.partition(".")[2]
        words = {
            "plate": "as it was" if abs(way.plate) < LEVEL else "raised" if way.plate > 0 else "lowered",
            "this_stud": "carries nothing" if way.name == "beam" else f"main {feet_inches(wall_jog.floor - PLATES)}",
            "overhang": f"{wall_jog.eave} eave",
            "header": f"each {SHARE:g} psf",
            "run": f"right {feet_inches(wall_jog.right.run)}",
            "peak": f"main {feet_inches(wall_jog.old.heel + abs(wall_jog.old.roof.slope) * wall_jog.old.run)}",
            "space_outside": state.bay.reading("heel_state", wall_jog.end).value,
            "ceiling": "runs through" if abs(way.ceiling_break) < LEVEL else "breaks",
            "stand_off": "sits on it" if abs(way.stand_off) < LEVEL else "block" if way.stand_off > 0 else "below it",
            "fascia": "runs through" if way.name == "beam" or abs(wall_jog.fascia_step) < LEVEL else "stepped",
            "blocking": f"heel {feet_inches(HEEL_WITHOUT_BLOCKING)}",
            "height": "own low plate",
            "apex": "right of ridge",
            "right_pitch": wall_jog.long.apex.replace("free", "as left").replace("ridge", "for that apex"),
        }
        return str(words.get(name, ""))

    def highest(self, state: JogState) -> dict[str, float]:
        wall_jog = state.jog
        return {
            "jog": max(1.0, float(int(min(wall_jog.old.run, wall_jog.old.apex) - wall_jog.new.bearing - 1))),
            "ceiling_pitch": max(12 * abs(wall_jog.old.roof.slope) - 0.5, 0.5),
        }

    def practice(self, chance: Random, family: str) -> dict[str, str]:
        by, wide = (chance.choice(row) for row in (("12", "18", "30", "36"), ("3.5", "5.5", "7.25")))
        return {"jog": by, "new_bearing": wide, "pitch": chance.choice("6 7 9 10".split()), "ceiling_pitch": "4"}

    def givens(self, state: JogState, key: str) -> str:
        return f"wall {state.jog.move_words}"


def ends_sentence(s: JogState) -> str:
    """A truss whose walls stand where they stood: where its ridge and its ceiling's apex fall, and why."""
    ridge, off = s.bay.peak[0], s.near.apex - s.near.run
    if abs(off) < LEVEL:
        apex = "the ceiling's apex stands under it"
    else:
        apex = f"the ceiling's apex {feet_inches(abs(off))} {'right' if off > 0 else 'left'} of it"
    why = "equal ceiling pitches" if s.jog.long.apex == "free" else "the right ceiling pitch is what that takes"
    return f"Ridge {feet_inches(ridge)} from the left face, {apex}: {why}."


def _tail(wall_jog: WallJog) -> Finding:
    """A straight eave over a recess asks for a tail longer than was counted on."""
    longer = wall_jog.eave == "straight" and wall_jog.by > 0
    out = wall_jog.new.overhang
    return Finding(
        "overhang", out, wall_jog.old.overhang, "ask" if longer else "meets", "common practice, no source",
        wall_jog.eave_sentence, "Ask the manufacturer, or step the eave.",
    )  # fmt: skip


def ways_html(wall_jog: WallJog, choice: Way) -> str:
    """The five ways side by side: plate, heel, what breaks, and what to say to whom."""
    rows = []
    for way in wall_jog.ways:
        name = f"<b>{escape(way.title)}</b>" + (" (chosen)" if way.name == choice.name else "")
        if way.bay is None:
            name += " (cannot be drawn here)"
        broken = [
            f"{what} {feet_inches(abs(size))} {over if size > 0 else under}"
            for what, size, over, under in (
                ("ceiling", way.ceiling_break, "higher", "lower"),
                ("ceiling plane", way.stand_off, "above the plate", "below the plate"),
            )
            if abs(size) >= LEVEL
        ]
        cells = (feet_inches(way.plate), feet_inches(way.heel), ", ".join(broken) or "nothing", way.sentence)
        cell_texts = [escape(cell).replace(" ", "&nbsp;") for cell in cells[:2]] + [escape(cell) for cell in cells[2:]]
        rows.append(f"<tr><td>{name}</td>{''.join(f'<td>{cell}</td>' for cell in cell_texts)}</tr>")
    head = "".join(f"<th>{name}</th>" for name in ("Approach", "Plate up", "Heel", "Breaks", "What it means"))
    return (
        f'<table class="rl-list"><tr>{head}</tr>{"".join(rows)}</table>'
        f"<p>The roof plane runs through in all five. {escape(wall_jog.return_wall)}</p>"
    )


def jog_limits_html(state: JogState) -> str:
    """Every limit with its verdict, then gable end, finish and studs in words."""
    sentences = (gable_end(state.jog.long).caution, finish(state.jog.long).sentence, state.jog.return_wall)
    return (
        f"{findings_html(state.findings)}"
        f"<ul>{''.join(f'<li>{escape(one)}</li>' for one in sentences)}</ul>"
        f"<p>A heel up to {feet_inches(HEEL_WITHOUT_BLOCKING)} asks for no blocking, up to "
        f"{feet_inches(HEEL_WITH_BLOCKING)} for blocking, above that for prescriptive panels or a design. "
        "Trusses are not cut, notched or drilled on site.</p>"
    )


def first_jog(job: Job) -> Jog | None:
    """The jog of a job's first jogged type."""
    return next((kind.jog for kind in job.types if kind.jog), None)


def jog(
    controls: Sequence[str] = FIRST_CONTROLS,
    views: Sequence[str] = (),
    groups: Sequence[str] = ("wall", "truss", "breaks"),
    size: str = "",
    locked: bool = False,
    job: Job | None = None,
    **start: object,
) -> Panel:
    """A wall jog as a panel; ``job`` gives the controls' starting values, keyword arguments change them.

    ``controls``, ``views`` and ``groups`` choose what can be moved, seen and read; ``size`` "small" is for one idea at
    a time.  InputError where the start cannot be drawn.
    """
    return panel_of(JogTopic(job), controls, views, groups, size, locked, start)
