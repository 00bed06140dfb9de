"""16-bit fields over a sheet that take up memory only where something lies.

A scene of thirty regions and twenty steps over A3 would hold gigabytes of zeros otherwise.
"""

from __future__ import annotations

import mmap

import numpy as np
from numpy.typing import DTypeLike, NDArray


def zero_field(shape: tuple[int, int], dtype: DTypeLike = np.uint16) -> NDArray:
    """An array of zeros whose pages the system hands out when they are first written to.

    `np.zeros` is lazy too, but asks for pages of 2 MB, some 300 rows of an A4 sheet at a time.

    uint16 unless said otherwise, shape (rows, columns).
    """
    size = shape[0] * shape[1] * np.dtype(dtype).itemsize
    if size == 0:
        return np.zeros(shape, dtype)
    # private: in a shared mapping reading alone would claim the pages
    flags = {"flags": mmap.MAP_PRIVATE | mmap.MAP_ANONYMOUS} if hasattr(mmap, "MAP_PRIVATE") else {}
    return np.frombuffer(mmap.mmap(-1, size, **flags), dtype).reshape(shape)


def thinned(field: NDArray[np.uint16]) -> NDArray[np.uint16]:
    """A copy of a field that takes up memory only in the box where it isn't zero.

    Same shape and uint16 as the field.
    """
    thin: NDArray[np.uint16] = zero_field((field.shape[0], field.shape[1]), field.dtype)
    rows = np.flatnonzero(field.any(axis=1))
    if rows.size:
        columns = np.flatnonzero(field[rows[0] : rows[-1] + 1].any(axis=0))
        box = slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)
        thin[box] = field[box]
    return thin
