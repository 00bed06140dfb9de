"""How a liquid creeps sideways in paper: finite reach, nothing lost, the same in every tile."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

MM_PER_INCH = 25.4


def reach_px(reach_mm: float, dpi: float) -> int:
    """Pixels [-] that a creep of `reach_mm` can cross: the margin a tile needs."""
    return int(np.ceil(max(reach_mm, 0.0) * dpi / MM_PER_INCH))


def creep_weights(reach_mm: float, dpi: float) -> NDArray[np.float64]:
    """Weights [-] of a dose that creeps `reach_mm` at most: symmetric, sum 1.

    A Gaussian of a third of the reach, cut off there (1 % of its middle): the only shape that is
    round when rows and columns are worked one after the other. Assumed; no measured profile of
    bleach in paper was found.

    Shape (taps,), odd.
    """
    pixels = reach_px(reach_mm, dpi)
    if pixels == 0:
        return np.ones(1)
    distance_mm = np.arange(-pixels, pixels + 1) * MM_PER_INCH / dpi
    weights = np.exp(-4.5 * (distance_mm / reach_mm) ** 2)
    return weights / weights.sum()


def creep(dose: NDArray[np.float32], reach_mm: float, dpi: float) -> NDArray[np.float32]:
    """A dose after it has crept past its mark: the sum stays, the edge turns into a slope.

    Every pixel is a direct sum over its neighbours within the reach, in a fixed order, so a tile
    with a margin of `reach_px` comes out bit for bit like the whole sheet. At the edge of the
    sheet the liquid turns back.

    Parameters
    ----------
    dose : [-], shape (rows, columns), 0 to 1
    """
    weights = creep_weights(reach_mm, dpi)
    if weights.size == 1:
        return dose.copy()
    from scipy.ndimage import correlate1d

    both = dose
    for axis in (0, 1):
        both = correlate1d(both, weights, axis=axis, mode="reflect", output=np.float32)
    # a sum of rounded weights may end a hair above the full dose
    return np.clip(both, 0.0, 1.0)
