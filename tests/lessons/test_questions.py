"""Questions and mistakes, against numbers worked by hand; every typed question of the workbooks is tried too.

The workshop of workbook 01: 24'-0" out to out, 7 in 12, 2x10 (9 1/4) on a 3 in seat, walls 3 1/2, overhang 18,
ceiling 3 in 12 from the inside face, 2x4 chords (3 1/2).  m = 7/12; K = k(m) = sqrt(193)/12 = 1.157704.
By hand: plumb depth 9.25 K = 10.70876; plumb cut 1.75; heel 8.95876, handed over as 8 15/16 = 8.9375; height
8.9375 + 84 = 92.9375; ceiling rise 140.5/4 = 35.125; top of tail 8.9375 - 10.5 = -1.5625.
Which mistakes are usual is common practice of teaching, no source.
"""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from math import atan, degrees, sqrt, tan
from pathlib import Path
from random import Random

import pytest

import rooflab as rl
from rooflab.base.formulas import value_of
from rooflab.base.measure import InputError, feet_inches, pitch
from rooflab.house.bays import ScissorBay
from rooflab.house.jog import jog
from rooflab.house.readings import READINGS, reading_of
from rooflab.lessons.exercises import KINDS, READING_KINDS, draw, mixed_questions, order
from rooflab.lessons.mistakes import BAY_MISTAKES, Words, mistakes_of
from rooflab.lessons.prompts import MEANS, PROMPTS, givens
from rooflab.lessons.questions import STATES, Choice, Question, read_answer
from rooflab.lessons.random_houses import RANGES, Chance, seed_text
from rooflab.shop.causes import wrong_item
from tests.scripts.practice_many import right_texts, spellings, tried
from tests.tools.depth import cases
from tests.tools.lessons import BOOKS, asked, name

K = sqrt(193) / 12
GABLE = rl.Gable("24'", 7, "3 1/2", 18)
RAFTERS = rl.RafterBay(GABLE, "2x10", 3).handed_over()
SCISSOR = rl.ScissorBay(GABLE, 3, "8 15/16")
BAYS = {"rafter": RAFTERS, "scissor": SCISSOR}
TYPED = [
    pytest.param(ask.question, id=f"{name(path)}: {ask.question.reading}")
    for path in BOOKS
    for ask in asked(path)
    if ask.question is not None and ask.question.exact
]


# --- right answers ---------------------------------------------------------------------------------------------------

BY_HAND = {
    "How long is the run": "13'-0\"",  # half of 26'
    "plumb depth of the workshop": '10 11/16"',
    "how high is its heel": '8 15/16"',
    "How deep is its notch": '1 1/2"',  # 1.75/K = 1.51161
    "Roof 9: 2x12 rafters, roof 8 in 12, a seat of 3 1/4": '11 3/8"',  # 11.25 sqrt(13)/3 - 13/6 = 11.35415
    "overall height": "7'-8 15/16\"",
    "ceiling rise above the plate": "2'-11 1/8\"",
    "underside of the rafter's tail": "-1'-0 1/4\"",  # -1.5625 - 10.70876 = -12.27126
    "underside of the truss's tail": '-5 5/8"',  # -1.5625 - 3.5 K = -5.61446
}


def test_the_first_workbooks_answers_are_those_worked_by_hand() -> None:
    first = next(path for path in BOOKS if name(path).startswith("01-"))
    typed = [ask.question for ask in asked(first) if ask.question is not None and ask.question.exact]
    assert len(typed) == len(BY_HAND)
    for question, (part, right) in zip(typed, BY_HAND.items(), strict=True):
        assert part in question.prompt
        assert question.reasoning.text == right
        assert question.judge(right).right


@pytest.mark.parametrize("question", TYPED)
def test_a_right_answer_is_right_in_every_spelling(question: Question) -> None:
    texts = right_texts(question)
    assert len(set(texts)) >= 5
    assert [text for text in texts if not question.judge(text).right] == []
    beyond = 2.1 * {"in": 1 / 16, "degrees": 1 / 4, "": 1 / 400}[question.row.unit]
    assert not question.judge(f"{question.value + beyond:.4f}").right
    assert not question.judge(f"{question.value - beyond:.4f}").right


