"""The live section: a rafter bay beside a raised-heel scissor bay, on one set of controls.

``OnePlane`` is the logic without a widget: texts in, sentence, picture, readings and fields out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Any, NamedTuple

from ..checks import Comparison, Finding, Tail, compare, findings, tail_and_soffit
from ..details import eave, heel_detail, rafter_heel, truss_heel
from ..house import INPUTS, Gable, RafterBay, ScissorBay
from ..lumber import RAFTERS, dressed
from ..measure import InputError, feet_inches, inches, pitch_text, sixteenth
from ..readings import Worked
from ..scene import Scene, fit, svg
from ..views import seam_plan, section
from .panel import Panel

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
VIEWS = {
    "section": "Section",
    "eave": "Tail and soffit",
    "seam": "Seam in plan",
    "limits": "Limits and remedies",
    "table": "All readings",
    "rafter heel": "Rafter's heel",
    "truss heel": "Truss's heel",
}
NAILING = (
    "Roof panels run across the seam with their ends staggered; nail edges 6 in and between 12 in apart "
    "(common schedule, from memory: verify in IRC R602.3(1) and the wind design). Nail no rafter to a truss to share load."
)


class State(NamedTuple):
    """Both bays as they stand, rounded for print, and what follows from them."""

    rafters: RafterBay
    scissor: ScissorBay
    seam: Comparison
    tail: Tail | None
    findings: tuple[Finding, ...]
    follows: bool


class Row(NamedTuple):
    """A line of the readings: key, label, text, a word and the reasoning behind it."""

    key: str
    label: str
    text: str
    word: str
    why: str


GROUPS: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...] = (
    (
        "Rafter bay",
        (
            ("rafter", "heel", "heel_blocking"),
            ("rafter", "notch_depth", "end_notch"),
            ("rafter", "cut_length", ""),
            ("rafter", "tail_underside", "soffit_line"),
        ),
    ),
    (
        "Scissor bay",
        (
            ("scissor", "height", ""),
            ("scissor", "ceiling_rise", ""),
            ("scissor", "depth_at_peak", ""),
            ("scissor", "space_outside", "least_heel"),
        ),
    ),
    (
        "Seam: truss less rafter",
        (("seam", "tail_gap", ""), ("seam", "heel_gap", ""), ("seam", "ridge_gap", ""), ("seam", "soffit", "")),
    ),
)


class OnePlane:
    """Answers what was moved or typed; keeps the last good state, the one before the last change and the kept one."""

    def __init__(
        self,
        controls: Sequence[str] = CONTROLS,
        views: Sequence[str] = tuple(VIEWS)[:5],
        groups: Sequence[str] = ("rafter", "scissor", "seam"),
        size: str = "",
        **start: Any,
    ) -> None:
        self.controls, self.views, self.size = tuple(controls), tuple(views), size
        self.groups = tuple(group for group in GROUPS if group[1][0][0] in groups)
        self.start = {name: self._first(name, start) for name in CONTROLS}
        self.start["heel_follows"] = "no" if "heel" in start else "yes"
        self.matched = sixteenth(INPUTS["heel"].default)
        self._raw: dict[str, str] = {}
        self.state = self._build({})
        self._rows: tuple[Any, list[tuple[str, list[Row]]]] = (None, [])
        self.before: dict[str, str] = {}
        self.kept: dict[str, str] = {}
        self._changed: set[str] = set()
        self._serial = 0

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
        spec: dict[str, Any] = {
            "name": name,
            "label": SHORT.get(name, row.label),
            "low": row.low,
            "high": row.high,
            "step": row.step,
        }
        if choices := CHOICES.get(name):
            spec.update(choices=choices, low=0, high=len(choices) - 1, step=1)
        if name == "heel":
            spec["follow"] = "Truss heel follows the rafter"
        return spec

    # --- from texts to bays ------------------------------------------------------------------------------------------

    def _build(self, raw: dict[str, str]) -> State:
        """Both bays from the texts; InputError with every sentence."""
        given = {**self.start, **raw}
        problems: list[str] = []
        follows = given["heel_follows"] != "no"

        def attempt(make: Callable[..., Any], *args: Any, **kwargs: Any) -> Any:
            try:
                return make(*args, **kwargs)
            except InputError as error:
                problems.extend(error.problems)
                return None

        gable = attempt(
            Gable, given["span"], given["pitch"], given["bearing"], given["overhang"], sheathing=given["sheathing"]
        )
        chords = given["chord"].split("/") if given["chord"] in CHORDS else [given["chord"]]
        for name, value in (("ceiling_pitch", given["ceiling_pitch"]), ("seat", given["seat"])):
            if gable is None:
                INPUTS[name].read(value, problems)
        rafters = gable and attempt(
            RafterBay, gable, seat=given["seat"], ridge=given["ridge"], **_stock(given["lumber"]), rounded=True
        )
        if rafters:
            heel = (
                sixteenth(rafters.heel)
                if follows
                else given["heel"]
                if "heel" in raw or "heel" in self._typed()
                else self.matched
            )
            scissor = attempt(ScissorBay, gable, given["ceiling_pitch"], heel, chords[0], chords[-1])
        if problems:
            raise InputError(problems)
        if follows:
            self.matched = scissor.left.heel
        return State(
            rafters,
            scissor,
            compare(rafters, scissor),
            tail_and_soffit(rafters, scissor),
            (*findings(rafters), *findings(scissor)),
            follows,
        )

    def _typed(self) -> set[str]:
        return {"heel"} if self.start["heel_follows"] == "no" else set()

    # --- the answer --------------------------------------------------------------------------------------------------

    def respond(self, raw: dict[str, str]) -> dict[str, Any]:
        """Everything that is shown for these texts.  Bad input keeps the last good picture and says why."""
        self._serial += 1
        changed = {
            name for name in {*raw, *self._raw} if raw.get(name) != self._raw.get(name) and not name.startswith("_")
        }
        reset, keep = raw.get("_reset") != self._raw.get("_reset"), raw.get("_keep") != self._raw.get("_keep")
        self._raw = dict(raw)
        old = self._texts()
        problems: tuple[str, ...] = ()
        try:
            state = self._build(raw)
        except InputError as error:
            problems = error.problems
        else:
            if reset:
                self.before, self.kept, self._changed = {}, {}, set()
            elif changed and changed != self._changed:
                self.before, self._changed = old, changed
            self.state = state
        if keep:
            self.kept = self._texts()
        view = raw.get("_view", self.views[0])
        return {
            "serial": self._serial,
            "sentence": self._sentence(problems),
            "picture": self._picture(view),
            "detail": self._detail(),
            "readings": self._readings(),
            "note": self._note(raw.get("_why", "rafter.heel")),
            "fields": {name: self._field(name, raw, bool(problems)) for name in self.controls},
            "stale": bool(problems),
            "view": view,
        }

    def _sentence(self, problems: Sequence[str]) -> str:
        if problems:
            return escape("Not drawn: " + " ".join(problems))
        if "seam" in self.shown_groups:
            return escape(self.state.seam.sentence)
        return escape(self.scene(self.views[0]).description)

    @property
    def shown_groups(self) -> set[str]:
        return {entries[0][0] for _, entries in self.groups}

    def _field(self, name: str, raw: dict[str, str], stale: bool) -> dict[str, Any]:
        """A control's slider position and text; a text that cannot be read stays as it was typed."""
        given = raw.get(name, self.start[name])
        follows = raw.get("heel_follows", self.start["heel_follows"]) != "no"
        field = {"number": None, "text": given, "bad": False, "off": False, "follows": follows}
        if name == "heel" and (follows or (name not in raw and name not in self._typed())):
            return {**field, "number": self.matched, "text": feet_inches(self.matched), "off": follows}
        if name in CHOICES:
            number = CHOICES[name].index(given) if given in CHOICES[name] else None
            return {**field, "number": number, "bad": stale and number is None and not _reads(name, given)}
        problems: list[str] = []
        number = INPUTS[name].read(given, problems)
        if problems:
            return {**field, "bad": True}
        return {**field, "number": number, "text": _text(name, number), "bad": False}

    # --- pictures ----------------------------------------------------------------------------------------------------

    @property
    def frame(self) -> tuple[float, float]:
        return (576, 284) if self.size == "small" else (796, 314)

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
        if view == "limits":
            return self._limits()
        if view == "table":
            return self._table()
        return svg(fit(self.scene(view), *self.frame), *self.frame)

    def _detail(self) -> str:
        if self.size == "small":
            return ""
        return svg(fit(heel_detail(self.state.rafters, self.state.scissor), 300, 176), 300, 176)

    def _limits(self) -> str:
        order = {"misses": 0, "ask": 1, "meets": 2}
        rows = "".join(
            f"<tr><td><b>{f.verdict}</b></td><td>{escape(f.sentence)}{'' if f.verdict == 'meets' else ' ' + escape(f.remedy)}</td>"
            f"<td>{escape(f.source)}</td></tr>"
            for f in sorted(self.state.findings, key=lambda f: order[f.verdict])
        )
        ways = "".join(f"<li>{escape(r.sentence)}</li>" for r in self.state.seam.remedies)
        heading = f"<b>To bring the planes together, one of:</b><ul>{ways}</ul>" if ways else ""
        return (
            f'{heading}<table class="rl-list"><tr><th>Verdict</th><th>Limit</th><th>Source</th></tr>{rows}</table>'
            "<p>Reminders, not approvals: local code, the engineer, the building official and the truss manufacturer decide.</p>"
        )

    def _table(self) -> str:
        worked = [("rafter bay", w) for w in _all(self.state.rafters)] + [
            ("scissor bay", w) for w in _all(self.state.scissor)
        ]
        rows = "".join(
            f"<tr><td>{bay}</td><td>{escape(w.label)}</td><td><b>{escape(w.text)}</b></td><td>{escape(w.formula)}</td></tr>"
            for bay, w in worked
        )
        return (
            f'<table class="rl-list"><tr><th>Bay</th><th>Reading</th><th>Value</th><th>Formula</th></tr>{rows}</table>'
        )

    # --- readings ----------------------------------------------------------------------------------------------------

    def rows(self) -> list[tuple[str, list[Row]]]:
        """The readings under the picture, in groups."""
        if self._rows[0] is not self.state:
            s = self.state
            verdicts = {(f.source, f.name): f.verdict for f in s.findings}
            self._rows = (
                s,
                [(title, [self._row(s, verdicts, *entry) for entry in entries]) for title, entries in self.groups],
            )
        return self._rows[1]

    def _row(self, s: State, verdicts: dict[tuple[str, str], str], bay: str, name: str, finding: str) -> Row:
        if bay == "seam":
            return self._seam_row(s, name)
        w = (s.rafters if bay == "rafter" else s.scissor).reading(name)
        word = next((v for (_, f), v in verdicts.items() if f == finding), "")
        if name == "notch_depth":
            word = f"{100 * s.rafters.notch_ratio:.0f} %, {word}"
        if name == "space_outside":
            word = f"{s.scissor.heel_state}, {word}"
        return Row(
            f"{bay}.{name}",
            _LABELS.get(name, w.label),
            w.text,
            word,
            f"{w.label} = {w.formula} = {w.worked} = {w.text}",
        )

    @staticmethod
    def _seam_row(s: State, name: str) -> Row:
        if name == "soffit":
            if not s.tail:
                return Row(
                    "seam.soffit",
                    "Soffit",
                    "none",
                    "no overhang",
                    "Without an overhang there is no tail and no soffit.",
                )
            return Row(
                "seam.soffit",
                "Soffit step",
                feet_inches(s.tail.step),
                "level cut" if s.tail.step > 1 / 32 else "",
                s.tail.sentence,
            )
        gap = getattr(s.seam, name)
        where = {"tail_gap": "Gap at the tail", "heel_gap": "Gap at the eave", "ridge_gap": "Gap at the ridge"}[name]
        word = "level" if abs(gap) < 1 / 32 else "truss high" if gap > 0 else "truss low"
        return Row(
            f"seam.{name}",
            where,
            feet_inches(gap),
            word,
            f"{where} = truss line − rafter line at the same x, plumb = {feet_inches(gap)}; largest square to the roof {feet_inches(s.seam.plane_offset)}",
        )

    def _texts(self) -> dict[str, str]:
        return {row.key: row.text for _, rows in self.rows() for row in rows}

    def _readings(self) -> str:
        past, said = (self.kept, "kept") if self.kept else (self.before, "was")
        tables = []
        for title, rows in self.rows():
            lines = []
            for row in rows:
                was = past.get(row.key, row.text)
                word = f"{said} {was}" if was != row.text else row.word
                if was != row.text and "ask" in row.word or "misses" in row.word:
                    word = f"{word}; {row.word.split()[-1]}" if word != row.word else word
                lines.append(
                    f'<tr><td><button type="button" class="rl-why" data-why="{row.key}">{escape(row.label)}</button></td>'
                    f"<td>{escape(row.text)}</td><td>{escape(word)}</td></tr>"
                )
            tables.append(f"<table><tr><th colspan=3>{escape(title)}</th></tr>{''.join(lines)}</table>")
        return "".join(tables)

    def _note(self, why: str) -> str:
        rows = {row.key: row for _, group in self.rows() for row in group}
        first = rows.get(why, next(iter(rows.values()))).why
        second = " ".join(
            f"<b>{verdict.capitalize()}:</b> {escape(', '.join(dict.fromkeys(f.name.replace('_', ' ') for f in self.state.findings if f.verdict == verdict)))}."
            for verdict in ("misses", "ask")
            if any(f.verdict == verdict for f in self.state.findings)
        )
        return f"{escape(first)}<br>{second or 'All limits looked at here are met.'} Local code, engineer and manufacturer decide."

    # --- without a kernel --------------------------------------------------------------------------------------------

    def still(self) -> tuple[str, str]:
        rows = self.rows()
        lines = [self.state.seam.sentence]
        for title, group in rows:
            lines.append(title)
            lines += [f"  {row.label:<18} {row.text:>12}  {row.word}" for row in group]
        view = self.views[0] if self.views[0] not in ("limits", "table") else "section"
        return "\n".join(lines), svg(fit(self.scene(view), *self.frame), *self.frame)


