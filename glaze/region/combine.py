"""Regions of a scene as coverage: each shape once for the whole sheet, softened and combined.

Coverage is uint16, 65535 = full; it stands for the thickness of the film laid there. Combining
keeps the laws of sets at every value: a region united with itself, or kept inside itself, is
itself; a region less itself is nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.region.enclosed import Areas, areas_of, enclosed
from glaze.region.outline import Outline, band, ellipse, fill, pen_line
from glaze.region.soft import soften
from glaze.scene.records import SHEET, Graded, Region, Scene
from glaze.sheet.field import thinned
from glaze.sketch.line import MM_PER_INCH, Sketch
from glaze.sketch.scan import grey, read_scan

Cover = NDArray[np.uint16]
FULL = 65535


@dataclass(eq=False)
class Kept:
    """What has been worked out already for one scene and sketch, and what was noticed.

    Parameters
    ----------
    covers : coverage by name of region
    areas : enclosed areas by width of gap [mm]
    notes : sentences for the painter
    """

    covers: dict[str, Cover] = field(default_factory=dict)
    areas: dict[float, Areas] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def cover(region: str | Region, scene: Scene, sketch: Sketch, kept: Kept | None = None) -> Cover:
    """Coverage of a region, shape (rows, columns), uint16, 65535 = full.

    Parameters
    ----------
    region : the name of one of the scene's regions, "sheet", or a region of its own
    kept : hand the same one to all calls for a scene, and each shape is worked out once

    Raises
    ------
    InputError
        When a name isn't known, regions need each other in a circle, a picture doesn't fit, or
        nothing of the region lies on the sheet.
    """
    return _cover(region, scene, sketch, Kept() if kept is None else kept, ())


def _cover(
    region: str | Region, scene: Scene, sketch: Sketch, kept: Kept, waiting: tuple[str, ...]
) -> Cover:
    if isinstance(region, Region):
        return _worked_out("a step's own region", region, scene, sketch, kept, waiting)
    if region in kept.covers:
        return kept.covers[region]
    if region == SHEET:
        made = np.full(sketch.shape, FULL, np.uint16)
    elif region not in scene.regions:
        raise InputError(unknown("region", region, [*scene.regions, SHEET]))
    elif region in waiting:
        raise InputError(f"Regions go round in a circle: {' needs '.join((*waiting, region))}.")
    else:
        name = f'region "{region}"'
        waiting = (*waiting, region)
        made = _worked_out(name, scene.regions[region], scene, sketch, kept, waiting)
    made = thinned(made)
    made.flags.writeable = False
    kept.covers[region] = made
    return made


def _worked_out(
    name: str, region: Region, scene: Scene, sketch: Sketch, kept: Kept, waiting: tuple[str, ...]
) -> Cover:
    others: Callable[[str], Cover] = lambda other: _cover(other, scene, sketch, kept, waiting)  # noqa: E731
    if region.union:
        made = others(region.union[0]).copy()
        for other in region.union[1:]:
            np.maximum(made, others(other), out=made)
    else:
        try:
            made = _shape(name, region, scene, sketch, kept)
        except InputError as error:
            raise InputError([f"{name}: {problem}" for problem in error.problems]) from None
    if region.soft_mm:
        made = soften(made, region.soft_mm * sketch.dpi / MM_PER_INCH)
    for other in region.inside:
        np.minimum(made, others(other), out=made)
    for other in region.minus:
        made -= np.minimum(made, others(other))
    if not made.any():
        width, height = sketch.size_mm
        raise InputError(
            f"{name} is empty: nothing of it is left on the sheet of {width:.0f} x {height:.0f} "
            "mm. Check its place in mm, and what it is kept inside of or taken from."
        )
    return made


def _shape(name: str, region: Region, scene: Scene, sketch: Sketch, kept: Kept) -> Cover:
    if region.enclosed_at_mm:
        if region.gap_mm not in kept.areas:
            kept.areas[region.gap_mm] = areas_of(sketch, region.gap_mm)
        areas = kept.areas[region.gap_mm]
        made, notes = enclosed(sketch, areas, region.enclosed_at_mm, region.gap_mm)
        kept.notes += [f"{name}: {note}" for note in notes]
        kept.notes += _same_area(region, scene, areas, sketch.dpi / MM_PER_INCH)
        return made
    if region.mask is not None:
        return mask_of(scene, region.mask, sketch)
    return fill(_outlines(region, sketch.dpi / MM_PER_INCH), sketch.shape)


def _same_area(region: Region, scene: Scene, areas: Areas, per_mm: float) -> list[str]:
    """A sentence for regions of different points that no line parts."""

    def numbers(one: Region) -> set[int]:
        places = ((int(y * per_mm), int(x * per_mm)) for x, y in one.enclosed_at_mm)
        rows, columns = areas.shape
        return {int(areas[y, x]) for y, x in places if 0 <= y < rows and 0 <= x < columns}

    alike = [
        name
        for name, other in scene.regions.items()
        if other.enclosed_at_mm and other.gap_mm == region.gap_mm
        # a part of an area, or what is left of it, may well start from the same point
        if not other.needs and numbers(other) == numbers(region)
    ]
    points = {scene.regions[name].enclosed_at_mm for name in alike}
    if len(points) < 2 or region.needs:
        return []
    named = " and ".join(f'"{name}"' for name in alike)
    return [
        f"{named} are one area: no line parts their points. If they are meant to differ, a line "
        "has a gap."
    ]


def _outlines(region: Region, scale: float) -> list[Outline]:
    """Outlines in pixels, pixels per mm given; several shapes of one kind unite."""
    if region.polygon_mm:
        return [np.array(region.polygon_mm) * scale]
    if region.ellipse_mm:
        return [ellipse(e.centre, e.radii, e.turn_degrees, scale) for e in region.ellipse_mm]
    if region.band_mm:
        return [band(b.start, b.end, b.width, scale) for b in region.band_mm]
    return [one for p in region.pen_line_mm for one in pen_line(p.points, p.width, scale)]


def mask_of(scene: Scene, name: str, sketch: Sketch) -> Cover:
    """A grey picture of the sketch's size as coverage: white is full, black is nothing."""
    mask = grey(read_scan(scene.file(name)))
    if mask.shape != sketch.shape:
        rows, columns = sketch.shape
        raise InputError(
            f'"{name}" has {mask.shape[1]} x {mask.shape[0]} pixels; allowed: {columns} x {rows}, '
            "the size of the sketch. Draw the mask over the sketch at full size."
        )
    return mask


