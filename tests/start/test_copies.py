"""The user's copy of the workbooks: what is refreshed, what is kept, what goes beside it."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from rooflab.start import copies
from rooflab.start.copies import MANIFEST, STATE, CannotStart, lay_out

ROOT = Path(__file__).resolve().parents[2]


def ship(place: Path, **files: str) -> Path:
    """A folder of shipped workbooks, each with the given content."""
    folder = place / "shipped"
    folder.mkdir(exist_ok=True)
    for name, content in files.items():
        (folder / f"{name}.ipynb").write_text(content, encoding="utf-8")
    return folder


def contents(folder: Path) -> dict[str, str]:
    """The visible files of a copy."""
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*"))
        if path.is_file() and STATE not in path.parts
    }


def test_the_first_copy(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one="1", two="2"), tmp_path / "deep" / "copy"
    (shipped / "data").mkdir()
    (shipped / "data" / "sizes.csv").write_text("a", encoding="utf-8")
    for hidden in (".ipynb_checkpoints", "__pycache__"):
        (shipped / hidden).mkdir()
        (shipped / hidden / "one.ipynb").write_text("no", encoding="utf-8")
    assert lay_out(shipped, copy) == []
    assert contents(copy) == {"data/sizes.csv": "a", "one.ipynb": "1", "two.ipynb": "2"}
    assert {path.name for path in copies.files_without_edits(copy)} == {"sizes.csv", "one.ipynb", "two.ipynb"}


def test_an_edited_copy_is_kept_and_an_unedited_one_refreshed(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one="1", two="2"), tmp_path / "copy"
    lay_out(shipped, copy)
    (copy / "one.ipynb").write_text("my own", encoding="utf-8")
    assert lay_out(shipped, copy) == []  # edited, nothing new: nothing beside it
    ship(tmp_path, two="2b")
    assert lay_out(shipped, copy) == ["two.ipynb is replaced by its new version (you had not edited it)"]
    assert contents(copy) == {"one.ipynb": "my own", "two.ipynb": "2b"}
    assert [path.name for path in copies.files_without_edits(copy)] == ["two.ipynb"]


def book(*said: str, shows: str = "") -> str:
    """A notebook whose cells say this; the first one shows something."""
    cells = [{"cell_type": "code", "source": one, "outputs": []} for one in said]
    cells[0]["outputs"] = [shows] if shows else []
    return json.dumps({"cells": cells})


def test_a_copy_that_was_only_run_is_not_edited(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one=book("a", "b")), tmp_path / "copy"
    lay_out(shipped, copy)
    run = book("a", "b", shows="42")
    (copy / "one.ipynb").write_text(run, encoding="utf-8")
    assert lay_out(shipped, copy) == [] and contents(copy) == {"one.ipynb": run}  # nothing newer: left as it is
    ship(tmp_path, one=book("a", "c"))
    assert lay_out(shipped, copy) == ["one.ipynb is replaced by its new version (you had not edited it)"]
    assert contents(copy) == {"one.ipynb": book("a", "c")}


CODE: dict[str, Any] = {
    "cell_type": "code",
    "id": "a",
    "metadata": {"tags": ["setup"]},
    "execution_count": None,
    "outputs": [],
}
PROSE = {"cell_type": "markdown", "id": "b", "metadata": {}, "source": ["a ", "sketch"]}
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}


def whole_book(**changes: Any) -> str:
    """A notebook of two cells, as nbformat 4.5 describes one, with changes to ``code``, ``prose`` and ``metadata``."""
    code, prose = {**CODE, "source": "1 + 1", **changes.get("code", {})}, {**PROSE, **changes.get("prose", {})}
    about = {"kernelspec": KERNEL, "language_info": {"name": "python"}, **changes.get("metadata", {})}
    return json.dumps({"cells": [code, prose], "metadata": about, "nbformat": 4, "nbformat_minor": 5})


@pytest.mark.parametrize(
    "change",
    [
        {"code": {"metadata": {"tags": ["setup", "mine"]}}},
        {"code": {"metadata": {}}},
        {"prose": {"metadata": {"note": "ask the builder"}}},
        {"prose": {"metadata": {"slideshow": {"slide_type": "slide"}}}},
        {"prose": {"metadata": {"editable": False}}},
        {"prose": {"attachments": {"site.png": {"image/png": "iVBORw0KGgo="}}}},
        {"prose": {"cell_type": "raw"}},
        {"prose": {"source": "a sketch "}},
        {"metadata": {"authors": [{"name": "me"}]}},
        {"metadata": {"title": "our house"}},
    ],
)
@pytest.mark.parametrize("version", ["of today", "of before"])
def test_any_change_of_a_persons_is_an_edit(tmp_path: Path, change: dict[str, Any], version: str) -> None:
    """A tag, an attachment, a title: nbformat 4.5's fields that a person fills."""
    shipped, copy = ship(tmp_path, one=whole_book()), tmp_path / "copy"
    lay_out(shipped, copy)
    if version == "of before":
        record_of_before(copy)
    mine = whole_book(**change)
    (copy / "one.ipynb").write_text(mine, encoding="utf-8")
    ship(tmp_path, one=whole_book(code={"source": "2 + 2"}))
    assert lay_out(shipped, copy) == ["your edited one.ipynb is kept; its new version is beside it: one (new).ipynb"]
    assert (copy / "one.ipynb").read_text(encoding="utf-8") == mine


