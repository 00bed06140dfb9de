"""One shadow wash over all the hues that it crosses: which dilution fits most of it.

The hues are read off the sheet, below the wash. Each would need a dilution of its own to be so many
value steps darker; three are tried on all of them, from what the palest needs to what the deepest
does, and the one that misses the wanted drop least (root mean square over the area) is named.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.mix import Mix
from glaze.materials.parts_told import parts_words, told_parts
from glaze.painting.settle import Painting, resolve
from glaze.patch.band import Band, promise_of
from glaze.patch.layers import Laid, Layer
from glaze.patch.patches import value
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.trust import bands_of
from glaze.planning.recipe.coats import MOST_COATS, WEAKEST, coats_for, in_coats
from glaze.planning.recipe.hue import darkened
from glaze.planning.recipe.shadow import check_darker, drift_words
from glaze.planning.recipe.thinned import bottled, diluted_text, neat_mix
from glaze.planning.sheet.crossed import Crossed, crossed_by
from glaze.scene.records import Scene
from glaze.sheet.memory import Memory
from glaze.step.wash_step import PaintedWash, Wash

Array = NDArray[np.float64]

MOST_HUES = 8
"""Told, the largest first; the rest counts in the fit."""
APART = 1.3
"""Strengths that differ less are hardly told apart: a fifth of a value step [guess]."""
FURTHEST = 2.5
"""And those that differ more hardly fit both: a value step and more [guess]."""
TRIED = 60


@dataclass(frozen=True, eq=False)
class Trial:
    """A dilution laid over all the hues.

    dilution, coats : of the ink, and how often it is laid
    mix : its recipe line
    bands : value over each hue
    looks : what each hue becomes
    miss : by how many value steps it misses the wanted drop, root mean square over the area
    """

    dilution: Dilution
    coats: int
    mix: str
    bands: tuple[Band, ...]
    looks: tuple[Look, ...]
    miss: float

    @property
    def words(self) -> str:
        """Coats and parts in words."""
        return parts_words(self.dilution.parts_water, self.coats)


@dataclass(frozen=True, eq=False)
class Shade:
    """A shadow wash over what it crosses.

    region : its name
    step : the wash; number : its place among the steps, from 0
    new : whether the scene had no such step yet
    darker : value steps that were asked for
    crossed, before : the hues, the largest first, and what each looks like
    needed : neat coats that each hue wants; MOST_COATS where none is dark enough
    trials : three dilutions, from the palest on
    """

    scene: Scene
    region: str
    step: Wash
    number: int
    new: bool
    darker: float
    painting: Painting
    crossed: tuple[Crossed, ...] = ()
    before: tuple[Look, ...] = ()
    needed: tuple[float, ...] = ()
    trials: tuple[Trial, ...] = ()

    @cached_property
    def fits(self) -> int:
        """Number of the trial that fits most, from 0."""
        return min(range(len(self.trials)), key=lambda n: self.trials[n].miss)

    def laid(self, trial: Trial | None) -> Painting:
        """The painting just after the shadow of one trial, or before any."""
        if trial is None:
            return self.painting.until(self.number)
        step = self.changed(trial)
        painted = self.painting.steps[self.number]
        assert isinstance(painted, PaintedWash)
        wash = replace(painted, step=step, wash=step.constants(self.painting.table))
        steps = (*self.painting.steps[: self.number], wash)
        return replace(self.painting, steps=steps)

    @property
    def bleached(self) -> bool:
        """Whether bleach is laid before it."""
        return any(s.step.liquid == "bleach" for s in self.painting.steps[: self.number])

    def changed(self, trial: Trial) -> Wash:
        """The step with the mix and the coats of a trial."""
        return self.step.model_copy(update={"mix": trial.mix, "coats": trial.coats})

    @property
    def note(self) -> str:
        """Hues on which so much darker can't be had, in a sentence."""
        out = [
            c.hue.text for c, n in zip(self.crossed, self.needed, strict=True) if n >= MOST_COATS
        ]
        return f"Too dark already for {self.darker:g} steps: {', '.join(out)}." if out else ""

    @property
    def promise(self) -> str:
        """What its values may be relied on for."""
        return promise_of([band for trial in self.trials for band in trial.bands])

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "region": self.region,
            "step": self.step.name,
            "step_is_new": self.new,
            "darker": self.darker,
            "hues": [
                {
                    "hue": one.hue.text,
                    "at_mm": [round(mm, 1) for mm in one.at_mm],
                    "area_cm2": round(one.mm2 / 100, 2),
                    **look.as_dict(),
                }
                for one, look in zip(self.crossed, self.before, strict=True)
            ],
            "dilutions": [self._trial_dict(trial) for trial in self.trials],
            "fits_most": self.fits + 1,
            "note": self.note,
            "promise": self.promise,
        }

    def _trial_dict(self, trial: Trial) -> dict[str, Any]:
        return {
            **trial.dilution.as_dict(),
            "parts": trial.words,
            "coats": trial.coats,
            "mix": trial.mix,
            "off_value_steps": round(trial.miss, 2),
            "on": [
                {
                    "hue": one.hue.text,
                    "value": round(band.best, 2),
                    "band": band.as_dict(),
                    "darker": round(look.value - band.best, 2),
                    "drift": drift_words(look, after),
                }
                for one, look, band, after in zip(
                    self.crossed, self.before, trial.bands, trial.looks, strict=True
                )
            ],
        }


