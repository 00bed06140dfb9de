"""Numbered areas over a sheet, compiled: growth until they meet, sizes, boxes, numbers by size.

Numbers are int32, 0 for no area, shape (rows, columns).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.picture.on_disk import filled_field
from glaze.sheet.kernel import inner, kernel
from glaze.sheet.widened import widened

Numbers = NDArray[np.int32]  # shape (rows, columns)

_ASKED = np.int32(-(1 << 30))
"""A pixel asked for in this step by area n holds this, less n."""


def grow_over(number: Numbers, free: int, steps: int) -> None:
    """Let numbers above 0 grow over the pixels that hold `free`, in place, all at the same pace.

    All others block, shape (rows, columns). By turns over sides and over corners too, so that what
    grows from a point is an octagon. A pixel that several areas reach in the same step goes to the
    one with the lowest number.
    """
    _grow(number, np.int32(free), steps)


@kernel()
def _grow(number, free, steps):  # type: ignore[no-untyped-def]
    rows, columns = number.shape
    front, left = _fronts(number, free)
    for step in range(steps):
        found = np.empty((min(8 * front.shape[0], left), 2), np.int32)
        if found.shape[0] == 0:
            break
        count = np.int64(0)
        for n in range(front.shape[0]):
            y, x = np.int64(front[n, 0]), np.int64(front[n, 1])
            own = _ASKED - number[y, x]
            for i in range(max(y - 1, 0), min(y + 2, rows)):
                for j in range(max(x - 1, 0), min(x + 2, columns)):
                    here = number[i, j]
                    if here == free and (step % 2 == 1 or i == y or j == x):
                        number[i, j] = own
                        found[count, 0], found[count, 1] = i, j
                        count += 1
                    elif here <= _ASKED and (step % 2 == 1 or i == y or j == x):
                        number[i, j] = max(here, own)
        for n in range(count):
            y, x = np.int64(found[n, 0]), np.int64(found[n, 1])
            number[y, x] = _ASKED - number[y, x]
        left -= count
        # corners that a step over sides has left out are still beside the old front
        front = found[:count] if step % 2 else _with_more(front, found, count)


@inner()
def _with_more(some, more, count):  # type: ignore[no-untyped-def]
    """Rows of whole numbers and after them `count` of others, shape (rows, 2)."""
    before = some.shape[0]
    both = np.empty((before + count, 2), np.int32)
    for n in range(before + count):
        one, m = (some, n) if n < before else (more, n - before)
        both[n, 0], both[n, 1] = one[m, 0], one[m, 1]
    return both


@inner()
def _fronts(number, free):  # type: ignore[no-untyped-def]
    """Numbered pixels with a free one at a side, shape (pixels, 2), and how many are free."""
    rows, columns = number.shape
    front, left = np.empty(number.shape, np.bool_), 0
    for y in range(rows):
        here, there = number[y], front[y]
        up, down = number[max(y - 1, 0)], number[min(y + 1, rows - 1)]
        for x in range(columns):
            left += here[x] == free
            there[x] = (up[x] == free) | (down[x] == free)
        for x in range(1, columns):
            there[x] |= here[x - 1] == free
        for x in range(columns - 1):
            there[x] |= here[x + 1] == free
        for x in range(columns):
            there[x] &= here[x] > 0
    count = 0
    for y in range(rows):
        for x in range(columns):
            count += front[y, x]
    found, count = np.empty((count, 2), np.int32), 0
    for y in range(rows):
        for x in range(columns):
            if front[y, x]:
                found[count, 0], found[count, 1] = y, x
                count += 1
    return found, left


def told_apart(wall: NDArray[np.bool_], half: int, tips: int) -> Numbers:
    """Numbers of the open areas between walls that are thickened by `half` to every side [px].

    Areas are told apart there and grow back, up to `tips` pixels into what is narrower; what is
    all narrower is an area of its own. All of shape (rows, columns).
    """
    number, count = labelled(~widened(wall, half))
    if half:
        _fill_between(number, wall, count, tips)
    return number


def labelled(inside: NDArray[np.bool_], corners: bool = False) -> tuple[Numbers, int]:
    """Pieces of what is True, numbered from 1 in reading order, shape (rows, columns); their count.

    corners : whether pixels that touch over a corner alone hang together
    """
    number = filled_field(inside.shape, np.int32)
    return number, int(_label(np.ascontiguousarray(inside), int(corners), number))


@kernel()
def _label(inside, corners, number):  # type: ignore[no-untyped-def]
    """Runs of each row take the least number of what they touch in the row above."""
    rows, columns = inside.shape
    parent, count = np.empty(1024, np.int32), 0
    parent[0] = 0
    for y in range(rows):
        here, there, above, x = inside[y], number[y], number[y - 1], 0
        while x < columns:
            while x < columns and not here[x]:
                there[x] = 0
                x += 1
            start = x
            while x < columns and here[x]:
                x += 1
            if start == x:
                break
            own, k, stop = np.int32(0), max(start - corners, 0), min(x + corners, columns)
            while y > 0 and k < stop:
                met = above[k]
                if met > 0:
                    root = _root(parent, met)
                    low = root if own == 0 else min(own, root)
                    parent[max(own, root)] = parent[root] = own = low
                k += 1
                while k < stop and above[k] == met:
                    k += 1
            if own == 0:
                count += 1
                if count == parent.size:
                    shorter, parent = parent, np.empty(2 * count, np.int32)
                    for k in range(count):
                        parent[k] = shorter[k]
                own = parent[count] = np.int32(count)
            for k in range(start, x):
                there[k] = own
    pieces = np.int32(0)
    for n in range(1, count + 1):
        if parent[n] == n:
            pieces += 1
            parent[n] = pieces
        else:  # its root was lower and has its new number
            parent[n] = parent[parent[n]]
    for y in range(rows):
        for x in range(columns):
            number[y, x] = parent[number[y, x]]
    return pieces


@kernel(inline="always")
def _root(parent, n):  # type: ignore[no-untyped-def]
    while parent[n] != n:
        parent[n] = parent[parent[n]]
        n = parent[n]
    return n


@kernel()
def _fill_between(number, wall, count, tips):  # type: ignore[no-untyped-def]
    """Let numbers grow up to the walls, and number what they don't reach from `count` on."""
    rows, columns = number.shape
    for y in range(rows):
        for x in range(columns):
            number[y, x] -= 2 * wall[y, x]
    _grow(number, np.int32(0), tips)
    for y in range(rows):
        left = 0
        for x in range(columns):
            left += number[y, x] == 0
        if left > 0:
            count = _number_pieces(number, y, count)
    for y in range(rows):
        for x in range(columns):
            number[y, x] = max(number[y, x], 0)


