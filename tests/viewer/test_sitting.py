"""A whole sitting without a window: laying, taking back, reordering, and what the picture is then.

The picture of the sitting is always checked against `glaze preview` of the scene as it is saved.
"""

from __future__ import annotations

import gc
from dataclasses import replace
from weakref import ref

import numpy as np
import pytest
from scipy.ndimage import binary_erosion, center_of_mass
from small_scenes import LIFTED, SMALL

from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.region.records import Region
from glaze.scene.file import load_scene
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash
from viewer.core import drafting
from viewer.core.brush import FULL, Brush
from viewer.core.differences import changed_tiles
from viewer.core.keep import open_any, save
from viewer.core.laying import Laying
from viewer.core.opened import RESERVE
from viewer.core.sitting import Sitting
from viewer.core.views import View


@pytest.fixture
def open_scene(scene_folder):
    opened = []

    def make(text: str = SMALL) -> Sitting:
        make.folder = scene_folder(text)
        sitting = open_any(make.folder)
        opened.append(sitting)
        sitting.finish()
        return sitting

    yield make
    for sitting in opened:
        sitting.close()


def _picture(sitting: Sitting) -> np.ndarray:
    sitting.finish()
    return sitting.preview.pyramid.levels[0]


def _saved_picture(sitting: Sitting, folder) -> np.ndarray:
    """What `glaze preview` makes of the scene once it is saved."""
    save(sitting, folder)
    return render(resolve(load_scene(folder))).rgb


def _paint(sitting: Sitting, *points, size_mm: float = 4.0) -> Laying:
    sitting.hold(replace(sitting.hand, brush=Brush(size_mm=size_mm, hardness=0.4)))
    laying = Laying(sitting)
    laying.press(points[0])
    for point in points[1:]:
        laying.move([(point, 1.0)])
    laying.up()
    return laying


def test_an_opened_scene_is_pixel_for_pixel_what_preview_writes(open_scene):
    sitting = open_scene(LIFTED)
    expected = render(resolve(load_scene(sitting.home))).rgb
    assert np.array_equal(_picture(sitting), expected)


def test_a_stroke_becomes_the_next_step_and_is_saved_as_it_was_seen(open_scene, tmp_path):
    sitting = open_scene()
    _paint(sitting, (6, 6), (30, 26))
    assert [type(step) for step in sitting.scene.steps] == [Wash, Wash, Wash]
    assert sitting.chosen == 2
    seen = _picture(sitting).copy()
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))


def test_a_dot_lies_where_the_brush_came_down(open_scene):
    """Its middle, 30 mm from the left and 6 mm from the top; a pixel of 150 dpi is 0.17 mm."""
    sitting = open_scene()
    _paint(sitting, (30.0, 6.0))
    dot = sitting.masks[sitting.scene.steps[-1].name]
    top, left = center_of_mass(dot)
    assert ((left + 0.5) / 150 * 25.4, (top + 0.5) / 150 * 25.4) == pytest.approx((30, 6), abs=0.03)


def test_a_lift_is_painted_and_creeps_as_it_does_when_saved(open_scene, tmp_path):
    sitting = open_scene()
    sitting.hold(replace(sitting.hand, kind="lift", parts_water=2.0))
    _paint(sitting, (16, 10), (20, 22))
    assert isinstance(sitting.scene.steps[-1], Lift)
    seen = _picture(sitting).copy()
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))


def test_a_second_stroke_goes_on_with_the_step_in_hand(open_scene):
    sitting = open_scene()
    _paint(sitting, (6, 6), (12, 12))
    _paint(sitting, (20, 20), (28, 20))
    assert len(sitting.scene.steps) == 3


def test_letting_it_dry_makes_the_next_stroke_a_new_step(open_scene):
    sitting = open_scene()
    _paint(sitting, (6, 6), (12, 12))
    sitting.choose(None)
    _paint(sitting, (20, 20), (28, 20))
    assert len(sitting.scene.steps) == 4
    assert len({step.name for step in sitting.scene.steps}) == 4


