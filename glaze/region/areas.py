"""Areas of a sketch that its lines enclose: their numbers, gaps closed, hatching seen as shading.

Lines are walls. Ends of strokes are carried on over gaps (`glaze.region.joins`), the open areas
between the walls are told apart, and then all grow below the line, at one pace, until they meet, so
that two washes touch under the ink.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.region.cover import Boxed
from glaze.region.extents import boxes_of, number_by_size
from glaze.region.growth import Numbers, grow_over, soften
from glaze.region.joins import Join, joins_of
from glaze.region.leaks import Leaks, leaks_of
from glaze.region.parted import coarser, parting_of, told_apart_by
from glaze.region.strokes import Ends, Wall, ends_of, hatching, middle_lines
from glaze.sheet.field import zero_field
from glaze.sheet.rect import Rect
from glaze.sketch.line import Sketch

WALL = 0.75  # guess: a line darker than a quarter stops a wash; a faint construction line doesn't
UNDER_LINE_MM = 1.0  # areas grow so far below a line: more than half of any pen line
FINE_PER_MM = 7.0  # strokes are followed on pixels no finer than that
SMALLEST_MM2 = 0.25  # what is smaller is a speck between strokes and has no number of its own
NECK_MM = 0.5  # lines that pass so near one another part areas, if gap_mm isn't less


@dataclass(frozen=True)
class Area:
    """An area that lines enclose.

    Attributes
    ----------
    number : from 1, the largest first
    at_mm : a place well inside it, x and y
    middle_mm : its centre of gravity, x and y, which may lie outside
    mm2 : its size
    box_mm : left, top, right, bottom
    """

    number: int
    at_mm: tuple[float, float]
    middle_mm: tuple[float, float]
    mm2: float
    box_mm: tuple[float, float, float, float]


@dataclass(frozen=True, eq=False)
class Areas:
    """All areas of a sketch.

    Attributes
    ----------
    number : of the area at every pixel, 0 for none, shape (rows, columns)
    joins : gaps that were closed and part areas
    leaks : wider ones left open, and necks, that would part an area in two if they were closed
    sketch : the line they were found in
    gap_mm : the widest gap that was closed
    """

    number: Numbers
    joins: tuple[Join, ...]
    leaks: Leaks
    sketch: Sketch
    gap_mm: float

    @property
    def per_mm(self) -> float:
        """Pixels to the mm."""
        return self.sketch.per_mm

    @cached_property
    def listed(self) -> tuple[Area, ...]:
        """Every area of more than a speck, the largest first."""
        return tuple(_listed(self.number, self.boxes, self.per_mm))

    def at(self, point_mm: tuple[float, float]) -> int:
        """Number of the area at a place, x and y [mm].

        Raises
        ------
        InputError
            When the place lies off the sheet or on a line.
        """
        where = f"the point [{point_mm[0]:g}, {point_mm[1]:g}] mm"
        pixel = self.sketch.pixel_at(point_mm)
        if pixel is None:
            width, height = self.sketch.size_mm
            raise InputError(
                f"{where} lies off the sheet; allowed: 0 to {width:.0f} across, 0 to {height:.0f} "
                "down."
            )
        found = int(self.number[pixel])
        if self.sketch.line[pixel] < WALL or found == 0:
            x, y = self.nearest_open(*pixel)
            raise InputError(
                f"{where} lies on a line; move it into the area that is meant: "
                f"[{x:g}, {y:g}] is the nearest place beside the line."
            )
        return found

    def nearest_open(self, row: int, column: int) -> tuple[float, float]:
        """The place [mm] off the line that is nearest to a pixel, a little inside its area."""
        for reach in (2.0, 6.0, np.inf):
            half = int(min(reach * self.per_mm, max(self.number.shape)))
            top, left = max(0, row - half), max(0, column - half)
            part = slice(top, row + half + 1), slice(left, column + half + 1)
            open_ = np.argwhere((self.number[part] > 0) & (self.sketch.line[part] > 0.97))
            if open_.size:
                open_ += np.array([top, left])
                y, x = open_[np.hypot(*(open_ - np.array([row, column])).T).argmin()]
                across, down = self.sketch.middle_mm(y, x)
                return round(across, 1), round(down, 1)
        return 0.0, 0.0

    def mask(self, numbers: Iterable[int]) -> NDArray[np.uint16]:
        """Coverage of some areas, 65535 = full, shape (rows, columns)."""
        return self.cover(numbers).mask

    def cover(self, numbers: Iterable[int]) -> Boxed:
        """Coverage of some areas."""
        made: NDArray[np.uint16] = zero_field((self.number.shape[0], self.number.shape[1]))
        wanted = np.zeros(len(self.boxes), np.uint32)
        # an area that has no pixel here may have a number above all that have some
        wanted[[number for number in numbers if number < len(wanted)]] = 1
        boxes = self.boxes[wanted > 0]
        if not len(boxes):
            return Boxed(made, Rect(0, 0, 0, 0))
        # an edge of a pixel's softness
        box = Rect(*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)).grown(1, made.shape)
        soften(self.number, wanted, tuple(box), made)
        return Boxed(made, box)

    def on_pixels(self, sketch: Sketch) -> Areas:
        """The same areas over the sketch on coarser pixels [px], shape (rows, columns).

        Each pixel belongs to the area in its middle; one that none would belong to keeps the
        pixel it lies on.
        """
        at = (
            ((np.arange(few) + 0.5) * many / few).astype(np.intp)
            for few, many in zip(sketch.shape, self.number.shape, strict=True)
        )
        coarse = self.number[np.ix_(*at)]
        there = boxes_of(coarse)
        lost = np.ones(len(self.boxes), np.bool_)
        lost[: len(there)] = there[:, 0] >= there[:, 2]
        lost[0] = False
        for number in np.flatnonzero(lost):
            top, left, bottom, right = self.boxes[number]
            rows, columns = np.nonzero(self.number[top:bottom, left:right] == number)
            if len(rows):
                pixel = top + rows[len(rows) // 2], left + columns[len(rows) // 2]
                few = np.array(sketch.shape) * pixel // np.array(self.number.shape)
                coarse[tuple(few)] = number
        made = replace(self, number=coarse, sketch=sketch)
        if not lost.any():
            made.__dict__["boxes"] = there  # as `cached_property` keeps it
        return made

    @cached_property
    def boxes(self) -> NDArray[np.int64]:
        """Where each number lies: top, left, bottom, right [px], shape (numbers, 4)."""
        return boxes_of(self.number)


@dataclass(frozen=True, eq=False)
class Drawn:
    """What is drawn on a sketch, as areas of any gap are found between it; nothing changes it.

    Attributes
    ----------
    wall : True on a line that parts areas, shape (rows, columns); hatching is left out
    coarse : the same on pixels so many times as coarse a side as `step` says
    ends : free ends of its strokes, on the coarse pixels
    """

    wall: Wall
    coarse: Wall
    step: int
    ends: Ends


def drawn_on(sketch: Sketch) -> Drawn:
    """The walls and strokes of a sketch, once for all widths of gaps."""
    wall = sketch.line < WALL
    per_mm = sketch.per_mm
    step = max(1, round(per_mm / FINE_PER_MM))
    coarse = coarser(wall, step)
    lines = middle_lines(coarse, per_mm / step)
    shading = hatching(lines, per_mm / step)
    if shading.any():
        coarse, wall = _without(coarse, wall, lines, shading, step)
        lines &= ~shading
    return Drawn(wall, coarse, step, ends_of(coarse, lines, per_mm / step))


def areas_of(
    sketch: Sketch,
    gap_mm: float = 0.5,
    open_at_mm: Sequence[tuple[float, float]] = (),
    drawn: Drawn | None = None,
) -> Areas:
    """The areas that a sketch's lines enclose.

    Parameters
    ----------
    gap_mm : gaps up to this width [mm] are closed where a stroke goes on beyond them
    open_at_mm : gaps near these places stay open, x and y [mm], of shape (places, 2)
    drawn : what is drawn on it, if that is known
    """
    drawn = drawn_on(sketch) if drawn is None else drawn
    per_mm, neck_mm = sketch.per_mm, min(gap_mm, NECK_MM)
    coarse, fine = drawn.coarse.copy(), per_mm / drawn.step
    joins, ends = joins_of(coarse, drawn.ends, fine, gap_mm, open_at_mm)
    number = told_apart_by(joins, drawn.wall, per_mm, neck_mm)
    parting = parting_of(number, joins, per_mm)
    number_by_size(number)
    grow_over(number, 0, round(UNDER_LINE_MM * per_mm))
    leaks = leaks_of(coarse, ends, fine, gap_mm, neck_mm, open_at_mm)
    return Areas(number, parting, leaks, sketch, gap_mm)


def _without(coarse: Wall, wall: Wall, lines: Wall, shading: Wall, step: int) -> tuple[Wall, Wall]:
    """Walls less those pixels that are nearest to the middle line of a hatching stroke."""
    owner = np.where(shading, 2, lines).astype(np.int32)
    owner[coarse & (owner == 0)] = -1
    owner[~coarse] = -2
    grow_over(owner, -1, 40)
    hatch = owner == 2
    fine = np.repeat(np.repeat(hatch, step, 0), step, 1)[: wall.shape[0], : wall.shape[1]]
    return coarse & ~hatch, wall & ~fine


def _listed(number: Numbers, boxes: NDArray[np.int64], per_mm: float) -> list[Area]:
    from scipy.ndimage import distance_transform_edt

    found = []
    for index, (top, left, bottom, right) in enumerate(boxes.tolist()):
        if index == 0 or top >= bottom:
            continue
        inside = number[top:bottom, left:right] == index
        mm2 = np.count_nonzero(inside) / per_mm**2
        if mm2 < SMALLEST_MM2:
            continue
        # well inside: the place furthest from any edge, on pixels that suit its size
        step = max(1, int(np.sqrt(inside.size) / 200))
        room = distance_transform_edt(np.pad(inside[::step, ::step], 1))
        row, column = np.unravel_index(int(room.argmax()), room.shape)
        at = left + (column - 1) * step + 0.5, top + (row - 1) * step + 0.5
        y, x = (
            np.average(np.arange(n), weights=inside.sum(axis=1 - i))
            for i, n in enumerate(inside.shape)
        )
        found.append(
            Area(
                index,
                _mm(at, per_mm),
                _mm((left + x + 0.5, top + y + 0.5), per_mm),
                round(mm2, 2),
                (*_mm((left, top), per_mm), *_mm((right, bottom), per_mm)),
            )
        )
    return found


def _mm(place: tuple[float, float], per_mm: float) -> tuple[float, float]:
    return round(float(place[0]) / per_mm, 2), round(float(place[1]) / per_mm, 2)
