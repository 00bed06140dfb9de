"""What washes with one's own inks are promised, and what the sheet says of grey film, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from glaze.calibrate.fit.found import Calibration, Colour
from glaze.calibrate.fit.scanner import Z
from glaze.calibrate.scan.swatch import lab_of
from glaze.materials.checked import Checked


def promised_lines(found: Calibration) -> Iterator[str]:
    """A thin black over a strong colour, then each kind of wash with what it is promised."""
    for check in found.checks:
        if check.name.endswith(" neat") and " over " in check.name:
            yield (
                f"{check.name}: chroma {_chroma(check.seen):.0f} as painted, "
                f"{_chroma(check.fitted):.0f} as predicted; no measurement but yours tells whether "
                "it turns to grey film."
            )
    checked = found.palette.checked
    for words, own in (("one ink", checked.one_ink), ("two inks and more", checked.more_inks)):
        if own.colour:
            colour = Z * math.hypot(own.colour, checked.scanner.colour)
            value = Z * math.hypot(own.value, checked.scanner.value)
            yield (
                f"From these patches, washes of {words} within {colour:.0f} (CIEDE2000) and "
                f"{value:.1f} step at best, 9 of 10{_of_scanner(checked)}."
            )


def _of_scanner(checked: Checked) -> str:
    off = Z * checked.scanner.colour
    return f"; {off:.0f} of it is what this scanner may be off" if off >= 0.5 else ""


def _chroma(rgb: Colour) -> float:
    """CIELAB chroma of a linear colour under D65."""
    return float(np.hypot(*lab_of(np.array(rgb))[1:]))
