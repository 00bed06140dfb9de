"""Graded blocks from a hue to water and to black."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.charts.content.blocks import BlockStrip, earth_name, plan_blocks
from glaze.charts.paper.marks import Image, Shape, Text, bounds
from glaze.charts.sheets.blocks_sheet import blocks_sheets
from glaze.charts.sheets.parts import Layout
from glaze.errors import InputError
from glaze.materials.mix import mix_recipe
from glaze.patch.patches import bare_patches, glaze, value
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table, table_of

DAY = "2026-01-02"


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


def test_the_usual_blocks_are_three_of_each_kind_and_one_intermediate(table: Table) -> None:
    kinds = [block.kind for block in plan_blocks(table)]
    assert {kind: kinds.count(kind) for kind in dict.fromkeys(kinds)} == {
        "primaries": 3,
        "intermediates": 1,
        "secondaries": 3,
        "tertiaries": 3,
    }


def test_black_in_yellow_is_olive_and_in_orange_is_brown(table: Table) -> None:
    # trade: black and yellow make olive, black and orange brown (common practice, no source)
    blocks = {(b.kind, b.name): b for b in plan_blocks(table)}
    assert "olive" in blocks["primaries", "Yellow"].to_black.names
    assert "brown" in blocks["secondaries", "Yellow 3 + Red 3"].to_black.names
    assert "red-brown" in blocks["tertiaries", "Yellow 3 + Red 3"].to_black.names
    assert "ochre" in blocks["intermediates", "Yellow 5 + Red 1"].to_black.names
    # half black is nearly black on any hue
    assert max(block.to_black.stops[-1].patch.chroma for block in blocks.values()) < 3


def test_strips_get_lighter_towards_water_and_darker_towards_black(table: Table) -> None:
    for block in plan_blocks(table):
        water = [stop.patch.value for stop in block.to_water.stops]
        black = [stop.patch.value for stop in block.to_black.stops]
        assert (np.diff(water) > 0).all()
        assert (np.diff(black) < 0).all()


def test_printed_drops_make_the_colour_that_is_printed(table: Table) -> None:
    # "10 + K2" is ten drops of the hue and two of black: mixed by hand from a stock of the hue
    (block,) = plan_blocks(table, ["Yellow 3 + Red 3"])
    stop = next(s for s in block.to_black.stops if s.told == "10 + K2")
    stock = {"hue": table.mix("Yellow 3 + Red 3")}
    mix = mix_recipe("hue 10 + Black 2", table.palette, stock)
    made = float(value(table, glaze(table, bare_patches(table), mix))[0, 0])
    assert stop.patch.value == pytest.approx(made, abs=0.02)


def test_a_tertiary_is_the_glaze_laid_on_the_dry_secondary(table: Table) -> None:
    block = plan_blocks(table, kinds=["tertiaries"])[0]
    sheet = glaze(table, bare_patches(table), table.mix(block.recipe))
    glaze(table, sheet, table.mix("Black 1 ml + water 4 ml"))
    expected = float(value(table, sheet)[0, 0])
    assert block.to_water.stops[0].patch.value == pytest.approx(expected, abs=1e-3)
    glazed = next(s for s in block.to_black.stops if s.told == "1 + 4")
    assert glazed.patch.value == pytest.approx(expected, abs=1e-3)


def test_stops_lie_on_the_colours_of_the_strip(table: Table) -> None:
    for block in plan_blocks(table):
        for strip in (block.to_water, block.to_black):
            for stop in (strip.stops[0], strip.stops[-1]):
                along = strip.colours[round(stop.at * (len(strip.colours) - 1))]
                assert np.abs(np.subtract(along, stop.patch.rgb8)).max() <= 2


@pytest.mark.parametrize(
    ("munsell", "name"),
    [
        # Kelly and Judd's colour names (ISCC-NBS, 1976): moderate olive, moderate brown, dark
        # orange yellow (a painter's ochre), light bluish grey, medium grey, vivid red, strong blue
        ((26.0, 4.0, 4.0), "olive"),
        ((15.0, 3.5, 4.0), "brown"),
        ((20.0, 6.0, 8.0), "ochre"),
        ((69.5, 7.5, 1.0), "grey"),
        ((20.0, 5.0, 0.3), "grey"),
        ((5.0, 4.0, 14.0), ""),
        ((75.0, 4.0, 10.0), ""),
    ],
)
def test_earths_are_named_as_colour_dictionaries_name_them(
    munsell: tuple[float, float, float], name: str
) -> None:
    assert earth_name(Look((0, 0, 0), (0.0, 0.0, 0.0), *munsell, "")) == name


@pytest.mark.parametrize("size", ["A4", "A3", "Letter"])
def test_blocks_stay_between_the_margins(table: Table, size: str) -> None:
    for page in blocks_sheets(table, plan_blocks(table), Layout(size, day=DAY)):
        for mark in page.marks:
            left, _, right, bottom = bounds(mark)
            assert left >= page.left - 1.01
            assert right <= page.right + 1.01
            assert bottom <= page.height - 11.0


def test_a_strip_runs_out_from_the_middle(table: Table) -> None:
    page = blocks_sheets(table, plan_blocks(table, ["Yellow 1"]), Layout(day=DAY))[0]
    water, black = (m for m in page.marks if isinstance(m, Image))
    assert (water.x, water.width) == (12.0, 93.0)
    assert (black.x, black.width) == (105.0, 93.0)
    sheet = glaze(table, bare_patches(table), table.mix("Yellow 1"))
    neat = looks_of(table, sheet)[0].rgb8
    assert np.abs(water.rgb8[0, -1].astype(int) - neat).max() <= 1
    assert np.abs(black.rgb8[0, 0].astype(int) - neat).max() <= 1


def test_blank_blocks_have_outlines_only(table: Table) -> None:
    blocks = plan_blocks(table)
    pages = blocks_sheets(table, blocks, Layout(mode="blank", day=DAY))
    marks = [mark for page in pages for mark in page.marks]
    assert not [m for m in marks if isinstance(m, Image)]
    outlines = [m for m in marks if isinstance(m, Shape) and m.name.endswith("blank")]
    assert len(outlines) == 2 * len(blocks)
    assert all("Name:" in {m.text for m in page.marks if isinstance(m, Text)} for page in pages)


def test_an_unknown_kind_or_a_watery_hue_is_refused(table: Table) -> None:
    with pytest.raises(InputError, match='No kind of block is called "quaternaries"'):
        plan_blocks(table, kinds=["quaternaries"])
    with pytest.raises(InputError, match="as good as water"):
        plan_blocks(table, ["Yellow 1 + water 5000"])


def test_a_name_reaches_half_a_colour_beyond_its_own_and_no_further_than_the_strip() -> None:
    # five colours stand at 0, 1/4 .. 1: olive from the second to the fourth is 1/8 to 7/8
    names = ("", "olive", "olive", "olive", "")
    assert BlockStrip("", (), (), names).stretches == [("olive", 0.125, 0.875)]
    ends = BlockStrip("", (), (), ("grey", "grey", "", "brown", "brown")).stretches
    assert ends == [("grey", 0.0, 0.375), ("brown", 0.625, 1.0)]
