"""The plan of a whole scene."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.materials.bleach import CAUTION, CAUTION_LINE
from glaze.painting.lay import sheet_at
from glaze.painting.settle import resolve
from glaze.patch.patches import lab, xyz
from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, munsell_value
from glaze.planning.asked import asked_of
from glaze.planning.sheet.layout import layout_of
from glaze.planning.sheet.order import meetings, smear
from glaze.planning.sheet.place import coarse, place_at
from glaze.planning.sheet.plan import Plan
from glaze.planning.sheet.planner import plan_of
from glaze.planning.sheet.stack import stack_of
from glaze.planning.sheet.values import STEPS, value_step
from glaze.scene.file import load_scene, read_text, scene_of
from glaze.sheet.rect import Rect

HEAD = """
format = 1
title = "Two fields"
palette = "{palette}"
paper = "white cartridge"
size_mm = [60, 40]
dpi = 101.6
"""
REGIONS = """
[region.left]
polygon_mm = [[0, 0], [30, 0], [30, 40], [0, 40]]
[region.right]
polygon_mm = [[30, 0], [60, 0], [60, 40], [30, 40]]
[region.middle]
polygon_mm = [[20, 10], [40, 10], [40, 30], [20, 30]]
[region.kept]
polygon_mm = [[0, 0], [30, 0], [30, 40], [0, 40]]
minus = ["middle"]
"""
TWO_FIELDS = """
[[step]]
wash = "yellow"
mix = "Yellow 3 + water 3"
region = "left"
edge = "none"
[[step]]
wash = "blue"
mix = "Blue 3 + water 3"
region = "right"
edge = "none"
[[step]]
wash = "shadow"
mix = "Black 3 + water 9"
region = "middle"
edge = "none"
[[step]]
lift = "dot"
region = { ellipse_mm = { centre = [10, 10], radii = [4, 4] } }
parts_water = 4
"""


@cache
def planned(steps: str, palette: str = "lifting") -> Plan:
    raw = read_text(HEAD.format(palette=palette) + REGIONS + steps)
    return plan_of(scene_of(raw, Path(".")))


def two_fields() -> Plan:
    return planned(TWO_FIELDS)


def test_places_are_the_sets_of_steps_that_lie_over_each_other() -> None:
    areas = {place.name: place.area_mm2 for place in two_fields().layout.places}
    # by hand: 30 x 40 each, 10 x 20 of either under the shadow, the dot's creeping edge apart
    assert areas["blue"] == pytest.approx(30 * 40 - 10 * 20)
    assert areas["shadow over yellow"] == pytest.approx(10 * 20)
    assert areas["shadow over blue"] == pytest.approx(10 * 20)
    assert areas["yellow"] + areas["dot over yellow"] == pytest.approx(30 * 40 - 10 * 20)
    assert "bare paper" not in areas


def test_a_places_value_is_that_of_the_painting_there() -> None:
    plan = two_fields()
    sheet = sheet_at(plan.painting, Rect(80, 40, 81, 41))  # 10 mm from the left, 20 mm down
    there = float(munsell_value(xyz(plan.painting.table, sheet)[0, 0, 1]))
    place = next(p for p in plan.layout.places if p.name == "yellow")
    assert place.value == pytest.approx(there, abs=0.02)
    assert place_at(plan.painting, 80, 40).value == pytest.approx(there, abs=1e-4)


def test_a_stack_lays_what_the_painting_lays() -> None:
    plan = two_fields()
    for place in plan.layout.places:
        assert stack_of(coarse(plan.painting), place).value() == pytest.approx(
            place.value, abs=0.02
        )


def test_borders_have_the_length_they_are_drawn_with() -> None:
    plan = two_fields()
    names = [place.name for place in plan.layout.places]
    lengths = {frozenset((names[b.one], names[b.other])): b.length_mm for b in plan.layout.borders}
    # 40 mm in all, of which 20 lie under the shadow; about its corners places aren't clear
    assert lengths[frozenset(("yellow", "blue"))] == pytest.approx(20, rel=0.06)
    shadows = frozenset(("shadow over yellow", "shadow over blue"))
    assert lengths[shadows] == pytest.approx(20, rel=0.06)
    assert frozenset(("yellow", "shadow over blue")) not in lengths


def test_steps_know_what_they_wait_for_and_why() -> None:
    yellow, blue, shadow, dot = two_fields().steps
    assert yellow.waits_for == ()
    assert "free to go down" in yellow.reason
    assert blue.waits_for == (1,)
    assert "neighbours" in blue.reason
    assert shadow.waits_for == (1, 2)
    assert "Darker than" in shadow.reason
    assert 1 in dot.waits_for
    assert "bone dry" in dot.reason
    assert dot.starts >= yellow.starts + yellow.minutes.all
    assert two_fields().minutes_at_best < two_fields().minutes


def test_neighbours_are_told_to_run_only_where_they_meet_without_a_gap() -> None:
    kinds = {(r.step, r.other): r.kind for r in two_fields().risks}
    assert kinds[(1, 0)] == "bleed"
    apart = planned(
        """
