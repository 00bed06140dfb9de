"""A sketch that is read while the model is being loaded is the sketch that is read in its turn."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from PIL import Image

SCENE = """
format = 1
title = "A square"
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"

[[step]]
wash = "ground"
mix = "Blue 1 + water 8"
region = "sheet"
"""

LOADED = """
import sys
from glaze.scene.file import load_scene
assert "numba" not in sys.modules  # a scene's text is read without the model
scene = load_scene(sys.argv[1], with_sketch=True)
from pathlib import Path
import numpy as np
import glaze.scene.laid_out as laid_out
from glaze.sketch.line import read_sketch
"""


@pytest.fixture
def scene(tmp_path):
    (tmp_path / "scene.toml").write_text(SCENE, "utf-8")
    pixels = np.full((120, 160), 235, np.uint8)
    pixels[30:90, 40:42] = 20
    Image.fromarray(pixels).save(tmp_path / "sketch.png", dpi=(254, 254))
    return tmp_path


def run(code, scene) -> str:
    command = [sys.executable, "-c", LOADED + code, str(scene)]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def test_the_sketch_is_read_once_and_is_the_same(scene):
    code = """
whole = read_sketch(scene.file("sketch.png"))
def again(*asked): raise AssertionError("read a second time")
laid_out.read_sketch = again
found = laid_out.sketch_of(scene)
assert np.array_equal(found.line, whole.line) and found.dpi == whole.dpi == 254.0
print("same")
"""
    assert run(code, scene) == "same\n"


def test_a_sketch_that_was_saved_meanwhile_is_read_anew(scene):
    code = """
from PIL import Image
Image.new("L", (80, 60), 235).save(scene.file("sketch.png"), dpi=(254, 254))
print(laid_out.sketch_of(scene).shape)
"""
    assert run(code, scene) == "(60, 80)\n"


def test_what_is_wrong_with_a_sketch_is_told_in_its_turn(scene):
    (scene / "sketch.png").write_bytes((scene / "sketch.png").read_bytes()[:200])
    code = """
from glaze.errors import InputError
try:
    laid_out.sketch_of(scene)
except InputError as error:
    print(error)
"""
    assert '"sketch.png" can\'t be read as a picture' in run(code, scene)
