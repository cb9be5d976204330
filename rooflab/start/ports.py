"""Ports of this machine: read from a command line, free or not, and whose program listens on one."""

from __future__ import annotations

import argparse
import contextlib
import os
import socket
from pathlib import Path

ADDRESS = "127.0.0.1"  # not "localhost", which may be another program's on ::1


def port_number(text: str) -> int:
    """A port from the command line, 1024 to 65535."""
    if not text.isascii() or not text.isdigit() or not 1024 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text!r} is not a port; a whole number from 1024 to 65535 is.")
    return int(text)


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


def listener(port: int) -> int | None:
    """The account, by number, that listens on a port of this machine; None where nobody does."""
    for table in ("tcp", "tcp6"):
        with contextlib.suppress(OSError):
            for line in Path(f"/proc/net/{table}").read_text(encoding="ascii").splitlines()[1:]:
                fields = line.split()
                if fields[3] == "0A" and int(fields[1].rpartition(":")[2], 16) == port:
                    return int(fields[7])
    return None
