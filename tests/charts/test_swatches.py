"""The swatch sheet at true size: what is printed where, read back from the PDF itself."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from pdf_content import drawn_paths
from pypdf import PdfReader

from glaze.charts.content.swatch_layout import RUNGS, swatch_pages
from glaze.charts.content.swatch_page import FIELD_BOTTOM_MM, PrintedPlace
from glaze.charts.paper.publish import write_pages
from glaze.charts.sheets.swatches import swatch_sheet
from glaze.errors import InputError
from glaze.materials.mix import mix_recipe
from glaze.patch.table import table_of


@pytest.fixture(scope="module")
def table():
    return table_of("lifting", "white cartridge")


@pytest.mark.parametrize(("size", "points"), [("A4", (595.28, 841.89)), ("Letter", (612.0, 792.0))])
def test_the_page_has_the_size_of_the_standard(table, size, points, tmp_path):
    # ISO 216: 210 x 297 mm; US Letter: 8.5 x 11 in; 1 pt = 1/72 in
    path = tmp_path / "sheet.pdf"
    write_pages(swatch_sheet(table, size, day="2026-01-01"), path)
    box = PdfReader(path).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(points, abs=0.01)


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_marks_and_patches_are_printed_where_the_reader_looks(table, size, tmp_path):
    path = tmp_path / "sheet.pdf"
    write_pages(swatch_sheet(table, size, day="2026-01-01"), path)
    layout = swatch_pages(table, size)[0]
    paths = drawn_paths(path)
    discs = [p for p in paths if p.fill == (0.0, 0.0, 0.0) and len(p.points) > 60]
    middles = np.array([(p.points.min(axis=0) + p.points.max(axis=0)) / 2 for p in discs])
    for mark in layout.marks:
        assert (np.hypot(*(middles - mark).T) < 0.05).sum() == 2  # ring and disc
    corners = np.array([p.points.min(axis=0) for p in paths if p.stroked])
    for place in layout.places:
        assert np.hypot(*(corners - [place.x, place.y]).T).min() < 0.05


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_nothing_overlaps_and_all_lies_between_the_marks(table, size):
    page = swatch_pages(table, size)[0]
    for one, other in itertools.combinations(page.places, 2):
        apart_x = abs(one.x - other.x) >= one.width + 3
        apart_y = abs(one.y - other.y) >= one.height + 3
        assert apart_x or apart_y
    left, top = page.marks[0]
    right, bottom = page.marks[2]
    for place in page.places:
        assert left < place.x
        assert place.x + place.width < right + 4
        assert top + 4 < place.y
        assert place.y + place.height < bottom - 4
    assert bottom + 4 <= FIELD_BOTTOM_MM[size]


def test_what_is_read_is_clear_of_frames_and_dots(table):
    for place in swatch_pages(table)[0].places:
        left, top, right, bottom = place.read_box
        assert right - left > 7
        assert bottom - top > 9
        if place.dot is not None:
            assert place.dot[0] - 3.5 - right >= 1.5


@pytest.mark.parametrize(
    ("dot", "bleach", "box"),
    [
        (None, None, (12.5, 22.5, 27.5, 47.5)),  # 2.5 mm within the frame all round
        # the dot's circle is 7 mm across: 21 to 28 across the patch, read to 2 mm before it
        ((24.5, 35.0), None, (12.5, 22.5, 19.0, 47.5)),
        # and 41 to 48 down it, where a narrow patch has its dot below
        ((20.0, 44.5), (4.0, 1.0), (12.5, 22.5, 27.5, 39.0)),
    ],
)
def test_a_patch_is_read_beside_its_dot(dot, bleach, box):
    # by hand, of a patch 20 x 30 mm at 10, 20
    facts = "rung", "Blue 1+4", "", (), (), 4.0
    assert PrintedPlace(*facts, 10.0, 20.0, 20.0, 30.0, dot, bleach).read_box == box


def test_the_sheet_holds_what_calibration_needs(table):
    page = swatch_pages(table)[0]
    kinds = [place.kind for place in page.places]
    assert kinds.count("rung") == 4 * 6
    assert kinds.count("secondary") == 3
    assert kinds.count("over") == 6
    assert {"bare", "bleached", "grey card"} <= set(kinds)
    assert all(p.dot for p in page.places if p.kind in ("secondary", "over"))
    dotted = [p.name for p in page.places if p.kind == "rung" and p.dot]
    assert dotted == [f"{i} {r}" for i in ("Blue", "Red", "Yellow", "Black") for r in
                      ("neat", "1+4")]  # fmt: skip


def test_recipes_of_patches_mix_to_the_strength_printed(table):
    page = swatch_pages(table)[0]
    for place in page.places:
        for recipe in place.layers:
            mix = mix_recipe(recipe, table.palette)
            parts = place.parts if place.kind in ("rung", "over") else 1.0
            if place.kind == "over" and recipe == place.layers[0]:
                parts = 0.0 if place.name.endswith("neat") else 1.0
            assert mix.parts_water == pytest.approx(parts, abs=1e-4)


def test_a_thin_black_goes_over_the_darkest_hue_laid_neat(table):
    """What no measured set tells: 1 + 6 over a strong blue (an illustrator calls it grey film)."""
    over = [p for p in swatch_pages(table)[0].places if p.kind == "over"]
    assert [p.parts for p in over] == [4.0] * 5 + [6.0]
    assert over[-1].name == "Black 1+6 over Blue neat"
    assert over[-1].layers == ("Blue 1 parts", "Black 1 parts + water 6 parts")


def test_columns_spell_the_dilutions_out(table, tmp_path):
    path = tmp_path / "sheet.pdf"
    write_pages(swatch_sheet(table, day="2026-01-01"), path)
    text = " ".join(PdfReader(path).pages[0].extract_text().split())
    for parts in RUNGS[1:]:
        assert f"{parts:g} part{'' if parts == 1 else 's'} water" in text
    assert text.count("1 part +") >= 6


def test_the_caution_stands_on_every_page_and_in_full_on_one_of_its_own(table, tmp_path):
    from glaze.materials.bleach import CAUTION, CAUTION_LINE

    inks = ["Blue", "Red", "Yellow", "Black", "Neon Pink"]
    path = tmp_path / "sheet.pdf"
    write_pages(swatch_sheet(table, inks=inks, day="2026-01-01"), path)
    reader = PdfReader(path)
    texts = [" ".join(page.extract_text().split()) for page in reader.pages]
    assert len(texts) == 5  # two of strips, two of the lift experiment, the caution
    # in full it would lie over the marks that the scan is found by
    assert all(CAUTION_LINE in text for text in texts[:-1])
    assert " ".join(CAUTION.split()) in texts[-1]


def test_no_type_is_smaller_than_seven_points(table):
    from glaze.charts.paper.marks import Text

    for page in swatch_sheet(table, "Letter", day="2026-01-01"):
        assert min(mark.points for mark in page.marks if isinstance(mark, Text)) >= 7


def test_codes_differ_between_sizes_inks_and_pages(table):
    every = [*swatch_pages(table), *swatch_pages(table, "Letter")]
    every += swatch_pages(table, inks=["Blue", "Red"])
    every += swatch_pages(table, inks=["Blue", "Red", "Yellow", "Black", "Neon Pink"])
    codes = {page.code for page in every}
    assert len(codes) == len(every)


def test_a_palette_without_black_has_no_shadow_row(table):
    page = swatch_pages(table, inks=["Blue", "Yellow"])[0]
    assert not [p for p in page.places if p.kind == "over"]
    assert [p.inks for p in page.places if p.kind == "secondary"] == [("Blue", "Yellow")]


def test_bad_sizes_and_inks_are_refused_with_what_there_is(table):
    with pytest.raises(InputError, match="A4"):
        swatch_sheet(table, "A3")
    with pytest.raises(InputError, match="Blue"):
        swatch_sheet(table, inks=["Bleu"])
