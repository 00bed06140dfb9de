"""Bands of planned values: `glaze.patch.trust` for layers, and on which bottles a plan rests."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from glaze.materials.ink import Palette
from glaze.patch.band import STANDINGS, Band
from glaze.patch.layers import OF_INKS, Layer
from glaze.patch.table import Table
from glaze.patch.trust import trusted


def band_of(table: Table, layers: Sequence[Layer]) -> Band:
    """The value of some layers over each other, the lowest first, with its band."""
    return trusted(table, layers).band


def standing_of(palette: Palette, inks: Iterable[str]) -> str:
    """The least standing among some inks; without ink only the paper's, which is assumed."""
    found = {OF_INKS[palette.inks[name].how] for name in inks} or {"assumed"}
    return max(found, key=STANDINGS.index)
