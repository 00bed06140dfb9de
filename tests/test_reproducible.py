"""The same scene gives the same bytes: any threads, any tiles, any run, lifts and 16 bits too."""

from __future__ import annotations

import os
import subprocess
import sys

import numpy as np
import pytest
from small_scenes import LIFTED

from glaze.painting.settle import resolve
from glaze.picture.file import write_picture
from glaze.pipeline import linear_rgb, render
from glaze.scene.file import load_scene

TOUCHED = (
    LIFTED
    + """
[[step]]
water_lift = "cloud"
region = { ellipse_mm = { centre = [28, 14], radii = [3, 3] }, soft_mm = 2 }
[[step]]
lift = "line"
region = { pen_line_mm = { points = [[8, 8], [30, 22]], width = 0.4 } }
parts_water = 19
touches = 2
[[step]]
wash = "on what bleach it left"
mix = "Separating Black 1 + water 9"
region = "left"
"""
)


@pytest.fixture
def painting(scene_folder):
    return resolve(load_scene(scene_folder(TOUCHED)))


@pytest.mark.parametrize("bits", [8, 16])
@pytest.mark.parametrize("threads", [1, 3, 8])
def test_lifts_come_out_alike_on_any_number_of_threads(painting, threads, bits, monkeypatch):
    monkeypatch.setattr("glaze.pipeline.TILE", 40)
    usual = render(painting, bits=bits).rgb
    monkeypatch.setattr("glaze.painting.tile.cores", lambda: threads)
    assert np.array_equal(render(painting, bits=bits).rgb, usual)


@pytest.mark.parametrize(("tile", "stirred"), [(17, False), (60, False), (130, True)])
def test_lifts_come_out_alike_in_tiles_of_any_size(painting, tile, stirred, monkeypatch):
    usual = linear_rgb(painting, stirred=stirred)
    monkeypatch.setattr("glaze.pipeline.TILE", tile)
    assert np.array_equal(linear_rgb(painting, stirred=stirred), usual)


def test_a_stack_of_steps_depends_on_nothing_but_the_scene(scene_folder):
    one, other = (resolve(load_scene(scene_folder(TOUCHED, name))) for name in ("one", "other"))
    for first, second in zip(one.steps, other.steps, strict=True):
        for name in ("coverage", "thickness", "rim", "dose"):
            a, b = getattr(first, name, None), getattr(second, name, None)
            assert (a is None) == (b is None)
            assert a is None or np.array_equal(a, b)


@pytest.mark.parametrize(("ending", "bits"), [("png", 8), ("png", 16), ("tif", 16)])
def test_a_picture_is_written_in_the_same_bytes(painting, ending, bits, tmp_path):
    for name in ("one", "other"):
        picture = render(painting, bits=bits)
        write_picture(picture, tmp_path / f"{name}.{ending}", {"scene": TOUCHED})
    one, other = (tmp_path / f"{name}.{ending}" for name in ("one", "other"))
    assert one.read_bytes() == other.read_bytes()


def test_two_runs_write_the_same_16_bit_tiff(scene_folder, tmp_path):
    scene, found = scene_folder(TOUCHED), []
    for seed, threads in (("1", "1"), ("2", "2")):
        path = tmp_path / f"{seed}.tif"
        settings = {
            "PYTHONHASHSEED": seed,
            "NUMBA_NUM_THREADS": threads,
            "OMP_NUM_THREADS": threads,
        }
        subprocess.run(
            [sys.executable, "-m", "glaze", "preview", str(scene), "-o", str(path)],
            check=True,
            capture_output=True,
            env=os.environ | settings,
        )
        found.append(path.read_bytes())
    assert found[0] == found[1]
