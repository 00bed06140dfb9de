"""Many cases at once: held to the plain model, one case at a time, with the same figures moved."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from glaze.materials.bleach import Bleach
from glaze.materials.room import Room
from glaze.patch.engine import MANY_PATCHES, Figures, Stacks
from glaze.patch.layers import Laid, Lifted, Watered, doubts_of
from glaze.patch.patches import bare_patches, glaze
from glaze.patch.seen import rgb8_of
from glaze.patch.table import table_of
from glaze.physics.absorption import stack_reflectance
from glaze.sheet.lift import (
    Touches,
    chemistry_of,
    lift,
    residue_attack,
    rinse,
    touch_of,
    touch_of_wash,
    water_lift,
)
from glaze.sheet.wash import lay, work_out

# a warm room and a weak bottle, so that neither can be forgotten
TABLE = table_of("lifting", "cream cartridge", bleach=Bleach(3.0), room=Room(26.0))
ONE = np.ones((1, 1))


def laid(text, **more):
    return Laid(TABLE.mix(text), **more)


STACKS = {
    "bare": (),
    "bleach on bare paper": (Lifted(Touches(touches=2)), Watered(1.0)),
    "wash": (laid("Blue 1"),),
    "washes": (
        laid("Yellow 3 + Red 1"),
        laid("Black 1 + water 4", coats=2),
        laid("Blue 1", share=0.3),
    ),
    "lift": (laid("Black 1"), Lifted(Touches(parts_water=9, touches=2, minutes=0.7))),
    "part of a lift": (laid("Blue 2 + Black 1"), Lifted(Touches(parts_water=4), share=0.4)),
    "over residue": (
        laid("Blue 1"),
        Lifted(Touches(parts_water=4)),
        laid("Red 1 + water 2", film_ml_per_m2=80.0),
    ),
    "water": (laid("Red 1"), Watered(2.0, 0.8), laid("Blue 1 + water 3"), Watered(None)),
    "thin over residue": (
        laid("Blue 1"),
        Lifted(Touches(parts_water=1)),
        Lifted(Touches(parts_water=9), share=0.06),
        laid("Red 1", share=0.05),
    ),
    "residue rinsed": (laid("Blue 1"), Lifted(Touches()), Watered(None, 0.9), laid("Black 1")),
}


def one_by_one(layers, moved):
    """XYZ by `glaze.sheet.wash` and `glaze.sheet.lift` themselves, with each figure multiplied."""
    of = lambda *key: moved.get(key if len(key) > 1 else (*key, ""), 1.0)  # noqa: E731
    paper = replace(TABLE.paper, path_gain=TABLE.paper.path_gain * of("gain"))
    sheet, lifted = bare_patches(TABLE), None
    for layer in layers:
        if isinstance(layer, Laid):
            film = layer.film_ml_per_m2 or paper.film_ml_per_m2
            mix = stronger(layer.mix, of)
            wash = work_out(mix, layer.coats, film * of("film"), paper, TABLE.dyes)
            lay(sheet, wash, layer.share * ONE)
            if lifted:
                touch = touch_of_wash(film * of("film"), TABLE.room, paper)
                residue_attack(sheet, layer.share * ONE, touch, chemistry(lifted, 0.0, of))
        elif isinstance(layer, Lifted):
            lifted = layer
            touch = touch_of(layer.touches, TABLE.bleach, TABLE.room, paper)
            touch = replace(
                touch,
                dose_mol_per_m2=touch.dose_mol_per_m2 * of("touch") * of("bottle"),
                film_l_per_m2=touch.film_l_per_m2 * of("touch"),
                seconds=touch.seconds * of("minutes"),
                lag_seconds=touch.lag_seconds * of("depth") ** 2,
                kept=min(touch.kept * of("kept"), 1.0),
            )
            lift(sheet, layer.share * ONE, touch, chemistry(layer, layer.touches.parts_water, of))
        elif layer.minutes is None:
            rinse(sheet, layer.share * ONE, chemistry_of(TABLE.dyes, paper))
        else:
            water_lift(sheet, layer.share * ONE, layer.minutes, chemistry_of(TABLE.dyes, paper))
    A = sheet.optical_g_per_m2.astype(float)[0, 0] @ TABLE.path_m2_per_g * of("gain")
    Rp = TABLE.paper_reflectance + sheet.bleached[0, 0] * TABLE.bleached_gain
    R = stack_reflectance(A, Rp * of("paper"), paper.surface_reflectance, paper.path_spread)
    return R @ TABLE.light.xyz_weights


def stronger(mix, of):
    """The mix from bottles so many times as strong."""
    contents = dict.fromkeys(mix.contents_g_per_l, 0.0)
    for name, ml in mix.ink_ml.items():
        for dye, g_per_l in TABLE.palette.inks[name].contents_g_per_l.items():
            contents[dye] += g_per_l * ml / mix.all_ml * of("ink", name)
    return replace(mix, contents_g_per_l=MappingProxyType(contents))


def chemistry(layer, parts_water, of):
    """Chemistry with each rate, appetite and yield multiplied."""
    bottle = replace(TABLE.bleach, ph=TABLE.bleach.ph + np.log(of("alkali")))
    celsius = TABLE.room.temperature_c + np.log(of("room"))
    found = chemistry_of(TABLE.dyes, TABLE.paper, celsius, bottle.diluted_ph(parts_water))
    each = lambda key: np.array([of(key, dye.name) for dye in TABLE.dyes])  # noqa: E731
    return replace(
        found,
        k_l_per_mol_s=found.k_l_per_mol_s * each("rate"),
        oxidant_mol_per_mol=found.oxidant_mol_per_mol * each("oxidant"),
        product_mol_per_mol=found.product_mol_per_mol * each("yield"),
        fibre_mol_per_m2=found.fibre_mol_per_m2 * of("fibres"),
        fibre_rate_l_per_mol_s=found.fibre_rate_l_per_mol_s * of("fibre rate"),
    )


def seen(table, stacks, figures):
    """XYZ of patches in every case, shape (cases, patches, 3)."""
    laid_there = Stacks(table, tuple(map(tuple, stacks)))
    *_, sheet = laid_there.after_each(figures)
    return laid_there.xyz(sheet, figures)


def drawn(layers, cases=3, seed=5):
    """Figures moved at random, the first case as they are."""
    rng = np.random.default_rng(seed)
    doubts = doubts_of(layers, TABLE)
    moved = {d.key: np.exp(np.log(d.factor) / 2 * rng.standard_normal(cases)) for d in doubts}
    return {key: np.insert(factors, 0, 1.0) for key, factors in moved.items()}


@pytest.mark.parametrize("name", STACKS)
def test_every_case_equals_the_plain_model_with_those_figures(name):
    factors = drawn(STACKS[name])
    for case, found in enumerate(seen(TABLE, [STACKS[name]], Figures(factors, 4))):
        moved = {key: row[case] for key, row in factors.items()}
        # as close as sums in another order come
        assert found[0] == pytest.approx(one_by_one(STACKS[name], moved), abs=1e-9)


@pytest.mark.parametrize("name", ["lift", "part of a lift", "residue rinsed", "thin over residue"])
def test_many_patches_compiled_come_out_as_one_plain_patch(name):
    # from MANY_PATCHES on the lift is the compiled one, which is good to 2e-5
    factors = Figures(drawn(STACKS[name]), 4)
    one = seen(TABLE, [STACKS[name]], factors)
    many = seen(TABLE, [STACKS[name]] * MANY_PATCHES, factors)
    assert many == pytest.approx(np.repeat(one, MANY_PATCHES, axis=1), abs=3e-5)


def test_patches_of_one_call_keep_their_own_washes_and_shares():
    water = Laid(TABLE.mix("water 1"))
    stacks = [
        (laid("Blue 1"), laid("Black 1 + water 4", share=0.3), Lifted(Touches())),
        (laid("Red 1 + water 2", coats=2), water, Lifted(Touches(), share=0.5)),
    ]
    factors = Figures(drawn([layer for stack in stacks for layer in stack]), 4)
    together = seen(TABLE, stacks, factors)
    alone = [seen(TABLE, [stack], factors) for stack in stacks]
    assert together == pytest.approx(np.concatenate(alone, axis=1), abs=1e-9)


def test_a_warmer_room_quickens_every_rate_by_arrhenius():
    layers = (laid("Blue 1"), Lifted(Touches(parts_water=19)))
    figures = Figures({("room", ""): np.exp([0.0, 3.0])}, 2)
    cool, moved = seen(TABLE, [layers], figures)[:, 0]
    there = seen(replace(TABLE, room=Room(29.0)), [layers], Figures({}))[0, 0]
    assert moved[1] > cool[1] + 0.01
    # the share of HOCl and evaporation are left as they were: a hundredth of the change at most
    assert moved == pytest.approx(there, abs=0.1 * (moved[1] - cool[1]))


def test_a_washs_dye_can_be_moved_without_its_coats():
    layers = (laid("Yellow 1"), laid("Black 1 + water 4"))
    less, more = seen(TABLE, [layers], Figures({("wash", "1"): np.array([1.0, 2.0])}, 2))[:, 0]
    assert more[1] < less[1]


def test_linear_light_on_a_screen_is_encoded_as_iec_61966_2_1_says():
    # its own anchors: 0 and 1, 12.92 x 0.002 x 255 = 6.6 on the straight part, 188 for 50.3 %
    grey = np.repeat(np.array([0.0, 0.002, 0.5029, 1.0])[:, None], 3, axis=1)
    assert rgb8_of(grey)[:, 0].tolist() == [0, 7, 188, 255]


def test_a_thinned_wash_over_another_is_crowded_on_patches_as_on_a_sheet():
    patch, sheet = bare_patches(TABLE), bare_patches(TABLE)
    for text in ("Blue 1 + water 1", "Black 1 + water 4"):
        mix = TABLE.mix(text)
        glaze(TABLE, patch, mix)
        lay(sheet, work_out(mix, 1, TABLE.paper.film_ml_per_m2, TABLE.paper, TABLE.dyes), ONE)
    np.testing.assert_allclose(patch.optical_g_per_m2, sheet.optical_g_per_m2, rtol=1e-9)
    np.testing.assert_allclose(patch.coats, sheet.coats)