def record_of_before(copy: Path) -> None:
    """The manifest as earlier versions wrote it: the SHA-256 of the pairs (type, source) of a notebook's cells."""
    record = copy / STATE / MANIFEST
    known = json.loads(record.read_text(encoding="utf-8"))
    pairs = [("code", "1 + 1"), ("markdown", "a sketch")]
    known["one.ipynb" + copies.CELLS] = hashlib.sha256(json.dumps(pairs).encode()).hexdigest()
    record.write_text(json.dumps(known), encoding="utf-8")


RUN: list[dict[str, Any]] = [
    {"code": {"execution_count": 7, "outputs": [{"output_type": "stream", "name": "stdout", "text": "2"}]}},
    {"code": {"id": "9f2", "source": ["1 + ", "1"]}},
    {"code": {"metadata": {"tags": ["setup"], "trusted": True, "collapsed": True, "scrolled": True}}},
    {"code": {"metadata": {"tags": ["setup"], "execution": {"iopub.status.busy": "2026-01-01T00:00:00Z"}}}},
    {"code": {"metadata": {"tags": ["setup"], "jupyter": {"outputs_hidden": True, "source_hidden": False}}}},
    {"prose": {"attachments": {}, "metadata": {"editable": True, "slideshow": {"slide_type": ""}, "tags": []}}},
    {"metadata": {"kernelspec": {"name": "python3"}, "language_info": {"name": "python", "version": "3.13.1"}}},
    {"metadata": {"widgets": {"application/vnd.jupyter.widget-state+json": {"state": {}}}}},
]


@pytest.mark.parametrize("change", RUN)
@pytest.mark.parametrize("version", ["of today", "of before"])
def test_what_jupyterlab_writes_by_itself_is_no_edit(tmp_path: Path, change: dict[str, Any], version: str) -> None:
    """Fields of a run, of folding and of saving; also where the copy was laid out by an earlier version."""
    shipped, copy = ship(tmp_path, one=whole_book()), tmp_path / "copy"
    lay_out(shipped, copy)
    if version == "of before":
        record_of_before(copy)
    (copy / "one.ipynb").write_text(whole_book(**change), encoding="utf-8")
    newer = whole_book(code={"source": "2 + 2"})
    ship(tmp_path, one=newer)
    assert lay_out(shipped, copy) == ["one.ipynb is replaced by its new version (you had not edited it)"]
    assert contents(copy) == {"one.ipynb": newer}


