"""A colour rough at the desk: its colour at a place, and steps for one area, taken one by one.

Colours are judged by colour-science, from the rough's own pixels and the desk's picture. The
street and its rough are invented, to try things on.
"""

from __future__ import annotations

import colour
import numpy as np
import pytest
from PIL import Image

from glaze.errors import InputError
from glaze.pipeline import paint
from glaze.region.records import Region
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash
from tests.planning.rough.conftest import DPI, SIZE_MM, coloured, line_art
from viewer.core import drafting, rough_steps, roughing
from viewer.core.keep import open_any, open_sketch, save

PER_MM = DPI / 25.4
LIT, SHADE, SKY, LINE = (9, 30), (15, 30), (45, 10), (6, 30)
"""Places of the street [mm]: both halves of the first wall, the sky, and the wall's line."""
WALL = (slice(round(24 * PER_MM), round(42 * PER_MM)), slice(round(8 * PER_MM), round(16 * PER_MM)))


@pytest.fixture(scope="module")
def street(tmp_path_factory):
    home = tmp_path_factory.mktemp("street")
    line_art().save(home / "sketch.png", dpi=(DPI, DPI))
    coloured().save(home / "rough.png")
    return home


@pytest.fixture
def sitting(street):
    found = open_sketch(street / "sketch.png", SIZE_MM)
    found.finish()
    yield found
    found.close()


@pytest.fixture(scope="module")
def rough(street):
    """Laid once: nothing that is done at the desk changes it."""
    sheet = open_sketch(street / "sketch.png", SIZE_MM)
    sheet.finish()
    yield roughing.open_rough(sheet, street / "rough.png")
    sheet.close()


def _lab(picture) -> np.ndarray:
    light = colour.cctf_decoding(np.asarray(picture) / 255, function="sRGB")
    return colour.XYZ_to_Lab(colour.RGB_to_XYZ(light, "sRGB"))


def _off(picture, where) -> np.ndarray:
    """CIEDE2000 from the rough."""
    return colour.delta_E(_lab(picture[where]), _lab(np.asarray(coloured())[where]))


def _painted(sitting) -> np.ndarray:
    sitting.finish()
    return sitting.preview.pyramid.levels[0].copy()


def test_the_rough_lies_over_the_sheet_in_its_own_colours(rough):
    shown = rough.picture.levels[0]
    assert shown.shape[:2] == line_art().size[::-1]
    for where in (WALL, (slice(10, 60), slice(20, 330))):
        assert np.median(_off(shown, where)) < 0.5
    assert "by its lines" in rough.words


@pytest.mark.parametrize("place", [LIT, SHADE, SKY])
def test_its_colour_at_a_place_is_that_of_its_pixels_and_drops_are_found(sitting, rough, place):
    x, y = (round(mm * PER_MM) for mm in place)
    wanted = _lab(np.asarray(coloured())[y, x])
    # no white in the street: its colours are taken as they are
    assert colour.delta_E(wanted, np.array(roughing.colour_at(rough, place))) < 1.0
    offers = roughing.drops_at(sitting, rough, place).offers
    assert offers
    assert colour.delta_E(wanted, _lab(np.array(offers[0].rgb))) < 3.0


def test_a_line_has_no_colour_to_take(sitting, rough):
    with pytest.raises(InputError, match="point at the middle of a colour"):
        roughing.drops_at(sitting, rough, LINE)


def test_steps_of_an_area_are_taken_one_by_one_and_taken_back(sitting, rough):
    before, bare = sitting.draft, _painted(sitting)
    found = rough_steps.steps_for(sitting, rough, LIT)
    assert len(found.steps) >= 2
    assert not found.bleach
    drafts = [before]
    for n in range(len(found.steps)):
        assert rough_steps.taken(sitting, found, n) is None
        rough_steps.take(sitting, found, n)
        assert sitting.history.place == n + 1
        assert rough_steps.taken(sitting, found, n) == n
        drafts.append(sitting.draft)
    picture = _painted(sitting)
    # the wall comes to look as the rough does, nothing else is touched
    assert np.mean(_off(picture, WALL)) < 3.0
    elsewhere = (slice(0, round(20 * PER_MM)), slice(0, None))
    assert np.array_equal(picture[elsewhere], bare[elsewhere])
    for draft in reversed(drafts[:-1]):
        sitting.take_back()
        assert sitting.draft == draft
    assert np.array_equal(_painted(sitting), bare)
    for _ in found.steps:
        sitting.do_again()
    assert np.array_equal(_painted(sitting), picture)


def test_steps_are_found_on_the_rough_as_it_was_laid(sitting, street, tmp_path):
    moved = tmp_path / "rough.png"
    moved.write_bytes((street / "rough.png").read_bytes())
    rough = roughing.open_rough(sitting, moved)
    moved.unlink()
    assert rough_steps.steps_for(sitting, rough, SKY).steps


def test_a_step_taken_later_goes_below_those_over_it(sitting, rough):
    found = rough_steps.steps_for(sitting, rough, LIT)
    last = len(found.steps) - 1
    for n in (last, 0):
        rough_steps.take(sitting, found, n)
    names = [step.name for step in sitting.scene.steps]
    assert names == [found.steps[0].step.name, found.steps[last].step.name]
    sitting.take_back()
    assert rough_steps.taken(sitting, found, 0) is None
    assert rough_steps.taken(sitting, found, last) == 0


