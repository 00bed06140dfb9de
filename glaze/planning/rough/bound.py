"""The bound: a colour of its own for every piece, whatever wells and steps that would take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import delta_e_2000
from glaze.planning.rough.draft import Easel
from glaze.planning.rough.grades import RunFit
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.offered import Washes
from glaze.planning.rough.tune import STRONGEST
from glaze.planning.rough.wants import unlike

Array = NDArray[np.float64]

FREE_STEPS = (0.3, 0.15, 0.07, 0.03)


def free_off(
    easel: Easel, washes: Washes, runs: Mapping[int, Sequence[RunFit]], laid: OnSheet
) -> Array:
    """How far off each piece's samples are from the best colours it could have for itself.

    Mean CIEDE2000 [-], shape (pieces,).
    """
    wanted, lab, seen = easel.wanted, laid.lab.reshape(-1, 3), laid.seen.ravel()
    best, ends = free_labs(easel, washes, runs), np.append(wanted.first, len(wanted.lab))
    found = np.zeros(len(wanted.pieces))
    for n, piece in enumerate(wanted.pieces):
        at = piece.at[seen[piece.at]]
        own = best[ends[n] : ends[n + 1]]
        if at.size:
            found[n] = delta_e_2000(lab[at], piece.along(own, at, laid)).mean()
    return found


def free_labs(easel: Easel, washes: Washes, runs: Mapping[int, Sequence[RunFit]]) -> Array:
    """Every place with the best colour its piece could have, CIELAB [-], shape (places, 3).

    The nearest of all washes that were tried, moved until nothing is nearer; graded washes for
    a run.
    """
    own = washes.mixes[washes.alone.argmin(axis=0)]
    off, found = _own_off(easel, own)
    for step in FREE_STEPS:
        for ink, sign in product(range(own.shape[1]), (step, -step)):
            moved = own.copy()
            moved[:, ink] += sign * np.maximum(own[:, ink], 0.2 * own.sum(axis=1))
            moved = np.clip(moved, 0.0, STRONGEST)
            now, lab = _own_off(easel, moved)
            better = now < off
            own[better], off[better] = moved[better], now[better]
            found = np.where(better[easel.wanted.piece, None], lab, found)
    bare = (easel.bare().off < off) | easel.wanted.shut
    found = np.where(bare[easel.wanted.piece, None], easel.bare_lab, found)
    for piece, fits in runs.items():
        fit = min(fits, key=lambda one: one.off)
        if fit.off < off[piece]:
            at = np.flatnonzero(easel.wanted.piece == piece)
            films = np.array([g.film(easel.wanted.xy_mm[at]) for g in fit.grades]).T
            rows = np.tile(np.arange(len(fit.mixes)), (len(at), 1))
            found[at] = easel.bottles.labs(fit.mixes, rows, films, easel.under(at))
    return found


def _own_off(easel: Easel, mixes: Array) -> tuple[Array, Array]:
    """How far off every piece is with a wash of its own, and the colours of all places."""
    piece = easel.wanted.piece
    lab = easel.bottles.labs(mixes, piece[:, None], on=easel.under(np.arange(len(piece))))
    return easel.wanted.summed(unlike(lab, easel.wanted.lab)), lab
