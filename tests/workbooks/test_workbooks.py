"""What every workbook promises: its order, its folded code, its stored pictures and readings, its predictions.

nbval compares the stored outputs with fresh ones, but passes over a cell without a count: so counts and outputs are
demanded here.  What a good lesson is made of (predict, observe, explain; goals that match the closing questions; few
new words at a time) is common practice of teaching, no source.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import Any

import pytest

from rooflab.live import Meeting, Panel, Working
from rooflab.live.widgets.job_desk import BEGIN
from tests.scripts.store_workbooks import VIEW, stored
from tests.tools.lessons import BOOKS, asked, cells, code, is_setup, name, play, prose, sections

# Workbook 00 teaches how to use the series and its words: it has parts of its own, and no roof to practice on.
WELCOME = ["Goal", "The job", "Who it is for, and three ways to use it", "Try one",
           "Type a length", "Which workbook for which question", "The words, on one section", "Check yourself",
           "What this leaves out", "Summary"]  # fmt: skip
ORDER = ["Goal", "Recall", "Predict", "Explore", "Explain", "Check yourself", "What this leaves out", "Summary"]
OPENING = "# Opening picture"
AROUND = "# The house all around"  # to look at and turn, nobody's exercise
every_book = pytest.mark.parametrize("path", BOOKS, ids=name)
every_lesson = pytest.mark.parametrize("path", BOOKS[1:], ids=name)


def is_opening(cell: Any) -> bool:
    return cell.cell_type == "code" and bool(cell.source.startswith(OPENING))


def test_there_are_workbooks() -> None:
    assert [path.name for path in BOOKS][:1] == ["00-start-here.ipynb"]


SAID = (
    ("00", "this panel ties the trusses' heel to it", "all three gaps stay"),
    ("02", "the birdsmouth stands off the wall, or the ridge goes up", "the ridge gapes"),
    ("02", "A miter saw is set in degrees", "A saw is set in degrees"),
    ("02", "A circular saw is *not* set to that", ""),
    ("02", "To how many degrees off square is a miter saw set", "is the saw set for the plumb cuts"),
    ("05", "carries the rafters' upper end; a ridge *board* carries nothing", "| carries the rafters' upper end |"),
    ("05", "figure 7-2, in ASCE 7-16 figure 7.4-1", ""),
    ("05", "tile at 10 is the light end, clay goes up to 19", ""),
    ("05", "whole *ground* snow may then lie on one side and none on the other", "unbalanced and sliding snow, rain"),
    ("05", "Below 15 degrees there is a least snow too", ""),
    ("05", "Drifts at steps and sliding snow are not in here", ""),
    ("05", "of the rafter *and* of the plate: the softer one decides", ""),
    ("06", "only 0.67 of its span is left", ""),
)  # fmt: skip
"""What a junior and a practitioner read wrongly: workbook, what it says of that, and what it says no more."""


@pytest.mark.parametrize(("book", "said", "no_more"), SAID)
def test_lessons_say_what_holds(book: str, said: str, no_more: str) -> None:
    """In its prose or in what a prediction answers.

    A rafter cut too long meets the ridge board first (geometry); a circular saw follows the line with its blade square
    (common practice, no source); IRC R802.4.1 has 0.67 for a tie at a third; snow as in ASCE 7 7.3.4 and 7.6.1.
    """
    (path,) = (path for path in BOOKS if name(path).startswith(book))
    text = "\n".join(cell.source for cell in cells(path))
    assert said in text and not (no_more and no_more in text)


# --- order and words -------------------------------------------------------------------------------------------------


@every_book
def test_sections_come_in_their_order(path: Path) -> None:
    assert list(sections(prose(path), "## ")) == (WELCOME if path == BOOKS[0] else ORDER)


@every_book
def test_goals_match_questions_and_summary(path: Path) -> None:
    """At most three goals; each has a part of the closing questions, with a question in it, and a line at the end."""
    parts = sections(prose(path), "## ")
    goals, summary = (re.findall(r"^(\d)\. \*\*", parts[title], re.M) for title in ("Goal", "Summary"))
    closing = re.findall(r"^### Goal (\d) ", parts["Check yourself"], re.M)
    assert 1 <= len(goals) <= 3
    assert goals == closing == summary
    held: dict[str, int] = {}
    goal = ""
    for cell in cells(path):
        if cell.cell_type == "markdown":
            for line in cell.source.splitlines():
                if line.startswith("#"):
                    goal = line[9:10] if line.startswith("### Goal ") else ""
        elif goal and not is_setup(cell):
            held[goal] = held.get(goal, 0) + 1
    assert list(held) == goals


@every_lesson
def test_few_new_words_at_a_time(path: Path) -> None:
    """In Explore a word in bold is a new one: at most three in a section, and each is introduced once."""
    explore = sections(prose(path), "## ")["Explore"]
    new = {title: re.findall(r"\*\*(.+?)\*\*", text) for title, text in sections(explore, "### ").items()}
    words = [word for row in new.values() for word in row]
    assert words and len(words) == len(set(words))
    assert max(map(len, new.values())) <= 3


@every_book
def test_it_says_whom_to_ask(path: Path) -> None:
    left_out = sections(prose(path), "## ")["What this leaves out"]
    assert all(who in left_out for who in ("engineer", "truss designer", "building official", "local code"))


# --- code and what is stored -----------------------------------------------------------------------------------------


@every_book
def test_code_is_short_folded_and_holds_no_formula(path: Path) -> None:
    for cell in code(path):
        assert len(cell.source.splitlines()) <= 8, cell.source
        assert cell.metadata.get("jupyter") == {"source_hidden": True}, cell.source
        sums = [node for node in ast.walk(ast.parse(cell.source)) if isinstance(node, (ast.BinOp, ast.FunctionDef))]
        assert not sums, cell.source


@every_book
def test_every_cell_has_run_and_shows_something(path: Path) -> None:
    """A cell without a count or an output would pass nbval unread; set-up cells are marked, and only set up."""
    assert [cell.execution_count for cell in code(path)] == list(range(1, len(code(path)) + 1))
    for cell in code(path):
        if is_setup(cell):
            body = ast.parse(cell.source).body
            assert all(isinstance(node, (ast.Import, ast.ImportFrom, ast.Assign)) for node in body), cell.source
            assert cell.outputs == []
        else:
            kinds = {output.output_type for output in cell.outputs}
            assert kinds and kinds <= {"execute_result", "display_data"}, cell.source
            assert all(output.data.get("text/plain", "").strip() for output in cell.outputs), cell.source


@every_book
def test_set_up_comes_first_and_then_a_picture(path: Path) -> None:
    """The first thing on the page moves: a title, what to drag, and one unlocked picture with one control."""
    assert is_setup(code(path)[0]) and "import" in code(path)[0].source
    title, *rest = cells(path)
    before = rest[: next(at for at, cell in enumerate(rest) if is_opening(cell))]
    assert len(title.source.splitlines()) <= 5 and "**Drag the " in title.source
    assert all(cell.cell_type == "code" for cell in before)
    (opening,) = [thing for thing in play(path) if isinstance(thing, Panel)][:1]
    assert not opening.locked and len(opening.setup["controls"]) == 1


@every_book
def test_workbooks_lead_on_and_back(path: Path) -> None:
    """Head and foot link to the workbook before and the one after; a question's heading to sections that are there."""
    at = BOOKS.index(path)
    beside = [one.name for one in (*BOOKS[max(at - 1, 0) : at], *BOOKS[at + 1 : at + 2])]
    first, *_, last = cells(path)
    for source in (first.source, last.source.splitlines()[-1]):
        assert re.findall(r"\]\((\S+\.ipynb)\)", source) == beside
    looked = set(re.findall(r"\]\(#(.+?)\)", prose(path)))
    assert looked <= anchors(path) and (looked or path == BOOKS[0])


