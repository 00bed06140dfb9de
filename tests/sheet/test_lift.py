"""Lifting: laws, limits, the balance of bleach, and what painters see (common practice)."""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glaze.errors import InputError
from glaze.materials.bleach import Bleach, touch_habits
from glaze.materials.chemistry import chemistry_of
from glaze.materials.dye import load_dyes
from glaze.materials.ink import load_palette
from glaze.materials.paper import load_paper
from glaze.materials.room import Room
from glaze.sheet.lift import (
    Chemistry,
    Touch,
    Touches,
    coats_share,
    lift,
    residue_attack,
    rinse,
    touch_of,
    touch_of_wash,
    water_lift,
)
from glaze.sheet.state import Sheet, bare_sheet

PAPER = load_paper("white cartridge")
ROOM = Room()


Plan = partial(Touches, film_ml_per_m2=60.0)


def plain_chemistry(**changes) -> Chemistry:
    """Two dyes of which the first turns into a third, slower colourant; no fibres."""
    chemistry = Chemistry(
        k_l_per_mol_s=np.array([1.5, 0.4, 0.02]),
        oxidant_mol_per_mol=np.array([2.0, 2.0, 3.0]),
        product=np.array([2, -1, -1]),
        product_mol_per_mol=np.array([0.8, 1.0, 1.0]),
        molar_mass_g_per_mol=np.array([500.0, 800.0, 300.0]),
        mean_absorptivity_l_per_g_cm=np.array([20.0, 30.0, 4.0]),
        loose_share=np.array([0.8, 0.5, 0.0]),
        tint_rate_l_per_mol_s=0.05,
        fibre_mol_per_m2=0.0,
        fibre_rate_l_per_mol_s=0.005,
    )
    return replace(chemistry, **changes)


TOUCH = Touch(0.04, 0.06, 60.0, 4.0, 4e-5, 0.01, 4.0, 0.3)


def patch(load, coats: float = 1.0) -> Sheet:
    sheet = bare_sheet(1, 1, len(load))
    sheet.load_g_per_m2[0, 0] = load
    sheet.optical_g_per_m2[0, 0] = 0.7 * np.asarray(load)
    sheet.coats[:] = coats
    return sheet


ONE = np.ones((1, 1), np.float32)


def lifted(load, touch: Touch = TOUCH, chemistry: Chemistry | None = None) -> Sheet:
    sheet = patch(load)
    lift(sheet, ONE, touch, chemistry or plain_chemistry())
    return sheet


def ink(name: str, q: float = 1.0) -> tuple[list, np.ndarray]:
    """Colourants of a built-in ink with their products, and the load of a wash of it."""
    dyes = load_dyes()
    contents = load_palette("lifting").inks[name].contents_g_per_l
    names = list(contents)
    for dye in names:
        product = dyes[dye].product
        if product and product not in names:
            names.append(product)
    load = np.array([contents.get(dye, 0.0) * 0.1 * q for dye in names])
    return [dyes[dye] for dye in names], load


def bleach_ink(name: str, plan: Plan, q: float = 1.0, percent: float = 5.0):
    dyes, load = ink(name, q)
    bottle = Bleach(percent)
    chemistry = chemistry_of(dyes, PAPER, 20.0, bottle.diluted_ph(plan.parts_water))
    sheet = patch(load, q)
    lift(sheet, ONE, touch_of(plan, bottle, ROOM, PAPER), chemistry)
    return dyes, load, sheet


def dye_left(name: str, plan: Plan, q: float = 1.0) -> float:
    """Share of an ink's dye (not its products) that a lift leaves, by optical strength."""
    dyes, load, sheet = bleach_ink(name, plan, q)
    m = np.array([dye.mean_absorptivity_l_per_g_cm for dye in dyes])
    return float((sheet.load_g_per_m2[0, 0] * m)[load > 0].sum() / (load * m).sum())


# Worked by hand


