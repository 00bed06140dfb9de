"""The shapes a picture is made of: places where the same washes and lifts lie over each other.

A painting is looked at through a grid of half a millimetre, which is fine enough for shapes that a
painter plans and small enough to judge in a moment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.materials.colour_words import colour_words
from glaze.materials.munsell import munsell_from_xyz, munsell_notation
from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting
from glaze.patch.patches import reflectance
from glaze.physics.colour import (
    D65_XYZ,
    munsell_value,
)
from glaze.planning.recipe.wanted import daylight_weights
from glaze.sheet.rect import whole

Array = NDArray[np.float64]
Labels = NDArray[np.int32]

GRID_MM = 0.5
LEAST_MM2 = 4.0
"""Smaller shapes aren't judged."""


@dataclass(frozen=True, eq=False)
class Place:
    """One shape: everywhere that the same steps lie over each other.

    steps : numbers of its steps, the lowest first; none is bare paper
    value, lightest, darkest : Munsell value, middle and tenth of its samples from either end
    film : share of its own film or dose that each step of the painting has there, shape (steps,)
    """

    name: str
    steps: tuple[int, ...]
    area_mm2: float
    value: float
    lightest: float
    darkest: float
    munsell: str
    words: str
    xyz: tuple[float, float, float]
    film: Array

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "name": self.name,
            "steps": [n + 1 for n in self.steps],
            "area_cm2": round(self.area_mm2 / 100, 2),
            "value": round(self.value, 2),
            "value_from": round(self.darkest, 2),
            "value_to": round(self.lightest, 2),
            "munsell": self.munsell,
            "words": self.words,
        }


def coarse(painting: Painting, grid_mm: float = GRID_MM) -> Painting:
    """The painting seen through a grid: one sample of every field for each square."""
    stride = max(1, round(grid_mm * painting.per_mm))
    at = slice(stride // 2, None, stride)
    return replace(painting.taken((at, at)), dpi=painting.dpi / stride)


def film_shares(painting: Painting) -> NDArray[np.float32]:
    """Share of its full film (or dose, or water) that each step has at each pixel.

    shape (steps, rows, columns); a rinse counts as nothing, as it lies everywhere.

    Shares are [-], 0 to 1.
    """
    shares = np.zeros((len(painting.steps), *painting.shape), np.float32)
    for n, painted in enumerate(painting.steps):
        if not painted.step.everywhere:
            shares[n] = painted.film / np.float32(painted.UNIT)
    return shares


def lies(painting: Painting) -> NDArray[np.bool_]:
    """Whether each step lies at each pixel, shape (steps, rows, columns). True where it does."""
    there = np.zeros((len(painting.steps), *painting.shape), bool)
    for n, painted in enumerate(painting.steps):
        if not painted.step.everywhere:
            there[n] = painted.lies()
    return there


def labelled(there: NDArray[np.bool_]) -> tuple[Labels, list[tuple[int, ...]]]:
    """Samples numbered by the set of steps that lie there, and those sets.

    `there` is of shape (steps, ...), True where a step lies; the numbers are each an index of the
    sets, shape (...). Sets without a step stand before those with it, the lowest step first.
    """
    labels = np.zeros(there.shape[1:], np.int32)
    sets: list[tuple[int, ...]] = [()]
    for n, one in enumerate(there):
        labels = 2 * labels + one
        found = np.flatnonzero(np.bincount(labels.ravel(), minlength=2 * len(sets)))
        number = np.zeros(2 * len(sets), np.int32)
        number[found] = np.arange(len(found))
        labels = number[labels]
        sets = [sets[k // 2] + (n,) * (k % 2) for k in found.tolist()]
    return labels, sets


def core_of(labels: Labels) -> NDArray[np.bool_]:
    """Samples whose four neighbours are of the same place; slivers have none.

    True for those, shape (rows, columns), the labels' own.
    """
    core = np.ones(labels.shape, bool)
    for axis in (0, 1):
        same = np.diff(labels, axis=axis) == 0
        pad = [(0, 0), (0, 0)]
        for side in ((0, 1), (1, 0)):
            pad[axis] = side
            core &= np.pad(same, pad, constant_values=True)
    return core


def place_of(
    painting: Painting,
    steps: tuple[int, ...],
    area_mm2: float,
    xyz: Array,
    value: Array,
    film: NDArray[np.float32],
) -> Place:
    """A place from what its pixels show.

    Parameters
    ----------
    steps : those that lie there, as an index each
    area_mm2 : its area [mm2]
    xyz, value : of its pixels, shape (pixels, 3) [-] and shape (pixels,) [value steps]
    film : share of each step there [-], shape (steps, pixels)
    """
    dark, middle, light = np.quantile(value, [0.1, 0.5, 0.9])
    colour = np.median(xyz, axis=0)
    found = munsell_from_xyz(colour[None], D65_XYZ)
    notation = munsell_notation(colour, D65_XYZ)
    assert isinstance(notation, str)
    x, y, z = (float(part) for part in colour)
    return Place(
        name=name_of(painting, steps),
        steps=steps,
        area_mm2=area_mm2,
        value=float(middle),
        lightest=float(light),
        darkest=float(dark),
        munsell=notation,
        words=colour_words(float(found.hue[0]), float(found.value[0]), float(found.chroma[0])),
        xyz=(x, y, z),
        film=np.median(film, axis=1).astype(float),
    )


def place_at(painting: Painting, row: int, column: int) -> Place:
    """What lies at one pixel, as a place of its own."""
    pixel = painting.taken((slice(row, row + 1), slice(column, column + 1)))
    R = reflectance(painting.table, sheet_at(pixel, whole((1, 1))))
    xyz = (R @ daylight_weights(painting.table.light)).reshape(1, 3)
    steps = tuple(int(n) for n in np.flatnonzero(lies(pixel)[:, 0, 0]))
    film = film_shares(pixel).reshape(len(pixel.steps), 1)
    area = painting.per_mm**-2
    return place_of(painting, steps, area, xyz, munsell_value(xyz[:, 1]), film)


def name_of(painting: Painting, steps: Sequence[int]) -> str:
    """A place by its steps, the uppermost first: "shadow over sky"; at most three are named."""
    names = [painting.steps[n].name for n in reversed(steps)]
    if not names:
        return "bare paper"
    return " over ".join(dict.fromkeys(names[:3])) + (" and more" if len(names) > 3 else "")
