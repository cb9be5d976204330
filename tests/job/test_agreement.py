"""What was agreed: kept in the job file as it was, printed on one page that holds every word, sections at one scale."""

from __future__ import annotations

import ast
import io
import json
import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import pypdf
import pytest
from pypdf.generic import ContentStream
from shapely import STRtree
from shapely.geometry import LineString, box

import rooflab as rl
from rooflab import InputError
from rooflab.base.measure import feet_inches
from rooflab.checks.loads import CAUTION
from rooflab.draw.paper import file_bytes
from rooflab.draw.scene import Layout, Shape
from rooflab.draw.sheets.agreement import agreement_page, figures_in_words
from rooflab.draw.sheets.page import LEAST, MARGIN, PAPERS
from rooflab.draw.views.options import option_sections
from rooflab.house.bays import Jog
from rooflab.job import agreement as agreed
from rooflab.job.agreement import Agreement, agree, agreements_in, changes_since, read_agreement
from rooflab.job.jobfile import Job, blank_job, example, rounded_heels
from rooflab.job.schedule import TrussType
from rooflab.job.table import (
    Option,
    OptionResult,
    option_of,
    options_in,
    proposals,
    solve_option,
    solve_options,
    table_of,
    with_options,
)
from tests.tools.depth import cases as cases_of
from tests.tools.jobs import WORDS
from tests.tools.jobs import house as random_house
from tests.tools.keys import key_box, lit_halves, met_by
from tests.tools.pages import faults, measured

THERE = ("architect: A. Person", "builder: J. Smith", "owner")
REASONS = ("More room over the table, and the gable window can be taller.", "The crew knows this seat.")
OPEN = (
    ("Who designs the header over the gable window?", "engineer"),
    ("Does the birdsmouth count as an end notch?", "building official"),
)
CHANGES: tuple[tuple[str, dict[str, Any]], ...] = (
    ("As it stands", {}),
    ("Steeper ceiling", {"ceiling_pitch": 6}),
    ("Longer seat", {"seat": "5 1/2"}),
    ("2x12 rafters", {"lumber": "2x12", "seat": 5}),
    ("Wall two inches taller", {"plate_height": "8'-3 1/8\""}),
    ("Trusses with a heel of their own", {"heel": "9 1/4"}),
)


def house(many: int = 3, job: Job | None = None) -> Job:
    """A job with options kept, each with its pros and cons."""
    job = job or example()
    options = [option_of(name, job, **changes) for name, changes in CHANGES[:many]]
    made = solve_options(options, job)
    told = [proposals(made[0], one) for one in made]
    return with_options(job, [one.with_(pros=t.pros, cons=t.cons) for one, t in zip(options, told, strict=True)])


def agreed_on(many: int = 3, job: Job | None = None, chosen: str = "") -> Job:
    kept = house(many, job)
    return agree(kept, "24 November 2026", chosen or CHANGES[min(many, 2) - 1][0], THERE, REASONS, OPEN)


def agreement(**given: Any) -> Agreement:
    return Agreement(**{"date": "1 May", "option": "A", "present": ("builder",), **given})


def wrong_on(page: Layout) -> list[str]:
    """What is wrong with a printed page.  % and + are wider in print than a layout thinks: such texts are held against
    their columns by their printed width.
    """
    wide = [label for label in page.labels if {"%", "+"} & set(label.text)]
    texts = {f"{label.text} is wider than thought" for label in wide}
    wrong = [said for said in faults(page) if said not in texts]
    for label in (one for one in wide if one.anchor == "start"):
        x0, y0, _, y1 = label.box
        row = [other.box for other in page.labels if other.box[1] < y1 and y0 < other.box[3]]
        beside = [box[0] for box in row if box[0] > x0]
        if x0 + measured(label) > min(beside, default=page.width - MARGIN):
            wrong.append(f"{label.text} runs into the next column")
    return wrong


