"""``python3 -m rooflab office``: looks at what is there, says what is missing, starts JupyterHub for a whole office."""

from __future__ import annotations

import argparse
import contextlib
import fcntl
import os
import re
import socket
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from rooflab.start.child import STOPPED, wait_for
from rooflab.start.copies import CannotStart
from rooflab.start.environment import say

from .accounts import (
    ENDS_WITH_HUB,
    PREFIX,
    delete_session,
    end_session,
    make_folders,
    prepare_writers,
    session_accounts,
)
from .machine import busy_ports, missing_accounts, missing_programs, tls_faults, unreadable

HERE = Path(__file__).parent
CONFIG, PAGE, CONTAINER = "jupyterhub_config.py", "LARGER.md", "Containerfile"  # what an office may take over
LEARNER = 220  # MiB that a learner takes at most, server and kernel; measured, see LARGER.md
LAST_PORT = 65532
PATIENCE = 30  # seconds that the hub may take to end all servers
USAGE = """%(prog)s [--session [--delete]] [--folder FOLDER] [--presenter NAME] [--address A] [--port N]
       %(prog)s ... --address A {--certificate FILE --key FILE | --tls-in-front}
       %(prog)s ... --write-config FOLDER
       %(prog)s --config FILE"""


def office_port(text: str) -> int:
    """A port from the command line, 1 to 65532: the hub is root's, and may have those below 1024."""
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= LAST_PORT:
        raise argparse.ArgumentTypeError(f"{text!r} is not a port; a whole number from 1 to {LAST_PORT} is.")
    return int(text)


def read_arguments(argv: Sequence[str]) -> argparse.Namespace:
    """The arguments behind ``office``."""
    parser = argparse.ArgumentParser(
        prog="python3 -m rooflab office", usage=USAGE,
        description="Serve the workbooks to a whole office from this Linux server, with JupyterHub.  Run it as root.",
    )  # fmt: skip
    add = parser.add_argument
    add("--session", action="store_true", help="a session for an hour: people type their name and one shared word")
    add("--delete", action="store_true", help="at the end of a session delete its people's accounts and files")
    add("--folder", metavar="FOLDER", default="/srv/rooflab", help="where all is kept (default: /srv/rooflab)")
    add("--presenter", metavar="NAME", action="append", dest="presenters", help="who presents, and administers the hub")
    add("--address", metavar="A", default="127.0.0.1", help="where to listen (default: this machine alone)")
    add("--port", type=office_port, metavar="N", default=8000, help="the port; three more are used here alone")
    add("--certificate", metavar="FILE", default="", help="certificate for TLS")
    add("--key", metavar="FILE", default="", help="its key")
    add("--tls-in-front", action="store_true", help="a proxy of yours in front of this one does TLS")
    add("--write-config", metavar="FOLDER", dest="write", help="write the configuration as a file of yours, and end")
    add("--config", metavar="FILE", help="start the hub with such a file; it says all the rest")
    args = parser.parse_args(argv)
    if args.config and len(argv) > 1 + (argv[0] == "--config"):
        parser.error("--config stands alone: all the rest is said in that file.")
    if args.delete and (args.write or not args.session):
        parser.error("--delete is for the start of a --session; accounts of the system are never deleted.")
    return args


# --- the configuration -----------------------------------------------------------------------------------------------


def filled_in(values: dict[str, object]) -> str:
    """The text of our configuration with these values in its first part; ValueError for a name that it has not."""
    text = (HERE / CONFIG).read_text(encoding="utf-8")
    for names, value in values.items():
        line = re.search(rf"^{names} = .*?(?=  #|$)", text, re.M)
        if not line:
            raise ValueError(f"no line for {names} in {CONFIG}")
        text = text[: line.start()] + f"{names} = {value!r}" + text[line.end() :]
    return text


def free_memory() -> int:
    """MiB that programs can have on this machine now."""
    for line in Path("/proc/meminfo").read_text(encoding="ascii").splitlines():
        if line.startswith("MemAvailable:"):
            return int(line.split()[1]) // 1024
    return 0


def most_learners() -> int:
    """How many learners this machine's memory holds, with a quarter of it left."""
    return max(1, int(0.75 * free_memory() / LEARNER))


def office_values(args: argparse.Namespace) -> dict[str, object]:
    """What the command line says, as the configuration's lines."""
    return {
        "FOLDER": os.path.abspath(args.folder),
        "SESSION": args.session,
        "ADDRESS, PORT": (args.address, args.port),
        "CERTIFICATE, KEY": tuple(os.path.abspath(one) if one else "" for one in (args.certificate, args.key)),
        "TLS_IN_FRONT": args.tls_in_front,
        "PRESENTERS": args.presenters or (["presenter"] if args.session else []),
        "MOST_LEARNERS": most_learners(),
    }


