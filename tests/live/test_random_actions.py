"""Random actions on every panel, the table, the room and all forms: nothing raises, nothing typed becomes markup.

Messages are sent as a browser sends them, also such as no page of ours sends: other kinds of value, wrong pages, late
and doubled acts.  Texts carry tags, attributes, turned writing, half emojis and ten thousand characters; what is shown
is parsed, and an element or attribute that only a typed text can have brought is a fault.  A hundred thousand of them,
or as many as ROOFLAB_ACTIONS says.
"""

from __future__ import annotations

import gc
import os
import re
import tracemalloc
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from random import Random
from typing import Any

import pytest

from rooflab import live
from rooflab.draw.paper import one_page
from rooflab.draw.sheets.agreement import agreement_page
from rooflab.draw.sheets.returns import SetReply, letter_csv, set_pages
from rooflab.job.jobfile import Job, example
from rooflab.job.table import table_of
from rooflab.live.meeting.share import FILES as WAYS
from rooflab.live.topics.returns import BenchPaste
from rooflab.live.topics.section import section_panel
from rooflab.live.topics.table import FORCES
from rooflab.live.widgets.base import Widget
from rooflab.live.widgets.panel import SLOTS, Panel
from rooflab.shop.returns import Record
from tests.tools.depth import QUICK
from tests.tools.returned import FIVE_JOB, FIVE_RETURNED, bench_panel

OWN = "rl-typed"  # an element and an attribute that no page of ours has
TEXTS = (
    f"<{OWN}>", f"\" {OWN}=1 '", f"' {OWN}='1", f"</text><{OWN}/>", f"<svg><{OWN}></svg>", f"&lt;{OWN}&gt;",
    f"<!-- <{OWN}>", f"]]><{OWN}>", "<script>alert(1)</script>", "\u202e6'8", "\u2066x\u2069", "\ufeff8", "\u20288",
    "\U0001f600", "\ud83d", "\0", "8\0", "x" * 10_000, "9" * 10_000, f"<{OWN}>" * 2_000, "", "   ", "\t\n", "NaN",
    "inf", "-inf", "1e999", "-0", "1/0", "8 in 12 and 6 in 12", "and", "8;9;10", "as rafters", "none", "=1+1", "\r=1",
    "None", "true", "[]", "{}", "%s", "{0}", "\\", "٣", "２６", "½", "8 ⅝", "√2", "26'", "26 feet",
)  # fmt: skip
NUMBERS = ("0", "1/16", "1/3", "3 1/2", "5 1/2", "8 1/8", "12", "24", "-24", "96", "28'-7 5/16\"", "480", "1200")
LISTS = ("8 13/16, 8 3/4, -, 8 7/8", "8\n\n9 1/16\n", "2': 8 3/4; 6': -; 9", "8 1/2\t8 3/8", ", ".join(["8 3/4"] * 24))
STRANGE: tuple[Any, ...] = (None, True, False, 0, -1, 7, 10**30, 1.5, float("nan"), [], ["x"], {}, {"x": [1]})

ALL = int(os.environ.get("ROOFLAB_ACTIONS") or 100_000)  # actions; a quick run does a thousand
SHARES = {"panels": 70, "table": 8, "room": 6, "forms": 16}  # percent


def count(share: str, parts: int) -> int:
    """The number of actions of one of so many equal parts of a share."""
    return ALL * SHARES[share] // 100 // parts // (max(ALL // 1000, 1) if QUICK else 1)


