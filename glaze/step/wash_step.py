"""A wash: ink laid over a region with a wet brush, and left to dry."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Annotated, Any, ClassVar, Literal, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from glaze.materials.mix import Mix
from glaze.patch.layers import Laid, Layer
from glaze.patch.table import Table
from glaze.record.checks import Name, Text, Within, one_of
from glaze.region.cover import Cover
from glaze.region.grade import Share
from glaze.region.records import Graded, Where
from glaze.sheet import compiled_lift, compiled_wash
from glaze.sheet.field import zero_field
from glaze.sheet.lift import Chemistry, Touch, touch_of_wash
from glaze.sheet.memory import Key
from glaze.sheet.rect import Rect, whole
from glaze.sheet.state import Field as Floats
from glaze.sheet.state import Sheet
from glaze.sheet.stir import stir
from glaze.sheet.units import FILM_UNIT, FULL, Mask
from glaze.sheet.wash import LaidWash, work_out
from glaze.step.by_hand import reach_of_hand_px
from glaze.step.film import RIM_GAIN, dried_by_hand, rim_reach_px
from glaze.step.ground import Ground
from glaze.step.kind import COVERED, Film, Liquid, PaintedStep, Step, Tilt
from glaze.step.steadiness import CARRIED, Carried, Manner, Strokes
from glaze.step.timing import Minutes, wash_minutes

THIN = 0.02
"""A graded wash is taken as ended where less than this of its film is left."""

_PER_FILM = np.float32(1 / FILM_UNIT)


class Wash(Step):
    """Ink laid over a region with a wet brush, and left to dry."""

    key: ClassVar[str] = "wash"
    kind: ClassVar[str] = "wash"
    liquid: ClassVar[Liquid] = "ink"

    name: Name = Field(alias="wash")
    mix: Text
    region: Where
    coats: Annotated[int, Within(1, 20, "coats")] = 1
    film_ml_per_m2: Film = 100.0
    graded: Graded | None = None
    edge: Annotated[
        Literal["drying line", "soft", "none"], one_of("drying line", "soft", "none")
    ] = "drying line"
    carried: Carried | None = None
    tilt_degrees: Tilt = 0.0
    hand: Manner | None = None
    note: Text | None = None

    @property
    def recipe(self) -> str:
        """The mix in words."""
        return self.mix

    @property
    def times(self) -> int:
        """Coats."""
        return self.coats

    @property
    def grade(self) -> Graded | None:
        """How its film runs out."""
        return self.graded

    @property
    def dries_with_a_line(self) -> bool:
        """Unless its edge is softened or has none."""
        return self.edge == "drying line"

    def film_ml_per_m2_on(self, table: Table) -> float:
        """Liquid of one coat [ml/m2]."""
        return self.film_ml_per_m2

    def constants(self, table: Table, mix: Mix | None = None) -> LaidWash:
        """What it lays on this table's paper; of another mix than its own if given."""
        mix = mix or table.mix(self.mix)
        return work_out(mix, self.coats, self.film_ml_per_m2, table.paper, table.dyes)

    def settled(self, ground: Ground, cover: Cover) -> PaintedWash:
        """Its region times its grade, with the paper's tooth and its drying line."""
        table, laid = ground.table, self.constants(ground.table)
        strokes = self.strokes(ground, cover)
        key = self._key(ground, laid, cover.key, strokes)
        thickness, rim = ground.memory.made(
            key,
            lambda: _film(self, ground, cover.mask, laid, strokes, box=cover.box),
            quick=cover.box.empty,
        )
        residue = None
        if ground.bleached:
            touch = touch_of_wash(self.film_ml_per_m2, table.room, table.paper)
            residue = touch, ground.chemistry()
        graded = None if self.graded is None else ground.grade_of(self.graded)[0]
        return PaintedWash(self, cover.mask, key, laid, thickness, graded, rim, residue, strokes)

    def _key(self, ground: Ground, laid: LaidWash, cover: Key, strokes: Strokes | None) -> Key:
        """All that its film is made from."""
        grade = None if self.graded is None else ground.grade_of(self.graded)[1]
        parting = round(laid.mean_mobility, 9), laid.separates
        air = self.edge, ground.table.paper.rim_mm, ground.dpi
        drawn = None if ground.line is None else ground.sketch_key
        by_hand = None if strokes is None else (strokes, ground.tooth_key)
        return "film", cover, grade, parting, air, drawn, by_hand

    def strokes(self, ground: Ground, cover: Cover) -> Strokes | None:
        """How the hand lays it; None if perfectly even."""
        how = {"carried": self._carried(), "graded": self.graded is not None}
        how |= {"height": self.film_ml_per_m2 / 100.0, "tilt_degrees": self.tilt_degrees}
        return ground.strokes(self.name, self.hand, cover, **how)

    def _carried(self) -> tuple[float, float]:
        """The way it is carried: as said, along its grade, or down the sheet."""
        if self.carried is not None:
            return CARRIED[self.carried]
        if self.graded is None or self.graded.from_mm is None or self.graded.to_mm is None:
            return CARRIED["down"]
        (x, y), (u, v) = self.graded.from_mm, self.graded.to_mm
        far = math.hypot(u - x, v - y)
        return (v - y) / far, (u - x) / far

    def layer(self, table: Table, share: float) -> Layer:
        """It as a layer of a patch."""
        return Laid(table.mix(self.mix), self.coats, self.film_ml_per_m2, share)

    def minutes_for(self, area_cm2: float, table: Table) -> Minutes:
        """Its coats, each dry before the next."""
        return wash_minutes(area_cm2, self.film_ml_per_m2, self.coats, table.room)

    def amount_words(self, table: Table) -> tuple[str, str]:
        """Recipe, parts of water and coats."""
        coats = "" if self.coats == 1 else f", {self.coats} coats"
        return self.mix, table.mix(self.mix).parts + coats


