"""Dilutions as painters write them, "1+8", and as whole drops that come near to them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from glaze.errors import InputError
from glaze.materials.mix import FEWEST_INK_DROPS, WATER_DROPS_PER_ML, Mix
from glaze.materials.recipe import Recipe

MOST_PARTS = 200.0
CLOSE = 0.04
"""Error of strength that whole drops may make; a dropper itself is good to 15 % [USP 32 <1101>]."""
MOST_WATER_DROPS = 60
"""More water than that is measured in ml, not counted in drops (guess)."""


def parts_of(text: str, option: str = "dilution") -> float:
    """n of a dilution written "1+n" (or "neat"): 1 part + n parts water, by volume."""
    plain = text.strip().lower().replace(",", ".")
    if plain == "neat":
        return 0.0
    match = re.fullmatch(r"1\s*\+\s*(\d+(?:\.\d+)?)", plain)
    if match is None:
        raise InputError(
            f'{option} "{text}": write a dilution as 1+8, which means 1 part + 8 parts water, or '
            "as neat."
        )
    parts = float(match[1])
    if parts > MOST_PARTS:
        raise InputError(f'{option} "{text}": at most 1+{MOST_PARTS:g}; beyond that it is water.')
    return parts


def words_of(parts_water: float) -> str:
    """A dilution in full: "neat", "1 part + 8 parts water"."""
    if parts_water < 0.05:
        return "neat"
    written = f"{parts_water:.0f}" if parts_water >= 20 else f"{parts_water:.1f}".removesuffix(".0")
    return f"1 part + {written} part{'' if written == '1' else 's'} water"


def short_of(parts_water: float) -> str:
    """A dilution for tight places beside which the full words stand: "1 + 8"."""
    full = words_of(parts_water)
    return "neat" if full == "neat" else f"1 + {full.split(' ')[3]}"


def diluted_words(text: str) -> str:
    """A dilution "1+8" in full words."""
    return words_of(parts_of(text))


@dataclass(frozen=True)
class Counted:
    """A dilution counted out: whole drops, and the strength they give over the strength asked."""

    recipe: Recipe
    ratio: float


def count_out(mix: Mix, parts_water: float, most_ink: int = 12) -> Counted:
    """Whole drops for "1 part of the mix + n parts water", at least three of ink.

    The smallest recipe that is within 4 % of the strength, or else the nearest; in ml where the
    water would be more than sixty drops. Ink drops are smaller than water drops, so the counts
    differ from the parts.
    """
    base = mix.recipe
    ink_drops = sum(base.amounts.values())
    best: Counted | None = None
    for times in range(1, max(2, int(most_ink // ink_drops) + 1)):
        if times * ink_drops < FEWEST_INK_DROPS and parts_water > 0:
            continue
        water_ml = mix.all_ml * times * parts_water
        water = round(water_ml * WATER_DROPS_PER_ML)
        found = base.times(times)
        more = Recipe(found.amounts, found.water + water, found.unit)
        ratio = (1 + parts_water) / (1 + water / WATER_DROPS_PER_ML / (mix.all_ml * times))
        if best is None or abs(ratio - 1) < abs(best.ratio - 1):
            best = Counted(more, ratio)
        if abs(ratio - 1) <= CLOSE:
            break
    assert best is not None
    if best.recipe.water > MOST_WATER_DROPS and len(base.amounts) == 1:
        (name,) = base.amounts
        return Counted(Recipe({name: 1.0}, float(round(parts_water, 1)), "ml"), 1.0)
    return best
