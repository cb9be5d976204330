"""Mistakes with loads and with what a rafter can carry: factors left out, ground snow for roof snow."""

from __future__ import annotations

from .common import Mistake, fixed

LOAD_MISTAKES: tuple[Mistake, ...] = (
    Mistake(
        "load duration left out",
        "That fits CD left out: wood carries more for a short time, 1.15 with snow, 1.25 with roof live load.",
        fixed(1.0, "C_D"),
    ),
    Mistake(
        "size factor left out",
        "That fits CF left out: for most species the table's Fb is for one size, and CF adapts it.",
        fixed(1.0, "C_F"),
    ),
    Mistake(
        "repetitive factor left out",
        "That fits Cr left out: three or more rafters no more than 24\" o.c. help each other, 1.15.",
        fixed(1.0, "C_r"),
    ),
    Mistake(
        "notch left out",
        "That fits the full depth: beside the birdsmouth only what the notch leaves takes the shear.",
        fixed(0.0, "n"),
        only=("shear_allowed", "shear_ratio"),
    ),
    Mistake(
        "upside down",
        "That fits capacity over demand: the ratio is demand over capacity, and 1 is full use.",
        result=lambda value, s: 1 / value,
        only=("bending_ratio", "shear_ratio", "bearing_ratio", "deflection_ratio"),
    ),
    Mistake(
        "heat and exposure left out",
        "That fits Ce and Ct left out: both stand in the formula, and a cold roof keeps its snow longer.",
        fixed(1.0, "C_e", "C_t", "I_s"),
    ),
    Mistake(
        "ground snow for roof snow",
        "That fits the ground's snow: a flat roof holds about 0.7 of it, and a steep one less.",
        result=lambda value, s: s["p_g"],
        only=("flat_snow", "roof_snow"),
    ),
    Mistake(
        "slope factor left out",
        "That fits Cs left out: this slope sheds part of its snow.",
        result=lambda value, s: s["flat_snow"],
        only=("roof_snow",),
    ),
)
