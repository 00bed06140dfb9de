"""One picture's edges brought onto another's by a homography.

Gauss-Newton steps (Lucas and Kanade 1981; Baker and Matthews 2004, the forward form).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Grey = NDArray[np.float32]

STEPS, PATIENCE, GAIN = 60, 5, 0.002
"""Most steps at one fineness; they end when so many together bring no such gain of correlation. In
33 roughs coloured by script that leaves none 0.5 px farther from where it belongs than 30 steps in
any case did, and some without lines 5 px nearer."""
MOST_PIXELS = 40_000
FEWEST_PIXELS = 200


def lucas_kanade(template: Grey, scene: Grey, H: Array, border: int) -> tuple[Array, float, float]:
    """A homography that brings the scene's edges onto the template's, likeness, and share seen.

    Steps of eight numbers from `H`, shape (3, 3), which goes from pixels (x, y) of the template to
    those of the scene; the best is kept. Edges are [-], shape (rows, columns) each.

    border : pixels left out along the template's sides, where the picture may show the sheet's
        own edge on a table
    """
    rows, columns = template.shape
    half = max(rows, columns) / 2
    N = np.array([[1 / half, 0, -columns / 2 / half], [0, 1 / half, -rows / 2 / half], [0, 0, 1.0]])
    back = np.linalg.inv(N)
    # edges are smooth over a pixel or two: a part of the pixels tells as much
    every = math.ceil(math.sqrt(template.size / MOST_PIXELS))
    part = slice(border, rows - border, every), slice(border, columns - border, every)
    y, x = (axis[part].astype(float) for axis in np.mgrid[0:rows, 0:columns])
    template = template[part]
    slopes = [np.asarray(slope, np.float32) for slope in np.gradient(scene)]
    now = _laid(template, scene, H, x, y)
    best, since = (H, now.likeness, now.seen), 0
    for _ in range(STEPS):
        if len(now.u) < FEWEST_PIXELS:
            break
        J = _jacobian(H @ back, N, x[now.inside], y[now.inside], now.u, now.v, slopes)
        J = (J - J.mean(axis=0)) / max(now.gain, 1e-6)
        grip = 1e-4 * np.trace(J.T @ J) / 8 + 1e-9
        step = np.linalg.solve(J.T @ J + grip * np.eye(8), J.T @ now.off)
        size = float(np.abs(step).max())
        D = np.append(step * min(1.0, 0.05 / max(size, 1e-12)), 0.0).reshape(3, 3)
        H = H @ back @ (np.eye(3) + D) @ N
        H = H / H[2, 2]
        now, since = _laid(template, scene, H, x, y), since + 1
        if now.likeness > best[1] and now.seen > 0.5:
            since = 0 if now.likeness > best[1] + GAIN else since
            best = (H, now.likeness, now.seen)
        if size < 1e-4 or since == PATIENCE:
            break
    return best


def _jacobian(
    M: Array, N: Array, x: Array, y: Array, u: Array, v: Array, slopes: list[Grey]
) -> Array:
    """Change of the warped scene with each of the eight numbers, shape (pixels, 8).

    M : from normalised coordinates of the template, where the step is made, to the scene
    N : from pixels (x, y) of the template to those. slopes : of the scene along rows and columns
    """
    p, q = N[0, 0] * x + N[0, 2], N[1, 1] * y + N[1, 2]
    w = M[2, 0] * p + M[2, 1] * q + M[2, 2]
    sy, sx = (_at(slope, u, v) for slope in slopes)
    # how the projected point moves along each row of the step
    along = [(sx * (M[0, i] - u * M[2, i]) + sy * (M[1, i] - v * M[2, i])) / w for i in range(3)]
    parts = [along[0] * p, along[0] * q, along[0], along[1] * p, along[1] * q, along[1]]
    return np.stack([*parts, along[2] * p, along[2] * q], axis=-1)


@dataclass(frozen=True, eq=False)
class _Laid:
    """A template on a scene.

    likeness : correlation of the edges where it is on the scene
    seen : share of it that is
    inside : where it is, of the template's shape
    u, v : where those pixels lie on the scene, shape (pixels,)
    off : how far the scene's edges there are from the template's, both even, and `gain` their
        standard deviation
    """

    likeness: float
    seen: float
    inside: NDArray[np.bool_]
    u: Array
    v: Array
    off: Array
    gain: float


def _laid(template: Grey, scene: Grey, H: Array, x: Array, y: Array) -> _Laid:
    """The pixels (x, y) of a template on a scene."""
    w = H[2, 0] * x + H[2, 1] * y + H[2, 2]
    w = np.where(np.abs(w) < 1e-9, 1e-9, w)
    u = (H[0, 0] * x + H[0, 1] * y + H[0, 2]) / w
    v = (H[1, 0] * x + H[1, 1] * y + H[1, 2]) / w
    inside = (w > 0) & (u >= 0) & (v >= 0) & (u <= scene.shape[1] - 1) & (v <= scene.shape[0] - 1)
    u, v = u[inside], v[inside]
    if len(u) < FEWEST_PIXELS:
        return _Laid(-1.0, 0.0, inside, u, v, u, 0.0)
    a, _ = _standard(template[inside])
    b, gain = _standard(_at(scene, u, v))
    return _Laid(float((a * b).mean()), float(inside.mean()), inside, u, v, a - b, gain)


def _standard(values: NDArray[Any]) -> tuple[Array, float]:
    """Mean 0 and standard deviation 1, and what that was."""
    v = values.astype(float)
    sd = float(v.std())
    return (v - v.mean()) / max(sd, 1e-6), sd


def _at(picture: Grey, u: Array, v: Array) -> Array:
    from scipy import ndimage

    return np.asarray(ndimage.map_coordinates(picture, [v, u], order=1, mode="nearest"), float)
