"""The first three steps at the table: his numbers, one thing changed, options side by side."""

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
from rooflab.draw.views.options import sections
from rooflab.draw.views.section import section
from rooflab.job.option import FEWEST, Option, OptionResult
from rooflab.job.table import Change, ComparisonRow, before_after, finding_names, proposals, table_of
from rooflab.live.widgets.rows import options_html

from .controls import button, choice, label_of, number, numbered, proposed, taken, text_of, words
from .view import MeetingPage, Sitting

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


def drawn(made: OptionResult, frame: tuple[float, float] = FRAME) -> str:
    """Both bays of an option in one section."""
    return svg(fit(section(made.rafters, made.scissor, made.seam), *frame, TYPE), *frame)


def verdicts(made: OptionResult, before: str = "") -> str:
    """What an option misses and asks, by name, and why as far as a note of two lines has room after ``before``."""
    parts = [(verdict, finding_names(made, verdict)) for verdict in ("misses", "ask")]
    said = [f"{word.capitalize()}: {', '.join(names)}." for word, names in parts if names]
    if not said:
        return "All usual limits looked at are met. Engineer, code official and manufacturer decide."
    bold = [f"<b>{one.partition(':')[0]}:</b>{escape(one.partition(':')[2])}" for one in said]
    for verdict, names in parts:
        whys = (one.sentence for one in made.findings if one.verdict == verdict and spoken(one) in names)
        for why in dict.fromkeys(whys):
            if _lines(held_together(" ".join([before, *said, why])), WIDE - BOLDER) <= NOTE_LINES:
                said.append(why)
                bold.append(escape(held_together(why)))
    return " ".join(bold)


def held_together(text: str) -> str:
    """A text in which no line ends between inches and their fraction: 7 7/16 never reads 7."""
    return re.sub(r"(\d) (?=\d+/\d)", "\\1\u00a0", text)


def spoken(finding: Finding) -> str:
    """A finding's name as it is listed."""
    return finding.name.removesuffix("_right").replace("_", " ")


# --- step 1 ----------------------------------------------------------------------------------------------------------


class Numbers(MeetingPage):
    """Some of his numbers, over the section that they make."""

    step = 0

    def __init__(self, name: str, inputs: Sequence[str]) -> None:
        self.name, self.inputs = name, inputs

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        return [number(name, sitting.his) for name in self.inputs]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        before, values = sitting.his, taken(name, text)
        made, also = _drawable(sitting, before.with_(**values), name)
        sitting.his = sitting.now = made
        sitting.asked.pop("from", None)  # changes start from these now
        return f"{label_of(name)}: {text_of(name, made)}. {also}{sitting.solved().seam.sentence}"

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        return ""

    def sentence(self, sitting: Sitting) -> str:
        return f"{sitting.house.title}. Type his numbers as he says them; Enter goes on to the next."

    def picture(self, sitting: Sitting) -> str:
        return drawn(sitting.solved(sitting.his))

    def note(self, sitting: Sitting) -> str:
        return verdicts(sitting.solved(sitting.his))


