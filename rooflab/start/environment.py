"""What the running Python has, and the private environment ``.venv`` for a checkout whose Python lacks something.

Only the standard library is imported here: this runs before anything is installed.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.metadata
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterable, Sequence
from pathlib import Path

from .child import PATIENCE, child_command
from .copies import PACKAGE, CannotStart, alone, read_json

STAMP = "rooflab-stamp.json"  # in an environment of ours: {} while it is being made
LOCK = ".venv.lock"  # beside it: one start makes it, others wait
PAGE = ("share", "jupyter", "lab", "static", "index.html")  # of JupyterLab, inside an environment
VENV_PARTS = {"bin", "include", "lib", "lib64", "Include", "Lib", "Scripts", "share", "etc", "src", "pyvenv.cfg"}
LOOK = """
import importlib, importlib.metadata, sys
for one in importlib.metadata.distributions():
    for file in one.files or sys.exit(f"{one.metadata['Name']} is not whole"):
        if file.hash and not file.locate().is_file():
            sys.exit(f"{file.locate()} is missing")
for name in sys.argv[1:]:
    importlib.import_module(name)
"""
OTHER_PARTS = {".gitignore", ".lock", "CACHEDIR.TAG", STAMP}
NO_NETWORK = re.compile(
    r"name resolution|Failed to resolve|getaddrinfo|nodename nor servname|ConnectTimeout|NewConnection|ProxyError|"
    r"Max retries|unreachable"
)
PIP_TROUBLE = re.compile(r"Traceback|no-record-file|no RECORD file|No module named pip")
FULL_DISK = re.compile(r"No space left|not enough space on the disk|Errno 28|Disk quota exceeded")


def say(text: str) -> None:
    """Print one line in plain ASCII, which every console can show."""
    print("rooflab: " + text.encode("ascii", "backslashreplace").decode("ascii"), flush=True)


def find_root(package: Path = PACKAGE) -> Path | None:
    """The project's folder when this is a checkout, None when rooflab runs from an installed wheel."""
    root = package.parent
    return root if (root / "pyproject.toml").is_file() else None


def requirements(root: Path | None, test: bool) -> list[str]:
    """What has to be installed, as lines ``name>=1.2,<3``: from pyproject.toml, else from the wheel's own record."""
    if root is None:
        return [line for line in importlib.metadata.requires("rooflab") or [] if ";" not in line]
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [*project["dependencies"], *(project["optional-dependencies"]["test"] if test else [])]


def split_requirement(line: str) -> tuple[str, str, str]:
    """Name, lowest version and bound of a requirement, "" where there is none; versions stay below the bound.

    >>> split_requirement("numpy>=1.26,<3"), split_requirement("pytest")
    (('numpy', '1.26', '3'), ('pytest', '', ''))
    """
    parts = re.fullmatch(r"([A-Za-z0-9][A-Za-z0-9._-]*)\s*((?:(?:>=|<)\s*[0-9.]+\s*(?:,\s*|$))*)", line.strip())
    if not parts:
        raise CannotStart(f"the requirement {line!r} in pyproject.toml is not of the form name>=1.2,<3.")
    limits = dict(re.findall(r"(>=|<)\s*([0-9.]+)", parts[2]))
    return parts[1], limits.get(">=", ""), limits.get("<", "")


def version_key(text: str) -> tuple[int, ...]:
    """The leading numbers of a version, for comparing.

    >>> version_key("4.10.0rc1") >= version_key("4.2")
    True
    """
    numbers = re.match(r"\d+(\.\d+)*", text)
    return tuple(int(part) for part in numbers[0].split(".")) if numbers else ()


def lacking(lines: Iterable[str]) -> list[str]:
    """The requirements that the running Python does not meet."""
    missing = []
    for line in lines:
        name, floor, bound = split_requirement(line)
        try:
            have = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            missing.append(line)
            continue
        if not is_allowed(have, floor, bound):
            missing.append(line)
    return missing


def is_allowed(version: str, floor: str, bound: str) -> bool:
    """Whether a version is not too old and, where there is a bound, below it.

    >>> is_allowed("4.10.1", "4.2", "5"), is_allowed("5.0.0a1", "4.2", "5"), is_allowed("4.1", "4.2", "")
    (True, False, False)
    """
    number = version_key(version)
    return version_key(floor) <= number and not (bound and number >= version_key(bound))


