"""The glossary is the one place of definitions: every trade word of the series is in it, and it says what readings do.

Lengths are worked by hand for the small house of the picture: 11'-0" wide, 8 in 12, 2x10 (9 1/4 in, PS 20) on a seat of
3 1/2 in, overhang 14, a plate of 5 1/2 in, ceiling 4 in 12, 2x4 chords (3 1/2 in, PS 20).  k = sqrt(1 + (8/12)^2).
That total rise and span mean different things in different manuals: EN5156 and EN0069A (US Army Engineer subcourses),
Miller's *Carpenters' Guide*; the code's span tables speak of clear distances.
"""

from __future__ import annotations

import re
from itertools import combinations
from math import hypot, sqrt
from pathlib import Path

import pytest

from rooflab import InputError
from rooflab.base.inputs import INPUTS
from rooflab.checks.grades import QUANTITIES
from rooflab.draw.placing import overlap, touches
from rooflab.draw.scene import STYLES, Point
from rooflab.draw.views.glossary import picture, scene, targets, term_places, words_of
from rooflab.house.readings import READINGS
from rooflab.lessons.glossary import GROUPS, TERMS, find, search, unknown
from rooflab.lessons.glossary_places import MEASURES, example_house, term_spots
from rooflab.live import glossary, word_table
from tests.tools.lessons import BOOKS, name, prose, sections

K = sqrt(1 + (8 / 12) ** 2)
HEEL = 8 + 13 / 16  # 9.25 k - 8/12 x 3.5 = 8.784, handed over to the nearest 1/16
BY_HAND = {
    "run": 66,
    "span": 132,
    "overall height": HEEL + 44,
    "ceiling rise": (66 - 5.5) * 4 / 12,
    "depth at the peak": HEEL + 44 - (66 - 5.5) * 4 / 12,
    "plumb depth": 9.25 * K,
    "depth": 9.25,
    "seat": 3.5,
    "heel cut": 3.5 * 8 / 12,
    "plumb cut": 3.5 * 8 / 12,
    "notch": 3.5 * 8 / 12 / K,
    "heel": HEEL,
    "raised heel": HEEL,
    "minimum heel": 3.5 * K + 0.25,
    "line length": 66 * K,
    "ridge shortening": 0.75 * K,
    "cut length": (66 - 0.75 + 14) * K,
    "stock length": (66 - 0.75 + 14) * K + 9.25 * 8 / 12,
    "overhang": 14,
    "bearing": 5.5,
    "rise": 44,
    "set in": 15,
    "stand-off": 15 * 4 / 12,
    "space between chords": HEEL - 3.5 * K - 3.5 * sqrt(1 + 1 / 9) + 5.5 * 8 / 12,
    "clear height": HEEL - 1 * K,
    "level cut": None,  # see test_checks; here only its direction
    "air space": 1,
    "step": 1,
    "projection": 66,
}
# Bold in a lesson for weight, not as a new word.
WEIGHT = re.compile(r"\.$|^each bay needs|^do not nail|^1/\(m")
# Words of labels that mean what they mean anywhere.
PLAIN = """a above at between by floor from for how in it its new of over own part side state stands the their to top
    under wanted where with underside roof wall needed end left right main own space line value factor modulus
    elasticity limit load member nail on ce is ct carries one importance exposure thermal window eave head
    insulation lb psi e fb fv fc perpendicular deflection area spacing k t joint
    """.split()


def long(points: tuple[tuple[float, float], ...]) -> float:
    (xa, ya), (xb, yb) = points
    return hypot(xb - xa, yb - ya)


def test_blocking_is_not_the_wind_wash_block() -> None:
    """IRC R602.10.8.2: blocking passes the roof's push into a braced wall; a baffle keeps wind out."""
    blocking, block = find("blocking"), find("baffle")
    assert blocking.name == "blocking" and "blocking" not in block.also
    assert "braced wall" in blocking.meaning and "wind out of the insulation" in block.meaning


# --- every word is in it --------------------------------------------------------------------------------------------


LABELS = {row.label for row in READINGS} | {row.label for table in (INPUTS, QUANTITIES) for row in table.values()}


@pytest.mark.parametrize("label", sorted(LABELS))
def test_the_words_of_every_label_are_told(label: str) -> None:
    assert unknown(label, PLAIN) == [], label


LESSONS = [path for path in BOOKS if not name(path).startswith("00")]


@pytest.mark.parametrize("path", LESSONS, ids=name)
def test_every_new_word_of_a_lesson_is_told(path: Path) -> None:
    """A word in bold in Explore is a new one."""
    new = re.findall(r"\*\*(.+?)\*\*", sections(prose(path), "## ").get("Explore", ""))
    assert new
    missing = [word for word in new if not WEIGHT.search(word) and unknown(word.split(",")[0], ["a", "the"])]
    assert missing == []


def test_each_word_stands_once() -> None:
    words = [word.lower() for term in TERMS for word in (term.name, *term.also)]
    assert sorted(words) == sorted(set(words))
    assert all(find(word) for word in words)


def test_a_word_that_is_not_there_is_refused() -> None:
    with pytest.raises(InputError, match="'frieze'"):
        find(" frieze ")


