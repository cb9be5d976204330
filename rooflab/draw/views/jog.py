"""Scenes of a wall jog: both trusses laid over each other, the jog in plan, a gable end and a ceiling finish."""

from __future__ import annotations

from rooflab.base import geometry as geo
from rooflab.base.lumber import dressed_size
from rooflab.base.measure import LEVEL, feet_inches
from rooflab.draw.members import Part, chord_outlines, parts_drawing, wall
from rooflab.draw.scene import Dim, Point, Scene, Shape, Slope, Stroke, Title, box, cut
from rooflab.house.bays import ScissorBay
from rooflab.house.jog import GableEnd, WallJog, Way, finish, gable_end
from rooflab.house.planes import End, Line

from .parts import move, rectangle, rectangle_shape, rise_text

JOG_TEXT = 16.0  # how far a section shows the walls below the lowest plate, in
BEAM, GAP = 11.25, 1.0  # depth of the beam that is drawn, and what a wall that carries nothing keeps clear, in
STRETCH, SPACING, BESIDE, BEYOND = 96.0, 24.0, 62.0, 14.0  # of the plan: set-in wall, trusses, main walls, ridge, in


def _loop(points: tuple[Point, ...]) -> tuple[Point, ...]:
    return (*points, points[0])


def _standing(made: WallJog, way: Way) -> ScissorBay:
    """The truss of a way; the long one where nothing moves, the short one where the way has none."""
    if abs(made.by) < LEVEL and abs(made.rise) < LEVEL:
        return made.long
    return way.bay or made.short


# --- both sections ---------------------------------------------------------------------------------------------------


def _walls(made: WallJog, way: Way, low: float) -> list[Part]:
    """The moved wall, the other one, and the main wall dashed; with a beam, that on the main wall's line."""
    bay, old, new = _standing(made, way), made.old, made.new
    other = bay.right if made.end == "left" else bay.left
    parts = wall(other, "far wall", other.plate - low)
    if way.name == "beam":
        x0, x1 = old.wall.x, old.wall.inside(old.bearing)
        parts.append(rectangle_shape("beam", x0, old.plate - BEAM, x1, old.plate, "board"))
        top = min(made.rise, 0.0) + old.plate - GAP if made.by < 0 else old.plate + made.rise - GAP
        x0, x1 = new.wall.x, new.wall.inside(new.bearing)
        return [*parts, rectangle_shape("moved wall stud", x0, low, x1, top, "wall")]
    mine: End = getattr(bay, made.end)
    parts += wall(mine, "moved wall", mine.plate - low)
    if way.stand_off > LEVEL:
        assert old.ceiling is not None
        x0, x1 = mine.wall.x, mine.wall.inside(mine.bearing)
        tops = ((x, max(old.ceiling.at(x), mine.plate)) for x in (x1, x0))
        parts.append(Shape("block", ((x0, mine.plate), (x1, mine.plate), *tops), "offcut"))
    if bay is made.long:
        return parts
    x0, x1 = old.wall.x, old.wall.inside(old.bearing)
    return [*parts, Stroke("main wall", _loop(rectangle(x0, low, x1, old.plate)), "long line")]


def _both_trusses(made: WallJog, way: Way) -> list[Part]:
    """Chords of the short truss as members, those of the long one dashed over them."""
    bay = _standing(made, way)
    parts: list[Part] = []
    for side in ("left", "right"):
        top, bottom, _ = chord_outlines(bay, side)
        parts += [Shape(f"{side} bottom chord", bottom, "truss"), Shape(f"{side} top chord", top, "truss")]
    if bay is made.long:
        return parts
    for name, points in zip(("top chord", "bottom chord"), chord_outlines(made.long, made.end), strict=False):
        parts.append(Stroke(f"long {name}", _loop(points), "long line"))
    return parts


def jog_sections(made: WallJog, way: Way) -> Scene:
    """The short truss as one way frames it, the long truss dashed over it, whole, with heels, plates and runs."""
    bay, old = _standing(made, way), made.old
    mine: End = getattr(bay, made.end)
    low = min(old.plate, mine.plate, made.new.plate, *(end.plate for end in bay.ends)) - JOG_TEXT
    shapes, strokes = parts_drawing([*_walls(made, way, low), *_both_trusses(made, way)])
    dims, slopes = _jog_dims(made, way, low), _jog_slopes(bay)
    optional = {"ceiling rise", "short run", "far run", *(d.name for d in dims if d.name.endswith("overhang"))}
    must = dict.fromkeys(one for one in [*(d.name for d in dims), *(s.name for s in slopes)] if one not in optional)
    face = f"ceiling line from the {made.long.ceiling_from} face"
    return Scene(
        f"A wall {made.move_words}: the short truss (solid) under the long one's planes (dashed)",
        f"{way.title}: {way.sentence} Long heel {feet_inches(old.heel)}, span {feet_inches(made.gable.span)}, "
        f"wall {made.move_words}; {face}.",
        shapes,
        strokes,
        dims,
        slopes,
        (
            Title("way", _section_title(made, way), "left"),
            Title("face", face, "right"),
        ),
        tuple(must),
    )


