"""The table of topics: which are asked about under one name, and the questions, drills and panels on them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rooflab.job.jobfile import Job
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic import Topic, questions_on
from rooflab.live.widgets.topic_panel import panel_of

from .cutting import CutTopic
from .field import SeamOnSite
from .frame import SeamTopic, TrussTopic
from .loads import LoadsTopic
from .options import OptionsTopic
from .thrust import PairTopic
from .warmth import WarmTopic

FORCES: dict[str, type[Topic[Any]]] = {"pair": PairTopic, "truss": TrussTopic, "seam": SeamTopic}

cut_question, cut_drill = questions_on("cut", CutTopic, example='"building_line"')
force_question, force_drill = questions_on("force", *FORCES.values(), example='"pair.thrust" or "truss.top_chord"')
load_question, load_drill = questions_on("load", LoadsTopic, example='"strength.moment"')
options_question, options_drill = questions_on(
    "options", OptionsTopic, example='"room.window_head", "room.gain" or "rafter.heel"'
)
seam_question, seam_drill = questions_on("seam", SeamOnSite, example='"seam.shim_a"')
warm_question, warm_drill = questions_on(
    "warm", WarmTopic, example='"rafter.clear_outside", "truss.r_inside" or "wall.area"'
)


def force_panel(
    topic: str = "pair", controls: Sequence[str] = (), views: Sequence[str] = (), groups: Sequence[str] = (),
    size: str = "small", locked: bool = False, job: Job | None = None, **start: object,
) -> Panel:  # fmt: skip
    """A panel on forces: the "pair" of rafters, the teaching "truss", or the "seam" between them.

    ``job`` is the house whose rafters push.
    """
    one = PairTopic(job) if topic == "pair" else FORCES[topic]()
    return panel_of(one, controls, views, groups, size, locked, start)


def load_panel(
    controls: Sequence[str] = (), views: Sequence[str] = (), groups: Sequence[str] = ("heel", "loads", "strength"),
    size: str = "", locked: bool = False, job: Job | None = None, **start: object,
) -> Panel:  # fmt: skip
    """A panel on loads and the rafter of a ``job``'s house; keywords are starting texts (``pitch=6, dead=15``).

    The local code's own figures come first: ``live`` and ``snow`` may be typed in the place of what is worked out.
    """
    return panel_of(LoadsTopic(job), controls, views, groups, size, locked, start)


def warm_panel(
    controls: Sequence[str] = (), views: Sequence[str] = (), groups: Sequence[str] = (), size: str = "",
    locked: bool = False, job: Job | None = None, **start: object,
) -> Panel:  # fmt: skip
    """A panel on insulation over the plate, along the slope and at the seam, for both bays of a ``job``'s house."""
    return panel_of(WarmTopic(job), controls, views, groups, size, locked, start)
