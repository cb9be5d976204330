"""A formula's text taken apart: its value, the numbers put in, and the steps by which a person works it.

The texts are those of the readings and mistakes: names, numbers, ``+ − · ÷``, brackets, ``k(m)`` for the stretch and
``arctan(m)``.  A part in [square brackets] counts only where its symbol is not 0.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any, NamedTuple

from . import geometry as geo

Symbols = dict[str, Any]
Function = Callable[[float], float]
FUNCTIONS: dict[str, Function] = {"k": lambda s: (1 + s * s) ** 0.5, "arctan": lambda s: float(geo.angle(s))}
PYTHON = {"+": "+", "−": "-", "·": "*", "÷": "/"}
TOKEN = re.compile(r"\s*([A-Za-z_]+|\d+\.?\d*|[-+−·×÷()])")


class Node(NamedTuple):
    """A part of a formula: ``kind`` "sum" (signs and parts), "product" (· or ÷ and parts), "call", "name", "number"."""

    kind: str
    text: str
    marks: tuple[str, ...] = ()
    parts: tuple[Node, ...] = ()

    def value(self, symbols: Symbols) -> float:
        """Value of this part of the formula, from the symbols' values.  KeyError for a symbol that is not there."""
        return float(_function_of(self)(symbols))

    @property
    def code(self) -> str:
        """This part of the formula as Python text, of the symbols ``s``."""
        if self.kind in ("name", "number"):
            return f"s[{self.text!r}]" if self.kind == "name" else self.text
        if self.kind == "call":
            return f"{self.marks[0]}({self.parts[0].code})"
        code = self.parts[0].code
        for mark, part in zip(self.marks, self.parts[1:], strict=True):
            code += f" {PYTHON[mark]} {part.code}"
        return f"({code})"

    @property
    def names(self) -> frozenset[str]:
        """Names of the symbols in this part of the formula."""
        return frozenset([self.text]) if self.kind == "name" else frozenset().union(*(p.names for p in self.parts))


@lru_cache(1024)
def _function_of(node: Node) -> Callable[[Symbols], float]:
    """The part as a function; it is made of a tree of ours, never of what anybody typed."""
    made: Callable[[Symbols], float] = eval(f"lambda s: {node.code}", {"__builtins__": {}, **FUNCTIONS})
    return made


@lru_cache(1024)
def parse(formula: str) -> Node:
    """A formula's text as a tree of parts; its [ ] must be resolved before.  ValueError where the text is no formula.

    >>> parse("D·k(m) − m·seat").value({"D": 11.25, "m": 0.75, "seat": 7.25})
    8.625
    """
    tokens, at = [], 0
    while at < len(formula.rstrip()):
        found = TOKEN.match(formula, at)
        if not found:
            raise ValueError(f"{formula!r} is no formula: {formula[at:]!r}")
        tokens.append(found[1])
        at = found.end()
    node, rest = _sum(tokens)
    if rest:
        raise ValueError(f"{formula!r} is no formula: {' '.join(rest)!r}")
    return node


@lru_cache(1024)
def _function(formula: str) -> Callable[[Symbols], float]:
    return _function_of(parse(formula))


def value_of(formula: str, symbols: Symbols) -> float:
    """Value of a formula, from the symbols' values.  KeyError for a symbol that is not there.

    >>> value_of("m·seat ÷ k(m)", {"m": 0.75, "seat": 5.0})
    3.0
    """
    return float(_function(formula)(symbols))


def _sum(tokens: list[str]) -> tuple[Node, list[str]]:
    return _chain("sum", {"+": "+", "−": "−", "-": "−"}, _product, tokens)


def _product(tokens: list[str]) -> tuple[Node, list[str]]:
    return _chain("product", {"·": "·", "×": "·", "÷": "÷"}, _factor, tokens)


