"""The key to a wheel: every segment's drops, colours, bands, and how much to mix."""

from __future__ import annotations

import math

from glaze.charts.content.wheel import Segment, Wheel
from glaze.charts.paper.page import Page
from glaze.charts.sheets.parts import BAR_WORDS, Cell, Column, Layout, draw_table, start_sheet
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.mix import ml_for_area
from glaze.patch.layers import Laid
from glaze.patch.trust import trusted


def key_pages(wheel: Wheel, layout: Layout, inner_mm: float, outer_mm: float) -> list[Page]:
    """Every recipe in full with its predicted colours, on as many pages as it takes.

    inner_mm, outer_mm : radii of the ring of hues
    """
    rows = [_key_row(wheel, part) for part in wheel.segments]
    pages: list[Page] = []
    while rows:
        page = start_sheet(
            wheel.table, layout, "Key to the colour wheel", _needs(wheel, inner_mm, outer_mm)
        )
        y = _stock_lines(page, wheel)
        if wheel.bleach_words:
            y = page.paragraph(page.left, y, page.right - page.left, CAUTION_LINE, 8, face="Bold")
        step = max(4.4, min(5.2, (page.bottom - y - 8) / (len(rows) + 1)))
        fit = int((page.bottom - y - 4) / step) - 1
        draw_table(page, page.left, y, _key_columns(wheel), rows[:fit], step)
        rows = rows[fit:]
        pages.append(page)
    return pages


def _needs(wheel: Wheel, inner_mm: float, outer_mm: float) -> str:
    """How much a segment takes, in drops."""
    area = math.pi * (outer_mm**2 - inner_mm**2) / len(wheel.segments)
    ml = ml_for_area(area, wheel.table.paper.film_ml_per_m2)
    # the smallest drops of the palette
    drops_per_ml = max(ink.drops_per_ml for ink in wheel.table.palette.bottles)
    drops = max(1, math.ceil(ml * drops_per_ml))
    return (
        f"A segment takes about {ml:.2f} ml, {drops} drop{'s' if drops > 1 else ''} of ink: "
        "double recipes that make less."
    )


def _stock_lines(page: Page, wheel: Wheel) -> float:
    """Stock mixes and notes; gives where they end."""
    y = page.top + 1.0
    for name, drops in wheel.stocks.items():
        recipe = " + ".join(f"{ink} {count}" for ink, count in drops.items())
        told = f"{wheel.keys[name]}  stock mix {name}: {recipe} drops, stirred."
        y = page.paragraph(page.left, y, page.right - page.left, told, 8)
    for note in (*wheel.notes, BAR_WORDS):
        y = page.paragraph(page.left, y, page.right - page.left, note, 8)
    return y


def _key_columns(wheel: Wheel) -> list[Column]:
    columns = [
        Column("", 7, "right"),
        Column("", 8),
        Column("drops", 44),
        Column("predicted", 22),
        Column("value", 11, "right"),
        Column("band", 19),
    ]
    if wheel.shadow is not None:
        columns += [Column("", 8), Column("under shadow", 23), Column("drop", 11, "right")]
    if wheel.bleach_words:
        columns += [Column("", 8), Column("ghost", 22)]
    return columns


def _key_row(wheel: Wheel, part: Segment) -> list[Cell]:
    row: list[Cell] = [
        str(part.number),
        part.hue.rgb8,
        part.recipe,
        part.hue.munsell,
        f"{part.hue.value:.1f}",
        trusted(wheel.table, [Laid(wheel.mix(part))]).band,
    ]
    if part.shadowed is not None:
        row += [part.shadowed.rgb8, part.shadowed.munsell, f"{part.value_drop:.1f}"]
    if part.ghost is not None:
        row += [part.ghost.rgb8, part.ghost.munsell]
    return row
