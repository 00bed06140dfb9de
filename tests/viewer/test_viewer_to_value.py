"""A place brought to a wanted value: what three ways promise, the sheet shows.

The ways are worked out on a patch; here each is laid on the whole sheet by the pipeline and read
there.
"""

from __future__ import annotations

import pytest
from small_scenes import LIFTED

from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.sheet.lift import Touches
from viewer.core.close_up import around, close_up
from viewer.core.keep import open_any
from viewer.core.laying import Laying
from viewer.core.spot import read_at
from viewer.core.to_value import ways_to
from viewer.core.views import View, seen

LEFT, BOTH, LIFT, BARE = (8, 24), (17, 22), (18, 16), (26, 6)
"""Places of the scene [mm]: one wash; three over each other; those with bleach; none."""


@pytest.fixture
def sitting(scene_folder):
    found = open_any(scene_folder(LIFTED))
    found.finish()
    yield found
    found.close()


def _pixel(sitting, place):
    per_mm = sitting.painting.dpi / 25.4
    return int(place[1] * per_mm), int(place[0] * per_mm)


def _value(draft, pixel) -> float:
    return read_at(resolve(draft.laid, even=True), Touches(), *pixel).value


@pytest.mark.parametrize(
    ("place", "wanted"),
    [(LEFT, 6), (LEFT, 2), (BOTH, 3), (BOTH, 7), (LIFT, 5), (LIFT, 8), (BARE, 7), (BARE, 3.5)],
)
def test_three_ways_leave_on_the_sheet_what_they_promise(sitting, place, wanted):
    pixel = _pixel(sitting, place)
    asked = ways_to(sitting, pixel, wanted)
    assert len(asked.ways) == 3
    assert len({(way.words, way.amounts) for way in asked.ways}) == 3
    for way, band in zip(asked.ways, asked.bands, strict=True):
        # the sheet is kept in 16 bits, a patch in floats
        assert _value(way.draft, pixel) == pytest.approx(way.value, abs=0.06)
        assert way.value == pytest.approx(band.best, abs=0.06)
        assert band.low <= way.value <= band.high
    # as near as it comes: three neat coats of black leave a yellow at 2.6
    nearest = 2.6 if (place, wanted) == (LEFT, 2) else wanted
    assert asked.ways[0].value == pytest.approx(nearest, abs=0.3)
    assert all(abs(way.value - nearest) <= 1.2 for way in asked.ways)


def test_a_darker_place_is_had_by_the_wash_itself_and_by_black_over_it(sitting):
    words = [way.words for way in ways_to(sitting, _pixel(sitting, BOTH), 3).ways]
    assert any(said.startswith("less water in") for said in words)
    assert "black wash over over it" in words
    assert not any(way.bleach for way in ways_to(sitting, _pixel(sitting, BOTH), 3).ways)


def test_a_lighter_place_is_had_by_water_and_by_bleach_and_says_so(sitting):
    ways = ways_to(sitting, _pixel(sitting, BOTH), 7).ways
    assert any(way.bleach for way in ways)
    for way in ways:
        step = way.draft.scene.steps[way.chosen]
        assert way.bleach == (step.liquid == "bleach")
        assert ("bleach" in way.words) == way.bleach


def test_drops_that_are_asked_for_can_be_counted(sitting):
    for wanted in (3, 5, 7):
        for way in ways_to(sitting, _pixel(sitting, LEFT), wanted).ways:
            step = way.draft.scene.steps[way.chosen]
            if step.liquid == "ink":
                recipe = sitting.table.mix(step.mix).recipe
                drops = [*recipe.amounts.values(), recipe.water]
                assert recipe.unit != "drops" or all(n == int(n) for n in drops)


def test_a_wash_on_bare_paper_fills_what_its_lines_enclose_but_not_the_reserve(sitting):
    laying = Laying(sitting)
    sitting.reserving = True
    laying.press((30, 6))
    laying.up()
    sitting.reserving = False
    way = ways_to(sitting, _pixel(sitting, BARE), 4).ways[0]
    sitting.do(way.words, way.draft, chosen=way.chosen)
    sitting.finish()
    cover = sitting.settling.painted_step(way.chosen).coverage
    assert cover[_pixel(sitting, BARE)] == 65535
    assert cover[_pixel(sitting, (30, 6))] == 0


def test_what_cannot_be_had_is_told(sitting):
    with pytest.raises(InputError, match="goes from 0"):
        ways_to(sitting, _pixel(sitting, LEFT), 12)
    with pytest.raises(InputError, match="there already"):
        ways_to(sitting, _pixel(sitting, BARE), 9.4)
    with pytest.raises(InputError, match="Neither a wash nor bleach"):
        ways_to(sitting, _pixel(sitting, BARE), 10)


def test_a_way_is_one_deed_that_can_be_taken_back(sitting):
    before = sitting.draft
    way = ways_to(sitting, _pixel(sitting, BOTH), 3).ways[1]
    sitting.do(way.words, way.draft, chosen=way.chosen)
    assert sitting.history.place == 1
    sitting.take_back()
    assert sitting.draft == before


def test_the_small_picture_is_that_of_the_very_place(sitting):
    pixel = _pixel(sitting, BOTH)
    square = around(sitting.painting, pixel)
    assert square.top <= pixel[0] < square.bottom
    assert square.left <= pixel[1] < square.right
    assert square.shape[0] == square.shape[1]
    expected = seen(sitting.painting, View(), square)
    assert (close_up(sitting.painting, pixel) == expected).all()
