"""A real hub on this machine, installed from the wheel: two learners in two browsers, and what each may not do.

What is asked of the hub itself is documented in JupyterHub's manual: services, scopes, shared-password and PAM
authenticators, the idle culler.
"""

from __future__ import annotations

import asyncio
import contextlib
import grp
import json
import os
import pwd
import re
import shutil
import signal
import socket
import sqlite3
import ssl
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest

from rooflab.live.talk.stops import read_lesson
from rooflab.start.copies import DEFAULT_FOLDER
from rooflab.start.office.accounts import delete_session
from tests.tools.browser import find_chromium
from tests.tools.office import (
    Learner,
    Loop,
    Office,
    children,
    command_line,
    free_ports,
    install_office,
    listening_ports,
    processes_of,
    what_is_lacking,
)

pytestmark = pytest.mark.browser

BOOK, OTHER, THIRD = "01-one-roof-plane.ipynb", "02-cutting-the-rafter.ipynb", "03-shaping-the-scissor.ipynb"
HOST = "host"  # the name of who presents
PLACES, OURS = "/var/tmp", "rooflab-office-"
LIVE = ".rl-strip[data-state=live]"


@pytest.fixture(scope="module")
def place() -> Iterator[Path]:
    """A folder that all accounts can read, with an environment into which the wheel was installed."""
    if lacking := what_is_lacking():
        if os.environ.get("ROOFLAB_BROWSER") == "required":
            pytest.fail(lacking)
        pytest.skip(lacking)
    for name in {Path(one.pw_dir).parents[1] for one in pwd.getpwall() if one.pw_dir.startswith(f"{PLACES}/{OURS}")}:
        delete_session(name)  # what a run that was broken off left
    place = Path(tempfile.mkdtemp(prefix=OURS, dir=PLACES))
    place.chmod(0o755)
    install_office(place / "venv", place / "wheels")
    yield place
    shutil.rmtree(place, ignore_errors=True)


@pytest.fixture(scope="module")
def office(place: Path) -> Iterator[Office]:
    """A session for an hour, whose people are deleted when it ends."""
    words = ("--session", "--presenter", HOST, "--delete")
    office = Office(place / "venv" / "bin" / "python", place / "session", free_ports(), *words)
    office.start()
    yield office
    if office.running:
        office.stop()


@pytest.fixture(scope="module")
def loop() -> Loop:
    return Loop()


@pytest.fixture(scope="module")
def pages(office: Office, browsers: Any) -> Iterator[dict[str, Any]]:
    """The pages of two learners and the presenter, each in a browser of their own, come in through the door."""
    options = {"executable_path": find_chromium(), "args": ["--no-sandbox", "--disable-background-networking"]}
    started, pages = [], {}
    for name in ("ana", "ben", HOST):
        browser = browsers.play.chromium.launch(**options)
        page = browser.new_context(viewport={"width": 1366, "height": 641}).new_page()
        page.goto(office.url)
        page.get_by_label("Your name").fill(name.title())
        page.get_by_label("The word at the door").fill(office.secret("presenter" if name == HOST else "word"))
        page.get_by_role("button", name="Sign in").click()
        started.append(browser)
        pages[name] = page
    yield pages
    for browser in started:
        browser.close()


@pytest.fixture(scope="module")
def ana(office: Office, loop: Loop, pages: dict[str, Any]) -> Learner:
    return come_with_cookies(loop.learner(office, "ana"), pages["ana"])


@pytest.fixture(scope="module")
def ben(office: Office, loop: Loop, pages: dict[str, Any]) -> Learner:
    return come_with_cookies(loop.learner(office, "ben"), pages["ben"])


@pytest.fixture(scope="module")
def guest(office: Office, loop: Loop) -> Learner:
    """Somebody who came in under a name that others want too."""
    learner = loop.learner(office, "guest")
    assert loop.run(learner.come_in()).code == 200
    return learner


