"""Wrong answers to the workbooks' own questions, each with the mistake that made it: what is said must name it.

Each row holds the answer as it is typed, the arithmetic of the mistake by hand (from the numbers in the question, so
independently of the functions), and words that the sentence must hold.  Which mistakes are usual is common practice of
teaching, no source.  Where two mistakes give one number both are to be named, so that neither is named wrongly.
"""

from __future__ import annotations

import re
from functools import cache
from math import atan, degrees, sqrt
from pathlib import Path

import pytest

from rooflab import Gable, InputError, RafterBay, ScissorBay, inches
from rooflab.base.formulas import arithmetic_text
from rooflab.base.measure import feet_inches
from rooflab.lessons.questions import OTHER, Question, read_answer
from rooflab.shop.items import drawing_length
from tests.tools.lessons import BOOKS, asked, name

K = sqrt(1 + (7 / 12) ** 2)  # the stretch of 7 in 12, of the workshop
K6, K8, K9 = sqrt(1.25), sqrt(1 + (8 / 12) ** 2), 1.25  # of 6, 8 and 9 in 12
C4, C45 = sqrt(1 + (4 / 12) ** 2), sqrt(1 + (4.5 / 12) ** 2)  # of the ceilings

WRONG = (
    # --- workbook 00
    ("00", "Which overall height", "9'-4 13/16\"", 8.8125 + 8 / 12 * 156, "slider not moved"),
    ("00", "Which overall height", "6'-6\"", 6 / 12 * 156, "slope alone"),
    ("00", "Which overall height", "13'-8 9/16\"", 8.5625 + 6 / 12 * 312, "whole span"),
    ("00", "Which overall height", "6'-11 13/16\"", 8.5625 + 6 / 12 * 150.5, "inside face"),
    # --- workbook 01
    ("01", "How long is the run", "26'-0\"", 312, "whole span"),
    ("01", "How long is the run", "12'-6 1/2\"", 156 - 5.5, "inside face of the wall"),
    ("01", "How long is the run", "14'-4\"", 156 + 16, "begun at the tail"),
    ("01", "How long is the run", "1'-1\"", 13, "foot mark"),
    ("01", "what is the plumb depth of the workshop", '9 1/4"', 9.25, "left square"),
    ("01", "what is the plumb depth of the workshop", '8"', 9.25 / K, "dividing by the stretch"),
    ("01", "what is the plumb depth of the workshop", '11 9/16"', 10 * K, "nominal size"),
    ("01", "what is the plumb depth of the workshop", "1'-0 3/8\"",
     9.25 * (1 + (7 / 12) ** 2), "without its square root"),
    ("01", "what is the plumb depth of the workshop", "1'-2 5/8\"", 9.25 * (1 + 7 / 12), "slope added"),
    ("01", "how high is its heel", '10 11/16"', 9.25 * K, "plumb depth alone"),
    ("01", "how high is its heel", '7 11/16"', 9.25 * K - 3, "seat taken as it is"),
    ("01", "how high is its heel", "1'-0 7/16\"", 9.25 * K + 7 / 12 * 3, "birdsmouth added"),
    ("01", "how high is its heel", '7 1/2"', 9.25 - 7 / 12 * 3, "left square"),
    ("01", "how high is its heel", '9 13/16"', 10 * K - 7 / 12 * 3, "nominal size"),
    ("01", "how high is its heel", '8 11/16"', 9.25 * K - 7 / 12 * 3.5, "seat on the whole plate"),
    ("01", "how high is its heel", '9 9/16"', 9.25 * K - 7 / 12 * 3 + K / 2, 'top of 1/2" sheathing'),
    ("01", "how high is its heel", '11"', 9.25 * K - 7 / 12 * 3 + 7 / 12 * 3.5, "inside face of the wall"),
    ("01", "How deep is its notch", '3"', 3, "seat itself"),
    ("01", "How deep is its notch", '1 3/4"', 7 / 12 * 3, "heel cut"),
    ("01", "How deep is its notch", '2 5/16"', 9.25 / 4, "quarter of the depth"),
    ("01", "How deep is its notch", '2"', 7 / 12 * 3 * K, "multiplying by the stretch"),
    ("01", "How deep is its notch", '8 15/16"', 9.25 * K - 7 / 12 * 3, '"Heel height"'),
    ("01", "Roof 9", "1'-1 1/2\"", 11.25 * K8, "plumb depth alone"),
    ("01", "Roof 9", '10 1/4"', 11.25 * K8 - 3.25, "seat taken as it is"),
    ("01", "What is their overall height", "7'-0\"", 7 / 12 * 144, "slope alone"),
    ("01", "What is their overall height", "14'-8 15/16\"", 8.9375 + 7 / 12 * 288, "whole span"),
    ("01", "What is their overall height", "8'-7 7/16\"", 8.9375 + 7 / 12 * (144 + 18), "begun at the tail"),
    ("01", "What is their overall height", "2'-11 1/8\"", 3 / 12 * (144 - 3.5), '"Ceiling rise"'),
    ("01", "What is their overall height", "4'-9 13/16\"",
     8.9375 + 7 / 12 * 144 - 3 / 12 * 140.5, '"Depth at the peak"'),
    ("01", "How high does their ceiling rise", "3'-0\"", 3 / 12 * 144, "other face"),
    ("01", "How high does their ceiling rise", "5'-11 1/8\"", 3 / 12 * (288 - 3.5), "whole span"),
    ("01", "How high does their ceiling rise", "6'-9 15/16\"", 7 / 12 * (144 - 3.5), "roof's pitch"),
    ("01", "How high does their ceiling rise", "3'-8 1/16\"", 8.9375 + 3 / 12 * 140.5, "heel counted in"),
    ("01", "underside of the rafter's tail", '-1 9/16"', 8.9375 - 7 / 12 * 18, "top of the tail"),
    ("01", "underside of the rafter's tail", "1'-0 1/4\"", -(8.9375 - 7 / 12 * 18 - 9.25 * K), "without its sign"),
    ("01", "underside of the rafter's tail", '-10 13/16"', 8.9375 - 7 / 12 * 18 - 9.25, "left square"),
    ("01", "underside of the rafter's tail", '-1 3/4"', 8.9375 - 9.25 * K, "no overhang"),
    ("01", "underside of the rafter's tail", '-5 5/8"', 8.9375 - 7 / 12 * 18 - 3.5 * K, "of the trusses"),
    ("01", "And the underside of the truss's tail", "-1'-0 1/4\"", 8.9375 - 7 / 12 * 18 - 9.25 * K, "of the rafters"),
    ("01", "And the underside of the truss's tail", '-1 9/16"', 8.9375 - 7 / 12 * 18, "top of the tail"),
    ("01", "And the underside of the truss's tail", '-5 1/16"', 8.9375 - 7 / 12 * 18 - 3.5, "left square"),
    # --- workbook 02
    ("02", "A roof rises 9 in 12", "1'-9\"", 12 + 9, "rise and run added"),
    ("02", "A roof rises 9 in 12", "1'-0\"", 12, "left level"),
    ("02", "A roof rises 9 in 12", '9"', 9, "rise of one step"),
    ("02", "how long is the line", "12'-0\"", 144, "left level"),
    ("02", "how long is the line", "27'-9 7/16\"", 288 * K, "whole span"),
    ("02", "how long is the line", "13'-9 13/16\"", (144 - 0.75) * K, "ridge board taken off already"),
    ("02", "how long is the line", "10'-4 3/8\"", 144 / K, "dividing by the stretch"),
    ("02", "Second blank: the tape is hooked", "13'-10 11/16\"", 144 * K, "half the board comes off"),
    ("02", "Second blank: the tape is hooked", "13'-9\"", (144 - 1.5) * K, "whole ridge board"),
    ("02", "Second blank: the tape is hooked", "13'-9 15/16\"", 144 * K - 0.75, "along the edge"),
    ("02", "Second blank: the tape is hooked", "11'-11 1/4\"", 144 - 0.75, "left level"),
    ("02", "How long is the rafter along its top edge", "13'-9 13/16\"", (144 - 0.75) * K, "no overhang"),
    ("02", "How long is the rafter along its top edge", "15'-3 13/16\"", (144 - 0.75) * K + 18, "after stretching"),
    ("02", "How long is the rafter along its top edge", "15'-7 9/16\"", (144 + 18) * K, "no ridge board"),
    ("02", "How long is the rafter along its top edge", "16'-0 1/16\"",
     (144 - 0.75 + 18) * K + 9.25 * 7 / 12, "stick to buy"),
    ("02", "How long must the stick", "15'-6 11/16\"", (144 - 0.75 + 18) * K, "cut length"),
    ("02", "How far down it is", '10 11/16"', 9.25 * K, "plumb depth alone"),
    ("02", "How far down it is", '7 1/2"', 9.25 - 7 / 12 * 3, "left square"),
    ("02", "How long is the heel cut below", '3"', 3, "seat as it is"),
    ("02", "How long is the heel cut below", '1 1/2"', 7 / 12 * 3 / K, "square to the edge"),
    ("02", "degrees off square", "59.7", 90 - degrees(atan(7 / 12)), "other cut"),
    ("02", "degrees off square", "7.0", 7, "taken as an angle"),
    # --- workbook 03
    ("03", "what is the boathouse truss's overall height", "9'-0\"", 9 / 12 * 144, "slope alone"),
    ("03", "what is the boathouse truss's overall height", "18'-8 5/8\"", 8.625 + 9 / 12 * 288, "whole span"),
    ("03", "Second blank: how high does its ceiling rise", "4'-6\"", 4.5 / 12 * 144, "other face"),
    ("03", "Second blank: how high does its ceiling rise", "8'-6 9/16\"", 9 / 12 * (144 - 7.25), "roof's pitch"),
    ("03", "what depth is left at the peak", "9'-8 5/8\"", 8.625 + 9 / 12 * 144, "overall height"),
    ("03", "what depth is left at the peak", "4'-8 3/4\"", 9 / 12 * 144 - 4.5 / 12 * 136.75, "slope alone"),
    ("03", "The shop begins its ceiling", "4'-3 5/16\"", 4.5 / 12 * (144 - 7.25), "other face"),
    ("03", "what is the minimum heel", '4 3/8"', 3.5 * 1.25, "butt cut adds"),
    ("03", "what is the minimum heel", '3 3/4"', 3.5 + 0.25, "left square"),
    ("03", "what is the minimum heel", '5 1/4"', 4 * 1.25 + 0.25, "nominal size"),
    ("03", "space is between the chords at the outside face", "0.512", 8.625 - 3.5 * 1.25 - 3.5 * C45,
     "other face"),
    ("03", "space is between the chords at the outside face", '7"', 8.625 - 3.5 * 1.25 + 4.5 / 12 * 7.25,
     "top chord alone"),
    ("03", "space is between the chords at the outside face", '5 15/16"',
     8.625 - 3.5 * 1.25 - 3.5 * C45 + 4.5 / 12 * 7.25 + (9 - 4.5) / 12 * 7.25, "inside face"),
    ("03", "And at the inside face?", '3 1/4"', 8.625 - 3.5 * 1.25 - 3.5 * C45 + 4.5 / 12 * 7.25, "outside face"),
    # --- workbook 04
    ("04", "First blank: how much higher does the plate", '10 1/2"', 7 / 12 * 18, "goes up with the roof"),
    ("04", "First blank: how much higher does the plate", '4 1/2"', 3 / 12 * 18, "walls of one thickness"),
    ("04", "First blank: how much higher does the plate", '4"', 3 / 12 * (18 + 3.5 - 5.5), "wrong way round"),
    ("04", "First blank: how much higher does the plate", '11 11/16"', 7 / 12 * 20, "along the roof"),
    ("04", "what heel does the short truss get", '8 15/16"', 8.9375, "long truss"),
    ("04", "what heel does the short truss get", "1'-7 7/16\"", 8.9375 + 7 / 12 * 18, "plate left as it was"),
    ("04", "what heel does the short truss get", "2'-0 7/16\"",
     8.9375 + 7 / 12 * 18 + 3 / 12 * 20, "plate's rise added"),
    ("04", "what heel does the short truss get", "1'-2 15/16\"", 8.9375 + (7 - 3) / 12 * 18, "walls of one thickness"),
    ("04", "By how much does the ceiling break", '10 1/2"', 7 / 12 * 18, "plate left as it was"),
    ("04", "By how much does the ceiling break", '5"', 3 / 12 * 20, "plate's rise"),
    ("04", "How long are the studs", "7'-8 5/8\"", 92.625, "long truss"),
    ("04", "How long are the studs", "8'-7 1/8\"", 92.625 + 7 / 12 * 18, "grows with the roof"),
    ("04", "How much higher are fascia", '5"', 3 / 12 * 20, "plate's rise"),
    ("04", "How much higher are fascia", "1'-6\"", 18, "set-in"),
    ("04", "How much higher are fascia", '4 1/2"', 3 / 12 * 18, "ceiling's pitch"),
    # --- workbook 05
    ("05", "First blank: the workshop's dead load", "12.0", 12, "used as it lies"),
    ("05", "First blank: the workshop's dead load", "10.7", 12 / K6, "dividing by the stretch"),
    ("05", "Second blank: what does each foot", "1042", (12 * K6 + 30) * 24, "spacing left in inches"),
    ("05", "Second blank: what does each foot", "43.4", 12 * K6 + 30, "one foot wide"),
    ("05", "Second blank: what does each foot", "84.0", (12 + 30) * 2, "used as it lies"),
    ("05", "Second blank: what does each foot", "60.0", 30 * 2, "dead load left out"),
    ("05", "How large is the moment at mid-span?$", "6122", 86.832816 * 11.875 ** 2 / 2, "whole span"),
    ("05", "How large is the moment at mid-span?$", "1058", 30 * 2 * 11.875 ** 2 / 8, "dead load left out"),
    ("05", "What bending stress is allowed", "1190", 900 * 1.15 * 1.15, "CF left out"),
    ("05", "What bending stress is allowed", "1242", 900 * 1.2 * 1.15, "CD left out"),
    ("05", "So the ratio", "1.02", 1428.3 / 1397.74, "capacity over demand"),
    ("05", "what shear is allowed beside it", "1501", 2 / 3 * 180 * 1.15 * 1.5 * 7.25, "full depth"),
    # --- workbook 06
    ("06", "What is w?", "84.0", (12 + 30) * 2, "used as it lies"),
    ("06", "What is w?", "43.0", 12 * 13 / 12 + 30, "one foot wide"),
    ("06", "First blank: how hard do the workshop", "2477", 86 * 24 ** 2 / (4 * 5), "twice the push"),
    ("06", "First blank: how hard do the workshop", "1032", 86 * 24 / 2, "straight down"),
    ("06", "First blank: how hard do the workshop", "1210", 84 * 24 ** 2 / 40, "used as it lies"),
    ("06", "how hard does a tie 18 in", "1238", 86 * 24 ** 2 / 40, "tie on the plates"),
    ("06", "how hard does a tie 18 in", "4128", 86 * 24 ** 2 / 40 * 60 / 18, "height of the tie"),
    ("06", "What would a ridge beam carry", "1032", 43 * 24, "whole roof on the ridge"),
    ("06", "What would a ridge beam carry", "258", 43 * 6, "one side"),
    ("06", "What does the post at the seam carry", "6192", 516 * 12, "whole beam on one post"),
    ("06", "How much is 1/(m", "0.33", 8 / 12 - 4 / 12, "m − c itself"),
    ("06", "How much is 1/(m", "1.5", 12 / 8, "level ceiling"),
    ("06", "How much is 1/(m", "1.0", 1 / (8 / 12 + 4 / 12), "two slopes added"),
    ("06", "How large is the compression in the top chord? (k", "1800", 600 / (4 / 12), "k left out"),
    ("06", "How large is the compression in the top chord? (k", "4327", 1200 / (4 / 12) * K8, "whole load"),
    ("06", "How large is the compression in the top chord? (k", "1897", 600 * 3 * C4, '"Bottom chord, pulled"'),
    ("06", "And the tension in the bottom chord", "1800", 600 / (4 / 12), "k left out"),
    ("06", "And the tension in the bottom chord", "2163", 600 * 3 * K8, '"Top chord'),
    # --- workbook 07
    ("07", "First blank: the clear height", '8 15/16"', 8.9375, "up to the sheathing"),
    ("07", "First blank: the clear height", '7 15/16"', 8.9375 - 1, "taken as it is"),
    ("07", "First blank: the clear height", '10 3/16"', 8.9375 + 1.25, "wrong side"),
    ("07", "Second blank: and at the inside", "1'-1 3/16\"", 8.9375 - 1.25 + 5.5, "width added as it is"),
    ("07", "Second blank: and at the inside", '7 11/16"', 8.9375 - 1.25, "outside face"),
    ("07", "Third blank: what R", "33.1", 8.9375 * 3.7, "up to the sheathing"),
    ("07", "What heel holds R-38 over", '10 1/4"', 38 / 3.7, "insulation alone"),
    ("07", "What heel holds R-38 over", "1'-2 1/2\"", 49 / 3.7 + 1.25, "required elsewhere"),
    ("07", "How large is the attic wall", "99.9", 4.5 / 12 * 138.5 ** 2 / 144 * 2, "rectangle"),
    ("07", "How large is the attic wall", "25.0", 4.5 / 12 * 138.5 ** 2 / 144 / 2, "one half"),
    # --- workbook 08
    ("08", "First blank: how high is the underside of the raked", "13'-7\"",
     97.125 + 6 / 12 * (144 - 5.5) - 3 * K6, "middle"),
    ("08", "First blank: how high is the underside of the raked", "12'-7 3/8\"",
     97.125 + 6 / 12 * (144 - 30 - 5.5), "ceiling line itself"),
    ("08", "Second blank: how high may the window", "12'-0 1/2\"", 148.0209 - 3.5, "without its header"),
    ("08", "Second blank: how high may the window", "11'-6 3/4\"", 148.0209 - 9.25, "casing"),
    ("08", "A cell of the grid", '8 7/16"', 9.25 * K8 - 8 / 12 * 4, "a 2x10 on a seat of 4:"),
    ("08", "A cell of the grid", '10 1/2"', 11.25 * K8 - 8 / 12 * 4.5, "a 2x12 on a seat of 4 1/2"),
    ("08", "A cell of the grid", "1'-1 1/2\"", 11.25 * K8, "plumb depth alone"),
    ("08", "A cell of the grid", '8 9/16"', 11.25 - 8 / 12 * 4, "left square"),
    # --- workbook 09
    ("09", "how high above the plate is the top corner", "1'-9\"", 12 + 9 / 12 * 12, "rises outward"),
    ("09", "how high above the plate is the top corner", "1'-0\"", 12, "no overhang"),
    ("09", "what is the workshop truss's overall height", "7'-6\"", 9 / 12 * 120, "slope alone"),
    # --- workbook 10
    ("10", "How high is the heel of Ruth's rafters", '9 13/16"', 9.8125, "of the trusses"),
    ("10", "How high is the heel of Ruth's rafters", '10 5/16"', 9.25 * K6, "plumb depth alone"),
    ("10", "How high is the heel of Ruth's rafters", '6 13/16"', 9.25 * K6 - 3.5, "seat taken as it is"),
    ("10", "What should the ceiling rise be", "3'-9\"", 3 / 12 * 180, "other face"),
    # --- workbook 11
    ("11", "First blank: which plane", '8 3/8"', 8.375, "lowest truss"),
    ("11", "First blank: which plane", '8 13/16"', 8.8125, "second highest"),
    ("11", "First blank: which plane", '8 11/16"', (8.625 + 8.875 + 8.375 + 8.8125) / 4, "average"),
    ("11", "how thick is the shim", "0.375", 8.875 - 8.375 - 0.125, "tolerance taken off"),
    ("11", "how thick is the shim", "0.125", 0.125, "tolerance itself"),
    ("11", "How deep is that notch", '2 13/16"', 2.8007, "seat itself"),
    ("11", "How deep is that notch", '1 7/8"', 8 / 12 * 2.8007, "measured plumb"),
    ("11", "A step of 3/4", "2'-0\"", 24, "two feet whatever"),
    ("11", "A step of 3/4", "1'-6\"", 24 * 0.75, "half an inch in each foot"),
)  # fmt: skip
"""Workbook, part of the question ($: its end), what is typed, the mistake by hand, and words of what is said."""


