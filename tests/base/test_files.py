"""Files are written whole or not at all, and nothing is written over."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rooflab import InputError
from rooflab.base import files


def one_sentence(call: Any, words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        call()
    assert len(caught.value.problems) == 1 and "\n" not in str(caught.value)


def test_a_path_that_cannot_be_used_is_refused_in_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "there.pdf").write_text("mine", encoding="utf-8")
    (tmp_path / "folder.pdf").mkdir()
    cases: list[tuple[Any, str]] = [
        (None, "name of a file"), ("", "name of a file"), ("a\0.pdf", "name of a file"), (tmp_path, "written as .pdf"),
        (tmp_path / "a", "written as .pdf"), (tmp_path / "a.png", "'a.png': a cut sheet is written as .pdf"),
        (tmp_path / "there.pdf", "exists already.*nothing is overwritten"), (tmp_path / "folder.pdf", "exists already"),
        (tmp_path / "none" / "a.pdf", "cannot be written"), (tmp_path / "there.pdf" / "a.pdf", "cannot be written"),
        (tmp_path / ("a" * 400 + ".pdf"), "cannot be written"),
    ]  # fmt: skip
    for path, words in cases:
        one_sentence(lambda path=path: files.new_file(path, "Cut sheet", (".pdf",)), words)
    assert files.new_file(tmp_path / "b.PDF", "Cut sheet", (".pdf",)) == tmp_path / "b.PDF"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["folder.pdf", "there.pdf"]


def test_a_folder_that_is_read_only_is_seen_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    one_sentence(lambda: files.new_file(tmp_path / "a.pdf", "Cut sheet", (".pdf",)), "nothing may be written in")


def test_a_link_that_leads_nowhere_is_a_name_that_is_used(tmp_path: Path) -> None:
    try:
        (tmp_path / "a.pdf").symlink_to(tmp_path / "nowhere.pdf")
    except OSError:
        pytest.skip("this machine makes no links")
    one_sentence(lambda: files.new_file(tmp_path / "a.pdf", "Cut sheet", (".pdf",)), "exists already")
    one_sentence(lambda: files.write_new(tmp_path / "a.pdf", b"new"), "exists already")


@pytest.mark.parametrize("links", [True, False])
def test_a_file_that_came_meanwhile_stays(links: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    if not links:
        monkeypatch.setattr(os, "link", lambda *names: (_ for _ in ()).throw(PermissionError(1, "no links here")))
    assert files.write_new(tmp_path / "new.pdf", b"new").read_bytes() == b"new"
    (tmp_path / "a.pdf").write_bytes(b"mine")
    one_sentence(lambda: files.write_new(tmp_path / "a.pdf", b"new"), "exists already")
    assert (tmp_path / "a.pdf").read_bytes() == b"mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.pdf", "new.pdf"]


@pytest.mark.parametrize("write", [files.write_new, lambda path, data: files.write_over(path, data, "Job file")])
def test_a_full_disk_leaves_nothing(write: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was there stays whole, and no half file stays beside it."""

    def full(number: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    target = tmp_path / "a.json"
    one_sentence(lambda: write(target, b"new"), "cannot be written .No space left on device")
    assert list(tmp_path.iterdir()) == []


def test_writing_over_keeps_links_and_rights(tmp_path: Path) -> None:
    (tmp_path / "real.json").write_bytes(b"old")
    try:
        (tmp_path / "link.json").symlink_to(tmp_path / "real.json")
    except OSError:
        pytest.skip("this machine makes no links")
    (tmp_path / "real.json").chmod(0o600)
    files.write_over(tmp_path / "link.json", b"new", "Job file")
    assert (tmp_path / "link.json").is_symlink() and (tmp_path / "real.json").read_bytes() == b"new"
    assert (tmp_path / "real.json").stat().st_mode & 0o777 == 0o600 or os.name == "nt"


def test_a_name_of_a_device_or_half_a_character_is_no_file_name(tmp_path: Path) -> None:
    """Reserved names as Microsoft lists them in "Naming Files, Paths, and Namespaces": with any suffix, any case."""
    for name in ("NUL.pdf", "con.pdf", "Aux .pdf", "COM1.pdf", "lpt9.x.pdf"):
        one_sentence(lambda name=name: files.new_file(tmp_path / name, "Cut sheet", (".pdf",)), "Windows keeps it")
    one_sentence(lambda: files.new_file(f"{tmp_path}/\ud83d.pdf", "Cut sheet", (".pdf",)), "the name of a file")
    for name in ("contract.pdf", "com.pdf", "com10.pdf", "a.nul.pdf"):
        files.new_file(tmp_path / name, "Cut sheet", (".pdf",))


def test_what_must_not_be_replaced_is_not(tmp_path: Path) -> None:
    """A file made read-only, a folder and a pipe stay, with one sentence."""
    (tmp_path / "a.json").write_bytes(b"mine")
    (tmp_path / "a.json").chmod(0o444)
    one_sentence(lambda: files.write_over(tmp_path / "a.json", b"new", "Job file"), "it is read-only")
    assert (tmp_path / "a.json").read_bytes() == b"mine"
    (tmp_path / "b.json").mkdir()
    one_sentence(lambda: files.write_over(tmp_path / "b.json", b"new", "Job file"), "a folder stands in its place")
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "c.json")
        one_sentence(lambda: files.write_over(tmp_path / "c.json", b"new", "Job file"), "no file stands in its place")
        assert (tmp_path / "c.json").is_fifo()


