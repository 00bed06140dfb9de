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


def chroma(colour) -> float:
    return float(np.hypot(colour[1], colour[2]))


def test_neat_bleach_brings_blue_and_yellow_back_to_near_paper_in_a_minute(table):
    paper = lab(table, bare_patches(table)).ravel()
    for name in ("Blue 1", "Yellow 1"):
        assert np.linalg.norm(after(table, name) - paper) < 6.0, name


@pytest.mark.parametrize("parts_water", [0.0, 4.0])
def test_dense_black_leaves_a_gold_ghost(table, parts_water):
    _, a, b = after(table, "Black 1", parts_water)
    assert b > 20.0
    assert 60.0 < np.degrees(np.arctan2(b, a)) < 105.0  # orange-yellow to yellow


def test_thin_black_comes_back_nearer_to_paper_than_dense_black(table):
    thin, dense = after(table, "Black 1 + water 8"), after(table, "Black 1")
    assert thin[0] > dense[0]
    assert chroma(thin) < 0.5 * chroma(dense)


def test_bleach_1_plus_99_does_almost_nothing_to_black(table):
    sheet = glaze(table, bare_patches(table), table.mix("Black 1"))
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