# --- mistakes --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("question", TYPED)
def test_every_mistake_has_its_own_sentence(question: Question) -> None:
    said = {mistake.name: mistake.sentence.format_map(question.words) for mistake, _, _ in question.mistakes}
    assert len(set(said.values())) == len(said) >= 2
    for mistake, wrong, _ in question.mistakes:
        answered = question.judge(f"{wrong:.4f}")
        assert not answered.right and answered.mistake
        assert said[mistake.name].removeprefix("That fits ") in answered.sentence, mistake.name
        assert "{" not in answered.sentence and "nan" not in answered.sentence


@pytest.mark.parametrize(
    ("bay", "reading", "typed", "mistake"),
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
        ("rafter", "plumb_depth", 9.25 * K * K, "root forgotten"),
        ("rafter", "plumb_depth", 9.25 * (1 + 7 / 12), "slope added"),
        ("rafter", "heel", (9.25 * K - 1.75) / K, "square to the edge"),
        ("rafter", "birdsmouth_plumb", 3, "seat for heel cut"),
        ("rafter", "birdsmouth_plumb", 1.75 / K, "cut measured square"),
        ("rafter", "birdsmouth_plumb", 1.75 * K, "cut stretched"),
        ("rafter", "birdsmouth_plumb", 9.25 * K - 1.75, "heel for the cut"),
        ("rafter", "line_length", 144, "slope not stretched"),
        ("rafter", "line_length", 143.25 * K, "ridge board off the run"),
        ("rafter", "ridge_shortening", 1.5 * K, "whole ridge board"),
        ("rafter", "ridge_shortening", 1.5 * K / 4, "half of the half"),
        ("rafter", "ridge_shortening", 2 * K / 2, "nominal thickness"),
        ("rafter", "stock_length", 161.25 * K, "cut length for stock"),
        ("rafter", "ridge_top", 8.9375 + 84, "ridge board left out"),
        ("rafter", "tail_top", 8.9375 - 10.5 * K, "overhang along the slope"),
        ("rafter", "run", 143.25, "ridge board off the run"),
        ("rafter", "run", 144 * K, "length along the slope"),
        ("scissor", "depth_at_peak", 57.8125 - 3.5 * K - 3.5 * sqrt(17) / 4, "chords taken off"),
        ("scissor", "space_outside", 9.8125 - 3.5 * K - 3.5 * sqrt(17) / 4 + 3.5 / 3, "space at the inside face"),
        ("rafter", "notch_depth", 1.75 * K, "multiplied by the stretch"),
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
        ("scissor", "minimum_heel", 3.5 * K, "butt cut left out"),
        ("scissor", "space_outside", 8.9375 - 3.5 * K + 3.5 / 4, "one chord only"),
        ("scissor", "space_outside", 8.9375 - 3.5 * K - 3.5 * sqrt(17) / 4, "ceiling from the other face"),
        ("scissor", "space_inside", 8.9375 - 3.5 * K - 3.5 * sqrt(17) / 4 + 3.5 / 4, "space at the outside face"),
    ],
)
def test_a_mistake_worked_by_hand(bay: str, reading: str, typed: float, mistake: str) -> None:
    """The workshop, each mistake made by hand; sqrt(17)/4 is k of 3 in 12."""
    said = Question("", BAYS[bay], reading).judge(f"{typed:.3f}")
    assert (said.right, said.mistake) == (False, mistake)


def test_mistakes_that_give_one_number_are_both_said() -> None:
    """On a full seat the inside face and a forgotten seat give the same heel: 9.25 K, worked by hand."""
    full = rl.RafterBay(GABLE, "2x10")
    said = Question("", full, "heel").judge(f"{9.25 * K:.3f}").sentence
    assert "plumb depth alone" in said and "Or it is the heel read at the inside face" in said


def test_heels_are_read_at_the_outside_face_of_the_framing() -> None:
    """Feedback names the wrong face: 1/2 in of wall sheathing lowers this roof by 7/24, of roof sheathing adds K/2."""
    right = 9.25 * K - 1.75
    wall = Question("", rl.RafterBay(rl.Gable("24'", 7, "5 1/2", 18), "2x10", 3), "heel").judge(f"{right - 7 / 24:.3f}")
    roofed = Question("", RAFTERS, "heel").judge(f"{right + K / 2:.3f}")
    assert "outside face of the framing" in wall.sentence and wall.mistake == "face of the wall sheathing"
    assert "top edge of the wood" in roofed.sentence


