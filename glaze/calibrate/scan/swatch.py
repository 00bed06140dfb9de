"""Reading a painted swatch sheet back from a scan or a photo: every patch against bare paper.

A home printer and scanner know no colour standard, the sheet itself has one: its bare paper. The
light over the page is read between the patches and divided out, so that what remains is each
patch as a share of the paper it lies on, whatever the exposure, the vignette or the lamp's tint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.scan.corner_marks import find_page, sample
from glaze.charts.content.swatch_page import DISC_MM, DOT_MM, PrintedPlace, SwatchPage
from glaze.errors import InputError, percent
from glaze.physics.colour import (
    D65_XYZ,
    LUMINANCE_OF_RGB,
    delta_e_2000,
    lab_from_xyz,
    xyz_from_rgb,
)
from glaze.physics.flow import MM_PER_INCH
from glaze.sketch.plane import Plane
from glaze.sketch.scan_colour import read_linear

Array = NDArray[np.float64]
Linear = NDArray[np.float32]

LEAST_PX_PER_MM = 3.5
"""90 dpi: below that a patch holds too few clean pixels and frames run into paint."""

STEP_MM = 0.3
"""Distance of the points a patch is read at."""

DARKEST_PAPER = 0.12
"""Linear level of bare paper below which a picture is too dark to tell dark inks apart."""

BURNT = 0.995
"""Linear level at which a channel is as light as the file can say."""

LOST = 0.003
"""Share of the paper's light below which a channel tells nothing but "dark"."""

UNPAINTED_DE00 = 1.5
DOT_DE00 = 2.5
"""Least difference of a dot from its patch that counts as bleach's doing (guess)."""

WORST_LIGHT = 4.0
"""Most that the light may differ over the page, times."""


@dataclass(frozen=True, eq=False)
class Reading:
    """One patch as it was read.

    rgb : linear sRGB over that of the bare paper there, shape (3,): 1 = paper
    spread : of its lightness L* within the patch (1.48 times the median deviation)
    lost : whether a channel is as dark as the file can say, so that only a bound is known
    dot_rgb : in the middle of the bleach dot's place; None where there is none
    """

    place: PrintedPlace
    rgb: Array
    spread: float
    lost: bool
    dot_rgb: Array | None = None


@dataclass(frozen=True, eq=False)
class SheetReading:
    """All that was read from one page.

    readings : by the patch's name
    paper_rgb : bare paper in the middle of the page as the file has it, linear
    black_rgb : of the printed marks, over that of the paper there; None if they can't be read
    uneven : lightest over darkest place of the light on the page
    """

    page: SwatchPage
    readings: dict[str, Reading]
    paper_rgb: Array
    uneven: float
    px_per_mm: float
    notes: tuple[str, ...] = field(default=())
    black_rgb: Array | None = None


def read_swatches(path: str | Path, pages: Sequence[SwatchPage]) -> SheetReading:
    """One scan of a painted page.

    Parameters
    ----------
    path : PNG, JPEG or TIFF; scanned or photographed any way round
    pages : the pages it may be one of
    """
    rgb, _, notes = read_linear(path)
    name = Path(path).name
    try:
        page, plane = find_page(rgb @ LUMINANCE_OF_RGB.astype(np.float32), pages)
        read = read_page(rgb, page, plane)
    except InputError as error:
        raise InputError([f"{name}: {problem}" for problem in error.problems]) from None
    return replace(read, notes=(*notes, *read.notes))


