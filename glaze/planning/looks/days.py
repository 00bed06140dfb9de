"""The same scene on several days of the hand that lays it, and what differs from day to day."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.painting.settle import Painting
from glaze.physics.colour import delta_e_2000, lab_from_xyz, srgb_decode, xyz_from_rgb
from glaze.picture.file import Picture
from glaze.scene.changed import Change, with_changes
from glaze.scene.records import Scene
from glaze.sheet.rect import Rect, whole

ALIKE_DE00 = 0.3
"""Days nearer to each other than this are told to be alike: nobody sees it."""
LEAST_PIXELS = 20


def days_of(scene: Scene, count: int | None) -> list[Scene]:
    """The scene, or the same on so many days of the hand.

    Raises
    ------
    InputError : for a steady hand, which lays every day alike
    """
    if count is None:
        return [scene]
    if scene.hand == "steady":
        raise InputError('--hands: a "steady" hand lays every day alike; leave hand out.')
    seeds = range(scene.seed, scene.seed + count)
    return [with_changes(scene, [Change("seed", seed)]) for seed in seeds]


def days_apart(
    pictures: Sequence[Picture], painting: Painting, area: Rect | None, seed: int
) -> list[list[str]]:
    """What stands under each day's picture: its day, and where it differs most from the first."""
    told = [[f"day {seed}", "what the others are held against"]]
    first = _lab(pictures[0])
    for n, picture in enumerate(pictures[1:], start=1):
        apart = delta_e_2000(first, _lab(picture))
        told.append([f"day {seed + n}", _where(apart, painting, area, f"day {seed}")])
    return told


def _where(apart: NDArray[np.float64], painting: Painting, area: Rect | None, first: str) -> str:
    """In which step's place two days differ most, and by how much."""
    means: dict[str, float] = {}
    rect = whole(painting.shape) if area is None else area
    # two pictures side by side are no sheet
    sheet = abs(apart.shape[1] / apart.shape[0] * rect.shape[0] / rect.shape[1] - 1.0) < 0.1
    rows, columns = (
        (rect[side] + (np.arange(count) + 0.5) * rect.shape[side] / count).astype(int)
        for side, count in enumerate(apart.shape)
    )
    for step in painting.steps if sheet else ():
        there = step.coverage[np.ix_(rows, columns)] > 0
        if there.sum() >= LEAST_PIXELS:
            means[step.name] = float(apart[there].mean())
    if not means:
        return f"{float(apart.mean()):.1f} dE00 from {first} in the mean"
    if max(means.values()) < ALIKE_DE00:
        return f"hardly to be told from {first}"
    most = sorted(means, key=lambda name: -means[name])[:2]
    told = " and ".join(f'"{name}" ({means[name]:.1f} dE00)' for name in most)
    return f"most unlike {first} in {told}"


def _lab(picture: Picture) -> NDArray[np.float64]:
    """CIELAB of a picture's numbers, shape (rows, columns, 3)."""
    top = np.iinfo(picture.rgb.dtype).max
    xyz = xyz_from_rgb(srgb_decode(picture.rgb / top))
    white = xyz_from_rgb(np.ones(3))
    return lab_from_xyz(xyz, white)
