"""The numbers in closing questions that need both bays, each worked by hand here and found by the functions.

Sources: geometry (similar triangles), worked by hand beside each check.
"""

from __future__ import annotations

import pytest

from rooflab import Gable, RafterBay, ScissorBay
from rooflab.base.measure import feet_inches
from rooflab.house.jog import jog
from rooflab.live import load_question
from tests.tools.houses import GABLE


def test_a_template_three_per_cent_short() -> None:
    """Workbook 02: 9.25 sqrt(1 + (7/12)²) - 7/12 x 3 = 10.709 - 1.75 = 8.959, 3 % of it 0.269: 1/4 in on tape."""
    heel = RafterBay(Gable("24'", 7, "3 1/2", 18), "2x10", 3).heel
    assert heel == pytest.approx(8.959, abs=5e-4) and feet_inches(heel) == '8 15/16"'
    assert feet_inches(0.03 * heel) == '1/4"'


def test_a_rafters_plate_beside_a_short_trusss() -> None:
    """Workbook 04: the rafters' plate climbs with the roof, 7/12 x 18 = 10.5; the trusses' 3/12 x (18 + 2) = 5."""
    moved = jog(ScissorBay(Gable("24'", 7, "3 1/2", 18), 3, "8 15/16"), 18, "5 1/2", eave="stepped")
    assert moved.reading("rise").value == pytest.approx(5.0)
    assert moved.reading("ceiling_break").value == pytest.approx(10.5 - 5.0)


def test_the_seat_that_brings_the_planes_together() -> None:
    """Workbook 05: a heel 3/4 in lower at 6 in 12 is a seat 3/4 x 12/6 = 1 1/2 in longer, 4 1/2 in."""
    shop = {"span": "24'", "pitch": 6, "lumber": "2x8", "spacing": 24, "dead": 12, "snow": 30}
    short, long = (load_question("?", "heel.heel", seat=seat, **shop).question for seat in (3, 4.5))
    assert short is not None and long is not None
    assert short.reasoning.value - long.reasoning.value == pytest.approx(0.75)


def test_the_whole_plate_beside_trusses_that_are_built() -> None:
    """Workbook 08: 2 in more of seat at 8 in 12 take 2 x 8/12 = 1.333 from the heel: 8 13/16 to 7 7/16."""
    drawn, cut = (RafterBay(GABLE, "2x10", seat).heel for seat in (3.5, 5.5))
    assert drawn - cut == pytest.approx(4 / 3)
    assert (feet_inches(drawn), feet_inches(cut)) == ('8 13/16"', '7 7/16"')
