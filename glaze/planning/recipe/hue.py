"""What lies under a shadow or a glaze: bare paper, an ink, a mix, or washes over each other."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.materials.mix import Mix
from glaze.patch.layers import Laid, Layer, Lifted
from glaze.patch.patches import bare_patches
from glaze.patch.table import Table
from glaze.sheet.lift import chemistry_of, lift, rinse, touch_of, water_lift
from glaze.sheet.state import Sheet
from glaze.sheet.wash import lay, work_out

Array = NDArray[np.float64]
BARE = "paper"


@dataclass(frozen=True)
class Hue:
    """Layers over each other on bare paper.

    text : as it was asked for
    layers : the lowest first; none is bare paper
    """

    text: str
    layers: tuple[Layer, ...]

    @property
    def inks(self) -> tuple[str, ...]:
        """Bottles it is made of."""
        laid = [layer.mix for layer in self.layers if isinstance(layer, Laid)]
        return tuple(dict.fromkeys(name for mix in laid for name in mix.ink_ml))

    def on(self, table: Table) -> Sheet:
        """A patch of it, shape (1, 1)."""
        sheet = bare_patches(table)
        for layer in self.layers:
            _add(table, sheet, layer)
        return sheet


def _add(table: Table, sheet: Sheet, layer: Layer) -> None:
    """Put one layer on a patch, in place."""
    paper, there = table.paper, np.full(sheet.shape, layer.share, np.float32)
    if isinstance(layer, Laid):
        film = paper.film_ml_per_m2 if layer.film_ml_per_m2 is None else layer.film_ml_per_m2
        lay(sheet, work_out(layer.mix, layer.coats, film, paper, table.dyes), there)
    elif isinstance(layer, Lifted):
        touches, room = layer.touches, table.room
        ph = table.bleach.diluted_ph(touches.parts_water)
        chemistry = chemistry_of(table.dyes, paper, room.temperature_c, ph)
        lift(sheet, there, touch_of(touches, table.bleach, room, paper), chemistry)
    elif layer.minutes is None:
        rinse(sheet, there, chemistry_of(table.dyes, paper))
    else:
        water_lift(sheet, there, layer.minutes, chemistry_of(table.dyes, paper))


def read_hue(text: str, table: Table) -> Hue:
    """A hue in words: "paper", an ink ("Yellow", neat), a recipe, or "Red 1 over Yellow 1".

    Raises
    ------
    InputError : for inks that aren't there and amounts nobody can mix
    """
    parts = [part.strip() for part in re.split(r"\s+over\s+", text.strip())]
    recipes = [part for part in reversed(parts) if part.lower() not in (BARE, "")]
    return Hue(text.strip() or BARE, tuple(Laid(table.mix(recipe)) for recipe in recipes))


def darkened(table: Table, sheet: Sheet, wash: Mix, coats: Array) -> Sheet:
    """Copies of a one-patch sheet under the neat wash, each so many coats thick [neat coats].

    One coat of 1 part + n parts water is 1/(1 + n) of a neat one, and coats add up, so a whole
    ladder is laid at once.

    `coats` has shape (steps,); so many patches come back, shape (1, steps).
    """
    copies = sheet.each(lambda field: np.repeat(field, coats.size, axis=1))
    film = table.paper.film_ml_per_m2
    lay(
        copies,
        work_out(wash, 1.0, film, table.paper, table.dyes),
        coats[None, :].astype(np.float32),
    )
    return copies