def test_while_the_pen_moves_the_picture_is_that_of_the_film_without_its_edges(open_scene):
    sitting = open_scene()
    sitting.hold(replace(sitting.hand, edge="none", brush=Brush(size_mm=4, hardness=0.4)))
    laying = Laying(sitting)
    laying.press((6, 6))
    laying.move([((30, 26), 1.0)])
    moving = sitting.preview.pyramid.levels[0].copy()
    laying.up()
    finished = _picture(sitting)
    # what is put in at pen-up is the paper's tooth: a few per cent of the film, no place missing
    difference = np.abs(moving.astype(int) - finished.astype(int)).max(axis=-1)
    mask = sitting.masks[sitting.scene.steps[-1].region]
    assert difference[mask == 0].max(initial=0) == 0
    assert difference.max() < 40
    bare = render(resolve(load_scene(sitting.home))).rgb.astype(int)
    assert np.abs(moving - bare).max() > 3 * np.median(difference[mask > FULL // 2])


def test_everything_can_be_taken_back_and_done_again(open_scene):
    sitting = open_scene(LIFTED)
    pictures = [_picture(sitting).copy()]
    laying = _paint(sitting, (6, 6), (30, 26))
    pictures.append(_picture(sitting).copy())
    _paint(sitting, (30, 6), (6, 26))
    pictures.append(_picture(sitting).copy())
    sitting.do("coats", drafting.with_changed_step(sitting.draft, 0, coats=2))
    pictures.append(_picture(sitting).copy())
    sitting.do("move", drafting.with_step_moved(sitting.draft, 4, 0))
    pictures.append(_picture(sitting).copy())
    sitting.choose(None)
    laying.cut([(4, 4), (20, 4), (12, 20)])
    pictures.append(_picture(sitting).copy())
    for expected in reversed(pictures[:-1]):
        assert sitting.take_back()
        assert np.array_equal(_picture(sitting), expected)
    assert sitting.take_back() is None
    assert not sitting.changed or sitting.mask_numbers != sitting.saved_masks
    for expected in pictures[1:]:
        assert sitting.do_again()
        assert np.array_equal(_picture(sitting), expected)


def test_deeds_have_names(open_scene):
    sitting = open_scene()
    _paint(sitting, (6, 6), (12, 12))
    assert sitting.history.back_name == f"lay {sitting.scene.steps[-1].name}"
    sitting.hold(replace(sitting.hand, brush=Brush(damp=True)))
    laying = Laying(sitting)
    laying.press((8, 8))
    laying.up()
    assert sitting.history.back_name == f"take back from {sitting.scene.steps[-1].name}"


def test_painting_on_a_shared_region_leaves_the_other_steps_alone(open_scene, tmp_path):
    sitting = open_scene(LIFTED)
    assert sitting.scene.steps[1].region == sitting.scene.steps[3].region == "right"
    sitting.choose(1)
    _paint(sitting, (2, 30), (38, 30))
    assert sitting.scene.steps[3].region == "right"
    assert sitting.scene.steps[1].region != "right"
    seen = _picture(sitting).copy()
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))


def test_a_step_set_aside_is_not_painted_and_comes_back(open_scene):
    sitting = open_scene()
    whole = _picture(sitting).copy()
    sitting.do("set aside", drafting.with_step_laid(sitting.draft, 1, False))
    without = _picture(sitting).copy()
    assert not np.array_equal(whole, without)
    assert len(sitting.scene.steps) == 2
    sitting.do("lay again", drafting.with_step_laid(sitting.draft, 1, True))
    assert np.array_equal(_picture(sitting), whole)


def test_painting_on_a_step_that_was_set_aside_lays_it_again(open_scene, tmp_path):
    sitting = open_scene()
    sitting.do("set aside", drafting.with_step_laid(sitting.draft, 1, False))
    sitting.finish()
    sitting.choose(1)
    _paint(sitting, (15, 28), (33, 28))
    assert sitting.draft.aside == set()
    sitting.finish()
    seen = _picture(sitting).copy()
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))


