"""What is in an ink: where its dyes come to lie on a strip, told and drawn."""

from __future__ import annotations

import json

import numpy as np
import pytest
from click.testing import CliRunner

from glaze.charts.paper.marks import Image
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.strip_sheet import LONG_MM, strip_sheets
from glaze.cli.main import glaze as program
from glaze.errors import InputError
from glaze.patch.table import Table, table_of
from glaze.planning.looks.ink_strip import (
    BELOW_MM,
    PER_MM,
    RUN_MM,
    STROKE_MM,
    along_strip,
    plan_strips,
    strip_of,
    strip_words,
)
from tests.charts.sheet_faults import faults

LABORATORIES = {
    "Acid Blue 9": (1.0, 0.80, 1.0),
    "Acid Yellow 23": (0.56, 0.48, 0.65),
    "Food Yellow 3": (0.46, 0.55, 0.71),
    "Food Red 17": (0.42, 0.30),
}
"""Rf of food dyes on paper in dilute salt water, as student laboratories read them (antiessays
330711, studymode 49186959, csseleven "paper chromatography"); not peer reviewed."""


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


@pytest.mark.parametrize("dye", LABORATORIES)
def test_a_food_dye_lies_where_the_laboratories_found_it(table: Table, dye: str) -> None:
    ink = next(i for i in table.palette.inks.values() if dye in i.contents_g_per_l)
    band = next(b for b in strip_of(table, f"{ink.name} 1").bands if b.name == dye)
    found = LABORATORIES[dye]
    assert band.mm == pytest.approx(RUN_MM * np.mean(found), abs=0.5)
    assert band.low_mm <= RUN_MM * (min(found) + 0.1)
    assert band.high_mm >= RUN_MM * (max(found) - 0.1)
    assert band.standing == "estimated"
    assert "read from strips" in strip_words(band)


def test_the_yellow_is_seen_where_its_band_is(table: Table) -> None:
    strip = strip_of(table, "Yellow 1")
    blue = strip.colours[0, :, 2].astype(float)
    at_mm = (np.argmin(blue) + 0.5) / PER_MM - BELOW_MM
    assert at_mm == pytest.approx(0.563 * RUN_MM, abs=1.0)  # Acid Yellow 23, mean of three


@pytest.mark.parametrize("recipe", ["Blue 1", "Black 1", "Blue 3 + Yellow 2"])
def test_all_that_the_stroke_held_lies_on_the_strip_behind_the_front(
    table: Table, recipe: str
) -> None:
    mm = (np.arange(4000) + 0.5) / 40 - BELOW_MM
    for band in strip_of(table, recipe).bands:
        share = along_strip(mm, band)
        assert share.sum() / 40 == pytest.approx(STROKE_MM, rel=2e-3)
        assert not share[mm > RUN_MM].any()


def test_a_black_parts_into_the_colours_it_is_mixed_of(table: Table) -> None:
    """Blacks are nearly always mixtures (common practice, no source)."""
    strip = strip_of(table, "Black 1")
    assert [band.name for band in strip.bands] == ["Food Yellow 3", "Food Red 17", "Acid Black 1"]
    assert [band.standing for band in strip.bands] == ["estimated", "estimated", "assumed"]


def test_strips_are_drawn_at_true_size_and_left_to_paint(table: Table) -> None:
    strips = plan_strips(table)
    assert [strip.name for strip in strips] == [ink.name for ink in table.palette.bottles]
    pages = strip_sheets(table, strips, Layout(day="2026-01-02"))
    drawn = [mark for page in pages for mark in page.marks if isinstance(mark, Image)]
    assert {mark.width for mark in drawn} == {LONG_MM}
    assert len(drawn) == len(strips)
    blank = strip_sheets(table, strips, Layout(mode="blank", day="2026-01-02"))
    assert not any(isinstance(mark, Image) for page in blank for mark in page.marks)


@pytest.mark.parametrize("size", ["A4", "Letter", "A3"])
def test_every_page_is_fit_to_print(table: Table, size: str) -> None:
    strips = plan_strips(table, ["Separating Black 1", "Blue 2 + Red 1 + Black 1"])
    assert not faults(strip_sheets(table, strips, Layout(size, day="2026-01-02")))


def test_the_command_tells_the_bands_as_json(tmp_path) -> None:
    out = str(tmp_path / "ink.pdf")
    run = CliRunner().invoke(program, ["chart", "fringe", "--of", "Yellow", "-o", out, "--json"])
    assert run.exit_code == 0, run.output
    told = json.loads(run.stdout)
    assert told["pages"] == 2
    (band,) = told["strips"][0]["bands"]
    assert band["name"] == "Acid Yellow 23"
    assert band["rf_low"] < band["rf"] < band["rf_high"]


def test_water_has_no_strip(table: Table) -> None:
    with pytest.raises(InputError, match="as good as water"):
        strip_of(table, "Blue 1 + water 900")
