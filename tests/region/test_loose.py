"""Loose drawings: strokes that stop short or run past one another are closed; scales, rays, waves
and grass, which stop in the open on purpose, part nothing.

Each drawing is made twice: with whole outlines, which says what its areas are, and in loose
strokes. Where and how strokes stop is drawn by lot, from seeds.
"""

from __future__ import annotations

from functools import cache
from math import comb
from types import SimpleNamespace

import numpy as np
import pytest

from glaze.region.areas import Areas, areas_of
from glaze.region.joins import _hangs_loose, _to_ends
from glaze.region.outline import fill, pen_line
from glaze.region.strokes import Ends
from glaze.sketch.line import Sketch

DPI = 200.0
GAP_MM = 4.0  # what a new scene starts with
STEP_MM = 0.3
Stroke = np.ndarray
SHORT_MM, PAST_MM, OFF_MM = (0.6, 2.2), (0.3, 2.5), 0.12


def curve(*points: tuple[float, float]) -> Stroke:
    """A Bézier curve."""
    t, last = np.linspace(0, 1, 80)[:, None], len(points) - 1
    terms = (
        comb(last, i) * (1 - t) ** (last - i) * t**i * p for i, p in enumerate(np.array(points))
    )
    return np.sum(list(terms), axis=0)


def arc(x: float, y: float, rx: float, ry: float, start: float = 0, end: float = 360) -> Stroke:
    angle = np.radians(np.linspace(start, end, 120))
    return np.stack([x + rx * np.cos(angle), y + ry * np.sin(angle)], axis=1)


def even(stroke: Stroke) -> Stroke:
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(stroke, axis=0).T))])
    places = np.arange(0, along[-1], STEP_MM)
    return np.stack([np.interp(places, along, side) for side in stroke.T], axis=1)


def loosened(stroke: Stroke, lot: np.random.Generator) -> list[Stroke]:
    """An outline in strokes of 14 to 30 mm; a third stop short, the others run past the next."""
    whole, found, start = even(stroke), [], 0
    while start < len(whole) - 4:
        stop = start + int(lot.uniform(14, 30) / STEP_MM)
        part = whole[start:stop]
        shaky = np.cumsum(lot.normal(0, 0.008, part.shape), axis=0)
        found.append(part + lot.normal(0, OFF_MM, 2) + shaky)
        if stop >= len(whole):
            break
        short = lot.random() < 0.35
        start = stop + int(lot.uniform(*SHORT_MM if short else PAST_MM) / STEP_MM) * (2 * short - 1)
    return found


def drawn(strokes: list[Stroke]) -> Sketch:
    lot, shape = np.random.default_rng(1), (round(150 * DPI / 25.4), round(160 * DPI / 25.4))
    widths = lot.uniform(0.36, 0.54, len(strokes))
    outlines = [o for s, w in zip(strokes, widths, strict=True) for o in pen_line(s, w, DPI / 25.4)]
    return Sketch((1 - 0.97 * fill(outlines, shape) / 65535).astype(np.float32), DPI)


