"""The house in the round as a picture of its own: PDF, SVG or PNG."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

from rooflab.base.inputs import must_be, read_word, stop_on
from rooflab.draw.layout import fit
from rooflab.draw.scene import Stroke, Title
from rooflab.draw.views.house import COVERS, VIEWS, house_in_round, house_scene
from rooflab.job.jobfile import Job

PAGE, SIZE = (760.0, 520.0), 11.0  # of the picture at the most, and of its letters, points
BAR, BELOW = 48.0, 30.0  # of the scale bar, and how far it lies under the names' leaders, in


def house_picture(
    job: Job, path: str | os.PathLike[str], view: str = "corner", on: str = "frame", lit: str = ""
) -> Path:
    """Write the house in the round as a new file; the suffix (.pdf, .svg, .png) says how.  Returns the file.

    ``view`` is "corner", "gable", "seam" or "below"; ``on`` is "frame", "ceiling" or "roof"; ``lit`` is "rafters" or a
    truss type's mark, and the rest is pale.  InputError for any other word.
    """
    from rooflab.draw.paper import save  # heavy, and only wanted for files

    must_be(job, Job, "Job")
    found, problems = house_in_round(job), list[str]()
    read_word("View", view, tuple(VIEWS), problems)
    read_word("On", on, tuple(COVERS), problems)
    if lit:
        read_word("Lit", lit, tuple(room.name for room in found.rooms), problems)
    stop_on(problems)
    scene = house_scene(found, found.view(view), on, lit, numbers=True, frame=PAGE)
    x0, y0, _, _ = scene.bounds()
    bar = Stroke("scale bar", ((x0, y0 - BELOW), (x0 + BAR, y0 - BELOW)), "scale bar")
    words = f"{job.title}, {VIEWS[view][0].lower()}; the bar is 4'-0\" in the plane of the picture"
    title = Title("house", words, "left")
    return save(fit(replace(scene, strokes=(*scene.strokes, bar), titles=(title,)), *PAGE, SIZE), path)
