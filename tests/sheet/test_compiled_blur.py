"""The compiled blurs against the plain ones, which scipy works out: bit for bit."""

import numpy as np
import pytest
from scipy import ndimage

from glaze.physics.blur import gaussian_taps, smoothed, spread
from glaze.physics.flow import creep
from glaze.sheet.compiled_blur import creep_fast, spread_fast

SHAPES = [(1, 1), (3, 40), (40, 3), (37, 61)]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("sigma_px", [0.3, 1.0, 4.2])
def test_a_field_is_spread_bit_for_bit_as_scipy_does_it(shape, sigma_px):
    field = np.random.default_rng(1).random(shape).astype(np.float32)
    taps = gaussian_taps(sigma_px)
    np.testing.assert_array_equal(spread_fast(field, taps), spread(field, taps))


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("reach_mm", [0.0, 0.2, 1.1])
def test_a_dose_creeps_bit_for_bit_as_scipy_does_it(shape, reach_mm):
    dose = np.random.default_rng(2).random(shape).astype(np.float32)
    np.testing.assert_array_equal(creep_fast(dose, reach_mm, 150.0), creep(dose, reach_mm, 150.0))


@pytest.mark.parametrize("shape", [(40, 61), (1, 9)])
@pytest.mark.parametrize("sigma_px", [0.3, 0.9, 6.0])
def test_a_small_field_is_smoothed_bit_for_bit_as_scipy_does(shape, sigma_px):
    field = np.random.default_rng(3).normal(size=shape)
    wanted = ndimage.gaussian_filter(field, sigma_px, mode="nearest")
    np.testing.assert_array_equal(smoothed(field, sigma_px), wanted)
