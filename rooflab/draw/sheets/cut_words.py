"""The words of the papers for the saw: which rafter of which job it is, what stops the saw, cautions, who decides.

All in our own words.  What a job does not say is left as a line to write on, never guessed.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import NamedTuple

from rooflab.base.findings import ASK, MISSES
from rooflab.base.inputs import must_be, stop_on
from rooflab.base.jsonfile import text_problem
from rooflab.base.lumber import stock_to_buy
from rooflab.base.measure import LEVEL, InputError, feet_inches, on_center, pitch_text
from rooflab.checks.assumptions import carries
from rooflab.checks.limits import LIMITS, limit_symbols
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.cutting import Cut
from rooflab.house.seam import Tail, tail_and_soffit
from rooflab.job.jobfile import Job, rounded_heels
from rooflab.job.option import options_in, solve_option
from rooflab.job.values import assumptions_of, house_of

from .wording import job_name, not_issued

BLANK = "____________"
BASE = "base design"  # the job's own rafter, no option
HAIR = 1e-9
LONGEST = 60  # letters of a date, an option's name or a quantity
MITER_SCALE = 50.0  # degrees that a miter saw's scale reaches (common size, no source)
WHO = {MISSES: "Do not cut: engineer first.", ASK: "Engineer and building official before cutting."}
ENGINEER, ARCHITECT = "Engineer first.", "Architect first."

TRY = "Cut one, try it in place, then cut the rest. Local code and the engineer decide on the notch."
CROWN = "Look along each stick: crown up."
OVERCUT = "Do not overcut: stop the blade at the corner and finish by hand."
SAW = "Saw: clamp the work, guard working, eyes and ears covered, unplugged before the blade is touched."
PLACE = "In place: two people, firm footing, fall protection."
CAUTIONS = (CROWN, TRY, OVERCUT, SAW, PLACE)


class CutOrder(NamedTuple):
    """What is cut for whom: words of the job as they are printed, both tails' soffit and the window head above the
    floor (in) where the job gives them, and what the rafter is loaded beyond by its grade and loads."""

    job: str = BLANK
    date: str = BLANK
    quantity: str = BLANK
    grade: str = BLANK
    spacing: str = BLANK
    option: str = ""
    decides: str = ""
    unissued: str = ""
    tail: Tail | None = None
    overloads: tuple[str, ...] = ()
    head: float | None = None

    def words(self, end: str) -> str:
        """The words in one line: date, how many, of what, how far apart, which end, which option."""
        parts = (
            f"Date: {self.date}", f"Quantity: {self.quantity}", f"Grade: {self.grade}", f"Spacing: {self.spacing}",
            f"{end.capitalize()} end", f"Option: {self.option or BLANK}",
        )  # fmt: skip
        return "  \u00b7  ".join(parts)


def cut_order(
    bay: RafterBay, end: str, job: Job | None = None, option: str = "", date: str = "", quantity: object = ""
) -> CutOrder:
    """The order for a bay's rafter: the words of its job, and what people typed.

    InputError for words that cannot be printed on a line, an option that the job has not, and one whose rafter is
    another.
    """
    must_be(bay, RafterBay, "RafterBay")
    typed = {"Option": option, "Date": date, "Quantity": str(quantity) if isinstance(quantity, int) else quantity}
    stop_on(f"{name}: {said}" for name, words in typed.items() if (said := text_problem(words, LONGEST)))
    names = {name: " ".join(str(words).split()) for name, words in typed.items()}
    order = CutOrder(date=names["Date"] or BLANK, quantity=names["Quantity"] or BLANK, option=names["Option"])
    if job is None:
        return order
    must_be(job, Job, "Job")
    own = bay.with_(rounded=False) == job.rafters
    which = order.option
    if which and (options := options_in(job)):
        chosen = next((one for one in options if one.name == which), None)
        if chosen is None:
            raise InputError(f"Option {which!r}: this job has {', '.join(one.name for one in options)}.")
        solved = solve_option(chosen, job)
        if solved.rafters.with_(rounded=False) != bay.with_(rounded=False):
            raise InputError(f"Option {which!r}: its rafter is not the one to be cut here; adopt it first.")
    order = order._replace(
        job=job_name(job),
        unissued=not_issued(job),
        grade=job.grade or BLANK,
        spacing=on_center(job.rafter_spacing),
        option=which or (BASE if own else "NOT the base design"),
        decides=" ".join(job.sheet.get("architect", "").split()),
    )
    return checked_order(order, job, bay, end)


def checked_order(order: CutOrder, job: Job, bay: RafterBay, end: str, follow: bool = False) -> CutOrder:
    """The order with the soffit and the overloads of this rafter; ``follow``: the truss heels are the rafter's."""
    scissor = _truss_beside(job, bay, follow)
    tail = tail_and_soffit(bay.handed_over(), scissor, end) if scissor else None
    return order._replace(tail=tail, overloads=_overloads(job, bay, end), head=job.gable.window_head)


