"""The live panel of the wall jog and its pictures, without a browser.

Expected lengths come from the relations written out here (plate = c x (j + new - old bearing), heel = long heel + m j -
plate) for the house of the workbooks: 26'-0", 8 in 12, ceiling 4 in 12, walls 5 1/2, heel 8 13/16, overhang 16.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from random import Random
from typing import Any
from xml.etree import ElementTree

import pytest

from rooflab import Gable, InputError, ScissorBay
from rooflab.base.measure import feet_inches
from rooflab.draw.layout import fit
from rooflab.draw.scene import Scene, svg
from rooflab.draw.views.jog import gable_and_finish, heels, jog_sections, plan
from rooflab.house.bays import Jog
from rooflab.house.jog import WAYS, WallJog, jog
from rooflab.job.jobfile import example
from rooflab.live import jog as panel_of
from rooflab.live import working
from rooflab.live.topics.jog import FIRST_CONTROLS, JogTopic
from tests.tools.pictures import faults

LARGE, SMALL, DETAIL = (796.0, 314.0), (576.0, 284.0), (284.0, 176.0)
EVERY = tuple(control.name for control in JogTopic.controls)


def everything(**start: Any) -> Any:
    """The panel with every control and every group of readings."""
    return panel_of(EVERY, groups=tuple(JogTopic.groups), job=example(), **start)


def readings(panel: Any) -> dict[str, str]:
    return {row.key: row.text for _, rows in panel.responder.rows() for row in rows}


def words(panel: Any) -> dict[str, str]:
    return {row.key: row.words for _, rows in panel.responder.rows() for row in rows}


# --- controls --------------------------------------------------------------------------------------------------------

# control, as typed, as the slider sends it, the reading it changes ("" only the picture)
MOVES = [
    ("span", "28'", "336", "jog.header"),
    ("overhang", "1' 8", "20", "jog.overhang"),
    ("pitch", "10/12", "10", "jog.this_heel"),
    ("ceiling_pitch", "3 in 12", "3", "jog.plate"),
    ("bearing", "3 1/2", "3.5", "jog.plate"),
    ("plate", "12 in", "12", "truss.run"),
    ("ceiling_from", " outside ", "outside", "jog.plate"),
    ("apex", "under ridge", "under ridge", ""),
    ("heel", "9 3/8 in", "9.375", "jog.this_heel"),
    ("jog", "3'", "36", "jog.plate"),
    ("new_bearing", "7 1/4", "7.25", "jog.plate"),
    ("eave", "stepped", "stepped", "jog.fascia"),
    ("way", "same  heel", "same heel", "jog.ceiling"),
    ("plate_height", "9'", "108", "jog.this_stud"),
    ("chord", "2x6", "2x6", "truss.space_outside"),
]


def test_every_control_is_tried() -> None:
    assert [move[0] for move in MOVES] == list(EVERY)
    assert set(FIRST_CONTROLS) <= set(EVERY)


@pytest.mark.parametrize(("name", "typed", "moved", "reading"), MOVES, ids=EVERY)
def test_a_control_typed_or_moved_changes_what_is_shown(name: str, typed: str, moved: str, reading: str) -> None:
    panel = everything(plate=18) if name == "apex" else everything()
    before, first = readings(panel), panel.content["picture"]
    panel.set(**{name: typed})
    by_text, texts = panel.content, readings(panel)
    assert not by_text["stale"] and not by_text["fields"][name]["bad"]
    assert name in ("plate_height", "eave") or by_text["picture"] != first
    assert not reading or texts[reading] != before[reading]
    panel.set(**{name: moved})
    assert readings(panel) == texts


@pytest.mark.parametrize("name", EVERY)
def test_nonsense_keeps_the_last_good_picture(name: str) -> None:
    panel = everything()
    good = panel.content
    panel.set(**{name: "seven apples"})
    bad = panel.content
    assert bad["stale"] and "seven apples" in bad["sentence"]
    assert [bad[slot] for slot in ("picture", "readings")] == [good[slot] for slot in ("picture", "readings")]
    assert bad["fields"][name]["bad"] and bad["fields"][name]["text"] == "seven apples"


def test_a_wall_past_the_ridge_is_refused_in_words() -> None:
    panel = everything()
    panel.set(jog="13'")
    assert panel.content["stale"] and "before the ridge" in panel.content["sentence"]
    assert panel.content["fields"]["jog"]["high"] == 156 - 3.5 - 1 - 0.5  # the slider ends where the wall must


def test_a_way_without_a_truss_is_refused_in_words() -> None:
    """Set in 10 ft, the long heel would begin the ceiling higher than the far ceiling line stands there."""
    panel = everything(jog="10'")
    panel.set(way="same heel")
    assert panel.content["stale"] and "no such truss fits here" in panel.content["sentence"]
    panel.set(_view="ways")
    assert "cannot be drawn here" in panel.content["picture"]


# --- readings --------------------------------------------------------------------------------------------------------


def test_readings_of_the_recess() -> None:
    """(24 + 3.5 - 5.5)/3 = 7.3333; 8.8125 + 16 - 7.3333 = 17.4792; stud 97.125 - 4.5 + 7.3333 = 99.9583; overhang 40;
    10 psf x 24 ft / 2 = 120; peak above this plate 112.8125 - 7.3333 = 105.4792.
    """
    now = readings(everything())
    expected = {
        "jog.plate": 22 / 3, "jog.this_heel": 17.479167, "jog.this_stud": 99.958333, "jog.overhang": 40,
        "jog.peak": 105.479167, "truss.run": 132, "jog.ceiling": 0, "jog.stand_off": 0, "jog.fascia": 0,
    }  # fmt: skip
    assert {name: now[name] for name in expected} == {name: feet_inches(value) for name, value in expected.items()}
    assert now["jog.header"] == "120 plf"
    assert now["jog.blocking"] == "at once"  # with the thinner wall the heel is 9.479 where it stood


@pytest.mark.parametrize(
    ("way", "plate", "heel", "ceiling", "off"),
    [
        ("move plate", 22 / 3, 17.479167, 0, 0),
        ("block up", 0, 24.8125, 0, 22 / 3),
        ("new ceiling", 0, 24.8125, -22 / 3, 0),
        ("same heel", 16, 8.8125, 26 / 3, 0),
        ("beam", 0, 8.8125, 0, 0),
    ],
)
def test_each_way_reads_what_it_breaks(way: str, plate: float, heel: float, ceiling: float, off: float) -> None:
    panel = everything(way=way)
    now = readings(panel)
    names = ("jog.plate", "jog.this_heel", "jog.ceiling", "jog.stand_off")
    assert [now[name] for name in names] == [feet_inches(x) for x in (plate, heel, ceiling, off)]
    said = unescape(panel.content["sentence"])
    assert feet_inches(abs(ceiling or off or plate)) in said or way == "beam"
    assert ("runs through" in words(panel)["jog.ceiling"]) == (ceiling == 0)


def test_unequal_plates_either_way() -> None:
    """28'-0", 7 in 12, heel 6 3/8, right plate 18 higher, bearing 3 1/2, 3 in 12: ridge 168 + 18/(2 x 7/12) = 183.4286;
    with equal ceiling pitches the apex is at 168 + 18/(2 x 3/12) = 204, 20.5714 right of it; under the ridge the right
    pitch is 12 x (179.9286/4 - 18)/(332.5 - 183.4286) = 2.1720 in 12.
    """
    start = {"span": "28'", "pitch": 7, "heel": "6 3/8", "plate": 18, "bearing": 3.5, "ceiling_pitch": 3}
    panel = everything(**start, jog=0, new_bearing=3.5)
    now, said = readings(panel), unescape(panel.content["sentence"])
    assert (now["truss.run"], now["jog.apex"]) == ("15'-3 7/16\"", "1'-8 9/16\"")
    assert "Ridge 15'-3 7/16\"" in said and "1'-8 9/16\" right of it: equal ceiling pitches" in said
    panel.set(apex="under ridge")
    now, said = readings(panel), unescape(panel.content["sentence"])
    assert (now["jog.apex"], now["jog.right_pitch"]) == ('0"', "2.17 in 12")
    assert "under it: the right ceiling pitch is what that takes" in said


def test_reasoning_is_shown_for_every_reading() -> None:
    for way in WAYS:
        panel = everything(way=way)
        for key in readings(panel):
            panel.set(_why=key)
            note = unescape(panel.content["note"])
            assert " = " in note and "engineer" in note, (way, key)
    assert "(4/12) × (24 + 3.5 − 5.5)" in repr(working(everything(), "jog.plate"))


def test_cautions_are_in_sight() -> None:
    panel = everything()
    panel.set(_view="limits")
    said = unescape(panel.content["picture"])
    cautions = ("balloon-framed", "hinge", "not cut, notched or drilled", "panels or a design", "decide")
    assert all(part in said for part in cautions)
    assert "heel blocking, overhang" in panel.content["note"]
    panel.set(_view="ways")
    listed = unescape(panel.content["picture"]).replace("\xa0", " ")
    assert all(title in listed for title in WAYS.values())
    assert all(length in listed for length in ('7 5/16"', '8 11/16"', "2'-0 13/16\""))
    assert "Plates cannot lap" in listed


# --- from a job ------------------------------------------------------------------------------------------------------


def test_a_jobs_numbers_travel() -> None:
    job = example()
    panel = panel_of(job=job)
    made = panel.responder.state.jog
    moved = next(kind for kind in job.types if kind.jog)
    assert moved.jog and made.short == moved.bay(made.long)
    assert (made.old.heel, made.gable.span) == (job.scissor.left.heel, job.gable.span)


def test_a_job_whose_right_wall_is_moved_is_seen_from_that_end() -> None:
    job = example()
    kind = replace(job.types[-1], jog=Jog("right", 18.0, 5.5, "stepped"))
    given = JogTopic(replace(job, types=(*job.types[:-1], kind))).own()
    assert (given["jog"], given["new_bearing"], given["eave"]) == ("18.0", "5.5", "stepped")


def test_what_is_not_there_is_refused() -> None:
    wrongs: list[dict[str, Any]] = [{name: ("colour",)} for name in ("controls", "views", "groups")]
    for wrong in (*wrongs, {"colour": "red"}, {"jog": "15'"}):
        with pytest.raises(InputError):
            panel_of(**wrong)


# --- pictures --------------------------------------------------------------------------------------------------------


def house(pitch: Any = 8.0, ceiling: float = 4.0, span: float = 312.0, heel: Any = 8.8125, overhang: float = 16.0,
          bearing: float = 5.5, plate: float = 0.0, chord: str = "2x4", apex: str = "free") -> ScissorBay:  # fmt: skip
    heights = (97.125, 97.125 + plate) if plate else 97.125
    gable = Gable(span, pitch, bearing, overhang, heights)
    return ScissorBay(gable, ceiling, heel, chord, chord, apex=apex)


def cases() -> dict[str, WallJog]:
    """The corners: in and out, long and short, steep and flat, both eaves, unequal ends."""
    return {
        "recess": jog(house(), 24, 3.5),
        "as it was": jog(house(), 0),
        "equal walls": jog(house(), 24),
        "out": jog(house(), -12),
        "out, stepped": jog(house(), -12, eave="stepped"),
        "an inch": jog(house(), 1),
        "to the ridge": jog(house(), 146),
        "wide wall": jog(house(), 24, 11.25, eave="stepped"),
        "no overhang": jog(house(overhang=0), 24, 3.5),
        "wide overhang": jog(house(overhang=36), 48, 3.5),
        "short span": jog(house(span=144, ceiling=2), 24, 3.5),
        "long span": jog(house(span=480), 24, 3.5),
        "flat": jog(house(pitch=2, ceiling=0, heel=12), 24, 3.5),
        "steep": jog(house(pitch=18, ceiling=12, heel=14), 24, 3.5),
        "level ceiling": jog(house(ceiling=0), 36),
        "low heel": jog(house(heel=4.5), 12),
        "high heel": jog(house(heel=24), 36),
        "deep chords": jog(house(chord="2x8", heel=12), 24),
        "right plate up": jog(house(plate=18), 24, 3.5),
        "right plate down": jog(house(plate=-24, apex="ridge"), 24, 3.5),
        "two pitches": jog(house(pitch=(6, 9), ceiling=3, heel=(9.0, 12.0)), 24),
        "right end": jog(house(), 24, 3.5, "right"),
    }


def drawn(name: str, made: WallJog) -> Iterator[tuple[str, Scene, tuple[float, float], float]]:
    for way in made.ways:
        if way.bay is None:
            continue
        for frame in (LARGE, SMALL):
            yield f"{name}: {way.name} {frame[0]:g}", jog_sections(made, way), frame, 11.0
        yield f"{name}: {way.name}, heels", heels(made, way), DETAIL, 10.0
    for frame in (LARGE, SMALL):
        yield f"{name}: plan {frame[0]:g}", plan(made), frame, 11.0
        yield f"{name}: gable {frame[0]:g}", gable_and_finish(made.long, laid="on edge"), frame, 11.0


def all_faults(found: dict[str, WallJog]) -> dict[str, list[str]]:
    wrong = {}
    for name, made in found.items():
        for title, scene, frame, size in drawn(name, made):
            if said := faults(scene, frame, fit(scene, *frame, size)):
                wrong[title] = said
    return wrong


def test_no_text_lies_on_anything_in_the_corner_cases() -> None:
    assert all_faults(cases()) == {}


def random_jogs(count: int, seed: int) -> dict[str, WallJog]:
    rng, found = Random(seed), dict[str, WallJog]()
    while len(found) < count:
        pitch = rng.randint(4, 36) / 2
        try:
            ceiling, plate = rng.randint(0, int(2 * pitch) - 1) / 2, rng.choice((0, 0, 0, rng.randint(-30, 30)))
            bay = house(pitch, ceiling, 6 * rng.randint(24, 80), rng.randint(70, 380) / 16, rng.randint(0, 36),
                        rng.choice((3.5, 5.5, 7.25, 11.25)), plate)  # fmt: skip
            by, bearing = rng.randint(-24, 90), rng.choice((None, 3.5, 5.5, 9.25))
            made = jog(bay, by, bearing, rng.choice(("left", "right")), rng.choice(("straight", "stepped")))
        except InputError:
            continue
        found[f"random {len(found)}"] = made
    return found


@pytest.mark.parametrize("seed", range(3))
def test_no_text_lies_on_anything_in_random_jogs(seed: int) -> None:
    assert all_faults(random_jogs(12, seed)) == {}


def test_dimensions_measure_what_they_say() -> None:
    made = cases()["recess"]
    scene = jog_sections(made, made.ways[0])
    spots = {dim.name: (dim.b[0] - dim.a[0], dim.b[1] - dim.a[1]) for dim in scene.dims}
    assert spots["short heel"][1] == pytest.approx(8.8125 + 16 - 22 / 3, abs=1e-9)
    assert spots["plate"][1] == pytest.approx(22 / 3, abs=1e-9)
    assert (spots["jog"][0], spots["short run"][0], spots["far run"][0]) == pytest.approx((24, 132, 156), abs=1e-9)
    assert spots["height"][1] == pytest.approx(8.8125 + 104, abs=1e-9)
    seen = {dim.name: dim for dim in plan(made).dims}
    assert seen["short overhang"].b[1] - seen["short overhang"].a[1] == 40
    assert seen["jog"].b[1] - seen["jog"].a[1] == 24


def test_the_short_truss_is_drawn_under_the_planes() -> None:
    """Its top edge lies on the long truss's roof line, its underside on the ceiling line, over the whole run."""
    made = cases()["recess"]
    shapes = {shape.name: shape.points for shape in jog_sections(made, made.ways[0]).shapes}
    roof, ceiling = made.long.left.roof, made.long.left.ceiling
    assert ceiling is not None
    assert sum(abs(y - roof.at(x)) < 1e-9 for x, y in shapes["left top chord"]) == 2
    assert sum(abs(y - ceiling.at(x)) < 1e-9 for x, y in shapes["left bottom chord"]) >= 2


