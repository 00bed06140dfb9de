"""The adviser: what it says, where, and what its cures do, on scenes made so that it shows."""

from __future__ import annotations

import numpy as np

from glaze.pipeline import render
from viewer.core.advice import advice_on
from viewer.core.keep import open_any

HEAD = """
format = 1
title = "Advised"
palette = "lifting"
paper = "white cartridge"
size_mm = [100, 80]
dpi = 100
[region.left]
polygon_mm = [[10, 10], [60, 10], [60, 70], [10, 70]]
[region.spot]
ellipse_mm = [{ centre = [30, 40], radii = [10, 10] }]
"""
LIFT = (
    HEAD
    + """
[[step]]
wash = "dark"
mix = "Black 1 + water 1"
region = "left"
[[step]]
lift = "moon"
region = "spot"
parts_water = 8
"""
)


def _advised(open_folder, text):
    sitting = open_any(open_folder(text))
    sitting.finish()
    return sitting, advice_on(sitting.draft, sitting.settling.worked_out(sitting.draft, even=True))


def test_a_bare_sheet_needs_no_advice(scene_folder):
    sitting, advice = _advised(scene_folder, HEAD)
    assert advice == []
    sitting.close()


def test_where_bleach_cannot_reach_the_paper_it_says_so_there_and_reserves(scene_folder):
    sitting, advice = _advised(scene_folder, LIFT)
    (told,) = [a for a in advice if "moon" in a.short]
    x, y = told.at_mm
    assert np.hypot(x - 30, y - 40) < 10  # within the spot
    cures = {cure.words: cure for cure in told.cures}
    before = render(sitting.painting).rgb
    row, column = round(40 / 25.4 * 100), round(30 / 25.4 * 100)
    sitting.do("reserve it", cures["reserve it"].draft)
    sitting.finish()
    after = render(sitting.painting).rgb
    # bare paper stands there as at the sheet's corner, and the wash beside it as it was
    assert np.array_equal(after[row, column], after[2, 2])
    assert not np.array_equal(before[row, column], before[2, 2])
    beside = round(60 / 25.4 * 100), round(50 / 25.4 * 100)
    assert np.array_equal(after[beside], before[beside])
    assert not [
        a
        for a in advice_on(sitting.draft, sitting.settling.worked_out(sitting.draft, even=True))
        if "moon" in a.short
    ]
    assert sitting.take_back() == "reserve it"
    sitting.finish()
    assert np.array_equal(render(sitting.painting).rgb, before)
    sitting.do("one touch more", cures["one touch more"].draft)
    assert sitting.scene.steps[1].touches == 2
    sitting.finish()
    # more bleach never leaves more ink
    assert (render(sitting.painting).rgb[row, column] >= before[row, column]).all()
    sitting.close()


def test_neighbours_of_one_value_are_told_and_one_is_mixed_stronger(scene_folder):
    text = HEAD + (
        "[region.right]\npolygon_mm = [[60, 10], [95, 10], [95, 70], [60, 70]]\n"
        '[[step]]\nwash = "blue"\nmix = "Blue 1 part + water 7 parts"\nregion = "left"\n'
        '[[step]]\nwash = "red"\nmix = "Red 1 part + water 3.5 parts"\nregion = "right"\n'
    )
    sitting, advice = _advised(scene_folder, text)
    told = [a for a in advice if "one value" in a.short]
    (cure,) = told[0].cures
    mixes = [step.recipe for step in cure.draft.scene.steps]
    assert mixes != [step.recipe for step in sitting.scene.steps]
    sitting.do(cure.words, cure.draft)
    sitting.finish()
    again = advice_on(sitting.draft, sitting.settling.worked_out(sitting.draft, even=True))
    assert not [a for a in again if "one value" in a.short]
    sitting.close()
