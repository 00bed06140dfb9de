"""How a graded wash runs out along a line, at every pixel of the sheet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.picture.on_disk import filled_field
from glaze.region.records import Graded
from glaze.sheet.kernel import kernel

Floats = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Eased:
    """A share that goes from one to another along a line, worked out where it is asked for.

    Eased at both ends: 3t^2 - 2t^3. Indexed as an array is; numpy takes it as one.

    Attributes
    ----------
    down, across : of t, added up at a pixel [-], float32, shapes (rows, 1) and (1, columns)
    start, rise : where it begins, and by how much it grows [-]
    """

    down: Floats
    across: Floats
    start: np.float32
    rise: np.float32

    def __getitem__(self, index: Any) -> Share:
        rows, columns = np.nonzero(index) if isinstance(index, np.ndarray) else index
        flat = [isinstance(side, slice) for side in (rows, columns)]
        if all(flat):
            return replace(self, down=self.down[rows], across=self.across[:, columns])
        if any(flat):
            return np.asarray(np.asarray(self)[index])
        none, one, two, three = np.arange(4, dtype=np.float32)
        t = np.clip(self.down[rows, 0] + self.across[0, columns], none, one)
        return np.asarray(self.start + self.rise * (t * t * (three - two * t)))

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> Floats:
        made = filled_field((self.down.size, self.across.size), np.float32)
        _ease(self.across[0], self.down[:, 0], self.start, self.rise, made)
        return np.asarray(made, dtype)


Share = Floats | Eased
"""Film of a graded wash as a share of the full one [-], shape (rows, columns)."""


def eased_along(graded: Graded, shape: tuple[int, int], mm: float) -> Eased:
    """A share that goes from one to another [-] along a line, over a sheet.

    Parameters
    ----------
    shape, mm : rows and columns, and the side of a pixel [mm]
    """
    assert graded.from_mm is not None  # the record's own check: a line or a picture
    assert graded.to_mm is not None
    start, end = np.array(graded.from_mm), np.array(graded.to_mm)
    along = (end - start) / np.sum((end - start) ** 2)
    rows, columns = shape
    x = ((np.arange(columns) + 0.5) * mm - start[0]) * along[0]
    y = ((np.arange(rows) + 0.5) * mm - start[1]) * along[1]
    ends = np.float32(graded.start), np.float32(graded.end - graded.start)
    return Eased(y.astype(np.float32)[:, None], x.astype(np.float32)[None], *ends)


@kernel()
def _ease(x, y, first, rise, out):  # type: ignore[no-untyped-def]
    none, one, two, three = np.float32(0), np.float32(1), np.float32(2), np.float32(3)
    for i in range(y.size):
        row = out[i]
        for j in range(x.size):
            t = min(max(x[j] + y[i], none), one)
            row[j] = first + rise * (t * t * (three - two * t))
