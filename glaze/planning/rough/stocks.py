"""Mixes of a draft made such as can be counted out: few wells, whole drops, parts of water."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from glaze.materials.dropper import Dropper
from glaze.materials.ink import Ink
from glaze.materials.recipe import Recipe
from glaze.planning.recipe.drops import Counts, amounts_of, every_proportion
from glaze.planning.rough.draft import Attempt, Easel
from glaze.planning.rough.tune import pieces_with, tuned

Array = NDArray[np.float64]

DROPS, INKS = 20, 3
DROP_PRICE = 0.001
"""Of each drop of ink in a well [minded difference, mean of the sheet]: simpler is surer."""
NEAREST, TRIED = 40, 8
STRENGTHS = (0.85, 0.95, 1.0, 1.06, 1.18)
"""Of a well's washes that are tried with each of its proportions, in times of what they are."""
PARTS: tuple[float, ...] = tuple(np.r_[0:2:0.25, 2:5:0.5, 5:20, 20:61:5].astype(float).tolist())
"""Parts of water that a wash is let down with from its well, as they can be measured."""


@dataclass(frozen=True)
class Stock:
    """A well: whole drops, and the ink in it by volume [-], shape (bottles,)."""

    recipe: Recipe
    share: tuple[float, ...]


@dataclass(frozen=True)
class Taken:
    """A wash from a well: so many coats of 1 part of it + n parts of water."""

    well: int
    parts_water: float
    coats: int


def in_few_wells(easel: Easel, draft: Attempt, most: int) -> Attempt:
    """The draft with at most so many proportions; those that differ least become one."""
    draft = replace(draft, well=draft.well or tuple(range(len(draft.mixes))))
    while len(set(draft.well)) > most:
        found = [_merged(draft, *pair) for pair in _alike(easel, draft)]
        draft = min((easel.judged(one) for one in found), key=lambda one: one.cost)
        draft = tuned(easel, draft, [draft.well[_last_merged(draft)]])
    return tuned(easel, draft)


def _last_merged(draft: Attempt) -> int:
    """A wash of the well that has most washes: what was just put together, or needs it as well."""
    return max(range(len(draft.well)), key=lambda n: draft.well.count(draft.well[n]))


def _alike(easel: Easel, draft: Attempt) -> Iterator[tuple[int, int]]:
    """Pairs of wells, those whose being one is least minded first."""
    wells = sorted(set(draft.well))
    share, weight = {}, {}
    for well in wells:
        washes = [n for n, own in enumerate(draft.well) if own == well]
        total = draft.mixes[washes].sum(axis=0)
        share[well] = np.sqrt(total / total.sum())
        of = pieces_with(draft, washes)
        weight[well] = float(easel.wanted.share[of].sum()) + 1e-6
    apart = {
        (a, b): float(((share[a] - share[b]) ** 2).sum()) * min(weight[a], weight[b])
        for a, b in combinations(wells, 2)
    }
    yield from sorted(apart, key=apart.__getitem__)[:TRIED]


def _merged(draft: Attempt, one: int, other: int) -> Attempt:
    """Two wells of one proportion between theirs, their washes as strong as they were."""
    washes = [n for n, own in enumerate(draft.well) if own in (one, other)]
    total = draft.mixes[washes].sum(axis=0)
    mixes = draft.mixes.copy()
    mixes[washes] = draft.mixes[washes].sum(axis=1, keepdims=True) * total / total.sum()
    well = tuple(one if own == other else own for own in draft.well)
    return replace(draft, mixes=mixes, well=well)


def counted_out(easel: Easel, draft: Attempt) -> tuple[Attempt, list[Taken], list[Stock]]:
    """The draft with every well in whole drops, and every wash in parts of it.

    Returns
    -------
    draft
    taken : what each wash is
    stocks : of the wells, renumbered from 0
    """
    numbers = {well: n for n, well in enumerate(dict.fromkeys(draft.well))}
    draft = easel.judged(replace(draft, well=tuple(numbers[well] for well in draft.well)))
    inks, dropper = easel.bottles.inks, easel.bottles.table.dropper
    every = every_proportion(len(inks), DROPS, min(INKS, len(inks)))
    stocks, taken = [], {}
    for well in range(len(numbers)):
        if well:
            # what is still free makes up for what whole drops have moved
            draft = tuned(easel, draft, range(well, len(numbers)))
        washes = [n for n, own in enumerate(draft.well) if own == well]
        counts, draft = _proportioned(easel, draft, washes, every)
        stock, each = _stock(counts, draft.mixes[washes].sum(axis=1), inks, dropper)
        stocks.append(stock)
        mixes = draft.mixes.copy()
        for wash, (parts, coats) in zip(washes, each, strict=True):
            taken[wash] = Taken(well, parts, coats)
            mixes[wash] = np.array(stock.share) * coats / (1 + parts)
        draft = easel.judged(replace(draft, mixes=mixes))
    return draft, [taken[n] for n in range(len(draft.mixes))], stocks


def _proportioned(
    easel: Easel, draft: Attempt, washes: list[int], every: Counts
) -> tuple[Counts, Attempt]:
    """The whole drops that serve the washes of a well best, each as strong as then is best."""
    per_ml = np.array([ink.drops_per_ml for ink in easel.bottles.inks])
    shares = every / per_ml
    shares = shares / shares.sum(axis=1, keepdims=True)
    now = draft.mixes[washes].sum(axis=0)
    far = ((np.sqrt(shares) - np.sqrt(now / now.sum())) ** 2).sum(axis=1)
    of = pieces_with(draft, washes)
    stacks = [draft.stacks[n] for n in of]
    strength = draft.mixes[washes].sum(axis=1, keepdims=True)
    nearest = np.argsort(far)[:NEAREST]
    tries = [factor * strength * shares[n] for n in nearest for factor in STRENGTHS]
    off = easel.offs(draft, washes, np.array(tries), stacks, of).sum(axis=1)
    price = off + DROP_PRICE * np.repeat(every[nearest].sum(axis=1), len(STRENGTHS))
    best = int(price.argmin())
    mixes = draft.mixes.copy()
    mixes[washes] = tries[best]
    counts = every[nearest[best // len(STRENGTHS)]]
    return counts, easel.judged(replace(draft, mixes=mixes))


def _stock(
    counts: Counts, strengths: Array, inks: tuple[Ink, ...], dropper: Dropper
) -> tuple[Stock, list[tuple[float, int]]]:
    """A well as strong as its strongest wash, and parts of water and coats of each wash."""
    coats = [max(1, math.ceil(q - 1e-6)) for q in strengths]
    wanted = min(1.0, max(q / c for q, c in zip(strengths, coats, strict=True)))
    ink_ml = counts / np.array([ink.drops_per_ml for ink in inks])
    per_ml = dropper.water_drops_per_ml
    water = round(float(ink_ml.sum()) * (1 / wanted - 1) * per_ml)
    share = ink_ml / (ink_ml.sum() + water / per_ml)
    strong = float(share.sum())
    each = [(_parts(strong * c / q - 1), c) for q, c in zip(strengths, coats, strict=True)]
    recipe = Recipe(amounts_of(inks, counts), float(water), "drops")
    return Stock(recipe, tuple(float(s) for s in share)), each


def _parts(wanted: float) -> float:
    """The measurable parts of water that come nearest in strength."""
    off = [abs(math.log((1 + parts) / (1 + max(wanted, 0.0)))) for parts in PARTS]
    return PARTS[int(np.argmin(off))]
