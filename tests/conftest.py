"""Browser tests run where a browser is; elsewhere they are skipped and say why.

With ROOFLAB_BROWSER=required a missing browser is a failure. ROOFLAB_CHROMIUM may name the browser's program.
"""

from __future__ import annotations

import importlib.util
import os
import shutil

import pytest

PROGRAMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")


def find_chromium() -> str:
    """The program of a Chromium browser, or "" when there is none on this machine."""
    named = os.environ.get("ROOFLAB_CHROMIUM", "")
    return named or next(filter(None, map(shutil.which, PROGRAMS)), "")


def no_browser() -> str:
    """Why browser tests cannot run here; "" when they can."""
    if importlib.util.find_spec("playwright") is None:
        return "playwright is not installed"
    if not find_chromium():
        return "no Chromium browser found (install one, or name its program in ROOFLAB_CHROMIUM)"
    return ""


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip, or fail, the tests marked ``browser`` where no browser is."""
    reason = no_browser() if item.get_closest_marker("browser") else ""
    if reason and os.environ.get("ROOFLAB_BROWSER") == "required":
        pytest.fail(f"ROOFLAB_BROWSER=required, but {reason}", pytrace=False)
    elif reason:
        pytest.skip(reason)


@pytest.fixture(scope="session")
def chromium() -> str:
    """The browser's program, for playwright's ``executable_path``."""
    return find_chromium()
