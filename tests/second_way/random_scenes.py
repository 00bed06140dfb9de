"""Random small scenes: as a scene file for the product, as plain steps for the second way."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from tests.second_way import literal, raw_figures

ROWS, COLUMNS, DPI = 12, 12, 60.0
COMPARED = 12
"""Pixels of a sheet that the second way works out; the rest only creeps into them."""


def random_scene(rng: np.random.Generator, paper: str, light: str) -> dict[str, Any]:
    """Washes, lifts, washes over what bleach they left, in random numbers and amounts."""
    steps = [random_wash(rng) for _ in range(rng.integers(1, 4))]
    steps.append(random_lift(rng))
    if rng.random() < 0.5:
        steps.append(random_water(rng))
    steps += [random_wash(rng) for _ in range(rng.integers(1, 3))]
    if rng.random() < 0.4:
        steps.append(random_lift(rng))
    return {
        "paper": paper,
        "light": light,
        "room": {
            "temperature_c": float(rng.uniform(12, 32)),
            "humidity_percent": float(rng.uniform(20, 80)),
            "air_m_per_s": float(rng.choice([0.0, 0.5])),
        },
        "bottle": {
            "percent": float(rng.uniform(2, 8)),
            "age_months": float(rng.uniform(0, 9)),
            "storage_c": float(rng.uniform(10, 25)),
            "ph": float(rng.uniform(10.5, 12.5)),
        },
        "steps": steps,
        "places": [tuple(place) for place in rng.integers(0, (ROWS, COLUMNS), (COMPARED, 2))],
    }


def random_mask(rng: np.random.Generator) -> np.ndarray:
    """Full, empty and everything between, 16 bits."""
    mask = rng.integers(0, 65536, (ROWS, COLUMNS))
    kind = rng.random((ROWS, COLUMNS))
    mask[kind < 0.3], mask[kind > 0.85], mask[0, 0] = 65535, 0, 65535
    return mask


def random_wash(rng: np.random.Generator) -> dict[str, Any]:
    """One to three inks with water, in drops or parts, flat or graded."""
    inks = raw_figures.ink_names("lifting")
    unit = str(rng.choice(["drops", "parts"]))
    some = rng.choice(inks, rng.integers(1, 4), replace=False)
    recipe = {str(name): float(rng.integers(1, 5)) for name in some}
    recipe["water"] = float(rng.integers(0, 30))
    across = COLUMNS * 25.4 / DPI
    graded = {"from": 0.1, "to": across, "start": 1.0, "end": float(rng.uniform(0, 0.6))}
    return {
        "do": "wash",
        "recipe": {name: amount for name, amount in recipe.items() if amount},
        "unit": unit,
        "coats": int(rng.integers(1, 4)),
        "film": float(rng.uniform(50, 150)),
        "graded": graded if rng.random() < 0.4 else None,
        "mask": random_mask(rng),
    }


def random_lift(rng: np.random.Generator) -> dict[str, Any]:
    """Neat to very weak bleach, one to three touches, some seconds to some minutes."""
    return {
        "do": "lift",
        "parts_water": float(rng.choice([0, 4, 9, 19, 49])),
        "touches": int(rng.integers(1, 3)),
        "minutes": float(np.exp(rng.uniform(np.log(0.2), np.log(8)))),
        "tool": str(rng.choice(["brush", "dip pen", "swab"])),
        "film": None if rng.random() < 0.5 else float(rng.uniform(20, 90)),
        "rinse": bool(rng.random() < 0.3),
        "mask": random_mask(rng),
    }


def random_water(rng: np.random.Generator) -> dict[str, Any]:
    """A water lift or a rinse."""
    minutes = float(rng.uniform(0.5, 4)) if rng.random() < 0.5 else None
    return {"do": "water", "minutes": minutes, "mask": random_mask(rng)}


# --- for the product -------------------------------------------------------------------------


def written(scene: dict[str, Any], folder: Path) -> Path:
    """The scene as a folder with its file and masks."""
    folder.mkdir()
    paper = scene["paper"]
    if paper == "coated":
        text = 'name = "coated"\nbased_on = "white hot-pressed"\nsurface = "coated"\n'
        (folder / "paper.toml").write_text(text, encoding="utf-8")
        paper = "paper.toml"
    lines = [
        f'format = 1\ntitle = "random"\npalette = "lifting"\npaper = "{paper}"',
        f'light = "{scene["light"]}"\ndpi = {DPI}',
        f"size_mm = [{COLUMNS * 25.4 / DPI!r}, {ROWS * 25.4 / DPI!r}]",
        "[room]",
        *(f"{key} = {value!r}" for key, value in scene["room"].items()),
        "[bleach]",
        *(f"{key} = {value!r}" for key, value in scene["bottle"].items()),
    ]
    for number, step in enumerate(scene["steps"]):
        Image.fromarray(step["mask"].astype(np.uint16)).save(folder / f"m{number}.png")
        lines.append(f'[region.r{number}]\nmask = "m{number}.png"')
    lines += [_told(number, step) for number, step in enumerate(scene["steps"])]
    (folder / "scene.toml").write_text("\n".join(lines), encoding="utf-8")
    return folder


def _told(number: int, step: dict[str, Any]) -> str:
    if step["do"] == "water":
        rinse = step["minutes"] is None
        head = f'rinse = "step {number}"' if rinse else f'water_lift = "step {number}"'
        more = [] if rinse else [f"minutes = {step['minutes']!r}"]
    elif step["do"] == "lift":
        head = f'lift = "step {number}"'
        keys = ("parts_water", "touches", "minutes")
        more = [f"{key} = {step[key]!r}" for key in keys]
        more += [f'tool = "{step["tool"]}"', f"rinse = {str(step['rinse']).lower()}"]
        more += [] if step["film"] is None else [f"film_ml_per_m2 = {step['film']!r}"]
    else:
        head = f'wash = "step {number}"'
        unit = "" if step["unit"] == "drops" else " parts"
        mix = " + ".join(f"{name} {amount:g}{unit}" for name, amount in step["recipe"].items())
        more = [f'mix = "{mix}"', f"coats = {step['coats']}", 'edge = "none"']
        more.append(f"film_ml_per_m2 = {step['film']!r}")
        if g := step["graded"]:
            line = f"from_mm = [{g['from']!r}, 0], to_mm = [{g['to']!r}, 0]"
            more.append(f"graded = {{ {line}, start = {g['start']!r}, end = {g['end']!r} }}")
    return "\n".join(["[[step]]", head, f'region = "r{number}"', *more])


# --- for the second way ----------------------------------------------------------------------


def by_the_second_way(scene: dict[str, Any]) -> np.ndarray:
    """Linear sRGB of the compared pixels, shape (COMPARED, 3)."""
    paper = raw_figures.paper("white hot-pressed" if scene["paper"] == "coated" else scene["paper"])
    if scene["paper"] == "coated":
        paper |= literal.COATED
    bench = literal.Bench("lifting", paper, scene["room"], scene["bottle"])
    washes = [step for step in scene["steps"] if step["do"] == "wash"]
    bench.use([name for step in washes for name in step["recipe"] if name != "water"])
    fields = [_field(bench, step) for step in scene["steps"]]
    spectra = []
    for place in scene["places"]:
        pixel, lifted = bench.bare(), False
        for step, field in zip(scene["steps"], fields, strict=True):
            share = float(field[place])
            if step["do"] == "wash":
                literal.wash(bench, pixel, step, share, lifted)
            elif step["do"] == "lift":
                literal.lift(bench, pixel, step, share)
                lifted = True
            else:
                literal.water(bench, pixel, share, step["minutes"])
        spectra.append(literal.reflectance(bench, pixel))
    return np.asarray(literal.linear_srgb(spectra, scene["light"]))


def _field(bench: literal.Bench, step: dict[str, Any]) -> np.ndarray:
    """Share of a step's full film at every pixel."""
    share = step["mask"] / 65535.0
    if step["do"] == "lift":
        return literal.crept(share, float(bench.paper["creep_mm"]), DPI)
    if step.get("graded"):
        g = step["graded"]
        for c in range(COLUMNS):
            x = (c + 0.5) * 25.4 / DPI
            t = min(max((x - g["from"]) / (g["to"] - g["from"]), 0.0), 1.0)
            share[:, c] *= g["start"] + (g["end"] - g["start"]) * (3 * t**2 - 2 * t**3)
    return share
