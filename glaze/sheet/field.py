"""16-bit fields over a sheet that take up memory only where something lies.

A scene of thirty regions and twenty steps over A3 would hold gigabytes of zeros otherwise.
"""

from __future__ import annotations

import mmap

import numpy as np
from numpy.typing import DTypeLike, NDArray

from glaze.picture.on_disk import filled_field, lies_on_disk
from glaze.sheet.kernel import inner, kernel, seen
from glaze.sheet.rect import Rect, whole

STRETCH = 512
"""Pixels that are written to, or left alone, together."""


def zero_field(shape: tuple[int, int], dtype: DTypeLike = np.uint16) -> NDArray:
    """An array of zeros whose pages the system hands out when they are first written to.

    `np.zeros` is lazy too, but asks for pages of 2 MB, some 300 rows of an A4 sheet at a time.

    uint16 unless said otherwise, shape (rows, columns).
    """
    size = shape[0] * shape[1] * np.dtype(dtype).itemsize
    if size == 0 or lies_on_disk(size):
        return filled_field(shape, dtype)
    # private: in a shared mapping reading alone would claim the pages
    flags = {"flags": mmap.MAP_PRIVATE | mmap.MAP_ANONYMOUS} if hasattr(mmap, "MAP_PRIVATE") else {}
    return np.frombuffer(mmap.mmap(-1, size, **flags), dtype).reshape(shape)


def part_of(field: NDArray, rect: Rect) -> NDArray:
    """A rectangle [px] of a field as the compiled passes take it, in one piece.

    Shape (rows, columns), of any type.
    """
    part = field[rect.slices]
    if part.flags.c_contiguous:
        return part
    copy = filled_field(part.shape, field.dtype)
    copy[...] = part
    return copy


def box_of(field: NDArray[np.uint16], within: Rect | None = None) -> Rect:
    """The smallest rectangle [px] that holds all that isn't 0 of a field, or what lies within one.

    Field of shape (rows, columns), whole numbers of any unit.
    """
    return Rect(*_box(seen(field), tuple(within or whole(field.shape))))


def raise_to(
    field: NDArray[np.uint16],
    other: NDArray[np.uint16],
    box: Rect,
    at: tuple[int, ...] = (0, 0),
) -> None:
    """Raise a box of a field to what another holds there, in place; only where that isn't 0.

    Stretches of zeros aren't written to, so that they take up no memory.

    uint16 of any unit, shape (rows, columns); `at` is the field's pixel that the other begins at.
    """
    _raise_to(field, seen(other), tuple(box), tuple(at[:2]))


@kernel()
def _raise_to(field, other, box, at):  # type: ignore[no-untyped-def]
    top, left, bottom, right = box
    for y in range(top, bottom):
        there, some = field[y], other[y - at[0]]
        for start in range(left, right, STRETCH):
            stop = min(start + STRETCH, right)
            if _any(some, start - at[1], stop - at[1]):
                for x in range(start, stop):
                    there[x] = max(there[x], some[x - at[1]])


@kernel()
def _box(field, within):  # type: ignore[no-untyped-def]
    top, left, bottom, right = within
    while top < bottom and not _any(field[top], left, right):
        top += 1
    while bottom > top and not _any(field[bottom - 1], left, right):
        bottom -= 1
    if top == bottom:
        return 0, 0, 0, 0
    first, last = right, left
    for y in range(top, bottom):
        row = field[y]
        if _any(row, left, first):
            first = left
            while row[first] == 0:
                first += 1
        if _any(row, last, right):
            last = right
            while row[last - 1] == 0:
                last -= 1
    return top, first, bottom, last


@inner()
def _any(row, start, stop):  # type: ignore[no-untyped-def]
    found = row.dtype.type(0)
    for x in range(start, stop):
        found |= row[x]
    return found != 0
