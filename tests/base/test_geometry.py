"""The formulas against published tables and worked examples; each test names its source."""

from __future__ import annotations

from math import atan, cos, degrees, hypot, radians, tan

import pytest

import rooflab as rl
from rooflab.base import geometry as geo

# Framing square, "length of common rafters per foot run", printed on the square for a rise of 2 to 18 in a foot of run.
PER_FOOT = {
    2: 12.17, 3: 12.37, 4: 12.65, 5: 13.00, 6: 13.42, 7: 13.89, 8: 14.42, 9: 15.00, 10: 15.62, 11: 16.28, 12: 16.97,
    13: 17.69, 14: 18.44, 15: 19.21, 16: 20.00, 17: 20.81, 18: 21.63,
}  # fmt: skip


@pytest.mark.parametrize(("rise", "length"), PER_FOOT.items())
def test_rafter_length_per_foot_of_run(rise: int, length: float) -> None:
    """Framing-square table (NAVEDTRA 14044 Builder Advanced, ch. 2; EN0069A): 12.17 in at 2 in 12 ... 21.63 at 18."""
    assert float(geo.line_length(12, rise / 12)) == pytest.approx(length, abs=0.005)


def test_line_length_of_a_16_ft_span() -> None:
    """NAVEDTRA 14044, fig. 2-17: 7 in 12, span 16 ft: 13.89 x 8 = 111.12 in, marked off as 9'-3 1/8"."""
    bay = rl.RafterBay(rl.Gable("16'", 7, "3 1/2"))
    assert bay.line_length == pytest.approx(111.12, abs=0.03)
    assert rl.feet_inches(bay.line_length) == "9'-3 1/8\""


def test_line_length_of_a_steep_roof() -> None:
    """EN5156, fig. 3-13: 13 in 12 on a building 20'-8" wide: 182.8 in, 15'-3" to the half inch."""
    length = rl.RafterBay(rl.Gable("20'-8\"", 13, "3 1/2")).line_length
    assert length == pytest.approx(182.8, abs=0.05)
    assert rl.feet_inches(round(2 * length) / 2) == "15'-3\""


def test_line_length_in_feet() -> None:
    """Griffith, Carpentry (1916), sec. 17: 6 in 12, span 25 ft: 13.98 ft."""
    assert rl.RafterBay(rl.Gable("25'", 6, "3 1/2")).line_length / 12 == pytest.approx(13.98, abs=0.005)


@pytest.mark.parametrize("rise", [3, 5, 8, 9, 12, 16])
def test_ridge_shortening_is_half_the_board_measured_level(rise: int) -> None:
    """NAVEDTRA 14044, fig. 2-19 and p. 74: a 1 1/2 in ridge board takes 3/4 in off each rafter, measured level.

    Laid along the slope that is 3/4 x hypot(12, rise)/12, here with the library's hypot instead of our formula.
    """
    m = rise / 12
    along = float(geo.ridge_shortening(1.5, m))
    assert along == pytest.approx(0.75 * hypot(12, rise) / 12, abs=1e-12)
    assert float(geo.line_length(100, m) - geo.cut_length(100, 1.5, 0, m)) == pytest.approx(along, abs=1e-12)
    assert along * cos(atan(m)) == pytest.approx(0.75, abs=1e-12)


def test_tail_length() -> None:
    """NAVEDTRA 14044: tail length = length per foot of run x projection; 8 in 12, 10 in: 14.42 x 10/12 = 12.02 in."""
    assert float(geo.line_length(10, 8 / 12)) == pytest.approx(12.02, abs=0.02)
    without, with_tail = (rl.RafterBay(rl.Gable("24'", 8, "3 1/2", out)).cut_length for out in (0, 10))
    assert with_tail - without == pytest.approx(12.02, abs=0.02)


def test_pitch_from_another_run() -> None:
    """EN0069A, fig. 2-11: a rise of 2 in a run of 5 is 4.8 in 12."""
    assert rl.pitch("2 in 5") == 4.8


def test_pitch_from_total_rise() -> None:
    """Miller, The Carpenters' Guide: 64 in of rise over 8 ft of run is 8 in 12; ridge top = rise + heel."""
    assert rl.pitch("64 in 96") == 8.0
    bay = rl.RafterBay(rl.Gable("16'", 8, "3 1/2"), ridge=None)
    assert bay.peak_height - bay.heel == pytest.approx(64, abs=1e-12)
    assert bay.ridge_top == bay.peak_height


def test_plates_at_different_heights() -> None:
    """Journal of Light Construction, Q&A on unequal wall heights: plates 24 in apart at 6 in 12 are 48 in of run.

    A 24 ft span is laid out on 28 ft, so the long rafter runs 14 ft and the short one, over the high wall, 10 ft.
    """
    assert float(geo.line_length(24, 0)) / (6 / 12) == 48.0
    assert float(geo.ridge_x(288, 0.5, 0.5, 24)) == 14 * 12
    bay = rl.RafterBay(rl.Gable("24'", 6, "3 1/2", plate_height=(96, 120)))
    assert (bay.left.run, bay.right.run) == pytest.approx((14 * 12, 10 * 12), abs=1e-9)


