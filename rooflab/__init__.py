"""rooflab: the section of a wood roof from its planes, and the lessons that teach it.

``import rooflab as rl`` loads nothing heavy; each name is fetched when it is first used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from rooflab.base.names import late

__version__ = "0.1.0"

if TYPE_CHECKING:  # what type checkers and editors read, and the table of where each name lives
    from rooflab.base.inputs import INPUTS as INPUTS
    from rooflab.base.measure import InputError as InputError
    from rooflab.base.measure import feet_inches as feet_inches
    from rooflab.base.measure import inches as inches
    from rooflab.base.measure import pitch as pitch
    from rooflab.base.measure import sixteenth as sixteenth
    from rooflab.checks.limits import findings as findings
    from rooflab.draw.sheets.agreement import agreement_sheet as agreement_sheet
    from rooflab.draw.sheets.cutting import cut_sheet as cut_sheet
    from rooflab.draw.sheets.exports import profile_dxf as profile_dxf
    from rooflab.draw.sheets.exports import readings_csv as readings_csv
    from rooflab.draw.sheets.house import house_picture as house_picture
    from rooflab.draw.sheets.practice import practice_sheet as practice_sheet
    from rooflab.draw.sheets.profile import profile_sheet as profile_sheet
    from rooflab.draw.sheets.reply import write_reply as write_reply
    from rooflab.draw.sheets.returns import write_set_reply as write_set_reply
    from rooflab.draw.sheets.site_card import site_card as site_card
    from rooflab.draw.sheets.template import birdsmouth_template as birdsmouth_template
    from rooflab.draw.sheets.walls import shim_list as shim_list
    from rooflab.house.bays import RafterBay as RafterBay
    from rooflab.house.bays import ScissorBay as ScissorBay
    from rooflab.house.cutting import Cut as Cut
    from rooflab.house.heel import depth_for_heel as depth_for_heel
    from rooflab.house.heel import pitch_for_heel as pitch_for_heel
    from rooflab.house.heel import seat_for_heel as seat_for_heel
    from rooflab.house.planes import Gable as Gable
    from rooflab.house.readings import READINGS as READINGS
    from rooflab.house.seam import compare as compare
    from rooflab.house.seam import tail_and_soffit as tail_and_soffit
    from rooflab.job.agreement import Agreement as Agreement
    from rooflab.job.backwards import ask_backwards as ask_backwards
    from rooflab.job.jobfile import Job as Job
    from rooflab.job.option import Option as Option
    from rooflab.job.seat_grid import seat_grid as seat_grid
    from rooflab.job.sweep import sweep as sweep
    from rooflab.job.wishes import wish as wish
    from rooflab.live import handout as handout
    from rooflab.live import running_order as running_order
    from rooflab.shop.checklist import completeness as completeness
    from rooflab.shop.checklist import movement as movement
    from rooflab.shop.field import built_trusses as built_trusses
    from rooflab.shop.field import measured_seat as measured_seat
    from rooflab.shop.field import set_trusses as set_trusses
    from rooflab.shop.field import shim_schedule as shim_schedule
    from rooflab.shop.field import taper as taper
    from rooflab.shop.returns import read_return as read_return
    from rooflab.shop.returns import review_returns as review_returns
    from rooflab.shop.review import review as review
    from rooflab.shop.walls import measured_walls as measured_walls
    from rooflab.start.installation import what_is_missing as what_is_missing

__all__, _fetch, __dir__ = late(globals(), import_module)

if not TYPE_CHECKING:  # a type checker would take any name for one of ours
    __getattr__ = _fetch
