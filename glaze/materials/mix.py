"""Recipes in drops and what they mix to: grams of dye a litre, parts of water, millilitres.

Drops of different liquids aren't of one size, so a recipe in drops is turned into volumes first.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from glaze.errors import InputError, unknown
from glaze.materials.dropper import Dropper
from glaze.materials.ink import Ink, Palette, find_name
from glaze.materials.notebook import html_table
from glaze.materials.parts_told import parts_words
from glaze.materials.recipe import WATER, Recipe, check_amounts, parse_recipe

FEWEST_INK_DROPS = 3
"""Below this one drop too many shifts a wash by about half a value step (1 + 8: 0.95, 0.5, 0.35
for 1, 2, 3 ink drops): make a stock mix and dilute it again."""


@dataclass(frozen=True)
class Mix:
    """A mixed liquid.

    contents_g_per_l: dye by name [g/L], in the liquid as it stands.
    ink_ml: each bottle's ink in it [ml], of the quantity the recipe makes; water_ml likewise.
    drops_per_ml: of the mixture. Assumed to go by volume between those of its liquids, so that
    a mix gives as many drops as were put in.
    strength_factor: uncertainty of its strength, the worst of its inks.
    dropper: that its drops are counted with.
    """

    recipe: Recipe
    contents_g_per_l: Mapping[str, float]
    ink_ml: Mapping[str, float]
    water_ml: float
    drops_per_ml: float
    strength_factor: float = Ink.strength_factor
    dropper: Dropper = field(default_factory=Dropper)
    notes: tuple[str, ...] = field(default=(), compare=False)

    @property
    def all_ml(self) -> float:
        """Volume the recipe makes [ml]; volumes are taken as adding up."""
        return sum(self.ink_ml.values()) + self.water_ml

    @property
    def strength(self) -> float:
        """q: ink by volume over all, 1 = neat."""
        return sum(self.ink_ml.values()) / self.all_ml

    @property
    def neat_g_per_l(self) -> dict[str, float]:
        """Dye by name [g/L] in the same inks without the water."""
        q = self.strength
        return {dye: grams / q for dye, grams in self.contents_g_per_l.items()} if q > 0 else {}

    @property
    def drops(self) -> Mapping[str, float]:
        """The recipe's amounts by ink or stock mix."""
        return self.recipe.amounts

    @property
    def parts_water(self) -> float:
        """n of "1 part + n parts water", by volume; infinite for water alone."""
        ink = sum(self.ink_ml.values())
        return self.water_ml / ink if ink > 0 else math.inf

    @property
    def parts(self) -> str:
        """The strength in words: "neat", "1 part + 4 parts water", "water alone"."""
        return parts_words(self.parts_water) if self.ink_ml else "water alone"

    def _repr_html_(self) -> str:
        """What it is mixed of, for notebooks."""
        rows = [(name, f"{ml:.3g} ml") for name, ml in self.ink_ml.items()]
        rows += [("water", f"{self.water_ml:.3g} ml")] if self.water_ml > 0 else []
        title = f"{self.recipe.text}: {self.parts}; strength times or over "
        title += f"{self.strength_factor:g}. {' '.join(self.notes)}"
        return html_table(title, ("Liquid", "Amount"), rows)

    def load_g_per_m2(self, film_ml_per_m2: float = 100.0) -> dict[str, float]:
        """Dye by name [g/m2] that one coat of a film of this mix leaves."""
        return {dye: g * film_ml_per_m2 / 1000 for dye, g in self.contents_g_per_l.items()}


@dataclass(frozen=True)
class _Liquid:
    """What one ml of an ingredient brings."""

    ink_share: Mapping[str, float]  # ml of each bottle's ink per ml
    contents_g_per_l: Mapping[str, float]
    drops_per_ml: float
    strength_factor: float


def mix_recipe(
    recipe: Recipe | str, palette: Palette, wells: Mapping[str, Mix] | None = None
) -> Mix:
    """What a recipe mixes to, from bottles of the palette and stock mixes in the wells.

    Water alone is a mix of strength 0 (for wetting the sheet). Drops are those of the palette's
    dropper.
    """
    recipe = parse_recipe(recipe) if isinstance(recipe, str) else recipe
    check_amounts(recipe)
    liquids = _liquids(recipe.amounts, palette, wells or {})
    volumes = {
        name: amount / liquids[name].drops_per_ml if recipe.unit == "drops" else amount
        for name, amount in recipe.amounts.items()
    }
    per_ml = palette.dropper.water_drops_per_ml
    water = recipe.water / per_ml if recipe.unit == "drops" else recipe.water
    total = sum(volumes.values()) + water
    ink_ml: dict[str, float] = {}
    grams: dict[str, float] = {}
    for name, ml in volumes.items():
        for ink, share in liquids[name].ink_share.items():
            ink_ml[ink] = ink_ml.get(ink, 0.0) + ml * share
        for dye, g_per_l in liquids[name].contents_g_per_l.items():
            grams[dye] = grams.get(dye, 0.0) + ml * g_per_l
    drops = sum(ml * liquids[name].drops_per_ml for name, ml in volumes.items())
    return Mix(
        recipe=recipe,
        contents_g_per_l=MappingProxyType({dye: g / total for dye, g in grams.items()}),
        ink_ml=MappingProxyType(ink_ml),
        water_ml=total - sum(ink_ml.values()) if ink_ml else total,
        drops_per_ml=(drops + water * per_ml) / total,
        strength_factor=max((liquids[n].strength_factor for n in volumes), default=1.0),
        dropper=palette.dropper,
        notes=_notes(recipe),
    )