def venv_python(venv: Path, windows: bool = os.name == "nt") -> Path:
    """The path of the Python of a virtual environment."""
    return venv / "Scripts" / "python.exe" if windows else venv / "bin" / "python"


def clean_environment(root: Path) -> dict[str, str]:
    """The environment for ``.venv``: nothing of another Python's settings gets in."""
    unwanted = {"PYTHONHOME", "VIRTUAL_ENV", "PIP_TARGET", "PIP_PREFIX", "__PYVENV_LAUNCHER__"}
    settings = {key: value for key, value in os.environ.items() if key not in unwanted}
    return settings | {"PYTHONPATH": str(root), "PIP_USER": "0", "PIP_DISABLE_PIP_VERSION_CHECK": "1"}


def probe(venv: Path, module: str = "sys") -> str:
    """The version of the environment's Python, such as "3.12"; "" when it does not run or lacks the module."""
    question = f"import sys, {module}; print('%d.%d' % sys.version_info[:2])"
    try:
        answer = subprocess.run([venv_python(venv), "-I", "-c", question], capture_output=True, text=True, timeout=60)
    except (OSError, subprocess.TimeoutExpired):
        return ""
    return answer.stdout.strip() if answer.returncode == 0 else ""


def stamp_key(root: Path, python: str) -> str:
    """What an installation depends on: the requirements, the Python and where the folder stands."""
    content = (root / "pyproject.toml").read_bytes() + f"\n{python}\n{root}".encode()
    return hashlib.sha256(content).hexdigest()


def is_ready(root: Path, venv: Path, python: str, test: bool) -> bool:
    """Whether the stamp says that all that is needed was installed, for these requirements and this Python."""
    stamp = read_json(venv / STAMP)
    return stamp.get("key") == stamp_key(root, python) and (not test or stamp.get("test") == "yes")


def run_quietly(command: Sequence[str | Path], env: dict[str, str], cwd: Path) -> tuple[int, str]:
    """Exit code and output of a child that ends with this process; a line now and then shows that it goes on."""
    with tempfile.TemporaryFile() as log:
        start = time.monotonic()
        running = subprocess.Popen(
            command, env=env, cwd=cwd, stdin=subprocess.PIPE, stdout=log, stderr=log, start_new_session=True
        )
        assert running.stdin
        try:
            while True:
                try:
                    code = running.wait(timeout=20)
                    break
                except subprocess.TimeoutExpired:
                    say(f"  ... still at it ({time.monotonic() - start:.0f} s)")
        except BaseException:
            running.stdin.close()  # which ends it
            with contextlib.suppress(subprocess.TimeoutExpired):
                running.wait(PATIENCE)
            running.kill()
            raise
        running.stdin.close()
        log.seek(0)
        return code, log.read().decode("utf-8", "replace")


def tail(text: str, lines: int = 8) -> str:
    """The last lines of a program's output, in ASCII and indented."""
    last = [line for line in text.splitlines() if line.strip()][-lines:]
    return "\n".join("    " + line.encode("ascii", "backslashreplace").decode("ascii") for line in last)


def has_other_things(venv: Path) -> bool:
    """Whether something stands in the environment's place that is no Python environment."""
    if not venv.is_dir():
        return venv.exists() or venv.is_symlink()
    return not {entry.name for entry in venv.iterdir()} <= VENV_PARTS | OTHER_PARTS


def fault(venv: Path, modules: Iterable[str]) -> str:
    """What the environment lacks, as its own Python finds by its records and imports; "" when it is whole."""
    page = venv.joinpath(*PAGE)
    if not (page.is_file() and page.stat().st_size):
        return f"JupyterLab's page {page} is missing"
    command = [str(venv_python(venv)), "-I", "-c", LOOK, *modules]
    try:
        answer = subprocess.run(command, capture_output=True, encoding="utf-8", errors="replace", timeout=600)
    except (OSError, subprocess.TimeoutExpired) as error:
        return str(error)
    return "" if answer.returncode == 0 else (answer.stderr.strip().splitlines() or ["its Python does not run"])[-1]


def write_stamp(venv: Path, **fields: str) -> None:
    """Write the stamp that marks the environment as ours; without fields it is half made."""
    (venv / STAMP).write_text(json.dumps(fields) + "\n", encoding="utf-8")


