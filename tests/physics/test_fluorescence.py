"""Light that dyes give back: photons are counted, the yield kept, the colour as published."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glaze.materials.dye import load_dyes
from glaze.physics.fluorescence import (
    HALF_LOAD_MOL_PER_M2,
    emission_photons,
    escaping,
    glow,
    quenched,
    stopped,
    taken_up,
)
from glaze.physics.spectrum import REFERENCE_NM
from glaze.picture.light import band_nm, load_glow, load_light

GLOWING = [name for name, dye in load_dyes().items() if dye.fluorescence]


def test_a_photon_sent_out_is_one_photon() -> None:
    nm = np.arange(300.0, 1200.0, 0.5)
    assert np.trapezoid(emission_photons(nm, 571.0, 440.0), nm) == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize(
    ("name", "peak_nm"),
    [
        # maxima of emission in PhotochemCAD 3 (Taniguchi and Lindsey 2018): eosin Y in basic
        # ethanol 543 nm (the classic handbook value in water is 538), sulforhodamine B 571 nm
        ("Acid Red 87", 543.0),
        ("Acid Red 52", 571.0),
    ],
)
def test_the_glow_is_strongest_at_the_published_peak(name: str, peak_nm: float) -> None:
    found = load_dyes()[name].fluorescence
    nm = np.arange(400.0, 700.0, 0.5)
    shape = emission_photons(nm, found.emission_peak_nm, found.emission_width_per_cm)
    assert nm[shape.argmax()] == pytest.approx(peak_nm, abs=1.5)


@pytest.mark.parametrize("name", GLOWING)
def test_the_colour_of_the_glow_lies_near_the_spectral_locus_at_its_peak(name: str) -> None:
    # chromaticity by colour-science's dominant wavelength (CIE 15), against equal energy; broad
    # emission is drawn towards the middle of the locus, so a few nm to the red
    from colour import dominant_wavelength

    found = load_dyes()[name].fluorescence
    light = load_glow("D65")
    spread = emission_photons(band_nm(), found.emission_peak_nm, found.emission_width_per_cm)
    X, Y, Z = light.photon_xyz(spread).sum(axis=0)
    wavelength, *_ = dominant_wavelength(np.array([X, Y]) / (X + Y + Z), np.array([1 / 3, 1 / 3]))
    assert float(wavelength) == pytest.approx(found.emission_peak_nm, abs=14.0)


@given(
    A=st.floats(0, 200),
    share=st.floats(0, 1),
    paper=st.floats(0, 1),
    surface=st.floats(0, 0.1),
    k=st.sampled_from([1.0, 1.5, 2.0, 8.0]),
)
def test_no_more_light_is_stopped_than_falls_in_and_no_more_gets_out_than_is_sent(
    A: float, share: float, paper: float, surface: float, k: float
) -> None:
    assert 0.0 <= float(stopped(A, surface, k)) <= 1.0 - surface
    part = float(taken_up(share * A, A, surface, k))
    assert 0.0 <= part <= float(stopped(A, surface, k)) + 1e-12
    assert 0.0 < float(escaping(A, paper, k)) <= 1.0


def test_what_two_dyes_stop_adds_up_to_what_is_stopped() -> None:
    one, other = np.array([0.3, 2.0]), np.array([1.1, 0.2])
    both = taken_up(one, one + other, 0.03, 1.0) + taken_up(other, one + other, 0.03, 1.0)
    np.testing.assert_allclose(both, stopped(one + other, 0.03, 1.0), rtol=1e-12)


def test_in_a_thick_clear_layer_all_light_is_stopped_as_beer_and_lambert_say() -> None:
    # k to infinity is the clear layer: 1 - exp(-A)
    A = np.array([0.1, 1.0, 3.0])
    np.testing.assert_allclose(stopped(A, 0.0, 1e7), -np.expm1(-A), rtol=1e-5)


@settings(deadline=None)
@given(
    st.lists(st.floats(0, 0.5), min_size=2, max_size=2),
    st.sampled_from(["D65", "A", "D50"]),
    st.floats(0.3, 1.0),
)
def test_photons_out_are_at_most_photons_in_times_the_yield(loads, light_name, paper) -> None:
    # emission weights that count photons instead of colours: every photon through any band is 1
    dyes = load_dyes()
    light = load_glow(light_name)
    path = np.array(
        [
            0.1 * 6 * np.log(10) * dyes[n].absorptivity_l_per_g_cm(band_nm())
            for n in ("Acid Red 87", "Acid Red 52")
        ]
    )
    yields = np.array([0.67, 0.7])
    count = np.zeros((2, band_nm().size, 3))
    for j, name in enumerate(("Acid Red 87", "Acid Red 52")):
        f = dyes[name].fluorescence
        spread = emission_photons(band_nm(), f.emission_peak_nm, f.emission_width_per_cm)
        count[j] = (spread * light.width_nm / (spread @ light.width_nm))[:, None]
    optical = np.array([loads])
    out = glow(
        *(optical, np.zeros(1), path, yields, np.full(band_nm().size, paper), 0.03, 1.0),
        *(light.photon_weights, count),
    )[0, 0]
    A = optical @ path
    taken = stopped(A, 0.03, 1.0)[0] @ light.photon_weights
    assert 0.0 <= out <= 0.7 * taken + 1e-9
    assert taken <= light.photon_weights.sum()


def test_quenching_halves_at_its_load_and_goes_with_the_square() -> None:
    assert float(quenched(0.0)) == 1.0
    assert float(quenched(HALF_LOAD_MOL_PER_M2)) == 0.5
    # Watson and Livingston's form: 1/F - 1 grows as c^2
    excess = 1.0 / quenched(np.array([1.0, 3.0]) * 1e-4) - 1.0
    assert excess[1] / excess[0] == pytest.approx(9.0)


@pytest.mark.parametrize("name", ["D65", "A", "D50"])
def test_photons_in_bands_are_those_at_1_nm(name: str) -> None:
    # from the illuminant itself (colour-science), power times wavelength over luminance
    from colour import MSDS_CMFS, SDS_ILLUMINANTS

    nm = REFERENCE_NM
    S = np.interp(nm, SDS_ILLUMINANTS[name].wavelengths, SDS_ILLUMINANTS[name].values)
    y = MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].values[20:421, 1]
    light = load_glow(name)
    assert light.photon_weights.sum() == pytest.approx(float(S @ nm / (S @ y)), rel=1e-6)
    assert (light.photon_weights > 0).all()
    # a real absorption: eosin's share, band by band against 1 nm
    a = 1 - np.exp(-load_dyes()["Acid Red 87"].absorptivity_l_per_g_cm(nm) / 100)
    at_bands = np.interp(band_nm(), nm, a)
    exact = float((S * nm * a).sum() / (S @ y))
    assert at_bands @ light.photon_weights == pytest.approx(exact, rel=0.01)


def test_the_displays_matrix_is_that_of_its_weights() -> None:
    for name in ("D65", "A"):
        light = load_light(name)
        np.testing.assert_allclose(
            light.xyz_weights @ light.display_matrix, light.display_weights, atol=1e-12
        )


def test_any_other_light_has_its_photons_too() -> None:
    assert load_glow("FL11").photon_weights.sum() > 0
