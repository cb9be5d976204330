"""Changes of the job file: only what was touched is written, one writer at a time, whole or not at all.

What must come out is the sum of what each writer did, said in the tests themselves; the file is read with ``json``.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import rooflab as rl
from rooflab import InputError
from rooflab.base import files
from rooflab.job.agreement import agree
from rooflab.job.jobfile import SHEET, Job, blank_job, example
from rooflab.job.option import Option, adopt, option_of, options_in, with_options
from rooflab.job.schedule import TrussType
from rooflab.job.values import job_with
from rooflab.job.writing import Conflict, agreed_fields, change, document_of, fields_of, merged
from tests.tools.depth import QUICK
from tests.tools.strategies import bounded, jobs


def sheet(job: Job, **words: str) -> Job:
    return replace(job, sheet={**job.sheet, **words})


def loads(job: Job, **given: Any) -> Job:
    return replace(job, loads={**job.loads, **given})


@bounded(40)
@given(job=jobs())
def test_fields_are_the_whole_file(job: Job) -> None:
    """Whatever a job holds: its fields give its document again, and a change of nothing leaves it as it is."""
    document = job.document()
    again = document_of(fields_of(job))
    assert {name: value for name, value in document.items() if value not in ({}, [])} == {
        name: value for name, value in again.items() if value not in ({}, [])
    }
    assert merged(example(), example(), job, {}) == (job, ())
    assert merged(job, sheet(job, contact="me"), sheet(job, contact="me"), {}) == (sheet(job, contact="me"), ())


def test_both_sides_are_kept(tmp_path: Path) -> None:
    """Two read the same file; one changes the seat, an option, a type's remark, the other words, a load, a decision."""
    path = tmp_path / "house.json"
    start = with_options(example(), [Option("A", seat="3"), Option("B", seat="4")])
    start.save(path)
    kinds = tuple(replace(kind, remark="early") if kind.mark == "B" else kind for kind in start.types)
    one = with_options(start, [Option("A", seat="2 1/2"), Option("B", seat="4"), Option("C", seat="5")])
    one = replace(one, types=kinds).with_(rafters=start.rafters.with_(seat=5.5))
    two = loads(sheet(start, address="12 Hill Road"), ground_snow=40)
    two = replace(two, decisions=({"agreed": "1 May"},), types=(replace(start.types[0], length=252.0), start.types[1]))
    assert change(path, start, one).conflicts == change(path, start, two).conflicts == ()
    file = json.loads(path.read_text(encoding="utf-8"))
    assert file["rafters"]["seat"] == "5 1/2 in" and file["sheet"]["address"] == "12 Hill Road"
    assert file["loads"]["ground_snow"] == 40 and file["decisions"] == [{"agreed": "1 May"}]
    assert [row["option"] for row in file["options"]] == ["A", "B", "C"] and file["options"][0]["seat"] == "2 1/2 in"
    assert (file["types"][0]["length"], file["types"][1]["remark"]) == ("21 ft 0 in", "early")


def test_what_was_taken_away_stays_away(tmp_path: Path) -> None:
    path = tmp_path / "house.json"
    start = with_options(example(), [Option("A", seat="3"), Option("B", seat="4")])
    sheet(start, contact="them").save(path)
    change(path, start, with_options(replace(start, loads={}), [Option("B", seat="4")]))
    now = Job.load(path)
    assert [one.name for one in options_in(now)] == ["B"] and now.loads == {} and now.sheet["contact"] == "them"


def test_the_same_field_changed_twice_is_asked_about(tmp_path: Path) -> None:
    """Nothing is written until it is said which holds; what is said of one value does not settle another."""
    path = tmp_path / "house.json"
    theirs = loads(sheet(example(), revision="B"), top_dead=15)
    mine = loads(sheet(example(), revision="C", address="12 Hill Road"), top_dead=12)
    theirs.save(path)
    before = path.read_bytes()
    done = change(path, example(), mine)
    assert done.job is None and path.read_bytes() == before
    assert set(done.conflicts) == {
        Conflict("sheet.revision", "Revision", "B", "C"),
        Conflict("loads.top_dead", "Top chord dead (TCDL)", "15", "12"),
    }  # fmt: skip
    revision, dead = sorted(done.conflicts, key=lambda one: one.label)
    assert "B" in str(revision) and "C" in str(revision)
    assert change(path, example(), mine, {revision: True}).conflicts == (dead,) and path.read_bytes() == before
    sheet(theirs, revision="D").save(path)  # it changes once more
    assert [one.file for one in change(path, example(), mine, {revision: True, dead: False}).conflicts] == ["D"]
    theirs.save(path)
    change(path, example(), mine, {revision: True, dead: False})
    now = Job.load(path)
    assert (now.sheet["revision"], now.loads["top_dead"], now.sheet["address"]) == ("C", 15, "12 Hill Road")


