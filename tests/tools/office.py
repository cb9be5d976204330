"""An office's hub on this machine for tests and the benchmark, and learners who use it as a browser does.

Everything stays on 127.0.0.1.  It needs Linux, root, the hub's proxy and a Python that other accounts can read.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
import pwd
import re
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import threading
import time
import uuid
from collections.abc import Callable, Coroutine, Sequence
from http.cookies import SimpleCookie
from pathlib import Path
from typing import Any, TypeVar
from urllib.parse import urlencode, urljoin, urlsplit
from urllib.request import urlopen

from tornado.httpclient import AsyncHTTPClient, HTTPRequest, HTTPResponse
from tornado.websocket import WebSocketClientConnection, websocket_connect

from rooflab.start.ports import listener

ROOT = Path(__file__).parents[2]
PROXY = "configurable-http-proxy"
START, LONG = 60.0, 300.0  # seconds
T = TypeVar("T")
AsyncHTTPClient.configure("tornado.simple_httpclient.SimpleAsyncHTTPClient", max_clients=200)


def what_is_lacking() -> str:
    """Why no office can be served here; "" where it can."""
    if sys.platform != "linux" or os.geteuid():
        return "an office needs Linux and root"
    if not shutil.which(PROXY):
        return f"the hub's proxy is missing: npm install -g {PROXY}"
    return "" if readable_python() else "no Python that other accounts can read"


def readable_python() -> str:
    """A Python that other accounts can run and that makes environments; "" where there is none."""
    for python in (getattr(sys, "_base_executable", ""), "/usr/bin/python3", "/usr/local/bin/python3"):
        trial = [python, "-c", "import ensurepip, venv, sys; sys.exit(sys.version_info < (3, 11))"]
        if python and Path(python).exists():
            with contextlib.suppress(OSError):
                who: dict[str, Any] = {"user": "nobody", "group": "nogroup", "extra_groups": []}
                if not subprocess.run(trial, cwd="/", capture_output=True, **who).returncode:
                    return str(python)
    return ""


def install_office(place: Path, wheels: Path) -> Path:
    """The Python of an environment with the wheel of this checkout and what an office needs."""
    build = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(wheels), str(ROOT)]
    subprocess.run(build, check=True, capture_output=True)
    (wheel,) = wheels.glob("rooflab-*.whl")
    if not (place / "bin" / "python").exists():
        subprocess.run([readable_python(), "-m", "venv", str(place)], check=True)
    python = place / "bin" / "python"
    pip = [str(python), "-m", "pip", "install", "-q", "--disable-pip-version-check"]
    subprocess.run([*pip, f"{wheel}[office]"], check=True, capture_output=True)
    subprocess.run([*pip, "--force-reinstall", "--no-deps", str(wheel)], check=True, capture_output=True)
    return python


class Office:
    """A session's hub, started with ``python -m rooflab office`` as it is typed."""

    def __init__(self, python: Path, folder: Path, port: int, *words: str) -> None:
        self.python, self.folder, self.port = python, folder, port
        self.words = words or ("--session",)
        self.url = f"http://127.0.0.1:{port}"
        self.running: subprocess.Popen[bytes] | None = None
        self.log = folder.with_name(f"{folder.name}.log")

    def start(self, trust: ssl.SSLContext | None = None) -> float:
        """Start it; seconds until its door answers, over TLS where it is said whom to trust."""
        self.url = f"http{'s' * bool(trust)}://127.0.0.1:{self.port}"
        began = time.monotonic()
        command = [self.python, "-m", "rooflab", "office", *self.words]
        if "--config" not in self.words:
            command += ["--folder", self.folder, "--port", self.port]
        env = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "JUPYTER", "ROOFLAB"))}
        with open(self.log, "ab") as log:
            self.running = subprocess.Popen(
                [*map(str, command)], cwd="/", env=env, stdin=subprocess.DEVNULL, stdout=log, stderr=log
            )
        while time.monotonic() < began + START:
            if self.running.poll() is not None:
                raise RuntimeError(self.said()[-2000:])
            if self._answers(trust):
                return time.monotonic() - began
            time.sleep(0.2)
        raise RuntimeError(f"no answer after {START:g} s: {self.said()[-2000:]}")

    def _answers(self, trust: ssl.SSLContext | None) -> bool:
        try:
            with urlopen(f"{self.url}/hub/health", timeout=5, context=trust) as answer:
                return bool(answer.status == 200)
        except OSError:
            return False

    def said(self) -> str:
        """All that it has said so far."""
        return self.log.read_text(encoding="utf-8", errors="replace")

    def secret(self, name: str) -> str:
        """A word of its door: "word" or "presenter"."""
        return (self.folder / "hub" / f"{name}.txt").read_text(encoding="ascii").strip()

    def stop(self, hard: bool = False) -> int:
        """End it as Ctrl-C does, or kill the hub and what started it, as a machine's memory guard would; its code."""
        assert self.running
        if hard:
            for pid in [*children(self.running.pid), self.running.pid]:
                if "jupyterhub" in command_line(pid) or pid == self.running.pid:
                    os.kill(pid, signal.SIGKILL)
        else:
            self.running.send_signal(signal.SIGTERM)
        code = self.running.wait(60)
        self.running = None
        late = time.monotonic() + START
        while any(listener(self.port + i) is not None for i in range(4)) and time.monotonic() < late:
            time.sleep(0.2)
        return code