def bare_lift(share: float, touch: Touch, residue: float = 0.0, bleached: float = 0.0) -> Sheet:
    sheet = patch([0.0, 0.0, 0.0])
    sheet.residue_mol_per_m2[:], sheet.bleached[:] = residue, bleached
    lift(sheet, share * ONE, touch, plain_chemistry())
    return sheet


def test_a_thin_film_wakes_a_share_of_what_an_earlier_touch_left():
    # a tenth of a 60 ml/m2 film is 6 ml/m2 on paper that keeps 10: it wakes 0.6 of 0.010 mol/m2.
    # 0.004 stays asleep; of 0.1 x 0.04 + 0.006 = 0.010 nothing is used up, and 0.3 of it is kept
    sheet = bare_lift(0.1, TOUCH, residue=0.010)
    assert sheet.residue_mol_per_m2[0, 0] == pytest.approx(0.004 + 0.3 * 0.010, rel=1e-5)


def test_two_touches_take_the_tint_as_one_of_the_sum_of_their_exposures():
    # still air full of water: exposure is dose/film x (60 - 4) s = 37.33 mol s/L a touch
    still = replace(TOUCH, evaporation_l_per_m2_s=0.0, kept=0.0, touches=2)
    s = 0.04 / 0.06 * 56.0
    assert bare_lift(1.0, still).bleached[0, 0] == pytest.approx(
        1 - np.exp(-0.05 * 2 * s), rel=1e-5
    )
    # a quarter bleached before: three quarters are left to take
    once = bare_lift(1.0, replace(still, touches=1), bleached=0.25)
    assert once.bleached[0, 0] == pytest.approx(1 - 0.75 * np.exp(-0.05 * s), rel=1e-5)


def test_a_dose_of_sixteen_bits_is_the_same_dose():
    shares, whole = patch([0.2, 0.1, 0.0]), patch([0.2, 0.1, 0.0])
    lift(shares, np.full((1, 1), 0.4), TOUCH, plain_chemistry())
    lift(whole, np.full((1, 1), 26214, np.uint16), TOUCH, plain_chemistry())  # 0.4 x 65535
    np.testing.assert_allclose(whole.load_g_per_m2, shares.load_g_per_m2, rtol=1e-6)


def test_the_touch_of_a_brush_worked_by_hand():
    # 5 % bleach is 0.721 mol/L (test_hypochlorite.py); 1 + 4 of it, 60 ml/m2: 0.721/5 x 0.06.
    # 20 C, 50 %, still air: 153 g/(m2 h). Cartridge keeps 10 ml/m2; blotting leaves 0.3 and a rinse
    # a fifth of that (assumed); 0.1 mm of fibres lag as long as the formula of drying.py says
    touch = touch_of(Touches(parts_water=4, minutes=2.0), Bleach(5.0), ROOM, PAPER)
    assert touch.dose_mol_per_m2 == pytest.approx(0.721 / 5 * 0.060, rel=0.001)
    assert touch.film_l_per_m2 == pytest.approx(0.060)
    assert touch.seconds == 120.0
    assert touch.evaporation_l_per_m2_s == pytest.approx(153 / 3600 / 1000, rel=0.007)
    assert touch.residual_l_per_m2 == pytest.approx(0.010)
    assert touch.cap_mol_per_l == 4.0
    assert touch.kept == pytest.approx(0.3)
    assert touch.touches == 1
    rinsed = touch_of(Touches(rinse=True, touches=3), Bleach(5.0), ROOM, PAPER)
    assert (rinsed.kept, rinsed.touches) == (pytest.approx(0.3 * 0.2), 3)


