"""The key to a wheel: every segment's drops, colours, bands, and how much to mix."""

from __future__ import annotations

import math

from glaze.charts.content.wheel import Segment, Wheel
from glaze.charts.paper.page import LABEL_PT, Page
from glaze.charts.sheets.parts import BAR_WORDS, Cell, Column, Layout, draw_table, start_sheet
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.mix import ml_for_area, recipe_for_ml
from glaze.patch.layers import Laid
from glaze.patch.trust import trusted


def key_pages(wheel: Wheel, layout: Layout, inner_mm: float, outer_mm: float) -> list[Page]:
    """Every recipe in full with its predicted colours, on as many pages as it takes.

    inner_mm, outer_mm : radii between which a segment's mix is painted, the ring that goes under
    the shadow wash included
    """
    area = math.pi * (outer_mm**2 - inner_mm**2) / len(wheel.segments)
    need_ml = ml_for_area(area, wheel.table.paper.film_ml_per_m2)
    told = f"A segment's rings take about {need_ml:.2f} ml; these drops make that much or more."
    columns = _key_columns(wheel, layout)
    rows = [_key_row(wheel, part, need_ml) for part in wheel.segments]
    pages: list[Page] = []
    while rows:
        page = start_sheet(wheel.table, layout, "Key to the colour wheel", told, small=True)
        y = _stock_lines(page, wheel, "band" in columns)
        if wheel.bleach_words:
            wide = page.right - page.left
            y = page.paragraph(page.left, y, wide, CAUTION_LINE, LABEL_PT, face="Bold")
        step = max(4.4, min(5.2, (page.bottom - y - 8) / (len(rows) + 1)))
        fit = int((page.bottom - y - 4) / step) - 1
        shown = [[row[name] for name in columns] for row in rows[:fit]]
        draw_table(page, page.left, y, list(columns.values()), shown, step)
        rows = rows[fit:]
        pages.append(page)
    return pages


def _stock_lines(page: Page, wheel: Wheel, banded: bool) -> float:
    """Stock mixes and notes; gives where they end."""
    y = page.top + 1.0
    for name, drops in wheel.stocks.items():
        recipe = " + ".join(f"{ink} {count}" for ink, count in drops.items())
        told = f"{wheel.keys[name]}  stock mix {name}: {recipe} drops, stirred."
        y = page.paragraph(page.left, y, page.right - page.left, told, 8)
    for note in (*wheel.notes, *([BAR_WORDS] if banded else [])):
        y = page.paragraph(page.left, y, page.right - page.left, note, 8)
    return y


def _key_columns(wheel: Wheel, layout: Layout) -> dict[str, Column]:
    """The columns that fit the page; the last to go are those the eye sees anyway."""
    columns = {
        "number": Column("", 7, "right"),
        "hue": Column("", 8),
        "drops": Column("drops", 44),
        "munsell": Column("predicted", 22),
        "value": Column("value", 11, "right"),
        "band": Column("band", 19),
    }
    if wheel.shadow is not None:
        columns |= {
            "shadow": Column("", 8),
            "shadow munsell": Column("under shadow", 23),
            "drop": Column("darker by", 15, "right"),
        }
    if wheel.bleach_words:
        columns |= {"ghost": Column("", 8), "ghost munsell": Column("ghost", 22)}
    for name in ("band", "ghost munsell", "shadow munsell"):
        if sum(column.width for column in columns.values()) > layout.width:
            columns.pop(name, None)
    return columns


def _key_row(wheel: Wheel, part: Segment, need_ml: float) -> dict[str, Cell]:
    mix = wheel.mix(part)
    row: dict[str, Cell] = {
        "number": str(part.number),
        "hue": part.hue.rgb8,
        "drops": recipe_for_ml(mix, need_ml).text,
        "munsell": part.hue.munsell,
        "value": f"{part.hue.value:.1f}",
        "band": trusted(wheel.table, [Laid(mix)]).band,
    }
    if part.shadowed is not None:
        row |= {"shadow": part.shadowed.rgb8, "shadow munsell": part.shadowed.munsell}
        row["drop"] = f"{part.value_drop:.1f}"
    if part.ghost is not None:
        row |= {"ghost": part.ghost.rgb8, "ghost munsell": part.ghost.munsell}
    return row
