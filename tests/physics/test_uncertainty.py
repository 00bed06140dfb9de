"""Bands around a prediction."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.physics.uncertainty import (
    binomial_interval,
    first_order_band,
    log_sd,
    model_sd_value,
    monte_carlo_band,
)


def test_wilson_interval_matches_the_worked_example():
    """8 of 10 at 95 %: 0.490 to 0.943 (worked by hand from the formula of Wilson 1927)."""
    assert binomial_interval(8, 10) == pytest.approx((0.490, 0.943), abs=1e-3)
    assert binomial_interval(0, 10)[0] == pytest.approx(0.0, abs=1e-12)
    assert binomial_interval(0, 10)[1] == pytest.approx(0.2775, abs=1e-3)


def test_a_factor_of_three_at_ninety_percent():
    """ln 3 / 1.6449 = 0.6679 (normal table: z = 1.6449)."""
    assert float(log_sd(3.0)) == pytest.approx(0.6679, abs=1e-4)
    assert float(log_sd(1.0)) == 0.0


def test_a_product_of_amounts_has_the_band_of_the_summed_squares():
    """Closed form: ln(a b) is normal with variance the sum of both."""
    sd = np.hypot(*log_sd([2.0, 1.5]))
    low, best, high = first_order_band(lambda x: np.log(x.prod()), [2.0, 3.0], [2.0, 1.5])
    assert best == pytest.approx(np.log(6.0))
    assert (high - best, best - low) == pytest.approx((1.64485 * sd, 1.64485 * sd), rel=1e-4)
    drawn = monte_carlo_band(
        lambda x: np.log(x.prod()), [2.0, 3.0], [2.0, 1.5], draws=20000, seed=3
    )
    assert drawn[2] - drawn[0] == pytest.approx(2 * 1.64485 * sd, rel=0.03)


@given(st.floats(1.0, 3.0), st.floats(0.0, 1.0))
def test_the_best_guess_lies_in_its_band(factor, model_sd):
    low, best, high = first_order_band(lambda x: 9 / (1 + x[0]), [1.0], [factor], model_sd)
    assert low <= best <= high


def test_exact_inputs_leave_the_error_of_the_model():
    low, best, high = first_order_band(lambda x: x[0], [5.0], [1.0], 0.3)
    assert (low, best, high) == pytest.approx((5 - 0.3 * 1.64485, 5, 5 + 0.3 * 1.64485), abs=1e-4)


def test_both_ways_agree_on_a_wash_within_a_factor_of_two():
    """Second way: slopes against draws, value of a tint that flattens toward the dark."""

    def value(x):
        return 10 * (0.03 + 0.82 / (1 + x[0] * x[1])) ** (1 / 2.2)

    slopes = first_order_band(value, [2.0, 1.0], [2.0, 1.3], 0.2)
    draws = monte_carlo_band(value, [2.0, 1.0], [2.0, 1.3], 0.2, draws=4000)
    assert slopes[2] - slopes[0] == pytest.approx(draws[2] - draws[0], rel=0.15)


def test_same_seed_gives_the_same_band():
    once = monte_carlo_band(lambda x: x[0], [1.0], [2.0], draws=50, seed=7)
    again = monte_carlo_band(lambda x: x[0], [1.0], [2.0], draws=50, seed=7)
    assert once == again


def test_a_factor_below_one_is_refused():
    with pytest.raises(ValueError, match="1 or more"):
        log_sd(0.5)


def test_a_swatch_at_its_own_strength_has_no_error_of_the_law():
    assert model_sd_value() == 0.0
    assert model_sd_value(5.0) == pytest.approx(model_sd_value(1 / 5.0))
    assert model_sd_value(3.0, overlaid=True) > max(model_sd_value(3.0), model_sd_value(1.0, True))
