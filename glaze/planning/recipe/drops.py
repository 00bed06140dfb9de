"""All proportions of some bottles in whole drops, and which of them are worth having."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.materials.ink import Ink

Counts = NDArray[np.int64]

SIMPLER = 0.75
"""A recipe counts as simpler than another from three quarters of its drops down."""
MOST_SHOWN = 6


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


def worth_having(counts: Counts, off: NDArray[np.float64]) -> list[int]:
    """The nearest row, then each simpler one that no other beats in nearness, drops and inks.

    Whole [drops], shape (proportions, inks); how far off each is, shape (proportions,). Gives the
    numbers of the rows.
    """
    drops, kinds = counts.sum(axis=1), np.count_nonzero(counts, axis=1)
    front: list[int] = []
    for n in sorted(_champions(drops, kinds, off), key=lambda n: (off[n], drops[n], kinds[n])):
        # sorted by nearness: whatever is kept so far is nearer
        if all(drops[n] < drops[k] or kinds[n] < kinds[k] for k in front):
            front.append(n)
    kept = front[:1]
    for n in front[1:]:
        last = kept[-1]
        if kinds[n] < kinds[last] or drops[n] <= SIMPLER * drops[last]:
            kept.append(n)
    return kept[:MOST_SHOWN]


def _champions(drops: Counts, kinds: Counts, off: NDArray[np.float64]) -> Iterator[int]:
    """The nearest recipe of each number of drops and inks."""
    order = np.lexsort((off, drops, kinds))
    groups = np.column_stack([kinds, drops])[order]
    first = np.ones(len(order), bool)
    first[1:] = (groups[1:] != groups[:-1]).any(axis=1)
    return (int(n) for n in order[first])