def test_a_mistake_names_the_numbers_at_hand() -> None:
    """7 in 12 is a slope of 0.583 and stretches 1.158 times; a 2x10 is dressed to 9 1/4 (PS 20)."""
    said = Words(reading_of("rafter", "heel").args, RAFTERS.symbols())
    assert (said["pitch"], said["slope"], said["stretch"]) == ("7 in 12", "7/12", "1.158")
    assert (said["nominal"], said["depth"], said["seat"], said["plumb_cut"]) == ("2x10", '9 1/4"', '3"', '1 3/4"')
    ceiling = Words(reading_of("scissor", "ceiling_rise").args, SCISSOR.symbols())
    assert ceiling["pitch"] == "3 in 12"


def test_every_mistake_is_named_once_and_shows_somewhere() -> None:
    assert len({mistake.name for mistake in BAY_MISTAKES}) == len(BAY_MISTAKES)
    level = rl.ScissorBay(GABLE, 3, "8 15/16", ceiling_from="outside")
    moved = jog(SCISSOR, 24, "5 1/2")
    stepped, raised = jog(SCISSOR, 24, "5 1/2", eave="stepped"), ScissorBay(GABLE, 3, "8 15/16", plate=6)
    bays = (RAFTERS, SCISSOR, level, moved, stepped, raised)
    seen = {mistake.name for bay in bays for row in bay.rows() for mistake, _ in mistakes_of(bay, row.name)}
    assert seen == {mistake.name for mistake in BAY_MISTAKES}


# --- neither right nor a mistake -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("typed", "way"), [("5", "larger"), ("20", "smaller")])
def test_a_wrong_answer_is_told_which_way_to_look(typed: str, way: str) -> None:
    said = Question("", RAFTERS, "heel").judge(typed)
    assert (said.right, said.mistake) == (False, "")
    assert f"the answer is {way}" in said.sentence and "D·k(m) − m·seat" in said.sentence


@pytest.mark.parametrize("typed", ["", "high", "8 9/8", "1e3", "200 mm", "8,9"])
def test_what_cannot_be_read_is_said(typed: str) -> None:
    said = Question("", RAFTERS, "heel").judge(typed)
    assert (said.right, said.mistake) == (False, "") and said.sentence.startswith("Answer")


def test_the_working_can_be_shown() -> None:
    assert Question("", RAFTERS, "plumb_depth").show() == 'Plumb depth: D·k(m) = 9.25 × √(1 + (7/12)²) = 10 11/16".'


# --- readings that are no lengths ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reading", "typed", "mistake"),
    [
        ("angle", "30.3 degrees", "right"),  # arctan(7/12) = 30.256
        ("angle", "7", "pitch as an angle"),
        ("angle", "59.7°", "pitch upside down"),  # 90 - 30.256, the angle from plumb as well
        ("angle", "58.3", "slope in percent"),
        ("angle", "26.25", "share of 45 degrees"),  # 7/12 of 45
        ("angle", "16.3", "rise over the span"),  # arctan(7/24) = 16.26
        ("angle", "0.53", "angle in radians"),
        ("notch_ratio", "16.3 %", "right"),  # 1.75/K/9.25 = 0.16342
        ("notch_ratio", "0.163", "right"),
        ("notch_ratio", "18.9", "notch plumb for square"),  # 1.75/9.25
        ("notch_ratio", "15.1 per cent", "nominal depth"),  # 1.75/K/10
        ("notch_ratio", "25 %", "limit for notch"),
        ("notch_ratio", "83.7 %", "what is left"),
        ("notch_ratio", "6.12 %", ""),
        ("notch_ratio", "612 %", "depth over notch"),  # 9.25 K/1.75 = 6.119
    ],
)
def test_angles_and_parts_worked_by_hand(reading: str, typed: str, mistake: str) -> None:
    """The workshop's roof, 7 in 12, and its notch; each mistake made by hand."""
    said = Question("", RAFTERS, reading).judge(typed)
    assert ("right" if said.right else said.mistake) == mistake


def test_mistakes_that_are_equal_by_algebra_share_a_message() -> None:
    """arctan(1/m) is 90 degrees less arctan(m): upside down or from plumb, nobody can tell, so both are said."""
    said = Question("", RAFTERS, "angle").judge("59.74").sentence
    assert "upside down" in said and "Or it is the angle from plumb" in said


@pytest.mark.parametrize("text", ["", "steep", "30 in", "33.7 %", "1e3"])
def test_what_is_no_angle_is_said(text: str) -> None:
    with pytest.raises(InputError, match="Answer: .*give degrees such as 33.7"):
        read_answer(text, "degrees")


