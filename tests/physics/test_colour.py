"""Colour spaces, gamut and Munsell value, against colour-science and printed values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from glaze.physics import colour as own
from glaze.physics.colour import LUMINANCE_OF_RGB, map_into_gamut

WILD = arrays(np.float64, (5, 3), elements=st.floats(-2, 3, width=32))


def test_lab_agrees_with_colour_science():
    import colour

    xyz = np.random.default_rng(1).uniform(0, 1, (200, 3)) ** 3
    theirs = colour.XYZ_to_Lab(xyz, [0.3127, 0.3290])
    np.testing.assert_allclose(own.lab_from_xyz(xyz, own.D65_XYZ), theirs, atol=1e-9)


def test_lab_and_back_is_the_same_colour_even_near_black():
    xyz = np.random.default_rng(2).uniform(0, 1, (500, 3)) ** 4
    lab = own.lab_from_xyz(xyz, own.D65_XYZ)
    np.testing.assert_allclose(own.xyz_from_lab(lab, own.D65_XYZ), xyz, atol=1e-12)


def test_rgb_matrix_agrees_with_the_printed_standard():
    # IEC 61966-2-1, equation 1 gives four decimals
    printed = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    np.testing.assert_allclose(own.XYZ_FROM_RGB, printed, atol=5e-5)
    np.testing.assert_allclose(own.rgb_from_xyz(own.D65_XYZ), 1.0, atol=1e-12)
    np.testing.assert_allclose(own.xyz_from_rgb(own.rgb_from_xyz([0.2, 0.3, 0.4])), [0.2, 0.3, 0.4])


def test_srgb_curve_agrees_with_colour_science_and_comes_back():
    import colour

    linear = np.concatenate([[0, 0.0031308], np.linspace(0, 1, 1001)])
    signal = own.srgb_encode(linear)
    np.testing.assert_allclose(signal, colour.models.eotf_inverse_sRGB(linear), atol=1e-12)
    # the standard's two pieces meet only to about 1e-7
    np.testing.assert_allclose(own.srgb_decode(signal), linear, atol=1e-7)


def test_adaptation_agrees_with_colour_science_and_carries_white_to_white():
    import colour

    white_a = own.xyz_from_xy([0.44758, 0.40745])
    matrix = own.adaptation(white_a, own.D65_XYZ)
    theirs = colour.adaptation.matrix_chromatic_adaptation_VonKries(white_a, own.D65_XYZ, "CAT16")
    np.testing.assert_allclose(matrix, theirs, atol=1e-10)
    np.testing.assert_allclose(white_a @ matrix.T, own.D65_XYZ, atol=1e-12)


def test_difference_agrees_with_colour_science_far_apart():
    import colour

    rng = np.random.default_rng(3)
    one, other = (rng.uniform([0, -100, -100], [100, 100, 100], (5000, 3)) for _ in range(2))
    theirs = colour.difference.delta_E_CIE2000(one, other)
    np.testing.assert_allclose(own.delta_e_2000(one, other), theirs, atol=1e-9)


def test_difference_broadcasts_one_aim_over_many_colours():
    many = np.random.default_rng(4).uniform(0, 60, (4, 6, 3))
    aim = np.array([50.0, 10.0, 20.0])
    found = own.delta_e_2000(many, aim)
    assert found.shape == (4, 6)
    assert found[2, 3] == pytest.approx(float(own.delta_e_2000(many[2, 3], aim)))


@given(arrays(np.float64, (5, 3), elements=st.floats(0, 1, width=32)))
def test_colours_that_fit_are_left_alone_bit_for_bit(rgb):
    mapped, moved = map_into_gamut(rgb)
    assert np.array_equal(mapped, rgb)
    assert not moved.any()


@given(WILD)
def test_mapped_colours_fit_and_keep_their_luminance(rgb):
    mapped, moved = map_into_gamut(rgb)
    assert mapped.min() >= 0
    assert mapped.max() <= 1
    assert np.array_equal(moved, ((rgb < 0) | (rgb > 1)).any(axis=-1))
    aim = np.clip(rgb @ LUMINANCE_OF_RGB, 0, 1)
    np.testing.assert_allclose((mapped @ LUMINANCE_OF_RGB)[moved], aim[moved], atol=1e-12)


def test_mapping_keeps_as_much_of_the_colour_as_fits():
    rgb = np.random.default_rng(5).uniform(-0.5, 1.5, (300, 3))
    mapped, moved = map_into_gamut(rgb)
    Y = (rgb @ LUMINANCE_OF_RGB)[:, None]
    for colour, result, grey in zip(rgb[moved], mapped[moved], Y[moved], strict=True):
        if not 0 < grey < 1:
            continue
        # a literal search along the way from the grey to the colour
        shares = np.linspace(0, 1, 20001)
        way = grey + shares[:, None] * (colour - grey)
        furthest = way[((way >= 0) & (way <= 1)).all(axis=1)][-1]
        np.testing.assert_allclose(result, furthest, atol=1e-4)


def test_munsell_value_inverts_the_standard_and_agrees_with_colour_science():
    import colour

    Y = np.linspace(0, 1, 2001)
    value = own.munsell_value(Y)
    np.testing.assert_allclose(own.luminance_of_value(value), Y, atol=1e-12)
    theirs = colour.notation.munsell_value_ASTMD1535(Y * 100)  # interpolates a table
    np.testing.assert_allclose(value, theirs, atol=1e-5)


def test_munsell_value_stays_within_0_to_10():
    np.testing.assert_allclose(own.munsell_value([-0.1, 0, 1, 1.2]), [0, 0, 10, 10], atol=1e-9)


def test_colour_is_ready_without_a_slow_import():
    import subprocess
    import sys

    code = "import sys, glaze.physics.colour; print({'colour', 'scipy'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
