"""What lies under a shadow or a glaze: bare paper, an ink, a mix, or washes over each other."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from glaze.materials.mix import Mix, mix_recipe, mix_wells
from glaze.materials.munsell import Munsell, hue_words, munsell_from_xyz, munsell_notation
from glaze.materials.recipe import parse_recipe
from glaze.physics.colour import D65_XYZ
from glaze.planning.wanted import daylight_weights
from glaze.sheet import Sheet
from glaze.studio import Studio, bare_patches, glaze, reflectance
from glaze.wash import lay, work_out

Array = NDArray[np.float64]
BARE = "paper"


@dataclass(frozen=True)
class Hue:
    """Dry washes over each other on bare paper.

    text : as it was asked for
    recipes : the lowest first; none is bare paper
    inks : bottles it is made of
    wells : stock mixes its recipes may take from, in words
    """

    text: str
    recipes: tuple[str, ...]
    inks: tuple[str, ...]
    wells: Mapping[str, str] = field(default_factory=dict)

    @property
    def bare(self) -> bool:
        """Whether it is bare paper."""
        return not self.recipes

    def on(self, studio: Studio) -> Sheet:
        """A patch of it, shape (1, 1), with the bottles of that studio."""
        sheet = bare_patches(studio)
        for text in self.recipes:
            glaze(studio, sheet, self.mix(text, studio))
        return sheet

    def mix(self, text: str, studio: Studio) -> Mix:
        """A recipe, or an ink or a well named alone, from the bottles of that studio."""
        named = text if re.search(r"\d", text) else f"{text} 1"
        return mix_recipe(
            parse_recipe(named), studio.palette, mix_wells(self.wells, studio.palette)
        )


def read_hue(text: str, studio: Studio, wells: Mapping[str, str] | None = None) -> Hue:
    """A hue in words: "paper", an ink ("Yellow", neat), a recipe, or "Red 1 over Yellow 1".

    Raises
    ------
    InputError : for inks that aren't there and amounts nobody can mix
    """
    parts = [part.strip() for part in re.split(r"\s+over\s+", text.strip())]
    recipes = tuple(part for part in reversed(parts) if part.lower() not in (BARE, ""))
    hue = Hue(text.strip() or BARE, recipes, (), wells or {})
    mixes = [hue.mix(recipe, studio) for recipe in recipes]
    return replace(hue, inks=tuple(dict.fromkeys(name for mix in mixes for name in mix.ink_ml)))


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
