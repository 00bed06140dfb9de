"""How a rough may lie over the sheet: by its lines, by its frame, less a border, or mirrored."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.physics.colour import D65_XYZ, LUMINANCE_OF_RGB, lab_from_xyz, xyz_from_rgb
from glaze.planning.rough.cells import OFF_LINE, mm_of
from glaze.region.areas import Areas
from glaze.sketch.edges import shrink
from glaze.sketch.plane import Plane, plane_through
from glaze.sketch.register import LIKE_ENOUGH, register, register_near
from glaze.sketch.scan import Scan
from glaze.sketch.straighten import corners_of, sheet_corners

Linear = NDArray[np.float32]
Box = tuple[float, float, float, float]
"""Left, upper, right and lower side [px]."""

SHAPE_OFF = 0.12
"""Share by which a rough's sides may be to one another as the sheet's aren't."""
LINE_MM = 0.3
BORDER_DE, BORDER_SHARE, LEAST_BORDER = 4.0, 0.9, 0.02
"""A border is of one colour to that difference [CIELAB] over such a share of the picture's rim; it
ends where so many of a row's or column's pixels are of another, and is wider than that share."""


class NotLaidError(InputError):
    """A rough can't be laid over the sheet as it is; its corners may help."""


@dataclass(frozen=True, eq=False)
class Placing:
    """How a rough may lie over the sheet.

    plane : from mm of the sheet to pixels of the rough
    sure : whether nothing else has to be tried
    """

    plane: Plane
    how: str
    sure: bool = False
    mirrored: bool = False


def ways_of(
    name: str, picture: Linear, scan: Scan, areas: Areas, corners: str | None
) -> list[Placing]:
    """How a rough may lie over its sheet; one way alone where that is sure.

    Parameters
    ----------
    picture : linear sRGB [-], shape (rows, columns, 3)
    areas : of the sketch, shape (rows, columns)
    corners : of the rough in its picture [px]: "find", or four of them as `--corners` takes them

    Raises
    ------
    NotLaidError : it is of another shape, and has none of the sketch's lines
    """
    wide_mm, high_mm = areas.sketch.size_mm
    sheet = np.array([[0, 0], [wide_mm, 0], [wide_mm, high_mm], [0, high_mm]])
    if corners is not None:
        at = sheet_corners(scan) if corners.strip() == "find" else corners_of(corners)
        return [Placing(plane_through(sheet, at - 0.5), "its corners", sure=True)]
    high, wide = picture.shape[:2]
    boxes = [(0.0, 0.0, float(wide), float(high)), *_less_border(picture)]
    frames = [
        plane_through(sheet, np.array([[a, b], [c, b], [c, d], [a, d]]) - 0.5)
        for a, b, c, d in boxes
        if 1 / (1 + SHAPE_OFF) < (c - a) / (d - b) / (wide_mm / high_mm) < 1 + SHAPE_OFF
    ]
    found: list[Placing] = []
    if areas.sketch.line.min(initial=1.0) < OFF_LINE:
        whole = plane_through(sheet, np.array([[0, 0], [wide, 0], [wide, high], [0, high]]) - 0.5)
        found = list(_by_lines(picture, areas, frames or [whole]))
    if found and found[-1].sure:
        return found[-1:]
    over = _turned_over(picture)
    found += [Placing(frame, "its frame") for frame in frames]
    found += [Placing(over.after(frame), "its frame", mirrored=True) for frame in frames]
    if not found:
        raise NotLaidError(
            f'"{name}" is {wide / high:.2f} times as wide as high, the sheet '
            f"{wide_mm / high_mm:.2f} times, and its lines aren't the sketch's: it can't be laid "
            'over the sheet. Crop it, or give the corners of the sheet in it: --corners "x,y x,y '
            'x,y x,y" in pixels, clockwise from the upper left, or --corners find.'
        )
    return found


def _by_lines(picture: Linear, areas: Areas, frames: list[Plane]) -> Iterator[Placing]:
    """Where its lines may have the sheet, the last where they surely do; none where they don't."""
    step = max(1, round(LINE_MM * areas.per_mm))
    mm = mm_of(step / areas.per_mm)
    line, Y = shrink(areas.sketch.line, step), picture @ LUMINANCE_OF_RGB.astype(np.float32)
    weak = False
    for frame in frames:
        near = register_near(line, Y, frame.after(mm))
        if near is not None:
            weak = True
            sure = near.likeness >= LIKE_ENOUGH
            yield Placing(near.plane.after(mm.inverse), "its lines", sure)
            if sure:
                return
    for frame in frames:
        over = register_near(line, Y[:, ::-1], frame.after(mm))
        if over is not None and over.likeness >= LIKE_ENOUGH:
            plane = _turned_over(picture).after(over.plane).after(mm.inverse)
            yield Placing(plane, "its lines", mirrored=True)
            return
    with suppress(InputError):
        anywhere = register(line, Y).plane.after(mm.inverse)
        # strong tones of a dark scene may look like lines elsewhere
        yield Placing(anywhere, "its lines", sure=not weak)


def _turned_over(picture: Linear) -> Plane:
    """From pixels of a mirrored picture to its own."""
    return Plane(np.array([[-1.0, 0, picture.shape[1] - 1], [0, 1, 0], [0, 0, 1]]))


def _less_border(picture: Linear) -> list[Box]:
    """What a picture shows inside a border of one colour; nothing where it has none."""
    rows, columns = picture.shape[:2]
    every = max(1, round(np.sqrt(rows * columns / 250_000)))
    lab = lab_from_xyz(xyz_from_rgb(picture[::every, ::every]), D65_XYZ)
    border = np.median(np.concatenate([lab[0], lab[-1], lab[:, 0], lab[:, -1]]), axis=0)
    other = np.linalg.norm(lab - border, axis=-1) > BORDER_DE
    rim = np.concatenate([other[0], other[-1], other[:, 0], other[:, -1]])
    across, down = (np.flatnonzero(other.mean(axis=n) > LEAST_BORDER) for n in (0, 1))
    if rim.mean() > 1 - BORDER_SHARE or not (across.size and down.size):
        return []
    left, right, upper, lower = (
        float(side * every) for part in (across, down) for side in (part[0], part[-1] + 1)
    )
    wider = (right - left) * (lower - upper) < (1 - LEAST_BORDER) * rows * columns
    return [(left, upper, right, lower)] if wider else []
