"""A sheet of paper to print at true size: verbs to draw with, and what every sheet carries.

Measures are millimetres from the upper left corner, y down. Every sheet has a margin of 12 mm (no
printer cuts there), a check line of 100 mm at its foot, and one line that says what the colours on
it are worth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glaze.charts.paper.marks import (
    HAIR,
    HAIRLINE_PT,
    INK,
    MM_PER_PT,
    THIN_SPACE,
    Colour,
    Image,
    Line,
    Mark,
    Point,
    Shape,
    Text,
    box,
    frame_of,
    text_mm,
    wrapped,
)
from glaze.charts.paper.readable import readable_on
from glaze.errors import InputError, unknown
from glaze.materials.bleach import CAUTION, CAUTION_LINE

MARGIN_MM = 12.0
FOOT_MM = 10.0
"""What the check line and the standing of the colours take above the margin."""
CHECK_MM = 100.0

SIZES_MM = {
    "A5": (148.0, 210.0),
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
}
"""Upright [mm]; ISO 216, and US Letter of 8.5 by 11 inches (ANSI Y14.1)."""

TITLE_PT, SUBTITLE_PT, LABEL_PT, FINE_PT = 18.0, 10.0, 9.0, 8.0
"""The smallest can be read at arm's length; the caution is set as labels are."""

CAUTION_TITLE = "Bleach: read this first"
CAUTION_INNER_MM, CAUTION_COLUMN_MM = 3.0, 84.0
CAUTION_STEP_MM = 1.28 * LABEL_PT * MM_PER_PT


