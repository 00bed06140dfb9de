"""The painter's dropper: how many drops of ink, and of water, it gives to the millilitre."""

from __future__ import annotations

import re
from dataclasses import dataclass

from glaze.errors import InputError

INK_DROPS_PER_ML = 35.0
"""Ink from a medicine dropper: 32 to 38, from water's drop and the surface tensions of both
(72 against 38 to 45 mN/m, Tate's law). Not measured; count your own once."""
WATER_DROPS_PER_ML = 20.0
"""A medicine dropper's drop of water weighs 45 to 55 mg (USP 32 <1101>)."""
FEWEST_PER_ML, MOST_PER_ML = 5.0, 100.0
"""Beyond these it is no dropper: tubes of 0.67 to 8.3 mm across give water drops of 13 to 126 mg,
76 to 8 to the ml (Eschbaum, Bulletin of Pharmacy 9, 1895, 461)."""


@dataclass(frozen=True)
class Dropper:
    """What the drops are counted with.

    ink_drops_per_ml : of every ink; None where each bottle's own figure holds
    water_drops_per_ml : of water, and of bleach (no figure found for it)
    """

    ink_drops_per_ml: float | None = None
    water_drops_per_ml: float = WATER_DROPS_PER_ML

    def __post_init__(self) -> None:
        for what, count in (("ink", self.ink_drops_per_ml), ("water", self.water_drops_per_ml)):
            if count is not None and not FEWEST_PER_ML <= count <= MOST_PER_ML:
                raise InputError(
                    f"A dropper gives {FEWEST_PER_ML:g} to {MOST_PER_ML:g} drops of {what} to the "
                    f"ml, not {count:g}. Count how many drops fill 1 ml."
                )


def parse_dropper(text: str) -> Dropper:
    """A dropper in words: "ink 30, water 20", one of them alone, or "both 25" for equal drops."""
    found: dict[str, float] = {}
    for piece in re.split(r"[,;]\s+|[,;](?=\D)", text.strip().lower()):
        match = re.fullmatch(r"(ink|water|both)\s+(\d+(?:[.,]\d+)?)", piece.strip())
        # each once, and both alone
        if match is None or match[1] in found or (found and "both" in (match[1], *found)):
            raise InputError(
                f'--dropper "{text}": write how many drops make 1 ml, as "ink 30, water 20", or '
                'as "both 25" where one pipette gives both alike.'
            )
        found[match[1]] = float(match[2].replace(",", "."))
    ink, water = found.get("ink"), found.get("water", WATER_DROPS_PER_ML)
    return Dropper(found.get("both", ink), found.get("both", water))
