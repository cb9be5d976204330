"""The job file: one house's numbers as readable JSON, and the schedule that follows from them.

Loading names every problem with its place and loads all or nothing; saving is atomic.  Lengths are written as
``9 ft 8 5/8 in`` where that reads back to the same number, else as decimal inches.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from html import escape
from pathlib import Path
from typing import Any

from rooflab.base import jsonfile
from rooflab.base.files import locked, place_of
from rooflab.base.inputs import INPUTS, Ends, Input, attempt, must_be, pair, stop_on
from rooflab.base.jsonfile import (
    Json,
    Reader,
    Record,
    is_number,
    json_text,
    kind_of,
    record_problem,
    text_problem,
    unknown_names,
)
from rooflab.base.lumber import dressed_size
from rooflab.base.measure import InputError, feet_inches, file_length, pitch_text, sixteenth
from rooflab.checks.assumptions import (
    EARLY_KEYS,
    WARM_KEYS,
    Assumptions,
    assumption_problems,
    assumptions_from,
)
from rooflab.checks.thrust import tie_problems
from rooflab.house.bays import Jog, RafterBay, ScissorBay
from rooflab.house.jog import LAYERS
from rooflab.house.planes import Gable, set_fields

from .criteria import LOADS as LOADS
from .criteria import criterion_problem
from .schedule import TO_GIVE, TrussType

FORMAT = 1
FOLLOWS = "as rafters"
MARK = "rooflab job"
NO_TITLE = "House without a title"
MOST = 40  # types, notes, options or decisions of one job

# the words of the title block, and what each is called
SHEET = {
    "project": "Project",
    "address": "Address",
    "architect": "Architect",
    "contact": "Contact",
    "revision": "Revision",
    "date": "Date",
    "issued_for": "Issued for",
    "dimensions_verified_by": "Field dimensions verified by",
}
PLATE_WAYS = ("flat", "on edge")
RAFTER_SPACING = Input("spacing", "Rafter spacing", "length", 6, 48, 0.25, 16.0)


def rounded_heels(rafters: RafterBay) -> tuple[float, float]:
    """Both heels of a rafter bay as they are handed over, to the nearest 1/16 in."""
    left, right = (sixteenth(end.heel) for end in rafters.ends)
    return left, right


@dataclass(frozen=True, repr=False)
class Job:
    """A house: its gable, the rafter bay, the long scissor truss, the truss types and the words that go with them.

    ``follows`` says that the truss heel is the rafters', rounded to 1/16 in.  ``loads`` holds the design criteria,
    numbers and words (``LOADS``); what is missing was not given.  ``sheet`` holds the words of the title block
    (``SHEET``).  ``finish`` is (gypsum, furring) below the chords, inches; ``outlooker`` (size, "flat" or "on edge") is
    what the gable end trusses are dropped for.  ``grade`` of the rafters ("" not given), the rafters' own loads among
    ``loads`` (``EARLY_KEYS``) and ``insulation`` (``WARM_KEYS``) are for the early checks.  InputError with every
    problem and its place.

    >>> example()
    House on the slope (example): span 26'-0", roof 8 in 12, heel 8 13/16", ceiling 4 in 12; types A (11), B (5)
    """

    title: str
    rafters: RafterBay
    scissor: ScissorBay
    types: tuple[TrussType, ...] = ()
    follows: bool = True
    loads: dict[str, Json] = field(default_factory=dict)
    sheet: dict[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    options: tuple[Record, ...] = ()
    decisions: tuple[Record, ...] = ()
    rafter_spacing: float = 16.0
    finish: tuple[float, float] | None = None
    outlooker: tuple[str, str] = ("2x4", "flat")
    grade: str = ""
    insulation: dict[str, Json] = field(default_factory=dict)

    def __post_init__(self) -> None:
        must_be(self.rafters, RafterBay, "Rafters")
        must_be(self.scissor, ScissorBay, "Trusses")
        must_be(self.follows, bool, "Follows")
        problems = word_problems({f.name: getattr(self, f.name) for f in fields(self)})
        spacing = RAFTER_SPACING.with_label("rafters: Spacing").read(self.rafter_spacing, problems)
        layers = None if self.finish is None else _layers(problems, self.finish)
        _outlooker(problems, self.outlooker)
        if self.scissor.gable != self.rafters.gable:
            problems.append("trusses: span, pitch, walls and overhang must be those of the rafters.")
        if self.scissor.jogs:
            problems.append("trusses: the long truss has no wall set in; a type has.")
        if self.follows and pair(self.scissor.heel_input) != rounded_heels(self.rafters):
            heels = (feet_inches(pair(heel)[0]) for heel in (self.scissor.heel_input, rounded_heels(self.rafters)))
            problems.append("trusses: the heel {} is to follow the rafters', {}.".format(*heels))
        problems += _type_problems(self.types, self.scissor)
        if not problems and (tie := self.assumptions.tie_height):
            problems += [f"loads.tie_height: {said}" for said in tie_problems(self.rafters, tie)]
        stop_on(problems)
        set_fields(
            self,
            rafters=self.rafters.with_(rounded=False),
            types=tuple(self.types),
            notes=tuple(self.notes),
            options=tuple(dict(one) for one in self.options),
            decisions=tuple(dict(one) for one in self.decisions),
            rafter_spacing=spacing,
            finish=layers,
            outlooker=tuple(self.outlooker),
        )

    @property
    def gable(self) -> Gable:
        """The walls and pitches that both bays share."""
        return self.rafters.gable

    @property
    def assumptions(self) -> Assumptions:
        """What the early checks assume for this job; what it does not say is assumed plainly."""
        return assumptions_from(self.loads, self.insulation, self.grade, self.rafter_spacing)

    @staticmethod
    def load(path: str | os.PathLike[str]) -> Job:
        """The job in a file.  InputError with every problem and its place; nothing is half-loaded."""
        return read_job(jsonfile.read_document(path))

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write the job in place of what the file holds; the old one stays whole until the new one is complete.

        InputError where it cannot be written.  ``writing.change`` keeps what others changed meanwhile.
        """
        with locked(place_of(path, "Job file"), "Job file"):
            return jsonfile.write_document(path, self.document())

    def with_(self, **changes: Any) -> Job:
        """The same job with some parts changed; the truss takes the rafters' gable, and their heel where it follows."""
        made = {f.name: getattr(self, f.name) for f in fields(self)} | changes
        gable = {"gable": made["rafters"].gable}
        heel = {"heel": rounded_heels(made["rafters"])} if made["follows"] else {}
        return Job(**{**made, "scissor": made["scissor"].with_(**gable, **heel)})

    def document(self) -> dict[str, Any]:
        """The job as plain values for JSON; ``read_job`` reads it back to an equal job."""
        bay = self.rafters
        stock = {"lumber": bay.lumber} if bay.lumber else {"depth": file_length(bay.depth)}
        made = {
            MARK: FORMAT,
            "title": self.title,
            "gable": _file_values(vars(self.gable), _names(Gable)),
            "rafters": stock
            | {"ridge": bay.ridge}
            | _file_values(vars(bay), ("seat", "plate"))
            | {"spacing": file_length(self.rafter_spacing)}
            | ({"grade": self.grade} if self.grade else {}),
            "trusses": _trusses(self.scissor, self.follows),
            "types": [_type_document(kind) for kind in self.types],
            "gable_end": dict(zip(("outlooker", "laid"), self.outlooker, strict=True)),
            "loads": dict(self.loads),
            "sheet": dict(self.sheet),
            "notes": list(self.notes),
            "options": [dict(option) for option in self.options],
            "decisions": [dict(decision) for decision in self.decisions],
        }
        if self.insulation:
            made["insulation"] = dict(self.insulation)
        if self.finish:
            made["ceiling_finish"] = dict(zip(("gypsum", "furring"), map(file_length, self.finish), strict=True))
        return made

    def summary(self) -> str:
        """Span, pitches, heel and types in one line."""
        rows = (("roof", self.gable.pitch, pitch_text), ("heel", self.scissor.heel_input, feet_inches))
        said = [f"span {feet_inches(self.gable.span)}"]
        for word, value, text in (*rows, ("ceiling", self.scissor.ceiling_pitch, pitch_text)):
            said.append(f"{word} {' and '.join(dict.fromkeys(text(one) for one in pair(value)))}")
        marks = ", ".join(f"{kind.mark} ({kind.count})" for kind in self.types)
        return f"{', '.join(said)}; {f'types {marks}' if marks else 'no truss types yet'}"

    def __repr__(self) -> str:
        return f"{self.title}: {self.summary()}"

    def _repr_html_(self) -> str:
        return f"<p><b>{escape(self.title)}</b>: {escape(self.summary())}</p>"