@dataclass(eq=False)
class Page:
    """One printed sheet, drawn mark by mark.

    size : A5, A4, A3 or Letter
    turned : landscape
    beside : what a column at the right takes off its width [mm]
    full_caution : whether the whole caution stands on it, or its line alone; None for neither
    left, top, right, bottom : edges of what may be drawn on [mm]; `head`, `foot` and `caution`
        take their part off
    """

    size: str = "A4"
    turned: bool = False
    title: str = ""
    marks: list[Mark] = field(default_factory=list)
    top: float = MARGIN_MM
    bottom: float = 0.0
    beside: float = 0.0
    full_caution: bool | None = None

    def __post_init__(self) -> None:
        if self.size not in SIZES_MM:
            raise InputError(unknown("paper size", self.size, SIZES_MM))
        self.bottom = self.height - MARGIN_MM

    @property
    def width(self) -> float:
        """[mm]."""
        return SIZES_MM[self.size][1 if self.turned else 0]

    @property
    def height(self) -> float:
        """[mm]."""
        return SIZES_MM[self.size][0 if self.turned else 1]

    @property
    def left(self) -> float:
        """Left margin [mm]."""
        return MARGIN_MM

    @property
    def right(self) -> float:
        """Where the right margin starts [mm]."""
        return self.width - MARGIN_MM - self.beside

    # --- verbs ---

    def line(
        self,
        points: Sequence[Point],
        points_wide: float = HAIRLINE_PT,
        colour: Colour = HAIR,
        *,
        dotted: bool = False,
        dash: float = 0.0,
        name: str = "",
    ) -> None:
        """A line through points; dotted, or in strokes `dash` of its widths long."""
        dotted = dotted or dash > 0
        self.marks.append(Line(tuple(points), points_wide, colour, dotted, name, dash))

    def polygon(
        self,
        points: Sequence[Point],
        fill: Colour | None = None,
        frame: Line | None = None,
        name: str = "",
    ) -> None:
        """A closed shape; of `frame` only its width, colour and dots count."""
        self.marks.append(Shape(tuple(points), fill, frame, name))

    def rect(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        fill: Colour | None = None,
        frame: Line | None = None,
        name: str = "",
    ) -> None:
        """A rectangle from its upper left corner."""
        self.polygon(box(x, y, width, height), fill, frame, name)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        points: float = LABEL_PT,
        *,
        face: str = "Regular",
        align: str = "left",
        colour: Colour = INK,
        turn_degrees: float = 0.0,
        tabular: bool = False,
        name: str = "",
    ) -> None:
        """A line of text on the base line y; `align` left, centre or right of x."""
        mark = Text(x, y, text, points, face, align, colour, turn_degrees, tabular, name)
        self.marks.append(mark)

    def paragraph(
        self,
        x: float,
        y: float,
        width: float,
        text: str,
        points: float = LABEL_PT,
        *,
        face: str = "Regular",
        leading: float = 1.3,
    ) -> float:
        """Text in lines from y down (y is its upper edge); gives where it ends [mm]."""
        for line in wrapped(text, width, points, face):
            y += points * MM_PER_PT * leading
            self.text(x, y - points * MM_PER_PT * (leading - 1) * 0.9, line, points, face=face)
        return y

    def image(
        self, x: float, y: float, width: float, height: float, rgb8: NDArray[np.uint8], name: str
    ) -> None:
        """A picture in a rectangle.

        `rgb8`: sRGB signals [-], shape (rows, columns, 3); lengths [mm].
        """
        self.marks.append(Image(x, y, width, height, rgb8, name))

    # --- what sheets of glaze are made of ---

    def swatch(
        self,
        shape: Sequence[Point],
        colour: Colour | None,
        standing: str = "assumed",
        key: str = "",
        name: str = "",
    ) -> None:
        """A patch of colour with the frame of its standing, and a key letter in its lower corner.

        Without a colour it is a blank to paint: a light outline that paint covers.
        """
        if colour is None:
            self.polygon(shape, None, Line((), HAIRLINE_PT, HAIR), name)
        else:
            self.polygon(shape, colour, frame_of(standing), name)
        if key:
            xs, ys = zip(*shape, strict=True)
            self.text(min(xs) + 1.2, max(ys) - 1.3, key, FINE_PT, colour=readable_on(colour))

    def band_bar(
        self,
        x: float,
        y: float,
        width: float,
        values: tuple[float, float, float],
        ends: tuple[float, float] = (0.0, 10.0),
    ) -> None:
        """A band as a small bar: low, middle and high on a hairline that runs from end to end."""
        per = width / (ends[1] - ends[0])
        low, middle, high = (x + (min(max(v, ends[0]), ends[1]) - ends[0]) * per for v in values)
        self.line([(x, y), (x + width, y)])
        for end in (x, x + width):
            self.line([(end, y - 0.6), (end, y + 0.6)])
        self.rect(low, y - 0.55, max(high - low, 0.2), 1.1, HAIR)
        self.line([(middle, y - 1.1), (middle, y + 1.1)], 0.9, INK)

    def head(self, title: str, subtitle: str = "") -> None:
        """The sheet's title, and a line beneath it."""
        self.title = self.title or title
        wide = self.right - self.left
        points = min(TITLE_PT, TITLE_PT * wide / text_mm(title, TITLE_PT, "Bold"))
        self.text(self.left, self.top + 5.5, title, points, face="Bold", name="title")
        self.top += 10.0
        for line in wrapped(subtitle, wide, SUBTITLE_PT) if subtitle else ():
            self.text(self.left, self.top + 1.5, line, SUBTITLE_PT, name="subtitle")
            self.top += 5.0

    def foot(self, facts: str, check_words: str = "") -> None:
        """The check line of 100 mm and the line on palette, paper, light, date and standing.

        check_words : what the check line says, in another language than English
        """
        y = self.height - MARGIN_MM
        check = y - 4.5
        ends = self.left, self.left + CHECK_MM
        self.line([(ends[0], check), (ends[1], check)], 0.5, INK, name="check-line-100-mm")
        for number in range(11):
            x = ends[0] + 10.0 * number
            self.line([(x, check), (x, check - (2.0 if number % 5 == 0 else 1.2))], 0.5, INK)
        told = f"100{THIN_SPACE}mm: print at 100{THIN_SPACE}%, and check with a ruler"
        told = check_words or told
        if text_mm(told, FINE_PT) > self.right - ends[1] - 3:
            told = f"100{THIN_SPACE}mm"
        self.text(ends[1] + 3, check, told, FINE_PT, name="check-words")
        self.text(self.left, y - 0.2, facts, FINE_PT, name="facts")
        self.bottom = min(self.bottom, y - FOOT_MM)

    def caution(self, text: str = CAUTION, *, beside: bool = False) -> None:
        """The caution for sheets that plan bleach: one framed paragraph above the foot.

        Call it after `foot`, so that it stands in the same place on every sheet. Where it would
        take more than a third of the sheet its one line stands there, and `full_caution` says
        that a page of its own has to go with it.

        beside : in a column at the right instead, for sheets with their long side across
        """
        wide = CAUTION_COLUMN_MM if beside else self.right - self.left
        room = self.bottom - self.top
        lines, high = _in_frame(text, wide)
        self.full_caution = text == CAUTION and high <= (room if beside else room / 3)
        if not self.full_caution:
            beside, wide = False, self.right - self.left
            lines, high = _in_frame(CAUTION_LINE, wide)
        left = self.right - wide
        top = self.top + 3.0 if beside else self.bottom - high
        self.rect(left, top, wide, high, None, Line((), 0.75, INK), "caution")
        left += CAUTION_INNER_MM
        self.text(left, top + 5.0, CAUTION_TITLE, LABEL_PT, face="Bold")
        for number, line in enumerate(lines, start=1):
            self.text(left, top + 6.0 + CAUTION_STEP_MM * number, line, LABEL_PT)
        if beside:
            self.beside = wide + 5.0
        else:
            self.bottom = top - 4.0


def caution_page(like: Page) -> Page:
    """A page with the whole caution, for sheets that bear its line alone."""
    page = Page(like.size, like.turned, full_caution=True)
    page.head(CAUTION_TITLE)
    y, wide = page.top + 3.0, page.right - page.left
    for line in CAUTION.split("\n"):
        y = page.paragraph(page.left, y, wide, line, LABEL_PT) + 1.0
    return page


def _in_frame(text: str, wide: float) -> tuple[list[str], float]:
    """Lines of the caution in a frame so wide, and how high that is [mm]."""
    lines = wrapped(" ".join(text.split("\n")), wide - 2 * CAUTION_INNER_MM, LABEL_PT)
    return lines, 6.0 + CAUTION_STEP_MM * len(lines) + CAUTION_INNER_MM
