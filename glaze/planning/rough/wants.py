"""What a rough wants at each place of its pieces, and how much a difference from it is minded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import delta_e_2000
from glaze.planning.rough.pieces import Piece

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

K_LIGHT, K_CHROMA = 0.8, 1.25
"""What the eye goes to first: value, then hue, then chroma; CIEDE2000's own factors (kL, kC)."""
FAR = 12.0
"""From so far off on, a difference counts twice: a few glaring places spoil more than many slight
ones (guess)."""


def unlike(lab: Array, wanted: Array) -> Array:
    """How much a difference of colours is minded: CIEDE2000 by what the eye goes to.

    CIELAB [-] of shape (..., 3), to shape (...).
    """
    off = delta_e_2000(lab, wanted, kL=K_LIGHT, kC=K_CHROMA)
    return np.asarray(off * (1.0 + off / FAR))


@dataclass(frozen=True, eq=False)
class Wants:
    """What is wanted, at the places of all pieces one after the other.

    lab : CIELAB, shape (places, 3)
    xy_mm : shape (places, 2)
    weight : share of the sheet, shape (places,); all together 1
    piece : number of the piece of each place, shape (places,)
    """

    pieces: tuple[Piece, ...]
    lab: Array
    xy_mm: Array
    weight: Array
    piece: Numbers

    @cached_property
    def first(self) -> Numbers:
        """Where each piece's places begin."""
        return np.searchsorted(self.piece, np.arange(len(self.pieces)))

    def summed(self, off: Array) -> Array:
        """Of each piece, weighted: (..., places) to (..., pieces)."""
        return np.asarray(np.add.reduceat(off * self.weight, self.first, axis=-1), float)

    @cached_property
    def share(self) -> Array:
        """Each piece's weight, shape (pieces,)."""
        return self.summed(np.ones(len(self.lab)))

    @cached_property
    def shadow(self) -> Numbers:
        """Number of the shadow that each piece lies in, or none; shape (pieces,)."""
        return np.array([piece.shadow for piece in self.pieces], dtype=np.intp)

    @cached_property
    def shut(self) -> NDArray[np.bool_]:
        """Whether no wash may lie on each piece, True where none may; shape (pieces,)."""
        return np.array([piece.shut for piece in self.pieces], dtype=np.bool_)


def wanted_of(pieces: Sequence[Piece], weights: Array) -> Wants:
    """What some pieces want; `weights` of them [-], shape (pieces,)."""
    number = np.repeat(np.arange(len(pieces)), [len(p.lab) for p in pieces])
    share = np.concatenate([p.share for p in pieces])
    weight = share * weights[number]
    return Wants(
        tuple(pieces),
        np.concatenate([p.lab for p in pieces]),
        np.concatenate([p.xy_mm for p in pieces]),
        weight / weight.sum(),
        number,
    )
