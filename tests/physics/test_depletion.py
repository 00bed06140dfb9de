"""The exposure against a closed form."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.physics.depletion import exposure, network_of


@pytest.mark.parametrize("k", [0.05, 3.0, 2000.0])
@pytest.mark.parametrize("share", [0.02, 0.4, 0.95])
@pytest.mark.parametrize("e_foldings", [0.3, 4.0, 60.0])
def test_the_exposure_under_one_dye_is_its_closed_form(k, share, e_foldings) -> None:
    """One dye that takes a share B of bleach 1 in all: h(s) = A + B exp(-k s), A = 1 - B.

    By parts, the integral of ds/h from 0 to s is (k s + ln h(s))/(A k), as its derivative
    (1 - B exp(-k s)/h)/A = 1/h shows.
    """
    network = network_of(np.array([k]), np.array([2.0]), np.array([-1]), np.array([0.0]), 0.0, 1.0)
    s = e_foldings / k
    rest = 1.0 - share
    tau = (k * s + np.log(rest + share * np.exp(-k * s))) / (rest * k)
    mol = np.array([[share / 2.0]])  # of two moles of oxidant each
    found = exposure(network, mol, np.array([1.0]), np.array([tau]))
    assert found[0] == pytest.approx(s, abs=2e-6 / k, rel=1e-9)
