"""Open areas told apart between lines, and which of two areas lies to either side of a join."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.region.growth import Numbers, told_apart
from glaze.region.joins import Join
from glaze.region.strokes import Wall

OPEN_TIPS_MM = 20.0  # areas grow so far into tips and dead ends narrower than a neck


def coarser(wall: Wall, step: int) -> Wall:
    """Walls, True, on pixels of which each holds so many fine ones a side; (rows, columns)."""
    coarse = np.zeros([-(-length // step) for length in wall.shape], np.bool_)
    for row, column in np.ndindex(step, step):
        some = wall[row::step, column::step]
        coarse[: some.shape[0], : some.shape[1]] |= some
    return coarse


def told_apart_by(joins: Sequence[Join], wall: Wall, per_mm: float, neck_mm: float) -> Numbers:
    """Numbers of the open areas once joins are drawn into the walls, both (rows, columns).

    Lines that pass one another closer than a neck [mm] part what lies beyond. Numbers are each an
    index from 1, True is a wall.
    """
    drawn = wall.copy()
    for join in joins:
        drawn[pixels_of(join, per_mm, wall.shape)] = True
    return told_apart(drawn, int(neck_mm / 2 * per_mm), round(OPEN_TIPS_MM * per_mm))


def pixels_of(
    join: Join, per_mm: float, shape: tuple[int, ...], beside_px: float = 0.0
) -> tuple[NDArray[np.int64], ...]:
    """Rows and columns of a join's pixels [px], or of those a little to one side of it.

    Each of shape (pixels,).
    """
    path = np.array(join.path_mm) * per_mm
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    even = np.linspace(0, along[-1], max(2, int(2.5 * along[-1])))
    x, y = (np.interp(even, along, side) for side in path.T)
    if beside_px:
        dx, dy = np.gradient(x), np.gradient(y)
        length = np.maximum(np.hypot(dx, dy), 1e-9)
        x, y = x + beside_px * dy / length, y - beside_px * dx / length
    places = np.clip(np.floor(y), 0, shape[0] - 1), np.clip(np.floor(x), 0, shape[1] - 1)
    return tuple(place.astype(np.int64) for place in places)


def parting_of(number: Numbers, joins: Sequence[Join], per_mm: float) -> tuple[Join, ...]:
    """Those of the joins that have two areas beside them; the others only end in the open."""
    sides = [sides_of(number, join, per_mm) for join in joins]
    return tuple(join for join, (a, b) in zip(joins, sides, strict=True) if a != b)


def sides_of(number: Numbers, join: Join, per_mm: float) -> tuple[int, int]:
    """Number of the area to either side of a join, the one that is beside most of it."""
    beside = (number[pixels_of(join, per_mm, number.shape, away)] for away in (-2.0, 2.0))
    one, other = (int(np.bincount(some[some > 0], minlength=1).argmax()) for some in beside)
    return (one, other) if one and other else (0, 0)
