"""Laws of the stack of washes."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from glaze.physics.absorption import (
    crowded,
    glaze_weight,
    path_from_reflectance,
    stack_reflectance,
    wet_weight,
)

PATHS = st.floats(0.0, 200.0)
LOADS = st.floats(0.0, 8.0)
SHEETS = st.sampled_from([(1.0, 0.03), (1.5, 0.02), (2.0, 0.0)])


@given(PATHS, PATHS, SHEETS)
def test_more_path_never_lightens(A, more, sheet):
    k, s = sheet
    assert stack_reflectance(A + more, 0.85, s, k) <= stack_reflectance(A, 0.85, s, k)


@given(PATHS, SHEETS)
def test_reflectance_stays_between_the_floor_and_the_paper(A, sheet):
    k, s = sheet
    assert s <= stack_reflectance(A, 0.85, s, k) <= 0.85 + 1e-14  # a difference of two sums near 1


@given(st.floats(0.0, 60.0), SHEETS)
def test_path_of_a_wash_comes_back_from_its_reflectance(A, sheet):
    k, s = sheet
    back = path_from_reflectance(stack_reflectance(A, 0.85, s, k), 0.85, s, k)
    # a last-digit error of R is worth (1 + A/k)^(k+1) of them in A
    assert abs(back - A) <= 1e-14 * (1 + A / k) ** (k + 1) + 1e-12


@given(LOADS, LOADS, st.integers(1, 12))
def test_cutting_a_wash_into_coats_changes_nothing(below, strength, coats):
    each = strength / coats
    parts = sum(float(glaze_weight(below + i * each, each)) for i in range(coats))
    assert abs(parts - float(glaze_weight(below, strength))) < 1e-12


@given(LOADS, LOADS, LOADS)
def test_a_wash_counts_for_less_the_more_lies_below(below, more, strength):
    assert (
        glaze_weight(below + more, strength) <= glaze_weight(below, strength) + 1e-14
    )  # a difference of two sums near 1


def test_one_neat_coat_on_bare_paper_counts_as_one():
    assert float(glaze_weight(0.0, 1.0)) == 1.0
    assert float(wet_weight(1.0, 1.0)) == 1.0


@given(st.lists(st.floats(0.0, 2.0), min_size=1, max_size=6))
def test_parts_mixed_wet_share_the_weight_of_the_whole(parts):
    Q = sum(parts)
    total = float(sum(wet_weight(q, Q) for q in parts))
    assert abs(total - float(crowded(Q) / crowded(1.0))) < 1e-12


def test_a_clear_layer_is_the_limit_of_equal_paths():
    """k -> infinity is Beer and Lambert's exp(-A)."""
    A = np.array([0.1, 1.0, 3.0])
    np.testing.assert_allclose(stack_reflectance(A, 1.0, 0.0, 1e7), np.exp(-A), rtol=1e-6)


def test_no_crowding_leaves_the_load_as_it_is():
    np.testing.assert_array_equal(crowded([0.0, 1.5], 0.0), [0.0, 1.5])
