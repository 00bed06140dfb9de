"""The plane of a sheet in a picture: exact where exactness is due."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.sketch.plane import Plane, plane_through

SQUARE = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
SHIFTS = st.lists(st.floats(-0.2, 0.2), min_size=8, max_size=8)


@given(SHIFTS)
def test_four_points_are_met_exactly(shifts):
    there = 700 * (SQUARE + np.array(shifts).reshape(4, 2)) + 40
    plane = plane_through(SQUARE * 200, there)
    assert plane(SQUARE * 200) == pytest.approx(there, abs=1e-6)
    assert plane.inverse(there) == pytest.approx(SQUARE * 200, abs=1e-6)


@given(SHIFTS)
def test_straight_lines_stay_straight(shifts):
    plane = plane_through(SQUARE, SQUARE + np.array(shifts).reshape(4, 2))
    a, b, c = plane(np.array([[0.1, 0.2], [0.4, 0.5], [0.7, 0.8]]))
    cross = (b - a)[0] * (c - a)[1] - (b - a)[1] * (c - a)[0]
    assert abs(cross) < 1e-9


def test_the_cross_ratio_of_four_points_on_a_line_is_kept():
    # the invariant of projective geometry
    plane = Plane(np.array([[1.1, 0.2, 3.0], [0.1, 0.9, -2.0], [2e-3, 1e-3, 1.0]]))
    along = np.array([0.0, 1.0, 3.0, 7.0])
    seen = plane(np.column_stack([along, 2 * along]))
    d = np.hypot(*(seen - seen[0]).T)

    def ratio(t):
        return (t[2] - t[0]) * (t[3] - t[1]) / ((t[2] - t[1]) * (t[3] - t[0]))

    assert ratio(d) == pytest.approx(ratio(along), rel=1e-9)


def test_more_points_than_four_even_out_their_errors():
    rng = np.random.default_rng(3)
    grid = np.stack(np.meshgrid(np.arange(6.0), np.arange(6.0)), axis=-1).reshape(-1, 2)
    true = Plane(np.array([[2.0, 0.1, 5.0], [-0.1, 2.2, 1.0], [0.01, 0.0, 1.0]]))
    noisy = true(grid) + 0.01 * rng.standard_normal(grid.shape)
    found = plane_through(grid, noisy)
    assert np.abs(found(grid) - true(grid)).max() < 0.02


def test_scale_at_a_point_is_the_root_of_the_area_ratio():
    plane = Plane(np.diag([2.0, 8.0, 1.0]))
    assert plane.scale_at([3.0, 5.0]) == pytest.approx(4.0)
    # three times as large and turned by an eighth: lengths are three times as long
    turned = Plane(np.array([[3.0, -3.0, 7.0], [3.0, 3.0, 9.0], [0, 0, 2**0.5]]))
    assert turned.scale_at([3.0, 5.0]) == pytest.approx(3.0)
