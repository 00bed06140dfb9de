"""Coverage of a region, and how coverages combine: each within the box that holds it.

Coverage is uint16, FULL = all of it; it stands for the thickness of the film laid there. Combining
keeps the laws of sets at every value: a region united with itself, or kept inside itself, is
itself; a region less itself is nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from glaze.picture.on_disk import filled_field
from glaze.picture.resized import enlarged
from glaze.sheet.field import box_of, raise_to, zero_field
from glaze.sheet.memory import Key
from glaze.sheet.rect import Rect, squares, whole
from glaze.sheet.units import FULL, Mask


class Boxed(NamedTuple):
    """A coverage and a rectangle that holds all of it: shape (rows, columns), FULL = inside."""

    mask: Mask
    box: Rect

    @property
    def tight(self) -> Boxed:
        """The same in the smallest rectangle that holds it."""
        return Boxed(self.mask, box_of(self.mask, self.box))


@dataclass(frozen=True, eq=False)
class Cover:
    """Coverage of a region.

    Attributes
    ----------
    mask : shape (rows, columns), FULL = inside
    key : all that it was made from
    notes : sentences for the painter
    known_box : a rectangle that holds all of it, if one is known
    painted : with a brush, so that its edge is as a hand left it
    """

    mask: Mask
    key: Key
    notes: tuple[str, ...] = ()
    known_box: Rect | None = None
    painted: bool = False

    @cached_property
    def box(self) -> Rect:
        """A rectangle that holds all of it."""
        return box_of(self.mask) if self.known_box is None else self.known_box


Covering = Boxed | Cover


def all_of(shape: tuple[int, int]) -> Boxed:
    """All of a sheet of so many rows and columns [px]."""
    made = filled_field(shape, np.uint16)
    made[...] = FULL
    return Boxed(made, whole(shape))


def on_finer(mask: Mask, shape: tuple[int, int]) -> Boxed:
    """A coverage on more pixels, read between those it has; uint16, `shape` (rows, columns)."""
    shares = enlarged(mask / np.float32(FULL), shape)
    fine = filled_field(shape, np.uint16)
    for rect in squares(whole(shape), 1024):
        fine[rect.slices] = np.rint(shares[rect.slices] * np.float32(FULL))
    return Boxed(fine, box_of(fine))


HARDLY = 0.02
"""Where less than this of a shape is left, another place was likely meant."""


def united(some: Sequence[Covering]) -> Boxed:
    """The most that any of them covers."""
    made: Mask = zero_field(some[0].mask.shape)
    box = some[0].box
    for one in some:
        raise_to(made, one.mask, one.box)
        box = box.union(one.box)
    return Boxed(made, box)


def kept_inside(one: Covering, others: Sequence[Covering]) -> Boxed:
    """What of one lies in all the others; memory of its own, only where something lies."""
    made: Mask = zero_field(one.mask.shape)
    box = one.box
    for other in others:
        box = box.overlap(other.box)
    if box.empty:
        return Boxed(made, box)
    part = box.slices
    kept = one.mask[part]
    for other in others:
        kept = np.minimum(kept, other.mask[part])
    raise_to(made, np.ascontiguousarray(kept), box, box[:2])
    return Boxed(made, box)


def told_hardly_inside(names: Sequence[str], shaped: Boxed, made: Boxed) -> list[str]:
    """A sentence if next to nothing of a shape lies in all the regions it is kept inside of."""
    before, left = (int(one.mask.sum(dtype=np.int64)) for one in (shaped, made))
    if not 0 < left < HARDLY * before:
        return []
    listed = " and ".join(f'"{name}"' for name in names)
    told = f"next to nothing of it lies inside {listed}"
    if len(names) == 1:
        return [f"{told}. Check its place in mm."]
    either = ", ".join(f'"{name}"' for name in names)
    return [
        f"{told} at once. For what lies in either of them, make a region with union = [{either}] "
        "and name that one."
    ]


def take_away(one: Boxed, others: Iterable[Covering]) -> None:
    """Take away what lies in any of the others, in place."""
    for other in others:
        both = one.box.overlap(other.box)
        if not both.empty:
            part = both.slices
            one.mask[part] -= np.minimum(one.mask[part], other.mask[part])
