"""Irregular fields: the paper's fibres, the hand's patches and bands.

No measured figures were found; sizes and amounts are guesses by eye, and predictions of numbers
(patches, planning, charts) leave all of it out. Each point depends only on its place in mm on the
sheet, so that tiles and any resolution agree. Lattices are turned, so that none shows.
"""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.physics.flow import MM_PER_INCH
from glaze.picture.cores import cores
from glaze.picture.on_disk import filled_field
from glaze.sheet.cache_folder import keep, kept_bytes, kept_in
from glaze.sheet.kernel import BUILT_WITH, SOURCES, kernel
from glaze.sheet.rect import Rect, squares, whole

TOOTH = {"matte absorbent": 0.06, "hard-sized": 0.07, "coated": 0.012}
"""Ink gathers in the hollows between the fibres: share of a film of 100 ml/m2. Guess."""

_FIBRES = (1.1, 1.7, 17.0), (0.8, 1.5, 83.0), (0.6, 1.8, 139.0)
"""Size [mm], stretch and direction [degrees] of noise whose level lines lie like felted fibres:
every way, bent, of any length. Guess."""
_FIBRE = 0.25
"""Share of the noise's range that is fibre; the mean is then 0.13 of a fibre's height squared."""
KEPT_PX = range(1_000_000, 40_000_000)
"""Sheets whose tooth is kept: smaller take no time, larger too much room."""
MOST_KEPT = 6
_HOLLOWS = (0.3, 1.0, 31.0), (0.75, 1.3, 57.0)


@dataclass(frozen=True)
class Wave:
    """Smooth noise of one size: `size_mm` across, `stretch` times as long along `degrees`.

    `most` is its greatest value [-]; `degrees` turn clockwise from the rows.
    """

    size_mm: float
    most: float
    seed: int
    stretch: float = 1.0
    degrees: float = 0.0


@kernel(inline="always")
def _hashed(x, y, seed):  # type: ignore[no-untyped-def]
    """A number from -1 to 1 of a point of a lattice, by the integer finaliser of MurmurHash3."""
    # numba widens to 64 bits: keep the low 32 after every product
    low = np.uint64(0xFFFFFFFF)
    h = (np.uint64(x) * np.uint64(0x9E3779B1)) ^ (np.uint64(y) * np.uint64(0x85EBCA77))
    h = (h ^ np.uint64(seed)) & low
    h = ((h ^ (h >> np.uint64(16))) * np.uint64(0x85EBCA6B)) & low
    h = ((h ^ (h >> np.uint64(13))) * np.uint64(0xC2B2AE35)) & low
    h = h ^ (h >> np.uint64(16))
    return np.float32(h * (2.0 / 4294967295.0) - 1.0)


@kernel()
def _add_noise(field, top, left, along_x, along_y, across_x, across_y, most, seed):  # type: ignore[no-untyped-def]
    """Add smooth value noise over a turned, stretched lattice to a field, in place."""
    two, three = np.float32(2), np.float32(3)
    columns = field.shape[1]
    cells, within = np.empty((2, columns), np.int32), np.empty((2, columns), np.float32)
    corners = np.empty((4, columns), np.float32)
    a = b = c = d = np.float32(0)
    last_i = last_j = -(2**31)
    for row in range(field.shape[0]):
        y = top + row
        # three runs along the row: the first and the last become vector code
        for column in range(columns):
            x = left + column
            u, v = x * along_x + y * along_y, x * across_x + y * across_y
            i, j = np.floor(u), np.floor(v)
            fx, fy = np.float32(u - i), np.float32(v - j)
            cells[0, column], cells[1, column] = np.int32(i), np.int32(j)
            within[0, column] = fx * fx * (three - two * fx)
            within[1, column] = fy * fy * (three - two * fy)
        for column in range(columns):
            i, j = np.int64(cells[0, column]), np.int64(cells[1, column])
            if i != last_i or j != last_j:
                a, b = _hashed(i, j, seed), _hashed(i + 1, j, seed)
                c, d = _hashed(i, j + 1, seed), _hashed(i + 1, j + 1, seed)
                last_i, last_j = i, j
            corners[0, column], corners[1, column] = a, b - a
            corners[2, column], corners[3, column] = c, d - c
        for column in range(columns):
            upper = corners[0, column] + corners[1, column] * within[0, column]
            lower = corners[2, column] + corners[3, column] * within[0, column]
            field[row, column] += most * (upper + (lower - upper) * within[1, column])


def noise(
    top: float, left: float, shape: tuple[int, int], dpi: float, waves: Iterable[Wave]
) -> NDArray[np.float32]:
    """Smooth noise about 0 [-] of the rectangle at `top`, `left` [px], its waves added up.

    A wave finer than two pixels fades, as its mean over a pixel would.

    float32 of `shape`, (rows, columns).
    """
    field = np.zeros(shape, np.float32)
    for wave in waves:
        size_px = wave.size_mm * dpi / MM_PER_INCH
        turn = np.radians(wave.degrees)
        along = np.array([np.cos(turn), np.sin(turn)]) / (size_px * wave.stretch)
        across = np.array([-np.sin(turn), np.cos(turn)]) / size_px
        most = np.float32(wave.most * min(1.0, size_px / 2.0))
        _add_noise(field, top + 0.5, left + 0.5, *along, *across, most, wave.seed)
    return field


def tooth(shape: tuple[int, int], dpi: float) -> NDArray[np.int8]:
    """How much more ink gathers at each pixel between the fibres of a sheet, 127 = 1; mean 0.

    Kept in the user's cache folder by size: it is the same for all that is painted.

    int8 of `shape`, (rows, columns); [-].
    """
    rows, columns = shape
    folder = kept_in("tooth", SOURCES, BUILT_WITH) if rows * columns in KEPT_PX else None
    if folder is None:
        return _tooth(shape, dpi)
    file = folder / f"{columns}x{rows} at {dpi!r}.tooth"
    content = kept_bytes(file, asked=True)
    if content is not None and len(content) == rows * columns:
        return np.frombuffer(bytearray(content), np.int8).reshape(shape)
    made = _tooth(shape, dpi)
    keep(file, made.tobytes(), MOST_KEPT)
    return made


def _tooth(shape: tuple[int, int], dpi: float) -> NDArray[np.int8]:
    made = filled_field(shape, np.int8)

    def fill(square: Rect) -> None:
        made[square.slices] = np.rint(np.clip(_fibrous(square, dpi), -1.0, 1.0) * 127.0)

    with ThreadPoolExecutor(cores()) as pool:
        list(pool.map(fill, squares(whole(shape), 512)))
    return made


def _fibrous(rect: Rect, dpi: float) -> NDArray[np.float32]:
    """Ink gathers in the hollows, and runs along fibres."""
    found = noise(rect.top, rect.left, rect.shape, dpi, _waves(_HOLLOWS, 0.55, 11))
    for wave in _waves(_FIBRES, 1.0, 3):
        level = np.abs(noise(rect.top, rect.left, rect.shape, dpi, [wave]))
        along = np.maximum(1.0 - level / np.float32(_FIBRE), 0.0)
        found += np.float32(0.45) * (along * along - np.float32(0.133))
    return found


def _waves(of: Iterable[tuple[float, float, float]], most: float, seed: int) -> list[Wave]:
    return [
        Wave(size, most, seed + n, stretch, degrees)
        for n, (size, stretch, degrees) in enumerate(of)
    ]
