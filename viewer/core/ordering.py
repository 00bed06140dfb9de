"""What another order changes, in a line."""

from __future__ import annotations

from glaze.sheet.lift import Touches

from . import drafting
from .cards import thick_place
from .saying import say
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
        return say("order.same", name=name, bleach=bleach)
    turn = "order.lighter" if difference > 0 else "order.darker"
    step = say(
        turn if abs(difference) >= LEAST else "order.other_hue", steps=f"{abs(difference):.1f}"
    )
    colours = {"old": old.notation, "new": new.notation}
    return say("order.becomes", name=name, step=step, bleach=bleach, **colours)


def _bleach_words(sitting: Sitting, start: int, to: int) -> str:
    later = to > start
    if sitting.scene.steps[start].liquid == "bleach":
        return say("order.also_lifts" if later else "order.no_longer_lifts")
    return say("order.over_bleached" if later else "order.lifted_too")
