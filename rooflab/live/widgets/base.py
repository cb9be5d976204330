"""A widget of the workbooks: its page, what stands without a kernel, one answer to a message, who watches, presses.

An answer never fails: ``guarded`` turns whatever goes wrong into a sentence, and what was there before stays.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import partial
from html import escape
from pathlib import Path
from threading import Lock
from typing import Any, TypeVar

import anywidget
import traitlets

from rooflab.base.measure import InputError
from rooflab.draw.face import FAMILIES, FAMILY, FILES, FONTS

from . import kept

LOG = logging.getLogger(__name__)
NOT_WORKED_OUT = "This could not be worked out; what was there before stays. Change it, or press Reset or Undo."
HERE = Path(__file__).parent.parent / "static"
OURS = "rooflab"  # of the metadata of what a cell shows: page.js saves it as a still picture
Content = dict[str, Any]
"""What a page is sent and shows, by name: texts, numbers, lists and further ones of its kind."""
Watcher = Callable[[Content], None]


def script(*names: str) -> str:
    """The script of a widget for ``_esm``: ``page.js``, which all widgets share, then its own files.

    >>> script("ask.js").index("const html =") < script("ask.js").index("export default")
    True
    """
    files = [(HERE / file).read_text(encoding="utf-8") for file in ("page.js", *names)]
    return "\n".join([f'const FACES = "{FAMILIES}";', *files])


def style(*names: str) -> str:
    """The looks of a widget for ``_css``: ``look.css``, the colours of all, then its own files."""
    return "\n".join([(HERE / file).read_text(encoding="utf-8") for file in ("look.css", *names)])


T = TypeVar("T")
MOST_LOST = 10_000  # acts of a page that may be lost on the way


def comes_next(number: int, last: int) -> bool:
    """Whether an act of this number is a new one after the last; one far beyond is no page's, and would deafen us.

    >>> comes_next(8, 7), comes_next(7, 7), comes_next(10**30, 7)
    (True, False, False)
    """
    return last < number <= last + MOST_LOST


def guarded(work: Callable[[], T], otherwise: Callable[[str], T], *owners: object) -> T:
    """What ``work`` returns; where it fails, ``owners`` are as they were and ``otherwise`` answers with a sentence.

    An InputError brings its own sentence.  Anything else is a fault of the program: its cause is logged as an error.

    >>> guarded(lambda: InputError(["Span: nothing is typed."]).problems[0], str), guarded(lambda: 26 * 12, int)
    ('Span: nothing is typed.', 312)
    """
    put_back = remember(*owners)
    try:
        return work()
    except InputError as error:
        sentence = " ".join(error.problems)
    except Exception:  # whatever it is: the page goes on
        LOG.exception("An answer could not be worked out.")
        sentence = NOT_WORKED_OUT
    put_back()
    return otherwise(sentence)


def remember(*owners: object) -> Callable[[], None]:
    """What puts ``owners`` back as they are now."""
    before = [(owner, _copy(vars(owner))) for owner in owners]

    def put_back() -> None:
        for owner, values in before:
            vars(owner).clear()
            vars(owner).update(values)

    return put_back


def _copy(value: Any) -> Any:
    """A copy of dictionaries, lists and sets within each other; all else is the same thing."""
    if isinstance(value, dict):
        return {name: _copy(one) for name, one in value.items()}
    return type(value)(map(_copy, value)) if type(value) in (list, set) else value


class Widget(anywidget.AnyWidget):
    """What all widgets have in common.  Each says in ``still`` what stands on a page without a kernel."""

    def __init__(self, hears: str = "", **traits: object) -> None:
        """``hears`` is the trait in which the page's messages come; each is answered by ``_answer``."""
        self._lock = Lock()
        self._watchers: list[Watcher] = []
        self._kept_as = ""  # the name of its entry among the kept answers
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
            seen = guarded(self._answer, self._refuse)
        self.keep()
        self.tell(seen or {})

    def tell(self, seen: Content) -> None:
        """Call who watches."""
        for watcher in self._watchers:
            guarded(partial(watcher, seen), self._refuse)

    def doings(self) -> Content:
        """What was done here, in plain values that ``do_again`` takes."""
        return {}

    def do_again(self, doings: Content) -> None:
        """Do what was done on another day.  InputError, and nothing is done, where that cannot be any more."""

    def keep(self) -> None:
        """Keep what was done here, where anything is kept."""
        if self._kept_as:
            kept.own().put(self._kept_as, self.doings())

    def resume(self, what: str) -> None:
        """Do again what was kept for ``what``, and keep from now on what is done."""
        name = kept.name_now(what)
        if name and (doings := kept.own().get(name)):
            with suppress(InputError, LookupError, TypeError, ValueError):  # of another version: it is left out
                self.do_again(doings)
        self._kept_as = name

    def _answer(self) -> Content | None:
        """Do what the last message says; what watchers are called with."""
        raise NotImplementedError

    def _refuse(self, sentence: str) -> Content | None:
        """Show a sentence in the place of an answer; what watchers are called with."""

    def set_state(self, sync_data: Any) -> None:
        """Take a message of the page; one of another kind than its trait changes nothing."""
        take = super().set_state

        def read() -> None:
            try:
                take(sync_data)
            except traitlets.TraitError:
                raise InputError("What the page sent could not be read; nothing was changed.") from None

        guarded(read, self._refuse)

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
        return {**data, **self.still()}, {**meta, OURS: {}}


class Follower(Widget):
    """A table or picture as HTML, and its plain text; what it follows puts others in their place."""

    _esm = script("show.js")
    table = traitlets.Unicode().tag(sync=True)

    def __init__(self, html: str, text: str) -> None:
        self.text = text
        super().__init__(table=html)

    def put(self, html: str, text: str) -> None:
        """Show these from now on."""
        self.text, self.table = text, html

    def __repr__(self) -> str:
        return self.text

    def _repr_html_(self) -> str:
        return self.table

    def still(self) -> dict[str, str]:
        return {"text/plain": self.text, "text/html": self.table}


OTHER_QUESTION = "That was meant for what stood here before; nothing was done."


class Form(Widget):
    """A widget whose page sends what was pressed in ``message`` and shows ``answer``.

    ``of`` in a message is what it was meant for: the question that stood there.
    """

    setup = traitlets.Dict().tag(sync=True)
    message = traitlets.Dict().tag(sync=True)
    answer = traitlets.Unicode("").tag(sync=True)
    turn = traitlets.Int(0).tag(sync=True)  # of the message that was answered last

    def __init__(self, **traits: object) -> None:
        super().__init__("message", **traits)

    def _hear(self, change: object) -> None:
        super()._hear(change)
        turn = self.message.get("turn", 0)
        self.turn = turn if type(turn) is int else self.turn + 1

    def _refuse(self, sentence: str) -> None:
        self.answer = f"<b>Not done.</b> {escape(sentence)}"

    def _meant_for(self, *present: str) -> None:
        """InputError where the message was meant for something else than what is there."""
        if self.message.get("of", present[0]) not in present:
            raise InputError(OTHER_QUESTION)

    def _press(self, **pressed: object) -> str:
        """Press from code, as the page does; the answer."""
        self.message = {**pressed, "turn": self.message.get("turn", 0) + 1}
        return str(self.answer)
