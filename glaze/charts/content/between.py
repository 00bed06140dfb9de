"""Recipes between two primaries: by equal steps of drops, or of the hue that is seen.

Tinting strengths differ, so equal drops give unequal steps of hue. By hue, the predicted Munsell
hue is inverted over all shares of the two inks, and whole drops are looked for near the result.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.materials.munsell import munsell_from_xyz
from glaze.patch.patches import xyz
from glaze.patch.table import Table
from glaze.patch.washes import lay_shares

Array = NDArray[np.float64]

MOST_DROPS = 24
"""Largest recipe of a wheel by hue: more can't be counted out without a slip (guess)."""
MOST_STOCKED_DROPS = 24
"""Largest recipe with a stock mix in it (guess)."""
STOCK_DROPS = 12
"""Drops of a stock mix: one of the strong ink, the rest of the other."""
NEAR_ENOUGH = 0.25
"""Share of a hue step that whole drops may be off before a larger recipe is taken (guess)."""


@dataclass(frozen=True)
class Count:
    """A recipe of two inks in whole drops, maybe by way of a stock mix.

    drops : by ink, or by the small letter of a stock mix. share : of the second ink in all.
    """

    drops: Mapping[str, int]
    share: float


@dataclass(frozen=True, eq=False)
class Steps:
    """The recipes of a wheel: for each segment its count.

    stocks : stock mixes by their small letter, in drops of ink
    """

    counts: tuple[Count, ...]
    stocks: Mapping[str, Mapping[str, int]]
    notes: tuple[str, ...] = ()


def drop_steps(table: Table, names: Sequence[str], third: int) -> Steps:
    """Recipes by equal steps of drops: every recipe has as many drops as a third has segments."""
    counts = [
        Count(_two(first, third - k, second, k), k / third)
        for first, second in _pairs(names)
        for k in range(third)
    ]
    return Steps(tuple(counts), {})


def hue_steps(table: Table, names: Sequence[str], third: int) -> Steps:
    """Recipes by equal steps of the predicted Munsell hue between neighbouring primaries.

    Where one ink overpowers the other, the strong one is added from a stock mix of 1 drop to 11.
    """
    counts: list[Count] = []
    worst = 0.0
    for first, second in _pairs(names):
        path = hue_path(table, first, second)
        choices = _choices(first, second)
        targets = np.linspace(path.hue[0], path.hue[-1], third + 1)[:-1]
        step = abs(path.hue[-1] - path.hue[0]) / third
        for k, target in enumerate(targets):
            found = path.nearest(choices[1:], target, NEAR_ENOUGH * step) if k else choices[0]
            counts.append(found)
            worst = max(worst, abs(path.hue_at(found.share) - target) / step)
    note = f"Whole drops miss the hue asked for by at most {100 * worst:.0f} % of a step."
    return Steps(tuple(counts), _stocks(names, counts), (note,))


def stock_name(little: str, much: str) -> str:
    """Name of the stock mix of a little of one ink in another."""
    return f"{little} in {much}"


def _choices(first: str, second: str) -> list[Count]:
    """Recipes of both inks, small ones first: the first alone, plain ones, those with a stock."""
    plain, stocked = [Count({first: 1}, 0.0)], []
    for total in range(2, MOST_DROPS + 1):
        for count in range(1, total):
            part = count / total
            plain.append(Count(_two(first, total - count, second, count), part))
            if total > MOST_STOCKED_DROPS:
                continue
            part = part / STOCK_DROPS
            stock = _two(first, total - count, stock_name(second, first), count)
            stocked.append(Count(stock, part))
            stock = _two(second, total - count, stock_name(first, second), count)
            stocked.append(Count(stock, 1 - part))
    return plain + stocked


def _stocks(names: Sequence[str], counts: Sequence[Count]) -> dict[str, dict[str, int]]:
    """Drops of the stock mixes that recipes use, by name."""
    used = {name for count in counts for name in count.drops}
    return {
        stock_name(little, much): {much: STOCK_DROPS - 1, little: 1}
        for little, much in itertools.permutations(names, 2)
        if stock_name(little, much) in used
    }


def _pairs(names: Sequence[str]) -> list[tuple[str, str]]:
    return list(zip(names, [*names[1:], names[0]], strict=True))


def _fine_at_ends() -> Array:
    """Shares from 0 to 1, closer at both ends, where a strong ink turns the hue fastest."""
    rise = np.geomspace(1e-4, 0.5, 400)
    return np.concatenate([[0.0], rise, 1.0 - rise[-2::-1], [1.0]])


def _two(first: str, count: int, second: str, other: int) -> dict[str, int]:
    return {name: n for name, n in ((first, count), (second, other)) if n}


@dataclass(frozen=True, eq=False)
class HuePath:
    """Munsell hue, without a jump at 100, against the share of drops of the second ink."""

    share: Array
    hue: Array

    def hue_at(self, share: float) -> float:
        """Hue at a share of drops."""
        return float(np.interp(share, self.share, self.hue))

    def nearest(self, choices: Sequence[Count], hue: float, enough: float) -> Count:
        """The first recipe that is near `enough` to a hue, or else the nearest."""
        shares = np.array([choice.share for choice in choices])
        errors = np.abs(np.interp(shares, self.share, self.hue) - hue)
        good = np.flatnonzero(errors <= enough)
        return choices[int(good[0]) if good.size else int(errors.argmin())]


def hue_path(table: Table, first: str, second: str) -> HuePath:
    """Hue of the mixes of two inks over all shares of drops."""
    share = _fine_at_ends()
    shares = _by_volume(table, (first, second), np.stack([1 - share, share], axis=1))
    inks = [table.palette.inks[first], table.palette.inks[second]]
    seen = xyz(table, lay_shares(table, inks, shares))[0]
    hue = munsell_from_xyz(seen, table.light.white_xyz).hue
    return HuePath(share, np.unwrap(hue, period=100.0))


def _by_volume(table: Table, names: Sequence[str], drops: Array) -> Array:
    """Shares by volume of recipes in drops."""
    volume = drops / np.array([table.palette.inks[name].drops_per_ml for name in names])
    return volume / volume.sum(axis=1, keepdims=True)
