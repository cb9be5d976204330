"""A room's answers on an office server: a learner's choice is told to it, and whoever presents asks for the counts.

Where our start on such a server did not say where (``ROOFLAB_HANDS``), nothing is told and nothing asked.
"""

from __future__ import annotations

import asyncio
import hashlib
import json
import logging
import os
from collections.abc import Callable, Sequence
from threading import Thread
from urllib.parse import urlsplit
from urllib.request import ProxyHandler, Request, build_opener

from rooflab.start.ports import listener

WHERE, TOKEN = "ROOFLAB_HANDS", "JUPYTERHUB_API_TOKEN"  # of the environment; the second is the hub's
BY = "ROOFLAB_HANDS_BY"  # the number of the account that the counts run under, where another could take its port
PRESENTS = "ROOFLAB_PRESENTS"  # "yes" where the counts may be asked for
COUNTED = "The room's count has it, without your name."
EVERY = 2.0  # seconds between two looks at the counts
PATIENCE = 5.0  # seconds
LOG = logging.getLogger(__name__)


def stop_key(prompt: str, choices: Sequence[str]) -> str:
    """The name of a stop on the server: the same in every copy with this question and these answers.

    >>> stop_key("Which heel?", ("8 in", "9 in")) == stop_key("Which heel?", ("9 in", "8 in"))
    False
    """
    return hashlib.blake2b("\n".join([prompt, *choices]).encode(), digest_size=8).hexdigest()


def are_counted() -> bool:
    """Whether choices are counted here."""
    return bool(os.environ.get(WHERE) and os.environ.get(TOKEN))


def presents_here() -> bool:
    """Whether this is a presenter's server, which may ask for the counts."""
    return are_counted() and bool(os.environ.get(PRESENTS))


def _request(key: str, body: dict[str, int] | None = None) -> bytes:
    data = None if body is None else json.dumps(body).encode()
    head = {"Authorization": f"token {os.environ[TOKEN]}", "Content-Type": "application/json"}
    url = os.environ[WHERE] + key
    if (by := os.environ.get(BY)) and listener(urlsplit(url).port or 80) != int(by):
        raise OSError("another account is on the port of the counts")  # the token is not for it
    request = Request(url, data, head)
    with build_opener(ProxyHandler({})).open(request, timeout=PATIENCE) as answer:
        content: bytes = answer.read()
    return content


def _try(work: Callable[[], bytes]) -> bytes:
    try:
        return work()
    except (OSError, ValueError) as error:  # the room goes on without it
        LOG.info("the room's counts: %s", error)
        return b""


def tell_choice(prompt: str, choices: Sequence[str], choice: int) -> str:
    """Tell the server which answer was chosen, from 0, and do not wait; what the learner is told, "" without one."""
    if not are_counted():
        return ""
    key, body = stop_key(prompt, choices), {"choice": choice, "of": len(choices)}
    Thread(target=_try, args=(lambda: _request(key, body),), daemon=True).start()
    return COUNTED


def ask_counts(prompt: str, choices: Sequence[str]) -> list[int]:
    """How many chose each answer on their screens; [] where there is nothing to ask, or no answer."""
    if not presents_here():
        return []
    try:
        counts = json.loads(_try(lambda: _request(stop_key(prompt, choices))) or b"{}").get("counts", [])
        numbers = [int(one) for one in counts][: len(choices)]
    except (ValueError, TypeError, AttributeError):
        return []
    return numbers + [0] * (len(choices) - len(numbers)) if any(numbers) else []


async def watch_counts(
    stop: Callable[[], tuple[str, Sequence[str]] | None], show: Callable[[list[int]], bool]
) -> None:
    """Every two seconds ask for the counts of the stop that is shown then, until ``show`` says that it has closed."""
    while True:
        asked = stop()
        counts = await asyncio.to_thread(ask_counts, *asked) if asked else []
        if not show(counts if asked == stop() else []):
            return
        await asyncio.sleep(EVERY)
