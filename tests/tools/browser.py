"""A real browser on a real JupyterLab, for the tests and measurements of the live panels.

``Lab`` starts JupyterLab as ``rooflab.start`` does (own configuration, data and runtime folders, a free port), on a
scratch folder; ``Browser`` opens a notebook of that folder in Chromium and runs it.  The user's files are never opened.
The tests share one of each in a session (``tests/browser/conftest.py``); every test has a folder of its own there.
"""

from __future__ import annotations

import importlib.util
import json
import os
import re
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlsplit
from urllib.request import Request, urlopen

import nbformat

from rooflab.start.lab import lab_command, own_jupyter, server_address, write_settings
from tests.tools.fonts import Fonts

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page, Playwright

ROOT = Path(__file__).resolve().parents[2]
PROGRAMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
TOKEN = "scratch"
LAPTOP, PROJECTOR = (1366, 641), (1280, 720)  # what the browser leaves of a 1366 x 768 laptop; a projector
TABLET = (820, 1180)  # held upright
IGNORED = (
    "Failed to load resource",  # JupyterLab asks for files of extensions that are not there
    "Could not restore the debugger state",  # its debugger, when one notebook is closed for the next
)

NOTEBOOK = "window.jupyterapp.shell.currentWidget"
READY = f"() => window.jupyterapp && {NOTEBOOK}?.sessionContext?.isReady && {NOTEBOOK}.sessionContext.session?.kernel"
AREA = "document.querySelector('.jp-WindowedPanel-outer')"  # the part of the page in which a notebook scrolls


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


def write_notebook(path: Path, cells: Sequence[str]) -> Path:
    """A notebook of code cells."""
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    book = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(cell) for cell in cells], metadata={"kernelspec": kernel}
    )
    nbformat.write(book, path)
    return path


def end(running: subprocess.Popen[bytes]) -> None:
    """End a program that was started here."""
    running.terminate()
    try:
        running.wait(15)
    except subprocess.TimeoutExpired:
        running.kill()


class Lab(ExitStack):
    """JupyterLab on a scratch folder, ``with Lab() as lab``; ``folder`` is where notebooks go, ``url`` its address."""

    def __enter__(self) -> Lab:
        super().__enter__()
        place = Path(self.enter_context(tempfile.TemporaryDirectory(prefix="rooflab-", ignore_cleanup_errors=True)))
        self.folder, state, runtime = place / "work", place / "state", place / "runtime"
        for path in (self.folder, state / "data", runtime):
            path.mkdir(parents=True)
        write_settings(state)
        log = self.enter_context(open(place / "jupyter.log", "w+b"))
        command = [*lab_command(self.folder, "none.ipynb", None), "--LabApp.expose_app_in_browser=True"]
        env = own_jupyter(state, runtime, ROOT) | {"JUPYTER_TOKEN": TOKEN}
        running = subprocess.Popen(command, env=env, stdin=subprocess.PIPE, stdout=log, stderr=log)
        self.callback(end, running)
        late = time.monotonic() + 60
        while not (url := server_address(runtime)):
            if running.poll() is not None or time.monotonic() > late:
                log.seek(0)
                raise RuntimeError("JupyterLab did not start:\n" + log.read().decode("utf-8", "replace")[-2000:])
            time.sleep(0.1)
        self.url = url
        return self

    def path(self, place: Path) -> str:
        """The path of a file or folder as the server knows it."""
        return place.relative_to(self.folder).as_posix()

    def end_kernels(self, folder: Path) -> None:
        """End the kernels of the notebooks in a folder."""
        for session in json.loads(self._ask("GET", "api/sessions")):
            if session["path"].startswith(self.path(folder) + "/"):
                self._ask("DELETE", f"api/sessions/{session['id']}")

    def _ask(self, method: str, what: str) -> bytes:
        request = Request(self.url + what, method=method, headers={"Authorization": f"token {TOKEN}"})
        with urlopen(request, timeout=30) as answer:
            return bytes(answer.read())


