"""Bands of planned values: `glaze.trust` for layers, and on which bottles a plan rests."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from glaze.layers import OF_INKS, Layer
from glaze.materials.ink import Palette
from glaze.studio import Studio
from glaze.trust import trusted
from glaze.value_band import STANDINGS, Band


def band_of(studio: Studio, layers: Sequence[Layer]) -> Band:
    """The value of some layers over each other, the lowest first, with its band."""
    return trusted(studio, layers).band


def standing_of(palette: Palette, inks: Iterable[str]) -> str:
    """The least standing among some inks; without ink only the paper's, which is assumed."""
    found = {OF_INKS[palette.inks[name].how] for name in inks} or {"assumed"}
    return max(found, key=STANDINGS.index)
