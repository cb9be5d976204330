"""The hand on a drawing, without a browser: what each number means, drags, ways, undoing, what holds its scale.

Lengths are worked by hand from heel = depth x k - slope x seat with k = sqrt(1 + slope^2); a 2x10 is 9 1/4 in deep
(PS 20).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from html import escape, unescape
from itertools import combinations
from random import Random
from typing import Any

import pytest

from rooflab import InputError, live
from rooflab.base.measure import feet_inches, inches
from rooflab.draw.scene import Scene
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Gable
from rooflab.job.jobfile import Job, example
from rooflab.job.sweep import READABLE
from rooflab.job.values import bays_of, house_of, with_values
from rooflab.job.wishes import MOVES, UNLIKE, moves_of
from rooflab.live.topics.section import section_panel
from rooflab.live.topics.table import FORCES
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.topic_panel import TopicPanel
from rooflab.live.widgets.touch import nearest_number, ways_to
from tests.tools.depth import QUICK, cases
from tests.tools.moves import moved
from tests.tools.returned import bench_panel

DETAIL = "detail"
GABLE = Gable("27'", (8, 6), ("5 1/2", "3 1/2"), (16, 12), (97.125, 99))
UNLIKE_ENDS = Job("Unlike", RafterBay(GABLE, "2x10", (3.5, 3)), ScissorBay(GABLE, (4, 3), (8.8125, 8.5)), follows=False)


def force(name: str) -> Callable[..., Panel]:
    return lambda **given: live.force_panel(name, **given)


def what_fits(**given: Any) -> Panel:
    return live.what_fits(example(), "span", "pitch", "scissor.height", **given)


MAKE: dict[str, Callable[..., Panel]] = {
    "section": live.one_plane, "jog": live.jog, "shape": live.shape_panel, "cut": live.cut_panel,
    "loads": live.load_panel, "warm": live.warm_panel, "options": live.options_panel, "seam on site": live.seam,
    "field sheet": live.field_sheet, "checking": live.checking, "bench": bench_panel, "house": live.house,
    "map": what_fits,
    **{f"forces, {name}": force(name) for name in FORCES},
}  # fmt: skip
EVERY = [*MAKE, "unlike ends"]


def panel(name: str) -> TopicPanel:
    if name == "unlike ends":
        responder: TopicPanel = live.one_plane(job=UNLIKE_ENDS).responder
    else:
        responder = MAKE[name]().responder
    return TopicPanel(responder.topic, [one.name for one in responder.topic.controls], list(responder.topic.views),
                      list(responder.topic.groups), "", responder.topic.own())  # fmt: skip


def grips_of(content: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    return [(slot, one) for slot, sheet in content["touch"].items() for one in sheet["items"] if one["kind"] == "grip"]


# --- what each number means ------------------------------------------------------------------------------------------


def scenes(responder: TopicPanel) -> Iterator[tuple[str, Scene]]:
    for view in responder.topic.views:
        picture = responder.topic.picture(view, responder.state)
        if isinstance(picture, Scene):
            yield view, picture
    detail = responder.topic.detail(responder.state)
    if detail:
        yield DETAIL, detail


@pytest.mark.parametrize("name", EVERY)
def test_every_dimension_edits_offers_ways_or_says_why_not(name: str) -> None:
    responder, chance = panel(name), Random(name)
    names = {one.name for one in responder.topic.controls}
    for turn in range(cases(40)):
        for view, scene in scenes(responder):
            means = {**responder.topic.dims, **responder.topic.dims_in.get(view, {})}
            for one in [*(dim.name for dim in scene.dims), *(slope.name for slope in scene.slopes)]:
                what = means[one]
                assert (what.control in names, what.reading in READABLE, bool(what.why)).count(True) == 1, (view, one)
                assert what.reading not in UNLIKE and (not what.why or what.why.endswith("."))
                if what.reading and not responder._problems:
                    responder.topic.wish_house(responder.topic.boxes(responder._control_texts(responder._now)))
        raw = {**responder._raw, **moved(chance, responder), "_turn": str(turn)}
        responder.respond(raw if not responder._problems else {})


@pytest.mark.parametrize("name", EVERY)
def test_every_placed_text_with_a_meaning_is_a_named_target_of_24_px(name: str) -> None:
    responder = panel(name)
    for view in responder.views:
        for slot, sheet in responder.respond({"_view": view})["touch"].items():
            placed = responder._sheets[slot]
            means = {**responder.topic.dims, **responder.topic.dims_in.get(placed.view, {})}
            found = {one["name"]: one for one in sheet["items"]}
            assert {label.name for label in placed.layout.labels if label.name in means} <= {*found}
            for one in found.values():
                left, top, wide, tall = (float(part.split(":")[1].strip("%")) / 100 for part in one["style"].split(";"))
                assert wide * sheet["wide"] >= 23.9 and tall * sheet["tall"] >= 23.9
                assert -0.02 <= left <= left + wide <= 1.02 and -0.05 <= top <= top + tall <= 1.05
                assert one["label"] and one["side"] in ("left", "right") if one["kind"] != "grip" else one["control"]


def test_a_number_that_is_an_input_takes_what_its_box_takes() -> None:
    """The present text and the control's own step come with it; a heel that follows stops to."""
    shown = section_panel(controls=("seat",), size="small").respond({})["touch"]["picture"]["items"]
    span = next(one for one in shown if one["name"] == "span")
    assert (span["kind"], span["control"], span["text"], span["number"]) == ("edit", "span", "26'-0\"", 312.0)
    heel = next(one for one in shown if one["name"] == "truss heel")
    assert heel["also"] == {"heel_follows": "no"} and "edit" in heel["label"]


# --- grips -----------------------------------------------------------------------------------------------------------


def test_the_ridge_pulled_up_gives_the_pitch_whose_roof_line_is_there() -> None:
    """9 in 12 by hand: k = 5/4, heel 9.25 x 1.25 - 0.75 x 3.5 = 8.9375 in, peak 8.9375 + 0.75 x 156 = 125.9375 in."""
    panel = section_panel()
    panel.respond({})
    shown = panel.respond({"_slot": "picture", "_grip": "ridge", "_at": "151,125.5"})
    assert shown["fields"]["pitch"]["number"] == 9 and shown["steps"]["moved"] == {"pitch": [[None], "9 in 12"]}
    assert "Overall height" in shown["readings"] and escape(feet_inches(125.9375)) in shown["readings"]


def test_the_wall_pulled_out_gives_the_span_in_the_sliders_steps() -> None:
    """Out to out: the right face stands at the span; 27'-4" is nearest to 27'-6", in steps of 6 in."""
    panel = section_panel()
    panel.respond({})
    shown = panel.respond({"_slot": "picture", "_grip": "right wall", "_at": "328,-15"})
    assert shown["fields"]["span"]["text"] == "27'-6\""


def test_the_seat_is_pulled_in_sixteenths_and_the_bearing_in_plates() -> None:
    """A 2x8 is 7 1/4 in wide (PS 20)."""
    panel = section_panel()
    panel.respond({})
    seat = panel.respond({"_slot": "detail", "_grip": "inside end of the seat", "_at": "2.83,0"})
    assert seat["fields"]["seat"]["text"] == '2 13/16"'
    wide = panel.respond({"_slot": "picture", "_grip": "inside face of the wall", "_at": "6.9,-20"})
    assert wide["fields"]["bearing"]["text"] == '7 1/4"'


