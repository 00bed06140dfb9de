"""Shadows of a rough that one wash gives wherever it falls: found by what it does to each colour.

Across the edge of a shadow two colours of one thing meet. One dilution, laid over whatever lies
there, explains all such pairs along its edges, whatever their hues: that dilution is searched for,
then others of the same wash for shadows that are deeper or fainter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import delta_e_2000
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.pieces import NONE, evened_lab, pieces_of
from glaze.planning.rough.shaded import LEAST_STEP, Hues, each, washes_of, where_it_lies
from glaze.planning.rough.trials import Bottles

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

ACROSS_MM, FLAT_MM, FLAT_SHARE = (1.2, 2.6), 0.6, 0.12
"""Colours are compared so far apart, across hard edges and soft ones, where so far beyond either
side no more than that share of the change goes on."""
MOST_PAIRS = 3000
DROPS, STRENGTHS = 4, np.geomspace(0.02, 1.0, 26)
GREYEST, DARK_ENOUGH = 11.0, 88.0
"""A shadow wash has no more chroma on paper, and no more L*: else it is a glaze."""
SURE, SHARE = 1.0, 0.12
"""A pair is explained where it is nearer than that [CIEDE2000] and that share of its difference."""
WIDER = (0.2, 0.3)
"""Such shares of it when the wash that was found is moved to explain more: hands are uneven."""
INK_PRICE = 0.08
"""Of each bottle more in a shadow: diluted black alone is this palette's way, and surer."""
HUE_STEPS = (25.0, 20.0, 20.0)
"""Colours no further apart than that in L*, a*, b* are one hue in shade, not several."""
LEAST_SHARE = 0.004
MOST_SHADOWS, FEWEST_PAIRS = 3, 20
DILUTIONS, UNLIKE, FURTHER_SHARE = np.geomspace(0.15, 6.5, 24), 1.8, 0.3
"""A further shadow is the first one's wash more or less let down, by so much at least, and explains
such a share of the pairs that are left: else it is a glaze, or a thing of its own."""


@dataclass(frozen=True, eq=False)
class CastShadow:
    """A wash that shadows of a rough are of.

    mix : [neat coats] of each bottle, shape (bottles,)
    at : samples it lies on, as flat indices of the grid
    """

    mix: Array
    at: Numbers


def shadows_of(laid: OnSheet, bottles: Bottles) -> list[CastShadow]:
    """The shadows of a rough, the one that explains most first."""
    hues, pieces = Hues(bottles), pieces_of(laid, runs=False)
    lab = evened_lab(laid)
    pairs = _pairs(laid, lab)
    found: list[CastShadow] = []
    left = np.ones(laid.number.size, bool)
    while len(found) < MOST_SHADOWS and len(pairs) >= FEWEST_PAIRS:
        mix, explained = _explaining_most(pairs, hues, [one.mix for one in found])
        few = max(FEWEST_PAIRS, FURTHER_SHARE * len(pairs)) if found else 1
        if np.count_nonzero(explained) < few:
            break
        pairs = pairs[~explained]
        at = np.intersect1d(where_it_lies(laid, pieces, lab, mix, hues), np.flatnonzero(left))
        if len(at) < LEAST_SHARE * laid.number.size:
            break
        left[at] = False
        found.append(CastShadow(mix, at))
    return found


def number_of(shadows: Sequence[CastShadow], laid: OnSheet) -> Numbers:
    """Number of the shadow that each sample lies in, or NONE, shape (samples,)."""
    found = np.full(laid.number.size, NONE)
    for number, shadow in enumerate(shadows):
        found[shadow.at] = number
    return found


