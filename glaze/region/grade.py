"""How a graded wash runs out along a line, at every pixel of the sheet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.picture.on_disk import filled_field
from glaze.region.records import Graded
from glaze.sheet.kernel import kernel


def eased_along(graded: Graded, shape: tuple[int, int], mm: float) -> NDArray[np.float32]:
    """A share that goes from one to another [-] along a line, eased at both ends: 3t^2 - 2t^3.

    Parameters
    ----------
    shape, mm : rows and columns, and the side of a pixel [mm]

    Returns
    -------
    [-], float32, shape (rows, columns)
    """
    assert graded.from_mm is not None  # the record's own check: a line or a picture
    assert graded.to_mm is not None
    start, end = np.array(graded.from_mm), np.array(graded.to_mm)
    along = (end - start) / np.sum((end - start) ** 2)
    rows, columns = shape
    x = ((np.arange(columns) + 0.5) * mm - start[0]) * along[0]
    y = ((np.arange(rows) + 0.5) * mm - start[1]) * along[1]
    made = filled_field(shape, np.float32)
    ends = np.float32(graded.start), np.float32(graded.end - graded.start)
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
