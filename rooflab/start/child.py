"""A program that ends when its starter ends: ``python -m rooflab.start.child MODULE ARGUMENTS`` runs MODULE so.

The starter holds the other end of the program's standard input. However the starter ends, killed even, the system
closes that end, and the program learns of it; this works on every platform.
"""

from __future__ import annotations

import contextlib
import os
import runpy
import signal
import sys
import threading
import time
from pathlib import Path

PATIENCE = 10  # seconds that a program may take to end by itself


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
