"""Scenes of both bays together: the section and the seam in plan."""

from __future__ import annotations

from .checks import SUBFASCIA, Comparison
from .house import RafterBay, ScissorBay, pair
from .measure import feet_inches
from .members import WALL, rafter_parts, ridge_board, truss_parts
from .scene import Dim, Scene, Shape, Slope, Stroke, Title


def rise_text(slope: float) -> str:
    """The rise of a slope mark: inches in 12."""
    return f"{round(12 * abs(slope), 4):g}"


def section(rafters: RafterBay, scissor: ScissorBay, seam: Comparison) -> Scene:
    """Two half sections meeting at the ridge: the rafter bay's left half and the scissor bay's right half."""
    left, right = rafters.left, scissor.right
    assert right.ceiling is not None
    x, peak = rafters.peak
    far = right.wall.x
    parts = [*rafter_parts(rafters, "left"), *ridge_board(rafters), *truss_parts(scissor, "right")]
    strokes: list[Stroke] = [Stroke("seam", ((x, -WALL), (x, max(peak, scissor.peak[1]) + 8)), "seam")]
    carried = rafters.right.roof
    strokes.append(
        Stroke("rafter plane carried across", tuple((p, carried.at(p)) for p in (x, far + right.overhang + 6)), "plane")
    )
    out = -left.overhang - (SUBFASCIA if left.overhang else 0)
    outer = far + right.overhang + (SUBFASCIA if right.overhang else 0)
    half, level = x / 2, right.plate
    dims = [
        Dim("rafter heel", feet_inches(rafters.heel), (0.0, left.plate), (0.0, left.plate + left.heel), "left", 1),
        Dim(
            "rafter height",
            feet_inches(rafters.peak_height),
            (out, left.plate),
            (x, left.plate + rafters.peak_height),
            "left",
            2,
        ),
        Dim(
            "truss heel",
            feet_inches(scissor.reading("heel", "right").value),
            (far, level),
            (far, level + right.heel),
            "right",
            1,
        ),
        Dim("overall height", feet_inches(scissor.height), (outer, level), (x, level + scissor.height), "right", 2),
        Dim("rafter run", feet_inches(left.run), (0.0, -WALL), (x, -WALL), "bottom", 1),
        Dim("truss run", feet_inches(right.run), (x, -WALL), (far, -WALL), "bottom", 1),
        Dim(
            "span", f"{feet_inches(rafters.gable.span)} out to out of framing", (0.0, -WALL), (far, -WALL), "bottom", 2
        ),
        Dim(
            "ceiling rise",
            f"rise {feet_inches(scissor.ceiling_rise)}",
            (x, level),
            (x, level + scissor.ceiling_rise),
            "inside",
        ),
    ]
    if left.overhang:
        dims += [
            Dim("overhang", feet_inches(left.overhang), (-left.overhang, -WALL), (0.0, -WALL), "bottom", 1),
            Dim(
                "truss overhang", feet_inches(right.overhang), (far, -WALL), (far + right.overhang, -WALL), "bottom", 1
            ),
        ]
    slopes = [
        Slope("roof pitch", rise_text(left.roof.slope), (half, left.roof.at(half) + 2), left.roof.slope, True),
        Slope(
            "truss roof pitch",
            rise_text(right.roof.slope),
            (far - half, right.roof.at(far - half) + 2),
            right.roof.slope,
            True,
        ),
    ]
    where = far - 0.42 * right.run
    slopes.append(
        Slope(
            "ceiling pitch",
            rise_text(right.ceiling.slope),
            (where, right.ceiling.at(where)),
            right.ceiling.slope or -1e-9,
            False,
        )
    )
    stock = rafters.lumber or f"{feet_inches(rafters.depth)} deep"
    return Scene(
        "One roof plane: rafter bay on the left, scissor bay on the right",
        f"Half sections meeting at the ridge. {seam.sentence} Rafter heel {feet_inches(rafters.heel)}, truss heel {feet_inches(right.heel)}, "
        f"span {feet_inches(rafters.gable.span)}, overall height {feet_inches(scissor.height)}, ceiling rise {feet_inches(scissor.ceiling_rise)}.",
        tuple(p for p in parts if isinstance(p, Shape)),
        (*(p for p in parts if isinstance(p, Stroke)), *strokes),
        tuple(dims),
        tuple(slopes),
        (
            Title("rafter bay", f"RAFTER BAY  {stock}, seat {feet_inches(pair(rafters.seat)[0])}, cut on site", "left"),
            Title("scissor bay", f"SCISSOR BAY  {scissor.chord} chords; dotted webs by the truss designer", "right"),
        ),
        ("span", "roof pitch", "ceiling pitch", "rafter heel", "truss heel", "rafter height", "overall height"),
    )


EVERY = 48.0  # where 16 and 24 in spacings meet, in


def seam_plan(rafter_spacing: float = 16.0, truss_spacing: float = 24.0) -> Scene:
    """The seam seen from above: the last rafters, the first trusses, roof panels run across."""
    reach, deep, row = 96.0, 64.0, 16.0
    shapes: list[Shape] = []
    strokes: list[Stroke] = []
    for i, start in enumerate((-48.0, 0.0, -48.0, 0.0)):
        y = i * row
        for x in (start - 96, start, start + 96):
            x0, x1 = max(x, -reach), min(x + 96, reach + 24)
            if x0 < x1:
                strokes.append(Stroke("panel", ((x0, y), (x1, y), (x1, y + row), (x0, y + row), (x0, y)), "panel"))
    count = int(reach // rafter_spacing)
    for i in range(count + 1):
        x = -i * rafter_spacing
        shapes.append(
            Shape(f"rafter {i}", ((x - 0.75, -6), (x + 0.75, -6), (x + 0.75, deep + 6), (x - 0.75, deep + 6)), "rafter")
        )
    trusses = [truss_spacing * (i + 1) for i in range(int((reach + 24) // truss_spacing))]
    for i, x in enumerate(trusses):
        shapes.append(
            Shape(f"truss {i}", ((x - 0.75, -6), (x + 0.75, -6), (x + 0.75, deep + 6), (x - 0.75, deep + 6)), "truss")
        )
    strokes.append(Stroke("seam", ((truss_spacing / 2, -10), (truss_spacing / 2, deep + 10)), "seam"))
    dims = (
        Dim("rafter spacing", feet_inches(rafter_spacing), (-rafter_spacing, -6), (0, -6), "bottom", 1),
        Dim("across the seam", f"{feet_inches(truss_spacing)} at the seam", (0, -6), (truss_spacing, -6), "bottom", 1),
        Dim("truss spacing", feet_inches(truss_spacing), (2 * truss_spacing, -6), (3 * truss_spacing, -6), "bottom", 1),
        Dim("every 48", f"both spacings meet every {feet_inches(EVERY)}", (0, -6), (EVERY, -6), "bottom", 2),
    )
    return Scene(
        "The seam in plan: rafters on the left, trusses on the right",
        f"The last rafter and the first truss are {feet_inches(truss_spacing)} apart, centre to centre. Roof panels run across the seam, "
        "their ends staggered on framing; the same sheathing on both sides.",
        tuple(shapes),
        tuple(strokes),
        dims,
        (),
        (
            Title("rafters", "RAFTERS  panels run across the seam", "left"),
            Title("trusses", "TRUSSES  same sheathing both sides", "right"),
        ),
        ("rafter spacing", "truss spacing"),
    )
