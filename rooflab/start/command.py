"""The command line: lay out a copy of the workbooks and start JupyterLab, present one to a room, or run the tests.

Only the standard library is imported here. In a checkout whose Python lacks something the same command is run
again inside the private environment.
"""

from __future__ import annotations

import argparse
import contextlib
import difflib
import html
import json
import os
import secrets
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import webbrowser
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any
from urllib.parse import quote
from urllib.request import Request, urlopen

from .child import child_command
from .copies import (
    DEFAULT_FOLDER,
    PACKAGE,
    STATE,
    CannotStart,
    check_folder,
    default_folder,
    files_without_edits,
    lay_out,
    original_files,
    original_folder,
    read_json,
    sign,
)
from .environment import clean_environment, find_root, lacking, make_ready, requirements, say, tail
from .kernel import write_startup
from .present import EXTENSIONS, find_workbook, handouts, write_notebook

SETTINGS = {"@jupyterlab/apputils-extension:notification": {"fetchNews": "false"}}  # neither news nor update checks
READER = PACKAGE / "start" / "plugins" / "reader"  # the plugin that runs a workbook and shows it as a page to read
TOP = PACKAGE / "start" / "plugins" / "always"  # for authors: it brings the page to its top after Run All Cells
ADDRESS = "127.0.0.1"  # not "localhost", which may be another program's on ::1
COMMANDS = ("open", "present", "test")
HANDOUTS = "handouts"  # where they go, in your copy
USAGE = """%(prog)s [open] [FOLDER] [--here] [--no-browser] [--port N]
       %(prog)s present [WORKBOOK] [--folder FOLDER] [--here] [--no-browser] [--port N]
       %(prog)s present --handouts [FOLDER]
       %(prog)s test [--all] [PYTEST ARGUMENTS]"""
ON_ALL_CORES = ("-n", "auto", "--dist", "loadscope", "--no-loadscope-reorder")  # for whole runs, the browser's last
LEFT_OUT = "left out: browser tests, second runs of kernels, deep searches; everything: python3 -m rooflab test --all"
KEPT = "ROOFLAB_KEPT"  # in a kernel's environment: the copy, where a learner's answers are kept
DEPTH = "ROOFLAB_STARTED"  # set in the environment of the second run, so that a start never goes round in circles


class EndRequest(KeyboardInterrupt):
    """A request to this program alone to end: from the system, or because its window is closed."""


def end_request(*_: object) -> None:
    """Answer to such a signal."""
    raise EndRequest


@contextlib.contextmanager
def requests_to_end() -> Iterator[None]:
    """Meanwhile a request to end is an EndRequest, so that what was started here is ended, too."""
    before: dict[int, Any] = {}
    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):  # SIGHUP: the window is closed; SIGBREAK stands for both on Windows
        number = getattr(signal, name, None)
        if number and signal.getsignal(number) != signal.SIG_IGN:
            before[number] = signal.signal(number, end_request)
    try:
        yield
    finally:
        for number, answer in before.items():
            signal.signal(number, answer)


def wait_for(running: subprocess.Popen[bytes], patience: float | None = None) -> int:
    """Wait for a program that shares this console; a Ctrl-C is its to answer, a request to end is passed on.

    With ``patience`` (seconds) a program that does not end after that, or is asked twice, is stopped hard.
    """
    limit = None
    with requests_to_end():
        while True:
            try:
                code = running.wait(limit)
                return code if code >= 0 else 128 - code
            except KeyboardInterrupt as asked:
                if isinstance(asked, EndRequest):
                    running.terminate()
                if limit is not None:
                    running.kill()
                limit = patience
            except subprocess.TimeoutExpired:
                running.kill()


# --- JupyterLab and the tests ---------------------------------------------------------------------------------


