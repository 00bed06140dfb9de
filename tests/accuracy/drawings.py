"""Ten drawings of our own (CC0): shapes, the colour a hand would choose for each, and shadows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Points = Sequence[tuple[float, float]]

SIZE_MM = (200.0, 140.0)


@dataclass
class Drawing:
    """Shapes, the last on top, and what falls over them.

    shapes : corners [mm] and colour of each, a second colour where it runs down into another
    shades : where a shadow falls, of x and y [mm], and what it leaves of red, green and blue
    """

    size_mm: tuple[float, float] = SIZE_MM
    shapes: list[tuple[Points, str, str]] = field(default_factory=list)
    shades: list[tuple[Callable[[Array, Array], NDArray[np.bool_]], tuple[float, ...]]] = field(
        default_factory=list
    )

    def add(self, points: Points, code: str, low: str = "") -> None:
        """One more shape on top."""
        self.shapes.append((points, code, low or code))

    def box(self, x: float, y: float, wide: float, high: float, code: str, low: str = "") -> None:
        """A rectangle."""
        self.add([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)], code, low)

    def round(self, x: float, y: float, a: float, b: float, code: str, wobble: float = 0.0) -> None:
        """An ellipse, or a blob."""
        t = np.linspace(0, 2 * np.pi, 60, endpoint=False)
        r = 1 + wobble * (np.sin(3 * t + x) + 0.6 * np.sin(5 * t + y))
        xy = np.stack([x + a * r * np.cos(t), y + b * r * np.sin(t)], axis=-1)
        self.add([(float(u), float(v)) for u, v in xy], code)


def pears() -> Drawing:
    """Three pears and a bowl on a cloth; light from the left, one shadow over all."""
    d = Drawing()
    d.box(0, 0, 200, 85, "#cdd9d6")
    d.box(0, 85, 200, 55, "#e9d3a4")
    d.add([(15, 140), (40, 96), (150, 92), (190, 140)], "#d98f7c")
    for x, y, code in ((60, 82, "#c9c25a"), (92, 88, "#dfb24a"), (150, 84, "#a9b85c")):
        d.round(x, y - 18, 9, 14, code)
        d.round(x, y, 16, 17, code)
    d.add([(100, 78), (140, 78), (132, 108), (108, 108)], "#7fa3bd")
    d.shades.append((lambda x, y: (x > 96 + 6 * np.sin(y / 11)) & (y > 40), (0.52, 0.5, 0.56)))
    return d


def street() -> Drawing:
    """Nine houses with doors and windows in two rows; a roof's shadow aslant."""
    d, walls = Drawing(), ("#e7b7a2", "#efdd98", "#a9c6d8", "#c7b5d3", "#b6cfa3", "#e3c7b0")
    d.box(0, 0, 200, 60, "#8fb9d9", "#e2ebf0")
    d.box(0, 60, 200, 80, "#cdbb98")
    for n in range(9):
        x, y, code = 6 + 38 * (n % 5) + 15 * (n // 5), 42 + 44 * (n // 5), walls[n % 6]
        d.box(x, y, 30, 38, code)
        d.add([(x - 3, y), (x + 15, y - 15), (x + 33, y)], "#b4624c" if n % 2 else "#7d6a66")
        d.box(x + 4, y + 7, 8, 10, "#5f7385")
        d.box(x + 18, y + 7, 8, 10, "#5f7385")
        d.box(x + 11, y + 22, 8, 16, "#8a4f3d")
    d.shades.append((lambda x, y: (y > 62 + 0.12 * x) & (y < 96 + 0.12 * x), (0.45, 0.45, 0.5)))
    return d


def regatta() -> Drawing:
    """Seven sails on a sea that runs from pale to deep."""
    d = Drawing()
    d.box(0, 0, 200, 62, "#f0d9b5", "#e9b79a")
    d.box(0, 62, 200, 78, "#9cc3c6", "#2f6b86")
    for n, code in enumerate(("#d8503c", "#f2e6c8", "#e8b23e", "#f4efe2", "#5a7fb0", "#c96f86")):
        x, y, s = 16 + 31 * n, 96 + 12 * (n % 3), 1.0 + 0.2 * (n % 3)
        d.add([(x, y), (x, y - 46 * s), (x + 17 * s, y)], code)
        d.add([(x - 2, y), (x - 2, y - 38 * s), (x - 12 * s, y)], "#efe7d4")
        d.add(
            [(x - 14 * s, y + 2), (x + 20 * s, y + 2), (x + 13 * s, y + 9 * s), (x - 9, y + 9)],
            "#6b4a3a",
        )
    return d


def balloons() -> Drawing:
    """Striped balloons over hills."""
    d = Drawing()
    d.box(0, 0, 200, 140, "#79aede", "#eef1ea")
    for n, code in enumerate(("#7f9a7a", "#9db36a", "#c8c26c")):
        y = 100 + 13 * n
        hill = [(float(x), y - 10 * np.sin(x / 27 + 1.7 * n)) for x in range(0, 201, 5)]
        d.add([*hill, (200, 140), (0, 140)], code)
    for x, y, r, a, b in (
        (50, 42, 27, "#d9534a", "#f3d35c"),
        (125, 35, 21, "#7a5ca0", "#f0b24e"),
        (172, 64, 15, "#3f8f86", "#f2ead2"),
    ):
        for n, wide in enumerate((1.0, 0.72, 0.42, 0.14)):
            d.round(x, y, r * wide, r, a if n % 2 == 0 else b)
        d.add(
            [(x - 4, y + r + 6), (x + 4, y + r + 6), (x + 3, y + r + 13), (x - 3, y + r + 13)],
            "#8a6238",
        )
    return d


def fish() -> Drawing:
    """Five fish with fins among weeds in green water."""
    d = Drawing()
    d.box(0, 0, 200, 140, "#bfe0d8", "#3c7f86")
    for n in range(8):
        x = 10 + 26 * n
        left = [(x + 4 * np.sin(t / 9 + n), 140 - t) for t in range(0, 56 + 5 * (n % 3), 6)]
        d.add([*left, *[(u + 6, v) for u, v in reversed(left)]], ("#55803f", "#7d9a3d")[n % 2])
    for x, y, s, a, b in (
        (50, 40, 1.2, "#e8743b", "#f4cf6a"),
        (130, 32, 1.0, "#f0c544", "#d9772e"),
        (105, 78, 1.5, "#d94f5c", "#f3a08c"),
        (38, 92, 0.8, "#e9e2d0", "#c7553f"),
        (166, 84, 0.9, "#6d6fb0", "#c9a9d2"),
    ):
        d.add([(x + 20 * s, y), (x + 34 * s, y - 11 * s), (x + 31 * s, y + 11 * s)], b)
        d.add([(x - 4 * s, y - 10 * s), (x + 8 * s, y - 20 * s), (x + 13 * s, y - 7 * s)], b)
        d.round(x, y, 24 * s, 12 * s, a)
        d.round(x - 14 * s, y - 2 * s, 2.6 * s, 2.6 * s, "#2d2d35")
    return d


def toadstools() -> Drawing:
    """Red caps with white spots in a dark wood."""
    d = Drawing()
    d.box(0, 0, 200, 95, "#4f6b5c", "#91a583")
    d.box(0, 95, 200, 45, "#8b7350", "#5f4c3a")
    for n in range(7):
        x = 8 + 30 * n + 6 * (n % 2)
        d.add([(x, 0), (x + 8, 0), (x + 10, 98), (x - 3, 98)], "#4a4038")
    for x, y, s in ((48, 78, 1.5), (105, 88, 1.1), (155, 74, 1.6)):
        d.add(
            [(x - 6 * s, y), (x + 6 * s, y), (x + 8 * s, y + 32 * s), (x - 8 * s, y + 32 * s)],
            "#eee3cc",
        )
        t = np.linspace(np.pi, 2 * np.pi, 30)
        cap = [(float(x + 24 * s * np.cos(v)), float(y + 24 * s * np.sin(v))) for v in t]
        d.add(cap, "#c73a32")
        for u, v, r in ((-12, -8, 3), (0, -16, 3.5), (12, -9, 3), (2, -5, 2.2)):
            d.round(x + u * s, y + v * s, r * s, r * s, "#f5f0e4")
    d.shades.append(
        (lambda x, y: (y > 100) & (np.sin(x / 14) + 0.3 * np.sin(y / 5) > 0.1), (0.5, 0.5, 0.52))
    )
    return d


def teapot() -> Drawing:
    """A teapot and two cups on a checked cloth."""
    d = Drawing()
    d.box(0, 0, 200, 70, "#e7dcc6", "#d9c3a8")
    for n in range(32):
        d.box(
            25 * (n % 8), 70 + 18 * (n // 8), 25, 18, ("#f0ead8", "#9fb6cf")[(n % 8 + n // 8) % 2]
        )
    d.round(88, 78, 34, 29, "#5d88ad")
    d.round(88, 49, 16, 6, "#7ea4c2")
    d.round(88, 40, 4, 5, "#c9794a")
    d.add([(120, 74), (150, 50), (156, 55), (124, 92)], "#5d88ad")
    for x in (24, 160):
        d.add([(x, 90), (x + 30, 90), (x + 24, 112), (x + 6, 112)], "#e8b89a")
        d.round(x + 15, 90, 15, 4, "#7a4a2c")
    d.shades.append((lambda x, y: (x - y > 12) & (y > 70), (0.6, 0.58, 0.64)))
    return d


def lake() -> Drawing:
    """Blue ranges behind each other over water at dusk: mostly grades."""
    d = Drawing()
    d.box(0, 0, 200, 80, "#5d6fa6", "#f3c9a4")
    for n, code in enumerate(("#b3a6bd", "#7f86a8", "#4e5c7e")):
        y = 58 + 9 * n
        top = [
            (float(x), y - (16 - 3 * n) * abs(np.sin(x / (31 - 6 * n) + n)))
            for x in range(0, 201, 4)
        ]
        d.add([*top, (200, 82), (0, 82)], code)
    d.box(0, 80, 200, 60, "#e6bfa6", "#3d4f78")
    d.round(100, 50, 8, 8, "#f8efd6")
    d.add([(30, 118), (78, 118), (70, 127), (38, 127)], "#4a332c")
    d.add([(50, 118), (50, 84), (72, 114)], "#c8553f")
    return d


def umbrellas() -> Drawing:
    """Umbrellas on a wet street, each of eight panels of its own hue."""
    d = Drawing()
    d.box(0, 0, 200, 140, "#b9bcc4", "#6f7480")
    hues = ("#c8433f", "#e7a83c", "#4c8a6a", "#44709f", "#8a5590", "#d27f9b")
    for n in range(6):
        x, y, r = 34 + 66 * (n % 3), 40 + 62 * (n // 3), 27
        for k in range(8):
            t = np.linspace(k, k + 1, 8) * np.pi / 4 + 0.2 * n
            rim = [(float(x + r * np.cos(v)), float(y + r * np.sin(v))) for v in t]
            d.add([(x, y), *rim], hues[n] if k % 2 else hues[(n + 1) % 6])
    d.shades.append((lambda x, y: np.sin((x + 0.6 * y) / 15) > 0.55, (0.55, 0.55, 0.6)))
    return d


def quilt() -> Drawing:
    """Sixty patches on an A4 sheet, in twelve hues, a fold's shadow across."""
    d = Drawing(size_mm=(297.0, 210.0))
    hues = (
        "#e8a7a0",
        "#c8504a",
        "#f0d58a",
        "#d99a3c",
        "#a8c8a0",
        "#5e8f6c",
        "#a4c6dc",
        "#4f7fa8",
        "#c9b4d8",
        "#8a6a9c",
        "#d8c8b0",
        "#8f8478",
    )
    for n in range(60):
        row, column = divmod(n, 10)
        d.box(6 + 28.5 * column, 6 + 33 * row, 28.5, 33, hues[(7 * row + 5 * column) % 12])
    d.shades.append((lambda x, y: abs(y - 0.4 * x - 40) < 16, (0.55, 0.55, 0.6)))
    return d


DRAWINGS: dict[str, Callable[[], Drawing]] = {
    made.__name__: made
    for made in (pears, street, regatta, balloons, fish, toadstools, teapot, lake, umbrellas, quilt)
}