def come_with_cookies(learner: Learner, page: Any) -> Learner:
    """The same learner, with the cookies of the browser."""
    page.wait_for_url("**/doc/tree/**", timeout=60_000)
    for one in page.context.cookies():
        learner.cookies[one["path"], one["name"]] = one["value"]
    return learner


def run_in_shell(loop: Loop, learner: Learner, command: str) -> str:
    """What a shell says that the learner starts from a kernel of theirs."""

    async def run() -> str:
        if not learner.kernel:
            await learner.open_kernel(THIRD)
        reply = await learner.run(
            f"import subprocess\nran = subprocess.run({command!r}, shell=True, stdin=subprocess.DEVNULL,"
            " capture_output=True, text=True)\n"
            "print(ran.returncode, ran.stdout, ran.stderr)"
        )
        return str(reply["printed"])

    return loop.run(run())


def home(office: Office, name: str) -> Path:
    """A learner's copy of the workbooks."""
    return office.folder / "people" / f"roof-{name}" / DEFAULT_FOLDER


# --- alive, each for their own ---------------------------------------------------------------------------------------


def test_each_learner_has_a_workbook_that_is_alive_on_opening(office: Office, pages: dict[str, Any]) -> None:
    for name in ("ana", "ben"):
        page = pages[name]
        page.wait_for_selector(LIVE, timeout=90_000)
        assert f"/user/roof-{name}/doc/tree/00-start-here.ipynb" in page.url
        page.goto(f"{office.url}/hub/user-redirect/doc/tree/{BOOK}")
        page.wait_for_selector(LIVE, timeout=90_000)
        panel = page.locator(".rl-panel").first
        before = panel.inner_text()
        slider = panel.locator("input[type=range]").first
        slider.press("ArrowRight")
        page.wait_for_function("([panel, text]) => panel.innerText !== text", arg=[panel.element_handle(), before])
        names = {path.name for path in home(office, name).iterdir()}
        assert len([one for one in names if one.endswith(".ipynb")]) == 12
        assert home(office, name).stat().st_mode & 0o777 == 0o700
        assert home(office, name).owner() == f"roof-{name}"


def test_the_presenter_sees_counts_and_no_names(
    office: Office, loop: Loop, pages: dict[str, Any], ana: Learner
) -> None:
    """Both choose in their own workbook; the room view counts two and says no name; a learner is told nothing."""
    stop = read_lesson("01").stops[0].stop
    for name, number in (("ana", 0), ("ben", 2)):
        question = pages[name].locator(".rl-ask", has_text=stop.prompt).first
        question.locator("input[type=radio]").nth(number).check()
        question.get_by_text("The room's count has it, without your name.").wait_for(timeout=60_000)
    page = pages[HOST]
    page.wait_for_url("**/doc/tree/**", timeout=60_000)
    page.goto(f"{office.url}/hub/user-redirect/doc/tree/present/room-{BOOK}")
    page.wait_for_selector(".rl-talk[data-kind=first]", timeout=90_000)
    page.keyboard.press("ArrowRight")
    page.get_by_text("2 answers on screens").wait_for(timeout=60_000)
    talk = page.locator(".rl-talk").first
    assert stop.prompt in talk.inner_text().replace("\u00a0", " ")
    assert [one.input_value() for one in talk.locator("input[inputmode=numeric]").all()] == ["1", "0", "1"]
    assert not re.search(r"\b(ana|ben)\b", talk.inner_text(), re.I)
    key = "0" * 16
    token = run_in_shell(loop, ana, "echo $JUPYTERHUB_API_TOKEN").split()[1]
    assert loop.run(ana.ask(f"/services/hands/{key}", token=token)).code == 403
    assert loop.run(ana.ask(f"/services/hands/{key}", "POST", b'{"choice": 0, "of": 3}')).code == 403  # cookies alone
    for body in (b"[]", b"{", b'{"choice": 9, "of": 3}', b'{"choice": "x", "of": 3}', b'{"choice": 0, "of": 99}'):
        assert loop.run(ana.ask(f"/services/hands/{key}", "POST", body, token=token)).code == 400


