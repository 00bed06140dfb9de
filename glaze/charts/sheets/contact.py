"""A contact sheet: small pictures in rows, each with its value plan and what it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.card_words import shortened
from glaze.charts.paper.marks import text_mm, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.parts import Layout, fitted, line_high, stacked, start_sheet
from glaze.patch.table import Table
from glaze.physics.seeing import values_only
from glaze.picture.file import picture_from_linear

GAP_MM, INNER_MM, UNDER_MM = 6.0, 1.5, 5.0
"""Between cells, between a picture and its plan, and under a row."""
PLAN_SHARE = 0.45
"""Of a picture's width that its value plan has."""
NARROWEST_MM = 54.0
"""Of a cell, so that what stands under it breaks in few lines."""
TALLEST_MM = 76.0


@dataclass(frozen=True, eq=False)
class Cell:
    """One small picture.

    linear_rgb : linear sRGB [-] of any range, shape (rows, columns, 3)
    name : over it; lines : what is said of it
    """

    linear_rgb: NDArray[Any]
    name: str
    lines: Sequence[str] = ()

    @cached_property
    def rgb8(self) -> NDArray[np.uint8]:
        """The picture as a screen shows it: sRGB signals, uint8, shape as given."""
        return np.asarray(picture_from_linear(self.linear_rgb, 72.0).rgb)

    @cached_property
    def grey8(self) -> NDArray[np.uint8]:
        """Its values as greys: sRGB signals, uint8, shape as given."""
        return np.asarray(picture_from_linear(values_only(self.linear_rgb), 72.0).rgb)


def contact_pages(
    cells: Sequence[Cell],
    layout: Layout,
    table: Table,
    title: str,
    told: Sequence[str],
    *,
    bleach: bool = False,
    together: int = 1,
) -> list[Page]:
    """The pages, rows filled from the left.

    Parameters
    ----------
    told : sentences over the pictures
    bleach : whether it is laid on any
    together : so many cells belong together: rows hold a multiple of them where that goes
    """
    first = _start(table, layout, title, told, bleach)
    wide = first.right - first.left
    across = _across(cells, wide, first.bottom - first.top, together)
    each = (wide + GAP_MM) / across - GAP_MM
    beside = all(_fits_beside(cell, each) for cell in cells)
    rows = [cells[n : n + across] for n in range(0, len(cells), across)]

    def start() -> Page:
        return _start(table, layout, title, told, bleach)

    def need(row: Sequence[Cell]) -> float:
        return max(_high(cell, each, beside) for cell in row)

    def draw(page: Page, row: Sequence[Cell], y: float, *_: float) -> None:
        for number, cell in enumerate(row):
            _cell(page, cell, (page.left + number * (each + GAP_MM), y), each, beside)

    return stacked(rows, start, need, 0.0, draw)


def _start(table: Table, layout: Layout, title: str, told: Sequence[str], bleach: bool) -> Page:
    page = start_sheet(
        table, layout, shortened(title, layout.width, 18), bleach=bleach, beside=False, small=True
    )
    for sentence in told:
        page.top = page.paragraph(page.left, page.top - 2.0, layout.width, sentence, LABEL_PT) + 2.0
    page.top += 2.0
    return page


def _across(cells: Sequence[Cell], wide: float, room: float, together: int) -> int:
    """Cells in a row: those that need the fewest pages, and of these the largest.

    wide, room : of what is drawn on [mm]
    """
    most = min(len(cells), max(1, int((wide + GAP_MM) / (NARROWEST_MM + GAP_MM))))
    step = together if together <= most else 1

    def pages(across: int) -> int:
        each = (wide + GAP_MM) / across - GAP_MM
        beside = all(_fits_beside(cell, each) for cell in cells)
        high = max(_high(cell, each, beside) for cell in cells)
        return math.ceil(math.ceil(len(cells) / across) / max(1, int(room / high)))

    return min(range(step, most + 1, step), key=lambda across: (pages(across), across))


def _size(cell: Cell, each: float) -> tuple[float, float]:
    """Of its picture [mm]."""
    rows, columns = cell.linear_rgb.shape[:2]
    return fitted(columns, rows, (each - INNER_MM) / (1 + PLAN_SHARE), TALLEST_MM)


def _column(cell: Cell, each: float) -> float:
    """Width of what is left beside its picture [mm]."""
    return each - _size(cell, each)[0] - INNER_MM


def _lines(cell: Cell, wide: float) -> list[str]:
    return [part for line in cell.lines for part in wrapped(line, wide, FINE_PT)]


def _fits_beside(cell: Cell, each: float) -> bool:
    """Whether its lines have room beside the picture, under the plan."""
    high, column = _size(cell, each)[1], _column(cell, each)
    lines = _lines(cell, column)
    narrow = max((text_mm(line, FINE_PT) for line in lines), default=0.0) <= column
    return narrow and high * PLAN_SHARE + len(lines) * line_high(FINE_PT) <= high


def _high(cell: Cell, each: float, beside: bool) -> float:
    """All that it takes [mm]."""
    text = 0.0 if beside else len(_lines(cell, each)) * line_high(FINE_PT) + 0.6
    return line_high(LABEL_PT) + _size(cell, each)[1] + text + UNDER_MM


def _cell(page: Page, cell: Cell, at: tuple[float, float], each: float, beside: bool) -> None:
    """Its name, the picture, its plan beside, and its lines under either."""
    x, y = at[0], at[1] + line_high(LABEL_PT)
    name = shortened(cell.name, each, LABEL_PT)
    page.text(x, y - 1.2, name, LABEL_PT, face="Bold", tabular=True)
    wide, high = _size(cell, each)
    page.image(x, y, wide, high, cell.rgb8, cell.name)
    right, plan = x + wide + INNER_MM, high * PLAN_SHARE
    page.image(right, y, wide * PLAN_SHARE, plan, cell.grey8, f"values of {cell.name}")
    left, y = (right, y + plan) if beside else (x, y + high + 0.6)
    for line in _lines(cell, _column(cell, each) if beside else each):
        y += line_high(FINE_PT)
        page.text(left, y - 0.8, line, FINE_PT)
