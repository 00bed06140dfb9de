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
        sides = self.top - reach, self.left - reach, self.bottom + reach, self.right + reach
        return Rect(*sides).overlap(whole(shape))

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

    def overlap(self, other: Rect) -> Rect:
        """What lies in both; empty where nothing does."""
        return Rect(
            max(self.top, other.top),
            max(self.left, other.left),
            min(self.bottom, other.bottom),
            min(self.right, other.right),
        )


def whole(shape: tuple[int, ...]) -> Rect:
    """All of a sheet."""
    return Rect(0, 0, shape[0], shape[1])


def squares(rect: Rect, side: int) -> Iterator[Rect]:
    """Tiles of at most `side` pixels that cover a rectangle, cut along multiples of `side`."""
    for top in range(rect.top // side * side, rect.bottom, side):
        for left in range(rect.left // side * side, rect.right, side):
            yield Rect(top, left, top + side, left + side).overlap(rect)
