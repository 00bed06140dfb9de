"""Predicted colours of flat patches, in the numbers and words that sheets print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.charts.paper.marks import Colour
from glaze.errors import InputError
from glaze.materials.colour_words import colour_words
from glaze.materials.ink import Ink
from glaze.materials.mix import Mix
from glaze.materials.munsell import munsell_from_xyz, munsell_notation
from glaze.patch.patches import bare_patches, first_washes, glaze, lab, linear_rgb, xyz
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000, lab_from_xyz, map_into_gamut
from glaze.picture.file import encode
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]

WATER_LIKE_DE00 = 3.0
"""An ink that neat stays this near to bare paper is water to the eye (guess: three times the
difference most people can just see)."""

GREY_CHROMA = 3.0
"""Munsell chroma below which an ink counts as black or grey, not as a hue (guess)."""


@dataclass(frozen=True)
class Patch:
    """What a flat patch looks like.

    rgb8 : as a screen shows it, 8-bit sRGB. lab : CIELAB under the table's light.
    hue, value, chroma : Munsell; hue 0 to 100, 5 = 5R. munsell : written, as "7.5R 4.2/6".
    """

    rgb8: Colour
    lab: tuple[float, float, float]
    hue: float
    value: float
    chroma: float
    munsell: str

    @property
    def words(self) -> str:
        """The colour in words."""
        return colour_words(self.hue, self.value, self.chroma)


def patches_of(table: Table, sheet: Sheet) -> list[Patch]:
    """Every patch of a sheet, row by row."""
    seen = xyz(table, sheet).reshape(-1, 3)
    white = table.light.white_xyz
    munsell = munsell_from_xyz(seen, white)
    rgb8 = encode(map_into_gamut(linear_rgb(table, sheet).reshape(-1, 3))[0])
    labs = lab_from_xyz(seen, white)
    written = munsell_notation(seen, white)
    return [
        Patch(
            (int(rgb8[i, 0]), int(rgb8[i, 1]), int(rgb8[i, 2])),
            (float(labs[i, 0]), float(labs[i, 1]), float(labs[i, 2])),
            float(munsell.hue[i]),
            float(munsell.value[i]),
            float(munsell.chroma[i]),
            written[i],
        )
        for i in range(len(seen))
    ]


def lay_first(table: Table, mixes: Sequence[Mix]) -> Sheet:
    """Bare paper with one wash on each patch."""
    return glaze(table, bare_patches(table, len(mixes)), mixes)


def lay_shares(table: Table, inks: Sequence[Ink], shares: Array) -> Sheet:
    """Bare paper with one wash on each patch, mixed by volume.

    shares : of each ink in the liquid [-], shape (patches, inks); what is missing to 1 is water
    """
    neat = np.array(
        [[ink.contents_g_per_l.get(dye.name, 0.0) for dye in table.dyes] for ink in inks]
    )
    return first_washes(table, shares @ neat, shares.sum(axis=1))


def refuse_water(table: Table, mix: Mix, name: str) -> None:
    """Refuse an ink or mix that hardly shows on this paper."""
    sheet = lay_first(table, [mix])
    bare = bare_patches(table, 1)
    apart = float(delta_e_2000(lab(table, sheet), lab(table, bare))[0, 0])
    if apart < WATER_LIKE_DE00:
        raise InputError(
            f'"{name}" is as good as water on {table.paper.name} paper: it differs from the bare '
            f"sheet by {apart:.1f} (CIEDE2000), and a chart needs at least {WATER_LIKE_DE00:g}. "
            "Choose a stronger ink or less water."
        )


def hued_inks(table: Table, inks: Sequence[Ink]) -> dict[str, Patch]:
    """Those of the inks that have a hue of their own, neat, by name."""
    sheet = lay_shares(table, inks, np.eye(len(inks)))
    found = zip(inks, patches_of(table, sheet), strict=True)
    return {ink.name: patch for ink, patch in found if patch.chroma >= GREY_CHROMA}
