"""Ways of looking at a picture: values only, a few values, and with another colour vision.

Plain functions of linear sRGB, 0 to 1, colours on the last axis.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.physics.colour import LUMINANCE_OF_RGB, luminance_of_value, munsell_value

Array = NDArray[np.float64]

COLOUR_VISIONS = {
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.01182, 0.04294, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.3039),
    ),
}
"""Words for a missing long-, middle- or short-wave cone, and what it makes of linear sRGB: Machado,
Oliveira and Fernandes (2009), Table 1, severity 1."""

REACH = 2.5
"""How far a grain is evened out sideways, in times of its own size."""


def values_only(linear_rgb: ArrayLike) -> Array:
    """The greys that have the same Munsell value as the colours, shape as given.

    Linear sRGB [-], shape (..., 3).
    """
    luminance = np.clip(np.asarray(linear_rgb, dtype=float) @ LUMINANCE_OF_RGB, 0.0, 1.0)
    return np.repeat(luminance[..., None], 3, axis=-1)


def few_values(
    linear_rgb: ArrayLike,
    steps: int,
    darkest: float = 2.0,
    lightest: float = 9.5,
    even_px: float = 0.0,
) -> Array:
    """A value plan: greys in a few equal steps of Munsell value between two ends.

    Linear sRGB [-], same shape.

    Parameters
    ----------
    linear_rgb : shape (..., 3)
    steps : how many greys, at least 2
    darkest, lightest : Munsell values of the ends; 2.0 is what the surface of a matte sheet
        returns (3 %), 9.5 white paper
    even_px : a grain finer than that is evened out first [px], so that a wash whose value lies
        between two greys has one clean border; lines and edges stay
    """
    if steps < 2:
        raise ValueError(f"a value plan needs at least 2 values, not {steps}")
    luminance = np.asarray(linear_rgb, dtype=float) @ LUMINANCE_OF_RGB
    place = (munsell_value(luminance) - darkest) / (lightest - darkest) * (steps - 1)
    if even_px > 0:
        place = _evened(np.clip(place, 0, steps - 1).astype(np.float32), steps, even_px)
    value = darkest + np.clip(np.rint(place), 0, steps - 1) * (lightest - darkest) / (steps - 1)
    return np.repeat(luminance_of_value(value)[..., None], 3, axis=-1)


def evened_reach(even_px: float) -> int:
    """How far from a pixel lies what counts in evening out a grain [px]; both in pixels."""
    return int(REACH * even_px + 0.5)


def _evened(place: NDArray[np.float32], steps: int, even_px: float) -> Array:
    """Means of what lies round each pixel and is like it (a bilateral filter, worked out level by
    level: Durand and Dorsey 2002). [-], shape (rows, columns), same shape back."""
    from scipy.ndimage import gaussian_filter

    found = np.zeros(place.shape)
    for level in np.arange(0.0, steps - 0.75, 0.5):
        share = np.maximum(1 - 2 * np.abs(place - np.float32(level)), 0)
        if not share.any():
            continue
        like = np.exp(-(((place - np.float32(level)) / np.float32(0.35)) ** 2))
        many, total = (gaussian_filter(f, even_px, truncate=REACH) for f in (like, like * place))
        found += share * total / np.maximum(many, 1e-6)
    return found


def as_seen_by(linear_rgb: ArrayLike, vision: str) -> Array:
    """The colours as someone with a missing cone sees them, 0 to 1.

    Machado, Oliveira and Fernandes (2009), IEEE Trans. Vis. Comput. Graph. 15, 1291. For "tritan"
    the authors call their model an approximation.

    Linear sRGB [-], same shape.

    Parameters
    ----------
    linear_rgb : shape (..., 3), 0 to 1
    vision : a key of COLOUR_VISIONS
    """
    matrix = np.array(COLOUR_VISIONS[vision])
    return np.clip(np.asarray(linear_rgb, dtype=float) @ matrix.T, 0.0, 1.0)
