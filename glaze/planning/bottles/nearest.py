"""Which bottle: the nearest of one's own to a colour, and those that are a mix of others."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.ink import Ink
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000
from glaze.planning.recipe.drops import Counts, every_proportion
from glaze.planning.recipe.match import THICKEST, Match, match_of
from glaze.planning.recipe.naming import NEAR, THINNED, Likeness, likeness
from glaze.planning.recipe.strengths import best_strengths, predicted_lab, strengths_to_try
from glaze.planning.recipe.verdict import REACHED_DE00, difference
from glaze.planning.recipe.wanted import Wanted

Array = NDArray[np.float64]

MOST_BOTTLES = 100
FEW = 8
"""Up to so many bottles mixes of three in 12 drops are tried, beyond it of two in 6."""
CLOSELY = 60
"""So many mixes, the nearest by CIELAB neat and thinned, have their strength looked for closely."""


@dataclass(frozen=True)
class NearestBottles:
    """Bottles by how near each comes to a colour at its best strength, the nearest first."""

    wanted: Wanted
    bottles: tuple[Match, ...]
    note: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        rows = [{"bottle": _name(m), **m.as_dict()} for m in self.bottles]
        told = {"text": self.wanted.text, "munsell": self.wanted.notation}
        return {"wanted": told, "bottles": rows, "note": self.note}


def nearest_bottles(wanted: Wanted, table: Table, most: int = 5) -> NearestBottles:
    """The bottles of the palette that come nearest to a colour, each by itself with water alone.

    Each stands at the strength that comes nearest, by CIEDE2000: water sets a bottle's value and
    not its hue, so among bottles alone keeping the hue first would take a yellow for an olive.
    """
    if most < 1:
        raise InputError(f"{most} bottles: ask for 1 or more.")
    bottles, far = _few_enough(table), partial(delta_e_2000, lab_2=wanted.lab)
    alone = np.eye(len(bottles), dtype=np.int64)
    rows, strength, off = best_strengths(table, bottles, alone, {1.0: far}, THICKEST)
    found = tuple(
        match_of(table, bottles, rows[n], float(strength[n]), wanted)
        for n in np.argsort(off, kind="stable")[:most]
    )
    best = found[0]
    note = f"{_name(best)} is hardly told from it."
    if best.de00 > REACHED_DE00:
        note = f"{_name(best)}, the nearest, is {difference(wanted, best.lab)}."
    return NearestBottles(wanted, found, note)


def _name(match: Match) -> str:
    return next(iter(match.inks.drops))


def mixable_bottles(
    table: Table, share: Callable[[float], None] | None = None
) -> tuple[Likeness, ...]:
    """Every bottle beside the mix of the others that is nearest to it; the nearest first.

    Bottles up to `NEAR` off (CIEDE2000) are given; who mixes can do without those that look like
    their mix. Up to eight bottles are mixed by threes in 12 drops, more by twos in 6.

    share : is told the share of the bottles that is done
    """
    bottles = _few_enough(table)
    if len(bottles) < 2:
        raise InputError("There is one bottle only; nothing to mix it from.")
    counts = every_proportion(len(bottles), *((12, 3) if len(bottles) <= FEW else (6, 2)))
    found = []
    for likeness_of_one in _likenesses(table, bottles, counts):
        found.append(likeness_of_one)
        if share is not None:
            share(len(found) / len(bottles))
    found.sort(key=lambda one: one.mixes[0][1])
    return tuple(one for one in found if one.mixes[0][1] <= NEAR)


def _likenesses(table: Table, bottles: list[Ink], counts: Counts) -> Iterator[Likeness]:
    """The nearest mix of each bottle from all the others."""
    steps = strengths_to_try()
    many, strength = np.tile(counts, (len(steps), 1)), np.repeat(steps, len(counts))
    seen = _thinned_lab(table, bottles, many, strength)
    alone = np.eye(len(bottles), dtype=np.int64)
    own = _thinned_lab(table, bottles, alone, np.ones(len(bottles)))
    for place, bottle in enumerate(bottles):
        apart = np.square(seen - own[place]).sum(axis=(1, 2))
        apart[many[:, place] > 0] = np.inf
        near = np.unique(np.argsort(apart, kind="stable")[:CLOSELY] % len(counts))
        near = near[counts[near, place] == 0]
        others = [*bottles[:place], *bottles[place + 1 :]]
        rows = np.delete(counts[near], place, axis=1)
        yield likeness(table, bottle.name, own[place], others, rows)


def _thinned_lab(table: Table, bottles: list[Ink], counts: Counts, strength: Array) -> Array:
    """CIELAB of each mix at both shares of `THINNED`, shape (mixes, 2, 3)."""
    each = [predicted_lab(table, bottles, counts, strength * share) for share in THINNED]
    return np.stack(each, axis=1)


def _few_enough(table: Table) -> list[Ink]:
    """All bottles of the palette, refused where they are too many to try."""
    bottles = list(table.palette.inks.values())
    if len(bottles) > MOST_BOTTLES:
        raise InputError(f"{len(bottles)} bottles; at most {MOST_BOTTLES} can be compared.")
    return bottles
