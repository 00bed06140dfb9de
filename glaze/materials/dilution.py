"""A mix and water: the parts asked for, and whole drops that come near to them.

Every command, chart, card and the window asks `dilution_of`, so that all say the same.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from glaze.errors import InputError
from glaze.materials.mix import FEWEST_INK_DROPS, Mix
from glaze.materials.parts_told import NEAT, parts_short, parts_words, told_parts
from glaze.materials.recipe import WATER, Recipe

CLOSE = 0.05
"""Error of strength that whole drops may make: less than a tenth of a value step (halving a black
wash is worth about 0.9), and half of what 2 drops in 20 are off already."""
MOST_DROPS = 40
"""More drops than that nobody counts for one wash (2 ml of water; guess): it goes in two steps."""
THAT = Recipe({"that": 1.0})
"""What a first step gave."""


@dataclass(frozen=True)
class Dilution:
    """1 part of a mix + n parts of water, and how it is measured out.

    parts_water : exact, as asked; infinite for no wash at all
    recipe : what to put together: whole drops, or volumes where nobody counts; None for no wash
    then : the second step, in drops of what the first gave and of water
    parts_given : parts of water that the whole drops really give
    ml : of each bottle, and of water in all steps; empty where it isn't counted
    """

    mix: Mix
    parts_water: float
    recipe: Recipe | None
    then: Recipe | None = None
    parts_given: float = 0.0
    ml: Mapping[str, float] = field(default_factory=dict)

    @property
    def words(self) -> str:
        """The parts asked for: "neat", "1 part + 8 parts water"."""
        return parts_words(self.parts_water)

    @property
    def short(self) -> str:
        """The same for tight places: "1 + 8"."""
        return parts_short(self.parts_water)

    @property
    def in_drops(self) -> bool:
        """Whether it is counted in drops, in one step or two; else it is measured by volume."""
        return self.recipe is not None and self.recipe.unit == "drops"

    @property
    def off(self) -> float:
        """Strength that the drops give over the strength asked, less 1."""
        return 0.0 if self.recipe is None else (1 + self.parts_water) / (1 + self.parts_given) - 1

    @property
    def drops(self) -> tuple[Mapping[str, int], ...]:
        """Whole drops of each liquid, step by step; "that" is what the first step gave."""
        if not self.in_drops:
            return ()
        return tuple(_whole(step) for step in (self.recipe, self.then) if step is not None)

    @property
    def made_ml(self) -> float:
        """What there is of it in the end [ml]; 0 if not counted."""
        last = self.drops[-1] if self.drops else {}
        if "that" not in last:
            return sum(self.ml.values())
        water_ml = last.get(WATER, 0) / self.mix.dropper.water_drops_per_ml
        stock_ml = sum(self.ml.values()) - water_ml
        return stock_ml * last["that"] / sum(self.drops[0].values()) + water_ml

    @property
    def counts(self) -> tuple[tuple[int, int], ...]:
        """Drops of the liquid (all its inks) and of water, step by step; empty if not counted."""
        return tuple((sum(d.values()) - d.get(WATER, 0), d.get(WATER, 0)) for d in self.drops)

    @property
    def text(self) -> str:
        """What to put together: "Black 3 + water 14", in two steps ", then 3 of that ...".

        Empty for no wash.
        """
        if self.recipe is None:
            return ""
        return steps_text(self.drops) if self.in_drops else self.recipe.text

    def as_dict(self) -> dict[str, Any]:
        """For JSON: the parts exact to the fourth decimal, and as they are told in words."""
        infinite = math.isinf(self.parts_water)
        return {
            "parts_water": None if infinite else round(self.parts_water, 4),
            "parts_told": None if infinite else told_parts(self.parts_water),
            "parts": self.words,
            "recipe": self.text or None,
            "drops": [dict(step) for step in self.drops],
            "parts_given": None if infinite else round(self.parts_given, 4),
        }


def steps_text(steps: Sequence[Mapping[str, int]]) -> str:
    """Drops step by step: "Black 3 + water 9, then 3 of that + water 12"."""
    told = [" + ".join(_told(name, n) for name, n in step.items() if n) for step in steps]
    return ", then ".join(step for step in told if step)


def _told(name: str, count: int) -> str:
    return f"{count} of that" if name == "that" else f"{name} {count}"


def _whole(recipe: Recipe) -> dict[str, int]:
    every = {**recipe.amounts, WATER: recipe.water}
    return {name: round(count) for name, count in every.items() if count}


def dilution_of(mix: Mix, parts_water: float, least_ml: float = 0.0) -> Dilution:
    """How 1 part of a mix + n parts of water, by volume, is measured out with the mix's dropper.

    In drops, the fewest that come within 5 % of the strength (and make so many ml), at least three
    of ink; in two steps where one would take more than forty; by volume where the mix itself is
    written so, or where two steps don't do.
    """
    if not parts_water >= 0:
        raise InputError(f"1 part + {parts_water:g} parts water: water can't be below 0 parts.")
    if math.isinf(parts_water):
        return Dilution(mix, parts_water, None, parts_given=math.inf)
    if parts_water < NEAT and mix.recipe.unit == "drops" and mix.all_ml >= least_ml:
        ml = {**mix.ink_ml, WATER: mix.water_ml}
        return Dilution(mix, parts_water, mix.recipe, ml=ml)
    liquid = _liquid(mix)
    if liquid is not None:
        # all the water to one part of what is counted
        parts = (1 + parts_water) * (1 + liquid.parts_water) - 1
        found = _once(liquid, parts, least_ml) or _twice(liquid, parts, least_ml)
        if found is not None:
            first, then, gives = found
            given = gives / (1 + liquid.parts_water) - 1
            ml = _volumes(mix, liquid, first, then)
            return Dilution(mix, parts_water, first, then, given, ml)
    return Dilution(mix, parts_water, _by_volume(mix, parts_water), parts_given=parts_water)


@dataclass(frozen=True)
class _Liquid:
    """What is counted: a recipe in drops, and its drops to the ml.

    parts_water : in which it stands already, in the mix asked about
    """

    recipe: Recipe
    drops_per_ml: float
    water_drops_per_ml: float
    parts_water: float = 0.0

    @cached_property
    def ink(self) -> float:
        """Drops of it without its water."""
        return sum(self.recipe.amounts.values())

    @cached_property
    def drops(self) -> float:
        """All its drops."""
        return self.ink + self.recipe.water

    def with_water(self, times: int, water: int) -> Recipe:
        """A multiple of it, and so many drops of water more."""
        many = self.recipe.times(times)
        return Recipe(many.amounts, many.water + water)


def _liquid(mix: Mix) -> _Liquid | None:
    """The mix in drops; a lone ink or well is dropped from its bottle whatever it is written in."""
    recipe, water = mix.recipe, mix.dropper.water_drops_per_ml
    if recipe.unit == "drops":
        return _Liquid(recipe, mix.drops_per_ml, water)
    if len(recipe.amounts) != 1:
        return None
    ((name, amount),) = recipe.amounts.items()
    parts = recipe.water / amount
    per_ml = (1 + parts) * mix.drops_per_ml - parts * water
    return _Liquid(Recipe({name: 1.0}), per_ml, water, parts)


Found = tuple[Recipe, Recipe | None, float]
"""First step, second step, and the volume that one volume of what is counted comes to."""


def _once(liquid: _Liquid, parts_water: float, least_ml: float) -> Found | None:
    """One step: the fewest drops that are close; None if forty don't do."""
    thinned = parts_water >= NEAT
    times = math.ceil(FEWEST_INK_DROPS / liquid.ink) if thinned else 1
    while times * liquid.drops + thinned <= MOST_DROPS:
        ml = times * liquid.drops / liquid.drops_per_ml
        water = max(1, round(ml * parts_water * liquid.water_drops_per_ml)) if thinned else 0
        if times * liquid.drops + water > MOST_DROPS:
            return None
        gives = 1 + water / liquid.water_drops_per_ml / ml
        if abs((1 + parts_water) / gives - 1) <= CLOSE and ml * gives >= least_ml:
            return liquid.with_water(times, water), None, gives
        times += 1
    return None


