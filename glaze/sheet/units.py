"""The units of 16-bit fields: how thick a film is, how much of a full dose or coverage lies there.

16 bits, not 8: one 8-bit step of neat black near clear water would jump by 2 dE00.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.uint16]

FILM_UNIT = 32768
"""A film of thickness 1 in the fields of washes: a drying line may be up to twice as thick."""

FULL = 65535
"""Coverage of 1."""

DOSE_UNIT = 43690
"""A dose of 1 in the fields of lifts: where bleach stands domed there may be half as much again."""

DOMED = FULL / DOSE_UNIT
"""How many full doses 65535 is."""
