"""Which drops make a colour: every recipe in whole drops is tried, so the best found is the best.

A recipe on bare paper needs no sheet: the path of its wash is that of its inks by volume, weighted
by the load law. So all recipes are predicted in one sum, by the same equations as
`glaze.sheet.wash.lay` (parity is tested).
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.ink import Ink
from glaze.materials.mix import Mix, mix_recipe
from glaze.materials.munsell import munsell_notation
from glaze.materials.recipe import WATER
from glaze.patch.band import Band
from glaze.patch.layers import Laid
from glaze.patch.patches import first_washes, reflectance
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, munsell_value, xyz_from_lab
from glaze.planning.recipe.drops import Counts, every_recipe, recipe_count, recipe_of
from glaze.planning.recipe.verdict import REACHED_DE00, verdict
from glaze.planning.recipe.wanted import Wanted, daylight_weights, wanted_colour

Array = NDArray[np.float64]

SIMPLER = 0.75
"""A recipe counts as simpler than another from three quarters of its drops down."""
MOST_SHOWN = 6
MOST_DROPS = 40
MOST_RECIPES = 2_000_000
DROPS = (6, 12, 20)
CHUNK = 8192


@dataclass(frozen=True)
class Match:
    """One recipe and the colour it makes on bare paper.

    de00 : CIEDE2000 from the wanted colour
    """

    mix: Mix
    lab: tuple[float, float, float]
    value: float
    notation: str
    de00: float
    band: Band

    @property
    def drops(self) -> int:
        """All its drops, water too."""
        return int(sum(self.mix.drops.values()) + self.mix.water_drops)

    @property
    def inks(self) -> int:
        """How many bottles it takes."""
        return len(self.mix.drops)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        drops = {name: int(n) for name, n in self.mix.drops.items()}
        return {
            "recipe": self.mix.recipe.text,
            "drops": drops | {WATER: int(self.mix.water_drops)},
            "parts": self.mix.parts,
            "lab": [round(part, 2) for part in self.lab],
            "value": round(self.value, 2),
            "munsell": self.notation,
            "de00": round(self.de00, 2),
            "band": self.band.as_dict(),
            "notes": list(self.mix.notes),
        }


@dataclass(frozen=True)
class Answer:
    """What a search found.

    recipes : the best first, then each simpler one that is worth having
    best_within : the best of at most 6, 12 and 20 drops
    tried : how many recipes were looked at
    """

    wanted: Wanted
    recipes: tuple[Match, ...]
    best_within: dict[int, Match]
    reachable: bool
    note: str
    tried: int

    @property
    def best(self) -> Match:
        """The nearest recipe."""
        return self.recipes[0]

    def as_dict(self) -> dict[str, Any]:
        """For JSON, by the command's contract."""
        rows = []
        for match, simpler in itertools.zip_longest(self.recipes, self.recipes[1:]):
            row = match.as_dict()
            if simpler is not None:
                more = round(simpler.de00 - match.de00, 2)
                row["next_simpler"] = {"recipe": simpler.mix.recipe.text, "de00_more": more}
            rows.append(row)
        return {
            "wanted": {
                "text": self.wanted.text,
                "lab": [round(float(part), 2) for part in self.wanted.lab],
                "value": round(self.wanted.value, 2),
                "munsell": self.wanted.notation,
            },
            "recipes": rows,
            "best_within": {str(n): match.as_dict() for n, match in self.best_within.items()},
            "reachable": self.reachable,
            "note": self.note,
            "tried": self.tried,
        }


def predicted_lab(
    table: Table, inks: Sequence[Ink], counts: Counts, coats: float = 1.0, more_water: float = 0.0
) -> Array:
    """CIELAB (D65) of each recipe laid on bare paper, shape (recipes, 3).

    CIELAB is [-]; counts are whole [drops], shape (recipes, inks + 1), water last.

    Parameters
    ----------
    more_water : parts of water added to each part of the mix afterwards
    """
    ink_ml = counts[:, :-1] / np.array([ink.drops_per_ml for ink in inks])
    water_ml = counts[:, -1] / table.palette.dropper.water_drops_per_ml
    all_ml = (ink_ml.sum(axis=1) + water_ml) * (1.0 + more_water)
    share = ink_ml / all_ml[:, None]
    neat = np.array(
        [[ink.contents_g_per_l.get(dye.name, 0.0) for dye in table.dyes] for ink in inks]
    )
    weights = daylight_weights(table.light)
    lab = np.empty((len(counts), 3))
    for start in range(0, len(counts), CHUNK):
        part = slice(start, start + CHUNK)
        sheet = first_washes(table, share[part] @ neat, share[part].sum(axis=1), coats)
        lab[part] = lab_from_xyz(reflectance(table, sheet)[0] @ weights, D65_XYZ)
    return lab