@dataclass(frozen=True, eq=False)
class PaintedWash(PaintedStep):
    """A wash over the whole sheet, as uint16 fields of shape (rows, columns).

    Attributes
    ----------
    wash : what it lays where its film is full
    thickness : film there, FILM_UNIT = its own film; drying line and grade are in it
    graded : its film as a share of the full one [-], None for a flat wash
    rim : what the drying line adds, FILM_UNIT = one film, only where dyes part in it
    residue : how bleach that an earlier lift left works on it, None if there was none
    strokes : how the hand laid it; None if perfectly even
    """

    wash: LaidWash
    thickness: Mask
    graded: Share | None = None
    rim: NDArray[np.int16] | None = None
    residue: tuple[Touch, Chemistry] | None = None
    strokes: Strokes | None = None

    ARRAYS: ClassVar[tuple[str, ...]] = ("coverage", "thickness", "graded", "rim")
    UNIT: ClassVar[int] = FILM_UNIT

    @property
    def film(self) -> Mask:
        """Thickness."""
        return self.thickness

    @property
    def kept(self) -> tuple[Mask, NDArray[np.int16] | None]:
        """Thickness, and what its drying line moves."""
        return self.thickness, self.rim

    @property
    def flat_wash(self) -> LaidWash | None:
        """What it lays, where its dyes stay together."""
        return self.wash if self.rim is None else None

    def even_shares(self, index: tuple[Any, Any]) -> NDArray[np.float64]:
        """Its region times its grade, without tooth and drying line [-]; shape as numpy indexes."""
        shares = np.asarray(self.coverage[index] / FULL)
        return shares if self.graded is None else np.asarray(shares * self.graded[index])

    def lies(self) -> NDArray[np.bool_]:
        """Where its region is, and a little of its film is left."""
        return (self.coverage >= COVERED * FULL) & (self.thickness >= THIN * FILM_UNIT)

    def lay(self, table: Table, sheet: Sheet, rect: Rect, stirred_dpi: float | None = None) -> None:
        """Add its dye to a tile, in place."""
        thickness = self.thickness[rect.slices]
        if not thickness.any():
            return
        wash, count = self.wash, len(table.dyes)
        compiled_wash.lay(
            np.ascontiguousarray(thickness).ravel(),
            self._moved(rect),
            np.float32(wash.strength),
            wash.full_load_g_per_m2.astype(np.float32),
            wash.overlap.astype(np.float32),
            (wash.mobility - wash.mean_mobility).astype(np.float32),
            sheet.load_g_per_m2.reshape(sheet.bleached.size, count),
            sheet.optical_g_per_m2.reshape(sheet.bleached.size, count),
            sheet.coats.reshape(-1),
            compiled_wash.counted(count),
        )
        if stirred_dpi is not None:
            loose = np.array([dye.loose_fraction for dye in table.dyes])
            stir(sheet, loose, self.coverage, rect, table.paper.mixing_mm, stirred_dpi)
        if self.residue is not None:
            film = np.multiply(thickness, _PER_FILM, dtype=np.float32)
            compiled_lift.residue_attack(sheet, film, *self.residue)

    def films(self, rect: Rect) -> list[tuple[LaidWash, Floats, Floats | None]]:
        """Its one film."""
        thickness = np.multiply(self.thickness[rect.slices], _PER_FILM, dtype=np.float32)
        rim = None if self.rim is None else self._moved(rect).reshape(rect.shape)
        return [(self.wash, thickness, rim)]

    def _moved(self, rect: Rect) -> Floats:
        """What the drying line moves there [films]; nothing where dyes stay together.

        The film holds the mean gain already: each dye adds what it travels beyond the mean.
        """
        if self.rim is None:
            return np.zeros(0, np.float32)
        return np.multiply(self.rim[rect.slices].ravel(), _PER_FILM, dtype=np.float32)

    def on_patch(self, share: float) -> Self:
        """A patch of one pixel with so much of its film."""
        film = np.full((1, 1), min(round(share * FILM_UNIT), FULL), np.uint16)
        full = np.full((1, 1), FULL, np.uint16)
        return replace(self, coverage=full, thickness=film, graded=None, rim=None)

    def again(self, ground: Ground, rect: Rect) -> Rect:
        """Its film where its coverage has changed, and as far as its drying line looks."""
        step = self.step
        assert isinstance(step, Wash)
        paper, shape = ground.table.paper, ground.shape
        reach = rim_reach_px(paper.rim_mm, ground.dpi) if RIM_GAIN[step.edge] else 0
        if self.strokes:
            reach += reach_of_hand_px(ground.dpi)
        inner = rect.grown(reach, shape)
        outer = inner.grown(reach, shape)
        here = inner.inside(outer).slices
        thickness, rim = _film(step, ground, self.coverage, self.wash, self.strokes, outer)
        self.thickness[inner.slices] = thickness[here]
        if self.rim is not None and rim is not None:
            self.rim[inner.slices] = rim[here]
        return inner

    def under_pen(self, mask: Mask, graded: Share | None) -> tuple[Mask, Mask] | None:
        """Its film as the pen goes, without tooth and drying line."""
        film = mask * np.float32(FILM_UNIT / FULL)
        if graded is not None:
            film *= graded
        return (film + np.float32(0.5)).astype(np.uint16), self.thickness

    def fresh(self) -> Self:
        """It before an earlier bleach has worked on it."""
        return replace(self, residue=None)

    def loose_share(self, table: Table) -> float:
        """Share that dissolves again, weighed by what each dye absorbs."""
        loose = np.array([dye.loose_fraction for dye in table.dyes])
        return float(self.wash.share @ loose)

    def mixed_from(self, table: Table) -> Self:
        """The same wash mixed from another table's bottles."""
        assert isinstance(self.step, Wash)
        return replace(self, wash=self.step.constants(table))


def _film(
    step: Wash,
    ground: Ground,
    coverage: Mask,
    laid: LaidWash,
    strokes: Strokes | None,
    rect: Rect | None = None,
    box: Rect | None = None,
) -> tuple[Mask, NDArray[np.int16] | None]:
    """Thickness of a wash, and what its drying line moves where its dyes part.

    A rectangle of it can be had alone; near its edges the drying line is then wrong. Of the whole,
    a box that holds all of the coverage.
    """
    rect = rect or whole(ground.shape)
    rim = zero_field(rect.shape, np.int16) if RIM_GAIN[step.edge] and laid.separates else None
    share = None if step.graded is None else ground.grade_of(step.graded)[0][rect.slices]
    how = step.edge, laid.mean_mobility, rect, box, rim
    return dried_by_hand(strokes, ground, coverage[rect.slices], share, *how), rim
