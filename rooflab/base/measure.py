"""Lengths and pitches as text and as numbers.

People type `9'-8 5/8"` or `8 in 12`; the formulas want 116.625 and 8.0. This module is the only place where one
becomes the other. Lengths are decimal inches, pitches are inches of rise in 12 inches of run. Text is read exactly (as
fractions) and rounded once, to the nearest float. Whatever cannot be read without guessing is refused with one
InputError sentence: what it is, the value given, what is allowed.
"""

from __future__ import annotations

import math
import numbers
import re
import unicodedata
from collections.abc import Iterable
from contextlib import suppress
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

__all__ = ["LARGEST", "InputError", "feet_inches", "inches", "pitch", "pitch_text", "sixteenth", "length_in_words"]

LARGEST = 1_000_000.0  # no length (in) or pitch (in 12) beyond this is taken: some 16 miles, far past any roof
_LONGEST = 40  # characters of text read

_LENGTHS = "inches or feet and inches, for example 9'-8 5/8\", 8 5/8 or 8.625"
_PITCHES = "rise in 12 of run, for example 8 in 12, 8 1/2 or 8.5"

_NUMBER = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)"
_DECIMAL = re.compile(r"-?[0-9]{1,6}\.[0-9]{1,9}")
_TAPE_LENGTH = re.compile(r"(-?)(?:([0-9]{1,4})'-)?([0-9]{1,2})(?: ([0-9]{1,2})/(2|4|8|16))?\"")
_FRACTION = re.compile(r"(?:([0-9]+)(?: ?- ?| ))?([0-9]+) ?/ ?([0-9]+)")
_FEET = re.compile(r"(.+?) ?(?:'|feet|foot|ft(?!\.[0-9])\.?) ?(.*)")  # "9ft.5in" could be read two ways: not taken
_SIXTEENTHS = re.compile(r"([0-9]{1,4})-([0-9]{1,2})-([0-9]{1,2})")  # feet-inches-sixteenths, as shops print
_INCH_MARK = re.compile(r" ?(?:\"|inches|inch|in\.?)$")
_RISE_IN_RUN = re.compile(r"(.+?) ?(?:in|:) ?(.+)")
_OVER_TWELVE = re.compile(r"([0-9.]+|.*/.*?) ?/ ?(12)")
_PLAIN_FRACTION = re.compile(r"[0-9.]+ ?/ ?[0-9.]+")
_METRIC = re.compile(rf"-? ?({_NUMBER}) ?(mm|cm|m)")
_DEGREES = re.compile(rf"(-? ?{_NUMBER}) ?(?:\u00b0|\u00ba|degrees?|deg\.?)")
_MILLIMETRES = {"mm": 1, "cm": 10, "m": 1000}
_PLAIN = str.maketrans(
    dict.fromkeys("\u2018\u2019\u201b\u2032\u02b9\u02bc\u00b4`", "'")  # curly quotes, prime, accents
    | dict.fromkeys("\u201c\u201d\u201f\u2033\u02ba", '"')  # curly quotes, double prime
    | dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-")  # hyphens, dashes, minus sign
    | {"\u2044": "/", "\u2215": "/"}  # fraction slash, division slash
)

LEVEL = 1 / 32  # a length that is less reads 0", in


MOST_TOLD = 40  # problems of one input
_MORE = re.compile(r"(?:\S+: )*and ([0-9,]+) more\.")


class InputError(ValueError):
    """Input that cannot be used: one plain sentence a problem (quantity, value given, what is allowed).

    `problems` is a sentence or several; the attribute `problems` is a tuple of str, and str() puts one on a line.  Of
    very many the first are told, and how many more there are.

    >>> InputError(["span: nothing is not a length.", "seat: 0 must be above 0."]).problems
    ('span: nothing is not a length.', 'seat: 0 must be above 0.')
    """

    def __init__(self, problems: str | Iterable[str]) -> None:
        told = (problems,) if isinstance(problems, str) else tuple(map(str, problems))
        if len(told) > MOST_TOLD:
            counts = [int(found[1].replace(",", "")) if (found := _MORE.fullmatch(said)) else 1 for said in told]
            told = (*told[:MOST_TOLD], f"and {sum(counts[MOST_TOLD:]):,} more.")
        self.problems: tuple[str, ...] = told
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(self.problems)


