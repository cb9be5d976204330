"""The picture beside a question: the case it asks about, what is asked for marked, the answer nowhere.

Lengths by hand for a roof of 8 in 12, 26'-0" wide: 2x10 rafters (9 1/4 in, PS 20) on a seat of 3 1/2 in, 16 in of
overhang, a 2x12 ridge board; a truss of 4 in 12 inside on the same heel.  k = sqrt(1 + (8/12)^2).
"""

from __future__ import annotations

import re
from math import hypot, sqrt

import pytest

from rooflab import Gable, RafterBay, ScissorBay
from rooflab.draw.layout import SCREEN, fit
from rooflab.draw.scene import Scene, svg
from rooflab.draw.views.question import FRAME, question_scene
from rooflab.lessons.exercises import READING_KINDS, draw
from rooflab.lessons.questions import Question
from rooflab.live import ask, drill, practice
from tests.tools.pictures import faults

K = sqrt(1 + (8 / 12) ** 2)
HEEL = 9.25 * K - 8 / 12 * 3.5
GABLE = Gable("26'", 8, "5 1/2", 16)
RAFTERS, TRUSS = RafterBay(GABLE, "2x10", "3 1/2"), ScissorBay(GABLE, 4, HEEL)
BY_HAND = {
    "rafter": {
        "heel": HEEL, "plumb_depth": 9.25 * K, "birdsmouth_plumb": 3.5 * 8 / 12, "notch_depth": 3.5 * 8 / 12 / K,
        "line_length": 156 * K, "cut_length": (156 - 0.75 + 16) * K,
        "stock_length": (156 - 0.75 + 16) * K + 9.25 * 8 / 12,
        "peak_height": HEEL + 104, "ridge_top": HEEL + 104 - 0.5, "tail_top": abs(HEEL - 32 / 3), "run": 156,
        "tail_underside": abs(HEEL - 32 / 3 - 9.25 * K),
    },
    "scissor": {
        "heel": HEEL, "height": HEEL + 104, "ceiling_rise": 150.5 / 3, "depth_at_peak": HEEL + 104 - 150.5 / 3,
        "minimum_heel": 3.5 * K + 0.25, "run": 156, "tail_top": abs(HEEL - 32 / 3),
        "space_outside": HEEL - 3.5 * K - 3.5 * sqrt(1 + 1 / 9) + 5.5 / 3,
        "space_inside": HEEL - 3.5 * K - 3.5 * sqrt(1 + 1 / 9) + 5.5 * 8 / 12,
    },
}  # fmt: skip
DRAWN = [kind for kind in READING_KINDS if kind.partition(".")[0] in ("rafter", "scissor")]
NONE = {"rafter.ridge_shortening", "scissor.heel_state"}  # too small on a half, and no length


def asked(scene: Scene) -> float:
    """How long what is asked for is drawn, in."""
    ((xa, ya), (xb, yb)) = next(stroke.points for stroke in scene.strokes if stroke.name == "asked")
    return hypot(xb - xa, yb - ya)


@pytest.mark.parametrize(("bay", "reading"), [(bay, name) for bay, rows in BY_HAND.items() for name in rows])
def test_what_is_marked_is_what_is_asked(bay: str, reading: str) -> None:
    scene = question_scene(Question("How long?", {"rafter": RAFTERS, "scissor": TRUSS}[bay], reading))
    assert scene and asked(scene) == pytest.approx(BY_HAND[bay][reading], abs=1e-6)


@pytest.mark.parametrize("kind", DRAWN)
def test_the_answer_is_nowhere_in_the_picture(kind: str) -> None:
    """Not in a text and not in title or description, which hold no number at all; "?" stands there."""
    seen = 0
    for number in range(1, 13):
        question = draw(kind, "pictures", number).question
        scene = question_scene(question)
        if scene is None:
            continue
        assert isinstance(question, Question)
        seen += 1
        drawn = svg(fit(scene, *FRAME, SCREEN), *FRAME)
        texts = re.findall(r"<text[^>]*>([^<]*)</text>", drawn)
        assert not any(question.text.replace('"', "&quot;") in text or question.text in text for text in texts)
        assert not re.search(r"\d", scene.title + scene.description)
        assert any("?" in text for text in texts) and question.row.label in scene.title
    assert (seen >= 8) is (kind not in NONE), seen


@pytest.mark.parametrize("kind", [kind for kind in DRAWN if kind not in NONE])
def test_its_texts_have_room(kind: str) -> None:
    """At 14 px: none on another, on a member or beyond the frame."""
    for number in range(1, 9):
        scene = question_scene(draw(kind, "room", number).question)
        if scene:
            placed = fit(scene, *FRAME, SCREEN)
            assert placed.size >= 14 and faults(scene, FRAME, placed) == []


def test_a_heel_is_given_only_where_the_question_names_it() -> None:
    """It may be what the question before asked for."""
    for prompt, there in (("How high is the peak?", False), ('The heel is 8 13/16". How high is the peak?', True)):
        scene = question_scene(Question(prompt, ScissorBay(GABLE, 4, "8 13/16"), "height"))
        assert scene and any(dim.name == "heel" for dim in scene.dims) is there


def test_questions_drills_and_practice_show_their_case() -> None:
    box = ask("How high is the heel?", RAFTERS, "heel")
    assert box.setup["picture"].startswith("<svg") and "Heel height" in box.setup["picture"]
    many = drill("How high?", "scissor", "height")
    before = many.setup["picture"]
    many.give(do="next")
    assert before.startswith("<svg") and many.setup["picture"].startswith("<svg") and many.setup["picture"] != before
    page = practice("rafter.heel").page
    assert page["picture"].startswith("<svg")
    assert practice("sense").page["picture"] == ""


@pytest.mark.parametrize("kind", [kind for kind in READING_KINDS if kind.startswith("jog.")])
def test_a_wall_jog_is_shown_without_its_answer(kind: str) -> None:
    """Both trusses under one roof; what is dimensioned there is marked, and only what the question gives is written."""
    for number in range(1, 13):
        question = draw(kind, "pictures", number).question
        assert isinstance(question, Question)
        scene = question_scene(question)
        assert scene is not None
        placed = fit(scene, *FRAME, SCREEN)
        texts = [label.text for label in placed.labels]
        assert placed.width <= FRAME[0] and placed.height <= FRAME[1]
        assert not any(question.text in text for text in texts), texts
        assert ("?" in texts) is (kind.partition(".")[2] in ("rise", "heel", "run")), texts
        for figure in re.findall(r"\d+(?:'-\d+)?(?: \d+/\d+|/\d+)?", " ".join(texts)):
            assert figure in question.prompt, (figure, question.prompt)
