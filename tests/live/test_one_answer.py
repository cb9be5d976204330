"""One house, one answer: every view of one job file says the same of its limits, its rafters and its insulation."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from rooflab import Gable, Job, RafterBay, ScissorBay, live
from rooflab.base.findings import VERDICTS, Finding
from rooflab.base.inputs import pair
from rooflab.base.measure import on_center
from rooflab.checks.assumptions import ALWAYS, carries, house_findings
from rooflab.draw.sheets.wording import checked, rafter_loads
from rooflab.job.agreement import agree, agreements_in
from rooflab.job.backwards import ask_backwards, findings_of_house
from rooflab.job.jobfile import example, rounded_heels
from rooflab.job.maps import map_of
from rooflab.job.option import Option, option_of, solve_option, with_options
from rooflab.job.seat_grid import seat_grid
from rooflab.job.sweep import sweep
from rooflab.job.table import finding_names, table_of
from rooflab.job.values import bays_of, house_of
from rooflab.job.wishes import wish
from rooflab.live.topics.section import section_panel
from rooflab.live.widgets.job_desk import start
from rooflab.shop.returns import own_bays, own_marks
from rooflab.shop.walls import measured_walls


def house(gable: Gable, lumber: str, seat: Any, ridge: str, **rest: Any) -> Job:
    rafters = RafterBay(gable, lumber, seat, ridge)
    return Job("One house", rafters, ScissorBay(gable, rest.pop("ceiling", 4), rounded_heels(rafters)), **rest)


HOUSES = {
    "the example": example(),
    "short seat": house(Gable("26'", 8, "5 1/2", 16), "2x10", 2, "2x12"),
    "board too low": house(Gable("26'", 8, "5 1/2", 16), "2x12", "3 1/2", "2x12"),
    "much given": house(
        Gable("28'", 7, "7 1/4", 20, 108, 0.75, 100), "2x10", 4, "2x12", loads={"ground_snow": 50, "dead": 18,
        "snow_exposure": 1.2, "importance": 1.1, "thermal": 1.2}, grade="HF No.2", rafter_spacing=24.0,
        insulation={"material": "polyiso", "r_required": 49, "edition": "2021"}, finish=(0.625, 0.75),
    ),
    "full height": house(
        Gable("24'", 9, "5 1/2", 12), "2x12", "2", "none", insulation={"per_inch": 6.5, "r_required": 38},
        loads={"snow": 31, "live": 25},
    ),
    "ends that differ": house(
        Gable("27'", (8, 6), ("5 1/2", "3 1/2"), (16, 12), (97.125, 99)), "2x10", (3.5, 3), "2x12", ceiling=(4, 3),
        loads={"ground_snow": 40}, insulation={"r_required": 30},
    ),
    "tie at a third": house(
        Gable("26'", 8, "5 1/2", 16), "2x10", "3 1/2", "2x12", loads={"snow": 43, "tie_height": "2'-10\""},
    ),
    "no tie": house(Gable("26'", 8, "5 1/2", 16), "2x10", "3 1/2", "2x12", loads={"tie_height": "none"}),
    "snow on one side, low tie": house(
        Gable("26'", 5, "5 1/2", 16), "2x10", "3 1/2", "2x12", ceiling=2, loads={"ground_snow": 55, "tie_height": 10},
    ),
    "tie between ends that differ": house(
        Gable("27'", (6, 9), ("5 1/2", "3 1/2"), (16, 12), (97.125, 99)), "2x12", (3.5, 3), "2x12", ceiling=(2, 3),
        loads={"ground_snow": 50, "tie_height": "1'-6\""},
    ),
    "tie in the middle third": house(
        Gable("26'", 8, "5 1/2", 16), "2x12", "3 1/2", "2x12", loads={"tie_height": 48, "plate_species": "SPF"},
    ),
}  # fmt: skip


@pytest.fixture(params=HOUSES)
def job(request: Any, tmp_path: Path) -> Job:
    """A house as it comes back from its file."""
    HOUSES[request.param].save(tmp_path / "house.json")
    return Job.load(tmp_path / "house.json")


def answer(job: Job) -> dict[str, Finding]:
    """What the job's own values come to, worked out alone."""
    return house_findings(*bays_of(house_of(job)), job.assumptions)


