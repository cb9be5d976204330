"""The gable wall with its window: everything has a place, no text lies on anything, and it is drawn as worked by hand.

By hand: 24 ft wide on 3 1/2 in walls, plates 96 in above the floor, ceiling 6 in 12 from the inside face, window 48 in
wide: the ceiling line over its corner is 96 + (144 - 24 - 3 1/2)/2 = 154 1/4 in up, the raked plate 3 x 1.1180 = 3.354
lower, header 7 1/4 and casing 3 1/2 below that: 140.146 in.  Containment by shapely.
"""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from shapely.geometry import Polygon

from rooflab import InputError
from rooflab.draw.layout import fit
from rooflab.draw.scene import Scene
from rooflab.draw.views.room import LOWEST, gable_wall
from rooflab.job.jobfile import example
from rooflab.job.option import Option, OptionResult, solve_option
from tests.tools.pictures import LARGE, SMALL, faults

CORNERS: tuple[dict[str, Any], ...] = (
    {}, {"ceiling_pitch": 0}, {"ceiling_pitch": 0.5, "window_width": "12'"}, {"window_width": "1'"},
    {"pitch": 14, "ceiling_pitch": 12}, {"span": "14'", "ceiling_pitch": 3}, {"span": "40'", "window_width": "20'"},
    {"plate_height": "7'", "header": "11 1/4", "casing": 0}, {"plate_height": "12'", "room_length": "40'"},
    {"pitch": (8, 6), "ceiling_pitch": (4, 3)}, {"plate_height": "2'", "header": 24},
)  # fmt: skip


def made(**changes: Any) -> OptionResult:
    return solve_option(Option("one", **changes), example())


def anything(seed: int) -> dict[str, Any]:
    chance = Random(seed)
    pitch = chance.choice([4, 6, 8, 10, 12])
    return {
        "span": chance.uniform(192, 480), "pitch": pitch, "ceiling_pitch": chance.uniform(0, pitch - 2.5),
        "plate_height": chance.uniform(84, 144), "window_width": chance.uniform(24, 120),
        "header": chance.uniform(4, 14),
    }  # fmt: skip


@pytest.mark.parametrize("frame", [SMALL, LARGE])
def test_nothing_is_cut_or_lies_on_anything(frame: Any) -> None:
    cases = [*CORNERS, *(anything(seed) for seed in range(12))]
    scenes = [(case, gable_wall(made(**case))) for case in cases]
    found = {str(case): faults(scene, frame, fit(scene, *frame)) for case, scene in scenes}
    assert {case: said for case, said in found.items() if said} == {}


def outlines(scene: Scene) -> dict[str, Any]:
    return {shape.name: Polygon(shape.points) for shape in scene.shapes}


def test_the_window_stands_as_worked_by_hand() -> None:
    case = {"span": "24'", "bearing": "3 1/2", "plate_height": "8'", "pitch": 9, "ceiling_pitch": 6}
    one = made(**case, window_width="4'", header="7 1/4", casing="3 1/2")
    x0, _, x1, head = outlines(gable_wall(one))["window"].bounds
    assert (x0, x1) == (120, 168) and head == pytest.approx(140.146, abs=5e-4)


@pytest.mark.parametrize("case", CORNERS, ids=str)
def test_window_header_and_casing_stand_inside_the_wall(case: dict[str, Any]) -> None:
    """They lie under the raked plate and touch it at a top corner; where there is no room none is drawn."""
    one = made(**case)
    found = outlines(gable_wall(one))
    if one.room.all["window_head"] <= LOWEST:
        assert "window" not in found
        return
    wall, header = found["gable wall"], found["header"]
    assert wall.buffer(1e-6).covers(header) and wall.buffer(1e-6).covers(found["window"])
    assert header.distance(found["raked plate"]) < 1e-6
    assert header.bounds[1] - found["window"].bounds[3] == pytest.approx(one.room.all["casing"])


def test_only_a_solved_option_is_drawn() -> None:
    with pytest.raises(InputError, match="is not an option worked out"):
        gable_wall("house")  # type: ignore[arg-type]
