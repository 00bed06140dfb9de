"""What a region of a scene looks like once it is painted, as a hue to plan a shadow on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from glaze.lift import lift
from glaze.painting import FULL, LaidStep, LiftStep, Painting, resolve
from glaze.planning.hue import Hue
from glaze.planning.layout import layout_of
from glaze.planning.place import Place, coarse
from glaze.region.combine import Kept, cover
from glaze.scene import Scene, Wash
from glaze.scene_file import sketch_of
from glaze.sheet import Sheet
from glaze.studio import Studio, bare_patches
from glaze.wash import lay, work_out


@dataclass(frozen=True)
class RegionHue(Hue):
    """The washes and lifts of a region's largest place, over each other.

    layers : a wash's recipe, coats and film, or a lift's step, each with its share there
    """

    layers: tuple[tuple[Wash | LiftStep, float], ...] = field(default=())

    @property
    def bare(self) -> bool:
        """Whether nothing lies there."""
        return not self.layers

    def on(self, studio: Studio) -> Sheet:
        """A patch of it, with the bottles of that studio on the studio's paper."""
        sheet = bare_patches(studio)
        for step, share in self.layers:
            there = np.full((1, 1), share, np.float32)
            if isinstance(step, LiftStep):
                lift(sheet, there, step.touch, step.chemistry)
                continue
            mix, paper = self.mix(step.mix, studio), studio.paper
            laid = work_out(mix, step.coats, step.film_ml_per_m2, paper, studio.dyes)
            lay(sheet, laid, there)
        return sheet


def region_hue(scene: Scene, region: str) -> RegionHue:
    """The hue of the largest place inside a region, after all steps; water steps are left out."""
    painting = resolve(scene, even=True)
    small = coarse(painting)
    place = _largest_inside(scene, region, painting, small)
    first = len(painting.steps) - len(scene.steps)
    layers: list[tuple[Wash | LiftStep, float]] = []
    for number in place.steps:
        laid, share = painting.steps[number], float(place.film[number])
        planned = scene.steps[number - first] if number >= first else None
        if isinstance(laid, LaidStep) and isinstance(planned, Wash):
            layers.append((planned, share))
        elif isinstance(laid, LiftStep):
            layers.append((laid, share))
    hue = RegionHue(region, (), (), scene.wells, tuple(layers))
    return replace(hue, inks=_inks(hue, painting.studio, layers))


def _largest_inside(scene: Scene, region: str, painting: Painting, small: Painting) -> Place:
    """The place that takes up most of a region."""
    layout = layout_of(small)
    stride = max(1, round(painting.dpi / small.dpi))
    inside = cover(region, scene, sketch_of(scene), Kept())[
        stride // 2 :: stride, stride // 2 :: stride
    ]
    labels = layout.labels[inside >= FULL // 2]
    labels = labels[labels >= 0]
    number = int(np.bincount(labels).argmax()) if labels.size else 0
    return layout.places[number]


def _inks(
    hue: RegionHue, studio: Studio, layers: Sequence[tuple[Wash | LiftStep, float]]
) -> tuple[str, ...]:
    mixes = [hue.mix(step.mix, studio) for step, _ in layers if isinstance(step, Wash)]
    return tuple(dict.fromkeys(name for mix in mixes for name in mix.ink_ml))
