"""`glaze chart lift` drawn at true size: rows of colours, columns of touches by strength."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from glaze.charts.content.lift_rows import LiftCell, LiftChart, LiftRow
from glaze.charts.paper.marks import text_mm
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.parts import Layout, bracket, put_swatch, start_sheet, told_on
from glaze.materials.parts_told import parts_of, parts_short, parts_words
from glaze.patch.seen import Look

LABEL_MM, HOME_MM = 34.0, 17.0
GAP_MM, GROUP_GAP_MM = 1.0, 3.2
HEAD_MM, LEGEND_MM = 13.0, 7.0
LEAST_ROW_MM, MOST_ROW_MM = 12.5, 30.0
BAND_ENDS = (0.0, 10.0)


@dataclass(frozen=True)
class CellGrid:
    """Where the cells of a page lie [mm]."""

    top: float
    row: float
    cell: float
    left: float

    def x(self, group: int, touch: int, touches: int) -> float:
        """Left edge of a cell."""
        wide = touches * (self.cell + GAP_MM) - GAP_MM
        return self.left + group * (wide + GROUP_GAP_MM) + touch * (self.cell + GAP_MM)


def lift_chart(chart: LiftChart, layout: Layout) -> list[Page]:
    """The chart's pages: colours in the light, then the same under the shadow wash.

    The page is turned: a row has a swatch for every touch of every strength.
    """
    layout = replace(layout, turned=True)
    pages: list[Page] = []
    for shadowed in (False, True):
        rows = [row for row in chart.rows if row.shadowed == shadowed]
        while rows:
            page, used = _page(chart, layout, rows, shadowed, bool(pages))
            pages.append(page)
            rows = rows[used:]
    return pages


def _page(
    chart: LiftChart, layout: Layout, rows: Sequence[LiftRow], shadowed: bool, later: bool
) -> tuple[Page, int]:
    """One page with as many rows as fit it; gives their number too."""
    what = f"under a shadow wash of {chart.shadow}" if shadowed else "washes on dry paper"
    title = f"What bleach leaves: {what}"
    told = f"{chart.how_words}."
    page = start_sheet(chart.table, layout, title, told, bleach=True, beside=False)
    room = page.bottom - LEGEND_MM - page.top - HEAD_MM
    fit = max(1, min(len(rows), int(room / LEAST_ROW_MM)))
    # pages share their rows evenly, so that none is left with a single one
    share = -(-len(rows) // -(-len(rows) // fit))
    count = max(len(chart.strengths), 1)
    left = page.left + LABEL_MM + HOME_MM + GROUP_GAP_MM
    gaps = count * (chart.touches - 1) * GAP_MM + (count - 1) * GROUP_GAP_MM
    cell = (page.right - left - gaps) / (count * chart.touches)
    grid = CellGrid(page.top + HEAD_MM, min(MOST_ROW_MM, room / share), min(cell, 30.0), left)
    _heads(page, chart, grid)
    for number, row in enumerate(rows[:share]):
        _row(page, chart, grid, number, row, layout.mode)
    _legend(page, chart, grid.top + share * grid.row + 1.5)
    return page, share


def _heads(page: Page, chart: LiftChart, grid: CellGrid) -> None:
    """Strengths over their touches, and what the first columns hold."""
    y = grid.top - 2.0
    page.text(page.left, y, "colour", FINE_PT, face="Bold")
    page.text(page.left + LABEL_MM + HOME_MM / 2, y, "before", FINE_PT, face="Bold", align="centre")
    for group, strength in enumerate(chart.strengths):
        first = grid.x(group, 0, chart.touches)
        last = grid.x(group, chart.touches - 1, chart.touches) + grid.cell
        bracket(page, first, last, y - 4.0, _strength_words(strength, last - first - 2))
        for touch in range(chart.touches):
            x = grid.x(group, touch, chart.touches) + grid.cell / 2
            name = ("one touch", "two", "three", "four")[touch]
            page.text(x, y, name, FINE_PT, align="centre")


def _strength_words(strength: str, room: float) -> str:
    """A strength of bleach in full, or short where it doesn't fit."""
    parts = parts_of(strength)
    full = parts_words(parts, of="bleach")
    return full if text_mm(full, FINE_PT) < room else f"bleach {parts_short(parts)}"


