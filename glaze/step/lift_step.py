"""A bleach lift: bleach laid over a region, blotted after some minutes, once or several times."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, ClassVar, Literal, Self

import numpy as np
from pydantic import Field, StrictBool

from glaze.materials.parts_told import parts_words
from glaze.patch.layers import Layer, Lifted
from glaze.patch.table import Table
from glaze.physics.flow import reach_px
from glaze.record.checks import Name, Text, Within, one_of
from glaze.region.cover import Cover
from glaze.region.grade import Share
from glaze.region.records import Where
from glaze.sheet import compiled_lift
from glaze.sheet.lift import Chemistry, Touch, Touches, touch_of
from glaze.sheet.rect import Rect, whole
from glaze.sheet.state import Sheet
from glaze.sheet.units import DOMED, DOSE_UNIT, FULL, Mask
from glaze.step.by_hand import reach_of_hand_px
from glaze.step.film import dose_by_hand
from glaze.step.ground import Ground
from glaze.step.kind import Film, Liquid, PaintedStep, Step, Waiting
from glaze.step.steadiness import Manner, Strokes
from glaze.step.timing import Minutes, lift_minutes


class Lift(Step):
    """Bleach laid over a region, blotted after some minutes, once or several times."""

    key: ClassVar[str] = "lift"
    kind: ClassVar[str] = "lift"
    liquid: ClassVar[Liquid] = "bleach"

    name: Name = Field(alias="lift")
    region: Where
    parts_water: Annotated[float, Within(0, 1000, "parts of water to 1 part of bleach")] = 0.0
    touches: Annotated[int, Within(1, 20, "touches")] = 1
    minutes: Waiting = 1.0
    tool: Annotated[Literal["brush", "dip pen", "swab"], one_of("brush", "dip pen", "swab")] = (
        "brush"
    )
    film_ml_per_m2: Film | None = None
    rinse: StrictBool = False
    hand: Manner | None = None
    note: Text | None = None

    @property
    def times(self) -> int:
        """Touches."""
        return self.touches

    @property
    def laid_with(self) -> str:
        """Its tool."""
        return self.tool

    @property
    def bleach_parts_water(self) -> float:
        """How far its bleach is let down."""
        return self.parts_water

    @property
    def blotted_after_minutes(self) -> float:
        """Minutes of a touch."""
        return self.minutes

    @property
    def rinsed_at_once(self) -> bool:
        """As the scene says."""
        return self.rinse

    @property
    def leaves_bleach(self) -> bool:
        """It does, rinsed or not."""
        return True

    def as_touches(self) -> Touches:
        """How its bleach is laid."""
        return Touches(
            *(self.parts_water, self.touches, self.minutes),
            *(self.tool, self.film_ml_per_m2, self.rinse),
        )

    def film_ml_per_m2_on(self, table: Table) -> float:
        """Film of its tool [ml/m2]."""
        touch = touch_of(self.as_touches(), table.bleach, table.room, table.paper)
        return touch.film_l_per_m2 * 1000.0

    def settled(self, ground: Ground, cover: Cover) -> PaintedLift:
        """Its touches, crept past their mark."""
        table, strokes = ground.table, ground.strokes(self.name, self.hand, cover)
        by_hand = None if strokes is None else (strokes, ground.tooth_key)
        key = "dose", cover.key, table.paper.creep_mm, ground.dpi, by_hand
        sheet = whole(ground.shape)
        dose = ground.memory.made(
            key,
            lambda: dose_by_hand(strokes, ground, cover.mask, sheet, cover.box),
            quick=cover.box.empty,
        )
        touch = touch_of(self.as_touches(), table.bleach, table.room, table.paper)
        chemistry = ground.chemistry(self.parts_water)
        return PaintedLift(self, cover.mask, key, dose, touch, chemistry, strokes)

    def layer(self, table: Table, share: float) -> Layer:
        """It as a layer of a patch."""
        return Lifted(self.as_touches(), min(share, 1.0))

    def minutes_for(self, area_cm2: float, table: Table) -> Minutes:
        """Its touches, each blotted, then perhaps a rinse; the blotted film dries."""
        film = self.film_ml_per_m2_on(table)
        return lift_minutes(area_cm2, film, self.touches, self.minutes, self.rinse, table.room)

    def amount_words(self, table: Table) -> tuple[str, str]:
        """Parts of bleach, touches and tool."""
        parts = parts_words(self.parts_water, of="bleach")
        touches = "one touch" if self.touches == 1 else f"{self.touches} touches"
        return parts, f"{touches}, {self.tool}"

    def reason(self, below: Sequence[str], met: bool) -> str:
        """Bone-dry ink below, nothing over it."""
        if not below:
            return "Bleach on bare paper; nothing over it until it is rinsed."
        return "Only once all below it is bone dry; nothing over it until it is rinsed."


@dataclass(frozen=True, eq=False)
class PaintedLift(PaintedStep):
    """Touches of bleach over the whole sheet, as uint16 fields of shape (rows, columns).

    Attributes
    ----------
    dose : share of the full dose after creeping, DOSE_UNIT = all of it
    strokes : how the hand laid it; None if perfectly even
    """

    dose: Mask
    touch: Touch
    chemistry: Chemistry
    strokes: Strokes | None = None

    ARRAYS: ClassVar[tuple[str, ...]] = ("coverage", "dose")
    UNIT: ClassVar[int] = DOSE_UNIT

    @property
    def film(self) -> Mask:
        """Dose."""
        return self.dose

    @property
    def kept(self) -> Mask:
        """Dose."""
        return self.dose

    @property
    def spread(self) -> Mask:
        """Bleach wets as far as it creeps."""
        full = np.minimum(self.dose, DOSE_UNIT) * np.float32(DOMED)
        return full.astype(np.uint16)

    def lay(self, table: Table, sheet: Sheet, rect: Rect, stirred_dpi: float | None = None) -> None:
        """Bleach a tile, in place."""
        dose = self.dose[rect.slices]
        if dose.any():
            compiled_lift.lift(sheet, dose, self._domed, self.chemistry)

    @property
    def _domed(self) -> Touch:
        """The touch whose full dose is the field's 65535."""
        touch = self.touch
        mol, film = touch.dose_mol_per_m2 * DOMED, touch.film_l_per_m2 * DOMED
        return replace(touch, dose_mol_per_m2=mol, film_l_per_m2=film)

    def on_patch(self, share: float) -> Self:
        """A patch of one pixel with so much of its dose."""
        dose = np.full((1, 1), min(round(share * DOSE_UNIT), FULL), np.uint16)
        return replace(self, coverage=np.full((1, 1), FULL, np.uint16), dose=dose)

    def again(self, ground: Ground, rect: Rect) -> Rect:
        """Its dose where its coverage has changed, and as far as it creeps."""
        reach = reach_px(ground.table.paper.creep_mm, ground.dpi)
        reach += reach_of_hand_px(ground.dpi) if self.strokes else 0
        inner = rect.grown(reach, ground.shape)
        outer = inner.grown(reach, ground.shape)
        dose = dose_by_hand(self.strokes, ground, self.coverage[outer.slices], outer)
        self.dose[inner.slices] = dose[inner.inside(outer).slices]
        return inner

    def under_pen(self, mask: Mask, graded: Share | None) -> tuple[Mask, Mask] | None:
        """Its dose as the pen goes, before it creeps."""
        return (mask * np.float32(1 / DOMED)).astype(np.uint16), self.dose
