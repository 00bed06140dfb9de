"""Least and greatest of a field in small cells, compiled: they tell where nothing happens."""

from __future__ import annotations

import numpy as np

from glaze.sheet.kernel import inner

CELL = 16
"""Side of a cell [px]."""


@inner()
def extremes(field):  # type: ignore[no-untyped-def]
    """Least and greatest of each cell of a field."""
    rows, columns = (field.shape[0] - 1) // CELL + 1, (field.shape[1] - 1) // CELL + 1
    low, high = np.empty((rows, columns), field.dtype), np.empty((rows, columns), field.dtype)
    for y in range(field.shape[0]):
        i = y // CELL
        for j in range(columns):
            some = field[y, j * CELL : (j + 1) * CELL]
            least, most = some[0], some[0]
            for x in range(1, some.size):
                least, most = min(least, some[x]), max(most, some[x])
            fresh = y == i * CELL
            low[i, j] = least if fresh else min(low[i, j], least)
            high[i, j] = most if fresh else max(high[i, j], most)
    return low, high


@inner()
def differs(low, high, top, left, bottom, right):  # type: ignore[no-untyped-def]
    """Whether a field differs anywhere in the cells that a part of it, or beyond it, meets."""
    top, left = max(top, 0) // CELL, max(left, 0) // CELL
    bottom = min((bottom - 1) // CELL + 1, low.shape[0])
    right = min((right - 1) // CELL + 1, low.shape[1])
    first = low[top, left]
    for i in range(top, bottom):
        for j in range(left, right):
            if low[i, j] != first or high[i, j] != first:
                return True
    return False
