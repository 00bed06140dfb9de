"""The picture while it is painted: small sizes, coarse first, then tiles from the middle."""

from __future__ import annotations

import numpy as np
import pytest
from small_scenes import LIFTED

from glaze.painting.settle import resolve
from glaze.physics.colour import srgb_decode
from glaze.physics.seeing import COLOUR_VISIONS
from glaze.pipeline import render
from glaze.scene.file import load_scene
from glaze.sheet.rect import Rect
from viewer.core.below import Below
from viewer.core.brush import Brush
from viewer.core.differences import changed_tiles
from viewer.core.drafting import with_changed_step
from viewer.core.hand import Hand
from viewer.core.keep import open_any
from viewer.core.laying import Laying
from viewer.core.preview import Preview
from viewer.core.pyramid import Pyramid, at_level, halved
from viewer.core.views import VISIONS, View

PARTS = [
    Rect(0, 0, 3, 3),
    Rect(940, 1170, 945, 1181),
    Rect(5, 7, 6, 900),
    Rect(0, 0, 945, 1181),
]


@pytest.fixture
def painting(scene_folder):
    return resolve(load_scene(scene_folder(LIFTED)))


@pytest.fixture
def large(scene_folder):
    """A sheet of many tiles."""
    text = (
        'format = 1\npalette = "lifting"\npaper = "white cartridge"\nsize_mm = [150, 120]\n'
        'dpi = 200\n[[step]]\nwash = "all"\nmix = "Blue 1 + water 3"\nregion = "sheet"\n'
    )
    return resolve(load_scene(scene_folder(text, "large")))


@pytest.fixture
def preview(large):
    found = Preview(large)
    yield found
    found.close()


def test_a_half_is_the_mean_light_of_four_pixels():
    rng = np.random.default_rng(5)
    picture = rng.integers(0, 256, (700, 900, 3)).astype(np.uint8)
    pyramid = Pyramid((700, 900))
    pyramid.put(pyramid.bounds, picture)
    assert [level.shape[:2] for level in pyramid.levels] == [(700, 900), (350, 450)]
    light = srgb_decode(picture / 255).reshape(350, 2, 450, 2, 3).mean(axis=(1, 3))
    found = srgb_decode(pyramid.levels[1] / 255)
    # half an 8-bit step of the brightest tone
    assert np.abs(found - light).max() < 0.005


def test_thin_lines_keep_their_mean_when_shown_small():
    # a line one pixel wide every 16 rows: dropped or doubled by taking every fourth pixel
    picture = np.full((1600, 1600, 3), 255, np.uint8)
    picture[5::16] = 0
    pyramid = Pyramid((1600, 1600))
    pyramid.put(pyramid.bounds, picture)
    small = pyramid.levels[2]
    assert srgb_decode(small / 255).mean() == pytest.approx(15 / 16, abs=0.002)


def test_a_rectangle_put_in_brings_every_level_up_to_date():
    rng = np.random.default_rng(6)
    whole, parts = Pyramid((1300, 1250)), Pyramid((1300, 1250))
    picture = rng.integers(0, 256, (1300, 1250, 3)).astype(np.uint8)
    whole.put(whole.bounds, picture)
    for top in range(0, 1300, 211):
        for left in range(0, 1250, 173):
            rect = Rect(top, left, min(top + 211, 1300), min(left + 173, 1250))
            parts.put(rect, picture[rect.slices])
    for a, b in zip(whole.levels, parts.levels, strict=True):
        assert np.array_equal(a, b)


@pytest.mark.parametrize(
    ("zoom", "level"), [(4, 0), (1, 0), (0.51, 0), (0.5, 1), (0.26, 1), (0.1, 3)]
)
def test_below_half_size_a_half_is_shown(zoom, level):
    assert Pyramid((2400, 2400)).level_for(zoom) == level


def test_levels_and_rectangles_agree():
    rect = Rect(13, 22, 91, 100)
    assert at_level(rect, 0) == rect
    assert at_level(rect, 2) == halved(halved(rect))


def test_a_coarse_picture_comes_at_once_and_is_near_the_finished_one(preview, large):
    preview.coarse(preview.visible)
    coarse = preview.pyramid.levels[0].astype(int).copy()
    preview.finish()
    finished = preview.pyramid.levels[0].astype(int)
    assert np.array_equal(finished, render(large).rgb)
    # the paper's tooth is all that a coarse picture of a flat wash misses
    assert np.abs(coarse - finished).mean() < 6


