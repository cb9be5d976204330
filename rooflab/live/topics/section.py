"""The live section: a rafter bay beside a raised-heel scissor bay, on one set of controls.

``OnePlane`` is the logic without a widget: texts in, sentence, picture, readings and fields out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from html import escape
from typing import Any

from rooflab.base.inputs import INPUTS
from rooflab.base.lumber import RAFTERS, dressed
from rooflab.base.measure import InputError, feet_inches, inches, sixteenth
from rooflab.checks.assumptions import Assumptions, carries, gathered
from rooflab.draw.layout import fit
from rooflab.draw.scene import Scene, svg
from rooflab.draw.views.details import eave, heel_detail, rafter_heel, truss_heel
from rooflab.draw.views.section import seam_plan, section
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Gable
from rooflab.house.seam import compare, tail_and_soffit
from rooflab.job.jobfile import Job
from rooflab.job.values import stock
from rooflab.live.widgets.answers import DETAIL, Answers
from rooflab.live.widgets.job_desk import start as start_of
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import GROUPS, NAILING, Group, State, limits_html, note_html, plain, rows, table_html

CHORDS = ("2x4", "2x6/2x4", "2x6", "2x8")
RIDGES = ("none", "2x6", "2x8", "2x10", "2x12")
SHEATHING = ('7/16"', '1/2"', '5/8"', '3/4"')
SHORT = {
    "bearing": "Bearing",
    "plate_height": "Plate height",
    "chord": "Chords",
    "sheathing": "Sheathing",
    "span": "Span",
    "lumber": "Rafter",
}
CONTROLS = (
    "span",
    "overhang",
    "pitch",
    "ceiling_pitch",
    "bearing",
    "seat",
    "heel",
    "lumber",
    "chord",
    "sheathing",
    "ridge",
)
CHOICES: dict[str, tuple[str, ...]] = {"lumber": RAFTERS, "chord": CHORDS, "ridge": RIDGES, "sheathing": SHEATHING}
SLIDERS = {"bearing": (1.5, 12.0), "heel": (0.0625, 24.0)}  # a slider over the usual range; the rest can be typed
VIEWS = {
    "section": "Section",
    "eave": "Tail and soffit",
    "seam": "Seam in plan",
    "limits": "Limits and remedies",
    "table": "All readings",
    "rafter heel": "Rafter's heel",
    "truss heel": "Truss's heel",
}
BELOW = 36  # room for the nailing below the seam, px
TWO_SIZES = re.compile(r"\s*(\d\s*x\s*\d+)\s*/\s*(\d\s*x\s*\d+)\s*")


class OnePlane(Answers):
    """Answers for the live section; the truss heel follows the rafter's until another is typed."""

    def __init__(
        self,
        controls: Sequence[str] = CONTROLS,
        views: Sequence[str] = tuple(VIEWS)[:5],
        groups: Sequence[str] = ("rafter", "scissor", "seam"),
        size: str = "",
        assumptions: Assumptions | None = None,
        **start: Any,
    ) -> None:
        super().__init__()
        _check("control", controls, CONTROLS)
        _check("view", views, tuple(VIEWS))
        _check("group of readings", groups, tuple(group[1][0][0] for group in GROUPS))
        _check("starting value", start or CONTROLS, CONTROLS)
        self.controls, self.views, self.size = tuple(controls), tuple(views), size
        # the whole section makes the early checks too
        self.assumptions = None if size == "small" else assumptions or Assumptions()
        self.groups = tuple(group for group in GROUPS if group[1][0][0] in groups)
        self.start = {name: self._first(name, start) for name in CONTROLS}
        self.start["heel_follows"] = "no" if "heel" in start else "yes"
        self.matched = sixteenth(INPUTS["heel"].default)
        self._forget()
        self._dropped = False  # whether texts had no room in the picture
        self.state: State = self._build({})

    def _forget(self) -> None:
        self._followed = self.start["heel_follows"] == "yes"  # the truss heel has followed the rafter's
        self._let_go: str | None = None  # the typed heel that following put aside

    @staticmethod
    def _first(name: str, start: dict[str, Any]) -> str:
        default = {"chord": CHORDS[0], "sheathing": SHEATHING[1]}.get(name, INPUTS[name].default)
        return str(start.get(name, default))

    # --- set-up ------------------------------------------------------------------------------------------------------

    def setup(self) -> dict[str, Any]:
        return {
            "label": "One roof plane: controls, picture and readings",
            "size": self.size,
            "controls": [self._control(name) for name in self.controls],
            "views": [(name, VIEWS[name]) for name in self.views],
        }

    @staticmethod
    def _control(name: str) -> dict[str, Any]:
        row = INPUTS[name]
        low, high = SLIDERS.get(name, (row.low, row.high))
        spec: dict[str, Any] = {"name": name, "label": SHORT.get(name, row.label), "step": row.step}
        spec.update(low=low, high=high)
        if choices := CHOICES.get(name):
            spec.update(choices=choices, low=0, high=len(choices) - 1, step=1)
        if name == "heel":
            spec["follow"] = "Truss heel follows the rafter"
        return spec

    # --- from texts to bays ------------------------------------------------------------------------------------------

    def _follows(self, raw: dict[str, str]) -> bool:
        return raw.get("heel_follows", self.start["heel_follows"]) != "no"

    def _given(self, raw: dict[str, str]) -> dict[str, str]:
        """Every control's text; the heel's is the matched number while it follows, and until another is typed."""
        given = {**self.start, **raw}
        typed = raw["heel"] != self._let_go if "heel" in raw else not self._followed
        if self._follows(raw) or not typed:
            given["heel"] = feet_inches(self.matched)
        return given

    def _build(self, raw: dict[str, str]) -> State:
        """Both bays from the texts; InputError with every sentence."""
        follows = self._follows(raw)
        if follows:
            self._followed, self._let_go = True, raw.get("heel")
        given = self._given(raw)
        problems: list[str] = []

        def attempt(make: Callable[..., Any], *args: Any, **kwargs: Any) -> Any:
            try:
                return make(*args, **kwargs)
            except InputError as error:
                problems.extend(error.problems)
                return None

        gable = attempt(_gable, *(given[name] for name in ("span", "pitch", "bearing", "overhang", "sheathing")))
        rafters = gable and attempt(_rafters, gable, given["seat"], given["ridge"], given["lumber"])
        for name in ("ceiling_pitch",) if gable else ("ceiling_pitch", "seat"):  # what nobody below reads
            if not rafters:
                INPUTS[name].read(given[name], problems)
        if rafters:
            heel = rafters.left.heel if follows else given["heel"]
            chords = _chords(given["chord"])
            scissor = attempt(ScissorBay, gable, given["ceiling_pitch"], heel, *chords)
            if chords[0] == chords[1]:  # one text, one sentence
                problems = [said for said in problems if not said.startswith(INPUTS["bottom_chord"].label + ":")]
        if problems:
            raise InputError(problems)
        if follows:
            self.matched = scissor.left.heel
        seam, tail, assumed = compare(rafters, scissor), tail_and_soffit(rafters, scissor), self.assumptions
        made = carries(rafters, assumed) if assumed else None
        found = tuple(dict.fromkeys(gathered(rafters, scissor, assumed, tail, made).values()))
        return State(rafters, scissor, seam, tail, found, follows, assumed, made)

    # --- the answer --------------------------------------------------------------------------------------------------

    def _sentence(self, view: str) -> str:
        return self.state.seam.sentence if "seam" in self.shown_groups else self.scene_now().description

    def _note(self, why: str) -> str:
        extra = "Some sizes had no room: see All readings." * self._dropped
        return note_html(self.state, self.rows(), why, extra)

    @property
    def shown_groups(self) -> set[str]:
        return {entries[0][0] for _, entries in self.groups}

    def _fields(self, raw: dict[str, str]) -> dict[str, dict[str, Any]]:
        """Every control's slider position and text; a text that cannot be read stays as it was typed."""
        given, left = self._given(raw), self.state.rafters.left
        fields = {}
        for name in self.controls:
            number, text, bad = _read(name, given[name])
            field = {"number": number, "text": text, "bad": bad, "off": False}
            field["given"] = raw.get(name, self.start[name])
            if name == "heel":
                field["follows"] = field["off"] = self._follows(raw)
            if name == "seat":  # the slider ends where another control lets it
                field["high"] = left.bearing
            if name == "ceiling_pitch":
                field["high"] = max(12 * left.roof.slope - 0.5, 0.5)
            fields[name] = field
        return fields

    # --- pictures ----------------------------------------------------------------------------------------------------

    def drawn(self) -> tuple[str, ...]:
        return tuple(view for view in self.views if view not in ("limits", "table"))

    def scene_now(self) -> Scene:
        return self.scene((*self.drawn(), "section")[0])

    def enlarged(self, controls: Sequence[str], view: str, only: Sequence[str], job: Job | None = None) -> OnePlane:
        start = {name: text for name, text in self.start.items() if name in CONTROLS}
        if self.start["heel_follows"] == "yes":
            del start["heel"]
        given: dict[str, Any] = start_of(job) if job else {"assumptions": self.assumptions, **start}
        groups = [entries[0][0] for _, entries in self.groups]
        made = OnePlane(controls, (view,), groups, "room", **given)
        made.only = only
        if self.size == "small":  # as there, no early checks
            made.assumptions, made.state = None, made._build({})
        return made

    def scene(self, view: str) -> Scene:
        """The scene of one view of the present state."""
        s = self.state
        return {
            "section": lambda: section(s.rafters, s.scissor, s.seam),
            "eave": lambda: eave(s.rafters, s.scissor, s.tail),
            "seam": seam_plan,
            "rafter heel": lambda: rafter_heel(s.rafters),
            "truss heel": lambda: truss_heel(s.scissor),
        }[view]()

    def _picture(self, view: str) -> str:
        self._dropped = False
        if view in ("limits", "table"):
            return (limits_html if view == "limits" else table_html)(self.state)
        wide, tall = self.frame
        below = ""
        if self.size != "room" and (said := self._below(view)):
            tall, below = tall - BELOW, f'<div class="rl-below">{escape(said)}</div>'
        placed = self.placed(self.scene(view), wide, tall)
        self._dropped = bool(getattr(placed, "dropped", ()))
        return svg(placed, wide, tall) + below

    def _below(self, view: str) -> str:
        """Words under a picture."""
        if view == "eave" and self.state.tail and not self.size:
            return self.state.tail.words
        return NAILING if view == "seam" else ""

    def _detail(self) -> str:
        if self.size:
            return ""
        return svg(fit(heel_detail(self.state.rafters, self.state.scissor), *DETAIL), *DETAIL)

    # --- readings ----------------------------------------------------------------------------------------------------

    def _made(self) -> list[Group]:
        return rows(self.state, self.groups)

    def still(self) -> tuple[str, str]:
        """Plain text and the picture of the present state, for a page without a kernel."""
        return plain(self.state, self.rows()), svg(fit(self.scene_now(), *self.frame), *self.frame)


