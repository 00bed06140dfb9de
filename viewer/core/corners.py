"""A photographed sheet: its four corners in the photo, and the sketch seen square from above."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from glaze.errors import InputError
from glaze.physics.flow import MM_PER_INCH
from glaze.sketch.scan import read_scan
from glaze.sketch.scan_values import over
from glaze.sketch.straighten import sheet_corners, straighten

from .packed import folder_till_the_end
from .sizes import Size

LARGEST_PX = 1600
"""Longer side of the small picture of a photo [px]."""
GUESSED = 0.1
"""So far inside the photo its corners are begun with where none are found [share]."""


@dataclass(frozen=True, eq=False)
class Photo:
    """A photo of a sheet, small enough to look at.

    small : what it shows, sRGB, uint8, shape (rows, columns, 3)
    pixels : width and height of the photo itself [px]
    corners : of the sheet in the photo [px], clockwise from the upper left, shape (4, 2)
    found : whether they were found, and not only guessed
    """

    path: Path
    small: NDArray[np.uint8]
    pixels: tuple[int, int]
    corners: NDArray[np.float64]
    found: bool


def read_photo(path: Path) -> Photo:
    """A photo with the corners of the sheet in it; takes about a second.

    Raises
    ------
    InputError : it can't be read
    """
    scan = read_scan(path)
    values = np.atleast_3d(over(scan, scan.full)) / (scan.full / 255)
    high, wide, bands = values.shape
    shown = np.rint(np.repeat(values, 3 // bands, axis=2)).astype(np.uint8)
    image = Image.fromarray(shown)
    image.thumbnail((LARGEST_PX, LARGEST_PX))
    try:
        corners, found = sheet_corners(scan), True
    except InputError:
        left, top, right, foot = (
            *(GUESSED * side for side in (wide, high)),
            *((1 - GUESSED) * side for side in (wide, high)),
        )
        corners, found = np.array([[left, top], [right, top], [right, foot], [left, foot]]), False
    limits = np.array([wide, high], float)
    return Photo(path, np.asarray(image), (wide, high), np.clip(corners, 0, limits), found)


def corner_words(corners: NDArray[np.float64]) -> str:
    """Corners [px], shape (4, 2), as the model's own `corners_of` reads them."""
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)


def mean_sides(corners: NDArray[np.float64]) -> tuple[int, int]:
    """Width and height of a sheet as its corners [px], shape (4, 2), show it, slanted or not."""
    top, right, foot, left = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    return round((top + foot) / 2), round((left + right) / 2)


def straight_sketch(photo: Photo, corners: NDArray[np.float64], size_mm: Size) -> Path:
    """The sheet seen square from above, as a picture that goes when the program ends.

    corners : in the photo [px], shape (4, 2); size_mm : of the sheet

    Raises
    ------
    InputError : the corners enclose nothing
    """
    values = straighten(photo.path, corner_words(corners), size_mm)
    file = folder_till_the_end() / f"{photo.path.stem} straight.png"
    dpi = values.shape[1] / (size_mm[0] / MM_PER_INCH)
    Image.fromarray(values).save(file, dpi=(dpi, dpi))
    return file
