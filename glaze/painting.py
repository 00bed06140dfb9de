"""A scene worked out to numbers: for every step, what it brings to each pixel of the sheet.

Regions, grades, drying lines and the creep of bleach look sideways; they are settled here, once
for the whole sheet, as 16-bit fields. All that follows (`glaze.pipeline`) works pixel by pixel.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import takewhile
from typing import Any
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from glaze.field import zero_field
from glaze.kernel.unevenness import unevenness
from glaze.lift import Chemistry, Touch, chemistry_of, touch_of, touch_of_wash
from glaze.light import load_light
from glaze.materials.bleach import Bleach
from glaze.materials.dye import colourants
from glaze.materials.ink import Palette
from glaze.materials.mix import Mix, mix_wells
from glaze.materials.paper import Paper
from glaze.physics.flow import creep, reach_px
from glaze.rect import Rect, squares, whole
from glaze.region.combine import Kept, cover, grade, regions_of
from glaze.scene import WATERPROOF, Graded, Lift, Region, Rinse, Scene, Step, Wash, WaterLift
from glaze.scene_file import palette_of, paper_of, sketch_of
from glaze.scene_names import mix_line
from glaze.sheet import FILM_UNIT
from glaze.sketch import Sketch
from glaze.studio import Studio
from glaze.wash import LaidWash, drying_line, drying_reach_px, work_out

Mask = NDArray[np.uint16]
FULL = 65535
TILE = 256
"""Side of the squares in which fields are settled [px]; squares without an edge are skipped."""

RIM_GAIN = {"drying line": 0.45, "soft": 0.0, "none": 0.0}
"""Dye gained at a drying edge, as a share of the film. Guess: no measurement found."""

LINE_COATS = 1.5
"""Neat coats in the darkest of a pen line. Guess: a nib lays more than a brush."""


@dataclass(frozen=True, eq=False)
class LaidStep:
    """One wash over the whole sheet.

    coverage : where its region is, 65535 = inside, shape (rows, columns)
    thickness : film there, FILM_UNIT = its own film; drying line and grade are in it
    rim : what the drying line adds, FILM_UNIT = one film, only where dyes part in it
    residue : how bleach that an earlier lift left works on, None if there was none
    """

    name: str
    wash: LaidWash
    coverage: Mask
    thickness: Mask
    rim: NDArray[np.int16] | None = None
    residue: tuple[Touch, Chemistry] | None = None


@dataclass(frozen=True, eq=False)
class LiftStep:
    """Touches of bleach.

    dose : share of the full dose after creeping, 65535 = all of it
    coverage : the mark before it creeps, where it is known
    """

    name: str
    dose: Mask
    touch: Touch
    chemistry: Chemistry
    coverage: Mask | None = None


@dataclass(frozen=True, eq=False)
class WaterStep:
    """Clean water: a water lift of some minutes, or a rinse."""

    name: str
    coverage: Mask
    chemistry: Chemistry
    minutes: float
    rinse: bool


PaintedStep = LaidStep | LiftStep | WaterStep


@dataclass(frozen=True, eq=False)
class Painting:
    """Everything the pipeline needs; nothing in it changes while it renders.

    line : transmittance of a waterproof line [-], shape (rows, columns), None if there is none
    """

    studio: Studio
    dpi: float
    shape: tuple[int, int]
    steps: tuple[PaintedStep, ...]
    line: NDArray[np.float32] | None
    notes: tuple[str, ...] = ()

    def until(self, count: int) -> Painting:
        """The same painting after its first `count` steps."""
        return replace(self, steps=self.steps[:count])

    def unlifted(self) -> Painting:
        """The same painting as if no bleach came near it."""
        return replace(self, steps=tuple(s for s in self.steps if not isinstance(s, LiftStep)))

    def glowing(self) -> Painting:
        """The same painting with the light that fluorescent dyes give back."""
        return replace(self, studio=replace(self.studio, neon=True))

    def taken(self, index: tuple[Any, Any]) -> Painting:
        """A painting of some of its pixels only, chosen as numpy indexes an array.

        Pixels go their own way, so each looks as it does in the whole, unless washes are stirred.
        """
        steps = tuple(replace(step, **_fields_at(step, index)) for step in self.steps)
        line = None if self.line is None else self.line[index]
        shape = np.empty(self.shape, np.bool_)[index].shape
        return replace(self, shape=shape, steps=steps, line=line)


def _fields_at(step: PaintedStep, index: tuple[Any, Any]) -> dict[str, Any]:
    """The fields of a step at some pixels."""
    fields = ("coverage", "thickness", "rim", "dose")
    found = {name: getattr(step, name, None) for name in fields}
    return {name: field[index] for name, field in found.items() if field is not None}


@dataclass(eq=False)
class Settled:
    """What has been settled for a scene, to be used again when it changes a little.

    A viewer hands the same one to every `resolve`; what no longer holds has to be forgotten.

    Parameters
    ----------
    sketch : once it has been read
    kept : coverage of named regions; regions under the brush may be put there beforehand
    own : coverage of the regions that steps have for themselves
    grades : films of graded washes, as a share
    fields : what washes and lifts bring, by what it follows from
    closed : whether anything new may be worked out; if not, NotSettledError is raised
    """

    sketch: Sketch | None = None
    kept: Kept = field(default_factory=Kept)
    own: dict[Region, Mask] = field(default_factory=dict)
    grades: dict[Graded, NDArray[np.float32]] = field(default_factory=dict)
    fields: dict[tuple[Any, ...], tuple[Mask, Any]] = field(default_factory=dict)
    closed: bool = False

    def copy(self) -> Settled:
        """A copy whose lists are its own; the arrays are shared."""
        kept = Kept(dict(self.kept.covers), dict(self.kept.areas), list(self.kept.notes))
        lists = dict(self.own), dict(self.grades), dict(self.fields)
        return Settled(self.sketch, kept, *lists, self.closed)

    def cover(self, region: str | Region, scene: Scene, sketch: Sketch) -> Mask:
        """Coverage of a region, worked out once."""
        if isinstance(region, str):
            if region not in self.kept.covers:
                self._may_work()
            return cover(region, scene, sketch, self.kept)
        if region not in self.own:
            self._may_work()
            self.own[region] = cover(region, scene, sketch, self.kept)
        return self.own[region]

    def cover_all(self, scene: Scene, sketch: Sketch) -> None:
        """Coverage of every named region, all mistakes told at once."""
        if not scene.regions.keys() <= self.kept.covers.keys():
            self._may_work()
        regions_of(scene, sketch, self.kept)

    def grade(
        self, graded: Graded | None, scene: Scene, sketch: Sketch
    ) -> NDArray[np.float32] | None:
        """Film of a graded wash as a share of its full film; None for a flat one."""
        if graded is None:
            return None
        if graded not in self.grades:
            self._may_work()
            self.grades[graded] = grade(graded, scene, sketch)
        return self.grades[graded]

    def once(self, coverage: Mask, key: tuple[Any, ...], make: Callable[[], Any]) -> Any:
        """What follows from a coverage and a key; the coverage is held, so its id stays its own."""
        place = (id(coverage), *key)
        if place not in self.fields:
            if coverage.any():
                self._may_work()
            self.fields[place] = coverage, make()
        return self.fields[place][1]

    def forget(self, names: set[str], regions: Mapping[str, Region]) -> set[str]:
        """Drop regions that have changed and all that are made from them; gives their names."""
        stale = set(names)
        while more := {n for n, r in regions.items() if stale & set(r.needs)} - stale:
            stale |= more
        gone = [self.kept.covers.pop(name) for name in stale if name in self.kept.covers]
        gone += [self.own.pop(r) for r in list(self.own) if stale & set(r.needs)]
        numbers = {id(coverage) for coverage in gone}
        self.fields = {k: v for k, v in self.fields.items() if k[0] not in numbers}
        return stale

    def _may_work(self) -> None:
        if self.closed:
            raise NotSettledError


class NotSettledError(Exception):
    """Something would have to be worked out that takes long."""


def resolve(
    scene: Scene,
    progress: Callable[[float], None] = lambda share: None,
    *,
    even: bool = False,
    settled: Settled | None = None,
) -> Painting:
    """Work out a scene: read its sketch and regions, and settle every step.

    Parameters
    ----------
    progress : called with the share done, 0 to 1
    even : lay every film perfectly even, without the paper's tooth and the brush's patches
    settled : what is known from a scene that differed a little; it is added to

    Raises
    ------
    InputError : naming what can't be painted
    """
    table = table_of(scene)
    settled = Settled() if settled is None else settled
    settled.sketch = sketch = settled.sketch or sketch_of(scene)
    settled.cover_all(scene, sketch)
    mixes = [table.mix(step.mix) if isinstance(step, Wash) else None for step in scene.steps]
    line_ink = None if scene.line == WATERPROOF else table.mix(f"{scene.line} 1")
    used = [m.contents_g_per_l for m in [line_ink, *mixes] if m is not None]
    dyes = colourants((name for contents in used for name in contents), table.palette.dyes)
    studio = Studio(table.palette, table.paper, load_light(scene.light), dyes)
    settler = Settler(scene, studio, sketch, even, settled)
    steps: list[PaintedStep] = [settler.line(line_ink, sketch.line)] if line_ink else []
    for number, (step, mix) in enumerate(zip(scene.steps, mixes, strict=True)):
        steps.append(settler.step(step, settled.cover(step.region, scene, sketch), mix))
        progress((number + 1) / len(scene.steps))
    shows_line = line_ink is None and bool(sketch.line.min(initial=1.0) < 1.0)
    return Painting(
        studio=studio,
        dpi=sketch.dpi,
        shape=sketch.shape,
        steps=tuple(steps),
        line=sketch.line if shows_line else None,
        notes=(*sketch.notes, *dict.fromkeys(settled.kept.notes)),
    )


@dataclass(frozen=True, eq=False)
class Table:
    """The bottles, wells and paper a scene names."""

    palette: Palette
    paper: Paper
    wells: Mapping[str, Mix]

    def mix(self, text: str) -> Mix:
        """A recipe, or the stock mix of a well, of this table."""
        return mix_line(text, self.palette, self.wells)


def table_of(scene: Scene) -> Table:
    """The palette, wells and paper of a scene: built-in names, or files in its folder."""
    palette = palette_of(scene)
    return Table(palette, paper_of(scene), mix_wells(scene.wells, palette))


@dataclass(frozen=True, eq=False)
class Settler:
    """Turns steps of a scene into fields over its sheet."""

    scene: Scene
    studio: Studio
    sketch: Sketch
    even: bool = False
    settled: Settled = field(default_factory=Settled)

    def step(self, step: Step, coverage: Mask, mix: Mix | None) -> PaintedStep:
        """One step over the whole sheet."""
        if isinstance(step, Wash):
            assert mix is not None
            return self.wash(step, coverage, mix)
        if isinstance(step, Lift):
            return self.lift(step, coverage)
        if isinstance(step, WaterLift):
            return WaterStep(step.name, coverage, self.chemistry(), step.minutes, rinse=False)
        assert isinstance(step, Rinse)
        return WaterStep(step.name, coverage, self.chemistry(), 0.0, rinse=True)

    def wash(self, step: Wash, coverage: Mask, mix: Mix) -> LaidStep:
        """A wash: its region times its grade, with its drying line."""
        laid = work_out(mix, step.coats, step.film_ml_per_m2, self.studio.paper, self.studio.dyes)
        key = (step.graded, step.edge, step.name, round(laid.mean_mobility, 9), laid.separates)
        thickness, rim = self.settled.once(coverage, key, lambda: self.film(step, coverage, laid))
        residue = None
        if any(isinstance(earlier, Lift) for earlier in before(self.scene, step)):
            touch = touch_of_wash(step.film_ml_per_m2, self.scene.room, self.studio.paper)
            residue = touch, self.chemistry()
        return LaidStep(step.name, laid, coverage, thickness, rim, residue)

    def film(
        self, step: Wash, coverage: Mask, laid: LaidWash, rect: Rect | None = None
    ) -> tuple[Mask, NDArray[np.int16] | None]:
        """Thickness of a wash, and what its drying line moves where its dyes part.

        A rectangle of it can be had alone; near its edges the drying line is then wrong.
        """
        rect = rect or whole(self.sketch.shape)
        cover, dpi = coverage[rect.slices], self.sketch.dpi
        gain = RIM_GAIN[step.edge]
        rim = zero_field(rect.shape, np.int16) if gain and laid.separates else None
        if not cover.any():
            return zero_field(rect.shape), rim
        graded = self.settled.grade(step.graded, self.scene, self.sketch)
        thickness = film_of(cover, None if graded is None else graded[rect.slices])
        if not self.even:
            corner = rect.top, rect.left
            make_uneven(thickness, self.studio.paper.surface, step.name, dpi, corner)
        if gain:
            add_drying_line(cover, thickness, rim, laid, self.studio.paper.rim_mm, gain, dpi)
        return thickness, rim

    def again(self, painted: PaintedStep, step: Step, rect: Rect) -> Rect:
        """Settle a step again where its coverage has changed, in place; gives where it reached."""
        shape, dpi, paper = self.sketch.shape, self.sketch.dpi, self.studio.paper
        if isinstance(painted, LaidStep) and isinstance(step, Wash):
            reach = drying_reach_px(paper.rim_mm, dpi) if RIM_GAIN[step.edge] else 0
            inner = rect.grown(reach, shape)
            outer = inner.grown(reach, shape)
            here = inner.inside(outer).slices
            thickness, rim = self.film(step, painted.coverage, painted.wash, outer)
            painted.thickness[inner.slices] = thickness[here]
            if painted.rim is not None and rim is not None:
                painted.rim[inner.slices] = rim[here]
            return inner
        if isinstance(painted, LiftStep) and painted.coverage is not None:
            reach = reach_px(paper.creep_mm, dpi)
            inner = rect.grown(reach, shape)
            outer = inner.grown(reach, shape)
            dose = crept(painted.coverage[outer.slices], paper.creep_mm, dpi)
            painted.dose[inner.slices] = dose[inner.inside(outer).slices]
            return inner
        return rect

    def lift(self, step: Lift, coverage: Mask) -> LiftStep:
        """Touches of bleach that creep past their mark."""
        paper, dpi = self.studio.paper, self.sketch.dpi
        dose = self.settled.once(coverage, ("dose",), lambda: crept(coverage, paper.creep_mm, dpi))
        return LiftStep(
            step.name,
            dose,
            touch_of(step, self.bleach, self.scene.room, paper),
            self.chemistry(step.parts_water),
            coverage,
        )

    @property
    def bleach(self) -> Bleach:
        """The scene's bottle."""
        bottle = self.scene.bleach
        return Bleach(bottle.percent, bottle.ph, bottle.age_months, bottle.storage_c)

    def chemistry(self, parts_water: float = 0.0) -> Chemistry:
        """How the sheet answers to that bleach, so diluted."""
        ph = self.bleach.diluted_ph(parts_water)
        room = self.scene.room
        return chemistry_of(self.studio.dyes, self.studio.paper, room.temperature_c, ph)

    def line(self, mix: Mix, line: NDArray[np.float32]) -> LaidStep:
        """The sketch's own line, drawn in an ink: as much of a neat coat as the line is dark."""
        laid = work_out(
            mix, LINE_COATS, self.studio.paper.film_ml_per_m2, self.studio.paper, self.studio.dyes
        )
        dark = np.float32(FULL) * (1 - line)
        coverage = np.rint(dark).astype(np.uint16)
        return LaidStep("the sketch's line", laid, coverage, film_of(coverage, None))


