"""The findings of many bays at once, as arrays: limits, the rafters' early checks, ties, insulation over the plate.

The bays are the usual ones with arrays for numbers (``sweeps``); every limit is the function that ``findings`` asks.
"""

from __future__ import annotations

from functools import reduce
from typing import Any

import numpy as np

from rooflab.base.findings import ASK, MEETS, MISSES, NO_LIMIT
from rooflab.checks.assumptions import Assumptions
from rooflab.checks.grades import grade_by_name, is_graded
from rooflab.checks.limits import LIMITS, at_least, limit_symbols, soffit_clears
from rooflab.checks.loads import Loads
from rooflab.checks.strength import (
    RATIOS,
    capacity_check,
    rafter_symbols,
    sag_over,
    shear_check,
    slope_reach,
    work_out,
)
from rooflab.checks.thrust import low_enough, needs_ridge_beam, rise_to_peak, tie_use
from rooflab.checks.warmth import LEAST_AIR, over_plate, over_plate_check, reduced_r
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Bay, lower, pick
from rooflab.house.seam import soffit_of

CHECKS = dict(
    zip(RATIOS, ("rafter_bending", "rafter_shear", "rafter_bearing", "rafter_deflection"), strict=True)
)  # fmt: skip


def equal_ends(bay: Bay) -> Any:
    """Where the right end is the left one in a mirror."""
    one, other = bay.symbols("left"), bay.symbols("right")
    same = [abs(one[name] - other[name]) < 1e-9 for name in one if one[name] is not other[name]]
    return reduce(np.logical_and, same, True)


def verdict_codes(rafters: RafterBay, scissor: ScissorBay, assumptions: Assumptions) -> dict[str, Any]:
    """Verdicts as places in ``limits.VERDICTS`` by bay and finding; "_right" where the ends differ.

    What ``early.ALWAYS`` names is asked whatever the numbers and left out; insulation is held against the house only
    where an R was given.
    """
    made: dict[str, Any] = {}
    for bay in (rafters, scissor):
        same = equal_ends(bay)
        made |= {f"{bay.kind}.{name}": codes for name, codes in _end_codes(bay, assumptions, "left").items()}
        if not np.all(same):
            made |= {
                f"{bay.kind}.{name}_right": pick(same, NO_LIMIT, codes)
                for name, codes in _end_codes(bay, assumptions, "right").items()
            }
        made[f"{bay.kind}.air_space"] = at_least(LEAST_AIR, LEAST_AIR).verdict
    made |= _soffit_codes(rafters, scissor, made)
    bends = np.maximum(made.pop("rafter.tie_bending", MEETS), made.pop("rafter.tie_bending_right", NO_LIMIT))
    return made | {f"rafter.{name}": code for name, code in _tie_codes(rafters, assumptions.tie_height, bends).items()}


def _tie_codes(rafters: Any, tie: float | None, bends: Any) -> dict[str, Any]:
    """Verdicts on ridge and tie; ``bends`` are those of the rafters' bending under it.

    A tie that would not stand below the ridge is none.
    """
    rise = rise_to_peak(rafters)
    tied = tie is not None and tie < rise
    made = {"ridge_beam": np.where(needs_ridge_beam(lower(*rafters.gable.slopes), tied), MISSES, MEETS)}
    if tie is None:
        return made
    made["tie_height"] = np.where(tied, np.where(low_enough(tie, rise), bends, MISSES), NO_LIMIT)
    return made | ({"tie_bending": np.where(tied, bends, NO_LIMIT)} if tie else {})


def _soffit_codes(rafters: RafterBay, scissor: ScissorBay, own: dict[str, Any]) -> dict[str, Any]:
    """Verdicts on the soffit lines: where both bays share one, the level cut made, that line's; else each bay's own."""
    same, found = equal_ends(rafters) & equal_ends(scissor), dict[str, Any]()
    for suffix, end in (("", "left"), *([] if np.all(same) else [("_right", "right")])):
        one = soffit_of(rafters, scissor, end)
        tails = (getattr(rafters, end).overhang != 0) & (getattr(scissor, end).overhang != 0)
        shared, code = tails & (one.leaves > 0), soffit_clears(one.height, rafters.gable.window_head).verdict
        for bay in (rafters, scissor):
            alone = own[f"{bay.kind}.soffit_line"]
            if suffix and f"{bay.kind}.soffit_line_right" in own:
                alone = pick(equal_ends(bay), alone, own[f"{bay.kind}.soffit_line_right"])
            codes = pick(np.asarray(shared), code, alone)
            found[f"{bay.kind}.soffit_line{suffix}"] = pick(same, NO_LIMIT, codes) if suffix else codes
    return found


