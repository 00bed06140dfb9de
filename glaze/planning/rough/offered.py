"""Washes that a search offers to its pieces: of all bottles, or of the wells that are there."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from glaze.planning.rough.draft import OVER, Attempt, Easel
from glaze.planning.rough.shaded import washes_of
from glaze.planning.rough.wants import unlike
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]
Wells = tuple[int, ...]

DROPS, STRENGTHS = 6, np.geomspace(0.012, 2.0, 14)
KEPT_EACH, TOPS = 4, 70
"""Washes kept for each piece, as the nearest to it; and such as are tried over what lies there."""
FINER = np.geomspace(0.012, 2.0, 28)
"""Strengths of a well that is mixed already [neat coats]: they cost no further well."""
MOST_HEAVY = 400


@dataclass(frozen=True, eq=False)
class Washes:
    """Washes to lay on bare paper, and to lay over what lies there.

    mixes, tops : [neat coats], shape (washes, bottles)
    alone : how far off every piece is under each of `mixes` alone, shape (washes, pieces)
    wells, top_wells : number of the well that each is taken from; empty where none is mixed yet
    """

    mixes: Array
    alone: Array
    tops: Array
    wells: Wells = ()
    top_wells: Wells = ()

    def gains(self, draft: Attempt) -> tuple[int, float]:
        """The wash on bare paper that gains most, and how much."""
        gains = np.maximum(draft.off - self.alone, 0.0).sum(axis=1)
        best = int(gains.argmax())
        return best, float(gains[best])

    def gains_over(self, easel: Easel, draft: Attempt) -> tuple[int, float]:
        """The wash that gains most over what lies there, where that is nearer, and how much."""
        wanted = easel.wanted
        heavy = np.argsort(-draft.off)[:MOST_HEAVY]
        places, which = easel.places(heavy)
        below = easel.sheet_of(draft, heavy)
        count = len(self.tops)
        many = Sheet(**{n: np.concatenate([f] * count, axis=1) for n, f in vars(below).items()})
        lab = easel.bottles.lab(easel.bottles.over(many, self.tops, len(places)))
        off = unlike(lab.reshape(count, len(places), 3), wanted.lab[places]) + OVER
        off = off * wanted.weight[places]
        summed = np.add.reduceat(off, np.searchsorted(which, np.arange(len(heavy))), axis=1)
        gains = np.maximum(draft.off[heavy] - summed, 0.0).sum(axis=1)
        best = int(gains.argmax())
        return best, float(gains[best])


def of_bottles(easel: Easel) -> Washes:
    """Every wash that is among the nearest for some piece; tops of one bottle or two."""
    mixes = washes_of(easel.bottles, DROPS, STRENGTHS)
    alone = _alone(easel, mixes)
    kept = np.unique(np.argpartition(alone, KEPT_EACH, axis=0)[:KEPT_EACH])
    count = len(easel.bottles.inks)
    pure = np.eye(count)
    two = [(pure[a] + pure[b]) / 2 for a, b in combinations(range(count), 2)]
    each = np.array([*pure, *two])
    strengths = np.geomspace(0.02, 1.0, max(2, TOPS // len(each)))
    return Washes(mixes[kept], alone[kept], _strong(each, strengths))


def of_wells(easel: Easel, draft: Attempt) -> Washes:
    """Every well of a draft in many strengths."""
    wells = tuple(dict.fromkeys(draft.well))
    each = np.array([_proportion(draft, well) for well in wells])
    mixes, tops = _strong(each, FINER), _strong(each, FINER[::2])
    of, of_tops = (np.repeat(wells, len(one) // len(wells)) for one in (mixes, tops))
    return Washes(mixes, _alone(easel, mixes), tops, tuple(map(int, of)), tuple(map(int, of_tops)))


def _proportion(draft: Attempt, well: int) -> Array:
    total = draft.mixes[[n for n, own in enumerate(draft.well) if own == well]].sum(axis=0)
    return np.asarray(total / total.sum())


def _alone(easel: Easel, mixes: Array) -> Array:
    return easel.flat_offs(mixes, [(n,) for n in range(len(mixes))])


def _strong(each: Array, strengths: Array) -> Array:
    return np.asarray((each[:, None] * strengths[:, None]).reshape(-1, each.shape[1]))
