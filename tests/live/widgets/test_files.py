"""Names of new files beside a workbook."""

from __future__ import annotations

from pathlib import Path

import pytest

from rooflab import InputError
from rooflab.live.widgets.files import free_name, write_and_link


@pytest.mark.parametrize("title", ["CON", "nul", "Com1", "LPT9", " aux! "])
def test_a_title_that_windows_keeps_for_a_device_gets_another_name(title: str, tmp_path: Path) -> None:
    """Microsoft, "Naming Files, Paths, and Namespaces": CON, PRN, AUX, NUL, COM1-9, LPT1-9, with any suffix too."""
    stem = title.strip(" !").lower()
    assert free_name(tmp_path, title, ".csv").name == f"{stem}-2.csv"
    assert free_name(tmp_path, title, "-letter.pdf").name == f"{stem}-letter.pdf"  # no device
    assert free_name(tmp_path, "contract", ".pdf").name == "contract.pdf"


def test_a_link_that_leads_nowhere_has_a_name_that_is_used(tmp_path: Path) -> None:
    try:
        (tmp_path / "house.pdf").symlink_to(tmp_path / "nowhere")
        (tmp_path / "loop").symlink_to(tmp_path / "loop")
    except OSError:
        pytest.skip("this machine makes no links")
    assert free_name(tmp_path, "House", ".pdf").name == "house-2.pdf"
    with pytest.raises(InputError, match="Folder loop: cannot be made"):
        write_and_link(tmp_path / "loop", "House", ".pdf", lambda path: path)
