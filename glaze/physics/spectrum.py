"""Wavelengths, and absorption bands as sums of Gaussians in wavenumber."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

REFERENCE_NM: NDArray[np.float64] = np.arange(380.0, 781.0)
"""Reference grid: 380 to 780 nm in steps of 1 nm."""


def wavenumber_per_cm(wavelength_nm: ArrayLike) -> NDArray[np.float64]:
    """Wavenumber [1/cm] of a wavelength [nm]; absorption bands are nearly symmetric in it.

    Same shape.
    """
    return 1e7 / np.asarray(wavelength_nm, dtype=float)


def gaussian_sum(
    wavelength_nm: ArrayLike,
    centres_nm: ArrayLike,
    widths_per_cm: ArrayLike,
    heights: ArrayLike,
) -> NDArray[np.float64]:
    """Sum of Gaussian bands in wavenumber.

    Parameters
    ----------
    wavelength_nm : [nm], shape (wavelengths,)
    centres_nm : band centres [nm], shape (bands,)
    widths_per_cm : standard deviations [1/cm], shape (bands,)
    heights : band heights, any unit, shape (bands,)

    Returns
    -------
    shape (wavelengths,), unit of `heights`
    """
    nu = wavenumber_per_cm(wavelength_nm)[:, None]
    x = (nu - wavenumber_per_cm(centres_nm)) / np.asarray(widths_per_cm, dtype=float)
    return np.exp(-0.5 * x**2) @ np.asarray(heights, dtype=float)