def test_residue_works_from_the_first_moment_and_all_night():
    # 12 h of 60 min of 60 s in 100 ml/m2 that doesn't dry: 43,200 s / 0.1 L/m2
    night = replace(touch_of_wash(100.0, ROOM, PAPER), evaporation_l_per_m2_s=0.0)
    assert night.tau(np.ones(1))[0] == pytest.approx(43_200 / 0.1, rel=1e-9)
    assert (night.dose_mol_per_m2, night.kept) == (0.0, 1.0)
    hour = replace(touch_of_wash(100.0, ROOM, PAPER, 60.0), evaporation_l_per_m2_s=0.0)
    assert hour.tau(np.ones(1))[0] == pytest.approx(3_600 / 0.1, rel=1e-9)
    dry = Room(humidity_percent=30)
    assert touch_of_wash(100.0, dry, PAPER).evaporation_l_per_m2_s == pytest.approx(
        214 / 3.6e6, rel=0.007
    )


def test_water_takes_what_is_loose_by_the_minute_and_a_rinse_at_once():
    # loosening 1.5 min, a blot takes 0.8, a rinse 0.3 of what is loose and leaves 0.2 of the bleach
    # (assumed): 3 min loosen 1 - exp(-2) = 0.8647 of the loose 0.8 and 0.5
    sheet = patch([1.0, 1.0, 1.0])
    water_lift(sheet, ONE, 3.0, plain_chemistry())
    taken = 0.8 * 0.8647 * np.array([0.8, 0.5, 0.0])
    np.testing.assert_allclose(sheet.load_g_per_m2[0, 0], 1 - taken, atol=1e-4)
    # the eye's share was 0.7 of it; running coats fall by (20, 30, 4) of 54 each: 1 - 0.4228
    np.testing.assert_allclose(sheet.optical_g_per_m2[0, 0], 0.7 * (1 - taken), atol=1e-4)
    assert sheet.coats[0, 0] == pytest.approx(1 - taken @ [20, 30, 4] / 54, abs=1e-4)
    sheet = patch([1.0, 1.0, 1.0])
    sheet.residue_mol_per_m2[:] = 0.01
    rinse(sheet, 0.5 * ONE, plain_chemistry())
    np.testing.assert_allclose(sheet.load_g_per_m2[0, 0], [0.88, 0.925, 1.0], atol=1e-6)
    assert sheet.residue_mol_per_m2[0, 0] == pytest.approx(0.01 * (1 - 0.5 * 0.8), rel=1e-6)


def test_a_thin_wash_wakes_residue_in_less_water() -> None:
    # a fifth of 100 ml/m2 that doesn't dry for half a minute wakes all of 0.010 mol/m2 (20 ml/m2 on
    # paper that keeps 10): exposure 0.010 x 30 s/0.020 L/m2 = 15 mol s/L, tint rate 0.05
    touch = replace(touch_of_wash(100.0, ROOM, PAPER, 0.5), evaporation_l_per_m2_s=0.0)
    sheet = patch([0.0, 0.0, 0.0])
    sheet.residue_mol_per_m2[:] = 0.010
    residue_attack(sheet, 0.2 * ONE, touch, plain_chemistry())
    assert sheet.bleached[0, 0] == pytest.approx(1 - np.exp(-0.05 * 15.0), rel=1e-4)
    assert sheet.residue_mol_per_m2[0, 0] == pytest.approx(0.010, rel=1e-4)


# Limits


def test_no_bleach_takes_nothing():
    sheet = lifted([0.2, 0.1, 0.05], replace(TOUCH, dose_mol_per_m2=0.0))
    np.testing.assert_array_equal(sheet.load_g_per_m2[0, 0], np.float32([0.2, 0.1, 0.05]))
    assert sheet.bleached[0, 0] == 0.0


def test_a_touch_of_no_time_takes_nothing_and_leaves_its_share_of_bleach():
    sheet = lifted([0.2, 0.1, 0.05], replace(TOUCH, seconds=0.0))
    np.testing.assert_allclose(sheet.load_g_per_m2[0, 0], [0.2, 0.1, 0.05], rtol=1e-6)
    assert sheet.residue_mol_per_m2[0, 0] == pytest.approx(0.3 * 0.04, rel=1e-6)