def test_two_starts_at_once_lay_out_one_copy(tmp_path: Path) -> None:
    """Four processes, one folder: no error, no half file, a whole manifest."""
    shipped, copy = ship(tmp_path, **{f"b{number:03d}": book("x" * 20_000) for number in range(100)}), tmp_path / "copy"
    program = (
        "import sys, pathlib as p\nfrom rooflab.start import copies\nsys.stdin.readline()\n"
        "copies.lay_out(p.Path(sys.argv[1]), p.Path(sys.argv[2]))"
    )
    words = [sys.executable, "-c", program, str(shipped), str(copy)]
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    running = [subprocess.Popen(words, stdin=subprocess.PIPE, stderr=subprocess.PIPE, env=env) for _ in range(4)]
    for one in running:
        assert one.stdin
        one.stdin.write(b"\n")
        one.stdin.flush()
    assert [(one.communicate()[1], one.returncode) for one in running] == [(b"", 0)] * 4
    assert sorted(contents(copy)) == sorted(contents(shipped)) and len(copies.files_without_edits(copy)) == 100


def test_an_authors_own_job_is_not_shipped(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one="1"), tmp_path / "copy"
    (shipped / "house.json").write_text("{}", encoding="utf-8")
    (shipped / "to the manufacturer").mkdir()
    (shipped / "to the manufacturer" / "profiles.pdf").write_text("x", encoding="utf-8")
    lay_out(shipped, copy)
    assert contents(copy) == {"one.ipynb": "1"}


def test_a_new_version_goes_beside_an_edited_copy_once(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one="1"), tmp_path / "copy"
    lay_out(shipped, copy)
    (copy / "one.ipynb").write_text("my own", encoding="utf-8")
    ship(tmp_path, one="1b")
    assert lay_out(shipped, copy) == ["your edited one.ipynb is kept; its new version is beside it: one (new).ipynb"]
    assert contents(copy) == {"one (new).ipynb": "1b", "one.ipynb": "my own"}
    assert lay_out(shipped, copy) == []
    ship(tmp_path, one="1c")  # the one beside was not touched, so it follows
    assert len(lay_out(shipped, copy)) == 1
    assert contents(copy) == {"one (new).ipynb": "1c", "one.ipynb": "my own"}
    (copy / "one (new).ipynb").write_text("also mine", encoding="utf-8")
    assert lay_out(shipped, copy) == []
    ship(tmp_path, one="1d")
    lay_out(shipped, copy)
    kept = {"one (new 2).ipynb": "1d", "one (new).ipynb": "also mine", "one.ipynb": "my own"}
    assert contents(copy) == kept and lay_out(shipped, copy) == []


def test_a_new_version_that_was_thrown_away_does_not_come_back(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one="1"), tmp_path / "copy"
    lay_out(shipped, copy)
    (copy / "one.ipynb").write_text("my own", encoding="utf-8")
    ship(tmp_path, one="1b")
    lay_out(shipped, copy)
    (copy / "one (new).ipynb").unlink()
    assert lay_out(shipped, copy) == [] and contents(copy) == {"one.ipynb": "my own"}
    ship(tmp_path, one="1c")
    assert len(lay_out(shipped, copy)) == 1 and contents(copy)["one (new).ipynb"] == "1c"


def test_a_deleted_workbook_comes_back_and_an_adopted_one_counts_as_unedited(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one="1"), tmp_path / "copy"
    lay_out(shipped, copy)
    (copy / "one.ipynb").unlink()
    assert lay_out(shipped, copy) == [] and contents(copy) == {"one.ipynb": "1"}
    (copy / "one.ipynb").write_text("my own", encoding="utf-8")
    ship(tmp_path, one="1b")
    lay_out(shipped, copy)
    os.replace(copy / "one (new).ipynb", copy / "one.ipynb")
    assert lay_out(shipped, copy) == []
    ship(tmp_path, one="1c")
    lay_out(shipped, copy)
    assert contents(copy) == {"one.ipynb": "1c"}