@pytest.mark.parametrize("level", [0, 1])
@pytest.mark.parametrize(
    "rect",
    [Rect(0, 0, 3, 3), Rect(940, 1170, 945, 1181), Rect(5, 7, 6, 900), Rect(0, 0, 945, 1181)],
)
def test_any_part_can_be_had_coarse_at_any_size(preview, rect, level):
    preview.level = level
    preview._coarse.rate = 2e5  # a slow machine: every part is worked out very coarse
    untouched = preview.pyramid.levels[level].copy()
    area = preview.coarse(rect)
    assert area.top <= rect.top
    assert area.bottom >= rect.bottom
    assert area.left <= rect.left
    assert area.right >= rect.right
    place = at_level(area, level)
    changed = (preview.pyramid.levels[level] != untouched).any(axis=-1)
    assert changed[place.slices].all()
    changed[place.slices] = False
    assert not changed.any()


def test_tiles_come_from_the_middle_of_what_is_seen(preview, monkeypatch):
    preview.visible = Rect(600, 800, 900, 1100)
    order, bands = [], preview._bands

    def begun(tile):
        order.append(tile)
        return bands(tile)

    # as they are begun: on a busy machine one that waits for its core ends long after others
    monkeypatch.setattr(preview, "_bands", begun)
    preview.finish()
    middle = (750, 950)
    first = order[0]
    assert first.top <= middle[0] < first.bottom or abs(first.top - middle[0]) <= 256
    assert first.left <= middle[1] < first.right or abs(first.left - middle[1]) <= 256
    seen = [r.bottom > 600 and r.top < 900 and r.right > 800 and r.left < 1100 for r in order]
    # those begun at the same time may be told in another order
    assert all(seen[: sum(seen) - 4])
    assert not any(seen[sum(seen) + 4 :])


def test_a_newer_change_makes_what_is_in_work_stale(preview, large):
    preview.finish()
    before = preview.pyramid.levels[0].copy()
    preview.show(large.until(0), coarse=False)
    preview.collect()  # tiles of the bare sheet are in work now
    preview.show(large, coarse=False)
    preview.finish()
    assert np.array_equal(preview.pyramid.levels[0], before)


def test_nothing_is_started_while_the_pen_is_down(preview):
    preview.finish()
    preview.begin_pixels(0)
    preview.touch(Rect(0, 0, 10, 10))
    preview.collect()
    assert preview.stale == {(0, 0)}
    preview.end_pixels()
    preview.finish()
    assert not preview.stale


def test_pixels_over_what_is_kept_below_look_as_in_the_whole(painting):
    whole = render(painting).rgb
    rng = np.random.default_rng(8)
    for first in range(len(painting.steps) + 1):
        if first == len(painting.steps) - 1:
            continue  # the wash over bleach: what is left of it works only once the pen is up
        below = Below(painting, first)
        above = painting.steps[first:]
        if any(getattr(step, "residue", None) for step in above):
            continue
        for _ in range(3):
            rows, columns = rng.integers(0, 150, 900), rng.integers(0, 230, 900)
            places = np.unique(np.stack([rows, columns]), axis=1)
            found = below.picture(places[0], places[1])
            assert np.array_equal(found, whole[places[0], places[1]])


def test_what_is_kept_below_grows_with_the_pixels_painted_on_only(large):
    below = Below(large, 1)
    below.picture(np.arange(100), np.arange(100))
    assert below._kept.bleached.shape[1] < large.shape[0] * large.shape[1] / 10
    assert below._used == 100
    below.picture(np.arange(150), np.arange(150))
    assert below._used == 150


def test_equal_paintings_differ_nowhere_and_another_paper_everywhere(scene_folder):
    folder = scene_folder(LIFTED)
    one, two = resolve(load_scene(folder)), resolve(load_scene(folder))
    assert changed_tiles(one, one) == set()
    assert changed_tiles(one, two) is None  # their lines were read twice
    other = load_scene(folder).model_copy(update={"paper": "white hot-pressed"})
    assert changed_tiles(one, resolve(other)) is None