# --- checking --------------------------------------------------------------------------------------------------------


def word_problems(parts: dict[str, Any]) -> list[str]:
    """What is wrong with a job's title, loads, title block, insulation and grade, notes, options and decisions."""
    found = [("title", text_problem(parts["title"], 120))]
    loads, warm = parts["loads"], parts["insulation"]
    for name, known in (
        ("loads", dict.fromkeys((*LOADS, *EARLY_KEYS))), ("sheet", SHEET), ("insulation", WARM_KEYS)
    ):  # fmt: skip
        table = parts[name]
        if not isinstance(table, dict):
            found.append((name, f"named values in braces are needed, not {kind_of(table)}."))
            continue
        found += [(name, said) for said in unknown_names(table, known)]
        for key, value in table.items():
            if key not in known:
                continue
            if name == "insulation" or (name == "loads" and key in EARLY_KEYS):
                continue  # an early check's, looked at below
            if name == "sheet":
                found.append((f"{name}.{key}", text_problem(value, 120)))
            else:
                found.extend((f"{name}.{key}", said) for said in criterion_problem(key, value))
    for name in ("notes", "options", "decisions"):
        rows = parts[name]
        if not isinstance(rows, (list, tuple)) or len(rows) > MOST:
            found.append((name, f"a list of up to {MOST} is needed."))
            continue
        for i, row in enumerate(rows):
            said = text_problem(row, 1000, True) if name == "notes" else record_problem(row)
            found.append((f"{name}[{i}]", said))
    if isinstance(loads, dict) and isinstance(warm, dict):
        found += assumption_problems(loads, warm, parts["grade"])
    return [f"{place}: {said}" for place, said in found if said]


