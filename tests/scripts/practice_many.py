"""Questions of every kind tried by the hundred: right in every spelling, each mistake its message, nothing given away.

    python tests/scripts/practice_many.py 10000          ten thousand questions of every kind
    python tests/scripts/practice_many.py 2000 jog sense  some families, or kinds such as rafter.heel, alone

Prints how often a house was drawn until the question would do.  Five hundred a kind are tried with the other tests.
"""

from __future__ import annotations

import re
import sys
import time
from collections.abc import Iterable
from typing import NamedTuple

from rooflab.base.measure import feet_inches
from rooflab.lessons.exercises import KINDS, draw
from rooflab.lessons.mistakes.truss import ALIKE
from rooflab.lessons.questions import Choice, Question

SAME = {"in": 1 / 16, "degrees": 1 / 4, "": 1 / 400}  # what counts as right: a sixteenth, a quarter degree, a quarter %


class Tried(NamedTuple):
    """What came of a kind: questions, draws, fewest mistakes of a question, and what was wrong."""

    kind: str
    questions: int
    draws: int
    fewest: int
    different: int
    wrong: list[str]

    @property
    def line(self) -> str:
        rate = f"{self.questions / self.draws:6.1%}"
        return (f"  {self.kind:28} {rate} of the houses would do; {self.fewest:2} mistakes or more a question, "
                f"{self.different} different questions")  # fmt: skip


def spellings(value: float) -> list[str]:
    """A length as people type it: 8 5/8", 8-5/8", 8.625, 0'-8 5/8" and 8 10/16."""
    text = feet_inches(value)
    sign, size = ("-", text[1:]) if text.startswith("-") else ("", text)
    feet, _, small = size.rpartition("'-") if "'" in size else ("0", "", size)
    whole, sixteenths = divmod(round(abs(value) * 16), 16)
    dashed = f"{feet}' {small}" if feet != "0" else size.replace(" ", "-").replace("-0-", "-0 ")
    words = f"{feet} ft {small.rstrip(chr(34))} in" if feet != "0" else small.replace('"', " in")
    few = [] if "/" in small and "-" in dashed else [sign + words]  # a round length has fewer spellings of its own
    return [text, sign + dashed, f"{value:.3f}", f"{sign}{feet}'-{small}", f"{sign}{whole} {sixteenths}/16", *few]


def right_texts(question: Question | Choice) -> list[str]:
    """The right answer in five spellings or more."""
    if isinstance(question, Choice):
        text, letter = question.choices[question.right], "abcdefgh"[question.right]
        return [text, text.upper(), f"  {text}. ", letter, f"({letter.upper()})", str(question.right + 1)]
    value, unit = question.value, question.row.unit
    if unit == "in":
        return spellings(value)
    if unit == "degrees":
        return [f"{value:.1f}", f"{value:.1f}°", f"{value:.2f} deg", f"{value:.1f} degrees", f"{value:.3f} "]
    cent = 100 * value
    return [f"{cent:.1f} %", f"{cent:.1f}%", f"{cent:.1f}", f"{value:.3f}", f"{cent:.2f} per cent"]


def typed(question: Question, value: float) -> list[str]:
    """A wrong number as it is typed: in decimals, or as it stands on a tape (by the number's last digit)."""
    if question.row.unit == "in":
        decimals = f"{value:.4f}"
        return [feet_inches(value) if decimals[-1] in "02468" else decimals]
    return [f"{value:.2f}"] if question.row.unit == "degrees" else [f"{100 * value:.2f} %"]


def gives_away(sentences: str, question: Question) -> bool:
    """True where sentences hold the right answer, unless the question itself names that number."""
    text = question.text
    token = rf"(?<![\d/'-])(?<!\d ){re.escape(text)}(?!\d)"
    return text in sentences and bool(re.search(token, sentences)) and not re.search(token, question.prompt)


def faults(question: Question | Choice) -> Iterable[str]:
    """What is wrong with a question, in words."""
    texts = right_texts(question)
    if len(set(texts)) < 5:
        yield "fewer than five spellings"
    for text in texts:
        if not question.judge(text).right:
            yield f"not right: {text!r}"
    if isinstance(question, Choice):
        others = [question.judge(choice) for i, choice in enumerate(question.choices) if i != question.right]
        if any(said.right or not said.sentence.startswith("That fits") for said in others):
            yield "a wrong choice is not answered with what fits"
        if len({said.sentence for said in others}) < len(others):
            yield "two wrong choices with one answer"
        return
    same = SAME[question.row.unit]
    groups = {name: group for group in ALIKE.get(f"{question.rows.subject}.{question.reading}", ()) for name in group}
    numbers, sentences = dict[tuple[str, ...], float]({(): question.value}), dict[tuple[str, ...], str]()
    for mistake, wrong, _ in question.mistakes:
        group = groups.get(mistake.name, (mistake.name,))
        numbers[group] = wrong
        for text in typed(question, wrong):
            said = question.judge(text)
            if said.right or said.mistake not in group:
                yield f"{mistake.name}: {text!r} is answered with {said.mistake or said.sentence!r}"
            if not said.sentence.startswith("That fits") or "The formula: " not in said.sentence:
                yield f"{mistake.name}: {said.sentence!r}"
            sentences[group] = said.sentence
    if gives_away(" | ".join(sentences.values()), question):
        yield f"{question.text} is given away: {sentences!r}"
    line = sorted(numbers.values())
    if any(b - a <= same for a, b in zip(line, line[1:], strict=False)):
        yield f"numbers too near: {line}"
    if len(set(sentences.values())) < max(5, len(sentences)):
        yield f"{len(set(sentences.values()))} different answers to {len(sentences)} mistakes"


def tried(kind: str, count: int, seed: object = "many") -> Tried:
    """``count`` questions of a kind."""
    draws, fewest, wrong, different = 0, 99, list[str](), set[str]()
    for number in range(1, count + 1):
        question, drawn = draw(kind, seed, number)
        draws += drawn
        fewest = min(fewest, len(question.mistakes) if isinstance(question, Question) else len(question.choices) - 1)
        different.add(question.prompt)
        wrong += [f"{kind} {number}: {fault} ({question.prompt})" for fault in faults(question)]
    return Tried(kind, count, draws, fewest, len(different), wrong)


def main(count: int = 10_000, *names: str) -> int:
    """Try ``count`` of the kinds or families named (all), print a line each; 1 where something was wrong."""
    wrong = 0
    for kind in KINDS:
        if not names or kind in names or kind.partition(".")[0] in names:
            begun = time.perf_counter()
            found = tried(kind, count)
            print(f"{found.line}, {time.perf_counter() - begun:.0f} s", flush=True)
            for fault in found.wrong[:5]:
                print("    wrong:", fault.encode("ascii", "replace").decode())
            wrong += len(found.wrong)
    print(f"  {wrong or 'nothing'} wrong")
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000, *sys.argv[2:]))
