"""Workbooks stand whatever their reader does with the cells: run backwards, each twice, and without a network.

Run here, without a kernel; ``run_odd_order.py`` does the same in real ones.
"""

from __future__ import annotations

import ast
import socket
from pathlib import Path
from typing import Any

import pytest

from rooflab.live.widgets import job_desk
from tests.tools.lessons import BOOKS, backwards_and_twice, code, is_setup, name, plain, stored


class Reader:
    """Runs single cells of a workbook in one name space, and says what each shows as plain text."""

    def __init__(self, path: Path) -> None:
        self.name, self.cells = name(path), code(path)
        self.shown: list[Any] = []
        self.space: dict[str, Any] = {"display": lambda *things: self.shown.extend(things)}

    def run(self, index: int) -> list[str]:
        tree = ast.parse(self.cells[index].source)
        last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
        self.shown.clear()
        exec(compile(tree, self.name, "exec"), self.space)
        if isinstance(last, ast.Expr):
            self.shown.append(eval(compile(ast.Expression(last.value), self.name, "eval"), self.space))
        return [plain(thing) for thing in self.shown if thing is not None]


@pytest.mark.parametrize("path", BOOKS, ids=name)
def test_cells_show_the_same_in_any_order(path: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Each cell shows what is stored for it, however often and in whatever order; nothing asks the network."""

    def refuse(*_: Any, **__: Any) -> Any:
        raise AssertionError("the network was asked for")

    for what in ("getaddrinfo", "create_connection"):
        monkeypatch.setattr(socket, what, refuse)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.chdir(tmp_path)  # nothing of the reader's own stands beside it
    reader = Reader(path)
    monkeypatch.setattr(job_desk, "display", reader.space["display"])  # what is said where there is no job yet
    setup = [index for index, cell in enumerate(reader.cells) if is_setup(cell)]
    for index in range(len(reader.cells)):
        assert reader.run(index) == stored(reader.cells[index])
    for index in backwards_and_twice(len(reader.cells), setup):
        assert reader.run(index) == stored(reader.cells[index]), reader.cells[index].source
    assert list(tmp_path.iterdir()) == []  # running writes nothing