def _section_title(made: WallJog, way: Way) -> str:
    """What a section shows, in a line above it."""
    if _standing(made, way) is not made.long:
        return f"{way.title.upper()}, long truss dashed"
    return way.title.upper() if way.name == "beam" else "THE LONG TRUSS"


def _jog_dims(made: WallJog, way: Way, low: float) -> tuple[Dim, ...]:
    bay, old = _standing(made, way), made.old
    mine: End = getattr(bay, made.end)
    other = bay.right if made.end == "left" else bay.left
    near, far, x, top = made.end, other.wall.side, bay.peak[0], bay.peak[1]

    def level(name: str, x0: float, x1: float, row: int, word: str = "") -> Dim:
        text = f"{word} {feet_inches(abs(x1 - x0))}".strip()
        return Dim(name, text, (min(x0, x1), low), (max(x0, x1), low), "bottom", row)

    def plumb(name: str, end: End, row: int, text: str, side: str) -> Dim:
        return Dim(name, text, (end.wall.x, end.plate), (end.wall.x, end.plate + end.heel), side, row)

    word = "heel" if bay is made.long else "short heel"
    dims = [plumb(word, mine, 1, f"{word.removesuffix(' heel')} {feet_inches(mine.heel)}", near)]
    if bay is not made.long and feet_inches(other.heel) != feet_inches(old.heel):
        dims.append(plumb("long heel", old, 2, f"long {feet_inches(old.heel)}", near))
    if abs(way.plate) >= LEVEL:
        said = f"plate {'up' if way.plate > 0 else 'down'} {feet_inches(abs(way.plate))}"
        dims.append(Dim("plate", said, (mine.wall.x, old.plate), (mine.wall.x, mine.plate), near, 1))
    if way.stand_off >= LEVEL:
        ends = (mine.wall.x, mine.plate), (mine.wall.x, mine.plate + way.stand_off)
        dims.append(Dim("stand off", f"off the plate {feet_inches(way.stand_off)}", *ends, near, 2))
    dims.append(plumb("far heel", other, 1, f"heel {feet_inches(other.heel)}", far))
    height = Dim("height", f"{feet_inches(top - other.plate)} overall", (other.wall.x, other.plate), (x, top), far, 2)
    dims.append(height)
    face = made.new.wall.x
    if abs(made.by) >= LEVEL:
        dims.append(level("jog", old.wall.x, face, 1, made.move_words.rpartition(" ")[0]))
    dims += [level("short run", face, x, 1), level("far run", x, other.wall.x, 1)]
    if other.overhang:
        dims.append(level("far overhang", other.wall.x, other.wall.inside(-other.overhang), 1))
    wide = f"{feet_inches(made.gable.span)} out to out of framing"
    dims.append(level("span", old.wall.x, other.wall.x, 2)._replace(text=wide))
    apex, floor = mine.wall.inside(mine.apex), min(end.plate for end in bay.ends)
    if bay.ceiling_rise > LEVEL:
        said = f"rise {feet_inches(bay.ceiling_rise)}"
        dims.append(Dim("ceiling rise", said, (apex, floor), (apex, floor + bay.ceiling_rise), "inside"))
    return tuple(dims)


def _jog_slopes(bay: ScissorBay) -> tuple[Slope, ...]:
    marks = []
    for end in bay.ends:
        side = end.wall.side
        assert end.ceiling is not None
        marks.append(_mark(f"{side} roof pitch", end.roof, end.wall.x, bay.peak[0], True))
        inner, further = (end.wall.inside(part * end.apex) for part in (0.1, 0.6))  # the middle is the rise's
        marks.append(_mark(f"{side} ceiling pitch", end.ceiling, inner, further, False))
    return tuple(marks)


def _mark(name: str, line: Line, x0: float, x1: float, above: bool) -> Slope:
    return Slope(name, rise_text(line.slope), (x0, line.at(x0)), line.slope, above, (x1, line.at(x1)))


