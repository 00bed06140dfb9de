"""Recipes for a wanted colour: complete, exact, and said in words when out of reach."""

from __future__ import annotations

import itertools
import math
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glaze.errors import InputError
from glaze.materials.mix import mix_recipe
from glaze.patch.patches import bare_patches, glaze, reflectance
from glaze.patch.table import table_of
from glaze.physics.colour import D65_XYZ, lab_from_xyz
from glaze.planning.recipe.drops import every_recipe, recipe_count, recipe_of
from glaze.planning.recipe.match import match_colour, predicted_lab
from glaze.planning.recipe.wanted import daylight_weights, wanted_colour

CARTRIDGE = table_of("lifting", "white cartridge")
HOT_PRESSED = table_of("resistant", "white hot-pressed", "A")


def laid(table, text: str) -> np.ndarray:
    """The slow way: the recipe mixed, laid on a sheet, seen by daylight."""
    patch = glaze(table, bare_patches(table), table.mix(text))
    return lab_from_xyz(reflectance(table, patch)[0, 0] @ daylight_weights(table.light), D65_XYZ)


def by_nested_loops(inks: int, most_drops: int, most_inks: int) -> set[tuple[int, ...]]:
    found = set()
    for row in itertools.product(range(most_drops + 1), repeat=inks + 1):
        kinds = sum(n > 0 for n in row[:-1])
        if 1 <= kinds <= most_inks and sum(row) <= most_drops and math.gcd(*row) == 1:
            found.add(row)
    return found


@pytest.mark.parametrize(("inks", "drops", "kinds"), [(1, 5, 3), (3, 6, 2), (4, 6, 4), (2, 12, 3)])
def test_every_recipe_is_there_and_none_twice(inks: int, drops: int, kinds: int) -> None:
    rows = [tuple(int(n) for n in row) for row in every_recipe(inks, drops, kinds)]
    assert len(rows) == len(set(rows))
    assert set(rows) == by_nested_loops(inks, drops, kinds)


def test_recipes_are_counted_before_they_are_made() -> None:
    # by nested loops, multiples and all
    every = [
        row
        for row in itertools.product(range(7), repeat=4)
        if sum(row) <= 6 and 1 <= sum(n > 0 for n in row[:3]) <= 2
    ]
    assert recipe_count(3, 6, 2) == len(every)
    with pytest.raises(InputError, match="fewer drops or inks"):
        match_colour(wanted_colour("#808080"), CARTRIDGE, 40, 8, list(CARTRIDGE.palette.inks))


@pytest.mark.parametrize("table", [CARTRIDGE, HOT_PRESSED], ids=["matte", "hard-sized, lamp"])
def test_the_quick_prediction_is_the_sheet_laid_wash_by_wash(table) -> None:
    bottles = list(table.palette.bottles)
    rows = every_recipe(4, 7, 4)[::23]
    quick = predicted_lab(table, bottles, rows)
    slow = np.array([laid(table, recipe_of(bottles, row).text) for row in rows])
    # the sheet is kept in float32
    assert np.abs(quick - slow).max() < 2e-3


def test_two_coats_and_added_water_are_laid_as_the_sheet_lays_them() -> None:
    bottles = list(CARTRIDGE.palette.bottles)
    rows = np.array([[2, 1, 0, 0, 3]])
    mix = CARTRIDGE.mix(recipe_of(bottles, rows[0]).text)
    patch = glaze(CARTRIDGE, glaze(CARTRIDGE, bare_patches(CARTRIDGE), mix), mix)
    weights = daylight_weights(CARTRIDGE.light)
    slow = lab_from_xyz(reflectance(CARTRIDGE, patch)[0, 0] @ weights, D65_XYZ)
    assert np.abs(predicted_lab(CARTRIDGE, bottles, rows, coats=2)[0] - slow).max() < 2e-3
    from glaze.materials.mix import diluted

    patch = glaze(CARTRIDGE, bare_patches(CARTRIDGE), diluted(mix, 4))
    slow = lab_from_xyz(reflectance(CARTRIDGE, patch)[0, 0] @ weights, D65_XYZ)
    assert np.abs(predicted_lab(CARTRIDGE, bottles, rows, more_water=4)[0] - slow).max() < 2e-3


def test_the_best_recipe_is_that_of_brute_force_with_another_colour_difference() -> None:
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    wanted = wanted_colour("#6f7a4a")
    bottles = list(CARTRIDGE.palette.bottles)
    slow = {}
    for row in by_nested_loops(4, 4, 3):
        lab = laid(CARTRIDGE, recipe_of(bottles, np.array(row)).text)
        slow[row] = float(colour.delta_E(lab, wanted.lab, method="CIE 2000"))
    best = min(slow.values())
    found = match_colour(wanted, CARTRIDGE, most_drops=4)
    assert found.best.de00 == pytest.approx(best, abs=2e-3)
    assert found.tried == len(slow)


