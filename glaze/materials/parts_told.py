"""Parts of water as painters write them: "1 part + 8 parts water", "1 + 8", "neat".

There is one rounding, `told_parts`; whatever tells parts in words goes through it.
"""

from __future__ import annotations

import math
import re

from glaze.errors import InputError, number_of

MOST_PARTS = 200.0
NEAT = 0.05
"""Fewer parts of water are told as neat: less than a dropper's own error of strength, which is 10
to 15 % (USP 32 <1101>; 2 drops in 20)."""
WHOLE_FROM = 20.0
"""From here on parts are told whole: half a part is 2.4 % of the strength at most."""


def told_parts(parts_water: float) -> float:
    """Parts of water as they are told: neat below 0.05, one decimal below 20, whole from there."""
    if parts_water < NEAT:
        return 0.0
    return float(round(parts_water, 1 if parts_water < WHOLE_FROM else None))


def parts_words(parts_water: float, coats: int = 1, of: str = "") -> str:
    """In full: "neat", "1 part + 8 parts water", "two coats of 1 part + 5 parts water".

    of : a liquid other than ink, named: "1 part bleach + 9 parts water". Infinite parts: no wash.
    """
    if math.isinf(parts_water):
        return "no wash"
    told = told_parts(parts_water)
    named = f" {of}" if of else ""
    words = f"1 part{named} + {number_of(told, 'part')} water" if told else f"neat{named}"
    if coats == 1:
        return words
    count = {2: "two coats", 3: "three coats"}.get(coats, f"{coats} coats")
    return f"{count} of {words}" if told else f"{count}, {words}"


def parts_short(parts_water: float) -> str:
    """For tight places beside which the full words stand: "1 + 8"."""
    told = told_parts(parts_water)
    return f"1 + {told:g}" if told else "neat"


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


def ml_words(ml: float) -> str:
    """Millilitres as one measures them: two decimals below 1 ml, one below 10, whole from there."""
    decimals = 2 if ml < 1 else 1 if ml < 10 else 0
    # a hair more, so that 0.125 and 2.25 go up as they do by hand
    return f"{ml * (1 + 1e-12):.{decimals}f} ml"
