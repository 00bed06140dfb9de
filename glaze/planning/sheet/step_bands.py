"""What each step of a scene comes to where it lies fullest: value and colour with their band.

A scene's steps become layers of one patch (`glaze.patch.layers`): what lies under a pixel, with the
share of its film or dose that each step has there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.patch.band import Trusted
from glaze.patch.layers import Layer
from glaze.patch.trust import trusted
from glaze.scene.records import Scene
from glaze.step.kind import PaintedStep

LEAST_SHARE = 0.02
"""A step counts as lying at a place from this share of its film or dose on."""
LOOKED_AT_PX = 400_000
FULLEST = 0.98

Pixel = tuple[int, int]
Pixels = NDArray[np.int64]


@dataclass(frozen=True)
class StepBand:
    """A step, the place where it was looked at, and the colour that lies there after it."""

    name: str
    place_mm: tuple[float, float]
    after: Trusted

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        told = {"step": self.name, "place_mm": [round(mm, 1) for mm in self.place_mm]}
        return told | self.after.as_dict() | {"promise": self.after.promise}


def step_bands(scene: Scene, painting: Painting) -> tuple[StepBand, ...]:
    """Every step of a scene after it is done, where it lies fullest; the sketch's line left out."""
    found = []
    for number, step in enumerate(scene.steps):
        place = fullest(painting.steps[number])
        layers = layers_at(painting, place, number + 1)
        where = painting.middle_mm(*place)
        found.append(StepBand(step.name, where, trusted(painting.table, layers)))
    return tuple(found)


def layers_at(
    painting: Painting, pixel: Pixel, steps: int | None = None, *, even: bool = True
) -> tuple[Layer, ...]:
    """What the first `steps` of a painting (all if None) put on a pixel, as layers of a patch.

    Parameters
    ----------
    pixel : row and column
    even : as if every film were laid perfectly even, without tooth and drying line
    """
    layers: list[Layer] = []
    for painted in painting.steps[:steps]:
        share = float(painted.even_shares(pixel) if even else painted.film[pixel] / painted.UNIT)
        if share >= LEAST_SHARE:
            layers.append(painted.step.layer(painting.table, share))
    return tuple(layers)


def stacks_at(painting: Painting, pixels: Sequence[Pixel]) -> list[tuple[Layer, ...]]:
    """The layers of many pixels, each with as many: what doesn't lie there has the share 0."""
    whole = [painted.step.layer(painting.table, 1.0) for painted in painting.steps]
    return [
        tuple(
            replace(layer, share=float(painted.film[pixel] / painted.UNIT))
            for layer, painted in zip(whole, painting.steps, strict=True)
        )
        for pixel in pixels
    ]


def fullest(step: PaintedStep) -> Pixel:
    """Where a step lies fullest: of the pixels it covers wholly, or the fuller ones of a graded
    wash, the nearest to their middle."""
    covered = step.coverage
    stride = max(1, int((covered.size / LOOKED_AT_PX) ** 0.5))
    most = float(covered.max())
    coarse = covered[::stride, ::stride]
    if float(coarse.max(initial=0)) < FULLEST * most:
        stride, coarse = 1, covered
    rows, columns = np.nonzero(coarse >= max(FULLEST * most, 1.0))
    if rows.size == 0:
        return covered.shape[0] // 2, covered.shape[1] // 2
    films = step.even_shares((rows * stride, columns * stride))
    if np.quantile(films, 0.9) > 1.3 * np.quantile(films, 0.1):
        # graded: the fuller ones
        away = np.abs(films - np.quantile(films, 0.8))
        like = away <= np.sort(away)[films.size // 10]
        rows, columns = rows[like], columns[like]
    row, column = middle_of(rows, columns)
    return row * stride, column * stride


def middle_of(rows: Pixels, columns: Pixels) -> Pixel:
    """The pixel of some that is nearest to their middle, shape (pixels,) each."""
    nearest = int(np.argmin(np.hypot(rows - rows.mean(), columns - columns.mean())))
    return int(rows[nearest]), int(columns[nearest])
