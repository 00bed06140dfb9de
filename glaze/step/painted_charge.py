"""What was wet together, dried, in place of what would lie there without the charge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Self

import numpy as np
from numpy.typing import NDArray

from glaze.patch.table import Table
from glaze.sheet import compiled_dried, compiled_lift
from glaze.sheet.lift import Chemistry, Touch
from glaze.sheet.memory import Memory
from glaze.sheet.rect import Rect
from glaze.sheet.state import Sheet
from glaze.sheet.units import FULL, Mask
from glaze.sheet.wash import LaidWash, lay, parted_by_none
from glaze.step.dried import Dried, dried
from glaze.step.kind import PaintedStep
from glaze.step.passage import Passage


@dataclass(frozen=True, eq=False)
class PaintedCharge(PaintedStep):
    """All that was wet together, dried, in place of what lay there before the charge.

    Attributes
    ----------
    outline : where it was wet, FULL = wholly
    passage : what was wet together; None on a patch
    before : what it was charged into, as it would have dried without it; None where that isn't laid
    alone : its own wash, for patches
    places : rows and columns of its pixels; None for the whole sheet
    """

    outline: Mask
    passage: Passage | None
    before: PaintedStep | None
    alone: LaidWash
    residue: tuple[Touch, Chemistry] | None = None
    places: tuple[NDArray[np.intp], NDArray[np.intp]] | None = None

    ARRAYS: ClassVar[tuple[str, ...]] = ("coverage", "outline")

    @property
    def touched(self) -> Mask:
        """Wherever it was wet, uint16, shape (rows, columns)."""
        return self.outline

    def dried(self, memory: Memory) -> Dried:
        """Where its dyes lie, from the memory if that has it."""
        passage = self.passage
        assert passage is not None
        return memory.made(passage.key, lambda: dried(passage))

    def made_ready(self) -> Self:
        """It, its dyes worked out."""
        if self.passage is not None:
            self.dried(self.passage.ground.memory)
        return self

    def taking_up(self, below: PaintedStep) -> Self | None:
        """It laid in place of both, if it takes up all that the layer below it laid."""
        if self.before is None or below.step is not self.before.step or self.residue is not None:
            return None
        return replace(self, before=None)

    def lay(self, table: Table, sheet: Sheet, rect: Rect, stirred_dpi: float | None = None) -> None:
        """Put what dried in place of what would have dried without the charge, in place."""
        outline = self.outline[rect.slices]
        if not outline.any():
            return
        if self.before is not None:
            take_off(sheet, self.before.films(rect))
        if self.passage is None:
            lay(sheet, self.alone, self.coverage[rect.slices] / FULL)
        else:
            self._lay_dried(sheet, rect)
        if self.residue is not None:
            film = np.multiply(outline, np.float32(1 / FULL), dtype=np.float32)
            compiled_lift.residue_attack(sheet, film, *self.residue)

    def _lay_dried(self, sheet: Sheet, rect: Rect) -> None:
        one, dyes = self._dyes(rect)
        pixels = sheet.bleached.size
        compiled_dried.lay_dyes(
            *(dyes.reshape(pixels, *dyes.shape[2:]), one.columns, one.coats_per_g, one.overlap),
            *(f.reshape(pixels, -1) for f in (sheet.load_g_per_m2, sheet.optical_g_per_m2)),
            sheet.coats.reshape(-1),
        )

    def _dyes(self, rect: Rect) -> tuple[Dried, NDArray[np.float64]]:
        """How it dried, and both films there [g/m2], shape (rows, columns, 2, dyes).

        A step that a later one takes up is worked out here, when somebody looks at it alone.
        """
        assert self.passage is not None
        one = self.dried(Memory(self.passage.ground.memory.kept))
        rows, columns = self.places or _places(self.outline.shape)
        return one, one.dyes(rows[rect.slices], columns[rect.slices])

    def films(self, rect: Rect) -> list[tuple[LaidWash, Any, Any]]:
        """What lies there of it, the lowest first."""
        one, dyes = self._dyes(rect)
        found = []
        for n in range(2):
            load = np.zeros((*dyes.shape[:2], self.alone.share.size))
            load[..., one.columns] = dyes[..., n, :]
            wash = parted_by_none(dyes[..., n, :] @ one.coats_per_g[n], load, one.overlap[n])
            found.append((wash, 1.0, None))
        return found

    def taken(self, index: tuple[Any, Any]) -> Self:
        """It at some pixels."""
        rows, columns = self.places or _places(self.outline.shape)
        before = None if self.before is None else self.before.taken(index)
        return replace(super().taken(index), before=before, places=(rows[index], columns[index]))

    def on_patch(self, share: float) -> Self:
        """Its own film alone, on what is dry."""
        film = np.full((1, 1), min(round(share * FULL), FULL), np.uint16)
        return replace(self, coverage=film, outline=film, before=None, passage=None)

    def loose_share(self, table: Table) -> float:
        """Share that dissolves again, weighed by what each dye absorbs."""
        loose = np.array([dye.loose_fraction for dye in table.dyes])
        return float(self.alone.share @ loose)


def _places(shape: tuple[int, ...]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Row and column of every pixel; views that take up no memory."""
    rows, columns = np.ogrid[: shape[0], : shape[1]]
    return np.broadcast_to(rows, shape), np.broadcast_to(columns, shape)


def take_off(sheet: Sheet, films: Sequence[tuple[LaidWash, Any, Any]]) -> None:
    """Take films off again that lie uppermost, in place: lay them once more to know their share."""
    below = sheet.copy()
    for wash, thickness, rim in films:
        film = np.asarray(thickness, dtype=float)[..., None] * np.ones((1, 1, 1))
        if rim is not None:
            film = film + rim[..., None] * (wash.mobility - wash.mean_mobility)
        dye = wash.full_load_g_per_m2 * np.maximum(film, 0)
        below.load_g_per_m2 -= dye.astype(np.float32)
        below.coats -= (wash.strength * np.asarray(thickness)).astype(np.float32)
    np.maximum(below.load_g_per_m2, 0, out=below.load_g_per_m2)
    np.maximum(below.coats, 0, out=below.coats)
    again = replace(below.copy(), optical_g_per_m2=np.zeros_like(sheet.optical_g_per_m2))
    for wash, thickness, rim in films:
        lay(again, wash, thickness, rim)
    sheet.load_g_per_m2[...] = below.load_g_per_m2
    sheet.coats[...] = below.coats
    sheet.optical_g_per_m2 -= again.optical_g_per_m2
    np.maximum(sheet.optical_g_per_m2, 0, out=sheet.optical_g_per_m2)
