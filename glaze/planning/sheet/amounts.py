"""How much to mix: millilitres and drops for each wash and touch, and whether the sheet cockles."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import number_of
from glaze.materials.dilution import MOST_DROPS, Dilution, dilution_of, steps_text
from glaze.materials.dropper import Dropper
from glaze.materials.ink import Palette, find_name
from glaze.materials.mix import FEWEST_INK_DROPS, Mix
from glaze.materials.parts_told import ml_words, parts_words
from glaze.materials.recipe import WATER, Recipe
from glaze.patch.table import Table
from glaze.sheet.units import FILM_UNIT
from glaze.step.kind import Step

SPARE = 1.4
"""Mixed over laid: 1.3 to 1.5 is common practice, no source; running short is the dearer error."""
LEAST_MIX_ML = 0.5
"""Less can't be stirred and picked up with a brush; assumed."""
LEAST_BLEACH_DROPS = 3
FEW_DROPS = 20
"""Up to so many of a liquid are counted where the others are measured; nobody measures 0.09 ml."""
COCKLE_SHARE = 0.4
"""Water over paper by weight from which a sheet cockles: 100 g/m2 of water on 250 gsm, below which
painters stretch their paper for wet work (common practice, no source)."""
COCKLE_AREA_CM2 = 20.0


@dataclass(frozen=True)
class Amount:
    """What to put together for one wash or touch.

    laid_ml : what the brush leaves on the sheet, all coats
    mix_ml : what to mix, with its spare
    drops : of each bottle and of water, whole, or of the well it is taken from
    by_ml : whether it is more drops than anyone counts
    then : in two steps, drops of what the first gave ("that") and of water
    ml : of each bottle and of water, for all of it
    well : the stock mix it is taken from, if any
    of_well_ml : how much of that; the rest is water
    """

    area_cm2: float
    laid_ml: float
    mix_ml: float
    parts: str
    drops: Mapping[str, int]
    ml: Mapping[str, float]
    well: str = ""
    then: Mapping[str, int] = field(default_factory=dict)
    by_ml: bool = False
    of_well_ml: float = 0.0

    @property
    def ready(self) -> bool:
        """Whether it is taken from a well as it stands there."""
        return bool(self.well) and self.of_well_ml == self.mix_ml

    @property
    def text(self) -> str:
        """As "Blue 3 + Yellow 2 + water 4"; "Blue 3 drops + water 3.4 ml" where that is many."""
        if self.by_ml:
            if self.ready:
                return f"{self.well} {ml_words(self.mix_ml)}"
            return " + ".join(
                f"{name} {number_of(drops, 'drop') if drops else ml_words(ml)}"
                for name, ml, drops in self.measured
            )
        return steps_text((self.drops, self.then))

    @property
    def measured(self) -> Iterator[tuple[str, float, int]]:
        """Each liquid with its ml, and its drops where these are few, else 0."""
        for name, ml in self.ml.items():
            if ml:
                drops = self.drops.get(name, 0)
                yield name, ml, drops if drops <= FEW_DROPS else 0

    @property
    def ml_words(self) -> str:
        """What there is to lay, as one measures it."""
        return ml_words(self.mix_ml)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "area_cm2": round(self.area_cm2, 2),
            "laid_ml": round(self.laid_ml, 3),
            "mix_ml": round(self.mix_ml, 2),
            "parts": self.parts,
            "drops": dict(self.drops),
            **({"then": dict(self.then)} if self.then else {}),
            "ml": {name: round(ml, 3) for name, ml in self.ml.items()},
            **({"from_well": self.well} if self.well else {}),
            **({"of_well_ml": round(self.of_well_ml, 3)} if self.well else {}),
        }


def laid_ml(
    thickness: NDArray[np.uint16], film_ml_per_m2: float, coats: float, dpi: float
) -> float:
    """Liquid that a wash leaves on the sheet [ml], from its film over every pixel.

    The film is uint16, FILM_UNIT for a full one, shape (rows, columns).
    """
    pixel_m2 = (0.0254 / dpi) ** 2
    films = float(thickness.sum(dtype=np.float64)) / FILM_UNIT
    return films * pixel_m2 * film_ml_per_m2 * coats


def amount_of(step: Step, table: Table, area_cm2: float, on_sheet_ml: float) -> Amount | None:
    """What to put together for a step; None where there is nothing to mix."""
    if step.recipe:
        mix = table.mix(step.recipe)
        well = find_name(step.recipe, table.wells)
        if well is not None:
            return well_amount(well, mix, area_cm2, on_sheet_ml)
        thinned = _thinned(mix, table, area_cm2, on_sheet_ml)
        return thinned or wash_amount(mix, area_cm2, on_sheet_ml, table.palette)
    if (parts := step.bleach_parts_water) is not None:
        film = step.film_ml_per_m2_on(table)
        return bleach_amount(parts, area_cm2, film, step.times, table.dropper)
    return None


