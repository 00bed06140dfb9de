"""Finding the printed corner marks in a scan or photo, and reading the code between them."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.swatch_page import (
    CELL_MM,
    CODE_BITS,
    CODE_MAGIC,
    DISC_MM,
    HOLE_MM,
    MARK_MM,
    SwatchPage,
    check_sum,
)
from glaze.errors import InputError
from glaze.sketch.edges import shrink
from glaze.sketch.plane import Plane, plane_through

Array = NDArray[np.float64]
Grey = NDArray[np.float32]

WORK_PX = 1800
"""Long side of the picture in which marks are looked for: a mark is then about 45 px across."""

DARK_SHARE = 0.45
"""Darker than this share of the paper around it counts as print."""

SMALLEST_PX = 7
MOST_MARKS = 8

DISC_SHARE = (DISC_MM / MARK_MM) ** 2
RING_SHARE = 1.0 - (HOLE_MM / MARK_MM) ** 2


def find_page(luminance: Grey, pages: Sequence[SwatchPage]) -> tuple[SwatchPage, Plane]:
    """Which of the pages a picture shows, and where: from mm on the page to pixels (x, y).

    Parameters
    ----------
    luminance : linear, shape (rows, columns)
    """
    marks = find_marks(luminance)
    if len(marks) < 4:
        raise InputError(_too_few(len(marks)))
    seen_other = False
    for four in itertools.combinations(marks[:MOST_MARKS], 4):
        for corners in _turns(np.array(four)):
            for page in pages:
                plane = plane_through(page.marks, corners)
                bits = read_code(luminance, page, plane)
                if bits == page.code:
                    return page, plane
                seen_other = seen_other or _is_code(bits)
    if seen_other:
        names = ", ".join(pages[0].names)
        raise InputError(
            f"This swatch sheet was printed for other inks than {names}. Give the palette it was "
            "printed for with --palette (and --inks), or print a new sheet."
        )
    raise InputError(
        f"{len(marks)} corner marks were found, but the printed code between the upper two can't "
        "be read. Scan the whole page, flat, sharp and with nothing lying on it."
    )


def _too_few(found: int) -> str:
    if found == 0:
        return (
            "No corner mark of a swatch sheet was found: this seems to be a picture of something "
            "else. Print a sheet with glaze chart swatches, paint it, and scan the whole page at "
            "150 dpi or more."
        )
    return (
        f"Only {found} of the 4 corner marks were found: part of the sheet is cut off, covered, "
        "or out of focus. Scan or photograph the whole page with all four ringed dots on it."
    )


def _turns(four: Array) -> list[Array]:
    """The four corners clockwise, starting at each of them (a sheet may lie any way round)."""
    away = four - four.mean(axis=0)
    clockwise = four[np.argsort(np.arctan2(away[:, 1], away[:, 0]))]
    # most sheets lie upright: begin with the corner that is nearest the upper left
    first = int(np.argmin(clockwise.sum(axis=1)))
    return [np.roll(clockwise, -(first + turn), axis=0) for turn in range(4)]


def _is_code(bits: tuple[int, ...]) -> bool:
    code = int("".join(map(str, bits)), 2)
    return code >> 20 == CODE_MAGIC and check_sum(code >> 4) == code & 0xF


def read_code(luminance: Grey, page: SwatchPage, plane: Plane) -> tuple[int, ...]:
    """Bits of the code where it would stand; garbage where there is none."""
    step = CELL_MM / 8
    inside = np.array(list(itertools.product((-2, -1, 0, 1, 2), repeat=2))) * step
    cells = page.cells[:, None, :] + inside
    beside = page.cells[:, None, :] + np.array([[0.0, CELL_MM * 1.2], [0.0, -CELL_MM * 1.2]])
    dark = np.median(sample(luminance, plane(cells)), axis=1)
    # each cell against the paper above and below it: the light may fall off along the row
    paper = sample(luminance, plane(beside)).max(axis=1)
    bits = dark < 0.6 * np.maximum(paper, 1e-6)
    return tuple(int(bit) for bit in bits) if bits.size == CODE_BITS else ()


def sample(picture: Grey, points: Array) -> NDArray[np.float32]:
    """The picture's nearest pixels at points (x, y); NaN outside.

    Grey [-], shape (rows, columns), at points [px] of shape (..., 2).
    """
    x, y = np.rint(points[..., 0]).astype(int), np.rint(points[..., 1]).astype(int)
    rows, columns = picture.shape[:2]
    there = (x >= 0) & (y >= 0) & (x < columns) & (y < rows)
    found = picture[np.clip(y, 0, rows - 1), np.clip(x, 0, columns - 1)].astype(np.float32)
    found[~there] = np.nan
    return found


def find_marks(luminance: Grey) -> list[tuple[float, float]]:
    """Middles of ringed dots (x, y) [px], the best formed first.

    A mark is a dark ring whose hole holds a dark disc with the same middle, both of the size
    that the printed mark has relative to each other; so it is told from type and from paint
    whichever way the sheet lies.
    """
    from scipy import ndimage

    factor = max(1, round(max(luminance.shape) / WORK_PX))
    small = shrink(luminance, factor)
    dark = small < DARK_SHARE * _paper_level(small)
    label, count = ndimage.label(dark, structure=np.ones((3, 3)))
    boxes = ndimage.find_objects(label)
    sizes = np.bincount(label.ravel())
    found = []
    for number in range(1, count + 1):
        box = boxes[number - 1]
        if box is not None:
            mark = _as_mark(label, number, box, int(sizes[number]))
            if mark is not None:
                found.append(mark)
    found.sort()
    return [((x + 0.5) * factor - 0.5, (y + 0.5) * factor - 0.5) for _, x, y in found]


def _paper_level(small: Grey) -> Grey:
    """How light the paper is around each pixel: the lightest nearby, smoothed."""
    from scipy import ndimage

    # a tenth of the page: wider than any patch, so that there is always bare paper within
    reach = max(3, max(small.shape) // 10)
    coarse = small[::4, ::4]
    light = ndimage.maximum_filter(ndimage.uniform_filter(coarse, 2), max(3, reach // 4))
    light = ndimage.gaussian_filter(light, max(1, reach // 8))
    full = np.repeat(np.repeat(light, 4, axis=0), 4, axis=1)
    return np.asarray(full[: small.shape[0], : small.shape[1]], dtype=np.float32)


def _as_mark(
    label: NDArray[np.int32], number: int, box: tuple[slice, slice], size: int
) -> tuple[float, float, float] | None:
    """How far a dark spot is from being a ringed dot, and its middle (x, y); None if it is none."""
    from scipy import ndimage

    high, wide = (side.stop - side.start for side in box)
    if min(high, wide) < SMALLEST_PX or not 0.4 < high / wide < 2.5:
        return None
    if high > label.shape[0] // 6 or wide > label.shape[1] // 4:
        return None
    ring = label[box] == number
    whole = ndimage.binary_fill_holes(ring)
    area = float(whole.sum())
    # an ellipse fills pi/4 of its box upright and less of it when it lies aslant
    if not 0.45 < area / (high * wide) < 0.9 or not 0.45 < size / area / RING_SHARE < 1.5:
        return None
    disc = whole & ~ring & (label[box] > 0)
    share = float(disc.sum()) / area
    if not 0.3 < share / DISC_SHARE < 2.2:
        return None
    middle = np.array(ndimage.center_of_mass(whole))
    off = float(np.abs(np.array(ndimage.center_of_mass(disc)) - middle).max())
    if off > 0.12 * min(high, wide):
        return None
    badness = abs(np.log(share / DISC_SHARE)) + abs(np.log(size / area / RING_SHARE))
    return badness, float(middle[1]) + box[1].start, float(middle[0]) + box[0].start
