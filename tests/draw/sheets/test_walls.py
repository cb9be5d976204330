"""The shim list and the card to measure: read as whoever stands on the ladder does, for many trusses and two walls.

By hand, with 1/8 in: heels of 8 13/16 aim at 8 13/16, one of 8 1/2 wants 5/16 in, one of 8 in 13/16, over 3/4 in.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest

import rooflab as rl
from rooflab import InputError
from rooflab.draw.sheets.site_card import MARGINS, SIZES, card_of, card_page
from rooflab.draw.sheets.walls import LEAST_ROW, MARGIN, list_pages
from rooflab.job.jobfile import Job, example
from rooflab.job.schedule import TrussType
from rooflab.shop.walls import MeasuredWalls, measured_walls
from tests.tools.jobs import uneven_jobs, varied_jobs
from tests.tools.pages import paper_faults, pdf_text


def job_of(trusses: int) -> Job:
    return replace(example(), types=(TrussType("A", 24.0 * (trusses - 1) + 1.5),))


def heels_of(job: Job, seed: int, twice: bool = True) -> MeasuredWalls:
    """A job's trusses, most of them measured, some of them twice, a few far off."""
    rng = random.Random(seed)
    places = measured_walls(job).places

    def wall(end: int) -> str:
        asked = [place.asked[end] for place in places]
        heels = [max(round(16 * (tall - rng.choice((0, 0.1, 0.3, 0.6, 0.95)))), 1) for tall in asked]
        return ", ".join("-" if rng.random() < 0.1 else f"{heel / 16}" for heel in heels)

    earlier = (wall(0), wall(1)) if twice else ("", "")
    return measured_walls(job, wall(0), wall(1), earlier=earlier)


@pytest.mark.parametrize(("trusses", "pages"), [(1, 1), (12, 1), (24, 1), (60, 3)])
@pytest.mark.parametrize("measured", [0, 1, 2])
def test_trusses_stand_on_few_pages_in_letters_to_be_read(trusses: int, pages: int, measured: int) -> None:
    job = job_of(trusses)
    made = heels_of(job, trusses, measured == 2) if measured else measured_walls(job)
    sheets = list_pages(job, made)
    assert len(sheets) <= pages
    for page in sheets:
        assert paper_faults(page, MARGIN - 2) == []
        assert min(label.size for label in page.labels) >= LEAST_ROW / 2
    numbers = [label.text for page in sheets for label in page.labels if label.text.isdecimal()]
    assert numbers == [str(n) for n in range(1, trusses + 1)]
    shown = [label.text for page in sheets for label in page.labels]
    for wall in made.walls:
        assert not wall.stopped or "ENGINEER" in shown
        for row in wall.shimmed:
            assert rl.feet_inches(row.shim) in shown and rl.feet_inches(row.heel) in shown


def test_a_list_of_every_kind_of_job_has_no_fault() -> None:
    for number, job in enumerate((*varied_jobs(12), *uneven_jobs(12, 5))):
        for made in (measured_walls(job), heels_of(job, number)):
            for page in list_pages(job, made, "30 November 2026"):
                assert paper_faults(page, MARGIN - 2) == [], (number, made.sentence)


def test_the_list_in_print(tmp_path: Path) -> None:
    job = job_of(24)
    made = measured_walls(job, ", ".join(["8 13/16"] * 22 + ["8 1/2", "8"]), "\n".join(["8 13/16"] * 23))
    path = rl.shim_list(job, tmp_path / "list.pdf", made, "30 November 2026")
    text = pdf_text(path)
    assert len(pypdf.PdfReader(path).pages) == 1
    for words in (
        "SHIM LIST: both walls", "Date: 30 November 2026", 'AIM FOR 8 13/16"',
        'STOP: over 3/4" of shims: left No. 24.',
        'seat 3 1/2" (drawn 3 1/2")', "the ridge stays", "Bracing first", "fall protection", "never cut",
        "truss designer directs", "approves nothing", "page 1 of 1", "ENGINEER", '46\'-0"', '5/16"',
    ):  # fmt: skip
        assert words in text, words
    assert text.count("leave") == 22 + 23
    with pytest.raises(InputError, match="exists already"):
        rl.shim_list(job, path, made)
    with pytest.raises(InputError, match="Date: a text of up to"):
        rl.shim_list(job, tmp_path / "other.pdf", made, "x" * 80)
    with pytest.raises(InputError):
        rl.shim_list(job, tmp_path / "list.txt", made)


def test_the_card_to_measure_has_a_box_a_truss_and_what_was_asked_for(tmp_path: Path) -> None:
    job = example()
    (page,) = list_pages(job, measured_walls(job))
    boxes = Counter(one.name for one in page.strokes)["box"]
    assert boxes == 16 * 2 * 3  # heel, shim and a box to tick, on both walls
    text = pdf_text(rl.shim_list(job, tmp_path / "card.pdf"))
    for words in (
        "HEELS TO MEASURE", 'LEFT WALL: heel asked for 8 13/16"', "Type B: asked for 1'-5 1/2\"", "Bracing first",
        "plumb at the outside face of framing", 'seat drawn 3 1/2", measure first',
    ):  # fmt: skip
        assert words in text, words
    assert "SHIM LIST" not in text and "AIM FOR" not in text


@pytest.mark.parametrize("end", ["left", "right"])
def test_site_cards_of_both_ends_fit_with_twenty_four_trusses(end: str) -> None:
    """Both seats are those for their own planes, and what stands on the card of one end counts the other's."""
    job = job_of(24)
    made = measured_walls(job, ", ".join(["9", "8 7/8", "8 3/4", "8 1/8"] * 6), ", ".join(["9 1/16", "8 1/2"] * 12))
    for size in SIZES:
        card = card_of(job, end, made)
        page = card_page(card, size)
        assert paper_faults(page, MARGINS[size] - 2) == []
        text = " ".join(label.text for label in page.labels)
        seat = made.match.seats[end == "right"]
        assert seat and f"{rl.feet_inches(seat.seat)}" in text and "Both walls measured" in text
        assert "No. " in text or "see the shim list" in text
