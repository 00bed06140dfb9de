"""Ladders of one ink: rungs of even value beside rungs that double the water."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from glaze.errors import InputError
from glaze.materials.recipe import Recipe
from glaze.patch.patches import value
from glaze.patch.table import Table
from glaze.planning.recipe.dilution import coats_for, in_drops, parts_words, value_under
from glaze.planning.recipe.hue import Hue, darkened

DOUBLING = (0.0, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0)
"""Parts of water; common practice, no source."""


@dataclass(frozen=True)
class Rung:
    """One strength: value it comes to, parts of water (infinite: no ink), whole drops for it."""

    value: float
    parts_water: float
    recipe: Recipe | None

    @property
    def parts(self) -> str:
        """In words."""
        return parts_words(self.parts_water) if math.isfinite(self.parts_water) else "bare"

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        finite = math.isfinite(self.parts_water)
        return {
            "value": round(self.value, 2),
            "parts_water": round(self.parts_water, 2) if finite else None,
            "parts": self.parts,
            "recipe": self.recipe.text if self.recipe else None,
        }


@dataclass(frozen=True)
class Ladder:
    """Two ladders of an ink on a hue, each from light to dark."""

    hue: str
    ink: str
    even: tuple[Rung, ...]
    doubling: tuple[Rung, ...]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "hue": self.hue,
            "ink": self.ink,
            "even": [rung.as_dict() for rung in self.even],
            "doubling": [rung.as_dict() for rung in self.doubling],
        }


def ladders(table: Table, hue: Hue, rungs: int = 5, ink: str = "Black") -> Ladder:
    """Rungs of even value from the bare hue to one neat coat, and those of doubled water."""
    if not 2 <= rungs <= 20:
        raise InputError(f"A ladder of {rungs} rungs: it has 2 to 20.")
    sheet, wash = hue.on(table), table.mix(ink)
    lightest = float(value(table, sheet)[0, 0])
    darkest = value_under(table, sheet, wash, 1.0)
    even = []
    for wanted in np.linspace(lightest, darkest, rungs):
        coats = min(coats_for(table, sheet, wash, float(wanted) + 1e-4), 1.0)
        parts_water = 1 / coats - 1 if coats > 0 else math.inf
        even.append(Rung(float(wanted), max(parts_water, 0.0), in_drops(wash, parts_water)))
    coats_each = np.array([1 / (1 + n) for n in DOUBLING[::-1]])
    values = value(table, darkened(table, sheet, wash, coats_each))[0]
    doubling = [
        Rung(float(v), n, in_drops(wash, n)) for v, n in zip(values, DOUBLING[::-1], strict=True)
    ]
    return Ladder(hue.text, ink, tuple(even), tuple(doubling))
