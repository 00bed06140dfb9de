"""One ink's dilution strip: which ink explains it, and how far each rung lies from that.

Three explanations are tried, from the simplest: the palette's ink at another *strength*; the same
dyes in other *shares*; or a colourant of its own whose spectrum is recovered from the whole strip
(`measured`). What decides is how well each predicts a rung it has not seen.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.dye_prior import DyePrior, dye_prior
from glaze.calibrate.fit.spectrum_from_colour import most_probable
from glaze.calibrate.scan.swatch import lab_of
from glaze.materials.ink import Ink
from glaze.patch.patches import seen_through
from glaze.patch.table import Table
from glaze.physics.absorption import CROWDING, glaze_weight
from glaze.physics.colour import LUMINANCE_OF_RGB, delta_e_2000, munsell_value, xyz_from_rgb
from glaze.physics.uncertainty import log_sd
from glaze.picture.light import band_nm
from glaze.sheet.state import bare
from glaze.sheet.wash import lay, parted_by_none

Array = NDArray[np.float64]

KINDS = ("strength", "dyes", "measured")

READING_DE = 2.0
"""What a rung may be off without counting against the prior [CIE94-like units]: patchiness of a
wash and the scanner together. Guess."""

SHARES_FACTOR = 1.8
"""How far the share of a dye in a bottle may be from the palette's, times or over (assumed)."""

RUNG_DE, RUNG_SLIP = 0.7, 0.15
"""Of a rung from which a spectrum is taken: the reading's standard deviation [CIE94-like units] and
that of the log of its strength: a dropper alone is good to 15 % [USP 32 <1101>] (guesses)."""

NO_INK_DE = 8.0
"""Farther off than that in the middle, no ink of dyes has the colours of a strip (guess)."""


@dataclass(frozen=True, eq=False)
class Strip:
    """The rungs of one ink that were read.

    names : of the patches. strength : ink over all, by volume, 1 = neat, shape (rungs,).
    rgb : linear sRGB under D65 on the scale of the paper's reflectance, shape (rungs, 3).
    lost : whether a channel is only a bound
    """

    ink: Ink
    names: tuple[str, ...]
    strength: Array
    rgb: Array
    lost: NDArray[np.bool_]

    def without(self, rung: int) -> Strip:
        """The strip as if a rung had not been painted."""
        keep = np.arange(self.strength.size) != rung
        names = tuple(n for n, k in zip(self.names, keep, strict=True) if k)
        return Strip(self.ink, names, self.strength[keep], self.rgb[keep], self.lost[keep])


@dataclass(frozen=True, eq=False)
class Fitted:
    """An explanation of a strip.

    kind : strength, dyes or measured
    factors : what each dye's g/L is multiplied by, shape (dyes,); one number for measured
    unit_path : path A of one neat coat [-], shape (bands,)
    log_sd : standard deviation of its log that the strip leaves open [-]; None where dyes are known
    """

    kind: str
    factors: Array
    unit_path: Array
    log_sd: Array | None = None


def dye_paths(table: Table, ink: Ink) -> Array:
    """Path of one neat coat by each of the ink's dyes [-], shape (dyes, bands)."""
    by_name = {dye.name: row for dye, row in zip(table.dyes, table.path_m2_per_g, strict=True)}
    film = table.paper.film_ml_per_m2 / 1000.0
    return np.array(
        [g_per_l * film * by_name[name] for name, g_per_l in ink.contents_g_per_l.items()]
    )


def strip_rgb(table: Table, unit_path: Array, strength: Array, crowding: float = CROWDING) -> Array:
    """Linear sRGB of one wash at each strength on bare paper, shape (..., rungs, 3).

    `unit_path` [-] has shape (..., bands), `strength` [neat coats] (rungs,).
    """
    shares = _of_a_coat(tuple(strength.tolist()), crowding)
    R = seen_through(table, shares * unit_path[..., None, :])
    return np.asarray(R @ table.light.display_weights)