def _end_codes(bay: Any, assumptions: Assumptions, end: str) -> dict[str, Any]:
    symbols = limit_symbols(bay, end)
    made = {row.name: row.hold(symbols).verdict for row in LIMITS if row.bay == bay.kind}
    if bay.kind == "rafter":
        made |= _strength_codes(bay, assumptions, end)
    if assumptions.r_required is not None:
        enough = reduced_r(assumptions.r, assumptions.edition)
        v = over_plate(bay, enough, assumptions.per_inch, end=end).values
        held = over_plate_check(
            v["clear_outside"], v["heel"], v["m"], enough, v["per_inch"], v["air"], bay.kind == "scissor"
        )
        asked = held.verdict == ASK  # over a sloped ceiling, whatever the numbers
        made["over_plate"] = pick(asked, NO_LIMIT, held.verdict)
    return made


# --- the rafter's strength -------------------------------------------------------------------------------------------


def rafter_strength(bay: Any, assumptions: Assumptions, end: str = "left") -> dict[str, Any]:
    """The largest demand over capacity of each check over all load cases, and of all checks ("used").

    Beside them "shear_whole" of the case that shear is largest in, "tie_most" and "tie_verdict" of the bending under a
    raised tie (0 without one), and "known": where published values hold.
    """
    row = grade_by_name(assumptions.grade)
    over = sag_over(assumptions.ceiling, bay.symbols(end)["m"])
    symbols = rafter_symbols(bay, row, assumptions.spacing, over, end, assumptions.plate)
    made: dict[str, Any] = {}
    loads, m, tie = assumptions.loads, symbols["m"], assumptions.tie_height
    far = bay.symbols("right" if end == "left" else "left")["m"]
    beyond = loads.every_case(far, snow=_snow(loads, far)) if tie else ()
    bends: dict[str, Any] = {"tie_verdict": NO_LIMIT, "tie_most": 0.0}
    for i, case in enumerate(loads.every_case(m, slope_reach(bay, end), _snow(loads, m))):
        v = work_out({**symbols, "dead": case.dead, "live": case.live, "C_D": case.duration})
        if tie:
            use = tie_use(bay, end, case, beyond[i].live, v["bending_ratio"], tie)
            same, more = use.verdict == bends["tie_verdict"], use.most > bends["tie_most"]
            worse = (tie < rise_to_peak(bay)) & ((use.verdict > bends["tie_verdict"]) | (same & more))
            bends = {
                name: np.where(worse, new, bends[name])
                for name, new in (("tie_verdict", use.verdict), ("tie_most", use.most))
            }
        if not made:
            made = {name: v[name] for name in (*RATIOS, "shear_whole")}
            continue
        more = v["shear_ratio"] > made["shear_ratio"]
        made["shear_whole"] = np.where(more, v["shear_whole"], made["shear_whole"])
        made |= {name: np.where(v[name] > made[name], v[name], made[name]) for name in RATIOS}
    known = _each(is_graded, bay.thickness, bay.depth).astype(bool)
    made |= bends
    made |= {name: np.where(known, made[name], np.nan) for name in (*RATIOS, "shear_whole", "tie_most")}
    return made | {"known": known, "used": reduce(np.maximum, (made[name] for name in (*RATIOS, "tie_most")))}


def _strength_codes(bay: Any, assumptions: Assumptions, end: str) -> dict[str, Any]:
    made = rafter_strength(bay, assumptions, end)
    known = made["known"]
    codes = {name: capacity_check(made[ratio]).verdict for ratio, name in CHECKS.items()}
    codes["rafter_shear"] = shear_check(made["shear_ratio"], made["shear_whole"]).verdict
    found = {name: np.where(known, code, NO_LIMIT) for name, code in codes.items()}
    if assumptions.tie_height:
        found["tie_bending"] = np.where(known, made["tie_verdict"], ASK)
    return found if end == "right" else found | {"strength": np.where(known, NO_LIMIT, ASK)}


def _snow(loads: Loads, slope: Any) -> Any:
    """Roof snow slope by slope, as one rafter has it: an angle of many slopes at once may differ in its last digit."""
    if loads.snow is not None or not loads.ground_snow:
        return loads.snow or 0.0
    slopes, where = np.unique(np.atleast_1d(slope), return_inverse=True)
    return np.array([float(loads.snow_at(m)) for m in slopes.tolist()])[where].reshape(np.shape(slope))


def _each(function: Any, *values: Any) -> Any:
    """A function of single numbers over small arrays."""
    return np.vectorize(function)(*values)
