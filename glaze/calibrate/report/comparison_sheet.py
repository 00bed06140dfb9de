"""A painting beside its prediction, as a page: both pictures, the zones, and what to correct."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.found import ReadRung, triple
from glaze.calibrate.report.calibration_sheet import gap_words, screen_colour
from glaze.calibrate.report.comparison import Comparison, ZoneResult
from glaze.charts.paper.marks import wrapped
from glaze.charts.paper.page import Page
from glaze.charts.sheets.beside import GAP_MM, ROW_MM, pictures, row
from glaze.charts.sheets.parts import start_report
from glaze.errors import percent
from glaze.physics.colour import map_into_gamut
from glaze.picture.file import encode


def comparison_sheets(found: Comparison, day: str | None = None) -> list[Page]:
    """The report's pages."""
    page = _start(found, day)
    _pictures(page, found)
    pages = [page]
    half = (page.right - page.left - GAP_MM) / 2
    top = page.top
    for number, zone in enumerate(found.zones, start=1):
        column = (number - 1) % 2
        if column == 0 and top + ROW_MM > pages[-1].bottom:
            pages.append(_start(found, day))
            top = pages[-1].top
        _zone(pages[-1], pages[-1].left + column * (half + GAP_MM), top, half, number, zone)
        if column == 1:
            top += ROW_MM
    pages[-1].top = top + (ROW_MM if len(found.zones) % 2 else 0.0) + 3.0
    for note in told(found):
        high = 4.5 * len(wrapped(note, pages[-1].right - pages[-1].left, 8.5))
        if pages[-1].top + high > pages[-1].bottom:
            pages.append(_start(found, day))
        page = pages[-1]
        page.top = page.paragraph(page.left, page.top, page.right - page.left, note, 8.5) + 1.2
    return pages


def told(found: Comparison) -> list[str]:
    """What the comparison says, in sentences."""
    return [summary(found), *advice(found), *found.notes]


def summary(found: Comparison) -> str:
    """How far the whole painting is from its prediction."""
    steps = found.mean_value_gap
    return (
        f"Over {len(found.zones)} zones the painting differs from its prediction by "
        f"{steps:.1f} value steps and by {found.mean_de00:.1f} (CIEDE2000) on average."
    )


ALIKE_DE00 = 2.0
"""Mean difference below which there is nothing worth correcting (guess: a wash laid twice
differs by as much)."""


AS_WELL = 0.8
"""Share of what the best ink explains from which a scanner is suspected as well (guess)."""


def advice(found: Comparison) -> list[str]:
    """Which ink to correct, in sentences."""
    if found.mean_de00 < ALIKE_DE00 and max(z.de00 for z in found.zones) < 2 * ALIKE_DE00:
        return ["That is as near as one wash comes to the next: there is nothing to correct."]
    if not found.suggestions:
        return ["No ink's strength explains it; look at single zones, or paint a swatch sheet."]
    lines = []
    if found.scanner >= AS_WELL * found.suggestions[0].explains:
        lines.append(
            f"A scanner or phone that is off would explain {percent(found.scanner)} of it, about "
            "as well as any ink: one painting can't tell them apart. Scan again with every "
            "correction off, or paint a swatch sheet, before you correct an ink."
        )
    for number, one in enumerate(found.suggestions[:3]):
        side = "stronger" if one.factor > 1 else "weaker"
        times = one.factor if one.factor > 1 else 1 / one.factor
        lead = "Explains most" if number == 0 else "Next"
        lines.append(
            f"{lead}: {one.ink} {times:.2f} times {side} than the palette has it, which alone "
            f"takes away {percent(one.explains)} of the squared difference."
        )
    all_of_it = ", ".join(
        f"{name} {factor:.2f} (times or over {band:.2f})"
        for name, (factor, band) in found.together.items()
        if band < 2.5
    )
    if all_of_it:
        lines.append(
            f"All inks together, times the palette's strength: {all_of_it}. Use it with "
            "--inks-out; a swatch sheet tells it more surely."
        )
    return lines


def _start(found: Comparison, day: str | None) -> Page:
    bleach = any(step.step.liquid == "bleach" for step in found.painting.steps)
    title = "As predicted, as painted"
    return start_report(found.painting.table, title, found.scene.title, bleach, day)


def _pictures(page: Page, found: Comparison) -> None:
    """Both pictures side by side, the zones numbered on each."""
    shown = (("predicted", found.predicted), ("painted", found.painted))
    pictures(
        page,
        [(words, _as_shown(rgb)) for words, rgb in shown],
        [inmost(zone.zone.pixels) for zone in found.zones],
    )


def _as_shown(rgb: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Linear sRGB as a screen shows it, white where there is none; (rows, columns, 3)."""
    return np.asarray(encode(map_into_gamut(np.nan_to_num(rgb.astype(float), nan=1.0))[0]))


def inmost(pixels: NDArray[np.bool_]) -> tuple[int, int]:
    """Row and column of the pixel farthest from a zone's edge.

    True inside the zone, shape (rows, columns).
    """
    from scipy import ndimage

    away = ndimage.distance_transform_edt(np.pad(pixels, 1))[1:-1, 1:-1]
    row, column = np.unravel_index(int(np.argmax(away)), away.shape)
    return int(row), int(column)


def _zone(page: Page, x: float, y: float, wide: float, number: int, zone: ZoneResult) -> None:
    """One zone: its number, a swatch predicted | painted, its steps, and what lies between."""
    colours = screen_colour(zone.predicted), screen_colour(zone.painted)
    halves = list(zip(("predicted", "painted"), colours, strict=True))
    row(page, (x, y), wide, number, zone.zone.name, gap_words(_rung(zone)), halves)


def _rung(zone: ZoneResult) -> ReadRung:
    return ReadRung(zone.zone.name, triple(zone.painted), triple(zone.predicted))
