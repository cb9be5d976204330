"""The plane-truss solver against textbook trusses, a general finite-element library, and the laws of statics."""

from __future__ import annotations

import random
from math import hypot, sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rooflab import InputError
from rooflab.checks import frame as fr
from rooflab.checks.frame import TrussSolution, king_post_scissor, rafter_pair, solve, webbed_scissor
from tests.tools.strategies import bounded

Joints = dict[str, tuple[float, float]]

# --- textbooks -------------------------------------------------------------------------------------------------------

PRATT: Joints = {
    "A": (0, 0), "E": (6, 0), "G": (1.5, 0), "F": (4.5, 0), "B": (1.5, 2), "C": (3, 2), "D": (4.5, 2),
}  # fmt: skip
PRATT_FORCES = {
    "AB": -21.875, "AG": 13.125, "BG": 17.5, "BC": -13.125, "CG": 3.125, "GF": 11.25, "CF": -3.125, "CD": -9.375,
    "DF": 12.5, "FE": 9.375, "DE": -15.625,
}  # fmt: skip


def test_pratt_truss() -> None:
    """Hibbeler, Statics, ch. 6: 20 kN down at G, 10 at F; RE 12.5, RA 17.5 kN and AB to CG as printed; GF to DE
    recomputed from the joints. Lengths in m stand for inches: a truss's forces do not ask.
    """
    made = solve(PRATT, PRATT_FORCES, {"A": "xy", "E": "y"}, {"G": (0, -20), "F": (0, -10)})
    assert made.forces == pytest.approx(PRATT_FORCES, abs=1e-6)
    assert made.reactions["A"] == pytest.approx((0, 17.5), abs=1e-6)
    assert made.reactions["E"] == pytest.approx((0, 12.5), abs=1e-6)


def test_three_bars() -> None:
    """Beer & Johnston, Statics, ch. 6: AB +52, AC +64, BC -80 kN under 84 kN at B (A pinned, C rolls up and down)."""
    joints = {"A": (0, 5.25), "C": (0, 0), "B": (3, 4)}
    made = solve(joints, ["AB", "AC", "BC"], {"A": "xy", "C": "x"}, {"B": (0, -84)})
    assert made.forces == pytest.approx({"AB": 52, "AC": 64, "BC": -80}, abs=1e-6)


def test_king_post_scissor() -> None:
    """Statics of the joints: span 24 ft, 6 over 3 in 12, 1000 lb at the peak: -2236.07, +2061.55, +1000.00 lb; with
    5.25 in², 1.6e6 psi and one bearing free to slide the spread is 0.2503 in and the peak drops 0.3461 in.
    """
    made = king_post_scissor("24'", 6, 3, 1000).solve(5.25, 1.6e6)
    assert (made.forces["AC"], made.forces["AD"], made.forces["CD"]) == pytest.approx(
        (-2236.07, 2061.55, 1000), abs=0.005
    )
    both = fr.spread_and_thrust("24'", 6, 3, 1000)
    assert (both.spread, both.drop_free) == pytest.approx((0.2503, 0.3461), abs=0.00005)
    assert both.thrust > 0 and both.drop_fixed < both.drop_free


@bounded(40)
@given(st.floats(96, 720), st.floats(1, 24), st.floats(0, 1), st.floats(1, 5000))
def test_king_post_in_closed_form(span: float, pitch: float, share: float, load: float) -> None:
    """Method of joints at bearing and post: -R k(m)/(m - c), +R k(c)/(m - c), +2 R c/(m - c), with R = P/2."""
    ceiling = share * (pitch - 0.3)
    m, c, r = pitch / 12, ceiling / 12, load / 2
    made = king_post_scissor(span, pitch, ceiling, load).solve()
    wanted = {"AC": -r * sqrt(1 + m * m) / (m - c), "AD": r * sqrt(1 + c * c) / (m - c), "CD": 2 * r * c / (m - c)}
    for bar, force in wanted.items():
        assert made.forces[bar] == pytest.approx(force, rel=1e-6, abs=1e-6 * load)


