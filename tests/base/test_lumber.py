"""Lumber sizes. Dressed sizes are those of PS 20, American Softwood Lumber Standard."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rooflab.base.lumber import CHORDS, RAFTERS, RIDGES, board_length, dressed_size, stock_at_least
from rooflab.base.measure import InputError, feet_inches

PS20_THICKNESS = {"1": 0.75, "2": 1.5}
PS20_WIDTH = {"4": 3.5, "6": 5.5, "8": 7.25, "10": 9.25, "12": 11.25}


def refusal(function, *arguments):
    """The one sentence with which a value is refused."""
    with pytest.raises(InputError) as caught:
        function(*arguments)
    (sentence,) = caught.value.problems
    return sentence


@pytest.mark.parametrize("thick", PS20_THICKNESS)
@pytest.mark.parametrize("wide", PS20_WIDTH)
@pytest.mark.parametrize("times", ["x", "X", " x ", "\u00d7", " \u00d7 ", "\u00a0x\u00a0"])
def test_dressed_sizes(thick, wide, times):
    """PS 20: 1x is 3/4, 2x is 1 1/2; 4, 6, 8, 10, 12 are 3 1/2, 5 1/2, 7 1/4, 9 1/4, 11 1/4 in."""
    assert dressed_size(f"{thick}{times}{wide}") == (PS20_THICKNESS[thick], PS20_WIDTH[wide])


@pytest.mark.parametrize(
    ("text", "expected"),
    {
        "1 3/4 x 11 7/8": (1.75, 11.875),
        "1-3/4 X 11-7/8": (1.75, 11.875),
        "1\u00be \u00d7 11\u215e": (1.75, 11.875),
        '1 3/4" x 11 7/8"': (1.75, 11.875),
        "1 3/4 in x 11 7/8 in": (1.75, 11.875),
        "1.5x9.25": (1.5, 9.25),
        "1 3/4 x 14": (1.75, 14),
        "3 x 9 1/4": (3, 9.25),
        '2" x 10"': (2, 10),
        "1 1/2 x 10''": (1.5, 10),
        "1 1/2 x 12.0": (1.5, 12),
        "1 1/2 x 1'": (1.5, 12),
    }.items(),
)
def test_measured_stock_is_taken_at_its_word(text, expected):
    assert dressed_size(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "2x9",
        "2x14",
        "3x10",
        "4x10",
        "10x2",
        "0x4",
        "2x",
        "x10",
        "x",
        "2",
        "2x10x12",
        "2 by 10",
        "9 1/4",
    ],
)
def test_unknown_size_is_refused_with_the_list(text):
    sentence = refusal(dressed_size, text, "ridge")
    assert sentence.startswith(f"ridge: {text} is not a size known here; give 1x or 2x by 4, 6, 8, 10 or 12 ")


@pytest.mark.parametrize("text", ["1 1/2 x 10", "2 x 9 1/4", '2x10"', '2" x 10', "1.5 x 4", "1x7.25", "-2x10", "2x-10"])
def test_half_nominal_half_measured_is_refused(text):
    """The mistake this catches: a nominal depth read as inches makes the depth wrong by 1/2 or 3/4 in."""
    sentence = refusal(dressed_size, text, "rafter")
    assert sentence.startswith(f"rafter: {text} mixes a nominal and a measured size; give a name (as in 2x10) or ")


@pytest.mark.parametrize("text", ["0.0 x 9.25", "1.5 x 0.0", "-1.5 x 9.25", "1.5 x -9.25"])
def test_sizes_are_above_zero(text):
    assert refusal(dressed_size, text) == f"lumber: {text} is no size; thickness and depth must be above 0."


def test_measured_parts_are_refused_as_lengths():
    refused = refusal(dressed_size, "1 3/4 x 8 9/8", "rafter")
    assert refused.startswith("rafter depth: 8 9/8 has 9/8 after a whole number")
    assert refusal(dressed_size, "45 mm x 9 1/4", "rafter").startswith("rafter thickness: 45 mm is metric")


@pytest.mark.parametrize("value", [None, "", 9.25, True, ("2x10",), b"2x10"])
def test_what_is_no_text_is_refused(value):
    shown = "nothing" if value in (None, "") else str(value)
    assert refusal(dressed_size, value).startswith(f"lumber: {shown} is not a size known here; give 1x or 2x by ")


def test_offered_names():
    """What is offered for which member: common practice, no source."""
    assert RAFTERS == ("2x4", "2x6", "2x8", "2x10", "2x12") and CHORDS == ("2x4", "2x6", "2x8")
    assert RIDGES == ("1x6", "1x8", "1x10", "1x12", "2x6", "2x8", "2x10", "2x12")
    for names in (RAFTERS, CHORDS):
        depths = [dressed_size(name)[1] for name in names]
        assert depths == sorted(depths)
    assert {dressed_size(name)[0] for name in RIDGES} == {0.75, 1.5}


@pytest.mark.parametrize(
    ("depth", "name"),
    [
        (0.5, "2x4"),
        (3.5, "2x4"),
        (3.51, "2x6"),
        ("5 9/16", "2x8"),
        (7.25, "2x8"),
        (9.25, "2x10"),
        (11.25, "2x12"),
        (11.3, None),
    ],
)
def test_shallowest_stock(depth, name):
    """Against the dressed depths of PS 20."""
    assert stock_at_least(depth) == name


@given(st.floats(-5, 20))
def test_shallowest_stock_is_deep_enough_and_no_deeper(depth):
    name = stock_at_least(depth)
    enough = [wide for wide in PS20_WIDTH.values() if wide >= depth - 1e-9]
    assert (name is None) if not enough else dressed_size(name)[1] == min(enough)


def test_float_dust_buys_no_deeper_and_no_longer_board():
    assert stock_at_least(9.25 + 1e-12) == "2x10" and board_length(192 + 1e-10) == 192


@pytest.mark.parametrize(
    ("needed", "bought"),
    [
        ('1"', "8'-0\""),
        ("8'", "8'-0\""),
        ("8'-0 1/16\"", "10'-0\""),
        ("14'-1\"", "16'-0\""),
        ("16'", "16'-0\""),
        ("23'-11\"", "24'-0\""),
        ("24'", "24'-0\""),
    ],
)
def test_board_to_buy(needed, bought):
    """Lumber is sold in two-foot lengths: common practice, no source."""
    assert feet_inches(board_length(needed)) == bought


def test_longer_than_common_stock():
    assert board_length("24'-0 1/16\"") is None and board_length(1e6) is None


@given(st.floats(0.01, 288))
def test_board_is_long_enough_and_no_step_too_long(needed):
    bought = board_length(needed)
    assert bought is not None and bought % 24 == 0 and 96 <= bought <= 288 and bought >= needed - 1e-9
    assert bought == 96 or bought - 24 < needed


@pytest.mark.parametrize("needed", [0, -3.5, "-8'"])
def test_no_length_to_buy(needed):
    assert refusal(board_length, needed) == f"length needed: {needed} is no length to buy; it must be above 0."


@pytest.mark.parametrize("function", [dressed_size, stock_at_least, board_length])
@given(
    value=st.one_of(
        st.text(),
        st.text("0123456789 x\u00d7X./-'\"in\u00bd", max_size=12),
        st.floats(),
        st.integers(),
        st.none(),
        st.booleans(),
        st.lists(st.floats()),
    )
)
def test_nothing_but_input_error(function, value):
    try:
        result = function(value)
    except InputError as error:
        assert error.problems
    else:
        if function is dressed_size:
            assert len(result) == 2 and all(math.isfinite(x) and x > 0 for x in result)
        else:
            assert result is None or result in RAFTERS or (result % 24 == 0 and 96 <= result <= 288)
