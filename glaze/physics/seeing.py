"""Ways of looking at a picture: values only, a few values, and with another colour vision.

Plain functions of linear sRGB, 0 to 1, colours on the last axis.
"""

from __future__ import annotations

import warnings

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.physics.colour import LUMINANCE_OF_RGB, luminance_of_value, munsell_value

Array = NDArray[np.float64]

COLOUR_VISIONS = {
    "protan": "Protanomaly",
    "deutan": "Deuteranomaly",
    "tritan": "Tritanomaly",
}
"""Words for a weak long-, middle- or short-wave cone, and colour-science's names for them."""

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


def as_seen_by(linear_rgb: ArrayLike, vision: str, severity: float = 1.0) -> Array:
    """The colours as someone with a weak or missing cone sees them, 0 to 1.

    Machado, Oliveira and Fernandes (2009), IEEE Trans. Vis. Comput. Graph. 15, 1291, by the
    matrices in colour-science. For "tritan" the authors call their model an approximation.

    Linear sRGB [-], same shape.

    Parameters
    ----------
    linear_rgb : shape (..., 3), 0 to 1
    vision : a key of COLOUR_VISIONS
    severity : 0 (full colour vision) to 1 (the cone is missing)
    """
    if not 0.0 <= severity <= 1.0:
        raise ValueError(f"severity goes from 0 to 1, not {severity}")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of missing optional parts, and of tritan as above
        from colour.blindness import matrix_cvd_Machado2009

        matrix = np.asarray(matrix_cvd_Machado2009(COLOUR_VISIONS[vision], severity))
    return np.clip(np.asarray(linear_rgb, dtype=float) @ matrix.T, 0.0, 1.0)
