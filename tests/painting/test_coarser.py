"""A small picture is settled on coarser pixels: how far it may be from the whole one reduced."""

from __future__ import annotations

import colour
import numpy as np
import pytest
from PIL import Image

from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.examples import copy_example
from glaze.scene.file import load_scene


def lab(rgb: np.ndarray) -> np.ndarray:
    """CIELAB of 8-bit sRGB by colour-science."""
    xyz = colour.RGB_to_XYZ(rgb / 255, "sRGB", apply_cctf_decoding=True)
    return colour.XYZ_to_Lab(xyz)


@pytest.fixture(scope="module")
def lighthouse(tmp_path_factory):
    return load_scene(copy_example("lighthouse", tmp_path_factory.mktemp("coarser") / "lighthouse"))


def test_a_quarter_of_the_size_is_within_a_quarter_of_a_step_of_the_whole_reduced(lighthouse):
    scale = 0.25
    small = resolve(lighthouse, scale=scale)
    whole = render(resolve(lighthouse), scale=scale)
    found = render(small, scale=scale)
    assert small.line.size < 0.26 * 1748 * 2480
    assert found.rgb.shape == whole.rgb.shape
    assert found.dpi == pytest.approx(whole.dpi)
    off = colour.delta_E(lab(found.rgb), lab(whole.rgb), method="CIE 2000")
    assert off.mean() < 0.25
    assert np.quantile(off, 0.99) < 2.0


def test_areas_and_notes_are_those_of_the_sketch_as_it_was_read(lighthouse):
    assert resolve(lighthouse, scale=0.1).notes == resolve(lighthouse).notes


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
