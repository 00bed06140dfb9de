"""Scattering layers and halftones against computed handbook values; tolerance of each source."""

from __future__ import annotations

import numpy as np
import pytest

from tests.textbook import scattering


def test_k_over_s_of_seven_reflectances():
    """(1 - R)^2 / 2R, computed by hand; tolerance 1e-5."""
    R = [0.05, 0.10, 0.20, 0.25, 0.50, 0.80, 0.90]
    expected = [9.025, 4.05, 1.60, 1.125, 0.25, 0.025, 0.005556]
    np.testing.assert_allclose(scattering.k_over_s(R), expected, atol=1e-5)
    np.testing.assert_allclose(
        scattering.reflectance_from_k_over_s(scattering.k_over_s(R)), R, atol=1e-9
    )


def test_finite_layer_over_a_ground():
    """K = .5, S = 1, X = 1, Rg = .8: R .435600, T .283648; R of a very thick layer .381966."""
    R, T = scattering.layer(0.5, 1.0, 1.0, 0.8)
    assert float(R) == pytest.approx(0.435600, abs=1e-5)
    assert float(T) == pytest.approx(0.283648, abs=1e-5)
    assert float(scattering.layer(0.5, 1.0, 50.0, 0.8)[0]) == pytest.approx(0.381966, abs=1e-5)
    assert float(scattering.reflectance_from_k_over_s(0.5)) == pytest.approx(0.381966, abs=1e-6)


def test_layer_without_scattering_is_beer_and_lambert():
    R, _ = scattering.layer(0.5, 1e-6, 1.0, 0.8)
    assert float(R) == pytest.approx(0.294304, abs=1e-4)


def test_thin_layers_stack_to_the_thick_one():
    """Second way: two half layers, the lower one as ground of the upper."""
    half, _ = scattering.layer(0.5, 1.0, 0.5, 0.8)
    both, _ = scattering.layer(0.5, 1.0, 0.5, half)
    assert float(both) == pytest.approx(0.435600, abs=1e-5)


def test_yule_nielsen_half_tone():
    found = scattering.yule_nielsen(0.5, 0.05, 0.8, 2.0)
    assert float(found) == pytest.approx(0.312500, abs=1e-6)
    assert float(scattering.yule_nielsen(0.5, 0.05, 0.8)) == pytest.approx(0.425)


def test_murray_davies_dot_area():
    assert float(scattering.murray_davies_area(0.35, 1.30)) == pytest.approx(0.58251, abs=1e-4)


def test_demichel_shares():
    """c = .3, m = .4, y = .5; order here W, C, M, CM, Y, CY, MY, CMY."""
    expected = [0.21, 0.09, 0.14, 0.06, 0.21, 0.09, 0.14, 0.06]
    np.testing.assert_allclose(scattering.demichel([0.3, 0.4, 0.5]), expected, atol=1e-9)


def test_washes_by_k_over_s_leave_single_washes_exact():
    paper, wash = np.array([0.8, 0.7]), np.array([0.3, 0.6])
    np.testing.assert_allclose(scattering.overlaid_by_k_over_s([wash], paper), wash, atol=1e-12)
