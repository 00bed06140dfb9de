"""A rinse: blot, clean water, blot, which takes away the bleach that is still active."""

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
from glaze.region.records import SHEET, Where
from glaze.sheet.compiled_rinse import rinse
from glaze.sheet.lift import Chemistry
from glaze.sheet.rect import Rect
from glaze.sheet.state import Sheet
from glaze.sheet.units import FULL
from glaze.step.ground import Ground
from glaze.step.kind import Liquid, PaintedStep, Step
from glaze.step.timing import Minutes, water_minutes
from glaze.step.water_step import WATER_FILM_ML_PER_M2


class Rinse(Step):
    """Blot, clean water, blot: takes away the bleach that is still active."""

    key: ClassVar[str] = "rinse"
    kind: ClassVar[str] = "rinse"
    liquid: ClassVar[Liquid] = "water"
    everywhere: ClassVar[bool] = True

    name: Name = Field(alias="rinse")
    region: Where = SHEET
    note: Text | None = None

    def film_ml_per_m2_on(self, table: Table) -> float:
        """Film of water [ml/m2]."""
        return WATER_FILM_ML_PER_M2

    def settled(self, ground: Ground, cover: Cover) -> PaintedStep:
        """Water where its region is."""
        return PaintedRinse(self, cover.mask, ("rinse", cover.key), ground.chemistry())

    def layer(self, table: Table, share: float) -> Layer:
        """It as a layer of a patch."""
        return Watered(None, min(share, 1.0))

    def minutes_for(self, area_cm2: float, table: Table) -> Minutes:
        """Blotting, water, blotting."""
        return water_minutes(area_cm2, WATER_FILM_ML_PER_M2, 0.0, table.room)

    def amount_words(self, table: Table) -> tuple[str, str]:
        """What is done."""
        return "blot, clean water, blot", ""

    def reason(self, below: Sequence[str], met: bool) -> str:
        """What it is for."""
        return "Takes away active bleach."


@dataclass(frozen=True, eq=False)
class PaintedRinse(PaintedStep):
    """A rinse over the sheet."""

    chemistry: Chemistry

    def lay(self, table: Table, sheet: Sheet, rect: Rect, stirred_dpi: float | None = None) -> None:
        """Rinse a tile, in place."""
        rinse(sheet, self.coverage[rect.slices], self.chemistry)

    def on_patch(self, share: float) -> Self:
        """A patch of one pixel, so much of it rinsed."""
        return replace(self, coverage=np.full((1, 1), min(round(share * FULL), FULL), np.uint16))
