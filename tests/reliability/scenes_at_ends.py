# ruff: noqa: E501
"""Scenes at the ends of what `glaze check` allows, on sheets of a few dozen pixels."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
from PIL import Image

INKS = ("Blue", "Red", "Yellow", "Black")


SIZES_MM = ((5.0, 5.0), (12.0, 9.0), (30.0, 8.0), (40.0, 40.0))
DPIS = (20.0, 20.0, 25.4, 50.0)


def scene_at_ends(
    random: Random,
    folder: Path,
    sizes_mm: Sequence[tuple[float, float]] = SIZES_MM,
    dpis: Sequence[float] = DPIS,
) -> str:
    """A scene file's text; its sketch, mask and grade are put into the folder."""
    wide, high = random.choice(sizes_mm)
    dpi = random.choice(dpis)
    lines = ["format = 1", 'palette = "lifting"']
    paper = random.choice(["white cartridge", "white hot-pressed"])
    lines += [f'paper = "{paper}"', f'title = "{random.choice(["a", "é" * 40, "x y"])}"']
    shape = max(1, round(high / 25.4 * dpi)), max(1, round(wide / 25.4 * dpi))
    sketched = random.random() < 0.6
    if sketched:
        _sketch(random, folder / "sketch.png", shape, dpi)
        lines += ['sketch = "sketch.png"', f"dpi = {dpi:g}"]
    else:
        lines += [f"size_mm = [{wide:g}, {high:g}]", f"dpi = {dpi:g}"]
    if random.random() < 0.4:
        lines.append(f'line = "{random.choice(["waterproof", "Black", "Blue"])}"')
    if random.random() < 0.3:
        lines.append(f'light = "{random.choice(["D65", "A", "FL11", "LED-B3", "D50"])}"')
    for table, keys in (
        ("room", {"temperature_c": (5, 40), "humidity_percent": (0, 98), "air_m_per_s": (0, 5)}),
        ("dropper", {"ink_drops_per_ml": (5, 100), "water_drops_per_ml": (5, 100)}),
        ("bleach", {"percent": (1e-4, 9), "age_months": (0, 60), "storage_c": (0, 45),
                    "ph": (9, 14)}),
    ):  # fmt: skip
        if random.random() < 0.3:
            lines.append(f"[{table}]")
            lines += [f"{key} = {random.choice(ends)}" for key, ends in keys.items()]
    wells = random.randrange(4)
    if wells:
        lines.append("[well]")
        lines += [f"w{n} = {json.dumps(_mix(random, n))}" for n in range(wells)]
    names: list[str] = []
    for number in range(random.randrange(5)):
        lines.append(f"[region.r{number}]")
        lines += _region(random, folder, (wide, high), shape, names, sketched)
        names.append(f"r{number}")
    for number in range(random.randrange(6)):
        lines.append("[[step]]")
        lines += _step(random, folder, number, (wide, high), shape, names, wells, sketched)
    return "\n".join(lines) + "\n"


def _sketch(random: Random, file: Path, shape: tuple[int, int], dpi: float) -> None:
    grey = np.full(shape, 250, np.uint8)
    if random.random() < 0.7 and min(shape) > 4:
        grey[1, 1:-1] = grey[-2, 1:-1] = grey[1:-1, 1] = grey[1:-1, -2] = 20
    if random.random() < 0.1:
        grey[:] = random.choice([0, 255, 128])
    Image.fromarray(grey).save(file, dpi=(dpi, dpi))


def _point(random: Random, size: tuple[float, float]) -> list[float]:
    wide, high = size
    far = random.random() < 0.1
    x = random.choice([0.0, wide, wide / 2, random.uniform(0, wide), *([-900.0, 4000.0] * far)])
    y = random.choice([0.0, high, high / 2, random.uniform(0, high), *([-900.0, 4000.0] * far)])
    return [round(x, 3), round(y, 3)]


def _length(random: Random) -> float:
    return random.choice([0.01, 0.1, 0.3, 2.0, 8.0, 100.0, 1000.0])


