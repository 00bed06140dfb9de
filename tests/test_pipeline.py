"""The whole flow: scene to picture, whole and in parts."""

from __future__ import annotations

import numpy as np
import pytest
from small_scenes import LIFTED, SMALL

from glaze.errors import InputError
from glaze.painting.lay import sheet_at
from glaze.painting.settle import resolve
from glaze.physics.absorption import stack_reflectance
from glaze.picture.file import Picture
from glaze.pipeline import VIEWS, contact_sheet, linear_rgb, render
from glaze.scene.file import load_scene
from glaze.sheet.rect import Rect, whole

RECTS = [Rect(0, 0, 190, 236), Rect(33, 41, 34, 42), Rect(10, 60, 150, 190), Rect(100, 0, 190, 50)]


@pytest.fixture
def painting(scene_folder):
    return resolve(load_scene(scene_folder(LIFTED)))


@pytest.fixture
def washes(scene_folder):
    return resolve(load_scene(scene_folder(SMALL)))


def test_a_contact_sheet_has_as_many_pictures_across_as_down() -> None:
    # 40 high and 100 wide with 2 between: two across, the third below, white where none is left
    each = [
        Picture(np.full((40, 100, 3), n, np.uint8), 100, mapped_share=0.1 * n) for n in range(3)
    ]
    sheet = contact_sheet(each)
    assert sheet.rgb.shape == (40 + 2 + 40, 100 + 2 + 100, 3)
    assert [int(sheet.rgb[y, x, 0]) for y, x in ((0, 0), (39, 201), (42, 0), (81, 102))] == [
        *(0, 1, 2, 255)
    ]
    assert sheet.mapped_share == pytest.approx((0.0 + 0.1 + 0.2) / 3)


def test_before_and_after_stand_side_by_side_with_white_between(scene_folder, painting):
    bare = render(resolve(load_scene(scene_folder(SMALL[: SMALL.index("[[step]]")], "bare")))).rgb
    both = render(painting, view="before-after").rgb.astype(int)
    across = bare.shape[1]
    gutter = both.shape[1] - 2 * across
    assert 0 < gutter < across / 20
    assert np.abs(both[:, :across] - bare).max() <= 1  # of 255: rounding
    assert (both[:, across : across + gutter] == 255).all()
    assert np.abs(both[:, across + gutter :] - render(painting).rgb).max() <= 1


@pytest.mark.parametrize("rect", RECTS)
@pytest.mark.parametrize("stirred", [False, True])
def test_a_rectangle_alone_equals_that_rectangle_of_the_whole(painting, rect, stirred):
    everything = linear_rgb(painting, stirred=stirred)
    assert np.array_equal(linear_rgb(painting, rect, stirred=stirred), everything[rect.slices])


@pytest.mark.parametrize("rect", RECTS)
def test_a_rectangle_of_washes_equals_that_rectangle_of_the_whole(washes, rect):
    assert np.array_equal(render(washes, rect).rgb, render(washes).rgb[rect.slices])


GRADED = """
format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [40, 33]
dpi = 150
[[step]]
wash = "all"
mix = "Blue 1 + water 3"
region = "sheet"
graded = { from_mm = [0, 0], to_mm = [40, 0] }
"""


@pytest.mark.parametrize("rect", RECTS)
@pytest.mark.parametrize("view", ["value", "three-values", "five-values", "deutan"])
def test_a_rectangle_of_a_view_equals_that_rectangle_of_the_whole(scene_folder, rect, view):
    graded = resolve(load_scene(scene_folder(GRADED)))
    everything = render(graded, view=view).rgb
    assert np.array_equal(render(graded, rect, view=view).rgb, everything[rect.slices])


def test_any_tile_size_gives_the_same_picture(painting, monkeypatch):
    usual = render(painting).rgb
    monkeypatch.setattr("glaze.pipeline.TILE", 37)
    assert np.array_equal(render(painting).rgb, usual)


def test_any_number_of_threads_gives_the_same_picture(painting, monkeypatch):
    monkeypatch.setattr("glaze.pipeline.TILE", 50)
    usual = render(painting).rgb
    monkeypatch.setattr("glaze.painting.tile.cores", lambda: 1)
    assert np.array_equal(render(painting).rgb, usual)


