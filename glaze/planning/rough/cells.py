"""A rough read on a grid over the sheet: each sample from what of it is clear of the line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.region.areas import Areas
from glaze.sketch.plane import Plane
from glaze.sketch.register import laid_over

Linear = NDArray[np.float32]

MOST_SAMPLES = 90_000
FINEST_MM = 0.4
"""A grid no finer than that: a brush does nothing smaller on purpose."""
OFF_LINE = 0.9
"""The rough is read where the sketch's line lets so much light through all about it [-]."""
READ_MM, CLEAR_SHARE = 0.2, 0.15
"""It is read so finely, and a sample is known from so much of it on [-]."""
CLEAR_MM, SMEAR_PX = 0.3, 1.2
"""So far from a line, and by so many of the rough's own pixels, whatever is more."""


@dataclass(frozen=True)
class Cells:
    """The grid that a rough is read on: samples, each of several finer ones.

    shape : rows and columns of samples. fine : finer ones along a side of each
    fine_px : of the sheet along a side of a finer one. per_mm : pixels of the sheet
    """

    shape: tuple[int, int]
    fine: int
    fine_px: int
    per_mm: float

    @classmethod
    def of(cls, areas: Areas) -> Cells:
        """For a sketch's sheet, its areas of shape (rows, columns) [px]."""
        wide, high = areas.sketch.size_mm
        wanted_mm = max(FINEST_MM, float(np.sqrt(wide * high / MOST_SAMPLES)))
        fine_px = max(1, round(READ_MM * areas.per_mm))
        fine = max(1, round(wanted_mm * areas.per_mm / fine_px))
        rows, columns = (side // (fine * fine_px) for side in areas.number.shape)
        return cls((rows, columns), fine, fine_px, areas.per_mm)

    @property
    def px(self) -> int:
        """Side of a sample in pixels of the sheet."""
        return self.fine * self.fine_px

    @property
    def mm(self) -> float:
        """Side of a sample."""
        return self.px / self.per_mm

    @property
    def fine_mm(self) -> float:
        """Side of a finer one."""
        return self.fine_px / self.per_mm

    def middles(self, field: NDArray[Any], finer: bool = False) -> NDArray[Any]:
        """Pixels of the sheet in the middle of each sample, or of each finer one.

        In the unit of the field [any], shape (rows, columns).
        """
        step = self.fine_px if finer else self.px
        index = tuple(slice(step // 2, side * self.px, step) for side in self.shape)
        return np.asarray(field[index])

    def parted(self, field: NDArray[Any]) -> NDArray[Any]:
        """A field of the finer ones by samples, in its own unit [any].

        shape (rows, columns, finer ones of each, ...)
        """
        (rows, columns), fine = self.shape, self.fine
        cut = field[: rows * fine, : columns * fine]
        cut = cut.reshape(rows, fine, columns, fine, *field.shape[2:]).swapaxes(1, 2)
        return np.asarray(cut.reshape(rows, columns, fine * fine, *field.shape[2:]))


def read_on(
    picture: Linear, plane: Plane, areas: Areas, cells: Cells
) -> tuple[Linear, NDArray[np.bool_]]:
    """The rough's colour at every sample, from what of it is in its area and clear of the line.

    Returns
    -------
    rgb : linear sRGB [-], shape (rows, columns, 3), white where the rough doesn't reach
    seen : where it can be read, shape (rows, columns)
    """
    (rows, columns), fine = cells.shape, cells.fine
    over = laid_over(picture, plane.after(mm_of(cells.fine_mm)), (rows * fine, columns * fine))
    inside = np.isfinite(over[..., 0])
    clear = inside & _clear(areas.sketch.line, plane, cells)
    number = cells.parted(cells.middles(areas.number, finer=True))
    own = number == cells.middles(areas.number)[..., None]
    parts = cells.parted(np.nan_to_num(over, nan=1.0))
    best, near = cells.parted(clear) & own, cells.parted(inside) & own
    count = best.sum(axis=2)
    seen = count >= max(1, CLEAR_SHARE * fine * fine)
    # what no light reaches clear of the line is guessed from what lies about it
    weight = np.where(seen[..., None], best, np.where(near.any(axis=2)[..., None], near, True))
    total = weight.sum(axis=2, dtype=np.float32)[..., None]
    return np.einsum("rcf,rcfk->rck", weight.astype(np.float32), parts) / total, seen


def _clear(line: Linear, plane: Plane, cells: Cells) -> NDArray[np.bool_]:
    """Finer samples with no line in them nor so near that the rough's own pixels smear it there."""
    from scipy.ndimage import minimum_filter

    side = cells.fine_px
    rows, columns = (n * cells.fine for n in cells.shape)
    blocks = line[: rows * side, : columns * side].reshape(rows, side, columns, side)
    middle = np.array([columns, rows]) * cells.fine_mm / 2
    blur_mm = max(CLEAR_MM, SMEAR_PX / plane.scale_at(middle))
    reach = int(np.ceil(blur_mm / cells.fine_mm))
    least = minimum_filter(blocks.min(axis=(1, 3)), 2 * reach + 1, mode="nearest")
    return np.asarray(least >= OFF_LINE)


def mm_of(side_mm: float) -> Plane:
    """From samples of a grid, counted by their middles, to mm of the sheet."""
    half = side_mm / 2
    return Plane(np.array([[side_mm, 0, half], [0, side_mm, half], [0, 0, 1.0]]))