@cache
def questions(book: str) -> tuple[Question, ...]:
    """The typed questions of a workbook."""
    path = next(path for path in BOOKS if name(path).startswith(book))
    return tuple(ask.question for ask in asked(path) if ask.question is not None)


def question(book: str, part: str) -> Question:
    """The one question of a workbook that holds these words, or ends with them."""
    ends, words = part.endswith("$"), part.rstrip("$")
    (one,) = (q for q in questions(book) if (q.prompt.endswith(words) if ends else words in q.prompt))
    return one


def test_wrong_answers_are_named_rightly(capsys: pytest.CaptureFixture[str]) -> None:
    """At least 120 rows, each typed as its mistake makes it; at least 110 in 120 named, and none wrongly."""
    rightly, wrongly = 0, []
    for book, part, typed, by_hand, words in WRONG:
        one = question(book, part)
        number = read_answer(typed, one.row.unit, one.exact)
        off = 1 / 32 + 1e-9 if one.row.unit == "in" else 0.0101 * abs(by_hand)
        assert abs(number - by_hand) <= off, part
        said = one.judge(typed)
        if words in said.sentence and not said.right:
            rightly += 1
        elif said.right or said.mistake:
            wrongly.append((book, part, typed, said.sentence))
    with capsys.disabled():
        print(f"\n  {len(WRONG)} wrong answers: {rightly} named rightly, {len(wrongly)} wrongly", end="")
    assert len({(book, part, typed) for book, part, typed, _, _ in WRONG}) >= 120
    assert rightly >= 110 / 120 * len(WRONG) and wrongly == []


