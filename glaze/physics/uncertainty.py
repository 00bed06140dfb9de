"""How sure a prediction is: from the uncertainty of its inputs to a band around it.

Inputs are positive amounts known to within a factor (strength, film, rate constants), so all is
done in their logarithms. The error of the model itself, measured in docs/accuracy.md, is part of
every band.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

LEVEL = 0.90
"""Share of cases a band is meant to hold."""

OVERLAY_SD_VALUE = 0.17
"""Error of the law for washes over each other when each alone is known [value steps], root mean
square of the watercolour sets; that of the presses is 0.15 (docs/accuracy.md)."""

DILUTION_SD_VALUE_PER_E = 0.27
"""Error of the law for a wash at another strength than the known one [value steps], for each
factor of e between the two; one granulating pigment of nine misses by three times that."""

OVERLAY_SD_DE00, DILUTION_SD_DE00_PER_E = 3.3, 3.9
"""The same two errors as CIEDE2000, root mean square over the same sets (docs/accuracy.md)."""

MODEL_SD_VALUE = {"overlay": OVERLAY_SD_VALUE, "dilution": 0.34}
"""The same where how far a wash is thinned isn't at hand [value steps]: "dilution" is the root mean
square over one to twelve times the known strength. `model_sd_value` is better."""


def model_sd_value(dilution: float = 1.0, overlaid: bool = False) -> float:
    """Error of the law itself [value steps], to be given to the bands below as `model_sd`.

    Parameters
    ----------
    dilution : strength wanted over strength known from a swatch, > 0
    overlaid : whether the wash lies over another
    """
    thinned = DILUTION_SD_VALUE_PER_E * abs(math.log(dilution))
    return math.hypot(thinned, OVERLAY_SD_VALUE if overlaid else 0.0)


def model_sd_de00(dilution: float = 1.0, overlaid: bool = False) -> float:
    """Error of the law itself [CIEDE2000]; parameters as in `model_sd_value`."""
    thinned = DILUTION_SD_DE00_PER_E * abs(math.log(dilution))
    return math.hypot(thinned, OVERLAY_SD_DE00 if overlaid else 0.0)


def _z(level: float) -> float:
    """Half width of a normal band of that level [standard deviations]."""
    return NormalDist().inv_cdf(0.5 + level / 2.0)


def log_sd(factor: ArrayLike, level: float = LEVEL) -> Array:
    """Standard deviation of ln(amount) when it is known to within times or over `factor`.

    Same shape, [-].

    Parameters
    ----------
    factor : >= 1; 1 = known exactly, 3 = between a third and three times
    level : share of cases the factor holds
    """
    f = np.asarray(factor, dtype=float)
    if np.any(f < 1.0):
        raise ValueError(f"a factor of uncertainty is 1 or more, not {f.min():g}")
    return np.log(f) / _z(level)


def first_order_band(
    predict: Callable[[Array], float],
    amounts: ArrayLike,
    factors: ArrayLike,
    model_sd: float = 0.0,
    level: float = LEVEL,
) -> tuple[float, float, float]:
    """Low, best and high of a prediction, by slopes: two predictions for each input.

    Each input is moved by one standard deviation either way; the two sides are kept apart, so a
    band that flattens toward the dark comes out lopsided as it should. Within 15 % of the
    Monte Carlo width for factors up to 2; beyond that use `monte_carlo_band`.

    Amounts of any unit, factors [-].

    Parameters
    ----------
    predict : gives a number (a value, a depth) for inputs, shape (inputs,)
    amounts : best guess of the inputs, > 0, shape (inputs,)
    factors : uncertainty of each, times or over, shape (inputs,)
    model_sd : error of the model itself, in the unit of the prediction
    """
    centre = np.asarray(amounts, dtype=float)
    sds = np.broadcast_to(log_sd(factors), centre.shape)
    best = float(predict(centre))
    below = above = model_sd**2
    for i in np.flatnonzero(sds > 0.0):
        for sign in (-1.0, 1.0):
            moved = centre.copy()
            moved[i] *= math.exp(sign * sds[i])
            change = float(predict(moved)) - best
            below += min(change, 0.0) ** 2
            above += max(change, 0.0) ** 2
    return best - _z(level) * math.sqrt(below), best, best + _z(level) * math.sqrt(above)


def monte_carlo_band(
    predict: Callable[[Array], float],
    amounts: ArrayLike,
    factors: ArrayLike,
    model_sd: float = 0.0,
    level: float = LEVEL,
    draws: int = 400,
    seed: int = 1,
) -> tuple[float, float, float]:
    """Low, best and high of a prediction from random inputs: the honest, slower form.

    The bounds are quantiles of the draws, so 400 draws place them within about 0.1 standard
    deviation. Same seed, same band. Parameters as in `first_order_band`.

    Amounts of any unit and factors [-] have shape (inputs,).
    """
    rng = np.random.default_rng(seed)
    centre = np.asarray(amounts, dtype=float)
    sds = np.broadcast_to(log_sd(factors), centre.shape)
    inputs = centre * np.exp(sds * rng.standard_normal((draws, centre.size)))
    found = np.array([float(predict(row)) for row in inputs])
    found += model_sd * rng.standard_normal(draws)
    low, high = np.quantile(found, [0.5 - level / 2.0, 0.5 + level / 2.0])
    return float(low), float(predict(centre)), float(high)


def binomial_interval(hits: int, n: int, level: float = 0.95) -> tuple[float, float]:
    """Interval for a share from `hits` of `n` cases (Wilson 1927, wilson1927).

    Says how much a coverage found on few cases is worth.
    """
    if n < 1:
        raise ValueError("no cases, no share")
    z2, p = _z(level) ** 2, hits / n
    middle = (p + z2 / (2.0 * n)) / (1.0 + z2 / n)
    half = math.sqrt(z2) * math.sqrt(p * (1.0 - p) / n + z2 / (4.0 * n * n)) / (1.0 + z2 / n)
    return max(0.0, middle - half), min(1.0, middle + half)
