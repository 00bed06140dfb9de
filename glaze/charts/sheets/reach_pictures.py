"""The pictures of a reach sheet: as it lies, as light as bleach gets it, and the map of wishes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.charts.paper.marks import Colour, Point, frame_of, text_mm, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.paper.readable import readable_on
from glaze.errors import percent
from glaze.painting.develop import lined
from glaze.patch.seen import rgb8_of
from glaze.planning.lift.reach import Reach
from glaze.planning.lift.reach_map import CANT, KEEP, LIFT, RESERVE, VERDICTS
from glaze.planning.lift.reach_plans import linear_of

GAP_MM = 5.0
MAP_PX = 1100
"""Longest side of the hatched map [px]: hatching stays even on any sheet."""
HATCH_PX = 16
LEAST_LETTER = 0.004
"""Areas of the map smaller than this share of it carry no letter."""
MOST_LETTERS = 40
MARK_APART_MM, LEAST_DEPTH_MM = 5.0, 0.9
"""Numbers stand at least so far apart, and so far inside their regions."""
MOST_PICTURE_MM = 105.0
PALE, MID = 244, 190


LETTERS = {KEEP: "", LIFT: "L", RESERVE: "R", CANT: "X"}
MEANINGS = {
    LIFT: "lift: bleach surely gets it light enough",
    RESERVE: "reserve: leave the paper bare; bleach may not get back to it",
    CANT: "can't: lighter than this paper is",
    KEEP: "as it is: light enough already",
}


@dataclass(frozen=True)
class MapFrame:
    """Where a picture stands [mm]."""

    x: float
    y: float
    width: float
    height: float

    def at(self, row: float, column: float) -> Point:
        """Place of a share of the picture's height and width."""
        return self.x + column * self.width, self.y + row * self.height