@pytest.mark.parametrize("name", EVERY)
def test_each_grip_lands_on_the_value_under_the_finger(name: str) -> None:
    """Where a grip stands for a value of its control, pulled there it gives that value, wherever it started."""
    responder, chance = panel(name), Random(name)
    for view in responder.views:
        for slot, item in grips_of(responder.respond({"_view": view})):
            drawn = responder._sheets[slot].view
            grip = next(one for one in responder.topic.grips(drawn) if one.name == item["grip"])
            control = next(one for one in responder.topic.controls if one.name == grip.control)
            grid = grip.grid(control, responder._highest().get(control.name, control.high))
            boxes = responder.topic.boxes(responder._control_texts({}))
            for number in chance.sample(list(grid), min(cases(8), len(grid))):
                try:
                    at = grip.at(responder.topic.hangs({**boxes, control.name: number}))
                except InputError:
                    continue
                if at is None:
                    continue
                raw = {"_view": view, "_slot": slot, "_grip": grip.name, "_at": f"{at[0]:.3f},{at[1]:.3f}"}
                shown = responder.respond(raw)
                texts = responder._now[control.name]
                assert texts == control.show(number), (view, grip.name, number, texts)
                responder.respond({"_view": view, "_reset": str(chance.random())})
                assert shown["sentence"]


def test_a_drag_is_one_step_and_the_last_place_counts() -> None:
    panel = section_panel()
    first = panel.respond({})
    for y in (110, 112, 118, 121, 126):
        shown = panel.respond({"_slot": "picture", "_grip": "ridge", "_at": f"156,{y}", "_run": "1"})
    up = {"_slot": "picture", "_grip": "ridge", "_at": "156,126", "_up": "yes", "_run": "1"}
    assert panel.respond(up)["fields"]["pitch"]["number"] == shown["fields"]["pitch"]["number"] == 9
    back = panel.respond({**up, "_undo": "1"})
    assert same(back) == same(first) and back["steps"]["redo"] and not back["steps"]["undo"]


def test_a_picture_stands_still_while_a_grip_is_pulled_and_fits_again_when_it_is_let_go() -> None:
    panel = section_panel()
    scale = panel.respond({})["touch"]["picture"]["map"]
    pulled = {"_slot": "picture", "_grip": "right wall", "_at": "560,-15"}
    assert panel.respond(pulled)["touch"]["picture"]["map"] == scale
    let_go = panel.respond({**pulled, "_up": "yes"})
    assert let_go["touch"]["picture"]["map"][0] < scale[0]
    assert let_go["steps"]["from"]["picture"].startswith("translate")


def test_a_grip_that_is_pulled_over_another_stays() -> None:
    """The ridge pulled down to the ceiling's apex: one of both gives way, and not the one in the hand."""
    panel = section_panel()
    panel.respond({})
    pulled = {"_slot": "picture", "_grip": "ceiling at its apex", "_at": "156,105"}
    names = [one["grip"] for slot, one in grips_of(panel.respond(pulled)) if slot == "picture"]
    assert "ceiling at its apex" in names


def test_a_grip_that_is_not_there_or_a_place_that_is_none_changes_nothing() -> None:
    panel = section_panel()
    first = panel.respond({})
    for grip, at, slot in (("ridge", "up", "picture"), ("chimney", "1,2", "picture"), ("ridge", "1,2", "cellar")):
        assert same(panel.respond({"_grip": grip, "_at": at, "_slot": slot, "_up": "yes"})) == same(first)


@pytest.mark.parametrize("rising", (1, -1))
def test_what_is_carried_is_the_nearest_of_all(rising: int) -> None:
    """Against every number of the grid, for bent lines with gaps where nothing can be drawn."""
    chance = Random(rising)
    for _ in range(cases(400)):
        grid = [i / 2 for i in range(chance.randrange(2, 60))]
        gap, bend, to = chance.randrange(len(grid) + 8), chance.random() / 20, chance.uniform(-10, 70)

        def off(x: float, gap: int = gap, bend: float = bend, to: float = to) -> float | None:
            return None if x > gap else rising * (x + bend * x * x - to)

        now = chance.choice([x for x in grid if x <= gap])
        best = min((x for x in grid if x <= gap), key=lambda x: abs(x + bend * x * x - to))
        found = nearest_number(grid, now, off)
        assert abs(abs(off(found) or 0.0) - abs(off(best) or 0.0)) < 1e-9


# --- ways ------------------------------------------------------------------------------------------------------------

KEYS = ("rafter.heel", "scissor.height", "scissor.ceiling_rise", "rafter.peak_height", "room.window_head",
        "scissor.depth_at_peak", "rafter.tail_underside")  # fmt: skip