# --- what one may not do ---------------------------------------------------------------------------------------------


def test_one_learner_cannot_reach_another_s_files_or_kernel(
    office: Office, loop: Loop, pages: dict[str, Any], ana: Learner, ben: Learner
) -> None:
    """By address in the browser, by the server's and the hub's API, with cookies and with the token, and by hand."""
    kernels = loop.run(ana.api("kernels"))
    assert kernels and loop.run(ana.api("contents"))["content"]
    page = pages["ben"].context.new_page()
    for path in (f"doc/tree/{BOOK}", "tree", f"files/{BOOK}", "api/contents"):
        answer = page.goto(f"{office.url}/user/roof-ana/{path}")
        assert answer.status in (403, 404), path
    page.close()
    token = run_in_shell(loop, ben, "echo $JUPYTERHUB_API_TOKEN").split()[1]
    server = next(pid for pid in processes_of("roof-ana") if "office.learner" in command_line(pid))
    (port,) = listening_ports(server)
    direct = f"http://127.0.0.1:{port}/user/roof-ana/"
    for base in (f"{office.url}/user/roof-ana/", direct):
        for with_token in ("", token):
            for what in ("api/contents", "api/kernels", "api/sessions", f"api/contents/{BOOK}"):
                answer = loop.run(ben.ask(base + what, token=with_token))
                assert answer.code in (403, 404), (base, what, with_token[:4], answer.code)
            for what in ("api/kernels", "api/terminals"):
                answer = loop.run(ben.ask(base + what, "POST", b"{}", token=with_token))
                assert answer.code in (403, 404, 405), (base, what)
    ben_at_ana = loop.learner(office, "ben")
    ben_at_ana.cookies, ben_at_ana.home, ben_at_ana.kernel = ben.cookies, "/user/roof-ana/", kernels[0]["id"]
    with pytest.raises(Exception, match="403|404"):
        loop.run(ben_at_ana.listen())
    for path in ("/hub/api/users/roof-ana", "/hub/api/users", "/hub/admin"):
        assert loop.run(ben.ask(path, token=token if "api" in path else "")).code in (403, 404), path
    assert loop.run(ben.ask(f"{ben.home}api/terminals", "POST", b"{}")).code in (404, 405)  # nobody has one
    mine, hers = home(office, "ben"), home(office, "ana")
    runtime = next(one for one in Path(tempfile.gettempdir()).glob("rooflab-*") if one.owner() == "roof-ana")
    for command in (
        f"ls {hers}", f"ls {hers.parent}", f"cat {hers / BOOK}", f"ls {office.folder / 'hub'}",
        f"ls {office.folder / 'people'}",
        f"cat {office.folder / 'hub' / 'word.txt'}", f"cat /proc/{server}/environ", f"kill -9 {server}",
        f"ls {runtime}", f"touch {office.folder / 'x'}", f"touch {office.python}",
        f"ln -s {hers} {mine / 'hers'} && cat {mine / 'hers' / BOOK}", "su roof-ana -c id",
    ):  # fmt: skip
        said = run_in_shell(loop, ben, command)
        assert said.split()[0] != "0", (command, said)
    assert loop.run(ben.ask(f"{ben.home}api/contents/hers/{BOOK}")).code in (403, 404, 500)
    assert loop.run(ana.api("kernels"))[0]["id"] == kernels[0]["id"]


def test_one_office_at_a_time_is_open_on_a_folder(office: Office, place: Path) -> None:
    said = refusal(place, "--session", "--presenter", HOST, "--folder", str(office.folder))
    assert f"an office is open on {office.folder}" in said