def test_wells_and_steps_of_the_painters_own_stay_as_they_are(sitting, rough):
    found = rough_steps.steps_for(sitting, rough, SKY)
    name, recipe = found.steps[0].well
    draft = drafting.with_well(sitting.draft, name, "Black 1 + water 4")
    sitting.do("fill a well", draft)
    rough_steps.take(sitting, found, 0)
    wells = sitting.scene.wells
    assert wells[name] == "Black 1 + water 4"
    assert wells[sitting.scene.steps[-1].mix.split(" 1 part")[0]] == recipe
    for n in range(1, len(found.steps)):
        rough_steps.take(sitting, found, n)
    # a second time there is nothing left to do
    with pytest.raises(InputError, match="near the rough already"):
        rough_steps.steps_for(sitting, rough, SKY)


def _lay(sitting, mix, **keys):
    """A wash of the painter's own over the whole first wall."""
    number = sitting.settling.areas().at(LIT)
    draft = drafting.with_region(sitting.draft, "wall", Region(area=(number,)))
    step = Wash(name="own", mix=mix, region="wall", **keys)
    sitting.do("lay", drafting.with_step(draft, step))
    sitting.finish()


def test_steps_go_over_what_lies_there_and_not_over_what_is_set_aside(sitting, rough):
    """The wall has a wash of its own, weaker than the rough's: with what is found over it it looks
    as the rough does, which it wouldn't with steps for bare paper."""
    _lay(sitting, "Red 3 + Yellow 2 + water 90")
    found = rough_steps.steps_for(sitting, rough, LIT)
    assert "1 step lies there: these go over it." in " ".join(found.lines)
    for n in range(len(found.steps)):
        rough_steps.take(sitting, found, n)
    assert sitting.scene.steps[0].name == "own"
    assert np.mean(_off(_painted(sitting), WALL)) < 3.0
    for _ in found.steps:
        sitting.take_back()
    sitting.do("set aside", drafting.Draft(sitting.scene, frozenset({0})))
    bare = rough_steps.steps_for(sitting, rough, LIT)
    assert not any("there" in line for line in bare.lines)
    assert bare.steps[0].well != found.steps[0].well


def test_strokes_that_are_in_no_file_yet_lie_there_too(sitting, rough):
    number = sitting.settling.areas().at(LIT)
    draft = drafting.with_mask(sitting.draft, "brushed")
    where = sitting.settling.cover(Region(area=(number,))).copy()
    step = Wash(name="own", mix="Red 3 + Yellow 2 + water 90", region="brushed")
    before = sitting.draft, sitting.chosen
    change = rough_steps._painted(sitting, "brushed", where)
    sitting.begin(drafting.with_step(draft, step), None)
    sitting.record("brush", *before, (change,))
    found = rough_steps.steps_for(sitting, rough, LIT)
    assert "1 step lies there" in " ".join(found.lines)
    for n in range(len(found.steps)):
        rough_steps.take(sitting, found, n)
    assert np.mean(_off(_painted(sitting), WALL)) < 3.0


def test_what_is_too_dark_or_bleached_is_told(sitting, rough):
    _lay(sitting, "Black 1 + water 1")
    with pytest.raises(InputError, match="no wash over it brings it nearer"):
        rough_steps.steps_for(sitting, rough, LIT)
    lift = Lift(name="light", region="wall", parts_water=9)
    sitting.do("lift", drafting.with_step(sitting.draft, lift))
    with pytest.raises(InputError, match="Bleach lies there"):
        rough_steps.steps_for(sitting, rough, LIT)


def test_what_was_taken_is_saved_and_painted_alike(sitting, rough, tmp_path):
    found = rough_steps.steps_for(sitting, rough, LIT)
    assert any(one.mask is not None for one in found.steps)
    for n in range(len(found.steps)):
        rough_steps.take(sitting, found, n)
    picture = _painted(sitting)
    save(sitting, tmp_path / "kept")
    assert np.array_equal(paint(tmp_path / "kept").rgb, picture)
    open_any(tmp_path / "kept").close()


def test_it_can_be_stopped_with_the_best_so_far_or_nothing(sitting, rough):
    shares = []
    found = rough_steps.steps_for(sitting, rough, LIT, shares.append, lambda: shares[-1] > 0.3)
    assert "Stopped early: this is the best so far." in found.lines
    assert found.steps  # what it had by then
    assert max(shares) <= 1.0
    with pytest.raises(InputError, match="Stopped before"):
        rough_steps.steps_for(sitting, rough, LIT, stopped=lambda: True)


def test_what_shows_nothing_is_refused(sitting, tmp_path):
    Image.new("RGB", line_art().size, "#cccccc").save(tmp_path / "grey.png")
    with pytest.raises(InputError, match="is blank"):
        roughing.open_rough(sitting, tmp_path / "grey.png")
    with pytest.raises(InputError):
        roughing.open_rough(sitting, tmp_path / "none.png")