def nearest(house: dict[str, Any], key: str, text: str, moving: list[str]) -> tuple[int, float] | None:
    """The least number of changes and steps that brings a reading to this text, every house of one or two changes
    being built one by one; None where none does.  The readings come from bays, not from a sweep."""
    moves = moves_of(house, moving)
    kind, _, name = key.partition(".")

    def says(values: dict[str, Any]) -> bool:
        try:
            rafters, truss = bays_of(with_values(house, values))
        except InputError:
            return False
        bay = {"rafter": rafters, "scissor": truss}[kind]
        return all(feet_inches(bay.reading(name, end).value) == text for end in ("left", "right"))

    for number in (1, 2):
        found: list[float] = []
        for chosen in combinations(moves, number):
            for places in _cells([len(one.values) for one in chosen]):
                steps = sum(one.steps[i] for one, i in zip(chosen, places, strict=True))
                if found and steps >= min(found):
                    continue
                if says({one.name: one.values[i] for one, i in zip(chosen, places, strict=True)}):
                    found.append(steps)
        if found:
            return number, min(found)
    return None


def _cells(sizes: list[int]) -> Iterator[tuple[int, ...]]:
    if not sizes:
        yield ()
        return
    for i in range(sizes[0]):
        for rest in _cells(sizes[1:]):
            yield (i, *rest)


def test_ways_are_those_of_brute_force() -> None:
    """The nearest way to 200 random numbers is as near as the nearest house found by building every one."""
    chance, base = Random(15), house_of(example())
    for _ in range(cases(200)):
        start = with_values(base, {"pitch": chance.choice((6.0, 8.0, 9.5)), "seat": chance.choice((2.5, 3.5, 3.0))})
        key = chance.choice([one for one in KEYS if not one.startswith("room")])
        rafters, truss = bays_of(start)
        now = {"rafter": rafters, "scissor": truss}[key.partition(".")[0]].reading(key.partition(".")[2]).value
        text = feet_inches(now + chance.choice((-24, -6, -3, -1, 1, 2, 5, 9, 17)) / 16)
        moving = ["lumber", "seat"] if QUICK else ["lumber", "seat", chance.choice(("overhang", "ceiling_pitch"))]
        panel = section_panel()
        controls = {one.name: one for one in panel.topic.controls if one.name in moving}
        sentence, ways = ways_to(start, key, text, controls)
        best = nearest(start, key, text, moving)
        if best is None:
            assert not ways and "cannot be met" in sentence
            continue
        moves = {one.name: one for one in moves_of(start, moving)}
        read = {name: value for name, value in ways[0].texts.items()}
        steps = sum(moves[name].steps[moves[name].values.index(_value(name, text))] for name, text in read.items())
        assert (len(read), pytest.approx(steps)) == best, (key, text, ways[0])


def _value(name: str, text: str) -> Any:
    if name == "lumber":
        return text
    return float(text.split()[0]) if name == "ceiling_pitch" and "/" not in text else inches(text)


def test_a_wished_number_is_there_when_a_way_is_taken() -> None:
    """2x10 at 8 in 12: a seat of 2 13/16 reads 9 1/4 (9.25 x 1.20185 - 2/3 x 2.8125 = 9.2421)."""
    panel = section_panel()
    panel.respond({})
    asked = {"_slot": "picture", "_wish": "rafter heel", "_want": "9 1/4", "_asked": "1"}
    ways = panel.respond(asked)["steps"]["ways"]
    assert 1 <= len(ways["ways"]) <= 4 and not ways["bad"]
    seat = next(one for one in ways["ways"] if one["set"] == {"seat": '2 13/16"'})
    assert "Seat 2 13/16" in seat["words"] and seat["ghost"].startswith("<svg") and "rl-way-ghost" in seat["ghost"]
    for way in ways["ways"]:
        panel = section_panel()
        panel.respond(asked)
        taken = panel.respond({**asked, **way["set"]})
        heel = next(one for one in taken["touch"]["picture"]["items"] if one["name"] == "rafter heel")
        assert heel["text"] == '9 1/4"' and not taken["steps"]["ways"]