@settings(max_examples=15, deadline=None)
@given(st.tuples(*[st.integers(0, 4)] * 5).filter(lambda row: 0 < sum(n > 0 for n in row[:4]) <= 3))
def test_a_recipe_is_found_again_from_its_own_colour(row: tuple[int, ...]) -> None:
    bottles = list(CARTRIDGE.palette.bottles)
    lab = predicted_lab(CARTRIDGE, bottles, np.array([row]))[0]
    asked = ",".join(f"{part:.6f}" for part in lab)
    found = match_colour(wanted_colour(asked), CARTRIDGE, most_drops=16)
    assert found.reachable
    assert found.best.de00 < 1e-3


def test_recipes_go_from_near_to_simple() -> None:
    found = match_colour(wanted_colour("5BG 4/4"), CARTRIDGE, 20, 4)
    for near, simple in itertools.pairwise(found.recipes):
        assert near.de00 <= simple.de00
        assert simple.drops < near.drops or simple.inks < near.inks
    within = [found.best_within[most] for most in (6, 12, 20)]
    assert [m.drops <= most for m, most in zip(within, (6, 12, 20), strict=True)] == [True] * 3
    assert within[0].de00 >= within[1].de00 >= within[2].de00 == found.best.de00


def test_the_search_is_quick() -> None:
    wanted = wanted_colour("#2f6f6a")
    match_colour(wanted, CARTRIDGE, 6)
    start = time.perf_counter()
    match_colour(wanted, CARTRIDGE, 12, 3)
    middle = time.perf_counter()
    match_colour(wanted, CARTRIDGE, 20, 4)
    # 0.05 s and 0.12 s on two cores; four times as long is still bearable on a busy machine
    assert middle - start < 0.2 * 4
    assert time.perf_counter() - middle < 2.0


def test_json_keeps_the_contract() -> None:
    told = match_colour(wanted_colour("#2f6f6a"), CARTRIDGE).as_dict()
    assert {"recipes", "reachable", "note"} <= told.keys()
    first = told["recipes"][0]
    assert {"drops", "parts", "lab", "value", "de00", "band"} <= first.keys()
    assert all(isinstance(n, int) for n in first["drops"].values())
    assert first["band"]["low"] <= first["value"] <= first["band"]["high"]
    assert first["band"]["standing"] == "assumed"


def test_a_colour_lighter_than_paper_is_said_to_be_so_with_the_paper_as_nearest() -> None:
    found = match_colour(wanted_colour("100,0,0"), CARTRIDGE)
    assert not found.reachable
    assert "Lighter than bare white cartridge paper" in found.note
    assert "Reserve" in found.note


def test_a_colour_no_ink_reaches_is_told_with_what_is_missing() -> None:
    vivid = match_colour(wanted_colour("#ff0000"), CARTRIDGE, 20)
    assert not vivid.reachable
    assert "duller" in vivid.note
    dark = match_colour(wanted_colour("N 2"), CARTRIDGE)
    assert "lighter" in dark.note
    assert "Two coats" in dark.note


def test_one_ink_alone_is_matched_by_its_water() -> None:
    found = match_colour(wanted_colour("N 5"), CARTRIDGE, inks=["Black"], most_drops=20)
    assert set(found.best.mix.drops) == {"Black"}
    assert found.best.value == pytest.approx(5.0, abs=0.1)


@pytest.mark.parametrize(
    ("drops", "inks", "only", "told"),
    [
        (0, 3, None, "1 to 40 drops"),
        (41, 3, None, "1 to 40 drops"),
        (12, 0, None, "1 or more inks"),
        (12, 3, [], "at least one bottle"),
        (12, 3, ["Teal"], "No ink is called"),
    ],
)
def test_bad_questions_are_told_what_is_allowed(drops, inks, only, told) -> None:
    with pytest.raises(InputError, match=told):
        match_colour(wanted_colour("#808080"), CARTRIDGE, drops, inks, only)


def test_drops_are_turned_to_parts_by_the_size_of_each_liquids_drops() -> None:
    # 20 drops of water to the ml: USP 32 <1101>; an ink's drop by Tate's law, 32 to 38 to the ml:
    # "1 drop + 4 drops of water" is 1 part + 6.4 to 7.6 parts
    found = mix_recipe("Black 1 + water 4", CARTRIDGE.palette)
    assert 6.4 <= found.parts_water <= 7.6
