"""A picture brought to the shape of its sheet: cropped to it, or fitted in whole with a margin."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.sketch.scan import read_scan
from glaze.sketch.scan_values import over

WAYS = ("crop", "fit")
EDGE_SHARE = 0.01
"""Of the picture's longer side: a strip so wide along its edge is taken for paper."""
ALONG_SHARE = 0.1
"""And so much of its length, of which the middle tone is taken, so that lines don't run on."""


def shaped(path: Path, way: str, size_mm: tuple[float, float]) -> NDArray[np.uint8]:
    """A picture in the shape of its sheet.

    Parameters
    ----------
    way : "crop" takes off alike at both sides; "fit" adds paper of the picture's own tone
    size_mm : width and height of the sheet [mm]

    Returns
    -------
    sRGB as in the picture, uint8, shape (rows, columns, bands)
    """
    if way not in WAYS:
        raise InputError(unknown("way to bring a picture to its sheet", way, WAYS))
    scan = read_scan(path)
    values = np.atleast_3d(over(scan, scan.full)) / (scan.full / 255)
    rows, columns = values.shape[:2]
    wide, high = size_mm
    # the axis along which the sheet is shorter than the picture, or longer
    if way == "crop":
        size = min(rows, round(columns * high / wide)), min(columns, round(rows * wide / high))
        top, left = ((a - b) // 2 for a, b in zip((rows, columns), size, strict=True))
        return _eight(values[top : top + size[0], left : left + size[1]])
    size = max(rows, round(columns * high / wide)), max(columns, round(rows * wide / high))
    for axis in (0, 1):
        more = size[axis] - values.shape[axis]
        pads = [(0, 0)] * 3
        pads[axis] = more // 2, more - more // 2
        first, last = (_paper(values, axis, end) for end in (False, True))
        parts = [
            np.repeat(first, pads[axis][0], axis),
            values,
            np.repeat(last, pads[axis][1], axis),
        ]
        values = np.concatenate(parts, axis)
    return _eight(values)


def _paper(values: NDArray[np.float64], axis: int, end: bool) -> NDArray[np.float64]:
    """The paper's tone along one edge, a row or a column of it."""
    from scipy.ndimage import median_filter

    strip = max(1, round(EDGE_SHARE * max(values.shape[:2])))
    part = np.arange(values.shape[axis] - strip, values.shape[axis]) if end else np.arange(strip)
    tone = np.median(np.take(values, part, axis), axis=axis, keepdims=True)
    size = [1, 1, 1]
    size[1 - axis] = max(3, round(ALONG_SHARE * values.shape[1 - axis]))
    return np.asarray(median_filter(tone, size=size, mode="nearest"))


def _eight(values: NDArray[np.float64]) -> NDArray[np.uint8]:
    return np.rint(values).astype(np.uint8)
