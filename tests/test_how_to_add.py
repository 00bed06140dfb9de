"""What DEVELOPERS.md says of adding a dye, an ink, a view and a chart, followed to the letter.

A kind of step is added in tests/step/test_kinds.py.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator

import click
import numpy as np
import pytest
from click.testing import CliRunner
from small_scenes import SMALL, write_sketch

import glaze
from glaze import pipeline
from glaze.charts.sheets.parts import start_sheet
from glaze.cli import chart_commands
from glaze.cli.main import glaze as command
from glaze.cli.printing import chart_of
from glaze.materials import dye, entries, ink
from glaze.materials.tables import make_dyes
from glaze.physics.spectrum import gaussian_sum

NEW_DYE = """
["Acid Teal 0"]
kind = "dye"
other_name = "made up for a test"
ci_number = "00000"
colour = "teal"
formula = "C1"
molar_mass = { value = 700, unit = "g/mol", source = "none", how = "assumed" }
peak_absorptivity = { value = 100, unit = "L/(g cm)", source = "none", how = "assumed", factor = 2 }
k_ocl = { value = 0.5, unit = "L/(mol s) at 25 C", source = "none", how = "assumed", factor = 5 }
k_hocl = { value = 20, unit = "L/(mol s) at 25 C", source = "none", how = "assumed", factor = 5 }
ea_ocl = { value = 35, unit = "kJ/mol", source = "none", how = "assumed" }
ea_hocl = { value = 27, unit = "kJ/mol", source = "none", how = "assumed" }
oxidant = { value = 2, unit = "mol/mol", source = "none", how = "assumed", factor = 1.5 }
loose_fraction = { value = 0.6, unit = "-", source = "none", how = "assumed", factor = 1.5 }
mobility = { value = 0.9, unit = "-", source = "none", how = "assumed", factor = 1.5 }
light_fastness = { value = 3, unit = "1 to 8", source = "none", how = "assumed" }
"""


@pytest.fixture
def tables(tmp_path, monkeypatch) -> Iterator:
    """A copy of the tables to write in, read in place of the real ones."""
    folder = tmp_path / "tables"
    shutil.copytree(entries.TABLES, folder)
    for module in (dye, ink, entries):
        monkeypatch.setattr(module, "TABLES", folder, raising=False)
    caches = [dye._built_in, *(f for f in vars(ink).values() if hasattr(f, "cache_clear"))]
    for one in caches:
        one.cache_clear()
    yield folder
    for one in caches:
        one.cache_clear()


def test_a_dye_fitted_from_its_curve_lifts_and_paints(tables, tmp_path, monkeypatch):
    # a curve of two bands; the fit has to find them again
    at_nm = np.arange(350.0, 801.0, 1.0)
    true = gaussian_sum(at_nm, np.array([630.0, 420.0]), np.array([1100.0, 1500]), [1.0, 0.3])
    rows = "\n".join(f"{nm:.0f},{value:.6f}" for nm, value in zip(at_nm, true, strict=True))
    (tmp_path / "teal.csv").write_text(f"wavelength_nm,value\n{rows}\n")
    fitted = make_dyes.fit_curve(
        tmp_path, make_dyes.Curve("Acid Teal 0", "teal", None, "fitted", "none")
    )
    for name, text in (("dyes.toml", NEW_DYE), ("dye_bands.toml", fitted)):
        file = tables / name
        file.write_text(file.read_text(encoding="utf-8") + "\n" + text, encoding="utf-8")

    found = dye.load_dyes()["Acid Teal 0"]
    assert found.absorptivity_l_per_g_cm(at_nm) / 100 == pytest.approx(
        true / true[at_nm >= 400].max(), abs=0.01
    )

    # an ink of it, in a painter's own file
    own = tmp_path / "inks.toml"
    own.write_text(
        'based_on = "lifting"\n[[ink]]\nname = "Teal"\nkey = "T"\n'
        'dyes_g_per_l = { "Acid Teal 0" = 1.5 }\n'
    )
    table = glaze.table_of(str(own), "white cartridge")
    laid = glaze.Scrap(table).wash("Teal 1")
    red, green, blue = laid.picture(px=1).rgb[0, 0]
    assert red < min(green, blue) - 30
    before = laid.value[0, 0]
    laid.lift(parts_water=0)
    assert laid.value[0, 0] > before + 1


def test_an_own_dye_and_ink_need_no_code(tmp_path):
    own = tmp_path / "inks.toml"
    own.write_text(
        'based_on = "lifting"\n'
        '[[dye]]\nname = "moss"\nk_ocl = 0.2\n'
        "curve_l_per_g_cm = [[380, 60], [450, 40], [520, 5], [600, 30], [680, 50], [780, 5]]\n"
        '[[ink]]\nname = "Moss"\nkey = "M"\ndyes_g_per_l = { "moss" = 3 }\n'
    )
    run = CliRunner().invoke(command, ["name", "Moss", "--palette", str(own)])
    assert run.exit_code == 0, run.output
    # of these bottles only blue and yellow together absorb red and blue light
    assert "Blue" in run.output
    assert "Yellow" in run.output


def test_a_view_is_a_function_and_a_name(tmp_path, monkeypatch):
    write_sketch(tmp_path / "sketch.png")
    (tmp_path / "scene.toml").write_text(SMALL, encoding="utf-8")
    monkeypatch.setitem(pipeline._SEEN_AS, "turned", lambda rgb: 1 - rgb)
    monkeypatch.setattr(pipeline, "VIEWS", (*pipeline.VIEWS, "turned"))
    plain = pipeline.paint(tmp_path)
    turned = pipeline.paint(tmp_path, view="turned")
    at = plain.rgb.reshape(-1, 3).sum(axis=1)
    lightest, darkest = turned.rgb.reshape(-1, 3)[[at.argmax(), at.argmin()]].astype(int)
    assert lightest.sum() < darkest.sum() - 200


@click.command()
@chart_of("bottles")
def bottles(table, layout):
    """Names of the bottles, on a page."""
    page = start_sheet(table, layout, "Bottles", "What stands on the table", bleach=False)
    for number, one in enumerate(table.palette.bottles):
        page.text(page.left, page.top + 6.0 * number, one.name)
    return [page], []


def test_a_chart_is_a_command_and_a_line(tmp_path, monkeypatch):
    monkeypatch.setattr(chart_commands, "bottles", bottles, raising=False)
    monkeypatch.setitem(
        chart_commands.CHARTS, "bottles", ("chart_commands:bottles", "Names of the bottles.")
    )
    assert "Names of the bottles." in CliRunner().invoke(command, ["chart", "--help"]).output
    run = CliRunner().invoke(command, ["chart", "bottles", "-o", str(tmp_path / "b.svg")])
    assert run.exit_code == 0, run.output
    drawn = (tmp_path / "b.svg").read_text(encoding="utf-8")
    for name in ("Blue", "Red", "Yellow", "Black"):
        assert name in drawn
