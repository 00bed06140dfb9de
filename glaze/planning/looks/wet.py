"""Wet against dry: what a mix looks like in the well and wet on paper, before it dries.

Judged wet, every wash comes out paler than meant. A wet sheet is darker because light that the
fibres scatter is thrown back into them at the water's surface, and a well is darker still because
light crosses all of its depth. Both are stated models; neither was measured with ink.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.patch.patches import glaze, reflectance
from glaze.patch.seen import Look, looks_of_xyz
from glaze.patch.table import Table
from glaze.planning.recipe.hue import Hue

Array = NDArray[np.float64]

WATER_INDEX = 1.33
"""Refractive index of water in the visible."""
WELL_MM = 3.0
"""Depth of a mix in its well; assumed."""
WELL_WHITE = 0.85
"""Reflectance of a white palette; assumed."""
STATES = ("in the well", "wet on paper", "dry")


@dataclass(frozen=True)
class WetDry:
    """Three looks of a mix over a hue: in the well, wet on paper, dry.

    lighter : value steps by which the wash dries lighter
    """

    mix: str
    hue: str
    looks: dict[str, Look]
    lighter: float
    note: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "mix": self.mix,
            "hue": self.hue,
            "looks": [{"state": state, **look.as_dict()} for state, look in self.looks.items()],
            "dries_lighter_by": round(self.lighter, 2),
            "standing": "assumed",
            "note": self.note,
        }


def wet_reflectance(dry: ArrayLike, index: float = WATER_INDEX) -> Array:
    """Reflectance of a rough surface under a film of water: R/(n^2 (1 - R) + R).

    Angstrom's model: of the light that the wet surface scatters, only 1/n^2 leaves the water at
    each try and the rest goes back (angstrom1925; lekner1988). White stays white, middle greys
    lose most.

    Both [-], same shape.
    """
    R = np.asarray(dry, dtype=float)
    return R / (index**2 * (1.0 - R) + R)


def well_reflectance(table: Table, contents_g_per_l: dict[str, float]) -> Array:
    """A mix in a white well, looked straight down on: light crosses its depth twice.

    Beer-Lambert: R = white x 10^-(2 c e d), with c in g/L, e in L/(g cm), d in cm.

    Shape (bands,), [-].
    """
    column = np.array([contents_g_per_l.get(dye.name, 0.0) for dye in table.dyes])
    depth_cm = WELL_MM / 10.0
    absorbance = column @ table.absorptivity_l_per_g_cm * depth_cm
    return WELL_WHITE * 10.0 ** (-2.0 * absorbance)


def wet_and_dry(table: Table, recipe: str, hue: Hue) -> WetDry:
    """A mix in the well, wet on a hue, and dry there."""
    mix = table.mix(recipe)
    sheet = glaze(table, hue.on(table), mix)
    dry = reflectance(table, sheet)[0, 0]
    # the smooth film takes away the shine of the dry surface, which s stands for
    wet = wet_reflectance(dry - table.paper.surface_reflectance)
    well = well_reflectance(table, dict(mix.contents_g_per_l))
    seen = np.array([well, wet, dry]) @ table.light.xyz_weights
    looks = dict(zip(STATES, looks_of_xyz(seen, table.light), strict=True))
    lighter = looks["dry"].value - looks["wet on paper"].value
    note = (
        f"It dries about {lighter:.1f} value steps lighter than it looks wet. From two stated "
        "models, not measured with ink: trust a dry swatch before them."
    )
    return WetDry(mix.recipe.text, hue.text, looks, lighter, note)
