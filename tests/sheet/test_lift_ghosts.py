"""What painters see after a lift, through the whole model: common practice, no source."""

import numpy as np
import pytest

from glaze.patch.patches import (
    bare_patches,
    bleach_patches,
    glaze,
    lab,
    value,
)
from glaze.patch.table import table_of
from glaze.physics.colour import delta_e_2000
from glaze.sheet.lift import Touches


@pytest.fixture(scope="module")
def table():
    return table_of("lifting", "white cartridge")


def after(table, recipe: str, parts_water: float = 0.0, touches: int = 1, over: str = ""):
    """L*, a*, b* of a washed patch after a lift."""
    sheet = bare_patches(table)
    for wash in [over, recipe]:
        if wash:
            glaze(table, sheet, table.mix(wash))
    bleach_patches(table, sheet, Touches(parts_water=parts_water, touches=touches))
    return lab(table, sheet).ravel()


def glaze_of(table, recipe: str):
    """One wash on bare paper."""
    return glaze(table, bare_patches(table), table.mix(recipe))


def chroma(colour) -> float:
    return float(np.hypot(colour[1], colour[2]))


def test_neat_bleach_brings_blue_and_yellow_back_to_near_paper_in_a_minute(table):
    # blue in colour, yellow in lightness: what azo dyes leave is a pale yellow (Nadupalli et al.)
    paper = lab(table, bare_patches(table)).ravel()
    assert np.linalg.norm(after(table, "Blue 1") - paper) < 6.0
    yellow = after(table, "Yellow 1")
    assert abs(yellow[0] - paper[0]) < 2.0
    assert chroma(yellow) < 0.25 * chroma(lab(table, glaze_of(table, "Yellow 1")).ravel())


@pytest.mark.parametrize("parts_water", [0.0, 4.0])
def test_dense_black_leaves_a_gold_ghost(table, parts_water):
    _, a, b = after(table, "Black 1", parts_water)
    assert b > 20.0
    assert 60.0 < np.degrees(np.arctan2(b, a)) < 105.0  # orange-yellow to yellow


def away(table, colour) -> float:
    """CIEDE2000 from bare paper."""
    return float(delta_e_2000(colour, lab(table, bare_patches(table)).ravel()))


def test_gold_stays_after_three_neat_touches(table):
    # common practice, and El-Din et al. (1998), abstract: a black water-based ink on paper wasn't
    # removed by alkaline hypochlorite before some fibre broke down
    _, a, b = colour = after(table, "Black 1", touches=3)
    assert away(table, colour) > 6.0
    assert 60.0 < np.degrees(np.arctan2(b, a)) < 105.0


def test_a_pen_stroke_of_1_plus_1_left_ten_minutes_is_gold_over_dense_black(table):
    # common practice: bleach and water half and half with a dip pen dries to gold on dense ink
    sheet = glaze_of(table, "Black 1")
    bleach_patches(table, sheet, Touches(parts_water=1.0, minutes=10.0, tool="dip pen"))
    assert away(table, lab(table, sheet).ravel()) > 6.0


def test_three_neat_touches_do_not_bring_every_ink_to_paper(table):
    far = {name: away(table, after(table, f"{name} 1", touches=3)) for name in table.palette.inks}
    assert far["Blue"] < 2.0  # two blue inks were removed most readily (El-Din et al. 1998)
    assert min(far["Red"], far["Yellow"], far["Black"]) > 2.0


def test_thin_black_comes_back_nearer_to_paper_than_dense_black(table):
    thin, dense = after(table, "Black 1 + water 8"), after(table, "Black 1")
    assert thin[0] > dense[0]
    assert chroma(thin) < 0.5 * chroma(dense)


def test_bleach_1_plus_99_does_almost_nothing_to_black(table):
    sheet = glaze_of(table, "Black 1")
    before = value(table, sheet).item()
    bleach_patches(table, sheet, Touches(parts_water=99.0))
    assert 0.0 < value(table, sheet).item() - before < 0.3


def test_bleach_1_plus_19_lifts_black_in_part_and_again_at_the_next_touch(table):
    values = [after(table, "Black 1", 19.0, touches)[0] for touches in (1, 2, 3)]
    assert 33.0 < values[0] < values[1] < values[2] < 80.0


def test_resistant_red_stays_pink_where_the_azo_red_goes():
    lifting, resistant = (
        table_of("lifting", "white cartridge"),
        table_of("resistant", "white cartridge"),
    )
    gone = after(lifting, "Red 1", 0.0, 3)
    stays = after(resistant, "Red 1", 0.0, 3)
    assert chroma(gone) < 15.0
    assert stays[1] > 45.0


def test_lift_never_goes_past_bleached_paper(table):
    sheet = bare_patches(table)
    sheet.bleached[:] = 1.0
    white = lab(table, sheet).ravel()[0]
    for name in table.palette.inks:
        assert after(table, f"{name} 1", 0.0, 6)[0] <= white + 1e-3, name


def test_yellow_below_black_lifts_to_the_same_near_paper(table):
    # olive from black over yellow: neat bleach reaches both layers
    colour = after(table, "Black 1 + water 4", over="Yellow 1")
    assert colour[0] > 88.0
