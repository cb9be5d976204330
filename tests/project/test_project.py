"""What the project promises about itself: its floors, its files and its two lists of requirements."""

from __future__ import annotations

import ast
import email
import graphlib
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

import rooflab
from rooflab.start.environment import split_requirement

ROOT = Path(__file__).resolve().parents[2]

# The folders of the package in the order in which they may use each other: imports go to an earlier one, or stay.
ORDER = ("start", "base", "house", "checks", "job", "lessons", "shop", "draw", "live")
LIVE = ("widgets", "topics", "meeting", "talk", "static")
STANDARD = set(sys.stdlib_module_names)
NUMBERS = {*STANDARD, "numpy", "contourpy"}
ONLY = {"start": STANDARD, **dict.fromkeys(ORDER[1:7], NUMBERS)}  # what else a folder may import
SERVERS = {  # are loaded by JupyterLab's server or by JupyterHub, and by nothing of ours
    "start/quick.py", *(f"start/office/{name}.py" for name in ("hub", "hands", "memory", "jupyterhub_config")),
}  # fmt: skip

Modules = dict[str, str]  # path below rooflab/ -> text


def sources() -> Modules:
    """Every module of the package."""
    package = ROOT / "rooflab"
    return {path.relative_to(package).as_posix(): path.read_text(encoding="utf-8") for path in package.rglob("*.py")}


def dotted(path: str) -> str:
    """The dotted name of a module from its path: ``house/bays.py`` is ``rooflab.house.bays``."""
    return ".".join(["rooflab", *path.removesuffix(".py").removesuffix("/__init__").split("/")])


def folder(name: str) -> str:
    """The folder of a module: ``house`` for ``rooflab.house.bays``."""
    return name.split(".")[1] if "." in name else ""


def imports(modules: Modules) -> Iterator[tuple[str, str, bool]]:
    """Every import of every module, function bodies included: path, full dotted name, and whether in a function."""
    names = {dotted(path) for path in modules} | {dotted(path) for path in sources()}
    for path, text in modules.items():
        package = ["rooflab", *Path(path).parts[:-1]]
        tree = ast.parse(text)
        inside = {id(part) for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) for part in ast.walk(node)}
        for node in ast.walk(tree):
            found: list[str] = []
            if isinstance(node, ast.Import):
                found = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                base = ".".join(package[: len(package) + 1 - node.level]) if node.level else ""
                module = ".".join(filter(None, [base, node.module]))
                # "from rooflab.house import bays" names the module last
                deeper = [f"{module}.{alias.name}" for alias in node.names]
                found = [name if name in names else module for name in deeper]
            elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith(("import_module", "__import__")):
                constant = isinstance(node.args[0], ast.Constant)
                found = [ast.literal_eval(node.args[0]) if constant else "an unknown module"]
            yield from ((path, name, id(node) in inside) for name in dict.fromkeys(found))


def against_the_order(modules: Modules) -> list[str]:
    """What breaks the rule of the folders, one sentence each."""
    wrong = []
    for path, name, in_function in imports(modules):
        here, top = path.split("/")[0] if "/" in path else "", name.split(".")[0]
        if not here:  # the door: __init__ and __main__
            continue
        if here not in ORDER:
            wrong.append(f"{path} stands outside the nine folders")
        elif top == "rooflab":
            exempt = here == "start" and in_function  # a door opens rooms
            if not exempt and (folder(name) not in ORDER or ORDER.index(folder(name)) > ORDER.index(here)):
                wrong.append(f"{path} imports {name}, which does not come before it")
            elif path.startswith("draw/views/") and name.startswith("rooflab.draw.sheets"):
                wrong.append(f"{path} imports {name}: a view knows no sheet")
        elif here in ONLY and top not in ONLY[here] and path not in SERVERS and not (here == "start" and in_function):
            wrong.append(f"{path} imports {name}")
    return wrong


def graph(modules: Modules) -> dict[str, set[str]]:
    """The modules that each module imports, as a graph; a package's own ``__init__`` is imported with it."""
    made: dict[str, set[str]] = {dotted(path): set() for path in modules}
    for path, name, _ in imports(modules):
        if name.startswith("rooflab.") and name != dotted(path):
            made[dotted(path)].add(name)
    return made


def test_imports_go_to_an_earlier_folder_or_stay() -> None:
    package = ROOT / "rooflab"
    assert {path.name for path in package.iterdir() if (path / "__init__.py").is_file()} == set(ORDER)
    assert {path.name for path in package.glob("*.py")} == {"__init__.py", "__main__.py"}
    inside = {path.name for path in (package / "live").iterdir() if path.is_dir()} - {"__pycache__"}
    assert inside == set(LIVE) and {path.name for path in (package / "live").glob("*.py")} == {"__init__.py"}
    assert against_the_order(sources()) == []


def test_no_folder_imports_in_a_circle() -> None:
    """``graphlib`` refuses a graph with a circle and names it."""
    graphlib.TopologicalSorter(graph(sources())).prepare()


def test_each_folder_says_what_it_holds() -> None:
    for path, text in sources().items():
        if path.endswith("__init__.py"):
            assert ast.get_docstring(ast.parse(text)), path


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("base/measure.py", "def f():\n    from ..house.planes import Gable\n"),
        ("base/geometry.py", "from rooflab import house\n"),
        ("base/lumber.py", "import rooflab\n"),
        ("house/bays.py", "def f():\n    def g():\n        import rooflab.checks.limits as c\n"),
        ("checks/limits.py", "from ..draw import views\n"),
        ("draw/views/marks.py", "from ..sheets.page import Page\n"),
        ("checks/limits.py", "def f():\n    import matplotlib.pyplot as plt\n"),
        ("house/readings.py", "from importlib import import_module\nimport_module('rooflab.live')\n"),
        ("house/readings.py", "import importlib\nimportlib.import_module(name)\n"),
        ("elsewhere/thing.py", "import math\n"),
    ],
)
def test_an_upward_import_is_found(path: str, text: str) -> None:
    """The rule itself is tried: each of these breaks it."""
    assert len(against_the_order({path: text})) == 1


