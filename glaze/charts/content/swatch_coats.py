"""The second page of a swatch sheet: thin washes, two coats, and pairs in both orders.

What strips of single coats can't tell. The thin washes lengthen the strips; all else is predicted
and tells how far to trust washes over each other.
"""

from __future__ import annotations

from collections.abc import Sequence

from glaze.charts.content.swatch_layout import (
    INKS_A_PAGE,
    OVER_PARTS,
    SECONDARY_PARTS,
    SwatchGrid,
    chosen,
    pairs_of,
    short,
    sort_inks,
    swatch_pages,
    volumes,
)
from glaze.charts.content.swatch_page import PrintedPlace, SwatchPage
from glaze.patch.table import Table

COATS_PAGE = 15
"""Number of the page; those of strips and of the lift experiment come before."""

THIN_RUNGS = (32.0, 50.0)
"""Parts of water to one of ink: beyond the strips' 1 + 16."""

TWICE = (1.0, 4.0, 8.0, 16.0)
"""Parts of water in washes that are laid twice."""


def coats_page(table: Table, size: str = "A4", inks: Sequence[str] = ()) -> SwatchPage:
    """The page for the first four inks."""
    first = swatch_pages(table, size, inks)[0]
    black, hued = sort_inks(table, chosen(table, inks))
    grid = SwatchGrid(size)
    places = [p for row, ink in enumerate(first.inks) for p in _coats(grid, row, ink)]
    hues = [ink for ink in first.inks if ink in hued][:3]
    places += _orders(grid, INKS_A_PAGE, hues)
    if black in first.inks:
        places += _with_black(grid, INKS_A_PAGE + 1, str(black), hues)
    return SwatchPage(size, first.names, first.inks, COATS_PAGE, 1, tuple(places))


def _coats(grid: SwatchGrid, row: int, ink: str) -> list[PrintedPlace]:
    """Thin washes, then washes laid twice."""
    thin = [
        grid.place(
            *(row, column, "rung", f"{ink} {short(parts)}", False),
            label=f"{short(parts)}",
            layers=(volumes([ink], parts),),
            inks=(ink,),
            parts=parts,
        )
        for column, parts in enumerate(THIN_RUNGS)
    ]
    start = len(thin)
    twice = [
        _over(grid, row, start + n, (ink, parts), (ink, parts), f"{short(parts)}, twice")
        for n, parts in enumerate(TWICE)
    ]
    return [*thin, *twice]


def _orders(grid: SwatchGrid, row: int, hues: Sequence[str]) -> list[PrintedPlace]:
    """Each two hues over each other, in both orders."""
    both = [order for a, b in pairs_of(hues) for order in ((a, b), (b, a))]
    return [
        _over(grid, row, n, (low, SECONDARY_PARTS), (high, SECONDARY_PARTS), f"{high} over {low}")
        for n, (low, high) in enumerate(both)
    ]


def _with_black(grid: SwatchGrid, row: int, black: str, hues: Sequence[str]) -> list[PrintedPlace]:
    """A hue over the shadow wash, which is the other order, and the wash over hues laid thin."""
    first = [
        _over(grid, row, n, (black, OVER_PARTS), (hue, SECONDARY_PARTS), f"{hue} over {black}")
        for n, hue in enumerate(hues)
    ]
    thin = [
        _over(
            grid,
            row,
            len(first) + n,
            (hue, OVER_PARTS),
            (black, OVER_PARTS),
            f"{black} over {hue} {short(OVER_PARTS)}",
        )
        for n, hue in enumerate(hues)
    ]
    return [*first, *thin]


def _over(
    grid: SwatchGrid,
    row: int,
    column: int,
    low: tuple[str, float],
    high: tuple[str, float],
    label: str,
) -> PrintedPlace:
    """One wash over another; the name says both."""
    (below, water), (above, more) = low, high
    return grid.place(
        *(row, column, "over", f"{above} {short(more)} over {below} {short(water)}", False),
        label=label,
        layers=(volumes([below], water), volumes([above], more)),
        inks=tuple(dict.fromkeys((below, above))),
        parts=more,
    )