def _check(what: str, names: Iterable[str], allowed: Sequence[str]) -> None:
    unknown = [name for name in names if name not in allowed]
    if unknown or not names:
        raise InputError(f"{what}: {', '.join(unknown) or 'nothing'} is not one; give {', '.join(allowed)}.")


@lru_cache(64)
def _gable(span: str, pitch: str, bearing: str, overhang: str, sheathing: str) -> Gable:
    return Gable(span, pitch, bearing, overhang, sheathing=sheathing)


@lru_cache(64)
def _rafters(gable: Gable, seat: str, ridge: str, size: str) -> RafterBay:
    """``size`` is a sawn size, or a typed depth of engineered or measured stock."""
    return RafterBay(gable, seat=seat, ridge=ridge.strip().lower(), rounded=True, **stock(size))


def _chords(text: str) -> tuple[str, str]:
    """Top and bottom chord: one size for both, or two as in 2x6/2x4."""
    two = TWO_SIZES.fullmatch(text.lower())
    return (two[1], two[2]) if two else (text, text)


@lru_cache(512)
def _read(name: str, text: str) -> tuple[float | None, str, bool]:
    """Where a control's slider stands for a text, how the text is written, and whether it cannot be read.

    A choice that was typed stands nowhere on its slider; a value is written as the trade does where that says the same.
    """
    row, problems = INPUTS[name], list[str]()
    if name in CHOICES:
        if text in CHOICES[name]:
            return CHOICES[name].index(text), text, False
        return None, text, not _is_stock(name, text)
    number = row.read(text, problems)
    if problems:
        return None, text, True
    return number, row.exact(number), False


