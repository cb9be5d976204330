"""The shape of a scissor truss: its two pictures, its panel, and the numbers of workbook 03.

Worked by hand.  Our house: 26'-0", 8 in 12 (k = 1.201850), 4 in 12 (k = 1.054093), plate 5 1/2, heel 8 13/16, 2x4
chords of 3 1/2 (PS 20): height 8.8125 + 104 = 112.8125; rise from the inside face 150.5/3 = 50.1667, from the outside
52; minimum heel 4.2065 + 1/4 = 4.4565; raised from 4.2065 + 3.6893 − 1.8333 = 6.0625; spaces 2.75 and 4.5834.

12 over 6 in 12, plate 5 1/2 (k = 1.414214 and 1.118034): minimum heel 4.9497 + 1/4 = 5.1997 (5 3/16), raised from
4.9497 + 3.9131 − 2.75 = 6.1129 (6 1/8); at a heel of 8 the spaces are 1.887 and 1.887 + 2.75 = 4.637.

24'-0", 9 in 12, plate 7 1/4, heel 8 5/8: height 9'-8 5/8"; ceiling 4 1/2 in 12: rise 4'-3 5/16"; spaces 3.23 and
5.95 in (common practice, no source: such figures are quoted in the trade).  Minimum heels of a 2x4 chord with a 1/4 in
butt cut, 4, 6, 8 and 12 in 12: 3 15/16, 4 3/16, 4 7/16, 5 3/16 (common shop figures, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rooflab import Gable, InputError, ScissorBay, feet_inches, inches
from rooflab.draw.layout import fit
from rooflab.draw.scene import Scene, Shape, Stroke
from rooflab.draw.views.shape import STATES, bounds_of, face_shift, heels_of, outline, states
from rooflab.house.bays import RafterBay
from rooflab.job.jobfile import Job, example
from rooflab.live import ours, shape_panel
from rooflab.live.topics.shape import OPENS, ShapeTopic
from tests.tools.lessons import BOOKS, asked
from tests.tools.pictures import LARGE, SMALL, faults, settings

ROOM, LETTERS = (800.0, 392.0), 21.4  # the frame and the texts of a room's picture, px
HERE = next(path for path in BOOKS if path.stem.startswith("03"))


def truss(heel: Any = "8 13/16", **given: Any) -> ScissorBay:
    value: dict[str, Any] = {"span": 312.0, "pitch": 8.0, "bearing": 5.5, "overhang": 16.0, "ceiling": 4.0}
    value |= {"chord": "2x4"} | given
    gable = Gable(*(value[name] for name in ("span", "pitch", "bearing", "overhang")))
    bottom, face = value.get("bottom", value["chord"]), value.get("face", "inside")
    return ScissorBay(gable, value["ceiling"], heel, value["chord"], bottom, ceiling_from=face)


def steep(heel: Any) -> ScissorBay:
    return truss(heel, pitch=12, ceiling=6)


def corners() -> list[ScissorBay]:
    """Every control at its ends, and what comes near to nothing: level ceilings, no tail, a tail at plate height."""
    return [
        truss(), truss(face="outside"), truss("5 1/2"), truss(3), truss(1, ceiling=2), truss(24), truss(60),
        truss(overhang=0), truss(overhang=36), truss(overhang=12, heel=8), truss(ceiling=0),
        truss(ceiling=7.5, heel=12), truss(16, pitch=3, ceiling=2.5),
        truss(span=144, ceiling=2), truss(span=480), truss(span=720), truss(pitch=2, ceiling=0.5, heel=6, span=480),
        truss(pitch=18, ceiling=12), truss(pitch=18, ceiling=1, face="outside"), truss(bearing=1.5), truss(bearing=12),
        truss(bearing=12, face="outside", heel=14), truss(chord="2x8", heel=18), truss(chord="2x8", bottom="2x4"),
        truss(chord="2x4", bottom="2x8", face="outside"), steep(8), truss(20, bearing=12, ceiling=7),
    ]  # fmt: skip


def random(count: int, seed: int) -> Iterator[ScissorBay]:
    """The scissor bays of random settings, their ceiling line from either face."""
    for number, case in enumerate(settings(count, seed)):
        try:
            yield case.scissor.with_(ceiling_from=("inside", "outside")[number % 2])
        except InputError:
            yield case.scissor


def scenes(bay: ScissorBay) -> Iterator[tuple[str, Scene]]:
    yield "outline", outline(bay)
    yield "faces", outline(bay, both_faces=True)
    yield "states", states(bay)


def all_faults(bays: Any) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for number, bay in enumerate(bays):
        for name, scene in scenes(bay):
            for frame in (LARGE, SMALL):
                found[f"{number} {name} {frame[0]:g}"] = faults(scene, frame, fit(scene, *frame))
    assert len(found) > 50
    return {name: wrong for name, wrong in found.items() if wrong}


# --- pictures --------------------------------------------------------------------------------------------------------


def test_corner_cases() -> None:
    assert all_faults(corners()) == {}


@pytest.mark.parametrize("seed", range(3))
def test_random_trusses(seed: int) -> None:
    assert all_faults(random(40, 30 + seed)) == {}


def test_in_a_room() -> None:
    """With texts of 16 pt the lesson's own pictures keep their work at a size that can be seen from the back."""
    for bay in (truss(), truss(face="outside"), truss(pitch=10), truss("5 1/2"), truss(pitch=12), truss(4)):
        for name, scene in scenes(bay):
            placed = fit(scene, *ROOM, LETTERS)
            near = "leaves the frame"  # by what the letters' box has above them
            assert not [wrong for wrong in faults(scene, ROOM, placed) if near not in wrong], name
            assert min(label.box[1] for label in placed.labels) > -2.0
            assert placed.scale >= 1.25, (name, placed.scale)


