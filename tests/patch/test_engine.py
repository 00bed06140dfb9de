"""Many cases at once: held to the plain model, one case at a time, with the same figures moved."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from glaze.materials.bleach import Bleach
from glaze.materials.room import Room
from glaze.patch.engine import Cases
from glaze.patch.layers import Laid, Lifted, Watered, doubts_of
from glaze.patch.patches import bare_patches
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
ONE = np.ones((1, 1), np.float32)


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
    ph = TABLE.bleach.diluted_ph(parts_water)
    found = chemistry_of(TABLE.dyes, TABLE.paper, TABLE.room.temperature_c, ph)
    each = lambda key: np.array([of(key, dye.name) for dye in TABLE.dyes])  # noqa: E731
    return replace(
        found,
        k_l_per_mol_s=found.k_l_per_mol_s * each("rate"),
        oxidant_mol_per_mol=found.oxidant_mol_per_mol * each("oxidant"),
        product_mol_per_mol=found.product_mol_per_mol * each("yield"),
        fibre_mol_per_m2=found.fibre_mol_per_m2 * of("fibres"),
        fibre_rate_l_per_mol_s=found.fibre_rate_l_per_mol_s * of("fibre rate"),
    )


@pytest.mark.parametrize("name", STACKS)
def test_every_case_equals_the_plain_model_with_those_figures(name):
    doubts = tuple(d for d in doubts_of(STACKS[name], TABLE) if d.key[0] != "room")
    cases = Cases(TABLE, STACKS[name], doubts)
    rng = np.random.default_rng(5)
    factors = np.ones((4, len(cases.keys)))
    spread = [np.log(d.factor) / 2 for d in doubts]
    factors[1:, : len(doubts)] = np.exp(spread * rng.standard_normal((3, len(doubts))))
    for row, found in zip(factors, cases.xyz(factors), strict=True):
        moved = dict(zip((d.key for d in doubts), row, strict=False))
        # the plain sheet is float32
        assert found == pytest.approx(one_by_one(STACKS[name], moved), abs=3e-6)


def test_a_warmer_room_quickens_every_rate_by_arrhenius():
    layers = (laid("Blue 1"), Lifted(Touches(parts_water=19)))
    cases = Cases(TABLE, layers, doubts_of(layers, TABLE))
    factors = np.ones((2, len(cases.keys)))
    factors[1, cases.keys["room", ""]] = np.exp(3.0)
    cool, moved = cases.xyz(factors)
    there = Cases(replace(TABLE, room=Room(29.0)), layers, ()).xyz(np.ones((1, 1)))[0]
    assert moved[1] > cool[1] + 0.01
    # the share of HOCl and evaporation are left as they were: a hundredth of the change at most
    assert moved == pytest.approx(there, abs=0.1 * (moved[1] - cool[1]))


def test_a_washs_dye_can_be_moved_without_its_coats():
    layers = (laid("Yellow 1"), laid("Black 1 + water 4"))
    cases = Cases(TABLE, layers, ())
    factors = np.array([[1.0, 1.0], [1.0, 2.0]])
    less, more = cases.xyz(factors)
    assert more[1] < less[1]
    assert list(cases.keys) == [("wash", "0"), ("wash", "1")]
