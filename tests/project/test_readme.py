"""The README keeps its word: its picture is what the program draws, its example runs and says what it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rooflab.job.jobfile import example
from tests.scripts.readme_picture import PICTURE, ROOT, picture

README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_picture_is_what_the_program_draws() -> None:
    """Run tests/scripts/readme_picture.py after a change to the section."""
    assert PICTURE.read_text(encoding="utf-8") == picture()
    assert f"]({PICTURE.relative_to(ROOT).as_posix()})" in README


def test_opens_with_the_job_and_the_two_commands() -> None:
    paragraph = README.split("\n\n")[1]
    for word in ("rafters", "birdsmouth", "scissor trusses", "heel", "seam", "builder"):
        assert word in paragraph.replace("\n", " ")
    blocks = re.findall(r"```\n(.*?)\n```", README, flags=re.S)
    assert blocks == ["python3 -m rooflab", "python3 -m rooflab test"]


def test_example_runs_and_prints_what_it_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    example().save("house.json")
    code = re.search(r"```python\n(.*?)```", README, flags=re.S)
    assert code
    names: dict[str, object] = {}
    lines = code[1].splitlines()
    promised = 0
    for line in lines:
        expression, _, said = line.partition("#")
        if said.strip() and "=" not in expression.split("(")[0]:
            value = eval(expression, names)  # the README's own lines
            if not said.strip().startswith(("whether", "the usual", "what")):
                assert str(value) == said.strip()
                promised += 1
        else:
            exec(expression, names)
    assert promised == 2
    assert (tmp_path / "profiles.pdf").read_bytes().startswith(b"%PDF")


def test_names_every_workbook() -> None:
    books = [path.stem for path in sorted((ROOT / "workbooks").glob("*.ipynb"))]
    assert re.findall(r"\| `(\d\d-[a-z-]+)` \|", README) == books
