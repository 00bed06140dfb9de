import numpy as np
import pytest

from glaze.physics.flow import creep, creep_weights, reach_px


def spot(size: int = 41) -> np.ndarray:
    dose = np.zeros((size, size), np.float32)
    dose[15:26, 18:23] = 1.0
    return dose


def test_creep_loses_nothing():
    crept = creep(spot(), 0.6, 300.0)
    assert crept.sum(dtype=float) == pytest.approx(spot().sum(dtype=float), rel=1e-6)


def test_creep_at_the_edge_of_the_sheet_turns_back():
    dose = np.zeros((30, 30), np.float32)
    dose[:4] = 1.0
    assert creep(dose, 0.5, 300.0).sum(dtype=float) == pytest.approx(120.0, rel=1e-6)


def test_creep_ends_at_its_reach():
    crept = creep(spot(), 0.6, 300.0)
    reach = reach_px(0.6, 300.0)
    assert np.all(crept[: 15 - reach] == 0.0)
    assert crept[15 - 3, 20] > 0.01


def test_dose_falls_off_past_the_mark():
    profile = creep(spot(), 0.6, 300.0)[20, 20:32]
    assert np.all(np.diff(profile) <= 0.0)


def test_full_dose_stays_full():
    assert np.all(creep(np.ones((9, 9), np.float32), 0.3, 300.0) >= 1.0 - 1e-7)


def test_without_creep_the_dose_stays_where_it_is():
    np.testing.assert_array_equal(creep(spot(), 0.0, 300.0), spot())


def test_a_tile_with_its_margin_creeps_bit_for_bit_like_the_sheet():
    dose = np.random.default_rng(7).random((120, 110)).astype(np.float32)
    reach = reach_px(0.4, 300.0)
    whole = creep(dose, 0.4, 300.0)
    tile = creep(dose[30 - reach : 70 + reach, 20 - reach : 90 + reach], 0.4, 300.0)
    np.testing.assert_array_equal(tile[reach:-reach, reach:-reach], whole[30:70, 20:90])


def test_creep_is_round():
    w = creep_weights(1.0, 600.0)
    middle = len(w) // 2
    straight = w[middle] * w[middle + 17]
    diagonal = w[middle + 12] ** 2
    assert diagonal == pytest.approx(straight, rel=0.02)  # 12 sqrt 2 is 17 px


def test_a_third_of_its_reach_is_one_standard_deviation():
    # the normal curve's table: exp(-1/2) = 0.6065 of its middle there, exp(-9/2) = 0.0111 at three
    w = creep_weights(0.6, 254.0)  # 10 pixels a millimetre: 2 and 6 pixels
    middle = len(w) // 2
    assert w[middle + 2] / w[middle] == pytest.approx(0.6065, abs=1e-4)
    assert w[middle + 6] / w[middle] == pytest.approx(0.0111, abs=1e-4)
