"""Questions and slips, against numbers worked by hand; every typed question of the workbooks is tried too.

The workshop of workbook 01: 24'-0" out to out, 7 in 12, 2x10 (9 1/4) on a 3 in seat, walls 3 1/2, overhang 18,
ceiling 3 in 12 from the inside face, 2x4 chords (3 1/2).  m = 7/12; K = k(m) = sqrt(193)/12 = 1.157704.
By hand: plumb depth 9.25 K = 10.70876; plumb cut 1.75; heel 8.95876, handed over as 8 15/16 = 8.9375; height
8.9375 + 84 = 92.9375; ceiling rise 140.5/4 = 35.125; top of tail 8.9375 - 10.5 = -1.5625.
Which slips are usual is common practice of teaching, no source.
"""

from __future__ import annotations

from math import sqrt, tan

import pytest
from lessons import BOOKS, asked, name

import rooflab as rl
from rooflab.checks import compare
from rooflab.jogs import jog
from rooflab.measure import feet_inches
from rooflab.practice import Question, givens, roof
from rooflab.readings import READINGS
from rooflab.slips import SLIPS, slips_of, words

K = sqrt(193) / 12
GABLE = rl.Gable("24'", 7, "3 1/2", 18)
RAFTERS = rl.RafterBay(GABLE, "2x10", 3).handed_over()
SCISSOR = rl.ScissorBay(GABLE, 3, "8 15/16")
BAYS = {"rafter": RAFTERS, "scissor": SCISSOR}
TYPED = [
    pytest.param(ask.question, id=f"{name(path)}: {ask.question.reading}")
    for path in BOOKS
    for ask in asked(path)
    if isinstance(ask.question, Question)
]


# --- right answers ---------------------------------------------------------------------------------------------------

BY_HAND = {
    "How long is the run": "13'-0\"",  # half of 26'
    "plumb depth of the workshop": '10 11/16"',
    "how high is its heel": '8 15/16"',
    "How deep is its notch": '1 1/2"',  # 1.75/K = 1.51161
    "Roof 9: 2x8 rafters, roof 8 in 12, a seat of 3": '6 11/16"',  # 7.25 sqrt(13)/3 - 2 = 6.71342
    "overall height": "7'-8 15/16\"",
    "ceiling rise above the plate": "2'-11 1/8\"",
    "underside of the rafter's tail": "-1'-0 1/4\"",  # -1.5625 - 10.70876 = -12.27126
    "underside of the truss's tail": '-5 5/8"',  # -1.5625 - 3.5 K = -5.61446
}


def test_the_first_workbooks_answers_are_those_worked_by_hand() -> None:
    typed = [ask.question for ask in asked(BOOKS[0]) if isinstance(ask.question, Question)]
    assert len(typed) == len(BY_HAND)
    for question, (part, answer) in zip(typed, BY_HAND.items(), strict=True):
        assert part in question.prompt
        assert question.worked.text == answer
        assert question.judge(answer).right


def spellings(value: float) -> list[str]:
    """A length as people type it: trade text, with and without marks and dashes, feet apart, decimals, words."""
    text = feet_inches(value)
    sign, size = ("-", text[1:]) if text.startswith("-") else ("", text)
    feet, _, small = size.rpartition("'-") if "'" in size else ("", "", size)
    small = small.rstrip('"')
    if feet and "/" not in small:
        small += " "
    dashed = small.strip().replace(" ", "-")
    words_ = f"{feet} ft {small.strip()} in" if feet else f"{small.strip()} in"
    open_ = f"{feet}' {small.strip()}" if feet else small.strip()
    marked = f"{feet}'-{dashed}\"" if feet else f"0'-{dashed}\""
    return [text, sign + open_, sign + words_, sign + marked, f"{value:.3f}", f'{value:.2f}"']


@pytest.mark.parametrize("question", TYPED)
def test_a_right_answer_is_right_in_every_spelling(question: Question) -> None:
    value = question.worked.value
    texts = spellings(value)
    assert len(set(texts)) >= 5
    assert [text for text in texts if not question.judge(text).right] == []
    assert not question.judge(feet_inches(value + 1 / 8)).right
    assert not question.judge(feet_inches(value - 1 / 8)).right


# --- slips -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("question", TYPED)
def test_every_slip_has_its_own_sentence(question: Question) -> None:
    found = slips_of(question.bay, question.reading)
    assert len(found) >= 2
    assert len({slip.sentence for slip, _ in found}) == len(found)
    for slip, wrong in found:
        said = question.judge(f"{wrong:.4f}")
        assert not said.right and said.slip
        assert slip.sentence.removeprefix("That fits ") in said.sentence, slip.name
        assert "{" not in said.sentence and "nan" not in said.sentence