def own_jupyter(state: Path, runtime: Path, root: Path | None) -> dict[str, str]:
    """The environment for JupyterLab: the user's own settings, kernels and history are neither read nor touched."""
    env = {key: value for key, value in os.environ.items() if not key.startswith(("JUPYTER", "IPYTHON", DEPTH, KEPT))}
    if root is not None:  # a checkout: the kernels start in another folder and must find the package
        env["PYTHONPATH"] = os.pathsep.join(filter(None, [str(root), env.get("PYTHONPATH", "")]))
    return env | {
        "JUPYTER_CONFIG_DIR": str(state / "config"),
        "JUPYTER_DATA_DIR": str(state / "data"),
        "JUPYTER_RUNTIME_DIR": str(runtime),
        "JUPYTER_PREFER_ENV_PATH": "1",
        "IPYTHONDIR": str(state / "ipython"),
    }


def write_settings(state: Path) -> None:
    """JupyterLab's settings for this copy; what the user changes in its menus stays in the same place."""
    place = state / "config" / "labconfig" / "default_setting_overrides.json"
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(json.dumps(SETTINGS) + "\n", encoding="utf-8")


def lab_command(folder: Path, first: str, port: int | None, plugins: Path = TOP) -> list[str]:
    """JupyterLab, as a child, on one workbook in single-document view, with ``plugins`` and no installing of others."""
    options = {
        "ServerApp.root_dir": folder,
        "ServerApp.ip": ADDRESS,
        "ServerApp.open_browser": False,
        "ServerApp.kernel_websocket_connection_class": "rooflab.start.quick.QuickConnection",
        "ServerApp.answer_yes": True,  # one Ctrl-C ends it
        "LabApp.default_url": "/doc/tree/" + quote(first),
        "LabApp.check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
        "LabApp.extension_manager": "readonly",
        "LabApp.extra_labextensions_path": plugins,
        "ServerApp.log_level": "WARN",
    }
    if port is not None:
        options |= {"ServerApp.port": port, "ServerApp.port_retries": 0}
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        options["ServerApp.allow_root"] = True
    return child_command(sys.executable, "jupyterlab", *(f"--{key}={value}" for key, value in options.items()))


def port_is_free(port: int) -> bool:
    """Whether a server can listen on this port of this machine."""
    with socket.socket() as trial:
        if os.name == "posix":
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((ADDRESS, port))
        except OSError:
            return False
    return True


def server_address(runtime: Path) -> str:
    """The address that the server answers on, from the record it writes when it listens; "" before that."""
    for record in runtime.glob("jpserver-*.json"):
        fields = read_json(record)
        if fields.get("url"):
            return fields["url"]
    return ""


def start_kernel(url: str, token: str, name: str) -> None:
    """Start the kernel of a workbook while the browser is still loading the page; without one the page does it."""
    body = {"path": name, "name": name, "type": "notebook", "kernel": {"name": "python3"}}
    head = {"Authorization": f"token {token}", "Content-Type": "application/json"}
    request = Request(f"{url}api/sessions", json.dumps(body).encode(), head, method="POST")
    with contextlib.suppress(OSError), urlopen(request, timeout=60) as answer:
        answer.read()


def address_page(place: Path) -> Path:
    """The path of this start's page that sends a browser on."""
    return place / f"open-{os.getpid()}.html"


def show(address: str, state: Path, browser: bool, private: Path | None = None) -> None:
    """Say where the workbooks are, and open them through a page of our own: no token on a command line.

    Where others could read it in ``state`` (a stick may know no permissions), the page stands in a ``private`` folder.
    """
    say(f"the workbooks are open; if no browser shows them, go to {address}")
    say("leave this window open; Ctrl-C here ends it")
    if browser:
        page = address_page(state)
        page.write_text("", encoding="utf-8")
        with contextlib.suppress(OSError):
            page.chmod(0o600)
        if private and os.name == "posix" and page.stat().st_mode & 0o077:
            page.unlink()
            page = address_page(private)
        target = html.escape(address)
        page.write_text(
            f'<!doctype html><meta charset="utf-8"><title>rooflab</title><meta http-equiv="refresh" '
            f'content="0; url={target}"><p><a href="{target}">Open the workbooks</a></p>\n',
            encoding="utf-8",
        )
        threading.Thread(target=webbrowser.open, args=(page.as_uri(),), daemon=True).start()


