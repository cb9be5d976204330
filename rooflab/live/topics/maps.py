"""What fits: a map of a house over two of its inputs, whose every point can be taken."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rooflab.base.inputs import pair
from rooflab.base.measure import InputError
from rooflab.draw.scene import Point, Scene
from rooflab.draw.views.maps import FRAME, fit_map, place_on_map
from rooflab.job.jobfile import Job
from rooflab.job.maps import Map, map_of, mark_options, usual_range
from rooflab.job.values import House, over
from rooflab.live.meeting.view import HOUSE, TRIAL
from rooflab.live.widgets.controls import nearest_step
from rooflab.live.widgets.form import Source, job_of
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import Group
from rooflab.live.widgets.topic_panel import panel_of

from .options import OptionState, OptionsTopic

AXES = tuple(one.name for one in OptionsTopic.controls if not one.choices and one.name != "window_width")
"""The inputs that a map can stand over."""


class MapTopic(OptionsTopic):
    """The map of a house over two inputs, with lines of a reading: as it stands, and as it is tried."""

    name = "map"
    label = "What fits"
    views = {"map": "What fits"}
    press_views = ("map",)

    def __init__(self, job: Job, across: str, up: str, reading: str) -> None:
        """InputError for an input that is none of ``AXES``, or for the same one twice."""
        for one in (across, up):
            if one not in AXES:
                raise InputError(f"Map: {one!r} is no input that can be moved here; allowed is {', '.join(AXES)}.")
        if across == up:
            raise InputError(f"Map: {across} is both axes; two inputs are needed.")
        super().__init__(job)
        self.axes, self.read_in_lines = (across, up), reading
        self._made: tuple[object, Map | None] = None, None

    def on(self, job: Job) -> MapTopic:
        return type(self)(job, *self.axes, self.read_in_lines)

    def map_now(self, state: OptionState) -> Map:
        """The map about the house as it stands, or about the one tried where that lies beyond; rings for both."""
        now, was = state.now.house, state.before.house
        ranges = {one: self._range(one, was, now) for one in self.axes}
        base = over(now, {one: was[one] for one in self.axes})
        known, made = self._made
        if made is None or known != (ranges, base):
            made = map_of(base, *self.axes, self.read_in_lines, ranges=ranges)
            self._made = (ranges, base), made
        return mark_options(made, {HOUSE: was} if self._unchanged(state) else {HOUSE: was, TRIAL: now})

    def _range(self, axis: str, was: House, now: House) -> tuple[float, float]:
        other = next(one for one in self.axes if one != axis)
        low, high = usual_range(was, axis, other)
        return (low, high) if all(low <= one <= high for one in pair(now[axis])) else usual_range(now, axis, other)

    def _unchanged(self, state: OptionState) -> bool:
        return self.sentence(state, "map").startswith(HOUSE)

    def picture(self, view: str, state: OptionState) -> Scene | str:
        return fit_map(self.map_now(state), FRAME)

    def picture_for(self, view: str, state: OptionState, frame: tuple[float, float], letters: float) -> Scene | str:
        return fit_map(self.map_now(state), frame, letters)

    def texts_at(
        self, view: str, state: OptionState, at: Point, frame: tuple[float, float], letters: float
    ) -> dict[str, str]:
        place = place_on_map(self.map_now(state), frame, letters, at)
        if place is None:
            return {}
        controls = [next(one for one in self.controls if one.name == axis) for axis in self.axes]
        return {one.name: one.show(nearest_step(one, v)) for one, v in zip(controls, place, strict=True)}

    def plain(
        self, state: OptionState, view: str, controls: Iterable[tuple[str, str]], groups: Sequence[Group]
    ) -> list[str]:
        made, label = self.map_now(state), HOUSE if self._unchanged(state) else TRIAL
        return [f"{label}. {made.title}. {made.words}", *super().plain(state, view, controls, groups)]


def what_fits(
    source: Source, across: str, up: str, reading: str, groups: Sequence[str] = ("roof",), size: str = "",
    locked: bool = False, **changes: object,
) -> Panel:  # fmt: skip
    """A map of a house over two inputs such as "span" and "pitch", with lines of a reading: "scissor.height".

    A press on the map takes the two numbers of that point; ``changes`` are what else is tried.  InputError for inputs
    that are not among ``AXES`` and for a reading that has no lines.
    """
    topic = MapTopic(job_of(source), across, up, reading)
    return panel_of(topic, (across, up), (), groups, size, locked, changes)