def test_the_state_of_a_heel_worked_by_hand() -> None:
    """12 over 6 in 12, bearing 5 1/2, 2x4 chords: minimum heel 5 3/16, raised from 6 1/8 (worked by hand: 3.5 sqrt(2) +
    1/4 = 5.1997; 3.5 sqrt(2) + 3.5 sqrt(1.25) - 2.75 = 6.1129)."""
    found = dict[str, int]()
    for number in range(1, 90):
        one = draw("scissor.heel_state", "states", number).question
        assert isinstance(one, Choice) and isinstance(one.bay, ScissorBay)
        b, m, c = one.bay, one.bay.left.roof.slope, float(str(one.bay.ceiling_pitch)) / 12
        least = b.chord_depth * sqrt(1 + m * m) + 0.25
        raised = b.chord_depth * sqrt(1 + m * m) + b.bottom_depth * sqrt(1 + c * c) - c * b.left.bearing
        state = "below minimum" if b.left.heel < least else "standard" if b.left.heel < raised else "raised"
        assert one.choices[one.right] == STATES[state]
        found[state] = found.get(state, 0) + 1
    assert min(found.values()) > 10 and len(found) == 3
    gable = rl.Gable("26'", 12, 5.5)
    for heel, state in ((5, "below minimum"), (5.5, "standard"), (6, "standard"), (6.25, "raised")):
        assert rl.ScissorBay(gable, 6, heel).heel_state == state


# --- new numbers -----------------------------------------------------------------------------------------------------

EACH = cases(500)  # questions of every kind; practice_many.py tries as many as one likes


@pytest.mark.parametrize("kind", KINDS)
def test_questions_by_the_hundred(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Right in five spellings, each mistake its own message, numbers a tape can tell apart, nothing given away."""
    found = tried(kind, EACH)
    with capsys.disabled():
        print(f"\n{found.line}", end="")
    assert found.wrong == []
    assert found.fewest >= (5 if kind in READING_KINDS and kind != "scissor.heel_state" else 2)
    assert found.different >= 15


def test_every_reading_can_be_practiced() -> None:
    assert set(READING_KINDS) == {f"{row.bay}.{row.name}" for row in READINGS} == set(PROMPTS)


@pytest.mark.parametrize("kind", [kind for kind in READING_KINDS if kind != "scissor.heel_state"])
def test_the_steps_of_a_question(kind: str) -> None:
    """Worked: each line's arithmetic gives the number it says.  Half-worked: each blank takes its number.  Hints: look,
    formula, numbers, and never the answer.  The formula's text gives what the bay's formula gives."""
    for number in range(1, 13):
        one = draw(kind, "steps", number).question
        assert isinstance(one, Question)
        assert value_of(one.formula, one.symbols) == pytest.approx(one.value, abs=1e-9)
        assert evaluated(one.numbers) == pytest.approx(one.value, abs=1e-4)
        for said in one.lines()[:-1]:
            *_, worked, value = said.split(" = ")
            assert evaluated(worked) == pytest.approx(float(value), rel=2e-4, abs=2e-3), said
        for blank, right in zip(one.blanks, (b.step.value for b in one.blanks), strict=True):
            text = f"{100 * right:.1f} %" if blank.step.last and one.row.unit == "" else f"{right:.4f}"
            assert blank.judge(text).right, blank.label
            wrong = blank.judge(f"{right * 1.3 + 5:.4f}")
            assert not wrong.right and wrong.sentence and "____" not in wrong.sentence
        assert len(one.blanks) >= 2 and one.blanks[-1].step.last
        assert len(one.hints) == 3 and one.hints[1].startswith(f"{one.row.label} = {one.formula}.")
        text = one.reasoning.text
        assert not [hint for hint in one.hints if re.search(rf"(?<![\d/'-]){re.escape(text)}", hint)], text
        assert all(symbol in MEANS for symbol in set(re.findall(r"[A-Za-z_]+", one.formula)) - {"k", "arctan"})
        assert one.bay is not None and "____" not in givens(one.bay, one.reading) and one.reasoning.text


def evaluated(worked: str) -> float:
    """Arithmetic as it is written in a working."""
    for sign, python in {"−": "-", "×": "*", "÷": "/", "²": "**2", "√": "sqrt"}.items():
        worked = worked.replace(sign, python)
    return float(eval(worked, {"__builtins__": {}}, {"sqrt": sqrt, "arctan": lambda s: degrees(atan(s))}))


def test_a_blank_is_answered_with_the_mistake_that_fits() -> None:
    """The workshop's heel: the plumb depth left square (9 1/4), and a stretch without its root (1 + 49/144)."""
    stretch, depth, cut, _ = Question("", RAFTERS, "heel").blanks
    assert depth.judge("9 1/4").mistake == "slope not stretched"
    assert cut.judge(f"{3 * 12 / 7:.3f}").mistake == "pitch upside down"
    assert stretch.judge("1.158").right and not stretch.judge("1.34").right


def test_what_a_result_gives_the_formula_of_a_mistake_gives() -> None:
    """Mistakes that may show on a drawing are computed there from the number, here from a formula: both agree."""
    both = [mistake for mistake in BAY_MISTAKES if mistake.acts and mistake.how]
    assert len(both) == 5
    for mistake in both:
        for bay in (RAFTERS, SCISSOR):
            for row in bay.rows():
                if mistake.name not in {one.name for one, _ in mistakes_of(bay, row.name)}:
                    continue
                right = row.of(bay.symbols())
                assured = dict((one.name, value) for one, value in mistakes_of(bay, row.name))[mistake.name]
                assert wrong_item(mistake, row.name, right, bay.symbols()) == pytest.approx(assured)


# --- the class gets the same -----------------------------------------------------------------------------------------

LISTED = (
    "from rooflab.lessons.exercises import KINDS, draw, mixed_questions\n"
    "import hashlib\n"
    "texts = [q.prompt + q.show() for q in mixed_questions('Monday class', 30)]\n"
    "texts += [draw(k, 7, 3).question.prompt for k in KINDS]\n"
    "print(hashlib.sha256('|'.join(texts).encode()).hexdigest())"
)


def test_a_class_gets_the_same_questions() -> None:
    """Two processes with different hash seeds, and this one."""
    found = set()
    for seed in ("1", "2"):
        env = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(rl.__file__).parent.parent)}
        done = subprocess.run([sys.executable, "-c", LISTED], env=env, capture_output=True, text=True, check=True)
        found.add(done.stdout.strip())
    texts = [q.prompt + q.show() for q in mixed_questions("monday  CLASS", 30)] + [
        draw(k, "7", 3).question.prompt for k in KINDS
    ]
    assert found == {hashlib.sha256("|".join(texts).encode()).hexdigest()}


