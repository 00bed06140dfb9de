"""What a lift leaves, in a painter's words: near paper, pale gold, cool pink, stays.

Paper, near paper, paler and stays are relations, and follow from three colours in CIELAB: what lies
there before, what the lift leaves, and bare paper. Their thresholds are guesses (no survey of
ghosts was found), stated here and tested at their ends. The colour itself is named by the table
that names every colour (materials/colour_words.py). On a paper that the table calls white, the
word is that of the notation printed beside it, as everywhere. On a tinted paper it is read
*against the paper*: the eye takes the sheet for white, so a grey ghost on a cream sheet is grey,
though measured it is a yellowish grey. Hue and chroma are then those the colour has once the
paper's tint is adapted to (CAT16, wholly); its value stays its own, as the paper's is told too.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.materials.colour_words import Name, name_of
from glaze.materials.munsell import munsell_from_xyz
from glaze.physics.colour import D65_XYZ, delta_e_2000, xyz_from_lab

STAYS_DE00 = 3.0
"""A lift that changes the colour by less hasn't moved it (twice what is just seen)."""
PAPER_DE00, NEAR_PAPER_DE00 = 2.0, 6.0
"""From bare paper: below the first the eye finds no ghost, below the second one has to look."""
GREY_CHROMA = 7.0
"""C*ab against the paper below which a colour has no hue to be a paler one of."""
SAME_HUE_DEGREES = 22.0
"""A ghost this near to its home hue is the home colour, paler."""


def ghost_words(after: ArrayLike, before: ArrayLike, paper: ArrayLike) -> str:
    """What is left, in one to four words.

    CIELAB is [-], shape (3,) each.

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
    chroma, hue = _from_paper(after, paper)
    home_chroma, home_hue = _from_paper(before, paper)
    turned = abs((hue - home_hue + 180.0) % 360.0 - 180.0)
    hued = min(chroma, home_chroma) >= GREY_CHROMA
    if hued and turned < SAME_HUE_DEGREES and after[0] > before[0]:
        return f"paler {name_against(before, paper).plain()}"
    return name_against(after, paper).told()


def name_against(lab: ArrayLike, paper: ArrayLike) -> Name:
    """Name of a colour on a paper, whose tint the eye adapts to.

    A paper that is white by the table leaves nothing to adapt to.

    lab, paper : CIELAB against one white

    CIELAB is [-], shape (3,) each.
    """
    paper_xyz = xyz_from_lab(np.asarray(paper, dtype=float), D65_XYZ)
    tinted = _name_under(paper_xyz, D65_XYZ).word != "white"
    white = paper_xyz / paper_xyz[1] if tinted else D65_XYZ
    return _name_under(xyz_from_lab(np.asarray(lab, dtype=float), D65_XYZ), white)


def _name_under(xyz: NDArray[np.float64], white: NDArray[np.float64]) -> Name:
    found = munsell_from_xyz(xyz, white)
    return name_of(float(found.hue), float(found.value), float(found.chroma))


def _from_paper(lab: NDArray[np.float64], paper: NDArray[np.float64]) -> tuple[float, float]:
    """Chroma and hue angle [degrees] of a colour's way from the paper."""
    a, b = float(lab[1] - paper[1]), float(lab[2] - paper[2])
    return float(np.hypot(a, b)), float(np.degrees(np.arctan2(b, a)) % 360.0)
