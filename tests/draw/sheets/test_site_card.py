"""The site card: every fact whoever stands on the ladder needs, on one page of either size, in large type.

Lengths are worked here from depth, pitch and seat; the seat for a measured heel is (D k - heel) / m.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from math import sqrt
from pathlib import Path
from typing import Any

import pypdf
import pytest
from matplotlib.image import imread

import rooflab as rl
from rooflab import InputError, feet_inches, live
from rooflab.base.inputs import pair
from rooflab.draw.sheets.cut_words import stops
from rooflab.draw.sheets.site_card import MARGINS, SIZES, card_of, card_page
from rooflab.house.cutting import Cut
from rooflab.job.jobfile import Job, example, rounded_heels
from rooflab.job.option import option_of, with_options
from tests.tools.jobs import uneven_jobs
from tests.tools.pages import paper_faults, pdf_text

STATIONS = [("0", "8 3/4"), ("2 ft", "9 1/16"), ("4 ft", "8 13/16"), ("6 ft", "8 13/16")]


def facts(job: Job, end: str) -> Iterator[str]:
    right = end == "right"
    bay, m = job.rafters, job.gable.slopes[right]
    k, seat, side = sqrt(1 + m * m), pair(job.rafters.seat)[right], job.rafters.ends[right]
    run = side.run - bay.ridge_size[0] / 2
    yield from (f"Heel height (HAP) {feet_inches(bay.depth * k - m * seat)}", f"Seat {feet_inches(seat)}")
    yield f"Notch {feet_inches(m * seat / k)} of {feet_inches(bay.depth)}"
    yield from (f"Building line {feet_inches(run * k)}", f"Cut length {feet_inches((run + side.overhang) * k)}")
    yield f"Tail, along the edge {feet_inches(side.overhang * k) if side.overhang else 'none'}"
    yield from ("building official", "engineer", "truss designer", "Never cut, notch or drill", "crown up")
    yield from ("fall protection", "Two people", "Bearings reset on:", f"{end} end", " ".join(job.title.split()))
    yield job.sheet.get("architect", "architect")


@pytest.mark.parametrize("size", SIZES)
def test_every_fact_is_on_the_card_of_thirty_jobs(size: str, tmp_path: Path) -> None:
    rng = random.Random(5)
    for number, job in enumerate(uneven_jobs(30, 52)):
        end = ("left", "right")[number % 2]
        heel = job.rafters.ends[end == "right"].heel
        rows = [(f"{2 * i} ft", round(16 * (heel - rng.random() / 2)) / 16) for i in range(5)] + [("12 ft", heel)]
        measured = rows if number % 3 else None
        card = card_of(job, end, measured)
        page = card_page(card, size)
        assert paper_faults(page, MARGINS[size] - 2) == [], number
        assert min(label.size for label in page.labels if label.text != "fold here") >= 10, number
        assert (page.width, page.height) == ((612, 792) if size == "letter" else (4 * 72, 8 * 72))
        path = rl.site_card(job, tmp_path / f"{number}.pdf", size, end, measured=measured)
        assert len(pypdf.PdfReader(path).pages) == 1
        text = pdf_text(path)
        assert [fact for fact in facts(job, end) if fact not in text] == [], number
        for said in stops(Cut(job.rafters, end)):
            assert said in text, number
        if measured is None:
            assert "not measured yet" in text and "Before a shim" not in text
        else:
            assert "only as the truss designer directs" in text
            for (where, tall), row in zip(rows, rl.shim_schedule(rows).rows, strict=True):
                assert f"{where}: {f'shim {feet_inches(row.shim)}' if row.shim else 'leave'}" in text, (number, tall)


def test_the_seat_for_the_set_trusses_by_hand(tmp_path: Path) -> None:
    """Highest heel 9 1/16: (11.1171 - 9.0625) x 1.5 = 3.082, a seat of 3 1/16; the others are 5/16 and 1/4 low."""
    text = pdf_text(rl.site_card(example(), tmp_path / "a.pdf", "phone", measured=STATIONS, reset="2 December 2026"))
    for words in (
        'Heel height (HAP) 9 1/16"', 'Seat 3 1/16"', 'Aim for 9 1/16"', '0: shim 5/16"', "2 ft: leave",
        '4 ft: shim 1/4"', 'drawn 3 1/2"', "Bearings reset on: 2 December 2026", 'Level tail cut 10 3/8"',
    ):  # fmt: skip
        assert words in text, words
    assert "STOP" not in text
    as_drawn = card_of(example(), measured=[("0", "8 13/16"), ("2 ft", "8 3/4")])
    assert ("Seat", '3 1/2"') in as_drawn.figures()  # 8 13/16 is the heel that was drawn


def test_what_stops_the_work_is_on_the_card() -> None:
    far = card_of(example(), measured=[("0", "8 13/16"), ("2 ft", "8"), ("4 ft", "8 1/8")])
    assert far.stops == ('STOP: shims over 3/4" at 2 ft. Engineer first.',)
    low = card_of(example(), measured=[("0", "7"), ("2 ft", "7")])
    assert len(low.stops) == 1 and low.stops[0].startswith("STOP: No seat can do it")
    deep = card_of(example(), measured=[("0", "7 1/2")])  # (11.1171 - 7.5) x 1.5 = 5.43: a notch of 3.01
    assert any("notch 3\" of 9 1/4\": more than a quarter" in said for said in deep.stops)
    apart = card_of(example(), measured=[("0", "8 3/4", "1/4"), ("2 ft", "8 3/4", 0)])
    assert apart.seat is None and any("Plates differ" in words for words in apart.plane())
    for card in (far, low, deep, apart):
        for size in SIZES:
            text = " ".join(label.text for label in card_page(card, size).labels)
            assert all(said in text for said in card.stops)
            assert paper_faults(card_page(card, size), MARGINS[size] - 2) == []


def unequal() -> Job:
    """24 ft, 9 and 6 in 12, 2x6 on full plates of 5 1/2 and 3 1/2 in that stand 12 in apart; 30 psf of ground snow."""
    gable = rl.Gable("24'", (9, 6), (5.5, 3.5), 16, (97.125, 109.125))
    rafters = rl.RafterBay(gable, "2x6", (5.5, 3.5))
    scissor = rl.ScissorBay(gable, 2, rounded_heels(rafters))
    words = {"project": "Hill Road", "architect": "An office of architects"}
    return Job("Unequal house", rafters, scissor, grade="DFL No.2", loads={"ground_snow": 30}, sheet=words)


def test_a_new_seat_at_one_end_says_what_becomes_of_the_ridge_and_of_the_other_rafter() -> None:
    """By hand, 8 in 12: heel 9 1/16 - (11.1171 - 2.3333) = 0.2787 higher; both roof planes then meet 0.2787 / (2 x 2/3)
    = 0.209 nearer that end, 3/16", and the other rafter grows by 0.209 x 1.2019 = 0.251, 1/4"."""
    for end, other, way in (("left", "Right", "left"), ("right", "Left", "right")):
        card = card_of(example(), end, STATIONS)
        said = f'{other} end as drawn, not measured here; ridge moves 3/16" {way}; {other.lower()} rafter +1/4".'
        assert any(words.startswith(said) for words in card.plane())
        for size in SIZES:
            assert said in " ".join(label.text for label in card_page(card, size).labels)
    as_drawn = card_of(example(), measured=[("0", "8 13/16")])
    assert not any("ridge" in words for words in as_drawn.plane())
    full = card_of(unequal(), "right", [("0", "4 3/8")])  # the heel that is drawn: 5.5 x 1.1180 - 3.5 / 2 = 4.399
    assert not any("No seat" in said for said in full.stops)


def test_a_card_full_of_stops_and_stations_still_fits_a_phone(tmp_path: Path) -> None:
    """By hand: heels 1 1/4 and 1 1/2 low want more than the 3/4" that anyone but the engineer may stack."""
    for end, heel in (("left", 2.75), ("right", 4.375)):
        measured = [(f"{2 * i} ft", heel - low) for i, low in enumerate((0, 0.5, 0.25, 1.25, 0, 1.5))]
        for size in SIZES:
            text = pdf_text(rl.site_card(unequal(), tmp_path / f"{end}-{size}.pdf", size, end, measured=measured))
            for words in (
                '2 ft: shim 1/2"', '4 ft: shim 1/4"', '6 ft: 1 1/4" low: engineer, no shim',
                '10 ft: 1 1/2" low: engineer, no shim', "STOP: notch", 'shims over 3/4" at 6 ft, 10 ft',
                "Hill Road", "Unequal house", "building official", "fall protection",
            ):  # fmt: skip
                assert words in text, (end, size, words)
            assert "shim 1 1/4" not in text and "shim 1 1/2" not in text
            assert ("0 ft: leave" in text) != ("Others: leave" in text)
        card = card_of(unequal(), end, measured)
        page = card_page(card, "phone")
        assert paper_faults(page, MARGINS["phone"] - 2) == []
        for words in card.decides:  # one line, or several, of its own for each who decides
            assert any(words.startswith(label.text) for label in page.labels if len(label.text) > 12), words


