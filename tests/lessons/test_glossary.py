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
from rooflab.draw.placing import overlap
from rooflab.draw.scene import STYLES
from rooflab.draw.views.glossary import TALL, WIDE, picture, scene, term_places
from rooflab.house.readings import READINGS
from rooflab.lessons.glossary import NUMBERS, TERMS, find, unknown
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


def test_every_place_is_on_the_drawn_section() -> None:
    drawn = {part.name for part in scene().parts}
    assert {term.spot for term in TERMS if term.spot} == set(term_spots(*example_house()))
    for word, spot in term_places().items():
        assert set(spot.parts) <= drawn, word
        assert spot.points or spot.parts


def test_numbers_stand_apart_and_inside_the_frame() -> None:
    page = picture()
    numbers = {label.name: label for label in page.labels}
    assert {name: label.text for name, label in numbers.items()} == {w: str(n) for w, n in NUMBERS.items()}
    assert sorted(NUMBERS.values()) == list(range(1, len(NUMBERS) + 1))
    for one, other in combinations(page.labels, 2):
        assert not overlap(one.box, other.box), (one.text, other.text)
    for part in page.parts:
        assert all(0 <= x <= WIDE and 0 <= y <= TALL for x, y in part.points), part.name


@pytest.mark.parametrize("word", ["heel", "rise", "rafter", "tail", "peak", "thrust", "overall height", "subfascia"])
def test_a_chosen_word_shows_without_colour(word: str) -> None:
    """It is written out, and drawn thicker than anything else; no text lies on it."""
    page = picture(word)
    written = [label for label in page.labels if label.text == word]
    assert len(written) == 1 and written[0].size > 1.2 * 12.0
    thick = [part for part in page.parts if part.style.startswith("chosen")]
    assert thick and min(STYLES[part.style].width for part in thick) >= 3
    for one, other in combinations(page.labels, 2):
        assert not overlap(one.box, other.box), (one.text, other.text)
    x0, y0, x1, y1 = written[0].box
    assert x0 >= 0 and y0 >= 0 and x1 <= WIDE and y1 <= TALL
    assert find(word).meaning in page.description


def test_the_list_tells_the_chosen_word() -> None:
    words = glossary("total rise")
    assert words.chosen == "rise" and "104" not in words.meaning and "Careful" in words.meaning
    before = words.picture
    words.chosen = "seat"
    assert words.meaning.startswith("<b>seat</b>") and words.picture != before
    listed = [word for _, rows in words.setup["groups"] for word, _ in rows]
    assert listed == [term.name for term in TERMS]


def test_the_table_holds_all_words() -> None:
    text = repr(word_table())
    assert len(text.splitlines()) == len(TERMS)
    assert all(term.meaning in text and term.differs in text for term in TERMS)
    assert repr(word_table(["heel"])).count("\n") == 0
