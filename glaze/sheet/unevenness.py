"""How unevenly a film dries: the paper's tooth, and the brush's patchiness.

No measured figures were found; amounts and sizes are guesses that look like a careful flat wash,
and predictions of numbers (patches, planning, charts) leave it out. The mean stays 1, each
point depends only on its place in mm on the sheet, so tiles and any resolution agree.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from glaze.sheet.kernel import kernel

TOOTH = {"matte absorbent": 0.05, "hard-sized": 0.06, "coated": 0.01}
"""Ink gathers in the hollows of the paper: share of the film, by surface. Guess."""

PATCHES = 0.035
"""A brush lays a little more here and less there: share of the film. Guess."""

TOOTH_MM, PATCHES_MM = 0.35, 7.0


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
def _add_noise(field, top, left, cell_px, amount, seed):  # type: ignore[no-untyped-def]
    """Add smooth value noise of a cell size to a field, in place."""
    one, two, three = np.float32(1), np.float32(2), np.float32(3)
    rows, columns = field.shape
    upper, lower = np.empty(columns, np.float32), np.empty(columns, np.float32)
    last = np.int64(0)
    for row in range(rows):
        v = np.float32((top + row) / cell_px)
        j = int(np.floor(v))
        fy = v - np.float32(j)
        fy = fy * fy * (three - two * fy)
        # the lattice's rows above and below serve as many rows of pixels as a cell is high
        if row == 0 or j != last:
            last = j
            _lattice_row(upper, left, cell_px, j, seed)
            _lattice_row(lower, left, cell_px, j + 1, seed)
        here = field[row]
        for x in range(columns):
            here[x] += amount * (upper[x] * (one - fy) + lower[x] * fy)


@kernel()
def _lattice_row(out, left, cell_px, j, seed):  # type: ignore[no-untyped-def]
    """Values along a row of the lattice, eased between its points, at every column."""
    two, three, last = np.float32(2), np.float32(3), np.int64(0)
    a = b = np.float32(0)
    for column in range(out.size):
        u = np.float32((left + column) / cell_px)
        i = int(np.floor(u))
        if column == 0 or i != last:
            a, b, last = _hashed(i, j, seed), _hashed(i + 1, j, seed), i
        fx = u - np.float32(i)
        fx = fx * fx * (three - two * fx)
        out[column] = a + (b - a) * fx


def unevenness(
    top: int, left: int, shape: tuple[int, int], dpi: float, surface: str, wash_seed: int
) -> NDArray[np.float32]:
    """Factor on the film thickness [-], mean 1, of the rectangle at `top`, `left` [px].

    float32 of `shape`, (rows, columns).

    Parameters
    ----------
    surface : of the paper, a key of TOOTH
    wash_seed : tells the patches of one wash from those of another; the tooth is the paper's
    """
    tooth = TOOTH.get(surface, 0.0)
    return noise(
        *(top, left, shape, dpi),
        (
            (TOOTH_MM, tooth, 1),
            (TOOTH_MM * 2.7, float(np.float32(tooth) * np.float32(0.6)), 2),
            (PATCHES_MM, PATCHES, wash_seed),
            (PATCHES_MM / 3.3, PATCHES * 0.5, wash_seed + 1),
        ),
        mean=1.0,
    )


def noise(
    top: int,
    left: int,
    shape: tuple[int, int],
    dpi: float,
    waves: Iterable[tuple[float, float, int]],
    mean: float = 0.0,
) -> NDArray[np.float32]:
    """Smooth noise of the rectangle at `top`, `left` [px] about a mean [-], float32 of `shape`.

    waves : size [mm], most [-] and seed of each, added up
    """
    field = np.full(shape, mean, np.float32)
    for size_mm, most, seed in waves:
        _add_noise(field, top, left, size_mm * dpi / 25.4, np.float32(most), seed)
    return field
