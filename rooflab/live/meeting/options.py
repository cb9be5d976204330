"""The first three steps at the table: the client's numbers, one thing changed, options side by side."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape
from typing import Any

from rooflab.base.findings import Finding
from rooflab.base.inputs import pair
from rooflab.base.measure import InputError
from rooflab.draw.layout import fit
from rooflab.draw.scene import svg, width
from rooflab.draw.views.options import option_sections
from rooflab.draw.views.section import section
from rooflab.job.option import FEWEST, Option, OptionResult
from rooflab.job.table import Change, ComparisonRow, before_after, finding_names, proposals, table_of
from rooflab.live.widgets.rows import options_html

from .controls import (
    Spec,
    button_spec,
    choice_spec,
    input_label,
    name_for_change,
    names_in_list,
    number_spec,
    option_at,
    option_text,
    place,
    typed_values,
    words_spec,
)
from .view import TRIAL, MeetingPage, Sitting

TYPE = 22.0  # text height in every picture, px at 1280 x 720: 16 pt is 21.3
FRAME = (1262.0, 448.0)  # of a picture under one row of controls and over a note, px at 1280 x 720
TALL = (1262.0, 508.0)  # of one without a note
FIRST, SECOND = ("span", "pitch", "lumber", "bearing"), ("seat", "ceiling_pitch", "overhang")
CHANGES = (
    "seat", "lumber", "pitch", "ceiling_pitch", "overhang", "plate_height", "span", "bearing", "heel", "chord", "ridge",
    "window_width", "room_length",
)  # fmt: skip
WIDE, LINE, CELL = 1240.0, 26.4, 5.0  # a table's width, line height and the room around a cell's text, px
NOTE_LINES, BOLDER = 2, 20.0  # lines of a note, and what its bold words take more than others, px


def section_svg(result: OptionResult, frame: tuple[float, float] = FRAME) -> str:
    """The section of an option, both bays in one picture, as SVG."""
    return svg(fit(section(result.rafters, result.scissor, result.seam), *frame, TYPE), *frame)


def verdicts_html(result: OptionResult, before: str = "") -> str:
    """The names of what an option misses and asks, and why as far as a note of two lines has room after ``before``."""
    parts = [(verdict, finding_names(result, verdict)) for verdict in ("misses", "ask")]
    sentences = [f"{word.capitalize()}: {', '.join(names)}." for word, names in parts if names]
    if not sentences:
        return "All usual limits looked at are met. Engineer, building official and manufacturer decide."
    bold = [f"<b>{one.partition(':')[0]}:</b>{escape(one.partition(':')[2])}" for one in sentences]
    for verdict, names in parts:
        whys = (one.sentence for one in result.findings if one.verdict == verdict and spoken(one) in names)
        for why in dict.fromkeys(whys):
            if _lines(unbroken(" ".join([before, *sentences, why])), WIDE - BOLDER) <= NOTE_LINES:
                sentences.append(why)
                bold.append(escape(unbroken(why)))
    return " ".join(bold)


def unbroken(text: str) -> str:
    """A text in which no line ends between inches and their fraction: 7 7/16 never reads 7."""
    return re.sub(r"(\d) (?=\d+/\d)", "\\1\u00a0", text)


def spoken(finding: Finding) -> str:
    """A finding's name as it is listed."""
    return finding.name.removesuffix("_right").replace("_", " ")


# --- step 1 ----------------------------------------------------------------------------------------------------------


class Numbers(MeetingPage):
    """Some of the client's numbers, over the section that they make."""

    step = 0

    def __init__(self, name: str, inputs: Sequence[str]) -> None:
        self.name, self.inputs = name, inputs

    def controls(self, sitting: Sitting) -> list[Spec]:
        return [number_spec(name, sitting.client) for name in self.inputs]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        before, values = sitting.client, typed_values(name, text)
        option, also = _drawable(sitting, before.with_(**values), name)
        sitting.client = sitting.now = option
        sitting.memory.pop("from", None)  # changes start from these now
        return f"{input_label(name)}: {option_text(name, option)}. {also}{sitting.result_of().seam.sentence}"

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        return ""

    def sentence(self, sitting: Sitting) -> str:
        return f"{sitting.house.title}. Type the numbers as you hear them; Enter goes on to the next."

    def house(self, sitting: Sitting) -> str:
        return sitting.label_of(sitting.client)

    def picture(self, sitting: Sitting) -> str:
        return section_svg(sitting.result_of(sitting.client))

    def note(self, sitting: Sitting) -> str:
        return verdicts_html(sitting.result_of(sitting.client))


