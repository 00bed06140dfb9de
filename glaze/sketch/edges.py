"""Edges of a picture, even over light and dark, and pictures made smaller."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Grey = NDArray[np.float32]


def edges(luminance: Grey, sigma: float) -> Grey:
    """Strength of edges, even over light and dark: slope of the log, flattened, mean 0."""
    from scipy import ndimage

    log = np.log(np.maximum(luminance, 0.0) + 0.03).astype(np.float32)
    slope = ndimage.gaussian_gradient_magnitude(log, sigma, mode="nearest")
    around = ndimage.gaussian_filter(slope, 10 * sigma, mode="nearest")
    # a faint line counts nearly as much as a strong one
    return np.asarray(np.tanh(slope / (1.5 * around + 0.01)), dtype=np.float32)


def border_px(sigma: float) -> int:
    """How far the edge of a sheet shows inside it once edges are blurred by sigma [px]."""
    return int(np.ceil(2.5 * sigma))


def resized(picture: Grey, long_side: int) -> tuple[Grey, float]:
    """The picture so that its long side has at most so many pixels, and its scale."""
    from scipy import ndimage

    scale = min(1.0, long_side / max(picture.shape))
    if scale == 1.0:
        return picture, 1.0
    whole = max(1, int(1 / scale / 2))
    small = shrink(picture, whole)
    left = scale * whole
    soft = ndimage.gaussian_filter(small, 0.35 / left) if left < 1 else small
    rows, columns = (max(8, round(side * scale)) for side in picture.shape)
    y = (np.arange(rows) + 0.5) / scale / whole - 0.5
    x = (np.arange(columns) + 0.5) / scale / whole - 0.5
    grid = np.meshgrid(y, x, indexing="ij")
    out = ndimage.map_coordinates(soft, grid, order=1, mode="nearest")
    return np.asarray(out, dtype=np.float32), scale


def scaled_by(scale: float) -> Array:
    """Pixel coordinates of a picture in those of itself scaled (pixel middles are half off).

    [px] to [px], shape (3, 3).
    """
    off = (scale - 1.0) / 2.0
    return np.array([[scale, 0, off], [0, scale, off], [0, 0, 1.0]])


def shrink(picture: Grey, factor: int) -> Grey:
    """The picture averaged over squares of `factor` pixels."""
    if factor == 1:
        return picture
    rows, columns = (side // factor * factor for side in picture.shape[:2])
    cut = picture[:rows, :columns]
    shape = (rows // factor, factor, columns // factor, factor, *cut.shape[2:])
    return np.asarray(cut.reshape(shape).mean(axis=(1, 3)), dtype=np.float32)


@dataclass(frozen=True, eq=False)
class Edged:
    """A picture and its edges at several sizes, each worked out once."""

    whole: Grey
    sizes: dict[int, tuple[Grey, float]] = field(default_factory=dict)
    strengths: dict[tuple[int, float], Grey] = field(default_factory=dict)

    def at(self, long_side: int) -> tuple[Grey, float]:
        """It as `resized` makes it."""
        if long_side not in self.sizes:
            self.sizes[long_side] = resized(self.whole, long_side)
        return self.sizes[long_side]

    def edges(self, long_side: int, sigma: float) -> Grey:
        """The `edges` of that."""
        if (long_side, sigma) not in self.strengths:
            self.strengths[long_side, sigma] = edges(self.at(long_side)[0], sigma)
        return self.strengths[long_side, sigma]