def test_a_stroke_while_the_rest_is_still_being_settled_is_not_lost(open_scene, tmp_path):
    sitting = open_scene()
    _paint(sitting, (6, 6), (12, 12))
    # a soft region takes a while; the stroke ends before it is there
    region = Region(ellipse_mm=({"centre": (20, 16), "radii": (9, 9)},), soft_mm=6)
    draft = drafting.with_region(sitting.draft, "moon", region)
    sitting.do("moon", drafting.with_step(draft, sitting.hand.step("moon", "moon"), 0))
    _paint(sitting, (20, 20), (28, 20))
    seen = _picture(sitting).copy()
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))


def test_washes_stay_out_of_the_reserve_that_was_painted_before_them(open_scene):
    sitting = open_scene()
    sitting.reserving = True
    _paint(sitting, (10, 16), (30, 16))
    sitting.reserving = False
    assert len(sitting.scene.steps) == 2
    before = _picture(sitting).copy()
    Laying(sitting).cut([(5, 5), (35, 5), (35, 28), (5, 28)])
    stopped = sitting.masks[RESERVE] == FULL
    changed = (_picture(sitting) != before).any(axis=-1)
    assert stopped.any()
    # the drying line of the new wash may reach a little over the reserve's edge, never far in
    assert not changed[binary_erosion(stopped, iterations=4)].any()
    assert changed.mean() > 0.3


def test_a_reserve_that_was_taken_back_is_no_part_of_what_is_laid_then(open_scene, tmp_path):
    sitting = open_scene()
    sitting.reserving = True
    _paint(sitting, (10, 16), (30, 16))
    sitting.reserving = False
    sitting.take_back()
    Laying(sitting).cut([(5, 5), (35, 5), (35, 28), (5, 28)])
    assert np.array_equal(_picture(sitting), _saved_picture(sitting, tmp_path / "saved"))


def test_filling_an_enclosed_area_needs_one_point(open_scene, tmp_path):
    sitting = open_scene()
    Laying(sitting).fill((20, 30.5))
    with pytest.raises(InputError):
        Laying(sitting).fill((200, 200))
    sitting.finish()
    sitting.choose(None)
    Laying(sitting).fill((25, 20))
    sitting.finish()
    assert sitting.scene.regions[sitting.scene.steps[-1].region].enclosed_at_mm == ((25.0, 20.0),)
    seen = _picture(sitting).copy()
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))


def test_what_cannot_be_painted_changes_nothing(open_scene):
    sitting = open_scene()
    draft, told = sitting.draft, []
    sitting.told.connect(told.append)
    with pytest.raises(InputError, match="ink"):
        sitting.do("mix", drafting.with_changed_step(draft, 0, mix="Mauve 3"))
    assert sitting.draft == draft
    # a region off the sheet is noticed only while it is worked out: then it is told
    region = Region(polygon_mm=((200, 200), (210, 200), (210, 210)))
    sitting.do("region", drafting.with_region(draft, "off the sheet", region))
    sitting.finish()
    assert sitting.draft == draft
    assert sitting.history.back_name is None
    assert "off the sheet" in told[0]


def test_a_grade_follows_a_dragged_line(open_scene, tmp_path):
    sitting = open_scene()
    sitting.choose(0)
    laying = Laying(sitting)
    laying.grade((4, 4), (4, 28))
    seen = _picture(sitting).copy()
    assert sitting.scene.steps[0].graded.to_mm == (4, 28)
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))
    laying.flat()
    assert sitting.scene.steps[0].graded is None


def test_strokes_on_a_graded_wash_follow_its_grade(open_scene, tmp_path):
    sitting = open_scene()
    sitting.choose(1)
    _paint(sitting, (15, 28), (33, 28))
    seen = _picture(sitting).copy()
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))


def test_a_change_of_one_step_leaves_tiles_it_does_not_touch_alone(scene_folder):
    folder = scene_folder(
        SMALL.replace("[[4, 4], [20, 4], [20, 28], [4, 28]]", "[[0,0],[3,0],[0,3]]")
    )
    sitting = open_any(folder)
    sitting.finish()
    draft = drafting.with_changed_step(sitting.draft, 0, coats=2)
    after = sitting.settling.tried(draft)
    assert changed_tiles(sitting.painting, after) == {(0, 0)}
    assert changed_tiles(sitting.painting, sitting.painting) == set()
    sitting.close()


