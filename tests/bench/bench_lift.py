"""Speed of a bleach touch; run with `python -m tests.bench`.

Nine colourants (four dyes, their products, a resistant red), every pixel with its own loads. The
plain numpy version stands beside the compiled one.
"""

from __future__ import annotations

import numpy as np
import pytest

from glaze.materials.bleach import Bleach
from glaze.materials.chemistry import chemistry_of
from glaze.materials.dye import colourants, load_dyes
from glaze.materials.paper import load_paper
from glaze.materials.room import Room
from glaze.sheet import compiled_lift
from glaze.sheet import lift as plain
from glaze.sheet.lift import Touches, touch_of
from glaze.sheet.state import Sheet, bare_sheet

NAMES = ("Acid Blue 9", "Acid Red 1", "Acid Yellow 23", "Acid Black 1", "Acid Red 52")
PAPER = "white cartridge"
TILE = 512


def painted(seed: int, size: int) -> Sheet:
    rng = np.random.default_rng(seed)
    dyes = colourants(NAMES, load_dyes())
    sheet = bare_sheet(size, size, len(dyes))
    sheet.load_g_per_m2[:] = rng.uniform(0.0, 0.25, sheet.load_g_per_m2.shape)
    sheet.optical_g_per_m2[:] = 0.8 * sheet.load_g_per_m2
    sheet.coats[:] = 1.0
    return sheet


def settled(parts_water: float):
    bottle, paper = Bleach(), load_paper(PAPER)
    chemistry = chemistry_of(
        colourants(NAMES, load_dyes()), paper, 20.0, bottle.diluted_ph(parts_water)
    )
    return touch_of(Touches(parts_water=parts_water), bottle, Room(), paper), chemistry


@pytest.mark.parametrize("parts_water", [0, 9, 19, 99])
def test_compiled_touch(benchmark, pool, parts_water):
    touch, chemistry = settled(float(parts_water))
    dose = np.full((TILE, TILE), 65535, np.uint16)
    compiled_lift.lift(painted(0, 8), dose[:8, :8], touch, chemistry)

    def tiles():
        return ([painted(seed, TILE) for seed in range(4)],), {}

    def run(sheets):
        list(pool.map(lambda sheet: compiled_lift.lift(sheet, dose, touch, chemistry), sheets))

    benchmark.pedantic(run, setup=tiles, rounds=8)
    benchmark.extra_info["pixels"] = 4 * TILE * TILE


def test_untouched_pixels(benchmark, pool):
    touch, chemistry = settled(9.0)
    sheets = [painted(seed, TILE) for seed in range(4)]
    dose = np.zeros((TILE, TILE), np.uint16)

    def lift_one(sheet):
        compiled_lift.lift(sheet, dose, touch, chemistry)

    benchmark.pedantic(lambda: list(pool.map(lift_one, sheets)), rounds=8)
    benchmark.extra_info["pixels"] = 4 * TILE * TILE


def test_plain_touch(benchmark):
    touch, chemistry = settled(19.0)
    dose = np.ones((64, 64), np.float32)

    def run(sheet):
        plain.lift(sheet, dose, touch, chemistry)

    benchmark.pedantic(run, setup=lambda: ((painted(0, 64),), {}), rounds=3)
    benchmark.extra_info["pixels"] = 64 * 64
