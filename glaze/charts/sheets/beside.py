"""Two or more pictures of a sheet side by side, with numbers on them, and rows that tell each."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.card_words import in_lines
from glaze.charts.paper.marks import INK, MM_PER_PT, Line, box
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Colour, Page
from glaze.charts.paper.readable import readable_on

GAP_MM = 6.0
TALLEST_MM = 112.0
SWATCH_MM = (26.0, 9.5)
ROW_MM = 12.5
LABEL_MM, MOST_MOVES = 3.6, 60
"""Room of a number of two digits, and how often numbers on each other are moved apart."""

Pixels = NDArray[np.uint8]


def pictures(
    page: Page, shown: Sequence[tuple[str, Pixels]], places: Sequence[tuple[int, int]]
) -> None:
    """Pictures of one shape side by side, numbered on each.

    Parameters
    ----------
    shown : words over each, and its sRGB, shape (rows, columns, 3)
    places : row and column of each number
    """
    rows, columns = shown[0][1].shape[:2]
    count = len(shown)
    room = page.right - page.left + GAP_MM
    wide = room / count - GAP_MM
    high = wide * rows / columns
    if high > TALLEST_MM:
        wide, high = wide * TALLEST_MM / high, TALLEST_MM
    scale = np.array([high / rows, wide / columns])
    labels = apart(np.array(places, float).reshape(-1, 2) * scale, (high, wide))
    for number, (words, rgb8) in enumerate(shown):
        x = page.left + number * room / count
        page.text(x, page.top + 3.0, words, LABEL_PT, face="Bold")
        page.image(x, page.top + 5.0, wide, high, rgb8, f"picture: {words}")
        for label, (down, aside) in enumerate(labels, start=1):
            r, g, b = (int(v) for v in rgb8[int(down * rows / high), int(aside * columns / wide)])
            at = x + aside, page.top + 5.0 + down + 0.9
            page.text(*at, str(label), FINE_PT, align="centre", colour=readable_on((r, g, b)))
    page.top += high + 11.0


def apart(places_mm: NDArray[np.float64], size_mm: tuple[float, float]) -> NDArray[np.float64]:
    """Places of numbers moved as little as it takes for none to lie on another [mm].

    places_mm : down and across, shape (places, 2), as the result; size_mm : high and wide
    """
    least, most = 0.5 * LABEL_MM, np.array(size_mm) - 0.5 * LABEL_MM
    moved = np.clip(places_mm, least, most)
    for _ in range(MOST_MOVES):
        still = True
        for one, other in combinations(range(len(moved)), 2):
            gap = moved[other] - moved[one]
            if (far := float(np.hypot(*gap))) < LABEL_MM:
                way = gap / far if far > 0 else np.array([0.0, 1.0])
                step = 0.51 * (LABEL_MM - far) * way
                moved[one], moved[other], still = moved[one] - step, moved[other] + step, False
        if still:
            break
        moved = np.clip(moved, least, most)
    return moved


def row(
    page: Page,
    at: tuple[float, float],
    wide: float,
    number: int,
    name: str,
    told: str,
    halves: Sequence[tuple[str, Colour]],
) -> None:
    """One place: its number, a swatch in two halves, its name, and what is told of it."""
    x, y = at
    page.text(x + 4.0, y + 6.0, str(number), LABEL_PT, face="Bold", align="right", tabular=True)
    left, (across, high) = x + 6.0, SWATCH_MM
    for half, (words, colour) in enumerate(halves):
        shape = box(left + half * across / 2, y, across / 2, high)
        page.polygon(shape, colour, None, f"{words}: {name}")
    page.polygon(box(left, y, across, high), None, Line((), 0.3, INK))
    text = left + across + 3.0
    room = x + wide - text
    lines = in_lines(name, room, 2)
    step = FINE_PT * MM_PER_PT * 1.2
    for line_number, line in enumerate([*lines, *in_lines(told, room, 3 - len(lines))]):
        tabular = line_number >= len(lines)
        page.text(text, y + 2.4 + step * line_number, line, FINE_PT, tabular=tabular)
