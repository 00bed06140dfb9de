"""The scanner as a suspect: one colour change common to a whole scan, and how well it is known.

Bare paper is right by construction, as everything is read against it. What is left are a tone, the
tones of red and blue against it, a saturation, and what each channel takes of the others. They
start from what home scanners and phones do; the black of printed marks and inks that were known
before tell more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.strip import READING_DE, Strip, dye_paths, eased, residuals, strip_rgb
from glaze.patch.table import Table
from glaze.physics.colour import LUMINANCE_OF_RGB
from glaze.physics.uncertainty import log_sd

Array = NDArray[np.float64]

SCANNER_SDS = np.array([0.06, 0.04, 0.04, 0.08, *[0.02] * 6])
"""How far a scanner or phone may be off, standard deviations: logs of its tone, of the tones of red
and blue against it, and of its saturation; shares that a channel takes of another, six. Together
about 4 (CIEDE2000) on washes (guess)."""

SIZE = SCANNER_SDS.size
OTHERS = ~np.eye(3, dtype=bool)
"""Places of those shares in the mixing of channels."""

PRINTED_BLACK, BLACK_SD, BLACK_TINT_SD = 0.045, 0.5, 0.15
"""Share of the paper's light that a printer's black gives back on uncoated paper, the standard
deviation of its log, and of its red and blue against its whole (guesses)."""

EXPLAINED_DE00 = 1.5
"""Mean difference over a strip within which an ink counts as explained (guess)."""

Z = float(np.log(3.0) / log_sd(3.0))
"""Half width of a band of 9 in 10, in standard deviations."""

FEWEST_STRIPS = 2
"""Strips that a change common to all has to be seen on."""


@dataclass(frozen=True, eq=False)
class Scanner:
    """What is known of a scanner.

    change : how far it is off, as in `SCANNER_SDS` [-], shape (10,)
    covariance : of that, shape (10, 10)
    told_by : "nothing", "inks" (they are explained as they are), "inks through it"
        (known inks are explained once it is taken out), or "either" (it or other inks would do)
    off_de00 : mean CIEDE2000 between inks and palette without and with it, over strips
    """

    change: Array
    covariance: Array
    told_by: str = "nothing"
    off_de00: tuple[float, float] = (0.0, 0.0)

    def shifts(self, rgb: Array, paper: Array) -> list[Array]:
        """The colours as read, moved by one standard deviation each way it may be off.

        Linear sRGB [-], shape (patches, 3), the paper's (3,); a list of the same shapes.
        """
        sizes, ways = np.linalg.eigh(self.covariance)
        steps = (ways * np.sqrt(np.maximum(sizes, 0.0))).T
        return [as_scanned(rgb, paper, step) for step in steps]


def as_scanned(rgb: Array, paper: Array, change: Array) -> Array:
    """Colours as a scanner that is off would give them, its bare paper right.

    Linear sRGB [-], shape (patches, 3), the paper's (3,); `change` of `Scanner`, shape (10,).
    """
    share = np.maximum(rgb / paper, 1e-4) ** _tones(change)
    return np.asarray(share @ _mixing(change).T * paper)


def taken_out(rgb: Array, paper: Array, change: Array) -> Array:
    """The colours that such a scanner has seen: `as_scanned` turned round.

    Linear sRGB [-], shape (patches, 3), the paper's (3,); `change` shape (10,).
    """
    share = rgb / paper @ np.linalg.inv(_mixing(change)).T
    return np.asarray(np.maximum(share, 1e-4) ** (1.0 / _tones(change)) * paper)


def _tones(change: Array) -> Array:
    """The power of each channel."""
    return np.exp(change[0] + np.array([change[1], 0.0, change[2]]))


def _mixing(change: Array) -> Array:
    """What each channel takes of the three [-], shape (3, 3); greys stay as they are."""
    times = np.exp(change[3])
    M = times * np.eye(3) + (1.0 - times) * LUMINANCE_OF_RGB
    M[OTHERS] += change[4:]
    return np.asarray(M + np.diag(1.0 - M.sum(axis=1)))


def scanner_found(table: Table, strips: Sequence[Strip], black: Array | None = None) -> Scanner:
    """The scanner, from the printed black and beside the strengths of the palette's inks.

    Inks that were measured before are trusted: where they are explained once a scanner is taken
    out, it is. Invented ones aren't: there it can't be told from inks that are others.

    Parameters
    ----------
    black : share of the paper's light that the printed marks give back, shape (3,)
    """
    usual, count = Scanner(np.zeros(SIZE), np.diag(SCANNER_SDS**2)), len(strips)
    if len(strips) < FEWEST_STRIPS:
        return usual
    paper = table.paper_reflectance @ table.light.display_weights
    gaps, off = _beside_strengths(table, strips, paper)
    alone, _ = _search(lambda x: gaps(np.concatenate([usual.change, x])), count)
    drawn = _usual(black)
    x, covariance = _search(lambda x: np.concatenate([drawn(x), gaps(x)]), SIZE + count)
    covariance = covariance[:SIZE, :SIZE]
    plain, through = off(np.concatenate([usual.change, alone])), off(x)
    means = float(plain.mean()), float(through.mean())
    known = all(strip.ink.how == "measured" for strip in strips)
    explained = through < EXPLAINED_DE00
    if (plain < EXPLAINED_DE00).all():
        return Scanner(usual.change, covariance, "inks", means)
    if known and explained.sum() >= FEWEST_STRIPS:
        return Scanner(x[:SIZE], covariance, "inks through it", means)
    told_by = "either" if explained.all() else "nothing"
    return replace(usual, told_by=told_by, off_de00=means)


def strength_band(
    table: Table, strip: Strip, unit_path: Array, factor: float, scanner: Scanner
) -> float:
    """How well a strength is known, times or over, 9 of 10, its scanner's error included.

    Parameters
    ----------
    unit_path : of a neat coat [-], shape (bands,)
    factor : how well it is known as this scanner sees it, times or over
    """
    paper = table.paper_reflectance @ table.light.display_weights
    rgb, more = (strip_rgb(table, times * unit_path, strip.strength) for times in (1.0, 1.01))
    slope = residuals(rgb, more).ravel() / 0.01
    along = [slope @ residuals(rgb, off).ravel() for off in scanner.shifts(rgb, paper)]
    sd = np.linalg.norm(along) / max(float(slope @ slope), 1e-9)
    return float(np.exp(Z * np.hypot(log_sd(factor), sd)))


def scanner_notes(scanner: Scanner) -> tuple[str, ...]:
    """What a painter should know of the scanner."""
    plain, through = scanner.off_de00
    if scanner.told_by == "inks through it":
        return (
            f"The scanner or phone is off, not the inks: as they were, they differ by {plain:.1f} "
            f"(CIEDE2000) from the sheet, and by {through:.1f} once one colour change common to "
            "all patches is taken out, as it was before anything was read.",
        )
    if scanner.told_by == "either":
        return (
            f"The strips differ by {plain:.1f} (CIEDE2000) from the palette's inks. Other inks "
            f"would explain that, and so would a scanner or phone that is off ({through:.1f} with "
            "one colour change common to all patches): it can't be told which. Scan the sheet on "
            "another scanner; what the scans differ by is no ink's.",
        )
    return ()


def _usual(black: Array | None) -> Callable[[Array], Array]:
    """Gaps of a scanner from what is known before any ink, in standard deviations."""

    def gaps(x: Array) -> Array:
        found = [x[:SIZE] / SCANNER_SDS]
        if black is not None:
            share = taken_out(black[None], np.ones(3), x[:SIZE])[0]
            whole = float(np.log(share @ LUMINANCE_OF_RGB))
            tint = (np.log(share[[0, 2]]) - whole) / BLACK_TINT_SD
            found += [np.array([(whole - np.log(PRINTED_BLACK)) / BLACK_SD]), tint]
        return np.concatenate(found)

    return gaps


def _beside_strengths(
    table: Table, strips: Sequence[Strip], paper: Array
) -> tuple[Callable[[Array], Array], Callable[[Array], Array]]:
    """Gaps of all strips for a scanner and each ink's log strength, and their mean size."""
    from glaze.calibrate.scan.swatch import apart

    units = [dye_paths(table, strip.ink).sum(axis=0) for strip in strips]
    widths = [max(float(log_sd(strip.ink.strength_factor)), 0.05) for strip in strips]

    def fitted(x: Array) -> list[Array]:
        return [
            as_scanned(strip_rgb(table, np.exp(log) * unit, strip.strength), paper, x[:SIZE])
            for strip, unit, log in zip(strips, units, x[SIZE:], strict=True)
        ]

    def gaps(x: Array) -> Array:
        off = [residuals(s.rgb, rgb) / READING_DE for s, rgb in zip(strips, fitted(x), strict=True)]
        return np.concatenate([eased(np.concatenate(off)).ravel(), x[SIZE:] / widths])

    def means(x: Array) -> Array:
        both = zip(strips, fitted(x), strict=True)
        return np.array(
            [np.mean([apart(a, b) for a, b in zip(s.rgb, rgb, strict=True)]) for s, rgb in both]
        )

    return gaps, means


def _search(gaps: Callable[[Array], Array], count: int) -> tuple[Array, Array]:
    """The numbers of least squared gaps, and their covariance."""
    from scipy.optimize import least_squares

    found = least_squares(gaps, np.zeros(count), bounds=(-2.0, 2.0), xtol=1e-8, ftol=1e-8)
    covariance = np.linalg.inv(found.jac.T @ found.jac)
    return np.asarray(found.x, dtype=float), np.asarray(covariance, dtype=float)
