"""Which tests run, and how deep: all of them, or with ROOFLAB_TESTS=quick those that are soon done.

Browser tests run where a browser is; elsewhere they are skipped and say why.  With ROOFLAB_BROWSER=required a missing
browser is a failure. ROOFLAB_CHROMIUM may name the browser's program.
"""

from __future__ import annotations

import logging
import os
import signal
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from tests.tools.browser import no_browser
from tests.tools.depth import LEFT_OUT, QUICK, cases

EXAMPLES = os.environ.get("ROOFLAB_EXAMPLES")  # that many fresh examples a test; without it always the same ones

settings.register_profile(
    "deep", max_examples=int(EXAMPLES or 100), deadline=None, derandomize=not EXAMPLES, database=None,
    suppress_health_check=[HealthCheck.too_slow],
)  # fmt: skip
settings.register_profile("quick", settings.get_profile("deep"), max_examples=int(EXAMPLES or cases(100)))
settings.load_profile("quick" if QUICK else "deep")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """On several cores a file stays together, a workbook's cells too, and all browser tests: they share one browser."""
    from xdist.scheduler import LoadScopeScheduling

    class ByFile(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return "browser" if nodeid.startswith("tests/browser/") else nodeid.partition("::")[0]

    return ByFile(config, log)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Browser tests come last: while their browser is open no other test can run an event loop of its own."""
    items.sort(key=lambda item: item.get_closest_marker("browser") is not None)
    left = [item for item in items if QUICK and any(map(item.get_closest_marker, LEFT_OUT))]
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if item not in set(left)]


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip, or fail, the tests marked ``browser`` where no browser is."""
    reason = no_browser() if item.get_closest_marker("browser") else ""
    if reason and os.environ.get("ROOFLAB_BROWSER") == "required":
        pytest.fail(f"ROOFLAB_BROWSER=required, but {reason}", pytrace=False)
    elif reason:
        pytest.skip(reason)


class Faults(logging.Handler):
    """The causes of answers that could not be worked out, as the page's guard logs them."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.causes: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.causes.append(self.format(record))


@pytest.fixture(autouse=True)
def faults() -> Iterator[list[str]]:
    """What the guard of the widgets caught: a test fails with it, unless it expects it and empties the list."""
    handler, log = Faults(), logging.getLogger("rooflab.live.widgets.base")
    log.addHandler(handler)
    yield handler.causes
    log.removeHandler(handler)
    assert not handler.causes, "\n".join(handler.causes)


@pytest.fixture(scope="session", autouse=True)
def console_signals() -> None:
    """Programs that tests start hear a console's signals, also where the tests run in the background."""
    for name in ("SIGINT", "SIGHUP"):
        number = getattr(signal, name, None)
        if number and signal.getsignal(number) == signal.SIG_IGN:
            signal.signal(number, signal.SIG_DFL)