def _pairs(laid: OnSheet, lab: Array) -> Array:
    """Colours either side of edges within areas, the lighter first, CIELAB, (pairs, 2, 3)."""
    index = np.arange(laid.number.size).reshape(laid.number.shape)
    number, seen = laid.number.ravel(), laid.seen.ravel()
    beyond = max(1, round(FLAT_MM / laid.mm))
    found = []
    for far_mm in ACROSS_MM:
        far = max(2, round(far_mm / laid.mm))
        for along in (index, index.T):
            # four in a row: flat, an edge between, and flat again
            ends = [0, beyond, beyond + far, 2 * beyond + far]
            four = np.stack([along[e : len(along) - ends[-1] + e].ravel() for e in ends], axis=1)
            one = (number[four] == number[four[:, :1]]).all(axis=1) & (number[four[:, 0]] > 0)
            four = four[one & seen[four].all(axis=1)]
            L = lab[four, 0]
            change = np.abs(np.diff(L))
            edge = (change[:, 1] > LEAST_STEP) & (
                change[:, [0, 2]].max(axis=1) < FLAT_SHARE * change[:, 1]
            )
            two = np.where(L[:, 1:2] < L[:, 2:3], four[:, [2, 1]], four[:, [1, 2]])
            found.append(two[edge])
    both = np.concatenate(found)
    return lab[both[:: max(1, len(both) // MOST_PAIRS)]]


def _explaining_most(
    pairs: Array, hues: Hues, found: Sequence[Array]
) -> tuple[Array, NDArray[np.bool_]]:
    """The wash that explains most of some pairs, in most hues, and which of them.

    found : the washes of shadows that are known; another is a dilution of the first
    """
    mixes = _dilutions(found) if found else _shadow_washes(hues)
    hue = np.unique(np.round(pairs[:, 0] / HUE_STEPS), axis=0, return_inverse=True)[1].ravel()
    apart = delta_e_2000(pairs[:, 0], pairs[:, 1])
    best = (-1.0, mixes[0], np.zeros(len(pairs), bool))
    for at in range(0, len(mixes), 64):
        some = mixes[at : at + 64]
        off = delta_e_2000(hues.under(pairs[:, 0], some), pairs[:, 1])
        fit = np.maximum(0.0, 1.0 - off / (SURE + SHARE * apart))
        for mix, one in zip(some, fit, strict=True):
            # many edges of one hue count less than as many of several
            votes = float(np.sqrt(np.bincount(hue, one * apart)).sum())
            votes *= 1.0 - INK_PRICE * np.count_nonzero(mix)
            if votes > best[0]:
                best = votes, mix, one > 0
    mix, explained = best[1], best[2]
    for share in WIDER:
        if not explained.any():
            break
        mix = mix if found else _refined(pairs[explained], mix, hues)
        off = delta_e_2000(hues.under(pairs[:, 0], mix[None])[0], pairs[:, 1])
        explained = off < SURE + share * apart
    return mix, explained


def _shadow_washes(hues: Hues) -> Array:
    """Washes that a shadow may be of, shape (washes, bottles)."""
    mixes = washes_of(hues.bottles, DROPS, STRENGTHS)
    own = hues.bottles.labs(mixes, each(mixes))
    grey = np.hypot(own[:, 1], own[:, 2]) < GREYEST
    return np.asarray(mixes[grey & (own[:, 0] < DARK_ENOUGH)])


def _dilutions(found: Sequence[Array]) -> Array:
    """The first of some washes in strengths unlike those of all, shape (washes, bottles)."""
    strong = np.array([mix.sum() for mix in found])
    every = DILUTIONS * strong[0]
    apart = np.abs(np.log(every[:, None] / strong)).min(axis=1) > np.log(UNLIKE)
    return np.asarray(every[apart, None] * found[0] / strong[0])


def _refined(pairs: Array, mix: Array, hues: Hues) -> Array:
    """A wash moved to where it explains some pairs best."""
    step = 0.2
    off = _off(pairs, mix[None], hues)[0]
    while step > 0.02:
        moves = [mix * (1 + step), mix / (1 + step)]
        for ink, sign in product(range(len(mix)), (step, -step)):
            moved = mix.copy()
            moved[ink] = max(0.0, moved[ink] + sign * mix.sum())
            moves.append(moved)
        offs = _off(pairs, np.array([m for m in moves if m.sum() > 0]), hues)
        best = int(offs.argmin())
        if offs[best] < off - 0.02:
            mix, off = moves[best], offs[best]
        else:
            step /= 2
    return mix


def _off(pairs: Array, mixes: Array, hues: Hues) -> Array:
    """How far off some pairs are with each of some washes, middle of all [CIEDE2000]."""
    inks = np.count_nonzero(mixes, axis=1)
    off = delta_e_2000(hues.under(pairs[:, 0], mixes), pairs[:, 1])
    return np.asarray(off.mean(axis=1) * (1 + INK_PRICE * inks))
