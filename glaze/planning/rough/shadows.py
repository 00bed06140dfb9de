"""Shadows of a rough that one wash gives wherever it falls: found by what it does to each colour.

Across the edge of a shadow two colours of one thing meet. One dilution, laid over whatever lies
there, explains all such pairs along its edges, whatever their hues: that dilution is searched for,
and then every sample that it explains better than a colour of its own would.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, xyz_from_lab
from glaze.planning.recipe.drops import every_proportion
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.pieces import LEAST_MM2, NONE, Piece, evened_shape, pieces_of, smoothed
from glaze.planning.rough.trials import Bottles

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

ACROSS_MM, FLAT_MM, FLAT_SHARE = (1.2, 2.6), 0.6, 0.12
"""Colours are compared so far apart, across hard edges and soft ones, where so far beyond either
side no more than that share of the change goes on."""
BESIDE_MM = 1.6
LEAST_STEP = 5.0
"""An edge is where L* changes by so much."""
MOST_PAIRS = 3000
DROPS, INKS, STRENGTHS = 4, 3, np.geomspace(0.02, 1.0, 26)
GREYEST, DARK_ENOUGH = 11.0, 88.0
"""A shadow wash has no more chroma on paper, and no more L*: else it is a glaze."""
SURE, SHARE = 1.0, 0.12
"""A pair is explained where it is nearer than that [CIEDE2000] and that share of its difference."""
WIDER = (0.2, 0.3)
"""Such shares of it when the wash that was found is moved to explain more: hands are uneven."""
TAKEN, TAKEN_SHARE = 2.0, 0.4
"""A whole piece is in shadow where it is nearer than that, and that share of its difference."""
INK_PRICE = 0.08
"""Of each bottle more in a shadow: diluted black alone is this palette's way, and surer."""
HUE_STEPS = (25.0, 20.0, 20.0)
"""Colours no further apart than that in L*, a*, b* are one hue in shade, not several."""
LEAST_SHARE = 0.004
MOST_SHADOWS = 1
FITS = 10.0


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
    hues, pieces = _Hues(bottles), pieces_of(laid, runs=False)
    lab = smoothed(laid)
    pairs = _pairs(laid, lab)
    found: list[CastShadow] = []
    left = np.ones(laid.number.size, bool)
    for _ in range(MOST_SHADOWS):
        if len(pairs) < 20:
            break
        mix, explained = _explaining_most(pairs, hues)
        if not explained.any():
            break
        pairs = pairs[~explained]
        at = np.intersect1d(_where(laid, pieces, lab, mix, hues), np.flatnonzero(left))
        left[at] = False
        if len(at) >= LEAST_SHARE * laid.number.size:
            found.append(CastShadow(mix, at))
    return found


def number_of(shadows: Sequence[CastShadow], laid: OnSheet) -> Numbers:
    """Number of the shadow that each sample lies in, or NONE, shape (samples,)."""
    found = np.full(laid.number.size, NONE)
    for number, shadow in enumerate(shadows):
        found[shadow.at] = number
    return found


class _Hues:
    """What any wash makes of any colour: through the nearest colour that the bottles give."""

    def __init__(self, bottles: Bottles) -> None:
        from scipy.spatial import cKDTree

        self.bottles = bottles
        self.mixes = washes_of(bottles, 6, np.geomspace(0.012, 2.0, 14))
        self.xyz = xyz_from_lab(bottles.labs(self.mixes, _each(self.mixes)), D65_XYZ)
        self.tree = cKDTree(lab_from_xyz(self.xyz, D65_XYZ))

    def under(self, lab: Array, mixes: Array) -> Array:
        """Some colours with each of some washes over them, CIELAB, shape (washes, colours, 3)."""
        near, which = np.unique(self.tree.query(lab)[1], return_inverse=True)
        own = np.vstack([self.mixes[near], mixes])
        over = np.arange(len(mixes)) + len(near)
        stacks = np.stack(np.meshgrid(np.arange(len(near)), over), axis=-1).reshape(-1, 2)
        xyz = xyz_from_lab(self.bottles.labs(own, stacks), D65_XYZ)
        kept = (xyz.reshape(len(mixes), len(near), 3) / self.xyz[near])[:, which]
        return lab_from_xyz(kept * xyz_from_lab(lab, D65_XYZ), D65_XYZ)


def _each(mixes: Array) -> Numbers:
    return np.arange(len(mixes))[:, None]


def washes_of(bottles: Bottles, drops: int, strengths: Array) -> Array:
    """Every proportion of up to three bottles in so many drops, in some strengths [neat coats].

    shape (washes, bottles)
    """
    inks = bottles.inks
    counts = every_proportion(len(inks), drops, min(INKS, len(inks)))
    ml = counts / np.array([ink.drops_per_ml for ink in inks])
    share = ml / ml.sum(axis=1, keepdims=True)
    return np.asarray((share[:, None] * strengths[:, None]).reshape(-1, len(inks)))


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


def _explaining_most(pairs: Array, hues: _Hues) -> tuple[Array, NDArray[np.bool_]]:
    """The wash that explains most of some pairs, in most hues, and which of them."""
    mixes = washes_of(hues.bottles, DROPS, STRENGTHS)
    own = hues.bottles.labs(mixes, _each(mixes))
    mixes = mixes[(np.hypot(own[:, 1], own[:, 2]) < GREYEST) & (own[:, 0] < DARK_ENOUGH)]
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
        mix = _refined(pairs[explained], mix, hues)
        off = delta_e_2000(hues.under(pairs[:, 0], mix[None])[0], pairs[:, 1])
        explained = off < SURE + share * apart
    return mix, explained


