"""Folders and accounts of an office on this system: made, closed to others, and a session's deleted again."""

from __future__ import annotations

import contextlib
import grp
import os
import pwd
import re
import secrets
import shutil
import signal
import subprocess
import tempfile
import time
import unicodedata
from pathlib import Path
from typing import Any

from rooflab.start.copies import CannotStart
from rooflab.start.environment import say

ENDS_WITH_HUB = ["setpriv", "--pdeathsig", "TERM"]  # before a command: it ends when what started it is gone
PREFIX = "roof-"  # of every account made at the door: no name that is typed there is an account of the system's
LONGEST = 32 - len(PREFIX)  # letters of a name; Linux allows 32 for an account
LETTERS = "abcdefghijkmnpqrstuvwxyz23456789"  # none that is easily taken for another


def account_name(typed: str) -> str:
    """The account of a name typed at the door: plain small letters, digits and hyphens; "" where none are left.

    >>> account_name("Ana María"), account_name("root"), account_name("roof-ana"), account_name("../?")
    ('roof-ana-maria', 'roof-root', 'roof-ana', '')
    """
    plain = unicodedata.normalize("NFKD", typed).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-").removeprefix(PREFIX)[:LONGEST].strip("-")
    return PREFIX + name if name else ""


def has_group(name: str) -> bool:
    """Whether the system has a group of this name."""
    try:
        grp.getgrnam(name)
    except KeyError:
        return False
    return True


def has_account(name: str) -> bool:
    """Whether the system has an account of this name."""
    try:
        pwd.getpwnam(name)
    except KeyError:
        return False
    return True


def closed_folder(path: Path) -> Path | None:
    """The first folder on the way to a path that other accounts cannot go through."""
    for folder in [*reversed(path.resolve().parents), path.resolve()]:
        if folder.is_dir() and not folder.stat().st_mode & 0o001:
            return folder
    return None


# --- folders ---------------------------------------------------------------------------------------------------------


def make_folders(folder: Path) -> None:
    """Make what is kept: the hub's folder for root alone, the office's jobs for all to read, people's homes.

    CannotStart where a folder is not root's alone to change, since whoever can change it can change the hub.
    """
    try:
        for name, mode in ("", 0o755), ("hub", 0o700), ("jobs", 0o755), ("people", 0o711):
            place = folder / name
            if not place.is_dir():
                place.mkdir(parents=True)
                place.chmod(mode)
        for place in (folder, folder / "hub", folder / "people"):
            about = place.stat()
            if about.st_uid or about.st_mode & 0o022:
                remedy = f"chown root {place} && chmod go-w {place}"
                raise CannotStart(f"{place} must be root's, and nobody else's to change; run: {remedy}")
        for parent in folder.parents:
            about = parent.stat()
            if about.st_uid or (about.st_mode & 0o022 and not about.st_mode & 0o1000):
                raise CannotStart(f"{parent} can be changed by others than root; name another --folder")
        (folder / "hub").chmod(0o700)
        if closed := closed_folder(folder):
            raise CannotStart(f"learners cannot come through {closed}; name another --folder, such as /srv/rooflab")
    except OSError as error:
        raise CannotStart(f"cannot use {error.filename or folder} ({error.strerror}).") from error


def word_of(hub: Path, name: str, length: int) -> str:
    """The word in a file of the hub's folder, which is made by chance and for root alone where it is not there yet."""
    file = hub / f"{name}.txt"
    if not file.exists():
        hub.mkdir(mode=0o700, parents=True, exist_ok=True)
        word = "".join(secrets.choice(LETTERS) for _ in range(length))
        descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with open(descriptor, "w", encoding="ascii") as new:
            new.write(word + "\n")
    return file.read_text(encoding="utf-8").strip()


# --- accounts --------------------------------------------------------------------------------------------------------


def prepare_writers(config: Any) -> None:
    """Let the group of writers write in the office's jobs; of a session's accounts the presenters' alone are in it."""
    group, jobs = str(config.Office.writers), Path(str(config.Office.folder)) / "jobs"
    if config.Office.session:
        _run("groupadd", "--force", group)
        for name in config.Office.presenters:
            if not has_account(name):
                command = [word.replace("USERNAME", name) for word in config.LocalAuthenticator.add_user_cmd]
                _run(*command, name)
        for name in session_accounts(jobs.parent):
            is_in, presents = name in grp.getgrnam(group).gr_mem, name in config.Office.presenters
            if is_in != presents:
                _run("gpasswd", "-a" if presents else "-d", name, group)
    if has_group(group):
        os.chown(jobs, 0, grp.getgrnam(group).gr_gid)
        jobs.chmod(0o2775)


def _run(*command: str) -> None:
    ran = subprocess.run(command, capture_output=True, text=True)
    if ran.returncode:
        last = (ran.stderr.strip().splitlines() or ["no reason given"])[-1]
        raise CannotStart(f"{command[0]} did not work here: {last}")


def session_accounts(folder: Path) -> list[str]:
    """The accounts that sessions made: those whose home is in the folder's ``people``."""
    people = str(folder / "people")
    every = [one for one in pwd.getpwall() if one.pw_name.startswith(PREFIX)]
    return [one.pw_name for one in every if os.path.dirname(one.pw_dir) == people]


def end_session(folder: Path) -> None:
    """End all that runs under a session's accounts."""
    uids = {pwd.getpwnam(name).pw_uid for name in session_accounts(folder)}
    for _ in range(20):
        if not any([end_programs(uid) for uid in uids]):
            break
        time.sleep(0.1)


def delete_session(folder: Path) -> None:
    """Delete a session's accounts, their files, and what the hub knew of them.  Nothing else is touched."""
    end_session(folder)
    names = session_accounts(folder)
    for name in names:
        uid = pwd.getpwnam(name).pw_uid
        for place in [folder / "people" / name, *shared_places(name)]:
            with contextlib.suppress(OSError):
                if place.lstat().st_uid == uid:
                    shutil.rmtree(place) if place.is_dir() and not place.is_symlink() else place.unlink()
        subprocess.run(["userdel", name], check=False, capture_output=True)
    for file in ("jupyterhub.sqlite", "cookie_secret", "word.txt", "presenter.txt"):
        (folder / "hub" / file).unlink(missing_ok=True)
    left = [name for name in names if has_account(name) or (folder / "people" / name).exists()]
    say(f"deleted: {len(names) - len(left)} accounts of the session with their files")
    if left:
        say(f"not deleted, look at them by hand: {', '.join(left)}")


def shared_places(name: str) -> list[Path]:
    """Where an account may have put files outside its home: the system's folders that all may write in."""
    folders = {Path(tempfile.gettempdir()), *map(Path, ("/var/tmp", "/dev/shm"))}
    found = [place for folder in folders if folder.is_dir() for place in folder.iterdir()]
    return [*found, *(Path("/var/spool") / where / name for where in ("cron/crontabs", "mail"))]


def end_programs(uid: int) -> int:
    """End all that runs under an account; how many there were."""
    found = 0
    for place in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError, ValueError):
            if place.stat().st_uid == uid:
                found += 1
                os.kill(int(place.name), signal.SIGKILL)
    return found
