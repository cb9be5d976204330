"""A map over two inputs: where all findings meet, lines of any reading, and where a truss heel is met.

Numbers only, in the inputs' own units; ``mapviews`` draws them.  Lines are traced on a grid and then each of their
points is moved along its grid line until the house there has exactly the value: a line is as true as a single house.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

import numpy as np

from rooflab.base.inputs import pair, stop_on
from rooflab.base.lumber import dressed_size
from rooflab.base.measure import InputError, feet_inches
from rooflab.checks.limits import LEAST_BEARING

from .jobfile import FOLLOWS, Job
from .sweep import READABLE, Axis, Sweep, at_places, axis_of, sweep
from .values import ROWS, SIZES, House, at_ends, house_of, rafters_of, size_of
from .wishes import reading_label, wish_value_text

CELLS = (97, 65)  # across and up
HALVINGS = 40
Line = Any  # an array of points, (x, y) in the inputs' units


class Level(NamedTuple):
    """A line of the map: its value, as printed, and its pieces."""

    value: float
    text: str
    lines: tuple[Line, ...]


class MapSpot(NamedTuple):
    """An option on the map: its name and place; ``inside`` is False beyond the map's edges."""

    name: str
    x: float
    y: float
    inside: bool
    state: int


@dataclass(frozen=True)
class Map:
    """A map: its two axes, the reading and its lines, the edges of regions, the heel's curve and the options.

    ``across``, ``up``: the two inputs, with their values and units.
    ``reading``: the name of the reading whose lines are drawn.
    ``levels``: its lines, a value each.
    ``meet_edges``: lines around where all findings meet.
    ``miss_edges``: lines around where something misses.
    ``refusal_edges``: lines around what cannot be built.
    ``heel``: where the rafters' heel is the one wished for; None where none is.
    ``spots``: the options, as marks.
    ``swept``: both bays at every place of the map.
    ``words``: the map in words, for those who listen.
    """

    across: Axis
    up: Axis
    reading: str
    levels: tuple[Level, ...]
    meet_edges: tuple[Line, ...]
    miss_edges: tuple[Line, ...]
    refusal_edges: tuple[Line, ...]
    heel: Level | None
    spots: tuple[MapSpot, ...]
    swept: Sweep = field(repr=False)
    words: str = field(repr=False)

    def at(self, x: Any, y: Any) -> Any:
        """Worst verdict at places (x, y) in the inputs' units: 0 not buildable, 1 all meet, 2 asks, 3 misses."""
        return bays_at(self.swept.house, self.swept.axes, x, y).state

    @property
    def title(self) -> str:
        """The map's title: which input runs across, which up."""
        return f"What fits: {self.across.label.lower()} across, {self.up.label.lower()} up"


def bays_at(house: House, axes: tuple[Axis, ...], x: Any, y: Any, rounded: bool = True) -> Sweep:
    """Both bays at single places of a map."""
    return at_places(house, axes, [np.asarray(x, float), np.asarray(y, float)], rounded)


# --- ranges, ticks and levels ----------------------------------------------------------------------------------------

STEPS = {
    "in": (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 96.0),
    "": (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0),
    "pitch": (0.25, 0.5, 1.0, 2.0, 3.0, 6.0),
}
DECIMAL = tuple(k * 10.0**n for n in range(-2, 5) for k in (1, 2, 5))


def even(low: float, high: float, most: int, unit: str) -> tuple[float, ...]:
    """Round values between two bounds, at most so many: the ticks of an axis, the levels of a reading.

    >>> even(1.5, 5.5, 9, "in")
    (1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5)
    """
    for step in (*STEPS.get(unit, DECIMAL), (high - low) or 1.0):
        first, last = np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9)
        if last - first + 1 <= most:
            break
    return tuple(float(i * step) for i in np.arange(first, last + 1))


