"""The trusses along both walls: every number is there, none lies on another, on a tablet and on a wide page."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from rooflab.draw.layout import fit
from rooflab.draw.views.walls import NUMBERED, along_the_walls, where_to_measure
from rooflab.job.jobfile import example
from rooflab.job.schedule import TrussType
from rooflab.shop.walls import measured_walls
from tests.tools.jobs import uneven_jobs

FRAMES = ((638, 367), (638, 560), (660, 480), (782, 427), (850, 500), (1500, 800))  # a tablet's and pages', px


@pytest.mark.parametrize("trusses", [1, 3, 12, 13, 24])
@pytest.mark.parametrize("frame", FRAMES)
def test_every_number_stands_by_itself(trusses: int, frame: tuple[int, int]) -> None:
    """The widest shims side by side: 11/16 under 8 15/16, 15/16 for the engineer, and every truss moved since."""
    job = replace(example(), types=(TrussType("A", 24.0 * (trusses - 1) + 1.5),))
    text = ", ".join(["8 15/16", *["8 1/4"] * (trusses - 1)])
    scene = along_the_walls(measured_walls(job, text, text, earlier=(", ".join(["8", "8 1/8"] * 12), "8")))
    placed = fit(scene, *frame)
    assert placed.dropped == () and placed.width <= frame[0] and placed.height <= frame[1]
    assert [label.text for label in placed.labels].count('11/16"') == 2 * (trusses - 1)
    for one, other in combinations(placed.labels, 2):
        (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = one.box, other.box
        assert not (ax0 < bx1 and bx0 < ax1 and ay0 < by1 and by0 < ay1), (one.text, other.text)


def test_a_truss_is_as_low_as_it_is_and_its_shim_is_what_is_lacking() -> None:
    """Below by 0, 1/4 and 1/2 of the same height: the third lacks twice the second."""
    job = replace(example(), types=(TrussType("A", 49.5),))
    scene = along_the_walls(measured_walls(job, "8 3/4, 8 1/2, 8 1/4"))
    tall = {one.name: one.points[2][1] - one.points[0][1] for one in scene.shapes}
    assert tall["lacks left 3"] == pytest.approx(2 * tall["lacks left 2"]) and "lacks left 1" not in tall
    assert tall["truss left 1"] == pytest.approx(tall["truss left 3"] + tall["lacks left 3"])
    assert {note.text for note in scene.notes if note.name.startswith("shim right")} == {"-"}


def test_too_many_for_numbers_are_told_to_be_in_the_list() -> None:
    job = replace(example(), types=(TrussType("A", 24.0 * NUMBERED + 1.5),))
    scene = along_the_walls(measured_walls(job, "9, 8 3/4"))
    assert len(scene.notes) == 2 and any("shim list" in title.text for title in scene.titles)


def test_where_to_measure_shows_both_heels_of_any_house() -> None:
    for job in (example(), *uneven_jobs(20, 9)):
        scene = where_to_measure(job.scissor)
        heels = {dim.name: dim.b[1] - dim.a[1] for dim in scene.dims}
        assert heels == {"left heel": job.scissor.left.heel, "right heel": job.scissor.right.heel}
        for frame in ((782, 427), (638, 367)):
            assert fit(scene, *frame).dropped == ()
