"""A round trip between page and kernel: the page calls, Python answers, the page says so."""

from __future__ import annotations

from typing import Protocol

import traitlets

from .base import Widget, script


class Table(Protocol):
    """What is shown around the answer."""

    def html(self, live: str = ...) -> str: ...


class RoundTrip(Widget):
    """A table whose last line waits for the answer to a call."""

    _esm = script("round_trip.js")
    table = traitlets.Unicode().tag(sync=True)
    call = traitlets.Int(0).tag(sync=True)
    answer = traitlets.Int(0).tag(sync=True)

    def __init__(self, table: Table) -> None:
        super().__init__("call", table=table.html("the page is calling Python ..."))

    def _answer(self) -> None:
        self.answer = self.call
