"""Drops: the pharmacopoeial dropper, and what a naive "1 + 4" in drops really is."""

from __future__ import annotations

import pytest

from glaze.materials.dilution import dilution_of
from glaze.materials.dropper import INK_DROPS_PER_ML, WATER_DROPS_PER_ML, Dropper
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


def test_a_told_dilution_stays_within_a_droppers_own_tolerance() -> None:
    # USP 32 <1101>: a drop of water weighs 45 to 55 mg, so 998 mg/ml are 18.1 to 22.2 drops; told
    # for 20, 1 + 8 counted with the worst of these is off by no more than a dropper's 15 %
    black = load_palette("lifting")
    for milligrams in (45, 55):
        drops = dilution_of(mix_recipe("Black 1", black), 8).drops[0]
        ink_ml = drops["Black"] / 35
        water_ml = drops["water"] * milligrams / 998
        assert ink_ml / (ink_ml + water_ml) == pytest.approx(1 / 9, rel=0.15)


@pytest.mark.parametrize(("outer_mm", "milligrams"), [(1.39, 26.2), (3.07, 52.2), (6.56, 100)])
def test_any_dropper_of_the_old_tables_gives_one_plus_eight(outer_mm, milligrams) -> None:
    # Eschbaum, Bulletin of Pharmacy 9 (1895) 461: weight of a water drop by the tube's diameter;
    # ink drops by Tate's law, as 72 to 41 mN/m
    water = 998 / milligrams
    dropper = Dropper(min(100.0, water * 72 / 41), water)
    mix = mix_recipe("Black 1", load_palette("lifting").counted_with(dropper))
    drops = dilution_of(mix, 8).drops[0]
    ink_ml = drops["Black"] / dropper.ink_drops_per_ml
    water_ml = drops["water"] * milligrams / 998
    assert ink_ml / (ink_ml + water_ml) == pytest.approx(1 / 9, rel=0.05)
