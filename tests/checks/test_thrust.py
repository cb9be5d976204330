"""Thrust, ties, ridge beams and the sag at the seam against statics and the code's rules; each test names its
source.
"""

from __future__ import annotations

from math import hypot, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rooflab import Gable, InputError, RafterBay, ScissorBay, live
from rooflab.base.findings import VERDICTS
from rooflab.base.jsonfile import json_text
from rooflab.checks import thrust as th
from rooflab.checks.assumptions import Assumptions, early_findings
from rooflab.checks.frame import king_post_scissor, solve, webbed_scissor
from rooflab.checks.loads import Loads
from rooflab.checks.strength import strength_findings
from rooflab.checks.thrust import Sag, SeamSag, pair_thrust, thrust_findings
from rooflab.job.jobfile import example, read_job
from tests.tools.strategies import bounded


def gable(**changes: Any) -> Gable:
    return Gable(**{"span": "26'", "pitch": 8, "bearing": "5 1/2", "overhang": 16, **changes})


def rafters(**changes: Any) -> RafterBay:
    return RafterBay(gable(**changes), "2x10", seat="3 1/2")


def found(bay: Any, *args: Any, **kwargs: Any) -> dict[str, Any]:
    return {finding.name: finding for finding in thrust_findings(bay, *args, **kwargs)}


# --- thrust ----------------------------------------------------------------------------------------------------------


@bounded(60)
@given(st.floats(5, 300), st.floats(8, 60), st.floats(1, 30))
def test_thrust_in_closed_form(w: float, span: float, rise: float) -> None:
    """Statics: a pair of equal rafters pushes with w L^2 / (8 h), w in plf, L and h in ft."""
    assert th.thrust(w, 6 * span, 6 * span, 12 * rise) == pytest.approx(w * span**2 / (8 * rise))


@bounded(60)
@given(st.floats(5, 300), st.floats(60, 300), st.floats(60, 300), st.floats(24, 200))
def test_thrust_is_what_a_pinned_pair_pushes_with(w: float, a: float, b: float, rise: float) -> None:
    """Method of joints, by the truss solver: half of each rafter's load at the ridge, both feet held."""
    made = solve({"A": (0, 0), "B": (a + b, 0), "C": (a, rise)}, ["AC", "BC"], {"A": "xy", "B": "xy"},
                 {"C": (0, -w * (a + b) / 24)})  # fmt: skip
    assert made.reactions["A"][0] == pytest.approx(th.thrust(w, a, b, rise), rel=1e-6)
    assert made.reactions["B"][0] == pytest.approx(-th.thrust(w, a, b, rise), rel=1e-6)


@pytest.mark.parametrize("share", [0, 0.25, 1 / 3, 0.5, 2 / 3])
def test_a_tie_higher_up_pulls_harder(share: float) -> None:
    """Statics: moments of one rafter about the ridge: the tie's arm shrinks from Hr to Hr - Hc, so 1 / (1 - Hc/Hr)."""
    w, half, rise = 40.0, 156.0, 104.0
    outside = w * half / 12 * half - w * half / 12 * half / 2  # reaction's and load's moment about the ridge, lb in
    assert th.tie_force(w, half, half, rise, share * rise) == pytest.approx(outside / (rise - share * rise))


HEEL_JOINTS = {  # nails at span 12, 24, 36 ft under roof live 20, then ground snow 30, 50 and 70 psf
    12: (3, 5, 8, 3, 6, 9, 5, 9, 13, 6, 12, 17),
    24: (5, 10, 15, 6, 12, 18, 9, 17, 26, 12, 23, 34),
}


def test_heel_joint_nails() -> None:
    """IRC 2018 table R802.5.2, 3 in 12 at 12 and 24 in, 24 cells from memory: at least 23 come out of statics with
    120 lb a 16d common nail in spruce-pine-fir.
    """
    cells = [
        (nails, int(th.heel_nails(load, duration, spacing, 12 * span, 3 / 12)))
        for spacing, row in HEEL_JOINTS.items()
        for nails, (load, duration, span) in zip(
            row,
            [
                (s, cd, span)
                for s, cd in ((20, 1.25), *((0.77 * pg, 1.15) for pg in (30, 50, 70)))
                for span in (12, 24, 36)
            ],
            strict=True,
        )
    ]
    assert len(cells) == 24
    assert sum(nails == got for nails, got in cells) >= 23


