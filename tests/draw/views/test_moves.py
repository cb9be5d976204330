"""Movements and heights that are drawn larger: as large as the picture says, and it says so where they are.

Numbers by hand for a roof of 8 in 12, 26'-0" wide: each inch that a plate gives lets the ridge down by 12/8 in.
"""

from __future__ import annotations

import re

import pytest

import rooflab as rl
from rooflab.draw.scene import Scene
from rooflab.draw.views.field import along_the_seam, shadow, step_in_light
from rooflab.draw.views.parts import times_larger
from rooflab.draw.views.review import review_overlay
from rooflab.live.topics.frame import SeamTopic, TrussTopic
from rooflab.live.topics.thrust import PairTopic
from rooflab.shop.field import shim_schedule, string_over, taper
from tests.tools.houses import TRUSS

PAIR = PairTopic()


def pair(**start: object) -> Scene:
    made = PAIR.picture("forces", PAIR.read(PAIR.start(start)))
    assert isinstance(made, Scene)
    return made


def factor(scene: Scene) -> int:
    """How many times as large the picture says that it draws; 1 where it does not say so."""
    said = [int(n) for title in scene.titles for n in re.findall(r"(\d+) times as large", title.text)]
    return said[0] if said else 1


def highest(scene: Scene, name: str) -> float:
    return max(y for part in scene.parts if part.name == name for _, y in part.points)


def foot(scene: Scene) -> float:
    """How far the left wall's plate stands out from where it was built, in of the picture."""
    return -min(x for part in scene.shapes if part.name == "rafter wall plate" for x, _ in part.points)


# --- walls lean, the ridge sinks -------------------------------------------------------------------------------------


@pytest.mark.parametrize("pitch", [4, 8, 12])
def test_untied_the_ridge_sinks_12_over_the_pitch_for_each_inch(pitch: int) -> None:
    built, loose = pair(hold="ridge beam", pitch=pitch), pair(hold="nothing", pitch=pitch)
    by = factor(loose)
    assert by > 1 and foot(built) == 0 and foot(loose) == pytest.approx(by * 1.0, rel=0.06)  # the lean, at the plate
    assert highest(built, "ridge board") - highest(loose, "ridge board") == pytest.approx(by * 12 / pitch)
    texts = " ".join(title.text for title in loose.titles)
    assert f"sinks {12 / pitch:.2f} in" in texts and "not computed" in texts


def test_a_raised_tie_moves_as_far_as_it_says() -> None:
    scene, built = pair(tie="3'"), pair(hold="ridge beam")
    (down,) = re.findall(r"the ridge ([\d.]+) in down", " ".join(title.text for title in scene.titles))
    sunk = highest(built, "ridge board") - highest(scene, "ridge board")
    assert sunk / factor(scene) == pytest.approx(float(down), abs=0.006) and sunk > 5
    assert "without creep" in scene.description


def test_a_tie_on_the_plates_holds_them() -> None:
    scene = pair()
    texts = " ".join(title.text for title in scene.titles)
    assert "less than 0.01 in" in texts and foot(scene) < 0.5
    assert "as built" not in {stroke.name for stroke in scene.strokes}  # nothing to tell apart


def test_more_load_leans_further() -> None:
    scenes = [pair(tie="2'", snow=snow) for snow in (0, 20, 40)]
    leans = [foot(scene) / factor(scene) for scene in scenes]
    assert leans == sorted(leans) and leans[2] > 1.3 * leans[1]


def test_the_factor_is_round_and_changes_rarely() -> None:
    assert [times_larger(most, 20.0) for most in (0.1, 0.5, 0.51, 1.0, 1.01, 2.0, 20.0, 20.1)] == [
        40, 40, 20, 20, 10, 10, 1, 0
    ]  # fmt: skip
    seen = [factor(pair(tie=str(up))) for up in range(0, 97)]
    assert set(seen) <= {1, 2, 4, 10, 20, 40} and sum(a != b for a, b in zip(seen, seen[1:], strict=False)) <= 5
    assert seen == sorted(seen, reverse=True)


