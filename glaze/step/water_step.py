"""A water lift: clean water laid over a region, left to loosen the ink, and blotted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from glaze.patch.layers import Layer, Watered
from glaze.patch.table import Table
from glaze.physics.flow import reach_px
from glaze.record.checks import Name, Text
from glaze.region.cover import Cover
from glaze.region.records import Where
from glaze.sheet.compiled_hand import between
from glaze.sheet.field import zero_field
from glaze.sheet.lift import Chemistry, water_lift
from glaze.sheet.memory import Key
from glaze.sheet.rect import Rect, squares, whole
from glaze.sheet.state import Sheet
from glaze.sheet.units import DOSE_UNIT, FILM_UNIT, FULL, Mask
from glaze.step.by_hand import reach_of_hand_px
from glaze.step.film import TILE, crept, film_by_hand, placed
from glaze.step.ground import Ground
from glaze.step.kind import Liquid, PaintedStep, Step, Waiting
from glaze.step.steadiness import Manner, Strokes
from glaze.step.timing import Minutes, water_minutes

DRIVEN, CREEPS_MM = 0.4, 0.9
"""Share of what is loose that water drives past its edge, and how far it creeps [mm]. Guesses."""

WATER_FILM_ML_PER_M2 = 100.0
"""What a brush of clean water lays; guess: as much as of a wash."""


class WaterLift(Step):
    """Clean water laid over a region, left to loosen the ink, and blotted."""

    key: ClassVar[str] = "water_lift"
    kind: ClassVar[str] = "water lift"
    liquid: ClassVar[Liquid] = "water"

    name: Name = Field(alias="water_lift")
    region: Where
    minutes: Waiting = 2.0
    hand: Manner | None = None
    note: Text | None = None

    @property
    def blotted_after_minutes(self) -> float:
        """Minutes to loosen."""
        return self.minutes

    def film_ml_per_m2_on(self, table: Table) -> float:
        """Film of water [ml/m2]."""
        return WATER_FILM_ML_PER_M2

    def settled(self, ground: Ground, cover: Cover) -> PaintedStep:
        """Water where its region is, and by hand the rim to which it drives what it loosens."""
        strokes = ground.strokes(self.name, self.hand, cover)
        chemistry = ground.chemistry()
        if strokes is None:
            key: Key = "water", cover.key
            return PaintedWaterLift(self, cover.mask, key, chemistry, self.minutes)
        key = "water", cover.key, ground.dpi, strokes
        laid = cover.mask, whole(ground.shape), cover.box
        wet, rim = ground.memory.made(
            key, lambda: _driven(strokes, ground, *laid), quick=cover.box.empty
        )
        return PaintedWaterLift(
            *(self, cover.mask, key, chemistry, self.minutes, wet, rim, strokes)
        )

    def layer(self, table: Table, share: float) -> Layer:
        """It as a layer of a patch."""
        return Watered(self.minutes, min(share, 1.0))

    def minutes_for(self, area_cm2: float, table: Table) -> Minutes:
        """Laying, loosening, blotting."""
        return water_minutes(area_cm2, WATER_FILM_ML_PER_M2, self.minutes, table.room)

    def amount_words(self, table: Table) -> tuple[str, str]:
        """Water, minutes and the blot."""
        return f"clean water, {self.minutes:g} min, blot", ""

    def reason(self, below: Sequence[str], met: bool) -> str:
        """While there is something to loosen."""
        return "While the ink is loose."


@dataclass(frozen=True, eq=False)
class PaintedWaterLift(PaintedStep):
    """Clean water over the sheet for some minutes.

    Attributes
    ----------
    wet : where it lies, FULL = wholly, shape (rows, columns); its coverage if None
    rim : share of what it loosens that it drives there as it creeps, FILM_UNIT = 1, same shape
    strokes : how the hand laid it; None if perfectly even
    """

    chemistry: Chemistry
    minutes: float
    wet: Mask | None = None
    rim: NDArray[np.int16] | None = None
    strokes: Strokes | None = None

    ARRAYS: ClassVar[tuple[str, ...]] = ("coverage", "wet", "rim")

    @property
    def film(self) -> Mask:
        """Where it is wet."""
        return self.coverage if self.wet is None else self.wet

    @property
    def touched(self) -> Mask:
        """Where it is wet, and its rim."""
        return self.film if self.rim is None else self.film | (self.rim != 0)

    @property
    def kept(self) -> Any:
        """Where it is wet, and its rim."""
        return None if self.wet is None else (self.wet, self.rim)

    def lay(self, table: Table, sheet: Sheet, rect: Rect, stirred_dpi: float | None = None) -> None:
        """Take what is loose off a tile, in place."""
        mask = self.film[rect.slices]
        rim = None if self.rim is None else self.rim[rect.slices]
        if mask.any() or (rim is not None and rim.any()):
            driven = None if rim is None else rim / FILM_UNIT
            water_lift(sheet, mask, self.minutes, self.chemistry, driven=driven)

    def on_patch(self, share: float) -> Self:
        """A patch of one pixel, so much of it wet."""
        mask = np.full((1, 1), min(round(share * FULL), FULL), np.uint16)
        return replace(self, coverage=mask, wet=None, rim=None)

    def again(self, ground: Ground, rect: Rect) -> Rect:
        """Its water and its rim where its coverage has changed, and as far as they look."""
        if self.strokes is None or self.wet is None or self.rim is None:
            return rect
        reach = reach_px(CREEPS_MM, ground.dpi) + reach_of_hand_px(ground.dpi)
        inner = rect.grown(reach, ground.shape)
        outer = inner.grown(reach, ground.shape)
        wet, rim = _driven(self.strokes, ground, self.coverage[outer.slices], outer)
        here = inner.inside(outer).slices
        self.wet[inner.slices], self.rim[inner.slices] = wet[here], rim[here]
        return inner


def _driven(
    strokes: Strokes, ground: Ground, cover: Mask, rect: Rect, box: Rect | None = None
) -> tuple[Mask, NDArray[np.int16]]:
    """Where water lies over a rectangle, and what comes and goes at its rim as it creeps on."""
    dpi, rim = ground.dpi, zero_field(rect.shape, np.int16)
    wet = film_by_hand(strokes, ground, cover, None, rect, box)
    film = placed(wet.film, wet.box, rect.shape)
    if wet.drying is None:
        return film, rim  # dry: a field of its own, which the pen may change
    # the box was grown for a hand that wanders, farther than water creeps
    crept_on = crept(wet.cover, CREEPS_MM, dpi)
    for square in squares(wet.box, TILE):
        here, there = square.inside(wet.box), square.slices
        gain = np.empty(square.shape, np.float32)
        nodes, _, *at = wet.drying.at(here)
        between(nodes, at[2], at[0], at[1], gain, gain.shape)
        beyond = crept_on[here.slices] / np.float32(DOSE_UNIT)
        beyond -= wet.cover[here.slices] / np.float32(FULL)
        rim[there] = np.rint(beyond * np.maximum(gain, 0.3) * np.float32(DRIVEN * FILM_UNIT))
        # a film thicker than its own takes no more than all
        film[there] = np.minimum(film[there], FILM_UNIT) * np.float32(FULL / FILM_UNIT)
    return film, rim