def test_a_name_is_its_first_comer_s_and_no_account_of_the_system(
    office: Office, loop: Loop, ana: Learner, guest: Learner
) -> None:
    """The word is everybody's: with it and her name nobody gets in for Ana; nor as an account that the system has."""
    thief = loop.learner(office, "Ana")
    answer = loop.run(thief.come_in())
    assert answer.code == 409 and b"is here already" in answer.body
    assert loop.run(thief.ask(f"{ana.home}api/contents")).code == 403
    loop.run(guest.ask("/hub/logout"))
    assert loop.run(guest.ask("/hub/home")).effective_url.startswith(f"{office.url}/hub/login")
    assert loop.run(guest.come_in()).code == 200  # in the same browser
    assert loop.run(loop.learner(office, "guest").come_in()).code == 409
    zoe = loop.learner(office, "zoe")
    refused = loop.run(zoe.come_in("wrong word"))
    assert refused.code == 403 and b"That is not the word" in refused.body
    assert loop.run(zoe.ask("/hub/home")).effective_url.startswith(f"{office.url}/hub/login")
    root = loop.learner(office, "root", "roof-root")
    came = loop.run(root.come_in())
    assert came.code == 200, came.body
    loop.run(root.wait_until_open())
    assert pwd.getpwnam("roof-root").pw_uid > 0
    assert "roof-root" in run_in_shell(loop, root, "id -un")
    assert loop.run(loop.learner(office, HOST).come_in()).code == 403  # with the word that everybody has


def test_the_office_s_jobs_are_read_by_all_and_written_by_those_it_names(
    office: Office, loop: Loop, pages: dict[str, Any], ben: Learner
) -> None:
    presenter = come_with_cookies(loop.learner(office, HOST), pages[HOST])
    run_in_shell(loop, presenter, "true")
    write = "from rooflab.job.jobfile import example\nexample().save('jobs/oak-street.json')"
    assert loop.run(presenter.run(write))["status"] == "ok"
    run_in_shell(loop, ben, "true")
    reply = loop.run(ben.run("from rooflab import live\nhouse = live.job('jobs/oak-street.json')\nprint(house.title)"))
    assert reply["status"] == "ok", reply
    reply = loop.run(ben.run(
        "from rooflab.base.measure import InputError\ntry:\n    house.save('jobs/oak-street.json')\n"
        "except InputError as error:\n    print(error.problems[0])"
    ))  # fmt: skip
    assert reply["status"] == "ok" and "oak-street.json" in reply["printed"], reply
    for method, path in (("POST", "/hub/api/users/daemon"), ("POST", "/hub/api/users/roof-ben/server"),
                         ("GET", f"{ben.home}api/contents"), ("PATCH", "/hub/api/users/roof-ben")):  # fmt: skip
        answer = loop.run(presenter.ask(path, method, None if method == "GET" else b"{}"))
        assert answer.code in (403, 404), (path, answer.code)  # who presents administers nobody
    assert loop.run(presenter.ask("/hub/admin")).code == 200
    for command in ("touch jobs/x", *(f"{verb} jobs/oak-street.json" for verb in ("rm", "echo x >", "mv -t ."))):
        assert not run_in_shell(loop, ben, command).startswith("0"), command
    body = json.dumps({"type": "file", "format": "text", "content": "{}"}).encode()
    assert loop.run(ben.ask(f"{ben.home}api/contents/jobs/oak-street.json", "PUT", body)).code >= 400
    assert json.loads((office.folder / "jobs" / "oak-street.json").read_text())


# --- kept ------------------------------------------------------------------------------------------------------------


def test_an_edited_copy_is_kept_across_an_update(office: Office, loop: Loop, ana: Learner, ben: Learner) -> None:
    """Ana edits a workbook, then a newer rooflab comes: hers stays, the new one is beside it; Ben's is replaced."""
    book = loop.run(ana.api(f"contents/{OTHER}"))["content"]
    book["cells"][0]["source"] += "\n\nMy own note."
    loop.run(ana.api(f"contents/{OTHER}", "PUT", {"type": "notebook", "content": book}))
    edited = (home(office, "ana") / OTHER).read_bytes()
    (shipped,) = (office.python.parents[1] / "lib").glob(f"python3*/site-packages/rooflab/workbooks/{OTHER}")
    newer = shipped.read_text(encoding="utf-8").replace("# ", "# Newer: ", 1)
    shipped.write_text(newer, encoding="utf-8")
    for learner in (ana, ben):
        learner.leave()
        learner.kernel = ""
        loop.run(learner.ask(f"/hub/api/users/{learner.account}/server", "DELETE"))
        loop.run(learner.wait_until_open())
    assert (home(office, "ana") / OTHER).read_bytes() == edited
    assert (home(office, "ana") / OTHER.replace(".ipynb", " (new).ipynb")).read_text(encoding="utf-8") == newer
    assert (home(office, "ben") / OTHER).read_text(encoding="utf-8") == newer


