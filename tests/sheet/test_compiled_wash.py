"""The compiled chain against its specification in plain numpy, on random sheets."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.physics.absorption import crowded, glaze_weight, stack_reflectance
from glaze.physics.colour import map_into_gamut
from glaze.picture.file import encode
from glaze.sheet import compiled_encode, compiled_wash
from glaze.sheet.state import bare_sheet
from glaze.sheet.units import FILM_UNIT
from glaze.sheet.wash import LaidWash, lay

F = np.float32
BANDS = 40
SPREADS = [1.0, 1.5, 2.0, 3.0]


def random_light(rng):
    paper = rng.uniform(0.6, 0.95, BANDS)
    weights = rng.uniform(-0.2, 1.0, (BANDS, 3)) / BANDS
    return paper, weights


@pytest.mark.parametrize("k", SPREADS)
@pytest.mark.parametrize("pixels", [1, 127, 128, 300])
def test_washes_come_out_as_the_plain_law_says(k, pixels):
    rng = np.random.default_rng(pixels)
    n = 5
    masks = rng.integers(0, FILM_UNIT + 1, (n, pixels)).astype(np.uint16)
    strength = np.array([0.3, 1.0, 2.5, 5.0, 0.0])  # 5 neat coats takes the logarithm
    path = rng.uniform(0, 6, (n, BANDS))
    paper, weights = random_light(rng)
    overlap = np.tril(rng.uniform(0, 2, (3, n, n)), -1)
    rgb = np.empty((pixels, 3), F)
    compiled_wash.glaze_washes(
        masks,
        (strength / FILM_UNIT).astype(F),
        overlap.astype(F),
        (path / k).astype(F),
        F(0.03),
        paper.astype(F),
        weights.astype(F),
        F(k),
        compiled_wash.law_of(k),
        rgb,
    )
    q = strength[:, None] * masks / FILM_UNIT
    A = np.zeros((pixels, BANDS))
    for i in range(n):
        thirds = np.einsum("tj,jp->tp", overlap[:, i, :i], q[:i])
        Q = np.minimum(q[:i].sum(axis=0), thirds.min(axis=0)) if i else np.zeros(pixels)
        A += glaze_weight(Q, q[i])[:, None] * path[i]
    expected = stack_reflectance(A, paper, 0.03, k) @ weights
    # float32 sums of 40 bands: a few units in the seventh place
    np.testing.assert_allclose(rgb, expected, atol=2e-6)


@pytest.mark.parametrize(("n", "strongest"), [(8, 20), (1, 20), (13, 20), (0, 20), (3, 1e18)])
@pytest.mark.parametrize("k", SPREADS)
def test_what_lies_on_the_sheet_is_seen_as_the_plain_law_says(k, n, strongest):
    rng = np.random.default_rng(7)
    pixels = 300
    amount = rng.uniform(0, 0.3, (pixels, n))
    path = rng.uniform(0, strongest, (n, BANDS))
    paper, weights = random_light(rng)
    gain = rng.uniform(-0.05, 0.05, BANDS)
    bleached, surface = rng.uniform(0, 1, pixels), rng.uniform(0, 0.05, pixels)
    rgb = np.empty((pixels, 3), F)
    compiled_wash.develop(
        amount.astype(F),
        (path / k).astype(F),
        bleached.astype(F),
        surface.astype(F),
        paper.astype(F),
        gain.astype(F),
        weights.astype(F),
        F(k),
        compiled_wash.law_of(k),
        rgb,
    )
    Rp = paper + bleached[:, None] * gain
    expected = stack_reflectance(amount @ path, Rp, surface[:, None], k) @ weights
    np.testing.assert_allclose(rgb, expected, atol=2e-6)


@pytest.mark.parametrize("rimmed", [False, True])
def test_a_wash_is_laid_as_the_plain_version_lays_it(rimmed):
    rng = np.random.default_rng(3)
    rows, columns, n = 9, 31, 6
    sheet, same = bare_sheet(rows, columns, n), bare_sheet(rows, columns, n)
    for _ in range(4):
        full = rng.uniform(0, 0.4, n)
        wash = LaidWash(
            strength=float(rng.uniform(0.1, 4)),
            full_load_g_per_m2=full,
            share=full / full.sum(),
            overlap=rng.uniform(0, 5, (3, n)),
            mobility=rng.uniform(0, 1, n),
        )
        film = rng.integers(0, FILM_UNIT, (rows, columns)).astype(np.uint16)
        rim = rng.uniform(-0.2, 0.4, (rows, columns)).astype(F) if rimmed else None
        lay(same, wash, (film / FILM_UNIT).astype(F), rim)
        compiled_wash.lay(
            film.ravel(),
            np.zeros(0, F) if rim is None else rim.ravel(),
            F(wash.strength),
            full.astype(F),
            wash.overlap.astype(F),
            (wash.mobility - wash.mean_mobility).astype(F),
            sheet.load_g_per_m2.reshape(-1, n),
            sheet.optical_g_per_m2.reshape(-1, n),
            sheet.coats.reshape(-1),
            compiled_wash.counted(n),
        )
    for name in vars(sheet):
        np.testing.assert_allclose(getattr(sheet, name), getattr(same, name), rtol=2e-5, atol=1e-6)


def test_the_series_of_the_load_law_holds_up_to_its_limit():
    Q = np.linspace(0, 6, 61)
    strengths = [1e-6, 0.05, 1 / 21, 1.0, 2.999, 3.001, 12.0]
    for q in strengths:
        masks = np.full((4, 61), FILM_UNIT, np.uint16)
        strength = np.array([0, 0, 0, q])
        path = np.zeros((4, BANDS))
        path[3] = 1.0
        rgb = np.empty((61, 3), F)
        weights = np.zeros((BANDS, 3))
        weights[0] = 1.0
        for p, below in enumerate(Q):
            strength[0] = below
            overlap = np.zeros((3, 4, 4))
            overlap[:, 3, 0] = 1.0
            out = np.empty((1, 3), F)
            compiled_wash.glaze_washes(
                masks[:, :1].copy(),
                (strength / FILM_UNIT).astype(F),
                overlap.astype(F),
                path.astype(F),
                F(0),
                np.ones(BANDS, F),
                weights.astype(F),
                F(1),
                compiled_wash.law_of(1.0),
                out,
            )
            rgb[p] = out
        w = (crowded(Q + q) - crowded(Q)) / crowded(1.0)
        np.testing.assert_allclose(1 / rgb[:, 0] - 1, w, rtol=2e-5, atol=3e-7)


@pytest.mark.parametrize("bits", [8, 16])
def test_light_is_encoded_as_the_plain_version_encodes_it(bits):
    rng = np.random.default_rng(5)
    rgb = rng.uniform(-0.15, 1.2, (4000, 3)).astype(F)
    line = rng.uniform(0, 1, 4000).astype(F)
    mapped, moved = map_into_gamut(rgb * line[:, None])
    out = np.empty((4000, 3), np.uint8 if bits == 8 else np.uint16)
    if bits == 8:
        steps = np.arange(65536) / 65535
        count = compiled_encode.encode8(
            rgb, line, np.zeros(4, F), encode(steps[:, None], 8)[:, 0], out
        )
    else:
        count = compiled_encode.encode16(rgb, line, np.zeros(4, F), out)
    difference = np.abs(out.astype(int) - encode(mapped, bits).astype(int))
    assert count == moved.sum() > 100
    # 8 bits: the table has 65536 steps of light; 16 bits: float32 keeps 24 binary digits
    assert difference.max() <= (1 if bits == 8 else 3)
    assert (difference > 0).mean() < (0.02 if bits == 8 else 0.2)


def test_a_block_of_pixels_comes_out_as_each_pixel_alone():
    rng = np.random.default_rng(11)
    n, pixels = 4, 200
    masks = rng.integers(0, FILM_UNIT + 1, (n, pixels)).astype(np.uint16)
    paper, weights = random_light(rng)
    constants = (
        (rng.uniform(0, 2, n) / FILM_UNIT).astype(F),
        np.tril(rng.uniform(0, 1, (3, n, n)), -1).astype(F),
        rng.uniform(0, 5, (n, BANDS)).astype(F),
        F(0.03),
        paper.astype(F),
        weights.astype(F),
        F(1),
        compiled_wash.law_of(1.0),
    )
    rgb = np.empty((pixels, 3), F)
    compiled_wash.glaze_washes(masks, *constants, rgb)
    for p in (0, 63, 127, 128, 199):
        alone = np.empty((1, 3), F)
        compiled_wash.glaze_washes(masks[:, p : p + 1].copy(), *constants, alone)
        assert np.array_equal(alone[0], rgb[p])
