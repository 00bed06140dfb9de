"""Direct sums over neighbours: blurs whose every pixel is the same in a tile and in the whole."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

REACH_IN_SIGMAS = 3.0


def gaussian_taps(sigma_px: float) -> NDArray[np.float64]:
    """Weights of a Gaussian cut at three standard deviations, odd in number, summing to 1.

    Shape (taps,), [-].
    """
    reach = max(1, int(np.ceil(REACH_IN_SIGMAS * sigma_px)))
    x = np.arange(-reach, reach + 1) / sigma_px
    weights = np.exp(-0.5 * x**2)
    return weights / weights.sum()


def spread(field: NDArray[np.float32], taps: NDArray[np.float64]) -> NDArray[np.float32]:
    """A field blurred along rows and columns by symmetric weights; its edge pixels go on outward.

    No running sums: each pixel adds its neighbours in a fixed order, so that any tile with a
    margin of half the taps agrees bit for bit with the whole sheet.

    Field of any unit, shape (rows, columns), same shape back; taps [-], shape (taps,), odd.
    """
    from scipy.ndimage import correlate1d

    along = correlate1d(field, taps, axis=0, mode="nearest", output=np.float32)
    return correlate1d(along, taps, axis=1, mode="nearest", output=np.float32)
