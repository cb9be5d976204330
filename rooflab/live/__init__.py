"""The live panels and questions of the workbooks."""

from .desk import Desk, choose, export, job, ours, poor_sheet, save, share, sheet, start
from .forces import force_drill, force_panel, force_question
from .form import words
from .jog_panel import jog
from .loads import load_drill, load_panel, load_question
from .panel import Panel
from .plane_panel import one_plane
from .questions import Ask, ask, drill, predict
from .review import checking, paste
from .sendback import reply
from .site import seam, seam_drill, seam_question
from .warm import warm_drill, warm_panel, warm_question
from .workings import Working, working

__all__ = [
    "Ask",
    "Desk",
    "Panel",
    "Working",
    "ask",
    "checking",
    "choose",
    "drill",
    "export",
    "force_drill",
    "force_panel",
    "force_question",
    "job",
    "jog",
    "load_drill",
    "load_panel",
    "load_question",
    "one_plane",
    "ours",
    "paste",
    "poor_sheet",
    "predict",
    "reply",
    "save",
    "seam",
    "share",
    "seam_drill",
    "seam_question",
    "sheet",
    "start",
    "warm_drill",
    "warm_panel",
    "warm_question",
    "words",
    "working",
]
