"""What is wrong with a printed page: marks in its margins, type over type, type too small or pale.

Every function of glaze that draws pages is held to it (test_sheet_layout.py), in a test
that has such pages made.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from glaze.charts.paper.marks import WHITE, Image, Shape, Text, bounds
from glaze.charts.paper.page import MARGIN_MM, Page
from glaze.charts.paper.readable import contrast
from glaze.materials.bleach import CAUTION, CAUTION_LINE

FRAME_MM = 1.1  # bounds of a shape hold room for its frame, and the facts stand on the margin
LEAST_PT, CAUTION_PT, LEAST_CONTRAST = 8.0, 9.0, 4.5


def in_margins(page: Page) -> Iterator[str]:
    least = MARGIN_MM - FRAME_MM
    for mark in page.marks:
        if isinstance(mark, Text) and mark.turn_degrees:
            continue  # its bounds are those of all its turns
        left, top, right, bottom = bounds(mark)
        inside = right <= page.width - least and bottom <= page.height - least
        if not (left >= least and top >= least and inside):
            yield f"{getattr(mark, 'text', mark.name)!r} in a margin"


def over_each_other(page: Page) -> Iterator[str]:
    texts = [m for m in page.marks if isinstance(m, Text) and not m.turn_degrees]
    # from the height of capitals down to a little below the base line
    boxes = [(x + 0.1, t + 0.6, r - 0.1, b - 0.9) for x, t, r, b in map(bounds, texts)]
    for k, (one, a) in enumerate(zip(texts, boxes, strict=True)):
        for other, b in zip(texts[k + 1 :], boxes[k + 1 :], strict=True):
            if not (a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]):
                yield f"{one.text!r} over {other.text!r}"


def too_small(page: Page) -> Iterator[str]:
    caution = {word for text in (CAUTION, CAUTION_LINE) for word in text.split()}
    for mark in page.marks:
        if not isinstance(mark, Text):
            continue
        words = mark.text.split()
        warns = len(words) > 3 and set(words) <= caution
        if mark.points < (CAUTION_PT if warns else LEAST_PT):
            yield f"{mark.text!r} in {mark.points:g} pt"


def uncautioned(page: Page) -> Iterator[str]:
    told = " ".join(mark.text for mark in page.marks if isinstance(mark, Text))
    if re.search(r"\bbleach", told, re.I) and "burns" not in told:
        yield "bleach without its caution"


def over_the_caution(page: Page) -> Iterator[str]:
    shapes = [mark for mark in page.marks if isinstance(mark, Shape)]
    for frame in (bounds(mark) for mark in shapes if mark.name == "caution"):
        for mark in shapes:
            left, top, right, bottom = bounds(mark)
            apart = left >= frame[2] or right <= frame[0] or top >= frame[3] - 1
            if mark.name != "caution" and not (apart or bottom <= frame[1] + 1):
                yield f"{mark.name!r} over the caution"


def inside(shape: Shape, x: float, y: float) -> bool:
    """Whether a point lies in a polygon: edges crossed to its right, counted."""
    crossed = False
    for (x0, y0), (x1, y1) in zip(shape.points, shape.points[1:] + shape.points[:1], strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            crossed = not crossed
    return crossed


def too_pale(page: Page) -> Iterator[str]:
    """WCAG 2.2, 1.4.3: contrast of 4.5 to 1 or more for small type, on what it stands on."""
    pictures = [mark for mark in page.marks if isinstance(mark, Image)]
    filled = [(mark, bounds(mark)) for mark in page.marks if isinstance(mark, Shape) and mark.fill]
    for text in page.marks:
        if not isinstance(text, Text):
            continue
        x, y, under = text.x + 0.2, text.y - 0.5, WHITE
        if any(at.x < x < at.x + at.width and at.y < y < at.y + at.height for at in pictures):
            continue  # numbers on pictures: of as many colours as there are pixels
        for shape, (left, top, right, bottom) in filled:
            if left < x < right and top < y < bottom and inside(shape, x, y):
                under = shape.fill
        if (found := contrast(text.colour, under)) < LEAST_CONTRAST:
            yield f"{text.text!r} stands out by {found:.1f}"


CHECKS = {
    check.__name__: check
    for check in (in_margins, over_each_other, too_small, uncautioned, over_the_caution, too_pale)
}


def faults(pages: Iterable[Page]) -> list[str]:
    """What is wrong with some pages, in words; nothing where all is well."""
    looked = [(page, check) for page in pages for check in CHECKS.values()]
    return [f"{page.title}: {told}" for page, check in looked for told in check(page)]