def _liquids(
    names: Iterable[str], palette: Palette, wells: Mapping[str, Mix]
) -> dict[str, _Liquid]:
    """Each ingredient, a well's stock mix before a bottle of that name."""
    found: dict[str, _Liquid] = {}
    problems = []
    for name in names:
        well = find_name(name, wells)
        if well is not None:
            mix = wells[well]
            share = {ink: ml / mix.all_ml for ink, ml in mix.ink_ml.items()}
            found[name] = _Liquid(
                share, mix.contents_g_per_l, mix.drops_per_ml, mix.strength_factor
            )
            continue
        try:
            ink = palette.ink(name)
        except InputError:
            problems.append(unknown("ink or well", name, [*palette.inks, *wells, WATER]))
            continue
        found[name] = _Liquid(
            {ink.name: 1.0}, ink.contents_g_per_l, ink.drops_per_ml, ink.strength_factor
        )
    if problems:
        raise InputError(problems)
    return found


MOST_WELLS = 200


def mix_wells(texts: Mapping[str, str], palette: Palette) -> dict[str, Mix]:
    """Stock mixes by the name of their well; a well may be mixed from other wells."""
    if len(texts) > MOST_WELLS:
        raise InputError(f"{len(texts)} wells; allowed: {MOST_WELLS}.")
    mixed: dict[str, Mix] = {}
    problems: list[str] = []
    recipes = _well_recipes(texts, palette, problems)
    waiting = dict(recipes)
    while waiting:
        # a well can be mixed once all the wells it takes from stand ready
        ready = [n for n, r in waiting.items() if not _taken_from(r, waiting)]
        if not ready:
            names = ", ".join(f'"{name}"' for name in waiting)
            problems.append(f"The wells {names} are mixed from each other; start one from inks.")
            break
        for name in ready:
            try:
                mixed[name] = mix_recipe(waiting.pop(name), palette, mixed)
            except InputError as error:
                problems += [f'well "{name}": {problem}' for problem in error.problems]
    if problems:
        raise InputError(problems)
    return mixed


def _well_recipes(
    texts: Mapping[str, str], palette: Palette, problems: list[str]
) -> dict[str, Recipe]:
    recipes = {}
    for name, text in texts.items():
        if find_name(name, palette.inks) or name.strip().lower() == WATER:
            problems.append(
                f'well "{name}": that is the name of a bottle; call the well otherwise.'
            )
            continue
        try:
            recipes[name] = parse_recipe(text)
        except InputError as error:
            problems += [f'well "{name}": {problem}' for problem in error.problems]
    return recipes


def _taken_from(recipe: Recipe, waiting: Mapping[str, Recipe]) -> list[str]:
    found = (find_name(name, waiting) for name in recipe.amounts)
    return [name for name in found if name is not None]


def _notes(recipe: Recipe) -> tuple[str, ...]:
    ink_drops = sum(recipe.amounts.values())
    if recipe.unit == "drops" and 0 < ink_drops < FEWEST_INK_DROPS and recipe.water:
        return (
            f"Only {ink_drops:g} of ink: one drop more would change it a good deal. Mix at least "
            f"{FEWEST_INK_DROPS} ink drops, or a stock mix diluted again.",
        )
    return ()


def diluted(mix: Mix, parts_water: float) -> Mix:
    """The mix with so many parts of water to one part of it, by volume."""
    if not (math.isfinite(parts_water) and parts_water >= 0):
        raise InputError(f"1 part + {parts_water:g} parts water: water can't be below 0 parts.")
    share = 1 / (1 + parts_water)
    water_ml = mix.water_ml + mix.all_ml * parts_water
    return Mix(
        recipe=mix.recipe if parts_water == 0 else Recipe(mix.ink_ml, water_ml, "ml"),
        contents_g_per_l=MappingProxyType(
            {dye: g * share for dye, g in mix.contents_g_per_l.items()}
        ),
        ink_ml=mix.ink_ml,
        water_ml=water_ml,
        drops_per_ml=share * (mix.drops_per_ml + parts_water * mix.dropper.water_drops_per_ml),
        strength_factor=mix.strength_factor,
        dropper=mix.dropper,
    )


def ml_for_area(area_mm2: float, film_ml_per_m2: float = 100.0, spare: float = 1.4) -> float:
    """Millilitres to mix for an area: its film, and a spare because running short costs most.

    spare: 1.3 to 1.5 is common practice.
    """
    if area_mm2 < 0 or film_ml_per_m2 < 0 or spare < 1:
        raise InputError("An area and a film are 0 or more, and the spare is 1 or more.")
    return area_mm2 * 1e-6 * film_ml_per_m2 * spare


def recipe_for_ml(mix: Mix, ml: float) -> Recipe:
    """The smallest whole multiple of the mix's recipe that makes at least so many ml."""
    return mix.recipe.times(max(1, math.ceil(ml / mix.all_ml - 1e-9)))


def mix_line(text: str, palette: Palette, wells: Mapping[str, Mix]) -> Mix:
    """What a wash's `mix` gives: a recipe, or the lone name of a well or of a neat ink."""
    if not text.strip():
        raise InputError('A mix of nothing: write it as "Blue 3 + Yellow 2 + water 4".')
    if well := find_name(text, wells):
        return mix_recipe(f"{well} 1 part", palette, wells)
    ink = find_name(text, palette.inks)
    return mix_recipe(f"{ink} 1" if ink else with_amount(text), palette, wells)


def with_amount(text: str) -> str:
    """A lone name needs no amount: "dusk" is a part of dusk."""
    lone = text.strip() and "+" not in text and not any(sign.isdigit() for sign in text)
    return f"{text} 1 part" if lone else text
