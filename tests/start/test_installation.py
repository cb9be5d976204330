"""The check on the first page: it names what is missing or too old, and says the same on every machine that has all."""

from __future__ import annotations

import importlib.metadata
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import rooflab
from rooflab.live.widgets.round_trip import RoundTrip
from rooflab.start.installation import LIVE, Installation, packages, pdf_beside, what_is_missing

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]

NEWEST = {line.partition(">=")[0]: f"{int(line.partition('<')[2]) - 1}.99" for line in PROJECT["dependencies"]}


def said(rows: list[tuple[str, str]], word: str) -> str:
    return next(text for what, text in rows if what.startswith(word))


def test_every_needed_package_is_looked_up_against_its_floor() -> None:
    needed = {line.replace(">=", " ").replace(",<", " or newer, below ") for line in PROJECT["dependencies"]}
    python = PROJECT["requires-python"].removeprefix(">=")
    assert {row.what for row in packages()} == needed | {f"Python {python} or newer"}


def test_a_missing_package_is_named_with_what_to_do() -> None:
    def version(name: str) -> str:
        if name == "ezdxf":
            raise importlib.metadata.PackageNotFoundError(name)
        return importlib.metadata.version(name)

    found = Installation(packages(version))
    assert found.sentence == "Not all is there: ezdxf 1.2 or newer, below 2."
    text = said(found.table(), "ezdxf")
    assert text.startswith("missing; ") and "python3 -m rooflab" in text
    assert said(found.table(), "numpy") == "found"
    assert "<details open><summary>Not all is there: ezdxf 1.2 or newer, below 2.</summary>" in found.html()


def test_an_old_package_is_named_with_its_version() -> None:
    found = Installation(packages(lambda name: "1.25.9" if name == "numpy" else NEWEST[name]))
    assert said(found.table(), "numpy").startswith("too old: it is 1.25.9; ")
    assert found.sentence == "Not all is there: numpy 1.26 or newer, below 3."


def test_a_package_of_a_later_major_version_is_named() -> None:
    table = Installation(packages(lambda name: "5.0.0" if name == "jupyterlab" else NEWEST[name])).table()
    assert said(table, "jupyterlab").startswith("too new: it is 5.0.0; ") and said(table, "numpy") == "found"


def test_an_old_python_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 10, 4))
    assert said(Installation(packages()).table(), "Python").startswith("too old: it is 3.10; ")


def test_a_folder_that_takes_no_file_is_named(tmp_path: Path) -> None:
    assert pdf_beside(tmp_path) == ("A PDF beside this workbook", True, "can be written")
    assert list(tmp_path.iterdir()) == []  # the trial is gone
    (tmp_path / "file").write_text("", encoding="utf-8")
    row = pdf_beside(tmp_path / "file")
    assert not row.there and row.sentence.startswith("cannot be written in ") and "folder of yours" in row.sentence


def test_all_there_reads_alike_on_every_machine() -> None:
    """No versions, no paths: the stored table is compared with a fresh one."""
    here, newest = repr(Installation(packages())), repr(Installation(packages(NEWEST.__getitem__)))
    assert here == newest
    assert str(Path.cwd()) not in repr(what_is_missing())


def test_without_the_live_parts_a_plain_table_says_so() -> None:
    """A Python without anywidget: the package still loads, and the table names what is missing."""
    program = (
        "import sys\nsys.modules['anywidget'] = None\nimport rooflab as rl\n"
        "shown = rl.what_is_missing()._repr_mimebundle_()\nprint(sorted(shown), shown['text/html'])"
    )
    asked = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, cwd=ROOT)
    assert asked.returncode == 0, asked.stderr
    assert asked.stdout.startswith("['text/html', 'text/plain'] <details") and "cannot show them" in asked.stdout


def test_python_answers_the_page() -> None:
    trip = RoundTrip(what_is_missing())
    assert "the page is calling" in trip.table and LIVE in trip.table and trip.answer == 0
    trip.call = 1
    assert trip.answer == 1


def test_it_is_a_public_name() -> None:
    assert rooflab.what_is_missing is what_is_missing
