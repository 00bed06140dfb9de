"""The six scenes: what each is there to show, read off the sheet it paints.

Facts of the trade are common practice, no source. Pins only tell that a picture has changed.
"""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting, resolve
from glaze.patch.patches import (
    bare_patches,
    bleach_patches,
    glaze,
    lab,
    value,
    xyz,
)
from glaze.patch.table import table_of
from glaze.physics.colour import delta_e_2000, lab_from_xyz, munsell_value
from glaze.pipeline import render
from glaze.scene.examples import example_names, scenes_folder
from glaze.scene.file import load_scene
from glaze.scene.records import Scene
from glaze.sheet.lift import Touches
from glaze.sheet.rect import Rect
from glaze.step.lift_step import Lift

PINS = Path(__file__).parent / "pinned"
NAMES = ("beetle", "ferry", "huts", "kettle", "lighthouse", "storm")
HUTS = ("blue", "violet", "red", "orange", "yellow", "green")


@cache
def scene(name: str) -> Scene:
    return load_scene(scenes_folder() / name)


@lru_cache(maxsize=1)  # a painting of A4 takes up to 1 GB: one at a time, even ones last
def painting(name: str, even: bool = False) -> Painting:
    return resolve(scene(name), even=even)


def rect_at(painted: Painting, x_mm: float, y_mm: float, size_mm: float) -> Rect:
    """A square of the sheet, in pixels, round a place in mm."""
    per_mm = painted.dpi / 25.4
    sides = (y_mm - size_mm / 2, x_mm - size_mm / 2, y_mm + size_mm / 2, x_mm + size_mm / 2)
    return Rect(*(round(side * per_mm) for side in sides))


def read(painted: Painting, place: tuple[float, float], size_mm: float = 1.0):
    """Munsell value and L*, a*, b* of the ink at a place, its line left out."""
    sheet = sheet_at(painted, rect_at(painted, *place, size_mm))
    mean = xyz(painted.table, sheet).reshape(-1, 3).mean(axis=0)
    colour = lab_from_xyz(mean, painted.table.light.white_xyz)
    return float(munsell_value(mean[1])), colour


def value_at(painted: Painting, place: tuple[float, float], size_mm: float = 1.0) -> float:
    return read(painted, place, size_mm)[0]


def chroma(colour) -> float:
    return float(np.hypot(colour[1], colour[2]))


def hue(colour) -> float:
    return float(np.degrees(np.arctan2(colour[2], colour[1])) % 360)


def test_the_scenes_come_with_the_program():
    assert example_names() == NAMES


@pytest.mark.parametrize("name", [name for name in NAMES if name != "storm"])
def test_a_scene_that_plans_bleach_says_how_to_stay_safe(name):
    text = (scenes_folder() / name / "scene.toml").read_text(encoding="utf-8")
    assert any(isinstance(step, Lift) for step in scene(name).steps)
    for word in ("window open", "gloves", "eye protection", "never acids", "ammonia"):
        assert word in text, word


def assert_as_pinned(name: str) -> None:
    """Only a pin: tells that a picture has changed, not that it was right.

    Tolerance: 1.5 of 255 in the mean and 16 at worst, room for another machine's rounding.
    """
    small = render(painting(name), scale=0.05).rgb
    with Image.open(PINS / f"{name}.png") as picture:
        pinned = np.asarray(picture.convert("RGB"), dtype=int)
    assert small.shape == pinned.shape
    off = np.abs(small.astype(int) - pinned)
    assert off.mean() < 1.5
    assert off.max() <= 16


