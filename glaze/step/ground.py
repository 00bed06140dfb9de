"""What a step is settled over: the table, the sheet, and what has been laid on it before."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from glaze.patch.table import Table
from glaze.region.cover import Cover
from glaze.region.grade import Share
from glaze.region.records import Graded
from glaze.sheet.flowing import CELL_MM
from glaze.sheet.lift import Chemistry, chemistry_of
from glaze.sheet.memory import Key, Memory
from glaze.sheet.unevenness import tooth
from glaze.step.steadiness import HANDS, Steadiness, Strokes

if TYPE_CHECKING:
    from glaze.step.kind import Step


COARSEST_CELL_MM = 2.0
"""Water that is settled for a small picture flows over cells of up to that."""


def coarser_cell_mm(scale: float) -> float:
    """Side of the cells for a sheet at so much of its resolution: of as many pixels as at all."""
    return min(CELL_MM / min(scale, 1.0), COARSEST_CELL_MM)


@dataclass(frozen=True, eq=False)
class Ground:
    """What a step is settled over.

    Attributes
    ----------
    table : its sheets have columns for the dyes of the whole scene
    dpi, shape : of the sheet
    memory : what has been settled before
    sketch_key : what the sketch was read from
    grade_of : film of a graded wash as a share, shape (rows, columns), with its key
    earlier : the steps before, each with where it lies
    line : transmittance of the sketch's line [-], shape (rows, columns); None for a bare sheet
    hand : that lays the steps; None lays every film perfectly even, as no hand does
    cell_mm : side of the cells in which what is wet together flows
    """

    table: Table
    dpi: float
    shape: tuple[int, int]
    memory: Memory
    sketch_key: Key
    grade_of: Callable[[Graded], tuple[Share, Key]]
    earlier: tuple[tuple[Step, Cover], ...] = ()
    line: NDArray[np.float32] | None = None
    hand: Steadiness | None = None
    cell_mm: float = CELL_MM

    def strokes(self, name: str, manner: str | None, cover: Cover, **how: Any) -> Strokes | None:
        """How the hand lays a step that says its own manner, or nothing; None if perfectly even.

        how : what else `Strokes` takes
        """
        hand = self.hand
        if hand is not None and manner is not None:
            hand = replace(hand, amount=HANDS[manner])
        if hand is None or not hand.amount:
            return None
        return Strokes(hand, name, self.table.paper.surface, wanders=not cover.painted, **how)

    @property
    def tooth_key(self) -> Key:
        """All that the paper's fibres are made from."""
        return "tooth", self.dpi, self.shape

    @property
    def tooth(self) -> NDArray[np.int8]:
        """The paper's fibres, shape (rows, columns)."""
        return self.memory.made(self.tooth_key, lambda: tooth(self.shape, self.dpi))

    @property
    def bleached(self) -> bool:
        """Whether an earlier step has left bleach in the paper."""
        return any(step.leaves_bleach for step, _ in self.earlier)

    def before(self, count: int) -> Ground:
        """The ground of an earlier step, which has so many before it."""
        return replace(self, earlier=self.earlier[:count])

    def chemistry(self, parts_water: float = 0.0) -> Chemistry:
        """How the sheet answers to the table's bleach, so diluted."""
        table = self.table
        ph = table.bleach.diluted_ph(parts_water)
        return chemistry_of(table.dyes, table.paper, table.room.temperature_c, ph)
