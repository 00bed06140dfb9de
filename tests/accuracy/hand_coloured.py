"""A rough of each of ten drawings of our own, coloured by script as a hand colours.

Every shape has a colour chosen by eye; its fill is uneven, streaked along the hand's way, falls
short of the line in places, and a shadow is the same colours darker. No ink, wash or paper of the
program has a part in it.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter

from tests.accuracy.drawings import DRAWINGS, Drawing

Array = NDArray[np.float64]

DPI = 120
PER_MM = DPI / 25.4
PAGE = "#f5f2ea"
FLECK, STREAK, UNEVEN = 0.012, 0.03, 0.05
"""How uneven a fill is: from pixel to pixel, along strokes, and broadly [share of its light]."""
SHORT_MM = 0.35
"""So far a fill falls short of its line on average where the hand was quick."""


def draw_and_colour(name: str, folder: Path) -> tuple[Path, Path]:
    """A drawing's sketch and rough as PNG files in a folder."""
    drawing, chance = DRAWINGS[name](), np.random.default_rng(sum(map(ord, name)))
    sketch, light = _coloured(drawing, chance)
    paths = folder / f"{name}_sketch.png", folder / f"{name}_rough.png"
    sketch.save(paths[0], dpi=(DPI, DPI))
    ink = np.asarray(sketch, float)[..., None] / 255
    Image.fromarray(signal_of(light * ink)).save(paths[1])
    return paths


def _coloured(drawing: Drawing, chance: np.random.Generator) -> tuple[Image.Image, Array]:
    """The line drawing, and the light of its colours, linear sRGB, (rows, columns, 3)."""
    wide, high = (round(side * PER_MM) for side in drawing.size_mm)
    sketch = Image.new("L", (wide, high), 255)
    pen = ImageDraw.Draw(sketch)
    light = np.broadcast_to(light_of(PAGE), (high, wide, 3)).copy()
    rough_edge = gaussian_filter(chance.normal(0, 1, (high, wide)), 0.8 * PER_MM)
    rough_edge *= SHORT_MM * PER_MM / rough_edge.std()
    for points, top, low in drawing.shapes:
        corners = [(x * PER_MM, y * PER_MM) for x, y in points]
        fill = Image.new("L", (wide, high), 0)
        ImageDraw.Draw(fill).polygon(corners, 255)
        left, upper, right, lower = fill.getbbox() or (0, 0, 0, 0)
        box = slice(upper, lower), slice(left, right)
        _fill(light[box], np.asarray(fill)[box] > 0, (top, low), rough_edge[box], chance)
        pen.polygon(corners, 255)
        pen.line([*corners, corners[0], corners[1]], 0, 3, joint="curve")
    y, x = np.indices((high, wide)) / PER_MM
    for falls, leaves in drawing.shades:
        light[falls(x, y)] *= leaves
    return sketch, np.clip(light * (1 + chance.normal(0, FLECK, (high, wide, 1))), 0, 1)


def _fill(
    light: Array,
    inside: NDArray[np.bool_],
    codes: tuple[str, str],
    edge: Array,
    chance: np.random.Generator,
) -> None:
    """One shape coloured in: uneven, in strokes, a little short of its line here and there."""
    from scipy.ndimage import distance_transform_edt

    share = np.linspace(0, 1, len(inside))[:, None, None]
    colour = light_of(codes[0]) + (light_of(codes[1]) - light_of(codes[0])) * share
    coarse = Image.fromarray(chance.normal(0, 1, (9, 9)).astype(np.float32))
    broad = np.asarray(coarse.resize(inside.shape[::-1], Image.Resampling.BICUBIC))
    way = (2.5 * PER_MM, 0.25 * PER_MM) if chance.random() < 0.5 else (0.25 * PER_MM, 2.5 * PER_MM)
    strokes = gaussian_filter(chance.normal(0, 1, inside.shape), way)
    uneven = 1 + UNEVEN * broad / broad.std() + STREAK * strokes / strokes.std()
    light[inside] = light_of(PAGE)
    laid = inside & (distance_transform_edt(inside) > edge)
    light[laid] = (colour * uneven[..., None])[laid]


def light_of(code: str) -> Array:
    """Linear sRGB of a hex code [-], shape (3,)."""
    signal = np.array([int(code[n : n + 2], 16) for n in (1, 3, 5)]) / 255
    return np.where(signal <= 0.04045, signal / 12.92, ((signal + 0.055) / 1.055) ** 2.4)


def signal_of(light: Array) -> NDArray[np.uint8]:
    """8-bit sRGB of linear sRGB [-], same shape."""
    out = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.rint(255 * np.clip(out, 0, 1)).astype(np.uint8)
