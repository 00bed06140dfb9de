"""Tooth and noise: mean 0, as large as stated, smooth, and the sheet's own at any tile."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.sheet import unevenness
from glaze.sheet.unevenness import Wave, noise, tooth

DPI = 508.0  # 40 pixels to a cell of 2 mm


def test_a_corner_of_the_lattice_is_the_finaliser_of_murmurhash3() -> None:
    # fmix32(1) = 0x514E28B7 (Appleby's MurmurHash3, from memory); at the origin, half a pixel
    # before the first pixel's middle, the seed alone is left: 2 x 1364076727/(2^32 - 1) - 1
    found = noise(-0.5, -0.5, (1, 1), DPI, [Wave(2.0, 1.0, 1)])
    assert found[0, 0] == pytest.approx(-0.36480, abs=1e-5)


def test_noise_is_smooth_from_cell_to_cell() -> None:
    # 3t^2 - 2t^3 is steepest at 1.5 to the cell, over at most 2 from -1 to 1: 3/40 a pixel
    found = noise(0, 0, (200, 200), DPI, [Wave(2.0, 1.0, 7)])
    for axis in (0, 1):
        assert np.abs(np.diff(found, axis=axis)).max() <= 3 / 40 + 1e-5
    assert np.abs(found).max() <= 1.0
    assert found.std() > 0.2


def test_a_wave_is_as_large_as_it_says_and_stretched_along_its_way() -> None:
    # ten times as long along the rows: 3/400 a pixel along them, 3/40 across
    long = noise(0, 0, (200, 200), DPI, [Wave(2.0, 0.5, 7, stretch=10.0)])
    assert np.abs(long).max() <= 0.5
    assert np.abs(np.diff(long, axis=1)).max() <= 0.5 * 3 / 400 + 1e-6
    assert np.abs(np.diff(long, axis=0)).max() > 3 * 0.5 * 3 / 400
    # a quarter turn lays it along the columns
    turned = noise(0, 0, (200, 200), DPI, [Wave(2.0, 0.5, 7, stretch=10.0, degrees=90.0)])
    assert np.abs(np.diff(turned, axis=0)).max() <= 0.5 * 3 / 400 + 1e-6
    # a cell of one pixel fades by half
    fine = noise(0, 0, (50, 50), 25.4, [Wave(1.0, 1.0, 7)])
    assert np.abs(fine).max() <= 0.5


def test_a_tile_is_that_part_of_the_sheet() -> None:
    waves = [Wave(2.0, 1.0, 7, 1.5, 30.0), Wave(0.7, 0.5, 3)]
    whole = noise(0, 0, (60, 80), 100.0, waves)
    part = noise(10, 20, (30, 40), 100.0, waves)
    np.testing.assert_allclose(part, whole[10:40, 20:60], atol=1e-6)


def test_tooth_leaves_the_mean_as_it_is() -> None:
    found = tooth((400, 400), 100.0)  # 10 cm
    assert found.mean() / 127 == pytest.approx(0.0, abs=0.03)
    assert 60 < np.abs(found.astype(int)).max() <= 127
    assert np.array_equal(tooth((60, 80), 100.0), found[:60, :80])


def test_a_sheets_tooth_is_made_once_and_kept_until_its_file_is_damaged(tmp_path, monkeypatch):
    monkeypatch.setattr(unevenness, "kept_in", lambda *of: tmp_path)
    monkeypatch.setattr(unevenness, "KEPT_PX", range(1_000, 1_000_000))
    fresh, made = unevenness._tooth, []
    monkeypatch.setattr(unevenness, "_tooth", lambda *of: made.append(of) or fresh(*of))
    first = tooth((60, 80), 100.0)
    assert np.array_equal(tooth((60, 80), 100.0), first)
    assert made == [((60, 80), 100.0)]
    other = tooth((60, 80), 101.0)
    assert not np.array_equal(other, first)
    for file in tmp_path.iterdir():
        file.write_bytes(file.read_bytes()[:-100] + bytes(100))
    assert np.array_equal(tooth((60, 80), 100.0), first)
    assert len(made) == 3
    for dpi in range(200, 200 + 2 * unevenness.MOST_KEPT):
        tooth((60, 80), float(dpi))
    assert len(list(tmp_path.iterdir())) == unevenness.MOST_KEPT
