"""Areas of a sketch that its lines enclose, with gaps in the lines closed.

Lines are walls. They are thickened until gaps of the given width are shut, the open areas between
them are told apart, and then all areas grow back at once, pixel by pixel, until they meet: in the
middle of a gap, and under the line, so that two washes touch below the ink.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.sketch.line import MM_PER_INCH, Sketch

Areas = NDArray[np.int32]  # shape (rows, columns)

WALL = 0.75  # guess: a line darker than a quarter stops a wash; a faint construction line doesn't
UNDER_LINE_MM = 1.0  # areas grow so far below a line: more than half of any pen line
OPEN_TIPS_MM = 20.0  # and so far into tips and dead ends narrower than the gap
LARGE_SHARE = 0.6  # of the sheet: an area as large as that is hardly meant
WIDER_GAPS = (2.0, 4.0)  # times gap_mm, tried where an area may have leaked


def areas_of(sketch: Sketch, gap_mm: float) -> Areas:
    """Number of the area at every pixel, 0 for none, gaps in the lines up to `gap_mm` closed.

    Numbers count from 1, as index of an area; int32, shape (rows, columns).
    """
    from scipy.ndimage import label

    scale = sketch.dpi / MM_PER_INCH
    wall = sketch.line < WALL
    number = np.zeros(wall.shape, np.int32)
    label(~thickened(wall, gap_mm / 2 * scale), output=number)
    grow(number, ~wall, round(OPEN_TIPS_MM * scale))
    grow(number, np.ones_like(wall), round(UNDER_LINE_MM * scale))
    return number


def thickened(wall: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    """Walls grown by a disc: everything within `radius_px` of a wall's pixel.

    True where a wall is, shape (rows, columns), same shape back.
    """
    from scipy.ndimage import maximum_filter1d

    reach = int(radius_px)
    thick = wall.copy()
    wide: dict[int, NDArray[np.uint8]] = {}
    for down in range(reach + 1):
        half = int(np.sqrt(radius_px**2 - down**2))
        if half not in wide:
            wide[half] = maximum_filter1d(
                wall.view(np.uint8), 2 * half + 1, axis=1, mode="constant", cval=0
            )
        row = wide[half].view(bool)
        thick[down:] |= row[: len(row) - down]
        thick[: len(row) - down] |= row[down:]
    return thick


def grow(number: NDArray[np.int32], free: NDArray[np.bool_], steps: int) -> None:
    """Let areas grow over free pixels without a number, in place, all at the same pace.

    A pixel that several areas reach in the same step goes to the one with the lowest number.

    Numbers of areas, 0 for none, and True where they may grow: both of shape (rows, columns),
    index 0 at the upper left.
    """
    rows, columns = number.shape
    # a rim of blocked pixels, so that neighbours never wrap round the sheet
    framed = np.full((rows + 2, columns + 2), -1, np.int32)
    framed[1:-1, 1:-1] = np.where(free | (number > 0), number, -1)
    flat = framed.ravel()
    offsets = (-(columns + 2), -1, 1, columns + 2)
    front = _border(framed, offsets)
    for _ in range(steps):
        if not front.size:
            break
        target = np.concatenate([front + offset for offset in offsets])
        value = np.tile(flat[front], len(offsets))
        empty = flat[target] == 0
        target, value = target[empty], value[empty]
        order = np.lexsort((value, target))
        front, first = np.unique(target[order], return_index=True)
        flat[front] = value[order][first]
    grown = framed[1:-1, 1:-1]
    number[...] = np.where(grown > 0, grown, number)


def _border(framed: NDArray[np.int32], offsets: tuple[int, ...]) -> NDArray[np.int64]:
    """Numbered pixels beside a pixel that can still be taken."""
    empty = framed == 0
    beside = np.zeros_like(empty)
    beside[1:] |= empty[:-1]
    beside[:-1] |= empty[1:]
    beside[:, 1:] |= empty[:, :-1]
    beside[:, :-1] |= empty[:, 1:]
    return np.flatnonzero(beside & (framed > 0))


def enclosed(
    sketch: Sketch, areas: Areas, points: tuple[tuple[float, float], ...], gap_mm: float
) -> tuple[NDArray[np.uint16], list[str]]:
    """Coverage of the areas around points [mm], 65535 = full, and notes of what may have leaked.

    Shape (rows, columns).

    Raises
    ------
    InputError
        When a point lies off the sheet, on a line, or where no area is as wide as the gap.
    """
    at: dict[int, tuple[float, float]] = {}
    problems = []
    for point in points:
        try:
            at.setdefault(_number_at(sketch, areas, point, gap_mm), point)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    mask = np.isin(areas, list(at)) if len(at) > 1 else areas == min(at)
    return _smoothed(mask), _leaks(sketch, areas, at, gap_mm)


def _number_at(sketch: Sketch, areas: Areas, point: tuple[float, float], gap_mm: float) -> int:
    where = f"the point [{point[0]:g}, {point[1]:g}] mm"
    scale = sketch.dpi / MM_PER_INCH
    column, row = (int(np.floor(mm * scale)) for mm in point)
    rows, columns = sketch.shape
    if not (0 <= row < rows and 0 <= column < columns):
        width, height = sketch.size_mm
        raise InputError(
            f"{where} lies off the sheet; allowed: 0 to {width:.0f} across, 0 to {height:.0f} down."
        )
    if sketch.line[row, column] < WALL:
        raise InputError(f"{where} lies on a line; move it into the area that is meant.")
    number = int(areas[row, column])
    if number == 0:
        raise InputError(
            f"{where} lies where lines stand closer than the gap of {gap_mm:g} mm that is closed; "
            "make gap_mm smaller or move the point."
        )
    return number


def _smoothed(mask: NDArray[np.bool_]) -> NDArray[np.uint16]:
    """An edge of a pixel's softness in place of steps (weights 1, 2, 1 both ways, exact)."""
    made = np.zeros(mask.shape, np.uint16)
    rows, columns = (np.flatnonzero(mask.any(axis=axis)) for axis in (1, 0))
    if not rows.size:
        return made
    # only where the mask is, and a pixel round it: most areas are small
    box = tuple(slice(max(0, at[0] - 1), at[-1] + 2) for at in (rows, columns))
    padded = np.pad(mask[box], 1, mode="edge").astype(np.uint16)
    across = padded[:, :-2] + 2 * padded[:, 1:-1] + padded[:, 2:]
    total = across[:-2] + 2 * across[1:-1] + across[2:]
    made[box] = total * np.uint32(65535) // 16
    return made


