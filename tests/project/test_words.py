"""The words that people read are those of the American trade: texts of the code, pages, README, glossary, workbooks."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.tools.lessons import ROOT, WORKBOOKS

INSTEAD = {
    r"cent(?:re|red)s?\b": "center; on center",
    r"\bc\. to c\.|\bc/c\b|\bin apart\b": '16" o.c.',
    r"lb/ft|lb per square foot": "psf, plf, pcf",
    r"ft[²³]|\bft[23]\b": "sq ft, cu ft",
    r"per cent\b": "percent",
    r"colour|neighbour|practis|vapour|fibre": "color, neighbor, practice, vapor, fiber",
    r"work to figures": "Do not scale; written dimensions govern",
    r"roof panels?\b": "roof sheathing: a roof panel is metal roofing",
    r"code official": "building official",
    r"scarf": "standard heel",
    r"below least|\bleast heel": "minimum heel",
    r"\b(?:the|a|thinner) wedge\b(?! of wood)": "space between chords: a wedge is a piece of wood",
    r"rock wool|sprayed|fiberglass, loose": "mineral wool, closed-cell spray foam, blown fiberglass",
    r"\bslips?\b": "mistake; slip is an engineer's word, for a joint",
    r"\b(?:he|him|his|himself)\b": "they; people by their trade",
    r"hangs on (?:the|a|Ct|no)\b": "depends on",
    r"ask(?:ed|ing)? backwards": "work backward from a target",
    r"keep it under|take it away|to take home|hands up|contradictions and causes|\bthe rung\b": "Save as, Remove, "
    "Takeaways, Show of hands, Conflicts and likely causes, Level",
}  # fmt: skip
"""What is no longer written, and what stands in its place."""

ALLOWED = {  # the file and a part of the text: why the old word stands there
    ("rooflab/live/widgets/controls.py", "psf|lb/ft[²2]|lb|R"): "a unit that people may type",
    ("rooflab/job/wishes.py", "ft³"): "a unit that people may type",
    ("rooflab/lessons/questions.py", "(%|per ?cent)?"): "a unit that people may type",
    ("rooflab/checks/warmth.py", "fiberglass, loose"): "names in older job files",
    ("rooflab/checks/warmth.py", "rock wool, loose"): "names in older job files",
    ("rooflab/checks/warmth.py", "sprayed polyurethane"): "names in older job files",
    ("rooflab/live/meeting/view.py", "As he builds it"): "a name in older job files",
    ("rooflab/checks/grades.py", "Slip of the heel joint"): "the engineer's word, of a nailed joint",
    ("rooflab/checks/grades.py", "slip"): "the engineer's word, of a nailed joint",
    ("rooflab/live/topics/frame.py", "slip"): "the engineer's word, of a nailed joint",
    ("rooflab/lessons/glossary.py", "slip"): "the engineer's word, of a nailed joint",
    ("workbooks/00-start-here.ipynb", "slip"): "the engineer's word, of a nailed joint",
    ("workbooks/06-thrust-spread-and-forces.ipynb", "slip"): "the engineer's word, of a nailed joint",
}  # fmt: skip


def constants(path: Path) -> Iterator[str]:
    """Texts of a Python file that may reach a reader: its string constants, without docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.value


def told(path: Path) -> Iterator[str]:
    """Texts of a file that people read: of a workbook its prose, code and outputs; of a script its lines."""
    if path.suffix == ".py":
        yield from constants(path)
    elif path.suffix == ".ipynb":
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            yield "".join(cell["source"])
            for output in cell.get("outputs", ()):
                data = {kind: text for kind, text in output.get("data", {}).items() if kind != "image/png"}
                for text in (output.get("text", ""), *data.values()):
                    yield "".join(text) if isinstance(text, (str, list)) else ""
    else:
        lines = path.read_text(encoding="utf-8").splitlines()
        code = path.suffix in (".js", ".css")
        yield from (re.sub(r"//.*$|forced-colors.*$", "", line) if code else line for line in lines)


def texts() -> list[Path]:
    rooflab = [path for end in ("py", "js", "css") for path in (ROOT / "rooflab").rglob(f"*.{end}")]
    return sorted([ROOT / "README.md", *WORKBOOKS.glob("*.ipynb"), *rooflab])


def old_words(text: str) -> list[str]:
    """The words of a text that are written otherwise now.

    >>> old_words("Rafters 16 in apart, as he asked"), old_words('Rafters 16" o.c.')
    (['in apart', 'he'], [])
    """
    return [found[0] for pattern in INSTEAD for found in re.finditer(pattern, text, re.IGNORECASE)]


@pytest.mark.parametrize("path", texts(), ids=lambda path: path.relative_to(ROOT).as_posix())
def test_no_replaced_word_is_left(path: Path) -> None:
    file = path.relative_to(ROOT).as_posix()
    allowed = [part for (name, part) in ALLOWED if name == file]
    left = []
    for text in told(path):
        rest = text
        for part in allowed:
            rest = rest.replace(part, "")
        left += [(word, text[:80]) for word in old_words(rest)]
    assert left == []


def test_no_exception_has_outlived_its_word() -> None:
    for file, part in ALLOWED:
        assert any(part in text for text in told(ROOT / file)), (file, part)


@pytest.mark.parametrize(
    "text", ["14 lb/ft²", "2'-0\" c. to c.", "the code official", "One slip", "his numbers", "a wedge", "12 per cent"]
)
def test_old_words_are_seen(text: str) -> None:
    assert old_words(text)
