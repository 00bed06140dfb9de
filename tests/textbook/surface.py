"""Reflection at the surface of a clear layer: Fresnel, Walsh, Saunderson, Williams and Clapper.

Comparison models, not the product's law. A dye-stained fibre mat has no plane surface; its one
number is the surface s of `glaze.physics.absorption`. Refractive index n is that of the layer over
that of air [-], above 1.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

GAUSS_POINTS = 200
"""Gauss-Legendre points of the Williams-Clapper integral, half on either side of the critical
angle; doubling them moves no density by 1e-5."""


def fresnel(cos_incidence: ArrayLike, n: float) -> Array:
    """Reflectance of a smooth surface for unpolarised light [-] (Fresnel; born1999, 1.5.2).

    Parameters
    ----------
    cos_incidence : cosine of the angle in the medium the light comes from [-]
    n : index of the far medium over the near one [-]; below 1 there is total reflection
    """
    cos_i = np.asarray(cos_incidence, dtype=float)
    cos2_t = 1.0 - (1.0 - cos_i**2) / n**2
    cos_t = np.sqrt(np.maximum(cos2_t, 0.0))
    r_s = (cos_i - n * cos_t) / (cos_i + n * cos_t)
    r_p = (n * cos_i - cos_t) / (n * cos_i + cos_t)
    return np.where(cos2_t > 0.0, 0.5 * (r_s**2 + r_p**2), 1.0)


def normal_reflectance(n: float) -> float:
    """Reflectance at normal incidence: ((n - 1)/(n + 1))^2."""
    return ((n - 1.0) / (n + 1.0)) ** 2


def external_diffuse(n: float) -> float:
    """Reflectance for diffuse light from outside, closed form (walsh1926; duntley1942)."""
    p, m = n * n + 1.0, n * n - 1.0
    return float(
        0.5
        + (n - 1.0) * (3.0 * n + 1.0) / (6.0 * (n + 1.0) ** 2)
        + n**2 * m**2 / p**3 * np.log((n - 1.0) / (n + 1.0))
        - 2.0 * n**3 * (n**2 + 2.0 * n - 1.0) / (p * (n**4 - 1.0))
        + 8.0 * n**4 * (n**4 + 1.0) / (p * (n**4 - 1.0) ** 2) * np.log(n)
    )


def internal_diffuse(n: float) -> float:
    """Reflectance for diffuse light from inside: 1 - (1 - r_ext)/n^2 (judd1942)."""
    return 1.0 - (1.0 - external_diffuse(n)) / n**2


def critical_angle_degrees(n: float) -> float:
    """Angle inside the layer from which on light is totally reflected [degrees]."""
    return float(np.degrees(np.arcsin(1.0 / n)))


def saunderson(internal: ArrayLike, k1: float, k2: float) -> Array:
    """Measured reflectance from the internal one: k1 + (1-k1)(1-k2) R/(1 - k2 R)
    (saunderson1942).

    Parameters
    ----------
    k1 : surface reflectance from outside [-], 0.02 to 0.04 in use
    k2 : from inside [-], 0.4 to 0.6 in use (0.596 by theory at n = 1.5)
    """
    R = np.asarray(internal, dtype=float)
    return k1 + (1.0 - k1) * (1.0 - k2) * R / (1.0 - k2 * R)


def saunderson_inverse(measured: ArrayLike, k1: float, k2: float) -> Array:
    """Internal reflectance from the measured one: the inverse of `saunderson`."""
    shifted = np.asarray(measured, dtype=float) - k1
    return shifted / ((1.0 - k1) * (1.0 - k2) + k2 * shifted)


def gain_45_0(n: float) -> float:
    """Share of a 45/0 reading that gets in and out of the surface: T(45) T(0)/n^2 [-]."""
    T45 = 1.0 - float(fresnel(np.cos(np.pi / 4.0), n))
    return T45 * (1.0 - normal_reflectance(n)) / n**2


def williams_clapper(transmittance: ArrayLike, base: ArrayLike, n: float) -> Array:
    """Reflectance at 45/0 of a clear dyed layer in contact with a white base (williams1953).

    R = g T^(1 + 1/cos t') Rb / (1 - Rb M(T)) with t' the refracted angle of 45 degrees and
    M(T) = 2 * integral of r(t) T^(2/cos t) sin t cos t dt, the light turned back inside.

    Parameters
    ----------
    transmittance : T of one normal pass [-], above 0 to 1
    base : Rb, reflectance of the base against the layer [-]
    """
    T, Rb = np.asarray(transmittance, dtype=float), np.asarray(base, dtype=float)
    cosines, weights = _gauss_around(np.cos(np.arcsin(1.0 / n)))
    r = fresnel(cosines, 1.0 / n)
    turned = (2.0 * weights * cosines * r * T[..., None] ** (2.0 / cosines)).sum(axis=-1)
    slant = np.sqrt(1.0 - 0.5 / n**2)
    return gain_45_0(n) * T ** (1.0 + 1.0 / slant) * Rb / (1.0 - Rb * turned)


def _gauss_around(kink: float) -> tuple[Array, Array]:
    """Gauss-Legendre points and weights on 0..kink and kink..1 (total reflection ends there)."""
    x, w = np.polynomial.legendre.leggauss(GAUSS_POINTS // 2)
    low, high = (x + 1.0) / 2.0 * kink, kink + (x + 1.0) / 2.0 * (1.0 - kink)
    return (
        np.concatenate([low, high]),
        np.concatenate([w * kink / 2.0, w * (1.0 - kink) / 2.0]),
    )
