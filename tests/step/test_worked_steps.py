"""What a step written in a scene lays, how long it takes and what it needs, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from glaze.materials.dye import load_dyes
from glaze.materials.paper import load_paper
from glaze.materials.room import Room
from glaze.painting.settle import Painting, resolve
from glaze.patch.table import table_of
from glaze.scene.file import read_text, scene_of
from glaze.step.film import RIM_GAIN, film_of
from glaze.step.passage import sorptivity_of
from glaze.step.timing import earliest_starts, lift_minutes, spoken, wash_minutes, water_minutes
from glaze.step.wash_step import Wash
from tests.small_scenes import PLAIN

WASH = '[[step]]\nwash = "{}"\nmix = "Blue 1 + water 3"\nregion = "sheet"\nedge = "none"\n'
LIFT = '[[step]]\nlift = "bright"\nregion = "sheet"\n'


def painted(text: str) -> Painting:
    return resolve(scene_of(read_text(PLAIN + text), Path(".")), even=True)


def test_twice_the_film_is_twice_the_dye_and_twice_the_strength() -> None:
    one, two = painted(WASH.format("a") + WASH.format("b") + "film_ml_per_m2 = 200\n").steps
    assert two.wash.strength == pytest.approx(2 * one.wash.strength)
    # a drop of ink (35/ml) in 3 of water (20/ml): 1/35 in 1/35 + 3/20, about a sixth
    assert one.wash.strength == pytest.approx((1 / 35) / (1 / 35 + 3 / 20), rel=1e-6)
    np.testing.assert_allclose(two.wash.full_load_g_per_m2, 2 * one.wash.full_load_g_per_m2)
    np.testing.assert_allclose(two.wash.overlap, one.wash.overlap)


def test_coats_count_like_film() -> None:
    one, three = painted(WASH.format("a") + WASH.format("b") + "coats = 3\n").steps
    assert three.wash.strength == pytest.approx(3 * one.wash.strength)
    np.testing.assert_allclose(three.wash.full_load_g_per_m2, 3 * one.wash.full_load_g_per_m2)


def test_only_an_earlier_lift_leaves_bleach_for_a_wash() -> None:
    before, _, after = painted(WASH.format("before") + LIFT + WASH.format("after")).steps
    assert before.residue is None
    touch, _ = after.residue
    assert touch.film_l_per_m2 == pytest.approx(0.1)
    assert after.fresh().residue is None


def test_room_bottle_and_water_reach_the_touch() -> None:
    plain, thin, dry = (
        painted(head + WASH.format("a") + LIFT + tail).steps[1]
        for head, tail in (
            ("", ""),
            ("", "parts_water = 9\nminutes = 3\ntouches = 2\nrinse = true\n"),
            ("[room]\nhumidity_percent = 30\ntemperature_c = 30\n[bleach]\npercent = 2.5\n", ""),
        )
    )
    assert (plain.touch.seconds, plain.touch.touches) == (60.0, 1)
    assert plain.touch.kept == pytest.approx(0.3)  # not rinsed unless it says so
    assert (thin.touch.seconds, thin.touch.touches) == (180.0, 2)
    assert thin.touch.kept == pytest.approx(0.3 * 0.2)
    # 1 + 9 is a tenth of it
    assert thin.touch.dose_mol_per_m2 == pytest.approx(plain.touch.dose_mol_per_m2 / 10)
    # 2.5 % is 0.348 mol/L, 5 % 0.721: half the label, and a little less as it is less dense
    half = dry.touch.dose_mol_per_m2 / plain.touch.dose_mol_per_m2
    assert half == pytest.approx(0.348 / 0.721, rel=0.003)
    # published rates (test_hypochlorite.py) are 153 and 214 g/(m2 h) at 20 C; 30 C makes it more
    times = dry.touch.evaporation_l_per_m2_s / plain.touch.evaporation_l_per_m2_s
    assert times == pytest.approx(214 / 153 * 4.2455 / 2.3388, rel=0.02)  # vapour pressure
    # warm bleach: Acid Blue 9 by 35.5 kJ/mol from 20 to 30 C, exp(35500/8.314 x 1.125e-4)
    ratio = dry.chemistry.k_l_per_mol_s[0] / plain.chemistry.k_l_per_mol_s[0]
    assert ratio == pytest.approx(np.exp(35_500 / 8.314 * (1 / 293.15 - 1 / 303.15)), rel=0.01)


def test_water_in_the_bleach_reaches_its_chemistry() -> None:
    # 1 + 9 of pH 11.5 has about 10.6, where an azo dye goes twice as fast (test_dyes.py)
    red = 'wash = "a"\nmix = "Red 1"\nregion = "sheet"\n[[step]]\n'
    neat, thin = (
        painted(
            "[[step]]\n" + red + LIFT.removeprefix("[[step]]\n") + f"parts_water = {n}\n"
        ).steps[1]
        for n in (0, 9)
    )
    assert thin.chemistry.k_l_per_mol_s[0] / neat.chemistry.k_l_per_mol_s[0] == pytest.approx(
        2.0, rel=0.02
    )


def test_a_drying_line_gains_as_the_model_says_and_softened_edges_nothing() -> None:
    # docs/model.md: 45 % of a film at a straight hard edge (a guess there)
    assert RIM_GAIN == {"drying line": 0.45, "soft": 0.0, "none": 0.0}
    region = "{ polygon_mm = [[5, -5], [60, -5], [60, 60], [5, 60]] }"
    text = WASH.format("a").replace('"sheet"', region)
    film = {edge: painted(text.replace("none", edge)).steps[0].film for edge in RIM_GAIN}
    row = film["drying line"][film["none"].shape[0] // 2] / 32768
    start = round(5 / 25.4 * 300)
    blue = painted(text).steps[0].wash.mean_mobility
    assert row[start : start + 2].max() == pytest.approx(1 + 0.45 * blue, rel=0.01)
    np.testing.assert_array_equal(film["soft"], film["none"])
    # it takes its dye from behind: the gain ends half a millimetre in (cartridge's rim)
    behind = np.flatnonzero(row[start:] < 1)[0] / 300 * 25.4
    assert behind == pytest.approx(0.5, abs=0.1)


def test_a_share_of_a_film_on_a_patch_is_that_share() -> None:
    wash, touch = painted(WASH.format("a") + LIFT).steps
    assert wash.on_patch(0.25).film[0, 0] == 32768 / 4
    assert touch.on_patch(0.25).film[0, 0] / touch.UNIT == pytest.approx(0.25, abs=1e-4)
    assert touch.on_patch(3.0).film[0, 0] == 65535  # as much as the field holds
    rinse, water = painted(
        '[[step]]\nrinse = "r"\n[[step]]\nwater_lift = "w"\nregion = "sheet"\n'
    ).steps
    for step in (rinse, water):
        assert step.on_patch(0.25).coverage[0, 0] == round(65535 / 4)


def test_steps_ask_for_their_own_coats_and_touches() -> None:
    # 80 cm2: a minute to set up and two by hand a coat; 1 + 2 x (1 + 1 + 2) for two touches
    wash, touch = painted(WASH.format("a") + "coats = 2\n" + LIFT + "touches = 2\n").steps
    table = table_of("lifting", "white cartridge")
    assert wash.step.minutes_for(80.0, table).hands_on == pytest.approx(2 * (1 + 2))
    assert touch.step.minutes_for(80.0, table).hands_on == pytest.approx(1 + 2 * (1 + 1 + 2))
    edges = {edge: Wash(name="a", mix="Blue 1", region="sheet", edge=edge) for edge in RIM_GAIN}
    assert [edge for edge, step in edges.items() if step.dries_with_a_line] == ["drying line"]


def test_a_grade_thins_the_film_pixel_by_pixel() -> None:
    cover = np.array([[65535, 65535, 32768, 0]], np.uint16)
    graded = np.array([[1.0, 0.25, 0.5, 1.0]], np.float32)
    assert film_of(cover, graded).tolist() == [[32768, 8192, 8192, 0]]
    assert film_of(cover, None).tolist() == [[32768, 32768, 16384, 0]]


def test_dyes_share_a_wash_by_what_they_absorb() -> None:
    (step,) = painted(WASH.format("a").replace("Blue 1 + water 3", "Blue 1 + Yellow 3")).steps
    dyes = load_dyes()
    absorbs = {
        name: grams * dyes[name].mean_absorptivity_l_per_g_cm
        for name, grams in (
            ("Acid Blue 9", 1.2),
            ("Acid Blue 93", 0.4),
            ("Acid Yellow 23", 3 * 3.0),
        )
    }
    share = step.wash.share[step.wash.full_load_g_per_m2 > 0]
    assert share.sum() == pytest.approx(1.0)
    wanted = np.array(list(absorbs.values())) / sum(absorbs.values())
    assert sorted(share) == pytest.approx(sorted(wanted), abs=0.005)


def test_cartridge_drinks_what_a_cobb_test_gives() -> None:
    # ISO 535: water taken up in 60 s; drawing papers about 30 g/m2 (from memory). By Washburn it
    # goes with the root of time: 30e-6 m/sqrt(60 s)
    cartridge, pressed = (load_paper(name) for name in ("white cartridge", "white hot-pressed"))
    assert sorptivity_of(cartridge) == pytest.approx(30e-6 / 60**0.5, rel=0.005)
    assert sorptivity_of(pressed) == pytest.approx(20e-6 / 60**0.5, rel=0.005)


ROOM = (
    Room()
)  # 20 C, 50 %, still: 153 g/(m2 h), so 100 ml/m2 shine for 40 min (test_hypochlorite.py)


def test_minutes_of_washes_worked_by_hand() -> None:
    # one minute to set up and 1 min for 40 cm2; bone dry after 1.5 times the shine (assumed)
    one = wash_minutes(80.0, 100.0, 1, ROOM)
    assert one.hands_on == pytest.approx(1 + 2)
    assert one.shine_gone == pytest.approx(40, rel=0.03)
    assert one.dry == pytest.approx(60, rel=0.03)
    assert one.all == pytest.approx(63, rel=0.03)
    # three coats: each dries before the next, so two times 60 before the last one's 40 and 60
    three = wash_minutes(80.0, 100.0, 3, ROOM)
    assert three.hands_on == pytest.approx(3 * (1 + 2))
    assert three.shine_gone == pytest.approx(2 * 60 + 40, rel=0.03)
    assert three.dry == pytest.approx(3 * 60, rel=0.03)


def test_minutes_of_touches_and_water_worked_by_hand() -> None:
    # set up 1, then twice 5 min of bleach, 1 to blot and 2 for 80 cm2; a rinse takes 3 (assumed)
    once = lift_minutes(80.0, 50.0, 2, 5.0, False, ROOM)
    assert once.hands_on == pytest.approx(1 + 2 * (5 + 1 + 2))
    assert lift_minutes(80.0, 50.0, 2, 5.0, True, ROOM).hands_on == pytest.approx(17 + 3)
    assert (once.shine_gone, once.dry) == pytest.approx((20, 30), rel=0.03)
    # a rinse, 4 min of waiting, 80 cm2; never more than 5 min for the area
    assert water_minutes(80.0, 50.0, 4.0, ROOM).hands_on == pytest.approx(3 + 4 + 2)
    assert water_minutes(8000.0, 50.0, 4.0, ROOM).hands_on == pytest.approx(3 + 4 + 5)


def test_dry_places_are_worked_on_while_others_dry() -> None:
    # two washes of 3 + 60 min side by side, a third on the first: 0, 3, 63
    one = replace(wash_minutes(80.0, 100.0, 1, ROOM), hands_on=3.0, dry=60.0)
    waits = np.zeros((3, 3), bool)
    waits[2, 0] = True
    assert earliest_starts([one, one, one], waits) == (0.0, 3.0, 63.0)


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0.2, "1 min"), (40.4, "40 min"), (89.0, "89 min"), (90.0, "1 h 30 min"), (122.0, "2 h"),
     (128.0, "2 h 10 min"), (float("inf"), "never")],
)  # fmt: skip
def test_minutes_as_spoken(minutes: float, words: str) -> None:
    assert spoken(minutes) == words
