"""Every paper and file that leaves, written for several houses and compared with those of another tree (for authors).

    PYTHONPATH=<older tree> python tests/scripts/compare_papers.py write before
    python tests/scripts/compare_papers.py write after
    python tests/scripts/compare_papers.py compare before after

PDFs are compared by their texts and lines with places (to 0.01 point), sizes, widths, dashes and colours, in any order
of drawing; DXF by entities, everything else byte by byte.  What differs is printed;
without a difference it ends with 0.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

NEAR = 0.015  # points, and inches of a drawing
SHOWN = 8  # differences of a file that are printed
HOMES = {  # where names that are not public have stood, the newest place first; after a colon what it is called there
    "example": ("rooflab.job.jobfile", "rooflab.jobfile"),
    "handed": ("rooflab.job.jobfile:rounded_heels", "rooflab.job.jobfile", "rooflab.jobfile"),
    "TrussType": ("rooflab.job.schedule", "rooflab.schedule"),
    "Jog": ("rooflab.house.bays", "rooflab.house"),
    "agree": ("rooflab.job.agreement", "rooflab.agreed"),
    "option_of": ("rooflab.job.option", "rooflab.job.table", "rooflab.kept"),
    "with_options": ("rooflab.job.option", "rooflab.job.table", "rooflab.kept", "rooflab.options"),
}


def named(name: str) -> Any:
    """A name from the first of its homes that this tree has."""
    for home in HOMES[name]:
        try:
            module, _, other = home.partition(":")
            return getattr(import_module(module), other or name)
        except (ImportError, AttributeError):
            continue
    raise SystemExit(f"{name}: stands in none of {', '.join(HOMES[name])}")


# --- writing ---------------------------------------------------------------------------------------------------------

WORDS = {
    "project": "A house with a rather long name on the slope above the valley", "address": "12 Hill Road, Someplace",
    "architect": "An office of architects", "contact": "A. Person, 555 0100", "revision": "C", "date": "24 November",
    "issued_for": "the truss manufacturer's review", "dimensions_verified_by": "the general contractor",
}  # fmt: skip


def houses() -> dict[str, Any]:
    """Jobs of every kind: the example, unequal ends, jogged types with long texts, a wide and steep one."""
    import rooflab as rl

    kind, jog = named("TrussType"), named("Jog")
    types = (
        kind("A", 240, gable_ends=1, remark="main bay"),
        kind("B", 96, jog=jog("left", 24, 3.5), remark="where the wall is set in, " * 11),
        kind("C", 60, 19.2, jog=jog("right", 36)),
        kind("D", 30, jog=jog("left", 12, None, "stepped")),
        kind("E", 480, gable_ends=2, doubled=2),
    )
    notes = tuple(f"Note {i}: deliveries come by the lower road, and the crane stands in the yard." for i in range(14))

    def job(gable: Any, lumber: str, seat: float, ceiling: Any, kinds: Any, **more: Any) -> Any:
        rafters = rl.RafterBay(gable, lumber, seat)
        truss = rl.ScissorBay(gable, ceiling, named("handed")(rafters))
        return rl.Job("House on the slope", rafters, truss, tuple(kinds), **more)

    return {
        "example": named("example")(),
        "unequal": job(rl.Gable(312, (8, 6), 5.5, (16, 24), (97.125, 121.125)), "2x10", 3.5, 3, types[:3]),
        "jogged": job(rl.Gable(720, 4, 5.5, 24, 97.125), "2x12", 3.5, 2, types, notes=notes, sheet=WORDS),
        "steep": job(rl.Gable(720, 18, 5.5, 48, 97.125), "2x12", 3.5, 9, types[:1], finish=(0.625, 0)),
    }


def agreed(job: Any) -> Any:
    """The job with three options and what was agreed about them."""
    option = named("option_of")
    options = [
        option("As it stands", job).with_(pros=("Known to the crew.",), cons=("Less room over the table.",)),
        option("Longer seat", job, seat="5 1/2").with_(remark="The builder's wish."),
        option("Lower overhang", job, overhang=12),
    ]
    there = ("architect: A. Person", "builder: J. Smith", "owner")
    reasons = ("More room over the table, and the gable window can be taller.", "The crew knows this seat. " * 4)
    asked = (("Who designs the header over the gable window?", "engineer"), ("Is a notch allowed?", "official"))
    kept = named("with_options")(job, options)
    return named("agree")(kept, "24 November 2026", "Longer seat", there, reasons, asked)


def papers(folder: Path) -> Iterator[tuple[str, Callable[[], Any]]]:
    """What is written, by name; each call writes one paper."""
    import rooflab as rl

    for name, job in houses().items():
        yield f"{name} dxf", partial(rl.profile_dxf, job, folder / f"{name}.dxf")
        yield f"{name} csv", partial(rl.readings_csv, job, folder / f"{name}.csv")
        for paper in ("letter", "tabloid"):
            for what in ("sheets", "template", "agreement"):
                make, target = partial(PAPERS[what], job), folder / f"{name}-{what}-{paper}.pdf"
                yield f"{name} {what} {paper}", partial(make, target, paper)
        for hook in ("ridge", "tail"):
            target = folder / f"{name}-cut-{hook}.pdf"
            yield f"{name} cut sheet {hook}", partial(rl.cut_sheet, job.rafters, target, "right", hook)
        for size in ("letter", "phone"):
            yield f"{name} site card {size}", partial(rl.site_card, job, folder / f"{name}-card-{size}.pdf", size)
        for many, suffix in ((1, "pdf"), (1, "csv"), (5, "pdf"), (5, "csv")):
            yield f"{name} reply {many} {suffix}", partial(reply, job, folder / f"{name}-reply-{many}.{suffix}", many)
    first = houses()["example"]
    for suffix in ("svg", "png"):
        yield f"sheets {suffix}", partial(PAPERS["sheets"], first, folder / f"sheets.{suffix}", "letter")
        yield f"agreement {suffix}", partial(PAPERS["agreement"], first, folder / f"agreement.{suffix}", "letter")
    for seed, count in (("fall", 8), (1, 10), (2, 10), (3, 1), (4, 6)):
        yield f"practice {seed}", partial(rl.practice_sheet, folder / f"practice-{seed}.pdf", seed, count)
    for number in range(12):
        yield f"handout {number:02}", partial(rl.handout, f"{number:02}", folder / f"handout-{number:02}.pdf")


def sheets(job: Any, target: Path, paper: str) -> None:
    import rooflab as rl

    rl.profile_sheet(job, target, paper)


def template(job: Any, target: Path, paper: str) -> None:
    import rooflab as rl

    rl.birdsmouth_template(job.rafters, target, paper, "right")


def agreement(job: Any, target: Path, paper: str) -> None:
    import rooflab as rl

    rl.agreement_sheet(agreed(job), target, paper)


PAPERS = {"sheets": sheets, "template": template, "agreement": agreement}


def reply(job: Any, target: Path, many: int) -> None:
    """The reply to a drawing that came back an inch too high; with ``many``, much is typed and drawn larger."""
    import rooflab as rl

    truss = job.scissor
    back = {"span": truss.gable.span, "heel": truss.left.heel + 1, "height": truss.height + 1.5, "overhang": 16}
    lines = ["item,value,remark", *(f"{item},{value},as drawn by the shop" for item, value in back.items())]
    review = rl.review(truss, "\n".join(lines), job.rafters)
    if many == 1:
        rl.write_reply(review, target)
        return
    moved = rl.movement(312, total=1.5, live=0.4, sideways_total=1.0)
    note = "Call before cutting. " * 60
    rl.write_reply(review, target, f"{job.title}, type A", note, None, many, (1, 2, 5, 16), moved)


def write(folder: Path) -> None:
    """Write every paper into a folder; a paper that is refused leaves its sentence there."""
    import rooflab as rl

    folder.mkdir(parents=True, exist_ok=True)
    for name, make in papers(folder):
        try:
            make()
        except rl.InputError as error:
            (folder / f"{name.replace(' ', '-')}.refused.txt").write_text(f"{error}\n", encoding="utf-8", newline="\n")
    print(f"{len(list(folder.iterdir()))} files from {Path(rl.__file__).parent.parent.name}")


# --- reading back ----------------------------------------------------------------------------------------------------

Item = tuple[Any, ...]  # words first, then numbers
PAINT = {b"S", b"s", b"f", b"F", b"f*", b"B", b"B*", b"b", b"b*"}
Matrix = tuple[float, float, float, float, float, float]


def times(a: Matrix, b: Matrix) -> Matrix:
    """The matrix that does ``a`` and then ``b``."""
    return (
        a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3], a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4], a[4] * b[1] + a[5] * b[3] + b[5],
    )  # fmt: skip


def content(page: Any, reader: Any) -> Iterator[Item]:
    """Texts and painted paths of a page, each with place and look."""
    from pypdf.generic import ContentStream

    at: Matrix = (1, 0, 0, 1, 0, 0)
    text: Matrix = at
    look: dict[str, Any] = {"w": 1.0, "d": "", "stroke": (), "fill": (), "font": 0.0}
    stack: list[tuple[Matrix, dict[str, Any]]] = []
    path: list[Any] = []
    words = ""
    for operands, operator in ContentStream(page["/Contents"].get_object(), reader).operations:
        values: list[Any] = [float(one) for one in operands if isinstance(one, (int, float))]
        if operator == b"q":
            stack.append((at, dict(look)))
        elif operator == b"Q":
            at, look = stack.pop()
        elif operator == b"cm":
            at = times(tuple(values), at)
        elif operator == b"w":
            look["w"] = values[0]
        elif operator == b"d":
            look["d"] = " ".join(f"{float(one):.3f}" for one in operands[0])
        elif operator in (b"RG", b"G"):
            look["stroke"] = tuple(values) * (3 // len(values))
        elif operator in (b"rg", b"g"):
            look["fill"] = tuple(values) * (3 // len(values))
        elif operator == b"Tf":
            look["font"], look["face"] = values[0], str(operands[0])
        elif operator in (b"BT",):
            text = (1, 0, 0, 1, 0, 0)
        elif operator == b"Tm":
            text = tuple(values)
        elif operator == b"Td":
            text = times((1, 0, 0, 1, *values), text)
        elif operator in (b"Tj", b"TJ"):
            parts = operands[0] if operator == b"TJ" else operands
            words = "".join(_words(part) for part in parts if not isinstance(part, (int, float)))
            yield (f"text {words!r} {look.get('face')} fill {look['fill']}", look["font"], *times(text, at))
        elif operator == b"Do":
            yield (f"glyph {operands[0]} after {words!r}", *at)
        elif operator in (b"m", b"l", b"c", b"v", b"y", b"re", b"h"):
            path.append((operator, values))
        elif operator in PAINT:
            how = " ".join(op.decode() for op, _ in path)
            inked = {b"S": ("stroke",), b"s": ("stroke",), b"f": ("fill",)}.get(operator, ("stroke", "fill"))
            shade = " ".join(f"{name} {look[name]}" for name in inked)
            yield (f"path {how} {operator.decode()} [{look['d']}] {shade}", look["w"], *_placed(path, at))
            path = []
        elif operator in (b"n",):
            path = []


def _words(part: Any) -> str:
    return part.decode("latin-1") if isinstance(part, bytes) else str(part)


def _placed(path: list[Any], at: Matrix) -> Iterator[float]:
    for operator, values in path:
        if operator == b"re":
            x, y, wide, tall = values
            values = [x, y, x + wide, y + tall]
        for x, y in zip(values[::2], values[1::2], strict=True):
            yield at[0] * x + at[2] * y + at[4]
            yield at[1] * x + at[3] * y + at[5]


def pdf(path: Path) -> Iterator[tuple[str, list[Item]]]:
    """A PDF's title and sizes, then the content of each page."""
    import pypdf

    reader = pypdf.PdfReader(path)
    told = {key: value for key, value in (reader.metadata or {}).items()}
    yield "file", [(f"{told}", float(len(reader.pages)))]
    for number, page in enumerate(reader.pages, 1):
        yield f"page {number}", [("size", *map(float, page.mediabox)), *content(page, reader)]


