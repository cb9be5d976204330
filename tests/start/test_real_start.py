"""The start as it is typed, with a real JupyterLab and a kernel: where the token is, and that nothing outlives it."""

from __future__ import annotations

import contextlib
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit
from urllib.request import Request, urlopen

import pytest

ROOT = Path(__file__).resolve().parents[2]
ODD = "a b%20c#d e=f ü \U0001f3e0 'g'" + ("" if os.name == "nt" else ' "h" [i] $j')
pytestmark = [pytest.mark.deep, pytest.mark.skipif(os.name == "nt", reason="signals and listings are POSIX")]


class Start:
    """A start in a session of its own, as a terminal has one, on the copy ``folder``; ``scratch`` is its TMPDIR."""

    def __init__(self, place: Path, root: Path = ROOT, *more: str) -> None:
        self.folder, self.scratch = place / ODD / "copy", place / "scratch"
        self.scratch.mkdir(exist_ok=True)
        env = {key: value for key, value in os.environ.items() if not key.startswith(("ROOFLAB", "PYTHONPATH"))}
        words = [sys.executable, "-m", "rooflab", str(self.folder), *more]
        self.running = subprocess.Popen(
            words, env=env | {"TMPDIR": str(self.scratch)}, cwd=root, start_new_session=True, stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, text=True,
        )  # fmt: skip

    def address(self) -> str:
        """The address that it prints; waits for that."""
        assert self.running.stdout
        for line in self.running.stdout:
            if found := re.search(r"go to (http\S+)", line):
                return found[1]
        raise AssertionError("no address")

    def end(self, number: signal.Signals) -> int:
        """Send a signal, one of the console's to all that share it; the exit code."""
        if number in (signal.SIGINT, signal.SIGHUP):
            os.killpg(self.running.pid, number)
        else:
            self.running.send_signal(number)
        code = self.running.wait(30)
        assert self.running.stdout
        self.running.stdout.close()
        return code


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Path]:
    yield tmp_path
    for pid in processes(tmp_path):  # of this test alone: its folder stands in their command
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)


def listing() -> list[tuple[int, str]]:
    """Number and command of every process of this machine."""
    shown = subprocess.run(["ps", "-eww", "-o", "pid=,args="], capture_output=True, text=True, check=True).stdout
    return [(int(line.split()[0]), line) for line in shown.splitlines()]


def processes(place: Path) -> list[int]:
    """The processes with a folder in their command: start, server and kernels."""
    return [pid for pid, line in listing() if str(place) in line]


def ask(address: str, what: str, method: str = "GET", **body: str) -> object:
    """The server's answer to a request that carries the token."""
    parts = urlsplit(address)
    headers = {"Authorization": f"token {parts.query.removeprefix('token=')}"}
    data = json.dumps(body).encode() if body else None
    request = Request(f"http://{parts.netloc}/api/{what}", data, headers, method=method)
    with urlopen(request, timeout=30) as answer:
        return json.load(answer)


def others_read(path: Path, top: Path) -> bool:
    """Whether another user may read a file: its own permission and that of every folder down from ``top``."""
    folders = [one for one in path.parents if one.is_relative_to(top) and one != top]
    return bool(path.stat().st_mode & 0o044) and all(one.stat().st_mode & 0o011 for one in folders)


def is_gone(place: Path, address: str) -> bool:
    """Whether nothing listens any more and no process is left, or comes to be so in time."""
    late = time.monotonic() + 20
    while time.monotonic() < late:
        with socket.socket() as trial:
            closed = trial.connect_ex(("127.0.0.1", urlsplit(address).port or 0)) != 0
        if closed and not processes(place):
            return True
        time.sleep(0.1)
    return False


@pytest.mark.parametrize("number", ["SIGKILL", "SIGTERM", "SIGHUP", "SIGINT"])
def test_a_started_server_ends_with_its_start(place: Path, number: str) -> None:
    """An odd folder is served on 127.0.0.1, no token is to be read by others, and server and kernel end."""
    start = Start(place, ROOT, "--no-browser")
    address = start.address()
    parts = urlsplit(address)
    token = parts.query.removeprefix("token=")
    assert parts.hostname == "127.0.0.1" and len(token) == 48
    assert {path.name for path in start.folder.glob("*.ipynb")} <= {
        one["name"]
        for one in ask(address, "contents/")["content"]  # type: ignore[index]
    }
    kernel = ask(address, "kernels", "POST", name="python3")
    assert kernel["id"] in str(listing())  # type: ignore[index]
    assert len(processes(place)) >= 3  # the start, the server and, by its connection file, the kernel
    assert token not in str(listing())
    files = [path for path in place.rglob("*") if path.is_file()]
    holds = [path for path in files if token in path.read_text(encoding="utf-8", errors="replace")]
    assert holds and not [path for path in holds if others_read(path, start.scratch)]
    assert start.end(signal.Signals[number]) == {"SIGKILL": -9}.get(number, 0)
    assert is_gone(place, address)


@pytest.mark.parametrize("seconds", [0.2, 0.5, 0.8, 1.2, 2.0])
@pytest.mark.parametrize("number", ["SIGTERM", "SIGKILL", "SIGHUP"])
def test_a_start_that_is_ended_early_leaves_nothing(place: Path, number: str, seconds: float) -> None:
    start = Start(place, ROOT, "--no-browser")
    time.sleep(seconds)
    assert start.end(signal.Signals[number]) != 1  # no traceback
    late = time.monotonic() + 15
    while processes(place) and time.monotonic() < late:
        time.sleep(0.1)
    assert processes(place) == []
