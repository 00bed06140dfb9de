"""The hues that a step crosses: what lies below it, place by place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from glaze.painting.settle import Painting
from glaze.patch.band import Band
from glaze.patch.seen import Look, looks_of
from glaze.patch.trust import bands_of
from glaze.planning.recipe.hue import Hue
from glaze.planning.sheet.order import OVERLAP_SHARE
from glaze.planning.sheet.place import (
    LEAST_MM2,
    coarse,
    core_of,
    labelled,
    lies,
    name_of,
)
from glaze.planning.sheet.step_bands import Pixel, layers_at, middle_of

NEARLY_FULL = 0.9
"""A hue is read where the step has so much of the most that it has on it."""


@dataclass(frozen=True, eq=False)
class Crossed:
    """A hue below a step.

    hue : what lies there before the step, named by its steps
    pixel, at_mm : the place it is read at: row and column, and x and y
    mm2 : how much of the step lies on it
    share : of the step's film that lies there [-]
    """

    hue: Hue
    pixel: Pixel
    at_mm: tuple[float, float]
    mm2: float
    share: float


@dataclass(frozen=True, eq=False)
class Glazed:
    """A hue before and after a wash.

    hue, mm2 : as in `Crossed`
    before, after : what it looks like; `band` is the value after it
    """

    hue: str
    mm2: float
    before: Look
    after: Look
    band: Band

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "hue": self.hue,
            "area_cm2": round(self.mm2 / 100, 2),
            "before": self.before.as_dict(),
            "after": self.after.as_dict() | {"band": self.band.as_dict()},
        }


def glazed_by(painting: Painting, number: int, small: Painting) -> tuple[Glazed, ...]:
    """What a wash does to each hue it crosses, the largest first; nothing on bare paper alone.

    number : of the step, an index from 0. small : the painting made `coarse`
    """
    table, step = painting.table, painting.steps[number].step
    hues = crossed_by(painting, number, small) if step.liquid == "ink" else []
    if not any(one.hue.layers for one in hues):
        return ()
    bands = bands_of(table, [(*one.hue.layers, step.layer(table, one.share)) for one in hues])
    found = []
    for one, (band,) in zip(hues, bands, strict=True):
        under = Hue(one.hue.text, (*one.hue.layers, step.layer(table, one.share)))
        (before,), (after,) = (looks_of(table, hue.on(table)) for hue in (one.hue, under))
        found.append(Glazed(one.hue.text, one.mm2, before, after, band))
    return tuple(found)


def crossed_by(painting: Painting, number: int, small: Painting | None = None) -> list[Crossed]:
    """The hues that a step of a painting crosses, the largest first.

    number : of the step, an index from 0. small : the painting made `coarse`, if it is at hand
    """
    small = (small or coarse(painting)).until(number + 1)
    there = lies(small)
    inside = there[number]
    labels = np.full(inside.shape, -1)
    labels[inside], sets = labelled(there[:number, inside])
    film = small.steps[number].film * inside
    mm2, found = small.per_mm**-2, []
    least = max(LEAST_MM2 / mm2, OVERLAP_SHARE * np.count_nonzero(inside))
    core = core_of(labels)
    for n, steps in enumerate(sets):
        here = labels == n
        if np.count_nonzero(here) < least:
            continue
        clear = here & core if (here & core).any() else here
        clear &= film >= NEARLY_FULL * film[clear].max()
        pixel = full_size(painting, small, middle_of(*np.nonzero(clear)))
        at_mm = painting.middle_mm(*pixel)
        share = float(painting.steps[number].even_shares(pixel))
        hue = Hue(name_of(painting, steps), layers_at(painting, pixel, number))
        found.append(Crossed(hue, pixel, at_mm, float(np.count_nonzero(here)) * mm2, share))
    return sorted(found, key=lambda one: -one.mm2)


def full_size(painting: Painting, small: Painting, pixel: Pixel) -> Pixel:
    """The pixel of a painting that one of its coarse sample was taken from."""
    stride = max(1, round(painting.dpi / small.dpi))
    return pixel[0] * stride + stride // 2, pixel[1] * stride + stride // 2