def test_bleach_on_bare_paper_keeps_all_its_bleach_and_takes_the_tint():
    sheet = lifted([0.0, 0.0, 0.0], replace(TOUCH, kept=1.0))
    assert sheet.residue_mol_per_m2[0, 0] == pytest.approx(0.04, rel=1e-6)
    c, t = 0.04 / 0.06, 56.0  # blotted after 60 s, 4 s late; the film loses 4 % meanwhile
    assert sheet.bleached[0, 0] == pytest.approx(1.0 - np.exp(-0.05 * c * t), rel=0.01)


def test_in_excess_a_dye_falls_exponentially():
    touch = replace(TOUCH, evaporation_l_per_m2_s=0.0, lag_seconds=0.0, seconds=2.0)
    left = lifted([1e-6, 1e-6, 0.0], touch).load_g_per_m2[0, 0] / np.float32(1e-6)
    assert left[0] == pytest.approx(np.exp(-1.5 * 0.04 / 0.06 * 2.0), rel=1e-4)
    assert left[1] == pytest.approx(np.exp(-0.4 * 0.04 / 0.06 * 2.0), rel=1e-4)


def test_left_for_ever_short_bleach_is_used_up_to_the_last():
    touch = replace(TOUCH, dose_mol_per_m2=1e-4, seconds=1e9)
    sheet = lifted([0.5, 0.4, 0.0], touch)
    assert sheet.residue_mol_per_m2[0, 0] == pytest.approx(0.0, abs=1e-10)
    # with one dye that leaves nothing: half a mol of it for each mol of bleach
    alone = lifted([0.0, 0.4, 0.0], touch)
    assert alone.load_g_per_m2[0, 0, 1] == pytest.approx(0.4 - 1e-4 / 2.0 * 800.0, rel=1e-5)


def test_left_for_ever_ample_bleach_takes_everything_that_reacts():
    sheet = lifted([0.2, 0.1, 0.05], replace(TOUCH, seconds=1e9))
    assert sheet.load_g_per_m2.max() < 1e-12
    assert sheet.coats[0, 0] < 1e-9


def test_a_dose_of_nothing_is_left_alone():
    sheet, before = patch([0.2, 0.1, 0.0]), patch([0.2, 0.1, 0.0])
    lift(sheet, np.zeros((1, 1), np.float32), TOUCH, plain_chemistry())
    for name, field in vars(before).items():
        np.testing.assert_array_equal(getattr(sheet, name), field)


def test_in_air_full_of_water_the_film_stays_and_the_lift_is_a_little_weaker():
    damp = touch_of(Plan(9.0), Bleach(), Room(humidity_percent=98.0), PAPER)
    dry = touch_of(Plan(9.0), Bleach(), Room(humidity_percent=0.0), PAPER)
    still = replace(damp, evaporation_l_per_m2_s=0.0)
    one = np.ones(1)
    assert still.tau(one) <= damp.tau(one) < dry.tau(one)


def test_a_thin_film_is_diluted_by_the_papers_own_moisture():
    thin = float(TOUCH.tau(np.array([1e-6]))[0])
    assert thin == pytest.approx((60.0 - 4.0) / 0.01)


def test_dried_bleach_gets_no_stronger_than_its_cap():
    long = replace(TOUCH, seconds=7200.0, residual_l_per_m2=1e-6, cap_mol_per_l=2.0)
    assert long.least_l_per_m2(np.ones(1)) == pytest.approx(0.04 / 2.0)


# Balance