def usual_range(house: House, name: str, other: str = "") -> tuple[float, float]:
    """From where to where an input is mapped, about the present value; ``other`` is the map's other axis.

    >>> usual_range(house_of({}), "seat"), usual_range(house_of({}), "pitch")
    ((1.5, 5.5), (4.0, 12.0))
    """
    base = axis_of(name, [1.0]).base
    wide = max(*pair(house["bearing"]), 7.25 if other.startswith("bearing") else 0.0)
    fixed = {
        "seat": (min(LEAST_BEARING, wide / 2), wide), "bearing": (3.5, 11.25), "overhang": (0.0, 30.0),
        "depth": (5.25, 11.5), "ceiling_pitch": (0.0, min(pair(house["pitch"]))), "sheathing": (0.0, 1.5),
    }  # fmt: skip
    if base in fixed:
        return fixed[base]
    now = _now(house, base)
    reach = {"pitch": 4.0, "span": 72.0, "heel": 6.0, "plate_height": 24.0, "window_head": 24.0}.get(base, 12.0)
    row, step = ROWS[base], 0.5 if base == "pitch" else 1.0
    middle = round(sum(now) / 2 / step) * step
    return max(middle - reach, row.low), min(middle + reach, row.high)


def _now(house: House, base: str) -> tuple[float, float]:
    if base == "heel" and house[base] == FOLLOWS:
        left, right = rafters_of(house).ends
        return left.heel, right.heel
    return pair(dressed_size(size_of(house))[1]) if base == "depth" else at_ends(house, base)


# --- lines -----------------------------------------------------------------------------------------------------------


def contours(x: Any, y: Any, z: Any, level: float) -> list[Line]:
    """Level lines of a grid ``z[up, across]``, straight between its lines."""
    from contourpy import contour_generator  # comes with matplotlib

    made = contour_generator(x=x, y=y, z=np.ma.masked_invalid(z), name="serial", corner_mask=False)
    return [np.array(line, float) for line in made.lines(level) if len(line) > 1]


def on_grid_lines(
    x: Any, y: Any, sets: Sequence[Sequence[Line]], side: Callable[..., Any], halvings: int = HALVINGS
) -> list[tuple[Line, ...]]:
    """Sets of lines with each point moved along its grid line to where ``side`` changes, to the last digit.

    ``side(x, y, number)`` says for places whether they lie on the high side of the level of their set.
    """
    lines = [line for one in sets for line in one]
    if not lines:
        return [() for _ in sets]
    points = np.concatenate(lines)
    number = np.repeat(np.arange(len(sets)), [sum(map(len, one)) for one in sets])
    ends = [points.copy(), points.copy()]
    for k, grid in enumerate((x, y)):
        above = np.clip(np.searchsorted(grid, points[:, k] - 1e-12), 1, len(grid) - 1)
        near = np.minimum(np.abs(points[:, k] - grid[above]), np.abs(points[:, k] - grid[above - 1]))
        free = near > 1e-9 * (grid[-1] - grid[0])
        for end, index in zip(ends, (above - 1, above), strict=True):
            end[:, k] = np.where(free, grid[index], end[:, k])
    low, high = ends
    first = side(low[:, 0], low[:, 1], number)
    moves = first != side(high[:, 0], high[:, 1], number)
    for _ in range(halvings):
        middle = (low + high) / 2
        same = (side(middle[:, 0], middle[:, 1], number) == first)[:, None]
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    points = np.where(moves[:, None], (low + high) / 2, points)
    pieces = iter(np.split(points, np.cumsum([len(line) for line in lines])[:-1]))
    return [tuple(next(pieces) for _ in one) for one in sets]


# --- the map ---------------------------------------------------------------------------------------------------------


