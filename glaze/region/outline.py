"""Outlines in pixels and the share of every pixel that they cover."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.region.records import Region
from glaze.sheet.field import zero_field
from glaze.sheet.rect import Rect

Outline = NDArray[np.float64]  # (points, 2): x to the right, y down; the last meets the first

LINES = 64  # fine lines a row of pixels; along them the cover is exact
UNIT = 1024  # fine steps a pixel along a line: 64 x 1024 is a full pixel, 65536
STRIP_ROWS = 64
MOST_CROSSINGS = 2_000_000  # worked on at once, about 0.2 GB; more are joined group by group


def fill(outlines: Iterable[Outline], shape: tuple[int, int]) -> NDArray[np.uint16]:
    """Coverage of what outlines surround, 65535 = full, shape (rows, columns).

    A place counts as inside when the outlines wind round it (non-zero rule), so that a line that
    crosses itself leaves no hole. Sums are of whole numbers and hence exact: the error is that of
    64 lines a row: a level edge is placed within 1/128 of a pixel, a slanting one much better.
    """
    cover: NDArray[np.uint16] = zero_field(shape)
    edges = [edge for edge in map(_edges_of, outlines) if len(edge) > 2]
    if not edges:
        return cover
    edge = np.concatenate(edges)
    ends = np.cumsum([len(one) for one in edges])
    box = bounds([edge], shape)
    if box.empty:
        return cover
    top, left, bottom, right = box
    for row in range(top, bottom, STRIP_ROWS):
        rows = min(STRIP_ROWS, bottom - row)
        moved = edge - np.array([left, row, left, row], float)
        cover[row : row + rows, left:right] = _fill_strip(moved, ends, rows, right - left)
    return cover


def bounds(outlines: Iterable[Outline], shape: tuple[int, int]) -> Rect:
    """A rectangle [px] that holds all of some outlines, on a sheet of `shape` (rows, columns).

    An outline clipped away to nothing has no points.
    """
    there = [line[:, 1::-1] for line in outlines if len(line)]
    if not there:
        return Rect(0, 0, 0, 0)
    corners = [(line.min(axis=0), line.max(axis=0)) for line in there]
    least, most = (np.array(one) for one in zip(*corners, strict=True))
    top, left = np.clip(np.floor(least.min(axis=0)), 0, shape).astype(int)
    bottom, right = np.clip(np.ceil(most.max(axis=0)), 0, shape).astype(int)
    return Rect(int(top), int(left), int(bottom), int(right))


def _fill_strip(
    edge: NDArray[np.float64], ends: NDArray[np.int64], rows: int, columns: int
) -> NDArray[np.uint16]:
    """Coverage of a strip; `ends` tells where each outline ends among the edges."""
    line, x, sign = np.zeros(0, np.int64), np.zeros(0), np.zeros(0, np.int64)
    for group in _groups(edge, ends, rows * LINES):
        new = _boundaries(columns, *_crossings(group, rows * LINES))
        both = zip((line, x, sign), new, strict=True)
        merged = (np.concatenate(pair) for pair in both)
        line, x, sign = _boundaries(columns, *merged) if x.size else new
    # a boundary covers part of its own pixel and all pixels to its right
    fine = np.rint(np.clip(x, 0, columns) * UNIT).astype(np.int64)
    pixel, part = np.divmod(fine, UNIT)
    place = line // LINES * (columns + 2) + pixel
    steps = np.zeros(rows * (columns + 2), np.int64)
    np.add.at(steps, place, sign * (UNIT - part))
    np.add.at(steps, place + 1, sign * part)
    covered = np.cumsum(steps.reshape(rows, columns + 2), axis=1)[:, :columns]
    return np.minimum(covered, 65535).astype(np.uint16)


def _groups(
    edge: NDArray[np.float64], ends: NDArray[np.int64], lines: int
) -> Iterator[NDArray[np.float64]]:
    """Whole outlines at a time, as many as memory allows for their crossings."""
    met = np.diff(np.clip(np.ceil(np.sort(edge[:, 1::2], axis=1) * LINES - 0.5), 0, lines))
    total = np.cumsum(met[:, 0])[ends - 1]
    number = total // MOST_CROSSINGS
    cuts = [0, *ends[:-1][np.diff(number) > 0], len(edge)]
    for start, end in pairwise(cuts):
        yield edge[start:end]


def _boundaries(
    columns: int, line: NDArray[np.int64], x: NDArray[np.float64], turn: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.int64]]:
    """Along each fine line, from left to right: where the winding leaves zero (1) and comes back
    to it (-1)."""
    # one key sorts in a third of the time of two; it parts places 1e-8 of a pixel from each other
    order = np.argsort(line * (columns + 1.0) + np.clip(x, 0, columns))
    line, x, turn = line[order], x[order], turn[order]
    winding = np.cumsum(turn)
    sign = (winding != 0).astype(np.int64) - ((winding - turn) != 0)
    change = sign != 0
    return line[change], x[change], sign[change]


def _crossings(
    edge: NDArray[np.float64], lines: int
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.int64]]:
    """Fine line, x and direction (+1 down, -1 up) of every crossing of an edge with a line."""
    x0, y0, x1, y1 = edge.T
    turn = np.where(y1 > y0, 1, -1)
    low, high = np.minimum(y0, y1), np.maximum(y0, y1)
    # fine line n lies at (n + 1/2) / LINES; a half-open rule counts a shared corner once
    first = np.clip(np.ceil(low * LINES - 0.5), 0, lines).astype(np.int64)
    last = np.clip(np.ceil(high * LINES - 0.5), 0, lines).astype(np.int64)
    count = last - first
    which = np.repeat(np.arange(len(edge)), count)
    line = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + first[which]
    y = (line + 0.5) / LINES
    share = (y - y0[which]) / (y1 - y0)[which]
    return line, x0[which] + share * (x1 - x0)[which], turn[which]


def ellipse(
    centre: tuple[float, float], radii: tuple[float, float], turn_degrees: float, scale: float
) -> Outline:
    """An ellipse as a polygon in pixels, off by less than 0.02 pixels.

    Shape (points, 2), x and y [px].

    Parameters
    ----------
    centre, radii : [mm]
    turn_degrees : clockwise as seen, since y runs down
    scale : pixels per mm
    """
    # a chord of a circle of radius r lies r (1 - cos(pi/n)) inside it
    largest = max(max(radii) * scale, 1.0)
    points = int(np.clip(np.ceil(np.pi / np.sqrt(2 * 0.02 / largest)), 16, 4000))
    angle = np.linspace(0, 2 * np.pi, points, endpoint=False)
    # the same area as the true ellipse, not the smaller one of an inscribed polygon
    larger = np.sqrt(2 * np.pi / points / np.sin(2 * np.pi / points))
    local = np.stack([radii[0] * np.cos(angle), radii[1] * np.sin(angle)], axis=1) * larger
    turn = np.radians(turn_degrees)
    c, s = np.cos(turn), np.sin(turn)
    return (local @ np.array([[c, s], [-s, c]]) + np.asarray(centre)) * scale


def band(start: ArrayLike, end: ArrayLike, width: float, scale: float) -> Outline:
    """A straight strip with square ends, from mm to pixels; nothing where both ends are one.

    Ends [mm], shape (2,), and width [mm]; corners [px], shape (4, 2).
    """
    a, b = np.asarray(start, float), np.asarray(end, float)
    length = np.hypot(*(b - a))
    if length == 0:
        return np.zeros((0, 2))
    across = np.array([-(b - a)[1], (b - a)[0]]) / length * width / 2
    corners: Outline = np.stack([a + across, a - across, b - across, b + across]) * scale
    return corners


def pen_line(points: ArrayLike, width: float, scale: float) -> list[Outline]:
    """A line with round ends and joins: a band for each piece, a disc at each point.

    Points [mm], shape (points, 2), and width [mm]; outlines [px] of shape (points, 2) each.
    """
    path = np.asarray(points, float)
    disc = ellipse((0.0, 0.0), (width / 2, width / 2), 0.0, scale)
    discs = [disc + at for at in path * scale]
    bands = [band(a, b, width, scale) for a, b in pairwise(path)]
    return [*discs, *bands]


def _edges_of(outline: Outline) -> NDArray[np.float64]:
    """Both ends of an outline's edges, shape (points, 4), turned so that its area counts as
    positive: overlaps then add, never cancel."""
    edges = np.empty((len(outline), 4))
    edges[:, :2], edges[:-1, 2:], edges[-1:, 2:] = outline, outline[1:], outline[:1]
    x0, y0, x1, y1 = edges.T
    return edges if np.sum(x0 * y1 - x1 * y0) >= 0 else edges[::-1, [2, 3, 0, 1]]


def outlines_of(region: Region, scale: float) -> list[Outline]:
    """Outlines of a region's shapes [px], `scale` pixels to the mm; those of one kind unite.

    Each of shape (points, 2).
    """
    if region.polygon_mm:
        return [np.array(region.polygon_mm) * scale]
    if region.ellipse_mm:
        return [ellipse(e.centre, e.radii, e.turn_degrees, scale) for e in region.ellipse_mm]
    if region.band_mm:
        return [band(b.start, b.end, b.width, scale) for b in region.band_mm]
    return [one for p in region.pen_line_mm for one in pen_line(p.points, p.width, scale)]
