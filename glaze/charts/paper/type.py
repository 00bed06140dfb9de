"""The typeface of every sheet: open, humanist, with letters that can't be mistaken."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import Any

FACES = ("Regular", "Bold", "Italic", "BoldItalic")


def font_file(face: str = "Regular") -> str:
    """Path of the font file of a face (SIL Open Font License 1.1)."""
    name = f"AtkinsonHyperlegible-{face}.ttf"
    return str(resources.files("fontpkg_atkinson_hyperlegible").joinpath("files", name))


@cache
def pil_font(points: float, dpi: float, face: str = "Regular") -> Any:
    """The face at a size in points on a picture of that resolution, for Pillow; at least 1 px."""
    from PIL import ImageFont

    return ImageFont.truetype(font_file(face), max(1.0, points * dpi / 72))
