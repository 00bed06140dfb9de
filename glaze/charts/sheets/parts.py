"""Parts that the teacher's sheets share: the sheet itself, swatches by mode, tables."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from glaze.charts.paper.marks import (
    HAIR,
    HAIRLINE_PT,
    INK,
    MM_PER_PT,
    Colour,
    Point,
    box,
    text_mm,
    wrapped,
)
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.paper.readable import readable_on
from glaze.charts.sheets.facts import day_of, facts_of
from glaze.errors import InputError, unknown
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.words import Words
from glaze.patch.band import Band
from glaze.patch.seen import Look
from glaze.patch.table import Table
from glaze.physics.colour import luminance_of_value, srgb_encode

T = TypeVar("T")

MODES = ("predicted", "blank", "half")
"""Colours as predicted; outlines to paint; or each swatch half and half, to paint beside."""

SMALL = ("A5",)
"""Sheets that not all fits on."""

NAME_MM = 10.0

BAR_WORDS = "Bars: where the value lies 9 times of 10, on a line from 0 to 10."

CLASS_CAUTION_LINE = "Bleach by the adult only, as a demonstration."


@dataclass(frozen=True)
class Layout:
    """How sheets are printed.

    size, turned : of the paper. mode : predicted, blank or half. day : date to print, today's
    if None.
    """

    size: str = "A4"
    turned: bool = False
    mode: str = "predicted"
    day: str | None = None

    def __post_init__(self) -> None:
        if self.mode not in MODES:
            raise InputError(unknown("way to fill the swatches", self.mode, MODES))
        Page(self.size, self.turned)
        day_of(self.day)

    @property
    def width(self) -> float:
        """Room for a line of type [mm]."""
        page = Page(self.size, self.turned)
        return page.right - page.left


def start_sheet(
    table: Table,
    layout: Layout,
    title: str,
    subtitle: str = "",
    bleach: bool = False,
    beside: bool = True,
    small: bool = False,
    words: Words | None = None,
) -> Page:
    """A page with its title, its check line and facts, and the caution if bleach is planned.

    beside : whether the caution of a turned page stands at its right, which keeps its height
    small : whether what stands on it can still be read on A5
    words : of its foot, in another language than English
    """
    if layout.size in SMALL and not small:
        raise InputError(f'"{title}" would be too small to read on {layout.size}: take A4.')
    page = Page(layout.size, layout.turned)
    page.head(title, subtitle)
    page.foot(facts_of(table, layout.day, words), words("check") if words else "")
    if bleach:
        page.caution(beside=beside and layout.turned)
    return page


def start_report(
    table: Table, title: str, subtitle: str, bleach: bool, day: str | None = None, size: str = "A4"
) -> Page:
    """A page that tells what was found: title and facts, and the caution's line if bleach is in it.

    day : date to print, today's if None
    """
    page = Page(size)
    page.head(title, subtitle)
    page.foot(facts_of(table, day))
    if bleach:
        caution_line(page)
    page.top += 4.0
    return page


def caution_line(page: Page) -> None:
    """The caution in a line or two above the foot, where the whole of it stands elsewhere."""
    wide = page.right - page.left
    page.bottom -= 1.3 * LABEL_PT * MM_PER_PT * len(wrapped(CAUTION_LINE, wide, LABEL_PT))
    page.paragraph(page.left, page.bottom, wide, CAUTION_LINE, LABEL_PT)


def put_swatch(
    page: Page,
    x: float,
    y: float,
    width: float,
    height: float,
    patch: Look,
    mode: str,
    standing: str,
    name: str,
    told: str = "",
) -> None:
    """A rectangle by mode: predicted, blank to paint, or its left half predicted.

    told : small type in the lower corner of what is predicted, as its value
    """
    if mode != "predicted":
        page.swatch(box(x, y, width, height), None, name=f"{name}-blank")
    if mode == "blank":
        return
    wide = width if mode == "predicted" else width / 2
    page.swatch(box(x, y, wide, height), patch.rgb8, standing, told, name)


@dataclass(frozen=True)
class Column:
    """A column of a table: its head, its width [mm], and where its text stands."""

    head: str
    width: float
    align: str = "left"


def stacked(
    items: Sequence[T],
    start: Callable[[], Page],
    need: Callable[[T], float],
    spare: float,
    draw: Callable[[Page, T, float, float, int], None],
) -> list[Page]:
    """Things drawn one under the other, on as many pages as they take.

    start : gives a page. need, spare : height each takes, and at most so much more where there is
    room [mm]. draw : is told the page, the thing, where it starts, its height [mm], its number
    """
    pages: list[Page] = []
    waiting = list(items)
    while waiting:
        page = start()
        room, needs = page.bottom - page.top, [need(item) for item in waiting]
        fit = max(1, sum(high <= room for high in itertools.accumulate(needs)))
        more = min(spare, (room - sum(needs[:fit])) / fit)
        y = page.top
        for number, item in enumerate(waiting[:fit], start=1):
            draw(page, item, y, needs[number - 1] + more, number)
            y += needs[number - 1] + more
        waiting = waiting[fit:]
        pages.append(page)
    return pages


Cell = str | Colour | Band


def draw_table(
    page: Page,
    x: float,
    y: float,
    columns: Sequence[Column],
    rows: Sequence[Sequence[Cell]],
    step: float = 5.0,
    points: float = 8.0,
) -> float:
    """Rows under a head, with a hairline beneath the head; gives where it ends.

    A colour makes a swatch, a band a small bar from value 0 to 10.

    Figures are set in cells of one width so that they stand in columns.
    """
    y += step
    at = x
    for column in columns:
        place = _anchor(at, column)
        page.text(place, y - 1.4, column.head, FINE_PT, face="Bold", align=column.align)
        at += column.width
    page.line([(x, y), (at, y)])
    for row in rows:
        y += step
        at = x
        for column, cell in zip(columns, row, strict=True):
            if isinstance(cell, str):
                place = _anchor(at, column)
                tabular = column.align == "right"
                page.text(place, y - 1.4, cell, points, align=column.align, tabular=tabular)
            elif isinstance(cell, Band):
                band_of(page, at, y - step / 2, column.width - 3.0, cell)
            else:
                page.rect(at + 0.5, y - step + 0.6, column.width - 1.5, step - 1.0, cell)
            at += column.width
    return y


def band_of(page: Page, x: float, y: float, width: float, band: Band) -> None:
    """The band of a value as a small bar on a line from 0 to 10."""
    page.band_bar(x, y, width, (band.low, band.best, band.high))


def _anchor(at: float, column: Column) -> float:
    shift = {"left": 0.0, "centre": column.width / 2 - 1, "right": column.width - 2.0}
    return at + shift[column.align]


def fitted_points(text: str, width: float, points: float, least: float = FINE_PT) -> float:
    """The largest size up to `points` at which a text fits a width; 0 if `least` is too wide."""
    wide = text_mm(text, points)
    if wide <= width:
        return points
    smaller = points * width / wide
    return smaller if smaller >= least else 0.0


def told_on(page: Page, x: float, y: float, text: str, patch: Look) -> None:
    """Small type on a predicted colour, in the grey, white or black that stands out."""
    colour = readable_on(patch.rgb8)
    page.text(x, y, text, FINE_PT, align="centre", colour=colour, tabular=True)


def bracket(page: Page, x0: float, x1: float, y: float, text: str, hooks: float = 1.2) -> None:
    """A hairline over a stretch with a word on its middle; `hooks` down, or up if negative."""
    points: list[Point] = [(x0, y + hooks), (x0, y), (x1, y), (x1, y + hooks)]
    page.line(points, HAIRLINE_PT, HAIR)
    word = y - 1.0 if hooks > 0 else y + 3.2
    page.text((x0 + x1) / 2, word, text, FINE_PT, align="centre")


def value_strip(page: Page, x: float, y: float, width: float, height: float) -> None:
    """Greys of Munsell value 1 to 9, to hold a painted patch against."""
    wide = width / 9
    for number in range(1, 10):
        signal = round(255 * float(srgb_encode(luminance_of_value(number))))
        left = x + (number - 1) * wide
        grey = signal, signal, signal
        page.rect(left, y, wide, height, grey, name=f"grey-{number}")
        page.text(left + wide / 2, y + height + 3.6, f"{number}", FINE_PT, align="centre")


def blank_line(page: Page, x0: float, x1: float, y: float) -> None:
    """A line to write on."""
    page.line([(x0, y), (x1, y)], HAIRLINE_PT, INK)


def line_high(points: float = LABEL_PT, leading: float = 1.3) -> float:
    """Height of a line of text [mm]."""
    return points * MM_PER_PT * leading


def fitted(wide: float, high: float, most_wide: float, most_high: float) -> tuple[float, float]:
    """A picture's size [mm] within a frame, its shape kept."""
    scale = min(most_wide / wide, most_high / high)
    return wide * scale, high * scale


def name_lines(page: Page, name: str = "Name:", of_class: str = "Class:") -> None:
    """Lines for who paints it, across the top of what is left of a page."""
    y, middle = page.top + 4.0, page.left + 0.62 * (page.right - page.left)
    for x, end, told in ((page.left, middle - 5, name), (middle, page.right, of_class)):
        page.text(x, y, told, LABEL_PT)
        blank_line(page, x + 16, end, y + 0.6)
    page.top += NAME_MM
