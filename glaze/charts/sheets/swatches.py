"""The swatch sheet: outlined patches to paint with one's own inks, scan, and read back.

It is printed on the paper one paints on; `glaze.charts.content.swatch_layout` says where
everything lies.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from glaze.charts.content.swatch_coats import COATS_PAGE, coats_page
from glaze.charts.content.swatch_layout import (
    COLUMNS,
    FIRST_TRIAL,
    OVER_PARTS,
    RUNGS,
    TRIAL,
    swatch_pages,
    trial_pages,
    trial_words,
)
from glaze.charts.content.swatch_page import (
    CELL_MM,
    DISC_MM,
    DOT_MM,
    HOLE_MM,
    MARK_MM,
    PrintedPlace,
    SwatchPage,
)
from glaze.charts.paper.marks import HAIR, box, circle
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.facts import facts_of
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.dilution import dilution_of
from glaze.materials.parts_told import parts_short, parts_words
from glaze.patch.table import Table

BLACK = (0, 0, 0)
"""Corner marks and code are plain black, the colour every printer makes darkest."""

TOLD = (
    "Print at 100 % on the paper you paint on, and let the print dry. Fill each patch up to its "
    "outline in one go and leave the gaps bare: the light on the sheet is read there. When all is "
    "bone dry, scan the whole page at 300 dpi with every automatic correction off."
)

TOLD_COATS = (
    "Beside the swatch sheet, on the same paper: thin washes, washes laid twice, and two inks over "
    "each other at 1 + 1 where nothing else is said, each dry before the next. Fill each patch up "
    "to its outline, leave the gaps bare, and scan it with the sheet's other pages: glaze "
    "calibrate strips.png coats.png -o inks.toml. Part of it helps too."
)

TOLD_TRIAL = (
    "Paint each row with one ink let down as the row says; when all is bone dry put one drop of "
    "bleach into each ring: as strong as the column says (parts of water to one part of bleach), "
    "blotted after so long. Rinse nothing. Let it dry and air, then scan it with the other page. "
    "Any dots help: two of each ink say how fast it goes, and glaze calibrate tells which to add."
)

TOLD_BLEACH = (
    "Dotted rings: a dot of neat bleach each, if you like, last of all; blot after one minute."
)


def swatch_sheet(
    table: Table,
    size: str = "A4",
    inks: Sequence[str] = (),
    day: str | None = None,
    bleach: bool = True,
    coats: bool = False,
) -> list[Page]:
    """The pages of the swatch sheet for the palette's bottles, or for the inks named.

    Parameters
    ----------
    size : A4 or Letter
    day : date to print, today's if None
    bleach : with places for bleach dots, and the lift experiment
    coats : with a page of thin washes, two coats, and pairs in both orders
    """
    pages = swatch_pages(table, size, inks)
    pages += [coats_page(table, size, inks)] if coats else []
    pages += trial_pages(table, size, inks) if bleach else []
    return [_draw(table, page, day, bleach) for page in pages]


def _draw(table: Table, layout: SwatchPage, day: str | None, bleach: bool) -> Page:
    page = Page(layout.size)
    coats = layout.number == COATS_PAGE
    trial = layout.number >= FIRST_TRIAL and not coats
    number = layout.number - FIRST_TRIAL + 1 if trial else layout.number
    which = f", page {number} of {layout.pages}" if layout.pages > 1 else ""
    if trial:
        page.head(f"Lift experiment{which}", "How your inks answer to bleach, if you like.")
    elif coats:
        page.head("Coats and orders", "Your inks over each other, read back with the strips.")
    else:
        page.head(f"Swatch sheet{which}", "Your inks on your paper, to be read back from a scan.")
    told = TOLD_TRIAL if trial else TOLD_COATS if coats else TOLD
    page.paragraph(page.left, page.top + 3.0, page.right - page.left, told, 8.0)
    page.foot(facts_of(table, day))
    if bleach and not coats:
        # the whole caution would lie over the marks that the scan is found by
        page.caution(CAUTION_LINE)
    _marks(page, layout)
    if trial:
        _trial_headings(page, layout)
    elif not coats:
        _headings(page, table, layout)
    _row_names(page, table, layout)
    if not bleach:
        layout = replace(layout, places=tuple(replace(place, dot=None) for place in layout.places))
    for place in layout.places:
        if bleach or place.kind != "bleached":
            _patch(page, place)
    if not bleach:
        return page
    middle = (page.left + page.right) / 2
    if not trial and not coats:
        page.text(middle, float(layout.marks[2][1]) + 1.2, TOLD_BLEACH, 8.0, align="centre")
    return page


def _marks(page: Page, layout: SwatchPage) -> None:
    """Corner marks and code, found again in the scan."""
    for number, (x, y) in enumerate(layout.marks, start=1):
        middle = float(x), float(y)
        page.polygon(circle(middle, MARK_MM), BLACK, name=f"mark-{number}")
        page.polygon(circle(middle, HOLE_MM), (255, 255, 255))
        page.polygon(circle(middle, DISC_MM), BLACK)
    for number, (bit, (x, y)) in enumerate(zip(layout.code, layout.cells, strict=True), start=1):
        if bit:
            cell = float(x) - CELL_MM / 2, float(y) - CELL_MM / 2
            page.rect(*cell, CELL_MM, CELL_MM, BLACK, name=f"code-{number}")


def _trial_headings(page: Page, layout: SwatchPage) -> None:
    """Over the columns of the lift experiment: the bleach and how long it stays."""
    for place, bleach in zip(layout.places, TRIAL, strict=False):
        head, tail = trial_words(bleach).split(", ")
        page.text(place.x, place.y - 5.4, head, 8, face="Bold")
        page.text(place.x, place.y - 2.0, tail, 8, face="Bold")


def _headings(page: Page, table: Table, layout: SwatchPage) -> None:
    """Over the columns: the dilution in full, and drops that make it."""
    first = [place for place in layout.places if place.kind == "rung"][:COLUMNS]
    alike = len({table.palette.inks[name].drops_per_ml for name in layout.inks}) == 1
    for place, parts in zip(first, RUNGS, strict=True):
        x = place.x
        words = parts_words(parts)
        head, _, tail = words.partition(" + ")
        page.text(x, place.y - 5.4, f"{head} +" if tail else head, 8, face="Bold")
        page.text(x, place.y - 2.0, tail, 8, face="Bold")
        if alike and parts:
            steps = dilution_of(table.mix(f"{layout.inks[0]} 1"), parts).counts
            if steps:
                told = ", then ".join(f"{ink} + {water}" for ink, water in steps)
                told += " drops" if len(steps) == 1 else ""
                page.text(x, place.y + place.height + 3.0, told, FINE_PT)


def _row_names(page: Page, table: Table, layout: SwatchPage) -> None:
    """Before each row what it is, in a few short lines."""
    rows = sorted({place.y for place in layout.places})
    kinds = {p.y: p.kind for p in reversed(layout.places)}
    high = layout.places[0].height
    for number, y in enumerate(rows):
        if kinds[y] == "trial":
            row = next(place for place in layout.places if place.y == y)
            ink = table.palette.inks[row.inks[0]]
            lines = [f"{ink.key}  {ink.name}", parts_short(row.parts)]
        elif kinds[y] == "rung":
            ink = table.palette.inks[layout.inks[number]]
            lines = [f"{ink.key}  {ink.name}"]
            if layout.number == COATS_PAGE:
                lines += ["one part + parts", "of water"] if number == 0 else []
            elif number == 0:
                lines += ["parts by ml, or", "drops of ink +", "drops of water"]
        elif layout.number == COATS_PAGE:
            black = any(p.parts == OVER_PARTS for p in layout.places if p.y == y)
            lines = ["With black", "black at", "1 part + 4 parts", "water"]
            lines = lines if black else ["Two hues", "in both orders,", "each at 1 + 1"]
        elif kinds[y] == "over":
            lines = [
                "Shadow wash",
                f"1 part + {OVER_PARTS:g} parts",
                "water, over",
                "these at 1 + 1",
            ]
        else:
            lines = ["Two inks", "equal parts of", "both, and as", "much water"]
        _lines(page, page.left, y, high, lines)


def _lines(page: Page, x: float, y: float, high: float, lines: Sequence[str]) -> None:
    step = 3.4
    top = y + (high - step * (len(lines) - 1)) / 2 + 1.1
    for number, line in enumerate(lines):
        bold = number == 0
        points = LABEL_PT if bold else FINE_PT
        page.text(x, top + step * number, line, points, face="Bold" if bold else "Regular")


def _patch(page: Page, place: PrintedPlace) -> None:
    """An outline that paint covers, its label, and a dotted ring for the bleach."""
    shape = box(place.x, place.y, place.width, place.height)
    page.swatch(shape, None, name=place.name)
    if place.dot is not None:
        ring = circle(place.dot, DOT_MM)
        page.line([*ring, ring[0]], 0.7, HAIR, dotted=True, name=f"dot: {place.name}")
    if place.label:
        page.text(place.x, place.y + place.height + 3.0, place.label, FINE_PT)
