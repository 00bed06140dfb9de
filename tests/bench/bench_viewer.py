"""What a pen move and a coarse picture cost: `python tests/bench/bench_viewer.py`.

Budgets, on two cores, two lifts under the brush: a move of a 60 px brush at most 15 ms of work, of
a 400 px brush at most 25 ms, at 2 and 8 Mpx; a coarse picture after a changed dilution at most
60 ms at 8 Mpx. Frames are not counted: they depend on the screen. docs/viewer.md has results.
"""

from __future__ import annotations

import platform
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from viewer.core import drafting
from viewer.core.brush import Brush
from viewer.core.keep import open_any
from viewer.core.laying import Laying
from viewer.core.sitting import Sitting

SIZES = {"2 Mpx": (1414, 1414), "8 Mpx": (2828, 2828)}
MOVES = 60

SCENE = """
format = 1
palette = "lifting"
paper = "white hot-pressed"
size_mm = [{mm}, {mm}]
dpi = 300
[[step]]
wash = "sky"
mix = "Yellow 2 + Red 1 + water 20"
region = "sheet"
[[step]]
wash = "dusk"
mix = "Blue 3 + Red 1 + water 14"
region = "sheet"
[[step]]
wash = "shadow"
mix = "Black 1 + water 8"
region = "sheet"
[[step]]
lift = "first"
region = "sheet"
parts_water = 20
[[step]]
lift = "second"
region = "sheet"
parts_water = 9
"""


def main() -> None:
    print(
        f"{platform.processor() or platform.machine()}, Python {sys.version.split()[0]}, "
        f"{time.strftime('%d %b %Y')}"
    )
    for name, shape in SIZES.items():
        sitting = _open(shape)
        for px in (60, 400):
            for kind in ("wash", "lift"):
                times = moves(sitting, px, kind)
                told(f"pen move, {name}, {px} px brush, laying a {kind}", times)
        told(f"coarse picture after a dilution, {name}", dilutions(sitting))
        start = time.perf_counter()
        sitting.preview.touch(sitting.preview.pyramid.bounds)
        sitting.finish()
        print(f"{'whole sheet, ' + name:50} {time.perf_counter() - start:6.2f} s")
        sitting.close()


def _open(shape: tuple[int, int]) -> Sitting:
    folder = Path(tempfile.mkdtemp())
    (folder / "scene.toml").write_text(SCENE.format(mm=shape[0] * 25.4 / 300))
    sitting = open_any(folder)
    sitting.preview.level = 1 if shape[0] < 2000 else 2
    sitting.finish()
    return sitting


def _pen_down(sitting: Sitting, px: int, kind: str) -> tuple[Laying, Iterator[tuple[float, float]]]:
    """A brush of so many pixels on the sheet, and the places it goes to."""
    brush = Brush(size_mm=px * 25.4 / sitting.painting.dpi, hardness=0.6)
    sitting.choose(None)
    sitting.hold(replace(sitting.hand, kind=kind, mix="Blue 1 + water 9", brush=brush))
    laying = Laying(sitting)
    middle = sitting.size_mm[0] / 2
    laying.press((middle - 30, middle))
    places = ((middle - 30 + n, middle + 8 * np.sin(n / 6)) for n in range(MOVES))
    return laying, places


def moves(sitting: Sitting, px: int, kind: str) -> np.ndarray:
    """Time of the work of each move of a stroke [s]."""
    laying, points = _pen_down(sitting, px, kind)
    times = []
    for point in points:
        start = time.perf_counter(), time.process_time()
        laying.move([(point, 1.0)])
        times.append((time.perf_counter() - start[0], time.process_time() - start[1]))
    laying.up()
    sitting.finish()
    sitting.take_back()
    sitting.finish()
    return np.array(times)


@pytest.fixture(scope="module", params=SIZES)
def table(request):
    sitting = _open(SIZES[request.param])
    yield sitting
    sitting.close()


@pytest.mark.parametrize("kind", ["wash", "lift"])
@pytest.mark.parametrize("px", [60, 400])
def test_pen_move(benchmark, table, px, kind):
    """Budget: 15 ms at 60 px, 25 ms at 400 px."""
    laying, points = _pen_down(table, px, kind)
    benchmark.extra_info["budget_ms"] = 15 if px == 60 else 25
    benchmark.pedantic(laying.move, setup=lambda: (([(next(points), 1.0)],), {}), rounds=MOVES - 5)
    laying.up()
    table.finish()
    table.take_back()
    table.finish()


def test_coarse_picture_after_a_dilution(benchmark, table):
    """Budget: 60 ms."""
    water = iter(range(10, 1000))

    def dilute() -> None:
        mix = f"Blue 3 + Red 1 + water {next(water)}"
        table.do("dilution", drafting.with_changed_step(table.draft, 1, mix=mix), merge="dilution")

    benchmark.extra_info["budget_ms"] = 60
    benchmark.pedantic(dilute, setup=table.finish, rounds=12)
    table.finish()


def dilutions(sitting: Sitting) -> np.ndarray:
    """Time from a changed dilution to its coarse picture [s]."""
    times = []
    for n in range(12):
        mix = f"Blue 3 + Red 1 + water {10 + n}"
        draft = drafting.with_changed_step(sitting.draft, 1, mix=mix)
        start = time.perf_counter(), time.process_time()
        sitting.do("dilution", draft, merge="dilution")
        times.append((time.perf_counter() - start[0], time.process_time() - start[1]))
        sitting.finish()
    return np.array(times[2:])


def told(what: str, times: np.ndarray) -> None:
    """One line: the clock, and the work of all threads together."""
    clock, work = 1000 * np.median(times, axis=0)
    late = 1000 * np.quantile(times[:, 0], 0.95)
    print(f"{what:50} {clock:6.1f} ms, 95 % within {late:6.1f} ms; work {work:6.1f} ms")


if __name__ == "__main__":
    main()
