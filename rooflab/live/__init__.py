"""The live panels and questions of the workbooks; each is fetched when it is first used."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from rooflab.base.names import late

if TYPE_CHECKING:  # what type checkers and editors read, and the table of where each name lives
    from rooflab.live.meeting import together as together
    from rooflab.live.meeting.view import Meeting as Meeting
    from rooflab.live.talk.stops import handout as handout
    from rooflab.live.talk.stops import running_order as running_order
    from rooflab.live.talk.view import Room as Room
    from rooflab.live.talk.view import room as room
    from rooflab.live.topics.cutting import cut_files as cut_files
    from rooflab.live.topics.cutting import cut_panel as cut_panel
    from rooflab.live.topics.field import seam as seam
    from rooflab.live.topics.house import house as house
    from rooflab.live.topics.jog import jog as jog
    from rooflab.live.topics.maps import what_fits as what_fits
    from rooflab.live.topics.options import backwards as backwards
    from rooflab.live.topics.options import options_panel as options_panel
    from rooflab.live.topics.options import side_by_side as side_by_side
    from rooflab.live.topics.reply import reply as reply
    from rooflab.live.topics.returns import bench as bench
    from rooflab.live.topics.returns import paste as paste
    from rooflab.live.topics.review import checking as checking
    from rooflab.live.topics.section import one_plane as one_plane
    from rooflab.live.topics.shape import shape_panel as shape_panel
    from rooflab.live.topics.table import cut_drill as cut_drill
    from rooflab.live.topics.table import cut_question as cut_question
    from rooflab.live.topics.table import force_drill as force_drill
    from rooflab.live.topics.table import force_panel as force_panel
    from rooflab.live.topics.table import force_question as force_question
    from rooflab.live.topics.table import load_drill as load_drill
    from rooflab.live.topics.table import load_panel as load_panel
    from rooflab.live.topics.table import load_question as load_question
    from rooflab.live.topics.table import options_drill as options_drill
    from rooflab.live.topics.table import options_question as options_question
    from rooflab.live.topics.table import seam_drill as seam_drill
    from rooflab.live.topics.table import seam_question as seam_question
    from rooflab.live.topics.table import warm_drill as warm_drill
    from rooflab.live.topics.table import warm_panel as warm_panel
    from rooflab.live.topics.table import warm_question as warm_question
    from rooflab.live.topics.walls import field_files as field_files
    from rooflab.live.topics.walls import field_sheet as field_sheet
    from rooflab.live.widgets.ask import Ask as Ask
    from rooflab.live.widgets.ask import ask as ask
    from rooflab.live.widgets.ask import choose as choose
    from rooflab.live.widgets.ask import drill as drill
    from rooflab.live.widgets.ask import predict as predict
    from rooflab.live.widgets.form import Desk as Desk
    from rooflab.live.widgets.form import read_back as read_back
    from rooflab.live.widgets.glossary import glossary as glossary
    from rooflab.live.widgets.glossary import word_table as word_table
    from rooflab.live.widgets.job_desk import job as job
    from rooflab.live.widgets.job_desk import ours as ours
    from rooflab.live.widgets.job_desk import save as save
    from rooflab.live.widgets.job_desk import share as share
    from rooflab.live.widgets.job_desk import start as start
    from rooflab.live.widgets.job_desk import words as words
    from rooflab.live.widgets.panel import Panel as Panel
    from rooflab.live.widgets.practice import practice as practice
    from rooflab.live.widgets.sheet import export as export
    from rooflab.live.widgets.sheet import poor_sheet as poor_sheet
    from rooflab.live.widgets.sheet import sheet as sheet
    from rooflab.live.widgets.workings import Working as Working
    from rooflab.live.widgets.workings import working as working

__all__, _fetch, __dir__ = late(globals(), import_module)

if not TYPE_CHECKING:  # a type checker would take any name for one of ours
    __getattr__ = _fetch