def open_workbooks(args: argparse.Namespace, root: Path | None) -> int:
    """Lay out the copy, start JupyterLab on its first workbook or on a room view, say the address, wait for its end."""
    originals, room = original_folder(), getattr(args, "workbook", "")
    talk_file = find_workbook(room) if room else ""
    if args.port is not None and not port_is_free(args.port):
        raise CannotStart(f"port {args.port} is in use; name another with --port, or leave it out.")
    if args.here:
        if root is None:
            raise CannotStart("--here edits the originals of a checkout; this is an installed rooflab.")
        folder, state = originals, root / STATE
        to_sign = [originals / file for file in original_files(originals)]
    else:
        folder = check_folder(Path(args.folder) if args.folder else default_folder(), root)
        state = folder / STATE
        for note in lay_out(originals, folder):
            say(note)
        to_sign = files_without_edits(folder)
        say(f"your copy of the workbooks is in {folder}")
    if talk_file and args.handouts is not None:
        place = Path(os.path.abspath(args.handouts)) if args.handouts else folder / HANDOUTS
        for name in handouts(place, folder):
            say(f"written: {name}")
        say(f"the handouts are in {place}")
        return 0
    shelf, first = folder, min(path.name for path in originals.glob("*.ipynb"))
    if talk_file:
        shelf = state / "present"
        first = write_notebook(shelf, talk_file, folder)
        to_sign = [*to_sign, shelf / first]
    with contextlib.ExitStack() as stack:
        try:
            (state / "data").mkdir(parents=True, exist_ok=True)
            write_settings(state)
            write_startup(state / "ipython")
            log = stack.enter_context(open(state / "jupyter.log", "w+b"))
            scratch = stack.enter_context(tempfile.TemporaryDirectory(prefix="rooflab-", ignore_cleanup_errors=True))
            sign(to_sign, state / "data")
        except OSError as error:
            raise CannotStart(f"cannot write to {error.filename or state} ({error.strerror}).") from error
        runtime, token = Path(scratch), secrets.token_hex(24)
        env = own_jupyter(state, runtime, root) | {"JUPYTER_TOKEN": token}
        if reads := not (talk_file or args.here):
            env[KEPT] = str(folder)
        command = lab_command(shelf, first, args.port, READER if reads else EXTENSIONS if talk_file else TOP)
        stack.callback(address_page(state).unlink, missing_ok=True)
        running = subprocess.Popen(command, env=env, stdin=subprocess.PIPE, stdout=log, stderr=log)
        stack.callback(end, running)
        while running.poll() is None:
            url = server_address(runtime)
            if url:
                if reads:
                    threading.Thread(target=start_kernel, args=(url, token, first), daemon=True).start()
                show(f"{url}doc/tree/{quote(first)}?token={token}", state, args.browser, runtime)
                return wait_for(running, patience=8)  # a server that is still starting a kernel may hang
            time.sleep(0.2)
        log.seek(0)
        print(tail(log.read().decode("utf-8", "replace"), 20))
        ours = root is not None and Path(sys.prefix).resolve() == (root / ".venv").resolve()
        remedy = f" If that goes on, delete {sys.prefix} and start again." if ours else ""
        raise CannotStart(f"JupyterLab did not start; what it said stands above.{remedy}")


def end(running: subprocess.Popen[bytes]) -> None:
    """End a child that may be running still, softly first."""
    if running.stdin:
        running.stdin.close()
    if running.poll() is None:
        running.terminate()
        try:
            running.wait(8)
        except (subprocess.TimeoutExpired, KeyboardInterrupt):
            running.kill()
            running.wait()


def run_tests(pytest_arguments: Sequence[str], root: Path, everything: bool = False) -> int:
    """Run the tests as pyproject.toml sets them up, with scratch folders in place of the user's Jupyter ones.

    Unless ``everything`` is wanted they are the quick ones, and the last line says what was left out.
    """
    with tempfile.TemporaryDirectory(prefix="rooflab-", ignore_cleanup_errors=True) as scratch:
        env = own_jupyter(Path(scratch), Path(scratch) / "runtime", root)
        env["ROOFLAB_TESTS"] = "all" if everything else "quick"
        chosen = pytest_arguments or ON_ALL_CORES
        code = wait_for(subprocess.Popen([sys.executable, "-m", "pytest", *chosen], env=env, cwd=root))
    if not everything:
        say(LEFT_OUT)
    return code


