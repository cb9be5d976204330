"""The letter on a whole return: nothing lies over anything or off the page, and it approves nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

import rooflab as rl
from rooflab import InputError
from rooflab.draw.sheets.returns import SetReply, letter_csv, set_pages
from rooflab.job.jobfile import Job
from rooflab.shop.returns import ReturnsReview, read_return, review_returns, sample_return
from tests.tools.jobs import corners
from tests.tools.pages import faults
from tests.tools.returned import FIVE_JOB, FIVE_RETURNED


def returned() -> ReturnsReview:
    return review_returns(FIVE_JOB, [read_return(FIVE_RETURNED, FIVE_JOB)])


def words(reply: SetReply) -> str:
    return " ".join(label.text for page in set_pages(reply) for label in page.labels)


@pytest.mark.parametrize("job", corners())
def test_its_pages_are_whole_for_every_job(job: Job) -> None:
    made = sample_return(job)
    second = {mark: one._replace(values={**one.values, "span": "20-00-00"}) for mark, one in made.items()}
    for returns in ([made], [made, second]):
        whole = review_returns(job, returns)
        letter = {"to": "W" * 120, "sender": "An office of architects", "date": "24 November"}
        reply = SetReply(whole, "Call before cutting. " * 40, letter, ticked=[1])
        for page in set_pages(reply, 5):
            assert faults(page) == []


def test_it_says_for_each_mark_what_to_do() -> None:
    """B's left heel is 1'-4 13/16 for 1'-5 1/2, C's ceiling 4 1/2 in 12 for 4, D's right heel 11 1/8 for 8 13/16."""
    text = words(SetReply(returned()))
    for part in (
        "Of 5 types: 3 correct and resubmit, 1 no exceptions, 1 not returned. 1 drawing not of this job.",
        "Type B, drawing S-102: correct and resubmit", "Required 1'-5 1/2\"", "T7 of Birch House", "type C, required",
    ):  # fmt: skip
        assert part in text, part


def test_it_never_approves() -> None:
    for text in (words(SetReply(returned())), letter_csv(SetReply(returned()))):
        assert text.lower().count("approv") == text.lower().count("no approval") == 1


def test_what_cannot_stand_in_it_is_a_sentence(tmp_path: Path) -> None:
    for more, said in (
        ({"actions": {"E": "no exceptions"}}, "Decision for E: no drawing of it came back"),
        ({"actions": {"B": "approved"}}, "Type B: What to do"),
        ({"actions": {"B": "no exceptions"}}, "Type B: What to do: no exceptions"),
        ({"letter": {"mark": "x" * 200}}, "Truss mark"),
        ({"ticked": [17]}, "Tick 17"),
    ):
        with pytest.raises(InputError, match=said):
            SetReply(returned(), **more)
    with pytest.raises(InputError, match="nothing came back yet"):
        SetReply(review_returns(FIVE_JOB, []))
    rl.write_set_reply(returned(), tmp_path / "a.csv")
    with pytest.raises(InputError, match="exists already"):
        rl.write_set_reply(returned(), tmp_path / "a.csv")