@pytest.mark.parametrize("start", [{}, {"bearing": "fixed"}, {"span": "12'"}, {"span": "40'", "pitch": 12}])
def test_other_pictures_of_movement_say_round_factors(start: dict[str, object]) -> None:
    truss, seam = TrussTopic(), SeamTopic()
    moved = truss.picture("moved", truss.read(truss.start(start)))
    rest = {name: value for name, value in start.items() if name == "pitch"}
    sag = seam.picture("seam", seam.read(seam.start(rest)))
    for scene in (moved, sag):
        assert isinstance(scene, Scene) and str(factor(scene))[0] in "124" and str(factor(scene))[1:].strip("0") == ""


# --- string, light, step ---------------------------------------------------------------------------------------------

HEELS = [("0", "8 3/4"), ("2 ft", "8 13/16"), ("4 ft", "8 1/2"), ("6 ft", "8 13/16")]
NAMES = [name for name, _ in HEELS]


def test_a_string_rests_on_the_high_tops() -> None:
    """Stretched from 8 3/4 over 8 13/16 to 8 13/16 it is level over the third, which stands 5/16 in under it."""
    assert string_over([8.75, 8.8125, 8.5, 8.8125]).gaps == pytest.approx((0, 0, 5 / 16, 0))
    assert string_over([9.0, 8.5, 8.0, 8.5, 9.0]).gaps == pytest.approx((0, 0.5, 1, 0.5, 0))
    assert string_over([8.0, 8.5, 9.0]).gaps == pytest.approx((0, 0, 0))
    assert string_over([8.0]).gaps == (0,)


def test_the_picture_strings_the_tops_and_says_the_gap() -> None:
    scene = along_the_seam(shim_schedule(HEELS), NAMES, 1 / 8)
    lines = {stroke.name: stroke.points for stroke in scene.strokes}
    assert lines["string"][2][1] - lines["top edges as measured"][2][1] == pytest.approx(12 * 5 / 16)
    assert [note.text for note in scene.notes if note.name.startswith("gap")] == ['5/16" under the string']
    assert "12 times as large" in " ".join(title.text for title in scene.titles)


def test_a_shadow_is_what_stands_lower_than_the_tolerance() -> None:
    """1/8 in lower is just lit, 3/16 in is dark; a truss that stands higher than the one before is lit."""
    for low, dark in (("8 11/16", False), ("8 5/8", True), ("9", False)):
        scene = along_the_seam(shim_schedule([("a", "8 13/16"), ("b", low)]), ["a", "b"], 1 / 8)
        assert any(stroke.name == "shadow" for stroke in scene.strokes) is dark
        assert any("SHADED" in title.text for title in scene.titles) is dark


def test_a_shadow_ends_where_its_ray_lands() -> None:
    """A ray falling 1 in 24 from 0 meets the way up from -3 at 24 to 0 at 48 at 36: -1.5 = -3 + 12 × 3/24."""
    (patch,) = shadow([(0.0, 0.0), (24.0, -3.0), (48.0, 0.0)], 1 / 24)
    assert patch[2] == pytest.approx((36.0, -1.5))


@pytest.mark.parametrize(("step", "long"), [("1/4", 12.0), ("1/2", 24.0), ("1 1/2", 72.0)])
def test_a_steps_shadow_is_as_long_as_its_taper(step: str, long: float) -> None:
    """Light that falls 1/2 in in 2 ft (NAHB: the most that sheathing may bow) is level with a step 48 times it."""
    scene = step_in_light(taper(step))
    light = next(stroke for stroke in scene.strokes if stroke.name == "light")
    assert light.points[1] == pytest.approx((long, 0.0))
    dark = [stroke.points[0][0] for stroke in scene.strokes if stroke.name == "shadow"]
    assert dark and max(dark) < long and max(dark) > long - 4
    (_, low), (_, high) = scene.dims[0].a, scene.dims[0].b
    assert high - low == pytest.approx(factor(scene) * long / 48)


def test_no_step_casts_no_shadow() -> None:
    scene = step_in_light(taper("0"))
    assert not scene.strokes and not scene.dims and "No step" in " ".join(title.text for title in scene.titles)


# --- an honest drawing -----------------------------------------------------------------------------------------------


def test_a_legend_claims_no_larger_differences_where_there_are_none() -> None:
    honest = review_overlay(rl.review(TRUSS, {"span": "26'"}), 5)
    assert "times" not in honest.title + honest.description + "".join(title.text for title in honest.titles)
    assert "just the same" in honest.titles[1].text
    high = review_overlay(rl.review(TRUSS, {"heel_left": "9 13/16", "heel_right": "9 13/16"}), 5)
    assert "5 times as large" in high.titles[1].text