def test_two_threads_write_the_same_file(tmp_path: Path) -> None:
    """A button's press runs in a thread beside the cells: no save of either is refused, each file is one of theirs."""
    problems: list[object] = []

    def save(text: bytes) -> None:
        try:
            for _ in range(100):
                files.write_over(tmp_path / "a.json", text, "Job file")
                if (tmp_path / "a.json").read_bytes() not in (b"1" * 5000, b"2" * 5000):
                    problems.append("a mixed file")
        except (InputError, OSError) as error:
            problems.append(error)

    threads = [threading.Thread(target=save, args=(sign * 5000,)) for sign in (b"1", b"2")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not problems and [path.name for path in tmp_path.iterdir()] == ["a.json"]


@pytest.mark.parametrize("name", ["link", "unlink"])
def test_a_half_file_that_cannot_be_taken_away_does_not_spoil_the_whole_one(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A scanner of viruses holds it open: what was written is there, and its half goes with a later write."""
    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", lambda path, missing_ok=False: (_ for _ in ()).throw(PermissionError(13, "held")))
        if name == "link":
            patch.setattr(os, "link", lambda *names: (_ for _ in ()).throw(PermissionError(1, "no links here")))
        assert files.write_new(tmp_path / "a.pdf", b"whole").read_bytes() == b"whole"
    for half in tmp_path.glob(".*"):
        os.utime(half, (0, 0))  # long ago
    files.write_new(tmp_path / "b.pdf", b"whole")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.pdf", "b.pdf"]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A folder of a disk of 64 kB, where this machine lets one be made."""
    place = tmp_path / "disk"
    place.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)]
    if not shutil.which("mount") or subprocess.run(command, capture_output=True).returncode:
        pytest.skip("no disk of its own can be made here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_disk_that_is_full_leaves_no_stub_and_a_retry_works(small_disk: Path) -> None:
    (small_disk / "fill").write_bytes(bytes(40_000))
    (small_disk / "old.json").write_bytes(b"old")
    one_sentence(lambda: files.write_new(small_disk / "a.pdf", bytes(30_000)), "No space left")
    one_sentence(lambda: files.write_over(small_disk / "old.json", bytes(30_000), "Job file"), "No space left")
    assert sorted(path.name for path in small_disk.iterdir()) == ["fill", "old.json"]
    assert (small_disk / "old.json").read_bytes() == b"old"
    (small_disk / "fill").unlink()
    assert files.write_new(small_disk / "a.pdf", bytes(30_000)).stat().st_size == 30_000


WRITES = """
import sys
from pathlib import Path
from rooflab.base.files import write_new, write_over
place = Path(sys.argv[1])
number = sum(1 for _ in place.glob("new-*"))
print("ready", flush=True)
while True:
    number += 1
    write_new(place / f"new-{number}", b"n" * 1_000_000)
    write_over(place / "old", b"%d" % (number % 10) * 1_000_000, "File")
"""


def test_a_killed_process_leaves_whole_files_and_the_next_write_cleans_up(tmp_path: Path) -> None:
    (tmp_path / "old").write_bytes(b"0" * 1_000_000)
    halves = 0
    for seed in range(12):
        command = [sys.executable, "-c", WRITES, str(tmp_path)]
        with subprocess.Popen(command, stdout=subprocess.PIPE) as process:
            assert process.stdout is not None and process.stdout.readline()
            time.sleep(random.Random(seed).uniform(0, 0.05))
            process.kill()
        halves += len(list(tmp_path.glob(".*")))
        whole = [path for path in tmp_path.iterdir() if not path.name.startswith(".")]
        assert all(path.stat().st_size == 1_000_000 for path in whole)
        assert len(set((tmp_path / "old").read_bytes())) == 1
    assert halves, "no process was killed while it wrote"
    files.write_new(tmp_path / "last", b"")
    if os.name != "nt":
        assert not list(tmp_path.glob(".*"))


def test_new_files_are_there_together_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the third cannot be written, or what follows fails, the first and the second go again."""
    names, count = [tmp_path / f"a-{n}.svg" for n in range(3)], 0
    link = os.link

    def third(half: object, target: Path) -> None:
        nonlocal count
        count += 1
        if count == 3:
            target.write_bytes(b"mine")  # somebody's, meanwhile
        link(half, target)  # type: ignore[arg-type]

    with monkeypatch.context() as patch:
        patch.setattr(os, "link", third)
        with pytest.raises(InputError, match="a-2.svg.*exists already"), files.new_files(dict.fromkeys(names, b"ours")):
            raise AssertionError("not to be reached")
    assert [path.name for path in tmp_path.iterdir()] == ["a-2.svg"] and names[2].read_bytes() == b"mine"
    with pytest.raises(InputError, match="the job"), files.new_files(dict.fromkeys(names[:2], b"ours")):
        raise InputError("the job cannot be written.")
    assert [path.name for path in tmp_path.iterdir()] == ["a-2.svg"]
    with files.new_files(dict.fromkeys(names[:2], b"ours")):
        pass
    assert sorted(tmp_path.iterdir()) == names
