"""Readings in print: their values and the working behind them, for the page, for paper and without a kernel."""

from __future__ import annotations

from html import escape

from rooflab.base.measure import InputError

from .base import Follower
from .panel import Panel

Lines = tuple[tuple[str, str, str, str], ...]


class Working(Follower):
    """Lines of reading, value, formula and the same with the numbers in; shows as a table that follows its panel."""

    _css = """div.rl-working.rl-working table { font-size: 14px; }
@media (max-width: 900px) { .rl-working td:first-child { white-space: normal !important; } }"""

    def __init__(self, lines: Lines) -> None:
        self.lines = lines
        super().__init__(_table(lines), _text(lines))

    def follow(self, lines: Lines) -> None:
        """Show these lines from now on."""
        self.lines = lines
        self.put(_table(lines), _text(lines))


def _text(lines: Lines) -> str:
    rows = ((name, formula, put, value) for name, value, formula, put in lines)
    return "\n".join(" = ".join(filter(None, row)) for row in rows)


def _table(lines: Lines) -> str:
    left, free = ' style="text-align: left; white-space: nowrap"', ' style="text-align: left"'  # long formulas break
    head = "".join(f"<th{left}>{name}</th>" for name in ("Reading", "Formula", "With the numbers in", "Value"))
    rows = "".join(
        f"<tr><td{left}>{escape(name)}</td><td{free}>{escape(formula)}</td><td{free}>{escape(put)}</td>"
        f"<td{left}><b>{escape(value)}</b></td></tr>"
        for name, value, formula, put in lines
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def working(panel: Panel, *readings: str) -> Working:
    """The working behind readings of a panel, named like "rafter.heel" or "strength.moment"; it follows the panel."""
    widget = Working(_lines(panel, readings))

    def follow(_: object) -> None:
        try:
            widget.follow(_lines(panel, readings))
        except InputError:  # a reading that is not there as the panel stands now
            widget.follow(tuple((name, "not there now", "", "") for name in readings))

    panel.watch(follow)
    return widget


def _lines(panel: Panel, readings: tuple[str, ...]) -> Lines:
    topic, steps = panel.responder.topic, [(name, panel.responder.reading(name)) for name in readings]
    several = len({name.partition(".")[0] for name in readings}) > 1
    return tuple(
        (topic.full_label(name, w) if several else w.label, topic.value_text(w), w.formula, w.worked)
        for name, w in steps
    )
