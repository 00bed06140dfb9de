"""One patch many times over, each time with other figures: strengths, films, rates, paper.

The same law as `glaze.sheet.wash.lay` and `glaze.sheet.lift.lift`, whose equations it calls;
only what those take as one constant is here one for each case. Tests hold it to them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.materials.bleach import touch_habits
from glaze.materials.chemistry import PAPER_ACTIVATION_KJ_PER_MOL, Chemistry, chemistry_of
from glaze.materials.dye import Dye
from glaze.patch.layers import Doubt, Key, Laid, Layer, Lifted, Watered, dyes_of, inks_of
from glaze.patch.table import Table
from glaze.physics import depletion, drying, rates
from glaze.physics.absorption import SQUARE_METRE_TO_PATH, glaze_weight, path, stack_reflectance
from glaze.physics.crowding import crowding_overlap
from glaze.picture.light import band_nm
from glaze.sheet.lift import Touch, coats_share, touch_of, touch_of_wash
from glaze.sheet.wash import VISIBLE_NM

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Figures:
    """By what each figure is multiplied in each case: 1 for figures that stay."""

    keys: dict[Key, int]
    factors: Array

    def of(self, key: str, name: str = "") -> Array:
        """Factors of one figure, shape (cases,)."""
        at = self.keys.get((key, name))
        return np.ones(len(self.factors)) if at is None else self.factors[:, at]

    def of_each(self, key: str, names: Sequence[str]) -> Array:
        """Factors of one figure of several, shape (cases, names)."""
        columns = [self.of(key, name) for name in names]
        return np.array(columns).reshape(len(columns), len(self.factors)).T


@dataclass(eq=False)
class State:
    """The patch in every case; the first axis is the case. Units as in `Sheet`."""

    load: Array
    optical: Array
    coats: Array
    fresh: Array
    residue: Array


@dataclass(frozen=True, eq=False)
class Cases:
    """Layers of one patch on a table's paper, ready to be laid with any figures.

    doubts : figures that may be moved; the columns of `factors` below, and after them one for the
        dye of each wash, which its coats don't follow (the error of the law itself)
    """

    table: Table
    layers: tuple[Layer, ...]
    doubts: tuple[Doubt, ...]

    @cached_property
    def washes(self) -> tuple[int, ...]:
        """Places of the washes that hold ink among the layers."""
        return tuple(
            n for n, layer in enumerate(self.layers) if isinstance(layer, Laid) and layer.mix.ink_ml
        )

    @cached_property
    def keys(self) -> dict[Key, int]:
        """Column of each figure."""
        keys = [doubt.key for doubt in self.doubts] + [("wash", str(n)) for n in self.washes]
        return {key: column for column, key in enumerate(keys)}

    @cached_property
    def dyes(self) -> tuple[Dye, ...]:
        """Colourants that can lie there."""
        return dyes_of(self.layers, self.table)

    @cached_property
    def inks(self) -> tuple[str, ...]:
        """Bottles in the layers."""
        return tuple(ink.name for ink in inks_of(self.layers, self.table))

    @cached_property
    def contents_g_per_l(self) -> Array:
        """Dye in each bottle, shape (inks, colourants)."""
        inks = (self.table.palette.inks[name] for name in self.inks)
        rows = [[ink.contents_g_per_l.get(dye.name, 0.0) for dye in self.dyes] for ink in inks]
        return np.array(rows).reshape(len(self.inks), len(self.dyes))

    def _paths(self, wavelength_nm: Array) -> Array:
        """Path of 1 g/m2 of each colourant, shape (colourants, wavelengths)."""
        curves = [dye.absorptivity_l_per_g_cm(wavelength_nm) for dye in self.dyes]
        absorptivity = np.array(curves).reshape(len(self.dyes), len(wavelength_nm))
        return path(absorptivity * SQUARE_METRE_TO_PATH, self.table.paper.path_gain)

    @cached_property
    def visible_paths(self) -> Array:
        """Where a wash's crowding is weighed."""
        return self._paths(VISIBLE_NM)

    @cached_property
    def band_paths(self) -> Array:
        """In the bands of the light."""
        return self._paths(band_nm())

    def xyz(self, factors: Array) -> Array:
        """XYZ of the patch under the table's light, shape (cases, 3).

        Parameters
        ----------
        factors : what each figure is multiplied by, shape (cases, figures)
        """
        figures = Figures(self.keys, np.atleast_2d(factors))
        state = self._bare(len(figures.factors))
        lifted: Lifted | None = None
        for n, layer in enumerate(self.layers):
            if isinstance(layer, Laid):
                self._lay(state, layer, n, figures, lifted)
            elif isinstance(layer, Lifted):
                self._lift(state, layer, figures)
                lifted = layer
            else:
                self._wet(state, layer)
        return self._reflectance(state, figures) @ self.table.light.xyz_weights

    def _bare(self, cases: int) -> State:
        full, one = (cases, len(self.dyes)), np.zeros(cases)
        return State(np.zeros(full), np.zeros(full), one, np.ones(cases), one.copy())

    def _reflectance(self, state: State, figures: Figures) -> Array:
        A = (state.optical @ self.band_paths) * figures.of("gain")[:, None]
        gain = (1.0 - state.fresh)[:, None] * self.table.bleached_gain
        Rp = (self.table.paper_reflectance + gain) * figures.of("paper")[:, None]
        paper = self.table.paper
        return np.asarray(stack_reflectance(A, Rp, paper.surface_reflectance, paper.path_spread))

    # --- washes ------------------------------------------------------------------------------

    def _lay(
        self, state: State, layer: Laid, number: int, figures: Figures, lifted: Lifted | None
    ) -> None:
        """`glaze.sheet.wash.lay`, with strengths of its own in each case."""
        mix, paper = layer.mix, self.table.paper
        film = paper.film_ml_per_m2 if layer.film_ml_per_m2 is None else layer.film_ml_per_m2
        films = film * figures.of("film")
        by_volume = np.array([mix.ink_ml.get(name, 0.0) / mix.all_ml for name in self.inks])
        if by_volume.any() and layer.share > 0:
            g_per_l = (figures.of_each("ink", self.inks) * by_volume) @ self.contents_g_per_l
            dye = g_per_l * figures.of("wash", str(number))[:, None]
            load = dye * (films * layer.coats * layer.share / 1000.0)[:, None]
            dQ = mix.strength * layer.coats * layer.share * films / paper.film_ml_per_m2
            neat = g_per_l / mix.strength * paper.film_ml_per_m2 / 1000.0
            overlap = self._overlap(neat, figures.of("gain"))
            # `coats_below`, with an overlap of its own in each case
            Q = np.minimum(
                state.coats,
                np.einsum("cj,ctj->ct", state.load, overlap).min(axis=1, initial=np.inf),
            )
            state.load += load
            state.optical += load * (glaze_weight(Q, dQ) / dQ)[:, None]
            state.coats += dQ
        if lifted is not None and layer.share > 0 and state.residue.any():
            touch = touch_of_wash(film, self.table.room, paper)
            self._touch(state, touch, lifted, layer.share, figures, own_dose=False)

    def _overlap(self, neat: Array, gain: Array) -> Array:
        """Crowding of a wash in each case, worked out once for each different one."""
        rows, which = np.unique(np.column_stack([neat, gain]), axis=0, return_inverse=True)
        k = self.table.paper.path_spread
        found = [
            crowding_overlap(row[:-1], self.visible_paths * row[-1], VISIBLE_NM, k) for row in rows
        ]
        return np.array(found)[which.ravel()]

    # --- lifts -------------------------------------------------------------------------------

    def _lift(self, state: State, layer: Lifted, figures: Figures) -> None:
        plan, paper = layer.touches, self.table.paper
        touch = touch_of(plan, self.table.bleach, self.table.room, paper)
        for _ in range(touch.touches if layer.share > 0 else 0):
            self._touch(state, touch, layer, layer.share, figures)

    def _touch(
        self,
        state: State,
        touch: Touch,
        lift: Lifted,
        share: float,
        figures: Figures,
        own_dose: bool = True,
    ) -> None:
        """One touch of `glaze.sheet.lift.lift`, with rates and films of its own in each case."""
        parts = lift.touches.parts_water if own_dose else 0.0
        chemistry = self._chemistry(parts)
        network, tint = self._networks(chemistry, figures)
        film = figures.of("touch" if own_dose else "film")
        dose = share * touch.dose_mol_per_m2 * film * figures.of("bottle")
        mol = state.load / chemistry.molar_mass_g_per_mol
        # a thin film dissolves only part of what an earlier touch left
        water = share * touch.film_l_per_m2 * film / max(touch.residual_l_per_m2, 1e-9)
        woken = np.minimum(1.0, water)
        h0 = dose + woken * state.residue
        s = depletion.exposure(network, mol, h0, _tau(touch, share, dose, film, figures, own_dose))
        gram = depletion.shares(network, s) * chemistry.mass_ratio
        after = np.einsum("pij,pj->pi", gram, state.load)
        state.optical = np.einsum("pij,pj->pi", gram, state.optical)
        m = chemistry.mean_absorptivity_l_per_g_cm
        state.coats = state.coats * coats_share(state.load, after, m)
        left = np.maximum(depletion.oxidant_left(network, s, mol, h0), 0.0)
        state.load = after
        kept = np.minimum(touch.kept * figures.of("kept"), 1.0) if own_dose else touch.kept
        state.residue = (1.0 - woken) * state.residue + kept * left
        state.fresh = state.fresh * np.exp(-tint * s)

    @cached_property
    def _chemistries(self) -> dict[float, Chemistry]:
        return {}

    def _chemistry(self, parts_water: float) -> Chemistry:
        """Of the colourants that lie there, worked out once for each dilution of the bleach."""
        ph = self.table.bleach.diluted_ph(parts_water)
        if ph not in self._chemistries:
            celsius = self.table.room.temperature_c
            self._chemistries[ph] = chemistry_of(self.dyes, self.table.paper, celsius, ph)
        return self._chemistries[ph]

    def _networks(self, chemistry: Chemistry, figures: Figures) -> tuple[depletion.Network, Array]:
        """Rates and appetites of each case, and how fast the paper's tint goes."""
        names = [dye.name for dye in self.dyes]
        activation = np.array([dye.bleach.ea_ocl_kj_per_mol for dye in self.dyes])
        degrees, celsius = np.log(figures.of("room")), self.table.room.temperature_c
        k = chemistry.k_l_per_mol_s * figures.of_each("rate", names)
        k *= _warmer(activation[None, :], celsius, degrees[:, None])
        paper_warmer = _warmer(PAPER_ACTIVATION_KJ_PER_MOL, celsius, degrees)
        oxidant = chemistry.oxidant_mol_per_mol * figures.of_each("oxidant", names)
        yields = chemistry.product_mol_per_mol * figures.of_each("yield", names)
        fibres = chemistry.fibre_mol_per_m2 * figures.of("fibres")
        fibre_rate = chemistry.fibre_rate_l_per_mol_s * figures.of("fibre rate") * paper_warmer
        network = depletion.network_of(k, oxidant, chemistry.product, yields, fibres, fibre_rate)
        return network, chemistry.tint_rate_l_per_mol_s * paper_warmer

    def _wet(self, state: State, layer: Watered) -> None:
        """`glaze.sheet.lift.water_lift` or `rinse`; its habits aren't moved."""
        habits = touch_habits()
        taken = habits.water_rinsed
        if layer.minutes is not None:
            risen = -np.expm1(-layer.minutes / habits.loosening_minutes)
            taken = habits.water_blotted * float(risen)
        else:
            state.residue = state.residue * (1.0 - layer.share * (1.0 - habits.kept_when_rinsed))
        loose = np.array([dye.loose_fraction for dye in self.dyes])
        m = np.array([dye.mean_absorptivity_l_per_g_cm for dye in self.dyes])
        stays = 1.0 - layer.share * taken * loose
        state.coats = state.coats * coats_share(state.load, state.load * stays, m)
        state.load, state.optical = state.load * stays, state.optical * stays


