"""The key beside the pictures of the panels: it lies on nothing, lights the right halves, and is nothing to touch.

What is lit is read off the SVG that the page shows, by fill and place.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from random import Random
from typing import Any, NamedTuple

import pytest

from rooflab import live
from rooflab.draw.inset import CELL, KEEP
from rooflab.draw.placing import Box
from rooflab.draw.scene import STYLES, Scene
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Gable
from rooflab.job.jobfile import Job
from rooflab.live.topics.table import FORCES
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic import Topic
from rooflab.live.widgets.topic_panel import TopicPanel
from rooflab.live.widgets.touched import Sheet
from tests.tools.depth import cases
from tests.tools.keys import met_by
from tests.tools.moves import moved
from tests.tools.returned import bench_panel

SVG = "{http://www.w3.org/2000/svg}"
FILLS = {STYLES["slim rafter"].fill: "rafters", STYLES["slim truss"].fill: "trusses", STYLES["pale"].fill: "pale"}
GABLE = Gable("27'", (8, 6), ("5 1/2", "3 1/2"), (16, 12), (97.125, 99))
UNLIKE_ENDS = Job("Unlike", RafterBay(GABLE, "2x10", (3.5, 3)), ScissorBay(GABLE, (4, 3), (8.8125, 8.5)), follows=False)


def force(name: str) -> Callable[..., Panel]:
    return lambda **given: live.force_panel(name, **given)


MAKE: dict[str, Callable[..., Panel]] = {
    "section": live.one_plane, "jog": live.jog, "shape": live.shape_panel, "cut": live.cut_panel,
    "loads": live.load_panel, "warm": live.warm_panel, "options": live.options_panel, "seam on site": live.seam,
    "field sheet": live.field_sheet, "checking": live.checking, "bench": bench_panel,
    **{f"forces, {name}": force(name) for name in FORCES},
    "unlike ends": lambda **given: live.one_plane(job=UNLIKE_ENDS, **given),
}  # fmt: skip
LEFT, RIGHT = ("left",), ("right",)
WHOLE, TWICE = ("left", "right"), ("left", "left", "right", "right")
SHOWS: dict[str, dict[str, dict[str, tuple[str, ...]]]] = {
    "section": {
        "section": {"rafters": LEFT, "trusses": RIGHT}, "eave": {"rafters": LEFT, "trusses": LEFT},
        "rafter heel": {"rafters": LEFT}, "truss heel": {"trusses": LEFT},
    },
    "unlike ends": {"section": {"rafters": WHOLE, "trusses": WHOLE}, "eave": {"rafters": LEFT, "trusses": LEFT}},
    "jog": {"sections": {"trusses": TWICE}},
    "shape": dict.fromkeys(("shape", "faces", "heel"), {"trusses": LEFT}),
    "cut": dict.fromkeys(("cut", "birdsmouth", "steps"), {"rafters": LEFT}),
    "loads": {"loads": {"rafters": WHOLE}},
    "warm": {"eaves": {"rafters": LEFT, "trusses": LEFT}, "wall": {"trusses": WHOLE}},
    "options": {"section": {"rafters": LEFT, "trusses": RIGHT}, "gable": {"trusses": WHOLE}},
    "checking": {"overlay": {"trusses": WHOLE}}, "bench": {"overlay": {"trusses": WHOLE}},
    "forces, pair": {"forces": {"rafters": WHOLE}},
    "forces, truss": dict.fromkeys(("forces", "moved"), {"trusses": WHOLE}),
}  # fmt: skip
"""What the views of each panel show of the house: halves of rafters and trusses.  All other views show no section."""
PAGES = ((820, 1180), (1024, 768), (1366, 768), (1920, 1080))
ROOM_PAGE = (0, 0)  # the room is always of one size


class Shown(NamedTuple):
    """A picture on a page: its sheet, the box of its key in units of the layout, and the picture's SVG."""

    name: str
    view: str
    sheet: Sheet
    box: Box | None
    svg: str
    turn: str


def answers(name: str, page: tuple[int, int], count: int) -> Iterator[Shown]:
    """Pictures of a panel on a page, every view first as it starts and then after random moves."""
    made = MAKE[name](size="room") if page == ROOM_PAGE else MAKE[name]()
    responder, chance = made.responder, Random(f"{name} {page}")
    raw = {} if page == ROOM_PAGE else {"_width": str(page[0]), "_height": str(page[1] - 90)}
    for view in responder.views:
        raw = {key: one for key, one in raw.items() if key in ("_width", "_height")} | {"_view": view}
        for turn in range(count):
            content = responder.respond(raw)
            sheet = responder._sheets.get("picture")
            if sheet is not None and not content["stale"]:
                yield Shown(name, view, sheet, in_layout(sheet), content["picture"], f"{name} {page} {view} {turn}")
            raw = raw | moved(chance, responder)


def in_layout(sheet: Sheet) -> Box | None:
    if sheet.held.key is None:
        return None
    (x0, y0, x1, y1), (x, y) = sheet.held.key, sheet.corner
    return x0 - x, y0 - y, x1 - x, y1 - y


def outlines(svg: str, box: Box) -> Iterator[tuple[str, list[tuple[float, float]]]]:
    """Fill and corners of the polygons that lie in a box of an SVG's layout."""
    x0, y0, x1, y1 = box
    for group in ET.fromstring(svg.partition("</svg>")[0] + "</svg>").iter(f"{SVG}g"):
        for one in group.findall(f"{SVG}polygon"):
            points = [(float(x), float(y)) for x, y in (pair.split(",") for pair in one.attrib["points"].split())]
            if all(x0 - 0.1 <= x <= x1 + 0.1 and y0 - 0.1 <= y <= y1 + 0.1 for x, y in points):
                yield group.attrib["fill"], points


