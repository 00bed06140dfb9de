"""What a PDF page draws, read back from its content stream by pypdf, in mm from upper left."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from pypdf import PdfReader
from pypdf.generic import ContentStream


@dataclass
class Drawn:
    """One path: points [mm], y down; fill and stroke say how it is painted."""

    points: np.ndarray
    fill: tuple[float, float, float] | None
    stroked: bool


def drawn_paths(path: Path, page_number: int = 0) -> list[Drawn]:
    """Every path of a page, through the page's own matrices."""
    reader = PdfReader(path)
    page = reader.pages[page_number]
    high = float(page.mediabox.height)
    matrix, stack, fill = np.eye(3), [], (0.0, 0.0, 0.0)
    points: list[tuple[float, float]] = []
    found: list[Drawn] = []
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        numbers = [float(v) for v in operands] if operator in NUMERIC else []
        if operator == b"q":
            stack.append((matrix, fill))
        elif operator == b"Q":
            matrix, fill = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = numbers
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif operator == b"rg":
            fill = (numbers[0], numbers[1], numbers[2])
        elif operator in (b"m", b"l"):
            x, y, _ = np.array([*numbers, 1.0]) @ matrix
            points.append((x / 72 * 25.4, (high - y) / 72 * 25.4))
        elif operator in PAINT:
            if points:
                filled = fill if operator in (b"f", b"f*", b"B", b"B*", b"b") else None
                found.append(Drawn(np.array(points), filled, operator not in (b"f", b"f*")))
            points = []
    return found


NUMERIC = (b"cm", b"rg", b"m", b"l")
PAINT = (b"f", b"f*", b"B", b"B*", b"b", b"S", b"s", b"n")
