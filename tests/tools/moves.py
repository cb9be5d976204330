"""Moves of a panel's controls as a reader makes them."""

from __future__ import annotations

from random import Random

from rooflab.live.widgets.topic_panel import TopicPanel


def moved(chance: Random, responder: TopicPanel) -> dict[str, str]:
    """A legal-looking move of one control."""
    control = chance.choice(responder.topic.controls)
    if control.choices:
        return {control.name: chance.choice(control.choices)}
    if control.rows:
        heels = [f"8 {chance.randrange(16)}/16" if chance.random() < 0.9 else "-" for _ in range(chance.randrange(25))]
        return {control.name: ", ".join(heels)}
    number = control.low + chance.randrange(int((control.high - control.low) / control.step) + 1) * control.step
    return {control.name: f"{number:g}"} if control.low < control.high else {}
