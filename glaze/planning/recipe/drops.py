"""All recipes in whole drops: every way to fill a well from some bottles and water."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.materials.ink import Ink
from glaze.materials.recipe import Recipe

Counts = NDArray[np.int64]


def every_recipe(inks: int, most_drops: int, most_inks: int) -> Counts:
    """All recipes in whole drops, shape (recipes, inks + 1), water last; no recipe twice.

    A recipe that is a multiple of a smaller one is left out: it is the same mix. Water alone and
    nothing at all are no recipes.

    Counts are whole [drops].
    """
    found = []
    for kinds in range(1, min(most_inks, inks) + 1):
        counts = _counts(kinds, most_drops)
        for chosen in itertools.combinations(range(inks), kinds):
            rows = np.zeros((len(counts), inks + 1), np.int64)
            rows[:, [*chosen, inks]] = counts
            found.append(rows)
    if not found:
        return np.zeros((0, inks + 1), np.int64)
    rows = np.concatenate(found)
    return rows[np.gcd.reduce(rows, axis=1) == 1]


def recipe_count(inks: int, most_drops: int, most_inks: int) -> int:
    """How many recipes there are, multiples of smaller ones included.

    k inks of at least a drop each, water, and what is left of the drops: C(most + 1, k + 1).
    """
    kinds = range(1, min(most_inks, inks) + 1)
    return sum(math.comb(inks, k) * math.comb(most_drops + 1, k + 1) for k in kinds)


def _counts(kinds: int, most: int) -> Counts:
    """Drops of `kinds` inks, each at least 1, and of water, at most `most` in all."""
    rows, left = np.zeros((1, 0), np.int64), np.array([most])
    for place in range(kinds + 1):
        first = 1 if place < kinds else 0
        # what may go here: up to all that is left, less one drop for each ink still to come
        room = left - max(kinds - place - 1, 0)
        choices = np.maximum(room - first + 1, 0)
        start = np.repeat(np.cumsum(choices) - choices, choices)
        chosen = np.arange(choices.sum()) - start + first
        rows = np.column_stack([np.repeat(rows, choices, axis=0), chosen])
        left = np.repeat(left, choices) - chosen
    return rows


def recipe_of(bottles: Sequence[Ink], counts: Counts) -> Recipe:
    """A row of counts as a recipe; the ink with the most drops first.

    Whole [drops], shape (inks + 1,), water last.
    """
    amounts = {ink.name: float(n) for ink, n in zip(bottles, counts[:-1], strict=True) if n}
    ordered = dict(sorted(amounts.items(), key=lambda item: -item[1]))
    return Recipe(ordered, float(counts[-1]))
