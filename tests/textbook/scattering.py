"""Textbook models of scattering layers and halftones, for comparison and checks only.

The product's own law is `glaze.physics.absorption`; docs/accuracy.md scores it against these.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def k_over_s(reflectance: ArrayLike) -> Array:
    """K/S of an opaque layer: (1 - R)^2 / 2R (Kubelka and Munk 1931; kubelka1931)."""
    R = np.asarray(reflectance, dtype=float)
    return (1.0 - R) ** 2 / (2.0 * R)


def reflectance_from_k_over_s(ratio: ArrayLike) -> Array:
    """Reflectance of an opaque layer: 1 + q - sqrt(q^2 + 2q), q = K/S (kubelka1931)."""
    q = np.asarray(ratio, dtype=float)
    return 1.0 + q - np.sqrt(q * q + 2.0 * q)


def overlaid_by_k_over_s(reflectances: ArrayLike, paper: ArrayLike) -> Array:
    """Reflectance of washes over each other when each adds its K/S over the paper's.

    The form used for dyed textiles and paper: q = q_paper + sum (q_wash - q_paper). One constant,
    two fluxes, no surface: about twice the error of the product's law on uncoated paper.

    Parameters
    ----------
    reflectances : of each wash alone on the paper [-], shape (washes, bands)
    paper : [-], shape (bands,)
    """
    bare = k_over_s(paper)
    total = bare + (k_over_s(reflectances) - bare).sum(axis=0)
    return reflectance_from_k_over_s(np.maximum(total, 0.0))


def layer(
    K: ArrayLike, S: ArrayLike, thickness: ArrayLike, ground: ArrayLike
) -> tuple[Array, Array]:
    """Reflectance over a ground, and transmittance, of a layer that absorbs and scatters.

    Hyperbolic solution (Kubelka 1948; kubelka1948), S > 0. As S -> 0 the reflectance goes to
    Rg exp(-2KX): diffuse light crosses a clear layer twice.

    Parameters
    ----------
    K, S : absorption and scattering coefficients [1/length]
    thickness : X [length]
    ground : Rg, reflectance below the layer [-]
    """
    K, S, X, Rg = (np.asarray(v, dtype=float) for v in (K, S, thickness, ground))
    a = 1.0 + K / S
    b = np.sqrt(a * a - 1.0)
    # coth, and 1/sinh for T; b = 0 (no absorption) isn't needed for the checks
    coth = 1.0 / np.tanh(b * S * X)
    R = (1.0 - Rg * (a - b * coth)) / (a - Rg + b * coth)
    T = b / (a * np.sinh(b * S * X) + b * np.cosh(b * S * X))
    return R, T


def yule_nielsen(area: ArrayLike, ink: ArrayLike, paper: ArrayLike, spread: float = 1.0) -> Array:
    """Mean reflectance of a halftone: (a Ri^(1/n) + (1 - a) Rp^(1/n))^n (yule1951).

    n = 1 is Murray and Davies' area average, n = 2 full spreading of light in the paper.
    """
    a, Ri, Rp = (np.asarray(v, dtype=float) for v in (area, ink, paper))
    return (a * Ri ** (1.0 / spread) + (1.0 - a) * Rp ** (1.0 / spread)) ** spread


def murray_davies_area(tint_density: ArrayLike, solid_density: ArrayLike) -> Array:
    """Dot area from densities over paper: (1 - 10^-Dt)/(1 - 10^-D) (murray1936)."""
    Dt, D = np.asarray(tint_density, dtype=float), np.asarray(solid_density, dtype=float)
    return (1.0 - 10.0**-Dt) / (1.0 - 10.0**-D)


def demichel(areas: ArrayLike) -> Array:
    """Shares of paper covered by each overprint of randomly placed dots (demichel1924).

    Parameters
    ----------
    areas : dot area of each ink [-], shape (inks,)

    Returns
    -------
    shape (2**inks,); entry i covers with the inks whose bit is set in i, the first ink bit 0
    """
    shares = np.ones(1)
    for a in np.asarray(areas, dtype=float):
        shares = np.concatenate([shares * (1.0 - a), shares * a])
    return shares