EVERY = Fonts()


class Browser(ExitStack):
    """Chromium; ``errors`` collects what went wrong in the pages it opened, ``folder`` is where notebooks go.

    ``fonts`` says which it may show; by default all of this machine and those a page brings.  Browsers that run at the
    same time share one ``play``, as ``sync_playwright`` gives it.
    """

    def __init__(self, lab: Lab, chromium: str, fonts: Fonts = EVERY, play: Playwright | None = None) -> None:
        super().__init__()
        self.lab, self.program, self.fonts, self.play = lab, chromium, fonts, play
        self.errors: list[str] = []
        self.folder = lab.folder

    def __enter__(self) -> Browser:
        from playwright.sync_api import sync_playwright  # tests run without a browser, too

        super().__enter__()
        root = hasattr(os, "geteuid") and os.geteuid() == 0
        options = ["--no-sandbox"] if root else []
        play = self.play or self.enter_context(sync_playwright())
        self.browser = play.chromium.launch(
            executable_path=self.program,
            args=[*options, "--disable-background-networking", *([] if self.fonts.web else ["--disable-remote-fonts"])],
            env={**os.environ, "FONTCONFIG_FILE": self.fonts.file} if self.fonts.file else None,
        )
        self.callback(self.browser.close)
        return self

    @contextmanager
    def own_folder(self) -> Iterator[None]:
        """Meanwhile ``folder`` is an empty one; then pages opened since are closed, and its kernels are ended."""
        outer, before = self.folder, self.pages()
        self.folder = Path(tempfile.mkdtemp(dir=self.lab.folder))
        try:
            yield
        finally:
            for page in self.pages() - before:
                page.close()
            self.lab.end_kernels(self.folder)
            self.folder = outer

    def page(self, size: tuple[int, int] = LAPTOP) -> Page:
        """An empty page in a context of its own."""
        page = self.browser.new_page(viewport={"width": size[0], "height": size[1]})
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("console", lambda said: self._hear(said.type, said.text))
        page.on("request", lambda asked: self._watch(asked.url))
        return page

    def pages(self) -> set[Page]:
        """The pages that are open."""
        return {page for context in self.browser.contexts for page in context.pages}

    def open(self, notebook: Path, size: tuple[int, int] = LAPTOP, run: bool = True) -> Page:
        """A page with the notebook opened and, unless not wanted, all its cells run."""
        page = self.page(size)
        page.goto(f"{self.lab.url}doc/tree/{quote(self.lab.path(notebook))}?token={TOKEN}")
        page.wait_for_function(READY, timeout=60_000)
        if run:
            run_all(page)
        return page

    def turn_to(self, page: Page, notebook: Path) -> None:
        """Another notebook in the place of the open one, run in a kernel of its own: the page itself stays loaded."""
        path = self.lab.path(notebook)
        page.evaluate(
            """async path => { const app = window.jupyterapp, old = app.shell.currentWidget;
            await old.sessionContext.shutdown();
            old.context.model.dirty = false;
            old.close();
            await app.commands.execute('docmanager:open', { path }); }""",
            path,
        )
        page.wait_for_function(f"path => {NOTEBOOK}?.context?.path === path && ({READY})()", arg=path)
        run_all(page)

    def _watch(self, url: str) -> None:
        """A page asks this machine only: it works without a network."""
        if url.startswith(("http", "ws")) and urlsplit(url).hostname not in ("localhost", "127.0.0.1"):
            self.errors.append(f"asked for {url}")

    def _hear(self, kind: str, text: str) -> None:
        if kind == "error" and not text.startswith(IGNORED):
            self.errors.append(text)


def run_all(page: Page) -> None:
    """Run all cells of the open notebook, and wait for them."""
    assert page.evaluate("window.jupyterapp.commands.execute('notebook:run-all-cells')") is not False
    page.wait_for_function(f"() => {NOTEBOOK}.sessionContext.session.kernel.status === 'idle'", timeout=60_000)


