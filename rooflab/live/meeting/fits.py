"""Steps four and five at the table: what fits, and asked backwards."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from rooflab.base.measure import InputError, feet_inches, inches
from rooflab.draw.layout import fit
from rooflab.draw.scene import svg
from rooflab.draw.views.maps import fit_map
from rooflab.job.backwards import WishAnswer, WishAnswers, ask_backwards
from rooflab.job.maps import STATES, Map, map_of
from rooflab.job.option import LONGEST_NAME, Option, OptionResult
from rooflab.job.wishes import Wish, wish
from rooflab.live.widgets.rows import grid_table

from .controls import button, choice, label_of, number, text_of, words
from .options import TALL, TYPE, from_option, keep_and_say, take, verdicts
from .view import MeetingPage, Sitting

# --- step 4 ----------------------------------------------------------------------------------------------------------


class Grid(MeetingPage):
    """Heel and notch for every seat and rafter: that decides most talks."""

    step, name = 3, "grid"

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        name = f"{text_of('lumber', sitting.now)}, seat {text_of('seat', sitting.now)}"
        return [
            number("lumber", sitting.now),
            number("seat", sitting.now),
            words("name", "Keep it under the name", str(sitting.asked.get("grid name", name)), enter="keep"),
            button("keep", "Keep it"),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "name":
            sitting.asked["grid name"] = text
            return f"It will be kept as {text}."
        sitting.asked.pop("grid name", None)
        return take(sitting, sitting.now, name, text)

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        said = keep_and_say(sitting, self.controls(sitting)[2]["text"])
        sitting.asked.pop("grid name", None)
        sitting.point("lumber")
        return said

    def sentence(self, sitting: Sitting) -> str:
        return f"{from_option(sitting).name}: heel, and how deep the notch is, for each rafter and seat."

    def picture(self, sitting: Sitting) -> str:
        return grid_table(sitting.solved())

    def note(self, sitting: Sitting) -> str:
        legend = "Per cent: notch of the depth. [ ] stands now; ask, misses: as on the map, point at a cell for what."
        return f"{legend} {verdicts(sitting.solved(), legend)}"


MAPPED = ("seat", "pitch", "ceiling_pitch", "overhang", "span", "plate_height")
LINES = {  # readings whose lines a map can carry
    "Notch": "rafter.notch_ratio",
    "Overall height": "scissor.height",
    "Window head": "room.window_head",
    "Room volume": "room.volume",
    "R at the plate": "rafter.r_outside",
    "Ceiling rise": "scissor.ceiling_rise",
}


class Mapped(MeetingPage):
    """A map over two inputs: where all findings meet, lines of a reading, the present state, the heel that is met."""

    step, name = 3, "map"

    def _axes(self, sitting: Sitting) -> tuple[str, str]:
        return str(sitting.asked.get("across", "seat")), str(sitting.asked.get("up", "pitch"))

    def _heel(self, sitting: Sitting) -> str:
        return str(sitting.asked.get("map heel") or feet_inches(sitting.solved().scissor.left.heel))

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        across, up = self._axes(sitting)
        labels = [label_of(name) for name in MAPPED]
        return [
            choice("across", "Across", labels, label_of(across)),
            choice("up", "Up", labels, label_of(up)),
            choice("lines", "Lines of", list(LINES), str(sitting.asked.get("lines", "Notch"))),
            words("map heel", "Truss heel to be met", self._heel(sitting)),
        ]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        if name == "map heel":
            inches(text, "Truss heel")
            sitting.asked[name] = text.strip()
        elif name == "lines":
            sitting.asked[name] = text if text in LINES else "Notch"
        else:
            found = next((one for one in MAPPED if label_of(one) == text), MAPPED[0])
            axes = dict(zip(("across", "up"), self._axes(sitting), strict=True))
            other = "up" if name == "across" else "across"
            if axes[other] == found:  # they change places
                axes[other] = axes[name]
            axes[name] = found
            sitting.asked.update(axes)
        return ""

    def sentence(self, sitting: Sitting) -> str:
        across, up = self._axes(sitting)
        state = STATES[self.made(sitting).spots[0].state]
        return f"{label_of(across)} across, {label_of(up).lower()} up. {from_option(sitting).name}: {state}."

    def made(self, sitting: Sitting) -> Map:
        across, up = self._axes(sitting)
        shown = {"now": sitting.solved()}
        reading = LINES[str(sitting.asked.get("lines", "Notch"))]
        heel = inches(sitting.asked["map heel"], "Truss heel") if sitting.asked.get("map heel") else None  # its own
        key = (across, up, reading, heel, sitting.now.value_pairs)
        memory = sitting.asked.get("map")
        if memory is None or memory[0] != key:
            options = {name: one.house for name, one in shown.items()}
            memory = sitting.asked["map"] = key, map_of(options["now"], across, up, reading, heel, options)
        found: Map = memory[1]
        return found

    def picture(self, sitting: Sitting) -> str:
        return svg(fit(fit_map(self.made(sitting), TALL, TYPE), *TALL, TYPE), *TALL)


# --- step 5 ----------------------------------------------------------------------------------------------------------

ASKED = {  # what can be asked for: label, reading, how, and what may move for it
    "heel": ("Truss heel is", "scissor.heel", "is", ("lumber", "seat")),
    "height": ("Overall height at most", "scissor.height", "at most", ("lumber", "seat", "pitch")),
    "window": ("Window head at least", "room.window_head", "at least", ("ceiling_pitch",)),
    "r": ("R at the plate at least", "rafter.r_outside", "at least", ("lumber", "seat")),
}
MOST = 4  # answers: one button each


def wishes(asked: Mapping[str, str]) -> list[Wish]:
    """What is asked for, by the names of ``ASKED``; empty texts are not."""
    return [wish(row[1], row[2], asked[name]) for name, row in ASKED.items() if asked.get(name, "").strip()]


def nearest(solved: OptionResult, asked: Mapping[str, str]) -> WishAnswers:
    """The nearest ways from an option that holds all its numbers to what is asked; only what helps may move."""
    moves = dict.fromkeys(move for name, row in ASKED.items() if asked.get(name, "").strip() for move in row[3])
    return ask_backwards(solved.house, wishes(asked), moves, MOST)


def typed(sitting: Sitting) -> dict[str, str]:
    """What is asked for at the table."""
    return {name: str(sitting.asked.get(f"ask {name}", "")) for name in ASKED}


class Asking(MeetingPage):
    """What must hold."""

    step, name = 4, "asking"

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        return [words(name, row[0], str(sitting.asked.get(f"ask {name}", ""))) for name, row in ASKED.items()]

    def set(self, sitting: Sitting, name: str, text: str) -> str:
        _, key, how, _ = ASKED[name]
        if text.strip():
            wish(key, how, text)
        sitting.asked[f"ask {name}"] = text.strip()
        return self.sentence(sitting)

    def sentence(self, sitting: Sitting) -> str:
        said = ", ".join(one.text for one in wishes(typed(sitting)))
        return f"Must hold: {said}." if said else "What must hold? Leave empty what may be as it likes."

    def picture(self, sitting: Sitting) -> str:
        made = sitting.solved()
        have = {
            "heel": feet_inches(made.scissor.left.heel), "height": feet_inches(made.scissor.height),
            "window": feet_inches(made.room.all["window_head"]), "r": f"R-{made.plates[0].values['r_outside']:.0f}",
        }  # fmt: skip
        asked = typed(sitting)
        rows = [
            (row[0], asked[name] or "not asked", have[name], ", ".join(label_of(one).lower() for one in row[3]))
            for name, row in ASKED.items()
        ]
        lines = "".join(
            f'<tr><th scope="row">{escape(what)}</th>{"".join(f"<td>{escape(text)}</td>" for text in texts)}</tr>'
            for what, *texts in rows
        )
        head = "".join(f'<th scope="col">{one}</th>' for one in ("What", "asked", "as it stands", "may move for it"))
        return f"<table><tr>{head}</tr>{lines}</table>"


def answers(sitting: Sitting) -> WishAnswers:
    """The nearest options that meet what is asked.  InputError where nothing is asked."""
    asked, option = typed(sitting), from_option(sitting)
    if not any(asked.values()):
        raise InputError("Nothing is asked yet: go back one page and say what must hold.")
    memory = sitting.asked.get("answers")
    if memory is None or memory[0] != (option.value_pairs, asked):
        memory = sitting.asked["answers"] = ((option.value_pairs, asked), nearest(sitting.solved(option), asked))
    found: WishAnswers = memory[1]
    return found


class Answered(MeetingPage):
    """Ranked answers, each with why; one press keeps it as an option."""

    step, name = 4, "answers"

    def there(self, sitting: Sitting) -> bool:
        return any(typed(sitting).values())

    def controls(self, sitting: Sitting) -> list[dict[str, Any]]:
        return []

    def press(self, sitting: Sitting, name: str, value: str) -> str:
        answer = answers(sitting).options[int(value)]
        option = from_option(sitting).with_(**answer.changes)
        return sitting.keep(option.with_(name=named(answer, option)))

    def sentence(self, sitting: Sitting) -> str:
        made = answers(sitting)
        said = ", ".join(one.text for one in made.wishes)
        return f"{said[0].upper()}{said[1:]}: {made.sentence}" if made.options else made.sentence

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


def named(answer: WishAnswer, option: Option) -> str:
    """The name proposed for an answer."""
    said = ", ".join(f"{label_of(name).lower()} {text_of(name, option)}" for name in answer.changes) or "as it stands"
    return f"{said[0].upper()}{said[1:]}"[:LONGEST_NAME]
