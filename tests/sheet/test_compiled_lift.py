"""The exposure, plain and compiled, against the full coupled system in time, and each other."""

import full_system
import numpy as np
import pytest
from full_system import FILM, Case

from glaze.materials.chemistry import chemistry_of
from glaze.materials.dye import colourants, load_dyes
from glaze.materials.paper import load_paper
from glaze.materials.room import Room
from glaze.physics import depletion, drying
from glaze.sheet import compiled_exposure, compiled_rinse
from glaze.sheet import compiled_lift as compiled
from glaze.sheet.lift import Touch, lift, touch_of_wash
from glaze.sheet.lift import residue_attack as plain_residue_attack
from glaze.sheet.lift import rinse as plain_rinse
from glaze.sheet.state import Sheet, bare_sheet

TOUCH = Touch(0.004, 0.06, 60.0, 4.0, 4e-5, 0.01, 4.0, 0.3)


def network_of(case: Case) -> depletion.Network:
    return depletion.network_of(
        case.k, case.oxidant, case.product, case.product_yield, case.fibre, case.fibre_rate
    )


def exposure_on_block(network, mol, h0, tau):
    """The compiled solver on a block in which every pixel is the same."""
    found = compiled_exposure.panels_of(network.k)
    lanes = compiled_exposure.LANES
    terms, rest = depletion._terms(network, mol, h0)
    s = np.zeros(lanes)
    compiled_exposure.march(
        (found.start, found.width, found.decay),
        float(network.k[-1]),
        np.repeat(terms.T, lanes, axis=1),
        np.repeat(rest, lanes),
        np.repeat(h0, lanes),
        np.repeat(tau, lanes),
        s,
        np.zeros((5, lanes)),
        np.zeros(lanes),
    )
    return s[:1]


@pytest.fixture(scope="module")
def solved():
    rng = np.random.default_rng(20)
    cases = [full_system.random_case(rng) for _ in range(200)]
    return [(case, *full_system.solve_in_time(case)) for case in cases]


@pytest.mark.parametrize(
    ("solve", "claim"), [(depletion.exposure, 1e-6), (exposure_on_block, 1e-4)]
)
def test_error_on_200_random_touches_is_below_the_claim(solved, solve, claim):
    worst = 0.0
    for case, mol_left, _ in solved:
        network, mol = network_of(case), case.mol[None]
        tau = drying.thinness(case.seconds, FILM, case.evaporation, case.residual).reshape(1)
        s = solve(network, mol, np.array([case.h0]), tau)
        ours = depletion.shares(network, s)[0] @ case.mol
        most = case.amount()
        error = np.abs(ours - mol_left) / np.where(most > 0.0, most, 1.0)
        worst = max(worst, float(error.max()))
    assert worst < claim


def test_random_touches_hold_both_regimes(solved):
    left = np.array([bleach / case.h0 for case, _, bleach in solved])
    assert (left < 0.05).sum() > 10
    assert (left > 0.9).sum() > 10


NAMES = ("Acid Blue 9", "Acid Red 1", "Acid Yellow 23", "Acid Black 1")


def painted(seed: int, shape=(40, 50)) -> Sheet:
    rng = np.random.default_rng(seed)
    dyes = colourants(NAMES, load_dyes())
    sheet = bare_sheet(*shape, len(dyes))
    load = rng.uniform(0.0, 0.25, (*shape, len(dyes))) * (rng.random((*shape, 1)) < 0.8)
    sheet.load_g_per_m2[:] = load
    sheet.optical_g_per_m2[:] = 0.8 * load
    sheet.coats[:] = 1.0
    sheet.bleached[:] = rng.uniform(0.0, 0.5, shape)
    sheet.residue_mol_per_m2[:] = rng.uniform(0.0, 2e-3, shape) * (rng.random(shape) < 0.3)
    return sheet


def copied(sheet: Sheet) -> Sheet:
    return Sheet(**{name: field.copy() for name, field in vars(sheet).items()})


@pytest.fixture(scope="module")
def chemistry():
    return chemistry_of(colourants(NAMES, load_dyes()), load_paper("white cartridge"), 20.0, 11.0)


@pytest.mark.parametrize("strength", [1.0, 0.1, 10.0])
@pytest.mark.parametrize("whole", [np.float32, np.uint16])
def test_compiled_lift_does_what_the_plain_one_does(chemistry, strength, whole):
    touch = Touch(TOUCH.dose_mol_per_m2 * strength, *list(vars(TOUCH).values())[1:8], touches=2)
    dose = np.random.default_rng(3).random((40, 50)).astype(np.float32)
    dose[:5], dose[5:10] = 0.0, 1.0
    if whole is np.uint16:
        dose = np.rint(dose * 65535).astype(np.uint16)
    ours, theirs = painted(1), painted(1)
    compiled.lift(ours, dose, touch, chemistry)
    lift(theirs, dose, touch, chemistry)
    for name, field in vars(theirs).items():
        np.testing.assert_allclose(
            getattr(ours, name), field, rtol=0, atol=2e-5 * float(np.abs(field).max()), err_msg=name
        )


def test_compiled_residue_attack_does_what_the_plain_one_does(chemistry):
    touch = touch_of_wash(100.0, Room(), load_paper("white cartridge"))
    cover = np.random.default_rng(4).random((40, 50)).astype(np.float32)
    ours, theirs = painted(2), painted(2)
    compiled.residue_attack(ours, cover, touch, chemistry)
    plain_residue_attack(theirs, cover, touch, chemistry)
    assert theirs.load_g_per_m2.sum() < painted(2).load_g_per_m2.sum()
    np.testing.assert_allclose(ours.load_g_per_m2, theirs.load_g_per_m2, atol=3e-6)


def test_compiled_rinse_does_what_the_plain_one_does(chemistry):
    cover = np.rint(np.random.default_rng(7).random((40, 50)) * 65535).astype(np.uint16)
    cover[:5], cover[5:10] = 0, 65535
    ours, theirs = painted(3), painted(3)
    compiled_rinse.rinse(ours, cover, chemistry)
    plain_rinse(theirs, cover, chemistry)
    assert theirs.coats.mean() < painted(3).coats.mean()
    for name, field in vars(theirs).items():
        np.testing.assert_allclose(getattr(ours, name), field, rtol=1e-6, err_msg=name)


def test_pixels_without_a_dose_are_left_bit_for_bit(chemistry):
    sheet, before = painted(5), painted(5)
    compiled.lift(sheet, np.zeros((40, 50), np.uint16), TOUCH, chemistry)
    for name, field in vars(before).items():
        np.testing.assert_array_equal(getattr(sheet, name), field)


def test_a_tile_is_lifted_bit_for_bit_like_the_sheet(chemistry):
    dose = np.random.default_rng(6).random((40, 50)).astype(np.float32)
    whole = painted(6)
    tile = Sheet(**{name: field[7:29, 11:40].copy() for name, field in vars(whole).items()})
    compiled.lift(whole, dose, TOUCH, chemistry)
    compiled.lift(tile, dose[7:29, 11:40], TOUCH, chemistry)
    for name, field in vars(whole).items():
        np.testing.assert_array_equal(getattr(tile, name), field[7:29, 11:40], err_msg=name)


def test_fast_exponential_is_good_to_ten_digits():
    s = np.linspace(0.0, 40.0, compiled_exposure.LANES)
    out = np.empty_like(s)
    compiled_exposure.decay_of(0.7, s, out, np.empty_like(s))
    np.testing.assert_allclose(out, np.exp(-0.7 * s), rtol=1e-10)
