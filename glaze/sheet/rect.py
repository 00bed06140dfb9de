"""Rectangles of pixels: how a sheet is cut into tiles."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple


class Rect(NamedTuple):
    """Rows `top` up to `bottom` and columns `left` up to `right`, ends left out."""

    top: int
    left: int
    bottom: int
    right: int

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.bottom - self.top, self.right - self.left

    @property
    def slices(self) -> tuple[slice, slice]:
        """For cutting it out of an array."""
        return slice(self.top, self.bottom), slice(self.left, self.right)

    @property
    def empty(self) -> bool:
        """Whether it holds no pixel."""
        return self.bottom <= self.top or self.right <= self.left

    def grown(self, reach: int, shape: tuple[int, int]) -> Rect:
        """With a margin on every side, cut off at the edges of a sheet of `shape`."""
        return Rect(
            max(self.top - reach, 0),
            max(self.left - reach, 0),
            min(self.bottom + reach, shape[0]),
            min(self.right + reach, shape[1]),
        )

    def inside(self, outer: Rect) -> Rect:
        """The same place, counted from the corner of `outer`."""
        return Rect(
            self.top - outer.top,
            self.left - outer.left,
            self.bottom - outer.top,
            self.right - outer.left,
        )

    def union(self, other: Rect) -> Rect:
        """The smallest rectangle that holds both."""
        return Rect(
            min(self.top, other.top),
            min(self.left, other.left),
            max(self.bottom, other.bottom),
            max(self.right, other.right),
        )


def whole(shape: tuple[int, ...]) -> Rect:
    """All of a sheet."""
    return Rect(0, 0, shape[0], shape[1])


def squares(rect: Rect, side: int) -> Iterator[Rect]:
    """Tiles of at most `side` pixels that cover a rectangle, cut along multiples of `side`."""
    for top in range(rect.top // side * side, rect.bottom, side):
        for left in range(rect.left // side * side, rect.right, side):
            yield Rect(
                max(top, rect.top),
                max(left, rect.left),
                min(top + side, rect.bottom),
                min(left + side, rect.right),
            )
