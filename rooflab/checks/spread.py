"""How far the plates of a rafter pair move out and its ridge comes down: what its tie lets it do.

Statics and elastic bending of a pair with equal ends under one line load, on rollers at the plates.  Left out: slip of
nails, creep, the stiffness of walls and sheathing.  An early check for a picture: the engineer decides.

Units: in, lb, psi; line loads plf of horizontal run.
"""

from __future__ import annotations

from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.house.bays import RafterBay

from .strength import inertia
from .thrust import drop_from_spread, rise_to_peak, thrust, tie_factor


class PairMoves(NamedTuple):
    """A rafter of ``run`` and ``slope`` with its tie ``reach`` in from the foot, and how it moves.

    ``stretched`` and ``bent`` are how far out each plate goes by the tie's stretch and the rafter's bending.
    """

    run: float
    slope: float
    stretched: float
    bent: float = 0.0
    reach: float = 0.0
    load: float = 0.0  # lb an inch of level run
    stiff: float = 1.0  # E I, lb in²

    @property
    def spread(self) -> float:
        """How far out each plate moves, in."""
        return self.stretched + self.bent

    @property
    def drop(self) -> float:
        """How far down the ridge comes, in."""
        return float(drop_from_spread(self.spread, self.slope))

    def at(self, x: float) -> tuple[float, float]:
        """How far a point of the rafter moves out and down, in, ``x`` level in from the foot (negative: in the tail).

        The tie's stretch turns the rafter; its bending leaves the part from tie to ridge between its ends, which
        come straight down, and swings the foot out.

        >>> PairMoves(156.0, 2 / 3, 1.0).at(0.0), PairMoves(156.0, 2 / 3, 1.0).at(156.0)
        ((1.0, 0.0), (0.0, 1.5))
        """
        part = x / self.run
        sinks = float(drop_from_spread(1.0, self.slope))
        out, down = self.stretched * (1 - part), self.stretched * sinks * part + self.bent * sinks
        sag = _square_sag(self, x) / float(geo.stretch(self.slope))
        return out - sag * self.slope, down + sag


def _square_sag(pair: PairMoves, x: float) -> float:
    """Sag square to the rafter under its line from tie to ridge, in; negative where the foot swings up and out."""
    if not pair.bent:
        return 0.0
    t, w = pair.reach, pair.load
    a, (low, bends) = pair.run - t, _foot(pair.run, t, w)
    softer = (1 + pair.slope * pair.slope) / pair.stiff
    if x > t:  # a simple span with a moment at the tie
        z = x - t
        return softer * z * (a - z) * (bends * (2 * a - z) / (6 * a) + w * (a * a + a * z - z * z) / 24)
    own, u = max(x, 0.0), t - x
    twice = w * pair.run * own**3 / 6 - w * own**4 / 24  # moment w L x - w x² / 2, summed up twice
    at_tie, once = w * pair.run * t**3 / 6 - w * t**4 / 24, w * pair.run * t * t / 2 - w * t**3 / 6
    return -softer * (low * u + twice - at_tie + u * once)


def _foot(run: float, reach: float, load: float) -> tuple[float, float]:
    """E I times the turn at the tie of the part above it, and the moment at the tie."""
    a, bends = run - reach, load * reach * (run - reach / 2)
    return bends * a / 3 + load * a**3 / 24, bends


def plates_give(bay: RafterBay, by: float = 1.0) -> PairMoves:
    """The moves of a pair that nothing ties, were each plate to give ``by`` inches: no load says how far it goes."""
    return PairMoves(bay.left.run, float(rise_to_peak(bay)) / bay.left.run, by)


def pair_moves(bay: RafterBay, load: float, height: float, modulus: float) -> PairMoves | None:
    """The moves of a pair under ``load`` (plf) whose tie, a member like the rafter, stands ``height`` over its plates.

    None for ends that differ.  A foot swings out as the free end of a beam that overhangs the tie, with the plate's
    plumb force up at its end (any table of beams), times m over k(m); the tie stretches by T (l - x) / (E A).

    >>> from rooflab import Gable
    >>> made = pair_moves(RafterBay(Gable("26'", 8, "5 1/2"), "2x10"), 51.36, 0, 1.6e6)
    >>> round(made.spread, 4), round(made.drop, 4)  # 501 lb on 156 in of a 2x10, and 1 1/2 times that
    (0.0035, 0.0053)
    """
    if not bay.equal_ends:
        return None
    run, rise = bay.left.run, float(rise_to_peak(bay))
    m, w, area = rise / run, load / 12, bay.thickness * bay.depth
    reach, stiff = height / m, modulus * float(inertia(bay.thickness, bay.depth))
    pull = float(thrust(load, run, run, rise) * tie_factor(height, rise))
    turn, _ = _foot(run, reach, w)
    tip = (turn * reach + w * run * reach**3 / 3 - w * reach**4 / 8) / stiff
    return PairMoves(
        run, m, pull * run / (modulus * area), tip * m * float(geo.stretch(m)) if height else 0.0, reach, w, stiff
    )
