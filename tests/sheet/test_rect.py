"""Rectangles and tiles."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from glaze.sheet.rect import Rect, squares, whole

numbers = st.integers(0, 90)


@given(numbers, numbers, numbers, numbers, st.integers(1, 40))
def test_tiles_cover_each_pixel_of_a_rectangle_once(a, b, c, d, side):
    rect = Rect(min(a, b), min(c, d), max(a, b), max(c, d))
    count = np.zeros((100, 100), int)
    for tile in squares(rect, side):
        assert max(tile.shape) <= side
        count[tile.slices] += 1
    expected = np.zeros_like(count)
    expected[rect.slices] = 1
    assert np.array_equal(count, expected)


def test_a_margin_stops_at_the_edge_of_the_sheet():
    inner = Rect(3, 10, 20, 95)
    outer = inner.grown(8, (60, 100))
    assert outer == Rect(0, 2, 28, 100)
    field = np.arange(6000).reshape(60, 100)
    cut = field[outer.slices][inner.inside(outer).slices]
    assert np.array_equal(cut, field[inner.slices])


def test_the_whole_holds_every_rectangle():
    assert whole((5, 7)).union(Rect(1, 2, 3, 4)) == whole((5, 7))
    assert Rect(4, 4, 4, 9).empty
    assert not whole((1, 1)).empty
