"""Munsell notation, against the renotation as colour-science reads it."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.materials.munsell import (
    ILLUMINANT_C_XYZ,
    _written,
    munsell_from_xyz,
    munsell_notation,
    read_munsell,
)
from glaze.physics.colour import D65_XYZ, adaptation

FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
"""ASTM D1535: ten hue families in the order of the circle."""


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


@pytest.mark.parametrize(("number", "family"), list(enumerate(FAMILIES)))
def test_hue_numbers_go_round_the_ten_families(number: int, family: str) -> None:
    assert read_munsell(f"5{family} 4/6") == (10 * number + 5, 4.0, 6.0)
    assert read_munsell(f"10{family} 4/6") == ((10 * number + 10) % 100, 4.0, 6.0)
    import colour

    # forwards by colour-science, back to what is written
    xyz = colour.xyY_to_XYZ(colour.munsell_colour_to_xyY(f"5{family} 5/6"))
    read = munsell_notation(xyz, ILLUMINANT_C_XYZ)
    hue, rest = str(read).split(" ")
    assert hue.lstrip("0123456789.") == family
    assert float(hue.rstrip("RYGBP")) == pytest.approx(5.0)
    assert rest == "5.0/6"


def test_hardly_coloured_is_neutral_and_ten_is_not_nought() -> None:
    # C*ab is about 5.5 times Munsell chroma: 2.2 is below half a step, 4.4 above
    from glaze.physics.colour import xyz_from_lab

    grey, tinge = (
        munsell_notation(xyz_from_lab((60.0, 0.0, b), D65_XYZ), D65_XYZ) for b in (2.0, 5.0)
    )
    assert grey == "N 5.9"
    assert "Y" in tinge
    assert read_munsell("N 6.3/") == (0.0, 6.3, 0.0)
    assert read_munsell("teal") is None


@pytest.mark.parametrize("text", ["11R 5/6", "5R 5/31", "5R 11/6", "N 11"])
def test_figures_beyond_munsells_solid_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_munsell(text)


def test_hues_are_written_to_half_a_step_and_ten_of_a_family_rather_than_nought() -> None:
    # steps of hue go from 0.5 to 10 in each of ten families, R first: 12.4 is 2.5 of the second
    written = {12.4: "2.5YR", 10.1: "10R", 7.3: "7.5R", 99.9: "10RP", 0.3: "0.5R"}
    for hue, family in written.items():
        assert _written(hue, 5.04, 6.2) == f"{family} 5.0/6"
