"""Mistakes with the forces of a teaching truss."""

from __future__ import annotations

from .common import Slip, each, scale

FRAME_SLIPS: tuple[Slip, ...] = (
    Slip(
        "slopes added",
        "That fits the two slopes added: what counts is how far they differ, m − c.",
        each(lambda slope: -slope, "c"),
        only=("top_chord", "growth"),
    ),
    Slip(
        "whole load for the reaction",
        "That fits the whole load: each of the two bearings takes half, R = P ÷ 2.",
        scale(2.0, "P"),
        only=("reaction", "top_chord", "bottom_chord"),
    ),
)