def before(scene: Scene, step: Step) -> Iterator[Step]:
    """The steps that come before a step."""
    return takewhile(lambda other: other is not step, scene.steps)


def film_of(coverage: Mask, graded: NDArray[np.float32] | None) -> Mask:
    """Film thickness in units of 1/FILM_UNIT of a covered region, graded or flat."""
    share = np.float32(FILM_UNIT / FULL)
    out: Mask = zero_field((coverage.shape[0], coverage.shape[1]))
    for square in squares(whole(out.shape), TILE):
        covered = coverage[square.slices]
        if covered.any():
            film = covered * share if graded is None else covered * share * graded[square.slices]
            out[square.slices] = np.rint(film)
    return out


def make_uneven(
    thickness: Mask, surface: str, name: str, dpi: float, corner: tuple[int, int] = (0, 0)
) -> None:
    """Let the paper's tooth and the brush's patches show in a film, in place.

    corner : row and column of the film's first pixel on the sheet
    """
    for square in squares(whole(thickness.shape), TILE):
        film = thickness[square.slices]
        if film.any():
            top, left = square.top + corner[0], square.left + corner[1]
            factor = unevenness(top, left, square.shape, dpi, surface, crc32(name.encode()))
            thickness[square.slices] = np.minimum(np.rint(film * factor), FULL)


