"""Recipes for a wanted colour: complete, exact, and said in words when out of reach."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glaze.errors import InputError
from glaze.materials.mix import diluted, mix_recipe
from glaze.materials.recipe import Recipe
from glaze.patch.patches import bare_patches, glaze, reflectance
from glaze.patch.table import table_of
from glaze.physics.colour import D65_XYZ, lab_from_xyz
from glaze.planning.recipe import strengths
from glaze.planning.recipe.drops import amounts_of, every_proportion, proportion_count
from glaze.planning.recipe.match import match_colour
from glaze.planning.recipe.strengths import KEPT, SIMPLE, predicted_lab
from glaze.planning.recipe.wanted import daylight_weights, wanted_colour

CARTRIDGE = table_of("lifting", "white cartridge")
HOT_PRESSED = table_of("resistant", "white hot-pressed", "A")


def text_of(bottles, row) -> str:
    return Recipe(amounts_of(bottles, np.array(row))).text


def laid(table, text: str) -> np.ndarray:
    """The slow way: the recipe mixed, laid on a sheet, seen by daylight."""
    patch = glaze(table, bare_patches(table), table.mix(text))
    return lab_from_xyz(reflectance(table, patch)[0, 0] @ daylight_weights(table.light), D65_XYZ)


def by_nested_loops(inks: int, most_drops: int, most_inks: int) -> set[tuple[int, ...]]:
    found = set()
    for row in itertools.product(range(most_drops + 1), repeat=inks):
        kinds = sum(n > 0 for n in row)
        if 1 <= kinds <= most_inks and sum(row) <= most_drops and math.gcd(*row) == 1:
            found.add(row)
    return found


@pytest.mark.parametrize(("inks", "drops", "kinds"), [(1, 5, 3), (3, 6, 2), (4, 6, 4), (2, 12, 3)])
def test_every_proportion_is_there_and_none_twice(inks: int, drops: int, kinds: int) -> None:
    rows = [tuple(int(n) for n in row) for row in every_proportion(inks, drops, kinds)]
    assert len(rows) == len(set(rows))
    assert set(rows) == by_nested_loops(inks, drops, kinds)


def test_proportions_are_counted_before_they_are_made() -> None:
    # by nested loops, multiples and all
    every = [
        row
        for row in itertools.product(range(7), repeat=3)
        if sum(row) <= 6 and 1 <= sum(n > 0 for n in row) <= 2
    ]
    assert proportion_count(3, 6, 2) == len(every)
    with pytest.raises(InputError, match="fewer drops or inks"):
        match_colour(wanted_colour("#808080"), CARTRIDGE, 40, 8, list(CARTRIDGE.palette.inks))


@pytest.mark.parametrize("table", [CARTRIDGE, HOT_PRESSED], ids=["matte", "hard-sized, lamp"])
def test_the_quick_prediction_is_the_sheet_laid_wash_by_wash(table) -> None:
    bottles = list(table.palette.bottles)
    rows = every_proportion(4, 7, 4)[::13]
    water = np.arange(len(rows)) % 5
    texts = zip([text_of(bottles, row) for row in rows], water, strict=True)
    mixes = [table.mix(f"{inks} + water {drops}") for inks, drops in texts]
    quick = predicted_lab(table, bottles, rows, np.array([mix.strength for mix in mixes]))
    slow = np.array([laid(table, mix.recipe.text) for mix in mixes])
    # the sheet is kept in float32
    assert np.abs(quick - slow).max() < 2e-3


def test_two_coats_are_laid_as_the_sheet_lays_them() -> None:
    bottles = list(CARTRIDGE.palette.bottles)
    mix = CARTRIDGE.mix("Blue 2 + Red 1 + water 3")
    assert [ink.name for ink in bottles[:2]] == ["Blue", "Red"]
    patch = glaze(CARTRIDGE, glaze(CARTRIDGE, bare_patches(CARTRIDGE), mix), mix)
    weights = daylight_weights(CARTRIDGE.light)
    slow = lab_from_xyz(reflectance(CARTRIDGE, patch)[0, 0] @ weights, D65_XYZ)
    rows, strength = np.array([[2, 1, 0, 0]]), np.array([2 * mix.strength])
    assert np.abs(predicted_lab(CARTRIDGE, bottles, rows, strength)[0] - slow).max() < 2e-3


def test_the_best_recipe_is_that_of_brute_force_with_another_colour_difference() -> None:
    import warnings

    from scipy.optimize import minimize_scalar

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    wanted = wanted_colour("#9fa97a")
    bottles = list(CARTRIDGE.palette.bottles)
    slow = {}
    for row in by_nested_loops(4, 3, 3):
        neat = CARTRIDGE.mix(text_of(bottles, np.array(row)))

        def off(log_parts: float, neat=neat) -> float:
            patch = glaze(CARTRIDGE, bare_patches(CARTRIDGE), diluted(neat, math.exp(log_parts)))
            weights = daylight_weights(CARTRIDGE.light)
            lab = lab_from_xyz(reflectance(CARTRIDGE, patch)[0, 0] @ weights, D65_XYZ)
            return float(colour.delta_E(lab, wanted.lab, method="CIE 2000"))

        slow[row] = min(
            minimize_scalar(off, bounds=ends, method="bounded").fun
            for ends in ((-4, 0), (0, 2), (2, math.log(60)))
        )
    found = match_colour(wanted, CARTRIDGE, most_drops=3)
    assert found.best.coats == 1
    assert found.best.de00 == pytest.approx(min(slow.values()), abs=0.02)
    assert found.tried == len(slow)


@settings(max_examples=8, deadline=None)
@given(
    st.tuples(*[st.integers(0, 4)] * 4).filter(lambda row: 0 < sum(n > 0 for n in row) <= 3),
    st.floats(1 / 50, 1.0),
)
def test_a_recipe_is_found_again_from_its_own_colour(row: tuple[int, ...], strength: float) -> None:
    bottles = list(CARTRIDGE.palette.bottles)
    lab = predicted_lab(CARTRIDGE, bottles, np.array([row]), np.array([strength]))[0]
    asked = ",".join(f"{part:.6f}" for part in lab)
    found = match_colour(wanted_colour(asked), CARTRIDGE, most_drops=12)
    assert found.reachable
    assert found.best.de00 < 0.05


def test_pale_tints_are_water_not_another_ink() -> None:
    """Red 1 part + 39 parts water was answered with Black 1 + water 11."""
    red = laid(CARTRIDGE, "Red 1 part + water 39 parts")
    found = match_colour(wanted_colour(",".join(f"{part:.4f}" for part in red)), CARTRIDGE)
    assert found.best.proportions == "Red 1"
    assert found.best.dilution.parts_water == pytest.approx(39, rel=0.02)
    assert len(found.best.dilution.drops) == 2  # a stock, thinned again
    assert "black" not in match_colour(wanted_colour("5R 9/2"), CARTRIDGE).best.proportions.lower()


VIVID = ("#ff0000", "#ff8000", "#ffff00", "#00ff00", "#00ffff", "#0000ff", "#4b0082", "#ff00ff")


@pytest.mark.parametrize("asked", VIVID)
def test_out_of_reach_the_hue_is_kept(asked: str) -> None:
    """By the hue angle of CIECAM02, which has no part in the search; #4b0082 was a grey blue."""
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
        from colour.appearance import XYZ_to_CIECAM02
    white, hues = np.array(D65_XYZ) * 100, []
    best = match_colour(wanted_colour(asked), CARTRIDGE).best
    for xyz in (wanted_colour(asked).xyz, best.seen.xyz):
        hues.append(float(XYZ_to_CIECAM02(np.array(xyz) * 100, white, 64, 20).h))
    assert colour is not None
    apart = abs((hues[0] - hues[1] + 180) % 360 - 180)
    # a family of the Munsell circle is 36 degrees wide; colours of one word lie within one
    assert apart < 36, (best.proportions, hues)
    assert float(np.hypot(*best.lab[1:])) > 15, best.proportions


