"""What a learner costs on an office's server: time until alive, key to answer, memory, with 1, 5, 10 and 20 of them.

Run it as root on a quiet Linux machine: ``python tests/scripts/bench_office.py``; ``--random 30`` lets 20 learners do
random things for half an hour instead.  Hub, servers, kernels and websockets are real; a learner is a program that
sends what a page sends and fetches the page's scripts, but paints nothing.  It runs on the same cores.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import random
import re
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.tools.office import (
    Learner,
    Office,
    cells_of,
    free_ports,
    install_office,
    memory_of,
    memory_of_root,
    what_is_lacking,
)

BOOK = "01-one-roof-plane.ipynb"  # the live section is its first panel
OTHERS = ("00-start-here.ipynb", "02-cutting-the-rafter.ipynb", "07-warm-at-the-eave.ipynb")
ARRIVE, EVERY, LASTS = 30.0, 2.0, 60.0  # seconds: in which all come in, between key presses, of pressing
WARM = 5  # minutes after which memory is to be flat
WORDS = ("8", "5 1/2", "28'-7 5/16\"", "-1", "1e9", "\u221e", "<b>", "", "x" * 5000, "NaN", "2x12", "inside")
NAMES = ("pitch", "seat", "span", "bearing", "overhang", "lumber", "ceiling_pitch", "_view", "_why", "_reset", "none")


def row(*cells: object) -> str:
    """A line of the table."""
    return "  ".join(f"{cell:>{width}}" for cell, width in zip(cells, (8, 18, 12, 16, 14, 14, 10), strict=True))


def p95(times: Sequence[float]) -> float:
    """The value that 95 of 100 stay below."""
    return statistics.quantiles(times, n=20)[-1] if len(times) > 1 else times[0]


def memory(crowd: Sequence[Learner]) -> tuple[float, float, float]:
    """MiB: of a learner's server and kernels on average, and of the hub with its proxy and services."""
    parts = [memory_of(one.account) for one in crowd]
    server, kernels = (statistics.mean(part[kind] for part in parts) for kind in ("server", "kernels"))
    return server, kernels, memory_of_root(crowd[0].office)


async def fetch_page(learner: Learner) -> None:
    """Fetch what a browser fetches for the page of the workbook: the page, and the scripts it names."""
    page = await learner.ask(f"{learner.home}doc/tree/{BOOK}")
    for path in dict.fromkeys(re.findall(rb'src="([^"]+\.js[^"]*)"', page.body)):
        await learner.ask(path.decode())


async def become_alive(learner: Learner, after: float, cells: Sequence[str], began: float) -> tuple[float, float]:
    """Come in after so many seconds; seconds from the word to the running workbook, and since all began."""
    await asyncio.sleep(after)
    came = time.monotonic()
    answer = await learner.come_in()
    if answer.code >= 400:
        raise RuntimeError(f"{learner.name} was not let in: {answer.code}")
    await learner.wait_until_open(BOOK)
    await fetch_page(learner)
    await learner.open_workbook(BOOK, cells)
    return time.monotonic() - came, time.monotonic() - began


async def press_keys(learner: Learner, lasts: float) -> list[float]:
    """Seconds from key to answer, of a key every two seconds."""
    times, chance = [], random.Random(learner.name)
    await asyncio.sleep(chance.random() * EVERY)
    for turn in range(int(lasts / EVERY)):
        began = time.monotonic()
        times.append(await learner.press({"pitch": f"{4 + turn % 9}", "_turn": str(turn)}))
        await asyncio.sleep(max(0.0, EVERY - (time.monotonic() - began)))
    return times


async def measure(office: Office, count: int) -> str:
    """One line of the table: so many learners on a hub that has just started."""
    cells = cells_of(BOOK)
    crowd = [Learner(office, f"learner {number}", f"roof-learner-{number}") for number in range(count)]
    began, arrive = time.monotonic(), min(ARRIVE, 1.5 * count)
    starts = await asyncio.gather(
        *(become_alive(one, arrive * number / count, cells, began) for number, one in enumerate(crowd))
    )
    before = memory(crowd)
    times = [one for times in await asyncio.gather(*(press_keys(one, LASTS) for one in crowd)) for one in times]
    after = memory(crowd)
    for one in crowd:
        one.leave()
    own = [own for own, _ in starts]
    return row(
        count,
        f"{statistics.median(own):.1f} / {max(own):.1f} s",
        f"{max(since for _, since in starts):.1f} s",
        f"{1000 * statistics.median(times):.0f} / {1000 * p95(times):.0f} ms",
        f"{after[0]:.0f} + {after[1]:.0f} MiB",
        f"{sum(after[:2]) - sum(before[:2]):+.1f} MiB",
        f"{after[2]:.0f} MiB",
    )


# --- half an hour at random ------------------------------------------------------------------------------------------


