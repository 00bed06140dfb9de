"""Strokes of a drawing: the middle lines of its walls, where they end, and which are hatching.

Places are rows and columns of the wall's own pixels.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from glaze.region.growth import labelled

Wall = NDArray[np.bool_]

# guesses, tried on drawings of our own (tests/region/test_areas.py):
SPUR_MM = 0.8  # a side twig as short as that belongs to the outline of a thick stroke
STROKE_MM = 1.2  # anything shorter is a dot
LOOK_BACK_MM = 4.0  # the direction of a stroke is read along so much of its end
FOLLOWED_MM = 48.0  # a stroke is followed no further
HATCH_SPACING_MM = (0.2, 1.5)  # lines so near one another, alike in direction ...
HATCH_TURN_DEGREES = 8.0
HATCH_LENGTH_MM = 30.0
HATCH_LINES = 5  # ... and so many or more shade an area and don't part it

# the eight neighbours, round clockwise from above
_ROUND = np.array([(-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1)])


@dataclass(frozen=True)
class Ends:
    """Free ends of strokes.

    Attributes
    ----------
    tip : the last of the stroke [px], shape (ends, 2)
    ahead : unit vector [-] in which it would go on, same shape
    length : of the stroke as far as it was followed [px], shape (ends,)
    """

    tip: NDArray[np.float64]
    ahead: NDArray[np.float64]
    length: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.tip)

    def without(self, some: Iterable[int]) -> Ends:
        """All but some, by index."""
        rest = list(some)
        return Ends(*(np.delete(field, rest, axis=0) for field in vars(self).values()))


def middle_lines(wall: Wall, per_mm: float) -> Wall:
    """Lines one pixel wide in the middle of the walls, short side twigs cut off.

    Shape (rows, columns), same shape back.
    """
    from skimage.morphology import skeletonize

    lines = np.pad(skeletonize(wall), 1)
    path, steps, met = _followed(lines, round(SPUR_MM * per_mm))
    for one in np.flatnonzero(met):
        lines[tuple(path[one, : steps[one]].T)] = False
    return lines[1:-1, 1:-1]


def ends_of(wall: Wall, lines: Wall, per_mm: float) -> Ends:
    """Where strokes end free, and in which direction. Both of shape (rows, columns)."""
    path, steps, _ = _followed(np.pad(lines, 1), round(FOLLOWED_MM * per_mm))
    found = [
        (tip, ahead, count)
        for one, count in zip(path - 1, steps, strict=True)
        if count >= STROKE_MM * per_mm
        for tip, ahead in [_end(wall, one[:count].astype(float), per_mm)]
    ]
    tips, aheads, lengths = zip(*found, strict=True) if found else ((), (), ())
    return Ends(
        np.array(tips, float).reshape(-1, 2),
        np.array(aheads, float).reshape(-1, 2),
        np.array(lengths, float),
    )


def _end(
    wall: Wall, path: NDArray[np.float64], per_mm: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The tip of one stroke and its direction there, from a parabola through its last part."""
    near = path[: max(3, round(LOOK_BACK_MM * per_mm))]
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(near, axis=0).T))])
    degree = 2 if along[-1] > LOOK_BACK_MM / 2 * per_mm else 1
    ahead = -np.polynomial.polynomial.polyfit(along, near, degree)[1]
    ahead /= np.hypot(*ahead)
    # the middle line stops half a width before the stroke does
    tip = near[0]
    for reach in np.arange(0.5, 2 * per_mm, 0.5):
        beyond = near[0] + reach * ahead
        row, column = np.rint(beyond).astype(int)
        if not (0 <= row < wall.shape[0] and 0 <= column < wall.shape[1] and wall[row, column]):
            break
        tip = beyond
    return tip, ahead


