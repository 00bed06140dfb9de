"""Facts of mixing every painter knows, on the built-in inks: common practice, no source.

Each is put as hue, chroma (CIELAB) and Munsell value of a neat wash on white paper. Hue names
stand for ranges of the hue angle [degrees]: brown 20 to 85 when darker than value 5, olive 95 to
130, green 130 to 170, teal 170 to 240, blue 240 to 285, violet 285 to 340, crimson 340 to 20.
Facts that the inks don't meet are marked as failing, with the figures found.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
import pytest

from glaze.materials.mix import mix_recipe
from glaze.patch.patches import (
    bare_patches,
    bleach_patches,
    glaze,
    lab,
    value,
)
from glaze.patch.table import Table, table_of
from glaze.sheet.lift import Touches

CARTRIDGE, HOT_PRESSED = "white cartridge", "white hot-pressed"
BOTH = pytest.mark.parametrize("palette", ["lifting", "resistant"])
SECONDARIES = ("Blue 3 + Red 3", "Red 3 + Yellow 3", "Blue 3 + Yellow 3")
SHADOW = "Black 1 part + water 6 parts"


class Look(NamedTuple):
    """What a patch looks like."""

    value: float
    chroma: float
    hue: float


@cache
def table(palette: str, paper: str = CARTRIDGE) -> Table:
    return table_of(palette, paper)


def look(*washes: str, palette: str = "lifting", paper: str = CARTRIDGE, neat_bleach=False) -> Look:
    """The look of washes laid one on another, dry, and perhaps of a minute of neat bleach."""
    laid_out = table(palette, paper)
    sheet = bare_patches(laid_out)
    for wash in washes:
        glaze(laid_out, sheet, mix_recipe(wash, laid_out.palette))
    if neat_bleach:
        bleach_patches(laid_out, sheet, Touches())
    _, a, b = lab(laid_out, sheet).ravel()
    hue = float(np.degrees(np.arctan2(b, a)) % 360)
    return Look(value(laid_out, sheet).item(), float(np.hypot(a, b)), hue)


def turn(start: float, end: float) -> float:
    """From one hue to another the short way, positive counter-clockwise [degrees]."""
    return (end - start + 180) % 360 - 180


@BOTH
def test_a_little_black_makes_yellow_olive(palette):
    for black in (1, 2, 3):
        olive = look(f"Yellow 12 + Black {black}", palette=palette)
        assert 95 < olive.hue < 130
        assert olive.chroma > 20
        assert olive.value < look("Yellow 1", palette=palette).value - 1


@BOTH
@pytest.mark.parametrize("black", [2, 3])
def test_more_black_makes_yellow_brown(palette, black):
    assert 20 < look(f"Yellow 1 + Black {black}", palette=palette).hue < 85


@BOTH
def test_black_makes_orange_a_deep_brown(palette):
    brown = look("Red 3 + Yellow 3 + Black 1", palette=palette)
    assert 20 < brown.hue < 85
    assert brown.chroma > 15
    assert brown.value < 5


@BOTH
def test_black_makes_yellowish_green_olive_and_bluish_green_grey_green(palette):
    olive = look("Blue 1 + Yellow 5 + Black 2", palette=palette)
    assert 95 < olive.hue < 130
    assert olive.chroma > 15
    greys = [look(f"Blue 3 + Yellow 3 + Black {black}", palette=palette) for black in (1, 2, 4)]
    chromas = [grey.chroma for grey in greys]
    assert chromas == sorted(chromas, reverse=True)
    assert chromas[-1] < 12
    assert all(115 < grey.hue < 170 for grey in greys)


@BOTH
def test_black_makes_red_a_dull_near_black(palette):
    dark = look("Red 3 + Black 3", palette=palette)
    assert dark.value < 4
    assert dark.chroma < 15


@pytest.mark.parametrize("recipe", ["Red 3 + Black 3", "Red 2 + Black 3"])
def test_black_makes_red_a_brown_black(recipe):
    # warm of a pure red (hue 14 is about 2.5R, blackish red; browns begin about there); a little
    # black gives a maroon first, as the reds lean to blue
    brown = look(recipe)
    assert 14 < brown.hue < 85
    assert brown.chroma > 10
    assert brown.value < 4


@BOTH
def test_black_makes_blue_grey_blue(palette):
    greys = [look(f"Blue {blue} + Black 1", palette=palette) for blue in (6, 4)]
    assert all(235 < grey.hue < 285 and 5 < grey.chroma < 22 for grey in greys)
    assert look("Blue 4 + Black 2", palette=palette).chroma < greys[-1].chroma


@BOTH
def test_a_little_blue_makes_red_a_duller_crimson(palette):
    red, crimson = (look(mix, palette=palette) for mix in ("Red 1", "Red 8 + Blue 1"))
    assert -40 < turn(red.hue, crimson.hue) < -5
    assert 20 < crimson.chroma < red.chroma


@BOTH
def test_a_little_purple_makes_blue_deeper(palette):
    blue, deep = (look(mix, palette=palette) for mix in ("Blue 1", "Blue 9 + Red 1"))
    assert deep.value < blue.value - 0.2
    assert 240 < deep.hue < 300


@BOTH
def test_teals_lie_between_green_and_blue(palette):
    green, blue = (look(mix, palette=palette).hue for mix in ("Blue 3 + Yellow 3", "Blue 1"))
    teals = [look(f"Blue {n} + Yellow 1", palette=palette).hue for n in (2, 4, 8)]
    assert [green, *teals, blue] == sorted([green, *teals, blue])
    assert 170 < teals[1] < 240


@BOTH
@pytest.mark.parametrize("mix", ["Blue 4 + Red 2", "Red 3 + Yellow 3", "Blue 3 + Yellow 3"])
def test_a_secondary_of_two_bottles_stays_vivid(palette, mix):
    # at least half as vivid as the duller of its two bottles. Violet is where hue stands between
    # violet and blue-violet; with equal drops the strong red makes it a dusky purple (chroma 21)
    parents = [look(f"{part.split()[0]} 1", palette=palette).chroma for part in mix.split(" + ")]
    assert look(mix, palette=palette).chroma > min(parents) / 2


@BOTH
def test_three_bottles_cover_all_three_sectors_of_the_wheel(palette):
    hues = [look(mix, palette=palette).hue for mix in SECONDARIES]
    assert 285 < hues[0] < 340
    assert 20 < hues[1] < 70
    assert 130 < hues[2] < 170


@BOTH
def test_water_makes_red_pink_and_blue_pale_blue(palette):
    for ink, low, high in (("Red", 340, 20), ("Blue", 200, 260)):
        tints = [look(f"{ink} 1 part + water {n} parts", palette=palette) for n in (4, 8, 24)]
        values = [tint.value for tint in tints]
        assert values == sorted(values)
        assert values[-1] > 8
        assert all((tint.hue - low) % 360 < (high - low) % 360 for tint in tints)
        assert tints[-1].chroma > 8


@BOTH
def test_one_diluted_black_changes_each_secondary_differently_and_each_stays_itself(palette):
    drops = []
    for secondary in SECONDARIES:
        before = look(f"{secondary} + water 4", palette=palette)
        after = look(f"{secondary} + water 4", SHADOW, palette=palette)
        assert abs(turn(before.hue, after.hue)) < 20
        assert after.chroma > 8
        drops.append(before.value - after.value)
    violet, orange, green = drops
    assert 0.3 < violet < green < orange
    assert orange > 2 * violet


@BOTH
@pytest.mark.parametrize("mix", ["Blue 1", "Red 1", "Yellow 1", *SECONDARIES])
def test_the_same_ink_is_more_vivid_on_white_watercolour_paper_than_on_cartridge(palette, mix):
    smooth, cartridge = (
        look(mix, palette=palette, paper=paper).chroma for paper in (HOT_PRESSED, CARTRIDGE)
    )
    assert smooth > 1.05 * cartridge


def test_bleach_goes_through_all_orders_of_colour_alike_when_all_their_dyes_lift():
    paper = value(table("lifting"), bare_patches(table("lifting"))).item()
    primaries = [(f"{ink} 1",) for ink in ("Blue", "Red", "Yellow")]
    secondaries = [(mix,) for mix in SECONDARIES]
    tertiaries = [(mix, SHADOW) for mix in SECONDARIES]  # a secondary under a black glaze
    lifted = [
        look(*washes, neat_bleach=True).value for washes in primaries + secondaries + tertiaries
    ]
    assert max(lifted) - min(lifted) < 0.3
    assert paper - 0.3 < min(lifted) <= max(lifted) < paper
