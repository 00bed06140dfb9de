"""Shadow washes, ladders, room under a hue, wet against dry, light."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glaze.errors import InputError
from glaze.materials.mix import diluted
from glaze.materials.parts_told import parts_words
from glaze.patch.patches import bare_patches, glaze, lab, value
from glaze.patch.table import table_of
from glaze.planning.asked import asked_of
from glaze.planning.looks.all_sides import swatch_of
from glaze.planning.looks.keeping import (
    JUST_SEEN_MLX_H,
    just_seen_mlx_h,
    keeping,
    share_left,
    under_lights,
    years_words,
)
from glaze.planning.looks.mud import room
from glaze.planning.looks.wet import wet_and_dry, wet_reflectance
from glaze.planning.recipe.coats import coats_for
from glaze.planning.recipe.hue import darkened, read_hue
from glaze.planning.recipe.rungs import ladders
from glaze.planning.recipe.shadow import even_shadows, shadow

TABLE = table_of("lifting", "white cartridge")


def painted(*layers: str, parts_water: float = 0.0, coats: int = 1) -> float:
    """Value of recipes laid one after the other, the last one thinned and in so many coats."""
    sheet = bare_patches(TABLE)
    for text in layers[:-1]:
        glaze(TABLE, sheet, TABLE.mix(text))
    for _ in range(coats):
        glaze(TABLE, sheet, diluted(TABLE.mix(layers[-1]), parts_water))
    return float(value(TABLE, sheet)[0, 0])


@pytest.mark.parametrize(
    ("hue", "below", "wanted"),
    [("paper", (), 5.0), ("Yellow", ("Yellow 1",), 6.0), ("Red", ("Red 1",), 4.0)],
)
def test_a_shadow_mixed_and_laid_as_told_has_the_wanted_value(hue, below, wanted) -> None:
    found = shadow(TABLE, read_hue(hue, TABLE), to_value=wanted)
    assert found.reachable
    laid = painted(*below, "Black 1", parts_water=found.parts_water, coats=found.coats)
    assert laid == pytest.approx(wanted, abs=0.01)
    in_whole_drops = painted(*below, found.dilution.text)
    assert in_whole_drops == pytest.approx(found.recipe_value, abs=0.01)
    assert in_whole_drops == pytest.approx(wanted, abs=0.15)


def test_the_same_shadow_by_steps_and_by_value() -> None:
    by_value = shadow(TABLE, read_hue("Yellow", TABLE), to_value=6.0)
    steps = by_value.value_before - 6.0
    by_steps = shadow(TABLE, read_hue("Yellow", TABLE), darker=steps)
    assert by_steps.parts_water == pytest.approx(by_value.parts_water, rel=1e-3)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.02, 2.8), st.sampled_from(["paper", "Yellow", "Blue 1 + Red 1 + water 3"]))
def test_the_search_for_coats_turns_the_ladder_round(coats: float, hue: str) -> None:
    sheet, wash = read_hue(hue, TABLE).on(TABLE), TABLE.mix("Black 1")
    made = float(value(TABLE, darkened(TABLE, sheet, wash, np.array([coats])))[0, 0])
    found = coats_for(TABLE, sheet, wash, made)
    again = float(value(TABLE, darkened(TABLE, sheet, wash, np.array([found])))[0, 0])
    assert again == pytest.approx(made, abs=2e-3)


def test_a_ladder_laid_at_once_is_the_ladder_laid_wash_by_wash() -> None:
    sheet, wash = read_hue("Yellow", TABLE).on(TABLE), TABLE.mix("Black 1")
    at_once = value(TABLE, darkened(TABLE, sheet, wash, 1 / (1 + np.array([2.0, 8.0]))))[0]
    one_by_one = [painted("Yellow 1", "Black 1", parts_water=n) for n in (2, 8)]
    assert at_once == pytest.approx(one_by_one, abs=1e-3)


def test_what_one_wash_cannot_do_is_told_as_two() -> None:
    found = shadow(TABLE, read_hue("Yellow", TABLE), to_value=3.0)
    assert found.coats == 2
    assert found.parts.startswith("two coats of 1 part +")
    assert "one wash" in found.note


@pytest.mark.parametrize(
    ("wanted", "told"), [(9.8, "can't lighten"), (1.0, "Out of reach"), (0.0, "Out of reach")]
)
def test_out_of_reach_is_said_with_the_nearest(wanted: float, told: str) -> None:
    found = shadow(TABLE, read_hue("paper", TABLE), to_value=wanted)
    assert told in found.note
    assert "Nearest" in found.note
    assert not found.reachable or wanted == 9.8
    assert found.as_dict()["parts_water"] is None or wanted < 5


def test_bad_questions_about_shadows_are_refused() -> None:
    hue = read_hue("paper", TABLE)
    for wrong in ({}, {"to_value": 5.0, "darker": 2.0}, {"to_value": 11.0}, {"darker": -1.0}):
        with pytest.raises(InputError):
            shadow(TABLE, hue, **wrong)
    with pytest.raises(InputError, match="Water alone"):
        shadow(TABLE, hue, to_value=5, ink="water 1")
    with pytest.raises(InputError, match="No ink or well"):
        read_hue("Teal", TABLE)


def test_a_thin_black_over_a_strong_colour_is_told_to_be_unmeasured() -> None:
    told = "Nobody has measured"
    # one part in five of black, and a blue far from grey
    thin = shadow(TABLE, "Blue", darker=1.0)
    assert 2.0 < thin.parts_water < 15.0
    assert thin.before.chroma > 8.0
    assert told in thin.note
    # over paper, or as strong as the measured sets have it, or of a dark that is a colour itself
    assert told not in shadow(TABLE, "paper", darker=1.0).note
    assert told not in shadow(TABLE, "Yellow", to_value=3.5).note
    assert told not in shadow(TABLE, "Yellow", darker=0.5, ink="Blue").note


def test_even_shadows_drop_every_hue_alike_where_one_wash_would_not() -> None:
    hues = [read_hue(text, TABLE) for text in ("Yellow", "Red", "Blue")]
    even = even_shadows(TABLE, hues, 1.5)
    for one in even.shadows:
        assert one.value_before - one.value == pytest.approx(1.5, abs=0.01)
    # the trade's finding: one wash costs yellow far more than blue (common practice, no source)
    assert even.drops_with_one[0] > 2 * even.drops_with_one[2]
    # lighter hues want a thinner wash
    parts = [one.parts_water for one in even.shadows]
    assert parts[0] > parts[1] > parts[2]


def test_an_even_ladder_has_even_steps_and_a_doubling_one_has_not() -> None:
    both = ladders(TABLE, read_hue("paper", TABLE), 5)
    steps = -np.diff([rung.value for rung in both.even])
    assert np.ptp(steps) < 0.001
    for rung in both.even[1:]:
        assert painted("Black 1", parts_water=rung.parts_water) == pytest.approx(
            rung.value, abs=0.02
        )
    assert np.ptp(np.diff([rung.value for rung in both.doubling])) > 0.3
    with pytest.raises(InputError, match="2 to 20"):
        ladders(TABLE, read_hue("paper", TABLE), 1)


def test_parts_are_never_written_with_a_bare_colon() -> None:
    for n, coats in ((0.0, 1), (0.0, 3), (5.0, 2), (12.4, 1), (math.inf, 1)):
        assert ":" not in parts_words(n, coats)
    assert parts_words(5, 2) == "two coats of 1 part + 5 parts water"


def test_glazes_turn_to_neutral_and_run_out_of_room() -> None:
    found = room(TABLE, read_hue("Yellow 1", TABLE), ["Black 1 + water 4"] * 5)
    values = [row.band.best for row in found.rows]
    assert all(a > b for a, b in itertools.pairwise(values))
    chroma = [row.look.chroma for row in found.rows]
    assert chroma[-1] < 0.3 * chroma[0]
    for row, n in zip(found.rows[1:], range(1, 6), strict=True):
        expected = painted("Yellow 1", *["Black 1 + water 4"] * n)
        assert row.band.best == pytest.approx(expected, abs=1e-3)
    dark = room(TABLE, read_hue("Black", TABLE), ["Blue 1 + water 30"])
    assert dark.left == 0
    assert "No room" in dark.note
    with pytest.raises(InputError, match="at least one glaze"):
        room(TABLE, read_hue("Yellow", TABLE), [])


def test_room_says_after_how_many_glazes_it_is_mud() -> None:
    # counted glaze by glaze, by another program's Munsell-like measure: C*ab/5.5 is nearly chroma
    wash, chromas = "Black 1 + water 4", []
    for n in range(14):
        sheet = bare_patches(TABLE)
        for text in ["Yellow 1", *[wash] * n]:
            glaze(TABLE, sheet, TABLE.mix(text))
        chromas.append(float(np.hypot(*lab(TABLE, sheet)[0, 0, 1:])) / 5.5)
    found = room(TABLE, read_hue("Yellow 1", TABLE), [wash])
    assert found.mud_after is not None
    assert chromas[found.mud_after] < 2.0 < chromas[found.mud_after - 3]
    assert f"After glaze {found.mud_after} it reads as neutral" in found.note


def test_a_swatch_is_shown_as_it_is_laid_by_hand() -> None:
    found = swatch_of(TABLE, read_hue("Red 3 + Blue 2 + water 9", TABLE))
    states = {one.state: one for one in found.states}
    mix = "Red 3 + Blue 2 + water 9"
    assert states["dry"].look.value == pytest.approx(painted(mix), abs=1e-3)
    assert states["a coat more"].look.value == pytest.approx(painted(mix, mix), abs=1e-3)
    shade = "Black 1 part + water 8 parts"
    assert states["under Black 1+8"].look.value == pytest.approx(painted(mix, shade), abs=1e-3)
    assert (
        states["wet"].look.value < states["dry"].look.value < states["lifted once, 1+4"].look.value
    )
    for one in found.states:
        if one.band is not None:
            assert one.band.low <= one.look.value <= one.band.high
    assert any("gloves" in note for note in found.notes)
    with pytest.raises(InputError, match="Bare paper"):
        swatch_of(TABLE, read_hue("paper", TABLE))


def test_years_are_told_in_two_figures() -> None:
    assert [years_words(y) for y in (0.05, 0.3, 2.54, 2009.1)] == [
        *("1 month", "4 months", "2.5 years", "2000 years"),
    ]


def test_bands_hold_both_ends_of_a_bottles_strength() -> None:
    found = shadow(TABLE, read_hue("paper", TABLE), to_value=5.0)
    for factor in (2.5, 1 / 2.5):
        ink = TABLE.palette.inks["Black"]
        contents = {dye: g * factor for dye, g in ink.contents_g_per_l.items()}
        inks = {**TABLE.palette.inks, "Black": replace(ink, contents_g_per_l=contents)}
        table = replace(TABLE, palette=replace(TABLE.palette, inks=inks))
        patch = glaze(table, bare_patches(table), diluted(table.mix("Black 1"), found.parts_water))
        off = float(value(table, patch)[0, 0])
        assert found.band.low <= off <= found.band.high
    assert found.band.standing == "assumed"


def test_water_on_a_grey_darkens_it_by_angstroms_model() -> None:
    # R/(n^2(1 - R) + R), n = 1.33: 0.5 -> 0.5/(0.88445 + 0.5); by hand
    assert wet_reflectance(0.5) == pytest.approx(0.5 / (1.7689 * 0.5 + 0.5))
    assert wet_reflectance([0.0, 1.0]) == pytest.approx([0.0, 1.0])
    assert wet_reflectance(0.4, index=1.0) == pytest.approx(0.4)


@pytest.mark.parametrize("text", ["Black 1 + water 4", "Blue 1", "Red 1 + water 8"])
def test_a_wash_dries_lighter_than_it_looks_wet(text: str) -> None:
    found = wet_and_dry(TABLE, text, read_hue("paper", TABLE))
    well, wet, dry = (look.value for look in found.looks.values())
    assert well < wet < dry
    # the trade's rule of thumb: 20 to 30 % lighter (common practice, of pigment paints)
    assert 0.05 < (dry - wet) / dry < 0.45
    assert found.as_dict()["standing"] == "assumed"


def test_water_alone_in_a_well_is_the_white_of_the_well() -> None:
    found = wet_and_dry(TABLE, "water 1", read_hue("paper", TABLE))
    assert found.looks["in the well"].value == pytest.approx(9.3, abs=0.1)  # Y = 0.85 by ASTM D1535


def test_blue_wools_stand_two_to_four_times_as_long_from_class_to_class() -> None:
    # ISO 105-B02: each class takes two to three times the dose of the one before; the museum
    # table rounds to 1, 3, 10 and so goes up to 3.7
    ratios = np.diff(np.log(JUST_SEEN_MLX_H))
    assert np.exp(ratios).min() >= 2
    assert np.exp(ratios).max() <= 4
    assert just_seen_mlx_h(4) == pytest.approx(10)
    assert just_seen_mlx_h(2.5) == pytest.approx(math.sqrt(3.0))


def test_light_takes_more_with_every_dose_and_most_from_the_weakest() -> None:
    assert share_left(0.0, 3) == pytest.approx(1.0)
    assert share_left(30 * 3.0, 3) == pytest.approx(0.05)
    found = keeping(TABLE, read_hue("Blue 1 + Red 1", TABLE), (0.0, 1.0, 10.0, 100.0))
    values = [row.look.value for row in found.rows]
    assert values == sorted(values)
    assert found.rows[0].de00 == 0.0
    assert "Not a forecast" in found.note
    with pytest.raises(InputError, match="Mlx h"):
        keeping(TABLE, read_hue("Blue", TABLE), [-1.0])


def test_hues_under_a_lamp_are_told_against_daylight() -> None:
    rows = under_lights(TABLE, read_hue("Blue", TABLE), ("D65", "A"))
    assert rows[0].de00 == pytest.approx(0.0, abs=1e-6)
    assert rows[1].de00 > 2
    with pytest.raises(InputError, match="No light"):
        under_lights(TABLE, read_hue("Blue", TABLE), ("moon",))


def test_a_scene_brings_its_wells_and_paper() -> None:
    asked = asked_of("scenes/lighthouse")
    assert asked.table.paper.name == "white hot-pressed"
    assert asked.hue("dusk").inks == ("Blue", "Red")


def test_one_wash_for_all_is_told_with_its_drops() -> None:
    table = table_of("lifting", "white cartridge")
    even = even_shadows(table, [read_hue(name, table) for name in ("Yellow", "Red", "Blue")], 1.5)
    assert f"1 part + {even.one_for_all.parts_water:.1f} parts water" in even.note
    assert even.one_for_all.text in even.note
    for name, drop in zip(("Yellow", "Red", "Blue"), even.drops_with_one, strict=True):
        assert f"{name} by {drop:.1f}" in even.note


@pytest.mark.parametrize("hue", ["Red", "Yellow", "Blue", "paper", "Red 1 over Yellow 1"])
@pytest.mark.parametrize("darker", [0.5, 1.0, 2.0])
def test_what_the_drops_give_is_the_value_that_was_asked(hue: str, darker: float) -> None:
    # drops come within 5 % of the strength, and halving a black wash is worth about 0.9 steps:
    # 0.9 log2(1.05) = 0.06
    found = shadow(table_of("lifting", "white cartridge"), hue, darker=darker)
    if found.reachable and found.dilution.in_drops:
        assert found.recipe_value == pytest.approx(found.value, abs=0.1)