[[step]]
wash = "one"
mix = "Blue 3"
region = { polygon_mm = [[0, 0], [20, 0], [20, 40], [0, 40]] }
[[step]]
wash = "two"
mix = "Yellow 3"
region = { polygon_mm = [[40, 0], [60, 0], [60, 40], [40, 40]] }
"""
    )
    assert apart.risks == ()
    assert apart.steps[1].starts < apart.steps[0].minutes.all


def test_bleach_always_comes_with_its_caution() -> None:
    plan = two_fields()
    assert plan.bleaches
    told = plan.as_dict()
    assert told["caution"] == CAUTION
    assert CAUTION_LINE in told["steps"][3]["warnings"]
    assert plan.steps[3].ghost
    assert plan.steps[3].amount.drops["bleach"] >= 3
    text = json.dumps(told)
    for never in ("thiosulf", "neutralis", "peroxide"):
        assert never not in text.lower()


def test_a_wash_over_unrinsed_bleach_is_called_a_mistake() -> None:
    over = """
[[step]]
wash = "again"
mix = "Red 3 + water 6"
region = "left"
"""
    assert any("still active" in line for line in planned(TWO_FIELDS + over).mistakes)
    rinsed = '[[step]]\nrinse = "rinse"\n'
    assert any("rinsed, but" in line for line in planned(TWO_FIELDS + rinsed + over).mistakes)
    assert two_fields().mistakes == ()


def test_masking_fluid_is_kept_away_from_bleach() -> None:
    kept = planned(TWO_FIELDS.replace('region = "left"', 'region = "kept"'))
    assert any("ammonia" in line for line in kept.mistakes)
    assert not any("ammonia" in line for line in two_fields().mistakes)


def test_a_light_wash_over_a_dark_one_is_called_a_mistake() -> None:
    plan = planned(
        """