# --- the command line -----------------------------------------------------------------------------------------


def port_number(text: str) -> int:
    """A port from the command line, 1024 to 65535."""
    if not text.isascii() or not text.isdigit() or not 1024 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text!r} is not a port; a whole number from 1024 to 65535 is.")
    return int(text)


def mistyped(word: str) -> str:
    """The command that a word seems to stand for; "" when it is one, or names a folder that is there."""
    if word in COMMANDS or Path(word).name != word or Path(word).is_dir():
        return ""
    return next(iter(difflib.get_close_matches(word.lower(), COMMANDS, 1)), "")


def read_command(argv: Sequence[str]) -> tuple[str, argparse.Namespace]:
    """The command, "open", "present" or "test", and its arguments.

    What follows ``test`` goes to pytest as it is, but for ``--all``.
    """
    if argv and argv[0] == "test":
        return "test", argparse.Namespace(pytest=[one for one in argv[1:] if one != "--all"], all="--all" in argv)
    parser = argparse.ArgumentParser(
        prog="python3 -m rooflab",
        usage=USAGE,
        description="Open the workbooks in your browser, as a copy that is yours to change; present one to a room, "
        "without code and in large type; or run the tests.",
    )
    present = bool(argv) and argv[0] == "present"
    if present:
        parser.add_argument("workbook", nargs="?", metavar="WORKBOOK", default="01", help="its number (default: 01)")
        parser.add_argument("--handouts", nargs="?", metavar="FOLDER", const="", default=None,
                            help="write a one-page handout (PDF) of every workbook instead")  # fmt: skip
        parser.add_argument("--folder", metavar="FOLDER", help=f"your copy (default: {DEFAULT_FOLDER})")
    else:
        parser.add_argument("folder", nargs="?", metavar="FOLDER", help=f"your copy (default: {DEFAULT_FOLDER})")
    parser.add_argument("--here", action="store_true", help="for authors: edit the originals, make no copy")
    parser.add_argument("--no-browser", dest="browser", action="store_false", help="only print the address")
    parser.add_argument("--port", type=port_number, metavar="N", help="the port to listen on (default: a free one)")
    meant = mistyped(argv[0]) if argv else ""
    if meant:
        parser.error(f"{argv[0]!r}: did you mean {meant}? To open a folder of that name: .{os.sep}{argv[0]}")
    args = parser.parse_args(argv[1:] if argv and argv[0] in ("open", "present") else argv)
    if args.here and args.folder:
        parser.error("--here opens the originals; a FOLDER cannot be named with it.")
    return "present" if present else "open", args


def main(argv: Sequence[str]) -> int:
    """Run the command here if this Python has all it needs, else in the private environment; returns the exit code."""
    command, args = read_command(argv)
    try:
        with requests_to_end():
            return run_command(command, args, argv)
    except CannotStart as stop:
        say(str(stop))
        return 1
    except KeyboardInterrupt:
        say("stopped")
        return 130


def run_command(command: str, args: argparse.Namespace, argv: Sequence[str]) -> int:
    """The exit code of a command that was read; CannotStart where it cannot be run."""
    root, test = find_root(), command == "test"
    if test and (root is None or not (root / "tests").is_dir()):
        raise CannotStart("the tests are in the project's folder, not in an installed rooflab; run this there.")
    missing = lacking(requirements(root, test))
    if not missing:
        return run_tests(args.pytest, root, args.all) if test and root else open_workbooks(args, root)
    if root is None:
        raise CannotStart(f"this Python lacks {', '.join(missing)}; run: python -m pip install --upgrade rooflab")
    runs = os.environ.get(DEPTH, "")
    if len(runs) >= 2:
        raise CannotStart(f"{sys.prefix} still lacks {', '.join(missing)}; delete the folder .venv and start again.")
    python = make_ready(root, test, again=bool(runs))
    env = clean_environment(root) | {DEPTH: runs + "I"}
    if test:  # which may ask at the console
        return wait_for(subprocess.Popen([python, "-m", "rooflab", *argv], env=env))
    running = subprocess.Popen(child_command(python, "rooflab", *argv), env=env, stdin=subprocess.PIPE)
    return wait_for(running)