FISH = (
    [
        curve((25, 70), (60, 25), (110, 60), (122, 70)),
        curve((25, 70), (60, 115), (110, 80), (122, 70)),
        *(curve(a, b) for a, b in (((120, 69), (145, 48)), ((145, 48), (140, 70)))),
        *(curve(a, b) for a, b in (((140, 70), (146, 92)), ((146, 92), (120, 71)))),
        curve((48, 52), (60, 70), (48, 88)),
    ],
    [
        *(
            arc(66 + 9 * j + i % 2 * 4.5, 58 + 8 * i, 3.2, 4, -70, 70)
            for i in range(4)
            for j in range(5)
        ),
        *(curve((127, 65.5 + 3 * k), (137, 60 + 6 * k)) for k in range(4)),
        arc(37, 65, 3, 3),
    ],
    {"body": (58, 70), "head": (40, 78), "tail": (138, 71), "out": (5, 5)},
)
TREE = (
    [
        *(
            arc(
                80 + 30 * np.cos(t),
                50 + 22 * np.sin(t),
                13,
                11,
                np.degrees(t) - 95,
                np.degrees(t) + 95,
            )
            for t in np.linspace(0, 2 * np.pi, 9)[:-1]
        ),
        curve((72, 72), (74, 95), (70, 115), (62, 128)),
        curve((90, 72), (88, 95), (92, 115), (100, 128)),
        curve((0, 126), (160, 129)),
        curve((-2, 100), (40, 80), (60, 95), (74, 98)),
        curve((89, 99), (120, 90), (140, 80), (162, 90)),
    ],
    [
        curve((78, 90), (79, 100), (77, 110)),
        curve((84, 85), (83, 95), (85, 105)),
        *(curve((x, 137), (x + 1, 133), (x + 2 * np.sin(x), 130.5)) for x in range(8, 156, 9)),
    ],
    {
        "crown": (80, 50),
        "trunk": (80, 112),
        "sky": (10, 20),
        "ground": (20, 146),
        "hill": (20, 112),
    },
)
SEA = (
    [
        curve((30, 95), (45, 120), (110, 122), (130, 92)),
        curve((30, 95), (80, 104), (130, 92)),
        curve((-2, 80), (162, 80)),
    ],
    [
        curve((x, y), (x + 4, y - 1.6), (x + 8, y + 1.6), (x + 12, y))
        for x, y in (
            (9, 126),
            (31, 124),
            (37, 127.5),
            (60, 131),
            (80, 125),
            (96, 133),
            (99, 129),
            (125, 128),
        )
    ],
    {"hull": (80, 108), "sky": (20, 50), "water": (20, 110)},
)
DRAWINGS = {"fish": FISH, "tree": TREE, "sea": SEA}


def mm2(areas: Areas, place: tuple[float, float]) -> float:
    return np.count_nonzero(areas.number == areas.at(place)) / areas.per_mm**2


@cache
def whole_areas(name: str) -> Areas:
    """Of a drawing with whole outlines, the same for every seed."""
    outlines, free, _ = DRAWINGS[name]
    return areas_of(drawn([*outlines, *free]), 0.5)


@pytest.mark.parametrize("seed", [7, 8, 9])
@pytest.mark.parametrize("name", DRAWINGS)
def test_a_loose_drawing_has_the_areas_of_the_whole_one(name: str, seed: int) -> None:
    outlines, free, places = DRAWINGS[name]
    lot = np.random.default_rng(seed)
    strokes = [part for outline in outlines for part in loosened(outline, lot)]
    whole, loose = whole_areas(name), areas_of(drawn([*strokes, *free]), GAP_MM)
    for place in places.values():
        # strokes lie 0.12 mm off on average, and more where they part
        assert mm2(loose, place) == pytest.approx(mm2(whole, place), rel=0.03), place
    count = [sum(area.mm2 > 4 for area in areas.listed) for areas in (whole, loose)]
    assert count[1] <= count[0] + 1


@pytest.mark.parametrize(
    ("across", "back", "loose"),
    [(52.0, 42.0, False), (48.0, 42.0, True), (52.0, 38.0, True)],
)
def test_a_corner_wants_lines_five_gaps_across_that_run_back_four(across, back, loose):
    """By hand for a gap of 10 pixels, as docs/decisions/012-joins.md says: 50 across, 40 back."""
    join = SimpleNamespace(ends=(0, 1), width=10.0)
    ends = SimpleNamespace(length=np.array([400.0, back]))
    assert _hangs_loose(join, ends, np.array([400.0, across])) is loose


@pytest.mark.parametrize(
    ("first", "second", "times"),
    [(0.0, 0.0, 1.0), (0.0, 40.0, 1.64), (40.0, 0.0, 1.64), (25.0, 25.0, 1.5)],
)
def test_a_join_counts_as_longer_by_the_squares_of_both_its_turns(
    first: float, second: float, times: float
) -> None:
    # by hand: a turn of 50 degrees doubles it, so 1 + (0 + 40^2) / 50^2 = 1.64 whichever end turns,
    # and 1 + (25^2 + 25^2) / 50^2 = 1.5. Two strokes end 22 pixels apart, at 10 to the mm
    turns = np.radians([first, second])
    ahead = np.stack([np.sin(turns), np.cos(turns) * (1, -1)], axis=1)  # rows down, columns right
    ends = Ends(np.array([[100.0, 139], [100, 161]]), ahead, np.array([100.0, 100]))
    (join,) = _to_ends(ends, 10.0, 30.0)
    long = np.hypot(*np.diff(join.path, axis=0).T).sum()
    assert join.effort == pytest.approx(times * long, rel=1e-9)
