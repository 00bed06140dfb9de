"""How a graded wash runs out along a line, at every pixel of the sheet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.sheet.kernel import kernel


def eased_along(
    from_mm: tuple[float, float],
    to_mm: tuple[float, float],
    first: float,
    last: float,
    shape: tuple[int, int],
    mm: float,
) -> NDArray[np.float32]:
    """A share that goes from `first` to `last` [-] along a line, eased at both ends: 3t^2 - 2t^3.

    Parameters
    ----------
    from_mm, to_mm : ends of the line, x and y
    shape, mm : rows and columns, and the side of a pixel [mm]

    Returns
    -------
    [-], float32, shape (rows, columns)
    """
    start, end = np.array(from_mm), np.array(to_mm)
    along = (end - start) / np.sum((end - start) ** 2)
    rows, columns = shape
    x = ((np.arange(columns) + 0.5) * mm - start[0]) * along[0]
    y = ((np.arange(rows) + 0.5) * mm - start[1]) * along[1]
    made = np.empty(shape, np.float32)
    ends = np.float32(first), np.float32(last - first)
    _ease(x.astype(np.float32), y.astype(np.float32), *ends, made)
    return made


@kernel()
def _ease(x, y, first, rise, out):  # type: ignore[no-untyped-def]
    none, one, two, three = np.float32(0), np.float32(1), np.float32(2), np.float32(3)
    for i in range(y.size):
        row = out[i]
        for j in range(x.size):
            t = min(max(x[j] + y[i], none), one)
            row[j] = first + rise * (t * t * (three - two * t))
