"""Recipes and mixes: volumes, masses, mixes of mixes, and the slips a painter makes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.errors import InputError
from glaze.materials.ink import load_palette
from glaze.materials.mix import (
    Mix,
    diluted,
    mix_recipe,
    mix_wells,
    ml_for_area,
    recipe_for_ml,
)
from glaze.materials.recipe import Recipe, parse_recipe

PALETTE = load_palette("lifting")
INKS = list(PALETTE.inks)
drops = st.integers(min_value=0, max_value=40)
recipes = st.builds(
    Recipe,
    st.dictionaries(st.sampled_from(INKS), st.integers(1, 40).map(float), min_size=1, max_size=4),
    drops.map(float),
)


def same_liquid(first: Mix, second: Mix) -> bool:
    contents = first.contents_g_per_l.keys() | second.contents_g_per_l.keys()
    return all(
        math.isclose(
            first.contents_g_per_l.get(dye, 0), second.contents_g_per_l.get(dye, 0), rel_tol=1e-9
        )
        for dye in contents
    )


def test_volumes_by_hand() -> None:
    # 7 ink drops at 35 to the ml are 0.2 ml, 4 water drops at 20 to the ml are 0.2 ml:
    # half ink, so half of 3 g/L
    mix = mix_recipe("Yellow 7 + water 4", PALETTE)
    assert mix.all_ml == pytest.approx(0.4)
    assert mix.strength == pytest.approx(0.5)
    assert mix.contents_g_per_l == pytest.approx({"Acid Yellow 23": 1.5})
    assert mix.neat_g_per_l == pytest.approx({"Acid Yellow 23": 3.0})
    assert mix.parts_water == pytest.approx(1.0)
    # 100 ml/m2 of 1.5 g/L
    assert mix.load_g_per_m2(100)["Acid Yellow 23"] == pytest.approx(0.15)


def test_two_inks_by_volume() -> None:
    mix = mix_recipe("Blue 3 ml + Yellow 1 ml", PALETTE)
    blue, yellow = PALETTE.inks["Blue"].contents_g_per_l, PALETTE.inks["Yellow"].contents_g_per_l
    for dye, grams in blue.items():
        assert mix.contents_g_per_l[dye] == pytest.approx(0.75 * grams)
    for dye, grams in yellow.items():
        assert mix.contents_g_per_l[dye] == pytest.approx(0.25 * grams)
    assert mix.strength == 1.0


@given(recipes)
def test_no_dye_is_lost_or_made_in_mixing(recipe: Recipe) -> None:
    # grams put in, counted drop by drop, are the grams in the mixture
    mix = mix_recipe(recipe, PALETTE)
    put_in: dict[str, float] = {}
    for name, count in recipe.amounts.items():
        ink = PALETTE.inks[name]
        for dye, grams_per_l in ink.contents_g_per_l.items():
            ml = count / ink.drops_per_ml
            put_in[dye] = put_in.get(dye, 0.0) + ml / 1000 * grams_per_l
    found = {dye: g * mix.all_ml / 1000 for dye, g in mix.contents_g_per_l.items()}
    assert found == pytest.approx(put_in)


@given(recipes, st.integers(1, 20))
def test_more_water_never_raises_the_strength(recipe: Recipe, more: int) -> None:
    mix = mix_recipe(recipe, PALETTE)
    thinner = mix_recipe(Recipe(recipe.amounts, recipe.water + more), PALETTE)
    assert thinner.strength < mix.strength
    assert all(thinner.contents_g_per_l[dye] < grams for dye, grams in mix.contents_g_per_l.items())
    # the neat mixture is the same
    assert thinner.neat_g_per_l == pytest.approx(mix.neat_g_per_l)


@given(recipes, st.integers(2, 9))
def test_twice_the_recipe_is_the_same_liquid(recipe: Recipe, factor: int) -> None:
    assert same_liquid(mix_recipe(recipe, PALETTE), mix_recipe(recipe.times(factor), PALETTE))


@given(recipes, st.integers(1, 10), st.integers(0, 10))
def test_a_mix_of_mixes_is_what_its_bottles_make(recipe: Recipe, part: int, water: int) -> None:
    well = mix_recipe(recipe, PALETTE)
    again = mix_recipe(Recipe({"stock": float(part)}, float(water), "ml"), PALETTE, {"stock": well})
    # by hand: the well's inks in ml, and its water with the new
    share = part / well.all_ml
    direct = Recipe(
        {ink: ml * share for ink, ml in well.ink_ml.items()}, well.water_ml * share + water, "ml"
    )
    assert same_liquid(again, mix_recipe(direct, PALETTE))
    assert again.strength == pytest.approx(well.strength * part / (part + water))


@given(recipes)
def test_a_well_gives_as_many_drops_as_were_put_in(recipe: Recipe) -> None:
    mix = mix_recipe(recipe, PALETTE)
    put_in = sum(recipe.amounts.values()) + recipe.water
    assert mix.drops_per_ml * mix.all_ml == pytest.approx(put_in)


@given(recipes)
def test_a_recipe_reads_as_it_is_written(recipe: Recipe) -> None:
    read = parse_recipe(recipe.text)
    assert (dict(read.amounts), read.water) == (dict(recipe.amounts), recipe.water)


@pytest.mark.parametrize(
    ("text", "amounts", "water", "unit"),
    [
        ("Blue 3 + Yellow 2 + water 4", {"Blue": 3, "Yellow": 2}, 4, "drops"),
        ("3 Blue + 2 drops Yellow", {"Blue": 3, "Yellow": 2}, 0, "drops"),
        ("Separating Black 3 drops + Water 12", {"Separating Black": 3}, 12, "drops"),
        ("Black 1 part + water 4 parts", {"Black": 1}, 4, "parts"),
        ("Black 0.5ml + water 2,5 ml", {"Black": 0.5}, 2.5, "ml"),
        ("Blue 1 + Blue 2", {"Blue": 3}, 0, "drops"),
        ("water 3", {}, 3, "drops"),
    ],
)
def test_recipes_are_read(text: str, amounts: dict[str, float], water: float, unit: str) -> None:
    recipe = parse_recipe(text)
    assert (dict(recipe.amounts), recipe.water, recipe.unit) == (amounts, water, unit)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Blue -1", "can't be below 0"),
        ("Blue 1.5", "drops are whole"),
        ("Blue 0", "recipe of nothing"),
        ("Blue 0 + water 0", "recipe of nothing"),
        ("", "nothing beside"),
        ("Blue 3 +", "nothing beside"),
        ("Blue", "has no amount"),
        ("Blue 3 cups", "No unit"),
        ("Blue 3 ml + water 4", "one unit"),
        ("Blue 99999999", "anyone can count"),
        ("Blu 3", 'Did you mean "Blue"'),
        ("Blue 3 + Yelow 2 + Purpel 2", "Purpel"),
    ],
)
def test_a_slip_is_told_in_words(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        mix_recipe(text, PALETTE)


def test_water_alone_has_no_strength() -> None:
    mix = mix_recipe("water 5", PALETTE)
    assert mix.strength == 0
    assert dict(mix.contents_g_per_l) == {}
    assert mix.neat_g_per_l == {}
    assert mix.parts == "water alone"


@pytest.mark.parametrize(
    ("recipe", "text"),
    [
        ("Black 1", "neat"),
        ("Black 1 part + water 4 parts", "1 part + 4 parts water"),
        ("Black 1 part + water 1 part", "1 part + 1 part water"),
        ("Black 2 parts + water 5 parts", "1 part + 2.5 parts water"),
        ("Black 1 + water 4", "1 part + 7 parts water"),  # 35 and 20 drops to the ml
        ("Black 100 ml + water 2 ml", "neat"),
        ("Black 1 ml + water 99 ml", "1 part + 99 parts water"),
    ],
)
def test_strength_is_said_as_one_part_and_so_many(recipe: str, text: str) -> None:
    assert mix_recipe(recipe, PALETTE).parts == text


@given(recipes, st.floats(0, 50))
def test_thinning_a_mix_is_mixing_it_with_water(recipe: Recipe, parts: float) -> None:
    mix = mix_recipe(recipe, PALETTE)
    thin = diluted(mix, parts)
    assert thin.strength == pytest.approx(mix.strength / (1 + parts))
    by_hand = mix_recipe(Recipe({"stock": 1.0}, parts, "ml"), PALETTE, {"stock": mix})
    assert same_liquid(thin, by_hand)
    assert thin.drops_per_ml == pytest.approx(by_hand.drops_per_ml)
    assert same_liquid(thin, mix_recipe(thin.recipe, PALETTE))


def test_thinning_by_less_than_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="below 0 parts"):
        diluted(mix_recipe("Black 1", PALETTE), -1)


def test_few_ink_drops_are_warned_of() -> None:
    assert "stock mix" in mix_recipe("Black 1 + water 4", PALETTE).notes[0]
    assert mix_recipe("Black 3 + water 12", PALETTE).notes == ()


def test_wells_are_mixed_from_each_other_in_any_order() -> None:
    wells = mix_wells({"deep": "shadow 2 + Blue 1", "shadow": "Black 3 + water 12"}, PALETTE)
    again = mix_recipe("deep 4 + water 2", PALETTE, wells)
    assert 0 < again.strength < wells["deep"].strength < 1
    assert set(again.ink_ml) == {"Black", "Blue"}


def test_wells_in_a_circle_and_bad_names_are_all_told() -> None:
    with pytest.raises(InputError) as told:
        mix_wells({"a": "b 1", "b": "a 1", "Blue": "Red 1", "c": "Blu 1", "d": "Red"}, PALETTE)
    text = str(told.value)
    for said in ("from each other", "name of a bottle", 'Did you mean "Blue"', "has no amount"):
        assert said in text


def test_a_mix_is_as_uncertain_as_its_worst_ink() -> None:
    assert mix_recipe("Black 1 + water 4", PALETTE).strength_factor == 3.0
    assert mix_recipe("water 4", PALETTE).strength_factor == 1.0


def test_millilitres_for_an_area() -> None:
    # an A5 sheet at 100 ml/m2 takes 3.1 ml; with 1.4 times to spare 4.35 ml
    assert ml_for_area(148 * 210, spare=1.0) == pytest.approx(3.1, abs=0.05)
    assert ml_for_area(148 * 210) == pytest.approx(4.35, abs=0.01)
    with pytest.raises(InputError):
        ml_for_area(-1)
    with pytest.raises(InputError):
        ml_for_area(100, spare=0.5)


def test_a_recipe_is_scaled_by_whole_numbers_to_make_enough() -> None:
    # Blue 7 + water 4 makes 0.4 ml, so 1 ml takes three times as much
    recipe = recipe_for_ml(mix_recipe("Blue 7 + water 4", PALETTE), 1.0)
    assert recipe.text == "Blue 21 + water 12"