def _overloads(job: Job, bay: RafterBay, end: str) -> tuple[str, ...]:
    """What this end's rafter is loaded beyond, each with its percent of capacity; nothing where no grade is given."""
    if not job.grade:
        return ()
    other = end == "right" and not bay.equal_ends
    missed = [
        one for one in carries(bay.handed_over(), assumptions_of(house_of(job))).findings
        if one.verdict == "misses" and (not one.name.startswith("rafter_") or one.name.endswith("_right") == other)
    ]  # fmt: skip
    return tuple(
        f"{one.name.removeprefix('rafter_').removesuffix('_right').replace('_', ' ')} {100 * one.value:.0f} %"
        if isinstance(one.value, (int, float)) and isfinite(one.value) else "no seat"
        for one in missed
    )  # fmt: skip


def _truss_beside(job: Job, bay: RafterBay, follow: bool = False) -> ScissorBay | None:
    """The job's truss beside this rafter, its heel following it where the job says so; None where there can be none."""
    if bay.with_(rounded=False) == job.rafters and not follow:
        return job.scissor
    heel = rounded_heels(bay) if job.follows or follow else job.scissor.heel_input
    try:
        return job.scissor.with_(gable=bay.gable, heel=heel)
    except InputError:
        return None


def cut_for(bay: RafterBay, end: str, hook: str, order: CutOrder) -> Cut:
    """The rafter with the level cut that its soffit wants, where the rafter's is the deeper tail."""
    wanted = order.tail is not None and order.tail.step > LEVEL
    return Cut(bay, end, hook, order.tail.level_cut if order.tail and wanted else 0.0)


# --- what stops the saw ----------------------------------------------------------------------------------------------


def stops(cut: Cut, order: CutOrder | None = None) -> tuple[str, ...]:
    """What must be settled before this rafter is sawn, a sentence each; none where every limit is met.

    Soffit line, capacity and dimensions that only stand in are the job's to say, so they come with its order.

    >>> from rooflab import Gable
    >>> for said in stops(Cut(RafterBay(Gable("26'", 8, "5 1/2", 16), "2x6", "5 1/2"))): print(said)
    STOP: notch 3 1/16" of 5 1/2": more than a quarter (1 3/8"). Engineer and building official before cutting.
    STOP: 2 7/16" left past the notch to carry the tail: less than 3 1/2". Do not cut: engineer first.
    """
    symbols, said = limit_symbols(cut.bay, cut.end), list[str]()
    if order and order.unissued:
        said.append(f"{order.unissued}. Do not cut.")
    for row in LIMITS:
        if row.bay == "rafter" and row.name in SENTENCES:
            held = row.hold(symbols)
            verdict = int(held.verdict)
            if verdict == MISSES or (verdict == ASK and row.name != "bearing"):
                value, limit = _apart(float(held.value), float(held.limit))
                words = SENTENCES[row.name].format(value=value, limit=limit, depth=feet_inches(cut.depth))
                said.append(f"STOP: {words} {WHO[verdict]}")
    if cut.level_cut and not cut.has_level_cut:
        said.append(
            f"STOP: the soffit wants a level tail cut {feet_inches(cut.level_cut)} long, and there is no room for it "
            f"on an overhang of {feet_inches(cut.values['o'])}. Cut no tail: architect first."
        )
    if order and order.head is not None and cut.has_tail:
        tail, head = order.tail, order.head
        shared = tail and (tail.step <= LEVEL or cut.has_level_cut)  # else the tail stays as deep as it is
        line = tail.soffit_height if tail and shared else float(symbols["soffit"])
        if line < head - HAIR:
            texts = _apart(line, head)
            where = f"tail's underside {texts[0]} above the floor, window head {texts[1]}"
            said.append(f"STOP: soffit line not met: {where}. {ARCHITECT}")
    if order and order.overloads:
        said.append(f"STOP: rafter over its capacity: {', '.join(order.overloads)}. {ENGINEER}")
    return tuple(said)