@given(
    st.lists(st.floats(0.0, 2.0), min_size=3, max_size=3),
    st.floats(1e-5, 0.08),
    st.floats(0.0, 600.0),
    st.floats(0.0, 0.02),
)
@settings(deadline=None)
def test_bleach_used_is_what_dyes_and_fibres_took_plus_what_is_left(load, dose, seconds, fibres):
    chemistry = plain_chemistry(fibre_mol_per_m2=fibres, fibre_rate_l_per_mol_s=0.05)
    touch = replace(TOUCH, dose_mol_per_m2=dose, seconds=seconds, kept=1.0)
    sheet = lifted(load, touch, chemistry)
    M = chemistry.molar_mass_g_per_mol
    before = np.float32(load) / M
    after = sheet.load_g_per_m2[0, 0] / M
    first, second = before[0] - after[0], before[1] - after[1]
    product = before[2] + 0.8 * first - after[2]  # what was there, came, and isn't there now
    # the fibres' share follows from the exposure that the paper's tint shows
    s = -np.log1p(-min(float(sheet.bleached[0, 0]), 1.0 - 1e-7)) / 0.05
    eaten = fibres * -np.expm1(-0.05 * s)
    used = 2.0 * first + 2.0 * second + 3.0 * product + eaten
    assert used + float(sheet.residue_mol_per_m2[0, 0]) == pytest.approx(
        dose, abs=2e-6 * dose + 2e-9
    )


def test_product_appears_mol_for_mol_of_what_its_parent_lost():
    chemistry = plain_chemistry(k_l_per_mol_s=np.array([1.5, 0.4, 0.0]))
    sheet = lifted([0.3, 0.0, 0.0], chemistry=chemistry)
    lost = (0.3 - sheet.load_g_per_m2[0, 0, 0]) / 500.0
    assert sheet.load_g_per_m2[0, 0, 2] == pytest.approx(0.8 * lost * 300.0, rel=1e-5)


def test_what_the_eye_gets_is_scaled_like_the_load():
    sheet = lifted([0.3, 0.2, 0.1], replace(TOUCH, seconds=6.0))
    np.testing.assert_allclose(
        sheet.optical_g_per_m2[0, 0], 0.7 * sheet.load_g_per_m2[0, 0], rtol=1e-5
    )


def test_running_load_falls_with_what_stops_light():
    sheet = lifted([0.3, 0.2, 0.1], replace(TOUCH, seconds=6.0))
    m = np.array([20.0, 30.0, 4.0])
    expected = sheet.load_g_per_m2[0, 0] @ m / (np.array([0.3, 0.2, 0.1]) @ m)
    assert sheet.coats[0, 0] == pytest.approx(expected, rel=1e-5)


def test_running_load_of_a_bare_patch_stays():
    assert coats_share(np.zeros((1, 2)), np.zeros((1, 2)), np.ones(2)) == 1.0


# Laws


@given(
    st.lists(st.floats(0.0, 2.0), min_size=3, max_size=3),
    st.floats(1e-5, 0.04),
    st.floats(1.0, 3.0),
    st.floats(0.0, 600.0),
)
@settings(deadline=None)
def test_more_bleach_never_leaves_more_of_a_dye(load, dose, more, seconds):
    weak = lifted(load, replace(TOUCH, dose_mol_per_m2=dose, seconds=seconds))
    strong = lifted(load, replace(TOUCH, dose_mol_per_m2=dose * more, seconds=seconds))
    parents = slice(0, 2)
    weak_left, strong_left = (s.load_g_per_m2[0, 0, parents] for s in (weak, strong))
    assert np.all(strong_left <= weak_left * (1.0 + 1e-6) + 1e-12)
    assert strong.bleached[0, 0] >= weak.bleached[0, 0] - 1e-6