def test_a_pair_of_a_house() -> None:
    """Worked by hand: 26 ft at 8 in 12, ridge 8'-8" over the heels; D 12 on the slope is 12 x sqrt(13)/3 = 14.42 psf
    on the projection, with live 20 34.42 psf, at 16 in 45.9 plf: thrust 45.9 x 26^2 / (8 x 8.667) = 447.5 lb; a
    third of the way up x 1.5; a ridge beam would carry 34.42 x 13 = 447.5 plf.
    """
    made = pair_thrust(rafters(), Loads(12, live=20), 16, 104 / 3)
    total = 12 * sqrt(13) / 3 + 20
    assert made.case.name == "dead + roof live"
    assert made.values["h"] == pytest.approx(104)
    assert made.values["thrust"] == pytest.approx(total * 4 / 3 * 26**2 / (8 * 104 / 12), rel=1e-9)
    assert made.values["tie_factor"] == pytest.approx(1.5)
    assert made.values["ridge_load"] == pytest.approx(total * 13)
    for read in made.readings:
        worked = read.worked
        for sign, python in (("×", "*"), ("÷", "/"), ("−", "-"), ("√", "sqrt"), ("²", "**2")):
            worked = worked.replace(sign, python)
        assert eval(worked, {"__builtins__": {}}, {"sqrt": sqrt}) == pytest.approx(read.value, rel=1e-5), read


def test_unequal_plates() -> None:
    """Statics: the rise counts plumb from the line between the two heels; with plates apart the pair still balances."""
    bay = rafters(plate_height=("8'", "9'"))
    one, other = (end.heel + end.plate for end in bay.ends)
    x, y = bay.peak
    made = pair_thrust(bay, Loads(0, live=20), 12)
    w = made.values["line_load"]
    truss = solve(
        {"A": (0, one), "B": (312, other), "C": (x, y)}, ["AC", "BC"], {"A": "xy", "B": "xy"}, {"C": (0, -w * 13)}
    )
    assert made.values["thrust"] == pytest.approx(truss.reactions["A"][0], rel=1e-6)


def test_ridge_beam_and_post() -> None:
    """Statics: a ridge beam carries half of each run; a post half of its spans: 30 psf, runs 12 ft: 360 plf, 16 ft:
    2880 lb.
    """
    assert th.ridge_line_load(30, 144, 144) == pytest.approx(360)
    assert th.post_load(360, 192) == pytest.approx(2880)
    assert th.post_load(360, 192, 96) == pytest.approx(4320)


@pytest.mark.parametrize(
    ("pitch", "tied", "beam"), [(3, True, False), (2.9, True, True), (8, False, True), (8, True, False)]
)
def test_when_a_ridge_board_will_not_do(pitch: float, tied: bool, beam: bool) -> None:
    """IRC R802.3 and R802.4.2: under 3 in 12, or without a continuous tie, a ridge beam or bearing wall."""
    assert bool(th.needs_ridge_beam(pitch / 12, tied)) == beam
    row = found(rafters(pitch=pitch), Loads(), tie_height=0 if tied else None)["ridge_beam"]
    assert row.verdict == ("misses" if beam else "meets")
    assert ("will not do" in row.sentence) == beam and "plf of ridge" in row.sentence


def test_a_ridge_beam_that_is_there_takes_the_push() -> None:
    """Statics: what a beam carries does not push; sizing it is the engineer's (IRC R802.3), also under 3 in 12."""
    for pitch in (8, 2):
        rows = found(rafters(pitch=pitch), Loads(), tie_height=None, ridge_beam=True)
        assert list(rows) == ["ridge_beam"] and rows["ridge_beam"].verdict == "ask"
        assert "not pushed" in rows["ridge_beam"].sentence


def test_ties_stand_in_the_lower_third() -> None:
    """IRC R802.5.2: rafter ties in the lower third, else a ridge beam; R802.4.6: collar ties in the upper third."""
    bay = rafters()
    assert found(bay, Loads(), tie_height=34)["tie_height"].verdict == "meets"
    row = found(bay, Loads(), tie_height=36)["tie_height"]
    assert row.verdict == "misses" and "ridge beam" in row.remedy
    assert "tie_height" not in found(bay, Loads(), tie_height=None)
    assert "upper third" in found(bay, Loads())["collar_ties"].sentence
    for f in thrust_findings(bay, Loads()):
        assert f.source and f.sentence.endswith(".") and f.verdict in ("meets", "misses", "ask")


