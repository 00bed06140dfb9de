"""Munsell notation, against the renotation as colour-science reads it."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.materials.munsell import (
    FAMILIES,
    ILLUMINANT_C_XYZ,
    munsell_from_xyz,
    munsell_notation,
)
from glaze.physics.colour import D65_XYZ, adaptation


@pytest.fixture(scope="module")
def between() -> np.ndarray:
    """Colours between the renotation's own, forwards by colour-science: hue, value, chroma, XYZ."""
    import colour

    rng = np.random.default_rng(11)
    found = []
    while len(found) < 150:
        hue, value, chroma = rng.uniform(0.1, 100), rng.uniform(2, 9), rng.uniform(1, 10)
        family = int(np.ceil(hue / 10)) - 1
        name = f"{hue - 10 * family:.2f}{FAMILIES[family]} {value:.2f}/{chroma:.2f}"
        try:
            xyY = colour.munsell_colour_to_xyY(name)
        except ValueError:  # beyond the renotation
            continue
        found.append((hue, value, chroma, *colour.xyY_to_XYZ(xyY)))
    return np.array(found)


def test_grid_reads_colours_as_the_renotation_does(between):
    read = munsell_from_xyz(between[:, 3:], ILLUMINANT_C_XYZ)
    turn = np.abs((read.hue - between[:, 0] + 50) % 100 - 50)
    off = np.abs(read.chroma - between[:, 2])
    print("hue", turn.mean(), turn.max(), "chroma", off.mean(), off.max())
    # notation is written to 0.5 of hue and 0.5 of chroma; the renotation's own step of chroma is 2
    assert np.quantile(turn, 0.95) < 0.5
    assert turn.max() < 1.5
    assert off.mean() < 0.1
    assert off.max() < 1.0
    np.testing.assert_allclose(read.value, between[:, 1], atol=0.006)  # names have two decimals


def test_light_makes_no_difference_when_the_eye_adapts(between):
    seen = between[:, 3:] @ adaptation(ILLUMINANT_C_XYZ, D65_XYZ).T
    under_c = munsell_from_xyz(between[:, 3:], ILLUMINANT_C_XYZ)
    under_d65 = munsell_from_xyz(seen, D65_XYZ)
    # value is read before adaptation, which moves Y by up to a percent and with it the plane used
    np.testing.assert_allclose(under_d65.hue, under_c.hue, atol=0.05)
    np.testing.assert_allclose(under_d65.chroma, under_c.chroma, atol=0.05)


def test_notation_of_one_colour_and_of_many_agree(between):
    many = munsell_notation(between[:5, 3:], ILLUMINANT_C_XYZ)
    assert many == [munsell_notation(row, ILLUMINANT_C_XYZ) for row in between[:5, 3:]]


def test_greys_are_written_as_neutral():
    assert munsell_notation(0.1977 * D65_XYZ, D65_XYZ) == "N 5.1"
    assert munsell_notation(0.03 * D65_XYZ, D65_XYZ) == "N 2.0"
