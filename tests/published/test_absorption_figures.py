"""The law of absorption against spot values computed independently of this project."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.physics.absorption import (
    absorbance,
    crowded,
    path,
    path_from_reflectance,
    stack_reflectance,
)

# k, s, A, R on a paper of Rp = 0.85
SPOTS = [
    (1.0, 0.03, 0.1, 0.775455),
    (1.0, 0.03, 1.0, 0.440000),
    (1.0, 0.03, 5.0, 0.166667),
    (1.0, 0.03, 30.0, 0.056452),
    (1.5, 0.02, 0.1, 0.773416),
    (1.5, 0.02, 1.0, 0.405749),
    (1.5, 0.02, 5.0, 0.112012),
    (1.5, 0.02, 30.0, 0.028625),
    (2.0, 0.0, 0.1, 0.770975),
    (2.0, 0.0, 1.0, 0.377778),
    (2.0, 0.0, 5.0, 0.069388),
    (2.0, 0.0, 30.0, 0.003320),
]


@pytest.mark.parametrize(("k", "s", "A", "R"), SPOTS)
def test_reflectance_of_a_stack_matches_the_spot_value(k, s, A, R):
    assert float(stack_reflectance(A, 0.85, s, k)) == pytest.approx(R, abs=5e-7)


@pytest.mark.parametrize(("k", "s", "A", "R"), SPOTS)
def test_path_comes_back_from_the_spot_reflectance(k, s, A, R):
    # R is printed to 5e-7; in the darks dA/dR is up to 3e4, so the tolerance follows it
    slope = (1 + A / k) ** (k + 1) / (0.85 - s)
    assert float(path_from_reflectance(R, 0.85, s, k)) == pytest.approx(A, abs=6e-7 * slope)


@pytest.mark.parametrize(("Q", "ratio"), [(2.0, 1.746910), (0.2, 0.228729), (1.0 / 21.0, 0.056077)])
def test_load_law_matches_its_printed_ratios(Q, ratio):
    assert float(crowded(1.0)) == pytest.approx(0.841181, abs=5e-7)
    assert float(crowded(Q) / crowded(1.0)) == pytest.approx(ratio, abs=1e-6)


def test_exponential_paths_average_to_the_law_at_k_one():
    """Mean of exp(-A u) over u ~ gamma(k, 1/k), by quadrature (second way)."""
    from scipy.integrate import quad
    from scipy.stats import gamma

    for k in (1.0, 1.5, 2.0):
        mean, _ = quad(lambda u, k=k: np.exp(-1.7 * u) * gamma.pdf(u, k, scale=1 / k), 0, np.inf)
        assert float(stack_reflectance(1.7, 1.0, 0.0, k)) == pytest.approx(mean, abs=1e-7)


def test_one_gram_a_square_metre_of_a_dye_of_100_l_per_g_cm_has_absorbance_ten():
    """1 g/m2 = 1e-4 g/cm2; 100 L/(g cm) = 1e5 cm2/g: the product is 10 (by hand)."""
    assert float(absorbance(1.0, 100.0)) == pytest.approx(10.0)
    assert float(path(1.0, 6.0)) == pytest.approx(13.815511, abs=1e-6)
