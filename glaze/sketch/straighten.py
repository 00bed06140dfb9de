"""A photographed sheet made straight: its four corners, and the picture seen square from above."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.sketch.plane import plane_through
from glaze.sketch.scan import Scan, read_scan
from glaze.sketch.scan_values import luminance, over

Array = NDArray[np.float64]

SMALL_PX = 400
"""The picture's longer side while its corners are looked for [px]."""
LEAST_SHARE = 0.2
"""Of the picture that the sheet has to fill."""
MOST_OFF = 0.06
"""Share of the sheet's area by which four corners may miss it; more is no sheet."""


def sheet_corners(scan: Scan) -> Array:
    """Corners of the lightest large thing in a picture [px], clockwise from the upper left.

    Returns
    -------
    shape (4, 2), x and y
    """
    from scipy.ndimage import binary_fill_holes, label

    bright, _ = luminance(scan)
    step = max(1, max(bright.shape) // SMALL_PX)
    small = np.sqrt(bright[step // 2 :: step, step // 2 :: step])
    # filled first: a drawn frame doesn't part the sheet from its own margin
    number, _ = label(binary_fill_holes(small > _parting(small)))
    sizes = np.bincount(number.ravel())[1:]
    sheet = number == 1 + int(np.argmax(sizes)) if sizes.size else small < 0
    y, x = np.nonzero(sheet)
    if sheet.sum() < LEAST_SHARE * sheet.size:
        raise InputError(_not_found("nothing light fills a fifth of the picture"))
    ends = [np.argmin(x + y), np.argmax(x - y), np.argmax(x + y), np.argmin(x - y)]
    corners = np.array([[x[n], y[n]] for n in ends], float)
    if abs(_area(corners) / sheet.sum() - 1) > MOST_OFF:
        raise InputError(_not_found("what is light has no four straight sides"))
    # from the middles of the outermost samples to the sheet's edge
    outward = np.array([[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]])
    return (corners + outward + 0.5) * step


def _parting(values: NDArray[np.float32]) -> float:
    """The value that parts light from dark best (Otsu 1979: greatest variance between the two)."""
    counts, edges = np.histogram(values, 128)
    middles = (edges[1:] + edges[:-1]) / 2
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middles)
    with np.errstate(invalid="ignore", divide="ignore"):
        gap = sums / below - (sums[-1] - sums) / above
        between = np.nan_to_num(below * above * gap**2)
    return float(middles[int(np.argmax(between))])


def _area(corners: Array) -> float:
    """Area of a polygon by its corners (shoelace)."""
    x, y = corners.T
    return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2)


def _not_found(why: str) -> str:
    return (
        f"The sheet's corners aren't found: {why}. Photograph it on something darker, or give them "
        'in pixels, clockwise from the upper left: --corners "120,80 2900,95 2890,4020 110,4000".'
    )


def corners_of(text: str) -> Array:
    """Four corners written as "120,80 2900,95 2890,4020 110,4000" [px], shape (4, 2)."""
    try:
        corners = np.array([[float(v) for v in part.split(",")] for part in text.split()])
        good = corners.shape == (4, 2) and bool(np.isfinite(corners).all())
    except ValueError:
        good = False
    if not good or _area(corners) < 100:
        raise InputError(
            f'--corners "{text}": "find", or four corners x,y in pixels with spaces between them, '
            "clockwise from the upper left."
        )
    return corners


def straighten(path: Path, corners: str, size_mm: tuple[float, float]) -> NDArray[np.uint8]:
    """A photo of a sheet as if seen square from above.

    Parameters
    ----------
    corners : "find", or four in pixels as `corners_of` takes them
    size_mm : width and height of the sheet [mm]

    Returns
    -------
    sRGB as in the photo, uint8, shape (rows, columns, 3), its pixels square
    """
    from scipy.ndimage import map_coordinates

    scan = read_scan(path)
    at = sheet_corners(scan) if corners.strip() == "find" else corners_of(corners)
    wide, high = size_mm
    sides = np.hypot(*(np.roll(at, -1, axis=0) - at).T)
    # as fine as the photo is where it is finest
    per_mm = max(sides[0] / wide, sides[2] / wide, sides[1] / high, sides[3] / high)
    columns, rows = round(wide * per_mm), round(high * per_mm)
    square = np.array([[0, 0], [columns, 0], [columns, rows], [0, rows]], float)
    x, y = np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5)
    there = plane_through(square, at)(np.stack([x, y], axis=-1)) - 0.5
    values = np.atleast_3d(over(scan, scan.full)) / (scan.full / 255)
    place = np.moveaxis(there[..., ::-1], -1, 0)
    bands = [
        map_coordinates(values[..., min(n, values.shape[2] - 1)], place, order=1, mode="nearest")
        for n in range(3)
    ]
    return np.rint(np.stack(bands, axis=-1)).astype(np.uint8)
