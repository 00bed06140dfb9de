"""A finished painting against its prediction.

The paintings are synthetic: glaze's own picture with inks of other strengths, laid crooked, lit
unevenly and made noisy. So these tests are on finding the sheet and on finding the strengths
again, not on whether the model is right (docs/accuracy.md tells that).
"""

from __future__ import annotations

import json
import shutil
from dataclasses import replace

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageDraw
from swatch_painter import encode, photographed

from glaze.calibrate.report.comparison import compare
from glaze.calibrate.report.comparison_sheet import advice, comparison_sheets, inmost
from glaze.calibrate.report.suggest import scaled_palette
from glaze.cli.calibrate_commands import compare as command
from glaze.errors import InputError
from glaze.materials.ink import load_palette
from glaze.painting.settle import resolve
from glaze.pipeline import linear_rgb
from glaze.scene.file import load_scene
from glaze.scene.laid_out import table_of_scene
from glaze.sketch.edges import edges, resized, scaled_by
from glaze.sketch.register import register
from tests.charts.sheet_faults import faults

SCENE = """
format = 1
title = "A jar on a sill"
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"
[region.jar]
polygon_mm = [[30, 30], [70, 30], [74, 92], [26, 92]]
[region.sill]
polygon_mm = [[8, 92], [92, 92], [92, 122], [8, 122]]
[region.shade]
polygon_mm = [[50, 30], [70, 30], [74, 92], [92, 92], [92, 110], [50, 110]]
[region.lid]
polygon_mm = [[34, 16], [66, 16], [66, 30], [34, 30]]
[[step]]
wash = "glass"
mix = "Blue 1 part + water 4 parts"
region = "jar"
[[step]]
wash = "wood"
mix = "Yellow 3 parts + Red 1 part + water 4 parts"
region = "sill"
[[step]]
wash = "tin"
mix = "Red 1 part + water 2 parts"
region = "lid"
[[step]]
wash = "shadow"
mix = "Black 1 part + water 5 parts"
region = "shade"
"""

FACTORS = {"Black": 1.6, "Blue": 0.75}


@pytest.fixture(scope="module")
def scene_folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("jar")
    (folder / "scene.toml").write_text(SCENE)
    sketch = Image.new("L", (600, 800), 255)  # 100 x 133 mm at 152.4 dpi
    pen = ImageDraw.Draw(sketch)
    for outline in (
        [(30, 30), (70, 30), (74, 92), (26, 92)],
        [(8, 92), (92, 92), (92, 122), (8, 122)],
        [(34, 16), (66, 16), (66, 30), (34, 30)],
    ):
        points = [(x * 6, y * 6) for x, y in [*outline, outline[0]]]
        pen.line(points, 0, 3)
    pen.arc([210, 200, 290, 330], 20, 250, 0, 3)
    sketch.save(folder / "sketch.png", dpi=(152.4, 152.4))
    return folder


def keep(linear, path, noise=0.01):
    """As a scanner writes it; quickly, as nobody keeps it."""
    Image.fromarray(encode(linear, noise=noise)).save(path, compress_level=1)


def with_inks(folder, factors):
    """The picture of the scene with inks of other strengths, linear."""
    from unittest.mock import patch

    scene = load_scene(folder)
    palette = scaled_palette(table_of_scene(scene).palette, factors)
    with patch("glaze.scene.laid_out.palette_of", lambda scene: palette):
        return np.clip(linear_rgb(resolve(scene)), 0, 1)


@pytest.fixture(scope="module")
def painted(scene_folder):
    return with_inks(scene_folder, FACTORS)


@pytest.fixture(scope="module")
def plain(scene_folder):
    """As it is predicted."""
    return with_inks(scene_folder, {})


@pytest.fixture(scope="module")
def scan(painted, scene_folder):
    path = scene_folder / "scan.png"
    keep(painted, path)
    return path


@pytest.fixture(scope="module")
def found(scene_folder, scan):
    return compare(scene_folder, scan)


def test_zones_are_told_by_the_steps_that_lie_there(found):
    names = {zone.zone.name for zone in found.zones}
    assert names == {"glass", "glass + shadow", "wood", "wood + shadow", "tin"}


def test_each_zone_has_the_colour_it_was_painted_with(found, painted, scene_folder):
    # the tin holds no ink of another strength, the rest does
    by_name = {zone.zone.name: zone for zone in found.zones}
    assert by_name["tin"].de00 < 1.0
    assert by_name["wood + shadow"].value_gap < -0.3
    assert by_name["glass"].value_gap > 0.1


def test_a_scanner_that_is_off_is_not_taken_for_ink(scene_folder, plain):
    # nothing changed but the scanner: darker in its middle tones, redder, more vivid; written out
    # here as a look-up on the file's own values
    white = plain.reshape(-1, 3).max(axis=0)
    off = (plain / white) ** np.array([1.0, 1.10, 1.16]) * white
    grey = off.mean(axis=-1, keepdims=True)
    path = scene_folder / "off.png"
    keep(np.clip(grey + 1.06 * (off - grey), 0, 1), path)
    found = compare(scene_folder, path)
    assert found.mean_de00 > 2.0
    for factor, band in found.together.values():
        assert 1 / band < factor < band
    assert any("scanner or phone that is off" in line for line in advice(found))


