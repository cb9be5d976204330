"""The glossary on the page: a list of words beside the numbered section, and all of them in one table."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import NamedTuple

import traitlets

from rooflab.draw.scene import svg
from rooflab.draw.views.glossary import TALL, WIDE, picture
from rooflab.lessons.glossary import GROUPS, NUMBERS, TERMS, Term, find

from .base import Widget, script, style


class Glossary(Widget):
    """A list of words; the chosen one is explained, and marked on the section."""

    _esm = script("glossary.js")
    _css = style("glossary.css")
    setup = traitlets.Dict().tag(sync=True)
    chosen = traitlets.Unicode().tag(sync=True)
    meaning = traitlets.Unicode().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)

    def __init__(self, chosen: str = "heel") -> None:
        word = find(chosen).name
        rows = [(group, [(term.name, NUMBERS.get(term.name, 0)) for term in of_group(group)]) for group in GROUPS]
        super().__init__("chosen", setup={"groups": rows}, chosen=word, **_entry(word))

    def _answer(self) -> None:
        self.show(_entry(self.chosen))

    def _refuse(self, sentence: str) -> None:
        self.meaning = escape(sentence)

    def still(self) -> dict[str, str]:
        text = "One section of both bays, with a number at each word; the table below tells them."
        return {"text/plain": text, "image/svg+xml": svg(picture(), WIDE, TALL)}


def of_group(group: str) -> list[Term]:
    """The words of a group of the glossary."""
    return [term for term in TERMS if term.group == group]


def _entry(word: str) -> dict[str, str]:
    """The meaning and the picture of a chosen word."""
    term = find(word)
    place = f" ({NUMBERS[term.name]})" if term.name in NUMBERS else " (not on the section)"
    also = f" <i>Also: {escape(', '.join(term.also))}.</i>" if term.also else ""
    differs = f" <b>Careful:</b> {escape(term.differs)}" if term.differs else ""
    meaning = f"<b>{escape(term.name)}</b>{place}. {escape(term.meaning)}{differs}{also}"
    return {"meaning": meaning, "picture": svg(picture(term.name), WIDE, TALL)}


def glossary(chosen: str = "heel") -> Glossary:
    """The words of the series on one section, one of them chosen.  InputError for a word that is not among them."""
    return Glossary(chosen)


class GlossaryTable(NamedTuple):
    """All words in one table: as text, and as HTML."""

    terms: tuple[Term, ...]

    def __repr__(self) -> str:
        return "\n".join(f"{NUMBERS.get(term.name, '-'):>3} {term.name}: {_meaning(term)}" for term in self.terms)

    def _repr_html_(self) -> str:
        left = 'style="text-align: left; vertical-align: top"'
        lines: list[str] = []
        for group in GROUPS:
            own = [term for term in self.terms if term.group == group]
            if own:
                lines.append(f'<tr><th colspan="3" {left}>{escape(group)}</th></tr>')
            lines += [_line(term, left) for term in own]
        head = f"<tr><th {left}>No.</th><th {left}>Word</th><th {left}>What it means here</th></tr>"
        return f"<table><thead>{head}</thead><tbody>{''.join(lines)}</tbody></table>"


def _meaning(term: Term) -> str:
    return f"{term.meaning} Careful: {term.differs}" if term.differs else term.meaning


def _line(term: Term, left: str) -> str:
    differs = f" <b>Careful:</b> {escape(term.differs)}" if term.differs else ""
    return (
        f"<tr><td {left}>{NUMBERS.get(term.name, '')}</td><td {left}><b>{escape(term.name)}</b></td>"
        f"<td {left}>{escape(term.meaning)}{differs}</td></tr>"
    )


def word_table(words: Sequence[str] = ()) -> GlossaryTable:
    """All words, or some, with their numbers on the section and what they mean."""
    return GlossaryTable(tuple(find(word) for word in words) or TERMS)
