"""The practice sheet read back: pages, sizes of letters, nothing clipped or on top of another, answers last.

Pages are read with pypdf; text widths are measured with the face that is printed.
"""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path
from typing import Any

import pypdf
import pytest
from matplotlib.font_manager import FontProperties, findfont, get_font

import rooflab as rl
from rooflab import InputError
from rooflab.draw.scene import Label, Layout
from rooflab.draw.sheets.practice import CAUTION, MARGIN, MOST, TALL, WIDE, practice_pages, sketch
from rooflab.lessons.exercises import KINDS, mixed_questions
from rooflab.lessons.questions import Choice, Question

FACE = get_font(findfont(FontProperties(family="DejaVu Sans")))
SEEDS = ("monday", 7, "a rather long seed for one whole class", *range(28, 32))


def box(label: Label) -> tuple[float, float, float, float]:
    """Where a text's ink stands, by the face's own widths."""
    FACE.set_size(label.size, 72)
    FACE.set_text(label.text, 0.0)
    wide = FACE.get_width_height()[0] / 64
    if label.turned:
        return label.x - 0.45 * label.size, label.y - wide / 2, label.x + 0.45 * label.size, label.y + wide / 2
    x0 = label.x - {"start": 0.0, "middle": wide / 2, "end": wide}[label.anchor]
    return x0, label.y - 0.45 * label.size, x0 + wide, label.y + 0.45 * label.size


def overlap(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.2 and min(a[3], b[3]) - max(a[1], b[1]) > 0.2


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("count", [2, MOST])
def test_nothing_is_clipped_or_overlaps(seed: object, count: int) -> None:
    pages = practice_pages(seed, count)
    assert 2 <= len(pages) <= 3
    for page in pages:
        boxes = [(label, box(label)) for label in page.labels]
        for label, (x0, y0, x1, y1) in boxes:
            assert MARGIN - 4 <= x0 and x1 <= WIDE - MARGIN + 4, label.text
            assert MARGIN - 8 <= y0 and y1 <= TALL - MARGIN + 8, label.text
        hits = [(a.text, b.text) for (a, one), (b, two) in combinations(boxes, 2) if overlap(one, two)]
        assert hits == []
        for part in page.parts:
            assert all(MARGIN - 4 <= x <= WIDE - MARGIN + 4 for x, _ in part.points), part.name
            assert all(0 <= y <= TALL - MARGIN for _, y in part.points), part.name


NAMES = {"d_t": "top chord", "d_b": "bottom chord", "start_new": "start new", "h_a": "rafter heel", "h_b": "truss heel"}


@pytest.mark.parametrize("seed", SEEDS[1:3])
def test_the_file_read_back(seed: object, tmp_path: Path) -> None:
    """Letter paper, one to three pages, the seed and the caution on each, questions at 9 pt or more, answers last."""
    path = rl.practice_sheet(tmp_path / "sheet.pdf", seed=seed, count=8)
    assert path.name == "sheet.pdf"
    pages = pypdf.PdfReader(path).pages
    assert 1 <= len(pages) <= 3
    questions = mixed_questions(seed, 8)
    texts = [" ".join(page.extract_text().split()) for page in pages]
    for page, text in zip(pages, texts, strict=True):
        assert [float(side) for side in page.mediabox[2:]] == [612, 792]
        assert f"Seed: {str(seed).lower()} · page" in text
        assert "licensed people decide" in text and "not cut, notched or drilled" in CAUTION
    asked, last = " ".join(texts[:-1]), texts[-1]
    for number, question in enumerate(questions, 1):
        assert f"{number}. {question.prompt}" in asked
        right = question.choices[question.right] if isinstance(question, Choice) else question.reasoning.text
        assert right in last
        if isinstance(question, Question):
            formula = question.formula
            for mark, words in NAMES.items():
                formula = formula.replace(mark, words)
            assert formula in last and question.numbers in last and question.numbers not in asked
        else:
            assert all(choice in asked for choice in question.choices) and question.why in last


@pytest.mark.parametrize("seed", SEEDS[:3])
def test_questions_are_large_enough_to_read(seed: object) -> None:
    """9 points and more, caution and page number 8."""
    for page in practice_pages(seed, MOST):
        small = {label.text for label in page.labels if label.size < 9}
        assert all(text in CAUTION or text.startswith("Seed: ") for text in small)
        assert min(label.size for label in page.labels) >= 8


def _labels(page: Layout) -> list[str]:
    return [label.text for label in page.labels]


@pytest.mark.parametrize("kind", [kind for kind in KINDS if not kind.startswith("sense")])
def test_a_sketch_shows_a_question_mark_and_no_number(kind: str) -> None:
    """What is asked for is marked; no length stands in the picture, so that none is given away."""
    for number in range(1, 3):
        (question,) = mixed_questions(f"sketch {number}", 1, (kind,))
        scene = sketch(question)
        if scene is not None:
            assert [dim.text for dim in scene.dims] == ["?"]
            assert not scene.titles and not scene.notes and not scene.slopes
    drawn = {"rafter.heel", "rafter.run", "rafter.tail_underside", "scissor.height", "scissor.space_inside"}
    if kind in drawn:
        assert scene is not None
        page = practice_pages("sketch", 1, (kind,))[0]
        marks = [text for text in _labels(page) if text.endswith("?") and len(text) < 25]
        assert marks and not any(re.search(r"\d", mark) for mark in marks)


def test_the_same_seed_gives_the_same_file(tmp_path: Path) -> None:
    one, two, other = (
        rl.practice_sheet(tmp_path / f"{name}.pdf", seed=seed, count=1).read_bytes()
        for name, seed in (("one", "Class 4b"), ("two", " class 4B "), ("other", "class 4c"))
    )
    assert one == two != other


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    (tmp_path / "kept.pdf").write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="exists already"):
        rl.practice_sheet(tmp_path / "kept.pdf")
    assert (tmp_path / "kept.pdf").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"count": 0}, "Number of questions: 0 is not a whole number from 1 to 10"),
        ({"count": 2.5}, "Number of questions: 2.5"),
        ({"count": True}, "Number of questions: True"),
        ({"kinds": ("rafter.hell",)}, "Kind of question: rafter.hell is not one"),
        ({"kinds": ()}, "Kinds of questions: none"),
        ({"seed": ""}, "Seed: nothing"),
    ],
)
def test_what_cannot_be_written_is_said(given: dict[str, Any], said: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=f"^{re.escape(said)}"):
        rl.practice_sheet(tmp_path / "x.pdf", **given)
    assert not list(tmp_path.iterdir())


def test_another_kind_of_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"File 'x.png': a practice sheet is written as .pdf"):
        rl.practice_sheet(tmp_path / "x.png")


def test_answers_say_down_in_words_and_name_marked_symbols() -> None:
    """A roof that falls 4" "goes down 4"": no minus after "goes", no d_t or h_a on paper, roots whole on a line."""
    falls = 0
    for seed in range(1, 40):
        page = practice_pages(seed, 10)[-1]
        text = " ".join(label.text for label in page.labels)
        assert "goes up -" not in text and "minus is down" not in text
        assert not re.search(r"\b[a-z]+_[a-z]+\b", text)
        falls += "The roof goes down" in text
        for label in page.labels:
            assert label.text.count("(") >= label.text.count("√(") and not label.text.endswith("√(1 +"), label.text
    assert falls