@inner()
def _number_pieces(number, row, count):  # type: ignore[no-untyped-def]
    """Number the pieces of 0 that a row meets from `count` on; gives the last number."""
    rows, columns = number.shape
    waiting = np.empty((64, 2), np.int32)
    for column in range(columns):
        if number[row, column] != 0:
            continue
        count += 1
        number[row, column] = count
        waiting[0, 0], waiting[0, 1] = row, column
        left = 1
        while left:
            left -= 1
            y, x = np.int64(waiting[left, 0]), np.int64(waiting[left, 1])
            if left + 4 > waiting.shape[0]:
                waiting = _with_more(waiting, waiting, waiting.shape[0])
            for i, j in ((y - 1, x), (y + 1, x), (y, x - 1), (y, x + 1)):
                if 0 <= i < rows and 0 <= j < columns and number[i, j] == 0:
                    number[i, j] = count
                    waiting[left, 0], waiting[left, 1] = i, j
                    left += 1
    return count


@kernel()
def soften(number, wanted, box, out):  # type: ignore[no-untyped-def]
    """Coverage of some numbers within a box that holds them and a pixel round them.

    An edge of a pixel's softness in place of steps: weights 1, 2, 1 both ways, exact.

    Parameters
    ----------
    wanted : whether each number is one of them, uint32, shape (numbers,)
    box : top, left, bottom, right
    out : uint16, 65535 = full, of the number's shape, 0 so far; written
    """
    top, left, bottom, right = box
    last_row, last_column = number.shape[0] - 1, number.shape[1] - 1
    three = np.empty((3, right - left), np.uint32)
    for y in range(top - 1, bottom + 1):
        here, row = number[min(max(y, 0), last_row)], three[y % 3]
        for x in range(left, right):
            beside = wanted[here[max(x - 1, 0)]] + wanted[here[min(x + 1, last_column)]]
            row[x - left] = 2 * wanted[here[x]] + beside
        if y > top:
            above, middle = three[(y - 2) % 3], three[(y - 1) % 3]
            for x in range(right - left):
                total = above[x] + 2 * middle[x] + row[x]
                if total > 0:  # what is never written takes up no memory
                    out[y - 1, left + x] = total * np.uint32(65535) // np.uint32(16)