@pytest.mark.parametrize(
    "view",
    [
        View("values only"),
        View("five values"),
        View("three values"),
        View("without bleach"),
        View("all stirred"),
        View("bare sketch"),
        View("reserve"),
        View(light="A"),
        View(vision="deutan"),
        View(split=0.5),
    ],
)
def test_every_way_of_looking_shows_something_else_and_looking_back_is_the_same(open_scene, view):
    sitting = open_scene(LIFTED)
    usual = _picture(sitting).copy()
    sitting.look(view)
    assert not np.array_equal(_picture(sitting), usual)
    sitting.look(View())
    assert np.array_equal(_picture(sitting), usual)


def test_values_only_are_greys(open_scene):
    sitting = open_scene(LIFTED)
    sitting.look(View("values only"))
    greys = _picture(sitting)
    assert np.ptp(greys.astype(int), axis=-1).max() <= 1


def test_the_sketch_file_is_never_written(open_scene, tmp_path):
    sitting = open_scene()
    sketch = sitting.scene.file(sitting.scene.sketch)
    before, when = sketch.read_bytes(), sketch.stat().st_mtime_ns
    _paint(sitting, (6, 6), (30, 26))
    save(sitting, sitting.home)
    save(sitting, tmp_path / "other")
    assert sketch.read_bytes() == before
    assert sketch.stat().st_mtime_ns == when
    assert (tmp_path / "other" / "sketch.png").read_bytes() == before


def test_a_reserve_over_all_of_a_region_is_told_and_can_be_taken_back(open_scene):
    sitting = open_scene()
    sitting.reserving = True
    _paint(sitting, (30, 8), size_mm=2)
    sitting.reserving = False
    Laying(sitting).cut([(10, 10), (14, 10), (14, 14)])
    sitting.finish()
    before, told = _picture(sitting).copy(), []
    sitting.told.connect(told.append)
    sitting.reserving = True
    _paint(sitting, (8, 12), (20, 12), size_mm=12)
    sitting.finish()
    assert "empty" in told[0]
    sitting.take_back()
    assert np.array_equal(_picture(sitting), before)


