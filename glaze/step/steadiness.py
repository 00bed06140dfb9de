"""The strokes that a film is laid in: whose hand, how steady, and which way they are carried."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal
from zlib import crc32

import numpy as np

from glaze.record.checks import one_of

HANDS = {"steady": 0.0, "practised": 1.0, "loose": 2.0}
"""Hands by how much of the unevenness they leave; a steady one leaves none."""
Manner = Annotated[Literal["steady", "practised", "loose"], one_of(*HANDS)]

CARRIED = {"down": (1.0, 0.0), "up": (-1.0, 0.0), "right": (0.0, 1.0), "left": (0.0, -1.0)}
"""Ways a wash is carried over the sheet, as rows and columns."""
Carried = Annotated[Literal["down", "up", "right", "left"], one_of(*CARRIED)]

SLANT_DEGREES = 7.0
"""A hand's strokes slant at most so far from square to the way they are carried."""


@dataclass(frozen=True)
class Steadiness:
    """How steady a hand is, over a sheet or for a step.

    Attributes
    ----------
    amount : 0 steady, 1 practised
    seed : another number, another day of the same hand
    """

    amount: float = 0.0
    seed: int = 1


@dataclass(frozen=True)
class Strokes:
    """The strokes that one film is laid in.

    Attributes
    ----------
    hand, name : whose, and of which step: no two lie alike
    carried : unit vector, rows and columns
    graded : whether it runs out
    height : film of the full wash in 100 ml/m2
    surface : of the paper
    tilt_degrees : of the board, its foot the low side
    wanders : whether its edge does; not that of a region painted with a brush
    """

    hand: Steadiness
    name: str
    surface: str
    carried: tuple[float, float] = CARRIED["down"]
    graded: bool = False
    height: float = 1.0
    tilt_degrees: float = 0.0
    wanders: bool = True

    @property
    def seed(self) -> int:
        """Of its noise."""
        return (crc32(self.name.encode()) + 7919 * (self.hand.seed - 1)) & 0xFFFFFFFF

    @property
    def degrees(self) -> float:
        """Of its strokes, clockwise from the rows."""
        slant = SLANT_DEGREES * ((self.seed % 1024) / 511.5 - 1.0)
        down, right = self.carried
        return float(np.degrees(np.arctan2(-right, down))) + slant
