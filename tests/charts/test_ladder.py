"""Ladders of dilution, shadow and coats."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pdf_content import drawn_paths

from glaze.charts.content.ladder import (
    dilution_ladder,
    glaze_ladder,
    shadow_ink,
    shadow_ladder,
    usual_ladders,
)
from glaze.charts.paper.marks import HAIR, Shape
from glaze.charts.paper.publish import write_pages
from glaze.charts.sheets.ladder_sheet import ladder_sheets
from glaze.charts.sheets.parts import Layout
from glaze.errors import InputError
from glaze.materials.dropper import WATER_DROPS_PER_ML
from glaze.materials.mix import Mix, mix_recipe
from glaze.patch.patches import bare_patches, glaze, value
from glaze.patch.table import Table, table_of

DAY = "2026-01-02"


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


def test_a_doubling_ladder_doubles_the_water(table: Table) -> None:
    # common practice, no source: neat, 1+1, 1+2, 1+4 ... 1+16
    words = [rung.words for rung in dilution_ladder(table, "Black 1", 6).rungs]
    assert words == ["neat", "1 part + 1 part water"] + [
        f"1 part + {n} parts water" for n in (2, 4, 8, 16)
    ]


@given(
    rungs=st.integers(3, 12),
    ink=st.sampled_from(["Black 1", "Blue 1", "Red 2 + Yellow 1"]),
    paper=st.sampled_from(["white cartridge", "white hot-pressed"]),
)
@settings(max_examples=15, deadline=None)
def test_an_even_ladder_has_even_steps_of_value(rungs: int, ink: str, paper: str) -> None:
    # laid again from the printed parts through the table, one by one
    table = table_of("lifting", paper)
    ladder = dilution_ladder(table, ink, rungs, "even")
    values = [rung.patch.value for rung in ladder.rungs]
    assert np.ptp(np.diff(values)) < 0.02
    assert ladder.rungs[0].words == "neat"
    assert ladder.rungs[-1].words == "paper"


def test_printed_drops_come_to_the_value_that_is_printed(table: Table) -> None:
    for ladder in (
        dilution_ladder(table, "Blue 3 + Yellow 2", 6),
        dilution_ladder(table, "Black 1", 9, "even"),
    ):
        for rung in ladder.rungs:
            if rung.recipe:
                sheet = glaze(table, bare_patches(table), _mixed(table, rung.recipe))
                # whole drops are within 5 % of the strength, a tenth of a step
                assert float(value(table, sheet)[0, 0]) == pytest.approx(rung.patch.value, abs=0.1)


def _mixed(table: Table, told: str) -> Mix:
    """The printed drops put together, step by step."""
    first, _, second = told.partition(", then ")
    mix = table.mix(first)
    if not second:
        return mix
    return mix_recipe(second.replace("of that", "drops that"), table.palette, {"that": mix})


def test_a_ladder_over_a_hue_starts_at_its_home_value_and_only_darkens(table: Table) -> None:
    for spacing in ("doubling", "even"):
        ladder = shadow_ladder(table, "Yellow 3 + Red 3", 6, spacing)
        values = [rung.patch.value for rung in ladder.rungs]
        home = glaze(table, bare_patches(table), table.mix("Yellow 3 + Red 3"))
        # bare of shadow: water with a millionth part of ink
        assert values[0] == pytest.approx(float(value(table, home)[0, 0]), abs=1e-3)
        assert (np.diff(values) < 0).all()
        assert len(values) == 6


def test_an_even_shadow_ladder_drops_evenly(table: Table) -> None:
    values = [rung.patch.value for rung in shadow_ladder(table, "Yellow 1", 5, "even").rungs]
    assert np.ptp(np.diff(values)) < 0.02


def test_coats_darken_less_and_less(table: Table) -> None:
    # common practice, no source: each coat of the same wash counts for less than the last
    values = [rung.patch.value for rung in glaze_ladder(table, "Black 3 + water 14", 5).rungs]
    steps = -np.diff(values)
    assert (steps > 0).all()
    assert (np.diff(steps) < 0).all()


def test_two_coats_of_a_wash_are_two_glazes(table: Table) -> None:
    ladder = glaze_ladder(table, "Blue 1 + water 6", 3)
    sheet = glaze(table, bare_patches(table), table.mix("Blue 1 + water 6"), coats=3)
    assert ladder.rungs[2].patch.value == pytest.approx(float(value(table, sheet)[0, 0]), abs=1e-5)


def test_bands_of_invented_inks_are_wider_than_half_a_step_and_marked_assumed(
    table: Table,
) -> None:
    # an invented ink's strength is known within a factor of 3: half a step can't be promised
    for ladder in usual_ladders(table):
        for rung in ladder.rungs:
            band = rung.band
            assert band.low <= rung.patch.value + 0.01
            assert rung.patch.value - 0.01 <= band.high
            if rung.recipe and "Black" in rung.recipe:
                assert band.standing == "assumed"
                assert band.high - band.low > 0.5


def test_bars_stand_under_printed_rungs_only(table: Table) -> None:
    ladders = [dilution_ladder(table, "Black 1", 6)]
    for mode, bars in (("predicted", 6), ("half", 6), ("blank", 0)):
        (page,) = ladder_sheets(table, ladders, Layout(mode=mode, day=DAY))
        filled = [m for m in page.marks if isinstance(m, Shape) and m.fill == HAIR]
        assert len(filled) == bars


@pytest.mark.parametrize("palette", ["lifting", "resistant"])
def test_shadow_washes_are_made_of_the_black(palette: str) -> None:
    assert shadow_ink(table_of(palette, "white cartridge")) == "Black"


def test_the_usual_ladders_fill_one_page_of_each_size(table: Table) -> None:
    ladders = usual_ladders(table)
    for size in ("A4", "A3", "Letter"):
        (page,) = ladder_sheets(table, ladders, Layout(size, day=DAY))
        lowest = max(m.y for m in page.marks if getattr(m, "face", "") == "Italic")
        assert lowest < page.bottom + 1


def test_swatches_lie_in_the_pdf_in_rows_of_one_width(tmp_path: Path, table: Table) -> None:
    file = tmp_path / "ladder.pdf"
    ladder = dilution_ladder(table, "Black 1", 6)
    write_pages(ladder_sheets(table, [ladder], Layout(day=DAY)), file)
    filled = [d.points for d in drawn_paths(file) if d.fill is not None and len(d.points) == 4]
    boxes = [points for points in filled if np.ptp(points[:, 1]) > 5]
    assert len(boxes) == 6
    # six rungs and five gaps of 2 mm between margins of 12 mm on 210 mm
    assert [np.ptp(b[:, 0]) for b in boxes] == pytest.approx([(186 - 10) / 6] * 6, abs=0.01)
    assert min(b[:, 0].min() for b in boxes) == pytest.approx(12, abs=0.01)
    assert max(b[:, 0].max() for b in boxes) == pytest.approx(198, abs=0.01)
    assert len({round(b[:, 1].min(), 2) for b in boxes}) == 1


def test_water_of_the_printed_drops_is_counted_by_its_own_drops(table: Table) -> None:
    # 1+4 by volume; ink at 35 and water at 20 drops to the ml
    mix = table.mix(dilution_ladder(table, "Black 1", 4).rungs[3].recipe)
    assert WATER_DROPS_PER_ML == 20  # USP 32 <1101>: a drop of water is 50 mg
    assert mix.parts_water == pytest.approx(4, rel=0.04)


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda s: dilution_ladder(s, "Black 1", 1), "1 rungs: a ladder has 2 to 12"),
        (lambda s: dilution_ladder(s, "Black 1", 13), "13 rungs"),
        (lambda s: dilution_ladder(s, "Black 1", 5, "halving"), 'called "halving"'),
        (lambda s: dilution_ladder(s, "water 4", 5), "as good as water"),
        (lambda s: dilution_ladder(s, "Grey 1", 5), 'called "Grey"'),
        (lambda s: shadow_ladder(s, "water 1", 5), "as good as water"),
        (lambda s: glaze_ladder(s, "Black 1", 0), "0 coats"),
    ],
)
def test_ladders_that_cannot_be_painted_are_refused(table: Table, make, told: str) -> None:
    with pytest.raises(InputError, match=told):
        make(table)