class Parsed(HTMLParser):
    """The faults of a text as HTML: elements and attributes that only what was typed can have brought."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.faults: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        if tag in (OWN, "script") or OWN in names or any(name.startswith("on") for name in names):
            self.faults.append(self.get_starttag_text() or tag)


def check(*values: object) -> None:
    """Each text as HTML, if it is one."""
    for html in values:
        assert isinstance(html, str)
        assert "<" not in html or not (found := Parsed(html).faults), found


def text(chance: Random) -> Any:
    kind = chance.random()
    return chance.choice(NUMBERS if kind < 0.5 else TEXTS if kind < 0.9 else STRANGE)


def flat(act: Callable[[], object], times: int) -> None:
    """Do it so many times; over the last hundred memory grows by less than 3 MB, what is kept on purpose being full."""
    traced = 0 if QUICK else min(times // 2, 100)
    for _ in range(times - traced):
        act()
    if not traced:
        return
    gc.collect()
    tracemalloc.start()
    try:
        for _ in range(traced):
            act()
        gc.collect()
        grown, _ = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert grown < 3_000_000, grown


# --- panels ----------------------------------------------------------------------------------------------------------

MAKE: dict[str, Callable[..., Any]] = {
    "section": live.one_plane, "jog": live.jog, "shape": live.shape_panel, "cut": live.cut_panel,
    "loads": live.load_panel, "warm": live.warm_panel, "options": live.options_panel, "seam on site": live.seam,
    "field sheet": live.field_sheet, "checking": live.checking, "house": live.house, "bench": bench_panel,
    "map": lambda **given: live.what_fits(example(), "seat", "pitch", "", **given),
}  # fmt: skip


def force(name: str) -> Callable[..., Any]:
    return lambda **given: live.force_panel(name, **given)


MAKE |= {f"forces, {name}": force(name) for name in FORCES}
SIZES = ("", "small", "room")
PANELS = [(name, size) for i, name in enumerate(MAKE) for size in (SIZES[i % 3 :][:1] if QUICK else SIZES)]


def panel_of(name: str, size: str) -> Panel:
    if name == "section":
        return Panel(section_panel(size=size, job=example()))
    return MAKE[name](size=size)


def raw_after(panel: Panel, chance: Random, turn: int) -> Any:
    """The next message of a page of a panel: what stands there, with some of it moved or typed; or no message."""
    responder, raw, kind = panel.responder, dict(panel.raw), chance.random()
    if kind < 0.04:
        return chance.choice(STRANGE)
    raw["_turn"] = str(turn)
    if kind < 0.12:
        return {"_reset": str(turn), **{name: raw[name] for name in ("_view", "_why", "_turn") if name in raw}}
    if kind < 0.2:
        raw["_view"] = chance.choice((*responder.views, text(chance)))
    elif kind < 0.3:
        raw["_why"] = chance.choice((*(row.key for _, rows in responder.rows() for row in rows), text(chance)))
    elif kind < 0.32:
        at = chance.choice(("300,200", "1,1", "-5,9999", text(chance)))
        raw |= {"_slot": "picture", "_take": str(turn), "_at": at}
    elif kind < 0.34:
        raw["_keep"] = str(turn)
    elif kind < 0.38:
        raw[chance.choice(TEXTS)] = text(chance)
    else:
        if chance.random() < 0.5:  # mostly from what can be drawn
            raw = {name: one for name, one in raw.items() if name.startswith("_")}
        for control in chance.sample(responder.controls, min(chance.choice((1, 1, 2, 3)), len(responder.controls))):
            number = f"{control.low + chance.random() * (control.high - control.low):g}"
            usual = control.choices or (LISTS if control.rows else [number])
            raw[control.name] = chance.choice(usual) if chance.random() < 0.6 else text(chance)
            if control.follow:
                raw[f"{control.name}_follows"] = chance.choice(("yes", "no", *TEXTS[:2]))
    return raw


def same(content: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in content.items() if name not in ("serial", "turn", "steps")}


def is_texts(raw: Any) -> bool:
    return isinstance(raw, dict) and all(isinstance(one, str) for one in raw.values())


@pytest.mark.parametrize(("name", "size"), PANELS)
def test_a_panel_answers_whatever_comes_and_reset_makes_it_new(name: str, size: str) -> None:
    chance, panel, turn = Random(f"{name} {size}"), panel_of(name, size), 0

    def act() -> None:
        nonlocal turn
        turn += 1
        raw = raw_after(panel, chance, turn)
        beforehand = panel.ahead(raw) if turn % 8 == 0 and is_texts(raw) else None
        if turn % 8 == 4:  # of what does not come
            panel.ahead({**panel.raw, "_reset": str(turn)})
        panel.set_state({"raw": raw})
        check(*(panel.content[slot] for slot in SLOTS))
        if beforehand and panel.content["turn"] == str(turn):  # else what was there already was sent again
            assert beforehand == panel.parts(panel.content)

    flat(act, count("panels", len(PANELS)))
    fresh = panel_of(name, size)
    panel.set_state({"raw": {"_reset": "last"}})
    assert same(panel.content) == same(fresh.content)
    control = panel.responder.controls[0]
    for raw in ({control.name: control.choices[-1] if control.choices else f"{control.low:g}"}, {"_keep": "1"}, {}):
        panel.set_state({"raw": {"_reset": "last", **raw}})
        fresh.set_state({"raw": raw})
        assert same(panel.content) == same(fresh.content)


# --- the table -------------------------------------------------------------------------------------------------------


def table_act(page: dict[str, Any], chance: Random, n: int) -> Any:
    """An act at the table as the page sends it, or bent."""
    if chance.random() < 0.03:
        return chance.choice(STRANGE)
    names = [one["name"] for one in page["controls"]] or [""]
    spec = chance.choice(page["controls"] or [{}])
    what, name, value = "set", spec.get("name", ""), text(chance)
    kind = chance.random()
    if spec.get("choices") and kind < 0.7:
        value = chance.choice(spec["choices"])
    if spec.get("kind") == "button" or kind > 0.9:
        name = chance.choice((name, "keep", "away", "see", "cell", "point", "write" if kind > 0.99 else "keep"))
        what, value = "press", chance.choice(("0", "1", "9", "seat=3|lumber=2x12", "300.5,200", text(chance)))
    elif kind > 0.85:
        what, name = "touch", chance.choice((*(one["name"] for one in page["touch"]), text(chance)))
    elif kind > 0.84:
        what, name, value = "share", "", chance.choice((*WAYS, text(chance)))
    elif kind < 0.25:
        what, name, value = "go", "", chance.choice(("next", "next", "back", *"012345", text(chance)))
    elif kind < 0.32:
        what, name, value = "undo", "", ""
    elif kind < 0.36:
        what, name = text(chance), chance.choice((*names, text(chance)))
    act = {"n": n, "what": what, "name": name, "value": value, "page": page["look"], "serial": page["serial"]}
    act["of"] = spec.get("of", "")
    if chance.random() < 0.1:
        act[chance.choice([*act])] = text(chance)
    return act


def test_the_table_answers_whatever_comes_and_undoes_it(tmp_path: Path) -> None:
    chance, table = Random(7), live.together(example(), tmp_path / "house.json")
    first: Any = table.sitting.options[:], table.sitting.now, {}
    pages = [dict(table.page)]

    def act() -> None:
        n = table.sitting.last_act
        page = chance.choice(pages[-3:]) if chance.random() < 0.2 else dict(table.page)  # sometimes a late one
        acts = [table_act(page, chance, n + 1 + i) for i in range(chance.choice((1, 1, 1, 2)))]
        table.set_state({"acts": acts + acts[:1] if chance.random() < 0.1 else acts})
        pages[:] = [*pages[-3:], dict(table.page)]
        check(table.beside, table.picture)
        assert table.page["done"] < 10**6
        assert table.sitting.last_act == table.page["done"]

    flat(act, count("table", 1))
    for _ in range(60):
        table.do("undo")
    assert table.page["undo"] == "" and table.page["sentence"] == "There is nothing to undo."
    if QUICK:  # fewer changes than can be undone
        written = {name: value for name, value in table.sitting.memory.items() if name != "written"}
        assert (table.sitting.options, table.sitting.now, written) == first


def test_a_walk_at_the_table_ends_in_a_state_that_saves_reloads_and_prints_the_same(tmp_path: Path) -> None:
    """Five hundred acts of a page, undoing among them; then written down, and read back as on another day."""
    path = tmp_path / "house.json"
    chance, table = Random(17), live.together(example(), path)
    for _ in range(50 if QUICK else 500):
        page = dict(table.page)
        act = table_act(page, chance, table.sitting.last_act + 1)
        if isinstance(act, dict) and act.get("what") != "share" and act.get("name") != "write":
            table.set_state({"acts": [act]})
    table.do("go", "", "5")
    words = {"date": "1 May 2026", "title": "A walk", "open": "Beam: engineer", "reasons": "because", "votes": "+ wide"}
    for name, said in words.items():
        table.do("set", name, said)
    assert table.do("press", "write").startswith("Written: a-walk-agreed.pdf"), table.page["sentence"]
    house = Job.load(path)
    assert house == table.sitting.house
    again = live.together(house, path).sitting
    assert {*again.options} == {*table.sitting.options}
    both = [table_of(one.results_of(sorted(one.options, key=lambda o: o.name))) for one in (again, table.sitting)]
    assert both[0] == both[1]
    printed = agreement_page(house)
    assert printed == agreement_page(table.sitting.house)
    assert one_page(printed, ".pdf") == (tmp_path / "a-walk-agreed.pdf").read_bytes()


# --- the room --------------------------------------------------------------------------------------------------------


def test_the_room_answers_whatever_comes(tmp_path: Path) -> None:
    example().save(tmp_path / "house.json")
    chance, shown_room, n = Random(3), live.room("04", tmp_path), 0
    acts: list[Any] = []

    def act() -> None:
        nonlocal n, acts
        n += 1
        what = chance.choice(("go", "choose", "choose", "count", "show", "again", "house", text(chance)))
        number = chance.randrange(9)
        values = {"go": str(number), "choose": str(number // 2), "count": f"{number}:7"}
        value = values.get(str(what), chance.choice(("", "yes", "no")))
        at = shown_room.slide["at"] if chance.random() < 0.8 else chance.randrange(9)
        one: Any = [n, what, value if chance.random() < 0.8 else text(chance), at]
        if chance.random() < 0.04:
            one[chance.randrange(1, 4)] = chance.choice(STRANGE)
        acts = [*acts, one][-12:]
        bent: Any = chance.choice(({"acts": chance.choice(STRANGE)}, *STRANGE))
        message = {"acts": acts} if chance.random() < 0.97 else bent
        shown_room.set_state({"message": message})
        check(*(shown_room.slide.get(part, "") for part in ("body", "outcome", "hint")))
        if shown_room.panel is not None and chance.random() < 0.3:
            shown_room.panel.set_state({"raw": raw_after(shown_room.panel, chance, n)})
            check(*(shown_room.panel.content[slot] for slot in SLOTS))

    flat(act, count("room", 1))
    shown_room.press("go", "1")
    assert shown_room.slide["at"] == 1


# --- forms and questions ---------------------------------------------------------------------------------------------


def forms(folder: Path) -> dict[str, Widget]:
    """Every form and question of a page, and what it shows."""
    job = example()
    panel, drawing = live.one_plane(job=job), live.checking()
    return {
        "read back": live.read_back(), "save": live.save(panel, folder / "a.json"),
        "words": live.words(job, folder / "b.json"), "paste": live.paste(drawing),
        "reply": live.reply(drawing, folder), "practice": live.practice(), "half": live.practice("jog", rung="half"),
        "sense": live.practice("sense"), "drill": live.drill("Heel?", "rafter", "heel"),
        "cut": live.cut_drill("Where?", "building_line"), "choose": live.choose("Which?", {"a": "A", "b": "B"}, "a"),
        "bench": live.paste(bench := live.bench(FIVE_JOB, folder / "c.json")), "set reply": live.reply(bench, folder),
        "predict": live.predict("Which?", ("up", "down"), 1, "so", live.shape_panel()), "words of": live.glossary(),
    }  # fmt: skip


FORMS = ("read back", "save", "words", "paste", "reply", "bench", "set reply", "practice", "half", "sense", "drill",
         "cut", "choose", "predict", "words of")  # fmt: skip
WHAT = ("check", "show", "next", "hint", "kind", "rung", "seed", "review", "folder", "sample", "honest", "one mistake",
        "read", "take", "save", "word", "group", "search", "width")  # fmt: skip


def message_to(form: Any, chance: Random, turn: int) -> Any:
    """A message as the page of a form or question sends it, or bent."""
    setup = form.setup
    buttons = [name for name, _ in setup.get("buttons", ())] or WHAT
    do = chance.choice(buttons) if chance.random() < 0.9 else text(chance)
    if do in ("pdf", "csv") and chance.random() < 0.97:  # files: a few
        do = "check"
    names = [one["name"] for one in setup.get("fields", ()) if one["name"]]
    values: Any = {name: text(chance) for name in chance.sample(names, min(len(names), 3))}
    value = chance.choice((*setup.get("choices", ()), *setup.get("rungs", ((text(chance), ""),))[0][:1], text(chance)))
    message = {"do": do, "value": value, "values": values, "text": f"item,value\nheel,{text(chance)}\nspan,26'",
               "at": chance.choice((0, 0, 1, 2, *STRANGE)), "type": text(chance), "turn": turn}  # fmt: skip
    if chance.random() < 0.1:
        message[chance.choice([*message])] = chance.choice((*STRANGE, *TEXTS))
    return message if chance.random() < 0.97 else chance.choice(STRANGE)


@pytest.mark.parametrize("name", FORMS)
def test_a_form_answers_whatever_comes(name: str, tmp_path: Path) -> None:
    chance, form, turn = Random(name), forms(tmp_path)[name], 0

    def act() -> None:
        nonlocal turn
        turn += 1
        form.set_state({"message": message_to(form, chance, turn)})
        check(*(getattr(form, part, "") for part in ("answer", "meaning", "picture")), *getattr(form, "marks", ()))

    flat(act, count("forms", len(FORMS)))
    assert {*FORMS} == {*forms(tmp_path)}


# --- a walk on the bench ---------------------------------------------------------------------------------------------


class BenchPage:
    """A bench's page, its form and its reply: what it sends, and the texts that it takes over from answers."""

    def __init__(self, folder: Path, chance: Random) -> None:
        self.chance, self.file, self.turn = chance, folder / "house.returned.json", 0
        self.panel = live.bench(FIVE_JOB, self.file)
        self.box = BenchPaste(self.panel, folder / "from the manufacturer")
        self.desk, self.raw = live.reply(self.panel, folder / "out"), dict(self.panel.raw)

    def send(self, **more: str) -> None:
        self.turn += 1
        self.raw |= {**more, "_turn": str(self.turn), "_seen": str(self.panel.content["serial"])}
        self.panel.set_state({"raw": dict(self.raw)})
        for name, (sent, own) in self.panel.content["steps"]["moved"].items():
            if self.raw.get(name) in sent:
                self.raw.pop(name, None)
                self.raw |= {} if own is None else {name: own}

    def press(self, form: Widget, message: dict[str, Any]) -> None:
        form.set_state({"message": {**message, "turn": form.message.get("turn", 0) + 1}})
        self.raw = dict(self.panel.raw)  # what Python has set reaches the page

    def table(self) -> str:
        """Some of the drawings of a return, one number of them changed, or nothing that can be read."""
        marks = self.chance.sample("ABCDE", self.chance.randrange(1, 5))
        blocks = {one[0]: f"mark,{one}" for one in FIVE_RETURNED.split("mark,")[1:]}
        rows = [blocks[mark] for mark in marks if mark in blocks]
        old = self.chance.choice(("00-08-13", "00-05-08", "8.00", "01-04-00"))
        return "".join(rows).replace(old, self.chance.choice(("00-09-13", "4", "01-00-00", "high")), 1)

    def act(self) -> None:
        chance, kind = self.chance, self.chance.random()
        if self.panel.content["stale"] and chance.random() < 0.5:  # what cannot be read is soon put right
            self.send(_undo=str(int(self.raw.get("_undo", "0")) + 1))
        elif kind < 0.4:
            sheet = self.panel.content["touch"].get("picture", {"items": []})
            if not sheet["items"]:
                return self.send(_view="overlay")
            item = chance.choice(sheet["items"])
            value = chance.choice((*NUMBERS, "00-08-13", "8 in 12", "", "S-1", text(chance)))
            self.send(**{item["control"]: value if isinstance(value, str) else ""}, _run=str(self.turn))
        elif kind < 0.55:
            self.send(type=chance.choice("ABCDE"), _view=chance.choice(self.panel.responder.views))
        elif kind < 0.7:
            name = chance.choice(("_undo", "_undo", "_redo"))
            self.send(**{name: str(int(self.raw.get(name, "0")) + 1)})
        elif kind < 0.73:
            self.raw = {"_reset": str(self.turn)}
            self.send()
        elif kind < 0.9:
            do = chance.choice(("review", "review", "next", "sample", "folder"))
            self.press(self.box, {"do": do, "text": self.table(), "type": chance.choice("ABCDE")})
        else:
            self.press(self.desk, {"do": "check", "values": {"note": text(chance), "action_B": "no exceptions"}})


