"""The room's answers on a server: what is told, what is asked, and that a lesson goes on without either."""

from __future__ import annotations

import json
import os
import threading
import time
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from typing import Any

import pytest

from rooflab import live
from rooflab.live.talk.stops import read_lesson
from rooflab.live.talk.view import Talk
from rooflab.live.widgets import hands

STOP = ("Which heel?", ("8 in", "9 in", "10 in"))


class Server:
    """A server that keeps what it is told and answers with ``answer``."""

    def __init__(self) -> None:
        self.told: list[tuple[str, str, dict[str, Any]]] = []
        self.answer, self.status = b'{"counts": [3, 0, 2]}', 200
        server = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
                server.told.append((self.path, self.headers["Authorization"], body))
                self.send_response(204)
                self.end_headers()

            def do_GET(self) -> None:
                self.send_response(server.status)
                self.end_headers()
                self.wfile.write(server.answer)

            def log_message(self, *_: object) -> None:
                pass

        self.http = HTTPServer(("127.0.0.1", 0), Handler)
        threading.Thread(target=self.http.serve_forever, daemon=True).start()

    def wait(self, count: int) -> None:
        late = time.monotonic() + 5
        while len(self.told) < count and time.monotonic() < late:
            time.sleep(0.01)
        assert len(self.told) == count


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    server = Server()
    monkeypatch.setenv(hands.WHERE, f"http://127.0.0.1:{server.http.server_port}/services/hands/")
    monkeypatch.setenv(hands.TOKEN, "of-the-learner")
    yield server
    server.http.shutdown()


def test_a_choice_is_told_with_its_stop_and_no_name(server: Server) -> None:
    assert hands.tell_choice(*STOP, 1) == hands.COUNTED
    server.wait(1)
    assert server.told == [
        (f"/services/hands/{hands.stop_key(*STOP)}", "token of-the-learner", {"choice": 1, "of": 3})
    ]


def test_a_prediction_tells_what_was_chosen_and_says_so(server: Server) -> None:
    """The stop of the room view and the question in the workbook are the same one on the server."""
    stop = read_lesson("01").stops[0].stop
    question = live.predict(stop.prompt, stop.choices, 1, "Why.", live.one_plane(), "the pitch", {"pitch": "6 in 12"})
    said = question.give(stop.choices[2])
    assert said.endswith(hands.COUNTED)
    server.wait(1)
    assert server.told[0][0].endswith(hands.stop_key(stop.prompt, stop.choices))
    assert server.told[0][2] == {"choice": 2, "of": len(stop.choices)}


def test_without_a_server_nothing_is_told_or_said(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in (hands.WHERE, hands.TOKEN, hands.PRESENTS):
        monkeypatch.delenv(name, raising=False)
    assert hands.tell_choice(*STOP, 1) == "" and hands.ask_counts(*STOP) == []
    question = live.predict("Which?", ("a", "b"), 1, "Why.", live.one_plane(), "there", {"pitch": "6 in 12"})
    assert question.give("b") == "You said: b. Now look: there"


def test_a_server_that_is_gone_stops_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(hands.WHERE, "http://127.0.0.1:9/")  # discard: nothing listens there
    monkeypatch.setenv(hands.TOKEN, "x")
    monkeypatch.setenv(hands.PRESENTS, "yes")
    assert hands.tell_choice(*STOP, 0) == hands.COUNTED
    assert hands.ask_counts(*STOP) == []


@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="who listens is asked of Linux")
def test_a_token_is_given_to_the_hub_s_account_alone(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where another account has the port of the counts, it hears nothing."""
    monkeypatch.setenv(hands.PRESENTS, "yes")
    monkeypatch.setenv(hands.BY, str(os.geteuid()))
    assert hands.ask_counts(*STOP) == [3, 0, 2]
    monkeypatch.setenv(hands.BY, str(os.geteuid() + 1))
    assert hands.ask_counts(*STOP) == []


def test_only_who_presents_asks(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    assert hands.ask_counts(*STOP) == []
    monkeypatch.setenv(hands.PRESENTS, "yes")
    assert hands.ask_counts(*STOP) == [3, 0, 2]


@pytest.mark.parametrize(
    ("answer", "counts"),
    [
        (b'{"counts": [4]}', [4, 0, 0]), (b'{"counts": [1, 2, 3, 4, 5]}', [1, 2, 3]), (b'{"counts": []}', []),
        (b'{"counts": [0, 0]}', []), (b"{}", []), (b"[]", []), (b"<html>", []), (b'{"counts": ["x"]}', []),
        (b'{"counts": null}', []), (b"\xff", []),
    ],
)  # fmt: skip
def test_whatever_the_server_answers_is_counts_or_nothing(
    server: Server, monkeypatch: pytest.MonkeyPatch, answer: bytes, counts: list[int]
) -> None:
    monkeypatch.setenv(hands.PRESENTS, "yes")
    server.answer = answer
    assert hands.ask_counts(*STOP) == counts
    server.status = 403
    assert hands.ask_counts(*STOP) == []


def test_counts_stand_where_no_hands_were_typed() -> None:
    """Three chose the first answer and two the last on their screens; four hands typed for the first stand instead."""
    talk = Talk(read_lesson("01"))
    assert not talk.take_screens([1, 0, 0])  # the first slide asks nothing
    talk.do("go", str(talk.first_stop))
    assert talk.take_screens([3, 0, 2]) and not talk.take_screens([3, 0, 2]) and not talk.take_screens([])
    slide = talk.slide()
    assert slide["counts"] == ["3", "0", "2"] and slide["bars"] == [60.0, 0.0, 40.0]
    assert slide["progress"].endswith("5 answers on screens")
    talk.do("count", "0:4")
    assert talk.slide()["counts"] == ["4", "0", "2"] and talk.slide()["shares"][0] == "4 of 6 hands"
    talk.do("count", "0:")
    assert talk.slide()["counts"] == ["3", "0", "2"]
    talk.do("go", str(talk.first_stop + 1))
    assert talk.slide()["counts"][0] == "" and "screens" not in talk.slide()["progress"]
