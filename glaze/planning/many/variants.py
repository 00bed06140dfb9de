"""One scene with many values: all combinations painted small, and how far each is off the first."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, number_of
from glaze.materials.parts_told import parts_words
from glaze.painting.settle import resolve, sketch_key_of
from glaze.patch.band import Band, promise_of
from glaze.patch.trust import bands_of
from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, xyz_from_rgb
from glaze.picture.resized import reduce
from glaze.pipeline import linear_rgb
from glaze.planning.many.spread import Job, Progress, done
from glaze.planning.recipe.thinned import diluted_text
from glaze.planning.sheet.step_bands import fullest, layers_at
from glaze.scene.changed import ASIDE, Change, step_number, with_changes
from glaze.scene.file import load_scene
from glaze.scene.laid_out import sketch_of, table_of_scene
from glaze.scene.records import Scene
from glaze.sheet.memory import Memory

MOST = 96
"""Combinations on one contact sheet: 12 to 24 pages of A4."""
ACROSS_PX = 480
"""Pixels of the longer side of each: 58 mm at 210 dpi."""
PARTS = "parts"
"""In place of a key: parts of water to a wash's ink, or to a lift's bleach."""
COUNTED = {"coats": "coat", "touches": "touch", "minutes": "minute"}
"""Keys that are told as so many of a thing."""
THE_SHEET = ("dpi", "size_mm", "sketch")
"""Keys that would make another sheet of it, which can't be laid over the first."""
MOST_OFF = 0.99
"""The share of a sheet that is off by no more than is told as the most."""


@dataclass(frozen=True, eq=False)
class Seen:
    """A scene painted small.

    linear_rgb : linear sRGB [-], not mapped into the gamut, float32, shape (rows, columns, 3)
    size_mm : of the sheet
    bleached : whether bleach is laid on it
    band : value of the step that is varied, where it lies fullest; None without one
    notes : what is to be known of it
    """

    linear_rgb: NDArray[np.float32]
    size_mm: tuple[float, float]
    bleached: bool
    band: Band | None
    notes: tuple[str, ...]

    @cached_property
    def lab(self) -> NDArray[np.float64]:
        """CIELAB (D65), shape (rows, columns, 3)."""
        return lab_from_xyz(xyz_from_rgb(self.linear_rgb), D65_XYZ)

    def off(self, other: Seen) -> tuple[float, float]:
        """How far it is from another of its size: in the mean, and the most [CIEDE2000]."""
        apart = delta_e_2000(other.lab, self.lab)
        return float(apart.mean()), float(np.quantile(apart, MOST_OFF))


@dataclass(frozen=True, eq=False)
class Variant:
    """One combination.

    changes : as asked for
    as_it_is : whether that is what the scene has
    mean_off, most_off : from the first [CIEDE2000]
    """

    changes: tuple[Change, ...]
    scene: Scene
    as_it_is: bool
    seen: Seen
    mean_off: float
    most_off: float

    @property
    def words(self) -> list[str]:
        """What was changed, a line each."""
        return [words_of(change, self.scene) for change in self.changes]

    @property
    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "changed": {change.place: change.value for change in self.changes},
            "words": self.words,
            "as_it_is": self.as_it_is,
            "de00_mean": round(self.mean_off, 2),
            "de00_most": round(self.most_off, 2),
            **({"band": self.seen.band.as_dict() | {"value": round(self.seen.band.best, 2)}}
               if self.seen.band else {}),
        }  # fmt: skip


@dataclass(frozen=True, eq=False)
class Variants:
    """All combinations of some values in a scene, the last ones varied quickest.

    scene : as it is
    step : the one whose value is told; "" for none
    """

    scene: Scene
    axes: tuple[tuple[Change, ...], ...]
    step: str
    each: tuple[Variant, ...]

    @property
    def note(self) -> str:
        """What the figures beside each mean."""
        of = f'Value: of "{self.step}", where it lies fullest. ' if self.step else ""
        return (
            f"{of}Off: from number 1, in the mean over the sheet and at most (99 of 100 places), "
            "CIEDE2000; 1 can just be seen."
        )

    @property
    def promise(self) -> str:
        """What the values may be relied on for."""
        return promise_of([one.seen.band for one in self.each if one.seen.band])

    @property
    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "step": self.step or None,
            "variants": [one.as_dict for one in self.each],
            "promise": self.promise,
        }

    @cached_property
    def bleached(self) -> bool:
        """Whether bleach is laid in any."""
        return any(one.seen.bleached for one in self.each)

    @cached_property
    def notes(self) -> list[str]:
        """What is to be known of some of them, each once."""
        return list(dict.fromkeys(note for one in self.each for note in one.seen.notes))


