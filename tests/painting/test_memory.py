"""Settling a scene again after a change: nothing stale comes back, nothing is done twice."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from small_scenes import LIFTED, write_sketch

from glaze.painting.settle import ground_of, regions_of, resolve
from glaze.pipeline import render
from glaze.region.cover import Cover
from glaze.scene.file import load_scene, scene_of
from glaze.sheet.memory import Memory, NotSettledError
from glaze.sheet.rect import Rect


@pytest.fixture
def scene(scene_folder):
    return load_scene(scene_folder(LIFTED))


def fields(painting):
    """Every array of a painting, by step and name."""
    found: dict[tuple[str, str], Any] = {("", "line"): painting.line}
    for layer in painting.layers:
        for name in layer.ARRAYS:
            found[layer.name, name] = getattr(layer, name)
    return found


def test_what_is_settled_is_used_again_and_gives_the_same_picture(scene):
    memory = Memory()
    first = resolve(scene, memory=memory)
    again = resolve(scene, memory=memory.closed())
    one, other = fields(first), fields(again)
    assert one.keys() == other.keys()
    assert all(one[key] is other[key] for key in one)
    assert np.array_equal(render(again).rgb, render(resolve(scene)).rgb)


def test_a_closed_memory_refuses_new_work(scene):
    with pytest.raises(NotSettledError):
        resolve(scene, memory=Memory().closed())


# ---- every input of a scene changed in turn

CHANGED = """\
format = 1
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"
dpi = 100

[region.left]
polygon_mm = [[2, 2], [20, 2], [20, 28], [2, 28]]
[region.spot]
ellipse_mm = { centre = [14, 15], radii = [8, 6] }
soft_mm = 0.5
[region.part]
union = ["spot"]
inside = ["left"]
[region.masked]
mask = "mask.png"

[[step]]
wash = "ground"
mix = "Yellow 2 + Red 1 + water 4"
region = "left"
graded = { from_mm = [2, 2], to_mm = [20, 28] }

[[step]]
wash = "cloud"
mix = "Blue 1 + water 8"
region = "masked"
graded = { picture = "grade.png" }

[[step]]
lift = "glint"
region = "part"
parts_water = 9

[[step]]
wash = "over"
mix = "Black 1 + water 6"
region = { polygon_mm = [[10, 4], [24, 6], [18, 26]], minus = ["spot"] }

[[step]]
water_lift = "soften"
region = "spot"

