import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from glaze.physics import drying


def test_in_air_full_of_water_a_film_never_dries():
    assert drying.evaporation_g_per_m2_h(20.0, 100.0) == 0.0
    assert drying.drying_minutes(60.0, 20.0, 100.0) == np.inf


def test_a_film_dries_in_its_mass_over_the_evaporation():
    minutes = float(drying.drying_minutes(100.0, 20.0, 50.0))
    assert minutes * float(drying.evaporation_g_per_m2_h(20.0, 50.0)) / 60.0 == pytest.approx(100.0)


def test_draught_and_dry_air_dry_faster():
    still = drying.drying_minutes(60.0, 20.0, 50.0)
    assert drying.drying_minutes(60.0, 20.0, 50.0, 1.0) < still
    assert drying.drying_minutes(60.0, 20.0, 30.0) < still


# quad can't halve a span of denormal seconds
SECONDS = st.just(0.0) | st.floats(1e-3, 7200.0)


@given(SECONDS, st.floats(0.0, 0.2), st.floats(0.0, 1e-4), st.floats(0.001, 0.03))
def test_thinness_is_the_integral_of_one_over_the_film(seconds, start, evaporation, least):
    def thin(t: float) -> float:
        return 1.0 / float(drying.film_l_per_m2(t, start, evaporation, least))

    dry = (start - least) / evaporation if evaporation > 0.0 and start > least else 0.0
    kink = min(dry, seconds) if dry > 1e-6 else 0.0
    whole = quad(thin, 0.0, kink)[0] + quad(thin, kink, seconds)[0]
    assert drying.thinness(seconds, start, evaporation, least) == pytest.approx(whole, rel=1e-6)


def test_without_a_film_the_papers_own_moisture_counts():
    assert drying.thinness(60.0, 0.0, 1e-5, 0.01) == pytest.approx(6000.0)


def test_twice_as_deep_takes_bleach_four_times_as_long():
    assert drying.lag_s(0.2) == pytest.approx(4.0 * drying.lag_s(0.1))


def test_a_tenth_of_a_millimetre_of_wet_paper_takes_four_seconds():
    # by hand: (1e-4 m)^2/(6 x 1.2e-9/3 m2/s) = 4.17 s; diffusion in wet paper is 2 to 4 times
    # slower than in water (from memory), so between 2.8 and 5.6 s, and the middle of that is told
    assert drying.lag_s(0.1) == pytest.approx(4.17, abs=0.01)
    assert drying.lag_s(0.1) / drying.lag_s(0.1, 1.0) == pytest.approx(np.mean([2.0, 4.0]))
