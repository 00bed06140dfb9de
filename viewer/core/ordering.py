"""What another order changes, in a line."""

from __future__ import annotations

from glaze.sheet.lift import Touches

from . import drafting
from .cards import thick_place
from .sitting import Sitting
from .spot import read_at

LEAST = 0.05
"""Less of a value step than that is no change."""


def order_words(sitting: Sitting, start: int, to: int) -> str:
    """What laying a step earlier or later does, where it lies thickest; "" if it can't be said."""
    painted = sitting.settling.painted_step(start)
    place = None if painted is None else thick_place(painted)
    if place is None:
        return ""
    moved = drafting.with_step_moved(sitting.draft, start, to)
    after = sitting.settling.tried(moved)
    if after is None:
        return ""
    touches = Touches()
    old = read_at(sitting.painting, touches, *place)
    new = read_at(after, touches, *place)
    name = sitting.scene.steps[start].name
    passed = sitting.scene.steps[min(start, to) : max(start, to) + 1]
    passes = any(step.liquid == "bleach" for step in passed)
    bleach = _bleach_words(sitting, start, to) if passes else ""
    difference = new.value - old.value
    if abs(difference) < LEAST and new.notation == old.notation:
        return f"{name}: the same colour either way.{bleach}"
    turn = "lighter" if difference > 0 else "darker"
    step = f"{abs(difference):.1f} value {turn}" if abs(difference) >= LEAST else "another hue"
    return f"{name}, where it lies thickest: {old.notation} becomes {new.notation}, {step}.{bleach}"


def _bleach_words(sitting: Sitting, start: int, to: int) -> str:
    step = sitting.scene.steps[start]
    if step.liquid == "bleach":
        later = "also lifts" if to > start else "no longer lifts"
        return f" Its bleach {later} the steps it has passed."
    if to > start:
        return " It now lies over the bleached places and isn't lifted itself."
    return " It is now there when the bleach comes, and is lifted with the rest."
