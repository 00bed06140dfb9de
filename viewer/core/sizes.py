"""How large a sheet is whose picture doesn't say: usual sheets of its shape, or a side of it."""

from __future__ import annotations

import re
from pathlib import Path

from glaze.errors import InputError

Size = tuple[float, float]
"""Width and height [mm]."""

USUAL: dict[str, Size] = {
    "A6": (105, 148),
    "A5": (148, 210),
    "A4": (210, 297),
    "A3": (297, 420),
    "A2": (420, 594),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
    "9 x 12 in": (228.6, 304.8),
    "24 x 32 cm": (240, 320),
}
"""ISO 216 and ANSI/ASME Y14.1 sheets; the last two are sizes of drawing pads (common practice, no
source)."""
ALIKE = 0.03
"""A picture may be so much narrower or wider than a sheet: scanners and cameras cut edges."""


def picture_size(path: Path) -> tuple[int, int]:
    """Width and height of a picture as it is seen upright [px]."""
    from PIL import Image

    with Image.open(path) as image:
        wide, high = image.size
        turned = image.getexif().get(0x0112, 1) >= 5
    return (high, wide) if turned else (wide, high)


def usual_sizes(pixels: tuple[int, int]) -> dict[str, Size]:
    """Usual sheets of a picture's shape, upright or lying as it is."""
    wide, high = pixels
    found = {}
    for name, (short, long) in USUAL.items():
        size = (short, long) if wide <= high else (long, short)
        if abs(wide / high * size[1] / size[0] - 1) < ALIKE:
            found[name] = size
    return found


def size_of(text: str, pixels: tuple[int, int]) -> Size:
    """A sheet's size from "A4", "148 x 210", "148" (its width) or "x 210" (its height).

    Raises
    ------
    InputError : it says no size, or one of another shape than the picture
    """
    wide, high = pixels
    plain = text.split("(")[0].strip().lower().replace(",", ".").removesuffix("mm").strip()
    for name, (short, long) in USUAL.items():
        if plain == name.lower():
            return (short, long) if wide <= high else (long, short)
    match = re.fullmatch(r"(\d+(?:\.\d+)?)?\s*(?:[x×*]\s*(\d+(?:\.\d+)?)?)?", plain)
    across, down = (
        (float(side) if side else None for side in match.groups()) if match else 2 * (None,)
    )
    if across is None and down is None:
        raise InputError(
            f'"{text}" says no size. Write A4, or 148 x 210 (mm), or 148 for the width alone.'
        )
    if across is None or down is None:
        across = across or round((down or 0) * wide / high, 1)
        down = down or round(across * high / wide, 1)
    if abs(across / down * high / wide - 1) > ALIKE:
        raise InputError(
            f"{across:g} x {down:g} mm has another shape than the picture; {across:g} mm wide, it "
            f"is {across * high / wide:.0f} mm high. One side is enough."
        )
    if not all(5 <= side <= 2000 for side in (across, down)):
        raise InputError(f"{across:g} x {down:g} mm: a sheet has sides of 5 to 2000 mm.")
    return across, down