def test_what_was_wholly_taken_back_leaves_no_trace_in_the_saved_scene(open_scene, tmp_path):
    sitting = open_scene()
    sitting.reserving = True
    _paint(sitting, (30, 8), size_mm=2)
    sitting.take_back()
    sitting.reserving = False
    _paint(sitting, (8, 8), size_mm=2)
    sitting.hold(replace(sitting.hand, brush=Brush(size_mm=20, hardness=1, damp=True, takes=1)))
    laying = Laying(sitting)
    laying.press((8, 8))
    laying.up()
    seen = _picture(sitting).copy()
    assert np.array_equal(seen, _saved_picture(sitting, tmp_path / "saved"))
    assert len(load_scene(tmp_path / "saved").steps) == 2


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_whatever_is_done_the_picture_is_that_of_the_saved_scene(open_scene, tmp_path, seed):
    # deeds at random, with the work in the background never waited for
    rng = np.random.default_rng(seed)
    sitting = open_scene(LIFTED)
    laying = Laying(sitting)

    def somewhere() -> tuple[float, float]:
        return float(rng.uniform(2, 38)), float(rng.uniform(2, 30))

    def stroke() -> None:
        damp = bool(rng.random() < 0.3)
        brush = Brush(size_mm=float(rng.uniform(1, 8)), hardness=float(rng.random()), damp=damp)
        kind = ["wash", "lift", "water lift"][int(rng.choice(3, p=[0.6, 0.25, 0.15]))]
        mix = ["Red 2 + water 5", "Blue 1 + Black 1 + water 9", "Yellow 1"][int(rng.integers(3))]
        sitting.hold(replace(sitting.hand, kind=kind, mix=mix, brush=brush))
        laying.press(somewhere())
        for _ in range(int(rng.integers(1, 5))):
            laying.move([(somewhere(), float(rng.random()))])
            sitting.tick(0.001)
        laying.up()

    def edit() -> None:
        number = int(rng.integers(len(sitting.scene.steps)))
        step = sitting.scene.steps[number]
        if isinstance(step, Wash):
            coats = int(rng.integers(1, 4))
            sitting.do("coats", drafting.with_changed_step(sitting.draft, number, coats=coats))

    def move() -> None:
        count = len(sitting.scene.steps)
        start, to = (int(n) for n in rng.integers(count, size=2))
        sitting.do("move", drafting.with_step_moved(sitting.draft, start, to))

    def aside() -> None:
        number = int(rng.integers(len(sitting.scene.steps)))
        laid = number in sitting.draft.aside
        sitting.do("aside", drafting.with_step_laid(sitting.draft, number, laid))

    def choose() -> None:
        number = int(rng.integers(-1, len(sitting.scene.steps)))
        sitting.choose(None if number < 0 else number)

    def reserve() -> None:
        sitting.reserving = not sitting.reserving

    deeds = [stroke] * 8 + [edit, move, aside, choose, choose, reserve]
    deeds += [sitting.take_back] * 3 + [sitting.do_again] * 2
    for _ in range(60):
        deeds[int(rng.integers(len(deeds)))]()
        sitting.tick(0.001)
    sitting.finish()
    seen = _picture(sitting).copy()
    saved = _saved_picture(sitting, tmp_path / "saved")
    assert np.array_equal(seen, saved)
    # everything taken back is the scene as it was opened
    while sitting.take_back():
        pass
    expected = render(resolve(load_scene(open_scene.folder))).rgb
    assert np.array_equal(_picture(sitting), expected)


def test_taking_back_puts_the_mix_of_the_step_in_hand_into_the_hand(open_scene):
    sitting = open_scene()
    first = sitting.scene.steps[0].mix
    sitting.choose(0)
    mixed = replace(sitting.hand, mix="Red 1 + Blue 1")
    sitting.do("mix", drafting.with_changed_step(sitting.draft, 0, mix=mixed.mix))
    sitting.hold(mixed)
    sitting.take_back()
    assert sitting.hand.mix == first
    sitting.do_again()
    assert sitting.hand.mix == mixed.mix


def test_taking_a_new_step_back_puts_into_the_hand_what_it_held_before(open_scene):
    sitting = open_scene()
    sitting.hold(replace(sitting.hand, mix="Blue 1 part"))
    Laying(sitting).fill((8, 8))
    sitting.do("mix", drafting.with_changed_step(sitting.draft, sitting.chosen, mix="Red 1 part"))
    sitting.hold(replace(sitting.hand, mix="Red 1 part"))
    sitting.take_back()
    sitting.take_back()
    assert sitting.chosen is None
    assert sitting.hand.mix == "Blue 1 part"


def test_what_only_deeds_bring_back_is_packed_and_comes_back_as_it_was(open_scene):
    """A sheet of 2 Mpx kept 4 MB of each painted region that any deed knew."""
    sitting = open_scene()
    _paint(sitting, (6, 6), (30, 26))
    region = sitting.scene.steps[-1].region
    mask, laid = ref(sitting.masks[region]), sitting.masks[region].copy()
    assert laid.any()
    number = len(sitting.scene.steps) - 1
    sitting.do("taken out", drafting.without_step(sitting.draft, number), chosen=None)
    for n in range(4):
        sitting.do(f"reordered {n}", drafting.with_step_moved(sitting.draft, 0, 1))
        sitting.finish()
    gc.collect()
    assert mask() is None
    assert sitting.history.size < 6 * 1024 + 0.05 * laid.nbytes
    while sitting.take_back() != "taken out":
        pass
    assert np.array_equal(sitting.masks[region], laid)
    with_it = _picture(sitting).copy()
    assert np.array_equal(with_it, _saved_picture(sitting, sitting.home.parent / "again"))