def _row(
    page: Page, chart: LiftChart, grid: CellGrid, number: int, row: LiftRow, mode: str
) -> None:
    """A colour's label, its home swatch and all its cells."""
    y = grid.top + number * grid.row
    high = grid.row - 7.2
    page.text(page.left, y + 3.6, row.recipe, LABEL_PT, face="Bold", name=f"recipe-{number}")
    if mode != "blank":
        page.text(page.left, y + 7.0, row.home.words, FINE_PT)
        page.text(page.left, y + 10.2, row.home.munsell, FINE_PT)
    x = page.left + LABEL_MM
    name = f"home-{number}"
    put_swatch(page, x, y, HOME_MM, high, row.home, mode, chart.standing, name)
    if mode != "blank":
        _on_swatch(page, x, y, HOME_MM, high, f"{row.home.value:.1f}", row.home, mode)
    for place, cell in enumerate(row.cells):
        group, touch = divmod(place, chart.touches)
        _cell(
            page,
            chart,
            (grid.x(group, touch, chart.touches), y, grid.cell, high),
            row,
            cell,
            mode,
            f"cell-{number}-{place}",
        )


def _cell(
    page: Page,
    chart: LiftChart,
    where: tuple[float, float, float, float],
    row: LiftRow,
    cell: LiftCell,
    mode: str,
    name: str,
) -> None:
    """A swatch with value before and after on it, the ghost's word and its band beneath."""
    x, y, wide, high = where
    put_swatch(page, x, y, wide, high, cell.after, mode, "assumed", name)
    told = f"{row.home.value:.1f} to {cell.after.value:.1f}"
    if mode == "blank":
        return
    _on_swatch(page, x, y, wide, high, told, cell.after, mode)
    words = _fitting(cell.ghost, wide + 0.6)
    page.text(x + wide / 2, y + high + 3.0, words, FINE_PT, align="centre", name=f"{name}-ghost")
    values = (cell.low, cell.after.value, cell.high)
    page.band_bar(x + 0.6, y + high + 5.2, wide - 1.2, values, BAND_ENDS)


def _fitting(ghost: str, wide: float) -> str:
    """A ghost's words, shortened to a width [mm]: paler than the row's colour, or without tone."""
    words = ghost
    while " " in words and text_mm(words, FINE_PT) > wide:
        # the row says what it is paler than, and the swatch shows how pale or light it is
        words = "paler" if words.startswith("paler ") else words.split(" ", 1)[1]
    return words


def _on_swatch(
    page: Page, x: float, y: float, wide: float, high: float, told: str, patch: Look, mode: str
) -> None:
    """Small type in the middle of what is printed of a swatch, where it fits."""
    room = wide if mode == "predicted" else wide / 2
    if text_mm(told, FINE_PT, tabular=True) > room - 0.6:
        told = f"{patch.value:.1f}"
    told_on(page, x + room / 2, y + high / 2 + 0.9, told, patch)


def _legend(page: Page, chart: LiftChart, y: float) -> None:
    """What figures, words and bars mean."""
    paper = f"bare {chart.table.paper.name} paper is value {chart.paper.value:.1f}"
    told = (
        f"Figures: value before and after, 0 black to 10 white; {paper}. Bars: from value 0 to 10, "
        "the thick part holds 9 cases of 10 of what isn't known (rates of dyes and ghosts, film, "
        "minutes, bottle, strength of the inks). Try your own ink and bleach on a scrap first."
    )
    page.paragraph(page.left, y, page.right - page.left, told, FINE_PT)