def test_a_walk_on_the_bench_ends_in_what_saves_reloads_and_prints_the_same(tmp_path: Path) -> None:
    page = BenchPage(tmp_path, Random(500))
    most = 0
    for _ in range(500):
        page.act()
        check(*(page.panel.content[slot] for slot in SLOTS), page.box.answer, page.desk.answer)
        state = page.panel.responder.state
        most = max(most, len(state.returns))
        if not state.whole.sample and not page.panel.content["stale"]:
            kept = Record(page.file, "").returns
            assert kept == list(state.returns) or (not kept and not any(state.returns))
    while page.panel.content["stale"]:
        page.send(_undo=str(int(page.raw.get("_undo", "0")) + 1))
    for do in ("review", "next", "review"):
        page.press(page.box, {"do": do, "text": FIVE_RETURNED, "type": "A"})
    state, again = page.panel.responder.state, live.bench(FIVE_JOB, page.file)
    assert most > 1 and len(state.returns) > 1  # it came to a second return, too
    assert again.responder.state.returns == state.returns and again.responder.state.whole == state.whole
    for mark in again.responder.topic.bays:
        for view in again.responder.views:
            page.send(type=mark, _view=view)
            page.send(_keep="1")  # nothing of what was there before lies under it
            again.set(type=mark, times=page.panel.content["fields"]["times"]["text"], _view=view)
            again.set(_keep="1")
            assert text_of(page.panel) == text_of(again), (mark, view)
    letters = [SetReply(panel.responder.state.whole, ticked=[1, 2]) for panel in (page.panel, again)]
    assert set_pages(letters[0]) == set_pages(letters[1]) and letter_csv(letters[0]) == letter_csv(letters[1])
    while page.panel.content["steps"]["undo"]:
        page.send(_undo=str(int(page.raw.get("_undo", "0")) + 1))
    assert not page.panel.content["stale"]


def text_of(panel: Panel) -> tuple[str, ...]:
    """What a panel says: sentence, list or the numbers on its drawing, wherever they stand."""
    numbers = [f"{one['name']} {one['text']}" for one in panel.content["touch"].get("picture", {"items": []})["items"]]
    return panel.content["sentence"], *sorted(numbers), *re.findall(r"<td[^>]*>(.*?)</td>", panel.content["picture"])
