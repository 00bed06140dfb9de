"""What lies where on the sheet: the only state the model carries from step to step."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Field = NDArray[np.float32]

FILM_UNIT = 32768
"""A film of thickness 1 in the uint16 fields of washes: a drying line may be up to twice as thick.

16 bits, not 8: one 8-bit step of neat black near clear water would jump by 2 dE00.
"""


@dataclass
class Sheet:
    """The inked sheet, or one tile of it.

    A *colourant* is a dye, or what bleach turns a dye into. The load law makes the eye get more
    or less of a wash than its dye alone would give, so both amounts are kept; a lift scales them
    alike.

    Attributes
    ----------
    load_g_per_m2 : dye that lies there [g/m2], shape (rows, columns, colourants)
    optical_g_per_m2 : what the eye gets of it after the load law [g/m2], same shape
    coats : running load Q of all washes, 1 = a neat coat [-], shape (rows, columns)
    bleached : how far the paper itself is bleached [-], shape (rows, columns), 0 to 1
    residue_mol_per_m2 : active bleach left in the paper [mol/m2], shape (rows, columns)
    """

    load_g_per_m2: Field
    optical_g_per_m2: Field
    coats: Field
    bleached: Field
    residue_mol_per_m2: Field

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        rows, columns = self.bleached.shape
        return rows, columns


def bare_sheet(rows: int, columns: int, colourants: int) -> Sheet:
    """A sheet with nothing on it."""
    full = (rows, columns, colourants)
    return Sheet(
        load_g_per_m2=np.zeros(full, np.float32),
        optical_g_per_m2=np.zeros(full, np.float32),
        coats=np.zeros(full[:2], np.float32),
        bleached=np.zeros(full[:2], np.float32),
        residue_mol_per_m2=np.zeros(full[:2], np.float32),
    )
