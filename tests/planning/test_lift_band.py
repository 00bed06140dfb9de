"""Bands of a lift: draws against slopes, the plain lift against the compiled, and their laws."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.patch.patches import bare_patches, bleach_patches, glaze, value
from glaze.patch.table import table_of
from glaze.physics.uncertainty import first_order_band, log_sd
from glaze.planning.lift import lift_band
from glaze.planning.lift.lift_band import (
    bands_of_course,
    bands_of_lift,
    draws_of,
    lay_in_layers,
    moved_by,
    strength_draws,
    touched,
    unsure_of,
)
from glaze.sheet import compiled_lift
from glaze.sheet.lift import Touches
from glaze.sheet.lift import lift as plain_lift


@pytest.fixture(scope="module")
def table():
    return table_of("lifting", "white cartridge")


def no_change(table) -> np.ndarray:
    return np.ones(unsure_of(table, "brush").flat().size)


def test_patches_split_by_bottle_add_up_to_what_is_laid(table) -> None:
    mixes = [table.mix("Blue 2 + Yellow 1"), table.mix("Black 1 + water 4")]
    over = table.mix("Black 1 ml + water 8 ml")
    laid = lay_in_layers(table, [mixes, [None, over]]).sheet()
    straight = glaze(table, bare_patches(table, 2), mixes)
    glaze(table, straight, [table.mix("water 1"), over])
    for name in ("load_g_per_m2", "optical_g_per_m2", "coats"):
        np.testing.assert_allclose(
            getattr(laid, name), getattr(straight, name), rtol=1e-5, atol=1e-7
        )


def test_a_bottle_twice_as_strong_brings_twice_its_dye_and_no_other(table) -> None:
    laid = lay_in_layers(table, [[table.mix("Blue 1 + Yellow 1")]])
    strength = np.array([2.0 if name == "Blue" else 1.0 for name in table.palette.inks])
    ratio = laid.sheet(strength).load_g_per_m2[0, 0] / np.maximum(
        laid.sheet().load_g_per_m2[0, 0], 1e-12
    )
    names = {dye.name: i for i, dye in enumerate(table.dyes)}
    assert ratio[names["Acid Blue 9"]] == pytest.approx(2.0, rel=1e-5)
    assert ratio[names["Acid Yellow 23"]] == pytest.approx(1.0, rel=1e-5)


def test_with_nothing_moved_the_lift_is_the_lift(table) -> None:
    plan = Touches(parts_water=9.0)
    laid = lay_in_layers(table, [[table.mix("Black 1")]])
    moved = moved_by(table, plan, no_change(table))
    (reached,) = touched(plain_lift, laid.sheet(), moved, 1, table)
    straight = bleach_patches(table, laid.sheet(), plan)
    assert reached[0] == pytest.approx(value(table, straight).item(), abs=1e-6)


def widths(table, recipe: str, parts: float) -> tuple[float, float]:
    """Width of the band by slopes and by draws, of one touch."""
    plan = Touches(parts_water=parts)
    laid = lay_in_layers(table, [[table.mix(recipe)]])
    factors = unsure_of(table, plan.tool).flat()

    def predict(amounts: np.ndarray) -> float:
        moved = moved_by(table, plan, amounts[:-1])
        sheet = laid.sheet(np.full(len(table.palette.inks), amounts[-1]))
        (reached,) = touched(compiled_lift.lift, sheet, moved, 1, table)
        return float(reached[0])

    low, _, high = first_order_band(predict, np.ones(factors.size + 1), [*factors, 3.0])
    drawn = bands_of_lift(table, laid, plan, lifter=compiled_lift.lift, touches=1, draws=300)
    # no lift goes past bleached paper, of value 9.4
    return min(high, 9.4) - low, float(drawn.high[0, 0] - drawn.low[0, 0])


@pytest.mark.parametrize(("recipe", "parts"), [("Blue 1", 19.0), ("Black 1", 9.0)])
def test_halfway_up_draws_and_slopes_agree_to_a_third(table, recipe: str, parts: float) -> None:
    # two ways of propagating the same factors: slopes (GUM, JCGM 100:2008, eq. 10) and draws
    # (JCGM 101:2008)
    slopes, draws = widths(table, recipe, parts)
    assert slopes == pytest.approx(draws, rel=0.34)


@pytest.mark.parametrize(("recipe", "parts"), [("Red 1", 4.0), ("Black 1", 0.0)])
def test_near_the_paper_slopes_are_too_narrow_by_half(table, recipe: str, parts: float) -> None:
    # the value can hardly rise, so what several figures do together only shows in draws
    slopes, draws = widths(table, recipe, parts)
    assert 0.2 * draws < slopes < 0.7 * draws


def test_plain_and_compiled_lift_give_the_same_band(table) -> None:
    laid = lay_in_layers(table, [[table.mix("Black 1"), table.mix("Blue 1")]])
    plan = Touches(parts_water=9.0)
    one, other = (
        bands_of_lift(table, laid, plan, lifter=lifter, touches=2, draws=20)
        for lifter in (plain_lift, compiled_lift.lift)
    )
    np.testing.assert_allclose(one.low, other.low, atol=2e-3)
    np.testing.assert_allclose(one.high, other.high, atol=2e-3)


def test_the_same_seed_gives_the_same_band_and_another_one_nearly(table) -> None:
    laid = lay_in_layers(table, [[table.mix("Black 1")]])
    plan = Touches(parts_water=9.0)

    def ends(seed: int) -> tuple[float, float]:
        found = bands_of_lift(table, laid, plan, lifter=compiled_lift.lift, touches=1, seed=seed)
        return float(found.low[0, 0]), float(found.high[0, 0])

    assert ends(3) == ends(3)
    assert ends(3) == pytest.approx(ends(11), abs=0.6)


def test_a_bottle_known_exactly_has_the_narrower_band(table) -> None:
    known = {name: replace(ink, strength_factor=1.0) for name, ink in table.palette.inks.items()}
    sure = replace(table, palette=replace(table.palette, inks=known))
    bands = []
    for one in (table, sure):
        laid = lay_in_layers(one, [[one.mix("Blue 1")]])
        found = bands_of_lift(
            one, laid, Touches(parts_water=19.0), lifter=compiled_lift.lift, touches=1
        )
        bands.append(float(found.high[0, 0] - found.low[0, 0]))
    assert bands[1] < 0.9 * bands[0]


def test_draws_hold_their_factor_nine_times_of_ten(table) -> None:
    unsure = unsure_of(table, "brush")
    drawn = draws_of(unsure, 2000, 5)
    film = drawn[:, 3 * len(table.dyes)]
    inside = np.mean((film > 1 / unsure.film) & (film < unsure.film))
    assert inside == pytest.approx(0.90, abs=0.02)
    assert strength_draws(table, 50).shape == (50, len(table.palette.inks))
    assert np.std(np.log(drawn), axis=0) == pytest.approx(log_sd(unsure.flat()), rel=0.1)


def test_no_time_has_the_band_of_the_dry_wash_and_long_time_a_lighter_one(table) -> None:
    laid = lay_in_layers(table, [[table.mix("Blue 1")]])
    found = bands_of_course(
        *(table, laid, Touches(parts_water=9.0), [1e-6, 60.0]),
        lifter=compiled_lift.lift,
    )
    dry = value(table, laid.sheet()).item()
    assert found.low[0, 0] < dry < found.high[0, 0]
    assert found.low[1, 0] > found.low[0, 0]


def test_too_few_draws_are_refused(table) -> None:
    with pytest.raises(InputError, match="too few"):
        draws_of(unsure_of(table, "brush"), 5)


def test_every_guess_of_the_band_is_a_factor_above_one() -> None:
    for name in ("YIELD_FACTOR", "MINUTES_FACTOR", "BOTTLE_FACTOR"):
        assert 1.0 < getattr(lift_band, name) < 3.0
