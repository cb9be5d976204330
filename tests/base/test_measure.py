"""Text and numbers: every spelling people type, every refusal, rounding and round trips.

Without another source named, an expected length is arithmetic: feet times 12, plus inches, plus the fraction.
"""

import copy
import math
import pickle
import unicodedata
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rooflab.base.measure import LARGEST, InputError, feet_inches, inches, length_in_words, pitch, pitch_text, sixteenth

SPELLINGS = {
    "26'": 312,
    "26'-0\"": 312,
    "9'-8 5/8\"": 116.625,
    "9' 8-5/8\"": 116.625,
    "9'-8-5/8\"": 116.625,
    "9'8 5/8\"": 116.625,
    "9' - 8 5/8\"": 116.625,
    "9'-8.625\"": 116.625,
    "9'-0 5/8\"": 108.625,
    "9'-5/8\"": 108.625,
    "8-5/8": 8.625,
    "8 5/8": 8.625,
    "8 - 5 / 8": 8.625,
    "  8   5/8  ": 8.625,
    "8 0/8": 8,
    '7 1/4"': 7.25,
    "8.625": 8.625,
    ".5": 0.5,
    "8.": 8,
    "0": 0,
    "26 ft": 312,
    "26ft.": 312,
    "3/4 in": 0.75,
    "3/4": 0.75,
    "9/8": 1.125,
    "10' 6": 126,
    "1' -6\"": 18,
    "9 ft 8 5/8 in": 116.625,
    "9 FT. 8 5/8 In.": 116.625,
    "9ft8in": 116.0,
    "9 feet 8 inches": 116,
    "1 foot 1 inch": 13,
    "8.5'": 102,
    "8.1'": 97.2,
    "11 3/4 inches": 11.75,
    "\u00bd": 0.5,
    "8\u00bd": 8.5,
    "8 \u215d": 8.625,
    '8-\u215d"': 8.625,
    "9'-8\u215d\"": 116.625,
    "8 5\u20448": 8.625,
    "6''": 6,
    "9'-8''": 116,
    "9\u2019-8 5/8\u201d": 116.625,
    "9\u20188\u201c": 116,
    "9\u2032-8 5/8\u2033": 116.625,
    "9\u2032 8\u2032\u2032": 116,
    "9'\u20138\"": 116,
    "9\u00a0ft\u00a08\u00a05/8\u00a0in": 116.625,
    "9'\u202f8\"": 116,
    "-3": -3,
    "- 3": -3,
    "\u22123": -3,
    "-9'-8 5/8\"": -116.625,
    "-0'-6\"": -6,
    "-\u00bd": -0.5,
}

REFUSALS = {
    "6 7/8'": "fraction of a foot",
    "1/2 ft": "fraction of a foot",
    "9.5' 6\"": "decimal feet",
    "9.0' 6\"": "decimal feet",
    "9'-14\"": "inches must be under 12",
    "9' 12": "inches must be under 12",
    "8 9/8": "under 1",
    "8 8/8": "under 1",
    "9' 9/8\"": "under 1",
    "8 5/0": "must be 1 or more",
    "5/0": "must be 1 or more",
    "8,625": "point",
    "1,000": "without a comma",
    "1e3": "inches or feet and inches",
    "200 mm": "inches or feet and inches",
    "20cm": "inches or feet and inches",
    "-2.5 m": "inches or feet and inches",
    "--3": "inches or feet and inches",
    "26'-": "inches or feet and inches",
    "1' --6\"": "inches or feet and inches",
    "9'-8\" 5/8": "inches or feet and inches",
    "9-8 5/8": "inches or feet and inches",
    "10 6": "inches or feet and inches",
    "9ft.5in": "inches or feet and inches",
    "9' 8'": "inches or feet and inches",
    "8\" 9'": "inches or feet and inches",
    "'6\"": "inches or feet and inches",
    '"': "inches or feet and inches",
    "'": "inches or feet and inches",
    "in": "inches or feet and inches",
    "8 in in": "inches or feet and inches",
    "1/2/3": "inches or feet and inches",
    "\u00bd8": "inches or feet and inches",
    "8\u00b2": "inches or feet and inches",
    "\u0668": "inches or feet and inches",
    "0x10": "inches or feet and inches",
    "1_000": "inches or feet and inches",
    "+-3": "inches or feet and inches",
    "nan": "inches or feet and inches",
    "inf": "inches or feet and inches",
    "eight": "inches or feet and inches",
    "100000'": "1,000,000",
    "9" * 40: "1,000,000",
}


