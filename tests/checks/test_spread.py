"""How far a rafter pair moves, held against beam formulas worked by hand and against a general finite-element library.

The beam formulas are those of any table of beams (AWC Design Aid 6, from memory): a beam over one support and its
overhang under a uniform load, and with a force at the overhang's end.
"""

from __future__ import annotations

from math import sqrt

import pytest

from rooflab import Gable, RafterBay
from rooflab.checks.spread import PairMoves, pair_moves, plates_give

BAY = RafterBay(Gable("26'", 8, "5 1/2"), "2x10")
RUN, RISE, SLOPE = 156.0, 104.0, 2 / 3
AREA, INERTIA, MODULUS = 1.5 * 9.25, 1.5 * 9.25**3 / 12, 1.6e6
LOAD = 54.0  # plf: 4.5 lb an inch


def moves(height: float, load: float = LOAD) -> PairMoves:
    made = pair_moves(BAY, load, height, MODULUS)
    assert made is not None
    return made


def test_a_tie_on_the_plates_only_stretches() -> None:
    """Push 4.5 × 156² / (2 × 104) = 526.5 lb; half the tie is 156 in of 13.875 in²: 526.5 × 156 / (1.6e6 × 13.875)."""
    made = moves(0)
    assert made.spread == pytest.approx(0.0036997, abs=1e-6) and made.bent == 0.0
    assert made.drop == pytest.approx(1.5 * 0.0036997, abs=1e-6)


@pytest.mark.parametrize("height", [12.0, 36.0, 60.0, 90.0])
def test_a_raised_tie_lets_the_foot_swing_out(height: float) -> None:
    """The foot is the end of a beam of length l that overhangs its support, the tie, by a: under w over all of it
    w a (4 a² l - l³ + 3 a³) / (24 E I) down, by the plate's force P at its end P a² (l + a) / (3 E I) up."""
    k = sqrt(1 + SLOPE * SLOPE)
    a, w = k * height / SLOPE, LOAD / 12 / k / k  # along the slope; the part of the load square to it
    span, force = k * RUN - a, LOAD / 12 * RUN / k
    up = force * a * a * (span + a) / 3 - w * a * (4 * a * a * span - span**3 + 3 * a**3) / 24
    out = up / (MODULUS * INERTIA) * SLOPE / k
    made = moves(height)
    assert made.bent == pytest.approx(out, rel=1e-9) and made.drop == pytest.approx(made.spread / SLOPE)


@pytest.mark.parametrize("height", [8.0, 36.0, 72.0])
def test_against_finite_elements(height: float) -> None:
    """PyNiteFEA: hinged at the ridge and at the tie, rollers at the plates, rafters that do not stretch."""
    model = pytest.importorskip("Pynite").FEModel3D()
    k, reach = sqrt(1 + SLOPE * SLOPE), height / SLOPE
    model.add_material("wood", MODULUS, MODULUS / 16, 0.3, 0.0)
    model.add_section("rafter", 1e7, INERTIA, INERTIA, 1.0)
    model.add_section("tie", AREA, 1.0, 1.0, 1.0)
    places = {"foot": 0.0, "low": reach / 2, "at tie": reach, "high": (reach + RUN) / 2, "ridge": RUN}
    for name, x in places.items():
        model.add_node(name, x, SLOPE * x, 0.0)
    model.add_node("middle", RUN, height, 0.0)  # half of the pair: what crosses the middle only moves plumb
    for name in ("foot", "ridge", "middle"):
        plumb = name != "ridge"
        model.def_support(name, name != "foot", plumb, True, True, True, name == "middle")
    for name in ("low", "at tie", "high"):
        model.def_support(name, False, False, True, True, True, False)
    chain = list(places)
    for a, b in zip(chain, chain[1:], strict=False):
        model.add_member(b, a, b, "wood", "rafter")
        model.add_member_dist_load(b, "FY", -LOAD / 12 / k, -LOAD / 12 / k)
    model.add_member("tie", "at tie", "middle", "wood", "tie")
    model.def_releases("tie", Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    model.analyze_linear()
    (combo,) = model.load_combos
    made = moves(height)
    for name, x in places.items():
        out, down = made.at(x)
        node = model.nodes[name]
        assert (-node.DX[combo], -node.DY[combo]) == pytest.approx((out, down), rel=2e-3, abs=2e-4), name


def test_without_a_tie_only_the_relation_is_known() -> None:
    """Each plate out by 1 in lets a ridge at 8 in 12 down by 12/8 = 1.5 in, at 4 in 12 by 3: whatever the load."""
    assert plates_give(BAY).drop == pytest.approx(1.5)
    flat = RafterBay(Gable("26'", 4, "5 1/2"), "2x10")
    assert plates_give(flat).drop == pytest.approx(3.0) and plates_give(flat, 0.5).drop == pytest.approx(1.5)


def test_twice_the_load_moves_twice_as_far_and_unequal_ends_are_left_out() -> None:
    assert moves(36, 2 * LOAD).spread == pytest.approx(2 * moves(36).spread)
    assert pair_moves(RafterBay(Gable("26'", (8, 6), "5 1/2"), "2x10"), LOAD, 0, MODULUS) is None