def test_a_hub_that_is_killed_and_started_again_has_everybody_s_work(
    office: Office, loop: Loop, pages: dict[str, Any], ana: Learner
) -> None:
    """The hub and what started it are killed; servers and kernels go on, and each finds their own again."""
    page = pages["ana"]
    page.goto(f"{office.url}/hub/user-redirect/doc/tree/{BOOK}")
    page.wait_for_selector(LIVE, timeout=90_000)
    kernels = {one["id"] for one in loop.run(ana.api("kernels"))}
    kept = (home(office, "ana") / BOOK.replace(".ipynb", ".kept.json")).read_text(encoding="utf-8")
    assert "prediction: " in kept
    office.stop(hard=True)
    office.start()
    page.goto(f"{office.url}/hub/user-redirect/doc/tree/{BOOK}")
    page.wait_for_selector(LIVE, timeout=90_000)
    assert "/user/roof-ana/" in page.url
    assert {one["id"] for one in loop.run(ana.api("kernels"))} >= kernels
    checked = page.locator(".rl-ask input[type=radio]:checked").first
    checked.wait_for(state="attached", timeout=30_000)
    assert (home(office, "ana") / BOOK.replace(".ipynb", ".kept.json")).read_text(encoding="utf-8") == kept


def test_a_crowd_that_comes_at_once_is_let_in_in_turn(office: Office, loop: Loop) -> None:
    """Six come at the same moment, two servers start at a time; nobody is sent away, and the last is told to wait."""

    async def come(learner: Learner, told: list[str]) -> int:
        answer = await learner.come_in()
        assert answer.code == 200, answer.body
        progress = await learner.ask(f"/hub/api/users/{learner.account}/server/progress")
        told += re.findall(r'"message": "([^"]*)"', progress.body.decode())
        await learner.wait_until_open()
        return answer.code

    told: list[str] = []
    crowd = [loop.learner(office, f"crowd {number}", f"roof-crowd-{number}") for number in range(6)]

    async def all_come() -> list[int]:
        return list(await asyncio.gather(*(come(one, told) for one in crowd)))

    assert loop.run(all_come()) == [200] * 6
    assert any(one.startswith("Starting in turn") for one in told), told


def test_a_name_that_a_presenter_frees_is_its_next_comer_s(
    office: Office, loop: Loop, pages: dict[str, Any], guest: Learner
) -> None:
    """Whose browser had it before does not get in under it any more."""
    presenter = come_with_cookies(loop.learner(office, HOST), pages[HOST])
    time.sleep(max(0.0, guest.came + 31 - time.monotonic()))  # until then it is not told whose browser was first
    assert loop.run(presenter.ask("/hub/api/users/roof-guest", "DELETE")).code == 204
    after = loop.learner(office, "guest")
    assert loop.run(after.come_in()).code == 200
    for learner, code in ((guest, 409), (after, 200)):
        loop.run(learner.ask("/hub/logout"))
        assert loop.run(learner.come_in()).code == code


