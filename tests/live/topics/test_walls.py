"""The field sheet without a browser: empty until measured, any number of trusses, undone, kept and printed again.

By hand, with 1/8 in: 8 3/4, 8 13/16, 8 1/2 aim at 8 13/16 and want 0, 0, 5/16 in.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from rooflab import live
from rooflab.job.jobfile import Job, example
from rooflab.live.topics.walls import EARLIER, LISTS
from rooflab.live.widgets import kept
from rooflab.shop.walls import AIMS, ASK_FOR
from tests.tools.jobs import uneven_jobs
from tests.tools.pages import pdf_text


def view(panel: live.Panel, name: str) -> str:
    panel.set(_view=name)
    return str(panel.content["picture"])


def test_a_field_sheet_begins_empty_and_says_what_to_do() -> None:
    for job in (None, example(), *uneven_jobs(3, 4)):
        panel = live.field_sheet(job)
        assert str(panel.content["sentence"]).startswith(ASK_FOR[:24]) and panel.content["verdict"] == ""
        assert {panel.content["fields"][name]["text"] for name in (*LISTS, *EARLIER)} == {""}
        assert "Type or paste the heels" in view(panel, "list") and "twice" in view(panel, "moved")
        assert [row.label for _, rows in panel.responder.rows() for row in rows] == ["Heel asked for"] * 2


def test_what_is_typed_is_worked_out_and_what_cannot_be_read_stays() -> None:
    panel = live.field_sheet(example())
    panel.set(left="8 3/4, 8 13/16, 8 1/2", right="8 13/16")
    assert "shim 1 of 3 trusses" in panel.content["sentence"]
    assert panel.content["fields"]["left"]["text"] == "8 3/4, 8 13/16, 8 1/2"
    assert '<td><b>5/16&quot;</b></td>' in view(panel, "list")
    panel.set(left="8 3/4, 8 13/16, 8 1/2 or so")
    assert panel.content["stale"] and "heel 3" in panel.content["sentence"]
    assert panel.content["fields"]["left"] == {
        "number": None, "text": "8 3/4, 8 13/16, 8 1/2 or so", "bad": True, "off": False,
        "raw": "8 3/4, 8 13/16, 8 1/2 or so",
    }  # fmt: skip
    panel.set(_undo="1")
    assert not panel.content["stale"] and panel.content["fields"]["left"]["text"] == "8 3/4, 8 13/16, 8 1/2"


def test_standing_trusses_are_judged_when_they_are_measured() -> None:
    """312/200 = 1.56 in of bow at the most."""
    panel = live.field_sheet(example())
    assert "not measured yet" in view(panel, "set")
    panel.set(bow="1 3/4")
    assert "misses" in view(panel, "set") and panel.content["verdict"] == "misses"


def test_measured_again_becomes_the_last_time_and_can_be_undone(tmp_path: Path) -> None:
    panel = live.field_sheet(example())
    desk = live.field_files(panel, str(tmp_path))
    assert "Nothing is measured yet" in desk.press("again")
    panel.set(left="8 3/4, 8 13/16, 8 1/2")
    assert "Done" in desk.press("again")
    fields = panel.content["fields"]
    assert (fields["left"]["text"], fields["left_before"]["text"]) == ("", "8 3/4, 8 13/16, 8 1/2")
    panel.set(left="8 3/4, 8 13/16, 8 13/16")
    assert "No. 3 left the most, +5/16" in panel.content["sentence"] and "changed" in view(panel, "moved")
    panel.set(_undo="2")
    assert panel.content["fields"]["left"]["text"] == "8 3/4, 8 13/16, 8 1/2"


# --- five hundred actions, undone, kept and printed -------------------------------------------------------------------


@pytest.fixture
def day(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Begins another day, with a new kernel on the same copy."""
    (tmp_path / "11.ipynb").write_text("{}", encoding="utf-8")
    monkeypatch.setenv(kept.FOLDER, str(tmp_path))
    monkeypatch.setenv(kept.NOTEBOOK, str(tmp_path / "11.ipynb"))
    monkeypatch.setattr(kept, "_OWN", [])

    def begin() -> None:
        for one in kept._OWN:
            one.write()
        kept._OWN.clear()

    return begin


def act(panel: live.Panel, chance: Random, turn: int) -> None:
    """One thing that whoever measures does: types, pastes, mistypes, chooses, looks, undoes, measures again."""
    kind = chance.random()
    if kind < 0.2:
        back = "_undo" if kind < 0.15 else "_redo"
        panel.set(**{back: str(int(panel.raw.get(back, "0")) + chance.choice((1, 1, 2)))})
    elif kind < 0.3:
        panel.set(_view=chance.choice(panel.responder.views))
    elif kind < 0.4:
        panel.set(**chance.choice(({"aim": chance.choice(AIMS)}, {"tolerance": chance.choice(("1/16", "1/4", "x"))})))
    elif kind < 0.45:
        live.field_files(panel).press("again")
    elif kind < 0.47:
        panel.set_state({"raw": {"_reset": str(turn)}})
    else:
        heels = [f"8 {chance.randrange(16)}/16" if chance.random() < 0.85 else "-" for _ in range(chance.randrange(25))]
        text = chance.choice((", ", "; ", "\n", "\t")).join(heels)
        name = chance.choice((*LISTS, *LISTS, *EARLIER))
        wrong = chance.choice(("8,5", "8 3/4, high", "2': 8, 2': 9", "8\t9\n8\t9"))
        panel.set(**{name: text if kind < 0.92 else wrong})


@pytest.mark.parametrize("job", [example(), *uneven_jobs(1, 8)], ids=["example", "uneven"])
def test_after_five_hundred_actions_it_is_kept_and_prints_the_same(
    day: Callable[[], None], job: Job, tmp_path: Path
) -> None:
    day()
    panel, chance = live.field_sheet(job), Random(job.title + "walk")
    empty = panel.content["fields"]
    for turn in range(500):
        act(panel, chance, turn)
    assert panel.content["serial"] > 400
    panel.set(left="8 3/4, 8 13/16, 8 1/2", right="8 7/8\n8 3/4", left_before="8 3/4, 8 3/4", tolerance="1/8")
    panel.set(_undo=str(int(panel.raw.get("_undo", "0")) + 1))
    panel.set(_redo=str(int(panel.raw.get("_redo", "0")) + 1))
    assert not panel.content["stale"]

    def printed(one: live.Panel, folder: str) -> list[str]:
        desk = live.field_files(one, str(tmp_path / folder))
        for button in ("list", "card", "letter left", "letter right"):
            assert "<b>Written:</b>" in desk.press(button), desk.answer
        return [pdf_text(path) for path in sorted((tmp_path / folder).iterdir())]

    before, paper = dict(panel.content), printed(panel, "first day")
    day()
    again = live.field_sheet(job)
    stands = {name: field["text"] for name, field in before["fields"].items()}
    assert {name: field["text"] for name, field in again.content["fields"].items()} == stands
    assert printed(again, "second day") == paper and any("SHIM LIST" in text for text in paper)
    panel.set_state({"raw": {"_reset": "last"}})
    assert panel.content["fields"] == empty