def lit(svg: str, box: Box) -> dict[str, tuple[str, ...]]:
    """Which halves have their colors in a key, by their fill: a left slope falls to the left from the ridge."""
    found: dict[str, list[str]] = {}
    for fill, points in outlines(svg, box):
        kind = FILLS[fill]
        if kind != "pale":
            (eave, _), (peak, _) = points[0], points[1]
            found.setdefault(kind, []).append("left" if eave < peak else "right")
    return {kind: tuple(sorted(sides)) for kind, sides in found.items()}


@pytest.mark.parametrize("page", [*PAGES, ROOM_PAGE])
@pytest.mark.parametrize("name", MAKE)
def test_the_key_lies_on_nothing_and_lights_what_the_view_shows(name: str, page: tuple[int, int]) -> None:
    there = wanted = 0
    for one in answers(name, page, 10):
        shows = SHOWS.get(name, {}).get(one.view)
        if one.view not in SHOWS.get(name, {}):
            assert one.box is None, one.turn
            continue
        wanted += 1
        if one.box is None:
            continue
        there += 1
        key = one.sheet.held.key
        assert key and 0 <= key[0] and 0 <= key[1] and key[2] <= one.sheet.wide and key[3] <= one.sheet.tall, one.turn
        assert met_by(one.sheet.layout, one.box) == [], one.turn
        assert lit(one.svg, one.box) == shows, one.turn
    assert there >= (0.5 if page == ROOM_PAGE else 0.9) * wanted, (there, wanted)


@pytest.mark.parametrize("page", [*PAGES, ROOM_PAGE])
@pytest.mark.parametrize("name", SHOWS)
def test_every_section_has_its_key_at_the_start(name: str, page: tuple[int, int]) -> None:
    found = {one.view: one.box for one in answers(name, page, 1)}
    without = {("options", "gable")} if page == ROOM_PAGE else set()  # its wall fills the picture
    assert [view for view in SHOWS[name] if view in found and not found[view] and (name, view) not in without] == []


@pytest.mark.parametrize("name", MAKE)
def test_it_moves_only_where_something_comes_near(name: str) -> None:
    """While a picture holds its scale, a key stands where it stood, or something is in what it keeps free."""
    before: Shown | None = None
    kept = 0
    for one in answers(name, (1366, 768), cases(30)):
        same = before and before.view == one.view and before.sheet.held.share == one.sheet.held.share
        old = before.sheet.held.key if before and same else None
        if old is not None and old != one.sheet.held.key:
            reach = (KEEP + 2 * CELL) * one.sheet.layout.size
            (x0, y0, x1, y1), (x, y) = old, one.sheet.corner
            assert met_by(one.sheet.layout, (x0 - x - reach, y0 - y - reach, x1 - x + reach, y1 - y + reach)), one.turn
        kept += old is not None and old == one.sheet.held.key
        before = one
    assert kept or name not in SHOWS


@pytest.mark.parametrize("name", SHOWS)
def test_nothing_else_knows_of_it(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """With and without keys the same can be touched, the same lies under a picture, and all stands at one scale."""

    def told(responder: TopicPanel) -> Iterator[tuple[Any, ...]]:
        chance = Random(name)
        raw: dict[str, str] = {"_width": "1366", "_height": "680"}
        for view in SHOWS[name]:
            for turn in range(cases(8)):
                raw |= {"_view": view, "_turn": str(turn)} | moved(chance, responder)
                content = responder.respond(raw)
                ghost = re.findall(r'class="rl-ghost"[^>]*', content["picture"])
                sheet = responder._sheets["picture"]
                numbers = re.findall(r"\d+", re.findall(r"<desc>(.*?)</desc>", content["picture"])[0])
                rest = {one: content[one] for one in ("touch", "steps", "readings", "sentence", "note", "fields")}
                yield ghost, sheet.layout, sheet.held._replace(key=None), numbers, rest, len(content["picture"])

    with_key = list(told(MAKE[name]().responder))
    for kind in (Topic, *(type(MAKE[name]().responder.topic).__mro__)):
        if "key" in vars(kind):
            monkeypatch.setattr(kind, "key", lambda self, view, state: None)
    without = list(told(MAKE[name]().responder))
    assert [one[:-1] for one in with_key] == [one[:-1] for one in without]
    more = [one[-1] - other[-1] for one, other in zip(with_key, without, strict=True)]
    assert max(more) > 0 and max(more) <= 2_000  # bytes of SVG


@pytest.mark.parametrize("name", MAKE)
def test_the_still_picture_has_it_too(name: str) -> None:
    responder = MAKE[name]().responder
    scene, key = responder.picture_now()
    first = next(view for view in responder.views if isinstance(responder.topic.picture(view, responder.state), Scene))
    assert (key is not None) == (first in SHOWS.get(name, {}))
    drawn = len(list(ET.fromstring(responder.still()[1]).iter(f"{SVG}polygon")))
    assert drawn - len(scene.shapes) == (len(key.shapes) if key else 0)


def test_a_reset_and_undoing_bring_it_back() -> None:
    responder = live.one_plane().responder
    first = responder.respond({})["picture"]
    moved = responder.respond({"span": "40'"})["picture"]
    assert moved != first
    undone = responder.respond({"span": "40'", "_undo": "1"})
    assert responder._sheets["picture"].held == live.one_plane().responder._sheets["picture"].held
    assert responder.respond({"_reset": "1"})["picture"] == first and undone["picture"].count("<polygon")