def test_nails_of_a_house() -> None:
    """Statics: thrust / (120 CD), the worst of the combinations, more with a tie higher up."""
    low, high = (found(rafters(), Loads(10, live=20, snow=25), tie_height=h)["heel_nails"] for h in (0, 30))
    total = 10 * sqrt(13) / 3
    push = max((total + q) * 4 / 3 * 26**2 / (8 * 104 / 12) / cd for q, cd in ((0, 0.9), (20, 1.25), (25, 1.15)))
    assert low.value == np.ceil(push / 120) and high.value == np.ceil(push / 120 / (1 - 30 / 104))
    assert low.verdict == "ask" and "dead + snow" in low.sentence


def test_trusses_are_left_to_their_designer() -> None:
    assert thrust_findings(ScissorBay(gable(), 4, "8 13/16"), Loads()) == ()


@pytest.mark.parametrize(
    ("kwargs", "words"),
    [
        ({"tie_height": 104}, "Tie height 8'-8\": allowed is 0 to"),
        ({"tie_height": -1}, 'Tie height -1": allowed is 0 to'),
        ({"spacing": 0}, "Spacing 0 in: allowed is 4 to 72 in."),
        ({"nail": 5000}, "Load one nail carries 5000 lb: allowed is 20 to 500 lb."),
    ],
)
def test_what_cannot_be_is_refused(kwargs: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError) as refused:
        thrust_findings(rafters(), Loads(), **kwargs)
    assert refused.value.problems[0].startswith(words)


CODE_FACTORS = {1 / 3: 0.67, 1 / 4: 0.76, 1 / 5: 0.83, 1 / 6: 0.90, 1 / 7.5: 1.00}


@pytest.mark.parametrize("share", CODE_FACTORS)
def test_a_raised_tie_shortens_the_span_as_the_code_says(share: float) -> None:
    """Statics: the moment at the tie, w x L - w x^2 / 2, against w L^2 / 8; IRC table R802.5.1 note a, later R802.4.1:
    span factors 0.67, 0.76, 0.83, 0.90, 1.00.
    """
    made = th.tie_bending(156, 156, 104, 104 * share)
    w, x = 1.0, 156 * share
    assert float(made.at_tie) == pytest.approx((w * x * 156 - w * x * x / 2) / (w * 156**2 / 8))
    assert float(made.span_factor) == pytest.approx(CODE_FACTORS[share], abs=0.006)
    reading = next(row for row in th.THRUST if row.name == "tie_bending")
    assert reading.of({"tie": 104 * share, "h": 104, "l": 156, "r": 156}) == pytest.approx(float(made.at_tie))


def frame_moment(runs: tuple[float, float], rise: float, drop: float, height: float, across: float) -> float:
    """Largest bending moment, lb in, of the left rafter under 1 lb/in of level run, by PyNiteFEA: two rafters hinged
    at the ridge, a hinged tie along the line between the feet, no push at the feet; ``drop`` lowers the right.
    """
    model = pytest.importorskip("Pynite").FEModel3D()
    model.add_material("wood", 1.6e6, 1e5, 0.3, 0.0)
    model.add_section("stiff", 1e4, 100.0, 100.0, 100.0)
    (a, b), part = runs, height / rise
    foot = {"A": (0.0, 0.0), "E": (a + b, -drop)}
    peak = (a, rise - drop * a / (a + b))
    at = {**foot, "C": peak}
    for name, low in (("B", "A"), ("D", "E")):
        (x, y), (u, v) = foot[low], peak
        at[name] = (x + part * (u - x), y + part * (v - y))
    for name, (x, y) in at.items():
        model.add_node(name, x, y, 0.0)
        model.def_support(name, name == "A", name in "AE", True, True, True, False)
    for name in ("AB", "BC", "ED", "DC", "BD"):
        model.add_member(name, *name, "wood", "stiff")
    model.def_releases("BC", Rzj=True)
    model.def_releases("BD", Rzi=True, Rzj=True)
    model.def_support("C", False, False, True, True, True, False)
    for name, load in (("AB", 1.0), ("BC", 1.0), ("ED", across), ("DC", across)):
        (x, y), (u, v) = at[name[0]], at[name[1]]
        level = load * abs(u - x) / hypot(u - x, v - y)
        model.add_member_dist_load(name, "FY", -level, -level)
    model.analyze_linear()
    (combo,) = model.load_combos
    return max(max(abs(model.members[n].max_moment("Mz", combo)), abs(model.members[n].min_moment("Mz", combo)))
               for n in ("AB", "BC"))  # fmt: skip


