"""The pictures of loads, forces and insulation: everything has a place, no text lies on anything, arrows point right.

The same search for faults as for the other pictures, over the corners of the controls and random settings; the
caution stands in each picture.  Numbers in pictures are held against the relations of statics written out here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from rooflab.base.measure import InputError
from rooflab.checks.frame import TEACHING_MODEL, king_post_scissor, webbed_scissor
from rooflab.checks.loads import EARLY_CHECK
from rooflab.draw.layout import fit
from rooflab.draw.scene import FORCE_WIDTHS, INK, STYLES, Scene, Shape, Stroke, svg
from rooflab.draw.views.frame import style_of, truss_forces
from rooflab.draw.views.loads import MOST, UNIT, Bar, arrow, bars
from rooflab.live.topics.frame import SeamTopic, TrussTopic
from rooflab.live.topics.loads import LoadsTopic
from rooflab.live.topics.thrust import PairTopic
from rooflab.live.topics.warmth import WarmTopic
from rooflab.live.widgets.topic import Topic
from tests.tools.pictures import LARGE, SMALL, faults

PAIR, TRUSS = PairTopic(), TrussTopic()
TOPICS: dict[str, Topic] = {
    topic.name: topic for topic in (LoadsTopic(), PAIR, TRUSS, SeamTopic(), WarmTopic())
}
CORNERS: dict[str, tuple[dict[str, Any], ...]] = {
    "loads": (
        {}, {"pitch": 2}, {"pitch": 18}, {"span": "12'"}, {"span": "40'", "lumber": "2x4", "seat": 2},
        {"dead": "by parts"}, {"snow": 100, "spacing": 24}, {"snow": 0, "live": 0}, {"lumber": "2x12", "span": "12'"},
    ),
    "pair": (
        *({"hold": hold} for hold in ("tie", "ridge beam", "nothing")), {"pitch": 2, "tie": "6"}, {"pitch": 18},
        {"span": "12'", "hold": "ridge beam"}, {"span": "40'", "pitch": 2, "hold": "ridge beam"}, {"tie": "5'"},
    ),
    "truss": (
        *({"form": form, "bearing": bearing} for form in ("king post", "webbed") for bearing in ("slides", "fixed")),
        {"pitch": 2, "ceiling_pitch": 1, "form": "webbed"}, {"pitch": 18, "ceiling_pitch": 12, "form": "webbed"},
        {"ceiling_pitch": 0}, {"ceiling_pitch": 0, "form": "webbed"}, {"span": "12'"},
        {"span": "40'", "form": "webbed"},
    ),
    "seam": ({}, {"place": "mid-slope"}, {"slip": "1/2"}, {"snow": 60, "lumber": "2x6"}, {"span": "16'", "pitch": 12}),
    "warm": (
        {}, {"seat": "5 1/2", "lumber": "2x6", "pitch": 5, "ceiling_pitch": 2}, {"heel": 24}, {"heel": 5, "air": 3},
        {"pitch": 18, "ceiling_pitch": 12}, {"pitch": 2, "ceiling_pitch": 0, "seat": 3}, {"ceiling_pitch": 0},
        {"r_value": 60, "edition": "2021"}, {"r_value": 13, "span": "12'"}, {"air": 0}, {"span": "40'"},
    ),
}  # fmt: skip


def drawn(topic: Topic, start: dict[str, Any]) -> Iterator[tuple[str, Scene]]:
    """Every picture of a topic at a start."""
    state = topic.read(topic.start(start))
    for view in topic.views:
        made = topic.picture(view, state)
        if isinstance(made, Scene):
            yield f"{topic.name} {view} {start}", made


def all_faults(topic: Topic, starts: list[dict[str, Any]]) -> dict[str, list[str]]:
    found = {}
    for start in starts:
        for name, scene in drawn(topic, start):
            for frame in (LARGE, SMALL):
                found[f"{name} {frame[0]:g}"] = faults(scene, frame, fit(scene, *frame))
    assert found
    return {name: wrong for name, wrong in found.items() if wrong}


@pytest.mark.parametrize("name", TOPICS)
def test_corners(name: str) -> None:
    assert all_faults(TOPICS[name], list(CORNERS[name])) == {}


@pytest.mark.parametrize("name", TOPICS)
def test_random_settings(name: str) -> None:
    """Fifteen settings a topic, every control anywhere on its slider; what is refused is refused with a sentence."""
    topic, chance, starts = TOPICS[name], Random(5), list[dict[str, Any]]()
    while len(starts) < 15:
        start: dict[str, Any] = {}
        for control in topic.controls:
            if control.choices:
                start[control.name] = chance.choice(control.choices)
            else:
                steps = int((control.high - control.low) / control.step + 1e-9)
                start[control.name] = control.show(control.low + control.step * chance.randint(0, steps))
        try:
            topic.read(topic.start(start))
        except InputError as error:
            assert error.problems and all(len(said) > 20 for said in error.problems)
            continue
        starts.append(start)
    assert all_faults(topic, starts) == {}


@pytest.mark.parametrize("name", TOPICS)
def test_every_picture_carries_its_caution(name: str) -> None:
    """In the drawing itself, so that a copy of it carries it too, and for those who listen."""
    for start in CORNERS[name]:
        for _, scene in drawn(TOPICS[name], start):
            words = {title.text for title in scene.titles}
            assert (TEACHING_MODEL if name in ("truss", "seam") else EARLY_CHECK) in words
            placed = fit(scene, *SMALL)
            assert any(label.name == "caution" for label in placed.labels)
            assert "decide" in scene.description or TEACHING_MODEL in scene.description
            assert "<title>" in svg(placed, *SMALL)


# --- arrows, bars, members -------------------------------------------------------------------------------------------


def test_an_arrow_ends_where_it_points() -> None:
    """From (0, 10) down to (0, 0) with a head 2 in long: shaft to (0, 2), head's tip at (0, 0), 1.4 in wide."""
    shaft, head = arrow("dead", (0.0, 10.0), (0.0, 0.0), "dead", 2.0)
    assert isinstance(shaft, Stroke) and isinstance(head, Shape)
    assert shaft.points == ((0.0, 10.0), (0.0, 2.0))
    assert head.points[0] == (0.0, 0.0)
    assert sorted(x for x, _ in head.points) == pytest.approx([-0.7, 0.0, 0.7])


