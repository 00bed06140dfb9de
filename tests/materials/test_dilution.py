"""Dilutions: told drops mix to told parts, in one step or two, with any dropper."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glaze.errors import InputError
from glaze.materials.dilution import dilution_of
from glaze.materials.dropper import Dropper, parse_dropper
from glaze.materials.ink import load_palette
from glaze.materials.mix import diluted, mix_recipe
from glaze.materials.parts_told import ml_words, parts_of, parts_short, parts_words, told_parts

PALETTE = load_palette("lifting")

DROPPERS = st.builds(Dropper, st.floats(5, 100), st.floats(5, 100))


def share_of_ink(steps, ink_per_ml: float, water_per_ml: float) -> float:
    """Share of ink, by volume, in drops put together step by step."""
    ml, ink_ml, last = 0.0, 0.0, {}
    for step in steps:
        # how much of what stood before goes in, all its drops alike in size
        taken = step.get("that")
        before = ml / sum(last.values()) * taken if taken else 0.0
        share = ink_ml / ml if ml else 0.0
        fresh = sum(n / ink_per_ml for name, n in step.items() if name not in ("that", "water"))
        ink_ml = before * share + fresh
        ml = before + fresh + step.get("water", 0) / water_per_ml
        last = step
    return ink_ml / ml


@given(
    parts=st.floats(0, 64), dropper=DROPPERS, recipe=st.sampled_from(["Black 1", "Blue 3 + Red 2"])
)
@settings(max_examples=300, deadline=None)
def test_told_drops_give_the_told_parts_with_any_dropper(parts, dropper, recipe) -> None:
    table = PALETTE.counted_with(dropper)
    found = dilution_of(mix_recipe(recipe, table), parts)
    if not found.in_drops:
        # tiny drops of ink beside huge ones of water: then volumes, exact
        assert found.parts_given == parts
        return
    share = share_of_ink(found.drops, dropper.ink_drops_per_ml, dropper.water_drops_per_ml)
    assert 1 / share - 1 == pytest.approx(found.parts_given, abs=1e-9)
    # within 5 % of the strength, half of what 2 drops in 20 are off (USP 32 <1101>)
    assert share * (1 + parts) == pytest.approx(1, abs=0.05 + 1e-9)
    assert found.off == pytest.approx(share * (1 + parts) - 1, abs=1e-9)
    for step in found.drops:
        assert all(n == int(n) and n > 0 for n in step.values())
        assert sum(step.values()) <= 40  # two ml of water: nobody counts more
        if "water" in step:
            assert sum(step.values()) - step["water"] >= 3
    # what goes into the second step is there after the first
    if len(found.drops) == 2:
        assert found.drops[1]["that"] <= sum(found.drops[0].values())


@given(parts=st.floats(0.05, 64), recipe=st.sampled_from(["Blue 3 + Yellow 2 + water 4", "Red 1"]))
@settings(max_examples=60, deadline=None)
def test_a_mix_with_water_in_it_is_thinned_from_where_it_stands(parts, recipe) -> None:
    mix = mix_recipe(recipe, PALETTE)
    found = dilution_of(mix, parts)
    share = share_of_ink(found.drops, 35.0, 20.0)
    assert share == pytest.approx(mix.strength / (1 + found.parts_given), rel=1e-9)
    used = sum(found.ml.values())
    assert found.made_ml == pytest.approx(used) if len(found.drops) == 1 else found.made_ml < used


def test_a_serial_dilution_is_worked_by_hand() -> None:
    # Black at 35 drops to the ml, water at 20, asked for 1 + 32 (strength 1/33 = 3.03 %):
    found = dilution_of(mix_recipe("Black 1", PALETTE), 32)
    assert found.text == "Black 3 + water 9, then 3 of that + water 11"
    # step 1: 3/35 = 0.08571 ml ink, 9/20 = 0.45 ml water: 0.53571 ml, 16.00 % ink, from 12 drops
    # step 2: 3 of those drops are 3/12 x 0.53571 = 0.13393 ml; 11/20 = 0.55 ml water more
    # in all 0.68393 ml with 0.13393 x 16.00 % = 0.021429 ml ink: 3.133 %, that is 1 + 30.9
    ml = Fraction(3, 35) + Fraction(9, 20)
    ink = Fraction(3, 35) / ml * Fraction(3, 12) * ml
    in_all = Fraction(3, 12) * ml + Fraction(11, 20)
    assert found.parts_given == pytest.approx(float(in_all / ink - 1))
    assert float(in_all / ink - 1) == pytest.approx(30.92, abs=0.005)
    assert found.made_ml == pytest.approx(0.68393, abs=5e-6)
    assert found.ml == pytest.approx({"Black": 0.08571, "water": 1.0}, abs=5e-6)
    # one step would be 3 drops and 3/35 x 32 x 20 = 54.9 of water: more than anyone counts
    assert sum(n for step in found.drops for n in step.values()) == 26


def test_a_lone_ink_in_parts_counts_as_its_bottle_does() -> None:
    from_parts = dilution_of(mix_recipe("Black 1 part + water 8 parts", PALETTE), 0)
    # 1 + 8 and then 1 + 1: (1 + 8)(1 + 1) = 18, so 1 + 17
    twice = dilution_of(mix_recipe("Black 1 part + water 8 parts", PALETTE), 1)
    bottle = mix_recipe("Black 1", PALETTE)
    assert from_parts.drops == dilution_of(bottle, 8).drops
    assert twice.drops == dilution_of(bottle, 17).drops


def test_more_than_a_few_drops_of_several_liquids_in_ml_stay_in_ml() -> None:
    found = dilution_of(mix_recipe("Blue 2 ml + Yellow 1 ml", PALETTE), 8)
    assert not found.in_drops
    assert found.text == "Blue 2 ml + Yellow 1 ml + water 24 ml"


def test_no_wash_at_all_has_no_drops() -> None:
    found = dilution_of(mix_recipe("Black 1", PALETTE), math.inf)
    assert (found.words, found.text, found.drops) == ("no wash", "", ())
    assert found.as_dict()["parts_water"] is None


@pytest.mark.parametrize(
    ("parts", "full", "short"),
    [
        (0, "neat", "neat"),
        (0.03, "neat", "neat"),
        (0.5, "1 part + 0.5 parts water", "1 + 0.5"),
        (1, "1 part + 1 part water", "1 + 1"),
        (0.97, "1 part + 1 part water", "1 + 1"),
        (6.34, "1 part + 6.3 parts water", "1 + 6.3"),
        (19.96, "1 part + 20 parts water", "1 + 20"),
        (53.4, "1 part + 53 parts water", "1 + 53"),
    ],
)
def test_parts_are_told_with_one_rounding(parts: float, full: str, short: str) -> None:
    assert (parts_words(parts), parts_short(parts)) == (full, short)
    # what is told is read back
    assert parts_of(short) == told_parts(parts)


def test_bleach_and_coats_are_told_by_the_same_words() -> None:
    assert parts_words(9, of="bleach") == "1 part bleach + 9 parts water"
    assert parts_words(0, of="bleach") == "neat bleach"
    assert parts_words(5.04, 2) == "two coats of 1 part + 5 parts water"
    assert parts_words(0, 3) == "three coats, neat"


@pytest.mark.parametrize(
    ("ml", "told"), [(0.15, "0.15 ml"), (0.05, "0.05 ml"), (2.25, "2.3 ml"), (12.4, "12 ml")]
)
def test_small_amounts_keep_their_second_decimal(ml: float, told: str) -> None:
    assert ml_words(ml) == told


@pytest.mark.parametrize(
    ("text", "ink", "water"),
    [
        ("ink 30, water 20", 30, 20),
        ("water 18; ink 31.5", 31.5, 18),
        ("both 25", 25, 25),
        ("water 25", None, 25),
        ("Ink 28", 28, 20),
        ("ink 30,5, water 20", 30.5, 20),
    ],
)
def test_a_dropper_is_said_in_words(text: str, ink: float | None, water: float) -> None:
    assert parse_dropper(text) == Dropper(ink, water)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "ink 30, water 20"),
        ("30", "ink 30, water 20"),
        ("both 25, ink 30", '"both 25, ink 30": write how many'),
        ("ink 30, both 25", '"ink 30, both 25": write how many'),
        ("ink 30, ink 31", '"ink 30, ink 31": write how many'),
        ("ink 0", "5 to 100"),
        ("water 1000", "5 to 100"),
        ("blood 20", "ink 30, water 20"),
    ],
)
def test_what_is_no_dropper_is_told(text: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        parse_dropper(text)


def test_a_dropper_turns_drops_into_other_volumes() -> None:
    # 3 drops at 30 to the ml are 0.1 ml, 4 at 25 are 0.16 ml: 1 + 1.6
    mix = mix_recipe("Black 3 + water 4", PALETTE.counted_with(Dropper(30, 25)))
    assert mix.parts_water == pytest.approx(1.6)
    # one pipette for both: drops are parts
    both = mix_recipe("Black 3 + water 4", PALETTE.counted_with(Dropper(40, 40)))
    assert both.parts_water == pytest.approx(4 / 3)
    # the bottle's own count holds where the dropper says nothing of ink: 3/35 and 4/25
    own = mix_recipe("Black 3 + water 4", PALETTE.counted_with(Dropper(None, 25)))
    assert own.parts_water == pytest.approx(4 / 25 / (3 / 35))
    # thinned again with water's drops of the same dropper: 0.26 ml of 7 drops, 0.26 ml of 6.5
    assert diluted(mix, 1).drops_per_ml == pytest.approx((7 + 6.5) / 0.52)


def test_parts_are_told_to_a_tenth_below_twenty_and_whole_from_there() -> None:
    # 0.3 parts of water leave 77 % of the strength, which nobody calls neat
    told = {0.04: "neat", 0.3: "1 + 0.3", 12.44: "1 + 12.4", 19.94: "1 + 19.9", 20.4: "1 + 20"}
    assert {parts: parts_short(parts) for parts in told} == told