ODD_PAIRS = [  # runs, rise above the line between the feet, the right foot's drop, tie's height, load across
    ((156, 156), 104, 0, 34, 1.0), ((156, 156), 104, 0, 17, 1.0), ((156, 156), 104, 0, 60, 1.0),
    ((120, 192), 100, 0, 30, 1.1), ((192, 120), 100, 0, 30, 0.9), ((192, 120), 100, 0, 12, 0.9),
    ((150, 170), 96, 24, 30, 1.0), ((170, 150), 96, -18, 25, 0.4), ((156, 156), 104, 0, 34, 0.35),
]  # fmt: skip


@pytest.mark.parametrize(("runs", "rise", "drop", "height", "across"), ODD_PAIRS)
def test_a_raised_tie_bends_odd_pairs_as_a_frame_does(
    runs: tuple[float, float], rise: float, drop: float, height: float, across: float
) -> None:
    """PyNiteFEA, a general finite-element library: unequal runs, pitches, plates and loads, the largest moment."""
    made = th.tie_bending(*runs, rise, height, across)
    most = frame_moment(runs, rise, drop, height, across)
    assert float(made.most) * runs[0] ** 2 / 8 == pytest.approx(most, rel=2e-3)


def test_raised_ties_are_numbers_or_arrays() -> None:
    """One formula for one pair and for many."""
    high = np.array([0.0, 12, 34, 60])
    many = th.tie_bending(156, np.array([156.0, 120, 190, 156]), 104, high)
    for i, other in enumerate((156.0, 120, 190, 156)):
        one = th.tie_bending(156, other, 104, float(high[i]))
        assert (float(one.at_tie), float(one.most)) == (float(many.at_tie[i]), float(many.most[i]))  # type: ignore[index]


def test_a_tie_that_bends_its_rafters_too_far_does_not_meet() -> None:
    """Statics and IRC R802.4.1: bending of 0.72 on the simple span is 0.72 x 2.19 = 1.58 with the tie at 34 of 104 in;
    the tie stands in the lower third, and yet it must not meet.
    """
    loads = Loads(15, snow=38.5)
    (bending,) = (f for f in strength_findings(rafters(), loads) if f.name == "rafter_bending")
    rows = found(rafters(), loads, tie_height=34)
    r = 34 / 104
    assert rows["tie_height"].verdict == "misses"
    assert rows["tie_bending"].value == pytest.approx(bending.value * 8 * (r - r * r / 2))
    assert rows["tie_bending"].verdict == "misses"
    assert "2.19 times" in rows["tie_bending"].sentence and rows["tie_bending"].value > 1.3
    assert "tie_bending" not in found(rafters(), loads)


def test_a_low_tie_is_asked_about_where_the_code_lets_it_stand() -> None:
    """Statics: with the tie at a sixth, w L^2 / 8 / (1 - 1/6)^2 = 1.44 times between tie and ridge, against 1.22 at the
    tie: a rafter between the two is asked about, not missed.
    """
    bay, loads, r = rafters(), Loads(15, snow=45), 1 / 6
    row = found(bay, loads, tie_height=104 * r)["tie_bending"]
    bent = next(f.value for f in strength_findings(bay, loads) if f.name == "rafter_bending")
    assert row.value == pytest.approx(bent / (1 - r) ** 2) and bent * 8 * (r - r * r / 2) < 1 < row.value
    assert row.verdict == "ask" and "leave out" in row.sentence


def test_a_low_tie_misses_where_either_end_does() -> None:
    """The verdict is the worst of both ends and of all combinations, and the sentence speaks of that one."""
    bay = RafterBay(Gable("27'", (6, 9), "5 1/2", 16, (97.125, 110)), "2x10", seat="3 1/2")
    loads = Loads(15, ground_snow=50)
    uses = [th.worst_tie_use(bay, loads, 20, end)[0] for end in ("left", "right")]
    row = found(bay, loads, tie_height=20)["tie_bending"]
    assert row.verdict == VERDICTS[max(int(use.verdict) for use in uses)]
    assert row.value == max(float(use.most) for use in uses if VERDICTS[int(use.verdict)] == row.verdict)


