"""The picture while it is being painted: a coarse one at once, then tiles, what is seen first.

Tiles are worked out by `glaze.pipeline` in our own threads, so they are pixel for pixel what
`glaze preview` writes. Each tile carries a number; what changed meanwhile makes a result stale,
and it is thrown away and asked for again. Nothing here knows a window: `collect` is called from
whatever ticks.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable
from concurrent.futures import Future
from dataclasses import dataclass, replace
from functools import partial, reduce

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.sheet.rect import Rect, squares, whole

from .below import Below
from .coarse import CoarseLook
from .pyramid import Picture8, Pyramid, at_level
from .squares import TILE, Corner, corner_of, square_at
from .views import View, seen, under
from .worker import helpers, shared

BAND = 64
"""Height of the bands that a tile is worked out in [px]."""


@dataclass(frozen=True, eq=False)
class _Asked:
    """A tile somebody is working on, and the number it had."""

    tile: Rect
    number: int
    result: Future[Picture8 | None]


class Preview:
    """A picture of a painting that follows its changes.

    visible : the part of the sheet that is on the screen; it is done first, from its middle
    level : the level of the pyramid that is shown
    reserve : where washes are stopped out, for the view that shows it
    corners : of all tiles
    """

    def __init__(self, painting: Painting, view: View | None = None, threads: int = 0) -> None:
        self.painting = painting
        self.view = view or View()
        self.pyramid = Pyramid(painting.shape)
        self.visible = whole(painting.shape)
        self.level = 0
        self.reserve: NDArray[np.uint16] | None = None
        self.stale: set[Corner] = set()
        self._numbers: dict[Corner, int] = {}
        self._asked: dict[Corner, _Asked] = {}
        self._workers = threads or max(1, os.cpu_count() or 1)
        self._pool = helpers(self._workers, "glaze")
        self._coarse = CoarseLook()
        self._below: Below | None = None
        self.resting = True
        self.corners = frozenset(corners_in(whole(painting.shape)))
        self._outdate([whole(painting.shape)])

    # ---- what has changed

    def show(
        self,
        painting: Painting,
        view: View | None = None,
        tiles: Iterable[Corner] | None = None,
        coarse: bool = True,
    ) -> list[Rect]:
        """Follow a change: mark its tiles stale and give a coarse picture at once.

        tiles : corners of the tiles that change; all of them if None
        Returns the rectangles of the full size whose picture has changed already.
        """
        self.painting, self.view = painting, view or self.view
        changed = set(self.corners if tiles is None else tiles)
        self._outdate(map(self.tile, changed))
        seen_part = [self.tile(corner).overlap(self.visible) for corner in changed]
        parts = [part for part in seen_part if not part.empty]
        if not coarse or len(changed) <= 2 or not parts:
            return []
        return [self.coarse(reduce(Rect.union, parts), changed)]

    def touch(self, rect: Rect) -> None:
        """A rectangle has changed: its tiles are to be done again."""
        self._outdate([rect])

    def touch_quietly(self, rect: Rect) -> None:
        """Results that tiles of a rectangle are waiting for won't hold any more; ask later."""
        self._count(self._reached([rect]))

    def _outdate(self, rects: Iterable[Rect]) -> None:
        reached = self._reached(rects)
        self._count(reached)
        self.stale |= reached

    def _count(self, corners: set[Corner]) -> None:
        for corner in corners:
            self._numbers[corner] = self._numbers.get(corner, 0) + 1

    def _reached(self, rects: Iterable[Rect]) -> set[Corner]:
        """Corners of the tiles whose picture changes with some rectangles."""
        reach, shape = self.view.reach_px(self.painting.dpi), self.painting.shape
        return {corner for rect in rects for corner in corners_in(rect.grown(reach, shape))}

    # ---- what is done at once

    def coarse(self, rect: Rect, only: set[Corner] | None = None) -> Rect:
        """A coarse picture of a rectangle, as fine as there is time for; gives where it is.

        only : corners of the tiles that may be shown coarse; those between them are right as
            they are, and nobody would do them again
        """
        step, shown = max(self._coarse.step_for(rect), 2**self.level), self.level
        near = rect.top // step * step, rect.left // step * step
        far = -(-rect.bottom // step) * step, -(-rect.right // step) * step
        area = Rect(*near, *far).overlap(whole(self.painting.shape))
        small = self._coarse.picture(self.painting, self.view, area, step, self.reserve)
        for tile in squares(area, TILE):
            if only is None or corners_in(tile) <= only:
                local = tile.inside(area)
                part = Rect(*(-(-side // step) for side in local)).slices
                self.pyramid.stretch(at_level(tile, shown), small[part], step // 2**shown, shown)
        return area

    def coarse_everywhere(self) -> None:
        """A coarse picture of the whole sheet on every level, before anything else is there."""
        self.coarse(whole(self.painting.shape))
        self.pyramid.refine(self.pyramid.bounds, self.level)

    def begin_pixels(self, number: int) -> None:
        """The pen comes down on a step: what lies below it is kept while it moves."""
        share = partial(shared, self._pool)
        self._below = Below(under(self.painting, self.view.light), number, share)
        self.resting = False

    def end_pixels(self) -> None:
        """The pen has gone up."""
        self._below = None
        self.resting = True

    def pixels(self, rows: NDArray[np.intp], columns: NDArray[np.intp], rect: Rect) -> None:
        """Work out single pixels now, within a rectangle, as the pen moves over them."""
        count = rows.size
        if count == 0 or not self.view.follows_pen:
            return
        if self._below is not None and self.view.way == "as it will look" and not self.view.vision:
            rgb = self._below.picture(rows, columns)
        else:
            rgb = self._seen_pixels(rows, columns)
        self.pyramid.levels[0][rows, columns] = rgb
        self.pyramid.refine(rect)

    def _seen_pixels(self, rows: NDArray[np.intp], columns: NDArray[np.intp]) -> Picture8:
        """Single pixels in another way of looking."""
        width = min(rows.size, TILE)
        height = -(-rows.size // width)
        padded = np.resize(rows, (height, width)), np.resize(columns, (height, width))
        # they don't lie beside one another: nothing is evened out among them
        some = replace(self.painting.taken(padded), dpi=0.0)
        reserve = None if self.reserve is None else self.reserve[padded]
        return seen(some, self.view, whole(some.shape), reserve).reshape(-1, 3)[: rows.size]

    # ---- what is done in the background

    def collect(self, seconds: float = 0.02) -> list[Rect]:
        """Take in finished tiles and ask for more; gives the rectangles that have changed.

        seconds : when so much time has gone, the rest waits for the next call
        """
        until = time.perf_counter() + seconds
        changed = []
        for corner, asked in list(self._asked.items()):
            if not asked.result.done():
                continue
            del self._asked[corner]
            picture = asked.result.result()
            if picture is None or asked.number != self._numbers.get(corner):
                self.stale.add(corner)
                continue
            self.pyramid.put(asked.tile, picture)
            changed.append(asked.tile)
            if time.perf_counter() > until:
                break
        if self.resting:
            self._ask()
        return changed

    def _ask(self) -> None:
        # one tile waits for each that is worked on, so that no thread stands idle
        room = 2 * self._workers - len(self._asked)
        waiting = self.stale - self._asked.keys()
        for corner in sorted(waiting, key=self._distance)[: max(room, 0)]:
            self.stale.discard(corner)
            tile, number = self.tile(corner), self._numbers.setdefault(corner, 0)
            see = partial(seen, self.painting, self.view, reserve=self.reserve)
            job = self._pool.submit(self._work_out, corner, number, tile, see)
            self._asked[corner] = _Asked(tile, number, job)

    def _work_out(
        self, corner: Corner, number: int, tile: Rect, see: Callable[[Rect], Picture8]
    ) -> Picture8 | None:
        """A tile band by band; None once it is outdated or the pen is down: both cores are wanted
        then for what the painter waits for."""
        bands = []
        for band in self._bands(tile):
            if not self.resting or self._numbers[corner] != number:
                return None
            bands.append(see(band))
        return np.concatenate(bands)

    def _bands(self, tile: Rect) -> list[Rect]:
        """A tile in bands that are done in a few ms each; whole where it looks sideways."""
        if not self.view.local or self.view.reach_px(self.painting.dpi):
            return [tile]
        return [
            Rect(top, tile.left, min(top + BAND, tile.bottom), tile.right)
            for top in range(tile.top, tile.bottom, BAND)
        ]

    def _distance(self, corner: Corner) -> tuple[bool, float]:
        """What is seen comes first, from its middle."""
        tile, seen_part = self.tile(corner), self.visible
        row = (tile.top + tile.bottom - seen_part.top - seen_part.bottom) / 2
        column = (tile.left + tile.right - seen_part.left - seen_part.right) / 2
        return tile.overlap(seen_part).empty, row * row + column * column

    @property
    def busy(self) -> bool:
        """Whether anything is still to come."""
        return bool(self.stale or self._asked)

    @property
    def share_done(self) -> float:
        """Share of the tiles that are up to date, 0 to 1."""
        total = len(self.corners)
        return 1 - (len(self.stale | self._asked.keys())) / max(1, total)

    def finish(self) -> None:
        """Wait until all tiles are done."""
        while self.busy:
            self.collect(1.0)
            time.sleep(0.001)

    def close(self) -> None:
        """Let the threads go."""
        self.stale.clear()
        self.resting = False  # what is worked on ends after its band
        self._pool.shutdown(wait=True, cancel_futures=True)

    def tile(self, corner: Corner) -> Rect:
        """The tile at a corner."""
        return square_at(corner, self.painting.shape)


def corners_in(rect: Rect) -> set[Corner]:
    """Corners of the tiles that a rectangle touches."""
    return {corner_of(tile) for tile in squares(rect, TILE)}