def draw_pictures(page: Page, reach: Reach, y: float, wished: bool, rows: int) -> float:
    """The pictures under their titles, with the map's legend; gives where they end.

    Upright sheets stand in one row. Of wide ones two stand side by side, the map below with its
    legend beside it.
    """
    drawn = [
        ("as it lies, before any bleach", _seen(reach, reach.map.xyz_now)),
        ("if bleach took all it can", _seen(reach, reach.map.xyz_best)),
    ]
    if wished:
        drawn.append(("for the values you want", _hatched(reach)))
    shape = reach.map.now.shape
    across = 2 if shape[1] > shape[0] else len(drawn)
    down = -(-len(drawn) // across)
    wide = (page.right - page.left - (across - 1) * GAP_MM) / across
    table_room = min(10.0 + 4.6 * min(rows + 1, 9), 52.0)
    legend = 12.0 if wished and down == 1 else 0.0
    room = (page.bottom - y - table_room - legend) / down - 12.0
    high = min(wide * shape[0] / shape[1], max(room, 30.0), MOST_PICTURE_MM)
    wide = high * shape[1] / shape[0]
    for number, (words, rgb8) in enumerate(drawn):
        row, column = divmod(number, across)
        x, top = page.left + column * (wide + GAP_MM), y + 4.0 + row * (high + 10.0)
        frame = MapFrame(x, top + 2.0, wide, high)
        page.text(x, top, words, LABEL_PT, face="Bold")
        page.image(x, frame.y, wide, high, rgb8, f"picture-{number}")
        page.rect(x, frame.y, wide, high, None, frame_of("estimated"))
        if number < 2:
            _numbers(page, frame, reach, rgb8)
        else:
            _letters(page, frame, reach)
    end = y + down * (high + 10.0) + 1.0
    if not wished:
        return end
    if down == 1:
        return _legend(page, page.left, end, reach)
    _legend(page, page.left + wide + GAP_MM, end - high, reach)
    return end


def _seen(reach: Reach, xyz: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Colours as a screen shows them, under the sketch's line."""
    rgb = linear_of(reach.painting, xyz)
    line = line_of(reach)
    return rgb8_of(rgb if line is None else lined(reach.painting, rgb, line.astype(np.float32)))


def line_of(reach: Reach) -> NDArray[np.float64] | None:
    """The sketch's line at the size of the map: the mean of what each of its pixels stands for.

    Transmittance [-], shape (rows, columns).
    """
    line = reach.painting.line
    if line is None:
        return None
    rows, columns = reach.map.now.shape
    n = reach.step
    padded = np.ones((rows * n, columns * n), np.float32)
    part = line[: rows * n, : columns * n]
    padded[: part.shape[0], : part.shape[1]] = part
    return padded.reshape(rows, n, columns, n).mean(axis=(1, 3)).astype(float)


def _hatched(reach: Reach) -> NDArray[np.uint8]:
    """The map of wishes in hatching, so that it needs no colour: shape (rows, columns, 3)."""
    rows, columns = reach.map.now.shape
    times = max(1, MAP_PX // max(rows, columns))
    verdict = np.repeat(np.repeat(reach.verdict, times, axis=0), times, axis=1)
    grey = np.where(verdict == KEEP, 255, PALE).astype(np.uint8)
    for kind, marks in _marks(verdict.shape).items():
        grey[verdict == kind] = 255
        grey[(verdict == kind) & marks] = 70
    line = line_of(reach)
    if line is not None:
        fine = np.repeat(np.repeat(line, times, axis=0), times, axis=1)
        grey = (grey * (0.25 + 0.75 * fine)).astype(np.uint8)
    return np.repeat(grey[..., None], 3, axis=-1)


def _letters(page: Page, frame: MapFrame, reach: Reach) -> None:
    """L, R or X in the middle of each larger area of the map, on white."""
    from scipy.ndimage import label

    found: list[tuple[int, float, float, str]] = []
    for kind, letter in LETTERS.items():
        if not letter:
            continue
        areas, count = label(reach.verdict == kind)
        sizes = np.bincount(areas.ravel(), minlength=count + 1)
        for number in range(1, count + 1):
            if sizes[number] >= LEAST_LETTER * areas.size:
                row, column, _ = deepest(areas == number)
                found.append((int(sizes[number]), row, column, letter))
    for _, row, column, letter in sorted(found, reverse=True)[:MOST_LETTERS]:
        x, y = frame.at(row, column)
        page.rect(x - 1.8, y - 1.8, 3.6, 3.6, (255, 255, 255))
        page.text(x, y + 1.2, letter, 9, face="Bold", align="centre", name=f"letter-{letter}")


def deepest(inside: NDArray[np.bool_]) -> tuple[float, float, float]:
    """The place of an area farthest from its edge, and how far, as shares of height and width.

    The distance is a share of the height.

    True inside, shape (rows, columns).
    """
    from scipy.ndimage import distance_transform_edt

    depth = distance_transform_edt(np.pad(inside, 1))[1:-1, 1:-1]
    row, column = np.unravel_index(int(depth.argmax()), depth.shape)
    rows, columns = inside.shape
    return (float(row) + 0.5) / rows, (float(column) + 0.5) / columns, float(depth.max()) / rows


def _numbers(page: Page, frame: MapFrame, reach: Reach, rgb8: NDArray[np.uint8]) -> None:
    """The table's numbers in their regions, where they don't crowd each other."""
    taken: list[Point] = []
    for number, region in enumerate(reach.regions, start=1):
        inside = reach.covers[region.name]
        if not inside.any():
            continue
        row, column, depth = deepest(inside)
        x, y = frame.at(row, column)
        crowded = any(np.hypot(x - a, y - b) < MARK_APART_MM for a, b in taken)
        if crowded or depth * frame.height < LEAST_DEPTH_MM:
            continue
        taken.append((x, y))
        spot = rgb8[int(row * rgb8.shape[0]), int(column * rgb8.shape[1])]
        colour: Colour = (int(spot[0]), int(spot[1]), int(spot[2]))
        page.text(x, y + 0.9, str(number), FINE_PT, align="centre", colour=readable_on(colour))


def _legend(page: Page, left: float, y: float, reach: Reach) -> float:
    """What hatching and letters mean, with the share of the sheet; gives where it ends."""
    x = left
    shares = reach.shares
    for kind, meaning in MEANINGS.items():
        share = shares[VERDICTS[kind]]
        told = f"{meaning} ({percent(share)} of the sheet)"
        lines = wrapped(told, page.right - left - 9.0, FINE_PT)
        wide = 9.0 + max(text_mm(line, FINE_PT) for line in lines) + 5.0
        if x + wide > page.right + 5.0 and x > left:
            x, y = left, y + 5.5
        page.image(x, y - 3.2, 7.0, 4.2, _patch(kind), f"legend-{VERDICTS[kind]}")
        page.rect(x, y - 3.2, 7.0, 4.2, None, frame_of("estimated"))
        if LETTERS[kind]:
            page.rect(x + 2.1, y - 2.7, 2.8, 3.2, (255, 255, 255))
            page.text(x + 3.5, y, LETTERS[kind], LABEL_PT, face="Bold", align="centre")
        for line in lines:
            page.text(x + 9.0, y, line, FINE_PT)
            y += 3.4
        y -= 3.4
        x += wide
    return y + 4.0


def _marks(shape: tuple[int, int]) -> dict[int, NDArray[np.bool_]]:
    """The hatching of each verdict: lines, dots and a cross of lines."""
    i, j = np.indices(shape)
    half = HATCH_PX // 2
    dots = ((i % HATCH_PX - half) ** 2 + (j % HATCH_PX - half) ** 2) < 9
    cross = ((i + j) % half < 3) | ((i - j) % half < 3)
    return {LIFT: (i + j) % HATCH_PX < 2, RESERVE: dots, CANT: cross}


def _patch(kind: int) -> NDArray[np.uint8]:
    """A little of the map's hatching."""
    shape = 50, 84
    grey = np.where(_marks(shape).get(kind, np.zeros(shape, bool)), 70, 255).astype(np.uint8)
    return np.repeat(grey[..., None], 3, axis=-1)
