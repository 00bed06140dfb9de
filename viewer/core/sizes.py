"""How large a sheet is whose picture doesn't say: usual sheets of its shape, or a side of it."""

from __future__ import annotations

from pathlib import Path

from glaze.errors import InputError
from glaze.sketch.size import NAMED_MM, size_mm_of

from .saying import say

Size = tuple[float, float]
"""Width and height [mm]."""

USUAL: dict[str, Size] = {
    **{name.title(): size for name, size in NAMED_MM.items()},
    "Tabloid": (279.4, 431.8),
    "9 x 12 in": (228.6, 304.8),
    "24 x 32 cm": (240, 320),
}
"""Sheets with a name, and two sizes of drawing pads (common practice, no source), upright [mm]."""
ALIKE = 0.03
"""A picture may be so much narrower or wider than a sheet: scanners and cameras cut edges."""


def picture_size(path: Path) -> tuple[int, int]:
    """Width and height of a picture as it is seen upright [px]."""
    from PIL import Image

    with Image.open(path) as image:
        wide, high = image.size
        turned = image.getexif().get(0x0112, 1) >= 5
    return (high, wide) if turned else (wide, high)


def usual_sizes(pixels: tuple[int, int], alike: float = ALIKE) -> dict[str, Size]:
    """Usual sheets of a picture's shape, upright or lying as it is.

    alike : how much narrower or wider it may be [share]
    """
    wide, high = pixels
    found = {}
    for name, (short, long) in USUAL.items():
        size = (short, long) if wide <= high else (long, short)
        if abs(wide / high * size[1] / size[0] - 1) < alike:
            found[name] = size
    return found


def size_of(text: str, pixels: tuple[int, int], alike: float = ALIKE) -> Size:
    """A sheet's size from "A4", "148 x 210" (mm), "15 x 21 cm" or "148" (its width).

    alike : how much narrower or wider than the picture it may be [share]

    Raises
    ------
    InputError : it says no size, or one of another shape than the picture
    """
    wide, high = pixels
    plain = text.split("(")[0].strip().replace(",", ".")
    named = next((size for name, size in USUAL.items() if name.lower() == plain.lower()), None)
    try:
        across, down = (
            size_mm_of(plain, pixels) if named is None else named[:: 1 if wide <= high else -1]
        )
    except InputError:
        raise InputError(say("refused.no_size", text=text)) from None
    sides = {"wide": f"{across:g}", "high": f"{down:g}"}
    if abs(across / down * high / wide - 1) > alike:
        fits = f"{across * high / wide:.0f}"
        raise InputError(say("refused.other_shape", **sides, fits=fits))
    if not all(5 <= side <= 2000 for side in (across, down)):
        raise InputError(say("refused.sides", **sides))
    return round(across, 1), round(down, 1)
