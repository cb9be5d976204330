"""For authors: every workbook in fresh kernels, top to bottom and then in odd order, with the network refused.

    python tests/scripts/run_odd_order.py            all of them
    python tests/scripts/run_odd_order.py 01 07      those whose names begin so

Prints seconds from the start of the kernel to the last cell, and those of the second run: all cells backwards, then
each twice.  Ends with 1 when a cell fails, shows something else than is stored, or the first run takes a minute.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.scripts.store_workbooks import KERNEL
from tests.tools.lessons import ROOT, backwards_and_twice, code, is_setup, stored, workbooks

LIMIT = 60.0  # seconds from a fresh kernel to the last cell
REFUSE = """
import socket as _socket
def _refuse(*_, **__):
    raise OSError("the network was asked for")
_socket.getaddrinfo = _socket.create_connection = _socket.socket.connect = _refuse
"""


def run(path: Path) -> tuple[float, float, list[str]]:
    """Seconds of both runs, and what went wrong."""
    book = nbformat.read(path, as_version=4)
    cells, expected = code(path), [stored(cell) for cell in code(path)]
    client = NotebookClient(book, timeout=60, kernel_name=KERNEL["name"])
    wrong: list[str] = []
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        start = time.monotonic()
        with client.setup_kernel(cwd=folder):
            client.execute_cell(nbformat.v4.new_code_cell(REFUSE), 0, store_history=False)

            def play(order: list[int]) -> float:
                for index in order:
                    cell = nbformat.v4.new_code_cell(cells[index].source)
                    try:
                        client.execute_cell(cell, index)
                    except CellExecutionError as error:
                        wrong.append(f"cell {index + 1}: {str(error).splitlines()[-1]}")
                        continue
                    if stored(cell) != expected[index]:
                        wrong.append(f"cell {index + 1} shows something else")
                return time.monotonic() - start

            first = play(list(range(len(cells))))
            setup = [index for index, cell in enumerate(cells) if is_setup(cell)]
            second = play(backwards_and_twice(len(cells), setup)) - first
    return first, second, wrong


def main(starts: list[str]) -> int:
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH", "")]))
    bad = 0
    for path in (path for start in starts or [""] for path in workbooks(start)):
        first, second, wrong = run(path)
        bad += bool(wrong) or first >= LIMIT
        said = "; ".join(wrong) or "as stored"
        print(f"{path.name}: {first:.1f} s top to bottom, {second:.1f} s in odd order; {said}", flush=True)
    return int(bad > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
