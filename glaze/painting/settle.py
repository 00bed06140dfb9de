"""A scene worked out to numbers: for every step, what it brings to each pixel of the sheet.

Regions, grades, drying lines and the creep of bleach look sideways; they are settled here, once
for the whole sheet, as 16-bit fields. All that follows (`glaze.pipeline`) works pixel by pixel.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.painting.budget import check_disk, check_memory
from glaze.painting.notes import notes_of
from glaze.patch.table import Table
from glaze.picture.cores import cores
from glaze.picture.resized import check_scale, scaled
from glaze.picture.true_size import TrueSize
from glaze.region.combine import Regions
from glaze.region.cover import Cover
from glaze.scene.laid_out import sketch_of, table_of_scene
from glaze.scene.records import WATERPROOF, Scene
from glaze.sheet.field import zero_field
from glaze.sheet.memory import Key, Memory, file_key
from glaze.sheet.rect import squares, whole
from glaze.sheet.units import FULL
from glaze.sketch.line import Sketch
from glaze.step.film import TILE, film_of
from glaze.step.ground import Ground, coarser_cell_mm
from glaze.step.kind import PaintedStep, Step
from glaze.step.steadiness import HANDS, Steadiness
from glaze.step.wash_step import PaintedWash, Wash

LINE_COATS = 1.5
"""Neat coats in the darkest of a pen line. Guess: a nib lays more than a brush."""


FINER = 2
"""A smaller picture is settled at so many times its own resolution, and then reduced."""
LARGEST_SCALE = 100.0
"""A picture is at most so many times as fine as its sketch."""
DARKEST = 0.2
"""A line darker than that is taken for black, not for a grey. Guess."""


@dataclass(frozen=True, eq=False)
class Painting(TrueSize):
    """Everything the pipeline needs; nothing in it changes while it renders.

    Attributes
    ----------
    table : with columns for the dyes in use
    steps : those of the scene, settled, in painting order
    line : transmittance of a waterproof line [-], shape (rows, columns); None if there is none
    line_black : transmittance of the darkest that the line was drawn with [-]
    drawn : a line drawn with an ink that runs and lifts, under all steps; None if there is none
    scale : share of the sketch's resolution that it is settled at
    """

    table: Table
    dpi: float
    shape: tuple[int, int]
    steps: tuple[PaintedStep, ...]
    line: NDArray[np.float32] | None = None
    line_black: float = 0.0
    drawn: PaintedWash | None = None
    notes: tuple[str, ...] = ()
    scale: float = 1.0

    @property
    def layers(self) -> tuple[PaintedStep, ...]:
        """All that lies on the sheet, the lowest first: the line if an ink drew it, then steps."""
        return self.steps if self.drawn is None else (self.drawn, *self.steps)

    @property
    def lasting(self) -> list[PaintedStep]:
        """Layers without those that a later one has taken up."""
        return lasting(self.layers)

    @property
    def black(self) -> NDArray[np.float32]:
        """The line's black on bare paper: linear sRGB, and its transmittance [-], shape (4,)."""
        paper = self.table.paper_reflectance @ self.table.light.display_weights
        return np.array([*(self.line_black * paper), self.line_black], np.float32)

    def until(self, count: int) -> Painting:
        """The same painting after its first `count` steps."""
        return replace(self, steps=self.steps[:count])

    def unlifted(self) -> Painting:
        """The same painting as if no bleach came near it."""
        return replace(self, steps=tuple(s for s in self.steps if s.step.liquid != "bleach"))

    def glowing(self) -> Painting:
        """The same painting with the light that fluorescent dyes give back."""
        return replace(self, table=replace(self.table, neon=True))

    def taken(self, index: tuple[Any, Any]) -> Painting:
        """A painting of some of its pixels only, chosen as numpy indexes an array.

        Pixels go their own way, so each looks as it does in the whole, unless washes are stirred.
        """
        return replace(
            self,
            shape=np.empty(self.shape, np.bool_)[index].shape,
            steps=tuple(step.taken(index) for step in self.steps),
            line=None if self.line is None else self.line[index],
            drawn=None if self.drawn is None else self.drawn.taken(index),
        )


def lasting(layers: Sequence[PaintedStep]) -> list[PaintedStep]:
    """Layers without those that the next has taken up: what is wet together dries as one."""
    found: list[PaintedStep] = []
    for layer in layers:
        both = layer.taking_up(found[-1]) if found else None
        if both is not None:
            found.pop()
        found.append(both or layer)
    return found


