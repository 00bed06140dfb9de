"""Words under a picture, for pictures that stand side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from PIL import Image, ImageDraw

from glaze.charts.paper.marks import INK
from glaze.charts.paper.type import pil_font
from glaze.picture.file import Picture

LINE, GAP, LEAST_PX = 1.35, 0.5, 9.0
"""Height of a line and of the gap above, in sizes of the type; it is never smaller than that."""
WORDS_ACROSS = 72.0
"""Letters that a picture is wide."""


def captioned(picture: Picture, lines: Sequence[str]) -> Picture:
    """The picture with lines under it, the first in bold; as wide as it was."""
    columns = picture.rgb.shape[1]
    size = max(columns / WORDS_ACROSS * 2.0, LEAST_PX)
    strip = Image.new("RGB", (columns, round(size * (GAP + LINE * len(lines)))), "white")
    draw = ImageDraw.Draw(strip)
    for n, line in enumerate(lines):
        font = pil_font(size, 72, "Regular" if n else "Bold")
        draw.text((0, size * (GAP + LINE * n)), _fitting(line, font, columns), INK, font)
    top = np.iinfo(picture.rgb.dtype).max
    words = (np.asarray(strip, dtype=float) * (top / 255.0)).round().astype(picture.rgb.dtype)
    return replace(picture, rgb=np.concatenate([picture.rgb, words]))


def _fitting(line: str, font: object, wide: int) -> str:
    """As much of a line as there is room for."""
    measured = font.getlength  # type: ignore[attr-defined]
    if measured(line) <= wide:
        return line
    while line and measured(line + "…") > wide:
        line = line[:-1]
    return line.rstrip() + "…"