def _tau(
    touch: Touch, share: float, dose: Array, film: Array, figures: Figures, own: bool
) -> Array:
    """`Touch.tau` with films and times of its own in each case [s m2/L]."""
    minutes, depth = (figures.of(key) if own else 1.0 for key in ("minutes", "depth"))
    seconds = touch.seconds * minutes
    lag = np.minimum(touch.lag_seconds * depth**2, seconds)
    least = np.maximum(touch.residual_l_per_m2, dose / touch.cap_mol_per_l)
    start = share * touch.film_l_per_m2 * film
    e = touch.evaporation_l_per_m2_s
    whole = drying.thinness(seconds, start, e, least)
    return np.asarray(whole - drying.thinness(lag, start, e, least))


def _warmer(activation_kj: float | Array, celsius: float, degrees: Array) -> Array:
    """How many times faster a reaction goes when the room is so many degrees warmer."""
    warm = rates.arrhenius_factor(activation_kj, celsius + degrees)
    return np.asarray(warm / rates.arrhenius_factor(activation_kj, celsius))


def alone(cases: Cases, number: int) -> Cases:
    """One wash of a patch by itself on bare paper."""
    layer = cases.layers[number]
    assert isinstance(layer, Laid)
    return replace(cases, layers=(layer,), doubts=())