def test_no_word_and_no_token_is_written_to_the_log(office: Office, loop: Loop, ana: Learner) -> None:
    token = run_in_shell(loop, ana, "echo $JUPYTERHUB_API_TOKEN").split()[1]
    _, found, said = office.said().rpartition("in the folder present of")  # the last line for who runs it
    assert found
    log = re.sub(r"rooflab: .*", "", said)
    secrets = [token, office.secret("word"), office.secret("presenter"), *ana.cookies.values()]
    assert not [one for one in secrets if len(one) > 7 and one in log]
    assert not re.search(r"[?&]token=(?!\[secret\])", log)
    lines = [command_line(pid) for name in ("roof-ana", "roof-ben", "nobody", "root") for pid in processes_of(name)]
    assert not [one for one in secrets if len(one) > 7 and any(one in line for line in lines)]


def test_the_end_of_a_session_deletes_its_people_and_nobody_else(office: Office) -> None:
    others = {one.pw_name for one in pwd.getpwall() if not one.pw_name.startswith("roof-")}
    assert any(one.pw_name == "roof-ana" for one in pwd.getpwall())
    assert office.stop() == 0, office.said()[-4000:]
    assert not [one.pw_name for one in pwd.getpwall() if one.pw_dir.startswith(str(office.folder))]
    assert {one.pw_name for one in pwd.getpwall()} >= others
    assert list((office.folder / "people").iterdir()) == []
    assert json.loads((office.folder / "jobs" / "oak-street.json").read_text())  # the office's own stay


def test_a_hub_that_hangs_when_it_is_to_end_is_stopped_with_all_its_servers(office: Office, loop: Loop) -> None:
    """Asked a second time it is not waited for; a session that was to be deleted is."""
    office.start()
    last = loop.learner(office, "last")
    loop.run(last.come_in())
    loop.run(last.wait_until_open())
    assert office.running and processes_of("roof-last")
    uid = pwd.getpwnam("roof-last").pw_uid
    (hub,) = (pid for pid in children(office.running.pid) if "jupyterhub" in command_line(pid))
    os.kill(hub, signal.SIGSTOP)
    office.running.send_signal(signal.SIGTERM)
    time.sleep(1)
    assert office.stop() == 130
    assert not [one.pw_name for one in pwd.getpwall() if one.pw_dir.startswith(str(office.folder))]
    assert not processes_of(uid)


def test_who_presents_is_who_is_named_at_the_start(place: Path) -> None:
    """The others lose what presenters may do: their role in the hub's database, and to write in jobs/."""
    folder = place / "second"
    for names in (["one", "two"], ["two"], ["two", "one"]):
        words = [word for name in names for word in ("--presenter", name)]
        office = Office(place / "venv" / "bin" / "python", folder, free_ports(), "--session", *words)
        office.start()
        with contextlib.closing(sqlite3.connect(folder / "hub" / "jupyterhub.sqlite")) as hub:
            may = hub.execute(
                "SELECT users.name FROM users, roles, user_role_map WHERE users.id = user_id AND roles.id = role_id"
                " AND roles.name LIKE 'presenter%'"
            ).fetchall()
        writers = {name for name in grp.getgrnam("rooflab-jobs").gr_mem if name in ("roof-one", "roof-two")}
        assert writers == {name for name, in may} == {f"roof-{name}" for name in names}
        assert office.stop() == 0
    delete_session(folder)


# --- the office's own accounts ---------------------------------------------------------------------------------------


@pytest.fixture
def accounts() -> Iterator[dict[str, str]]:
    """Two accounts of the system with passwords; the first alone is in the group that may come in."""
    group, passwords = "rooflab-test", {"rooflab-carla": "plumb cut 14", "rooflab-dora": "seat cut 15"}
    subprocess.run(["groupadd", "--force", group], check=True)
    for name, password in passwords.items():
        subprocess.run(["useradd", "--create-home", name], check=True)
        subprocess.run(["chpasswd"], input=f"{name}:{password}", text=True, check=True)
    subprocess.run(["usermod", "-aG", group, "rooflab-carla"], check=True)
    yield passwords
    for name in passwords:
        subprocess.run(["userdel", "--remove", name], check=False, capture_output=True)
    subprocess.run(["groupdel", group], check=False)


