"""A flat sheet seen from anywhere: the homography between its millimetres and a picture's pixels.

Eight numbers, Hartley and Zisserman (2004), Multiple View Geometry, section 4.1 (the direct
linear transformation).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Plane:
    """H takes (x, y, 1) of one plane to (u w, v w, w) of the other, shape (3, 3)."""

    H: Array

    def __call__(self, points: ArrayLike) -> Array:
        """Points of the one plane in the other, shape (..., 2)."""
        p = np.asarray(points, dtype=float)
        u = p @ self.H[:, :2].T + self.H[:, 2]
        return np.asarray(u[..., :2] / u[..., 2:])

    @property
    def inverse(self) -> Plane:
        """The way back."""
        return Plane(np.asarray(np.linalg.inv(self.H), dtype=np.float64))

    def after(self, first: Plane) -> Plane:
        """From where another begins to where this ends."""
        return Plane(self.H @ first.H)

    def scale_at(self, point: ArrayLike) -> float:
        """Lengths there over lengths here, at a point. Such as [px/mm]."""
        p = np.asarray(point, dtype=float)
        o, a, b = self(p + np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
        return float(np.sqrt(abs((a - o)[0] * (b - o)[1] - (a - o)[1] * (b - o)[0])))


def plane_through(from_points: ArrayLike, to_points: ArrayLike) -> Plane:
    """The homography of four or more pairs of points (least squares beyond four).

    Points in two units of length, [px] or [mm], shape (points, 2) each.
    """
    p, q = np.asarray(from_points, dtype=float), np.asarray(to_points, dtype=float)
    before, after = _centred(p), _centred(q)
    x, y = (p @ before[:2, :2].T + before[:2, 2]).T
    u, v = (q @ after[:2, :2].T + after[:2, 2]).T
    zero, one = np.zeros_like(x), np.ones_like(x)
    rows = np.vstack(
        [
            np.column_stack([x, y, one, zero, zero, zero, -u * x, -u * y, -u]),
            np.column_stack([zero, zero, zero, x, y, one, -v * x, -v * y, -v]),
        ]
    )
    H = np.linalg.svd(rows)[2][-1].reshape(3, 3)
    H = np.linalg.solve(after, H @ before)
    return Plane(H / H[2, 2])


def _centred(points: Array) -> Array:
    """Matrix that puts points about the origin at a distance near 1 (keeps the system even)."""
    middle = points.mean(axis=0)
    scale = 1.0 / max(float(np.sqrt(((points - middle) ** 2).sum(axis=1)).mean()), 1e-12)
    return np.array(
        [[scale, 0.0, -scale * middle[0]], [0.0, scale, -scale * middle[1]], [0.0, 0.0, 1.0]]
    )