def test_changes_that_do_not_fit_each_other_are_refused(tmp_path: Path) -> None:
    """A seat of 5 in fits a plate of 5 1/2, and not one of 3 1/2 (a seat lies on its plate)."""
    path = tmp_path / "house.json"
    start = example()
    gable = rl.Gable("26'", 8, "3 1/2", 16)
    start.with_(rafters=rl.RafterBay(gable, "2x10", "3 1/2")).save(path)
    before = path.read_bytes()
    with pytest.raises(InputError, match="both changes do not fit each other"):
        change(path, start, start.with_(rafters=start.rafters.with_(seat=5)))
    assert path.read_bytes() == before


def test_a_damaged_file_is_never_written_over(tmp_path: Path) -> None:
    (tmp_path / "house.json").write_bytes(b"{")
    with pytest.raises(InputError, match="not JSON at line 1"):
        change(tmp_path / "house.json", example(), sheet(example(), revision="B"))
    assert (tmp_path / "house.json").read_bytes() == b"{" and len(list(tmp_path.iterdir())) == 1


def test_a_file_that_is_gone_is_begun_again(tmp_path: Path) -> None:
    change(tmp_path / "house.json", blank_job(), sheet(blank_job(), revision="B"))
    assert Job.load(tmp_path / "house.json") == sheet(blank_job(), revision="B")


# --- what was agreed -------------------------------------------------------------------------------------------------

DAY = "1 May 2026"


def agreed_job(*options: Option, job: Job | None = None, date: str = DAY) -> Job:
    """A house that was agreed on as the first of these options, as the table leaves it in the file."""
    kept = with_options(job or example(), options)
    return agree(adopt(options[0], kept), date, options[0].name, "builder")


def told(done: tuple[Conflict, ...]) -> dict[str, str]:
    return {one.place: str(one) for one in done}


def test_what_was_agreed_is_asked_about_though_nobody_else_changed_the_file(tmp_path: Path) -> None:
    """Ceiling 4 in 12 and seat 3 1/2 were agreed on; words and what is not agreed on are written at once."""
    path = tmp_path / "house.json"
    start = agreed_job(option_of("A", example()), option_of("B", example(), pitch=9))
    start.save(path)
    before = path.read_bytes()
    wanted = sheet(job_with(start, {"ceiling_pitch": 5, "seat": 3}), contact="me")
    done = change(path, start, wanted)
    assert done.job is None and path.read_bytes() == before
    assert told(done.conflicts) == {
        "trusses.ceiling_pitch": f"Ceiling pitch: agreed on {DAY}: 4 in 12; here: 5 in 12.",
        "rafters.seat": f"Seat: agreed on {DAY}: 3 1/2 in; here: 3 in.",
    }
    pitch, seat = sorted(done.conflicts, key=str)
    assert change(path, start, wanted, {pitch: True}).conflicts == (seat,) and path.read_bytes() == before
    assert change(path, start, wanted, {pitch: True, seat: False}).conflicts == ()
    file = json.loads(path.read_text(encoding="utf-8"))
    assert (file["trusses"]["ceiling_pitch"], file["rafters"]["seat"]) == ("5 in 12", "3 1/2 in")
    assert file["sheet"]["contact"] == "me" and file["decisions"] == json.loads(before)["decisions"]
    assert change(path, Job.load(path), loads(Job.load(path), ground_snow=40)).conflicts == ()


def test_back_to_what_was_agreed_is_not_asked_and_further_away_is(tmp_path: Path) -> None:
    path = tmp_path / "house.json"
    start = agreed_job(option_of("A", example()), option_of("B", example(), pitch=9))
    away = job_with(start, {"ceiling_pitch": 5})
    away.save(path)
    (asked,) = change(path, away, job_with(away, {"ceiling_pitch": 6})).conflicts
    assert str(asked) == f"Ceiling pitch: agreed on {DAY}: 4 in 12; the file has 5 in 12 now; here: 6 in 12."
    assert change(path, away, job_with(away, {"ceiling_pitch": 4})).conflicts == ()
    assert Job.load(path) == start


