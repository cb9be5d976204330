"""What is presented: the job file for the table, looked at before anything starts, and the one cell that is run."""

from __future__ import annotations

import ast
import json
import os
from pathlib import Path

import pytest

from rooflab.job.jobfile import example
from rooflab.start import command as start
from rooflab.start.copies import CannotStart
from rooflab.start.present import cell, job_file, write_notebook

ODD = "a house, ü \U0001f3e0 'g' #1"


def test_the_table_takes_what_present_takes_and_a_job_file() -> None:
    command, args = start.read_command(["table"])
    assert (command, args.workbook, args.job, args.handouts) == ("present", "08", "", None)
    command, args = start.read_command(["table", "mine.json", "--folder", "copy", "--no-browser", "--port", "9000"])
    assert (args.job, args.folder, args.browser, args.port) == ("mine.json", "copy", False, 9000)
    _, same = start.read_command(["present", "08"])
    assert (same.workbook, getattr(same, "job", "")) == ("08", "")


def test_the_job_file_is_the_one_named_or_that_of_the_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    named = tmp_path / ODD / "job of june.json"
    named.parent.mkdir()
    example().save(named)
    assert job_file(f"{ODD}/job of june.json", tmp_path) == job_file(str(named), tmp_path) == named
    assert job_file("", tmp_path) == tmp_path / "house.json"  # it is begun at the table
    monkeypatch.setenv("HOME", str(tmp_path / ODD))
    monkeypatch.setenv("USERPROFILE", str(tmp_path / ODD))
    assert job_file("~/job of june.json", tmp_path) == named


@pytest.mark.parametrize("named", [True, False])
def test_what_cannot_be_used_gets_one_sentence_and_nothing_is_begun(
    named: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A folder, a file that is damaged, one of another kind; where it is named, none at all: no copy is made."""
    copy = tmp_path / "copy"
    file = (tmp_path if named else copy) / "house.json"
    copy.mkdir()
    monkeypatch.setattr(start, "lacking", lambda lines: [])
    words = ["table", *([str(file)] if named else []), "--folder", str(copy)]

    def said() -> str:
        assert start.main(words) == 1
        assert [path for path in copy.iterdir() if path != file] == []
        (line,) = capsys.readouterr().out.splitlines()
        assert line.startswith("rooflab: ")
        return line

    if named:
        assert f"there is no file {file}; name a job file, or none to use that of your copy." in said()
    file.mkdir()
    assert f"{file} is a folder; name a job file, such as {file / 'house.json'}." in said()
    file.rmdir()
    cases = {b"{": "not JSON at line 1", b"": "it is empty", b'{"a": 1}': "'a' is not known here", b"\xff": "UTF-8"}
    for content, why in cases.items():
        file.write_bytes(content)
        line = said()
        assert why in line and f"Mend {file} in a text editor, or name another file." in line
        assert file.read_bytes() == content
    document = example().document() | {f"x{number}": 1 for number in range(9)}
    file.write_text(json.dumps(document), encoding="utf-8")
    assert "And 8 more. Mend" in said()


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="permissions are POSIX, and not the root's")
def test_a_file_that_may_not_be_read_gets_a_sentence(tmp_path: Path) -> None:
    file = tmp_path / "house.json"
    example().save(file)
    file.chmod(0)
    with pytest.raises(CannotStart, match="house.json"):
        job_file(str(file), tmp_path)


def test_somebody_elses_home_gets_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(CannotStart, match="~nobody-of-this-name/house.json cannot be used as a job file"):
        job_file("~nobody-of-this-name/house.json", tmp_path)


@pytest.mark.parametrize("name", ["house.json", f"{ODD}.json", 'C:/Jobs "new"/h.json', "half \udce9.json"])
def test_the_one_cell_names_the_file_as_it_is(name: str, tmp_path: Path) -> None:
    """Whatever stands in the path, quotes or half a character: the cell's source holds it, and is kept as JSON."""
    tree = ast.parse(cell("08-options-with-the-builder.ipynb", "../..", name))
    assert [node.value for node in ast.walk(tree) if isinstance(node, ast.Constant)].count(name) == 2
    path = tmp_path / name
    book = write_notebook(tmp_path, "08-options-with-the-builder.ipynb", tmp_path, path)
    (only,) = json.loads((tmp_path / book).read_text(encoding="utf-8"))["cells"]
    assert only["source"] == cell("08-options-with-the-builder.ipynb", ".", path.as_posix())
    assert "live.room" in cell("01-one-roof-plane.ipynb", "../..")
