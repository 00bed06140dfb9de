"""All proportions of some bottles in whole drops; water is left to the dilution."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.materials.ink import Ink

Counts = NDArray[np.int64]


def every_proportion(inks: int, most_drops: int, most_inks: int) -> Counts:
    """All proportions of up to so many inks in up to so many drops, shape (proportions, inks).

    None twice: of multiples only the smallest is there. Counts are whole [drops].
    """
    found = [np.zeros((0, inks), np.int64)]
    for kinds in range(1, min(most_inks, inks) + 1):
        # where each ink's drops end in a row of them: the gaps are all ways to count them out
        ends = np.array(list(itertools.combinations(range(1, most_drops + 1), kinds)), np.int64)
        counts = np.diff(ends.reshape(-1, kinds), axis=1, prepend=0)
        counts = counts[np.gcd.reduce(counts, axis=1) == 1]
        for chosen in itertools.combinations(range(inks), kinds):
            rows = np.zeros((len(counts), inks), np.int64)
            rows[:, chosen] = counts
            found.append(rows)
    return np.concatenate(found)


def proportion_count(inks: int, most_drops: int, most_inks: int) -> int:
    """How many there are, multiples of smaller ones included.

    k inks of at least a drop each, and what is left of the drops: C(most, k).
    """
    kinds = range(1, min(most_inks, inks) + 1)
    return sum(math.comb(inks, k) * math.comb(most_drops, k) for k in kinds)


def amounts_of(bottles: Sequence[Ink], counts: Counts) -> Mapping[str, float]:
    """A row of counts by bottle, the most drops first. Whole [drops], shape (inks,)."""
    amounts = {ink.name: float(n) for ink, n in zip(bottles, counts, strict=True) if n}
    return dict(sorted(amounts.items(), key=lambda item: -item[1]))
