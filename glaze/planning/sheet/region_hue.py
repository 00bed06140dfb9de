"""What a region of a scene looks like once it is painted, as a hue to plan a shadow on."""

from __future__ import annotations

import numpy as np

from glaze.painting.settle import Painting, regions_of, resolve
from glaze.planning.recipe.hue import Hue
from glaze.planning.sheet.crossed import full_size
from glaze.planning.sheet.layout import layout_of
from glaze.planning.sheet.place import coarse, core_of
from glaze.planning.sheet.step_bands import Pixel, layers_at, middle_of
from glaze.scene.records import Scene
from glaze.sheet.memory import Memory
from glaze.sheet.units import FULL, Mask


def region_hue(scene: Scene, region: str) -> Hue:
    """The layers in the middle of the largest place inside a region, after all steps."""
    memory = Memory()
    painting = resolve(scene, even=True, memory=memory)
    cover = regions_of(scene, memory).cover(region).mask
    layers = layers_at(painting, _middle(cover, painting))
    return Hue(region, layers)


def _middle(cover: Mask, painting: Painting) -> Pixel:
    """The pixel nearest to the middle of the place that takes up most of a region."""
    small = coarse(painting)
    labels = layout_of(small).labels
    stride = max(1, round(painting.dpi / small.dpi))
    at = slice(stride // 2, None, stride)
    inside = cover[at, at] >= FULL // 2
    clear = inside & core_of(labels) & (labels >= 0)
    clear = clear if clear.any() else inside
    most = int(np.bincount(np.maximum(labels[clear], 0)).argmax())
    at_most = clear & (labels == most)
    return full_size(painting, small, middle_of(*np.nonzero(at_most if at_most.any() else clear)))