def test_the_block_fills_what_the_plate_left() -> None:
    made = cases()["recess"]
    block = next(shape for shape in jog_sections(made, made.ways[1]).shapes if shape.name == "block")
    heights = [y for _, y in block.points]
    assert min(heights) == 0 and max(heights) == pytest.approx(22 / 3, abs=1e-9)


def test_the_face_of_the_ceiling_line_is_printed() -> None:
    for face in ("inside", "outside"):
        panel = everything(ceiling_from=face)
        assert f"ceiling line from the {face} face" in panel.content["picture"]


def test_pictures_have_a_text_alternative_and_the_stored_page_its_readings() -> None:
    panel = everything()
    for view in ("sections", "plan", "gable"):
        panel.set(_view=view)
        root = ElementTree.fromstring(panel.content["picture"])
        said = root.findtext("{http://www.w3.org/2000/svg}desc") or ""
        assert root.get("role") == "img" and re.search(r'\d"', said), view
    text, picture = panel.responder.still()
    assert 'Plate up                  7 5/16"' in text and picture.startswith("<svg")
    assert "not a design" in text
    made = cases()["recess"]
    assert svg(fit(plan(made), *LARGE), *LARGE) == svg(fit(plan(made), *LARGE), *LARGE)


def test_a_bearing_so_wide_that_no_heel_would_stand_there_unmoved() -> None:
    """18 and 4 in 12, heel 13/16 in on 1 1/2 in, moved onto 11 in: at 0 set-in the heel would be under 0, and still
    (9.25 − 0.8125 + 4/12 × 9.5) ÷ (18/12 − 4/12) = 9.946 in are where blocking begins."""
    low: Any = {"pitch": "18", "ceiling_pitch": "4", "heel": "13/16", "bearing": "1 1/2", "new_bearing": "11"}
    panel = panel_of(EVERY, groups=tuple(JogTopic.groups), way="same heel", jog="13", **low)
    shown = panel.responder.respond({"_why": "jog.blocking"})
    assert not shown["stale"] and feet_inches((9.25 - 0.8125 + 4 / 12 * 9.5) / (14 / 12)) in unescape(shown["note"])
