"""Mistakes with the push of a rafter pair, its tie, and the load on a ridge beam and its post."""

from __future__ import annotations

from .common import Mistake, fixed

THRUST_MISTAKES: tuple[Mistake, ...] = (
    Mistake(
        "twice the push",
        "That fits twice the push: the moment at mid-span is w·L² ÷ 8, and each plate takes that over the rise.",
        result=lambda value, s: 2 * value,
        only=("thrust", "tie_force"),
    ),
    Mistake(
        "half of the load",
        "That fits the share of one plate, straight down: the push sideways also depends on the rise.",
        result=lambda value, s: s["line_load"] * (s["l"] + s["r"]) / 24,
        only=("thrust", "tie_force"),
    ),
    Mistake(
        "tie at the plates",
        "That fits a tie on the plates: higher up it pulls harder, 1 ÷ (1 − height ÷ rise) times.",
        fixed(0.0, "tie"),
        only=("tie_force", "tie_factor"),
    ),
    Mistake(
        "height for what is left",
        "That fits rise ÷ height of the tie: divide by what is left above it, 1 − height ÷ rise.",
        result=lambda value, s: value / s["tie_factor"] * s["h"] / s["tie"],
        only=("tie_force", "tie_factor"),
    ),
    Mistake(
        "whole beam on one post",
        "That fits the whole beam on one post: half of it goes to the post at its other end.",
        result=lambda value, s: 2 * value,
        only=("post",),
    ),
    Mistake(
        "one side only",
        "That fits one side: the ridge gets half of each rafter, from the left and from the right.",
        result=lambda value, s: value / 2,
        only=("ridge_load", "post"),
    ),
    Mistake(
        "whole roof on the ridge",
        "That fits the whole roof on the ridge: half of each rafter's load goes to the walls.",
        result=lambda value, s: 2 * value,
        only=("ridge_load", "post"),
    ),
)