def map_of(
    house: Job | Mapping[str, Any],
    across: str = "seat",
    up: str = "pitch",
    reading: str = "",
    heel: float | None = None,
    options: Mapping[str, Job | Mapping[str, Any]] | None = None,
    ranges: Mapping[str, tuple[float, float]] | None = None,
    lines: int = 6,
) -> Map:
    """A map of a house over two of its inputs, numbers by name as ``sweep`` takes them.

    ``reading`` (a key of ``READABLE``; the notch where seats are mapped, else the overall height) is drawn in lines.
    ``heel`` is the truss heel whose curve is wanted; where none is given, the truss's own, or the one the rafters hand
    over, before it is rounded.  Where the truss heel itself is an axis, the curve is where both planes run through.
    ``options`` are points by name (the house itself where none are given).  ``ranges`` are (from, to) by input.
    InputError for an axis of sizes, an input or a reading that is none, and a range that is none.

    >>> from rooflab.job.jobfile import example
    >>> made = map_of(example(), "seat", "pitch")
    >>> made.heel.text, made.spots[0].inside
    ('heel 8 13/16"', True)
    """
    base, given = house_of(house), dict(ranges or {})
    problems = [f"Map: {one} is a size; an axis wants numbers, such as depth." for one in (across, up) if one in SIZES]
    problems += [f"Map: {across} is both axes; two inputs are needed."] * (across == up)
    stop_on(problems)
    reading = reading or ("rafter.notch_ratio" if "seat" in (across, up) else "scissor.height")
    if reading not in READABLE or reading.endswith("heel_state"):
        raise InputError(f"Map: {reading!r} is no reading that has lines; allowed is {', '.join(READABLE)}.")
    grids = []
    for name, other, cells in ((across, up, CELLS[0]), (up, across, CELLS[1])):
        axis_of(name, [1.0])
        low, high = given.get(name) or usual_range(base, name, other)
        if not low < high:
            problems.append(f"Map: {name} from {low:g} to {high:g}: the second has to be the greater.")
        grids.append(np.linspace(low, high, cells))
    stop_on(problems)
    x, y = grids
    made = sweep(base, True, **{across: x, up: y})
    state = made.state.T

    codes = np.array([1, 3, 0])  # where all findings meet, something misses, nothing can be built

    def side(a: Any, b: Any, number: Any) -> Any:
        return bays_at(base, made.axes, a, b).state == codes[number]

    edges = [contours(x, y, (state == code).astype(float), 0.5) for code in codes]
    met, missed, refused = on_grid_lines(x, y, edges, side, HALVINGS // 2)
    levels = _levels(base, made.axes, x, y, reading, lines)
    curve = _heel(base, made.axes, x, y, heel)
    bare = Map(made.axes[0], made.axes[1], reading, levels, met, missed, refused, curve, (), made, "")
    return mark_options(bare, options or {"as it stands": base})


def mark_options(made: Map, options: Mapping[str, Job | Mapping[str, Any]]) -> Map:
    """The same map with these options on it, by name; they differ from its house in what is mapped alone."""
    marks = tuple(_spot(name, made.swept, one) for name, one in options.items())
    return replace(made, spots=marks, words=_words(made.swept, made.reading, made.levels, made.heel, marks))


def _levels(
    base: House, axes: tuple[Axis, ...], x: Any, y: Any, reading: str, most: int
) -> tuple[Level, ...]:
    """Lines of a reading; the heel is not rounded for them, so that they run smooth."""
    exact = sweep(base, False, **{axes[0].name: x, axes[1].name: y}).reading(reading).T
    if np.all(np.isnan(exact)):
        return ()
    values = even(float(np.nanmin(exact)), float(np.nanmax(exact)), most, READABLE[reading].unit)
    targets = np.array(values)

    def side(a: Any, b: Any, number: Any) -> Any:
        return bays_at(base, axes, a, b, False).reading(reading) >= targets[number]

    found = on_grid_lines(x, y, [contours(x, y, exact, value) for value in values], side)
    return tuple(Level(v, wish_value_text(reading, v), lines) for v, lines in zip(values, found, strict=True) if lines)


def _heel(base: House, axes: tuple[Axis, ...], x: Any, y: Any, heel: float | None) -> Level | None:
    """Where the rafters' heel, not rounded, is exactly the truss's."""
    owned = next((i for i, axis in enumerate(axes) if axis.base == "heel"), None)
    text = "planes run through"
    if owned is None:
        if heel is None:
            try:
                heel = rafters_of(base, False).left.heel if base["heel"] == FOLLOWS else pair(base["heel"])[0]
            except InputError:
                return None
        text = f"heel {feet_inches(heel)}"

    def off(a: Any, b: Any) -> Any:
        own = heel if owned is None else (a, b)[owned]
        return bays_at(base, axes, a, b, False).reading("rafter.heel") - own

    a, b = np.meshgrid(x, y)
    z = off(a.ravel(), b.ravel()).reshape(a.shape)
    (pieces,) = on_grid_lines(x, y, [contours(x, y, z, 0.0)], lambda a, b, number: off(a, b) >= 0)
    return Level(0.0 if heel is None else heel, text, pieces) if pieces else None


def _spot(name: str, made: Sweep, option: Job | Mapping[str, Any]) -> MapSpot:
    """An option's place; where its ends differ in an input that is mapped for both, the left end's."""
    house = option if isinstance(option, dict) and "assumptions" in option else house_of(option)
    where = [_now(house, axis.base)[axis.end == "right"] for axis in made.axes]
    inside = all(axis.values[0] <= v <= axis.values[-1] for axis, v in zip(made.axes, where, strict=True))
    try:
        state = int(sweep(house).state)
    except InputError:
        state = 0
    return MapSpot(name, where[0], where[1], inside, state)


# --- in words --------------------------------------------------------------------------------------------------------

STATES = ("cannot be built", "all limits are met", "something to ask", "something misses")


def _words(
    made: Sweep, reading: str, levels: Sequence[Level], curve: Level | None, marks: Sequence[MapSpot]
) -> str:
    """The map for those who cannot see it."""
    across, up = made.axes
    said = [f"{axis.label} runs {where} from {_ends(axis)}" for axis, where in ((across, "across"), (up, "up"))]
    state, built = made.state, made.state != 0
    total = int(np.sum(built))
    if not total:
        return f"{'; '.join(said)}. Nothing on this map can be built as drawn."
    parts = []
    for code in (1, 2, 3):
        here = state == code
        if not np.any(here):
            parts.append(f"{STATES[code]} nowhere")
            continue
        box = [_between(axis, np.flatnonzero(np.any(here, axis=1 - i))) for i, axis in enumerate(made.axes)]
        share = f"{max(100 * np.sum(here) / total, 1):.0f} %"
        parts.append(f"{STATES[code]} in {share} of what can be built ({box[0]}; {box[1]})")
    said.append(_capital("; ".join(parts)))
    if total < state.size:
        said.append(f"{100 * (1 - total / state.size):.0f} % of the map cannot be built")
    if why := _why(made):
        said.append(why)
    if curve:
        ends = [f"{across.label.lower()} {across.text(_snap(line[i][0]))} with {up.label.lower()} "
                f"{up.text(_snap(line[i][1]))}" for line in curve.lines[:1] for i in (0, -1)]  # fmt: skip
        said.append(f"{_capital(curve.text)}: from {' to '.join(ends)}")
    drawn = f"is drawn at {', '.join(level.text for level in levels)}" if levels else "has no line on this map"
    said.append(f"{_capital(reading_label(reading))} {drawn}")
    for mark in marks:
        where = f"{across.label.lower()} {across.text(mark.x)}, {up.label.lower()} {up.text(mark.y)}"
        beyond = "" if mark.inside else ", beyond the map"
        said.append(f"{_capital(mark.name)}: {where}{beyond}, {STATES[mark.state]}")
    return ". ".join(said) + "."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _snap(value: float) -> float:
    return round(float(value), 2)


def _ends(axis: Axis) -> str:
    return f"{axis.text(axis.values[0])} to {axis.text(axis.values[-1])}"


def _between(axis: Axis, rows: Any) -> str:
    low, high = (axis.text(_snap(axis.values[i])) for i in (rows[0], rows[-1]))
    return f"{axis.label.lower()} {low} to {high}"


def _why(made: Sweep) -> str:
    """What most often stands in the way, by number of cells."""
    built = made.state != 0
    tally: dict[str, int] = {}
    for key in made.findings:
        cells = int(np.sum(built & (made.verdict(key) > 1)))
        name = key.partition(".")[2].removesuffix("_right").replace("_", " ")
        tally[name] = max(tally.get(name, 0), cells)
    most = sorted((-cells, name) for name, cells in tally.items() if cells)[:3]
    return f"What asks or misses most: {', '.join(name for _, name in most)}" if most else ""
