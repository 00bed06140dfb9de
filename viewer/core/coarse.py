"""A coarse look at a part of a sheet: some of its pixels, as many as there is time for."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.sheet.rect import Rect, whole

from .pyramid import Picture8
from .views import View, seen

COARSE_SECONDS = 0.03
"""What a coarse picture may cost; the rest of 60 ms is for settling and for showing it."""
FIRST_RATE = 1.2e7
"""Pixels a second before anything has been timed: a guess for two cores."""

MOST_LINES = 8
"""Lines kept small: of the sheet and of versions compared with it, each in a few sizes."""


class CoarseLook:
    """Looks coarsely, and learns from each look how fine the next may be.

    rate : pixels a second
    """

    def __init__(self) -> None:
        self.rate = FIRST_RATE
        self._lines: dict[tuple[int, int], tuple[NDArray[np.float32], NDArray[np.float32]]] = {}

    def step_for(self, rect: Rect) -> int:
        """Every how many pixels of a rectangle there is time for: 1, 2, 4, 8 or 16."""
        pixels = max(1, (rect.bottom - rect.top) * (rect.right - rect.left))
        step = 1
        while step < 16 and pixels / step**2 > self.rate * COARSE_SECONDS:
            step *= 2
        return step

    def picture(
        self,
        painting: Painting,
        view: View,
        area: Rect,
        step: int,
        reserve: NDArray[np.uint16] | None = None,
    ) -> Picture8:
        """Every `step`-th pixel of an area, under a line that is the mean of what it stands for.

        Gives sRGB of 8 bits, shape (rows / step, columns / step, 3), rounded up.
        """
        start, half = time.perf_counter(), step // 2
        index = (
            slice(min(area.top + half, area.bottom - 1), area.bottom, step),
            slice(min(area.left + half, area.right - 1), area.right, step),
        )
        wanted = -(-area.shape[0] // step), -(-area.shape[1] // step)

        def take(painting: Painting) -> Painting:
            some = replace(painting.taken(index), dpi=painting.dpi / step)
            if painting.line is None or step == 1:
                return some
            top, left = area.top // step, area.left // step
            line = self._line(painting.line, step)
            return replace(some, line=line[top : top + some.shape[0], left : left + some.shape[1]])

        some = take(painting)
        looked = view if view.local else View(light=view.light)
        if view.split:
            # the split line lies in the whole sheet, not in this part of it
            edge = painting.shape[1] * view.split
            share = float(np.clip((edge - area.left) / max(1, area.shape[1]), 0, 1))
            looked = replace(looked, split=share)
        kept = None if reserve is None else reserve[index]
        small = seen(some, looked.taken(take), whole(some.shape), kept)
        # the last row and column may stand for less than a step: they are repeated
        missing = [(0, w - n) for w, n in zip(wanted, some.shape, strict=True)]
        small = np.pad(small, [*missing, (0, 0)], mode="edge")
        self.rate = 0.5 * self.rate + 0.5 * small[..., 0].size / (time.perf_counter() - start)
        return small

    def _line(self, line: NDArray[np.float32], step: int) -> NDArray[np.float32]:
        """A sketch's line as the mean of squares of `step` pixels, worked out once."""
        if (id(line), step) not in self._lines:
            if len(self._lines) > MOST_LINES:
                self._lines.clear()
            pads = [(0, -line.shape[0] % step), (0, -line.shape[1] % step)]
            full = np.pad(line, pads, mode="edge")
            blocks = full.reshape(full.shape[0] // step, step, full.shape[1] // step, step)
            # the line is held, so its id stays its own
            self._lines[id(line), step] = line, blocks.mean(axis=(1, 3), dtype=np.float32)
        return self._lines[id(line), step][1]