def test_no_web_is_drawn() -> None:
    """Webs are the manufacturer's (ANSI/TPI 1 ch. 2): no stroke or shape of these pictures is one."""
    for bay in corners():
        for _, scene in scenes(bay):
            assert not any("web" in part.name or part.style == "web" for part in scene.parts)
    assert any("manufacturer" in title.text for title in outline(truss()).titles)


def dims_of(scene: Scene) -> dict[str, Any]:
    return {dim.name: dim for dim in scene.dims}


def test_the_heights_measure_what_they_say() -> None:
    """Anchors as far apart as by hand, and the printed rise and depth make the printed overall height."""
    dims = dims_of(outline(truss()))
    for name, value in (("heel", 8.8125), ("ceiling rise", 150.5 / 3), ("overall height", 112.8125)):
        assert dims[name].b[1] - dims[name].a[1] == pytest.approx(value, abs=1e-9), name
    assert dims["top of tail"].text == 'tail 1 7/8" below'  # 8.8125 − 16 × 2/3 = −1.854
    assert dims["run"].text == "run 13'-0\""
    for bay in random(60, 3):
        shown = dims_of(outline(bay, both_faces=True))
        height = inches(shown["overall height"].text.removeprefix("overall "))
        for which in ("", "other "):
            parts = [shown.get(f"{which}{name}") for name in ("ceiling rise", "depth at the peak")]
            if all(parts):
                said = [inches(part.text.partition(" ")[2]) for part in parts if part]
                assert sum(said) == height
                assert [part.b[1] for part in parts if part][1] == pytest.approx(bay.peak[1])


def test_both_faces() -> None:
    """The other line lies c × bearing higher or lower, everywhere; heel and overall height stay."""
    inside, outside = truss(), truss(face="outside")
    assert face_shift(inside) == face_shift(outside) == pytest.approx(5.5 / 3)
    assert outside.ceiling_rise - inside.ceiling_rise == pytest.approx(5.5 / 3)
    assert inside.depth_at_peak - outside.depth_at_peak == pytest.approx(5.5 / 3)
    assert (inside.height, inside.left.heel) == (outside.height, outside.left.heel)
    for bay, other in ((inside, outside), (outside, inside)):
        scene = outline(bay, both_faces=True)
        assert other.left.ceiling is not None
        line = next(s for s in scene.strokes if s.name == f"from the {other.ceiling_from} face")
        assert all(y == pytest.approx(other.left.ceiling.at(x), abs=1e-9) for x, y in line.points)
        assert line.points[0] == (other.left.start, 0.0)
        dims = dims_of(scene)
        assert dims["ceiling rise"].text == f"{bay.ceiling_from} {feet_inches(bay.ceiling_rise)}"
        assert dims["other ceiling rise"].text == f"{other.ceiling_from} {feet_inches(other.ceiling_rise)}"
        larger = [part for part in scene.parts if part.name.endswith(", larger") or part.name == "inset"]
        assert {part.style for part in larger} == {"lens", "wall", "truss", "long line"}
    level = outline(truss(ceiling=0), both_faces=True)
    assert "other ceiling rise" not in dims_of(level) and not any(part.name == "inset" for part in level.parts)


