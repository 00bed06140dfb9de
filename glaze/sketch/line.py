"""A sketch: line art on bare paper, cleaned of the paper it was scanned or photographed with.

The line is a transmittance, 1 where the paper is clean: it multiplies what lies under it, so the
picture's own shade, tint and uneven light have to go first.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, percent
from glaze.physics.flow import MM_PER_INCH
from glaze.picture.on_disk import filled_field
from glaze.picture.resized import averaged, enlarged
from glaze.picture.true_size import TrueSize
from glaze.sketch.cleaned import clean_line
from glaze.sketch.scan import LARGEST_AREA, LARGEST_SIDE, picture_head, read_scan, too_large
from glaze.sketch.scan_values import luminance

MOST_DPI = 2400  # as in a scene file
LARGEST_SHEET_MM = 1200.0  # A0 is 841 x 1189 mm
NO_REAL_DPI = (72, 96)  # what cameras and programs write when they don't know


@dataclass(frozen=True, eq=False)
class Sketch(TrueSize):
    """Line art over a sheet.

    Parameters
    ----------
    line : transmittance [-], float32, shape (rows, columns), 0 to 1, clean paper exactly 1
    dpi : dots per inch, alike both ways
    path : the picture, never written; None for a bare sheet
    notes : what a painter should know about how it was read
    """

    line: NDArray[np.float32]
    dpi: float
    path: Path | None = None
    notes: tuple[str, ...] = ()

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        rows, columns = self.line.shape
        return rows, columns

    def coarser(self, shape: tuple[int, int], scale: float) -> Sketch:
        """The same on fewer rows and columns, each pixel the mean of what it covers.

        scale : of its dpi
        """
        line = _bare(shape) if self.path is None else averaged(self.line, shape)
        return replace(self, line=line, dpi=self.dpi * scale)

    def finer(self, shape: tuple[int, int], scale: float) -> Sketch:
        """The same on more rows and columns, read between its pixels."""
        _refuse_large(f"This sheet at {self.dpi * scale:.0f} dpi", shape)
        line = _bare(shape) if self.path is None else enlarged(self.line, shape)
        return replace(self, line=line, dpi=self.dpi * scale)


def blank_sketch(size_mm: tuple[float, float], dpi: float) -> Sketch:
    """A bare sheet of a given size."""
    shape = blank_shape(size_mm, dpi)
    _refuse_large(f"A sheet of {size_mm[0]:g} x {size_mm[1]:g} mm at {dpi:g} dpi", shape)
    return Sketch(_bare(shape), dpi)


def blank_shape(size_mm: tuple[float, float], dpi: float) -> tuple[int, int]:
    """Rows and columns of a bare sheet [px], of its width and height."""
    columns, rows = (max(1, round(side * dpi / MM_PER_INCH)) for side in size_mm)
    return rows, columns


def _refuse_large(what: str, shape: tuple[int, int]) -> None:
    if too_large(shape):
        raise InputError(
            f"{what} has {shape[1]} x {shape[0]} pixels; allowed: {LARGEST_SIDE} a side and "
            f"{LARGEST_AREA // 1_000_000} million in all, but for `glaze preview -o picture.tif`. "
            "Give a lower dpi."
        )


def _bare(shape: tuple[int, int]) -> NDArray[np.float32]:
    """The line of a sheet that has none."""
    line = filled_field(shape, np.float32)
    line[...] = 1.0
    return line


def read_sketch(
    path: str | Path, dpi: float | None = None, size_mm: tuple[float, float] | None = None
) -> Sketch:
    """A scanned or photographed drawing as a line on clean paper.

    Parameters
    ----------
    path : PNG, JPEG or TIFF
    dpi : overrides what the picture says
    size_mm : width and height of the sheet [mm], another way to give the dpi
    """
    path = Path(path)
    scan = read_scan(path)
    rows, columns = scan.values.shape[:2]
    sheet_dpi, notes = _dpi_of(path.name, (columns, rows), scan.dpi, dpi, size_mm)
    bright, read_notes = luminance(scan)
    line = clean_line(bright, sheet_dpi)
    return Sketch(line, sheet_dpi, path, (*read_notes, *notes))


def sheet_of(
    path: Path, dpi: float | None = None, size_mm: tuple[float, float] | None = None
) -> tuple[tuple[int, int], float]:
    """Rows and columns that a sketch will have [px], and its dpi, without reading its pixels."""
    (rows, columns), said = picture_head(path)
    return (rows, columns), _dpi_of(path.name, (columns, rows), said, dpi, size_mm)[0]


def _dpi_of(
    name: str,
    pixels: tuple[int, int],
    said: tuple[float, float] | None,
    dpi: float | None,
    size_mm: tuple[float, float] | None,
) -> tuple[float, tuple[str, ...]]:
    """The sheet's dpi, from the painter first, else from the picture; and notes."""
    across, down = (dpi, dpi) if dpi else (0.0, 0.0)
    ask = (
        "Give dpi (scans are 300 or 600), or the sheet's width and height in mm: size_mm = "
        "[210, 148] in a scene, --size 210x148 for `glaze new`."
    )
    if dpi is not None and not 20 <= dpi <= MOST_DPI:  # as in a scene file; not: nan
        raise InputError(f"{dpi:g} dpi: allowed are 20 to {MOST_DPI} dots per inch.")
    if size_mm and not all(5 <= side <= 2000 for side in size_mm):
        wide, high = size_mm
        raise InputError(f"A sheet of {wide:g} x {high:g} mm: allowed are sides of 5 to 2000 mm.")
    if size_mm:
        across, down = (p * MM_PER_INCH / mm for p, mm in zip(pixels, size_mm, strict=True))
    if not across and said is None:
        raise InputError(f'"{name}" doesn\'t say how large it is on paper. {ask}')
    given = bool(across)
    if not given and said:
        across, down = said
    if size_mm and abs(across / down - 1) > 0.02:
        raise InputError(_shapes_differ(name, pixels, size_mm))
    if abs(across / down - 1) > 0.02:
        raise InputError(
            f'"{name}" has {across:.4g} dpi across but {down:.4g} dpi down; allowed: the same both '
            f"ways. {ask}"
        )
    value = float(np.sqrt(across * down))
    # a PNG counts whole dots per metre: 300 dpi comes back as 299.9994
    value = float(round(value)) if abs(value - round(value)) < 0.02 else value
    wide, high = (p * MM_PER_INCH / value for p in pixels)
    if value > MOST_DPI:
        raise InputError(f'"{name}" says {value:.4g} dpi; allowed: up to {MOST_DPI}. {ask}')
    if max(wide, high) > LARGEST_SHEET_MM:
        raise InputError(
            f'"{name}" at {value:.4g} dpi would be a sheet of {wide:.0f} x {high:.0f} mm; allowed: '
            f"{LARGEST_SHEET_MM:.0f} mm a side (A0). The dpi is wrong. {ask}"
        )
    note = (
        f'"{name}" says {value:.4g} dpi, which cameras and programs write when they don\'t know: '
        f"the sheet is taken as {wide:.0f} x {high:.0f} mm. If it isn't, give size_mm."
    )
    return value, (note,) if not given and round(value) in NO_REAL_DPI else ()


