"""Two bottles side by side on a page: their swatches touch, what sets them apart stands beneath."""

from __future__ import annotations

from glaze.charts.paper.marks import box, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.parts import Layout, start_sheet
from glaze.patch.layers import standing_of
from glaze.patch.table import Table
from glaze.planning.bottles.side_by_side import Pair, SideBySide

STATE_MM, SWATCH_MM = 34.0, 34.0
GAP_MM = 2.0
TALL_MM = (11.0, 17.0)
"""Height of a swatch, least and most."""


def two_bottles_sheets(table: Table, found: SideBySide, layout: Layout) -> list[Page]:
    """The sheet: one row for each state, then the sentences."""
    one, other = found.names
    told = {
        "predicted": "As predicted; the swatches touch, so that the eye may judge.",
        "blank": "Paint both bottles edge to edge, and judge when dry.",
        "half": "In the middle as predicted, outside to paint; judge when dry.",
    }[layout.mode]
    page = start_sheet(table, layout, f"{one} and {other}", told, bleach=True)
    words_high = 0.0 if layout.mode == "blank" else _words(Page(), found, 0.0, layout.width)
    room = page.bottom - page.top - words_high - 9.0
    tall = min(max(room / len(found.pairs) - GAP_MM, TALL_MM[0]), TALL_MM[1])
    y = page.top + 3.0
    left = page.left + STATE_MM
    for place, name in enumerate(found.names):
        page.text(left + place * SWATCH_MM + 1.0, y + 2.5, name, LABEL_PT, face="Bold")
    y += 4.5
    for number, pair in enumerate(found.pairs, start=1):
        _row(page, table, pair, found.names, y, tall, layout.mode, number)
        y += tall + GAP_MM
    if layout.mode != "blank":
        _words(page, found, y + 2.0, layout.width)
    return [page]


def _row(
    page: Page,
    table: Table,
    pair: Pair,
    names: tuple[str, str],
    y: float,
    tall: float,
    mode: str,
    number: int,
) -> None:
    page.paragraph(page.left, y, STATE_MM - 3.0, pair.state, LABEL_PT)
    x = page.left + STATE_MM
    told = x + 2 * SWATCH_MM + 4.0
    for place, (state, name) in enumerate(zip(pair.both, names, strict=True)):
        look, standing = state.look, standing_of(table, [name])
        mark = f"bottle-{place + 1}-{number}"
        # of halves the predicted ones touch, the painted ones stand outside
        half = mode == "half"
        if mode != "predicted":
            page.swatch(box(x, y, SWATCH_MM, tall), None, name=f"{mark}-blank")
        if mode != "blank":
            shift, wide = (SWATCH_MM / 2 * (1 - place), SWATCH_MM / 2) if half else (0, SWATCH_MM)
            value = f"{look.value:.1f}"
            page.swatch(box(x + shift, y, wide, tall), look.rgb8, standing, value, mark)
        x += SWATCH_MM
        if mode != "blank":
            words = wrapped(f"{name}: {look.munsell}, {look.words}", page.right - told, FINE_PT)
            page.text(told, y + 3.4 + 4.4 * place, words[0], FINE_PT, name=f"{mark}-words")
    if mode != "blank":
        page.text(page.left, y + tall - 1.2, f"{pair.de00:.0f} off", FINE_PT)


def _words(page: Page, found: SideBySide, y: float, width: float) -> float:
    """The sentences from y down; gives where they end."""
    for line in found.told:
        y = page.paragraph(page.left, y, width, line, LABEL_PT) + 1.0
    return page.paragraph(
        page.left, y, width, "Off: CIEDE2000 of the two; under 2 is hardly seen.", FINE_PT
    )