@pytest.mark.parametrize("bay", [truss(), truss("5 1/2"), truss(3), steep(8), truss(bearing=12, heel=20)])
def test_states_side_by_side(bay: ScissorBay) -> None:
    """Each heel shown has the state it stands for; the truss's own is marked, and only that."""
    shown = heels_of(bay)
    least, raised = bounds_of(bay)
    assert shown[bay.heel_state] == bay.left.heel
    for state, heel in shown.items():
        assert bay.with_(heel=heel).heel_state == state
        assert state == ("below minimum" if heel < least else "standard" if heel < raised else "raised")
    scene = states(bay)
    firsts = [note.text for note in scene.notes if note.up == 1]
    own = f"NOW {bay.heel_state}: {feet_inches(bay.left.heel)}"
    assert [text for text in firsts if text.startswith("NOW ")] == [own]
    assert [s for s in STATES if s in shown] == [text.removeprefix("NOW ").partition(":")[0] for text in firsts]
    bars = [stroke for stroke in scene.strokes if stroke.name == "heel"]
    assert sorted(b.points[1][1] - b.points[0][1] for b in bars) == pytest.approx(sorted(shown.values()))
    assert len([s for s in scene.strokes if s.name == "the truss's own"]) == 1


def test_a_wide_wall_under_a_steep_ceiling_has_no_standard_heel() -> None:
    """Plate 12, ceiling 7 in 12: 3.5 × 1.201850 + 3.5 × 1.157704 − 7 = 1.2584 is below the minimum heel, 4.4565."""
    bay = truss(20, bearing=12, ceiling=7)
    assert bounds_of(bay)[1] == pytest.approx(1.2584, abs=1e-3)
    assert list(heels_of(bay)) == ["below minimum", "raised"]
    assert [note.text for note in states(bay).notes if note.up == -1] == ['under 4 7/16"', 'from 4 7/16"']


def test_12_over_6() -> None:
    least, raised = bounds_of(steep(8))
    assert (feet_inches(least), feet_inches(raised)) == ('5 3/16"', '6 1/8"')
    assert (steep(8).space_outside, steep(8).space_inside) == pytest.approx((1.887, 4.637), abs=5e-4)
    said = [note.text for note in states(steep(8)).notes]
    assert 'under 5 3/16"' in said and '5 3/16" to 6 1/8"' in said and 'from 6 1/8"' in said


def test_the_wedge_is_drawn_where_the_heel_is_raised() -> None:
    for heel, drawn in ((8.8125, True), (5.5, False)):
        assert any(isinstance(p, Shape) and p.style == "wedge" for p in outline(truss(heel)).parts) is drawn


# --- the panel -------------------------------------------------------------------------------------------------------


def seen(panel: Any, key: str) -> str:
    return next(row.text for _, rows in panel.responder.rows() for row in rows if row.key == key)


@pytest.mark.parametrize(("pitch", "text"), [("4", '3 15/16"'), ("6", '4 3/16"'), ("8", '4 7/16"'), ("12", '5 3/16"')])
def test_minimum_heels(pitch: str, text: str) -> None:
    """Common shop figures for a 2x4 top chord with a 1/4 in butt cut, from memory."""
    panel = shape_panel(ceiling_pitch="2", pitch=pitch)
    assert seen(panel, "truss.minimum_heel") == text


