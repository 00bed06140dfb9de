"""Where a shadow's wash lies: every sample that it explains better than a colour of its own would.

A piece is lit, or is as a whole another, lit one beside it under the wash; a sample is in shadow
where it is nearer to a lit colour about it under the wash than to that colour bare.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, xyz_from_lab
from glaze.planning.recipe.drops import every_proportion
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.pieces import LEAST_MM2, Piece, evened_shape
from glaze.planning.rough.trials import Bottles

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

INKS = 3
BESIDE_MM = 1.6
LEAST_STEP = 5.0
"""An edge is where L* changes by so much."""
TAKEN, TAKEN_SHARE = 2.0, 0.4
"""A whole piece is in shadow where it is nearer than that, and that share of its difference."""
FITS = 10.0


class Hues:
    """What any wash makes of any colour: through the nearest colour that the bottles give."""

    def __init__(self, bottles: Bottles) -> None:
        from scipy.spatial import cKDTree

        self.bottles = bottles
        self.mixes = washes_of(bottles, 6, np.geomspace(0.012, 2.0, 14))
        self.xyz = xyz_from_lab(bottles.labs(self.mixes, each(self.mixes)), D65_XYZ)
        self.tree = cKDTree(lab_from_xyz(self.xyz, D65_XYZ))

    def under(self, lab: Array, mixes: Array) -> Array:
        """Some colours with each of some washes over them, CIELAB [-], (washes, colours, 3).

        lab : shape (colours, 3). mixes : [neat coats], shape (washes, bottles)
        """
        near, which = np.unique(self.tree.query(lab)[1], return_inverse=True)
        own = np.vstack([self.mixes[near], mixes])
        over = np.arange(len(mixes)) + len(near)
        stacks = np.stack(np.meshgrid(np.arange(len(near)), over), axis=-1).reshape(-1, 2)
        xyz = xyz_from_lab(self.bottles.labs(own, stacks), D65_XYZ)
        kept = (xyz.reshape(len(mixes), len(near), 3) / self.xyz[near])[:, which]
        return lab_from_xyz(kept * xyz_from_lab(lab, D65_XYZ), D65_XYZ)


def each(mixes: Array) -> Numbers:
    """Stacks of one wash each, by number of the wash, shape (washes, 1)."""
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


def where_it_lies(
    laid: OnSheet, pieces: Sequence[Piece], lab: Array, mix: Array, hues: Hues
) -> Numbers:
    """Samples that a wash over what lies about them explains, as flat indices, shape (found,).

    lab : of all samples, CIELAB [-], shape (samples, 3). mix : [neat coats], shape (bottles,)
    """
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
            inside[at] = _under_wash(at, n, pieces, shade, about, lit, lab, laid)
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


def _under_wash(
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
