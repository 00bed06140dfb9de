"""Blocks drawn: in each row a hue in the middle, water to its left, black to its right."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from glaze.charts.content.blocks import Block, BlockStrip
from glaze.charts.paper.marks import HAIR, HAIRLINE_PT, INK, box, frame_of, text_mm
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.parts import Layout, bracket, name_lines, stacked, start_sheet
from glaze.patch.layers import standing_of
from glaze.patch.table import Table

PIXELS = 6 * 61
"""Columns of a graded strip: colours between the slices are drawn in a straight line."""
ABOVE_MM, BELOW_MM = 10.5, 10.0
STRIP_MM = (13.0, 22.0)
"""Height of a strip, least and most."""
INTRO = (
    "A tertiary here is a secondary under a black glaze. Beneath the strips: drops of the hue "
    "with drops of black or water (w), the lower line with drops of the upper; 1 + n is 1 part + n "
    "parts water. Small type above: what painters call such a colour."
)


def blocks_sheets(table: Table, blocks: Sequence[Block], layout: Layout) -> list[Page]:
    """All blocks, on as many pages as they take."""
    told = {
        "predicted": "Each hue towards water and towards black, as predicted.",
        "blank": "Paint each strip as a graded wash: hue in the middle, water left, black right.",
        "half": "Upper half as predicted, lower half to paint: the hue in the middle.",
    }[layout.mode]

    def start() -> Page:
        page = start_sheet(table, layout, "Blocks", told)
        if layout.mode == "blank":
            name_lines(page)
        page.top = page.paragraph(page.left, page.top, page.right - page.left, INTRO, 8) + 2.0
        return page

    def draw(page: Page, block: Block, y: float, row: float, number: int) -> None:
        _draw(page, table, block, y, row - ABOVE_MM - BELOW_MM, layout.mode, number)

    least, most = STRIP_MM
    return stacked(blocks, start, lambda block: ABOVE_MM + least + BELOW_MM, most - least, draw)


def _draw(
    page: Page, table: Table, block: Block, y: float, tall: float, mode: str, number: int
) -> None:
    """One block: its name, its two strips from the middle outward."""
    middle = (page.left + page.right) / 2
    wide = (page.right - page.left) / 2
    top = y + ABOVE_MM
    glazed = block.kind == "tertiaries"
    title = f"{block.name} under a black glaze" if glazed else block.name
    page.text(page.left, y + 3.6, title, LABEL_PT, face="Bold", name=f"block-{number}")
    page.text(middle - 2.0, y + 3.6, block.to_water.title, 8, align="right")
    page.text(middle + 2.0, y + 3.6, block.to_black.title, 8)
    standing = standing_of(table, block.inks)
    for strip, way, side in ((block.to_water, -1, "water"), (block.to_black, 1, "black")):
        left = middle if way > 0 else page.left
        name = f"strip-{number}-{side}"
        if mode != "predicted":
            page.swatch(box(left, top, wide, tall), None, name=f"{name}-blank")
        if mode != "blank":
            high = tall if mode == "predicted" else tall / 2
            page.image(left, top, wide, high, _graded(strip, way), f"{name}-colours")
            page.rect(left, top, wide, high, None, frame_of(standing), name)
            _stretches(page, strip, middle, way * wide, top - 0.8)
        _stops(page, strip, middle, way * wide, top + tall)


def _graded(strip: BlockStrip, way: int) -> np.ndarray:
    """One row of pixels along a strip, from left to right."""
    colours = np.array(strip.colours, dtype=float)
    at = np.linspace(0, len(colours) - 1, PIXELS)
    row = np.stack([np.interp(at, np.arange(len(colours)), channel) for channel in colours.T], -1)
    return np.rint(row[None, ::way]).astype(np.uint8)


def _stretches(page: Page, strip: BlockStrip, middle: float, run: float, y: float) -> None:
    """Words over the stretches that painters have a name for."""
    for name, start, end in strip.stretches:
        x0, x1 = sorted((middle + start * run, middle + end * run))
        if x1 - x0 > text_mm(name, FINE_PT) + 1.0:
            bracket(page, x0 + 0.4, x1 - 0.4, y - 1.0, name)


def _stops(page: Page, strip: BlockStrip, middle: float, run: float, y: float) -> None:
    """Ticks under a strip with strength and drops."""
    for stop in strip.stops:
        x = middle + stop.at * run
        page.line([(x, y), (x, y + 1.2)], HAIRLINE_PT, HAIR if stop.told else INK)
        align = "centre"
        if stop.at == 1.0:
            align = "left" if run < 0 else "right"
        if stop.told:
            page.text(x, y + 3.9, stop.told, FINE_PT, align=align)
        # two steps stand one under the other
        for n, step in enumerate(stop.drops.split(", ")):
            if step:
                page.text(x, y + 6.6 + 2.7 * n, step, FINE_PT, align=align, face="Italic")
