"""Light that dyes give back: absorbed in one colour, sent out in another.

Photons are counted, not watts: a dye sends out at most one photon, of longer wavelength, for each
it stops. So the light that leaves a sheet may be more than falls on it *in the colour of the glow*,
and a reflectance may pass 1 here and nowhere else.

    stopped by the dyes      (1 - s)(1 - G)        G = (1 + A/k)^-k: what the law of paths lets out
    of it by dye j           A_j/A
    sent out per photon      y_j = y0_j/(1 + (c/c_half)^2)     c: glowing dye per area
    gets out of the sheet    (1 + Rp)/2 (1 + A/2k)^-k

Half of the glow starts up, half down, where the paper sends Rp of it back; on its way out it passes
half the path that reflected light passes twice. Left out, each a few per cent: photons stopped
again that are sent out again, excitation below 380 nm, one dye handing its light to another.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

HALF_LOAD_MOL_PER_M2 = 2e-4
"""Glowing dye [mol/m2] at which half of the yield is lost to its neighbours: assumed, factor 3.
Rhodamines on cellulose lose half near 5e-6 mol/g (remembered; no curve on paper was found), and
the inked tenth of a millimetre holds about 50 g/m2 of fibre."""

LEAST_PATH = 1e-9
"""Below this path [-] a layer stops nothing."""


def emission_photons(wavelength_nm: ArrayLike, peak_nm: float, width_per_cm: float) -> Array:
    """Share of the photons sent out per nm [1/nm]: a Gaussian in wavenumber, of sum 1.

    Same shape as the wavelengths [nm].

    Parameters
    ----------
    peak_nm : where the emission is strongest
    width_per_cm : its standard deviation [1/cm]
    """
    nm = np.asarray(wavelength_nm, dtype=float)
    away = (1e7 / nm - 1e7 / peak_nm) / width_per_cm
    per_wavenumber = np.exp(-0.5 * away**2) / (width_per_cm * np.sqrt(2.0 * np.pi))
    return np.asarray(per_wavenumber * 1e7 / nm**2, np.float64)


def quenched(load_mol_per_m2: ArrayLike) -> Array:
    """Share of the yield [-] that is left at a load: 1/(1 + (c/c_half)^2).

    The square is that of pairs: two neighbours share what they take up and lose it (the form of
    Watson and Livingston, J. Chem. Phys. 18 (1950) 802, from memory). A thinned layer therefore
    glows more for each photon it stops.

    Same shape as the load [mol/m2].
    """
    return 1.0 / (1.0 + (np.asarray(load_mol_per_m2, dtype=float) / HALF_LOAD_MOL_PER_M2) ** 2)


def stopped(A: ArrayLike, surface: float, path_spread: float) -> Array:
    """Share [-] of the light that falls on a sheet that its dyes stop, all together.

    Same shape as the path A [-].
    """
    G = (1.0 + np.maximum(np.asarray(A, dtype=float), 0.0) / path_spread) ** -path_spread
    return (1.0 - surface) * (1.0 - G)


def escaping(A: ArrayLike, paper_reflectance: ArrayLike, path_spread: float) -> Array:
    """Share [-] of the glow that gets out of the sheet, past the dyes and off the paper.

    Path A [-] and reflectance [-], broadcast to one shape.
    """
    half = np.maximum(np.asarray(A, dtype=float), 0.0) / (2.0 * path_spread)
    return 0.5 * (1.0 + np.asarray(paper_reflectance, dtype=float)) * (1.0 + half) ** -path_spread


def taken_up(A_dye: ArrayLike, A: ArrayLike, surface: float, path_spread: float) -> Array:
    """Share [-] of the light that one dye stops, of path `A_dye` among a path `A` in all.

    Both paths [-], broadcast to one shape.
    """
    A_dye, A = np.asarray(A_dye, dtype=float), np.asarray(A, dtype=float)
    part = np.divide(A_dye, A, out=np.zeros(np.broadcast(A_dye, A).shape), where=A > LEAST_PATH)
    return np.clip(part, 0.0, 1.0) * stopped(A, surface, path_spread)


def glow(
    optical_g_per_m2: Array,
    glowing_mol_per_m2: Array,
    path_m2_per_g: Array,
    quantum_yield: Array,
    paper_reflectance: Array,
    surface: float,
    path_spread: float,
    photon_weights: Array,
    emission_weights: Array,
) -> Array:
    """What the glow adds to the light of some patches; the plain version.

    XYZ or linear sRGB, as `emission_weights` are [-], shape (..., 3).

    Parameters
    ----------
    optical_g_per_m2 : what the eye gets of each colourant, shape (..., colourants)
    glowing_mol_per_m2 : glowing dye that lies there, shape (...,)
    path_m2_per_g : path of 1 g/m2 in each band, shape (colourants, bands)
    quantum_yield : y0 of each colourant, 0 for those that don't glow, shape (colourants,)
    paper_reflectance : Rp under the dyes, shape (..., bands)
    photon_weights : photons of the light in each band, shape (bands,)
    emission_weights : XYZ or RGB of a photon of each dye's glow that gets out through each band,
        shape (colourants, bands, 3)

    Returns
    -------
    shape (..., 3)
    """
    A = optical_g_per_m2 @ path_m2_per_g
    out = escaping(A, paper_reflectance, path_spread)
    left = quenched(glowing_mol_per_m2)
    light = np.zeros((*A.shape[:-1], 3))
    for j in np.flatnonzero(quantum_yield > 0.0):
        A_dye = optical_g_per_m2[..., j, None] * path_m2_per_g[j]
        photons = taken_up(A_dye, A, surface, path_spread) @ photon_weights
        sent = quantum_yield[j] * left * photons
        light += sent[..., None] * (out @ emission_weights[j])
    return light
