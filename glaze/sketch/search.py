"""Looking for a sheet in a picture at every turn and scale, coarsely."""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

from glaze.sketch.edges import border_px, edges, resized, scaled_by
from glaze.sketch.plane import Plane

Array = NDArray[np.float64]
Grey = NDArray[np.float32]

COARSE_PX = 176
SIGMA = 1.2
"""Long side of the picture in the search [px], and how far its edges are blurred [px]."""

TURNED_PX = 96
"""Long side at which a sheet is compared with itself turned."""

SMALL_TURNS = (-6.0, -3.0, 0.0, 3.0, 6.0)
"""Degrees a sheet may lie askew beyond quarter turns; the refinement takes half a step further."""

SCALES = tuple(float(s) for s in np.geomspace(0.42, 1.06, 12))
"""Size of the sheet over the largest that fits the picture."""

KEPT = 16
"""Best starts of the search that are refined."""


def likely_places(predicted: Grey, picture: Grey) -> list[Plane]:
    """Likely places of the predicted sheet in a picture, the likeliest first.

    Every turn and scale, each shifted to where the edges agree best; none where either is tiny.
    """
    seen, to_scale = resized(picture, COARSE_PX)
    scene = _Scene(edges(seen, SIGMA))
    found = []
    for quarter, share in itertools.product((0.0, 90.0, 180.0, 270.0), SCALES):
        # the prediction as fine as it would lie there, so that its edges are as sharp
        fits = _largest(predicted.shape, math.radians(quarter), scene.shape)
        small, from_scale = resized(predicted, max(24, round(share * fits * max(predicted.shape))))
        template = edges(small, SIGMA)
        for askew in SMALL_TURNS:
            angle = math.radians(quarter + askew)
            scale = _largest(small.shape, angle, scene.shape) * share
            warped, inside, there = _turned(template, angle, scale)
            if not inside.any():  # so small there that it is all rim
                continue
            likeness, shift = scene.best_shift(warped, inside)
            H = scaled_by(1 / to_scale) @ shift @ there @ scaled_by(from_scale)
            found.append((likeness, H))
    found.sort(key=lambda pair: -pair[0])
    return [Plane(H / H[2, 2]) for _, H in found[:KEPT]]


def like_itself_turned(predicted: Grey) -> float:
    """Correlation of a sheet's edges with those of the sheet turned, at its best quarter turn.

    Linear luminance, shape (rows, columns); [-], 1 for a sheet that a turn brings onto itself.
    """
    own = edges(resized(predicted, TURNED_PX)[0], 2.5)
    own = own - own.mean()
    size = (2 * max(own.shape),) * 2  # room for every shift
    waves = np.fft.rfft2(own, size)
    turned = (np.fft.rfft2(np.rot90(own, quarter), size) for quarter in (1, 2, 3))
    best = max(float(np.fft.irfft2(waves * np.conj(each), size).max()) for each in turned)
    return best / max(float((own**2).sum()), 1e-9)


class _Scene:
    """The edges of a picture, ready to be compared with templates at every shift."""

    def __init__(self, scene: Grey) -> None:
        from scipy import fft

        scene = np.asarray(scene - scene.mean(), np.float32)
        self.shape = scene.shape
        # room for a template that hangs over by a fifth; what wraps round beyond that is refused
        self.size = tuple(fft.next_fast_len(int(1.25 * side) + 2, real=True) for side in self.shape)
        self.waves = fft.rfft2(scene, self.size)
        self.energy = fft.rfft2(scene**2, self.size)

    def best_shift(self, warped: Array, inside: NDArray[np.bool_]) -> tuple[float, Array]:
        """Correlation of a template at its best shift, and that shift as a matrix."""
        warped = np.where(inside, warped - warped[inside].mean(), 0.0)
        product = self._against(self.waves, warped)
        local = self._against(self.energy, inside.astype(float))
        norm = np.sqrt(np.maximum(local, 1e-3 * inside.sum()) * float((warped**2).sum()))
        score = self._allowed(product / np.maximum(norm, 1e-9), warped.shape)
        y, x = np.unravel_index(int(np.argmax(score)), score.shape)
        # shifts beyond the picture's own size are shifts to the left or up
        dy, dx = (
            int(v) - size if v >= side else int(v)
            for v, size, side in zip((y, x), self.size, self.shape, strict=True)
        )
        shift = np.array([[1.0, 0.0, dx], [0.0, 1.0, dy], [0.0, 0.0, 1.0]])
        return float(score[y, x]), shift

    def _against(self, waves: NDArray[np.complex64], other: Array) -> Array:
        from scipy import fft

        found = fft.rfft2(other.astype(np.float32), self.size)
        return np.asarray(fft.irfft2(waves * np.conj(found), self.size), dtype=float)

    def _allowed(self, score: Array, shape: tuple[int, ...]) -> Array:
        """Scores of shifts that leave four fifths of the sheet in the picture, others -1."""
        out = np.full(score.shape, -1.0)
        ways = [
            np.r_[0 : max(1, side - int(0.8 * wide) + 1), size - int(0.2 * wide) : size]
            for side, wide, size in zip(self.shape, shape, self.size, strict=True)
        ]
        out[np.ix_(*ways)] = score[np.ix_(*ways)]
        return out


def _largest(shape: tuple[int, ...], angle: float, room: tuple[int, ...]) -> float:
    """Scale at which a turned sheet just fits a picture."""
    c, s = abs(math.cos(angle)), abs(math.sin(angle))
    high, wide = shape[0] * c + shape[1] * s, shape[0] * s + shape[1] * c
    return min(room[0] / high, room[1] / wide)


def _turned(template: Grey, angle: float, scale: float) -> tuple[Array, NDArray[np.bool_], Array]:
    """A template turned and scaled on a canvas of its own, and the way from template to canvas."""
    from scipy import ndimage

    rows, columns = template.shape
    c, s = math.cos(angle) * scale, math.sin(angle) * scale
    turn = np.array([[c, -s], [s, c]])
    middle = np.array([(columns - 1) / 2, (rows - 1) / 2])
    corners = np.array([[0, 0], [columns - 1, 0], [columns - 1, rows - 1], [0, rows - 1]])
    there = (corners - middle) @ turn.T
    low = there.min(axis=0)
    wide, high = (int(v) + 1 for v in np.ceil(there.max(axis=0) - low))
    shift = -turn @ middle - low
    H = np.eye(3)
    H[:2, :2], H[:2, 2] = turn, shift
    back = np.linalg.inv(H)
    y, x = np.mgrid[0:high, 0:wide]
    u = back[0, 0] * x + back[0, 1] * y + back[0, 2]
    v = back[1, 0] * x + back[1, 1] * y + back[1, 2]
    rim = border_px(SIGMA)
    inside = (u >= rim) & (v >= rim) & (u <= columns - 1 - rim) & (v <= rows - 1 - rim)
    warped = ndimage.map_coordinates(template, [v, u], order=1, mode="nearest")
    return np.asarray(warped, dtype=float), inside, H
