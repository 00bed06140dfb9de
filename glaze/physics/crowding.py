"""How far the ink that lies below crowds a later wash: only where both stop the same light.

The load law (`glaze.physics.absorption.crowded`) makes a later wash count for less. Counting all
earlier ink made a black tint read lighter on yellow than on bare paper. Here the ink below counts
as so many coats *of the wash itself*, in the third of the spectrum where it covers the wash least
(docs/decisions/002-crowding.md).
"""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import ArrayLike, NDArray

THIRDS_NM = (400.0, 500.0, 580.0, 700.0)
"""Blue, green and red light; the bounds are those of the usual names, not fitted."""

IDLE_THIRD = 0.05
"""A third that does less than this share of the wash's best third is left out of the count:
there the ratio of two nearly empty absorptions says nothing. 0 to 0.1 score alike."""


def thirds_weights(band_nm: ArrayLike) -> NDArray[np.float64]:
    """Width [nm] of each band inside the blue, green and red thirds, shape (3, bands)."""
    nm = np.asarray(band_nm, dtype=float)
    edges = np.concatenate(([nm[0]], (nm[1:] + nm[:-1]) / 2.0, [nm[-1]]))
    low, high = edges[:-1], edges[1:]
    bounds = itertools.pairwise(THIRDS_NM)
    return np.array([np.clip(np.minimum(high, b) - np.maximum(low, a), 0, None) for a, b in bounds])


def crowding_overlap(
    neat_load_g_per_m2: ArrayLike,
    path_per_load: ArrayLike,
    band_nm: ArrayLike,
    path_spread: float,
) -> NDArray[np.float64]:
    """Coats of the wash that a g/m2 of each colourant below stands for, in each third of light.

    In a third, a colourant counts as its path over the wash's own path, both averaged with the
    slope of the reflectance law at one neat coat, (1 + a/k)^-(k+1): light the wash has already
    stopped weighs little. What the wash itself lays counts as exactly its own coats, so cutting
    a wash into coats changes nothing.

    Parameters
    ----------
    neat_load_g_per_m2 : dyes of one neat coat of the wash [g/m2], shape (..., colourants): of one
        wash, or of many
    path_per_load : path A of 1 g/m2 of each colourant [m2/g], shape (colourants, bands)
    band_nm : [nm], shape (bands,), ascending
    path_spread : k of the paper [-]

    Returns
    -------
    [m2/g], shape (..., 3, colourants); a third where the wash is idle repeats the row of its best
    third; all zero for a wash without dye
    """
    paths = np.maximum(np.asarray(path_per_load, dtype=float), 0.0)
    wash = np.asarray(neat_load_g_per_m2, dtype=float) @ paths
    slope = (1.0 + wash / path_spread) ** -(path_spread + 1.0)
    weights = thirds_weights(band_nm) * slope[..., None, :]
    work = (weights @ wash[..., None])[..., 0]
    best = np.argmax(work, axis=-1)[..., None]
    most = np.take_along_axis(work, best, axis=-1)
    third = np.where(work >= IDLE_THIRD * most, np.arange(3), best)
    weights = np.take_along_axis(weights, third[..., None], axis=-2)
    work = np.take_along_axis(work, third, axis=-1)[..., None]
    done = weights @ paths.T
    return np.divide(done, work, out=np.zeros_like(done), where=most[..., None] > 0.0)


def coats_below(
    load_g_per_m2: ArrayLike, coats: ArrayLike, overlap: ArrayLike
) -> NDArray[np.float64]:
    """Running load Q that the wash meets [neat coats]: the least of the thirds, at most `coats`.

    Parameters
    ----------
    load_g_per_m2 : what lies on the sheet [g/m2], shape (..., colourants)
    coats : all neat coats that lie there, whatever their colour [-], shape (...)
    overlap : from `crowding_overlap`, shape (3, colourants), or with leading axes as the load's
    """
    load, rows = np.asarray(load_g_per_m2, dtype=float), np.asarray(overlap, dtype=float)
    thirds = load @ rows.T if rows.ndim == 2 else (rows @ load[..., None])[..., 0]
    return np.minimum(np.asarray(coats, dtype=float), thirds.min(axis=-1))