@pytest.mark.parametrize("path", BOOKS, ids=name)
def test_no_mistake_is_named_in_the_place_of_another(path: Path) -> None:
    """Each usual mistake, typed as on a tape or in four figures, is among those that are named, or none is named."""
    for one in questions(name(path)[:2]):
        for mistake, value, _ in one.mistakes:
            typed = feet_inches(value) if one.row.unit == "in" and abs(value) >= 1 else f"{value:.4g}"
            said = one.judge(f"{100 * value:.4g} %" if one.exact and not one.row.unit else typed)
            sentence = mistake.sentence.format_map(one.words).removeprefix("That fits")
            assert sentence in said.sentence or not said.mistake, (one.prompt, mistake.name, typed, said.sentence)


@pytest.mark.parametrize(
    ("book", "part", "typed", "way"),
    [
        ("01", "how high is its heel", "5", "larger"),
        ("01", "how high is its heel", "20", "smaller"),
        ("01", "underside of the rafter's tail", "5", "lower"),  # 12 1/4 in below the plate
        ("01", "underside of the rafter's tail", "-20", "higher"),
        ("06", "What is w?", "500", "smaller"),
    ],
)
def test_a_mistake_that_is_not_known_is_no_verdict(book: str, part: str, typed: str, way: str) -> None:
    said = question(book, part).judge(typed)
    assert (said.right, said.mistake) == (False, "")
    assert f"the answer is {way}. We do not recognise how it was got." in said.sentence


