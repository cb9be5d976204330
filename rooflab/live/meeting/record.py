"""The last step at the table: who was there, what was chosen and why, what is open; kept in the job file, printed.

All of it is typed into the page as it will be printed: each text has its box where it stands on paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from rooflab.base.measure import InputError
from rooflab.draw.placing import Box
from rooflab.draw.scene import Layout
from rooflab.draw.sheets.agreement import DATE, TITLE, VOTES, RecordPage, record_page
from rooflab.draw.sheets.page import new_pages
from rooflab.job.agreement import agree, agreements_in
from rooflab.job.jobfile import Job
from rooflab.job.option import Option, OptionResult, adopt, options_in, with_options
from rooflab.job.table import finding_names, proposals
from rooflab.job.writing import Conflict, change
from rooflab.live.widgets.files import free_name
from rooflab.live.widgets.job_desk import CHOOSE

from .controls import Spec, button_spec, choice_spec, names_in_list, option_at, words_spec
from .drawing import PageDrawing
from .share import TYPES, Shared
from .view import MeetingPage, Sitting

THERE = "builder; architect"
WHO = {  # who answers what is not met or is to be asked (common practice, no source)
    "end notch": "building official",
    "minimum heel": "truss designer",
    "soffit line": "architect",
    "over plate": "building official",
    "tail length": "engineer",
}
ALWAYS_OPEN = "Webs, reactions and uplift of the trusses: truss designer"
LINES = 5  # texts that are proposed at most
EMPTY = "\u2026"  # holds the place of a text that nobody has typed yet
HINT = "Shift and Enter: a new line"


def choice_of(sitting: Sitting) -> Option:
    """The option that is chosen."""
    return sitting.options[sitting.choice]


def split(text: str) -> list[str]:
    """The texts between semicolons and line ends."""
    return [part.strip() for line in text.split("\n") for part in line.split(";") if part.strip()]


class AgreePage(MeetingPage):
    """The page that is printed: title, date, who was there, why, for and against, what is open; then written down."""

    step, name, next = 5, "agree", ""
    sheet = True

    def controls(self, sitting: Sitting) -> list[Spec]:
        names, conflict = names_in_list(sitting.options), self._conflict(sitting)
        choose = [button_spec(name, label, of=conflict.place) for name, label in CHOOSE.items() if conflict]
        option = choice_of(sitting).name
        texts: list[tuple[str, Spec]] = [
            (DATE, words_spec("date", "Date, as you write it", date(sitting))),
            ("WHO WAS THERE", words_spec("present", "Who was there, by role", present(sitting), LINES, hint=HINT)),
            ("REASONS", words_spec("reasons", "Why it was chosen", reasons(sitting), LINES, hint=HINT)),
            (
                "OPEN POINTS",
                words_spec("open", "Open points; after a colon who answers it", open_points(sitting), LINES),
            ),
            (VOTES, words_spec("votes", "For it (+) and against it (-)", votes(sitting), LINES, hint=HINT)),
            (TITLE, words_spec("title", "The house", title(sitting))),
        ]
        page = self._page(sitting)
        places = {name: css_place(box, page) for name, box in page.places.items()}
        on_page: list[Spec] = [{**spec, "on": places[name], "of": option} for name, spec in texts if name in places]
        return [
            choice_spec("option", "Chosen option", names, names[sitting.choice]),
            *on_page,
            button_spec("write", "Write it down"),
            *choose,
        ]

    def _conflict(self, sitting: Sitting) -> Conflict | None:
        """What the file and the table have both changed, and which holds is to be said next."""
        asked: Sequence[Conflict] = sitting.memory.get("asked", ())
        return asked[0] if asked else None

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        option = choice_of(sitting)
        if name == "option":
            sitting.choose(option_at("Chosen option", text, sitting.options))
            return f"Chosen: {choice_of(sitting).name}."
        said = "Noted."
        if name == "votes":
            pros, cons = votes_in(text)
            option.with_(pros=pros, cons=cons)  # or its sentences
        elif name == "open":
            said = f"{len(pairs(text))} open points noted."
        before = dict(sitting.memory)
        sitting.memory[f"votes {option.name}" if name == "votes" else name] = text
        try:
            self._page(sitting)  # or its sentences
        except InputError:
            sitting.memory.clear()
            sitting.memory.update(before)
            raise
        return said

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        if not date(sitting).strip():
            sitting.point("date")
            raise InputError("Date: it is missing; give it in words, as you write it.")
        choices: dict[Conflict, bool] = dict(sitting.memory.get("choices", {})) if name in CHOOSE else {}
        if name in CHOOSE and (conflict := self._conflict(sitting)):
            choices[conflict] = name == "mine"
        wanted, also = self._wanted(sitting)
        place = Path(sitting.path)
        target = place

        def write(house: Job) -> Job:
            nonlocal target
            record = self._record(sitting, house)
            target = free_name(place.parent, f"{record.title} agreed", ".pdf")
            page = one_page_of(record).as_sheet(1, 1)
            with new_pages((page,), (target,)):  # which go again where the record cannot be kept
                record.save(place)
            return record

        done = change(place, sitting.house, wanted, choices, write=write)
        sitting.memory |= {"asked": done.conflicts, "choices": choices if done.conflicts else {}}
        if done.job is None:
            return f"Not written yet. Changed in {place.name} meanwhile: {done.conflicts[0]} Which holds?"
        sitting.house = done.job
        pros, cons = votes_in(votes(sitting))
        sitting.options[sitting.choice] = choice_of(sitting).with_(pros=pros, cons=cons)
        sitting.memory["written"] = target.name
        sitting.sent = Shared("written", target.name, TYPES["pdf"], target.read_bytes())
        return f"Written: {target.name}, beside {place.name}, where the agreement is kept. {also}"

    def _wanted(self, sitting: Sitting) -> tuple[Job, str]:
        """The house with title, options and the numbers of the chosen one, and a sentence on these."""
        pros, cons = votes_in(votes(sitting))
        option = choice_of(sitting).with_(pros=pros, cons=cons)
        options = [option if i == sitting.choice else one for i, one in enumerate(sitting.options)]
        others = [one for one in options_in(sitting.house) if one.name not in sitting.known]  # which came by the file
        wanted = with_options(replace(sitting.house, title=title(sitting)), [*options, *others])
        try:
            return adopt(option, wanted), f"The house has the numbers of {option.name} now."
        except InputError as error:
            return wanted, f"The numbers of the house stay as they were: {' '.join(error.problems)}"

    def _record(self, sitting: Sitting, house: Job, empty: str = "") -> Job:
        """A house with what is agreed; ``empty`` stands where nothing is typed yet."""
        option = choice_of(sitting).name
        return agree(
            house, date(sitting).strip() or empty, option, split(present(sitting)) or empty,
            split(reasons(sitting)) or empty, pairs(open_points(sitting)) or [(empty, empty)] * bool(empty),
            [one.name for one in sitting.options if one.name != option],
        )  # fmt: skip

    def _page(self, sitting: Sitting) -> RecordPage:
        """The page as it would be printed now, with a place for each text."""
        names = "title", "date", "present", "reasons", "open", f"votes {choice_of(sitting).name}"
        key = (sitting.house, tuple(sitting.options), sitting.choice, *(sitting.memory.get(name) for name in names))
        memory = sitting.worked.get("record")
        if memory is None or memory[0] != key:
            wanted, _ = self._wanted(sitting)
            if not votes(sitting).strip():
                option = choice_of(sitting).with_(pros=[EMPTY], cons=())
                wanted = with_options(
                    wanted, [option if one.name == option.name else one for one in options_in(wanted)]
                )
            page = one_page_of(self._record(sitting, wanted, EMPTY))
            memory = sitting.worked["record"] = key, page, page.as_sheet(1, 1)
        page = memory[1]
        return page

    def sentence(self, sitting: Sitting) -> str:
        written = sitting.memory.get("written", "")
        last = f"Last written: {written}. " if written else ""
        return f"{last}Type into the page as it will be printed, then write it down. It records, and approves nothing."

    def house(self, sitting: Sitting) -> str:
        return sitting.label_of(choice_of(sitting))

    def drawing(self, sitting: Sitting) -> PageDrawing:
        self._page(sitting)
        layout: Layout = sitting.worked["record"][2]
        return PageDrawing(layout, (layout.width, layout.height), (0.0, 0.0))

    def paper(self, sitting: Sitting) -> tuple[Layout, ...]:
        return (self.drawing(sitting).layout,)


def css_place(box: Box, page: RecordPage) -> str:
    """Where a box of the page stands, and the height of its letters, as CSS in percent of the page."""
    (x0, y0, x1, y1), wide, tall = box, page.wide, page.tall
    left, top, across, down = 100 * x0 / wide, 100 * y0 / tall, 100 * (x1 - x0) / wide, 100 * (y1 - y0) / tall
    letters = f"font-size:{100 * page.size / wide:.4f}cqw"
    return f"left:{left:.2f}%;top:{top:.2f}%;width:{across:.2f}%;height:{down:.2f}%;{letters}"


def one_page_of(record: Job) -> RecordPage:
    """The page of the last agreement of a job: on letter paper, and where that has no room on tabloid."""
    try:
        return record_page(record)
    except InputError:
        return record_page(record, paper="tabloid")


# --- what is proposed ------------------------------------------------------------------------------------------------


def present(sitting: Sitting) -> str:
    """The roles of who was there, as typed; else as the last time; else two roles."""
    last = agreements_in(sitting.house)[-1:]
    return str(sitting.memory.get("present", "; ".join(last[0].present) if last else THERE))


def title(sitting: Sitting) -> str:
    """The title of the house, as typed; else as its job says."""
    return str(sitting.memory.get("title", "")).strip() or sitting.house.title


def rival_of(sitting: Sitting) -> Option:
    """The option that the chosen one is compared with: the client's numbers, or for these the first other option."""
    option = choice_of(sitting)
    return next((one for one in sitting.options if one.value_pairs != option.value_pairs), option)


