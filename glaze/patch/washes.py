"""Washes on flat patches, as sheets ask for them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.ink import Ink
from glaze.materials.mix import Mix
from glaze.patch.patches import bare_patches, first_washes, glaze, lab, value
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]

WATER_LIKE_DE00 = 3.0
"""An ink that neat stays this near to bare paper is water to the eye (guess: three times the
difference most people can just see)."""

GREY_CHROMA = 3.0
"""Munsell chroma below which an ink counts as black or grey, not as a hue (guess)."""


def lay_first(table: Table, mixes: Sequence[Mix]) -> Sheet:
    """Bare paper with one wash on each patch."""
    return glaze(table, bare_patches(table, len(mixes)), mixes)


def lay_shares(table: Table, inks: Sequence[Ink], shares: Array) -> Sheet:
    """Bare paper with one wash on each patch, mixed by volume.

    shares : of each ink in the liquid [-], shape (patches, inks); what is missing to 1 is water
    """
    return first_washes(table, shares @ table.contents_g_per_l(inks), shares.sum(axis=1))


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


def hued_inks(table: Table, inks: Sequence[Ink]) -> dict[str, Look]:
    """Those of the inks that have a hue of their own, neat, by name."""
    sheet = lay_shares(table, inks, np.eye(len(inks)))
    found = zip(inks, looks_of(table, sheet), strict=True)
    return {ink.name: patch for ink, patch in found if patch.chroma >= GREY_CHROMA}


def shadow_ink(table: Table, asked: str | None = None) -> str:
    """The ink that shadow washes are made of: the one asked for, or the darkest bottle, neat."""
    if asked:
        return table.palette.ink(asked).name
    inks = table.palette.bottles
    values = value(table, lay_first(table, [table.mix(f"{ink.name} 1") for ink in inks]))[0]
    return inks[int(np.argmin(values))].name


def named(recipe: str) -> str:
    """A recipe as a name: "Black" for "Black 1"; others as they are written."""
    name, _, amount = recipe.rpartition(" ")
    return name if amount == "1" and "+" not in name else recipe
