"""Where everything lies on a printed swatch sheet: patches, bleach places, corner marks, code.

The sheet is read back from a scan (`glaze.calibrate`), so drawing and reading share this layout.
All in millimetres from the upper left corner of the page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

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

FIELD_TOP_MM = 46.0
FIELD_BOTTOM_MM = {"A4": 234.0, "Letter": 216.5}
LABELS_MM = 26.0
GAP_MM = 3.6
"""Bare paper between patches: the light on the sheet is read there."""
LABEL_ROW_MM = 5.0
"""Between rows: what is under a patch is told there."""

MARK_MM, HOLE_MM, DISC_MM = 8.0, 5.2, 2.8
"""Corner mark: a ring, its hole, and the disc in it (diameters)."""

CODE_MAGIC = 0b1101
CODE_BITS = 24
CELL_MM, CELL_PITCH_MM = 2.6, 4.0

DOT_MM = 7.0
"""Printed place of a bleach dot (diameter); its middle third is read."""


@dataclass(frozen=True)
class PrintedPlace:
    """A patch on the sheet.

    kind : "rung", "secondary", "over", "bare", "bleached" (bleach on bare paper), "grey card" or
        "trial" (a dot of the lift experiment)
    name : unlike any other on the sheet: "Blue 1+4"
    label : what is printed under it
    layers : washes to lay, the first first, as recipes by volume
    inks : names of the inks in it
    parts : of water to one part of ink, rungs and trials only
    x, y, width, height : [mm]
    dot : middle of the place for a bleach dot [mm], None if there is none
    bleach : its parts of water and its minutes, where the sheet says so
    """

    kind: str
    name: str
    label: str
    layers: tuple[str, ...]
    inks: tuple[str, ...]
    parts: float
    x: float
    y: float
    width: float
    height: float
    dot: tuple[float, float] | None = None
    bleach: tuple[float, float] | None = None

    @property
    def read_box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom [mm] of what is read: clear of the frame and of the dot."""
        right, bottom = self.x + self.width - 2.5, self.y + self.height - 2.5
        if self.dot and self.bleach:  # it stands below, in a narrow patch
            bottom = self.dot[1] - DOT_MM / 2 - 2.0
        elif self.dot:
            right = self.dot[0] - DOT_MM / 2 - 2.0
        return self.x + 2.5, self.y + 2.5, right, bottom


@dataclass(frozen=True)
class SwatchPage:
    """One page of a swatch sheet.

    names : the inks of the whole sheet, all pages; they make the code
    inks : the inks of this page
    number, pages : this page and how many there are
    """

    size: str
    names: tuple[str, ...]
    inks: tuple[str, ...]
    number: int
    pages: int
    places: tuple[PrintedPlace, ...]

    @property
    def marks(self) -> NDArray[np.float64]:
        """Middles of the corner marks [mm], shape (4, 2), clockwise from the upper left."""
        left, right = MARGIN_MM + MARK_MM / 2, SIZES_MM[self.size][0] - MARGIN_MM - MARK_MM / 2
        top, bottom = FIELD_TOP_MM + MARK_MM / 2, FIELD_BOTTOM_MM[self.size] - MARK_MM / 2
        return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])

    @property
    def cells(self) -> NDArray[np.float64]:
        """Middles of the cells of the code [mm], shape (24, 2)."""
        wide = SIZES_MM[self.size][0] - 2 * MARGIN_MM
        first = MARGIN_MM + wide / 2 - CELL_PITCH_MM * (CODE_BITS - 1) / 2
        x = first + CELL_PITCH_MM * np.arange(CODE_BITS)
        return np.column_stack([x, np.full(CODE_BITS, FIELD_TOP_MM + MARK_MM / 2)])

    @property
    def code(self) -> tuple[int, ...]:
        """Bits of the code: magic, page, the inks and size, and a sum over these."""
        text = "|".join((self.size, *self.names))
        body = (CODE_MAGIC << 16) | (self.number << 12) | (crc32(text.encode()) & 0xFFF)
        return bits_of(body << 4 | check_sum(body))

    def bare_points(self) -> NDArray[np.float64]:
        """Places between patches that stay bare paper [mm], shape (points, 2)."""
        found = []
        for place in self.places:
            for y in np.linspace(place.y + 2, place.y + place.height - 2, 5):
                found.append((place.x + place.width + GAP_MM / 2, float(y)))
        first = min(place.x for place in self.places)
        for row in sorted({place.y for place in self.places}):
            found.append((first - GAP_MM / 2, row + 6.0))
        return np.array(found)