def _angle_where(depth: float, wanted: float, low: float, high: float) -> float:
    """Degrees at which our heel of this depth on 3 1/2 in crosses ``wanted`` between two angles, by halving."""
    over = float(geo.heel(depth, tan(radians(low)), 3.5)) > wanted
    for _ in range(60):
        middle = (low + high) / 2
        same = (float(geo.heel(depth, tan(radians(middle)), 3.5)) > wanted) is over
        low, high = (middle, high) if same else (low, middle)
    return low


@pytest.mark.parametrize(
    ("depth", "r_value", "between", "quoted"),
    [(9.25, 30, (0, 15), 2.4), (9.25, 30, (30, 70), 44.27), (9.25, 38, (30, 75), 59.32), (11.25, 38, (25, 70), 38.0)],
)
def test_heel_against_insulation_over_the_plate(
    depth: float, r_value: float, between: tuple[float, float], quoted: float
) -> None:
    """Published commentary on IRC 2018 N1102.2.1: insulation over a 3 1/2 in plate under a 1 in air space fits where
    (d - 1)/cos - 3.5 tan >= R/3.7, quoted as angles: 2x10 R-30 to 2.4 or from 44.27, 2x10 R-38 from 59.32, 2x12 R-38
    from 38.0 degrees.  That left side is a heel with depth d - 1 and seat 3 1/2.
    """
    assert _angle_where(depth - 1, r_value / 3.7, *between) == pytest.approx(quoted, abs=0.06)


def test_deep_rafter_holds_r30_at_any_angle() -> None:
    """The same commentary: a 2x12 takes R-30 over the plate at any angle (10 to 75 degrees tried)."""
    assert min(float(geo.heel(10.25, tan(radians(a)), 3.5)) for a in range(0, 76)) >= 30 / 3.7


@pytest.mark.parametrize(
    ("rise", "text"), [(4, "3 15/16"), (6, "4 3/16"), (8, "4 7/16"), (12, "5 3/16")]
)
def test_minimum_heel(rise: int, text: str) -> None:
    """Minimum heel with a 2x4 top chord and a 1/4 in butt cut: common shop figures, from memory; to 1/16 in."""
    assert float(geo.minimum_heel(3.5, rise / 12)) == pytest.approx(rl.inches(text), abs=1 / 16)


@pytest.mark.parametrize("rise", [1, 4.5, 8, 12, 24])
def test_trigonometry_says_the_same(rise: float) -> None:
    """Worked by hand: with the roof's angle a from the library's arctangent, plumb = square / cos a, birdsmouth
    square to the edge = seat sin a (the seat is the hypotenuse of the triangle cut away), two plumb cuts need D tan a
    more stock.
    """
    m, a = rise / 12, atan(rise / 12)
    assert float(geo.angle(m)) == pytest.approx(degrees(a), abs=1e-12)
    assert float(geo.plumb_depth(9.25, m)) == pytest.approx(9.25 / cos(a), rel=1e-12)
    assert float(geo.notch(m, 3.5)) == pytest.approx(3.5 * tan(a) * cos(a), rel=1e-12)
    assert float(geo.square_to(1, m)) == pytest.approx(cos(a), rel=1e-12)
    assert float(geo.stock_length(100, 9.25, m)) == pytest.approx(100 + 9.25 * tan(a), rel=1e-12)


def test_two_pitches_give_one_heel() -> None:
    """Worked by hand: depth 5, seat 3.  At 9 in 12 the heel is 5 x 1.25 - 0.75 x 3 = 4; there depth and seat make the
    lowest heel of all (sqrt(25 - 9) = 4), so only one pitch gives it.  Heel 5 is given by m = 30/16 alone (22.5 in 12),
    as level would be the other; heel 3.9 by none.
    """
    assert rl.pitch_for_heel(4, 5, 3) == pytest.approx((9,), abs=1e-6)
    assert rl.pitch_for_heel(5, 5, 3) == pytest.approx((22.5,), abs=1e-9)
    assert rl.pitch_for_heel(3.9, 5, 3) == ()
    low, high = rl.pitch_for_heel(4.25, 5, 3)
    assert 0 < low < 9 < high
    for pitch in (low, high):
        assert 5 * hypot(1, pitch / 12) - 3 * pitch / 12 == pytest.approx(4.25, abs=1e-9)


def test_seat_as_long_as_the_rafter_is_deep() -> None:
    """Worked by hand: depth 5 and seat 5, heel 2.5: 5 sqrt(1 + m^2) = 2.5 + 5m squares to 25 = 6.25 + 25m, m = 0.75."""
    assert rl.pitch_for_heel(2.5, 5, 5) == pytest.approx((9,), abs=1e-12)
    assert [round(p, 6) for p in rl.pitch_for_heel(2.5, 5, 5 + 1e-9)] == [9]


def test_the_lowest_heel_is_not_lost_to_rounding() -> None:
    """Worked by hand: heel D k(m) - m seat is lowest where its slope D m/k(m) - seat is 0, there it is D/k(m); that
    one pitch is the answer, whatever way the square root of nothing was rounded.
    """
    for depth in (3.5, 5.5, 7.25, 9.25, 11.25):
        for rise in range(2, 19):
            k = hypot(12, rise) / 12
            answers = rl.pitch_for_heel(depth / k, depth, depth * rise / 12 / k)
            assert answers
            assert answers == pytest.approx([rise] * len(answers), abs=1e-4)
