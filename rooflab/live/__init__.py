"""The live panels and questions of the workbooks."""

from .cuts import cut_drill, cut_files, cut_panel, cut_question
from .desk import Desk, choose, export, job, ours, poor_sheet, save, share, sheet, start
from .exercise import practice
from .forces import force_drill, force_panel, force_question
from .form import words
from .glossary_list import glossary, word_table
from .jog_panel import jog
from .loads import load_drill, load_panel, load_question
from .meeting import Meeting
from .meeting_lessons import backwards, options_drill, options_panel, options_question, side_by_side, what_fits
from .meeting_pages import together
from .panel import Panel
from .plane_panel import one_plane
from .presenting import Room, room
from .questions import Ask, ask, drill, predict
from .readback import read_back
from .review import checking, paste
from .sendback import reply
from .shape import shape_panel
from .site import seam, seam_drill, seam_question
from .stops import handout
from .warm import warm_drill, warm_panel, warm_question
from .workings import Working, working

__all__ = [
    "Ask",
    "Desk",
    "Meeting",
    "Panel",
    "Room",
    "Working",
    "ask",
    "backwards",
    "checking",
    "choose",
    "cut_drill",
    "cut_files",
    "cut_panel",
    "cut_question",
    "drill",
    "export",
    "force_drill",
    "force_panel",
    "force_question",
    "glossary",
    "handout",
    "job",
    "jog",
    "load_drill",
    "load_panel",
    "load_question",
    "one_plane",
    "options_drill",
    "options_panel",
    "options_question",
    "ours",
    "paste",
    "poor_sheet",
    "practice",
    "predict",
    "read_back",
    "reply",
    "room",
    "save",
    "seam",
    "seam_drill",
    "seam_question",
    "shape_panel",
    "share",
    "sheet",
    "side_by_side",
    "start",
    "together",
    "warm_drill",
    "warm_panel",
    "warm_question",
    "what_fits",
    "word_table",
    "words",
    "working",
]
