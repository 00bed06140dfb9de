"""`glaze calibrate` and `glaze chart swatches` as they are typed."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner
from swatch_painter import paint_page

from glaze.charts.content.swatch_coats import coats_page
from glaze.cli.calibrate_commands import calibrate, swatches
from glaze.errors import InputError
from glaze.materials.ink import load_palette


def run(command, *arguments):
    return CliRunner().invoke(command, [str(a) for a in arguments])


def test_a_scan_becomes_inks_and_a_report(scan, tmp_path, looked_over):
    inks, report = tmp_path / "inks.toml", tmp_path / "report.pdf"
    done = run(calibrate, scan, "-o", inks, "--fit", "strength", "--report", report)
    assert done.exit_code == 0, done.output
    assert "times the palette's strength" in done.output
    assert load_palette(inks).inks["Black"].how == "measured"
    assert report.read_bytes().startswith(b"%PDF")


def test_json_is_one_object_with_the_strengths(scan, tmp_path):
    done = run(calibrate, scan, "-o", tmp_path / "i.toml", "--fit", "strength", "--json")
    found = json.loads(done.stdout)
    assert found["inks"]["Black"]["strength"] == pytest.approx(0.6, rel=0.03)
    assert found["inks"]["Black"]["strength_factor"] >= 1.1
    assert len(found["inks"]["Black"]["patches"]) == 6


def test_nothing_is_written_when_the_scan_is_wrong(tmp_path):
    (tmp_path / "cat.png").write_bytes(b"no picture")
    done = run(calibrate, tmp_path / "cat.png", "-o", tmp_path / "inks.toml")
    assert isinstance(done.exception, InputError)
    assert [p.name for p in tmp_path.iterdir()] == ["cat.png"]


def test_an_output_that_is_there_is_refused_before_the_scan_is_read(tmp_path):
    (tmp_path / "inks.toml").write_text("mine")
    done = run(calibrate, tmp_path / "none.png", "-o", tmp_path / "inks.toml")
    assert "is there already" in str(done.exception)


def test_the_swatch_sheet_is_printed_with_the_caution(tmp_path):
    done = run(swatches, "-o", tmp_path / "sheet.pdf", "--page", "Letter")
    assert done.exit_code == 0, done.output
    assert "gloves" in done.output
    assert (tmp_path / "sheet.pdf").exists()


def test_the_page_of_coats_is_read_beside_the_strips(scan, table, painter, save, tmp_path):
    coats = save(paint_page(coats_page(table), painter, dpi=120), "coats.png")
    done = run(
        *(calibrate, scan, coats, "-o", tmp_path / "inks.toml", "--fit", "strength", "--json")
    )
    found = json.loads(done.stdout)
    assert found["inks"]["Blue"]["patches"][-1]["patch"] == "Blue 1+50"
    assert len(found["checks"]) == 37
    assert found["checked"]["weakest"] == pytest.approx(1 / 51, rel=0.01)
    assert load_palette(tmp_path / "inks.toml").checked.overlay_times.value < 1.0