def match_colour(
    wanted: Wanted | str,
    table: Table,
    most_drops: int = 12,
    most_inks: int = 3,
    inks: Sequence[str] | None = None,
) -> Answer:
    """The recipes that come nearest to a colour, in one wash on bare paper.

    Parameters
    ----------
    wanted : also in words, as "#7a8a3c", "5Y 6/4" or "62,-4,30" (L*, a*, b*)
    most_drops : drops in all, water too, 1 to 40
    most_inks : bottles in one recipe
    inks : names of the bottles allowed, the palette's own if None

    Raises
    ------
    InputError : for a number of drops or inks that can't be mixed, and unknown names
    """
    wanted = wanted_colour(wanted) if isinstance(wanted, str) else wanted
    bottles = _bottles(table, inks)
    if not 1 <= most_drops <= MOST_DROPS or most_inks < 1:
        raise InputError(
            f"{most_drops} drops of {most_inks} inks: a recipe has 1 to {MOST_DROPS} drops of 1 or "
            "more inks."
        )
    _check_count(len(bottles), most_drops, most_inks)
    counts = every_recipe(len(bottles), most_drops, most_inks)
    lab = predicted_lab(table, bottles, counts)
    de00 = delta_e_2000(lab, wanted.lab)
    front = _worth_having(counts, de00)
    matches = tuple(_match(table, bottles, counts[n], lab[n], float(de00[n])) for n in front)
    within = {}
    for most in sorted({*(d for d in DROPS if d <= most_drops), most_drops}):
        n = _best(counts, de00, counts.sum(axis=1) <= most)
        within[most] = _match(table, bottles, counts[n], lab[n], float(de00[n]))
    reachable = matches[0].de00 <= REACHED_DE00
    note = verdict(wanted, matches[0].lab, matches[0].de00, table)
    if not reachable:
        note = f"{note} {_twice(wanted, table, bottles, counts, matches[0].de00)}".strip()
    return Answer(wanted, matches, within, reachable, note, len(counts))


def _check_count(bottles: int, most_drops: int, most_inks: int) -> None:
    """Refuse a search that would fill the memory, before it starts."""
    count = recipe_count(bottles, most_drops, most_inks)
    if count > MOST_RECIPES:
        raise InputError(
            f"{most_drops} drops of up to {most_inks} out of {bottles} inks make {count} recipes; "
            f"at most {MOST_RECIPES} can be tried. Ask for fewer drops or inks, or name the "
            "bottles with --only."
        )


def _bottles(table: Table, names: Sequence[str] | None) -> list[Ink]:
    if names is None:
        return list(table.palette.bottles) or list(table.palette.inks.values())
    if not names:
        raise InputError("No ink is named; give at least one bottle, as --only Blue,Yellow.")
    return [table.palette.ink(name) for name in dict.fromkeys(names)]


def _best(counts: Counts, de00: Array, allowed: NDArray[np.bool_]) -> int:
    """The nearest of the allowed recipes; of equals the one with the fewest drops."""
    places = np.flatnonzero(allowed)
    order = np.lexsort((counts[places].sum(axis=1), de00[places]))
    return int(places[order[0]])


def _worth_having(counts: Counts, de00: Array) -> list[int]:
    """The best recipe, then each simpler one that no other beats in nearness, drops and inks."""
    drops, kinds = counts.sum(axis=1), np.count_nonzero(counts[:, :-1], axis=1)
    front: list[int] = []
    for n in sorted(_champions(drops, kinds, de00), key=lambda n: (de00[n], drops[n], kinds[n])):
        # sorted by nearness: whatever is kept so far is nearer
        if all(drops[n] < drops[k] or kinds[n] < kinds[k] for k in front):
            front.append(n)
    kept = front[:1]
    for n in front[1:]:
        last = kept[-1]
        if kinds[n] < kinds[last] or drops[n] <= SIMPLER * drops[last]:
            kept.append(n)
    return kept[:MOST_SHOWN]


def _champions(drops: Counts, kinds: Counts, de00: Array) -> Iterator[int]:
    """The nearest recipe of each number of drops and inks."""
    order = np.lexsort((de00, drops, kinds))
    groups = np.column_stack([kinds, drops])[order]
    first = np.ones(len(order), bool)
    first[1:] = (groups[1:] != groups[:-1]).any(axis=1)
    return (int(n) for n in order[first])


def _twice(
    wanted: Wanted, table: Table, bottles: Sequence[Ink], counts: Counts, de00: float
) -> str:
    """A hint where a mix laid twice would come nearer."""
    twice = delta_e_2000(predicted_lab(table, bottles, counts, coats=2.0), wanted.lab)
    n = int(np.argmin(twice))
    if twice[n] > de00 - 1.0:
        return ""
    recipe = recipe_of(bottles, counts[n]).text
    return f"Two coats come nearer ({recipe}: {twice[n]:.1f} off instead of {de00:.1f})."


def _match(table: Table, bottles: Sequence[Ink], counts: Counts, lab: Array, de00: float) -> Match:
    recipe = recipe_of(bottles, counts)
    xyz = xyz_from_lab(lab, D65_XYZ)
    notation = munsell_notation(xyz, D65_XYZ)
    assert isinstance(notation, str)
    L, a, b = (float(part) for part in lab)
    mix = mix_recipe(recipe, table.palette)
    band = trusted(table, [Laid(mix)]).band
    return Match(mix, (L, a, b), float(munsell_value(xyz[1])), notation, de00, band)