def test_picks_come_from_a_hash_and_the_standard_generator() -> None:
    """As documented: the first eight bytes of sha256 seed random.Random, whose random() is the same in every version
    (Python's manual); Random(1) begins 0.134364 (from memory)."""
    assert Random(1).random() == pytest.approx(0.13436424411240122)
    number = int.from_bytes(hashlib.sha256(b"monday|rafter.heel|1").digest()[:8], "big")
    expected, chance = Random(number), Chance(" Monday ", "rafter.heel", 1)
    for _ in range(50):
        assert chance.pick(range(1000)) == int(expected.random() * 1000)


def test_seeds_and_kinds_differ() -> None:
    heels = [draw("rafter.heel", seed, 1).question.prompt for seed in range(30)]
    assert len(set(heels)) > 20
    first = [kind for kind, _ in order("a", 2 * len(KINDS))]
    assert sorted(first[: len(KINDS)]) == sorted(KINDS) and first[: len(KINDS)] != first[len(KINDS) :]
    assert {number for _, number in order("a", 2 * len(KINDS))} == {1, 2}


@pytest.mark.parametrize("seed", [None, "", "   ", "x" * 41, 1.5, True, "a\x00b", ["a"]])
def test_a_seed_that_is_none_is_refused(seed: object) -> None:
    with pytest.raises(InputError, match="^Seed: .*word or whole number"):
        seed_text(seed)


@pytest.mark.parametrize(("kind", "number"), [("heel", 1), ("rafter.heel", 0), ("rafter.heel", True), ("sense.x", 1)])
def test_a_kind_or_number_that_is_none_is_refused(kind: str, number: int) -> None:
    with pytest.raises(InputError):
        draw(kind, 1, number)


