"""Readings in print: their values and the working behind them, for the page, for paper and without a kernel."""

from __future__ import annotations

from html import escape
from typing import NamedTuple

from ..numbers import said
from .panel import Panel
from .topic import Figures


class Working(NamedTuple):
    """Lines of reading, value, formula and the same with the numbers in; shows as a table, or as plain text."""

    lines: tuple[tuple[str, str, str, str], ...]

    def __repr__(self) -> str:
        return "\n".join(" = ".join(filter(None, (name, made, put, value))) for name, value, made, put in self.lines)

    def _repr_html_(self) -> str:
        left = ' style="text-align: left; white-space: nowrap"'
        head = "".join(f"<th{left}>{name}</th>" for name in ("Reading", "Formula", "With the numbers in", "Value"))
        rows = "".join(
            f"<tr><td{left}>{escape(name)}</td><td{left}>{escape(made)}</td><td{left}>{escape(put)}</td>"
            f"<td{left}><b>{escape(value)}</b></td></tr>"
            for name, value, made, put in self.lines
        )
        return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def working(panel: Panel, *readings: str) -> Working:
    """The working behind readings of a panel as it stands, named like "rafter.heel" or "strength.moment"."""
    if isinstance(panel.responder, Figures):
        steps = [panel.responder.worked(name) for name in readings]
        return Working(tuple((w.label, said(w), w.formula, w.worked) for w in steps))
    bays = {"rafter": panel.responder.state.rafters, "scissor": panel.responder.state.scissor}
    pairs = [name.split(".") for name in readings]
    found = [(bay, bays[bay].reading(name)) for bay, name in pairs]
    both = len({bay for bay, _ in found}) > 1
    return Working(
        tuple((f"{w.label}, {bay} bay" if both else w.label, w.text, w.formula, w.worked) for bay, w in found)
    )
