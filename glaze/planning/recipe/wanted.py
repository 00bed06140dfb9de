"""A wanted colour, from a hex code, L,a,b, Munsell notation, a name or a point of a picture."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.colour_words import centroid_of
from glaze.materials.munsell import (
    ILLUMINANT_C_XYZ,
    munsell_from_xyz,
    munsell_notation,
    read_munsell,
)
from glaze.physics.colour import (
    D65_XYZ,
    XYZ_FROM_RGB,
    adaptation,
    lab_from_xyz,
    luminance_of_value,
    munsell_value,
    srgb_decode,
    xyz_from_lab,
    xyz_from_rgb,
)
from glaze.picture.light import Light

Array = NDArray[np.float64]

ALLOWED = (
    'allowed: a hex code as "#2f6f6a", L,a,b as "42,-21,-3", Munsell notation as "5BG 4/4" or '
    '"N 6", a name as "teal" or "deep brown", or a point of a picture in pixels as '
    '"photo.png@120,340"'
)
POINT_PX = 5
"""Side of the square a point of a picture is averaged over [px]."""


@dataclass(frozen=True)
class Wanted:
    """A wanted colour as it looks by daylight.

    text : as it was asked for
    xyz : carried to D65, Y = 1 for the perfect diffuser
    """

    text: str
    xyz: tuple[float, float, float]

    @property
    def lab(self) -> Array:
        """CIELAB against D65. Shape (3,), [-]."""
        return lab_from_xyz(self.xyz, D65_XYZ)

    @property
    def value(self) -> float:
        """Munsell value."""
        return float(munsell_value(self.xyz[1]))

    @property
    def notation(self) -> str:
        """Munsell notation."""
        found = munsell_notation(self.xyz, D65_XYZ)
        assert isinstance(found, str)
        return found


def daylight_weights(light: Light) -> Array:
    """From reflectance to XYZ as the colour looks once carried to D65, shape (bands, 3).

    So a colour seen under any light can be set beside a hex code.

    [-], Y = 1 for white.
    """
    return light.display_weights @ XYZ_FROM_RGB.T


def wanted_lab(lab: Array) -> Wanted:
    """A colour from its CIELAB (D65), shape (3,) [-]."""
    return Wanted(",".join(f"{part:.1f}" for part in lab), _three(xyz_from_lab(lab, D65_XYZ)))


def wanted_colour(text: str) -> Wanted:
    """Read a colour in any of the five ways.

    Raises
    ------
    InputError : with the five ways, if it is none of them
    """
    asked = text.strip()
    if re.fullmatch(r"#?([0-9a-fA-F]{6}|[0-9a-fA-F]{3})", asked):
        return Wanted(asked, _three(_from_hex(asked.lstrip("#"))))
    if "@" in asked:
        return Wanted(asked, _three(_from_picture(asked)))
    if asked.count(",") == 2:
        return Wanted(asked, _three(_from_lab(asked)))
    munsell = read_munsell(asked)
    if munsell is None and re.fullmatch(r"(an? )?[^\W\d]+([ -][^\W\d]+)*", asked):
        munsell = centroid_of(re.sub(r"^an? ", "", asked))
    if munsell is None:
        raise InputError(f'"{text}" is no colour that can be read; {ALLOWED}.')
    return Wanted(
        asked, _three(xyz_from_munsell(*munsell) @ adaptation(ILLUMINANT_C_XYZ, D65_XYZ).T)
    )


def _three(xyz: Array) -> tuple[float, float, float]:
    x, y, z = (float(part) for part in xyz)
    return x, y, z


def _from_hex(digits: str) -> Array:
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    signal = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    return xyz_from_rgb(srgb_decode(signal))


def _from_lab(text: str) -> Array:
    try:
        L, a, b = (float(part) for part in text.split(","))
    except ValueError:
        raise InputError(f'"{text}" isn\'t three numbers L,a,b; {ALLOWED}.') from None
    if not (0 <= L <= 100 and abs(a) <= 150 and abs(b) <= 150):
        raise InputError(
            f'"{text}": L* goes from 0 to 100, a* and b* from -150 to 150, under D65; {ALLOWED}.'
        )
    return xyz_from_lab((L, a, b), D65_XYZ)


def _from_picture(text: str) -> Array:
    """The mean, in linear light, of a few pixels about a point."""
    from glaze.sketch.scan import read_scan
    from glaze.sketch.scan_values import over

    name, _, place = text.rpartition("@")
    try:
        x, y = (int(part) for part in place.split(","))
    except ValueError:
        raise InputError(
            f'"{place}" is no point; write the column and the row in pixels, as "{name}@120,340".'
        ) from None
    scan = read_scan(Path(name))
    rows, columns = scan.values.shape[:2]
    if not (0 <= x < columns and 0 <= y < rows):
        raise InputError(
            f"The point {x},{y} lies outside {name}; columns go from 0 to {columns - 1}, rows from "
            f"0 to {rows - 1}."
        )
    half = POINT_PX // 2
    part = over(scan, scan.full)[max(y - half, 0) : y + half + 1, max(x - half, 0) : x + half + 1]
    linear = srgb_decode(part / scan.full)
    if linear.ndim == 2:
        linear = np.repeat(linear[..., None], 3, axis=-1)
    return xyz_from_rgb(linear.reshape(-1, 3).mean(axis=0))


def xyz_from_munsell(hue: float, value: float, chroma: float) -> Array:
    """XYZ under illuminant C of a Munsell colour: `munsell_from_xyz` turned round.

    Y comes from the value (ASTM D1535); hue angle and C*ab are put right by what is still missing
    until they agree, which takes a few rounds as the Munsell circle is nearly that of CIELAB.

    Shape (3,), [-].
    """
    Y = float(luminance_of_value(value))
    L = float(lab_from_xyz(np.array([1, Y, 1]), (1, 1, 1))[0])
    angle, C = hue * 3.6, 5.5 * chroma
    xyz = np.array([])
    for _ in range(60):
        ab = C * math.cos(math.radians(angle)), C * math.sin(math.radians(angle))
        xyz = xyz_from_lab((L, *ab), ILLUMINANT_C_XYZ)
        found = munsell_from_xyz(xyz, ILLUMINANT_C_XYZ)
        if chroma == 0.0 or value == 0.0:
            break
        turn = (hue - float(found.hue) + 50.0) % 100.0 - 50.0
        angle += 2.5 * turn
        C *= (chroma / max(float(found.chroma), 1e-6)) ** 0.8
        if abs(turn) < 1e-4 and abs(float(found.chroma) - chroma) < 1e-4:
            break
    return xyz
