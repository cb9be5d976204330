"""The readings of both bays and their seam in words: rows under the picture, lists, and the note below them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.measure import feet_inches
from rooflab.checks.assumptions import ALWAYS, Assumptions, Carries
from rooflab.checks.loads import EARLY_CHECK
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.seam import Comparison, Tail

ROWS = 4  # of readings in a group; more are set closer
LEVEL = 1 / 32  # gaps under this read 0", in
NAILING = (
    "Roof panels run across the seam with their ends staggered; nail edges 6 in and between 12 in apart (common "
    "schedule, from memory: verify in IRC R602.3(1) and the wind design). Nail no rafter to a truss to share load."
)
DEFER = "Local code, engineer and manufacturer decide."


class State(NamedTuple):
    """Both bays as they stand, rounded for print, and what follows from them."""

    rafters: RafterBay
    scissor: ScissorBay
    seam: Comparison
    tail: Tail | None
    findings: tuple[Finding, ...]
    follows: bool
    assumptions: Assumptions | None = None  # what the early checks take; None where there are none
    carries: Carries | None = None


class Row(NamedTuple):
    """A line of the readings: key, label, text, words (a state and the limits' verdict) and the reasoning behind it."""

    key: str
    label: str
    text: str
    word: str
    verdict: str
    why: str

    @property
    def words(self) -> str:
        return ", ".join(filter(None, (self.word, self.verdict)))


Group = tuple[str, list[Row]]

# Title, and the rows: bay, reading, the finding whose verdict stands beside it.
GROUPS: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...] = (
    (
        "Rafter bay",
        (
            ("rafter", "heel", "heel_blocking"),
            ("rafter", "carries", ""),
            ("rafter", "notch_depth", "end_notch"),
            ("rafter", "cut_length", ""),
            ("rafter", "tail_underside", "soffit_line"),
        ),
    ),
    (
        "Scissor bay",
        (
            ("scissor", "height", ""),
            ("scissor", "ceiling_rise", ""),
            ("scissor", "depth_at_peak", ""),
            ("scissor", "space_outside", "least_heel"),
        ),
    ),
    (
        "Seam: truss less rafter",
        (("seam", "tail_gap", ""), ("seam", "heel_gap", ""), ("seam", "ridge_gap", ""), ("seam", "soffit", "")),
    ),
)
LABELS = {
    "notch_depth": "Notch",
    "tail_underside": "Tail underside",
    "space_outside": "Between chords",
    "cut_length": "Cut length",
    "depth_at_peak": "Depth at peak",
    "heel": "Heel height",
    "tail_gap": "Gap at the tail",
    "heel_gap": "Gap at the eave",
    "ridge_gap": "Gap at the ridge",
}


def rows(s: State, groups: Sequence[tuple[str, tuple[tuple[str, str, str], ...]]]) -> list[Group]:
    """The rows of some of ``GROUPS``."""
    verdicts = {finding.name: finding.verdict for finding in reversed(s.findings)}
    return [
        (title, [_row(s, verdicts, *entry) for entry in entries if s.carries or entry[1] != "carries"])
        for title, entries in groups
    ]


def _row(s: State, verdicts: Mapping[str, str], bay: str, name: str, finding: str) -> Row:
    if bay == "seam":
        return _soffit_row(s.tail) if name == "soffit" else _gap_row(s.seam, name)
    if name == "carries":
        made = s.carries
        assert made is not None
        return Row("rafter.carries", "Early check", made.text, made.word, made.verdict, made.why)
    w = (s.rafters if bay == "rafter" else s.scissor).reading(name)
    word = ""
    if name == "notch_depth":
        word = f"{100 * s.rafters.notch_ratio:.0f} %"
    if name == "space_outside":
        word = s.scissor.heel_state
    why = f"{w.label} = {w.formula} = {w.worked} = {w.text}"
    return Row(f"{bay}.{name}", LABELS.get(name, w.label), w.text, word, verdicts.get(finding, ""), why)


def _soffit_row(tail: Tail | None) -> Row:
    if tail is None:
        why = "Without an overhang there is no tail and no soffit."
        return Row("seam.soffit", "Soffit", "none", "no overhang", "", why)
    word = "level cut" if abs(tail.step) > LEVEL else "level"
    return Row("seam.soffit", "Soffit step", feet_inches(tail.step), word, "", tail.sentence)


def _gap_row(seam: Comparison, name: str) -> Row:
    gap = getattr(seam, name)
    word = "level" if abs(gap) < LEVEL else "truss high" if gap > 0 else "truss low"
    why = (
        f"{LABELS[name]} = truss line − rafter line at the same x, plumb = {feet_inches(gap)}; "
        f"largest square to the roof {feet_inches(seam.plane_offset)}"
    )
    return Row(f"seam.{name}", LABELS[name], feet_inches(gap), word, "", why)