def _shapes_differ(name: str, pixels: tuple[int, int], size_mm: tuple[float, float]) -> str:
    """A sheet's size that isn't of its picture's shape, and the ways to go on."""
    (wide, high), (across, down) = size_mm, pixels
    return (
        f'"{name}" and its sheet differ in shape: the picture is {across} x {down} px '
        f"(1 : {down / across:.3g}), the sheet {wide:g} x {high:g} mm (1 : {high / wide:.3g}). "
        f"glaze new --shape crop takes {_cut(pixels, size_mm)} off; with --shape fit it shows all "
        f"of it at {_fitted(pixels, size_mm)} with a margin, with --corners find it finds the "
        f"sheet in a photo; the width alone, --size {wide:g}, makes the sheet "
        f"{wide:g} x {wide * down / across:.0f} mm."
    )


def _cut(pixels: tuple[int, int], size_mm: tuple[float, float]) -> str:
    """What a crop to the sheet's shape takes off, as "6 % of the height"."""
    tall = pixels[1] / pixels[0] * size_mm[0] / size_mm[1]
    share, side = (1 - 1 / tall, "height") if tall > 1 else (1 - tall, "width")
    return f"{percent(share)} of the {side}"


def _fitted(pixels: tuple[int, int], size_mm: tuple[float, float]) -> str:
    """How large the whole picture is on its sheet, as "148 x 197 mm"."""
    scale = min(mm / px for px, mm in zip(pixels, size_mm, strict=True))
    return f"{pixels[0] * scale:.0f} x {pixels[1] * scale:.0f} mm"
