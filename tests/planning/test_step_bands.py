"""Steps of a scene as layers of a patch: the same colour as the sheet has there, with a band."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.painting.lay import sheet_at
from glaze.painting.settle import resolve
from glaze.patch.layers import Laid, Lifted, Watered
from glaze.patch.patches import value
from glaze.planning.sheet.step_bands import fullest, layers_at, step_bands
from glaze.scene.file import load_scene
from glaze.sheet.rect import Rect

SCENE = """
format = 1
title = "Steps"
palette = "lifting"
paper = "cream cartridge"
dpi = 100
size_mm = [50, 40]
[region.left]
polygon_mm = [[4, 4], [24, 4], [24, 34], [4, 34]]
[region.right]
polygon_mm = [[16, 4], [46, 4], [46, 34], [16, 34]]
[[step]]
wash = "yellow"
mix = "Yellow 3 + water 1"
region = "left"
[[step]]
wash = "graded"
mix = "Black 1 + water 3"
region = "right"
graded = { from_mm = [16, 0], to_mm = [46, 0], start = 1, end = 0.1 }
[[step]]
lift = "light"
region = { ellipse_mm = { centre = [20, 18], radii = [3, 6] } }
parts_water = 9
[[step]]
water_lift = "cloud"
region = { ellipse_mm = { centre = [35, 18], radii = [3, 3] } }
[[step]]
rinse = "rinse"
[[step]]
wash = "over it"
mix = "Blue 1 + water 6"
region = "right"
"""


@pytest.fixture(scope="module")
def scene(tmp_path_factory):
    folder = tmp_path_factory.mktemp("steps")
    (folder / "scene.toml").write_text(SCENE, encoding="utf-8")
    return load_scene(folder)


@pytest.fixture(scope="module")
def painting(scene):
    return resolve(scene, even=True)


def test_every_step_has_the_colour_the_sheet_has_there(scene, painting):
    for number, band in enumerate(step_bands(scene, painting)):
        column, row = (int(mm * painting.dpi / 25.4) for mm in band.place_mm)
        there = sheet_at(painting.until(number + 1), Rect(row, column, row + 1, column + 1))
        sheet = float(value(painting.table, there)[0, 0])
        # a film is averaged over 1.5 mm, and a graded one changes over that
        assert band.after.band.best == pytest.approx(sheet, abs=0.08), band.name


def test_a_place_holds_the_steps_that_lie_there_in_their_order(scene, painting):
    row, column = (int(mm * painting.dpi / 25.4) for mm in (18, 20))
    layers = layers_at(painting, (row, column))
    assert [type(layer) for layer in layers] == [Laid, Laid, Lifted, Watered, Laid]
    assert layers[2].touches.parts_water == 9
    assert layers[0].share == pytest.approx(1.0, abs=0.02)
    assert [type(layer) for layer in layers_at(painting, (row, column), 2)] == [Laid, Laid]
    assert layers_at(painting, (2, 2)) == (Watered(None, 1.0),)


def test_a_step_is_looked_at_inside_its_region_away_from_the_rim(painting):
    row, column = fullest(painting.steps[0])
    assert painting.steps[0].coverage[row, column] == 65535
    x, y = column * 25.4 / painting.dpi, row * 25.4 / painting.dpi
    assert 8 < x < 20
    assert 8 < y < 30
    # the fuller side of a graded wash
    assert fullest(painting.steps[1])[1] * 25.4 / painting.dpi < 30


def test_uneven_films_are_told_as_the_even_ones(scene, painting):
    uneven = step_bands(scene, resolve(scene))
    for one, other in zip(uneven, step_bands(scene, painting), strict=True):
        assert one.after.band.best == pytest.approx(other.after.band.best, abs=0.15), one.name


def test_what_is_told_can_be_printed(scene, painting):
    told = [band.as_dict() for band in step_bands(scene, painting)]
    assert [row["step"] for row in told][:2] == ["yellow", "graded"]
    assert {"place_mm", "value", "band", "lab", "de00", "mostly_from", "promise"} <= told[0].keys()
    assert np.all([0 <= row["value"] <= 10 for row in told])
