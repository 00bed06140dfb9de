"""A spectrum from the colour of one swatch alone, by the program's prior and by smoothness.

Both have exactly the colour that was read: the *smoothest* non-negative density over the paper, and
a *dye-shaped* one, a strip of one rung for the program's own search.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import lsq_linear

from glaze.calibrate.fit.dye_prior import DyePrior
from glaze.calibrate.fit.spectrum_from_colour import (
    EXACT_DE,
    ROUNDS,
    Array,
    _share_of_step,
    most_probable,
)
from glaze.physics.absorption import stack_reflectance

EVEN_SHARE = 0.15
"""Weight of slope against curvature, in units of a 10 nm step: the curvature alone lets the ends
of the spectrum run away, the slope alone makes plateaus of bands. Chosen among 0, 0.15 and slope
alone after seeing the overprints (docs/decisions/002-crowding.md tells all three)."""


@dataclass(frozen=True)
class RecoveredSpectrum:
    """Reflectance of a swatch with exactly the colour read, and how sure it is.

    reflectance : [-], shape (bands,)
    spread : one standard deviation of it [-], shape (bands,), over inks of that same colour;
        zeros for the smoothest form, which knows of no others
    """

    reflectance: Array
    spread: Array


def smoothest_density(
    xyz: ArrayLike,
    paper: ArrayLike,
    xyz_weights: ArrayLike,
    step_nm: float = 10.0,
    surface: float = 0.0,
) -> RecoveredSpectrum:
    """Smoothest non-negative density over the paper that gives exactly the XYZ of a swatch.

    Minimises curvature (and a little slope) of ln((Rp - s)/(R - s)) by Gauss-Newton with bounds.
    Light that never enters the ink is no part of its density: counting it as such makes a dense
    band look flat, and uncoated overprints come out worse
    (docs/decisions/008-recovered-density.md).

    Parameters
    ----------
    xyz : of the swatch, in the scale of the weights
    paper : Rp, reflectance of the bare paper [-], shape (bands,)
    xyz_weights : shape (bands, 3), evenly spaced bands `step_nm` [nm] apart
    surface : s, light from the surface of the sheet [-]; lowered where the swatch is nearly as dark
    """
    Rp, W, target = (np.asarray(v, dtype=float) for v in (paper, xyz_weights, xyz))
    s = _surface_below(surface, target, W)
    bend = np.diff(np.eye(len(W)), 2, axis=0) * (10.0 / step_nm) ** 1.5
    slope = np.diff(np.eye(len(W)), 1, axis=0) * EVEN_SHARE * (10.0 / step_nm) ** 0.5
    smooth = 0.02 * np.vstack([bend, slope])
    density = np.full(len(W), 0.5)
    for turn in range(ROUNDS):
        inked = (Rp - s) * np.exp(-density)
        scale = 300.0 / np.maximum(target, 1e-4)
        J = -(W * inked[:, None]).T * scale[:, None]
        wanted = J @ density + (target - (s + inked) @ W) * scale
        rows = np.vstack([smooth, J])
        new = lsq_linear(rows, np.r_[np.zeros(len(smooth)), wanted], bounds=(0.0, 9.0)).x
        move = float(np.abs(new - density).max())
        density = density + _share_of_step(turn, move, 1.0) * (new - density)
        if move < 1e-7:
            break
    R = s + (Rp - s) * np.exp(-density)
    _check(R @ W, target)
    return RecoveredSpectrum(R, np.zeros_like(R))


def _surface_below(surface: float, target: Array, W: Array) -> float:
    """The sheet's surface light, or half the swatch's least XYZ where that is lower."""
    return min(surface, 0.5 * float((target / W.sum(axis=0)).min()))


def dye_shaped(
    xyz: ArrayLike,
    paper: ArrayLike,
    xyz_weights: ArrayLike,
    prior: DyePrior,
    sheet: tuple[float, float] = (1.0, 0.03),
) -> RecoveredSpectrum:
    """Most probable spectrum, for an ink made of dyes, with exactly the XYZ of a swatch.

    A strip of one rung that is read without error (`most_probable`). `spread` is what the normal
    law leaves open at that colour.

    XYZ [-] has shape (3,), the paper [-] (wavelengths,), the weights (wavelengths, 3).

    Parameters
    ----------
    sheet : path_spread k and surface s of the paper [-]
    """
    Rp, W, target = (np.asarray(v, dtype=float) for v in (paper, xyz_weights, xyz))
    sheet = sheet[0], _surface_below(sheet[1], target, W)
    found = most_probable(target[None], np.ones(1), Rp, W, prior, sheet, EXACT_DE, 0.0)
    k, s = sheet
    R = np.asarray(stack_reflectance(found.path, Rp, s, k))
    _check(R @ W, target)
    dR = (Rp - s) * found.path * (1.0 + found.path / k) ** -(k + 1.0)
    return RecoveredSpectrum(R, dR * found.log_sd)


def _check(xyz: Array, target: Array) -> None:
    off = np.abs(xyz - target).max()
    assert off <= 1e-4, f"no ink on this paper has the colour of the swatch: {off:.4f} off in XYZ"