def test_bars_are_as_long_as_they_say() -> None:
    """Half use is half of the mark; over full use is dashed; too long is cut, and says so."""
    scene = bars("t", "d", [Bar("half", 0.5, "half"), Bar("over", 1.2, "over"), Bar("far", 9.0, "far")], "h", "full")
    long = {shape.name: max(x for x, _ in shape.points) for shape in scene.shapes}
    assert long == {"half": 0.5 * UNIT, "over": 1.2 * UNIT, "far": MOST * UNIT}
    assert [shape.style for shape in scene.shapes] == ["bar", "bar over", "bar over"]
    assert [note.text for note in scene.notes][:3] == ["half", "over", "far (bar cut off)"]
    marks = {stroke.points[0][0] for stroke in scene.strokes if stroke.name == "full"}
    assert marks == {UNIT}


def test_members_show_their_force_by_style_and_word() -> None:
    """King post, 24 ft, 6 over 3 in 12, 1000 lb: top chord −2236.07, bottom +2061.55, post +1000.00 lb (statics:
    R = P/2, −R k(m)/(m − c), +R k(c)/(m − c), 2 R c/(m − c)); the thickest line is the largest force."""
    made = king_post_scissor("24'", 6, 3)
    scene = truss_forces(made, made.solve(), False, 0.25, 1237.0)
    styles = {stroke.name: stroke.style for stroke in scene.strokes if stroke.name.startswith("bar ")}
    assert styles == {
        "bar AC": "compression 4", "bar EC": "compression 4", "bar AD": "tension 4", "bar ED": "tension 4",
        "bar CD": "tension 2",
    }  # fmt: skip
    texts = [note.text for note in scene.notes]
    for said in ("AC: compression 2,236 lb", "AD: tension 2,062 lb", "CD: tension 1,000 lb"):
        assert said in texts
    assert "each bearing holds up 500 lb" in texts


def test_idle_members_are_said_to_be_idle() -> None:
    """A flat bottom chord has nothing to hang on a king post without load at its foot: the post is idle (statics)."""
    made = king_post_scissor("24'", 6, 0)
    scene = truss_forces(made, made.solve(), False, 0.0, 0.0)
    assert next(s for s in scene.strokes if s.name == "bar CD").style == "idle"
    assert style_of(3.0, 1000.0) == "idle" and style_of(6.0, 1000.0) == "tension 1"


def test_forces_are_told_apart_without_colour() -> None:
    """Tension solid, compression dashed, idle dotted, all in ink or grey; arrows too: the words say the rest."""
    assert STYLES["idle"].dash != STYLES["compression 1"].dash
    for n in range(1, len(FORCE_WIDTHS) + 1):
        pulled, pushed = STYLES[f"tension {n}"], STYLES[f"compression {n}"]
        assert pulled.line == pushed.line == STYLES["push"].line == INK and not pulled.dash and pushed.dash


def test_the_moved_truss_moves_as_solved() -> None:
    """The dashed truss is the joints with their moves times the stated factor; the pinned bearing stays."""
    made = webbed_scissor("24'", 6, 3)
    solved = made.solve()
    scene = truss_forces(made, solved, False, solved.moves["E"][0], 0.0, 20.0)
    bar = next(s for s in scene.strokes if s.name == "moved AD")
    (x, y), (dx, dy) = made.joints["D"], solved.moves["D"]
    assert bar.points == ((0.0, 0.0), pytest.approx((x + 20 * dx, y + 20 * dy)))
    assert solved.moves["E"][0] > 0  # it spreads


def test_the_searches_find_a_lost_title() -> None:
    """The search itself is tried: a text wider than the frame must be found."""
    scene = next(scene for name, scene in drawn(PAIR, {}) if "forces" in name)
    long = replace(scene, notes=(scene.notes[0]._replace(text="W" * 90), *scene.notes[1:]))
    assert any("larger than the frame" in said for said in faults(long, SMALL, fit(long, *SMALL)))