def test_a_split_line_parts_two_ways_of_looking(painting):
    preview = Preview(painting, View(split=0.5))
    preview.finish()
    edge = round(painting.shape[1] * 0.5)
    picture = preview.pyramid.levels[0]
    assert np.array_equal(picture[:, :edge], render(painting.until(0)).rgb[:, :edge])
    assert np.array_equal(picture[:, edge:], render(painting).rgb[:, edge:])
    preview.close()


def test_every_colour_vision_has_a_word():
    assert set(VISIONS) - {None} == set(COLOUR_VISIONS)


def test_stacked_and_stirred_can_be_seen_beside_each_other(painting):
    preview = Preview(painting, View("all stirred", split=0.5, other="as it will look"))
    preview.finish()
    edge = round(painting.shape[1] * 0.5)
    picture = preview.pyramid.levels[0]
    assert np.array_equal(picture[:, :edge], render(painting).rgb[:, :edge])
    assert not np.array_equal(picture[:, edge:], render(painting).rgb[:, edge:])
    preview.close()


GRADED = (
    'format = 1\npalette = "lifting"\npaper = "white cartridge"\nsize_mm = [150, 120]\n'
    'dpi = 200\n[[step]]\nwash = "all"\nmix = "Blue 1 + water 3"\nregion = "sheet"\n'
    "graded = { from_mm = [0, 0], to_mm = [150, 120] }\n"
)


TO_A_TILES_EDGE = """
[[step]]
wash = "to the edge"
mix = "Red 1 + water 12"
region = { polygon_mm = [[45, 20], [65.024, 20], [65.024, 90], [45, 90]] }
edge = "none"
"""


@pytest.mark.parametrize(
    ("way", "named"),
    [("values only", "value"), ("five values", "five-values"), ("three values", "three-values")],
)
def test_a_plan_of_values_is_that_of_the_command_also_beside_a_change(scene_folder, way, named):
    steady = GRADED.replace("dpi = 200\n", 'dpi = 200\nhand = "steady"\n')
    sitting = open_any(scene_folder(steady + TO_A_TILES_EDGE, "graded"))
    sitting.look(View(way=way))
    sitting.finish()
    picture = sitting.preview.pyramid.levels[0]
    assert np.array_equal(picture, render(sitting.painting, view=named).rgb)
    # the tile beyond isn't painted on, and yet evened out with what was
    sitting.do("thin", with_changed_step(sitting.draft, 1, mix="Red 2 + water 1"))
    sitting.finish()
    assert np.array_equal(picture, render(sitting.painting, view=named).rgb)
    # a stroke is shown at once, and evened out once it is laid
    sitting.hold(Hand(mix="Red 1 + water 6", brush=Brush(size_mm=4, hardness=1)))
    laying = Laying(sitting)
    laying.press((100, 20))
    laying.move([((100, 60), 1.0)])
    laying.up()
    sitting.finish()
    assert np.array_equal(picture, render(sitting.painting, view=named).rgb)
    sitting.close()


CORNERS = """
[region.a]
polygon_mm = [[2, 2], [20, 2], [20, 20]]
[region.b]
polygon_mm = [[130, 2], [148, 2], [148, 20]]
[region.c]
polygon_mm = [[2, 118], [20, 118], [20, 100]]
[region.corners]
union = ["a", "b", "c"]
[[step]]
wash = "corners"
mix = "Red 1 + water 2"
region = "corners"
"""


def test_tiles_between_changed_ones_stay_as_they_are(scene_folder):
    sitting = open_any(scene_folder(GRADED + CORNERS, "corners"))
    sitting.finish()
    picture = sitting.preview.pyramid.levels[0]
    before = picture.copy()
    # timed as slow, so that what is coarse is as coarse as it gets
    sitting.preview._coarse.rate = 1e4
    sitting.do("thin", with_changed_step(sitting.draft, 1, mix="Red 1 + water 8"))
    while sitting.settling.worker.busy:
        sitting.settling.worker.poll()
    assert {(0, 0), (0, 1024), (768, 0)} <= sitting.preview.stale
    middle = Rect(256, 256, 768, 1024).slices
    assert np.array_equal(picture[middle], before[middle])
    sitting.finish()
    assert np.array_equal(picture, render(sitting.painting).rgb)
    sitting.close()
