"""The panel's widget: controls on the left, picture and readings on the right, one message each way.

Logic stands first and without widgets: a *responder* answers what was moved or typed (``raw``, a dictionary of texts)
with what to show.  The widget is the three-line link: read, respond, show.
"""

from __future__ import annotations

import re
from html import escape
from typing import Any, Protocol

import traitlets

from .base import Content, Widget, remember, script, style

SLOTS = ("sentence", "picture", "detail", "readings", "note")  # HTML, each sent only when it changes
MOST_AHEAD = 2  # messages answered beforehand: a step down and one up


class Responder(Protocol):
    """What a panel shows: its set-up (controls, views, label) and the answer to what was moved or typed."""

    def setup(self) -> Content: ...
    def respond(self, raw: dict[str, str]) -> Content:
        """The texts of ``SLOTS``, ``fields`` of the controls, ``touch`` for the hand on the drawing; never raises.

        Beside them ``serial turn stale verdict view why`` and ``steps``: what this one answer brings to the hand.
        """
        ...

    def still(self) -> tuple[str, str]:
        """Plain text and SVG of the present state, for a page without a kernel."""
        ...


def begins_bold(html: str) -> str:
    """A headline with what one reads from afar in bold: its first sentence, and the second one after a short label.

    >>> begins_bold("Trial, not saved. Ask: end notch. The planes run through.")
    '<b>Trial, not saved. Ask: end notch.</b> The planes run through.'
    """
    return re.sub(r"^.{20,}?[.](?= [A-Z0-9])|^.*", r"<b>\g<0></b>", html, count=1)


class Panel(Widget):
    """A live panel around a responder.  ``raw`` holds what was moved or typed, ``content`` all that is seen."""

    _esm = script("touch.js", "panel.js")
    _css = style("panel.css", "touch.css")
    setup = traitlets.Dict().tag(sync=True)
    raw = traitlets.Dict().tag(sync=True, echo_update=False)
    locked = traitlets.Bool(False).tag(sync=True)
    sentence = traitlets.Unicode().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)
    detail = traitlets.Unicode().tag(sync=True)
    readings = traitlets.Unicode().tag(sync=True)
    note = traitlets.Unicode().tag(sync=True)
    fields = traitlets.Dict().tag(sync=True)
    touch = traitlets.Dict().tag(sync=True)
    state = traitlets.Dict().tag(sync=True)

    def __init__(self, responder: Responder, locked: bool = False) -> None:
        self._responder = responder
        self.content = responder.respond({})
        super().__init__("raw", setup=responder.setup(), locked=locked, **self.parts(self.content))
        self.on_msg(self._look_ahead)
        controls = ", ".join(f"{name} {field['text']}" for name, field in self.content["fields"].items())
        self.resume(f"{self.setup['label']}: {controls}; {', '.join(name for name, _ in self.setup['views'])}")

    def doings(self) -> Content:
        looks = {name: text for name, text in self.raw.items() if name in ("_view", "_why")}
        stand = getattr(self._responder, "stand", self.raw)
        texts = {*self.content["fields"], *getattr(self._responder, "start", ())}
        return looks | {name: text for name, text in stand.items() if name in texts}

    def do_again(self, doings: Content) -> None:
        self.raw = {name: text for name, text in doings.items() if isinstance(text, str)}

    @staticmethod
    def parts(content: Content) -> Content:
        """What a responder shows as the traits of the widget."""
        parts = {name: content[name] for name in (*SLOTS, "fields", "touch")}
        bold = {"sentence": begins_bold(content["sentence"])}
        return {**parts, **bold, "state": {name: value for name, value in content.items() if name not in parts}}

    def _answer(self) -> Content:
        self.content = self._responder.respond(dict(self.raw))
        self.show(self.parts(self.content))
        return self.content

    def ahead(self, raw: dict[str, str]) -> Content:
        """All that will be seen if ``raw`` comes next; nothing is changed by asking."""
        put_back = remember(self._responder)
        try:
            return self.parts(self._responder.respond(dict(raw)))
        finally:
            put_back()

    def _look_ahead(self, _: object, message: object, buffers: object) -> None:
        """Answer what the page may send next, so that a step shows before its message has come here and back."""
        asked = message.get("ahead") if isinstance(message, dict) else None
        raws = asked[:MOST_AHEAD] if isinstance(asked, list) and not self.locked else []
        with self._lock:
            answers = [self.ahead(raw) for raw in raws if isinstance(raw, dict)]
        if isinstance(message, dict) and answers:
            self.send({"ahead": answers, "of": message.get("of")})

    def _refuse(self, sentence: str) -> Content:
        serial, turn = self.content["serial"] + 1, str(self.raw.get("_turn", ""))
        self.content |= {"sentence": escape(sentence), "stale": True, "serial": serial, "turn": turn}
        self.show(self.parts(self.content))
        return self.content

    def set(self, **controls: object) -> None:
        """Move controls from code, as if typed: ``panel.set(seat="5 1/2")``."""
        self.raw = {**self.raw, **{name: str(value) for name, value in controls.items()}}

    @property
    def responder(self) -> Any:
        return self._responder

    def still(self) -> dict[str, str]:
        text, picture = self._responder.still()
        return {"text/plain": text, "image/svg+xml": picture}