def test_a_wish_that_is_no_number_is_one_sentence_and_nothing_is_lost() -> None:
    panel = section_panel()
    first = panel.respond({})
    asked = {"_slot": "picture", "_wish": "overall height", "_want": "high", "_asked": "1"}
    shown = panel.respond(asked)
    assert shown["steps"]["ways"]["bad"] and "verall height" in shown["steps"]["ways"]["sentence"]
    assert same(shown) == same(first)
    assert not panel.respond({**asked, "_wish": "span", "_asked": "2"})["steps"]["ways"]


def test_ways_move_only_what_there_are_boxes_for() -> None:
    shape = panel("shape")
    shape.respond({})
    asked = {"_slot": "picture", "_wish": "ceiling rise", "_want": "5'-2 11/16", "_asked": "1"}
    ways = shape.respond(asked)["steps"]["ways"]["ways"]
    names = {one.name for one in shape.topic.controls} & set(MOVES)
    assert ways and all(set(way["set"]) <= names for way in ways)


# --- lists -----------------------------------------------------------------------------------------------------------


def tries(html: str) -> list[dict[str, str]]:
    sets = re.findall(r'data-set="([^"]*)"', html)
    return [dict(pair.split("=") for pair in unescape(one).split("|")) for one in sets]


def test_each_remedy_that_a_box_can_do_is_tried_by_its_button() -> None:
    """A typed heel of 9 3/16, 3/8 too high: that heel 3/8 lower brings the planes together, or a seat of 2 7/8:
    9.25 x 1.20185 - 9.1875 = 1.9296 in at the face, x 3/2 = 2.894 in."""
    panel = section_panel()
    panel.respond({})
    off = {"_view": "limits", "heel": "9 3/16", "heel_follows": "no"}
    found = tries(panel.respond(off)["picture"])
    assert [set(one) for one in found] == [{"seat"}, {"heel", "heel_follows"}]
    assert (inches(found[0]["seat"]), inches(found[1]["heel"])) == (2.875, 8.8125)
    for texts in found:
        assert "planes run through" in panel.respond({**off, **texts})["sentence"]


def test_each_cell_of_the_grid_is_taken_by_its_button() -> None:
    options = panel("options")
    options.respond({})
    found = tries(options.respond({"_view": "grid"})["picture"])
    assert len(found) > 10
    for texts in found:
        fields = options.respond({"_view": "grid", **texts})["fields"]
        assert {name: fields[name]["text"] for name in texts} == texts


# --- undoing ---------------------------------------------------------------------------------------------------------


def same(content: dict[str, Any]) -> dict[str, Any]:
    """What a page shows, without what belongs to one answer."""
    return {name: value for name, value in content.items() if name not in ("serial", "turn", "steps")}