def test_webbed_scissor() -> None:
    """Statics of the joints: the same outline with webs from the middles of the top chords to the ceiling's apex,
    1000 lb at each upper joint.
    """
    made = webbed_scissor("24'", 6, 3, 1000).solve()
    wanted = {"AB": -6708.20, "BC": -4472.14, "AD": 6184.66, "CD": 3000, "BD": -2000}
    assert {bar: made.forces[bar] for bar in wanted} == pytest.approx(wanted, abs=0.005)
    assert made.reactions["A"][1] == pytest.approx(1500, abs=1e-6)


def test_fink_truss() -> None:
    """Statics of the joints: 24 ft, 6 in 12, bottom chord in thirds, 1000 lb at the three upper joints."""
    ft = 12.0
    joints = {
        "A": (0, 0), "B": (6 * ft, 3 * ft), "C": (12 * ft, 6 * ft), "D": (18 * ft, 3 * ft), "E": (24 * ft, 0),
        "G": (8 * ft, 0), "H": (16 * ft, 0),
    }  # fmt: skip
    bars = ["AB", "BC", "CD", "DE", "AG", "GH", "HE", "BG", "GC", "CH", "HD"]
    made = solve(joints, bars, {"A": "xy", "E": "y"}, dict.fromkeys("BCD", (0, -1000)))
    wanted = {"AB": -3354.10, "BC": -2795.08, "AG": 3000, "GH": 2000, "BG": -901.39, "GC": 901.39}
    assert {bar: made.forces[bar] for bar in wanted} == pytest.approx(wanted, abs=0.005)


def test_rafter_pair_ties_its_own_thrust() -> None:
    """Statics: P at the ridge of a tied pair pulls the tie with P L / (4 h): 1000 x 24 / (4 x 6) = 1000 lb."""
    assert rafter_pair("24'", 6, 1000).solve().forces["AE"] == pytest.approx(1000, abs=1e-6)


def test_limits_of_sag() -> None:
    """ANSI/TPI 1 sec. 7.6: total L/180, live L/240: over 35 ft 2.33 and 1.75 in."""
    assert fr.sag_limits(420) == pytest.approx((2.33, 1.75), abs=0.005)


# --- random trusses --------------------------------------------------------------------------------------------------


def random_truss(
    dice: random.Random,
) -> tuple[Joints, list[tuple[str, str]], dict[str, str], dict[str, Any], list[float]]:
    """A truss grown from a triangle, each new joint on two bars, with some bars more and one, two or three held
    joints.
    """
    while True:
        joints: Joints = {"J0": (0.0, 0.0), "J1": (120.0, dice.uniform(-20, 20)), "J2": (60.0, dice.uniform(50, 120))}
        bars = [("J0", "J1"), ("J1", "J2"), ("J0", "J2")]
        for i in range(3, dice.randint(4, 10)):
            name, at = f"J{i}", (dice.uniform(-200, 400), dice.uniform(-200, 200))
            a, b = dice.sample([*joints], 2)
            if (
                min(hypot(at[0] - x, at[1] - y) for x, y in joints.values()) < 40
                or sine(at, joints[a], joints[b]) < 0.3
            ):
                continue
            joints[name] = at
            bars += [(a, name), (b, name)]
        more = [(a, b) for a in joints for b in joints if a < b and (a, b) not in bars and (b, a) not in bars]
        bars += dice.sample(more, min(len(more), dice.randint(0, 3)))
        supports = dice.choice([{"J0": "xy", "J1": "y"}, {"J0": "xy", "J1": "xy"}, {"J0": "xy", "J1": "y", "J2": "x"}])
        loads = {name: (dice.uniform(-2000, 2000), dice.uniform(-2000, 2000)) for name in joints}
        return joints, bars, supports, loads, [dice.uniform(3, 20) for _ in bars]


def sine(at: tuple[float, float], one: tuple[float, float], other: tuple[float, float]) -> float:
    """Sine of the angle between two bars at a joint."""
    (ax, ay), (bx, by) = ((p[0] - at[0], p[1] - at[1]) for p in (one, other))
    return abs(ax * by - ay * bx) / (hypot(ax, ay) * hypot(bx, by))


