"""The first three steps at the table: the client's numbers, one thing changed, options side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from rooflab.base.inputs import pair
from rooflab.base.measure import InputError
from rooflab.draw.scene import Layout
from rooflab.draw.views.options import option_sections, small_sections
from rooflab.job.option import FEWEST, Option, OptionResult
from rooflab.job.table import ComparisonRow, before_after, table_of, votes_of
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
from .drawing import (
    BODY,
    CELL,
    LINE,
    TYPE,
    Numbers,
    PageDrawing,
    Part,
    numbers_and_limits,
    text_lines,
    unbroken,
    what_a_change_does,
)
from .share import page_layout
from .view import TRIAL, MeetingPage, Sitting, from_option

FIRST, SECOND = ("span", "pitch", "lumber", "bearing"), ("seat", "ceiling_pitch", "overhang")
CHANGES = (
    "seat", "lumber", "pitch", "ceiling_pitch", "overhang", "plate_height", "span", "bearing", "heel", "chord", "ridge",
    "window_width", "room_length",
)  # fmt: skip
WIDE, TALL = BODY
STRIP = 92.0  # height of the small sections over a table, px


# --- step 1 ----------------------------------------------------------------------------------------------------------


class BuilderNumbers(MeetingPage):
    """Some of the client's numbers, over the section that they make."""

    step = 0

    def __init__(self, name: str, inputs: Sequence[str]) -> None:
        self.name, self.inputs = name, inputs

    def controls(self, sitting: Sitting) -> list[Spec]:
        return [number_spec(name, sitting.client) for name in self.inputs]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        before, values = sitting.client, typed_values(name, text)
        option, also = _drawable(sitting, before.with_(**values), name)
        if option.value_pairs != before.value_pairs:
            sitting.memory["was"] = before
        sitting.options[0] = sitting.now = option
        sitting.choose(0)  # changes start from these now
        return f"{input_label(name)}: {option_text(name, option)}. {also}{sitting.result_of().seam.sentence}"

    def takes(self, sitting: Sitting, key: str) -> bool:
        return key in self.inputs and sitting.page.step == self.step

    def now_and_before(self, sitting: Sitting) -> tuple[OptionResult, OptionResult | None]:
        was = sitting.memory.get("was")
        return sitting.result_of(sitting.client), sitting.result_of(was) if was else None

    def parts(self, sitting: Sitting) -> list[Part]:
        return numbers_and_limits(*self.now_and_before(sitting))

    def sentence(self, sitting: Sitting) -> str:
        return f"{sitting.house.title}. Type the numbers as you hear them; Enter goes on to the next."

    def house(self, sitting: Sitting) -> str:
        return sitting.label_of(sitting.client)


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


def take(sitting: Sitting, base: Option, name: str, text: str) -> str:
    """A sentence on one value of ``base`` changed to ``text``; the option so changed is the present one then."""
    option, also = _drawable(sitting, base.with_(**typed_values(name, text)), name)
    sitting.now = option
    count = len(before_after(sitting.result_of(base), sitting.result_of()))
    change = f"{input_label(name)} {option_text(name, base)} becomes {option_text(name, option)}"
    return f"{change}: {also}{count or 'no'} {'reading changes' if count == 1 else 'readings change'}."


