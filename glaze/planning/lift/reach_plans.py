"""Lifting the pixels of a sheet by every plan of strength and touches.

The bottle of bleach and the room are the scene's; a plan says how thin and how often.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.materials.mix import Mix
from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting
from glaze.patch.layers import Lifted
from glaze.patch.patches import bare_patches, glaze, value
from glaze.patch.table import Table
from glaze.patch.trust import bands_of
from glaze.physics.colour import munsell_value
from glaze.planning.sheet.step_bands import stacks_at
from glaze.sheet import compiled_lift, compiled_wash
from glaze.sheet.lift import Touches, chemistry_of, touch_of
from glaze.sheet.rect import whole
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]
Image = NDArray[np.float32]
Index = tuple[slice | NDArray[np.intp], slice | NDArray[np.intp]]

Pixel = tuple[int, int]


@dataclass(frozen=True)
class LiftPlan:
    """So many touches of bleach let down with so much water."""

    parts_water: float
    touches: int

    @property
    def touches_words(self) -> str:
        """ "1 touch", "2 touches"."""
        return f"{self.touches} touch{'es' if self.touches > 1 else ''}"

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
        """The lightest value any plan reaches; a place that bleach can't lighten stays.

        [value steps], shape (rows, columns).
        """
        return np.asarray(np.maximum(self.values.max(axis=0), self.now), np.float32)

    @property
    def xyz_best(self) -> Image:
        """Colours after the plan that gets each place lightest.

        XYZ [-], shape (rows, columns, 3).
        """
        best = self.values.argmax(axis=0)
        return np.take_along_axis(self.xyz_after, best[None, ..., None], axis=0)[0]


def reached(painting: Painting, index: Index, plans: Sequence[LiftPlan]) -> Reached:
    """Lift some pixels of a painting by every plan."""
    part = painting.taken(index)
    sheet = sheet_at(part, whole(part.shape))
    xyz_now = _xyz(painting, sheet)
    now = np.asarray(munsell_value(xyz_now[..., 1]), np.float32)
    xyz_after = np.empty((len(plans), *xyz_now.shape), np.float32)
    for number, after in _lifts(painting, sheet, plans):
        xyz_after[number] = _xyz(painting, after)
    values = np.asarray(munsell_value(xyz_after[..., 1]), np.float32)
    return Reached(now, values, xyz_now, xyz_after, _darkest(painting, sheet), sheet)


def _lifts(
    painting: Painting, sheet: Sheet, plans: Sequence[LiftPlan]
) -> Iterator[tuple[int, Sheet]]:
    """Every plan's number with the sheet it leaves; touches of a strength follow on each other."""
    table = painting.table
    ones = np.ones(sheet.shape, np.float32)
    for parts in dict.fromkeys(plan.parts_water for plan in plans):
        touch = touch_of(Touches(parts), table.bleach, table.room, table.paper)
        ph = table.bleach.diluted_ph(parts)
        chemistry = chemistry_of(table.dyes, table.paper, table.room.temperature_c, ph)
        work = sheet.copy()
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
        compiled_wash.law_of(k),
        out.reshape(-1, 3),
    )
    return out


def darkest_bottle(table: Table) -> Mix:
    """The bottle that is darkest in one neat coat."""
    neat = [table.mix(f"{ink.name} 1") for ink in table.palette.bottles]
    whole = table.only(neat)
    return neat[int(np.argmin(value(whole, glaze(whole, bare_patches(whole, len(neat)), neat))))]


def _darkest(painting: Painting, sheet: Sheet) -> Image:
    """Value under one neat coat of the darkest bottle, in blocks of rows."""
    dark = darkest_bottle(painting.table)
    # a painting's sheet has no columns for bottles that it doesn't use
    dyes = [dye.name for dye in painting.table.dyes]
    dyes += [name for name in dark.contents_g_per_l if name not in dyes]
    palette = painting.table.palette
    table = painting.table.with_columns([palette.dyes[name] for name in dyes])
    more = [(0, 0), (0, 0), (0, len(dyes) - len(painting.table.dyes))]
    out = np.empty(sheet.shape, np.float32)
    for top in range(0, sheet.shape[0], 64):
        rows = slice(top, top + 64)
        some = sheet.each(itemgetter(rows)).copy()
        some.load_g_per_m2 = np.pad(some.load_g_per_m2, more)
        some.optical_g_per_m2 = np.pad(some.optical_g_per_m2, more)
        out[rows] = value(table, glaze(table, some, dark))
    return out


def linear_of(painting: Painting, xyz: NDArray[np.floating[Any]]) -> Image:
    """Linear sRGB of XYZ under the painting's light, as a screen shows it.

    [-], of shape (..., 3) both.
    """
    light = painting.table.light
    # display weights are the XYZ weights times one matrix
    matrix = np.linalg.lstsq(light.xyz_weights, light.display_weights, rcond=None)[0]
    return np.asarray(xyz @ matrix, np.float32)


def bands_of_plans(
    painting: Painting,
    pixels: Sequence[Pixel],
    plans: Sequence[LiftPlan],
) -> Array:
    """Bands of the value of some pixels after each plan, shape (2, plans, pixels).

    painting : without its lifts

    [value steps].
    """
    below = stacks_at(painting, pixels)
    out = np.empty((2, len(plans), len(pixels)))
    for parts in dict.fromkeys(plan.parts_water for plan in plans):
        mine = {p.touches: i for i, p in enumerate(plans) if p.parts_water == parts}
        touches = [Lifted(Touches(parts))] * max(mine)
        found = bands_of(painting.table, [[*layers, *touches] for layers in below], len(touches))
        for count, number in mine.items():
            out[0, number] = [bands[count - 1].low for bands in found]
            out[1, number] = [bands[count - 1].high for bands in found]
    return out