# --- the agreement ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"date": " "}, ["Date: it is missing"]),
        ({"date": 2026}, ["Date: a text is needed, not a number"]),
        ({"option": ""}, ["Chosen option: it is missing"]),
        ({"present": ()}, ["Who was there: nobody"]),
        ({"present": {"builder": "J."}}, ["Who was there: texts are needed"]),
        ({"reasons": ["x" * 401]}, ["Reasons: a text of up to 400 characters"]),
        ({"reasons": ["why"] * 13}, ["Reasons: 13 lines; up to 12"]),
        ({"alternatives": ["B", "A"]}, ["Alternatives: 'A' is the chosen option"]),
        ({"open_points": [("Beam?", "")]}, ["Open point 'Beam?': who answers it is missing"]),
        ({"open_points": [("", "engineer")]}, ["what 'engineer' is to answer is missing"]),
        ({"open_points": ["Beam?"]}, ["Open points: each needs two texts"]),
        ({"open_points": [("Beam?", 5)], "date": ""}, ["Date: it is missing", "Open points: texts of up to 400"]),
        ({"open_points": [("a", "b")] * 13}, ["Open points: 13; up to 12"]),
    ],
)
def test_one_sentence_each(given: dict[str, Any], words: list[str]) -> None:
    with pytest.raises(InputError) as found:
        agreement(**given)
    assert len(found.value.problems) == len(words), found.value.problems
    for said, word in zip(found.value.problems, words, strict=True):
        assert word in said


def test_texts_are_taken_as_people_type_them() -> None:
    made = agreement(
        date="1  May", option=" A ", present="builder\n\narchitect", reasons="one\n two",
        open_points={"Beam?": " engineer "},
    )  # fmt: skip
    assert (made.date, made.option, made.present) == ("1 May", "A", ("builder", "architect"))
    assert (made.reasons, made.open_points) == (("one", "two"), (("Beam?", "engineer"),))
    assert agreement(open_points=[("", "")]).open_points == ()


def test_no_clock_is_read() -> None:
    """The date is the user's: neither the record nor the page asks the machine for one."""
    for module in (agreed, rl.agreement_sheet.__globals__["__file__"]):
        path = Path(module if isinstance(module, str) else str(module.__file__))
        names = {node.module if isinstance(node, ast.ImportFrom) else alias.name
                 for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
                 if isinstance(node, (ast.Import, ast.ImportFrom)) for alias in node.names}  # fmt: skip
        assert not {"time", "datetime", "calendar"} & {str(name) for name in names}


# --- in the job file -------------------------------------------------------------------------------------------------


def test_reopening_shows_the_same(tmp_path: Path) -> None:
    """Saved and loaded, the job has the same agreement, and its page has the same words, lines and numbers."""
    made = agreed_on(6)
    made.save(tmp_path / "job.json")
    again = Job.load(tmp_path / "job.json")
    assert again == made and agreements_in(again) == agreements_in(made)
    assert agreement_page(again) == agreement_page(made)
    (one,) = agreements_in(again)
    assert one.option == "Steeper ceiling" and one.alternatives == tuple(n for n, _ in CHANGES if n != one.option)
    assert changes_since(one, again) == ()
    (picked,) = (option for option in options_in(again) if option.name == one.option)
    assert dict(one.figures) == {row.key: row.texts[0] for row in table_of([solve_option(picked, again)])}
    again.save(tmp_path / "again.json")
    assert (tmp_path / "again.json").read_bytes() == (tmp_path / "job.json").read_bytes()


def test_the_record_is_flat_and_readable() -> None:
    record = agreed_on(2).decisions[0]
    assert record["agreed"] == "24 November 2026" and record["chosen"] == "Steeper ceiling"
    assert record["present_2"] == "builder: J. Smith" and record["open_1"] == OPEN[0][0]
    assert record["answers_1"] == "engineer" and record["figure_heel"] == '8 13/16"'
    made = read_agreement(json.loads(json.dumps(record)))
    assert made.record() == record
    twelve = replace(made, reasons=tuple(f"reason {i}" for i in range(12)))
    assert read_agreement(twelve.record()).reasons == twelve.reasons  # reason_10 stands after reason_9