def _type_problems(types: object, scissor: ScissorBay) -> list[str]:
    if not isinstance(types, (tuple, list)) or len(types) > MOST or not all(isinstance(k, TrussType) for k in types):
        return [f"types: up to {MOST} truss types are needed."]
    reader, marks = Reader(), [kind.mark for kind in types]
    for mark in sorted({mark for mark in marks if marks.count(mark) > 1}):
        reader.say("types", f"mark {json_text(mark)} stands more than once.")
    for i, kind in enumerate(types):
        reader.make(f"types[{i}]", kind.bay, scissor)
    return reader.problems


def _layers(problems: list[str], value: object) -> tuple[float, float]:
    if not isinstance(value, (tuple, list)) or len(value) != 2:
        problems.append("ceiling_finish: gypsum and furring are needed.")
        return 0.0, 0.0
    rows = zip(LAYERS.values(), value, strict=True)
    gypsum, furring = (row.with_label(f"ceiling_finish.{row.name}").read(one, problems) for row, one in rows)
    return gypsum, furring


def _outlooker(problems: list[str], value: object) -> None:
    if not isinstance(value, (tuple, list)) or len(value) != 2:
        problems.append("gable_end: an outlooker's size and how it is laid are needed.")
        return
    attempt(problems, dressed_size, value[0], "gable_end.outlooker")
    if value[1] not in PLATE_WAYS:
        problems.append(f"gable_end.laid {json_text(value[1])}: {' or '.join(PLATE_WAYS)} is allowed.")