def dxf(path: Path) -> Iterator[tuple[str, list[Item]]]:
    """Entities of a drawing, those of its dimensions' blocks too."""
    import ezdxf

    document = ezdxf.readfile(path)
    for space in [document.modelspace(), *(block for block in document.blocks if block.name.startswith("*D"))]:
        yield space.name if hasattr(space, "name") else "model", [_entity(one) for one in space]
    yield "layers", [(f"{one.dxf.name}", float(one.dxf.color)) for one in document.layers]


def _entity(one: Any) -> Item:
    words, numbers = [one.dxftype()], []
    for key, value in sorted(one.dxfattribs().items()):
        if key in ("handle", "owner"):
            continue
        if isinstance(value, (int, float)):
            numbers.append(float(value))
        elif hasattr(value, "xyz"):
            numbers += value.xyz
        else:
            words.append(f"{key}={value}")
    if one.dxftype() == "LWPOLYLINE":
        numbers += [part for point in one.get_points("xy") for part in point]
    return (" ".join(words), *numbers)


# --- comparing -------------------------------------------------------------------------------------------------------


def differ(one: Iterable[Item], other: Iterable[Item]) -> tuple[list[Item], list[Item]]:
    """Items of one that the other lacks, and the other way round; numbers as near as NEAR are the same."""
    a, b = Counter(map(_rounded, one)), Counter(map(_rounded, other))
    gone, new = list((a - b).elements()), list((b - a).elements())
    for item in list(gone):
        if twin := next((n for n in new if _same(item, n)), None):
            gone.remove(item)
            new.remove(twin)
    return gone, new


