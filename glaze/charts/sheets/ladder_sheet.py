"""Ladders drawn: a row of swatches for each, with strength and drops beneath every rung."""

from __future__ import annotations

from collections.abc import Sequence

from glaze.charts.content.ladder import Ladder, Rung
from glaze.charts.paper.marks import text_mm, wrapped
from glaze.charts.paper.page import FINE_PT, Page
from glaze.charts.sheets.parts import (
    BAR_WORDS,
    Layout,
    band_of,
    line_high,
    name_lines,
    put_swatch,
    stacked,
    start_sheet,
)
from glaze.patch.layers import standing_of
from glaze.patch.table import Table

GAP_MM = 2.0
HEAD_MM = 7.0
UNDER_MM, BAR_MM = 15.0, 3.4
"""Least room beneath a swatch for its strength and its drops; what its band takes of it."""
SWATCH_MM = (11.0, 26.0)
"""Height of a swatch, least and most."""
BETWEEN_MM = 4.0
TITLE_PT, WORDS_PT = 10.0, FINE_PT
MOST_BROAD_MM = 40.0


def ladder_sheets(table: Table, ladders: Sequence[Ladder], layout: Layout) -> list[Page]:
    """All ladders, on as many pages as they take."""
    told = {
        "predicted": f"As predicted. Small figures: value, 0 black to 10 white. {BAR_WORDS}",
        "blank": "One stroke a swatch, on the paper of the picture; judge when dry.",
        "half": "Left half as predicted, right half to paint; judge when dry.",
    }[layout.mode]

    def start() -> Page:
        page = start_sheet(table, layout, "Ladders", told, small=True)
        page.top += 3.0
        if layout.mode == "blank":
            name_lines(page)
        return page

    def need(ladder: Ladder) -> float:
        return (
            _head(ladder, layout)
            + SWATCH_MM[0]
            + _under(ladder, _wide(ladder, layout))
            + BETWEEN_MM
        )

    def draw(page: Page, ladder: Ladder, y: float, high: float, number: int) -> None:
        _draw(page, table, ladder, y, high - BETWEEN_MM, layout, number)

    return stacked(ladders, start, need, SWATCH_MM[1] - SWATCH_MM[0], draw)


def _head(ladder: Ladder, layout: Layout) -> float:
    """Room for the title and the note, which goes under it where both are too long [mm]."""
    both = text_mm(ladder.title, TITLE_PT, "Bold") + text_mm(ladder.note, FINE_PT)
    return HEAD_MM if both + 4.0 <= layout.width else HEAD_MM + 4.0


def _wide(ladder: Ladder, layout: Layout) -> float:
    """Width of a swatch [mm]."""
    return min((layout.width + GAP_MM) / len(ladder.rungs) - GAP_MM, MOST_BROAD_MM)


def _lines(rung: Rung, wide: float) -> list[tuple[str, float, str]]:
    """Strength in words, then drops: line by line with its size [pt] and face."""
    told = [(line, WORDS_PT, "Regular") for line in wrapped(rung.words, wide, WORDS_PT)]
    return told + [(line, FINE_PT, "Italic") for line in wrapped(rung.recipe, wide, FINE_PT)]


def _under(ladder: Ladder, wide: float) -> float:
    """Room beneath the swatches for the longest of their words [mm]."""
    most = max(sum(line_high(pt, 1.2) for _, pt, _ in _lines(r, wide)) for r in ladder.rungs)
    # the last line may hang into the room between ladders
    return max(UNDER_MM, BAR_MM + most - BETWEEN_MM + 1.0)


def _draw(
    page: Page, table: Table, ladder: Ladder, y: float, high: float, layout: Layout, number: int
) -> None:
    """One ladder from y down, `high` mm in all."""
    page.text(page.left, y + 4.0, ladder.title, TITLE_PT, face="Bold", name=f"ladder-{number}")
    head = _head(ladder, layout)
    if layout.mode != "blank":
        page.text(page.right, y + head - 3.0, ladder.note, FINE_PT, align="right")
    wide, mode = _wide(ladder, layout), layout.mode
    tall = high - head - _under(ladder, wide)
    standing = standing_of(table, ladder.inks)
    for k, rung in enumerate(ladder.rungs):
        x = page.left + k * (wide + GAP_MM)
        top = y + head
        told = f"{rung.patch.value:.1f}"
        name = f"rung-{number}-{k + 1}"
        put_swatch(page, x, top, wide, tall, rung.patch, mode, standing, name, told)
        if mode != "blank":
            band_of(page, x, top + tall + 2.2, wide, rung.band)
        _told(page, rung, x, top + tall + (BAR_MM if mode != "blank" else 0.8), wide)


def _told(page: Page, rung: Rung, x: float, y: float, wide: float) -> None:
    """Strength in words and drops beneath a rung."""
    for line, points, face in _lines(rung, wide):
        y += line_high(points, 1.15 if face == "Regular" else 1.2)
        page.text(x, y, line, points, face=face)