def write_config(folder: Path, values: dict[str, object]) -> None:
    """Write configuration, page and container file into a folder of the office's; nothing is written over."""
    for name in (CONFIG, PAGE, CONTAINER):
        text = filled_in(values) if name == CONFIG else (HERE / name).read_text(encoding="utf-8")
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with open(folder / name, "x", encoding="utf-8") as file:
                file.write(text)
        except FileExistsError as error:
            raise CannotStart(f"{error.filename} is there already and is kept as it is; name another folder.") from None
        except OSError as error:
            raise CannotStart(f"cannot write {error.filename} ({error.strerror}).") from error
    say(f"written: {CONFIG}, {PAGE} and {CONTAINER} in {folder}")
    say(f"start the hub with: {sys.executable} -m rooflab office --config {folder / CONFIG}")


def load_config(file: Path) -> Any:
    """What a configuration says, as the hub will read it.  CannotStart where it cannot be read."""
    from traitlets.config.loader import PyFileConfigLoader

    try:
        return PyFileConfigLoader(file.name, str(file.parent)).load_config()
    except Exception as error:  # the file is Python and may fail in every way
        raise CannotStart(f"{file} cannot be read as a configuration ({type(error).__name__}: {error}).") from error


# --- the start -------------------------------------------------------------------------------------------------------


def stop_on_faults(faults: list[str]) -> None:
    """CannotStart with all that is missing."""
    if faults:
        for one in faults[:-1]:
            say(f"{one}.")
        raise CannotStart(f"{faults[-1]}.")


def office(argv: Sequence[str]) -> int:
    """The exit code of ``python3 -m rooflab office``; CannotStart where something is missing."""
    args = read_arguments(argv)
    if args.write:
        write_config(Path(os.path.abspath(args.write)), office_values(args))
        return 0
    faults = list(missing_programs())
    if os.geteuid():
        faults.append(
            "a learner's files and kernel are safe from the others only under an account of the learner's own, and "
            f"only root can start a program under another account; run: sudo {sys.executable} -m rooflab office"
        )
    stop_on_faults(faults)
    with contextlib.ExitStack() as stack:
        if not args.config:
            folder = Path(os.path.abspath(args.folder))
            make_folders(folder)
            stack.enter_context(alone_on(folder))
        return look_and_run(args, Path(os.path.abspath(args.config)) if args.config else our_config(args), stack)


@contextlib.contextmanager
def alone_on(folder: Path) -> Iterator[None]:
    """Meanwhile no other office is started on this folder; CannotStart where one is open."""
    with open(folder / "hub" / "lock", "w", encoding="ascii") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            raise CannotStart(f"an office is open on {folder}; end it first, or name another --folder") from error
        yield


def look_and_run(args: argparse.Namespace, file: Path, stack: contextlib.ExitStack) -> int:
    """The exit code of a hub with this configuration, once nothing is missing."""
    config = load_config(file)
    if not isinstance(config.Office.get("folder"), str):
        raise CannotStart(f"{file} lacks the lines of c.Office, which say what is looked at before the start.")
    folder = Path(config.Office.folder)
    make_folders(folder)
    if args.config:
        stack.enter_context(alone_on(folder))
    stop_on_faults([*unreadable(), *missing_accounts(config), *tls_faults(config), *busy_ports(config)])
    prepare_writers(config)
    tell_start(config)
    if args.delete and (kept := len(session_accounts(folder)) - len(config.Office.presenters)) > 0:
        say(f"kept from earlier sessions: {kept} people's work; at the end it is deleted, too")
    hub = [*ENDS_WITH_HUB, sys.executable, "-m", "jupyterhub", "-f", str(file)]
    code = wait_for(subprocess.Popen(hub, cwd=folder / "hub", stdin=subprocess.DEVNULL), patience=PATIENCE)
    if code == STOPPED:
        say("the hub did not end by itself and was stopped, and so are the servers of a session's people")
        end_session(folder)
    if args.delete and code in (0, STOPPED):
        delete_session(folder)
    elif args.delete:
        say("the hub did not end by itself, so nobody's work is deleted; start the session again, and end it")
    elif people := session_accounts(folder):
        say(f"kept: the work of {len(people)} people, in {folder / 'people'}")
    return code


def our_config(args: argparse.Namespace) -> Path:
    """The file of the configuration with what the command line says, written for the hub alone."""
    file = Path(os.path.abspath(args.folder)) / "hub" / CONFIG
    file.write_text(filled_in(office_values(args)), encoding="utf-8")
    file.chmod(0o600)
    return file


def tell_start(config: Any) -> None:
    """Say where it is, and what to say at the door."""
    url = str(config.JupyterHub.bind_url).replace("//0.0.0.0", f"//{socket.gethostname()}")
    if config.Office.get("tls_in_front"):
        say("the addresses below are this machine's; people use your proxy's")
    say(f"the office opens on {url} in a few seconds; Ctrl-C ends it")
    say(f"memory for about {config.JupyterHub.active_server_limit} people at a time")
    if word := config.SharedPasswordAuthenticator.get("user_password"):
        say(f"people type their name, and the word: {word}")
        names = " or ".join(name.removeprefix(PREFIX) for name in config.Office.presenters)
        say(f"the presenter types {names}, and: {next(iter(config.SharedPasswordAuthenticator.password_groups))}")
    say(f"what a presenter shows: {url}/hub/user-redirect/doc/tree/present/room-01-one-roof-plane.ipynb")
    say("the other workbooks' room views are beside it, in the folder present of a presenter's copy")
