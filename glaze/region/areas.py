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
from glaze.physics.flow import MM_PER_INCH
from glaze.region.cover import Boxed
from glaze.region.growth import (
    Numbers,
    boxes_of,
    grow,
    grow_over,
    number_by_size,
    sizes_of,
    soften,
    told_apart,
)
from glaze.region.joins import MOST_EFFORT, Join, joins_of
from glaze.region.strokes import Wall, ends_of, hatching, middle_lines
from glaze.sheet.field import zero_field
from glaze.sheet.rect import Rect
from glaze.sketch.line import Sketch

WALL = 0.75  # guess: a line darker than a quarter stops a wash; a faint construction line doesn't
UNDER_LINE_MM = 1.0  # areas grow so far below a line: more than half of any pen line
OPEN_TIPS_MM = 20.0  # and so far into tips and dead ends narrower than a neck
FINE_PER_MM = 7.0  # strokes are followed on pixels no finer than that
SMALLEST_MM2 = 0.25  # what is smaller is a speck between strokes and has no number of its own
MOST_TOLD = 6  # gaps of one region, the narrowest first
NECK_MM = 0.5  # lines that pass so near one another part areas, if gap_mm isn't less
PLAIN = 1.4  # times its width: a join that bends more is no plain one
LEAST_LEAK_MM2 = 25.0  # what a gap lets run together is told if both parts are larger
LEAK_MM = 12.0  # gaps up to this width are looked for where an area may have run out


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
    gaps : wider ones left open, each of which would part an area in two if it were closed
    pieces : what would be parted if all of them were, on coarser rows and columns
    beyond : for each gap the side that each piece lies on, 1 or -1, 0 for neither
    sketch : the line they were found in
    gap_mm : the widest gap that was closed
    """

    number: Numbers
    joins: tuple[Join, ...]
    gaps: tuple[Join, ...]
    sketch: Sketch
    gap_mm: float
    pieces: Numbers
    beyond: tuple[NDArray[np.int8], ...]

    @property
    def per_mm(self) -> float:
        """Pixels to the mm."""
        return self.sketch.dpi / MM_PER_INCH

    @cached_property
    def listed(self) -> tuple[Area, ...]:
        """Every area of more than a speck, the largest first."""
        return tuple(_listed(self.number, self.per_mm))

    def at(self, point_mm: tuple[float, float]) -> int:
        """Number of the area at a place, x and y [mm].

        Raises
        ------
        InputError
            When the place lies off the sheet or on a line.
        """
        where = f"the point [{point_mm[0]:g}, {point_mm[1]:g}] mm"
        column, row = (int(np.floor(mm * self.per_mm)) for mm in point_mm)
        rows, columns = self.number.shape
        if not (0 <= row < rows and 0 <= column < columns):
            width, height = self.sketch.size_mm
            raise InputError(
                f"{where} lies off the sheet; allowed: 0 to {width:.0f} across, 0 to {height:.0f} "
                "down."
            )
        found = int(self.number[row, column])
        if self.sketch.line[row, column] < WALL or found == 0:
            x, y = self.nearest_open(row, column)
            raise InputError(
                f"{where} lies on a line; move it into the area that is meant: "
                f"[{x:g}, {y:g}] is the nearest place beside the line."
            )
        return found

    def leaks(self, points_mm: Iterable[tuple[float, float]]) -> list[str]:
        """A sentence of the gaps through which areas round some places may have run out.

        Not where places lie on both sides of a gap: then what is beyond it is meant too.
        """
        at = [self.pieces[self._pixel(point, self.pieces.shape)] for point in points_mm]
        through = [
            gap
            for gap, beyond in zip(self.gaps, self.beyond, strict=True)
            if len({int(beyond[piece]) for piece in at} - {0}) == 1
        ]
        if not through:
            return []
        through.sort(key=lambda gap: gap.width_mm)
        places = [f"{g.width_mm:.1f} mm at [{g.at_mm[0]:.1f}, {g.at_mm[1]:.1f}]" for g in through]
        more = f" and {len(places) - MOST_TOLD} more" if len(places) > MOST_TOLD else ""
        return [
            f"its area goes on through a gap of {', '.join(places[:MOST_TOLD])}{more}. If it "
            f"should end there, give gap_mm = {_above(through[:MOST_TOLD][-1])}."
        ]

    def _pixel(self, point_mm: tuple[float, float], shape: tuple[int, ...]) -> tuple[int, int]:
        """Row and column of a place on a field of the sheet's rows and columns, or coarser."""
        share = self.per_mm * shape[1] / self.number.shape[1]
        x, y = (int(mm * share) for mm in point_mm)
        return min(y, shape[0] - 1), min(x, shape[1] - 1)

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
                return round((x + 0.5) / self.per_mm, 1), round((y + 0.5) / self.per_mm, 1)
        return 0.0, 0.0

    def mask(self, numbers: Iterable[int]) -> NDArray[np.uint16]:
        """Coverage of some areas, 65535 = full, shape (rows, columns)."""
        return self.cover(numbers).mask

    def cover(self, numbers: Iterable[int]) -> Boxed:
        """Coverage of some areas."""
        wanted = np.zeros(len(self._boxes), np.uint32)
        wanted[list(numbers)] = 1
        boxes = self._boxes[wanted > 0]
        made: NDArray[np.uint16] = zero_field((self.number.shape[0], self.number.shape[1]))
        # an edge of a pixel's softness
        box = Rect(*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)).grown(1, made.shape)
        soften(self.number, wanted, tuple(box), made)
        return Boxed(made, box)

    def on_pixels(self, sketch: Sketch) -> Areas:
        """The same areas over the sketch on coarser pixels [px], shape (rows, columns).

        Each pixel belongs to the area in its middle.
        """
        at = (
            ((np.arange(few) + 0.5) * many / few).astype(np.intp)
            for few, many in zip(sketch.shape, self.number.shape, strict=True)
        )
        return replace(self, number=self.number[np.ix_(*at)], sketch=sketch)

    @cached_property
    def _boxes(self) -> NDArray[np.int64]:
        """Where each number lies."""
        return boxes_of(self.number)