@pytest.mark.parametrize(
    ("bay", "reading", "typed", "slip"),
    [
        ("rafter", "plumb_depth", 9.25, "slope not stretched"),
        ("rafter", "plumb_depth", 9.25 / K, "divided by the stretch"),
        ("rafter", "plumb_depth", 10 * K, "nominal depth"),
        ("rafter", "heel", 9.25 * K, "seat forgotten"),
        ("rafter", "heel", 9.25 * K + 1.75, "seat added"),
        ("rafter", "heel", 9.25 * K - 3, "whole seat taken off"),
        ("rafter", "heel", 9.25 - 1.75, "slope not stretched"),
        ("rafter", "heel", 9.25 / K - 1.75, "divided by the stretch"),
        ("rafter", "heel", 10 * K - 1.75, "nominal depth"),
        ("rafter", "heel", 9.25 * K - 1.75 / K, "notch square for plumb"),
        ("rafter", "heel", 9.25 * K - 1.75 + 0.5 * K, "top of sheathing"),
        ("rafter", "heel", 9.25 * K - 1.75 + 3.5 * 7 / 12, "inside face"),
        ("rafter", "heel", 9.25 * sqrt(1 + 144 / 49) - 3 * 12 / 7, "pitch upside down"),
        ("rafter", "heel", 9.25 * sqrt(50) - 3 * 7, "pitch not divided by 12"),
        ("rafter", "notch_depth", 1.75, "notch plumb for square"),
        ("rafter", "notch_depth", 9.25 / 4, "limit for notch"),
        ("rafter", "notch_depth", 3 / K, "pitch upside down"),  # (12/7) 3 / sqrt(1 + (12/7)^2) = 3/K
        ("rafter", "run", 288, "span for run"),
        ("rafter", "run", 144 - 3.5, "clear span"),
        ("rafter", "run", 144 + 18, "run from the tail"),
        ("rafter", "run", 12, "feet read as inches"),
        ("rafter", "cut_length", 144 - 0.75 + 18, "slope not stretched"),
        ("rafter", "cut_length", (144 - 0.75) * K + 18, "overhang not stretched"),
        ("rafter", "cut_length", (144 - 0.75) * K, "overhang left out"),
        ("rafter", "cut_length", (144 + 18) * K, "ridge board left out"),
        ("rafter", "cut_length", (144 - 1.5 + 18) * K, "whole ridge board"),
        ("rafter", "cut_length", (144 - 0.75 + 18) * K + 9.25 * 7 / 12, "stock for cut length"),
        ("rafter", "tail_underside", 1.5625 + 9.25 * K, "sign lost"),
        ("rafter", "tail_underside", -1.5625, "top of tail"),
        ("rafter", "tail_underside", -1.5625 - 9.25, "slope not stretched"),
        ("rafter", "tail_underside", 8.9375 + 10.5 - 9.25 * K, "tail going up"),
        ("rafter", "tail_underside", 8.9375 - 9.25 * K, "overhang left out"),
        ("rafter", "tail_underside", -10.5 - 9.25 * K, "heel forgotten"),
        ("scissor", "height", 84, "heel forgotten"),
        ("scissor", "height", 8.9375 + 168, "span for run"),
        ("scissor", "height", 8.9375 + 84 + 10.5, "run from the tail"),
        ("scissor", "height", 8.9375 + 144 * tan(7 * 3.141592653589793 / 180), "pitch as an angle"),
        ("scissor", "height", 92.9375 / 12, "feet read as inches"),
        ("scissor", "ceiling_rise", 36, "ceiling from the other face"),
        ("scissor", "ceiling_rise", 140.5 * 7 / 12, "roof pitch for ceiling pitch"),
        ("scissor", "ceiling_rise", 35.125 + 8.9375, "heel added to the ceiling"),
        ("scissor", "ceiling_rise", 35.125 + 3.5 * sqrt(17) / 4, "top of the bottom chord"),
        ("scissor", "depth_at_peak", 92.9375, "ceiling left out"),
        ("scissor", "least_heel", 3.5 * K, "butt cut left out"),
        ("scissor", "space_outside", 8.9375 - 3.5 * K + 3.5 / 4, "one chord only"),
        ("scissor", "space_outside", 8.9375 - 3.5 * K - 3.5 * sqrt(17) / 4, "ceiling from the other face"),
        ("scissor", "space_inside", 8.9375 - 3.5 * K - 3.5 * sqrt(17) / 4 + 3.5 / 4, "space at the other face"),
    ],
)
def test_a_slip_worked_by_hand(bay: str, reading: str, typed: float, slip: str) -> None:
    """The workshop, each slip made by hand; sqrt(17)/4 is k of 3 in 12."""
    said = Question("", BAYS[bay], reading).judge(f"{typed:.3f}")
    assert (said.right, said.slip) == (False, slip)


