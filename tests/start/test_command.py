"""The way in: what it decides before anything is installed. No network, no JupyterLab, nothing outside tmp_path."""

from __future__ import annotations

import ast
import importlib.util
import json
import os
import queue
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from rooflab.start import child, environment
from rooflab.start import command as start
from rooflab.start.copies import STATE, CannotStart

ROOT = Path(__file__).resolve().parents[2]
PYPROJECT = """
[project]
dependencies = ["numpy>=1.26"]
optional-dependencies = { test = ["pytest>=8"] }
"""


# --- the door itself -------------------------------------------------------------------------------------------


def test_the_door_opens_with_the_standard_library_alone() -> None:
    """Run without site-packages, the entry loads nothing that Python does not bring."""
    code = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r}); import rooflab.__main__, rooflab.start; "
        "print(sorted({m.partition('.')[0] for m in sys.modules} - set(sys.stdlib_module_names) - {'__main__'}))"
    )
    run = subprocess.run([sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True)
    assert (run.stdout.strip(), run.stderr) == ("['rooflab']", "")


@pytest.mark.parametrize("name", ["__init__.py", "__main__.py"])
def test_an_older_python_gets_as_far_as_the_sentence(name: str) -> None:
    """What runs before the version is looked at has to be readable for Python 3.7: syntax and annotations."""
    text = (ROOT / "rooflab" / name).read_text(encoding="utf-8")
    tree = ast.parse(text, feature_version=(3, 7))
    annotated = any(isinstance(node, ast.FunctionDef) and node.returns for node in ast.walk(tree))
    assert not annotated or "from __future__ import annotations" in text


def test_the_help_names_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        start.main(["--help"])
    printed = capsys.readouterr().out
    assert end.value.code == 0 and printed.isascii()
    assert "test [--all] [PYTEST ARGUMENTS]" in printed and "--here" in printed
    assert "table [JOBFILE] [--folder FOLDER]" in printed


def test_say_prints_ascii(capsys: pytest.CaptureFixture[str]) -> None:
    start.say("folder caf\u00e9")
    assert capsys.readouterr().out == "rooflab: folder caf\\xe9\n"


# --- the command line ------------------------------------------------------------------------------------------


def test_arguments() -> None:
    command, args = start.read_command([])
    assert (command, args.folder, args.here, args.browser, args.port) == ("open", None, False, True, None)
    for argv in (["mine", "--no-browser", "--port", "9000"], ["open", "--port=9000", "--no-browser", "mine"]):
        command, args = start.read_command(argv)
        assert (command, args.folder, args.browser, args.port) == ("open", "mine", False, 9000)
    assert start.read_command(["open", "--here"])[1].here
    command, args = start.read_command(["test", "-k", "heel", "--port"])
    assert (command, args.all, args.pytest) == ("test", False, ["-k", "heel", "--port"])
    for argv in (["test", "--all", "-k", "heel"], ["test", "-k", "heel", "--all"]):
        command, args = start.read_command(argv)
        assert (command, args.all, args.pytest) == ("test", True, ["-k", "heel"])


@pytest.mark.parametrize(
    ("argv", "sentence"),
    [
        (["--port", "80"], "'80' is not a port; a whole number from 1024 to 65535 is."),
        (["--port", "70000"], "'70000' is not a port"),
        (["--port", "8.5"], "'8.5' is not a port"),
        (["--here", "mine"], "a FOLDER cannot be named with it"),
        (["one", "two"], "unrecognized arguments: two"),
    ],
)
def test_wrong_arguments_get_a_sentence(argv: list[str], sentence: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        start.read_command(argv)
    assert end.value.code == 2 and sentence in capsys.readouterr().err


@pytest.mark.parametrize(
    ("word", "meant"),
    [("tset", "test"), ("Test", "test"), ("tests", "test"), ("presnt", "present"), ("opne", "open"),
     ("tabel", "table")],  # fmt: skip
)
def test_a_mistyped_command_is_asked_about(
    word: str, meant: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SystemExit) as end:
        start.main([word])
    last = capsys.readouterr().err.splitlines()[-1]
    assert end.value.code == 2 and list(tmp_path.iterdir()) == []
    assert f"did you mean {meant}? To open a folder of that name: .{os.sep}{word}" in last
    for argv in ([f".{os.sep}{word}"], ["open", word], [str(tmp_path / word)]):
        assert start.read_command(argv)[1].folder == argv[-1]
    (tmp_path / word).mkdir()  # a folder that is there
    assert start.read_command([word])[1].folder == word


@pytest.mark.parametrize("word", ["mine", "roofs", "house", "one"])
def test_other_words_are_folders(word: str) -> None:
    assert start.read_command([word])[1].folder == word


def test_a_start_without_a_home_gets_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def homeless() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(Path, "home", homeless)
    monkeypatch.setattr(start, "lacking", lambda lines: [])
    assert start.main([]) == 1
    assert "there is no home folder for your copy; name a folder: " in capsys.readouterr().out
    assert start.main(["~nobody-of-this-name/copy"]) == 1
    assert "begins with the home folder of nobody known here" in capsys.readouterr().out


@pytest.mark.skipif(os.name == "nt", reason="permissions are POSIX")
def test_a_page_that_others_could_read_stands_in_a_private_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stick whose file system knows no permissions shows every file to everybody."""
    opened: queue.Queue[str] = queue.Queue()
    monkeypatch.setattr(start.webbrowser, "open", opened.put)
    state, private = tmp_path / "state", tmp_path / "private"
    state.mkdir()
    private.mkdir()
    monkeypatch.setattr(Path, "chmod", lambda *_: None)
    start.show("http://127.0.0.1:8888/?token=s", state, True, private)
    assert opened.get(timeout=10) == start.address_page(private).as_uri() and list(state.iterdir()) == []


def test_a_taken_port_gets_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "original_folder", lambda: tmp_path)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        _, args = start.read_command(["--port", str(port)])
        with pytest.raises(CannotStart, match=f"port {port} is in use"):
            start.open_workbooks(args, None)
    assert start.port_is_free(port)


# --- what is installed -----------------------------------------------------------------------------------------


def test_requirements_come_from_the_project(tmp_path: Path) -> None:
    (tmp_path / "pyproject.toml").write_text(PYPROJECT, encoding="utf-8")
    assert environment.requirements(tmp_path, test=False) == ["numpy>=1.26"]
    assert environment.requirements(tmp_path, test=True) == ["numpy>=1.26", "pytest>=8"]


def test_every_requirement_of_this_project_can_be_read() -> None:
    lines = environment.requirements(ROOT, test=True)
    assert {"jupyterlab", "pytest"} <= {environment.split_requirement(line)[0] for line in lines}
    with pytest.raises(CannotStart, match="not of the form"):
        environment.split_requirement("numpy<3; python_version > '3.10'")


def test_lacking(monkeypatch: pytest.MonkeyPatch) -> None:
    have = {"old": "1.9.3", "right": "2.10.0rc1", "any": "0.1", "new": "5.0.0a1", "last": "4.99"}

    def version(name: str) -> str:
        if name not in have:
            raise environment.importlib.metadata.PackageNotFoundError(name)
        return have[name]

    monkeypatch.setattr(environment.importlib.metadata, "version", version)
    lines = ["old>=1.10", "right>=2.9", "any", "none>=1", "none"]
    assert environment.lacking(lines) == ["old>=1.10", "none>=1", "none"]
    lines = ["new>=4.2,<5", "last>=4.2,<5", "last<5,>=4.2", "old >=1.10, <3"]  # the third as a wheel's record has it
    assert environment.lacking(lines) == ["new>=4.2,<5", "old >=1.10, <3"]


def test_a_wheel_has_no_tests(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(start, "find_root", lambda: None)
    assert start.main(["test"]) == 1
    assert "the tests are in the project's folder" in capsys.readouterr().out


def test_an_incomplete_wheel_says_what_to_run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(start, "find_root", lambda: None)
    monkeypatch.setattr(start, "requirements", lambda root, test: ["no-such-thing-here>=1"])
    assert start.main([]) == 1
    assert "lacks no-such-thing-here>=1; run: python -m pip install" in capsys.readouterr().out


def test_a_checkout_is_told_from_a_wheel(tmp_path: Path) -> None:
    assert environment.find_root(tmp_path / "rooflab") is None
    (tmp_path / "pyproject.toml").write_text(PYPROJECT, encoding="utf-8")
    assert environment.find_root(tmp_path / "rooflab") == tmp_path


# --- the private environment -----------------------------------------------------------------------------------


class Machine:
    """Stands in for the programs that the start runs: a probe, venv, ensurepip and pip, each as told."""

    def __init__(self, root: Path) -> None:
        self.root, self.venv = root, root / ".venv"
        self.python, self.has_pip = "", False
        self.answers: dict[str, list[tuple[int, str]]] = {}
        self.ran: list[str] = []
        self.faults: list[str] = []

    def probe(self, venv: Path, module: str = "sys") -> str:
        return self.python if module == "sys" or self.has_pip else ""

    def run(self, command: list[object], env: dict[str, str], cwd: Path) -> tuple[int, str]:
        assert command[2] == "rooflab.start.child"  # whatever is run ends with the start
        tool = str(command[3])
        self.ran.append(f"pip {str(command[-1]).removeprefix(str(self.root))}".strip() if tool == "pip" else tool)
        code, output = self.answers.get(tool, [(0, "")]).pop(0) if self.answers.get(tool) else (0, "")
        if tool in ("venv", "ensurepip") and code == 0:
            self.has_pip, self.python = True, self.python or "3.11"
        return code, output

    def fault(self, venv: Path, modules: object) -> str:
        return self.faults.pop(0) if self.faults else ""


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    (tmp_path / "pyproject.toml").write_text(PYPROJECT, encoding="utf-8")
    fake = Machine(tmp_path)
    monkeypatch.setattr(environment, "probe", fake.probe)
    monkeypatch.setattr(environment, "run_quietly", fake.run)
    monkeypatch.setattr(environment, "fault", fake.fault)
    return fake


def ready(machine: Machine, test: bool = False, again: bool = False) -> list[str]:
    """What make_ready runs."""
    machine.ran.clear()
    assert environment.make_ready(machine.root, test, again) == environment.venv_python(machine.venv)
    return list(machine.ran)


def test_the_second_start_runs_nothing(machine: Machine) -> None:
    assert ready(machine) == ["venv", "pip"]
    assert ready(machine) == []


def test_the_tests_are_added_once_and_stay(machine: Machine) -> None:
    assert ready(machine) == ["venv", "pip"]
    assert ready(machine, test=True) == ["pip [test]"]
    assert ready(machine, test=True) == ready(machine) == []
    (machine.root / "pyproject.toml").write_text(PYPROJECT + "\n# changed", encoding="utf-8")
    assert ready(machine) == ["pip [test]"]


def test_another_python_or_a_moved_folder_installs_again(machine: Machine, tmp_path: Path) -> None:
    assert ready(machine) == ["venv", "pip"]
    machine.python = "3.13"
    assert ready(machine) == ["pip"]
    assert environment.stamp_key(machine.root, "3.13") != environment.stamp_key(machine.root, "3.12")
    moved = tmp_path / "moved"
    moved.mkdir()
    (moved / "pyproject.toml").write_text(PYPROJECT, encoding="utf-8")
    assert environment.stamp_key(machine.root, "3.13") != environment.stamp_key(moved, "3.13")


def test_what_was_taken_out_by_hand_is_put_back(machine: Machine) -> None:
    assert ready(machine) == ["venv", "pip"]
    assert ready(machine, again=True) == ["pip"]


def test_half_made_environments_are_repaired(machine: Machine) -> None:
    (machine.venv / "bin").mkdir(parents=True)  # broken off before there was a Python
    assert ready(machine) == ["venv", "pip"]
    for half in ("{}", "", '{"test": "yes"'):  # broken off while pip ran: what it left may look installed to it
        (machine.venv / environment.STAMP).write_text(half, encoding="utf-8")
        (machine.venv / "lib").mkdir()
        assert ready(machine) == ["venv", "pip"] and not (machine.venv / "lib").exists()
    machine.has_pip = False  # taken out by hand
    assert ready(machine, again=True) == ["ensurepip", "pip"]
    machine.has_pip = False
    machine.answers = {"ensurepip": [(1, "")]}
    assert ready(machine, again=True) == ["ensurepip", "venv", "pip"]
    machine.answers = {"pip": [(1, "error: uninstall-no-record-file")]}  # a package broken off in the middle
    assert ready(machine, again=True) == ["pip", "venv", "pip"]


def test_nothing_counts_as_installed_before_it_can_be_used(machine: Machine) -> None:
    """pip says that all is well; what it installed is looked at, made anew once, and otherwise a sentence says so."""
    assert ready(machine) == ["venv", "pip"]
    (machine.root / "pyproject.toml").write_text(PYPROJECT + "\n# changed", encoding="utf-8")
    machine.faults = ["JupyterLab's page is missing"]
    assert ready(machine) == ["pip", "venv", "pip"]
    machine.faults = ["No module named 'numpy'"] * 2
    with pytest.raises(CannotStart, match="not whole: No module named 'numpy'. Delete .*venv and start again"):
        environment.make_ready(machine.root, test=False, again=True)
    assert environment.read_json(machine.venv / environment.STAMP) == {}  # half made, and ours
    assert ready(machine) == ["venv", "pip"]


def test_an_environment_that_is_not_ours_is_left_alone(machine: Machine) -> None:
    (machine.venv / "lib").mkdir(parents=True)
    machine.python = "3.12"
    with pytest.raises(CannotStart, match=r"venv was not finished, or was made by something else; delete it"):
        environment.make_ready(machine.root, test=False)
    assert (machine.venv / "lib").is_dir() and machine.ran == []


def test_what_an_environment_lacks_is_found_by_its_own_python(tmp_path: Path) -> None:
    """A real one, as small as can be: a package by its record (PEP 376), a page of JupyterLab's, an import."""
    venv = tmp_path / "a b" / ".venv"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", venv], check=True)
    assert "page" in environment.fault(venv, [])
    page = venv.joinpath(*environment.PAGE)
    page.parent.mkdir(parents=True)
    page.write_text("", encoding="utf-8")
    assert "page" in environment.fault(venv, [])  # a full disk leaves it empty
    page.write_text("<html>", encoding="utf-8")
    assert environment.fault(venv, ["json"]) == ""
    assert environment.fault(venv, ["json", "bay"]) == "ModuleNotFoundError: No module named 'bay'"
    ask = [str(environment.venv_python(venv)), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"]
    packages = Path(subprocess.run(ask, capture_output=True, text=True, check=True).stdout.strip())
    about = packages / "bay-1.0.dist-info"
    about.mkdir()
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: bay\nVersion: 1.0\n", encoding="utf-8")
    assert environment.fault(venv, ["json"]) == "bay is not whole"  # pip writes the record last
    (about / "RECORD").write_text("bay.py,sha256=x,6\nbay-1.0.dist-info/RECORD,,\n", encoding="utf-8")
    assert environment.fault(venv, ["json"]).endswith("bay.py is missing")
    (packages / "bay.py").write_text("x = 1\n", encoding="utf-8")
    assert environment.fault(venv, ["json", "bay"]) == ""


def test_the_needed_packages_are_imported_by_their_names() -> None:
    names = [environment.split_requirement(line)[0] for line in environment.requirements(ROOT, test=False)]
    assert "jupyterlab" in names and all(importlib.util.find_spec(name.replace("-", "_")) for name in names)


ONE_START = """
import sys, time
from pathlib import Path
from rooflab.start import environment

root = Path(sys.argv[1])
inside = root / ".venv" / "lib"

def run(command, env, cwd):
    print("ran", command[3], flush=True)
    inside.mkdir(exist_ok=True)
    time.sleep(1)
    return 0, ""

environment.run_quietly = run
environment.probe = lambda venv, module="sys": "3.12" if inside.exists() else ""
environment.fault = lambda venv, modules: ""
print("ready", flush=True)
sys.stdin.readline()
environment.make_ready(root, False)
"""


def test_two_starts_at_once_set_up_once(tmp_path: Path) -> None:
    """Two processes and one folder: the second waits, says so, and finds the environment ready."""
    (tmp_path / "pyproject.toml").write_text(PYPROJECT, encoding="utf-8")
    (tmp_path / "one_start.py").write_text(ONE_START, encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    words = [sys.executable, str(tmp_path / "one_start.py"), str(tmp_path)]
    two = [subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=env) for _ in "12"]
    for one in two:
        assert one.stdout and one.stdout.readline() == "ready\n"
    for one in two:
        assert one.stdin
        one.stdin.write("\n")
        one.stdin.flush()
    printed = sorted((one.communicate()[0] for one in two), key=len)
    assert [one.returncode for one in two] == [0, 0]
    assert printed[0].startswith("rooflab: another start is setting up ") and "ran" not in printed[0]
    assert printed[1].count("ran venv") == printed[1].count("ran pip") == 1


def test_an_environment_with_an_old_python_is_made_anew(machine: Machine) -> None:
    machine.venv.mkdir()
    environment.write_stamp(machine.venv, key="of another Python")
    machine.python = "3.9"
    assert ready(machine) == ["venv", "pip"]


@pytest.mark.parametrize(
    ("answers", "sentence"),
    [
        ({"venv": [(1, "ensurepip is not available. On Debian/Ubuntu systems")]}, "sudo apt install python3-venv"),
        ({"venv": [(1, "No module named venv")]}, "sudo apt install python3-venv"),
        ({"venv": [(1, "No space left on device")]}, "could not make the environment"),
        ({"pip": [(1, "ERROR: [Errno 28] No space left on device")]}, "the disk is full. Make room, delete "),
        ({"pip": [(2, "")]}, "Delete "),
        ({"pip": [(1, "Failed to establish ... Temporary failure in name resolution")]}, "no connection"),
        ({"pip": [(1, "ERROR: No matching distribution found for numpy")]}, "pip's last lines stand above"),
    ],
)
def test_failures_get_a_sentence(
    machine: Machine,
    answers: dict[str, list[tuple[int, str]]],
    sentence: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    machine.answers = answers
    monkeypatch.setattr(start, "find_root", lambda: machine.root)
    monkeypatch.setattr(start, "lacking", lambda lines: ["numpy>=1.26"])
    monkeypatch.delenv(start.DEPTH, raising=False)
    assert start.main([]) == 1
    last = capsys.readouterr().out.splitlines()[-1]
    assert sentence in last and last.startswith("rooflab: ")
    assert "key" not in environment.read_json(machine.venv / environment.STAMP)  # so the next start makes it anew


def test_a_start_never_goes_round_in_circles(
    machine: Machine, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(start, "find_root", lambda: machine.root)
    monkeypatch.setattr(start, "lacking", lambda lines: ["numpy>=1.26"])
    monkeypatch.setenv(start.DEPTH, "II")
    assert start.main([]) == 1
    assert "still lacks numpy>=1.26; delete the folder .venv" in capsys.readouterr().out
    assert machine.ran == []


def test_other_things_in_the_way_are_left_alone(machine: Machine) -> None:
    machine.venv.mkdir()
    (machine.venv / "letters.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(CannotStart, match="is in the way"):
        environment.make_ready(machine.root, test=False)
    (machine.venv / "letters.txt").unlink()
    machine.venv.rmdir()
    machine.venv.write_text("a file", encoding="utf-8")
    with pytest.raises(CannotStart, match="is in the way"):
        environment.make_ready(machine.root, test=False)
    assert machine.ran == [] and machine.venv.read_text(encoding="utf-8") == "a file"


def test_a_folder_that_cannot_be_written_gets_a_sentence(machine: Machine, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(CannotStart, match=r"cannot write in the project's folder .* \(Permission denied\)"):
        environment.make_ready(machine.root, test=False)


def test_another_pythons_settings_stay_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV", "PIP_TARGET", "PIP_USER"):
        monkeypatch.setenv(name, "elsewhere")
    monkeypatch.setenv("ROOFLAB_BROWSER", "required")
    env = environment.clean_environment(tmp_path)
    assert (env["PYTHONPATH"], env["PIP_USER"], env["ROOFLAB_BROWSER"]) == (str(tmp_path), "0", "required")
    assert not {"PYTHONHOME", "VIRTUAL_ENV", "PIP_TARGET"} & set(env)


def test_where_the_python_stands() -> None:
    assert environment.venv_python(Path(".venv"), windows=True) == Path(".venv/Scripts/python.exe")
    assert environment.venv_python(Path(".venv"), windows=False) == Path(".venv/bin/python")


def test_probing_a_missing_environment(tmp_path: Path) -> None:
    assert environment.probe(tmp_path / ".venv") == ""


def test_a_program_is_run_with_its_output_and_its_code(tmp_path: Path) -> None:
    (tmp_path / "three.py").write_text("print('a\u00e9'); exit(3)", encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), str(tmp_path)])}
    code, output = environment.run_quietly(child.child_command(sys.executable, "three"), env, tmp_path)
    assert code == 3 and output.startswith("a")
    assert environment.tail("one\n\ntwo caf\u00e9\n", 1) == "    two caf\\xe9"


@pytest.mark.skipif(os.name == "nt", reason="signals are POSIX")
@pytest.mark.parametrize(
    ("answer", "patience", "signals", "code"),
    [
        ("lambda *_: exit(7)", None, [signal.SIGINT, signal.SIGTERM], 7),  # Ctrl-C went to the program, not here
        ("lambda *_: exit(7)", 60, [signal.SIGTERM], 7),
        ("signal.SIG_IGN", 0.2, [signal.SIGTERM], 130),  # hangs, and is stopped hard
        ("signal.SIG_IGN", 60, [signal.SIGINT, signal.SIGINT], 130),  # asked twice
    ],
)
def test_ctrl_c_and_a_request_to_end(answer: str, patience: float | None, signals: list[int], code: int) -> None:
    before = signal.getsignal(signal.SIGINT), signal.getsignal(signal.SIGTERM)
    program = f"import signal, time; signal.signal(signal.SIGTERM, {answer}); print(flush=True); time.sleep(60)"
    try:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        running = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, start_new_session=True)
        assert running.stdout and running.stdout.readline()
        for turn, number in enumerate(signals, start=1):
            threading.Timer(0.5 * turn, os.kill, (os.getpid(), number)).start()
        assert start.wait_for(running, patience) == code
        running.stdout.close()
    finally:
        signal.signal(signal.SIGINT, before[0])
        signal.signal(signal.SIGTERM, before[1])


SLEEPER = """
import os, subprocess, sys, time
from pathlib import Path

if "deeper" in sys.argv:
    time.sleep(60)
place, here = Path(sys.argv[1]), Path(__file__)
below = subprocess.Popen([sys.executable, here, "deeper"]) if "group" in sys.argv else None
(place / "half").write_text(f"{os.getpid()} {below.pid if below else ''} {sys.stdin.read()!r}")
os.replace(place / "half", place / "pids")
time.sleep(60)
"""
STARTER = """
import os, subprocess, sys
from pathlib import Path
from rooflab.start import command, environment
from rooflab.start.child import child_command

place = Path(sys.argv[1])
if "group" in sys.argv:  # as pip is run
    words = child_command(sys.executable, "sleeper", place, "group")
    work = lambda: environment.run_quietly(words, dict(os.environ), place)
else:  # as JupyterLab is run
    work = lambda: command.wait_for(
        subprocess.Popen(child_command(sys.executable, "sleeper", place), stdin=subprocess.PIPE), patience=8
    )
with command.requests_to_end():
    sys.exit(work() and 3)
"""


def lives(pid: int) -> bool:
    """Whether a process of this number runs; one that has ended and was not waited for does not."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    state = subprocess.run(["ps", "-o", "stat=", "-p", str(pid)], capture_output=True, text=True).stdout.strip()
    return bool(state) and not state.startswith("Z")


def until(true: Callable[[], object], seconds: float = 15) -> bool:
    """Whether something comes true in time."""
    late = time.monotonic() + seconds
    while not true() and time.monotonic() < late:
        time.sleep(0.05)
    return bool(true())


@pytest.mark.skipif(os.name == "nt", reason="signals are POSIX")
@pytest.mark.parametrize("how", ["alone", "group"])
@pytest.mark.parametrize("number", ["SIGKILL", "SIGTERM", "SIGHUP", "SIGINT"])
def test_nothing_outlives_its_start(tmp_path: Path, how: str, number: str) -> None:
    """A starter, killed even, leaves neither its child nor what that started; the child reads an empty stdin."""
    (tmp_path / "sleeper.py").write_text(SLEEPER, encoding="utf-8")
    (tmp_path / "starter.py").write_text(STARTER, encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), str(tmp_path)])}
    words = [sys.executable, str(tmp_path / "starter.py"), str(tmp_path), how]
    starter = subprocess.Popen(words, env=env, start_new_session=True, stderr=subprocess.DEVNULL)
    record = tmp_path / "pids"
    assert until(record.exists)
    *pids, empty = record.read_text(encoding="utf-8").split()
    assert empty == "''" and len(pids) == (2 if how == "group" else 1)
    (os.killpg if number in ("SIGINT", "SIGHUP") else os.kill)(
        starter.pid, getattr(signal, number)
    )  # a console's: to all
    assert starter.wait(15) != 0
    assert until(lambda: not [pid for pid in pids if lives(int(pid))])


# --- JupyterLab ------------------------------------------------------------------------------------------------


def test_jupyter_gets_folders_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("JUPYTER_PATH", "JUPYTERLAB_SETTINGS_DIR", "JUPYTER_TOKEN", "IPYTHONDIR", start.DEPTH):
        monkeypatch.setenv(name, "elsewhere")
    monkeypatch.setenv("PYTHONPATH", "mine")
    env = start.own_jupyter(tmp_path / STATE, tmp_path / "run", None)
    assert "elsewhere" not in env.values() and env["PYTHONPATH"] == "mine"
    assert env["JUPYTER_CONFIG_DIR"].startswith(str(tmp_path)) and env["IPYTHONDIR"].startswith(str(tmp_path))
    env = start.own_jupyter(tmp_path / STATE, tmp_path / "run", tmp_path)
    assert env["PYTHONPATH"].split(os.pathsep) == [str(tmp_path), "mine"]


def test_the_lab_command(tmp_path: Path) -> None:
    command = start.lab_command(tmp_path, "01 one.ipynb", None)
    assert command[:4] == [sys.executable, "-m", "rooflab.start.child", "jupyterlab"]
    assert "--ServerApp.ip=127.0.0.1" in command  # "localhost" may be another program's on ::1
    assert f"--ServerApp.root_dir={tmp_path}" in command and "--LabApp.default_url=/doc/tree/01%20one.ipynb" in command
    assert not [word for word in command if "token" in word or "port" in word]
    assert "--ServerApp.port=9000" in start.lab_command(tmp_path, "01.ipynb", 9000)


def test_the_address_is_read_from_the_servers_record(tmp_path: Path) -> None:
    assert start.server_address(tmp_path) == ""
    (tmp_path / "jpserver-7.json").write_text('{"url": "http://loc', encoding="utf-8")  # still being written
    assert start.server_address(tmp_path) == ""
    (tmp_path / "jpserver-7.json").write_text('{"url": "http://localhost:8888/", "port": 8888}', encoding="utf-8")
    assert start.server_address(tmp_path) == "http://localhost:8888/"


def test_the_browser_is_sent_to_a_page_of_our_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    opened: queue.Queue[str] = queue.Queue()
    monkeypatch.setattr(start.webbrowser, "open", opened.put)
    start.show("http://localhost:8888/doc/tree/01.ipynb?token=s&x", tmp_path, browser=False)
    page = start.address_page(tmp_path)
    assert not page.exists()
    start.show("http://localhost:8888/doc/tree/01.ipynb?token=s&x", tmp_path, browser=True)
    assert opened.get(timeout=10) == page.as_uri()
    assert "url=http://localhost:8888/doc/tree/01.ipynb?token=s&amp;x" in page.read_text("utf-8")
    assert "go to http://localhost:8888/doc/tree/01.ipynb?token=s&x" in capsys.readouterr().out


def test_settings_ask_for_neither_news_nor_updates(tmp_path: Path) -> None:
    start.write_settings(tmp_path)
    written = json.loads((tmp_path / "config" / "labconfig" / "default_setting_overrides.json").read_text("utf-8"))
    assert written["@jupyterlab/apputils-extension:notification"]["fetchNews"] == "false"


def test_originals_are_opened_in_a_checkout_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "original_folder", lambda: tmp_path)
    with pytest.raises(CannotStart, match="--here edits the originals of a checkout"):
        start.open_workbooks(start.read_command(["--here"])[1], None)


# --- the tests -------------------------------------------------------------------------------------------------


ONE_OF_EACH = """import os, pytest
def test_plain(): assert os.environ["ROOFLAB_TESTS"] in ("quick", "all")
@pytest.mark.browser
def test_in_a_browser(): pass
@pytest.mark.deep
def test_deep(): pass
"""


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A project with the conftest of this one and three tests: a plain one, one in a browser, a deep one."""
    for part in ("conftest.py", "tools/browser.py", "tools/depth.py", "tools/fonts.py"):
        place = tmp_path / "tests" / part
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text((ROOT / "tests" / part).read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "tests" / "test_three.py").write_text(ONE_OF_EACH, encoding="utf-8")
    settings = "[pytest]\npythonpath = .\nmarkers =\n  browser\n  deep\n"
    (tmp_path / "pytest.ini").write_text(settings, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("argv", "browser", "closing", "code"),
    [
        ([], "no", "1 passed, 2 deselected", 0),
        (["-m", "browser"], "no", "3 deselected", 5),
        (["--all"], "no", "2 passed, 1 skipped", 0),
        (["--all"], "required", "2 passed, 1 error", 1),
        (["--all", "-k", "plain or deep"], "no", "2 passed, 1 deselected", 0),
    ],
)
def test_the_quick_run_says_what_it_left_out(
    argv: list[str], browser: str, closing: str, code: int, project: Path,
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """The last line names the command for the rest; with ``--all`` the last line is pytest's own."""
    monkeypatch.setenv("ROOFLAB_BROWSER", browser)
    monkeypatch.setenv("ROOFLAB_CHROMIUM", "")
    monkeypatch.setenv("PATH", "")  # no browser is found
    _, args = start.read_command(["test", *argv])
    assert start.run_tests([*args.pytest, "-q"], project, args.all) == code
    *_, before, last = [line for line in capfd.readouterr().out.splitlines() if line.strip()]
    if args.all:
        assert closing in last
    else:
        assert closing in before and last.startswith("rooflab: left out: ") and last.endswith(" -m rooflab test --all")