def heels(made: WallJog, way: Way) -> Scene:
    """Both heels at a larger scale: the moved wall's, and the main wall's dashed."""
    bay, old, new = _standing(made, way), made.old, made.new
    mine: End = getattr(bay, made.end)
    faces = [end.wall.inside(d) for end in (old, new) for d in (0.0, end.bearing)]
    x0, x1 = min(faces) - 5.0, max(faces) + 8.0
    low = min(old.plate, mine.plate) - 7.0
    high = max(line.at(x) for line in (old.roof,) for x in (x0, x1)) + 1.0
    shapes, strokes = parts_drawing(cut([*_walls(made, way, low), *_both_trusses(made, way)], box(x0, low, x1, high)))
    said, dims = ("heel", []) if bay is made.long else ("short heel", [_long_heel(old, made.end)])
    dims += [Dim(said, feet_inches(mine.heel), (mine.wall.x, mine.plate), (mine.wall.x, mine.plate + mine.heel),
                made.end, 1)]  # fmt: skip
    if abs(way.plate) >= LEVEL:
        ends = (mine.wall.x, old.plate), (mine.wall.x, mine.plate)
        dims.append(Dim("plate", feet_inches(abs(way.plate)), *ends, made.end, 1))
    return Scene(
        "Heels of the short and the long truss",
        f"{way.title}. {said.capitalize()} {feet_inches(mine.heel)}, long heel {feet_inches(old.heel)}.",
        shapes,
        strokes,
        tuple(dims),
        (),
        (Title("heels", way.title if bay is made.long else "long truss dashed", "left"),),
        (said,),
    )


def _long_heel(old: End, side: str) -> Dim:
    """The long truss's heel, beyond the short one's."""
    ends = (old.wall.x, old.plate), (old.wall.x, old.plate + old.heel)
    return Dim("long heel", f"long {feet_inches(old.heel)}", *ends, side, 2)


# --- the jog in plan -------------------------------------------------------------------------------------------------


def plan(made: WallJog) -> Scene:
    """The jog seen from above: walls, trusses at 24 in, fascia and ridge, outside at the bottom."""
    old, new, by = made.old, made.new, made.by
    run, main, moved = old.run, (0.0, old.bearing), (by, by + new.bearing)
    left, right = -BESIDE, STRETCH + BESIDE
    inside = by < 0  # return walls belong to the part that stands out
    first = (0.0, old.bearing) if inside else (-old.bearing, 0.0)
    posts = [first, (STRETCH - first[1], STRETCH - first[0])]
    parts: list[Part] = [
        rectangle_shape("main wall", left, main[0], min(0.0, posts[0][0]), main[1], "wall"),
        rectangle_shape("main wall beyond", max(STRETCH, posts[1][1]), main[0], right, main[1], "wall"),
        rectangle_shape("moved wall", posts[0][1], moved[0], posts[1][0], moved[1], "wall"),
    ]
    near, deep = min(0.0, by), max(main[1], moved[1])
    parts += [rectangle_shape("return wall", x0, near, x1, deep, "wall") for x0, x1 in posts]
    tails = -old.overhang, by - new.overhang
    rows = (("long truss", "rafter in plan", _long_at(inside), tails[0]),
            ("short truss", "truss in plan", _short_at(inside), tails[1]))  # fmt: skip
    for name, style, places, tail in rows:
        parts += [rectangle_shape(name, x - 0.75, tail, x + 0.75, run + BEYOND, style) for x in places]
    steps = ((left, 0), (0.0, 0), (0.0, 1), (STRETCH, 1), (STRETCH, 0), (right, 0))
    parts.append(Stroke("fascia", tuple(dict.fromkeys((x, tails[which]) for x, which in steps)), "panel"))
    parts.append(Stroke("ridge", ((left, run), (right, run)), "seam"))
    shapes, strokes = parts_drawing(parts)
    dims = [
        Dim("moved wall", f"moved wall {feet_inches(STRETCH)}, as an example", (0.0, min(tails)), (STRETCH, min(tails)),
            "bottom"),
        Dim("run", f"run {feet_inches(run)}", (left, 0.0), (left, run), "left", 2),
        Dim("short run", f"run {feet_inches(run - by)}", (right, by), (right, run), "right", 2),
    ]  # fmt: skip
    if abs(by) >= LEVEL:
        dims.append(Dim("jog", made.move_words, (right, 0.0), (right, by), "right", 1))
    if old.overhang:
        dims.append(Dim("overhang", f"overhang {feet_inches(old.overhang)}", (left, tails[0]), (left, 0.0), "left", 1))
    if new.overhang:
        said = f"overhang {feet_inches(new.overhang)}"
        dims.append(Dim("short overhang", said, (right, tails[1]), (right, by), "right", 3))
    return Scene(
        f"The jog in plan: a wall {made.move_words}",
        f"{made.eave_sentence} {made.return_wall} Trusses stand {feet_inches(SPACING)} apart.",
        shapes,
        strokes,
        tuple(dims),
        (),
        (
            Title("long", "LONG TRUSSES FILLED, outside below", "left"),
            Title("short", "SHORT ONES HOLLOW, ridge dash-dot", "right"),
        ),
        ("run", "short run", *(dim.name for dim in dims if dim.name == "jog")),
    )


