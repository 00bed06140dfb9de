"""Surface reflection against handbook figures.

Diffuse Fresnel figures: computed by adaptive quadrature and, independently, by Walsh's closed
form, agreeing to 1e-5; normal incidence agrees with a printed table (1.333: 2.04 %, 1.4: 2.78,
1.5: 4.0, 1.55: 4.65, 1.6: 5.32). Walsh 1926, Judd 1942 and Duntley 1942 printed the diffuse ones
(citations from memory). Tolerance 1e-4 unless said.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from tests.textbook import surface

# n, normal, external diffuse, internal diffuse, F(45 deg), T45 T0 / n^2
TABLE = [
    (1.333, 0.02037, 0.06641, 0.47459, 0.02790, 0.53593),
    (1.40, 0.02778, 0.07681, 0.52899, 0.03658, 0.47789),
    (1.45, 0.03374, 0.08437, 0.56450, 0.04332, 0.43967),
    (1.47, 0.03621, 0.08735, 0.57765, 0.04607, 0.42547),
    (1.50, 0.04000, 0.09178, 0.59635, 0.05024, 0.40523),
    (1.53, 0.04388, 0.09616, 0.61389, 0.05446, 0.38620),
    (1.55, 0.04652, 0.09907, 0.62500, 0.05729, 0.37413),
    (1.60, 0.05325, 0.10625, 0.65088, 0.06443, 0.34599),
]


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"n={row[0]}")
def test_fresnel_figures_match_the_handbook_table(row):
    n = row[0]
    found = (
        surface.normal_reflectance(n),
        surface.external_diffuse(n),
        surface.internal_diffuse(n),
        float(surface.fresnel(np.cos(np.pi / 4), n)),
        surface.gain_45_0(n),
    )
    np.testing.assert_allclose(found, row[1:], atol=1e-4)


@pytest.mark.parametrize("n", [1.333, 1.5, 1.6])
def test_walsh_closed_form_is_the_integral_of_fresnel(n):
    external, _ = quad(lambda c: 2 * c * float(surface.fresnel(c, n)), 0, 1)
    kink = np.sqrt(1 - 1 / n**2)
    inside = quad(lambda c: 2 * c * float(surface.fresnel(c, 1 / n)), kink, 1)[0] + kink**2
    assert surface.external_diffuse(n) == pytest.approx(external, abs=1e-5)
    assert surface.internal_diffuse(n) == pytest.approx(inside, abs=1e-5)


def test_critical_and_brewster_angles_match():
    assert surface.critical_angle_degrees(1.5) == pytest.approx(41.810, abs=0.01)
    assert surface.critical_angle_degrees(1.53) == pytest.approx(40.81, abs=0.01)
    # at Brewster's angle (56.310 degrees, n = 1.5) only s light returns: sin^2(i - t) / 2
    brewster = np.radians(56.310)
    s_only = 0.5 * np.sin(2 * brewster - np.pi / 2) ** 2
    assert float(surface.fresnel(np.cos(brewster), 1.5)) == pytest.approx(s_only, abs=1e-6)


@pytest.mark.parametrize(
    ("k2", "expected"),
    [
        (0.596, [0.08124, 0.15394, 0.31624, 0.56600, 0.79292, 1.0]),
        (0.4, [0.10000, 0.20000, 0.40000, 0.65714, 0.85, 1.0]),
    ],
)
def test_saunderson_inverse_of_measured_reflectance(k2, expected):
    """Computed figures for k1 = .04 and internal reflectances .1 .25 .5 .75 .9 1."""
    internal = [0.1, 0.25, 0.5, 0.75, 0.9, 1.0]
    np.testing.assert_allclose(surface.saunderson(internal, 0.04, k2), expected, atol=1e-4)
    np.testing.assert_allclose(surface.saunderson_inverse(expected, 0.04, k2), internal, atol=2e-4)


@pytest.mark.parametrize(("n", "expected"), [(1.5, 1.0038), (1.53, 1.0002)])
def test_ideal_white_under_a_coat_reads_just_above_one_at_45_0(n, expected):
    gain = float(surface.williams_clapper(1.0, 1.0, n))
    assert gain == pytest.approx(expected, abs=1e-3)


# Williams-Clapper type table, 0/45, own integral computed elsewhere: D_T, then D_R relative to
# the coated undyed base. Tolerance 0.002.
D_T = [0.05, 0.10, 0.20, 0.30, 0.50, 0.70, 1.00, 1.50, 2.00]
D_R = {
    (1.53, 1.0): [0.3172, 0.5067, 0.7894, 1.0289, 1.4717, 1.9012, 2.5407, 3.6047, 4.6686],
    (1.53, 0.9): [0.2782, 0.4561, 0.7305, 0.9672, 1.4082, 1.8373, 2.4767, 3.5407, 4.6045],
    (1.50, 0.9): [0.2710, 0.4465, 0.7190, 0.9552, 1.3966, 1.8267, 2.4678, 3.5350, 4.6019],
}


@pytest.mark.parametrize(("n", "base"), sorted(D_R))
def test_density_of_a_dyed_layer_in_contact_grows_fast_then_evenly(n, base):
    R = surface.williams_clapper(10.0 ** -np.array(D_T), base, n)
    bare = surface.williams_clapper(1.0, base, n)
    np.testing.assert_allclose(-np.log10(R / bare), D_R[n, base], atol=0.002)


@pytest.mark.parametrize(("n", "slope"), [(1.53, 2.128), (1.50, 2.134)])
def test_dense_layers_are_crossed_once_straight_and_once_slanting(n, slope):
    D = np.array([3.0, 3.1])
    R = surface.williams_clapper(10.0**-D, 0.9, n)
    assert -np.diff(np.log10(R))[0] / 0.1 == pytest.approx(slope, abs=1e-3)


def test_isotropic_layer_with_saunderson_surface():
    """n = 1.5, Rg = .85, 45/0 gain; computed figures for t^2 of the layer."""
    t2 = np.array([1.0, 0.64, 0.25, 0.04, 0.01])
    R = surface.gain_45_0(1.5) * 0.85 * t2 / (1 - surface.internal_diffuse(1.5) * 0.85 * t2)
    np.testing.assert_allclose(R, [0.69848, 0.32629, 0.09861, 0.01406, 0.00346], atol=1e-4)