class Page:
    """What a page keeps: its message, and texts that it takes over from answers, some of them late."""

    def __init__(self, responder: TopicPanel, chance: Random) -> None:
        self.responder, self.chance, self.raw = responder, chance, {}  # type: ignore[var-annotated]
        self.shown = responder.respond({})
        self.late: list[dict[str, Any]] = []

    def send(self, **more: str | None) -> dict[str, Any]:
        raw = {**self.raw, **more, "_seen": str(self.shown["serial"])}
        self.raw = {name: text for name, text in raw.items() if text is not None}
        self.late.append(self.responder.respond(self.raw))
        return self.late[-1]

    def hear(self, many: int = 99) -> None:
        """Take the answers that have come, or the first of them."""
        for answer in self.late[:many]:
            self.shown = answer
            for name, (sent, text) in answer["steps"]["moved"].items():
                if self.raw.get(name) in sent:
                    self.raw = {key: one for key, one in self.raw.items() if key != name}
                    self.raw |= {} if text is None else {name: text}
        self.late = self.late[many:]

    def next(self, name: str) -> str:
        return str(int(self.raw.get(name, "0")) + 1)

    def act(self) -> None:
        """One random touch, drag, change, undo or reset; answers may come late."""
        chance, kind = self.chance, self.chance.random()
        items = [(slot, one) for slot, sheet in self.shown["touch"].items() for one in sheet["items"]]
        slot, item = chance.choice(items) if items else ("", dict[str, Any](kind=""))
        if kind < 0.25 and item["kind"] == "grip":
            run = self.next("_run")
            for _ in range(chance.randrange(1, 5)):
                at = f"{chance.uniform(-50, 500):.3f},{chance.uniform(-60, 300):.3f}"
                landed = self.send(_slot=slot, _grip=item["grip"], _at=at, _up=None, _run=run)
                self.hear(chance.randrange(3))
            assert self.send(_up="yes")["fields"][item["control"]] == landed["fields"][item["control"]]
        elif kind < 0.4 and item["kind"] == "edit":
            text = chance.choice((item["text"], "3 1/2", "26'", "x", "", "9", f"{item['low']:g}", f"{item['high']:g}"))
            sent: dict[str, str] = {item["control"]: text, "_run": self.next("_run")}
            self.send(**sent, **dict(item.get("also", {})))
        elif kind < 0.45 and item["kind"] == "ask":
            want = chance.choice((item["text"], "9 1/4", "tall"))
            self.send(_slot=slot, _wish=item["name"], _want=want, _asked=self.next("_asked"))
        elif kind < 0.5 and any(sheet.get("field") for sheet in self.shown["touch"].values()):
            at = f"{chance.uniform(-20, 800):.3f},{chance.uniform(-20, 500):.3f}"
            self.send(_slot="picture", _take=self.next("_take"), _at=at, _run=self.next("_run"))
        elif kind < 0.55:
            self.send(_undo=self.next("_undo"))
        elif kind < 0.6:
            self.send(_redo=self.next("_redo"))
        elif kind < 0.64:
            self.send(_keep=self.next("_keep"))
        elif kind < 0.66:
            reset = self.next("_reset")
            self.raw = {name: one for name, one in self.raw.items() if name == "_view"}
            self.send(_reset=reset)
        elif kind < 0.72:
            self.send(_view=chance.choice(self.responder.views))
        else:
            self.send(**moved(chance, self.responder))
        if chance.random() < 0.7:
            self.hear()


@pytest.mark.parametrize("name", EVERY)
def test_random_touches_raise_nothing_and_undoing_all_of_them_leads_back(name: str) -> None:
    """A thousand over all panels; a fault of the program is logged, and a logged fault fails the test."""
    chance = Random(f"touch {name}")
    for _ in range(3):
        responder, fresh = panel(name), panel(name)
        page = Page(responder, chance)
        for _ in range(30):
            page.act()
        page.hear()
        undo = int(page.raw.get("_undo", "0"))
        while page.shown["steps"]["undo"]:
            undo += 1
            page.send(_undo=str(undo))
            page.hear()
        page.send(_view=responder.views[0])
        page.hear()
        fresh.respond({})
        fresh._lines = responder._lines  # the bar keeps the room of its longest sentence
        assert same(page.shown) == same(fresh.respond({"_view": responder.views[0]})), name
        assert not {one for one in page.raw if one in responder.start}  # the page stands as it opened


def test_what_is_done_again_is_what_was_undone() -> None:
    panel = section_panel()
    panel.respond({})
    done = panel.respond({"pitch": "9"})
    undone = panel.respond({"pitch": "9", "_undo": "1"})
    assert undone["fields"]["pitch"]["number"] == 8 and undone["steps"]["moved"] == {"pitch": [["9"], None]}
    again = panel.respond({"_seen": str(undone["serial"]), "_undo": "1", "_redo": "1"})
    assert same(again) == same(done) and again["steps"]["moved"] == {"pitch": [[None], "9"]}


def test_a_reset_can_be_undone() -> None:
    panel = section_panel()
    panel.respond({})
    done = panel.respond({"pitch": "9", "seat": "3"})
    panel.respond({"_reset": "1"})
    assert same(panel.respond({"_reset": "1", "_undo": "1"})) == same(done)