def test_two_mistakes_with_one_number_are_both_named() -> None:
    """Workbook 10: the trusses' heel, 9 13/16 in, is also 9.25 (1 + 1/4) - 1.75, a stretch without its root.

    Workbook 06: a whole beam on one post, 12 ft of 516 plf, is twice the half of it.
    """
    heel = question("10", "How high is the heel of Ruth's rafters").judge("9 13/16")
    assert heel.mistake == OTHER and heel.sentence.startswith('That fits "Heel height" of the trusses')
    assert "Or it is a stretch without its square root" in heel.sentence
    post = question("06", "What does the post at the seam carry").judge("6192").sentence
    assert "whole beam on one post" in post and "whole roof on the ridge" in post


def test_another_number_of_the_same_bay_is_said_to_be_that() -> None:
    """9 in 12 over 12'-0" with a heel of 9 in: 117 in high; the ceiling rises 4/12 x 138.5 = 46.17, so 70.83 remain."""
    truss = ScissorBay(Gable("24'", 9, 5.5, 16), 4, 9)
    said = Question("", truss, "height").judge("5'-10 13/16\"")
    assert said.mistake == OTHER and '"Depth at the peak"' in said.sentence and '"Overall height"' in said.sentence
    assert Question("", truss, "height").judge("9'-9\"").right