@given(
    st.lists(st.floats(0.0, 5.0), min_size=3, max_size=3),
    st.floats(0.0, 0.1),
    st.floats(0.0, 1e6),
    st.floats(0.0, 1.0),
)
@settings(deadline=None)
def test_a_lift_is_never_negative_never_more_than_was_there_and_never_nan(load, dose, s, share):
    sheet = patch(load)
    touch = replace(TOUCH, dose_mol_per_m2=dose, seconds=s)
    lift(sheet, np.full((1, 1), share, np.float32), touch, plain_chemistry())
    after = sheet.load_g_per_m2[0, 0]
    most = np.array([load[0], load[1], load[2] + 0.8 * load[0] * 300.0 / 500.0])
    assert np.all(after >= 0.0)
    assert np.all(after <= most * (1.0 + 1e-6) + 1e-12)
    assert 0.0 <= sheet.bleached[0, 0] <= 1.0
    assert 0.0 <= sheet.residue_mol_per_m2[0, 0] <= dose + 1e-9


def test_a_second_touch_takes_less_dye_than_the_first_in_excess():
    # trade practice and arithmetic: equal shares of what is left are less each time
    touch = replace(TOUCH, seconds=7.0, kept=0.0)
    once, twice = lifted([0.0, 0.2, 0.0], touch), lifted([0.0, 0.2, 0.0], replace(touch, touches=2))
    first = 0.2 - once.load_g_per_m2[0, 0, 1]
    second = once.load_g_per_m2[0, 0, 1] - twice.load_g_per_m2[0, 0, 1]
    assert 0.0 < second < first


def test_sharing_bleach_leaves_more_of_each_dye_than_being_alone():
    touch = replace(TOUCH, dose_mol_per_m2=5e-4)
    both, alone = lifted([0.4, 0.4, 0.0], touch), lifted([0.4, 0.0, 0.0], touch)
    assert both.load_g_per_m2[0, 0, 0] > alone.load_g_per_m2[0, 0, 0]


def test_equal_rates_in_a_chain_are_no_trouble():
    same = plain_chemistry(k_l_per_mol_s=np.array([1.0, 1.0, 1.0]))
    touch = replace(TOUCH, evaporation_l_per_m2_s=0.0, lag_seconds=0.0, seconds=3.0)
    sheet = lifted([1e-6, 0.0, 0.0], touch, same)
    s = 0.04 / 0.06 * 3.0
    # A -> B with equal rates: B = A0 k s exp(-k s)
    expected = 1e-6 * 0.8 * 300.0 / 500.0 * s * np.exp(-s)
    assert sheet.load_g_per_m2[0, 0, 2] == pytest.approx(expected, rel=1e-4)


def test_halo_of_a_touch_loses_the_fast_dye_and_keeps_the_slow_one():
    sheet = bare_sheet(1, 4, 3)
    sheet.load_g_per_m2[:] = np.float32([0.01, 0.0, 0.01])
    slow = plain_chemistry(product=np.array([-1, -1, -1]))
    lift(sheet, np.float32([[1.0, 0.3, 0.03, 0.0]]), TOUCH, slow)
    fast, stays = sheet.load_g_per_m2[0, :, 0] / 0.01, sheet.load_g_per_m2[0, :, 2] / 0.01
    assert np.all(np.diff(fast) >= -1e-6)
    assert fast[2] < 0.15
    assert stays[2] > 0.8
    assert fast[3] == stays[3] == 1.0


# Water, rinse, residue


def test_water_takes_the_loose_part_and_leaves_the_stain():
    sheet = patch([0.2, 0.2, 0.2])
    water_lift(sheet, ONE, 1e6, plain_chemistry())
    blotted = touch_habits().water_blotted
    np.testing.assert_allclose(
        sheet.load_g_per_m2[0, 0], 0.2 * (1.0 - blotted * np.array([0.8, 0.5, 0.0])), rtol=1e-6
    )


def test_water_takes_more_the_longer_it_stands():
    left = []
    for minutes in (0.0, 1.0, 3.0):
        sheet = patch([0.2, 0.2, 0.2])
        water_lift(sheet, ONE, minutes, plain_chemistry())
        left.append(float(sheet.load_g_per_m2[0, 0, 0]))
    assert left[0] == pytest.approx(0.2)
    assert left[0] > left[1] > left[2]