def test_words_that_clash_say_which_is_meant() -> None:
    """Total rise and span, and the faces that heel and ceiling line start from, differ between manuals and shops."""
    for word, meant in (("total rise", "the heel out"), ("span", "as here"), ("heel", "wood only, at the outside face"),
                        ("ceiling line", "which face you mean"), ("pitch", "Never here")):  # fmt: skip
        assert meant.lower() in " ".join(find(word).differs.lower().split()), word


# --- it says what the readings do -----------------------------------------------------------------------------------


def test_measures_are_as_long_as_worked_by_hand() -> None:
    measured = {word: spot for word, spot in term_places().items() if spot.kind in MEASURES}
    twice = {"full height": "clear height", "heel wanted": "raised heel", "square to the edge": "depth",
             "stretch": "line length"}  # fmt: skip
    assert set(measured) - set(twice) == set(BY_HAND)
    assert all(measured[one].points == measured[other].points for one, other in twice.items())
    for word, length in BY_HAND.items():
        if length is not None:
            assert long(measured[word].points) == pytest.approx(length, abs=1 / 32), word


def test_measures_run_as_their_meaning_says() -> None:
    """Plumb ones stand, level ones lie, others follow the roof's slope or stand square to it; and they say so."""
    for term in TERMS:
        spot = term_places().get(term.name)
        if spot is None or spot.kind not in MEASURES:
            continue
        (xa, ya), (xb, yb) = spot.points
        across, up = xb - xa, yb - ya
        apart = {"plumb": across, "level": up, "along": up - 8 / 12 * across, "square": abs(up) * 8 / 12 - abs(across)}
        assert apart[spot.kind] == pytest.approx(0, abs=1e-6), term.name
        said = {"plumb": "plumb|height|high", "level": "level|width|half the span|far|plan", "along": "along|slope",
                "square": "square|into the wood|above"}[spot.kind]  # fmt: skip
        assert re.search(said, term.meaning, re.I), term.name


def test_a_measure_names_a_reading_and_both_agree() -> None:
    rafters, scissor = example_house()
    named = [term for term in TERMS if term.reading]
    assert len(named) >= 16
    for term in named:
        bay, reading = term.reading.split(".")
        own = {"rafter": rafters, "scissor": scissor}[bay]
        inputs = {"span": own.gable.span, "overhang": own.left.overhang, "bearing": own.left.bearing}
        value = inputs[reading] if reading in inputs else own.reading(reading, "left").value
        assert long(term_places()[term.name].points) == pytest.approx(value, abs=1 / 32), term.name


def test_the_heel_is_told_and_drawn_where_it_is_read() -> None:
    """Plumb, from the plate to the top edge, at the outside face of the framing (common practice, no source)."""
    assert term_places()["heel"].points == ((0.0, 0.0), (0.0, HEEL))
    told = find("heel").meaning
    assert all(word in told for word in ("Plumb", "top of the plate", "top edge", "outside face of the framing"))
    assert "plumb depth less heel cut" in told
    assert BY_HAND["plumb depth"] - BY_HAND["heel cut"] == pytest.approx(HEEL, abs=1 / 32)  # type: ignore[operator]


# --- the picture ----------------------------------------------------------------------------------------------------


PLACED = [term.name for term in TERMS if term.spot]


def test_every_place_is_on_the_drawn_section() -> None:
    drawn = {part.name for part in scene().parts}
    assert {term.spot for term in TERMS if term.spot} == set(term_spots(*example_house()))
    for word, spot in term_places().items():
        assert set(spot.parts) <= drawn, word
        assert spot.points or spot.parts


def test_every_word_stands_in_the_picture_of_one_group() -> None:
    assert sorted(word for group in GROUPS for word in words_of(group)) == sorted(PLACED)


@pytest.mark.parametrize("wide", [380, 620, 700, 900, 1160, 1600])
@pytest.mark.parametrize("group", GROUPS)
def test_words_stand_beside_the_section(group: str, wide: int) -> None:
    """All of the group, in letters of 14 px or more, none on another or outside the frame; leaders end on the drawing
    and cross no word; no two of one column cross."""
    page = picture(group, "", wide)
    words = {label.name: label for label in page.labels if label.name in words_of(group)}
    assert set(words) == set(words_of(group)) and page.size >= 14
    for one, other in combinations(page.labels, 2):
        assert not overlap(one.box, other.box), (one.text, other.text)
    for label in page.labels:
        x0, y0, x1, y1 = label.box
        assert x0 >= 0 and y0 >= 0 and x1 <= page.width and y1 <= page.height, label.text
    for part in page.parts:
        assert all(-0.1 <= x <= page.width + 0.1 and -0.1 <= y <= page.height + 0.1 for x, y in part.points), part.name
    leaders = {part.name[7:]: part.points for part in page.strokes if part.name.startswith("leader ")}
    assert set(leaders) == set(words)
    for word, (start, end) in leaders.items():
        assert not any(touches(label.box, start, end) for own, label in words.items() if own != word), word
    for first, second in combinations(leaders, 2):
        if words[first].anchor == words[second].anchor:
            assert not crossing(*leaders[first], *leaders[second]), (first, second)


