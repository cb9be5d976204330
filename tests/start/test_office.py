"""An office's command without a hub: arguments, the configuration that is written, names, words, folders."""

from __future__ import annotations

import ast
import asyncio
import gc
import os
import sys
import tempfile
import weakref
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from jupyter_server.extension.manager import ExtensionPackage
from jupyterlab_server.handlers import LabHandler

from rooflab.start import command as start

if sys.platform != "linux":
    pytest.skip("an office is served by Linux", allow_module_level=True)

from rooflab.start.copies import CannotStart
from rooflab.start.office import accounts, learner, machine, memory
from rooflab.start.office import command as office

VALUES = {
    "FOLDER": "/srv/other", "SESSION": True, "ADDRESS, PORT": ("10.0.0.5", 9443), "CERTIFICATE, KEY": ("a", "b"),
    "TLS_IN_FRONT": True, "PRESENTERS": ["carla"], "MOST_LEARNERS": 7,
}  # fmt: skip


def assigned(text: str) -> dict[str, Any]:
    """The values of the first part of a configuration, by the names on the left."""
    found = {}
    for node in ast.parse(text).body:
        if isinstance(node, ast.Assign):
            try:
                found[ast.unparse(node.targets[0]).strip("()")] = ast.literal_eval(node.value)
            except ValueError:
                continue
    return found


