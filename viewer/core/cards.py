"""A line of the recipe card for each step: what has to be mixed, and how long to wait."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any
from weakref import WeakKeyDictionary, ref

import numpy as np

from glaze.errors import InputError
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.parts_told import ml_words
from glaze.patch.patches import bare_patches, glaze, linear_rgb, value
from glaze.patch.table import Table
from glaze.picture.file import picture_from_linear
from glaze.pipeline import render
from glaze.planning.recipe.thinned import diluted_text, neat_mix
from glaze.planning.sheet.amounts import amount_of
from glaze.planning.sheet.step_bands import middle_of
from glaze.sheet.units import FILM_UNIT, FULL
from glaze.step.kind import PaintedStep, Step
from glaze.step.timing import spoken

from .hand import LADDER, amounts_of
from .saying import amounts, translated
from .sitting import Sitting

MOST_RECENT = 6
SPARSE = 8
"""Every so many pixels are looked at for a thick place."""


@dataclass(frozen=True, eq=False)
class Extent:
    """Where a settled step lies: one for each time it was measured.

    wet_cm2 : area it wets; soft edges count by their share
    film_cm2 : area that its liquid covers as one full film
    place : where it lies thick, row and column; None if it lies nowhere
    """

    wet_cm2: float
    film_cm2: float
    place: tuple[int, int] | None


def extent_of(sitting: Sitting, painted: PaintedStep) -> Extent:
    """Where a step lies, measured once until it changes."""

    def measure() -> Extent:
        pixel_cm2 = (2.54 / sitting.painting.dpi) ** 2
        wet = float(painted.spread.sum(dtype=np.uint64)) / FULL * pixel_cm2
        film = float(painted.film.sum(dtype=np.uint64)) / FILM_UNIT * pixel_cm2
        return Extent(wet, film, thick_place(painted))

    return sitting.settling.measured(painted.film, measure)


Rgb = tuple[int, int, int]
_SWATCHES: WeakKeyDictionary[PaintedStep, tuple[Any, Rgb]] = WeakKeyDictionary()
"""By settled step: what its swatch was made from, and the swatch."""


@dataclass(frozen=True)
class Card:
    """A step as it stands in the order.

    number : from 1, in painting order
    kind : "wash", "lift", "water lift" or "rinse"
    swatch : the colour of the sheet where the step is thickest, once it is dry; None if set aside
    recipe, parts : drops, and "1 part + n parts water"
    ml : to mix, spare included, as the plan says it
    minutes : until the next step may follow, as the plan says it
    laid : whether it is painted, or set aside
    """

    number: int
    name: str
    kind: str
    swatch: Rgb | None
    recipe: str
    parts: str
    ml: float | None
    minutes: float
    laid: bool

    @property
    def measures(self) -> str:
        """Parts, ml and minutes in one line."""
        ml = "" if self.ml is None else ml_words(self.ml)
        wait = translated(spoken(self.minutes)) if self.minutes >= 1 else ""
        return "   ".join(part for part in (self.parts, ml, wait) if part)

    @property
    def amounts(self) -> str:
        """Drops, parts, ml and minutes in one line."""
        return "   ".join(part for part in (self.recipe, self.measures) if part)


def cards_of(sitting: Sitting) -> list[Card]:
    """The whole order."""
    made = []
    for n, step in enumerate(sitting.scene.steps):
        painted = sitting.settling.painted_step(n)
        made.append(card_of(sitting, n, step, painted))
    return made


def card_of(sitting: Sitting, number: int, step: Step, painted: PaintedStep | None) -> Card:
    """One step of the order."""
    laid = number not in sitting.draft.aside
    table, ml, area = sitting.table, None, 0.0
    swatch = None if painted is None else _swatch(sitting, painted)
    try:
        mixed, parts = step.amount_words(table)
        if painted is not None:
            extent = extent_of(sitting, painted)
            area = extent.wet_cm2
            on_sheet = extent.film_cm2 * 1e-4 * step.film_ml_per_m2_on(table) * step.times
            amount = amount_of(step, table, area, on_sheet)
            ml = None if amount is None else amount.mix_ml
    except InputError:
        mixed, parts = step.recipe, ""
    if not step.recipe:  # a recipe line is written as in a scene
        mixed = amounts(mixed)
    # what is in the well that a wash is taken from
    recipe = sitting.scene.wells.get(step.recipe.strip(), mixed)
    minutes = step.minutes_for(area, table).all
    return Card(number + 1, step.name, step.kind, swatch, recipe, amounts(parts), ml, minutes, laid)


def thick_place(painted: PaintedStep) -> tuple[int, int] | None:
    """Row and column in the middle of where a step lies thick; None if it lies nowhere."""
    some = painted.film[::SPARSE, ::SPARSE]
    top = int(some.max(initial=0))
    if top == 0:
        return None
    row, column = middle_of(*np.nonzero(some >= 0.8 * top))
    return row * SPARSE, column * SPARSE


def _swatch(sitting: Sitting, painted: PaintedStep) -> Rgb | None:
    """Colour of the sheet after a step, in the middle of where it lies thick.

    Kept as long as that step and all below it lie as they did: a stroke changes one of them.
    """
    place, painting = extent_of(sitting, painted).place, sitting.painting
    if place is None:
        return None
    count = 1 + next(n for n, step in enumerate(painting.steps) if step is painted)
    table = painting.table
    now = (
        *(table.palette, table.paper, table.light, table.bleach, table.room),
        *((ref(step), extent_of(sitting, step)) for step in painting.steps[:count]),
    )
    rests_on, rgb = _SWATCHES.get(painted, (None, None))
    if rests_on != now:
        here = np.array([[place[0]]]), np.array([[place[1]]])
        r, g, b = render(replace(painting.until(count), line=None).taken(here)).rgb[0, 0]
        rgb = int(r), int(g), int(b)
        _SWATCHES[painted] = now, rgb
    return rgb


# ---- swatches of the table


@lru_cache(maxsize=256)
def dried(table: Table, recipe: str, coats: float = 1) -> tuple[Rgb, float]:
    """Colour and value of one wash of a recipe line on the bare paper."""
    sheet = glaze(table, bare_patches(table), table.mix(recipe), coats)
    r, g, b = picture_from_linear(linear_rgb(table, sheet), 100).rgb[0, 0]
    return (int(r), int(g), int(b)), float(value(table, sheet)[0, 0])


@dataclass(frozen=True)
class LadderRung:
    """A rung of the ladder strip: what the mix is at this dilution, on this paper."""

    dilution: Dilution
    recipe: str
    rgb: Rgb
    value: float

    @property
    def parts_water(self) -> float:
        """To one part of the mix in hand without its water."""
        return self.dilution.parts_water


def recent_mixes(sitting: Sitting) -> list[tuple[str, str]]:
    """Mixes that washes were laid with and no well has, the latest first, each with a name."""
    found: dict[str, str] = {}
    for step in reversed(sitting.scene.steps):
        if step.recipe and step.recipe not in sitting.scene.wells:
            found.setdefault(step.recipe, step.name)
    return list(found.items())[:MOST_RECENT]


def ladder_of(sitting: Sitting, mix: str) -> list[LadderRung]:
    """The current mix at every rung of the ladder."""
    return _ladder(sitting.table, neat_mix(mix, sitting.table).recipe.text)


@lru_cache(maxsize=16)
def _ladder(table: Table, neat: str) -> list[LadderRung]:
    """The ladder of a mix without its water: the same whatever its water is dragged to."""
    rungs, whole = [], neat_mix(neat, table)
    for n in LADDER:
        text = diluted_text(neat, n, table)
        rungs.append(LadderRung(dilution_of(whole, n), text, *dried(table, text)))
    return rungs


def mix_swatch(sitting: Sitting, mix: str, coats: float = 1) -> tuple[Rgb, float]:
    """Colour and value of a recipe line as it dries on the bare paper."""
    amounts_of(mix)
    return dried(sitting.table, mix, coats)
