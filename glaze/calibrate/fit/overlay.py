"""Measured swatches laid over each other: what their own spectra say of the overlap."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.physics.absorption import (
    CROWDING,
    glaze_weight,
    path_from_reflectance,
    stack_reflectance,
)
from glaze.physics.crowding import crowding_overlap
from glaze.sheet.state import bare
from glaze.sheet.wash import LaidWash, lay, parted_by_none

Array = NDArray[np.float64]


def swatch_surface(reflectance: ArrayLike, surface: float) -> float:
    """Floor of one swatch: the sheet's, lower where the swatch itself is darker than that.

    s_i = min(s, 0.9 min R_i): pigments that fill the paper's surface take its stray light too.

    All [-]; the reflectance has shape (bands,).
    """
    return min(surface, 0.9 * float(np.min(np.asarray(reflectance, dtype=float))))


def overlaid(
    reflectances: ArrayLike,
    paper: ArrayLike,
    wavelength_nm: ArrayLike,
    sheet: tuple[float, float],
    measured_at: ArrayLike = 1.0,
    laid: ArrayLike | None = None,
    crowding: float = CROWDING,
) -> Array:
    """Reflectance of swatches laid one over the other, each dry before the next.

    Every swatch is taken as one colourant of its own and laid by `sheet.wash.lay`, the same law
    that paints a scene.

    Parameters
    ----------
    reflectances : of each swatch alone [-], shape (washes, bands), the first laid first
    paper : bare paper [-], shape (bands,)
    wavelength_nm : [nm], shape (bands,)
    sheet : path_spread k and surface s of the paper [-]
    measured_at : strength of each swatch [neat coats], shape (washes,)
    laid : strength it is laid with [neat coats], shape (washes,); None = as measured
    crowding : b of the load law; another than the law's own only to ask what fits a set
    """
    R, Rp = np.atleast_2d(np.asarray(reflectances, dtype=float)), np.asarray(paper, dtype=float)
    k, surface = sheet
    known = np.broadcast_to(np.asarray(measured_at, dtype=float), len(R))
    amounts = known if laid is None else np.broadcast_to(np.asarray(laid, dtype=float), len(R))
    surfaces = np.array([swatch_surface(r, surface) for r in R])
    paths = np.array([path_from_reflectance(r, Rp, s, k) for r, s in zip(R, surfaces, strict=True)])
    paths = paths / glaze_weight(0.0, known, crowding)[:, None]  # of one neat coat
    below = bare((), len(R))
    for j, q in enumerate(amounts):
        lay(below, _as_wash(j, paths, wavelength_nm, k, float(q)), crowding=crowding)
    s = float(np.average(surfaces, weights=amounts)) if amounts.sum() > 0 else surface
    return np.asarray(stack_reflectance(below.optical_g_per_m2 @ paths, Rp, s, k))


def _as_wash(j: int, paths: Array, nm: ArrayLike, k: float, strength: float) -> LaidWash:
    """Swatch j as a wash of one colourant, whose unit of load is one neat coat."""
    one = np.eye(len(paths))[j]
    return parted_by_none(strength, one * strength, crowding_overlap(one, paths, nm, k))
