"""Texts of small scenes, and their sketch."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

PLAIN = """
format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [20, 12]
dpi = 300
"""
"""A bare sheet without a sketch; steps and tables follow."""

SMALL = """
format = 1
title = "Two squares"
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"
[region.left]
polygon_mm = [[4, 4], [20, 4], [20, 28], [4, 28]]
[region.right]
polygon_mm = [[14, 8], [34, 8], [34, 24], [14, 24]]
[[step]]
wash = "yellow"
mix = "Yellow 3 + water 1"
region = "left"
[[step]]
wash = "shadow"
mix = "Black 1 + water 3"
region = "right"
graded = { from_mm = [14, 0], to_mm = [34, 0], start = 1, end = 0.2 }
"""

LIFTED = (
    SMALL
    + """
[[step]]
lift = "light"
region = { ellipse_mm = { centre = [18, 16], radii = [4, 4] } }
parts_water = 4
[[step]]
wash = "over it"
mix = "Blue 1 + water 6"
region = "right"
"""
)


BENCH = """
format = 1
title = "Two squares & a <glow>"
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"
[well]
dusk = "Blue 3 + Red 1 + water 20"
[region.left]
polygon_mm = [[4, 4], [20, 4], [20, 28], [4, 28]]
[[step]]
wash = "yellow"
mix = "Yellow 3 + water 1"
region = "left"
coats = 2
[[step]]
wash = "sky"
mix = "dusk"
region = { polygon_mm = [[22, 4], [34, 4], [34, 28], [22, 28]] }
[[step]]
charge = "bloom"
mix = "Red 1 + water 2"
region = { ellipse_mm = { centre = [28, 16], radii = [3, 3] } }
into = "sky"
minutes = 3
[[step]]
lift = "light"
region = { ellipse_mm = { centre = [12, 16], radii = [4, 4] } }
parts_water = 4
touches = 2
minutes = 1.5
rinse = true
[[step]]
water_lift = "soften"
region = { ellipse_mm = { centre = [12, 24], radii = [2, 2] } }
minutes = 4
"""
"""Every kind of step and of clock."""


def write_sketch(path: Path, size: tuple[int, int] = (236, 190), dpi: int = 150) -> None:
    """A frame drawn on white paper, 40 x 32 mm."""
    grey = np.full(size[::-1], 255, np.uint8)
    grey[20:24, 20:200] = grey[160:164, 20:200] = 20
    grey[20:164, 20:24] = grey[20:164, 196:200] = 20
    Image.fromarray(grey).save(path, dpi=(dpi, dpi))