def take_together(sitting: Sitting, texts: Mapping[str, str]) -> str:
    """A sentence on some values of the present option changed at once: a cell of a grid, a point of a map."""
    values = {key: value for name, text in texts.items() for key, value in typed_values(name, text).items()}
    option = sitting.now.with_(**values)
    sitting.result_of(option)  # or its sentences
    sitting.now = option
    taken = ", ".join(f"{input_label(name).lower()} {option_text(name, option)}" for name in texts)
    base = from_option(sitting)
    count = len(before_after(sitting.result_of(base), sitting.result_of()))
    change = f"{count or 'no'} {'reading changes' if count == 1 else 'readings change'}"
    return f"Taken: {taken}. From {base.name}, {change}."


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
        if sitting.now.value_pairs == from_option(sitting).value_pairs:
            return from_option(sitting).name
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

    def takes(self, sitting: Sitting, key: str) -> bool:
        return key in CHANGES and key != "heel"

    def take(self, sitting: Sitting, key: str) -> str:
        if key != self._what(sitting):
            sitting.memory["change"], sitting.now = key, from_option(sitting)
            sitting.memory.pop("name", None)
        return "to"

    def sentence(self, sitting: Sitting) -> str:
        return f"From {from_option(sitting).name}: change one thing and see what it does, here or on the drawing."

    def house(self, sitting: Sitting) -> str:
        base, now = (sitting.label_of(one) for one in (from_option(sitting), sitting.now))
        return now if sitting.now == from_option(sitting) else f"Before: {base}. After: {now}"

    def now_and_before(self, sitting: Sitting) -> tuple[OptionResult, OptionResult | None]:
        base = from_option(sitting)
        changed = sitting.now.value_pairs != base.value_pairs
        return sitting.result_of(), sitting.result_of(base) if changed else None

    def parts(self, sitting: Sitting) -> list[Part]:
        now, before = self.now_and_before(sitting)
        return what_a_change_does(now, before) if before else numbers_and_limits(now, None)


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
            self._page_memory = options, parts_of(names_in_list(options), table_rows(sitting.results_of(options)))
        return self._page_memory[1]

    def _at(self, sitting: Sitting, pages: Sequence[object]) -> int:
        return min(int(sitting.memory.get("show", 0)), len(pages) - 1)

    @staticmethod
    def _own(sitting: Sitting) -> tuple[Option, str]:
        """The chosen option, and what it has of its own: the first input in which it differs from the client's.

        It stays the same while the option is moved, also through the client's number.
        """
        option = sitting.options[sitting.choice]
        number, name = sitting.memory.get("own", (-1, ""))
        if number != sitting.choice:
            own = [one for one in CHANGES if option.values.get(one) != sitting.client.values.get(one)]
            name = own[0] if own else CHANGES[0]
        return option, name

    def controls(self, sitting: Sitting) -> list[Spec]:
        pages = self._pages(sitting)
        names = names_in_list(sitting.options)
        option, own = self._own(sitting)
        off = sitting.choice == 0
        label = f"Its {input_label(own).lower()}{', set in step 1' * off}"
        return [
            choice_spec("show", "Show", [name for name, _ in pages], pages[self._at(sitting, pages)][0]),
            choice_spec("option", "Option", names, names[sitting.choice]),
            number_spec(own, option, sitting.result_of(option).rafters.left.heel, label, "own")
            | {"off": off, "of": f"{own} of {option.name}"},
            button_spec("away", "Remove", off, of=option.name),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "show":
            sitting.memory["show"] = place("Show", text, [name for name, _ in self._pages(sitting)])
            return f"{text[0].upper()}{text[1:]} of {len(self.seen(sitting))}."
        if name == "option":
            sitting.choose(option_at("Option", text, sitting.options))
            return f"{text} is chosen: changes, maps and answers start from it now."
        option, own = self._own(sitting)
        if sitting.choice == 0:
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
        if sitting.choice == 0:
            raise InputError(f"{sitting.client.name}: the builder's house stays among the options.")
        option = sitting.options.pop(sitting.choice)
        sitting.memory.pop("own", None)
        sitting.choose(0)
        return f"{option.name} is removed; changes start from the builder's numbers."

    def sentence(self, sitting: Sitting) -> str:
        count = len(sitting.options)
        if count < FEWEST:
            return "The builder's house alone is kept yet: save another option in step 2, to see both side by side."
        return f"{count} options at one scale; in the table the best and the worst of a row are named."

    def house(self, sitting: Sitting) -> str:
        more = [sitting.label_of(one) for one in self.seen(sitting)[len(sitting.options) :]]
        return " and ".join(["Kept options, each by its name", *more])

    def drawing(self, sitting: Sitting) -> PageDrawing:
        results, pages = sitting.results_of(self.seen(sitting)), self._pages(sitting)
        if pages[self._at(sitting, pages)][1]:
            return PageDrawing(strip_of(results), (WIDE, STRIP), (0.0, 0.0))
        layout = option_sections(results, *BODY, TYPE, [one for one in SCALES if one <= 1.3 * self._scale])
        if layout.scale > 1.15 * self._scale:  # much smaller than before: look at all scales
            layout = option_sections(results, *BODY, TYPE, SCALES)
        self._scale = layout.scale
        return PageDrawing(layout, BODY)

    def beside(self, sitting: Sitting) -> str:
        options, pages = self.seen(sitting), self._pages(sitting)
        _, rows = pages[self._at(sitting, pages)]
        return options_table(names_in_list(options), rows) if rows else ""

    def parts(self, sitting: Sitting) -> list[Part]:
        options = self.seen(sitting)
        rows = table_rows(sitting.results_of(options))
        texts = (
            (
                row.label,
                *(f"{text} ({word})" if word else text for text, word in zip(row.texts, row.words, strict=True)),
            )
            for row in rows
        )
        return [Numbers(("", *names_in_list(options)), tuple(texts))]

    def paper(self, sitting: Sitting) -> tuple[Layout, ...]:
        results = sitting.results_of(self.seen(sitting))

        def lay_out(wide: float, tall: float, size: float) -> tuple[Layout, str, None]:
            return option_sections(results, wide, tall, size), "not to scale", None

        return page_layout(sitting.house, self.heading(sitting), self.parts(sitting), lay_out, under=True)


SCALES = tuple(0.05 * n for n in range(60, 2, -1))  # px an inch that small sections may have


def table_rows(results: Sequence[OptionResult]) -> list[ComparisonRow]:
    """The table of options, and what speaks for each and against it beside the first one."""
    return [*table_of(results), *(votes_of(results) if len(results) >= FEWEST else ())]


def strip_of(results: Sequence[OptionResult]) -> Layout:
    """The sections of options without texts, each over its column of the table."""
    wide = column(len(results))
    small = small_sections(results, wide, STRIP, TYPE)
    low = max(one.height - one.origin[1] for one in small)  # below the plates, which stand on one line
    there = [one.shift(LABELS_WIDE + i * wide, STRIP - low - one.origin[1]) for i, one in enumerate(small)]
    return replace(
        small[0], title="Options side by side, at one scale", description=" ".join(one.description for one in small),
        width=WIDE, height=STRIP, shapes=tuple(shape for one in there for shape in one.shapes),
        strokes=tuple(stroke for one in there for stroke in one.strokes),
    )  # fmt: skip


def parts_of(names: Sequence[str], rows: Sequence[ComparisonRow]) -> list[tuple[str, Sequence[ComparisonRow]]]:
    """The table of options in parts that each fit the page under the small sections, with their names."""
    wide = column(len(names))
    room = TALL - STRIP - CELL - LINE * max(text_lines(name, wide, True) for name in names)
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
    texts = [text_lines(unbroken(text), wide, i in row.best) + bool(word) for i, (text, word) in cells]
    return max(text_lines(row.label, LABELS_WIDE, True), *texts)


def options_table(names: Sequence[str], rows: Sequence[ComparisonRow]) -> str:
    """An HTML table of options; the best and the worst of a row by word, and the best in bold too."""
    unbroken_rows = [row._replace(texts=tuple(map(unbroken, row.texts))) for row in rows]
    wide = LABELS_WIDE + len(names) * column(len(names))
    corner = f'<th style="width: {100 * LABELS_WIDE / wide:.2f}%">Reading</th>'
    lines = options_html(names, unbroken_rows, corner, ('<th scope="col">', '<th scope="row">'), "<br>{}")
    return f'<table style="width: {100 * wide / WIDE:.2f}%">{lines}</table>'
