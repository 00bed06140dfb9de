"""Colours asked for in four ways."""

from __future__ import annotations

import re
import warnings

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.materials.munsell import ILLUMINANT_C_XYZ, read_munsell
from glaze.patch.seen import looks_of_xyz
from glaze.picture.light import load_light
from glaze.planning.recipe.wanted import (
    daylight_weights,
    wanted_colour,
    xyz_from_munsell,
)


def test_hex_codes_are_srgb() -> None:
    # IEC 61966-2-1: white is D65, mid grey #808080 has Y = 0.2159 (((128/255 + 0.055)/1.055)^2.4)
    white = wanted_colour("#ffffff")
    assert white.lab == pytest.approx([100, 0, 0], abs=1e-6)
    assert wanted_colour("808080").xyz[1] == pytest.approx(0.2159, abs=5e-5)
    assert wanted_colour("#abc").xyz == wanted_colour("aabbcc").xyz


def test_lab_comes_back_as_given() -> None:
    assert wanted_colour("42, -21, -3").lab == pytest.approx([42, -21, -3], abs=1e-9)


@pytest.mark.parametrize("value", [1, 2.5, 5, 7, 9])
def test_greys_have_the_luminance_of_astm_d1535(value: float) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    # an independent implementation of ASTM D1535, Y in per cent
    Y = float(colour.colorimetry.luminance_ASTMD1535(value))
    assert wanted_colour(f"N {value}").xyz[1] * 100 == pytest.approx(Y, abs=1e-3)
    assert wanted_colour(f"N {value}").value == pytest.approx(value, abs=1e-6)


@pytest.mark.parametrize("name", ["5R 5/10", "2.5Y 8/12", "10GY 6/8", "5BG 4/4", "7.5PB 3/8"])
def test_munsell_colours_stand_where_the_renotation_has_them(name: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        xyY = colour.munsell_colour_to_xyY(name)  # from the tables of Newhall 1943
    Y = xyY[2]
    xyz = np.array([xyY[0] / xyY[1] * Y, Y, (1 - xyY[0] - xyY[1]) / xyY[1] * Y])
    found = xyz_from_munsell(*read_munsell(name))
    lab = [colour.XYZ_to_Lab(v, [0.31006, 0.31616]) for v in (xyz, found)]
    # the grid's own error against the renotation is up to about 1 (tests/materials/test_munsell.py)
    assert float(colour.delta_E(*lab, method="CIE 2000")) < 1.0
    assert found[1] == pytest.approx(Y, abs=1e-4)


def test_a_munsell_colour_asked_for_is_the_one_named() -> None:
    for name in ("5R 5.0/10", "2.5Y 8.0/12", "5BG 4.0/4", "N 6.0", "7.5PB 3.0/8"):
        assert wanted_colour(name).notation == name


@pytest.mark.parametrize("text", ["7.5r 4/6", "7.5R4/6", "R 4/6", "N6", "N 6.3/"])
def test_notation_is_read_in_its_usual_spellings_only(text: str) -> None:
    read = read_munsell(text)
    assert (read is None) == (text in ("7.5R4/6", "R 4/6"))


def test_a_point_of_a_picture_is_read_in_linear_light(tmp_path) -> None:
    from PIL import Image

    picture = np.zeros((20, 30, 3), np.uint8)
    picture[:, :15] = (255, 255, 255)
    Image.fromarray(picture).save(tmp_path / "photo.png")
    assert wanted_colour(f"{tmp_path}/photo.png@5,5").xyz[1] == pytest.approx(1.0, abs=1e-6)
    # 5 pixels about column 15: 2 white, 3 black, so two fifths of the light
    assert wanted_colour(f"{tmp_path}/photo.png@15,10").xyz[1] == pytest.approx(0.4, abs=1e-6)
    with pytest.raises(InputError, match="columns go from 0 to 29"):
        wanted_colour(f"{tmp_path}/photo.png@30,5")
    with pytest.raises(InputError, match="no point"):
        wanted_colour(f"{tmp_path}/photo.png@left")
    with pytest.raises(InputError, match="no picture"):
        wanted_colour(f"{tmp_path}/none.png@3,3")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "hex code"),
        ("teal 5", "hex code"),
        ("#12345", "hex code"),
        ("120,0,0", "from 0 to 100"),
        ("a,b,c", "three numbers"),
        ("5R 11/4", "value goes from 0"),
        ("11R 5/4", "hue goes from 0 to 10"),
        ("5X 5/4", "hex code"),
        ("nan,0,0", "from 0 to 100"),
    ],
)
def test_what_is_no_colour_is_told_the_five_ways(text: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        wanted_colour(text)


@pytest.mark.parametrize("name", ["D65", "D50", "A"])
def test_paper_white_under_any_light_is_white_by_daylight(name: str) -> None:
    weights = daylight_weights(load_light(name))
    assert weights.sum(axis=0) == pytest.approx(wanted_colour("#ffffff").xyz, abs=1e-9)


def test_illuminant_c_is_the_white_of_the_greys() -> None:
    xyz = xyz_from_munsell(0, 6, 0)
    assert xyz / xyz[1] == pytest.approx(ILLUMINANT_C_XYZ, abs=1e-9)


@pytest.mark.parametrize("asked", ["teal", "olive", "deep brown", "a muted blue", "Pale Pink"])
def test_a_word_is_enough_and_is_called_so_again(asked: str) -> None:
    """The middle of the published block lies in the block: see tests of the colour words."""
    wanted = wanted_colour(asked)
    (look,) = looks_of_xyz(np.array([wanted.xyz]), load_light("D65"))
    plain = re.sub("^an? ", "", asked.lower())
    assert look.words == plain or look.words.endswith(plain)


def test_a_word_that_is_no_colour_is_told_with_those_that_are() -> None:
    with pytest.raises(InputError, match='No colour is called "glorp"'):
        wanted_colour("glorp")