def test_a_sign_is_turned_as_a_person_writes_it() -> None:
    """The birdsmouth added, 10.709 + 1.75 (workshop of workbook 01), and a tail's sign lost."""
    rafters = RafterBay(Gable("24'", 7, "3 1/2", 18), "2x10", 3).handed_over()
    added = Question("", rafters, "heel").judge("12.459").sentence
    assert "9.25 × √(1 + (7/12)²) + (7/12) × 3." in added
    lost = Question("", rafters, "tail_underside").judge("12.27").sentence
    assert "comes from −(8.9375 − (7/12) × 18" in lost and "0 −" not in lost
    assert arithmetic_text("8 + (7/12) × (-18) + 2") == "8 − (7/12) × 18 + 2"
    assert arithmetic_text("8 − ((-3)/12) × (18 + 2)") == "8 + (3/12) × (18 + 2)"
    assert arithmetic_text("√(1 + ((-3)/12)²)") == "√(1 + (3/12)²)"


def test_no_working_of_a_question_has_a_minus_of_a_minus() -> None:
    """Every mistake of every question in the workbooks, and the right working."""
    shown = [
        one.judge(f"{fit.value:.4f}").sentence
        for path in BOOKS
        for one in questions(name(path)[:2])
        if one.exact
        for fit in one.mistakes
    ]
    assert len(shown) > 400
    assert not [text for text in shown if re.search(r"[+−] \([-−]|[-(]-\d|(?:\(|from )0 − ", text)]


@pytest.mark.parametrize(("text", "value"), [("9-2-3", 110.1875), ("00-08-13", 8.8125), ("-0-08-13", -8.8125)])
def test_feet_inches_sixteenths_are_read_alike_everywhere(text: str, value: float) -> None:
    """9 ft, 2 in and 3 sixteenths are 108 + 2 + 3/16 in: in answers, in boxes, and on drawings."""
    assert inches(text) == drawing_length(text, "heel") == read_answer(text, "in") == value
    assert read_answer(text, "in", house=False) == value


@pytest.mark.parametrize("text", ["9-12-3", "9-2-16"])
def test_too_many_inches_or_sixteenths_are_refused_everywhere(text: str) -> None:
    for read in (inches, lambda given: drawing_length(given, "heel"), lambda given: read_answer(given, "in")):
        with pytest.raises(InputError, match="inches go up to 11, sixteenths to 15"):
            read(text)
