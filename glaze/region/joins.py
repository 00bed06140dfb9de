"""Gaps of a drawing closed as a person would: stroke ends carried on to one another or to a line.

A join leaves a stroke in the stroke's own direction and bends as little as it can; short straight
ones go first, each end is used once, and none crosses a line or another join.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.region.extents import boxes_of
from glaze.region.growth import labelled
from glaze.region.strokes import Ends, Wall

Path = NDArray[np.float64]  # (points, 2): rows and columns

# guesses, tried on drawings opened by hand (tests/region/test_areas.py):
MOST_EFFORT = 1.3  # times the widest gap to be closed
BEND_DEGREES = 50.0  # a join that turns so far from its stroke counts as twice as long
MOST_DEGREES = 80.0  # and none turns further
NEAR_MM = 0.6  # but ends as near as that are joined whichever way they point
FAN_DEGREES = np.arange(-45.0, 46.0, 5.0)  # directions in which a line is looked for
TO_LINE = 1.4  # an end is rather carried on to an end: a line counts as so much further away
CORNER_DEGREES = 55.0  # two ends that turn more than this between them meet in a corner
PLAIN_DEGREES = 35.0  # ends that each turn less go on as one line
# all others, corners and ends carried on to a line, are drawn by lines that go far: short strokes
# that hang on nothing are folds, scales, grass, waves
FAR = 5.0  # times the gap: across the lines that hang together at each end
STUB = 4.0  # times the gap: as far back as the next meeting, for lines that ran past one another


@dataclass(frozen=True)
class Join:
    """A gap closed.

    Attributes
    ----------
    path_mm : places along it, from the stroke's end on, x and y [mm]
    width_mm : of the gap, from end to end
    effort_mm : its width as it counts: wider where the join has to bend
    ends : of strokes that it joins: two, one to a line, or none where lines only come near
    """

    path_mm: tuple[tuple[float, float], ...]
    width_mm: float
    effort_mm: float
    ends: int

    @property
    def at_mm(self) -> tuple[float, float]:
        """Its middle, x and y."""
        return self.path_mm[len(self.path_mm) // 2]


@dataclass(frozen=True)
class _Proposal:
    cost: float
    effort: float
    width: float
    ends: tuple[int, ...]
    path: Path
    plain: bool = False


def joins_of(
    wall: Wall, ends: Ends, per_mm: float, most_mm: float, open_at_mm: Sequence[tuple[float, float]]
) -> tuple[list[Join], Ends]:
    """The joins that close a drawing's gaps, the best first, and the ends that are left.

    A second look lets ends meet the joins of the first, as where a corner of three was rubbed out.

    Parameters
    ----------
    wall : True on a line, shape (rows, columns); joins are drawn into it
    most_mm : the widest gap that is closed
    open_at_mm : gaps near these points stay open
    """
    found: list[Join] = []
    # lines that go on first: what they make one line of counts as that from then on
    for plain in (True, False, False):
        joins, ends = look_once(wall, ends, per_mm, most_mm, open_at_mm, plain=plain)
        found += joins
    return found, ends


def look_once(
    wall: Wall,
    ends: Ends,
    per_mm: float,
    most_mm: float,
    open_at_mm: Sequence[tuple[float, float]],
    *,
    plain: bool = False,
) -> tuple[list[Join], Ends]:
    """As `joins_of`, looked for once, shape (rows, columns); `plain` is True for lines that go on
    alone."""
    found: list[Join] = []
    used: set[int] = set()
    across = _across(wall, ends)
    proposals = _proposals(wall, ends, per_mm, most_mm, plain)
    for proposal in sorted(proposals, key=lambda p: p.cost):
        place = np.rint(proposal.path).astype(int)
        place = place[((place >= 0) & (place < wall.shape)).all(axis=1)]
        # it starts on a line and ends on one
        if used & set(proposal.ends) or wall[tuple(place[4:-4].T)].any():
            continue
        if not proposal.plain and _hangs_loose(proposal, ends, across):
            continue
        used |= set(proposal.ends)
        path_mm = (proposal.path[:, ::-1] + 0.5) / per_mm
        apart = [np.hypot(*(path_mm - point).T).min() for point in np.array(open_at_mm)]
        if not apart or min(apart) > max(1.0, proposal.width / per_mm / 2):
            wall[tuple(place.T)] = True
            found.append(_join(path_mm, proposal, per_mm))
    return found, ends.without(used)


def _across(wall: Wall, ends: Ends) -> NDArray[np.float64]:
    """How far the lines reach that each end hangs together with [px], shape (ends,)."""
    together, _ = labelled(wall, corners=True)
    boxes = boxes_of(together)
    reach = np.hypot(*(boxes[:, 2:] - boxes[:, :2]).T)
    reach[0] = 0.0  # what holds no line, as where a tip was rounded off it, hangs on nothing
    row, column = np.clip(np.rint(ends.tip).astype(int).T, 0, np.array([wall.shape]).T - 1)
    return np.asarray(reach[together[row, column]])


def _hangs_loose(proposal: _Proposal, ends: Ends, across: NDArray[np.float64]) -> bool:
    """Whether one of a join's ends is that of a short stroke alone, or of a stub."""
    some = list(proposal.ends)
    short = across[some].min() < FAR * proposal.width
    return bool(short or ends.length[some].min() < STUB * proposal.width)


