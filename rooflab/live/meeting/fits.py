"""Steps four and five at the table: what fits, and working backward from a target."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from rooflab.base.measure import InputError, feet_inches, inches
from rooflab.draw.layout import fit
from rooflab.draw.scene import svg
from rooflab.draw.views.maps import fit_map
from rooflab.job.backwards import WishAnswer, WishAnswers, ask_backwards
from rooflab.job.maps import STATES, Map, map_of
from rooflab.job.option import LONGEST_NAME, Option, OptionResult
from rooflab.job.wishes import Wish, wish
from rooflab.live.widgets.rows import grid_table

from .controls import Spec, button_spec, choice_spec, input_label, number_spec, option_text, place, words_spec
from .options import TALL, TYPE, from_option, keep_and_say, take, verdicts_html
from .view import TRIAL, MeetingPage, Sitting

# --- step 4 ----------------------------------------------------------------------------------------------------------


class GridPage(MeetingPage):
    """The page with heel and notch for every seat and rafter: that decides most talks."""

    step, name = 3, "grid"

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
            sitting.memory["grid name"] = text
            return f"It will be saved as {text}."
        sitting.memory.pop("grid name", None)
        return take(sitting, sitting.now, name, text)

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        answer = keep_and_say(sitting, self.controls(sitting)[2]["text"])
        sitting.memory.pop("grid name", None)
        sitting.point("lumber")
        return answer

    def sentence(self, sitting: Sitting) -> str:
        return f"{sitting.label_of(sitting.now)}: heel, and how deep the notch is, for each rafter and seat."

    def picture(self, sitting: Sitting) -> str:
        return grid_table(sitting.result_of())

    def note(self, sitting: Sitting) -> str:
        legend = "Percent: notch of the depth. [ ] stands now; ask, misses: as on the map, point at a cell for what."
        return f"{legend} {verdicts_html(sitting.result_of(), legend)}"


MAP_INPUTS = ("seat", "pitch", "ceiling_pitch", "overhang", "span", "plate_height")
LINES = {  # readings whose lines a map can carry
    "Notch": "rafter.notch_ratio",
    "Overall height": "scissor.height",
    "Window head": "room.window_head",
    "Room volume": "room.volume",
    "R at the plate": "rafter.r_outside",
    "Ceiling rise": "scissor.ceiling_rise",
}


class MapPage(MeetingPage):
    """The page with a map over two inputs: where all limits are met, lines of a reading, the present state."""

    step, name = 3, "map"

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
        return ""

    def sentence(self, sitting: Sitting) -> str:
        across, up = self._axes(sitting)
        state = STATES[self.map_now(sitting).spots[0].state]
        return f"{input_label(across)} across, {input_label(up).lower()} up. {sitting.label_of(sitting.now)}: {state}."

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

    def picture(self, sitting: Sitting) -> str:
        return svg(fit(fit_map(self.map_now(sitting), TALL, TYPE), *TALL, TYPE), *TALL)


# --- step 5 ----------------------------------------------------------------------------------------------------------

WISHES = {  # what can be asked for: label, reading, how, and what may move for it
    "heel": ("Truss heel is", "scissor.heel", "is", ("lumber", "seat")),
    "height": ("Overall height at most", "scissor.height", "at most", ("lumber", "seat", "pitch")),
    "window": ("Window head at least", "room.window_head", "at least", ("ceiling_pitch",)),
    "r": ("R at the plate at least", "rafter.r_outside", "at least", ("lumber", "seat")),
}
MOST = 4  # answers: one button each


def wishes(texts: Mapping[str, str]) -> list[Wish]:
    """The wishes of texts by the names of ``WISHES``; empty texts are none."""
    return [wish(row[1], row[2], texts[name]) for name, row in WISHES.items() if texts.get(name, "").strip()]


def nearest_ways(result: OptionResult, texts: Mapping[str, str]) -> WishAnswers:
    """The nearest ways from an option that holds all its numbers to what is asked; only what helps may move."""
    moves = dict.fromkeys(move for name, row in WISHES.items() if texts.get(name, "").strip() for move in row[3])
    return ask_backwards(result.house, wishes(texts), moves, MOST)


def wish_texts(sitting: Sitting) -> dict[str, str]:
    """The texts typed as wishes at the table, by the names of ``WISHES``."""
    return {name: str(sitting.memory.get(f"ask {name}", "")) for name in WISHES}


class WishPage(MeetingPage):
    """The page that asks what must hold."""

    step, name = 4, "asking"

    def controls(self, sitting: Sitting) -> list[Spec]:
        return [words_spec(name, row[0], str(sitting.memory.get(f"ask {name}", ""))) for name, row in WISHES.items()]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        _, key, how, _ = WISHES[name]
        if text.strip():
            wish(key, how, text)
        sitting.memory[f"ask {name}"] = text.strip()
        return self.sentence(sitting)

    def sentence(self, sitting: Sitting) -> str:
        text = ", ".join(one.text for one in wishes(wish_texts(sitting)))
        return f"Must hold: {text}." if text else "What must hold? Leave empty what may be as it likes."

    def house(self, sitting: Sitting) -> str:
        return start_of_answers(sitting)

    def picture(self, sitting: Sitting) -> str:
        result = sitting.result_of(from_option(sitting))
        have = {
            "heel": feet_inches(result.scissor.left.heel), "height": feet_inches(result.scissor.height),
            "window": feet_inches(result.room.all["window_head"]), "r": f"R-{result.plates[0].values['r_outside']:.0f}",
        }  # fmt: skip
        wanted = wish_texts(sitting)
        rows = [
            (row[0], wanted[name] or "not asked", have[name], ", ".join(input_label(one).lower() for one in row[3]))
            for name, row in WISHES.items()
        ]
        lines = "".join(
            f'<tr><th scope="row">{escape(what)}</th>{"".join(f"<td>{escape(text)}</td>" for text in texts)}</tr>'
            for what, *texts in rows
        )
        head = "".join(f'<th scope="col">{one}</th>' for one in ("What", "asked", "as it stands", "may move for it"))
        return f"<table><tr>{head}</tr>{lines}</table>"


def start_of_answers(sitting: Sitting) -> str:
    """Which house the answers start from; a trial that is not saved is no start."""
    base = from_option(sitting)
    left_out = sitting.now.value_pairs != base.value_pairs and sitting.label_of(sitting.now) == TRIAL
    return f"{sitting.label_of(base)}{'; the trial is left out' * left_out}"


def answers(sitting: Sitting) -> WishAnswers:
    """The nearest options that meet what is asked.  InputError where nothing is asked."""
    texts, option = wish_texts(sitting), from_option(sitting)
    if not any(texts.values()):
        raise InputError("Nothing is asked yet: go back one page and say what must hold.")
    memory, key = sitting.worked.get("answers"), (option.value_pairs, texts)
    if memory is None or memory[0] != key:
        memory = sitting.worked["answers"] = (key, nearest_ways(sitting.result_of(option), texts))
    answer: WishAnswers = memory[1]
    return answer


class AnswerPage(MeetingPage):
    """The page with the ranked answers, each with why; one press keeps it as an option."""

    step, name, buttons = 4, "answers", ("keep",)

    def there(self, sitting: Sitting) -> bool:
        return any(wish_texts(sitting).values())

    def controls(self, sitting: Sitting) -> list[Spec]:
        return []

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        ways = answers(sitting).options
        answer = ways[place("Answer", value, [str(i) for i in range(len(ways))])]
        option = from_option(sitting).with_(**answer.changes)
        return sitting.keep(option.with_(name=name_for_answer(answer, option)))

    def sentence(self, sitting: Sitting) -> str:
        answer = answers(sitting)
        text = ", ".join(one.text for one in answer.wishes)
        return f"{text[0].upper()}{text[1:]}: {answer.sentence}" if answer.options else answer.sentence

    def house(self, sitting: Sitting) -> str:
        return f"From: {start_of_answers(sitting)}"

    def picture(self, sitting: Sitting) -> str:
        lines = []
        for i, one in enumerate(answers(sitting).options):
            also = escape(one.also[0]) if one.also else ""
            more = f" And {len(one.also) - 1} more." if len(one.also) > 1 else ""
            press = f'<button type="button" class="rl-button" data-press="keep" data-value="{i}">Keep {i + 1}</button>'
            lines.append(f"<tr><td>{press}</td><td><b>{escape(one.why)}</b> {also}{more}</td></tr>")
        return f'<table><colgroup><col style="width: 9%"></colgroup>{"".join(lines)}</table>' if lines else ""

    def note(self, sitting: Sitting) -> str:
        return "Nearest first: fewest changes, then the smallest. Stock lumber, seats in sixteenths."


def name_for_answer(answer: WishAnswer, option: Option) -> str:
    """The name of an answer as an option: what changes, in words."""
    parts = (f"{input_label(name).lower()} {option_text(name, option)}" for name in answer.changes)
    text = ", ".join(parts) or "as it stands"
    return f"{text[0].upper()}{text[1:]}"[:LONGEST_NAME]