[[step]]
wash = "night"
mix = "Black 3"
region = "left"
[[step]]
wash = "moonlight"
mix = "Yellow 3 + water 9"
region = "left"
"""
    )
    assert any('"moonlight" is much lighter than "night"' in line for line in plan.mistakes)


CROSSING = """
[[step]]
wash = "red"
mix = "Red 3"
region = "left"
edge = "none"
[[step]]
wash = "shadow"
mix = "Black 3 + water 12"
region = "middle"
edge = "none"
"""


def test_what_is_dragged_across_an_edge_is_what_a_stirring_wash_brings_there() -> None:
    plan = planned(CROSSING)
    found = next(risk for risk in plan.risks if risk.kind == "re-wet")
    # second way: the whole painting stirred, read a quarter of a millimetre beyond the edge at 30
    row, column = 80, round(30.25 * 4)
    one = Rect(row, column, row + 1, column + 1)
    looks = [
        lab(plan.painting.table, sheet_at(plan.painting, one, stirred=stirred))[0, 0]
        for stirred in (False, True)
    ]
    stirred = float(delta_e_2000(*looks))
    told = smear(coarse(plan.painting), plan.layout, 0, 1)[0]
    assert told == pytest.approx(stirred, rel=0.35)
    assert found.border_mm == pytest.approx(20, rel=0.06)
    assert "one loaded stroke" in found.text


def test_both_orders_are_told_where_the_order_can_be_seen() -> None:
    plan = planned(CROSSING)
    red, shadow = CROSSING.split("[[step]]")[1:]
    other = planned(f"[[step]]{shadow}[[step]]{red}")
    choice = plan.choices[0]
    assert (choice.lower, choice.upper) == (0, 1)
    assert choice.other_smears == pytest.approx(
        smear(coarse(other.painting), other.layout, 0, 1)[0], rel=1e-3
    )
    places = [next(p for p in each.layout.places if len(p.steps) == 2) for each in (plan, other)]
    looks = [lab_from_xyz(place.xyz, D65_XYZ) for place in places]
    assert choice.de00 == pytest.approx(float(delta_e_2000(*looks)), abs=0.01)


def test_merging_neighbours_are_flagged_and_distant_ones_are_not() -> None:
    close = planned(
        """
[[step]]
wash = "one"
mix = "Red 3 + water 6"
region = "left"
edge = "none"
[[step]]
wash = "two"
mix = "Blue 3 + water 8"
region = "right"
edge = "none"
"""
    )
    values = [place.value for place in close.layout.places]
    assert abs(values[0] - values[1]) < 0.5
    assert len(close.merging) == 1
    assert "by hue alone" in close.merging[0].text
    far = planned(TWO_FIELDS)
    names = [place.name for place in far.layout.places]
    flagged = {frozenset((names[m.border.one], names[m.border.other])) for m in far.merging}
    assert frozenset(("yellow", "blue")) not in flagged


def test_values_are_sorted_as_the_picture_in_few_values_shows_them() -> None:
    from glaze.physics.colour import luminance_of_value
    from glaze.physics.seeing import few_values

    for steps in STEPS:
        greys = np.repeat(luminance_of_value(np.linspace(0.5, 9.9, 60))[:, None], 3, axis=1)
        shown = munsell_value(few_values(greys, steps)[:, 0])
        mine = [value_step(v, steps) for v in np.linspace(0.5, 9.9, 60)]
        ranks = np.unique(np.round(shown, 6), return_inverse=True)[1]
        assert list(ranks) == mine
    assert sum(two_fields().values.shares[5]) == pytest.approx(1.0)


def test_red_against_green_is_flagged_for_other_eyes() -> None:
    plan = planned(
        """
[[step]]
wash = "red"
mix = "Red 3 + Yellow 6 + water 9"
region = "left"
edge = "none"
[[step]]
wash = "green"
mix = "Yellow 6 + Blue 1 + water 8"
region = "right"
edge = "none"
"""
    )
    (told,) = plan.as_dict()["lost_to_other_eyes"]
    assert set(told["between"]) == {"red", "green"}
    assert told["de00"] > 12
    assert set(told["seen_de00"]) <= {"protan", "deutan"}
    assert max(told["seen_de00"].values()) < 5


def test_where_bleach_leaves_a_ghost_paper_is_to_be_reserved() -> None:
    stays = planned(
        """
[[step]]
wash = "pink"
mix = "Red 3"
region = "left"
[[step]]
lift = "dot"
region = { ellipse_mm = { centre = [10, 10], radii = [4, 4] } }
""",
        "resistant",
    )
    assert len(stays.reserves) == 1
    assert stays.reserves[0].value < stays.reserves[0].paper_value
    assert "reserve" in stays.reserves[0].text


def test_bottles_and_wells_add_up() -> None:
    wells = """
[well]
dusk = "Blue 4 + Red 2 + water 12"
"""
    steps = """
