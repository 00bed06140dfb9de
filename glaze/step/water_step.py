"""A water lift: clean water laid over a region, left to loosen the ink, and blotted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar, Self

import numpy as np
from pydantic import Field

from glaze.patch.layers import Layer, Watered
from glaze.patch.table import Table
from glaze.record.checks import Name, Text
from glaze.region.cover import Cover
from glaze.region.records import Where
from glaze.sheet.lift import Chemistry, water_lift
from glaze.sheet.rect import Rect
from glaze.sheet.state import Sheet
from glaze.sheet.units import FULL
from glaze.step.kind import Ground, Liquid, PaintedStep, Step, Waiting
from glaze.step.timing import Minutes, water_minutes

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
    note: Text | None = None

    @property
    def blotted_after_minutes(self) -> float:
        """Minutes to loosen."""
        return self.minutes

    def film_ml_per_m2_on(self, table: Table) -> float:
        """Film of water [ml/m2]."""
        return WATER_FILM_ML_PER_M2

    def settled(self, ground: Ground, cover: Cover) -> PaintedStep:
        """Water where its region is."""
        key = "water", cover.key
        return PaintedWaterLift(self, cover.mask, key, ground.chemistry(), self.minutes)

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
    """Clean water over the sheet for some minutes."""

    chemistry: Chemistry
    minutes: float

    def lay(self, table: Table, sheet: Sheet, rect: Rect, stirred_dpi: float | None = None) -> None:
        """Take what is loose off a tile, in place."""
        mask = self.coverage[rect.slices]
        if mask.any():
            water_lift(sheet, mask, self.minutes, self.chemistry)

    def on_patch(self, share: float) -> Self:
        """A patch of one pixel, so much of it wet."""
        return replace(self, coverage=np.full((1, 1), min(round(share * FULL), FULL), np.uint16))
