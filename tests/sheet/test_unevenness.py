"""Tooth and brush patches: mean 1, as large as stated, smooth, and the sheet's own at any tile."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.sheet.unevenness import noise, unevenness

CELL_MM, DPI = 2.0, 508.0  # 40 pixels to the cell


def test_a_corner_of_the_lattice_is_the_finaliser_of_murmurhash3() -> None:
    # fmix32(1) = 0x514E28B7 (Appleby's MurmurHash3, from memory); at the origin the seed alone is
    # left: 2 x 1364076727/4294967295 - 1 = -0.36480
    wave = noise(0, 0, (1, 1), DPI, [(CELL_MM, 1.0, 1)])
    assert wave[0, 0] == pytest.approx(-0.36480, abs=1e-5)


def test_noise_is_smooth_from_cell_to_cell() -> None:
    # 3t^2 - 2t^3 is steepest at 1.5 to the cell, over at most 2 from -1 to 1: 3/40 a pixel
    wave = noise(0, 0, (200, 200), DPI, [(CELL_MM, 1.0, 7)])
    for axis in (0, 1):
        assert np.abs(np.diff(wave, axis=axis)).max() <= 3 / 40 + 1e-5
    assert np.abs(wave).max() <= 1.0
    assert wave.std() > 0.2


@pytest.mark.parametrize(
    ("surface", "most"),
    # tooth of docs/model.md, 0.6 of it once more, and 0.035 and half of it for the brush (guesses)
    [("matte absorbent", 0.05 * 1.6 + 0.0525), ("hard-sized", 0.06 * 1.6 + 0.0525),
     ("coated", 0.01 * 1.6 + 0.0525)],
)  # fmt: skip
def test_films_vary_about_their_own_by_what_is_stated(surface: str, most: float) -> None:
    factor = unevenness(0, 0, (900, 900), 100.0, surface, 3)  # 230 mm, 32 brush patches across
    assert factor.mean() == pytest.approx(1.0, abs=0.004)
    assert 0.5 * most < np.abs(factor - 1).max() <= most + 1e-6


def test_a_tile_is_that_part_of_the_sheet_and_the_tooth_is_the_papers() -> None:
    whole = unevenness(0, 0, (60, 80), 100.0, "hard-sized", 3)
    assert np.array_equal(unevenness(10, 20, (30, 40), 100.0, "hard-sized", 3), whole[10:40, 20:60])
    # two washes on one paper share its tooth: what differs is the brush's alone
    apart = unevenness(0, 0, (60, 80), 100.0, "hard-sized", 9) - whole
    assert 0 < np.abs(apart).max() <= 2 * 0.0525
