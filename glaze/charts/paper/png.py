"""A page as pixels, for screens: drawn four times as fine and averaged, a strip at a time."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.charts.paper.marks import MM_PER_PT, Image, Line, Mark, Shape, Text, bounds
from glaze.charts.paper.page import Page
from glaze.charts.paper.type import pil_font
from glaze.physics.flow import MM_PER_INCH

FINER = 4
STRIP_PX = 256
"""Rows drawn at once, so that a large sheet never stands in memory four times as fine."""


def page_pixels(page: Page, dpi: float = 150.0) -> NDArray[np.uint8]:
    """The page as 8-bit sRGB, shape (rows, columns, 3). Signals are uint8."""
    per_mm = dpi / MM_PER_INCH
    rows, columns = round(page.height * per_mm), round(page.width * per_mm)
    out = np.empty((rows, columns, 3), np.uint8)
    for top in range(0, rows, STRIP_PX):
        high = min(STRIP_PX, rows - top)
        out[top : top + high] = _strip(page, top, high, columns, per_mm)
    return out


def _strip(page: Page, top: int, high: int, columns: int, per_mm: float) -> NDArray[np.uint8]:
    from PIL import Image as Pillow
    from PIL import ImageDraw

    strip = Pillow.new("RGB", (columns * FINER, high * FINER), (255, 255, 255))
    brush = _Brush(strip, ImageDraw.Draw(strip), per_mm * FINER, top / per_mm)
    for mark in page.marks:
        _, first, _, last = bounds(mark)
        if last * per_mm >= top and first * per_mm <= top + high:
            brush.put(mark)
    return np.asarray(strip.reduce(FINER), dtype=np.uint8)


class _Brush:
    """Draws marks on a strip that starts `top_mm` down the page."""

    def __init__(self, strip: Any, draw: Any, px_per_mm: float, top_mm: float) -> None:
        self.strip, self.draw, self.px_per_mm, self.top_mm = strip, draw, px_per_mm, top_mm

    def put(self, mark: Mark) -> None:
        """Draw one mark."""
        if isinstance(mark, Text):
            self._text(mark)
        elif isinstance(mark, Shape):
            if mark.fill is not None:
                self.draw.polygon(self._px(mark.points), mark.fill)
            if mark.frame is not None:
                self._line([*mark.points, mark.points[0]], mark.frame)
        elif isinstance(mark, Line):
            self._line(mark.points, mark)
        else:
            self._image(mark)

    def _px(self, points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        return [(x * self.px_per_mm, (y - self.top_mm) * self.px_per_mm) for x, y in points]

    def _line(self, points: Sequence[tuple[float, float]], pen: Line) -> None:
        wide = pen.points_wide * MM_PER_PT * self.px_per_mm
        if pen.dotted:
            on, off = pen.dashes_mm
            # a stroke is drawn as dots so close that they touch
            close = pen.points_wide * MM_PER_PT / 4
            r = wide / 2
            for number, (x, y) in enumerate(self._px(list(_dots(points, close)))):
                if (not on and number % 12 == 0) or (on and number * close % (on + off) <= on):
                    self.draw.ellipse((x - r, y - r, x + r, y + r), pen.colour)
            return
        self.draw.line(self._px(points), pen.colour, max(1, round(wide)), joint="curve")

    def _text(self, mark: Text) -> None:
        font = pil_font(mark.points, self.px_per_mm * MM_PER_INCH, mark.face)
        if not mark.turn_degrees:
            for at, piece in mark.runs:
                place = self._px([(mark.x + mark.left + at, mark.y)])[0]
                self.draw.text(place, piece, mark.colour, font=font, anchor="ls")
            return
        self._turned(mark, font)

    def _turned(self, mark: Text, font: Any) -> None:
        """Text is set on a square stencil about its anchor, which is then turned."""
        from PIL import Image as Pillow
        from PIL import ImageDraw

        reach = math.ceil((abs(mark.left) * 2 + 2 * mark.points) * self.px_per_mm) + 2
        stencil = Pillow.new("L", (2 * reach, 2 * reach), 0)
        pen = ImageDraw.Draw(stencil)
        for at, piece in mark.runs:
            x = reach + (mark.left + at) * self.px_per_mm
            pen.text((x, reach), piece, 255, font=font, anchor="ls")
        stencil = stencil.rotate(-mark.turn_degrees, Pillow.Resampling.BICUBIC)
        x, y = self._px([(mark.x, mark.y)])[0]
        self.strip.paste(mark.colour, (round(x) - reach, round(y) - reach), stencil)

    def _image(self, mark: Image) -> None:
        from PIL import Image as Pillow

        size = round(mark.width * self.px_per_mm), round(mark.height * self.px_per_mm)
        picture = Pillow.fromarray(mark.rgb8).resize(size, Pillow.Resampling.BOX)
        x, y = self._px([(mark.x, mark.y)])[0]
        self.strip.paste(picture, (round(x), round(y)))


def _dots(points: Sequence[tuple[float, float]], pitch: float) -> Iterator[tuple[float, float]]:
    """Places along a line, a pitch apart, from its start."""
    ahead = 0.0
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        long = math.hypot(x1 - x0, y1 - y0)
        while ahead <= long and long > 0:
            share = ahead / long
            yield x0 + share * (x1 - x0), y0 + share * (y1 - y0)
            ahead += pitch
        ahead -= long
