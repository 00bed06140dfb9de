"""What a lift leaves, in a painter's words: near paper, gold, pink, stays.

The words follow from three colours in CIELAB: what lies there before, what the lift leaves, and
bare paper. Hue names are read off what is left *against the paper*, as the eye adapts to the sheet.
Thresholds are guesses (no survey of ghosts was found), stated here and tested at their ends.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from glaze.physics.colour import delta_e_2000

STAYS_DE00 = 3.0
"""A lift that changes the colour by less hasn't moved it (twice what is just seen)."""
PAPER_DE00, NEAR_PAPER_DE00 = 2.0, 6.0
"""From bare paper: below the first the eye finds no ghost, below the second one has to look."""
GREY_CHROMA = 7.0
"""C*ab against the paper below which a ghost has no hue of its own."""
SAME_HUE_DEGREES = 22.0
"""A ghost this near to its home hue, and not brown or gold by then, is the home colour, paler."""
PALE_L, DARK_L = 80.0, 40.0

HUES = (
    (12.0, "pink", "red"),
    (40.0, "salmon", "red"),
    (62.0, "orange", "brown"),
    (100.0, "gold", "brown"),
    (112.0, "yellow", "olive"),
    (165.0, "green", "green"),
    (212.0, "blue-green", "blue-green"),
    (290.0, "blue", "blue"),
    (308.0, "violet", "violet"),
    (360.0, "pink", "purple"),
)
"""CIELAB hue angle [degrees] up to which a name holds: on a light ghost, and on a dark one."""

LIGHT_NAME_L = 55.0
"""Above it the light names hold, below the dark ones."""
GOLD_CHROMA = 45.0
"""A purer gold is called yellow."""


def ghost_words(after: ArrayLike, before: ArrayLike, paper: ArrayLike) -> str:
    """What is left, in one to three words.

    Parameters
    ----------
    after, before, paper : CIELAB of the lifted place, of the same before, and of bare paper
    """
    after, before, paper = (np.asarray(lab, dtype=float) for lab in (after, before, paper))
    from_paper = float(delta_e_2000(after, paper))
    if from_paper < PAPER_DE00:
        return "paper"
    if float(delta_e_2000(after, before)) < STAYS_DE00:
        return "stays"
    if from_paper < NEAR_PAPER_DE00:
        return "near paper"
    chroma, hue = _against(after, paper)
    if chroma < GREY_CHROMA:
        return "dark grey" if after[0] < DARK_L else "grey" if after[0] < PALE_L else "pale grey"
    name = hue_name(hue, float(after[0]), chroma)
    home_chroma, home_hue = _against(before, paper)
    turned = abs((hue - home_hue + 180.0) % 360.0 - 180.0)
    if home_chroma >= GREY_CHROMA and turned < SAME_HUE_DEGREES and after[0] > before[0]:
        return f"paler {hue_name(home_hue, float(before[0]), home_chroma)}"
    depth = "dark " if after[0] < DARK_L else "pale " if after[0] >= PALE_L and chroma < 25 else ""
    return depth + name


def hue_name(hue_degrees: float, lightness: float, chroma: float = 0.0) -> str:
    """Name of a CIELAB hue angle on a light or a dark colour."""
    found = next(row for row in HUES if hue_degrees % 360.0 <= row[0])
    name = found[1] if lightness > LIGHT_NAME_L else found[2]
    return "yellow" if name == "gold" and chroma > GOLD_CHROMA and hue_degrees > 85.0 else name


def _against(lab: Sequence[float] | np.ndarray, paper: np.ndarray) -> tuple[float, float]:
    """Chroma and hue angle [degrees] of a colour as seen against the paper."""
    a, b = float(lab[1] - paper[1]), float(lab[2] - paper[2])
    return float(np.hypot(a, b)), float(np.degrees(np.arctan2(b, a)) % 360.0)