def test_a_rinse_takes_most_of_the_active_bleach():
    sheet = lifted([0.1, 0.1, 0.0])
    before = float(sheet.residue_mol_per_m2[0, 0])
    rinse(sheet, ONE, plain_chemistry())
    kept = touch_habits().kept_when_rinsed
    assert sheet.residue_mol_per_m2[0, 0] == pytest.approx(kept * before, rel=1e-6)


def test_ink_laid_over_an_unrinsed_lift_fades_and_less_so_after_a_rinse():
    # common practice, no source: new ink on a bleached patch fades at once or over days
    left = {}
    for rinsed in (False, True):
        sheet = lifted([0.1, 0.1, 0.0])
        if rinsed:
            rinse(sheet, ONE, plain_chemistry())
        sheet.load_g_per_m2[0, 0, 1] = 1.5
        residue_attack(sheet, ONE, touch_of_wash(100.0, ROOM, PAPER), plain_chemistry())
        left[rinsed] = float(sheet.load_g_per_m2[0, 0, 1])
    assert left[False] < left[True] < 1.5


def test_without_residue_new_ink_is_safe():
    sheet = patch([0.2, 0.1, 0.0])
    residue_attack(sheet, ONE, touch_of_wash(100.0, ROOM, PAPER), plain_chemistry())
    np.testing.assert_array_equal(sheet.load_g_per_m2[0, 0], np.float32([0.2, 0.1, 0.0]))


# Trade facts: common practice, no source


def test_neat_bleach_takes_all_the_dye_of_the_lifting_inks_in_a_minute():
    for name in ("Blue", "Red", "Yellow", "Black"):
        assert dye_left(name, Plan()) < 0.01, name


def test_bleach_1_plus_99_takes_a_quarter_at_most_of_the_black():
    assert dye_left("Black", Plan(99.0)) > 0.75


def test_bleach_1_plus_19_lifts_black_by_half_because_it_runs_out():
    assert 0.1 < dye_left("Black", Plan(19.0)) < 0.5
    _, _, sheet = bleach_ink("Black", Plan(19.0))
    left = float(sheet.residue_mol_per_m2[0, 0]) / touch_habits().kept_when_blotted
    laid = Bleach().diluted_mol_per_l(19.0) * 0.06
    assert left < 0.4 * laid


def test_the_same_bleach_leaves_less_of_a_thin_black_than_of_a_dense_one():
    assert dye_left("Black", Plan(19.0), q=0.1) < 0.7 * dye_left("Black", Plan(19.0))


def test_azo_black_goes_red_violet_then_yellow():
    # published sequence of Eriochrome black T in hypochlorite at pH 12 (605 nm, 531 at once, then
    # 395 nm): The Open Ecology Journal 16 (2023), table 2; Acid Black 1 stands in for it
    dyes = load_dyes()
    chain = [dyes["Acid Black 1"]]
    while chain[-1].product:
        chain.append(dyes[chain[-1].product])
    visible = np.arange(380.0, 701.0)
    peaks = [visible[np.argmax(dye.absorptivity_l_per_g_cm(visible))] for dye in chain]
    assert len(chain) == 3
    assert 590 < peaks[0] < 640
    assert 515 < peaks[1] < 550
    assert 380 <= peaks[2] < 420
    chemistry = chemistry_of(chain, PAPER, 18.0, 12.0)
    most = []
    for seconds in (0.0, 10.0, 60.0):
        sheet = patch([0.2, 0.0, 0.0])
        lift(sheet, ONE, replace(TOUCH, seconds=seconds, lag_seconds=0.0), chemistry)
        most.append(int(np.argmax(sheet.load_g_per_m2[0, 0] / chemistry.molar_mass_g_per_mol)))
    assert most == [0, 1, 2]


