"""Enclosed areas under the pointer: what a click would fill, its joins, and all that are like it.

The areas of a sketch are looked for in the background, once; they are those of the scene file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.region.areas import Areas
from glaze.region.groups import alike, at_edge
from glaze.region.joins import Join
from glaze.region.parted import sides_of

from . import drafting
from .saying import say
from .sitting import Sitting

Point = tuple[float, float]
Outline = NDArray[np.float64]
"""A closed line on the sheet, x and y [mm], shape (points, 2)."""

OFF_PX = 0.36
"""Points of an outline so near the straight line between their neighbours are dropped: the stairs
of pixels."""
OUTLINE_PX = 500
"""Outlines are drawn from so many pixels of an area's longer side: finer than a screen shows."""


@dataclass(frozen=True, eq=False)
class Pointed:
    """Areas that a click would fill.

    numbers : of the areas, as `glaze areas` numbers them
    outlines : round them
    joins : gaps beside them that were closed
    at : the join that is pointed at, if one is
    words : how large they are
    """

    numbers: tuple[int, ...]
    outlines: tuple[Outline, ...]
    joins: tuple[Join, ...]
    at: Join | None
    words: str


class Filling:
    """The enclosed areas of a sitting's sketch."""

    def __init__(self, sitting: Sitting) -> None:
        self.sitting = sitting
        self._asked: object = None
        self._outlines: dict[int, tuple[Outline, ...]] = {}
        self._of: Areas | None = None
        self._of_gaps: object = None

    @property
    def areas(self) -> Areas | None:
        """The areas; None while they are looked for."""
        return self._of if self._of_gaps == self.sitting.scene.areas else None

    def look(self) -> None:
        """Look for the areas in the background, unless that is done or being done."""
        gaps = self.sitting.scene.areas
        if gaps in (self._of_gaps, self._asked):
            return
        self._asked = gaps

        def take(areas: Areas) -> None:
            self._of, self._of_gaps, self._asked = areas, gaps, None
            self._outlines.clear()

        self.sitting.settling.look_for_areas(take)

    # ---- what is pointed at

    def number_at(self, point: Point) -> int:
        """Number of the area at a point [mm]; 0 for none."""
        pixel = None if self.areas is None else self.areas.sketch.pixel_at(point)
        return 0 if pixel is None or self.areas is None else int(self.areas.number[pixel])

    def passed(self, start: Point, end: Point) -> list[int]:
        """Numbers of the areas on the straight way between two points [mm], as they come."""
        pixels = int(np.hypot(*np.subtract(end, start)) * self.sitting.painting.per_mm) + 2
        found = [self.number_at((x, y)) for x, y in np.linspace(start, end, pixels)]
        return [number for number in dict.fromkeys(found) if number]

    def likes(self, number: int) -> tuple[int, ...]:
        """An area and all that are alike in size and shape, wherever they lie.

        Those that run to the sheet's edge, as skies do, are each a wash of its own.
        """
        listed = [] if self.areas is None else self.areas.listed
        listed = [area for area in listed if not at_edge(area, self.sitting.size_mm)]
        own = next((area for area in listed if area.number == number), None)
        if own is None:
            return (number,)
        return (number, *(a.number for a in listed if a is not own and alike(own, a)))

    def pointed(self, numbers: Sequence[int], point: Point, reach_mm: float = 0.0) -> Pointed:
        """Areas, and the join within reach of a point."""
        areas = self.areas
        assert areas is not None
        joins = tuple(j for j in areas.joins if set(self._beside(j)) & set(numbers))
        near = [(_away(join, point), join) for join in joins]
        away, join = min(near, key=lambda one: one[0], default=(np.inf, None))
        outlines = tuple(line for number in numbers for line in self._outline(number))
        at = join if away <= reach_mm else None
        return Pointed(tuple(numbers), outlines, joins, at, self._words(numbers, at))

    def _beside(self, join: Join) -> tuple[int, int]:
        assert self._of is not None
        return sides_of(self._of.number, join, self._of.per_mm)

    def _words(self, numbers: Sequence[int], at: Join | None) -> str:
        if at is not None:
            return say("area.gap", mm=f"{at.width_mm:.1f}")
        assert self._of is not None
        found = [area for area in self._of.listed if area.number in numbers]
        cm2 = sum(area.mm2 for area in found) / 100
        if len(numbers) > 1:
            return say("area.several", count=len(numbers), cm2=f"{cm2:.1f}")
        if not found:
            return say("area.speck")
        left, top, right, bottom = found[0].box_mm
        wide, high = f"{right - left:.0f}", f"{bottom - top:.0f}"
        return say("area.single", wide=wide, high=high, cm2=f"{cm2:.1f}")

    def _outline(self, number: int) -> tuple[Outline, ...]:
        if number not in self._outlines:
            self._outlines[number] = self._drawn(number)
        return self._outlines[number]

    def _drawn(self, number: int) -> tuple[Outline, ...]:
        """Outlines of an area, on pixels that suit its size."""
        from skimage.measure import find_contours

        areas = self._of
        assert areas is not None
        box = next((area.box_mm for area in areas.listed if area.number == number), None)
        if box is None:
            return ()
        left, top, right, bottom = (round(mm * areas.per_mm) for mm in box)
        step = max(1, max(right - left, bottom - top) // OUTLINE_PX)
        inside = areas.number[top:bottom:step, left:right:step] == number
        lines = find_contours(np.pad(inside, 1).astype(np.float32), 0.5)
        corner = np.array([left, top]) + 0.5
        return tuple(
            ((straightened(line)[:, ::-1] - 1) * step + corner) / areas.per_mm for line in lines
        )

    # ---- what is done

    def points(self, numbers: Sequence[int], pointed: Point) -> list[Point]:
        """A point well inside each area; of a single one the place that was pointed at."""
        listed = [] if self.areas is None else self.areas.listed
        inside = {area.number: area.at_mm for area in listed}
        found = [inside[number] for number in numbers if number in inside]
        return found if len(found) > 1 else [pointed]

    def refuse(self, join: Join) -> None:
        """Leave a gap open: a deed, after which what lies beyond it belongs to the area."""
        sitting = self.sitting
        x, y = join.at_mm
        gaps = sitting.scene.areas
        open_at = (*gaps.open_at_mm, (round(x, 2), round(y, 2)))
        draft = drafting.with_gaps(sitting.draft, open_at_mm=open_at)
        sitting.do(say("deed.gap_open", x=f"{x:.0f}", y=f"{y:.0f}"), draft)
        self.look()


def straightened(line: Outline, times: int = 4) -> Outline:
    """A line of pixels' edges with a seventh of its points, within a pixel of where it was.

    Each time every second point may go. Shape (points, 2), in pixels.
    """
    for _ in range(times):
        before, middle, after = line[:-2:2], line[1:-1:2], line[2::2]
        (x, y), (to_x, to_y) = (after - before).T, (middle - before).T
        stays = np.ones(len(line), bool)
        stays[1:-1:2] = np.abs(x * to_y - y * to_x) > OFF_PX * np.hypot(x, y)
        line = line[stays]
    return line


def _away(join: Join, point: Point) -> float:
    """How far a join passes from a point [mm]."""
    return float(np.hypot(*(np.array(join.path_mm) - point).T).min())