def _leaks(
    sketch: Sketch, areas: Areas, at: dict[int, tuple[float, float]], gap_mm: float
) -> list[str]:
    """A sentence for each area that looks as if it ran out through a gap in its line.

    A sky may well reach the edge of the sheet. So the walls are tried with wider gaps closed too:
    if a much smaller, closed area is left around the point then, the line most likely has a gap.
    """
    notes = []
    walls, per_mm = _coarse_walls(sketch)
    for number, point in at.items():
        area = areas == number
        pixels = np.count_nonzero(area)
        share, size_mm2 = pixels / area.size, pixels * (MM_PER_INCH / sketch.dpi) ** 2
        edge = bool(area[0].any() or area[-1].any() or area[:, 0].any() or area[:, -1].any())
        if not edge and share <= LARGE_SHARE:
            continue
        tries = (
            (gap_mm * wider, _closed_area_mm2(walls, per_mm, point, gap_mm * wider))
            for wider in WIDER_GAPS
        )
        shut = next(((gap, mm2) for gap, mm2 in tries if 0 < mm2 < size_mm2 / 2), None)
        if shut:
            notes.append(
                f"the area at [{point[0]:g}, {point[1]:g}] runs out and covers {share:.0%} "
                f"of the sheet, yet it closes at {shut[1] / 100:.3g} cm2 with gap_mm = {shut[0]:g} "
                f"in place of {gap_mm:g}. If that is what you mean, its line has a gap."
            )
    return notes


def _coarse_walls(sketch: Sketch) -> tuple[NDArray[np.bool_], float]:
    """Walls on pixels of about a quarter of a millimetre, and how many of those a mm holds."""
    step = max(1, round(sketch.dpi / MM_PER_INCH / 4))
    rows, columns = (length // step * step for length in sketch.shape)
    fine = sketch.line[:rows, :columns] < WALL
    coarse = np.zeros((rows // step, columns // step), bool)
    for down in range(step):
        for across in range(step):
            coarse |= fine[down::step, across::step]
    return coarse, sketch.dpi / MM_PER_INCH / step


def _closed_area_mm2(
    walls: NDArray[np.bool_], per_mm: float, point: tuple[float, float], gap_mm: float
) -> float:
    """Area around a point once gaps of `gap_mm` are closed; 0 where it still isn't enclosed.

    On coarse walls: only the size counts here.
    """
    from scipy.ndimage import label

    number, _ = label(~thickened(walls, gap_mm / 2 * per_mm))
    row, column = (
        min(int(mm * per_mm), n - 1) for mm, n in zip(point[::-1], walls.shape, strict=True)
    )
    area = number == number[row, column]
    at_edge = area[0].any() or area[-1].any() or area[:, 0].any() or area[:, -1].any()
    if number[row, column] == 0 or at_edge:
        return 0.0
    return float(area.sum()) / per_mm**2
