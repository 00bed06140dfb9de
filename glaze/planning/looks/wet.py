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

from glaze.materials.munsell import munsell_from_xyz, munsell_notation
from glaze.patch.patches import glaze, reflectance
from glaze.patch.table import Table
from glaze.physics.colour import D65_XYZ
from glaze.planning.recipe.hue import Hue, words
from glaze.planning.recipe.wanted import daylight_weights

Array = NDArray[np.float64]

WATER_INDEX = 1.33
"""Refractive index of water in the visible."""
WELL_MM = 3.0
"""Depth of a mix in its well; assumed."""
WELL_WHITE = 0.85
"""Reflectance of a white palette; assumed."""


@dataclass(frozen=True)
class Look:
    """A state of the same mix: in the well, wet on paper, dry."""

    state: str
    value: float
    munsell: str
    words: str
    xyz: tuple[float, float, float]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "state": self.state,
            "value": round(self.value, 2),
            "munsell": self.munsell,
            "words": self.words,
        }


@dataclass(frozen=True)
class WetDry:
    """Three looks of a mix over a hue.

    lighter : value steps by which the wash dries lighter
    """

    mix: str
    hue: str
    looks: tuple[Look, ...]
    lighter: float
    note: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "mix": self.mix,
            "hue": self.hue,
            "looks": [look.as_dict() for look in self.looks],
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
    looks = tuple(
        _look(table, state, R)
        for state, R in (("in the well", well), ("wet on paper", wet), ("dry", dry))
    )
    lighter = looks[2].value - looks[1].value
    note = (
        f"It dries about {lighter:.1f} value steps lighter than it looks wet. From two stated "
        "models, not measured with ink: trust a dry swatch before them."
    )
    return WetDry(mix.recipe.text, hue.text, looks, lighter, note)


def _look(table: Table, state: str, R: Array) -> Look:
    xyz = R @ daylight_weights(table.light)
    found = munsell_from_xyz(xyz[None], D65_XYZ)
    notation = munsell_notation(xyz, D65_XYZ)
    assert isinstance(notation, str)
    x, y, z = (float(part) for part in xyz)
    return Look(state, float(found.value[0]), notation, words(found), (x, y, z))