@lru_cache(maxsize=256)
def _of_a_coat(strength: tuple[float, ...], crowding: float) -> Array:
    """Path of one wash at each strength over that of a neat coat [-], shape (rungs, 1)."""
    q = np.array(strength)
    rungs = bare(q.shape, 1)  # one colourant, whose unit is a neat coat
    lay(rungs, parted_by_none(q, q[:, None], np.zeros((3, 1))), crowding=crowding)
    return rungs.optical_g_per_m2


def residuals(seen: Array, predicted: Array) -> Array:
    """Differences in lightness and in chroma along a* and b*, shape (..., rungs, 3).

    CIELAB divided by the chroma weight of CIE94 (1 + 0.045 C), so that they can be summed as
    squares; what a file can't hold counts as black in that channel in both.

    Both are linear sRGB [-], `seen` of shape (rungs, 3), `predicted` of that of the result.
    """
    a, b = lab_of(seen), lab_of(predicted)
    weight = 1.0 + 0.045 * np.hypot(a[:, 1], a[:, 2])
    return np.asarray((b - a) / np.stack([np.ones_like(weight), weight, weight], axis=1))


def eased(off: Array) -> Array:
    """Rows of gaps, those far off pulling like their distance. [-], shape (rungs, 3), the same."""
    size = np.linalg.norm(off, axis=1, keepdims=True)
    share = np.sqrt(2.0 * (np.sqrt(1.0 + size**2) - 1.0)) / np.maximum(size, 1e-9)
    return np.asarray(off * np.where(size > 1e-6, share, 1.0))


@cache
def usual_prior() -> DyePrior:
    """Shapes of dye mixtures in the working bands, made once."""
    return dye_prior(band_nm())


def fit_strip(
    table: Table, strip: Strip, kind: str, prior: DyePrior | None = None
) -> Fitted | None:
    """The strip explained in one of the three ways; None where that way isn't open."""
    if kind == "measured":
        return _measured(table, strip, prior or usual_prior())
    paths = dye_paths(table, strip.ink)
    if kind == "dyes" and len(paths) < 2:
        return None
    width = log_sd(strip.ink.strength_factor)
    wide = float(width) if width > 0 else float(log_sd(Ink.strength_factor))
    own = float(log_sd(SHARES_FACTOR))
    count = len(paths) if kind == "dyes" else 0

    def factors(p: Array) -> Array:
        return np.asarray(np.exp(p[0] + (p[1:] if count else np.zeros(len(paths)))))

    def unit(p: Array) -> Array:
        return factors(p) @ paths

    pull = np.array([1 / wide, *[1 / own] * count])
    p = _search(table, strip, unit, np.zeros(1 + count), pull)
    return Fitted(kind, factors(p), unit(p))


def _search(
    table: Table, strip: Strip, unit: Callable[[Array], Array], start: Array, pull: Array
) -> Array:
    """Parameters that bring the predicted rungs nearest, an outlier counting less than its square.

    pull : one over the standard deviation of each parameter before anything was read
    """
    from scipy.optimize import least_squares

    def gaps(p: Array) -> Array:
        off = residuals(strip.rgb, strip_rgb(table, unit(p), strip.strength)) / READING_DE
        # a rung that lies far off is a slip of the hand
        return np.concatenate([eased(off).ravel(), pull * p])

    found = least_squares(gaps, start, bounds=(-3.0, 3.0), xtol=1e-8, ftol=1e-8)
    return np.asarray(found.x, dtype=float)


