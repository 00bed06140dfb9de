"""Munsell notation of a colour, such as 7.5R 4/6: written and read.

A painter plans in value and hue; the renotation is the open standard for both. The notation is
read from a grid made by colour-science (tables/make_munsell.py), so it needs no search and no
slow import. Against colour-science on the real Munsell colours, values 1 to 9, the errors are
recorded in tests/materials/test_munsell.py.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError
from glaze.physics.colour import adaptation, lab_from_xyz, munsell_value, xyz_from_xy

Array = NDArray[np.float64]

FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
"""Hue families in order; each spans ten hue numbers, 5R is 5, 10R is 10, 5YR is 15."""

ILLUMINANT_C_XYZ: Array = xyz_from_xy((0.31006, 0.31616))
"""White of the renotation, CIE illuminant C, 2 degree observer."""

VALUES: Array = np.arange(1.0, 10.0)
ANGLES: Array = np.arange(0.0, 360.0, 5.0)
CHROMAS_AB: Array = np.array([0, 5, 10, 15, 20, 30, 40, 50, 60, 80, 100, 130], dtype=float)

NEUTRAL_BELOW = 0.5
"""Munsell chroma below which a colour is written as a neutral, N."""


@dataclass(frozen=True)
class Munsell:
    """Munsell hue number (0 to 100, 5R = 5), value (0 to 10), chroma; arrays alike in shape."""

    hue: Array
    value: Array
    chroma: Array


def munsell_from_xyz(xyz: ArrayLike, white: ArrayLike) -> Munsell:
    """Munsell hue, value and chroma of XYZ seen under a white.

    The colour is carried to illuminant C by CAT16; value comes from Y by ASTM D1535, hue and chroma
    from the grid, linear in value, hue angle and C*ab. Below value 1 the plane of value 1 is used,
    above 9 that of 9.

    XYZ is [-]; the three that come back are of shape (...), [-].

    Parameters
    ----------
    xyz : shape (..., 3), Y = 1 for the perfect diffuser
    white : XYZ of the perfect diffuser under the light
    """
    XYZ = np.asarray(xyz, dtype=float)
    value = munsell_value(XYZ[..., 1])
    _, a, b = np.moveaxis(
        lab_from_xyz(XYZ @ adaptation(white, ILLUMINANT_C_XYZ).T, ILLUMINANT_C_XYZ), -1, 0
    )
    C, angle = np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360.0
    ratio, cosine, sine = np.moveaxis(_interpolate(value, angle, C), -1, 0)
    turn = np.arctan2(sine, cosine) / (2 * np.pi) * 100.0
    return Munsell((angle / 3.6 + turn) % 100.0, value, ratio * C)


@cache
def _grid() -> Array:
    """Shape (values, angles + 1, chromas, 3): ratio, cosine and sine of the turn; closed circle."""
    path = resources.files("glaze.materials").joinpath("tables", "munsell_grid.csv")
    with path.open(encoding="utf-8") as file:
        table = np.loadtxt(file, delimiter=",")[:, 2:]
    table = table.reshape(VALUES.size, ANGLES.size, 2, CHROMAS_AB.size)
    turn = table[:, :, 1] * (2 * np.pi / 100.0)
    grid = np.stack([table[:, :, 0], np.cos(turn), np.sin(turn)], axis=-1)
    return np.concatenate([grid, grid[:, :1]], axis=1)


def _interpolate(value: Array, angle: Array, C: Array) -> Array:
    """Trilinear in the grid, held at its ends."""
    grid = _grid()
    corners = []
    for x, knots in ((value, VALUES), (angle, np.append(ANGLES, 360.0)), (C, CHROMAS_AB)):
        x = np.clip(x, knots[0], knots[-1])
        low = np.clip(np.searchsorted(knots, x, side="right") - 1, 0, knots.size - 2)
        corners.append((low, (x - knots[low]) / (knots[low + 1] - knots[low])))
    (v, fv), (h, fh), (c, fc) = corners
    total = np.zeros((*np.shape(v), 3))
    for i, j, k in np.ndindex(2, 2, 2):
        share = (fv if i else 1 - fv) * (fh if j else 1 - fh) * (fc if k else 1 - fc)
        total += share[..., None] * grid[v + i, h + j, c + k]
    return total


def munsell_notation(xyz: ArrayLike, white: ArrayLike) -> str | list[str]:
    """Notation such as "7.5R 4.2/6": hue to 0.5, value to 0.1, chroma to 0.5; greys as "N 6.3".

    A string for one colour, a list for an array of colours, shape (n, 3).

    XYZ is [-], shape (3,) or (n, 3).
    """
    found = munsell_from_xyz(xyz, white)
    if np.ndim(found.hue) == 0:
        return _written(float(found.hue), float(found.value), float(found.chroma))
    parts = zip(found.hue.ravel(), found.value.ravel(), found.chroma.ravel(), strict=True)
    return [_written(float(h), float(v), float(c)) for h, v, c in parts]


def _written(hue: float, value: float, chroma: float) -> str:
    """One colour in Munsell's way of writing; 10R rather than 0YR."""
    if chroma < NEUTRAL_BELOW:
        return f"N {value:.1f}"
    half = round(hue * 2) / 2 % 100.0 or 100.0
    family = int(np.ceil(half / 10.0)) - 1
    return f"{half - 10 * family:g}{FAMILIES[family]} {value:.1f}/{round(chroma * 2) / 2:g}"


def read_munsell(text: str) -> tuple[float, float, float] | None:
    """Hue number (5R = 5), value and chroma of a notation such as "7.5R 4/6" or "N 6.3/".

    None if it isn't written like one; an InputError if its figures can't be.
    """
    grey = re.fullmatch(r"[Nn]\s*(\d+(?:\.\d+)?)\s*/?\s*0?", text)
    if grey:
        return 0.0, _checked_value(float(grey[1]), text), 0.0
    found = re.fullmatch(
        r"(\d+(?:\.\d+)?)\s*([A-Za-z]{1,2})\s+(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)", text
    )
    if not found or found[2].upper() not in FAMILIES:
        return None
    step, value, chroma = (float(found[n]) for n in (1, 3, 4))
    if step > 10 or chroma > 30:
        raise InputError(f'"{text}": a Munsell hue goes from 0 to 10 in each family, chroma to 30.')
    hue = 10.0 * FAMILIES.index(found[2].upper()) + step
    return hue % 100.0, _checked_value(value, text), chroma


def _checked_value(value: float, text: str) -> float:
    if value > 10:
        raise InputError(f'"{text}": value goes from 0 (black) to 10 (white).')
    return value
