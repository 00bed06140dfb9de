"""Thresholds and sums of the plan's answers, worked by hand on made-up places and looks."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from glaze.patch.patches import bare_patches, glaze, value
from glaze.patch.seen import Look
from glaze.patch.table import table_of
from glaze.physics.colour import D65_XYZ, xyz_from_lab
from glaze.planning.lift import reach_regions
from glaze.planning.lift.reach_map import VERDICTS, verdicts
from glaze.planning.lift.reach_plans import LiftPlan, plans_of
from glaze.planning.looks.all_sides import swatch_of
from glaze.planning.looks.keeping import keeping, share_left
from glaze.planning.looks.mud import AfterGlaze, _note, room
from glaze.planning.looks.wet import well_reflectance, wet_and_dry
from glaze.planning.recipe import naming, nearness
from glaze.planning.recipe.coats import in_coats
from glaze.planning.recipe.hue import read_hue
from glaze.planning.recipe.rungs import doubling_parts, ladders
from glaze.planning.recipe.shadow import drift_words, even_shadows
from glaze.planning.recipe.thinned import bottled
from glaze.planning.recipe.verdict import difference, hue_direction, verdict
from glaze.planning.recipe.wanted import wanted_lab
from glaze.planning.sheet import layout, order
from glaze.planning.sheet.amounts import bleach_amount, cockles, well_amount
from glaze.planning.sheet.layout import Arrangement, Border
from glaze.planning.sheet.place import Place, core_of, place_of
from glaze.planning.sheet.values import lost_borders, merging, reserve_of, value_plan

TABLE = table_of("lifting", "white cartridge")


def place(
    name: str, value: float = 5.0, area: float = 100.0, lab: Any = None, **more: Any
) -> Place:
    xyz = tuple(xyz_from_lab(np.array(lab or (50.0, 0.0, 0.0)), D65_XYZ))
    told = {"steps": (0,), "lightest": value, "darkest": value, "munsell": "", "words": ""}
    return Place(name, area_mm2=area, value=value, xyz=xyz, film=np.ones(1), **told | more)


def border(**changed: Any) -> Border:
    usual = Border(0, 1, length_mm=20.0, apart=0.2, de00=10.0, close=1.0, lined=0.0)
    return replace(usual, **changed)


def arrangement(places: list[Place], *borders: Border) -> Arrangement:
    return Arrangement(tuple(places), borders, np.zeros((1, 1), np.int32))


# Values


def test_a_sheet_in_few_values_by_area() -> None:
    # ends at 2 and 9.5, so of three steps the middle is 5.75, and halfway lie 3.875 and 7.625
    lay = arrangement([place("a", 3.8, 30.0), place("b", 3.9, 10.0), place("c", 7.7, 60.0)])
    plan = value_plan(lay)
    assert plan.shares[3] == pytest.approx((0.3, 0.1, 0.6))
    assert plan.places[3] == (0, 1, 2)
    # of five each is 1.875 wide: 2, 3.875, 5.75, 7.625, 9.5
    assert plan.shares[5] == pytest.approx((0.0, 0.4, 0.0, 0.6, 0.0))
    assert plan.note == "The light value leads."
    told = plan.as_dict(lay)["plans"]
    assert told["3"]["places"] == {"a": "dark", "b": "middle", "c": "light"}
    assert told["5"]["places"] == {"a": "dark", "b": "dark", "c": "light"}


@pytest.mark.parametrize(
    ("areas", "note"),
    [
        ((50, 1.9, 48.1), "middle is missing"),
        ((50, 2.0, 48.0), "The dark value leads"),
        ((33, 33, 34), "about alike"),
        ((30, 40.1, 29.9), "The middle value leads"),
        ((99, 0.5, 0.5), "middle and light are missing"),
    ],
)
def test_a_value_is_missing_under_a_fiftieth_and_leads_from_two_fifths(areas, note) -> None:
    values = (2.0, 5.75, 9.5)
    lay = arrangement([place(str(v), v, a) for v, a in zip(values, areas, strict=True)])
    assert note in value_plan(lay).note


def test_neighbours_merge_where_most_of_their_border_is_close_and_they_do_not_run_together() -> (
    None
):
    dark, light = place("dusk", 4.0), place("sky", 4.2)
    (found,) = merging(arrangement([light, dark], border(close=0.5, de00=3.0)))
    assert 'wants "dusk" darker or "sky" lighter' in found.text
    assert "0.2 steps apart over 20 mm, told apart by hue alone" in found.text
    for apart in ({"close": 0.49}, {"de00": 2.9}):
        assert merging(arrangement([light, dark], border(**apart))) == ()
    (lined,) = merging(arrangement([light, dark], border(lined=0.51)))
    assert "by the drawn line and by hue" in lined.text
    # bare paper is as light as it gets
    (bare,) = merging(arrangement([place("paper", 9.0, steps=()), place("sun", 8.9)], border()))
    assert '"sun" darker.' in bare.text
    longer = merging(arrangement([light, dark], border(), border(length_mm=30.0)))
    assert [m.border.length_mm for m in longer] == [30.0, 20.0]


def test_a_border_is_lost_from_plainly_apart_to_hardly_apart() -> None:
    # red and green of one lightness; two greys are as far apart to every eye
    red, green = place("red", lab=(55, 40, 30)), place("green", lab=(55, -25, 30))
    greys = place("grey", lab=(40, 0, 0)), place("pale", lab=(70, 0, 0))
    lay = arrangement([red, green, *greys], border(), border(one=2, other=3))
    for lost in lost_borders(lay):
        assert (lost.one, lost.other) == (0, 1)
        assert lost.de00 >= 12.0
        assert max(lost.seen.values()) < 5.0
    close = arrangement([place("a", lab=(55, 5, 0)), place("b", lab=(55, 0, 0))], border())
    assert lost_borders(close) == ()


@pytest.mark.parametrize(
    ("value", "ghost", "reserved"),
    [(8.8, "paper", False), (8.7, "near paper", False), (8.69, "paper", True),
     (9.0, "pale gold", True)],
)  # fmt: skip
def test_what_bleach_leaves_within_a_third_of_a_step_of_paper_is_paper(
    value, ghost, reserved
) -> None:
    found = reserve_of(place("dot", value), 9.0, ghost)
    assert (found is not None) == reserved
    if found:
        assert f"value {value:.1f} ({ghost}); bare paper is 9.0" in found.text


def test_a_place_tells_its_middle_and_a_tenth_from_either_end() -> None:
    values = np.linspace(2.0, 8.0, 101)  # tenths at 2.6 and 7.4, the middle at 5
    xyz = np.repeat(D65_XYZ[None] * 0.2, 101, axis=0)
    painting = SimpleNamespace(steps=[SimpleNamespace(name=n) for n in "abcd"])
    film = np.vstack([np.full(101, 0.5), np.full(101, 1.0), np.zeros(101), np.zeros(101)])
    found = place_of(painting, (0, 1), 12.0, xyz, values, film)
    assert (found.darkest, found.value, found.lightest) == pytest.approx((2.6, 5.0, 7.4))
    assert found.film.tolist() == [0.5, 1.0, 0.0, 0.0]
    assert found.name == "b over a"
    assert (
        place_of(painting, (0, 1, 2, 3), 1.0, xyz, values, film).name == "d over c over b and more"
    )
    assert place_of(painting, (), 1.0, xyz, values, film).name == "bare paper"
    told = found.as_dict()
    assert (told["value_from"], told["value_to"], told["steps"]) == (2.6, 7.4, [1, 2])


def test_the_core_of_a_place_has_all_four_neighbours() -> None:
    labels = np.zeros((5, 5), np.int32)
    labels[1:4, 1:4] = 1
    core = core_of(labels)
    assert core[2, 2]
    assert not core[1, 2]
    assert not core[0, 2]
    assert core[0, 0]  # the sheet's own edge parts nothing


@pytest.mark.parametrize("degrees", [0, 15, 30, 45, 70, 90])
def test_a_straight_border_is_as_long_whichever_way_it_runs(degrees: float) -> None:
    # through the middle of a disc 60 mm across, in samples of half a millimetre
    y, x = (np.indices((140, 140)) - 69.5) / 2
    turn = np.radians(degrees)
    labels = np.where(x * np.sin(turn) > y * np.cos(turn), 1, 0)
    labels[np.hypot(x, y) > 30] = -1
    assert _lone_border(labels).length_mm == pytest.approx(60, rel=0.03)


def test_a_round_border_is_its_circumference_long() -> None:
    y, x = (np.indices((140, 140)) - 69.5) / 2
    found = _lone_border(np.where(np.hypot(x, y) < 20, 1, 0))
    assert found.length_mm == pytest.approx(2 * np.pi * 20, rel=0.01)


def _lone_border(labels):
    painting = SimpleNamespace(per_mm=2.0, shape=labels.shape, line=None)
    grey = np.zeros((*labels.shape, 3))
    (found,) = layout._borders(painting, labels, grey, 2)
    return found


@pytest.mark.parametrize(("lightness", "close"), [(54.0, 1.0), (56.0, 0.0)])
def test_a_border_is_judged_by_what_lies_along_it(lightness: float, close: float) -> None:
    # two halves of 20 x 20 samples of half a millimetre; Munsell value is close to L*/10, so L* 54
    # against 50 is less than half a step apart, 56 is more
    labels = np.zeros((20, 20), np.int32)
    labels[:, 10:] = 1
    lab = np.zeros((20, 20, 3))
    lab[..., 0] = np.where(labels, lightness, 50.0)
    line = np.ones((20, 20), np.float32)
    line[:5, 10] = 0.2  # drawn along a quarter of it
    painting = SimpleNamespace(per_mm=2.0, shape=(20, 20), line=line)
    (found,) = layout._borders(painting, labels, lab, 2)
    assert (found.one, found.other) == (0, 1)
    assert found.length_mm == pytest.approx(10)
    assert found.apart == pytest.approx((lightness - 50) / 10, abs=0.03)
    assert (found.close, found.lined) == (close, 0.25)
    painting = SimpleNamespace(per_mm=2.0, shape=(8, 20), line=None)
    assert layout._borders(painting, labels[:8], lab[:8], 2) == ()  # 4 mm isn't judged


# Order


@pytest.mark.parametrize(
    ("change", "level"), [(1.99, None), (2.0, "slight"), (4.99, "slight"), (5.0, "strong")]
)
def test_what_is_dragged_is_told_from_two_on_and_strong_from_five(
    monkeypatch, change, level
) -> None:
    names = [SimpleNamespace(name=n, step=SimpleNamespace(liquid="ink"), loose_share=lambda t: 0.4)
             for n in ("red", "dusk")]  # fmt: skip
    paper = SimpleNamespace(mixing_mm=1.0)
    painting = SimpleNamespace(steps=names, table=SimpleNamespace(paper=paper))
    asked = []
    monkeypatch.setattr(
        order, "smear", lambda painting, layout, *two: asked.append(two) or (change, 20.0)
    )
    over = np.ones((2, 2), bool)
    found = order.risks(painting, None, over, over)
    assert asked == [(0, 1)]  # the upper one, wet, drags the lower
    assert [risk.level for risk in found] == ([level] if level else [])
    if found:
        assert (found[0].step, found[0].other, found[0].border_mm) == (1, 0, 20.0)
        assert '"dusk" crosses 20 mm of the edge of "red"' in found[0].text
        assert "about 1 mm over it (40 % dissolves again)" in found[0].text


@pytest.mark.parametrize(
    ("smears", "other", "told"),
    [(5.0, 2.9, "first, then"), (5.0, 3.0, "Either way"), (2.9, 5.0, "Keep it"),
     (3.0, 5.0, "Either way")],
)  # fmt: skip
def test_an_order_is_advised_where_it_drags_two_less(smears, other, told) -> None:
    assert told in order._advice("low", "high", smears, other)


def test_half_of_what_is_loose_is_dragged_just_beyond_an_edge(monkeypatch) -> None:
    # 0.4 dissolves again, the film there is 0.8: 0.16 lies beyond the edge the wet wash crosses
    shares = []
    stack = SimpleNamespace(
        lab=lambda: "clean",
        with_before=lambda wet, lower, share: shares.append((wet.name, lower.name, share)) or stack,
    )
    monkeypatch.setattr(order, "stack_of", lambda painting, place: stack)
    monkeypatch.setattr(order, "off", lambda clean, dirty: 3.0)
    steps = [SimpleNamespace(name=n, loose_share=lambda table: 0.4) for n in ("red", "dusk")]
    painting = SimpleNamespace(steps=steps, table=None)
    over, beyond = place("over", steps=(0, 1)), place("beyond", steps=(1,))
    over = replace(over, film=np.array([0.8, 1.0]))
    for one, other in ((over, beyond), (beyond, over)):
        lay = arrangement([one, other], border(), border(length_mm=5.0))
        assert order.smear(painting, lay, 0, 1) == (3.0, 25.0)
    assert shares == [("dusk", "red", pytest.approx(0.16))] * 4
    # nothing is dragged where the wet wash doesn't reach across
    dry = arrangement([over, place("bare", steps=())], border())
    assert order.smear(painting, dry, 0, 1) == (0.0, 0.0)


@pytest.mark.parametrize(("column", "meets"), [(4, True), (6, True), (7, False)])
def test_washes_meet_within_a_millimetre(monkeypatch, column: int, meets: bool) -> None:
    # samples of half a millimetre: one wash ends before the fifth, the other begins there or later
    there = np.zeros((2, 20, 20), bool)
    there[0, :, :5], there[1, :, column:] = True, True
    monkeypatch.setattr(order, "lies", lambda painting: there)
    step = SimpleNamespace(everywhere=False)
    steps = [SimpleNamespace(step=step, coverage=np.uint16(65535) * one) for one in there]
    over, beside = order.meetings(
        SimpleNamespace(steps=steps, shape=(20, 20), dpi=50.8, per_mm=2.0)
    )
    assert beside[0, 1] == beside[1, 0] == meets
    # 20 samples are 5 mm2 in common, over the 4 that count
    assert over[0, 1] == (column == 4)


# Bleach


def test_verdicts_count_a_quarter_step_as_reached() -> None:
    want = np.array([5.25, 5.26, 8.25, 8.26, 9.25, 9.26, np.nan, 0.0], np.float32)
    now, sure = np.full(8, 5.0, np.float32), np.full(8, 8.0, np.float32)
    words = [VERDICTS[n] for n in verdicts(want, now, sure, 9.0)]
    assert words == ["as it is", "lift", "lift", "reserve", "reserve", "can't", "", ""]


def test_the_gentler_plan_holds_less_neat_bleach() -> None:
    assert LiftPlan(4.0, 2).bleach_used == pytest.approx(0.4)  # 2 x 1 part in 5
    assert LiftPlan(0.0, 1).bleach_used == 1.0
    assert [plan.touches_words for plan in plans_of([9.0], 2)] == ["1 touch", "2 touches"]
    assert [(p.parts_water, p.touches) for p in plans_of([0.0, 4.0], 2)] == [
        *((0.0, 1), (0.0, 2), (4.0, 1), (4.0, 2)),
    ]


@pytest.mark.parametrize(
    ("want", "named"),
    [(7.0, 2), (8.4, 1), (8.46, 0), (None, 1), (9.9, 1)],
)
def test_the_gentlest_plan_that_surely_does_is_named(want, named) -> None:
    # neat once, 1 + 4 twice, 1 + 9 once hold 1, 0.4 and 0.1 of neat bleach; a value within 0.25
    # counts as reached, and of two within 0.1 of the lightest the gentler one is named
    plans = [LiftPlan(0.0, 1), LiftPlan(4.0, 2), LiftPlan(9.0, 1)]
    lifted = SimpleNamespace(lows=np.array([8.3, 8.2, 7.0]), values=np.array([8.8, 8.75, 8.0]))
    assert reach_regions._named(lifted, plans, want) == named


def test_the_middle_and_the_places_of_a_region() -> None:
    assert reach_regions._middle(np.array([5.0, 1.0, 3.0, 2.0, 9.0])) == 2
    cover = np.zeros((10, 10), np.uint16)
    cover[2:4] = 65535
    assert reach_regions._places(cover).tolist() == list(range(20, 40))
    faint = np.zeros((10, 10), np.uint16)
    faint[5, 5] = 20
    assert reach_regions._places(faint).tolist() == [55]
    many = np.full((40, 40), 65535, np.uint16)  # 1600 of which every fourth makes 400
    assert reach_regions._places(many).size == 400


# Recipes


def munsell(hue: float, value: float, chroma: float) -> nearness.Munsell:
    return nearness.Munsell(*(np.array([part], float) for part in (hue, value, chroma)))


def test_hue_is_kept_before_value_and_value_before_chroma(monkeypatch) -> None:
    # wanted 5B 5/8: a hue 6 off loses to a value 3 off, that to a chroma 5 off
    colours = {
        "turned": (61.0 + 10, 5.0, 8.0), "dark": (65.0, 2.0, 8.0), "dull": (66.0, 5.2, 3.0),
        "wanted": (65.0, 5.0, 8.0),
    }  # fmt: skip
    rows = np.array(list(colours.values()))
    seen = [nearness.Munsell(*rows[:3].T), nearness.Munsell(*rows[3:].T)]
    monkeypatch.setattr(nearness, "_munsell", lambda lab: seen.pop(0))
    off = nearness.hue_first(np.zeros((3, 3)), np.zeros(3))
    assert off[2] < off[1] < off[0]
    assert off[2] == pytest.approx(5.0)  # its chroma alone


def test_for_a_grey_being_grey_comes_first(monkeypatch) -> None:
    rows = np.array([(65.0, 5.0, 4.0), (15.0, 4.0, 0.5), (0.0, 5.0, 0.0)])
    seen = [nearness.Munsell(*rows[:2].T), nearness.Munsell(*rows[2:].T)]
    monkeypatch.setattr(nearness, "_munsell", lambda lab: seen.pop(0))
    off = nearness.hue_first(np.zeros((2, 3)), np.zeros(3))
    assert off[1] < off[0]


@pytest.mark.parametrize(
    ("de00", "told"),
    [(1.0, "can't tell"), (1.1, "hardly seen"), (2.0, "hardly seen"), (2.1, "don't reach it")],
)
def test_reached_is_within_two(de00, told) -> None:
    wanted = wanted_lab(np.array([50.0, 10.0, 10.0]))
    assert told in verdict(wanted, (50.0, 12.0, 10.0), de00, TABLE)
    far = verdict(wanted, (50.0, 30.0, 10.0), 10.1, TABLE)
    assert "in hue first" in far
    assert "in hue first" not in verdict(wanted, (50.0, 30.0, 10.0), 10.0, TABLE)
    # L* 99 is Munsell value 9.9; cartridge is about 9.3
    white = wanted_lab(np.array([99.0, 0.0, 0.0]))
    assert "Lighter than bare white cartridge" in verdict(white, (90.0, 0.0, 0.0), 5.0, TABLE)


def test_differences_in_a_painters_words() -> None:
    # greys: Munsell value is close to L*/10, so L* 61 is a step lighter than 51
    grey = wanted_lab(np.array([51.0, 0.0, 0.0]))
    assert difference(grey, (61.0, 0.0, 0.0)) == "1.0 value steps lighter"
    assert difference(grey, (41.0, 0.0, 0.0)) == "1.0 value steps darker"
    # C*ab is about 5.5 times Munsell chroma: 55 against 25 is more than 4 apart, 25 against 36 is 2
    blue = wanted_lab(np.array([51.0, 0.0, -36.0]))
    assert difference(blue, (51.0, 0.0, -25.0)) == "duller"
    assert difference(blue, (51.0, 0.0, -62.0)) == "much more vivid"
    # b* 36 at a* 0 is yellow (about 5Y); a* 25 with it is a red-yellow
    yellow = wanted_lab(np.array([61.0, 0.0, 46.0]))
    assert "towards red" in difference(yellow, (61.0, 24.0, 40.0))


@pytest.mark.parametrize(
    ("hue", "turn", "towards"),
    [(10.0, 5.0, "yellow"), (10.0, -5.0, "red"), (0.0, -5.0, "purple"), (2.0, 5.0, "red"),
     (65.0, 5.0, "purple"), (65.0, -5.0, "green"), (90.0, 5.0, "red"), (44.0, 3.0, "green")],
)  # fmt: skip
def test_a_hue_turns_towards_the_next_of_the_five_principal_hues(hue, turn, towards) -> None:
    # Munsell's circle of a hundred: 5R, 5Y, 5G, 5B, 5P at 5, 25, 45, 65, 85
    assert towards in hue_direction(hue, turn)


@pytest.mark.parametrize(
    ("off", "told"),
    [(2.0, "looks like"), (2.1, "is close to"), (5.0, "is close to"), (5.1, "in the direction of"),
     (10.0, "in the direction of"), (10.1, "No mix of these bottles comes near")],
)  # fmt: skip
def test_likeness_in_words(monkeypatch, off, told) -> None:
    monkeypatch.setattr(naming, "mix_text", lambda mix: "Red 1")
    assert told in naming._note("Mine", None, off, "")
    assert ", Red itself left out" in naming._note("Mine", None, off, "Red")


def look(hue: float = 5.0, chroma: float = 8.0) -> Look:
    return Look((0, 0, 0), (50.0, 0.0, 0.0), hue, 5.0, chroma, "")


def test_what_a_shadow_does_to_a_hue_in_words() -> None:
    assert drift_words(look(5.0, 8.0), look(7.0, 7.6)) == "hue and chroma stay"
    assert drift_words(look(5.0, 8.0), look(7.6, 8.0)) == "hue turns towards yellow"
    assert drift_words(look(5.0, 8.0), look(2.4, 8.0)) == "hue turns towards purple"
    assert drift_words(look(5.0, 8.0), look(5.0, 3.0)) == "chroma 8 to 3"
    assert drift_words(look(5.0, 8.0), look(5.0, 1.4)) == "chroma 8 to 1, reads as neutral"
    # a grey has no hue to turn
    assert drift_words(look(5.0, 1.4), look(60.0, 1.4)) == "hue and chroma stay"


def test_coats_and_parts_of_a_strength() -> None:
    assert in_coats(0.2) == (1, pytest.approx(4.0))  # 1 + 4 is a fifth
    assert in_coats(1.0) == (1, 0.0)
    assert in_coats(1.005) == (1, 0.0)  # a hundredth more isn't seen
    assert in_coats(1.5) == (2, pytest.approx(1 / 3))
    assert doubling_parts(7) == [0, 1, 2, 4, 8, 16, 32]


def rows(*chromas: float) -> list[AfterGlaze]:
    return [AfterGlaze(n, None, look(chroma=chroma)) for n, chroma in enumerate(chromas)]


def test_mud_is_told_before_it_comes() -> None:
    assert "stop before the first" in _note(rows(8, 1), 2, 3.0, 1)
    assert "stop after 2" in _note(rows(8, 4), 2, 3.0, 3)
    assert "More than half" in _note(rows(8, 3.9), 2, 3.0, None)
    assert "half" not in _note(rows(8, 4.0), 2, 3.0, None)
    assert "Room for 2 more of the last kind, down to value 3.0" in _note(rows(8, 8), 2, 3.0, None)
    assert "No room is left" in _note(rows(8, 8), 0, 3.0, None)
    assert rows(1.49)[0].reads_as_neutral
    assert not rows(1.5)[0].reads_as_neutral


# Wet, and years of light


def test_wet_paper_and_a_wet_well_by_their_models() -> None:
    found = wet_and_dry(TABLE, "water 1", read_hue("paper", TABLE))
    # cartridge returns about 0.856 at 555 nm, 0.03 of it from its surface, which water smooths:
    # 0.826/(1.7689 x 0.174 + 0.826) = 0.7285; Munsell value of Y = 72.85 is 8.72 (ASTM D1535, from
    # colour-science)
    from colour.notation import munsell_value_ASTMD1535

    value = float(munsell_value_ASTMD1535(72.85))
    assert found.looks["wet on paper"].value == pytest.approx(value, abs=0.03)
    assert found.lighter == pytest.approx(found.looks["dry"].value - value, abs=0.03)
    # Acid Blue 9, 5 mg/L: 0.815 in 1 cm at its 163 L/(g cm) peak (test_dyes.py), so 0.489 through
    # 3 mm and back: 0.85 x 10^-0.489
    well = well_reflectance(TABLE, {"Acid Blue 9": 0.005})
    assert well.min() == pytest.approx(0.85 * 10**-0.489, rel=0.02)
    assert well.max() == pytest.approx(0.85, rel=0.02)


def test_light_on_a_wall_by_the_year() -> None:
    # 150 lx, 10 h a day, 365 days: 0.5475 Mlx h; 3 Mlx h are 5.48 years
    found = keeping(TABLE, read_hue("Yellow", TABLE), (3.0,))
    assert found.rows[0].years_on_a_wall == pytest.approx(5.479, abs=0.001)
    # tartrazine's class 3 just shows at 3 Mlx h
    assert "just shows after 3 Mlx h, about 5.5 years on a wall" in found.note
    # a tenth of the thirty doses that take 95 %: 0.05^0.1
    assert share_left(9.0, 3) == pytest.approx(0.05**0.1)
    wall = swatch_of(TABLE, read_hue("Yellow", TABLE)).states[-1]
    assert wall.state == "after 5 years on a wall"
    kept = keeping(TABLE, read_hue("Yellow", TABLE), (5 * 0.5475,)).rows[0]
    assert wall.look.lab == pytest.approx(kept.look.lab, abs=1e-6)


def test_the_dye_of_the_weakest_class_goes_first() -> None:
    # Acid Blue 9 is 2.5 (ISO 105-B02), Acid Blue 93 put at 2, which just shows after 1 Mlx h:
    # 1.8 years of 0.5475
    note = keeping(TABLE, read_hue("Blue", TABLE), (1.0,)).note
    assert note.startswith("Acid Blue 93 goes first: it just shows after 1 Mlx h, about 1.8 years")


def laid(*recipes: str) -> float:
    sheet = bare_patches(TABLE)
    for recipe in recipes:
        glaze(TABLE, sheet, TABLE.mix(recipe))
    return float(value(TABLE, sheet)[0, 0])


def test_room_is_counted_while_a_glaze_darkens_by_a_quarter_step() -> None:
    wash = "Black 1 part + water 8 parts"
    values = [laid("Yellow 1", *[wash] * n) for n in range(1, 14)]
    drops = [before - after for before, after in pairwise(values)]
    found = room(TABLE, read_hue("Yellow 1", TABLE), [wash])
    # one is laid already
    assert found.left == next(n for n, drop in enumerate(drops) if drop < 0.25)
    assert 0 < found.left < 12
    assert found.darkest == pytest.approx(values[found.left], abs=1e-3)


def test_one_wash_for_all_is_the_middle_one_and_ladders_double_from_neat() -> None:
    hues = [read_hue(text, TABLE) for text in ("Yellow", "Red", "Blue")]
    even = even_shadows(TABLE, hues, 1.0)
    strengths = sorted(one.coats / (1 + one.parts_water) for one in even.shadows)
    assert even.one_for_all.parts_water == pytest.approx(1 / strengths[1] - 1)
    doubled = ladders(TABLE, read_hue("paper", TABLE), 5).doubling
    assert [rung.parts_water for rung in doubled] == [32, 16, 8, 4, 2, 1, 0]


# Amounts


def test_what_to_mix_has_two_fifths_to_spare() -> None:
    # 100 cm2 at 100 ml/m2 is 1 ml, so 1.4 are mixed: 28 drops of 1/20 ml; 20 to the ml by USP
    assert bleach_amount(0.0, 100.0, 100.0, 1).drops["bleach"] == 28
    assert bleach_amount(0.0, 100.0, 100.0, 2).drops["bleach"] == 56
    mix = TABLE.mix("Blue 1 ml + water 3 ml")
    assert well_amount("dusk", mix, 50.0, 2.0).mix_ml == pytest.approx(2.8)
    assert well_amount("dusk", mix, 50.0, 2.0).ml == pytest.approx({"Blue": 0.7, "water": 2.1})
    # half a millilitre is the least that can be stirred, 3 drops of bleach the least to count
    assert well_amount("dusk", mix, 1.0, 0.1).mix_ml == pytest.approx(0.5)
    assert bleach_amount(0.0, 0.1, 50.0, 1).drops == {"bleach": 3}


def test_water_of_two_fifths_of_the_paper_buckles_a_large_wash() -> None:
    assert cockles(100.0, 250.0, 20.0)
    assert not cockles(100.0, 251.0, 20.0)
    assert not cockles(100.0, 250.0, 19.9)


@pytest.mark.parametrize("text", ["dusk 1 + water 4", "night 2", "Blue 4 + Red 2 + water 1"])
def test_a_mix_is_told_by_its_bottles_in_the_fewest_drops(text: str) -> None:
    # 4 and 2 drops are 2 and 1; a well of a well's is of the same bottles
    wells = {"dusk": "Blue 4 + Red 2 + water 6", "night": "dusk 3 + water 1"}
    assert bottled(text, table_of("lifting", "white cartridge", wells=wells)) == "Blue 2 + Red 1"