def _long_at(inside: bool) -> list[float]:
    """Where long trusses stand beside the jog: one over each return wall of a recess."""
    first = -SPACING + 0.75 if inside else -0.75
    found = [first - i * SPACING for i in range(3) if first - i * SPACING > -BESIDE]
    return [*found, *(STRETCH - x for x in found)]


def _short_at(inside: bool) -> list[float]:
    first = 0.75 if inside else SPACING - 0.75
    places = [first + i * SPACING for i in range(int((STRETCH - first - 6.0) / SPACING) + 1)]
    return [*places, STRETCH - 0.75] if inside else places


# --- gable end and finish --------------------------------------------------------------------------------------------


def gable_and_finish(bay: ScissorBay, outlooker: str = "2x4", laid: str = "flat", gypsum: str = "1/2") -> Scene:
    """The dropped gable end truss with an outlooker over it, and the finish below the chord, at a larger scale."""
    left, ended, done = bay.left, gable_end(bay, outlooker, laid), finish(bay, gypsum)
    assert left.ceiling is not None
    level, x, reach = left.plate, left.wall.x, left.bearing + 14.0
    low, high = level - 9.0, left.roof.at(x + reach) + 1.0
    window = box(x - 8.0, low, x + reach, high)
    mine = cut(_gable_end(bay, ended, dressed_size(outlooker)[laid == "on edge"]), window)
    top, bottom, _ = chord_outlines(bay, "left")
    sheet = _strip(left.ceiling, x + left.bearing, x + reach, done.below)
    flat = left.ceiling.at(left.wall.inside(left.start)) - (done.below - done.step)
    theirs = cut(
        [
            *wall(left, "inside wall", 9.0),
            Shape("bottom chord", bottom, "truss"),
            Shape("top chord", top, "truss"),
            Shape("gypsum", sheet, "sheathing"),
            Stroke("flat finish", ((x + left.bearing, flat), (x + reach, flat)), "ceiling"),
        ],
        window,
    )
    beside = reach + 26.0
    shapes, strokes = parts_drawing([*mine, *move(theirs, beside)])
    edge = x + beside + reach
    chord = left.ceiling.at(x + reach)
    dims = (
        Dim("gable heel", f"gable {feet_inches(ended.heel)}", (x, level), (x, level + ended.heel), "left", 1),
        Dim("drop", f"drop {feet_inches(ended.drop)}", (x, level + ended.heel), (x, level + left.heel), "left", 1),
        Dim("heel", f"others {feet_inches(left.heel)}", (x, level), (x, level + left.heel), "left", 2),
        Dim("finish", f"finish {feet_inches(done.below)} below", (edge, chord - done.below), (edge, chord), "right", 1),
    )
    return Scene(
        "Gable end truss, and the finish below the chords",
        f"{ended.finding.sentence} {done.sentence} {ended.caution}",
        shapes,
        strokes,
        dims,
        (),
        (
            Title("gable", f"GABLE END TRUSS, {outlooker} outlookers {laid}; other trusses dashed", "left"),
            Title("finish", f'GYPSUM {feet_inches(done.below - done.step)}; dashed: flat finish', "right"),
        ),
        ("gable heel", "drop", "finish"),
    )


def _strip(line: Line, x0: float, x1: float, deep: float) -> tuple[Point, ...]:
    """The strip of plumb depth ``deep`` under a line."""
    return (x0, line.at(x0)), (x1, line.at(x1)), (x1, line.at(x1) - deep), (x0, line.at(x0) - deep)


def _gable_end(bay: ScissorBay, ended: GableEnd, deep: float) -> list[Part]:
    """Gable end truss and outlooker at the left wall, the ordinary truss's top edge dashed."""
    left = bay.left
    x0, x1 = left.wall.x - left.overhang, left.wall.inside(left.run)
    lowered = Line(left.roof.at0 - ended.drop, left.roof.slope)
    thick = float(geo.plumb_depth(bay.chord_depth, left.roof.slope))
    plumb = float(geo.plumb_depth(deep, left.roof.slope))
    bottom = chord_outlines(bay, "left")[1]
    return [
        *wall(left, "end wall", 9.0),
        Shape("bottom chord", bottom, "truss"),
        Shape("gable top chord", _strip(lowered, x0, x1, thick), "truss"),
        Shape("outlooker", _strip(left.roof, x0, x1, plumb), "board"),
        Stroke("roof plane", ((x0, left.roof.at(x0)), (x1, left.roof.at(x1))), "long line"),
    ]