# --- the tie of a house ----------------------------------------------------------------------------------------------


def job_file(**loads: Any) -> dict[str, Any]:
    return example().document() | {"loads": loads}


def test_a_tie_stands_in_the_job_file() -> None:
    """Trade text, a number, "none"; absent is on the plates, and such a file stays as it is."""
    for text, height in (("2'-8\"", 32.0), (32, 32.0), (0, 0.0), ("none", None)):
        made = read_job(job_file(tie_height=text))
        assert made.assumptions.tie_height == height
        assert made.document()["loads"] == {"tie_height": text} and read_job(made.document()) == made
    assert example().assumptions.tie_height == 0 and "tie_height" not in json_text(example().document())


@pytest.mark.parametrize(
    ("tie", "words"),
    [
        ("oak", "loads.tie_height: Tie height: oak is not a length"),
        (True, "loads.tie_height: Tie height: True is not a length"),
        (None, "loads.tie_height: Tie height: nothing is not a length"),
        (-1, 'loads.tie_height: Tie height -1": allowed is 0" to 60\'-0", or "none" where no continuous tie crosses'),
        ("8'-8\"", "loads.tie_height: Tie height 8'-8\": allowed is 0 to below the ridge, 8'-8\" above the plates."),
        ("9'", "loads.tie_height: Tie height 9'-0\": allowed is 0 to below the ridge, 8'-8\" above the plates."),
    ],
)
def test_a_tie_that_cannot_be_is_refused(tie: Any, words: str) -> None:
    """26 ft at 8 in 12: the rafters meet 104 in above the line of their feet."""
    with pytest.raises(InputError) as refused:
        read_job(job_file(tie_height=tie))
    assert len(refused.value.problems) == 1 and refused.value.problems[0].startswith(words)


def test_a_tie_that_a_flatter_roof_leaves_behind_ties_nothing() -> None:
    """26 ft at 3 in 12 rises 39 in: a tie at 40 does not stand below its ridge, so the roof is not tied."""
    bay, assumed = rafters(pitch=3), Assumptions(tie_height=40)
    rows = {f.name: f for _, f in early_findings(bay, ScissorBay(bay.gable, 0, 12), assumed)}
    assert rows["ridge_beam"].verdict == "misses" and "3'-4\" above the plates, is not" in rows["ridge_beam"].sentence
    assert "tie_bending" not in rows and "tie_height" not in rows


def test_what_is_taken_for_the_tie_is_told() -> None:
    for height, words in ((0, "tied on the plates"), (32, "tied 2'-8\" above the plates"), (None, "not tied")):
        assert f"16\" o.c., {words}, plates of" in Assumptions(tie_height=height).sentence(0.5)


def test_the_panel_of_the_push_starts_from_the_jobs_tie() -> None:
    state = live.force_panel("pair", job=read_job(job_file(tie_height="2'-8\""))).responder.state
    assert (state.numbers["pair"].all["tie"], state.hold) == (32, "tie")
    assert live.force_panel("pair", job=read_job(job_file(tie_height="none"))).responder.state.hold == "nothing"


# --- sag -------------------------------------------------------------------------------------------------------------


def test_long_term_sag() -> None:
    """NDS 2018 3.5.2, Kcr 1.5 from memory: live + 1.5 dead."""
    assert Sag(0.3, 0.2).long_term() == pytest.approx(0.6)


def test_a_step_fairs_out() -> None:
    """NAHB performance guidelines: more than 1 in of ridge sag in 8 ft is a defect, so a 1/2 in step wants 4 ft."""
    seam = SeamSag("ridge", Sag(0.25, 0.5), Sag(0.25, 0.5 / 3), creep=1.5)
    assert seam.step_live == 0 and seam.step_long == pytest.approx(0.5)
    assert seam.feet == pytest.approx(4)
    assert "rafter bay hangs 0.50 in lower" in seam.sentence and "Do not nail a rafter to a truss" in seam.sentence