def _drawable(sitting: Sitting, change: Option, name: str) -> tuple[Option, str]:
    """An option that can be drawn and a sentence: where ``change`` cannot be, another of its numbers gives way."""
    tries: list[tuple[dict[str, Any], str]] = [({}, "")]
    wide, steep = change.values["bearing"], change.values["pitch"]
    if name == "bearing":
        tries.append(({"seat": wide}, "The seat was longer than the plate: it is the whole plate now. "))
    if name in ("pitch", "span"):
        half = tuple(one // 2 for one in pair(steep))
        tries.append(({"ceiling_pitch": half}, "The ceiling was too steep for it: half of the roof's pitch now. "))
    first: InputError | None = None
    for more, note in tries:
        try:
            option = change.with_(**more)
            sitting.result_of(option)
        except InputError as error:
            first = first or error
        else:
            return option, note
    assert first is not None
    raise InputError([problem.removeprefix(f"{change.name}: ") for problem in first.problems])


def from_option(sitting: Sitting) -> Option:
    """The option that a change starts from: the client's, or the one that is chosen."""
    option: Option = sitting.memory.get("from") or sitting.client
    return option


def take(sitting: Sitting, base: Option, name: str, text: str) -> str:
    """A sentence on one value of ``base`` changed to ``text``; the option so changed is the present one then."""
    option, also = _drawable(sitting, base.with_(**typed_values(name, text)), name)
    sitting.now = option
    count = len(before_after(sitting.result_of(base), sitting.result_of()))
    change = f"{input_label(name)} {option_text(name, base)} becomes {option_text(name, option)}"
    return f"{change}: {also}{count or 'no'} {'reading changes' if count == 1 else 'readings change'}."


def keep_and_say(sitting: Sitting, name: str) -> str:
    """A sentence on the present option, kept under a name; the meeting goes back to what it started from."""
    base = from_option(sitting)
    answer = sitting.keep(sitting.now.with_(name=name))
    sitting.now = base
    return f"{answer} Back to {base.name}: change another thing, or go on."


# --- step 2 ----------------------------------------------------------------------------------------------------------


class OneThing(MeetingPage):
    """One thing changed, before and after in words, and kept under a name."""

    step, name = 1, "change"

    def _what(self, sitting: Sitting) -> str:
        return str(sitting.memory.get("change", CHANGES[0]))

    def _name_to_keep(self, sitting: Sitting) -> str:
        if sitting.now == from_option(sitting):
            return sitting.now.name
        return str(sitting.memory.get("name") or name_for_change(self._what(sitting), sitting.now))

    def controls(self, sitting: Sitting) -> list[Spec]:
        what = self._what(sitting)
        return [
            choice_spec("change", "Change", [input_label(name) for name in CHANGES], input_label(what)),
            number_spec(what, sitting.now, sitting.result_of().rafters.left.heel, "New value", "to"),
            words_spec("name", "Save as", self._name_to_keep(sitting), enter="keep"),
            button_spec("keep", "Save"),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        base = from_option(sitting)
        if name == "name":
            if not text.strip():
                raise InputError("Name: at least one letter is needed.")
            base.with_(name=text)
            sitting.memory["name"] = text
            return f"It will be saved as {' '.join(text.split())}."
        sitting.memory.pop("name", None)
        if name == "change":
            sitting.memory["change"] = CHANGES[place("Change", text, [input_label(one) for one in CHANGES])]
            sitting.now = base
            return f"{input_label(self._what(sitting))} is {option_text(self._what(sitting), base)}. What shall it be?"
        return take(sitting, base, self._what(sitting), text)

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        answer = keep_and_say(sitting, self._name_to_keep(sitting))
        sitting.memory.pop("name", None)
        sitting.point("change")
        return answer

    def sentence(self, sitting: Sitting) -> str:
        return f"From {from_option(sitting).name}: keep it as it is, or change one thing and see what it does."

    def house(self, sitting: Sitting) -> str:
        base, now = (sitting.label_of(one) for one in (from_option(sitting), sitting.now))
        return now if sitting.now == from_option(sitting) else f"Before: {base}. After: {now}"

    def picture(self, sitting: Sitting) -> str:
        old, new = sitting.result_of(from_option(sitting)), sitting.result_of()
        changes = before_after(old, new)
        return changes_table(changes) if changes else section_svg(new)

    def note(self, sitting: Sitting) -> str:
        proposal = proposals(sitting.result_of(from_option(sitting)), sitting.result_of())
        rows = ("For", proposal.pros), ("Against", proposal.cons)
        parts = [f"<b>{word}:</b> {escape(', '.join(row))}." for word, row in rows if row]
        return " ".join(parts) or verdicts_html(sitting.result_of())


def changes_table(
    changes: Sequence[Change], tall: float = FRAME[1], names: tuple[str, str] = ("before", "after")
) -> str:
    """An HTML table of before and after, a line a reading; what finds no room in ``tall`` px is counted."""
    lines, left = [], tall - 2 * (LINE + CELL)
    wide = (0.3 * WIDE, 0.35 * WIDE, 0.35 * WIDE)
    for i, change in enumerate(changes):
        one = change._replace(before=unbroken(change.before), after=unbroken(change.after))
        texts = (one.label, one.before, one.after)
        count = max(_lines(text, w, text is one.after) for text, w in zip(texts, wide, strict=True))
        left -= count * LINE + CELL
        if left < 0:
            lines.append(f'<tr><td colspan="3">and {len(changes) - i} more: keep it, and see step 3.</td></tr>')
            break
        lines.append(
            f"<tr><td>{escape(one.label)}</td><td>{escape(one.before)}</td><td><b>{escape(one.after)}</b></td></tr>"
        )
    head = f"<tr><th style='width: 30%'>Reading</th><th>{escape(names[0])}</th><th>{escape(names[1])}</th></tr>"
    return f"<table>{head}{''.join(lines)}</table>"


def _lines(text: str, wide: float, bold: bool = False) -> int:
    """How many lines a text takes in a cell."""
    count, filled = 1, 0.0
    for word in text.split(" "):
        wants = width(word, TYPE, bold)
        if filled and filled + wants > wide - 12:
            count, filled = count + 1, 0.0
        filled += wants + width(" ", TYPE, bold)
    return count


# --- step 3 ----------------------------------------------------------------------------------------------------------


class SideBySide(MeetingPage):
    """The options kept as small sections at one scale, then one table: as many rows at a time as the page holds."""

    step, name = 2, "side by side"

    def __init__(self) -> None:
        self._page_memory: tuple[list[Option], list[tuple[str, Sequence[ComparisonRow]]]] = [], []
        self._scale = SCALES[0]  # of the sections shown last

    @staticmethod
    def seen(sitting: Sitting) -> list[Option]:
        """The options kept; while they are too few, the present one too."""
        options = list(sitting.options)
        if len(options) < FEWEST and all(sitting.now.value_pairs != one.value_pairs for one in options):
            label = sitting.label_of(sitting.now)
            options.append(sitting.now.with_(name=TRIAL) if label == TRIAL else sitting.now)
        return options

    def _pages(self, sitting: Sitting) -> list[tuple[str, Sequence[ComparisonRow]]]:
        """What can be shown: the sections, and the table in parts, each with its name."""
        options = self.seen(sitting)
        if self._page_memory[0] != options:
            self._page_memory = options, parts_of(names_in_list(options), table_of(sitting.results_of(options)))
        return self._page_memory[1]

    def _at(self, sitting: Sitting, pages: Sequence[object]) -> int:
        return min(int(sitting.memory.get("show", 0)), len(pages) - 1)

    @staticmethod
    def _own(sitting: Sitting) -> tuple[Option, str]:
        """The chosen option, and what it has of its own: the first input in which it differs from the client's.

        It stays the same while the option is moved, also through the client's number.
        """
        option = sitting.options[sitting.choice] if sitting.options else sitting.now
        number, name = sitting.memory.get("own", (-1, ""))
        if number != sitting.choice or not sitting.options:
            own = [one for one in CHANGES if option.values.get(one) != sitting.client.values.get(one)]
            name = own[0] if own else CHANGES[0]
        return option, name

    def controls(self, sitting: Sitting) -> list[Spec]:
        pages = self._pages(sitting)
        names = names_in_list(sitting.options) or ["none saved yet"]
        option, own = self._own(sitting)
        off = not sitting.options or option.name == sitting.client.name
        label = f"Its {input_label(own).lower()}{', set in step 1' * bool(off and sitting.options)}"
        return [
            choice_spec("show", "Show", [name for name, _ in pages], pages[self._at(sitting, pages)][0]),
            choice_spec("option", "Option", names, names[sitting.choice]),
            number_spec(own, option, sitting.result_of(option).rafters.left.heel, label, "own")
            | {"off": off, "of": f"{own} of {option.name}"},
            button_spec("away", "Remove", not sitting.options, of=option.name),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "show":
            sitting.memory["show"] = place("Show", text, [name for name, _ in self._pages(sitting)])
            return ""
        if not sitting.options:
            raise InputError("No option is saved yet: save one in step 2.")
        if name == "option":
            sitting.choose(option_at("Option", text, sitting.options))
            return f"{text} is chosen: changes, maps and answers start from it now."
        option, own = self._own(sitting)
        if option.name == sitting.client.name:
            raise InputError(f"{option.name}: the builder's numbers are changed in step 1.")
        new, also = _drawable(sitting, option.with_(**typed_values(own, text)), own)
        if option.name == name_for_change(own, option):
            new = new.with_(name=name_for_change(own, new))
        others = [one.name for one in sitting.options if one is not option]
        if new.name in others:
            raise InputError(f"Option {new.name}: there is one of that name already.")
        sitting.options[sitting.choice] = new
        sitting.choose(sitting.choice)
        sitting.memory["own"] = sitting.choice, own
        return f"{input_label(own)} {option_text(own, option)} becomes {option_text(own, new)}. {also}"

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        if not sitting.options:
            raise InputError("No option is saved yet: save one in step 2.")
        option = sitting.options.pop(sitting.choice)
        for name in ("from", "own"):
            sitting.memory.pop(name, None)
        sitting.now, sitting.memory["option"] = sitting.client, 0
        return f"{option.name} is removed; changes start from the builder's numbers."

    def sentence(self, sitting: Sitting) -> str:
        count = len(sitting.options)
        if count < FEWEST:
            return f"{count or 'No'} option saved yet: save {FEWEST} or more in step 2, to see them side by side here."
        return f"{count} options at one scale; in the table the best and the worst of a row are named."

    def house(self, sitting: Sitting) -> str:
        more = [sitting.label_of(one) for one in self.seen(sitting)[len(sitting.options) :]]
        return " and ".join(["Kept options, each by its name"] * bool(sitting.options) + more)

    def picture(self, sitting: Sitting) -> str:
        options = self.seen(sitting)
        results, pages = sitting.results_of(options), self._pages(sitting)
        _, rows = pages[self._at(sitting, pages)]
        if rows:
            return options_table(names_in_list(options), rows)
        layout = option_sections(results, *TALL, TYPE, [one for one in SCALES if one <= 1.3 * self._scale])
        if layout.scale > 1.15 * self._scale:  # much smaller than before: look at all scales
            layout = option_sections(results, *TALL, TYPE, SCALES)
        self._scale = layout.scale
        return svg(layout, *TALL)


SCALES = tuple(0.05 * n for n in range(60, 2, -1))  # px an inch that small sections may have


def parts_of(names: Sequence[str], rows: Sequence[ComparisonRow]) -> list[tuple[str, Sequence[ComparisonRow]]]:
    """The table of options in parts that each fit the page, with their names."""
    wide = column(len(names))
    room = TALL[1] - CELL - LINE * max(_lines(name, wide, True) for name in names)
    parts: list[list[ComparisonRow]] = [[]]
    left = room
    for row in rows:
        tall = row_lines(row, wide) * LINE + CELL
        if parts[-1] and tall > left:
            parts.append([])
            left = room
        parts[-1].append(row)
        left -= tall
    return [("sections", ()), *((f"table, {n} of {len(parts)}", part) for n, part in enumerate(parts, 1))]


LABELS_WIDE = 240.0  # of the table's first column, px


def column(count: int) -> float:
    """Width of an option's column, px."""
    return (WIDE - LABELS_WIDE) / max(count, 3)


def row_lines(row: ComparisonRow, wide: float) -> int:
    """The number of lines that a row of the table takes: its longest text, and a word under it."""
    cells = enumerate(zip(row.texts, row.words, strict=True))
    texts = [_lines(unbroken(text), wide, i in row.best) + bool(word) for i, (text, word) in cells]
    return max(_lines(row.label, LABELS_WIDE, True), *texts)


def options_table(names: Sequence[str], rows: Sequence[ComparisonRow]) -> str:
    """An HTML table of options; the best and the worst of a row by word, and the best in bold too."""
    unbroken_rows = [row._replace(texts=tuple(map(unbroken, row.texts))) for row in rows]
    wide = LABELS_WIDE + len(names) * column(len(names))
    corner = f'<th style="width: {100 * LABELS_WIDE / wide:.2f}%">Reading</th>'
    lines = options_html(names, unbroken_rows, corner, ('<th scope="col">', '<th scope="row">'), "<br>{}")
    return f'<table style="width: {100 * wide / WIDE:.2f}%">{lines}</table>'
