"""Keeps a learner's server from growing: a Jupyter Server extension that gives back what is not used any more.

Python looks for garbage in everything that lives long only once that has grown by a quarter, the server keeps the last
128 pages that were asked for, and the allocator keeps what was freed.  One server may; twenty on one machine may not.
"""

from __future__ import annotations

import ctypes
import gc
from typing import Any

from jupyterlab_server.handlers import LabHandler
from tornado.ioloop import PeriodicCallback

EVERY = 30.0  # seconds; it takes a thousandth of one


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": __name__}]


def _load_jupyter_server_extension(app: Any) -> None:
    gc.collect()
    gc.freeze()  # what the server is made of is not looked through again
    app.rooflab_memory = PeriodicCallback(give_back, EVERY * 1000)
    app.rooflab_memory.start()


def give_back() -> None:
    """Drop the pages that the server keeps, collect garbage, and hand free memory to the system where glibc can."""
    if clear := getattr(LabHandler.get_page_config, "cache_clear", None):
        clear()
    gc.collect()
    if trim := getattr(ctypes.CDLL(None), "malloc_trim", None):
        trim(0)
