"""A small picture of one place of the sheet, as another draft would show it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.pipeline import render
from glaze.sheet.rect import Rect, whole

from .pyramid import Pyramid

LEAST_MM, LEAST_SHARE = 30.0, 0.4
"""Side of what is shown: so much of the sheet's shorter side, and no less than so many mm."""


def around(painting: Painting, pixel: tuple[int, int]) -> Rect:
    """The square of the sheet round a pixel, moved so that all of it is on the sheet."""
    rows, columns = painting.shape
    side = round(max(LEAST_MM * painting.per_mm, LEAST_SHARE * min(rows, columns)))
    top = max(0, min(pixel[0] - side // 2, rows - side))
    left = max(0, min(pixel[1] - side // 2, columns - side))
    return Rect(top, left, top + side, left + side).overlap(whole(painting.shape))


def close_up(painting: Painting, pixel: tuple[int, int]) -> NDArray[np.uint8]:
    """The picture of that square, made smaller as light is; shape (rows, columns, 3)."""
    square = around(painting, pixel)
    small = Pyramid(square.shape)
    small.put(whole(square.shape), np.asarray(render(painting, square).rgb))
    return small.levels[-1]
