"""Speed of the chain from masks to picture; run with `python -m tests.bench`.

Each figure is a ratio in the same run against something public: Pillow compositing and
multiplying the same washes, and the plain numpy version.
"""

from __future__ import annotations

import numba
import numpy as np
import pytest
from PIL import Image, ImageChops

from glaze.painting.develop import SRGB8
from glaze.physics.absorption import glaze_weight, stack_reflectance
from glaze.picture.light import load_light
from glaze.sheet import compiled_encode, compiled_wash
from glaze.sheet.units import FILM_UNIT

F = np.float32
M, N = F(0.99), F(0.01)
TILE_PX = 65536


def washes_case(count: int, pixels: int):
    """Masks and constants of `count` washes over `pixels` pixels."""
    rng = np.random.default_rng(count)
    light = load_light("D65")
    masks = rng.integers(0, FILM_UNIT + 1, (count, pixels)).astype(np.uint16)
    strength = (rng.uniform(0.1, 1.0, count) / FILM_UNIT).astype(F)
    path = rng.uniform(0, 5, (count, 40)).astype(F)
    overlap = np.tril(np.ones((3, count, count)), -1).astype(F)
    paper = np.full(40, 0.85, F)
    return masks, strength, overlap, path, paper, light.display_weights.astype(F)


def glaze_part(case, start: int, out: np.ndarray) -> None:
    """One tile through the compiled chain, to 8-bit sRGB."""
    masks, strength, overlap, path, paper, weights = case
    part = np.ascontiguousarray(masks[:, start : start + TILE_PX])
    rgb, law = np.empty((part.shape[1], 3), F), compiled_wash.law_of(1.0)
    compiled_wash.glaze_washes(
        part, strength, overlap, path, F(0.03), paper, weights, F(1), law, rgb
    )
    compiled_encode.encode8(
        rgb, np.ones(len(rgb), F), np.zeros(4, F), SRGB8, out[start : start + len(rgb)]
    )


def glaze_whole(case, pool, out: np.ndarray) -> None:
    """All tiles on the pool's threads."""
    list(pool.map(lambda start: glaze_part(case, start, out), range(0, len(out), TILE_PX)))


def pillow_whole(masks8: list[Image.Image], colours: list[tuple[int, int, int]]) -> Image.Image:
    """What a painter would otherwise use: each wash multiplied in through its 8-bit mask."""
    picture = Image.new("RGB", masks8[0].size, (237, 236, 230))
    white = Image.new("RGB", picture.size, (255, 255, 255))
    for mask, colour in zip(masks8, colours, strict=True):
        wash = Image.composite(Image.new("RGB", picture.size, colour), white, mask)
        picture = ImageChops.multiply(picture, wash)
    return picture


def plain_part(case, pixels: int) -> np.ndarray:
    """The plain numpy version on the first pixels, float64."""
    masks, strength, _, path, paper, weights = case
    q = strength[: len(masks), None].astype(float) * masks[:, :pixels]
    A, Q = np.zeros((pixels, 40)), np.zeros(pixels)
    for i in range(len(masks)):
        A += glaze_weight(Q, q[i])[:, None] * path[i]
        Q += q[i]
    return stack_reflectance(A, paper.astype(float), 0.03, 1.0) @ weights


@pytest.mark.parametrize("megapixels", [2, 8])
@pytest.mark.parametrize("count", [4, 6, 8, 10])
def test_chain(benchmark, pool, count, megapixels):
    case = washes_case(count, megapixels * 1_000_000)
    out = np.empty((megapixels * 1_000_000, 3), np.uint8)
    glaze_whole(case, pool, out)
    benchmark.extra_info["pixels"] = len(out)
    benchmark.pedantic(glaze_whole, (case, pool, out), rounds=5)