def test_an_office_s_own_configuration_with_the_system_s_accounts(
    place: Path, loop: Loop, accounts: dict[str, str]
) -> None:
    """Written as a file, changed by the office, started from it: members of its group come in; what is idle ends."""
    python, port = place / "venv" / "bin" / "python", free_ports()
    words = ["--write-config", str(place / "ours"), "--folder", str(place / "office"), "--port", str(port)]
    subprocess.run([python, "-m", "rooflab", "office", *words], check=True, cwd="/")
    file = place / "ours" / "jupyterhub_config.py"
    text = file.read_text(encoding="utf-8")
    changes = {'GROUP = "rooflab"': 'GROUP = "rooflab-test"', "=3600": "=30", "--cull-every=300": "--cull-every=3"}
    for old, new in changes.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")
    office = Office(python, place / "office", port, "--config", str(file))
    office.start()
    try:
        carla, dora = (loop.learner(office, name, name) for name in accounts)
        loop.run(carla.come_in(accounts["rooflab-carla"]))
        loop.run(carla.wait_until_open())
        copy = Path(pwd.getpwnam("rooflab-carla").pw_dir) / DEFAULT_FOLDER
        assert (copy / BOOK).owner() == "rooflab-carla" and copy.stat().st_mode & 0o777 == 0o700
        refused = loop.run(dora.come_in(accounts["rooflab-dora"]))
        assert refused.code == 403 and not (Path(pwd.getpwnam("rooflab-dora").pw_dir) / DEFAULT_FOLDER).exists()
        late = time.monotonic() + 150
        while processes_of("rooflab-carla") and time.monotonic() < late:
            time.sleep(1)
        assert not processes_of("rooflab-carla")
    finally:
        office.stop()
    assert pwd.getpwnam("rooflab-carla") and (copy / BOOK).is_file()


# --- what is missing -------------------------------------------------------------------------------------------------

CERTIFICATE = """
import sys
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization as form
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
stem, days = sys.argv[1], int(sys.argv[2])
key = ec.generate_private_key(ec.SECP256R1())
name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "office")])
begin = datetime.now(UTC) - timedelta(days=9)
made = x509.CertificateBuilder(name, name, key.public_key(), x509.random_serial_number())
made = made.not_valid_before(begin).not_valid_after(begin + timedelta(days=9 + days))
made = made.add_extension(x509.SubjectAlternativeName([x509.IPAddress(ip_address("127.0.0.1"))]), False)
made = made.sign(key, hashes.SHA256())
open(stem + ".pem", "wb").write(made.public_bytes(form.Encoding.PEM))
pem = key.private_bytes(form.Encoding.PEM, form.PrivateFormat.PKCS8, form.NoEncryption())
open(stem + ".key", "wb").write(pem)
"""


@pytest.fixture(scope="module")
def certificates(place: Path) -> Path:
    """Certificates with keys: "good", "late" (it ran out) and "other"."""
    folder = place / "tls"
    folder.mkdir()
    for name, days in (("good", 30), ("late", -1), ("other", 30)):
        python = place / "venv" / "bin" / "python"
        subprocess.run([python, "-c", CERTIFICATE, str(folder / name), str(days)], check=True)
        (folder / f"{name}.key").chmod(0o600)
    shutil.copy(folder / "good.key", folder / "open.key")
    (folder / "open.key").chmod(0o644)
    return folder


def refusal(place: Path, *words: str, **started: Any) -> str:
    """What the command says that does not start."""
    command = [str(place / "venv" / "bin" / "python"), "-m", "rooflab", "office", "--port", str(free_ports()), *words]
    if "--folder" not in words:
        command += ["--folder", str(place / "refused")]
    ran = subprocess.run(command, cwd="/", capture_output=True, text=True, timeout=60, **started)
    assert ran.returncode == 1 and "Traceback" not in ran.stderr, (words, ran)
    return ran.stdout


SESSION = ("--session", "--presenter", "nobody-else")
NETWORK = (*SESSION, "--address", "127.0.0.2")  # of this machine still, but not the address that needs no TLS