def test_ties_and_snow_are_asked() -> None:
    """What each of these houses is there for: its tie misses, is asked or is missing, snow on one side governs.

    Bending of 0.72 of the simple span is 0.72 x 2.19 = 1.58 with the tie at 34 of 104 in (statics; IRC R802.4.1).
    """
    found = {name: answer(one) for name, one in HOUSES.items()}
    third = found["tie at a third"]
    assert third["rafter.rafter_bending"].value == pytest.approx(0.72, abs=0.005)
    assert third["rafter.tie_bending"].value == pytest.approx(1.58, abs=0.01)
    assert third["rafter.tie_bending"].verdict == third["rafter.tie_height"].verdict == "misses"
    early = section_panel(**start(HOUSES["tie at a third"])).state.carries
    assert early.verdict == "misses" and early.text == f"{100 * third['rafter.tie_bending'].value:.0f} % used"
    assert (early.word, "2.19 times" in early.why) == ("bending with tie", True)
    untied = found["no tie"]
    assert untied["rafter.ridge_beam"].verdict == "misses" and "rafter.tie_height" not in untied
    heavy = found["snow on one side, low tie"]
    for name in ("rafter_bending", "tie_bending"):
        assert "dead + snow on one side" in heavy[f"rafter.{name}"].sentence
    assert heavy["rafter.tie_bending"].verdict != "meets"
    assert found["tie between ends that differ"]["rafter.tie_bending"].verdict != "meets"
    assert found["tie in the middle third"]["rafter.tie_height"].verdict == "misses"
    assert found["the example"]["rafter.tie_height"].verdict == "meets"


def worst(rows: Any) -> int:
    return max(VERDICTS.index(f.verdict) for f in rows if f.name.removesuffix("_right") not in ALWAYS)


def same_as(own: dict[str, Finding], rows: Any, kind: str) -> None:
    """Every finding of a panel is one of the house's, of that bay, by name, value and verdict."""
    for f in rows:
        mine = own[f"{kind}.{f.name}"]
        assert (f.verdict, f.value, f.limit) == (mine.verdict, mine.value, mine.limit), (f, mine)


def test_the_section_the_options_and_what_is_asked_backwards(job: Job) -> None:
    own, once = answer(job), tuple(dict.fromkeys(answer(job).values()))
    state = section_panel(**start(job)).state
    assert state.findings == once and state.assumptions == job.assumptions
    made = solve_option(option_of("As it stands", job), job)
    assert made.findings == once and made.carries == state.carries == carries(state.rafters, job.assumptions)
    assert solve_option(Option("The house"), job).findings == once
    panel = live.options_panel(job=job).responder
    assert panel.state.before.findings == once
    if not any(isinstance(value, tuple) for value in house_of(job).values()):  # a box holds one end
        assert panel.state.now.findings == once
    assert findings_of_house(house_of(job)) == own
    met = ask_backwards(job, [wish("findings", "all meet")], ()).options
    assert bool(met) == (worst(once) == 1) and not (met and met[0].changes)


def test_the_table_and_what_is_agreed(job: Job) -> None:
    own = answer(job)
    kept = with_options(job, [Option("As it stands"), Option("Other", overhang=10)])
    said = agree(kept, "1 May", "As it stands", "builder")
    figures = dict(agreements_in(said)[0].figures)
    texts = {row.key: row.texts[0] for row in table_of([solve_option(Option("As it stands"), job)])}
    assert figures == texts
    for verdict in ("misses", "ask"):
        names = dict.fromkeys(f.name.removesuffix("_right") for f in own.values() if f.verdict == verdict)
        mine = [name.replace("_", " ") for name in names if name not in ALWAYS]
        assert sorted(finding_names(solve_option(Option("A"), job), verdict)) == sorted(mine)
        assert texts[verdict].partition(":")[0] == (str(len(mine)) if mine else "none")