def refusal(function, *arguments):
    """The one sentence with which a value is refused."""
    with pytest.raises(InputError) as caught:
        function(*arguments)
    (sentence,) = caught.value.problems
    assert str(caught.value) == sentence and sentence.endswith(".") and "\n" not in sentence
    return sentence


@pytest.mark.parametrize(("text", "expected"), SPELLINGS.items())
def test_spelling(text, expected):
    value = inches(text)
    assert value == expected and type(value) is float


@pytest.mark.parametrize(("text", "allowed"), REFUSALS.items())
def test_refusal_names_quantity_value_and_what_is_allowed(text, allowed):
    sentence = refusal(inches, text, "seat")
    assert sentence.startswith(f"seat: {text} ") and allowed in sentence


@pytest.mark.parametrize("value", [True, False, np.True_, [1, 2], (8, 8), {}, 1j, np.complex128(1), b"8", np.ones(2)])
def test_what_is_no_number_and_no_text_is_refused(value):
    for function in (inches, pitch):
        sentence = refusal(function, value, "span")
        assert sentence.startswith(f"span: {value} is not a ") and "; give " in sentence


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, np.float64("nan"), np.float32("inf"), 1000001, -1e9])
def test_numbers_without_end_are_refused(value):
    for function in (inches, pitch):
        assert refusal(function, value, "span") == (
            f"span: {value} must be a finite number of inches, at most 1,000,000 either way."
        )


@pytest.mark.parametrize("value", [None, "", "   ", "\u00a0\n"])
def test_nothing_is_refused(value):
    assert refusal(inches, value, "span").startswith("span: nothing is not a length; give inches or feet and inches")
    assert refusal(pitch, value).startswith("pitch: nothing is not a pitch; give rise in 12")


def test_metric_is_refused_with_its_equivalent():
    """An inch is 25.4 mm exactly (the international inch); 200 mm = 7.874 in, nearest sixteenth 7 7/8."""
    assert refusal(inches, "200 mm") == (
        'length: 200 mm is metric; give inches or feet and inches (it is about 7 7/8").'
    )
    assert '(it is about 10")' in refusal(inches, "25.4cm") and "(it is about -8'-4\")" in refusal(inches, "-2.54 m")


def test_long_text_and_huge_numbers():
    long = "1" + " " * 40 + "2"
    assert "longer than 40 characters" in refusal(inches, long) and "longer than 40 characters" in refusal(pitch, long)
    assert inches(" " * 60 + "8" + " " * 60) == 8
    for huge in (10**400, -(10**400), 10**5000, Fraction(10**400)):
        assert len(refusal(inches, huge)) < 200
    assert inches(LARGEST) == inches("-1000000") * -1 == 1e6


def test_a_sentence_can_always_be_shown():
    """Control characters, half characters and objects that cannot say what they are come out printable."""

    class Mute:
        def __str__(self):
            raise RuntimeError

    for value in ("8\x00\x1b[2J", "8\ud800", "8\u202e", Mute(), "\ud800" * 500):
        sentence = refusal(inches, value)
        assert sentence.isprintable() and sentence.encode("utf-8") and len(sentence) < 400
    assert "a value of type Mute" in refusal(inches, Mute())


def test_numbers_pass_as_they_are():
    for value in (8.625, 8, np.float32(8.5), np.float64(8.625), np.int64(8), Fraction(69, 8)):
        for function in (inches, pitch):
            assert function(value) == value and type(function(value)) is float