def read_page(rgb: Linear, page: SwatchPage, plane: Plane) -> SheetReading:
    """Every patch of a page that has been found in a picture.

    Linear sRGB [-], shape (rows, columns, 3).
    """
    middle = page.marks.mean(axis=0)
    px_per_mm = min(plane.scale_at(mark) for mark in page.marks)
    if px_per_mm < LEAST_PX_PER_MM:
        raise InputError(
            f"The sheet is only {px_per_mm * MM_PER_INCH:.0f} dpi in this picture; at least "
            f"{LEAST_PX_PER_MM * MM_PER_INCH:.0f} are needed. Scan it at 300 dpi, or go nearer "
            "with the camera."
        )
    light = _light(rgb, page, plane)
    paper = light(middle)
    notes = _judge_light(rgb, page, plane, light, paper)
    readings = {place.name: _read(rgb, place, plane, light) for place in page.places}
    found = np.array([light(mark) @ LUMINANCE_OF_RGB for mark in page.marks])
    uneven = float(max(found.max(), paper @ LUMINANCE_OF_RGB) / found.min())
    notes += _judge_patches(readings)
    black = _black(rgb, page, plane, light)
    return SheetReading(page, readings, paper, uneven, px_per_mm, tuple(notes), black)


def _black(rgb: Linear, page: SwatchPage, plane: Plane, light: Lighting) -> Array | None:
    """Linear RGB of the middles of the corner marks over the paper's light, shape (3,)."""
    near = 0.3 * DISC_MM * np.array([[0, 0], [1, 0], [0, 1], [-1, 0], [0, -1]])
    points = (page.marks[:, None] + near).reshape(-1, 2)
    found = np.nanmedian(sample(rgb, plane(points)) / light(points), axis=0)
    return np.maximum(found, 1e-3) if np.isfinite(found).all() else None


def printed_black(sheets: Sequence[SheetReading]) -> Array | None:
    """The printed marks of all pages, shape (3,) [-]; None if no page tells them."""
    found = [sheet.black_rgb for sheet in sheets if sheet.black_rgb is not None]
    return np.asarray(np.mean(found, axis=0)) if found else None


@dataclass(frozen=True, eq=False)
class Lighting:
    """Bare paper over the page: exp of a polynomial of second order in x and y, a channel each.

    A vignette, the fall-off of a lamp and the gradient of a window are told within 1 % by it
    over a page (compared with cos^4 in the tests).
    """

    coefficients: Array
    middle: Array
    reach: float

    def __call__(self, points: Array) -> Array:
        """Linear RGB of bare paper at points [mm], shape (..., 3)."""
        return np.asarray(np.exp(_terms((points - self.middle) / self.reach) @ self.coefficients))


def _terms(p: Array) -> Array:
    x, y = p[..., 0], p[..., 1]
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)


def _light(rgb: Linear, page: SwatchPage, plane: Plane) -> Lighting:
    """The light, from the bare gaps; gaps that paint has run into are left out in rounds."""
    points = page.bare_points()
    near = np.stack(np.meshgrid(np.linspace(-0.6, 0.6, 5), np.linspace(-0.6, 0.6, 5)), axis=-1)
    seen = sample(rgb, plane(points[:, None, :] + near.reshape(1, -1, 2)))
    level = np.nanmedian(seen, axis=1)
    good = np.isfinite(level).all(axis=1) & (level > 1e-4).all(axis=1)
    points, logs = points[good], np.log(level[good])
    middle, reach = page.marks.mean(axis=0), float(np.ptp(page.marks[:, 1])) / 2
    terms = _terms((points - middle) / reach)
    # paint only ever darkens: start from the lighter half, then drop what lies well below
    brightness = logs.sum(axis=1)
    keep = brightness >= np.median(brightness)
    for _ in range(10):
        c = np.linalg.lstsq(terms[keep], logs[keep], rcond=None)[0]
        off = (logs - terms @ c).min(axis=1)
        width = max(1.48 * float(np.median(np.abs(off[keep]))), 0.004)
        new = np.abs(off) < 3.5 * width
        if new.sum() < 20 or (new == keep).all():
            break
        keep = new
    return Lighting(c, middle, reach)


