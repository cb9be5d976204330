"""What is pressed in the room twice, late or for another slide."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from rooflab.job.jobfile import example
from rooflab.live import Room, room
from rooflab.live.talk.view import IS_SHOWN, OTHER_SLIDE

STOP = 1


@pytest.fixture
def shown(tmp_path: Path) -> Room:
    """The room view of the first workbook at its first stop, with a job's file beside it."""
    example().save(tmp_path / "house.json")
    one = room("01", tmp_path)
    one.press("go", str(STOP))
    return one


def send(shown: Room, *acts: tuple[str, str, int]) -> dict[str, Any]:
    """Things pressed on slides, in one message as the page sends it; the slide."""
    first = shown.message["acts"][-1][0] + 1
    shown.set_state({"message": {"acts": [[n, *one] for n, one in enumerate(acts, first)]}})
    return dict(shown.slide)


def test_what_was_meant_for_another_slide_is_refused(shown: Room) -> None:
    """The next stop and a choice pressed in one go: nothing is chosen there, nor shown."""
    slide = send(shown, ("go", str(STOP + 1), STOP), ("choose", "0", STOP), ("show", "", STOP))
    assert (slide["at"], slide["chosen"], slide["right"], slide["refusal"]) == (STOP + 1, -1, -1, OTHER_SLIDE)
    assert shown.panel and shown.panel.locked
    assert send(shown, ("go", "0", STOP + 1), ("again", "", STOP + 1))["refusal"] == OTHER_SLIDE
    slide = send(shown, ("go", str(STOP), 0))
    assert slide["refusal"] == "" and slide["chosen"] == -1
    assert send(shown, ("choose", "0", STOP))["chosen"] == 0


def test_a_double_click_acts_once(shown: Room) -> None:
    """The house is named as it shall be: twice the same is once."""
    assert send(shown, ("house", "yes", STOP), ("house", "yes", STOP))["own_house"]
    assert not send(shown, ("house", "no", STOP), ("house", "no", STOP))["own_house"]
    assert send(shown, ("go", str(STOP + 1), STOP), ("go", str(STOP + 1), STOP))["at"] == STOP + 1


def test_a_choice_after_the_outcome_is_refused(shown: Room) -> None:
    slide = send(shown, ("choose", "0", STOP), ("show", "", STOP), ("choose", "1", STOP))
    assert slide["chosen"] == 0 and slide["refusal"] == IS_SHOWN


@pytest.mark.parametrize(
    "message", [{"acts": None}, {"acts": [None, 3, [], ["1", "go", "2"], [9e9, "go"], [True, "go", "2", 1]]}, {},
                {"acts": [[90, None, ["x"], "y"]]}, {"acts": [[91, "count", "7:<b>", 1], [92, "choose", "\u0663", 1]]}],
)  # fmt: skip
def test_a_message_of_another_kind_changes_nothing(shown: Room, message: Any) -> None:
    before = dict(shown.slide)
    shown.set_state({"message": message})
    assert shown.slide == before
