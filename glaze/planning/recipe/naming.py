"""What a bottle is close to: the mix of known inks that looks like it, neat and thinned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.dye import colourants
from glaze.materials.ink import Ink, Palette
from glaze.materials.recipe import Recipe
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000
from glaze.planning.recipe.drops import every_recipe, recipe_of
from glaze.planning.recipe.match import MOST_DROPS, predicted_lab

Array = NDArray[np.float64]

THINNED_PARTS = 4.0
"""A bottle is compared neat and at 1 part + 4 parts water: two strengths tell a weak cyan from a
strong blue."""
LOOKS_LIKE, CLOSE, NEAR = 2.0, 5.0, 10.0


@dataclass(frozen=True)
class Likeness:
    """The nearest mixes of one bottle.

    recipes : nearest first, each with the mean CIEDE2000 of both strengths
    """

    ink: str
    recipes: tuple[tuple[Recipe, float], ...]
    note: str

    @property
    def best(self) -> Recipe:
        """The nearest mix."""
        return self.recipes[0][0]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        rows = [{"recipe": r.text, "de00": round(off, 2)} for r, off in self.recipes]
        return {"ink": self.ink, "close_to": rows, "note": self.note}


def name_ink(
    ink: Ink, table: Table, most_drops: int = 12, bottles: Sequence[str] | None = None
) -> Likeness:
    """The mixes of the table's bottles that look most like an ink, itself left out.

    Parameters
    ----------
    ink : any bottle; its dyes have to be colourants of the table
    bottles : names of the inks to mix from, the palette's own if None
    """
    known = [table.palette.ink(n) for n in bottles] if bottles else list(table.palette.bottles)
    known = [other for other in known if other.contents_g_per_l != ink.contents_g_per_l]
    if not known:
        raise InputError(f"There is no other bottle to compare {ink.name} with; name a palette.")
    if not 1 <= most_drops <= MOST_DROPS:
        raise InputError(f"{most_drops} drops: a recipe has 1 to {MOST_DROPS} drops.")
    counts = every_recipe(len(known), most_drops, 3)
    alone = np.array([[1, 0]])
    off = np.zeros(len(counts))
    for water in (0.0, THINNED_PARTS):
        own = predicted_lab(table, [ink], alone, more_water=water)
        off += delta_e_2000(predicted_lab(table, known, counts, more_water=water), own) / 2
    rows = _simple_first(counts, off)
    recipes = tuple((recipe_of(known, counts[n]), float(off[n])) for n in rows)
    return Likeness(ink.name, recipes, _note(ink.name, *recipes[0]))


def beside(table: Table, home: Palette, name: str) -> Table:
    """The table with one more bottle's dyes among its colourants."""
    used = [dye for ink in table.palette.inks.values() for dye in ink.contents_g_per_l]
    dyes = {**table.palette.dyes, **home.dyes}
    return replace(table, dyes=colourants([*used, *home.ink(name).contents_g_per_l], dyes))


def _simple_first(counts: NDArray[np.int64], off: Array) -> list[int]:
    """The nearest, then the nearest with at most half its drops, and so on."""
    drops = counts.sum(axis=1)
    rows = [int(np.lexsort((drops, off))[0])]
    while drops[rows[-1]] > 1 and len(rows) < 3:
        fewer = np.flatnonzero(drops <= drops[rows[-1]] // 2)
        rows.append(int(fewer[np.lexsort((drops[fewer], off[fewer]))[0]]))
    return rows


def _note(ink: str, recipe: Recipe, off: float) -> str:
    if off <= LOOKS_LIKE:
        return f"{ink} looks like {recipe.text}."
    if off <= CLOSE:
        return f"{ink} is close to {recipe.text}."
    if off <= NEAR:
        return f"{ink} is in the direction of {recipe.text}, plainly different side by side."
    return f"No mix of these bottles comes near {ink}; the nearest is {recipe.text}."