# --- writing ---------------------------------------------------------------------------------------------------------


def _names(kind: type[Gable]) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def _file_values(values: Mapping[str, Ends], names: Iterable[str]) -> dict[str, Json]:
    """Lengths and pitches as the file holds them, by name; two where the ends differ."""

    def both(row: Input, value: Ends) -> Json:
        return [row.file_value(one) for one in value] if isinstance(value, tuple) else row.file_value(value)

    return {name: both(INPUTS[name], values[name]) for name in names}


def _trusses(bay: ScissorBay, follows: bool) -> dict[str, Json]:
    heel = FOLLOWS if follows else _file_values({"heel": bay.heel_input}, ("heel",))["heel"]
    plain = {"chord": bay.chord, "bottom_chord": bay.bottom_chord, "ceiling_from": bay.ceiling_from, "apex": bay.apex}
    return {"heel": heel} | _file_values(vars(bay), ("ceiling_pitch", "plate")) | plain


def _type_document(kind: TrussType) -> dict[str, Json]:
    document: dict[str, Json] = {
        "mark": kind.mark,
        "length": file_length(kind.length),
        "spacing": file_length(kind.spacing),
        "doubled": kind.doubled,
        "gable_ends": kind.gable_ends,
        "remark": kind.remark,
    }
    if kind.jog:
        jog: dict[str, Json] = {"by": file_length(kind.jog.by), "end": kind.jog.end, "eave": kind.jog.eave}
        if kind.jog.bearing is not None:
            jog["bearing"] = file_length(kind.jog.bearing)
        document["jog"] = jog
    return document


# --- reading ---------------------------------------------------------------------------------------------------------

TYPE_KEYS = ("mark", "length", "spacing", "doubled", "gable_ends", "jog", "remark")
TRUSS_KEYS = ("heel", "ceiling_pitch", "plate", "chord", "bottom_chord", "ceiling_from", "apex")
RAFTER_KEYS = ("lumber", "depth", "seat", "ridge", "plate", "spacing", "grade")
REQUIRED = (MARK, "title", "gable", "rafters", "trusses")
RECORDS = ("notes", "options", "decisions")
OWN: tuple[tuple[str, str, dict[str, Json]], ...] = (
    ("finish", "ceiling_finish", {"gypsum": 0.0, "furring": 0.0}),
    ("outlooker", "gable_end", {"outlooker": "2x4", "laid": "flat"}),
)
KEYS = (*REQUIRED, "types", "ceiling_finish", "gable_end", "loads", "insulation", "sheet", *RECORDS)


def read_job(document: object) -> Job:
    """A job from plain values, as JSON gives them.  InputError with every problem and its place."""
    reader = Reader()
    if isinstance(document, dict) and MARK in document:
        version = document[MARK]
        if is_number(version) and version > FORMAT:
            said = (
                f"written in format {json_text(version)}, and this rooflab reads up to {FORMAT}; install a newer one."
            )
            raise InputError(f"Job file: {said}")
        if not is_number(version) or version != FORMAT:
            reader.say("job", f"{MARK!r} is {json_text(version)}; {FORMAT} is allowed.")
    top = reader.table(document, "job", KEYS, REQUIRED)
    parts: dict[str, Any] = {"title": top.get("title", "")}
    parts |= {name: top.get(name, {}) for name in ("loads", "insulation", "sheet")}
    parts |= {name: top.get(name, []) for name in RECORDS}
    stock = reader.table(top.get("rafters", {}), "rafters", RAFTER_KEYS)
    parts["grade"] = stock.pop("grade", "")
    rest: dict[str, Any] = {"rafter_spacing": stock.pop("spacing")} if "spacing" in stock else {}
    for name, key, defaults in OWN:
        if key in top:
            found = reader.table(top[key], key, tuple(defaults), tuple(defaults)[:1])
            rest[name] = tuple((defaults | found).values())
    rafters, scissor, follows = _bays(reader, top, stock)
    rows = reader.rows(top.get("types", []), "types", MOST)
    types = [_read_type(reader, row, f"types[{i}]") for i, row in enumerate(rows)]
    if rafters and scissor and not reader.problems:
        every = tuple(kind for kind in types if kind)
        return Job(rafters=rafters, scissor=scissor, types=every, follows=follows, **parts, **rest)
    if scissor:
        reader.problems += _type_problems([kind for kind in types if kind], scissor)
    raise InputError([*reader.problems, *word_problems(parts)])


