"""The map as a panel: a press takes the point that was pressed, and the ring lies there."""

from __future__ import annotations

from random import Random
from statistics import mean
from typing import Any

import pytest

from rooflab import live
from rooflab.base.measure import InputError
from rooflab.draw.scene import Scene
from rooflab.job.jobfile import example
from rooflab.live.topics.maps import AXES
from rooflab.live.widgets.panel import Panel
from tests.tools.depth import cases

SIZES = (("1112", "593"), ("656", "1180"), ("1752", "1080"), ("552", "700"))


def scene_of(panel: Panel) -> tuple[Scene, float]:
    """What is drawn now, and its scale, px a unit."""
    sheet = panel.responder._sheets["picture"]
    topic, state = panel.responder.topic, panel.responder.state
    drawn = topic.picture_for("map", state, (sheet.wide, sheet.tall), sheet.layout.size)
    assert isinstance(drawn, Scene)
    return drawn, sheet.layout.scale


def ring(scene: Scene, number: int) -> tuple[float, float]:
    """The middle of an option's ring."""
    points = [at for stroke in scene.strokes if stroke.name == f"option {number}" for at in stroke.points[:-1]]
    return mean(x for x, _ in points), mean(y for _, y in points)


def field(scene: Scene) -> tuple[float, float]:
    """Width and height of the field, from its frame."""
    points = [at for stroke in scene.strokes if stroke.name == "frame" for at in stroke.points]
    return max(x for x, _ in points), max(y for _, y in points)


@pytest.mark.parametrize(("across", "up"), [("span", "pitch"), ("seat", "pitch"), ("overhang", "ceiling_pitch")])
@pytest.mark.parametrize("size", SIZES)
def test_the_ring_lies_where_the_map_was_pressed(size: tuple[str, str], across: str, up: str) -> None:
    """Within half a step of the two sliders, worked from the frame that is drawn and the map's own ticks."""
    chance, panel = Random(f"{size} {across}"), live.what_fits(example(), across, up, "scissor.height")
    panel.set(_width=size[0], _height=size[1])
    controls = {one.name: one for one in panel.responder.topic.controls}
    moved = 0
    for turn in range(cases(20)):
        scene, scale = scene_of(panel)
        assert scale == 1
        made = panel.responder.topic.map_now(panel.responder.state)
        asked = chance.random(), chance.random()
        at = [share * side for share, side in zip(asked, field(scene), strict=True)]
        panel.set(_slot="picture", _take=str(turn + 1), _at=f"{at[0]:.3f},{at[1]:.3f}")
        if panel.state["stale"]:  # nothing can be built there
            panel.set(_undo=str(int(panel.raw.get("_undo", "0")) + 1))
            continue
        scene, _ = scene_of(panel)
        found = ring(scene, 2 if "Trial" in panel.sentence else 1)
        for share, axis, there, side in zip(asked, (made.across, made.up), found, field(scene), strict=True):
            half_step = 0.5 * controls[axis.name].step / (axis.values[-1] - axis.values[0])
            assert abs(there / side - share) <= half_step + 1e-4, (axis.name, share, there / side)
        moved += 1
    assert moved > 1


def test_beside_the_field_nothing_is_taken_and_one_press_is_one_step_back() -> None:
    panel = live.what_fits(example(), "span", "pitch", "scissor.height")
    first = dict(panel.fields)
    panel.set(_slot="picture", _take="1", _at="-20,10")
    assert panel.fields == first and not panel.state["steps"]["undo"]
    panel.set(_slot="picture", _take="2", _at="100,60", _run="1")
    assert panel.fields["span"] != first["span"] and panel.fields["pitch"] != first["pitch"]
    panel.set(_undo="1")
    assert panel.fields == first


def test_a_press_is_no_press_on_another_drawing() -> None:
    panel = live.one_plane()
    first = dict(panel.fields)
    panel.set(_slot="picture", _take="1", _at="100,60")
    assert panel.fields == first


@pytest.mark.parametrize("wrong", [("span", "span"), ("lumber", "pitch"), ("x", "pitch"), ("window_width", "pitch")])
def test_inputs_that_no_map_stands_over_are_refused(wrong: tuple[str, str]) -> None:
    with pytest.raises(InputError, match="Map: "):
        live.what_fits(example(), *wrong, "scissor.height")


def test_the_map_stays_while_only_its_own_inputs_move() -> None:
    """It is about the house as it stands; only beyond its edges it is drawn anew about the one tried."""
    panel = live.what_fits(example(), "span", "pitch", "scissor.height")
    topic: Any = panel.responder.topic
    first = topic.map_now(panel.responder.state).swept
    panel.set(span="28'")
    assert topic.map_now(panel.responder.state).swept is first
    panel.set(span="40'")
    other = topic.map_now(panel.responder.state)
    assert other.swept is not first and all(spot.inside == (spot.name != "Builder's house") for spot in other.spots)
    assert {"span", "pitch", "seat"} <= {*AXES}
