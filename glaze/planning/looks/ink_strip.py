"""What is in an ink: the strip of paper on which water carries its dyes apart.

A stroke on the start line, the strip's foot in dilute salt water: the water climbs and takes each
dye along by its Rf, the share of the water's way that it makes. On the way a band widens as the
root of its way (plates, as in every chromatography).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.materials.dye import Dye
from glaze.patch.patches import bare_patches, glaze, linear_rgb
from glaze.patch.seen import rgb8_of
from glaze.patch.table import Table
from glaze.patch.washes import named, refuse_water
from glaze.planning.looks.fringe import PartedDye, parted

RUN_MM, BELOW_MM, ABOVE_MM = 80.0, 12.0, 8.0
"""From the start line to the water's front; below and above them."""
STROKE_MM = 3.0
"""Width of the stroke on the start line."""
PLATE_MM = 0.25
"""Height of a plate: a band that has run z is the root of z times that wide (a standard deviation).
Guess: 0.1 to 0.5 mm on paper."""
PER_MM = 4
GUESSED = 1.5
"""Factor of an Rf that nobody has read."""


@dataclass(frozen=True)
class StripBand:
    """Where one dye comes to lie.

    Attributes
    ----------
    rf, rf_low, rf_high : share of the water's way [-], and the band of that figure
    mm : from the start line to its middle; low_mm, high_mm : by the band of its Rf
    wide_mm : standard deviation of its band
    standing : estimated where a strip was read, else assumed
    """

    name: str
    words: str
    rf: float
    rf_low: float
    rf_high: float
    mm: float
    low_mm: float
    high_mm: float
    wide_mm: float
    standing: str


@dataclass(frozen=True, eq=False)
class InkStrip:
    """An ink parted on a strip of paper.

    Attributes
    ----------
    bands : the quickest first
    colours : along the strip from its foot, PER_MM a millimetre, shape (1, pixels, 3)
    inks : that are in it
    """

    recipe: str
    name: str
    bands: tuple[StripBand, ...]
    colours: NDArray[np.uint8]
    inks: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {"recipe": self.recipe, "bands": [asdict(band) for band in self.bands]}


def plan_strips(table: Table, recipes: Sequence[str] | None = None) -> list[InkStrip]:
    """The strips of inks or mixes; of every bottle of the palette if None."""
    if recipes is None:
        recipes = [f"{ink.name} 1" for ink in table.palette.bottles]
    return [strip_of(table, recipe) for recipe in recipes]


def strip_of(table: Table, recipe: str) -> InkStrip:
    """How the dyes of an ink or mix lie on its strip."""
    mix = table.mix(recipe)
    refuse_water(table, mix, recipe)
    dyes = {dye.name: dye for dye in table.dyes}
    alone = parted(table, mix)
    bands = sorted((_band(dyes[one.name], one) for one in alone), key=lambda band: -band.rf)
    at = -BELOW_MM + (np.arange(round((BELOW_MM + RUN_MM + ABOVE_MM) * PER_MM)) + 0.5) / PER_MM
    sheet = bare_patches(table, at.size)
    mixes = {one.name: one.mix for one in alone}
    for band in bands:
        glaze(table, sheet, mixes[band.name], thickness=along_strip(at, band)[None])
    return InkStrip(
        recipe, named(recipe), tuple(bands), rgb8_of(linear_rgb(table, sheet)), tuple(mix.ink_ml)
    )


def along_strip(mm: NDArray[np.float64], band: StripBand) -> NDArray[np.float64]:
    """Dye of a band along its strip, as a share of what the stroke had [-]; shape of `mm` [mm].

    What the stroke held lies there: nothing is lost, and nothing overtakes the water.
    """
    from scipy.special import ndtr

    def blurred(at: NDArray[np.float64]) -> NDArray[np.float64]:
        # a stroke of even height, drawn out
        ends = [(at - band.mm + side * STROKE_MM / 2) / max(band.wide_mm, 0.15) for side in (1, -1)]
        return np.asarray(ndtr(ends[0]) - ndtr(ends[1]))

    # what would lie beyond the front is turned back at it
    return np.where(mm < RUN_MM, blurred(mm) + blurred(2 * RUN_MM - mm), 0.0)


def _band(dye: Dye, one: PartedDye) -> StripBand:
    """One dye's place, with the band that its Rf leaves open."""
    entry = dye.entries.get("rf")
    rf, factor = dye.retardation, GUESSED
    if entry is not None:
        factor = entry.factor
    low, high = rf / factor, min(rf * factor, 1.0)
    return StripBand(
        *(one.name, one.patch.words, rf, low, high),
        *(rf * RUN_MM, low * RUN_MM, high * RUN_MM, float(np.sqrt(PLATE_MM * rf * RUN_MM))),
        standing="assumed" if entry is None else "estimated",
    )


def strip_words(band: StripBand) -> str:
    """A band in a line: where it lies, and by which figure."""
    how = "read from strips" if band.standing == "estimated" else "assumed"
    where = f"at {band.mm:.0f} mm ({band.low_mm:.0f} to {band.high_mm:.0f})"
    return f"{band.name}, {band.words}: {where}, Rf {band.rf:.2f}, {how}"
