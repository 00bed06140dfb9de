"""Type that can be read on any colour."""

from __future__ import annotations

import numpy as np

from glaze.charts.paper.marks import INK, WHITE, Colour
from glaze.physics.colour import LUMINANCE_OF_RGB, srgb_decode

READABLE = 4.5
"""Least contrast of small type (WCAG 2.2, success criterion 1.4.3)."""
BLACK: Colour = (0, 0, 0)
"""For type on swatches of middle value, where the dark grey and white both fall short."""


def readable_on(colour: Colour | None) -> Colour:
    """The dark grey on light swatches, white on dark ones, black where neither stands out.

    Contrast is at least 4.5 to 1 on every colour (WCAG 2.2, success criterion 1.4.3).
    """
    if colour is None:
        return INK
    found = next((ink for ink in (INK, WHITE) if contrast(ink, colour) >= READABLE), BLACK)
    return found


def contrast(one: Colour, other: Colour) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, "contrast ratio")."""
    darker, lighter = sorted(_relative_luminance(c) for c in (one, other))
    return (lighter + 0.05) / (darker + 0.05)


def _relative_luminance(colour: Colour) -> float:
    """Y of an 8-bit sRGB colour, 0 to 1."""
    return float(srgb_decode(np.array(colour) / 255.0) @ LUMINANCE_OF_RGB)
