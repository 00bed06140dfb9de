"""A charge follows the brush: what is painted on a wash that it went into, or on itself, settles it
again once the pen is up, and what is seen is what the saved scene gives."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from small_scenes import SMALL

from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.file import load_scene
from glaze.sheet.flowing import CELL_MM
from viewer.core import drafting
from viewer.core.brush import Brush
from viewer.core.charging import COARSE_MM
from viewer.core.journal import Journal
from viewer.core.keep import open_any, save
from viewer.core.laying import Laying
from viewer.core.recovery import Left, recover

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
BETWEEN = """
[[step]]
wash = "between"
mix = "Yellow 1 + water 4"
region = { polygon_mm = [[6, 2], [34, 2], [34, 8], [6, 8]] }
[[step]]
charge = "bloom"
"""
SKY, BLOOM = 2, 3


@pytest.fixture
def between(scene_folder):
    """A wash is laid after the sky and before the charge, away from both."""
    found = open_any(scene_folder(CHARGED.replace('[[step]]\ncharge = "bloom"\n', BETWEEN)))
    found.finish()
    yield found
    found.close()


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


OVER_IT = (14, 6), (14, 22)


def test_a_stroke_that_makes_a_charge_impossible_stays_and_the_charge_waits(between, tmp_path):
    told, before = [], between.draft
    between.told.connect(told.append)
    _stroke(between, 3, *OVER_IT)
    between.finish()
    assert between.draft.aside == {4}
    assert '"bloom" is set aside' in told[-1]
    # what is seen is what is saved, and the desk goes on
    _check(between, tmp_path / "one")
    _stroke(between, 3, (24, 6), (28, 6))
    _check(between, tmp_path / "two")
    # back to before the stroke, and the charge is there again
    between.take_back()
    between.finish()
    assert between.draft.aside == {4}
    between.take_back()
    _check(between, tmp_path / "three")
    assert between.draft == before
    between.do_again()
    _check(between, tmp_path / "four")
    assert between.draft.aside == {4}


def test_a_charge_whose_wash_is_taken_away_waits(sitting, tmp_path):
    for _ in range(12):
        sitting.choose(SKY)
        sitting.hold(replace(sitting.hand, brush=Brush(size_mm=14, damp=True)))
        laying = Laying(sitting)
        laying.press((8, 20))
        laying.move([((22, 20), 1.0), ((8, 16), 1.0), ((22, 24), 1.0)])
        laying.up()
    sitting.finish()
    assert sitting.draft.aside == {BLOOM}
    _check(sitting, tmp_path / "one")


def test_other_deeds_go_on_before_a_charge_is_found_impossible(between, tmp_path):
    _stroke(between, 3, *OVER_IT)
    draft = drafting.with_changed_step(between.draft, 0, mix="Yellow 1 + water 9")
    between.do("dilution of yellow", draft)
    between.finish()
    assert between.scene.steps[0].mix == "Yellow 1 + water 9"
    assert between.draft.aside == {4}
    _check(between, tmp_path / "one")
    between.take_back()
    between.take_back()
    between.finish()
    assert between.draft.aside == set()


def test_a_step_moved_between_a_wash_and_its_charge_sets_the_charge_aside(between, tmp_path):
    draft = drafting.with_step_moved(between.draft, 5, 3)  # "over it" lies over the sky
    between.do("lay over it earlier", draft)
    between.finish()
    assert [between.scene.steps[n].name for n in between.draft.aside] == ["bloom"]
    _check(between, tmp_path / "one")
    between.take_back()
    between.finish()
    assert between.draft.aside == set()


@pytest.mark.parametrize("out", [False, True], ids=["set aside", "taken out"])
def test_a_charge_waits_when_its_wash_goes_and_deeds_after_that_hold(sitting, tmp_path, out):
    journal, before = Journal(sitting, tmp_path / "kept"), sitting.draft
    gone = (
        drafting.without_step if out else lambda draft, n: drafting.with_step_laid(draft, n, False)
    )
    sitting.do("the sky goes", gone(sitting.draft, SKY))
    sitting.do("lay yellow later", drafting.with_step_moved(sitting.draft, 0, 1))
    # killed now, or a little later: both deeds are there
    found = recover(Left(journal.folder, "", None, 0.0))
    sitting.finish()
    try:
        for one in (found, sitting):
            assert [step.name for step in one.scene.steps][:2] == ["shadow", "yellow"]
            aside = {one.scene.steps[n].name for n in one.draft.aside}
            assert aside == ({"bloom"} if out else {"sky", "bloom"})
        _check(sitting, tmp_path / "one")
        sitting.take_back()
        sitting.take_back()
        assert sitting.draft == before
    finally:
        found.close()


def test_a_scene_saved_before_that_was_found_opens_with_its_charge_waiting(between, tmp_path):
    _stroke(between, 3, *OVER_IT)
    save(between, tmp_path / "early")
    opened = open_any(tmp_path / "early")
    try:
        assert opened.draft.aside == {4}
        assert '"bloom" is set aside' in opened.settling.left_out
        assert opened.changed
    finally:
        opened.close()


def test_a_journal_that_ends_before_that_was_found_keeps_the_stroke(between, tmp_path):
    journal = Journal(between, tmp_path / "kept")
    _stroke(between, 3, *OVER_IT)
    painted = between.masks["between"].copy()
    found = recover(Left(journal.folder, "", None, 0.0))
    try:
        assert np.array_equal(found.masks["between"], painted)
        assert found.draft.aside == {4}
    finally:
        found.close()
