"""What lies within reach of a place, as a square round it, compiled: as fast for any reach."""

from __future__ import annotations

import numpy as np

from glaze.sheet.kernel import kernel


@kernel()
def widened(wall, reach):  # type: ignore[no-untyped-def]
    """What is true, widened by `reach` pixels to every side and corner: bool, the same shape."""
    rows, columns = wall.shape
    beside, out = np.empty(wall.shape, np.bool_), np.empty(wall.shape, np.bool_)
    for y in range(rows):
        until = -1
        for x in range(min(reach, columns)):
            if wall[y, x]:
                until = x + reach
        for x in range(columns):
            if x + reach < columns and wall[y, x + reach]:
                until = x + 2 * reach
            beside[y, x] = x <= until
    count = np.empty(columns, np.int32)
    for x in range(columns):
        count[x] = 0
    for y in range(min(reach, rows)):
        for x in range(columns):
            count[x] += beside[y, x]
    for y in range(rows):
        if y + reach < rows:
            for x in range(columns):
                count[x] += beside[y + reach, x]
        if y > reach:
            for x in range(columns):
                count[x] -= beside[y - reach - 1, x]
        for x in range(columns):
            out[y, x] = count[x] > 0
    return out
