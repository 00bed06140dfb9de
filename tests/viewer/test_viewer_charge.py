"""A charge follows the brush: what is painted on a wash that it went into, or on itself, settles it
again once the pen is up, and what is seen is what the saved scene gives."""

from __future__ import annotations

import numpy as np
import pytest
from small_scenes import SMALL

from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.file import load_scene
from glaze.sheet.flowing import CELL_MM
from viewer.core.charging import COARSE_MM
from viewer.core.keep import open_any, save
from viewer.core.laying import Laying

CHARGED = (
    SMALL
    + """
[[step]]
wash = "sky"
mix = "Blue 1 + water 2"
region = { polygon_mm = [[4, 14], [34, 14], [34, 28], [4, 28]] }
[[step]]
charge = "bloom"
mix = "Red 1 + water 2"
into = "sky"
minutes = 1
region = { ellipse_mm = { centre = [14, 20], radii = [4, 3] } }
[[step]]
wash = "over it"
mix = "Yellow 1 + water 4"
region = "right"
"""
)
SKY, BLOOM = 2, 3


@pytest.fixture
def sitting(scene_folder):
    found = open_any(scene_folder(CHARGED))
    found.finish()
    yield found
    found.close()


def _stroke(sitting, step: int, *places) -> None:
    sitting.choose(step)
    laying = Laying(sitting)
    laying.press(places[0])
    laying.move([(place, 1.0) for place in places[1:]])
    laying.up()


def _check(sitting, folder) -> None:
    sitting.finish()
    save(sitting, folder)
    expected = render(resolve(load_scene(folder))).rgb
    assert np.array_equal(sitting.preview.pyramid.levels[0], expected)


@pytest.mark.parametrize("step", [SKY, BLOOM])
def test_a_charge_is_settled_again_after_each_stroke_under_it(sitting, tmp_path, step):
    _stroke(sitting, step, (20, 10), (24, 20))
    _check(sitting, tmp_path / "one")
    _stroke(sitting, step, (24, 10), (30, 24))
    _check(sitting, tmp_path / "two")
    sitting.take_back()
    _check(sitting, tmp_path / "back")
    sitting.do_again()
    _check(sitting, tmp_path / "again")


def test_strokes_that_follow_fast_are_all_in_it(sitting, tmp_path):
    _stroke(sitting, SKY, (20, 10), (24, 20))
    sitting.finish()
    for n in range(4):
        _stroke(sitting, SKY, (8 + 6 * n, 10), (8 + 6 * n, 13))
    _check(sitting, tmp_path / "all")


def test_the_hand_does_not_wait_for_a_charge(sitting):
    _stroke(sitting, SKY, (20, 10), (24, 20))
    sitting.finish()
    before = sitting.painting
    _stroke(sitting, SKY, (26, 10), (30, 12))
    # the film under the pen is there at once; the passage dries in the background
    assert sitting.painting is before
    assert sitting.busy
    sitting.finish()
    assert sitting.painting is not before


def test_a_coarse_look_comes_first_and_then_what_the_scene_gives(sitting, tmp_path):
    seen = []
    taken = sitting.settling.charging._take
    sitting.settling.charging._take = lambda found: (
        seen.append([found[n].passage.ground.cell_mm for n in found]),
        taken(found),
    )
    _stroke(sitting, SKY, (20, 10), (24, 20))
    _check(sitting, tmp_path / "one")
    assert seen == [[COARSE_MM], [CELL_MM]]