def inches(value: object, what: str = "length") -> float:
    """A length as people type it, in decimal inches.

    Takes a finite number (already inches) or text: feet (`26'`, `26 ft`, `8.5'`), inches (`8 5/8`, `8-5/8`, `7 1/4"`,
    `3/4 in`, `8.625`) or both (`9'-8 5/8"`, `9 ft 8 5/8 in`, `10' 6`), or feet-inches-sixteenths as shops print them
    (`9-08-10`). A dash between parts only separates: `1' -6"` is 18 in; a leading minus holds for the whole length.
    One-character fractions, curly quotes, primes and doubled apostrophes are read too. `what` names the quantity in the
    sentence. Result: float, inches, never -0.0, at most 1,000,000 either way. InputError for anything else, such as
    metric units, a fraction of a foot, decimal feet beside inches, 12 in or more beside feet, or a fraction of 1 or
    more after a whole number.

    >>> inches("9'-8 5/8\\""), inches("8-5/8"), inches("9-08-10"), inches(-3)
    (116.625, 8.625, 116.625, -3.0)
    """
    if type(value) is float and abs(value) <= LARGEST:  # most calls: a number on its way to being printed
        return value + 0.0
    if isinstance(value, str) and (sooner := _tape_length(value)) is not None:
        return sooner
    given = InputValue(value, what, "length", _LENGTHS)
    if not isinstance(value, str):
        return given.number()
    text = given.plain()
    if metric := _METRIC.fullmatch(text):
        size = float(metric[1]) * _MILLIMETRES[metric[2]] / 25.4 * (-1 if text[0] == "-" else 1)
        equal = _in_feet(size, "'-", '"')
        raise given.refusal(f"is metric; give inches or feet and inches (it is about {equal})")
    negative, text = text.startswith("-"), text.removeprefix("-").lstrip()
    if printed := _SIXTEENTHS.fullmatch(text):
        feet_count, inch_count, parts = (int(part) for part in printed.groups())
        return given.sixteenths(feet_count, inch_count, parts) * (-1 if negative else 1) + 0.0
    feet, in_feet = Fraction(0), _FEET.fullmatch(text)
    if in_feet:
        feet, text = given.fraction(in_feet[1]), in_feet[2]
        if "/" in in_feet[1]:
            raise given.refusal("has a fraction of a foot; give feet whole or decimal and the fraction in inches")
        if "." in in_feet[1] and text:
            raise given.refusal("has decimal feet beside inches; give whole feet with inches, or decimal feet alone")
        text = text.removeprefix("-").lstrip() if text else "0"
    inch = given.fraction(_INCH_MARK.sub("", text), after_whole=bool(in_feet))
    if in_feet and inch >= 12:
        raise given.refusal(f"has {float(inch):g} in beside feet; with feet, inches must be under 12")
    size = float(feet * 12 + inch if in_feet else inch)
    return given.within_bounds(-size if negative else size)


def _tape_length(text: str) -> float | None:
    """A plain decimal, or a length as ``feet_inches`` writes it, read like any other text, and sooner; else None."""
    if _DECIMAL.fullmatch(text):
        return float(text) + 0.0
    if (found := _TAPE_LENGTH.fullmatch(text)) is None:
        return None
    minus, feet, whole, over, under = found.groups()
    if feet and int(whole) >= 12 or over and int(over) >= int(under):
        return None
    size = 12.0 * int(feet or 0) + int(whole) + (int(over) / int(under) if over else 0.0)  # exact: halves of halves
    return (-size if minus else size) + 0.0


def feet_inches(x: object) -> str:
    """A length as drawings write it: `9'-8 5/8"`, `26'-0"`, under a foot `7 7/16"`; a minus stands before the whole.

    `x` is a length in inches (anything `inches` takes, and the same InputError). Nearest 1/16 in, as `sixteenth`
    rounds; `inches` reads the text back to exactly that value. Lengths less than 1/16 in apart can read alike.

    >>> print(feet_inches(116.625), feet_inches(-312), feet_inches(7.4375))
    9'-8 5/8" -26'-0" 7 7/16"
    """
    return _in_feet(inches(x), "'-", '"')


def on_center(x: object) -> str:
    """A spacing in inches as the trade writes it; decimals where a tape has no such mark.

    >>> on_center(16), on_center(19.2), on_center(17.5)
    ('16" o.c.', '19.2" o.c.', '17 1/2" o.c.')
    """
    size = inches(x)
    count = 16 * size
    return f'{_whole_and_part(int(count)) if count.is_integer() else decimal(size)}" o.c.'


