"""A plot drawn with lines on a page: axes, ticks, curves with their names beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from glaze.charts.paper.marks import HAIR, HAIRLINE_PT, INK, Colour, Line, Point
from glaze.charts.paper.page import FINE_PT, Page


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
    colour: Colour = INK,
    name: str = "",
) -> None:
    """A curve through points in the axes' own units.

    Both of shape (points,), [-] or what the axes are in.
    """
    pairs = zip(np.asarray(across, float), np.asarray(upward, float), strict=True)
    page.line([frame.at(x, y) for x, y in pairs], points_wide, colour, dotted=dotted, name=name)


def names_beside(
    page: Page, frame: Frame, ends: Sequence[tuple[float, str, Colour | None]], gap: float = 4.4
) -> None:
    """Names at the right of curves, by the height of their ends, moved apart where they crowd.

    ends : height of each, its name, and the colour of a chip before the name
    """
    placed: list[tuple[float, float]] = []
    x = frame.x + frame.width
    for height, name, colour in sorted(ends, key=lambda end: -end[0]):
        end = frame.at(frame.across[1], height)[1]
        y = max(end, placed[-1][0] + gap) if placed else end
        placed.append((y, end))
        page.line([(x + 0.5, end), (x + 3.5, y)], HAIRLINE_PT, HAIR)
        page.rect(x + 4.0, y - 1.6, 3.2, 3.2, colour, Line((), HAIRLINE_PT, HAIR))
        page.text(x + 8.4, y + 1.0, name, 8)


def _figure(value: float) -> str:
    return f"{value:g}"
