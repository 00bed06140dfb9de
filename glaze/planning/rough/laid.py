"""A colour rough laid over the sheet: the wanted colour at every sample of a grid."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.patch.table import Table
from glaze.physics.colour import (
    D65_XYZ,
    lab_from_xyz,
    xyz_from_lab,
    xyz_from_rgb,
)
from glaze.planning.recipe.wanted import daylight_weights
from glaze.planning.rough.cells import Cells, mm_of, read_on
from glaze.planning.rough.ways import NotLaidError, Placing, ways_of
from glaze.region.areas import Areas
from glaze.sketch.edges import shrink
from glaze.sketch.plane import Plane
from glaze.sketch.register import laid_over
from glaze.sketch.scan_colour import read_linear

Linear = NDArray[np.float32]

FEWEST_PX = 32
BLANK_DE, BLACK_L = 3.0, 18.0
WHITE_L, WHITE_CHROMA, WHITE_SHARE = 84.0, 4.0, 0.004
"""From so light and neutral on, over so much of it, a rough's lightest colour is its bare paper."""
EVENED_MM = 8.0
TOLD_MORE, LEAST_TOLD = 1.3, 0.1
"""So many times as much of its colours' changes the sketch's areas have to tell as when they lie
elsewhere, and such a share of them. Three scenes' previews reach 2.4 and 0.17 and more with their
own sketch, 0.3 and 0.04 with another's. Turned over, another's told 0.10 and one that was mirrored
0.83: there twice the share is asked."""

MIRRORED = "The rough is mirrored; it is turned over."


@dataclass(frozen=True, eq=False)
class OnSheet:
    """A rough over a sheet.

    lab : wanted, CIELAB (D65), shape (rows, columns, 3)
    seen : where it can be read: on the rough and off the line, shape (rows, columns)
    number : of the sketch's area at each sample, 0 for none, same shape
    open : how much light the sketch's line lets through there [-], same shape
    mm : side of a sample
    how : what it was laid over the sheet by
    plane : from mm of the sheet to pixels of the rough
    """

    lab: NDArray[np.float64]
    seen: NDArray[np.bool_]
    number: NDArray[np.int32]
    open: Linear
    mm: float
    how: str
    plane: Plane
    notes: tuple[str, ...] = ()


def lay_rough(path: str | Path, areas: Areas, table: Table, corners: str | None = None) -> OnSheet:
    """A rough laid over a sheet, by its lines where it has the sketch's, by its frame otherwise.

    Parameters
    ----------
    areas : of the sketch, shape (rows, columns)
    corners : of the rough in its picture [px]: "find", or four of them as `--corners` takes them

    Raises
    ------
    NotLaidError : it is of another shape or drawing
    InputError : for a rough that is blank, black, too small
    """
    picture, scan, notes = read_linear(path, grey_too=True)
    name = Path(path).name
    _check(picture, name)
    cells = Cells.of(areas)

    def laid(way: Placing) -> OnSheet:
        rgb, seen = read_on(picture, way.plane, areas, cells)
        lab, white = _as_on_paper(lab_from_xyz(xyz_from_rgb(rgb), D65_XYZ), seen, table)
        shape = cells.shape
        light = shrink(areas.sketch.line, cells.px)[: shape[0], : shape[1]]
        told = (*notes, *([MIRRORED] if way.mirrored else []), *white)
        number = cells.middles(areas.number)
        return OnSheet(lab, seen, number, light, cells.mm, way.how, way.plane, told)

    ways = ways_of(name, picture, scan, areas, corners)
    if len(ways) == 1 and ways[0].sure:
        return laid(ways[0])
    # what lies surest by its areas, and turned over only where that is plainly surer
    tried = [(way, laid(way)) for way in ways]
    told = [_told(one) / (TOLD_MORE if way.mirrored else 1.0) for way, one in tried]
    way, found = tried[int(np.argmax(told))]
    _refuse_another(name, found, LEAST_TOLD * (2 if way.mirrored else 1))
    return found


def on_pixels(path: str | Path, laid: OnSheet, shape: tuple[int, int], per_mm: float) -> Linear:
    """A rough as it lies on a sheet's own pixels, to look at beside it.

    Linear sRGB [-], shape (rows, columns, 3); white where the rough doesn't reach.

    per_mm : of the sheet [px/mm]
    """
    picture, _, _ = read_linear(path, grey_too=True)
    over = laid_over(picture, laid.plane.after(mm_of(1 / per_mm)), shape)
    return np.nan_to_num(over, copy=False, nan=1.0)