def length_in_words(x: object) -> str:
    """A length in words and digits, for job files and accessible text: `9 ft 8 5/8 in`.

    Argument, rounding, errors and reading back as for `feet_inches`.

    >>> length_in_words(116.625), length_in_words(312), length_in_words(0.75)
    ('9 ft 8 5/8 in', '26 ft 0 in', '3/4 in')
    """
    return _in_feet(inches(x), " ft ", " in")


def exact(x: float) -> str:
    """A length as a box shows it: feet and inches where a tape has it, else decimal inches, up to twelve of them.

    >>> print(exact(116.625), exact(9.7))
    9'-8 5/8" 9.7"
    """
    return feet_inches(x) if sixteenth(x) == x else f'{decimal(x)}"'


def decimal(x: float) -> str:
    """A number in decimals, up to twelve of them, none that is not needed."""
    return f"{x:.12f}".rstrip("0").rstrip(".")


def file_length(x: float) -> str | float:
    """A length as a file holds it: as `spoken` writes it where that reads back to the same number, else inches."""
    text = length_in_words(x)
    return text if inches(text) == x else x


def sixteenth(x: object) -> float:
    """A length rounded to the nearest 1/16 in, ties away from zero: the finest mark on a carpenter's tape.

    floor(16 |x| + 0.5 + 1e-6) / 16 with the sign put back; the 1e-6 keeps a tie a tie after float arithmetic. `x` in
    inches (anything `inches` takes, and the same InputError); result in inches, never -0.0. Sixteenths are common
    practice.

    >>> sixteenth(51.28125), sixteenth(-51.28125), sixteenth(-0.01)
    (51.3125, -51.3125, 0.0)
    """
    return _sixteenths(inches(x)) / 16


def pitch(value: object, what: str = "pitch") -> float:
    """A roof or ceiling pitch as people type it, in inches of rise in 12 inches of run: 12 rise / run.

    Takes a finite number (the rise in 12) or text: `8`, `8 1/2`, `8.5`, `8 in 12`, `8/12`, `8:12`, and with `in` or `:`
    any other run (`2 in 5` is 4.8). A plain fraction such as `1/2` is refused unless it is over 12: it could be half an
    inch in 12, or rise over run, or the old rise over span. Degrees are refused with their equivalent in 12. Result:
    float, never -0.0. InputError otherwise, `what` naming the quantity.

    >>> pitch("8 1/2 in 12"), pitch("8/12"), pitch("2 in 5")
    (8.5, 8.0, 4.8)
    """
    given = InputValue(value, what, "pitch", _PITCHES)
    if not isinstance(value, str):
        return given.number()
    text = given.plain()
    if degrees := _DEGREES.fullmatch(text):
        angle = float(degrees[1].replace(" ", ""))
        same = f", about {pitch_text(round(12 * math.tan(math.radians(angle)), 2))}" if abs(angle) < 89 else ""
        raise given.refusal(f"is an angle{same}; give the pitch as rise in 12")
    negative, text = text.startswith("-"), text.removeprefix("-").lstrip()
    if parts := _RISE_IN_RUN.fullmatch(text) or _OVER_TWELVE.fullmatch(text):
        rise, run = given.fraction(parts[1]), given.fraction(parts[2])
        if re.fullmatch(r"[0-9]+ ?/ ?12", parts[1]):
            raise given.refusal("is over 12 and again over a run; write it once, for example 4 in 12 or 4/12")
    elif _PLAIN_FRACTION.fullmatch(text):
        raise given.refusal("can be read in more than one way; write rise in run, for example 6 in 12 or 1 in 2")
    else:
        rise, run = given.fraction(text), Fraction(12)
    if run == 0:
        raise given.refusal("has no run; the run must be above 0, for example 8 in 12")
    return given.within_bounds(float(rise * 12 / run * (-1 if negative else 1)))


def pitch_text(p: object) -> str:
    """A pitch as the trade says it: `8 in 12`, `8 1/2 in 12`, `4.8 in 12`.

    `p` is the rise in 12 (anything `pitch` takes, and the same InputError), rounded to 4 decimals; exact sixteenths are
    written as a fraction, others as a decimal. `pitch` reads the text back to exactly the rounded value.

    >>> pitch_text(8.5), pitch_text(4.8)
    ('8 1/2 in 12', '4.8 in 12')
    """
    rounded = round(pitch(p), 4)
    count = abs(rounded) * 16
    if not count.is_integer():
        return f"{rounded:.4f}".rstrip("0") + " in 12"
    return f"{'-' if rounded < 0 else ''}{_whole_and_part(int(count))} in 12"


