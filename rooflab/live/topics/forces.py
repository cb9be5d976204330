"""The panels and questions on forces: the push of a rafter pair, the teaching truss, and the sag at the seam."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rooflab.job.jobfile import Job
from rooflab.live.widgets.ask import Ask
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic import Topic, number, number_drill, panel_of

from .frame import SeamTopic, TrussTopic
from .thrust import PairTopic

PAIR, TRUSS, SEAM = PairTopic(), TrussTopic(), SeamTopic()
TOPICS: dict[str, Topic] = {"pair": PAIR, "truss": TRUSS, "seam": SEAM}


def force_panel(
    topic: str = "pair", controls: Sequence[str] = (), views: Sequence[str] = (), groups: Sequence[str] = (),
    size: str = "small", locked: bool = False, job: Job | None = None, **start: Any,
) -> Panel:  # fmt: skip
    """A panel on forces: the "pair" of rafters, the teaching "truss", or the "seam" between them.

    ``job`` is the house whose rafters push.
    """
    if job and topic == "pair":
        pair = PairTopic(job)
        return panel_of(pair, controls, views, groups, size, locked, {**pair.own(), **start})
    return panel_of(TOPICS[topic], controls, views, groups, size, locked, start)


def force_question(prompt: str, reading: str, **start: Any) -> Ask:
    """A typed question for a reading such as "pair.thrust" or "truss.top_chord"."""
    return number(prompt, TOPICS[reading.partition(".")[0]], reading, **start)


def force_drill(prompt: str, reading: str, case: int = 1) -> Ask:
    """The same for practice case ``case``, and for the next ones."""
    return number_drill(prompt, TOPICS[reading.partition(".")[0]], reading, case)
