"""The picture at full size and at halves of it, each pixel of a half the mean light of four.

Shown small, a picture of thin lines needs the mean of what lies under each screen pixel; taking
every second pixel would drop lines.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import srgb_decode, srgb_encode
from glaze.sheet.kernel import kernel
from glaze.sheet.rect import Rect, whole

Picture8 = NDArray[np.uint8]
LEAST_SIDE = 300
"""Halving ends when a side would be smaller than this [px]."""

_LIGHT_STEPS = 16383
_TO_LIGHT = np.rint(srgb_decode(np.arange(256) / 255) * _LIGHT_STEPS).astype(np.uint16)
_TO_SIGNAL = np.rint(srgb_encode(np.arange(_LIGHT_STEPS + 1) / _LIGHT_STEPS) * 255).astype(np.uint8)


class Pyramid:
    """Levels of a picture: 0 is the full size, each next one half as wide and high."""

    def __init__(self, shape: tuple[int, int]) -> None:
        self.levels: list[Picture8] = [np.full((*shape, 3), 255, np.uint8)]
        while min(self.levels[-1].shape[:2]) >= 2 * LEAST_SIDE:
            rows, columns = self.levels[-1].shape[:2]
            half = ((rows + 1) // 2, (columns + 1) // 2, 3)
            self.levels.append(np.full(half, 255, np.uint8))

    def put(self, rect: Rect, picture: Picture8) -> None:
        """Put a rectangle into the full size and bring all halves up to date there."""
        self.levels[0][rect.slices] = picture
        self.refine(rect)

    def refine(self, rect: Rect, first: int = 0) -> None:
        """Bring the halves up to date within a rectangle of level `first`."""
        for fine, coarse in zip(self.levels[first:], self.levels[first + 1 :], strict=False):
            rect = halved(rect)
            halve(fine, coarse, *rect, _TO_LIGHT, _TO_SIGNAL)

    def stretch(self, rect: Rect, small: Picture8, step: int, level: int) -> None:
        """Show a small picture, every `step`-th pixel of a rectangle of `level`, until it is done.

        Only this level and its halves are touched.
        """
        rows, columns = rect.shape
        large = np.repeat(np.repeat(small, step, axis=0), step, axis=1)
        self.levels[level][rect.slices] = large[:rows, :columns]

    def level_for(self, screen_px_per_px: float) -> int:
        """The level to show when a pixel of the sheet takes so many screen pixels."""
        if screen_px_per_px <= 0:
            return 0
        fitting = int(np.floor(np.log2(1 / screen_px_per_px) + 1e-6))
        return int(np.clip(fitting, 0, len(self.levels) - 1))

    @property
    def bounds(self) -> Rect:
        """All of the full size."""
        rows, columns = self.levels[0].shape[:2]
        return whole((rows, columns))


def halved(rect: Rect) -> Rect:
    """The pixels of the next level that a rectangle takes part in."""
    return Rect(rect.top // 2, rect.left // 2, (rect.bottom + 1) // 2, (rect.right + 1) // 2)


def at_level(rect: Rect, level: int) -> Rect:
    """The pixels of a level that a rectangle of the full size takes part in."""
    for _ in range(level):
        rect = halved(rect)
    return rect


@kernel()
def halve(fine, coarse, top, left, bottom, right, to_light, to_signal):  # type: ignore[no-untyped-def]
    """Mean light of 2 x 2 pixels, for a rectangle of the coarse level; edges are repeated."""
    rows, columns = fine.shape[0] - 1, fine.shape[1] - 1
    for r in range(top, bottom):
        a, b = min(2 * r, rows), min(2 * r + 1, rows)
        for c in range(left, right):
            d, e = min(2 * c, columns), min(2 * c + 1, columns)
            for k in range(3):
                total = (
                    np.uint32(to_light[fine[a, d, k]])
                    + np.uint32(to_light[fine[a, e, k]])
                    + np.uint32(to_light[fine[b, d, k]])
                    + np.uint32(to_light[fine[b, e, k]])
                )
                coarse[r, c, k] = to_signal[(total + np.uint32(2)) >> np.uint32(2)]
