"""Which of several colours is nearest to one that can't be had: hue, then value, then chroma.

CIEDE2000 is made for small differences; far off it takes a grey blue for a violet. What a painter
keeps is the hue; then the value, which holds the picture together; chroma gives way first (common
practice, no source).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.materials.munsell import Munsell, munsell_from_xyz
from glaze.physics.colour import D65_XYZ, xyz_from_lab

Array = NDArray[np.float64]

FAR_DE00 = 10.0
"""Beyond this the order is hue, value, chroma [CIEDE2000] (guess: twice the range it was fitted
in)."""
SAME_HUE = 2.5
"""Munsell steps of a hundred within which a hue is kept: the charts' own spacing."""
SAME_VALUE, SAME_CHROMA = 0.5, 1.5
"""Within these a value, or a grey, is kept [Munsell steps]."""
NO_HUE = 1.5
"""Below this chroma a colour has no hue to keep (common practice, no source)."""


def hue_first(lab: Array, wanted_lab: Array) -> Array:
    """How far colours are off by the stated order: the less the nearer, shape (colours,).

    Those whose hue is kept (within 2.5 steps of the best) come before others, of those the ones
    whose value is kept (within half a step of the best), and these by chroma. For a grey, being
    grey takes the place of the hue. CIELAB (D65) [-], shape (colours, 3).
    """
    seen, wanted = _munsell(lab), _munsell(wanted_lab[None])
    chroma = np.abs(seen.chroma - wanted.chroma)
    value = np.abs(seen.value - wanted.value)
    hue = np.abs((seen.hue - wanted.hue + 50.0) % 100.0 - 50.0)
    hue = np.where(seen.chroma < NO_HUE, 50.0, hue)
    first, slack = (hue, SAME_HUE) if wanted.chroma[0] >= NO_HUE else (seen.chroma, SAME_CHROMA)
    lost = np.maximum(first - max(slack, first.min() + slack), 0.0)
    kept = lost == 0.0
    least = value[kept].min()
    worse = np.maximum(value - max(SAME_VALUE, least + SAME_VALUE), 0.0)
    # steps of each rank weigh more than all of the next: chroma to 60, value to 10, hue to 50
    return 1e6 * lost + 1e3 * worse + chroma


def _munsell(lab: Array) -> Munsell:
    return munsell_from_xyz(xyz_from_lab(lab, D65_XYZ), D65_XYZ)
