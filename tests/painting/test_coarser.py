"""A small picture is settled on coarser pixels: how far it may be from the whole one reduced."""

from __future__ import annotations

import colour
import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import center_of_mass

from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.examples import copy_example
from glaze.scene.file import load_scene
from glaze.sheet.flowing import CELL_MM


def lab(rgb: np.ndarray) -> np.ndarray:
    """CIELAB of 8-bit sRGB by colour-science."""
    xyz = colour.RGB_to_XYZ(rgb / 255, "sRGB", apply_cctf_decoding=True)
    return colour.XYZ_to_Lab(xyz)


@pytest.fixture(scope="module")
def lighthouse(tmp_path_factory):
    return load_scene(copy_example("lighthouse", tmp_path_factory.mktemp("coarser") / "lighthouse"))


@pytest.fixture(scope="module")
def whole_sheet(lighthouse):
    return resolve(lighthouse)


def test_a_quarter_of_the_size_is_within_a_quarter_of_a_step_of_the_whole_reduced(
    lighthouse, whole_sheet
):
    scale = 0.25
    small = resolve(lighthouse, scale=scale)
    whole = render(whole_sheet, scale=scale)
    found = render(small, scale=scale)
    assert small.line.size < 0.26 * 1748 * 2480
    assert found.rgb.shape == whole.rgb.shape
    assert found.dpi == pytest.approx(whole.dpi)
    off = colour.delta_E(lab(found.rgb), lab(whole.rgb), method="CIE 2000")
    assert off.mean() < 0.25
    assert np.quantile(off, 0.99) < 2.0


def test_areas_and_notes_are_those_of_the_sketch_as_it_was_read(lighthouse, whole_sheet):
    assert resolve(lighthouse, scale=0.1).notes == whole_sheet.notes


@pytest.mark.parametrize("scale", [0.0, -1.0, 101.0, float("nan")])
def test_a_scale_that_no_picture_can_have_is_told(lighthouse, scale):
    with pytest.raises(InputError, match=r"allowed: 0\.001 to 100"):
        resolve(lighthouse, scale=scale)


def test_an_area_smaller_than_a_pixel_of_a_small_picture_is_painted_where_it_lies(tmp_path):
    """Three boxes drawn side by side, the right one of 1.2 mm: a pixel at a twentieth is 5 mm."""
    grey = np.full((200, 600), 255, np.uint8)
    for left, right in ((10, 280), (280, 560), (560, 575)):
        grey[10:13, left:right] = grey[27:30, left:right] = 0
        grey[10:30, left : left + 3] = grey[10:30, right : right + 3] = 0
    Image.fromarray(grey).save(tmp_path / "sketch.png", dpi=(254, 254))
    (tmp_path / "scene.toml").write_text(
        """format = 1
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"
[[step]]
wash = "a"
mix = "Black 1"
region = { enclosed_at_mm = [57, 2] }
"""
    )
    scene, scale = load_scene(tmp_path), 0.02
    bare = scene.model_copy(update={"steps": ()})
    painted, plain = (render(resolve(s, scale=scale), scale=scale).rgb for s in (scene, bare))
    darker = (plain.astype(int) - painted).max(axis=(0, 2))
    there = int(56.75 / 60 * plain.shape[1])
    assert darker.argmax() == there
    assert darker.max() > 60
    assert darker[: there - 1].max() < 3  # a pixel's edge is soft


WET = """format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [70, 50]
dpi = 300
[[step]]
wash = "sky"
mix = "Yellow 1 + water 6"
film_ml_per_m2 = 120
region = { polygon_mm = [[5, 5], [60, 5], [60, 45], [5, 45]] }
[[step]]
charge = "cloud"
mix = "Black 1 + water 3"
into = "sky"
minutes = 2
region = { ellipse_mm = { centre = [CENTRE, 25], radii = [RADIUS, RADIUS] } }
"""


def charged(folder, centre: float, radius: float):
    text = WET.replace("CENTRE", str(centre)).replace("RADIUS", str(radius))
    (folder / "scene.toml").write_text(text)
    return load_scene(folder)


def test_a_small_picture_of_what_runs_together_is_near_the_whole_reduced(tmp_path):
    scene, scale = charged(tmp_path, 28, 11), 0.25
    small = resolve(scene, scale=scale)
    assert small.steps[1].passage.ready.film.size < 0.27 * (70 / CELL_MM) * (50 / CELL_MM)
    found = render(small, scale=scale).rgb
    whole = render(resolve(scene), scale=scale).rgb
    off = colour.delta_E(lab(found), lab(whole), method="CIE 2000")
    assert off.mean() < 0.5
    assert np.quantile(off, 0.99) < 5.0
    # the cloud is where it was: its middle within a tenth of a millimetre
    dark = [(255.0 - rgb.min(axis=2)) * (rgb.max(axis=2) < 190) for rgb in (found, whole)]
    middles = [np.array(center_of_mass(one)) for one in dark]
    assert np.abs(middles[0] - middles[1]).max() * 25.4 / 75 < 0.1


@pytest.mark.parametrize("scale", [0.25, 0.1, 0.05])
def test_a_drop_smaller_than_a_coarse_cell_is_charged_all_the_same(tmp_path, scale):
    scene = charged(tmp_path, 30, 0.45)
    with_it = resolve(scene, scale=scale)
    without = render(with_it.until(1), scale=scale).rgb.astype(int)
    assert (without - render(with_it, scale=scale).rgb).max() > 3


@pytest.mark.parametrize("scale", [1.0, 0.25, 0.1])
def test_a_charge_beside_its_wash_is_refused_at_every_scale(tmp_path, scale):
    """It ends 1.2 mm beyond the wash's edge, within one coarse cell and two of the whole's."""
    with pytest.raises(InputError, match="nowhere comes near it"):
        resolve(charged(tmp_path, 64.2, 3), scale=scale)
