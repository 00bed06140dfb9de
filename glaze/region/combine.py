"""Regions of a scene as coverage: each shape once for the whole sheet, softened and combined.

Coverage is uint16, FULL = all of it; it stands for the thickness of the film laid there. Combining
keeps the laws of sets at every value: a region united with itself, or kept inside itself, is
itself; a region less itself is nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.region.enclosed import Areas, areas_of, enclosed
from glaze.region.outline import Outline, band, ellipse, fill, pen_line
from glaze.region.records import SHEET, Graded, Region
from glaze.region.soft import soften
from glaze.sheet.field import thinned
from glaze.sheet.memory import Key, Memory, file_key
from glaze.sheet.units import FULL, Mask
from glaze.sketch.line import MM_PER_INCH, Sketch
from glaze.sketch.scan import grey, read_scan


@dataclass(frozen=True, eq=False)
class Cover:
    """Coverage of a region.

    Attributes
    ----------
    mask : shape (rows, columns), FULL = inside
    key : all that it was made from
    notes : sentences for the painter
    """

    mask: Mask
    key: Key
    notes: tuple[str, ...] = ()


def _no_file(name: str) -> Path:
    raise InputError(f'"{name}" has no folder to be looked for in.')


@dataclass(frozen=True, eq=False)
class Regions:
    """The regions of a scene over its sketch.

    Attributes
    ----------
    named : by name; beside them there is always SHEET
    sketch, sketch_key : the line over its paper, and what that was read from
    file : the path of a picture that a region names
    painted : coverage of the regions that are under the brush, by name; they go before `named`
    memory : each shape is worked out once in it
    """

    named: Mapping[str, Region]
    sketch: Sketch
    sketch_key: Key = "a sketch of its own"
    file: Callable[[str], Path] = _no_file
    painted: Mapping[str, Cover] = field(default_factory=dict)
    memory: Memory = field(default_factory=Memory)

    def cover(self, region: str | Region) -> Cover:
        """Coverage of a region by its name, or of a region of its own.

        Raises
        ------
        InputError
            When a name isn't known, regions need each other in a circle, a picture doesn't fit, or
            nothing of the region lies on the sheet.
        """
        if isinstance(region, str) and region in self.painted:
            return self.painted[region]
        key = self._key(region, ())
        return self.memory.made(key, lambda: self._made(region, key))

    def all(self) -> dict[str, Cover]:
        """Every named region, by name; all that is wrong with them is told at once."""
        found, problems = {}, []
        for name in self.named:
            try:
                found[name] = self.cover(name)
            except InputError as error:
                problems += error.problems
        if problems:
            raise InputError(dict.fromkeys(problems))
        return found

    def notes(self, steps_own: Mapping[str, Region] | None = None) -> tuple[str, ...]:
        """What was noticed about the regions, a sentence each.

        steps_own : regions that steps have for themselves, by the name they go by
        """
        told = []
        for name in self.named:
            told += [f'region "{name}": {note}' for note in self.cover(name).notes]
            told += self._same_area(name)
        for name, region in (steps_own or {}).items():
            told += [f"{name}: {note}" for note in self.cover(region).notes]
        return tuple(dict.fromkeys(told))

    def grade(self, graded: Graded) -> tuple[NDArray[np.float32], Key]:
        """Film of a graded wash as a share of its full film, 0 to 1, and what it was made from.

        Along a line it eases in and out (3t^2 - 2t^3), as a wash carried down a board does, so that
        neither end shows; beyond the line it stays. A picture gives its own values, white = full.

        Returns
        -------
        float32, shape (rows, columns)
        """
        picture = None if graded.picture is None else file_key(self.file(graded.picture))
        key = "grade", graded, picture, self.sketch_key
        return self.memory.made(key, lambda: self._graded(graded)), key

    def areas(self, gap_mm: float) -> Areas:
        """The areas that lines enclose, gaps up to `gap_mm` closed.

        Returns
        -------
        number of each pixel's area, shape (rows, columns)
        """
        key = "areas", gap_mm, self.sketch_key
        return self.memory.made(key, lambda: areas_of(self.sketch, gap_mm))

    # ---- what a region is made from

    def _key(self, region: str | Region, waiting: tuple[str, ...]) -> Key:
        """All that a region is made from, and what those are made from."""
        if isinstance(region, str):
            if region in self.painted:
                return self.painted[region].key
            if region == SHEET:
                return SHEET, self.sketch_key
            if region not in self.named:
                raise InputError(unknown("region", region, [*self.named, SHEET]))
            if region in waiting:
                round_ = " needs ".join((*waiting, region))
                raise InputError(f"Regions go round in a circle: {round_}.")
            return self._key(self.named[region], (*waiting, region))
        needs = tuple(self._key(name, waiting) for name in region.needs)
        mask = None if region.mask is None else file_key(self.file(region.mask))
        # what is wanted of a region doesn't change its shape
        told = (key for key in type(region).model_fields if key != "want_value")
        shape = tuple(getattr(region, key) for key in told)
        return "region", shape, needs, mask, self.sketch_key

    def _made(self, region: str | Region, key: Key) -> Cover:
        if isinstance(region, Region):
            mask, notes = self._combined("a step's own region", region)
        elif region == SHEET:
            mask, notes = np.full(self.sketch.shape, FULL, np.uint16), []
        else:
            mask, notes = self._combined(f'region "{region}"', self.named[region])
        mask = thinned(mask)
        mask.flags.writeable = False
        return Cover(mask, key, tuple(notes))

    def _combined(self, name: str, region: Region) -> tuple[Mask, list[str]]:
        """A region's shape, softened, kept inside others, less others."""
        notes: list[str] = []
        if region.union:
            made = self.cover(region.union[0]).mask.copy()
            for other in region.union[1:]:
                np.maximum(made, self.cover(other).mask, out=made)
        else:
            try:
                made, notes = self._shape(region)
            except InputError as error:
                raise InputError([f"{name}: {problem}" for problem in error.problems]) from None
        if region.soft_mm:
            made = soften(made, region.soft_mm * self.sketch.dpi / MM_PER_INCH)
        for other in region.inside:
            np.minimum(made, self.cover(other).mask, out=made)
        for other in region.minus:
            made -= np.minimum(made, self.cover(other).mask)
        if not made.any():
            width, height = self.sketch.size_mm
            raise InputError(
                f"{name} is empty: nothing of it is left on the sheet of {width:.0f} x "
                f"{height:.0f} mm. Check its place in mm, and what it is kept inside of or taken "
                "from."
            )
        return made, notes

    def _shape(self, region: Region) -> tuple[Mask, list[str]]:
        if region.enclosed_at_mm:
            areas = self.areas(region.gap_mm)
            made, notes = enclosed(self.sketch, areas, region.enclosed_at_mm, region.gap_mm)
            return made, list(notes)
        if region.mask is not None:
            return self._grey(region.mask).copy(), []
        return fill(_outlines(region, self.sketch.dpi / MM_PER_INCH), self.sketch.shape), []

    def _same_area(self, name: str) -> list[str]:
        """A sentence for regions of different points that no line parts."""
        region, per_mm = self.named[name], self.sketch.dpi / MM_PER_INCH
        if not region.enclosed_at_mm or region.needs:
            return []
        areas = self.areas(region.gap_mm)

        def numbers(one: Region) -> set[int]:
            places = ((int(y * per_mm), int(x * per_mm)) for x, y in one.enclosed_at_mm)
            rows, columns = areas.shape
            return {int(areas[y, x]) for y, x in places if 0 <= y < rows and 0 <= x < columns}

        own = numbers(region)
        alike = [
            other_name
            for other_name, other in self.named.items()
            if other.enclosed_at_mm and other.gap_mm == region.gap_mm
            # a part of an area, or what is left of it, may well start from the same point
            if not other.needs and numbers(other) == own
        ]
        if len({self.named[one].enclosed_at_mm for one in alike}) < 2:
            return []
        named = " and ".join(f'"{one}"' for one in alike)
        return [
            f"{named} are one area: no line parts their points. If they are meant to differ, a "
            "line has a gap."
        ]

    def _grey(self, name: str) -> Mask:
        """A grey picture of the sketch's size as coverage: white is full, black is nothing."""
        mask = grey(read_scan(self.file(name)))
        if mask.shape != self.sketch.shape:
            rows, columns = self.sketch.shape
            raise InputError(
                f'"{name}" has {mask.shape[1]} x {mask.shape[0]} pixels; allowed: {columns} x '
                f"{rows}, the size of the sketch. Draw the mask over the sketch at full size."
            )
        return mask

    def _graded(self, graded: Graded) -> NDArray[np.float32]:
        if graded.picture is not None:
            return (self._grey(graded.picture) / np.float32(FULL)).astype(np.float32)
        sketch = self.sketch
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


def _outlines(region: Region, scale: float) -> list[Outline]:
    """Outlines in pixels, pixels per mm given; several shapes of one kind unite."""
    if region.polygon_mm:
        return [np.array(region.polygon_mm) * scale]
    if region.ellipse_mm:
        return [ellipse(e.centre, e.radii, e.turn_degrees, scale) for e in region.ellipse_mm]
    if region.band_mm:
        return [band(b.start, b.end, b.width, scale) for b in region.band_mm]
    return [one for p in region.pen_line_mm for one in pen_line(p.points, p.width, scale)]
