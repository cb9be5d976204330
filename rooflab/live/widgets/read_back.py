"""A box that reads back what was typed as a length, so that spellings can be tried."""

from __future__ import annotations

from html import escape

from rooflab.base.measure import InputError, feet_inches, inches, sixteenth

from .job_desk import Desk


def read_back(start: str = "9'-8 5/8\"") -> Desk:
    """A box for a length; its button says how it is read, or in one sentence why it is not.

    >>> read_back().press("read", length="8-5/8")
    '<b>Read as 8 5/8&quot;</b>: 8.625 inches.'
    """
    return Desk("Type a length as you would write it on a drawing.", {"read": "Read it"}, _read,
                (("length", "A length", start),))  # fmt: skip


def _read(do: str, values: dict[str, str]) -> str:
    try:
        value = inches(values.get("length", ""), "Length")
    except InputError as error:
        return f"<b>Not read.</b> {escape(' '.join(error.problems))}"
    text = escape(feet_inches(value))
    close = "" if sixteenth(value) == value else f", which a tape shows as {text}"
    said = f"{value:.10g} inches"
    return f"<b>Read as {said}</b>{close}." if close else f"<b>Read as {text}</b>: {said}."
