"""The profile asked for and the one that came back, laid over each other; differences drawn larger on request.

A returned drawing may contradict itself: each point is drawn from the number that places it (peak from the overall
height, apex from the ceiling rise, tail from its top), and from the inputs shown where that number is not.
"""

from __future__ import annotations

from rooflab.base.inputs import must_be
from rooflab.base.measure import InputError
from rooflab.draw.members import parts_drawing, wall
from rooflab.draw.scene import Dim, Point, Scene, Stroke, Title
from rooflab.shop.causes import Numbers, items_of, truss_of_drawing
from rooflab.shop.items import ENDS, item_and_end
from rooflab.shop.review import RESOLVE, ROUNDING, Review

DEEP = 14.0  # how far walls are shown below their plates, in
TIMES = (1, 2, 5, 10, 20)
HAIR = 1e-6  # in, that makes no difference


def _profile_points(found: Numbers, start: tuple[float, float]) -> tuple[list[Point], list[Point]]:
    """Roof from tail to tail, and ceiling from plate to plate, of a table of items."""
    span = found["span"]
    m = [found[f"pitch_{end}"] / 12 for end in ENDS]
    c = [found[f"ceiling_pitch_{end}"] / 12 for end in ENDS]
    plate = [found[f"plate_{end}"] for end in ENDS]
    eave = [found[f"heel_{end}"] + p for end, p in zip(ENDS, plate, strict=True)]
    low = min(plate)
    x = (span * m[1] + eave[1] - eave[0]) / (m[0] + m[1])
    inner = start[0], span - start[1]
    apex = (plate[1] - plate[0] + c[1] * inner[1] + c[0] * inner[0]) / (c[0] + c[1]) if c[0] + c[1] else x
    roof = [
        (-found["overhang_left"], plate[0] + found["tail_top_left"]),
        (0.0, eave[0]),
        (x, low + found["height"]),
        (span, eave[1]),
        (span + found["overhang_right"], plate[1] + found["tail_top_right"]),
    ]
    return roof, [(inner[0], plate[0]), (apex, low + found["ceiling_rise"]), (inner[1], plate[1])]


def any_difference(review: Review) -> bool:
    """Whether any number shown is not the required one, so that there is something to draw dashed."""
    return any(line.verdict in (RESOLVE, ROUNDING) for line in review.lines)


def overlay_note(review: Review) -> str:
    """What the dashed profile shows where the drawing contradicts a number that is as required; "" else."""
    keys = _by_inputs(review, items_of(truss_of_drawing(review.truss, review.shown)))
    names = dict.fromkeys(item_and_end(key)[0].label.lower() for key in keys)
    said = "Drawn dashed as span, heels and pitches shown give it, not as printed"
    return f"{said}: {', '.join(names)}." if names else ""


def _by_inputs(review: Review, follows: Numbers) -> Numbers:
    """Numbers that a drawing contradicts though they are as required: what its pitches, heels and span give for them.

    Else a wrong pitch would be drawn on the required roof, for its overall height is the one required.
    """
    agree = {key for line in review.lines if line.verdict != RESOLVE for key in _keys(line.item)}
    last = {key for clash in review.contradictions for key in _keys(clash.items[-1])}
    return {key: value for key, value in follows.items() if key in last & agree}


def _keys(item: str) -> list[str]:
    kind, end = item_and_end(item)
    return [f"{kind.name}_{one}" for one in ENDS] if kind.ends and not end else [item]


