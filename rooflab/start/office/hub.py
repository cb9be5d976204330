"""What our configuration adds to JupyterHub: a door for names typed at it, and starts that wait for their turn.

The hub imports this; everything else is the hub's own, set up in ``jupyterhub_config.py`` beside this file.
"""

from __future__ import annotations

import asyncio
import pwd
from collections.abc import AsyncIterator
from datetime import UTC
from pathlib import Path
from time import monotonic, time
from typing import Any

from jupyterhub.auth import LocalAuthenticator
from jupyterhub.authenticators.shared import SharedPasswordAuthenticator
from jupyterhub.orm import User
from jupyterhub.spawner import LocalProcessSpawner
from tornado.web import HTTPError
from traitlets import Integer, Set, Unicode

from rooflab.start.ports import listener

from .accounts import PREFIX, account_name, has_account

PAGES = Path(__file__).parent / "pages"  # of the hub's that are worded for a session
TAKEN = "Somebody called {name} is here already: add a letter to your name. If it is you, in another browser: ask " \
        "the presenter to take the name off the list, then come in again; your work is kept."  # fmt: skip
OTHERS = "The name {name} cannot be used here: take another."
COMING, TURN = 30.0, 30.0  # seconds: from the word to the account; that one start may keep the others waiting
NO_NAME = "Type your name in letters a to z and digits."
SAME = "rooflab-name"  # a signed cookie: this browser came in under that name, when, and may do so again


class Door(LocalAuthenticator, SharedPasswordAuthenticator):
    """One shared word and a typed name, which becomes an account of its own; presenters have a longer word.

    The hub's own check of the words, and the hub's own way to make accounts.  A name is its first comer's: whoever
    types it in another browser is refused, since the word is everybody's.  A presenter who deletes the user in the
    hub's admin page frees the name; its folder stays.
    """

    people = Unicode(help="The folder in which the accounts made here have their homes.").tag(config=True)
    presenters = Set(Unicode(), help="The accounts for which the presenters' word is wanted.").tag(config=True)
    _coming: dict[str, float] = {}  # names let in whose users are not made yet, until when

    def normalize_username(self, username: str) -> str:
        return account_name(username)

    def lives_here(self, name: str) -> bool:
        """Whether the account of a name is not made yet, or was made at this door."""
        return not has_account(name) or Path(pwd.getpwnam(name).pw_dir).parent == Path(self.people)

    def came_before(self, handler: Any, name: str) -> bool:
        """Whether who has this name came in with this browser, and not before a presenter freed it for another."""
        said, _, when = (handler.get_secure_cookie(SAME) or b"").decode().partition(" ")
        if said != name or not (known := User.find(handler.db, name)):
            return False
        return bool(known.created.replace(tzinfo=UTC).timestamp() < float(when or 0) + COMING)

    async def authenticate(self, handler: Any, data: dict[str, str]) -> Any:
        name = account_name(data.get("username", ""))
        data = {**data, "password": data["password"].strip()}
        said = await super().authenticate(handler, data) if data["password"].isascii() else None
        presents = bool(said and said["groups"])
        if not said or presents != (name in self.presenters):
            return None
        if not name:
            raise HTTPError(400, NO_NAME)
        comes = self._coming.get(name, 0.0) > monotonic()
        if not (presents or self.came_before(handler, name)) and (comes or User.find(handler.db, name)):
            raise HTTPError(409, TAKEN.format(name=name.removeprefix(PREFIX)))
        if not self.lives_here(name):
            raise HTTPError(403, OTHERS.format(name=name.removeprefix(PREFIX)))
        if not User.find(handler.db, name):
            self._coming[name] = monotonic() + COMING
        secure = handler.request.protocol == "https"
        handler.set_secure_cookie(SAME, f"{name} {time()}", expires_days=14, httponly=True, secure=secure)
        return said

    async def add_user(self, user: Any) -> None:
        self._coming.pop(user.name, None)
        await super().add_user(user)


class LearnerSpawner(LocalProcessSpawner):
    """A learner's server under the learner's own account; a crowd's servers start a few at a time, in turn."""

    at_once = Integer(2, min=1, help="How many servers may be starting; the others wait for their turn.").tag(
        config=True
    )
    _turns: asyncio.Semaphore | None = None  # one for all
    _waiting: list[LearnerSpawner] = []

    def may_start(self) -> bool:
        """Whether the account is one that may come in, whoever asked for its server to be started."""
        name, door = self.user.name, self.authenticator
        if isinstance(door, Door):
            return door.lives_here(name)
        groups = getattr(door, "allowed_groups", ())
        return not groups or bool(door.check_allowed_groups(name))

    async def start(self) -> Any:
        if not self.may_start():
            raise HTTPError(403, f"The account {self.user.name} may not come in.")
        if LearnerSpawner._turns is None:
            LearnerSpawner._turns = asyncio.Semaphore(self.at_once)
        LearnerSpawner._waiting.append(self)
        try:
            await LearnerSpawner._turns.acquire()
        finally:
            LearnerSpawner._waiting.remove(self)
        try:
            ip, port = await super().start()
            late = monotonic() + TURN
            while await self.poll() is None and monotonic() < late and not await self._listens(port):
                await asyncio.sleep(0.25)
        finally:
            LearnerSpawner._turns.release()
        return ip, port

    async def _listens(self, port: int) -> bool:
        """Whether the server listens.  Another account on its port is no server of the learner's: HTTPError."""
        owner = listener(port)
        if owner is not None and owner != pwd.getpwnam(self.user.name).pw_uid:
            await self.stop(now=True)
            raise HTTPError(500, "Another account took the port of this server; try again.")
        return owner is not None

    async def progress(self) -> AsyncIterator[dict[str, Any]]:
        """What the page says that waits with the learner."""
        before = -1
        while self in LearnerSpawner._waiting:
            if before != (before := LearnerSpawner._waiting.index(self)):
                yield {"progress": 5, "message": f"Starting in turn: {before + 1} before you, a few seconds each."}
            await asyncio.sleep(0.5)
        yield {"progress": 50, "message": "Your workbooks are being laid out."}
