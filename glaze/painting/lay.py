"""Steps laid on a sheet, pixel by pixel: washes, lifts, water."""

from __future__ import annotations

import numpy as np

from glaze.painting.film import FULL
from glaze.painting.settle import LaidStep, LiftStep, Painting, WaterStep
from glaze.sheet import compiled_lift, compiled_wash
from glaze.sheet.lift import rinse, water_lift
from glaze.sheet.rect import Rect, whole
from glaze.sheet.state import FILM_UNIT, Field, Sheet, bare_sheet
from glaze.sheet.wash import stir, stir_reach_px

_PER_FILM, _PER_FULL = np.float32(1 / FILM_UNIT), np.float32(1 / FULL)


def sheet_at(
    painting: Painting, rect: Rect, *, stirred: bool = False, on: Sheet | None = None
) -> Sheet:
    """What lies on a part of the sheet after all steps.

    A wash that stirs looks sideways, so the part is worked out with a margin and trimmed.

    Parameters
    ----------
    on : what lies there already, of the part's shape; it is changed. Not where washes stir
    """
    margin = stir_reach_px(painting.table.paper.mixing_mm, painting.dpi) if stirred else 0
    washes = sum(isinstance(step, LaidStep) for step in painting.steps)
    outer = rect.grown(margin * washes, painting.shape)
    sheet = bare_sheet(*outer.shape, len(painting.table.dyes)) if on is None else on
    for step in painting.steps:
        if isinstance(step, LaidStep):
            lay_step(painting, sheet, step, outer, stirred)
        elif isinstance(step, LiftStep):
            lift_step(sheet, step, outer)
        else:
            water_step(sheet, step, outer)
    return trimmed(sheet, rect.inside(outer))


def lay_step(
    painting: Painting, sheet: Sheet, step: LaidStep, rect: Rect, stirred: bool = False
) -> None:
    """Lay one wash on a tile, in place."""
    thickness = step.thickness[rect.slices]
    if not thickness.any():
        return
    table, wash = painting.table, step.wash
    rim: Field = np.zeros(0, np.float32)
    if step.rim is not None:
        # the film holds the mean gain already: each dye adds what it travels beyond the mean
        rim = np.multiply(step.rim[rect.slices].ravel(), _PER_FILM, dtype=np.float32)
    count = len(table.dyes)
    compiled_wash.lay(
        np.ascontiguousarray(thickness).ravel(),
        rim,
        np.float32(wash.strength),
        wash.full_load_g_per_m2.astype(np.float32),
        wash.overlap.astype(np.float32),
        (wash.mobility - wash.mean_mobility).astype(np.float32),
        sheet.load_g_per_m2.reshape(sheet.bleached.size, count),
        sheet.optical_g_per_m2.reshape(sheet.bleached.size, count),
        sheet.coats.reshape(-1),
        compiled_wash.counted(count),
    )
    if stirred:
        loose = np.array([dye.loose_fraction for dye in table.dyes])
        coverage = np.multiply(step.coverage[rect.slices], _PER_FULL, dtype=np.float32)
        stir(sheet, loose, coverage, table.paper.mixing_mm, painting.dpi)
    if step.residue is not None:
        film = np.multiply(thickness, _PER_FILM, dtype=np.float32)
        compiled_lift.residue_attack(sheet, film, *step.residue)


def lift_step(sheet: Sheet, step: LiftStep, rect: Rect) -> None:
    """Lay one lift on a tile, in place."""
    dose = step.dose[rect.slices]
    if dose.any():
        compiled_lift.lift(sheet, dose, step.touch, step.chemistry)


def water_step(sheet: Sheet, step: WaterStep, rect: Rect) -> None:
    """Clean water on a tile, in place."""
    mask = step.coverage[rect.slices]
    if step.rinse:
        rinse(sheet, mask, step.chemistry)
    elif mask.any():
        water_lift(sheet, mask, step.minutes, step.chemistry)


def trimmed(sheet: Sheet, rect: Rect) -> Sheet:
    """The part of a sheet inside a rectangle."""
    if rect == whole(sheet.shape):
        return sheet
    return Sheet(**{name: field[rect.slices] for name, field in vars(sheet).items()})