def test_the_last_agreement_holds_and_what_it_leaves_to_the_house_is_free(tmp_path: Path) -> None:
    """The first fixed the pitch, the second one nothing but a seat; a note among the decisions is no agreement."""
    path = tmp_path / "house.json"
    short, long = option_of("A", example(), pitch=9), Option("Long seat", seat="5 1/2")
    first = agreed_job(short, long)
    second = agree(adopt(long, first), "2 May 2026", "Long seat", "builder")
    second = replace(second, decisions=(*second.decisions, {"mud": 1}))
    second.save(path)
    assert change(path, second, job_with(second, {"pitch": 10})).conflicts == ()
    now = Job.load(path)
    (asked,) = change(path, now, job_with(now, {"seat": 3.5, "pitch": 8})).conflicts
    assert str(asked) == "Seat: agreed on 2 May 2026: 5 1/2 in; here: 3 1/2 in."
    for gone in (replace(now, decisions=()), with_options(now, [short])):  # agreed on nothing; its option taken away
        assert agreed_fields(gone) is None
        gone.save(path)
        assert change(path, gone, job_with(gone, {"seat": 3.5})).conflicts == ()


def test_unequal_ends_and_both_reasons_to_ask(tmp_path: Path) -> None:
    """8 and 6 in 12 were agreed on; the file has changed the seat meanwhile, which both sides then have changed."""
    path = tmp_path / "house.json"
    start = agreed_job(option_of("A", example(), pitch=(8, 6)), option_of("B", example()))
    job_with(start, {"seat": 4}).save(path)
    done = change(path, start, job_with(start, {"pitch": (8, 7), "seat": 3}))
    assert told(done.conflicts) == {
        "gable.pitch": f"Roof pitch: agreed on {DAY}: 8 in 12 and 6 in 12; here: 8 in 12 and 7 in 12.",
        "rafters.seat": f"Seat: agreed on {DAY}: 3 1/2 in; the file has 4 in now; here: 3 in.",
    }
    change(path, start, job_with(start, {"pitch": (8, 7), "seat": 3}), dict.fromkeys(done.conflicts, True))
    assert Job.load(path).gable.pitch == (8.0, 7.0) and Job.load(path).rafters.seat == 3


def test_what_stays_as_agreed_has_to_fit_what_is_new(tmp_path: Path) -> None:
    """A seat of 5 1/2 was agreed on; a plate of 3 1/2 and a seat of 3 fit each other, and that plate not that seat."""
    path = tmp_path / "house.json"
    start = agreed_job(option_of("A", example(), seat="5 1/2"), option_of("B", example()))
    start.save(path)
    before, wanted = path.read_bytes(), job_with(start, {"bearing": 3.5, "seat": 3})
    bearing, seat = sorted(change(path, start, wanted).conflicts, key=lambda one: one.label)
    with pytest.raises(InputError, match="What stays as agreed and what is new do not fit"):
        change(path, start, wanted, {bearing: True, seat: False})
    assert path.read_bytes() == before


def test_who_agrees_anew_is_not_asked_about_the_agreement_before(tmp_path: Path) -> None:
    path = tmp_path / "house.json"
    start = agreed_job(option_of("A", example()), option_of("B", example(), ceiling_pitch=5))
    start.save(path)

    def write(job: Job) -> Job:
        made = agree(job, "2 May 2026", "B", "builder")
        made.save(path)
        return made

    wanted = adopt(options_in(start)[1], start)
    done = change(path, start, wanted, write=write)
    assert done.conflicts == () and done.job == Job.load(path)
    again = adopt(options_in(start)[0], done.job)
    (asked,) = change(path, done.job, again).conflicts
    assert asked.agreed == ("2 May 2026", "5 in 12")
    job_with(done.job, {"ceiling_pitch": 6}).save(path)  # by hand, meanwhile
    (asked,) = change(path, done.job, again, write=write).conflicts
    assert (asked.file, asked.mine, asked.agreed) == ("6 in 12", "4 in 12", None)


