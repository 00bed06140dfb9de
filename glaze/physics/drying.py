"""How a film of water on paper dries, and what its shrinking does to bleach in it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

SECONDS_PER_MINUTE = 60.0
FREE_DIFFUSION_M2_PER_S = 1.2e-9
"""Hypochlorite in water at 25 C: from memory, no source found."""

NO_EVAPORATION = 1e-15
"""Less than this [L/(m2 s)] is none: a film of 1 ml/m2 would stand for 30 000 years."""

PORE_SLOWING = 3.0
"""Diffusion in wet paper is 2 to 4 times slower than in water (from memory); the middle."""


def saturation_pressure_kpa(temperature_c: ArrayLike) -> NDArray[np.float64]:
    """Vapour pressure of water [kPa]: 0.61094 exp(17.625 t/(t + 243.04)).

    The Magnus form with the constants of Alduchov & Eskridge, J. Appl. Meteorol. 35 (1996) 601
    (from memory), within 0.4 % from -40 to 50 C.

    Temperature [deg C], same shape.
    """
    t = np.asarray(temperature_c, dtype=float)
    return 0.61094 * np.exp(17.625 * t / (t + 243.04))


def latent_heat_kj_per_kg(temperature_c: ArrayLike) -> NDArray[np.float64]:
    """Heat of evaporation of water [kJ/kg]: 2501 - 2.361 t, within 0.1 % from 0 to 40 C.

    Temperature [deg C], same shape.
    """
    return 2501.0 - 2.361 * np.asarray(temperature_c, dtype=float)


def evaporation_g_per_m2_h(
    temperature_c: ArrayLike, humidity_percent: ArrayLike, air_m_per_s: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Water leaving a wet surface [g/(m2 h)]: (pw - pa)(0.089 + 0.0782 V)/Y.

    The ASHRAE rule for open water, pressures in kPa, air speed V in m/s, latent heat Y in kJ/kg;
    153 at 20 C, 50 % and still air. Nothing evaporates at 100 %. Holds while the paper's surface
    is wet; the last third of the water leaves more slowly.

    Temperature [deg C], humidity [%], air [m/s], broadcast to one shape.
    """
    pw = saturation_pressure_kpa(temperature_c)
    deficit = pw * np.clip(1.0 - np.asarray(humidity_percent, dtype=float) / 100.0, 0.0, 1.0)
    transfer = 0.089 + 0.0782 * np.asarray(air_m_per_s, dtype=float)
    return deficit * transfer / latent_heat_kj_per_kg(temperature_c) * 3600.0 * 1000.0


def drying_minutes(
    film_ml_per_m2: ArrayLike,
    temperature_c: ArrayLike,
    humidity_percent: ArrayLike,
    air_m_per_s: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Time [min] until a film is gone; infinite in air that is full of water (100 %).

    Film [ml/m2], temperature [deg C], humidity [%], air [m/s], broadcast to one shape.
    """
    rate = evaporation_g_per_m2_h(temperature_c, humidity_percent, air_m_per_s) / 60.0
    film = np.asarray(film_ml_per_m2, dtype=float)
    film, rate = np.broadcast_arrays(film, rate)
    return np.divide(film, rate, out=np.full(film.shape, np.inf), where=rate > 0.0)


def film_l_per_m2(
    seconds: ArrayLike,
    start_l_per_m2: ArrayLike,
    evaporation_l_per_m2_s: float,
    least_l_per_m2: ArrayLike,
) -> NDArray[np.float64]:
    """Film V(t) [L/m2]: shrinks steadily, never below the moisture that the paper keeps.

    A film laid thinner than that moisture mixes with it, so V(0) is at least `least_l_per_m2`.

    Time [s] and films [L/m2] are broadcast to one shape.
    """
    shrunk = np.asarray(start_l_per_m2, dtype=float) - evaporation_l_per_m2_s * np.asarray(seconds)
    return np.maximum(shrunk, least_l_per_m2)


def thinness(
    seconds: ArrayLike,
    start_l_per_m2: ArrayLike,
    evaporation_l_per_m2_s: float,
    least_l_per_m2: ArrayLike,
) -> NDArray[np.float64]:
    """tau = integral of dt/V(t) [s m2/L] of `film_l_per_m2` from 0 to `seconds`, closed form.

    While it shrinks ln(V0/V)/e, then the time left over the moisture that stays.

    Time [s] and films [L/m2] are broadcast to one shape.
    """
    V0, least = np.broadcast_arrays(
        np.asarray(start_l_per_m2, dtype=float), np.asarray(least_l_per_m2, dtype=float)
    )
    V0, seconds = np.maximum(V0, least), np.asarray(seconds, dtype=float)
    e = evaporation_l_per_m2_s
    if e < NO_EVAPORATION:
        return seconds / V0
    shrinking = np.minimum(seconds, (V0 - least) / e)
    # -ln(1 - x)/e with x = e t/V0, which stays exact for slow evaporation
    share = np.minimum(e * shrinking / V0, 1.0 - least / V0)
    return -np.log1p(-share) / e + (seconds - shrinking) / least


def lag_s(depth_mm: float, pore_slowing: float = PORE_SLOWING) -> float:
    """Time [s] that bleach needs into the fibres before it bites: depth^2/(6 D).

    The time lag of diffusion through a layer (Daynes 1920; Crank, The Mathematics of Diffusion,
    eq. 4.26, from memory). 0.1 mm takes 4 s in paper.
    """
    diffusion = FREE_DIFFUSION_M2_PER_S / pore_slowing
    return (depth_mm * 1e-3) ** 2 / (6.0 * diffusion)
