"""What painters see after a lift, through the whole model: common practice, no source."""

import numpy as np
import pytest

from glaze.patch.studio import Touches, bare_patches, bleach_patches, glaze, lab, studio_of, value


@pytest.fixture(scope="module")
def studio():
    return studio_of("lifting", "white cartridge")


def after(studio, recipe: str, parts_water: float = 0.0, touches: int = 1, over: str = ""):
    """L*, a*, b* of a washed patch after a lift."""
    sheet = bare_patches(studio)
    for wash in [over, recipe]:
        if wash:
            glaze(studio, sheet, studio.mix(wash))
    bleach_patches(studio, sheet, Touches(parts_water=parts_water, touches=touches))
    return lab(studio, sheet).ravel()


def chroma(colour) -> float:
    return float(np.hypot(colour[1], colour[2]))


def test_neat_bleach_brings_blue_and_yellow_back_to_near_paper_in_a_minute(studio):
    paper = lab(studio, bare_patches(studio)).ravel()
    for name in ("Blue 1", "Yellow 1"):
        assert np.linalg.norm(after(studio, name) - paper) < 6.0, name


@pytest.mark.parametrize("parts_water", [0.0, 4.0])
def test_dense_black_leaves_a_gold_ghost(studio, parts_water):
    _, a, b = after(studio, "Black 1", parts_water)
    assert b > 20.0
    assert 60.0 < np.degrees(np.arctan2(b, a)) < 105.0  # orange-yellow to yellow


def test_thin_black_comes_back_nearer_to_paper_than_dense_black(studio):
    thin, dense = after(studio, "Black 1 + water 8"), after(studio, "Black 1")
    assert thin[0] > dense[0]
    assert chroma(thin) < 0.5 * chroma(dense)


def test_bleach_1_plus_99_does_almost_nothing_to_black(studio):
    sheet = glaze(studio, bare_patches(studio), studio.mix("Black 1"))
    before = value(studio, sheet).item()
    bleach_patches(studio, sheet, Touches(parts_water=99.0))
    assert 0.0 < value(studio, sheet).item() - before < 0.3


def test_bleach_1_plus_19_lifts_black_in_part_and_again_at_the_next_touch(studio):
    values = [after(studio, "Black 1", 19.0, touches)[0] for touches in (1, 2, 3)]
    assert 33.0 < values[0] < values[1] < values[2] < 80.0


def test_resistant_red_stays_pink_where_the_azo_red_goes():
    lifting, resistant = (
        studio_of("lifting", "white cartridge"),
        studio_of("resistant", "white cartridge"),
    )
    gone = after(lifting, "Red 1", 0.0, 3)
    stays = after(resistant, "Red 1", 0.0, 3)
    assert chroma(gone) < 15.0
    assert stays[1] > 45.0


def test_lift_never_goes_past_bleached_paper(studio):
    sheet = bare_patches(studio)
    sheet.bleached[:] = 1.0
    white = lab(studio, sheet).ravel()[0]
    for name in studio.palette.inks:
        assert after(studio, f"{name} 1", 0.0, 6)[0] <= white + 1e-3, name


def test_yellow_below_black_lifts_to_the_same_near_paper(studio):
    # olive from black over yellow: neat bleach reaches both layers
    colour = after(studio, "Black 1 + water 4", over="Yellow 1")
    assert colour[0] > 88.0
