"""A small drawing of our own and a rough coloured by hand for it (invented, to try things on)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from tests.accuracy.hand_coloured import light_of, signal_of

DPI, SIZE_MM = 100, (90.0, 60.0)
PER_MM = DPI / 25.4
HOUSES = ("#e8b0a0", "#f0dc8c", "#a8c8dc", "#c4b4d4", "#b4d0a0")
"""Five walls, chosen by eye."""
SKY, GROUND = ("#dce8f0", "#9cc4e0"), "#dccba8"
SHADE = 0.55
"""What the shadow over the right half of every house leaves of the light."""


def _px(mm: float) -> int:
    return round(mm * PER_MM)


def _houses() -> list[tuple[int, int, int, int]]:
    return [(_px(6 + 16 * n), _px(22), _px(18 + 16 * n), _px(44)) for n in range(5)]


def line_art() -> Image.Image:
    """Five houses in a row on a ground line."""
    wide, high = (_px(side) for side in SIZE_MM)
    sketch = Image.new("L", (wide, high), 255)
    pen = ImageDraw.Draw(sketch)
    pen.line([(0, _px(44)), (wide, _px(44))], 0, 3)
    for box in _houses():
        pen.rectangle(box, outline=0, width=3)
    return sketch


def coloured(lines: bool = True) -> Image.Image:
    """The rough: a graded sky, a ground, five walls, and one shadow over their right halves."""
    wide, high = (_px(side) for side in SIZE_MM)
    light = np.empty((high, wide, 3))
    top, low = light_of(SKY[1]), light_of(SKY[0])
    share = np.clip(np.arange(high) / _px(44), 0, 1)[:, None, None]
    light[:] = top + (low - top) * share
    light[_px(44) :] = light_of(GROUND)
    for code, (left, upper, right, lower) in zip(HOUSES, _houses(), strict=True):
        light[upper:lower, left:right] = light_of(code)
        light[upper:lower, (left + right) // 2 : right] *= SHADE
    if lines:
        light *= np.asarray(line_art().convert("L"))[..., None] / 255
    return Image.fromarray(signal_of(light))


@pytest.fixture(scope="session")
def street(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with sketch.png and rough.png."""
    home = tmp_path_factory.mktemp("street")
    line_art().save(home / "sketch.png", dpi=(DPI, DPI))
    coloured().save(home / "rough.png")
    return home