def test_the_fused_path_agrees_with_the_kept_sheet(scene_folder):
    # the same washes as wash-by-wash sums and as dye-by-dye sums, float32 both; only washes whose
    # dyes don't part at an edge are laid in one pass
    washes = resolve(load_scene(scene_folder(SMALL.replace("[[step]]", '[[step]]\nedge = "none"'))))
    assert all(layer.flat_wash is not None for layer in washes.layers)
    rect = whole(washes.shape)
    sheet = sheet_at(washes, rect)
    table = washes.table
    A = sheet.optical_g_per_m2.astype(float) @ table.path_m2_per_g
    paper = table.paper
    R = stack_reflectance(A, table.paper_reflectance, paper.surface_reflectance, paper.path_spread)
    expected = R @ table.light.display_weights
    clear = washes.line == 1  # how a line looks over a wash: tests/painting/test_line.py
    assert clear.mean() > 0.5
    assert np.abs(linear_rgb(washes) - expected)[clear].max() < 1e-5


def test_nothing_painted_is_bare_paper_and_the_line_stays_crisp(scene_folder):
    text = SMALL[: SMALL.index("[[step]]")]
    bare = resolve(load_scene(scene_folder(text)))
    rgb = linear_rgb(bare)
    paper = bare.table.paper_reflectance @ bare.table.light.display_weights
    assert np.allclose(rgb[0, 0], paper, atol=1e-6)
    assert rgb[21, 100].max() < 0.02  # the drawn line


def test_a_lift_lightens_what_it_touches_and_nothing_else(painting):
    before = linear_rgb(painting.unlifted())
    after = linear_rgb(painting)
    # within the reach of the touch and its creep
    y, x = np.mgrid[:190, :236] * 25.4 / 150
    touched = np.hypot(x - 18, y - 16) < 3
    away = np.hypot(x - 18, y - 16) > 4 + painting.table.paper.creep_mm + 0.5
    luminance = np.array([0.2126, 0.7152, 0.0722])
    assert np.all(((after - before) @ luminance)[touched] > 0.02)
    assert np.array_equal(after[away], before[away])


def test_ink_laid_on_active_bleach_loses_colour(scene_folder):
    rinsed = LIFTED.replace(
        '[[step]]\nwash = "over it"', '[[step]]\nrinse = "rinse, blot"\n[[step]]\nwash = "over it"'
    )
    left = resolve(load_scene(scene_folder(LIFTED, "left")))
    gone = resolve(load_scene(scene_folder(rinsed, "gone")))
    blue = [dye.name for dye in left.table.dyes].index("Acid Blue 9")
    spot = Rect(94, 106, 95, 107)
    kept = sheet_at(left, spot).load_g_per_m2[0, 0, blue]
    laid = sheet_at(gone, spot).load_g_per_m2[0, 0, blue]
    assert kept < laid


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_gives_a_picture_at_any_scale(painting, view):
    small = render(painting, view=view, scale=0.5)
    assert small.rgb.dtype == np.uint8
    assert small.rgb.shape[0] == 95
    assert small.dpi == pytest.approx(75, rel=1e-3)


def test_the_value_view_is_grey(painting):
    rgb = render(painting, view="value").rgb
    assert np.ptp(rgb, axis=-1).max() <= 1


def test_scaling_averages_light_and_not_signals(washes):
    whole_light = linear_rgb(washes)
    small = render(washes, scale=0.5, bits=16).rgb / 65535
    light = np.where(small <= 0.04045, small / 12.92, ((small + 0.055) / 1.055) ** 2.4)
    blocks = whole_light[:190, :236].reshape(95, 2, 118, 2, 3).mean(axis=(1, 3))
    inside = (blocks >= 0).all(axis=-1) & (blocks <= 1).all(axis=-1)
    assert np.abs(light - blocks)[inside].max() < 1e-4


def test_an_unknown_view_is_told_with_the_known_ones(painting):
    with pytest.raises(InputError, match="before-after"):
        render(painting, view="after-before")


def test_progress_runs_from_nothing_to_all_and_can_stop_the_work(painting, monkeypatch):
    monkeypatch.setattr("glaze.pipeline.TILE", 40)
    shares: list[float] = []
    render(painting, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1

    class EnoughError(Exception):
        pass

    def stop(share):
        if share > 0.3:
            raise EnoughError

    with pytest.raises(EnoughError):
        render(painting, progress=stop)


def test_the_same_scene_gives_the_same_picture_twice(scene_folder):
    one = render(resolve(load_scene(scene_folder(LIFTED, "one"))), bits=16)
    other = render(resolve(load_scene(scene_folder(LIFTED, "other"))), bits=16)
    assert np.array_equal(one.rgb, other.rgb)