@pytest.mark.parametrize(
    ("argv", "wrong"),
    [
        (["--delete"], "--delete is for the start of a --session"),
        (["--config", "x.py", "--port", "9000"], "--config stands alone"),
        (["--port", "0"], "from 1 to 65532"),
        (["--port", "65533"], "from 1 to 65532"),
        (["--session", "--delete", "--write-config", "x"], "--delete is for the start of a --session"),
        (["somewhere"], "unrecognized arguments"),
    ],
)
def test_arguments_that_make_no_sense_are_refused(
    argv: list[str], wrong: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as end:
        office.read_arguments(argv)
    assert end.value.code == 2 and wrong in capsys.readouterr().err


def test_each_value_of_the_command_line_stands_in_the_configuration() -> None:
    before, after = assigned(office.filled_in({})), assigned(office.filled_in(VALUES))
    assert set(VALUES) <= set(before)
    assert {name: after[name] for name in VALUES} == VALUES
    assert {name: value for name, value in after.items() if name not in VALUES} == {
        name: value for name, value in before.items() if name not in VALUES
    }
    with pytest.raises(ValueError, match="SPEED"):
        office.filled_in({"SPEED": 9})


@pytest.mark.parametrize("text", ["it's", 'a "b"', "back\\slash", "new\nline", "# 'x'"])
def test_whatever_a_folder_is_called_the_configuration_names_it(text: str) -> None:
    assert assigned(office.filled_in({"FOLDER": text}))["FOLDER"] == text


def test_a_configuration_of_one_s_own_is_written_once_and_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["office", "--write-config", str(tmp_path / "ours"), "--session", "--presenter", "carla"]
    assert start.main(words) == 0
    file = tmp_path / "ours" / "jupyterhub_config.py"
    values = assigned(file.read_text(encoding="utf-8"))
    assert (values["SESSION"], values["PRESENTERS"]) == (True, ["carla"])
    assert {one.name for one in file.parent.iterdir()} == {"jupyterhub_config.py", "LARGER.md", "Containerfile"}
    file.write_text("mine", encoding="utf-8")
    assert start.main(words) == 1
    assert "is kept as it is" in capsys.readouterr().out and file.read_text(encoding="utf-8") == "mine"


def test_another_system_is_told_what_it_takes(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for platform in ("win32", "darwin"):
        monkeypatch.setattr(sys, "platform", platform)
        assert start.main(["office", "--session"]) == 1
        assert "a Linux server; this is another system" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("typed", "account"),
    [
        ("Ana", "roof-ana"), ("  ana  ", "roof-ana"), ("ANA MAR\u00cdA", "roof-ana-maria"), ("root", "roof-root"),
        ("roof-ana", "roof-ana"), ("../../etc", "roof-etc"), ("a;rm -rf /", "roof-a-rm-rf"), ("--help", "roof-help"),
        ("\u5c4b\u6839", ""), ("", ""), ("-", ""), ("x" * 99, "roof-" + "x" * 27),
        ("a" * 26 + " b", "roof-" + "a" * 26),
    ],
)  # fmt: skip
def test_a_typed_name_becomes_an_account_of_its_own_kind(typed: str, account: str) -> None:
    """useradd(8): at most 32 letters, small letters, digits and hyphens, none at the start."""
    assert accounts.account_name(typed) == account
    assert len(account) <= 32 and accounts.account_name(account) == account


def test_a_word_at_the_door_is_made_once_and_for_its_owner_alone(tmp_path: Path) -> None:
    word = accounts.word_of(tmp_path / "hub", "word", 8)
    assert len(word) == 8 and set(word) <= set(accounts.LETTERS)
    assert accounts.word_of(tmp_path / "hub", "word", 8) == word
    assert (tmp_path / "hub" / "word.txt").stat().st_mode & 0o777 == 0o600
    assert accounts.word_of(tmp_path / "hub", "presenter", 40) != word
    (tmp_path / "hub" / "word.txt").write_text("rafter and truss\n", encoding="utf-8")
    assert accounts.word_of(tmp_path / "hub", "word", 8) == "rafter and truss"


@pytest.fixture
def place() -> Iterator[Path]:
    """A folder that all accounts can go through, as pytest's own is not."""
    with tempfile.TemporaryDirectory(prefix="rooflab-", dir="/var/tmp") as name:
        Path(name).chmod(0o755)
        yield Path(name)


def test_a_folder_that_others_cannot_go_through_is_found(place: Path) -> None:
    """The first one on the way, wherever it stands."""
    inner = place / "closed" / "inner"
    inner.mkdir(parents=True)
    assert accounts.closed_folder(inner) is None
    inner.chmod(0o700)
    assert accounts.closed_folder(inner) == inner
    inner.parent.chmod(0o710)
    assert accounts.closed_folder(inner) == inner.parent


@pytest.mark.skipif(os.geteuid() != 0, reason="only root makes the folders")
def test_folders_are_closed_as_they_should_be(place: Path) -> None:
    """What another may change is refused: whoever can change the hub's folder, or swap it, can change the hub."""
    for _ in range(2):  # and they may be there already
        accounts.make_folders(place / "office")
        modes = {name: (place / "office" / name).stat().st_mode & 0o7777 for name in ("", "hub", "jobs", "people")}
        assert modes == {"": 0o755, "hub": 0o700, "jobs": 0o755, "people": 0o711}
    for name, mode, owner, wrong in (
        ("mine", 0o755, 65534, "must be root's"), ("open", 0o777, 0, "nobody else's to change"),
        ("closed", 0o700, 0, "cannot come through"), ("mine/office", 0o755, 0, "can be changed by others"),
    ):  # fmt: skip
        (place / name).mkdir()
        (place / name).chmod(mode)
        os.chown(place / name, owner, owner)
        with pytest.raises(CannotStart, match=wrong):
            accounts.make_folders(place / name)


def test_what_is_not_installed_is_named_with_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    for name in ("jupyterhub", "jupyterhub_idle_culler"):
        monkeypatch.setitem(sys.modules, name, None)
    said = " ".join(machine.missing_programs())
    assert all(how in said for how in ('pip install "rooflab[office]"', "apt install nodejs npm", "npm install -g"))


def test_a_learner_s_server_gives_back_what_it_does_not_use(monkeypatch: pytest.MonkeyPatch) -> None:
    """Loaded as Jupyter Server loads it: a page it keeps and garbage that holds itself are gone after the next look."""
    class Page:
        itself: Any

    async def keep() -> tuple[weakref.ref[Page], weakref.ref[Page]]:
        page = Page()
        monkeypatch.setattr(LabHandler, "get_page_config", lru_cache(lambda handler: {"of": handler}))
        monkeypatch.setattr(memory, "EVERY", 0.01)
        LabHandler.get_page_config(page)
        package = ExtensionPackage(name=learner.MEMORY, enabled=True)
        assert package.validate()
        package.load_all_points(app)
        garbage = Page()
        garbage.itself = garbage
        gone = weakref.ref(page), weakref.ref(garbage)
        del page, garbage
        await asyncio.sleep(0.5)
        return gone

    app: Any = SimpleNamespace()
    try:
        assert [one() for one in asyncio.run(keep())] == [None, None]
    finally:
        gc.unfreeze()