def test_practice_houses_are_ordinary() -> None:
    """Spans of 18 to 38 ft, 3 to 12 in 12, a notch within D/4, a ceiling of about half the roof's pitch (common
    practice, no source), a truss heel no chord is too deep for (D/4: IRC R802.7.1)."""
    assert (min(RANGES["span"]), max(RANGES["span"]), min(RANGES["pitch"]), max(RANGES["pitch"])) == (216, 456, 3, 12)
    for number in range(1, 60):
        one = draw("rafter.notch_depth", "houses", number).question
        assert isinstance(one, Question) and isinstance(one.bay, rl.RafterBay)
        s = one.symbols
        assert s["m"] * s["seat"] / sqrt(1 + s["m"] ** 2) <= s["D"] / 4 + 1e-9
        two = draw("scissor.space_outside", "houses", number).question
        assert isinstance(two, Question)
        s = two.symbols
        assert 0.3 <= s["c"] / s["m"] <= 0.7 and s["heel"] >= s["d_t"] * sqrt(1 + s["m"] ** 2) + 0.25 - 1e-9


def test_givens_name_every_symbol() -> None:
    """A reading of each bay that needs nearly all of them."""
    rafter, scissor = givens(RAFTERS, "stock_length"), givens(SCISSOR, "space_inside")
    assert all(part in rafter for part in ("24'-0\"", "2x10", "7 in 12", '1 1/2" thick', "overhang of 1'-6\""))
    assert all(part in scissor for part in ("2x4 top", "2x4 bottom", "7 in 12", "3 in 12", '3 1/2" walls', '8 15/16"'))


@pytest.mark.parametrize("kind", [kind for kind in READING_KINDS if kind != "scissor.heel_state"])
def test_a_prompt_holds_every_number_the_answer_needs(kind: str) -> None:
    """Each symbol's value stands in the question, as a length or a pitch, or as the size of lumber it comes from."""
    for number in range(1, 6):
        one = draw(kind, "given", number).question
        assert isinstance(one, Question)
        s, dressed = one.symbols, {3.5: "2x4", 5.5: "2x6", 7.25: "2x8", 9.25: "2x10", 11.25: "2x12"}
        for symbol in re.findall(r"[A-Za-z_]+", re.sub(r"k\(|arctan\(", "", one.formula)):
            if symbol == "o_new":  # the eave steps in and keeps its overhang
                assert s["o_new"] == s["o"] and "keeps its overhang" in one.prompt
                continue
            value = s[symbol]
            texts = [f"{round(12 * value, 4):g}"] if symbol in ("m", "c") else [feet_inches(abs(value)).rstrip('"')]
            if symbol in ("m", "c") and value * 12 % 1:
                texts = [f"{int(12 * value)} 1/2 in 12"]
            assert any(text in one.prompt for text in [*texts, dressed.get(value, "?")]), (symbol, one.prompt)


# --- questions of sense ----------------------------------------------------------------------------------------------

NUMBER = r"(\d+'-\d+(?: \d+/\d+)?|\d+ \d+/\d+|\d+/\d+|\d+)\""
DEPTHS = {"2x8": 7.25, "2x10": 9.25, "2x12": 11.25, "1 1/2 x 9 1/2": 9.5, "1 3/4 x 11 7/8": 11.875}


def numbers(text: str) -> list[float]:
    """The lengths in a question."""
    return [rl.inches(found) for found in re.findall(NUMBER, text)]


def pitches(text: str) -> list[float]:
    return [pitch(found) for found in re.findall(r"(\d+(?: 1/2)?) in 12", text)]


def heel(depth: float, p: float, seat: float) -> float:
    return depth * sqrt(1 + (p / 12) ** 2) - p / 12 * seat


def deep(text: str) -> float:
    return DEPTHS[text.partition(" rafters")[0]]


WAY = {1: "it gets higher", -1: "it gets lower", 0: "it stays as it is"}


def sign(change: float) -> int:
    return (change > 1e-6) - (change < -1e-6)


def _below(text: str) -> str:
    (_, said), (p,) = numbers(text), pitches(text)
    plumb = deep(text) * sqrt(1 + (p / 12) ** 2)
    may, may_not = "it may be: it is less than the plumb depth", "it cannot be: it is more than the plumb depth"
    return may if said < plumb else may_not


def _zero(text: str) -> str:
    return feet_inches(deep(text) * sqrt(1 + (pitches(text)[0] / 12) ** 2))


def _steeper(text: str) -> str:
    (seat, *_), (p, q) = numbers(text), pitches(text)
    return WAY[sign(heel(deep(text), q, seat) - heel(deep(text), p, seat))]