def test_slips_that_give_one_number_are_both_said() -> None:
    """On a full seat the inside face and a forgotten seat give the same heel: 9.25 K, worked by hand."""
    full = rl.RafterBay(GABLE, "2x10")
    said = Question("", full, "heel").judge(f"{9.25 * K:.3f}").sentence
    assert "plumb depth alone" in said and "Or it is the heel read at the inside face" in said


def test_heels_are_read_at_the_outside_face_of_the_framing() -> None:
    """Feedback names the wrong face: 1/2 in of wall sheathing lowers this roof by 7/24, of roof sheathing adds K/2."""
    right = 9.25 * K - 1.75
    wall = Question("", rl.RafterBay(rl.Gable("24'", 7, "5 1/2", 18), "2x10", 3), "heel").judge(f"{right - 7 / 24:.3f}")
    roofed = Question("", RAFTERS, "heel").judge(f"{right + K / 2:.3f}")
    assert "outside face of the framing" in wall.sentence and wall.slip == "face of the wall sheathing"
    assert "top edge of the wood" in roofed.sentence


def test_a_slip_names_the_numbers_at_hand() -> None:
    """7 in 12 is 30.3 degrees (arctan 0.58333) and stretches 1.158 times; a 2x10 is dressed to 9 1/4 (PS 20)."""
    said = words(next(row for row in READINGS if row.name == "heel"), RAFTERS.symbols())
    assert (said["pitch"], said["degrees"], said["stretch"]) == ("7 in 12", "30.3", "1.158")
    assert (said["nominal"], said["depth"], said["seat"], said["plumb_cut"]) == ("2x10", '9 1/4"', '3"', '1 3/4"')
    ceiling = words(next(row for row in READINGS if row.name == "ceiling_rise"), SCISSOR.symbols())
    assert ceiling["pitch"] == "3 in 12"


def test_every_slip_is_named_once_and_shows_somewhere() -> None:
    assert len({slip.name for slip in SLIPS}) == len(SLIPS)
    level = rl.ScissorBay(GABLE, 3, "8 15/16", ceiling_from="outside")
    moved = jog(SCISSOR, 24, "5 1/2")
    bays = (RAFTERS, SCISSOR, level, moved)
    seen = {slip.name for bay in bays for row in bay.rows() for slip, _ in slips_of(bay, row.name)}
    assert seen == {slip.name for slip in SLIPS}


# --- neither right nor a slip ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("typed", "way"), [("5", "larger"), ("20", "smaller")])
def test_a_wrong_answer_is_told_which_way_to_look(typed: str, way: str) -> None:
    said = Question("", RAFTERS, "heel").judge(typed)
    assert (said.right, said.slip) == (False, "")
    assert f"the answer is {way}" in said.sentence and "D·k(m) − m·seat" in said.sentence


@pytest.mark.parametrize("typed", ["", "high", "8 9/8", "1e3", "200 mm", "8,9"])
def test_what_cannot_be_read_is_said(typed: str) -> None:
    said = Question("", RAFTERS, "heel").judge(typed)
    assert (said.right, said.slip) == (False, "") and said.sentence.startswith("Answer")


def test_the_working_can_be_shown() -> None:
    assert Question("", RAFTERS, "plumb_depth").show() == 'Plumb depth: D·k(m) = 9.25 × √(1 + (7/12)²) = 10 11/16".'


# --- new numbers -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", range(1, 60))
def test_a_practice_roof_is_an_ordinary_one(number: int) -> None:
    """Its planes run through, its notch m seat/k(m) is within D/4, and the question names what its answer needs."""
    rafters, scissor = roof(number)
    m, seat = float(str(rafters.gable.pitch)) / 12, float(str(rafters.seat))
    assert compare(rafters, scissor, 0).coplanar
    assert m * seat / sqrt(1 + m * m) <= rafters.depth / 4
    told = givens(rafters, "heel")
    assert f"{rafters.lumber} rafters" in told and f"{12 * m:g} in 12" in told and feet_inches(seat) in told
    assert Question("", rafters, "heel").judge(f"{rafters.depth * sqrt(1 + m * m) - m * seat:.4f}").right


def test_practice_roofs_differ() -> None:
    assert len({roof(number)[0] for number in range(1, 60)}) > 50


def test_givens_name_every_symbol() -> None:
    """A reading of each bay that needs nearly all of them."""
    rafter, scissor = givens(RAFTERS, "stock_length"), givens(SCISSOR, "space_inside")
    assert all(part in rafter for part in ("24'-0\"", "2x10", "7 in 12", '1 1/2" thick', "overhang of 1'-6\""))
    assert all(part in scissor for part in ("2x4 top", "2x4 bottom", "7 in 12", "3 in 12", '3 1/2" walls', '8 15/16"'))