def _join(path_mm: Path, proposal: _Proposal, per_mm: float) -> Join:
    path = tuple((float(x), float(y)) for x, y in path_mm)
    width_mm, effort_mm = proposal.width / per_mm, proposal.effort / per_mm
    return Join(path, width_mm, effort_mm, len(proposal.ends))


def _proposals(
    wall: Wall, ends: Ends, per_mm: float, most_mm: float, plain: bool
) -> Iterator[_Proposal]:
    most = most_mm * per_mm
    if not len(ends):
        return
    for proposal in (
        *_to_ends(ends, per_mm, most),
        *(() if plain else _to_lines(wall, ends, most)),
    ):
        fits = proposal.width <= most and proposal.effort <= MOST_EFFORT * most
        if fits and proposal.plain >= plain:
            yield proposal


def _to_ends(ends: Ends, per_mm: float, most: float) -> Iterator[_Proposal]:
    from scipy.spatial import cKDTree

    pairs = cKDTree(ends.tip).query_pairs(most + 1, output_type="ndarray")
    for a, b in pairs:
        apart = ends.tip[b] - ends.tip[a]
        width = max(float(np.hypot(*apart)), 1e-6)
        turns = [
            float(np.degrees(np.arccos(np.clip(ahead @ way / width, -1, 1))))
            for ahead, way in ((ends.ahead[a], apart), (ends.ahead[b], -apart))
        ]
        near = width <= NEAR_MM * per_mm
        far = width > 2 * min(ends.length[a], ends.length[b])
        if not near and (max(turns) > MOST_DEGREES or far):
            continue
        path, is_corner = _curve(ends, a, b, width)
        bend = 0.2 if is_corner else (turns[0] ** 2 + turns[1] ** 2) / BEND_DEGREES**2
        effort = np.hypot(*np.diff(path, axis=0).T).sum() * (1 + bend * (not near))
        plain = near or max(turns) < PLAIN_DEGREES
        yield _Proposal(effort, effort, width, (int(a), int(b)), path, plain)


def _curve(ends: Ends, a: int, b: int, width: float) -> tuple[Path, bool]:
    """From one end to another: an arc's cubic, or a corner where their directions meet in one."""
    start, stop, u, v = ends.tip[a], ends.tip[b], ends.ahead[a], ends.ahead[b]
    turn = float(np.arccos(np.clip(u @ -v, -1, 1)))
    t = np.linspace(0, 1, max(3, int(2.5 * width)))[:, None]
    across = u[0] * v[1] - u[1] * v[0]
    if np.degrees(turn) > CORNER_DEGREES and abs(across) > 1e-6:
        apart = stop - start
        reach = (apart[0] * v[1] - apart[1] * v[0]) / across
        back = (apart[0] * u[1] - apart[1] * u[0]) / across
        if 0 < reach < 1.5 * width and 0 < back < 1.5 * width:
            corner = start + reach * u
            sides = [start + (corner - start) * t, corner + (stop - corner) * t]
            return np.concatenate(sides), True
    # the handles with which a cubic follows an arc of this turn
    reach = width / 3 if turn < 0.1 else 2 * width * np.tan(turn / 4) / (3 * np.sin(turn / 2))
    reach = min(reach, width / 2)
    p, q = start + reach * u, stop + reach * v
    s = 1 - t
    return s**3 * start + 3 * t * s**2 * p + 3 * t**2 * s * q + t**3 * stop, False


def _to_lines(wall: Wall, ends: Ends, most: float) -> Iterator[_Proposal]:
    """Each end carried on to the line, or edge of the sheet, that it best runs into."""
    steps = np.arange(1.5, most + 1.5, 0.5)
    if not steps.size:  # no gap is to be closed
        return
    angle = np.radians(FAN_DEGREES)
    framed = np.pad(wall, 1, constant_values=True)
    weight = 1 + (FAN_DEGREES / BEND_DEGREES) ** 2
    for one, (tip, ahead) in enumerate(zip(ends.tip, ends.ahead, strict=True)):
        y, x = ahead
        way = np.stack(
            [y * np.cos(angle) + x * np.sin(angle), x * np.cos(angle) - y * np.sin(angle)], axis=1
        )
        place = np.rint(tip + steps[:, None, None] * way).astype(int) + 1
        place = np.clip(place, 0, np.array(framed.shape) - 1)
        hit = framed[place[..., 0], place[..., 1]]
        # a direction that starts on the stroke's own ragged end is none
        runs = hit.any(axis=0) & ~hit[0]
        first = np.where(runs, steps[hit.argmax(axis=0)], np.inf)
        best = int(np.argmin(first * weight))
        reach = float(first[best])
        if np.isfinite(reach) and reach <= 2 * ends.length[one]:
            t = np.linspace(0, 1, max(3, int(2.5 * reach)))[:, None]
            path = tip + t * reach * way[best]
            effort = (reach - 0.5) * float(weight[best])
            yield _Proposal(effort * TO_LINE, effort, reach - 0.5, (one,), path)
