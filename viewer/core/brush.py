"""A soft brush: strokes as film on 16-bit masks, where it was laid and how hard it was pressed.

Within a stroke the film is the most that any place of the brush has laid, so that a wash doesn't
darken where the brush passes twice before it dries. Between two places of the pointer, position
and pressure run evenly, whatever the speed of the hand.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from glaze.physics.flow import MM_PER_INCH
from glaze.sheet.rect import Rect, squares
from glaze.sheet.units import FULL

from .squares import TILE, Corner, Mask, Squares, corner_of, packed, square_at

LEAST_WIDTH = 0.35
"""Width of the softest touch, as a share of the brush's: a guess at a round brush's point."""


@dataclass(frozen=True)
class Brush:
    """A round brush.

    size_mm : width of its mark at full pressure [mm]
    hardness : share of the radius that lays the whole film, 0 (soft to the middle) to 1
    damp : a damp brush takes film back instead of laying it
    takes : share of the film that a damp stroke takes, 0 to 1; half of it is a guess
    pressure_width, pressure_film : whether pressure changes the width, and the film
    """

    size_mm: float = 6.0
    hardness: float = 0.6
    damp: bool = False
    takes: float = 0.5
    pressure_width: bool = True
    pressure_film: bool = False

    def laid(self, before: Mask, film: Mask) -> Mask:
        """Film after a touch that lays so much, or takes back its share of it."""
        if not self.damp:
            return np.maximum(before, film)
        left = 1 - np.float32(self.takes / FULL) * film
        return np.rint(before * left).astype(np.uint16)

    def radius_px(self, dpi: float) -> float:
        """Radius at full pressure [px]; a mark is never finer than a pixel."""
        return max(self.size_mm * dpi / MM_PER_INCH / 2, 0.5)


@dataclass(frozen=True)
class PenPoint:
    """Where the pointer is: row and column [px, middles of pixels are whole], pressure 0 to 1."""

    row: float
    column: float
    pressure: float = 1.0


@dataclass(eq=False)
class Stroke:
    """One stroke of a brush on a mask, which changes as the stroke goes on.

    mask : film before and, as the stroke goes on, after; shape (rows, columns)
    reserve : where nothing can be laid, 65535 = fully stopped out, or None
    before : squares of the mask as they were, by row and column of their corner
    """

    mask: Mask
    brush: Brush
    dpi: float
    reserve: Mask | None = None
    before: dict[Corner, Mask] = field(default_factory=dict)
    rect: Rect | None = None
    _laid: dict[Corner, Mask] = field(default_factory=dict)
    _last: PenPoint | None = None

    def go_on(self, place: PenPoint) -> Rect:
        """Draw from the last place to this one; gives the rectangle where film may have changed."""
        start = self._last or place
        self._last = place
        part = self._reach(start, place)
        if part.empty:
            return part
        film = segment(start, place, self.brush, self.dpi, part)
        for tile in squares(part, TILE):
            corner = corner_of(tile)
            self._touch(corner)
            self._lay(corner, tile, film[tile.inside(part).slices])
        self.rect = part if self.rect is None else self.rect.union(part)
        return part

    def _reach(self, start: PenPoint, end: PenPoint) -> Rect:
        reach = int(np.ceil(self.brush.radius_px(self.dpi))) + 1
        rows = sorted((start.row, end.row))
        columns = sorted((start.column, end.column))
        high, wide = self.mask.shape
        return Rect(
            int(np.clip(np.floor(rows[0]) - reach, 0, high)),
            int(np.clip(np.floor(columns[0]) - reach, 0, wide)),
            int(np.clip(np.ceil(rows[1]) + reach + 1, 0, high)),
            int(np.clip(np.ceil(columns[1]) + reach + 1, 0, wide)),
        )

    def _touch(self, corner: Corner) -> None:
        """Keep a square as it was before the stroke came to it."""
        if corner not in self.before:
            square = square_at(corner, self.mask.shape)
            self.before[corner] = self.mask[square.slices].copy()
            self._laid[corner] = np.zeros(square.shape, np.uint16)

    def _lay(self, corner: Corner, tile: Rect, film: Mask) -> None:
        local = tile.inside(square_at(corner, self.mask.shape)).slices
        if self.reserve is not None:
            film = np.minimum(film, FULL - self.reserve[tile.slices])
        laid, before = self._laid[corner][local], self.before[corner][local]
        np.maximum(laid, film, out=laid)
        self.mask[tile.slices] = self.brush.laid(before, laid)

    def squares(self) -> tuple[Squares, Squares]:
        """The squares it touched, as they were and as they are now."""
        before = {corner: packed(values) for corner, values in self.before.items()}
        parts = ((corner, square_at(corner, self.mask.shape).slices) for corner in before)
        return before, {corner: packed(self.mask[part]) for corner, part in parts}


def segment(start: PenPoint, end: PenPoint, brush: Brush, dpi: float, rect: Rect) -> Mask:
    """Film of a brush drawn from one place to another, 65535 = whole, within a rectangle.

    The middle of the brush runs along the line; at each pixel counts the place on it that is
    nearest. Where pressure stays the same that is the most any place has laid there.
    """
    down = end.row - start.row
    right = end.column - start.column
    rows = (np.arange(rect.top, rect.bottom, dtype=np.float32) - np.float32(start.row))[:, None]
    columns = np.arange(rect.left, rect.right, dtype=np.float32) - np.float32(start.column)
    length2 = down * down + right * right
    if length2 > 1e-6:  # a thousandth of a pixel is no way to go
        along = rows * np.float32(down / length2) + columns * np.float32(right / length2)
        np.clip(along, 0, 1, out=along)
        away = np.hypot(rows - along * np.float32(down), columns - along * np.float32(right))
    else:
        along = np.ones((1, 1), np.float32)
        away = np.hypot(rows, columns)
    full, end_radius = _radius(start, brush, dpi), _radius(end, brush, dpi)
    radius = np.float32(full) + along * np.float32(end_radius - full)
    # 1 inside hardness x radius, eased down to 0 at the radius; never sharper than a pixel
    soft = np.maximum(radius * np.float32(1 - brush.hardness), np.float32(1))
    share = np.clip((radius + np.float32(0.5) - away) / soft, 0, 1)
    share *= share * (np.float32(3) - np.float32(2) * share)
    if brush.pressure_film:
        share *= np.float32(start.pressure) + along * np.float32(end.pressure - start.pressure)
    share *= np.float32(FULL)
    share += np.float32(0.5)
    return share.astype(np.uint16)


def _radius(place: PenPoint, brush: Brush, dpi: float) -> float:
    """Radius at a pressure [px]."""
    pressure = float(np.clip(place.pressure, 0, 1)) if brush.pressure_width else 1.0
    return brush.radius_px(dpi) * (LEAST_WIDTH + (1 - LEAST_WIDTH) * pressure)
