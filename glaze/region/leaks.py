"""Where an area may have run out: gaps left open, and necks between lines that nearly meet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.region.extents import sizes_of
from glaze.region.growth import Numbers, grow_over, labelled
from glaze.region.joins import MOST_EFFORT, Join, look_once
from glaze.region.parted import coarser, pixels_of, sides_of, told_apart_by
from glaze.region.strokes import Ends, Wall

MOST_TOLD = 6  # gaps of one region, the narrowest first
GAP_MM = 12.0  # gaps up to this width are looked for
PLAIN = 1.4  # times its width: a join that bends more is no plain one
LEAST_MM2 = 25.0  # what a gap lets run together is told if both parts are larger
NECK_MM = 3.0  # lines that come so near one another make a neck ...
ROOMY = 4.0  # ... if to both sides there is room so many times as wide


@dataclass(frozen=True, eq=False)
class Leaks:
    """Gaps and necks that would part an area in two large ones if each alone were closed.

    Attributes
    ----------
    gaps : those, of ends of strokes and of necks
    pieces : what would be parted if all of them were closed, shape (rows, columns)
    beyond : for each the side that each piece lies on, 1 or -1, 0 for neither
    per_mm : pixels of `pieces` to the mm
    """

    gaps: tuple[Join, ...]
    pieces: Numbers
    beyond: tuple[NDArray[np.int8], ...]
    per_mm: float

    def through(self, points_mm: Iterable[tuple[float, float]]) -> list[Join]:
        """Those through which the areas round some places may have run out, the narrowest first.

        Not where places lie to both sides of one: then what is beyond it is meant too.
        """
        at = [self.pieces[self._pixel(point)] for point in points_mm]
        found = [
            gap
            for gap, beyond in zip(self.gaps, self.beyond, strict=True)
            if len({int(beyond[piece]) for piece in at} - {0}) == 1
        ]
        return sorted(found, key=lambda gap: gap.width_mm)

    def _pixel(self, point_mm: tuple[float, float]) -> tuple[int, int]:
        x, y = (int(mm * self.per_mm) for mm in point_mm)
        rows, columns = self.pieces.shape
        return min(y, rows - 1), min(x, columns - 1)


def told_leaks(gaps: Sequence[Join], by_number: bool = False) -> list[str]:
    """A sentence of gaps and necks through which an area goes on; none of none."""
    if not gaps:
        return []
    some, more = gaps[:MOST_TOLD], len(gaps) - MOST_TOLD
    places = [
        f"a {'gap' if gap.ends else 'neck'} of {gap.width_mm:.1f} mm at "
        f"[{gap.at_mm[0]:.1f}, {gap.at_mm[1]:.1f}]"
        for gap in some
    ]
    closed = [gap for gap in some if gap.ends]
    close = f"give gap_mm = {closing_mm(closed)}" if closed else "draw the lines together"
    own = "" if by_number else "gap_mm = 0 for the region, or "
    return [
        f"its area goes on through {', '.join(places)}{f' and {more} more' if more > 0 else ''}. "
        f"If it should end there, {close}{' in [areas]' if by_number and closed else ''}; if it is "
        f"meant, {own}the place in open_at_mm of [areas]."
    ]


def closing_mm(gaps: Sequence[Join]) -> str:
    """A gap_mm that closes all of some gaps, to half a millimetre."""
    most = max(max(gap.width_mm, gap.effort_mm / MOST_EFFORT) for gap in gaps)
    return f"{np.ceil(2 * most + 0.01) / 2:g}"


def leaks_of(
    wall: Wall,
    ends: Ends,
    per_mm: float,
    gap_mm: float,
    neck_mm: float,
    open_at_mm: Sequence[tuple[float, float]],
) -> Leaks:
    """Gaps wider than those that were closed, and necks.

    Parameters
    ----------
    wall : True on a line and on a gap that was closed, shape (rows, columns); changed
    ends : of strokes that no gap was closed at
    gap_mm : the widest gap that was closed
    neck_mm : lines as near as that part areas
    open_at_mm : gaps near these points are meant, of shape (points, 2) [mm]
    """
    gaps, _ = look_once(wall.copy(), ends, per_mm, max(GAP_MM, 2 * gap_mm), open_at_mm)
    # only where a stroke plainly goes on: many a stroke ends in the open and is meant to
    gaps = [gap for gap in gaps if gap.effort_mm < PLAIN * gap.width_mm]
    for gap in gaps:
        wall[pixels_of(gap, per_mm, wall.shape)] = True
    known = [*open_at_mm, *(gap.at_mm for gap in gaps)]
    necks = [neck for neck in _necks(wall, per_mm) if not _near(neck, known)]
    pieces = told_apart_by(necks, wall, per_mm, neck_mm)
    parting = _alone_parting(pieces, [*gaps, *necks], per_mm)
    return Leaks(tuple(parting), pieces, tuple(parting.values()), per_mm)


def _near(neck: Join, places_mm: Sequence[tuple[float, float]]) -> bool:
    apart = [np.hypot(x - neck.at_mm[0], y - neck.at_mm[1]) for x, y in places_mm]
    return min(apart, default=np.inf) < max(1.5, neck.width_mm)


def _necks(wall: Wall, per_mm: float) -> list[Join]:
    """Places where lines come near one another between two roomy parts of one area.

    What is left where every line is thickened by half a neck grows back; where two parts of an
    area meet again is a neck, from line to line through the widest place of their border.
    """
    from scipy.ndimage import distance_transform_edt

    half = coarser(wall, 2)
    room, nearest = distance_transform_edt(~half, return_indices=True)
    part, count = labelled(room > NECK_MM / 4 * per_mm)
    most = np.zeros(count + 1)
    np.maximum.at(most, part.ravel(), room.ravel())
    part[half] = -2
    grow_over(part, 0, round(NECK_MM * per_mm))
    widest: dict[tuple[int, int], tuple[int, int]] = {}
    for axis in (0, 1):
        one, other = (np.take(part, np.arange(n, part.shape[axis] - 1 + n), axis) for n in (0, 1))
        for row, column in np.argwhere((one != other) & (one > 0) & (other > 0)):
            a, b = sorted((int(one[row, column]), int(other[row, column])))
            if (a, b) not in widest or room[row, column] > room[widest[a, b]]:
                widest[a, b] = int(row), int(column)
    necks = []
    for pair, place in widest.items():
        neck = _across(np.array(place), nearest[:, place[0], place[1]], wall, per_mm)
        if neck and most[list(pair)].min() > ROOMY * neck.width_mm * per_mm / 4:
            necks.append(neck)
    return necks


def _across(
    place: NDArray[np.int64], tip: NDArray[np.int64], wall: Wall, per_mm: float
) -> Join | None:
    """A neck through a place, from the line near a tip of it straight on to the other line.

    Both are pixels twice as coarse as the wall's.
    """
    way = (place - tip) / np.hypot(*(place - tip))
    ends = []
    for forth in (-1, 1):
        for reach in np.arange(0.0, NECK_MM * per_mm, 0.5):
            end = 2 * place + 0.5 + forth * reach * way
            row, column = np.rint(end).astype(int)
            if not (0 <= row < wall.shape[0] and 0 <= column < wall.shape[1]):
                return None
            if wall[row, column]:
                ends.append(end)
                break
    if len(ends) < 2:
        return None
    path = ends[0] + np.linspace(0, 1, 9)[:, None] * (ends[1] - ends[0])
    path_mm = tuple((float(x + 0.5) / per_mm, float(y + 0.5) / per_mm) for y, x in path)
    width = max(float(np.hypot(*(ends[1] - ends[0])) - 1) / per_mm, 0.0)
    return Join(path_mm, width, width, 0) if width <= NECK_MM else None


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
        large = min(sizes[first].sum(), sizes[second].sum()) > LEAST_MM2
        if large and group[sides[one, 0]] != group[sides[one, 1]]:
            found[gap] = first.astype(np.int8) - second.astype(np.int8)
    return found
