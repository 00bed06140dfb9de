"""A sheet's size as painters say it: A5, 210x148mm, 148 × 210, 15 x 21 cm, a width alone."""

from __future__ import annotations

import re

from glaze.errors import InputError

NAMED_MM = {
    "A0": (841.0, 1189.0),
    "A1": (594.0, 841.0),
    "A2": (420.0, 594.0),
    "A3": (297.0, 420.0),
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "A6": (105.0, 148.0),
    "LETTER": (215.9, 279.4),
}
"""ISO 216 and ANSI/ASME Y14.1, upright [mm]."""

SIZE = re.compile(r"([\d.]+)(?:\s*(?:mm|cm)?\s*[x×*]\s*([\d.]+))?\s*(mm|cm)?")


def size_mm_of(text: str, pixels: tuple[int, int]) -> tuple[float, float]:
    """Width and height of a sheet [mm] from its words.

    A named size lies as the picture does; of a width alone the height follows from its shape.

    Parameters
    ----------
    pixels : width and height of its picture [px]
    """
    across, down = pixels
    told = text.strip()
    if told.upper() in NAMED_MM:
        short, long = NAMED_MM[told.upper()]
        return (long, short) if across > down else (short, long)
    found = SIZE.fullmatch(told.lower())
    try:
        assert found is not None
        unit = 10.0 if found[3] == "cm" else 1.0
        wide = float(found[1]) * unit
        high = float(found[2]) * unit if found[2] else wide * down / across
    except (AssertionError, ValueError):
        raise InputError(
            f'--size "{text}": width x height of the sheet, as 210x148 (mm) or 21x14.8 cm; a named '
            f"one, as {', '.join(NAMED_MM)}; or the width alone, as 210."
        ) from None
    return wide, high
