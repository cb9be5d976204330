"""The live panels and questions of the workbooks."""

from rooflab.live.meeting.view import Meeting
from rooflab.live.talk.stops import handout
from rooflab.live.talk.view import Room, room
from rooflab.live.topics.cutting import cut_drill, cut_files, cut_panel, cut_question
from rooflab.live.topics.field import seam, seam_drill, seam_question
from rooflab.live.topics.forces import force_drill, force_panel, force_question
from rooflab.live.topics.jog import jog
from rooflab.live.topics.loads import load_drill, load_panel, load_question
from rooflab.live.topics.options import (
    backwards,
    options_drill,
    options_panel,
    options_question,
    side_by_side,
    what_fits,
)
from rooflab.live.topics.reply import reply
from rooflab.live.topics.review import checking, paste
from rooflab.live.topics.section import one_plane
from rooflab.live.topics.shape import shape_panel
from rooflab.live.topics.warmth import warm_drill, warm_panel, warm_question
from rooflab.live.widgets.ask import Ask, ask, drill, predict
from rooflab.live.widgets.form import words
from rooflab.live.widgets.glossary import glossary, word_table
from rooflab.live.widgets.job_desk import Desk, choose, export, job, ours, poor_sheet, save, share, sheet, start
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.practice import practice
from rooflab.live.widgets.read_back import read_back
from rooflab.live.widgets.workings import Working, working

from .meeting import together

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