def anchors(path: Path) -> set[str]:
    """What links to the headings of a workbook end with."""
    return {line.lstrip("# ").replace(" ", "-") for line in prose(path).splitlines() if line.startswith("#")}


def test_links_from_workbook_to_workbook_lead_to_headings_that_are_there() -> None:
    """Those of the prose, and those that stand where there is no job yet; 00 asks first what is on the desk."""
    there = {path.name: anchors(path) for path in BOOKS}
    led = {path.name: re.findall(r"\]\((\S+\.ipynb)#(.+?)\)", prose(path)) for path in BOOKS}
    said = [tuple(address.split("#")) for address in BEGIN.values()]
    assert all(heading in there[book] for links in (*led.values(), said) for book, heading in links)
    first = cells(BOOKS[0])[0].source
    desk = re.findall(r"\]\((\d\d)\S+#", first)
    assert "What is on your desk today?" in first and desk == ["01", "08", "10", "11"] and len(said) == 2


def test_without_a_kernel_the_first_page_shows_its_words() -> None:
    """The check, the picture to try and the words of a section are there before anything is run."""
    shown = [output.data for cell in code(BOOKS[0]) for output in cell.outputs]
    drawn = [data for data in shown if "image/svg+xml" in data]
    assert len(drawn) == 3 and "square to the edge" in drawn[2]["image/svg+xml"]
    tables = [data["text/html"] for data in shown if data.get("text/html", "").startswith(("<table>", "<details>"))]
    assert len(tables) == 3 and "found" in tables[0] and "total rise" in tables[-1].lower()
    assert tables[0].startswith("<details><summary>Everything that is needed is installed.</summary>")  # one line