def test_a_picture_for_a_phone_has_its_shape(tmp_path: Path) -> None:
    path = rl.site_card(example(), tmp_path / "a.png", "phone")
    tall, wide = imread(path).shape[:2]
    assert tall == pytest.approx(2 * wide, abs=2) and wide >= 4 * 100  # dots an inch


def test_an_option_and_bad_input(tmp_path: Path) -> None:
    house = example()
    job = with_options(house, [option_of("Longer seat", house, seat=5.5)])
    assert ("Seat", '5 1/2"') in card_of(job, option="Longer seat").figures()
    many = [(f"station {i}", 8.5) for i in range(200)] + [("last", 8.8125)]
    calls: list[tuple[dict[str, Any], str]] = [
        ({"size": "A6"}, "Card's size: A6 is not letter or phone"),
        ({"end": "top"}, "End: top is not left or right"),
        ({"measured": many}, "201 stations and the job's words do not fit on one page"),
        ({"measured": [("0", -1)]}, "heel"),
        ({"reset": "x" * 80}, "Reset on: a text of up to 60"),
        ({"option": "Steeper"}, "this job has Longer seat"),
    ]
    for given, said in calls:
        with pytest.raises(InputError, match=said):
            rl.site_card(job, tmp_path / "a.pdf", **given)
    for name in ("a.svg", "", "none/a.pdf"):
        with pytest.raises(InputError):
            rl.site_card(job, tmp_path / name if name else "")
    assert list(tmp_path.iterdir()) == []


