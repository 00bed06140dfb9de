"""Rungs of a ladder: strengths of one wash that double the water, or step evenly in value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from glaze.errors import InputError
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.mix import Mix
from glaze.patch.patches import value
from glaze.patch.seen import Colour, looks_of
from glaze.patch.table import Table
from glaze.planning.recipe.hue import Hue, darkened
from glaze.sheet.state import Sheet

DOUBLINGS = 7
"""Rungs of doubled water from neat to 1 + 32; common practice, no source."""
MOST_EVEN_PARTS = 1000.0
"""Weakest wash an even ladder is worked out for; a twelfth of the way from paper is 1 + 130."""


def doubling_parts(rungs: int) -> list[float]:
    """Parts of water of a doubling ladder: 0, 1, 2, 4, 8 ..."""
    return [0.0, *(2.0**k for k in range(rungs - 1))]


def even_parts(table: Table, mix: Mix, below: Sheet, rungs: int) -> list[float]:
    """Parts of water that give even steps of value over what lies below, from neat to nothing.

    Value is worked out for 400 strengths and read backwards; the last is infinite: no wash.
    """
    strength = np.concatenate([[0.0], np.geomspace(1 / (1 + MOST_EVEN_PARTS), 1.0, 400)])
    values = value(table, darkened(table, below, mix, strength))[0]
    wanted = np.linspace(values[-1], values[0], rungs)
    # more ink is never lighter, so the values fall and can be read backwards
    shares = np.interp(wanted, values[::-1], strength[::-1])
    shares[0], shares[-1] = 1.0, 0.0
    return [1 / share - 1 if share > 0 else np.inf for share in shares.tolist()]


@dataclass(frozen=True)
class Strength:
    """A strength of a wash over a hue, the value it comes to there, and its colour (sRGB)."""

    value: float
    dilution: Dilution
    chip: Colour

    @property
    def parts_water(self) -> float:
        """To one part; infinite: no ink."""
        return self.dilution.parts_water

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {"value": round(self.value, 2), **self.dilution.as_dict()}


@dataclass(frozen=True)
class Ladders:
    """Two ladders of an ink on a hue, each from light to dark."""

    hue: str
    ink: str
    even: tuple[Strength, ...]
    doubling: tuple[Strength, ...]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "hue": self.hue,
            "ink": self.ink,
            "even": [rung.as_dict() for rung in self.even],
            "doubling": [rung.as_dict() for rung in self.doubling],
        }


def ladders(table: Table, hue: Hue, rungs: int = 5, ink: str = "Black") -> Ladders:
    """Rungs of even value from the bare hue to one neat coat, and those of doubled water."""
    if not 2 <= rungs <= 20:
        raise InputError(f"A ladder of {rungs} rungs: it has 2 to 20.")
    sheet, wash = hue.on(table), table.mix(ink)
    even = even_parts(table, wash, sheet, rungs)[::-1]
    doubling = doubling_parts(DOUBLINGS)[::-1]
    both = (_strengths(table, sheet, wash, parts) for parts in (even, doubling))
    return Ladders(hue.text, ink, *both)


def _strengths(table: Table, sheet: Sheet, wash: Mix, parts: list[float]) -> tuple[Strength, ...]:
    coats = 1 / (1 + np.array(parts))
    looks = looks_of(table, darkened(table, sheet, wash, coats))
    each = zip(looks, parts, strict=True)
    return tuple(Strength(look.value, dilution_of(wash, n), look.rgb8) for look, n in each)