def stops_in_brief(sentences: Sequence[str]) -> tuple[str, ...]:
    """What stops the work in fewer words: all that one person is to be asked in one sentence.

    >>> stops_in_brief(('STOP: a. Engineer first.', 'STOP: no seat.', 'STOP: b. Do not cut: engineer first.'))
    ('STOP: a; b. Do not cut: engineer first.', 'STOP: no seat.')
    """
    groups: dict[str, list[str]] = {}
    first = [said for said in sentences if not said.startswith("STOP: ")]
    for said in (said for said in sentences if said not in first):
        who = next((one for one in (*WHO.values(), ENGINEER, ARCHITECT) if said.endswith(one)), "")
        words = said.removeprefix("STOP: ").removesuffix(who).rstrip(" .")
        groups.setdefault(WHO[MISSES] if who == ENGINEER else who, []).append(words)
    return (*first, *(f"STOP: {'; '.join(words)}. {who}".rstrip() for who, words in groups.items()))


SENTENCES = {
    "end_notch": "notch {value} of {depth}: more than a quarter ({limit}).",
    "stock_above_seat": "{value} of stock left above the seat: less than {limit}.",
    "tail_left": "{value} left past the notch to carry the tail: less than {limit}.",
    "tail_length": "tail reaches {value}, level: a notched tail may reach {limit}.",
    "bearing": "seat {value} long: less than {limit}.",
}


def _apart(value: float, limit: float) -> tuple[str, str]:
    """Two lengths in words, with decimals where they would read alike."""
    texts = feet_inches(value), feet_inches(limit)
    return (f"{value:.3f} in", f"{limit:.3f} in") if texts[0] == texts[1] else texts


# --- numbers in words ------------------------------------------------------------------------------------------------


def size_words(cut: Cut) -> str:
    """The rafter's size and pitch.

    >>> from rooflab import Gable
    >>> size_words(Cut(RafterBay(Gable("26'", 8, "5 1/2", 16))))
    '2x10, 8 in 12'
    """
    size = " ".join(cut.bay.lumber.split()) if cut.bay.lumber else f"{feet_inches(cut.depth)} deep"
    return f"{size}, {pitch_text(round(12 * cut.slope, 4))}"


def numbers_of(cut: Cut) -> str:
    """The numbers of a rafter that its template is for, in one line."""
    v = cut.values
    size = " ".join(cut.bay.lumber.split()) if cut.bay.lumber else "rafter"
    return (
        f"{size}, {pitch_text(round(12 * cut.slope, 4))}, depth {feet_inches(cut.depth)}, seat "
        f"{feet_inches(v['seat_cut'])}, heel {feet_inches(v['heel'])}, heel cut {feet_inches(v['birdsmouth_plumb'])}"
    )


def buy(length: float) -> str:
    """The length of stock to buy for a rafter, in words.

    >>> print(buy(212.0), "/", buy(400.0))
    buy 18'-0" / longer than common stock
    """
    stock = float(stock_to_buy(length))
    return f"buy {feet_inches(stock)}" if stock else "longer than common stock"


def saw_words(cut: Cut) -> tuple[str, ...]:
    """How each cut is set on the saw: degrees on a miter saw as far as its scale goes, else to the line."""
    v = cut.values

    def way(angle: float) -> str:
        return "miter saw" if angle <= MITER_SCALE else "beyond a miter saw's scale: cut to the line"

    lines = [f"Plumb cuts: {v['plumb_angle']:.1f} degrees off square ({way(v['plumb_angle'])}), "
             f"{feet_inches(v['plumb_cut'])} long."]  # fmt: skip
    if cut.has_mouth:
        seat = v["seat_angle"]
        beyond = ", beyond a miter saw's scale" if seat > MITER_SCALE else ""
        lines.append(
            f"Seat: {feet_inches(v['seat_cut'])} long, cut to the line ({seat:.1f} degrees off square{beyond})."
        )
    return (*lines, "A circular saw stays square to the face and follows the line.")


def tail_words(cut: Cut, order: CutOrder) -> tuple[str, ...]:
    """How the tail is cut: plumb, and level where the soffit wants it."""
    if not cut.has_tail:
        return ("No tail: the rafter ends at the building line.",)
    if cut.has_level_cut:
        return (
            f"Tail: plumb cut first. Then down that cut {feet_inches(cut.tail_plumb)}, and level "
            f"{feet_inches(cut.level_cut)} in to the bottom edge, for the soffit.",
        )
    if order.tail is None:
        return ("Tail: plumb cut. A level cut for the soffit: as the drawings; not known here.",)
    if order.tail.step < -LEVEL:
        return ("Tail: plumb cut; the truss tail is the deeper one, so no level cut here.",)
    return ("Tail: plumb cut; no level cut.",) if order.tail.step <= LEVEL else ()
