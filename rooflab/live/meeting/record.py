"""The last step at the table: who was there, what was chosen and why, what is open; kept in the job file, printed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from html import escape
from pathlib import Path

from rooflab.base.measure import InputError
from rooflab.draw.sheets.agreement import agreement_page
from rooflab.draw.sheets.page import new_pages
from rooflab.job.agreement import agree, agreements_in
from rooflab.job.jobfile import Job
from rooflab.job.option import Option, OptionResult, adopt, options_in, with_options
from rooflab.job.table import before_after, finding_names, proposals
from rooflab.job.writing import Conflict, change
from rooflab.live.widgets.files import free_name
from rooflab.live.widgets.job_desk import CHOOSE

from .controls import Spec, button_spec, choice_spec, names_in_list, option_at, words_spec
from .options import changes_table, section_svg, verdicts_html
from .view import MeetingPage, Sitting

NO_OPTIONS = "No option is saved yet: save one in step 2, then agree on it here."
THERE = "builder; architect"
WHO = {  # who answers what is not met or is to be asked (common practice, no source)
    "end notch": "building official",
    "minimum heel": "truss designer",
    "soffit line": "architect",
    "over plate": "building official",
    "tail length": "engineer",
}
ALWAYS_OPEN = "Webs, reactions and uplift of the trusses: truss designer"
LINES = 5  # of the boxes for reasons


def choice_of(sitting: Sitting) -> Option:
    """The option that is chosen.  InputError where none is kept."""
    if not sitting.options:
        raise InputError(NO_OPTIONS)
    return sitting.options[sitting.choice]


def house_of_record(sitting: Sitting) -> str:
    """Which house the last step shows: the chosen option; while none is kept, the present one."""
    return sitting.label_of(choice_of(sitting) if sitting.options else sitting.now)


def split(text: str) -> list[str]:
    """The texts between semicolons and line ends."""
    return [part.strip() for line in text.split("\n") for part in line.split(";") if part.strip()]


class Who(MeetingPage):
    """Chosen option, who was there, the date, what the house is called."""

    step, name = 5, "agree"

    def controls(self, sitting: Sitting) -> list[Spec]:
        names = names_in_list(sitting.options) or ["none saved yet"]
        return [
            choice_spec("option", "Chosen option", names, names[sitting.choice]),
            words_spec("present", "Who was there, by role", present(sitting)),
            words_spec("date", "Date, as you write it", str(sitting.memory.get("date", ""))),
            words_spec("title", "The house", title(sitting)),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "option":
            choice_of(sitting)
            sitting.choose(option_at("Chosen option", text, sitting.options))
            return f"Chosen: {text}."
        if name == "title":
            replace(sitting.house, title=text.strip() or sitting.house.title)  # or its sentence
        sitting.memory[name] = text
        return f"Noted: {text}."

    def sentence(self, sitting: Sitting) -> str:
        return "Which option is it, who was there, and what is the date?" if sitting.options else NO_OPTIONS

    def house(self, sitting: Sitting) -> str:
        return house_of_record(sitting)

    def picture(self, sitting: Sitting) -> str:
        return section_svg(sitting.result_of(sitting.options[sitting.choice] if sitting.options else None))

    def note(self, sitting: Sitting) -> str:
        return verdicts_html(sitting.result_of(sitting.options[sitting.choice] if sitting.options else None))

    def leave(self, sitting: Sitting) -> str:
        choice_of(sitting)
        if not str(sitting.memory.get("date", "")).strip():
            sitting.point("date")
            raise InputError("Date: it is missing; give it in words, as you write it.")
        return ""


class Why(MeetingPage):
    """What speaks for the chosen option, what against it, and why it was chosen: proposed, and edited by people."""

    step, name = 5, "why"

    def controls(self, sitting: Sitting) -> list[Spec]:
        pros, cons = for_and_against(sitting)
        return [
            words_spec("pros", "For it", pros, LINES),
            words_spec("cons", "Against it", cons, LINES),
            words_spec("reasons", "Why it was chosen", reasons(sitting), LINES, hint="Shift and Enter: a new line"),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        option = choice_of(sitting)
        if name != "reasons":
            option.with_(**{name: text})  # or its sentences
        sitting.memory["reasons" if name == "reasons" else f"{name} {option.name}"] = text
        return "Noted."

    def sentence(self, sitting: Sitting) -> str:
        if not sitting.options:
            return NO_OPTIONS
        other = f", against {rival_of(sitting).name}" if rival_of(sitting) != choice_of(sitting) else ""
        return f"{choice_of(sitting).name}{other}: proposed from the numbers; put it your way."

    def house(self, sitting: Sitting) -> str:
        if not sitting.options:
            return house_of_record(sitting)
        return f"{sitting.label_of(rival_of(sitting))} beside {sitting.label_of(choice_of(sitting))}"

    def picture(self, sitting: Sitting) -> str:
        if not sitting.options:
            return ""
        changes = before_after(sitting.result_of(rival_of(sitting)), sitting.result_of(choice_of(sitting)))
        names = rival_of(sitting).name, choice_of(sitting).name
        return changes_table(changes, 300.0, names) if changes else "<p>No other option to hold it against.</p>"


class Open(MeetingPage):
    """What is open and who answers it; then everything is written down."""

    step, name, next = 5, "open", ""

    def controls(self, sitting: Sitting) -> list[Spec]:
        conflict = self._conflict(sitting)
        choose = [button_spec(name, label, of=conflict.place) for name, label in CHOOSE.items() if conflict]
        return [
            words_spec("open", "Open points, one a line; after a colon who answers it", open_points(sitting), LINES),
            button_spec("write", "Write it down", not sitting.options),
            *choose,
        ]

    def _conflict(self, sitting: Sitting) -> Conflict | None:
        """What the file and the table have both changed, and which holds is to be said next."""
        asked: Sequence[Conflict] = sitting.memory.get("asked", ())
        return asked[0] if asked else None

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        pairs(text)
        sitting.memory["open"] = text
        return f"{len(pairs(text))} open points noted."

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        choices: dict[Conflict, bool] = dict(sitting.memory.get("choices", {})) if name in CHOOSE else {}
        if name in CHOOSE and (conflict := self._conflict(sitting)):
            choices[conflict] = name == "mine"
        pros, cons = for_and_against(sitting)
        option = sitting.options[sitting.choice] = choice_of(sitting).with_(pros=pros, cons=cons)
        others = [one for one in options_in(sitting.house) if one.name not in sitting.known]  # which came by the file
        wanted = with_options(replace(sitting.house, title=title(sitting)), [*sitting.options, *others])
        try:
            wanted, also = adopt(option, wanted), f"The house has the numbers of {option.name} now."
        except InputError as error:
            also = f"The numbers of the house stay as they were: {' '.join(error.problems)}"
        place = Path(sitting.path)
        target = place

        def write(house: Job) -> Job:
            nonlocal target
            record = agree(
                house, str(sitting.memory.get("date", "")), option.name, split(present(sitting)),
                split(reasons(sitting)), pairs(open_points(sitting)),
                [one.name for one in sitting.options if one.name != option.name],
            )  # fmt: skip
            target = free_name(place.parent, f"{record.title} agreed", ".pdf")
            with new_pages((agreement_page(record),), (target,)):  # which go again where the record cannot be kept
                record.save(place)
            return record

        done = change(place, sitting.house, wanted, choices, write=write)
        sitting.memory |= {"asked": done.conflicts, "choices": choices if done.conflicts else {}}
        if done.job is None:
            return f"Not written yet. Changed in {place.name} meanwhile: {done.conflicts[0]} Which holds?"
        sitting.house = done.job
        sitting.memory["written"] = target.name
        return f"Written: {target.name}, and kept in {place.name}, beside this workbook. {also}"

    def sentence(self, sitting: Sitting) -> str:
        return "What is open, and who answers it? Then write it down." if sitting.options else NO_OPTIONS

    def house(self, sitting: Sitting) -> str:
        return house_of_record(sitting)

    def picture(self, sitting: Sitting) -> str:
        """What is or will be written, in a table."""
        if not sitting.options:
            return ""
        option = choice_of(sitting)
        others = ", ".join(one.name for one in sitting.options if one is not option) or "none"
        rows = {
            "House": title(sitting),
            "Chosen": option.name,
            "Not chosen": others,
            "Who was there": ", ".join(split(present(sitting))),
            "Date": str(sitting.memory.get("date", "")) or "not given yet: two steps back",
            "Why": "; ".join(split(reasons(sitting))) or "no reason noted yet",
        }
        lines = "".join(f'<tr><th scope="row">{what}</th><td>{escape(text)}</td></tr>' for what, text in rows.items())
        return f'<table><colgroup><col style="width: 16%"></colgroup>{lines}</table>'

    def note(self, sitting: Sitting) -> str:
        file = sitting.memory.get("written", "")
        last = f"Last written: <b>{escape(file)}</b>. " if file else ""
        return f"{last}A new page each time, never over an old one. It records a talk; it approves nothing."


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
    return next((one for one in (sitting.client, *sitting.options) if one.value_pairs != option.value_pairs), option)


def for_and_against(sitting: Sitting) -> tuple[str, str]:
    """The texts for the chosen option and against it, as typed; else proposed from the numbers."""
    if not sitting.options:
        return "", ""
    option = choice_of(sitting)
    proposal = proposals(sitting.result_of(rival_of(sitting)), sitting.result_of(option))
    pros, cons = option.pros or proposal.pros[:LINES], option.cons or proposal.cons[:LINES]
    return (
        str(sitting.memory.get(f"pros {option.name}", "\n".join(pros))),
        str(sitting.memory.get(f"cons {option.name}", "\n".join(cons))),
    )


def reasons(sitting: Sitting) -> str:
    """The reasons for the choice, as typed; else what speaks for the chosen option."""
    return str(sitting.memory.get("reasons", for_and_against(sitting)[0]))


def open_points(sitting: Sitting) -> str:
    """The open points, as typed; else what the chosen option misses and asks, and what is always open."""
    if "open" in sitting.memory or not sitting.options:
        return str(sitting.memory.get("open", ""))
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