def _bays(
    reader: Reader, top: dict[str, Json], stock: dict[str, Json]
) -> tuple[RafterBay | None, ScissorBay | None, bool]:
    """Both bays; None for what could not be built."""
    walls = reader.table(top.get("gable", {}), "gable", _names(Gable), ("span", "pitch", "bearing"))
    truss = reader.table(top.get("trusses", {}), "trusses", TRUSS_KEYS, ("ceiling_pitch",))
    if "lumber" in stock and stock.get("depth") is not None:
        reader.say("rafters", "give lumber or depth, not both.")
    follows = truss.get("heel", FOLLOWS) == FOLLOWS
    ready = {"span", "pitch", "bearing"} <= set(walls)
    gable = reader.make("gable", Gable, **walls) if ready else None
    rafters = reader.make("rafters", RafterBay, gable, **stock) if gable else None
    if rafters is None or "ceiling_pitch" not in truss:
        return rafters, None, follows
    heel = rounded_heels(rafters) if follows else truss["heel"]
    return rafters, reader.make("trusses", ScissorBay, gable, **{**truss, "heel": heel}), follows


def _read_type(reader: Reader, value: object, place: str) -> TrussType | None:
    before = len(reader.problems)
    row: dict[str, object] = {**reader.table(value, place, TYPE_KEYS, ("mark", "length"))}
    if row.get("jog") is not None:
        jog = reader.table(row["jog"], f"{place}.jog", ("by", "end", "eave", "bearing"), ("by",))
        row["jog"] = reader.make(f"{place}.jog", Jog, **{"end": "left", **jog}) if "by" in jog else None
    if len(reader.problems) > before and not {"mark", "length"} <= set(row):
        return None
    return reader.make(place, TrussType, **row)


def example() -> Job:
    """The house of the workbooks: 26 ft, 8 in 12, a 20 ft bay of scissor trusses and 8 ft with its wall set in."""
    gable = Gable("26'", 8, "5 1/2", 16)
    rafters = RafterBay(gable, "2x10", "3 1/2")
    types = (
        TrussType("A", 240.0, remark="main bay"),
        TrussType("B", 96.0, jog=Jog("left", 24.0, 3.5), remark="where the wall is set in"),
    )
    loads: dict[str, Json] = {
        "ground_snow": 30, "top_dead": 10, "bottom_dead": 10, "wind_speed": 115, "exposure": "B",
        "carried": "one ceiling fan at mid-room",
    }  # fmt: skip
    words = {"issued_for": "truss manufacturer's submittal", "revision": "A"}
    scissor = ScissorBay(gable, 4, rounded_heels(rafters))
    return Job("House on the slope (example)", rafters, scissor, types, True, loads, words)


def blank_job() -> Job:
    """What a job of one's own starts from: the example's planes, and no word, load or recess of it.

    Its one type has a length that only stands in until one is given.

    >>> blank_job().types[0].remark, blank_job().loads
    ('length to be given', {})
    """
    ours = example()
    return Job(NO_TITLE, ours.rafters, ours.scissor, (TrussType("A", 240.0, remark=TO_GIVE),))
