"""What flat patches look like, in the numbers and words that answers and sheets give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.materials.colour_words import colour_words
from glaze.materials.munsell import munsell_from_xyz, munsell_notation
from glaze.patch.patches import linear_rgb, xyz
from glaze.patch.table import Table
from glaze.physics.colour import lab_from_xyz, map_into_gamut, rgb_from_xyz, srgb_encode
from glaze.picture.light import Light
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]
Colour = tuple[int, int, int]


@dataclass(frozen=True)
class Look:
    """What a flat patch looks like to an eye used to the light.

    rgb8 : as a screen shows it, 8-bit sRGB. lab : CIELAB under the table's light.
    hue, value, chroma : Munsell; hue 0 to 100, 5 = 5R. munsell : written, as "7.5R 4.2/6".
    """

    rgb8: Colour
    lab: tuple[float, float, float]
    hue: float
    value: float
    chroma: float
    munsell: str

    @property
    def words(self) -> str:
        """The colour in words."""
        return colour_words(self.hue, self.value, self.chroma)

    @property
    def hex(self) -> str:
        """As written for a screen: "#7a8a3c"."""
        return hex_of(self.rgb8)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {"value": round(self.value, 2), "munsell": self.munsell, "words": self.words}


def looks_of(table: Table, sheet: Sheet) -> list[Look]:
    """Every patch of a sheet, row by row."""
    return looks_of_xyz(xyz(table, sheet), table.light, linear_rgb(table, sheet))


def looks_of_xyz(seen: Array, light: Light, linear: Array | None = None) -> list[Look]:
    """Colours under a light, XYZ of shape (..., 3) [-], Y = 1 for the perfect diffuser.

    linear : the same in linear sRGB where it is known, of the same shape [-]
    """
    seen = seen.reshape(-1, 3)
    rgb8 = rgb8_of(seen @ light.display_matrix if linear is None else linear.reshape(-1, 3))
    munsell = munsell_from_xyz(seen, light.white_xyz)
    labs = lab_from_xyz(seen, light.white_xyz)
    written = munsell_notation(seen, light.white_xyz)
    return [
        Look(
            (int(rgb8[i, 0]), int(rgb8[i, 1]), int(rgb8[i, 2])),
            (float(labs[i, 0]), float(labs[i, 1]), float(labs[i, 2])),
            float(munsell.hue[i]),
            float(munsell.value[i]),
            float(munsell.chroma[i]),
            written[i],
        )
        for i in range(len(seen))
    ]


def rgb8_of(linear: ArrayLike) -> NDArray[np.uint8]:
    """Linear sRGB [-] brought into what a screen shows, 8-bit; shapes (..., 3) alike."""
    mapped, _ = map_into_gamut(linear)
    # a file's own encoder would load the picture library for a question of bottles
    return np.rint(srgb_encode(np.clip(mapped, 0.0, 1.0)) * 255).astype(np.uint8)


def hex_of(colour: Colour) -> str:
    """A colour in 8-bit sRGB as written for a screen: "#7a8a3c"."""
    return "#{:02x}{:02x}{:02x}".format(*colour)


def chip_of(linear: ArrayLike) -> Colour:
    """One colour in linear sRGB [-], shape (3,), as 8-bit sRGB."""
    r, g, b = rgb8_of(np.asarray(linear, dtype=float)[None])[0]
    return int(r), int(g), int(b)


def chip_of_xyz(xyz: ArrayLike) -> Colour:
    """A colour, XYZ under D65 [-], shape (3,), as a screen or printer gets it."""
    return chip_of(rgb_from_xyz(np.asarray(xyz, dtype=float)))