def _shape(
    random: Random, folder: Path, size: tuple[float, float], shape: tuple[int, int], sketched: bool
) -> str:
    point = lambda: _point(random, size)  # noqa: E731
    kind = random.choice(["polygon", "ellipse", "band", "pen", "mask", "enclosed", "polygon"])
    if kind == "mask":
        level = random.choice([0, 1, 255, 128])
        Image.fromarray(np.full(shape, level, np.uint8)).save(folder / f"m{level}.png")
        return f'mask = "m{level}.png"'
    if kind == "ellipse":
        radii = [_length(random), _length(random)]
        turn = random.choice([-360, 0, 33, 360])
        return f"ellipse_mm = {{ centre = {point()}, radii = {radii}, turn_degrees = {turn} }}"
    if kind == "band":
        return f"band_mm = {{ from = {point()}, to = {point()}, width = {_length(random)} }}"
    if kind == "pen":
        points = [point() for _ in range(random.choice([2, 3, 9]))]
        return f"pen_line_mm = {{ points = {points}, width = {_length(random)} }}"
    if kind == "enclosed" and sketched:
        gap = random.choice([0, 0.5, 3, 20])
        return f"enclosed_at_mm = {[point() for _ in range(random.choice([1, 2]))]}\ngap_mm = {gap}"
    return f"polygon_mm = {[point() for _ in range(random.choice([3, 4, 30]))]}"


def _region(
    random: Random,
    folder: Path,
    size: tuple[float, float],
    shape: tuple[int, int],
    names: list[str],
    sketched: bool,
) -> list[str]:
    if names and random.random() < 0.25:
        lines = [f"union = {json.dumps(random.sample(names, random.randint(1, len(names))))}"]
    else:
        lines = [_shape(random, folder, size, shape, sketched)]
    if random.random() < 0.5:
        lines.append(f"soft_mm = {random.choice([0.001, 0.3, 2, 50])}")
    if names and random.random() < 0.3:
        lines.append(f'{random.choice(["inside", "minus"])} = ["{random.choice(names)}"]')
    if random.random() < 0.3:
        lines.append(f"want_value = {random.choice([0, 10, 5.5])}")
    return lines


def _mix(random: Random, below: int) -> str:
    ink = random.choice(INKS)
    if random.random() < 0.06:
        return random.choice([f"{ink} 0 + water 4", f"{ink} 0 ml", f"{ink} 0.001", "water 4"])
    return random.choice(
        [
            f"{ink} 1 + water {random.choice([0, 1, 4, 60, 400, 5000])}",
            f"{ink} 1 part + water {random.choice([0, 0.01, 4, 16, 1000])} parts",
            f"{ink} {random.choice([0.001, 0.05, 100])} ml + water {random.choice([0, 0.1, 50])} ml",
            f"{ink} 1000",
            f"{ink} 0 + Red 1 + water 9",
            f"Blue 3 + Red 1 + Yellow {random.choice([0, 1, 99])} + water 9",
            f"w{random.randrange(below)} 1 + water 2" if below else f"{ink} 1",
        ]
    )


def _step(
    random: Random,
    folder: Path,
    number: int,
    size: tuple[float, float],
    shape: tuple[int, int],
    names: list[str],
    wells: int,
    sketched: bool,
) -> list[str]:
    where: Any = random.choice([*names, "sheet"])
    region = f'region = "{where}"'
    if random.random() < 0.2:
        inner = _shape(random, folder, size, shape, False).replace("\n", ", ")
        region = f"region = {{ {inner} }}"
    kind = random.choice(["wash", "wash", "lift", "water_lift", "rinse"])
    lines = [f'{kind} = "{kind} {number}"', region]
    some = lambda: random.random() < 0.4  # noqa: E731
    if kind == "wash":
        mix = f"w{random.randrange(wells)}" if wells and some() else _mix(random, wells)
        lines.append(f"mix = {json.dumps(mix)}")
        lines += [f"coats = {random.choice([1, 2, 20])}"] * some()
        lines += [f"film_ml_per_m2 = {random.choice([1, 20, 100, 400])}"] * some()
        lines += [f'edge = "{random.choice(["drying line", "soft", "none"])}"'] * some()
        if some():
            a, b = _point(random, size), _point(random, size)
            start, end = random.choice([(0, 0), (1, 0), (0, 1), (1, 1)])
            lines.append(f"graded = {{ from_mm = {a}, to_mm = {b}, start = {start}, end = {end} }}")
    if kind == "lift":
        lines += [f"parts_water = {random.choice([0, 0.001, 4, 100])}"] * some()
        lines += [f"touches = {random.choice([1, 20])}"] * some()
        lines += [f'tool = "{random.choice(["brush", "dip pen", "swab"])}"'] * some()
        lines += [f"film_ml_per_m2 = {random.choice([1, 400])}"] * some()
        lines += [f"rinse = {random.choice(['true', 'false'])}"] * some()
    if kind in ("lift", "water_lift"):
        lines += [f"minutes = {random.choice([0.01, 0.1, 1, 30, 60])}"] * some()
    return lines
