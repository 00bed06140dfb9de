"""In which order washes drag least across each other's edges, where the colour stays the same."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.planning.sheet.layout import layout_of
from glaze.planning.sheet.order import meetings, order_choices
from glaze.planning.sheet.place import coarse
from glaze.planning.sheet.reasons import HIDDEN_STEPS
from glaze.planning.sheet.stack import own_values

Array = NDArray[np.float64]

ROUNDS = 6
HIDES_PRICE = 5.0
"""What a light wash over one much darker counts against as much of drag: it hardly shows there."""
COLOUR_PRICE = 2.0
"""What a change of colour counts against as much of drag: the colour is what is wanted."""


def least_dragging(painting: Painting, order: Sequence[int]) -> list[int]:
    """The last washes of a painting in the order that drags least, each moved while that helps.

    order : numbers of those washes as it has them, the first laid first
    """
    drags = _drags(painting)[-len(order) :, -len(order) :] if order else np.zeros((0, 0))
    best = list(range(len(order)))
    for _ in range(ROUNDS):
        now = _dragged(drags, best)
        for step in list(best):
            rest = [n for n in best if n != step]
            tries = [[*rest[:at], step, *rest[at:]] for at in range(len(best))]
            best = min([best, *tries], key=lambda one: _dragged(drags, one))
        if _dragged(drags, best) > now - 0.1:
            break
    return [order[n] for n in best]


def _drags(painting: Painting) -> Array:
    """What is dragged, and how far the colour changes, if one step is laid before another.

    Returns
    -------
    shape (steps, steps): the row before the column [CIEDE2000]
    """
    small = coarse(painting)
    layout, (over, _) = layout_of(small), meetings(small)
    found = np.zeros((len(painting.steps),) * 2)
    for choice in order_choices(small, layout, over):
        found[choice.lower, choice.upper] = choice.smears
        found[choice.upper, choice.lower] = choice.other_smears + COLOUR_PRICE * choice.de00
    own = np.array(own_values(small))
    hides = over & (own[:, None] < own[None, :] - HIDDEN_STEPS)
    return np.asarray(found + HIDES_PRICE * hides)


def _dragged(drags: Array, order: Sequence[int]) -> float:
    """All that an order drags."""
    first = np.array(order, dtype=np.intp)
    return float(np.triu(drags[np.ix_(first, first)], 1).sum())
