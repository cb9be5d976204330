"""A program that ends when its starter ends: ``python -m rooflab.start.child MODULE ARGUMENTS`` runs MODULE so.

The starter holds the other end of the program's standard input. However the starter ends, killed even, the system
closes that end, and the program learns of it; this works on every platform.
"""

from __future__ import annotations

import contextlib
import os
import runpy
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

PATIENCE = 10  # seconds that a program may take to end by itself
STOPPED = 130  # exit code of a program that was asked to end and had to be stopped hard, as of one ended by Ctrl-C


def child_command(python: str | Path, module: str, *arguments: str | Path) -> list[str]:
    """The words of a command that runs a module as a child of this process; its stdin has to be a pipe."""
    return [str(python), "-m", "rooflab.start.child", module, *map(str, arguments)]


def end_here() -> None:
    """End this program as a request from outside would, with all it started where it has a session of its own."""
    if os.name != "posix":
        import _thread

        _thread.interrupt_main()
    elif os.getsid(0) == os.getpid():
        os.killpg(0, signal.SIGTERM)
    else:
        os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(PATIENCE)
    os._exit(1)


def end_with_starter(pipe: int) -> None:
    """End this program when the other end of the pipe is closed."""
    with contextlib.suppress(OSError):
        while os.read(pipe, 1024):
            pass
    end_here()


class EndRequest(KeyboardInterrupt):
    """A request to this program alone to end: from the system, or because its window is closed."""


def end_request(*_: object) -> None:
    """Answer to such a signal."""
    raise EndRequest


@contextlib.contextmanager
def requests_to_end() -> Iterator[None]:
    """Meanwhile a request to end is an EndRequest, so that what was started here is ended, too."""
    before: dict[int, Any] = {}
    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):  # SIGHUP: the window is closed; SIGBREAK stands for both on Windows
        number = getattr(signal, name, None)
        if number and signal.getsignal(number) != signal.SIG_IGN:
            before[number] = signal.signal(number, end_request)
    try:
        yield
    finally:
        for number, answer in before.items():
            signal.signal(number, answer)


def wait_for(running: subprocess.Popen[bytes], patience: float | None = None) -> int:
    """Wait for a program that shares this console; a Ctrl-C is its to answer, a request to end is passed on.

    With ``patience`` (seconds) a program that does not end after that, or is asked twice, is stopped hard; the code is
    ``STOPPED`` then.
    """
    limit, hard = None, False
    with requests_to_end():
        while True:
            try:
                code = running.wait(limit)
                return STOPPED if hard else code if code >= 0 else 128 - code
            except KeyboardInterrupt as asked:
                if isinstance(asked, EndRequest):
                    running.terminate()
                if hard := limit is not None:
                    running.kill()
                limit = patience
            except subprocess.TimeoutExpired:
                hard = True
                running.kill()


def run_child(module: str, *arguments: str) -> None:
    """Run a module as ``python -m`` does, while a thread waits for the starter's end."""
    pipe, nothing = os.dup(0), os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)  # the pipe is for the thread alone
    os.close(nothing)
    threading.Thread(target=end_with_starter, args=(pipe,), daemon=True).start()
    closed = getattr(signal, "SIGHUP", None)  # the window is closed; Windows has no such signal
    if closed and signal.getsignal(closed) == signal.SIG_DFL:
        signal.signal(closed, lambda *_: None)  # the starter hears it, too, and asks to end
    sys.argv[1:] = arguments
    runpy.run_module(module, run_name="__main__", alter_sys=True)


if __name__ == "__main__":
    run_child(*sys.argv[1:])
