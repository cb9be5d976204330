"""The public names: editors and type checkers see them, and each of them says what it is."""

from __future__ import annotations

import ast
import collections
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import jedi
import pytest

import rooflab as rl
from rooflab import live
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.jog import WallJog
from rooflab.house.readings import READINGS, JogReadings, RafterReadings, ScissorReadings

ROOT = Path(__file__).resolve().parents[2]
HOUSE = "import rooflab as rl\nfrom rooflab import live\n\nbay = rl.RafterBay(rl.Gable(\"24'\", 9, 5.5), \"2x12\")\n"


def of_mypy(folder: Path, *lines: str) -> list[str]:
    """What mypy says of each line, in a file that begins as a cell of a workbook does; "" where it is content."""
    file = folder / "cell.py"
    file.write_text(HOUSE + "\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    command = [sys.executable, "-m", "mypy", "--no-error-summary", "--hide-error-context", str(file)]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, encoding="utf-8", timeout=300)
    said = dict.fromkeys(range(1, HOUSE.count("\n") + len(lines) + 1), "")
    for line in run.stdout.splitlines():
        number, _, sentence = line.removeprefix(str(file)).removeprefix(":").partition(": ")
        said[int(number)] += sentence
    assert not run.stderr and not any(said[n] for n in range(1, HOUSE.count("\n") + 1)), run.stdout + run.stderr
    return list(said.values())[HOUSE.count("\n") :]


@pytest.mark.deep
def test_a_type_checker_knows_what_each_name_is(tmp_path: Path) -> None:
    """Types of what comes out, a wrong argument, a name that is not there: as the design's vocabulary has them."""
    right = {
        "bay.heel": "float",
        "rl.inches(\"9'\")": "float",
        "rl.feet_inches(9)": "str",
        "bay.gable.slopes": "tuple[float, float]",
        "rl.ScissorBay(bay.gable, 4, bay.heel).heel_state": "str",
        "rl.pitch_for_heel(9, 11.25, 5)": "tuple[float, ...]",
        "rl.findings(bay)[0].sentence": "str",
        "rl.compare(bay, rl.ScissorBay(bay.gable, 4, bay.heel)).coplanar": "bool",
        "rl.wish": "def (",
        "live.practice": "def (",
        "live.Panel": "def (",
    }
    wrong = {
        "rl.RafterBay(3)": "[arg-type]",
        "rl.feet_inches()": "[call-arg]",
        "bay.hell": "[attr-defined]",
        "bay.ceiling_rise": "[attr-defined]",
        "rl.rafterbay": "[attr-defined]",
        "live.practise": "[attr-defined]",
    }
    said = of_mypy(tmp_path, *(f"reveal_type({code})" for code in right), *wrong)
    for code, expected, sentence in zip(right, right.values(), said[: len(right)], strict=True):
        assert sentence.startswith(f'note: Revealed type is "{expected}'), (code, sentence)
    for code, expected, sentence in zip(wrong, wrong.values(), said[len(right) :], strict=True):
        assert sentence.startswith("error: ") and sentence.count("error: ") == 1 and expected in sentence, code


@pytest.mark.deep
@pytest.mark.parametrize("package", ["rl", "live"])
def test_a_type_checker_knows_every_public_name(package: str, tmp_path: Path) -> None:
    names = {"rl": rl, "live": live}[package].__all__
    said = of_mypy(tmp_path, *(f"reveal_type({package}.{name})" for name in names))
    for name, sentence in zip(names, said, strict=True):
        assert sentence.startswith("note: ") and 'is "Any"' not in sentence, (name, sentence)


def test_an_editor_completes_every_public_name() -> None:
    """Asked of the text alone, nothing run: the names, and the arguments of a class."""
    assert set(rl.__all__) <= {name.name for name in jedi.Script("import rooflab as rl\nrl.").complete(2, 3)}
    assert set(live.__all__) <= {name.name for name in jedi.Script("from rooflab import live\nlive.").complete(2, 5)}
    readings = jedi.Script("import rooflab as rl\nrl.RafterBay(3).").complete(2, 16)
    assert {"heel", "notch_ratio", "with_", "gable"} <= {name.name for name in readings}


def test_type_checkers_are_told_to_look() -> None:
    """PEP 561: a package with this file is checked where it is used; it stands in the package, so the wheel has it."""
    assert (ROOT / "rooflab" / "py.typed").is_file()


@pytest.mark.parametrize(("package", "name"), [*((rl, n) for n in rl.__all__), *((live, n) for n in live.__all__)])
def test_a_public_name_says_what_it_is(package: ModuleType, name: str) -> None:
    thing = getattr(package, name)
    assert name in dir(package) and (not callable(thing) or thing.__name__ == name and thing.__doc__)


@pytest.mark.parametrize(
    ("bay", "names"), [(RafterBay, RafterReadings), (ScissorBay, ScissorReadings), (WallJog, JogReadings)]
)
def test_each_reading_is_an_attribute_that_an_editor_knows(bay: type, names: type) -> None:
    assert issubclass(bay, names)
    rows = {row.name for row in READINGS if row.bay == bay.kind}  # type: ignore[attr-defined]
    assert set(names.__annotations__) == rows


HEAVY = {"numpy", "matplotlib", "ezdxf", "contourpy", "IPython", "ipywidgets", "anywidget"}
NOT_FOR_A_PANEL = {"matplotlib", "ezdxf", "contourpy"}


@pytest.mark.parametrize(
    ("code", "without"),
    [
        ("import rooflab", HEAVY),
        ("from rooflab import live", HEAVY),
        ("from rooflab import live; live.one_plane(); live.predict; live.drill", NOT_FOR_A_PANEL),
    ],
)
def test_nothing_is_loaded_before_it_is_used(code: str, without: set[str]) -> None:
    """What a fresh Python holds afterwards: a workbook's first cell does not wait for paper, maps or drawing files."""
    shown = f"{code}\nimport sys\nprint(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", shown], capture_output=True, text=True, encoding="utf-8", check=True)
    assert not without & set(run.stdout.split())


