"""What lies where on the sheet: the only state the model carries from step to step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Field = NDArray[np.float32]
Places = NDArray[Any]
"""Float32 for pictures, float64 for patches."""


@dataclass
class Sheet:
    """The inked sheet, one tile of it, or patches: anything that is laid on at many places.

    The places of a picture are rows and columns of float32. `glaze.patch` asks the same law of
    patches with any leading axes (recipes, cases with other figures), in float64.

    A *colourant* is a dye, or what bleach turns a dye into. The load law makes the eye get more
    or less of a wash than its dye alone would give, so both amounts are kept; a lift scales them
    alike.

    Attributes
    ----------
    load_g_per_m2 : dye that lies there [g/m2], shape (rows, columns, colourants) or (...,
        colourants)
    optical_g_per_m2 : what the eye gets of it after the load law [g/m2], same shape
    coats : running load Q of all washes, 1 = a neat coat [-], shape (rows, columns)
    bleached : how far the paper itself is bleached [-], shape (rows, columns), 0 to 1
    residue_mol_per_m2 : active bleach left in the paper [mol/m2], shape (rows, columns)
    """

    load_g_per_m2: Places
    optical_g_per_m2: Places
    coats: Places
    bleached: Places
    residue_mol_per_m2: Places

    @property
    def shape(self) -> tuple[int, ...]:
        """Rows and columns, or the leading axes."""
        return self.bleached.shape

    def each(self, change: Callable[[Places], Places]) -> Sheet:
        """The sheet with each of its fields changed in one way."""
        return Sheet(**{name: change(field) for name, field in vars(self).items()})

    def copy(self) -> Sheet:
        """The same in arrays of its own."""
        return self.each(lambda field: field.copy())


def bare_sheet(rows: int, columns: int, colourants: int) -> Sheet:
    """A sheet with nothing on it."""
    return bare((rows, columns), colourants, np.float32)


def bare(shape: tuple[int, ...], colourants: int, kind: type = np.float64) -> Sheet:
    """Bare places with any leading axes."""

    def field(*axes: int) -> Places:
        return np.zeros((*shape, *axes), kind)

    return Sheet(field(colourants), field(colourants), field(), field(), field())
