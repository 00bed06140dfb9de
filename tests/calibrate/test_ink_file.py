"""Written inks and papers: read by the same loaders as any palette, and never over a file."""

from __future__ import annotations

import numpy as np
import pytest
from swatch_painter import Painter, linear_rgb, paint_page

from glaze.calibrate.fit.own_inks import calibrate
from glaze.calibrate.report.ink_file import write_inks, write_paper
from glaze.calibrate.scan.swatch import apart, read_swatches
from glaze.errors import InputError
from glaze.materials.ink import load_palette
from glaze.materials.paper import load_paper
from glaze.patch.patches import bare_patches, glaze
from glaze.patch.patches import linear_rgb as seen_rgb
from glaze.patch.table import table_of


@pytest.fixture(scope="module")
def found(scan, page, table):
    return calibrate([read_swatches(scan, [page])], table, kind="strength")


def patch(table, *recipes):
    sheet = bare_patches(table)
    for recipe in recipes:
        glaze(table, sheet, table.mix(recipe))
    return seen_rgb(table, sheet)[0, 0]


def test_a_written_palette_paints_what_was_painted(found, painter, tmp_path):
    path = write_inks(found, tmp_path / "inks.toml")
    table = table_of(str(path), "white cartridge")
    for ink, q in (("Black", 0.2), ("Red", 0.5), ("Yellow", 1.0)):
        water = 1 / q - 1
        wash = f"{ink} 1 part" + (f" + water {water:g} parts" if water else "")
        true = linear_rgb(painter.reflectance([({ink: 1.0}, q)]))
        assert apart(patch(table, wash), np.maximum(true, 0)) < 0.6


def test_what_own_patches_were_off_by_is_written_and_read_back(found, tmp_path):
    """Root mean square, times Student's t over normal for so few (nine: 1.833/1.645)."""
    gaps = np.array([[check.value_gap, check.de00] for check in found.checks])
    assert len(gaps) == 9
    value, de00 = np.sqrt(np.mean(gaps**2, axis=0)) * 1.833 / 1.645
    kept = load_palette(write_inks(found, tmp_path / "inks.toml")).checked
    # all well off the paper, so that they show their whole error or nearly
    assert kept.more_inks.value == pytest.approx(value, rel=0.1)
    assert kept.more_inks.colour == pytest.approx(de00, rel=0.1)
    assert 0.0 < kept.one_ink.colour < 1.5
    assert kept.scanner.colour > 0.0


def test_inks_that_were_not_on_the_sheet_are_still_there(found, tmp_path):
    palette = load_palette(write_inks(found, tmp_path / "inks.toml"))
    assert "Neon Pink" in palette.inks
    assert palette.inks["Neon Pink"].how == "invented"
    assert palette.inks["Blue"].how == "measured"
    assert palette.inks["Blue"].strength_factor < 1.3


def test_measured_colourants_make_the_round_trip(scan, page, table, tmp_path):
    measured = calibrate([read_swatches(scan, [page])], table, kind="measured")
    path = write_inks(measured, tmp_path / "inks.toml")
    again = table_of(str(path), "white cartridge")
    for wash in ("Red 1 part + water 2 parts", "Blue 1 part + water 4 parts"):
        before = patch(measured.table, wash)
        assert apart(patch(again, wash), before) < 0.05


def test_a_file_that_is_there_is_not_written_over(found, tmp_path):
    path = tmp_path / "inks.toml"
    path.write_text("mine")
    with pytest.raises(InputError, match="is there already"):
        write_inks(found, path)
    assert path.read_text() == "mine"
    write_inks(found, path, replace=True)
    assert load_palette(path).inks["Blue"].how == "measured"


@pytest.mark.parametrize("name", ["inks.txt", "no/such/folder/inks.toml"])
def test_places_that_cant_be_written_are_refused(found, tmp_path, name):
    with pytest.raises(InputError, match=r"toml|folder"):
        write_inks(found, tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_users_own_palette_keeps_its_other_inks(scan, page, tmp_path, table):
    own = tmp_path / "own.toml"
    own.write_text(
        'based_on = "lifting"\n[[ink]]\nname = "Moss"\ndyes_g_per_l = { "Acid Yellow 23" = 1, '
        '"Acid Blue 9" = 0.4 }\n[[ink]]\nname = "Blue"\nkey = "B"\n'
        'dyes_g_per_l = { "Acid Blue 9" = 1 }\n'
    )
    mine = table_of(str(own), "white cartridge")
    found = calibrate([read_swatches(scan, [page])], mine, kind="strength")
    palette = load_palette(write_inks(found, tmp_path / "new.toml", str(own)))
    assert palette.inks["Moss"].contents_g_per_l == {"Acid Yellow 23": 1, "Acid Blue 9": 0.4}
    assert palette.inks["Blue"].how == "measured"
    assert list(palette.inks["Blue"].contents_g_per_l) == ["Acid Blue 9"]


def test_a_paper_told_by_a_card_is_read_back_with_its_tint(page, table, save, tmp_path):
    cream = table_of("lifting", "cream cartridge")
    painter = Painter(cream.palette, cream.paper, {})
    scan = save(paint_page(page, painter, dpi=100), "card2.png")
    found = calibrate([read_swatches(scan, [page])], table, kind="strength", grey=0.18)
    path = write_paper(found, tmp_path / "paper.toml", "white cartridge")
    again = table_of("lifting", str(path))
    tint = again.paper_reflectance @ again.light.display_weights
    assert tint == pytest.approx(linear_rgb(painter.reflectance([])), abs=0.02)
    assert load_paper(path).surface == "matte absorbent"