def _is_stock(name: str, text: str) -> bool:
    """Whether a typed choice is a size of stock, or a depth where a depth can be typed."""
    try:
        if name == "ridge" and text.strip().lower() == "none":
            return True
        if name == "sheathing" or (name == "lumber" and "depth" in stock(text)):
            return INPUTS["sheathing" if name == "sheathing" else "depth"].read(text, []) == inches(text)
        return bool([dressed(part) for part in (_chords(text) if name == "chord" else (text,))])
    except InputError:
        return False


def one_plane(
    controls: Sequence[str] = CONTROLS,
    views: Sequence[str] = tuple(VIEWS)[:5],
    groups: Sequence[str] = ("rafter", "scissor", "seam"),
    size: str = "",
    locked: bool = False,
    assumptions: Assumptions | None = None,
    **start: Any,
) -> Panel:
    """The live section as a panel.

    ``controls``, ``views`` and ``groups`` choose what can be moved, seen and read; ``size`` "small" is for one idea at
    a time and makes no early check of load and warmth; ``assumptions`` is what these take.  Keyword arguments are the
    controls' starting values (``span="26'"``, ``seat="3 1/2"``, ``heel="8"`` for a typed heel).  InputError where the
    start cannot be drawn.
    """
    return Panel(OnePlane(controls, views, groups, size, assumptions, **start), locked)