def test_one_character_fractions_are_what_unicode_says():
    """The Unicode Character Database gives each of them its numeric value."""
    found = [c for c in map(chr, range(0x110000)) if "\u2044" in unicodedata.normalize("NFKC", c)]
    found = [c for c in found if c not in "\u2044\u215f"]
    assert len(found) >= 19
    for c in found:
        assert inches(c) == pytest.approx(unicodedata.numeric(c), abs=1e-12)
        assert inches(f"7{c}") == inches(f"7 {c}") == pytest.approx(7 + unicodedata.numeric(c), abs=1e-12)


FEET_INCHES = {
    116.625: ("9'-8 5/8\"", "9 ft 8 5/8 in"),
    312: ("26'-0\"", "26 ft 0 in"),
    108.0625: ("9'-0 1/16\"", "9 ft 0 1/16 in"),
    7.4375: ('7 7/16"', "7 7/16 in"),
    0.75: ('3/4"', "3/4 in"),
    8: ('8"', "8 in"),
    0: ('0"', "0 in"),
    12: ("1'-0\"", "1 ft 0 in"),
    11.99: ("1'-0\"", "1 ft 0 in"),
    -116.625: ("-9'-8 5/8\"", "-9 ft 8 5/8 in"),
    -0.5: ('-1/2"', "-1/2 in"),
}


@pytest.mark.parametrize(("x", "texts"), FEET_INCHES.items())
def test_lengths_as_text(x, texts):
    assert (feet_inches(x), length_in_words(x)) == texts


def test_navy_common_rafter():
    """NAVEDTRA 14044, fig. 2-17: 7 in 12 over a 16 ft span, 13.89 in per foot of run -> 111.12 in, 9'-3 1/8"."""
    length = 13.89 * inches("16'") / 2 / 12
    assert length == pytest.approx(111.12, abs=1e-9)
    assert feet_inches(length) == "9'-3 1/8\"" and feet_inches(111.12) == "9'-3 1/8\""


def test_army_common_rafter():
    """EN5156, fig. 3-13: 13 in 12 on a house 20'-8" wide -> 182.8 in, to the nearest half inch 15'-3".

    17.69 in per foot of run is the framing-square table's (NAVEDTRA 14044).
    """
    length = 17.69 * inches("20'-8\"") / 2 / 12
    assert length == pytest.approx(182.8, abs=0.05)
    assert feet_inches(round(2 * length) / 2) == feet_inches(round(2 * 182.8) / 2) == "15'-3\""


def test_a_tie_goes_away_from_zero():
    """A 24 ft span under a 4 1/2 in 12 ceiling from the inside of 7 1/4 in bearings rises 51.28125 in: 4'-3 5/16".

    Common practice, no source.
    """
    rise = (144 - 7.25) * 4.5 / 12
    assert rise == 51.28125
    assert feet_inches(rise) == feet_inches(rise - 1e-9) == "4'-3 5/16\"" and feet_inches(-rise) == "-4'-3 5/16\""


@given(st.integers(0, 15_999_999))
def test_every_tie_goes_away_from_zero(n):
    assert sixteenth((2 * n + 1) / 32) == (n + 1) / 16
    assert sixteenth(-(2 * n + 1) / 32) == -(n + 1) / 16


@given(st.integers(-16_000_000, 16_000_000))
def test_text_of_a_sixteenth_reads_back_exactly(n):
    x = n / 16
    assert inches(feet_inches(x)) == inches(length_in_words(x)) == sixteenth(x) == x
    assert feet_inches(x).isascii() and length_in_words(x).isascii()


@given(st.floats(-LARGEST, LARGEST))
def test_text_reads_back_as_the_rounded_value(x):
    rounded = sixteenth(x)
    assert inches(feet_inches(x)) == inches(length_in_words(x)) == rounded
    assert abs(rounded - x) <= 1 / 32 + 1e-6 and (16 * rounded).is_integer()
    assert inches(x) == x and inches(repr(x) if "e" not in repr(x) else f"{x:.20f}") == pytest.approx(x, abs=1e-15)