[[step]]
rinse = "at the end"
"""


def _grey(path: Path, values: np.ndarray) -> None:
    Image.fromarray(values.astype(np.uint8)).save(path)


def _pictures(folder: Path) -> None:
    write_sketch(folder / "sketch.png")
    with Image.open(folder / "sketch.png") as sketch:
        columns, rows = sketch.size
    across = np.linspace(0, 255, columns)[None, :] * np.ones((rows, 1))
    _grey(folder / "mask.png", across)
    _grey(folder / "grade.png", across[:, ::-1])


def _darken(name: str):
    def change(folder: Path, text: str) -> str:
        with Image.open(folder / name) as picture:
            values = np.asarray(picture.convert("L")).copy()
        values[: len(values) // 3, : len(values[0]) // 3] //= 2
        _grey(folder / name, values)
        return text

    return change


def _put(old: str, new: str):
    def change(folder: Path, text: str) -> str:
        assert old in text
        return text.replace(old, new, 1)

    return change


CHANGES = {
    "the sketch's picture": _darken("sketch.png"),
    "a mask's picture": _darken("mask.png"),
    "a grade's picture": _darken("grade.png"),
    "paper": _put('"white cartridge"', '"cream cartridge"'),
    "palette": _put('palette = "lifting"', 'palette = "resistant"'),
    "dpi": _put("dpi = 100", "dpi = 80"),
    "line": _put("dpi = 100", 'dpi = 100\nline = "Black"'),
    "light": _put("dpi = 100", 'dpi = 100\nlight = "A"'),
    "room": _put("[region.left]", "[room]\ntemperature_c = 30\n[region.left]"),
    "bleach": _put("[region.left]", "[bleach]\npercent = 2\n[region.left]"),
    "a polygon": _put("[20, 28]", "[22, 28]"),
    "an ellipse others are made from": _put("radii = [8, 6]", "radii = [9, 4]"),
    "softness": _put("soft_mm = 0.5", "soft_mm = 1.5"),
    "what it is inside of": _put('inside = ["left"]', 'inside = ["masked"]'),
    "a mix": _put("Yellow 2 + Red 1", "Blue 2 + Red 1"),
    "a grade's line": _put("to_mm = [20, 28]", "to_mm = [9, 9]"),
    "an edge": _put('mix = "Black 1 + water 6"', 'mix = "Black 1 + water 6"\nedge = "none"'),
    "coats": _put('mix = "Black 1 + water 6"', 'mix = "Black 1 + water 6"\ncoats = 3'),
    "a film": _put('mix = "Black 1 + water 6"', 'mix = "Black 1 + water 6"\nfilm_ml_per_m2 = 60'),
    "a step's name": _put('wash = "over"', 'wash = "shade"'),
    "a step's own region": _put("[18, 26]", "[14, 20]"),
    "bleach let down": _put("parts_water = 9", "parts_water = 2"),
    "minutes of water": _put('water_lift = "soften"', 'water_lift = "soften"\nminutes = 9'),
}


@pytest.mark.parametrize("even", [False, True], ids=["as it dries", "even"])
@pytest.mark.parametrize("name", CHANGES)
def test_no_change_of_any_input_brings_back_a_stale_field(tmp_path, name, even):
    _pictures(tmp_path)

    def read(text: str):
        import tomllib

        return scene_of(tomllib.loads(text), tmp_path)

    memory = Memory()
    resolve(read(CHANGED), memory=memory)
    resolve(read(CHANGED), memory=memory, even=True)
    scene = read(CHANGES[name](tmp_path, CHANGED))
    kept, fresh = resolve(scene, memory=memory, even=even), resolve(scene, even=even)
    one, other = fields(kept), fields(fresh)
    assert one.keys() == other.keys()
    for key in one:
        assert (one[key] is None) == (other[key] is None), key
        assert one[key] is None or np.array_equal(one[key], other[key]), key
    assert np.array_equal(render(kept).rgb, render(fresh).rgb)
    assert kept.notes == fresh.notes


# ---- regions under the brush


@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_step_settled_again_in_a_rectangle_equals_the_whole_settled_anew(scene, number):
    memory, steps = Memory(), list(scene.steps)
    mask = regions_of(scene, memory).cover(steps[number].region).mask.copy()
    steps[number] = steps[number].model_copy(update={"region": "brushed"})
    scene = scene.model_copy(update={"steps": tuple(steps)})
    painted = {"brushed": Cover(mask, ("painted", 1, 0))}
    painting = resolve(scene, memory=memory, painted=painted)
    rect = Rect(40, 50, 90, 120)
    mask[rect.slices] = np.linspace(0, 65535, 70).astype(np.uint16)
    anew = resolve(scene, painted={"brushed": Cover(mask.copy(), ("painted", 2, 0))})

    settled = painting.steps[number]
    ground = ground_of(painting, regions_of(scene, memory, painted), scene)
    reached = settled.again(ground, rect)
    assert reached.top <= rect.top
    assert reached.right >= rect.right
    for name in settled.ARRAYS:
        one, other = getattr(settled, name), getattr(anew.steps[number], name)
        assert (one is None and other is None) or np.array_equal(one, other)


def test_a_painted_region_goes_before_its_file_and_its_change_is_seen(scene):
    step = scene.steps[0]
    memory = Memory()
    mask = np.zeros(resolve(scene, memory=memory).shape, np.uint16)
    bare = resolve(scene, memory=memory, painted={step.region: Cover(mask, ("painted", 1, 0))})
    assert not bare.steps[0].film.any()
    mask[...] = 65535
    full = resolve(scene, memory=memory, painted={step.region: Cover(mask, ("painted", 1, 1))})
    assert full.steps[0].film.all()


def test_single_pixels_look_as_they_do_in_the_whole(scene):
    painting = resolve(scene)
    rng = np.random.default_rng(7)
    rows = rng.integers(0, painting.shape[0], (5, 300))
    columns = rng.integers(0, painting.shape[1], (5, 300))
    some = render(painting.taken((rows, columns))).rgb
    assert np.array_equal(some, render(painting).rgb[rows, columns])


def test_letting_go_keeps_what_the_kept_was_made_from(scene):
    memory = Memory()
    painting = resolve(scene, memory=memory)
    other = scene.model_copy(update={"steps": scene.steps[:1]})
    memory.only_for([step.key for step in painting.steps[:1]])
    resolve(replace_regions(other), memory=memory.closed())
    with pytest.raises(NotSettledError):
        resolve(scene, memory=memory.closed())


def replace_regions(scene):
    """The scene with only the regions its first step needs."""
    step = scene.steps[0]
    return scene.model_copy(update={"regions": {step.region: scene.regions[step.region]}})


def test_one_memory_serves_several_threads(scene):
    from concurrent.futures import ThreadPoolExecutor

    memory = Memory()
    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda _: resolve(scene, memory=memory), range(4)))
    whole = fields(resolve(scene))
    for painting in found:
        now = fields(replace(painting))
        assert all(np.array_equal(now[key], whole[key]) for key in whole)


def test_what_several_threads_want_is_worked_out_once():
    from concurrent.futures import ThreadPoolExecutor
    from time import sleep

    memory, made = Memory(), []

    def make():
        sleep(0.05)  # as long as others need to come and ask
        made.append(len(made))
        return made[-1]

    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda _: memory.made("a", make), range(4)))
    assert (found, made) == ([0, 0, 0, 0], [0])


def test_what_failed_is_tried_again_by_the_next():
    memory = Memory()
    with pytest.raises(ZeroDivisionError):
        memory.made("a", lambda: 1 // 0)
    assert memory.made("a", lambda: 2) == 2


def test_what_is_let_go_as_soon_as_it_is_kept_is_given_all_the_same():
    class Forgetful(dict):
        """As another thread that lets go of everything at once leaves it."""

        def __setitem__(self, key, thing):
            pass

    assert Memory(Forgetful()).made("a", lambda: 1) == 1
