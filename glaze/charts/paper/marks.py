"""Marks on a page: the few things a sheet is drawn with, in millimetres, and how wide text is.

A page is a list of marks; `pdf`, `svg` and `png` beside this module each know how to put them down,
so that one drawing serves all three. x runs to the right, y down, both from the upper left corner
of the sheet.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.charts.paper.type import font_file
from glaze.physics.flow import MM_PER_INCH

Colour = tuple[int, int, int]
Point = tuple[float, float]

INK: Colour = (64, 58, 52)
"""The one dark grey of all type and frames: 11 to 1 against white."""
HAIR: Colour = (150, 144, 138)
"""Mid grey of hairlines."""
WHITE: Colour = (255, 255, 255)

HAIRLINE_PT = 0.25
MM_PER_PT = MM_PER_INCH / 72
THIN_SPACE = "\u2009"
KEPT = "\u00a0"
"""Between words that stay on one line; printed as a space."""
THIN_EM = 0.2
DIGIT_EM = 0.615
"""Width of a cell of tabular digits; the typeface's own run from 0.40 (the 1) to 0.65 (the 0)."""

FRAMES = {"measured": (0.9, False), "estimated": (0.3, False), "assumed": (0.7, True)}
"""Width [pt] of a swatch's frame and whether it is dotted: solid, thin, dotted."""


@dataclass(frozen=True)
class Line:
    """A line through points, drawn only.

    dotted : round dots along it. dash : instead of dots, strokes so many of its widths long
    """

    points: tuple[Point, ...]
    points_wide: float = HAIRLINE_PT
    colour: Colour = HAIR
    dotted: bool = False
    name: str = ""
    dash: float = 0.0

    @property
    def dashes_mm(self) -> tuple[float, float]:
        """Length of a stroke between its round ends, and of the gap after it [mm]."""
        wide = self.points_wide * MM_PER_PT
        return self.dash * wide, 3.0 * wide


@dataclass(frozen=True)
class Shape:
    """A closed polygon, filled, framed or both."""

    points: tuple[Point, ...]
    fill: Colour | None = None
    frame: Line | None = None
    name: str = ""


@dataclass(frozen=True)
class Text:
    """A line of text.

    x, y : where it stands [mm], y is the base line
    align : left, centre or right of x
    turn_degrees : clockwise about (x, y)
    tabular : digits in cells of one width, for columns of figures
    """

    x: float
    y: float
    text: str
    points: float = 9.0
    face: str = "Regular"
    align: str = "left"
    colour: Colour = INK
    turn_degrees: float = 0.0
    tabular: bool = False
    name: str = ""

    @property
    def left(self) -> float:
        """Shift [mm] from x to where the text starts."""
        wide = text_mm(self.text, self.points, self.face, tabular=self.tabular)
        return {"left": 0.0, "centre": -wide / 2, "right": -wide}[self.align]

    @property
    def runs(self) -> Iterator[tuple[float, str]]:
        """Pieces to set as they are, each with its distance [mm] from the text's start."""
        em = self.points * MM_PER_PT
        for at_em, piece in _runs(self.text, self.face, self.tabular):
            yield at_em * em, piece


@dataclass(frozen=True, eq=False)
class Image:
    """A picture, 8-bit sRGB, shape (rows, columns, 3), in a rectangle [mm]."""

    x: float
    y: float
    width: float
    height: float
    rgb8: NDArray[np.uint8]
    name: str = ""


Mark = Line | Shape | Text | Image


def text_mm(text: str, points: float, face: str = "Regular", *, tabular: bool = False) -> float:
    """Width of a line of text [mm]; without kerning, as all three writers set it."""
    return _em(text, face, tabular) * points * MM_PER_PT


def _runs(text: str, face: str, tabular: bool) -> Iterator[tuple[float, str]]:
    """Pieces of a text and where each starts [em]: cut at thin spaces and at tabular digits."""
    at, piece = 0.0, ""
    for letter in text:
        digit = tabular and letter.isdigit()
        if not digit and letter != THIN_SPACE:
            piece += letter
            continue
        if piece:
            yield at, piece
            at, piece = at + _em(piece, face), ""
        if digit:
            # a tabular digit stands in the middle of its cell
            yield at + (DIGIT_EM - _em(letter, face)) / 2, letter
        at += DIGIT_EM if digit else THIN_EM
    if piece:
        yield at, piece