def test_the_boathouse() -> None:
    """24'-0", 9 in 12, plate 7 1/4, heel 8 5/8, 4 1/2 in 12: figures from practice, no source; outside by hand."""
    house: dict[str, Any] = {"span": "24'", "pitch": "9", "bearing": "7 1/4", "heel": "8 5/8", "ceiling_pitch": "4 1/2"}
    panel = shape_panel(**house)
    assert seen(panel, "truss.height") == "9'-8 5/8\"" and seen(panel, "truss.ceiling_rise") == "4'-3 5/16\""
    assert (panel.responder.state.space_outside, panel.responder.state.space_inside) == pytest.approx(
        (3.23, 5.95), abs=0.005
    )
    panel.set(ceiling_from="outside")
    assert seen(panel, "truss.ceiling_rise") == "4'-6\"" and seen(panel, "truss.height") == "9'-8 5/8\""  # 144 × 4.5/12
    assert panel.content["sentence"].startswith("Ceiling rise 4&#x27;-6&quot; + depth at the peak")


def test_every_view_answers_every_control() -> None:
    panel = shape_panel()
    for name, text in (
        ("span", "24'"), ("overhang", "0"), ("pitch", "10"), ("ceiling_pitch", "3"), ("bearing", "3 1/2"),
        ("ceiling_from", "outside"), ("heel", "4"), ("chord", "2x6"), ("bottom_chord", "2x8"),
    ):  # fmt: skip
        for view in ShapeTopic.views:
            before = panel.content["picture"]
            panel.set(**{name: text, "_view": view})
            assert not panel.content["stale"] and panel.content["picture"].startswith("<svg") and before
    panel.set(heel="nothing")
    assert panel.content["stale"] and "Truss heel" in panel.content["sentence"]


def test_the_wedge_is_worked_from_its_thin_end() -> None:
    """The short working gives the bay's own reading; 8.8125 − 4.206476 − 3.689324 + 1.833333 = 2.750033."""
    for bay in random(30, 8):
        one = OPENS.work({**bay.symbols(), "space_outside": bay.space_outside})
        assert one.value == pytest.approx(bay.space_inside, abs=1e-9)
    shown = ShapeTopic().reading(truss(), "truss.space_inside")
    assert (shown.value, shown.worked) == ('4 9/16"', "2.750033 + ((8/12) − (4/12)) × 5.5")


def test_it_says_where_the_line_comes_from_and_how_the_heights_add_up() -> None:
    panel = shape_panel()
    assert "Ceiling rise 4&#x27;-2 3/16&quot;" in panel.content["sentence"]
    panel.set(_view="faces")
    assert "the line is 1 13/16&quot; higher" in panel.content["sentence"]
    panel.set(ceiling_from="outside")
    assert "the line is 1 13/16&quot; lower" in panel.content["sentence"]
    panel.set(_view="states", heel="5 1/2")
    assert "standard" in panel.content["sentence"] and "raised from 7 7/8&quot;" in panel.content["sentence"]


def test_a_jobs_numbers_are_taken_over() -> None:
    """The long truss's; of unequal ends the left one's; chords no slider offers as well."""
    panel = shape_panel(job=ours())
    assert panel.responder.state == example().scissor
    gable = Gable("30'", (6, 9), (3.5, 5.5), (12, 24))
    rafters = RafterBay(gable, "2x10", 3).handed_over()
    odd = ScissorBay(gable, (3, 4), "10", ' 1 3/4"  x  5 1/2" ', "2x6", ceiling_from="outside")
    made = shape_panel(job=Job("odd", rafters, odd, follows=False)).responder.state
    assert (made.gable.pitch, made.left.bearing, made.left.overhang, made.left.heel) == (6, 3.5, 12, 10)
    assert (made.chord, made.bottom_chord, made.ceiling_from) == ('1 3/4" x 5 1/2"', "2x6", "outside")
    assert made.left.ceiling is not None and made.left.ceiling.slope == pytest.approx(3 / 12)
    assert ShapeTopic(ours()).own()["heel"] == '8 13/16"'


def test_what_it_refuses() -> None:
    with pytest.raises(InputError, match="Ceiling from"):
        shape_panel(ceiling_from="middle")
    with pytest.raises(InputError, match="at most the roof pitch"):
        shape_panel(pitch=4, ceiling_pitch=5)
    with pytest.raises(InputError, match="Top chord"):
        shape_panel(chord="2x40")