def add_drying_line(
    coverage: Mask,
    thickness: Mask,
    rim: NDArray[np.int16] | None,
    laid: LaidWash,
    rim_mm: float,
    gain: float,
    dpi: float,
    within: Rect | None = None,
) -> None:
    """Add a wash's drying line to its thickness, and to `rim` where its dyes part; in place.

    `within` limits the work to a rectangle, whose thickness has to be without a rim so far; it
    has to be surrounded by its reach of the same.
    """
    reach = drying_reach_px(rim_mm, dpi)
    dry = thickness.copy()
    for inner in squares(within or whole(coverage.shape), TILE):
        outer = inner.grown(reach, coverage.shape)
        cover = coverage[outer.slices]
        if cover.min() == cover.max():
            continue
        film = _share(dry[outer.slices], FILM_UNIT)
        line = drying_line(_share(cover, FULL), film, rim_mm, gain, dpi)
        line = line[inner.inside(outer).slices]
        rimmed = dry[inner.slices] + line * np.float32(laid.mean_mobility * FILM_UNIT)
        thickness[inner.slices] = np.clip(np.rint(rimmed), 0, FULL)
        if rim is not None:
            rim[inner.slices] = np.clip(np.rint(line * FILM_UNIT), -FILM_UNIT, FILM_UNIT - 1)


def crept(coverage: Mask, creep_mm: float, dpi: float) -> Mask:
    """Dose of bleach, 65535 = full, after it has crept past its mark."""
    reach = reach_px(creep_mm, dpi)
    dose: Mask = zero_field((coverage.shape[0], coverage.shape[1]))
    for inner in squares(whole(coverage.shape), TILE):
        outer = inner.grown(reach, coverage.shape)
        cover = coverage[outer.slices]
        if cover.max() == 0:
            continue
        if cover.min() == FULL:
            dose[inner.slices] = FULL
            continue
        spread = creep(_share(cover, FULL), creep_mm, dpi)[inner.inside(outer).slices]
        dose[inner.slices] = np.rint(spread * np.float32(FULL))
    return dose


def _share(field: Mask, unit: int) -> NDArray[np.float32]:
    """A 16-bit field as shares, `unit` = 1."""
    return np.multiply(field, np.float32(1 / unit), dtype=np.float32)
