"""Layers laid on many patches at once, each time with other figures: strengths, rates ...

The law isn't written here: `glaze.sheet.wash` and `glaze.sheet.lift` lay and lift, on arrays of the
shape (cases, patches). A case moves figures; the patches of one call differ in what lies there, but
all get the same kinds of layers one after the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.materials.chemistry import COLDEST_C, WARMEST_C, Chemistry, chemistry_of
from glaze.materials.dye import Dye
from glaze.patch.layers import Key, Laid, Layer, Lifted, Watered, dyes_of, inks_of
from glaze.patch.patches import xyz
from glaze.patch.table import Table
from glaze.physics import rates
from glaze.physics.crowding import crowding_overlap
from glaze.sheet import lift as plain
from glaze.sheet.lift import Touch, rinse, touch_of, touch_of_wash, water_lift
from glaze.sheet.state import Sheet, bare
from glaze.sheet.wash import VISIBLE_NM, lay, parted_by_none

Array = NDArray[np.float64]

MANY_PATCHES = 6
"""From so many patches on the compiled lift is quicker than the plain one, its import included."""


@dataclass(frozen=True, eq=False)
class Figures:
    """By what each figure is multiplied in each case; those that aren't named stay.

    factors : shape (cases,) each
    """

    factors: Mapping[Key, Array]
    cases: int = 1

    def of(self, key: str, name: str = "") -> Array:
        """Factors of one figure, shape (cases, 1); (1, 1) for one that stays. [-]."""
        found = self.factors.get((key, name))
        return np.ones((1, 1)) if found is None else found[:, None]

    def of_each(self, key: str, names: Sequence[str]) -> Array:
        """Factors of one figure of several, shape (cases, 1, names). [-]."""
        each = [np.broadcast_to(self.of(key, name), (self.cases, 1)) for name in names]
        return np.stack(each, axis=-1) if each else np.ones((self.cases, 1, 0))


AS_THEY_ARE = Figures({})
"""One case, with every figure as the tables have it."""


def alike(layers: Sequence[Layer]) -> tuple[object, ...]:
    """What stacks must have in common to be laid in one call: equal for those that have it."""
    return tuple(
        layer.touches if isinstance(layer, Lifted) else (type(layer), getattr(layer, "minutes", 0))
        for layer in layers
    )


@dataclass(frozen=True, eq=False)
class Stacks:
    """Layers of some patches on a table's paper, ready to be laid with any figures.

    stacks : the layers of each patch, the lowest first; all `alike`
    """

    table: Table
    stacks: tuple[tuple[Layer, ...], ...]

    @cached_property
    def dyes(self) -> tuple[Dye, ...]:
        """Colourants that can lie there."""
        return dyes_of([layer for layers in self.stacks for layer in layers], self.table)

    @cached_property
    def inks(self) -> tuple[str, ...]:
        """Bottles in the layers."""
        layers = [layer for layers in self.stacks for layer in layers]
        return tuple(ink.name for ink in inks_of(layers, self.table))

    @cached_property
    def own(self) -> Table:
        """The table with the columns of those colourants alone."""
        return self.table.with_columns(self.dyes)

    @cached_property
    def contents_g_per_l(self) -> Array:
        """Dye in each bottle, shape (inks, colourants). [g/L]."""
        return self.own.contents_g_per_l(self.table.palette.inks[name] for name in self.inks)

    def after_each(self, figures: Figures = AS_THEY_ARE) -> Iterator[Sheet]:
        """The bare patches, and the same after each layer, shape (cases, patches).

        One sheet, laid on further: take what is wanted before the next.
        """
        sheet = bare((figures.cases, len(self.stacks)), len(self.dyes))
        yield sheet
        for number, layers in enumerate(zip(*self.stacks, strict=True)):
            share = np.array([layer.share for layer in layers])
            first = layers[0]
            if isinstance(first, Laid):
                self._lay(sheet, layers, number, figures, share)
            elif isinstance(first, Lifted):
                self._lift(sheet, first, figures, share)
            else:
                self._wet(sheet, first, share)
            yield sheet

    def xyz(self, sheet: Sheet, figures: Figures = AS_THEY_ARE) -> Array:
        """XYZ of the patches under the table's light, shape (cases, patches, 3).

        [-], 1 for white.
        """
        gain, paper = figures.of("gain")[..., None], figures.of("paper")[..., None]
        return xyz(self.own, sheet, gain, paper)

    def _lay(
        self, sheet: Sheet, layers: Sequence[Laid], number: int, figures: Figures, share: Array
    ) -> None:
        """A wash on each patch, with strengths of its own in each case."""
        usual = self.table.paper.film_ml_per_m2
        own = [usual if one.film_ml_per_m2 is None else one.film_ml_per_m2 for one in layers]
        films = np.array(own) * figures.of("film")
        there = np.flatnonzero(share > 0.0)
        if there.size:
            some = sheet if there.size == len(layers) else sheet.each(lambda field: field[:, there])
            self._wash(some, [layers[int(n)] for n in there], number, figures, films[:, there])
            if some is not sheet:
                _put_back(sheet, there, some)
        if sheet.residue_mol_per_m2.any():
            touch = touch_of_wash(0.0, self.table.room, self.table.paper)
            touch = replace(touch, film_l_per_m2=films / 1000.0)
            woken = np.where(sheet.residue_mol_per_m2 > 0.0, share, 0.0)
            self._bleach(sheet, woken, touch, 0.0, figures)

    def _wash(
        self, sheet: Sheet, layers: Sequence[Laid], number: int, figures: Figures, films: Array
    ) -> None:
        """The dye that a wash brings, on patches where it lies."""
        usual = self.table.paper.film_ml_per_m2
        parts = [
            [one.mix.ink_ml.get(ink, 0.0) / one.mix.all_ml for ink in self.inks] for one in layers
        ]
        by_volume = np.array(parts).reshape(len(layers), len(self.inks))
        q = by_volume.sum(axis=1)
        if not q.any():
            return
        films = films * np.array([one.coats for one in layers])
        g_per_l = (figures.of_each("ink", self.inks) * by_volume) @ self.contents_g_per_l
        dye = g_per_l * figures.of("wash", str(number))[..., None]
        neat = g_per_l / np.maximum(q, 1e-12)[:, None] * usual / 1000.0
        overlap = self._overlap(sheet, neat, figures.of("gain")[..., None])
        wash = parted_by_none(q * films / usual, dye * (films / 1000.0)[..., None], overlap)
        lay(sheet, wash, np.array([one.share for one in layers]))

    def _overlap(self, sheet: Sheet, neat: Array, gain: Array) -> Array:
        """Crowding of a wash in each case, shape (cases, patches, 3, colourants)."""
        if not sheet.coats.any():
            return np.zeros((3, len(self.dyes)))  # nothing below that could crowd it
        k = self.table.paper.path_spread
        # a gain of path counts in the slope alone; from the ratio of paths it falls out
        overlap = crowding_overlap(neat * gain, self.own.visible_path_m2_per_g, VISIBLE_NM, k)
        return overlap * gain[..., None]

    def _lift(self, sheet: Sheet, lift: Lifted, figures: Figures, share: Array) -> None:
        """Touches of bleach, with films and times of their own in each case."""
        touch = touch_of(lift.touches, self.table.bleach, self.table.room, self.table.paper)
        film = figures.of("touch")
        moved = replace(
            touch,
            dose_mol_per_m2=touch.dose_mol_per_m2 * film * figures.of("bottle"),
            film_l_per_m2=touch.film_l_per_m2 * film,
            seconds=touch.seconds * figures.of("minutes"),
            lag_seconds=touch.lag_seconds * figures.of("depth") ** 2,
            kept=np.minimum(touch.kept * figures.of("kept"), 1.0),
        )
        self._bleach(sheet, share, moved, lift.touches.parts_water, figures)

    def _bleach(
        self, sheet: Sheet, share: Array, touch: Touch, parts_water: float, figures: Figures
    ) -> None:
        """A touch of that bleach, compiled where there are many patches."""
        chemistry = self._chemistry(parts_water, figures)
        own = all(np.shape(f)[-1:] in ((), (1,)) for f in (touch.film_l_per_m2, touch.seconds))
        if len(self.stacks) < MANY_PATCHES or not own:
            plain.lift(sheet, share, touch, chemistry)
            return
        from glaze.sheet.compiled_lift import lift_cases

        lift_cases(sheet, share, touch, chemistry)

    def _chemistry(self, parts_water: float, figures: Figures) -> Chemistry:
        """Rates and appetites of each case, shape (cases, 1, colourants)."""
        names, bleach = [dye.name for dye in self.dyes], self.table.bleach
        every = np.ones((figures.cases, 1))
        celsius = self.table.room.temperature_c + np.log(figures.of("room")) * every
        bottle_ph = bleach.ph + np.log(figures.of("alkali")) * every
        ph = rates.diluted_ph(bottle_ph, bleach.mol_per_l, parts_water)
        usual = chemistry_of(
            self.dyes, self.table.paper, np.clip(celsius, COLDEST_C, WARMEST_C), ph
        )
        return replace(
            usual,
            k_l_per_mol_s=usual.k_l_per_mol_s * figures.of_each("rate", names),
            oxidant_mol_per_mol=usual.oxidant_mol_per_mol * figures.of_each("oxidant", names),
            product_mol_per_mol=usual.product_mol_per_mol * figures.of_each("yield", names),
            fibre_mol_per_m2=usual.fibre_mol_per_m2 * figures.of("fibres") * every,
            fibre_rate_l_per_mol_s=usual.fibre_rate_l_per_mol_s * figures.of("fibre rate"),
        )

    def _wet(self, sheet: Sheet, layer: Watered, share: Array) -> None:
        """Clean water; its habits aren't moved."""
        chemistry = chemistry_of(self.dyes, self.table.paper)
        if layer.minutes is None:
            rinse(sheet, share, chemistry)
        else:
            water_lift(sheet, share, layer.minutes, chemistry)


def _put_back(sheet: Sheet, patches: NDArray[np.intp], some: Sheet) -> None:
    """Patches that were taken out, back where they belong."""
    for name, field in vars(some).items():
        getattr(sheet, name)[:, patches] = field
