"""Drops: the pharmacopoeial dropper, and what a naive "1 + 4" in drops really is."""

from __future__ import annotations

import pytest

from glaze.materials.dropper import INK_DROPS_PER_ML, WATER_DROPS_PER_ML
from glaze.materials.ink import load_palette
from glaze.materials.mix import mix_recipe


def test_a_water_drop_weighs_what_the_pharmacopoeia_allows() -> None:
    # USP 32 <1101>: one drop of water weighs 45 to 55 mg; water has 998 mg/ml at 20 C
    milligrams = 998 / WATER_DROPS_PER_ML
    assert 45 <= milligrams <= 55


def test_twenty_drops_of_water_make_a_millilitre() -> None:
    # UNC pharmacy laboratory page: 20 drops = 1 ml, 2 drops either way
    assert pytest.approx(20, abs=2) == WATER_DROPS_PER_ML


def test_ink_drops_are_smaller_as_their_surface_tension_is_lower() -> None:
    # Tate's law: drop weight goes with surface tension; water 72, fountain-pen ink 38-45 mN/m
    most, least = 20 * 72 / 38, 20 * 72 / 45
    assert least <= INK_DROPS_PER_ML <= most


@pytest.mark.parametrize("name", ["lifting", "resistant"])
def test_one_drop_of_ink_and_four_of_water_are_far_more_than_one_plus_four(name: str) -> None:
    # with 32 to 38 ink drops and 20 water drops to the ml: 1 + 6.3 to 1 + 7.5, computed
    mix = mix_recipe("Black 1 + water 4", load_palette(name))
    assert 4 * 32 / 20 <= mix.parts_water <= 4 * 38 / 20