class TestLighthouse:
    beam, beside, lantern = (20.0, 48.0), (20.0, 30.0), (82.6, 49.5)

    def test_only_a_pin_the_small_picture_is_as_it_was(self):
        assert_as_pinned("lighthouse")

    def test_the_weak_beam_is_lighter_than_the_sky_and_darker_than_the_reserved_lantern(self):
        painted = painting("lighthouse")
        sky, beam = (value_at(painted, place) for place in (self.beside, self.beam))
        assert beam - sky > 2.0
        assert value_at(painted, self.lantern) - beam > 0.5

    def test_the_beam_lifts_each_dye_of_the_sky_unevenly_and_turns_its_hue(self):
        painted = painting("lighthouse")
        rect = rect_at(painted, *self.beam, 1.0)
        load = sheet_at(painted, rect).load_g_per_m2.mean(axis=(0, 1))
        before = sheet_at(painted.unlifted(), rect).load_g_per_m2.mean(axis=(0, 1))
        laid = before > 1e-4
        left = load[laid] / before[laid]
        assert left.max() > 5 * left.min()
        turned = hue(read(painted, self.beam)[1]) - hue(read(painted.unlifted(), self.beam)[1])
        assert abs(turned) > 30

    def test_one_shadow_costs_the_white_bands_over_a_step_more_than_the_red(self):
        painted = painting("lighthouse")
        drop = {
            band: value_at(painted, (80, y)) - value_at(painted, (93.5, y))
            for band, y in (("white", 97), ("red", 121))
        }
        assert 1.0 < drop["white"] - drop["red"] < 3.0

    def test_bleach_brings_the_gulls_back_and_turns_the_windows_gold(self):
        painted = painting("lighthouse")
        assert value_at(painted, (34.4, 79)) > 9.2
        _, window = read(painted, (82.7, 102.2), 0.6)
        assert chroma(window) > 15
        assert 80 < hue(window) < 110


class TestHuts:
    def test_only_a_pin_the_small_picture_is_as_it_was(self):
        assert_as_pinned("huts")

    def test_where_the_shadow_lies_twice_it_is_darker_and_the_second_costs_less(self):
        painted = painting("huts")
        for i, name in enumerate(HUTS):
            lit, once, twice = (
                value_at(painted, (x + 45 * i, y), 1.5)
                for x, y in ((46, 112), (25, 112), (25, 100.4))
            )
            assert twice < once - 0.25, name
            assert lit - once > once - twice, name

    def test_one_dot_of_bleach_leaves_six_ghosts_lighter_than_their_doors(self):
        painted = painting("huts")
        dots = [read(painted, (37 + 45 * i, 131), 1.5) for i in range(6)]
        doors = [value_at(painted.unlifted(), (37 + 45 * i, 131), 1.5) for i in range(6)]
        for (lifted, _), door in zip(dots, doors, strict=True):
            assert lifted > door + 0.2
        paper = value_at(painted.until(0), (37, 131))
        assert all(lifted < paper for lifted, _ in dots)
        apart = [float(delta_e_2000(a[1], b[1])) for n, a in enumerate(dots) for b in dots[n + 1 :]]
        assert min(apart) > 1.0  # one can tell each from each

    def drops(self) -> dict[str, float]:
        painted = painting("huts", even=True)
        return {
            name: value_at(painted, (x + 22, 112), 2) - value_at(painted, (x, 112), 2)
            for x, name in zip(range(24, 294, 45), HUTS, strict=True)
        }

    def test_one_shadow_makes_six_different_drops_most_on_yellow_least_on_violet(self):
        drops = self.drops()
        assert max(drops, key=drops.__getitem__) == "yellow"
        assert min(drops, key=drops.__getitem__) == "violet"
        assert drops["yellow"] > 3 * drops["violet"]
        assert np.diff(sorted(drops.values())).min() > 0.05