def _chain(
    kind: str, signs: dict[str, str], below: Callable[[list[str]], tuple[Node, list[str]]], tokens: list[str]
) -> tuple[Node, list[str]]:
    first, tokens = below(tokens)
    marks, parts = [], [first]
    while tokens and tokens[0] in signs:
        marks.append(signs[tokens[0]])
        part, tokens = below(tokens[1:])
        parts.append(part)
    if not marks:
        return first, tokens
    between = " {} " if kind == "sum" else "{}"
    product = kind == "product"
    text = _within(parts[0], product)
    for mark, part in zip(marks, parts[1:], strict=True):
        text += (" ÷ " if mark == "÷" else between.format(mark)) + _within(part, product or part.kind == "sum")
    return Node(kind, text, tuple(marks), tuple(parts)), tokens


def _within(part: Node, bracketed: bool) -> str:
    """A part's text inside a sum or product."""
    return f"({part.text})" if part.parts and part.kind != "call" and bracketed else part.text


def _factor(tokens: list[str]) -> tuple[Node, list[str]]:
    if not tokens:
        raise ValueError("a formula ends too early")
    first, rest = tokens[0], tokens[1:]
    if first == "(" or rest[:1] == ["("] and first in FUNCTIONS:
        inner, rest = _sum(rest if first == "(" else rest[1:])
        if rest[:1] != [")"]:
            raise ValueError("a bracket is not closed")
        return (inner if first == "(" else Node("call", f"{first}({inner.text})", (first,), (inner,))), rest[1:]
    if first[0].isdigit():
        return Node("number", first), rest
    if first[0].isalpha() or first[0] == "_":
        return Node("name", first), rest
    raise ValueError(f"{first!r} stands where a number should")


# --- steps -----------------------------------------------------------------------------------------------------------


class Step(NamedTuple):
    """A step of the working: a part of the formula, that part with the numbers so far, and what it comes to.

    ``from_inputs`` is the same with what was given alone: earlier results stand as their formulas.
    """

    part: Node
    worked: str
    value: float
    last: bool
    from_inputs: str


SLOPES = {"m", "c", "c_l", "c_r"}  # shown over 12


def steps(formula: str, symbols: Symbols) -> tuple[Step, ...]:
    """The steps of a formula in the order of working; the last one is the formula itself.

    First slopes and stretches, then products and what stands in brackets, inner ones first.

    >>> [f"{s.part.text} = {s.worked} = {s.value:g}" for s in steps("(run + o)·k(m)", {"run": 96, "o": 24, "m": 0.75})]
    ['m = 9 ÷ 12 = 0.75', 'k(m) = √(1 + 0.75²) = 1.25', 'run + o = 96 + 24 = 120', '(run + o)·k(m) = 120 × 1.25 = 150']
    """
    whole = parse(formula)
    every = list(_every(whole))
    order = [part for part in every if part.kind == "name" and part.text in SLOPES]
    order += [part for part in every if part.kind == "call"]
    order += [part for part in every if part.kind in ("sum", "product") and part.names]
    found: dict[str, Step] = {}
    for part in (*(part for part in order if part != whole), whole):
        if part.kind == "name":
            value = symbols[part.text]
            over_12 = part.text in SLOPES
            worked = from_inputs = f"{formula_number(12 * value)} ÷ 12" if over_12 else formula_number(value)
        else:
            worked = _with_numbers(part, symbols, {text: formula_number(step.value) for text, step in found.items()})
            from_inputs = _with_numbers(part, symbols, {text: _in_brackets(step.part) for text, step in found.items()})
        found.setdefault(part.text, Step(part, worked, part.value(symbols), part == whole, from_inputs))
    return tuple(found.values())


def _every(node: Node) -> Iterator[Node]:
    """All parts, inner ones first."""
    for part in node.parts:
        yield from _every(part)
    yield node


