"""Zones of a painting: places where the same steps lie, whole and away from every edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.sheet.units import FULL

Mask = NDArray[np.bool_]

FROM_EDGE_MM = 1.2
"""Zones keep that far from every border: rims, slips of the brush, and how far a photo may be
misplaced (0.3 mm at the corners in the tests)."""

LEAST_MM2 = 25.0
MOST_ZONES = 18
CLEAR_OF_LINE = 0.96


@dataclass(frozen=True, eq=False)
class Zone:
    """A zone: its steps in painting order, its pixels on the grid, its area [mm2]."""

    steps: tuple[str, ...]
    pixels: Mask
    area_mm2: float

    @property
    def name(self) -> str:
        """The steps in words: "sky + shadow"; long lists by their first and last."""
        if not self.steps:
            return "bare paper"
        if len(self.steps) <= 3:
            return " + ".join(self.steps)
        return f"{self.steps[0]} + {len(self.steps) - 2} more + {self.steps[-1]}"


def zones_of(painting: Painting, line: NDArray[np.float32] | None, px_per_mm: float) -> list[Zone]:
    """The largest zones of a painting taken at a coarse grid, the largest first.

    The line is [-], shape (rows, columns).

    Parameters
    ----------
    painting : of the grid's pixels only
    line : transmittance of the sketch's line on the grid, None if there is none
    """
    from scipy import ndimage

    clear = np.ones(painting.shape, bool) if line is None else line > CLEAR_OF_LINE
    kinds = np.zeros(painting.shape, np.int64)
    names: list[str] = []
    if painting.drawn is not None:
        clear &= painting.drawn.coverage < (1 - CLEAR_OF_LINE) * FULL
    for step in painting.steps:
        if step.step.everywhere or not step.spread.any():
            continue
        share = step.spread.astype(np.float32) / FULL
        clear &= (share < 0.02) | (share > 0.95)
        kinds |= (share > 0.5).astype(np.int64) << len(names)
        names.append(step.name)
    reach = max(1, round(FROM_EDGE_MM * px_per_mm))
    found = []
    for kind in np.unique(kinds):
        inner = ndimage.binary_erosion((kinds == kind) & clear, iterations=reach, border_value=0)
        area = float(inner.sum()) / px_per_mm**2
        if area >= LEAST_MM2:
            steps = tuple(name for bit, name in enumerate(names) if kind >> bit & 1)
            found.append(Zone(steps, inner, area))
    found.sort(key=lambda zone: -zone.area_mm2)
    return found[:MOST_ZONES]


def sample_pixels(zones: Sequence[Zone], most: int = 80) -> list[NDArray[np.intp]]:
    """Some pixels of each zone, spread evenly, as rows and columns, shape (2, pixels).

    They are indices into the grid.
    """
    found = []
    for zone in zones:
        rows, columns = np.nonzero(zone.pixels)
        every = max(1, rows.size // most)
        found.append(np.stack([rows[::every], columns[::every]]))
    return found
