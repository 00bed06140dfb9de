"""What stands on a printed swatch sheet, and where: strips, mixes, shadow washes, bleach places.

The sheet is read back from a scan (`glaze.calibrate`), so drawing and reading share this layout.
All in millimetres from the upper left corner of the page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from glaze.charts.content.swatch_page import (
    DOT_MM,
    FIELD_BOTTOM_MM,
    FIELD_TOP_MM,
    GAP_MM,
    MARK_MM,
    PrintedPlace,
    SwatchPage,
)
from glaze.charts.paper.page import MARGIN_MM, SIZES_MM
from glaze.errors import InputError, unknown
from glaze.materials.ink import Ink
from glaze.materials.parts_told import parts_short
from glaze.patch.seen import looks_of
from glaze.patch.table import Table
from glaze.patch.washes import GREY_CHROMA, lay_shares

SIZES = ("A4", "Letter")

RUNGS = (0.0, 1.0, 2.0, 4.0, 8.0, 16.0)
"""Parts of water to one part of ink, along a strip."""

OVER_PARTS = 4.0
"""Parts of water in the shadow wash that goes over each hue."""

STRONG_PARTS = 6.0
"""Parts of water in the black that goes thinly over the darkest hue, neat: no measured set says
whether that turns to grey film."""

SECONDARY_PARTS = 1.0
"""Parts of water to one part of the inks in a secondary, so that its colour can be told."""

DOTTED_RUNGS = (0.0, 4.0)
"""Rungs with a place for a bleach dot: dense ink and thin ink lift to different ghosts."""

TRIAL = tuple((parts, minutes) for parts in (0.0, 4.0, 19.0) for minutes in (1 / 6, 1.0, 10.0))
"""Dots of the lift experiment: parts of water to one of bleach, and minutes to blotting."""

TRIAL_PARTS = 1.0
"""Parts of water in the ink under those dots; in the shadow wash it is `OVER_PARTS`."""

FIRST_TRIAL = 8
"""Number of the first page of the lift experiment; pages of strips come before."""

COLUMNS = 6
INKS_A_PAGE = 4
ROWS = INKS_A_PAGE + 2

LABELS_MM = 26.0
LABEL_ROW_MM = 5.0
"""Between rows: what is under a patch is told there."""


def swatch_pages(table: Table, size: str = "A4", inks: Sequence[str] = ()) -> list[SwatchPage]:
    """The pages of a swatch sheet for the palette's bottles, or for the inks named.

    Four inks a page, each as a strip of dilutions; the mixes of two hues stand on the first page,
    and on each page the black over its hues.
    """
    if size not in SIZES:
        raise InputError(unknown("paper size for a swatch sheet", size, SIZES))
    bottles = chosen(table, inks)
    names = tuple(ink.name for ink in bottles)
    black, hued = sort_inks(table, bottles)
    pages = [names[i : i + INKS_A_PAGE] for i in range(0, len(names), INKS_A_PAGE)]
    found = []
    for number, page in enumerate(pages, start=1):
        grid = SwatchGrid(size)
        places = [p for row, ink in enumerate(page) for p in _strip(grid, row, ink)]
        pairs = pairs_of(hued[:3]) if number == 1 else []
        places += _mixed_row(grid, INKS_A_PAGE, pairs)
        here = [name for name in page if name in hued]
        places += _over_row(grid, INKS_A_PAGE + 1, black, here, pairs, _darkest(table, here))
        found.append(SwatchPage(size, names, page, number, len(pages), tuple(places)))
    return found


def trial_pages(table: Table, size: str = "A4", inks: Sequence[str] = ()) -> list[SwatchPage]:
    """The pages of the lift experiment: nine dots on each ink, and on the black's shadow wash."""
    strips = swatch_pages(table, size, inks)
    black, _ = sort_inks(table, chosen(table, inks))
    found = []
    for number, page in enumerate(strips):
        grid = SwatchGrid(size, len(TRIAL))
        rows = [(ink, TRIAL_PARTS) for ink in page.inks]
        rows += [(black, OVER_PARTS)] if black in page.inks else []
        places = [
            grid.trial(row, column, ink, parts)
            for row, (ink, parts) in enumerate(rows)
            for column in range(len(TRIAL))
        ]
        numbers = number + FIRST_TRIAL, len(strips)
        found.append(SwatchPage(size, page.names, page.inks, *numbers, tuple(places)))
    return found


def trial_words(bleach: tuple[float, float]) -> str:
    """A dot's strength and time: "1+4, 10 s"."""
    parts, minutes = bleach
    return f"{short(parts)}, " + (f"{60 * minutes:.0f} s" if minutes < 1 else f"{minutes:g} min")


def chosen(table: Table, inks: Sequence[str]) -> tuple[Ink, ...]:
    """The inks named, or the palette's bottles."""
    if not inks:
        return table.palette.bottles or tuple(table.palette.inks.values())
    found = tuple(dict.fromkeys(table.palette.ink(name).name for name in inks))
    most = (FIRST_TRIAL - 1) * INKS_A_PAGE
    if len(found) > most:
        raise InputError(f"{len(found)} inks: a swatch sheet holds at most {most}.")
    return tuple(table.palette.inks[name] for name in found)


def sort_inks(table: Table, inks: Sequence[Ink]) -> tuple[str | None, tuple[str, ...]]:
    """The black (the darkest ink without a hue) and the inks that have one."""
    seen = looks_of(table, lay_shares(table, inks, np.eye(len(inks))))
    by_name = dict(zip((ink.name for ink in inks), seen, strict=True))
    hued = tuple(name for name, patch in by_name.items() if patch.chroma >= GREY_CHROMA)
    greys = [name for name in by_name if name not in hued]
    return min(greys, key=lambda name: by_name[name].value, default=None), hued


