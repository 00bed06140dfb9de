"""Numbered areas that grow over free pixels, all at one pace, until they meet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.int32]  # shape (rows, columns)


def grow(number: Numbers, steps: int) -> None:
    """Let areas grow over pixels without a number, in place, all at the same pace.

    Numbers of areas, 0 for none: shape (rows, columns). By turns over sides and over corners too,
    so that what grows from a point is an octagon. A pixel that several areas reach in the same step
    goes to the one with the lowest number.
    """
    grow_over(number, 0, steps)


def grow_over(number: Numbers, free: int, steps: int) -> None:
    """Let numbers above 0 grow over the pixels that hold `free`, in place; all others block.

    Shape (rows, columns); otherwise as `grow`.
    """
    rows, columns = number.shape
    # a rim of blocked pixels, so that neighbours never wrap round the sheet
    framed = np.full((rows + 2, columns + 2), free - 1, np.int32)
    framed[1:-1, 1:-1] = number
    flat = framed.ravel()
    down = columns + 2
    sides = (-down, -1, 1, down)
    around = (*sides, -down - 1, -down + 1, down - 1, down + 1)
    empty = framed == free
    beside = np.zeros_like(empty)
    for axis in (0, 1):
        for turn in (1, -1):
            beside |= np.roll(empty, turn, axis)
    front = np.flatnonzero(beside & (framed > max(free, 0)))
    for step in range(steps):
        if not front.size:
            break
        offsets = around if step % 2 else sides
        target = np.concatenate([front + offset for offset in offsets])
        value = np.tile(flat[front], len(offsets))
        taken = flat[target] == free
        target, value = target[taken], value[taken]
        order = np.lexsort((value, target))
        new, first = np.unique(target[order], return_index=True)
        flat[new] = value[order][first]
        # corners that a step over sides has left out are still beside the old front
        front = new if step % 2 else np.concatenate([front, new])
    number[...] = framed[1:-1, 1:-1]
