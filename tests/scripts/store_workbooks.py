"""For authors: run every workbook and store what its cells show, so that the page reads well without a kernel.

    python tests/scripts/store_workbooks.py            all of them
    python tests/scripts/store_workbooks.py 01         those whose names begin so

Run again on unchanged workbooks it writes the same bytes: widget views, times and other passing things are left out,
and cells and kernel get the same names everywhere.
"""

from __future__ import annotations

import os
import sys
from base64 import b64encode
from pathlib import Path
from typing import Any

import nbformat
from nbconvert.preprocessors import ExecutePreprocessor

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.tools.browser import find_chromium
from tests.tools.lessons import ROOT, WORKBOOKS, workbooks

VIEW = "application/vnd.jupyter.widget-view+json"
KERNEL = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
OURS = {"workbook": 1}  # of a notebook's metadata: a workbook of ours, which our start runs by itself
SVG, PNG = "image/svg+xml", "image/png"
KEPT = {"jupyter", "tags"}  # of a cell's metadata


def run(notebook: Any) -> None:
    """Run every cell in a fresh kernel and keep its outputs."""
    runner = ExecutePreprocessor(timeout=60, kernel_name=KERNEL["name"], store_widget_state=False, record_timing=False)
    runner.preprocess(notebook, {"metadata": {"path": str(WORKBOOKS)}})


def tidy(notebook: Any) -> None:
    """Leave out what passes (views, times, ids of one run) and fold the code."""
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    notebook.metadata = nbformat.from_dict({"kernelspec": KERNEL, "language_info": {"name": "python"}, "rooflab": OURS})
    for number, cell in enumerate(notebook.cells, 1):
        cell["id"] = f"cell-{number:02d}"
        cell.metadata = nbformat.from_dict({key: cell.metadata[key] for key in sorted(KEPT & set(cell.metadata))})
        cell.source = "\n".join(line.rstrip() for line in cell.source.strip().splitlines())
        if cell.cell_type != "code":
            continue
        cell.metadata["jupyter"] = {"source_hidden": True}
        for output in cell.outputs:
            if "data" in output:
                output.data.pop(VIEW, None)
                output.metadata = {}


def opening(notebook: Any) -> Any:
    """What the first picture's output holds, by kind; nothing where there is none."""
    outputs = [output for cell in notebook.cells for output in cell.get("outputs", []) if "data" in output]
    return next((output.data for output in outputs if SVG in output.data), {})


def as_png(svg: str) -> str:
    """A drawing as a browser shows it, in the letters of PNG files in notebooks."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=find_chromium(), args=["--no-sandbox"])
        page = browser.new_page()
        page.set_content(f"<style>body {{ margin: 0 }} svg {{ display: block }}</style>{svg}")
        picture = page.locator("svg").screenshot()
        browser.close()
    return b64encode(picture).decode()


def with_png(notebook: Any, known: Any) -> None:
    """Beside the opening picture its pixels: what is not trusted yet shows those only.  ``known``: what it had."""
    data = opening(notebook)
    if data:
        same = known.get(SVG) == data[SVG] and PNG in known
        data[PNG] = known[PNG] if same else as_png(data[SVG])


def stored(text: str) -> str:
    """The text of a workbook's file, run and tidied."""
    notebook = nbformat.reads(text, as_version=4)
    known = dict(opening(notebook))
    tidy(notebook)
    run(notebook)
    tidy(notebook)
    with_png(notebook, known)
    nbformat.validate(notebook)
    return str(nbformat.writes(notebook, version=4)).rstrip("\n") + "\n"


def main(start: str = "") -> int:
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH", "")]))
    for path in workbooks(start):
        before = path.read_text(encoding="utf-8")
        after = stored(before)
        path.write_text(after, encoding="utf-8", newline="\n")
        print(f"{path.name}: {'as it was' if after == before else 'stored'}")
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