def resolve(
    scene: Scene,
    progress: Callable[[float], None] = lambda share: None,
    *,
    even: bool = False,
    memory: Memory | None = None,
    painted: Mapping[str, Cover] | None = None,
    scale: float = 1.0,
    on_disk: Path | None = None,
) -> Painting:
    """Work out a scene: read its sketch and regions, and settle every step.

    Parameters
    ----------
    progress : called with the share done, 0 to 1
    even : lay every film perfectly even, as no hand does
    memory : what has been settled before; what is still true of this scene is taken from it, the
        rest is added to it. Without one nothing is kept but the painting
    painted : coverage of regions that are being painted, by name, in place of the scene's own
    scale : of the largest picture that is wanted: for a small one the sheet is settled on coarser
        pixels, FINER times as fine as its own; above 1 on finer ones than the sketch's. Areas are
        those of the sketch as it was read
    on_disk : the folder of `glaze.picture.on_disk` where its fields lie, if they do

    Raises
    ------
    InputError : naming what can't be painted
    """
    # what is on the table, and of the sheet
    settled_at = max(min(1.0, FINER * scale), scale)
    regions = regions_of(scene, memory, painted, scale)
    size = regions.sketch.line.size, regions.sketch.dpi
    check_memory(scene, *size) if on_disk is None else check_disk(scene, *size, on_disk)
    regions.all()
    whole_table, sketch = table_of_scene(scene), regions.sketch
    line_mix = None if scene.line == WATERPROOF else whole_table.mix(f"{scene.line} 1")
    mixes = [whole_table.mix(step.recipe) for step in scene.steps if step.recipe]
    table = whole_table.only([*mixes, *([line_mix] if line_mix else [])])
    covers = [regions.cover(step.region) for step in scene.steps]
    notes = notes_of(scene, regions, table)
    if memory is None:  # nobody asks again: areas and regions that no step is laid over go
        regions.memory.kept.clear()
    # each step over the whole sheet
    hand = None if even else _hand_of(scene)
    ground = _ground(table, regions, hand, settled_at)
    steps = _settled(scene, covers, ground, progress)
    # the sketch's own line: light it lets through, or an ink like any other
    drawn = None if line_mix is None else _drawn_line(scene, sketch, ground)
    shows_line = drawn is None and bool(sketch.line.min(initial=1.0) < 1.0)
    painting = Painting(
        table=table,
        dpi=sketch.dpi,
        shape=sketch.shape,
        steps=steps,
        line=sketch.line if shows_line else None,
        line_black=_black_of(sketch.line) if shows_line else 0.0,
        drawn=drawn,
        notes=notes,
        scale=settled_at,
    )
    for layer in painting.lasting:
        layer.made_ready()
    return painting


def _black_of(line: NDArray[np.float32]) -> float:
    """Transmittance of the black in a line; 0 where it is all of lighter tones."""
    some = line[::3, ::3]
    dark = some[some < DARKEST]
    return float(np.quantile(dark, 0.25)) if dark.size >= 20 else 0.0


def ground_of(painting: Painting, regions: Regions, scene: Scene) -> Ground:
    """What a painting's steps were settled over, to settle them again where a region changed."""
    return _ground(painting.table, regions, _hand_of(scene), painting.scale)


def _hand_of(scene: Scene) -> Steadiness:
    """How steady the hand is that lays a scene."""
    return Steadiness(HANDS[scene.hand], scene.seed)


def _ground(table: Table, regions: Regions, hand: Steadiness | None, scale: float) -> Ground:
    """What steps are settled over: the table, and the sketch of some regions at that scale."""
    sketch = regions.sketch
    return Ground(
        *(table, sketch.dpi, sketch.shape),
        *(regions.memory, regions.sketch_key, regions.grade),
        line=sketch.line if sketch.path else None,
        hand=hand,
        cell_mm=coarser_cell_mm(scale),
    )


def regions_of(
    scene: Scene,
    memory: Memory | None = None,
    painted: Mapping[str, Cover] | None = None,
    scale: float = 1.0,
) -> Regions:
    """The regions of a scene over its sketch; the sketch is read unless the memory has it.

    scale : as in `resolve`
    """
    check_scale(scale, LARGEST_SCALE)
    memory = Memory() if memory is None else memory
    key = sketch_key_of(scene)
    sketch = memory.made(key, lambda: sketch_of(scene))
    drawn = sketch, key
    if FINER * scale < 1.0:
        rows, columns = scaled(sketch.shape, scale)
        fewer = FINER * rows, FINER * columns
        key = "coarser", key, fewer
        sketch = memory.made(key, lambda: drawn[0].coarser(fewer, FINER * scale))
    elif scale > 1.0:
        more = scaled(sketch.shape, scale)
        key = "finer", key, more
        sketch = memory.made(key, lambda: drawn[0].finer(more, scale))
    files = scene.file, painted or {}, memory, scene.areas
    return Regions(scene.regions, sketch, key, *files, None if sketch is drawn[0] else drawn)


def sketch_key_of(scene: Scene) -> Key:
    """All that a scene's sketch is made from."""
    file = None if scene.sketch is None else file_key(scene.file(scene.sketch))
    return "sketch", file, scene.dpi, scene.size_mm


def _settled(
    scene: Scene, covers: Sequence[Cover], ground: Ground, progress: Callable[[float], None]
) -> tuple[PaintedStep, ...]:
    """The steps over the whole sheet, on all cores."""
    placed = tuple(zip(scene.steps, covers, strict=True))
    grounds = [replace(ground, earlier=placed[:n]) for n in range(len(placed))]
    jobs = list(zip(scene.steps, grounds, covers, strict=True))
    steps: list[PaintedStep] = []
    with ThreadPoolExecutor(cores()) as pool:
        alone = pool.map(_settle, [job for job in jobs if job[0].joins is None])
        for job in jobs:
            # what is laid into something wet takes that up from the memory
            steps.append(next(alone) if job[0].joins is None else _settle(job))
            progress(len(steps) / len(jobs))
    return tuple(steps)


def _settle(job: tuple[Step, Ground, Cover]) -> PaintedStep:
    step, ground, cover = job
    return step.settled(ground, cover)


def _drawn_line(scene: Scene, sketch: Sketch, ground: Ground) -> PaintedWash:
    """The sketch's own line, drawn in an ink: as much of a neat coat as the line is dark."""
    film = ground.table.paper.film_ml_per_m2
    step = Wash(name="the sketch's line", mix=f"{scene.line} 1", region="sheet", edge="none")
    step = step.model_copy(update={"film_ml_per_m2": film * LINE_COATS})
    coverage = zero_field(sketch.shape)
    for rect in squares(whole(sketch.shape), TILE):
        coverage[rect.slices] = np.rint(np.float32(FULL) * (1 - sketch.line[rect.slices]))
    key = "line", ground.sketch_key
    laid = step.constants(ground.table)
    return PaintedWash(step, coverage, key, laid, film_of(coverage, None))
