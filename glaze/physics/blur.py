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


def smoothed(field: NDArray[np.float64], sigma_px: float) -> NDArray[np.float64]:
    """A small field blurred by a Gaussian; its edge pixels go on outward.

    Bit for bit `scipy.ndimage.gaussian_filter` (mode "nearest"), which takes longer to load than a
    small picture to paint.

    Field of any unit, shape (rows, columns), same shape back; sigma in its pixels [px].
    """
    reach = int(4.0 * sigma_px + 0.5)
    weights = np.exp(-0.5 / (sigma_px * sigma_px) * np.arange(-reach, reach + 1) ** 2)
    weights /= weights.sum()
    for _ in range(2):  # along the rows' axis, then turned, along the other
        rows = len(field)
        wide = np.pad(field, [(reach, reach), (0, 0)], mode="edge")
        total = wide[reach : reach + rows] * weights[reach]
        for j in range(reach):
            far = 2 * reach - j
            total += (wide[j : j + rows] + wide[far : far + rows]) * weights[j]
        field = total.T
    return field


def spread(field: NDArray[np.float32], taps: NDArray[np.float64]) -> NDArray[np.float32]:
    """A field blurred along rows and columns by symmetric weights; its edge pixels go on outward.

    No running sums: each pixel adds its neighbours in a fixed order, so that any tile with a
    margin of half the taps agrees bit for bit with the whole sheet.

    Field of any unit, shape (rows, columns), same shape back; taps [-], shape (taps,), odd.
    """
    from scipy.ndimage import correlate1d

    along = correlate1d(field, taps, axis=0, mode="nearest", output=np.float32)
    return correlate1d(along, taps, axis=1, mode="nearest", output=np.float32)
