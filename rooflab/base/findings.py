"""Findings: a value held against a limit in one sentence, and the words for how it went.

A finding is a reminder with its source, never an approval: local code and licensed practice decide.
"""

from __future__ import annotations

from typing import Any, NamedTuple

VERDICTS = ("", "meets", "ask", "misses")
NO_LIMIT, MEETS, ASK, MISSES = range(len(VERDICTS))
"""Verdicts as numbers, the worse the higher; the first where a limit does not apply (a tail without an overhang)."""

HEEL_WITHOUT_BLOCKING, HEEL_WITH_BLOCKING = 9.25, 15.25
"""Heels up to which a braced wall wants no blocking, and up to which blocking does, in (IRC R602.10.8.2, memory)."""


class Finding(NamedTuple):
    """One limit: name, value and limit in the quantity's unit, verdict, source, sentence and remedy.

    The verdict is meets, misses or ask.
    """

    name: str
    value: Any
    limit: Any
    verdict: str
    source: str
    sentence: str
    remedy: str
