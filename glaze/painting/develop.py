"""What is seen of a sheet: from what lies there to linear sRGB, and on to picture numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.physics.colour import LUMINANCE_OF_RGB, srgb_encode
from glaze.sheet import compiled_encode, compiled_wash
from glaze.sheet.rect import Rect
from glaze.sheet.state import Sheet
from glaze.sheet.units import FILM_UNIT
from glaze.sheet.wash import LaidWash

Linear = NDArray[np.float32]

SRGB8 = np.rint(srgb_encode(np.arange(65536) / 65535) * 255).astype(np.uint8)
"""sRGB number of each of 65536 equal steps of light."""


@dataclass(frozen=True, eq=False)
class _Constants:
    """What `glaze.sheet.compiled_wash` needs of a table, as float32."""

    path_per_k: Linear
    paper: Linear
    bleached_gain: Linear
    weights: Linear
    surface: np.float32
    k: np.float32
    law: tuple[int, ...]


def _constants(painting: Painting) -> _Constants:
    table = painting.table
    k = table.paper.path_spread
    return _Constants(
        path_per_k=(table.path_m2_per_g / k).astype(np.float32),
        paper=table.paper_reflectance.astype(np.float32),
        bleached_gain=table.bleached_gain.astype(np.float32),
        weights=table.light.display_weights.astype(np.float32),
        surface=np.float32(table.paper.surface_reflectance),
        k=np.float32(k),
        law=compiled_wash.law_of(k),
    )


def developed(painting: Painting, sheet: Sheet) -> Linear:
    """Linear sRGB of what lies on a sheet, without the sketch's line.

    Shape (rows, columns, 3), [-], 1 for white.
    """
    glows = painting.table.glow is not None
    c = _constants(painting)
    count = len(painting.table.dyes)
    rgb = np.empty((*sheet.shape, 3), np.float32)
    compiled_wash.develop(
        np.ascontiguousarray(sheet.optical_g_per_m2).reshape(sheet.bleached.size, count),
        c.path_per_k,
        np.ascontiguousarray(sheet.bleached).reshape(-1),
        np.full(sheet.bleached.size, c.surface),
        *(c.paper, c.bleached_gain, c.weights, c.k, c.law),
        rgb.reshape(-1, 3),
    )
    if glows:
        _add_glow(painting, sheet, rgb)
    return rgb


def _add_glow(painting: Painting, sheet: Sheet, rgb: Linear) -> None:
    """Add the light that fluorescent dyes give back to a tile, in place."""
    from glaze.sheet.compiled_glow import add_glow

    table = painting.table
    assert table.glow is not None
    count = len(table.dyes)
    add_glow(
        np.ascontiguousarray(sheet.optical_g_per_m2).reshape(sheet.bleached.size, count),
        np.ascontiguousarray(sheet.load_g_per_m2).reshape(sheet.bleached.size, count),
        table.glow.mol_per_g,
        table.path_m2_per_g,
        table.glow.quantum_yield,
        np.ascontiguousarray(sheet.bleached).reshape(-1),
        table.paper_reflectance,
        table.bleached_gain,
        table.paper.surface_reflectance,
        table.paper.path_spread,
        table.glow.photon_weights,
        table.glow.emission_xyz @ table.light.display_matrix,
        rgb.reshape(-1, 3),
    )


def washes_rgb(painting: Painting, tile: Rect) -> Linear:
    """A tile with nothing but washes on it, in one pass and with nothing kept.

    Washes that don't touch the tile are left out.

    Linear sRGB [-], shape (rows, columns, 3).
    """
    washes = [
        (step.film[tile.slices].ravel(), wash)
        for step in painting.layers
        if (wash := step.flat_wash) is not None and step.film[tile.slices].any()
    ]
    c, count = _constants(painting), len(washes)
    masks = np.zeros((count, tile.shape[0] * tile.shape[1]), np.uint16)
    strength = np.zeros(count, np.float32)
    overlap = np.zeros((3, count, count), np.float32)
    path_per_k = np.zeros((count, c.paper.size), np.float32)
    units = np.array([unit_load(wash) for _, wash in washes])
    for i, (film, wash) in enumerate(washes):
        masks[i] = film
        strength[i] = wash.strength / FILM_UNIT
        path_per_k[i] = units[i] @ c.path_per_k
        overlap[:, i] = wash.overlap @ units.T
    rgb = np.empty((*tile.shape, 3), np.float32)
    compiled_wash.glaze_washes(
        *(masks, strength, overlap, path_per_k, c.surface, c.paper, c.weights, c.k, c.law),
        rgb.reshape(-1, 3),
    )
    return rgb


def unit_load(wash: LaidWash) -> NDArray[np.float64]:
    """Dye of a wash for each neat coat of its strength [g/m2], shape (colourants,)."""
    return wash.full_load_g_per_m2 / wash.strength if wash.strength > 0 else 0 * wash.share


def lined(painting: Painting, rgb: Linear, line: Linear) -> Linear:
    """Linear sRGB of what lies on a sheet under the sketch's line.

    The light that a black line still returns comes from its own surface: a wash doesn't take it,
    so black stays the black it was drawn with. Greys are so much of that black beside so much of
    the wash. Only a wash darker than the black darkens it.

    Parameters
    ----------
    rgb : [-], shape (rows, columns, 3)
    line : transmittance [-], shape (rows, columns)
    """
    black = painting.black
    share = ((1 - line) / (1 - black[3]))[..., None]
    light = rgb @ LUMINANCE_OF_RGB.astype(np.float32)
    of_black = max(float(LUMINANCE_OF_RGB @ black[:3]), 1e-12)
    left = np.clip(light / of_black, 0, 1)[..., None].astype(np.float32)
    return np.asarray(rgb + share * (left * black[:3] - rgb), np.float32)


def encoded(
    painting: Painting, rgb: Linear, line: Linear | None, bits: int = 8
) -> tuple[NDArray[Any], int]:
    """Picture numbers of linear sRGB under the sketch's line, and how many pixels were mapped.

    Parameters
    ----------
    line : transmittance [-], shape (rows, columns), None for all clear
    bits : 8 or 16 a channel
    """
    through = np.ones(rgb.shape[:2], np.float32) if line is None else np.ascontiguousarray(line)
    out = np.empty(rgb.shape, np.uint8 if bits == 8 else np.uint16)
    flat = rgb.reshape(-1, 3), through.ravel(), painting.black
    if bits == 8:
        return out, int(compiled_encode.encode8(*flat, SRGB8, out.reshape(-1, 3)))
    return out, int(compiled_encode.encode16(*flat, out.reshape(-1, 3)))
