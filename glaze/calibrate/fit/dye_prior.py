"""Shapes that mixtures of real dyes take: what is known of an ink before it is read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.materials.dye import load_dyes

Array = NDArray[np.float64]

BROADENED_NM = (3.0, 60.0)
"""Standard deviations by which the prior's dyes are broadened [nm]."""


@dataclass(frozen=True)
class DyePrior:
    """Shapes that mixtures of real dyes take: log of the path, shape (mixtures, bands)."""

    wavelength_nm: Array
    log_path: Array


def dye_prior(
    wavelength_nm: ArrayLike, seed: int = 1, mixtures: int = 3000, leave_out: Sequence[str] = ()
) -> DyePrior:
    """Random mixtures of one to three built-in dyes on a small grey base.

    Each dye is broadened (dye on fibres absorbs in wider bands than in water) and
    moved by up to 12 nm. These ranges are assumed; they are not fitted to any swatch.

    Wavelengths [nm] have shape (wavelengths,).

    Parameters
    ----------
    leave_out : names of dyes not to be used, for tests
    """
    nm = np.asarray(wavelength_nm, dtype=float)
    rng = np.random.default_rng(seed)
    dyes = [d for d in load_dyes().values() if d.kind == "dye" and d.name not in leave_out]
    fine = np.arange(nm[0] - 60.0, nm[-1] + 61.0, 2.0)
    curves = np.array([d.absorptivity_l_per_g_cm(fine) for d in dyes])
    curves /= curves.max(axis=1, keepdims=True)
    paths = np.empty((mixtures, nm.size))
    for i in range(mixtures):
        shape = rng.uniform(0.01, 0.06) * np.ones(nm.size)
        for j in rng.choice(len(dyes), rng.integers(1, 4), replace=False):
            wide = _broadened(fine, curves[j], rng.uniform(*BROADENED_NM))
            shape += rng.exponential() * np.interp(nm + rng.uniform(-12.0, 12.0), fine, wide)
        paths[i] = shape / shape.max()
    return DyePrior(nm, np.log(paths))


def _broadened(nm: Array, curve: Array, sigma_nm: float) -> Array:
    """A curve blurred by a Gaussian [nm]."""
    reach = np.arange(-180.0, 181.0, nm[1] - nm[0])
    taps = np.exp(-0.5 * (reach / sigma_nm) ** 2)
    return np.convolve(np.pad(curve, reach.size // 2, mode="edge"), taps / taps.sum(), "valid")
