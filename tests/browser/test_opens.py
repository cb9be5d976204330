"""A workbook as it is shipped, opened, run, worked and saved: short enough for the lowest versions, too."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rooflab.start import copies
from tests.tools.browser import NOTEBOOK, Browser, cell_errors, settle
from tests.tools.lessons import WORKBOOKS

pytestmark = pytest.mark.browser

NAME = "01-one-roof-plane.ipynb"


def test_a_workbook_opens_runs_and_answers_and_its_saved_copy_is_no_edit(browser: Browser) -> None:
    """What JupyterLab itself writes when a workbook is run and saved is no edit; a tag written by a person is one."""
    original, copy = WORKBOOKS / NAME, Path(shutil.copy(WORKBOOKS / NAME, browser.folder))
    record = copies.cells(original)
    page = browser.open(copy)
    assert cell_errors(page) == []
    panel = page.locator(".rl-panel").first
    settle(panel)
    assert panel.locator("svg").count()
    page.evaluate(f"{NOTEBOOK}.context.save()")
    assert copy.read_bytes() != original.read_bytes()
    assert copies.only_run(copy, original, record)
    page.evaluate(f"{NOTEBOOK}.content.widgets[0].model.setMetadata('tags', ['mine'])")
    page.evaluate(f"{NOTEBOOK}.context.save()")
    assert not copies.only_run(copy, original, record)