def areas_of(
    sketch: Sketch, gap_mm: float = 0.5, open_at_mm: Sequence[tuple[float, float]] = ()
) -> Areas:
    """The areas that a sketch's lines enclose.

    Parameters
    ----------
    gap_mm : gaps up to this width [mm] are closed where a stroke goes on beyond them
    open_at_mm : gaps near these places stay open, x and y [mm], of shape (places, 2)
    """
    wall = sketch.line < WALL
    per_mm = sketch.dpi / MM_PER_INCH
    coarse, step = _coarse(wall, per_mm)
    lines = middle_lines(coarse, per_mm / step)
    shading = hatching(lines, per_mm / step)
    if shading.any():
        coarse, wall = _without(coarse, wall, lines, shading, step)
        lines &= ~shading
    ends = ends_of(coarse, lines, per_mm / step)
    joins, ends = joins_of(coarse, ends, per_mm / step, gap_mm, open_at_mm)
    gaps, _ = joins_of(coarse, ends, per_mm / step, max(LEAK_MM, 2 * gap_mm), open_at_mm)
    # only where a stroke plainly goes on: many a stroke ends in the open and is meant to
    gaps = [gap for gap in gaps if gap.effort_mm < PLAIN * gap.width_mm and gap.between_ends]
    # lines that pass one another closer than a neck part what lies beyond
    neck = int(min(gap_mm, NECK_MM) / 2 * per_mm), round(OPEN_TIPS_MM * per_mm)
    drawn = _closed(wall, joins, per_mm)
    number = told_apart(drawn, *neck)
    parting = _parting(number, joins, per_mm)
    pieces = told_apart(_closed(drawn, gaps, per_mm), *neck) if gaps else number
    leaks = _alone_parting(pieces, gaps, per_mm)
    pieces = pieces[::step, ::step].copy()
    number_by_size(number)
    grow(number, round(UNDER_LINE_MM * per_mm))
    return Areas(number, parting, tuple(leaks), sketch, gap_mm, pieces, tuple(leaks.values()))


def _above(gap: Join) -> str:
    """A gap_mm that closes a gap, to half a millimetre."""
    return f"{np.ceil(2 * max(gap.width_mm, gap.effort_mm / MOST_EFFORT) + 0.01) / 2:g}"


