"""A finished painting against its prediction: zone by zone, and which ink explains most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.strip import value_gap
from glaze.calibrate.report.suggest import Suggestion, suggest
from glaze.calibrate.report.zones import Zone, zones_of
from glaze.calibrate.scan.swatch import apart
from glaze.errors import InputError
from glaze.painting.develop import lined
from glaze.painting.settle import Painting, resolve
from glaze.physics.colour import LUMINANCE_OF_RGB
from glaze.pipeline import linear_rgb
from glaze.scene.file import load_scene
from glaze.scene.records import Scene
from glaze.sketch.edges import shrink
from glaze.sketch.register import laid_over, register
from glaze.sketch.scan_colour import read_linear

Array = NDArray[np.float64]
Linear = NDArray[np.float32]
Progress = Callable[[float], None]

GRID_PX_PER_MM = 3.0
"""Fineness of the comparison: pen lines are still seen, patches of a wash are averaged."""

MOST_WEIGHT_MM2 = 400.0

SOLID, SOLID_MM2 = 0.2, 4.0
"""Transmittance below which a line is solid black, and how much of it has to be [guess]."""

BARE_MM2 = 40.0
"""Bare paper a painting has to show for its light to be told by it."""


@dataclass(frozen=True, eq=False)
class ZoneResult:
    """One zone: linear sRGB predicted and painted, and what lies between.

    value_gap : value steps, painted lighter than predicted
    """

    zone: Zone
    predicted: Array
    painted: Array
    de00: float
    value_gap: float


@dataclass(frozen=True, eq=False)
class Comparison:
    """A painting against its prediction.

    predicted, painted : linear sRGB on one grid, shape (rows, columns, 3); the second is the
        picture laid over the first, its light evened out
    scanner : share of the squared difference that a scanner alone would explain
    mean_de00, mean_value_gap : weighted by area, a zone by at most 4 cm2, so that a large sky
        doesn't speak for everything
    """

    scene: Scene
    painting: Painting
    zones: tuple[ZoneResult, ...]
    predicted: Linear
    painted: Linear
    likeness: float
    px_per_mm: float
    suggestions: tuple[Suggestion, ...] = ()
    together: dict[str, tuple[float, float]] = field(default_factory=dict)
    scanner: float = 0.0
    notes: tuple[str, ...] = ()

    @property
    def mean_de00(self) -> float:
        """Mean CIEDE2000 over the zones."""
        return self._mean([z.de00 for z in self.zones])

    @property
    def mean_value_gap(self) -> float:
        """Mean size of the value gap."""
        return self._mean([abs(z.value_gap) for z in self.zones])

    def _mean(self, values: list[float]) -> float:
        weights = [min(z.zone.area_mm2, MOST_WEIGHT_MM2) for z in self.zones]
        return float(np.average(values, weights=weights))


def compare(
    scene_path: str | Path, scan_path: str | Path, progress: Progress = lambda share: None
) -> Comparison:
    """A scan or photo of the finished painting against the scene's prediction.

    Raises
    ------
    InputError : when the picture can't be laid over the scene, or no zone is large enough
    """
    scene = load_scene(scene_path)
    picture, _, notes = read_linear(scan_path)
    painting = resolve(scene, lambda share: progress(0.5 * share))
    step = max(1, round(painting.per_mm / GRID_PX_PER_MM))
    coarse, line = taken_coarsely(painting, step)
    px_per_mm = painting.per_mm / step
    predicted = linear_rgb(coarse)
    shown = predicted if line is None else lined(coarse, predicted, line)
    progress(0.6)
    Y = LUMINANCE_OF_RGB.astype(np.float32)
    try:
        match = register(np.maximum(shown, 0) @ Y, picture @ Y)
    except InputError as error:
        name = Path(scan_path).name
        raise InputError([f"{name}: {problem}" for problem in error.problems]) from None
    progress(0.9)
    painted = laid_over(picture, match.plane, predicted.shape[:2])
    zones = zones_of(coarse, line, px_per_mm)
    zones = [z for z in zones if np.isfinite(painted[z.pixels]).all()]
    painted, more = even_light(painted, predicted, zones)
    results = tuple(_result(zone, predicted, painted) for zone in zones if zone.steps)
    if not results:
        raise InputError(
            "No painted zone of this scene is large enough to be compared: each has to hold at "
            "least 25 mm2 away from lines and edges."
        )
    colours = [r.painted for r in results]
    black = drawn_black(line, shown, painted, px_per_mm)
    alone, together, scanner = suggest(scene, coarse, [r.zone for r in results], colours, black)
    found = Comparison(
        *(
            scene,
            painting,
            results,
            shown,
            painted,
            match.likeness,
            px_per_mm,
            alone,
            together,
            scanner,
        ),
        notes=(*notes, *more),
    )
    progress(1.0)
    return found


def drawn_black(
    line: Linear | None, shown: Linear, painted: Linear, px_per_mm: float
) -> tuple[Array, Array] | None:
    """The drawn line where it is solid, as painted and as it was drawn; None if nowhere.

    Linear sRGB [-], shape (3,) each, of pictures of shape (rows, columns, 3); the line is a
    transmittance [-], shape (rows, columns).
    """
    from scipy import ndimage

    if line is None:
        return None
    solid = ndimage.binary_erosion(line < SOLID, iterations=2) & np.isfinite(painted).all(axis=-1)
    if solid.sum() < SOLID_MM2 * px_per_mm**2:
        return None
    return np.median(painted[solid], axis=0), np.median(shown[solid], axis=0)


def taken_coarsely(painting: Painting, step: int) -> tuple[Painting, Linear | None]:
    """Every so manieth pixel of a painting without its line, and the line averaged.

    The line is a transmittance [-], shape (rows, columns).
    """
    rows, columns = (side // step * step for side in painting.shape)
    index = slice(step // 2, rows, step), slice(step // 2, columns, step)
    coarse = replace(painting, line=None).taken(index)
    return coarse, None if painting.line is None else shrink(painting.line, step)


def even_light(
    painted: Linear, predicted: Linear, zones: list[Zone]
) -> tuple[Linear, tuple[str, ...]]:
    """The painting with the light divided out that its bare paper shows.

    A slope, and a fall-off toward the corners, are taken out where bare paper is spread widely
    enough to tell them.

    Linear sRGB [-], shape (rows, columns, 3).
    """
    bare = next((zone for zone in zones if not zone.steps), None)
    if bare is None or bare.area_mm2 < BARE_MM2:
        note = (
            "The painting shows too little bare paper to tell its light by; its lightness is taken "
            "as the picture has it. Leave a margin bare, or scan with all corrections off."
        )
        return painted, (note,)
    rows, columns = np.nonzero(bare.pixels)
    ratio = np.log(np.maximum(painted[rows, columns], 1e-4) / predicted[rows, columns])
    high, wide = painted.shape[:2]
    # as many terms as the ninths of the sheet that show bare paper can tell
    ninths = np.unique(rows * 3 // high * 3 + columns * 3 // wide).size
    y, x = np.mgrid[0:high, 0:wide]
    x, y = x / wide - 0.5, y / high - 0.5
    terms = [np.ones((high, wide))]
    if ninths >= 4 and np.ptp(rows) > 0.5 * high and np.ptp(columns) > 0.5 * wide:
        terms += [x, y]
    if ninths >= 7:
        terms += [x * x, x * y, y * y]
    basis = np.stack(terms, axis=-1)
    c = np.linalg.lstsq(basis[rows, columns], ratio, rcond=None)[0]
    even = np.asarray(painted / np.exp(basis @ c), dtype=np.float32)
    if ninths >= 7:
        return even, ()
    told = (
        f"Bare paper shows in {ninths} of the sheet's nine parts only: light that falls off over "
        "it, as in a photo, can't be told from ink there. A scan is surer."
    )
    return even, (told,)


def _result(zone: Zone, predicted: Linear, painted: Linear) -> ZoneResult:
    one = predicted[zone.pixels].mean(axis=0).astype(float)
    # the median forgives a slip of the brush, the mean ratio keeps a graded wash's own mean
    ratio = painted[zone.pixels] / np.maximum(predicted[zone.pixels], 1e-3)
    other = np.where(one > 1e-3, np.median(ratio, axis=0) * one, painted[zone.pixels].mean(axis=0))
    return ZoneResult(zone, one, other, apart(other, one), value_gap(other, one))