@every_lesson
def test_without_a_kernel_pictures_and_readings_are_there(path: Path) -> None:
    """Every live picture leaves its drawing and its readings, and the next cell prints readings with their working."""
    pictures = 0
    for cell, following in zip(code(path), [*code(path)[1:], None], strict=True):
        drawn = [output for output in cell.outputs if "image/svg+xml" in output.get("data", {})]
        for output in drawn:
            pictures += 1
            assert re.match(r"<svg\b.*</svg>\s*$", output.data["image/svg+xml"], re.S)
            assert '"' in output.data["text/plain"]
            if cell.source.startswith((OPENING, AROUND)):
                continue
            assert following is not None and following.outputs[0].data["text/html"].startswith("<table>")
            assert " = " in following.outputs[0].data["text/plain"]
    assert pictures == len([thing for thing in play(path) if isinstance(thing, (Meeting, Panel))]) > 0


@every_book
def test_nothing_passing_is_stored(path: Path) -> None:
    text = path.read_bytes().decode("utf-8")
    assert VIEW not in text and "widget-state" not in text and "\r" not in text and text.endswith("}\n")
    for cell in cells(path):
        assert set(cell.metadata) <= {"jupyter", "tags"}
        assert all(output.get("metadata", {}) == {} for output in cell.get("outputs", []))


@pytest.mark.deep
@every_book
def test_storing_again_changes_nothing(path: Path) -> None:
    """Run in a fresh kernel and stored again, it is the same file, byte for byte."""
    text = path.read_bytes().decode("utf-8")
    assert stored(text) == text


# --- predict, observe, explain ---------------------------------------------------------------------------------------


def pair(value: Any) -> dict[str, Any]:
    """Controls that bring a typed truss heel with them."""
    return {**value, "heel_follows": "no"} if "heel" in value else dict(value)


@every_book
def test_predictions_come_before_every_picture(path: Path) -> None:
    """Each picture is locked until a prediction is chosen; the outcome waits for what is to be moved, then shows."""
    predictions = [ask for ask in asked(path) if ask.panel is not None]
    assert len(predictions) >= (1 if path == BOOKS[0] else 4)
    panels = {id(thing) for thing in play(path) if isinstance(thing, (Meeting, Panel))}
    own = sum(cell.source.startswith(("# Your house", OPENING, AROUND)) for cell in code(path))  # nobody's exercise
    assert len({id(ask.panel) for ask in predictions}) == len(panels) - own
    for ask in predictions:
        panel, wrong = ask.panel, ask.setup["choices"][0]
        assert panel is not None and panel.locked and ask.stop is not None
        assert ask.give(wrong).startswith("You said: ") and not panel.locked and not ask.done
        panel.set(**pair(ask.stop.move))
        assert not panel.content["stale"]
        assert ask.done and ask.answer.startswith("<b>It is: "), ask.stop.move


@every_book
def test_predictions_tell_right_from_wrong(path: Path) -> None:
    """Exactly one choice is answered with "as you said"."""
    agreed: dict[str, int] = {}
    for turn in range(max(len(ask.setup["choices"]) for ask in asked(path))):
        for ask in asked(path):
            for choice in ask.setup["choices"][turn : turn + 1]:
                ask.give(choice)
                if ask.panel is not None and ask.stop is not None:
                    ask.panel.set(**pair(ask.stop.move))
                prompt = ask.setup["prompt"]
                agreed[prompt] = agreed.get(prompt, 0) + ("(as you said)" in ask.answer)
    assert len(agreed) >= 4 and set(agreed.values()) == {1}


@every_lesson
def test_three_rungs(path: Path) -> None:
    """A worked example, the same with blanks, then one's own case with new numbers; at least six typed questions."""
    typed = [ask for ask in asked(path) if ask.question is not None]
    assert len(typed) >= 6
    parts = sections(prose(path), "## ")
    assert "= **?**" in parts["Check yourself"]
    assert any(isinstance(thing, Working) for thing in play(path))
    own = [ask for ask in typed if ask.setup["more"]]
    assert own
    before = own[0].setup["prompt"], own[0].question
    own[0].give(do="next")
    assert (own[0].setup["prompt"], own[0].question) != before and own[0].answer == ""
