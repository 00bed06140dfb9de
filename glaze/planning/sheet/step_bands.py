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

from glaze.painting.film import FULL
from glaze.painting.settle import LaidStep, LiftStep, PaintedStep, Painting, touches_of
from glaze.patch.band import Trusted
from glaze.patch.layers import Laid, Layer, Lifted, Watered
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.scene.records import Lift, Scene, Step, Wash, WaterLift
from glaze.sheet.state import FILM_UNIT

LEAST_SHARE = 0.02
"""A step counts as lying at a place from this share of its film or dose on."""
AROUND_MM = 1.5
"""Side of the square over which a film is averaged, so that the paper's tooth doesn't count."""
LOOKED_AT_PX = 400_000
FULLEST = 0.98

Pixel = tuple[int, int]


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
        place = fullest(_of_scene(scene, painting)[number])
        layers = layers_at(scene, painting, place, number + 1)
        mm = 25.4 / painting.dpi
        where = (place[1] + 0.5) * mm, (place[0] + 0.5) * mm
        found.append(StepBand(step.name, where, trusted(painting.table, layers)))
    return tuple(found)


def layers_at(
    scene: Scene,
    painting: Painting,
    pixel: Pixel,
    steps: int | None = None,
    around_mm: float = AROUND_MM,
) -> tuple[Layer, ...]:
    """What the first `steps` of a scene (all if None) put on a pixel, as layers of a patch.

    Parameters
    ----------
    pixel : row and column
    around_mm : side of the square over which films are averaged
    """
    table = painting.table
    chosen = list(zip(scene.steps, _of_scene(scene, painting), strict=True))[:steps]
    around = max(0, round(around_mm * painting.dpi / 25.4 / 2))
    layers: list[Layer] = []
    for step, painted in chosen:
        share = _share_at(painted, pixel, around)
        if share >= LEAST_SHARE:
            layers.append(_layer(step, share, table))
    return tuple(layers)


def stacks_at(scene: Scene, painting: Painting, pixels: Sequence[Pixel]) -> list[tuple[Layer, ...]]:
    """The layers of many pixels, each with as many: what doesn't lie there has the share 0."""
    whole = [_layer(step, 1.0, painting.table) for step in scene.steps]
    painted = _of_scene(scene, painting)
    return [
        tuple(
            replace(layer, share=_share_at(step, pixel, 0))
            for layer, step in zip(whole, painted, strict=True)
        )
        for pixel in pixels
    ]


def _of_scene(scene: Scene, painting: Painting) -> Sequence[PaintedStep]:
    """The painting's steps without the line of the sketch, which is no step of the scene."""
    return painting.steps[len(painting.steps) - len(scene.steps) :]


def _layer(step: Step, share: float, table: Table) -> Layer:
    """A step of a scene as a layer, where so much of its film or dose lies."""
    if isinstance(step, Wash):
        return Laid(table.mix(step.mix), step.coats, step.film_ml_per_m2, share)
    if isinstance(step, Lift):
        return Lifted(touches_of(step), min(share, 1.0))
    return Watered(step.minutes if isinstance(step, WaterLift) else None, min(share, 1.0))


def _field(step: PaintedStep) -> tuple[NDArray[np.uint16], int]:
    """What a step brings to each pixel, and what a full film or dose is in it."""
    if isinstance(step, LaidStep):
        return step.thickness, FILM_UNIT
    return (step.dose, FULL) if isinstance(step, LiftStep) else (step.coverage, FULL)


def _share_at(step: PaintedStep, pixel: Pixel, around: int) -> float:
    """Share of its full film at a pixel: the mean of the square around it that it covers alike."""
    field, unit = _field(step)
    here = tuple(slice(max(0, at - around), at + around + 1) for at in pixel)
    covered = field if step.coverage is None else step.coverage
    alike = np.abs(covered[here].astype(float) - float(covered[pixel])) <= 0.02 * FULL
    return float(field[here][alike].mean()) / unit


def fullest(step: PaintedStep) -> Pixel:
    """Where a step lies fullest: of the pixels with the middle film of those it covers wholly,
    or the fuller ones of a graded wash, the nearest to their middle."""
    field, _ = _field(step)
    covered = field if step.coverage is None else step.coverage
    stride = max(1, int((covered.size / LOOKED_AT_PX) ** 0.5))
    most = float(covered.max())
    coarse = covered[::stride, ::stride]
    if float(coarse.max(initial=0)) < FULLEST * most:
        stride, coarse = 1, covered
    rows, columns = np.nonzero(coarse >= max(FULLEST * most, 1.0))
    if rows.size == 0:
        return covered.shape[0] // 2, covered.shape[1] // 2
    films = field[rows * stride, columns * stride].astype(float)
    graded = np.quantile(films, 0.9) > 1.3 * np.quantile(films, 0.1)
    wanted = np.quantile(films, 0.8 if graded else 0.5)
    like = np.abs(films - wanted) <= np.sort(np.abs(films - wanted))[films.size // 10]
    rows, columns = rows[like], columns[like]
    nearest = int(np.argmin(np.hypot(rows - rows.mean(), columns - columns.mean())))
    return int(rows[nearest]) * stride, int(columns[nearest]) * stride
