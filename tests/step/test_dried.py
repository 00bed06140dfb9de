"""A dried passage on the sheet: the compiled form, what it leaves out, and its sums."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.ndimage import map_coordinates

from glaze.painting.lay import sheet_at
from glaze.painting.settle import resolve
from glaze.scene.file import load_scene
from glaze.sheet.compiled_dried import between, gathered, read_at
from glaze.sheet.rect import Rect, whole
from glaze.sheet.state import bare_sheet
from glaze.sheet.wash import lay

SCENE = """\
format = 1
palette = "lifting"
paper = "white hot-pressed"
size_mm = [30, 24]
dpi = 100

[[step]]
wash = "ground"
mix = "Yellow 1 + water 4"
region = { polygon_mm = [[4, 4], [26, 4], [26, 20], [4, 20]] }

[[step]]
charge = "dark"
mix = "Black 1 + Red 1 + water 3"
region = { ellipse_mm = { centre = [15, 12], radii = [4, 3] } }
into = "ground"
minutes = 14

[[step]]
charge = "drop"
mix = "water 1"
region = { ellipse_mm = { centre = [9, 9], radii = [2, 2] } }
into = "ground"
minutes = 16
"""

STILL = np.zeros((2, 0, 0), np.float32), 1.0
AWAY = np.random.default_rng(5).uniform(-4, 4, (2, 12, 16)).astype(np.float32), 3.0


@pytest.fixture(scope="module")
def painting(tmp_path_factory):
    folder: Path = tmp_path_factory.mktemp("dried")
    (folder / "scene.toml").write_text(SCENE, encoding="utf-8")
    return resolve(load_scene(folder))


def test_the_compiled_films_are_those_of_the_plain_law(painting):
    rect = Rect(10, 10, 80, 100)
    last = replace(painting.steps[2], before=None)
    plain, compiled = (bare_sheet(*rect.shape, len(painting.table.dyes)) for _ in range(2))
    for sheet in (plain, compiled):  # on something that crowds
        lay(sheet, painting.steps[0].wash, 0.5)
    last.lay(painting.table, compiled, rect)
    for wash, thickness, rim in last.films(rect):
        lay(plain, wash, thickness, rim)
    for name, field in vars(plain).items():
        assert getattr(compiled, name) == pytest.approx(field, rel=1e-5, abs=1e-7)


def test_what_is_taken_up_by_the_last_charge_need_not_be_laid_first(painting):
    straight = sheet_at(painting, whole(painting.shape))
    one_by_one = bare_sheet(*painting.shape, len(painting.table.dyes))
    for step in painting.steps:
        step.lay(painting.table, one_by_one, whole(painting.shape))
    assert [step.name for step in painting.lasting] == ["drop"]
    for name, field in vars(one_by_one).items():
        assert getattr(straight, name) == pytest.approx(field, abs=2e-5 * max(field.max(), 1))


def test_a_charge_after_something_else_still_takes_off_what_it_was_laid_into(painting):
    apart = replace(painting, steps=(painting.steps[0], painting.steps[2]))
    assert [step.name for step in apart.lasting] == ["ground", "drop"]


def test_cells_are_read_as_scipy_reads_them_between_their_middles():
    cells, cell_px = np.random.default_rng(3).uniform(size=(7, 9)), 6.0
    padded = np.pad(cells, ((0, 1), (0, 1)), mode="edge")[..., None, None]
    rows, columns = (field.ravel() for field in np.mgrid[:42, :54])
    weight, found = np.ones(rows.size, np.uint16), np.empty((rows.size, 1, 1))
    between(padded, weight, rows, columns, cell_px, *STILL, found)
    at = [np.maximum((pixels + 0.5) / cell_px - 0.5, 0.0) for pixels in (rows, columns)]
    expected = map_coordinates(cells, at, order=1, mode="nearest")
    assert found[:, 0, 0] == pytest.approx(expected, rel=1e-12)


def test_the_sum_of_what_is_read_is_known_beforehand():
    rng = np.random.default_rng(4)
    grid, weight = rng.uniform(size=(6, 8, 1, 1)), rng.integers(0, 40000, (30, 42)).astype("u2")
    rows, columns = (field.ravel() for field in np.mgrid[:30, :42])
    found, given = np.empty((rows.size, 1, 1)), np.zeros(grid.shape[:2])
    between(grid, weight.ravel(), rows, columns, 6.0, *AWAY, found)
    gathered(weight, 6.0, *AWAY, given)
    assert found.sum() == pytest.approx((given * grid[..., 0, 0]).sum(), rel=1e-12)


def test_a_field_of_cells_is_read_as_scipy_reads_it_and_stays_beyond_its_edge():
    random = np.random.default_rng(7)
    field, places = random.random((9, 6)), random.uniform(-8.0, 40.0, (2, 30, 20))
    pitch, cell_px, found = 1.7, 5.9, np.empty((30, 20))
    read_at(field, places, pitch, cell_px, found)
    cells = (places * pitch + 0.5) / cell_px - 0.5
    right = map_coordinates(field, cells, order=1, mode="nearest")
    np.testing.assert_allclose(found, right, rtol=1e-12)
