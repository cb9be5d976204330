"""A day with rooflab as a user has it: the command typed, its pages in the browser, its end."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit
from urllib.request import Request, urlopen

from tests.tools.browser import LAPTOP, ROOT, Browser

if TYPE_CHECKING:
    from playwright.sync_api import Page

LIVE = "() => document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) .rl-strip')?.dataset.state === 'live'"
LATEST = 120_000  # ms: a machine that runs all tests at once is slow; what it took is printed


def wait_alive(page: Page) -> None:
    """Wait until the workbook in front has run by itself."""
    page.wait_for_function(LIVE, timeout=LATEST)


class Day(ExitStack):
    """One start of rooflab, and pages on it; a request to end, as Ctrl-C is, ends it.

    ``words`` are what is typed behind ``python -m rooflab``, the folder of the copy first where that alone is opened.
    """

    def __init__(self, browser: Browser, *words: str | Path) -> None:
        super().__init__()
        self.browser, self.words = browser, [str(word) for word in words]

    def __enter__(self) -> Day:
        super().__enter__()
        env = {key: value for key, value in os.environ.items() if not key.startswith(("ROOFLAB", "PYTHONPATH"))}
        words = [sys.executable, "-m", "rooflab", *self.words, "--no-browser"]
        self.begun = time.monotonic()
        self.running = subprocess.Popen(
            words, env=env, cwd=ROOT, start_new_session=True, stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        self.callback(self._end)
        assert self.running.stdout
        said = (re.search(r"go to (http\S+)", line) for line in self.running.stdout)
        self.address = next(found[1] for found in said if found)
        return self

    def _end(self) -> None:
        os.killpg(self.running.pid, signal.SIGINT)
        self.running.wait(60)
        assert self.running.stdout
        self.running.stdout.close()

    def first(self, size: tuple[int, int] = LAPTOP) -> Page:
        """A page with what the start opens."""
        page = self.browser.page(size)
        self.callback(page.close)
        page.goto(self.address)
        return page

    def alive(self, book: str, size: tuple[int, int] = LAPTOP) -> Page:
        """A page with a workbook that has run by itself."""
        page = self.browser.page(size)
        self.callback(page.close)
        page.goto(re.sub(r"[^/]+\.ipynb", f"{book}.ipynb", self.address))
        wait_alive(page)
        return page

    def ask(self, what: str, method: str = "GET") -> bytes:
        """The server's answer to a request."""
        parts = urlsplit(self.address)
        headers = {"Authorization": f"token {parts.query.removeprefix('token=')}"}
        request = Request(f"http://{parts.netloc}/api/{what}", headers=headers, method=method)
        with urlopen(request, timeout=30) as answer:
            return bytes(answer.read())
