"""The soft brush on 16-bit masks."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glaze.sheet.rect import Rect, whole
from viewer.core.brush import FULL, Brush, PenPoint, Stroke, segment
from viewer.core.squares import put_back

DPI = 254.0  # 10 px a mm
SHAPE = (300, 400)

places = st.builds(
    PenPoint,
    st.floats(-20, 320),
    st.floats(-20, 420),
    st.floats(0, 1),
)


def _stroke(brush: Brush, *where: PenPoint, mask=None, reserve=None) -> Stroke:
    stroke = Stroke(np.zeros(SHAPE, np.uint16) if mask is None else mask, brush, DPI, reserve)
    for place in where:
        stroke.go_on(place)
    return stroke


def test_a_brush_of_6_mm_leaves_a_mark_6_mm_wide():
    brush = Brush(size_mm=6, hardness=1)
    mask = _stroke(brush, PenPoint(150, 50), PenPoint(150, 350)).mask
    covered = np.count_nonzero(mask[:, 200] > FULL / 2)
    assert abs(covered - 60) <= 1


def test_a_soft_brush_lays_less_towards_its_edge_and_never_more_than_a_film():
    mask = _stroke(Brush(size_mm=10, hardness=0.2), PenPoint(150, 200)).mask
    profile = mask[150, 200:260].astype(int)
    assert profile[0] == FULL
    assert np.all(np.diff(profile) <= 0)
    assert profile[-1] == 0


def test_passing_twice_in_one_stroke_lays_no_more_than_passing_once():
    brush = Brush(size_mm=5, hardness=0.3)
    there = _stroke(brush, PenPoint(100, 100), PenPoint(200, 300)).mask
    and_back = _stroke(brush, PenPoint(100, 100), PenPoint(200, 300), PenPoint(100, 100)).mask
    assert np.array_equal(there, and_back)


def test_a_fast_stroke_is_as_smooth_as_a_slow_one_in_place_and_in_pressure():
    # a line drawn in one jump against the same line in fifty
    brush = Brush(size_mm=8, hardness=0.5, pressure_film=True)
    fast = _stroke(brush, PenPoint(60, 60, 0.3), PenPoint(240, 340, 1.0)).mask.astype(int)
    t = np.linspace(0, 1, 51)
    slow = _stroke(
        brush, *(PenPoint(60 + 180 * s, 60 + 280 * s, 0.3 + 0.7 * s) for s in t)
    ).mask.astype(int)
    inside = np.abs(fast - slow)
    # where pressure changes along the line the nearest place isn't quite the thickest
    assert inside.max() < 0.05 * FULL
    along = fast[np.arange(60, 241), np.rint(np.linspace(60, 340, 181)).astype(int)]
    # no bands: 0.7 of a film over 181 rows
    assert np.abs(np.diff(along)).max() < 3 * 0.7 * FULL / 181


def test_less_pressure_makes_a_narrower_mark():
    wide = _stroke(Brush(size_mm=8), PenPoint(150, 200, 1.0)).mask
    narrow = _stroke(Brush(size_mm=8), PenPoint(150, 200, 0.2)).mask
    assert 0 < np.count_nonzero(narrow) < np.count_nonzero(wide)


def test_a_damp_brush_takes_back_what_a_wet_one_laid():
    mask = _stroke(Brush(size_mm=12, hardness=1), PenPoint(150, 200)).mask
    laid = mask.copy()
    _stroke(Brush(size_mm=6, hardness=1, damp=True, takes=1), PenPoint(150, 200), mask=mask)
    assert mask[150, 200] == 0
    assert laid[150, 200] == FULL
    assert mask[150, 250] == laid[150, 250]


def test_nothing_is_laid_on_a_reserve_and_half_of_it_on_half_a_reserve():
    reserve = np.zeros(SHAPE, np.uint16)
    reserve[:150], reserve[150:160] = FULL, FULL // 2
    mask = _stroke(Brush(size_mm=12, hardness=1), PenPoint(150, 200), reserve=reserve).mask
    assert not mask[:150].any()
    assert mask[155, 200] == FULL - FULL // 2
    assert mask[180, 200] == FULL


@settings(max_examples=40, deadline=None)
@given(st.lists(places, min_size=1, max_size=5), st.booleans())
def test_putting_the_squares_back_undoes_any_stroke(where, damp):
    mask = np.random.default_rng(3).integers(0, FULL + 1, SHAPE).astype(np.uint16)
    original = mask.copy()
    stroke = _stroke(Brush(size_mm=9, hardness=0.4, damp=damp), *where, mask=mask)
    before, after = stroke.squares()
    changed = mask.copy()
    put_back(mask, before)
    assert np.array_equal(mask, original)
    put_back(mask, after)
    assert np.array_equal(mask, changed)


@settings(max_examples=40, deadline=None)
@given(places, places)
def test_the_rectangle_of_a_move_holds_all_it_changes(start, end):
    brush = Brush(size_mm=7, hardness=0.5)
    stroke = _stroke(brush, start)
    before = stroke.mask.copy()
    rect = stroke.go_on(end)
    outside = np.ones(SHAPE, bool)
    outside[rect.slices] = False
    assert np.array_equal(stroke.mask[outside], before[outside])


@pytest.mark.parametrize("rect", [Rect(0, 0, 300, 400), Rect(90, 120, 180, 260)])
def test_a_part_of_a_segment_equals_that_part_of_the_whole(rect):
    a, b = PenPoint(100, 100, 0.4), PenPoint(170, 300, 0.9)
    brush = Brush(size_mm=9, hardness=0.3)
    full = segment(a, b, brush, DPI, whole(SHAPE))
    assert np.array_equal(segment(a, b, brush, DPI, rect), full[rect.slices])


def test_a_stroke_keeps_only_the_squares_it_touches():
    mask = np.zeros((4000, 4000), np.uint16)
    stroke = Stroke(mask, Brush(size_mm=3), DPI)
    stroke.go_on(PenPoint(2000, 2000))
    assert sum(part.nbytes for part in stroke.before.values()) <= 4 * 256 * 256 * 2


def test_a_damp_stroke_takes_its_share_of_what_lies_there():
    mask = np.full((300, 400), 60_000, np.uint16)
    brush = Brush(size_mm=6, hardness=1, damp=True, takes=0.5)
    _stroke(brush, PenPoint(150, 200), PenPoint(150, 220), mask=mask)
    assert mask[150, 210] == 30_000  # however often it passes within a stroke
    _stroke(brush, PenPoint(150, 200), PenPoint(150, 220), mask=mask)
    assert mask[150, 210] == 15_000
    assert mask[20, 20] == 60_000