class TestKettle:
    places = ((100, 185), (122, 188), (138, 200), (150, 204))

    def test_only_a_pin_the_small_picture_is_as_it_was(self):
        assert_as_pinned("kettle")

    def test_the_third_crescent_goes_neutral(self):
        values, chromas = zip(
            *((v, chroma(c)) for v, c in (read(painting("kettle"), p) for p in self.places)),
            strict=True,
        )
        assert values[0] > values[1] > values[2] > values[3]
        assert chromas[3] < 25 < chromas[2] < chromas[1] < chromas[0]
        assert chromas[3] < chromas[0] / 3

    def test_the_hob_lifts_to_a_warm_ghost_and_not_to_paper(self):
        painted = painting("kettle")
        bar, colour = read(painted, (60, 238.7), 0.3)
        assert value_at(painted, (20, 190)) < 3.2
        assert bar > 8.0
        assert 70 < hue(colour) < 105
        assert chroma(colour) > 2 * chroma(read(painted, (65, 183))[1])

    def test_on_cream_paper_the_bleached_window_comes_out_lighter_than_the_reserved_one(self):
        painted = painting("kettle")
        bleached, bare = (value_at(painted, place) for place in ((65, 183), (80, 183)))
        assert 0.05 < bleached - bare < 0.5

    def test_weak_bleach_runs_out_on_the_hob_and_leaves_it_red_brown(self):
        mirrored, colour = read(painting("kettle"), (98, 247.6), 0.6)
        assert mirrored < 7.0
        assert 20 < hue(colour) < 70


class TestBeetle:
    def test_only_a_pin_the_small_picture_is_as_it_was(self):
        assert_as_pinned("beetle")

    def hatched(self, painted: Painting, stroke: int):
        """Colour halfway along a stroke of the hatching: 3 is on the green case, 10 on the red."""
        middle = scene("beetle").regions["hatching"].pen_line_mm[stroke].points[1]
        return read(painted, middle, 0.2)

    def test_one_bleach_leaves_two_ghosts_on_the_two_wing_cases(self):
        green, red = (self.hatched(painting("beetle"), stroke) for stroke in (3, 10))
        assert green[0] - red[0] > 0.5
        assert float(delta_e_2000(green[1], red[1])) > 8.0

    def test_a_line_of_0_3_mm_grows_by_its_halo(self):
        painted, line = painting("beetle"), scene("beetle").regions["hatching"].pen_line_mm[3]
        x, y = line.points[1]
        rect = rect_at(painted, x, y, 0.9)  # neighbours are 1.4 mm away
        bands = [sheet_at(p, rect) for p in (painted, painted.unlifted())]
        light = [munsell_value(xyz(painted.table, sheet)[..., 1]) for sheet in bands]
        rise = light[0] - light[1]
        width_mm = (rise > 0.1).mean(axis=1).mean() * 0.9
        assert line.width == 0.3
        assert 0.4 < width_mm < 0.3 + 2 * painted.table.paper.creep_mm

    def test_the_resistant_red_keeps_a_pink_or_violet_ghost_where_the_azo_red_goes(self):
        ghosts = {}
        for palette in ("lifting", "resistant"):
            table = table_of(palette, "white hot-pressed")
            sheet = bare_patches(table)
            glaze(table, sheet, table.mix("Blue 3 + Yellow 5 + water 3"))
            glaze(table, sheet, table.mix("Red 1 part + water 4 parts"))
            bleach_patches(table, sheet, Touches(parts_water=4, tool="dip pen"))
            ghosts[palette] = value(table, sheet).item(), lab(table, sheet).ravel()
        assert ghosts["lifting"][0] - ghosts["resistant"][0] > 1.0
        assert 280 < hue(ghosts["resistant"][1]) < 350
        assert chroma(ghosts["resistant"][1]) > chroma(ghosts["lifting"][1])

    def test_a_reserved_vein_and_a_bleached_one_end_near_the_same_paper(self):
        painted = painting("beetle")
        bare, bleached = (value_at(painted, p, 0.4) for p in ((40.8, 145.2), (34.8, 164.6)))
        assert abs(bare - bleached) < 0.2