def _check(picture: Linear, name: str) -> None:
    """Refuse what shows nothing."""
    rows, columns = picture.shape[:2]
    if min(rows, columns) < FEWEST_PX:
        raise InputError(
            f'"{name}" has {columns} x {rows} pixels; a rough needs {FEWEST_PX} a side to show its '
            "areas, and 300 are better. Give a larger copy of it."
        )
    every = max(1, int(np.sqrt(rows * columns / 40_000)))
    some = lab_from_xyz(xyz_from_rgb(picture[::every, ::every].reshape(-1, 3)), D65_XYZ)
    low, high = np.quantile(some, [0.01, 0.99], axis=0)
    if high[0] < BLACK_L:
        raise InputError(
            f'"{name}" is black: its lightest places have L* {high[0]:.0f}. Nothing can be read '
            "from it; is it the right file, and was the scanner's lid closed?"
        )
    if (high - low).max() < BLANK_DE:
        raise InputError(
            f'"{name}" is blank: all of it has one colour (L* {high[0]:.0f}). A rough has to show '
            "what is wanted where."
        )


def _as_on_paper(
    lab: NDArray[np.float64], seen: NDArray[np.bool_], table: Table
) -> tuple[NDArray[np.float64], tuple[str, ...]]:
    """Colours with the rough's own white as this paper's; as they are where it shows none."""
    some = lab[seen] if seen.any() else lab.reshape(-1, 3)
    top = float(np.quantile(some[:, 0], 1 - WHITE_SHARE))
    light = some[some[:, 0] >= top]
    white = np.median(light, axis=0)
    if white[0] < WHITE_L or np.hypot(white[1], white[2]) > WHITE_CHROMA:
        return lab, ()
    paper = table.paper_reflectance @ daylight_weights(table.light)
    own = xyz_from_lab(white, D65_XYZ)
    turned = lab_from_xyz(xyz_from_lab(lab, D65_XYZ) * (paper / own), D65_XYZ)
    off = float(lab_from_xyz(paper, D65_XYZ)[0] - white[0])
    if abs(off) < 1.0:
        return turned, ()
    return turned, (
        f"The rough's white (L* {white[0]:.0f}) is taken for the bare paper "
        f"(L* {white[0] + off:.0f}), and all its colours with it.",
    )


def _refuse_another(name: str, laid: OnSheet, least_told: float) -> None:
    """Refuse a rough whose colours don't keep to the sketch's areas."""
    use = laid.seen & (laid.number > 0)
    if len(np.unique(laid.number[use])) < 3:
        return
    rows, columns = laid.number.shape
    shifts = [
        (rows // 3, 0),
        (0, columns // 3),
        (rows // 2, columns // 2),
        (rows // 4, columns // 3),
    ]
    lab = _evened(laid, use)[use]
    elsewhere = [_told_by(lab, np.roll(laid.number, s, (0, 1))[use]) for s in shifts]
    if _told_by(lab, laid.number[use]) < max(least_told, TOLD_MORE * float(np.median(elsewhere))):
        raise NotLaidError(
            f'"{name}" doesn\'t keep to the sketch: neither its lines nor the borders of its '
            "colours lie where the sketch has them. Is it a rough of this drawing? If it is one "
            "on a larger page, give the corners of the sheet in it with --corners."
        )


def _told(laid: OnSheet) -> float:
    """Share of the changes of a rough's colours that the sketch's areas tell."""
    use = laid.seen & (laid.number > 0)
    return _told_by(_evened(laid, use)[use], laid.number[use]) if use.any() else 0.0


def _evened(laid: OnSheet, use: NDArray[np.bool_]) -> NDArray[np.float64]:
    """The colours less their broad run, which no area tells."""
    from scipy.ndimage import gaussian_filter

    broad = EVENED_MM / laid.mm
    share = np.maximum(gaussian_filter(use.astype(float), broad), 1e-6)
    planes = [laid.lab[..., n] for n in range(3)]
    return np.stack([p - gaussian_filter(p * use, broad) / share for p in planes], axis=-1)


def _told_by(lab: NDArray[np.float64], number: NDArray[np.int32]) -> float:
    """Share of the variance of colours that lies between areas and not within them."""
    count = np.maximum(np.bincount(number), 1)
    sums = np.stack([np.bincount(number, lab[:, n]) for n in range(3)])
    whole = ((lab - lab.mean(axis=0)) ** 2).sum()
    between = (sums**2 / count).sum() - len(lab) * (lab.mean(axis=0) ** 2).sum()
    return float(between / max(whole, 1e-9))
