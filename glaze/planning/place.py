"""The shapes a picture is made of: places where the same washes and lifts lie over each other.

A painting is looked at through a grid of half a millimetre, which is fine enough for shapes that a
painter plans and small enough to judge in a moment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.materials.munsell import munsell_from_xyz, munsell_notation
from glaze.painting import FULL, LaidStep, LiftStep, PaintedStep, Painting
from glaze.physics.colour import (
    D65_XYZ,
    delta_e_2000,
    lab_from_xyz,
    munsell_value,
    xyz_from_lab,
)
from glaze.pipeline import sheet_at
from glaze.planning.hue import words
from glaze.planning.wanted import daylight_weights
from glaze.rect import whole
from glaze.sheet import FILM_UNIT
from glaze.studio import reflectance

Array = NDArray[np.float64]
Labels = NDArray[np.int32]

GRID_MM = 0.5
LEAST_MM2 = 4.0
"""Smaller shapes aren't judged."""
COVERED = 0.25
"""From this share of a full film or dose on, a step counts as lying there."""
THIN = 0.02
"""A graded wash is taken as ended where less than this of its film is left."""
LEAST_BORDER_MM = 5.0
HALF_STEP = 0.5
ACROSS = 4
"""Samples from one side of a border to the other: 2 mm, clear of its soft edge."""


@dataclass(frozen=True, eq=False)
class Place:
    """One shape: everywhere that the same steps lie over each other.

    steps : numbers of its steps, the lowest first; none is bare paper
    value, lightest, darkest : Munsell value, middle and tenth of its samples from either end
    film : share of its own film or dose that each step of the painting has there, shape (steps,)
    """

    name: str
    steps: tuple[int, ...]
    area_mm2: float
    value: float
    lightest: float
    darkest: float
    munsell: str
    words: str
    xyz: tuple[float, float, float]
    film: Array

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "name": self.name,
            "steps": [n + 1 for n in self.steps],
            "area_cm2": round(self.area_mm2 / 100, 2),
            "value": round(self.value, 2),
            "value_from": round(self.darkest, 2),
            "value_to": round(self.lightest, 2),
            "munsell": self.munsell,
            "words": self.words,
        }


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
class Layout:
    """All places of a painting and their borders.

    labels : number of the place of each sample of the grid, -1 for slivers
    """

    places: tuple[Place, ...]
    borders: tuple[Border, ...]
    labels: Labels


