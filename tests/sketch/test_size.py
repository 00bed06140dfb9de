"""Sizes in a painter's words, and photographed sheets made straight."""

from __future__ import annotations

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from glaze.cli.start_commands import new
from glaze.errors import InputError
from glaze.scene.file import load_scene
from glaze.scene.laid_out import sketch_of
from glaze.sketch.line import read_sketch
from glaze.sketch.size import size_mm_of
from glaze.sketch.straighten import straighten


@pytest.mark.parametrize(
    ("words", "pixels", "size"),
    [
        ("A5", (1748, 2480), (148, 210)),  # ISO 216
        ("a5", (2480, 1748), (210, 148)),
        ("A0", (9933, 14043), (841, 1189)),
        ("A1", (19866, 14031), (841, 594)),
        ("210x148mm", (2480, 1748), (210, 148)),
        ("148×210", (1748, 2480), (148, 210)),
        ("14.8 x 21 cm", (1748, 2480), (148, 210)),
        ("300", (3000, 2000), (300, 200)),
        ("Letter", (100, 130), (215.9, 279.4)),  # ANSI/ASME Y14.1
    ],
)
def test_a_size_is_read_as_painters_write_it(words, pixels, size):
    assert size_mm_of(words, pixels) == pytest.approx(size)


@pytest.mark.parametrize("words", ["A9", "wide", "", "1x2x3", "..x4"])
def test_other_words_are_told_what_a_size_looks_like(words):
    with pytest.raises(InputError, match="210x148"):
        size_mm_of(words, (10, 10))


def test_a_picture_of_another_shape_is_told_how_to_go_on(tmp_path):
    Image.fromarray(np.full((400, 300), 250, np.uint8)).save(tmp_path / "p.png")
    with pytest.raises(InputError) as told:
        read_sketch(tmp_path / "p.png", size_mm=(148, 210))
    # 300 : 400 on 148 : 210 is 148 x 197.3 mm whole, or 281.9 px of 300 wide
    ways = (
        "glaze new --shape crop takes 6 % of the width",
        "--shape fit it shows all of it at 148 x 197",
    )
    for part in ("1 : 1.33", "1 : 1.42", "--size 148", "148 x 197 mm", "--corners find", *ways):
        assert part in str(told.value)
    assert read_sketch(tmp_path / "p.png", size_mm=size_mm_of("148", (300, 400))).size_mm[
        0
    ] == pytest.approx(148)


def test_new_makes_a_photographed_sheet_square_and_says_its_size(tmp_path):
    photo = np.full((1100, 850), 70, np.uint8)
    photo[50:1000, 60:730] = 245
    photo[300:310, 100:600] = 20
    Image.fromarray(photo).save(tmp_path / "photo.png")
    line = [str(tmp_path / "photo.png"), "--size", "A5", "--corners", "find"]
    done = CliRunner().invoke(new, line, catch_exceptions=False)
    assert done.exit_code == 0, done.output
    assert "The sheet is 148 x 210 mm" in done.output
    scene = load_scene(tmp_path / "photo")
    assert sketch_of(scene).size_mm == pytest.approx((148, 210), abs=0.2)
    with pytest.raises(InputError, match="needs the sheet's size"):
        CliRunner().invoke(new, [*line[:1], *line[3:]], catch_exceptions=False)


@pytest.mark.parametrize("given", ["find", "82,61 741,40 790,1010 30,950"])
def test_a_photographed_sheet_lies_square_again(tmp_path, given):
    # an A5 sheet with four dots, drawn in perspective by Pillow onto a dark table
    sheet = np.full((2100 // 2, 1480 // 2), 245, np.uint8)
    dots = [(150, 200), (600, 210), (580, 900), (140, 880)]
    for x, y in dots:
        sheet[y - 6 : y + 7, x - 6 : x + 7] = 20
    corners = [(82, 61), (741, 40), (790, 1010), (30, 950)]
    rows, columns = sheet.shape
    square = [(0, 0), (columns, 0), (columns, rows), (0, rows)]
    # Pillow wants the way back: eight coefficients of output to input, by its own convention
    lines = []
    for (x, y), (u, v) in zip(corners, square, strict=True):
        lines += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
    way = np.linalg.solve(np.array(lines, float), np.array(square, float).ravel())
    photo = Image.fromarray(sheet).transform(
        (850, 1100),
        Image.Transform.PERSPECTIVE,
        tuple(way),
        Image.Resampling.BILINEAR,
        fillcolor=70,
    )
    photo.save(tmp_path / "photo.png")
    rgb = straighten(tmp_path / "photo.png", given, (148, 210))
    per_mm = rgb.shape[1] / 148
    assert rgb.shape[0] / 210 == pytest.approx(per_mm, rel=1e-3)
    dark = rgb[..., 1] < 120
    for x, y in dots:
        at = np.array([x, y]) / 5 * per_mm  # the drawn sheet has 5 px to the mm
        near = dark[int(at[1]) - 40 : int(at[1]) + 40, int(at[0]) - 40 : int(at[0]) + 40]
        found = np.argwhere(near).mean(axis=0) - 39.5
        assert np.hypot(*found) / per_mm < 0.6  # mm


@pytest.mark.parametrize(("way", "width_mm"), [("crop", 105.0), ("fit", 98.7)])
def test_a_picture_is_brought_to_its_sheets_shape(tmp_path, way, width_mm):
    # uneven light, a ring in the middle, and a line that runs off the lower edge
    light = np.linspace(245, 215, 300)[None, :] * np.ones((400, 1))
    y, x = np.indices((400, 300))
    light[np.abs(np.hypot(x - 150, y - 200) - 100) < 2] = 20
    light[300:, 148:152] = 20
    Image.fromarray(light.astype(np.uint8)).save(tmp_path / "p.png")
    line = [str(tmp_path / "p.png"), "--size", "148x210", "--shape", way]
    done = CliRunner().invoke(new, line, catch_exceptions=False)
    assert "The sheet is 148 x 210 mm" in done.output
    read = sketch_of(load_scene(tmp_path / "p"))
    rows, columns = read.shape
    assert columns / rows == pytest.approx(148 / 210, abs=0.003)
    # the ring of 200 px: 148 mm are 281.9 px of the cropped picture, or 300 of the whole
    middle = np.flatnonzero(read.line[rows // 2] < 0.5) * 148 / columns
    assert np.ptp(middle) == pytest.approx(width_mm * 202 / 200, abs=1.0)
    if way == "fit":
        # no line at the seam, none drawn on into the margin
        margin = (rows - 400) // 2
        assert margin == pytest.approx((300 * 210 / 148 - 400) / 2, abs=1)
        assert read.line[: margin + 20].min() > 0.9
        assert read.line[rows - margin + 2 :].min() > 0.9


def test_a_tiny_picture_of_a_huge_sheet_is_started_as_any_other(tmp_path):
    """165 pixels on A0 are 3.5 dpi: figures of 8 pt are 0.4 px there, less than a font can be."""
    grey = np.full((117, 165), 250, np.uint8)
    grey[2, 2:-2] = grey[-3, 2:-2] = grey[2:-2, 2] = grey[2:-2, -3] = 20
    Image.fromarray(grey).save(tmp_path / "p.png")
    done = CliRunner().invoke(new, [str(tmp_path / "p.png"), "--size", "A0"])
    assert done.exit_code == 0, done.exception
    with Image.open(tmp_path / "p" / "areas.png") as areas:
        assert areas.width > 100
