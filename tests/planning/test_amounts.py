"""Millilitres, drops, minutes and cockling."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.materials.ink import load_palette
from glaze.materials.mix import mix_recipe
from glaze.materials.room import Room
from glaze.planning.sheet.amounts import (
    LEAST_MIX_ML,
    SPARE,
    bleach_amount,
    cockles,
    laid_ml,
    wash_amount,
    well_amount,
)
from glaze.sheet.units import FILM_UNIT
from glaze.step.timing import (
    Minutes,
    earliest_starts,
    lift_minutes,
    spoken,
    wash_minutes,
)

PALETTE = load_palette("lifting")


@pytest.mark.parametrize(
    ("wide_mm", "high_mm", "ml"),
    [(105, 148, 1.6), (148, 210, 3.1), (210, 297, 6.2), (297, 420, 12.5)],
)
def test_a_whole_sheet_takes_the_millilitres_of_its_film(wide_mm, high_mm, ml) -> None:
    # A6, A5, A4, A3 under 100 ml/m2: area x film, ISO 216
    dpi = 50.8
    rows, columns = (round(side / 25.4 * dpi) for side in (high_mm, wide_mm))
    film = np.full((rows, columns), FILM_UNIT, np.uint16)
    assert laid_ml(film, 100.0, 1, dpi) == pytest.approx(ml, abs=0.05)
    assert laid_ml(film // 2, 100.0, 3, dpi) == pytest.approx(1.5 * ml, abs=0.08)


def test_ten_by_ten_centimetres_take_twenty_drops_of_water() -> None:
    # 100 cm2 at 100 ml/m2 is 1 ml; a dropper gives 20 drops of water to the ml, USP 32 <1101>
    found = bleach_amount(0.0, 100.0, 100.0, 1)
    assert found.laid_ml == pytest.approx(1.0)
    assert found.drops["bleach"] == math.ceil(20 * SPARE)


@given(
    st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(0, 20)).filter(
        lambda n: n[0] + n[1] > 0
    ),
    st.floats(0.001, 30),
)
def test_a_mix_is_enough_and_keeps_its_proportions(drops, laid) -> None:
    blue, yellow, water = drops
    mix = mix_recipe(f"Blue {blue} + Yellow {yellow} + water {water}", PALETTE)
    found = wash_amount(mix, 10.0, laid, PALETTE)
    assert found.mix_ml >= laid * SPARE - 1e-9
    assert found.mix_ml >= LEAST_MIX_ML - 1e-9
    assert found.mix_ml <= max(laid * SPARE, LEAST_MIX_ML) + mix.all_ml
    assert sum(found.ml.values()) == pytest.approx(found.mix_ml)
    assert found.drops["Blue"] * yellow == found.drops["Yellow"] * blue
    remade = mix_recipe(" + ".join(f"{name} {n}" for name, n in found.drops.items() if n), PALETTE)
    assert remade.strength == pytest.approx(mix.strength)


def test_nothing_to_cover_needs_nothing() -> None:
    found = wash_amount(mix_recipe("Blue 1 + water 3", PALETTE), 0.0, 0.0, PALETTE)
    assert found.mix_ml == 0
    assert not any(found.drops.values())


def test_a_recipe_in_parts_is_measured_in_drops_of_each_liquids_own_size() -> None:
    found = wash_amount(mix_recipe("Black 1 part + water 4 parts", PALETTE), 10.0, 2.0, PALETTE)
    ink, water = found.drops["Black"] / 35, found.drops["water"] / 20
    assert water / ink == pytest.approx(4.0, rel=0.06)
    thin = wash_amount(mix_recipe("Black 1 part + water 30 parts", PALETTE), 1.0, 0.01, PALETTE)
    assert thin.drops["Black"] >= 3


def test_a_well_is_drawn_from_by_its_own_drops() -> None:
    mix = mix_recipe("Blue 3 + water 9", PALETTE)
    found = well_amount("dusk", mix, 10.0, 1.0)
    assert found.drops == {"dusk": math.ceil(1.4 * mix.drops_per_ml)}
    assert found.well == "dusk"
    assert sum(found.ml.values()) == pytest.approx(1.4)


def test_thinned_bleach_is_at_least_three_drops_of_it() -> None:
    found = bleach_amount(29.0, 0.5, 60.0, 2)
    # 87 drops of water would stand against the three: in two steps it is 1 + 29 within 5 %
    (first, second) = found.drops, found.then
    assert first["bleach"] >= 3
    assert second["that"] >= 3
    share = first["bleach"] / sum(first.values()) * second["that"] / sum(second.values())
    assert share == pytest.approx(1 / 30, rel=0.05)
    assert sum(first.values()) + sum(second.values()) < 40
    assert found.laid_ml == pytest.approx(0.5e-4 * 60 * 2)
    assert found.parts == "1 part bleach + 29 parts water"


def test_thin_paper_cockles_under_a_large_wash_only() -> None:
    # stretch below 250 gsm for wet work: common practice, no source
    assert not cockles(100.0, 300.0, 200.0)
    assert cockles(100.0, 160.0, 200.0)
    assert not cockles(100.0, 160.0, 5.0)


@pytest.mark.parametrize(("film", "minutes"), [(50, 21), (100, 43), (150, 64)])
def test_a_film_dries_as_the_worked_example_of_evaporation_has_it(film, minutes) -> None:
    # about 140 g/(m2 h) at 21 C, 60 % and still air (a worked example of the ASHRAE rule, which
    # takes the latent heat of boiling water, 2257 kJ/kg; at 21 C it is 2451, 8 % slower)
    found = wash_minutes(0.0, film, 1, Room(21.0, 60.0))
    assert found.shine_gone == pytest.approx(minutes * 2451 / 2257, rel=0.03)


def test_coats_dry_one_after_the_other() -> None:
    one, two = (wash_minutes(40.0, 100.0, coats, Room()) for coats in (1, 2))
    assert two.dry == pytest.approx(2 * one.dry)
    assert two.hands_on == pytest.approx(2 * one.hands_on)
    assert one.shine_gone < one.dry


def test_in_full_air_nothing_dries_and_that_is_said() -> None:
    found = wash_minutes(10.0, 100.0, 1, Room(20.0, 100.0))
    assert math.isinf(found.dry)
    assert found.as_dict()["dry"] is None
    assert spoken(found.dry) == "never"


def test_a_lift_counts_each_touch_its_blotting_and_its_rinse() -> None:
    room = Room()
    one = lift_minutes(0.0, 60.0, 1, 1.0, False, room)
    three = lift_minutes(0.0, 60.0, 3, 1.0, True, room)
    # two more touches of a minute, two more blottings of a minute, and three minutes of rinsing
    assert three.hands_on - one.hands_on == pytest.approx(2 * 2 + 3)


@given(st.lists(st.tuples(st.floats(0.5, 20), st.floats(1, 90)), min_size=1, max_size=8), st.data())
def test_a_step_starts_when_the_hands_are_free_and_its_ground_is_dry(times, data) -> None:
    steps = [Minutes(work, dry / 1.5, dry) for work, dry in times]
    n = len(steps)
    waits = np.array(
        data.draw(st.lists(st.lists(st.booleans(), min_size=n, max_size=n), min_size=n, max_size=n))
    )
    starts = earliest_starts(steps, waits)
    for later in range(n):
        for earlier in range(later):
            assert starts[later] >= starts[earlier] + steps[earlier].hands_on - 1e-9
            if waits[later, earlier]:
                assert starts[later] >= starts[earlier] + steps[earlier].all - 1e-9
    assert starts[-1] <= sum(step.all for step in steps[:-1]) + 1e-9


def test_times_are_kept_to_a_tenth_of_a_minute_and_what_never_dries_has_none() -> None:
    told = Minutes(4.16, 12.34, math.inf).as_dict()
    assert told == {"hands_on": 4.2, "shine_gone": 12.3, "dry": None}


def test_times_are_said_as_people_say_them() -> None:
    assert [spoken(m) for m in (0.3, 39.4, 89, 130, 1441)] == [
        "1 min",
        "39 min",
        "89 min",
        "2 h 10 min",
        "24 h",
    ]


def test_a_few_drops_are_counted_where_the_rest_is_measured() -> None:
    """Nobody measures 0.09 ml of blue; 3 drops of 1/35 ml are 0.086."""
    mix = mix_recipe("Yellow 3 parts + Blue 1 part + water 40 parts", PALETTE, {})
    found = wash_amount(mix, 10.0, 0.1, PALETTE)
    assert found.by_ml
    # as much as holds three drops of blue: 9 of yellow, and 40 times 3/35 ml of water
    assert found.text == "Yellow 9 drops + Blue 3 drops + water 3.4 ml"
    much = wash_amount(mix, 10.0, 30.0, PALETTE)
    # 42 ml: a 44th of blue and three of yellow, each more than twenty drops
    assert much.text == "Yellow 2.9 ml + Blue 0.95 ml + water 38 ml"