async def act(learner: Learner, chance: random.Random) -> None:
    """One random thing that a learner may do."""
    kind = chance.random()
    if kind < 0.8:
        raw = {chance.choice(NAMES): chance.choice(WORDS) for _ in range(chance.choice((1, 1, 2)))}
        await learner.press({**raw, "_turn": str(chance.randrange(10**6))})
    elif kind < 0.86:  # the page is loaded anew: another websocket to the same kernel
        learner.leave()
        await fetch_page(learner)
        await learner.listen()
    elif kind < 0.92:  # a look at another workbook
        second = Learner(learner.office, learner.name, learner.account)
        second.cookies = learner.cookies
        book = chance.choice(OTHERS)
        await second.open_workbook(book, cells_of(book))
        second.leave()
        await learner.api(f"kernels/{second.kernel}", "DELETE")
    elif kind < 0.96:  # a note of one's own, saved
        book = (await learner.api(f"contents/{BOOK}"))["content"]
        book["metadata"]["note"] = f"this is {learner.account}'s"
        await learner.api(f"contents/{BOOK}", "PUT", {"type": "notebook", "content": book})
    else:
        await learner.api("contents")
        with suppress(RuntimeError):
            await learner.api("contents/nowhere.ipynb")


async def live_at_random(learner: Learner, until: float) -> int:
    """Do random things until then; how many."""
    chance, done = random.Random(learner.name), 0
    while time.monotonic() < until:
        await act(learner, chance)
        done += 1
        await asyncio.sleep(chance.uniform(0.5, 3.5))
    return done


async def half_an_hour(office: Office, count: int, minutes: float) -> None:
    """Print memory minute by minute, and whether a server was lost or something of one is at another's."""
    cells = cells_of(BOOK)
    crowd = [Learner(office, f"learner {number}", f"roof-learner-{number}") for number in range(count)]
    began = time.monotonic()
    await asyncio.gather(*(become_alive(one, number, cells, began) for number, one in enumerate(crowd)))
    first = [await began_at(one) for one in crowd]
    kernels = [one.kernel for one in crowd]
    until = time.monotonic() + 60 * minutes
    lives = [asyncio.create_task(live_at_random(one, until)) for one in crowd]
    sums = []
    while time.monotonic() < until:
        await asyncio.sleep(60)
        server, kernel, hub = memory(crowd)
        sums.append(server + kernel)
        print(f"minute {len(sums):>3}: server {server:5.1f}, kernels {kernel:5.1f}, hub {hub:5.0f} MiB", flush=True)
    done = sum(await asyncio.gather(*lives))
    lost = [one.account for one, start in zip(crowd, first, strict=True) if await began_at(one) != start]
    dead = [one.account for one, kernel in zip(crowd, kernels, strict=True) if kernel not in await kernels_of(one)]
    mixed = [one.account for one in crowd if foreign(one, crowd)]
    for one in crowd:
        one.leave()
    late = sums[WARM:]
    print(f"{done} actions; servers lost: {lost or 'none'}, kernels lost: {dead or 'none'}")
    if late:
        spread = f"{min(late):.1f} to {max(late):.1f} MiB a learner, {late[-1] - late[0]:+.1f} from first to last"
        print(f"after minute {WARM}: {spread}")
    print(f"with something of another's: {mixed or 'nobody'}")


async def began_at(learner: Learner) -> str:
    """When the learner's server started."""
    return str((await learner.api("status"))["started"])


async def kernels_of(learner: Learner) -> set[str]:
    """The learner's kernels, by number."""
    return {one["id"] for one in await learner.api("kernels")}


def foreign(learner: Learner, crowd: Sequence[Learner]) -> bool:
    """Whether another's note stands anywhere in this learner's folder."""
    folder = learner.office.folder / "people" / learner.account
    notes = {one.account: f"this is {one.account}'s".encode() for one in crowd}
    return any(
        note in file.read_bytes()
        for file in folder.rglob("*")
        if file.is_file() and not file.is_symlink()
        for account, note in notes.items()
        if account != learner.account
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--learners", default="1,5,10,20", help="how many at a time, in turn")
    parser.add_argument("--random", type=float, default=0, metavar="MINUTES", help="random things instead, this long")
    parser.add_argument("--python", help="of an environment with rooflab[office]; without one it is installed")
    args = parser.parse_args()
    if lacking := what_is_lacking():
        raise SystemExit(lacking)
    place = Path(tempfile.mkdtemp(prefix="rooflab-bench-", dir="/var/tmp"))
    place.chmod(0o755)
    python = Path(args.python) if args.python else install_office(place / "venv", place / "wheels")
    counts = [int(one) for one in args.learners.split(",")]
    memory_at_all = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    print(f"{os.cpu_count()} cores, {memory_at_all:.0f} GiB; memory is PSS, what is shared divided by who shares it")
    try:
        if not args.random:
            print(row("learners", "alive after word", "all alive", "key to answer", "a learner", "in a minute", "hub"))
            print(row("", "median / most", "since first", "median / p95", "server+kernel", "more", ""))
        for number, count in enumerate(counts[-1:] if args.random else counts):
            office = Office(python, place / f"office-{number}", free_ports(), "--session", "--delete")
            print(f"hub ready after {office.start():.1f} s", file=sys.stderr)
            try:
                if args.random:
                    asyncio.run(half_an_hour(office, count, args.random))
                else:
                    print(asyncio.run(measure(office, count)), flush=True)
            finally:
                if office.stop():
                    print(f"the hub did not end by itself: {office.said()[-4000:]}", file=sys.stderr)
    finally:
        shutil.rmtree(place, ignore_errors=True)


if __name__ == "__main__":
    main()
