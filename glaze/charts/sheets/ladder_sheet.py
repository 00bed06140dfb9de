"""Ladders drawn: a row of swatches for each, with strength and drops beneath every rung."""

from __future__ import annotations

from collections.abc import Sequence

from glaze.charts.content.ladder import Ladder, Rung
from glaze.charts.paper.marks import wrapped
from glaze.charts.paper.page import FINE_PT, Page
from glaze.charts.sheets.parts import BAR_WORDS, Layout, band_of, line_high, put_swatch, start_sheet
from glaze.patch.layers import standing_of
from glaze.patch.table import Table

GAP_MM = 2.0
HEAD_MM = 7.0
UNDER_MM = 15.0
"""Room beneath a swatch for its strength and its drops."""
SWATCH_MM = (12.0, 26.0)
"""Height of a swatch, least and most."""
BETWEEN_MM = 4.0
MOST_BROAD_MM = 40.0


def ladder_sheets(table: Table, ladders: Sequence[Ladder], layout: Layout) -> list[Page]:
    """All ladders, on as many pages as they take."""
    told = {
        "predicted": f"As predicted. Small figures: value, 0 black to 10 white. {BAR_WORDS}",
        "blank": "One stroke a swatch, on the paper of the picture; judge when dry.",
        "half": "Left half as predicted, right half to paint; judge when dry.",
    }[layout.mode]
    pages: list[Page] = []
    waiting = list(ladders)
    while waiting:
        page = start_sheet(table, layout, "Ladders", told)
        room = page.bottom - page.top
        fit = max(1, int(room // (HEAD_MM + SWATCH_MM[0] + UNDER_MM + BETWEEN_MM)))
        row = min(room / min(fit, len(waiting)), HEAD_MM + SWATCH_MM[1] + UNDER_MM + BETWEEN_MM)
        y = page.top + 3.0
        for number, ladder in enumerate(waiting[:fit], start=1):
            _draw(page, table, ladder, y, row - BETWEEN_MM, layout.mode, number)
            y += row
        waiting = waiting[fit:]
        pages.append(page)
    return pages


def _draw(
    page: Page, table: Table, ladder: Ladder, y: float, high: float, mode: str, number: int
) -> None:
    """One ladder from y down, `high` mm in all."""
    page.text(page.left, y + 4.0, ladder.title, 10, face="Bold", name=f"ladder-{number}")
    page.text(page.right, y + 4.0, ladder.note, 8, align="right")
    count = len(ladder.rungs)
    wide = min((page.right - page.left + GAP_MM) / count - GAP_MM, MOST_BROAD_MM)
    tall = high - HEAD_MM - UNDER_MM
    standing = standing_of(table, ladder.inks)
    for k, rung in enumerate(ladder.rungs):
        x = page.left + k * (wide + GAP_MM)
        top = y + HEAD_MM
        name = f"rung-{number}-{k + 1}"
        told = f"{rung.patch.value:.1f}"
        put_swatch(page, x, top, wide, tall, rung.patch, mode, standing, name, told)
        if mode != "blank":
            band_of(page, x, top + tall + 2.2, wide, rung.band)
        _told(page, rung, x, top + tall + (3.4 if mode != "blank" else 0.8), wide)


def _told(page: Page, rung: Rung, x: float, y: float, wide: float) -> None:
    """Strength in words and drops beneath a rung."""
    for line in wrapped(rung.words, wide, FINE_PT + 0.5):
        y += line_high(FINE_PT + 0.5, 1.15)
        page.text(x, y, line, FINE_PT + 0.5)
    for line in wrapped(rung.recipe, wide, FINE_PT):
        y += line_high(FINE_PT, 1.2)
        page.text(x, y, line, FINE_PT, face="Italic")
