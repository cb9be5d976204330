"""Steps four and five at the table: what fits, and working backward from a target."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape

from rooflab.base.measure import InputError, feet_inches, inches
from rooflab.draw.layout import fit
from rooflab.draw.scene import Layout, Point, svg
from rooflab.draw.views.maps import fit_map, place_on_map
from rooflab.house.readings import reading_of
from rooflab.job.backwards import WishAnswer, WishAnswers, ask_backwards
from rooflab.job.maps import STATES, Map, map_of
from rooflab.job.option import LONGEST_NAME, Option, OptionResult
from rooflab.job.wishes import UNLIKE, Wish, reading_label, wish, wish_value_text
from rooflab.live.widgets.controls import nearest_step
from rooflab.live.widgets.rows import grid_html, grid_of

from .controls import (
    CONTROLS,
    Spec,
    button_spec,
    choice_spec,
    input_label,
    number_spec,
    option_text,
    place,
    words_spec,
)
from .drawing import BODY, GAP, TYPE, Numbers, Part, Remarks, limits_in_words, parts_html
from .options import OneThing, keep_and_say, take, take_together
from .share import Fitting, page_layout
from .view import TRIAL, MeetingPage, Sitting, from_option

FIELD = (690.0, BODY[1])  # of a grid, a map, or answers, px
HOUSE_BESIDE = (BODY[0] - GAP - FIELD[0], BODY[1])  # of the house next to it
SEATS = 4  # columns of the grid


class FitsPage(OneThing):
    """A page of what fits: the house over what it started from, beside a field in which another one is taken."""

    frame = HOUSE_BESIDE

    def takes(self, sitting: Sitting, key: str) -> bool:
        return False


# --- step 4 ----------------------------------------------------------------------------------------------------------


class GridPage(FitsPage):
    """The page with heel and notch for every seat and rafter: that decides most talks."""

    step, name, buttons = 3, "grid", ("cell",)

    def controls(self, sitting: Sitting) -> list[Spec]:
        name = f"{option_text('lumber', sitting.now)}, seat {option_text('seat', sitting.now)}"
        return [
            number_spec("lumber", sitting.now),
            number_spec("seat", sitting.now),
            words_spec("name", "Save as", str(sitting.memory.get("grid name", name)), enter="keep"),
            button_spec("keep", "Save"),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "name":
            sitting.now.with_(name=text)  # or its sentence
            sitting.memory["grid name"] = text
            return f"It will be saved as {text}."
        sitting.memory.pop("grid name", None)
        return take(sitting, sitting.now, name, text)

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        if name == "cell":
            sitting.memory.pop("grid name", None)
            texts = dict(pair.partition("=")[::2] for pair in value.split("|"))
            if set(texts) != {"seat", "lumber"}:
                raise InputError(f"Grid: {value[:40]} is none of its cells.")
            return take_together(sitting, texts)
        answer = keep_and_say(sitting, self.controls(sitting)[2]["text"])
        sitting.memory.pop("grid name", None)
        sitting.point("lumber")
        return answer

    def sentence(self, sitting: Sitting) -> str:
        return f"{sitting.label_of(sitting.now)}: heel and notch for each rafter and seat. Press a cell to take it."

    def beside(self, sitting: Sitting) -> str:
        grid = grid_html(grid_of(sitting.result_of(), SEATS), can_try=True)
        return f"{grid}{parts_html([LEGEND, limits_in_words(sitting.result_of())], FIELD[0], 110.0)}"

    def parts(self, sitting: Sitting) -> list[Part]:
        grid = grid_of(sitting.result_of(), SEATS)
        rows = (
            (size, *(f"{cell.heel}, {cell.notch} {cell.word}" if cell.heel else "no heel" for cell in row))
            for size, row in zip(grid.sizes, grid.rows, strict=True)
        )
        head = ("Rafter / seat", *(feet_inches(seat) for seat in grid.seats))
        return [Numbers(head, tuple(rows)), *super().parts(sitting)]

    def paper(self, sitting: Sitting) -> tuple[Layout, ...]:
        parts, drawing = self.parts(sitting), self.drawing_on_paper(sitting)
        return page_layout(sitting.house, self.heading(sitting), parts, drawing, under=True)


LEGEND = Remarks("Percent", ("notch of the depth", "[ ] is drawn"))
MAP_INPUTS = ("seat", "pitch", "ceiling_pitch", "overhang", "span", "plate_height")
LINES = {  # readings whose lines a map can carry
    "Notch": "rafter.notch_ratio",
    "Overall height": "scissor.height",
    "Window head": "room.window_head",
    "Room volume": "room.volume",
    "R at the plate": "rafter.r_outside",
    "Ceiling rise": "scissor.ceiling_rise",
}


class MapPage(FitsPage):
    """The page with a map over two inputs: where all limits are met, lines of a reading, the present state."""

    step, name, buttons = 3, "map", ("point",)

    def _axes(self, sitting: Sitting) -> tuple[str, str]:
        return str(sitting.memory.get("across", "seat")), str(sitting.memory.get("up", "pitch"))

    def _heel(self, sitting: Sitting) -> str:
        return str(sitting.memory.get("map heel") or feet_inches(sitting.result_of().scissor.left.heel))

    def controls(self, sitting: Sitting) -> list[Spec]:
        across, up = self._axes(sitting)
        labels = [input_label(name) for name in MAP_INPUTS]
        return [
            choice_spec("across", "Across", labels, input_label(across)),
            choice_spec("up", "Up", labels, input_label(up)),
            choice_spec("lines", "Lines of", list(LINES), str(sitting.memory.get("lines", "Notch"))),
            words_spec("map heel", "Truss heel to be met", self._heel(sitting)),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "map heel":
            inches(text, "Truss heel")
            sitting.memory[name] = text.strip()
            return f"The thick dashes are where the rafters' heel is {text.strip()} now."
        elif name == "lines":
            sitting.memory[name] = [*LINES][place("Lines of", text, [*LINES])]
        else:
            labels = [input_label(one) for one in MAP_INPUTS]
            axis = MAP_INPUTS[place(name.capitalize(), text, labels)]
            axes = dict(zip(("across", "up"), self._axes(sitting), strict=True))
            other = "up" if name == "across" else "across"
            if axes[other] == axis:  # they change places
                axes[other] = axes[name]
            axes[name] = axis
            sitting.memory.update(axes)
        return self.sentence(sitting)

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        """A point of the map, "x,y" in px of its frame: the house there is the trial."""
        found = re.fullmatch(r"(\d{1,4}(?:\.\d+)?),(\d{1,4}(?:\.\d+)?)", value)
        layout, corner = self._placed(sitting)
        at = found and place_on_map(
            self.map_now(sitting), FIELD, TYPE,
            ((float(found[1]) - corner[0] - layout.origin[0]) / layout.scale,
             (corner[1] + layout.origin[1] - float(found[2])) / layout.scale),
        )  # fmt: skip
        if not at:
            return "That is beside the field: press a point of it, and the house there is drawn."
        axes = {name: CONTROLS[name] for name in self._axes(sitting)}
        texts = {name: one.show(nearest_step(one, v)) for (name, one), v in zip(axes.items(), at, strict=True)}
        return take_together(sitting, texts)

    def sentence(self, sitting: Sitting) -> str:
        across, up = self._axes(sitting)
        axes = f"{input_label(across)} across, {input_label(up).lower()} up"
        state = STATES[self.map_now(sitting).spots[0].state]
        return f"{axes}. {sitting.label_of(sitting.now)}: {state}. Press a point to take it."

    def map_now(self, sitting: Sitting) -> Map:
        """The map that is asked for; worked again only when something changes."""
        across, up = self._axes(sitting)
        house, label = sitting.result_of().house, sitting.label_of(sitting.now)
        reading = LINES[str(sitting.memory.get("lines", "Notch"))]
        heel = inches(sitting.memory["map heel"], "Truss heel") if sitting.memory.get("map heel") else None  # its own
        key = (across, up, reading, heel, sitting.now.value_pairs, label)
        memory = sitting.worked.get("map")
        if memory is None or memory[0] != key:
            memory = sitting.worked["map"] = key, map_of(house, across, up, reading, heel, {label: house})
        map_: Map = memory[1]
        return map_

    def _placed(self, sitting: Sitting) -> tuple[Layout, Point]:
        """The map in its field, and where its upper left corner stands there, px."""
        layout = fit(fit_map(self.map_now(sitting), FIELD, TYPE), *FIELD, TYPE)
        return layout, ((FIELD[0] - layout.width) / 2, (FIELD[1] - layout.height) / 2)

    def beside(self, sitting: Sitting) -> str:
        layout, corner = self._placed(sitting)
        return f'<div class="rl-field" data-point="point">{svg(layout, *FIELD, corner)}</div>'

    def drawing_on_paper(self, sitting: Sitting) -> Fitting:
        made = self.map_now(sitting)

        def lay_out(wide: float, tall: float, size: float) -> tuple[Layout, str, None]:
            return fit(fit_map(made, (wide, tall), size), wide, tall, size), "no scale", None

        return lay_out


# --- step 5 ----------------------------------------------------------------------------------------------------------

WishRows = Mapping[str, tuple[str, str, str, tuple[str, ...]]]
WISHES: WishRows = {  # what can be asked for: label, reading, how, and what may move for it
    "heel": ("Truss heel is", "scissor.heel", "is", ("lumber", "seat")),
    "height": ("Overall height at most", "scissor.height", "at most", ("lumber", "seat", "pitch")),
    "window": ("Window head at least", "room.window_head", "at least", ("ceiling_pitch",)),
    "r": ("R at the plate at least", "rafter.r_outside", "at least", ("lumber", "seat")),
}
MOST = 4  # answers: one button each


def wishes(texts: Mapping[str, str], rows: WishRows = WISHES) -> list[Wish]:
    """The wishes of texts by the names of ``rows``; empty texts are none."""
    return [wish(row[1], row[2], texts[name]) for name, row in rows.items() if texts.get(name, "").strip()]


def nearest_ways(result: OptionResult, texts: Mapping[str, str], rows: WishRows = WISHES) -> WishAnswers:
    """The nearest ways from an option that holds all its numbers to what is asked; only what helps may move."""
    moves = dict.fromkeys(move for name, row in rows.items() if texts.get(name, "").strip() for move in row[3])
    return ask_backwards(result.house, wishes(texts, rows), moves, MOST)


def wish_rows(sitting: Sitting) -> WishRows:
    """What can be asked for at the table: the usual readings, and in place of the last one that was pressed."""
    key = sitting.memory.get("wish")
    if not key:
        return WISHES
    label = reading_label(key)
    own = f"{label[0].upper()}{label[1:]} is", key, "is", ("lumber", "seat", "pitch", "ceiling_pitch")
    return {**{name: row for name, row in WISHES.items() if name != "r"}, "own": own}


def wish_texts(sitting: Sitting) -> dict[str, str]:
    """The texts typed as wishes at the table, by the names of ``wish_rows``."""
    return {name: str(sitting.memory.get(f"ask {name}", "")) for name in wish_rows(sitting)}


class WishPage(MeetingPage):
    """What must hold, and the nearest ways to it: each is seen on the house, and one press keeps it as an option."""

    step, name, buttons = 4, "target", ("keep", "see")
    frame = HOUSE_BESIDE

    def controls(self, sitting: Sitting) -> list[Spec]:
        texts = wish_texts(sitting)
        return [words_spec(name, row[0], texts[name]) for name, row in wish_rows(sitting).items()]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        _, key, how, _ = wish_rows(sitting)[name]
        if text.strip():
            wish(key, how, text)
        sitting.memory[f"ask {name}"] = text.strip()
        sitting.memory.pop("seen", None)
        return self.sentence(sitting)

    def takes(self, sitting: Sitting, key: str) -> bool:
        return "." in key and key not in UNLIKE

    def take(self, sitting: Sitting, key: str) -> str:
        name = next((name for name, row in WISHES.items() if row[1] == key), "own")
        if name == "own" and sitting.memory.get("wish") != key:
            sitting.memory |= {"wish": key, "ask own": ""}
        elif name == "r":
            sitting.memory.pop("wish", None)
        return name

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        if not (found := self._answers(sitting)):
            raise InputError("Nothing is asked yet: say what must hold.")
        number = place("Answer", value, [str(i) for i in range(len(found.options))])
        if name == "see":
            sitting.memory["seen"] = number
            return f"Drawn: way {number + 1}, over the house it starts from. {found.options[number].why}"
        return sitting.keep(self._option(sitting, found.options[number]))

    def _answers(self, sitting: Sitting) -> WishAnswers | None:
        """The nearest options that meet what is asked; None where nothing is asked."""
        texts, rows, option = wish_texts(sitting), wish_rows(sitting), from_option(sitting)
        if not any(texts.values()):
            return None
        memory, key = sitting.worked.get("answers"), (option.value_pairs, texts, tuple(rows))
        if memory is None or memory[0] != key:
            memory = sitting.worked["answers"] = (key, nearest_ways(sitting.result_of(option), texts, rows))
        found: WishAnswers = memory[1]
        return found

    def _option(self, sitting: Sitting, answer: WishAnswer) -> Option:
        option = from_option(sitting).with_(**answer.changes)
        return option.with_(name=name_for_answer(answer, option))

    def _seen(self, sitting: Sitting) -> WishAnswer | None:
        """The answer that is drawn."""
        found = self._answers(sitting)
        if found is None or not found.options:
            return None
        return found.options[min(int(sitting.memory.get("seen", 0)), len(found.options) - 1)]

    def sentence(self, sitting: Sitting) -> str:
        found = self._answers(sitting)
        if found is None:
            return "What must hold? Type it, or press a number on the drawing; the nearest ways to it come at once."
        if not found.options:
            return found.sentence
        text = ", ".join(one.text for one in found.wishes)
        return f"{text[0].upper()}{text[1:]}: {found.sentence}"

    def now_and_before(self, sitting: Sitting) -> tuple[OptionResult, OptionResult | None]:
        start, answer = sitting.result_of(from_option(sitting)), self._seen(sitting)
        if answer is None or not answer.changes:
            return start, None
        return sitting.result_of(self._option(sitting, answer)), start

    def house(self, sitting: Sitting) -> str:
        start, answer = start_of_answers(sitting), self._seen(sitting)
        if answer is None or not answer.changes:
            return start
        return f"Before: {start}. After: {sitting.label_of(self._option(sitting, answer))}"

    def beside(self, sitting: Sitting) -> str:
        found = self._answers(sitting)
        if found is None or not found.options:
            return parts_html(self.parts(sitting), FIELD[0])
        seen, lines = self._seen(sitting), []
        for i, one in enumerate(found.options):
            also = f" {escape(one.also[0])}" if one.also else ""
            more = f" And {len(one.also) - 1} more." if len(one.also) > 1 else ""
            keep = f'<button type="button" class="rl-button" data-press="keep" data-value="{i}">Keep {i + 1}</button>'
            see = (
                f'<button type="button" class="rl-see" data-press="see" data-value="{i}" '
                f'aria-pressed="{"true" if one is seen else "false"}">{escape(one.why)}</button>'
            )
            lines.append(f"<tr><td>{keep}</td><td>{see}{also}{more}</td></tr>")
        said = "<p>Nearest first: fewest changes, then the smallest; stock lumber, seats in sixteenths.</p>"
        ways = f'<table><colgroup><col style="width: 17%"></colgroup>{"".join(lines)}</table>{said}'
        return ways + parts_html(self.parts(sitting)[:1], FIELD[0])

    def parts(self, sitting: Sitting) -> list[Part]:
        result, texts = sitting.result_of(from_option(sitting)), wish_texts(sitting)
        made: list[Part] = []
        if (found := self._answers(sitting)) is not None:
            ways = tuple(f"{one.why} {' '.join(one.also)}".strip() for one in found.options)
            made.append(Remarks("Nearest ways", ways or (found.sentence,)))
        rows = [
            (row[0], texts[name] or "not asked", wish_value_text(row[1], reading_now(result, row[1])))
            for name, row in wish_rows(sitting).items()
        ]
        return [Numbers(("", "asked", "as it stands"), tuple(rows)), *made]


def reading_now(result: OptionResult, key: str) -> float:
    """A reading of an option by its key, such as "scissor.heel": at the left end where ends differ."""
    family, _, name = key.partition(".")
    if family == "room":
        return float(result.room.all[name])
    if name == "r_outside":
        return float(result.plates[0 if family == "rafter" else 1].values[name])
    return float(
        reading_of(family, name).of((result.rafters if family == "rafter" else result.scissor).symbols("left"))
    )


def start_of_answers(sitting: Sitting) -> str:
    """Which house the answers start from; a trial that is not saved is no start."""
    base = from_option(sitting)
    left_out = sitting.now.value_pairs != base.value_pairs and sitting.label_of(sitting.now) == TRIAL
    return f"{sitting.label_of(base)}{'; the trial is left out' * left_out}"


def name_for_answer(answer: WishAnswer, option: Option) -> str:
    """The name of an answer as an option: what changes, in words."""
    parts = (f"{input_label(name).lower()} {option_text(name, option)}" for name in answer.changes)
    text = ", ".join(parts) or "as it stands"
    return f"{text[0].upper()}{text[1:]}"[:LONGEST_NAME]
