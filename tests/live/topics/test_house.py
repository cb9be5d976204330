"""The house in the round as a panel: what a press lights, how a pull turns it, what a cut meets, and its file.

Places in the picture are worked with the tests' own camera (tests/tools/solids.py), not with the view's.
"""

from __future__ import annotations

from math import floor
from pathlib import Path

import numpy as np
import pytest

from rooflab import house_picture, live
from rooflab.base.measure import InputError, feet_inches
from rooflab.draw.views.house import VIEWS, RoundHouse, cut_scene, house_in_round, house_scene
from rooflab.job.jobfile import example
from rooflab.live.widgets.panel import Panel
from tests.tools.jobs import corners
from tests.tools.solids import camera

HOUSE = house_in_round(example())
JOBS = [example(), *corners()]


def place(found: RoundHouse, point: tuple[float, float, float], turn: float, up: float) -> tuple[float, float]:
    """Where a point of the house lies in a picture that is turned about the house's middle."""
    x, y, _ = camera(turn, up) @ (np.array(point) - np.array(found.middle))
    return float(x), float(y)


def middle_of_slope(room: str) -> tuple[float, float, float]:
    """The middle of the left slope of a room, on the roof line: plate, heel and pitch, worked here."""
    one = HOUSE.room(room)
    end = one.bay.left
    x = end.wall.x + end.run / 2
    return x, end.plate + end.heel + 8 / 12 * end.run / 2, (one.start + one.end) / 2


@pytest.mark.parametrize("room", ["rafters", "A", "B"])
@pytest.mark.parametrize(("view", "turn"), [("corner", 0), ("corner", 24), ("seam", 0), ("seam", -20)])
def test_a_press_on_the_roof_lights_what_lies_under_it(view: str, turn: int, room: str) -> None:
    panel = live.house(on="Roof on", turn=turn)
    panel.set(_view=view)
    _, base, up = VIEWS[view]
    x, y = place(HOUSE, middle_of_slope(room), base + turn, up)
    panel.set(_slot="picture", _take="1", _at=f"{x:.3f},{y:.3f}")
    assert panel.content["fields"]["lit"]["text"] == room
    styles = {shape.style for shape in panel.responder.scene_now().shapes}
    assert "pale" in styles and "roof" in styles
    panel.set(_take="2", _at="-900,900")  # beside the house
    assert panel.content["fields"]["lit"]["text"] == "whole house"


def test_a_pull_turns_the_house_by_as_much_as_the_knob_goes() -> None:
    """The knob of the turntable stands on a track whose ends are half a turn away, and goes where the finger goes."""
    panel = live.house()
    scene = panel.responder.scene_now()
    ((x0, y), (x1, _)) = next(stroke.points for stroke in scene.strokes if stroke.name == "turntable")
    for share in (0.25, 0.5, 0.9):
        panel.set(_slot="picture", _grip="turntable", _at=f"{x0 + share * (x1 - x0):.3f},{y:.3f}", _up="")
        assert float(panel.content["fields"]["turn"]["text"]) == pytest.approx(-180 + 360 * share, abs=1)
    assert panel.content["touch"]["picture"]["anywhere"] == "grip turntable"
    turned = panel.content["fields"]["turn"]["text"]
    panel.set(_take="1", _at="10,10")  # a press afterwards is none
    assert panel.content["fields"]["turn"]["text"] == turned


def test_every_number_on_it_is_the_house_s() -> None:
    """Span, pitches, heel, set-in and overhang as the job has them, in words worked here."""
    notes = {note.name: note.text for note in house_scene(HOUSE, numbers=True, frame=(1400.0, 800.0)).notes}
    k = (1 + (8 / 12) ** 2) ** 0.5
    heel = floor(16 * (9.25 * k - 8 / 12 * 3.5) + 0.5) / 16
    assert notes["span"] == "span 26'-0\"" and notes["left set-in"] == "set in 2'-0\""
    assert notes["roof pitch"] == "roof 8 in 12" and notes["ceiling pitch"] == "ceiling 4 in 12"
    assert notes["heel"] == f"heel {feet_inches(heel)}" and notes["overhang"] == "overhang 1'-4\""
    assert [notes[f"room {name}"] for name in ("rafters", "A", "B")] == [
        "rafters, cut on site", "11 trusses A", "5 trusses B",
    ]  # fmt: skip


@pytest.mark.parametrize("number", range(len(JOBS)))
def test_a_cut_meets_what_stands_there(number: int) -> None:
    """In color: what reaches over the plane of the cut, from the rooms' own places; the rest is pale or behind."""
    found = house_in_round(JOBS[number])
    for share in (0.02, 0.3, 0.55, 0.8, 0.97):
        at = share * found.length
        room = found.room_at(at)
        met = any(one <= at <= one + 1.5 for one in room.places)
        members = {shape.name for shape in cut_scene(found, at).shapes if shape.style.startswith("slim")}
        assert bool(members) == met, (at, members)
        family = "rafter" if room.name == "rafters" else "chord"
        assert all(name.endswith(family) for name in members)


def test_it_can_be_set_in_and_refuses_in_a_sentence() -> None:
    panel = live.house(None, ("jog",), lit="B")
    panel.set(jog="3'")
    assert panel.responder.state.house.room("B").bay.left.wall.x == 36
    panel.set(jog="40'")
    assert panel.content["stale"] and panel.responder.state.house.room("B").bay.left.wall.x == 36
    assert panel.content["sentence"].startswith("Not drawn")


@pytest.mark.parametrize("number", range(len(JOBS)))
def test_any_job_has_a_house(number: int) -> None:
    """One part a truss type, no text over another, in every view."""
    job = JOBS[number]
    panel: Panel = live.house(job)
    marks = [kind.mark for kind in job.types] or ["A"]
    assert [room.name for room in panel.responder.state.house.rooms][1:] == marks
    for view in VIEWS:
        panel.set(_view=view, _width="1112", _height="640")
        layout = panel.responder._sheets["picture"].layout
        boxes = [label.box for label in layout.labels]
        for i, (x0, y0, x1, y1) in enumerate(boxes):
            for u0, v0, u1, v1 in boxes[:i]:
                assert x1 <= u0 or u1 <= x0 or y1 <= v0 or v1 <= y0, (view, layout.labels[i].text)


@pytest.mark.parametrize("suffix", ["pdf", "svg", "png"])
def test_its_picture_is_written(tmp_path: Path, suffix: str) -> None:
    target = house_picture(example(), tmp_path / f"house.{suffix}", "below", "ceiling", "B")
    start = {"pdf": b"%PDF", "svg": b"<?xml", "png": b"\x89PNG"}[suffix]
    assert target.read_bytes().startswith(start)


def test_its_picture_is_refused_with_every_reason(tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        house_picture(example(), tmp_path / "house.pdf", "top", "snow", "Z")
    assert [one.partition(":")[0] for one in refused.value.problems] == ["View", "On", "Lit"]
    assert not (tmp_path / "house.pdf").exists()
