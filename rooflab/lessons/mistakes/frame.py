"""Mistakes with the forces of a teaching truss."""

from __future__ import annotations

from rooflab.base import geometry as geo

from .common import Mistake, each, scale

FRAME_MISTAKES: tuple[Mistake, ...] = (
    Mistake(
        "slopes added",
        "That fits the two slopes added: what counts is how far they differ, m − c.",
        each(lambda slope: -slope, "c"),
        only=("top_chord", "growth"),
    ),
    Mistake(
        "not turned over",
        "That fits m − c itself: the forces go as one over it, so divide 1 by it.",
        result=lambda value, s: s["m"] - s["c"],
        only=("growth",),
    ),
    Mistake(
        "chord's stretch left out",
        "That fits k left out: that is the level part of the force; along the chord it is k times as much.",
        result=lambda value, s: value / float(geo.stretch(s["m"])),
        only=("top_chord",),
    ),
    Mistake(
        "bottom chord's stretch left out",
        "That fits k left out: that is the level part of the force; along the chord it is k(c) times as much.",
        result=lambda value, s: value / float(geo.stretch(s["c"])),
        only=("bottom_chord",),
    ),
    Mistake(
        "whole load for the reaction",
        "That fits the whole load: each of the two bearings takes half, R = P ÷ 2.",
        scale(2.0, "P"),
        only=("reaction", "top_chord", "bottom_chord"),
    ),
)
