"""Which ink's strength explains what lies between a painting and its prediction."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.scanner import SCANNER_SDS, Z, as_scanned
from glaze.calibrate.fit.strip import READING_DE, residuals
from glaze.calibrate.report.zones import Zone, sample_pixels
from glaze.materials.ink import Palette
from glaze.materials.mix import mix_wells
from glaze.painting.settle import Painting
from glaze.physics.uncertainty import LEVEL, log_sd
from glaze.pipeline import linear_rgb
from glaze.scene.names import mix_line
from glaze.scene.records import Scene

Array = NDArray[np.float64]

WORTH_SHARE = 0.10
"""Share of the squared difference that an ink has to explain to be named (guess)."""

BLACK_DE = 3.0
"""Standard deviation of the drawn black against the sketch's own scan [CIE94-like units; guess]."""

LEAST_FACTOR = 1.15
"""Never surer of a strength than that from one painting: films differ more than on swatches."""


@dataclass(frozen=True)
class Suggestion:
    """An ink taken as so many times stronger, and the share of the difference it explains alone."""

    ink: str
    factor: float
    explains: float


def suggest(
    scene: Scene,
    painting: Painting,
    zones: Sequence[Zone],
    painted: Sequence[Array],
    black: tuple[Array, Array] | None = None,
) -> tuple[tuple[Suggestion, ...], dict[str, tuple[float, float]], float]:
    """Inks that explain most, the best first; all together, each with its band; and the scanner.

    All together are found beside one scanner that may be off (`as_scanned`), so that their bands
    hold what can't be told from it.

    Colours as painted are [-], shape (3,) each.

    Parameters
    ----------
    painting : on the grid of the zones, without its line
    painted : linear sRGB of each zone as painted
    black : of the drawn line where it is solid, as painted and as it was drawn: no ink changes it

    Returns
    -------
    alone : one ink at a time. together : by ink, strength factor and its 90 % band (times or over)
    scanner : share of the difference that a scanner alone explains
    """
    predict = _predictor(scene, painting, zones)
    names = inks_used(scene, painting.table.palette)
    seen = np.array(painted)
    weight = np.sqrt(np.minimum([z.area_mm2 for z in zones], 400.0) / 400.0)[:, None]
    table, count = painting.table, len(names)
    factors = np.array([table.palette.inks[name].strength_factor for name in names])
    widths = np.maximum(log_sd(factors, LEVEL), 0.05)
    paper = table.paper_reflectance @ table.light.display_weights

    def gaps(x: Array) -> Array:
        rgb = predict(tuple(zip(names, np.exp(x[:count]).tolist(), strict=True)))
        scanner = x[count:]
        off = residuals(seen, as_scanned(rgb, paper, scanner) if scanner.size else rgb)
        off = (off * weight / READING_DE).ravel()
        if black is None or not scanner.size:
            return np.asarray(off)
        drawn = as_scanned(black[1][None], paper, scanner)
        return np.concatenate([off, residuals(black[0][None], drawn).ravel() / BLACK_DE])

    def one_alone(i: int, x: Array) -> Array:
        return gaps(x[0] * np.eye(count)[i])

    def scanned(scanner: Array) -> Array:
        return gaps(np.concatenate([np.zeros(count), scanner]))

    start = float((gaps(np.zeros(count)) ** 2).sum())
    alone = []
    for i, name in enumerate(names):
        along = partial(one_alone, i)
        x, _ = _search(along, widths[i : i + 1])
        left = float((along(x) ** 2).sum())
        alone.append(Suggestion(name, math.exp(x[0]), max(0.0, 1 - left / max(start, 1e-12))))
    alone.sort(key=lambda s: -s.explains)
    off, _ = _search(scanned, SCANNER_SDS)
    scanner = max(0.0, 1 - float((scanned(off) ** 2).sum()) / max(start, 1e-12))
    x, sds = (part[:count] for part in _search(gaps, np.concatenate([widths, SCANNER_SDS])))
    bands = np.clip(np.exp(Z * sds), LEAST_FACTOR, 3.0)
    together = {
        name: (float(f), float(b)) for name, f, b in zip(names, np.exp(x), bands, strict=True)
    }
    return tuple(s for s in alone if s.explains >= WORTH_SHARE), together, scanner


def _search(gaps: Callable[[Array], Array], widths: Array) -> tuple[Array, Array]:
    """Log strengths that bring the zones nearest, held by their widths, and their uncertainty."""
    from scipy.optimize import least_squares

    def pulled(x: Array) -> Array:
        return np.concatenate([gaps(x), x / widths])

    def slopes(x: Array) -> Array:
        # the picture is float32: steps of 3 % are well above its rounding
        here = pulled(x)
        return np.stack([(pulled(x + e) - here) / 0.03 for e in 0.03 * np.eye(x.size)], axis=1)

    found = least_squares(
        *(pulled, np.zeros(widths.size), slopes),
        bounds=(-2.0, 2.0),
        xtol=1e-4,
        ftol=1e-4,
        loss="soft_l1",
        max_nfev=15,
    )
    J = found.jac
    scatter = max(1.0, float(np.mean(gaps(found.x) ** 2)))
    covariance = np.linalg.inv(J.T @ J) * scatter
    return np.asarray(found.x), np.sqrt(np.diag(covariance))


def inks_used(scene: Scene, palette: Palette) -> list[str]:
    """Inks in the scene's washes, wells followed down to their bottles."""
    wells = mix_wells(scene.wells, palette)
    recipes = [step.recipe for step in scene.steps if step.recipe]
    found = [name for text in recipes for name in mix_line(text, palette, wells).ink_ml]
    return list(dict.fromkeys(found))


def scaled_palette(palette: Palette, factors: Mapping[str, float]) -> Palette:
    """The palette with some inks so many times stronger."""
    inks = {
        name: replace(
            ink,
            contents_g_per_l={
                d: g * factors.get(name, 1.0) for d, g in ink.contents_g_per_l.items()
            },
        )
        for name, ink in palette.inks.items()
    }
    return replace(palette, inks=inks)


def _predictor(
    scene: Scene, painting: Painting, zones: Sequence[Zone]
) -> Callable[[tuple[tuple[str, float], ...]], Array]:
    """Mean linear sRGB of every zone for inks of other strengths, from some of its pixels.

    It remembers: a change of the scanner asks for the same inks again.
    """
    groups = sample_pixels(zones)
    pixels = np.concatenate(groups, axis=1)
    some = painting.taken((pixels[:1], pixels[1:]))
    ends = np.cumsum([group.shape[1] for group in groups])[:-1]

    @cache
    def predict(factors: tuple[tuple[str, float], ...]) -> Array:
        palette = scaled_palette(painting.table.palette, dict(factors))
        wells = mix_wells(scene.wells, palette)
        table = replace(painting.table, palette=palette, wells=wells)
        steps = [step.mixed_from(table) for step in some.steps]
        rgb = linear_rgb(replace(some, steps=tuple(steps)))[0]
        return np.array([part.mean(axis=0) for part in np.split(rgb.astype(float), ends)])

    return predict