@given(st.floats(-5000, 5000))
def test_rounding_is_the_same_on_both_sides_of_zero(x):
    assert sixteenth(-x) == -sixteenth(x)
    if sixteenth(x) > 0:
        assert feet_inches(-x) == "-" + feet_inches(x)


@given(
    sign=st.sampled_from(["", "-", "\u2212", "- "]),
    feet=st.integers(0, 99),
    foot=st.sampled_from(["'", " '", "\u2032", "\u2019", " ft", "ft. ", " feet", " foot", " FT"]),
    between=st.sampled_from(["", " ", "-", " - ", "\u2013", "\u00a0"]),
    whole=st.integers(0, 11),
    joint=st.sampled_from([" ", "-", " - ", "\u00a0"]),
    over=st.sampled_from(["/", "\u2044", " / "]),
    top=st.integers(0, 15),
    inch=st.sampled_from(["", '"', "''", "\u2033", " in", " in.", " inches", "inch"]),
)
def test_any_mix_of_spellings(sign, feet, foot, between, whole, joint, over, top, inch):
    text = f"{sign}{feet}{foot}{between}{whole}{joint}{top}{over}16{inch}"
    expected = 12 * feet + whole + top / 16
    assert inches(text) == (-expected if sign else expected)


PITCHES = {
    "8": 8,
    "8.5": 8.5,
    "8 1/2": 8.5,
    "8-1/2": 8.5,
    "8\u00bd": 8.5,
    "8 in 12": 8,
    "8 IN 12": 8,
    "8in12": 8,
    "8/12": 8,
    "8 / 12": 8,
    "8:12": 8,
    "8 : 12": 8,
    "8\u204412": 8,
    "8 1/2 in 12": 8.5,
    "8 1/2 / 12": 8.5,
    "8.5/12": 8.5,
    "8\u00bd:12": 8.5,
    "1/2 in 12": 0.5,
    "1:2": 6,
    "64 in 96": 8,
    "24:48": 6,
    "-4 in 12": -4,
    "0": 0,
}


@pytest.mark.parametrize(("text", "expected"), PITCHES.items())
def test_pitch_spelling(text, expected):
    value = pitch(text)
    assert value == expected and type(value) is float


def test_pitch_over_another_run():
    """EN0069A, fig. 2-11: 2 in 5 is 4.8 in 12. Miller, The Carpenters' Guide: 64 in of rise over 8 ft is 8 in 12."""
    assert pitch("2 in 5") == 4.8 and pitch_text("2 in 5") == "4.8 in 12"
    assert pitch(f"64 in {8 * 12}") == 8


@pytest.mark.parametrize(
    ("text", "allowed"),
    {
        "1/2": "for example 6 in 12 or 1 in 2",
        "3/4": "for example 6 in 12 or 1 in 2",
        "12/8": "for example 6 in 12 or 1 in 2",
        "8 in 0": "above 0",
        "8:0": "above 0",
        "4/12/12": "write it once, for example 4 in 12 or 4/12",
        "4/12 in 12": "write it once, for example 4 in 12 or 4/12",
        "4 / 12 : 12": "write it once, for example 4 in 12 or 4/12",
        "8 in -12": "rise in 12",
        "8 in": "rise in 12",
        "in 12": "rise in 12",
        "8 9/8 in 12": "under 1",
        "8 5/0 in 12": "must be 1 or more",
        "8,5": "rise in 12",
        "1e1": "rise in 12",
        "--8": "rise in 12",
        "8 in 12 in 12": "rise in 12",
        "1:2:3": "rise in 12",
        "67%": "rise in 12",
        "steep": "rise in 12",
        "nan": "rise in 12",
        "inf in 12": "rise in 12",
        "1 in 0.000001": "1,000,000",
    }.items(),
)
def test_pitch_refusal(text, allowed):
    sentence = refusal(pitch, text, "roof pitch")
    assert sentence.startswith(f"roof pitch: {text} ") and allowed in sentence


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("33.7 deg", ", about 8 in 12;"),
        ("33.69\u00b0", ", about 8 in 12;"),
        ("45 degrees", ", about 12 in 12;"),
        ("26.565 deg.", ", about 6 in 12;"),
        ("34\u00ba", ", about 8.09 in 12;"),
        ("-45\u00b0", ", about -12 in 12;"),
        ("1 degree", ", about 0.21 in 12;"),
        ("90\u00b0", " is an angle;"),
        ("91 deg", " is an angle;"),
    ],
)
def test_degrees_are_refused_with_their_equivalent(text, same):
    """12 tan(angle): 8 in 12 is 33.69 degrees, 6 in 12 26.565, 12 in 12 45; tan 34 = 0.674509, tan 1 = 0.017455."""
    sentence = refusal(pitch, text)
    assert sentence.startswith(f"pitch: {text} is an angle") and same in sentence
    assert sentence.endswith("; give the pitch as rise in 12.")