class _Advances(dict[str, float]):
    """Width of each letter [em]; one that the face lacks is as wide as most."""

    def __missing__(self, letter: str) -> float:
        return 0.6


@cache
def _advances(face: str, tabular: bool) -> _Advances:
    """Width of each letter of a face [em], its digits alike or as they are."""
    from fontTools.ttLib import TTFont

    with TTFont(font_file(face)) as font:
        em, widths = font["head"].unitsPerEm, font["hmtx"]
        found = {chr(code): widths[name][0] / em for code, name in font.getBestCmap().items()}
    if tabular:
        found |= dict.fromkeys(filter(str.isdigit, found), DIGIT_EM)
    return _Advances({**found, THIN_SPACE: THIN_EM})


def _em(text: str, face: str, tabular: bool = False) -> float:
    return sum(map(_advances(face, tabular).__getitem__, text))


def frame_of(standing: str) -> Line:
    """Frame of a swatch: measured solid, estimated thin, assumed dotted."""
    if standing not in FRAMES:
        raise ValueError(f"standing is measured, estimated or assumed, not {standing}")
    points_wide, dotted = FRAMES[standing]
    return Line((), points_wide, INK, dotted)


def box(x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    """Corners of a rectangle from its upper left one."""
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height)


def circle(centre: Point, across: float) -> tuple[Point, ...]:
    """A circle as a polygon of 72 corners."""
    turns = [math.tau * n / 72 for n in range(72)]
    r = across / 2
    return tuple((centre[0] + r * math.cos(t), centre[1] + r * math.sin(t)) for t in turns)


def segment(
    centre: Point, inner: float, outer: float, start_degrees: float, end_degrees: float
) -> tuple[Point, ...]:
    """Outline of a segment of a ring; degrees run clockwise from the top. inner 0: a wedge.

    Arcs are cut every half degree: within 0.001 mm of round at a radius of 100 mm.
    """
    count = max(2, math.ceil(abs(end_degrees - start_degrees) / 0.5) + 1)
    turns = np.radians(np.linspace(start_degrees, end_degrees, count))
    there = [(centre[0] + outer * math.sin(t), centre[1] - outer * math.cos(t)) for t in turns]
    back = [(centre[0] + inner * math.sin(t), centre[1] - inner * math.cos(t)) for t in turns[::-1]]
    return tuple(there + (back if inner > 0 else [centre]))


def wrapped(text: str, width_mm: float, points: float, face: str = "Regular") -> list[str]:
    """A paragraph as lines that fit a width; a word longer than that stands alone.

    What KEPT joins stays on one line, and so does a mark that French sets a space before.
    """
    lines: list[str] = []
    for word in re.split(r" (?![:;!?»](?: |$))", text):
        longer = (f"{lines[-1]} {word}" if lines else word).replace(KEPT, " ")
        if lines and text_mm(longer, points, face) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return [line.replace(KEPT, " ") for line in lines]


def bounds(mark: Mark) -> tuple[float, float, float, float]:
    """Left, top, right and bottom [mm] of what a mark may touch, its frame included."""
    if isinstance(mark, Image):
        return mark.x, mark.y, mark.x + mark.width, mark.y + mark.height
    if isinstance(mark, Text):
        wide = text_mm(mark.text, mark.points, mark.face, tabular=mark.tabular)
        high = mark.points * MM_PER_PT
        if mark.turn_degrees:
            reach = wide + high
            return mark.x - reach, mark.y - reach, mark.x + reach, mark.y + reach
        left = mark.x + mark.left
        return left, mark.y - high, left + wide, mark.y + 0.4 * high
    points: Any = np.array(mark.points)
    (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
    return float(left) - 1, float(top) - 1, float(right) + 1, float(bottom) + 1