def test_what_is_missing_is_said_in_a_sentence_and_nothing_starts(place: Path, certificates: Path) -> None:
    names = ("good.pem", "late.pem", "late.key", "other.key", "open.key")
    good, late, late_key, other, readable = (str(certificates / name) for name in names)
    who: dict[str, Any] = {"user": "nobody", "group": "nogroup", "extra_groups": []}
    assert "only root can start a program under another account" in refusal(place, "--session", **who)
    assert "would send words and pictures unprotected" in refusal(place, *NETWORK)
    assert "both a certificate and its key" in refusal(place, *NETWORK, "--certificate", good)
    assert "cannot be used" in refusal(place, *NETWORK, "--certificate", good, "--key", other)
    assert "No such file" in refusal(place, *NETWORK, "--certificate", good, "--key", "/nowhere.key")
    assert "ran out on" in refusal(place, *NETWORK, "--certificate", late, "--key", late_key)
    assert "chmod 600" in refusal(place, *NETWORK, "--certificate", good, "--key", readable)
    assert "there is no group 'rooflab'" in refusal(place)
    assert "the presenter 'nobody-else' has no account" in refusal(place, "--presenter", "nobody-else")
    with socket.socket() as taken:
        port = free_ports()
        taken.bind(("127.0.0.1", port + 2))
        taken.listen()
        assert f"port {port + 2} of 127.0.0.1 cannot be used" in refusal(place, *SESSION, "--port", str(port))
    (place / "closed").mkdir(mode=0o700)
    assert "cannot come through" in refusal(place, *SESSION, "--folder", str(place / "closed" / "office"))
    assert "npm install -g" in refusal(place, *SESSION, env={"PATH": "/nowhere"})
    elsewhere = Path(PLACES) / f"{OURS}elsewhere"
    place.chmod(0o700)
    try:
        assert f"{place} is closed to them" in refusal(place, *SESSION, "--folder", str(elsewhere))
    finally:
        place.chmod(0o755)
        shutil.rmtree(elsewhere)
    broken = place / "broken.py"
    broken.write_text("c.JupyterHub.bind_url = nothing\n", encoding="utf-8")
    command = [str(place / "venv" / "bin" / "python"), "-m", "rooflab", "office", "--config", str(broken)]
    ran = subprocess.run(command, capture_output=True, text=True, cwd="/")
    assert ran.returncode == 1 and "cannot be read as a configuration (NameError" in ran.stdout


def test_over_a_network_it_speaks_tls(place: Path, certificates: Path) -> None:
    """The certificate that was named is the one that it shows."""
    words = ("--certificate", str(certificates / "good.pem"), "--key", str(certificates / "good.key"))
    office = Office(place / "venv" / "bin" / "python", place / "tls-office", free_ports(), *SESSION, *words, "--delete")
    trust = ssl.create_default_context(cafile=certificates / "good.pem")
    office.start(trust)
    try:
        with urlopen(f"https://127.0.0.1:{office.port}/hub/login", context=trust, timeout=20) as answer:
            assert b"The word at the door" in answer.read()
    finally:
        office.stop()


def test_what_needs_the_hub_does_what_its_examples_say(place: Path) -> None:
    """The examples in the modules that import JupyterHub, run where it is installed."""
    code = (
        "import doctest, importlib\nfor name in ('accounts', 'hands', 'hub', 'machine'):\n"
        "    module = importlib.import_module('rooflab.start.office.' + name)\n"
        "    print(name, *doctest.testmod(module))"
    )
    python = place / "venv" / "bin" / "python"
    said = subprocess.run([python, "-c", code], check=True, capture_output=True, text=True, cwd="/").stdout.split("\n")
    results = {line.split()[0]: line.split()[1:] for line in said if line}
    assert all(failed == "0" for failed, _ in results.values()), said
    assert int(results["hands"][1]) > 0 and int(results["accounts"][1]) > 0