def make_venv(root: Path, venv: Path) -> None:
    """Make ``.venv`` with the running Python, in place of what stands there."""
    if Path(sys.prefix).resolve() == venv.resolve():
        raise CannotStart(f"the environment {venv} is broken; delete that folder and start again with another Python.")
    if has_other_things(venv):
        raise CannotStart(f"{venv} is in the way: it holds other things than a Python environment; move it away.")
    say(f"making a private Python environment in {venv}")
    try:
        if venv.exists():
            shutil.rmtree(venv)
        venv.mkdir()
        write_stamp(venv)
    except OSError as error:
        raise CannotStart(
            f"cannot write in the project's folder {root} ({error.strerror}); delete {venv} and start again."
        ) from error
    code, output = run_quietly(child_command(sys.executable, "venv", venv), clean_environment(root), root)
    if code:
        print(tail(output))
        if "ensurepip" in output or "No module named venv" in output:
            raise CannotStart(
                "this Python cannot make environments: its venv part is missing. On Debian or Ubuntu "
                "run 'sudo apt install python3-venv'; elsewhere install Python from its own home page."
            )
        raise CannotStart(
            failed(f"could not make the environment {venv}", "the last lines of its output", output, venv)
        )


def failed(what: str, reason: str, output: str, venv: Path) -> str:
    """The sentence after a program that failed: why, as far as its output tells, and what to delete."""
    if NO_NETWORK.search(output):
        return f"{what}: no connection. Check the network (and proxy), delete {venv} and start again."
    if FULL_DISK.search(output):
        return f"{what}: the disk is full. Make room, delete {venv} and start again."
    return f"{what}; {reason} stand above. Delete {venv} and start again."


def make_ready(root: Path, test: bool, again: bool = False) -> Path:
    """The Python of an environment in which the project is installed; made, mended or brought up to date."""
    venv = root / ".venv"
    if not again and is_ready(root, venv, probe(venv), test):
        return venv_python(venv)
    waits = f"another start is setting up {venv}; this one goes on when that is done"
    with contextlib.ExitStack() as stack:
        try:
            stack.enter_context(alone(root / LOCK, lambda: say(waits)))
        except OSError as error:
            raise CannotStart(f"cannot write in the project's folder {root} ({error.strerror}).") from error
        return set_up(root, venv, test, again)


def set_up(root: Path, venv: Path, test: bool, again: bool) -> Path:
    """As ``make_ready``, which sees that no other start does the same; what is half made is made anew."""
    python, stamp = probe(venv), read_json(venv / STAMP)
    if not again and is_ready(root, venv, python, test):
        return venv_python(venv)
    if python and not (venv / STAMP).is_file() and not has_other_things(venv):
        raise CannotStart(f"{venv} was not finished, or was made by something else; delete it and start again.")
    fresh = version_key(python) < (3, 11) or "key" not in stamp
    test = test or stamp.get("test") == "yes"
    env = clean_environment(root)
    modules = [split_requirement(line)[0].replace("-", "_") for line in requirements(root, test=False)]
    if not fresh and not probe(venv, "pip"):
        fresh = run_quietly(child_command(venv_python(venv), "ensurepip"), env, root)[0] != 0
    while True:
        if fresh:
            make_venv(root, venv)
        say(f"installing what the workbooks {'and the tests need' if test else 'need'}: one to five minutes, once")
        what = f"{root}[test]" if test else str(root)
        install = child_command(venv_python(venv), "pip", "install", "--quiet", "--no-compile", "-e", what)
        try:
            write_stamp(venv)
            code, output = run_quietly(install, env, root)
            lack = fault(venv, modules) if code == 0 else ""
            if code == 0 and not lack:
                write_stamp(venv, key=stamp_key(root, probe(venv)), test="yes" if test else "no")
                say("installed")
                return venv_python(venv)
        except OSError as error:
            raise CannotStart(f"cannot write in {venv} ({error.strerror}); delete it and start again.") from error
        if fresh or NO_NETWORK.search(output) or not (lack or PIP_TROUBLE.search(output)):
            break
        fresh = True  # a half-made environment: once more from the start
    if lack:
        raise CannotStart(f"the installation is not whole: {lack}. Delete {venv} and start again.")
    if not NO_NETWORK.search(output):
        print(tail(output))
    raise CannotStart(failed("the installation failed", "pip's last lines", output, venv))