def test_pitch_as_text():
    wanted = {8: "8 in 12", 8.5: "8 1/2 in 12", 4.8: "4.8 in 12", 0: "0 in 12", 0.0625: "1/16 in 12"}
    wanted |= {
        -4.5: "-4 1/2 in 12",
        2.17: "2.17 in 12",
        100 / 3: "33.3333 in 12",
        7.99999: "8 in 12",
        0.00004: "0 in 12",
    }
    assert {p: pitch_text(p) for p in wanted} == wanted


@given(st.floats(-LARGEST, LARGEST))
def test_pitch_text_reads_back_as_the_rounded_value(p):
    text = pitch_text(p)
    assert pitch(text) == round(p, 4) and pitch_text(text) == text and text.isascii()


@given(st.integers(-400, 400))
def test_pitch_text_of_a_sixteenth_is_exact_and_a_fraction(n):
    assert pitch(pitch_text(n / 16)) == n / 16 and "." not in pitch_text(n / 16)


def test_no_negative_zero():
    zeros = [inches(-0.0), inches("-0"), inches("-0'-0\""), sixteenth(-0.0), sixteenth(-0.03)]
    zeros += [pitch(-0.0), pitch("-0 in 12")]
    assert [math.copysign(1, zero) for zero in zeros] == [1] * len(zeros)
    assert feet_inches(-0.03) == '0"' and length_in_words(-0.0) == "0 in" and pitch_text(-0.00001) == "0 in 12"


ODD_TEXT = st.text(
    "0123456789 .,'\"-/:xein ftmcd\u00bd\u215d\u215f\u00b0\u00d7\u2032\u2033\u2044\u2212\u00a0", max_size=12
)
ANYTHING = st.one_of(
    st.text(),
    ODD_TEXT,
    st.floats(),
    st.integers(),
    st.none(),
    st.booleans(),
    st.lists(st.one_of(st.floats(), ODD_TEXT)),
    st.dictionaries(st.text(), st.integers()),
    st.binary(),
    st.complex_numbers(),
    st.decimals(),
    st.fractions(),
    st.datetimes(),
)


@pytest.mark.parametrize("function", [inches, sixteenth, pitch, feet_inches, length_in_words, pitch_text])
@given(value=ANYTHING)
def test_nothing_but_input_error(function, value):
    try:
        result = function(value)
    except InputError as error:
        assert error.problems and all(problem.isprintable() for problem in error.problems)
    else:
        assert isinstance(result, str) or (abs(result) <= LARGEST and str(result) != "-0.0")


def test_input_error_holds_sentences():
    one, two = InputError("a."), InputError(s for s in ("a.", "b."))
    assert (one.problems, str(one)) == (("a.",), "a.") and (two.problems, str(two)) == (("a.", "b."), "a.\nb.")
    assert isinstance(two, ValueError)
    for again in (pickle.loads(pickle.dumps(two)), copy.copy(two)):
        assert again.problems == two.problems and str(again) == str(two)