def _followed(
    lines: Wall, most: int
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.bool_]]:
    """Lines followed from each free end, all at once, until they end, meet others, or `most` steps.

    Returns
    -------
    path : shape (ends, most, 2); counts of pixels on it; whether it came to a meeting of lines
    """
    ends = np.argwhere(lines)
    codes = _codes(lines, ends)
    goes_on, is_end, is_meeting = _ways()
    here = ends[is_end[codes]]
    codes = codes[is_end[codes]]
    came = np.full(len(here), 8)
    path = np.zeros((len(here), most, 2), np.int64)
    steps = np.zeros(len(here), np.int64)
    met = np.zeros(len(here), bool)
    going = np.arange(len(here))
    for count in range(most):
        path[going, count] = here[going]
        steps[going] += 1
        way = goes_on[codes[going], came[going]]
        going, way = going[way >= 0], way[way >= 0]
        here[going] += _ROUND[way]
        came[going] = (way + 4) % 8
        codes[going] = _codes(lines, here[going])
        meets = is_meeting[codes[going]]
        met[going[meets]] = True
        going = going[~meets]
        if not going.size:
            break
    return path, steps, met


def _codes(lines: Wall, at: NDArray[np.int64]) -> NDArray[np.int64]:
    """Which of the eight neighbours are on a line, as bits, shape (places,)."""
    around = at[:, None] + _ROUND
    return (lines[around[..., 0], around[..., 1]] << np.arange(8)).sum(axis=1)


@cache
def _ways() -> tuple[NDArray[np.int64], NDArray[np.bool_], NDArray[np.bool_]]:
    """For each set of neighbours: where a line goes on, and whether it is an end or a meeting.

    The way on has shape (256, 9), by the neighbour that one came from, 8 for an end's own start;
    -1 where there is none. Neighbours that touch one another are one way.
    """
    goes_on = np.full((256, 9), -1)
    groups_of = np.zeros(256, int)
    for code in range(256):
        on = [way for way in range(8) if code >> way & 1]
        groups: list[list[int]] = []
        for way in on:
            if groups and way - groups[-1][-1] == 1:
                groups[-1].append(way)
            else:
                groups.append([way])
        if len(groups) > 1 and groups[0][0] == 0 and groups[-1][-1] == 7:
            groups[0] = groups.pop() + groups[0]
        groups_of[code] = len(groups)
        for came in range(9):
            ahead = [group for group in groups if came not in group]
            if len(ahead) == 1:
                goes_on[code, came] = min(ahead[0], key=lambda way: way % 2)
    small = np.array([bin(code).count("1") <= 2 for code in range(256)])
    return goes_on, (groups_of == 1) & small, groups_of >= 3


