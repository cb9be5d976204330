"""What this machine lacks for an office, one sentence each: programs, accounts, TLS, ports."""

from __future__ import annotations

import pwd
import shutil
import socket
import ssl
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from .accounts import closed_folder, has_account, has_group

LOOPBACK = ("127.0.0.1", "::1", "localhost")
PROXY = "configurable-http-proxy"


def missing_programs() -> Iterator[str]:
    """What is not installed, and how to get it, one sentence each."""
    try:
        import jupyterhub  # noqa: F401
        import jupyterhub_idle_culler  # noqa: F401
    except ImportError as error:
        yield f'{error.name} is not installed; run: {sys.executable} -m pip install "rooflab[office]"'
    if not shutil.which("node"):
        yield "Node.js is not installed, which the hub's proxy needs; on Debian or Ubuntu: apt install nodejs npm"
    if not shutil.which("setpriv"):
        yield "setpriv is not installed, which ends services with the hub; on Debian or Ubuntu: apt install util-linux"
    if not shutil.which(PROXY):
        yield f"the hub's proxy is not installed; run: npm install -g {PROXY}"
    elif subprocess.run([PROXY, "--version"], capture_output=True).returncode:
        yield f"the hub's proxy does not run with this Node.js; if that is older than 20: npm install -g {PROXY}@4"


def unreadable() -> Iterator[str]:
    """Whether other accounts can use this Python, tried as the system's "nobody"."""
    for place in (Path(sys.prefix), Path(sys.base_prefix), Path(__file__).parent):
        if folder := closed_folder(place):
            yield f"learners' accounts cannot read {place}: {folder} is closed to them; install rooflab in a folder " \
                  f"that all can read, such as /usr/local/rooflab"  # fmt: skip
            return
    trial = [sys.executable, "-P", "-c", "import rooflab.start.office.hub"]
    group = "nogroup" if has_group("nogroup") else "nobody"
    try:
        ran = subprocess.run(
            trial, user="nobody", group=group, extra_groups=[], cwd="/", capture_output=True, text=True
        )
        why = (ran.stderr.strip().splitlines() or [f"exit code {ran.returncode}"])[-1] if ran.returncode else ""
    except OSError as error:
        why = error.strerror or str(error)
    if why:
        yield f"learners' accounts cannot run {sys.executable} ({why}); install rooflab where all can read it"


def missing_accounts(config: Any) -> Iterator[str]:
    """What the system's accounts lack for who shall come in."""
    session = config.Office.get("session", False)
    if session and not shutil.which("useradd"):
        yield "a session gives each person an account of the system, and there is no useradd here"
    for group in config.LocalAuthenticator.get("allowed_groups", ()):
        if not has_group(group):
            remedy = f"groupadd {group} && usermod -aG {group} NAME"
            yield f"there is no group {group!r}, whose members may come in; run: {remedy}"
    for name in config.Office.get("presenters", ()):
        home = Path(pwd.getpwnam(name).pw_dir) if has_account(name) else None
        if session and home and home.parent != Path(config.Door.people):
            where = home.parent.parent
            yield f"the presenter's account {name} is another session's, in {where}; name another --presenter"
        elif not session and not home:
            yield f"the presenter {name!r} has no account on this system"


def tls_faults(config: Any) -> Iterator[str]:
    """What is wrong with listening where the configuration says: over a network with TLS only."""
    url = urlsplit(str(config.JupyterHub.bind_url))
    certificate, key = (str(config.JupyterHub.get(name) or "") for name in ("ssl_cert", "ssl_key"))
    if bool(certificate) != bool(key):
        yield "TLS needs both a certificate and its key"
    elif certificate:
        yield from certificate_faults(Path(certificate), Path(key))
    elif (url.hostname or "") not in LOOPBACK and not config.Office.get("tls_in_front", False):
        yield (
            f"on {url.hostname or 'every address'} the hub would send words and pictures unprotected; name "
            "--certificate and --key, or say --tls-in-front if a proxy of yours does TLS, or listen on 127.0.0.1"
        )


def certificate_faults(certificate: Path, key: Path) -> Iterator[str]:
    """What is wrong with a certificate and its key."""
    from cryptography import x509

    try:
        ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(certificate, key, password=lambda: b"")
        ends = x509.load_pem_x509_certificate(certificate.read_bytes()).not_valid_after_utc
    except (OSError, ValueError) as error:  # ssl.SSLError is an OSError
        yield f"certificate {certificate} and key {key} cannot be used ({getattr(error, 'reason', None) or error})"
        return
    if ends < datetime.now(UTC):
        yield f"the certificate {certificate} ran out on {ends:%Y-%m-%d}"
    if key.stat().st_mode & 0o077:
        yield f"other accounts can read the key {key}; run: chmod 600 {key}"


def busy_ports(config: Any) -> Iterator[str]:
    """Which of the addresses that will be listened on are in use."""
    names = ("bind_url", "hub_bind_url")
    urls = [config.JupyterHub.get(name) for name in names] + [config.ConfigurableHTTPProxy.get("api_url")]
    urls += [one.get("url") for one in config.JupyterHub.get("services", ())]
    for url in map(urlsplit, filter(None, urls)):
        with socket.socket(socket.AF_INET6 if ":" in (url.hostname or "") else socket.AF_INET) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind((url.hostname or "", url.port or 80))
            except OSError as error:
                why = f"cannot be used ({error.strerror})"
                yield f"port {url.port} of {url.hostname} {why}; name another --port, or end what is there"
