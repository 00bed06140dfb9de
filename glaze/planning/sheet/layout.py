"""The places of a painting, and how they meet: where values merge and where lines part them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting
from glaze.patch.patches import reflectance
from glaze.physics.colour import (
    D65_XYZ,
    delta_e_2000,
    lab_from_xyz,
    munsell_value,
    xyz_from_lab,
)
from glaze.planning.recipe.wanted import daylight_weights
from glaze.planning.sheet.place import (
    LEAST_MM2,
    Labels,
    Place,
    core_of,
    film_shares,
    labelled,
    lies,
    place_of,
)
from glaze.sheet.rect import whole

Array = NDArray[np.float64]

LEAST_BORDER_MM = 5.0
HALF_STEP = 0.5
ACROSS = 4
"""Samples from one side of a border to the other: 2 mm, clear of its soft edge."""
SQUARE = 8
"""Samples: within 4 mm a border is taken to be straight."""


@dataclass(frozen=True)
class Border:
    """Where two places meet.

    apart : middle difference of their values along it [value steps]
    de00 : middle CIEDE2000 across it; where it is small one place runs into the other
    close : share of its length where they are closer than half a step
    lined : share of its length along which a line is drawn
    """

    one: int
    other: int
    length_mm: float
    apart: float
    de00: float
    close: float
    lined: float


@dataclass(frozen=True, eq=False)
class Arrangement:
    """All places of a painting and their borders.

    labels : number of the place of each sample of the grid, -1 for slivers
    """

    places: tuple[Place, ...]
    borders: tuple[Border, ...]
    labels: Labels


def layout_of(painting: Painting) -> Arrangement:
    """The places of a painting that has been made `coarse`."""
    xyz = reflectance(painting.table, sheet_at(painting, whole(painting.shape)))
    seen = (xyz @ daylight_weights(painting.table.light)).reshape(-1, 3)
    value = munsell_value(seen[:, 1])
    there, film = lies(painting), film_shares(painting)
    labels, sets = labelled(there)
    core = core_of(labels)
    mm2 = painting.per_mm**-2
    places: list[Place] = []
    renumber = np.full(len(sets) + 1, -1, np.int32)
    for n, steps in enumerate(sets):
        inside = (labels == n) & core
        if np.count_nonzero(inside) * mm2 < LEAST_MM2:
            continue
        renumber[n] = len(places)
        area = float(np.count_nonzero(labels == n)) * mm2
        at = np.flatnonzero(inside.ravel())
        places.append(place_of(painting, steps, area, seen[at], value[at], film[:, inside]))
    labels = renumber[labels]
    lab = lab_from_xyz(seen, D65_XYZ).reshape(*painting.shape, 3)
    borders = _borders(painting, labels, lab, len(places))
    return Arrangement(tuple(places), borders, labels)


def _borders(painting: Painting, labels: Labels, lab: Array, count: int) -> tuple[Border, ...]:
    """Every pair of places that meet along at least `LEAST_BORDER_MM`.

    Two clear samples of different places, 2 mm apart across the edge, are met twice for every
    sample of its length along an axis.
    """
    pairs = [_across(painting, labels, lab, axis) for axis in (0, 1)]
    axis = np.repeat((0, 1), [len(found[0]) for found in pairs])
    one, other, square, apart, de00, lined = (
        np.concatenate(part) for part in zip(*pairs, strict=True)
    )
    keys = np.minimum(one, other).astype(np.int64) * count + np.maximum(one, other)
    borders = []
    for key in np.unique(keys):
        these = keys == key
        # straight within a square: as long as its steps along both axes make it
        steps = [np.bincount(square[these & (axis == n)], minlength=labels.size) for n in (0, 1)]
        length = float(np.hypot(*steps).sum()) / 2 / painting.per_mm
        if length >= LEAST_BORDER_MM:
            low, high = divmod(int(key), count)
            borders.append(
                Border(
                    low,
                    high,
                    length,
                    apart=float(np.median(apart[these])),
                    de00=float(np.median(de00[these])),
                    close=float(np.mean(apart[these] < HALF_STEP)),
                    lined=float(np.mean(lined[these])),
                )
            )
    return tuple(borders)


def _across(painting: Painting, labels: Labels, lab: Array, axis: int) -> tuple[NDArray[Any], ...]:
    """Pairs of clear samples on both sides of a border along one axis: their places, the square
    they are in, how far apart their values are, their CIEDE2000, and whether a line is drawn
    between them."""
    near, far = (np.arange(labels.shape[axis] - ACROSS) + shift for shift in (0, ACROSS))
    one, other = labels.take(near, axis), labels.take(far, axis)
    clear = (one != other) & (one >= 0) & (other >= 0)
    clear &= (labels.take(near + 1, axis) == one) & (labels.take(far - 1, axis) == other)
    here, there = lab.take(near, axis)[clear], lab.take(far, axis)[clear]
    luminance = [xyz_from_lab(side, D65_XYZ)[:, 1] for side in (here, there)]
    apart = np.abs(munsell_value(luminance[0]) - munsell_value(luminance[1]))
    lined = _line_between(painting, axis)[clear]
    middle = np.argwhere(clear)
    middle[:, axis] += ACROSS // 2
    square = (middle // SQUARE) @ (labels.shape[1], 1)
    return one[clear], other[clear], square, apart, delta_e_2000(here, there), lined


def _line_between(painting: Painting, axis: int) -> NDArray[np.bool_]:
    """Whether the sketch draws a line on the samples between both sides of a border."""
    keep = painting.shape[axis] - ACROSS
    shape = tuple(keep if n == axis else side for n, side in enumerate(painting.shape))
    if painting.line is None:
        return np.zeros(shape, bool)
    between = [painting.line.take(np.arange(keep) + n, axis) for n in range(ACROSS + 1)]
    return np.asarray(np.min(between, axis=0) < 0.6)