def parse(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def definitions(kind: type[ast.AST], *folders: str) -> list[tuple[str, Path]]:
    """Names and modules of the classes or functions that stand at the top of the package's modules."""
    paths = [path for folder in folders for path in sorted((ROOT / "rooflab" / folder).rglob("*.py"))]
    nodes = [(path, node) for path in paths for node in parse(path).body if isinstance(node, kind)]
    return [(str(getattr(node, "name", "")), path) for path, node in nodes]


def test_a_class_name_means_one_thing() -> None:
    every = collections.Counter(name for name, _ in definitions(ast.ClassDef, "") if not name.startswith("_"))
    assert [name for name, times in every.items() if times > 1] == []


PARTICIPLES = set(
    "asked carried drawn found given handed held his kept made numbered ours proposed said settled shown taken theirs "
    "told written".split()
)
PUBLIC = {*rl.__all__, *live.__all__, "handed_over"}  # the last is a method of every bay


def test_a_participle_names_no_function_and_no_class() -> None:
    """What a function gives is said by a noun, what it does by a verb: methods and functions in functions too."""
    every = [node for path in sorted((ROOT / "rooflab").rglob("*.py")) for node in ast.walk(parse(path))]
    names = {node.name for node in every if isinstance(node, (ast.FunctionDef, ast.ClassDef))}
    assert [name for name in names - PUBLIC if set(name.lower().split("_")) & PARTICIPLES] == []


def test_a_function_name_means_one_thing() -> None:
    """No two modules define a function of one name, but for names that workbooks use."""
    modules: dict[str, set[Path]] = collections.defaultdict(set)  # overloads of one function stand in one module
    for name, path in definitions(ast.FunctionDef, ""):
        modules[name].add(path)
    shared = {name for name, paths in modules.items() if len(paths) > 1 and not name.startswith("_")}
    assert shared - PUBLIC == set()
