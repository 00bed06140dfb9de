"""A small drawing of our own for the guide: a sailing boat off a headland, A6, 300 dpi.

python draw_boat.py boat.png [rough.png]: with a second name, a small colour sketch of it too.
"""

from __future__ import annotations

import sys

import numpy as np
from PIL import Image, ImageDraw

SCALE, DPI = 3, 300
WIDE_MM, HIGH_MM = 148.0, 105.0
INK = 28


def px(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Millimetres to pixels of the large drawing."""
    return [(x * DPI / 25.4 * SCALE, y * DPI / 25.4 * SCALE) for x, y in points]


def wave(x0: float, x1: float, y: float, swing: float) -> list[tuple[float, float]]:
    """A hand's line from left to right."""
    x = np.linspace(x0, x1, 60)
    return list(zip(x, y + swing * np.sin(x / 7.0) + 0.3 * np.sin(x / 2.3), strict=True))


def main(path: str) -> None:
    """Draw it."""
    size = [round(mm * DPI / 25.4 * SCALE) for mm in (WIDE_MM, HIGH_MM)]
    sheet = Image.new("L", size, 255)
    pen = ImageDraw.Draw(sheet)

    def line(points: list[tuple[float, float]], width_mm: float = 0.5) -> None:
        width = round(width_mm * DPI / 25.4 * SCALE)
        pen.line(px(points), fill=INK, width=width, joint="curve")
        for x, y in px(points):
            pen.ellipse([x - width / 2, y - width / 2, x + width / 2, y + width / 2], fill=INK)

    line([(3, 3), (145, 3), (145, 102), (3, 102), (3, 3)], 0.6)
    angle = np.linspace(0, 2 * np.pi, 90)
    line(list(zip(28 + 9 * np.cos(angle), 24 + 9 * np.sin(angle), strict=True)))
    line(wave(3, 60, 73, 0.5))
    line(wave(96.2, 145, 73, 0.5))
    line([(145, 50), (133, 45), (122, 52), (113, 55), (107, 63), (102, 73)])
    line([(58, 70), (98, 70), (91, 82), (66, 82), (58, 70)], 0.6)
    line([(76, 70), (76, 16)], 0.9)
    line([(71.5, 22), (66, 44), (52, 65), (71.5, 65), (71.5, 22)])
    line([(80.5, 18), (91, 40), (98, 65), (80.5, 65), (80.5, 18)])
    for y, x0, x1 in ((79, 10, 44), (88, 20, 60), (94, 80, 130), (81, 108, 138)):
        line(wave(x0, x1, y, 0.7), 0.35)
    sheet = sheet.resize((size[0] // SCALE, size[1] // SCALE), Image.Resampling.LANCZOS)
    sheet.save(path, dpi=(DPI, DPI))


def rough(path: str) -> None:
    """What is wanted, as one daubs it: flat colours, a shadow over sails and hull."""
    scale = 6.0
    sheet = Image.new("RGB", (round(WIDE_MM * scale), round(HIGH_MM * scale)), (243, 240, 232))
    brush = ImageDraw.Draw(sheet)

    def daub(points: list[tuple[float, float]], colour: str) -> None:
        brush.polygon([(x * scale, y * scale) for x, y in points], fill=colour)

    daub([(3, 3), (145, 3), (145, 74), (3, 74)], "#f3d3b4")
    daub([(3, 73), (145, 73), (145, 102), (3, 102)], "#8fb0cc")
    brush.ellipse([19 * scale, 15 * scale, 37 * scale, 33 * scale], fill="#f0b04a")
    daub([(145, 50), (133, 45), (122, 52), (113, 55), (107, 63), (102, 73), (145, 73)], "#b3aecb")
    daub([(71.5, 22), (66, 44), (52, 65), (71.5, 65)], "#e2703c")
    daub([(80.5, 18), (91, 40), (98, 65), (80.5, 65)], "#eb9446")
    daub([(86, 30), (91, 40), (98, 65), (88, 65)], "#a9693c")
    daub([(58, 70), (98, 70), (91, 82), (66, 82)], "#b0535a")
    daub([(80, 70), (98, 70), (91, 82), (80, 82)], "#7d4046")
    sheet.save(path)


if __name__ == "__main__":
    main(sys.argv[1])
    for also in sys.argv[2:]:
        rough(also)
