"""How the colourants of a sheet, and its paper, answer to bleach: one record of plain arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError
from glaze.materials.dye import Dye
from glaze.materials.paper import Paper
from glaze.physics import depletion, rates

Array = NDArray[np.float64]

COLDEST_C, WARMEST_C = 0.0, 45.0
"""Room temperatures [deg C] at which the rates may be used; water freezes below."""

PAPER_ACTIVATION_KJ_PER_MOL = 50.0
"""Of the fibres and the paper's tint under bleach: assumed, between the dyes' 35 and 80."""


@dataclass(frozen=True, eq=False)
class Chemistry:
    """How the colourants of a sheet, and the sheet, answer to bleach.

    Attributes
    ----------
    k_l_per_mol_s : rate of each colourant at the room's temperature and the bleach's pH
    oxidant_mol_per_mol : n_j, bleach used up when a mol loses its colour or changes it
    product : index of the colourant it turns into, -1 for none
    product_mol_per_mol : mol of product from a mol
    molar_mass_g_per_mol : of each colourant
    mean_absorptivity_l_per_g_cm : mean from 400 to 700 nm
    loose_share : part of each that water takes up again [-]
    tint_rate_l_per_mol_s : how fast bleach takes the paper's own tint
    fibre_mol_per_m2, fibre_rate_l_per_mol_s : what the fibres use up, and how fast

    Rates, appetites, yields, the tint's rate and the fibres' figures may have axes in front: a set
    for each case.
    """

    k_l_per_mol_s: Array
    oxidant_mol_per_mol: Array
    product: NDArray[np.intp]
    product_mol_per_mol: Array
    molar_mass_g_per_mol: Array
    mean_absorptivity_l_per_g_cm: Array
    loose_share: Array
    tint_rate_l_per_mol_s: Any
    fibre_mol_per_m2: Any
    fibre_rate_l_per_mol_s: Any

    @cached_property
    def network(self) -> depletion.Network:
        """Who turns into what, solved once."""
        return depletion.network_of(
            self.k_l_per_mol_s,
            self.oxidant_mol_per_mol,
            self.product,
            self.product_mol_per_mol,
            self.fibre_mol_per_m2,
            self.fibre_rate_l_per_mol_s,
        )

    @cached_property
    def mass_ratio(self) -> Array:
        """Grams of i that a gram of j would be if every mol stayed a mol, [i, j].

        Shape (colourants, colourants), [-].
        """
        return np.divide.outer(self.molar_mass_g_per_mol, self.molar_mass_g_per_mol)


def chemistry_of(
    colourants: Sequence[Dye],
    paper: Paper,
    temperature_c: ArrayLike = 20.0,
    ph: ArrayLike = 11.5,
) -> Chemistry:
    """The chemistry of a sheet's colourants under bleach of `ph` at `temperature_c`.

    A product that isn't among the colourants counts as colourless. Many cases at once: both
    of shape (cases,), [deg C] and [-], and the rates of shape (cases, colourants).
    """
    for celsius in (float(np.min(temperature_c)), float(np.max(temperature_c))):
        if not COLDEST_C <= celsius <= WARMEST_C:
            raise InputError(
                f"The room is given as {celsius:g} degrees Celsius; bleach works and paper dries "
                f"as computed here from {COLDEST_C:g} to {WARMEST_C:g} degrees."
            )
    place = {dye.name: index for index, dye in enumerate(colourants)}
    warm = rates.arrhenius_factor(PAPER_ACTIVATION_KJ_PER_MOL, temperature_c)
    return Chemistry(
        k_l_per_mol_s=_rates_of(colourants, temperature_c, ph),
        oxidant_mol_per_mol=np.array([float(dye.oxidant_mol_per_mol) for dye in colourants]),
        product=np.array([place.get(dye.product or "", -1) for dye in colourants], np.intp),
        product_mol_per_mol=np.array([float(dye.product_mol_per_mol) for dye in colourants]),
        molar_mass_g_per_mol=np.array([float(dye.molar_mass_g_per_mol) for dye in colourants]),
        mean_absorptivity_l_per_g_cm=np.array(
            [dye.mean_absorptivity_l_per_g_cm for dye in colourants]
        ),
        loose_share=np.array([dye.loose_fraction for dye in colourants]),
        tint_rate_l_per_mol_s=paper.tint_rate_l_per_mol_s * warm,
        fibre_mol_per_m2=float(paper.fibre_mol_per_m2),
        fibre_rate_l_per_mol_s=paper.fibre_rate_l_per_mol_s * warm,
    )


def _rates_of(dyes: Sequence[Dye], temperature_c: ArrayLike, ph: ArrayLike) -> Array:
    """Rate constants [L/(mol s)] of colourants in this bleach, the last axis theirs."""
    found = np.zeros((*np.broadcast_shapes(np.shape(temperature_c), np.shape(ph)), len(dyes)))
    for j, dye in enumerate(dyes):
        rate = dye.bleach
        found[..., j] = rates.observed_rate(
            rate.k_ocl_l_per_mol_s,
            rate.k_hocl_l_per_mol_s,
            rate.ea_ocl_kj_per_mol,
            rate.ea_hocl_kj_per_mol,
            temperature_c,
            ph,
            rate.pka,
        )
    return found