def test_the_sweep_the_map_and_the_grid(job: Job) -> None:
    own = answer(job)
    counted = {key: f.verdict for key, f in own.items() if f.name.removesuffix("_right") not in ALWAYS}
    swept = sweep(job)
    assert {key: VERDICTS[int(swept.verdict(key))] for key in swept.findings if swept.verdict(key)} == counted
    state = max(map(VERDICTS.index, counted.values()))
    drawn = map_of(job, "overhang", "pitch")
    assert int(swept.state) == drawn.spots[0].state == state
    left = [pair(getattr(job.gable, name)) for name in ("overhang", "pitch")]
    if all(one == other for one, other in left):  # a place on the map is one value for both ends
        assert int(drawn.at([left[0][0]], [left[1][0]])[0]) == state
    grid = seat_grid(job)
    for cell in (cell for row in grid.rows for cell in row if cell.present):
        names = {key.partition(".")[2].removesuffix("_right").replace("_", " ")
                 for key, verdict in counted.items() if verdict != "meets"}  # fmt: skip
        assert cell.word == VERDICTS[state] and set(cell.names) == names


def test_each_cell_of_the_grid_is_the_map_there(job: Job) -> None:
    """Seats under 3 in (is it masonry?) and a ridge board of less than the plumb cut ask or miss in both."""
    if isinstance(job.rafters.seat, tuple):
        pytest.skip("a cell holds one seat for both ends")
    for row in seat_grid(job).rows:
        for cell in row:
            made = sweep(job, lumber=[cell.lumber], seat=[cell.seat])
            assert cell.word == VERDICTS[int(made.state[0, 0])], cell


def test_the_panels_of_each_workbook(job: Job) -> None:
    own = answer(job)
    same_as(own, live.cut_panel(job=job).responder.topic.findings(live.cut_panel(job=job).responder.state), "rafter")
    loads = live.load_panel(job=job).responder
    same_as(own, loads.state.findings, "rafter")
    push = live.force_panel("pair", job=job).responder
    same_as(own, push.state.findings, "rafter")
    warm = live.warm_panel(job=job).responder
    for kind, word in (("rafter", "rafter"), ("scissor", "truss")):
        shown = next(f for f in warm.state.findings if f.name == f"{word} over_plate")
        mine = next(f for key, f in own.items() if key.startswith(f"{kind}.")
                    and f.name in ("over_plate", "r_to_agree", "sloped_attic"))  # fmt: skip
        assert (shown.verdict, shown.value, shown.limit) == (mine.verdict, mine.value, mine.limit)
    plates = solve_option(Option("The house"), job).plates
    texts = {row.key: row.text for _, rows in warm.rows() for row in rows}
    assert texts["rafter.r_outside"] == f"R-{plates[0].values['r_outside']:.0f}"
    if job.scissor.equal_ends:  # both show one end
        shape, jog = live.shape_panel(job=job).responder, live.jog(job=job, way="beam").responder
        truss = bays_of(house_of(job))[1]
        assert truss == shape.state == jog.state.jog.long == jog.state.bay
        same_as(own, [f for f in shape.topic.findings(shape.state) if f.name != "soffit_line"], "scissor")
        same_as(own, [f for f in jog.state.findings if f.name not in ("soffit_line", "gable_end_heel")], "scissor")


def test_the_sheet_says_what_was_assumed(job: Job) -> None:
    for line in rafter_loads(job):
        assumed = job.assumptions
        assert f"{assumed.grade}, {on_center(assumed.spacing)}, {assumed.tied}" in line
        assert ("the tie's height" in line) == ("tie_height" not in job.loads)
        assert all(checked(assumed.loads.sentence(slope)) in line for slope in job.gable.slopes)


def test_a_picture_of_the_lessons_house_is_the_examples() -> None:
    """Pictures 7 and 9 of workbook 01: the same boxes, the same early check."""
    seven, nine = live.one_plane().responder.state, section_panel(**start(example())).state
    assert seven.carries == nine.carries and seven.findings == nine.findings


def test_the_table_the_bench_and_the_field_ask_for_the_same_heels(job: Job, tmp_path: Path) -> None:
    """Three meetings on one file: what the table draws, and what returned drawings and set trusses are held against."""
    table = live.together(job, tmp_path / "house.json").sitting.result_of()
    main = [end.heel for end in table.scissor.ends]
    assert main == [end.heel for end in main_bay(job).ends]
    walls = measured_walls(job)
    assert [wall.asked for wall in walls.walls] == main
    assert [wall.drawn_seat for wall in walls.walls] == [*pair(table.option.values["seat"])]
    assert dict(table.option.value_pairs).get("span", job.rafters.gable.span) == main_bay(job).gable.span


def main_bay(job: Job) -> ScissorBay:
    """The trusses that a returned drawing of the first mark is held against."""
    return own_bays(job)[own_marks(job)[0]]