def test_a_solid_drawn_black_tells_the_scanner_from_ink(scene_folder, tmp_path, monkeypatch):
    """A scanner that lifts the dark end, no ink changed: the line's own black shows it."""
    folder = tmp_path / "block"
    shutil.copytree(scene_folder, folder, ignore=shutil.ignore_patterns("scan*"))
    sketch = Image.open(folder / "sketch.png").convert("L")
    ImageDraw.Draw(sketch).rectangle([480, 60, 560, 150], fill=55)  # as ink dries
    sketch.save(folder / "sketch.png", dpi=(152.4, 152.4))
    right = with_inks(folder, {})
    paper = right[5, 5]
    keep(paper * (right / paper) ** 0.85, folder / "scan.png", noise=0.004)
    told = compare(folder, folder / "scan.png").together
    monkeypatch.setattr("glaze.calibrate.report.comparison.drawn_black", lambda *_: None)
    untold = compare(folder, folder / "scan.png").together
    assert abs(np.log(told["Black"][0])) < 0.8 * abs(np.log(untold["Black"][0]))
    assert all(1 / band < times < band for times, band in told.values())


def test_ink_that_changed_is_not_put_on_the_scanner(found):
    assert found.scanner < 0.8 * found.suggestions[0].explains
    assert not any("scanner or phone that is off" in line for line in advice(found))


def test_strengths_are_found_again_from_the_painting(found):
    assert found.suggestions[0].ink == "Black"
    for name, factor in FACTORS.items():
        got, band = found.together[name]
        assert got == pytest.approx(factor, rel=0.05)
        assert factor / band <= got <= factor * band
    assert found.together["Red"][0] == pytest.approx(1.0, rel=0.03)


@pytest.mark.parametrize(
    ("name", "corners", "size", "turn"),
    [
        ("on its side", None, None, 1),
        ("tilted photo", [(95, 70), (655, 40), (700, 880), (60, 840)], (960, 760), 0),
        ("from afar", [(300, 260), (640, 250), (650, 720), (290, 705)], (1000, 950), 0),
    ],
)
def test_the_sheet_is_found_however_it_was_taken(
    name, corners, size, turn, painted, found, scene_folder
):
    if corners is None:
        seen = np.rot90(painted, turn)
    else:
        seen = photographed(painted, corners, size, fall_off=0.1, tint=(1, 0.96, 0.85))
    path = scene_folder / "view.png"
    keep(seen, path)
    again = compare(scene_folder, path)
    flat = {zone.zone.name: zone.painted for zone in found.zones}
    for zone in again.zones:
        assert zone.painted == pytest.approx(flat[zone.zone.name], abs=0.02)


def test_the_corners_of_a_tilted_sheet_are_placed_within_half_a_millimetre(painted):
    Y = np.array([0.2126, 0.7152, 0.0722], np.float32)
    corners = np.array([(95, 70), (655, 40), (700, 880), (60, 840)], float)
    seen = photographed(painted, corners, (960, 760))
    match = register((painted @ Y).astype(np.float32), (seen @ Y).astype(np.float32))
    high, wide = painted.shape[:2]
    ends = np.array([[0, 0], [wide, 0], [wide, high], [0, high]]) - 0.5
    off = np.hypot(*(match.plane(ends) + 0.5 - corners).T)
    assert off.max() < 3  # px of 1/6 mm: half a millimetre
    assert match.seen > 0.97


class TestWhatCantBeLaidOver:
    def test_another_painting(self, scene_folder, tmp_path):
        rng = np.random.default_rng(4)
        other = Image.new("RGB", (600, 800), (235, 230, 220))
        pen = ImageDraw.Draw(other)
        for _ in range(25):
            x, y, r = rng.uniform(0, 600), rng.uniform(0, 800), rng.uniform(10, 90)
            colour = tuple(int(v) for v in rng.integers(40, 220, 3))
            pen.ellipse([x - r, y - r, x + r, y + r], fill=colour, outline=(20, 20, 20))
        other.save(tmp_path / "other.png")
        with pytest.raises(InputError, match="can't be laid over the scene's sketch"):
            compare(scene_folder, tmp_path / "other.png")

    def test_a_blank_sheet(self, scene_folder, tmp_path):
        Image.new("RGB", (600, 800), (240, 238, 230)).save(tmp_path / "blank.png")
        with pytest.raises(InputError, match="can't be laid over"):
            compare(scene_folder, tmp_path / "blank.png")

    def test_another_sheet_whose_own_edge_lies_where_a_frame_is_drawn(self, scene_folder, tmp_path):
        folder = tmp_path / "framed"
        shutil.copytree(scene_folder, folder, ignore=shutil.ignore_patterns("*.png"))
        framed = Image.new("L", (600, 800), 255)
        ImageDraw.Draw(framed).rectangle([30, 40, 570, 760], outline=0, width=4)
        framed.save(folder / "sketch.png", dpi=(152.4, 152.4))
        step = SCENE.index("[[step]]")
        (folder / "scene.toml").write_text(
            SCENE[:step] + SCENE[step:].split("[[step]]\nwash = ")[0]
        )
        blank = np.full((800, 600, 3), 0.85)
        corners = [(60, 60), (660, 50), (670, 850), (55, 845)]
        keep(photographed(blank, corners, (920, 740)), folder / "scan.png")
        with pytest.raises(InputError, match="as with the edge of another sheet"):
            compare(folder, folder / "scan.png")

    def test_half_the_sheet(self, painted, scene_folder, tmp_path):
        keep(painted[:400], tmp_path / "half.png", noise=0.004)
        with pytest.raises(InputError, match=r"can't be laid over|of the sheet is in the picture"):
            compare(scene_folder, tmp_path / "half.png")


