"""Pixels of a true size: where each lies in mm, and which lies at a place."""

from __future__ import annotations

from math import floor
from typing import Protocol

from glaze.physics.flow import MM_PER_INCH


class Dots(Protocol):
    """Dots per inch, alike both ways, and rows and columns."""

    @property
    def dpi(self) -> float: ...
    @property
    def shape(self) -> tuple[int, int]: ...


class TrueSize:
    """What `dpi` and `shape` say of a sketch, a painting or a picture."""

    @property
    def per_mm(self: Dots) -> float:
        """Pixels to the mm."""
        return self.dpi / MM_PER_INCH

    @property
    def size_mm(self: Dots) -> tuple[float, float]:
        """Width and height [mm]."""
        rows, columns = self.shape
        return columns * MM_PER_INCH / self.dpi, rows * MM_PER_INCH / self.dpi

    def middle_mm(self: Dots, row: float, column: float) -> tuple[float, float]:
        """Where the middle of a pixel lies, x and y [mm]."""
        mm = MM_PER_INCH / self.dpi
        return (column + 0.5) * mm, (row + 0.5) * mm

    def pixel_at(self: Dots, point_mm: tuple[float, float]) -> tuple[int, int] | None:
        """Row and column of the pixel at a place, x and y [mm]; None off the sheet."""
        column, row = (floor(mm * self.dpi / MM_PER_INCH) for mm in point_mm)
        rows, columns = self.shape
        return (row, column) if 0 <= row < rows and 0 <= column < columns else None
