"""Files are written whole or not at all, and nothing is written over."""

from __future__ import annotations

import os
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