def _judge_light(
    rgb: Linear, page: SwatchPage, plane: Plane, light: Lighting, paper: Array
) -> list[str]:
    """Refuse what can't be read, and say what makes it less sure."""
    level = float(paper @ LUMINANCE_OF_RGB)
    if level < DARKEST_PAPER:
        raise InputError(
            f"The picture is too dark: bare paper stands at {percent(level)} of full light, and at "
            f"least {percent(DARKEST_PAPER)} is needed. Scan again, or give the photo more light."
        )
    corners = np.array([light(mark) @ LUMINANCE_OF_RGB for mark in page.marks])
    uneven = float(max(corners.max(), level) / corners.min())
    if uneven > WORST_LIGHT:
        raise InputError(
            f"The light differs {uneven:.1f} times over the page; at most {WORST_LIGHT:g} can be "
            "evened out. Scan it, or photograph it in open shade, square-on."
        )
    notes = []
    if uneven > 1.6:
        notes.append(f"The light differs {uneven:.1f} times over the page; it was evened out.")
    bare = sample(rgb, plane(page.bare_points()))
    burnt = float(np.nanmean((bare >= BURNT).any(axis=-1)))
    if burnt > 0.2:
        notes.append(
            "Bare paper is as light as the file can say, so tints near white can't be told from "
            "it. Switch the scanner's automatic correction off, or expose a photo less."
        )
    return notes


def _read(rgb: Linear, place: PrintedPlace, plane: Plane, light: Lighting) -> Reading:
    """Median of a patch over the paper's light, and of its dot."""
    left, top, right, bottom = place.read_box
    across, down = np.arange(left, right, STEP_MM), np.arange(top, bottom, STEP_MM)
    points = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)
    seen = sample(rgb, plane(points)) / light(points)
    middle = np.nanmedian(seen, axis=0)
    lightness = lab_of(seen)[:, 0]
    spread = 1.48 * float(np.nanmedian(np.abs(lightness - np.nanmedian(lightness))))
    dot = None
    if place.dot is not None:
        turn = np.linspace(0, 2 * np.pi, 12, endpoint=False)
        disc = [r * np.column_stack([np.cos(turn), np.sin(turn)]) for r in (0.3, 0.7, 1.1)]
        around = np.array(place.dot) + np.vstack(disc) * (DOT_MM / 7.0)
        dot = np.nanmedian(sample(rgb, plane(around)) / light(around), axis=0)
    if not np.isfinite(middle).all():
        raise InputError(f'The patch "{place.name}" lies outside the picture. Scan the whole page.')
    return Reading(place, middle.astype(float), spread, bool((middle < LOST).any()), dot)


def lab_of(rgb: Array) -> Array:
    """CIELAB (D65) of linear sRGB, what a file can't hold held at 0.

    [-], of shape (..., 3) both.
    """
    return lab_from_xyz(xyz_from_rgb(np.maximum(rgb, 0.0)), D65_XYZ)


def apart(one: Array, other: Array) -> float:
    """CIEDE2000 between two linear colours. Linear sRGB [-], shape (3,) each."""
    return float(delta_e_2000(lab_of(np.asarray(one)), lab_of(np.asarray(other))))


PAPER = np.ones(3)


def _judge_patches(readings: dict[str, Reading]) -> list[str]:
    """What is odd about single patches."""
    notes = []
    uneven = [r.place.name for r in readings.values() if r.spread > 4.0]
    if uneven:
        notes.append(f"Uneven patches, read less surely: {', '.join(uneven)}.")
    lost = [r.place.name for r in readings.values() if r.lost]
    if lost:
        notes.append(
            f"More vivid or darker than the file can hold, so read as a bound: {', '.join(lost)}."
        )
    bare = readings.get("bare paper")
    if bare is not None and apart(bare.rgb, PAPER) > UNPAINTED_DE00:
        notes.append(
            'The patch "bare paper" differs from the paper between the patches by '
            f"{apart(bare.rgb, PAPER):.1f} (CIEDE2000): was it painted, or the gaps?"
        )
    return notes


def is_painted(reading: Reading) -> bool:
    """Whether a patch differs from bare paper."""
    return apart(reading.rgb, PAPER) > UNPAINTED_DE00


def has_dot(reading: Reading) -> bool:
    """Whether bleach has been at the dot's place."""
    return reading.dot_rgb is not None and apart(reading.dot_rgb, reading.rgb) > DOT_DE00
