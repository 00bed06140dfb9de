"""Recipe lines let down: the inks of a line, and n parts of water to one part of them."""

from __future__ import annotations

from math import gcd

from glaze.errors import InputError
from glaze.materials.dilution import dilution_of
from glaze.materials.ink import find_name
from glaze.materials.mix import Mix, with_amount
from glaze.materials.recipe import Recipe, parse_recipe
from glaze.patch.table import Table


def diluted_text(text: str, parts_water: float, table: Table) -> str:
    """The same inks with n parts of water to one part of them, as a recipe line.

    A single ink or well is written in parts; a mix of several in drops, of which there are only
    whole ones, so that the parts come out nearly as asked.
    """
    neat = neat_mix(text, table)
    inks = dict(neat.recipe.amounts)
    if len(inks) == 1:
        parts = round(parts_water, 2 if parts_water < 10 else 1)
        return Recipe({next(iter(inks)): 1.0}, parts, "parts").text
    if neat.recipe.unit != "drops":
        return Recipe(inks, round(parts_water * sum(inks.values()), 2), neat.recipe.unit).text
    counted = dilution_of(neat, parts_water)
    if counted.recipe is not None and counted.in_drops and counted.then is None:
        return counted.recipe.text
    per_ml = neat.dropper.water_drops_per_ml
    return Recipe(inks, float(round(parts_water * neat.all_ml * per_ml))).text


def neat_mix(text: str, table: Table) -> Mix:
    """The inks of a recipe line without their water, in the fewest drops that mix them."""
    recipe = parse_recipe(with_amount(text))
    inks = dict(recipe.amounts)
    if not inks:
        raise InputError("There is only water in it; let a drop of ink fall in first.")
    if len(inks) == 1:
        return table.mix(next(iter(inks)))
    neat = Recipe(inks, 0.0, recipe.unit)
    if recipe.unit == "drops":
        neat = neat.times(1 / gcd(*(round(drops) for drops in inks.values())))
    return table.mix(neat.text)


def bottled(text: str, table: Table) -> str:
    """A recipe line without its water, by its bottles where it takes from one well alone."""
    inks = neat_mix(text, table).recipe.amounts
    well = find_name(next(iter(inks)), table.wells) if len(inks) == 1 else None
    return (
        neat_mix(text, table).recipe.text
        if well is None
        else bottled(table.wells[well].recipe.text, table)
    )