def _seat(text: str) -> str:
    (seat, new), (p,) = numbers(text), pitches(text)
    return WAY[sign(heel(deep(text), p, new) - heel(deep(text), p, seat))]


def _deeper(text: str) -> str:
    (seat, *_), (p,) = numbers(text), pitches(text)
    wider = DEPTHS[re.findall(r"become (2x\d+)", text)[0]]
    return f"by {feet_inches(heel(wider, p, seat) - heel(deep(text), p, seat))}"


def _quarter(text: str) -> str:
    (seat, *_), (p,) = numbers(text), pitches(text)
    within = p / 12 * seat / sqrt(1 + (p / 12) ** 2) <= deep(text) / 4
    return "it is within a quarter of the depth" if within else "it is more: ask the building official"


def _wider(text: str) -> str:
    (_, _, more), (p,) = numbers(text), pitches(text)
    return f"by {feet_inches(p / 12 * more / 2)}"


def _short(text: str) -> str:
    (old, by, new), (p, c) = numbers(text), pitches(text)
    by = -by if "set out" in text else by
    return WAY[sign(p / 12 * by - c / 12 * (by + new - old))]


def _tail(text: str) -> str:
    if text.endswith("The heel?"):
        return "it stays as it is"
    return f"it falls by {feet_inches(pitches(text)[0] / 12 * numbers(text)[2])}"


def _ceiling(text: str) -> str:
    asked = text.rpartition("The ")[2]
    return WAY[{"heel?": 0, "overall height?": 0, "depth at the peak?": -1, "ceiling rise?": 1}[asked]]


def _wedge(text: str) -> str:
    p, c = pitches(text)
    assert p > c  # the roof climbs faster, so the space grows going in
    return "at the inside face" if text.endswith("larger?") else "at the outside face"


SENSED: dict[str, Callable[[str], str]] = {
    "below_plumb_depth": _below, "seat_zero": _zero, "steeper": _steeper, "longer_seat": _seat, "deeper": _deeper,
    "longer_tail": _tail, "within_a_quarter": _quarter, "wider_house": _wider, "steeper_ceiling": _ceiling,
    "wedge": _wedge, "short_heel": _short,
}  # fmt: skip
ONE_WAY = {"wider_house", "deeper", "seat_zero"}  # their choices are numbers


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind.startswith("sense.")])
def test_questions_of_sense_worked_from_their_own_words(kind: str) -> None:
    """Each answer is worked here from the numbers in the question; both ways come up where there are two."""
    name_, ways = kind.removeprefix("sense."), set()
    for number in range(1, 61):
        one = draw(kind, "sense", number).question
        assert isinstance(one, Choice)
        right = one.choices[one.right]
        assert right == SENSED[name_](one.prompt), one.prompt
        ways.add(right)
        assert len(set(one.choices)) == len(one.choices) >= 3
    assert len(ways) >= 2 or name_ in ONE_WAY


def test_the_heel_has_a_lowest_value() -> None:
    """d/dm of D sqrt(1 + m^2) - m seat is 0 where sin(angle) = seat/D: 9.25 and 3.5 turn at 4.905 in 12."""
    turn = 12 * 3.5 / sqrt(9.25**2 - 3.5**2)
    assert turn == pytest.approx(4.905, abs=1e-3)
    assert heel(9.25, turn, 3.5) < min(heel(9.25, turn - 1, 3.5), heel(9.25, turn + 1, 3.5))
    assert _steeper('2x10 rafters, roof 3 in 12, a seat of 3 1/2". The roof gets steeper, 4 in 12;') == WAY[-1]
    assert _steeper('2x10 rafters, roof 6 in 12, a seat of 3 1/2". The roof gets steeper, 8 in 12;') == WAY[1]


def test_a_choice_that_is_none_is_said() -> None:
    one = draw("sense.steeper", 1, 1).question
    said = one.judge("maybe")
    assert not said.right and said.sentence == "Answer: maybe is not one of the choices; give a, b, c."
    assert one.judge("").sentence.startswith("Answer: nothing is not one")


def test_sixteenths_are_spelled_as_fractions() -> None:
    """The fifth spelling is worked with fractions, apart from the program: 9'-8 5/8" is 116 10/16."""
    assert spellings(116.625)[4] == "116 10/16" and Fraction(10, 16) == Fraction(5, 8)
