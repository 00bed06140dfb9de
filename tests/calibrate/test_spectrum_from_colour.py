"""Spectra from one colour reading."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.calibrate.fit.dye_prior import dye_prior
from glaze.materials.dye import load_dyes
from glaze.physics.absorption import stack_reflectance
from glaze.physics.spectrum import REFERENCE_NM
from glaze.picture.light import weights_at_reference
from tests.accuracy.measured import smoothest_paper
from tests.accuracy.one_reading import dye_shaped, smoothest_density

NM = np.arange(400.0, 701.0, 10.0)
PAPER = np.full(NM.size, 0.85)


@pytest.fixture(scope="module")
def weights():
    full = weights_at_reference("D50")
    return np.array([np.interp(REFERENCE_NM, NM, row) @ full for row in np.eye(NM.size)])


@pytest.fixture(scope="module")
def prior():
    return dye_prior(NM)


def swatch(name, depth=8.0):
    curve = load_dyes()[name].absorptivity_l_per_g_cm(NM)
    return stack_reflectance(depth * curve / curve.max(), PAPER, 0.03, 1.0)


INKS = ["Acid Blue 9", "Acid Yellow 23", "Acid Red 52", "Acid Black 1", "Acid Orange 7"]


@pytest.mark.parametrize("name", INKS)
def test_both_answers_have_exactly_the_colour_that_was_read(name, weights, prior):
    read = swatch(name) @ weights
    for found in (
        smoothest_density(read, PAPER, weights),
        dye_shaped(read, PAPER, weights, prior),
    ):
        np.testing.assert_allclose(found.reflectance @ weights, read, atol=1e-4)
        assert np.all(found.reflectance <= PAPER + 1e-9)
        assert np.all(found.reflectance > 0)


def test_dye_shaped_is_nearer_to_a_dye_it_has_never_seen(weights):
    """Each dye left out of the prior; mean error over the inks, against the smoothest density."""
    smooth, shaped = [], []
    for name in INKS:
        R = swatch(name)
        without = dye_prior(NM, mixtures=1500, leave_out=[name])
        smooth.append(smoothest_density(R @ weights, PAPER, weights).reflectance - R)
        shaped.append(dye_shaped(R @ weights, PAPER, weights, without).reflectance - R)
    assert np.std(shaped) < 0.85 * np.std(smooth)


def test_the_spread_covers_what_the_reading_leaves_open(weights):
    """Within two standard deviations in 85 % of bands or more, for dyes left out of the prior."""
    inside = []
    for name in INKS:
        R = swatch(name)
        found = dye_shaped(R @ weights, PAPER, weights, dye_prior(NM, 2, 1500, [name]))
        inside.extend(np.abs(found.reflectance - R) <= 2 * found.spread + 0.0025)
    assert np.mean(inside) >= 0.85


def test_paper_is_smooth_and_exact(weights):
    cream = np.linspace(0.7, 0.9, NM.size)
    found = smoothest_paper(cream @ weights, weights)
    np.testing.assert_allclose(found @ weights, cream @ weights, atol=1e-12)
    np.testing.assert_allclose(found, cream, atol=1e-9)  # a straight line has no curvature


def test_same_seed_gives_the_same_prior():
    np.testing.assert_array_equal(dye_prior(NM, 5, 50).log_path, dye_prior(NM, 5, 50).log_path)
