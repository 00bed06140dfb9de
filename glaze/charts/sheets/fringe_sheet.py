"""Separation strips drawn: each ink neat, its drying edge ten times as large, its dyes parted."""

from __future__ import annotations

from collections.abc import Sequence

from glaze.charts.paper.marks import HAIR, HAIRLINE_PT, INK, Line, circle, frame_of, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.parts import Layout, line_high, put_swatch, stacked, start_sheet
from glaze.materials.parts_told import parts_words
from glaze.patch.layers import standing_of
from glaze.patch.table import Table
from glaze.planning.looks.fringe import INSIDE_MM, OUTSIDE_MM, WASH_PARTS, Fringe, told_of

ENLARGED = 10.0
SWATCH_MM, TALL_MM = 19.0, 17.0
ROW_MM = 40.0
DROP_MM = 17.0
MOST_DYES = 3


def fringe_sheets(table: Table, fringes: Sequence[Fringe], layout: Layout) -> list[Page]:
    """All strips, on as many pages as they take."""
    told = (
        f"Edge of a wash of {parts_words(WASH_PARTS)}, {ENLARGED:g} times as large; then the dyes "
        "alone, the quickest first."
    )

    def start() -> Page:
        page = start_sheet(table, layout, "Separation and fringe", told)
        page.top += 4.0
        return page

    def draw(page: Page, fringe: Fringe, y: float, _high: float, number: int) -> None:
        _draw(page, table, fringe, y, layout.mode, number)

    return stacked(fringes, start, lambda fringe: ROW_MM, 0.0, draw)


def _draw(page: Page, table: Table, fringe: Fringe, y: float, mode: str, number: int) -> None:
    standing = standing_of(table, fringe.inks)
    page.text(page.left, y + 3.5, fringe.name, LABEL_PT, face="Bold", name=f"ink-{number}")
    page.paragraph(page.left + 40, y - 0.4, page.right - page.left - 40, told_of(fringe), 8)
    x, top = page.left, y + 9.0
    patch = fringe.patch
    told = f"{patch.value:.1f}"
    put_swatch(page, x, top, SWATCH_MM, TALL_MM, patch, mode, standing, f"neat-{number}", told)
    page.text(x, top + TALL_MM + 3.6, "neat", FINE_PT)
    x += SWATCH_MM + 4.0
    _edge(page, fringe, x, top, mode, standing, number)
    x += ENLARGED * (OUTSIDE_MM + INSIDE_MM) + 5.0
    for k, dye in enumerate(fringe.dyes[:MOST_DYES]):
        name = f"dye-{number}-{k + 1}"
        put_swatch(page, x, top, SWATCH_MM, TALL_MM, dye.patch, mode, standing, name)
        under = top + TALL_MM + 0.9
        for line in wrapped(dye.name, SWATCH_MM + 1.0, FINE_PT):
            under += line_high(FINE_PT, 1.15)
            page.text(x, under, line, FINE_PT)
        x += SWATCH_MM + 1.5
    _drop(page, page.right - DROP_MM / 2, top + TALL_MM / 2, number)


def _edge(
    page: Page, fringe: Fringe, x: float, y: float, mode: str, standing: str, number: int
) -> None:
    """The drying edge across, with a scale in mm from the edge inward."""
    wide = ENLARGED * (OUTSIDE_MM + INSIDE_MM)
    zero = x + ENLARGED * OUTSIDE_MM
    if mode == "blank":
        page.rect(zero, y, wide - ENLARGED * OUTSIDE_MM, TALL_MM, None, Line((), HAIRLINE_PT, HAIR))
    else:
        page.image(x, y, wide, TALL_MM, fringe.edge[None], f"edge-{number}-colours")
        page.rect(x, y, wide, TALL_MM, None, frame_of(standing), f"edge-{number}")
    for mm in range(int(INSIDE_MM) + 1):
        at = zero + ENLARGED * mm
        page.line([(at, y + TALL_MM), (at, y + TALL_MM + 1.2)], HAIRLINE_PT, HAIR)
        page.text(at, y + TALL_MM + 4.0, f"{mm}", FINE_PT, align="centre")
    page.text(x, y + TALL_MM + 7.0, "mm from the edge inward", FINE_PT)


def _drop(page: Page, x: float, y: float, number: int) -> None:
    """A ring with a cross: wet the paper in it and put one drop on the cross."""
    ring = circle((x, y), DROP_MM)
    page.line([*ring, ring[0]], HAIRLINE_PT, HAIR, name=f"drop-{number}")
    for dx, dy in ((1.5, 0.0), (0.0, 1.5)):
        page.line([(x - dx, y - dy), (x + dx, y + dy)], HAIRLINE_PT, INK)
    page.text(page.right, y + DROP_MM / 2 + 3.6, "wet it, one drop", FINE_PT, align="right")
