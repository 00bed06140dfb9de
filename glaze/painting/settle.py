"""A scene worked out to numbers: for every step, what it brings to each pixel of the sheet.

Regions, grades, drying lines and the creep of bleach look sideways; they are settled here, once
for the whole sheet, as 16-bit fields. All that follows (`glaze.pipeline`) works pixel by pixel.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from itertools import takewhile
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.materials.mix import Mix
from glaze.painting.film import FULL, RIM_GAIN, Mask, add_drying_line, crept, film_of, make_uneven
from glaze.painting.memory import Settled
from glaze.patch.table import Table, table_of_scene
from glaze.physics.flow import reach_px
from glaze.scene.file import sketch_of
from glaze.scene.records import WATERPROOF, Lift, Rinse, Scene, Step, Wash, WaterLift
from glaze.sheet.field import zero_field
from glaze.sheet.lift import Chemistry, Touch, Touches, chemistry_of, touch_of, touch_of_wash
from glaze.sheet.rect import Rect, whole
from glaze.sheet.wash import LaidWash, drying_reach_px, work_out
from glaze.sketch.line import Sketch

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

    table: Table
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
        return replace(self, table=replace(self.table, neon=True))

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
    table = table_of_scene(scene)
    settled = Settled() if settled is None else settled
    settled.sketch = sketch = settled.sketch or sketch_of(scene)
    settled.cover_all(scene, sketch)
    mixes = [table.mix(step.mix) if isinstance(step, Wash) else None for step in scene.steps]
    line_ink = None if scene.line == WATERPROOF else table.mix(f"{scene.line} 1")
    table = table.only(mix for mix in [line_ink, *mixes] if mix is not None)
    settler = Settler(scene, table, sketch, even, settled)
    steps: list[PaintedStep] = [settler.line(line_ink, sketch.line)] if line_ink else []
    covers = [settled.cover(step.region, scene, sketch) for step in scene.steps]
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        painted = pool.map(settler.step, scene.steps, covers, mixes)
        for number in range(len(scene.steps)):
            steps.append(next(painted))
            progress((number + 1) / len(scene.steps))
    shows_line = line_ink is None and bool(sketch.line.min(initial=1.0) < 1.0)
    return Painting(
        table=table,
        dpi=sketch.dpi,
        shape=sketch.shape,
        steps=tuple(steps),
        line=sketch.line if shows_line else None,
        notes=(*sketch.notes, *dict.fromkeys(settled.kept.notes)),
    )


@dataclass(frozen=True, eq=False)
class Settler:
    """Turns steps of a scene into fields over its sheet."""

    scene: Scene
    table: Table
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
        laid = work_out(mix, step.coats, step.film_ml_per_m2, self.table.paper, self.table.dyes)
        key = (step.graded, step.edge, step.name, round(laid.mean_mobility, 9), laid.separates)
        thickness, rim = self.settled.once(coverage, key, lambda: self.film(step, coverage, laid))
        residue = None
        if any(isinstance(earlier, Lift) for earlier in before(self.scene, step)):
            touch = touch_of_wash(step.film_ml_per_m2, self.table.room, self.table.paper)
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
            make_uneven(thickness, self.table.paper.surface, step.name, dpi, corner)
        if gain:
            add_drying_line(cover, thickness, rim, laid, self.table.paper.rim_mm, gain, dpi)
        return thickness, rim

    def again(self, painted: PaintedStep, step: Step, rect: Rect) -> Rect:
        """Settle a step again where its coverage has changed, in place; gives where it reached."""
        shape, dpi, paper = self.sketch.shape, self.sketch.dpi, self.table.paper
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
        paper, dpi = self.table.paper, self.sketch.dpi
        dose = self.settled.once(coverage, ("dose",), lambda: crept(coverage, paper.creep_mm, dpi))
        return LiftStep(
            step.name,
            dose,
            touch_of(touches_of(step), self.table.bleach, self.table.room, paper),
            self.chemistry(step.parts_water),
            coverage,
        )

    def chemistry(self, parts_water: float = 0.0) -> Chemistry:
        """How the sheet answers to that bleach, so diluted."""
        table = self.table
        ph = table.bleach.diluted_ph(parts_water)
        return chemistry_of(table.dyes, table.paper, table.room.temperature_c, ph)

    def line(self, mix: Mix, line: NDArray[np.float32]) -> LaidStep:
        """The sketch's own line, drawn in an ink: as much of a neat coat as the line is dark."""
        laid = work_out(
            mix, LINE_COATS, self.table.paper.film_ml_per_m2, self.table.paper, self.table.dyes
        )
        dark = np.float32(FULL) * (1 - line)
        coverage = np.rint(dark).astype(np.uint16)
        return LaidStep("the sketch's line", laid, coverage, film_of(coverage, None))


def touches_of(step: Lift) -> Touches:
    """How a lift of a scene lays its bleach."""
    return Touches(
        *(step.parts_water, step.touches, step.minutes),
        *(step.tool, step.film_ml_per_m2, step.rinse),
    )


def before(scene: Scene, step: Step) -> Iterator[Step]:
    """The steps that come before a step."""
    return takewhile(lambda other: other is not step, scene.steps)
