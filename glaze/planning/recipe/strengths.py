"""The best strength of every proportion of inks, for whatever is asked of the colour it makes.

A wash on bare paper needs no sheet: its path is that of its inks by volume, weighted by the load
law. So all proportions are predicted in one sum, by the same equations as `glaze.sheet.wash.lay`
(parity is tested).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.ink import Ink
from glaze.patch.patches import first_washes, reflectance
from glaze.patch.table import Table
from glaze.physics.colour import D65_XYZ, lab_from_xyz
from glaze.planning.recipe.drops import Counts, every_proportion, proportion_count
from glaze.planning.recipe.wanted import daylight_weights

Array = NDArray[np.float64]
Score = Callable[[Array], Array]
"""How far colours are off, from their CIELAB of shape (colours, 3): the less the nearer."""
Strengths = tuple[Counts, Array, Array]
"""Proportions [drops], strength [neat coats] and score of each."""

THINNEST = 1 / 61
"""Weakest wash that is looked at: 1 part + 60 parts water."""
STEPS, CLOSER, ROUNDS = 11, 7, 4
KEPT = 300
SIMPLE = 4
"""So many proportions, and those of up to so many drops, have their strength looked for closely."""
MOST_DROPS = 40
MOST_PROPORTIONS = 100_000
CHUNK = 8192


def predicted_lab(table: Table, inks: Sequence[Ink], counts: Counts, strength: Array) -> Array:
    """CIELAB (D65) of washes on bare paper, shape (washes, 3).

    counts : whole drops of each ink, shape (washes, inks)
    strength : neat coats [-], shape (washes,); 2 is two of them, 1/9 one of 1 part + 8 parts water
    """
    ink_ml = counts / np.array([ink.drops_per_ml for ink in inks])
    share = ink_ml / ink_ml.sum(axis=1, keepdims=True) * strength[:, None]
    return lab_of(table, share @ table.contents_g_per_l(inks), strength)


def lab_of(table: Table, contents_g_per_l: Array, strength: Array) -> Array:
    """CIELAB (D65) of liquids laid on bare paper, shape (washes, 3).

    contents_g_per_l : of each colourant [g/L], shape (washes, colourants)
    strength : share of ink in the liquid [-], shape (washes,); above 1 more than one coat
    """
    weights = daylight_weights(table.light)
    lab = np.empty((len(strength), 3))
    for start in range(0, len(strength), CHUNK):
        part = slice(start, start + CHUNK)
        sheet = first_washes(table, contents_g_per_l[part], strength[part])
        lab[part] = lab_from_xyz(reflectance(table, sheet)[0] @ weights, D65_XYZ)
    return lab


def proportions(inks: int, most_drops: int, most_inks: int) -> Counts:
    """All proportions of some inks, refused where they can't be counted out or tried.

    Whole [drops], shape (proportions, inks).
    """
    if not 1 <= most_drops <= MOST_DROPS or most_inks < 1:
        raise InputError(
            f"{most_drops} drops of {most_inks} inks: a recipe has 1 to {MOST_DROPS} drops of 1 or "
            "more inks."
        )
    count = proportion_count(inks, most_drops, most_inks)
    if count > MOST_PROPORTIONS:
        raise InputError(
            f"{most_drops} drops of up to {most_inks} out of {inks} inks make {count} proportions; "
            f"at most {MOST_PROPORTIONS} can be tried. Ask for fewer drops or inks, or name the "
            "bottles with --only."
        )
    return every_proportion(inks, most_drops, most_inks)


def strengths_to_try(thickest: float = 1.0) -> Array:
    """Strengths that are looked through at first [neat coats], in equal ratios, shape (steps,)."""
    return np.geomspace(thickest, THINNEST, STEPS)


def best_strengths(
    table: Table,
    inks: Sequence[Ink],
    counts: Counts,
    scores: Mapping[float, Score],
    thickest: float = 1.0,
) -> Strengths:
    """The proportions that come nearest, each at its best strength; with that and their scores.

    Strengths [neat coats] are looked through in equal ratios, then more closely about the best.

    Parameters
    ----------
    counts : whole drops of each ink, shape (proportions, inks)
    scores : of the wash as it is (1.0), and of the same thinned again to such a share; the mean
        counts
    thickest : strongest wash to try [neat coats]
    """

    def scored(rows: Counts, strengths: Array) -> Array:
        """Shape (strengths, rows); strengths one for each row or alike for all."""
        each = np.broadcast_to(strengths, (len(strengths), len(rows)))
        many = np.tile(rows, (len(each), 1))
        total = sum(
            score(predicted_lab(table, inks, many, (each * share).ravel()))
            for share, score in scores.items()
        )
        return np.asarray(total).reshape(each.shape) / len(scores)

    grid = strengths_to_try(thickest)[:, None]
    off = scored(counts, grid)
    order = np.argsort(off.min(axis=0), kind="stable")
    # the nearest, and all the simple ones
    simple = counts[order].sum(axis=1) <= SIMPLE
    near = np.concatenate([order[:KEPT], order[KEPT:][simple[KEPT:]]])
    rows, best = counts[near], grid[off[:, near].argmin(axis=0), 0]
    ratio = (thickest / THINNEST) ** (1 / (STEPS - 1))
    for _ in range(ROUNDS):
        closer = np.geomspace(1 / ratio, ratio, CLOSER)[:, None] * best
        closer = np.clip(closer, THINNEST, thickest)
        off = scored(rows, closer)
        chosen = off.argmin(axis=0)
        best = closer[chosen, np.arange(len(rows))]
        ratio = ratio ** (2 / (CLOSER - 1))
    return rows, best, off.min(axis=0)