class TestFerry:
    rungs = (
        ("sky", (40, 6)),
        ("shore", (240, 75)),
        ("water", (200, 86)),
        ("deck", (110, 202)),
        ("lamps", (64, 77.6)),
    )

    def test_only_a_pin_the_small_picture_is_as_it_was(self):
        assert_as_pinned("ferry")

    def test_the_plan_has_five_rungs_in_order(self):
        values = [value_at(painting("ferry"), place) for _, place in self.rungs]
        assert np.diff(values).min() > 0.3, values
        assert values[-1] - values[0] > 5.5

    def test_shore_and_sky_merge_at_the_horizon(self):
        painted = painting("ferry")
        assert abs(value_at(painted, (210, 64)) - value_at(painted, (240, 75))) < 0.5

    def test_each_further_touch_gives_less(self):
        table = painting("ferry").table
        sheet = bare_patches(table)
        glaze(table, sheet, table.mix("Blue 1 part + Separating Black 1 part + water 6 parts"))
        values = [value(table, sheet).item()]
        for _ in range(3):
            bleach_patches(table, sheet, Touches(parts_water=19))
            values.append(value(table, sheet).item())
        gains = np.diff(values)
        assert gains[0] > gains[1] > gains[2] > 0

    def test_the_same_touch_reaches_further_where_less_ink_lies(self):
        painted, plan = painting("ferry"), scene("ferry").regions
        touched_once = painted.until(
            [step.name for step in painted.steps].index("their heart, again")
        )
        deck = value_at(touched_once, plan["reflections on the deck"].ellipse_mm[2].centre, 0.3)
        far_end = plan["reflections, far end"].pen_line_mm[2].points[1]
        water = value_at(touched_once, far_end, 0.3)
        rain_in_the_sky = value_at(touched_once, self._middle("rain", 3), 0.2)
        assert deck > water + 0.5 > rain_in_the_sky + 1.0

    def _middle(self, region: str, stroke: int) -> tuple[float, float]:
        (x0, y0), (x1, y1) = scene("ferry").regions[region].pen_line_mm[stroke].points
        return (x0 + x1) / 2, (y0 + y1) / 2

    def test_the_drying_line_of_the_sky_is_darker_and_its_dyes_part_there(self):
        sky = painting("ferry", even=True).until(4)  # lamps, lamplight, sky, shore
        rim, middle = (
            sheet_at(sky, rect_at(sky, 282.5, y, size)).load_g_per_m2.mean(axis=(0, 1))
            for y, size in ((74.6, 0.3), (64, 2))
        )
        laid = middle > 0.001
        gain = rim[laid] / middle[laid]
        mobility = np.array([dye.mobility for dye in sky.table.dyes])[laid]
        assert 1.05 < gain.min() < gain.max() < 1.6
        assert gain[mobility.argmax()] > gain[mobility.argmin()] + 0.05
        assert value_at(sky, (282.5, 74.6), 0.3) < value_at(sky, (282.5, 64), 2) - 0.2


class TestStorm:
    """A sky laid in one go, wet into wet."""

    def test_only_a_pin_the_small_picture_is_as_it_was(self):
        assert_as_pinned("storm")

    def test_the_blue_stays_blue_where_the_light_has_run_out(self):
        above, below = (read(painting("storm"), (x, y), 2)[1] for x, y in ((60, 8), (60, 80)))
        assert above[2] < -10 < 20 < below[2]  # b*: blue, yellow

    def test_the_cloud_meets_the_light_along_a_soft_edge_where_it_would_be_a_hard_one_dry(self):
        painted = painting("storm", even=True)
        down = [value_at(painted, (140, y), 0.4) for y in np.arange(42, 60, 0.5)]
        assert down[-1] > down[0] + 2.0
        assert np.abs(np.diff(down)).max() < 0.35 * (down[-1] - down[0])  # over millimetres

    def test_clean_water_makes_the_cloud_paler_where_it_was_dropped(self):
        painted = painting("storm", even=True)
        assert value_at(painted, (150, 32)) > value_at(painted, (132, 34)) + 0.2
