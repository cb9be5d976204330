"""The live section: a rafter bay beside a raised-heel scissor bay, on one set of controls."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import Any, NamedTuple, Protocol

from rooflab.base.findings import Finding
from rooflab.base.inputs import INPUTS
from rooflab.base.lumber import RAFTERS
from rooflab.base.measure import LEVEL, feet_inches
from rooflab.base.rows import Reasoning
from rooflab.checks.assumptions import ALWAYS, Assumptions, Carries, carries, house_findings
from rooflab.checks.loads import EARLY_CHECK
from rooflab.draw.scene import Scene
from rooflab.draw.views.details import eave, heel_detail, rafter_heel, truss_heel
from rooflab.draw.views.key import EAVES
from rooflab.draw.views.section import seam_plan, section, section_key
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.seam import Comparison, Remedy, Tail, compare, tail_and_soffit
from rooflab.job.jobfile import FOLLOWS, Job, example
from rooflab.job.values import House, assumptions_of, bays_of, chords, from_boxes, house_of, read_value, stock
from rooflab.live.widgets.controls import Boxes, choice_control, house_control
from rooflab.live.widgets.handles import (
    EAVE_GRIPS,
    RAFTER_HEEL_DIMS,
    RAFTER_HEEL_GRIPS,
    SECTION_DIMS,
    SECTION_GRIPS,
    TRUSS_HEEL_DIMS,
    TRUSS_HEEL_OF_BAYS,
    on_plate,
)
from rooflab.live.widgets.house_topic import HouseTopic
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import Group, Row, findings_html, list_html, try_it
from rooflab.live.widgets.topic import Entry, check_names, verdict_first
from rooflab.live.widgets.topic_panel import TopicPanel
from rooflab.live.widgets.touch import Grip, follows, says

NAILING = (
    "Roof sheathing runs across the seam, panel ends staggered; nail 6\" o.c. at edges, 12\" o.c. between (common "
    "schedule, from memory: verify in IRC R602.3(1) and the wind design). Nail no rafter to a truss to share load."
)
IN_PLAN = says("The spacing is the job file's, panels are 8 ft by 4 ft: the plan only shows how they meet.")
DEFER = "Local code, engineer and manufacturer decide."
LISTS = ("limits", "table")  # views that are no pictures
REMINDERS = "reminders"  # what is asked whatever the numbers, in one word


class SectionState(NamedTuple):
    """Both bays as they stand, rounded for print, and what follows from them."""

    rafters: RafterBay
    scissor: ScissorBay
    seam: Comparison
    tail: Tail | None
    findings: tuple[Finding, ...]
    follows: bool  # the truss heel is the rafters'
    assumptions: Assumptions | None = None  # what the early checks take; None where there are none
    carries: Carries | None = None


# --- what can be typed beside the choices ----------------------------------------------------------------------------


def _read_chords(text: str, problems: list[str]) -> None:
    for name, size in zip(("chord", "bottom_chord"), dict.fromkeys(chords(text)), strict=False):
        read_value(name, size, problems)


def _read_rafter(text: str, problems: list[str]) -> None:
    """A sawn size, or the depth of engineered or measured stock."""
    for name, value in stock(text).items():
        read_value(name, value, problems)


def _read_ridge(text: str, problems: list[str]) -> None:
    read_value("ridge", text.strip().lower(), problems)


# --- the topic -------------------------------------------------------------------------------------------------------


class BothBays(Protocol):
    """A state with a rafter bay and a scissor bay in it."""

    @property
    def rafters(self) -> RafterBay: ...
    @property
    def scissor(self) -> ScissorBay: ...


class Section(HouseTopic[SectionState]):
    """Both bays in one roof plane; the truss heel follows the rafter's until another is typed."""

    name = "section"
    label = "One roof plane"
    controls = (
        house_control("span", "Span"),
        house_control("overhang", "Overhang"),
        house_control("pitch", "Roof pitch"),
        house_control("ceiling_pitch", "Ceiling pitch"),
        house_control("bearing", "Bearing", 1.5, 12),
        house_control("seat", "Seat"),
        house_control("heel", "Truss heel", 0.0625, 24)._replace(follow="Truss heel follows the rafter"),
        choice_control("lumber", "Rafter", RAFTERS, "2x10", _read_rafter, ordered=True),
        choice_control("chord", "Chords", ("2x4", "2x6/2x4", "2x6", "2x8"), "2x4", _read_chords),
        choice_control("sheathing", "Sheathing", ('7/16"', '1/2"', '5/8"', '3/4"'), '1/2"', INPUTS["sheathing"].read),
        choice_control("ridge", "Ridge board", ("none", "2x6", "2x8", "2x10", "2x12"), "2x12", _read_ridge),
    )
    views = {
        "section": "Section",
        "eave": "Tail and soffit",
        "seam": "Seam in plan",
        "limits": "Limits and remedies",
        "table": "All readings",
        "rafter heel": "Rafter's heel",
        "truss heel": "Truss's heel",
    }
    cuts = {"eave": EAVES, "rafter heel": EAVES[:1], "truss heel": EAVES[1:]}
    groups = {
        "rafter": ("Rafter bay", (
            Entry("rafter.heel", "Heel height", "heel_blocking"),
            Entry("rafter.carries", "Early check"),
            Entry("rafter.notch_depth", "Notch", "end_notch"),
            Entry("rafter.cut_length", "Cut length"),
            Entry("rafter.tail_underside", "Tail underside", "soffit_line"),
        )),
        "scissor": ("Scissor bay", (
            Entry("scissor.height", "Overall height"),
            Entry("scissor.ceiling_rise", "Ceiling rise"),
            Entry("scissor.depth_at_peak", "Depth at peak"),
            Entry("scissor.space_outside", "Between chords", "minimum_heel"),
        )),
        "seam": ("Seam: truss less rafter", (
            Entry("seam.tail_gap", "Gap at the tail"),
            Entry("seam.heel_gap", "Gap at the eave"),
            Entry("seam.ridge_gap", "Gap at the ridge"),
            Entry("seam.soffit", "Soffit"),
        )),
    }  # fmt: skip
    dims = {
        **SECTION_DIMS,
        "rafter tail": follows("rafter.plumb_depth"),
        "truss tail": says("The top chord's depth, plumb: the chord's size and the roof pitch make it."),
        "soffit below plate": says("The lower tail sets it: change the overhang, a pitch or the seat."),
        "level cut": says("What is cut off the deeper tail to meet the soffit line: change the overhang or the seat."),
        **dict.fromkeys(("rafter spacing", "truss spacing", "across the seam", "panel", "meeting"), IN_PLAN),
    }
    dims_in = {
        "rafter heel": RAFTER_HEEL_DIMS,
        "truss heel": TRUSS_HEEL_DIMS,
        "detail": {"heel": follows("rafter.heel")},
    }
    caution = ""  # its lists end with their own
    detail_type = 11.0

    def __init__(
        self, job: Job | None = None, assumptions: Assumptions | None = None, early: bool = True, speaks: str = ""
    ) -> None:
        """What has no box is as in ``job``, the lessons' house without one; ``assumptions`` in place of the house's.

        Without ``early`` there are no early checks; ``speaks`` is the view whose description is the sentence (none:
        what the seam comes to).
        """
        self.job, self.own_assumptions, self.early, self.speaks = job, assumptions, early, speaks
        self.house = house_of(job or example())

    def with_only(self, views: Sequence[str], groups: Sequence[str]) -> Section:
        pictures = (*(view for view in views if view not in LISTS), "section")
        return Section(self.job, self.own_assumptions, self.early, "" if "seam" in groups else pictures[0])

    def on(self, job: Job) -> Section:
        return Section(job, None, self.early, self.speaks)

    def wish_house(self, boxes: Boxes) -> House:
        sizes = {name: boxes[name] for name in ("lumber", "chord", "sheathing", "ridge")}
        return self.house_with({**boxes, **from_boxes(sizes, [])})

    def grips(self, view: str) -> tuple[Grip, ...]:
        return {"section": SECTION_GRIPS, "detail": on_plate(4.0), "eave": EAVE_GRIPS, "rafter heel": RAFTER_HEEL_GRIPS,
                "truss heel": TRUSS_HEEL_OF_BAYS}.get(view, ())

    def hung(self, state: SectionState, texts: Mapping[str, str | None]) -> Any:
        return state.rafters, state.scissor

    def build(self, boxes: Boxes) -> SectionState:
        house = self.wish_house(boxes)
        rafters, scissor = bays_of(house)
        assumptions = (self.own_assumptions or assumptions_of(house)) if self.early else None
        seam, tail = compare(rafters, scissor), tail_and_soffit(rafters, scissor)
        early = carries(rafters, assumptions) if assumptions else None
        limits = tuple(dict.fromkeys(house_findings(rafters, scissor, assumptions, tail, early).values()))
        return SectionState(rafters, scissor, seam, tail, limits, house["heel"] == FOLLOWS, assumptions, early)

    def numbers(self, state: BothBays) -> dict[str, RafterBay | ScissorBay]:
        return {"rafter": state.rafters, "scissor": state.scissor}

    def findings(self, state: SectionState) -> tuple[Finding, ...]:
        return state.findings

    def highest(self, state: SectionState) -> dict[str, float]:
        left = state.rafters.left
        return {"seat": left.bearing, "ceiling_pitch": max(12 * left.roof.slope - 0.5, 0.5)}

    def program_values(self, state: SectionState) -> dict[str, float]:
        return {"heel": state.scissor.left.heel} if state.follows else {}

    # --- pictures

    def sentence(self, state: SectionState, view: str) -> str:
        return self.scene(self.speaks, state).description if self.speaks else state.seam.sentence

    def headline(self, state: SectionState, view: str) -> tuple[str, str]:
        """Runs through, ask or misses; planes that do not run through are told first, and in full."""
        sentence = self.sentence(state, view)
        if self.speaks:  # the readings hold the numbers
            return "", state.seam.sentence if state.seam.sentence in sentence else sentence
        unmet = self.unmet(state)
        limits = {word: names for word in unmet if (names := [name for name in unmet[word] if name != REMINDERS])}
        if not state.seam.coplanar:
            missed = ", ".join(limits.get("misses", ()))
            return "misses", f"{sentence} Misses: {missed}." if missed else sentence
        return verdict_first(limits, state.seam.sentence if not limits else "The planes run through.")

    def picture(self, view: str, state: SectionState) -> Scene | str:
        if view in LISTS:
            return (section_limits_html if view == "limits" else table_html)(state)
        return self.scene(view, state)

    @staticmethod
    def scene(view: str, state: SectionState) -> Scene:
        """The scene of a view that is no list."""
        return {
            "section": lambda: section(state.rafters, state.scissor, state.seam),
            "eave": lambda: eave(state.rafters, state.scissor, state.tail),
            "seam": seam_plan,
            "rafter heel": lambda: rafter_heel(state.rafters),
            "truss heel": lambda: truss_heel(state.scissor),
        }[view]()

    def key(self, view: str, state: SectionState) -> Scene | None:
        return section_key(state.rafters, state.scissor) if view == "section" else super().key(view, state)

    def key_bays(self, state: SectionState) -> tuple[RafterBay, ScissorBay]:
        return state.rafters, state.scissor

    def below(self, view: str, state: SectionState, size: str) -> str:
        if view == "eave" and state.tail and not size:
            return state.tail.words
        return NAILING if view == "seam" and size != "room" else ""

    def detail(self, state: SectionState) -> Scene:
        return heel_detail(state.rafters, state.scissor)

    # --- readings in words

    def row(
        self, entry: Entry, state: SectionState, numbers: Mapping[str, RafterBay | ScissorBay], verdict: str
    ) -> Row | None:
        bay, _, name = entry.key.partition(".")
        if name == "carries":
            early = state.carries
            return early and Row(entry.key, entry.label, early.text, early.word, early.verdict)
        if name == "soffit":
            tail = state.tail
            if tail is None:
                return Row(entry.key, entry.label, "none", "no overhang", "")
            word = "level cut" if abs(tail.step) > LEVEL else "level"
            return Row(entry.key, f"{entry.label} step", feet_inches(tail.step), word, "")
        if bay == "seam":
            gap = getattr(state.seam, name)
            word = "level" if abs(gap) < LEVEL else "truss high" if gap > 0 else "truss low"
            return Row(entry.key, entry.label, feet_inches(gap), word, "")
        reading = next(one for one in numbers[bay].rows() if one.name == name)
        reasoning = Reasoning(name, reading.label, reading.of(numbers[bay].symbols()), reading.unit, "", "")
        return Row(entry.key, entry.label, reasoning.text, self.word(entry.key, state), verdict)

    def word(self, key: str, state: SectionState) -> str:
        if key == "rafter.notch_depth":
            return f"{100 * state.rafters.notch_ratio:.0f} %"
        return str(state.scissor.heel_state) if key == "scissor.space_outside" else ""

    def reading(self, state: BothBays, key: str) -> Reasoning:
        bay, _, name = key.partition(".")
        reading: Reasoning = self.numbers(state)[bay].reading(name)
        return reading

    def value_text(self, reading: Reasoning) -> str:
        return reading.text

    def full_label(self, key: str, reading: Reasoning) -> str:
        return f"{reading.label}, {key.partition('.')[0]} bay"

    def reasoning(self, state: SectionState, key: str) -> str:
        bay, _, name = key.partition(".")
        if name == "carries":
            assert state.carries is not None
            return state.carries.why
        if name == "soffit":
            return state.tail.sentence if state.tail else "Without an overhang there is no tail and no soffit."
        if bay == "seam":
            label = next(entry.label for entry in self.groups["seam"][1] if entry.key == key)
            return (
                f"{label} = truss line − rafter line at the same x, plumb = {feet_inches(getattr(state.seam, name))}; "
                f"largest square to the roof {feet_inches(state.seam.plane_offset)}"
            )
        return super().reasoning(state, key)

    def spoken(self, finding: Finding) -> str:
        if finding.name in ALWAYS:
            return REMINDERS
        return finding.name.replace("over_plate", "insulation over the plate").replace("_", " ")

    def closing(self, state: SectionState, limits: str, keys: Sequence[str], crowded: bool) -> str:
        """Whether the planes run through, what had no room, and which limits are not met."""
        apart = not state.seam.coplanar and any(key.startswith("seam.") for key in keys)
        planes = "<b>Planes:</b> do not run through." if apart else ""
        extra = "Some sizes had no room: see All readings." if crowded else ""
        met = f"{'The other' if apart else 'All'} limits looked at here are met."
        return " ".join(filter(None, (planes, extra, limits or met, DEFER)))

    def plain(
        self, state: SectionState, view: str, controls: Iterable[tuple[str, str]], groups: Sequence[Group]
    ) -> list[str]:
        lines = [state.seam.sentence if self.speaks else self.headline(state, view)[1]]
        for title, rows in groups:
            lines += [title, *(f"  {row.label:<18} {row.text:>12}  {row.words}".rstrip() for row in rows)]
        return [*lines, *([EARLY_CHECK] if state.carries else [])]