def _twice(liquid: _Liquid, parts_water: float, least_ml: float) -> Found | None:
    """A serial dilution: a first mix, then some drops of that in water; fewest drops in all."""
    best: Found | None = None
    fewest = math.inf
    times = math.ceil(FEWEST_INK_DROPS / liquid.ink)
    # the mix itself has to be made, however many drops it has
    room = max(MOST_DROPS, times * liquid.drops)
    while times * liquid.drops <= room:
        ml = times * liquid.drops / liquid.drops_per_ml
        for water in range(int(room - times * liquid.drops) + 1):
            count = times * liquid.drops + water
            first_ml = ml + water / liquid.water_drops_per_ml
            rest = (1 + parts_water) * ml / first_ml - 1
            if rest < NEAT or count >= fewest:
                break
            that = _Liquid(THAT, count / first_ml, liquid.water_drops_per_ml)
            then = _once(that, rest, least_ml)
            if then is not None and then[0].amounts["that"] <= count:
                in_all = count + then[0].amounts["that"] + then[0].water
                if in_all < fewest:
                    fewest = in_all
                    best = liquid.with_water(times, water), then[0], first_ml / ml * then[2]
        times += 1
    return best


def _volumes(mix: Mix, liquid: _Liquid, first: Recipe, then: Recipe | None) -> dict[str, float]:
    """Of each bottle, and of water in both steps [ml]."""
    times = sum(first.amounts.values()) / liquid.ink
    ml = times * liquid.drops / liquid.drops_per_ml
    share = (1 + liquid.parts_water) / mix.all_ml
    ink_ml = {ink: ml * part * share for ink, part in mix.ink_ml.items()}
    more = first.water - times * liquid.recipe.water + (then.water if then else 0.0)
    own_water_ml = max(0.0, ml - sum(ink_ml.values()))
    return {**ink_ml, WATER: own_water_ml + more / liquid.water_drops_per_ml}


def _by_volume(mix: Mix, parts_water: float) -> Recipe:
    """In the ml or parts it is written in; a mix given in drops, by ml of each bottle."""
    recipe = mix.recipe
    if recipe.unit == "drops":
        one = sum(mix.ink_ml.values())
        share = {name: float(f"{ml / one:.3g}") for name, ml in mix.ink_ml.items()}
        return Recipe(share, round((mix.water_ml + mix.all_ml * parts_water) / one, 1), "ml")
    own = sum(recipe.amounts.values()) + recipe.water
    return Recipe(recipe.amounts, round(recipe.water + own * parts_water, 2), recipe.unit)
