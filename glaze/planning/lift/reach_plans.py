"""Lifting the pixels of a sheet by every plan of strength and touches.

The bottle of bleach and the room are the scene's; a plan says how thin and how often.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting
from glaze.physics.absorption import SQUARE_METRE_TO_PATH, glaze_weight, path, stack_reflectance
from glaze.physics.colour import munsell_value
from glaze.planning.lift.lift_band import Laid, bands_of_lift, copied
from glaze.scene.records import Scene
from glaze.sheet import compiled_lift, compiled_wash
from glaze.sheet.lift import Touches, chemistry_of, touch_of
from glaze.sheet.rect import whole
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]
Image = NDArray[np.float32]
Index = tuple[slice | NDArray[np.intp], slice | NDArray[np.intp]]

BAND_DRAWS = 120
"""Draws for each place whose band is worked out."""


@dataclass(frozen=True)
class LiftPlan:
    """So many touches of bleach let down with so much water."""

    parts_water: float
    touches: int

    @property
    def bleach_used(self) -> float:
        """Parts of neat bleach laid in all: the gentler plan has less."""
        return self.touches / (1.0 + self.parts_water)


def plans_of(strengths: Sequence[float], touches: int) -> tuple[LiftPlan, ...]:
    """Every strength with 1 to `touches` touches."""
    return tuple(LiftPlan(parts, n) for parts in strengths for n in range(1, touches + 1))


@dataclass(frozen=True, eq=False)
class Reached:
    """Some pixels, as they lie and as every plan leaves them.

    now : value, shape (rows, columns). values : by plan, shape (plans, rows, columns)
    darkest : value under one neat coat of the darkest bottle
    xyz_now, xyz_after : colours before, and after every plan
    """

    now: Image
    values: Image
    xyz_now: Image
    xyz_after: Image
    darkest: Image
    sheet: Sheet

    @property
    def best(self) -> Image:
        """The lightest value any plan reaches; a place that bleach can't lighten stays."""
        return np.asarray(np.maximum(self.values.max(axis=0), self.now), np.float32)

    @property
    def xyz_best(self) -> Image:
        """Colours after the plan that gets each place lightest."""
        best = self.values.argmax(axis=0)
        return np.take_along_axis(self.xyz_after, best[None, ..., None], axis=0)[0]


def reached(scene: Scene, painting: Painting, index: Index, plans: Sequence[LiftPlan]) -> Reached:
    """Lift some pixels of a painting by every plan."""
    part = painting.taken(index)
    sheet = sheet_at(part, whole(part.shape))
    xyz_now = _xyz(painting, sheet)
    now = np.asarray(munsell_value(xyz_now[..., 1]), np.float32)
    xyz_after = np.empty((len(plans), *xyz_now.shape), np.float32)
    for number, after in _lifts(scene, painting, sheet, plans):
        xyz_after[number] = _xyz(painting, after)
    values = np.asarray(munsell_value(xyz_after[..., 1]), np.float32)
    return Reached(now, values, xyz_now, xyz_after, _darkest(painting, sheet), sheet)


def _lifts(
    scene: Scene, painting: Painting, sheet: Sheet, plans: Sequence[LiftPlan]
) -> Iterator[tuple[int, Sheet]]:
    """Every plan's number with the sheet it leaves; touches of a strength follow on each other."""
    table = painting.table
    ones = np.ones(sheet.shape, np.float32)
    for parts in dict.fromkeys(plan.parts_water for plan in plans):
        touch = touch_of(Touches(parts), table.bleach, table.room, table.paper)
        ph = table.bleach.diluted_ph(parts)
        chemistry = chemistry_of(table.dyes, table.paper, table.room.temperature_c, ph)
        work = copied(sheet)
        for number in sorted(
            (i for i, p in enumerate(plans) if p.parts_water == parts),
            key=lambda i: plans[i].touches,
        ):
            compiled_lift.lift(work, ones, touch, chemistry)
            yield number, work