@pytest.mark.parametrize("count", [4, 6, 8, 10])
def test_one_thread(benchmark, count):
    """As `test_chain` of 2 Mpx, on one thread: beside Pillow, which has no other."""
    case, out = washes_case(count, 2_000_000), np.empty((2_000_000, 3), np.uint8)

    def whole() -> None:
        for start in range(0, len(out), TILE_PX):
            glaze_part(case, start, out)

    whole()
    benchmark.extra_info["pixels"] = len(out)
    benchmark.pedantic(whole, rounds=5)


@numba.njit(fastmath={"contract"})
def multiply_adds(x: np.ndarray) -> None:
    """16 multiply-adds of each of (8, ...) numbers, eight chains side by side in registers."""
    for t in range(x.shape[1]):
        a, b, c, d = x[0, t], x[1, t], x[2, t], x[3, t]
        e, f, g, h = x[4, t], x[5, t], x[6, t], x[7, t]
        for _ in range(16):
            a, b, c, d = a * M + N, b * M + N, c * M + N, d * M + N
            e, f, g, h = e * M + N, f * M + N, g * M + N, h * M + N
        x[0, t], x[1, t], x[2, t], x[3, t] = a, b, c, d
        x[4, t], x[5, t], x[6, t], x[7, t] = e, f, g, h


def test_multiply_adds(benchmark):
    """What this processor's arithmetic does at best on one thread: the floor of every chain."""
    x = np.ones((8, 512), F)
    multiply_adds(x)
    benchmark.extra_info["pixels"] = 16 * x.size
    benchmark.pedantic(multiply_adds, (x,), rounds=50, iterations=50)


@pytest.mark.parametrize("count", [4, 6, 8, 10])
def test_pillow(benchmark, count):
    rng = np.random.default_rng(count)
    masks = [
        Image.fromarray(rng.integers(0, 256, (1000, 2000)).astype(np.uint8)) for _ in range(count)
    ]
    colours = [tuple(int(v) for v in rng.integers(60, 255, 3)) for _ in range(count)]
    benchmark.extra_info["pixels"] = 2_000_000
    benchmark.pedantic(pillow_whole, (masks, colours), rounds=5)


@pytest.mark.parametrize("count", [4, 6, 8, 10])
def test_plain(benchmark, count):
    case = washes_case(count, 100_000)
    benchmark.extra_info["pixels"] = 100_000
    benchmark.pedantic(plain_part, (case, 100_000), rounds=3)


@pytest.mark.parametrize("count", [4, 8])
def test_kept_sheet(benchmark, pool, count):
    """Six washes laid on a kept sheet of `count` dyes, then seen: the way of scenes with lifts."""
    pixels = 2_000_000
    rng = np.random.default_rng(1)
    masks = rng.integers(0, FILM_UNIT + 1, (6, pixels)).astype(np.uint16)
    full, overlap = rng.uniform(0, 0.2, count).astype(F), np.ones((3, count), F)
    path = rng.uniform(0, 20, (count, 40)).astype(F)
    weights, paper = load_light("D65").display_weights.astype(F), np.full(40, 0.85, F)
    counts, law = compiled_wash.counted(count), compiled_wash.law_of(1.0)
    out = np.empty((pixels, 3), np.uint8)

    def part(start: int) -> None:
        n = min(TILE_PX, pixels - start)
        load, optical = np.zeros((n, count), F), np.zeros((n, count), F)
        coats, none = np.zeros(n, F), np.zeros(0, F)
        for mask in masks:
            film = mask[start : start + n]
            compiled_wash.lay(film, none, F(0.5), full, overlap, full, load, optical, coats, counts)
        rgb, zero = np.empty((n, 3), F), np.zeros(n, F)
        surface, gain = zero + F(0.03), np.zeros(40, F)
        compiled_wash.develop(optical, path, zero, surface, paper, gain, weights, F(1), law, rgb)
        compiled_encode.encode8(rgb, zero + F(1), np.zeros(4, F), SRGB8, out[start : start + n])

    def whole() -> None:
        list(pool.map(part, range(0, pixels, TILE_PX)))

    whole()
    benchmark.extra_info["pixels"] = pixels
    benchmark.pedantic(whole, rounds=5)
