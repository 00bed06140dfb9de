"""A shadow wash over each hue that it crosses, cut out of the sketch at true size: three dilutions
beside what lies there."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.card_words import shortened
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.parts import BAR_WORDS, Layout, band_of, stacked, start_sheet
from glaze.painting.settle import Painting
from glaze.pipeline import render
from glaze.planning.sheet.crossed import Crossed
from glaze.planning.sheet.shade import Shade
from glaze.sheet.rect import Rect

Cut = tuple[NDArray[np.uint8], tuple[float, float]]

CUT_MM = (44.0, 26.0)
GAP_MM = 3.3
HEAD_MM, FOOT_MM = 7.0, 10.0
"""Above a hue's pictures, its name; below them, value and band."""


def shade_pages(shade: Shade, layout: Layout) -> list[Page]:
    """A row for each hue: the place as it is, then under three dilutions."""
    rows = list(zip(shade.crossed, _cuts(shade), range(len(shade.crossed)), strict=True))

    def row(page: Page, item: tuple[Crossed, list[Cut], int], y: float, *_: float) -> None:
        _row(page, shade, *item, y)

    high = HEAD_MM + CUT_MM[1] + FOOT_MM
    return stacked(rows, lambda: _start(shade, layout), lambda _: high, 0.0, row)


def _start(shade: Shade, layout: Layout) -> Page:
    """A page with its title and the heads of the columns."""
    title = f"{shade.step.name}: {shade.darker:g} value steps darker"
    page = start_sheet(
        shade.painting.table,
        layout,
        shortened(title, layout.width, 18),
        f"{shade.scene.title}. Each place of the sketch at true size. {BAR_WORDS}",
        shade.bleached,
    )
    page.paragraph(page.left, page.bottom - 10.0, layout.width, shade.promise, FINE_PT)
    page.bottom -= 12.0
    page.top += 8.0
    page.text(page.left, page.top, "as it is", LABEL_PT, face="Bold")
    for n, trial in enumerate(shade.trials):
        x = _column(page, n + 1)
        page.text(x, page.top, trial.words, LABEL_PT, face="Bold")
        told = f"{trial.dilution.text}. Fits most." if n == shade.fits else trial.dilution.text
        page.paragraph(x, page.top + 1.0, CUT_MM[0], told, FINE_PT)
    page.top += 7.0
    return page


def _column(page: Page, number: int) -> float:
    return page.left + number * (CUT_MM[0] + GAP_MM)


def _row(
    page: Page, shade: Shade, one: Crossed, cuts: Sequence[Cut], number: int, y: float
) -> None:
    """A hue's name, its four pictures, and the values under them."""
    wide = page.right - page.left
    told = f"{one.hue.text}, {one.mm2 / 100:.1f} cm²"
    page.text(page.left, y + 4.6, shortened(told, wide, LABEL_PT, "Regular"), LABEL_PT)
    look = shade.before[number]
    y += HEAD_MM
    for n, (rgb8, size_mm) in enumerate(cuts):
        x = _column(page, n)
        page.image(x, y, *size_mm, rgb8, f"{one.hue.text} {n}")
        below = y + CUT_MM[1] + 3.6
        if n == 0:
            page.text(x, below, f"value {look.value:.1f}, {look.munsell}", FINE_PT)
            continue
        band = shade.trials[n - 1].bands[number]
        drop = f"value {band.best:.1f}, {look.value - band.best:.1f} darker"
        page.text(x, below, drop, FINE_PT, tabular=True)
        band_of(page, x, below + 2.6, CUT_MM[0], band)


def _cuts(shade: Shade) -> list[list[Cut]]:
    """For each hue its place as it is, then under each dilution, and how large that is [mm]."""
    paintings = [shade.laid(trial) for trial in (None, *shade.trials)]
    return [
        [_cut(painting, _round(painting, one)) for painting in paintings] for one in shade.crossed
    ]


def _cut(painting: Painting, part: Rect) -> Cut:
    high, wide = (side / painting.per_mm for side in part.shape)
    return render(painting, part).rgb, (wide, high)


def _round(painting: Painting, one: Crossed) -> Rect:
    """The part of the sheet round a place; no more than the sheet has."""
    wide, high = (round(mm * painting.per_mm) for mm in CUT_MM)
    rows, columns = painting.shape
    top = min(max(0, one.pixel[0] - high // 2), max(0, rows - high))
    left = min(max(0, one.pixel[1] - wide // 2), max(0, columns - wide))
    return Rect(top, left, min(rows, top + high), min(columns, left + wide))
