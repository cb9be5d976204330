"""Cut sheet and template as the person at the saw reads them: what stops the saw, and the facts they need.

Limits are worked here from depth, pitch and seat alone: a notch is m seat / k deep, at most D/4 (IRC R802.7.1), leaves
2 in of stock (NAVEDTRA 14044 p. 67) and 3 1/2 in of a tail that reaches at most 2 ft (IRC R802.7.1.1); a seat is
1 1/2 in long at least (IRC R802.6).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import sqrt
from pathlib import Path
from typing import Any

import pytest

import rooflab as rl
from rooflab import InputError, feet_inches
from rooflab.base.inputs import pair
from rooflab.draw.scene import Layout
from rooflab.draw.sheets.cut_words import CutOrder, cut_for, cut_order, stops
from rooflab.draw.sheets.cutting import sheet_pages
from rooflab.draw.sheets.site_card import card_of, card_page
from rooflab.draw.sheets.template import template
from rooflab.house.cutting import Cut
from rooflab.job.jobfile import Job, blank_job, example, rounded_heels
from rooflab.job.option import option_of, with_options
from tests.tools.cuts import cut, random_cuts
from tests.tools.jobs import uneven_jobs
from tests.tools.pages import paper_faults, pdf_text


def words_of(page: Layout) -> str:
    return " ".join(label.text for label in page.labels)


def expected(one: Cut) -> set[str]:
    """What must stop the saw, by hand."""
    bay, right = one.bay, one.end == "right"
    m, seat = bay.gable.slopes[right], pair(bay.seat)[right]
    overhang, notch = pair(bay.gable.overhang)[right], m * seat / sqrt(1 + m * m)
    left, hair = bay.depth - notch, 1e-6
    found = {
        "more than a quarter": notch > bay.depth / 4 + hair,
        "of stock left above the seat": left < 2 - hair,
        "left past the notch": overhang > 0 and left < 3.5 - hair,
        "a notched tail may reach": overhang > 24 + hair,
        "long: less than": seat < 1.5 - hair,
    }
    return {words for words, wrong in found.items() if wrong}


WORDS = (
    "more than a quarter", "of stock left above the seat", "left past the notch", "a notched tail may reach",
    "long: less than",
)  # fmt: skip


def test_two_hundred_rafters_are_stopped_where_a_limit_is_missed_and_nowhere_else() -> None:
    """On both pages of the cut sheet and on every page of the template, as one whole sentence in large type."""
    many: dict[str, int] = dict.fromkeys((*WORDS, "none"), 0)
    for name, one in random_cuts(200, 14):
        wanted = expected(one)
        sentences = stops(one)
        assert {words for words in WORDS if any(words in said for said in sentences)} == wanted, name
        assert len(sentences) == len(wanted), name
        pages = [*sheet_pages(one)]
        try:
            pages += template(one)
        except InputError as error:  # no birdsmouth, or too many pages
            assert "no birdsmouth" in str(error) or "pages of letter paper" in str(error)
        for page in pages:
            text = words_of(page)
            assert ("STOP" in text) == bool(wanted), name
            for said in sentences:
                assert said in text, (name, said)
            for label in page.labels:
                if label.text.startswith("STOP"):
                    assert label.size >= 12, name
        for words in wanted or ("none",):
            many[words] += 1
    assert min(many.values()) >= 3, many  # so each of them was seen


def test_the_notch_of_a_2x6_on_a_full_plate_by_hand() -> None:
    """8 in 12: 5 1/2 x 0.5547 = 3.051, a quarter of 5 1/2 is 1.375; 2.449 are left for the tail."""
    said = stops(cut(lumber="2x6", seat=5.5))
    assert said[0] == (
        'STOP: notch 3 1/16" of 5 1/2": more than a quarter (1 3/8"). Engineer and building official before cutting.'
    )
    assert said[1].startswith('STOP: 2 7/16" left past the notch to carry the tail: less than 3 1/2".')
    assert stops(cut()) == ()


def test_lengths_that_read_alike_are_told_apart() -> None:
    """9 in 12: 0.6 x 3.86 = 2.316 against 2.3125, both 2 5/16 on a tape."""
    (said,) = stops(cut(pitch=9, seat=3.86))
    assert "notch 2.316 in" in said and "a quarter (2.312 in)" in said


# --- the level cut on the tail ---------------------------------------------------------------------------------------


def test_the_level_cut_of_the_example_by_hand(tmp_path: Path) -> None:
    """Tails 6.9106 apart make a cut of 10.366; of the plumb cut 11.1171 - 10.366 x 2/3 = 4.2065 is left; along the
    bottom edge it begins at (171.25 - 10.366) x 1.20185 = 193.36 (k = 1.20185)."""
    job = example()
    path = rl.cut_sheet(job.rafters, tmp_path / "sheet.pdf", job=job)
    text = pdf_text(path)
    for words in (
        'level cut 10 3/8"', 'down that cut 4 3/16", and level 10 3/8" in', "Inside end of the level tail cut",
        "16'-1 3/8\"", 'tail +4" of run', 'Spacing: 16" o.c.', "Option: base design",
    ):  # fmt: skip
        assert words in text, words
    made = cut_for(job.rafters, "left", "ridge", cut_order(job.rafters, "left", job))
    (inside, low), (outside, high) = made.level_line
    assert low == made.depth and sqrt((inside - outside) ** 2 + (low - high) ** 2) == pytest.approx(10.366, abs=1e-3)
    assert (outside - inside) / (low - high) == pytest.approx(12 / 8)  # level, on a rafter that lies level
    assert {(inside, low), (outside, high)} <= set(made.outline)


def test_a_level_cut_without_room_stops_the_saw() -> None:
    wanted = Cut(cut(overhang=6).bay, "left", "ridge", 10.0)
    assert not wanted.has_level_cut
    (said,) = stops(wanted)
    assert 'level tail cut 10" long' in said and 'overhang of 6"' in said and "Cut no tail" in said
    assert all(said in words_of(page) for page in sheet_pages(wanted))


def test_a_right_end_has_its_own_soffit() -> None:
    """A house and the same seen in a mirror: what one has on the left the other has on the right."""
    ends = [rl.Gable("26'", (8, 6), 5.5, (16, 20), 97.125), rl.Gable("26'", (6, 8), 5.5, (20, 16), 97.125)]
    bays = [rl.RafterBay(ends[0], "2x10", (3.5, 3)), rl.RafterBay(ends[1], "2x10", (3, 3.5))]
    trusses = [rl.ScissorBay(gable, 3, rounded_heels(bay)) for gable, bay in zip(ends, bays, strict=True)]
    for one, other in (("left", "right"), ("right", "left")):
        here = rl.tail_and_soffit(bays[0].handed_over(), trusses[0], one)
        there = rl.tail_and_soffit(bays[1].handed_over(), trusses[1], other)
        assert here and there and here.level_cut == pytest.approx(there.level_cut) and here.level_cut > 1
    with pytest.raises(InputError, match="End: top is not left or right"):
        rl.tail_and_soffit(bays[0], trusses[0], "top")


# --- words of the job ------------------------------------------------------------------------------------------------


def test_words_of_the_job_and_what_people_typed(tmp_path: Path) -> None:
    job = example().with_(grade="DFL No.2", rafter_spacing=19.2, sheet={"project": "Barn by the creek"})
    typed: dict[str, Any] = {"job": job, "date": "30 November 2026", "quantity": 40}
    papers: tuple[Callable[..., Path], ...] = (rl.cut_sheet, rl.birdsmouth_template)
    for number, write in enumerate(papers):
        text = pdf_text(write(job.rafters, tmp_path / f"{number}.pdf", end="right", **typed))
        for words in (
            "Job: House on the slope (example) \u00b7 Barn by the creek", "Date: 30 November 2026",
                "Quantity: 40", "Grade: DFL No.2",
            'Spacing: 19.2" o.c.', "Right end", "Option: base design",
        ):  # fmt: skip
            assert words in text, words
        other = pdf_text(write(cut(lumber="2x12").bay, tmp_path / f"other {number}.pdf", **typed))
        assert "Option: NOT the base design" in other
        bare = pdf_text(write(job.rafters, tmp_path / f"bare {number}.pdf"))
        assert "Job: ____" in bare and "Date: ____" in bare and "Grade: ____" in bare


def test_an_option_is_named_only_for_its_own_rafter(tmp_path: Path) -> None:
    house = example()
    job = with_options(house, [option_of("Longer seat", house, seat=5.5), option_of("As it is", house)])
    bay = rl.RafterBay(job.gable, "2x10", 5.5)
    text = pdf_text(rl.cut_sheet(bay, tmp_path / "a.pdf", job=job, option="Longer seat"))
    assert "Option: Longer seat" in text and "STOP: notch" in text
    for option, said in (("Steeper", "this job has Longer seat, As it is"), ("As it is", "is not the one to be cut")):
        with pytest.raises(InputError, match=said):
            rl.cut_sheet(bay, tmp_path / "b.pdf", job=job, option=option)
    for words in ("x" * 100, "a\nb", 3.5):
        with pytest.raises(InputError, match="Date: "):
            rl.cut_sheet(bay, tmp_path / "b.pdf", date=words)  # type: ignore[arg-type]
    assert not (tmp_path / "b.pdf").exists()


# --- what each reader needs ------------------------------------------------------------------------------------------


def facts(one: Cut, order: CutOrder) -> Iterator[str]:
    """What whoever cuts needs, worked from depth, pitch, seat and run."""
    bay, right = one.bay, one.end == "right"
    end, m, seat = bay.ends[right], bay.gable.slopes[right], pair(bay.seat)[right]
    k, half = sqrt(1 + m * m), bay.ridge_size[0] / 2
    line, total = (end.run - half) * k, (end.run - half + end.overhang) * k
    yield from (feet_inches(line), feet_inches(total), feet_inches(total + bay.depth * m))
    yield from (f"seat {feet_inches(seat)}", f"heel {feet_inches(bay.depth * k - m * seat)}")
    if end.overhang:  # without one the plumb line down to the seat is the rafter's end
        yield f"heel cut {feet_inches(m * seat)}"
    yield from (f"Job: {order.job}", f"{one.end.capitalize()} end")
    yield from (order.spacing, "crown up", "fall protection", "Do not overcut", "two people", "miter saw")


def test_a_framer_finds_every_fact_on_thirty_jobs(tmp_path: Path) -> None:
    for number, job in enumerate(uneven_jobs(30, 41)):
        end = ("left", "right")[number % 2]
        order = cut_order(job.rafters, end, job, date="30 November 2026", quantity=24)
        one = cut_for(job.rafters, end, "ridge", order)
        typed: dict[str, Any] = {"end": end, "job": job, "date": "30 November 2026", "quantity": 24}
        sheet = pdf_text(rl.cut_sheet(job.rafters, tmp_path / f"{number}.pdf", **typed))
        found = [sheet]
        for page in sheet_pages(one, order):
            assert paper_faults(page, 28) == [], number
            assert all(label.size >= 10 or label.size == 9 and label.y > 540 for label in page.labels)  # 9: the foot
        try:
            paper = ("letter", "tabloid")[number % 3 == 0]
            pages = template(one, paper, order)
        except InputError:
            pages = ()
        else:
            found.append(pdf_text(rl.birdsmouth_template(job.rafters, tmp_path / f"t{number}.pdf", paper, **typed)))
        for page in pages:
            assert paper_faults(page, 18) == [], number
        for text in found:
            missing = [fact for fact in facts(one, order) if " ".join(fact.split()) not in text]
            assert missing == [], number
        if one.has_level_cut:
            assert f"level cut {feet_inches(one.level_cut)}" in sheet, number


def test_a_rafter_over_its_capacity_or_under_its_window_head_is_stopped(tmp_path: Path) -> None:
    """2x6 DFL No.2 over 15 ft with 31.5 psf of roof snow (0.7 x 45) and 12 of dead load on plan, 16" o.c.: 58 plf x
    15^2 / 8 = 1630 lb ft, 2590 psi on 7.56 in^3, against 900 x 1.3 x 1.15 x 1.15 = 1547 (NDS).  30" out the roof line
    is 20" lower: even a 2x4 tail ends under a window head 82" above the floor."""
    gable = rl.Gable("30'", 8, 5.5, 30, 97.125)
    rafters = rl.RafterBay(gable, "2x6", 2)
    job = Job("Low eave", rafters, rl.ScissorBay(gable, 2, rounded_heels(rafters)), grade="DFL No.2",
              loads={"ground_snow": 45, "dead": 10})  # fmt: skip
    assert 97.125 + (5.5 - 3.5) * sqrt(13) / 3 - 2 * 2 / 3 - 30 * 2 / 3 < 82  # underside of a 2x4 under that roof line
    for number, write in enumerate((rl.cut_sheet, rl.birdsmouth_template)):
        text = pdf_text(write(rafters, tmp_path / f"{number}.pdf", job=job))
        assert "STOP: soffit line not met" in text
        assert "STOP: rafter over its capacity: bending" in text
    text = pdf_text(rl.site_card(job, tmp_path / "card.pdf"))
    assert "STOP: soffit line not met" in text and "STOP: rafter over its capacity: bending" in text
    unknown = job.with_(grade="")
    assert not any("capacity" in said for said in stops(Cut(rafters), cut_order(rafters, "left", unknown)))
    house = example()
    made = cut_order(house.rafters, "left", house)
    assert stops(cut_for(house.rafters, "left", "ridge", made), made) == ()


def test_project_and_title_are_both_on_the_papers(tmp_path: Path) -> None:
    job = example().with_(title="Barn, phase two", sheet={"project": "Creek farm"})
    for number, write in enumerate((rl.cut_sheet, rl.birdsmouth_template)):
        text = pdf_text(write(job.rafters, tmp_path / f"{number}.pdf", job=job))
        assert "Creek farm" in text and "Barn, phase two" in text


def test_papers_of_a_house_nobody_gave_dimensions_for_say_so_on_every_page(tmp_path: Path) -> None:
    """A new job opens with the example's numbers: no sheet for the saw goes out as if they were its own."""
    job = blank_job()
    order = cut_order(job.rafters, "left", job)
    made = cut_for(job.rafters, "left", "ridge", order)
    cards = (card_page(card_of(job), size) for size in ("letter", "phone"))
    for page in (*sheet_pages(made, order), *template(made, order=order), *cards):
        assert "NOT ISSUED: dimensions not confirmed for this job" in words_of(page), page.title
    house = example()
    order = cut_order(house.rafters, "left", house)
    assert "NOT ISSUED" not in " ".join(map(words_of, sheet_pages(cut(), order)))


def test_words_on_a_template_are_upright_and_large(tmp_path: Path) -> None:
    """Only the ruler's millimetres stand on their side; what stops the saw stands once on a page, in one frame."""
    for job in (example(), *uneven_jobs(8, 3)):
        order = cut_order(job.rafters, "left", job, date="30 November 2026", quantity=24)
        made = cut_for(job.rafters, "left", "ridge", order)
        try:
            pages = template(made, order=order)
        except InputError:
            continue
        for page in pages[:-1]:
            text = words_of(page)
            assert {label.text for label in page.labels if label.turned} <= {"100 mm"}
            assert all(label.size >= 10 for label in page.labels if label.name not in ("inches", "millimetres"))
            for words in ("Print at 100 %", " ".join(job.title.split()), "Quantity: 24", "30 November 2026", "Grade:"):
                assert words in text, words
            for said in stops(made, order):
                assert text.count(said) == 1
            assert sum(shape.name == "stop" for shape in page.shapes) == bool(stops(made, order))
            assert paper_faults(page, 18) == []