@pytest.mark.parametrize("damage", ["", "{", "[1]", "\udcff", None])
def test_without_its_manifest_nothing_is_taken_for_unedited(tmp_path: Path, damage: str | None) -> None:
    shipped, copy = ship(tmp_path, one="1", two="2"), tmp_path / "copy"
    lay_out(shipped, copy)
    record = copy / STATE / MANIFEST
    record.unlink()
    if damage is not None:
        record.write_text(damage, encoding="utf-8", errors="surrogateescape")
    ship(tmp_path, one="1b")
    lay_out(shipped, copy)
    assert contents(copy) == {"one (new).ipynb": "1b", "one.ipynb": "1", "two.ipynb": "2"}
    known = {place for place in json.loads(record.read_text(encoding="utf-8")) if not place.endswith(copies.CELLS)}
    assert known == {"one (new).ipynb", "two.ipynb"}


def test_a_strangers_file_of_the_same_name_is_kept(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one="1"), tmp_path / "copy"
    copy.mkdir()
    (copy / "one.ipynb").write_text("a stranger", encoding="utf-8")
    lay_out(shipped, copy)
    assert contents(copy) == {"one (new).ipynb": "1", "one.ipynb": "a stranger"}
    assert [path.name for path in copies.files_without_edits(copy)] == ["one (new).ipynb"]


def test_a_folder_in_the_way_of_a_workbook_gets_a_sentence(tmp_path: Path) -> None:
    shipped, copy = ship(tmp_path, one="1"), tmp_path / "copy"
    (copy / "one.ipynb").mkdir(parents=True)
    with pytest.raises(CannotStart, match="cannot write the workbooks to"):
        lay_out(shipped, copy)


def test_the_default_folder(tmp_path: Path) -> None:
    assert copies.default_folder(tmp_path) == tmp_path / "rooflab-workbooks"
    (tmp_path / "Documents").mkdir()
    assert copies.default_folder(tmp_path) == tmp_path / "Documents" / "rooflab-workbooks"


def test_a_folder_is_refused_where_a_copy_would_do_harm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert copies.check_folder(Path("~/mine"), None) == tmp_path / "mine"
    monkeypatch.chdir(tmp_path)
    assert copies.check_folder(Path("mine/../yours"), tmp_path / "project") == tmp_path / "yours"
    assert copies.check_folder(tmp_path / "project" / "copy", tmp_path / "project").name == "copy"
    for part in ("workbooks", "tests", "rooflab/deep", ".venv"):
        with pytest.raises(CannotStart, match="is part of the project"):
            copies.check_folder(tmp_path / "project" / part, tmp_path / "project")
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(CannotStart, match="is a file; name a folder"):
        copies.check_folder(tmp_path / "file", None)


def test_workbooks_come_from_the_wheel_or_the_checkout(tmp_path: Path) -> None:
    package = tmp_path / "rooflab"
    with pytest.raises(CannotStart, match="there are no workbooks here"):
        copies.original_folder(package)
    for folder in (tmp_path / "workbooks", package / "workbooks"):
        folder.mkdir(parents=True)
        (folder / "01.ipynb").write_text("1", encoding="utf-8")
        assert copies.original_folder(package) == folder


def test_signed_workbooks_are_trusted_and_others_are_not(tmp_path: Path) -> None:
    nbformat = pytest.importorskip("nbformat")
    from nbformat.sign import NotebookNotary

    for name in ("one", "two"):
        cell = nbformat.v4.new_code_cell(f"print({name!r})")
        nbformat.write(nbformat.v4.new_notebook(cells=[cell]), tmp_path / f"{name}.ipynb")
    (tmp_path / "data").mkdir()
    copies.sign([tmp_path / "one.ipynb", tmp_path / "no-workbook.csv"], tmp_path / "data")
    notary = NotebookNotary(data_dir=str(tmp_path / "data"))
    trusted = [notary.check_signature(nbformat.read(tmp_path / f"{name}.ipynb", 4)) for name in ("one", "two")]
    assert trusted == [True, False]


def test_a_folder_that_links_to_itself_gets_a_sentence(tmp_path: Path) -> None:
    try:
        (tmp_path / "loop").symlink_to(tmp_path / "loop")
    except OSError:
        pytest.skip("this machine makes no links")
    with pytest.raises(CannotStart, match="is a link that leads nowhere; name a folder"):
        copies.check_folder(tmp_path / "loop", None)
