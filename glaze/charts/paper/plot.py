"""A plot drawn with lines on a page: axes, ticks, curves with their names beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.charts.paper.marks import INK, Point, text_mm
from glaze.charts.paper.page import FINE_PT, Page

Array = NDArray[np.float64]

APART = 3.0
"""A curve should lie as far from others as a third of the room over its name (guess)."""


@dataclass(frozen=True)
class Frame:
    """Where a plot lies [mm], and the ranges of its axes in their own units."""

    x: float
    y: float
    width: float
    height: float
    across: tuple[float, float]
    upward: tuple[float, float]

    def at(self, value: float, height: float) -> Point:
        """Place on the page of a point of the plot."""
        a, b = self.across
        c, d = self.upward
        right = (value - a) / (b - a) * self.width
        up = (height - c) / (d - c) * self.height
        return self.x + right, self.y + self.height - up


def grid(
    page: Page,
    frame: Frame,
    ticks: Sequence[float],
    levels: Sequence[float],
    tick_words: Sequence[str] = (),
    level_words: Sequence[str] = (),
) -> None:
    """Hairlines at the levels, ticks below, figures at both."""
    for level, word in zip(levels, level_words or map(_figure, levels), strict=True):
        start, end = frame.at(frame.across[0], level), frame.at(frame.across[1], level)
        page.line([start, end])
        page.text(start[0] - 1.5, start[1] + 0.9, word, FINE_PT, align="right")
    for tick, word in zip(ticks, tick_words or map(_figure, ticks), strict=True):
        x, y = frame.at(tick, frame.upward[0])
        page.line([(x, y), (x, y + 1.2)])
        page.text(x, y + 4.0, word, FINE_PT, align="centre")


def curve(
    page: Page,
    frame: Frame,
    across: ArrayLike,
    upward: ArrayLike,
    points_wide: float = 0.8,
    dotted: bool = False,
    dash: float = 0.0,
    name: str = "",
) -> None:
    """A curve through points in the axes' own units; dotted, or in strokes `dash` widths long.

    Both of shape (points,), [-] or what the axes are in.
    """
    pairs = zip(np.asarray(across, float), np.asarray(upward, float), strict=True)
    points = [frame.at(x, y) for x, y in pairs]
    page.line(points, points_wide, INK, dotted=dotted, dash=dash, name=name)


def names_on(page: Page, frame: Frame, across: ArrayLike, curves: Mapping[str, ArrayLike]) -> None:
    """The name of each curve on it, where it stands most apart from the others and their names.

    across, and each curve by its name : shape (points,), [-] or what the axes are in
    """
    at = np.asarray(across, float)
    heights = {name: np.asarray(curve, float) for name, curve in curves.items()}
    taken: list[tuple[float, float, float]] = []
    for name, own in heights.items():
        others = np.array([curve for other, curve in heights.items() if other != name])
        wide = text_mm(name, FINE_PT) + 2.0
        places = [
            (
                _room(own, np.array(others), part, above, frame),
                *_stands(frame, at, own, part, above),
            )
            for above in (True, False)
            for part in _stretches(at.size, wide / frame.width)
        ]
        free = [
            place
            for place in places
            if all(
                abs(x - place[1]) > (w + wide) / 2 or abs(y - place[2]) > 4.0 for x, y, w in taken
            )
        ]
        _, x, y = max(free or places)
        taken.append((x, y, wide))
        page.text(x, y, name, FINE_PT, align="centre")


def _stretches(points: int, share: float) -> Iterator[slice]:
    """All runs of points that are such a share of them long."""
    half = max(1, round(share / 2 * (points - 1)))
    return (slice(n - half, n + half + 1) for n in range(half, points - half))


def _room(own: Array, others: Array, part: slice, above: bool, frame: Frame) -> float:
    """Height that is free beside a curve along a stretch, up to other curves and the border."""
    sign = 1.0 if above else -1.0
    edge = (sign * own[part]).max()
    past = sign * others[:, part] - edge
    # a curve that comes from the other side lies across the name
    if any(row.max() > 0 >= row.min() for row in past):
        return 0.0
    border = sign * frame.upward[1 if above else 0] - edge
    room = float(min(border, *(row.min() for row in past if row.min() > 0), math.inf))
    # beside two curves that nearly meet a name could be either's
    return min(room, APART * float(np.abs(others[:, part] - own[part]).min()))


def _stands(frame: Frame, at: Array, own: Array, part: slice, above: bool) -> Point:
    """The base line's middle for a name over or under a stretch of a curve [mm]."""
    edge = own[part].max() if above else own[part].min()
    x, y = frame.at(float(at[part].mean()), float(edge))
    return x, y - 1.4 if above else y + 3.4


def _figure(value: float) -> str:
    return f"{value:g}"
