"""Prints what the scenes' pages quote: value, chroma and hue at places, without and with bleach.

python docs/scenes/read_places.py [NAME ...]
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting, resolve
from glaze.patch.patches import xyz
from glaze.physics.colour import lab_from_xyz, munsell_value
from glaze.scene.file import load_scene
from glaze.sheet.rect import Rect

SCENES = Path(__file__).resolve().parent.parent.parent / "scenes"
SIDE_MM = 0.3
Place = tuple[str, float, float]

PLACES: dict[str, tuple[Place, ...]] = {
    "lighthouse": (
        ("sky beside the beam", 20, 30),
        ("sky in the beam", 20, 48),
        ("sky at the horizon", 60, 156),
        ("lantern, reserved", 82.6, 49.5),
        ("gull", 34.4, 79),
        ("window", 82.7, 102.2),
        ("white band, lit", 80, 97),
        ("white band, shaded", 93.5, 97),
        ("red band, lit", 80, 121),
        ("red band, shaded", 93.5, 121),
    ),
    "huts": tuple(
        (f"{hut}, {what}", 36 + 45 * i + across, down)
        for i, hut in enumerate(("Blue", "Violet", "Red", "Orange", "Yellow", "Green"))
        for what, across, down in (
            ("lit", 10, 112),
            ("shaded", -12, 112),
            ("shaded twice", -11, 100.4),
            ("dot of bleach", 1, 131),
        )
    ),
    "kettle": (
        ("brass", 100, 185),
        ("first crescent", 122, 188),
        ("second crescent", 138, 200),
        ("third crescent", 150, 204),
        ("window by bleach", 65, 183),
        ("window left bare", 80, 183),
        ("hob", 20, 190),
        ("edge of a bar", 60, 238.7),
        ("kettle in the hob", 98, 247.6),
    ),
    "beetle": (
        ("hatching on the green case", 70.7, 114.6),
        ("hatching on the red case", 91.8, 108.1),
        ("dot on the green case", 62.8, 117.4),
        ("dot on the red case", 99.9, 106),
        ("vein left bare", 40.8, 145.2),
        ("vein by bleach", 34.8, 164.6),
        ("leaf in the light", 20, 140),
        ("leaf in shade", 50, 160),
    ),
    "ferry": (
        ("sky, top", 40, 6),
        ("sky at the horizon", 210, 64),
        ("far shore", 240, 75),
        ("water", 200, 86),
        ("deck", 110, 202),
        ("lamp, reserved", 64, 77.6),
        ("reflection, far end: one touch", 85.6, 143),
        ("rain in the sky: one touch", 12, 69.6),
    ),
}


def look(painting: Painting, x_mm: float, y_mm: float) -> tuple[float, float, float]:
    """Munsell value, chroma and hue angle of the ink at a place."""
    per_mm = painting.dpi / 25.4
    top, left = round((y_mm - SIDE_MM / 2) * per_mm), round((x_mm - SIDE_MM / 2) * per_mm)
    side = round(SIDE_MM * per_mm)
    sheet = sheet_at(painting, Rect(top, left, top + side, left + side))
    mean = xyz(painting.table, sheet).reshape(-1, 3).mean(axis=0)
    _, a, b = lab_from_xyz(mean, painting.table.light.white_xyz)
    hue = float(np.degrees(np.arctan2(b, a)) % 360)
    return float(munsell_value(mean[1])), float(np.hypot(a, b)), hue


def main(names: list[str]) -> None:
    """Print a table a scene."""
    for name in names or PLACES:
        painting = resolve(load_scene(SCENES / name))
        print(f"\n{name}\n| place | before bleach | as painted |\n|---|---|---|")
        for place, x, y in PLACES[name]:
            before, after = look(painting.unlifted(), x, y), look(painting, x, y)
            cells = [f"value {v:.1f}, chroma {c:.0f}, hue {h:.0f}" for v, c, h in (before, after)]
            print(f"| {place} | {cells[0]} | {cells[1] if cells[0] != cells[1] else '-'} |")


if __name__ == "__main__":
    main(sys.argv[1:])