def votes(sitting: Sitting) -> str:
    """The texts for the chosen option (+) and against it (-), as typed; else proposed from the numbers."""
    option = choice_of(sitting)
    proposal = proposals(sitting.result_of(rival_of(sitting)), sitting.result_of(option))
    pros, cons = option.pros or proposal.pros[:LINES], option.cons or proposal.cons[:LINES]
    lines = [*(f"+ {text}" for text in pros), *(f"- {text}" for text in cons)]
    return str(sitting.memory.get(f"votes {option.name}", "\n".join(lines)))


def votes_in(text: str) -> tuple[list[str], list[str]]:
    """What speaks for an option and against it, a line each.  InputError for a line that says neither.

    >>> votes_in("+ higher window\\n- deeper notch")
    (['higher window'], ['deeper notch'])
    """
    sides: dict[str, list[str]] = {"+": [], "-": []}
    for line in filter(None, map(str.strip, text.split("\n"))):
        if line[0] not in sides:
            raise InputError(f"For and against: {line[:40]!r} says neither; begin the line with + or with -.")
        sides[line[0]].append(line[1:].strip())
    return sides["+"], sides["-"]


def date(sitting: Sitting) -> str:
    """The date, as typed."""
    return str(sitting.memory.get("date", ""))


def reasons(sitting: Sitting) -> str:
    """The reasons for the choice, as typed; else what speaks for the chosen option."""
    return str(sitting.memory.get("reasons", "\n".join(votes_in(votes(sitting))[0])))


def open_points(sitting: Sitting) -> str:
    """The open points, as typed; else what the chosen option misses and asks, and what is always open."""
    if "open" in sitting.memory:
        return str(sitting.memory["open"])
    result: OptionResult = sitting.result_of(choice_of(sitting))
    names: Sequence[str] = (*finding_names(result, "misses"), *finding_names(result, "ask"))
    return "\n".join([*(f"{name.capitalize()}: {WHO.get(name, 'engineer')}" for name in names), ALWAYS_OPEN][:LINES])


def pairs(text: str) -> list[tuple[str, str]]:
    """The open points with who answers each, a line each.  InputError where nobody does.

    >>> pairs("Beam over the door: engineer")
    [('Beam over the door', 'engineer')]
    """
    points = []
    for line in text.split("\n"):
        point, _, who = line.rpartition(":")
        if line.strip() and not (point.strip() and who.strip()):
            start = line.strip()[:60]
            such = f"{start[:20]}: engineer"
            raise InputError(f"Open point {start!r}: say who answers it after a colon, as in {such!r}.")
        if line.strip():
            points.append((point.strip(), who.strip()))
    return points
