"""Where two settled paintings differ: the tiles that have to be worked out again."""

from __future__ import annotations

import numpy as np

from glaze.painting.settle import Painting
from glaze.sheet.rect import squares, whole
from glaze.step.kind import PaintedStep

from .squares import TILE, Corner


def changed_tiles(before: Painting, after: Painting) -> set[Corner] | None:
    """Corners of the tiles that differ between two paintings; None if all may."""
    same_sheet = (
        before.shape == after.shape
        and before.line is after.line
        and before.table.light is after.table.light
        and before.table.paper == after.table.paper
    )
    if not same_sheet:
        return None
    old, new = list(before.layers), list(after.layers)
    # what both begin and end with stays as it is wherever the steps between don't reach
    while old and new and alike(old[0], new[0]):
        del old[0], new[0]
    while old and new and alike(old[-1], new[-1]):
        del old[-1], new[-1]
    corners: set[Corner] = set()
    for step in (*old, *new):
        corners |= tiles_of(step)
    return corners


def alike(a: PaintedStep, b: PaintedStep) -> bool:
    """Whether two settled steps bring the same to the sheet, whatever they are called."""
    told = vars(a).keys() - {"step", "key"}
    return type(a) is type(b) and all(_same(getattr(a, n), getattr(b, n)) for n in told)


def _same(a: object, b: object) -> bool:
    if a is b:
        return True
    if isinstance(a, np.ndarray) or isinstance(b, np.ndarray):
        small = isinstance(a, np.ndarray) and isinstance(b, np.ndarray) and a.size < 10_000
        return bool(small and np.array_equal(a, b))  # type: ignore[arg-type]
    if type(a) is not type(b):
        return False
    if isinstance(a, tuple):
        return len(a) == len(b) and all(map(_same, a, b))  # type: ignore[arg-type,call-overload]
    if hasattr(a, "__dataclass_fields__"):
        names = a.__dataclass_fields__
        return all(_same(getattr(a, name), getattr(b, name)) for name in names)
    return bool(a == b)


def tiles_of(step: PaintedStep) -> set[Corner]:
    """Corners of the tiles that a settled step touches."""
    whole_sheet = squares(whole(step.touched.shape), TILE)
    return {(tile.top, tile.left) for tile in whole_sheet if step.touched[tile.slices].any()}
