"""An answer never fails: what goes wrong becomes a sentence, the last good picture stays, the panel lives on."""

from __future__ import annotations

from typing import Any

import pytest

from rooflab import InputError, live
from rooflab.live.topics.shape import ShapeTopic
from rooflab.live.widgets.base import NOT_WORKED_OUT, Form
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic_panel import panel_of

BAD = 300.0  # the span, in, at which the topic below fails


def same(content: dict[str, Any]) -> dict[str, Any]:
    """What a page shows, without the numbers that count answers."""
    return {name: value for name, value in content.items() if name not in ("serial", "turn", "steps")}


class Failing(ShapeTopic):
    """A topic that accepts a state and then cannot show it."""

    error: Exception = KeyError("seat")

    def picture(self, view: str, state: Any) -> Any:
        if state.gable.span == BAD:
            raise self.error
        return super().picture(view, state)


@pytest.fixture(params=[KeyError("seat"), IndexError(), RecursionError("deep"), InputError(["Span: not here."])])
def panel(request: Any) -> Panel:
    topic = Failing()
    topic.error = request.param
    return panel_of(topic, (), (), (), "", False, {})


def test_a_state_that_cannot_be_shown_leaves_the_panel_alive(panel: Panel, faults: list[str]) -> None:
    first = panel.content
    panel.set(span=f"{BAD:g}")
    assert panel.content["stale"] and panel.content["picture"] == first["picture"]
    expected = not isinstance(panel.responder.topic.error, InputError)
    assert (NOT_WORKED_OUT in panel.content["sentence"]) == expected == bool(faults)
    assert expected or "Span: not here." in panel.content["sentence"]
    panel.set(_view=panel.content["view"])  # another act, the same texts
    assert panel.content["stale"]
    panel.set(span="312")
    assert not panel.content["stale"]
    faults.clear()


def test_reset_after_it_is_a_new_panel(panel: Panel, faults: list[str]) -> None:
    first = panel.content
    for raw in ({"span": "312"}, {"span": f"{BAD:g}", "_keep": "1"}, {"_reset": "1"}):
        panel.raw = raw
    assert same(panel.content) == same(first)
    other = panel_of(panel.responder.topic, (), (), (), "", False, {})
    for raw in ({"_reset": "1", "span": "288"}, {"_reset": "1", "span": "288", "pitch": "7"}):
        panel.raw, other.raw = raw, {name: text for name, text in raw.items() if name != "_reset"}
        assert same(panel.content) == same(other.content)
    faults.clear()


def test_a_message_that_is_none_changes_nothing() -> None:
    panel = live.shape_panel()
    first = same(panel.content)
    panel.set_state({"raw": ["span"]})
    assert panel.content["stale"] and same(panel.content)["picture"] == first["picture"]
    panel.set_state({"raw": {"_reset": "1"}})
    assert same(panel.content) == first


def test_a_watcher_that_fails_stops_no_answer(faults: list[str]) -> None:
    panel, spans = live.shape_panel(), list[str]()

    def fails(content: dict[str, Any]) -> None:
        raise ZeroDivisionError

    panel.watch(fails)
    panel.watch(lambda content: spans.append(content["fields"]["span"]["text"]))
    panel.set(span="25'")
    assert spans == ["25'-0\""] and len(faults) == 1
    faults.clear()


def test_a_form_says_that_it_failed(faults: list[str]) -> None:
    class Fails(Form):
        def _answer(self) -> None:
            raise AttributeError("<b>")

    form = Fails()
    form.set_state({"message": {"do": "save", "turn": 1}})
    assert form.answer == f"<b>Not done.</b> {NOT_WORKED_OUT}" and "AttributeError" in faults[0]
    faults.clear()