[[step]]
wash = "low"
mix = "dusk"
region = "left"
[[step]]
wash = "high"
mix = "dusk"
region = "right"
"""
    plan = planned(wells + steps)
    assert [step.amount.well for step in plan.steps] == ["dusk", "dusk"]
    taken = sum(step.amount.mix_ml for step in plan.steps)
    assert plan.wells["dusk"].mix_ml >= taken - 1e-6
    assert sum(plan.bottles_ml.values()) == pytest.approx(plan.wells["dusk"].mix_ml)


def test_a_stock_mix_thinned_again_is_counted_from_its_well() -> None:
    """A well of 4 drops of ink, 35 to the ml; 3 of them are 0.0857 ml. Nine parts of water are
    0.771 ml, 15 drops of 1/20 ml to the nearest: 0.836 ml, enough for a small wash, for which at
    least 0.5 are mixed."""
    plan = planned(
        """
[well]
dusk = "Blue 3 + Red 1"
[[step]]
wash = "veil"
mix = "dusk 1 part + water 9 parts"
region = "left"
"""
    )
    (veil,) = (step.amount for step in plan.steps)
    assert veil.text == "dusk 3 + water 15"
    assert veil.mix_ml == pytest.approx(3 / 35 + 15 / 20)
    assert veil.of_well_ml == pytest.approx(3 / 35)
    # and of the bottles no more is used than the well holds, beside the water of the wash
    assert sum(plan.bottles_ml.values()) == pytest.approx(plan.wells["dusk"].mix_ml + 15 / 20)


def test_a_well_that_is_all_water_is_thinned_without_a_word_of_its_ink() -> None:
    """None of its two drops is ink, so none can be one too many."""
    plan = planned(
        """
[well]
dew = "Blue 0 + water 4"
[[step]]
wash = "veil"
mix = "dew 1 + water 2"
region = "left"
"""
    )
    (veil,) = plan.steps
    assert sum(plan.bottles_ml.values()) == plan.bottles_ml.get("water", 0)
    assert not [told for told in veil.warnings if "ink" in told]


def test_bands_of_steps_hold_their_values() -> None:
    for step in two_fields().steps:
        assert step.value.low <= step.value.best <= step.value.high
        assert step.value.standing == "assumed"
    widths = [s.value.high - s.value.low for s in two_fields().steps]
    assert widths[2] > widths[0]  # thinned black is less sure than yellow


def test_a_scene_without_steps_or_regions_is_planned_as_bare_paper() -> None:
    raw = read_text(HEAD.format(palette="lifting"))
    plan = plan_of(scene_of(raw, Path(".")))
    assert plan.steps == ()
    assert [p.name for p in plan.layout.places] == ["bare paper"]
    assert plan.minutes == 0
    json.dumps(plan.as_dict())


def test_air_full_of_water_is_refused_and_nearly_full_takes_long() -> None:
    damp = "\n[room]\nhumidity_percent = {}\n"
    with pytest.raises(InputError, match="0 to 98"):
        scene_of(read_text(HEAD.format(palette="lifting") + damp.format(100)), Path("."))
    assert planned(damp.format(98) + TWO_FIELDS).minutes > 20 * two_fields().minutes


def test_the_plan_is_plain_json() -> None:
    told = json.loads(json.dumps(two_fields().as_dict()))
    assert [step["step"] for step in told["steps"]] == [1, 2, 3, 4]
    assert told["standing"] == "assumed"


def test_thin_lines_have_a_value_too() -> None:
    plan = planned(
        """
