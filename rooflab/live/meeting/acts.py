"""What is done at the table: an act as a message tells it, what it was meant for, and what undoing it brings back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from rooflab.job.option import Option

OTHER_PAGE = "That was meant for the page before; nothing was done."
OTHER_STATE = "That was meant for what stood here before; nothing was done. Do it again if it is still wanted."
MOST_STATES = 50  # that can be undone


class Act(NamedTuple):
    """What was done on a page: number, what, name, value; page, thing and serial it was meant for, "" and -1: any."""

    n: int
    what: str
    name: str
    value: str
    page: str
    of: str
    serial: int


def read_act(message: object) -> Act | None:
    """The act of a message; None for anything else."""
    if not isinstance(message, Mapping) or type(message.get("n")) is not int:
        return None
    what, name, value, page, of = (str(message.get(key, "")) for key in ("what", "name", "value", "page", "of"))
    serial = message.get("serial", -1)
    return Act(message["n"], what, name, value, page, of, serial if type(serial) is int else -1)


class State(NamedTuple):
    """What an act can change, and undoing brings back.

    ``words`` say what was done then, ``at`` is its page; further changes by the same ``control`` are undone with it.
    """

    options: tuple[Option, ...]
    now: Option
    memory: dict[str, Any]
    at: int = 0
    words: str = ""
    control: str = ""
