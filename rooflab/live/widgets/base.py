"""A widget's page: what all of ours share in ``page.js``, before the widget's own file."""

from __future__ import annotations

from pathlib import Path

HERE = Path(__file__).parent.parent / "static"


def script(name: str) -> str:
    """The script of a widget for ``_esm``: ``page.js``, then its own file.

    >>> script("ask.js").index("const html =") < script("ask.js").index("export default")
    True
    """
    return "\n".join((HERE / file).read_text(encoding="utf-8") for file in ("page.js", name))
