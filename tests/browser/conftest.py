"""One JupyterLab and one Chromium a session; each test has a folder and pages of its own.

A test about sizes may run with several sets of fonts: ``@pytest.mark.parametrize("browser", SETTINGS, indirect=True)``
gives it a browser on the same JupyterLab that shows those fonts only, and likewise for the module's ``shared`` one.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack

import pytest

from tests.tools.browser import EVERY, Browser, Lab, find_chromium
from tests.tools.fonts import Fonts


class Browsers(ExitStack):
    """The browsers of a session by the fonts they may show; each starts when first asked for."""

    def __enter__(self) -> Browsers:
        from playwright.sync_api import sync_playwright  # tests run without a browser, too

        super().__enter__()
        self.lab, self.play = self.enter_context(Lab()), self.enter_context(sync_playwright())
        self.started: dict[Fonts, Browser] = {}
        return self

    def browser(self, fonts: Fonts) -> Browser:
        if fonts not in self.started:
            self.started[fonts] = self.enter_context(Browser(self.lab, find_chromium(), fonts, self.play))
        return self.started[fonts]


@pytest.fixture(scope="session")
def browsers() -> Iterator[Browsers]:
    with Browsers() as browsers:
        yield browsers


@pytest.fixture(autouse=True)
def no_error(browsers: Browsers) -> Iterator[None]:
    """A test answers for its own errors only."""
    for browser in browsers.started.values():
        browser.errors.clear()
    yield
    assert [error for browser in browsers.started.values() for error in browser.errors] == []


@pytest.fixture
def browser(browsers: Browsers, request: pytest.FixtureRequest) -> Iterator[Browser]:
    """The browser for the pages of one test."""
    browser = browsers.browser(getattr(request, "param", EVERY))
    with browser.own_folder():
        yield browser


@pytest.fixture(scope="module")
def shared(browsers: Browsers, request: pytest.FixtureRequest) -> Iterator[Browser]:
    """The same browser for the pages that all tests of a module look at."""
    browser = browsers.browser(getattr(request, "param", EVERY))
    with browser.own_folder():
        yield browser
