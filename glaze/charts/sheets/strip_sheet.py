"""What is in my ink: strips of paper at true size as predicted, with room for one's own."""

from __future__ import annotations

from collections.abc import Sequence

from glaze.charts.paper.marks import HAIR, HAIRLINE_PT, INK, box, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page, frame_of
from glaze.charts.sheets.parts import Layout, line_high, stacked, start_sheet
from glaze.patch.layers import standing_of
from glaze.patch.table import Table
from glaze.planning.looks.ink_strip import ABOVE_MM, BELOW_MM, RUN_MM, InkStrip, strip_words

LONG_MM = BELOW_MM + RUN_MM + ABOVE_MM
WIDE_MM = 13.0
NAME_MM, TIER_MM, SCALE_MM, LEAST_MM = 5.4, 3.2, 10.5, 51.0
"""Heights: of the name, of each tier of bars, of what stands below, and of all of it at least."""
BESIDE_MM = 6.0
INTRO = (
    "Cut a strip of filter or drawing paper as large as the blank one. Draw the start line in "
    "pencil, lay one stroke of ink on it and let it dry. Stand the foot in a glass with a finger "
    "of water and a pinch of salt, the stroke above it. Take it out when the water reaches the "
    "front, and lay it here. How far each dye runs is known from a few strips only, in dilute salt "
    "water: the bars say what that leaves open. Other paper, other places; the order stays."
)


def strip_sheets(table: Table, strips: Sequence[InkStrip], layout: Layout) -> list[Page]:
    """All strips, on as many pages as they take."""
    told = f"Strips of paper at true size: the water has run {RUN_MM:g} mm from the start line."

    def start() -> Page:
        page = start_sheet(table, layout, "What is in my ink", told)
        page.top = page.paragraph(page.left, page.top, page.right - page.left, INTRO, 8) + 3.0
        return page

    def draw(page: Page, strip: InkStrip, y: float, _high: float, number: int) -> None:
        _draw(page, table, strip, y, layout.mode, number)

    def need(strip: InkStrip) -> float:
        told = sum(line_high(8, 1.25) * len(lines) + 1.0 for lines in _lines(start(), strip))
        return max(LEAST_MM, _top(strip) + max(told + 3.0, 2 * WIDE_MM + 1.5 + SCALE_MM))

    return stacked(strips, start, need, 0.0, draw)


def _lines(page: Page, strip: InkStrip) -> list[list[str]]:
    """Its bands in words, as wide as there is room beside it."""
    room = page.right - page.left - LONG_MM - BESIDE_MM - 4.0
    return [wrapped(strip_words(band), room, 8) for band in strip.bands]


def _tiers(strip: InkStrip) -> list[int]:
    """The tier of each band's bar: the lowest in which it meets no other."""
    found: list[int] = []
    for n, band in enumerate(strip.bands):
        met = {
            tier
            for other, tier in zip(strip.bands[:n], found, strict=True)
            if band.low_mm < other.high_mm + 3.0 and other.low_mm < band.high_mm + 3.0
        }
        found.append(next(tier for tier in range(n + 1) if tier not in met))
    return found


def _top(strip: InkStrip) -> float:
    """From the top of its row to the strip [mm]."""
    return NAME_MM + TIER_MM * (max(_tiers(strip)) + 1) + 0.6


def _draw(page: Page, table: Table, strip: InkStrip, y: float, mode: str, number: int) -> None:
    """One ink: its strip as predicted, a blank one below, its bands told beside them."""
    page.text(page.left, y + 3.6, strip.name, LABEL_PT, face="Bold", name=f"strip-of-{number}")
    top = y + _top(strip)
    if mode != "blank":
        page.image(page.left, top, LONG_MM, WIDE_MM, strip.colours, f"strip-{number}-colours")
        frame = frame_of(standing_of(table, strip.inks))
        page.rect(page.left, top, LONG_MM, WIDE_MM, None, frame, f"strip-{number}")
        _bars(page, strip, top - 1.6)
        top += WIDE_MM + 1.5
    page.swatch(box(page.left, top, LONG_MM, WIDE_MM), None, name=f"strip-{number}-blank")
    _scale(page, y + _top(strip), top + WIDE_MM)
    _told(page, strip, y)


def _bars(page: Page, strip: InkStrip, y: float) -> None:
    """Over the strip where each dye may lie, with its number."""
    start = page.left + BELOW_MM
    for number, (band, tier) in enumerate(zip(strip.bands, _tiers(strip), strict=True), start=1):
        up = y - TIER_MM * tier
        page.line([(start + band.low_mm, up), (start + band.high_mm, up)], HAIRLINE_PT, INK)
        at = start + band.mm
        page.line([(at, up - 0.7), (at, up + 0.7)], 0.9, INK)
        page.text(at + 0.8, up - 0.4, f"{number}", FINE_PT)


def _scale(page: Page, top: float, bottom: float) -> None:
    """Start line and front through both strips, and mm below them."""
    start = page.left + BELOW_MM
    for mm, word in ((0.0, "start line"), (RUN_MM, "the water's front")):
        page.line([(start + mm, top), (start + mm, bottom)], HAIRLINE_PT, INK, dash=4.0)
        page.text(start + mm, bottom + 6.6, word, FINE_PT, align="centre")
    for mm in range(0, int(RUN_MM) + 1, 10):
        page.line([(start + mm, bottom), (start + mm, bottom + 1.2)], HAIRLINE_PT, HAIR)
        page.text(start + mm, bottom + 3.9, f"{mm}", FINE_PT, align="centre", tabular=True)


def _told(page: Page, strip: InkStrip, y: float) -> None:
    """The bands in words, by their numbers, to the right of the strips."""
    left = page.left + LONG_MM + BESIDE_MM
    down = y + _top(strip)
    for number, lines in enumerate(_lines(page, strip), start=1):
        page.text(left, down + line_high(8, 1.25), f"{number}", 8, face="Bold")
        for line in lines:
            down += line_high(8, 1.25)
            page.text(left + 4.0, down, line, 8)
        down += 1.0