def regions_of(
    scene: Scene, sketch: Sketch, kept: Kept | None = None
) -> tuple[dict[str, Cover], tuple[str, ...]]:
    """Coverage of every region of a scene by name, and notes for the painter.

    Parameters
    ----------
    kept : hand it to later calls of `cover`, so that enclosed areas aren't looked for again

    Raises
    ------
    InputError
        With what is wrong in any of the regions, one line each.
    """
    kept, problems = Kept() if kept is None else kept, []
    for name in scene.regions:
        try:
            cover(name, scene, sketch, kept)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(dict.fromkeys(problems))
    return {name: kept.covers[name] for name in scene.regions}, tuple(dict.fromkeys(kept.notes))


def grade(graded: Graded, scene: Scene, sketch: Sketch) -> NDArray[np.float32]:
    """Film of a graded wash as a share of its full film, float32, shape (rows, columns), 0 to 1.

    Along a line it eases in and out (3t^2 - 2t^3), as a wash carried down a board does, so that
    neither end shows; beyond the line it stays. A picture gives its own values, white = full.
    """
    if graded.picture is not None:
        return (mask_of(scene, graded.picture, sketch) / np.float32(FULL)).astype(np.float32)
    assert graded.from_mm is not None  # the record's own check: a line or a picture
    assert graded.to_mm is not None
    start, end = np.array(graded.from_mm), np.array(graded.to_mm)
    along = (end - start) / np.sum((end - start) ** 2)
    mm = MM_PER_INCH / sketch.dpi
    rows, columns = sketch.shape
    x = ((np.arange(columns) + 0.5) * mm - start[0]) * along[0]
    y = ((np.arange(rows) + 0.5) * mm - start[1]) * along[1]
    t = np.clip(x.astype(np.float32) + y.astype(np.float32)[:, None], 0, 1)
    eased = t * t * (3 - 2 * t)
    return np.float32(graded.start) + np.float32(graded.end - graded.start) * eased
