"""Tiles of a painted sheet, each by itself, on all cores."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Generator, Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any, TypeVar

from numpy.typing import NDArray

from glaze.painting.develop import Linear, developed, encoded, washes_rgb
from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting
from glaze.picture.cores import cores
from glaze.sheet.rect import Rect
from glaze.sheet.state import Sheet, bare_sheet

T = TypeVar("T")

TILE = 256
"""Side of a tile [px]: its sheet of 8 colourants is 4.5 MB."""
AHEAD = 4
"""Tiles for each core that are begun before the first of them is asked for."""

_thread = threading.local()


def tile_rgb(painting: Painting, tile: Rect, *, stirred: bool = False) -> Linear:
    """Linear sRGB of one tile, without the sketch's line [-], shape (rows, columns, 3)."""
    glows = painting.table.glow is not None
    if not stirred and not glows and all(layer.flat_wash is not None for layer in painting.layers):
        return washes_rgb(painting, tile)
    if stirred:
        return developed(painting, sheet_at(painting, tile, stirred=True))
    return developed(painting, sheet_at(painting, tile, on=_bare_here(painting, tile)))


def _bare_here(painting: Painting, tile: Rect) -> Sheet:
    """A bare sheet of a tile's size, in the memory of this thread's tile before.

    Memory that is new each time costs as much as half of what is laid there.
    """
    size = *tile.shape, len(painting.table.dyes)
    sheet: Sheet | None = getattr(_thread, "sheet", None)
    if sheet is None or sheet.load_g_per_m2.shape != size:
        _thread.sheet = sheet = bare_sheet(*size)
        return sheet
    for field in vars(sheet).values():
        field.fill(0)
    return sheet


def tile_numbers(painting: Painting, tile: Rect, bits: int) -> tuple[NDArray[Any], int]:
    """Picture numbers of one tile, and how many pixels were mapped.

    sRGB signals, uint8 or uint16, shape (rows, columns, 3).
    """
    line = None if painting.line is None else painting.line[tile.slices]
    return encoded(painting, tile_rgb(painting, tile), line, bits)


def in_turn(work: Callable[[Rect], T], tiles: Iterable[Rect]) -> Generator[T, None, None]:
    """What `work` gives of each tile, in their order, on all cores; numba lets go of the GIL."""
    at_once = cores()
    waiting: deque[Future[T]] = deque()
    with ThreadPoolExecutor(at_once) as pool:
        try:
            for tile in tiles:
                waiting.append(pool.submit(work, tile))
                if len(waiting) > AHEAD * at_once:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise
