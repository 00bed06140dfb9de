"""Bands around a prediction."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.physics.uncertainty import (
    LAW_CHROMA,
    LAW_DE00,
    LAW_VALUE,
    LawError,
    hues_apart,
    log_sd,
    meeting,
)


def test_a_factor_of_three_at_ninety_percent():
    """ln 3 / 1.6449 = 0.6679 (normal table: z = 1.6449)."""
    assert float(log_sd(3.0)) == pytest.approx(0.6679, abs=1e-4)
    assert float(log_sd(1.0)) == 0.0


def test_a_factor_below_one_is_refused():
    with pytest.raises(ValueError, match="1 or more"):
        log_sd(0.5)


def test_a_swatch_at_its_own_strength_has_no_error_of_the_law():
    for law in (LAW_VALUE, LAW_DE00, LAW_CHROMA):
        assert law.sd([0.0], [0.0], [0.0]) == 0.0
        assert law.sd([0.0, 0.0], [0.0, 1.0], [0.0, 0.0]) > 0.0


def test_thinning_counts_by_factors_of_e_and_washes_by_their_squares():
    law = LawError(thinned=0.3, overlaid=9.0, hues=9.0)
    assert law.sd([2.0], [0.0], [0.0]) == pytest.approx(0.6)
    assert law.sd([2.0, 1.5], [0.0, 0.0], [0.0, 0.0]) == pytest.approx(0.75)  # 3, 4, 5


def test_each_further_wash_widens_the_band_as_measured():
    """Blind sets: root mean square 0.25 for two dye inks, 0.39 for two watercolours of different
    hue, 0.59 for three washes, 0.99 for four and more [value steps]."""
    near = [float(LAW_VALUE.sd(np.zeros(n), np.ones(n), np.zeros(n))) for n in (1, 2, 3)]
    far = [float(LAW_VALUE.sd(np.zeros(n), np.ones(n), np.full(n, 0.6))) for n in (1, 2, 3)]
    assert near[0] == pytest.approx(0.25, abs=0.01)
    assert far == pytest.approx([0.39, 0.59, 0.99], rel=0.15)


@given(
    st.tuples(*[st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100)]),
    st.tuples(*[st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100)]),
)
def test_hues_are_apart_by_0_to_1_whichever_comes_first(one, other):
    apart = float(hues_apart(one, other))
    assert 0.0 <= apart <= 1.0
    assert apart == pytest.approx(float(hues_apart(other, one)), abs=1e-9)
    assert float(hues_apart(one, one)) == pytest.approx(0.0, abs=1e-6)


def test_yellow_is_far_from_blue_nearer_to_red_and_a_black_from_none():
    """Solids of an offset press on white uncoated paper (fogra_trs, FOGRA29L)."""
    cyan, magenta = (59.04, -26.66, -42.8), (55.04, 59.46, -4.0)
    yellow, black = (88.85, -1.65, 79.16), (31.88, 2.05, 2.08)
    assert hues_apart(yellow, cyan) > hues_apart(yellow, magenta) > 0.6
    assert max(hues_apart(colour, black) for colour in (cyan, magenta, yellow)) < 0.2


def test_what_hardly_shows_hardly_errs_over_another():
    strong, tint = (50.0, 0.0, -60.0), (98.5, 0.0, 2.0)
    assert meeting(strong, (50.0, 40.0, 0.0))[0] == 1.0
    assert meeting(strong, tint)[0] == meeting(tint, strong)[0] < 0.15


def test_nine_of_ten_overlays_lie_within_what_the_blind_sets_were_off():
    """Blind sets: 90 % of pairs of dye inks within 5.6, of two unlike watercolours within 12.4."""
    z = 1.6449  # normal table, 90 % on both sides
    assert z * float(LAW_DE00.sd([0.0], [1.0], [0.0])) == pytest.approx(5.6, abs=0.05)
    # hues 0.84 apart, the sine of half of 115 degrees: sqrt(3.4^2 + 6.7^2) = 7.5
    assert z * float(LAW_DE00.sd([0.0], [1.0], [0.84])) == pytest.approx(12.4, abs=0.1)
