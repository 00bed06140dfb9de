"""A line of the recipe card for each step: what has to be mixed, and how long to wait."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.mix import Mix, ml_for_area
from glaze.materials.parts_told import ml_words
from glaze.painting.settle import Painting
from glaze.patch.patches import bare_patches, glaze, linear_rgb, value
from glaze.patch.table import Table
from glaze.picture.file import picture_from_linear
from glaze.pipeline import render
from glaze.step.kind import PaintedStep, Step
from viewer.core.hand import LADDER, amounts_of, diluted_text, neat_mix
from viewer.core.sitting import Sitting

SPARSE = 8
"""Every so many pixels are counted for an area: 0.2 % of a sheet is off by less than 3 %."""


@dataclass(frozen=True)
class Extent:
    """Where a settled step lies: area [mm2], thin film counting for less, and a thick place."""

    area_mm2: float
    place: tuple[int, int] | None


def extent_of(sitting: Sitting, painted: PaintedStep) -> Extent:
    """Where a step lies, measured once until it changes."""
    field = painted.film

    def measure() -> Extent:
        area = float(painted_coverage(painted)[::SPARSE, ::SPARSE].mean()) / 65535 * field.size
        return Extent(area * (25.4 / sitting.painting.dpi) ** 2, thick_place(painted))

    return sitting.settling.measured(field, measure)


def painted_coverage(painted: PaintedStep) -> NDArray[np.uint16]:
    """The region of a settled step."""
    assert painted.coverage is not None
    return painted.coverage


Rgb = tuple[int, int, int]


@dataclass(frozen=True)
class Card:
    """A step as it stands in the order.

    number : from 1, in painting order
    kind : "wash", "lift", "water lift" or "rinse"
    swatch : the colour of the sheet where the step is thickest, once it is dry; None if set aside
    recipe, parts : drops, and "1 part + n parts water"
    ml : to mix, spare included
    minutes : until the next step may follow
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
        ml = "" if self.ml is None else ml_text(self.ml)
        wait = f"{self.minutes:.0f} min" if self.minutes >= 1 else ""
        return "   ".join(part for part in (self.parts, ml, wait) if part)

    @property
    def amounts(self) -> str:
        """Drops, parts, ml and minutes in one line."""
        return "   ".join(part for part in (self.recipe, self.measures) if part)


def ml_text(ml: float) -> str:
    """Millilitres as one measures them."""
    if ml < 0.1:
        return "a drop"
    return ml_words(ml)


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
    recipe, parts, ml = _amounts(sitting, step, painted)
    swatch = None
    if painted is not None:
        swatch = _swatch(sitting, painted)
    return Card(
        number + 1,
        step.name,
        step.kind,
        swatch,
        recipe,
        parts,
        ml,
        step.minutes_for(0.0, sitting.table).dry,
        laid,
    )


def _amounts(
    sitting: Sitting, step: Step, painted: PaintedStep | None
) -> tuple[str, str, float | None]:
    """Recipe, parts and ml of a step."""
    ml = None
    if step.recipe and painted is not None:
        area = extent_of(sitting, painted).area_mm2
        ml = ml_for_area(area, step.film_ml_per_m2_on(sitting.table) * step.times)
    try:
        laid, parts = step.amount_words(sitting.table)
    except InputError:
        return step.recipe, "", ml
    return scene_well(sitting, step.recipe) or laid, parts, ml


def scene_well(sitting: Sitting, mix: str) -> str:
    """What is in the well a wash is taken from neat; "" where it is mixed otherwise."""
    return sitting.scene.wells.get(mix.strip(), "")


def thick_place(painted: PaintedStep) -> tuple[int, int] | None:
    """Row and column in the middle of where a step lies thick; None if it lies nowhere."""
    some = painted.film[::SPARSE, ::SPARSE]
    top = int(some.max(initial=0))
    if top == 0:
        return None
    rows, columns = np.nonzero(some >= 0.8 * top)
    middle = np.argmin((rows - rows.mean()) ** 2 + (columns - columns.mean()) ** 2)
    return int(rows[middle]) * SPARSE, int(columns[middle]) * SPARSE


def _swatch(sitting: Sitting, painted: PaintedStep) -> Rgb | None:
    """Colour of the sheet after a step, in the middle of where it lies thick."""
    place, painting = extent_of(sitting, painted).place, sitting.painting
    if place is None:
        return None
    count = 1 + next(n for n, step in enumerate(painting.steps) if step is painted)
    here = np.array([[place[0]]]), np.array([[place[1]]])
    r, g, b = render(_without_line(painting.until(count)).taken(here)).rgb[0, 0]
    return int(r), int(g), int(b)


def _without_line(painting: Painting) -> Painting:
    return replace(painting, line=None)


# ---- swatches of the table


def patch_rgb(table: Table, mix: Mix, coats: float = 1) -> tuple[Rgb, float]:
    """Colour and value of one wash of a mix on the bare paper."""
    sheet = glaze(table, bare_patches(table), mix, coats)
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


def ladder_of(sitting: Sitting, mix: str, coats: float = 1) -> list[LadderRung]:
    """The current mix at every rung of the ladder."""
    table = sitting.table
    neat = neat_mix(mix, table)
    rungs = []
    for n in LADDER:
        text = diluted_text(mix, n, table)
        rgb, lightness = patch_rgb(table, table.mix(text), coats)
        rungs.append(LadderRung(dilution_of(neat, n), text, rgb, lightness))
    return rungs


def mix_swatch(sitting: Sitting, mix: str, coats: float = 1) -> tuple[Rgb, float]:
    """Colour and value of a recipe line as it dries on the bare paper."""
    amounts_of(mix)
    return patch_rgb(sitting.table, sitting.table.mix(mix), coats)