def _rounded(item: Item) -> Item:
    return (item[0], *(round(value, 2) + 0.0 for value in item[1:]))


def _same(a: Item, b: Item) -> bool:
    return a[0] == b[0] and len(a) == len(b) and all(abs(x - y) <= NEAR for x, y in zip(a[1:], b[1:], strict=True))


def compare(before: Path, after: Path) -> int:
    """How many files differ; what differs is printed."""
    wrong = 0
    names = sorted({path.name for folder in (before, after) for path in folder.iterdir()})
    for name in names:
        if said := list(_differences(before / name, after / name)):
            wrong += 1
            print(f"{name}:")
            print("\n".join(f"  {line}" for line in said))
    print(f"{len(names)} files, {wrong} differ")
    return wrong


def _differences(before: Path, after: Path) -> Iterator[str]:
    if not (before.exists() and after.exists()):
        yield f"only in {(before if before.exists() else after).parent.name}"
        return
    if before.read_bytes() == after.read_bytes():
        return
    kind = {".pdf": pdf, ".dxf": dxf}.get(before.suffix)
    if kind is None:
        yield "other bytes"
        return
    one, other = dict(kind(before)), dict(kind(after))
    for part in dict.fromkeys([*one, *other]):
        gone, new = differ(one.get(part, []), other.get(part, []))
        for sign, items in (("-", gone), ("+", new)):
            yield from (f"{part} {sign} {item[0][:150]} {item[1:9]}" for item in items[:SHOWN])
            if len(items) > SHOWN:
                yield f"{part} {sign} and {len(items) - SHOWN} more"


def main() -> int:
    said = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    orders = said.add_subparsers(dest="do", required=True)
    orders.add_parser("write").add_argument("folder", type=Path)
    pair = orders.add_parser("compare")
    pair.add_argument("before", type=Path)
    pair.add_argument("after", type=Path)
    given: Any = said.parse_args()
    if given.do == "write":
        write(given.folder)
        return 0
    return min(compare(given.before, given.after), 1)


if __name__ == "__main__":
    sys.exit(main())
