"""A round trip between page and kernel: the page calls, Python answers, the page says so."""

from __future__ import annotations

from typing import Any, Protocol

import anywidget
import traitlets

from .base import script


class Table(Protocol):
    """What is shown around the answer."""

    def html(self, live: str = ...) -> str: ...


class RoundTrip(anywidget.AnyWidget):
    """A table whose last line waits for the answer to a call."""

    _esm = script("round_trip.js")
    shown = traitlets.Unicode().tag(sync=True)
    call = traitlets.Int(0).tag(sync=True)
    answer = traitlets.Int(0).tag(sync=True)

    def __init__(self, table: Table) -> None:
        super().__init__(shown=table.html("the page is calling Python ..."))
        self.observe(self._call, "call")

    def _call(self, change: Any) -> None:
        self.answer = self.call