def finite_elements(
    joints: Joints, bars: Any, supports: Any, loads: Any, areas: list[float], modulus: float
) -> TrussSolution:
    """The same truss as a space frame of a general finite-element library, its members released at both ends."""
    model = pytest.importorskip("Pynite").FEModel3D()
    model.add_material("wood", modulus, modulus / 16, 0.3, 0.0)
    for name, (x, y) in joints.items():
        model.add_node(name, x, y, 0.0)
        ways = supports.get(name, "")
        model.def_support(name, "x" in ways, "y" in ways, True, True, True, True)
        model.add_node_load(name, "FX", loads[name][0])
        model.add_node_load(name, "FY", loads[name][1])
    for (a, b), area in zip(bars, areas, strict=True):
        model.add_section(f"{a}{b}", area, 1.0, 1.0, 1.0)
        model.add_member(f"{a}{b}", a, b, "wood", f"{a}{b}")
        model.def_releases(f"{a}{b}", Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    model.analyze_linear()
    (combo,) = model.load_combos
    return TrussSolution(
        {f"{a}{b}": float(model.members[f"{a}{b}"].f(combo)[6, 0]) for a, b in bars},
        {name: (model.nodes[name].RxnFX[combo], model.nodes[name].RxnFY[combo]) for name in supports},
        {name: (model.nodes[name].DX[combo], model.nodes[name].DY[combo]) for name in joints},
    )


def test_against_finite_elements() -> None:
    """PyNiteFEA, a general finite-element library, on 50 random trusses: forces, reactions and moves to 1e-6 of the
    largest of their kind.
    """
    dice = random.Random(2718)
    redundant = 0
    for _ in range(50):
        truss = random_truss(dice)
        redundant += len(truss[1]) > 2 * len(truss[0]) - 3
        ours, theirs = solve(*truss, 1.5e6), finite_elements(*truss, 1.5e6)
        assert [*ours.forces] == [*theirs.forces]
        for mine, other in (
            ([*ours.forces.values()], [*theirs.forces.values()]),
            *((sum(map(list, a.values()), []), sum(map(list, b.values()), [])) for a, b in (
                (ours.reactions, theirs.reactions), (ours.moves, theirs.moves)
            )),
        ):  # fmt: skip
            assert mine == pytest.approx(other, rel=1e-6, abs=1e-6 * max(map(abs, other)))
    assert redundant >= 15  # not the statically determinate ones alone


@bounded(60)
@given(st.integers(0, 10**6))
def test_equilibrium(seed: int) -> None:
    """Statics: loads and reactions balance, and so do the bars' forces with them at each joint."""
    joints, bars, supports, loads, areas = random_truss(random.Random(seed))
    made = solve(joints, bars, supports, loads, areas)
    size = 1e-6 * (sum(hypot(*load) for load in loads.values()) + sum(map(abs, made.forces.values())))
    outside = {
        name: [a + b for a, b in zip(loads[name], made.reactions.get(name, (0, 0)), strict=True)] for name in joints
    }
    assert [sum(force[i] for force in outside.values()) for i in (0, 1)] == pytest.approx([0, 0], abs=size)
    turn = sum(joints[name][0] * y - joints[name][1] * x for name, (x, y) in outside.items())
    assert turn == pytest.approx(0, abs=1000 * size)
    for name, (x, y) in outside.items():
        for a, b in bars:
            if name in (a, b):
                other = joints[b if name == a else a]
                reach = hypot(other[0] - joints[name][0], other[1] - joints[name][1])
                x += made.forces[f"{a}{b}"] * (other[0] - joints[name][0]) / reach
                y += made.forces[f"{a}{b}"] * (other[1] - joints[name][1]) / reach
        assert (x, y) == pytest.approx((0, 0), abs=size)


@bounded(60)
@given(st.integers(0, 10**6), st.data())
def test_reciprocity(seed: int, data: Any) -> None:
    """Maxwell's law: a load here moves a point there as much as that load there moves the point here."""
    joints, bars, supports, _, areas = random_truss(random.Random(seed))
    (a, i), (b, j) = (data.draw(st.tuples(st.sampled_from([*joints]), st.sampled_from([0, 1]))) for _ in (0, 1))
    here, there = (
        solve(joints, bars, supports, {name: (1000.0 * (way == 0), 1000.0 * (way == 1))}, areas)
        for name, way in ((a, i), (b, j))
    )
    scale = max(abs(x) for one in (here, there) for move in one.moves.values() for x in move)
    assert here.moves[b][j] == pytest.approx(there.moves[a][i], rel=1e-6, abs=1e-9 * scale)


@bounded(40)
@given(
    st.floats(96, 720),
    st.floats(2, 24),
    st.floats(0, 0.9),
    st.booleans(),
    st.sampled_from([king_post_scissor, webbed_scissor]),
)
def test_symmetry(span: float, pitch: float, share: float, fixed: bool, form: Any) -> None:
    """A mirrored truss under mirrored loads has mirrored forces, and each bearing carries half of the loads."""
    layout = form(span, pitch, share * (pitch - 0.3), 900, fixed)
    made = layout.solve()
    mirror = str.maketrans("ABEF", "EFAB")
    for bar, force in made.forces.items():
        other = bar.translate(mirror)
        twin = made.forces[other] if other in made.forces else made.forces[other[::-1]]
        assert force == pytest.approx(twin, rel=1e-7, abs=1e-5)
    assert made.reactions["A"][1] == pytest.approx(450 * len(layout.loads), rel=1e-7)
    assert made.reactions["E"][1] == pytest.approx(450 * len(layout.loads), rel=1e-7)
    assert (abs(made.moves["E"][0]) < 1e-12) == fixed
    assert made.reactions["A"][0] == pytest.approx(-made.reactions["E"][0], abs=1e-4)


@pytest.mark.parametrize("form", [king_post_scissor, webbed_scissor])
def test_spread_grows_as_the_ceiling_steepens(form: Any) -> None:
    """Common practice, no source: a small difference of pitch makes large forces and spread. A flat ceiling has
    least.
    """
    at = [fr.spread_and_thrust("28'", 8, c, 1000, form=form) for c in (0, 2, 4, 6, 7)]
    spread, drop = [one.spread for one in at], [one.drop_free for one in at]
    assert spread == sorted(spread) and spread[-1] > 20 * spread[0] > 0
    assert drop == sorted(drop)
    assert all(one.thrust > 0 and one.drop_fixed < one.drop_free for one in at)


# --- refusals --------------------------------------------------------------------------------------------------------

SQUARE: Joints = {"A": (0, 0), "B": (100, 0), "C": (100, 100), "D": (0, 100)}


@pytest.mark.parametrize(
    ("joints", "bars", "supports", "moves"),
    [
        (SQUARE, ["AB", "BC", "CD", "DA"], {"A": "xy", "B": "y"}, "CD"),  # a square folds
        (SQUARE, ["AB", "BC", "CD", "DA", "AC"], {"A": "y", "B": "y"}, "ABCD"),  # slides sideways
        (SQUARE, ["AB", "BC", "CD", "DA", "AC"], {}, "ABCD"),  # nothing holds it
        (SQUARE, ["AB", "BC", "AC"], {"A": "xy", "B": "y"}, "D"),  # D depends on nothing
        ({"A": (0, 0), "B": (50, 0), "C": (100, 0)}, ["AB", "BC"], {"A": "xy", "C": "xy"}, "B"),  # in one line
        (SQUARE, [], {"A": "xy"}, "BCD"),
    ],
)
def test_mechanisms_are_refused(joints: Joints, bars: list[str], supports: dict[str, str], moves: str) -> None:
    with pytest.raises(InputError) as refused:
        solve(joints, bars, supports, {"B": (0, -100)})
    (sentence,) = refused.value.problems
    assert "is a mechanism" in sentence and "add a bar or a support" in sentence
    assert any(f"joint {name} can move" in sentence for name in moves)


@bounded(60)
@given(st.integers(0, 10**6), st.data())
def test_a_truss_that_lost_a_bar_is_a_mechanism(seed: int, data: Any) -> None:
    """Statics: with two bars a joint less three there is none to spare, whatever the shape."""
    joints, bars, _, loads, _ = random_truss(random.Random(seed))
    needed = bars[: 2 * len(joints) - 3]
    solve(joints, needed, {"J0": "xy", "J1": "y"}, loads)
    hung = {**joints, "X": (17.0, 431.0)}  # on one bar: it swings, though there are as many bars as free ways to move
    with pytest.raises(InputError, match="joint X can move .* is a mechanism"):
        solve(hung, [*needed, ("J2", "X")], {"J0": "xy", "J1": "xy"}, loads)
    del needed[data.draw(st.integers(0, len(needed) - 1))]
    with pytest.raises(InputError, match="is a mechanism"):
        solve(joints, needed, {"J0": "xy", "J1": "y"}, loads)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"bars": ["AB", "BX"]}, "Joint X: no such joint"),
        ({"bars": ["AB", "AA"]}, "Bar A-A: a bar joins two joints"),
        ({"bars": ["AB", "BA"]}, "joined twice"),
        ({"bars": ["ABC"]}, "Bar A-B-C: a bar joins two joints"),
        ({"joints": {"A": (0, 0), "B": (0, 0), "C": (9, 0)}}, "Bar A-B: its two joints are at one place"),
        ({"joints": {"A": (0, 0), "B": (float("nan"), 0), "C": (9, 0)}}, "Joint B: two finite numbers"),
        ({"supports": {"A": "xyz", "B": "y"}}, "Support at A: xyz is not x, y or xy"),
        ({"loads": {"C": "down"}}, "Load at C: two finite numbers"),
        ({"loads": {"Q": (0, 1)}}, "Joint Q: no such joint"),
        ({"modulus": 1.6}, "1.6 million psi is written 1600000"),
        ({"area": [5, 5]}, "2 values for 3 bars"),
        ({"area": -1}, "Area of a member -1 in²: allowed is 0.5 to 500 in²."),
    ],
)
def test_what_is_no_truss_is_refused(change: dict[str, Any], words: str) -> None:
    truss: dict[str, Any] = {
        "joints": {"A": (0, 0), "B": (100, 0), "C": (50, 50)}, "bars": ["AB", "BC", "AC"],
        "supports": {"A": "xy", "B": "y"}, "loads": {"C": (0, -100)},
    }  # fmt: skip
    solve(**truss)
    with pytest.raises(InputError) as refused:
        solve(**{**truss, **change})
    assert any(words in problem for problem in refused.value.problems)


def test_chords_too_close_are_refused() -> None:
    with pytest.raises(InputError, match="Ceiling pitch 6 in 12: at least 1/4 in 12 under the roof pitch, 6 in 12"):
        king_post_scissor("24'", 6, 6)


@pytest.mark.parametrize(("roof", "ceiling"), [(6, 5.75), (4.8, 4.55), (12, 11.75)])
def test_chords_a_quarter_in_12_apart_are_solved(roof: float, ceiling: float) -> None:
    """The least that is allowed, worked by hand: c / (m - c) with P = 1000, R = 500: the post takes 2 R c / (m - c);
    at 6 and 5.75 in 12 that is 1000 x 5.75 / 0.25 = 23,000 lb.  A little less is refused.
    """
    post = king_post_scissor("24'", roof, ceiling).solve().forces["CD"]
    assert post == pytest.approx(1000 * ceiling / 0.25, rel=1e-6)
    with pytest.raises(InputError, match="at least 1/4 in 12 under"):
        king_post_scissor("24'", roof, ceiling + 0.01)


def test_words_for_forces() -> None:
    assert [fr.force_word(force) for force in (12.0, -12.0, 0.0)] == ["tension", "compression", "idle"]
    assert "not the truss's design" in fr.TEACHING_MODEL