def _xyz(painting: Painting, sheet: Sheet) -> Image:
    """XYZ of every pixel by the compiled chain."""
    table = painting.table
    k, count = table.paper.path_spread, len(table.dyes)
    out = np.empty((*sheet.shape, 3), np.float32)
    compiled_wash.develop(
        np.ascontiguousarray(sheet.optical_g_per_m2).reshape(sheet.bleached.size, count),
        (table.path_m2_per_g / k).astype(np.float32),
        np.ascontiguousarray(sheet.bleached).reshape(-1),
        np.full(sheet.bleached.size, table.paper.surface_reflectance, np.float32),
        table.paper_reflectance.astype(np.float32),
        table.bleached_gain.astype(np.float32),
        table.light.xyz_weights.astype(np.float32),
        np.float32(k),
        *(compiled_wash.counted(count), compiled_wash.law_of(k)),
        out.reshape(-1, 3),
    )
    return out


def _darkest(painting: Painting, sheet: Sheet) -> Image:
    """Value under one neat coat of the darkest bottle, in blocks of rows.

    All that lies below counts as crowding it, so what is said is a little lighter than can be.
    """
    table = painting.table
    dark = min(
        (_coat(painting, ink.contents_g_per_l) for ink in table.palette.bottles),
        key=lambda A: float(_luminance(painting, A[None], np.zeros(1))[0]),
    )
    out = np.empty(sheet.shape, np.float32)
    for top in range(0, sheet.shape[0], 64):
        rows = slice(top, top + 64)
        below = sheet.optical_g_per_m2[rows].astype(float) @ table.path_m2_per_g
        weight = glaze_weight(sheet.coats[rows].astype(float), np.ones(1))
        Y = _luminance(painting, below + weight[..., None] * dark, sheet.bleached[rows])
        out[rows] = munsell_value(Y)
    return out


def _coat(painting: Painting, contents: Mapping[str, float]) -> Array:
    """Path of one neat coat of a bottle, shape (bands,)."""
    from glaze.picture.light import band_nm

    table = painting.table
    absorbance = sum(
        table.palette.dyes[dye].absorptivity_l_per_g_cm(band_nm()) * grams
        for dye, grams in contents.items()
    )
    load = table.paper.film_ml_per_m2 / 1000.0
    return path(np.asarray(absorbance) * load * SQUARE_METRE_TO_PATH, table.paper.path_gain)


def _luminance(painting: Painting, A: Array, bleached: NDArray[np.floating[Any]]) -> Array:
    """Y of paths A over paper that is bleached so far, shape of `bleached`."""
    table = painting.table
    Rp = table.paper_reflectance + bleached[..., None] * table.bleached_gain
    R = stack_reflectance(A, Rp, table.paper.surface_reflectance, table.paper.path_spread)
    return np.asarray(R @ table.light.xyz_weights[:, 1], np.float64)


def linear_of(painting: Painting, xyz: NDArray[np.floating[Any]]) -> Image:
    """Linear sRGB of XYZ under the painting's light, as a screen shows it."""
    light = painting.table.light
    # display weights are the XYZ weights times one matrix
    matrix = np.linalg.lstsq(light.xyz_weights, light.display_weights, rcond=None)[0]
    return np.asarray(xyz @ matrix, np.float32)


def bands_of_plans(
    scene: Scene,
    painting: Painting,
    sheet: Sheet,
    pixels: Sequence[int] | NDArray[np.intp],
    plans: Sequence[LiftPlan],
) -> Array:
    """Bands of the value of some pixels after each plan, shape (2, plans, pixels)."""
    laid = _laid(painting, sheet, np.asarray(pixels))
    out = np.empty((2, len(plans), len(pixels)))
    for parts in dict.fromkeys(plan.parts_water for plan in plans):
        mine = [i for i, plan in enumerate(plans) if plan.parts_water == parts]
        found = bands_of_lift(
            *(painting.table, laid, Touches(parts)),
            lifter=compiled_lift.lift,
            touches=len(mine),
            draws=BAND_DRAWS,
            overlaid=True,
        )
        out[0, mine], out[1, mine] = found.low, found.high
    return out


def _laid(painting: Painting, sheet: Sheet, pixels: NDArray[np.intp]) -> Laid:
    """What lies at some pixels, as from bottles that are all too strong or too weak together."""
    count = len(painting.table.dyes)
    load, optical = (
        field.reshape(sheet.bleached.size, count)[pixels].astype(float)[:, None, :]
        for field in (sheet.load_g_per_m2, sheet.optical_g_per_m2)
    )
    inks = len(painting.table.palette.inks)
    rest = np.zeros((len(pixels), inks - 1, count))
    return Laid(
        np.concatenate([load, rest], axis=1),
        np.concatenate([optical, rest], axis=1),
        sheet.coats.ravel()[pixels].astype(float),
    )
