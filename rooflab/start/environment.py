"""What the running Python has, and the private environment ``.venv`` for a checkout whose Python lacks something.

Only the standard library is imported here: this runs before anything is installed.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
import os
import re
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterable, Sequence
from pathlib import Path

from .copies import PACKAGE, CannotStart, read_json

STAMP = "rooflab-stamp.json"
VENV_PARTS = {"bin", "include", "lib", "lib64", "Include", "Lib", "Scripts", "share", "etc", "src", "pyvenv.cfg"}
NO_NETWORK = re.compile(
    r"name resolution|Failed to resolve|getaddrinfo|nodename nor servname|ConnectTimeout|NewConnection|ProxyError|"
    r"Max retries|unreachable"
)
PIP_TROUBLE = re.compile(r"Traceback|no-record-file|no RECORD file|No module named pip")


def say(text: str) -> None:
    """Print one line in plain ASCII, which every console can show."""
    print("rooflab: " + text.encode("ascii", "backslashreplace").decode("ascii"), flush=True)


def find_root(package: Path = PACKAGE) -> Path | None:
    """The project's folder when this is a checkout, None when rooflab runs from an installed wheel."""
    root = package.parent
    return root if (root / "pyproject.toml").is_file() else None


def requirements(root: Path | None, test: bool) -> list[str]:
    """What has to be installed, as lines ``name>=floor``: from pyproject.toml, else from the wheel's own record."""
    if root is None:
        return [line for line in importlib.metadata.requires("rooflab") or [] if ";" not in line]
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [*project["dependencies"], *(project["optional-dependencies"]["test"] if test else [])]


def split_requirement(line: str) -> tuple[str, str]:
    """Name and floor of a requirement; the floor is "" when there is none.

    >>> split_requirement("numpy>=1.26"), split_requirement("pytest")
    (('numpy', '1.26'), ('pytest', ''))
    """
    parts = re.fullmatch(r"([A-Za-z0-9][A-Za-z0-9._-]*)\s*(?:>=\s*([0-9.]+))?", line.strip())
    if not parts:
        raise CannotStart(f"the requirement {line!r} in pyproject.toml is not of the form name or name>=1.2.")
    return parts[1], parts[2] or ""


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
        name, floor = split_requirement(line)
        try:
            have = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            have = None
        if have is None or version_key(have) < version_key(floor):
            missing.append(line)
    return missing


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
    """Run a command; its output is kept, and a line now and then shows that it goes on."""
    with tempfile.TemporaryFile() as log:
        start = time.monotonic()
        running = subprocess.Popen(command, env=env, cwd=cwd, stdin=subprocess.DEVNULL, stdout=log, stderr=log)
        try:
            while True:
                try:
                    code = running.wait(timeout=20)
                    break
                except subprocess.TimeoutExpired:
                    say(f"  ... still at it ({time.monotonic() - start:.0f} s)")
        except BaseException:
            running.terminate()
            running.wait()
            raise
        log.seek(0)
        return code, log.read().decode("utf-8", "replace")


def tail(text: str, lines: int = 8) -> str:
    """The last lines of a program's output, in ASCII and indented."""
    last = [line for line in text.splitlines() if line.strip()][-lines:]
    return "\n".join("    " + line.encode("ascii", "backslashreplace").decode("ascii") for line in last)


def make_venv(root: Path, venv: Path) -> None:
    """Make ``.venv`` with the running Python, in place of a broken one."""
    if Path(sys.prefix).resolve() == venv.resolve():
        raise CannotStart(f"the environment {venv} is broken; delete that folder and start again with another Python.")
    extra = {".gitignore", ".lock", "CACHEDIR.TAG", STAMP}
    if venv.exists() and not (venv.is_dir() and {entry.name for entry in venv.iterdir()} <= VENV_PARTS | extra):
        raise CannotStart(f"{venv} is in the way: it holds other things than a Python environment; move it away.")
    say(f"making a private Python environment in {venv}")
    try:
        venv.mkdir(exist_ok=True)
        (venv / STAMP).unlink(missing_ok=True)
    except OSError as error:
        raise CannotStart(f"cannot write in the project's folder {root} ({error.strerror}).") from error
    code, output = run_quietly([sys.executable, "-m", "venv", "--clear", venv], clean_environment(root), root)
    if code:
        print(tail(output))
        if "ensurepip" in output or "No module named venv" in output:
            raise CannotStart(
                "this Python cannot make environments: its venv part is missing. On Debian or Ubuntu "
                "run 'sudo apt install python3-venv'; elsewhere install Python from its own home page."
            )
        raise CannotStart(f"could not make the environment {venv}; the reason stands above.")


def make_ready(root: Path, test: bool, again: bool = False) -> Path:
    """The Python of an environment in which the project is installed; made, mended or brought up to date."""
    venv = root / ".venv"
    python = probe(venv)
    fresh = version_key(python) < (3, 11)
    if not fresh and not again and is_ready(root, venv, python, test):
        return venv_python(venv)
    test = test or read_json(venv / STAMP).get("test") == "yes"
    env = clean_environment(root)
    if not fresh and not probe(venv, "pip"):
        fresh = run_quietly([venv_python(venv), "-m", "ensurepip"], env, root)[0] != 0
    while True:
        if fresh:
            make_venv(root, venv)
        say(f"installing what the workbooks {'and the tests need' if test else 'need'}: one to five minutes, once")
        try:
            (venv / STAMP).unlink(missing_ok=True)
            what = f"{root}[test]" if test else str(root)
            code, output = run_quietly([venv_python(venv), "-m", "pip", "install", "--quiet", "-e", what], env, root)
            if code == 0:
                stamp = {"key": stamp_key(root, probe(venv)), "test": "yes" if test else "no"}
                (venv / STAMP).write_text(json.dumps(stamp) + "\n", encoding="utf-8")
                say("installed")
                return venv_python(venv)
        except OSError as error:
            raise CannotStart(f"cannot write in {venv} ({error.strerror}).") from error
        if fresh or NO_NETWORK.search(output) or not PIP_TROUBLE.search(output):
            break
        fresh = True  # a half-made environment: once more from the start
    if NO_NETWORK.search(output):
        raise CannotStart("the installation failed: no connection. Check the network (and proxy), then start again.")
    print(tail(output))
    raise CannotStart("the installation failed; pip's last lines stand above. Start again to retry.")