def bits_of(code: int) -> tuple[int, ...]:
    """A code as its bits, the highest first."""
    return tuple(code >> shift & 1 for shift in range(CODE_BITS - 1, -1, -1))


def check_sum(body: int) -> int:
    """Four bits that tell whether the other twenty were read rightly."""
    return crc32(body.to_bytes(3, "big")) & 0xF


def swatch_pages(table: Table, size: str = "A4", inks: Sequence[str] = ()) -> list[SwatchPage]:
    """The pages of a swatch sheet for the palette's bottles, or for the inks named.

    Four inks a page, each as a strip of dilutions; the mixes of two hues stand on the first page,
    and on each page the black over its hues.
    """
    if size not in SIZES:
        raise InputError(unknown("paper size for a swatch sheet", size, SIZES))
    chosen = _chosen(table, inks)
    names = tuple(ink.name for ink in chosen)
    black, hued = sort_inks(table, chosen)
    pages = [names[i : i + INKS_A_PAGE] for i in range(0, len(names), INKS_A_PAGE)]
    found = []
    for number, page in enumerate(pages, start=1):
        grid = _Grid(size)
        places = [p for row, ink in enumerate(page) for p in _strip(grid, row, ink)]
        pairs = _pairs(hued[:3]) if number == 1 else []
        places += _mixed_row(grid, INKS_A_PAGE, pairs)
        places += _over_row(grid, INKS_A_PAGE + 1, black, [i for i in page if i in hued], pairs)
        found.append(SwatchPage(size, names, page, number, len(pages), tuple(places)))
    return found


def trial_pages(table: Table, size: str = "A4", inks: Sequence[str] = ()) -> list[SwatchPage]:
    """The pages of the lift experiment: nine dots on each ink, and on the black's shadow wash."""
    strips = swatch_pages(table, size, inks)
    black, _ = sort_inks(table, _chosen(table, inks))
    found = []
    for number, page in enumerate(strips):
        grid = _Grid(size, len(TRIAL))
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


def _chosen(table: Table, inks: Sequence[str]) -> tuple[Ink, ...]:
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


class _Grid:
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


def _strip(grid: _Grid, row: int, ink: str) -> list[PrintedPlace]:
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


def _pairs(hued: Sequence[str]) -> list[tuple[str, str]]:
    """Each two neighbours of the primaries once."""
    if len(hued) < 2:
        return []
    return [(a, b) for i, a in enumerate(hued) for b in hued[i + 1 :]]


def _mixed_row(grid: _Grid, row: int, pairs: Sequence[tuple[str, str]]) -> list[PrintedPlace]:
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
    grid: _Grid, row: int, black: str | None, hued: Sequence[str], pairs: Sequence[tuple[str, str]]
) -> list[PrintedPlace]:
    """The black as a shadow wash over each hue that stands at 1+1."""
    if black is None:
        return []
    under = [*((name,) for name in hued), *pairs][:COLUMNS]
    wash = volumes([black], OVER_PARTS)
    return [
        grid.place(
            row,
            column,
            "over",
            f"{black} over {' and '.join(inks)}",
            True,
            label=" + ".join(inks),
            layers=(volumes(inks, SECONDARY_PARTS), wash),
            inks=(*inks, black),
        )
        for column, inks in enumerate(under)
    ]