def _with_numbers(node: Node, symbols: Symbols, found: dict[str, str]) -> str:
    """The part with numbers in: what was given, and what stands for the steps before."""

    def as_text(part: Node) -> str:
        if part.text in found:
            return found[part.text]
        return part.text if part.kind == "number" else formula_number(part.value(symbols))

    if node.kind == "call":
        inner = as_text(node.parts[0])
        return f"√(1 + {inner}²)" if node.marks[0] == "k" else f"{node.marks[0]}({inner})"
    text = as_text(node.parts[0])
    for mark, part in zip(node.marks, node.parts[1:], strict=True):
        text += f" {'×' if mark == '·' else mark} {as_text(part)}"
    return arithmetic_text(text)


def _in_brackets(part: Node) -> str:
    """A part's text as it stands in another formula."""
    return f"({part.text})" if part.kind == "sum" else part.text


def formula_number(value: float, places: int = 4) -> str:
    """A number in at most so many decimals, a negative one in brackets.

    >>> formula_number(1.20185042515), formula_number(-3.5), formula_number(12)
    ('1.2019', '(-3.5)', '12')
    """
    text = f"{round(float(value), places) + 0.0:.{places}f}".rstrip("0").rstrip(".")
    return f"({text})" if text.startswith("-") else text


def formula_with_numbers(formula: str, symbols: Symbols) -> str:
    """A formula's text with the numbers in.

    >>> formula_with_numbers("D·k(m) − m·seat", {"D": 11.25, "m": 0.75, "seat": 7.25})
    '11.25 × √(1 + (9/12)²) − (9/12) × 7.25'
    """
    put = [_number(part, symbols) if i % 2 else part for i, part in enumerate(_parts(formula))]
    return arithmetic_text("".join(put))


def arithmetic_text(worked: str) -> str:
    """Arithmetic as a person writes it: no minus of a minus, and a leading minus without its 0.

    >>> arithmetic_text("9.25 − (7/12) × (-3)"), arithmetic_text("0 − (8 − 18)"), arithmetic_text("8 + ((-4)/12) × 24")
    ('9.25 + (7/12) × 3', '−(8 − 18)', '8 − (4/12) × 24')
    >>> arithmetic_text("(4/12) × ((-24) + 3.5 − 5.5)")
    '(4/12) × (−24 + 3.5 − 5.5)'
    >>> arithmetic_text("max((-0.25), 0) × 3.1")
    'max(−0.25, 0) × 3.1'
    """
    worked = re.sub(r"(^|\()0 − ", r"\1−", worked)
    worked = re.sub(r"\(\(-([\d.]+)\)/12\)", r"(−\1/12)", worked)  # a slope
    worked = re.sub(r"\(\(-([\d.]+)\)(?=[ ,])", r"(−\1", worked).replace("(-", "(−")  # the first of a group
    worked = re.sub(r"\(−([\d.]+/12)\)²", r"(\1)²", worked)
    while (turned := MINUS_FACTOR.sub(_turned, worked)) != worked:
        worked = turned
    return worked


MINUS_FACTOR = re.compile(r"(?:([+−]) )((?:\(?[\d./√]+\)? [×÷] )*)\(−([\d.]+(?:/12)?)\)(?!²)")
"""A term of a sum with a negative number in it: its sign, the factors before that number, and the number."""


def _turned(term: re.Match[str]) -> str:
    number = f"({term[3]})" if "/" in term[3] else term[3]
    return f"{'−' if term[1] == '+' else '+'} {term[2]}{number}"


@lru_cache(1024)
def _parts(formula: str) -> list[str]:
    """What stands between the names of a formula, and the names, in turn."""
    worked = re.sub(r"k\((\w+)\)", r"√(1 + \1²)", formula).replace("·", " × ")
    return re.split(r"([A-Za-z_]+)", worked)


def _number(name: str, symbols: Symbols) -> str:
    if name not in symbols:
        return name
    if name in SLOPES:
        return f"({formula_number(12 * symbols[name], 6)}/12)"
    value = symbols[name]
    return formula_number(value, 9 if abs(value) < 0.001 else 6)  # three places more for a very short seat
