"""Separation: the fringe at the drying edge of a wash, and the dyes an ink would part into.

Dyes of one ink travel unequally with the water. At a drying edge the quick ones gather in the
rim and the slow ones stay behind; on wet paper they can part altogether.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.mix import Mix, diluted
from glaze.patch.patches import bare_patches
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.washes import lay_first, named, refuse_water
from glaze.physics.flow import MM_PER_INCH
from glaze.sheet.state import Sheet
from glaze.sheet.wash import drying_line, lay, work_out
from glaze.step.film import RIM_GAIN

Array = NDArray[np.float64]

OUTSIDE_MM, INSIDE_MM = 1.0, 5.0
"""Stretch across the edge that is worked out."""
DPI = 508.0
"""20 pixels a millimetre: a rim of half a millimetre has ten."""
WASH_PARTS = 4.0


@dataclass(frozen=True)
class PartedDye:
    """One dye of an ink by itself. mobility : how readily it travels, 0 to 1. mix : it alone."""

    name: str
    mobility: float
    patch: Look
    mix: Mix


@dataclass(frozen=True, eq=False)
class Fringe:
    """How one ink or mix parts.

    edge : colours across a drying edge from 1 mm outside to 5 mm inside, shape (pixels, 3).
    rim, middle : the wash at its edge and well inside. dyes : from the quickest to the slowest.
    separates : whether its dyes travel unequally at all.
    """

    recipe: str
    name: str
    patch: Look
    edge: NDArray[np.uint8]
    rim: Look
    middle: Look
    dyes: tuple[PartedDye, ...]
    separates: bool
    inks: tuple[str, ...]


def plan_fringes(table: Table, recipes: Sequence[str] | None = None) -> list[Fringe]:
    """The fringes of inks or mixes; of all inks of the palette with more than one dye if None."""
    if recipes is None:
        several = [i.name for i in table.palette.inks.values() if len(i.contents_g_per_l) > 1]
        recipes = [f"{name} 1" for name in several]
        if not recipes:
            raise InputError(
                f'Every ink of the palette "{table.palette.name}" has one dye, so none can '
                'separate. Name a mix instead, as --of "Blue 3 + Yellow 2".'
            )
    return [fringe_of(table, recipe) for recipe in recipes]


def fringe_of(table: Table, recipe: str) -> Fringe:
    """How an ink or mix parts; its edge as of a wash of 1 part + 4 parts water."""
    mix = table.mix(recipe)
    refuse_water(table, mix, recipe)
    (neat,) = looks_of(table, lay_first(table, [mix]))
    sheet, separates = dried_edge(table, diluted(mix, WASH_PARTS))
    across = looks_of(table, sheet)
    per_mm = round(DPI / MM_PER_INCH)
    first = round(OUTSIDE_MM * per_mm)
    rim_px = max(1, round(table.paper.rim_mm / 2 * per_mm))
    return Fringe(
        recipe=recipe,
        name=named(recipe),
        patch=neat,
        edge=np.array([patch.rgb8 for patch in across], np.uint8),
        rim=across[first + rim_px // 2],
        middle=across[-1],
        dyes=tuple(parted(table, mix)),
        separates=separates,
        inks=tuple(mix.ink_ml),
    )


def dried_edge(table: Table, mix: Mix) -> tuple[Sheet, bool]:
    """One row of pixels across the straight, drying edge of a wash; whether its dyes part.

    As `glaze.painting.settle` lays it: what the rim gains comes from the strip behind it.
    """
    paper = table.paper
    per_mm = DPI / MM_PER_INCH
    outside, inside = round(OUTSIDE_MM * per_mm), round(INSIDE_MM * per_mm)
    film = np.zeros((1, outside + inside), np.float32)
    film[0, outside:] = 1.0
    wash = work_out(mix, 1.0, paper.film_ml_per_m2, paper, table.dyes)
    line = drying_line(film, film, paper.rim_mm, RIM_GAIN["drying line"], DPI)
    thickness = np.maximum(film + line * np.float32(wash.mean_mobility), 0)
    sheet = bare_patches(table, film.shape[1])
    lay(sheet, wash, thickness, line if wash.separates else None)
    return sheet, wash.separates


def parted(table: Table, mix: Mix) -> list[PartedDye]:
    """Each dye of a mix alone, in the strength it has there, the quickest first."""
    dyes = {dye.name: dye for dye in table.dyes}
    names = sorted(mix.contents_g_per_l, key=lambda name: -dyes[name].mobility)
    alone = [
        replace(mix, contents_g_per_l=MappingProxyType({name: mix.contents_g_per_l[name]}))
        for name in names
    ]
    found = zip(names, looks_of(table, lay_first(table, alone)), alone, strict=True)
    return [PartedDye(name, dyes[name].mobility, patch, one) for name, patch, one in found]


def told_of(fringe: Fringe) -> str:
    """What to look for, in a sentence."""
    if not fringe.separates:
        return "Its dyes travel alike: no coloured fringe, only a darker rim."
    quick, slow = fringe.dyes[0], fringe.dyes[-1]
    darker = fringe.middle.value - fringe.rim.value
    return (
        f"{quick.name} ({quick.patch.words}) runs ahead, {slow.name} ({slow.patch.words}) stays "
        f"behind. The rim, {fringe.rim.munsell}, is {darker:.1f} steps darker than the middle, "
        f"{fringe.middle.munsell}."
    )