def wash_amount(
    mix: Mix, area_cm2: float, on_sheet_ml: float, palette: Palette, spare: float = SPARE
) -> Amount:
    """A wash's mix in whole drops: the smallest multiple of its recipe that is enough.

    An ink in parts of water is counted as everywhere (`dilution_of`) while that is few drops;
    other recipes in ml or parts keep their proportions to the nearest drop, with at least three
    drops of their weakest ink, since one drop of one more would change it a good deal.
    """
    wanted = max(on_sheet_ml * spare, LEAST_MIX_ML) if on_sheet_ml > 0 else 0.0
    if wanted and mix.recipe.unit != "drops" and set(mix.recipe.amounts) == set(mix.ink_ml):
        counted = dilution_of(mix, 0.0, wanted)
        if counted.in_drops:
            return _counted(counted, mix.parts, area_cm2, on_sheet_ml)
    times = wanted / mix.all_ml
    if mix.recipe.unit == "drops" and set(mix.recipe.amounts) == set(mix.ink_ml):
        times = math.ceil(times - 1e-9)
        drops = {name: round(n * times) for name, n in mix.recipe.amounts.items()}
        drops[WATER] = round(mix.recipe.water * times)
    else:
        times = max(times, _least_times(mix, palette)) if times > 0 else 0.0
        drops = {
            name: round(part * times * palette.inks[name].drops_per_ml)
            for name, part in mix.ink_ml.items()
        }
        drops[WATER] = round(mix.water_ml * times * mix.dropper.water_drops_per_ml)
    ml = {name: part * times for name, part in mix.ink_ml.items()} | {WATER: mix.water_ml * times}
    kept = {name: n for name, n in drops.items() if n or name != WATER}
    # a recipe as the painter wrote it is counted, however long
    many = _many(kept) and not (mix.recipe.unit == "drops" and times == 1)
    made_ml = times * mix.all_ml
    return Amount(area_cm2, on_sheet_ml, made_ml, mix.parts, kept, ml, by_ml=many)


def _many(drops: Mapping[str, int]) -> bool:
    return sum(drops.values()) > MOST_DROPS


def _counted(dilution: Dilution, parts: str, area_cm2: float, on_sheet_ml: float) -> Amount:
    """The amount that a dilution makes, as it is counted."""
    first, *then = dilution.drops
    return Amount(
        *(area_cm2, on_sheet_ml, dilution.made_ml, parts, first, dilution.ml),
        then=then[0] if then else {},
    )


def _least_times(mix: Mix, palette: Palette) -> float:
    """How much of a thinned mix holds three drops of its weakest ink."""
    drops = [ml * palette.inks[name].drops_per_ml for name, ml in mix.ink_ml.items() if ml > 0]
    return FEWEST_INK_DROPS / min(drops) if drops and mix.water_ml > 0 else 0.0


def well_amount(well: str, mix: Mix, area_cm2: float, on_sheet_ml: float) -> Amount:
    """What a wash takes from a stock mix that stands ready in a well."""
    taken = max(on_sheet_ml * SPARE, LEAST_MIX_ML) if on_sheet_ml > 0 else 0.0
    drops = {well: math.ceil(taken * mix.drops_per_ml)}
    share = taken / mix.all_ml
    ml = {name: part * share for name, part in mix.ink_ml.items()} | {WATER: mix.water_ml * share}
    many = _many(drops)
    return Amount(area_cm2, on_sheet_ml, taken, mix.parts, drops, ml, well, {}, many, taken)


def _thinned(mix: Mix, table: Table, area_cm2: float, on_sheet_ml: float) -> Amount | None:
    """A wash of a stock mix and water, counted from its well; None for any other."""
    names = list(mix.recipe.amounts)
    well = find_name(names[0], table.wells) if len(names) == 1 else None
    if well is None or not mix.ink_ml or not table.wells[well].strength or on_sheet_ml <= 0:
        return None
    counted = dilution_of(mix, 0.0, max(on_sheet_ml * SPARE, LEAST_MIX_ML))
    if not counted.in_drops:
        return None
    inks_ml = sum(ml for liquid, ml in counted.ml.items() if liquid != WATER)
    return replace(
        _counted(counted, mix.parts, area_cm2, on_sheet_ml),
        well=well,
        of_well_ml=inks_ml / table.wells[well].strength,
    )


@lru_cache(maxsize=256)
def bleach_amount(
    parts_water: float,
    area_cm2: float,
    film_ml_per_m2: float,
    touches: int,
    dropper: Dropper | None = None,
) -> Amount:
    """Bleach and water for a lift, in drops alike in size; at least three drops of bleach.

    Fresh bleach for each touch comes from the same dish.
    """
    laid = area_cm2 * 1e-4 * film_ml_per_m2 * touches
    dropper = dropper or Dropper()
    # bleach drops are taken as large as water's: no figure found
    per_ml = dropper.water_drops_per_ml
    words = parts_words(parts_water, of="bleach")
    neat = Mix(Recipe({"bleach": 1.0}), {}, {"bleach": 1 / per_ml}, 0.0, per_ml, dropper=dropper)
    counted = dilution_of(neat, parts_water, max(laid * SPARE, LEAST_BLEACH_DROPS / per_ml))
    if counted.in_drops:
        return _counted(counted, words, area_cm2, laid)
    bleach = max(LEAST_BLEACH_DROPS, math.ceil(laid * SPARE / (1 + parts_water) * per_ml))
    water = round(bleach * parts_water)
    ml = {"bleach": bleach / per_ml} | ({WATER: water / per_ml} if water else {})
    drops = {"bleach": bleach} | ({WATER: water} if water else {})
    return Amount(area_cm2, laid, sum(ml.values()), words, drops, ml, by_ml=_many(drops))


def cockles(film_ml_per_m2: float, weight_gsm: float, area_cm2: float) -> bool:
    """Whether a wash wets the sheet so much that it may buckle."""
    return film_ml_per_m2 / weight_gsm >= COCKLE_SHARE and area_cm2 >= COCKLE_AREA_CM2