def test_the_xanthene_red_stays():
    # rhodamine B: no fading in 30 min at pH 11 (Bouchoucha et al., Catalysts 13 (2023) 942)
    dyes = [load_dyes()["Acid Red 52"]]
    chemistry = chemistry_of(dyes, PAPER, 20.0, 11.5)
    sheet = patch([0.02])
    lift(sheet, ONE, touch_of(Plan(touches=3), Bleach(), ROOM, PAPER), chemistry)
    assert sheet.load_g_per_m2[0, 0, 0] > 0.98 * 0.02


def test_warm_bleach_works_faster():
    dyes, _ = ink("Blue")
    cold, warm = (chemistry_of(dyes, PAPER, t, 11.5).k_l_per_mol_s for t in (10.0, 20.0))
    reacts = cold > 0.0
    assert np.all(warm[reacts] / cold[reacts] > 1.3)


# Bad input


def test_negative_time_is_refused():
    with pytest.raises(InputError, match="minutes"):
        touch_of(Plan(minutes=-1.0), Bleach(), ROOM, PAPER)
    with pytest.raises(InputError, match="minutes"):
        water_lift(patch([0.1]), ONE, -1.0, plain_chemistry())


@pytest.mark.parametrize("film", [-1.0, float("nan"), float("inf")])
def test_a_film_that_cannot_be_is_refused(film):
    with pytest.raises(InputError, match="ml/m2"):
        touch_of(Plan(film_ml_per_m2=film), Bleach(), ROOM, PAPER)


def test_a_film_of_nothing_takes_nothing():
    touch = touch_of(Plan(film_ml_per_m2=0.0), Bleach(), ROOM, PAPER)
    np.testing.assert_allclose(lifted([0.2, 0.1, 0.0], touch).load_g_per_m2[0, 0], [0.2, 0.1, 0.0])


@pytest.mark.parametrize("temperature_c", [-20.0, 80.0])
def test_a_frozen_or_a_scalding_room_is_refused(temperature_c):
    with pytest.raises(InputError, match="degrees"):
        chemistry_of([], PAPER, temperature_c)


def test_an_unknown_tool_is_refused():
    with pytest.raises(InputError, match="sponge"):
        touch_of(Plan(tool="sponge"), Bleach(), ROOM, PAPER)


def test_a_tool_brings_its_own_film_where_the_plan_names_none():
    pen = touch_of(Plan(tool="dip pen", film_ml_per_m2=None), Bleach(), ROOM, PAPER)
    assert pen.film_l_per_m2 == pytest.approx(0.05)


def test_a_chain_of_four_colourants_is_refused():
    with pytest.raises(ValueError, match="longer than 3"):
        _ = replace(plain_chemistry(), product=np.array([1, 2, 0])).network


def test_a_second_touch_that_thins_out_does_ever_less_where_it_ends():
    # an unrinsed first touch leaves bleach in the paper; a film of nothing must not wake it
    from glaze.patch.patches import bare_patches, glaze, value
    from glaze.patch.table import table_of

    table = table_of("lifting", "white cartridge")
    doses = np.array([[0.0, 1e-5, 1e-3, 0.03, 0.1, 0.3]], np.float32)
    sheet = glaze(table, bare_patches(table, doses.size), table.mix("Black 1"))
    chemistry = chemistry_of(table.dyes, table.paper)
    first, second = (
        touch_of(Touches(parts_water=n), Bleach(), Room(), table.paper) for n in (29, 29)
    )
    lift(sheet, np.ones_like(doses), first, chemistry)
    lift(sheet, doses, second, chemistry)
    values = value(table, sheet)[0]
    assert np.all(np.diff(values) >= -1e-6)
    assert values[1] - values[0] < 0.01
    assert values[2] - values[0] < 0.1


@pytest.mark.parametrize("touches", [0, -1, 1.5, 0.5])
def test_touches_are_counted_in_whole_ones(touches: float) -> None:
    with pytest.raises(InputError, match="whole number from 1 up"):
        touch_of(Touches(touches=touches), Bleach(), Room(), load_paper("white cartridge"))
