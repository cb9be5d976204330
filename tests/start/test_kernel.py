"""A kernel of our start: a cell run too early says what to run, and a fresh copy leaves the old one."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from rooflab.start import kernel
from rooflab.start.copies import CannotStart, digest, files_without_edits, fresh, lay_out
from tests.tools.lessons import WORKBOOKS

NAME = "01-one-roof-plane.ipynb"


class Shell:
    """What is used of IPython's shell: its handler of errors, and what it shows."""

    def __init__(self) -> None:
        self.shown: list[object] = []

    def set_custom_exc(self, kinds: tuple[type, ...], handler: object) -> None:
        self.kinds, self.handler = kinds, handler

    def showtraceback(self, error: object, tb_offset: int | None = None) -> None:
        self.shown.append(error)


@pytest.mark.parametrize(("source", "early"), [("live.one_plane()", True), ("tape", True), ("liev.one_plane()", False)])
def test_a_name_of_another_cell_says_run_all(
    source: str, early: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A mistyped name is Python's to tell."""
    monkeypatch.setenv(kernel.NOTEBOOK, str(WORKBOOKS / NAME))
    shell = Shell()
    kernel.prepare(shell)
    assert shell.kinds == (NameError,)
    with pytest.raises(NameError) as caught:
        eval(source, {})
    kernel.explain_name(shell, NameError, caught.value, None)
    said = capsys.readouterr().out
    assert said.endswith("Choose Run > Run All Cells first.\n") == early
    assert (len(shell.shown), bool(said)) == ((0, True) if early else (1, False))


def test_another_notebook_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book = json.loads((WORKBOOKS / NAME).read_text(encoding="utf-8"))
    del book["metadata"]["rooflab"]
    (tmp_path / "mine.ipynb").write_text(json.dumps(book), encoding="utf-8")
    for name in ("mine.ipynb", "none.ipynb", ""):
        monkeypatch.setenv(kernel.NOTEBOOK, str(tmp_path / name) if name else "")
        shell = Shell()
        kernel.prepare(shell)
        assert not hasattr(shell, "kinds")


def test_a_fresh_copy_keeps_the_old_one(tmp_path: Path) -> None:
    """The workbook is as it was shipped and counts as unedited; the edited one has a dated name; twice makes two."""
    folder = tmp_path / "copy"
    lay_out(WORKBOOKS, folder)
    (folder / ".rooflab" / "data").mkdir()
    for turn in (1, 2):
        shutil.copyfile(WORKBOOKS / "02-cutting-the-rafter.ipynb", folder / NAME)  # an edit
        said = fresh(folder / NAME, folder / ".rooflab" / "data")
        assert digest(folder / NAME) == digest(WORKBOOKS / NAME)
        assert folder / NAME in files_without_edits(folder)
        old = list(folder.glob("01-one-roof-plane (until *).ipynb"))
        assert len(old) == turn and any(path.name in said for path in old)
        assert all(digest(path) == digest(WORKBOOKS / "02-cutting-the-rafter.ipynb") for path in old)
    with pytest.raises(CannotStart, match=r"mine\.ipynb is not one of the workbooks"):
        fresh(folder / "mine.ipynb", folder)
