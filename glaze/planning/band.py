"""How far a planned value may be off: bands from the strengths of the bottles and the law's error.

A bottle that nobody has measured may be three times as strong or as weak as its figure, so a value
planned with it is a band, not a point. A dilution strip of one's own makes the band narrow.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from statistics import NormalDist
from types import MappingProxyType
from typing import Any

from glaze.materials.ink import Palette
from glaze.physics.uncertainty import LEVEL, MODEL_SD_VALUE
from glaze.studio import Studio

HALF_WIDTH_SD = NormalDist().inv_cdf(0.5 + LEVEL / 2.0)
"""Half the width of a band [standard deviations]."""

STANDING = {"invented": "assumed", "estimated": "estimated", "measured": "measured"}
"""Standing of a figure that rests on an ink of that kind."""


@dataclass(frozen=True)
class Band:
    """A Munsell value and the band it lies in 9 times of 10.

    standing : measured, estimated or assumed, the least of what it rests on
    """

    low: float
    best: float
    high: float
    standing: str

    @property
    def text(self) -> str:
        """As "value 5.2 (3.9 to 6.8, assumed)"."""
        return f"value {self.best:.1f} ({self.low:.1f} to {self.high:.1f}, {self.standing})"

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        low, high = round(self.low, 2), round(self.high, 2)
        return {"low": low, "high": high, "level": LEVEL, "standing": self.standing}


def value_band(
    predict: Callable[[Studio], float],
    studio: Studio,
    inks: Iterable[str],
    model: str = "overlay",
) -> Band:
    """The band of a value that `predict` finds with the bottles of a studio.

    Each ink is moved to the ends of its factor of strength, alone; what that changes adds up in
    squares with the law's own error. Value falls steadily with strength, so this holds for factors
    of 3, where slopes would not.

    Parameters
    ----------
    inks : names of the bottles the value depends on
    model : "overlay" or "dilution", which error of the law counts (docs/accuracy.md)
    """
    inks = tuple(dict.fromkeys(inks))
    best = predict(studio)
    own = (HALF_WIDTH_SD * MODEL_SD_VALUE[model]) ** 2 if inks else 0.0
    below = above = own
    for name in inks:
        factor = studio.palette.inks[name].strength_factor
        for change in (factor, 1.0 / factor):
            moved = predict(with_strength(studio, name, change)) - best
            below += min(moved, 0.0) ** 2
            above += max(moved, 0.0) ** 2
    low, high = max(best - math.sqrt(below), 0.0), min(best + math.sqrt(above), 10.0)
    return Band(low, best, high, standing_of(studio.palette, inks))


def standing_of(palette: Palette, inks: Iterable[str]) -> str:
    """The least standing among some inks; without ink only the paper's, which is assumed."""
    found = {STANDING[palette.inks[name].how] for name in inks} or {"assumed"}
    return next((word for word in ("assumed", "estimated") if word in found), "measured")


def with_strength(studio: Studio, ink: str, factor: float) -> Studio:
    """The studio if one bottle were so many times as strong."""
    bottle = studio.palette.inks[ink]
    contents = {dye: g_per_l * factor for dye, g_per_l in bottle.contents.items()}
    inks = {**studio.palette.inks, ink: replace(bottle, contents=MappingProxyType(contents))}
    return replace(studio, palette=replace(studio.palette, inks=MappingProxyType(inks)))


def promise(standing: str) -> str:
    """What a value of that standing may be relied on for, in a sentence."""
    if standing == "assumed":
        return (
            "The inks are invented: this shows how things go, not how far. Paint a dilution strip "
            "of your own bottles before you rely on half a value step."
        )
    if standing == "estimated":
        return "The inks are estimated: paint a dilution strip to make the band narrower."
    return "From your own swatches; half a value step may be relied on."