def test_the_buttons_of_rafter_and_seam(tmp_path: Path) -> None:
    panel = live.cut_panel(seat="5 1/2", job=example())
    desk = live.cut_files(panel, str(tmp_path))
    typed = {"date": "30 November 2026", "quantity": "40", "option": ""}
    for do, ending in (("template", "birdsmouth.pdf"), ("sheet", "cut-sheet.pdf"), ("letter", "site-card.pdf")):
        assert "<b>Written:</b>" in desk.press(do, **typed), desk.answer
        (path,) = tmp_path.glob(f"*{ending}")
        text = pdf_text(path)
        assert "STOP: notch" in text and "Date: 30 November 2026" in text and "NOT the base design" in text
    assert "<b>Written:</b>" in desk.press("phone", **typed) and len(list(tmp_path.glob("*.png"))) == 1
    seam = live.field_sheet(example(), left="8 3/4, 9 1/16, 8 13/16, 8 13/16")
    site = live.field_files(seam, str(tmp_path / "site"))
    assert "<b>Written:</b>" in site.press("letter left", date="", reset="2 December 2026"), site.answer
    (path,) = (tmp_path / "site").iterdir()
    text = pdf_text(path)
    assert 'Aim for 9 1/16"' in text and "Bearings reset on: 2 December 2026" in text and "No. 3: shim" in text
    assert "<b>Written:</b>" in site.press("letter right", date="", reset=""), site.answer
    assert "not measured yet" in pdf_text(next((tmp_path / "site").glob("*right*")))
    seam.set(left="none")
    assert "Not done" in site.press("letter left") and len(list((tmp_path / "site").iterdir())) == 2
