"""Blocks painted wet: what lies in each half and between, told in every language, to paint."""

from __future__ import annotations

import json

import numpy as np
import pytest
from click.testing import CliRunner

from glaze.charts.content.lesson_words import lesson_languages, lesson_words
from glaze.charts.content.wet_blocks import (
    BLACK_ML,
    HIGH_MM,
    HUE_ML,
    LONG_MM,
    plan_wet_blocks,
    wet_block,
)
from glaze.charts.paper.marks import Image, Shape, Text
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.wet_blocks_sheet import wet_blocks_sheets
from glaze.cli.main import glaze as program
from glaze.errors import InputError
from glaze.patch.patches import bare_patches, glaze, lab
from glaze.patch.table import Table, table_of
from glaze.physics.colour import delta_e_2000
from tests.charts.sheet_faults import faults

DAY = "2026-01-02"


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


@pytest.fixture(scope="module")
def yellow(table: Table):
    return wet_block(table, "Yellow 1", "Black")


def test_each_half_is_in_its_middle_the_flat_wash_of_its_film(table: Table, yellow) -> None:
    for place, recipe, film in (
        ("hue", "Yellow 1 + water 1", HUE_ML),
        ("black", "Black 1 + water 3", BLACK_ML),
    ):
        look = next(p.look for p in yellow.places if p.place == place)
        flat = lab(table, glaze(table, bare_patches(table), table.mix(recipe), 1, film))
        # the black runs on into the hue, so a little less of it is left
        assert delta_e_2000(np.array(look.lab), flat)[0, 0] < 4.0


def test_yellow_turns_olive_to_brown_on_its_way_to_black(yellow) -> None:
    """Black charged into yellow: common practice, no source."""
    meets = [p for p in yellow.places if p.place == "meets"]
    values = [p.look.value for p in yellow.places]
    assert len(meets) == 3
    assert "olive" in meets[-1].look.words
    assert values[1] > meets[0].look.value > meets[1].look.value > meets[2].look.value > values[-2]
    assert [p.mm for p in yellow.places] == sorted(p.mm for p in yellow.places)
    # the fuller black runs into the hue, by millimetres
    assert meets[1].mm < LONG_MM / 2 - 1.0
    assert 3.0 < yellow.blend_mm < 20.0


def test_the_edge_is_darker_than_the_middle(yellow) -> None:
    look = {p.place: p.look for p in yellow.places if p.place != "meets"}
    assert look["black_edge"].value < look["black"].value


def test_the_usual_hues_are_three_primaries_and_an_orange(table: Table) -> None:
    blocks = plan_wet_blocks(table)
    assert [b.name for b in blocks] == ["Yellow", "Yellow 3 + Red 3", "Red", "Blue"]
    assert {b.black for b in blocks} == {"Black"}


@pytest.mark.parametrize("language", lesson_languages())
def test_a_sheet_speaks_its_language_and_is_fit_to_print(
    table: Table, yellow, language: str
) -> None:
    words = lesson_words(language)
    pages = wet_blocks_sheets(table, [yellow] * 4, Layout(day=DAY), words)
    told = " ".join(m.text for page in pages for m in page.marks if isinstance(m, Text))
    assert words("wet_blocks.title") in told
    assert words("wet_blocks.meets") in told
    assert not faults(pages)


@pytest.mark.parametrize(("mode", "pictures", "empty"), [("predicted", 1, 1), ("blank", 0, 2)])
def test_an_empty_block_of_true_size_stands_beside(
    table: Table, yellow, mode: str, pictures: int, empty: int
) -> None:
    (page,) = wet_blocks_sheets(table, [yellow], Layout(mode=mode, day=DAY), lesson_words())
    assert sum(isinstance(m, Image) for m in page.marks) == pictures
    sizes = []
    for mark in page.marks:
        if isinstance(mark, Shape) and mark.name in ("wet-1-blank", "wet-1-own"):
            sizes.append(tuple(np.ptp(np.array(mark.points), axis=0).round(6)))
    assert sizes == [(LONG_MM, HIGH_MM)] * empty


def test_the_command_tells_its_figures(tmp_path) -> None:
    out = str(tmp_path / "wet.pdf")
    given = ["chart", "blocks", "--wet", "--of", "Red 2", "--language", "fr", "-o", out, "--json"]
    run = CliRunner().invoke(program, given)
    assert run.exit_code == 0, run.output
    (block,) = json.loads(run.stdout)["blocks"]
    assert block["recipe"] == "Red 2"
    assert [p["place"] for p in block["places"]] == [
        *("edge", "hue", "meets", "meets", "meets", "black", "black_edge"),
    ]


def test_language_is_of_wet_blocks_and_kinds_of_graded_ones(tmp_path) -> None:
    out = str(tmp_path / "b.pdf")
    for given in (["--language", "de"], ["--wet", "--kinds", "primaries"]):
        run = CliRunner().invoke(program, ["chart", "blocks", *given, "-o", out])
        assert run.exit_code != 0
        told = str(run.exception) if isinstance(run.exception, InputError) else run.output
        assert "leave it out" in told
