"""How deep the tests search: as deep as they are written, or a few cases of each search with ROOFLAB_TESTS=quick."""

from __future__ import annotations

import os

QUICK = os.environ.get("ROOFLAB_TESTS") == "quick"
LEFT_OUT = ("browser", "deep")  # the marks of tests that a quick run leaves out


def cases(many: int) -> int:
    """How many cases of a search of ``many`` are tried: all of them, or a fifth in a quick run."""
    return max(many // 5, 8) if QUICK else many