def test_the_ridge_drops_when_the_plates_spread() -> None:
    """Geometry: with rafters of one length, L^2 = x^2 + h^2, small moves give h dh = -x dx: dh = -dx / m."""
    half, m, out = 156.0, 8 / 12, 0.01
    length = hypot(half, m * half)
    exact = m * half - sqrt(length**2 - (half + out) ** 2)
    assert th.drop_from_spread(out, m) == pytest.approx(exact, rel=1e-3)


def test_sag_at_the_seam() -> None:
    """Statics: the ridge of a tied pair drops by C^2 l / (P A E) over both rafters and the tie (Castigliano); the
    slope sags as a simple beam.
    """
    bay, loads = rafters(), Loads(10, live=20)
    truss = ScissorBay(gable(), 4, "8 13/16")
    ridge, slope = th.sag_at_seam(bay, truss, loads, "DFL No.2", 16)
    area, e, m, span = 1.5 * 9.25, 1.6e6, 8 / 12, 312.0
    p = 20 * 16 / 12 * span / 24  # lb at the ridge, half of the pair's live load
    push, thrust = p / 2 * sqrt(13) / 2, p / (4 * m / 2) / 1
    drop = (2 * push**2 * (span / 2 * sqrt(13) / 3) + thrust**2 * span) / (area * e * p)
    assert ridge.rafters.live == pytest.approx(drop, rel=1e-6)
    level, inertia = span / 2 - 1.75, 1.5 * 9.25**3 / 12
    beam = 5 * (20 * 16 / 144) / (13 / 9) * (level * sqrt(13) / 3) ** 4 / (384 * e * inertia)
    assert slope.rafters.live == pytest.approx(beam, rel=1e-9)
    assert slope.rafters.dead == pytest.approx(beam * 10 * sqrt(13) / 3 / 20, rel=1e-9)
    assert ridge.truss.live > 10 * ridge.rafters.live  # a scissor's bearing slides, a tied pair's does not
    assert ridge.step_long < 0 < slope.step_long


def test_truss_at_the_seam() -> None:
    """Castigliano: the peak's drop is the sum of N n l / (A E) over the bars, N under the truss's load, n under 1 lb at
    the peak; the top chord is a 2x6, the rest 2x4.
    """
    made = th.sag_at_seam(rafters(), ScissorBay(gable(), 4, 16, chord="2x6"), Loads(10, live=20), "DFL No.2", 16, 24)
    loaded = webbed_scissor("26'", 8, 4, 20 * 2 * 26 / 4)  # 20 psf, trusses 2 ft apart, a quarter of the span a joint
    unit = king_post_scissor("26'", 8, 4, 1)
    force, one = loaded.solve().forces, unit.solve().forces
    drop = 0.0
    for bar, n in one.items():
        parts = {"AC": ("AB", "BC"), "EC": ("EF", "FC")}.get(bar, (bar,))
        for part in parts:
            (ax, ay), (bx, by) = (loaded.joints[name] for name in part)
            area = 1.5 * (5.5 if len(parts) == 2 else 3.5)
            drop += force[part] * n * hypot(bx - ax, by - ay) / (area * 1.6e6)
    assert made[0].truss.live == pytest.approx(drop, rel=1e-6)


def test_the_steeper_side_counts() -> None:
    """Statics: dead load on a steeper slope is more on the projection: 12 in 12 makes sqrt(2) of it."""
    made = pair_thrust(rafters(pitch=(6, 12)), Loads(10, live=0), 12)
    assert made.values["line_load"] == pytest.approx(10 * sqrt(2))


def test_slip_of_the_heel_joint_drops_the_ridge() -> None:
    bay, truss = rafters(), ScissorBay(gable(), 4, "8 13/16")
    still, slipped = (th.sag_at_seam(bay, truss, Loads(), slip=s)[0].rafters for s in (0, "1/16"))
    assert slipped.dead - still.dead == pytest.approx(1 / 16 / (8 / 12)) and slipped.live == still.live


def test_sag_wants_equal_ends() -> None:
    truss = ScissorBay(gable(), 4, "8 13/16")
    with pytest.raises(InputError, match="Rafter bay: its two ends differ"):
        th.sag_at_seam(rafters(plate_height=("8'", "9'")), truss, Loads())
    with pytest.raises(InputError, match="Slip of the heel joint 2 in: allowed is 0 to 1 in."):
        th.sag_at_seam(rafters(), truss, Loads(), slip=2)
