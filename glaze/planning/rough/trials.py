"""Washes of any mix laid over each other on many samples at once: what a plan is tried with.

The law is the patches' own (`glaze.sheet.wash.lay`); only what depends on a wash alone is worked
out once for it, as a search lays the same few washes on thousands of samples.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.materials.dye import Dye
from glaze.materials.ink import Ink
from glaze.patch.patches import bare_patches, reflectance
from glaze.patch.table import Table
from glaze.physics.colour import D65_XYZ, lab_from_xyz
from glaze.physics.crowding import crowding_overlap
from glaze.planning.recipe.wanted import daylight_weights
from glaze.sheet.state import Sheet
from glaze.sheet.wash import VISIBLE_NM, lay, parted_by_none

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

NONE = -1
"""In place of a wash's number: nothing is laid."""


@dataclass(frozen=True, eq=False)
class Bottles:
    """The bottles that a plan may mix, on their table.

    A *mix* is so much of each bottle in a film, in neat coats [-], shape (bottles,): (0.1, 0, 0.1,
    0) is one part each of the first and the third in eight parts of water; above 1 in all it takes
    more than one coat.

    also : colourants that lie on the sheet already, whatever bottle they came from
    """

    table: Table
    also: tuple[Dye, ...] = ()

    @cached_property
    def inks(self) -> tuple[Ink, ...]:
        """The palette's own bottles."""
        return tuple(self.table.palette.bottles) or tuple(self.table.palette.inks.values())

    @cached_property
    def own(self) -> Table:
        """The table with columns for their dyes, and for what lies there already, alone."""
        names = dict.fromkeys(dye for ink in self.inks for dye in ink.contents_g_per_l)
        rest = [dye for dye in self.also if dye.name not in names]
        return self.table.with_columns([*(self.table.palette.dyes[name] for name in names), *rest])

    @cached_property
    def neat_g_per_l(self) -> Array:
        """Dye in each bottle [g/L], shape (bottles, colourants)."""
        rows = [[ink.contents_g_per_l.get(d.name, 0.0) for d in self.own.dyes] for ink in self.inks]
        return np.array(rows)

    @cached_property
    def paper_lab(self) -> Array:
        """Bare paper, CIELAB (D65), shape (3,)."""
        return self.lab(bare_patches(self.own))[0]

    def lab(self, sheet: Sheet) -> Array:
        """What lies on patches as it looks by daylight, CIELAB (D65), shape (patches, 3)."""
        seen = reflectance(self.own, sheet)[0] @ daylight_weights(self.own.light)
        return lab_from_xyz(seen, D65_XYZ)

    def laid(
        self,
        mixes: Array,
        stacks: Numbers,
        films: Array | None = None,
        on: Sheet | None = None,
    ) -> Sheet:
        """Washes over each other on bare paper, or on what lies there.

        Parameters
        ----------
        mixes : shape (washes, bottles), [neat coats]
        stacks : number of the wash at each layer of each sample, the lowest first, or NONE; shape
            (samples, layers)
        films : share of its film there [-], same shape; 1 if None
        on : what lies under each sample, shape (1, samples); it is changed
        """
        sheet = bare_patches(self.own, len(stacks)) if on is None else on
        if not len(mixes):
            return sheet
        strength, load, overlap = self._constants(mixes)
        for layer in range(stacks.shape[1]):
            wash = stacks[:, layer]
            film = np.where(wash >= 0, 1.0 if films is None else films[:, layer], 0.0)
            some = parted_by_none(strength[wash], load[wash], overlap[wash])
            lay(sheet, some, film[None])
        return sheet

    def over(self, sheet: Sheet, mixes: Array, each: int) -> Sheet:
        """Washes laid over patches in place: the first over the first `each` of them, and so on."""
        strength, load, overlap = (np.repeat(part, each, axis=0) for part in self._constants(mixes))
        lay(sheet, parted_by_none(strength, load, overlap), np.ones(sheet.shape))
        return sheet

    def labs(
        self,
        mixes: Array,
        stacks: Numbers,
        films: Array | None = None,
        on: Sheet | None = None,
    ) -> Array:
        """The colours of `laid`, CIELAB (D65), shape (samples, 3)."""
        return self.lab(self.laid(mixes, stacks, films, on))

    def _constants(self, mixes: Array) -> tuple[Array, Array, Array]:
        """Strength, dye [g/m2] and overlap of each wash at its full film."""
        paper = self.own.paper
        strength = mixes.sum(axis=1)
        load = mixes @ self.neat_g_per_l * paper.film_ml_per_m2 / 1000.0
        neat = load / np.maximum(strength, 1e-12)[:, None]
        path = self.own.visible_path_m2_per_g
        return strength, load, crowding_overlap(neat, path, VISIBLE_NM, paper.path_spread)
