"""From a wanted value to coats of a wash."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from glaze.materials.mix import Mix
from glaze.patch.patches import value
from glaze.patch.table import Table
from glaze.planning.recipe.hue import darkened
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]

MOST_COATS = 3
WEAKEST = 1.0 / 65.0
"""1 part + 64 parts water: thinner than this a wash hardly shows."""


def coats_for(table: Table, sheet: Sheet, wash: Mix, wanted: float) -> float:
    """Coats of the undiluted wash that bring a patch to a value; 0 if it is there already.

    Value falls steadily as the wash gets stronger, so it is read backwards from a fine ladder and
    then halved in on. MOST_COATS if it can't be had.
    """
    steps = np.concatenate([[0.0], np.geomspace(WEAKEST / 4, MOST_COATS, 200)])
    for _ in range(3):
        found = value(table, darkened(table, sheet, wash, steps))[0]
        below = np.flatnonzero(found <= wanted)
        if below.size == 0:
            return float(MOST_COATS)
        last = int(below[0])
        if last == 0:
            return 0.0
        steps = np.linspace(steps[last - 1], steps[last], 40)
    return float((steps[0] + steps[-1]) / 2)


def in_coats(thick: float) -> tuple[int, float]:
    """Whole coats, and the parts of water of each, that lay so many coats of the neat wash.

    A hundredth of a coat more than whole ones is left out: nobody sees it.
    """
    coats = max(1, math.ceil(thick - 0.01))
    return coats, max(coats / thick - 1.0, 0.0) if thick > 0 else math.inf


def value_under(table: Table, sheet: Sheet, wash: Mix, coats: float) -> float:
    """Value of a patch under so many coats of the undiluted wash."""
    return float(value(table, darkened(table, sheet, wash, np.array([coats])))[0, 0])
