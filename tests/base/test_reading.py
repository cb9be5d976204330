"""Files that people give are read whole and to a limit, and refused with few sentences."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from rooflab import InputError
from rooflab.base.jsonfile import LARGEST_FILE
from rooflab.job.jobfile import Job, example
from rooflab.job.option import options_in
from rooflab.shop.field import measurement_rows

READ = """
import sys
import rooflab as rl
from rooflab.job.jobfile import Job
from rooflab.shop.field import measurement_rows
from rooflab.shop.items import read_items
for reader in (Job.load, read_items, lambda path: measurement_rows(path, ("heel", "plate"), 1)):
    try:
        reader(sys.argv[1])
    except rl.InputError as error:
        print(error)
"""


def readings(path: object) -> list[str]:
    """What every reader of a file says of this one, in a process of its own that gets 20 seconds and 2 GB."""
    limit = "import resource; resource.setrlimit(resource.RLIMIT_AS, (2 << 30, 2 << 30))\n" if os.name != "nt" else ""
    run = subprocess.run(
        [sys.executable, "-c", limit + READ, str(path)], capture_output=True, text=True, timeout=20, check=True
    )
    return run.stdout.splitlines()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this machine has no pipes with a name")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "house.json")
    said = readings(tmp_path / "house.json")
    assert len(said) == 3 and all("a pipe or a device" in one for one in said)


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="this machine has no such device")
def test_a_device_without_an_end_is_not_read(tmp_path: Path) -> None:
    (tmp_path / "house.json").symlink_to("/dev/zero")
    said = readings(tmp_path / "house.json")
    assert len(said) == 3 and all("a pipe or a device" in one for one in said)


def test_a_folder_and_a_large_file_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="it is a folder"):
        measurement_rows(tmp_path, ("heel",), 1)
    (tmp_path / "house.json").write_bytes(b" " * (LARGEST_FILE + 1))
    with pytest.raises(InputError, match="larger than 2 MB"):
        Job.load(tmp_path / "house.json")


def test_a_file_that_is_longer_than_it_says_is_read_to_the_limit(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file may grow while it is read: what counts is what was read, not what was announced."""
    path = tmp_path / "house.json"
    path.write_bytes(b" " * (LARGEST_FILE + 1))
    small = os.stat_result([*os.stat(path)[:6], 0, *os.stat(path)[7:]])
    with monkeypatch.context() as patch:
        patch.setattr(os, "stat", lambda *args, **kwargs: small)
        with pytest.raises(InputError, match="larger than 2 MB"):
            Job.load(path)


@pytest.mark.parametrize("place", ["job", "loads", "gable", "insulation", "option"])
def test_sixty_thousand_names_take_no_time_and_few_sentences(place: str, tmp_path: Path) -> None:
    names = {f"n{i}": 1 for i in range(60_000)}
    document = example().document()
    if place == "option":
        document["options"] = [{"option": "A", **names}]
    else:
        (document if place == "job" else document.setdefault(place, {})).update(names)
    (tmp_path / "house.json").write_text(json.dumps(document), encoding="utf-8")
    began = time.process_time()
    with pytest.raises(InputError) as found:
        options_in(Job.load(tmp_path / "house.json"))
    assert time.process_time() - began < 5
    *told, more = found.value.problems
    assert 5 <= len(told) <= 40 and "more" in more and 59_900 < int(more.split("and ")[1].split()[0].replace(",", ""))


def test_a_name_that_stands_twice_is_named(tmp_path: Path) -> None:
    text = json.dumps(example().document()).replace('"span"', '"span": 300, "span"')
    (tmp_path / "house.json").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="'span' stands twice in the same braces"):
        Job.load(tmp_path / "house.json")
