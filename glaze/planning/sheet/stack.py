"""One patch of a painting: the steps that lie there, in any order, stacked or stirred."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.patch.patches import reflectance
from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, munsell_value
from glaze.planning.recipe.verdict import paper_value
from glaze.planning.recipe.wanted import daylight_weights
from glaze.planning.sheet.place import Place
from glaze.sheet.rect import Rect
from glaze.sheet.state import Sheet, bare_sheet
from glaze.step.kind import PaintedStep

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Stack:
    """What lies on one patch: steps of a painting with the film each has there, lowest first."""

    painting: Painting
    steps: tuple[tuple[PaintedStep, float], ...]

    def sheet(self, stirred: Collection[int] = ()) -> Sheet:
        """The patch; `stirred` numbers the steps, from 0, that stir up what is loose below."""
        sheet = bare_sheet(1, 1, len(self.painting.table.dyes))
        one, table = Rect(0, 0, 1, 1), self.painting.table
        for n, (step, share) in enumerate(self.steps):
            stirs = self.painting.dpi if n in stirred else None
            step.on_patch(share).lay(table, sheet, one, stirs)
        return sheet

    def xyz(self, stirred: Collection[int] = ()) -> Array:
        """Its colour, carried to D65. XYZ [-], shape (3,)."""
        R = reflectance(self.painting.table, self.sheet(stirred))[0, 0]
        return R @ daylight_weights(self.painting.table.light)

    def lab(self, stirred: Collection[int] = ()) -> Array:
        """CIELAB of it, D65. Shape (3,), [-]."""
        return lab_from_xyz(self.xyz(stirred), D65_XYZ)

    def value(self) -> float:
        """Munsell value of it."""
        return float(munsell_value(self.xyz()[1]))

    def until(self, count: int) -> Stack:
        """The patch after so many of its steps."""
        return replace(self, steps=self.steps[:count])

    def swapped(self, one: PaintedStep, other: PaintedStep) -> Stack:
        """The patch with two of its steps laid in each other's place."""
        places = [n for n, (step, _) in enumerate(self.steps) if step is one or step is other]
        steps = list(self.steps)
        first, second = places
        steps[first], steps[second] = steps[second], steps[first]
        return replace(self, steps=tuple(steps))

    def with_before(self, step: PaintedStep, more: PaintedStep, share: float) -> Stack:
        """The patch with a share of another step laid just before one of its own."""
        place = next(n for n, (own, _) in enumerate(self.steps) if own is step)
        return replace(self, steps=(*self.steps[:place], (more, share), *self.steps[place:]))


def own_values(painting: Painting) -> list[float]:
    """Value of each wash alone on bare paper, at its full film; of any other step the paper's."""
    paper = paper_value(painting.table)
    return [
        Stack(painting, ((step, 1.0),)).value() if step.step.liquid == "ink" else paper
        for step in painting.steps
    ]


def off(one: Array, other: Array) -> float:
    """CIEDE2000 of two colours in CIELAB. [-], shape (3,) each."""
    return float(delta_e_2000(one, other))


def stack_of(painting: Painting, place: Place, also: int | None = None) -> Stack:
    """The middle of a place as a patch; rinses, which lie everywhere, are in it.

    also : number of a step that is in it however little of it lies there
    """
    steps: list[tuple[PaintedStep, float]] = []
    for n, step in enumerate(painting.steps):
        if step.step.everywhere:
            steps.append((step, 1.0))
        elif n in place.steps or n == also:
            steps.append((step, float(place.film[n])))
    return Stack(painting, tuple(steps))