FREE = {  # values that any of the others fits beside: field, then the first one is as the example has it
    "span": ("gable.span", 312.0, 320.0, 300.5), "pitch": ("gable.pitch", 8.0, 9.0, (8.0, 7.5)),
    "overhang": ("gable.overhang", 16.0, 12.0, 14.25), "seat": ("rafters.seat", 3.5, 3.0, 2.25),
    "ceiling_pitch": ("trusses.ceiling_pitch", 4.0, 3.0, (4.0, 3.5)), "lumber": ("rafters.stock", "2x10", "2x12"),
    "chord": ("trusses.chord", "2x4", "2x6"), "ridge": ("rafters.ridge", "2x12", "none"),
}  # fmt: skip


@bounded(60)
@given(st.data())
def test_whatever_is_agreed_and_whatever_is_written(data: st.DataObject) -> None:
    """Asked is what the agreement holds and the file would hold otherwise, and no more; then each is as was said."""

    def some(what: str) -> dict[str, Any]:
        names = data.draw(st.sets(st.sampled_from(sorted(FREE))), what)
        return {name: data.draw(st.sampled_from(FREE[name][1:]), f"{what}: {name}") for name in sorted(names)}

    held, later, mine = some("agreed on"), some("changed since"), some("written")
    start = agreed_job(Option("A", **held), Option("B"))
    file = job_with(start, later)
    wanted = sheet(job_with(file, mine), contact="me")
    usual = {name: row[1] for name, row in FREE.items()}
    now, then = {**usual, **held, **later}, {**usual, **held, **later, **mine}
    must = {FREE[name][0] for name in held if then[name] != held[name] and then[name] != now[name]}
    job, asked = merged(file, wanted, file, {}, None, agreed_fields(file))
    assert {one.place for one in asked} == must
    assert job == (file if must else wanted)
    says = {one: data.draw(st.booleans(), one.label) for one in asked}
    job, asked = merged(file, wanted, file, says, None, agreed_fields(file))
    keeps = {one.place for one, takes in says.items() if not takes}
    last = {name: now[name] if FREE[name][0] in keeps else then[name] for name in FREE}
    assert asked == () and job == sheet(job_with(file, last), contact="me")


# --- two at once -----------------------------------------------------------------------------------------------------

SAVES = """
import sys
from dataclasses import replace
from rooflab.job.jobfile import Job, example
from rooflab.job.writing import change
path, word, load, count = *sys.argv[1:4], int(sys.argv[4])
print("ready", flush=True)
sys.stdin.readline()
base = Job.load(path)
for number in range(1, count + 1):
    mine = replace(base, sheet={**base.sheet, word: str(number)}, loads={**base.loads, load: number % 50},
                   notes=(*base.notes, f"{word} {number}") if number % 50 == 0 else base.notes)
    done = change(path, base, mine)
    assert not done.conflicts
    base = done.job
"""