[[step]]
wash = "hair"
mix = "Black 3"
region = { pen_line_mm = { points = [[5, 5], [50, 35]], width = 0.3 } }
"""
    )
    assert plan.steps[0].value is not None
    assert plan.steps[0].value.best < 8


@pytest.mark.parametrize("name", ["lighthouse"])
def test_a_scene_of_ours_is_planned_whole(name: str) -> None:
    scene = load_scene(f"scenes/{name}")
    painting = resolve(scene, even=True)
    plan = plan_of(scene, painting)
    assert len(plan.steps) == len(scene.steps)
    areas = sum(place.area_mm2 for place in plan.layout.places)
    rows, columns = painting.shape
    assert areas == pytest.approx(rows * columns * (25.4 / painting.dpi) ** 2, rel=0.01)
    assert not [line for line in plan.mistakes if "still active" in line]


def test_a_region_of_a_scene_can_be_shaded_by_name(tmp_path) -> None:
    (tmp_path / "scene.toml").write_text(HEAD.format(palette="lifting") + REGIONS + TWO_FIELDS)
    asked = asked_of(str(tmp_path))
    right = asked.hue("right")
    blue = asked.hue("Blue 3 + water 3")
    from glaze.patch.patches import value

    values = [float(value(asked.table, hue.on(asked.table))[0, 0]) for hue in (right, blue)]
    assert values[0] == pytest.approx(values[1], abs=0.02)
    assert right.inks == ("Blue",)
    with pytest.raises(InputError, match="No ink, well or region"):
        asked.hue("nowhere")


def test_seeing_through_a_grid_keeps_the_sheets_size() -> None:
    painting = two_fields().painting
    small = coarse(painting)
    for full, seen in zip(painting.shape, small.shape, strict=True):
        assert seen * 25.4 / small.dpi == pytest.approx(full * 25.4 / painting.dpi, abs=0.5)
    assert layout_of(replace(small, line=None)).places


def test_a_line_drawn_with_an_ink_is_warned_of_and_no_step_of_the_plan(tmp_path) -> None:
    from PIL import Image

    sketch = np.full((160, 240), 255, np.uint8)
    sketch[80:84, 20:220] = 0
    Image.fromarray(sketch).save(tmp_path / "sketch.png", dpi=(101.6, 101.6))
    raw = read_text(
        HEAD.format(palette="lifting").replace("size_mm = [60, 40]", 'sketch = "sketch.png"')
        + 'line = "Black"\n'
        + REGIONS
        + TWO_FIELDS
    )
    plan = plan_of(scene_of(raw, tmp_path))
    assert [step.number for step in plan.steps] == [1, 2, 3, 4]
    assert any("drawn with Black, which dissolves" in line for line in plan.mistakes)
    steps = {n for risk in plan.risks for n in (risk.step, risk.other)}
    assert max(steps) <= 3
    assert all(max(place.steps, default=0) <= 3 for place in plan.layout.places)


def test_a_wash_of_water_alone_is_planned_like_any_other() -> None:
    plan = planned('\n[[step]]\nwash = "wet"\nmix = "water 1"\nregion = "sheet"\n')
    assert plan.steps[0].amount.parts == "water alone"
    assert plan.steps[0].value.best == pytest.approx(9.4, abs=0.1)
    assert plan.bottles_ml.keys() == {"water"}


TAKEN = """
format = 1
title = "A sun taken out of its sky"
palette = "lifting"
paper = "white cartridge"
size_mm = [60, 60]
dpi = 76.2
[region.sun]
ellipse_mm = { centre = [30, 30], radii = [14, 14] }
soft_mm = 8
[region.sky]
polygon_mm = [[0, 0], [60, 0], [60, 60], [0, 60]]
minus = ["sun"]
[region.cloud]
band_mm = { from = [30, 30], to = [60, 30], width = 12 }
soft_mm = 4
[[step]]
wash = "sun"
mix = "Yellow 1 + water 2"
region = "sun"
[[step]]
wash = "sky"
mix = "Blue 1 + water 4"
region = "sky"
[[step]]
wash = "cloud"
mix = "Black 1 + water 9"
region = "cloud"
"""


def test_a_region_taken_from_another_is_beside_it_and_not_over_it(tmp_path):
    (tmp_path / "scene.toml").write_text(TAKEN)
    over, beside = meetings(coarse(resolve(load_scene(tmp_path), even=True)))
    # the sun's soft edge is 8 mm wide, where sky and sun together make one film
    assert not over[0, 1]
    assert beside[0, 1]
    assert over[0, 2]
    assert over[1, 2]
