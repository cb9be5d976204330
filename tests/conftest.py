"""Browser tests run where a browser is; elsewhere they are skipped and say why.

With ROOFLAB_BROWSER=required a missing browser is a failure. ROOFLAB_CHROMIUM may name the browser's program.
"""

from __future__ import annotations

import os

import pytest

from tests.tools.browser import find_chromium, no_browser


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
