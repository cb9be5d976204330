"""Readings of a wall jog: the moved wall's, whose formulas hang on the way that was chosen, and its truss's."""

from __future__ import annotations

from dataclasses import dataclass

from rooflab.base.findings import Finding
from rooflab.base.measure import pitch_text
from rooflab.base.rows import Reading, Worked, printed
from rooflab.house.bays import ScissorBay
from rooflab.house.jog import PLATES, WallJog, Way, blocking_from, header_load
from rooflab.house.planes import End

SHARE = 10.0  # lb/ft² of roof on plan, for the header's load


@dataclass(frozen=True)
class Standing:
    """A jog as it stands: long and short truss, the way chosen and the truss so framed, and its limits."""

    made: WallJog
    way: Way
    bay: ScissorBay
    found: tuple[Finding, ...]

    @property
    def near(self) -> End:
        """The end of that truss at the jog."""
        return self.bay.left if self.made.end == "left" else self.bay.right


class Lengths:
    """Readings of a jog whose formula hangs on the way that was chosen."""

    def __init__(self, s: Standing) -> None:
        self.s = s
        self.symbols = {**s.made.symbols(), "L": abs(s.bay.right.wall.x - s.bay.left.wall.x), "w": SHARE}
        self.symbols["apex"] = s.near.apex

    def worked(self, name: str) -> Worked:
        if name in {row.name for row in self.s.made.rows()}:
            return self.s.made.reading(name)
        found: Worked = getattr(self, f"_{name}")()
        return found

    def _row(self, name: str, label: str, formula: str, value: float, unit: str = "in") -> Worked:
        row = Reading(name, label, unit, "jog", formula, lambda: value, "")
        return row.work(self.symbols)

    def _plate(self) -> Worked:
        label, way = "Plate above the main plate", self.s.way
        if way.name == "move plate":
            return self.s.made.reading("rise")._replace(label=label)
        if way.name == "same heel":
            return self._row("plate", label, "m·j", way.plate)
        return Worked("plate", label, 0.0, "in", "left as it was", "")

    def _this_heel(self) -> Worked:
        label, way = "Heel at this wall", self.s.way
        if way.name == "move plate":
            return self.s.made.reading("heel")
        formula = "heel + m·j" if way.name in ("block up", "new ceiling") else "heel"
        return self._row("this_heel", label, formula, way.heel)

    def _this_stud(self) -> Worked:
        plate, way = self.s.made.floor - PLATES, self.s.way
        if way.name == "move plate":
            return self.s.made.reading("stud")
        label = "Stud of the moved wall"
        if way.name == "beam":
            return Worked("this_stud", label, "partition", "", "stops clear of the chords, and carries nothing", "")
        formula = "stud + m·j" if way.name == "same heel" else "stud"
        return self._row("this_stud", label, formula, plate + way.plate)

    def _overhang(self) -> Worked:
        grows = self.s.made.eave == "straight" and self.s.way.name != "beam"
        return self._row("overhang", "Overhang", "o + j" if grows else "o", self.s.near.overhang)

    def _fascia(self) -> Worked:
        if self.s.way.name == "beam":
            return Worked("fascia", "Fascia of the moved wall", 0.0, "in", "the long trusses' tails", "")
        return self.s.made.reading("fascia_step")

    def _header(self) -> Worked:
        load = header_load(SHARE, self.symbols["L"])
        label = f"Load on a header or girder, for each {SHARE:g} lb/ft² of roof"
        return self._row("header", label, "w·L ÷ 12 ÷ 2", load, "lb/ft")

    def _peak(self) -> Worked:
        label = "Peak above this plate"
        near = self.s.near
        row = Reading("peak", label, "in", "jog", "heel + m·run", lambda heel, m, run: heel + m * run, "heel m run")
        return row.work({"heel": near.heel, "m": abs(near.roof.slope), "run": near.run})

    def _ceiling(self) -> Worked:
        label, way = "Step in the ceiling plane", self.s.way
        if way.name == "same heel":
            return self.s.made.reading("ceiling_break")._replace(label=label)
        if way.name == "new ceiling":
            return self._row("ceiling", label, "−c·(j + start_new − start)", way.ceiling_break)
        return Worked("ceiling", label, 0.0, "in", "one ceiling plane", "")

    def _stand_off(self) -> Worked:
        label, way = "Ceiling plane above this plate", self.s.way
        if way.name == "block up":
            return self.s.made.reading("rise")._replace(label=label)
        return Worked("stand_off", label, 0.0, "in", "the chord sits on its plate", "")

    def _blocking(self) -> Worked:
        label, limits = "Blocking once set in more than", self.limits
        if limits is None:
            return Worked("blocking", label, "never", "", "the heel does not grow: m = c", "")
        formula = "(9.25 − heel − c·(start − start_new)) ÷ (m − c)"
        if limits[0] <= 0:
            return self._row("blocking", label, formula, limits[0])._replace(value="at once", unit="")
        return self._row("blocking", label, formula, limits[0])

    def _apex(self) -> Worked:
        near = self.s.near
        return self._row("apex", "Ceiling apex from the ridge", "apex − run", near.apex - near.run)

    def _right_pitch(self) -> Worked:
        line = self.s.bay.right.ceiling
        assert line is not None
        formula = "(ceiling at the apex − right plate) ÷ level distance"
        return Worked("right_pitch", "Right ceiling pitch", pitch_text(round(12 * abs(line.slope), 2)), "", formula, "")

    @property
    def limits(self) -> tuple[float, float] | None:
        made = self.s.made
        return blocking_from(made.long, made.new.bearing, made.end)


class Truss:
    """Readings of the truss at the moved wall."""

    def __init__(self, s: Standing) -> None:
        self.s = s

    def worked(self, name: str) -> Worked:
        return self.s.bay.reading(name, self.s.made.end)


class Family:
    """A family of readings with their lengths as text: a short one reads in sixteenths, as on a tape."""

    def __init__(self, family: Lengths | Truss) -> None:
        self.family = family

    def worked(self, name: str) -> Worked:
        w = self.family.worked(name)
        return w._replace(value=w.text) if w.unit == "in" else w

    def text(self, name: str) -> str:
        return printed(self.worked(name))