def _refined(pairs: Array, mix: Array, hues: _Hues) -> Array:
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


def _off(pairs: Array, mixes: Array, hues: _Hues) -> Array:
    """How far off some pairs are with each of some washes, middle of all [CIEDE2000]."""
    inks = np.count_nonzero(mixes, axis=1)
    off = delta_e_2000(hues.under(pairs[:, 0], mixes), pairs[:, 1])
    return np.asarray(off.mean(axis=1) * (1 + INK_PRICE * inks))


def _where(laid: OnSheet, pieces: Sequence[Piece], lab: Array, mix: Array, hues: _Hues) -> Numbers:
    """Samples that a wash over what lies about them explains, as flat indices."""
    ends = np.cumsum([0, *(len(p.lab) for p in pieces)])
    every = np.concatenate([p.lab for p in pieces])
    shaded = hues.under(every, mix[None])[0]
    shade = [shaded[a:b] for a, b in pairwise(ends)]
    about = _neighbours(laid, pieces)
    lit = _lit(pieces, shade, about)
    inside = np.zeros(laid.number.size, bool)
    seen = laid.seen.ravel()
    for n, piece in enumerate(pieces):
        at = piece.at[seen[piece.at]]
        if at.size:
            inside[at] = _shaded(at, n, pieces, shade, about, lit, lab, laid)
    return _as_shapes(inside, laid)


def _neighbours(laid: OnSheet, pieces: Sequence[Piece]) -> list[set[int]]:
    """Of each piece, those that lie beside it, across a line too, and those of its own area."""
    home = np.full(laid.number.size, -1)
    for n, piece in enumerate(pieces):
        home[piece.at] = n
    grid = home.reshape(laid.number.shape)
    far = max(2, round(BESIDE_MM / laid.mm))
    sides = [(grid[:-far], grid[far:]), (grid[:, :-far], grid[:, far:])]
    both = np.concatenate([np.stack([a.ravel(), b.ravel()], axis=1) for a, b in sides])
    found: list[set[int]] = [set() for _ in pieces]
    for a, b in np.unique(both[(both[:, 0] != both[:, 1]) & (both >= 0).all(axis=1)], axis=0):
        found[a].add(int(b))
        found[b].add(int(a))
    areas: dict[int, list[int]] = {}
    for n, piece in enumerate(pieces):
        areas.setdefault(piece.area, []).append(n)
    for n, piece in enumerate(pieces):
        found[n] |= {n, *areas[piece.area]}
    return found


def _lit(pieces: Sequence[Piece], shade: Sequence[Array], about: Sequence[set[int]]) -> list[bool]:
    """Which pieces aren't as a whole another, lit one beside them under the wash."""
    middle = np.array([np.average(p.lab, axis=0, weights=p.share) for p in pieces])
    under = np.array(
        [np.average(s, axis=0, weights=p.share) for s, p in zip(shade, pieces, strict=True)]
    )
    lit = [True] * len(pieces)
    for n in np.argsort(-middle[:, 0]):
        lighter = [k for k in about[n] if lit[k] and middle[k, 0] > middle[n, 0] + LEAST_STEP / 2]
        if lighter:
            off = delta_e_2000(under[lighter], middle[n])
            apart = delta_e_2000(middle[lighter], middle[n])
            lit[n] = not bool((off < TAKEN + TAKEN_SHARE * apart).any())
    return lit


def _shaded(
    at: Numbers,
    n: int,
    pieces: Sequence[Piece],
    shade: Sequence[Array],
    about: Sequence[set[int]],
    lit: Sequence[bool],
    lab: Array,
    laid: OnSheet,
) -> NDArray[np.bool_]:
    """Which samples of a piece are nearer to a lit colour about them under the wash."""
    own = lab[at]
    under, plain = np.full(len(at), FITS), np.full(len(at), np.inf)
    for k in about[n]:
        if lit[k]:
            there = pieces[k].along(pieces[k].lab, at, laid)
            off = delta_e_2000(pieces[k].along(shade[k], at, laid), own)
            off = np.where(there[:, 0] > own[:, 0] + LEAST_STEP / 2, off, np.inf)
            under = np.minimum(under, off)
            if pieces[k].area == pieces[n].area:
                plain = np.minimum(plain, delta_e_2000(there, own))
    return np.asarray((under < plain) & (under < FITS))


def _as_shapes(inside: NDArray[np.bool_], laid: OnSheet) -> Numbers:
    """Samples as shapes that a brush can follow, none of them smaller than it paints."""
    from scipy.ndimage import label

    flat, seen = laid.number.ravel(), laid.seen.ravel()
    out = np.zeros(flat.size, bool)
    for number in np.unique(flat[inside]):
        at = np.flatnonzero((flat == number) & seen)
        out[at] = evened_shape(inside[at], at, laid)
    # lines part a shadow that runs on beyond them
    grid = out.reshape(laid.number.shape)
    shapes, _ = label(grid | ~laid.seen, np.ones((3, 3)))
    size = np.bincount(shapes.ravel(), grid.ravel())
    return np.flatnonzero(grid & (size[shapes] >= LEAST_MM2 / laid.mm**2))
