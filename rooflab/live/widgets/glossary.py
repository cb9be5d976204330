"""The glossary on the page: the words of one group beside the section, a list of all of them, and one table.

A word is chosen where it stands beside the drawing, at its place, in the list or by a search; it is lit and explained.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import NamedTuple

import traitlets

from rooflab.base.measure import InputError
from rooflab.draw.scene import svg
from rooflab.draw.views.glossary import LEAST, WIDE, group_of, picture, targets, words_of
from rooflab.lessons.glossary import GROUPS, TERMS, Term, find, search

from .base import Form, script, style

WIDEST, STEP = 1600.0, 20.0  # the widest picture, and the steps in which it follows the page, px


class Glossary(Form):
    """The words of a group beside the section; the chosen one is explained and lit.

    A message chooses a "word" or a "group", makes a "search", or says the "width" of the page, px.
    """

    _esm = script("glossary.js")
    _css = style("glossary.css")
    chosen = traitlets.Unicode().tag(sync=True)
    group = traitlets.Unicode().tag(sync=True)
    meaning = traitlets.Unicode().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)
    targets: traitlets.List[object] = traitlets.List().tag(sync=True)
    found: traitlets.List[str] = traitlets.List().tag(sync=True)

    def __init__(self, chosen: str = "heel") -> None:
        self.wide = WIDE
        rows = [(group, [term.name for term in of_group(group)]) for group in GROUPS]
        word = find(chosen)
        super().__init__(setup={"groups": rows}, **self._seen(word.group, word.name))

    def give(self, **pressed: object) -> None:
        """Press from code, as the page does: ``do`` and ``value``."""
        self._press(**pressed)

    def choose(self, word: str) -> None:
        """Choose a word from code, as the page does."""
        self._press(do="word", value=word)

    def _answer(self) -> None:
        do, value = self.message.get("do"), self.message.get("value", "")
        group, word, found = self.group, self.chosen, list(self.found)
        if do == "word":
            term = find(str(value))
            group, word = term.group, term.name
        elif do == "group" and value in GROUPS:
            group, word = str(value), ""
        elif do == "search":
            found = search(str(value))
            if found and str(value).strip():
                group, word = group_of(found[0]), found[0]
        elif do == "width" and isinstance(value, (int, float)) and 0 < value < 10 * WIDEST:
            self.wide = min(max(value // STEP * STEP, LEAST), WIDEST)
        else:
            raise InputError("What the page sent could not be read; nothing was changed.")
        none = f"No word here has {str(value).strip()!r} in it." if do == "search" and not found else ""
        self.show({**self._seen(group, word), "found": found, "answer": escape(none)})

    def _seen(self, group: str, word: str) -> dict[str, object]:
        """What is shown of a group and a chosen word."""
        drawn = picture(group, word, self.wide)
        shown = targets(group, self.wide)
        return {
            "chosen": word, "group": group, "meaning": _explained(group, word),
            "picture": svg(drawn, drawn.width, drawn.height),
            "targets": [[name, [round(100 * part, 3) for part in (*box, *at)]] for name, box, at in shown],
        }  # fmt: skip

    def still(self) -> dict[str, str]:
        words = ", ".join(words_of(self.group))
        text = f"{self.group}: {words}, on one section of both bays; the table below tells them."
        drawn = picture(self.group, self.chosen)
        return {"text/plain": text, "image/svg+xml": svg(drawn, drawn.width, drawn.height)}


def of_group(group: str) -> list[Term]:
    """The words of a group of the glossary."""
    return [term for term in TERMS if term.group == group]


def _explained(group: str, word: str) -> str:
    """The meaning of a chosen word as HTML; without one what the group holds."""
    if not word:
        return f"<b>{escape(group)}</b>: {len(of_group(group))} words. Point at one, or choose it in the list."
    term = find(word)
    place = "" if term.spot else " (not on the section)"
    also = f" <i>Also: {escape(', '.join(term.also))}.</i>" if term.also else ""
    return f"<b>{escape(term.name)}</b>{place}. {_in_words(term)}{also}"


def _in_words(term: Term) -> str:
    """The meaning of a word, and where manuals differ, as HTML."""
    differs = f" <b>Careful:</b> {escape(term.differs)}" if term.differs else ""
    return escape(term.meaning) + differs


def glossary(chosen: str = "heel") -> Glossary:
    """The words of the series on one section, one of them chosen.  InputError for a word that is not among them."""
    return Glossary(chosen)


class GlossaryTable(NamedTuple):
    """All words in one table: as text, and as HTML."""

    terms: tuple[Term, ...]

    def __repr__(self) -> str:
        return "\n".join(f"{term.name}: {_meaning(term)}" for term in self.terms)

    def _repr_html_(self) -> str:
        left = 'style="text-align: left; vertical-align: top"'
        lines: list[str] = []
        for group in GROUPS:
            own = [term for term in self.terms if term.group == group]
            if own:
                lines.append(f'<tr><th colspan="2" {left}>{escape(group)}</th></tr>')
            lines += [_line(term, left) for term in own]
        head = f"<tr><th {left}>Word</th><th {left}>What it means here</th></tr>"
        return f"<table><thead>{head}</thead><tbody>{''.join(lines)}</tbody></table>"


def _meaning(term: Term) -> str:
    return f"{term.meaning} Careful: {term.differs}" if term.differs else term.meaning


def _line(term: Term, left: str) -> str:
    return f"<tr><td {left}><b>{escape(term.name)}</b></td><td {left}>{_in_words(term)}</td></tr>"


def word_table(words: Sequence[str] = ()) -> GlossaryTable:
    """All words, or some, and what they mean."""
    return GlossaryTable(tuple(find(word) for word in words) or TERMS)