# --- the workbook ----------------------------------------------------------------------------------------------------


def questions(path: Path) -> dict[str, Any]:
    return {ask.setup["prompt"]: ask for ask in asked(path) if ask.question is not None and not ask.setup["more"]}


@pytest.mark.parametrize(
    ("part", "right"),
    [
        ("What heel do they hand", "8 13/16"),  # 9 1/4 × 1.201850 − 2/3 × 3 1/2 = 8.7838, rounded: 8 13/16
        ("overall height", "9'-8 5/8"),
        ("How high does its ceiling rise".lower(), "4'-3 5/16"),
        ("what depth is left", "5'-5 5/16"),  # 9'-8 5/8" less 4'-3 5/16"
        ("begins its ceiling line at the outside", "4'-6"),
        ("what is the minimum heel", "4 5/8"),  # 3 1/2 × 1.25 + 1/4
        ("space is between the chords at the outside", "3.23"),
        ("And at the inside face", "5.95"),
    ],
)
def test_answers_of_the_lesson(part: str, right: str) -> None:
    """The boathouse by hand, and the two spaces as the trade quotes them."""
    ask = next(one for prompt, one in questions(HERE).items() if part in prompt)
    assert ask.give(right).startswith("<b>Right.</b>"), ask.answer


@pytest.mark.parametrize(
    ("part", "wrong"),
    [
        # the other face: 4.5/12 × 144; the roof's pitch: 9/12 × 136.75; the heel added; span: 4.5/12 × (288 − 7.25)
        ("how high does its ceiling rise", ("4'-6", "102.5625", "59.90625", "105.28125")),
        # butt cut left out: 4 3/8; square: 3 1/2 + 1/4; nominal: 4 × 1.25 + 1/4
        ("what is the minimum heel", ("4 3/8", "3 3/4", "5 1/4")),
        # the inside face; the outside convention: 8.625 − 8.113; top chord alone: 8.625 − 4.375 + 2.719
        ("space is between the chords at the outside", ("5 15/16", "0.512", "6.969")),
        # heel forgotten: 108; whole span: 8.625 + 216; 1/2 in sheathing × 1.25 on top
        ("overall height", ("9'", "18'-8 5/8", "9'-9 1/4")),
    ],
)
def test_usual_mistakes_get_answers_of_their_own(part: str, wrong: tuple[str, ...]) -> None:
    ask = next(one for prompt, one in questions(HERE).items() if part in prompt)
    said = [ask.give(text) for text in wrong]
    assert all(text.startswith("<b>Not yet.</b>") and "do not recognise" not in text for text in said), said
    assert len(set(said)) == len(said)


def test_sorting_answers_each_choice() -> None:
    """Who designs what: ANSI/TPI 1 ch. 2 gives span, profile, loads and bearings to the building designer, each truss
    to the truss designer."""
    sorting = [ask for ask in asked(HERE) if "Whose" in ask.setup["prompt"] or "ours?" in ask.setup["prompt"]]
    assert len(sorting) >= 3
    for ask in sorting:
        said = [ask.give(choice) for choice in ask.setup["choices"]]
        assert len(set(said)) == len(said) and sum(text.startswith("<b>Right</b>") for text in said) == 1


def test_one_question_needs_both_bays() -> None:
    """2x6 at 8 in 12 on 3 1/2: heel 5.5 × 1.201850 − 2.3333 = 4.2769 (4 1/4), under the least of 4.4565; a 2x8's 6.380
    (6 3/8) is raised by 6.375 − 6.0625 = 0.3125."""
    ask = next(one for one in asked(HERE) if "2x6 in the place of 2x10" in one.setup["prompt"])
    assert ask.panel is not None
    ask.give("standard")
    for size, heel, state in (("2x6", '4 1/4"', "below minimum"), ("2x8", '6 3/8"', "raised")):
        ask.panel.set(lumber=size)
        now = ask.panel.responder.state
        assert (feet_inches(now.rafters.left.heel), now.scissor.heel_state) == (heel, state)
    assert "below minimum" in ask.answer and isinstance(outline(now.scissor).strokes[0], Stroke)
