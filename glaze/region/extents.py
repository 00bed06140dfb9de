"""Sizes and boxes of numbered areas, compiled; numbers are int32 of shape (rows, columns)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.region.growth import Numbers
from glaze.sheet.kernel import kernel


def number_by_size(number: Numbers) -> None:
    """Number areas from 1 by size, in place; of two alike the one that was lower first.

    Shape (rows, columns).
    """
    sizes = sizes_of(number)
    sizes[0] = 0
    order = np.argsort(-sizes, kind="stable")
    new = np.zeros(len(sizes), np.int32)
    new[order[: np.count_nonzero(sizes)]] = np.arange(1, np.count_nonzero(sizes) + 1)
    _renumber(number, new)


def sizes_of(number: Numbers) -> NDArray[np.int64]:
    """How many pixels [px] each number from 0 on has, shape (numbers,), in (rows, columns)."""
    sizes = np.zeros(number.max(initial=0) + 1, np.int64)
    _add_sizes(number, sizes)
    return sizes


def boxes_of(number: Numbers) -> NDArray[np.int64]:
    """Top, left, bottom and right [px] of each number from 0 on, ends left out.

    number : of shape (rows, columns)

    Returns
    -------
    shape (numbers, 4)
    """
    boxes = np.zeros((number.max(initial=0) + 1, 4), np.int64)
    boxes[:, :2] = number.shape
    _widen_boxes(number, boxes)
    return boxes


@kernel()
def _add_sizes(number, found):  # type: ignore[no-untyped-def]
    """Add the pixels of each number from 0 on."""
    for y in range(number.shape[0]):
        # runs, since neighbours mostly are alike
        last, run = number[y, 0], 0
        for x in range(number.shape[1]):
            if number[y, x] != last:
                found[last] += run
                last, run = number[y, x], 0
            run += 1
        found[last] += run


@kernel()
def _renumber(number, new):  # type: ignore[no-untyped-def]
    for y in range(number.shape[0]):
        for x in range(number.shape[1]):
            number[y, x] = new[np.uint32(number[y, x])]


@kernel()
def _widen_boxes(number, found):  # type: ignore[no-untyped-def]
    """Let the boxes of numbers from 0 on, ends left out, hold all of them."""
    rows, columns = number.shape
    for y in range(rows):
        last = np.int64(-1)
        for x in range(columns):
            one = number[y, x]
            if one != last:
                # a run of it begins, and the run before it has ended
                if last >= 0:
                    found[last, 3] = max(found[last, 3], x)
                box = found[one]
                box[0], box[1], box[2] = min(box[0], y), min(box[1], x), y + 1
                last = one
        found[last, 3] = columns
