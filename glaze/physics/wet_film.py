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


def shine_seconds(
    film_m: ArrayLike, evaporation_m_per_s: float, sorptivity_m_per_root_s: float
) -> NDArray[np.float64]:
    """Time [s] until air and paper have taken a film: h = e t + S sqrt(t), solved for t.

    Film [m], same shape.
    """
    h, e, S = np.asarray(film_m, dtype=float), evaporation_m_per_s, sorptivity_m_per_root_s
    # of the two forms of the root the one that stays exact for slow drying
    return (2.0 * h / (S + np.sqrt(S**2 + 4.0 * e * h))) ** 2
