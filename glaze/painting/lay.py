"""Steps laid on a sheet, pixel by pixel."""

from __future__ import annotations

from glaze.painting.settle import Painting
from glaze.sheet.field import box_of
from glaze.sheet.rect import Rect, whole
from glaze.sheet.state import Sheet, bare_sheet
from glaze.sheet.stir import stir_reach_px


def sheet_at(
    painting: Painting, rect: Rect, *, stirred: bool = False, on: Sheet | None = None
) -> Sheet:
    """What lies on a part of the sheet after all steps.

    A wash that stirs looks sideways, so the part is worked out with all that reaches it, and
    trimmed.

    Parameters
    ----------
    stirred : whether each wash stirs up all that is loose below it
    on : what lies there already, of the part's shape; it is changed. Not where washes stir
    """
    outer = _reaching(painting, rect) if stirred else rect
    sheet = bare_sheet(*outer.shape, len(painting.table.dyes)) if on is None else on
    for layer in painting.layers if stirred else painting.lasting:
        layer.lay(painting.table, sheet, outer, painting.dpi if stirred else None)
    return trimmed(sheet, rect.inside(outer))


def _reaching(painting: Painting, rect: Rect) -> Rect:
    """All of the sheet from which stirring washes bring dye into a rectangle."""
    reach = stir_reach_px(painting.table.paper.mixing_mm, painting.dpi)
    # from the last wash back: what lies in the part must be right before each
    for layer in reversed(painting.layers):
        if layer.step.liquid == "ink" and not box_of(layer.coverage, rect).empty:
            near = rect.grown(reach, painting.shape)
            rect = rect.union(box_of(layer.coverage, near))
    return rect


def trimmed(sheet: Sheet, rect: Rect) -> Sheet:
    """The part of a sheet inside a rectangle."""
    if rect == whole(sheet.shape):
        return sheet
    return sheet.each(lambda field: field[rect.slices])
