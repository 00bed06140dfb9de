"""A thin film of water on paper: how it levels, runs down a tilted board and sinks in.

Lengths in m, times in s. Figures are of water at 20 C; ink is taken as water.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

GRAVITY_M_PER_S2 = 9.81
DENSITY_KG_PER_M3 = 998.0
VISCOSITY_PA_S = 1.0e-3
DYE_DIFFUSION_M2_PER_S = 5e-10
"""Of a dye of 400 to 800 g/mol in water: 4e-10 to 6e-10, remembered."""

PORE_SHARE = 0.5
"""Of a sheet's thickness; drawing papers 0.4 to 0.6, remembered."""


def levelling_per_m_s() -> float:
    """K of the flux -K h^3 grad h [1/(m s)]: rho g/(3 mu), of a thin film without slip.

    The lubrication equation (Huppert, J. Fluid Mech. 121 (1982) 43, eq. 2.4, from memory): a film
    of 0.1 mm levels as if it diffused with 3.3e-6 m2/s, one of half that eight times slower.
    """
    return DENSITY_KG_PER_M3 * GRAVITY_M_PER_S2 / (3.0 * VISCOSITY_PA_S)


def tilted_per_m_s(tilt_degrees: float) -> tuple[float, float]:
    """Levelling and drift on a tilted board, [1/(m s)] both: K cos a, and K sin a of K sin a h^3.

    Huppert, Nature 300 (1982) 427, from memory: the surface of 0.1 mm runs 11 mm/s at 20 degrees.
    """
    tilt = np.radians(tilt_degrees)
    return levelling_per_m_s() * float(np.cos(tilt)), levelling_per_m_s() * float(np.sin(tilt))


def sorptivity_m_per_root_s(cobb60_g_per_m2: float) -> float:
    """S of the uptake w = S sqrt(t) [m/s^1/2], from what paper drinks in 60 s (ISO 535) [g/m2]."""
    return cobb60_g_per_m2 / (1000.0 * DENSITY_KG_PER_M3 * float(np.sqrt(60.0)))


def uptake_m(
    taken_m: ArrayLike, seconds: ArrayLike, sorptivity_m_per_root_s: float
) -> NDArray[np.float64]:
    """Water in the paper [m3/m2] so much later, with the film still on it: sqrt(w^2 + S^2 t).

    Washburn (Phys. Rev. 17 (1921) 273): the way into a pore grows as the square root of time.

    Water taken up before [m3/m2] and time [s], broadcast to one shape.
    """
    return np.sqrt(np.asarray(taken_m) ** 2 + sorptivity_m_per_root_s**2 * np.asarray(seconds))


def shine_seconds(
    film_m: ArrayLike, evaporation_m_per_s: float, sorptivity_m_per_root_s: float
) -> NDArray[np.float64]:
    """Time [s] until air and paper have taken a film: h = e t + S sqrt(t), solved for t.

    Film [m], same shape.
    """
    h, e, S = np.asarray(film_m, dtype=float), evaporation_m_per_s, sorptivity_m_per_root_s
    # of the two forms of the root the one that stays exact for slow drying
    return (2.0 * h / (S + np.sqrt(S**2 + 4.0 * e * h))) ** 2


def film_share(
    film_m: ArrayLike, taken_m: ArrayLike, retardation: ArrayLike
) -> NDArray[np.float64]:
    """Share [-] of a dye that swims in the film when film and fibres have come to terms.

    In the pores only the share Rf is dissolved, the rest sits on the fibres: h/(h + w/Rf). The
    same Rf makes its band run at Rf times the speed of the water in paper chromatography
    (Consden, Gordon & Martin, Biochem. J. 38 (1944) 224, from memory).

    Film and water taken up [m3/m2] and Rf [-], broadcast to one shape.
    """
    h, w = np.asarray(film_m, dtype=float), np.asarray(taken_m, dtype=float)
    return h / (h + w / np.asarray(retardation, dtype=float))
