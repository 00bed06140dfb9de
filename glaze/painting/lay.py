"""Steps laid on a sheet, pixel by pixel."""

from __future__ import annotations

from glaze.painting.settle import Painting
from glaze.sheet.rect import Rect, whole
from glaze.sheet.state import Sheet, bare_sheet
from glaze.sheet.wash import stir_reach_px


def sheet_at(
    painting: Painting, rect: Rect, *, stirred: bool = False, on: Sheet | None = None
) -> Sheet:
    """What lies on a part of the sheet after all steps.

    A wash that stirs looks sideways, so the part is worked out with a margin and trimmed.

    Parameters
    ----------
    stirred : whether each wash stirs up all that is loose below it
    on : what lies there already, of the part's shape; it is changed. Not where washes stir
    """
    margin = stir_reach_px(painting.table.paper.mixing_mm, painting.dpi) if stirred else 0
    washes = sum(layer.step.liquid == "ink" for layer in painting.layers)
    outer = rect.grown(margin * washes, painting.shape)
    sheet = bare_sheet(*outer.shape, len(painting.table.dyes)) if on is None else on
    for layer in painting.layers:
        layer.lay(painting.table, sheet, outer, painting.dpi if stirred else None)
    return trimmed(sheet, rect.inside(outer))


def trimmed(sheet: Sheet, rect: Rect) -> Sheet:
    """The part of a sheet inside a rectangle."""
    if rect == whole(sheet.shape):
        return sheet
    return Sheet(**{name: field[rect.slices] for name, field in vars(sheet).items()})