def cell_errors(page: Page) -> list[str]:
    """What cells of the open notebook raised."""
    return page.evaluate(
        f"""[...{NOTEBOOK}.content.widgets].filter(cell => cell.model.type === 'code')
        .flatMap(cell => cell.model.outputs.toJSON().filter(one => one.output_type === 'error'))
        .map(one => one.ename + ': ' + one.evalue)"""
    )


def settle(panel: Locator) -> None:
    """Wait until the panel shows the answer to everything that was moved or typed, and its pictures stand still."""
    wait = "panel => panel.dataset.waiting === 'no' && !panel.getAnimations({ subtree: true }).length"
    panel.page.wait_for_function(wait, arg=panel.element_handle(), timeout=15_000)


def typed(panel: Locator, label: str, text: str) -> None:
    box = panel.get_by_label(f"{label}, typed")
    box.fill(text)
    box.press("Enter")
    settle(panel)


def view(panel: Locator, name: str) -> str:
    panel.get_by_role("button", name=name, exact=True).click()
    settle(panel)
    return panel.locator(".rl-picture").inner_text()


def cut_off(page: Page) -> list[str]:
    """Words of ours that have less room than they need."""
    return page.evaluate(
        """() => [...document.querySelectorAll(['.rl-panel td', '.rl-panel th', '.rl-label', '.rl-sentence', '.rl-note',
        '.rl-keys', '.rl-desk label', '.rl-desk legend', '.rl-ask .rl-button', '.rl-answer'].join())]
        .filter(node => node.scrollWidth > node.clientWidth + 1 || (!node.matches('td, th') &&
            node.scrollHeight > node.clientHeight + 1)).map(node => node.className + ': ' + node.innerText)"""
    )


def pressed(page: Page, desk: Locator, button: str) -> tuple[str, bytes]:
    """Press a button that writes; the file's name, and its bytes by clicking the link, as a new page or a download."""
    desk.get_by_role("button", name=button, exact=True).click()
    ending = ".pdf" if "PDF" in button else ".csv"
    link = desk.locator(f"a.rl-file[data-file$='{ending}']")
    link.wait_for()
    with page.context.expect_event("response", lambda answer: ending in answer.url) as answered:
        link.click()
    assert answered.value.status == 200
    name, address = link.get_attribute("data-file"), link.evaluate("link => link.href")
    assert name and answered.value.url == address
    fetched = page.evaluate("async at => [...new Uint8Array(await (await fetch(at)).arrayBuffer())]", address)
    return name, bytes(fetched)


def names(page: Page, root: Locator) -> list[tuple[str, str]]:
    """(role, accessible name) of what can be used below ``root``, from the browser's accessibility tree."""
    session = page.context.new_cdp_session(page)
    found = []
    for node in root.locator(":is(input, select, button, [tabindex]):visible").all():
        mark = node.evaluate("node => { window.rlMark = node; }")
        assert mark is None
        one = session.send("Runtime.evaluate", {"expression": "window.rlMark"})["result"]["objectId"]
        tree = session.send("Accessibility.getPartialAXTree", {"objectId": one, "fetchRelatives": False})["nodes"][0]
        found.append((tree.get("role", {}).get("value", ""), tree.get("name", {}).get("value", "").strip()))
    session.detach()
    return found


def faults(page: Page) -> list[str]:
    """Serious and critical findings of axe in our own part of the page."""
    from axe_playwright_python.sync_playwright import Axe

    parts = [[part] for part in (".rl-panel", ".rl-ask") if page.locator(part).count()]
    found: Any = Axe().run(page, context={"include": parts}).response
    assert found["passes"]  # it did look
    return [
        f"{one['id']}: {json.dumps([node['html'][:120] for node in one['nodes'][:3]])}"
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]


def luminance(colour: str) -> float:
    """Relative luminance of an rgb() colour (WCAG 2.2, from memory)."""
    parts = [int(part) / 255 for part in re.findall(r"\d+", colour)[:3]]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
