"""What lies below the step under the brush, kept pixel by pixel while a stroke goes on.

A soft brush comes to the same pixel again and again. The washes and lifts below don't change
meanwhile, so each pixel's sheet is worked out when the brush first comes to it and kept; memory
grows with the pixels painted on, not with the sheet. What active bleach in the paper does to a
wash shows once the pen is up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting
from glaze.pipeline import picture_on
from glaze.sheet.field import zero_field
from glaze.sheet.rect import whole
from glaze.sheet.state import bare_sheet

Places = NDArray[np.intp]
CHUNK = 6000
"""Pixels worked on by a thread at once; fewer aren't worth a second thread."""

Share = Callable[[Callable[[slice], None], list[slice]], None]
"""Does some work on each of several parts."""


def alone(work: Callable[[slice], None], parts: list[slice]) -> None:
    """One part after the other."""
    for part in parts:
        work(part)


class Below:
    """The sheet below a step, at the pixels asked for so far.

    painting : the whole painting. count : how many of its steps lie below
    """

    def __init__(self, painting: Painting, count: int, share: Share = alone) -> None:
        self.painting, self.count, self._share = painting, count, share
        self._below = painting.until(count)
        # what an earlier bleach left works on a wash overnight, not under the brush
        above = tuple(step.fresh() for step in painting.steps[count:])
        self._above = replace(painting, steps=above, drawn=None)
        self._slot = zero_field(painting.shape, np.int32)
        self._kept = bare_sheet(1, 1 << 14, len(painting.table.dyes))
        self._used = 0

    def picture(self, rows: Places, columns: Places) -> NDArray[np.uint8]:
        """The 8-bit picture at some pixels, shape (pixels, 3)."""
        self._learn(rows, columns)
        out = np.empty((rows.size, 3), np.uint8)
        slots = self._slot[rows, columns] - 1

        def fill(part: slice) -> None:
            some = slots[part]
            sheet = self._kept.each(lambda field: np.take(field, some, axis=1))
            above = self._above.taken((rows[None, part], columns[None, part]))
            out[part] = picture_on(above, sheet)[0]

        self._share(fill, _chunks(rows.size))
        return out

    def _learn(self, rows: Places, columns: Places) -> None:
        """Work out the sheet below where it isn't known yet."""
        new = self._slot[rows, columns] == 0
        rows, columns = rows[new], columns[new]
        if rows.size == 0:
            return
        self._make_room(rows.size)
        first = self._used

        def fill(part: slice) -> None:
            some = self._below.taken((rows[None, part], columns[None, part]))
            sheet = sheet_at(some, whole(some.shape))
            place = slice(first + part.start, first + part.stop)
            for name, field in vars(sheet).items():
                getattr(self._kept, name)[:, place] = field

        self._share(fill, _chunks(rows.size))
        self._used += rows.size
        self._slot[rows, columns] = np.arange(first + 1, self._used + 1)

    def _make_room(self, more: int) -> None:
        """Twice the room whenever it is full."""
        have = self._kept.bleached.shape[1]
        if self._used + more <= have:
            return
        size = max(2 * have, self._used + more)
        larger = bare_sheet(1, size, len(self.painting.table.dyes))
        for name, field in vars(self._kept).items():
            getattr(larger, name)[:, : self._used] = field[:, : self._used]
        self._kept = larger


def _chunks(count: int) -> list[slice]:
    return [slice(start, min(start + CHUNK, count)) for start in range(0, count, CHUNK)]
