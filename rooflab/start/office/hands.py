"""The room's counts on an office server: how many chose which answer of a stop, without a name.

A service of JupyterHub, ``python -m rooflab.start.office.hands``, which the hub starts.  Who may say and who may ask is
for the hub's permissions: a learner's server says what was chosen, and only one whose owner holds ``custom:hands:read``
is told the counts.  All is in memory, and gone when the hub ends.
"""

from __future__ import annotations

import asyncio
import hashlib
import json
import logging
import os
import re
import secrets
from contextlib import suppress
from typing import Any
from urllib.parse import urlsplit

from jupyterhub.services.auth import HubAuthenticated
from tornado.web import Application, HTTPError, RequestHandler, authenticated

READ = "custom:hands:read"
MOST_STOPS, MOST_OF_ONE, MOST_ANSWERS = 5000, 100, 9  # of a room, of a person, of a stop; 12 workbooks have 60 stops
BODY = 1000  # bytes of one message


class Hands:
    """Who chose what, by stop; a person is a number that this run of the service alone can make of a name."""

    def __init__(self) -> None:
        self._salt = secrets.token_bytes(16)
        self._chosen: dict[str, dict[bytes, int]] = {}
        self._stops_of: dict[bytes, set[str]] = {}

    def take(self, stop: str, name: str, choice: object, of: object) -> None:
        """Keep a person's last choice, from 0, of so many answers.  ValueError for what is no choice of a stop.

        >>> hands = Hands()
        >>> for name, choice in (("ana", 0), ("ben", 2), ("ana", 2)):
        ...     hands.take("0" * 16, name, choice, 3)
        >>> hands.counts("0" * 16)
        [0, 0, 2]
        """
        known = stop in self._chosen or len(self._chosen) < MOST_STOPS
        if not (known and re.fullmatch("[0-9a-f]{16}", stop) and type(choice) is int and type(of) is int):
            raise ValueError("That is no choice of a stop.")
        if not 0 <= choice < of <= MOST_ANSWERS:
            raise ValueError(f"Choice {choice}: of {of} answers they are numbered from 0, and {MOST_ANSWERS} is most.")
        person = hashlib.blake2b(name.encode(), key=self._salt, digest_size=16).digest()
        stops = self._stops_of.setdefault(person, set())
        if len(stops | {stop}) > MOST_OF_ONE:
            raise ValueError(f"{MOST_OF_ONE} stops are the most that one answers.")
        stops.add(stop)
        self._chosen.setdefault(stop, {})[person] = choice

    def counts(self, stop: str) -> list[int]:
        """How many chose each answer, up to the last that anybody chose; [] for a stop that nobody answered."""
        chosen = list(self._chosen.get(stop, {}).values())
        return [chosen.count(choice) for choice in range(max(chosen, default=-1) + 1)]


class Counts(HubAuthenticated, RequestHandler):
    """A stop's counts: POST says what one chose, GET asks for the counts."""

    def initialize(self, hands: Hands) -> None:
        self.hands = hands

    def check_xsrf_cookie(self) -> None:
        """Only tokens are taken here, no cookies: a page of another's cannot speak for a learner."""
        if not self.hub_auth.get_token(self):
            raise HTTPError(403)

    @authenticated
    def post(self, stop: str) -> None:
        try:
            said = json.loads(self.request.body)
            self.hands.take(stop, self.current_user["name"], said["choice"], said["of"])
        except (ValueError, KeyError, TypeError) as error:
            raise HTTPError(400, str(error)) from error
        self.set_status(204)

    @authenticated
    def get(self, stop: str) -> None:
        if READ not in self.current_user.get("scopes", ()):
            raise HTTPError(403)  # the counts are for who presents
        self.write({"counts": self.hands.counts(stop)})


async def serve() -> None:
    """Listen where the hub says until it ends this."""
    logging.getLogger("tornado.access").setLevel(logging.ERROR)
    prefix, url = os.environ["JUPYTERHUB_SERVICE_PREFIX"], urlsplit(os.environ["JUPYTERHUB_SERVICE_URL"])
    app: Any = Application([(re.escape(prefix) + "([^/]+)", Counts, {"hands": Hands()})], cookie_secret=os.urandom(32))
    app.listen(url.port, url.hostname, max_body_size=BODY)
    await asyncio.Event().wait()


if __name__ == "__main__":
    with suppress(KeyboardInterrupt):
        asyncio.run(serve())