def test_a_record_of_another_kind_is_named() -> None:
    job = replace(agreed_on(2), decisions=({"mud": 1}, {"agreed": "1 May", "chosen": "A", "present_1": "me", "x_1": 2}))
    with pytest.raises(InputError) as found:
        agreements_in(job)
    said = " ".join(found.value.problems)
    assert "decisions[0]: 'mud' is nothing an agreement holds" in said and "decisions[1]: 'x_1'" in said
    assert all(one.startswith("decisions[") for one in found.value.problems)


def test_agreeing_adds_and_loses_nothing() -> None:
    first = agreed_on(3)
    second = agree(first, "25 November 2026", "Longer seat", "builder", alternatives=["As it stands"])
    assert second.decisions[0] == first.decisions[0] and len(second.decisions) == 2
    assert agreements_in(second)[1].alternatives == ("As it stands",) and second.options == first.options


@pytest.mark.parametrize(
    ("chosen", "more", "words"),
    [
        ("Gone", {}, "Option 'Gone': there is none of that name; kept are As it stands, Steeper ceiling"),
        ("As it stands", {"alternatives": ["Lost"]}, "Option 'Lost': there is none of that name"),
    ],
)
def test_options_have_to_be_there(chosen: str, more: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        agree(house(2), "1 May", chosen, THERE, **more)
    with pytest.raises(InputError, match="none is kept"):
        agree(example(), "1 May", chosen, THERE)


def test_a_change_since_is_said() -> None:
    """The chosen option holds only a seat of 4; the rafters grow to 2x12 after it was agreed: 11.25 x 1.20185 - 4 x
    8/12 is 10.8542, 10 7/8, where it was 9.25 x 1.20185 - 2.6667 = 8.4504, 8 7/16.
    """
    job = with_options(example(), [Option("Seat of 4", seat=4), Option("Other", seat=5)])
    job = agree(job, "1 May", "Seat of 4", "builder")
    later = job.with_(rafters=job.rafters.with_(lumber="2x12"))
    made = {one.key: one for one in changes_since(agreements_in(later)[0], later)}
    assert made["heel"].sentence == 'Truss heel was 8 7/16" when this was agreed and is now 10 7/8".'
    text = " ".join(label.text for label in agreement_page(later).labels)
    assert "CHANGED SINCE THIS WAS AGREED" in text and 'Truss heel was 8 7/16" when' in text
    assert "CHANGED SINCE" not in " ".join(label.text for label in agreement_page(job).labels)
    assert holds(agreement_page(job), "Chosen and drawn: Seat of 4.")


# --- the page --------------------------------------------------------------------------------------------------------


def words_of(page: Layout) -> str:
    return "".join("".join(label.text.split()) for label in page.labels)


def holds(page: Layout, text: str) -> bool:
    """Whether the page has all words of a text in their order, wherever its lines end."""
    return "".join(text.split()) in words_of(page)


@pytest.mark.parametrize("paper", [*PAPERS])
@pytest.mark.parametrize("many", [1, 2, 3, 4, 5, 6])
def test_the_page_holds_every_word(many: int, paper: str) -> None:
    """Who, why, what is open, numbers, cautions, each option's column; no text touches another or leaves the page."""
    job = agreed_on(many)
    (one,), page = agreements_in(job), agreement_page(job, paper=paper)
    assert wrong_on(page) == []
    options = options_in(job)
    chosen = next(option for option in options if option.name == one.option)
    ended = [(point if point.endswith("?") else f"{point}.", who) for point, who in OPEN]
    points = [f"{i}. {point} Answers: {who}." for i, (point, who) in enumerate(ended, 1)]
    for text in (*THERE, *REASONS, *points, CAUTION, f"Date: {one.date}.", figures_in_words(chosen, job)):
        assert holds(page, text), text
    assert "..." not in words_of(page).replace("gable...", "")
    letters = words_of(page)
    for row in table_of(solve_options(options, job)):
        for text in row.texts:
            assert all(word in letters for word in text.split()), text
    for option in options:
        for text in (option.name, *option.pros, *option.cons):
            assert all(word in letters for word in text.split()), text


def cases() -> Iterator[Job]:
    base = example()
    for span, pitch, over, ceiling, plates in (
        (96, 2, 0, 0.5, 97), (720, 4, 24, 2, 97), (720, 18, 48, 9, 120), (312, 24, 12, 12, 97), (480, 1, 0, 0, 97),
        (312, (8, 6), (16, 24), 3, (97.125, 121.125)), (312, 8, 16, 4, (97.125, 73.125)),
    ):  # fmt: skip
        rafters = rl.RafterBay(rl.Gable(span, pitch, 5.5, over, plates), "2x12", 2)
        truss = rl.ScissorBay(rafters.gable, ceiling, rounded_heels(rafters))
        yield replace(base, rafters=rafters, scissor=truss, types=())


def test_houses_of_all_kinds() -> None:
    for job in cases():
        kept = with_options(job, [Option("One"), Option("Two", seat=3, window_width=36)])
        page = agreement_page(agree(kept, "1 May 2026", "Two", "builder", "So be it."))
        assert wrong_on(page) == [], job
        for end in solve_option(Option("Two", seat=3), job).scissor.ends:
            assert feet_inches(end.heel) in " ".join(label.text for label in page.labels)


def sections_on(page: Layout) -> list[list[tuple[float, float]]]:
    """The corners of every top chord on a page, the large section's first."""
    return [list(shape.points) for shape in page.shapes if shape.name.startswith("top chord")]


@pytest.mark.parametrize("paper", [*PAPERS])
@pytest.mark.parametrize("many", [2, 3])
def test_each_option_has_a_small_section_over_its_column(many: int, paper: str) -> None:
    """The large section and one an option, over its name's column, all small ones at one scale: of the 26 ft house the
    top chord spans half, 156 in and 16 in of tail, whatever the option (plumb cuts apart).
    """
    page = agreement_page(agreed_on(many), paper=paper)
    large, *small = sections_on(page)
    assert len(small) == many
    wide = [max(x for x, _ in one) - min(x for x, _ in one) for one in (large, *small)]
    assert max(wide[1:]) - min(wide[1:]) < 0.02 * max(wide[1:]) and wide[0] > 1.5 * wide[1]
    names = [label for label in page.labels if label.text.removeprefix("Chosen: ") in dict(CHANGES[:many])]
    starts = sorted(label.x for label in names if label.y > max(y for _, y in large))[:many]
    edges = [*starts, page.width]
    for i, points in enumerate(sorted(small, key=lambda one: min(one)[0])):
        assert edges[i] - 1 <= min(points)[0] and max(points)[0] <= edges[i + 1] + 1
    dotted = [stroke for stroke in page.strokes if stroke.name == "first roof"]
    assert len(dotted) == many - 1  # over all but the first itself


@pytest.mark.parametrize("paper", [*PAPERS])
@pytest.mark.parametrize("many", [1, 2, 3, 6])
def test_a_key_beside_the_section_says_which_halves_it_shows(many: int, paper: str) -> None:
    page = agreement_page(agreed_on(many), paper=paper)
    assert lit_halves(page) == {"rafters left": "slim rafter", "A right": "slim truss"}
    assert met_by(page, key_box(page)) == []


def test_where_ends_differ_the_key_shows_whole_sections() -> None:
    job = house(1, random_house(312, (8, 6), 16, "2x10", 3))
    page = agreement_page(agree(job, "1 May 2026", "As it stands", "builder"))
    assert set(lit_halves(page)) == {f"{name} {side}" for name in ("rafters", "A") for side in ("left", "right")}
    assert met_by(page, key_box(page)) == []


def test_what_reads_otherwise_than_in_the_first_is_marked() -> None:
    """The ceiling rises 6 in 12 over 150 1/2 in, 75 1/4, where the first's rises 4 in 12; the heel is the same."""
    page = agreement_page(agreed_on(3))
    texts = [label.text for label in page.labels]
    assert "*6'-3 1/4\"" in texts and "*4'-2 3/16\"" not in texts and '*8 13/16"' not in texts
    assert '*7 7/16"' in texts  # a seat of 5 1/2: 9.25 x 1.20185 - 3.6667 = 7.4504
    assert 'THE OPTIONS SIDE BY SIDE; * = DIFFERS FROM "AS IT STANDS" (DOTTED)' in texts
    assert not [label.text for label in agreement_page(agreed_on(1)).labels if "*" in label.text]


@pytest.mark.parametrize("paper", [*PAPERS])
def test_the_record_has_a_foot_of_its_own(paper: str) -> None:
    """Not the manufacturer's; nothing says none or not given where it was not asked; no word of the screen alone."""
    job = agree(house(1), "1 May 2026", "As it stands", "builder")
    text = " ".join(label.text for label in agreement_page(job, paper=paper).labels)
    assert "Trusses are not cut, notched, drilled or repaired" in " ".join(text.split())
    for word in ("manufacturer's designer designs", "before fabrication", "not given", "None", "Not chosen", "REASONS",
                 "OPEN POINTS", "verify", "work to figures", "Issued for", "Revision"):  # fmt: skip
        assert word not in text, word
    full = agreed_on(3, replace(example(), sheet={"architect": "A. Person", "address": "12 Hill Road"}))
    text = " ".join(label.text for label in agreement_page(full, paper=paper).labels)
    assert all(word in text for word in ("Architect: A. Person", "12 Hill Road", "Agreed: 24 November 2026"))


def random_jobs(count: int) -> Iterator[Job]:
    """Houses with unequal ends, plates of two heights and walls set in and out, two or three options each."""
    chance = random.Random(14)
    while count:
        jog = Jog(chance.choice(("left", "right")), chance.choice((24, 12, -12)))
        pitch, plate = chance.choice((4, 6, 8, 12, (8, 6), (10, 12))), chance.choice((97.125, 121.125, 73.125))
        try:
            job = random_house(chance.randrange(200, 480, 4), pitch, chance.choice((0, 12, 16, (16, 24))),
                               chance.choice(("2x8", "2x10", "2x12")), chance.choice((2, 3, (3, 2))),
                               [TrussType("A", 240, gable_ends=1), TrussType("B", 96, jog=jog)],
                               plates=(97.125, plate), sheet=WORDS if chance.random() < 0.5 else {})  # fmt: skip
            options = [Option("As it stands"), Option("Short seat", seat=2.5), Option("Flat", ceiling_pitch=1)]
            kept = with_options(job, options[: chance.randrange(2, 4)])
            made = agree(kept, "24 November 2026", chance.choice(("As it stands", "Short seat")), THERE, REASONS, OPEN)
            solve_options(options_in(made), made)
        except InputError:
            continue
        yield made
        count -= 1


@pytest.mark.parametrize("paper", [*PAPERS])
def test_whoever_was_there_finds_every_fact(paper: str) -> None:
    """30 random jobs: who, when, which, why, what is open and who answers it, the chosen heels and heights, cautions
    and foot stand in the text of the PDF; no text is on another, none is small, none is cut with dots.
    """
    small = []
    for job in random_jobs(cases_of(30)):
        (one,), page = agreements_in(job), agreement_page(job, paper=paper)
        assert wrong_on(page) == []
        assert min(label.size for label in page.labels) >= LEAST
        (printed,) = pypdf.PdfReader(io.BytesIO(file_bytes((page,), ".pdf"))).pages
        text = "".join(printed.extract_text().split())
        chosen = solve_option(next(kept for kept in options_in(job) if kept.name == one.option), job)
        facts = [*THERE, *REASONS, *(part for point in OPEN for part in point), "Chosen and drawn: " + one.option,
                 "Not chosen: " + ", ".join(one.alternatives), "Agreed: 24 November 2026", "Trusses are not cut",
                 "no drawing to build from", feet_inches(chosen.scissor.height),
                 *(feet_inches(end.heel) for end in chosen.scissor.ends), *one.alternatives]  # fmt: skip
        for fact in facts:
            assert "".join(fact.split()) in text or all(word in text for word in fact.split()), fact
        assert "..." not in text and "verify" not in text and "notgiven" not in text
        dotted = [stroke for stroke in page.strokes if stroke.name == "first roof"]
        small.append(len(dotted) == len(options_in(job)) - 1)
        assert small[-1] or not dotted
    assert sum(small) > 0.7 * len(small)  # sections that stand small over the table, where there is room


def record_text(job: Job, chosen: str = "As drawn") -> str:
    """The words of the record of an agreement on one of two options, in the order of its columns."""
    kept = with_options(job, [Option("As drawn"), Option("Short seat", seat=2)])
    page = agreement_page(agree(kept, "1 May 2026", chosen, "builder"))
    return " ".join(pypdf.PdfReader(io.BytesIO(file_bytes((page,), ".pdf"))).pages[0].extract_text().split())


def test_what_nobody_gave_is_not_agreed() -> None:
    """A job of one's own has no ground snow and no grade: no load or use worked out of them stands as a figure."""
    text = record_text(blank_job())
    for part in ("not checked: ground snow, grade to be given", "NOT ISSUED", "edition to be given",
                 "DFL No.2 (assumed) rafters", "roof snow to be given.", "Assumed: Gypsum 1/2\"; Room length 20'-0\"",
                 "R-38 (assumed)"):  # fmt: skip
        assert part in text, part
    for part in ("roof snow 0.0", "ground 0 psf", "37 %", "none (fewest)", "Misses none", "edition 2018"):
        assert part not in text, part
    asked = replace(blank_job(), loads={"ground_snow": 30}, grade="DFL No.2", finish=(0.625, 0.0))
    text = record_text(asked)
    assert "not checked" not in text and "NOT ISSUED" in text
    assert 'Gypsum 5/8". Assumed: Room' in text and "ground 30 psf" in text


def unequal() -> Job:
    """24 ft, 9 and 6 in 12, plates 12 in apart, 2x6 on the full plates; window heads 84 in up."""
    gable = rl.Gable(288, (9, 6), (5.5, 3.5), 16, (97.125, 109.125), window_head=84)
    rafters = rl.RafterBay(gable, "2x6", (5.5, 3.5))
    truss = rl.ScissorBay(gable, (4.5, 3), rounded_heels(rafters))
    sheet = {"project": "Hill Road houses"}
    return Job("Lot 4", rafters, truss, (), loads={"ground_snow": 30}, grade="DFL No.2", sheet=sheet)


def test_a_chosen_option_s_misses_are_open_points() -> None:
    """Heel 2 3/4" under the 2x4's 4 5/8" (5 1/2 x 3/4 + ...), a 2x6 over its bending: each with who decides."""
    text = record_text(unequal())
    said = text[text.index("OPEN POINTS") :]
    assert "The chosen option misses:" in said
    for part in ("soffit line (architect and building official decide)", "rafter deflection (engineer decides)",
                 "minimum heel (truss designer decides)"):  # fmt: skip
        assert part in said, part
    assert "sag" not in text.replace("message", "") and "Lot 4 · Hill Road houses" in text


def test_each_end_s_loads_are_labeled() -> None:
    """Dead 15 psf on the slope is 15 x 1.25 = 18.75 on the projection at 9 in 12 and 15 x 1.118 = 16.8 at 6 in 12."""
    text = record_text(unequal())
    assert "Left (9 in 12): dead 18.8, roof live" in text and "Right (6 in 12): dead 16.8, roof live" in text
    assert "Dead 15 psf on the slope" in text and text.count("tied on the plates") == 1
    assert "Left (" not in record_text(example())


def test_the_column_that_others_are_marked_against_stands_first() -> None:
    text = record_text(example(), "Short seat")
    assert 'THE OPTIONS SIDE BY SIDE; * = DIFFERS FROM "AS DRAWN"' in text
    kept = with_options(example(), [Option("As drawn"), Option("Short seat", seat=2)])
    page = agreement_page(agree(kept, "1 May 2026", "Short seat", "builder"))
    x = {label.text: label.x for label in page.labels}
    assert x["As drawn"] < x["Chosen: Short seat"]


LONG = "It was weighed with care, the crew and the owner being of one mind, because of "


@pytest.mark.parametrize(
    ("paper", "sets"), [("letter", ((2, 1), (2, 4), (3, 3), (6, 1), (6, 12))), ("tabloid", ((2, 12), (6, 4), (6, 12)))]
)
def test_long_texts_wrap_and_are_never_cut(paper: str, sets: tuple[tuple[int, int], ...]) -> None:
    """Texts that still fit are all there, and what does not fit is said in one sentence; nothing in between."""
    fitted = 0
    for many, lines in sets:
        reasons = [f"{LONG * 2}reason number {i}." for i in range(lines)]
        points = [(f"{LONG}point number {i}?", "the engineer of record, by letter") for i in range(lines)]
        job = replace(house(many), title="A house of long words on the hill above the valley and the river by the mill")
        job = agree(job, "on the first Monday of November 2026", "As it stands", THERE, reasons, points)
        try:
            page = agreement_page(job, paper=paper)
        except InputError as error:
            (said,) = error.problems
            assert "no room for the section on one page" in said and paper in said
            continue
        fitted += 1
        assert wrong_on(page) == []
        assert all(holds(page, text) for text in (*reasons, *(point for point, _ in points), f"House: {job.title}."))
    assert 2 <= fitted < (len(sets) + (paper == "tabloid"))


def test_the_pdf_is_one_page(tmp_path: Path) -> None:
    """Read back: letter paper, one page, every label's text there, no letter under 7 pt, and the section true to scale:
    26 ft at 1/8 in to the foot is 3 1/4 in, 234 pt, between the outside faces of the walls.
    """
    job = agreed_on(2)
    path = tmp_path / "agreed.pdf"
    assert rl.agreement_sheet(job, path) == (path,)
    pdf, placed = pypdf.PdfReader(path), agreement_page(job)
    (page,) = pdf.pages
    assert [float(side) for side in page.mediabox[2:]] == [792, 612]
    text = "".join(page.extract_text().split())
    assert [label.text for label in placed.labels if "".join(label.text.split()) not in text] == []
    stream = ContentStream(page.get_contents(), pdf)
    sizes = [float(operands[1]) for operands, operator in stream.operations if operator == b"Tf"]
    assert sizes and min(sizes) >= LEAST
    assert "1/8\" = 1'-0\"" in page.extract_text()
    ends = sorted(x for one in placed.shapes if one.name.endswith("plate") for x, _ in one.points)
    assert ends[-1] - ends[0] == pytest.approx(234, abs=0.1)
    there = {round(float(v[0]), 1) for v, operator in stream.operations if operator in (b"m", b"l")}
    assert {round(ends[0], 1), round(ends[-1], 1)} <= there


def test_files(tmp_path: Path) -> None:
    job = agreed_on(2)
    for name, start in (("a.svg", b"<?xml"), ("a.png", b"\x89PNG"), ("a.pdf", b"%PDF")):
        (made,) = rl.agreement_sheet(job, tmp_path / name)
        assert made.read_bytes().startswith(start)
    again = rl.agreement_sheet(job, tmp_path / "b.pdf")[0].read_bytes()
    assert again == (tmp_path / "a.pdf").read_bytes()  # the same agreement gives the same bytes
    with pytest.raises(InputError, match="nothing is overwritten"):
        rl.agreement_sheet(job, tmp_path / "a.pdf")
    refused: list[tuple[Any, str, str]] = [
        (tmp_path / "c.doc", "letter", ".pdf, .svg, .png"), (tmp_path / "c.pdf", "A4", "letter or tabloid"),
        (tmp_path / "no" / "c.svg", "letter", "cannot be written"), (None, "letter", "name of a file"),
    ]  # fmt: skip
    for path, paper, words in refused:
        with pytest.raises(InputError, match=words):
            rl.agreement_sheet(job, path, paper)
    with pytest.raises(InputError, match="none is kept in this job"):
        rl.agreement_sheet(house(2), tmp_path / "d.pdf")
    assert len(list(tmp_path.iterdir())) == 4


def test_an_older_agreement_can_be_printed() -> None:
    job = agree(agreed_on(3), "25 November 2026", "Longer seat", "builder")
    first, last = agreements_in(job)
    assert holds(agreement_page(job), "Date: 25 November 2026.") and last.option == "Longer seat"
    assert holds(agreement_page(job, first), "Date: 24 November 2026.")


# --- sections side by side -------------------------------------------------------------------------------------------

FRAMES = ((796.0, 322.0, 11.0), (1262.0, 440.0, 22.0), (600.0, 180.0, 7.5))


def wrong_in(page: Layout, made: list[OptionResult]) -> list[str]:
    """What is wrong with a picture of sections: a text that is missing, on another, on a line or outside."""
    wrong, boxes = [], [label.box for label in page.labels]
    for label, (x0, y0, x1, y1) in zip(page.labels, boxes, strict=True):
        if min(x0, y0) < -0.01 or x1 > page.width + 0.01 or y1 > page.height + 0.01:
            wrong.append(f"{label.text} leaves the frame")
    for one, other in combinations(page.labels, 2):
        a, b = one.box, other.box
        if a[0] < b[2] - 0.01 and b[0] < a[2] - 0.01 and a[1] < b[3] - 0.01 and b[1] < a[3] - 0.01:
            wrong.append(f"{one.text} touches {other.text}")
    rings = [(*p.points, p.points[0]) if isinstance(p, Shape) else p.points for p in page.parts]
    tree = STRtree([LineString(ring) for ring in rings])
    for label, (x0, y0, x1, y1) in zip(page.labels, boxes, strict=True):
        for index in tree.query(box(x0 + 0.01, y0 + 0.01, x1 - 0.01, y1 - 0.01), predicate="intersects"):
            wrong.append(f"{label.text} lies on {page.parts[index].name}")
    letters = words_of(page)
    for told in made:
        truss = told.scissor
        texts = [told.option.name, f"height {feet_inches(truss.height)}", f"rise {feet_inches(truss.ceiling_rise)}"]
        texts += [feet_inches(end.heel) for end in truss.ends]
        wrong += [f"{text} is missing" for text in texts if "".join(text.split()) not in letters]
    return wrong


def random_sets(count: int) -> Iterator[list[OptionResult]]:
    rng = random.Random(3)
    while count:
        wide, pitch = rng.randrange(96, 721, 6), rng.randrange(4, 30) / 2
        two, base = rng.random() < 0.3, example()
        names = rng.sample([*(name for name, _ in CHANGES), "N" * 40, "Some name of forty letters, of many words"], 6)
        options = [
            option_of(name[:40], base, span=wide, pitch=(pitch, pitch + 1) if two else pitch, lumber="2x12",
                      seat=2 + i / 4, ceiling_pitch=rng.randrange(0, 8) / 2, overhang=rng.randrange(0, 49, 4),
                      window_width=24)
            for i, name in enumerate(names[: rng.randrange(2, 7)])
        ]  # fmt: skip
        try:
            yield list(solve_options(options, base))
        except InputError:
            continue
        count -= 1


def test_sections_at_one_scale() -> None:
    """Two to six options in frames of screen and paper: every text there and free, all plates of a row on one line."""
    pairs = [[*solve_options([Option("A"), Option("B", seat=3)], job)] for job in cases()]
    for made in [*random_sets(8), *pairs]:
        for wide, tall, size in FRAMES:
            page = option_sections(made, wide, tall, size)
            assert wrong_in(page, made) == [], (made[0].option, wide)
            assert (page.width, page.height) == (wide, tall)
            walls = [shape for shape in page.shapes if shape.name.endswith(" plate") and "lower" not in shape.name]
            assert len(walls) >= 2 * len(made)


def test_sections_are_drawn_to_their_scale() -> None:
    """26 ft between the outside faces is 312 times the scale for each of six options."""
    made = list(solve_options([option_of(name, example(), **changes) for name, changes in CHANGES], example()))
    page = option_sections(made, 796, 322)
    left = [min(x for x, _ in s.points) for s in page.shapes if s.name == "rafter wall plate"]
    right = [max(x for x, _ in s.points) for s in page.shapes if s.name == "truss wall plate"]
    assert [b - a for a, b in zip(left, right, strict=True)] == pytest.approx([312 * page.scale] * 6)
    assert all(name in page.description for name, _ in CHANGES)


def test_no_room_is_one_sentence() -> None:
    made = solve_options([Option("A"), Option("B")], example())
    with pytest.raises(InputError, match="Sections of 2 options: no room for them at any scale"):
        option_sections(made, 100, 40)
    with pytest.raises(InputError, match="Options: 7; 1 to 6"):
        option_sections(made[:1] * 7, 900, 500)
