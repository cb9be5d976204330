"""A return for a job of the five types in ``jobs.FIVE``, on the example's house, as a manufacturer may send it.

A agrees; B's left heel is the main one's number with the eave's rise but not the plate's, 11/16 short; C's ceiling is
4 1/2 in 12; D's right heel is the rafter's plumb depth; E did not come back; T7 is of another job.
"""

from __future__ import annotations

from rooflab.live.topics.returns import Bench
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic_panel import panel_of

from .jobs import FIVE, house

FIVE_JOB = house(312, 8, 16, "2x10", 4, FIVE)
FIVE_RETURNED = """\
item,value,remark
mark,A,
drawing,S-101,
drawing_date,24 Nov,
span,26-00-00,
pitch,8.00,
ceiling_pitch,4.00,
overhang,01-04-00,
bearing,00-05-08,
heel,00-08-13,
height,09-04-13,
ceiling_rise,04-02-03,
depth_at_peak,05-02-10,
tail_top,-00-01-14,
mark,B,
drawing,S-102,
span,24-00-00,
pitch,8.00,
ceiling_pitch,4.00,
overhang_left,03-04-00,
overhang_right,01-04-00,
bearing_left,00-03-08,
bearing_right,00-05-08,
heel_left,01-04-13,
heel_right,00-08-13,
plate_left,00-07-05,
height,09-04-13,
ceiling_rise,04-02-03,
depth_at_peak,05-02-10,
mark,C,
drawing,S-103,
span,23-00-00,
pitch,8.00,
ceiling_pitch,4.50,
overhang_left,01-04-00,
overhang_right,04-04-00,
bearing,00-05-08,
heel_left,00-08-13,
heel_right,01-08-13,
plate_right,01-00-00,
height,09-04-13,
ceiling_rise,04-02-03,
depth_at_peak,05-02-10,
mark,D,
drawing,S-104,
span,25-00-00,
pitch,8.00,
ceiling_pitch,4.00,
overhang,01-04-00,
bearing,00-05-08,
heel_left,01-00-13,
heel_right,00-11-02,
height,09-04-13,
mark,T7,
job,Birch House,
drawing,S-990,
span,20-00-00,
heel,00-09-00,
"""


def bench_panel(size: str = "") -> Panel:
    """The bench's panel alone, in a size; it keeps nothing."""
    return panel_of(Bench(FIVE_JOB), ("type", "times"), (), (), size, False, {})