# --- lists -----------------------------------------------------------------------------------------------------------


def section_limits_html(s: SectionState) -> str:
    """An HTML list of every limit of both bays with its verdict, and remedies where the planes do not run through."""
    ways = "".join(f"<li>{escape(r.sentence)}{_try_remedy(r)}</li>" for r in s.seam.remedies)
    heading = f"<b>To bring the planes together, one of:</b><ul>{ways}</ul>" if ways else ""
    assumptions = s.assumptions and escape(s.assumptions.sentence(abs(s.rafters.left.roof.slope)))
    return (
        f"{heading}{findings_html(s.findings)}"
        f"{f'<p>Taken for the early checks: {assumptions} {escape(EARLY_CHECK)}</p>' if assumptions else ''}"
        "<p>Reminders, not approvals: local code, the engineer, the building official and the truss manufacturer "
        "decide.</p>"
    )


def _try_remedy(remedy: Remedy) -> str:
    """A button that does what a remedy says, where a box of the section does it."""
    also = {"seat": {}, "heel": {"heel_follows": "no"}}.get(remedy.what)
    if also is None or not remedy.possible:
        return ""
    text = feet_inches(remedy.to)
    return " " + try_it({remedy.what: text, **also}, name=f"Try it: {remedy.what} {text}")


def table_html(s: SectionState) -> str:
    """An HTML table of every reading of both bays with its formula."""
    rows = (
        (f"{bay.kind} bay", escape(w.label), f"<b>{escape(w.text)}</b>", escape(w.formula))
        for bay in (s.rafters, s.scissor)
        for w in (bay.reading(row.name) for row in bay.rows())
    )
    return list_html(("Bay", "Reading", "Value", "Formula"), rows)