def test_recipes_go_from_near_to_simple() -> None:
    found = match_colour(wanted_colour("5BG 4/4"), CARTRIDGE, 20, 4)
    for near, simple in itertools.pairwise(found.recipes):
        assert near.de00 <= simple.de00
        assert simple.drops < near.drops or len(simple.inks.drops) < len(near.inks.drops)
    within = [found.best_within[most] for most in (6, 12, 20)]
    assert [m.drops <= most for m, most in zip(within, (6, 12, 20), strict=True)] == [True] * 3
    assert within[0].de00 >= within[1].de00 >= within[2].de00 == found.best.de00


def test_a_search_predicts_few_washes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its time is that of the washes it predicts: 0.9 s of one core for 20 drops of 4 inks."""
    counted = []

    def counting(table, inks, counts, strength):
        counted.append(len(strength))
        return predicted_lab(table, inks, counts, strength)

    monkeypatch.setattr(strengths, "predicted_lab", counting)
    for drops, inks in ((12, 3), (20, 4)):
        counted.clear()
        found = match_colour(wanted_colour("#2f6f6a"), CARTRIDGE, drops, inks)
        # each of them at eleven strengths, and some hundred four times at seven more; in one coat
        # and those hundred in two
        near = KEPT + proportion_count(4, SIMPLE, inks)
        assert sum(counted) <= 11 * found.tried + 4 * 7 * near + (11 + 4 * 7) * near


def test_json_keeps_the_contract() -> None:
    told = match_colour(wanted_colour("#2f6f6a"), CARTRIDGE).as_dict()
    assert {"recipes", "reachable", "note"} <= told.keys()
    first = told["recipes"][0]
    assert {"drops", "parts", "lab", "value", "de00", "band"} <= first.keys()
    assert all(isinstance(n, int) for step in first["drops"] for n in step.values())
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
