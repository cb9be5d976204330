"""What the project promises about itself: its floors, its files and its two lists of requirements."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

import rooflab

ROOT = Path(__file__).resolve().parent.parent

# From the ground up. A module may import from the floors below, and on its own floor from those listed before it.
FLOORS = [
    ("ground", ["copies", "measure", "lumber", "geometry"]),
    ("house", ["inputs", "formulas", "readings", "planes", "house"]),
    ("work", ["checks", "spots", "glossary", "limits", "design_values", "loads", "strength", "frame", "thrust",
              "warmth", "jsonfile", "early", "jogs", "mistakes", "trussmistakes", "slips", "asking", "practice",
              "chances", "sense", "exercises", "numbers", "sitemistakes", "cutting", "cutpractice", "schedule",
              "jobfile",
              "roomslips", "room", "kept", "optionrows", "options", "agreed",
              "verdicts", "axes", "sweeps", "seatgrid", "wishes", "backwards", "maps",
              "items", "causes", "conflicts", "returned", "wanted", "field"]),
    ("draw", ["scene", "placing", "layout", "large", "members", "glossaryviews", "views", "details", "loadviews",
              "forceviews", "trussviews", "warmviews", "jogviews", "shapeviews", "profiles", "framing",
              "paper", "wording", "pages", "sheets", "worksheet",
              "cutviews", "templates", "cutsheets", "optionviews", "gableviews", "agreements", "exports", "overlays",
              "reply", "seamviews", "mapviews", "handouts"]),
    ("live", ["live"]),
]
OUTSIDE = ["__init__", "__main__", "environment", "start", "present", "quick", "installation"]  # the door
LIGHT = {"ground", "house", "work"}  # floors that compute and never draw
HEAVY = {"matplotlib", "ipywidgets", "anywidget"}
ORDER = [module for _, modules in FLOORS for module in modules]


def sources() -> dict[str, list[tuple[str, str]]]:
    """Every module of the package, or folder of modules, by name: its files as (path, text)."""
    found: dict[str, list[tuple[str, str]]] = {}
    for path in sorted((ROOT / "rooflab").rglob("*.py")):
        inside = path.relative_to(ROOT / "rooflab")
        name = inside.parts[0].removesuffix(".py")
        found.setdefault(name, []).append((inside.as_posix(), path.read_text(encoding="utf-8")))
    return found


def imported(path: str, text: str) -> Iterator[str]:
    """Every module that a file imports, function bodies included, with relative names written out in full."""
    package = ["rooflab", *Path(path).parts[:-1]]
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) + 1 - node.level]) if node.level else ""
            module = ".".join(filter(None, [base, node.module]))
            # "from rooflab import house" and "from . import house" name the module last
            yield from ([f"{module}.{alias.name}" for alias in node.names] if module == "rooflab" else [module])
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith(("import_module", "__import__")):
            yield ast.literal_eval(node.args[0]) if isinstance(node.args[0], ast.Constant) else "an unknown module"


def upward(modules: dict[str, list[tuple[str, str]]]) -> list[str]:
    """What breaks the rule of the floors, one sentence each."""
    wrong = [f"{name} has no place in the table" for name in modules if name not in [*ORDER, *OUTSIDE]]
    for name in (name for name in ORDER if name in modules):
        below = ORDER[: ORDER.index(name)]
        floor = next(floor for floor, names in FLOORS if name in names)
        for path, text in modules[name]:
            for target in imported(path, text):
                top, _, rest = target.partition(".")
                if top == "rooflab" and rest.partition(".")[0] not in [*below, name]:
                    wrong.append(f"{path} imports {target}, which does not stand below it")
                if top in HEAVY and floor in LIGHT or target == "an unknown module":
                    wrong.append(f"{path} imports {target}")
    return wrong


def test_imports_only_go_down() -> None:
    assert upward(sources()) == []


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("lumber.py", "def f():\n    from .geometry import heel\n"),
        ("geometry.py", "from rooflab import house\n"),
        ("measure.py", "import rooflab\n"),
        ("house.py", "def f():\n    def g():\n        import rooflab.checks as c\n"),
        ("checks.py", "from . import views\n"),
        ("views/marks.py", "from ..paper import sheet\n"),
        ("checks.py", "def f():\n    import matplotlib.pyplot as plt\n"),
        ("readings.py", "from importlib import import_module\nimport_module('rooflab.house')\n"),
        ("readings.py", "import importlib\nimportlib.import_module(name)\n"),
        ("elsewhere.py", ""),
    ],
)
def test_an_upward_import_is_found(path: str, text: str) -> None:
    """The rule itself is tried: each of these breaks it."""
    assert len(upward({Path(path).parts[0].removesuffix(".py"): [(path, text)]})) == 1


def test_downward_imports_are_allowed() -> None:
    house = "import numpy\nfrom . import geometry as geo\nfrom .measure import inches\n"
    views = "from ..scene import Scene\nfrom .marks import tick\nfrom rooflab.house import Gable\n"
    assert upward({"house": [("house.py", house)], "views": [("views/section.py", views)]}) == []


def test_no_module_is_named_like_a_public_name() -> None:
    """Python would put the module in the place of the function once it is imported."""
    assert rooflab.__all__
    assert set(rooflab.__all__).isdisjoint(sources())
    from rooflab import live

    assert set(live.__all__).isdisjoint(path.stem for path in (ROOT / "rooflab" / "live").glob("*.py"))


def tracked() -> list[str]:
    """The files under version control; the test is skipped where there is no repository."""
    if not shutil.which("git"):
        pytest.skip("git is not installed")
    asked = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, encoding="utf-8")
    top = subprocess.run(["git", "rev-parse", "--show-toplevel"], cwd=ROOT, capture_output=True, text=True)
    if asked.returncode or not asked.stdout or Path(top.stdout.strip()).resolve() != ROOT:
        pytest.skip("this folder is not a repository with files in it")
    return [name for name in asked.stdout.split("\0") if name and (ROOT / name).is_file()]


def texts() -> dict[str, str]:
    """The tracked text files, read as they are."""
    read = {name: (ROOT / name).read_bytes() for name in tracked()}
    return {name: data.decode("utf-8") for name, data in read.items() if b"\0" not in data[:8000]}


def test_the_top_of_the_folder_stays_short() -> None:
    top = {Path(name).parts[0] for name in tracked()}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "environment.yml", "workbooks", "rooflab", "tests"}
    assert {name for name in top if not name.startswith(".")} <= allowed


def foreign(text: str) -> list[str]:
    """Paths of one machine and hosts of package registries in a text."""
    # written in pieces, so that this file does not hold what it looks for
    folders = "|".join(["wo" "rk", "tm" "p", "ro" "ot", "ho" "me", "Us" "ers", "op" "t", "Pri" "vate"])
    hosts = "|".join(["py" "pi.org", "pythonho" "sted", "npm" "js", "deb.deb" "ian", "crat" "es.io", "anaconda" ".org"])
    pattern = rf"(?<![\w.:/>)}}\]])/(?:{folders})\b(?!\s*>)|[A-Z]:\\{'Us' 'ers'}|(?:{hosts})"
    return [found.group() for found in re.finditer(pattern, text)]


def test_no_file_speaks_of_one_machine_or_registry() -> None:
    assert {name: foreign(text) for name, text in texts().items() if foreign(text)} == {}


def test_the_search_for_machine_paths_finds_them() -> None:
    assert len(foreign("in /tm" "p/x, '/ro" "ot', \"/wo" "rk/main\" and C:\\Us" "ers\\me from py" "pi.org")) == 5
    assert foreign("rooflab/workbooks, house/work, span/2, </root>, and/or") == []


def test_text_files_have_plain_newlines() -> None:
    assert [name for name, text in texts().items() if "\r" in text] == []


def conda_requirements() -> list[str]:
    """The lines of environment.yml's list of requirements, those for pip included."""
    lines = (ROOT / "environment.yml").read_text(encoding="utf-8").split("\ndependencies:\n")[1].splitlines()
    return [line.strip().removeprefix("- ") for line in lines if not line.strip().startswith("#")]


def test_both_lists_of_requirements_agree() -> None:
    """environment.yml asks for what pyproject.toml asks for, with the same floors (conda's matplotlib is split)."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    test = project["optional-dependencies"]["test"]
    wanted = [f"python{project['requires-python']}", *project["dependencies"], *test]
    conda = [line.replace("matplotlib-base", "matplotlib") for line in conda_requirements()]
    assert sorted(conda) == sorted([*wanted, "pip", "pip:"])