_LABELS = {
    "notch_depth": "Notch",
    "tail_underside": "Tail underside",
    "space_outside": "Between chords",
    "cut_length": "Cut length",
    "depth_at_peak": "Depth at peak",
    "heel": "Heel height",
}


def _all(bay: RafterBay | ScissorBay) -> list[Worked]:
    return [bay.reading(row.name) for row in bay.rows()]


def _stock(text: str) -> dict[str, Any]:
    """A sawn size, or a typed depth of engineered or measured stock."""
    if "x" in text.lower() or "×" in text:
        return {"lumber": text}
    return {"depth": text}


def _reads(name: str, text: str) -> bool:
    try:
        if name == "sheathing" or (name == "lumber" and "x" not in text.lower()):
            return INPUTS["sheathing" if name == "sheathing" else "depth"].read(text, []) == inches(text)
        return bool([dressed(part) for part in text.split("/")])
    except InputError:
        return False


def _text(name: str, number: float) -> str:
    """A control's value as it is written: trade text where it says exactly the same."""
    if INPUTS[name].kind == "pitch":
        return pitch_text(number)
    return feet_inches(number) if sixteenth(number) == number else f'{number:.10g}"'


def one_plane(
    controls: Sequence[str] = CONTROLS,
    views: Sequence[str] = tuple(VIEWS)[:5],
    groups: Sequence[str] = ("rafter", "scissor", "seam"),
    size: str = "",
    locked: bool = False,
    **start: Any,
) -> Panel:
    """The live section as a panel.

    ``controls``, ``views`` and ``groups`` choose what can be moved, seen and read; ``size`` "small" is for one idea at
    a time; keyword arguments are the controls' starting values (``span="26'"``, ``seat="3 1/2"``, ``heel="8"`` for a
    typed heel).  InputError where the start cannot be drawn.
    """
    return Panel(OnePlane(controls, views, groups, size, **start), locked)