def readings_html(groups: Sequence[Group], past: Mapping[str, str], said: str, working: bool = True) -> str:
    """The rows as tables side by side; a reading that changed says what it was ("was") or is held against ("kept").

    With ``working`` each label is a button that opens it.
    """
    tables, kind = [], ' class="rl-dense"' * (max(len(lines) for _, lines in groups) > ROWS)
    for title, lines in groups:
        cells = []
        for row in lines:
            words = _words(row, past.get(row.key, row.text), said)
            shorter = escape("|".join(words[1:]))
            less = f' data-less="{shorter}"' if shorter else ""
            label = escape(row.label)
            if working:
                label = f'<button type="button" class="rl-why" data-why="{row.key}">{label}</button>'
            cells.append(
                f"<tr><td>{label}</td>"
                f'<td>{escape(row.text)}</td><td title="{escape(words[0])}"{less}>'
                f"{escape(words[0])}</td></tr>"
            )
        tables.append(f"<table{kind}><caption>{escape(title)}</caption>{''.join(cells)}</table>")
    return "".join(tables)


def _words(row: Row, was: str, said: str) -> list[str]:
    """What stands beside a reading, and shorter texts for where it has no room: without what it was, the verdict."""
    if was == row.text:
        return list(dict.fromkeys([row.words, row.verdict or row.words]))
    word = row.word if row.key.endswith("_gap") else ""
    verdict = row.verdict if row.verdict in ("ask", "misses") else ""
    full = ", ".join(filter(None, (word, f"{said} {was}", verdict)))
    texts = [full, full.removeprefix("truss "), row.words, row.verdict]
    return list(dict.fromkeys(filter(None, texts)))


def note_html(s: State, groups: Sequence[Group], why: str, extra: str = "") -> str:
    """The reasoning of the reading ``why``, whether the planes run through, and which limits are not met."""
    every = [row for _, lines in groups for row in lines]
    first = next((row for row in every if row.key == why), every[0]).why
    found: dict[str, dict[str, None]] = {"misses": {}, "ask": {}}
    for f in s.findings:
        if f.verdict in found:
            plain = f.name.replace("over_plate", "insulation over the plate").replace("_", " ")
            found[f.verdict]["reminders" if f.name in ALWAYS else plain] = None
    limits = " ".join(f"<b>{v.capitalize()}:</b> {escape(', '.join(names))}." for v, names in found.items() if names)
    apart = not s.seam.coplanar and any(row.key.startswith("seam.") for row in every)
    planes = "<b>Planes:</b> do not run through." if apart else ""
    met = f"{'The other' if apart else 'All'} limits looked at here are met."
    second = " ".join(filter(None, (planes, extra, limits or met, DEFER)))
    return f"<div>{escape(first)}</div><div>{second}</div>"


def findings_html(found: Sequence[Finding]) -> str:
    """Limits with their verdicts as a table, what is missed first."""
    order = {"misses": 0, "ask": 1, "meets": 2}
    lines = "".join(
        f"<tr><td><b>{f.verdict}</b></td><td>{escape(f.sentence)}"
        f"{'' if f.verdict == 'meets' else ' ' + escape(f.remedy)}</td><td>{escape(f.source)}</td></tr>"
        for f in sorted(found, key=lambda f: order[f.verdict])
    )
    return f'<table class="rl-list"><tr><th>Verdict</th><th>Limit</th><th>Source</th></tr>{lines}</table>'


def limits_html(s: State) -> str:
    """Every limit with its verdict, and the remedies where the planes do not run through."""
    ways = "".join(f"<li>{escape(r.sentence)}</li>" for r in s.seam.remedies)
    heading = f"<b>To bring the planes together, one of:</b><ul>{ways}</ul>" if ways else ""
    assumptions = s.assumptions and escape(s.assumptions.sentence(abs(s.rafters.left.roof.slope)))
    return (
        f"{heading}{findings_html(s.findings)}"
        f"{f'<p>Taken for the early checks: {assumptions} {escape(EARLY_CHECK)}</p>' if assumptions else ''}"
        "<p>Reminders, not approvals: local code, the engineer, the building official and the truss manufacturer "
        "decide.</p>"
    )


def table_html(s: State) -> str:
    """Every reading of both bays with its formula."""
    lines = "".join(
        f"<tr><td>{bay.kind} bay</td><td>{escape(w.label)}</td><td><b>{escape(w.text)}</b></td>"
        f"<td>{escape(w.formula)}</td></tr>"
        for bay in (s.rafters, s.scissor)
        for w in (bay.reading(row.name) for row in bay.rows())
    )
    return f'<table class="rl-list"><tr><th>Bay</th><th>Reading</th><th>Value</th><th>Formula</th></tr>{lines}</table>'


def plain(s: State, groups: Sequence[Group]) -> str:
    """The sentence and the rows as plain text, for a page without a kernel."""
    lines = [s.seam.sentence]
    for title, group in groups:
        lines.append(title)
        lines += [f"  {row.label:<18} {row.text:>12}  {row.words}".rstrip() for row in group]
    return "\n".join([*lines, *([EARLY_CHECK] if s.carries else [])])
