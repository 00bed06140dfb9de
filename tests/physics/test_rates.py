import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.physics import rates


def test_rate_at_25_c_is_the_tabulated_one_when_all_is_ocl():
    assert rates.observed_rate(1.9, None, 33.7, 26.9, 25.0, 11.5) == pytest.approx(1.9)


def test_at_ph_12_hypochlorous_acid_adds_less_than_a_thousandth():
    with_acid = rates.observed_rate(1.9, 23.2, 33.7, 26.9, 25.0, 12.0)
    assert 1.0 < with_acid / 1.9 < 1.001


def test_where_both_species_are_equal_the_rate_is_their_mean():
    ph = float(rates.hocl_pka(25.0))
    assert rates.observed_rate(1.0, 3.0, 35.0, 27.0, 25.0, ph) == pytest.approx(2.0)


@given(st.floats(0.1, 9.0), st.floats(0.0, 60.0), st.floats(0.0, 45.0))
def test_keeping_never_makes_bleach_stronger(percent, months, storage_c):
    fresh = float(rates.mol_per_l(percent))
    kept = rates.kept_mol_per_l(fresh, months, storage_c)
    assert 0.0 < kept <= fresh
    assert rates.kept_mol_per_l(fresh, months, storage_c + 1.0) <= kept


@given(st.floats(9.0, 14.0), st.floats(0.05, 1.3), st.floats(0.0, 1000.0))
def test_dilution_lowers_the_ph_but_leaves_it_alkaline(ph, strength, parts):
    neat, weak = rates.diluted_ph(ph, strength, 0.0), rates.diluted_ph(ph, strength, parts)
    assert 8.0 < weak <= neat + 1e-9


def test_ph_of_alkali_alone_falls_by_the_logarithm_of_the_dilution():
    # 0.1 mol/L of alkali against 3e-7 of hydrolysis: the textbook case of strong alkali
    assert rates.diluted_ph(13.0, 0.7, 9.0) == pytest.approx(12.0, abs=1e-3)
