"""The sketch with its areas numbered over a fine grid in mm, to print and to write mixes on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.charts.paper.marks import INK
from glaze.charts.paper.type import pil_font
from glaze.region.areas import Area, Areas
from glaze.sketch.line import MM_PER_INCH

FINEST_DPI = 200.0
MARGIN_MM = 9.0
COLUMN_MM = 46.0
NUMBER_PT, LISTED_PT, GRID_PT = 9.0, 8.0, 8.0
GRID_MM, LABELLED_MM = 5, 10
PALE, PALER, JOIN = (205, 201, 196), (228, 225, 221), (120, 112, 104)
LINE_SHARE = 0.55
"""Of its darkness that the sketch's line keeps, so that numbers stand out."""


def areas_sheet(areas: Areas, labels: Mapping[int, str]) -> tuple[NDArray[np.uint8], float]:
    """The numbered sketch at true size; what is too small for its number is listed beside.

    Parameters
    ----------
    areas : numbers of shape (rows, columns), each an index of an area
    labels : what stands in an area, by its number

    Returns
    -------
    rgb : uint8, shape (rows, columns, 3); and its dpi
    """
    from PIL import Image, ImageDraw

    step = max(1, int(np.ceil(areas.sketch.dpi / FINEST_DPI - 1e-6)))
    dpi = areas.sketch.dpi / step
    per_mm = dpi / MM_PER_INCH
    line = areas.sketch.line[::step, ::step]
    shades = np.rint(255 * (1 - LINE_SHARE * (1 - line))).astype(np.uint8)
    font = pil_font(NUMBER_PT, dpi, "Bold")
    told = [(labels[area.number], area) for area in areas.listed if area.number in labels]
    small = [(n, area) for n, area in told if not _fits(font.getlength(n) / per_mm, area)]
    edge = round(MARGIN_MM * per_mm)
    column = round(COLUMN_MM * per_mm) if small else edge
    page = Image.new("RGB", (line.shape[1] + edge + column, line.shape[0] + 2 * edge), "white")
    page.paste(Image.fromarray(shades), (edge, edge))
    draw = ImageDraw.Draw(page)
    _grid(draw, areas.sketch.size_mm, per_mm, dpi, edge)
    for join in areas.joins:
        points = [(edge + x * per_mm, edge + y * per_mm) for x, y in join.path_mm]
        draw.line(points, JOIN, max(2, round(0.5 * per_mm)))
    for label, area in told:
        at = (edge + area.at_mm[0] * per_mm, edge + area.at_mm[1] * per_mm)
        if (label, area) in small:
            draw.point(at, INK)
        else:
            wide = round(0.4 * per_mm)
            draw.text(at, label, INK, font, "mm", stroke_width=wide, stroke_fill="white")
    _list(draw, small, (edge + line.shape[1] + round(4 * per_mm), edge), per_mm, dpi)
    return np.asarray(page), dpi


def _fits(wide_mm: float, area: Area) -> bool:
    """Whether a number of that width stands well inside an area."""
    left, top, right, bottom = area.box_mm
    return right - left > wide_mm + 1.5 and bottom - top > 4.5 and area.mm2 > 6 * wide_mm


def _grid(draw: Any, size_mm: tuple[float, float], per_mm: float, dpi: float, edge: int) -> None:
    """A hairline every 5 mm, and its mm in the margin every 10."""
    font = pil_font(GRID_PT, dpi)
    wide, high = (side * per_mm for side in size_mm)
    for axis, length in enumerate(size_mm):
        for mm in range(0, int(length) + 1, GRID_MM):
            at = edge + mm * per_mm
            tone = PALE if mm % LABELLED_MM == 0 else PALER
            ends = ((at, edge, at, edge + high), (edge, at, edge + wide, at))
            draw.line(ends[axis], tone, 1)
            if mm % LABELLED_MM == 0:
                place = ((at, edge - 1.2 * per_mm), (edge - 1.2 * per_mm, at))[axis]
                draw.text(place, f"{mm}", INK, font, ("mb", "rm")[axis])


def _list(
    draw: Any, small: Sequence[tuple[str, Area]], corner: tuple[int, int], per_mm: float, dpi: float
) -> None:
    """Areas too small for their number, with their places in mm."""
    font, (x, y) = pil_font(LISTED_PT, dpi), corner
    room = draw.im.size[1] - 2 * corner[1]
    lines = [f"{label}  at {a.at_mm[0]:.0f}, {a.at_mm[1]:.0f}" for label, a in small]
    most = max(1, int(room / (4.0 * per_mm)) - 1)
    if len(lines) > most:
        lines = [*lines[: most - 1], f"and {len(lines) - most + 1} more in areas.json"]
    for n, text in enumerate(["Too small to number:", *lines] if lines else []):
        draw.text((x, y + n * 4.0 * per_mm), text, INK, font)