def children(pid: int) -> list[int]:
    """The programs that a program started."""
    listed = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii")
    return [int(one) for one in listed.split()]


def command_line(pid: int) -> str:
    """The words that a program was started with."""
    try:
        return Path(f"/proc/{pid}/cmdline").read_bytes().replace(b"\0", b" ").decode()
    except OSError:
        return ""


def processes_of(account: str | int) -> list[int]:
    """The numbers of the programs that run under an account, which may be given by its number."""
    uid, found = pwd.getpwnam(account).pw_uid if isinstance(account, str) else account, []
    for place in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            if place.stat().st_uid == uid:
                found.append(int(place.name))
    return found


def listening_ports(pid: int) -> list[int]:
    """The TCP ports on which a program listens."""
    links = {os.readlink(one) for one in Path(f"/proc/{pid}/fd").iterdir()}
    rows = [line.split() for line in Path("/proc/net/tcp").read_text(encoding="ascii").splitlines()[1:]]
    return [int(row[1].partition(":")[2], 16) for row in rows if row[3] == "0A" and f"socket:[{row[9]}]" in links]


def memory_of_program(pid: int) -> float:
    """MiB that a program takes: what is its own, with its share of what is shared (PSS)."""
    try:
        share = re.search(r"^Pss:\s+(\d+)", Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="ascii"), re.M)
    except OSError:
        return 0.0
    return int(share[1]) / 1024 if share else 0.0


def memory_of(account: str) -> dict[str, float]:
    """MiB that a learner's programs take, by kind."""
    sums = {"server": 0.0, "kernels": 0.0}
    for pid in processes_of(account):
        sums["kernels" if "ipykernel" in command_line(pid) else "server"] += memory_of_program(pid)
    return sums


def memory_of_root(office: Office) -> float:
    """MiB of the hub, what started it, its proxy and its services."""
    assert office.running
    every, ours = [office.running.pid], 0.0
    while every:
        pid = every.pop()
        if "rooflab.start.office.learner" not in command_line(pid):
            ours += memory_of_program(pid)
            with contextlib.suppress(OSError):
                every += children(pid)
    return ours


# --- a learner -------------------------------------------------------------------------------------------------------


