"""Blocks painted wet, drawn: each as predicted, an empty one beside it, and what lies where."""

from __future__ import annotations

from collections.abc import Sequence

from glaze.charts.content.wet_blocks import (
    AFTER_MINUTES,
    BLACK_ML,
    BLACK_PARTS,
    HIGH_MM,
    HUE_ML,
    LONG_MM,
    ROUND_MM,
    WetBlock,
)
from glaze.charts.paper.marks import HAIR, HAIRLINE_PT, INK, KEPT, box
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page, frame_of
from glaze.charts.sheets.parts import Layout, name_lines, stacked, start_sheet
from glaze.materials.colour_words import colour_words
from glaze.materials.words import Words
from glaze.patch.layers import standing_of
from glaze.patch.table import Table

TOP_MM, BELOW_MM, GAP_MM = 5.6, 14.4, 6.0
SIDE_MM = LONG_MM + 2 * ROUND_MM
TALL_MM = HIGH_MM + 2 * ROUND_MM
"""The picture of a block with the paper round it; the empty one takes as much."""


def wet_blocks_sheets(
    table: Table, blocks: Sequence[WetBlock], layout: Layout, words: Words
) -> list[Page]:
    """All blocks, on as many pages as they take, in the language of the words."""
    steps = words.lines(
        "wet_blocks.steps",
        minutes=f"{AFTER_MINUTES:g}",
        parts=f"{BLACK_PARTS:g}",
        hue_ml=f"{HUE_ML:g}",
        black_ml=f"{BLACK_ML:g}",
    )

    def start() -> Page:
        page = start_sheet(table, layout, words("wet_blocks.title"), words=words)
        if layout.mode == "blank":
            name_lines(page, words("name_line"), words("class_line"))
        for n, step in enumerate(steps, start=1):
            end = page.paragraph(page.left + 4.0, page.top, page.right - page.left - 4.0, step, 8.5)
            page.text(page.left, page.top + 3.3, f"{n}", 8.5, face="Bold")
            page.top = end + 0.6
        page.top = page.paragraph(
            page.left, page.top + 1.0, page.right - page.left, words("wet_blocks.days"), 8
        )
        page.top += 2.0
        return page

    def draw(page: Page, block: WetBlock, y: float, _high: float, number: int) -> None:
        _draw(page, table, block, y, layout.mode, number, words)

    return stacked(blocks, start, lambda _: TOP_MM + TALL_MM + BELOW_MM, 0.0, draw)


def _draw(
    page: Page, table: Table, block: WetBlock, y: float, mode: str, number: int, words: Words
) -> None:
    """One block: its name, its picture, an empty one, and what lies where."""
    title = words("wet_blocks.meet", hue=block.name, black=block.black)
    page.text(page.left, y + 3.6, title, LABEL_PT, face="Bold", name=f"wet-{number}")
    top = y + TOP_MM
    if mode == "blank":
        _empty(page, page.left + ROUND_MM, top + ROUND_MM, f"wet-{number}-own")
    else:
        _picture(page, block, top, number, standing_of(table, block.inks))
        told = _told(block, words)
        page.paragraph(page.left, top + TALL_MM + 1.2, page.right - page.left, told, 8)
    left = page.left + SIDE_MM + GAP_MM + ROUND_MM
    _empty(page, left, top + ROUND_MM, f"wet-{number}-blank")


def _picture(page: Page, block: WetBlock, top: float, number: int, standing: str) -> None:
    """The block as predicted, with a number under each place that is told."""
    page.image(page.left, top, SIDE_MM, TALL_MM, block.rgb8, f"wet-{number}-colours")
    page.rect(page.left, top, SIDE_MM, TALL_MM, None, frame_of(standing), f"wet-{number}-frame")
    under = top + ROUND_MM + HIGH_MM + 0.8
    for n, place in enumerate(block.places, start=1):
        x = page.left + ROUND_MM + place.mm
        page.line([(x, under), (x, under + 1.4)], HAIRLINE_PT, INK)
        page.text(x + 0.5, under + 2.3, f"{n}", FINE_PT)


def _empty(page: Page, x: float, top: float, name: str) -> None:
    """An empty block with a tick where hue and black meet."""
    page.swatch(box(x, top, LONG_MM, HIGH_MM), None, name=name)
    for y in (top, top + HIGH_MM):
        page.line([(x + LONG_MM / 2, y - 1.2), (x + LONG_MM / 2, y + 1.2)], HAIRLINE_PT, HAIR)


def _told(block: WetBlock, words: Words) -> str:
    """What lies where, by the numbers under the picture; a place is named once."""
    told, last = [], ""
    for n, found in enumerate(block.places, start=1):
        look = found.look
        place = words("wet_blocks.place", place=words(f"wet_blocks.{found.place}"))
        named = "" if found.place == last else f"{place} "
        colour = colour_words(look.hue, look.value, look.chroma, words.language)
        told.append(f"{n}{KEPT}{named}{colour} ({look.munsell.replace(' ', KEPT)})")
        last = found.place
    return "; ".join(told) + ". " + words("wet_blocks.blend", mm=f"{block.blend_mm:.0f}")