def vary(
    path: str,
    axes: Sequence[Sequence[Change]],
    scheduler: str | None = None,
    progress: Progress = lambda share: None,
) -> Variants:
    """Paint a scene with every combination of values.

    Parameters
    ----------
    path : of the scene
    axes : for each thing that is varied its values
    scheduler : as in `glaze.planning.many.spread.done`

    Raises
    ------
    InputError : for values that the scene can't have, and for too many of them
    """
    scene = load_scene(path)
    count = int(np.prod([len(axis) for axis in axes], dtype=object)) if axes else 0
    if not 2 <= count <= MOST:
        raise InputError(
            f"That makes {number_of(count, 'combination')}; a contact sheet takes 2 to {MOST}"
            ". Give several values of at least one thing, as --parts 4,8, and leave some out of "
            "many."
        )
    if others := [axis[0].key for axis in axes if axis[0].key in THE_SHEET]:
        raise InputError(f"{others[0]}: every way has to be of one sheet; leave it as it is.")
    combined = list(itertools.product(*axes))
    _all_right(scene, [(change,) for axis in axes for change in axis])
    scenes = _all_right(scene, combined)
    step = next((axis[0].step for axis in axes if axis[0].step), "")
    jobs = [Job(path, (changes, step)) for changes in combined]
    found = done(painted_small, jobs, scheduler, progress, scenes)
    if problems := [p for one in found if isinstance(one, InputError) for p in one.problems]:
        raise InputError(dict.fromkeys(problems))
    each = (
        Variant(changes, changed, changed == scene, seen, *seen.off(found[0]))
        for changes, changed, seen in zip(combined, scenes, found, strict=True)
    )
    return Variants(scene, tuple(map(tuple, axes)), step, tuple(each))


def _all_right(scene: Scene, combined: Sequence[Sequence[Change]]) -> list[Scene]:
    """The changed scenes; all that is wrong with any of them is told at once."""
    scenes, problems = [], []
    for changes in combined:
        try:
            scenes.append(_changed(scene, changes))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(dict.fromkeys(problems))
    return scenes


def painted_small(
    path: str, memory: Memory | None, changes: Sequence[Change] = (), step: str = ""
) -> Seen:
    """A scene with some values changed, as it stands on a contact sheet."""
    scene = _changed(load_scene(path), changes)
    memory = memory or Memory()
    sketch = memory.made(sketch_key_of(scene), lambda: sketch_of(scene))
    scale = min(1.0, ACROSS_PX / max(sketch.shape))
    painting = resolve(scene, memory=memory, scale=scale)
    linear = reduce(linear_rgb(painting), scale / painting.scale)
    told = [one.name for one in scene.steps]
    band = None
    if step in told:
        number = told.index(step)
        layers = layers_at(painting, fullest(painting.steps[number]), number + 1)
        band = bands_of(painting.table, [layers])[0][0]
    return Seen(
        linear,
        painting.size_mm,
        any(one.liquid == "bleach" for one in scene.steps),
        band,
        painting.notes,
    )


def _changed(scene: Scene, changes: Sequence[Change]) -> Scene:
    """The scene with some values changed, parts of water told as the file has them."""
    before = [change for change in changes if change.key not in (PARTS, ASIDE)]
    scene = with_changes(scene, before)
    parts = [_parts(scene, change) for change in changes if change.key == PARTS]
    return with_changes(scene, [*parts, *(c for c in changes if c.key == ASIDE)])


def _parts(scene: Scene, change: Change) -> Change:
    """So many parts of water as a wash's mix, or as what a lift says."""
    step = scene.steps[step_number(scene, change.step)]
    if step.bleach_parts_water is not None:
        return Change("parts_water", change.value, change.step)
    if not step.recipe:
        raise InputError(
            f'"{change.step}" is a {step.kind}: no ink and no bleach to let down with water.'
        )
    mix = diluted_text(step.recipe, change.value, table_of_scene(scene))
    return Change("mix", mix, change.step)


def words_of(change: Change, scene: Scene) -> str:
    """A changed value in a painter's words; another than the usual ones as the file writes it."""
    value, bleach = change.value, ""
    if change.key == ASIDE:
        return f"without {change.step}" if value else f"with {change.step}"
    if change.key == PARTS:
        kinds = {step.name: step.bleach_parts_water for step in scene.steps}
        bleach = "bleach" if kinds.get(change.step) is not None else ""
        return parts_words(value, of=bleach)
    if change.key in COUNTED:
        return number_of(value, COUNTED[change.key])
    told = {
        "mix": f"{value}",
        "film_ml_per_m2": f"{value} ml/m²",
        "paper": f"{value} paper",
        "light": f"light {value}",
        "bleach.percent": f"bleach of {value} %",
        "hand": f"a {value} hand",
        "seed": f"day {value}",
    }
    return told.get(change.key, f"{change.place} = {value}")
