"""A JSON file of plain values: read whole or refused with a sentence, written whole or not at all.

``Reader`` turns plain values into records and gathers every problem with its place.
"""

from __future__ import annotations

import json
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable
from math import isfinite
from pathlib import Path
from typing import TypeAlias, TypeVar

from .files import place_of, read_text, write_over
from .measure import InputError, InputValue

LARGEST_FILE = 2_000_000  # bytes
MOST_UNKNOWN = 10  # names that are not known, told one by one
Json: TypeAlias = "None | bool | int | float | str | list[Json] | dict[str, Json]"
"""A plain value of a JSON file."""

Record = dict[str, str | float]
"""A flat record of texts and numbers in a job file: an option, what was agreed."""

Built = TypeVar("Built")

DIRECTIONS = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
"""The characters that turn the direction of a text (Unicode UAX #9), so that a title reads as what it is not."""
WORDS = {dict: "named values", list: "a list", tuple: "a list", str: "a text", bool: "true or false"}


def read_document(path: object, what: str = "Job file") -> Json:
    """The plain values in a JSON file.  InputError for what cannot be read, is no JSON or repeats a name."""
    target = place_of(path, what)
    said = f"{what} {target.name}"

    def constant(name: str) -> Json:
        raise InputError(f"{said}: {name} is not a number that can be used.")

    def once(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
        named = dict(pairs)
        if len(named) < len(pairs):
            twice, _ = Counter(name for name, _ in pairs).most_common(1)[0]
            raise InputError(f"{said}: {json_text(twice)} stands twice in the same braces.")
        return named

    text = read_text(target, said, LARGEST_FILE)
    if not text.strip():
        raise InputError(f"{said}: it is empty.")
    try:
        document: Json = json.loads(text, parse_constant=constant, object_pairs_hook=once)
        return document
    except InputError:
        raise
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise InputError(f"{said}: not JSON at {place} ({error.msg}).") from None
    except (RecursionError, ValueError) as error:
        raise InputError(f"{said}: not readable as JSON ({type(error).__name__}).") from None


def write_document(path: object, document: object, what: str = "Job file") -> Path:
    """Write plain values as JSON; an old file stays whole until the new one is.  InputError where it cannot."""
    return write_over(place_of(path, what), json_bytes(document), what)


def json_bytes(document: object) -> bytes:
    """Plain values as JSON, as they stand in a file."""
    return (json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")


# --- plain values ----------------------------------------------------------------------------------------------------


def kind_of(value: object) -> str:
    """What a value is, in plain words."""
    if value is None:
        return "nothing"
    return next((WORDS[kind] for kind in (bool, *WORDS) if isinstance(value, kind)), "a number")


def json_text(value: object) -> str:
    """A value as a sentence shows it."""
    if isinstance(value, str):
        return ascii(value[:60])
    return InputValue(value, "", "", "").refusal(" ").problems[0][2:].rstrip(" .")


def is_number(value: object) -> bool:
    """A finite number that is not true or false."""
    try:
        return isinstance(value, (int, float)) and not isinstance(value, bool) and isfinite(value)
    except OverflowError:
        return False


def text_problem(value: object, longest: int, lines: bool = False) -> str:
    """What is wrong with a text, "" for nothing: its length, or characters that no file or sheet can carry."""
    if not isinstance(value, str):
        return f"a text is needed, not {kind_of(value)}."
    if len(value) > longest:
        return f"a text of up to {longest} characters is allowed, not {len(value)}."
    bad = [c for c in value if not _is_plain(c) and not (lines and c in "\n\t")]
    return f"the character {ascii(bad[0])} cannot be used in it." if bad else ""


def _is_plain(c: str) -> bool:
    """Whether a character is none of a terminal's, of half an emoji, of nobody, of line ends or of text direction."""
    return unicodedata.category(c) not in ("Cc", "Cs", "Cn", "Zl", "Zp") and c not in DIRECTIONS


def record_problem(value: object) -> str:
    """What is wrong with a record of named texts and finite numbers, "" for nothing."""
    if not isinstance(value, dict):
        return f"named texts and numbers in braces are needed, not {kind_of(value)}."
    for name, one in value.items():
        if said := text_problem(name, 60):
            return f"{json_text(name)}: {said}"
        if isinstance(one, str) and (said := text_problem(one, 2000, True)):
            return f"{json_text(name)}: {said}"
        if not isinstance(one, (str, bool)) and not is_number(one):
            return f"{json_text(name)}: a text or a finite number is needed, not {json_text(one)}."
    return ""


def unknown_names(names: Iterable[str], allowed: Iterable[str]) -> list[str]:
    """What is wrong with names that are not allowed, a sentence each; of many the first few and a count.

    >>> unknown_names(["spam", "span"], ["span", "pitch"])
    ["'spam' is not known here; allowed is span, pitch."]
    """
    known = tuple(allowed)
    strange = [name for name in names if name not in known]
    found = [f"{json_text(name)} is not known here; allowed is {', '.join(known)}." for name in strange[:MOST_UNKNOWN]]
    return found + [f"and {len(strange) - MOST_UNKNOWN:,} more."] * (len(strange) > MOST_UNKNOWN)


class Reader:
    """Turns plain values into records and gathers every problem with its place in the file."""

    def __init__(self) -> None:
        self.problems: list[str] = []

    def say(self, place: str, sentence: str) -> None:
        """Add a problem: its place in the file and a sentence."""
        self.problems.append(f"{place}: {sentence}")

    def table(
        self, value: object, place: str, allowed: tuple[str, ...], needed: tuple[str, ...] = ()
    ) -> dict[str, Json]:
        """A JSON object with known names only; {} where it is something else."""
        if not isinstance(value, dict):
            self.say(place, f"named values in braces are needed, not {kind_of(value)}.")
            return {}
        self.problems += [f"{place}: {said}" for said in unknown_names(value, allowed)]
        for key in needed:
            if key not in value:
                self.say(place, f"{key!r} is missing.")
        return {key: value[key] for key in value if key in allowed}

    def rows(self, value: object, place: str, most: int) -> list[Json]:
        """The entries of a JSON list, ``most`` of them; [] where it is something else."""
        if not isinstance(value, list):
            self.say(place, f"a list is needed, not {kind_of(value)}.")
            return []
        if len(value) > most:
            self.say(place, f"{len(value)} entries; at most {most} are allowed.")
        return value[:most]

    def make(self, place: str, maker: Callable[..., Built], *args: object, **values: object) -> Built | None:
        """What ``maker`` builds; None, and its problems with their place, where it refuses."""
        try:
            return maker(*args, **values)
        except InputError as error:
            self.problems.extend(f"{place}: {problem}" for problem in error.problems)
            return None