def test_a_thousand_saves_of_two_processes(tmp_path: Path) -> None:
    """Each its own fields, 500 times: in the end the last of both are there, and all of their notes."""
    path, count = tmp_path / "house.json", 100 if QUICK else 500
    blank_job().save(path)
    sides = (("revision", "top_dead"), ("contact", "bottom_dead"))
    running = [
        subprocess.Popen(
            [sys.executable, "-c", SAVES, str(path), *side, str(count)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        for side in sides
    ]
    for process in running:
        assert process.stdout is not None and process.stdout.readline()
    for process in running:
        process.communicate(b"go\n", timeout=300)
        assert process.returncode == 0
    now = Job.load(path)
    assert now.sheet == {"revision": str(count), "contact": str(count)}
    assert now.loads == {"top_dead": 0, "bottom_dead": 0}
    for word, _ in sides:
        wanted = [f"{word} {number}" for number in range(50, count + 1, 50)]
        assert [note for note in now.notes if note.startswith(word)] == wanted
    assert [one.name for one in tmp_path.iterdir()] == ["house.json"]


def test_two_threads_change_one_file(tmp_path: Path) -> None:
    path, problems = tmp_path / "house.json", list[BaseException]()
    blank_job().save(path)

    def work(word: str) -> None:
        try:
            base = Job.load(path)
            for number in range(1, 101):
                done = change(path, base, sheet(base, **{word: str(number)}))
                assert done.job is not None
                base = done.job
        except BaseException as error:
            problems.append(error)

    threads = [threading.Thread(target=work, args=(word,)) for word in ("revision", "contact")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not problems and Job.load(path).sheet == {"revision": "100", "contact": "100"}
    assert [one.name for one in tmp_path.iterdir()] == ["house.json"]


# --- killed, held, refused -------------------------------------------------------------------------------------------

KILLED = """
import sys
from dataclasses import replace
from rooflab.job.jobfile import Job
from rooflab.job.writing import change
path = sys.argv[1]
base = Job.load(path)
print("ready", flush=True)
while True:
    number = (int(base.sheet.get("revision", "0")) + 1) % 1000
    base = change(path, base, replace(base, sheet=dict.fromkeys(base.sheet, str(number)))).job
"""


def test_two_hundred_saves_that_are_killed(tmp_path: Path) -> None:
    """Each leaves the old file or the new, whole; the lock of the killed is free; the next save clears what is left."""
    path = tmp_path / "house.json"
    start = replace(example(), sheet=dict.fromkeys(SHEET, "0"), notes=("n" * 900,) * 40)
    start.save(path)
    left, saves = 0, 0
    for seed in range(12 if QUICK else 200):
        with subprocess.Popen([sys.executable, "-c", KILLED, str(path)], stdout=subprocess.PIPE) as process:
            assert process.stdout is not None and process.stdout.readline()
            time.sleep(random.Random(seed).uniform(0, 0.06))
            process.kill()
        now = Job.load(path)
        assert len(set(now.sheet.values())) == 1 and now == replace(start, sheet=now.sheet)
        saves += now.sheet["revision"] != "0"
        left += len(list(tmp_path.iterdir())) > 1
    assert left and saves, "no process was killed while it wrote"
    began = time.monotonic()
    sheet(start, revision="last").save(path)
    assert time.monotonic() - began < 2
    if os.name != "nt":
        assert [one.name for one in tmp_path.iterdir()] == ["house.json"]


def test_a_file_that_another_holds_is_waited_for_not_without_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "house.json"
    example().save(path)
    before, held, done = path.read_bytes(), threading.Event(), threading.Event()

    def hold() -> None:
        with files.locked(path, "Job file"):
            held.set()
            done.wait(20)

    thread = threading.Thread(target=hold)
    thread.start()
    assert held.wait(20)
    with monkeypatch.context() as patch:
        patch.setattr(files, "LOCK_WAIT", 0.2)
        for write in (lambda: blank_job().save(path), lambda: change(path, example(), blank_job())):
            with pytest.raises(InputError, match="another program has been writing it"):
                write()
    threading.Timer(0.2, done.set).start()
    change(path, example(), sheet(example(), revision="B"))
    thread.join()
    assert Job.load(path).sheet["revision"] == "B" != json.loads(before)["sheet"]["revision"]


def test_a_folder_that_is_read_only_gives_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "house.json"
    example().save(path)
    tmp_path.chmod(0o555)
    try:
        if os.access(tmp_path, os.W_OK):
            pytest.skip("this account may write everywhere")
        for write in (lambda: blank_job().save(path), lambda: change(path, example(), blank_job())):
            with pytest.raises(InputError, match="cannot be written"):
                write()
    finally:
        tmp_path.chmod(0o755)
    assert Job.load(path) == example()


def test_a_folder_that_refuses_the_lock_gives_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*args: Any) -> int:
        raise PermissionError(13, "Permission denied")

    path = tmp_path / "house.json"
    example().save(path)
    with monkeypatch.context() as patch:
        patch.setattr(files.os, "open", refuse)
        with pytest.raises(InputError, match="Job file house.json: cannot be written .Permission denied"):
            blank_job().save(path)
    assert Job.load(path) == example()


def test_a_disk_without_locks_is_written_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(number: int) -> None:
        raise OSError(files.errno.ENOLCK, "No locks available")

    monkeypatch.setattr(files, "_hold", none)
    change(tmp_path / "house.json", example(), sheet(example(), revision="B"))
    assert Job.load(tmp_path / "house.json").sheet["revision"] == "B"


def test_a_file_made_read_only_is_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "house.json"
    example().save(path)
    path.chmod(0o444)
    with pytest.raises(InputError, match="it is read-only"):
        change(path, example(), sheet(example(), revision="B"))
    assert Job.load(path) == example() and len(list(tmp_path.iterdir())) == 1


def test_a_type_that_is_new_in_the_file_stays(tmp_path: Path) -> None:
    path = tmp_path / "house.json"
    replace(example(), types=(*example().types, TrussType("C", 120.0))).save(path)
    change(path, example(), loads(example(), top_dead=12))
    assert [kind.mark for kind in Job.load(path).types] == ["A", "B", "C"]