def coarse(painting: Painting, grid_mm: float = GRID_MM) -> Painting:
    """The painting seen through a grid: one sample of every field for each square."""
    stride = max(1, round(grid_mm * painting.dpi / 25.4))
    at = (slice(stride // 2, None, stride), slice(stride // 2, None, stride))
    steps = tuple(_sampled(step, at) for step in painting.steps)
    rows, columns = (len(range(stride // 2, side, stride)) for side in painting.shape)
    line = None if painting.line is None else painting.line[at]
    return replace(
        painting, steps=steps, shape=(rows, columns), dpi=painting.dpi / stride, line=line
    )


def _sampled(step: PaintedStep, at: tuple[slice, slice]) -> PaintedStep:
    if isinstance(step, LaidStep):
        rim = None if step.rim is None else np.ascontiguousarray(step.rim[at])
        coverage, film = (np.ascontiguousarray(f[at]) for f in (step.coverage, step.thickness))
        return replace(step, coverage=coverage, thickness=film, rim=rim)
    if isinstance(step, LiftStep):
        return replace(step, dose=np.ascontiguousarray(step.dose[at]))
    return replace(step, coverage=np.ascontiguousarray(step.coverage[at]))


def film_shares(painting: Painting) -> NDArray[np.float32]:
    """Share of its full film (or dose, or water) that each step has at each pixel.

    shape (steps, rows, columns); a rinse counts as nothing, as it lies everywhere.
    """
    shares = np.zeros((len(painting.steps), *painting.shape), np.float32)
    for n, step in enumerate(painting.steps):
        if isinstance(step, LaidStep):
            shares[n] = step.thickness / np.float32(FILM_UNIT)
        elif isinstance(step, LiftStep):
            shares[n] = step.dose / np.float32(FULL)
        elif not step.rinse:
            shares[n] = step.coverage / np.float32(FULL)
    return shares


def lies(painting: Painting) -> NDArray[np.bool_]:
    """Whether each step lies at each pixel, shape (steps, rows, columns)."""
    shares = film_shares(painting)
    for n, step in enumerate(painting.steps):
        if isinstance(step, LaidStep):
            inside = step.coverage >= COVERED * FULL
            shares[n] = np.where(inside, shares[n] / THIN * COVERED, 0)
    return shares >= COVERED


def layout_of(painting: Painting) -> Layout:
    """The places of a painting that has been made `coarse`."""
    xyz = reflectance(painting.studio, sheet_at(painting, whole(painting.shape)))
    seen = (xyz @ daylight_weights(painting.studio.light)).reshape(-1, 3)
    value = munsell_value(seen[:, 1])
    there, film = lies(painting), film_shares(painting)
    labels, sets = _labelled(there)
    core = _core(labels)
    mm2 = (25.4 / painting.dpi) ** 2
    places: list[Place] = []
    renumber = np.full(len(sets) + 1, -1, np.int32)
    for n, steps in enumerate(sets):
        inside = (labels == n) & core
        if np.count_nonzero(inside) * mm2 < LEAST_MM2:
            continue
        renumber[n] = len(places)
        area = float(np.count_nonzero(labels == n)) * mm2
        at = np.flatnonzero(inside.ravel())
        places.append(_place(painting, steps, area, seen[at], value[at], film[:, inside]))
    labels = renumber[labels]
    lab = lab_from_xyz(seen, D65_XYZ).reshape(*painting.shape, 3)
    borders = _borders(painting, labels, core, lab, len(places))
    return Layout(tuple(places), borders, labels)


def _labelled(there: NDArray[np.bool_]) -> tuple[Labels, list[tuple[int, ...]]]:
    """Samples numbered by the set of steps that lie there, and those sets."""
    steps, rows, columns = there.shape
    bits = np.packbits(there.reshape(steps, -1), axis=0).T
    keys = np.ascontiguousarray(bits).view([("", np.uint8)] * bits.shape[1]).ravel()
    _, first, which = np.unique(keys, return_index=True, return_inverse=True)
    flat = there.reshape(steps, -1)
    sets = [tuple(int(n) for n in np.flatnonzero(flat[:, at])) for at in first]
    return which.reshape(rows, columns).astype(np.int32), sets


def _core(labels: Labels) -> NDArray[np.bool_]:
    """Samples whose four neighbours are of the same place; slivers have none."""
    core = np.ones(labels.shape, bool)
    for axis in (0, 1):
        same = np.diff(labels, axis=axis) == 0
        pad = [(0, 0), (0, 0)]
        for side in ((0, 1), (1, 0)):
            pad[axis] = side
            core &= np.pad(same, pad, constant_values=True)
    return core


def _place(
    painting: Painting,
    steps: tuple[int, ...],
    area_mm2: float,
    xyz: Array,
    value: Array,
    film: NDArray[np.float32],
) -> Place:
    dark, middle, light = np.quantile(value, [0.1, 0.5, 0.9])
    colour = np.median(xyz, axis=0)
    found = munsell_from_xyz(colour[None], D65_XYZ)
    notation = munsell_notation(colour, D65_XYZ)
    assert isinstance(notation, str)
    x, y, z = (float(part) for part in colour)
    return Place(
        name=name_of(painting, steps),
        steps=steps,
        area_mm2=area_mm2,
        value=float(middle),
        lightest=float(light),
        darkest=float(dark),
        munsell=notation,
        words=words(found),
        xyz=(x, y, z),
        film=np.median(film, axis=1).astype(float),
    )


def name_of(painting: Painting, steps: Sequence[int]) -> str:
    """A place by its steps, the uppermost first: "shadow over sky"; at most three are named."""
    names = [painting.steps[n].name for n in reversed(steps)]
    if not names:
        return "bare paper"
    return " over ".join(dict.fromkeys(names[:3])) + (" and more" if len(names) > 3 else "")


def _borders(
    painting: Painting,
    labels: Labels,
    core: NDArray[np.bool_],
    lab: Array,
    count: int,
) -> tuple[Border, ...]:
    """Every pair of places that meet along at least `LEAST_BORDER_MM`.

    Two clear samples of different places, 2 mm apart across the edge, are met twice for every
    sample of its length; pi/4 makes up for counting slants along both axes.
    """
    per_pair_mm = 25.4 / painting.dpi / 2 * np.pi / 4
    pairs = [_across(painting, labels, core, lab, axis) for axis in (0, 1)]
    one, other, apart, de00, lined = (np.concatenate(part) for part in zip(*pairs, strict=True))
    keys = np.minimum(one, other).astype(np.int64) * count + np.maximum(one, other)
    borders = []
    for key in np.unique(keys):
        these = keys == key
        length = float(np.count_nonzero(these)) * per_pair_mm
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


def _across(
    painting: Painting, labels: Labels, core: NDArray[np.bool_], lab: Array, axis: int
) -> tuple[NDArray[Any], ...]:
    """Pairs of clear samples on both sides of a border along one axis: their places, how far
    apart their values are, their CIEDE2000, and whether a line is drawn between them."""
    near, far = (np.arange(labels.shape[axis] - ACROSS) + shift for shift in (0, ACROSS))
    one, other = labels.take(near, axis), labels.take(far, axis)
    clear = core.take(near, axis) & core.take(far, axis) & (one != other)
    clear &= (one >= 0) & (other >= 0)
    here, there = lab.take(near, axis)[clear], lab.take(far, axis)[clear]
    luminance = [xyz_from_lab(side, D65_XYZ)[:, 1] for side in (here, there)]
    apart = np.abs(munsell_value(luminance[0]) - munsell_value(luminance[1]))
    lined = _line_between(painting, axis)[clear]
    return one[clear], other[clear], apart, delta_e_2000(here, there), lined


def _line_between(painting: Painting, axis: int) -> NDArray[np.bool_]:
    """Whether the sketch draws a line on the samples between both sides of a border."""
    keep = painting.shape[axis] - ACROSS
    shape = tuple(keep if n == axis else side for n, side in enumerate(painting.shape))
    if painting.line is None:
        return np.zeros(shape, bool)
    between = [painting.line.take(np.arange(keep) + n, axis) for n in range(ACROSS + 1)]
    return np.asarray(np.min(between, axis=0) < 0.6)