def crossing(a: Point, b: Point, c: Point, d: Point) -> bool:
    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < -1e-6 and turn(c, d, a) * turn(c, d, b) < -1e-6


@pytest.mark.parametrize(("group", "heels"), [("Rafter", ["left"]), ("Scissor truss", ["right"]),
                                              ("Eave and wall", ["left", "right"])])  # fmt: skip
def test_heels_are_enlarged(group: str, heels: list[str]) -> None:
    """A seat of 3 1/2 in is 30 px long and more in its detail, at the least width of a panel with two columns."""
    for wide in (640, 900):
        page = picture(group, "", wide)
        assert [label.name[7:] for label in page.labels if label.name.startswith("detail ")] == heels
    page = picture("Rafter", "seat", 900)
    (seat,) = [stroke.points for stroke in page.strokes if stroke.name == "seat" and stroke.style == "chosen"]
    assert long(seat) > 30


@pytest.mark.parametrize("word", PLACED)
def test_a_lit_word_shows_by_weight_and_colour(word: str) -> None:
    """Its place is heavier than all else in the picture and of another colour, it is boxed, and it is explained."""
    group = find(word).group
    page, plain = picture(group, word), picture(group)
    lit = [part for part in page.parts if part.style in ("chosen", "chosen area")]
    assert len(lit) >= 2 and min(STYLES[part.style].width for part in lit) >= 3
    assert max(STYLES[part.style].width for part in plain.parts) < 2.5
    assert any(part.style in ("aglow", "chosen area") for part in page.parts)
    (box,) = [shape for shape in page.shapes if shape.name == "word"]
    (label,) = [label for label in page.labels if label.name == word]
    x0, y0, x1, y1 = label.box
    (left, top), (right, bottom) = box.points[0], box.points[2]
    assert left <= x0 and x1 <= right and top <= y0 and y1 <= bottom
    assert find(word).meaning in page.description
    assert {label.text: label.box for label in page.labels} == {label.text: label.box for label in plain.labels}


def test_what_is_pointed_at_is_as_large_as_a_finger_and_where_the_word_is() -> None:
    """24 px high (WCAG 2.2, 2.5.8), around the word itself, none on another."""
    for group in GROUPS:
        page = picture(group, "", 900)
        boxes = {name: box for name, box, _ in targets(group, 900)}
        assert list(boxes) == [name for name in boxes if name in words_of(group)] and len(boxes) == len(words_of(group))
        for label in page.labels:
            if label.name in boxes:
                x0, y0, x1, y1 = boxes[label.name]
                assert (y1 - y0) * page.height >= 24
                assert x0 * 900 <= label.box[0] and label.box[2] <= x1 * 900
                assert y0 * page.height <= label.box[1] and label.box[3] <= y1 * page.height
        for one, other in combinations(boxes.values(), 2):
            assert not overlap((one[0], one[1] + 1e-6, one[2], one[3] - 1e-6), other)


def test_the_list_tells_the_chosen_word() -> None:
    words = glossary("total rise")
    assert words.chosen == "rise" and "104" not in words.meaning and "Careful" in words.meaning
    before = words.picture
    words.choose("seat")
    assert words.meaning.startswith("<b>seat</b>") and words.picture != before and words.group == "Rafter"
    listed = [word for _, rows in words.setup["groups"] for word in rows]
    assert listed == [term.name for term in TERMS]


def test_a_word_that_is_searched_is_lit() -> None:
    words = glossary()
    words.give(do="search", value="birds")
    assert words.found[0] == words.chosen == "birdsmouth" and len(words.found) < 4
    words.give(do="search", value="soffit line")
    assert words.chosen == "soffit" and words.group == "Eave and wall"
    words.give(do="search", value="zebra")
    assert words.found == [] and "zebra" in words.answer and words.chosen == "soffit"
    words.give(do="search", value="")
    assert len(words.found) == len(TERMS)


def test_a_search_finds_names_before_meanings() -> None:
    assert search("heel")[0] == "heel" and "raised heel" in search("heel")
    assert search("wind-wash block") == search("Wind-wash  Block ") == ["baffle"]
    assert search("out to out")[0] == "span" and "plumb" in search("string")


def test_a_group_is_shown_without_a_lit_word_and_the_width_is_followed() -> None:
    words = glossary()
    words.give(do="group", value="Warmth")
    assert words.chosen == "" and words.group == "Warmth"
    words.give(do="width", value=1163)
    assert 'viewBox="0 0 1160 ' in words.picture
    words.give(do="width", value=10)
    assert 'viewBox="0 0 360 ' in words.picture
    for wrong in (float("nan"), float("inf"), -1, "wide", None):
        words.give(do="width", value=wrong)
        assert words.answer.startswith("<b>Not done") and 'viewBox="0 0 360 ' in words.picture


def test_the_table_holds_all_words() -> None:
    text = repr(word_table())
    assert len(text.splitlines()) == len(TERMS)
    assert all(term.meaning in text and term.differs in text for term in TERMS)
    assert repr(word_table(["heel"])).count("\n") == 0