def test_a_painting_like_its_prediction_needs_no_correction(scene_folder, plain, tmp_path):
    path = tmp_path / "same.png"
    keep(plain, path)
    found = compare(scene_folder, path)
    assert found.mean_de00 < 1.0
    assert "nothing to correct" in advice(found)[0]


def test_the_command_writes_a_report_and_corrected_inks(scene_folder, scan, tmp_path):
    report, inks = tmp_path / "report.pdf", tmp_path / "inks.toml"
    done = CliRunner().invoke(
        command, [str(scene_folder), str(scan), "-o", str(report), "--inks-out", str(inks)]
    )
    assert done.exit_code == 0, done.output
    assert "Explains most: Black 1." in done.output
    assert report.read_bytes().startswith(b"%PDF")
    palette = load_palette(inks)
    before = load_palette("lifting").inks["Black"].contents_g_per_l
    for dye, amount in palette.inks["Black"].contents_g_per_l.items():
        assert amount / before[dye] == pytest.approx(1.6, rel=0.05)
    assert palette.inks["Black"].how == "estimated"


def test_json_tells_zones_and_suggestions(scene_folder, scan, tmp_path):
    done = CliRunner().invoke(
        command, [str(scene_folder), str(scan), "-o", str(tmp_path / "r.png"), "--json"]
    )
    found = json.loads(done.stdout)
    assert len(found["zones"]) == 5
    assert found["suggestions"][0]["ink"] == "Black"


def test_the_report_numbers_every_zone_on_both_pictures(found):
    from glaze.charts.paper.marks import Text

    page = comparison_sheets(found)[0]
    texts = [mark.text for mark in page.marks if isinstance(mark, Text)]
    for number in range(1, len(found.zones) + 1):
        assert texts.count(str(number)) == 3  # twice on pictures, once beside its swatch


def test_the_report_goes_on_to_another_page_where_one_is_full_and_only_there(found):
    from glaze.charts.paper.marks import Text

    assert len(comparison_sheets(replace(found, notes=()))) == 1
    # by hand: 60 notes of one line, 4.5 mm each and 1.2 mm apart, are 342 mm; A4 is 297 mm high
    notes = tuple(f"Note number {n}." for n in range(60))
    pages = comparison_sheets(replace(found, notes=notes))
    assert 2 <= len(pages) <= 3
    lines = [mark for page in pages for mark in page.marks if isinstance(mark, Text)]
    assert [line.text for line in lines if line.text in notes] == list(notes)
    assert not faults(pages)


def test_the_inmost_pixel_is_the_middle_of_a_square():
    pixels = np.zeros((11, 15), bool)
    pixels[2:9, 4:11] = True
    assert inmost(pixels) == (5, 7)


def test_edges_do_not_depend_on_exposure():
    rng = np.random.default_rng(1)
    picture = np.where(np.arange(60)[None] > 30, 0.8, 0.4) * rng.uniform(0.98, 1, (60, 60))
    bright = edges(picture.astype(np.float32), 1.5)
    dim = edges((0.6 * picture).astype(np.float32), 1.5)
    assert np.abs(bright - dim).max() < 0.12
    assert bright[:, 28:33].max(axis=1).min() > 0.8


def test_resizing_keeps_the_mean_and_tells_its_scale():
    picture = np.linspace(0, 1, 400 * 300, dtype=np.float32).reshape(400, 300)
    small, scale = resized(picture, 100)
    assert small.shape == (100, 75)
    assert scale == 0.25
    assert small.mean() == pytest.approx(picture.mean(), abs=0.01)


def test_scaling_keeps_the_corner_of_the_first_pixel():
    # pixel middles are at whole numbers, so the picture's corner is at -0.5 in every scale
    assert scaled_by(0.25) @ [-0.5, -0.5, 1] == pytest.approx([-0.5, -0.5, 1])
