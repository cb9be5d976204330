"""Public names of a package, fetched when they are first used, so that importing it loads nothing heavy."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType
from typing import Any


def late(
    space: dict[str, Any], load: Callable[[str], ModuleType]
) -> tuple[list[str], Callable[[str], object], Callable[[], list[str]]]:
    """``__all__``, ``__getattr__`` and ``__dir__`` of a package.

    ``space`` is its globals, ``load`` imports a module by name.  The package's own imports, which run for type checkers
    only and stand one a line, are the table of where each name lives.
    """
    package = space["__name__"]
    text = space["__loader__"].get_source(package)
    lines = (line.split() for line in text.splitlines() if line.startswith("    from rooflab."))
    where = {words[-1]: words[1] for words in lines}
    names = sorted(where)

    def fetch(name: str) -> object:
        if name not in where:
            raise AttributeError(f"{package} has no {name!r}; it has {', '.join(names)}")
        value = space[name] = getattr(load(where[name]), name)
        return value

    return names, fetch, lambda: [*space, *names]
