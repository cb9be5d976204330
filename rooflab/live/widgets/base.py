"""A widget of the workbooks: its page, what stands without a kernel, one answer to a message, who watches, presses."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from threading import Lock
from typing import Any

import anywidget
import traitlets

from rooflab.draw.face import FAMILIES, FAMILY, FILES, FONTS

HERE = Path(__file__).parent.parent / "static"
Content = dict[str, Any]
"""What a page is sent and shows, by name: texts, numbers, lists and further ones of its kind."""
Watcher = Callable[[Content], None]


def script(name: str) -> str:
    """The script of a widget for ``_esm``: ``page.js``, which all widgets share, then its own file.

    >>> script("ask.js").index("const html =") < script("ask.js").index("export default")
    True
    """
    files = [(HERE / file).read_text(encoding="utf-8") for file in ("page.js", name)]
    return "\n".join([f'const FACES = "{FAMILIES}";', *files])


class Widget(anywidget.AnyWidget):
    """What all widgets have in common.  Each says in ``still`` what stands on a page without a kernel."""

    def __init__(self, hears: str = "", **traits: object) -> None:
        """``hears`` is the trait in which the page's messages come; each is answered by ``_answer``."""
        self._lock = Lock()
        self._watchers: list[Watcher] = []
        super().__init__(**traits)
        self.on_msg(self._send_face)
        if hears:
            self.observe(self._hear, hears)

    def _send_face(self, _: object, message: object, buffers: object) -> None:
        """The face for a page that asks for it: regular and bold as WOFF2."""
        if isinstance(message, dict) and message.get("face") == FAMILY:
            fonts = [(FONTS / f"{file}.woff2").read_bytes() for file in FILES.values()]
            self.send({"face": FAMILY, "weights": ["bold" if bold else "normal" for bold in FILES]}, buffers=fonts)

    def _hear(self, change: object) -> None:
        """Answer one message at a time and send all that it changes at once; then tell who watches."""
        with self._lock, self.hold_sync():
            seen = self._answer()
        for watcher in self._watchers:
            watcher(seen or {})

    def _answer(self) -> Content | None:
        """Do what the last message says; what watchers are called with."""
        raise NotImplementedError

    def watch(self, watcher: Watcher) -> None:
        """Call ``watcher`` with what is shown, after each answer."""
        self._watchers.append(watcher)

    def show(self, values: Mapping[str, object]) -> None:
        """Set traits by name."""
        for name, value in values.items():
            setattr(self, name, value)

    def still(self) -> dict[str, str]:
        """What stands on a page without a kernel, by MIME type: plain text, and HTML or a picture."""
        return {}

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        bundle = super()._repr_mimebundle_(**kwargs)
        data, meta = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        return {**data, **self.still()}, meta


class Form(Widget):
    """A widget whose page sends what was pressed in ``message`` and shows ``answer``."""

    setup = traitlets.Dict().tag(sync=True)
    message = traitlets.Dict().tag(sync=True)
    answer = traitlets.Unicode("").tag(sync=True)

    def __init__(self, **traits: object) -> None:
        super().__init__("message", **traits)

    def _press(self, **pressed: object) -> str:
        """Press from code, as the page does; the answer."""
        self.message = {**pressed, "turn": self.message.get("turn", 0) + 1}
        return str(self.answer)