def _measured(table: Table, strip: Strip, prior: DyePrior) -> Fitted | None:
    """The spectrum that all rungs together make most probable; those that are lost say nothing.

    None where no rung tells its colour, or no ink of dyes has these colours on this paper.
    """
    told = ~strip.lost
    if not told.any():
        return None
    found = most_probable(
        xyz_from_rgb(strip.rgb[told]),
        np.asarray(glaze_weight(0.0, strip.strength[told])),
        table.paper_reflectance,
        table.light.xyz_weights,
        prior,
        (table.paper.path_spread, table.paper.surface_reflectance),
        RUNG_DE,
        RUNG_SLIP,
    )
    if float(np.median(found.off)) > NO_INK_DE:
        return None
    return Fitted("measured", np.ones(1), found.path, found.log_sd)


def log_error(table: Table, unit_path: Array, strip: Strip, rung: int) -> tuple[float, float]:
    """How much stronger a rung is than predicted (natural log of its path), and how surely.

    The second number is how fast its colour moves with the log of the path [CIE94-like units]:
    large where the rung tells its strength well, small near black and near paper.

    `unit_path` [-] has shape (bands,).
    """
    one = strip.strength[rung : rung + 1]
    seen = strip.rgb[rung : rung + 1]
    x, slope = 0.0, 0.0
    for _ in range(8):
        both = np.exp([[x], [x + 0.01]]) * unit_path
        here, there = residuals(seen, strip_rgb(table, both, one))[:, 0]
        J = (there - here) / 0.01
        slope = float(np.linalg.norm(J))
        if slope < 1e-6:
            break
        x = float(np.clip(x - np.clip(J @ here / slope**2, -0.5, 0.5), -2.0, 2.0))
    return x, slope


def value_of(rgb: Array) -> float:
    """Munsell value of a linear colour. Linear sRGB [-], shape (3,)."""
    return float(munsell_value(np.maximum(rgb, 0.0) @ LUMINANCE_OF_RGB))


def value_gap(seen: Array, predicted: Array) -> float:
    """Value steps by which what was read is lighter than predicted.

    Linear sRGB [-], shape (3,) each.
    """
    return value_of(seen) - value_of(predicted)


def own_crowding(table: Table, strip: Strip, fitted: Fitted) -> tuple[float, float]:
    """The load law's b that fits this strip best, and how much that gains [mean CIEDE2000].

    The law's own b is the same for all inks; this only tells whether the strip follows it.
    """
    from scipy.optimize import minimize_scalar

    paths = np.exp(np.linspace(-1.0, 1.0, 41))[:, None] * fitted.unit_path

    def error(b: float) -> tuple[float, Array]:
        rgb = strip_rgb(table, paths, strip.strength, b)
        off = (residuals(strip.rgb, rgb) ** 2).sum(axis=(1, 2))
        best = int(off.argmin())
        return float(off[best]), rgb[best]

    found = minimize_scalar(
        lambda b: error(b)[0], bounds=(0.0, 3.0), method="bounded", options={"xatol": 0.01}
    )
    b = float(found.x)
    with_b = delta_e_2000(lab_of(strip.rgb), lab_of(error(b)[1])).mean()
    plain = strip_rgb(table, fitted.unit_path, strip.strength)
    law = delta_e_2000(lab_of(strip.rgb), lab_of(plain)).mean()
    return b, float(law - with_b)


def acts_as_parts(strength: float, log_off: float) -> float:
    """Parts of water that a rung acts as if it held, when its path is exp(log_off) times the law's.

    Inverts E(Q) = ln(1 + b Q)/b; -1 < parts < 0 means stronger than neat.
    """
    E = math.log1p(CROWDING * strength) / CROWDING * math.exp(log_off)
    return CROWDING / math.expm1(CROWDING * E) - 1.0


def with_factors(ink: Ink, fitted: Fitted, factor: float) -> Ink:
    """The ink with its dyes' g/L as fitted, and the band of its strength."""
    contents = {
        name: g_per_l * float(f)
        for (name, g_per_l), f in zip(ink.contents_g_per_l.items(), fitted.factors, strict=True)
    }
    return replace(ink, contents_g_per_l=contents, how="measured", strength_factor=round(factor, 3))
