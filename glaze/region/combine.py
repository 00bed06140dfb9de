"""Regions of a scene as coverage: each shape once for the whole sheet, softened and combined."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from operator import attrgetter
from pathlib import Path

import numpy as np

from glaze.errors import InputError, unknown
from glaze.picture.cores import cores
from glaze.picture.on_disk import filled_field
from glaze.region.areas import Areas, drawn_on
from glaze.region.cover import (
    Boxed,
    Cover,
    all_of,
    kept_inside,
    on_finer,
    take_away,
    told_hardly_inside,
    united,
)
from glaze.region.grade import Share, eased_along
from glaze.region.kept_areas import areas_found
from glaze.region.leaks import told_leaks
from glaze.region.numbered import in_words, matched, read_kept
from glaze.region.outline import bounds, fill, outlines_of
from glaze.region.own_mask import painted_mask
from glaze.region.records import SHEET, Gaps, Graded, Region
from glaze.region.shared import shared_words
from glaze.region.soft import softened
from glaze.sheet.field import box_of
from glaze.sheet.memory import Key, MadeFrom, Memory, file_key
from glaze.sheet.units import FULL, Mask
from glaze.sketch.line import MM_PER_INCH, Sketch

# what is wanted of a region doesn't change its shape
_SHAPE_OF = attrgetter(*(key for key in Region.model_fields if key != "want_value"))


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
    gaps : how lines close to areas
    drawn : the sketch as it was read, with its key, where `sketch` has coarser or finer pixels
    keys : what each region is made from, by name
    """

    named: Mapping[str, Region]
    sketch: Sketch
    sketch_key: Key = "a sketch of its own"
    file: Callable[[str], Path] = _no_file
    painted: Mapping[str, Cover] = field(default_factory=dict)
    memory: Memory = field(default_factory=Memory)
    gaps: Gaps = field(default_factory=Gaps)
    drawn: tuple[Sketch, Key] | None = None
    keys: dict[str, Key] = field(default_factory=dict)

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
        gaps = {one.gap_mm for one in self.named.values() if one.area or one.enclosed_at_mm}
        with ThreadPoolExecutor(cores()) as pool:
            for gap in gaps:
                pool.submit(self.areas, gap)
            made = {name: pool.submit(self.cover, name) for name in self.named}
        for name, cover in made.items():
            try:
                found[name] = cover.result()
            except InputError as error:
                problems += error.problems
        if problems:
            raise InputError(dict.fromkeys(problems))
        return found

    def notes(self, steps_own: Mapping[str, Region] | None = None) -> tuple[str, ...]:
        """What was noticed about the regions, a sentence each.

        steps_own : regions that steps have for themselves, by the name they go by
        """
        told: dict[str, str] = {}  # a gap that several regions run through is told once
        for name in self.named:
            for note in self.cover(name).notes:
                told.setdefault(note, f'region "{name}": {note}')
        now = self._now if any(region.area for region in self.named.values()) else {}
        told.update((note, note) for note in shared_words(self.named, self.areas, now))
        for name, region in (steps_own or {}).items():
            for note in self.cover(region).notes:
                told.setdefault(note, f"{name}: {note}")
        return tuple(told.values())

    def grade(self, graded: Graded) -> tuple[Share, Key]:
        """Film of a graded wash as a share of its full film, 0 to 1, and what it was made from.

        Along a line it eases in and out (3t^2 - 2t^3), as a wash carried down a board does, so that
        neither end shows; beyond the line it stays. A picture gives its own values, white = full.

        Of shape (rows, columns).
        """
        picture = None if graded.picture is None else file_key(self.file(graded.picture))
        key = "grade", graded, picture, self.sketch_key
        return self.memory.made(key, lambda: self._graded(graded)), key

    def areas(self, gap_mm: float | None = None) -> Areas:
        """The areas that lines enclose, shape (rows, columns), gaps up to `gap_mm` [mm] closed.

        The scene's own `gap_mm` by default.
        """
        return self.memory.made(self._areas_key(gap_mm), lambda: self._found(gap_mm))

    def numbers(self) -> dict[int, int] | None:
        """For each number that is kept and found again, the number of its area in this sketch.

        None where no numbers are kept: then they are the sketch's own.
        """
        if self.gaps.numbered is None:
            return None
        kept = self.file(self.gaps.numbered)
        key = "numbers", file_key(kept), self._areas_key(None)
        return self.memory.made(key, lambda: matched(read_kept(kept), self.areas().listed))

    def _found(self, gap_mm: float | None) -> Areas:
        sketch, key = self.drawn or (self.sketch, self.sketch_key)
        drawn = lambda: self.memory.made(("drawn", key), lambda: drawn_on(sketch))  # noqa: E731
        gap = self.gaps.gap_mm if gap_mm is None else gap_mm
        return areas_found(sketch, gap, self.gaps.open_at_mm, drawn)

    def _areas_key(self, gap_mm: float | None) -> Key:
        gap = self.gaps.gap_mm if gap_mm is None else gap_mm
        return "areas", gap, self.gaps.open_at_mm, (self.drawn or (None, self.sketch_key))[1]

    def _covered(self, numbers: Iterable[int], gap_mm: float | None) -> Boxed:
        """Coverage of areas by their numbers in the sketch as it was read."""
        areas = self.areas(gap_mm)
        if self.drawn is None:
            return areas.cover(numbers)
        if self.drawn[0].dpi < self.sketch.dpi:
            return on_finer(areas.cover(numbers).mask, self.sketch.shape)
        key = "on coarser pixels", self._areas_key(gap_mm), self.sketch_key
        return self.memory.made(key, lambda: areas.on_pixels(self.sketch)).cover(numbers)

    # ---- what a region is made from

    def made_from(self) -> list[Key]:
        """The keys of all regions, and of what any other would be made from."""
        named = (self._key(name, ()) for name in self.named)
        return [*named, self.sketch_key, self._areas_key(None)]

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
            if region not in self.keys or self.painted:  # under the brush keys come and go
                self.keys[region] = self._key(self.named[region], (*waiting, region))
            return self.keys[region]
        needs = tuple(self._key(name, waiting) for name in region.needs)
        mask = None if region.mask is None else file_key(self.file(region.mask))
        shape = _SHAPE_OF(region)
        return MadeFrom(("region", shape, needs, mask, self.sketch_key, self._lines_key(region)))

    def _lines_key(self, region: Region) -> Key:
        """What of the scene's areas a region is made from."""
        if not (region.area or region.enclosed_at_mm):
            return None
        kept = self.gaps.numbered if region.area else None
        return self._areas_key(region.gap_mm), None if kept is None else file_key(self.file(kept))

    def _made(self, region: str | Region, key: Key) -> Cover:
        if isinstance(region, Region):
            made, notes = self._combined("a step's own region", region)
        elif region == SHEET:
            made, notes = all_of(self.sketch.shape), []
        else:
            made, notes = self._combined(f'region "{region}"', self.named[region])
        made.mask.flags.writeable = False
        of = self.named.get(region) if isinstance(region, str) else region
        return Cover(made.mask, key, tuple(notes), made.box, painted=bool(of and of.mask))

    def _combined(self, name: str, region: Region) -> tuple[Boxed, list[str]]:
        """A region's shape, softened, kept inside others, less others; worked on in its box."""
        notes: list[str] = []
        if region.union:
            made = united([self.cover(other) for other in region.union])
        else:
            try:
                made, notes = self._shape(region)
            except InputError as error:
                raise InputError([f"{name}: {problem}" for problem in error.problems]) from None
        if region.soft_mm:
            made = softened(made.tight, region.soft_mm * self.sketch.dpi / MM_PER_INCH)
        if region.inside:
            shaped = made
            made = kept_inside(made, [self.cover(other) for other in region.inside])
            notes = [*notes, *told_hardly_inside(region.inside, shaped, made)]
        take_away(made, map(self.cover, region.minus))
        made = made.tight
        if made.box.empty:
            width, height = self.sketch.size_mm
            raise InputError(
                f"{name} is empty: nothing of it is left on the sheet of {width:.0f} x "
                f"{height:.0f} mm. Check its place in mm, and what it is kept inside of or taken "
                "from."
            )
        return made, notes

    def _shape(self, region: Region) -> tuple[Boxed, list[str]]:
        if region.area:
            return self._numbered(region.area)
        if region.enclosed_at_mm:
            return self._enclosed(region)
        if region.mask is not None:
            mask = self._grey(region.mask)
            return kept_inside(Boxed(mask, box_of(mask)), ()), []
        outlines = outlines_of(region, self.sketch.dpi / MM_PER_INCH)
        return Boxed(fill(outlines, self.sketch.shape), bounds(outlines, self.sketch.shape)), []

    def _numbered(self, numbers: tuple[int, ...]) -> tuple[Boxed, list[str]]:
        """Areas by number; those that the sketch no longer has are told."""
        areas, now = self.areas(), self._now
        lost = sorted(set(numbers) - set(now))
        if len(lost) == len(set(numbers)):
            raise InputError(
                f"area {in_words(lost)} can't be found in the sketch; it has {len(now)} areas. "
                "`glaze areas` draws them with their numbers."
            )
        notes = [f"area {in_words(lost)} can't be found in the sketch and is left out."]
        known = {area.number: area for area in areas.listed}
        there = [known[now[n]] for n in sorted(set(numbers) - set(lost))]
        through = told_leaks(areas.leaks.through(area.at_mm for area in there), True)
        found = self._covered((area.number for area in there), None)
        return found, [*(notes if lost else []), *through]

    @property
    def _now(self) -> Mapping[int, int]:
        """Number of the area in this sketch for each number that regions may use."""
        kept = self.numbers()
        return {a.number: a.number for a in self.areas().listed} if kept is None else kept

    def _enclosed(self, region: Region) -> tuple[Boxed, list[str]]:
        """Areas round points, and a sentence for each that has run out through a gap."""
        areas = self.areas(region.gap_mm)
        numbers, problems = set(), []
        for point in region.enclosed_at_mm:
            try:
                numbers.add(areas.at(point))
            except InputError as error:
                problems += error.problems
        if problems:
            raise InputError(problems)
        # who closes no gap at all has said that all are meant
        through = areas.leaks.through(region.enclosed_at_mm) if areas.gap_mm else []
        return self._covered(numbers, region.gap_mm), told_leaks(through)

    def _grey(self, name: str) -> Mask:
        drawn = self.sketch if self.drawn is None else self.drawn[0]
        return painted_mask(self.file(name), name, drawn, self.sketch)

    def _graded(self, graded: Graded) -> Share:
        if graded.picture is not None:
            made = filled_field(self.sketch.shape, np.float32)
            return np.divide(self._grey(graded.picture), np.float32(FULL), out=made)
        return eased_along(graded, self.sketch.shape, MM_PER_INCH / self.sketch.dpi)