def shade_of(
    scene: Scene,
    region: str,
    darker: float,
    ink: str | None = None,
    progress: Callable[[float], None] = lambda share: None,
) -> Shade:
    """The shadow that makes a region of a scene so many value steps darker.

    Parameters
    ----------
    region : by its name, or by that of the wash that is laid in it; a wash there that lies over
        others is that shadow, else a new one is laid over all that the scene has
    ink : the dark ink, or a mix; by default that of the wash, Black for a new one

    Raises
    ------
    InputError : for a region that isn't there, one without a hue below, and for steps out of range
    """
    check_darker(darker)
    number, step = _step_there(scene, region)
    memory = Memory()
    painting = resolve(scene, progress, memory=memory)
    crosses = step is not None and any(one.hue.layers for one in crossed_by(painting, number))
    if step is None or not crosses:
        where = region if step is None else step.region
        name = _free(scene, f"shadow on {region}")
        step, number = Wash(name=name, mix=ink or "Black", region=where), len(scene.steps)
    elif ink is not None:
        step = step.model_copy(update={"mix": ink})
    if not crosses or ink is not None:
        steps = (*scene.steps[:number], step)
        painting = resolve(scene.model_copy(update={"steps": steps}), memory=memory)
    return _tried(Shade(scene, region, step, number, not crosses, darker, painting))


def _step_there(scene: Scene, region: str) -> tuple[int, Wash | None]:
    """The last wash that is laid in a region, or that has the name; None if there is none."""
    named = [step.name for step in scene.steps]
    if region not in scene.regions and region not in named:
        raise InputError(unknown("region", region, [*scene.regions, *named]))
    for number in reversed(range(len(scene.steps))):
        step = scene.steps[number]
        if isinstance(step, Wash) and region in (step.region, step.name):
            return number, step
    return 0, None


def _free(scene: Scene, name: str) -> str:
    """A name that no step has yet."""
    taken = {step.name for step in scene.steps}
    names = (name, *(f"{name} {n}" for n in range(2, len(taken) + 3)))
    return next(one for one in names if one not in taken)


def _tried(shade: Shade) -> Shade:
    """The same with the hues it crosses, and three dilutions over them."""
    table, step, darker = shade.painting.table, shade.step, shade.darker
    ink = neat_mix(bottled(step.mix, table), table)
    hues = crossed_by(shade.painting, shade.number)
    # a film other than the paper's lays as much more or less
    films = [step.film_ml_per_m2 / table.paper.film_ml_per_m2 * one.share for one in hues]
    looks = tuple(looks_of(table, one.hue.on(table))[0] for one in hues)
    needed = tuple(
        coats_for(table, one.hue.on(table), ink, look.value - darker) / film
        for one, look, film in zip(hues, looks, films, strict=True)
    )
    area = np.array([one.mm2 for one in hues])

    def miss(coats: Array) -> Array:
        off = []
        for one, look, film in zip(hues, looks, films, strict=True):
            under = value(table, darkened(table, one.hue.on(table), ink, coats * film))[0]
            off.append((look.value - under - darker) ** 2)
        return np.sqrt(area @ np.array(off) / area.sum())

    told = hues[:MOST_HUES]
    trials = tuple(
        _trial(table, ink, strength, told, films, miss) for strength in _three(needed, miss)
    )
    count = len(told)
    return replace(
        shade, crossed=tuple(told), before=looks[:count], needed=needed[:count], trials=trials
    )


def _three(needed: Sequence[float], miss: Callable[[Array], Array]) -> list[float]:
    """Strengths [neat coats] to try: the least that a hue needs, what misses least, the most."""
    had = [coats for coats in needed if WEAKEST < coats < MOST_COATS] or [WEAKEST, MOST_COATS]
    ladder = np.geomspace(min(had), max(had), TRIED)
    best = float(ladder[int(np.argmin(miss(ladder)))])
    low = np.clip(min(had), best / FURTHEST, best / APART)
    high = np.clip(max(had), best * APART, best * FURTHEST)
    return [float(low), best, float(high)]


def _trial(
    table: Table,
    ink: Mix,
    strength: float,
    hues: Sequence[Crossed],
    films: Sequence[float],
    miss: Callable[[Array], Array],
) -> Trial:
    """A dilution as it is written, and what it gives on each hue."""
    coats, parts_water = in_coats(strength)
    text = diluted_text(ink.recipe.text, told_parts(parts_water), table)
    mix = table.mix(text)
    strength = coats * mix.strength / ink.strength
    stacks: list[tuple[Layer, ...]] = []
    looks = []
    for one, film in zip(hues, films, strict=False):
        stacks.append((*one.hue.layers, Laid(mix, coats, share=film)))
        under = darkened(table, one.hue.on(table), ink, np.array([strength * film]))
        looks += looks_of(table, under)
    bands = tuple(band for (band,) in bands_of(table, stacks))
    dilution = dilution_of(ink, ink.strength / mix.strength - 1)
    off = float(miss(np.array([strength]))[0])
    return Trial(dilution, coats, text, bands, tuple(looks), off)