def _darkest(table: Table, names: Sequence[str]) -> str | None:
    """The ink of least value among some."""
    inks = [table.palette.inks[name] for name in names]
    seen = looks_of(table, lay_shares(table, inks, np.eye(len(inks)))) if inks else ()
    values = {name: look.value for name, look in zip(names, seen, strict=True)}
    return min(values, key=values.__getitem__, default=None)


class SwatchGrid:
    """The rows and columns patches stand in."""

    def __init__(self, size: str, columns: int = COLUMNS) -> None:
        left, right = MARGIN_MM + LABELS_MM, SIZES_MM[size][0] - MARGIN_MM - GAP_MM
        self.first_x, self.pitch_x = left, (right - left + GAP_MM) / columns
        top = FIELD_TOP_MM + MARK_MM + 9.0
        bottom = FIELD_BOTTOM_MM[size] - MARK_MM
        self.first_y, self.pitch_y = top, (bottom - top) / ROWS

    def place(
        self, row: int, column: int, kind: str, name: str, dotted: bool, **more: object
    ) -> PrintedPlace:
        """The patch at a row and column."""
        x, y = self.first_x + column * self.pitch_x, self.first_y + row * self.pitch_y
        wide, high = self.pitch_x - GAP_MM, self.pitch_y - LABEL_ROW_MM
        dot = (x + wide - DOT_MM / 2 - 2.0, y + high / 2) if dotted else None
        facts: dict[str, object] = {"label": "", "layers": (), "inks": (), "parts": 0.0} | more
        return PrintedPlace(kind, name, x=x, y=y, width=wide, height=high, dot=dot, **facts)  # type: ignore[arg-type]

    def trial(self, row: int, column: int, ink: str, parts: float) -> PrintedPlace:
        """A patch of the lift experiment, its dot in the lower half."""
        bleach = TRIAL[column]
        name = f"{ink} {short(parts)} under {trial_words(bleach)}"
        recipe = volumes([ink], parts)
        facts = {"layers": (recipe,), "inks": (ink,), "parts": parts, "bleach": bleach}
        found = self.place(row, column, "trial", name, False, **facts)
        middle = found.x + found.width / 2, found.y + found.height - DOT_MM / 2 - 2.0
        return replace(found, dot=middle)


def volumes(inks: Sequence[str], water: float) -> str:
    """Equal parts of inks, together one part, and so many parts of water, as a recipe."""
    parts = [f"{ink} {1 / len(inks):.6g} parts" for ink in inks]
    return " + ".join([*parts, *([f"water {water:g} parts"] if water else [])])


def short(parts: float) -> str:
    """ "1+4", or "neat": for names and narrow places."""
    return parts_short(parts).replace(" ", "")


def _strip(grid: SwatchGrid, row: int, ink: str) -> list[PrintedPlace]:
    return [
        grid.place(
            row,
            column,
            "rung",
            f"{ink} {short(parts)}",
            parts in DOTTED_RUNGS,
            layers=(volumes([ink], parts),),
            inks=(ink,),
            parts=parts,
        )
        for column, parts in enumerate(RUNGS)
    ]


def pairs_of(hued: Sequence[str]) -> list[tuple[str, str]]:
    """Each two neighbours of the primaries once."""
    if len(hued) < 2:
        return []
    return [(a, b) for i, a in enumerate(hued) for b in hued[i + 1 :]]


def _mixed_row(grid: SwatchGrid, row: int, pairs: Sequence[tuple[str, str]]) -> list[PrintedPlace]:
    """Secondaries, then bare paper, bleach on bare paper, and the place of a grey card."""
    places = [
        grid.place(
            row,
            column,
            "secondary",
            f"{pair[0]} with {pair[1]}",
            True,
            label=f"{pair[0]} + {pair[1]}",
            layers=(volumes(pair, SECONDARY_PARTS),),
            inks=pair,
        )
        for column, pair in enumerate(pairs)
    ]
    places.append(grid.place(row, 3, "bare", "bare paper", False, label="leave bare"))
    places.append(
        grid.place(row, 4, "bleached", "bleach on bare paper", True, label="bleach dot, no ink")
    )
    places.append(grid.place(row, 5, "grey card", "grey card", False, label="grey card, if any"))
    return places


def _over_row(
    grid: SwatchGrid,
    row: int,
    black: str | None,
    hued: Sequence[str],
    pairs: Sequence[tuple[str, str]],
    darkest: str | None,
) -> list[PrintedPlace]:
    """The black as a shadow wash over each hue at 1+1; thinly over the darkest, neat."""
    if black is None or darkest is None:
        return []
    under = [*((name,) for name in hued), *pairs][: COLUMNS - 1]
    wash = volumes([black], OVER_PARTS)
    found = [
        grid.place(
            row,
            column,
            "over",
            f"{black} over {' and '.join(inks)}",
            True,
            label=" + ".join(inks),
            layers=(volumes(inks, SECONDARY_PARTS), wash),
            inks=(*inks, black),
            parts=OVER_PARTS,
        )
        for column, inks in enumerate(under)
    ]
    return [*found, _strong(grid, row, len(found), black, darkest)]


def _strong(grid: SwatchGrid, row: int, column: int, black: str, hue: str) -> PrintedPlace:
    """A thin black over a hue laid neat."""
    return grid.place(
        row,
        column,
        "over",
        f"{black} 1+{STRONG_PARTS:g} over {hue} neat",
        True,
        label=f"{hue} neat, under 1+{STRONG_PARTS:g}",
        layers=(volumes([hue], 0.0), volumes([black], STRONG_PARTS)),
        inks=(hue, black),
        parts=STRONG_PARTS,
    )
