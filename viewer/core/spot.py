"""What lies at one place of the sheet: wash by wash, its colour, and what bleach would leave."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.materials.colour_words import colour_words
from glaze.materials.munsell import munsell_from_xyz, munsell_notation
from glaze.painting.settle import Painting
from glaze.patch.band import Band
from glaze.patch.layers import Layer, Lifted
from glaze.patch.patches import lab, linear_rgb, value, xyz
from glaze.patch.table import Table
from glaze.patch.trust import bands_of
from glaze.picture.file import picture_from_linear
from glaze.planning.lift.ghost import ghost_words
from glaze.planning.sheet.step_bands import layers_at
from glaze.sheet import compiled_lift
from glaze.sheet.lift import Touches, chemistry_of, touch_of
from glaze.sheet.rect import whole
from glaze.sheet.state import Sheet, bare_sheet
from glaze.sheet.units import FULL
from glaze.step.kind import Liquid

from .saying import say

LEAST_SHARE = 0.005
"""Less film than that isn't told."""


@dataclass(frozen=True)
class Lying:
    """A step at this place.

    liquid : what it was laid with
    share : of its full film or dose that lies here, 0 to 2
    value : Munsell value of the sheet here once the step is dry
    """

    name: str
    liquid: Liquid
    share: float
    value: float

    @property
    def words(self) -> str:
        """The step in a line."""
        filled = {"name": self.name, "value": f"{self.value:.1f}", "share": f"{self.share:.0%}"}
        return say("here.step" if 0.97 < self.share < 1.03 else "here.step_share", **filled)


@dataclass(frozen=True)
class Spot:
    """A spot of the sheet.

    steps : what was laid here, in painting order
    notation, words : its colour after Munsell, and in plain words
    paper : value of the bare paper
    bleached, bleached_words : what the bleach in the dish would leave here, as a lift chart says it
    bleached_value : value then
    lab : CIELAB under the scene's light, for those who measure
    table, layers : on which it lies, and what lies here with the bleach in the dish on top
    """

    x_mm: float
    y_mm: float
    steps: tuple[Lying, ...]
    value: float
    notation: str
    words: str
    paper: float
    bleached: str
    bleached_words: str
    bleached_value: float
    lab: tuple[float, float, float]
    rgb8: tuple[int, int, int]
    bleached_rgb8: tuple[int, int, int]
    table: Table
    layers: tuple[Layer, ...]

    @cached_property
    def bands(self) -> tuple[Band, Band]:
        """Bands of its value and of what bleach would leave: what the figures leave open.

        Laid in hundreds of cases when they are first asked for: not while the pointer moves.
        """
        ((now, after),) = bands_of(self.table, [self.layers], last=2)
        return _about(now, self.value), _about(after, self.bleached_value)


def read_at(painting: Painting, touches: Touches, row: int, column: int) -> Spot:
    """What lies at a pixel, and what the bleach of `touches` would leave there."""
    here = painting.taken((np.array([[row]]), np.array([[column]])))
    table = here.table
    sheet = bare_sheet(1, 1, len(table.dyes))
    paper, bare = float(value(table, sheet)[0, 0]), lab(table, sheet)[0, 0]
    lying = []
    for layer in here.layers:
        share = float(layer.film.flat[0]) / layer.UNIT
        if share < LEAST_SHARE:
            continue
        layer.lay(table, sheet, whole(sheet.shape))
        reached = float(value(table, sheet)[0, 0])
        lying.append(Lying(layer.name, layer.step.liquid, share, reached))
    colour = xyz(table, sheet)[0, 0]
    notation, words = _named(colour, table.light.white_xyz)
    left = _bleached(here, sheet, touches)
    seen, reached = (float(value(table, patch)[0, 0]) for patch in (sheet, left))
    before, ghost = lab(table, sheet)[0, 0], lab(table, left)[0, 0]
    x_mm, y_mm = painting.middle_mm(row, column)
    return Spot(
        x_mm=x_mm,
        y_mm=y_mm,
        steps=tuple(lying),
        value=seen,
        notation=notation,
        words=words,
        paper=paper,
        bleached=str(munsell_notation(xyz(table, left)[0, 0], table.light.white_xyz)),
        bleached_words=ghost_words(ghost, before, bare),
        bleached_value=reached,
        lab=(float(before[0]), float(before[1]), float(before[2])),
        rgb8=_rgb8(linear_rgb(table, sheet)),
        bleached_rgb8=_rgb8(linear_rgb(table, left)),
        table=table,
        layers=(*layers_at(painting, (row, column), even=False), Lifted(touches)),
    )


def _named(colour: NDArray[np.float64], white: NDArray[np.float64]) -> tuple[str, str]:
    """Munsell notation of a colour and its name in words."""
    found = munsell_from_xyz(colour, white)
    words = colour_words(float(found.hue), float(found.value), float(found.chroma))
    return str(munsell_notation(colour, white)), words


def _bleached(painting: Painting, sheet: Sheet, touches: Touches) -> Sheet:
    """The place after bleach."""
    table = painting.table
    ph = table.bleach.diluted_ph(touches.parts_water)
    chemistry = chemistry_of(table.dyes, table.paper, table.room.temperature_c, ph)
    touch = touch_of(touches, table.bleach, table.room, table.paper)
    after = sheet.copy()
    compiled_lift.lift(after, np.full(sheet.shape, FULL, np.uint16), touch, chemistry)
    return after


def _about(band: Band, best: float) -> Band:
    """The same band about a value read from the sheet itself, which is kept in 16 bits."""
    by = best - band.best
    low, high = max(float(band.low) + by, 0.0), float(band.high) + by
    return replace(band, low=low, best=best, high=high)


def _rgb8(linear: NDArray[np.float64]) -> tuple[int, int, int]:
    r, g, b = picture_from_linear(np.asarray(linear), 100).rgb[0, 0]
    return int(r), int(g), int(b)
