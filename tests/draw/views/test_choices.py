"""The small pictures of choices: each belongs to a choice of a control, differs from the others, stays in its box."""

from __future__ import annotations

import re

from rooflab import live
from rooflab.draw.views.choices import PICTURES, TALL, WIDE, choice_svg


def test_every_picture_belongs_to_a_choice() -> None:
    panels = [live.cut_panel(), live.one_plane(), live.jog(), live.load_panel(), live.shape_panel()]
    panels += [live.force_panel(name) for name in ("pair", "truss", "seam")]
    controls = [one for panel in panels for one in panel.responder.topic.controls]
    choices = {(one.name, choice) for one in controls for choice in one.choices if not one.ordered}
    assert set(PICTURES) <= choices


def test_the_pictures_of_a_control_differ_and_stay_in_their_box() -> None:
    for control in {name for name, _ in PICTURES}:
        drawn = [choice_svg(*key) for key in PICTURES if key[0] == control]
        assert len(set(drawn)) == len(drawn)
        for x, y in re.findall(r"([\d.-]+),([\d.-]+)", "".join(drawn)):
            assert -1 <= float(x) <= WIDE + 1 and -1 <= float(y) <= TALL + 1
