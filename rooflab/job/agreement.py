"""What was agreed: who was there, the option chosen, the others, reasons, open points and who answers; in the job file.

The date is the one people give; no clock is read.  The figures agreed on are kept as they were printed, so that later
changes of the house are noticed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from rooflab.base.inputs import attempt, must_be, stop_on
from rooflab.base.jsonfile import Record, json_text, record_problem, text_problem
from rooflab.house.planes import set_fields

from .jobfile import Job
from .option import LONGEST_NAME, Option, OptionResult, one_line_texts, options_in, read_records, solve_option
from .table import KINDS, Change, table_of

OWN_RECORD = "agreed"  # the key of an agreement's date in the job file
MOST_LINES, LONGEST_LINE, LONGEST_DATE = 12, 400, 40
LISTS = {"present": "Who was there", "alternatives": "Alternatives", "reasons": "Reasons"}
KEYS = {"present": "present", "alternatives": "alternative", "reasons": "reason"}  # each numbered in the file


def _texts(what: str, given: object, problems: list[str]) -> tuple[str, ...]:
    """Up to ``MOST_LINES`` texts of one line each."""
    made = one_line_texts(what, given, LONGEST_LINE, problems)
    if len(made) > MOST_LINES:
        problems.append(f"{what}: {len(made)} lines; up to {MOST_LINES} are allowed.")
    return made


def _points(given: object, problems: list[str]) -> tuple[tuple[str, str], ...]:
    """Open points, each with who answers it."""
    rows = list(given.items()) if isinstance(given, dict) else given
    if not isinstance(rows, (list, tuple)) or not all(isinstance(r, (list, tuple)) and len(r) == 2 for r in rows):
        problems.append("Open points: each needs two texts, the point and who answers it.")
        return ()
    made = []
    for row in rows:
        if not all(isinstance(one, str) for one in row) or any(text_problem(one, LONGEST_LINE, True) for one in row):
            problems.append(f"Open points: texts of up to {LONGEST_LINE} characters are allowed, not {json_text(row)}.")
            continue
        point, who = (" ".join(one.split()) for one in row)
        if not point and who:
            problems.append(f"Open points: what {json_text(who)} is to answer is missing.")
        elif point and not who:
            problems.append(f"Open point {json_text(point)}: who answers it is missing.")
        elif point:
            made.append((point, who))
    if len(made) > MOST_LINES:
        problems.append(f"Open points: {len(made)}; up to {MOST_LINES} are allowed.")
    return tuple(made)


@dataclass(frozen=True)
class Agreement:
    """What was agreed on one day.

    ``date``: the user's own text.
    ``option``: the name of the option that was chosen.
    ``present``: who was there, by role ("builder: J. Smith").
    ``alternatives``: the names of the options that were not chosen.
    ``reasons``: why, a text each.
    ``open_points``: (point, who answers it).
    ``figures``: the chosen option's rows of the table as they were printed, (key, text).

    InputError with every problem.

    >>> one = Agreement("24 November 2026", "Short seat", ["builder", "architect"], reasons="no deep notch")
    >>> one.present, one.reasons
    (('builder', 'architect'), ('no deep notch',))
    """

    date: str
    option: str
    present: tuple[str, ...]
    alternatives: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    open_points: tuple[tuple[str, str], ...] = ()
    figures: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        problems: list[str] = []
        for name, label, longest in (("date", "Date", LONGEST_DATE), ("option", "Chosen option", LONGEST_NAME)):
            value = getattr(self, name)
            if said := text_problem(value, longest):
                problems.append(f"{label}: {said}")
            elif not value.strip():
                problems.append(f"{label}: it is missing; give it in words, as you write it.")
            else:
                set_fields(self, **{name: " ".join(value.split())})
        made = {name: _texts(label, getattr(self, name), problems) for name, label in LISTS.items()}
        points = _points(self.open_points, problems)
        if not made["present"] and not problems:
            problems.append("Who was there: nobody; give at least one role.")
        if self.option in made["alternatives"]:
            problems.append(f"Alternatives: {json_text(self.option)} is the chosen option.")
        stop_on(problems)
        set_fields(self, **made, open_points=points, figures=tuple((str(key), str(text)) for key, text in self.figures))

    def record(self) -> Record:
        """The agreement as one flat record of texts for the job file."""
        made: Record = {OWN_RECORD: self.date, "chosen": self.option}
        for name, key in KEYS.items():
            made |= {f"{key}_{i}": words for i, words in enumerate(getattr(self, name), 1)}
        for i, (point, who) in enumerate(self.open_points, 1):
            made |= {f"open_{i}": point, f"answers_{i}": who}
        return made | {f"figure_{key}": text for key, text in self.figures}


def read_agreement(record: object) -> Agreement:
    """An agreement from its record.  InputError with every problem.

    >>> made = Agreement("1 May", "A", ["builder"], open_points=[("Beam?", "engineer")], figures=[("heel", '9"')])
    >>> read_agreement(made.record()) == made
    True
    """
    problems = [said for said in [record_problem(record)] if said]
    stop_on(problems)
    assert isinstance(record, dict)
    numbered: dict[str, dict[int, str]] = {key: {} for key in (*KEYS.values(), "open", "answers")}
    figures = []
    for key, value in record.items():
        name, _, number = key.rpartition("_")
        if key.startswith("figure_"):
            figures.append((key.removeprefix("figure_"), value))
        elif name in numbered and re.fullmatch("[0-9]{1,3}", number):
            numbered[name][int(number)] = value
        elif key not in (OWN_RECORD, "chosen"):
            problems.append(f"{json_text(key)} is nothing an agreement holds.")
    rows = {name: [numbered[key][i] for i in sorted(numbered[key])] for name, key in KEYS.items()}
    both = sorted({*numbered["open"], *numbered["answers"]})
    points = [(numbered["open"].get(i, ""), numbered["answers"].get(i, "")) for i in both]
    made = attempt(
        problems, Agreement, record.get(OWN_RECORD, ""), record.get("chosen", ""), open_points=points,
        figures=tuple(figures), **rows,
    )  # fmt: skip
    stop_on(problems)
    assert made is not None
    return made


# --- in the job ------------------------------------------------------------------------------------------------------


def agreements_in(house: Job) -> tuple[Agreement, ...]:
    """The agreements kept in a job, the oldest first.  InputError naming each record that is not one."""
    return read_records("decisions", house.decisions, read_agreement)


def agree(
    house: Job,
    date: str,
    chosen: str,
    present: Sequence[str] | str,
    reasons: Sequence[str] | str = (),
    open_points: Sequence[tuple[str, str]] = (),
    alternatives: Sequence[str] | None = None,
) -> Job:
    """The job with one more agreement among its decisions, and the figures of the chosen option in it.

    The alternatives are all other options kept, unless they are named.  InputError with every problem.

    >>> from rooflab.job.jobfile import example
    >>> from rooflab.job.option import with_options
    >>> house = with_options(example(), [Option("Short seat"), Option("Long seat", seat="5 1/2")])
    >>> agreements_in(agree(house, "1 May 2026", "Short seat", "builder"))[0].alternatives
    ('Long seat',)
    """
    names = [option.name for option in options_in(house)]
    others = [name for name in names if name != chosen] if alternatives is None else alternatives
    made = Agreement(date, chosen, present, others, reasons, open_points)  # type: ignore[arg-type]
    picked, rest = options_of(made, house)
    for option in rest:
        solve_option(option, house)
    made = replace(made, figures=figures_of(solve_option(picked, house)))
    return replace(house, decisions=(*house.decisions, made.record()))


def options_of(made: Agreement, house: Job) -> tuple[Option, tuple[Option, ...]]:
    """The chosen option of an agreement and the others.  InputError for names that are not kept in the job."""
    kept = {option.name: option for option in options_in(house)}
    names = (made.option, *made.alternatives)
    have = f"kept are {', '.join(kept)}" if kept else "none is kept"
    stop_on(f"Option {json_text(name)}: there is none of that name; {have}." for name in names if name not in kept)
    return kept[made.option], tuple(kept[name] for name in made.alternatives)


def figures_of(made: OptionResult) -> tuple[tuple[str, str], ...]:
    """The rows of the table of one option, as they are printed."""
    return tuple((row.key, row.texts[0]) for row in table_of([made]))


def last_agreement(house: Job) -> tuple[Agreement, Option] | None:
    """The last agreement in a job and the option it chose; None where it cannot be read, or that option is gone.

    Records of another kind among the decisions are passed over.
    """
    record = next((one for one in reversed(house.decisions) if OWN_RECORD in one), None)
    made = attempt([], read_agreement, record)
    picked = attempt([], options_of, made, house) if made else None
    return (made, picked[0]) if made and picked else None


def changes_since(made: Agreement, house: Job) -> tuple[Change, ...]:
    """Rows of the chosen option that read otherwise than when they were agreed: the house has changed since."""
    must_be(made, Agreement, "Agreement")
    labels = {kind.key: kind.label for kind in KINDS}
    now = dict(figures_of(solve_option(options_of(made, house)[0], house)))
    return tuple(
        Change(key, labels[key], was, now[key], f"{labels[key]} was {was} when this was agreed and is now {now[key]}.")
        for key, was in made.figures
        if key in now and was != now[key]
    )