def _drawable(sitting: Sitting, made: Option, name: str) -> tuple[Option, str]:
    """A change of his numbers that can be drawn: what it forbids of the others gives way, and is said."""
    tries: list[tuple[dict[str, Any], str]] = [({}, "")]
    wide, steep = made.values["bearing"], made.values["pitch"]
    if name == "bearing":
        tries.append(({"seat": wide}, "The seat was longer than the plate: it is the whole plate now. "))
    if name in ("pitch", "span"):
        half = tuple(one // 2 for one in pair(steep))
        tries.append(({"ceiling_pitch": half}, "The ceiling was too steep for it: half of the roof's pitch now. "))
    first: InputError | None = None
    for more, said in tries:
        try:
            option = made.with_(**more)
            sitting.solved(option)
        except InputError as error:
            first = first or error
        else:
            return option, said
    assert first is not None
    raise InputError([problem.removeprefix(f"{made.name}: ") for problem in first.problems])


def from_option(sitting: Sitting) -> Option:
    """What a change starts from: his numbers, or the option that one goes on from."""
    found: Option = sitting.asked.get("from") or sitting.his
    return found


def take(sitting: Sitting, base: Option, name: str, text: str) -> str:
    """Change one value of ``base``: it is the present state then.  What to say."""
    made, also = _drawable(sitting, base.with_(**taken(name, text)), name)
    sitting.now = made
    count = len(before_after(sitting.solved(base), sitting.solved()))
    said = f"{label_of(name)} {text_of(name, base)} becomes {text_of(name, made)}"
    return f"{said}: {also}{count or 'no'} {'reading changes' if count == 1 else 'readings change'}."


def keep_and_say(sitting: Sitting, name: str) -> str:
    """Keep the present state under a name, and go back to what it started from.  What to say."""
    base = from_option(sitting)
    said = sitting.keep(sitting.now.with_(name=name))
    sitting.now = base
    return f"{said} Back to {base.name}: change another thing, or go on."


# --- step 2 ----------------------------------------------------------------------------------------------------------


class OneThing(MeetingPage):
    """One thing changed, before and after in words, and kept under a name."""

    step, name = 1, "change"

    def _what(self, sitting: Sitting) -> str:
        return str(sitting.asked.get("change", CHANGES[0]))

    def _named(self, sitting: Sitting) -> str:
        if sitting.now == from_option(sitting):
            return sitting.now.name
        return str(sitting.asked.get("name") or proposed(self._what(sitting), sitting.now))

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        what = self._what(sitting)
        return [
            choice("change", "Change", [label_of(name) for name in CHANGES], label_of(what)),
            number(what, sitting.now, sitting.solved().rafters.left.heel, "To", "to"),
            words("name", "Keep it under the name", self._named(sitting), enter="keep"),
            button("keep", "Keep it"),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        base = from_option(sitting)
        if name == "name":
            if not text.strip():
                raise InputError("Name: at least one letter is needed.")
            base.with_(name=text)
            sitting.asked["name"] = text
            return f"It will be kept as {' '.join(text.split())}."
        sitting.asked.pop("name", None)
        if name == "change":
            if text not in (labels := [label_of(one) for one in CHANGES]):
                raise InputError(f"Change: one of {', '.join(labels)}.")
            sitting.asked["change"] = CHANGES[labels.index(text)]
            sitting.now = base
            return f"{label_of(self._what(sitting))} is {text_of(self._what(sitting), base)}. What shall it be?"
        return take(sitting, base, self._what(sitting), text)

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        said = keep_and_say(sitting, self._named(sitting))
        sitting.asked.pop("name", None)
        sitting.point("change")
        return said

    def sentence(self, sitting: Sitting) -> str:
        return f"From {from_option(sitting).name}: keep it as it is, or change one thing and see what it does."

    def picture(self, sitting: Sitting) -> str:
        old, new = sitting.solved(from_option(sitting)), sitting.solved()
        changed = before_after(old, new)
        return changes_table(changed) if changed else drawn(new)

    def note(self, sitting: Sitting) -> str:
        made = proposals(sitting.solved(from_option(sitting)), sitting.solved())
        rows = ("For", made.pros), ("Against", made.cons)
        said = [f"<b>{word}:</b> {escape(', '.join(row))}." for word, row in rows if row]
        return " ".join(said) or verdicts(sitting.solved())


def changes_table(
    changed: Sequence[Change], tall: float = FRAME[1], names: tuple[str, str] = ("before", "after")
) -> str:
    """Before and after, a line a reading; what finds no room in ``tall`` px is counted."""
    lines, left = [], tall - 2 * (LINE + CELL)
    wide = (0.3 * WIDE, 0.35 * WIDE, 0.35 * WIDE)
    for i, change in enumerate(changed):
        one = change._replace(before=held_together(change.before), after=held_together(change.after))
        texts = (one.label, one.before, one.after)
        count = max(_lines(text, w, text is one.after) for text, w in zip(texts, wide, strict=True))
        left -= count * LINE + CELL
        if left < 0:
            lines.append(f'<tr><td colspan="3">and {len(changed) - i} more: keep it, and see step 3.</td></tr>')
            break
        lines.append(
            f"<tr><td>{escape(one.label)}</td><td>{escape(one.before)}</td><td><b>{escape(one.after)}</b></td></tr>"
        )
    head = f"<tr><th style='width: 30%'>Reading</th><th>{escape(names[0])}</th><th>{escape(names[1])}</th></tr>"
    return f"<table>{head}{''.join(lines)}</table>"


def _lines(text: str, wide: float, bold: bool = False) -> int:
    """How many lines a text takes in a cell."""
    count, used = 1, 0.0
    for word in text.split(" "):
        wants = width(word, TYPE, bold)
        if used and used + wants > wide - 12:
            count, used = count + 1, 0.0
        used += wants + width(" ", TYPE, bold)
    return count


# --- step 3 ----------------------------------------------------------------------------------------------------------


class SideBySide(MeetingPage):
    """The options kept as small sections at one scale, then one table: as many rows at a time as the page holds."""

    step, name = 2, "side by side"

    def __init__(self) -> None:
        self._paged: tuple[list[Option], list[tuple[str, Sequence[ComparisonRow]]]] = [], []
        self._scale = SCALES[0]  # of the sections shown last

    @staticmethod
    def seen(sitting: Sitting) -> list[Option]:
        """The options kept; while they are too few, the present state too."""
        kept = list(sitting.options)
        if len(kept) < FEWEST and all(sitting.now.value_pairs != one.value_pairs for one in kept):
            kept.append(sitting.now)
        return kept

    def _pages(self, sitting: Sitting) -> list[tuple[str, Sequence[ComparisonRow]]]:
        """What can be shown: the sections, and the table in parts, each with its name."""
        options = self.seen(sitting)
        if self._paged[0] != options:
            self._paged = options, parts_of(numbered(options), table_of(sitting.all_solved(options)))
        return self._paged[1]

    def _at(self, sitting: Sitting, pages: Sequence[Any]) -> int:
        return min(int(sitting.asked.get("show", 0)), len(pages) - 1)

    @staticmethod
    def _own(sitting: Sitting) -> tuple[Option, str]:
        """The chosen option, and what it has of its own: the first input in which it differs from his numbers.

        It stays the same while the option is moved, also through his number.
        """
        option = sitting.options[sitting.chosen] if sitting.options else sitting.now
        number, name = sitting.asked.get("own", (-1, ""))
        if number != sitting.chosen or not sitting.options:
            own = [one for one in CHANGES if option.values.get(one) != sitting.his.values.get(one)]
            name = own[0] if own else CHANGES[0]
        return option, name

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        pages = self._pages(sitting)
        names = numbered(sitting.options) or ["none kept yet"]
        option, own = self._own(sitting)
        off = not sitting.options or option.name == sitting.his.name
        label = f"Its {label_of(own).lower()}{', set in step 1' * bool(off and sitting.options)}"
        return [
            choice("show", "Show", [name for name, _ in pages], pages[self._at(sitting, pages)][0]),
            choice("option", "Option", names, names[sitting.chosen]),
            number(own, option, sitting.solved(option).rafters.left.heel, label, "own") | {"off": off},
            button("away", "Take it away", not sitting.options),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "show":
            names = [name for name, _ in self._pages(sitting)]
            sitting.asked["show"] = names.index(text) if text in names else 0
            return ""
        if not sitting.options:
            raise InputError("No option is kept yet: keep one in step 2.")
        if name == "option":
            names = numbered(sitting.options)
            sitting.choose(names.index(text) if text in names else 0)
            return f"{text} is chosen: changes, maps and answers start from it now."
        option, own = self._own(sitting)
        if option.name == sitting.his.name:
            raise InputError(f"{option.name}: his numbers are changed in step 1.")
        made, also = _drawable(sitting, option.with_(**taken(own, text)), own)
        if option.name == proposed(own, option):
            made = made.with_(name=proposed(own, made))
        others = [one.name for one in sitting.options if one is not option]
        if made.name in others:
            raise InputError(f"Option {made.name}: there is one of that name already.")
        sitting.options[sitting.chosen] = made
        sitting.choose(sitting.chosen)
        sitting.asked["own"] = sitting.chosen, own
        return f"{label_of(own)} {text_of(own, option)} becomes {text_of(own, made)}. {also}"

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        option = sitting.options.pop(sitting.chosen)
        for name in ("from", "own"):
            sitting.asked.pop(name, None)
        sitting.now, sitting.asked["option"] = sitting.his, 0
        return f"{option.name} is taken away; changes start from his numbers."

    def sentence(self, sitting: Sitting) -> str:
        count = len(sitting.options)
        if count < FEWEST:
            return f"{count or 'No'} option kept yet: keep {FEWEST} or more in step 2, to see them side by side here."
        return f"{count} options at one scale; in the table the best and the worst of a row are named."

    def picture(self, sitting: Sitting) -> str:
        options = self.seen(sitting)
        made, pages = sitting.all_solved(options), self._pages(sitting)
        _, rows = pages[self._at(sitting, pages)]
        if rows:
            return options_table(numbered(options), rows)
        placed = sections(made, *TALL, TYPE, [one for one in SCALES if one <= 1.3 * self._scale])
        if placed.scale > 1.15 * self._scale:  # much smaller than before: look at all scales
            placed = sections(made, *TALL, TYPE, SCALES)
        self._scale = placed.scale
        return svg(placed, *TALL)


SCALES = tuple(0.05 * n for n in range(60, 2, -1))  # px an inch that small sections may have


def parts_of(names: Sequence[str], rows: Sequence[ComparisonRow]) -> list[tuple[str, Sequence[ComparisonRow]]]:
    """The table in parts that each fit the page."""
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
    """Lines that a row of the table takes: its longest text, and a word under it."""
    cells = enumerate(zip(row.texts, row.words, strict=True))
    texts = [_lines(held_together(text), wide, i in row.best) + bool(word) for i, (text, word) in cells]
    return max(_lines(row.label, LABELS_WIDE, True), *texts)


def options_table(names: Sequence[str], rows: Sequence[ComparisonRow]) -> str:
    """Rows of the table of options; the best and the worst of a row by word, and the best in bold too."""
    held = [row._replace(texts=tuple(map(held_together, row.texts))) for row in rows]
    wide = LABELS_WIDE + len(names) * column(len(names))
    corner = f'<th style="width: {100 * LABELS_WIDE / wide:.2f}%">Reading</th>'
    lines = options_html(names, held, corner, ('<th scope="col">', '<th scope="row">'), "<br>{}")
    return f'<table style="width: {100 * wide / WIDE:.2f}%">{lines}</table>'