def _coarse(wall: Wall, per_mm: float) -> tuple[Wall, int]:
    """Walls on pixels coarse enough to follow strokes on, and how many fine ones a side holds."""
    step = max(1, round(per_mm / FINE_PER_MM))
    if step == 1:
        return wall.copy(), 1
    coarse = np.zeros([-(-length // step) for length in wall.shape], np.bool_)
    for offset in np.ndindex(step, step):
        some = wall[offset[0] :: step, offset[1] :: step]
        coarse[: some.shape[0], : some.shape[1]] |= some
    return coarse, step


def _without(coarse: Wall, wall: Wall, lines: Wall, shading: Wall, step: int) -> tuple[Wall, Wall]:
    """Walls less those pixels that are nearest to the middle line of a hatching stroke."""
    owner = np.where(shading, 2, lines).astype(np.int32)
    owner[coarse & (owner == 0)] = -1
    owner[~coarse] = -2
    grow_over(owner, -1, 40)
    hatch = owner == 2
    fine = np.repeat(np.repeat(hatch, step, 0), step, 1)[: wall.shape[0], : wall.shape[1]]
    return coarse & ~hatch, wall & ~fine


def _closed(wall: Wall, joins: Sequence[Join], per_mm: float) -> Wall:
    """Walls with joins drawn into them."""
    drawn = wall.copy()
    for join in joins:
        drawn[_pixels(join, per_mm, drawn.shape)] = True
    return drawn


def _pixels(
    join: Join, per_mm: float, shape: tuple[int, ...], beside_px: float = 0.0
) -> tuple[NDArray[np.int64], ...]:
    """Rows and columns of a join's pixels, or of those a little to one side of it."""
    path = np.array(join.path_mm) * per_mm
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    even = np.linspace(0, along[-1], max(2, int(2.5 * along[-1])))
    x, y = (np.interp(even, along, side) for side in path.T)
    if beside_px:
        dx, dy = np.gradient(x), np.gradient(y)
        length = np.maximum(np.hypot(dx, dy), 1e-9)
        x, y = x + beside_px * dy / length, y - beside_px * dx / length
    places = np.clip(np.floor(y), 0, shape[0] - 1), np.clip(np.floor(x), 0, shape[1] - 1)
    return tuple(place.astype(np.int64) for place in places)


def _parting(number: Numbers, joins: Sequence[Join], per_mm: float) -> tuple[Join, ...]:
    """Those of the joins that have two areas beside them; the others only end in the open."""
    sides = [sides_of(number, join, per_mm) for join in joins]
    return tuple(join for join, (a, b) in zip(joins, sides, strict=True) if a != b)


def sides_of(number: Numbers, join: Join, per_mm: float) -> tuple[int, int]:
    """Number of the area to either side of a join, the one that is beside most of it."""
    beside = (number[_pixels(join, per_mm, number.shape, away)] for away in (-2.0, 2.0))
    one, other = (int(np.bincount(some[some > 0], minlength=1).argmax()) for some in beside)
    return (one, other) if one and other else (0, 0)


def _alone_parting(
    number: Numbers, gaps: Sequence[Join], per_mm: float
) -> dict[Join, NDArray[np.int8]]:
    """Those of the gaps that would part an area in two large ones if each alone were closed.

    number : once all of them are closed; each gap then leads from one piece to another

    Returns
    -------
    For each such gap the side that each piece lies on, 1 or -1, 0 for neither
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    sizes = sizes_of(number) / per_mm**2
    sides = np.array([sides_of(number, gap, per_mm) for gap in gaps], int).reshape(-1, 2)
    found = {}
    for one, gap in enumerate(gaps):
        a, b = np.delete(sides, one, axis=0).T
        joined = coo_array((np.ones(len(a)), (a, b)), shape=(len(sizes),) * 2)
        _, group = connected_components(joined, directed=False)
        first, second = (group == group[side] for side in sides[one])
        large = min(sizes[first].sum(), sizes[second].sum()) > LEAST_LEAK_MM2
        if large and group[sides[one, 0]] != group[sides[one, 1]]:
            found[gap] = first.astype(np.int8) - second.astype(np.int8)
    return found


def _listed(number: Numbers, per_mm: float) -> list[Area]:
    from scipy.ndimage import distance_transform_edt, find_objects

    found = []
    for index, box in enumerate(find_objects(number), 1):
        if box is None:
            continue
        inside = number[box] == index
        mm2 = np.count_nonzero(inside) / per_mm**2
        if mm2 < SMALLEST_MM2:
            continue
        # well inside: the place furthest from any edge, on pixels that suit its size
        step = max(1, int(np.sqrt(inside.size) / 200))
        room = distance_transform_edt(np.pad(inside[::step, ::step], 1))
        row, column = np.unravel_index(int(room.argmax()), room.shape)
        top, left = box[0].start, box[1].start
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
                (*_mm((left, top), per_mm), *_mm((box[1].stop, box[0].stop), per_mm)),
            )
        )
    return found


def _mm(place: tuple[float, float], per_mm: float) -> tuple[float, float]:
    return round(float(place[0]) / per_mm, 2), round(float(place[1]) / per_mm, 2)