def review_overlay(review: Review, times: int = 1, words: tuple[str, str] = ("asked for", "returned")) -> Scene:
    """Both profiles as a scene: asked for solid, returned dashed, differences drawn ``times`` as large.

    ``words`` name the two in the picture, as the page around it does; a second one of "" is left out.
    InputError for another number of times than 1, 2, 5, 10 or 20.
    """
    must_be(review, Review, "Review")
    if isinstance(times, bool) or times not in TIMES:
        raise InputError(f"Differences drawn {times!r} times: {', '.join(map(str, TIMES))} is allowed.")
    asked = items_of(review.truss)
    new = truss_of_drawing(review.truss, review.shown)
    by_inputs = _by_inputs(review, items_of(new))
    back = {**items_of(new), **review.shown, **by_inputs}
    strokes: list[Stroke] = []
    shown: list[list[Point]] = []
    same = True  # whether both profiles lie on each other
    starts = (review.truss[0]["start"], review.truss[1]["start"]), (new[0]["start"], new[1]["start"])
    for name, mine, theirs in zip(
        ("roof", "ceiling"), _profile_points(asked, starts[0]), _profile_points(back, starts[1]), strict=True
    ):
        moved = [(x + times * (u - x), y + times * (v - y)) for (x, y), (u, v) in zip(mine, theirs, strict=True)]
        strokes += [
            Stroke(f"{name} asked for", tuple(mine), "rafter line"),
            Stroke(f"{name} returned", tuple(moved), "truss line"),
        ]
        shown.append(moved)
        same = same and not any(abs(u - x) + abs(v - y) > HAIR for (x, y), (u, v) in zip(mine, theirs, strict=True))
    for (x, plate), end in zip(((0.0, asked["plate_left"]), (asked["span"], asked["plate_right"])), ENDS, strict=True):
        top = shown[0][1 if end == "left" else 3]
        strokes += [
            Stroke(f"{end} heel asked for", ((x, plate), (x, plate + asked[f"heel_{end}"])), "guide"),
            Stroke(f"{end} heel returned", ((top[0], plate), top), "guide"),
        ]
    x0 = review.bay.left.wall.x  # a wall set in or out does not stand at 0
    strokes = [line._replace(points=tuple((x + x0, y) for x, y in line.points)) for line in strokes]
    ends = zip(ENDS, review.bay.ends, strict=True)
    shapes, _ = parts_drawing(
        [part for end, one in ends for part in wall(one, f"{end} wall", one.plate + DEEP - min(0.0, one.plate))]
    )
    larger = f", differences {times} times as large" if times > 1 and not same else ""
    legend = f"DASHED: {words[1]}{', just the same' if same else larger}"
    off = "; ".join(f"{line.texts[0]}: {line.texts[3]}" for line in review.of(RESOLVE))
    return Scene(
        f"Asked for (solid) and returned (dashed){larger}",
        f"The profile asked for, solid, and the returned one, dashed, laid over each other{larger}. To "
        f"resolve: {off or 'nothing'}.{f' {said}' if (said := overlay_note(review)) else ''}",
        shapes,
        tuple(strokes),
        tuple(_difference_dims(review, asked)),
        (),
        (Title("asked", f"SOLID: {words[0]}", "left"), *([Title("returned", legend, "right")] if words[1] else [])),
        ("span", "heel", "height"),
    )


def _difference_dims(review: Review, asked: Numbers) -> list[Dim]:
    """Span, height, heel and ceiling rise: asked for, and where it differs returned."""
    texts = {line.item: line for line in review.lines}

    def item_text(item: str) -> str:
        line = texts.get(item) or texts[f"{item}_left"]
        return f"{line.texts[1]} / {line.texts[2]}" if line.verdict == RESOLVE else line.texts[1]

    low, left = min(asked["plate_left"], asked["plate_right"]), asked["plate_left"]
    x0, x1 = (end.wall.x for end in review.bay.ends)
    floor = min(low, 0.0) - DEEP
    x, peak = review.bay.peak
    return [
        Dim("span", item_text("span"), (x0, floor), (x1, floor), "bottom", 1),
        Dim("heel", f"heel {item_text('heel')}", (x0, left), (x0, left + asked["heel_left"]), "left", 1),
        Dim("height", f"height {item_text('height')}", (x1 + asked["overhang_right"], low), (x, peak), "right", 1),
        Dim("ceiling rise", f"rise {item_text('ceiling_rise')}", (x, low), (x, low + asked["ceiling_rise"]), "inside"),
    ]
