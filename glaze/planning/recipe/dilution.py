"""From a wanted value to coats and parts of water, and from there to whole drops."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from glaze.materials.mix import FEWEST_INK_DROPS, WATER_DROPS_PER_ML, Mix, parts_text
from glaze.materials.recipe import Recipe
from glaze.patch.patches import value
from glaze.patch.table import Table
from glaze.planning.recipe.hue import darkened
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]

MOST_COATS = 3
WEAKEST = 1.0 / 65.0
"""1 part + 64 parts water: thinner than this a wash hardly shows."""
MOST_DROPS = 60
"""Drops anybody will count for one wash."""


def coats_for(table: Table, sheet: Sheet, wash: Mix, wanted: float) -> float:
    """Coats of the undiluted wash that bring a patch to a value; 0 if it is there already.

    Value falls steadily as the wash gets stronger, so it is read backwards from a fine ladder and
    then halved in on. MOST_COATS if it can't be had.
    """
    steps = np.concatenate([[0.0], np.geomspace(WEAKEST / 4, MOST_COATS, 200)])
    for _ in range(3):
        found = value(table, darkened(table, sheet, wash, steps))[0]
        below = np.flatnonzero(found <= wanted)
        if below.size == 0:
            return float(MOST_COATS)
        last = int(below[0])
        if last == 0:
            return 0.0
        steps = np.linspace(steps[last - 1], steps[last], 40)
    return float((steps[0] + steps[-1]) / 2)


def value_under(table: Table, sheet: Sheet, wash: Mix, coats: float) -> float:
    """Value of a patch under so many coats of the undiluted wash."""
    return float(value(table, darkened(table, sheet, wash, np.array([coats])))[0, 0])


def parts_words(parts_water: float, coats: int = 1) -> str:
    """As "two coats of 1 part + 5 parts water"."""
    if math.isinf(parts_water):
        return "no wash"
    told = parts_text_of(parts_water)
    if coats == 1:
        return told
    count = {2: "two coats", 3: "three coats"}.get(coats, f"{coats} coats")
    return f"{count}, neat" if told == "neat" else f"{count} of {told}"


def parts_text_of(parts_water: float) -> str:
    """The strength in words for parts that needn't be a mix: "1 part + 5 parts water"."""
    mix = Mix(Recipe({"ink": 1.0}, parts_water, "parts"), {}, {"ink": 1.0}, parts_water, 20.0)
    return parts_text(mix)


def in_drops(wash: Mix, parts_water: float) -> Recipe | None:
    """The whole-drop recipe nearest in strength, with the fewest drops that come within 5 %.

    At least 3 drops of ink where water is added, as a drop more or less would show otherwise.
    None if the wash isn't given in drops, or takes more of them than anybody counts: then it is
    measured by ml, or mixed from a stock mix.
    """
    if math.isinf(parts_water) or wash.recipe.unit != "drops":
        return None
    if parts_water < 0.02:
        return wash.recipe
    one = sum(wash.drops.values())
    best: tuple[float, Recipe] | None = None
    for times in range(max(1, math.ceil(FEWEST_INK_DROPS / one)), 13):
        more = max(1, round(times * wash.all_ml * parts_water * WATER_DROPS_PER_ML))
        recipe = _with_water(wash.recipe.times(times), more)
        if sum(recipe.amounts.values()) + recipe.water > MOST_DROPS:
            break
        off = abs(math.log(strength_of(recipe, wash) * (1 + parts_water)))
        if best is None or off < best[0] - 0.01:
            best = off, recipe
        if off < 0.05:
            break
    return best[1] if best else None


def _with_water(recipe: Recipe, drops: float) -> Recipe:
    return Recipe(recipe.amounts, recipe.water + drops, recipe.unit)


def strength_of(recipe: Recipe, wash: Mix) -> float:
    """Share of the wash, by volume, in a recipe made of it and more water."""
    times = sum(recipe.amounts.values()) / sum(wash.drops.values())
    more_ml = (recipe.water - times * wash.water_drops) / WATER_DROPS_PER_ML
    return times * wash.all_ml / (times * wash.all_ml + more_ml)
