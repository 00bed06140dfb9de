"""The sheet as it looks after each step, and a veil over all but the place to paint."""

from __future__ import annotations

import base64
import io
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import binary_dilation

from glaze.painting.settle import Painting
from glaze.physics.flow import MM_PER_INCH
from glaze.picture.cores import cores
from glaze.picture.file import picture_from_linear
from glaze.picture.resized import averaged, reduce, rows_under, scaled
from glaze.pipeline import after_each
from glaze.sheet.rect import Rect
from glaze.sheet.units import FULL

LONG_SIDE_PX = 1200
STRIP = 24
"""Rows of the small pictures that are worked out together: some 70 of an A4 sheet at 300 dpi."""
MOST_BYTES = 3_400_000
"""Of all pictures of a page; in base64 a third more, so that a page stays under 5 MB."""
SIZES = ((1.0, 84), (0.85, 80), (0.7, 76), (0.55, 72), (0.42, 66), (0.32, 60))
"""Share of the side and WebP quality to try in turn."""
INSIDE, VEIL, DARK, PALE = 0, 1, 2, 3
VEIL_GREY, VEIL_ALPHA = 236, 185
"""A veil that lets the rest of the sheet show through faintly, in either theme."""


@dataclass(frozen=True)
class Stage:
    """The sheet after a step. picture, veil : data URIs; veil is "" where it is the whole sheet.

    box_mm : left, top, right, bottom of the place to paint on the sheet [mm]
    """

    picture: str
    veil: str
    box_mm: tuple[float, float, float, float]

    @property
    def size(self) -> int:
        """Characters that it takes in a page."""
        return len(self.picture) + len(self.veil)


def stages_of(
    painting: Painting, progress: Callable[[float], None], long_side_px: int = LONG_SIDE_PX
) -> list[Stage]:
    """The bare sheet, then the sheet after each step, as large as the page's size allows.

    progress : called with the share done, 0 to 1
    """
    scale = min(1.0, long_side_px / max(painting.shape))
    pictures = _pictures(painting, scale, progress)
    places = [place_of(painting, number, scale) for number in range(len(painting.steps))]
    boxes = [_box_mm(place, painting.dpi * scale) for place in places]
    whole = (0.0, 0.0, *painting.size_mm)
    for share, quality in SIZES:
        shown = [picture_uri(_smaller(Image.fromarray(rgb), share), quality) for rgb in pictures]
        veils = ["", *(_veil(place, share) for place in places)]
        told = [Stage(*each) for each in zip(shown, veils, [whole, *boxes], strict=True)]
        if sum(stage.size for stage in told) <= MOST_BYTES * 4 / 3:
            break
    return told


def _pictures(
    painting: Painting, scale: float, progress: Callable[[float], None]
) -> NDArray[np.uint8]:
    """sRGB pictures of the bare sheet and after each step; shape (stages, rows, columns, 3).

    Each strip of the sheet is laid once, and looked at after every step.
    """
    rows, columns = painting.shape
    shape = scaled(painting.shape, scale)
    pictures = np.empty((len(painting.steps) + 1, *shape, 3), np.uint8)
    strips = [range(at, min(at + STRIP, shape[0])) for at in range(0, shape[0], STRIP)]

    def fill(strip: range) -> None:
        first, last = rows_under(strip, rows, shape[0])
        for number, linear in enumerate(after_each(painting, Rect(first, 0, last, columns))):
            small = averaged(linear, shape, strip, rows)
            seen = picture_from_linear(small, painting.dpi * scale).rgb
            pictures[number, strip.start : strip.stop] = seen

    with ThreadPoolExecutor(cores()) as pool:
        for done, _ in enumerate(pool.map(fill, strips)):
            progress((done + 1) / len(strips))
    return pictures


def place_of(painting: Painting, number: int, scale: float) -> NDArray[np.bool_]:
    """Where a step lies, at the size of the stages; True there, shape (rows, columns)."""
    step = painting.steps[number]
    if step.step.everywhere:
        return np.ones(reduce(step.coverage.astype(np.float32), scale).shape, bool)
    share = reduce(step.coverage.astype(np.float32) / FULL, scale)
    return np.asarray(share > 0.35)


def _box_mm(place: NDArray[np.bool_], dpi: float) -> tuple[float, float, float, float]:
    """What a place reaches over [mm]; the whole sheet for one that lies nowhere."""
    rows, columns = np.flatnonzero(place.any(1)), np.flatnonzero(place.any(0))
    if not len(rows):
        rows, columns = np.arange(place.shape[0]), np.arange(place.shape[1])
    edges = columns[0], rows[0], columns[-1] + 1, rows[-1] + 1
    left, top, right, bottom = (float(edge) * MM_PER_INCH / dpi for edge in edges)
    return left, top, right, bottom


def picture_uri(image: Image.Image, quality: int = SIZES[0][1]) -> str:
    """A picture of any shape as a data URI; quality of WebP, number of 1 to 100."""
    return _uri(image, "webp", quality=quality, method=5)


def _veil(place: NDArray[np.bool_], share: float) -> str:
    """A pale veil round a place, with a dark outline inside a pale one; "" over a whole sheet."""
    if place.all() or not place.any():
        return ""
    small = np.asarray(_smaller(Image.fromarray(place.astype(np.uint8) * 255), share)) > 127
    levels = np.where(small, INSIDE, VEIL).astype(np.uint8)
    dark = binary_dilation(small, iterations=2) & ~small
    pale = binary_dilation(small, iterations=4) & ~small & ~dark
    levels[dark], levels[pale] = DARK, PALE
    image = Image.fromarray(levels, "P")
    image.putpalette([*(255,) * 3, *(VEIL_GREY,) * 3, *(40, 36, 32), *(255,) * 3])
    alphas = bytes([0, VEIL_ALPHA, 255, 255])
    return _uri(image, "png", transparency=alphas, optimize=True)


def _smaller(image: Image.Image, share: float) -> Image.Image:
    if share == 1.0:
        return image
    size = max(1, round(image.width * share)), max(1, round(image.height * share))
    return image.resize(size, Image.Resampling.BOX)


def _uri(image: Image.Image, kind: str, **options: object) -> str:
    held = io.BytesIO()
    image.save(held, kind, **options)
    return f"data:image/{kind};base64,{base64.b64encode(held.getvalue()).decode()}"
