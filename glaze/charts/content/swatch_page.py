"""A page of the printed swatch sheet: its places, its corner marks and its code.

Drawing and reading share it. All in millimetres from the upper left corner of the page.
"""

from __future__ import annotations

from dataclasses import dataclass
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from glaze.charts.paper.page import MARGIN_MM, SIZES_MM

FIELD_TOP_MM = 46.0
FIELD_BOTTOM_MM = {"A4": 234.0, "Letter": 216.5}
GAP_MM = 3.6
"""Bare paper between patches: the light on the sheet is read there."""

MARK_MM, HOLE_MM, DISC_MM = 8.0, 5.2, 2.8
"""Corner mark: a ring, its hole, and the disc in it (diameters)."""

CODE_MAGIC = 0b1110
CODE_BITS = 24
CELL_MM, CELL_PITCH_MM = 2.6, 4.0

DOT_MM = 7.0
"""Printed place of a bleach dot (diameter); its middle third is read."""


@dataclass(frozen=True)
class PrintedPlace:
    """A patch on the sheet.

    kind : "rung", "secondary", "over", "bare", "bleached" (bleach on bare paper), "grey card" or
        "trial" (a dot of the lift experiment)
    name : unlike any other on the sheet: "Blue 1+4"
    label : what is printed under it
    layers : washes to lay, the first first, as recipes by volume
    inks : names of the inks in it
    parts : of water to one part of ink, in rungs and trials; of the black where it goes over a hue
    x, y, width, height : [mm]
    dot : middle of the place for a bleach dot [mm], None if there is none
    bleach : its parts of water and its minutes, where the sheet says so
    """

    kind: str
    name: str
    label: str
    layers: tuple[str, ...]
    inks: tuple[str, ...]
    parts: float
    x: float
    y: float
    width: float
    height: float
    dot: tuple[float, float] | None = None
    bleach: tuple[float, float] | None = None

    @property
    def read_box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom [mm] of what is read: clear of the frame and of the dot."""
        right, bottom = self.x + self.width - 2.5, self.y + self.height - 2.5
        if self.dot and self.bleach:  # it stands below, in a narrow patch
            bottom = self.dot[1] - DOT_MM / 2 - 2.0
        elif self.dot:
            right = self.dot[0] - DOT_MM / 2 - 2.0
        return self.x + 2.5, self.y + 2.5, right, bottom


@dataclass(frozen=True)
class SwatchPage:
    """One page of a swatch sheet.

    names : the inks of the whole sheet, all pages; they make the code
    inks : the inks of this page
    number, pages : this page and how many there are
    """

    size: str
    names: tuple[str, ...]
    inks: tuple[str, ...]
    number: int
    pages: int
    places: tuple[PrintedPlace, ...]

    @property
    def marks(self) -> NDArray[np.float64]:
        """Middles of the corner marks [mm], shape (4, 2), clockwise from the upper left."""
        left, right = MARGIN_MM + MARK_MM / 2, SIZES_MM[self.size][0] - MARGIN_MM - MARK_MM / 2
        top, bottom = FIELD_TOP_MM + MARK_MM / 2, FIELD_BOTTOM_MM[self.size] - MARK_MM / 2
        return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])

    @property
    def cells(self) -> NDArray[np.float64]:
        """Middles of the cells of the code [mm], shape (24, 2)."""
        wide = SIZES_MM[self.size][0] - 2 * MARGIN_MM
        first = MARGIN_MM + wide / 2 - CELL_PITCH_MM * (CODE_BITS - 1) / 2
        x = first + CELL_PITCH_MM * np.arange(CODE_BITS)
        return np.column_stack([x, np.full(CODE_BITS, FIELD_TOP_MM + MARK_MM / 2)])

    @property
    def code(self) -> tuple[int, ...]:
        """Bits of the code: magic, page, the inks and size, and a sum over these."""
        text = "|".join((self.size, *self.names))
        body = (CODE_MAGIC << 16) | (self.number << 12) | (crc32(text.encode()) & 0xFFF)
        return bits_of(body << 4 | check_sum(body))

    def bare_points(self) -> NDArray[np.float64]:
        """Places between patches that stay bare paper [mm], shape (points, 2)."""
        found = []
        for place in self.places:
            for y in np.linspace(place.y + 2, place.y + place.height - 2, 5):
                found.append((place.x + place.width + GAP_MM / 2, float(y)))
        first = min(place.x for place in self.places)
        for row in sorted({place.y for place in self.places}):
            found.append((first - GAP_MM / 2, row + 6.0))
        return np.array(found)


def bits_of(code: int) -> tuple[int, ...]:
    """A code as its bits, the highest first."""
    return tuple(code >> shift & 1 for shift in range(CODE_BITS - 1, -1, -1))


def check_sum(body: int) -> int:
    """Four bits that tell whether the other twenty were read rightly."""
    return crc32(body.to_bytes(3, "big")) & 0xF
