"""What a learner did, kept beside the copy of a workbook: predictions, answers, typed numbers, each by what it answers.

Only our start asks for it: it names the folder of the copy in the environment.  Anywhere else, as in a test or in the
checkout itself, nothing is kept and nothing is read.  One small file a workbook, ``01-one-roof-plane.kept.json``; who
takes it away begins anew.
"""

from __future__ import annotations

import atexit
import os
from collections import Counter
from pathlib import Path
from threading import Lock, Timer
from typing import Any

from rooflab.base.files import locked
from rooflab.base.jsonfile import read_document, write_document
from rooflab.base.measure import InputError

FOLDER = "ROOFLAB_KEPT"  # of the environment: the folder of the copy, where something is to be kept
NOTEBOOK = "JPY_SESSION_NAME"  # of the environment, by Jupyter: the notebook that a kernel runs
ENDING, WHAT = ".kept.json", "Kept answers"
FORMAT, VERSION = "rooflab kept answers", 1
PAUSE = 0.5  # seconds from a change to its writing, so that a dragged slider writes once
Doings = dict[str, Any]
"""What was done to one widget, as plain values."""


class Diary:
    """The kept answers of one workbook; without a file nothing is kept."""

    def __init__(self, file: Path | None) -> None:
        self.file, self._entries, self._changed = file, dict[str, Doings](), dict[str, Doings]()
        self._lock, self._told = Lock(), False
        self._timer: Timer | None = None
        self._slots: dict[str, list[tuple[str, int]]] = {}
        self._run, self._made = "", Counter[str]()
        if file is not None:
            atexit.register(self.write)
            try:
                self._entries = self._read(file)
            except InputError as error:
                aside = _free(file, "set aside")
                os.replace(file, aside)
                print(f"{' '.join(error.problems)} It is kept as {aside.name}; this workbook begins anew.")

    @staticmethod
    def _read(file: Path) -> dict[str, Doings]:
        """The entries of a file; none where there is none.  InputError for a damaged or foreign one."""
        if not os.path.lexists(file):
            return {}
        document = read_document(file, WHAT)
        said = f"{WHAT} {file.name}"
        if not isinstance(document, dict) or document.get("format") != FORMAT:
            raise InputError(f"{said}: this is another kind of file.")
        if document.get("version") != VERSION:
            raise InputError(f"{said}: version {document.get('version')!r} cannot be read here, {VERSION} can.")
        entries = document.get("entries")
        if not isinstance(entries, dict) or not all(isinstance(one, dict) for one in entries.values()):
            raise InputError(f"{said}: its entries cannot be read.")
        return {name: one for name, one in entries.items() if isinstance(one, dict)}

    def name(self, what: str, cell: str, run: str) -> str:
        """The entry's name of a widget made by this run of a cell; run again, the cell finds the same one.

        >>> kept = Diary(None)
        >>> [kept.name("panel", cell, run) for cell, run in (("a", "1"), ("b", "2"), ("a", "3"))]
        ['panel', 'panel (2)', 'panel']
        """
        if run != self._run:
            self._run, self._made = run, Counter()
        slot = cell, self._made[what]
        self._made[what] += 1
        slots = self._slots.setdefault(what, [])
        if slot not in slots:
            slots.append(slot)
        number = slots.index(slot) + 1
        return what if number == 1 else f"{what} ({number})"

    def get(self, name: str) -> Doings:
        """What was kept under a name."""
        return dict(self._entries.get(name, {}))

    def put(self, name: str, doings: Doings) -> None:
        """Keep this under a name; it is written a little later."""
        with self._lock:
            if self.file is None or self._entries.get(name, {}) == doings:
                return
            self._entries[name] = self._changed[name] = doings
            if self._timer is None:
                self._timer = Timer(PAUSE, self.write)
                self._timer.daemon = True
                self._timer.start()

    def write(self) -> None:
        """Write what changed into the file, beside what another kernel wrote; where it cannot be, that is said once."""
        with self._lock:
            file, changed, self._changed, self._timer = self.file, self._changed, {}, None
        if file is None or not changed:
            return
        try:
            with locked(file, WHAT):
                entries = {**self._read(file), **changed}
                write_document(file, {"format": FORMAT, "version": VERSION, "entries": entries}, WHAT)
        except InputError as error:
            if not self._told:
                print(" ".join(error.problems), "Your answers are not kept until that is mended.")
            self._told = True

    def begin_anew(self) -> str:
        """Put the file away under a dated name, and keep nothing more until the kernel starts again; what was done."""
        self.write()
        with self._lock:
            file, self.file = self.file, None
        if file is None or not file.exists():
            return ""
        aside = _free(file, "until")
        os.replace(file, aside)
        return aside.name


def _free(file: Path, word: str) -> Path:
    """A dated path beside a file that no other has yet."""
    from rooflab.start.copies import dated_name

    return dated_name(file, word, ENDING)


def _beside() -> Path | None:
    """The file for the notebook of this kernel; None where nothing is to be kept."""
    folder, notebook = os.environ.get(FOLDER, ""), Path(os.environ.get(NOTEBOOK, ""))
    if not folder or notebook.suffix != ".ipynb" or not notebook.is_file():
        return None
    if not notebook.resolve().is_relative_to(Path(folder).resolve()):
        return None
    return notebook.with_name(notebook.stem + ENDING)


_OWN: list[Diary] = []


def own() -> Diary:
    """The kept answers of the workbook that this kernel runs, read once."""
    if not _OWN:
        _OWN.append(Diary(_beside()))
    return _OWN[0]


def name_now(what: str) -> str:
    """The entry's name of a widget that is made now; "" where nothing is kept."""
    kept = own()
    if kept.file is None:
        return ""
    from IPython.core.getipython import get_ipython

    shell: Any = get_ipython()
    asked = shell.get_parent() if shell is not None and hasattr(shell, "get_parent") else {}
    cell = str(asked.get("metadata", {}).get("cellId", ""))
    return kept.name(what, cell, str(asked.get("header", {}).get("msg_id", "")))
