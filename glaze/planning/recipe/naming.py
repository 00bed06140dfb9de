"""What a liquid is close to: the mix of known inks that looks like it, neat and thinned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.dye import colourants
from glaze.materials.ink import Ink, Palette
from glaze.materials.mix import Mix, mix_recipe
from glaze.materials.parts_told import NEAT
from glaze.materials.recipe import Recipe
from glaze.patch.seen import Colour, chip_of
from glaze.patch.table import Table
from glaze.physics.colour import D65_XYZ, delta_e_2000, rgb_from_xyz, xyz_from_lab
from glaze.planning.recipe.drops import Counts, amounts_of
from glaze.planning.recipe.nearness import FAR_DE00, hue_first
from glaze.planning.recipe.strengths import best_strengths, lab_of, predicted_lab, proportions

THINNED_PARTS = 4.0
"""A bottle is compared neat and at 1 part + 4 parts water: two strengths tell a weak cyan from a
strong blue."""
THINNED = np.array([1.0, 1 / (1 + THINNED_PARTS)])
"""Both as shares of the liquid [-]."""
Array = NDArray[np.float64]

LOOKS_LIKE, CLOSE, NEAR = 2.0, 5.0, 10.0


@dataclass(frozen=True)
class Likeness:
    """The nearest mixes of one liquid.

    mixes : nearest first, each with the mean CIEDE2000 of both strengths
    chips : each as a screen shows it neat and thinned, 8-bit sRGB
    left_out : the bottle it is itself, if it is one of the table's
    """

    ink: str
    mixes: tuple[tuple[Dilution, float], ...]
    note: str
    left_out: str = ""
    chips: tuple[tuple[Colour, ...], ...] = ()

    @property
    def best(self) -> Dilution:
        """The nearest mix."""
        return self.mixes[0][0]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        rows = [
            {"proportions": d.mix.recipe.text, **d.as_dict(), "de00": round(off, 2)}
            for d, off in self.mixes
        ]
        return {"ink": self.ink, "left_out": self.left_out, "close_to": rows, "note": self.note}


def mix_text(dilution: Dilution) -> str:
    """A mix by its inks and, unless it is neat, its strength in words."""
    inks = dilution.mix.recipe.text
    return inks if dilution.parts_water < NEAT else f"{inks}, {dilution.words}"


def name_ink(
    ink: Ink | Mix, table: Table, most_drops: int = 12, bottles: Sequence[str] | None = None
) -> Likeness:
    """The mixes of the table's bottles that look most like a bottle or a mix.

    A bottle that holds the same as one of them isn't named by itself; a mix may be.

    Parameters
    ----------
    ink : any liquid; its dyes have to be colourants of the table
    bottles : names of the inks to mix from, the palette's own if None
    """
    known = [table.palette.ink(n) for n in bottles] if bottles else list(table.palette.bottles)
    bottle = isinstance(ink, Ink)
    name = ink.name if isinstance(ink, Ink) else f'"{ink.recipe.text}"'
    same = [one for one in known if bottle and one.contents_g_per_l == ink.contents_g_per_l]
    known = [other for other in known if other not in same]
    if not known:
        raise InputError(f"There is no other bottle to compare {name} with; name a palette.")
    strong = ink.strength if isinstance(ink, Mix) else 1.0
    own = lab_of(table, THINNED[:, None] * table.contents_g_per_l([ink]), THINNED * strong)
    left_out = ", ".join(other.name for other in same)
    return likeness(table, name, own, known, proportions(len(known), most_drops, 3), left_out)


def likeness(
    table: Table, name: str, own: Array, known: Sequence[Ink], counts: Counts, left_out: str = ""
) -> Likeness:
    """The nearest of some proportions of the known bottles to what looks so, and simpler ones.

    own : CIELAB (D65) of the liquid at each share of `THINNED`, shape (2, 3) [-]
    counts : whole drops of each known bottle, shape (proportions, bottles)
    """
    looks = list(zip(THINNED.tolist(), own, strict=True))
    scores = {share: partial(delta_e_2000, lab_2=lab) for share, lab in looks}
    rows, strength, rank = best_strengths(table, known, counts, scores)
    if rank.min() > FAR_DE00:
        scores = {share: partial(hue_first, wanted_lab=lab) for share, lab in looks}
        rows, strength, rank = best_strengths(table, known, counts, scores)
    mixes, chips = [], []
    for n in _simple_first(rows, rank):
        neat = mix_recipe(Recipe(amounts_of(known, rows[n])), table.palette)
        parts = 1 / float(strength[n]) - 1
        seen = predicted_lab(table, known, rows[[n, n]], strength[n] * THINNED)
        apart = float(delta_e_2000(seen, own).mean())
        mixes.append((dilution_of(neat, parts if parts >= NEAT else 0.0), apart))
        chips.append(tuple(chip_of(rgb) for rgb in rgb_from_xyz(xyz_from_lab(seen, D65_XYZ))))
    note = _note(name, *mixes[0], left_out)
    return Likeness(name, tuple(mixes), note, left_out, tuple(chips))


def beside(table: Table, home: Palette, name: str) -> Table:
    """The table with one more bottle's dyes among its colourants."""
    used = [dye for ink in table.palette.inks.values() for dye in ink.contents_g_per_l]
    dyes = {**table.palette.dyes, **home.dyes}
    return replace(table, dyes=colourants([*used, *home.ink(name).contents_g_per_l], dyes))


def _simple_first(counts: Counts, off: Array) -> list[int]:
    """The nearest, then the nearest with at most half its drops, and so on."""
    drops = counts.sum(axis=1)
    rows = [int(np.lexsort((drops, off))[0])]
    while drops[rows[-1]] > 1 and len(rows) < 3:
        fewer = np.flatnonzero(drops <= drops[rows[-1]] // 2)
        if not fewer.size:
            break
        rows.append(int(fewer[np.lexsort((drops[fewer], off[fewer]))[0]]))
    return rows


def _note(ink: str, dilution: Dilution, off: float, left_out: str) -> str:
    mix, without = mix_text(dilution), f", {left_out} itself left out" if left_out else ""
    if off <= LOOKS_LIKE:
        return f"{ink} looks like {mix}{without}."
    if off <= CLOSE:
        return f"{ink} is close to {mix}{without}."
    if off <= NEAR:
        return f"{ink} is in the direction of {mix}, plainly different side by side{without}."
    return f"No mix of these bottles comes near {ink}{without}; the nearest is {mix}."