class Learner:
    """One learner's browser without its page: cookies, requests, the websocket to a kernel, the messages on it."""

    def __init__(self, office: Office, name: str, account: str = "") -> None:
        self.office, self.name = office, name
        self.account = account or f"roof-{name}"
        self.home = f"/user/{self.account}/"
        self.client = AsyncHTTPClient()
        self.cookies: dict[tuple[str, str], str] = {}
        self.socket: WebSocketClientConnection | None = None
        self.waiting: dict[str, asyncio.Future[Any]] = {}
        self.heard: list[Callable[[dict[str, Any]], None]] = []
        self.session = uuid.uuid4().hex
        self.kernel = ""
        self.came = 0.0  # when it last came through the door

    def _cookie(self, path: str) -> str:
        fit = {name: value for (where, name), value in sorted(self.cookies.items()) if path.startswith(where)}
        return "; ".join(f"{name}={value}" for name, value in fit.items())

    def _keep(self, answer: HTTPResponse) -> None:
        for line in answer.headers.get_list("Set-Cookie"):
            for name, one in SimpleCookie(line).items():
                self.cookies[one["path"] or "/", name] = one.value
                if not one.value:
                    del self.cookies[one["path"] or "/", name]

    def xsrf(self, path: str) -> str:
        """The token of a page against requests forged by others, as a script on it would read it."""
        fit = sorted(where for (where, name) in self.cookies if name == "_xsrf" and path.startswith(where))
        return self.cookies[fit[-1], "_xsrf"] if fit else ""

    async def ask(
        self, path: str, method: str = "GET", body: bytes | None = None, headers: dict[str, str] | None = None,
        token: str = "", hops: int = 20,
    ) -> HTTPResponse:  # fmt: skip
        """A request with this learner's cookies, redirects followed by hand; never an exception for an answer."""
        url = urljoin(self.office.url, path)
        while True:
            where = urlsplit(url).path
            head = {"Cookie": self._cookie(where), "X-XSRFToken": self.xsrf(where), **(headers or {})}
            if token:
                head = {"Authorization": f"token {token}", **(headers or {})}
            request = HTTPRequest(
                url, method, head, body, follow_redirects=False, request_timeout=LONG, connect_timeout=LONG,
                allow_nonstandard_methods=True,
            )  # fmt: skip
            answer = await self.client.fetch(request, raise_error=False)
            self._keep(answer)
            if answer.code not in (301, 302, 303, 307) or not hops:
                return answer
            url, hops = urljoin(url, answer.headers["Location"]), hops - 1
            if answer.code != 307:
                method, body = "GET", None

    async def come_in(self, word: str = "", tries: int = 1) -> HTTPResponse:
        """Type name and word at the door; the page that is shown then."""
        await self.ask("/hub/login")
        self.came = time.monotonic()
        fields = {"username": self.name, "password": word or self.office.secret("word"), "_xsrf": self.xsrf("/hub/")}
        head = {"Content-Type": "application/x-www-form-urlencoded"}
        return await self.ask("/hub/login?next=", "POST", urlencode(fields).encode(), head)

    async def wait_until_open(self, book: str = "00-start-here.ipynb") -> float:
        """Wait until the page of a workbook is served by the learner's own server; seconds."""
        began = time.monotonic()
        while time.monotonic() < began + LONG:
            answer = await self.ask(f"{self.home}doc/tree/{book}")
            if urlsplit(answer.effective_url).path.startswith(self.home + "doc") and answer.code == 200:
                return time.monotonic() - began
            if answer.code == 424 or "/hub/spawn" not in answer.effective_url:
                await self.ask(f"/hub/spawn/{self.account}")
            await asyncio.sleep(0.5)
        what = f"{self.name}: no server after {LONG:g} s ({answer.code} {answer.effective_url})"
        raise RuntimeError(f"{what}: {self.office.said()[-2000:]}")

    async def api(self, path: str, method: str = "GET", body: Any = None) -> Any:
        """The answer of the learner's own server, or of another's with this learner's cookies, as JSON."""
        data = None if body is None else json.dumps(body).encode()
        answer = await self.ask(f"{self.home}api/{path}", method, data, {"Content-Type": "application/json"})
        if answer.code >= 400:
            raise RuntimeError(f"{self.name}: {method} {path}: {answer.code} {answer.body[:300]!r}")
        return json.loads(answer.body or b"null")

    async def open_kernel(self, book: str) -> None:
        """Start the kernel of a workbook, as its page does, and listen to it."""
        body = {"path": book, "name": book, "type": "notebook", "kernel": {"name": "python3"}}
        self.kernel = (await self.api("sessions", "POST", body))["kernel"]["id"]
        await self.listen()

    async def listen(self) -> None:
        """Open the websocket to the kernel."""
        path = f"{self.home}api/kernels/{self.kernel}/channels"
        url = f"{self.office.url.replace('http', 'ws')}{path}?session_id={self.session}"
        head = {"Cookie": self._cookie(path), "Origin": self.office.url}
        self.socket = await websocket_connect(HTTPRequest(url, headers=head, request_timeout=LONG))
        self.hearing = asyncio.create_task(self._hear(self.socket))

    async def _hear(self, socket: WebSocketClientConnection) -> None:
        while (text := await socket.read_message()) is not None:
            if isinstance(text, bytes):
                continue
            message = json.loads(text)
            for hear in [*self.heard]:
                hear(message)
            parent = message["parent_header"].get("msg_id", "")
            if message["msg_type"].endswith("_reply") and parent in self.waiting:
                self.waiting.pop(parent).set_result(message["content"])
        for future in (one for one in self.waiting.values() if not one.done()):
            future.set_exception(ConnectionError(f"{self.name}: the websocket was closed"))
        self.waiting.clear()

    def send(self, kind: str, content: dict[str, Any], channel: str = "shell") -> str:
        """Send a message to the kernel; its number."""
        assert self.socket
        number = uuid.uuid4().hex
        head = {
            "msg_id": number, "msg_type": kind, "username": "", "session": self.session, "version": "5.3",
            "date": "2026-01-01T00:00:00Z",
        }  # fmt: skip
        message = {"header": head, "parent_header": {}, "metadata": {}, "content": content, "channel": channel}
        self.socket.write_message(json.dumps(message))
        return number

    async def run(self, code: str) -> dict[str, Any]:
        """Run a cell in the kernel; the reply, with what was printed as ``printed``."""
        printed: list[str] = []

        def listen(message: dict[str, Any]) -> None:
            if message["parent_header"].get("msg_id") == number and message["msg_type"] == "stream":
                printed.append(message["content"]["text"])

        self.heard.append(listen)
        content = {"code": code, "silent": False, "store_history": False, "user_expressions": {}, "allow_stdin": False}
        number = self.send("execute_request", content)
        self.waiting[number] = asyncio.get_running_loop().create_future()
        reply: dict[str, Any] = await asyncio.wait_for(self.waiting[number], LONG)
        await asyncio.sleep(0.05)
        self.heard.remove(listen)
        return {**reply, "printed": "".join(printed)}

    async def open_workbook(self, book: str, cells: Sequence[str]) -> None:
        """Run a workbook's cells; the live section among its widgets is what ``press`` presses then."""
        self.section = ""

        def listen(message: dict[str, Any]) -> None:
            content = message["content"]
            if message["msg_type"] == "comm_open" and "raw" in content["data"].get("state", {}) and not self.section:
                self.section = content["comm_id"]

        self.heard.append(listen)
        await self.open_kernel(book)
        for source in cells:
            reply = await self.run(source)
            if reply["status"] != "ok":
                raise RuntimeError(f"{self.name}: {reply}")
        self.heard.remove(listen)

    async def press(self, raw: dict[str, str]) -> float:
        """Move a control of the live section; seconds until its answer has come."""
        answered = asyncio.get_running_loop().create_future()

        def listen(message: dict[str, Any]) -> None:
            content = message["content"]
            mine = message["msg_type"] == "comm_msg" and content["comm_id"] == self.section
            if mine and content["data"].get("method") == "update" and not answered.done():
                answered.set_result(time.monotonic())

        self.heard.append(listen)
        began = time.monotonic()
        data = {"method": "update", "state": {"raw": raw}, "buffer_paths": []}
        self.send("comm_msg", {"comm_id": self.section, "data": data})
        try:
            return await asyncio.wait_for(answered, LONG) - began
        finally:
            self.heard.remove(listen)

    def leave(self) -> None:
        """Close the websocket."""
        if self.socket:
            self.socket.close()
            self.socket = None


def cells_of(book: str, most: int = 99) -> list[str]:
    """The code cells of a workbook as it is shipped."""
    path = ROOT / "workbooks" / book
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"][:most]


class Loop:
    """An event loop in a thread: a test with a browser cannot run one itself."""

    def __init__(self) -> None:
        self.loop = asyncio.new_event_loop()
        threading.Thread(target=self.loop.run_forever, daemon=True).start()

    def run(self, work: Coroutine[Any, Any, T]) -> T:
        """What a coroutine returns, run in this loop."""
        return asyncio.run_coroutine_threadsafe(work, self.loop).result(LONG)

    def learner(self, office: Office, name: str, account: str = "") -> Learner:
        """A learner whose requests run in this loop."""

        async def make() -> Learner:
            return Learner(office, name, account)

        return self.run(make())


def free_ports(count: int = 4) -> int:
    """The first of so many ports in a row that nothing listens on."""
    for first in range(21000, 29000, 10):
        with contextlib.ExitStack() as stack:
            try:
                for port in range(first, first + count):
                    stack.enter_context(socket.socket()).bind(("127.0.0.1", port))
            except OSError:
                continue
        return first
    raise RuntimeError("no free ports")
