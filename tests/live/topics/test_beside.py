"""The drawing beside a question on a topic: what is asked for is marked where it is seen, and never written."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest

from rooflab.draw.layout import SCREEN, fit
from rooflab.draw.scene import svg
from rooflab.draw.views.question import FRAME
from rooflab.live import cut_drill, cut_question, load_question
from rooflab.live.topics.cutting import CutTopic
from rooflab.live.topics.field import SeamOnSite
from rooflab.live.topics.frame import SeamTopic, TrussTopic
from rooflab.live.topics.loads import LoadsTopic
from rooflab.live.topics.options import OptionsTopic
from rooflab.live.topics.thrust import PairTopic
from rooflab.live.topics.warmth import WarmTopic
from tests.tools.depth import cases

TOPICS: tuple[type[Any], ...] = (CutTopic, LoadsTopic, WarmTopic, OptionsTopic, SeamOnSite, PairTopic, TrussTopic,
                                 SeamTopic)  # fmt: skip
LENGTH = r"\d+(?:'-\d+)?(?: \d+/\d+|/\d+|\.\d+)?"  # a number, or a length with its sixteenths
KEYS = [(kind, entry.key) for kind in TOPICS for _, entries in kind.groups.values() for entry in entries]


def case(kind: type[Any], key: str, number: int) -> tuple[Any, Any]:
    """Practice case ``number`` of a reading and its drawing."""
    topic = kind()
    asked = key.partition(".")[2] if kind is CutTopic else key
    question, state = topic.case_of("How much?", asked, number)
    return question, topic.case_scene(question, state, asked)


@pytest.mark.parametrize(("kind", "key"), KEYS, ids=lambda one: one if isinstance(one, str) else one.name)
def test_the_answer_stands_nowhere_in_the_drawing_beside_it(kind: type[Any], key: str) -> None:
    for number in range(1, cases(10) + 1):
        try:
            question, scene = case(kind, key, number)
        except (LookupError, ValueError, RuntimeError):  # NotImplementedError is one
            pytest.skip("no question is asked about it")
        assert scene is not None
        placed = fit(scene, *FRAME, SCREEN)
        drawn = unescape(re.sub(r"<(?!/?(text|title|desc))[^>]*>", "", svg(placed, placed.width, placed.height)))
        assert placed.width <= FRAME[0] and placed.height <= FRAME[1]
        texts = re.findall(r">([^<>]+)</(?:text|title|desc)", drawn)
        given = question.prompt
        for text in (one.replace(question.row.label, "") for one in texts):
            assert question.text not in text.split(), text
            for figure in re.findall(LENGTH, text):
                assert figure in re.findall(LENGTH, given), (text, given)


def test_what_is_seen_on_a_drawing_is_marked() -> None:
    """By the words of the trade: where each of these is dimensioned on a drawing of the rafter or the eave."""
    for kind, key in ((CutTopic, "cut.building_line"), (CutTopic, "cut.heel"), (CutTopic, "cut.notch_depth"),
                      (WarmTopic, "truss.clear_outside"), (OptionsTopic, "room.window_head"),
                      (OptionsTopic, "truss.height"), (TrussTopic, "truss.reaction")):  # fmt: skip
        _, scene = case(kind, key, 1)
        said = [one.text for one in (*scene.dims, *scene.notes)]
        assert said.count("?") == 1, (key, said)
    left = [one.name for one in case(WarmTopic, "truss.clear_outside", 1)[1].dims if one.text == "?"]
    assert left == ["truss outside"]


def test_questions_and_drills_show_them_on_the_page() -> None:
    asked = cut_question("Where is the building line?", "building_line", span="24'")
    assert asked.setup["picture"].startswith("<svg") and ">?</text>" in asked.setup["picture"]
    box = cut_drill("Where is the building line?", "building_line", 2)
    first = box.setup["picture"]
    box.give(do="next")
    assert box.setup["picture"].startswith("<svg") and box.setup["picture"] != first
    assert load_question("How much?", "strength.moment").setup["picture"].startswith("<svg")