class InputValue(NamedTuple):
    """One value as it was given, and what is needed to refuse it in one sentence (for the modules of this package)."""

    value: object
    what: str
    kind: str
    allowed: str

    def refusal(self, reason: str = "") -> InputError:
        """The InputError for this value: quantity, value (printable, cut to a readable length), reason."""
        shown = f"a value of type {type(self.value).__name__}"
        with suppress(Exception):  # any object may come: its own str() may fail, and so does that of an endless int
            shown = "nothing" if self.value is None else str(self.value)
        shown = shown.strip() or "nothing"
        more = "..." if len(shown) > _LONGEST else ""
        shown = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in " ".join(shown[:_LONGEST].split()))
        return InputError(f"{self.what}: {shown}{more} {reason or f'is not a {self.kind}; give {self.allowed}'}.")

    def within_bounds(self, x: float) -> float:
        """`x` without -0.0; refused when not finite or beyond LARGEST."""
        if not abs(x) <= LARGEST:
            raise self.refusal(f"must be a finite number of inches, at most {LARGEST:,.0f} either way")
        return x + 0.0

    def sixteenths(self, feet: int, inch: int, parts: int) -> float:
        """A length in from feet, inches and sixteenths; refused with too many of them."""
        if inch > 11 or parts > 15:
            raise self.refusal("is not feet-inches-sixteenths; inches go up to 11, sixteenths to 15")
        return feet * 12 + inch + parts / 16

    def number(self) -> float:
        """The value, which is not text, as a float.  InputError for what is no number."""
        if isinstance(self.value, bool) or not isinstance(self.value, numbers.Real):
            raise self.refusal()
        x = math.inf
        with suppress(Exception):  # an int too large for a float, or a number type that fails in its own way
            x = float(self.value)
        return self.within_bounds(x)

    def short(self) -> str:
        """The text without blanks around it.  InputError where it is longer than anybody types a number."""
        raw = str(self.value).strip()
        if len(raw) > _LONGEST:
            raise self.refusal(f"is longer than {_LONGEST} characters; give {self.allowed}")
        return raw

    def plain(self) -> str:
        """The text in plain lower-case characters with single spaces."""
        raw = self.short()
        for c in {c for c in raw if c > "~" and unicodedata.category(c) == "No"}:  # 8\u00bd holds the character for 1/2
            parts = unicodedata.normalize("NFKC", c)
            raw = raw.replace(c, f" {parts} ") if "\u2044" in parts else raw
        text = " ".join(raw.translate(_PLAIN).replace("''", '"').lower().split())
        if "," in text:
            raise self.refusal(f"has a comma; write decimals with a point, thousands without a comma: {self.allowed}")
        return text

    def fraction(self, text: str, after_whole: bool = False) -> Fraction:
        """The exact value of `8`, `8.625`, `5/8`, `8 5/8` or `8-5/8`."""
        if re.fullmatch(_NUMBER, text):
            return Fraction(text)
        found = _FRACTION.fullmatch(text)
        if found is None:
            raise self.refusal()
        whole, top, bottom = found.groups()
        if int(bottom) == 0:
            raise self.refusal("divides by 0; the lower number of a fraction must be 1 or more")
        over, under = int(top), int(bottom)
        if over >= under and (whole or after_whole):
            raise self.refusal(f"has {top}/{bottom} after a whole number; there a fraction must be under 1")
        return Fraction(int(whole or 0) * under + over, under)


def _sixteenths(x: float) -> int:
    """Signed count of sixteenths nearest to x, ties away from zero."""
    count = math.floor(16 * abs(x) + 0.5 + 1e-6)
    return -count if x < 0 else count


@lru_cache(256)
def _whole_and_part(count: int) -> str:
    """`8 5/8` from a count of sixteenths, 0 or more."""
    whole, part = divmod(count, 16)
    fraction = str(Fraction(part, 16)) if part else ""
    return f"{whole} {fraction}" if whole and part else fraction or str(whole)


def _in_feet(x: float, foot: str, inch: str) -> str:
    """The length in feet, inches and sixteenths with the given marks; inches alone under a foot."""
    count = _sixteenths(x)
    feet, rest = divmod(abs(count), 192)
    small = _whole_and_part(rest)
    if feet:
        small = f"{feet}{foot}{'0 ' if 0 < rest < 16 else ''}{small}"
    return f"{'-' if count < 0 else ''}{small}{inch}"
