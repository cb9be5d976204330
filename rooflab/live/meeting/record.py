"""The last step at the table: who was there, what was chosen and why, what is open; kept in the job file, printed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

from rooflab.base.measure import InputError
from rooflab.draw.sheets.agreement import agreement_sheet
from rooflab.job.agreement import agree, agreements_in
from rooflab.job.jobfile import Job
from rooflab.job.option import Option, OptionResult, adopt, with_options
from rooflab.job.table import before_after, finding_names, proposals
from rooflab.live.widgets.files import free

from .controls import button, choice, numbered, words
from .options import changes_table, drawn, verdicts
from .view import MeetingPage, Sitting

NONE_KEPT = "No option is kept yet: keep one in step 2, then agree on it here."
THERE = "builder; architect"
WHO = {  # who answers what is not met or is to be asked (common practice, no source)
    "end notch": "building official",
    "least heel": "truss designer",
    "soffit line": "architect",
    "over plate": "building official",
    "tail length": "engineer",
}
ALWAYS_OPEN = "Webs, reactions and uplift of the trusses: truss designer"
LINES = 5  # of the boxes for reasons


def chosen(sitting: Sitting) -> Option:
    """The option that is chosen.  InputError where none is kept."""
    if not sitting.options:
        raise InputError(NONE_KEPT)
    return sitting.options[sitting.chosen]


def split(text: str) -> list[str]:
    """Texts of lines, or of parts between semicolons."""
    return [part.strip() for line in text.split("\n") for part in line.split(";") if part.strip()]


class Who(MeetingPage):
    """Chosen option, who was there, the date, what the house is called."""

    step, name = 5, "agree"

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        names = numbered(sitting.options) or ["none kept yet"]
        return [
            choice("option", "Chosen option", names, names[sitting.chosen]),
            words("present", "Who was there, by role", present(sitting)),
            words("date", "Date, as you write it", str(sitting.asked.get("date", ""))),
            words("title", "The house", title(sitting)),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "option":
            names = numbered(sitting.options)
            sitting.choose(names.index(text) if text in names else 0)
            return f"Chosen: {text}."
        if name == "title":
            replace(sitting.house, title=text.strip() or sitting.house.title)  # or its sentence
        sitting.asked[name] = text
        return f"Noted: {text}."

    def sentence(self, sitting: Sitting) -> str:
        return "Which option is it, who was there, and what is the date?" if sitting.options else NONE_KEPT

    def picture(self, sitting: Sitting) -> str:
        return drawn(sitting.solved(sitting.options[sitting.chosen] if sitting.options else None))

    def note(self, sitting: Sitting) -> str:
        return verdicts(sitting.solved(sitting.options[sitting.chosen] if sitting.options else None))

    def leave(self, sitting: Sitting) -> str:
        chosen(sitting)
        if not str(sitting.asked.get("date", "")).strip():
            sitting.point("date")
            raise InputError("Date: it is missing; give it in words, as you write it.")
        return ""


class Why(MeetingPage):
    """What speaks for the chosen option, what against it, and why it was chosen: proposed, and edited by people."""

    step, name = 5, "why"

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        pros, cons = for_and_against(sitting)
        return [
            words("pros", "For it", pros, LINES),
            words("cons", "Against it", cons, LINES),
            words("reasons", "Why it was chosen", reasons(sitting), LINES, hint="Shift and Enter: a new line"),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        option = chosen(sitting)
        if name != "reasons":
            option.with_(**{name: text})  # or its sentences
        sitting.asked["reasons" if name == "reasons" else f"{name} {option.name}"] = text
        return "Noted."

    def sentence(self, sitting: Sitting) -> str:
        if not sitting.options:
            return NONE_KEPT
        other = f", against {held_against(sitting).name}" if held_against(sitting) != chosen(sitting) else ""
        return f"{chosen(sitting).name}{other}: proposed from the numbers; put it your way."

    def picture(self, sitting: Sitting) -> str:
        if not sitting.options:
            return ""
        changed = before_after(sitting.solved(held_against(sitting)), sitting.solved(chosen(sitting)))
        names = held_against(sitting).name, chosen(sitting).name
        return changes_table(changed, 300.0, names) if changed else "<p>No other option to hold it against.</p>"


class Open(MeetingPage):
    """What is open and who answers it; then everything is written down."""

    step, name, next = 5, "open", ""

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        return [
            words("open", "Open points, one a line; after a colon who answers it", open_points(sitting), LINES),
            button("write", "Write it down", not sitting.options),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        pairs(text)
        sitting.asked["open"] = text
        return f"{len(pairs(text))} open points noted."

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        pros, cons = for_and_against(sitting)
        option = sitting.options[sitting.chosen] = chosen(sitting).with_(pros=pros, cons=cons)
        house = with_options(replace(sitting.house, title=title(sitting)), sitting.options)
        try:
            house, also = adopt(option, house), f"The house has the numbers of {option.name} now."
        except InputError as error:
            also = f"The numbers of the house stay as they were: {' '.join(error.problems)}"
        made = agree(
            house, str(sitting.asked.get("date", "")), option.name, split(present(sitting)), split(reasons(sitting)),
            pairs(open_points(sitting)),
        )  # fmt: skip
        place = Path(sitting.path)
        if place.exists() and Job.load(place) != sitting.house:
            raise InputError(f"{place.name}: it has changed since this view was opened; run its cell again.")
        target = free(place.parent, f"{made.title} agreed", ".pdf")
        agreement_sheet(made, target)
        made.save(place)
        sitting.house = made
        sitting.asked["written"] = target.name
        return f"Written: {target.name}, and kept in {place.name}, beside this workbook. {also}"

    def sentence(self, sitting: Sitting) -> str:
        return "What is open, and who answers it? Then write it down." if sitting.options else NONE_KEPT

    def picture(self, sitting: Sitting) -> str:
        """What is or will be written, in a table."""
        if not sitting.options:
            return ""
        option = chosen(sitting)
        others = ", ".join(one.name for one in sitting.options if one is not option) or "none"
        rows = {
            "House": title(sitting),
            "Chosen": option.name,
            "Not chosen": others,
            "Who was there": ", ".join(split(present(sitting))),
            "Date": str(sitting.asked.get("date", "")) or "not given yet: two steps back",
            "Why": "; ".join(split(reasons(sitting))) or "no reason noted yet",
        }
        lines = "".join(f'<tr><th scope="row">{what}</th><td>{escape(text)}</td></tr>' for what, text in rows.items())
        return f'<table><colgroup><col style="width: 16%"></colgroup>{lines}</table>'

    def note(self, sitting: Sitting) -> str:
        written = sitting.asked.get("written", "")
        done = f"Last written: <b>{escape(written)}</b>. " if written else ""
        return f"{done}A new page each time, never over an old one. It records a talk; it approves nothing."


# --- what is proposed ------------------------------------------------------------------------------------------------


def present(sitting: Sitting) -> str:
    """Who was there, as typed; else as the last time; else two roles."""
    last = agreements_in(sitting.house)[-1:]
    return str(sitting.asked.get("present", "; ".join(last[0].present) if last else THERE))


def title(sitting: Sitting) -> str:
    """What the house is called, as typed; else as its job says."""
    return str(sitting.asked.get("title", "")).strip() or sitting.house.title


def held_against(sitting: Sitting) -> Option:
    """What the chosen option is held against: his numbers; these against the first other option."""
    option = chosen(sitting)
    return next((one for one in (sitting.his, *sitting.options) if one.value_pairs != option.value_pairs), option)


def for_and_against(sitting: Sitting) -> tuple[str, str]:
    """What speaks for the chosen option and against it, as typed; else proposed from the numbers."""
    if not sitting.options:
        return "", ""
    option = chosen(sitting)
    made = proposals(sitting.solved(held_against(sitting)), sitting.solved(option))
    pros, cons = (
        str(sitting.asked.get(f"{name} {option.name}", "\n".join(getattr(option, name) or getattr(made, name)[:LINES])))
        for name in ("pros", "cons")
    )
    return pros, cons


def reasons(sitting: Sitting) -> str:
    """Why, as typed; else what speaks for the chosen option."""
    return str(sitting.asked.get("reasons", for_and_against(sitting)[0]))


def open_points(sitting: Sitting) -> str:
    """Open points, as typed; else what the chosen option misses and asks, and what is always open."""
    if "open" in sitting.asked or not sitting.options:
        return str(sitting.asked.get("open", ""))
    made: OptionResult = sitting.solved(chosen(sitting))
    names: Sequence[str] = (*finding_names(made, "misses"), *finding_names(made, "ask"))
    return "\n".join([*(f"{name.capitalize()}: {WHO.get(name, 'engineer')}" for name in names), ALWAYS_OPEN][:LINES])


def pairs(text: str) -> list[tuple[str, str]]:
    """Open points and who answers, a line each.  InputError where nobody does.

    >>> pairs("Beam over the door: engineer")
    [('Beam over the door', 'engineer')]
    """
    made = []
    for line in text.split("\n"):
        point, _, who = line.rpartition(":")
        if line.strip() and not (point.strip() and who.strip()):
            said = line.strip()[:60]
            such = f"{said[:20]}: engineer"
            raise InputError(f"Open point {said!r}: say who answers it after a colon, as in {such!r}.")
        if line.strip():
            made.append((point.strip(), who.strip()))
    return made
