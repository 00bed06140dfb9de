"""What lies under a shadow or a glaze: bare paper, an ink, a mix, or washes over each other."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.mix import Mix, mix_recipe, mix_wells
from glaze.materials.munsell import Munsell, hue_words, munsell_from_xyz, munsell_notation
from glaze.materials.recipe import parse_recipe
from glaze.patch.layers import Laid, Layer, Lifted
from glaze.patch.studio import Studio, bare_patches, reflectance
from glaze.physics.colour import D65_XYZ
from glaze.planning.recipe.wanted import daylight_weights
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
    wells : stock mixes that further recipes may take from, in words
    """

    text: str
    layers: tuple[Layer, ...]
    wells: Mapping[str, str] = field(default_factory=dict)

    @property
    def inks(self) -> tuple[str, ...]:
        """Bottles it is made of."""
        laid = [layer.mix for layer in self.layers if isinstance(layer, Laid)]
        return tuple(dict.fromkeys(name for mix in laid for name in mix.ink_ml))

    def on(self, studio: Studio) -> Sheet:
        """A patch of it, shape (1, 1)."""
        sheet = bare_patches(studio)
        for layer in self.layers:
            _add(studio, sheet, layer)
        return sheet

    def mix(self, text: str, studio: Studio) -> Mix:
        """A recipe, or an ink or a well named alone."""
        if not text.strip():
            raise InputError('A mix of nothing: write it as "Blue 3 + Yellow 2 + water 4".')
        named = text if re.search(r"\d", text) else f"{text} 1"
        wells = mix_wells(self.wells, studio.palette)
        return mix_recipe(parse_recipe(named), studio.palette, wells)


def _add(studio: Studio, sheet: Sheet, layer: Layer) -> None:
    """Put one layer on a patch, in place."""
    paper, there = studio.paper, np.full(sheet.shape, layer.share, np.float32)
    if isinstance(layer, Laid):
        film = paper.film_ml_per_m2 if layer.film_ml_per_m2 is None else layer.film_ml_per_m2
        lay(sheet, work_out(layer.mix, layer.coats, film, paper, studio.dyes), there)
    elif isinstance(layer, Lifted):
        touches, bleach = layer.touches, layer.bleach
        ph = bleach.diluted_ph(touches.parts_water)
        chemistry = chemistry_of(studio.dyes, paper, touches.temperature_c, ph)
        lift(sheet, there, touch_of(touches, bleach, touches, paper), chemistry)
    elif layer.minutes is None:
        rinse(sheet, there, chemistry_of(studio.dyes, paper))
    else:
        water_lift(sheet, there, layer.minutes, chemistry_of(studio.dyes, paper))


def read_hue(text: str, studio: Studio, wells: Mapping[str, str] | None = None) -> Hue:
    """A hue in words: "paper", an ink ("Yellow", neat), a recipe, or "Red 1 over Yellow 1".

    Raises
    ------
    InputError : for inks that aren't there and amounts nobody can mix
    """
    parts = [part.strip() for part in re.split(r"\s+over\s+", text.strip())]
    recipes = [part for part in reversed(parts) if part.lower() not in (BARE, "")]
    hue = Hue(text.strip() or BARE, (), wells or {})
    return replace(hue, layers=tuple(Laid(hue.mix(recipe, studio)) for recipe in recipes))


def darkened(studio: Studio, sheet: Sheet, wash: Mix, coats: Array) -> Sheet:
    """Copies of a one-patch sheet under the neat wash, each so many coats thick [neat coats].

    One coat of 1 part + n parts water is 1/(1 + n) of a neat one, and coats add up, so a whole
    ladder is laid at once.
    """
    copies = Sheet(
        **{key: np.repeat(part, coats.size, axis=1) for key, part in vars(sheet).items()}
    )
    film = studio.paper.film_ml_per_m2
    lay(
        copies,
        work_out(wash, 1.0, film, studio.paper, studio.dyes),
        coats[None, :].astype(np.float32),
    )
    return copies


def daylight_xyz(studio: Studio, sheet: Sheet) -> Array:
    """XYZ of a row of patches, carried to D65, shape (patches, 3)."""
    return (reflectance(studio, sheet) @ daylight_weights(studio.light))[0]


def munsell_of(studio: Studio, sheet: Sheet) -> Munsell:
    """Munsell hue, value and chroma of a row of patches."""
    return munsell_from_xyz(daylight_xyz(studio, sheet), D65_XYZ)


def notations(studio: Studio, sheet: Sheet) -> list[str]:
    """Munsell notation of each patch."""
    return list(munsell_notation(daylight_xyz(studio, sheet), D65_XYZ))


def words(found: Munsell, n: int = 0) -> str:
    """A patch's colour in plain words."""
    return hue_words(float(found.hue[n]), float(found.value[n]), float(found.chroma[n]))
