"""A scrap of paper to try things on: washes and lifts laid by masks, and what is then seen.

A scrap may be one patch, a strip of patches or a picture of any size: its pixels go their own way,
by the plain law of `glaze.sheet`. Nothing looks sideways here (no drying lines, no creeping bleach,
no tooth of the paper); `glaze.painting` settles those for scenes.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.chemistry import Chemistry, chemistry_of
from glaze.materials.mix import Mix
from glaze.materials.munsell import munsell_notation
from glaze.patch import patches
from glaze.patch.band import Trusted
from glaze.patch.layers import Laid, Layer, Lifted, Watered
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.picture.file import Picture, picture_from_linear
from glaze.sheet.lift import (
    Touches,
    residue_attack,
    rinse,
    touch_of_wash,
    water_lift,
)
from glaze.sheet.mask import shares_of
from glaze.sheet.state import bare

Array = NDArray[np.float64]


class Scrap:
    """A dry scrap of the table's paper. Each step gives the scrap back, so that steps chain.

    Masks are [-], of the scrap's shape or broadcast to it: True and False, shares of a full film
    from 0 to 1, or uint8 or uint16 with 255 or 65535 for 1. Everything else is refused in words.

    Parameters
    ----------
    table : what lies on the table
    shape : (rows, columns); a lone number is a strip of so many patches
    """

    def __init__(self, table: Table, shape: int | tuple[int, int] = (1, 1)) -> None:
        self.table, self.layers = table, list[Layer]()
        self._even = True
        rows, columns = _checked_shape(shape)
        self.sheet = bare((rows, columns), len(table.dyes))

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        rows, columns = self.sheet.shape
        return rows, columns

    def wash(
        self,
        mix: str | Mix | Sequence[str | Mix],
        mask: ArrayLike = 1.0,
        *,
        coats: float = 1.0,
        film_ml_per_m2: float | None = None,
    ) -> Scrap:
        """Lay a wash on what is dry.

        Parameters
        ----------
        mix : a recipe in words, as "Blue 1 + water 4", or a mix; or one for each column
        mask : where, as shares of a full film [-]
        coats : equal coats, one after the other, above 0
        film_ml_per_m2 : liquid of one coat [ml/m2]; the paper's own if None
        """
        there = shares_of(mask, self.shape, "The mask of the wash")
        mixes = self._mixes(mix)
        film = self.table.paper.film_ml_per_m2 if film_ml_per_m2 is None else film_ml_per_m2
        patches.glaze(self.table, self.sheet, mixes, coats, film, there)
        if self.sheet.residue_mol_per_m2.any():
            wakes = touch_of_wash(film, self.table.room, self.table.paper)
            residue_attack(self.sheet, there, wakes, self._chemistry())
        self._even &= isinstance(mixes, Mix)
        first = mixes if isinstance(mixes, Mix) else mixes[0]
        return self._noted(Laid(first, coats, film_ml_per_m2, float(there.flat[0])), there)

    def lift(
        self,
        mask: ArrayLike = 1.0,
        *,
        parts_water: float = 0.0,
        touches: int = 1,
        minutes: float = 1.0,
        tool: str = "brush",
        film_ml_per_m2: float | None = None,
        rinse: bool = False,
    ) -> Scrap:
        """Lift with the table's bleach. Read `glaze.CAUTION` first: bleach burns, and gives off
        poisonous gas when mixed; the bottle's label and local rules come first.

        Parameters
        ----------
        mask : where, as shares of a full film of bleach [-]
        parts_water : n of "1 part bleach + n parts water", 0 for neat
        touches : how many, each with fresh bleach, 1 or more
        minutes : from laying to blotting [min]
        tool : brush, dip pen or swab; film_ml_per_m2 : its film [ml/m2], the tool's own if None
        rinse : whether clean water follows
        """
        there = shares_of(mask, self.shape, "The mask of the lift")
        plan = Touches(parts_water, touches, minutes, tool, film_ml_per_m2, rinse)
        patches.bleach_patches(self.table, self.sheet, plan, there)
        return self._noted(Lifted(plan, float(there.flat[0])), there)

    def water(self, mask: ArrayLike = 1.0, *, minutes: float | None = None) -> Scrap:
        """Lift with clean water for some minutes [min], or rinse (None): blot, water, blot."""
        there = shares_of(mask, self.shape, "The mask of the water")
        if minutes is None:
            rinse(self.sheet, there, self._chemistry())
        else:
            water_lift(self.sheet, there, minutes, self._chemistry())
        return self._noted(Watered(minutes, float(there.flat[0])), there)

    def reflectance(self, wavelength_nm: ArrayLike | None = None) -> Array:
        """Reflectance [-], shape (rows, columns, wavelengths), without the glow of neon inks.

        Parameters
        ----------
        wavelength_nm : [nm], shape (wavelengths,), 380 to 780; the 40 working bands if None
        """
        if wavelength_nm is None:
            return patches.reflectance(self.table, self.sheet)
        return patches.reflectance_at(self.table, self.sheet, wavelength_nm)

    @property
    def xyz(self) -> Array:
        """XYZ under the table's light [-], Y = 1 for white, shape (rows, columns, 3)."""
        return patches.xyz(self.table, self.sheet)

    @property
    def lab(self) -> Array:
        """CIELAB under the table's light [-], shape (rows, columns, 3)."""
        return patches.lab(self.table, self.sheet)

    @property
    def value(self) -> Array:
        """Munsell value [value steps], 0 black to 10 white, shape (rows, columns)."""
        return patches.value(self.table, self.sheet)

    @property
    def munsell(self) -> list[str]:
        """Munsell notation of each patch, row by row, as "5R 4.2/6"."""
        flat = self.xyz.reshape(-1, 3)
        return list(munsell_notation(flat, self.table.light.white_xyz))

    @property
    def trusted(self) -> Trusted:
        """The colour with its band and standing, where one and the same lies all over."""
        if not self._even:
            raise InputError(
                "A band is worked out where one and the same lies all over; this scrap was laid by "
                "a mask or with several mixes. Try the layers of one place on a scrap of their "
                "own: Scrap(table).wash(...)."
            )
        return trusted(self.table, self.layers)

    def picture(self, px: int = 1, dpi: float = 100.0) -> Picture:
        """The scrap as an 8-bit picture, each patch `px` pixels wide and high, at `dpi`."""
        if isinstance(px, bool) or not isinstance(px, int) or px < 1:
            raise InputError(f"A patch of {px} pixels; give a whole number from 1 up.")
        rgb = patches.linear_rgb(self.table, self.sheet).repeat(px, axis=0).repeat(px, axis=1)
        notes = (CAUTION_LINE,) if any(isinstance(it, Lifted) for it in self.layers) else ()
        return picture_from_linear(rgb, dpi, self.table.light.name, notes=notes)

    def _repr_png_(self) -> bytes:
        """For notebooks; small scraps are enlarged."""
        return self.picture(max(1, 48 // max(self.shape)))._repr_png_()

    def _mixes(self, mix: str | Mix | Sequence[str | Mix]) -> Mix | list[Mix]:
        """One mix for all, or one for each column."""
        if isinstance(mix, Mix):
            return mix
        if isinstance(mix, str):
            return self.table.mix(mix)
        if not isinstance(mix, Sequence):
            raise InputError(f'{mix} for a mix; give a recipe in words, as "Blue 1 + water 4".')
        return [each if isinstance(each, Mix) else self.table.mix(each) for each in mix]

    def _chemistry(self) -> Chemistry:
        """How the colourants answer to water, and to bleach that an earlier lift has left."""
        table = self.table
        ph = table.bleach.diluted_ph(0.0)
        return chemistry_of(table.dyes, table.paper, table.room.temperature_c, ph)

    def _noted(self, layer: Layer, there: Array) -> Scrap:
        """Keep a layer for the band, and whether it lies alike all over."""
        self.layers.append(layer)
        self._even &= bool((there == there.flat[0]).all())
        return self


def _checked_shape(shape: int | tuple[int, int]) -> tuple[int, int]:
    """Rows and columns, each a whole number from 1 up."""
    both = (1, shape) if isinstance(shape, int) else tuple(shape)
    if len(both) != 2 or not all(isinstance(n, int | np.integer) and n >= 1 for n in both):
        raise InputError(f"A scrap of shape {shape}; give (rows, columns), whole numbers from 1.")
    return int(both[0]), int(both[1])