# --- the panel -------------------------------------------------------------------------------------------------------

CONTROLS = tuple(control.name for control in Section.controls)
VIEWS = tuple(Section.views)


def section_panel(
    controls: Sequence[str] = CONTROLS,
    views: Sequence[str] = VIEWS[:5],
    groups: Sequence[str] = tuple(Section.groups),
    size: str = "",
    assumptions: Assumptions | None = None,
    job: Job | None = None,
    **start: object,
) -> TopicPanel:
    """The answers of the live section, as ``one_plane`` shows them, without the widget."""
    check_names("Group of readings", groups or ["nothing"], list(Section.groups))
    check_names("Control", controls or ["nothing"], CONTROLS)
    check_names("View", views or ["nothing"], VIEWS)
    topic = Section(job, assumptions, size != "small")  # the whole section makes the early checks too
    in_order = [name for name in Section.groups if name in groups]
    return TopicPanel(topic, controls, views, in_order, size, start)


def one_plane(
    controls: Sequence[str] = CONTROLS,
    views: Sequence[str] = VIEWS[:5],
    groups: Sequence[str] = ("rafter", "scissor", "seam"),
    size: str = "",
    locked: bool = False,
    assumptions: Assumptions | None = None,
    job: Job | None = None,
    **start: object,
) -> Panel:
    """The live section as a panel.

    ``controls``, ``views`` and ``groups`` choose what can be moved, seen and read; ``size`` "small" is for one idea at
    a time and makes no early check of load and warmth; ``assumptions`` is what these take, those of
    ``job`` without any; what has no box is as in ``job``, the lessons' house without one.  Keyword arguments are the
    controls' starting values (``span="26'"``, ``seat="3 1/2"``, ``heel="8"`` for a typed heel).  InputError where the
    start cannot be drawn.
    """
    return Panel(section_panel(controls, views, groups, size, assumptions, job, **start), locked)