def test_a_circle_is_found() -> None:
    circle = {"house/bays.py": "from .jog import jog\n", "house/jog.py": "def f():\n    from . import bays\n"}
    with pytest.raises(graphlib.CycleError):
        graphlib.TopologicalSorter(graph(circle)).prepare()


def test_imports_of_earlier_folders_are_allowed() -> None:
    bays = "import numpy\nfrom rooflab.base import geometry as geo\nfrom ..base.measure import inches\n"
    view = "from ..scene import Scene\nfrom .section import section\nfrom rooflab.house.planes import Gable\n"
    assert against_the_order({"house/bays.py": bays, "draw/views/marks.py": view}) == []


def test_no_module_is_named_like_a_public_name() -> None:
    """Python would put the module in the place of the function once it is imported."""
    from rooflab import live

    assert rooflab.__all__ and live.__all__
    assert set(rooflab.__all__).isdisjoint(ORDER)
    assert set(live.__all__).isdisjoint(LIVE)


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


def test_what_a_start_needs_stays_below_its_next_major_version() -> None:
    """A later major version may break what is used here; what only tests need is not installed for everybody."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    for line in project["dependencies"]:
        assert re.fullmatch(r"[a-z]+>=\d+\.\d+,<\d+", line), line
        assert split_requirement(line)[2] == line.partition("<")[2]
    assert not {"nbval", "pytest"} & {split_requirement(line)[0] for line in project["dependencies"]}


def test_the_wheel_carries_readme_license_and_workbooks(tmp_path: Path) -> None:
    """Built as pip builds it (PEP 517), and read: core metadata 2.4 names the license and its file (PEP 639)."""
    pytest.importorskip("hatchling")
    options = ["--quiet", "--no-deps", "--no-build-isolation", "--wheel-dir", str(tmp_path)]
    subprocess.run([sys.executable, "-m", "pip", "wheel", *options, str(ROOT)], check=True)
    (wheel,) = tmp_path.glob("rooflab-*.whl")
    with zipfile.ZipFile(wheel) as files:
        names = files.namelist()
        (about,) = [name for name in names if name.endswith(".dist-info/METADATA")]
        metadata = email.message_from_bytes(files.read(about))
        (held,) = [name for name in names if name.endswith(".dist-info/licenses/rooflab/LICENSE.txt")]
        text = files.read(held).decode("utf-8")
    assert metadata["License-Expression"] == "BSD-3-Clause" and metadata["License-File"] == "rooflab/LICENSE.txt"
    assert text.startswith("BSD 3-Clause License") and text.count("\n1. ") == text.count("\n3. ") == 1
    assert metadata["Description-Content-Type"] == "text/markdown"
    assert metadata.get_payload(decode=True) == (ROOT / "README.md").read_bytes()
    shipped = {f"rooflab/workbooks/{path.name}" for path in (ROOT / "workbooks").glob("*.ipynb")}
    assert shipped <= set(names) and not [name for name in names if name.startswith("tests/")]


def other_tests(modules: Modules) -> list[str]:
    """Imports of one test file by another file below tests/, one sentence each."""
    wrong = []
    for path, text in modules.items():
        for node in ast.walk(ast.parse(text)):
            found: list[str] = []
            if isinstance(node, ast.Import):
                found = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                found = [f"{node.module or '.'}.{alias.name}" for alias in node.names]
            wrong += [f"{path} imports {name}" for name in found if re.search(r"(^|\.)(test_\w*|conftest)(\.|$)", name)]
    return wrong


def test_no_test_file_is_imported() -> None:
    """Helpers stand in tests/tools and scripts in tests/scripts; a test file can be moved or removed alone."""
    folder = ROOT / "tests"
    files = {path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8") for path in folder.rglob("*.py")}
    assert len(files) > 40
    assert other_tests(files) == []
    top = {path.name for path in folder.glob("*.py")}
    assert top == {"conftest.py"}


def test_browser_tests_stand_together() -> None:
    """A quick run leaves out what is marked; what stands in tests/browser is marked, and nothing else."""
    folder, mark = ROOT / "tests", "pytest.mark." + "browser"
    marked = {path for path in folder.rglob("test_*.py") if mark in path.read_text(encoding="utf-8")}
    assert marked - {folder / "start" / "test_command.py"} == set((folder / "browser").glob("test_*.py"))
    for path in (folder / "browser").glob("test_*.py"):
        assert f"\npytestmark = {mark}\n" in path.read_text(encoding="utf-8"), path.name


def test_the_search_for_imported_tests_finds_them() -> None:
    tries = {
        "a.py": "from tests.house.test_bays import gable",
        "b.py": "import tests.house.test_bays",
        "c.py": "def f():\n    from tests.house import test_bays",
        "d.py": "from .test_bays import gable",
        "e.py": "from tests.conftest import chromium",
        "f.py": "from tests.tools.browser import Browser\nfrom rooflab.base import measure",
    }
    assert [line[0] for line in other_tests(tries)] == ["a", "b", "c", "d", "e"]