def hatching(lines: Wall, per_mm: float) -> Wall:
    """Those of the middle lines that only shade: many short straight ones side by side.

    Shape (rows, columns), same shape back.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    framed = np.pad(lines, 1)
    at = np.argwhere(framed)
    meets = at[_ways()[2][_codes(framed, at)]]
    # and what touches it: the arms of a meeting touch one another over its corners
    for way in (np.zeros(2, int), *_ROUND):
        framed[tuple((meets + way).T)] = False
    part, count = labelled(framed[1:-1, 1:-1], corners=True)
    middle, direction, length, straight = _shapes(part, count)
    straight &= ~_outlines(part, direction, meets - 1, LOOK_BACK_MM / 4 * per_mm)
    short = straight & (length > 2 * HATCH_SPACING_MM[0] * per_mm)
    some = np.flatnonzero(short & (length < HATCH_LENGTH_MM * per_mm))
    reach = HATCH_SPACING_MM[1] * per_mm
    pairs = cKDTree(middle[some]).query_pairs(3 * reach, output_type="ndarray")
    a, b = some[pairs[:, 0]], some[pairs[:, 1]]
    apart = middle[b] - middle[a]
    cross = np.abs(apart[:, 0] * direction[a, 1] - apart[:, 1] * direction[a, 0])
    along = np.abs((apart * direction[a]).sum(axis=1))
    turn = np.abs((direction[a] * direction[b]).sum(axis=1))
    shorter, longer = np.minimum(length[a], length[b]), np.maximum(length[a], length[b])
    beside = (cross >= HATCH_SPACING_MM[0] * per_mm) & (cross <= reach) & (along < shorter / 2)
    alike = (turn > np.cos(np.radians(HATCH_TURN_DEGREES))) & (longer < 2 * shorter)
    a, b = a[beside & alike], b[beside & alike]
    joined = coo_array((np.ones(len(a)), (a, b)), shape=(count + 1, count + 1))
    _, group = connected_components(joined, directed=False)
    shades = np.bincount(group)[group] >= HATCH_LINES
    shades[0] = False
    return np.asarray(shades[part])


def _outlines(
    part: NDArray[np.int32],
    direction: NDArray[np.float64],
    meets: NDArray[np.int64],
    reach: float,
) -> NDArray[np.bool_]:
    """Lines that hatching ends on: they go on beyond its strokes, or turn a corner to meet one.

    Parameters
    ----------
    part : number of the line at each pixel, shape (rows, columns)
    direction : of each line [-], shape (lines, 2)
    meets : pixels where lines meet, shape (meetings, 2)
    reach : within it the direction of each arm is read [px]

    Returns
    -------
    True for each such line, shape (lines,)
    """
    from scipy.spatial import cKDTree

    count = len(direction)
    found = np.zeros(count, bool)
    if not len(meets):
        return found
    # meetings that touch are one
    groups = cKDTree(meets).query_ball_point(meets, 3.0)
    first = np.array([min(group) for group in groups])
    at = np.argwhere(part)
    away, near = cKDTree(meets).query(at, distance_upper_bound=reach)
    close = np.isfinite(away)
    at, near, away = at[close], near[close], away[close]
    arms, which = np.unique(first[near] * count + part[tuple(at.T)], return_inverse=True)
    meeting, line = np.divmod(arms, count)
    # the further pixels tell the direction: a middle line bends where it meets another
    far = (at - meets[near]) * away[:, None] ** 3
    way = [np.bincount(which, far[:, axis]) for axis in (0, 1)]
    ahead = np.stack(way, axis=1)
    ahead = ahead / np.maximum(np.hypot(*ahead.T), 1e-9)[:, None]
    found[line[np.abs((ahead * direction[line]).sum(axis=1)) < 0.8]] = True
    # only where three arms meet: at a crossing of two lines neither is the outline
    _, start, number = np.unique(meeting, return_index=True, return_counts=True)
    three = start[number == 3][:, None] + np.arange(3)
    # of the three the two that go on most straight; arms 1 2, 0 2 and 0 1
    pairs = np.array([[1, 2], [0, 2], [0, 1]])
    bend = (ahead[three][:, pairs[:, 0]] * ahead[three][:, pairs[:, 1]]).sum(axis=2)
    best = bend.argmin(axis=1)
    runs = bend.min(axis=1, initial=1) < -0.6
    past = np.take_along_axis(line[three], pairs[best], axis=1)[runs]
    # at all its meetings: where a stroke meets a slanting outline, one may be read wrongly
    often = np.bincount(line[three].ravel(), minlength=count)
    return found | ((often > 0) & (np.bincount(past.ravel(), minlength=count) == often))


def _shapes(
    part: NDArray[np.int32], count: int
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]:
    """Middle, direction, length [px] and straightness of lines, by their second moments."""
    rows, columns = np.nonzero(part)
    which = part[rows, columns]
    pixels = np.maximum(np.bincount(which, minlength=count + 1), 1)

    def mean(values: NDArray) -> NDArray[np.float64]:
        return np.bincount(which, values, minlength=count + 1) / pixels

    middle = np.stack([mean(rows), mean(columns)], axis=1)
    y, x = rows - middle[which, 0], columns - middle[which, 1]
    yy, xx, xy = mean(y * y), mean(x * x), mean(x * y)
    half = np.hypot((yy - xx) / 2, xy)
    large, small = (yy + xx) / 2 + half, (yy + xx) / 2 - half
    angle = np.arctan2(2 * xy, xx - yy) / 2
    direction = np.stack([np.sin(angle), np.cos(angle)], axis=1)
    # a straight line of length L has the moment L^2/12 along itself
    return middle, direction, np.sqrt(12 * large), small < 0.003 * large + 0.1
