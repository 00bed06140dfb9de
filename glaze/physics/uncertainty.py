"""How sure a prediction is: from the uncertainty of its inputs to a band around it.

Inputs are positive amounts known to within a factor (strength, film, rate constants), so all is
done in their logarithms. The error of the model itself, measured in docs/accuracy.md, is part of
every band.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.physics.colour import delta_e_2000

Array = NDArray[np.float64]

LEVEL = 0.90
"""Share of cases a band is meant to hold."""


@dataclass(frozen=True)
class LawError:
    """Error of the law itself in one measure: standard deviations, by what it comes from.

    thinned : of a wash, for each factor of e between the strength laid and the nearest known
    overlaid : of each wash laid over another: how much of it the sheet takes. One sheet takes too
        much or too little of them all, so these add up
    hues : the same for opposite hues, on top of it; each pair of hues errs on its own
    """

    thinned: float
    overlaid: float
    hues: float

    def sd(self, thinned: ArrayLike, overlaid: ArrayLike, apart: ArrayLike) -> Array:
        """Standard deviation over some washes [unit of the measure], shape (...).

        All of shape (washes, ...).

        Parameters
        ----------
        thinned : factors of e, each by how much of its wash is still seen
        overlaid : how much is still seen of a wash that lies over another and of what is below
            it, 0 to 1; 0 for a wash on bare paper
        apart : `hues_apart` of the two
        """
        alone, over = np.asarray(thinned, dtype=float), np.asarray(overlaid, dtype=float)
        squares = (self.thinned * alone) ** 2 + (self.hues * over * np.asarray(apart)) ** 2
        return np.sqrt(squares.sum(axis=0) + (self.overlaid * over.sum(axis=0)) ** 2)


LAW_VALUE = LawError(0.27, 0.25, 0.42)
"""In Munsell value steps. Thinned: nine watercolours; one of them misses by three times that.
Overlaid and hues: dye inks over each other err by 0.25 (root mean square), two different
watercolours by 0.39, three washes by 0.59, four and more by 0.99; on sets that aren't kept here and
had no part in the law. The sets that are kept here had no part in these two figures
(docs/accuracy.md, docs/decisions/011-error-of-the-law.md)."""

LAW_DE00 = LawError(3.9, 3.4, 8.0)
"""In CIEDE2000, from the same sets: nine of ten pairs of dyes within 5.6, of two different
watercolours within 12.4."""

LAW_CHROMA = LawError(6.9, 4.4, 0.0)
"""In CIELAB chroma: the watercolours thinned, and the worst of the kinds laid over each other. No
set tells what opposite hues add, nor what a thin black does over a strong colour."""

CHROMA_WITH_HUE = 15.0
"""CIELAB chroma at which a colour's hue counts by 0.7; below that it is rather a grey [guess]."""


def hues_apart(lab: ArrayLike, other: ArrayLike) -> Array:
    """How far apart the hues of two colours are: 0 alike or one of them grey, 1 opposite.

    The sine of half the angle between them, less where either has little chroma.
    CIELAB of shape (..., 3) each, broadcast; [-], shape (...).
    """
    a, b = (np.asarray(colour, dtype=float)[..., 1:] for colour in (lab, other))
    chroma = np.hypot(a[..., 0], a[..., 1]), np.hypot(b[..., 0], b[..., 1])
    most = chroma[0] * chroma[1]
    cosine = np.divide((a * b).sum(-1), most, out=np.ones_like(most), where=most > 0.0)
    counts = most / np.hypot(chroma[0], CHROMA_WITH_HUE) / np.hypot(chroma[1], CHROMA_WITH_HUE)
    return np.asarray(counts * np.sqrt(np.maximum(1.0 - cosine, 0.0) / 2.0))


SHOWS_DE00 = 20.0
"""A wash so far off the paper, or farther, has its whole error over another [CIEDE2000; guess]."""

PAPER_LAB = (100.0, 0.0, 0.0)


def shown(lab: ArrayLike) -> Array:
    """How much of an error a colour can have: 1, less where it is hardly off the paper [-].

    CIELAB with the paper as white, shape (..., 3); shape (...).
    """
    off = delta_e_2000(np.asarray(lab, dtype=float), PAPER_LAB)
    return np.asarray(np.minimum(off / SHOWS_DE00, 1.0))


def meeting(wash_lab: ArrayLike, below_lab: ArrayLike) -> tuple[Array, Array]:
    """How much of an overlay's error a wash and what it lies over can have, and `hues_apart`.

    The first is 0 to 1: one of two that hardly shows alone can't put the other far off.
    CIELAB with the paper as white, shape (..., 3) each; [-], shape (...).
    """
    return np.minimum(shown(wash_lab), shown(below_lab)), hues_apart(wash_lab, below_lab)


def log_sd(factor: ArrayLike, level: float = LEVEL) -> Array:
    """Standard deviation of ln(amount) when it is known to within times or over `factor`.

    Same shape, [-].

    Parameters
    ----------
    factor : >= 1; 1 = known exactly, 3 = between a third and three times
    level : share of cases the factor holds
    """
    f = np.asarray(factor, dtype=float)
    if np.any(f < 1.0):
        raise ValueError(f"a factor of uncertainty is 1 or more, not {f.min():g}")
    return np.log(f) / NormalDist().inv_cdf(0.5 + level / 2.0)
