"""Squares of painted regions, packed: what deeds keep, and what the journal writes down.

Most squares are bare or covered whole: those are one number. The others are packed fast, as a
stroke is kept when the pen goes up.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Mapping, MutableMapping
from collections.abc import Set as AbstractSet
from typing import NamedTuple
from weakref import ref

import numpy as np

from glaze.sheet.rect import Rect, squares, whole
from glaze.sheet.units import Mask

Corner = tuple[int, int]
"""Row and column of a square's first pixel."""

TILE = 256
"""Side of a square, and of the tiles of a preview [px]."""


class Square(NamedTuple):
    """A square of a mask.

    shape : rows and columns
    data : its values packed, or the two bytes of the value that all of it has
    """

    shape: tuple[int, ...]
    data: bytes

    @property
    def bare(self) -> bool:
        """Whether nothing lies on it."""
        return self.data == bytes(2)

    def values(self) -> Mask:
        """The square itself, shape (rows, columns), 65535 = the whole film."""
        raw = self.data if len(self.data) == 2 else zlib.decompress(self.data)
        found = np.frombuffer(raw, np.uint16)
        return np.broadcast_to(found, self.shape) if len(found) == 1 else found.reshape(self.shape)


Squares = Mapping[Corner, Square]


def packed(values: Mask) -> Square:
    """A square of a mask, uint16, shape (rows, columns), packed."""
    same = values.size and values.min() == values.max()
    data = values[0, 0].tobytes() if same else zlib.compress(values.tobytes(), 1)
    return Square(values.shape, data)


def squares_of(mask: Mask, rect: Rect | None = None) -> dict[Corner, Square]:
    """The squares of a mask that a rectangle touches; all of them if none is given."""
    corners = (corner_of(tile) for tile in squares(rect or whole(mask.shape), TILE))
    return {corner: packed(mask[square_at(corner, mask.shape).slices]) for corner in corners}


def put_back(mask: Mask, squares: Squares) -> Rect:
    """Put squares of a mask back; gives the rectangle that holds them."""
    found: Rect | None = None
    for corner, part in squares.items():
        square = square_at(corner, mask.shape)
        mask[square.slices] = part.values()
        found = square if found is None else found.union(square)
    return found or Rect(0, 0, 0, 0)


def square_at(corner: Corner, shape: tuple[int, ...]) -> Rect:
    """The pixels of a square on a mask of a shape."""
    top, left = corner
    return Rect(top, left, top + TILE, left + TILE).overlap(whole(shape))


def corner_of(tile: Rect) -> Corner:
    """The corner of the square that a tile lies in."""
    return tile.top // TILE * TILE, tile.left // TILE * TILE


class Masks(MutableMapping[str, Mask]):
    """Masks by name; those that rest are packed until they are asked for."""

    def __init__(self) -> None:
        self._awake: dict[str, Mask] = {}
        self._resting: dict[str, tuple[tuple[int, ...], Squares, ref[Mask]]] = {}

    def __getitem__(self, name: str) -> Mask:
        if name in self._resting:
            shape, squares, was = self._resting.pop(name)
            # what is kept of it elsewhere still knows the mask itself
            mask = was()
            if mask is None:
                mask = np.zeros(shape, np.uint16)
                put_back(mask, squares)
            self._awake[name] = mask
        return self._awake[name]

    def __setitem__(self, name: str, mask: Mask) -> None:
        self._resting.pop(name, None)
        self._awake[name] = mask

    def __delitem__(self, name: str) -> None:
        if self._resting.pop(name, None) is None:
            del self._awake[name]

    def __iter__(self) -> Iterator[str]:
        return iter([*self._awake, *self._resting])

    def __len__(self) -> int:
        return len(self._awake) + len(self._resting)

    def __contains__(self, name: object) -> bool:
        return name in self._awake or name in self._resting

    @property
    def awake(self) -> int:
        """How many aren't packed."""
        return len(self._awake)

    def rest(self, but: AbstractSet[str]) -> None:
        """Pack all but some."""
        for name in self._awake.keys() - but:
            mask = self._awake.pop(name)
            self._resting[name] = mask.shape, squares_of(mask), ref(mask)
