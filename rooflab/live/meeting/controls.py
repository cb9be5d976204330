"""Controls of the view for the table: what each shows of an option, and how a typed text becomes a value of one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from rooflab.base.inputs import INPUTS, pair
from rooflab.base.lumber import CHORDS, RAFTERS, RIDGES, dressed_size
from rooflab.base.measure import InputError, feet_inches
from rooflab.house.room import ROOM_INPUTS
from rooflab.job.jobfile import FOLLOWS
from rooflab.job.option import Option
from rooflab.job.values import LABELS, PITCHES, box_text, stock, value_text
from rooflab.live.widgets.controls import Control, Spec, house_control, range_control
from rooflab.live.widgets.controls import choice_control as one_of

SHORT = 40  # letters of a text that is said again


def of_room(name: str, label: str, low: float, high: float) -> Control:
    """The control of an input of the room, a row of ``ROOM_INPUTS``."""
    return range_control(ROOM_INPUTS[name], low, high)._replace(label=label)


CONTROLS = {
    control.name: control
    for control in (  # a slider over the usual range; the rest can be typed
        house_control("span", "Span, out to out", 192, 480),
        house_control("pitch", "Roof pitch", 3, 14),
        house_control("ceiling_pitch", "Ceiling pitch", 0, 10),
        house_control("overhang", "Overhang", 0, 36),
        house_control("bearing", "Plate (bearing)", 3.5, 9.25),
        house_control("seat", "Seat", 1.5, 7.25),
        house_control("heel", "Truss heel", 4, 24)._replace(word=FOLLOWS),
        house_control("plate_height", "Plate above floor", 84, 132),
        one_of("lumber", "Rafter", RAFTERS, "2x10"),
        one_of("chord", "Top chord", CHORDS, "2x4"),
        one_of("ridge", "Ridge board", RIDGES, "2x12"),
        of_room("window_width", "Gable window, width", 24, 144),
        of_room("room_length", ROOM_INPUTS["room_length"].label, 96, 480),
    )
}


def input_label(name: str) -> str:
    """The label of an input of an option, such as "Roof pitch"."""
    return CONTROLS[name].label if name in CONTROLS else LABELS[name]


def option_text(name: str, option: Option) -> str:
    """An input of an option as a box shows it: exact to sixteenths, else in decimals; both ends where they differ."""
    value = option.values.get("depth") if name == "lumber" and "lumber" not in option.values else option.values[name]
    return box_text("depth" if name == "lumber" and "lumber" not in option.values else name, value)


def typed_values(name: str, text: str) -> dict[str, Any]:
    """The inputs of an option, by name, from a typed text: two ends with "and" between them, a rafter may be a depth.

    >>> typed_values("pitch", "8 in 12 and 6 in 12"), typed_values("lumber", "11 7/8")
    ({'pitch': ('8 in 12', '6 in 12')}, {'depth': '11 7/8'})
    """
    parts = [_usual(name, part.strip()) for part in re.split(r"\band\b|;", text, maxsplit=2)]
    if not any(parts):
        raise InputError(f"{input_label(name)}: nothing is typed; give a value such as {_such(name)}.")
    if name == "lumber" and "depth" in stock(parts[0]):
        return {"depth": text.strip()}
    if name == "heel" and text.strip().lower().startswith("as "):
        return {"heel": "as rafters"}
    return {name: parts[0] if len(parts) == 1 else tuple(parts)}


def _usual(name: str, text: str) -> str:
    """A text as it is read elsewhere: a size as "2x10", the plate of a stud wall by its width, "on 12" as "in 12".

    >>> _usual("lumber", "2 by 10"), _usual("bearing", "2 x 6"), _usual("pitch", "9 on 12")
    ('2x10', '5 1/2"', '9 in 12')
    """
    size = re.fullmatch(r"(\d+)\s*(?:[x×]|by)\s*(\d+)", text.lower())
    if size and CONTROLS[name].choices:
        return f"{size[1]}x{size[2]}"
    if size and name == "bearing":
        stock = f"{size[1]}x{size[2]}"
        return feet_inches(dressed_size(stock)[1]) if stock in CHORDS + RAFTERS else text
    return re.sub(r"\bon\b", "in", text) if name in PITCHES else text.replace("×", "x")


def _such(name: str) -> str:
    if CONTROLS[name].choices:
        return CONTROLS[name].start
    return CONTROLS[name].word or value_text(name, (ROOM_INPUTS.get(name) or INPUTS[name]).default)


def number_spec(name: str, option: Option, heel: float = 0.0, label: str = "", key: str = "") -> Spec:
    """The spec of a control for an input of an option; ``heel`` is where the slider of one that follows stands, in."""
    control, value = CONTROLS[name], option.values.get(name)
    spec = control._replace(name=key or name, label=label or control.label).spec()
    spec |= {"kind": "number", "text": option_text(name, option), "bad": False, "of": name}
    if control.choices:
        return spec | {"number": control.choices.index(value) if value in control.choices else None}
    stands = heel if value is None or isinstance(value, str) else pair(value)[0]
    high = control.high
    if name == "seat":
        high = min(high, pair(option.values["bearing"])[0])
    if name == "ceiling_pitch":
        high = min(high, max(pair(option.values["pitch"])[0] - 0.5, 0.5))
    return spec | {"low": min(control.low, stands), "high": max(high, stands), "number": stands}


def words_spec(name: str, label: str, text: str, rows: int = 1, enter: str = "", hint: str = "") -> Spec:
    """The spec of a box for words: one line, or several; ``enter`` is the button that Enter presses there."""
    spec: Spec = {"kind": "lines" if rows > 1 else "text", "name": name, "label": label, "text": text, "bad": False}
    return spec | {"rows": rows, "enter": enter, "hint": hint}


def choice_spec(name: str, label: str, choices: Sequence[str], text: str) -> Spec:
    """The spec of a control that steps through words."""
    return {"kind": "choice", "name": name, "label": label, "choices": list(choices), "text": text, "bad": False}


def button_spec(name: str, label: str, off: bool = False, value: str = "", of: str = "") -> Spec:
    """The spec of a button; ``value`` is sent when it is pressed, ``of`` is what it acts on."""
    spec: Spec = {"kind": "button", "name": name, "label": label, "off": off, "value": value, "text": "", "bad": False}
    return spec | {"of": of}


def names_in_list(options: Sequence[Option]) -> list[str]:
    """The names of options with their numbers: "1 As the builder has it"."""
    return [f"{number} {option.name}" for number, option in enumerate(options, 1)]


def place(label: str, text: str, names: Sequence[str]) -> int:
    """The place of a text among names, from 0.  InputError where it is none of them."""
    if text not in names:
        raise InputError(f"{label}: {text[:SHORT]} is not one of {', '.join(names)}.")
    return names.index(text)


def option_at(label: str, text: str, options: Sequence[Option]) -> int:
    """The place of an option named in a list, with its number or without.  InputError where it is not there."""
    names = [one.name for one in options]
    return names.index(text) if text in names else place(label, text, names_in_list(options))


def name_for_change(name: str, option: Option) -> str:
    """The name of an option with one thing changed, such as 'Seat 5 1/2"', at most 40 characters."""
    label = {"span": "Span", "bearing": "Plate", "plate_height": "Plate at", "window_width": "Window"}.get(name)
    return f"{label or input_label(name)} {option_text(name, option)}"[:40]