def test_moves_of_one_control_are_one_step_and_runs_are_steps_of_their_own() -> None:
    panel = section_panel()
    panel.respond({})
    for text, run in (("8.5", "1"), ("9", "1"), ("9.5", "1"), ("10", "2")):
        shown = panel.respond({"pitch": text, "_run": run})
    for undo, number in (("1", 9.5), ("2", 8)):
        shown = panel.respond({"pitch": "10", "_run": "2", "_undo": undo})
        assert shown["fields"]["pitch"]["number"] == number
    assert not shown["steps"]["undo"]


def test_a_text_that_was_sent_before_an_answer_came_does_not_undo_the_undoing() -> None:
    """The page has not heard of the undoing and moves something else: the old pitch in its message is stale."""
    panel = section_panel()
    seen = str(panel.respond({"pitch": "9"})["serial"])
    panel.respond({"pitch": "9", "_undo": "1", "_seen": seen})
    shown = panel.respond({"pitch": "9", "_undo": "1", "_seen": seen, "seat": "3"})
    assert (shown["fields"]["pitch"]["number"], shown["fields"]["seat"]["number"]) == (8, 3)
    heard = {"_undo": "1", "_seen": str(shown["serial"]), "seat": "3"}
    assert panel.respond({**heard, "pitch": "9"})["fields"]["pitch"]["number"] == 9  # and now it is meant


# --- before and now --------------------------------------------------------------------------------------------------


def test_the_last_state_lies_under_the_picture_and_what_changed_is_marked() -> None:
    """Pitch 9 and not 8 changes the marks, heels and heights; the span's text stays."""
    panel = section_panel()
    assert "rl-ghost" not in panel.respond({})["picture"]
    shown = panel.respond({"pitch": "9"})["picture"]
    assert shown.count('class="rl-ghost"') == 1
    marked = {part.split('"')[1] for part in shown.split("<text ")[1:] for part in [part[part.index("data-name=") :]]
              if "rl-changed" in part.split(">")[0]}  # fmt: skip
    assert {"roof pitch", "truss roof pitch", "overall height", "rafter height"} <= marked and "span" not in marked


def test_what_was_kept_lies_under_later_pictures() -> None:
    """The outline of the start (peak 112.8125 in over a run of 156) lies there after two changes."""
    panel = section_panel()
    panel.respond({"_keep": "1"})
    panel.respond({"_keep": "1", "pitch": "9"})
    shown = panel.respond({"_keep": "1", "pitch": "9", "seat": "3"})
    scale, x0, y0 = shown["touch"]["picture"]["map"]
    ghost = shown["picture"].split('class="rl-ghost"')[1].split("/>")[0]
    assert f"{x0 + 156 * scale:.1f},{y0 - 112.8125 * scale:.1f}" in ghost


def test_a_picture_without_a_kernel_has_no_ghost_and_no_marks() -> None:
    panel = section_panel()
    panel.respond({"pitch": "9"})
    assert "rl-" not in panel.still()[1]


# --- the scale -------------------------------------------------------------------------------------------------------


def test_scale_and_place_hold_while_the_picture_fits() -> None:
    panel = section_panel()
    scale = panel.respond({})["touch"]["picture"]["map"]
    for pitch in ("7.5", "7", "6", "5", "4.5"):
        assert panel.respond({"pitch": pitch})["touch"]["picture"]["map"] == scale


@pytest.mark.parametrize("name", EVERY)
def test_no_picture_is_cut_whatever_is_held(name: str) -> None:
    responder, chance = panel(name), Random(name)
    for turn in range(cases(60)):
        responder.respond({**moved(chance, responder), "_view": chance.choice(responder.views), "_turn": str(turn)})
        for sheet in responder._sheets.values():
            (x, y), layout = sheet.corner, sheet.layout
            if layout.width <= sheet.wide and layout.height <= sheet.tall:
                assert -1e-6 <= x <= sheet.wide - layout.width + 1e-6
                assert -1e-6 <= y <= sheet.tall - layout.height + 1e-6
