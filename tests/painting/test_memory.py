"""Settling a scene again after a small change, as a viewer does while somebody paints."""

from __future__ import annotations

import numpy as np
import pytest
from small_scenes import LIFTED

from glaze.painting.memory import NotSettledError, Settled
from glaze.painting.settle import LaidStep, LiftStep, Settler, resolve
from glaze.pipeline import render
from glaze.scene.file import load_scene
from glaze.sheet.rect import Rect


@pytest.fixture
def scene(scene_folder):
    return load_scene(scene_folder(LIFTED))


def _fields(painting):
    for step in painting.steps:
        for name in ("coverage", "thickness", "rim", "dose"):
            if (field := getattr(step, name, None)) is not None:
                yield step.name, name, field


def test_what_is_settled_is_used_again_and_gives_the_same_picture(scene):
    settled = Settled()
    first = resolve(scene, settled=settled)
    settled.closed = True
    again = resolve(scene, settled=settled)
    for one, other in zip(_fields(first), _fields(again), strict=True):
        assert one[2] is other[2]
    assert np.array_equal(render(again).rgb, render(resolve(scene)).rgb)


def test_a_closed_store_refuses_new_work(scene):
    with pytest.raises(NotSettledError):
        resolve(scene, settled=Settled(closed=True))


@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_step_settled_again_in_a_rectangle_equals_the_whole_settled_anew(scene, number):
    settled = Settled()
    painting = resolve(scene, settled=settled)
    painted, step = painting.steps[number], scene.steps[number]
    coverage = painted.coverage.copy()
    rect = Rect(40, 50, 90, 120)
    coverage[rect.slices] = np.linspace(0, 65535, 70).astype(np.uint16)

    settler = Settler(scene, painting.table, settled.sketch)
    if isinstance(painted, LaidStep):
        thickness, rim = settler.film(step, coverage, painted.wash)
    else:
        dose = settler.lift(step, coverage).dose

    painted.coverage.flags.writeable = True
    painted.coverage[rect.slices] = coverage[rect.slices]
    reached = settler.again(painted, step, rect)

    assert reached.top <= rect.top
    assert reached.right >= rect.right
    if isinstance(painted, LiftStep):
        assert np.array_equal(painted.dose, dose)
    else:
        assert np.array_equal(painted.thickness, thickness)
        assert (rim is None and painted.rim is None) or np.array_equal(painted.rim, rim)


def test_single_pixels_look_as_they_do_in_the_whole(scene):
    painting = resolve(scene)
    rng = np.random.default_rng(7)
    rows = rng.integers(0, painting.shape[0], (5, 300))
    columns = rng.integers(0, painting.shape[1], (5, 300))
    some = render(painting.taken((rows, columns))).rgb
    assert np.array_equal(some, render(painting).rgb[rows, columns])


def test_forgetting_a_region_forgets_what_is_made_from_it(scene):
    settled = Settled()
    resolve(scene, settled=settled)
    name = next(iter(scene.regions), None)
    if name is None:
        pytest.skip("the scene of conftest names no region")
    assert name in settled.forget({name}, scene.regions)
    assert name not in settled.kept.covers
