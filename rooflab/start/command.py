"""The command line: open a copy of the workbooks in JupyterLab, one in a room, a job at the table; or run the tests.

Only the standard library is imported here. In a checkout whose Python lacks something the same command is run
again inside the private environment.
"""

from __future__ import annotations

import argparse
import contextlib
import difflib
import html
import os
import secrets
import subprocess
import sys
import tempfile
import threading
import time
import webbrowser
from collections.abc import Sequence
from pathlib import Path
from urllib.parse import quote

from .child import child_command, requests_to_end, wait_for
from .copies import (
    DEFAULT_FOLDER,
    STATE,
    CannotStart,
    check_folder,
    default_folder,
    files_without_edits,
    lay_out,
    original_files,
    original_folder,
    sign,
)
from .environment import clean_environment, find_root, lacking, make_ready, requirements, say, tail
from .kernel import write_startup
from .lab import (
    DEPTH,
    KEPT,
    READER,
    TOP,
    lab_command,
    own_jupyter,
    server_address,
    start_kernel,
    write_settings,
)
from .ports import port_is_free, port_number
from .present import EXTENSIONS, MEETING, find_workbook, handouts, job_file, write_notebook

COMMANDS = ("open", "present", "table", "office", "test")
HANDOUTS = "handouts"  # where they go, in your copy
USAGE = """%(prog)s [open] [FOLDER] [--here] [--no-browser] [--port N]
       %(prog)s present [WORKBOOK] [--folder FOLDER] [--here] [--no-browser] [--port N]
       %(prog)s present --handouts [FOLDER]
       %(prog)s table [JOBFILE] [--folder FOLDER] [--here] [--no-browser] [--port N]
       %(prog)s office [--session] [OPTIONS], on a Linux server: see office --help
       %(prog)s test [--all] [PYTEST ARGUMENTS]"""
ON_ALL_CORES = ("-n", "auto", "--dist", "loadscope", "--no-loadscope-reorder")  # for whole runs, the browser's last
LEFT_OUT = "left out: browser tests, second runs of kernels, deep searches; everything: python3 -m rooflab test --all"


# --- JupyterLab and the tests ---------------------------------------------------------------------------------


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
    job = job_file(getattr(args, "job", ""), folder) if talk_file.startswith(MEETING) else None
    if not args.here:
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
        first = write_notebook(shelf, talk_file, folder, job)
        if job:
            say(f"the table works on {job}")
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


def mistyped(word: str) -> str:
    """The command that a word seems to stand for; "" when it is one, or names a folder that is there."""
    if word in COMMANDS or Path(word).name != word or Path(word).is_dir():
        return ""
    return next(iter(difflib.get_close_matches(word.lower(), COMMANDS, 1)), "")


def read_command(argv: Sequence[str]) -> tuple[str, argparse.Namespace]:
    """The command, one of ``COMMANDS``, and its arguments; "present" for the table, too, which is a view of a workbook.

    What follows ``test`` goes to pytest as it is, but for ``--all``.
    """
    if argv and argv[0] == "test":
        return "test", argparse.Namespace(pytest=[one for one in argv[1:] if one != "--all"], all="--all" in argv)
    parser = argparse.ArgumentParser(
        prog="python3 -m rooflab",
        usage=USAGE,
        description="Open the workbooks in your browser, as a copy that is yours to change; present one to a room, "
        "without code and in large type; lay a job on the table, for two people and a large screen; or run the tests.",
    )
    present, table = (argv[:1] == [word] for word in ("present", "table"))
    if table:
        parser.add_argument("job", nargs="?", metavar="JOBFILE", default="",
                            help="the job file that is used and kept (default: house.json of your copy)")  # fmt: skip
        parser.add_argument("--folder", metavar="FOLDER", help=f"your copy (default: {DEFAULT_FOLDER})")
        parser.set_defaults(workbook=MEETING, handouts=None)
    elif present:
        parser.add_argument("workbook", nargs="?", metavar="WORKBOOK", default="01", help="its number (default: 01)")
        parser.add_argument("--handouts", nargs="?", metavar="FOLDER", const="", default=None,
                            help="write handout and running order (PDF) of every workbook instead")  # fmt: skip
        parser.add_argument("--folder", metavar="FOLDER", help=f"your copy (default: {DEFAULT_FOLDER})")
    else:
        parser.add_argument("folder", nargs="?", metavar="FOLDER", help=f"your copy (default: {DEFAULT_FOLDER})")
    parser.add_argument("--here", action="store_true", help="for authors: edit the originals, make no copy")
    parser.add_argument("--no-browser", dest="browser", action="store_false", help="only print the address")
    parser.add_argument("--port", type=port_number, metavar="N", help="the port to listen on (default: a free one)")
    meant = mistyped(argv[0]) if argv else ""
    if meant:
        parser.error(f"{argv[0]!r}: did you mean {meant}? To open a folder of that name: .{os.sep}{argv[0]}")
    args = parser.parse_args(argv[1:] if argv and argv[0] in COMMANDS else argv)
    if args.here and args.folder:
        parser.error("--here opens the originals; a FOLDER cannot be named with it.")
    return "present" if present or table else "open", args


def main(argv: Sequence[str]) -> int:
    """Run the command here if this Python has all it needs, else in the private environment; returns the exit code."""
    try:
        if argv[:1] == ["office"]:
            return open_office(argv[1:])
        command, args = read_command(argv)
        with requests_to_end():
            return run_command(command, args, argv)
    except CannotStart as stop:
        say(str(stop))
        return 1
    except KeyboardInterrupt:
        say("stopped")
        return 130


def open_office(argv: Sequence[str]) -> int:
    """Serve a whole office; CannotStart where this machine or this Python cannot."""
    if sys.platform != "linux":
        raise CannotStart("office: it gives each learner an account of a Linux server; this is another system.")
    if missing := lacking(requirements(find_root(), test=False)):
        raise CannotStart(f'this Python lacks {", ".join(missing)}; run: python3 -m pip install "rooflab[office]"')
    from .office.command import office

    return office(argv)


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
